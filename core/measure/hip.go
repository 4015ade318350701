package measure

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// What the upper end of a femur can measure; as in shaft.go, from memory.
const (
	headLo, headHi = 20, 80
	neckLo, neckHi = 5, 60
	nsaLo, nsaHi   = 90, 170
	pathLo, pathHi = 20, 200
)

// nearEdge of the radius is how far off the centre a screw's line may pass
// before its way out of the head is no longer told: there the rim runs
// almost along the screw.
const nearEdge = 0.95

var rimMarks = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3}

func with(more ...anatomy.Landmark) []anatomy.Landmark {
	return append(append([]anatomy.Landmark{}, rimMarks...), more...)
}

func head(p []pt) (geom.Circle[units.MM], error) {
	c, err := geom.CircleThrough(p[0], p[1], p[2])
	if err != nil {
		return c, &CrossedError{Landmarks: rimMarks, Why: "coincide or lie on a line, which gives no circle"}
	}
	return c, nil
}

// HeadDiameter returns the diameter of the circle through the three rim
// points of the head. It assumes a round head. Source: geometry. It refuses
// points on a line and 20…80 mm passed.
func HeadDiameter(f Film) (units.Length, error) {
	a := func(p []pt) ([]float64, error) {
		c, err := head(p)
		return []float64{2 * float64(c.R)}, err
	}
	return f.length("the diameter of the head", headLo, headHi, a, rimMarks...)
}

// HeadCentre returns the centre of the head on the film, in pixels, with the
// larger of its two standard uncertainties. It refuses what HeadDiameter
// refuses.
func HeadCentre(f Film) (Placed, error) {
	if _, err := HeadDiameter(f); err != nil {
		return Placed{}, err
	}
	v, err := f.work(func(p []pt) ([]float64, error) {
		c, err := head(p)
		return []float64{float64(c.Centre.X), float64(c.Centre.Y)}, err
	}, rimMarks...)
	if err != nil {
		return Placed{}, err
	}
	col, row := float64(f.Plane.Col), float64(f.Plane.Row)
	return Placed{
		At:   geom.Pt[units.Px]{X: units.Px(v[0].best / col), Y: units.Px(v[1].best / row)},
		Slip: units.Px(math.Max(v[0].own/col, v[1].own/row)),
	}, nil
}

// NeckRoom returns the inner height of the neck at its narrowest, from the
// upper to the lower inner edge. Source: geometry. It refuses 5…60 mm passed.
func NeckRoom(f Film) (units.Length, error) {
	return f.length("the inner height of the neck", neckLo, neckHi, between, anatomy.NeckUpper, anatomy.NeckLower)
}

// NeckShaftAngle returns the angle between the axis of the neck (from the
// middle of its narrowest place to the centre of the head) and that of the
// shaft (downwards) on an AP film. A leg that is turned reads too steep
// (see Version). Source: geometry. It refuses other views, points that give
// no direction, and 90…170 degrees passed.
func NeckShaftAngle(f Film) (units.Angle, error) {
	if f.View != anatomy.AP {
		return units.Angle{}, &ViewError{Got: f.View, Need: anatomy.AP}
	}
	names := with(anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower)
	v, err := f.work(neckShaft, names...)
	if err != nil {
		return units.Angle{}, err
	}
	if !(v[0].best >= nsaLo && v[0].best <= nsaHi) {
		return units.Angle{}, &OutsideError{What: "the neck–shaft angle", Got: v[0].best, Lo: nsaLo, Hi: nsaHi, Unit: "degrees", Landmarks: names}
	}
	return v[0].angle(), nil
}

func neckShaft(p []pt) ([]float64, error) {
	c, err := head(p)
	if err != nil {
		return nil, err
	}
	u, err := axis(p[5], p[6])
	if err != nil {
		return nil, err
	}
	neck := c.Centre.Minus(geom.Mid(p[3], p[4]))
	deg, ok := geom.AngleDeg(neck, u)
	if !ok || !(geom.Dot(neck, neck) >= 25) {
		return nil, &CrossedError{Landmarks: with(anatomy.NeckUpper, anatomy.NeckLower), Why: "put the middle of the neck less than 5 mm from the centre of the head, which gives no direction"}
	}
	return []float64{deg}, nil
}

// A Path is the way of a head screw on an AP film. Lengths square to the
// screw are taken to its axis and carry a sign.
type Path struct {
	ToSurface   units.Length // from the outer lateral cortex to the surface of the head, along the screw
	OffCentre   units.Length // the screw runs this far above the centre of the head (below: negative)
	AboveCalcar units.Length // the screw runs this far above the lower inner edge of the neck
	BelowUpper  units.Length // the screw runs this far below the upper inner edge of the neck
}

// ScrewPath returns the way of a head screw that enters at the lateral cortex
// and runs at nailToScrew to the shaft (the obtuse angle, as the neck–shaft
// angle is) towards the head. Inset moves the line up, parallel, by so many
// millimetres, for the upper screw; there the lateral cortex is taken to run
// along the shaft. With θ = 180° − nailToScrew, s the direction of the screw,
// n square to it (upwards), c and R the head and q the entry:
//
//	off centre = (q − c)·n
//	to surface = (c − q)·s + √(R² − off²)
//
// It assumes that the nail lies along the shaft axis and the screw in the
// plane of the film: on a film with the neck turned out of that plane by a,
// the way reads too short, by cos a. Source: geometry. It refuses other
// views, a line that passes within 5 % of the edge of the head or misses it,
// and points that lie on the wrong side of one another.
func ScrewPath(f Film, nailToScrew units.Deg, inset units.MM) (Path, error) {
	if f.View != anatomy.AP {
		return Path{}, &ViewError{Got: f.View, Need: anatomy.AP}
	}
	if !(nailToScrew > nsaLo && nailToScrew < nsaHi) {
		return Path{}, &OutsideError{What: "the angle between nail and screw", Got: float64(nailToScrew), Lo: nsaLo, Hi: nsaHi, Unit: "degrees"}
	}
	if !(inset >= 0 && inset <= 40) {
		return Path{}, &OutsideError{What: "the distance between the two head screws", Got: float64(inset), Lo: 0, Hi: 40, Unit: "mm"}
	}
	names := with(anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.LateralCortex)
	v, err := f.work(screw{float64(nailToScrew), inset}.path, names...)
	if err != nil {
		return Path{}, err
	}
	if !(v[0].best >= pathLo && v[0].best <= pathHi) {
		return Path{}, &OutsideError{What: "the way of the screw", Got: v[0].best, Lo: pathLo, Hi: pathHi, Unit: "mm", Landmarks: names}
	}
	return Path{v[0].length(), v[1].length(), v[2].length(), v[3].length()}, nil
}

type screw struct {
	deg   float64
	inset units.MM
}

// path answers to surface, off centre, above the calcar, below the upper edge.
func (w screw) path(p []pt) ([]float64, error) {
	c, err := head(p)
	if err != nil {
		return nil, err
	}
	down, err := axis(p[5], p[6])
	if err != nil {
		return nil, err
	}
	medial := pt{X: -down.Y, Y: down.X}
	toHead := geom.Dot(medial, c.Centre.Minus(p[5]))
	if toHead < 0 {
		medial, toHead = medial.Times(-1), -toHead
	}
	if !(toHead > float64(c.R)/2) || geom.Dot(medial, p[7].Minus(p[5])) >= 0 {
		return nil, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.LateralCortex, anatomy.ShaftUpper, anatomy.HeadRim1}, Why: "must lie one beside the other: cortex, shaft, head"}
	}
	up := down.Times(-1)
	sin, cos := math.Sincos((180 - w.deg) * math.Pi / 180)
	along := up.Times(cos).Plus(medial.Times(sin))
	above := up.Times(sin).Minus(medial.Times(cos))
	if geom.Dot(above, p[3].Minus(p[4])) <= 0 {
		return nil, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.NeckUpper, anatomy.NeckLower}, Why: "lie in the wrong order, the upper edge below the lower"}
	}
	entry := p[7].Plus(up.Times(float64(w.inset) / sin))
	off := geom.Dot(above, entry.Minus(c.Centre))
	r := float64(c.R)
	if !(math.Abs(off) < nearEdge*r) {
		return nil, &MissesHeadError{Off: units.MM(off), Radius: c.R}
	}
	return []float64{
		geom.Dot(along, c.Centre.Minus(entry)) + math.Sqrt(r*r-off*off),
		off,
		geom.Dot(above, entry.Minus(p[4])),
		geom.Dot(above, p[3].Minus(entry)),
	}, nil
}
