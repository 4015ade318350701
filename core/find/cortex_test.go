package find

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// tubeFilm is a straight upright pipe by formula: chords of an outer circle of
// 80 px and of a canal that grows with the square of the distance from y0 up,
// and twice as fast down from it.
func tubeFilm(w, h int, y0, least, grow float64) scene {
	mid := float64(w) / 2
	return scene{w: w, h: h, blur: 1, noise: 0.004, log: true, top: 4000, fine: 2, thick: func(x, y float64) float64 {
		d := (y - y0) / 100
		r := least/2 + grow*d*d
		if d > 0 {
			r = least/2 + 2*grow*d*d
		}
		return 0.5 + ballThick(x, 0, mid, 0, 40, 1, 2.4) - ballThick(x, 0, mid, 0, r, 1, 2.4*r/40)
	}}
}

// The truth is that of the formula: the canal is least px wide at y0, and the
// pipe 80 px everywhere.
func TestTrace(t *testing.T) {
	for _, tt := range []struct {
		name         string
		y0, least    float64
		upper, lower pt
	}{
		{"taps on the middle", 230, 30, px(150, 20), px(150, 480)},
		{"taps aside", 230, 30, px(160, 20), px(138, 480)},
		{"lower isthmus, wider canal", 300, 38, px(150, 15), px(146, 485)},
		{"from below", 230, 30, px(150, 480), px(150, 20)},
	} {
		g := tubeFilm(300, 500, tt.y0, tt.least, 1.6).draw(7)
		s, err := Trace(g, tt.upper, tt.lower, nil)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		is, err := s.Isthmus()
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		m := geom.Mid(is.Edge[InnerLeft], is.Edge[InnerRight])
		if e := math.Abs(float64(is.Inner) - tt.least); !(e < 0.8 && e < 2*float64(is.InnerU)+0.4) {
			t.Errorf("%s: canal %.2f ± %.2f, want %.0f", tt.name, is.Inner, 2*is.InnerU, tt.least)
		}
		if e := math.Abs(float64(is.Outer) - 80); !(e < 1.2) {
			t.Errorf("%s: outer %.2f ± %.2f, want 80", tt.name, is.Outer, 2*is.OuterU)
		}
		if e := math.Abs(float64(m.Y) - tt.y0); !(e <= 3*float64(is.LevelU)+3) || is.LevelU > 25 {
			t.Errorf("%s: level %.1f ± %.1f, want %.0f", tt.name, m.Y, 2*is.LevelU, tt.y0)
		}
		if tt.upper.Y < tt.lower.Y != (is.Edge[OuterLeft].X < is.Edge[OuterRight].X) {
			t.Errorf("%s: left and right are those of the upper tap on top", tt.name)
		}
	}
}

// An edge dragged by a person: the trace runs through it, and only near it.
func TestTraceFix(t *testing.T) {
	g := tubeFilm(300, 500, 230, 30, 1.6).draw(3)
	at := px(131, 230) // the inner edge is at 135
	s, err := Trace(g, px(150, 20), px(150, 480), []Fix{{InnerLeft, at}})
	if err != nil {
		t.Fatal(err)
	}
	near, far := math.Inf(1), 0.0
	for _, l := range s.Levels {
		if len(l.Edge) != 4 {
			continue
		}
		d := float64(geom.Dist(l.Edge[InnerLeft], at))
		near = math.Min(near, d)
		if math.Abs(float64(l.Centre.Y-230)) > 60 {
			want := 150 - (15 + 1.6*math.Pow(math.Min(float64(l.Centre.Y)-230, 0)/100, 2) + 3.2*math.Pow(math.Max(float64(l.Centre.Y)-230, 0)/100, 2))
			far = math.Max(far, math.Abs(float64(l.Edge[InnerLeft].X)-want))
		}
	}
	if !(near < 1) || !(far < 1.5) {
		t.Errorf("%.2f px from the fix, %.2f px off elsewhere", near, far)
	}
}

// Gaps and implants are left out, and no isthmus is told where it may be
// hidden.
func TestTraceLeavesOut(t *testing.T) {
	broken := tubeFilm(300, 500, 230, 30, 1.6)
	pipe := broken.thick
	broken.thick = func(x, y float64) float64 {
		if math.Abs(y-235-0.2*(x-150)) < 14 {
			return 0.5
		}
		return pipe(x, y)
	}
	s, err := Trace(broken.draw(5), px(150, 20), px(150, 480), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range s.Levels {
		if math.Abs(float64(l.Centre.Y-235)) < 6 && (l.Out == "" || l.Edge != nil || l.Sure != 0) {
			t.Fatalf("measured inside the gap: %+v", l)
		}
	}
	if is, err := s.Isthmus(); why(err) != "hidden" {
		t.Errorf("isthmus in the gap: %+v %v", is, err)
	}
	nailed := tubeFilm(300, 500, 230, 30, 1.6)
	nailed.thick = func(x, y float64) float64 { return pipe(x, y) + ballThick(x, 0, 150, 0, 12, 1, 3) }
	if s, err := Trace(nailed.draw(5), px(150, 20), px(150, 480), nil); err == nil {
		t.Errorf("a canal with a rod in it: %.0f %% measured", 100*s.Seen)
	}
}

func why(err error) string {
	var r *Refusal
	if errors.As(err, &r) {
		return r.Why
	}
	return ""
}

func TestTraceRefuses(t *testing.T) {
	g := tubeFilm(300, 500, 230, 30, 1.6).draw(1)
	flat := scene{w: 300, h: 500, blur: 1, noise: 0.01, log: true, top: 4000, fine: 2, thick: func(x, y float64) float64 { return 1 }}.draw(2)
	end := tubeFilm(300, 500, 10, 30, 0.8).draw(1)
	nan := units.Px(math.NaN())
	a, b := px(150, 20), px(150, 480)
	for _, tt := range []struct {
		name string
		g    Grey
		a, b pt
		fix  []Fix
		want string
	}{
		{"no film", Grey{}, a, b, nil, "picture"},
		{"tap off the film", g, px(-30, 3), b, nil, "outside"},
		{"tap no number", g, pt{X: nan, Y: 3}, b, nil, "outside"},
		{"taps close", g, px(150, 200), px(150, 250), nil, "close"},
		{"fix off the film", g, a, b, []Fix{{InnerLeft, px(900, 3)}}, "fix"},
		{"fix of no edge", g, a, b, []Fix{{7, px(90, 3)}}, "fix"},
		{"inner edge outside the bone", g, a, b, []Fix{{InnerLeft, px(60, 230)}}, "fix"},
		{"nothing there", flat, a, b, nil, "none unseen"},
		{"isthmus at the end", end, a, b, nil, "end"},
	} {
		s, err := Trace(tt.g, tt.a, tt.b, tt.fix)
		if err == nil {
			_, err = s.Isthmus()
		}
		if w := why(err); w == "" || !oneOf(tt.want, w) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
	var none Shaft
	if _, err := none.Bow(); err == nil {
		t.Error("a bow of nothing")
	}
	if _, err := none.At(a, 0); err == nil || none.Profile(9) != nil {
		t.Error("a width of nothing")
	}
}

// By hand: (28 − 12)/28 = 0.571, 42/12 = 3.50 (facts: PMC5964262).
func TestIndices(t *testing.T) {
	i, u, err := Width{Inner: 12, Outer: 28, InnerU: 0.3, OuterU: 0.28}.CorticalIndex()
	if err != nil || math.Abs(i-0.5714) > 1e-4 || math.Abs(u-12.0/28*math.Hypot(0.025, 0.01)) > 1e-9 {
		t.Errorf("%v ± %v, %v", i, u, err)
	}
	f, u, err := FlareIndex(Width{Inner: 42, InnerU: 0.42}, Width{Inner: 12, InnerU: 0.12})
	if err != nil || f != 3.5 || math.Abs(u-3.5*math.Hypot(0.01, 0.01)) > 1e-9 {
		t.Errorf("%v ± %v, %v", f, u, err)
	}
	if _, _, err := (Width{Inner: 28, Outer: 28}).CorticalIndex(); err == nil {
		t.Error("no wall")
	}
	if _, _, err := FlareIndex(Width{Inner: 42}, Width{}); err == nil {
		t.Error("no canal")
	}
}

// Law: a mirrored film gives mirrored edges, and a negative with its mark set
// the same ones. A bowed phantom seen from the side gives its bow: the circle
// through the middle of its silhouettes.
func TestTraceLaws(t *testing.T) {
	s := shaftFilm(2, anatomy.Lateral)
	s.Row, s.Col, s.Width, s.Height = 0.3, 0.3, 500, 1500
	f, err := phantom.Draw(femur(2), s)
	if err != nil {
		t.Fatal(err)
	}
	g, p := greyOf(f), f.Truth.Profile
	a, b := p[3].Axis, p[len(p)-5].Axis
	one, err := Trace(g, a, b, nil)
	if err != nil {
		t.Fatal(err)
	}
	flip := func(q pt) pt { return pt{X: units.Px(g.Width-1) - q.X, Y: q.Y} }
	two, err := Trace(mirrored(g), flip(a), flip(b), nil)
	if err != nil {
		t.Fatal(err)
	}
	x, err1 := one.Isthmus()
	y, err2 := two.Isthmus()
	if err1 != nil || err2 != nil || math.Abs(float64(x.Inner-y.Inner)) > 0.3 || geom.Dist(x.Edge[InnerLeft], flip(y.Edge[InnerRight])) > 6 {
		t.Errorf("%v %v mirrored %v %v", x, err1, y, err2)
	}
	three, err := Trace(negative(g, 4095), a, b, nil)
	if err != nil {
		t.Fatal(err)
	}
	if z, err := three.Isthmus(); err != nil || math.Abs(float64(x.Inner-z.Inner)) > 0.02 {
		t.Errorf("negative: %v %v, want %v", z.Inner, err, x.Inner)
	}
	arc, err := one.Bow()
	if err != nil || arc.R == nil {
		t.Fatal(arc, err)
	}
	if r := float64(*arc.R) * float64(f.Truth.Col); math.Abs(r-float64(f.Truth.BowSeen)) > 0.06*r { // its cross-sections are level, not square to the bow: 3 %
		t.Errorf("bow %.0f mm, want %.0f", r, f.Truth.BowSeen)
	}
	if _, err := json.Marshal(one); err != nil {
		t.Error(err)
	}
}

func BenchmarkTrace(b *testing.B) {
	small := tubeFilm(300, 500, 230, 30, 1.6).draw(1)
	g := Grey{Width: 3000, Height: 4000, Pix: make([]uint16, 3000*4000)} // 10 and 8 times as large
	for i := range g.Pix {
		g.Pix[i] = small.Pix[i/3000/8*300+i%3000/10]
	}
	for b.Loop() {
		if _, err := Trace(g, px(1500, 160), px(1500, 3840), nil); err != nil {
			b.Fatal(err)
		}
	}
}
