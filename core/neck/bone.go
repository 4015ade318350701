package neck

import (
	"math"

	"isthmus/core/units"
)

// What a hip, a nail and a screw can measure; from memory, wide on purpose.
const (
	neckLo, neckHi     = 5, 60
	headLo, headHi     = 10, 40
	medialLo, medialHi = 15, 120
	upHi, frontHi      = 300, 60
	shaftLo, shaftHi   = 90, 170
	versionHi          = 60
	stretchHi          = 100
	lateralHi          = 80
	spacingHi          = 40
	diaLo, diaHi       = 1, 20
	clearHi            = 20
	lengthLo, lengthHi = 20, 200
	doubtMM, doubtDeg  = 10, 15
	leastReach         = 2  // of the stretch of neck from the axis of the nail
	askewHi            = 45 // between the neck and the way to it from the nail, seen from above
	edge               = 0.95
)

// A Bone is the upper end of a femur in the frame of the nail. The neck is a
// tube whose section is an upright ellipse and whose axis runs through the
// centre of the head; the head is a ball. Sizes and angles are the true ones,
// not those of a film of a turned leg. The lengths of the AP view (all but
// Width and Head.Front) share one scale, the two of the lateral view another.
type Bone struct {
	Head      Point        // the centre of the head
	Radius    units.Length // of the head, to the joint surface that counts
	NeckShaft units.Angle  // between the axis of the neck and the nail, downwards: obtuse
	Version   units.Angle  // the neck turned forwards, about the nail, from the AP plane
	Height    units.Length // inner height of the neck, square to its axis
	Width     units.Length // inner width of the neck, front to back
	From, To  units.MM     // the stretch of neck that counts: from and to so far behind the centre of the head, along its axis

	// LateralLower and LateralUpper are how far the outer lateral cortex lies
	// from the axis of the nail, along each screw. 0: not given, and then no
	// length of that screw is told.
	LateralLower, LateralUpper units.Length
}

// A Nail is how a nail drives its two parallel head screws.
type Nail struct {
	Angle     units.Deg // between the nail, downwards, and the screws: obtuse
	Spacing   units.MM  // between the axes of the screws, square to them
	LowerDia  units.MM
	UpperDia  units.MM
	HeadDepth units.MM // top of the nail to where the lower screw crosses its axis
}

// A Keep is what the screws must leave free. All of it is policy.
type Keep struct {
	Lower units.MM // to the lower wall of the neck
	Upper units.MM // to the upper wall
	Side  units.MM // to the front and back walls
	Tip   units.MM // from the tip to the joint surface, along the screw
}

// A Seat says how the lower screw is to lie. The zero value claims nothing.
type Seat int

// The two ways.
const (
	NoSeat     Seat = iota
	AlongLower      // exactly at its clearance to the lower wall, along the calcar
	MostRoom        // wherever both have most room, but never nearer to the lower wall than its clearance
)

// A Place says which of the two screws is meant, spelled as on the shelf.
type Place string

// The two screws.
const (
	Lower Place = "lower"
	Upper Place = "upper"
)

func checkLength(what string, l units.Length, lo, hi float64) error {
	if err := need(what, l.Best, lo, hi); err != nil {
		return err
	}
	if d := float64(l.Doubt()); !(l.Own >= 0 && d <= doubtMM) {
		return &DoubtError{What: what, Got: math.Min(d, float64(l.Own)), Most: doubtMM, Unit: "mm"}
	}
	return nil
}

func checkAngle(what string, a units.Angle, lo, hi float64) error {
	if !within(float64(a.Best), lo, hi) {
		return &RangeError{What: what, Got: float64(a.Best), Lo: lo, Hi: hi, Unit: "degrees"}
	}
	if !within(float64(a.Own), 0, doubtDeg) {
		return &DoubtError{What: what, Got: float64(a.Own), Most: doubtDeg, Unit: "degrees"}
	}
	return nil
}

func (b Bone) check() error {
	return first(
		checkLength("the centre of the head, medial of the nail,", b.Head.Medial, medialLo, medialHi),
		checkLength("the centre of the head, upwards,", b.Head.Up, -upHi, upHi),
		checkLength("the centre of the head, forwards,", b.Head.Front, -frontHi, frontHi),
		checkLength("the radius of the head", b.Radius, headLo, headHi),
		checkAngle("the neck–shaft angle", b.NeckShaft, shaftLo, shaftHi),
		checkAngle("the version of the neck", b.Version, -versionHi, versionHi),
		checkLength("the height of the neck", b.Height, neckLo, neckHi),
		checkLength("the width of the neck", b.Width, neckLo, neckHi),
		need("the lateral end of the stretch of neck", b.To, 1, stretchHi),
		need("the medial end of the stretch of neck", b.From, 0, float64(b.To)),
		checkLength("the lateral cortex at the lower screw", b.LateralLower, 0, lateralHi),
		checkLength("the lateral cortex at the upper screw", b.LateralUpper, 0, lateralHi),
	)
}

func (n Nail) check() error {
	if err := checkAngle("the angle between nail and screws", units.Angle{Best: n.Angle}, shaftLo, shaftHi); err != nil {
		return err
	}
	return first(
		need("the spacing of the screws", n.Spacing, 0, spacingHi),
		need("the diameter of the lower screw", n.LowerDia, diaLo, diaHi),
		need("the diameter of the upper screw", n.UpperDia, diaLo, diaHi),
		need("the depth of the lower screw in the nail", n.HeadDepth, 0, reach),
	)
}

func (k Keep) check() error {
	return first(
		need("the clearance to the lower wall", k.Lower, 0, clearHi),
		need("the clearance to the upper wall", k.Upper, 0, clearHi),
		need("the clearance to the front and back walls", k.Side, 0, clearHi),
		need("the clearance of the tip", k.Tip, 0, clearHi),
	)
}

// checkWay refuses a stretch of neck that reaches the nail, and a neck that
// the nail's screws cannot run along from where the nail lies.
func (b Bone) checkWay() error {
	s := newScene(b, Nail{Angle: 120, LowerDia: 1, UpperDia: 1}, Keep{})
	end := s.head.minus(s.n.times(float64(b.To)))
	ahead := vec{s.n.m, 0, s.n.f}
	left := end.dot(ahead) / ahead.length()
	if !(left >= leastReach) {
		return &ReachesNailError{Left: units.MM(left), Need: leastReach}
	}
	askew := deg(s.middle()) - float64(b.Version.Best)
	if !within(askew, -askewHi, askewHi) {
		return &RangeError{What: "the angle between the neck and the way to it from the nail, seen from above,", Got: askew, Lo: -askewHi, Hi: askewHi, Unit: "degrees"}
	}
	return nil
}
