package record

import (
	"errors"
	"fmt"

	"isthmus/core/canon"
)

// Why names a kind of fault of a case, the same in code, tests and screen.
// Faults of the JSON itself carry the names of core/canon.
type Why string

const (
	BadID      Why = "id"          // an identifier of the wrong form
	BadHash    Why = "sha256"      // not 64 hexadecimal digits in lower case
	BadTime    Why = "time"        // not a time as 2026-11-25T07:30:00Z
	BadText    Why = "characters"  // control characters, or not UTF-8
	TooLong    Why = "long"        // more characters than are kept
	TooMany    Why = "many"        // more items than are kept
	BadWord    Why = "word"        // a word that is not in the specification
	BadNumber  Why = "number"      // not a finite number
	BadRange   Why = "range"       // outside what can be
	Outside    Why = "outside"     // a point that is not on its film
	Twice      Why = "twice"       // what must be there once only
	NotOfKind  Why = "not-of-kind" // a field that this kind does not have
	NamesNone  Why = "names-none"  // a reference to something that is not there
	Contradict Why = "contradicts" // one file described in two ways
)

// A FieldError is one thing that is wrong in a case and where: a path such as
// films[0].points[2].at_px, empty for the whole.
type FieldError struct {
	Path string
	Why  Why
	Got  string
	Need string
}

// Code names the fault for app/text.
func (e *FieldError) Code() string { return "record-field" }

// Error says where, what was found, what is needed and what to do.
func (e *FieldError) Error() string {
	at := e.Path
	if at == "" {
		at = "the case"
	}
	return fmt.Sprintf("record: %s: found %s, need %s: correct it, or get the file again", at, e.Got, e.Need)
}

// A NewerError reports a file made by a later version of the app. It is not
// read and never planned from.
type NewerError struct {
	Found, Known int
}

// Code names the fault for app/text.
func (e *NewerError) Code() string { return "record-newer" }

// Error says which version was found and what to do.
func (e *NewerError) Error() string {
	return fmt.Sprintf("record: this case was made by a newer version of the app (file version %d, this app reads up to %d): update the app and open it again; nothing was changed",
		e.Found, e.Known)
}

// A FormatError reports bytes that are not a case file at all, or a case file
// put together against its specification.
type FormatError struct{ Got, Need string }

// Code names the fault for app/text.
func (e *FormatError) Code() string { return "record-format" }

// Error says what was found, what is needed and what to do.
func (e *FormatError) Error() string {
	return "record: this is not a case file of this app: found " + e.Got + ", need " + e.Need + ": choose another file, or have it exported again"
}

// A DamagedError reports a case file that is not as it was written, and which
// part of it.
type DamagedError struct {
	Part string // list of parts, case.json, shelf.json, film/…, end
	Why  string
}

// Code names the fault for app/text.
func (e *DamagedError) Code() string { return "record-damaged" }

// Error says which part is damaged and what to do.
func (e *DamagedError) Error() string {
	return "record: the case file is damaged in “" + e.Part + "”: " + e.Why + ": get the file again; nothing was changed"
}

// A LimitError reports something larger than a case file may be.
type LimitError struct {
	What     string
	Got, Max int64
}

// Code names the fault for app/text.
func (e *LimitError) Code() string { return "record-limit" }

// Error says what is too large and what to do.
func (e *LimitError) Error() string {
	return fmt.Sprintf("record: %s is too large: found %d bytes, at most %d are taken: leave films out, or export them smaller", e.What, e.Got, e.Max)
}

// fromCanon puts an error of core/canon into this room's words.
func fromCanon(err error) error {
	var f *canon.Fault
	var n *canon.NewerError
	switch {
	case errors.As(err, &n):
		return &NewerError{Found: n.Found, Known: n.Known}
	case errors.As(err, &f) && f.Why == canon.Format:
		return &FormatError{Got: f.Got, Need: f.Need}
	case errors.As(err, &f):
		return &FieldError{Path: f.Path, Why: Why(f.Why), Got: f.Got, Need: f.Need}
	}
	return err
}
