package radiograph

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math/rand"
	"slices"
	"testing"
)

// The encoders below are for tests and benchmarks only: they make streams to
// read back. The exactness of the decoders themselves is judged by other
// people's files and tools (films_test.go).

// put appends an explicit little-endian element.
func put(b []byte, t tag, vr string, v []byte) []byte {
	b = binary.LittleEndian.AppendUint16(b, uint16(t>>16))
	b = binary.LittleEndian.AppendUint16(b, uint16(t))
	b = append(b, vr...)
	if len(v)%2 == 1 {
		v = append(slices.Clip(v), ' ')
	}
	if longVR(vr) {
		b = append(b, 0, 0)
		return append(binary.LittleEndian.AppendUint32(b, uint32(len(v))), v...)
	}
	return append(binary.LittleEndian.AppendUint16(b, uint16(len(v))), v...)
}

func u16(v int) []byte { return []byte{byte(v), byte(v >> 8)} }

// makeDICOM writes a grey film; packed is nil for a plain one.
func makeDICOM(uid string, w, h, bits int, pix []uint16, packed []byte) []byte {
	meta := put(nil, 0x00020010, "UI", []byte(uid+"\x00"))
	b := append(make([]byte, 128), "DICM"...)
	b = append(b, meta...)
	b = put(b, 0x00080060, "CS", []byte("DX"))
	b = put(b, 0x00280002, "US", u16(1))
	b = put(b, 0x00280004, "CS", []byte("MONOCHROME2"))
	b = put(b, 0x00280010, "US", u16(h))
	b = put(b, 0x00280011, "US", u16(w))
	b = put(b, 0x00280100, "US", u16(16))
	b = put(b, 0x00280101, "US", u16(bits))
	b = put(b, 0x00280102, "US", u16(bits-1))
	b = put(b, 0x00280103, "US", u16(0))
	if packed == nil {
		raw := make([]byte, 0, 2*len(pix))
		for _, v := range pix {
			raw = binary.LittleEndian.AppendUint16(raw, v)
		}
		return put(b, tagPixels, "OW", raw)
	}
	b = append(b, 0xE0, 0x7F, 0x10, 0, 'O', 'B', 0, 0, 0xFF, 0xFF, 0xFF, 0xFF)
	b = append(b, 0xFE, 0xFF, 0x00, 0xE0, 0, 0, 0, 0, 0xFE, 0xFF, 0x00, 0xE0)
	if len(packed)%2 == 1 {
		packed = append(packed, 0)
	}
	b = append(binary.LittleEndian.AppendUint32(b, uint32(len(packed))), packed...)
	return append(b, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
}

// packRLE encodes 16-bit samples (PS3.5, annex G).
func packRLE(pix []uint16) []byte {
	high, low := make([]byte, len(pix)), make([]byte, len(pix))
	for i, v := range pix {
		high[i], low[i] = byte(v>>8), byte(v)
	}
	a, b := packBits(high), packBits(low)
	out := make([]byte, 64)
	binary.LittleEndian.PutUint32(out, 2)
	binary.LittleEndian.PutUint32(out[4:], 64)
	binary.LittleEndian.PutUint32(out[8:], uint32(64+len(a)))
	return append(append(out, a...), b...)
}

func packBits(b []byte) []byte {
	var out []byte
	for i := 0; i < len(b); {
		n := 1
		for i+n < len(b) && n < 128 && b[i+n] == b[i] {
			n++
		}
		if n > 2 {
			out = append(out, byte(1-n), b[i])
			i += n
			continue
		}
		start := i
		for i < len(b) && i-start < 128 && (i+2 >= len(b) || b[i] != b[i+1] || b[i] != b[i+2]) {
			i++
		}
		out = append(append(out, byte(i-start-1)), b[start:i]...)
	}
	if len(out)%2 == 1 {
		out = append(out, 0)
	}
	return out
}

type bitWriter struct {
	b   []byte
	acc uint64
	n   uint
}

func (w *bitWriter) write(v uint32, k uint) {
	w.acc = w.acc<<k | uint64(v)&(1<<k-1)
	for w.n += k; w.n >= 8; {
		w.n -= 8
		c := byte(w.acc >> w.n)
		w.b = append(w.b, c)
		if c == 0xFF {
			w.b = append(w.b, 0)
		}
	}
}

func (w *bitWriter) flush() {
	if w.n > 0 {
		w.write(1<<(8-w.n)-1, 8-w.n)
	}
}

// packLossless encodes one component by process 14 with a fixed table of
// 17 categories, five bits each, and a restart mark every so many lines.
func packLossless(pix []uint16, w, h, bits, sel, lines int) []byte {
	counts := make([]byte, 16)
	counts[4] = 17
	out := []byte{0xFF, 0xD8, 0xFF, 0xC3, 0, 11, byte(bits), byte(h >> 8), byte(h), byte(w >> 8), byte(w), 1, 1, 0x11, 0}
	out = append(out, 0xFF, 0xC4, 0, 36, 0)
	out = append(out, counts...)
	for i := range 17 {
		out = append(out, byte(i))
	}
	if lines > 0 {
		out = append(out, 0xFF, 0xDD, 0, 4, byte(lines*w>>8), byte(lines*w))
	}
	out = append(out, 0xFF, 0xDA, 0, 8, 1, 1, 0, byte(sel), 0, 0)
	bw := &bitWriter{b: out}
	for y := range h {
		if lines > 0 && y > 0 && y%lines == 0 {
			bw.flush()
			bw.b = append(bw.b, 0xFF, 0xD0+byte((y/lines-1)&7))
			bw.acc, bw.n = 0, 0
		}
		fresh := y == 0 || lines > 0 && y%lines == 0
		for x := range w {
			i := y*w + x
			var p uint16
			switch {
			case fresh && x == 0:
				p = 1 << (bits - 1)
			case fresh:
				p = pix[i-1]
			case x == 0:
				p = pix[i-w]
			default:
				p = predict(sel, pix[i-1], pix[i-w], pix[i-w-1])
			}
			bw.difference(int(int16(pix[i] - p)))
		}
	}
	bw.flush()
	return append(bw.b, 0xFF, 0xD9)
}

func (w *bitWriter) difference(d int) {
	if d == -32768 {
		w.write(16, 5)
		return
	}
	k := uint(0)
	for v := max(d, -d); v>>k > 0; k++ {
	}
	w.write(uint32(k), 5)
	if d < 0 {
		d += 1<<k - 1
	}
	w.write(uint32(d), k)
}

// film makes a smooth picture with some noise, always the same.
func film(w, h, bits int) []uint16 {
	r := rand.New(rand.NewSource(1))
	pix := make([]uint16, w*h)
	for y := range h {
		for x := range w {
			v := (x*x/(w+1)+y*3)%(1<<bits-64) + r.Intn(32)
			pix[y*w+x] = uint16(v)
		}
	}
	return pix
}

// What is packed comes back, for each predictor, depth and restart interval.
func TestLosslessRoundTrip(t *testing.T) {
	for sel := 1; sel <= 7; sel++ {
		for _, bits := range []int{8, 10, 12, 15, 16} {
			for _, lines := range []int{0, 1, 3, 20} {
				const w, h = 37, 23
				pix := film(w, h, bits)
				pix[5], pix[40] = 0, uint16(1<<bits-1) // jumps of the whole range
				b := makeDICOM("1.2.840.10008.1.2.4.57", w, h, bits, nil, packLossless(pix, w, h, bits, sel, lines))
				im, err := Open(b, Options{})
				if err != nil {
					t.Fatalf("predictor %d, %d bits, restart %d: %v", sel, bits, lines, err)
				}
				if !slices.Equal(im.Pix, pix) {
					t.Errorf("predictor %d, %d bits, restart %d: samples differ", sel, bits, lines)
				}
			}
		}
	}
}

// A lost restart mark is a damaged film, not a shifted one.
func TestLosslessRestartLost(t *testing.T) {
	pix := film(16, 16, 12)
	s := packLossless(pix, 16, 16, 12, 1, 4)
	at := bytes.Index(s, []byte{0xFF, 0xD1})
	s[at+1] = 0xD2
	if _, err := Open(makeDICOM("1.2.840.10008.1.2.4.70", 16, 16, 12, nil, s), Options{}); code(err) != "radiograph-bad-code" {
		t.Errorf("%v", err)
	}
}

// Compressed bytes that no sample used are told.
func TestLosslessLeftOver(t *testing.T) {
	s := packLossless(film(16, 16, 12), 16, 16, 12, 1, 0)
	s = append(s[:len(s)-2], 1, 2, 3, 4, 5, 0xFF, 0xD9)
	im, err := Open(makeDICOM("1.2.840.10008.1.2.4.70", 16, 16, 12, nil, s), Options{})
	if err != nil || !noted(im.Header, Trailing) {
		t.Errorf("%v, %v", err, im)
	}
}

func TestRLERoundTrip(t *testing.T) {
	for _, w := range []int{1, 2, 37, 200} {
		pix := film(w, 31, 16)
		im, err := Open(makeDICOM("1.2.840.10008.1.2.5", w, 31, 16, nil, packRLE(pix)), Options{})
		if err != nil || !slices.Equal(im.Pix, pix) {
			t.Errorf("width %d: %v", w, err)
		}
	}
}

// A table of all lengths: codes of up to 16 bits are told apart. By hand:
// counts 1, 1, 1 … 1 give the codes 0, 10, 110 … and 1…10 of 16 bits.
func TestHuffmanLongCodes(t *testing.T) {
	counts, values := bytes.Repeat([]byte{1}, 16), make([]byte, 16)
	for i := range values {
		values[i] = byte(i + 100)
	}
	h, err := newHuffman(counts, values)
	if err != nil {
		t.Fatal(err)
	}
	w := &bitWriter{}
	for n := 1; n <= 16; n++ {
		w.write(1<<n-2, uint(n))
	}
	w.flush()
	r := &bitReader{b: w.b}
	for n := 1; n <= 16; n++ {
		if sym, ok := r.symbol(h); !ok || sym != n+99 {
			t.Fatalf("code of %d bits gives %d, %v", n, sym, ok)
		}
	}
	if r.dry() {
		t.Error("ran dry inside the data")
	}
	r = &bitReader{b: bytes.Repeat([]byte{0xFF, 0}, 8)}
	if _, ok := r.symbol(h); ok {
		t.Error("sixteen ones are no code")
	}
}

// The inverse transform against its definition, T.81 A.3.3, in floating
// point: at most one level apart, as IEEE 1180 allows.
func TestInverseDCT(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for _, bits := range []int{8, 12} {
		for range 200 {
			var b [64]int
			for range 1 + r.Intn(12) {
				b[r.Intn(64)] = r.Intn(1<<bits) - 1<<(bits-1)
			}
			want := slowDCT(&b, bits)
			var got [64]uint16
			inverseDCT(&b, got[:], 8, bits)
			for i := range got {
				if d := int(got[i]) - want[i]; d > 1 || d < -1 {
					t.Fatalf("%d bits, sample %d is %d, want %d", bits, i, got[i], want[i])
				}
			}
		}
	}
}

func TestSwapPairs(t *testing.T) {
	if got := swapPairs([]byte{2, 1, 4, 3, 5}, 1, 4); !bytes.Equal(got, []byte{2, 3, 4, 5}) {
		t.Errorf("%v", got)
	}
}

// Errors keep their kind, so that the caller can tell damaged from foreign.
func TestKindsOfError(t *testing.T) {
	var inv *InvalidError
	var uns *UnsupportedError
	var lim *LimitError
	for _, e := range []error{&InvalidError{Fault: Empty}, &UnsupportedError{What: "syntax"}, &LimitError{What: "file"}} {
		n := 0
		for _, is := range []bool{errors.As(e, &inv), errors.As(e, &uns), errors.As(e, &lim)} {
			if is {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%v is of %d kinds", e, n)
		}
	}
}
