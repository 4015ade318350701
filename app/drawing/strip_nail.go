package drawing

import (
	"math"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// nail draws the nail where it will lie, with its holes and screws.
func (p *strip) nail() {
	n := p.in.Nail
	if n == nil {
		return
	}
	top, tip, half := float64(n.Burial), float64(n.Burial+n.Length), float64(n.Diameter)/2
	p.s.box("d-nail", p.at(top, -half), p.at(tip, half), half*p.kw()*0.5)
	p.s.line("d-axis", p.at(top, 0), p.at(tip, 0), long("nail", float64(n.Length), p.k))
	mid := (top + tip) / 2
	p.s.line("d-fine", p.at(mid, -half), p.at(mid, half), long("nail-diameter", 2*half, p.kw()))
	p.proximal(*n)
	screws := locked(n.Holes, n.Screws)
	for i, h := range n.Holes {
		p.hole(h, tip-float64(h.FromTip), half, screws[i])
	}
}

// proximal draws the head screws where the nail puts them, or, for standard
// locking, two dashed screws: the shelf does not know their places.
func (p *strip) proximal(n StripNail) {
	switch {
	case n.Pattern == plan.HeadLock && n.HeadAngle > 90 && n.HeadDepth > 0:
		t := float64(n.Burial + n.HeadDepth)
		p.headScrew(t, n.Lower)
		if n.HeadSpacing > 0 { // measured across the axes; along the nail it is longer
			p.headScrew(t-float64(n.HeadSpacing)/math.Sin(p.headAngle()*math.Pi/180), n.Upper)
		}
	case n.Pattern == plan.Standard:
		t := math.Max(float64(n.Burial), 0)
		lat, mid := p.half(t + 40)
		p.s.line("d-screw d-dashed", p.at(t+40, -lat), p.at(t+40, mid))
		p.s.line("d-screw d-dashed", p.at(t+20, -lat), p.at(t+20+lat+mid, mid))
	}
}

// headScrew draws one head screw that crosses the axis of the nail at level
// t, from the lateral outline to its length or to the edge of the room, where
// it ends in a break.
func (p *strip) headScrew(t float64, length units.MM) {
	a := p.headAngle() * math.Pi / 180
	slope, dc := math.Cos(a)/math.Sin(a), math.Sin(a)
	lat, _ := p.half(t)
	far := p.reach / p.kw()
	lat = math.Min(lat, far)
	tip, broken := -lat+float64(length)*dc, false
	if !(length > 0) || tip > far {
		tip, broken = far, true
	}
	// Where the neck rises above the drawing the screw is broken off too.
	if top := (p.t0 - t) / slope; tip > top {
		tip, broken = top, true
	}
	from, to := p.at(t-lat*slope, -lat), p.at(t+tip*slope, tip)
	p.s.line("d-screw", from, to)
	if broken {
		p.breakMark(to, to.minus(from))
	}
}

// breakMark is a pair of short strokes across a line that goes on.
func (p *strip) breakMark(at, dir xy) {
	n := dir.length()
	if !(n > 10) {
		return
	}
	u := dir.times(1 / n)
	for _, back := range []float64{3, 6} {
		c := at.minus(u.times(back))
		side := u.left().times(3)
		p.s.line("d-fine", p.s.inside(c.plus(side)), p.s.inside(c.minus(side)))
	}
}

// hole draws a distal hole and its screw: across the bone where it runs from
// side to side, end on where it runs from front to back.
func (p *strip) hole(h implant.Hole, t, half float64, screw bool) {
	lat, mid := p.half(t)
	a, b := p.at(t, -lat), p.at(t, mid)
	reach := 2.5 // radius of the hole, mm along the bone; for the eye
	if h.Slot {
		reach = 5
	}
	switch {
	case h.Plane == implant.Sagittal:
		p.s.circle("d-hole", p.at(t, 0), math.Min(2.5*p.k, half*p.kw()))
		if screw {
			p.s.circle("d-screw", p.at(t, 0), math.Min(1.6*p.k, half*p.kw()*0.6))
		}
		return
	case h.Plane == implant.Oblique:
		a, b = p.at(t-lat*0.5, -lat), p.at(t+mid*0.5, mid)
	}
	p.s.box("d-hole", p.at(t-reach, -half), p.at(t+reach, half), 0)
	if screw {
		p.s.line("d-screw", a, b, at("hole", t))
	}
}

// fracture draws the broken zone between its two levels, or one broken line
// where only the upper end is known.
func (p *strip) fracture() {
	if p.in.Upper == nil {
		return
	}
	upper := float64(p.in.Upper.Best)
	lower := upper
	if p.in.Lower != nil {
		lower = float64(p.in.Lower.Best)
	}
	a := p.zigzag(upper)
	if (lower-upper)*p.k > 6 {
		b := p.zigzag(lower)
		zone := append([]xy{}, a...)
		for i := len(b) - 1; i >= 0; i-- {
			zone = append(zone, b[i])
		}
		p.s.hatched(stopHatch, zone...)
		p.s.poly("d-break", false, b...)
	}
	p.s.poly("d-break", false, a...)
}

// zigzag is a broken line across the bone at one level.
func (p *strip) zigzag(t float64) []xy {
	lat, mid := p.half(t)
	lat, mid = lat+1.5, mid+1.5
	const n = 8
	pts := make([]xy, 0, n+1)
	for i := 0; i <= n; i++ {
		d := 3.0 / p.k
		if i%2 == 0 {
			d = -d
		}
		pts = append(pts, p.at(clamp(t+d, p.t0, p.t1), -lat+(lat+mid)*float64(i)/n))
	}
	return pts
}

// ends draws the distal target with the doubt of the bone's length, and the
// danger when the nail runs past it.
func (p *strip) ends() {
	l := p.in.Length
	if l == nil {
		return
	}
	t, d := float64(l.Best), sure(*l)
	far := p.reach / p.kw()
	if d > 0 {
		p.s.hatched(doubtHatch, p.at(t-d, -far), p.at(t-d, far), p.at(t+d, far), p.at(t+d, -far))
	}
	p.s.line("d-bold", p.edge(t, false), p.edge(t, true), at("target", t))
	n := p.in.Nail
	if n == nil || float64(n.Burial+n.Length) <= t {
		return
	}
	half := float64(n.Diameter) / 2
	p.s.hatched(stopHatch, p.at(t, -half), p.at(t, half), p.at(float64(n.Burial+n.Length), half), p.at(float64(n.Burial+n.Length), -half))
}
