package calibrate

import (
	"math"

	"isthmus/core/units"
)

// UsualMagnification returns a site's usual magnification with the spread from
// patient to patient as its doubt, u(M)/M = 4.1/114.1. Source: Wangjiraphan,
// Lampang Med J, 199 hip images. It refuses a factor outside 1…1.6.
func UsualMagnification(factor float64) (units.Ratio, error) {
	if err := checkFactor("the usual magnification", "factor", factor); err != nil {
		return units.Ratio{}, err
	}
	return units.Ratio{Best: factor, U: factor * relSite}, nil
}

// AtDepth returns the magnification of the bone from that of a marker, which
// adds the doubt of the marker's height: ± 2·5 mm when a person held it to lie
// at the bone, ± 2·15 mm when nobody says where it lay, each over a distance
// of 1000 mm from the tube. Source: geometry; about 1 % for each 10 mm
// (Klever 2022).
func AtDepth(m units.Ratio, atBone bool) units.Ratio {
	h := heightUnknown
	if atBone {
		h = heightAtBone
	}
	return units.Ratio{Best: m.Best, U: math.Hypot(m.U, m.Best*h/nominalSOD)}
}
