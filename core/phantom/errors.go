package phantom

import (
	"fmt"

	"isthmus/core/units"
)

// A RangeError reports a number that makes no femur or no film.
type RangeError struct {
	What   string
	Got    float64
	Lo, Hi float64
}

// Code names the fault for app/text.
func (e *RangeError) Code() string { return "phantom-range" }

// Error says what was found, what is needed and what to do.
func (e *RangeError) Error() string {
	return fmt.Sprintf("phantom: %s is %s: give a number from %s to %s",
		e.What, units.Trim(e.Got, 3), units.Trim(e.Lo, 3), units.Trim(e.Hi, 3))
}

// A limit is a number and where it must lie.
type limit struct {
	what        string
	got, lo, hi units.MM
}

func (l limit) check() error {
	if l.got >= l.lo && l.got <= l.hi { // a NaN fails
		return nil
	}
	return &RangeError{l.what, float64(l.got), float64(l.lo), float64(l.hi)}
}
