package viewer

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/units"
)

func TestSeen(t *testing.T) {
	v := ground(false, -1).View
	w, h := v.Size()
	for _, tt := range []struct {
		name string
		v    View
		want Patch
		why  string
	}{
		{"the whole film", v, Patch{0, 0, 400, 800}, "by hand"},
		{"zoomed ten times at the middle", v.ZoomAt(css{X: w / 2, Y: h / 2}, 10), Patch{179, 359, 42, 82}, "by hand: 200 ± 20.8 and 400 ± 40.8, to whole pixels"},
	} {
		if got, ok := tt.v.Seen(css{}, css{X: w, Y: h}); !ok || got != tt.want {
			t.Errorf("%s: %v, want %v (%s)", tt.name, got, tt.want, tt.why)
		}
	}
	if _, ok := v.Seen(css{X: 0, Y: 0}, css{X: 5, Y: 5}); ok {
		t.Error("the margin shows film")
	}
	if _, ok := (View{}).Seen(css{}, css{X: 5, Y: 5}); ok {
		t.Error("no view shows film")
	}
}

// A law: what Seen returns covers everything in the box, in every view.
func TestSeenCovers(t *testing.T) {
	for _, v := range views() {
		w, h := v.Size()
		s, ok := v.Seen(css{}, css{X: w, Y: h})
		for _, p := range []css{{X: 1, Y: 1}, {X: w / 2, Y: h / 2}, {X: w - 1, Y: h - 1}} {
			q := v.ToFilm(p)
			if !v.Inside(q) {
				continue
			}
			x, y := float64(q.X)+0.5, float64(q.Y)+0.5
			if !ok || x < s.X-1e-9 || y < s.Y-1e-9 || x > s.X+s.W+1e-9 || y > s.Y+s.H+1e-9 {
				t.Errorf("%+v: film %v is on the screen and not in %v", v, q, s)
			}
		}
	}
}

func show(held int, marks ...Mark) Show {
	return Show{View: ground(false, -1).View, Marks: marks, Held: held}
}

func TestComposeDots(t *testing.T) {
	s := Compose(show(-1,
		Mark{At: px{X: 91.5, Y: 191.5}, Name: "canal", Current: true},
		Mark{At: px{X: 91.5, Y: 291.5}, Name: "rim", Fixed: true},
		Mark{At: px{X: units.Px(math.NaN())}, Name: "lost"}))
	if len(s.Dots) != 2 {
		t.Fatalf("%d dots, want 2: what is not a number is left out", len(s.Dots))
	}
	if d := s.Dots[0]; d.Style != Moving || !near(d.At, css{X: 100, Y: 200}, 1e-9) || d.Handle == nil || !near(*d.Handle, css{X: 100, Y: 252}, 1e-9) {
		t.Errorf("current point drawn as %+v, want Moving at (100, 200) with a handle 52 below", d)
	}
	placing := show(-1, Mark{At: px{X: 91.5, Y: 191.5}, Current: true})
	placing.Placing = true
	if d := Compose(placing).Dots[0]; d.Handle != nil {
		t.Error("a handle covers the film while a tap puts a point")
	}
	if d := s.Dots[1]; d.Style != Rule || d.Handle != nil {
		t.Errorf("fixed point drawn as %+v, want Rule without a handle", d)
	}
	if s.Loupe != nil {
		t.Error("a loupe though nothing is held")
	}
}

func TestHandleNearTheLowerEdge(t *testing.T) {
	v := ground(false, -1).View
	if got := HandleAt(v, css{X: 50, Y: 800}); got.Y != 748 {
		t.Errorf("handle at %v, want above the point, 748", got.Y)
	}
}

func TestLoupe(t *testing.T) {
	p := px{X: 191.5, Y: 391.5}
	sh := show(0, Mark{At: p, Name: "canal"})
	sh.Finger = css{X: 210, Y: 420}
	l := Compose(sh).Loupe
	if l == nil {
		t.Fatal("no loupe while a point is held")
	}
	if !near(l.Centre, css{X: 210, Y: 296}, 1e-9) {
		t.Errorf("loupe at %v, want 124 above the finger", l.Centre)
	}
	if !near(l.View.ToScreen(p), l.Cross, 1e-9) || math.Abs(l.View.Scale()-3*sh.View.Scale()) > 1e-12 {
		t.Errorf("the loupe shows %v at its cross, want the held point, three times as large", l.View.ToFilm(l.Cross))
	}
	for _, corner := range []px{{X: -0.5, Y: -0.5}, {X: 399.5, Y: 799.5}} {
		sh.Marks[0].At = corner
		if l := Compose(sh).Loupe; !near(l.View.ToScreen(corner), l.Cross, 1e-9) {
			t.Errorf("at the corner %v the cross lies on %v", corner, l.View.ToFilm(l.Cross))
		}
	}
}

func TestLoupeAt(t *testing.T) {
	v := ground(false, -1).View
	for _, tt := range []struct {
		name     string
		at, want css
	}{
		{"above the finger", css{X: 200, Y: 400}, css{X: 200, Y: 276}},
		{"below it near the upper edge", css{X: 200, Y: 100}, css{X: 200, Y: 224}},
		{"inside the left edge", css{X: 10, Y: 400}, css{X: 60, Y: 276}},
		{"inside the right edge", css{X: 410, Y: 400}, css{X: 356, Y: 276}},
	} {
		if got := LoupeAt(v, tt.at); !near(got, tt.want, 1e-9) {
			t.Errorf("%s: %v, want %v (by hand: 124 off, radius 60)", tt.name, got, tt.want)
		}
	}
}

func TestAim(t *testing.T) {
	at := px{X: 100, Y: 100}
	sh := show(-1)
	sh.Aim, sh.Finger = &at, css{X: 108.5, Y: 156.5}
	s := Compose(sh)
	if len(s.Dots) != 1 || s.Dots[0].Style != Moving || s.Loupe == nil {
		t.Errorf("%+v, want the aimed point and a loupe", s)
	}
}

// A law: every corner of a ring lies on the ellipse it draws.
func TestRing(t *testing.T) {
	v := Fit(416, 816, Film{400, 400, 1.5})
	const tilt = 23 * math.Pi / 180
	r := Ring{Centre: px{X: 200, Y: 300}, Long: 80, Short: 40, Tilt: 23, Scale: true, Text: "ball 25 mm"}
	s := Compose(Show{View: v, Rings: []Ring{r}, Held: -1})
	if len(s.Strokes) != 1 || !s.Strokes[0].Closed || s.Strokes[0].Style != Rule {
		t.Fatalf("%+v", s.Strokes)
	}
	for _, p := range s.Strokes[0].Path {
		q := v.Film().Square(v.ToFilm(p)).Minus(r.Centre)
		a := (float64(q.X)*math.Cos(tilt) + float64(q.Y)*math.Sin(tilt)) / 80
		b := (-float64(q.X)*math.Sin(tilt) + float64(q.Y)*math.Cos(tilt)) / 40
		if math.Abs(a*a+b*b-1) > 1e-9 {
			t.Fatalf("corner %v is off the ellipse: %v", p, a*a+b*b)
		}
	}
	for _, bad := range []Ring{{}, {Long: 5, Short: units.Px(math.NaN())}, {Long: units.Px(math.Inf(1)), Short: 1}} {
		if s := Compose(Show{View: v, Rings: []Ring{bad}, Held: -1}); len(s.Strokes) != 0 {
			t.Errorf("a ring %+v was drawn", bad)
		}
	}
}

func TestLabels(t *testing.T) {
	far, close1, close2, edge := px{X: 50, Y: 50}, px{X: 200, Y: 300}, px{X: 203, Y: 304}, px{X: 395, Y: 600}
	s := Compose(show(-1,
		Mark{At: close1, Name: "inner wall"}, Mark{At: close2, Name: "outer wall", Current: true},
		Mark{At: far, Name: "tip"}, Mark{At: edge, Name: "lower end"}))
	var names []string
	for _, l := range s.Labels {
		names = append(names, l.Text)
		if l.Text == "lower end" && !l.Right {
			t.Error("a label at the right edge runs out of the film area")
		}
	}
	if got, want := strings.Join(names, ", "), "outer wall, tip, lower end"; got != want {
		t.Errorf("labels %q, want %q: the current one wins, none covers another", got, want)
	}
}

func TestLabelFits(t *testing.T) {
	v := ground(false, -1).View // 416 wide
	for _, tt := range []struct {
		name  string
		x     Css
		text  string
		want  string
		right bool
	}{
		{"room to the right", 100, "distal target", "distal target", false},
		{"room to the left only", 400, "distal target", "distal target", true},
		{"no room on either side, more to the right", 150, "an outer edge of the femur on the first side", "an outer edge of the femur on th…", false},
		{"no room on either side, more to the left", 300, "an outer edge of the femur on the first side", "an outer edge of the femur on the fi…", true},
	} {
		l, b := label(v, css{X: tt.x, Y: 100}, tt.text, Quiet)
		if l.Text != tt.want || l.Right != tt.right || b.lo.X < 0 || b.hi.X > 416 {
			t.Errorf("%s: %q, right %v, from %v to %v; want %q (by hand: (416−150−14)/7.6 = 33 letters, (300−14)/7.6 = 37)", tt.name, l.Text, l.Right, b.lo.X, b.hi.X, tt.want)
		}
	}
}

func TestJoin(t *testing.T) {
	v := ground(false, -1).View
	j := Join{A: px{X: 0, Y: 0}, B: px{X: 100, Y: 0}, Text: "10.6 mm"}
	s := Compose(Show{View: v, Joins: []Join{j}, Held: -1})
	if len(s.Strokes) != 1 || len(s.Labels) != 1 || s.Labels[0].Text != "10.6 mm" {
		t.Fatalf("%+v", s)
	}
	if want := (css{X: 58.5 + beside, Y: 8.5}); !near(s.Labels[0].At, want, 1e-9) {
		t.Errorf("words at %v, want beside the middle, %v", s.Labels[0].At, want)
	}
	j.B.Y = units.Px(math.Inf(1))
	if s := Compose(Show{View: v, Joins: []Join{j}, Held: -1}); len(s.Strokes) != 0 {
		t.Error("an endless line was drawn")
	}
	if s := Compose(Show{Joins: []Join{{}}, Held: -1}); len(s.Strokes) != 0 {
		t.Error("something is drawn without a film")
	}
}

// The step a finger waits for: one move of a held point and the scene it makes.
func BenchmarkDrag(b *testing.B) {
	marks := make([]Mark, 18)
	pts := make([]geom.Pt[units.Px], 18)
	for i := range marks {
		pts[i] = px{X: units.Px(20 * i), Y: units.Px(40 * i)}
		marks[i] = Mark{At: pts[i], Name: "a landmark of the femur", Current: i == 3}
	}
	g := ground(false, 3, pts...)
	h, _ := Hand{}.On(ev(Down, 1, 68.5, 128.5, 0), g)
	h, _ = h.On(ev(Move, 1, 90, 128.5, 5), g)
	ring := Ring{Centre: px{X: 200, Y: 200}, Long: 60, Short: 60, Text: "head"}
	for b.Loop() {
		var a Action
		h, a = h.On(ev(Move, 1, 95, 130, 10), g)
		marks[3].At = a.At
		Compose(Show{View: g.View, Marks: marks, Rings: []Ring{ring}, Held: 3, Finger: a.Finger})
	}
}
