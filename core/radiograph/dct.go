package radiograph

// zigzag maps the order of the stream to row × 8 + column (T.81, figure A.6).
var zigzag = [64]byte{
	0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5,
	12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7, 14, 21, 28,
	35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51,
	58, 59, 52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
}

// quantTables reads a DQT segment (T.81, B.2.4.1).
func (s *jpegStream) quantTables(seg []byte) error {
	for len(seg) > 0 {
		size, id := 1+int(seg[0]>>4), seg[0]&15
		if size > 2 || id > 3 || len(seg) < 1+64*size {
			return badCode("quantisation table")
		}
		q := new([64]int)
		for i := range 64 {
			v := int(seg[1+size*i])
			if size == 2 {
				v = v<<8 | int(seg[2+size*i])
			}
			q[zigzag[i]] = v
		}
		s.quant[id] = q
		seg = seg[1+64*size:]
	}
	return nil
}

// blocks is how a component lies in 8 × 8 blocks.
type blocks struct {
	across, down int // blocks that hold samples
	stride       int // samples a line, whole MCUs
	keep         bool
	pred         int
}

// allocateDCT makes the padded planes. Of a film whose first component is
// brightness only that one is kept.
func (s *jpegStream) allocateDCT() error {
	hmax, vmax := s.sampling()
	if s.comps[0].h != hmax || s.comps[0].v != vmax {
		return &UnsupportedError{What: "jpeg", Name: "JPEG with reduced brightness"}
	}
	bright := len(s.comps) == 1 || s.brightFirst()
	for i := range s.comps {
		c := &s.comps[i]
		if !bright && (c.h != hmax || c.v != vmax) {
			return &UnsupportedError{What: "jpeg", Name: "RGB JPEG with reduced colour"}
		}
		c.keep = i == 0 || !bright
		if len(s.comps) == 1 {
			c.h, c.v, hmax, vmax = 1, 1, 1, 1
		}
		c.across = ceil(ceil(s.want.width*c.h, hmax), 8)
		c.down = ceil(ceil(s.want.height*c.v, vmax), 8)
		c.stride = 8 * c.h * ceil(s.want.width, 8*hmax)
		if c.keep {
			s.out.pix[i] = make([]uint16, c.stride*8*c.v*ceil(s.want.height, 8*vmax))
		}
	}
	s.out.bright = bright
	return nil
}

func (s *jpegStream) sampling() (hmax, vmax int) {
	for _, c := range s.comps {
		hmax, vmax = max(hmax, c.h), max(vmax, c.v)
	}
	return hmax, vmax
}

func ceil(a, b int) int { return (a + b - 1) / b }

// dctScan decodes a sequential scan (T.81, F.2). Spectral and approximation
// fields are not looked at: writers of 12-bit films get them wrong.
func (s *jpegStream) dctScan(in []int) error {
	for _, k := range in {
		c := &s.comps[k]
		if c.dc > 3 || c.ac > 3 || s.dc[c.dc] == nil || s.ac[c.ac] == nil || s.quant[c.quant] == nil {
			return badCode("a missing table")
		}
	}
	s.forget(in)
	hmax, vmax := s.sampling()
	across, down := ceil(s.want.width, 8*hmax), ceil(s.want.height, 8*vmax)
	if len(in) == 1 {
		across, down = s.comps[in[0]].across, s.comps[in[0]].down
	}
	r := &bitReader{b: s.b, pos: s.pos}
	n, mark := 0, 0
	for y := range down {
		for x := range across {
			if s.restart > 0 && n > 0 && n%s.restart == 0 {
				if !r.nextRestart(mark) {
					return badCode("restart mark")
				}
				mark++
				s.forget(in)
			}
			n++
			if !s.mcu(r, in, x, y) || r.dry() {
				return stopped(r.dry(), y, down, "DCT code")
			}
		}
		s.progress(float64(y) / float64(down))
	}
	s.left, s.pos = s.left+r.unread(), r.pos
	return nil
}

// forget resets the predictions of DC values.
func (s *jpegStream) forget(in []int) {
	for _, k := range in {
		s.comps[k].pred = 0
	}
}

// mcu decodes the blocks of one minimum coded unit at column x and row y.
func (s *jpegStream) mcu(r *bitReader, in []int, x, y int) bool {
	for _, k := range in {
		c := &s.comps[k]
		h, v := c.h, c.v
		if len(in) == 1 {
			h, v = 1, 1
		}
		for j := range v {
			for i := range h {
				var block [64]int
				uneven, ok := c.block(r, s.dc[c.dc], s.ac[c.ac], s.quant[c.quant], &block)
				if !ok {
					return false
				}
				if !c.keep {
					continue
				}
				at := (y*v+j)*8*c.stride + (x*h+i)*8
				if uneven {
					inverseDCT(&block, s.out.pix[k][at:], c.stride, s.bits)
				} else {
					flatBlock(block[0], s.out.pix[k][at:], c.stride, s.bits)
				}
			}
		}
	}
	return true
}

// block decodes and scales the coefficients of one block (T.81, F.2.2), and
// reports whether it holds more than its mean.
func (c *component) block(r *bitReader, dc, ac *huffman, q *[64]int, out *[64]int) (uneven, ok bool) {
	t, ok := r.symbol(dc)
	if !ok || t > 15 {
		return false, false
	}
	if t > 0 {
		c.pred += r.receive(t)
	}
	c.pred = int(int32(c.pred))
	out[0] = c.pred * q[0]
	for k := 1; k < 64; k++ {
		rs, ok := r.soon(ac)
		if !ok {
			if rs, ok = r.symbol(ac); !ok {
				return false, false
			}
		}
		run, size := rs>>4, rs&15
		if size == 0 {
			if run != 15 {
				break
			}
			k += 15
			continue
		}
		if k += run; k > 63 {
			return false, false
		}
		uneven = true
		z := zigzag[k]
		out[z] = r.receive(size) * q[z]
	}
	return uneven, true
}

// cropDCT takes the padding of whole blocks off the planes; other processes
// have none.
func (s *jpegStream) cropDCT() {
	w, h := s.want.width, s.want.height
	for i, pix := range s.out.pix {
		if pix == nil || s.comps[i].stride == 0 {
			continue
		}
		stride := s.comps[i].stride
		for y := 1; y < h && stride != w; y++ {
			copy(pix[y*w:(y+1)*w], pix[y*stride:])
		}
		s.out.pix[i] = pix[:w*h]
	}
}
