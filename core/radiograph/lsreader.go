package radiograph

import (
	"encoding/binary"
	"math/bits"
)

// lsReader reads JPEG-LS bits: after a byte FF the next one carries seven
// (T.87, A.1). Past the end it delivers zeros and counts them.
type lsReader struct {
	b     []byte
	pos   int
	acc   uint64
	n     uint
	pad   uint
	after bool // the last byte was FF
}

func (r *lsReader) fill() {
	if !r.after && r.n <= 56 && r.pos+8 <= len(r.b) {
		x := binary.BigEndian.Uint64(r.b[r.pos:])
		if (^x-0x0101010101010101)&x&0x8080808080808080 == 0 { // no byte is FF
			k := (64 - r.n) / 8
			drop := 64 - 8*k // bits of the bytes that stay in the file
			r.acc |= x >> drop << drop >> r.n
			r.pos += int(k)
			r.n += 8 * k
			return
		}
	}
	for r.n <= 56 {
		if r.pos >= len(r.b) || r.after && r.b[r.pos] >= 0x80 ||
			r.b[r.pos] == 0xFF && (r.pos+1 >= len(r.b) || r.b[r.pos+1] >= 0x80) {
			r.pad += 8
			r.n += 8
			continue
		}
		c := r.b[r.pos]
		r.pos++
		if r.after {
			r.acc |= uint64(c) << (57 - r.n)
			r.n += 7
		} else {
			r.acc |= uint64(c) << (56 - r.n)
			r.n += 8
		}
		r.after = c == 0xFF
	}
}

func (r *lsReader) dry() bool { return r.pad > r.n }

// unread returns how many whole bytes up to the next marker no one used.
func (r *lsReader) unread() int {
	n := 0
	if r.n > r.pad {
		n = int(r.n-r.pad) / 8
	}
	for i := r.pos; i+1 < len(r.b) && !(r.b[i] == 0xFF && r.b[i+1] >= 0x80); i++ {
		n++
	}
	return n
}

// bits returns the next k bits, k at most 32.
func (r *lsReader) bits(k uint) uint32 {
	if r.n < k {
		r.fill()
	}
	v := uint32(r.acc >> 32 >> (32 - k))
	r.acc <<= k
	r.n -= k
	return v
}

// short decodes such a code as golomb does when it lies in acc already and
// its prefix is shorter than most, as nearly always; else it takes nothing and
// reports false.
func (r *lsReader) short(k uint, most int32) (int32, bool) {
	z := uint(bits.LeadingZeros64(r.acc))
	if z+1+k > r.n || int32(z) >= most {
		return 0, false
	}
	rest := r.acc << (z + 1)
	r.acc, r.n = rest<<k, r.n-(z+1+k)
	return int32(z)<<k | int32(rest>>1>>(63-k)), true
}

// golomb decodes a limited-length Golomb code (T.87, A.5.3). It refuses a
// prefix longer than the limit.
func (r *lsReader) golomb(k uint, limit, qbpp int32) (int32, bool) {
	zeros := int32(0)
	for {
		if r.n < 32 {
			r.fill()
		}
		z := uint(bits.LeadingZeros64(r.acc))
		if z < r.n {
			zeros += int32(z)
			r.acc <<= z + 1
			r.n -= z + 1
			break
		}
		zeros += int32(r.n)
		r.acc, r.n = 0, 0
		if zeros > limit {
			return 0, false
		}
	}
	switch most := limit - qbpp - 1; {
	case zeros > most:
		return 0, false
	case zeros == most:
		return int32(r.bits(uint(qbpp))) + 1, true
	}
	return zeros<<k | int32(r.bits(k)), true
}
