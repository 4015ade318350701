package viewer

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/units"
)

type (
	css = geom.Pt[Css]
	px  = geom.Pt[units.Px]
)

func near[U ~float64](a, b geom.Pt[U], tol float64) bool { return float64(geom.Dist(a, b)) <= tol }

func TestFit(t *testing.T) {
	for _, tt := range []struct {
		name   string
		w, h   Css
		film   Film
		scale  float64
		corner css // where the outer corner of the first pixel is shown
		source string
	}{
		{"limited by height", 360, 416, Film{2000, 4000, 1}, 0.1, css{X: 80, Y: 8},
			"by hand: (416−16)/4000 = 0.1; width 200, (360−200)/2 = 80"},
		{"limited by width", 216, 1000, Film{2000, 4000, 1}, 0.1, css{X: 8, Y: 300},
			"by hand: (216−16)/2000 = 0.1; height 400, (1000−400)/2 = 300"},
		{"tall pixels", 1000, 416, Film{2000, 2000, 2}, 0.1, css{X: 400, Y: 8},
			"by hand: shape 2000 × 4000; (416−16)/4000 = 0.1; (1000−200)/2 = 400"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := Fit(tt.w, tt.h, tt.film)
			if !v.Ok() || math.Abs(v.Scale()-tt.scale) > 1e-12 {
				t.Fatalf("scale %v, want %v (%s)", v.Scale(), tt.scale, tt.source)
			}
			if got := v.ToScreen(px{X: -0.5, Y: -0.5}); !near(got, tt.corner, 1e-9) {
				t.Errorf("corner at %v, want %v (%s)", got, tt.corner, tt.source)
			}
		})
	}
}

func TestFitRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tt := range []struct {
		name string
		w, h Css
		film Film
	}{
		{"no area", 0, 100, Film{10, 10, 1}},
		{"area not a number", Css(nan), 100, Film{10, 10, 1}},
		{"endless area", 100, Css(inf), Film{10, 10, 1}},
		{"no film", 100, 100, Film{}},
		{"film not a number", 100, 100, Film{units.Px(nan), 10, 1}},
		{"film too wide", 100, 100, Film{1 << 21, 10, 1}},
		{"pixel without height", 100, 100, Film{10, 10, 0}},
		{"pixel height not a number", 100, 100, Film{10, 10, nan}},
	} {
		if v := Fit(tt.w, tt.h, tt.film); v.Ok() {
			t.Errorf("%s: got a view %+v, want none", tt.name, v)
		}
	}
}

// every view there is: turns, mirrors, zooms, shapes of pixel.
func views() []View {
	var out []View
	for _, film := range []Film{{3000, 4000, 1}, {1024, 768, 1.25}, {5, 5, 1}, {6000, 1500, 0.5}} {
		for turn := range 4 {
			for _, flip := range []bool{false, true} {
				v := Fit(360, 500, film).Turn(turn)
				if flip {
					v = v.Mirror()
				}
				out = append(out, v, v.ZoomAt(css{X: 77.3, Y: 201}, 3.7), v.ZoomAt(css{X: 350, Y: 10}, 1e9).Pan(css{X: -31.25, Y: 12}))
			}
		}
	}
	return out
}

// A law: to the screen and back is the same place, everywhere, in every view.
func TestRoundTrip(t *testing.T) {
	for _, v := range views() {
		for _, p := range []px{{}, {X: 0.25, Y: 999.75}, {X: 2999, Y: 3999}, {X: -0.5, Y: 12345.678}} {
			if back := v.ToFilm(v.ToScreen(p)); !near(back, p, 1e-9) {
				t.Errorf("%+v: %v came back as %v", v, p, back)
			}
		}
		for _, p := range []css{{}, {X: 180.5, Y: 250.125}, {X: 360, Y: 500}} {
			if back := v.ToScreen(v.ToFilm(p)); !near(back, p, 1e-9) {
				t.Errorf("%+v: %v came back as %v", v, p, back)
			}
		}
	}
}

// A law: the matrix handed to the drawing surface is the same transform.
func TestMatrix(t *testing.T) {
	for _, v := range views() {
		m := v.Matrix()
		p := px{X: 123.5, Y: 77.25}
		got := css{X: Css(m.A*123.5 + m.C*77.25 + m.E), Y: Css(m.B*123.5 + m.D*77.25 + m.F)}
		if want := v.ToScreen(p); !near(got, want, 1e-9) {
			t.Errorf("%+v: matrix gives %v, ToScreen %v", v, got, want)
		}
	}
}

// A law: an area drawn in another size of device pixel is still the same CSS
// pixels; and page zoom, which shrinks the area, moves points but loses none.
func TestPageZoom(t *testing.T) {
	film := Film{3000, 4000, 1}
	for _, zoom := range []Css{0.8, 1, 1.25, 1.5} {
		v := Fit(360/zoom, 640/zoom, film)
		want := px{X: 1234.5, Y: 2345.5}
		s := v.ToScreen(want)
		if s.X < 0 || s.X > 360/zoom || s.Y < 0 || s.Y > 640/zoom {
			t.Errorf("page zoom %v: shown at %v, outside the area", zoom, s)
		}
		if got := v.ToFilm(s); !near(got, want, 1e-9) {
			t.Errorf("page zoom %v: %v, want %v", zoom, got, want)
		}
	}
}

func TestZoomKeepsTheAnchor(t *testing.T) {
	v := Fit(360, 500, Film{3000, 4000, 1})
	for _, f := range []float64{1.5, 4, 30} {
		a := css{X: 200, Y: 300}
		before := v.ToFilm(a)
		if got := v.ZoomAt(a, f).ToFilm(a); !near(got, before, 1e-9) {
			t.Errorf("zoom %v: film under the anchor went from %v to %v", f, before, got)
		}
	}
}

func TestZoomLimits(t *testing.T) {
	v := Fit(360, 500, Film{3000, 4000, 1})
	fit := v.Scale()
	mid := css{X: 180, Y: 250}
	if got := v.ZoomAt(mid, 1e6).Scale(); got != closest {
		t.Errorf("closest zoom %v, want %v css px per film px", got, closest)
	}
	if got := v.ZoomAt(mid, 1e-6).Scale(); got != fit/2 {
		t.Errorf("widest zoom %v, want half of the fitted %v", got, fit)
	}
	small := Fit(360, 500, Film{10, 10, 1})
	if got, want := small.ZoomAt(mid, 1e6).Scale(), 4*small.Scale(); got != want {
		t.Errorf("closest zoom of a tiny film %v, want %v", got, want)
	}
	for _, f := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if got := v.ZoomAt(mid, f); got != v {
			t.Errorf("zoom by %v changed the view", f)
		}
	}
	if got := v.ZoomAt(css{X: Css(math.NaN())}, 2); got != v {
		t.Error("an anchor that is not a number changed the view")
	}
}

// A law: both fingers stay on their film points while the pair does not turn.
func TestPinchKeepsBothFingers(t *testing.T) {
	for _, v := range views() {
		if v.Film().W < 100 {
			continue // a film of five pixels meets the zoom limits at once
		}
		v = v.FitAgain()
		from := [2]css{{X: 150, Y: 220}, {X: 210, Y: 300}}
		to := [2]css{{X: 120, Y: 180}, {X: 210, Y: 300}} // 1.5 times as far, same direction
		p, q := v.ToFilm(from[0]), v.ToFilm(from[1])
		got := v.Pinch(from, to)
		if !near(got.ToScreen(p), to[0], 1e-9) || !near(got.ToScreen(q), to[1], 1e-9) {
			t.Errorf("%+v: fingers at %v and %v, want %v", v, got.ToScreen(p), got.ToScreen(q), to)
		}
		if math.Abs(got.Scale()/v.Scale()-1.5) > 1e-12 {
			t.Errorf("zoom factor %v, want 1.5 (by hand: (90,120) over (60,80))", got.Scale()/v.Scale())
		}
	}
}

func TestPinchRefuses(t *testing.T) {
	v := Fit(360, 500, Film{3000, 4000, 1})
	ok := [2]css{{X: 100, Y: 100}, {X: 200, Y: 100}}
	for _, bad := range [][2]css{{}, {{X: 5, Y: 5}, {X: 5, Y: 5}}, {{X: Css(math.NaN())}, {X: 1}}} {
		if v.Pinch(bad, ok) != v || v.Pinch(ok, bad) != v {
			t.Errorf("fingers %v changed the view", bad)
		}
	}
}

func TestPanKeepsTheFilmInSight(t *testing.T) {
	for _, v := range views() {
		for _, d := range []css{{X: 1e6}, {X: -1e6}, {Y: 1e6}, {Y: -1e6}} {
			lo, hi := v.Pan(d).box()
			w, h := v.Size()
			if !(hi.X > 0 && hi.Y > 0 && lo.X < w && lo.Y < h) {
				t.Errorf("%+v panned by %v: film at %v…%v is out of sight", v, d, lo, hi)
			}
		}
		if v.Pan(css{X: Css(math.Inf(1))}) != v {
			t.Error("an endless pan changed the view")
		}
	}
}

func TestPanMovesByItsArgument(t *testing.T) {
	v := Fit(360, 500, Film{3000, 4000, 1})
	p := px{X: 100, Y: 200}
	if got, want := v.Pan(css{X: 7, Y: -3}).ToScreen(p), v.ToScreen(p).Plus(css{X: 7, Y: -3}); !near(got, want, 1e-9) {
		t.Errorf("shown at %v, want %v", got, want)
	}
}

func TestTurnAndMirror(t *testing.T) {
	v := Fit(400, 400, Film{200, 200, 1}) // scale (400−16)/200 = 1.92; centre (99.5, 99.5) at (200, 200)
	p := px{X: 149.5, Y: 99.5}            // 50 film px to the right of the middle: 96 css px
	for _, tt := range []struct {
		name string
		view View
		want css
	}{
		{"as it is", v, css{X: 296, Y: 200}},
		{"a quarter clockwise", v.Turn(1), css{X: 200, Y: 296}},
		{"half", v.Turn(2), css{X: 104, Y: 200}},
		{"a quarter back", v.Turn(-1), css{X: 200, Y: 104}},
		{"mirrored", v.Mirror(), css{X: 104, Y: 200}},
		{"mirrored, then a quarter clockwise on the screen", v.Mirror().Turn(1), css{X: 200, Y: 104}},
		{"a quarter clockwise, then mirrored", v.Turn(1).Mirror(), css{X: 200, Y: 296}},
		{"four quarters", v.Turn(4), css{X: 296, Y: 200}},
		{"mirrored twice", v.Mirror().Mirror(), css{X: 296, Y: 200}},
	} {
		if got := tt.view.ToScreen(p); !near(got, tt.want, 1e-9) {
			t.Errorf("%s: shown at %v, want %v (by hand: 50 px × 1.92 = 96)", tt.name, got, tt.want)
		}
	}
	if v.Mirrored() || !v.Mirror().Mirrored() || v.Turn(3).Quarters() != 3 {
		t.Error("the view does not report its mirror and its turn")
	}
}

// A law: a mirror or turn for the eye leaves the middle of the area where it was.
func TestTurnKeepsTheMiddle(t *testing.T) {
	mid := css{X: 180, Y: 250}
	for _, v := range views() {
		v = v.FitAgain().ZoomAt(mid, 4)
		p := v.ToFilm(mid)
		for _, w := range []View{v.Turn(1), v.Mirror(), v.Turn(2).Mirror()} {
			if got := w.ToFilm(mid); !near(got, p, 1e-6) {
				t.Errorf("%+v: the middle went from %v to %v", v, p, got)
			}
		}
	}
}

func TestResize(t *testing.T) {
	v := Fit(360, 500, Film{3000, 4000, 1})
	if got, want := v.Resize(500, 360), Fit(500, 360, Film{3000, 4000, 1}); got != want {
		t.Errorf("a whole film does not stay whole: %+v, want %+v", got, want)
	}
	z := v.ZoomAt(css{X: 100, Y: 100}, 5)
	p := z.ToFilm(css{X: 180, Y: 250})
	r := z.Resize(500, 360)
	if got := r.ToFilm(css{X: 250, Y: 180}); !near(got, p, 1e-9) || r.Scale() != z.Scale() {
		t.Errorf("middle %v, want %v; zoom %v, want %v", got, p, r.Scale(), z.Scale())
	}
	if v.Resize(Css(math.NaN()), 5) != v || v.Resize(0, 0) != v {
		t.Error("an area without size changed the view")
	}
}

func TestSlip(t *testing.T) {
	v := Fit(216, 416, Film{2000, 4000, 1}) // 0.1 css px for one film px
	for _, tt := range []struct {
		name   string
		got    units.Px
		want   units.Px
		source string
	}{
		{"loupe, whole film", Slip(v), 15, "by hand: 1.5/0.1"},
		{"bare finger, whole film", TapSlip(v), 60, "by hand: 6/0.1"},
		{"loupe, zoomed ten times", Slip(v.ZoomAt(css{X: 100, Y: 100}, 10)), 1.5, "by hand: 1.5/1"},
		{"loupe, as close as can be", Slip(v.ZoomAt(css{X: 100, Y: 100}, 1e6)), 0.5, "by hand: 1.5/24 is under the least, 0.5"},
		{"flat pixels", Slip(Fit(216, 216, Film{2000, 4000, 0.5})), 30, "by hand: 1.5/(0.1×0.5), the longer side"},
		{"no view", Slip(View{}), 0, "no point can be placed"},
	} {
		if math.Abs(float64(tt.got-tt.want)) > 1e-9 {
			t.Errorf("%s: %v px, want %v (%s)", tt.name, tt.got, tt.want, tt.source)
		}
	}
}

// A law: a nudge goes the way the eye asked, by one film pixel.
func TestNudge(t *testing.T) {
	for _, v := range views() {
		p := px{X: 2, Y: 2}
		for way, want := range map[Way]css{Leftward: {X: -1}, Rightward: {X: 1}, Upward: {Y: -1}, Downward: {Y: 1}} {
			q := Nudge(v, p, way)
			if d := geom.Dist(p, q); math.Abs(float64(d-1)) > 1e-12 {
				t.Errorf("nudge by %v px, want 1", d)
			}
			d := v.ToScreen(q).Minus(v.ToScreen(p))
			if u, ok := (geom.Line[Css]{B: d}).Unit(); !ok || !near(u, want, 1e-9) {
				t.Errorf("%+v: way %v went %v", v, way, d)
			}
		}
	}
	v := Fit(100, 100, Film{10, 10, 1})
	if got, want := Nudge(v, px{X: 9.2, Y: 3}, Rightward), (px{X: 9.5, Y: 3}); got != want {
		t.Errorf("nudged over the edge: %v, want %v", got, want)
	}
	if got := Nudge(v, px{X: 1, Y: 1}, Way(0)); got != (px{X: 1, Y: 1}) {
		t.Errorf("no way moved the point to %v", got)
	}
}

func ExampleFit() {
	v := Fit(360, 640, Film{W: 3000, H: 4000, Tall: 1}).ZoomAt(css{X: 180, Y: 100}, 8)
	p := v.ToFilm(css{X: 180, Y: 100})
	fmt.Printf("film pixel %.1f, %.1f ± %.1f\n", p.X, p.Y, Slip(v))
	// (100 − 90.67)/0.114667 − 0.5 = 80.9; 1.5/(8 × 0.114667) = 1.6

	// Output: film pixel 1499.5, 80.9 ± 1.6
}
