package radiograph

import (
	"encoding/binary"
	"math/bits"
)

// lsParameters reads an LSE segment of type 1 (T.87, C.2.4.1.1). Mapping
// tables, which films do not use, are refused.
func (s *jpegStream) lsParameters(seg []byte) error {
	if len(seg) < 1 || seg[0] != 1 {
		return &UnsupportedError{What: "jpeg", Name: "JPEG-LS with a mapping table"}
	}
	if len(seg) < 11 {
		return badCode("JPEG-LS parameters")
	}
	for i := range s.preset {
		s.preset[i] = int(binary.BigEndian.Uint16(seg[1+2*i:]))
	}
	return nil
}

// lsScan decodes a JPEG-LS scan: near is the largest error, ilv how the
// components are interleaved (0 not, 1 by line, 2 by sample).
func (s *jpegStream) lsScan(in []int, near, ilv, pt int) error {
	if s.restart > 0 {
		return &UnsupportedError{What: "jpeg", Name: "JPEG-LS with restart marks"}
	}
	if ilv > 2 || ilv == 0 && len(in) != 1 || pt != 0 {
		return badCode("JPEG-LS scan header")
	}
	m, err := newLSModel(s.bits, near, s.preset)
	if err != nil {
		return err
	}
	m.r = lsReader{b: s.b, pos: s.pos}
	h := s.want.height
	lines := make([]lsLine, len(in))
	for i := range lines {
		lines[i] = lsLine{cur: make([]int32, s.want.width+2), up: make([]int32, s.want.width+2)}
	}
	for y := range h {
		if !m.lines(lines, ilv == 2 && len(in) > 1) || m.r.dry() {
			return stopped(m.r.dry(), y, h, "JPEG-LS code")
		}
		for i, k := range in {
			lines[i].copyTo(s.out.pix[k], y)
		}
		if y%64 == 0 {
			s.progress(float64(y) / float64(h))
		}
	}
	s.left, s.pos = s.left+m.r.unread(), m.r.pos
	return nil
}

// lines decodes the next line of every component of a scan.
func (m *lsModel) lines(ls []lsLine, mixed bool) bool {
	for i := range ls {
		ls[i].turn()
	}
	if mixed {
		return m.mixedLine(ls)
	}
	for i := range ls {
		if !m.line(&ls[i]) {
			return false
		}
	}
	return true
}

// An lsLine holds the running line and the one above, each with a sample
// before its first and after its last.
type lsLine struct {
	cur, up []int32
	run     int // RUNindex
}

// turn starts a new line and sets its edges (T.87, A.2.1).
func (l *lsLine) turn() {
	l.cur, l.up = l.up, l.cur
	w := len(l.cur) - 2
	l.up[w+1] = l.up[w]
	l.cur[0] = l.up[1]
}

// copyTo writes the running line into line y of a plane.
func (l *lsLine) copyTo(pix []uint16, y int) {
	w := len(l.cur) - 2
	for x, v := range l.cur[1 : w+1] {
		pix[y*w+x] = uint16(v)
	}
}

// lsModel is the adaptive state of T.87, annex A.
type lsModel struct {
	r                  lsReader
	maxval, near, rang int32
	t1, t2, t3, reset  int32
	qbpp, limit        int32
	step               int32 // 2·near + 1
	contexts           [367]lsContext
	nn                 [2]int32
	quantised          []int8 // gradient −maxval … maxval to −4 … 4
}

// An lsContext is what was learnt in one context (T.87, A.2): the sum of the
// sizes of errors, of the errors, the correction, and how many there were.
type lsContext struct{ a, b, c, n int32 }

// bits returns the smallest k, 24 at most, for which n·2^k is no less than
// sum: how many bits of a code are its remainder (T.87, A.5.1).
func (s *lsContext) bits(sum int32) uint {
	if sum <= s.n {
		return 0
	}
	k := uint(bits.Len32(uint32(sum)) - bits.Len32(uint32(s.n)))
	if int64(s.n)<<k < int64(sum) {
		k++
	}
	return min(k, 24)
}

// runLength is J of T.87, A.2.1 step 4.
var runLength = [32]uint{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 9, 10, 11, 12, 13, 14, 15}

// newLSModel sets the parameters, given or default (T.87, C.2.4.1.1), and the
// initial state (A.2.1), and refuses parameters outside their range.
func newLSModel(depth, near int, preset [5]int) (*lsModel, error) {
	m := &lsModel{maxval: int32(preset[0]), near: int32(near), reset: int32(preset[4])}
	if m.maxval == 0 {
		m.maxval = 1<<depth - 1
	}
	if m.reset == 0 {
		m.reset = 64
	}
	m.thresholds(preset)
	switch {
	case m.maxval >= 1<<depth, near > 255, m.near > m.maxval/2,
		m.reset < 3, m.reset > max(255, m.maxval),
		m.t1 <= m.near, m.t2 < m.t1, m.t3 < m.t2, m.t3 > m.maxval:
		return nil, badCode("JPEG-LS parameters")
	}
	m.step = 2*m.near + 1
	m.rang = (m.maxval+2*m.near)/m.step + 1
	m.qbpp = int32(log2(int(m.rang)-1)) + 1
	bpp := max(2, int32(log2(int(m.maxval)))+1)
	m.limit = 2 * (bpp + max(8, bpp))
	for i := range m.contexts {
		m.contexts[i] = lsContext{a: max(2, (m.rang+32)/64), n: 1}
	}
	m.quantised = make([]int8, 2*m.maxval+1)
	for i := range m.quantised {
		m.quantised[i] = m.quantise(int32(i) - m.maxval)
	}
	return m, nil
}

// thresholds sets T1 to T3 (T.87, C.2.4.1.1.1).
func (m *lsModel) thresholds(preset [5]int) {
	clamp := func(v, low int32) int32 {
		if v > m.maxval || v < low {
			return low
		}
		return v
	}
	if m.maxval >= 128 {
		f := (min(m.maxval, 4095) + 128) / 256
		m.t1 = clamp(f*(3-2)+2+3*m.near, m.near+1)
		m.t2 = clamp(f*(7-3)+3+5*m.near, m.t1)
		m.t3 = clamp(f*(21-4)+4+7*m.near, m.t2)
	} else {
		f := 256 / (m.maxval + 1)
		m.t1 = clamp(max(2, 3/f+3*m.near), m.near+1)
		m.t2 = clamp(max(3, 7/f+5*m.near), m.t1)
		m.t3 = clamp(max(4, 21/f+7*m.near), m.t2)
	}
	for i, t := range []*int32{&m.t1, &m.t2, &m.t3} {
		if preset[1+i] != 0 {
			*t = int32(preset[1+i])
		}
	}
}

// quantise maps a gradient to −4 … 4 (T.87, A.3.3).
func (m *lsModel) quantise(d int32) int8 {
	sign := int8(1)
	if d < 0 {
		d, sign = -d, -1
	}
	switch {
	case d <= m.near:
		return 0
	case d < m.t1:
		return sign
	case d < m.t2:
		return 2 * sign
	case d < m.t3:
		return 3 * sign
	}
	return 4 * sign
}

// line decodes one line of one component.
func (m *lsModel) line(l *lsLine) bool {
	w := len(l.cur) - 2
	for x := 1; x <= w; {
		q := m.context(l, x)
		if q != 0 {
			v, ok := m.regular(q, l.cur[x-1], l.up[x], l.up[x-1])
			if !ok {
				return false
			}
			l.cur[x] = v
			x++
			continue
		}
		n, ended := m.run(&l.run, w-x+1)
		if n < 0 {
			return false
		}
		left := l.cur[x-1]
		for range n {
			l.cur[x] = left
			x++
		}
		if ended {
			v, ok := m.interrupt(left, l.up[x], runLength[l.run], false)
			if !ok {
				return false
			}
			l.cur[x] = v
			l.run = max(l.run-1, 0)
			x++
		}
	}
	return true
}

// context returns 81·Q1 + 9·Q2 + Q3 of the three gradients, 0 for a run.
func (m *lsModel) context(l *lsLine, x int) int32 {
	ra, rb, rc, rd := l.cur[x-1], l.up[x], l.up[x-1], l.up[x+1]
	q := m.quantised
	return 81*int32(q[rd-rb+m.maxval]) + 9*int32(q[rb-rc+m.maxval]) + int32(q[rc-ra+m.maxval])
}

// regular decodes one sample in context q (T.87, A.4 to A.6).
func (m *lsModel) regular(q, ra, rb, rc int32) (int32, bool) {
	sign := int32(1)
	if q < 0 {
		q, sign = -q, -1
	}
	s := &m.contexts[q]
	px := min(max(med(ra, rb, rc)+sign*s.c, 0), m.maxval)
	k := s.bits(s.a)
	v, ok := m.r.short(k, m.limit-m.qbpp-1)
	if !ok {
		if v, ok = m.r.golomb(k, m.limit, m.qbpp); !ok {
			return 0, false
		}
	}
	e := v>>1 ^ -(v & 1) // even: v/2, odd: −(v+1)/2
	if m.near == 0 && k == 0 && 2*s.b <= -s.n {
		e = ^e
	}
	s.learn(e, m.step, m.reset)
	return m.rebuild(px, sign*e), true
}

// med is the median edge detector (T.87, A.4.1).
func med(a, b, c int32) int32 {
	switch {
	case c >= max(a, b):
		return min(a, b)
	case c <= min(a, b):
		return max(a, b)
	}
	return a + b - c
}

// learn updates the state of a context with error e (T.87, A.6).
func (s *lsContext) learn(e, step, reset int32) {
	a, b, n := s.a+max(e, -e), s.b+e*step, s.n
	if n == reset {
		a, b, n = a>>1, b>>1, n>>1
	}
	n++
	switch {
	case b <= -n:
		b = max(b+n, 1-n)
		s.c = max(s.c-1, -128)
	case b > 0:
		b = min(b-n, 0)
		s.c = min(s.c+1, 127)
	}
	s.a, s.b, s.n = a, b, n
}

// rebuild adds an error to a prediction, modulo the range (T.87, A.4.5).
func (m *lsModel) rebuild(px, e int32) int32 {
	v := px + e*m.step
	if v < -m.near {
		v += m.rang * m.step
	} else if v > m.maxval+m.near {
		v -= m.rang * m.step
	}
	return min(max(v, 0), m.maxval)
}

// run decodes a run of at most room samples (T.87, A.7.1); ended says that a
// different sample follows. It returns −1 for a run that leaves the line.
func (m *lsModel) run(index *int, room int) (n int, ended bool) {
	for n < room {
		if m.r.bits(1) == 0 {
			n += int(m.r.bits(runLength[*index]))
			if n >= room {
				return -1, false
			}
			return n, true
		}
		full := 1 << runLength[*index]
		if n+full <= room {
			*index = min(*index+1, 31)
		}
		n = min(n+full, room)
		if m.r.dry() {
			return -1, false
		}
	}
	return n, false
}

// interrupt decodes the sample that ends a run (T.87, A.7.2). Samples of
// mixed components always count as of the first kind.
func (m *lsModel) interrupt(ra, rb int32, j uint, mixed bool) (int32, bool) {
	kind, px, sign := int32(0), rb, int32(1)
	if d := ra - rb; !mixed && d <= m.near && -d <= m.near {
		kind, px = 1, ra
	} else if d > 0 {
		sign = -1
	}
	s := &m.contexts[365+kind]
	temp := s.a
	if kind == 1 {
		temp += s.n >> 1
	}
	k := s.bits(temp)
	v, ok := m.r.golomb(k, m.limit-int32(j)-1, m.qbpp)
	if !ok {
		return 0, false
	}
	t := v + kind
	odd := t & 1
	e := (t + odd) >> 1
	if (k != 0 || 2*m.nn[kind] >= s.n) == (odd == 1) {
		e = -e
	}
	if e < 0 {
		m.nn[kind]++
	}
	s.a += (v + 1 - kind) >> 1
	if s.n == m.reset {
		s.a >>= 1
		s.n >>= 1
		m.nn[kind] >>= 1
	}
	s.n++
	return m.rebuild(px, sign*e), true
}
