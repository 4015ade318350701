package radiograph

import (
	"encoding/binary"
	"fmt"
)

type tag uint32

// String writes a tag as the standard does: (0028,0030).
func (t tag) String() string { return fmt.Sprintf("(%04X,%04X)", uint32(t)>>16, uint32(t)&0xFFFF) }

const (
	tagItem     tag = 0xFFFEE000
	tagItemEnd  tag = 0xFFFEE00D
	tagSeqEnd   tag = 0xFFFEE0DD
	tagPixels   tag = 0x7FE00010
	tagFloat    tag = 0x7FE00008
	tagDouble   tag = 0x7FE00009
	tagModality tag = 0x00283000
	tagVOI      tag = 0x00283010
	undefined       = 0xFFFFFFFF
)

// An element is one entry of a data set. Of a value that is longer than the
// file, value holds what is there and short is set.
type element struct {
	tag    tag
	vr     string
	length uint32
	value  []byte
	short  bool
}

// A walker reads elements one after another. Its slice is never copied.
type walker struct {
	b        []byte
	pos      int
	base     int // of b in the file, for messages
	implicit bool
	order    binary.ByteOrder
	depth    int
	count    *int
}

func newWalker(b []byte, base int, s syntax) *walker {
	w := &walker{b: b, base: base, implicit: s.implicit, order: binary.LittleEndian, count: new(int)}
	if s.big {
		w.order = binary.BigEndian
	}
	return w
}

func (w *walker) more() bool { return w.pos < len(w.b) }

func (w *walker) cut(where string) error {
	return &InvalidError{Fault: CutHeader, What: where, Got: int64(w.base + w.pos)}
}

// head reads the tag, the VR and the length of the next element.
func (w *walker) head() (element, error) {
	if *w.count++; *w.count > maxElements {
		return element{}, &LimitError{What: "elements", Got: int64(*w.count), Max: maxElements}
	}
	b := w.b[w.pos:]
	if len(b) < 8 {
		return element{}, w.cut("the start of an entry")
	}
	e := element{tag: tag(w.order.Uint16(b))<<16 | tag(w.order.Uint16(b[2:]))}
	switch {
	case w.implicit || e.tag>>16 == 0xFFFE:
		e.length = w.order.Uint32(b[4:])
		w.pos += 8
	case longVR(string(b[4:6])):
		if len(b) < 12 {
			return element{}, w.cut(e.tag.String())
		}
		e.vr, e.length = string(b[4:6]), w.order.Uint32(b[8:])
		w.pos += 12
	case !knownVR(string(b[4:6])) && w.plausible(b):
		e.vr, e.length = "UN", w.order.Uint32(b[4:])
		w.pos += 8
	default:
		e.vr, e.length = string(b[4:6]), uint32(w.order.Uint16(b[6:]))
		w.pos += 8
	}
	return e, nil
}

// plausible reports whether an entry with an unknown VR is written without
// one: its length then fits the file.
func (w *walker) plausible(b []byte) bool {
	n := w.order.Uint32(b[4:])
	return n == undefined || int64(n) <= int64(len(b)-8)
}

// next reads one element with its value; the content of a sequence of
// undefined length is walked to find its end. Encapsulated pixels are left to
// the caller: their value is the rest of the data.
func (w *walker) next() (element, error) {
	e, err := w.head()
	if err != nil {
		return e, err
	}
	if e.tag == tagPixels && e.length == undefined {
		e.value = w.b[w.pos:]
		return e, nil
	}
	if e.length == undefined {
		start := w.pos
		if err := w.skipSequence(e.vr == "UN"); err != nil {
			return e, err
		}
		e.value = w.b[start:w.pos]
		return e, nil
	}
	rest := w.b[w.pos:]
	if int64(e.length) > int64(len(rest)) {
		e.value, e.short = rest, true
		w.pos = len(w.b)
		if e.tag == tagPixels {
			return e, nil
		}
		return e, w.cut(e.tag.String())
	}
	e.value = rest[:e.length]
	w.pos += int(e.length)
	return e, nil
}

// skipSequence walks the items of a sequence of undefined length. One of VR
// UN is implicit VR little endian inside, whatever the file is (PS3.5, 6.2.2
// note 2); some writers keep the file's own way, so that is tried after.
func (w *walker) skipSequence(un bool) error {
	if !un || w.implicit {
		return w.skipItems()
	}
	inner := *w
	inner.implicit, inner.order = true, binary.LittleEndian
	err := inner.skipItems()
	if _, limit := err.(*LimitError); err == nil || limit {
		w.pos = inner.pos
		return err
	}
	return w.skipItems()
}

func (w *walker) skipItems() error {
	if w.depth++; w.depth > maxNesting {
		return &LimitError{What: "nesting", Got: int64(w.depth), Max: maxNesting}
	}
	defer func() { w.depth-- }()
	for w.more() {
		e, err := w.head()
		if err != nil {
			return err
		}
		switch {
		case e.tag == tagSeqEnd:
			return nil
		case e.tag != tagItem:
			return w.cut("a sequence, at " + e.tag.String())
		case e.length == undefined:
			if err := w.skipItem(); err != nil {
				return err
			}
		case int64(e.length) > int64(len(w.b)-w.pos):
			return w.cut("an item of a sequence")
		default:
			w.pos += int(e.length)
		}
	}
	return w.cut("a sequence")
}

// skipItem walks the elements of an item of undefined length.
func (w *walker) skipItem() error {
	for w.more() {
		at := w.pos
		e, err := w.head()
		if err != nil {
			return err
		}
		if e.tag == tagItemEnd {
			return nil
		}
		w.pos = at
		if _, err := w.next(); err != nil {
			return err
		}
	}
	return w.cut("an item of a sequence")
}
