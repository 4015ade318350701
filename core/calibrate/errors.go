package calibrate

import (
	"fmt"
	"strings"

	"isthmus/core/units"
)

// A MissingError names what was not given. Nothing is ever put in its place.
type MissingError struct {
	For    string   // what was asked for, in words
	Fields []string // what is missing, as field names of the case file
	Do     string   // how to give it, in words
}

// Code names the fault for app/text.
func (e *MissingError) Code() string { return "calibrate-missing" }

// Error says what was found, what is needed and what to do.
func (e *MissingError) Error() string {
	return fmt.Sprintf("calibrate: %s needs %s, which is not given: %s", e.For, strings.Join(e.Fields, " and "), e.Do)
}

// An OutOfRangeError reports a value that cannot be true.
type OutOfRangeError struct {
	Name   string // what it is, in words
	Field  string // its field name of the case file
	Got    float64
	Lo, Hi float64
	Unit   string
	Do     string
}

// Code names the fault for app/text.
func (e *OutOfRangeError) Code() string { return "calibrate-range" }

// Error says what was found, what is needed and what to do.
func (e *OutOfRangeError) Error() string {
	unit := e.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("calibrate: %s is %s%s, it must lie between %s and %s%s: %s",
		e.Name, units.Trim(e.Got, 4), unit, units.Trim(e.Lo, 4), units.Trim(e.Hi, 4), unit, e.Do)
}

// A SmallMarkerError reports a marker drawn too small to trust.
type SmallMarkerError struct {
	Kind Origin
	Got  units.Px
	Need units.Px
}

// Code names the fault for app/text.
func (e *SmallMarkerError) Code() string { return "calibrate-small-marker" }

// Error says what was found, what is needed and what to do.
func (e *SmallMarkerError) Error() string {
	what := map[Origin]string{FromBallMark: "ball", FromDiscMark: "disc", FromPart: "part"}[e.Kind]
	if e.Kind == FromRuler {
		return fmt.Sprintf("calibrate: the two graduations are %s px apart, need %s: choose two that lie further apart",
			units.Trim(float64(e.Got), 1), units.Trim(float64(e.Need), 0))
	}
	return fmt.Sprintf("calibrate: the %s is %s px wide, need %s: zoom in and mark its rim again, or open the film in full size",
		what, units.Trim(float64(e.Got), 1), units.Trim(float64(e.Need), 0))
}

// A NotRoundError reports rim points that are not the shadow of the marker
// they are said to be.
type NotRoundError struct {
	Kind  Origin
	Ratio float64 // long axis over short axis, or 0
	Limit float64
	RMS   units.Px // scatter of the points round the curve, or 0
	R     units.Px // radius
}

// Code names the fault for app/text.
func (e *NotRoundError) Code() string { return "calibrate-not-round" }

// Error says what was found, what is needed and what to do.
func (e *NotRoundError) Error() string {
	if e.Ratio > 0 {
		return fmt.Sprintf("calibrate: the marker is %s times as long as it is wide, at most %s can be right: check that it is what you said it is, and mark its rim again",
			units.Trim(e.Ratio, 2), units.Trim(e.Limit, 2))
	}
	return fmt.Sprintf("calibrate: the rim points lie %s px off a curve of radius %s px, too far to be one rim: mark them again",
		units.Trim(float64(e.RMS), 1), units.Trim(float64(e.R), 1))
}

// A VagueError reports a marker whose size is not known well enough to give
// a scale.
type VagueError struct {
	Kind  Origin
	Rel   float64 // relative standard uncertainty of its size
	Limit float64
}

// Code names the fault for app/text.
func (e *VagueError) Code() string { return "calibrate-vague" }

// Error says what was found, what is needed and what to do.
func (e *VagueError) Error() string {
	return fmt.Sprintf("calibrate: these points leave the size of the marker open by ± %s %%, need ± %s %%: spread the points round the whole rim and zoom in to place them",
		units.Trim(units.Sure*e.Rel*100, 0), units.Trim(units.Sure*e.Limit*100, 0))
}

// A CorrectedError reports that a magnification was to be taken out of a
// spacing that has been corrected already.
type CorrectedError struct{ Implied float64 } // factor it was corrected by, 0 when not known

// Code names the fault for app/text.
func (e *CorrectedError) Code() string { return "calibrate-corrected" }

// Error says what was found, what is needed and what to do.
func (e *CorrectedError) Error() string {
	by := ""
	if e.Implied > 0 {
		by = " (by " + units.Trim(e.Implied, 3) + ")"
	}
	return "calibrate: the spacing of this film has been corrected for magnification already" + by +
		": it must not be divided again; take what the header says, or mark an object of known size"
}

// A ContradictionError reports two inputs that cannot both be true.
type ContradictionError struct {
	What string // in words: "SID − SOD", "OID"
	A, B float64
	Unit string
	Do   string
}

// Code names the fault for app/text.
func (e *ContradictionError) Code() string { return "calibrate-contradiction" }

// Error says what was found, what is needed and what to do.
func (e *ContradictionError) Error() string {
	return fmt.Sprintf("calibrate: %s: %s and %s %s cannot both be true: %s",
		e.What, units.Trim(e.A, 3), units.Trim(e.B, 3), e.Unit, e.Do)
}

// A DisputeError reports evidence that disagrees; a person must settle it.
type DisputeError struct {
	A, B   Origin
	Differ float64 // relative difference of the two scales
	Doubt  float64 // its relative standard uncertainty
}

// Code names the fault for app/text.
func (e *DisputeError) Code() string { return "calibrate-dispute" }

// Error says what was found, what is needed and what to do.
func (e *DisputeError) Error() string {
	return fmt.Sprintf("calibrate: %s and %s differ by %s %%, and their doubt allows %s %%: check the size of the object and the points, then choose which one to trust",
		e.A.words(), e.B.words(), units.Trim(e.Differ*100, 1), units.Trim(units.Sure*e.Doubt*100, 1))
}

func (o Origin) words() string {
	w, ok := map[Origin]string{
		FromBallMark: "the ball",
		FromDiscMark: "the disc",
		FromRuler:    "the ruler",
		Fiducial:     "the header's calibration on an object",
		Geometry:     "the header's assumed depth",
		Corrected:    "the header's corrected spacing",
		MachineGuess: "the machine's estimate",
		ByDistances:  "the distances given",
		AtDetector:   "the spacing at the detector",
		UnknownTags:  "the header's spacing of unknown plane",
		AssumedSite:  "the usual factor",
		Combined:     "the combined evidence",
	}[o]
	if !ok {
		return "no scale"
	}
	return w
}
