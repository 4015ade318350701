package find

import (
	"cmp"
	"math"
	"slices"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A side is a straight edge between two corners.
type side struct {
	l     line
	on    []pt
	s     float64 // scatter of the points across the line
	end   float64 // standard uncertainty across the line at its ends
	share float64 // of the rays that show the edge on the line
}

// sideOf looks for the edge from a to b within reach px to either side, away
// from the corners, and lays a line through what it finds.
func sideOf(g Grey, a, b pt, reach float64) (side, bool) {
	l := line{A: a, B: b}
	u, ok := l.Unit()
	if !ok {
		return side{}, false
	}
	long := float64(geom.Dist(a, b))
	n := int(math.Min(sidePoints, long/3))
	if n < 6 {
		return side{}, false
	}
	best, grain := side{}, g.grainAt(geom.Mid(a, b), 32)
	for _, sign := range []float64{1, -1} {
		at := func(x, y float64) float64 { return sign * g.at(x, y) }
		var along, aside []float64
		for i := range n {
			x := long * (0.05 + 0.9*(float64(i)+0.5)/float64(n))
			from := a.Plus(u.Times(x)).Minus(turned(u).Times(reach))
			v := profile(at, from, turned(u), int(2*reach*raySteps)+1, 1.0/raySteps, 3)
			if y, fall, ok := steepest(v, reach, reach, 0); ok && 3*fall > leastStep*grain {
				along, aside = append(along, x), append(aside, y-reach)
			}
		}
		if s, ok := straight(l, u, along, aside, n); ok && s.share > best.share {
			best = s
		}
	}
	return best, best.share >= leastSide
}

// grainAt returns the noise of the film in a square of a few px about a place.
func (g Grey) grainAt(p pt, reach float64) float64 {
	r := math.Max(reach, 8)
	return g.noise(int(float64(p.X)-r), int(float64(p.Y)-r), int(float64(p.X)+r), int(float64(p.Y)+r))
}

// straight lays the line y = c + m·x through places along and aside of a line,
// dropping what lies further off than 3.5 robust standard deviations (at least
// 0.5 px), starting from the middle of the slopes between far points.
func straight(l line, u pt, x, y []float64, n int) (side, bool) {
	if len(x) < 6 {
		return side{}, false
	}
	c, m := startLine(x, y)
	var kx, ky []float64
	for range 5 {
		off := make([]float64, len(x))
		for i := range x {
			off[i] = math.Abs(y[i] - c - m*x[i])
		}
		lim := math.Max(0.5, 3.5*1.4826*slices.Sorted(slices.Values(off))[len(off)/2])
		kx, ky = kx[:0], ky[:0]
		for i := range x {
			if off[i] <= lim {
				kx, ky = append(kx, x[i]), append(ky, y[i])
			}
		}
		if len(kx) < 6 {
			return side{}, false
		}
		c, m = leastLine(kx, ky)
	}
	ss, k := 0.0, float64(len(kx))
	s := side{share: k / float64(n)}
	for i := range kx {
		e := ky[i] - c - m*kx[i]
		ss += e * e
		s.on = append(s.on, l.A.Plus(u.Times(kx[i])).Plus(turned(u).Times(ky[i])))
	}
	s.s = math.Max(0.1, math.Sqrt(ss/(k-2)))
	s.end = s.s * math.Sqrt(4/k) * 1.5 // 1.5: neighbours share grain, and edges bow a little
	s.l = line{A: l.A.Plus(turned(u).Times(c)), B: l.A.Plus(u.Times(100)).Plus(turned(u).Times(c + 100*m))}
	return s, finite(c, m, s.s) && s.s < 4
}

// startLine returns a line that a third of wrong points does not move: the
// median slope over pairs half the way apart, and the median offset (Theil).
func startLine(x, y []float64) (c, m float64) {
	var ms, cs []float64
	for i := range x {
		for j := i + len(x)/3; j < len(x); j++ {
			if d := x[j] - x[i]; d > 0 {
				ms = append(ms, (y[j]-y[i])/d)
			}
		}
	}
	if len(ms) > 0 {
		slices.Sort(ms)
		m = ms[len(ms)/2]
	}
	for i := range x {
		cs = append(cs, y[i]-m*x[i])
	}
	slices.Sort(cs)
	return cs[len(cs)/2], m
}

// leastLine returns the line of least squares.
func leastLine(x, y []float64) (c, m float64) {
	n, mx, my := float64(len(x)), 0.0, 0.0
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	xx, xy := 0.0, 0.0
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
	}
	if xx > 0 {
		m = xy / xx
	}
	return my - m*mx, m
}

// snapReach bounds how far a tap is moved.
const snapReach = 60

// SnapEdge returns the nearest strong edge to a tap, within reach px (0 stands
// for 12; at most 60). Rays go out all round, or only along dir and against it
// when dir has a length; the steepest place of each counts less the further it
// is. There the edge is looked for once more, square to itself. The slip is
// that of the steepest place of a blurred step in this film's grain,
//
//	u = 0.2 · σ(grain) / slope, at least 0.1 px
//
// (0.2: found by trials, see the tests). It refuses a tap off the film, no
// edge of four times the grain, and two edges that are equally strong and near.
func SnapEdge(g Grey, at pt, dir pt, reach units.Px) (Edge, error) {
	if err := g.check(); err != nil {
		return Edge{}, err
	}
	if !at.Finite() || !g.on(at) {
		return Edge{}, refuse("edge", "outside")
	}
	if !(reach >= 2 && reach <= snapReach) {
		reach = 12
	}
	var all []nearEdge
	grain := g.grainAt(at, float64(reach)+6)
	for _, u := range rays(dir) {
		if e, ok := g.edgeOn(at, u, float64(reach)); ok && 3*e.fall > 4*grain {
			all = append(all, e)
		}
	}
	if len(all) == 0 {
		return Edge{}, refuse("edge", "no-edge")
	}
	slices.SortStableFunc(all, func(a, b nearEdge) int { return cmp.Compare(b.score, a.score) })
	best := g.square(all[0])
	out := Edge{At: best.at, Slip: units.Px(math.Max(0.1, 0.2*grain/best.fall)), Sure: math.Max(0, 1-best.rival(all[1:])/all[0].score)}
	if !g.on(out.At) || !finite(float64(out.Slip), out.Sure) || geom.Dist(out.At, at) > reach+3 {
		return Edge{}, refuse("edge", "no-edge")
	}
	if out.Sure < 0.1 {
		return Edge{}, refuse("edge", "two")
	}
	return out, nil
}

type nearEdge struct {
	at, u       pt
	fall, score float64
}

// rival returns how much the best edge counts that does not lie along this one.
func (e nearEdge) rival(all []nearEdge) (most float64) {
	for _, o := range all {
		if along, _, ok := (line{A: e.at, B: e.at.Plus(e.u)}).Along(o.at); ok && math.Abs(float64(along)) > 3 {
			most = math.Max(most, o.score)
		}
	}
	return most
}

func rays(dir pt) (out []pt) {
	if u, ok := (line{B: dir}).Unit(); ok {
		return []pt{u, u.Times(-1)}
	}
	for k := range 32 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 32)
		out = append(out, px(cos, sin))
	}
	return out
}

// edgeOn returns the edge that counts most along a ray; it starts a little
// behind the tap, so that an edge under the tap is seen.
func (g Grey) edgeOn(at, u pt, reach float64) (e nearEdge, ok bool) {
	const back = 5
	from := at.Minus(u.Times(back))
	v := profile(g.at, from, u, int((reach+2*back)*raySteps)+1, 1.0/raySteps, 3)
	for _, sign := range []float64{1, -1} {
		w := make([]float64, len(v))
		for i := range v {
			w[i] = sign * v[i]
		}
		x, fall, found := steepest(w, back, 0.7*reach, 0)
		if d := (x - back) / (0.7 * reach); found && x >= back-2 && fall*math.Exp(-d*d/2) > e.score {
			e, ok = nearEdge{from.Plus(u.Times(x)), u.Times(sign), fall, fall * math.Exp(-d*d/2)}, true
		}
	}
	return e, ok
}

// square turns the ray square to the edge and looks once more.
func (g Grey) square(e nearEdge) nearEdge {
	dx, dy := 0.0, 0.0
	for j := -3; j <= 3; j++ {
		for i := -3; i <= 3; i++ {
			x, y := float64(e.at.X)+float64(i), float64(e.at.Y)+float64(j)
			w := math.Exp(-float64(i*i+j*j) / 8)
			dx += w * (g.at(x+1, y) - g.at(x-1, y))
			dy += w * (g.at(x, y+1) - g.at(x, y-1))
		}
	}
	u, ok := (line{B: px(-dx, -dy)}).Unit() // towards the dark
	if !ok {
		return e
	}
	const half = 7
	v := profile(g.at, e.at.Minus(u.Times(half)), u, 2*half*raySteps+1, 1.0/raySteps, 5)
	if x, fall, ok := steepest(v, half, 2, 0); ok && math.Abs(x-half) < 3 {
		e.at, e.u, e.fall = e.at.Plus(u.Times(x-half)), u, fall
	}
	return e
}

// SnapCorner returns the corner nearest to a tap, where two straight edges
// meet at 30° or more, within 24 px. It refuses a tap off the film and a place
// without such a corner.
func SnapCorner(g Grey, near pt) (Edge, error) {
	if err := g.check(); err != nil {
		return Edge{}, err
	}
	if !near.Finite() || !g.on(near) {
		return Edge{}, refuse("corner", "outside")
	}
	const half, within = 64, 24
	sub, x0, y0 := g.Sub(int(near.X)-half, int(near.Y)-half, int(near.X)+half+1, int(near.Y)+half+1)
	if sub.Width < 24 || sub.Height < 24 {
		return Edge{}, refuse("corner", "no-corner")
	}
	s := newSeeker(sub.bright().smooth(1.5))
	tap := near.Minus(px(float64(x0), float64(y0)))
	ls := s.streaks(8)
	best, score := Edge{}, 0.0
	for i, a := range ls {
		for _, b := range ls[:i] {
			p, ok := geom.Meet(a.line(), b.line())
			if c := a.cos*b.cos + a.sin*b.sin; !ok || math.Abs(c) > 0.866 || !(geom.Dist(p, tap) <= within) {
				continue
			}
			e, ok := sub.corner(s, p, a, b)
			if v := e.Sure * math.Exp(-float64(geom.Dist(p, tap))/within); ok && v > score {
				best, score = e, v
			}
		}
	}
	best.At = best.At.Plus(px(float64(x0), float64(y0)))
	if !(score > 0) || !g.on(best.At) {
		return Edge{}, refuse("corner", "no-corner")
	}
	return best, nil
}

// corner looks along the better arm of each line at full size.
func (g Grey) corner(s seeker, p pt, a, b streak) (Edge, bool) {
	var arm [2]side
	for i, k := range []streak{a, b} {
		u := px(-k.sin, k.cos)
		to, back := p.Plus(u.Times(50)), p.Minus(u.Times(50))
		if s.seen(p, back) > s.seen(p, to) {
			to = back
		}
		var ok bool
		if arm[i], ok = sideOf(g, p, to, 5); !ok {
			return Edge{}, false
		}
	}
	at, ok := geom.Meet(arm[0].l, arm[1].l)
	c := math.Abs(a.cos*b.cos + a.sin*b.sin)
	slip := math.Hypot(arm[0].end, arm[1].end) / math.Sqrt(1-c*c)
	return Edge{At: at, Slip: units.Px(slip), Sure: math.Min(arm[0].share, arm[1].share)}, ok && float64(geom.Dist(at, p)) < 10
}
