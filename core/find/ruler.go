package find

import (
	"math"
	"slices"

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

// teeth are graduations: their numbers and places along the strip, in px, and
// the straight line through them.
type teeth struct {
	n           []float64
	at, high    []float64
	first, gap  float64 // place of number 0, and spacing
	rms, gapU   float64
	share, sign float64 // of the places where one should be
	from, to    float64 // the taps
	wide        float64 // mean width
}

// loose is how far graduations may scatter about an even row.
func (t teeth) loose() float64 { return math.Max(0.35, 0.04*t.gap) }

// merit is large for many even graduations that are narrower than the spaces
// and near which the taps lie: it tells graduations from the spaces between.
func (t teeth) merit() float64 {
	if len(t.at) == 0 {
		return 0
	}
	off := math.Abs(math.Remainder(t.from-t.first, t.gap)) + math.Abs(math.Remainder(t.to-t.first, t.gap))
	return t.share * float64(len(t.at)) / math.Max(1, 3*t.rms) * math.Max(0.01, 1-t.wide/t.gap) * (1 - off/t.gap*0.7)
}

// teeth looks for a graduation at every period, starting from the phase at
// which the strip is highest, and follows them from there.
func (c comb) teeth(v []float64, gap, sign float64) teeth {
	best, score := 0.0, math.Inf(-1)
	for p := 0.0; p < gap; p += 0.5 {
		sum := 0.0
		for x := p; int(x*raySteps) < len(v); x += gap {
			sum += sign * v[int(x*raySteps)]
		}
		if sum > score {
			best, score = p, sum
		}
	}
	t := teeth{first: best, gap: gap, sign: sign, from: c.before, to: c.before + c.long}
	for range 4 {
		t = t.look(v)
		if len(t.at) < leastTicks {
			return teeth{}
		}
	}
	return t
}

// look finds each graduation near where the line through the last ones says,
// and lays a new line. A graduation must stand out of the middles of the
// spaces by three times their scatter.
func (t teeth) look(v []float64) teeth {
	at := func(x float64) float64 {
		i := int(x * raySteps)
		if i < 0 || i+1 >= len(v) {
			return 0
		}
		f := x*raySteps - float64(i)
		return t.sign * (v[i]*(1-f) + v[i+1]*f)
	}
	end := float64(len(v)-1) / raySteps
	n := int((end - t.first) / t.gap)
	var mid []float64
	for k := -1; k <= n; k++ {
		if x := t.first + (float64(k)+0.5)*t.gap; x > 0 && x < end {
			mid = append(mid, at(x))
		}
	}
	if len(mid) < leastTicks-1 {
		return teeth{}
	}
	slices.Sort(mid)
	base := mid[len(mid)/2]
	grain := (mid[len(mid)*3/4] - mid[len(mid)/4]) / 1.349
	out := teeth{first: t.first, gap: t.gap, sign: t.sign, from: t.from, to: t.to}
	places := 0.0
	for k := range n + 1 {
		want := t.first + float64(k)*t.gap
		if want < t.from-0.6*t.gap || want > t.to+0.6*t.gap || want < 0.5*t.gap || want > end-0.5*t.gap {
			continue // the taps are on graduations: beyond them there may be none
		}
		places++
		if x, high, wide, ok := top(at, want, 0.35*t.gap); ok && high-base > 3*grain {
			out.wide += wide
			out.n, out.at, out.high = append(out.n, float64(k)), append(out.at, x), append(out.high, high-base)
		}
	}
	out.wide /= math.Max(1, float64(len(out.at)))
	out.weed()
	out.share = float64(len(out.at)) / math.Max(places, 1)
	return out.through()
}

// weed drops what is less than a quarter as strong as the middle one.
func (t *teeth) weed() {
	if len(t.high) == 0 {
		return
	}
	least := slices.Sorted(slices.Values(t.high))[len(t.high)/2] / 4
	k := 0
	for i, h := range t.high {
		if h >= least {
			t.n[k], t.at[k], t.high[k] = t.n[i], t.at[i], h
			k++
		}
	}
	t.n, t.at, t.high = t.n[:k], t.at[:k], t.high[:k]
}

// top returns the middle of a bump near a place: the peak, and round it the
// centre of what rises above half way, over its own width.
func top(at func(float64) float64, want, reach float64) (x, high, wide float64, ok bool) {
	peak, low := want, math.Inf(1)
	high = math.Inf(-1)
	for d := -reach; d <= reach; d += 0.25 {
		y := at(want + d)
		if y > high {
			peak, high = want+d, y
		}
		low = math.Min(low, y)
	}
	level := (high + low) / 2
	l, r := peak, peak
	for l > want-2*reach && at(l) > level {
		l -= 0.05
	}
	for r < want+2*reach && at(r) > level {
		r += 0.05
	}
	return (l + r) / 2, high, r - l, high > low && r-l < 3*reach && math.Abs((l+r)/2-want) < 1.2*reach
}

// through lays the straight line through the places.
func (t teeth) through() teeth {
	k := float64(len(t.at))
	if k < leastTicks {
		return teeth{}
	}
	mn, mx := 0.0, 0.0
	for i := range t.at {
		mn, mx = mn+t.n[i]/k, mx+t.at[i]/k
	}
	nn, nx := 0.0, 0.0
	for i := range t.at {
		nn += (t.n[i] - mn) * (t.n[i] - mn)
		nx += (t.n[i] - mn) * (t.at[i] - mx)
	}
	t.gap = nx / nn
	t.first = mx - t.gap*mn
	ss := 0.0
	for i := range t.at {
		e := t.at[i] - t.first - t.gap*t.n[i]
		ss += e * e
	}
	t.rms = math.Sqrt(ss / (k - 2))
	t.gapU = 1.2 * math.Max(t.rms, 0.03) / math.Sqrt(nn) // 1.2: neighbours share grain
	if !finite(t.gap, t.first, t.rms) || !(t.gap >= leastSpacing-1) {
		return teeth{}
	}
	return t
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

// longer returns every how many graduations one is stronger, and which of those
// from first to last is the first such.
func (t teeth) longer(first, last float64) (every, which int) {
	for _, m := range []int{10, 5, 2} {
		for k := range m {
			weakest, others, seen := math.Inf(1), 0.0, -1
			long, i := 0, 0
			for j, n := range t.n {
				is := (int(n)-k)%m == 0
				if is {
					weakest = math.Min(weakest, t.high[j])
					long++
				} else {
					others = math.Max(others, t.high[j])
				}
				if n < first || n > last {
					continue
				}
				if is && seen < 0 {
					seen = i
				}
				i++
			}
			if long >= 2 && seen >= 0 && weakest > longFactor*others {
				return m, seen
			}
		}
	}
	return 0, 0
}
