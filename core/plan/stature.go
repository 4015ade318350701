package plan

import (
	"math"

	"isthmus/core/units"
)

// A Regression is one line of Trotter and Gleser 1952: stature = Slope·femur +
// Base, in millimetres, with the standard error of the stature (from memory).
type Regression struct {
	Group    string
	Slope    float64
	Base, SE units.MM
}

var regressions = []Regression{
	{"white male", 2.38, 614.1, 32.7},
	{"white female", 2.47, 541.0, 37.2},
	{"black male", 2.11, 703.5, 39.4},
	{"black female", 2.28, 597.6, 34.1},
}

// Regressions returns the four lines in the paper's own terms and order.
func Regressions() []Regression { return append([]Regression(nil), regressions...) }

// Femur returns the length of the whole femur that goes with a stature,
//
//	F = (S − base) / slope
//
// Source: Trotter and Gleser 1952, Appendix 1–4; skeletons of the 1940s.
func (r Regression) Femur(stature units.MM) units.MM {
	return (stature - r.Base) / units.MM(r.Slope)
}

// StatureCheck compares the length of a whole femur with a stature and returns
// the range of all four regressions, each widened by Sure standard errors, and
// a caution when the femur lies surely outside. It asks nobody's ancestry. It
// only warns; no nail is ever worked out from it. A stature outside 1300 to
// 2200 mm or a femur outside 300 to 600 mm is refused.
func StatureCheck(stature units.MM, femur units.Length) (lo, hi units.MM, problems []Problem) {
	if !(stature >= 1300 && stature <= 2200) {
		return 0, 0, []Problem{impossible("stature_mm", "stature-impossible", stature, 1300, 2200)}
	}
	if !femur.Finite() || !(femur.Best >= 300 && femur.Best <= 600) {
		return 0, 0, []Problem{impossible("femur_mm", "stature-impossible", femur.Best, 300, 600)}
	}
	lo, hi = units.MM(math.Inf(1)), units.MM(math.Inf(-1))
	for _, r := range regressions {
		f, wide := r.Femur(stature), units.Sure*r.SE/units.MM(r.Slope)
		lo, hi = min(lo, f-wide), max(hi, f+wide)
	}
	if femur.Against(lo) == units.Less || femur.Against(hi) == units.More {
		problems = []Problem{trouble("stature-differs", fields("films"), length("femur", femur),
			shown("stature", stature), shown("low", lo), shown("high", hi))}
	}
	return lo, hi, problems
}

// endsApart is the most by which the way from the trochanter tip to the distal
// target is taken to be shorter than the whole femur. From memory it is 40 to
// 70 mm; 100 mm leaves room, for this only warns.
const endsApart units.MM = 100

// statureProblems warns of a bone that does not go with the stature: longer
// than any whole femur of that stature, or shorter by more than its two ends
// explain,
//
//	L > hi  or  L < lo − 100 mm
//
// with lo and hi as in StatureCheck. It warns only; no length is ever worked
// out from a stature.
func statureProblems(stature *units.MM, l *units.Length) []Problem {
	if stature == nil || l == nil {
		return nil
	}
	lo, hi, bad := StatureCheck(*stature, units.Exact(450))
	if len(bad) > 0 && bad[0].Code == "stature-impossible" {
		bad[0].Fields = fields("injury.stature_mm")
		return bad
	}
	if l.Against(hi) == units.More || l.Against(lo-endsApart) == units.Less {
		return []Problem{trouble("stature-differs", fields("injury.stature_mm", "films"), length("femur", *l),
			shown("stature", *stature), shown("low", lo-endsApart), shown("high", hi))}
	}
	return nil
}
