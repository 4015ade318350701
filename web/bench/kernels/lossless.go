package main

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"math/bits"
	"slices"
)

// packed returns a plain film as lossless JPEG, process 14, first order
// prediction. Source: DICOM PS3.5, A.4; ITU-T T.81, annex H.
func packed(plain []byte, pix []uint16, w, h int) []byte {
	const was, is = "\x02\x00\x10\x00UI\x14\x001.2.840.10008.1.2.1\x00", "\x02\x00\x10\x00UI\x16\x001.2.840.10008.1.2.4.70"
	head := bytes.Replace(plain[:len(plain)-12-2*len(pix)], []byte(was), []byte(is), 1)
	const groupLength = 128 + 4 + 8
	n := binary.LittleEndian.Uint32(head[groupLength:])
	binary.LittleEndian.PutUint32(head[groupLength:], n+uint32(len(is)-len(was)))
	stream := packLossless(pix, w, h)
	if len(stream)%2 == 1 {
		stream = append(stream, 0)
	}
	out := append(head, "\xE0\x7F\x10\x00OB\x00\x00\xFF\xFF\xFF\xFF\xFE\xFF\x00\xE0\x00\x00\x00\x00\xFE\xFF\x00\xE0"...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(stream)))
	out = append(out, stream...)
	return append(out, "\xFE\xFF\xDD\xE0\x00\x00\x00\x00"...)
}

// codeLengths are the lengths of 17 codes, the commonest first: about what
// programs choose for radiographs. They leave codes over, as T.81 asks.
var codeLengths = [17]uint{2, 2, 3, 3, 4, 4, 5, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}

func packLossless(pix []uint16, w, h int) []byte {
	order := byFrequency(pix, w)
	b := []byte{0xFF, 0xD8, 0xFF, 0xC3, 0, 11, 16, byte(h >> 8), byte(h), byte(w >> 8), byte(w), 1, 1, 0x11, 0, 0xFF, 0xC4, 0, 36, 0}
	var counts [16]byte
	var codes, lengths [17]uint
	code, last := uint(0), uint(0)
	for i, k := range order {
		code <<= codeLengths[i] - last
		last = codeLengths[i]
		codes[k], lengths[k] = code, last
		counts[last-1]++
		code++
	}
	b = append(b, counts[:]...)
	for _, k := range order {
		b = append(b, byte(k))
	}
	o := bitWriter{b: append(b, 0xFF, 0xDA, 0, 8, 1, 1, 0, 1, 0, 0)}
	for i := range pix {
		d := int(difference(pix, i, w))
		k := category(d)
		o.write(codes[k], lengths[k])
		if k < 16 {
			if d < 0 {
				d--
			}
			o.write(uint(d)&(1<<k-1), uint(k))
		}
	}
	o.write(0x7F, 7)
	return append(o.b, 0xFF, 0xD9)
}

// difference is sample i less its prediction: the one to the left, or above
// at the start of a line, or half the range at the very first.
func difference(pix []uint16, i, w int) int16 {
	switch {
	case i == 0:
		return int16(pix[0] - 1<<15)
	case i%w == 0:
		return int16(pix[i] - pix[i-w])
	}
	return int16(pix[i] - pix[i-1])
}

// category is SSSS of T.81, table H.2.
func category(d int) int { return bits.Len(uint(max(d, -d))) }

// byFrequency returns the categories, the commonest first.
func byFrequency(pix []uint16, w int) []int {
	var n [17]int
	order := make([]int, len(n))
	for i := range pix {
		n[category(int(difference(pix, i, w)))]++
	}
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(n[b], n[a]) })
	return order
}

// A bitWriter writes bits, the highest first, with a zero byte after each FF.
type bitWriter struct {
	b   []byte
	acc uint64
	n   uint
}

func (w *bitWriter) write(v, k uint) {
	w.acc = w.acc<<k | uint64(v)
	for w.n += k; w.n >= 8; w.n -= 8 {
		c := byte(w.acc >> (w.n - 8))
		if w.b = append(w.b, c); c == 0xFF {
			w.b = append(w.b, 0)
		}
	}
}
