// Package neck places two parallel head screws in the neck and head of a
// femur in three dimensions: how deep the nail must lie and how far it must
// be turned, what room that leaves, how long each screw is, and what to do at
// the table when the wire does not lie where it should.
//
// The frame is that of the nail and of the leg, in millimetres. Its origin is
// a point on the axis of the nail that the caller chooses (the level of the
// trochanter tip, say). Medial runs square to the axis, in the plane of the
// true AP view of the knee, towards the midline of the body. Up runs along
// the axis, towards the hip. Front runs square to both, forwards. The same
// numbers serve a left and a right leg; only Leg turns them into left and
// right, by one reflection.
//
// Angles to the shaft are obtuse, as the neck–shaft angle is: 130 degrees
// between the axis of the nail, downwards, and the screw, towards the head.
// A turn of the nail, and version, are positive when they bring the tips of
// the screws, or the head, forwards; at 0 the screws lie in the AP plane.
// Depth is positive downwards: deeper is a longer way into the bone.
package neck

import (
	"math"

	"isthmus/core/units"
)

// A Point is a place in the frame of the nail.
type Point struct {
	Medial, Up, Front units.Length
}

// A vec is a place or a direction in the frame: medial, up, front.
type vec struct{ m, u, f float64 }

func (a vec) minus(b vec) vec       { return vec{a.m - b.m, a.u - b.u, a.f - b.f} }
func (a vec) plus(b vec) vec        { return vec{a.m + b.m, a.u + b.u, a.f + b.f} }
func (a vec) times(k float64) vec   { return vec{a.m * k, a.u * k, a.f * k} }
func (a vec) dot(b vec) float64     { return a.m*b.m + a.u*b.u + a.f*b.f }
func (a vec) length() float64       { return math.Sqrt(a.dot(a)) }
func rad(deg float64) float64       { return deg * math.Pi / 180 }
func deg(rad float64) float64       { return rad * 180 / math.Pi }
func mm(v float64) units.Length     { return units.Exact(units.MM(v)) }
func finite(v float64) bool         { return !math.IsNaN(v) && !math.IsInf(v, 0) }
func within(v, lo, hi float64) bool { return v >= lo && v <= hi }

// axes returns three directions square to one another, of a screw or of a
// neck that makes the obtuse angle shaft with the nail and lies turned
// forwards by turn (both in radians): along it towards the head, across it
// upwards, and across it forwards.
//
//	along   = −cos(shaft)·Up + sin(shaft)·h,   h = cos(turn)·Medial + sin(turn)·Front
//	upwards =  sin(shaft)·Up + cos(shaft)·h
//	forward = −sin(turn)·Medial + cos(turn)·Front
func axes(shaft, turn float64) (along, upwards, forward vec) {
	sin, cos := math.Sincos(shaft)
	st, ct := math.Sincos(turn)
	return vec{sin * ct, -cos, sin * st}, vec{cos * ct, sin, cos * st}, vec{-st, 0, ct}
}

// A Leg says which leg it is. Its values are spelled as sides are elsewhere;
// the zero value claims nothing.
type Leg string

// The two legs.
const (
	LeftLeg  Leg = "left"
	RightLeg Leg = "right"
)

// reflect returns a place of the frame in axes of the body: towards the
// patient's left, up, front. Medial is leftwards in a right leg; a left leg
// is its mirror image. This is the only place where the legs differ.
func (l Leg) reflect(p vec) vec {
	if l == LeftLeg {
		p.m = -p.m
	}
	return p
}

func (l Leg) check() error {
	if l != LeftLeg && l != RightLeg {
		return &LegError{Got: l}
	}
	return nil
}
