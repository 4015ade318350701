package radiograph

import (
	"encoding/binary"
	"math"
	"math/rand"
	"slices"
	"testing"
)

// wholeDCT is inverseDCT without its shortcuts for what is flat.
func wholeDCT(b [64]int, bits int) []uint16 {
	out := make([]uint16, 64)
	extra := uint(2)
	if bits > 8 {
		extra = 1
	}
	pass := func(at, step int, down uint) {
		var v [8]int
		for i := range v {
			v[i] = b[at+step*i]
		}
		eight(&v)
		for i := range v {
			b[at+step*i] = (v[i] + 1<<(down-1)) >> down
		}
	}
	for x := range 8 {
		pass(x, 8, 13-extra)
	}
	for y := range 8 {
		pass(8*y, 1, 13+extra+3)
	}
	for i, v := range b {
		out[i] = uint16(min(max(v+1<<(bits-1), 0), 1<<bits-1))
	}
	return out
}

// A law: blocks with any coefficients left out come out as without shortcuts.
func TestFlatBlocks(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for trial := range 3000 {
		bits := []int{8, 12}[trial%2]
		var b [64]int
		for range r.Intn(12) {
			b[r.Intn(64)] = r.Intn(1<<(bits+2)) - 1<<(bits+1)
		}
		if trial%3 == 0 {
			b = [64]int{r.Intn(1<<(bits+3)) - 1<<(bits+2)}
			flat := make([]uint16, 64)
			if flatBlock(b[0], flat, 8, bits); !slices.Equal(flat, wholeDCT(b, bits)) {
				t.Fatalf("mean %d, %d bits: %v", b[0], bits, flat[0])
			}
		}
		want, got := wholeDCT(b, bits), make([]uint16, 64)
		if inverseDCT(&b, got, 8, bits); !slices.Equal(got, want) {
			t.Fatalf("trial %d, %d bits: %v, want %v", trial, bits, got, want)
		}
	}
}

// A law: the bits of a remainder are those that the loop of T.87, A.5.1 finds.
func TestRemainderBits(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	for range 100_000 {
		s := lsContext{n: int32(1 + r.Intn(1<<r.Intn(16)))}
		sum := int32(r.Intn(1 << r.Intn(31)))
		want := uint(0)
		for int64(s.n)<<want < int64(sum) && want < 24 {
			want++
		}
		if got := s.bits(sum); got != want {
			t.Fatalf("n %d, sum %d: %d, want %d", s.n, sum, got, want)
		}
	}
	if got := (&lsContext{n: 1}).bits(-5); got != 0 {
		t.Errorf("a sum that ran over gives %d", got)
	}
}

// A law: bits come out alike however many bytes are taken at once, with and
// without bytes FF, up to the end and past it.
func TestJPEGLSBits(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for trial := range 300 {
		b := make([]byte, r.Intn(60))
		for i := range b {
			b[i] = byte(r.Intn(256))
			if trial%2 == 0 && r.Intn(4) == 0 {
				b[i] = 0xFF
			}
		}
		want := plainBits(b)
		quick, at := &lsReader{b: b}, 0
		for range 100 {
			k := r.Intn(25)
			v := uint32(0)
			for range k {
				bit := uint32(0)
				if at < len(want) {
					bit = want[at]
				}
				v = v<<1 | bit
				at++
			}
			if got := quick.bits(uint(k)); got != v {
				t.Fatalf("trial %d: %d bits before bit %d are %x, want %x of % x", trial, k, at, got, v, b)
			}
		}
	}
}

// plainBits are the bits of a scan one by one: after a byte FF the next one
// carries seven, and FF with a byte from 80 on, or at the end, is no data.
func plainBits(b []byte) (out []uint32) {
	for i, c := range b {
		if c == 0xFF && (i+1 >= len(b) || b[i+1] >= 0x80) {
			return out
		}
		from := 7
		if i > 0 && b[i-1] == 0xFF {
			from = 6
		}
		for k := from; k >= 0; k-- {
			out = append(out, uint32(c>>k&1))
		}
	}
	return out
}

// Words are read alike whatever their number.
func TestLittleWords(t *testing.T) {
	raw := make([]byte, 2*13)
	rand.New(rand.NewSource(7)).Read(raw)
	for n := range 14 {
		pix := make([]uint16, n)
		littleWords(pix, raw)
		for i, v := range pix {
			if v != binary.LittleEndian.Uint16(raw[2*i:]) {
				t.Errorf("%d words: word %d is %x", n, i, v)
			}
		}
	}
}

// Every sample has the grey of the formula, rounded as math.Round does, in a
// picture whose size is no multiple of four.
func TestGreyIsRounded(t *testing.T) {
	im := &Image{Width: 65535, Height: 1, Pix: make([]uint16, 65535)}
	im.Header = Header{BitsStored: 16, Photometric: "MONOCHROME2"}
	for i := range im.Pix {
		im.Pix[i] = uint16(i)
	}
	for _, w := range []Window{{Centre: 32768, Width: 65536, Shape: Linear}, {Centre: 20000, Width: 7001, Shape: LinearExact}, {Centre: 30000, Width: 9000, Shape: Sigmoid}} {
		for i, got := range im.Grey8(w) {
			if want := uint8(math.Round(255 * im.windowed(&w, float64(i)))); got != want {
				t.Fatalf("%s: sample %d is %d, want %d", w.Shape, i, got, want)
			}
		}
	}
}
