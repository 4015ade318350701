package find

import (
	"math"
	"slices"

	"isthmus/core/geom"
)

// Shape of the two searches, as shares of the distance of the taps and of the
// width of the bone: a femur's shaft is 1/12 to 1/4 as wide as what is traced.
const (
	coarseLevels = 120
	coarseStep   = 1.0 / 240
	leastHalf    = 7  // columns, half of the outer width: 0.03 of the distance
	mostHalf     = 46 // 0.19
	coarseReach  = 72 // columns to either side
	fineLevels   = 240
	leastCanal   = 0.1 // of the outer width
	leastWall    = 0.04
)

// coarse returns the middle of the bone between the taps and half its outer
// width by level, px; nothing where no bone is seen.
func (g Grey) coarse(upper, lower pt, fixed []Fix) (path []pt, half []float64) {
	long := float64(geom.Dist(upper, lower))
	step := long * coarseStep
	for i := range coarseLevels {
		path = append(path, upper.Plus(lower.Minus(upper).Times(float64(i)/(coarseLevels-1))))
	}
	s := g.lay(path, coarseReach*step, step, min(max(int(2*step), 2), 6))
	s.slopes(1.2)
	s.clip()
	c, w := s.quartet(fixed)
	if c == nil {
		return nil, nil
	}
	mid := make([]pt, len(path))
	for range 3 {
		c, w = boxed(c, 4), boxed(w, 4)
	}
	for i := range mid {
		mid[i] = s.place(i, c[i])
	}
	for i := range fineLevels {
		half = append(half, step*w[i*(len(w)-1)/(fineLevels-1)])
	}
	return even(mid, fineLevels), half
}

// boxed is the mean over r neighbours to each side; near the ends over as many
// as there are on both sides.
func boxed(v []float64, r int) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		k := min(r, i, len(v)-1-i)
		for _, x := range v[i-k : i+k+1] {
			out[i] += x / float64(2*k+1)
		}
	}
	return out
}

// clip brings slopes to the scale of the sixth strongest edge of a level and
// cuts them there, so that metal, skin and the border of the field do not draw
// the path.
func (s *strip) clip() {
	var best []float64
	for i := range s.n {
		row, tops := s.d[i*s.m:(i+1)*s.m], []float32{0, 0, 0, 0, 0, 0}
		for j := 1; j+1 < s.m; j++ {
			if d := max(row[j], -row[j]); d >= max(row[j-1], -row[j-1]) && d > max(row[j+1], -row[j+1]) && d > tops[0] {
				tops[0] = d
				slices.Sort(tops)
			}
		}
		best = append(best, float64(tops[0]))
	}
	k := float32(0)
	if m := median(best); m > 0 {
		k = float32(1 / m)
	}
	for i := range s.d {
		s.d[i] = min(max(k*s.d[i], -1), 1)
	}
}

// gains returns, for a level, what the best wall with its outer edge at each
// column gains: the outer edge and the best inner edge up to t columns in,
// less the strongest edge between them that runs like an outer one, as
// left[t][x] and right[t][x].
func (s strip) gains(i int, left, right [][]float32) {
	row := s.d[i*s.m : (i+1)*s.m]
	for x := range row {
		var l, r, lp, rp float32
		for t := 1; t < len(left); t++ {
			if k := x + t; k < s.m {
				l = max(l, -row[k]-lp)
				if t >= 4 {
					lp = max(lp, row[k])
				}
			}
			if k := x - t; k >= 0 {
				r = max(r, row[k]-rp)
				if t >= 4 {
					rp = max(rp, -row[k])
				}
			}
			left[t][x], right[t][x] = row[x]+l, -row[x]+r
		}
	}
}

// quartet returns the middle and half the outer width, in columns, of the two
// walls down the levels that gain most.
func (s strip) quartet(fixed []Fix) (mid, half []float64) {
	const nw = mostHalf - leastHalf + 1
	m := s.m
	tables := func() (t [][]float32) {
		for range mostHalf {
			t = append(t, make([]float32, m))
		}
		return t
	}
	left, right := tables(), tables()
	now, next := make([]float32, nw*m), make([]float32, nw*m)
	back := make([]int8, s.n*nw*m)
	pins := s.pins(fixed)
	for i := range s.n {
		s.gains(i, left, right)
		if i > 0 {
			carry(now, next, back[i*nw*m:], nw, m)
			now, next = next, now
		}
		for k := range nw {
			w := k + leastHalf
			t := int(float64(2*w) * (0.5 - leastCanal/2))
			for c := range m {
				f := &now[k*m+c]
				if c-w < 0 || c+w >= m || (i == 0 || i == s.n-1) && math.Abs(float64(c-(m-1)/2)) > 0.8*float64(w) {
					*f = -1e9
					continue
				}
				*f += left[t][c-w] + right[t][c+w]
				if p := pins[i]; p != nil && (math.Abs(p[0]-float64(c-w)) > 1.5 && p[0] >= 0 || math.Abs(p[1]-float64(c+w)) > 1.5 && p[1] >= 0) {
					*f -= 50
				}
			}
		}
	}
	return s.trackBack(now, back, nw)
}

// pins are the columns of fixed outer edges by level, −1 where there is none.
func (s strip) pins(fixed []Fix) map[int]*[2]float64 {
	out := map[int]*[2]float64{}
	for _, f := range fixed {
		i, x := s.column(f.At)
		if f.Edge == OuterLeft || f.Edge == OuterRight {
			if out[i] == nil {
				out[i] = &[2]float64{-1, -1}
			}
			out[i][f.Edge/OuterRight] = math.Max(0, x)
		}
	}
	return out
}

// carry brings the best of the nine states nearby to the next level, less the
// price of the step.
func carry(now, next []float32, back []int8, nw, m int) {
	const price = 0.12
	for k := range nw {
		for c := range m {
			best, from := now[k*m+c], int8(4)
			for dk := -1; dk <= 1; dk++ {
				for dc := -1; dc <= 1; dc++ {
					if kk, cc := k+dk, c+dc; kk >= 0 && kk < nw && cc >= 0 && cc < m && (dk != 0 || dc != 0) {
						if v := now[kk*m+cc] - price*float32(dk*dk+dc*dc); v > best {
							best, from = v, int8((dk+1)*3+dc+1)
						}
					}
				}
			}
			next[k*m+c], back[k*m+c] = best, from
		}
	}
}

func (s strip) trackBack(last []float32, back []int8, nw int) (mid, half []float64) {
	top := slices.Index(last, slices.Max(last))
	if !(last[top] > 0.8*float32(s.n)) { // of 4: two strong edges on average would be 2
		return nil, nil
	}
	mid, half = make([]float64, s.n), make([]float64, s.n)
	k, c := top/s.m, top%s.m
	for i := s.n - 1; i >= 0; i-- {
		mid[i], half[i] = float64(c), float64(k+leastHalf)
		f := int(back[i*nw*s.m+k*s.m+c])
		if i > 0 {
			k, c = k+f/3-1, c+f%3-1
		}
	}
	return mid, half
}

// fine lays the film straight along the middle that was found.
func (g Grey) fine(path []pt, half []float64, fixed []Fix) *walls {
	reach := math.Max(1.6*slices.Max(half), 3.1*median(half)) // so far out, edges are rivals
	step := math.Min(math.Max(1, 2*reach/640), math.Max(0.5, reach/90))
	w := &walls{strip: g.lay(path, reach, step, 4), wide: 2 * median(half) / step}
	w.slopes(math.Max(1.2, 0.014*w.wide))
	for i, h := range half {
		w.half = append(w.half, h/step)
		w.off[i] = !g.on(w.place(i, float64(w.m-1)/2-1.15*h/step)) || !g.on(w.place(i, float64(w.m-1)/2+1.15*h/step))
	}
	for e := range 4 {
		w.fix[e] = make([]float64, w.n)
		for i := range w.n {
			w.fix[e][i] = -1
		}
	}
	for _, f := range fixed {
		i, x := w.column(f.At)
		w.fix[f.Edge][i] = math.Max(0, x) // off the strip is no room either
	}
	return w
}

// again returns the middle and half of the outer width that were followed,
// smoothed, for another turn.
func (w *walls) again() (path []pt, half []float64) {
	mid, wide := make([]float64, w.n), make([]float64, w.n)
	for i := range mid {
		mid[i] = (w.path[0][i] + w.path[1][i] + w.path[2][i] + w.path[3][i]) / 4
		wide[i] = (w.path[OuterRight][i] - w.path[OuterLeft][i]) / 2 * w.step
	}
	wide = boxed(wide, 5)
	for i := range mid {
		path = append(path, w.place(i, smoothAt(mid, i, 14)))
		half = append(half, math.Max(wide[i], 2))
	}
	return path, half
}

// follow runs the four edges down the fine strip, the outer ones first, each
// in its own room. It reports false where fixes leave an edge no room.
func (w *walls) follow() bool {
	mid := float64(w.m-1) / 2
	o1, ok1 := w.single(OuterLeft, func(i int) (float64, float64) { return mid - 1.5*w.half[i], mid - 0.4*w.half[i] })
	o2, ok2 := w.single(OuterRight, func(i int) (float64, float64) { return mid + 0.4*w.half[i], mid + 1.5*w.half[i] })
	if !ok1 || !ok2 {
		return false
	}
	room := func(left bool) func(int) (float64, float64) {
		return func(i int) (float64, float64) {
			wide, c := o2[i]-o1[i], (o1[i]+o2[i])/2
			if left {
				return o1[i] + leastWall*wide, c - leastCanal/2*wide
			}
			return c + leastCanal/2*wide, o2[i] - leastWall*wide
		}
	}
	i1, ok1 := w.single(InnerLeft, room(true))
	i2, ok2 := w.single(InnerRight, room(false))
	if !ok1 || !ok2 {
		return false
	}
	w.path = [4][]float64{o1, i1, i2, o2}
	for e := range 4 {
		w.subpixel(e)
	}
	return true
}

// single returns the path of one edge down the levels, within its room.
func (w *walls) single(e Wall, room func(i int) (lo, hi float64)) ([]float64, bool) {
	const steps = 3
	scale := w.scale(e, room)
	price := float32(0.06)
	m := w.m
	now, next := make([]float32, m), make([]float32, m)
	back := make([]int8, w.n*m)
	for i := range w.n {
		if i > 0 {
			for j := range m {
				best, from := now[j], 0
				for d := -steps; d <= steps; d++ {
					if k := j + d; d != 0 && k >= 0 && k < m {
						if v := now[k] - price*float32(d*d); v > best {
							best, from = v, d
						}
					}
				}
				next[j], back[i*m+j] = best, int8(from)
			}
			now, next = next, now
		}
		lo, hi := room(i)
		if f := w.fix[e][i]; f >= 0 {
			if f < lo || f > hi || f >= float64(m) {
				return nil, false
			}
			lo, hi = math.Round(f), math.Round(f)
		}
		row := w.d[i*m : (i+1)*m]
		for j := range m {
			if x := float64(j); x < lo || x > hi {
				now[j] -= 1000
			}
			now[j] += min(max(float32(sign[e])*row[j]*scale, -0.3), 1)
		}
	}
	out := make([]float64, w.n)
	j := slices.Index(now, slices.Max(now))
	for i := w.n - 1; i >= 0; i-- {
		out[i] = float64(j)
		j += int(back[i*m+j])
	}
	return out, true
}

// scale brings the usual strongest slope of an edge in its room to one.
func (w *walls) scale(e Wall, room func(i int) (lo, hi float64)) float32 {
	var best []float64
	for i := range w.n {
		lo, hi := room(i)
		top := 0.0
		for j := max(int(lo), 0); j <= min(int(hi), w.m-1); j++ {
			top = math.Max(top, sign[e]*float64(w.d[i*w.m+j]))
		}
		best = append(best, top)
	}
	return float32(1 / math.Max(median(best), 1e-6))
}

// subpixel moves each place of a path to the top of the parabola through the
// slopes about it, by at most a column, and notes the slope.
func (w *walls) subpixel(e int) {
	w.fall[e] = make([]float64, w.n)
	for i := range w.n {
		j := min(max(int(w.path[e][i]), 1), w.m-2)
		at := func(j int) float64 { return sign[e] * float64(w.d[i*w.m+j]) }
		for range 2 {
			if w.fix[e][i] >= 0 {
				break
			}
			if at(j+1) > at(j) && j+2 < w.m {
				j++
			} else if at(j-1) > at(j) && j > 1 {
				j--
			}
		}
		a, b, c := at(j-1), at(j), at(j+1)
		w.fall[e][i] = b
		if w.fix[e][i] >= 0 {
			w.path[e][i] = w.fix[e][i]
		} else if q := a - 2*b + c; q < 0 {
			w.path[e][i] = float64(j) + math.Max(-1, math.Min(1, (a-c)/(2*q)))
		}
	}
}
