package drawing

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// SpaceInput is what the drawings of both head screws in three dimensions are
// made from: what the plan solved, what it left, and what is to be kept.
type SpaceInput struct {
	ID           string
	Side         anatomy.Side
	Model        plan.SpaceModel
	Lower, Upper plan.SpaceScrew
	LowerAsk     units.MM // lengths that were chosen; 0: not decided
	UpperAsk     units.MM
	Keep         [3]units.MM // above the upper, below the lower, in front and behind
	Clearance    units.MM    // tip to joint surface
}

// SpaceFromPlan returns what the drawings need, and false where the plan did
// not solve the screws in space.
func SpaceFromPlan(c record.Case, p plan.Plan, y plan.Policy) (SpaceInput, bool) {
	s := p.Space
	if !s.Solved || s.Model == nil {
		return SpaceInput{}, false
	}
	return SpaceInput{ID: "space", Side: c.Side, Model: *s.Model, Lower: s.Lower, Upper: s.Upper,
		LowerAsk: p.Head.Lower.Ask, UpperAsk: p.Head.Upper.Ask,
		Keep: [3]units.MM{y.NeckUpper, y.NeckLower, y.NeckSide}, Clearance: y.HeadClearance}, true
}

// stretch is half of the length of neck on which the margins count; the plan
// takes the same, and a drawing whose margins differ is refused.
const stretch = 5

// A v3 is a place or a direction in the frame of the nail: medial, up, front.
type v3 [3]float64

func (a v3) plus(b v3, k float64) v3 { return v3{a[0] + b[0]*k, a[1] + b[1]*k, a[2] + b[2]*k} }
func (a v3) dot(b v3) float64        { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// along3 returns the directions along, upwards across and forwards across a
// line at an obtuse angle to the nail that is turned forwards, both in
// degrees. Source: geometry, the frame of core/neck.
func along3(shaft, turn units.Deg) (n, v, w v3) {
	sin, cos := math.Sincos(float64(shaft) * math.Pi / 180)
	st, ct := math.Sincos(float64(turn) * math.Pi / 180)
	return v3{sin * ct, -cos, sin * st}, v3{cos * ct, sin, cos * st}, v3{-st, 0, ct}
}

// A hip3 is the solved hip in plain numbers.
type hip3 struct {
	head       v3
	n, v, w    v3 // of the neck
	dir        v3 // of the screws
	from       [2]v3
	a, b       float64 // half height and half width of the neck
	r, half    float64 // of the head; of a screw
	near, far  float64 // ends of the stretch, behind the centre of the head
	up, across float64 // half of a screw as the section cuts it
}

func (in SpaceInput) hip() hip3 {
	m := in.Model
	h := hip3{head: v3{float64(m.Medial), float64(m.Up), float64(m.Front)}, r: float64(m.Radius), half: float64(m.Dia) / 2,
		a: float64(m.Height) / 2, b: float64(m.Width) / 2}
	h.n, h.v, h.w = along3(m.NeckShaft, m.Version)
	h.dir, _, _ = along3(m.Angle, m.Turn)
	rise := float64(m.Spacing) / math.Sin(float64(m.Angle)*math.Pi/180)
	h.from = [2]v3{{0, -float64(m.Depth), 0}, {0, -float64(m.Depth) + rise, 0}}
	mid := float64(m.Behind)
	half := math.Min(stretch, mid)
	h.near, h.far = mid-half, mid+half
	along := h.n.dot(h.dir)
	h.up = h.half * math.Hypot(1, h.v.dot(h.dir)/along)
	h.across = h.half * math.Hypot(1, h.w.dot(h.dir)/along)
	return h
}

// cross returns where screw i meets the section so far behind the centre of
// the head: the place, and forwards and upwards of the middle of the neck.
func (h hip3) cross(i int, behind float64) (at v3, x, y float64) {
	to := h.head.plus(h.n, -behind).plus(h.from[i], -1)
	at = h.from[i].plus(h.dir, h.n.dot(to)/h.n.dot(h.dir))
	off := at.plus(h.head, -1)
	return at, off.dot(h.w), off.dot(h.v)
}

// A gap3 is a margin from a screw straight to the wall, where it is least.
type gap3 struct {
	mm   float64
	a, b v3
}

// gaps returns what screw i leaves up, down, in front and behind, each where
// it is least on the stretch.
func (h hip3) gaps(i int) (out [4]gap3) {
	for j := range out {
		out[j].mm = math.Inf(1)
	}
	for _, behind := range []float64{h.far, h.near} {
		at, x, y := h.cross(i, behind)
		high, wide := chordAt(h.a, h.b, x), chordAt(h.b, h.a, y)
		for j, mm := range [4]float64{high - y - h.up, high + y - h.up, wide - x - h.across, wide + x - h.across} {
			if mm < out[j].mm {
				d, out1 := h.v, h.up
				if j > 1 {
					d, out1 = h.w, h.across
				}
				sign := float64(1 - 2*(j%2))
				out[j] = gap3{mm, at.plus(d, sign*out1), at.plus(d, sign*(out1+mm))}
			}
		}
	}
	return out
}

// chordAt returns the half axis a of an ellipse shrunk at x along the other half
// axis b; beyond it, below zero by as much.
func chordAt(a, b, x float64) float64 {
	if k := 1 - x*x/(b*b); k > 0 {
		return a * math.Sqrt(k)
	}
	return b - math.Abs(x)
}

func (in SpaceInput) check() error {
	m, c := in.Model, checker{}
	deg := func(what string, v units.Deg, lo, hi units.MM) {
		if !(units.MM(v) >= lo && units.MM(v) <= hi) {
			c.gap(what, shown(float64(v))+" for degrees", units.Trim(float64(lo), 0)+"° to "+units.Trim(float64(hi), 0)+"°")
		}
	}
	c.in("the radius of the head", m.Radius, 10, 40)
	c.in("the height of the neck", m.Height, 5, 60)
	c.in("the width of the neck", m.Width, 5, 60)
	c.in("the way from the neck to the head", m.Behind, 0, 80)
	c.in("the way from the nail to the head", m.Medial, 5, 120)
	c.in("the height of the head", m.Up, -200, 400)
	c.in("the head in front of the nail", m.Front, -80, 80)
	c.in("the depth of the lower screw", m.Depth, -200, 400)
	c.in("the spacing of the screws", m.Spacing, 0, 40)
	c.in("the head screw's diameter", m.Dia, 2, 20)
	c.in("the way to the lateral cortex", m.Lateral, 0, 80)
	c.in("the depth of the head screws in the nail", m.HeadDepth, 0, 150)
	c.in("the top of the nail", m.Top, -200, 400)
	deg("the angle of the neck", m.NeckShaft, 95, 175)
	deg("the angle of the screws", m.Angle, 95, 160)
	deg("the version of the neck", m.Version, -70, 70)
	deg("the turn of the nail", m.Turn, -70, 70)
	for _, ask := range []units.MM{in.LowerAsk, in.UpperAsk} {
		if ask != 0 {
			c.in("the head screw's length", ask, 20, 200)
		}
	}
	for _, keep := range append(in.Keep[:], in.Clearance) {
		c.in("the distance to keep", keep, 0, 30)
	}
	if len(c.gaps) == 0 {
		in.agree(&c)
	}
	return c.err("neck in space")
}

// agree refuses margins that are not those of the picture.
func (in SpaceInput) agree(c *checker) {
	h := in.hip()
	if !(h.n.dot(h.dir) > 0.5) {
		c.gap("the way of the screws", "more than 60° aside of the neck", "a way along the neck")
		return
	}
	for i, s := range []plan.SpaceScrew{in.Lower, in.Upper} {
		name := []string{"lower", "upper"}[i]
		g := h.gaps(i)
		for j, l := range []*units.Length{s.Up, s.Down, s.Front, s.Back} {
			if l != nil && !l.Finite() {
				c.gap("the doubt of a margin of the "+name+" screw", "no number", "0 mm or more")
				continue
			}
			c.agrees("the room "+sideOf[j]+" the "+name+" screw", l, units.MM(g[j].mm))
		}
	}
}

var sideOf = [4]string{"above", "below", "in front of", "behind"}

// asks are the chosen lengths and the names of the two screws.
func (in SpaceInput) asks() [2]units.MM { return [2]units.MM{in.LowerAsk, in.UpperAsk} }

func (in SpaceInput) margin(i, j int) *units.Length {
	s := in.Lower
	if i == 1 {
		s = in.Upper
	}
	return [4]*units.Length{s.Up, s.Down, s.Front, s.Back}[j]
}

// keepOf is what a margin of that direction must leave.
func (in SpaceInput) keepOf(j int) units.MM {
	if j > 2 {
		j = 2
	}
	return in.Keep[j]
}

var placeOf = [2]implant.Place{implant.Lower, implant.Upper}
