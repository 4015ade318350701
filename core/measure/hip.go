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
// shaft (downwards) on an AP film: the angle as a film with the kneecap
// forwards shows it, not that of the bone, which version makes look steeper
// (see Version). Its doubt holds the slips, a beam that spreads and a leg that
// is turned, by frontDoubt. It assumes that both points of the shaft lie on
// one piece. Source: geometry. It refuses other views, points that give no
// direction, and 90…170 degrees passed.
func NeckShaftAngle(f Film) (units.Angle, error) {
	a, err := f.neckShaft()
	if err != nil {
		return units.Angle{}, err
	}
	alike, apart := frontDoubt(a.Best)
	a.Own = units.Deg(math.Hypot(float64(a.Own), math.Hypot(alike, apart)))
	return a, nil
}

// NeckShaftSeen is NeckShaftAngle for use beside a lateral film of the same leg
// (Version): how far the leg is turned is then part of the answer, so that only
// the slips and the spread of the beam are left in its doubt.
func NeckShaftSeen(f Film) (units.Angle, error) {
	a, err := f.neckShaft()
	if err != nil {
		return units.Angle{}, err
	}
	a.Own = units.Deg(math.Hypot(float64(a.Own), beamFront))
	return a, nil
}

// BesideOther returns a NeckShaftAngle without the part of its doubt that two
// films of two legs have alike, for the difference of both.
func BesideOther(a units.Angle) units.Angle {
	alike, _ := frontDoubt(a.Best)
	a.Own = units.Deg(math.Sqrt(max(0, float64(a.Own)*float64(a.Own)-alike*alike)))
	return a
}

// What a usual film from the front is, for the doubt only.
const (
	hipFar       = 0.24                   // the hip from the central ray, over the distance of the tube: 220 of 920 mm on a film of the whole femur
	neckForward  = 13.0                   // version, degrees. Source: PMC4775021, Toogood 2008
	neckForwardU = 8.0                    // its standard deviation
	legTurn      = 8 / 1.7320508075688772 // the leg turned 8° either way, evenly likely. Common practice
	edgeTurn     = 0.5                    // the edges of the neck are shifted by the same spread, degrees. Source: drawn femora of core/phantom
	rad          = math.Pi / 180
)

// frontDoubt returns the standard uncertainty of a neck–shaft angle that an AP
// film shows, in degrees, for the spread of the beam and the turn of the leg.
// With p = 180° − the angle seen, v = version and e = hipFar, SeenFromFront
// gives to first order
//
//	alike² = (e·sin²p·sin v)² + 0.5²
//	apart² = (e·sin²p·cos v)²·(u(v)² + u(turn)²) + (½·sin 2p·tan v·u(turn))²
//
// Alike is what the films of two legs share, that of the mean version; tan v
// is taken with its spread. Source: geometry.
func frontDoubt(seen units.Deg) (alike, apart float64) {
	sin, cos := math.Sincos(float64(180-seen) * rad)
	alike = math.Hypot(hipFar*sin*sin*math.Sin(neckForward*rad)/rad, edgeTurn)
	spread := hipFar * sin * sin * math.Cos(neckForward*rad) * math.Hypot(neckForwardU, legTurn)
	turn := sin * cos * math.Hypot(math.Tan(neckForward*rad), neckForwardU*rad) * legTurn
	return alike, math.Hypot(spread, turn)
}

// SeenFromFront returns the neck–shaft angle that a film from the front shows
// of a neck that stands forwards of its plane by a (version + outward turn of
// the leg), its hip at far·S above the central ray, S from the tube:
//
//	tan(180° − seen) = tan p · cos a / (1 + far · tan p · sin a),  p = 180° − nsa
//
// The head lies nearer to the tube than the neck and is seen further out. With
// far = 0 it is the formula of OnFilms. Source: geometry, to first order of the
// depth over S. It refuses 91…179 degrees, −89…89 degrees and 0…0.5 passed.
func SeenFromFront(nsa, a units.Deg, far float64) (units.Deg, error) {
	if err := inDegrees("the neck–shaft angle", units.Angle{Best: nsa}, 91, 179); err != nil {
		return 0, err
	}
	if err := inDegrees("the version with the turn of the leg", units.Angle{Best: a}, -89, 89); err != nil {
		return 0, err
	}
	if !(far >= 0 && far <= 0.5) {
		return 0, &OutsideError{What: "the hip from the central ray over the distance of the tube", Got: far, Lo: 0, Hi: 0.5, Unit: "times"}
	}
	sin, cos := math.Sincos(float64(a) * rad)
	p := math.Tan(float64(180-nsa) * rad)
	return units.Deg(180 - math.Atan2(p*cos, 1+far*p*sin)/rad), nil
}

// neckShaft is the angle with the doubt of the slips alone.
func (f Film) neckShaft() (units.Angle, error) {
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
