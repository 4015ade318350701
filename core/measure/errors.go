package measure

import (
	"fmt"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/units"
)

func list(ls []anatomy.Landmark) string {
	s := make([]string, len(ls))
	for i, l := range ls {
		s[i] = string(l)
	}
	return strings.Join(s, ", ")
}

// A MissingError names landmarks that were not placed.
type MissingError struct{ Landmarks []anatomy.Landmark }

// Code names the fault for app/text.
func (e *MissingError) Code() string { return "measure-missing" }

// Error says what was found, what is needed and what to do.
func (e *MissingError) Error() string {
	return "measure: not placed yet: " + list(e.Landmarks) + ": place them on the film"
}

// A NoScaleError reports a film whose pixels are not known in millimetres of
// the bone.
type NoScaleError struct{ Origin calibrate.Origin }

// Code names the fault for app/text.
func (e *NoScaleError) Code() string { return "measure-no-scale" }

// Error says what was found, what is needed and what to do.
func (e *NoScaleError) Error() string {
	why := "this film has no scale"
	switch e.Origin {
	case calibrate.AtDetector:
		why = "the spacing of this film is that of the detector, not of the bone"
	case calibrate.UnknownTags:
		why = "the header does not say for which plane its spacing holds"
	}
	return "measure: " + why + ", so no length can be given: mark an object of known size on it"
}

// A ViewError reports a film of the wrong or of no view.
type ViewError struct {
	Got      anatomy.View
	Need     anatomy.View     // empty: any
	Landmark anatomy.Landmark // empty: none in particular
}

// Code names the fault for app/text.
func (e *ViewError) Code() string { return "measure-view" }

// Error says what was found, what is needed and what to do.
func (e *ViewError) Error() string {
	got := string(e.Got)
	if !e.Got.Valid() {
		got = "not known"
	}
	switch {
	case e.Landmark != "":
		return fmt.Sprintf("measure: the view of this film is %s, and %s is not a landmark of it: say which view it is, or use the other film", got, e.Landmark)
	case e.Need != "":
		return fmt.Sprintf("measure: the view of this film is %s, this is measured on the %s view: use the other film", got, e.Need)
	}
	return "measure: the view of this film is " + got + ": say whether it is ap or lateral"
}

// A PlaceError reports a point whose place cannot be used.
type PlaceError struct {
	Landmark anatomy.Landmark
	X, Y     units.Px
	Slip     units.Px
}

// Code names the fault for app/text.
func (e *PlaceError) Code() string { return "measure-place" }

// Error says what was found, what is needed and what to do.
func (e *PlaceError) Error() string {
	return fmt.Sprintf("measure: %s lies at %s, %s with a slip of %s px, which is no place on a film: place it again",
		e.Landmark, units.Trim(float64(e.X), 1), units.Trim(float64(e.Y), 1), units.Trim(float64(e.Slip), 2))
}

// A CrossedError reports points that coincide, cross or lie outside one
// another, so that what was asked for has no meaning.
type CrossedError struct {
	Landmarks []anatomy.Landmark
	Why       string // "coincide", "lie in the wrong order", …
}

// Code names the fault for app/text.
func (e *CrossedError) Code() string { return "measure-crossed" }

// Error says what was found, what is needed and what to do.
func (e *CrossedError) Error() string {
	return "measure: " + list(e.Landmarks) + " " + e.Why + ": place them again"
}

// An OutsideError reports a result that no femur has.
type OutsideError struct {
	What      string
	Got       float64
	Lo, Hi    float64
	Unit      string
	Landmarks []anatomy.Landmark // may be empty: then a typed number
}

// Code names the fault for app/text.
func (e *OutsideError) Code() string { return "measure-outside" }

// Error says what was found, what is needed and what to do.
func (e *OutsideError) Error() string {
	do := "check the numbers"
	if len(e.Landmarks) > 0 {
		do = "check the points " + list(e.Landmarks) + " and the scale"
	}
	return fmt.Sprintf("measure: %s comes out as %s %s, possible is %s to %s %s: %s",
		e.What, units.Trim(e.Got, 1), e.Unit, units.Trim(e.Lo, 1), units.Trim(e.Hi, 1), e.Unit, do)
}

// A MissesHeadError reports a screw whose line does not meet the head.
type MissesHeadError struct {
	Off    units.MM // from the centre of the head to the line, positive when the line runs above it
	Radius units.MM
}

// Code names the fault for app/text.
func (e *MissesHeadError) Code() string { return "measure-misses-head" }

// Error says what was found, what is needed and what to do.
func (e *MissesHeadError) Error() string {
	side := "above"
	off := e.Off
	if off < 0 {
		side, off = "below", -off
	}
	return fmt.Sprintf("measure: a screw along this line passes %s mm %s the centre of a head of radius %s mm, too near its edge or beyond it: move the entry point, or choose another angle",
		units.Trim(float64(off), 1), side, units.Trim(float64(e.Radius), 1))
}
