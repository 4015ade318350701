package neck

import "math"

// The measured inputs of a scene, in the order in which their doubts are
// propagated. The first eight decide where the screws go.
const (
	inMedial = iota
	inUp
	inFront
	inShaft
	inVersion
	inHeight
	inWidth
	inRadius
	inLateralLower
	inLateralUpper
	inputs
)

// A scene is one bone and one nail in plain numbers (millimetres, radians).
type scene struct {
	in      [inputs]float64
	from    float64
	to      float64
	angle   float64    // of the screws to the nail
	rise    [2]float64 // of each screw above the lower one, along the nail
	radius  [2]float64 // of each screw
	keep    [3]float64 // up, down, to the side
	tip     float64
	screws  int
	gap     float64 // how closely a depth is searched for
	head    vec
	n, v, w vec // along the neck, across it upwards, across it forwards
}

func newScene(b Bone, n Nail, k Keep) scene {
	s := scene{
		in: [inputs]float64{
			float64(b.Head.Medial.Best), float64(b.Head.Up.Best), float64(b.Head.Front.Best),
			rad(float64(b.NeckShaft.Best)), rad(float64(b.Version.Best)),
			float64(b.Height.Best), float64(b.Width.Best), float64(b.Radius.Best),
			float64(b.LateralLower.Best), float64(b.LateralUpper.Best),
		},
		from: float64(b.From), to: float64(b.To),
		angle:  rad(float64(n.Angle)),
		rise:   [2]float64{0, float64(n.Spacing) / math.Sin(rad(float64(n.Angle)))},
		radius: [2]float64{float64(n.LowerDia) / 2, float64(n.UpperDia) / 2},
		keep:   [3]float64{float64(k.Upper), float64(k.Lower), float64(k.Side)},
		tip:    float64(k.Tip),
		screws: 2, gap: fineGap,
	}
	s.settle()
	return s
}

// with returns the scene with its inputs moved by d. Sizes stay above 1 mm.
func (s scene) with(d [inputs]float64) scene {
	for i := range d {
		s.in[i] += d[i]
	}
	for _, i := range []int{inHeight, inWidth, inRadius, inMedial} {
		s.in[i] = math.Max(s.in[i], 1)
	}
	s.settle()
	return s
}

func (s *scene) settle() {
	s.head = vec{s.in[inMedial], s.in[inUp], s.in[inFront]}
	s.n, s.v, s.w = axes(s.in[inShaft], s.in[inVersion])
}

// middle returns the turn that brings the screws through the middle of the
// stretch of neck.
func (s *scene) middle() float64 {
	c := s.head.minus(s.n.times((s.from + s.to) / 2))
	return math.Atan2(c.f, c.m)
}

// A section is both screws at both ends of the stretch of neck, for one turn:
// the margins are concave along a straight screw in an ellipse, so the least
// is at an end. Each axis crosses the section at (x0 + gx·d, y0 + gy·d),
// forwards and upwards of the middle, where d is the depth of the nail.
type section struct {
	count  int
	x0, y0 [4]float64
	out    [4][3]float64 // half of the screw as it is cut by the section: upwards, forwards, at most
	gx, gy float64
	a, b   float64 // half height and half width of the neck
	gap    float64
	keep   [3]float64
}

// section returns the screws at the ends of the stretch. With s along the
// screw, n, v, w along, up and across the neck, G from the crossing of screw
// and nail to the centre of the head, and t along the neck from that centre:
//
//	λ = (t + n·G)/(n·s),   y = −v·G + λ·v·s,   x = −w·G + λ·w·s
//
// An oblique cut through a screw is an ellipse; half of it upwards is
// r·√(1 + (v·s/n·s)²), and likewise forwards. Source: geometry.
func (s *scene) section(turn float64) section {
	dir, _, _ := axes(s.angle, turn)
	along := math.Max(s.n.dot(dir), 0.05) // askewHi keeps it above that
	tv, tw := s.v.dot(dir)/along, s.w.dot(dir)/along
	c := section{a: s.in[inHeight] / 2, b: s.in[inWidth] / 2, keep: s.keep, gap: s.gap}
	c.gy = -s.v.u + tv*s.n.u
	c.gx = -s.w.u + tw*s.n.u
	up, across, most := math.Sqrt(1+tv*tv), math.Sqrt(1+tw*tw), math.Sqrt(1+tv*tv+tw*tw)
	for i := range s.screws {
		g := s.head.minus(vec{u: s.rise[i]})
		for _, t := range [2]float64{-s.to, -s.from} {
			l := t + s.n.dot(g)
			c.y0[c.count] = -s.v.dot(g) + l*tv
			c.x0[c.count] = -s.w.dot(g) + l*tw
			c.out[c.count] = [3]float64{s.radius[i] * up, s.radius[i] * across, s.radius[i] * most}
			c.count++
		}
	}
	return c
}

// margins returns what is left up, down, in front and behind at one end of
// one screw, straight to the wall, and how each changes with depth.
func (c *section) margins(i int, d float64) (m, slope [4]float64) {
	x, y := c.x0[i]+c.gx*d, c.y0[i]+c.gy*d
	high, dh := half(c.a, c.b, x)
	wide, dw := half(c.b, c.a, y)
	dh, dw = dh*c.gx, dw*c.gy
	up, across := c.out[i][0], c.out[i][1]
	return [4]float64{high - y - up, high + y - up, wide - x - across, wide + x - across},
		[4]float64{dh - c.gy, dh + c.gy, dw - c.gx, dw + c.gx}
}

// least returns the smallest margin beyond its clearance, over both screws
// and both ends, and how it changes with depth. Free leaves out the ways to
// the lower wall, which are then settled. It is what a search spends its time
// on, so it works out one slope only.
func (c *section) least(d float64, free bool) (value, slope float64) {
	value = math.Inf(1)
	at, to := 0, 0
	for i := range c.count {
		x, y := c.x0[i]+c.gx*d, c.y0[i]+c.gy*d
		high := halfAt(c.a, c.b, x) - c.out[i][0]
		wide := halfAt(c.b, c.a, y) - c.out[i][1] - math.Abs(x)
		if v := high - y - c.keep[0]; v < value {
			value, at, to = v, i, 0
		}
		if v := high + y - c.keep[1]; !free && v < value {
			value, at, to = v, i, 1
		}
		if v := wide - c.keep[2]; v < value { // the same clearance before and behind
			value, at, to = v, i, 2
			if x < 0 {
				to = 3
			}
		}
	}
	_, g := c.margins(at, d)
	return value, g[to]
}
