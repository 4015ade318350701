package screen

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// found stands in for the film worker: it answers with what it is given and
// keeps what it was asked.
type worker struct {
	asks []searchAsk
	seen searchSeen
	err  error
}

func (w *worker) find(_ context.Context, _ int, ask searchAsk, progress func(float64)) (searchSeen, error) {
	progress(0.5)
	w.asks = append(w.asks, ask)
	return w.seen, w.err
}

// circle returns n places on a circle.
func circle(x, y, r float64, n int) (out []fpx) {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, fpx{X: units.Px(x + r*cos), Y: units.Px(y + r*sin)})
	}
	return out
}

func TestFindBallAcceptScale(t *testing.T) {
	fp, s := filmOnScreen(t)
	w := &worker{seen: searchSeen{Round: &find.Round{Rim: circle(500, 500, 100, 96), Slip: 2, Long: 200, Short: 200, LongU: 0.3, ShortU: 0.3, Sure: 0.98}}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|ball")
	fp.typeIn("true", "25")
	fp.act("at-bone|yes")
	fp.act("find|ball")
	fp.tapAll([2]units.Px{510, 490})
	if len(w.asks) != 1 || w.asks[0].What != "ball" || len(w.asks[0].Taps) != 1 || w.asks[0].Tall != 1 {
		t.Fatalf("asked %+v", w.asks)
	}
	if fp.offer == nil || len(film(t, s).Evidence[0].At) != 0 || filmScale(s.Plan(), 0).Plane.Usable() {
		t.Fatal("what was found must be offered, and nothing of it be in the case before a person accepts")
	}
	if got := fp.would(fp.offer); !strings.Contains(got, "0.125\u00a0mm a pixel") {
		t.Errorf("says %q, want what accepting would come to", got)
	}
	fp.act("not-this")
	if fp.offer != nil || len(film(t, s).Evidence[0].At) != 0 {
		t.Error("“Not this” leaves something")
	}
	fp.act("find|ball")
	fp.tapAll([2]units.Px{510, 490})
	fp.act("accept")
	e := film(t, s).Evidence[0]
	if len(e.At) != maxRim || math.Abs(float64(e.Slip)-1) > 1e-9 {
		t.Errorf("%d rim points with slip %v, want %d with 1 (by hand: 2·√(24/96))", len(e.At), e.Slip, maxRim)
	}
	if p := filmScale(s.Plan(), 0).Plane; !p.Usable() || math.Abs(float64(p.Col)-0.125) > 1e-6 {
		t.Errorf("scale %+v, want 0.125 (by hand: 25 mm over 200 px)", p)
	}
	fp.act("undo")
	if len(film(t, s).Evidence[0].At) != 0 {
		t.Error("undo does not take back what was accepted")
	}
}

// A refusal says why and leaves everything as it was, what was typed included.
func TestFindRefused(t *testing.T) {
	fp, s := filmOnScreen(t)
	w := &worker{err: &find.Refusal{What: "ball", Why: "no-rim"}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|ball")
	fp.typeIn("true", "25")
	before, _ := s.Case()
	fp.act("find|ball")
	fp.tapAll([2]units.Px{510, 490})
	if fp.offer != nil || fp.seek != nil || fp.says == "" || strings.HasPrefix(fp.says, "find") {
		t.Errorf("offer %v, still seeking %v, says %q", fp.offer, fp.seek, fp.says)
	}
	if after, _ := s.Case(); !record.Equal(before, after) {
		t.Error("a refusal changed the case")
	}
	w.err = errors.New("film: the film reader stopped")
	fp.act("find|ball")
	fp.act("find-stop")
	fp.tapAll([2]units.Px{510, 490})
	if len(w.asks) != 1 {
		t.Error("a search that was stopped went on")
	}
}

func TestFindRulerAndCorners(t *testing.T) {
	fp, s := kindOnScreen(t, "jpeg")
	w := &worker{seen: searchSeen{Scale: &find.Scale{First: fpx{X: 100, Y: 500}, Last: fpx{X: 900, Y: 500}, Slip: 0.4, Spaces: 10, Spacing: 80, At: []fpx{{X: 100, Y: 500}, {X: 180, Y: 500}}}}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|ruler")
	fp.act("find|ruler")
	fp.tapAll([2]units.Px{100, 500}, [2]units.Px{900, 500})
	if fp.offer == nil || len(w.asks[0].Taps) != 2 || !strings.HasPrefix(fp.offer.title, "10 spaces") {
		t.Fatalf("offer %+v after %+v", fp.offer, w.asks)
	}
	fp.act("accept")
	if e := film(t, s).Evidence[0]; len(e.At) != 2 || e.At[1].X != 900 || e.Slip != 0.4 || e.True != nil {
		t.Errorf("%+v, want both ends, and their length for a person to say", e)
	}
	frame := find.Frame{Sure: 0.9}
	for i, c := range fourCorners {
		frame.Corners[i] = find.Edge{At: fpx{X: c[0], Y: c[1]}, Slip: 0.5}
	}
	w.seen = searchSeen{Frame: &frame}
	fp.act("photo")
	fp.act("find|corners")
	if film(t, s).Photo != nil || fp.offer == nil {
		t.Fatal("corners must be offered first")
	}
	fp.act("accept")
	if p := film(t, s).Photo; p == nil || p.Corners[3] != (fpx{X: 150, Y: 1160}) || math.Abs(float64(p.Slip)-0.5) > 1e-12 {
		t.Errorf("photo %+v, want the corners with their slip of 0.5", p)
	}
}

// tube is the trace of a straight shaft: outer 200, inner 60 px wide.
func tube() find.Shaft {
	s := find.Shaft{Seen: 1}
	for y := 500; y <= 1500; y += 100 {
		x := units.Px(500)
		s.Levels = append(s.Levels, find.Level{Sure: 1, Centre: fpx{X: x, Y: units.Px(y)}, Slip: []units.Px{1, 0.6, 0.8, 1},
			Edge: []fpx{{X: x - 100, Y: units.Px(y)}, {X: x - 30, Y: units.Px(y)}, {X: x + 30, Y: units.Px(y)}, {X: x + 100, Y: units.Px(y)}}})
	}
	s.Levels[4].Out, s.Levels[4].Edge, s.Levels[4].Slip = "faint", nil, nil
	return s
}

func TestFindShaft(t *testing.T) {
	fp, s := filmOnScreen(t)
	sh := tube()
	isthmus := &find.Narrow{LevelU: 20}
	copy(isthmus.Edge[:], sh.Levels[6].Edge)
	isthmus.Inner, isthmus.InnerU, isthmus.Outer, isthmus.OuterU = 60, 1, 200, 2
	w := &worker{seen: searchSeen{Shaft: &sh, Isthmus: isthmus}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|points")
	fp.act("group|canal")
	fp.act("find|shaft")
	fp.tapAll([2]units.Px{500, 500}, [2]units.Px{500, 1500})
	o := fp.offer
	if o == nil || len(film(t, s).Points) != 0 {
		t.Fatal("a trace must be offered and nothing be placed")
	}
	if n := len(o.trails); n != 9 {
		t.Errorf("%d trails, want 9: four edges, each broken at the level that was left out, and the isthmus", n)
	}
	if len(o.marks) != 20 || len(o.walls) != 20 {
		t.Errorf("%d grips, want 20: four edges at five levels", len(o.marks))
	}
	fp.regrip(1, fpx{X: 460, Y: 600})
	if n := len(w.asks); n != 2 || len(w.asks[1].Fixed) != 1 || w.asks[1].Fixed[0] != (find.Fix{Edge: find.InnerLeft, At: fpx{X: 460, Y: 600}}) {
		t.Fatalf("after an edge was dragged: %+v", w.asks)
	}
	fp.act("accept")
	f := film(t, s)
	want := map[anatomy.Landmark]struct {
		at   fpx
		slip float64
	}{
		anatomy.CanalA: {fpx{X: 470, Y: 1100}, 1 / math.Sqrt2}, anatomy.CanalB: {fpx{X: 530, Y: 1100}, 1 / math.Sqrt2},
		anatomy.OuterA: {fpx{X: 400, Y: 1100}, math.Sqrt2}, anatomy.OuterB: {fpx{X: 600, Y: 1100}, math.Sqrt2},
		anatomy.ShaftUpper: {fpx{X: 500, Y: 500}, 0.5}, anatomy.ShaftLower: {fpx{X: 500, Y: 1500}, 0.5}, // by hand: √(0.6²+0.8²)/2
	}
	if len(f.Points) != len(want) {
		t.Fatalf("%d points, want %d", len(f.Points), len(want))
	}
	for _, p := range f.Points {
		if x := want[p.Name]; p.At != x.at || math.Abs(float64(p.Slip)-x.slip) > 1e-9 {
			t.Errorf("%s at %v ± %v, want %v ± %v", p.Name, p.At, p.Slip, x.at, x.slip)
		}
	}
	fp.act("undo")
	if len(film(t, s).Points) != 0 {
		t.Error("one undo must take the whole trace back")
	}
}

// Without an isthmus no width of the canal is placed.
func TestFindShaftWithoutIsthmus(t *testing.T) {
	fp, s := filmOnScreen(t)
	sh := tube()
	fp.find = (&worker{seen: searchSeen{Shaft: &sh, Doubt: "The narrowest place lies at an end."}}).find
	fp.act("view|ap")
	fp.act("mode|points")
	fp.act("group|canal")
	fp.act("find|shaft")
	fp.tapAll([2]units.Px{500, 500}, [2]units.Px{500, 1500})
	fp.act("accept")
	for _, p := range film(t, s).Points {
		if p.Name == anatomy.CanalA || p.Name == anatomy.OuterA {
			t.Errorf("%s was placed although nobody knows where the canal is narrowest", p.Name)
		}
	}
	if n := len(film(t, s).Points); n != 2 {
		t.Errorf("%d points, want the direction of the shaft", n)
	}
}

// A circle laid through the three places is the one that was found, with the
// doubt that was stated.
func TestFindHead(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.find = (&worker{seen: searchSeen{Head: &headSeen{Centre: fpx{X: 400, Y: 300}, R: 120, RU: 1, Slip: 0.5, Rim: circle(400, 300, 120, 9), Seen: 0.7}}}).find
	fp.act("view|ap")
	fp.act("mode|points")
	fp.act("group|hip-front")
	fp.act("find|head")
	fp.tapAll([2]units.Px{400, 310})
	fp.act("accept")
	var rim []fpx
	for _, p := range film(t, s).Points {
		rim = append(rim, p.At)
		if math.Abs(float64(p.Slip)-math.Sqrt(3)) > 1e-9 {
			t.Errorf("slip %v, want √3 (by hand: u(R) = s/√3 = 1)", p.Slip)
		}
	}
	c, err := geom.FitCircle(rim)
	if err != nil || math.Abs(float64(c.R)-120) > 1e-9 || geom.Dist(c.Centre, fpx{X: 400, Y: 300}) > 1e-9 {
		t.Errorf("circle %+v (%v), want that of the head", c, err)
	}
}

func TestFindNeckBySide(t *testing.T) {
	for view, want := range map[string][]anatomy.Landmark{"ap": {anatomy.NeckUpper, anatomy.NeckLower}, "lateral": {anatomy.NeckFront, anatomy.NeckBack}} {
		fp, s := filmOnScreen(t)
		w := &worker{seen: searchSeen{Neck: &neckSeen{Upper: fpx{X: 400, Y: 300}, Lower: fpx{X: 420, Y: 420}, Slip: 2}}}
		fp.find = w.find
		fp.act("view|" + view)
		fp.act("mode|points")
		fp.act("find|neck")
		fp.tapAll([2]units.Px{300, 200}, [2]units.Px{410, 860}, [2]units.Px{410, 1360})
		fp.act("accept")
		var got []anatomy.Landmark
		for _, p := range film(t, s).Points {
			got = append(got, p.Name)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: placed %v, want %v", view, got, want)
		}
		if w.asks[0].Taps[0] != (fpx{X: 300, Y: 200}) || len(w.asks[0].Taps) != 3 {
			t.Errorf("asked at %v, want head and shaft in this order", w.asks[0].Taps)
		}
		w.seen.Head = &headSeen{Centre: fpx{X: 300, Y: 200}, R: 90, RU: 1, Slip: 1}
		fp.act("find|neck")
		fp.tapAll([2]units.Px{300, 200}, [2]units.Px{410, 860}, [2]units.Px{410, 1360})
		fp.act("accept")
		if n := len(film(t, s).Points); n != 5 {
			t.Errorf("%s: %d points, want neck and head", view, n)
		}
	}
}

func TestSnap(t *testing.T) {
	fp, s := filmOnScreen(t)
	w := &worker{seen: searchSeen{Edge: &find.Edge{At: fpx{X: 404, Y: 300}, Slip: 0.25, Sure: 0.9}}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|points")
	fp.touch(1, 400, 300)
	fp.act("landmark|trochanter-tip")
	fp.act("snap")
	if p := film(t, s).Points[0]; p.At.X != 400 || fp.offer == nil {
		t.Fatalf("%+v: the point moved before it was accepted", p)
	}
	fp.act("accept")
	if p := film(t, s).Points[0]; p.At.X != 404 || p.Slip != 0.25 {
		t.Errorf("%+v, want the edge with its slip", p)
	}
	if len(w.asks) != 1 || w.asks[0].Taps[0] != (fpx{X: 400, Y: 300}) {
		t.Errorf("asked %+v, want at the point", w.asks)
	}
}

// Without a film worker that looks, nothing is offered.
func TestNothingIsOfferedWithoutAFinder(t *testing.T) {
	fp, _ := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("find|ball")
	fp.act("snap")
	if fp.seek != nil || fp.offer != nil {
		t.Error("a search began that nobody can make")
	}
}

// What the film worker says is read by its names; what cannot be read is said.
func TestSeenOf(t *testing.T) {
	got, err := seenOf([]byte(`{"head":{"centre_px":{"x":1,"y":2},"r_px":3,"r_u_px":0.5,"slip_px":0.25,"rim_px":[{"x":4,"y":2}],"seen":0.75},"neck":{"upper_px":{"x":5,"y":6},"lower_px":{"x":7,"y":8},"slip_px":2},"doubt":"d"}`))
	if err != nil || got.Head == nil || got.Head.Centre != (fpx{X: 1, Y: 2}) || got.Head.R != 3 || got.Head.RU != 0.5 || got.Head.Slip != 0.25 || got.Head.Seen != 0.75 || len(got.Head.Rim) != 1 {
		t.Errorf("head %+v, %v", got.Head, err)
	}
	if got.Neck == nil || got.Neck.Lower != (fpx{X: 7, Y: 8}) || got.Neck.Slip != 2 || got.Doubt != "d" {
		t.Errorf("neck %+v", got.Neck)
	}
	for _, bad := range []string{"", "{", `{"round":3}`, "[]"} {
		if got, err := seenOf([]byte(bad)); err == nil || got.Round != nil {
			t.Errorf("%q is read as %+v", bad, got)
		}
	}
}
