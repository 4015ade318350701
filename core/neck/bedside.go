package neck

import (
	"math"

	"isthmus/core/units"
)

// A Way says which way to move something. The zero value claims nothing: the
// error is too small, beside its doubt, to say.
type Way string

// The ways. Seen from above is seen from the hip, looking down the nail.
const (
	NoWay         Way = ""
	Advance       Way = "advance"  // the nail, deeper
	Withdraw      Way = "withdraw" // the nail, out
	Forwards      Way = "forwards"
	Backwards     Way = "backwards"
	Internally    Way = "internally"
	Externally    Way = "externally"
	Clockwise     Way = "clockwise"
	Anticlockwise Way = "anticlockwise"
)

// What a bedside answer takes.
const (
	errorHi            = 40 // of a wire from where it should be
	acuteLo            = 20 // between screw and nail, and 180 less that
	reachLo, reachTurn = 20, 150
)

// A Move is a move of the nail along its axis. By is never below zero.
type Move struct {
	Way Way
	By  units.Length
}

// A Turn is a turn of the nail about its axis, as it is seen from several
// places, for nobody should have to work out one from another. By is never
// below zero.
type Turn struct {
	By     units.Angle
	Screws Way // where the tips of the screws go: forwards or backwards
	Handle Way // where the handle goes, which stands out to the lateral side
	Nail   Way // internally or externally, as a leg is said to turn
	Above  Way // clockwise or anticlockwise, looking from the hip down the nail
}

func checkAcross(angle units.Deg) error {
	if !within(float64(angle), acuteLo, 180-acuteLo) {
		return &RangeError{What: "the angle between screw and nail", Got: float64(angle), Lo: acuteLo, Hi: 180 - acuteLo, Unit: "degrees"}
	}
	return nil
}

// MoveFor returns how far to move the nail for a wire that lies high mm too
// high in the AP view (too low: negative), square to the wire:
//
//	t = high / sin(angle between screw and nail)
//
// A wire too high: advance the nail; too low: withdraw it. 130 and 50 degrees
// are the same nail. It assumes an AP view square to the plane of the screws.
// Source: geometry. 5 mm at 130 degrees: 6.527 mm. It refuses angles outside
// 20…160 degrees and more than 40 mm.
func MoveFor(high units.Length, angle units.Deg) (Move, error) {
	if err := first(checkLength("the error of the wire in the AP view", high, -errorHi, errorHi), checkAcross(angle)); err != nil {
		return Move{}, err
	}
	t := high.Times(1 / math.Sin(rad(float64(angle))))
	switch t.Against(0) {
	case units.More:
		return Move{Advance, t}, nil
	case units.Less:
		return Move{Withdraw, t.Times(-1)}, nil
	}
	return Move{NoWay, absolute(t)}, nil
}

// RiseFrom returns how far the wire rises in the AP view, square to itself,
// when the nail is advanced (withdrawn: negative), the inverse of MoveFor:
//
//	rise = −advance·sin(angle between screw and nail)
//
// Source: geometry. It refuses what MoveFor refuses.
func RiseFrom(advance units.Length, angle units.Deg) (units.Length, error) {
	if err := first(checkLength("the move of the nail", advance, -3*errorHi, 3*errorHi), checkAcross(angle)); err != nil {
		return units.Length{}, err
	}
	return advance.Times(-math.Sin(rad(float64(angle)))), nil
}

// SquareReach returns how far a place on the screw lies from the axis of the
// nail, square to it, from the way along the screw:
//
//	L = along·sin(angle between screw and nail)
//
// TurnFor wants this one: 95 mm along a screw at 130 degrees are 72.8 mm.
// Source: geometry. It refuses angles outside 20…160 degrees.
func SquareReach(along units.Length, angle units.Deg) (units.Length, error) {
	if err := first(checkLength("the way along the screw", along, 1, reach), checkAcross(angle)); err != nil {
		return units.Length{}, err
	}
	return along.Times(math.Sin(rad(float64(angle)))), nil
}

// TurnFor returns how far to turn the nail for a wire that lies in front mm
// too far forwards in the lateral view (backwards: negative), square to the
// wire, at a place that lies reach from the axis of the nail, square to it:
//
//	r = atan(in front / reach)
//
// The screws must go the other way. The handle stands lateral, so it goes
// opposite to the tips of the screws; tips backwards is a nail turned
// internally. Source: geometry. 4 mm at 73 mm: 3.1 degrees. It refuses a leg
// not known, more than 40 mm in front, and a reach outside 20…150 mm.
func TurnFor(inFront, square units.Length, leg Leg) (Turn, error) {
	err := first(leg.check(), checkLength("the error of the wire in the lateral view", inFront, -errorHi, errorHi),
		checkLength("the distance from the axis of the nail", square, reachLo, reachTurn))
	if err != nil {
		return Turn{}, err
	}
	o, l := float64(inFront.Best), float64(square.Best)
	k := l*l + o*o
	shared := (l*float64(inFront.Shared) - o*float64(square.Shared)) / k
	u := math.Hypot(math.Hypot(l*float64(inFront.Own), o*float64(square.Own))/k, shared)
	t := Turn{By: units.Angle{Best: units.Deg(deg(math.Abs(math.Atan2(o, l)))), Own: units.Deg(deg(u))}}
	switch inFront.Against(0) {
	case units.More:
		t.say(-1, leg)
	case units.Less:
		t.say(1, leg)
	}
	return t, nil
}

// say fills in the ways of a turn that brings the tips of the screws forwards
// (forward 1) or backwards (−1). The handle lies at −Medial and goes where
// the screws do not; seen from the hip, positive about Up in the axes of the
// body (left, up, front) is anticlockwise.
func (t *Turn) say(forward float64, leg Leg) {
	t.Screws, t.Handle, t.Nail = Forwards, Backwards, Externally
	if forward < 0 {
		t.Screws, t.Handle, t.Nail = Backwards, Forwards, Internally
	}
	at, goes := leg.reflect(vec{m: -1}), leg.reflect(vec{f: -forward})
	t.Above = Clockwise
	if at.f*goes.m-at.m*goes.f > 0 {
		t.Above = Anticlockwise
	}
}

// ShiftFrom returns how far the wire goes forwards in the lateral view, at a
// place that lies reach from the axis of the nail, square to it, when the
// nail is turned so that the tips of the screws go forwards (backwards:
// negative), the inverse of TurnFor:
//
//	shift = reach·tan(turn)
//
// Source: geometry. It refuses a turn beyond 45 degrees and what TurnFor
// refuses.
func ShiftFrom(forward units.Angle, square units.Length) (units.Length, error) {
	err := first(checkAngle("the turn of the nail", forward, -45, 45),
		checkLength("the distance from the axis of the nail", square, reachLo, reachTurn))
	if err != nil {
		return units.Length{}, err
	}
	tan := math.Tan(rad(float64(forward.Best)))
	out := square.Times(tan)
	turned := float64(square.Best) * (1 + tan*tan) * rad(float64(forward.Own))
	out.Own = units.MM(math.Hypot(float64(out.Own), turned))
	return out, nil
}

// A Hole is the parallel hole of a sleeve that comes nearest to a shift.
type Hole struct {
	Index  int      // in the offsets that were given; −1: the hole in use
	Offset units.MM // of that hole from the hole in use
	Left   units.MM // what remains of the shift that was wanted
	Tie    bool     // another hole, on the other side, is as near: choose by eye
}

// NearestHole returns the hole of a sleeve with several parallel holes that
// comes nearest to a shift to the side. Offsets are those of the other holes
// from the hole in use, in the direction of the shift:
//
//	left = shift − offset, the smallest; the hole in use has offset 0
//
// It assumes that the sleeve stays where it is. Source: geometry. It refuses
// no holes, more than 40 mm, and what is no number.
func NearestHole(shift units.MM, offsets []units.MM) (Hole, error) {
	if len(offsets) == 0 {
		return Hole{}, &NoHolesError{}
	}
	if err := need("the shift that is wanted", shift, -errorHi, errorHi); err != nil {
		return Hole{}, err
	}
	best := Hole{Index: -1, Left: shift}
	for i, o := range offsets {
		if err := need("the offset of a hole", o, -errorHi, errorHi); err != nil {
			return Hole{}, err
		}
		h := Hole{Index: i, Offset: o, Left: shift - o}
		switch d := absMM(h.Left) - absMM(best.Left); {
		case d < -guard:
			best = h
		case d <= guard && absMM(h.Offset-best.Offset) > guard:
			best.Tie = true
		}
	}
	return best, nil
}

func absMM(v units.MM) units.MM { return units.MM(math.Abs(float64(v))) }

func absolute(l units.Length) units.Length {
	if l.Best < 0 {
		return l.Times(-1)
	}
	return l
}
