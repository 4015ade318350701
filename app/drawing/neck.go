package drawing

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/units"
)

func (in NeckInput) check() error {
	var c checker
	c.in("the radius of the head", in.Head.R, 10, 40)
	c.in("the height of the neck", geom.Dist(in.Upper, in.Lower), 5, 80)
	c.in("the length of the shaft's axis", geom.Dist(in.Shaft.A, in.Shaft.B), 5, mostBone)
	c.in("the way from the neck to the head", geom.Dist(geom.Mid(in.Upper, in.Lower), in.Head.Centre), 0, 120)
	c.in("the way from the shaft to the head", geom.Dist(in.Shaft.A, in.Head.Centre), 0, 200)
	if in.Tip != nil {
		c.in("the way from the trochanter to the head", geom.Dist(*in.Tip, in.Head.Centre), 0, 200)
	}
	c.in("the distance to keep", in.KeepUpper, 0, 30)
	c.in("the distance to keep", in.KeepLower, 0, 30)
	for _, s := range in.Screws {
		c.in("the head screw's diameter", s.Diameter, 2, 20)
		c.in("the head screw's length", geom.Dist(s.Axis.A, s.Axis.B), 20, 200)
		c.in("the way from the screw to the head", geom.Dist(s.Axis.B, in.Head.Centre), 0, 200)
	}
	return c.err("neck")
}

// NeckAP returns the neck and the head as they were marked on the AP film, to
// scale: the circle of the head, the inner edges of the neck at its
// narrowest, the axis of the nail, and the head screws with what they leave
// above and below. It refuses when a number is impossible.
func NeckAP(in NeckInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &neckDrawing{in: in, s: newSheet(in.ID, 328, 330)}
	d.fit()
	d.bone()
	d.screws()
	d.legend()
	return d.s.done("d-neck", "The neck of the femur on the AP film", d.words()), nil
}

type neckDrawing struct {
	in    NeckInput
	s     *sheet
	k     float64
	shift xy
}

func (d *neckDrawing) at(p geom.Pt[units.MM]) xy {
	return xy{float64(p.X)*d.k + d.shift.x, float64(p.Y)*d.k + d.shift.y}
}

// neckRoom is the room for the picture; the legend stands below it.
const neckTop, neckHeight = 20.0, 220.0

// fit finds the scale with which all landmarks fit.
func (d *neckDrawing) fit() {
	in := d.in
	r := in.Head.R + 2
	pts := []geom.Pt[units.MM]{
		{X: in.Head.Centre.X - r, Y: in.Head.Centre.Y - r}, {X: in.Head.Centre.X + r, Y: in.Head.Centre.Y + r},
		in.Upper, in.Lower, in.Shaft.A,
	}
	if in.Tip != nil {
		pts = append(pts, *in.Tip)
	}
	for _, s := range in.Screws {
		pts = append(pts, s.Axis.A, s.Axis.B)
	}
	lo, hi := pts[0], pts[0]
	for _, p := range pts {
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	w, h := float64(hi.X-lo.X)+16, float64(hi.Y-lo.Y)+16
	d.k = math.Min(4, math.Min(316/w, neckHeight/h))
	d.shift = xy{164 - float64(lo.X+hi.X)/2*d.k, neckTop + neckHeight/2 - float64(lo.Y+hi.Y)/2*d.k}
}

// clipped returns the part of a line that lies in the room of the picture.
func (d *neckDrawing) clipped(a, b xy) (xy, xy, bool) {
	t0, t1 := 0.0, 1.0
	v := b.minus(a)
	for _, e := range [][2]float64{{-v.x, a.x - 4}, {v.x, 324 - a.x}, {-v.y, a.y - neckTop}, {v.y, neckTop + neckHeight - a.y}} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	return a.to(b, t0), a.to(b, t1), t0 < t1
}

func (d *neckDrawing) bone() {
	in := d.in
	c := d.at(in.Head.Centre)
	r := float64(in.Head.R) * d.k
	d.s.circle("d-bone", c, r)
	d.s.circle("d-ink", c, r, long("head", 2*float64(in.Head.R), d.k))
	d.s.poly("d-ink", false, c.plus(xy{-4, 0}), c.plus(xy{4, 0}))
	d.s.poly("d-ink", false, c.plus(xy{0, -4}), c.plus(xy{0, 4}))
	u, l := d.at(in.Upper), d.at(in.Lower)
	d.s.line("d-fine", u, l, long("neck", float64(geom.Dist(in.Upper, in.Lower)), d.k))
	// Short pieces of the edges, along the line from neck to head.
	mid := u.to(l, 0.5)
	if n := c.minus(mid); n.length() > 1 {
		e := n.times(7 / n.length())
		d.s.line("d-bold", u.minus(e), u.plus(e))
		d.s.line("d-bold", l.minus(e), l.plus(e))
	}
	far := in.Shaft.B.Minus(in.Shaft.A).Times(20)
	if a, b, ok := d.clipped(d.at(in.Shaft.A.Minus(far)), d.at(in.Shaft.B.Plus(far))); ok {
		d.s.line("d-axis", a, b)
	}
	if in.Tip != nil {
		d.s.circle("d-movefill", d.at(*in.Tip), 3)
	}
}

func (d *neckDrawing) screws() {
	for _, s := range d.in.Screws {
		a, b := d.at(s.Axis.A), d.at(s.Axis.B)
		u := b.minus(a).times(1 / b.minus(a).length())
		side := u.left().times(float64(s.Diameter) / 2 * d.k)
		class := "d-ghost"
		if s.Ends {
			class = "d-nail"
		}
		d.s.poly(class, true, a.plus(side), b.plus(side), b.minus(side), a.minus(side))
		d.s.line("d-screw d-dashed", a, b, long("screw-"+string(s.Place), float64(geom.Dist(s.Axis.A, s.Axis.B)), d.k))
	}
	up, low := d.margins()
	u, l := d.at(d.in.Upper), d.at(d.in.Lower)
	n := geom.Dist(d.in.Upper, d.in.Lower)
	for _, m := range []struct {
		l    *units.MM
		a, b xy
		keep units.MM
		what string
	}{{up, u, l, d.in.KeepUpper, "margin-upper"}, {low, l, u, d.in.KeepLower, "margin-lower"}} {
		if m.l == nil || *m.l == 0 {
			continue
		}
		to := m.a.to(m.b, float64(*m.l/n))
		class := "d-move"
		if *m.l < m.keep {
			class = "d-stop"
		}
		d.s.dim(class, m.a, to, long(m.what, math.Abs(float64(*m.l)), d.k))
	}
}

// margins returns what lies along the narrowest line of the neck between its
// edge and the surface of the screw next to it; negative: the screw cuts the
// edge. A screw that does not cross that line gives nil.
func (d *neckDrawing) margins() (upper, lower *units.MM) {
	neck := geom.Line[units.MM]{A: d.in.Upper, B: d.in.Lower}
	height := geom.Dist(neck.A, neck.B)
	for _, s := range d.in.Screws {
		q, ok := geom.Meet(neck, s.Axis)
		angle, ok2 := geom.AngleDeg(neck.B.Minus(neck.A), s.Axis.B.Minus(s.Axis.A))
		sin := math.Sin(angle * math.Pi / 180)
		if !ok || !ok2 || !(sin > 0.3) {
			continue
		}
		t, _, ok := neck.Along(q)
		if !ok {
			continue
		}
		half := s.Diameter / 2 / units.MM(sin)
		a, b := t-half, height-t-half
		if upper == nil || a < *upper {
			upper = &a
		}
		if lower == nil || b < *lower {
			lower = &b
		}
	}
	return upper, lower
}

// wrongWay reports that the head lies on the side where it cannot lie on a
// film of this leg seen from the front.
func (in NeckInput) wrongWay() bool {
	return in.Side.Valid() && float64(in.Head.Centre.X-in.Shaft.A.X)*medial(in.Side) < 0
}

func (d *neckDrawing) legend() {
	in := d.in
	d.s.text("d-t", small, xy{6, 13}, start, neckTitle(in.Side))
	y := neckTop + neckHeight + 18
	row := func(class, name string, l *units.MM, keep units.MM) {
		if l == nil {
			return
		}
		v := units.MM(math.Round(float64(*l)*10) / 10)
		d.s.text("d-t", normal, xy{6, y}, start, name)
		if *l < keep || *l < 0 {
			class = "d-t d-red"
		}
		d.s.text(class, normal, xy{200, y}, end, v.String())
		if keep > 0 {
			d.s.text("d-t d-soft", small, xy{322, y}, end, "keep "+keep.String())
		}
		y += 19
	}
	neck := geom.Dist(in.Upper, in.Lower)
	row("d-t d-num", "neck, inside", &neck, 0)
	up, low := d.margins()
	row("d-t d-num", "above upper", up, in.KeepUpper)
	row("d-t d-num", "below lower", low, in.KeepLower)
	if in.Missing != "" {
		d.s.text("d-t d-soft", small, xy{6, y}, start, cut(in.Missing, small, 316))
		y += 19
	}
	if in.wrongWay() {
		d.s.text("d-t d-red", small, xy{6, 326}, start, "STOP: head on the wrong side. Flipped film?")
		return
	}
	d.s.text("d-t d-soft", small, xy{6, 326}, start, "to scale, in the plane of the film")
}

func neckTitle(s anatomy.Side) string {
	if !s.Valid() {
		return "side not given, as on the film"
	}
	return sideWords(s) + ", as on the film"
}

func (d *neckDrawing) words() string {
	in := d.in
	one := func(v units.MM) string { return units.MM(math.Round(float64(v)*10) / 10).String() }
	say := []string{neckTitle(in.Side) + ".", "Radius of the head " + one(in.Head.R) + ".", "Inner height of the neck at its narrowest " + one(geom.Dist(in.Upper, in.Lower)) + "."}
	up, low := d.margins()
	if up != nil {
		say = append(say, "Between the upper edge and the nearest screw "+one(*up)+"; to keep "+in.KeepUpper.String()+".")
	}
	if low != nil {
		say = append(say, "Between the lower edge and the nearest screw "+one(*low)+"; to keep "+in.KeepLower.String()+".")
	}
	for _, s := range in.Screws {
		if s.Ends {
			say = append(say, map[implant.Place]string{implant.Lower: "Lower", implant.Upper: "Upper"}[s.Place]+" head screw "+one(geom.Dist(s.Axis.A, s.Axis.B))+".")
		}
	}
	if in.Missing != "" {
		say = append(say, "No screws are drawn: "+in.Missing+".")
	}
	if in.wrongWay() {
		say = append(say, "The head lies on the wrong side for this leg: the film may be flipped, or the side is wrong.")
	}
	return strings.Join(append(say, "To scale in the plane of the film."), " ")
}
