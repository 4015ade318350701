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
	if len(c.gaps) == 0 {
		in.agreeMargins(&c)
	}
	return c.err("neck")
}

// agreeMargins refuses margins that are not those of the picture.
func (in NeckInput) agreeMargins(c *checker) {
	up, low := in.margins()
	for _, m := range []struct {
		what  string
		l     *units.Length
		drawn *units.MM
	}{{"the margin above the upper screw", in.Above, up}, {"the margin below the lower screw", in.Below, low}} {
		switch {
		case m.l == nil:
		case m.drawn == nil:
			c.gap(m.what, m.l.Best.String(), "a screw that crosses the neck")
		case !m.l.Finite():
			c.gap("the doubt of "+m.what, "no number", "0 mm or more")
		default:
			c.agrees(m.what, m.l, *m.drawn)
		}
	}
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
	up, low := d.in.margins()
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
func (in NeckInput) margins() (upper, lower *units.MM) {
	neck := geom.Line[units.MM]{A: in.Upper, B: in.Lower}
	height := geom.Dist(neck.A, neck.B)
	for _, s := range in.Screws {
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
	neck := units.Exact(oneTenth(geom.Dist(in.Upper, in.Lower)))
	d.s.text("d-t", normal, xy{6, y}, start, "neck, inside")
	d.s.text("d-t d-num", normal, xy{206, y}, end, neck.String())
	up, low := in.margins()
	y = d.marginRow(y+19, "above upper", up, in.Above, in.KeepUpper)
	y = d.marginRow(y, "below lower", low, in.Below, in.KeepLower)
	if in.Missing != "" {
		d.s.text("d-t d-soft", small, xy{6, y}, start, cut(in.Missing, small, 316))
	}
	if in.wrongWay() {
		d.s.text("d-t d-red", small, xy{6, 326}, start, "STOP: head on the wrong side. Flipped film?")
		return
	}
	d.s.text("d-t d-soft", small, xy{6, 326}, start, "to scale, in the plane of the film")
}

// marginRow writes one margin beside what is to be kept and returns where the
// next row goes.
func (d *neckDrawing) marginRow(y float64, name string, drawn *units.MM, doubted *units.Length, keep units.MM) float64 {
	if drawn == nil {
		return y
	}
	l := marginOf(drawn, doubted)
	class, words := "d-t d-num", "keep "+keep.String()
	switch {
	case l.Best < keep || l.Best < 0:
		class = "d-t d-red"
	case l.Doubt() > 0 && l.Against(keep) == units.Unclear:
		words = "close to " + keep.String()
	}
	d.s.text("d-t", normal, xy{6, y}, start, name)
	d.s.text(class, normal, xy{206, y}, end, l.String())
	d.s.text("d-t d-soft", small, xy{322, y}, end, words)
	return y + 19
}

// marginOf is the margin with its doubt where that is known.
func marginOf(drawn *units.MM, doubted *units.Length) units.Length {
	if doubted != nil {
		return *doubted
	}
	return units.Exact(oneTenth(*drawn))
}

func oneTenth(v units.MM) units.MM { return units.MM(math.Round(float64(v)*10) / 10) }

func neckTitle(s anatomy.Side) string {
	if !s.Valid() {
		return "side not given, as on the film"
	}
	return sideWords(s) + ", as on the film"
}

func (d *neckDrawing) words() string {
	in := d.in
	one := func(v units.MM) string { return oneTenth(v).String() }
	say := []string{neckTitle(in.Side) + ".", "Radius of the head " + one(in.Head.R) + ".", "Inner height of the neck at its narrowest " + one(geom.Dist(in.Upper, in.Lower)) + "."}
	up, low := in.margins()
	if up != nil {
		say = append(say, "Between the upper edge and the nearest screw "+marginOf(up, in.Above).String()+"; to keep "+in.KeepUpper.String()+".")
	}
	if low != nil {
		say = append(say, "Between the lower edge and the nearest screw "+marginOf(low, in.Below).String()+"; to keep "+in.KeepLower.String()+".")
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
