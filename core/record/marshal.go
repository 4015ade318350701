package record

import (
	"errors"
	"reflect"

	"isthmus/core/canon"
)

// Version is the version of the case that is written and the last that is read.
const Version = 3

// MaxCase is the largest case that is read, in bytes, without its films. The
// fullest case that passes Check fits.
const MaxCase = 8 << 20

var envelope = canon.Envelope{Format: "isthmus-case", Version: Version, Body: "case", Max: MaxCase}

// Marshal returns the one spelling of a case: Unmarshal of it gives an equal
// case, and writing that again gives the same bytes. It refuses, with a
// *FieldError, a case in which Check finds a fault.
func Marshal(c Case) ([]byte, error) {
	if faults := Check(c); len(faults) > 0 {
		return nil, &faults[0]
	}
	return canon.Write(envelope, c)
}

// Unmarshal returns the case of a file. It is strict: a field that is unknown,
// missing or given twice, a word or number that is not in the specification,
// and anything after the end is a *FieldError with its path; other content is
// a *FormatError; a later version is a *NewerError; too many bytes are a
// *LimitError. Every earlier version is read, and a field or word that its
// version did not have yet is refused. Nothing is filled in.
func Unmarshal(b []byte) (Case, error) {
	if len(b) > MaxCase {
		return Case{}, &LimitError{What: "the case without its films", Got: int64(len(b)), Max: MaxCase}
	}
	var c Case
	var err error
	for v := 1; v <= Version; v++ {
		at := envelope
		at.Version = v
		if err = canon.Read(b, at, &c); errors.As(err, new(*canon.NewerError)) {
			continue // said before anything is read
		}
		if e := notYet(v, "", reflect.ValueOf(c)); err == nil && e != nil {
			return Case{}, e
		}
		break
	}
	if err != nil {
		return Case{}, fromCanon(err)
	}
	if faults := Check(c); len(faults) > 0 {
		return Case{}, &faults[0]
	}
	return c, nil
}
