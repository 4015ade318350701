package drawing

import (
	"math"

	"isthmus/core/units"
)

// Strip returns the strip: the femur laid along a millimetre rule from the
// tip of the greater trochanter, to scale in length, its widths to a second
// scale that the drawing states. It refuses, with a *NothingToDrawError, when
// neither bone, isthmus nor nail is known or a number is impossible.
func Strip(in StripInput, size Size) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	p := newStrip(in, size)
	p.bone()
	p.canal()
	p.nail()
	p.fracture()
	p.ends()
	p.labels()
	p.rule()
	p.heading()
	return p.s.done(map[bool]string{true: "d-strip d-lying", false: "d-strip"}[p.lying], p.title(), p.words()), nil
}

// A strip is one drawing in the making. Places on it are t, millimetres down
// from the tip of the trochanter, and c, millimetres from the axis towards
// the middle of the body.
type strip struct {
	in     StripInput
	s      *sheet
	lying  bool
	o      xy           // where t = 0, c = 0 lies
	k      float64      // css pixels for a millimetre of length
	factor float64      // widths are drawn this much larger
	m      float64      // +1: the middle of the body lies to the right
	reach  float64      // half of the room for the bone, css pixels
	t0, t1 float64      // shown from … to
	taken  [][2]float64 // where the labels of a standing strip are
}

func newStrip(in StripInput, size Size) *strip {
	p := &strip{in: in, lying: size.Lying, m: medial(in.Side)}
	p.t0, p.t1 = in.span()
	w, h := clamp(size.W, 104, 200), clamp(size.H, 440, 1200)
	if math.IsNaN(size.W + size.H) {
		w, h = Narrow.W, Narrow.H
	}
	if p.lying {
		w, h = clamp(size.W, 600, 1600), clamp(size.H, 252, 600)
		p.s = newSheet(in.ID, w, h)
		p.k = (w - 24) / (p.t1 - p.t0)
		p.reach = (h - lyingTop - lyingBottom) / 2
		p.o = xy{12 - p.t0*p.k, lyingTop + p.reach}
	} else {
		p.s = newSheet(in.ID, w, h)
		p.k = (h - standTop - standBottom) / (p.t1 - p.t0)
		p.reach = (w - column - 12) / 2
		p.o = xy{2 + p.reach, standTop - p.t0*p.k}
	}
	p.factor = p.widthFactor()
	return p
}

// Rooms around the bone, css pixels.
const (
	standTop, standBottom = 40.0, 66.0
	column                = 60.0 // for labels, beside a standing bone
	lyingTop, lyingBottom = 62.0, 104.0
)

// span returns what part of the rule is shown.
func (in StripInput) span() (t0, t1 float64) {
	known := 60.0
	for _, l := range []*units.Length{in.Isthmus, in.Lesser, in.Upper, in.Lower} {
		if l != nil {
			known = math.Max(known, float64(l.Best)+30)
		}
	}
	if in.Length != nil {
		known = math.Max(known, float64(in.Length.Best)+sure(*in.Length)+12)
	}
	if n := in.Nail; n != nil {
		t0 = math.Min(0, float64(n.Burial)-4)
		known = math.Max(known, float64(n.Burial+n.Length)+8)
	}
	for _, b := range in.Profile {
		known = math.Max(known, float64(b.At)+10)
	}
	return t0, known
}

// widthFactor returns how much larger widths are drawn than lengths: the
// largest round factor with which every measured width fits.
func (p *strip) widthFactor() float64 {
	widest := 0.0
	if p.in.Outer != nil {
		widest = (float64(p.in.Outer.Best) + sure(*p.in.Outer)) * 1.3 // the ends are wider
	}
	if p.in.Canal != nil {
		widest = math.Max(widest, (float64(p.in.Canal.Best)+sure(*p.in.Canal))*1.4)
		if p.in.Outer == nil {
			widest = math.Max(widest, float64(p.in.Canal.Best)*2.4*1.3)
		}
	}
	for _, b := range p.in.Profile {
		widest = math.Max(widest, float64(b.Width.Best)+sure(b.Width))
	}
	if p.in.Nail != nil {
		widest = math.Max(widest, float64(p.in.Nail.Diameter)*1.4)
	}
	if widest == 0 {
		widest = 28
	}
	for _, f := range []float64{4, 3, 2.5, 2, 1.5, 1.25, 1, 0.75, 0.5, 0.25, 0.1} {
		if widest*f*p.k <= 2*p.reach {
			return f
		}
	}
	return 0.05
}

// kw is the scale of widths.
func (p *strip) kw() float64 { return p.k * p.factor }

// at returns the place t below the tip and c from the axis. What leaves the
// room for the bone is held at its edge; nothing measured does.
func (p *strip) at(t, c float64) xy {
	across := clamp(c*p.kw()*p.m, -p.reach, p.reach)
	along := p.k * clamp(t, p.t0, p.t1)
	if p.lying {
		return xy{p.o.x + along, p.o.y - across}
	}
	return xy{p.o.x + across, p.o.y + along}
}

// edge returns the place on the edge of the room for the bone, at level t,
// on the side of the labels (right, or above) or on the other one.
func (p *strip) edge(t float64, labels bool) xy {
	q := p.at(t, 0)
	r := p.reach
	if !labels {
		r = -r
	}
	if p.lying {
		return xy{q.x, q.y - r}
	}
	return xy{q.x + r, q.y}
}

// unit returns the outer width at the isthmus that the shape is drawn from,
// in millimetres; when it was not measured, a shape for the eye only.
func (p *strip) unit() float64 {
	switch {
	case p.in.Outer != nil:
		return float64(p.in.Outer.Best)
	case p.in.Canal != nil:
		return float64(p.in.Canal.Best) * 2.4
	}
	return 27
}

// waist is the level the shape is narrowest at, and foot where it ends.
func (p *strip) waist() float64 {
	if p.in.Isthmus != nil {
		return float64(p.in.Isthmus.Best)
	}
	return 0.45 * p.foot()
}

func (p *strip) foot() float64 {
	if p.in.Length != nil {
		return float64(p.in.Length.Best)
	}
	return p.t1
}
