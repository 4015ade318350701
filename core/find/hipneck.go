package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A HipNeck is the neck where it is narrowest, and its angle to the shaft.
type HipNeck struct {
	Upper      pt       `json:"upper_px"` // inner edges
	Lower      pt       `json:"lower_px"`
	OuterUpper pt       `json:"outer_upper_px"`
	OuterLower pt       `json:"outer_lower_px"`
	Slip       units.Px `json:"slip_px"` // of each edge
	Inner      units.Px `json:"inner_px"`
	InnerU     units.Px `json:"inner_u_px"`
	Outer      units.Px `json:"outer_px"`
	OuterU     units.Px `json:"outer_u_px"`
	// Between the axis of the neck (middle of the narrowest place to the centre
	// of the head) and the shaft downwards, on the film.
	AngleDeg  float64 `json:"angle_deg"`
	AngleUDeg float64 `json:"angle_u_deg"`
}

const (
	neckLevels = 72
	neckFrom   = 0.75 // radii of the head from its centre
	neckTo     = 2.1
)

// neckGuess are the degrees to the shaft at which the search begins, one after
// another while no neck is seen; from memory.
var neckGuess = [...]float64{130, 142, 118}

// Neck returns the narrowest place of the neck between head and shaft. Upper
// and lower are two places on the middle of the shaft, in that order. The film
// is laid straight from the centre of the head towards the shaft, the outer
// and the inner edges are followed as those of a shaft (see Trace), and the
// axis is laid again through the middles that were found, three times. The
// narrowest place is that of the outer width, as in Isthmus. It refuses places
// off the film, a shaft that does not lie beside the head, edges that are not
// seen, and a width that has no least value on the way.
func Neck(g Grey, head HipHead, upper, lower pt) (HipNeck, error) {
	if err := g.check(); err != nil {
		return HipNeck{}, err
	}
	r := float64(head.R)
	shaft := line{A: upper, B: lower}
	down, ok := shaft.Unit()
	along, aside, ok2 := shaft.Along(head.Centre)
	if !ok || !ok2 || !g.on(upper) || !g.on(lower) || !g.on(head.Centre) || !(r >= leastHead) || !finite(r, float64(head.Slip), float64(head.RU)) {
		return HipNeck{}, refuse("neck", "outside")
	}
	far := math.Abs(float64(aside))
	if !(far > 0.5*r && far < 6*r) || !(float64(along) < float64(geom.Dist(upper, lower))) {
		return HipNeck{}, refuse("neck", "beside")
	}
	var n HipNeck
	var err error
	for _, guess := range neckGuess {
		meet := upper.Plus(down.Times(float64(along) + far/math.Tan((180-guess)*math.Pi/180)))
		if n, err = g.neckTowards(head, meet, down); err == nil {
			break
		}
	}
	return n, err
}

// neckTowards is Neck from a first place on the axis of the neck.
func (g Grey) neckTowards(head HipHead, meet, down pt) (HipNeck, error) {
	for turn := 0; ; turn++ {
		dir, ok := (line{A: head.Centre, B: meet}).Unit()
		if !ok {
			return HipNeck{}, refuse("neck", "beside")
		}
		w := g.neckWalls(head, dir)
		if w == nil {
			return HipNeck{}, refuse("neck", "none")
		}
		if turn == 3 {
			return w.neck(head, down)
		}
		if meet, ok = w.middle(); !ok {
			return HipNeck{}, refuse("neck", "none")
		}
	}
}

// neckWalls follows the four edges of the neck along a direction.
func (g Grey) neckWalls(head HipHead, dir pt) *walls {
	r := float64(head.R)
	var path []pt
	for i := range neckLevels {
		path = append(path, head.Centre.Plus(dir.Times(r*(neckFrom+(neckTo-neckFrom)*float64(i)/(neckLevels-1)))))
	}
	half := 1.25 * r
	step := math.Min(math.Max(1, 2*half/400), math.Max(0.5, half/60))
	w := &walls{strip: g.lay(path, half, step, 3), wide: 1.35 * r / step}
	w.slopes(math.Max(1.2, 0.014*w.wide))
	for e := range 4 {
		w.fix[e] = make([]float64, w.n)
		for i := range w.n {
			w.fix[e][i] = -1
		}
	}
	w.half = make([]float64, w.n)
	w.off = make([]bool, w.n)
	for i := range w.n {
		w.half[i] = 0.68 * r / step
	}
	if !w.follow() {
		return nil
	}
	w.judge(false)
	return w
}

// waist returns the level where the outer width is least, of the measured
// levels, and how far away it can lie, in levels.
func (w *walls) waist() (valley, bool) {
	var c course
	for i := range w.n {
		if w.out[i] == "" {
			c.along = append(c.along, float64(i))
			c.width[0] = append(c.width[0], w.path[OuterRight][i]-w.path[OuterLeft][i])
		}
	}
	c.s.Levels = make([]Level, w.n)
	c.last = float64(w.n - 1)
	if len(c.along) < 16 {
		return valley{}, false
	}
	return c.valley(1.2)
}

// middle returns the middle of the neck at its narrowest, by the straight line
// through the middles of the levels about it.
func (w *walls) middle() (pt, bool) {
	v, ok := w.waist()
	if !ok {
		return pt{}, false
	}
	i, x, _ := w.mids(v.x)
	return w.place(i, x), true
}

// mids returns the level nearest to x, the middle there in columns and its
// standard uncertainty.
func (w *walls) mids(x float64) (i int, at, u float64) {
	var xs, ys []float64
	for k := range w.n {
		if d := math.Abs(float64(k) - x); d <= 8 && w.out[k] == "" {
			xs = append(xs, float64(k)-x)
			ys = append(ys, (w.path[OuterLeft][k]+w.path[OuterRight][k])/2)
		}
	}
	i = min(max(int(math.Round(x)), 0), w.n-1)
	if len(xs) < 4 {
		return i, float64(w.m-1) / 2, float64(w.m)
	}
	c, m := leastLine(xs, ys)
	ss := 0.0
	for k := range xs {
		e := ys[k] - c - m*xs[k]
		ss += e * e
	}
	n := float64(len(xs))
	return i, c, math.Sqrt(ss / math.Max(1, n-2) / math.Max(1, n/4))
}

// neck states what was found.
func (w *walls) neck(head HipHead, down pt) (HipNeck, error) {
	v, ok := w.waist()
	if !ok || !v.rises {
		return HipNeck{}, refuse("neck", "end")
	}
	b := w.block(v.x, 4, w.knee()) // more levels would be wider than the waist
	got, u := b.edge, b.u
	if !b.ok {
		return HipNeck{}, refuse("neck", "none")
	}
	i, _, mu := w.mids(v.x)
	n := HipNeck{Outer: units.Px((got[3] - got[0]) * w.step), Inner: units.Px((got[2] - got[1]) * w.step)}
	slip := math.Hypot(math.Hypot(u, mu), 0.15)
	n.Slip = units.Px(slip * w.step)
	n.OuterU, n.InnerU = units.Px(math.Hypot(slip, v.wu)*w.step), units.Px(math.Hypot(slip*1.4, v.wu)*w.step)
	var p [4]pt
	for k := range p {
		p[k] = w.place(i, got[k])
	}
	n.OuterUpper, n.Upper, n.Lower, n.OuterLower = p[0], p[1], p[2], p[3]
	if geom.Dot(p[0].Minus(p[3]), down) > 0 {
		n.OuterUpper, n.Upper, n.Lower, n.OuterLower = p[3], p[2], p[1], p[0]
	}
	mid := geom.Mid(p[0], p[3])
	far := float64(geom.Dist(mid, head.Centre))
	n.AngleDeg, ok = geom.AngleDeg(head.Centre.Minus(mid), down)
	n.AngleUDeg = math.Hypot(math.Hypot(slip*w.step, float64(head.Slip))/math.Max(far, 1)*180/math.Pi, 0.55) // a waist that is not even leans the axis (tests)
	if !ok || !(n.AngleDeg >= 90 && n.AngleDeg <= 170) || !finite(float64(n.OuterU), float64(n.InnerU), n.AngleUDeg) || !(far > 0.7*float64(head.R)) {
		return HipNeck{}, refuse("neck", "none")
	}
	return n, nil
}
