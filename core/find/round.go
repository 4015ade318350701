package find

import (
	"math"
	"slices"

	"isthmus/core/geom"
	"isthmus/core/units"
)

type ellipse = geom.Ellipse[units.Px]

// radius returns how far an ellipse reaches from its centre at an angle.
func radius(e ellipse, at float64) float64 {
	sin, cos := math.Sincos(at - e.Tilt*math.Pi/180)
	return 1 / math.Hypot(cos/float64(e.Long), sin/float64(e.Short))
}

// A ring is what a film shows about an ellipse: along n rays, from half px
// within the rim to half px beyond it. Everything is in widths of a pixel.
type ring struct {
	g    Grey
	tall float64
	sign float64 // −1 for what is darker than its surroundings
	e    ellipse
	n    int
}

// raySteps to a pixel along a ray.
const raySteps = 2

// ray returns the mean grey across the k-th of n sectors, at every half pixel
// from in px within the ellipse to out px beyond it.
func (r ring) ray(k int, in, out float64) []float64 {
	v := make([]float64, int((in+out)*raySteps)+1)
	wide := 2 * math.Pi / float64(r.n)
	m := max(1, int(wide*float64(r.e.Short)+0.5))
	for j := range m {
		a := wide * (float64(k) + (float64(j)+0.5)/float64(m))
		sin, cos := math.Sincos(a)
		d := radius(r.e, a) - in
		for i := range v {
			rho := d + float64(i)/raySteps
			v[i] += r.g.at(float64(r.e.Centre.X)+rho*cos, (float64(r.e.Centre.Y)+rho*sin)/r.tall)
		}
	}
	for i := range v {
		v[i] *= r.sign / float64(m)
	}
	return v
}

// fallWeights measure a fall over a normal curve of 1.5 px, in levels a step.
var fallWeights = func() (w [10]float64) {
	const sigma = 1.5 * raySteps
	norm := 0.0
	for j := range w {
		w[j] = float64(j) * math.Exp(-float64(j*j)/(2*sigma*sigma))
		norm += 2 * w[j] * float64(j)
	}
	for j := range w {
		w[j] /= norm
	}
	return w
}()

// steepest returns where a profile falls most, in px from its start, to a
// fraction of a step, and how steeply, in levels per px. The fall is measured
// over a normal curve of 1.5 px; prefer is the place that counts in full, and
// spread how far from it a fall counts less (0: anywhere the same). A fall of
// over most counts as most (0: no limit), so that the border of the field close
// to a rim, far steeper than it, does not take its place. It reports false when
// the profile falls nowhere inside.
func steepest(v []float64, prefer, spread, most float64) (at, fall float64, ok bool) {
	d := make([]float64, len(v))
	best, score := 0, 0.0
	for i := range v {
		sum := 0.0
		for j, w := range fallWeights {
			sum += w * (v[max(i-j, 0)] - v[min(i+j, len(v)-1)])
		}
		d[i] = sum * raySteps
		s := d[i]
		if most > 0 {
			s = math.Min(s, most)
		}
		if spread > 0 {
			off := (float64(i)/raySteps - prefer) / spread
			s *= math.Exp(-off * off / 2)
		}
		if s > score && i > 1 && i < len(v)-2 {
			best, score = i, s
		}
	}
	if !(score > 0) {
		return 0, 0, false
	}
	for best > 1 && d[best-1] > d[best] {
		best--
	}
	for best < len(v)-2 && d[best+1] > d[best] {
		best++
	}
	if best < 2 || best > len(v)-3 {
		return 0, 0, false
	}
	a, b, c := d[best-1], d[best], d[best+1]
	off := 0.0
	if q := a - 2*b + c; q < 0 {
		off = max(-0.5, min(0.5, (a-c)/(2*q)))
	}
	return (float64(best) + off) / raySteps, b, true
}

// farFall times the usual fall of a rim counts no more than that.
const farFall = 1.5

// edges returns the rim points found along the rays, in squared px, and the
// mean fall over those that were found. The rays are looked at twice, the
// second time with what the first says of how steep this rim is.
func (r ring) edges(in, out, spread float64) (p []pt, angle []float64, fall float64) {
	rays, falls := make([][]float64, r.n), make([]float64, 0, r.n)
	for k := range rays {
		rays[k] = r.ray(k, in, out)
		if _, f, ok := steepest(rays[k], in, spread, 0); ok {
			falls = append(falls, f)
		}
	}
	usual := farFall * median(falls)
	for k, v := range rays {
		at, f, ok := steepest(v, in, spread, usual)
		if !ok {
			continue
		}
		a := 2 * math.Pi / float64(r.n) * (float64(k) + 0.5)
		rho := radius(r.e, a) - in + at
		sin, cos := math.Sincos(a)
		p = append(p, r.e.Centre.Plus(pt{X: units.Px(rho * cos), Y: units.Px(rho * sin)}))
		angle = append(angle, a)
		fall += f
	}
	return p, angle, fall / math.Max(1, float64(len(p)))
}

// aside returns how far a point lies outside an ellipse, along the ray.
func aside(e ellipse, p pt) float64 {
	v := p.Minus(e.Centre)
	return math.Hypot(float64(v.X), float64(v.Y)) - radius(e, math.Atan2(float64(v.Y), float64(v.X)))
}

// settle lays an ellipse through points and drops those further off than 3.5
// robust standard deviations, and at least 0.3 px, three times over.
// Source of the robust deviation: 1.4826 × median absolute deviation, Huber.
func settle(p []pt) (e ellipse, kept []pt, err error) {
	kept = p
	for range 4 {
		if e, err = geom.FitEllipse(kept); err != nil {
			return e, kept, err
		}
		off := make([]float64, len(p))
		for i := range p {
			off[i] = math.Abs(aside(e, p[i]))
		}
		sorted := slices.Sorted(slices.Values(off))
		lim := max(0.3, 3.5*1.4826*sorted[len(sorted)/2])
		kept = nil
		for i := range p {
			if off[i] <= lim {
				kept = append(kept, p[i])
			}
		}
	}
	e, err = geom.FitEllipse(kept)
	return e, kept, err
}

// measure looks at a round thing at full size.
func (k roundKind) measure(g Grey, s spot, o RoundOptions) (Round, error) {
	r := ring{g: g, tall: o.Tall, sign: 1, n: min(48, max(24, int(2*math.Pi*s.r/4)))}
	if s.dark {
		r.sign = -1
	}
	r.e = ellipse{Centre: pt{X: units.Px(s.x), Y: units.Px(s.y)}, Long: units.Px(s.r), Short: units.Px(s.r)}
	var kept []pt
	fall := 0.0
	for i, share := range []float64{0.3, 0.15, 0.1, 0.1} {
		reach := math.Max(6, math.Min(share*float64(r.e.Short), 40))
		if i > 1 {
			reach = math.Min(reach, 10)
		}
		var p []pt
		p, _, fall = r.edges(math.Min(reach, 0.8*float64(r.e.Short)), reach, reach/2)
		if len(p) < r.n/2 {
			return Round{}, k.lost(r, reach)
		}
		var err error
		if r.e, kept, err = settle(p); err != nil {
			return Round{}, refuse(k.what, "none")
		}
		if !(r.e.Short > 5 && r.e.Long < maxRound) {
			return Round{}, refuse(k.what, "none")
		}
	}
	return k.judge(r, kept, fall, o)
}

// lost says why too little of a rim was found.
func (k roundKind) lost(r ring, reach float64) error {
	flat := 0
	for i := range r.n {
		v := r.ray(i, reach/2, reach/2)
		if slices.Max(v) == slices.Min(v) {
			flat++
		}
	}
	if flat > r.n/5 {
		return refuse(k.what, "saturated")
	}
	return refuse(k.what, "none")
}

// judge refuses what is no such thing, and states the size with its doubt.
func (k roundKind) judge(r ring, kept []pt, fall float64, o RoundOptions) (Round, error) {
	for i := range 4 * r.n {
		a := math.Pi / 2 * float64(i) / float64(r.n)
		sin, cos := math.Sincos(a)
		rho := radius(r.e, a)
		x, y := float64(r.e.Centre.X)+rho*cos, (float64(r.e.Centre.Y)+rho*sin)/r.tall
		if !(x >= 1 && y >= 1 && x <= float64(r.g.Width)-2 && y <= float64(r.g.Height)-2) {
			return Round{}, refuse(k.what, "cut")
		}
	}
	seen := float64(len(kept)) / float64(r.n)
	noise := r.g.noise(box(r))
	s := scatter(r.e, kept)
	switch small := 2 * float64(r.e.Short) * math.Min(1, 1/r.tall); {
	case !(seen >= leastRound):
		return Round{}, k.brokenOr(r, seen)
	case !(small >= minRound) || r.e.Short*2 < o.Least:
		return Round{}, refuse(k.what, "small", small, float64(o.Least))
	case !(float64(r.e.Long/r.e.Short) <= k.oval):
		return Round{}, refuse(k.what, "oval", float64(r.e.Long/r.e.Short), k.oval)
	case !(s <= math.Max(0.8, 0.006*float64(r.e.Short))) || !r.even():
		return Round{}, refuse(k.what, "uneven")
	case !(3*fall >= leastStep*noise): // a rim is about 3 px wide
		return Round{}, refuse(k.what, "faint", 3*fall/noise, leastStep)
	}
	return k.state(r, kept, s, seen*math.Min(1, 3*fall/noise/10), o.Raw)
}

// scatter returns the standard deviation of points about an ellipse that was
// laid through them.
func scatter(e ellipse, p []pt) float64 {
	sum := 0.0
	for _, q := range p {
		sum += aside(e, q) * aside(e, q)
	}
	return math.Max(0.02, math.Sqrt(sum/math.Max(1, float64(len(p)-5))))
}

// even reports whether the step across the rim is much the same all round:
// nine in ten sectors have at least a quarter of the middle one.
func (r ring) even() bool {
	step := make([]float64, r.n)
	for k := range step {
		v := r.ray(k, 3, 3)
		step[k] = v[0] - v[len(v)-1]
	}
	slices.Sort(step)
	return step[r.n/10] >= 0.25*step[r.n/2] && step[0] > 0
}

func (k roundKind) brokenOr(r ring, seen float64) error {
	if e, ok := k.lost(r, 12).(*Refusal); ok && e.Why == "saturated" {
		return e
	}
	return refuse(k.what, "broken", 100*seen, 100*leastRound)
}

func box(r ring) (x0, y0, x1, y1 int) {
	l := r.e.Long
	h := l / units.Px(r.tall)
	cx, cy := r.e.Centre.X, r.e.Centre.Y/units.Px(r.tall)
	return int(cx - l), int(cy - h), int(cx + l), int(cy + h)
}

// noise returns the standard deviation of the grain of a part of the film
// from second differences along rows, at least a third of a level (rounding):
//
//	σ = 1.4826 · median |a − 2b + c| / √6
func (g Grey) noise(x0, y0, x1, y1 int) float64 {
	x0, y0, x1, y1 = max(x0, 1), max(y0, 0), min(x1, g.Width-1), min(y1, g.Height)
	var d []int32
	step := 1 + max(0, (x1-x0))*max(0, (y1-y0))/20_000
	for y := y0; y < y1; y++ {
		for x := x0 + y%step; x < x1; x += step {
			v := g.Pix[y*g.Width+x-1:]
			s := int32(v[0]) - 2*int32(v[1]) + int32(v[2])
			d = append(d, max(s, -s))
		}
	}
	if len(d) == 0 {
		return 1.0 / 3
	}
	slices.Sort(d)
	return math.Max(1.0/3, 1.4826/math.Sqrt(6)*float64(d[len(d)/2]))
}

// state writes down the size. The points scatter by s about the ellipse; with
// n points round the whole rim a semi axis is known to s·√(3/n), the radius of
// a circle to s/√n, a centre to s·√(2/n) (by hand: mean and second harmonic of
// the radius). What all points share, the doubt of the true rim beside the
// steepest place, is put into the slip as well, times √n.
func (k roundKind) state(r ring, kept []pt, s, sure float64, raw bool) (Round, error) {
	n := float64(len(kept))
	shift, shared, ok := r.fade(k.deep, raw)
	if !ok {
		return Round{}, refuse(k.what, "saturated")
	}
	if !finite(s, shift, shared) || !(n > 5) {
		return Round{}, refuse(k.what, "none")
	}
	e := r.e
	e.Long, e.Short = e.Long+units.Px(shift), e.Short+units.Px(shift)
	axis := units.Px(2 * math.Hypot(s*math.Sqrt(3/n), shared))
	if !(axis <= leastKnown*e.Short) {
		return Round{}, refuse(k.what, "vague", float64(axis), leastKnown*float64(e.Short))
	}
	out := Round{
		Centre: pt{X: e.Centre.X, Y: e.Centre.Y / units.Px(r.tall)}, CentreU: units.Px(s * math.Sqrt(2/n)),
		Long: 2 * e.Long, Short: 2 * e.Short, LongU: axis, ShortU: axis, Tilt: e.Tilt,
		Slip: units.Px(math.Hypot(s, shared*math.Sqrt(n))), Sure: sure, Dark: r.sign < 0,
	}
	for _, p := range kept {
		v := p.Minus(e.Centre)
		v = v.Times(1 + shift/math.Hypot(float64(v.X), float64(v.Y)))
		q := e.Centre.Plus(v)
		out.Rim = append(out.Rim, pt{X: q.X, Y: q.Y / units.Px(r.tall)})
	}
	return out, nil
}
