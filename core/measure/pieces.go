package measure

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// ToJoin returns the way from one end of the bone (the trochanter tip or the
// distal target) to the mark that another film shows as well. Where the shaft
// was placed it is taken along the shaft, so that a mark beside the bone does
// no harm:
//
//	d = |(join − end)·u|,  u along the shaft;  else d = |join − end|
//
// Source: geometry. It refuses other ends, and 20…700 mm passed.
func ToJoin(f Film, end anatomy.Landmark) (units.Length, error) {
	b := JoinProbe(f, end)
	return f.length("the way from "+string(end)+" to the shared mark", b.lo, b.hi, b.of, b.names...)
}

// JoinProbe returns the probe of ToJoin on this film.
func JoinProbe(f Film, end anatomy.Landmark) Probe {
	names := []anatomy.Landmark{end, anatomy.Join}
	if !f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		return Probe{names, joinLo, lengthHi, between}
	}
	return Probe{append(names, anatomy.ShaftUpper, anatomy.ShaftLower), joinLo, lengthHi, alongShaft}
}

// joinLo is the shortest way to a shared mark: less is no overlap of films.
const joinLo = 20

func alongShaft(p []pt) ([]float64, error) {
	u, err := axis(p[2], p[3])
	if err != nil {
		return nil, err
	}
	d := geom.Dot(u, p[1].Minus(p[0]))
	if d < 0 {
		d = -d
	}
	return []float64{d}, nil
}

// Pieces returns the length that a broken bone will have when its two pieces
// stand against each other again, from a film on which they do not:
//
//	L = |tip − upper| + |target − lower|
//
// where upper and lower are the two places of the break that belong together.
// It assumes that nothing is missing between them, and that each piece lies
// parallel to the film. Source: geometry. It refuses 100…700 mm passed, and a
// piece under 20 mm.
func Pieces(f Film) (units.Length, error) {
	b := PiecesProbe()
	return f.length("the length of both pieces", b.lo, b.hi, b.of, b.names...)
}

// PiecesProbe returns the probe of Pieces.
func PiecesProbe() Probe {
	names := []anatomy.Landmark{anatomy.TrochanterTip, anatomy.PieceUpper, anatomy.DistalTarget, anatomy.PieceLower}
	return Probe{names, lengthLo, lengthHi, func(p []pt) ([]float64, error) {
		a, b := float64(geom.Dist(p[0], p[1])), float64(geom.Dist(p[2], p[3]))
		if !(a >= joinLo && b >= joinLo) {
			return nil, &CrossedError{Landmarks: names, Why: "make a piece of less than 20 mm"}
		}
		return []float64{a + b}, nil
	}}
}
