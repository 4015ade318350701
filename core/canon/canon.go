// Package canon reads JSON strictly and writes it in one spelling. It knows
// envelopes and Go structs, not cases or shelves: a field without omitempty
// must be there, a field it does not know is refused, and nothing is ever
// filled in.
package canon

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
)

// Why names a kind of fault, the same in code, tests and screen.
type Why string

const (
	Syntax    Why = "syntax"    // not JSON here
	Trailing  Why = "trailing"  // something follows the end
	Unknown   Why = "unknown"   // a field that is not in the specification
	Duplicate Why = "duplicate" // a field given twice
	Missing   Why = "missing"   // a required field is not there
	Type      Why = "type"      // text where a number belongs, and the like
	Empty     Why = "empty"     // an optional field that is there and says nothing
	Number    Why = "number"    // a number no program can hold
	Text      Why = "text"      // not valid UTF-8, or half a surrogate pair
	Many      Why = "many"      // too many items, or nested too deep
	Format    Why = "format"    // another kind of file
	Version   Why = "version"   // a version that never was
	Size      Why = "size"      // the whole is too large
)

// Whys returns every kind of fault this room reports.
func Whys() []Why {
	return []Why{Syntax, Trailing, Unknown, Duplicate, Missing, Type, Empty, Number, Text, Many, Format, Version, Size}
}

// A Fault is the first thing that is wrong and where: a path such as
// films[0].points[2].at_px.x, empty for the whole file.
type Fault struct {
	Path string
	Why  Why
	Got  string
	Need string
}

// Code names the fault for app/text.
func (f *Fault) Code() string { return "canon-" + string(f.Why) }

// Error says where, what was found and what is needed.
func (f *Fault) Error() string {
	at := f.Path
	if at == "" {
		at = "the file"
	}
	return fmt.Sprintf("canon: %s: found %s, need %s: correct it, or get the file again", at, f.Got, f.Need)
}

// under returns the fault as seen from the value that holds this one.
func (f *Fault) under(step string) *Fault {
	switch {
	case f == nil:
		return nil
	case f.Path == "":
		f.Path = step
	case f.Path[0] == '[':
		f.Path = step + f.Path
	default:
		f.Path = step + "." + f.Path
	}
	return f
}

// A NewerError reports a file of a later version than this program knows.
type NewerError struct {
	Format       string
	Found, Known int
}

// Code names the fault for app/text.
func (e *NewerError) Code() string { return "canon-newer" }

// Error says which version was found and what to do.
func (e *NewerError) Error() string {
	return fmt.Sprintf("canon: this %s file is version %d and this app reads up to %d: update the app, then open it again; nothing was changed",
		e.Format, e.Found, e.Known)
}

// An Envelope is what stands around the content of every file of ours:
//
//	{"format": Format, "version": Version, Body: {…}}
//
// in this order, so that a later version is known before anything else is read.
type Envelope struct {
	Format  string
	Version int
	Body    string // name of the field that holds the content
	Max     int    // largest size in bytes
}

// Read fills the struct that into points at from the bytes of a file. It
// refuses, with a *Fault or a *NewerError, everything that is not exactly the
// envelope and the fields of the struct; into is then of no use. Empty lists
// are read as nil. Blanks and the order of fields inside the body are free.
func Read(b []byte, e Envelope, into any) error {
	if len(b) > e.Max {
		return &Fault{Why: Size, Got: strconv.Itoa(len(b)) + " bytes", Need: "at most " + strconv.Itoa(e.Max)}
	}
	r := &reader{b: b, fields: map[reflect.Type][]field{}}
	version, f := r.head(e)
	if f != nil {
		return f
	}
	if version > e.Version {
		return &NewerError{Format: e.Format, Found: version, Known: e.Version}
	}
	if version < 1 {
		return &Fault{Path: "version", Why: Version, Got: strconv.Itoa(version), Need: "a version from 1 to " + strconv.Itoa(e.Version)}
	}
	if f := r.body(e, reflect.ValueOf(into).Elem()); f != nil {
		return f
	}
	return nil
}

// head reads {"format": …, "version": … and returns the version.
func (r *reader) head(e Envelope) (int, *Fault) {
	need := fmt.Sprintf("{\"format\": %q, \"version\": …", e.Format)
	bad := func(path string) *Fault {
		return &Fault{Path: path, Why: Format, Got: r.here(), Need: need}
	}
	if !r.eat('{') || !r.key("format") {
		return 0, bad("")
	}
	name, f := r.text()
	if f != nil {
		return 0, f.under("format")
	}
	if name != e.Format {
		return 0, &Fault{Path: "format", Why: Format, Got: Quote(name), Need: Quote(e.Format)}
	}
	if !r.eat(',') || !r.key("version") {
		return 0, bad("version")
	}
	var v int
	if f := r.whole(reflect.ValueOf(&v).Elem()); f != nil {
		return 0, f.under("version")
	}
	return v, nil
}

// body reads , BODY: {…}} and then the end of the file.
func (r *reader) body(e Envelope, v reflect.Value) *Fault {
	if !r.eat(',') || !r.key(e.Body) {
		return &Fault{Path: e.Body, Why: Missing, Got: r.here(), Need: "the field " + Quote(e.Body) + " after the version"}
	}
	if f := r.value(v); f != nil {
		return f
	}
	if !r.eat('}') {
		return &Fault{Why: Syntax, Got: r.here(), Need: "the closing brace of the file"}
	}
	r.blanks()
	if r.i < len(r.b) {
		return &Fault{Why: Trailing, Got: r.here(), Need: "nothing after the closing brace"}
	}
	return nil
}

// Write returns the one spelling of an envelope: fields in the order of the
// struct, a tab for each level, one newline at the end. It refuses what JSON
// cannot hold (NaN, infinity); check v first, text that is not valid UTF-8
// would be changed.
func Write(e Envelope, v any) ([]byte, error) {
	var body, out bytes.Buffer
	enc := json.NewEncoder(&body)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, fmt.Errorf("canon: %s cannot be written: %w", e.Format, err)
	}
	whole := fmt.Sprintf("{%q:%q,%q:%d,%q:%s}", "format", e.Format, "version", e.Version, e.Body, body.Bytes())
	if err := json.Indent(&out, []byte(whole), "", "\t"); err != nil {
		return nil, fmt.Errorf("canon: %s cannot be written: %w", e.Format, err)
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// Quote returns text in quotation marks, cut to a length fit for a message.
func Quote(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return strconv.Quote(s)
}
