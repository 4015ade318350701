package calibrate

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

// seenAt returns the rim of a ball as it is seen on a detector of 0.1 mm a
// pixel, at a height above it: 2·SID·r/√(SOD² − r²) (facts 1j, two rays).
func seenAt(sid, height, dia float64) RoundMark {
	sod, r := sid-height, dia/2
	wide := 2 * sid * r / math.Sqrt(sod*sod-r*r) / 0.1
	return RoundMark{rim(12, 900, 900, wide, wide, 0, SquareShape), units.MM(dia)}
}

func TestTwoBalls(t *testing.T) {
	// Facts §11.3: SID 1000, balls at 40 and 290 mm, r 0.45 → M 1.1799410, so a
	// pixel of 0.1 mm is 0.1/1.1799410 mm of the bone. Measured on the edge of
	// a ball: its shadow is larger than M·d by 1/√(1 − (r/SOD)²), under 0.01 %.
	p, ns, err := TwoBalls(seenAt(1000, 40, 25), seenAt(1000, 290, 25), 0.5, 0.45, SquareShape)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "King 2009", float64(p.Col), 0.1/1.1799410, 2e-5)
	if wrong := 0.1 / 1.2067195; math.Abs(float64(p.Col)-wrong) < 1e-3 {
		t.Error("the two magnifications were averaged")
	}
	// By hand: ± 0.05 in r is (0.096 − 0.071)·0.05/0.084749 = 1.475 %.
	if !(p.Rel > 0.0147 && p.Rel < 0.018) {
		t.Errorf("known to %v, want a little over 1.475 %%", p.Rel)
	}
	if p.Origin != FromTwoBalls || !p.Usable() || len(ns) == 0 || ns[len(ns)-1].Code != "two-balls" {
		t.Errorf("%+v, %v", p, ns)
	}
	for _, n := range ns {
		if n.Code == "depth-at-bone" {
			t.Error("one ball was said to lie at the bone")
		}
	}
	for _, r := range []float64{0, 1} { // the ends are the balls themselves
		p, _, err := TwoBalls(seenAt(1000, 40, 25), seenAt(1000, 290, 25), 0.5, r, SquareShape)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "an end", float64(p.Col), []float64{0.096, 0.071}[int(r)], 2e-5)
	}
}

func TestTwoBallsRefuse(t *testing.T) {
	behind, front := seenAt(1000, 40, 25), seenAt(1000, 290, 25)
	for _, r := range []float64{-0.01, 1.01, math.NaN(), math.Inf(1)} {
		var out *OutOfRangeError
		if _, _, err := TwoBalls(behind, front, 0.5, r, SquareShape); !errors.As(err, &out) || out.Field != "fraction" {
			t.Errorf("a fraction of %v gave %v", r, err)
		}
	}
	var crossed *ContradictionError
	if _, _, err := TwoBalls(front, behind, 0.5, 0.45, SquareShape); !errors.As(err, &crossed) {
		t.Errorf("balls the wrong way round gave %v", err)
	}
	var small *SmallMarkerError
	if _, _, err := TwoBalls(behind, RoundMark{rim(12, 9, 9, 5, 5, 0, SquareShape), 1}, 0.1, 0.45, SquareShape); err == nil {
		t.Error("a ball of 5 px was taken")
	}
	if _, _, err := TwoBalls(RoundMark{rim(12, 99, 99, 30, 30, 0, SquareShape), 25}, front, 0.1, 0.45, SquareShape); !errors.As(err, &small) {
		t.Errorf("a ball of 30 px gave %v", err)
	}
}

func TestKnownPart(t *testing.T) {
	// By hand: a nail of 10 mm seen 80 px wide is 0.125 mm a pixel; one of 400
	// mm seen 3200 px long as well.
	across, _, err := KnownPart(at(100, 100), at(180, 100), 0.5, 10, false, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "across", float64(across.Col), 0.125, 1e-12)
	along, ns, err := KnownPart(at(100, 100), at(100, 3300), 0.5, 400, true, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "along", float64(along.Col), 0.125, 1e-12)
	// By hand, first order: √((√2·0.5/3200)² + (0.1/400)² + 0.0088² + (5/1000)²).
	testkit.Near(t, "along is open to a tilt", along.Rel, math.Sqrt(math.Pow(0.5*math.Sqrt2/3200, 2)+math.Pow(0.1/400, 2)+0.0088*0.0088+0.005*0.005), 1e-9)
	if ns[0].Code != "part-along" || !ns[0].Caution {
		t.Errorf("nothing was said of a tilt: %v", ns)
	}
	for _, bad := range []struct {
		name string
		b    float64
		size units.MM
		long bool
	}{{"39 px across", 139, 10, false}, {"99 px along", 199, 400, true}, {"size 0", 180, 0, false}, {"no number", math.NaN(), 10, false}} {
		if p, _, err := KnownPart(at(100, 100), at(bad.b, 100), 0.5, bad.size, bad.long, SquareShape, atBone); err == nil || p.Usable() {
			t.Errorf("%s gave %v", bad.name, p)
		}
	}
}

// Law: a part seen twice as large gives half the millimetres for a pixel.
func TestKnownPartScales(t *testing.T) {
	for _, w := range []float64{50, 80, 333} {
		one, _, err1 := KnownPart(at(0, 0), at(w, 0), 0.5, 12, false, SquareShape, atBone)
		two, _, err2 := KnownPart(at(0, 0), at(2*w, 0), 0.5, 12, false, SquareShape, atBone)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		testkit.Near(t, "half", float64(two.Col), float64(one.Col)/2, 1e-12)
	}
}
