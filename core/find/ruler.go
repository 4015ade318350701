package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Scale is the graduations of a ruler between two taps. First and Last go
// into a case as evidence with Slip, chosen so that their distance has the
// doubt of Spaces spacings; what length they stand for is for a person to say,
// who sees the graduations drawn and counted.
type Scale struct {
	First    pt       `json:"first_px"`
	Last     pt       `json:"last_px"`
	Slip     units.Px `json:"slip_px"`
	Spaces   int      `json:"spaces"`       // spaces from First to Last
	Spacing  units.Px `json:"spacing_px"`   // across the graduations, in widths of a pixel
	SpacingU units.Px `json:"spacing_u_px"` // standard uncertainty
	At       []pt     `json:"at_px"`        // every graduation from First to Last, as seen
	Every    int      `json:"every"`        // every how many one is longer or stronger: 2, 5, 10; 0 if none
	Long     int      `json:"long"`         // which of At is the first longer one, when Every is not 0
	Sure     float64  `json:"sure"`         // 0…1: little when a tap lies between two graduations
}

const (
	leastSpacing = 5   // px: finer is a grid or noise
	leastTicks   = 5   // graduations, both ends counted
	shareTicks   = 0.9 // of the graduations must be seen
	longFactor   = 1.2 // a longer graduation is at least this much stronger
)

// Ruler returns the graduations along the line between two taps on a ruler,
// each on a graduation. The picture is read along the line as a strip; its
// autocorrelation gives the periods to try, the finest first; for each the
// graduations are looked for one by one, and a straight line through their
// places over their numbers gives the spacing
//
//	u(spacing) = s/√Σ(i − ī)²
//
// s being their scatter. Two strips side by side give the slant of the
// graduations against the line, and the spacing is taken across them. tall is
// the height of a pixel over its width (0: square). It refuses taps off the
// film or under 100 px apart, no period, a finer period that is only partly
// there, fewer than five graduations, and spaces that grow along the ruler.
// Source: least squares; by hand.
func Ruler(g Grey, from, to pt, tall float64) (Scale, error) {
	if err := g.check(); err != nil {
		return Scale{}, err
	}
	if !from.Finite() || !to.Finite() || !g.on(from) || !g.on(to) {
		return Scale{}, refuse("ruler", "outside")
	}
	if !(tall > 0.2 && tall < 5) {
		tall = 1
	}
	c := comb{g: g, tall: tall, a: pt{X: from.X, Y: from.Y * units.Px(tall)}}
	l := line{A: c.a, B: pt{X: to.X, Y: to.Y * units.Px(tall)}}
	c.long = float64(geom.Dist(l.A, l.B))
	var ok bool
	if c.u, ok = l.Unit(); !ok || !(c.long >= 100) {
		return Scale{}, refuse("ruler", "short", c.long, 100)
	}
	c.before = math.Min(40, 0.1*c.long)
	c.v = flatten(c.strip(0))
	return c.search()
}

// comb is a strip of film along a line of length long from a, in widths of a
// pixel, beginning before px ahead of a.
type comb struct {
	g            Grey
	tall         float64
	a, u         pt
	long, before float64
	v            []float64
}

// strip returns the grey along the line, shifted aside px to its right, as the
// mean of five lines a pixel apart, at every half pixel.
func (c comb) strip(aside float64) []float64 {
	at := func(x, y float64) float64 { return c.g.at(x, y/c.tall) }
	from := c.a.Minus(c.u.Times(c.before)).Plus(turned(c.u).Times(aside))
	return profile(at, from, c.u, int((c.long+2*c.before)*raySteps)+1, 1.0/raySteps, 5)
}

// flatten takes away what changes slowly: the mean over 30 px to either side.
func flatten(v []float64) []float64 {
	const half = 30 * raySteps
	sum := make([]float64, len(v)+1)
	for i, x := range v {
		sum[i+1] = sum[i] + x
	}
	out := make([]float64, len(v))
	for i := range v {
		lo, hi := max(i-half, 0), min(i+half+1, len(v))
		out[i] = v[i] - (sum[hi]-sum[lo])/float64(hi-lo)
	}
	return out
}

// periods returns the lags, in steps, at which the autocorrelation has a peak
// of at least a fifth of its highest, the finest first.
func periods(v []float64) []int {
	most := len(v) / 4
	r := make([]float64, most+2)
	for lag := range r {
		for i := 0; i+lag < len(v); i++ {
			r[lag] += v[i] * v[i+lag]
		}
		r[lag] /= float64(len(v) - lag)
	}
	var out []int
	top := 0.0
	for lag := leastSpacing * raySteps; lag <= most; lag++ {
		if r[lag] > r[lag-1] && r[lag] >= r[lag+1] {
			top = math.Max(top, r[lag])
		}
	}
	for lag := leastSpacing * raySteps; lag <= most; lag++ {
		if r[lag] > r[lag-1] && r[lag] >= r[lag+1] && r[lag] > 0.2*top && r[lag] > 0.05*r[0] {
			out = append(out, lag)
		}
	}
	return out
}

// search tries the periods, the finest first, and graduations that are
// brighter or darker than the ruler.
func (c comb) search() (Scale, error) {
	partly := 0.0
	for _, lag := range periods(c.v) {
		var best teeth
		for _, sign := range []float64{1, -1} {
			if t := c.teeth(c.v, float64(lag)/raySteps, sign); t.merit() > best.merit() {
				best = t
			}
		}
		switch {
		case best.share >= shareTicks && len(best.at) >= leastTicks && best.rms <= best.loose():
			if partly > 0 {
				return Scale{}, refuse("ruler", "ambiguous", partly, best.gap)
			}
			return c.state(best)
		case best.share >= 0.7 && best.rms <= best.loose() && partly == 0:
			partly = best.gap
		}
	}
	return Scale{}, refuse("ruler", "not-periodic")
}

// slant returns the tangent of the angle by which the graduations lean against
// the square of the line, from strips 3 px to either side, and its doubt.
func (c comb) slant(t teeth) (tan, u float64) {
	const off = 3
	l, r := c.teeth(flatten(c.strip(-off)), t.gap, t.sign), c.teeth(flatten(c.strip(off)), t.gap, t.sign)
	if !(l.share >= shareTicks && r.share >= shareTicks) {
		return 0, 0.03
	}
	mid := t.first + t.gap*float64(len(t.n))/2
	near := func(s teeth) float64 {
		return s.first + s.gap*math.Round((mid-s.first)/s.gap) - t.first - t.gap*math.Round((mid-t.first)/t.gap)
	}
	d := near(r) - near(l)
	d -= t.gap * math.Round(d/t.gap)
	return d / (2 * off), math.Max(t.rms, 0.03) * 2 / math.Sqrt(float64(len(t.n))) / (2 * off)
}

// grows reports whether the spaces grow along the ruler by more than 2 % from
// end to end and more than chance allows, as in a slanted photo: the spacing
// of the first half against that of the second.
func (t teeth) grows() bool {
	h := len(t.at) / 2
	if h < leastTicks {
		return false
	}
	a := teeth{n: t.n[:h], at: t.at[:h]}.through()
	b := teeth{n: t.n[h:], at: t.at[h:]}.through()
	d := math.Abs(a.gap - b.gap)
	return d > 0.01*t.gap && d > 4*math.Hypot(a.gapU, b.gapU)
}

// state writes down the graduations nearest to the taps and between them.
func (c comb) state(t teeth) (Scale, error) {
	if t.grows() {
		return Scale{}, refuse("ruler", "grows")
	}
	tan, tanU := c.slant(t)
	cos := 1 / math.Hypot(1, tan)
	first := math.Round((c.before - t.first) / t.gap)
	last := math.Round((c.before + c.long - t.first) / t.gap)
	n := last - first
	if !(n >= leastTicks-1) {
		return Scale{}, refuse("ruler", "few", n+1, leastTicks)
	}
	place := func(along float64) pt {
		p := c.a.Plus(c.u.Times(along - c.before))
		return pt{X: p.X, Y: p.Y / units.Px(c.tall)}
	}
	// across the graduations: turned by the slant from the line
	across := c.u.Plus(turned(c.u).Times(-tan)).Times(cos)
	gap, gapU := t.gap*cos, math.Hypot(t.gapU, t.gap*math.Max(math.Abs(tan), tanU)*tanU)
	out := Scale{Spaces: int(n), Spacing: units.Px(gap), SpacingU: units.Px(gapU), Slip: units.Px(gapU * n / math.Sqrt2)}
	out.First = place(t.first + first*t.gap)
	end := c.a.Plus(c.u.Times(t.first + first*t.gap - c.before)).Plus(across.Times(gap * n))
	out.Last = pt{X: end.X, Y: end.Y / units.Px(c.tall)}
	for i, k := range t.n {
		if k >= first && k <= last {
			out.At = append(out.At, place(t.at[i]))
		}
	}
	out.Every, out.Long = t.longer(first, last)
	off := math.Max(math.Abs(t.first+first*t.gap-c.before), math.Abs(t.first+last*t.gap-c.before-c.long)) / t.gap
	out.Sure = t.share * math.Max(0, 1-1.6*off)
	if !finite(float64(out.Last.X), float64(out.Last.Y), gapU, out.Sure) || len(out.At) == 0 {
		return Scale{}, refuse("ruler", "not-periodic")
	}
	return out, nil
}
