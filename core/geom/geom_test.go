package geom

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"isthmus/core/units"
)

func TestDistAndMid(t *testing.T) {
	near(t, "distance", float64(Dist(mm{1, 2}, mm{4, 6})), 5, 1e-12, "by hand: 3-4-5")
	if m := Mid(mm{1, 2}, mm{4, 6}); m != (mm{2.5, 4}) {
		t.Errorf("middle %v, want {2.5 4} (by hand)", m)
	}
	if d := Dist(mm{1e200, 0}, mm{-1e200, 0}); math.IsInf(float64(d), 0) {
		t.Errorf("a far distance overflowed: %v", d)
	}
}

func TestAngleDeg(t *testing.T) {
	for _, tt := range []struct {
		name string
		a, b mm
		want float64
		ok   bool
	}{
		{"right angle", mm{1, 0}, mm{0, 2}, 90, true},
		{"the other way round", mm{0, 2}, mm{1, 0}, 90, true},
		{"60 degrees", mm{1, 0}, mm{0.5, units.MM(math.Sqrt(3) / 2)}, 60, true},
		{"against each other", mm{3, 1}, mm{-6, -2}, 180, true},
		{"the same", mm{3, 1}, mm{6, 2}, 0, true},
		{"no length", mm{}, mm{1, 1}, 0, false},
	} {
		got, ok := AngleDeg(tt.a, tt.b)
		if ok != tt.ok {
			t.Errorf("%s: ok %v, want %v", tt.name, ok, tt.ok)
		}
		near(t, tt.name, got, tt.want, 1e-9, "by hand")
	}
}

func TestCrossIsClockwiseOnAFilm(t *testing.T) {
	right, down := mm{1, 0}, mm{0, 1}
	if c := Cross(right, down); c != 1 {
		t.Errorf("right × down = %v, want 1 (by hand: Y grows downwards, so that turn is clockwise)", c)
	}
}

func TestAlong(t *testing.T) {
	l := Line[units.MM]{mm{0, 0}, mm{0, 10}} // straight down the film
	along, aside, ok := l.Along(mm{-2, 7})
	if !ok || along != 7 || aside != 2 {
		t.Errorf("Along = %v, %v, %v; want 7, 2 (by hand: left of a line that runs down is clockwise of it)", along, aside, ok)
	}
	if _, _, ok := (Line[units.MM]{}).Along(mm{1, 1}); ok {
		t.Error("a line through one point gave a foot")
	}
	if _, _, ok := l.Along(mm{units.MM(math.NaN()), 1}); ok {
		t.Error("NaN has a foot on the line")
	}
}

func TestMeet(t *testing.T) {
	a := Line[units.MM]{mm{0, 0}, mm{1, 1}}
	for _, tt := range []struct {
		name string
		b    Line[units.MM]
		want mm
		ok   bool
	}{
		{"cross", Line[units.MM]{mm{0, 4}, mm{4, 0}}, mm{2, 2}, true},
		{"beyond both", Line[units.MM]{mm{10, 0}, mm{10, 1}}, mm{10, 10}, true},
		{"parallel", Line[units.MM]{mm{0, 1}, mm{1, 2}}, mm{}, false},
		{"no line", Line[units.MM]{mm{3, 3}, mm{3, 3}}, mm{}, false},
	} {
		got, ok := Meet(a, tt.b)
		if ok != tt.ok || Dist(got, tt.want) > 1e-9 {
			t.Errorf("%s: %v %v, want %v %v (by hand)", tt.name, got, ok, tt.want, tt.ok)
		}
	}
}

func TestFinite(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if (mm{units.MM(v), 0}).Finite() || (mm{0, units.MM(v)}).Finite() {
			t.Errorf("a point with %v is called finite", v)
		}
	}
	if !(mm{1, -2}).Finite() {
		t.Error("an ordinary point is not called finite")
	}
}

func TestPointAsJSON(t *testing.T) {
	b, err := json.Marshal(Pt[units.Px]{3, 4.5})
	if err != nil || string(b) != `{"x":3,"y":4.5}` {
		t.Errorf("%s %v, want {\"x\":3,\"y\":4.5} (the case file's spelling)", b, err)
	}
}

func ExampleFitCircle() {
	c, err := FitCircle([]Pt[units.Px]{{X: 60, Y: 50}, {X: 40, Y: 50}, {X: 50, Y: 40}, {X: 50, Y: 60}})
	fmt.Printf("centre %.0f, %.0f, radius %.0f px, off by %.1f px, %v\n", c.Centre.X, c.Centre.Y, c.R, c.RMS, err)
	_, err = FitCircle([]Pt[units.Px]{{X: 60, Y: 50}, {X: 40, Y: 50}})
	fmt.Println(err)
	// Output:
	// centre 50, 50, radius 10 px, off by 0.0 px, <nil>
	// geom: 2 points given, a circle needs at least 3: mark more points
}
