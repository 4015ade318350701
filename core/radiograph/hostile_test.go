package radiograph

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"isthmus/core/testkit"
)

// slowDCT is the definition, T.81 A.3.3.
func slowDCT(b *[64]int, bits int) [64]int {
	var out [64]int
	for y := range 8 {
		for x := range 8 {
			s := 0.0
			for v := range 8 {
				for u := range 8 {
					c := 1.0
					if u == 0 {
						c /= math.Sqrt2
					}
					if v == 0 {
						c /= math.Sqrt2
					}
					s += c * float64(b[8*v+u]) * math.Cos(float64(2*x+1)*float64(u)*math.Pi/16) * math.Cos(float64(2*y+1)*float64(v)*math.Pi/16)
				}
			}
			out[8*y+x] = min(max(int(math.Round(s/4))+1<<(bits-1), 0), 1<<bits-1)
		}
	}
	return out
}

// seeds returns small files of every kind, sound and broken.
func seeds(t testing.TB, most int) [][]byte {
	var out [][]byte
	for _, dir := range []string{"films/odd", "films/variants", "films/real", "broken/films"} {
		for _, path := range testkit.Files(t, dir+"/*") {
			if b := testkit.Read(t, dir+"/"+filepath.Base(path)); len(b) <= most {
				out = append(out, b)
			}
		}
	}
	if len(out) < 60 {
		t.Fatalf("%d seeds, want at least 60", len(out))
	}
	return out
}

// checkOpen opens hostile bytes: no panic, a typed error or a whole image.
func checkOpen(t *testing.T, b []byte) {
	t.Helper()
	h, headErr := ReadHeader(b)
	im, err := Open(b, Options{})
	if err != nil {
		var c coded
		if im != nil || !errors.As(err, &c) || c.Error() == "" {
			t.Fatalf("image %v with error %v", im != nil, err)
		}
		return
	}
	if headErr != nil {
		t.Fatalf("opens, but ReadHeader says %v", headErr)
	}
	if len(im.Pix) != im.Width*im.Height || im.Width <= 0 || im.Height <= 0 || h.Rows != im.Height || h.Columns != im.Width {
		t.Fatalf("%d × %d with %d samples, header %d × %d", im.Width, im.Height, len(im.Pix), h.Columns, h.Rows)
	}
	for _, p := range []*[2]float64{h.PixelSpacing, h.ImagerSpacing, h.ScannedSpacing} {
		if p != nil && !(p[0] >= 0.01 && p[0] <= 2 && p[1] >= 0.01 && p[1] <= 2) {
			t.Fatalf("spacing %v", *p)
		}
	}
	w := im.DefaultWindow()
	if math.IsNaN(w.Centre+w.Width) || math.IsInf(w.Centre+w.Width, 0) {
		t.Fatalf("window %v", w)
	}
	if g := im.Grey8(w); len(g) != len(im.Pix) {
		t.Fatalf("%d greys", len(g))
	}
}

// mostMemory bounds what one file may make us allocate, over all: a plane of
// the largest film, and what reading it takes.
const mostMemory = 400 << 20

// Random damage never panics and never asks for more than the bound.
func TestMutations(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	all := seeds(t, 60_000)
	var before, after runtime.MemStats
	for i := range 4000 {
		b := slices.Clone(all[r.Intn(len(all))])
		mutate(r, &b)
		runtime.ReadMemStats(&before)
		checkOpen(t, b)
		runtime.ReadMemStats(&after)
		if got := after.TotalAlloc - before.TotalAlloc; got > mostMemory {
			t.Fatalf("mutation %d allocated %d MB", i, got>>20)
		}
	}
}

// mutate damages a file: bytes changed, numbers set to extremes, cut, doubled.
// Half of the damage goes into the first kilobyte, where the header is.
func mutate(r *rand.Rand, b *[]byte) {
	for range 1 + r.Intn(4) {
		if len(*b) < 8 {
			return
		}
		at := r.Intn(len(*b) - 4)
		if r.Intn(2) == 0 {
			at = r.Intn(min(len(*b)-4, 1024))
		}
		switch r.Intn(6) {
		case 0:
			(*b)[at] ^= 1 << r.Intn(8)
		case 1:
			(*b)[at] = byte(r.Intn(256))
		case 2:
			v := []uint32{0, 1, 0x7F, 0xFF, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF, 0xFFFFFFFE}[r.Intn(9)]
			binary.LittleEndian.PutUint32((*b)[at:], v)
		case 3:
			binary.LittleEndian.PutUint16((*b)[at:], uint16(r.Intn(1<<16)))
		case 4:
			*b = (*b)[:at]
		case 5:
			n := min(r.Intn(64), len(*b)-at)
			*b = slices.Insert(*b, at, slices.Clone((*b)[at:at+n])...)
		}
	}
}

func FuzzOpen(f *testing.F) {
	for _, b := range seeds(f, 5_000) {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 1<<16 {
			checkOpen(t, b)
		}
	})
}

// FuzzJPEGStream decodes damaged streams of every process.
func FuzzJPEGStream(f *testing.F) {
	n := 0
	for _, b := range seeds(f, 60_000) {
		d, err := parseDICOM(b)
		if err != nil {
			continue
		}
		if h, err := d.header(); err == nil && d.at.codec == codecJPEG && d.pixels.length == undefined {
			if data, err := d.frameData(&h, 0); err == nil {
				f.Add(data, uint8(h.Columns), uint8(h.Rows), uint8(h.Samples))
				n++
			}
		}
	}
	f.Add(packLossless(film(9, 7, 12), 9, 7, 12, 4, 2), uint8(9), uint8(7), uint8(1))
	if n < 15 {
		f.Fatalf("%d streams found, want at least 15", n)
	}
	f.Fuzz(func(t *testing.T, b []byte, w, h, samples uint8) {
		if len(b) > 6 && b[0] == 0xFF { // let the size agree, as a liar is refused at once
			for i := 2; i+9 < len(b) && i < 400; i++ {
				if m := b[i+1]; b[i] == 0xFF && (m == 0xC0 || m == 0xC1 || m == 0xC3 || m == 0xF7) {
					b = slices.Clone(b)
					b[i+5], b[i+6], b[i+7], b[i+8] = 0, h, 0, w
					samples = b[i+9]
				}
			}
		}
		p, _, err := decodeJPEG(b, want{int(w), int(h), int(samples), false}, func(float64) {})
		if err == nil && (len(p.pix) != int(samples) || len(p.pix[0]) != int(w)*int(h)) {
			t.Fatalf("%d planes of %d samples", len(p.pix), len(p.pix[0]))
		}
	})
}

// FuzzLossless: what is packed comes back, whatever the samples.
func FuzzLossless(f *testing.F) {
	f.Add([]byte{0, 0, 255, 255, 1, 0, 0, 128}, uint8(2), uint8(1), uint8(16), uint8(0))
	f.Add([]byte("a film of few samples, of odd width"), uint8(5), uint8(4), uint8(12), uint8(1))
	f.Fuzz(func(t *testing.T, raw []byte, width, sel, bits, lines uint8) {
		w, n := int(width%64)+1, int(bits%15)+2
		h := min(len(raw)/2/w, 300)
		if h == 0 {
			return
		}
		pix := make([]uint16, w*h)
		for i := range pix {
			pix[i] = binary.LittleEndian.Uint16(raw[2*i:]) & (1<<n - 1)
		}
		s := packLossless(pix, w, h, n, int(sel%7)+1, int(lines%8))
		im, err := Open(makeDICOM("1.2.840.10008.1.2.4.57", w, h, n, nil, s), Options{})
		if err != nil || !slices.Equal(im.Pix, pix) {
			t.Fatalf("%d × %d, %d bits: %v", w, h, n, err)
		}
	})
}

// FuzzRLE: what is packed comes back, whatever the samples.
func FuzzRLE(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 1, 2, 1, 2, 3, 4}, uint8(3))
	f.Add(make([]byte, 700), uint8(10))
	f.Fuzz(func(t *testing.T, raw []byte, width uint8) {
		w := int(width) + 1
		h := min(len(raw)/2/w, 300)
		if h == 0 {
			return
		}
		pix := make([]uint16, w*h)
		for i := range pix {
			pix[i] = binary.LittleEndian.Uint16(raw[2*i:])
		}
		im, err := Open(makeDICOM("1.2.840.10008.1.2.5", w, h, 16, nil, packRLE(pix)), Options{})
		if err != nil || !slices.Equal(im.Pix, pix) {
			t.Fatalf("%d × %d: %v", w, h, err)
		}
	})
}
