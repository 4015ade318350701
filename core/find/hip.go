package find

import (
	"math"
	"slices"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A HipHead is the circle of a femoral head.
type HipHead struct {
	Centre pt       `json:"centre_px"`
	R      units.Px `json:"r_px"`
	RU     units.Px `json:"r_u_px"`  // standard uncertainty of the radius
	Slip   units.Px `json:"slip_px"` // of each coordinate of the centre
	Rim    []pt     `json:"rim_px"`  // places of the rim that were seen, at most 96
	Seen   float64  `json:"seen"`    // share of the rim that lies on the circle
}

// Limits of a head.
const (
	leastHead    = 10   // px, radius
	headRays     = 96   //
	leastHeadRim = 0.6  // of the rays: the neck takes a quarter; circles over no head reach 0.58 (real films, tests)
	vagueHead    = 0.05 // of the radius, its standard uncertainty
	headBand     = 0.14 // of the radius, to each side, where the rim is looked for
)

// Head returns the circle of the femoral head about a tap inside of it. Every
// circle whose middle lies within 0.6 of its radius from the tap is asked how
// often the grey falls across it outwards; the best are looked at along 96
// rays, and a circle is laid through the places that agree (geom.FitCircle,
// least squares after places over 2 % of the radius off are dropped). A part
// of the rim is enough. The true rim is then found from the form of the mean
// fall, a ball with a shell (see form). It refuses a tap off the film, a rim
// seen on less than 60 %, a radius that is known to 5 % only, and two circles
// that are about as good.
func Head(g Grey, tap pt) (HipHead, error) {
	if err := g.check(); err != nil {
		return HipHead{}, err
	}
	if !tap.Finite() || !g.on(tap) {
		return HipHead{}, refuse("head", "outside")
	}
	var best []HipHead
	for _, c := range g.headStarts(tap) {
		if slices.ContainsFunc(best, c.leadsTo) {
			continue
		}
		if h, ok := g.headAt(c); ok {
			best = append(best, h)
		}
	}
	if len(best) == 0 {
		return HipHead{}, refuse("head", "none")
	}
	slices.SortStableFunc(best, func(a, b HipHead) int { return int(1e6 * (b.Seen - a.Seen)) })
	h := best[0]
	if !(h.Seen >= leastHeadRim) {
		return HipHead{}, refuse("head", "broken", 100*h.Seen, 100*leastHeadRim)
	}
	shift, u := g.headForm(h.Centre, float64(h.R), h.Rim)
	h.R, h.RU = h.R+units.Px(shift), units.Px(math.Hypot(float64(h.RU), u))
	if !(float64(h.RU) <= vagueHead*float64(h.R)) {
		return HipHead{}, refuse("head", "vague", float64(h.RU), vagueHead*float64(h.R))
	}
	for _, o := range best[1:] {
		if float64(geom.Dist(o.Centre, h.Centre))+math.Abs(float64(o.R-h.R)) > 0.12*float64(h.R) && o.Seen > 0.85*h.Seen {
			return HipHead{}, refuse("head", "two")
		}
	}
	return h, nil
}

type start struct {
	c     pt
	r     float64
	score float64
}

// leadsTo reports whether a start lies so near a head that is seen well that
// it would end there.
func (s start) leadsTo(h HipHead) bool {
	return h.Seen >= leastHeadRim && float64(geom.Dist(s.c, h.Centre))+math.Abs(s.r-float64(h.R)) < 0.25*float64(h.R)
}

// headStarts returns the circles that the grey falls across most evenly, best
// first and apart from each other.
func (g Grey) headStarts(tap pt) []start {
	var all []start
	most := 0.4 * float64(min(g.Width, g.Height))
	small := map[int]plane{}
	for r := float64(leastHead); r <= most; r *= 1.07 {
		k := 1
		for r/float64(2*k) >= 16 {
			k *= 2
		}
		p, ok := small[k]
		if !ok {
			p = g.shrink(k, k).smooth(0.8)
			small[k] = p
		}
		all = append(all, p.circles(tap, r, k)...)
	}
	slices.SortStableFunc(all, func(a, b start) int {
		if a.score > b.score {
			return -1
		} else if a.score < b.score {
			return 1
		}
		return 0
	})
	var out []start
	var size [16]int // how many of about one size: specks and the field fill none but theirs
	for _, s := range all {
		near, k := false, min(int(math.Log2(s.r/leastHead)), len(size)-1)
		for _, o := range out {
			near = near || float64(geom.Dist(s.c, o.c))+math.Abs(s.r-o.r) < 0.15*o.r
		}
		if !near && (len(out) < 6 || size[k] < 2) {
			out = append(out, s)
			size[k]++
		}
	}
	return out
}

// circles scores the circles of one radius about the tap, on the film shrunk
// k times.
func (p plane) circles(tap pt, r float64, k int) (out []start) {
	const rays = 48
	step := r / 7
	for dy := -4; dy <= 4; dy++ {
		for dx := -4; dx <= 4; dx++ {
			if dx*dx+dy*dy > 17 {
				continue
			}
			c := tap.Plus(px(float64(dx)*step, float64(dy)*step))
			off := float64(k-1) / 2
			x, y, q := (float64(c.X)-off)/float64(k), (float64(c.Y)-off)/float64(k), r/float64(k)
			if x < 0 || y < 0 || x > float64(p.w-1) || y > float64(p.h-1) {
				continue
			}
			var fall [rays]float64
			sum, scale := 0.0, 0.0
			for i := range fall {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / rays)
				at := func(f float64) float64 { return p.at(x+f*q*cos, y+f*q*sin) }
				fall[i] = at(0.96) + at(0.9) - at(1.04) - at(1.1)
				scale += math.Abs(fall[i]) / rays
			}
			for _, f := range fall {
				sum += math.Max(-0.5, math.Min(1, f/math.Max(scale, 1e-9))) / rays
			}
			out = append(out, start{c, r, sum})
		}
	}
	return out
}

// headAt refines a start: rays and circle, not yet form. It reports false where no circle
// settles.
func (g Grey) headAt(s start) (h HipHead, ok bool) {
	c, r := s.c, s.r
	var on []pt
	for turn := range 6 {
		band := headBand
		if turn > 2 {
			band = 0.07
		}
		rim := g.rim(c, r, band)
		circle, good := agreed(rim, 0.02)
		if !good {
			return h, false
		}
		on = nearest(rim, circle, 0.025)
		c, r = circle.Centre, float64(circle.R)
		if !(r >= leastHead) || !(r < 4*s.r) || !(float64(geom.Dist(c, s.c)) < 0.5*s.r) || len(on) < 12 {
			return h, false
		}
	}
	seen := float64(len(on)) / headRays
	c, r, on = closer(c, r, on)
	h = HipHead{Centre: c, R: units.Px(r), Rim: on, Seen: seen}
	ss := 0.0
	for _, p := range on {
		d := float64(geom.Dist(p, c)) - r
		ss += d * d
	}
	rms := math.Sqrt(ss / float64(len(on)-3))
	spread, across := spreads(c, on)
	h.RU = units.Px(rms * spread)
	h.Slip = units.Px(math.Hypot(1.5*rms*across, 0.1))
	return h, finite(float64(h.R), float64(h.RU), float64(h.Slip)) && h.R > 0
}

// rim returns the places where the grey falls most along rays, within a band
// of the radius.
func (g Grey) rim(c pt, r, band float64) (out []pt) {
	step := math.Max(0.5, r/80)
	n := int(2*band*r/step) + 1
	if n < 7 {
		n = 7
	}
	grain := g.grainAt(c, r/2)
	for i := range headRays {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / headRays)
		u := px(cos, sin)
		from := c.Plus(u.Times(r - step*float64(n-1)/2))
		if !g.on(from.Plus(u.Times(step * float64(n-1)))) {
			continue
		}
		v := profile(g.at, from, u, n, step, math.Max(3, r/20))
		best, at := 0.0, 0.0
		for j := 2; j+2 < n; j++ {
			d := func(j int) float64 {
				j = min(max(j, 2), n-3)
				return (2*v[j-2] + v[j-1] - v[j+1] - 2*v[j+2]) / 10
			}
			if x := d(j); x > best {
				best, at = x, float64(j)
				if a, b := d(j-1), d(j+1); a+b < 2*x {
					at += (a - b) / (2 * (a - 2*x + b))
				}
			}
		}
		if best > 0.5*grain && at > 2.5 && at < float64(n)-3.5 {
			out = append(out, from.Plus(u.Times(at*step)))
		}
	}
	return out
}

// agreed returns the circle that most places lie on, within tol of its radius:
// of many circles through three of them, then by least squares.
func agreed(p []pt, tol float64) (geom.Circle[units.Px], bool) {
	var best geom.Circle[units.Px]
	most := 0
	near := func(c geom.Circle[units.Px], q pt) bool {
		return math.Abs(float64(geom.Dist(q, c.Centre)-c.R)) <= math.Max(0.8, tol*float64(c.R))
	}
	n := len(p)
	if n < 12 {
		return best, false
	}
	for i := range 120 {
		a, b := i%n, (i*7+n/3)%n
		c, err := geom.CircleThrough(p[a], p[b], p[(i*13+2*n/3)%n])
		if err != nil {
			continue
		}
		k := 0
		for _, q := range p {
			if near(c, q) {
				k++
			}
		}
		if k > most {
			most, best = k, c
		}
	}
	for range 4 {
		var on []pt
		for _, q := range p {
			if near(best, q) {
				on = append(on, q)
			}
		}
		c, err := geom.FitCircle(on)
		if len(on) < 12 || err != nil {
			return best, false
		}
		best = c
	}
	return best, true
}

// nearest returns the places that lie within a share of the radius of a circle,
// and at least within a pixel.
func nearest(rim []pt, c geom.Circle[units.Px], share float64) (on []pt) {
	for _, p := range rim {
		if math.Abs(float64(geom.Dist(p, c.Centre)-c.R)) <= math.Max(1, share*float64(c.R)) {
			on = append(on, p)
		}
	}
	return on
}

// closer lays the circle again through the places that lie within 2.5 robust
// standard deviations of it: where the neck begins the rim leaves it slowly.
func closer(c pt, r float64, on []pt) (pt, float64, []pt) {
	circle := geom.Circle[units.Px]{Centre: c, R: units.Px(r)}
	for range 3 {
		var off []float64
		for _, p := range on {
			off = append(off, math.Abs(float64(geom.Dist(p, circle.Centre)-circle.R)))
		}
		near := nearest(on, circle, 2.5*1.4826*median(off)/math.Max(1, r))
		next, err := geom.FitCircle(near)
		if err != nil || len(near) < max(12, len(on)*2/3) {
			break
		}
		circle, on = next, near
	}
	return circle.Centre, float64(circle.R), append([]pt(nil), on...)
}

// spreads returns the standard uncertainties of the radius and of a coordinate
// of the middle of a circle laid through places, for those of a place: with t
// the direction of each place, the roots of the diagonal of the inverse of
// Σ(1, cos t, sin t)ᵀ(1, cos t, sin t). Part of a rim says less.
// Source: least squares; by hand.
func spreads(c pt, on []pt) (radius, middle float64) {
	var m [3][4]float64
	for _, p := range on {
		d, _ := (line{A: c, B: p}).Unit()
		row := [3]float64{1, float64(d.X), float64(d.Y)}
		for i := range 3 {
			for j := range 3 {
				m[i][j] += row[i] * row[j]
			}
		}
	}
	u := [3]float64{1, 1, 1}
	for i := range u {
		b := m
		b[i][3] = 1
		if x, ok := solve(b); ok {
			u[i] = math.Sqrt(math.Max(0, x[i]))
		}
	}
	return u[0], math.Max(u[1], u[2])
}

// headForm returns how far the rim lies outside the circle through the
// steepest places, and its doubt: the mean fall over the rays that agree, as
// that of a ball with a shell.
func (g Grey) headForm(c pt, r float64, on []pt) (shift, u float64) {
	step := math.Max(1, r/120)
	r0 := 0.8 * r
	n := int(0.36*r/step) + 1
	v := make([]float64, n)
	for _, p := range on {
		dir, ok := (line{A: c, B: p}).Unit()
		if !ok {
			continue
		}
		off := float64(geom.Dist(p, c)) - r
		row := profile(g.at, c.Plus(dir.Times(r0+off)), dir, n, step, math.Max(3, r/30))
		for j := range v {
			v[j] += row[j] / float64(len(on))
		}
	}
	p := pipe{v: v, half: true, r0: r0 / step, w: make([]float64, n)}
	for j := range p.w {
		p.w[j] = 0.05
		if x := r0 + float64(j)*step; math.Abs(x-r) < 0.09*r+3*step {
			p.w[j] = 1
		}
	}
	bends, rest := []float64{0}, 0.02 // a real head is no ball of even shell
	if g.exposed(c, 1.3*r) {
		bends, rest = headKnees[:], 0.04 // the bend is a guess (tests)
	}
	edge := (r - r0) / step
	var at, within, miss []float64
	for _, k := range bends {
		q := p
		q.v = slices.Clone(v)
		q.bend(k)
		got, du, m, ok := q.fit([5]float64{0, 0, edge - 0.06*r/step, edge + 0.5, 1})
		if d := (got[3] - edge) * step; ok && math.Abs(d) < 0.05*r+2*step {
			at, within, miss = append(at, d), append(within, math.Min(du, 2)*step), append(miss, m)
		}
	}
	if len(at) == 0 {
		return 0, 2 * step
	}
	shift, u = blended(at, within, miss)
	return shift, math.Hypot(u, rest*shift)
}

// headKnees are the knees (see knees) of a head on a film of exposure; 0 there
// is one far above what is seen.
var headKnees = [...]float64{0, 1, 2.5, 6, 15}

// blended returns the mean of answers, each counting as (least miss/miss)⁴ and
// less where it is vague, and its standard uncertainty.
func blended(at, u, miss []float64) (mean, doubt float64) {
	w, sq := 0.0, 0.0
	for i, x := range at {
		k := math.Pow(slices.Min(miss)/math.Max(miss[i], 1e-12), 4) / (1 + u[i]*u[i])
		w, mean, sq = w+k, mean+k*x, sq+k*(x*x+u[i]*u[i])
	}
	mean /= w
	return mean, math.Sqrt(math.Max(0, sq/w-mean*mean))
}
