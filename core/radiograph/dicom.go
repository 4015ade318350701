package radiograph

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"io"
	"strings"
)

// A dicom is a parsed file: the elements that are wanted, and the picture.
type dicom struct {
	b        []byte // the data set, as written or inflated
	at       syntax
	elements map[tag]element
	pixels   element // the zero tag when there are none
	bare     bool    // no preamble
	float    bool    // the picture is of floating-point numbers
	notes    []Warning
}

// wanted reports whether an element is kept: what the header needs and
// nothing of the patient.
func wanted(t tag) bool {
	switch t >> 16 {
	case 0x0028:
		return true
	case 0x0018:
		return true
	}
	switch t {
	case 0x00080060, 0x00080068, 0x00200060, 0x00200062, 0x20500020:
		return true
	}
	return false
}

// parseDICOM reads a whole file up to its picture.
func parseDICOM(b []byte) (*dicom, error) {
	f := &dicom{elements: map[tag]element{}}
	_, base, err := f.start(b)
	if err != nil {
		return nil, err
	}
	return f, f.read(newWalker(f.b, base, f.at))
}

// start reads up to the data set and settles how it is written: pos is where
// it begins in the file, base where it begins in f.b, which is another when it
// was deflated.
func (f *dicom) start(b []byte) (pos, base int, err error) {
	pos, uid, err := f.meta(b)
	if err != nil {
		return 0, 0, err
	}
	if pos >= len(b) {
		return 0, 0, &InvalidError{Fault: CutHeader, What: "the start of its data set", Got: int64(len(b))}
	}
	if err := f.settle(b, pos, uid); err != nil {
		return 0, 0, err
	}
	if f.at.deflated {
		return pos, 0, nil
	}
	return pos, pos, nil
}

// meta reads the preamble and the file meta group, which is explicit little
// endian whatever follows (PS3.10, 7.1), and returns where the data set starts
// and its transfer syntax, empty when it is not said.
func (f *dicom) meta(b []byte) (pos int, uid string, err error) {
	if len(b) >= 132 && string(b[128:132]) == "DICM" {
		pos = 132
	} else {
		f.bare = true
		f.note(NoPreamble, "")
	}
	w := newWalker(b, 0, syntaxOf(explicitLE))
	for w.pos = pos; w.more(); pos = w.pos {
		if len(b)-pos < 8 || binary.LittleEndian.Uint16(b[pos:]) != 2 {
			return pos, uid, nil
		}
		w.implicit = !knownVR(string(b[pos+4 : pos+6]))
		e, err := w.next()
		if err != nil {
			return pos, "", err
		}
		if e.tag == 0x00020010 {
			uid = cleanText(e.value)
		}
	}
	return pos, uid, nil
}

// settle decides how the data set is written and unpacks a deflated one.
func (f *dicom) settle(b []byte, pos int, uid string) error {
	f.b = b[pos:]
	b = f.b
	if uid == "" {
		g, ok := guessSyntax(b)
		if !ok && !f.bare {
			return &InvalidError{Fault: CutHeader, What: "the start of its data set", Got: int64(pos)}
		}
		if !ok {
			return &InvalidError{Fault: NotFilm}
		}
		f.at = g
		f.note(SyntaxGuessed, g.name)
		return nil
	}
	f.at = syntaxOf(uid)
	if f.at.deflated {
		return f.inflate()
	}
	as, honest := asWritten(f.at, b)
	if !honest {
		f.at = as
		how := "explicit"
		if as.implicit {
			how = "implicit"
		}
		f.note(SyntaxGuessed, how+" VR")
	}
	return nil
}

// inflate unpacks a deflated data set (PS3.5, A.5) up to a limit.
func (f *dicom) inflate() error {
	most := min(maxInflated, int64(len(f.b))*1032+1024) // deflate cannot pack tighter
	r := flate.NewReader(bytes.NewReader(f.b))
	out, err := io.ReadAll(io.LimitReader(r, most+1))
	if int64(len(out)) > most {
		return &LimitError{What: "inflated", Got: int64(len(out)), Max: most}
	}
	if err != nil {
		return &InvalidError{Fault: CutPixels}
	}
	f.b = out
	return nil
}

// read walks the data set and keeps what is wanted.
func (f *dicom) read(w *walker) error {
	for w.more() {
		e, err := w.next()
		if err != nil {
			return err
		}
		switch {
		case e.tag == tagPixels:
			f.pixels = e
			f.tail(w, e)
			return nil
		case e.tag == tagFloat || e.tag == tagDouble:
			f.float = true
		case e.tag>>24 == 0x60 && e.tag&0xFFFF == 0x3000 || e.tag>>24 == 0x60 && e.tag&0xFFFF == 0x0102:
			f.noteOnce(OverlayLost, "")
		case wanted(e.tag):
			f.keep(e)
		}
	}
	return nil
}

// keep stores an element. One that is there twice with different values has
// none: nothing says which is true.
func (f *dicom) keep(e element) {
	old, twice := f.elements[e.tag]
	if twice && !bytes.Equal(old.value, e.value) {
		f.noteOnce(TwiceTag, e.tag.String())
		e.value = nil
	}
	f.elements[e.tag] = e
}

// tail notes what follows a picture stored plain, except padding and what the
// standard puts there (PS3.10, 7.2: data set trailing padding).
func (f *dicom) tail(w *walker, px element) {
	if px.length == undefined || px.short {
		return
	}
	for w.more() {
		e, err := w.next()
		if err != nil || e.tag <= tagPixels {
			f.noteOnce(Trailing, "something that is no entry")
			return
		}
	}
}

func (f *dicom) note(n Note, what string) { f.notes = append(f.notes, Warning{n, what}) }

func (f *dicom) noteOnce(n Note, what string) {
	for _, w := range f.notes {
		if w.Note == n && w.What == what {
			return
		}
	}
	f.note(n, what)
}

// text returns a text value, upper case where it is a code string.
func (f *dicom) text(t tag) string { return cleanText(f.elements[t].value) }

func (f *dicom) code(t tag) string {
	first, _, _ := strings.Cut(f.text(t), `\`)
	return strings.ToUpper(strings.TrimSpace(first))
}

// order is the byte order of numbers in the data set.
func (f *dicom) order() binary.ByteOrder {
	if f.at.big {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

// short returns the i-th 16-bit number of an element, and whether it is there.
func (f *dicom) short(t tag, i int) (int, bool) {
	v := f.elements[t].value
	if len(v) < 2*i+2 {
		return 0, false
	}
	return int(f.order().Uint16(v[2*i:])), true
}
