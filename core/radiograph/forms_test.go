package radiograph

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// written writes a film of 16 bits in one of the forms a data set has.
func written(order binary.AppendByteOrder, implicit bool, w, h int, pix []uint16, more map[tag][]byte) []byte {
	us := func(v int) []byte { return order.AppendUint16(nil, uint16(v)) }
	raw := []byte{}
	for _, v := range pix {
		raw = order.AppendUint16(raw, v)
	}
	all := map[tag][]byte{0x00080060: []byte("DX"), 0x00280002: us(1), 0x00280004: []byte("MONOCHROME2 "), 0x00280010: us(h),
		0x00280011: us(w), 0x00280100: us(16), 0x00280101: us(12), 0x00280102: us(11), 0x00280103: us(0), tagPixels: raw}
	for t, v := range more {
		all[t] = v
	}
	tags := []tag{}
	for t := range all {
		tags = append(tags, t)
	}
	slices.Sort(tags)
	var b []byte
	for _, t := range tags {
		b = order.AppendUint16(order.AppendUint16(b, uint16(t>>16)), uint16(t))
		vr := map[bool]string{true: "CS", false: "US"}[t == 0x00080060 || t == 0x00280004 || t == 0x20500020]
		switch {
		case t == tagPixels:
			vr = "OW"
		case t == 0x00280034:
			vr = "IS"
		}
		switch {
		case implicit:
			b = order.AppendUint32(b, uint32(len(all[t])))
		case vr == "OW":
			b = order.AppendUint32(append(b, 'O', 'W', 0, 0), uint32(len(all[t])))
		default:
			b = order.AppendUint16(append(b, vr...), uint16(len(all[t])))
		}
		b = append(b, all[t]...)
	}
	return b
}

func part10(uid string, data []byte) []byte {
	b := append(make([]byte, 128), "DICM"...)
	return append(put(b, 0x00020010, "UI", []byte(uid+"\x00")), data...)
}

// A law: however a film is written, its samples are the same, and what had to
// be guessed is told.
func TestEveryFormOfDataSet(t *testing.T) {
	const w, h = 40, 30
	pix := film(w, h, 12)
	le, be := binary.LittleEndian, binary.BigEndian
	var packed bytes.Buffer
	z, _ := flate.NewWriter(&packed, 9)
	z.Write(written(le, false, w, h, pix, nil))
	z.Close()
	for _, tt := range []struct {
		name string
		b    []byte
		note Note
	}{
		{"explicit", part10(explicitLE, written(le, false, w, h, pix, nil)), ""},
		{"implicit", part10(implicitLE, written(le, true, w, h, pix, nil)), ""},
		{"big endian", part10(explicitBE, written(be, false, w, h, pix, nil)), ""},
		{"deflated", part10("1.2.840.10008.1.2.1.99", packed.Bytes()), ""},
		{"headerless explicit", written(le, false, w, h, pix, nil), SyntaxGuessed},
		{"headerless implicit", written(le, true, w, h, pix, nil), SyntaxGuessed},
		{"headerless big endian", written(be, false, w, h, pix, nil), SyntaxGuessed},
		{"says implicit, is explicit", part10(implicitLE, written(le, false, w, h, pix, nil)), SyntaxGuessed},
		{"says explicit, is implicit", part10(explicitLE, written(le, true, w, h, pix, nil)), SyntaxGuessed},
		{"RLE", makeDICOM("1.2.840.10008.1.2.5", w, h, 12, nil, packRLE(pix)), ""},
		{"lossless JPEG", makeDICOM("1.2.840.10008.1.2.4.70", w, h, 12, nil, packLossless(pix, w, h, 12, 1, 0)), ""},
	} {
		im, err := Open(tt.b, Options{})
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if !slices.Equal(im.Pix, pix) || tt.note != "" && !noted(im.Header, tt.note) || tt.note == "" && len(im.Header.Warnings) != 0 {
			t.Errorf("%s: samples equal %v, warnings %v", tt.name, slices.Equal(im.Pix, pix), im.Header.Warnings)
		}
	}
	im, err := Open(part10(explicitBE, written(be, false, w, h, pix, map[tag][]byte{0x20500020: []byte("INVERSE "), 0x00280034: []byte(`5\4 `)})), Options{})
	if err != nil || !im.Inverted() || im.Header.Aspect == nil || *im.Header.Aspect != [2]int{5, 4} {
		t.Errorf("presentation shape or pixel aspect of a big-endian film: %v", err)
	}
}

// Frames are found through an Extended Offset Table, whose basic table is
// empty (PS3.3, C.7.6.3.1.8: then each frame is one piece).
func TestExtendedOffsetTable(t *testing.T) {
	const w, h = 16, 12
	a := film(w, h, 12)
	b := slices.Clone(a)
	slices.Reverse(b)
	one := makeDICOM("1.2.840.10008.1.2.5", w, h, 12, nil, packRLE(a))
	one = one[:bytes.Index(one, []byte{0xE0, 0x7F, 0x10, 0})]
	one = put(one, 0x00280008, "IS", []byte("2"))
	pa, pb := packRLE(a), packRLE(b)
	long := func(v ...int) (out []byte) {
		for _, x := range v {
			out = binary.LittleEndian.AppendUint64(out, uint64(x))
		}
		return out
	}
	one = put(one, 0x7FE00001, "OV", long(0, 8+len(pa)))
	one = put(one, 0x7FE00002, "OV", long(len(pa), len(pb)))
	one = append(one, 0xE0, 0x7F, 0x10, 0, 'O', 'B', 0, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFE, 0xFF, 0, 0xE0, 0, 0, 0, 0)
	for _, s := range [][]byte{pa, pb} {
		one = append(binary.LittleEndian.AppendUint32(append(one, 0xFE, 0xFF, 0, 0xE0), uint32(len(s))), s...)
	}
	one = append(one, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
	for k, want := range [][]uint16{a, b} {
		im, err := Open(one, Options{Frame: k})
		if err != nil || !slices.Equal(im.Pix, want) {
			t.Errorf("frame %d: %v", k, err)
		}
	}
}

// pitfalls are failures that users of viewers met, and the tests that keep
// them from coming back: room, a colon, the names of its tests.
var pitfalls = []struct{ fault, tests string }{
	{"spacing at the detector taken for the bone's", "core/calibrate:TestHeader core/radiograph:TestSizeTags"},
	{"equal spacings taken for calibrated", "core/calibrate:TestHeader"},
	{"magnification factor ignored or applied twice", "core/calibrate:TestNeverDividedTwice TestMagnificationIsNotTakenOutTwice"},
	{"zero, one or malformed spacing", "core/radiograph:TestSizeTags TestBroken core/calibrate:TestUsable"},
	{"decimal comma", "core/radiograph:TestDecimal TestSizeTags"},
	{"rows and columns swapped, pixels not square", "core/calibrate:TestSpacingsAreNotSwapped wasm/film:TestLookNeedsSquarePixels"},
	{"mirrored or turned picture", "app/viewer:TestTurnAndMirror"},
	{"MONOCHROME1 as a negative, or inverted twice", "core/radiograph:TestInversionLastAndOnce"},
	{"odd rescale", "core/radiograph:TestRescale TestSignedValues"},
	{"table of light and dark broken or ignored", "core/radiograph:TestVOITable TestTableOfTwelveBits TestWindowFunctions"},
	{"several windows, width 0 or none", "core/radiograph:TestDefaultWindow TestWindowsOfFilms"},
	{"unused high bits", "core/radiograph:TestFilmsAreExact"},
	{"lossless JPEG wrong without an error", "core/radiograph:TestLosslessRoundTrip TestLosslessLeftOver TestFilmsAreExact"},
	{"JPEG 2000 that disagrees with its header", "core/radiograph:TestJ2KSignAndDepth TestJ2KFaults wasm/film:TestJPEG2000IsExact"},
	{"no preamble, wrong transfer syntax", "core/radiograph:TestEveryFormOfDataSet TestSniff TestBroken"},
	{"private sequence of no length swallows the picture", "core/radiograph:TestBroken"},
	{"fragments and offset tables", "core/radiograph:TestEveryFrameOpens TestExtendedOffsetTable TestJ2KFramesInPieces"},
	{"cut download, wrong sizes, hostile header", "core/radiograph:TestBroken TestMutations TestJ2KBlocks TestFilmsRefused"},
	{"names in other alphabets", "core/radiograph:TestCleanText TestNothingOfThePatient"},
	{"turned phone photo, HEIC", "core/radiograph:TestTurn TestEXIF TestBroken"},
	{"large films end the tab", "wasm/film:TestShrink TestPreview wasm/files:TestNotKept"},
	{"pointer off after zoom", "app/viewer:TestRoundTrip TestPageZoom"},
	{"measured on what a canvas gives back", "wasm/film:TestFind core/radiograph:TestNoCanvasIsReadBack"},
}

// Every pitfall names tests that are there.
func TestPitfallsHaveTests(t *testing.T) {
	name := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	there := map[string]string{}
	for _, p := range pitfalls {
		room := ""
		for _, word := range strings.Fields(p.tests) {
			if at, test, ok := strings.Cut(word, ":"); ok {
				room, word = at, test
			}
			if there[room] == "" {
				for _, file := range testkit.Files(t, "../"+room+"/*_test.go") {
					b, err := os.ReadFile(file)
					if err != nil {
						t.Fatal(err)
					}
					for _, m := range name.FindAllSubmatch(b, -1) {
						there[room] += " " + string(m[1]) + " "
					}
				}
			}
			if !strings.Contains(there[room], " "+word+" ") {
				t.Errorf("%s: %s has no %s", p.fault, room, word)
			}
		}
	}
}

// Nothing that looks at a film reads pixels back from a canvas, where browsers
// add noise: what is searched are the samples of the file.
func TestNoCanvasIsReadBack(t *testing.T) {
	seen := 0
	for _, pattern := range []string{"../wasm/*/*.go", "../app/*/*.go", "../core/find/*.go", "../web/static/*.js"} {
		for _, file := range testkit.Files(t, pattern) {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			seen++
			if bytes.Contains(b, []byte("getImageData")) {
				t.Errorf("%s reads a canvas back", filepath.Base(file))
			}
		}
	}
	if seen < 50 {
		t.Errorf("only %d files looked at", seen)
	}
}
