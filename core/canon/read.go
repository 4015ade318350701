package canon

import (
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// The bounds of what is read at all. They keep a hostile file small in
// memory; each room sets its own, narrower limits on what it means.
const (
	maxDepth  = 16
	maxItems  = 8192
	maxDigits = 64
)

type reader struct {
	b      []byte
	i      int
	depth  int
	fields map[reflect.Type][]field
}

type field struct {
	name     string
	index    int
	optional bool
}

// fieldsOf lists the fields of a struct type by their JSON names.
func (r *reader) fieldsOf(t reflect.Type) []field {
	if fs, ok := r.fields[t]; ok {
		return fs
	}
	var fs []field
	for i := range t.NumField() {
		name, rest, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name != "" && name != "-" {
			fs = append(fs, field{name, i, rest == "omitempty"})
		}
	}
	r.fields[t] = fs
	return fs
}

func (r *reader) blanks() {
	for r.i < len(r.b) && strings.IndexByte(" \t\r\n", r.b[r.i]) >= 0 {
		r.i++
	}
}

// eat takes one punctuation mark after blanks and reports whether it was there.
func (r *reader) eat(c byte) bool {
	r.blanks()
	if r.i < len(r.b) && r.b[r.i] == c {
		r.i++
		return true
	}
	return false
}

// key takes exactly this field name and its colon.
func (r *reader) key(name string) bool {
	r.blanks()
	q := `"` + name + `"`
	if !strings.HasPrefix(string(r.b[r.i:min(r.i+len(q), len(r.b))]), q) {
		return false
	}
	r.i += len(q)
	return r.eat(':')
}

// here shows what stands at the reading place.
func (r *reader) here() string {
	if r.blanks(); r.i >= len(r.b) {
		return "the end of the file"
	}
	return Quote(strings.ToValidUTF8(string(r.b[r.i:min(r.i+24, len(r.b))]), "?"))
}

func (r *reader) syntax(need string) *Fault {
	return &Fault{Why: Syntax, Got: r.here(), Need: need}
}

func (r *reader) wrong(need string) *Fault {
	if r.blanks(); r.i >= len(r.b) || strings.IndexByte(`"[{-0123456789tfn`, r.b[r.i]) < 0 {
		return r.syntax(need)
	}
	return &Fault{Why: Type, Got: r.here(), Need: need}
}

// value reads one value of the kind that v has.
func (r *reader) value(v reflect.Value) *Fault {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return r.value(v.Elem())
	case reflect.String:
		s, f := r.text()
		v.SetString(s)
		return f
	case reflect.Bool:
		return r.truth(v)
	case reflect.Int, reflect.Int64:
		return r.whole(v)
	case reflect.Float64:
		return r.number(v)
	case reflect.Struct:
		return r.deeper(v, r.object)
	case reflect.Slice, reflect.Array:
		return r.deeper(v, r.list)
	}
	return &Fault{Why: Type, Got: v.Kind().String(), Need: "a kind that the format knows"}
}

func (r *reader) deeper(v reflect.Value, read func(reflect.Value) *Fault) *Fault {
	if r.depth++; r.depth > maxDepth {
		return &Fault{Why: Many, Got: "values nested too deep", Need: "at most " + strconv.Itoa(maxDepth) + " levels"}
	}
	f := read(v)
	r.depth--
	return f
}

func (r *reader) object(v reflect.Value) *Fault {
	if !r.eat('{') {
		return r.wrong("an object in braces")
	}
	fs := r.fieldsOf(v.Type())
	seen := make([]bool, len(fs))
	for first := true; !r.eat('}'); first = false {
		if !first && !r.eat(',') {
			return r.syntax("a comma or a closing brace")
		}
		if f := r.member(v, fs, seen); f != nil {
			return f
		}
	}
	for i, fd := range fs {
		if !seen[i] && !fd.optional {
			return &Fault{Path: fd.name, Why: Missing, Got: "no such field", Need: "a value; what is missing is never taken as zero"}
		}
	}
	return nil
}

// member reads one name, its colon and its value.
func (r *reader) member(v reflect.Value, fs []field, seen []bool) *Fault {
	if r.blanks(); r.i >= len(r.b) || r.b[r.i] != '"' {
		return r.syntax("a field name in quotation marks")
	}
	name, f := r.text()
	if f != nil {
		return f
	}
	at := -1
	for i := range fs {
		if fs[i].name == name {
			at = i
		}
	}
	switch {
	case at < 0:
		return &Fault{Path: cut(name), Why: Unknown, Got: "a field " + Quote(name), Need: "one of " + names(fs)}
	case seen[at]:
		return &Fault{Path: name, Why: Duplicate, Got: "the field twice", Need: "each field once"}
	case !r.eat(':'):
		return r.syntax("a colon").under(name)
	}
	seen[at] = true
	into := v.Field(fs[at].index)
	if f := r.value(into); f != nil {
		return f.under(name)
	}
	if fs[at].optional && mute(into) {
		return &Fault{Path: name, Why: Empty, Got: "an empty value", Need: "a value, or the field left out"}
	}
	return nil
}

// mute reports whether an optional value that is there claims nothing.
func mute(v reflect.Value) bool {
	if v.Kind() == reflect.Slice {
		return v.Len() == 0
	}
	return v.IsZero()
}

func cut(name string) string {
	if r := []rune(name); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return name
}

func names(fs []field) string {
	var all []string
	for _, f := range fs {
		all = append(all, f.name)
	}
	return strings.Join(all, ", ")
}

func (r *reader) list(v reflect.Value) *Fault {
	if !r.eat('[') {
		return r.wrong("a list in brackets")
	}
	fixed := v.Kind() == reflect.Array
	n := 0
	for ; !r.eat(']'); n++ {
		if n > 0 && !r.eat(',') {
			return r.syntax("a comma or a closing bracket")
		}
		if fixed && n >= v.Len() || n >= maxItems {
			return &Fault{Why: Many, Got: "more items", Need: "at most " + strconv.Itoa(most(v, fixed))}
		}
		if f := r.item(v, fixed, n); f != nil {
			return f.under("[" + strconv.Itoa(n) + "]")
		}
	}
	if fixed && n != v.Len() {
		return &Fault{Why: Missing, Got: strconv.Itoa(n) + " items", Need: "exactly " + strconv.Itoa(v.Len())}
	}
	return nil
}

func most(v reflect.Value, fixed bool) int {
	if fixed {
		return v.Len()
	}
	return maxItems
}

func (r *reader) item(v reflect.Value, fixed bool, n int) *Fault {
	if fixed {
		return r.value(v.Index(n))
	}
	one := reflect.New(v.Type().Elem()).Elem()
	f := r.value(one)
	if f == nil {
		v.Set(reflect.Append(v, one))
	}
	return f
}

func (r *reader) truth(v reflect.Value) *Fault {
	r.blanks()
	for _, word := range []string{"true", "false"} {
		if strings.HasPrefix(string(r.b[r.i:min(r.i+5, len(r.b))]), word) {
			r.i += len(word)
			v.SetBool(word == "true")
			return nil
		}
	}
	return r.wrong("true or false")
}

// digits takes the longest text that has the form of a JSON number.
func (r *reader) digits() (string, bool) {
	r.blanks()
	start := r.i
	r.one("-")
	if !r.one("0") && r.many() == 0 {
		r.i = start
		return "", false
	}
	if r.one(".") && r.many() == 0 {
		return "", false
	}
	if r.one("eE") {
		r.one("+-")
		if r.many() == 0 {
			return "", false
		}
	}
	return string(r.b[start:r.i]), true
}

func (r *reader) one(of string) bool {
	if r.i < len(r.b) && strings.IndexByte(of, r.b[r.i]) >= 0 {
		r.i++
		return true
	}
	return false
}

func (r *reader) many() (n int) {
	for r.one("0123456789") {
		n++
	}
	return n
}

func (r *reader) number(v reflect.Value) *Fault {
	s, ok := r.digits()
	if !ok {
		return r.wrong("a number")
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || len(s) > maxDigits || math.IsInf(x, 0) || math.IsNaN(x) {
		return &Fault{Why: Number, Got: Quote(s), Need: "a number that can be held"}
	}
	v.SetFloat(x)
	return nil
}

func (r *reader) whole(v reflect.Value) *Fault {
	s, ok := r.digits()
	if !ok {
		return r.wrong("a whole number")
	}
	x, err := strconv.ParseInt(s, 10, 64)
	if err != nil || v.OverflowInt(x) {
		return &Fault{Why: Number, Got: Quote(s), Need: "a whole number written in digits"}
	}
	v.SetInt(x)
	return nil
}

// text reads a string with its quotation marks.
func (r *reader) text() (string, *Fault) {
	if !r.eat('"') {
		return "", r.wrong("text in quotation marks")
	}
	var out []byte
	for r.i < len(r.b) {
		switch c := r.b[r.i]; {
		case c == '"':
			r.i++
			return string(out), nil
		case c < ' ':
			return "", r.syntax("control characters written as \\u00…")
		case c == '\\':
			ch, ok := r.escape()
			if !ok {
				return "", &Fault{Why: Text, Got: r.here(), Need: "an escape that JSON knows, surrogates in pairs"}
			}
			out = utf8.AppendRune(out, ch)
		default:
			ch, n := utf8.DecodeRune(r.b[r.i:])
			if ch == utf8.RuneError && n == 1 {
				return "", &Fault{Why: Text, Got: "bytes that are not UTF-8", Need: "text in UTF-8"}
			}
			out = append(out, r.b[r.i:r.i+n]...)
			r.i += n
		}
	}
	return "", r.syntax("a closing quotation mark")
}

const escapes = `"\/bfnrt`
const escaped = "\"\\/\b\f\n\r\t"

func (r *reader) escape() (rune, bool) {
	if r.i+1 >= len(r.b) {
		return 0, false
	}
	c := r.b[r.i+1]
	if k := strings.IndexByte(escapes, c); k >= 0 {
		r.i += 2
		return rune(escaped[k]), true
	}
	hi, ok := r.hex()
	if !ok || !utf16.IsSurrogate(hi) {
		return hi, ok
	}
	lo, ok := r.hex()
	ch := utf16.DecodeRune(hi, lo)
	return ch, ok && ch != utf8.RuneError
}

// hex takes \uXXXX.
func (r *reader) hex() (rune, bool) {
	if r.i+6 > len(r.b) || r.b[r.i] != '\\' || r.b[r.i+1] != 'u' {
		return 0, false
	}
	x, err := strconv.ParseUint(string(r.b[r.i+2:r.i+6]), 16, 16)
	if err != nil {
		return 0, false
	}
	r.i += 6
	return rune(x), true
}
