package drawing

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// HoleInput is what the drawing of one locking screw in its hole is made from.
type HoleInput struct {
	ID      string
	Depth   units.MM // from the near to the far cortex
	Screw   units.MM // the one to ask for
	Past    units.Length
	Shorter units.MM // the next shorter in stock; 0: none
	Longer  units.MM // the next longer in stock; 0: none
	Limit   units.MM // more than this out of the far cortex is much
}

// HoleFromScrew returns what the drawing needs of a locking screw that was
// decided, and false for one that was not.
func HoleFromScrew(s plan.DistalScrew, limit units.MM) (HoleInput, bool) {
	if s.Ask == 0 || s.Past == nil {
		return HoleInput{}, false
	}
	return HoleInput{ID: "hole", Depth: s.Ask - s.Past.Best, Screw: s.Ask, Past: *s.Past, Shorter: s.Shorter, Longer: s.Longer, Limit: limit}, true
}

// Hole returns one locking screw in the bone, along the screw and to scale:
// what the gauge read, what stands out of the far cortex with its doubt, and
// how far its neighbours in stock would come. It refuses impossible numbers.
func Hole(in HoleInput) (string, error) {
	var c checker
	c.in("the depth", in.Depth, 10, 150)
	c.in("the screw", in.Screw, 10, 200)
	c.in("the next shorter screw", in.Shorter, 0, in.Screw)
	c.in("the next longer screw", in.Longer, 0, 300)
	c.maybe("what stands out", &in.Past, -150, 200)
	if len(c.gaps) == 0 {
		c.agrees("what stands out", &in.Past, in.Screw-in.Depth)
	}
	if err := c.err("locking screw"); err != nil {
		return "", err
	}
	d := holeDrawing{in: in, s: newSheet(in.ID, 328, 196)}
	d.k = 286 / math.Max(math.Max(float64(max(in.Longer, in.Screw)), float64(in.Depth)+sure(in.Past)), 1)
	d.bone()
	d.screw()
	d.neighbours()
	d.s.text("d-t d-soft", small, xy{6, 190}, start, "along the screw, to scale; nail: a guess")
	return d.s.done("d-hole-one", "Locking screw in its hole", "The bone is "+oneTenth(in.Depth).String()+" deep, the screw "+in.Screw.String()+" long; it stands "+in.Past.String()+" out of the far cortex. To scale."), nil
}

type holeDrawing struct {
	in HoleInput
	s  *sheet
	k  float64
}

// x is so many millimetres from the near cortex.
func (d *holeDrawing) x(mm units.MM) float64 { return 22 + float64(mm)*d.k }

func (d *holeDrawing) bone() {
	near, far := d.x(0), d.x(d.in.Depth)
	d.s.poly("d-bone", true, xy{near, 42}, xy{far, 42}, xy{far, 112}, xy{near, 112})
	d.s.line("d-bold", xy{near, 36}, xy{near, 118})
	d.s.line("d-bold", xy{far, 36}, xy{far, 118})
	d.s.circle("d-ghost", xy{(near + far) / 2, 77}, math.Min(5*d.k, 30))
	d.s.dim("d-ink", xy{near, 26}, xy{far, 26}, long("depth", float64(d.in.Depth), d.k))
	d.s.text("d-t d-num", small, xy{(near + far) / 2, 18}, middle, "depth "+oneTenth(d.in.Depth).String())
}

func (d *holeDrawing) screw() {
	near, tip, far := d.x(0), d.x(d.in.Screw), d.x(d.in.Depth)
	if d.in.Past.Best > d.in.Limit {
		d.s.hatched(careHatch, xy{far, 66}, xy{tip, 66}, xy{tip, 88}, xy{far, 88})
	}
	if u := sure(d.in.Past) * d.k; u > 0 { // where the far cortex may be
		d.s.hatched(doubtHatch, xy{far - u, 96}, xy{math.Min(far+u, 324), 96}, xy{math.Min(far+u, 324), 110}, xy{far - u, 110})
	}
	d.s.line("d-screw", xy{near, 77}, xy{tip, 77}, long("screw", float64(d.in.Screw), d.k))
	d.s.box("d-movefill", xy{near - 8, 68}, xy{near, 86}, 0)
	d.s.text("d-t d-blue", normal, xy{near + 6, 62}, start, d.in.Screw.String())
	d.s.text("d-t", small, xy{math.Min(tip, 322), 134}, end, d.in.Past.String()+" past the far cortex")
}

// neighbours are the next sizes in stock, below the bone.
func (d *holeDrawing) neighbours() {
	y := 152.0
	d.s.line("d-lead", xy{d.x(d.in.Depth), 118}, xy{d.x(d.in.Depth), 172})
	for _, n := range []struct {
		mm          units.MM
		what, words string
	}{{d.in.Shorter, "shorter", "next shorter "}, {d.in.Longer, "longer", "next longer "}} {
		if n.mm == 0 {
			continue
		}
		d.s.line("d-guess", xy{d.x(0), y}, xy{d.x(n.mm), y}, long(n.what, float64(n.mm), d.k))
		d.s.text("d-t d-soft", small, xy{d.x(0) + 4, y - 3}, start, n.words+n.mm.String())
		y += 18
	}
}

// DistalFromHoles returns what the drawing of the lower end needs from a nail
// and how deep its top lies below the tip of the trochanter, and the lower end
// of the fracture from there. Screws are drawn in all holes.
func DistalFromHoles(side anatomy.Side, diameter, nail units.MM, burial, lower units.Length, holes []implant.Hole) DistalInput {
	in := DistalInput{ID: "distal", Side: side, Diameter: diameter, Tip: burial.Best + nail, Fracture: &lower}
	for i, h := range holes {
		level := in.Tip - h.FromTip
		in.Holes = append(in.Holes, DistalHole{Number: i + 1, Level: level, Plane: h.Plane, Slot: h.Slot, Use: true})
		if i == 0 {
			gap := units.Exact(nail - h.FromTip).Plus(burial).Minus(lower)
			in.Gap = &gap
		}
	}
	return in
}

// TiltInput is what the drawing of a nail in a wide canal is made from.
type TiltInput struct {
	ID    string
	Canal units.MM
	Nail  units.MM // its diameter
	Along units.MM // of nail in the piece
	Angle units.Angle
}

// Tilt returns a nail in the canal of a lower piece, tilted as far as it can
// be without a screw, to scale in both directions. It refuses impossible
// numbers and an angle that does not belong to them.
func Tilt(in TiltInput) (string, error) {
	var c checker
	c.in("the width of the canal", in.Canal, 5, 80)
	c.in("the diameter of the nail", in.Nail, 5, 20)
	c.in("the length of nail in the piece", in.Along, 10, 500)
	slack := max(in.Canal-in.Nail, 0)
	if len(c.gaps) == 0 {
		a := units.Exact(units.MM(in.Angle.Best))
		c.agrees("the angle", &a, units.MM(math.Atan2(float64(slack), float64(in.Along))*180/math.Pi))
	}
	if err := c.err("tilt of the nail"); err != nil {
		return "", err
	}
	k := math.Min(300/float64(in.Along), 150/float64(max(in.Canal, in.Nail)))
	w := float64(max(in.Canal, in.Nail)) * k
	s := newSheet(in.ID, 328, w+92)
	l, top := float64(in.Along)*k, 34.0
	at := func(along, across units.MM) xy { return xy{14 + float64(along)*k, top + float64(across)*k} }
	s.poly("d-bone", true, at(0, 0), at(in.Along, 0), at(in.Along, in.Canal), at(0, in.Canal))
	for _, y := range []units.MM{0, in.Canal} {
		s.line("d-bold", at(0, y), at(in.Along, y))
	}
	s.poly("d-nail", true, at(0, 0), at(in.Along, slack), at(in.Along, slack+in.Nail), at(0, in.Nail))
	s.line("d-axis", at(0, in.Nail/2), at(in.Along, slack+in.Nail/2))
	s.line("d-guess", at(0, in.Nail/2), at(in.Along, in.Nail/2))
	y := top + w + 16
	s.dim("d-ink", xy{14, y}, xy{14 + l, y}, long("along", float64(in.Along), k))
	s.text("d-t d-num", small, xy{14, y + 16}, start, in.Along.String()+" of nail in the piece")
	if slack > 0 {
		s.dim("d-move", at(in.Along, 0).plus(xy{6, 0}), at(in.Along, slack).plus(xy{6, 0}), long("slack", float64(slack), k))
	}
	s.text("d-t d-blue", normal, xy{6, 16}, start, "tilt "+in.Angle.String()+", slack "+oneTenth(slack).String())
	s.text("d-t d-soft", small, xy{6, s.h - 8}, start, "to scale; canal "+in.Canal.String()+", nail "+in.Nail.String())
	return s.done("d-tilt", "Tilt of the nail in a wide canal", "A nail of "+in.Nail.String()+" in a canal of "+in.Canal.String()+" over "+in.Along.String()+" can tilt by "+in.Angle.String()+". To scale."), nil
}
