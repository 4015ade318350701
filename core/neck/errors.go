package neck

import (
	"fmt"

	"isthmus/core/units"
)

// A RangeError reports a number that no femur, nail or screw has, or that is
// missing or no number at all.
type RangeError struct {
	What   string
	Got    float64
	Lo, Hi float64
	Unit   string
}

// Code names the fault for app/text.
func (e *RangeError) Code() string { return "neck-range" }

// Error says what was found, what is needed and what to do.
func (e *RangeError) Error() string {
	return fmt.Sprintf("neck: %s is %s %s, possible is %s to %s %s: check this number",
		e.What, units.Trim(e.Got, 2), e.Unit, units.Trim(e.Lo, 2), units.Trim(e.Hi, 2), e.Unit)
}

// A DoubtError reports a doubt that is no number, is below zero, or is so
// great that what it belongs to is not known.
type DoubtError struct {
	What string
	Got  float64
	Most float64
	Unit string
}

// Code names the fault for app/text.
func (e *DoubtError) Code() string { return "neck-doubt" }

// Error says what was found, what is needed and what to do.
func (e *DoubtError) Error() string {
	return fmt.Sprintf("neck: the doubt of %s is %s %s, needed is 0 to %s %s: measure it again",
		e.What, units.Trim(e.Got, 2), e.Unit, units.Trim(e.Most, 2), e.Unit)
}

// A LegError reports that it is not known which leg it is.
type LegError struct{ Got Leg }

// Code names the fault for app/text.
func (e *LegError) Code() string { return "neck-leg" }

// Error says what was found, what is needed and what to do.
func (e *LegError) Error() string {
	if e.Got == "" {
		return "neck: it is not said which leg this is, and the two turn in opposite ways: say left or right"
	}
	return fmt.Sprintf("neck: the leg is %.20q, needed is left or right: say which leg this is", string(e.Got))
}

// A SeatError reports that it was not said how the lower screw is to lie.
type SeatError struct{ Got Seat }

// Code names the fault for app/text.
func (e *SeatError) Code() string { return "neck-seat" }

// Error says what was found, what is needed and what to do.
func (e *SeatError) Error() string {
	return "neck: it is not said how the lower screw is to lie: choose along the calcar, or most room for both"
}

// A PlaceError reports that it was not said which of the two screws is meant.
type PlaceError struct{ Got Place }

// Code names the fault for app/text.
func (e *PlaceError) Code() string { return "neck-place" }

// Error says what was found, what is needed and what to do.
func (e *PlaceError) Error() string {
	return "neck: it is not said which of the two head screws is meant: say lower or upper"
}

// A ReachesNailError reports a stretch of neck that begins at or beyond the
// axis of the nail.
type ReachesNailError struct {
	Left units.MM // from the axis of the nail to the lateral end of the stretch, in the plane of the neck
	Need units.MM
}

// Code names the fault for app/text.
func (e *ReachesNailError) Code() string { return "neck-reaches-nail" }

// Error says what was found, what is needed and what to do.
func (e *ReachesNailError) Error() string {
	return fmt.Sprintf("neck: the stretch of neck begins %s mm from the axis of the nail, needed is %s mm or more: shorten the stretch, or check the centre of the head",
		units.Trim(float64(e.Left), 1), units.Trim(float64(e.Need), 1))
}

// A MissesHeadError reports a screw whose line passes too near the edge of
// the head, or beside it, for its length to be told.
type MissesHeadError struct {
	Place Place
	Off   units.MM // from the centre of the head to the axis of the screw
	Most  units.MM
}

// Code names the fault for app/text.
func (e *MissesHeadError) Code() string { return "neck-misses-head" }

// Error says what was found, what is needed and what to do.
func (e *MissesHeadError) Error() string {
	who := "this line"
	if e.Place != "" {
		who = "the " + string(e.Place) + " head screw"
	}
	return fmt.Sprintf("neck: %s runs %s mm beside the centre of the head, its length can be told up to %s mm: change the depth or the turn of the nail, or choose another angle",
		who, units.Trim(float64(e.Off), 1), units.Trim(float64(e.Most), 1))
}

// A NoCalcarError reports a neck as high as the head, so that the line along
// its lower wall does not meet the head.
type NoCalcarError struct{ Height, Diameter units.MM }

// Code names the fault for app/text.
func (e *NoCalcarError) Code() string { return "neck-no-calcar" }

// Error says what was found, what is needed and what to do.
func (e *NoCalcarError) Error() string {
	return fmt.Sprintf("neck: the neck is %s mm high inside and the head measures %s mm, so the line along the calcar misses the head: mark the neck and the head again",
		units.Trim(float64(e.Height), 1), units.Trim(float64(e.Diameter), 1))
}

// A NoHolesError reports a sleeve without holes to choose from.
type NoHolesError struct{}

// Code names the fault for app/text.
func (e *NoHolesError) Code() string { return "neck-no-holes" }

// Error says what was found, what is needed and what to do.
func (e *NoHolesError) Error() string {
	return "neck: no holes are given for this sleeve: give how far each one lies from the hole in use"
}

// An UnsolvedError reports that the search found no depth and turn.
type UnsolvedError struct{}

// Code names the fault for app/text.
func (e *UnsolvedError) Code() string { return "neck-unsolved" }

// Error says what was found, what is needed and what to do.
func (e *UnsolvedError) Error() string {
	return "neck: no depth and turn of the nail were found for this neck: check the angles and the centre of the head"
}
