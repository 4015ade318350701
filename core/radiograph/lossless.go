package radiograph

// losslessScan decodes a scan of process 14 (T.81, annex H): each sample is
// its prediction from neighbours plus a Huffman-coded difference, modulo
// 65,536. sel is the predictor 1 to 7, pt the point transform.
func (s *jpegStream) losslessScan(in []int, sel, pt int) error {
	w, h := s.want.width, s.want.height
	if sel < 1 || sel > 7 || pt >= s.bits {
		return badCode("lossless predictor")
	}
	if s.restart%w != 0 {
		return &UnsupportedError{What: "jpeg", Name: "lossless JPEG with restart marks inside a line"}
	}
	l := lossless{r: &bitReader{b: s.b, pos: s.pos}, sel: sel, start: 1 << (s.bits - pt - 1), width: w}
	for _, k := range in {
		if s.comps[k].dc > 3 || s.dc[s.comps[k].dc] == nil {
			return badCode("no Huffman table")
		}
		l.tables = append(l.tables, s.dc[s.comps[k].dc])
		l.pix = append(l.pix, s.out.pix[k])
	}
	l.quick = newQuick(l.tables[0])
	for y := range h {
		if what := l.next(y, s.restart/w); what != "" || l.r.dry() {
			return stopped(l.r.dry(), y, h, what)
		}
		if y%64 == 0 {
			s.progress(float64(y) / float64(h))
		}
	}
	s.left, s.pos = s.left+l.r.unread(), l.r.pos
	l.shift(pt, s.bits)
	return nil
}

// next decodes line y, after a restart mark where one is due every so many
// lines. It returns what is wrong, or nothing.
func (l *lossless) next(y, lines int) string {
	fresh := y == 0
	if lines > 0 && y > 0 && y%lines == 0 {
		if !l.r.nextRestart(y/lines - 1) {
			return "restart mark"
		}
		fresh = true
	}
	if !l.line(y, fresh) {
		return "lossless code"
	}
	return ""
}

type lossless struct {
	r      *bitReader
	sel    int
	start  uint16
	width  int
	tables []*huffman
	quick  *[1 << quickBits]uint32 // of the first table
	pix    [][]uint16
}

// line decodes line y of every component; fresh says that nothing above may
// be used (T.81, H.1.2.1).
func (l *lossless) line(y int, fresh bool) bool {
	if len(l.pix) == 1 {
		at := l.pix[0][y*l.width:][:l.width]
		if fresh {
			return l.firstLine(at)
		}
		up := l.pix[0][(y-1)*l.width:][:l.width]
		if l.sel == 1 {
			return l.leftLine(at, up[0])
		}
		return l.anyLine(at, up)
	}
	for x := range l.width {
		for c, pix := range l.pix {
			d, ok := l.r.difference(l.tables[c])
			if !ok {
				return false
			}
			i := y*l.width + x
			pix[i] = l.predicted(pix, i, x, fresh) + d
		}
	}
	return true
}

// predicted returns the prediction for sample i of a plane, in column x.
func (l *lossless) predicted(pix []uint16, i, x int, fresh bool) uint16 {
	switch {
	case fresh && x == 0:
		return l.start
	case fresh:
		return pix[i-1]
	case x == 0:
		return pix[i-l.width]
	}
	return predict(l.sel, pix[i-1], pix[i-l.width], pix[i-l.width-1])
}

// firstLine decodes a line that has none above it.
func (l *lossless) firstLine(at []uint16) bool { return l.leftLine(at, l.start) }

// leftLine decodes a line by predictor 1, its first sample from first.
func (l *lossless) leftLine(at []uint16, first uint16) bool {
	r, quick, left := l.r, l.quick, first
	acc, n := r.acc, r.n // copies that the compiler keeps in registers
	for x := range at {
		if n < 32 {
			acc, n = r.refilled(acc, n)
		}
		if e := quick[acc>>(64-quickBits)]; e != 0 {
			acc <<= e & 63
			n -= uint(e & 63)
			left += uint16(e >> 16)
		} else {
			r.acc, r.n = acc, n
			d, ok := r.difference(l.tables[0])
			if !ok {
				return false
			}
			acc, n = r.acc, r.n
			left += d
		}
		at[x] = left
	}
	r.acc, r.n = acc, n
	return true
}

// anyLine decodes a line by any predictor; up is the line above, as long.
func (l *lossless) anyLine(at, up []uint16) bool {
	r := *l.r
	d, ok := r.difference(l.tables[0])
	left, corner := up[0]+d, up[0]
	at[0] = left
	for x := 1; x < len(at) && ok; x++ {
		above := up[x]
		d, ok = r.quickly(l.quick, l.tables[0])
		left, corner = predict(l.sel, left, above, corner)+d, above
		at[x] = left
	}
	*l.r = r
	return ok
}

// quickBits is how many bits are looked up at once for a code with its
// difference.
const quickBits = 12

// newQuick lists, for the next quickBits bits, the difference << 16 | length
// where a code and the bits of its difference fit; 0 elsewhere.
func newQuick(h *huffman) *[1 << quickBits]uint32 {
	q := new([1 << quickBits]uint32)
	for i := range q {
		r := bitReader{acc: uint64(i) << (64 - quickBits), n: 64}
		if d, ok := r.difference(h); ok && 64-r.n <= quickBits {
			q[i] = uint32(d)<<16 | uint32(64-r.n)
		}
	}
	return q
}

// quickly decodes one difference.
func (r *bitReader) quickly(q *[1 << quickBits]uint32, h *huffman) (uint16, bool) {
	if r.n < 32 {
		r.fill()
	}
	e := q[r.acc>>(64-quickBits)]
	if e == 0 {
		return r.difference(h)
	}
	r.acc <<= e & 63
	r.n -= uint(e & 63)
	return uint16(e >> 16), true
}

// predict is table H.1 of T.81: a is left, b above, c above left.
func predict(sel int, a, b, c uint16) uint16 {
	ia, ib, ic := int(a), int(b), int(c)
	switch sel {
	case 1:
		return a
	case 2:
		return b
	case 3:
		return c
	case 4:
		return uint16(ia + ib - ic)
	case 5:
		return uint16(ia + (ib-ic)>>1)
	case 6:
		return uint16(ib + (ia-ic)>>1)
	}
	return uint16((ia + ib) >> 1)
}

// difference decodes one difference modulo 65,536. Category 16 is 32,768 and
// has no further bits (T.81, H.1.2.2).
func (r *bitReader) difference(h *huffman) (uint16, bool) {
	k, ok := r.symbol(h)
	switch {
	case !ok || k > 16:
		return 0, false
	case k == 0:
		return 0, true
	case k == 16:
		return 1 << 15, true
	}
	return uint16(r.receive(k)), true
}

// shift undoes the point transform and masks to the precision: only now, as
// predictions run modulo 65,536.
func (l *lossless) shift(pt, bits int) {
	mask := uint16(1<<bits - 1)
	if pt == 0 && bits == 16 {
		return
	}
	for _, pix := range l.pix {
		for i, v := range pix {
			pix[i] = v << pt & mask
		}
	}
}
