package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// fractionDoubt is the standard uncertainty of where the bone lies between
	// two markers, as a part of their distance. From memory: CT data of King
	// 2009 put the bone at 0.45, and ± 0.05 is ± 1.5 % of the scale.
	fractionDoubt = 0.05
	// tiltDoubt is the relative standard uncertainty for a part that may lie
	// tilted in the bone by up to 10°: (1 − cos 10°)/√3. By hand.
	tiltDoubt = 0.0088
	// minAcross is the smallest width of a part: slips of 1 px are then 3.5 %.
	minAcross units.Px = 40
)

// A RoundMark is the rim of a ball on the film and its true diameter.
type RoundMark struct {
	Rim      []geom.Pt[units.Px]
	Diameter units.MM
}

// TwoBalls returns the scale at a bone that lies at the fraction r of the way
// from a ball behind it (nearer the detector) to one in front (nearer the
// tube):
//
//	s = (1 − r)·s_behind + r·s_front
//
// since the size of a pixel grows evenly with the distance from the tube, as
// 1/M does; a mean of the magnifications is wrong. The fraction is open by
// ± 2·0.05. Source: geometry; King 2009, Bone Joint J. It refuses a fraction
// outside 0…1, a front ball that looks no larger than the one behind, and what
// Ball refuses of either.
func TwoBalls(behind, front RoundMark, slip units.Px, r float64, shape Shape) (Plane, []Notice, error) {
	if !(r >= 0 && r <= 1) {
		return Plane{}, nil, &OutOfRangeError{Name: "the place of the bone between the markers", Field: "fraction", Got: r, Lo: 0, Hi: 1, Do: "enter 0 for the ball behind and 1 for the ball in front"}
	}
	at := Depth{AtBone: true, Known: true}
	b, ns, err := Ball(behind.Rim, slip, behind.Diameter, shape, at)
	if err != nil {
		return Plane{}, nil, err
	}
	f, more, err := Ball(front.Rim, slip, front.Diameter, shape, at)
	if err != nil {
		return Plane{}, nil, err
	}
	if !(f.Col < b.Col) {
		return Plane{}, nil, &ContradictionError{What: "millimetres for a pixel at the ball in front and at the one behind", A: float64(f.Col), B: float64(b.Col), Unit: "mm",
			Do: "the ball nearer the tube looks larger for its size; check which is which, and both diameters"}
	}
	deep := heightAtBone / nominalSOD // of each ball, which the fraction takes the place of
	sb, sf := float64(b.Col), float64(f.Col)
	s := (1-r)*sb + r*sf
	ub := (1 - r) * sb * math.Sqrt(math.Max(0, b.Rel*b.Rel-deep*deep))
	uf := r * sf * math.Sqrt(math.Max(0, f.Rel*f.Rel-deep*deep))
	ur := (sb - sf) * fractionDoubt
	p := Plane{Row: units.MM(s * shape.RowPerCol), Col: units.MM(s), Rel: math.Sqrt(ub*ub+uf*uf+ur*ur) / s,
		Origin: FromTwoBalls, Sources: []source.Key{source.Geometry, source.GUM, source.King2009}}
	return p, append(rimOnly(append(ns, more...)), note("two-balls", num("fraction", r), percent(ur/s)).by(source.Geometry, source.King2009)), nil
}

// rimOnly leaves out what is said of the depth of one ball.
func rimOnly(ns []Notice) []Notice {
	var out []Notice
	for _, n := range ns {
		if n.Code != "depth-at-bone" {
			out = append(out, n)
		}
	}
	return out
}

// KnownPart returns the scale from a screw or a nail of known size that lies
// in the bone: two points across it, or along it from end to end:
//
//	s = true / seen,  u(seen) = √2·slip
//
// Across it a tilt does no harm, for a round bar is as wide from every side.
// Along it a tilt makes the part look short and the bone then reads too long;
// ± 2·0.9 % is allowed for it. Source: geometry; JCGM 100:2008, 5.1.2. It
// refuses less than 40 px across or 100 px along, sizes outside 3…1000 mm, and
// what Depth refuses.
func KnownPart(a, b geom.Pt[units.Px], slip units.Px, size units.MM, along bool, shape Shape, d Depth) (Plane, []Notice, error) {
	if err := checkMark("the size of the part", slip, size, 3, 1000, shape); err != nil {
		return Plane{}, nil, err
	}
	if !a.Finite() || !b.Finite() {
		return Plane{}, nil, &geom.FitError{Shape: "line", Got: 2, Need: 2, Why: "not-finite"}
	}
	pts, s := squared([]geom.Pt[units.Px]{a, b}, slip, shape)
	seen := extent{size: geom.Dist(pts[0], pts[1]), u: s * math.Sqrt2}
	least := minAcross
	var ns []Notice
	if along {
		least, seen.rel = minRuler, tiltDoubt
		ns = append(ns, caution("part-along", percent(tiltDoubt)).by(source.Geometry))
	}
	if small := units.Px(float64(seen.size) / math.Max(1, shape.RowPerCol)); !(small >= least) {
		return Plane{}, nil, &SmallMarkerError{Kind: FromPart, Got: small, Need: least}
	}
	p, more, err := seen.plane(FromPart, size, shape, d)
	return p, append(ns, more...), err
}
