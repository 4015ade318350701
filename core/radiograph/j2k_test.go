package radiograph

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
	"testing"

	"isthmus/core/testkit"
)

const plainJ2K = "films/variants/ts_90_j2k_lossless.dcm"

// streamOf returns the first codestream of a film.
func streamOf(t testing.TB, file string) []byte {
	t.Helper()
	f, err := parseDICOM(testkit.Read(t, file))
	if err != nil {
		t.Fatal(err)
	}
	h, err := f.header()
	if err != nil {
		t.Fatal(err)
	}
	b, err := f.frameData(&h, 0)
	if err != nil {
		t.Fatal(err)
	}
	return bytes.Clone(b)
}

// j2kFilm wraps a codestream as a film.
func j2kFilm(w, h, bits int, signed bool, stream []byte) []byte {
	b := makeDICOM("1.2.840.10008.1.2.4.90", w, h, bits, nil, stream)
	if signed {
		b[bytes.Index(b, []byte{0x28, 0, 0x03, 1, 'U', 'S'})+8] = 1
	}
	return b
}

// Every JPEG 2000 film is found whole and of its header's size, its frames
// apart; without a library it is refused with what to ask for. The samples
// themselves are compared in wasm/film, where the library is.
func TestJ2KNeedsLibrary(t *testing.T) {
	errStop := errors.New("stop")
	for _, s := range referencesOf(t, "reference/jpeg2000.sha256", 20) {
		b := testkit.Read(t, s.file)
		if _, err := Open(b, Options{Frame: s.frame}); code(err) != "radiograph-unsupported-syntax" {
			t.Errorf("%s: %v", s.file, err)
		}
		called := 0
		_, err := Open(b, Options{Frame: s.frame, JPEG2000: func(c []byte) (Samples, error) {
			called++
			if p, err := parseJ2K(c); err != nil || p.width != s.width || p.height != s.height || p.signed {
				t.Errorf("%s: the library is handed %+v, %v", s.file, p, err)
			}
			return Samples{}, errStop
		}})
		if called != 1 || code(err) != "radiograph-bad-code" {
			t.Errorf("%s: library called %d times, %v", s.file, called, err)
		}
	}
}

// sot is where the first tile-part of a codestream starts.
func sot(b []byte) int { return bytes.Index(b, []byte{0xFF, 0x90, 0, 10}) }

// One fault each in a sound codestream; the library must not see it. The
// places are those of T.800: SIZ at byte 2, its fields from byte 6.
func TestJ2KFaults(t *testing.T) {
	set32 := func(at int, v uint32) func([]byte) []byte {
		return func(b []byte) []byte { binary.BigEndian.PutUint32(b[at:], v); return b }
	}
	set := func(at int, v ...byte) func([]byte) []byte {
		return func(b []byte) []byte { copy(b[at:], v); return b }
	}
	inCOD := func(at int, v byte) func([]byte) []byte {
		return func(b []byte) []byte { b[bytes.Index(b, []byte{0xFF, 0x52})+4+at] = v; return b }
	}
	tests := []struct {
		name   string
		damage func([]byte) []byte
		want   string
	}{
		{"nothing", func([]byte) []byte { return []byte{0, 0} }, "radiograph-bad-code"},
		{"no start mark", set(0, 0), "radiograph-bad-code"},
		{"ends in the main header", func(b []byte) []byte { return b[:60] }, "radiograph-cut-pixels"},
		{"ends in its data", func(b []byte) []byte { return b[:len(b)/2] }, "radiograph-cut-pixels"},
		{"ends before its data", func(b []byte) []byte { return b[:sot(b)] }, "radiograph-cut-pixels"},
		{"a segment of no length", func(b []byte) []byte { b[47], b[46] = 0, 0; b[45] = 0; return set(4, 0, 0)(b) }, "radiograph-bad-code"},
		{"size is cut", set(4, 0, 20), "radiograph-bad-code"},
		{"a column more than the header", func(b []byte) []byte { return set32(24, 221)(set32(8, 221)(b)) }, "radiograph-sizes"},
		{"a row fewer than the header", set32(12, 266), "radiograph-sizes"},
		{"4 billion columns", set32(8, 0xFFFFFFFF), "radiograph-limit-samples"},
		{"no rows", set32(12, 0), "radiograph-limit-samples"},
		{"a picture beside its origin", set32(16, 1), "radiograph-unsupported-jpeg"},
		{"tiles of no width", set32(24, 0), "radiograph-bad-code"},
		{"tiles of one pixel", func(b []byte) []byte { return set32(28, 1)(set32(24, 1)(b)) }, "radiograph-bad-code"},
		{"tiles beside their origin", set32(32, 7), "radiograph-unsupported-jpeg"},
		{"two components", set(40, 0, 2), "radiograph-bad-code"},
		{"17 bits", set(42, 16), "radiograph-unsupported-bits"},
		{"1 bit", set(42, 0), "radiograph-unsupported-bits"},
		{"every second column", set(43, 2), "radiograph-unsupported-jpeg"},
		{"33 resolutions", inCOD(5, 33), "radiograph-bad-code"},
		{"code-blocks of 4096 × 4", inCOD(6, 10), "radiograph-bad-code"},
		{"precincts that are not there", inCOD(0, 1), "radiograph-bad-code"},
		{"no coding style", func(b []byte) []byte { b[bytes.Index(b, []byte{0xFF, 0x52})+1] = 0x64; return b }, "radiograph-bad-code"},
		{"no quantisation", func(b []byte) []byte { b[bytes.Index(b, []byte{0xFF, 0x5C})+1] = 0x64; return b }, "radiograph-bad-code"},
		{"tile 6 of 1", func(b []byte) []byte { b[sot(b)+5] = 5; return b }, "radiograph-bad-code"},
		{"a tile of 13 bytes", func(b []byte) []byte { return set32(sot(b)+6, 13)(b) }, "radiograph-bad-code"},
		{"a tile longer than the film", func(b []byte) []byte { return set32(sot(b)+6, 1<<30)(b) }, "radiograph-cut-pixels"},
		{"a tile is missing", func(b []byte) []byte { return set32(28, 200)(b) }, "radiograph-cut-pixels"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := j2kFilm(220, 267, 10, false, tt.damage(streamOf(t, plainJ2K)))
			im, err := Open(b, Options{JPEG2000: func([]byte) (Samples, error) {
				t.Error("the library was asked")
				return Samples{}, nil
			}})
			if im != nil || code(err) != tt.want {
				t.Errorf("%v, want %s", err, tt.want)
			}
		})
	}
}

// A bomb of pieces is refused: 8000 × 8000 in code-blocks of 4 × 4 are four
// million, by hand 8000 × 8000 / 16; precincts of one pixel are as many as
// pixels.
func TestJ2KBlocks(t *testing.T) {
	for _, s := range [][]byte{
		{0, 0, 0, 1, 0, 0, 0, 0, 0, 1},
		{1, 0, 0, 1, 0, 1, 4, 4, 0, 1, 0x00, 0x00},
	} {
		c := &codestream{width: 8000, height: 8000, components: 1}
		if err := c.coding(s); code(err) != "radiograph-bad-code" {
			t.Errorf("%v: %v", s, err)
		}
	}
	c := &codestream{width: 8000, height: 8000, components: 1}
	if err := c.coding([]byte{1, 0, 0, 1, 0, 1, 4, 4, 0, 1, 0x77, 0x88}); err != nil {
		t.Errorf("ordinary precincts: %v", err)
	}
}

// A film whose end mark is gone is whole: the mark is put back and told.
func TestJ2KEndMark(t *testing.T) {
	s := streamOf(t, plainJ2K)
	s = bytes.TrimRight(s, "\x00")
	s = s[:len(s)-2]
	im, err := Open(j2kFilm(220, 267, 16, false, s), Options{JPEG2000: func(c []byte) (Samples, error) {
		if !bytes.HasSuffix(c, []byte{0xFF, 0xD9}) {
			t.Error("no end mark")
		}
		return Samples{220, 267, 1, 16, make([]byte, 2*220*267)}, nil
	}})
	if err != nil || !noted(im.Header, NoEndMark) {
		t.Errorf("%v", err)
	}
}

// What the library answers is believed only when it is the declared picture.
func TestJ2KAnswer(t *testing.T) {
	b := j2kFilm(220, 267, 10, false, streamOf(t, plainJ2K))
	right := Samples{220, 267, 1, 16, make([]byte, 2*220*267)}
	for _, tt := range []struct {
		name   string
		answer func(*Samples)
		want   string
	}{
		{"nothing", func(s *Samples) { *s = Samples{} }, "radiograph-sizes"},
		{"another width", func(s *Samples) { s.Width++ }, "radiograph-sizes"},
		{"another height", func(s *Samples) { s.Height-- }, "radiograph-sizes"},
		{"colour", func(s *Samples) { s.Components = 3 }, "radiograph-sizes"},
		{"another depth", func(s *Samples) { s.Bits = 12 }, "radiograph-sizes"},
		{"too few samples", func(s *Samples) { s.Data = s.Data[1:] }, "radiograph-sizes"},
	} {
		s := right
		tt.answer(&s)
		if _, err := Open(b, Options{JPEG2000: func([]byte) (Samples, error) { return s, nil }}); code(err) != tt.want {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	over := streamOf(t, "films/variants/ts_91_j2k_lossy.dcm") // 10 bits
	data := make([]byte, 2*220*267)
	data[1] = 4 // 1024
	if _, err := Open(j2kFilm(220, 267, 10, false, over), Options{JPEG2000: func([]byte) (Samples, error) {
		return Samples{220, 267, 1, 10, data}, nil
	}}); code(err) != "radiograph-bad-code" {
		t.Errorf("a sample over its precision: %v", err)
	}
	own := &InvalidError{Fault: Empty}
	if _, err := Open(b, Options{JPEG2000: func([]byte) (Samples, error) { return Samples{}, own }}); !errors.Is(err, own) {
		t.Errorf("an error with a code is not handed on: %v", err)
	}
}

// Sign and depth follow the codestream; the header only where it makes the
// picture much smoother, or keeps it in fewer bits without loss. By hand: a
// ramp of 4 × 1 with a step of 10 stays a ramp in every case.
func TestJ2KSignAndDepth(t *testing.T) {
	for _, tt := range []struct {
		name         string
		bits         int // of the codestream
		signed       bool
		headBits     int
		headSigned   bool
		in           []uint16 // as decoded: offset binary when signed
		want         []int32
		wantBits     int
		wantDisagree bool
	}{
		{"agree, unsigned", 10, false, 10, false, []uint16{0, 10, 20, 1023}, []int32{0, 10, 20, 1023}, 10, false},
		{"agree, signed", 10, true, 10, true, []uint16{502, 512, 522, 1023}, []int32{-10, 0, 10, 511}, 10, false},
		{"deeper than needed", 16, false, 10, false, []uint16{0, 10, 20, 1023}, []int32{0, 10, 20, 1023}, 10, false},
		{"deeper than needed, signed", 16, true, 10, true, []uint16{32758, 32768, 32778, 33279}, []int32{-10, 0, 10, 511}, 10, false},
		{"deeper than the header", 12, false, 10, false, []uint16{0, 1014, 1024, 1034}, []int32{0, 1014, 1024, 1034}, 12, true},
		{"lower than the header, signed", 12, true, 10, true, []uint16{2048 - 530, 2048 - 520, 2048 - 510, 2048}, []int32{-530, -520, -510, 0}, 12, true},
		{"flatter than the header", 8, false, 12, false, []uint16{0, 10, 20, 255}, []int32{0, 10, 20, 255}, 8, false},
		{"signed, header unsigned", 10, true, 10, false, []uint16{502, 512, 522, 532}, []int32{-10, 0, 10, 20}, 10, true},
		{"unsigned, header signed", 10, false, 10, true, []uint16{500, 510, 520, 530}, []int32{500, 510, 520, 530}, 10, true},
		{"unsigned, but the signs wrap", 10, false, 10, true, []uint16{1004, 1014, 0, 10}, []int32{-20, -10, 0, 10}, 10, true},
		{"signed, but the range wraps", 10, true, 10, false, []uint16{1004, 1014, 0, 10}, []int32{492, 502, 512, 522}, 10, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			im := &Image{Width: 4, Height: 1, Pix: slices.Clone(tt.in)}
			im.Header = Header{BitsStored: tt.headBits, Signed: tt.headSigned}
			im.agree(&codestream{bits: tt.bits, signed: tt.signed})
			for i, v := range im.Pix {
				if got := int32(v) + im.Offset; got != tt.want[i] {
					t.Errorf("sample %d is %d, want %d", i, got, tt.want[i])
				}
			}
			if im.Header.BitsStored != tt.wantBits || noted(im.Header, Disagree) != tt.wantDisagree {
				t.Errorf("%d bits, warnings %v", im.Header.BitsStored, im.Header.Warnings)
			}
		})
	}
}

// By hand: 63536 is −2000 in two's complement.
func TestSignOfPadding(t *testing.T) {
	v := int32(63536)
	h := Header{Padding: &v, VOI: &Table{First: 63536}}
	if h.sign(true); *h.Padding != -2000 || h.VOI.First != -2000 || !h.Signed {
		t.Errorf("%d, %d", *h.Padding, h.VOI.First)
	}
	if h.sign(false); *h.Padding != 63536 || h.Signed {
		t.Errorf("%d", *h.Padding)
	}
}

// Any bytes as a codestream: an error with a code, or a size inside the
// limits; the library is asked for nothing else.
func FuzzJ2KStream(f *testing.F) {
	n := 0
	for _, s := range referencesOf(f, "reference/jpeg2000.sha256", 20) {
		if b := streamOf(f, s.file); len(b) < 40_000 {
			f.Add(b)
			n++
		}
	}
	if n < 8 {
		f.Fatalf("%d seeds", n)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := parseJ2K(b)
		if err != nil {
			if _, ok := err.(coded); !ok {
				t.Fatal(err)
			}
			return
		}
		if c.width < 1 || c.height < 1 || c.width*c.height > MaxSamples || c.bits < 2 || c.bits > 16 || c.tiles > maxTiles {
			t.Fatalf("%+v", c)
		}
		if len(c.forLibrary()) > len(b)+2 {
			t.Fatal("more bytes than there were")
		}
	})
}

// Frames in several pieces without an offset table part where a stream starts.
// By hand: two frames of two pieces each.
func TestJ2KFramesInPieces(t *testing.T) {
	a, b := streamOf(t, plainJ2K), streamOf(t, "films/variants/ts_90_in_jp2.dcm")
	film := j2kFilm(220, 267, 10, false, a)
	film = film[:bytes.Index(film, []byte{0xE0, 0x7F, 0x10, 0})]
	film = put(film, 0x00280008, "IS", []byte("2")) // after its place: walkers do not mind
	film = append(film, 0xE0, 0x7F, 0x10, 0, 'O', 'B', 0, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFE, 0xFF, 0, 0xE0, 0, 0, 0, 0)
	for _, s := range [][]byte{a[:5000], a[5000:], b[:700], b[700:]} {
		film = binary.LittleEndian.AppendUint32(append(film, 0xFE, 0xFF, 0, 0xE0), uint32(len(s)))
		film = append(film, s...)
	}
	film = append(film, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
	for k, want := range [][]byte{a, insideJP2(b)} {
		_, err := Open(film, Options{Frame: k, JPEG2000: func(c []byte) (Samples, error) {
			if !bytes.Equal(c, want) {
				t.Errorf("frame %d: %d bytes, want %d", k, len(c), len(want))
			}
			return Samples{}, errors.New("stop")
		}})
		if code(err) != "radiograph-bad-code" {
			t.Errorf("frame %d: %v", k, err)
		}
	}
}
