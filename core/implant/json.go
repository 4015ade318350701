package implant

import (
	"errors"

	"isthmus/core/canon"
)

// MaxBytes is the largest shelf file that is read, MaxTable the largest
// table. The fullest shelf that passes Check fits into both.
const (
	MaxBytes = 2 << 20
	MaxTable = 1 << 20
)

var envelope = canon.Envelope{Format: "isthmus-shelf", Version: 2, Body: "shelf", Max: MaxBytes}

// ParseJSON returns the shelf of a JSON file as WriteJSON makes it. It is
// strict: a field that is unknown, missing or given twice, a number that is
// not finite or out of range, anything after the end, and everything that
// Check finds is a *FieldError with its path; a later version is a
// *NewerError. Version 1 is read too; a drive or a tool in it, which it did not
// have, is refused. Empty lists are read as nil.
func ParseJSON(b []byte) (Shelf, error) {
	var s Shelf
	first := envelope
	first.Version = 1
	err := canon.Read(b, first, &s)
	if errors.As(err, new(*canon.NewerError)) { // said before anything is read
		err = canon.Read(b, envelope, &s)
	} else if at := since2(s); err == nil && at != "" {
		return Shelf{}, &FieldError{Path: at, Why: string(canon.Unknown), Got: "a field of version 2 in a file of version 1", Need: "a file of version 2"}
	}
	if err != nil {
		return Shelf{}, fromCanon(err)
	}
	if faults := Check(s); len(faults) > 0 {
		f := faults[0]
		return Shelf{}, &FieldError{Path: f.path(), Why: string(f.Why), Got: f.Got, Need: f.Need}
	}
	return tidy(s), nil
}

// WriteJSON returns the one spelling of a shelf: ParseJSON of it gives the
// same shelf. It returns nil for a shelf in which Check finds a fault.
func WriteJSON(s Shelf) []byte {
	if len(Check(s)) > 0 {
		return nil
	}
	s.Nails, s.Head, s.Locking = list(s.Nails), list(s.Head), list(s.Locking)
	s.Caps, s.Reamers, s.Rods = list(s.Caps), list(s.Reamers), list(s.Rods)
	for i := range s.Nails {
		s.Nails[i].Distal = list(s.Nails[i].Distal)
	}
	b, err := canon.Write(envelope, s)
	if err != nil {
		return nil
	}
	return b
}

// list returns a copy that is never nil, so that an empty list is written as
// one and the caller's shelf is not touched.
func list[T any](in []T) []T { return append([]T{}, in...) }

// tidy turns empty lists into nil: one shelf, one value.
func tidy(s Shelf) Shelf {
	s.Nails, s.Head, s.Locking = none(s.Nails), none(s.Head), none(s.Locking)
	s.Caps, s.Reamers, s.Rods = none(s.Caps), none(s.Reamers), none(s.Rods)
	for i := range s.Nails {
		s.Nails[i].Distal = none(s.Nails[i].Distal)
	}
	s.Tools = none(s.Tools)
	for i := range s.Tools {
		s.Tools[i].Offsets = none(s.Tools[i].Offsets)
	}
	return s
}

func none[T any](in []T) []T {
	if len(in) == 0 {
		return nil
	}
	return in
}
