package radiograph

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"slices"
)

// cleanDICOM blanks a file in place, in a copy, so that every length and
// place in it stays what it was. A deflated data set is packed again.
func cleanDICOM(file []byte, gone *names) ([]byte, error) {
	b := slices.Clone(file)
	f := &dicom{}
	pos, base, err := f.start(b)
	if err != nil {
		return nil, err
	}
	if err := scrubAll(f, b[:pos], base, gone); err != nil {
		return nil, err
	}
	// Clean again: what is blank must read as blank, or the file was not read
	// as it is.
	var left names
	if err := scrubAll(f, b[:pos], base, &left); err != nil {
		return nil, err
	}
	if len(left) > 0 {
		return nil, &PersonalError{Tag: left[0]}
	}
	if f.at.deflated {
		return deflate(b[:pos], f.b)
	}
	return b, nil
}

// deflate appends a packed data set to the meta group, padded to even length
// (PS3.5, A.5).
func deflate(meta, data []byte) ([]byte, error) {
	var out bytes.Buffer
	out.Write(meta)
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	if (out.Len()-len(meta))%2 == 1 {
		out.WriteByte(0)
	}
	return out.Bytes(), nil
}

func scrubAll(f *dicom, meta []byte, base int, gone *names) error {
	m := &scrubber{b: meta}
	if err := m.meta(f.bare); err != nil {
		return err
	}
	d := &scrubber{b: f.b, packed: f.at.codec != codecRLE}
	if err := d.dataSet(newWalker(f.b, base, f.at)); err != nil {
		return err
	}
	m.apply(gone)
	d.apply(gone)
	return nil
}

// A scrubber reads a data set as the reader does and plans what to blank.
// Nothing is blanked before all is read, so that what turns out to be no
// sequence can be planned anew.
type scrubber struct {
	b      []byte
	plan   []patch
	packed bool // the pieces of an encapsulated picture may hold comments
}

type patch struct {
	from, to int
	tag      tag
	name     string
	fill     fill
}

type fill byte

const (
	fillZero fill = iota
	fillBlank
	fillUID
)

func (s *scrubber) apply(gone *names) {
	for _, p := range s.plan {
		v := s.b[p.from:p.to]
		if len(bytes.Trim(v, " \x00")) == 0 {
			continue
		}
		if p.fill == fillUID {
			if cleanUIDs(p.tag, v) {
				gone.add(p.name)
			}
			continue
		}
		c := byte(0)
		if p.fill == fillBlank {
			c = ' '
		}
		for i := range v {
			v[i] = c
		}
		gone.add(p.name)
	}
}

func (s *scrubber) zero(from, to int, name string) {
	s.plan = append(s.plan, patch{from: from, to: to, name: name})
}

// blank plans a whole value by its VR, or by its look where there is none.
func (s *scrubber) blank(e element, from, to int) {
	p := patch{from: from, to: to, tag: e.tag, name: keyword(e.tag)}
	v := s.b[from:to]
	known := knownVR(e.vr) && e.vr != "UN"
	switch {
	case e.vr == "UI", !known && nameUID(e.tag) && isUID(string(bytes.TrimRight(v, " \x00"))):
		p.fill = fillUID
	case textVR(e.vr), !known && looksText(v):
		p.fill = fillBlank
	}
	s.plan = append(s.plan, p)
}

// meta plans the preamble and the file meta group, as dicom.meta reads it.
func (s *scrubber) meta(bare bool) error {
	w := newWalker(s.b, 0, syntaxOf(explicitLE))
	if !bare {
		s.zero(0, 128, "FilePreamble")
		w.pos = 132
	}
	for w.more() {
		if len(s.b)-w.pos >= 8 {
			w.implicit = !knownVR(string(s.b[w.pos+4 : w.pos+6]))
		}
		e, err := w.head()
		if err != nil {
			return err
		}
		if err := s.element(w, e); err != nil {
			return err
		}
	}
	return nil
}

// dataSet plans all that is before and after the picture.
func (s *scrubber) dataSet(w *walker) error {
	for w.more() {
		e, err := w.head()
		if err != nil {
			return err
		}
		if e.tag != tagPixels {
			if err := s.element(w, e); err != nil {
				return err
			}
			continue
		}
		if e.length == undefined {
			if err := s.pieces(w); err != nil {
				return err
			}
		} else {
			w.pos += min(int(e.length), len(s.b)-w.pos)
		}
		s.tail(w)
	}
	return nil
}

// tail plans what follows the picture: entries are blanked, and from the first
// thing that is none, everything.
func (s *scrubber) tail(w *walker) {
	for w.more() {
		at, mark := w.pos, len(s.plan)
		e, err := w.head()
		if err == nil && e.tag > tagPixels {
			err = s.element(w, e)
		} else if err == nil {
			err = w.cut("what follows the picture")
		}
		if err != nil {
			s.plan = s.plan[:mark]
			s.zero(at, len(w.b), "TrailingData")
			w.pos = len(w.b)
		}
	}
}

// element plans one element whose head was read, and leaves the walker after
// it.
func (s *scrubber) element(w *walker, e element) error {
	if describes(e.tag) && (personal(e.vr) || e.length == undefined) {
		return &PersonalError{Tag: e.tag.String(), VR: e.vr}
	}
	if e.length == undefined {
		return s.open(w, e)
	}
	if int64(e.length) > int64(len(w.b)-w.pos) {
		return w.cut(e.tag.String())
	}
	from, to := w.pos, w.pos+int(e.length)
	w.pos = to
	switch {
	case from == to, describes(e.tag), groupLength(e):
		return nil
	case e.tag == tagSyntax: // it is kept, so it must be what it says
		if !isUID(string(bytes.TrimRight(s.b[from:to], " \x00"))) {
			return &PersonalError{Tag: e.tag.String(), VR: "something else"}
		}
		return nil
	case s.holdsItems(e, s.b[from:to]):
		return s.closed(w, e, from, to)
	}
	s.blank(e, from, to)
	return nil
}

// holdsItems reports whether a value of known length is to be read as a
// sequence.
func (s *scrubber) holdsItems(e element, v []byte) bool {
	if e.vr == "SQ" || tables(e.tag) {
		return true
	}
	return (e.vr == "" || e.vr == "UN") && (bytes.HasPrefix(v, itemLE) || bytes.HasPrefix(v, itemBE))
}

var itemLE, itemBE = []byte{0xFE, 0xFF, 0x00, 0xE0}, []byte{0xFF, 0xFE, 0xE0, 0x00}

// closed plans a sequence of known length. One that cannot be read is blanked
// whole; one that the reader needs refuses the file.
func (s *scrubber) closed(w *walker, e element, from, to int) error {
	mark := len(s.plan)
	try := func(implicit bool, order binary.ByteOrder) error {
		s.plan = s.plan[:mark]
		in := *w
		in.b, in.pos, in.implicit, in.order = w.b[:to], from, implicit, order
		err := s.items(&in, false, tables(e.tag))
		if err == nil && in.more() { // after an end mark
			return in.cut("a sequence")
		}
		return err
	}
	err := try(w.implicit, w.order)
	if err != nil && e.vr == "UN" && !endless(err) {
		err = try(true, binary.LittleEndian)
	}
	if err == nil || endless(err) || tables(e.tag) {
		return err
	}
	s.plan = s.plan[:mark]
	s.zero(from, to, keyword(e.tag))
	return nil
}

// endless reports an error that stops everything: more elements than any film
// has.
func endless(err error) bool {
	l, ok := err.(*LimitError)
	return ok && l.What == "elements"
}

// open plans a sequence that lasts to its end mark, in the way that the
// reader's skipSequence settles on.
func (s *scrubber) open(w *walker, e element) error {
	if e.tag == tagPixels { // of an icon
		return s.icon(w)
	}
	if e.vr != "UN" || w.implicit {
		return s.items(w, true, tables(e.tag))
	}
	mark := len(s.plan)
	in := *w
	in.implicit, in.order = true, binary.LittleEndian
	err := s.items(&in, true, tables(e.tag))
	if _, limit := err.(*LimitError); err == nil || limit {
		w.pos = in.pos
		return err
	}
	s.plan = s.plan[:mark]
	return s.items(w, true, tables(e.tag))
}

// items plans the items of a sequence, up to its end mark or, unless it is
// open, the end of the walker. An item of known length that cannot be read is
// blanked whole, unless it is needed.
func (s *scrubber) items(w *walker, open, needed bool) error {
	if w.depth++; w.depth > maxNesting {
		return &LimitError{What: "nesting", Got: int64(w.depth), Max: maxNesting}
	}
	defer func() { w.depth-- }()
	for w.more() {
		e, err := w.head()
		switch {
		case err != nil:
			return err
		case e.tag == tagSeqEnd:
			return nil
		case e.tag != tagItem:
			return w.cut("a sequence, at " + e.tag.String())
		case e.length == undefined:
			if err := s.item(w, true); err != nil {
				return err
			}
			continue
		case int64(e.length) > int64(len(w.b)-w.pos):
			return w.cut("an item of a sequence")
		}
		mark, in, from := len(s.plan), *w, w.pos
		w.pos += int(e.length)
		in.b = w.b[:w.pos]
		if err := s.item(&in, false); err != nil {
			if needed || endless(err) {
				return err
			}
			s.plan = s.plan[:mark]
			s.zero(from, w.pos, "Item")
		}
	}
	if open {
		return w.cut("a sequence")
	}
	return nil
}

// groupLength reports the number of bytes of a group, which stays true.
func groupLength(e element) bool {
	return e.tag&0xFFFF == 0 && e.length == 4 && (e.vr == "" || e.vr == "UL")
}

// item plans the elements of an item, to its end mark or to the end of the
// walker.
func (s *scrubber) item(w *walker, open bool) error {
	for w.more() {
		e, err := w.head()
		switch {
		case err != nil:
			return err
		case open && e.tag == tagItemEnd:
			return nil
		case e.tag == 0:
			return w.cut("an item of a sequence")
		}
		if err := s.element(w, e); err != nil {
			return err
		}
	}
	if open {
		return w.cut("an item of a sequence")
	}
	return nil
}

// icon blanks the pieces of a compressed picture inside a sequence.
func (s *scrubber) icon(w *walker) error {
	for w.more() {
		e, err := w.head()
		if err != nil {
			return err
		}
		if e.tag == tagSeqEnd {
			return nil
		}
		if e.tag != tagItem || int64(e.length) > int64(len(w.b)-w.pos) {
			return w.cut("a small picture in the header")
		}
		s.zero(w.pos, w.pos+int(e.length), "IconImageSequence")
		w.pos += int(e.length)
	}
	return w.cut("a small picture in the header")
}
