package plan

import (
	"isthmus/core/units"
)

// Imaged is one view of a screw in the head, measured on the film as it is,
// without any scale: the screw itself is the scale.
type Imaged struct {
	Tip   units.MM // tip of the screw to the apex of the head
	Screw units.MM // diameter of the screw
}

// TipApexResult is a tip–apex distance and what it means.
type TipApexResult struct {
	Distance units.MM `json:"distance_mm"`
	AP       units.MM `json:"ap_mm"`
	Lateral  units.MM `json:"lateral_mm"`
	Why      Reason   `json:"why"`
}

// TipApex returns the tip–apex distance of a screw of a known true diameter,
//
//	X_ap·(D_true/D_ap) + X_lat·(D_true/D_lat)
//
// with the magnification of each view taken out by the screw itself. Above the
// policy's red limit (25 mm; 25.0 passes) it is a caution, above the amber one
// (20 mm) a note; each screw closer to the apex than the clearance in a view
// is a caution too, for a small sum does not exclude a screw that is too deep.
// Source: Baumgaertner 1995 (old patients, one sliding screw). It decides
// nothing when a diameter or a distance is not that of a screw in a head.
func TipApex(ap, lat Imaged, trueDia units.MM, p Policy) (TipApexResult, []Problem) {
	for _, v := range []struct {
		field    string
		v, lo, h units.MM
	}{
		{"ap_tip_mm", ap.Tip, 0, 100}, {"lateral_tip_mm", lat.Tip, 0, 100},
		{"ap_screw_mm", ap.Screw, 1, 40}, {"lateral_screw_mm", lat.Screw, 1, 40}, {"true_screw_mm", trueDia, 1, 20},
	} {
		if !(v.v >= v.lo && v.v <= v.h) {
			return TipApexResult{}, []Problem{impossible(v.field, "tip-apex-impossible", v.v, v.lo, v.h)}
		}
	}
	r := TipApexResult{AP: ap.Tip * trueDia / ap.Screw, Lateral: lat.Tip * trueDia / lat.Screw}
	r.Distance = r.AP + r.Lateral
	r.Why = why("tip-apex", shown("ap", r.AP), shown("lateral", r.Lateral), shown("distance", r.Distance))
	var problems []Problem
	switch {
	case r.Distance > p.TipApexRed+guard:
		problems = append(problems, trouble("tip-apex-red", fields("ap_tip_mm", "lateral_tip_mm"),
			shown("distance", r.Distance), shown("limit", p.TipApexRed)))
	case r.Distance > p.TipApexAmber+guard:
		problems = append(problems, trouble("tip-apex-amber", fields("ap_tip_mm", "lateral_tip_mm"),
			shown("distance", r.Distance), shown("limit", p.TipApexAmber)))
	}
	if near := min(r.AP, r.Lateral); near < p.HeadClearance-guard {
		problems = append(problems, trouble("tip-apex-deep", fields("ap_tip_mm", "lateral_tip_mm"),
			shown("distance", near), shown("limit", p.HeadClearance)))
	}
	return r, problems
}
