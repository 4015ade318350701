package measure

import (
	"math"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestRotationFromLesser(t *testing.T) {
	for _, tt := range []struct{ percent, want float64 }{
		{88, -20}, {90, -15}, {93, -10}, {97, -5}, {100, 0}, {102, 5}, {104, 10}, {106, 15}, {107, 20}, {108, 25},
		{95, -7.5}, {103, 7.5},
	} {
		a, err := RotationFromLesser(units.Ratio{Best: tt.percent / 100})
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "Turgut 2020, PMC7286169, table; 95 and 103 % by hand between its rows", float64(a.Best), tt.want, 1e-9)
	}
	a, _ := RotationFromLesser(units.Ratio{Best: 1.065, U: 0.01})
	testkit.Near(t, "doubt beyond 15° (by hand: 5° for 1 %)", float64(a.Own), 5*math.Hypot(1, 0.5/math.Sqrt(3)), 1e-6)
	for _, r := range []units.Ratio{{Best: 0.879}, {Best: 1.081}, {}, {Best: math.NaN()}, {Best: 95}, {Best: 1, U: -0.1}, {Best: 1, U: math.NaN()}} {
		if a, err := RotationFromLesser(r); code(err) != "measure-outside" || a != (units.Angle{}) {
			t.Errorf("%v: %v %v, want outside the table", r, a, err)
		}
	}
	for _, k := range RotationSources() {
		if _, ok := source.Find(k); !ok {
			t.Errorf("%s is not in the register", k)
		}
	}
}

// Law: more profile is more external rotation.
func TestRotationRises(t *testing.T) {
	before := -21.0
	for r := 0.88; r <= 1.08; r += 0.001 {
		a, err := RotationFromLesser(units.Ratio{Best: r})
		if err != nil {
			t.Fatal(err)
		}
		if !(float64(a.Best) > before) {
			t.Fatalf("%v gives %v, not above %v", r, a.Best, before)
		}
		before = float64(a.Best)
	}
}
