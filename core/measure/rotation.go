package measure

import (
	"math"

	"isthmus/core/source"
	"isthmus/core/units"
)

// ratioStep is how many degrees lie between the rows of ratioTable.
const ratioStep = 5.0

// ratioTable holds the distance from the lateral cortex to the tip of the
// lesser trochanter in percent of that in neutral rotation, from 20 degrees
// of internal to 25 degrees of external rotation.
// Source: Turgut 2020, PMC7286169, 860 CT.
var ratioTable = [...]float64{88, 90, 93, 97, 100, 102, 104, 106, 107, 108}

// ratioFirst is the rotation of the first row, internal rotation negative.
const ratioFirst = -20.0

// ratioRound is the standard uncertainty of a table printed in whole percent:
// half a percent either way, evenly likely. Source: JCGM 100:2008, 4.3.7.
const ratioRound = 0.5 / 1.7320508

// RotationFromLesser returns the rotation of the proximal femur (external
// positive) from the profile of the lesser trochanter: the distance from the
// lateral cortex to its tip, over the same distance in neutral rotation or on
// the other side, between the rows of a published table:
//
//	θ = θᵢ + 5°·(r − rᵢ)/(rᵢ₊₁ − rᵢ)
//
// Beyond 15 degrees of external rotation 1 % is 5 degrees, so it says little
// there. It is an aid and no proof: in patients it was no better than looking
// (2023 trial, see RotationSources). It refuses a ratio outside the table,
// 0.88…1.08.
func RotationFromLesser(ratio units.Ratio) (units.Angle, error) {
	r := ratio.Best * 100
	last := len(ratioTable) - 1
	if !(r >= ratioTable[0]-1e-9 && r <= ratioTable[last]+1e-9) {
		return units.Angle{}, &OutsideError{What: "the profile of the lesser trochanter", Got: r, Lo: ratioTable[0], Hi: ratioTable[last], Unit: "percent of neutral"}
	}
	if !(ratio.U >= 0 && ratio.U <= 1) {
		return units.Angle{}, &OutsideError{What: "the doubt of the profile", Got: ratio.U * 100, Lo: 0, Hi: 100, Unit: "percent"}
	}
	i := 0
	for i < last-1 && r > ratioTable[i+1] {
		i++
	}
	slope := ratioStep / (ratioTable[i+1] - ratioTable[i])
	return units.Angle{
		Best: units.Deg(ratioFirst + ratioStep*float64(i) + slope*(r-ratioTable[i])),
		Own:  units.Deg(slope * math.Hypot(ratio.U*100, ratioRound)),
	}, nil
}

// RotationSources returns who says what RotationFromLesser uses.
func RotationSources() []source.Key { return []source.Key{source.Turgut, source.GUM} }
