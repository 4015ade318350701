package find

import (
	"cmp"
	"math"
	"slices"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Round is the shadow of a ball or a disc. Axes are whole diameters, in
// widths of a pixel; doubts are standard uncertainties. Rim and Slip go into
// a case as evidence: the slip is chosen so that a fit through these points
// comes to the doubt stated here.
type Round struct {
	Centre  pt       `json:"centre_px"`
	Long    units.Px `json:"long_px"`
	Short   units.Px `json:"short_px"`
	Tilt    float64  `json:"tilt_deg"` // of the long axis from the X axis, clockwise
	CentreU units.Px `json:"centre_u_px"`
	LongU   units.Px `json:"long_u_px"`
	ShortU  units.Px `json:"short_u_px"`
	Rim     []pt     `json:"rim_px"`
	Slip    units.Px `json:"slip_px"`
	Sure    float64  `json:"sure"` // 0…1: share of the rim that is seen, less where it is faint
	Dark    bool     `json:"dark"` // darker on the screen than its surroundings
}

// RoundOptions says what is known of the film. The zero value is a film of
// square pixels and a ball of any size.
type RoundOptions struct {
	Tall  float64  // height of a pixel over its width; 0 stands for square pixels
	Least units.Px // least and greatest diameter to look for, in px; 0 stands for
	Most  units.Px // 40 px and a third of the film's longer side, at most 800 px
	Raw   bool     // the greys are exposure or its logarithm, not changed for the eye; false adds doubt
}

const (
	// minRound is the smallest shadow that gives a scale, as in calibrate.
	minRound = 40
	// maxRound bounds the search.
	maxRound = 800
	// A ball is at most this oval (calibrate: 500 mm off axis at SOD 1000), a
	// disc tilted by 60° twice as long as wide.
	ballOval, discOval = 1.12, 2.0
	// leastRound of the rim must be seen for a size to be stated. A femoral head
	// shows about two thirds.
	leastRound = 0.8
	// leastKnown is the largest standard uncertainty of a diameter, of the
	// radius: 2.5 % of the size.
	leastKnown = 0.05
	// leastStep is how many times the noise of the film a rim must stand out.
	leastStep = 3
)

type roundKind struct {
	what string
	oval float64
	deep bool // its depth falls to nothing at the rim, as a ball's
}

var (
	aBall = roundKind{"ball", ballOval, true}
	aDisc = roundKind{"disc", discOval, false}
)

// Ball returns the shadow of a ball from one tap in it or near it, to within
// its radius. It looks at reduced size for a rim that faces a centre, then
// along rays at full size for the steepest place of the rim, lays an ellipse
// through these, drops what lies off it, and moves the rim outwards by what
// the fading depth of a ball and the blur of the film hide (see fade). It
// refuses a film or a tap that is none, no rim, two rims, one cut by the
// film's edge, under 40 px, more oval than a ball throws, seen over less than
// 80 % of its length, fainter than three times the noise, or lost in full
// white or black.
func Ball(g Grey, near pt, o RoundOptions) (Round, error) { return aBall.find(g, near, o) }

// Disc returns the shadow of a flat disc or a coin, as Ball does; a tilted one
// is oval up to 2 to 1.
func Disc(g Grey, near pt, o RoundOptions) (Round, error) { return aDisc.find(g, near, o) }

// Balls returns every ball that is seen on the whole film, the surest first,
// at most eight; an empty list is an answer. It refuses only a film that is
// none.
func Balls(g Grey, o RoundOptions) ([]Round, error) {
	o, err := o.fill(g)
	if err != nil {
		return nil, err
	}
	out := []Round{}
	for _, s := range spotsOn(g, o, 12) {
		if r, err := aBall.measure(g, s, o); err == nil && !overlaps(out, r) && len(out) < 8 {
			out = append(out, r)
		}
	}
	bySure(out)
	return out, nil
}

func (o RoundOptions) fill(g Grey) (RoundOptions, error) {
	if err := g.check(); err != nil {
		return o, err
	}
	if !(o.Tall > 0.2 && o.Tall < 5) {
		o.Tall = 1
	}
	if !(o.Least >= minRound && o.Least <= maxRound) {
		o.Least = minRound
	}
	if !(o.Most >= o.Least && o.Most <= maxRound) {
		o.Most = units.Px(min(maxRound, max(g.Width, g.Height)/3))
	}
	return o, nil
}

// spotsOn looks for round things at a size at which the smallest is about
// 10 px and pixels are about square. What it returns is in widths of a pixel.
func spotsOn(g Grey, o RoundOptions, most int) []spot {
	n := max(1, int(float64(o.Least)*min(1, o.Tall)/10))
	n = max(1, min(n, min(g.Width, g.Height)/8))
	m := max(1, min(int(float64(n)/o.Tall+0.5), g.Height/8))
	p := g.shrink(n, m).smooth(1)
	lo, hi := int(0.4*float64(o.Least))/n, int(math.Ceil(0.55*float64(o.Most)))/n+1
	out := newSeeker(p).spots(max(lo, 2), max(hi, 3), most)
	for i, s := range out {
		x, y := grown(s.x, s.y, n, m)
		out[i].x, out[i].y, out[i].r = x, y*o.Tall, s.r*float64(n)
	}
	return out
}

func (k roundKind) find(g Grey, near pt, o RoundOptions) (Round, error) {
	o, err := o.fill(g)
	if err != nil {
		return Round{}, err
	}
	if !near.Finite() || !g.on(near) {
		return Round{}, refuse(k.what, "outside")
	}
	wide, high := 1.2*o.Most, 1.2*o.Most/units.Px(o.Tall)
	sub, x0, y0 := g.Sub(int(near.X-wide), int(near.Y-high), int(near.X+wide)+1, int(near.Y+high)+1)
	var last error = refuse(k.what, "none")
	var hits []Round
	for _, s := range spotsOn(sub, o, 12) {
		s.x, s.y = s.x+float64(x0), s.y+float64(y0)*o.Tall
		if math.Hypot(s.x-float64(near.X), s.y-float64(near.Y)*o.Tall) > 1.6*s.r {
			continue
		}
		r, err := k.measure(g, s, o)
		if err != nil {
			if len(hits) == 0 && worse(last) {
				last = err
			}
			continue
		}
		if !overlaps(hits, r) {
			hits = append(hits, r)
		}
	}
	return k.choose(hits, near, last)
}

// worse reports whether a refusal says less than any other.
func worse(err error) bool {
	e, ok := err.(*Refusal)
	return ok && e.Why == "none"
}

// choose takes the only round thing, or the one the tap lies in when the tap
// lies in no other.
func (k roundKind) choose(hits []Round, near pt, last error) (Round, error) {
	in := hits[:0:0]
	for _, r := range hits {
		if geom.Dist(r.Centre, near) <= r.Long/2 {
			in = append(in, r)
		}
	}
	if len(in) == 0 {
		in = hits
	}
	switch len(in) {
	case 0:
		return Round{}, last
	case 1:
		return in[0], nil
	}
	return Round{}, refuse(k.what, "two")
}

func overlaps(have []Round, r Round) bool {
	for _, h := range have {
		if d := geom.Dist(h.Centre, r.Centre); d < 0.25*max(h.Short, r.Short) && math.Abs(float64(h.Short-r.Short)) < 0.1*float64(r.Short) {
			return true
		}
	}
	return false
}

func bySure(r []Round) {
	slices.SortStableFunc(r, func(a, b Round) int { return cmp.Compare(b.Sure, a.Sure) })
}
