package radiograph

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"io"
	"math/rand"
	"slices"
	"strings"
	"testing"
)

// A filmWriter writes elements in one of the ways of PS3.5.
type filmWriter struct {
	b             []byte
	implicit, big bool
}

func (w *filmWriter) put(t tag, vr string, v []byte) {
	if len(v)%2 == 1 {
		v = append(slices.Clip(v), 0)
	}
	w.head(t, vr, uint32(len(v)))
	w.b = append(w.b, v...)
}

func (w *filmWriter) head(t tag, vr string, n uint32) {
	order := binary.AppendByteOrder(binary.LittleEndian)
	if w.big {
		order = binary.BigEndian
	}
	w.b = order.AppendUint16(order.AppendUint16(w.b, uint16(t>>16)), uint16(t))
	switch {
	case w.implicit || t>>16 == 0xFFFE:
		w.b = order.AppendUint32(w.b, n)
	case longVR(vr):
		w.b = order.AppendUint32(append(append(w.b, vr...), 0, 0), n)
	default:
		w.b = order.AppendUint16(append(w.b, vr...), uint16(n))
	}
}

func (w *filmWriter) number(t tag, v int) {
	order := binary.ByteOrder(binary.LittleEndian)
	if w.big {
		order = binary.BigEndian
	}
	b := make([]byte, 2)
	order.PutUint16(b, uint16(v))
	w.put(t, "US", b)
}

// marked fills a value with the marker, whatever its VR.
func (w *filmWriter) marked(t tag, vr string) {
	v := marker
	if vr == "UI" {
		v = markedUID
	}
	w.put(t, vr, []byte(v))
}

// sequence writes one item of open or known length.
func (w *filmWriter) sequence(t tag, vr string, open bool, body func(*filmWriter)) {
	in := &filmWriter{implicit: w.implicit, big: w.big}
	body(in)
	if open {
		w.head(t, vr, undefined)
		w.head(tagItem, "", undefined)
		w.b = append(w.b, in.b...)
		w.head(tagItemEnd, "", 0)
		w.head(tagSeqEnd, "", 0)
		return
	}
	w.head(t, vr, uint32(len(in.b)+8))
	w.head(tagItem, "", uint32(len(in.b)))
	w.b = append(w.b, in.b...)
}

// picture writes an 8 × 8 film and what follows it.
func (w *filmWriter) picture() {
	for _, n := range []struct {
		t tag
		v int
	}{{0x00280002, 1}, {0x00280010, 8}, {0x00280011, 8}, {0x00280100, 16}, {0x00280101, 12}, {0x00280102, 11}, {0x00280103, 0}} {
		w.number(n.t, n.v)
	}
	w.put(0x00280004, "CS", []byte("MONOCHROME2"))
	w.put(0x00280030, "DS", []byte(`0.143\0.143`))
	w.put(0x00280A04, "LO", []byte("25 mm ball"))
	pix := make([]byte, 128)
	for i := range pix {
		pix[i] = byte(i & 7)
	}
	w.put(tagPixels, "OW", pix)
}

// whole puts preamble, meta group and data set together.
func whole(uid string, meta, data []byte) []byte {
	b := append(bytes.Repeat([]byte(marker), 13)[:128], "DICM"...)
	b = append(put(b, 0x00020010, "UI", []byte(uid+"\x00")), meta...)
	return append(b, data...)
}

// sample16 is a sound film with more elements at its start.
func sample16(uid string, extra []byte) []byte {
	w := &filmWriter{}
	w.put(0x00080060, "CS", []byte("DX"))
	w.b = append(w.b, extra...)
	w.picture()
	return whole(uid, nil, w.b)
}

// private writes a private group with every kind of value.
func (w *filmWriter) private() {
	w.marked(0x00290010, "LO")
	for i, vr := range []string{"LO", "UN", "OB", "PN", "UT", "US", "FD", "UI", "??"} {
		w.marked(tag(0x00291000+i), vr)
	}
}

// nested writes everything again, in sequences of open and of known length.
func (w *filmWriter) nested(everything func(*filmWriter)) {
	for i, open := range []bool{true, false} {
		w.sequence(tag(0x00081110+i), "SQ", open, everything)
		w.sequence(tag(0x00400275+i), "SQ", open, func(w *filmWriter) {
			w.sequence(0x00400008, "SQ", !open, func(w *filmWriter) { w.sequence(0x00401101, "SQ", open, everything) })
			w.private()
		})
		w.sequence(tag(0x00290020+i), "UN", open, (*filmWriter).private)
	}
}

// icons writes small pictures, plain and in pieces.
func (w *filmWriter) icons() {
	for i, open := range []bool{true, false} {
		w.sequence(0x00880200, "SQ", open, func(w *filmWriter) {
			if i == 0 {
				w.put(tagPixels, "OB", []byte(marker))
			}
			w.head(tagPixels, "OB", undefined)
			w.put(tagItem, "", nil)
			w.put(tagItem, "", []byte(marker))
			w.head(tagSeqEnd, "", 0)
		})
	}
}

// plant writes a film with the marker wherever a person can be written.
func plant(t testing.TB, uid string, all []attribute) []byte {
	t.Helper()
	at := syntaxOf(uid)
	meta, w := &filmWriter{}, &filmWriter{implicit: at.implicit, big: at.big}
	w.put(0x00080060, "CS", []byte("DX"))
	everything := func(w *filmWriter) {
		for _, a := range all {
			w.marked(a.t, a.vr)
		}
	}
	for _, a := range all {
		if a.t>>16 == 2 {
			meta.marked(a.t, a.vr)
		} else {
			w.marked(a.t, a.vr)
		}
	}
	w.private()
	w.nested(everything)
	w.icons()
	w.put(0x00290030, "SQ", []byte("not a sequence, and "+marker))
	w.put(0x00290031, "UN", append(slices.Clone(itemLE), "not an item, and "+marker...))
	w.picture()
	w.sequence(0xFFFAFFFA, "SQ", true, everything)
	w.put(0xFFFCFFFC, "OB", []byte(marker))
	w.b = append(w.b, marker...)
	if !at.deflated {
		return whole(uid, meta.b, w.b)
	}
	packed, err := deflate(nil, w.b)
	if err != nil {
		t.Fatal(err)
	}
	return append(whole(uid, meta.b, packed), marker...)
}

func planted(t testing.TB) [][]byte {
	var out [][]byte
	for _, uid := range []string{explicitLE, implicitLE, explicitBE, "1.2.840.10008.1.2.1.99"} {
		out = append(out, plant(t, uid, attributes(t)))
	}
	return out
}

// The planted patient is nowhere in the clean film, and the picture is there.
func TestCleanPlanted(t *testing.T) {
	for _, file := range planted(t) {
		h, err := ReadHeader(file)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(h.SyntaxName, func(t *testing.T) {
			clean, removed, err := Clean(file)
			if err != nil {
				t.Fatal(err)
			}
			checkClean(t, file, clean)
			samePicture(t, file, clean)
			before, after := plain(t, file), plain(t, clean)
			for _, m := range []string{marker, markedUID, marker[:4], "771177"} {
				if !bytes.Contains(before, []byte(m)) {
					t.Fatalf("%s was never in the film", m)
				}
				if at := bytes.Index(after, []byte(m)); at >= 0 {
					t.Errorf("%s is still there, at %d: …%q…", m, at, after[max(at-24, 0):at])
				}
			}
			// Big endian words would show it with its letters swapped.
			if bytes.Contains(after, []byte("ZQPXTAEITN")) {
				t.Error("the marker is there as words")
			}
			said := strings.Join(removed, " ")
			for _, name := range []string{"FilePreamble", "PatientName", "PatientID", "StudyInstanceUID", "InstitutionName", "IconImageSequence", "Private", "TrailingData"} {
				if !slices.Contains(removed, name) && (name != "TrailingData" || h.SyntaxName != "deflated") {
					t.Errorf("%s is not told: %s", name, said)
				}
			}
			if strings.Contains(said, marker) {
				t.Errorf("a value is told: %s", said)
			}
		})
	}
}

// plain returns a file with its data set inflated, if it was deflated.
func plain(t *testing.T, b []byte) []byte {
	t.Helper()
	f := &dicom{}
	pos, uid, err := f.meta(b)
	if err != nil {
		t.Fatal(err)
	}
	if !syntaxOf(uid).deflated {
		return b
	}
	data := bytes.NewReader(b[pos:])
	out, err := io.ReadAll(flate.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return slices.Concat(b[:pos], out, b[len(b)-data.Len():])
}

// What is not known to describe the picture is blanked, whatever its number:
// an entry that nobody thought of does not pass. Names of ours are those of
// the table above.
func TestCleanKeepsOnlyTheList(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	w := &filmWriter{implicit: true}
	w.put(0x00080060, "CS", []byte("DX"))
	kept := 0
	for range 20_000 {
		tg := tag(r.Uint32())
		if r.Intn(2) == 0 { // where films have most
			tg = tag([]uint32{0x0008, 0x0010, 0x0018, 0x0020, 0x0040, 0x6002}[r.Intn(6)]<<16 | uint32(r.Intn(1<<16)))
		}
		if tg>>16 == 0xFFFE || tg == tagPixels || tg == tagSyntax || tables(tg) {
			continue
		}
		if describes(tg) {
			kept++
			continue
		}
		w.put(tg, "", []byte(marker))
	}
	w.picture()
	clean, _, err := Clean(whole(implicitLE, nil, w.b))
	if err != nil {
		t.Fatal(err)
	}
	if at := bytes.Index(clean, []byte(marker)); at >= 0 {
		t.Errorf("the marker is kept in the element at %x", clean[at-8:at])
	}
	if kept > 40 {
		t.Errorf("%d of 20,000 random elements are kept: the list is no list", kept)
	}
	for _, a := range attributes(t) {
		if describes(a.t) {
			t.Errorf("%v %s is kept", a.t, a.name)
		}
		if name, ok := keywords[a.t]; ok && name != a.name {
			t.Errorf("%v is called %s, want %s", a.t, name, a.name)
		}
	}
}

// Comments in the compressed streams of a picture go, its samples do not; and
// a comment that runs over two pieces goes too.
func TestCleanComments(t *testing.T) {
	pix := film(9, 7, 12)
	stream := packLossless(pix, 9, 7, 12, 1, 0)
	note := func(mark byte, s string) []byte { return append([]byte{0xFF, mark, 0, byte(len(s) + 2)}, s...) }
	noted := slices.Concat(stream[:2], note(0xFE, marker), note(0xE1, "Exif\x00\x00"+marker), note(0xED, marker), note(0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x00"), stream[2:], []byte(marker))
	one := makeDICOM("1.2.840.10008.1.2.4.57", 9, 7, 12, nil, noted)
	two := makeDICOM("1.2.840.10008.1.2.4.57", 9, 7, 12, nil, noted[:12])
	rest := noted[12:]
	if len(rest)%2 == 1 {
		rest = append(rest, 0)
	}
	two = append(two[:len(two)-8], 0xFE, 0xFF, 0x00, 0xE0)
	two = append(binary.LittleEndian.AppendUint32(two, uint32(len(rest))), rest...)
	two = append(two, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
	for name, file := range map[string][]byte{"one piece": one, "two pieces": two} {
		clean, removed, err := Clean(file)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if bytes.Contains(clean, []byte("PATIENT")) || bytes.Contains(clean, []byte("QZX")) || !slices.Contains(removed, "Comment") {
			t.Errorf("%s: the comment is still there (%v)", name, removed)
		}
		if !bytes.Contains(clean, []byte("Adobe")) {
			t.Errorf("%s: how colours are stored is gone", name)
		}
		checkClean(t, file, clean)
		im, err := Open(clean, Options{})
		if err != nil || !slices.Equal(im.Pix, pix) {
			t.Errorf("%s: %v", name, err)
		}
	}
	j2k := slices.Concat([]byte{0xFF, 0x4F}, note(0x51, "size of the picture"), note(0x64, "\x00\x01"+marker), []byte("\xFF\x90\x00\x0Atile"))
	clean, _, err := Clean(makeDICOM("1.2.840.10008.1.2.4.90", 9, 7, 12, nil, j2k))
	if err != nil || bytes.Contains(clean, []byte(marker)) || !bytes.Contains(clean, []byte("size of the picture")) {
		t.Errorf("JPEG 2000: %v, comment %v", err, bytes.Contains(clean, []byte(marker)))
	}
}
