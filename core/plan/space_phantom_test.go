package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/measure"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// drawn returns the film of a femur with every landmark where it truly is, by a
// beam that spreads, without drawing it.
func drawn(t *testing.T, f phantom.Femur, v anatomy.View, look phantom.Region) (measure.Film, phantom.Truth) {
	t.Helper()
	truth, err := phantom.Know(f, phantom.Shoot(v, anatomy.Left, look))
	if err != nil {
		t.Fatal(err)
	}
	at := measure.Points{}
	for l, p := range truth.At {
		at[l] = measure.Placed{At: p.Film, Slip: 2}
	}
	return measure.Film{View: v, At: at, Plane: calibrate.Plane{Row: truth.Row, Col: truth.Col, Rel: 0.005, Origin: calibrate.FromBallMark}}, truth
}

// Version and neck–shaft angle of femora drawn by a spreading beam, straight
// and bowed, whole on the film or with the hip in its middle: the formula is
// one of parallel beams and a straight shaft, and the stated doubt must hold
// what that leaves out. Truth: core/phantom.
func TestSpaceHoldsTheTruthOfDrawnFemora(t *testing.T) {
	const n = 60
	for _, look := range []phantom.Region{phantom.Whole, phantom.Upper} {
		for _, bowed := range []bool{false, true} {
			held, shaft, front, asked := 0, 0, 0, 0
			for seed := uint64(1); seed <= n; seed++ {
				f := phantom.Random(seed)
				f.Break, f.Second, f.Neck2 = phantom.Break{}, phantom.Break{}, phantom.Crack{}
				if !bowed {
					f.Bow = 0
				}
				a, truth := drawn(t, f, anatomy.AP, look)
				l, _ := drawn(t, f, anatomy.Lateral, look)
				fr, err1 := measure.NeckFromFront(a)
				si, err2 := measure.NeckFromSide(l)
				if err1 != nil || err2 != nil {
					continue // a neck that looks upright from the side gives no direction
				}
				v, nsa, err := measure.Version(fr.Angle, si.Gamma)
				if err != nil {
					t.Fatal(err)
				}
				asked++
				sin := math.Sin(float64(180-truth.NSA)*math.Pi/180) * math.Sin(float64(truth.Version)*math.Pi/180)
				held += heldBy(float64(v.Best-truth.Version), float64(v.Own))
				shaft += heldBy(float64(nsa.Best-truth.NSA), float64(nsa.Own))
				front += heldBy(float64(si.Front.Best)-float64(f.Reach)*sin, float64(si.Front.Doubt()))
			}
			if asked < 0.9*n {
				t.Errorf("%s: only %d of %d could be told", look, asked, n)
			}
			for _, c := range []struct {
				what string
				in   int
			}{{"version", held}, {"neck–shaft angle", shaft}, {"head in front of the shaft", front}} {
				t.Logf("%s, bowed %v: %s held %d of %d", look, bowed, c.what, c.in, asked)
				if 100*c.in < 90*asked {
					t.Errorf("%s, bowed %v: the ± of the %s holds the truth in %d of %d", look, bowed, c.what, c.in, asked)
				}
			}
		}
	}
}

func heldBy(off, u float64) int {
	if math.Abs(off) <= units.Sure*u {
		return 1
	}
	return 0
}
