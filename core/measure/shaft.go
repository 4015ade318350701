package measure

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// What a femur can measure, in millimetres. Wide on purpose: a result outside
// is a wrong point or a wrong scale, not a rare patient. From memory; the
// published ranges a person is warned about are core/plan's.
const (
	lengthLo, lengthHi = 100, 700
	canalLo, canalHi   = 3, 40
	outerLo, outerHi   = 10, 80
)

// beyondTarget is how far past the distal target the notch or a fracture can
// still lie on the bone. From memory.
const beyondTarget = 120

// maxSkew is how far two points of one width may lie out of square with the
// shaft before they are no width: 30 degrees. Common practice.
const maxSkew = 30.0

// A Notice is something about a measurement that a person should know.
type Notice struct {
	Code      string
	Landmarks []anatomy.Landmark // what to place to do better
}

// Text returns the notice as a sentence: what was done and what would be better.
func (n Notice) Text() string {
	what := "the canal"
	if n.Code == "outer-direct" {
		what = "the outer width"
	}
	return "measure: " + what + " is taken straight from point to point and reads too wide if they are not square to the shaft: place " + list(n.Landmarks)
}

// Notices returns what a person should know about how this film is measured:
// "canal-direct" and "outer-direct" where no shaft axis was placed.
func Notices(f Film) []Notice {
	axis := []anatomy.Landmark{anatomy.ShaftUpper, anatomy.ShaftLower}
	if f.has(axis...) {
		return nil
	}
	var ns []Notice
	if f.has(anatomy.CanalA, anatomy.CanalB) {
		ns = append(ns, Notice{"canal-direct", axis})
	}
	if f.has(anatomy.OuterA, anatomy.OuterB) {
		ns = append(ns, Notice{"outer-direct", axis})
	}
	return ns
}

// Length returns the distance from the tip of the greater trochanter to the
// distal target, in a straight line in the plane of the film:
//
//	L = |target − tip|
//
// A bone that lies at an angle θ to the film reads too short, by cos θ.
// Source: DICOM PS3.3, 10.7.1.3. It refuses 100…700 mm passed.
func Length(f Film) (units.Length, error) {
	return f.length("the length of the femur", lengthLo, lengthHi, between, anatomy.TrochanterTip, anatomy.DistalTarget)
}

const (
	// levelSpread of a level is its standard uncertainty for a beam that spreads
	// over a bowed bone that is tilted. A place y from the central ray that lies z
	// off the plane of the scale is seen y·z/S off, S from the tube. On a film of
	// a whole femur the tip has y = 200 mm and S is 1000 mm: half of a usual bow
	// and the trochanter behind the shaft are z = 11 mm, 2.2 mm; a tilt of 2.3° is
	// 8 mm, 1.6 mm. With what the place itself adds, 3.4 mm at an isthmus 170 mm
	// below. Nearer places share more of it, so it grows with the level, and the
	// levels of one film have it alike. Source: geometry; drawn femora of core/phantom.
	levelSpread = 0.02
	// levelDepth is the part that each place has by itself, in mm: 50 mm from
	// the central ray, a place 10 mm nearer to the tube than the axis of the bone,
	// or further from it. The lesser trochanter has lesserDepth: it lies 18 mm
	// behind that axis and 130 mm from the ray, 920 mm under the tube. Source: geometry.
	levelDepth, lesserDepth = 0.5, 2.5
	// axisBend is the standard uncertainty, in degrees, of the direction of a
	// piece of a bone on a film on which its pieces stand apart: 8° either way,
	// evenly likely, half of it at the axis, and 10 mm aside. Common practice.
	axisBend = 3.0
)

// Level returns how far below the tip of the greater trochanter a landmark
// lies, along the line from there to the distal target:
//
//	d = (p − tip)·u,  u = (target − tip)/|target − tip|
//
// CanalA or CanalB stand for the isthmus: the middle of the two. Its doubt
// holds the slips, the scale, and 2 % of the level for the spread of the beam
// and a tilt, which the levels of one film share with the scale. It assumes
// that the bone is at its length. Source: geometry. It refuses a level above
// the tip; one beyond the target, except for the notch and the fracture (up to
// 120 mm); an upper end of the fracture that lies below its lower end.
func Level(f Film, l anatomy.Landmark) (units.Length, error) { return f.level(l, 0) }

// LevelApart returns Level for a place on the upper piece of a bone whose
// pieces stand apart on this film. The lower piece has turned the axis by an
// angle φ that nobody knows, u(φ) = 3°; for a place h beside the axis that adds
//
//	u² = (h·φ)² + (d·φ²/2)²
//
// Of a place on the lower piece it says nothing: that is not where it will be.
// Source: geometry; common practice for φ. It refuses what Level refuses.
func LevelApart(f Film, l anatomy.Landmark) (units.Length, error) {
	return f.level(l, axisBend*math.Pi/180)
}

func (f Film) level(l anatomy.Landmark, bend float64) (units.Length, error) {
	names := []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget, l}
	if l == anatomy.CanalA || l == anatomy.CanalB {
		names = []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget, anatomy.CanalA, anatomy.CanalB}
	}
	v, err := f.work(levelOf, names...)
	if err != nil {
		return units.Length{}, err
	}
	hi := v[1].best
	switch l {
	case anatomy.Notch, anatomy.FractureUpper, anatomy.FractureLower, anatomy.SecondUpper, anatomy.SecondLower:
		hi += beyondTarget
	}
	d, h := v[0].best, v[2].best
	if !(d >= 0 && d <= hi) {
		return units.Length{}, &OutsideError{What: "the level of " + string(l) + " below the trochanter tip", Got: d, Lo: 0, Hi: hi, Unit: "mm", Landmarks: names}
	}
	if err := f.fractureOrder(l); err != nil {
		return units.Length{}, err
	}
	out, deep := v[0].length(), levelDepth
	if l == anatomy.LesserTroch {
		deep = lesserDepth
	}
	out.Own = units.MM(math.Hypot(math.Hypot(v[0].own, deep), math.Hypot(h*bend, d*bend*bend/2)))
	out.Shared = units.MM(math.Hypot(v[0].shared, levelSpread*d))
	return out, nil
}

// levelOf answers the level of the middle of the last points, the length of
// the axis, and how far beside it they lie.
func levelOf(p []pt) ([]float64, error) {
	at := p[2]
	if len(p) == 4 {
		at = geom.Mid(p[2], p[3])
	}
	along, beside, ok := line{A: p[0], B: p[1]}.Along(at)
	if !ok || geom.Dist(p[0], p[1]) < 1 {
		return nil, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget}, Why: "coincide"}
	}
	return []float64{float64(along), float64(geom.Dist(p[0], p[1])), float64(beside)}, nil
}

// ShaftAbove reports whether the lower point of the shaft lies surely above a
// landmark, down the shaft: by more than Sure standard uncertainties of their
// slips. It reports false where one of the three cannot be measured.
func ShaftAbove(f Film, l anatomy.Landmark) bool {
	v, err := f.work(func(p []pt) ([]float64, error) {
		u, err := axis(p[0], p[1])
		if err != nil {
			return nil, err
		}
		return []float64{geom.Dot(u, p[2].Minus(p[1]))}, nil
	}, anatomy.ShaftUpper, anatomy.ShaftLower, l)
	return err == nil && v[0].length().Against(0) == units.More
}

// slack is how far two points may lie the wrong way round and still be in
// order for all that their slips say: a transverse break has both of its ends
// at one level. Sure·√2·slip.
func (f Film) slack(names ...anatomy.Landmark) units.MM {
	var most units.Px
	for _, n := range names {
		most = max(most, f.At[n].Slip)
	}
	return units.Sure * math.Sqrt2 * units.MM(most) * max(f.Plane.Row, f.Plane.Col)
}

func (f Film) fractureOrder(l anatomy.Landmark) error {
	both := []anatomy.Landmark{anatomy.FractureUpper, anatomy.FractureLower}
	if l != both[0] && l != both[1] || !f.has(both...) {
		return nil
	}
	p, err := f.points(anatomy.TrochanterTip, anatomy.DistalTarget, both[0], both[1])
	if err != nil {
		return err
	}
	axis := line{A: p[0], B: p[1]}
	upper, _, _ := axis.Along(p[2])
	lower, _, _ := axis.Along(p[3])
	if !(upper <= lower+f.slack(both...)) {
		return &CrossedError{Landmarks: both, Why: "lie in the wrong order, the upper end below the lower"}
	}
	return nil
}

// Canal returns the width of the canal at the isthmus, square to the shaft
// where its axis was placed:
//
//	w = |(b − a) × u|,  u along the shaft
//
// and else from point to point, which reads too wide when the points are not
// square to the shaft (see Notices). Source: geometry. It refuses 3…40 mm
// passed, points more than 30° out of square, and inner edges that lie
// outside the outer ones.
func Canal(f Film) (units.Length, error) {
	w, err := f.width("the width of the canal", canalLo, canalHi, anatomy.CanalA, anatomy.CanalB)
	if err != nil {
		return units.Length{}, err
	}
	if err := f.cortexOrder(); err != nil {
		return units.Length{}, err
	}
	return w, nil
}

// Outer returns the width of the bone at the isthmus between the outer
// cortices, as Canal. It refuses 10…80 mm passed, and what Canal refuses.
func Outer(f Film) (units.Length, error) {
	w, err := f.width("the outer width of the bone", outerLo, outerHi, anatomy.OuterA, anatomy.OuterB)
	if err != nil {
		return units.Length{}, err
	}
	if err := f.cortexOrder(); err != nil {
		return units.Length{}, err
	}
	return w, nil
}

func (f Film) width(what string, lo, hi float64, a, b anatomy.Landmark) (units.Length, error) {
	if !f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		return f.length(what, lo, hi, between, a, b)
	}
	names := []anatomy.Landmark{a, b, anatomy.ShaftUpper, anatomy.ShaftLower}
	return f.length(what, lo, hi, across(names), names...)
}

// across is the answer that is the distance of the first two points, square
// to the axis through the last two. The names are for its errors.
func across(names []anatomy.Landmark) answer {
	return func(p []pt) ([]float64, error) {
		u, err := axis(p[2], p[3])
		if err != nil {
			return nil, err
		}
		v := p[1].Minus(p[0])
		across, along := math.Abs(geom.Cross(u, v)), math.Abs(geom.Dot(u, v))
		if !(along <= across*math.Tan(maxSkew*math.Pi/180)) {
			return nil, &CrossedError{Landmarks: names, Why: "do not lie across the shaft"}
		}
		return []float64{across}, nil
	}
}

// axis returns the unit vector down the shaft.
func axis(upper, lower pt) (pt, error) {
	u, ok := line{A: upper, B: lower}.Unit()
	if !ok || geom.Dist(upper, lower) < 10 {
		return pt{}, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.ShaftUpper, anatomy.ShaftLower}, Why: "lie less than 10 mm apart, which gives no direction"}
	}
	return u, nil
}

var cortex = []anatomy.Landmark{anatomy.OuterA, anatomy.CanalA, anatomy.CanalB, anatomy.OuterB}

// cortexOrder refuses cortices that cross: going across the bone, outer a,
// canal a, canal b and outer b must follow one another.
func (f Film) cortexOrder() error {
	if !f.has(cortex...) {
		return nil
	}
	p, err := f.points(cortex...)
	if err != nil {
		return err
	}
	_, err = index(p)
	return err
}

// index answers the cortical index of the four points of cortex, measured
// along the line from outer a to outer b, or square to the shaft when its two
// points follow.
func index(p []pt) ([]float64, error) {
	across, ok := line{A: p[0], B: p[3]}.Unit()
	if len(p) == 6 {
		u, err := axis(p[4], p[5])
		if err != nil {
			return nil, err
		}
		n := pt{X: -u.Y, Y: u.X}
		if geom.Dot(n, across) < 0 {
			n = n.Times(-1)
		}
		across = n
	}
	if !ok {
		return nil, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.OuterA, anatomy.OuterB}, Why: "coincide"}
	}
	var t [4]float64
	for i := range t {
		t[i] = geom.Dot(across, p[i].Minus(p[0]))
	}
	if !(t[1] > 0 && t[2] > t[1] && t[3] > t[2]) {
		return nil, &CrossedError{Landmarks: cortex, Why: "do not follow one another across the bone"}
	}
	return []float64{1 - (t[2]-t[1])/t[3]}, nil
}

// CorticalIndex returns how much of the bone's width is cortex at the
// isthmus:
//
//	(outer − canal) / outer
//
// with both widths in one direction; the scale cancels. Source: definition
// of the cortical thickness index, PMC5964262, figure 1. It refuses what
// Canal and Outer refuse.
func CorticalIndex(f Film) (units.Ratio, error) {
	if _, err := f.points(cortex...); err != nil {
		return units.Ratio{}, err
	}
	for _, measure := range []func(Film) (units.Length, error){Canal, Outer} {
		if _, err := measure(f); err != nil {
			return units.Ratio{}, err
		}
	}
	names := cortex
	if f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		names = append(append([]anatomy.Landmark{}, cortex...), anatomy.ShaftUpper, anatomy.ShaftLower)
	}
	v, err := f.work(index, names...)
	if err != nil {
		return units.Ratio{}, err
	}
	return units.Ratio{Best: v[0].best, U: math.Hypot(v[0].own, v[0].shared)}, nil
}
