package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Width is the canal and the bone across the middle of the canal, with
// standard uncertainties. Edge is in the order of Wall.
type Width struct {
	Along  units.Px `json:"along_px"` // along the middle of the canal from its first level
	Edge   [4]pt    `json:"edge_px"`
	Inner  units.Px `json:"inner_px"`
	InnerU units.Px `json:"inner_u_px"`
	Outer  units.Px `json:"outer_px"`
	OuterU units.Px `json:"outer_u_px"`
}

// A Narrow is the isthmus: the narrowest place of the canal and how far along
// the bone it may lie from there (standard uncertainty).
type Narrow struct {
	Width
	LevelU units.Px `json:"level_u_px"`
}

// course is the measured levels of a shaft as numbers.
type course struct {
	s           Shaft
	along       []float64
	width       [2][]float64 // inner, outer
	first, last float64      // ends of the trace, along
}

func (s Shaft) course() (c course) {
	c.s = s
	for i, l := range s.Levels {
		if i == 0 {
			c.first = float64(l.Along)
		}
		c.last = float64(l.Along)
		if len(l.Edge) != 4 {
			continue
		}
		in, out := float64(geom.Dist(l.Edge[InnerLeft], l.Edge[InnerRight])), float64(geom.Dist(l.Edge[OuterLeft], l.Edge[OuterRight]))
		if !finite(in, out, float64(l.Along)) || len(c.along) > 0 && !(float64(l.Along) > c.along[len(c.along)-1]) {
			continue
		}
		c.along = append(c.along, float64(l.Along))
		c.width[0], c.width[1] = append(c.width[0], in), append(c.width[1], out)
	}
	return c
}

// pitch is the distance of two levels.
func (c course) pitch() float64 {
	return math.Max((c.last-c.first)/math.Max(1, float64(len(c.s.Levels)-1)), 1e-9)
}

// at returns the widths at a place along the bone: the straight line of least
// squares through the measured levels of a fortieth of the trace to each side.
// It reports false where less than half of them, or those of one side, are
// measured.
func (c course) at(x float64) (Width, bool) {
	reach := math.Max(4, float64(len(c.s.Levels))/40) * c.pitch()
	var i [2][]float64
	var xs []float64
	below, above := 0, 0
	for k, a := range c.along {
		if math.Abs(a-x) <= reach {
			xs = append(xs, a-x)
			i[0], i[1] = append(i[0], c.width[0][k]), append(i[1], c.width[1][k])
			if a <= x {
				below++
			}
			if a >= x {
				above++
			}
		}
	}
	if !(float64(len(xs)) >= reach/c.pitch()) || below < 2 || above < 2 {
		return Width{}, false
	}
	w := Width{Along: units.Px(x)}
	var u [2]float64
	for k := range 2 {
		v, m := leastLine(xs, i[k])
		ss := 0.0
		for j := range xs {
			ss += (i[k][j] - v - m*xs[j]) * (i[k][j] - v - m*xs[j])
		}
		n := float64(len(xs))
		u[k] = math.Sqrt(ss / math.Max(1, n-2) / math.Max(1, n/3)) // neighbours share their smoothing
		if k == 0 {
			w.Inner = units.Px(v)
		} else {
			w.Outer = units.Px(v)
		}
	}
	w.InnerU = units.Px(math.Hypot(u[0], float64(c.s.InnerU)))
	w.OuterU = units.Px(math.Hypot(u[1], float64(c.s.OuterU)))
	return c.edges(w)
}

// edges lays the edges of a width across the nearest measured level.
func (c course) edges(w Width) (Width, bool) {
	best, near := -1, math.Inf(1)
	for i, l := range c.s.Levels {
		if d := math.Abs(float64(l.Along - w.Along)); len(l.Edge) == 4 && d < near {
			best, near = i, d
		}
	}
	if best < 0 || !(w.Inner > 0) || !(w.Outer > w.Inner) {
		return Width{}, false
	}
	e := c.s.Levels[best].Edge
	for k, v := range [2]units.Px{w.Inner, w.Outer} {
		a, b := InnerLeft, InnerRight
		if k == 1 {
			a, b = OuterLeft, OuterRight
		}
		m, half := geom.Mid(e[a], e[b]), e[b].Minus(e[a]).Times(float64(v/geom.Dist(e[a], e[b]))/2)
		w.Edge[a], w.Edge[b] = m.Minus(half), m.Plus(half)
	}
	return w, finite(float64(w.InnerU), float64(w.OuterU), float64(w.Edge[0].X), float64(w.Edge[3].Y), float64(w.Edge[1].X), float64(w.Edge[2].Y))
}

// Profile returns the widths at n levels evenly apart from the first to the
// last measured one, without those that cannot be told. At most 240.
func (s Shaft) Profile(n int) []Width {
	c := s.course()
	if len(c.along) < 2 || n < 2 {
		return nil
	}
	n = min(n, 240)
	var out []Width
	lo, hi := c.along[0], c.along[len(c.along)-1]
	for i := range n {
		if w, ok := c.at(lo + (hi-lo)*float64(i)/float64(n-1)); ok {
			out = append(out, w)
		}
	}
	return out
}

// At returns the widths at the level that lies a number of px further along
// the bone than a place, for instance below the lesser trochanter (under zero:
// above). It refuses a level off the trace or left out.
func (s Shaft) At(p pt, below units.Px) (Width, error) {
	c := s.course()
	best, near := 0.0, math.Inf(1)
	for i := 1; i < len(s.Levels); i++ {
		a, b := s.Levels[i-1], s.Levels[i]
		t, _, ok := line{A: a.Centre, B: b.Centre}.Along(p)
		end := i == 1 && t < 0 || i == len(s.Levels)-1 && t > geom.Dist(a.Centre, b.Centre)
		if d := float64(geom.Dist(p, a.Centre)); ok && d < near && (end || t >= -2 && t <= geom.Dist(a.Centre, b.Centre)+2) {
			best, near = float64(a.Along+t), d
		}
	}
	w, ok := c.at(best + float64(below))
	if !ok || math.IsInf(near, 0) {
		return Width{}, refuse("canal", "left-out")
	}
	return w, nil
}

// CorticalIndex returns (outer − inner)/outer of a width and its standard
// uncertainty. Source: Noble 1988 as quoted in PMC5964262, fig. 1 (100 mm
// below the middle of the lesser trochanter).
func (w Width) CorticalIndex() (index, u float64, err error) {
	i, o := float64(w.Inner), float64(w.Outer)
	if !(i > 0) || !(o > i) || !finite(o) {
		return 0, 0, refuse("canal", "left-out")
	}
	return (o - i) / o, i / o * math.Hypot(float64(w.InnerU)/i, float64(w.OuterU)/o), nil
}

// FlareIndex returns the canal at the flare over the canal at the isthmus and
// its standard uncertainty. Source: as CorticalIndex (flare: 20 mm above the
// middle of the lesser trochanter).
func FlareIndex(flare, isthmus Width) (index, u float64, err error) {
	a, b := float64(flare.Inner), float64(isthmus.Inner)
	if !(a > 0) || !(b > 0) || !finite(a, b) {
		return 0, 0, refuse("canal", "left-out")
	}
	return a / b, a / b * math.Hypot(float64(flare.InnerU)/a, float64(isthmus.InnerU)/b), nil
}

// Isthmus returns the narrowest place of the canal, from the least squares of
//
//	inner width = w + k·(x₀ − x)² above x₀,  w + m·(x − x₀)² below,  k, m ≥ 0
//
// over the levels up to 1.25 times as wide as the least. The doubt of the
// level is where the sum of squares grows by as much as one standard
// uncertainty makes it, joined with how far the answers for 1.15 and 1.4 times
// lie apart: a flat canal has a well known width and a badly known level. It
// refuses a narrowest place at an end of the trace, or in or beside a part
// that is left out.
func (s Shaft) Isthmus() (Narrow, error) {
	c := s.course()
	if len(c.along) < 30 {
		return Narrow{}, refuse("isthmus", "left-out")
	}
	best, ok := c.valley(1.25)
	if !ok {
		return Narrow{}, refuse("isthmus", "end")
	}
	u := best.u
	for _, f := range []float64{1.15, 1.4} {
		if o, ok := c.valley(f); ok {
			u = math.Hypot(u, 0.5*(o.x-best.x))
		}
	}
	u = math.Min(math.Hypot(u/math.Max(0.3, float64(len(c.along))/float64(len(s.Levels))), 0.7*c.pitch()), c.last-c.first)
	if !(best.x-c.along[0] > 0.05*(c.last-c.first)) || !(c.along[len(c.along)-1]-best.x > 0.05*(c.last-c.first)) || !best.rises {
		return Narrow{}, refuse("isthmus", "end")
	}
	if near := 2*u + 0.03*(c.last-c.first); c.hidden(best.x-near, best.x+near) {
		return Narrow{}, refuse("isthmus", "hidden")
	}
	w, ok := c.at(best.x)
	if !ok {
		return Narrow{}, refuse("isthmus", "hidden")
	}
	w.Inner = units.Px(best.w)
	w.InnerU = units.Px(math.Hypot(best.wu, float64(s.InnerU)))
	w, ok = c.edges(w)
	if !ok {
		return Narrow{}, refuse("isthmus", "hidden")
	}
	// The valley is flat: over 264 drawn femora its lowest place was further off
	// than its fit says in 8 of 100. An eighth of the width of the canal is added.
	return Narrow{w, units.Px(math.Hypot(u, best.w/8))}, nil
}

// hidden reports whether more than an eightieth of the trace in one piece is
// left out between two places.
func (c course) hidden(lo, hi float64) bool {
	for i := 1; i < len(c.along); i++ {
		a, b := c.along[i-1], c.along[i]
		if b-a > (c.last-c.first)/80+c.pitch() && a <= hi && b >= lo {
			return true
		}
	}
	return false
}

type valley struct {
	x, u, w, wu float64
	rises       bool
}

// valley fits the two half parabolas to the levels up to top times the least.
func (c course) valley(top float64) (v valley, ok bool) {
	least := math.Inf(1)
	smooth := boxed(c.width[0], 3)
	from := 0
	for i := range smooth {
		if smooth[i] < least {
			least, from = smooth[i], i
		}
	}
	lo, hi := from, from
	for lo > 0 && smooth[lo-1] <= top*least {
		lo--
	}
	for hi < len(smooth)-1 && smooth[hi+1] <= top*least {
		hi++
	}
	if hi-lo < 12 {
		return v, false
	}
	x, y := c.along[lo:hi+1], c.width[0][lo:hi+1]
	chi := make([]float64, len(x))
	arms := make([][3]float64, len(x))
	best := 0
	for i := range x {
		arms[i], chi[i] = halves(x, y, x[i])
		if chi[i] < chi[best] {
			best = i
		}
	}
	n := math.Max(4, float64(len(x))/4) // neighbours share grain and smoothing
	lim := chi[best] * (1 + 1/math.Max(1, n-4))
	a, b := best, best
	for a > 0 && chi[a-1] <= lim {
		a--
	}
	for b < len(x)-1 && chi[b+1] <= lim {
		b++
	}
	v.x, v.w = x[best], arms[best][0]
	v.u = (x[b]-x[a])/2 + 0.1*c.pitch()
	s := math.Sqrt(chi[best] / math.Max(1, float64(len(x))-4))
	v.wu = s * math.Sqrt(3/n)
	up, down := x[best]-x[0], x[len(x)-1]-x[best]
	v.rises = arms[best][1]*up*up > 2*s && arms[best][2]*down*down > 2*s
	return v, finite(v.x, v.u, v.w, v.wu) && v.w > 0
}

// halves returns w, k and m of the two half parabolas with their foot at x0,
// and the sum of squares.
func halves(x, y []float64, x0 float64) (a [3]float64, chi float64) {
	scale := math.Max(x[len(x)-1]-x[0], 1e-9)
	var m [3][4]float64
	row := func(x float64) [3]float64 {
		t := (x - x0) / scale
		if t < 0 {
			return [3]float64{1, t * t, 0}
		}
		return [3]float64{1, 0, t * t}
	}
	for i := range x {
		r := row(x[i])
		for p := range 3 {
			for q := range 3 {
				m[p][q] += r[p] * r[q]
			}
			m[p][3] += r[p] * y[i]
		}
	}
	for p := range 3 {
		m[p][p] += 1e-9
	}
	a, ok := solve(m)
	if !ok {
		return a, math.Inf(1)
	}
	a[1], a[2] = math.Max(0, a[1]), math.Max(0, a[2])
	left := make([]float64, len(x))
	for i := range x {
		r := row(x[i])
		left[i] = y[i] - r[1]*a[1] - r[2]*a[2]
	}
	mean := 0.0
	for _, l := range left {
		mean += l / float64(len(left))
	}
	for _, l := range left {
		chi += (l - mean) * (l - mean)
	}
	a[0] = mean
	a[1], a[2] = a[1]/scale/scale, a[2]/scale/scale
	return a, math.Max(chi, 1e-12)
}
