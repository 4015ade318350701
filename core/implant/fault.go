package implant

import (
	"errors"
	"fmt"
	"strings"

	"isthmus/core/canon"
)

// Why names a kind of fault of a shelf, the same in code, tests and screen.
type Why string

const (
	BadID         Why = "id"               // an ID or a name that cannot be used
	BadNumber     Why = "number"           // not a number, or not a finite one
	BadRange      Why = "range"            // negative or absurd
	BadDigits     Why = "digits"           // finer than 0.001
	BadSide       Why = "side"             // a side that is not known
	BadPlace      Why = "place"            // not a place for this screw
	BadPlane      Why = "plane"            // a direction of a hole that is not known
	BadKind       Why = "kind"             // a kind of rod, tool or shelf that is not known, or a field that it does not have
	BadText       Why = "characters"       // a drive or a note that cannot be used
	BadHead       Why = "head"             // head locking given in part
	BadOrder      Why = "order"            // holes not from the top down
	BeyondNail    Why = "beyond"           // a hole outside the nail
	TwiceID       Why = "duplicate-id"     // one ID on two parts
	TwiceSize     Why = "duplicate-size"   // one size in two rows
	TooMany       Why = "many"             // more rows or holes than are read
	BadTable      Why = "table"            // not a table in UTF-8 with commas or semicolons
	TooLarge      Why = "size"             // more bytes than are read
	UnknownColumn Why = "unknown-column"   // a column that is not in the specification
	TwiceColumn   Why = "duplicate-column" // a column given twice
	MissingColumn Why = "missing-column"   // no column that says what a row is
	UnknownPart   Why = "part"             // a row of an unknown kind
	MissingCell   Why = "missing"          // an empty cell that must be filled
	ExtraCell     Why = "extra"            // a filled cell that does not belong to this part
	NoShelfRow    Why = "shelf-row"        // not exactly one row that says whose shelf it is
)

// A Fault is one thing that is wrong on a shelf, with its exact place.
type Fault struct {
	Part  string // shelf, nail, head-screw, locking-screw, end-cap, reamer-head, rod, tool; empty for a header
	Row   int    // from 1: place in its list, or row of the spreadsheet when Table
	Field string // name of the JSON field and of the CSV column; empty for the whole row
	Table bool   // Row counts rows of a spreadsheet
	Why   Why
	Got   string
	Need  string
	twin  place // the part that has the same ID or size
}

// place is one part of a shelf; row counts from 1 in its list.
type place struct {
	part string
	row  int
}

// Code names the fault for app/text.
func (f *Fault) Code() string { return "shelf-fault" }

// Error says where, what was found and what is needed.
func (f *Fault) Error() string { return "implant: " + f.words() }

func (f *Fault) words() string {
	at := f.Part
	switch {
	case f.Table:
		at = fmt.Sprintf("row %d", f.Row)
	case f.Row > 0:
		at = fmt.Sprintf("%s %d", f.Part, f.Row)
	}
	if f.Field != "" {
		at += ", " + f.Field
	}
	return fmt.Sprintf("%s: found %s, need %s", at, f.Got, f.Need)
}

// path returns the place as in the JSON file: nails[3].length_mm.
func (f *Fault) path() string {
	if f.Row < 1 {
		return f.Field
	}
	p := fmt.Sprintf("%s[%d]", listOf[f.Part], f.Row-1)
	if f.Field != "" {
		p += "." + f.Field
	}
	return p
}

// listOf gives the JSON list that holds a kind of part.
var listOf = map[string]string{
	partNail: "nails", partHead: "head_screws", partLocking: "locking_screws",
	partCap: "end_caps", partReamer: "reamer_heads", partRod: "rods", partTool: "tools",
}

const (
	partShelf   = "shelf"
	partNail    = "nail"
	partHead    = "head-screw"
	partLocking = "locking-screw"
	partCap     = "end-cap"
	partReamer  = "reamer-head"
	partRod     = "rod"
	partTool    = "tool"
)

// maxShown is how many faults of a table are listed; more do not help.
const maxShown = 20

// A TableError lists what is wrong in a table, in the order of its rows.
type TableError struct {
	Faults []Fault // at most 20
	More   int     // how many were found beyond these
}

// Code names the fault for app/text.
func (e *TableError) Code() string { return "shelf-table" }

// Error says every fault that is listed and what to do.
func (e *TableError) Error() string {
	var all []string
	for i := range e.Faults {
		all = append(all, e.Faults[i].words())
	}
	more := ""
	if e.More > 0 {
		more = fmt.Sprintf("; and %d more", e.More)
	}
	return "implant: the table was not read. Correct these and import it again: " + strings.Join(all, "; ") + more
}

func (e *TableError) add(f Fault) {
	if len(e.Faults) >= maxShown {
		e.More++
		return
	}
	e.Faults = append(e.Faults, f)
}

// A FieldError reports the first thing that is wrong in a shelf file and its
// path, e.g. nails[3].length_mm; the path is empty for the whole file.
type FieldError struct {
	Path string
	Why  string // a Why of this room or of core/canon
	Got  string
	Need string
}

// Code names the fault for app/text.
func (e *FieldError) Code() string { return "shelf-field" }

// Error says where, what was found, what is needed and what to do.
func (e *FieldError) Error() string {
	at := e.Path
	if at == "" {
		at = "the shelf file"
	}
	return fmt.Sprintf("implant: %s: found %s, need %s: correct the file, or get it again", at, e.Got, e.Need)
}

// A NewerError reports a shelf file of a later version.
type NewerError struct{ Found, Known int }

// Code names the fault for app/text.
func (e *NewerError) Code() string { return "shelf-newer" }

// Error says which version was found and what to do.
func (e *NewerError) Error() string {
	return fmt.Sprintf("implant: this shelf file was made by a newer version (%d, this app reads up to %d): update the app and open it again; nothing was changed",
		e.Found, e.Known)
}

// fromCanon puts an error of core/canon into this room's words.
func fromCanon(err error) error {
	var f *canon.Fault
	var n *canon.NewerError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &n):
		return &NewerError{Found: n.Found, Known: n.Known}
	case errors.As(err, &f):
		return &FieldError{Path: f.Path, Why: string(f.Why), Got: f.Got, Need: f.Need}
	}
	return err
}
