package drawing

import (
	"math"
	"strings"

	"isthmus/core/units"
)

// SpaceAP returns both head screws as they are seen from the front, to scale:
// axis of the nail, head, neck as the edges of a tube, screws with their
// thickness and tips, what they leave above and below, and the band that the
// tips keep from the joint. Parallel projection on the AP plane of the leg. It
// refuses impossible numbers and margins that are not those of the picture.
func SpaceAP(in SpaceInput) (string, error) {
	return in.view("ap", "Both head screws from the front", v3{1, 0, 0}, v3{0, 1, 0}, [2]int{0, 1})
}

// SpaceLateral returns both head screws from the side, with what they leave in
// front and behind. The beam is square to the screws in the AP plane, from
// below, so that the neck is seen in its length: axes (sin p, cos p, 0) and
// front, p being 180° less the angle of the screws. It refuses as SpaceAP.
func SpaceLateral(in SpaceInput) (string, error) {
	along, _, _ := along3(in.Model.Angle, 0)
	return in.view("lat", "Both head screws from the side", along, v3{0, 0, 1}, [2]int{2, 3})
}

type spaceDrawing struct {
	in     SpaceInput
	h      hip3
	s      *sheet
	e1, e2 v3 // to the right for a right leg, and up
	k      float64
	shift  xy
	flip   float64
	high   float64 // room for the picture
	upY    float64 // where the name of the upper screw stands
}

const spaceTop = 34.0

func (in SpaceInput) view(id, title string, e1, e2 v3, dirs [2]int) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &spaceDrawing{in: in, h: in.hip(), s: newSheet(in.ID+"-"+id, 328, 0), e1: e1, e2: e2, flip: medial(in.Side), high: 170}
	if id == "ap" {
		d.high = 250
	}
	d.fit()
	d.bone()
	d.band()
	for i := range placeOf {
		d.screw(1 - i)
	}
	rows := d.margins(dirs)
	d.marks(id)
	d.nail()
	y := d.rule(spaceTop + d.high + 18)
	y = d.rows(y, rows)
	for i := range placeOf {
		if d.deep(i) {
			d.s.text("d-t d-red", small, xy{6, y}, start, "bar: "+string(placeOf[i])+" tip under "+d.in.Clearance.String()+" from the joint")
			y += 18
		}
	}
	d.s.text("d-t d-soft", small, xy{6, y}, start, "to scale, parallel view"+map[string]string{"ap": "; nail: its axis only", "lat": ", square to the screws"}[id])
	d.s.h = y + 8
	return d.s.done("d-space", title, d.words(id, dirs)), nil
}

func (d *spaceDrawing) flat(p v3) xy { return xy{d.flip * p.dot(d.e1), -p.dot(d.e2)} }
func (d *spaceDrawing) at(p v3) xy   { return d.flat(p).times(d.k).plus(d.shift) }

// start3 is where screw i goes in, end3 where it ends, and whether that is
// decided. Where it is not, it ends at its clearance, or in the middle of the
// head.
func (d *spaceDrawing) ends(i int) (a, b v3, decided bool) {
	a = d.h.from[i].plus(d.h.dir, -float64(d.in.Model.Lateral))
	if ask := d.in.asks()[i]; ask > 0 && d.in.Model.Lateral > 0 {
		return a, a.plus(d.h.dir, float64(ask)), true
	}
	to := d.h.head.plus(d.h.from[i], -1)
	foot := to.dot(d.h.dir)
	if rest := d.h.r*d.h.r - to.dot(to) + foot*foot; rest > 0 {
		foot += math.Max(math.Sqrt(rest)-float64(d.in.Clearance), 0)
	}
	return a, d.h.from[i].plus(d.h.dir, foot), false
}

// fit finds the scale with which head, screws and the nail about them fit.
func (d *spaceDrawing) fit() {
	c := d.flat(d.h.head)
	lo, hi := c.minus(xy{d.h.r, d.h.r}), c.plus(xy{d.h.r, d.h.r})
	take := func(p xy) {
		lo, hi = xy{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}, xy{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
	}
	for i := range placeOf {
		a, b, _ := d.ends(i)
		take(d.flat(a))
		take(d.flat(b))
	}
	take(d.flat(d.h.from[0].plus(v3{0, 1, 0}, -18)))
	w, h := hi.x-lo.x+14, hi.y-lo.y+14
	d.k = math.Min(3.2, math.Min(316/w, d.high/h))
	aside := 0.0 // room beside the screws for their names
	if d.e1[1] == 0 {
		aside = d.flip * math.Min(46, (316-w*d.k)/2)
	}
	d.shift = xy{164 + aside - (lo.x+hi.x)/2*d.k, spaceTop + d.high/2 - (lo.y+hi.y)/2*d.k}
}

// bone draws the head and the neck: its edges are full on the stretch that was
// measured and dashed beyond. The half width of an oval tube seen in a plane
// is √(a²(v·m)² + b²(w·m)²), m lying square to the tube as it is seen.
func (d *spaceDrawing) bone() {
	c, r := d.at(d.h.head), d.h.r*d.k
	n2 := xy{d.h.n.dot(d.e1), d.h.n.dot(d.e2)}
	m2 := n2.times(1 / n2.length()).left()
	m := v3{}.plus(d.e1, m2.x).plus(d.e2, m2.y)
	half := math.Hypot(d.h.a*d.h.v.dot(m), d.h.b*d.h.w.dot(m))
	edge := func(behind, side float64) xy { return d.at(d.h.head.plus(d.h.n, -behind).plus(m, side*half)) }
	rim := math.Sqrt(math.Max(d.h.r*d.h.r-half*half, 0)) / n2.length()
	out := d.h.far + 9
	d.s.poly("d-bone", true, edge(0, 1), edge(out, 1), edge(out, -1), edge(0, -1))
	d.s.circle("d-bone", c, r)
	d.s.circle("d-ink", c, r, long("head", 2*d.h.r, d.k))
	d.s.poly("d-ink", false, c.plus(xy{-4, 0}), c.plus(xy{4, 0}))
	d.s.poly("d-ink", false, c.plus(xy{0, -4}), c.plus(xy{0, 4}))
	for _, side := range []float64{1, -1} {
		if rim < d.h.near {
			d.s.line("d-guess", edge(rim, side), edge(d.h.near, side))
		}
		d.s.line("d-bold", edge(math.Max(d.h.near, math.Min(rim, d.h.far)), side), edge(d.h.far, side))
		d.s.line("d-guess", edge(d.h.far, side), edge(out, side))
	}
}

// nail draws the axis of the nail, and its top where that is known.
func (d *spaceDrawing) nail() {
	top := d.h.from[1].plus(v3{0, 1, 0}, 22)
	if d.in.Model.HeadDepth > 0 {
		top = v3{0, -float64(d.in.Model.Top), 0}
	}
	a, b := d.at(top), d.at(d.h.from[0].plus(v3{0, 1, 0}, -18))
	t := 0.0 // of the axis that lies above the picture
	if a.y < spaceTop && b.y > a.y {
		t = (spaceTop - a.y) / (b.y - a.y)
	}
	for _, limit := range []float64{4, 324} {
		if o := (limit - a.x) / (b.x - a.x); (a.x < 4 && limit == 4 || a.x > 324 && limit == 324) && o > t && o < 1 {
			t = o
		}
	}
	d.s.line("d-axis", a.to(b, t), d.held(b))
	if t == 0 && d.in.Model.HeadDepth > 0 && d.e1[1] == 0 {
		d.s.line("d-bold", a.plus(xy{-9, 0}), a.plus(xy{9, 0}))
		way := -d.flip
		if math.Abs(a.y-d.upY) < 18 {
			way = d.flip
		}
		d.s.text("d-t", small, xy{a.x + way*13, a.y + 4}, anchorOf(way), "nail top")
	}
}

// held keeps a point inside the picture.
func (d *spaceDrawing) held(p xy) xy { return xy{clamp(p.x, 2, 326), clamp(p.y, 2, spaceTop+d.high+6)} }

// anchorOf is the anchor of words that go to the right (1) or left (−1).
func anchorOf(way float64) anchor {
	if way < 0 {
		return end
	}
	return start
}

// band hatches what the tips must keep from the joint surface, on the side of
// the head away from the neck.
func (d *spaceDrawing) band() {
	c := d.at(d.h.head)
	way := d.at(d.h.head.plus(d.h.n, 1)).minus(c)
	outer := arc(c, d.h.r*d.k, way, 95)
	inner := arc(c, (d.h.r-float64(d.in.Clearance))*d.k, way, 95)
	for i := len(inner) - 1; i >= 0; i-- {
		outer = append(outer, inner[i])
	}
	d.s.hatched(careHatch, outer...)
}

func (d *spaceDrawing) screw(i int) {
	from, to, decided := d.ends(i)
	a, b := d.at(from), d.at(to)
	u := b.minus(a).times(1 / b.minus(a).length())
	side := u.left().times(d.h.half * d.k)
	class := "d-ghost"
	if decided {
		class = "d-nail"
	}
	d.s.poly(class, true, a.plus(side), b.plus(side), b.minus(side), a.minus(side))
	if d.deep(i) {
		d.s.line("d-stop", b.plus(side.times(1.6)), b.minus(side.times(1.6)))
	}
	seen := d.flat(to).minus(d.flat(from)).length()
	d.s.line("d-screw d-dashed", a, b, long("screw-"+string(placeOf[i]), seen, d.k))
}

// deep is true of a chosen screw whose tip lies nearer to the joint surface
// than its clearance, the shortest way.
func (d *spaceDrawing) deep(i int) bool {
	_, tip, decided := d.ends(i)
	off := tip.plus(d.h.head, -1)
	return decided && d.h.r-math.Sqrt(off.dot(off)) < float64(d.in.Clearance)-0.05
}

// A spaceRow is one line under the picture.
type spaceRow struct {
	name string
	l    units.Length
	keep units.MM
}

// margins draws the tightest way to the wall in both directions of the view
// as dimension lines, and returns all of them.
func (d *spaceDrawing) margins(dirs [2]int) (rows []spaceRow) {
	for _, j := range dirs {
		which, g := 0, d.h.gaps(0)[j]
		if o := d.h.gaps(1)[j]; o.mm < g.mm {
			which, g = 1, o
		}
		class := "d-move"
		if units.MM(g.mm) < d.in.keepOf(j)-0.05 {
			class = "d-stop"
		}
		a, b := d.at(g.a), d.at(g.b)
		d.s.dim(class, a, b, long("room-"+string(placeOf[which])+"-"+[4]string{"up", "down", "front", "back"}[j], d.flat(g.b).minus(d.flat(g.a)).length(), d.k))
		for i := 1; i >= 0; i-- {
			if l := d.in.margin(i, j); l != nil && (j > 1 || i == which) {
				rows = append(rows, spaceRow{sideOf[j] + " " + string(placeOf[i]), *l, d.in.keepOf(j)})
			}
		}
	}
	return rows
}

// marks writes the view, and which way is which, in words.
func (d *spaceDrawing) marks(id string) {
	view := map[string]string{"ap": ", from the front", "lat": ", from the side"}[id]
	d.s.text("d-t d-num", small, xy{6, 13}, start, spaceSide(d.in)+view)
	left, right := "lateral", "medial"
	if d.flip < 0 {
		left, right = right, left
	}
	d.s.text("d-t", small, xy{6, 29}, start, "← "+left)
	d.s.text("d-t", small, xy{322, 29}, end, right+" →")
	up := map[string]string{"ap": "up ↑", "lat": "front ↑"}[id]
	d.s.text("d-t", small, xy{164, 29}, middle, up)
	if id == "lat" {
		d.s.text("d-t", small, xy{164, spaceTop + d.high + 6}, middle, "back ↓")
	}
	for i, ask := range d.in.asks() {
		a, _, decided := d.ends(i)
		p := d.at(a)
		words := string(placeOf[i])
		if decided {
			words += " " + ask.String()
		}
		w := wide(words, small) * 1.1
		if id == "ap" {
			d.upY = p.y
			x := clamp(p.x-d.flip*10, 6, 322)
			if d.flip > 0 {
				x = math.Max(x, 6+w)
			} else {
				x = math.Min(x, 322-w)
			}
			d.s.text("d-t d-blue", small, xy{x, p.y + []float64{8, 0}[i]}, anchorOf(-d.flip), words)
			continue
		}
		if d.flip < 0 {
			p.x -= w
		}
		p.y += []float64{30, -22}[i]
		d.s.text("d-t d-blue", small, xy{clamp(p.x, 6, 322-w), clamp(p.y, 46, spaceTop+d.high-6)}, start, words)
	}
}

func spaceSide(in SpaceInput) string {
	if !in.Side.Valid() {
		return "side not given: as a right femur"
	}
	return sideWords(in.Side)
}

// rule draws a millimetre rule under the picture.
func (d *spaceDrawing) rule(y float64) float64 {
	step := ruleStep(d.k, 18)
	n := int(math.Min(math.Floor(250/(step*d.k)), 10))
	x := func(i int) float64 { return 10 + float64(i)*step*d.k }
	d.s.line("d-rule", xy{x(0), y}, xy{x(n), y}, long("rule", float64(n)*step, d.k))
	for i := 0; i <= n; i++ {
		tall := 5.0
		if i == 0 || i == n {
			tall = 9
		}
		d.s.line("d-rule", xy{x(i), y}, xy{x(i), y - tall}, at("tick", float64(i)*step))
	}
	d.s.text("d-t d-soft", small, xy{x(n) + 6, y + 1}, start, units.MM(float64(n)*step).String())
	return y + 22
}

// rows writes the margins beside what is to be kept.
func (d *spaceDrawing) rows(y float64, rows []spaceRow) float64 {
	for _, r := range rows {
		class, words := "d-t d-num", "keep "+r.keep.String()
		if r.keep == 0 {
			words = "on no film"
		}
		switch {
		case r.l.Best < r.keep-0.05 || r.l.Best < 0:
			class, words = "d-t d-red", "under "+r.keep.String()
			if r.l.Best < 0 {
				words = "through it"
			}
		case r.keep > 0 && r.l.Doubt() > 0 && r.l.Best > r.keep+0.05 && r.l.Against(r.keep) == units.Unclear:
			words = "close to " + r.keep.String()
		}
		d.s.text("d-t", small, xy{6, y}, start, r.name)
		d.s.text(class, normal, xy{226, y}, end, r.l.String())
		d.s.text("d-t d-soft", small, xy{322, y}, end, words)
		y += 18
	}
	return y
}

func (d *spaceDrawing) words(id string, dirs [2]int) string {
	in := d.in
	view := map[string]string{"ap": "from the front", "lat": "from the side, square to the screws"}[id]
	say := []string{upperFirst(spaceSide(in)) + ", " + view + "."}
	for i := range placeOf {
		for _, j := range dirs {
			if l := in.margin(i, j); l != nil {
				say = append(say, upperFirst(sideOf[j])+" the "+string(placeOf[i])+" screw "+l.String()+"; to keep "+in.keepOf(j).String()+".")
			}
		}
		if ask := in.asks()[i]; ask > 0 {
			say = append(say, upperFirst(string(placeOf[i]))+" screw "+ask.String()+".")
		} else {
			say = append(say, upperFirst(string(placeOf[i]))+" screw not decided, drawn dashed.")
		}
	}
	return strings.Join(append(say, "Hatched: "+in.Clearance.String()+" to keep from the joint. To scale in this view; what runs towards the eye is drawn shorter."), " ")
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
