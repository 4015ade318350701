package radiograph

import (
	"encoding/binary"
	"math/bits"
)

const peek = 10 // bits looked up at once

// A huffman is a table of T.81 annex C. fast holds length<<8 | symbol for
// codes of up to peek bits; longer ones are found by their length.
type huffman struct {
	fast   [1 << peek]uint16
	limit  [17]uint32 // first code, left-aligned to 16 bits, that is longer than i bits
	offset [17]int32  // symbol index minus code, for codes of i bits
	values []byte
}

// newHuffman builds a table from the counts of each length and the symbols
// (T.81, C.2), and refuses counts that no prefix code can have.
func newHuffman(counts []byte, values []byte) (*huffman, error) {
	h := &huffman{values: values}
	code, k := uint32(0), 0
	for n := 1; n <= 16; n++ {
		h.offset[n] = int32(k) - int32(code)
		for range int(counts[n-1]) {
			if code >= 1<<n {
				return nil, badCode("Huffman table")
			}
			if n <= peek {
				first := code << (peek - n)
				for i := range uint32(1) << (peek - n) {
					h.fast[first+i] = uint16(n)<<8 | uint16(values[k])
				}
			}
			code++
			k++
		}
		h.limit[n] = code << (16 - n)
		code <<= 1
	}
	return h, nil
}

// huffmanTables reads a DHT segment (T.81, B.2.4.2).
func (s *jpegStream) huffmanTables(seg []byte) error {
	for len(seg) > 0 {
		if len(seg) < 17 {
			return badCode("Huffman table")
		}
		class, id, n := seg[0]>>4, seg[0]&15, 0
		for _, c := range seg[1:17] {
			n += int(c)
		}
		if class > 1 || id > 3 || n > 256 || len(seg) < 17+n {
			return badCode("Huffman table")
		}
		h, err := newHuffman(seg[1:17], seg[17:17+n])
		if err != nil {
			return err
		}
		if class == 0 {
			s.dc[id] = h
		} else {
			s.ac[id] = h
		}
		seg = seg[17+n:]
	}
	return nil
}

// A bitReader reads entropy-coded bits, the next one at the top of acc. Past
// a marker or the end it delivers zeros and counts them, so that a decoder
// can tell at the end of a line that it ran dry.
type bitReader struct {
	b   []byte
	pos int
	acc uint64
	n   uint // bits in acc
	pad uint // of these, bits that are not in the file
}

// fill makes sure that at least 57 bits are in acc.
func (r *bitReader) fill() {
	if r.pos+8 <= len(r.b) {
		x := binary.BigEndian.Uint64(r.b[r.pos:])
		if (^x-0x0101010101010101)&x&0x8080808080808080 == 0 { // no byte is FF
			k := (64 - r.n) / 8
			r.acc |= x >> r.n
			r.pos += int(k)
			r.n += 8 * k
			return
		}
	}
	r.fillSlow()
}

// refilled is fill for bits that a loop holds itself.
func (r *bitReader) refilled(acc uint64, n uint) (uint64, uint) {
	r.acc, r.n = acc, n
	r.fill()
	return r.acc, r.n
}

func (r *bitReader) fillSlow() {
	r.acc &^= ^uint64(0) >> r.n // bits that fill left below n
	for r.n <= 56 {
		if r.pos >= len(r.b) || r.b[r.pos] == 0xFF && (r.pos+1 >= len(r.b) || r.b[r.pos+1] != 0) {
			r.pad += 8
			r.n += 8
			continue
		}
		c := r.b[r.pos]
		r.pos++
		if c == 0xFF {
			r.pos++
		}
		r.acc |= uint64(c) << (56 - r.n)
		r.n += 8
	}
}

// dry reports whether bits were used that are not in the file.
func (r *bitReader) dry() bool { return r.pad > r.n }

// symbol decodes one Huffman symbol; ok is false for a code not in the table.
func (r *bitReader) symbol(h *huffman) (sym int, ok bool) {
	if r.n < 32 {
		r.fill()
	}
	if e := h.fast[r.acc>>(64-peek)]; e != 0 {
		r.acc <<= e >> 8
		r.n -= uint(e >> 8)
		return int(e & 0xFF), true
	}
	return r.longSymbol(h)
}

// soon is symbol for a short code that lies in acc already, as most do; else
// it takes nothing and reports false.
func (r *bitReader) soon(h *huffman) (int, bool) {
	e := h.fast[r.acc>>(64-peek)]
	if e == 0 || r.n < 32 {
		return 0, false
	}
	r.acc <<= e >> 8
	r.n -= uint(e >> 8)
	return int(e & 0xFF), true
}

func (r *bitReader) longSymbol(h *huffman) (int, bool) {
	top := uint32(r.acc >> 48)
	for n := peek + 1; n <= 16; n++ {
		if top < h.limit[n] {
			i := int32(top>>(16-n)) + h.offset[n]
			if i < 0 || int(i) >= len(h.values) {
				return 0, false
			}
			r.acc <<= n
			r.n -= uint(n)
			return int(h.values[i]), true
		}
	}
	return 0, false
}

// receive reads k bits as T.81 F.2.2.1 EXTEND does: the upper half of the
// range is positive. k is 1 to 15 and already in acc.
func (r *bitReader) receive(k int) int {
	v := int(r.acc >> (64 - uint(k)))
	r.acc <<= uint(k)
	r.n -= uint(k)
	if v < 1<<(k-1) {
		v -= 1<<k - 1
	}
	return v
}

// next skips to the next marker and over it when it is the restart mark i;
// the bits before it are dropped.
func (r *bitReader) nextRestart(i int) bool {
	for r.pos+1 < len(r.b) && (r.b[r.pos] != 0xFF || r.b[r.pos+1] == 0 || r.b[r.pos+1] == 0xFF) {
		r.pos++
	}
	if r.pos+1 >= len(r.b) || r.b[r.pos+1] != 0xD0+byte(i&7) {
		return false
	}
	r.pos += 2
	r.acc, r.n, r.pad = 0, 0, 0
	return true
}

// unread returns how many whole bytes up to the next marker no one used.
func (r *bitReader) unread() int {
	n := 0
	if r.n > r.pad {
		n = int(r.n-r.pad) / 8
	}
	for i := r.pos; i+1 < len(r.b); i++ {
		if r.b[i] == 0xFF && r.b[i+1] != 0 {
			break
		}
		n++
	}
	return n
}

func log2(v int) int { return bits.Len(uint(v)) - 1 }
