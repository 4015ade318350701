package drawing

import (
	"math"
	"strconv"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// DistalInput is what the drawing of the lower end is made from. Levels lie
// below the tip of the trochanter, along the bone.
type DistalInput struct {
	ID       string
	Side     anatomy.Side
	Diameter units.MM // of the nail
	Tip      units.MM // level of its tip
	Holes    []DistalHole
	Fracture *units.Length // level of the lower end of the fracture
	Gap      *units.Length // from there to the highest hole that takes a screw
}

// A DistalHole is one hole with what goes through it.
type DistalHole struct {
	Number int // 1 is the highest
	Level  units.MM
	Plane  implant.Plane
	Slot   bool
	Use    bool
	Ask    units.MM // length of the screw; 0: not decided
}

// DistalFromPlan returns what the drawing needs from a case and its plan.
func DistalFromPlan(c record.Case, p plan.Plan) DistalInput {
	in := DistalInput{ID: "distal", Side: c.Side, Diameter: p.Nail.Diameter}
	n := p.Nail.Part
	for i, h := range p.Distal.Holes {
		if h.Level == nil || n == nil || i >= len(n.Distal) {
			continue
		}
		in.Tip = h.Level.Best + n.Distal[i].FromTip
		in.Holes = append(in.Holes, DistalHole{Number: h.Hole, Level: h.Level.Best, Plane: h.Plane, Slot: h.Slot, Use: h.Use, Ask: h.Ask})
		if h.Use && in.Gap == nil && h.ToFracture != nil {
			in.Gap = h.ToFracture
			in.Fracture = &units.Length{Best: h.Level.Best - h.ToFracture.Best, Own: h.ToFracture.Doubt()}
		}
	}
	return in
}

func (in DistalInput) check() error {
	var c checker
	c.in("the diameter of the nail", in.Diameter, 5, 20)
	if len(in.Holes) == 0 {
		c.gap("a distal hole of the nail", "not known", "a nail with holes")
	}
	for _, h := range in.Holes {
		c.in("the level of a hole", h.Level, 50, 800)
		c.in("a locking screw", h.Ask, 0, 150)
		if h.Level > in.Tip {
			c.gap("the tip of the nail", shown(float64(in.Tip)), "below its holes")
		}
	}
	c.in("the tip of the nail", in.Tip, 50, 900)
	c.maybe("the fracture", in.Fracture, 0, mostBone)
	c.maybe("the way to the fracture", in.Gap, -mostBone, mostBone)
	return c.err("lower end")
}

// Distal returns the drawing of the lower end from the front, to scale: the
// nail with its holes, the screws as long as they are asked for, and the lower
// end of the fracture with the doubt of the way between. The outline of the
// bone is not measured and dashed. It refuses impossible numbers.
func Distal(in DistalInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &distal{in: in, x0: 134}
	d.scale()
	d.s = newSheet(in.ID, 328, d.y(d.hi)+30)
	d.outline()
	d.fracture()
	d.nail()
	for _, h := range in.Holes {
		d.hole(h)
	}
	d.labels()
	d.rule()
	d.s.text("d-t d-soft", small, xy{6, 14}, start, sideAndView(in.Side))
	d.s.text("d-t d-soft", small, xy{6, d.s.h - 6}, start, "mm below trochanter tip, dashed: a guess")
	return d.s.done("d-distal", "Lower end of the nail", d.words()), nil
}

type distal struct {
	in     DistalInput
	s      *sheet
	x0     float64 // axis of the nail
	k      float64
	lo, hi float64 // levels that are drawn
	cut    bool    // the fracture lies above the drawing
}

// farthest is how much above the highest hole a fracture is still drawn, mm.
const farthest = 130

func (d *distal) scale() {
	first := float64(d.in.Holes[0].Level)
	d.lo, d.hi = first-30, float64(d.in.Tip)+14
	if f := d.in.Fracture; f != nil {
		at := float64(f.Best) - sure(*f) - 10
		if d.cut = at < first-farthest; !d.cut {
			d.lo = math.Min(d.lo, at)
		}
	}
	longest := 60.0
	for _, h := range d.in.Holes {
		longest = math.Max(longest, float64(h.Ask))
	}
	d.k = math.Min(math.Min(2.6, 170/longest), 330/(d.hi-d.lo))
}

func (d *distal) y(t float64) float64     { return 24 + (t-d.lo)*d.k }
func (d *distal) at(t, across float64) xy { return xy{d.x0 + across*d.k*medial(d.in.Side), d.y(t)} }
func (d *distal) half(t float64) float64  { f := (t - d.lo) / (d.hi - d.lo); return 15 + 14*f*f }
func (d *distal) level(f float64) float64 { return d.lo + f*(d.hi-d.lo) }

// outline is the bone as it usually is; nobody measured it here.
func (d *distal) outline() {
	var a, b []xy
	for i := 0; i <= 8; i++ {
		t := d.level(float64(i) / 8)
		a, b = append(a, d.at(t, -d.half(t))), append(b, d.at(t, d.half(t)))
	}
	d.s.poly("d-guess", false, a...)
	d.s.poly("d-guess", false, b...)
}

// fracture is the lower end of the break, with the doubt of its way to the
// highest screw as a hatched edge.
func (d *distal) fracture() {
	f := d.in.Fracture
	if f == nil || d.cut {
		return
	}
	t, u := float64(f.Best), sure(*f)
	top, bottom := math.Max(t-u, d.lo), math.Min(t+u, d.hi)
	if u > 0 && top < bottom {
		w := d.half(bottom)
		d.s.hatched(doubtHatch, d.at(top, -w), d.at(top, w), d.at(bottom, w), d.at(bottom, -w))
	}
	if t < d.lo || t > d.hi {
		return
	}
	w := d.half(t)
	var pts []xy
	for i := 0; i <= 8; i++ {
		pts = append(pts, d.at(t, w*(float64(i)/4-1)).plus(xy{0, float64(i%2)*6 - 3}))
	}
	d.s.poly("d-break", false, pts...)
}

func (d *distal) nail() {
	r := float64(d.in.Diameter) / 2
	tip := float64(d.in.Tip)
	a, b := d.at(d.lo, -r), d.at(tip, r)
	d.s.box("d-nail", a, b, 0)
	d.s.line("d-axis", d.at(d.lo, 0), d.at(tip, 0), long("nail", tip-d.lo, d.k))
	d.s.line("d-fine", d.at(tip, -r), d.at(tip, r), long("nail-diameter", 2*r, d.k))
}

// hole draws a hole and its screw: across where it runs from side to side, end
// on where it runs from front to back. A screw whose length is not decided is
// dashed, and as long as nothing.
func (d *distal) hole(h DistalHole) {
	t, r := float64(h.Level), float64(d.in.Diameter)/2
	high := 2.5
	if h.Slot {
		high = 5
	}
	class, half := "d-screw", float64(h.Ask)/2
	if h.Ask == 0 {
		class, half = "d-screw d-dashed", d.half(t)
	}
	if h.Plane == implant.Sagittal {
		d.s.circle("d-hole", d.at(t, 0), math.Min(2.5, r*0.8)*d.k)
		if h.Use {
			d.s.circle(class, d.at(t, 0), math.Min(1.6, r*0.5)*d.k)
		}
		return
	}
	d.s.box("d-hole", d.at(t-high, -r), d.at(t+high, r), 0)
	if !h.Use {
		return
	}
	slope := 0.0
	if h.Plane == implant.Oblique { // which way it slants is not known to the shelf
		slope = 0.2
	}
	a, b := d.at(t-half*slope, -half), d.at(t+half*slope, half)
	if h.Ask > 0 && slope == 0 {
		d.s.line(class, a, b, long("screw", float64(h.Ask), d.k))
		return
	}
	d.s.line(class, d.s.inside(a), d.s.inside(b))
}

// labels stand right of the bone, beside what they name.
func (d *distal) labels() {
	var want, size []float64
	var words, class []string
	add := func(t float64, c, w string) {
		want, size, words, class = append(want, d.y(t)), append(size, 15), append(words, w), append(class, c)
	}
	switch f := d.in.Fracture; {
	case f == nil:
		add(d.lo, "d-t d-soft", "fracture: ?")
	case d.cut:
		add(d.lo, "d-t d-red", "fracture higher up")
	default:
		add(math.Max(float64(f.Best), d.lo), "d-t d-red", "fracture ends")
	}
	for _, h := range d.in.Holes {
		c, w := "d-t d-soft", strconv.Itoa(h.Number)+": empty"
		if h.Use {
			c, w = "d-t d-num", strconv.Itoa(h.Number)+": screw"
			if h.Ask > 0 {
				c, w = "d-t d-blue", strconv.Itoa(h.Number)+": "+h.Ask.String()
			}
		}
		add(float64(h.Level), c, w)
	}
	add(float64(d.in.Tip), "d-t d-soft", "tip of nail")
	mid, ok := spread(want, size, 20, d.y(d.hi)+8, 1)
	if !ok {
		mid = want
	}
	for i, m := range mid {
		d.s.line("d-lead", xy{222, want[i]}, xy{232, m})
		d.s.text(class[i], small, xy{235, m + 4}, start, cut(words[i], small, 92))
	}
	d.gap()
}

// gap is the way from the fracture to the highest screw.
func (d *distal) gap() {
	g, f := d.in.Gap, d.in.Fracture
	if g == nil || f == nil || d.cut || !(g.Best > 0) || float64(f.Best) < d.lo {
		return
	}
	x := d.x0 - 76.0
	a, b := xy{x, d.y(float64(f.Best))}, xy{x, d.y(float64(f.Best + g.Best))}
	d.s.dim("d-ink", a, b, long("gap", float64(g.Best), d.k))
	if b.y-a.y >= 34 {
		d.s.text("d-t d-num", small, a.to(b, 0.5).plus(xy{5, 0}), start, bestOnly(*g))
		d.s.text("d-t d-num", small, a.to(b, 0.5).plus(xy{5, 14}), start, plusMinus(*g))
	}
}

func (d *distal) rule() {
	const x = 34
	d.s.line("d-rule", xy{x, d.y(d.lo)}, xy{x, d.y(d.hi)})
	step := ruleStep(d.k, 26)
	for t := math.Ceil(d.lo/step) * step; t <= d.hi; t += step {
		d.s.line("d-rule", xy{x, d.y(t)}, xy{x + 5, d.y(t)}, at("rule", t))
		d.s.text("d-t d-soft", small, xy{x - 4, d.y(t) + 4}, end, strconv.FormatFloat(t, 'f', -1, 64))
	}
}

func (d *distal) words() string {
	say := []string{viewWords(d.in.Side), "A nail of " + d.in.Diameter.String() + ", its tip " + units.MM(math.Round(float64(d.in.Tip))).String() + " below the tip of the trochanter."}
	for _, h := range d.in.Holes {
		w := "Hole " + strconv.Itoa(h.Number) + " at " + units.MM(math.Round(float64(h.Level))).String() + ", " + string(h.Plane)
		if h.Slot {
			w += ", a slot"
		}
		switch {
		case h.Use && h.Ask > 0:
			w += ", screw of " + h.Ask.String()
		case h.Use:
			w += ", with a screw, its length not decided"
		default:
			w += ", empty"
		}
		say = append(say, w+".")
	}
	if d.in.Gap != nil {
		say = append(say, "From the fracture to the highest screw "+d.in.Gap.String()+".")
	}
	return strings.Join(append(say, "To scale; the outline of the bone is not measured."), " ")
}
