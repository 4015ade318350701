package calibrate

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestForeshortening(t *testing.T) {
	for _, tt := range []struct {
		tilt               units.Deg
		parallel, diverges units.MM // what a bone of 420 mm looks like
	}{
		{0, 420, 420},
		{5, 418.40, 418.54},
		{10, 413.62, 414.17},
		{15, 405.69, 406.89},
		{20, 394.67, 396.72},
	} {
		// facts 1i: L·cos θ; by hand 420·cos 10° = 413.62; SID 1150, SOD 1000
		l, err := Foreshortening(units.Length{Best: tt.parallel}, units.Angle{Best: tt.tilt})
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "parallel (facts 1i)", float64(l.Best), 420, 0.006)
		l, err = ForeshorteningAt(units.Length{Best: tt.diverges}, units.Angle{Best: tt.tilt}, 1000)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "diverging (facts 1i)", float64(l.Best), 420, 0.006)
	}
}

// Two rays drawn through the ends of a tilted bone give back its length.
func TestForeshorteningByRays(t *testing.T) {
	for _, length := range []float64{50, 420, 600} {
		for tilt := 0.0; tilt <= 30; tilt += 7.5 {
			for _, sod := range []float64{600, 1000, 2500} {
				sin, cos := math.Sincos(tilt * math.Pi / 180)
				a := length / 2 * cos * sod / (sod - length/2*sin)
				b := length / 2 * cos * sod / (sod + length/2*sin)
				l, err := ForeshorteningAt(units.Length{Best: units.MM(a + b)}, units.Angle{Best: units.Deg(tilt)}, units.MM(sod))
				if err != nil {
					t.Fatal(err)
				}
				testkit.Near(t, "length by rays (geometry)", float64(l.Best), length, 1e-9*length)
			}
		}
	}
}

func TestForeshorteningDoubt(t *testing.T) {
	l, _ := Foreshortening(units.Length{Best: 400, Own: 3, Shared: 4}, units.Angle{Best: 20})
	testkit.Near(t, "own (by hand: 3/cos 20°)", float64(l.Own), 3.19253, 1e-5)
	testkit.Near(t, "shared (by hand: 4/cos 20°)", float64(l.Shared), 4.25671, 1e-5)
	l, _ = Foreshortening(units.Length{Best: 400}, units.Angle{Best: 20, Own: 2.5})
	// by hand: L = 425.67, tan 20° = 0.36397, u = 0.043633: 6.760;
	// second part 425.67·(1 + 2·0.13247)·0.0019039/√2 = 0.7249; together 6.799
	testkit.Near(t, "own of a tilt of 20 ± 5° (by hand)", float64(l.Own), 6.799, 0.001)
	l, _ = Foreshortening(units.Length{Best: 400}, units.Angle{Own: 5})
	testkit.Near(t, "own of a tilt of 0 ± 10° (by hand: 400·0.087266²/√2)", float64(l.Own), 2.1540, 1e-4)
}

func TestForeshorteningRefuses(t *testing.T) {
	ok := units.Length{Best: 400}
	nan := math.NaN()
	for _, tt := range []struct {
		name string
		l    units.Length
		tilt units.Angle
		sod  units.MM
		code string
	}{
		{"tilt above 30°", ok, units.Angle{Best: 30.1}, 1000, "calibrate-range"},
		{"tilt below 0°", ok, units.Angle{Best: -1}, 1000, "calibrate-range"},
		{"tilt no number", ok, units.Angle{Best: units.Deg(nan)}, 1000, "calibrate-range"},
		{"vague tilt", ok, units.Angle{Best: 5, Own: 11}, 1000, "calibrate-range"},
		{"no length", units.Length{}, units.Angle{Best: 5}, 1000, "calibrate-range"},
		{"doubt no number", units.Length{Best: 400, Own: units.MM(nan)}, units.Angle{Best: 5}, 1000, "calibrate-missing"},
		{"doubt infinite", units.Length{Best: 400, Shared: units.MM(math.Inf(1))}, units.Angle{Best: 5}, 1000, "calibrate-missing"},
		{"tube too near", ok, units.Angle{Best: 5}, 499, "calibrate-range"},
		{"tube no number", ok, units.Angle{Best: 5}, units.MM(nan), "calibrate-range"},
	} {
		got, err := ForeshorteningAt(tt.l, tt.tilt, tt.sod)
		var c interface{ Code() string }
		if !errors.As(err, &c) || c.Code() != tt.code || got != (units.Length{}) {
			t.Errorf("%s: %v, %v; want %s", tt.name, got, err, tt.code)
		}
	}
}
