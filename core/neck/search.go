package neck

import "math"

// How the search goes: it looks at turns this far to either side of the
// middle in steps, then closes in by golden section. An oval neck of usual
// length balances front and back well within it.
const (
	searchTurn  = 24 * math.Pi / 180
	searchSteps = 24
	golden      = 0.6180339887498949
	fine        = 1e-7 // radians
	coarse      = 5e-4 // radians, 0.03 degrees: for doubts
	fineGap     = 1e-9 // millimetres
	coarseGap   = 1e-6 // millimetres: for doubts
)

// A spot is a depth and a turn, and the smallest margin beyond its clearance.
type spot struct{ depth, turn, room float64 }

// better reports whether a spot has more room; NaN never has.
func (a spot) better(b spot) bool { return a.room > b.room }

// solve returns the best spot of a scene.
func (s *scene) solve(seat Seat) (spot, bool) {
	mid := s.middle()
	const step = 2 * searchTurn / searchSteps
	best, at := spot{room: math.Inf(-1)}, 0
	for i := range searchSteps + 1 {
		if p := s.best(mid-searchTurn+float64(i)*step, seat); p.better(best) {
			best, at = p, i
		}
	}
	if math.IsInf(best.room, -1) {
		return spot{}, false
	}
	turn := mid - searchTurn + float64(at)*step
	p := s.close(turn-step, turn+step, seat, fine)
	if best.better(p) {
		p = best
	}
	return p, finite(p.depth) && finite(p.turn) && finite(p.room)
}

// near returns the best spot of a scene that differs little from another
// whose best turn, less its middle, is known.
func (s *scene) near(offset float64, seat Seat) spot {
	const aside = 3 * math.Pi / 180
	s.gap = coarseGap
	turn := s.middle() + offset
	p := s.close(turn-aside, turn+aside, seat, coarse)
	if math.Abs(p.turn-turn) < 0.98*aside {
		return p
	}
	if q, ok := s.solve(seat); ok {
		return q
	}
	return p
}

// close returns the best spot between two turns, by golden section.
func (s *scene) close(lo, hi float64, seat Seat, tol float64) spot {
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	pa, pb := s.best(a, seat), s.best(b, seat)
	for hi-lo > tol {
		if pa.better(pb) {
			hi, b, pb = b, a, pa
			a = hi - golden*(hi-lo)
			pa = s.best(a, seat)
			continue
		}
		lo, a, pa = a, b, pb
		b = lo + golden*(hi-lo)
		pb = s.best(b, seat)
	}
	if pa.better(pb) {
		return pa
	}
	return pb
}

// best returns the best depth for one turn.
func (s *scene) best(turn float64, seat Seat) spot {
	c := s.section(turn)
	if !(c.gy < -0.05) {
		return spot{turn: turn, room: math.Inf(-1)}
	}
	if seat == AlongLower {
		d := c.deepest()
		v, _ := c.least(d, true)
		return spot{d, turn, v}
	}
	d := c.roomiest()
	v, _ := c.least(d, false)
	if v < 0 { // else the lower screw has its clearance
		d = math.Min(d, c.deepest())
		v, _ = c.least(d, false)
	}
	return spot{d, turn, v}
}

// deepest returns the depth at which the lower screw has exactly its
// clearance to the lower wall, by Newton's method at each end of the stretch.
func (c *section) deepest() float64 {
	out := math.Inf(1)
	for i := range 2 {
		low := c.y0[i] - c.out[i][0] - c.keep[1]
		d := -(low + c.a) / c.gy // not above it, and from there Newton comes up step by step
		for range 30 {
			high, slope := half(c.a, c.b, c.x0[i]+c.gx*d)
			// It falls with depth; a steep wall must not make Newton leap.
			step := (high + low + c.gy*d) / math.Min(slope*c.gx+c.gy, c.gy/4)
			d -= step
			if math.Abs(step) < c.gap {
				break
			}
		}
		out = math.Min(out, d)
	}
	return out
}

// roomiest returns the depth with the largest smallest margin. While all axes
// lie inside the oval, margins are concave in depth: a tangent that rises and
// one that falls bound the top from above, and the search ends where a margin
// meets that bound. Source: cutting planes in one dimension. Where no depth
// keeps all axes inside, nothing fits, and the search halves by the sign of
// the slope, which is near enough.
func (c *section) roomiest() float64 {
	shallow, deep := math.Inf(-1), math.Inf(1)
	for i := range c.count {
		shallow, deep = narrow(shallow, deep, c.y0[i], c.gy, c.a)
		shallow, deep = narrow(shallow, deep, c.x0[i], c.gx, c.b)
	}
	if shallow <= deep {
		return c.between(c.touch(shallow), c.touch(deep))
	}
	span := (2*c.a + 2*spacingHi) / -c.gy
	lo, hi := deep-span, shallow+span
	for hi-lo > c.gap {
		d := (lo + hi) / 2
		if d <= lo || d >= hi {
			break
		}
		if c.touch(d).g > 0 {
			lo = d
			continue
		}
		hi = d
	}
	return (lo + hi) / 2
}

// narrow cuts a stretch of depths down to those at which an axis lies just
// inside the oval: −w < at + g·d < w.
func narrow(lo, hi, at, g, w float64) (float64, float64) {
	w *= 0.9999
	if math.Abs(g) < 1e-9 {
		if math.Abs(at) > w {
			return hi, lo - 1 // none
		}
		return lo, hi
	}
	a, b := (-w-at)/g, (w-at)/g
	return math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
}

// A tangent is the least margin v at the depth d, and its slope g.
type tangent struct{ d, v, g float64 }

func (c *section) touch(d float64) tangent {
	v, g := c.least(d, false)
	return tangent{d, v, g}
}

// between returns the top between two tangents, at one of them if it rises or
// falls all the way.
func (c *section) between(lo, hi tangent) float64 {
	if lo.g <= 0 {
		return lo.d
	}
	if hi.g >= 0 {
		return hi.d
	}
	best := lo
	for k := 0; k < 100 && hi.d-lo.d > c.gap; k++ {
		d := (hi.v - lo.v + lo.g*lo.d - hi.g*hi.d) / (lo.g - hi.g)
		bound := lo.v + lo.g*(d-lo.d)
		halve := !(d > lo.d && d < hi.d) || k%4 == 3
		if halve {
			d = (lo.d + hi.d) / 2
		}
		t := c.touch(d)
		if t.v > best.v {
			best = t
		}
		if !halve && bound-t.v < c.gap {
			break
		}
		if t.g > 0 {
			lo = t
			continue
		}
		hi = t
	}
	return best.d
}
