// Package slim makes a WebAssembly program of the Go linker smaller to send,
// without changing what it does.
//
// The linker leaves out every run of eight zero bytes of the program's data,
// so that a program of 15 MB comes as a hundred thousand pieces; their places
// do not compress, the zeros would have. Go writes them as one piece again.
// It also empties the tables that lead from an instruction to its file and
// line (see lines.go): a stack trace still names every function.
//
// Formats: WebAssembly Core Specification 2.0, chapter 5 (binary format);
// debug/gosym and runtime/symtab.go of Go 1.26 for the tables of lines.
package slim

import (
	"bytes"
	"fmt"
	"slices"
)

// MaxSize is the largest program that is looked at, and the largest memory
// that its data may fill: 256 MB.
const MaxSize = 256 << 20

// A FormatError reports bytes that are no program as the Go linker writes it.
// The program may be sound all the same: send it as it is.
type FormatError struct {
	What string
	At   int // byte of the file, or of the program's data for its tables
}

// Code names the fault.
func (e *FormatError) Code() string { return "slim-format" }

func (e *FormatError) Error() string {
	return fmt.Sprintf("slim: byte %d: %s is not as the Go linker writes it: send the program as it is", e.At, e.What)
}

// Go returns the program in its small form: data in few pieces, no tables of
// lines. It leaves b as it is, and refuses what it does not understand with a
// *FormatError.
func Go(b []byte) ([]byte, error) {
	m, err := parse(b)
	if err != nil {
		return nil, err
	}
	if err := dropLines(m.memory); err != nil {
		return nil, err
	}
	return m.bytes(), nil
}

// Join returns the program with its data in few pieces and nothing else
// changed.
func Join(b []byte) ([]byte, error) {
	m, err := parse(b)
	if err != nil {
		return nil, err
	}
	return m.bytes(), nil
}

// A piece is a part of the program's memory that its file fills.
type piece struct{ at, end int }

// A module is a program taken apart: everything before and after its data
// section, and its memory as it is before the program starts.
type module struct {
	before, after []byte
	memory        []byte
	pieces        []piece
}

// Numbers of the format, chapter 5.5.
const (
	sectionData = 11
	opI32Const  = 0x41
	opEnd       = 0x0B
)

var magic = []byte("\x00asm\x01\x00\x00\x00")

func parse(b []byte) (*module, error) {
	if len(b) > MaxSize || !bytes.HasPrefix(b, magic) {
		return nil, &FormatError{What: "the beginning"}
	}
	r := reader{b: b, at: len(magic)}
	for r.at < len(b) {
		start := r.at
		id := r.byte()
		size := r.uint()
		if r.bad || size > len(b)-r.at {
			return nil, &FormatError{What: "a section", At: start}
		}
		if id == sectionData {
			m := &module{before: b[:start], after: b[r.at+size:]}
			if err := m.read(reader{b: b[:r.at+size], at: r.at}); err != nil {
				return nil, err
			}
			return m, nil
		}
		r.at += size
	}
	return nil, &FormatError{What: "a program without data", At: len(b)}
}

// read takes the data section into memory. Pieces may come in any order but
// not overlap: only then is one piece with zeros between the same memory.
func (m *module) read(r reader) error {
	n := r.uint()
	from := map[int]int{} // where in the file the piece at a place is
	for range n {
		start := r.at
		mode, op := r.byte(), r.byte()
		at, end, size := r.int(), r.byte(), r.uint()
		_, twice := from[at]
		if r.bad || twice || mode != 0 || op != opI32Const || end != opEnd || at < 0 || size < 1 || size > len(r.b)-r.at {
			return &FormatError{What: "a piece of data", At: start}
		}
		if at+size > MaxSize {
			return &FormatError{What: "the size of the data", At: start}
		}
		m.pieces, from[at] = append(m.pieces, piece{at, at + size}), r.at
		r.at += size
	}
	if r.bad || r.at != len(r.b) {
		return &FormatError{What: "the end of the data", At: r.at}
	}
	slices.SortFunc(m.pieces, func(a, b piece) int { return a.at - b.at })
	for _, p := range m.pieces {
		if p.at < len(m.memory) {
			return &FormatError{What: "a piece of data over another", At: from[p.at]}
		}
		m.memory = append(m.memory, make([]byte, p.at-len(m.memory))...)
		m.memory = append(m.memory, r.b[from[p.at]:from[p.at]+p.end-p.at]...)
	}
	return nil
}

// gap is the longest run of zeros that is written out: below it the place of
// another piece costs more than the zeros, which compress to almost nothing.
const gap = 64

// bytes returns the program with its pieces joined.
func (m *module) bytes() []byte {
	var joined []piece
	for _, p := range m.pieces {
		if n := len(joined); n > 0 && p.at-joined[n-1].end < gap {
			joined[n-1].end = p.end
		} else {
			joined = append(joined, p)
		}
	}
	data := putUint(nil, len(joined))
	for _, p := range joined {
		data = append(data, 0, opI32Const)
		data = append(putInt(data, p.at), opEnd)
		data = append(putUint(data, p.end-p.at), m.memory[p.at:p.end]...)
	}
	out := append(slices.Clone(m.before), sectionData)
	out = append(putUint(out, len(data)), data...)
	return append(out, m.after...)
}
