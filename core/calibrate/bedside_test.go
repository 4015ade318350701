package calibrate

import (
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestUsualMagnification(t *testing.T) {
	m, err := UsualMagnification(1.141)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "spread (Wangjiraphan: SD 4.1 at 114.1 %)", m.U, 0.041, 1e-12)
	// facts 1.3: 500 mm of film are 438.2 mm, and the spread is ± 15.1 mm (one
	// standard uncertainty) on 420 mm
	testkit.Near(t, "500 mm of film (facts 1.3)", 500/m.Best, 438.2, 0.05)
	testkit.Near(t, "doubt of 420 mm (facts 1.3)", 420*m.U/m.Best, 15.1, 0.05)
	for _, f := range []float64{0, 0.99, 1.61, 114.1, math.NaN(), math.Inf(1)} {
		if m, err := UsualMagnification(f); code(err) != "calibrate-range" || m != (units.Ratio{}) {
			t.Errorf("%v: %v %v, want a refusal", f, m, err)
		}
	}
}

func TestAtDepth(t *testing.T) {
	m := units.Ratio{Best: 1.2, U: 0.005}
	held, unknown := AtDepth(m, true), AtDepth(m, false)
	testkit.Near(t, "at the bone (by hand: 1.2·5/1000 and 0.005 in quadrature)", held.U, math.Hypot(0.005, 0.006), 1e-12)
	testkit.Near(t, "unknown (by hand: 1.2·15/1000 and 0.005 in quadrature)", unknown.U, math.Hypot(0.005, 0.018), 1e-12)
	if held.Best != m.Best || unknown.Best != m.Best {
		t.Error("a doubt of depth moved the magnification itself")
	}
}
