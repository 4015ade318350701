package slim

import (
	"bytes"
	"encoding/binary"
)

// The table of functions of a Go program (runtime.pcHeader and runtime._func
// of Go 1.20 to 1.26): a header, the names of functions, of compilation
// units and of files, byte strings that give a value for each instruction,
// and a record for each function, which says where its strings begin. Three
// of a function's strings matter here: the depth of its stack, which unwinding
// needs, its file and its line, which only a stack trace prints. Where the
// place of a string is 0 the runtime says "?" for the file and 0 for the line.
const (
	headerSize = 8 + 8*8
	funcSize   = 44

	atStack   = 16 // in a function's record, each four bytes
	atFile    = 20
	atLine    = 24
	atCount   = 28 // how many strings more follow the record
	atUnit    = 32
	atFirst   = 36 // line of the func keyword
	maxFuncs  = 1 << 20
	maxExtras = 64
)

var pclnMagic = []byte{0xF1, 0xFF, 0xFF, 0xFF, 0, 0, 1, 8} // little endian, one-byte steps, eight-byte words

// A functable is the table of functions inside a program's memory.
type functable struct {
	b       []byte // from the header on
	at      int    // of the header, for errors
	n       int
	units   [2]int // names of units and files
	strings [2]int
	funcs   int
}

func (t *functable) wrong(what string) error { return &FormatError{What: what, At: t.at} }

func findTable(memory []byte) (*functable, error) {
	at := bytes.Index(memory, pclnMagic)
	if at < 0 || len(memory)-at < headerSize {
		return nil, &FormatError{What: "the table of functions"}
	}
	t := &functable{b: memory[at:], at: at}
	var word [8]int
	for i := range word {
		v := binary.LittleEndian.Uint64(t.b[8+8*i:])
		if v > uint64(len(t.b)) {
			return nil, t.wrong("the header of the table of functions")
		}
		word[i] = int(v)
	}
	t.n, t.units, t.strings, t.funcs = word[0], [2]int{word[4], word[6]}, [2]int{word[6], word[7]}, word[7]
	rising := word[3] >= headerSize && word[3] <= word[4] && word[4] <= word[5] && word[5] <= word[6] && word[6] <= word[7]
	if !rising || t.n < 1 || t.n > maxFuncs || word[7]+8*t.n+4 > len(t.b) {
		return nil, t.wrong("the header of the table of functions")
	}
	return t, nil
}

func (t *functable) word(at int) int { return int(binary.LittleEndian.Uint32(t.b[at:])) }

// record returns where the record of function i is, and how many strings it
// has besides stack, file and line.
func (t *functable) record(i int) (at, extras int, err error) {
	at = t.funcs + t.word(t.funcs+8*i+4)
	if at+funcSize > len(t.b) {
		return 0, 0, t.wrong("the record of a function")
	}
	extras = t.word(at + atCount)
	if extras > maxExtras || at+funcSize+4*extras > len(t.b) {
		return 0, 0, t.wrong("the record of a function")
	}
	return at, extras, nil
}

// length returns how long the string of values at offset off is: pairs of
// numbers (how the value changes, how many instructions on), ended by a
// change of 0 that is not the first.
func (t *functable) length(off int) (int, error) {
	r := reader{b: t.b[:t.strings[1]], at: t.strings[0] + off}
	if off >= t.strings[1]-t.strings[0] {
		return 0, t.wrong("the place of a table of values")
	}
	for first := true; ; first = false {
		change := r.uint()
		if r.bad {
			return 0, t.wrong("a table of values")
		}
		if change == 0 && !first {
			return r.at - t.strings[0] - off, nil
		}
		r.uint()
	}
}

// dropLines empties what only tells files and lines. Bytes that any string of
// another use needs too stay, whoever shares them.
func dropLines(memory []byte) error {
	t, err := findTable(memory)
	if err != nil {
		return err
	}
	keep, drop := map[int]bool{}, map[int]bool{}
	for i := range t.n {
		at, extras, err := t.record(i)
		if err != nil {
			return err
		}
		keep[t.word(at+atStack)] = true
		for k := range extras {
			keep[t.word(at+funcSize+4*k)] = true
		}
		drop[t.word(at+atFile)], drop[t.word(at+atLine)] = true, true
	}
	needed := make([]bool, t.strings[1]-t.strings[0])
	if err := t.mark(keep, needed); err != nil {
		return err
	}
	unused := make([]bool, len(needed))
	if err := t.mark(drop, unused); err != nil {
		return err
	}
	for i := range t.n { // only now, when all is understood
		at, _, _ := t.record(i)
		clear(t.b[at+atFile : at+atLine+4])
		clear(t.b[at+atUnit : at+atFirst+4])
	}
	clear(t.b[t.units[0]:t.units[1]])
	for i, u := range unused {
		if u && !needed[i] {
			t.b[t.strings[0]+i] = 0
		}
	}
	return nil
}

// mark sets the bytes of every string in the set; place 0 means none.
func (t *functable) mark(set map[int]bool, bytes []bool) error {
	for off := range set {
		if off == 0 {
			continue
		}
		n, err := t.length(off)
		if err != nil {
			return err
		}
		for i := off; i < off+n; i++ {
			bytes[i] = true
		}
	}
	return nil
}
