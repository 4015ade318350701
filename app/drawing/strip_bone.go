package drawing

import (
	"math"
	"slices"

	"isthmus/core/units"
)

// shape is the outline of a femur seen from the front in units of its outer
// width at the isthmus: level (0 the tip of the trochanter, 1 the isthmus, 2
// the distal target), lateral and medial half width. It is for the eye only
// and is drawn dashed; no number is read from it.
var shape = [][3]float64{
	{0, 0.06, 0.06}, {0.03, 0.40, 0.24}, {0.10, 0.62, 0.44}, {0.22, 0.66, 0.60}, {0.40, 0.57, 0.57},
	{0.70, 0.51, 0.51}, {1, 0.5, 0.5}, {1.45, 0.52, 0.52}, {1.72, 0.62, 0.62}, {1.90, 0.80, 0.80}, {2, 0.92, 0.92}, {2.2, 0.98, 0.98},
}

// half returns the lateral and medial half width of the shape at level t.
func (p *strip) half(t float64) (lateral, mid float64) {
	w := p.waist()
	r := t / w
	if t > w {
		r = 1 + (t-w)/math.Max(p.foot()-w, 1)
	}
	last := shape[len(shape)-1]
	lateral, mid = last[1], last[2]
	for i := 1; i < len(shape); i++ {
		if a, b := shape[i-1], shape[i]; r <= b[0] {
			f := clamp((r-a[0])/(b[0]-a[0]), 0, 1)
			f = f * f * (3 - 2*f)
			lateral, mid = a[1]+f*(b[1]-a[1]), a[2]+f*(b[2]-a[2])
			break
		}
	}
	if l := p.in.Lesser; l != nil { // a hump that ends at the measured level
		if d := (float64(l.Best) - t) / 14; d > 0 && d < 1.6 {
			mid += 0.22 * math.Sin(math.Pi*d/1.6)
		}
	}
	return lateral * p.unit(), mid * p.unit()
}

// side samples one side of the shape between two levels.
func (p *strip) side(from, to, sign float64) []xy {
	const n = 32
	pts := make([]xy, 0, n+1)
	for i := 0; i <= n; i++ {
		t := from + (to-from)*float64(i)/n
		lat, mid := p.half(t)
		c := mid
		if sign < 0 {
			c = lat
		}
		pts = append(pts, p.at(t, sign*c))
	}
	return pts
}

func (p *strip) bone() {
	lat, mid := p.side(0, p.t1, -1), p.side(0, p.t1, 1)
	whole := append([]xy{}, lat...)
	for i := len(mid) - 1; i >= 0; i-- {
		whole = append(whole, mid[i])
	}
	p.s.poly("d-bone", true, whole...)
	p.s.poly("d-guess", false, lat...)
	p.s.poly("d-guess", false, mid...)
	p.neck()
	if p.in.Outer == nil || p.in.Isthmus == nil {
		return
	}
	t, u := p.waist(), p.unit()/2
	for _, sign := range []float64{-1, 1} {
		p.s.poly("d-ink", false, p.at(t-near, sign*u), p.at(t+near, sign*u))
		p.doubt(t-near, t+near, sign*u, sure(*p.in.Outer)/2)
	}
	p.s.line("d-fine", p.at(t, -u), p.at(t, u), long("outer", float64(p.in.Outer.Best), p.kw()))
}

// near is how far from a measured level an edge is drawn as measured, mm.
const near = 12

// doubt hatches the doubt of an edge at c between two levels.
func (p *strip) doubt(from, to, c, d float64) {
	if d > 0 {
		p.s.hatched(doubtHatch, p.at(from, c-d), p.at(to, c-d), p.at(to, c+d), p.at(from, c+d))
	}
}

// neck is a dashed stump that runs to the edge of the room.
func (p *strip) neck() {
	slope := math.Tan((p.headAngle() - 90) * math.Pi / 180)
	far := p.reach / p.kw()
	for _, r := range []float64{0.12, 0.30} {
		t := r * p.waist()
		_, c := p.half(t)
		if far > c {
			p.s.poly("d-guess", false, p.at(t, c), p.at(t-(far-c)*slope, far))
		}
	}
}

// headAngle is the angle between shaft and neck that is drawn.
func (p *strip) headAngle() float64 {
	if n := p.in.Nail; n != nil && n.HeadAngle > 90 {
		return float64(n.HeadAngle)
	}
	return 130
}

// canal draws the canal: in full with its doubt where its width was measured,
// dashed elsewhere. A width whose level is not known is dashed all along.
func (p *strip) canal() {
	profile := p.in.Profile
	if len(profile) == 0 && p.in.Canal != nil {
		t := units.MM(p.waist())
		profile = []Breadth{{At: t - near, Width: *p.in.Canal}, {At: t + near, Width: *p.in.Canal}}
	}
	if len(profile) == 0 {
		return
	}
	l, r := p.wall(profile, -1), p.wall(profile, 1)
	back := slices.Concat(r.up, r.mid, r.down)
	slices.Reverse(back)
	p.s.poly("d-hollow", true, slices.Concat([]xy{p.at(0.06*p.waist(), 0)}, l.up, l.mid, l.down, back)...)
	measured := len(p.in.Profile) > 0 || p.in.Isthmus != nil
	p.wallLines(l, measured)
	p.wallLines(r, measured)
	if !measured {
		return
	}
	if c := p.in.Canal; c != nil && p.in.Isthmus != nil {
		w := float64(c.Best)
		p.s.line("d-fine", p.at(p.waist(), -w/2), p.at(p.waist(), w/2), long("canal", w, p.kw()))
	}
	p.canalDoubt(profile)
}

// A wall is one wall of the canal from the top down: guessed, measured,
// guessed.
type wall struct{ up, mid, down []xy }

func (p *strip) wall(profile []Breadth, sign float64) wall {
	w := wall{
		up:   p.flare(profile[0], 0.14*p.waist(), 1.5, sign),
		down: p.flare(profile[len(profile)-1], p.foot(), 2.1, sign),
	}
	slices.Reverse(w.up)
	for _, b := range profile {
		w.mid = append(w.mid, p.at(float64(b.At), sign*float64(b.Width.Best)/2))
	}
	return w
}

func (p *strip) wallLines(w wall, measured bool) {
	if !measured {
		p.s.poly("d-guess", false, slices.Concat(w.up, w.mid, w.down)...)
		return
	}
	p.s.poly("d-guess", false, w.up...)
	p.s.poly("d-ink", false, w.mid...)
	p.s.poly("d-guess", false, w.down...)
}

func (p *strip) canalDoubt(profile []Breadth) {
	for i := 1; i < len(profile); i++ {
		a, b := profile[i-1], profile[i]
		da, db := sure(a.Width)/2, sure(b.Width)/2
		if da == 0 && db == 0 {
			continue
		}
		for _, sign := range []float64{-1, 1} {
			ca, cb := sign*float64(a.Width.Best)/2, sign*float64(b.Width.Best)/2
			p.s.hatched(doubtHatch, p.at(float64(a.At), ca-da), p.at(float64(b.At), cb-db),
				p.at(float64(b.At), cb+db), p.at(float64(a.At), ca+da))
		}
	}
}

// flare runs from a measured width to a level where the canal is wider, by a
// factor that is for the eye only; it stays inside the outline.
func (p *strip) flare(b Breadth, to, times, sign float64) []xy {
	const n = 12
	from, half := float64(b.At), float64(b.Width.Best)/2
	pts := make([]xy, 0, n+1)
	for i := 0; i <= n; i++ {
		f := float64(i) / n
		t := from + f*(to-from)
		lat, mid := p.half(t)
		c := math.Min(half*(1+(times-1)*f*f), 0.85*math.Min(lat, mid))
		pts = append(pts, p.at(t, sign*math.Max(c, 0.3*half)))
	}
	return pts
}
