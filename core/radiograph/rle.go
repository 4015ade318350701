package radiograph

import "encoding/binary"

// decodeRLE reads one RLE frame: a header of 16 words, then one PackBits
// segment for each byte of each sample, the high byte first.
// Source: DICOM PS3.5, annex G. It refuses a frame that does not fill every
// plane.
func decodeRLE(b []byte, h *Header, progress func(float64)) (*planes, error) {
	per := h.BitsAllocated / 8
	segments := h.Samples * per
	if len(b) < 64 {
		return nil, &InvalidError{Fault: CutPixels, Got: int64(len(b)), Need: 64}
	}
	if n := int(binary.LittleEndian.Uint32(b)); n != segments {
		return nil, &InvalidError{Fault: BadCode, What: "RLE: number of segments"}
	}
	n := h.Rows * h.Columns
	if int64(n)*int64(segments) > 64*int64(len(b)) { // two bytes make at most 128
		return nil, &InvalidError{Fault: CutPixels}
	}
	p := &planes{width: h.Columns, height: h.Rows, bits: h.BitsAllocated, pix: make([][]uint16, h.Samples), bright: h.Photometric != "RGB"}
	for c := range p.pix {
		p.pix[c] = make([]uint16, n)
		for k := range per {
			s := c*per + k
			start, end := int64(binary.LittleEndian.Uint32(b[4+4*s:])), int64(len(b))
			if s+1 < segments {
				end = int64(binary.LittleEndian.Uint32(b[8+4*s:]))
			}
			if start < 64 || end > int64(len(b)) || start > end {
				return nil, &InvalidError{Fault: BadCode, What: "RLE: segment offsets"}
			}
			if err := unpackBits(p.pix[c], b[start:end]); err != nil {
				return nil, err
			}
			progress(float64(s+1) / float64(segments))
		}
	}
	return p, nil
}

// unpackBits adds one byte to each sample: pix[i] = pix[i]<<8 | byte.
func unpackBits(pix []uint16, b []byte) error {
	i := 0
	for i < len(pix) {
		if len(b) < 2 {
			return &InvalidError{Fault: CutPixels, Got: int64(i), Need: int64(len(pix))}
		}
		c := int(int8(b[0]))
		switch {
		case c >= 0:
			n := min(c+1, len(pix)-i)
			if len(b) < 1+n {
				return &InvalidError{Fault: CutPixels, Got: int64(i + len(b) - 1), Need: int64(len(pix))}
			}
			shiftIn(pix[i:i+n], b[1:1+n])
			i += n
			b = b[min(c+2, len(b)):]
		case c > -128:
			run := pix[i:min(i+1-c, len(pix))]
			shiftInOne(run, uint16(b[1]))
			i += len(run)
			b = b[2:]
		default:
			b = b[1:]
		}
	}
	return nil
}

// shiftIn makes each byte the low byte of its sample, what was there the high
// one; shiftInOne does it with one byte for all. Four at a time: fewer checks
// of the index.
func shiftIn(to []uint16, from []byte) {
	for len(to) >= 4 && len(from) >= 4 {
		to[0], to[1] = to[0]<<8|uint16(from[0]), to[1]<<8|uint16(from[1])
		to[2], to[3] = to[2]<<8|uint16(from[2]), to[3]<<8|uint16(from[3])
		to, from = to[4:], from[4:]
	}
	for i, v := range from[:len(to)] {
		to[i] = to[i]<<8 | uint16(v)
	}
}

func shiftInOne(to []uint16, v uint16) {
	for len(to) >= 4 {
		to[0], to[1], to[2], to[3] = to[0]<<8|v, to[1]<<8|v, to[2]<<8|v, to[3]<<8|v
		to = to[4:]
	}
	for i := range to {
		to[i] = to[i]<<8 | v
	}
}
