package drawing

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// NeckInput is what the drawing of the neck on the AP film is made from:
// landmarks in millimetres in the plane of the bone, as they lie on the film.
type NeckInput struct {
	ID        string
	Side      anatomy.Side
	Head      geom.Circle[units.MM]
	Upper     geom.Pt[units.MM]   // inner upper edge of the neck at its narrowest
	Lower     geom.Pt[units.MM]   // inner lower edge
	Shaft     geom.Line[units.MM] // axis of the nail, from the top down
	Tip       *geom.Pt[units.MM]  // tip of the greater trochanter
	Screws    []NeckScrew         // as the nail puts them; none: not decided
	KeepUpper units.MM            // to be kept between upper screw and edge
	KeepLower units.MM            // to be kept between lower screw and edge
	Above     *units.Length       // edge to upper screw, with doubt; nil: printed without
	Below     *units.Length       // edge to lower screw, with doubt; nil: printed without
	Missing   string              // why there are no screws, in words
}

// A NeckScrew is one head screw on the AP film, from the lateral side inwards.
type NeckScrew struct {
	Place    implant.Place
	Axis     geom.Line[units.MM]
	Diameter units.MM
	Ends     bool // the length is decided; otherwise the axis alone is drawn
}

// NeckFromCase returns the neck from the first calibrated AP film of the
// injured bone that shows the head, the neck and the shaft, and the two head
// screws where the chosen nail would put them when its top is buried as
// planned. The screws are drawn in the plane of the film; a turned leg or
// nail shifts them. It refuses, with a *NothingToDrawError, when a landmark
// is missing.
func NeckFromCase(c record.Case, p plan.Plan, keepUpper, keepLower units.MM) (NeckInput, error) {
	c = plan.Straight(c)
	var last checker
	for i, f := range c.Films {
		if f.View != anatomy.AP || f.Bone == anatomy.Sound {
			continue
		}
		var ck checker
		in := neckOn(f, i, p, &ck)
		if len(ck.gaps) == 0 {
			in.ID, in.Side, in.KeepUpper, in.KeepLower = "neck", c.Side, keepUpper, keepLower
			in.screws(f, i, p)
			in.doubts(f, i, p)
			return in, nil
		}
		if len(last.gaps) == 0 || len(ck.gaps) < len(last.gaps) {
			last = ck
		}
	}
	if len(last.gaps) == 0 {
		last.gap("the AP film of the injured femur", "not there", "a film with head, neck and shaft")
	}
	return NeckInput{}, last.err("neck")
}

// neckOn reads the landmarks of one film and notes what is missing.
func neckOn(f record.Film, i int, p plan.Plan, ck *checker) NeckInput {
	plane, ok := planeOf(p, i)
	if !ok {
		ck.gap("the scale of the AP film", "not known", "a marker or a scale without dispute")
	}
	mm := func(name anatomy.Landmark, words string) geom.Pt[units.MM] {
		q, ok := pointOf(f, name)
		if !ok {
			ck.gap(words, "not marked", "a point on the AP film")
			return geom.Pt[units.MM]{}
		}
		return plane.MM(q.At)
	}
	a, b, c := mm(anatomy.HeadRim1, "the rim of the head"), mm(anatomy.HeadRim2, "the rim of the head"), mm(anatomy.HeadRim3, "the rim of the head")
	in := NeckInput{
		Upper: mm(anatomy.NeckUpper, "the upper edge of the neck"), Lower: mm(anatomy.NeckLower, "the lower edge of the neck"),
		Shaft: geom.Line[units.MM]{A: mm(anatomy.ShaftUpper, "the upper middle of the shaft"), B: mm(anatomy.ShaftLower, "the lower middle of the shaft")},
	}
	if q, ok := pointOf(f, anatomy.TrochanterTip); ok {
		t := plane.MM(q.At)
		in.Tip = &t
	}
	if len(ck.gaps) > 0 {
		return in
	}
	var err error
	if in.Head, err = geom.CircleThrough(a, b, c); err != nil {
		ck.gap("the rim of the head", "no circle", "three places spread round the rim")
	}
	return in
}

// screws places the two head screws of the chosen nail: the lower one crosses
// the axis of the nail HeadDepth below the top of the nail, at HeadAngle to
// the shaft; the upper one runs HeadSpacing above it, in parallel.
func (in *NeckInput) screws(f record.Film, i int, p plan.Plan) {
	n, part := p.Nail, p.Nail.Part
	if in.Tip == nil || n.Room == nil || p.Bone.Length == nil || part == nil || p.Locking.Pattern != plan.HeadLock || !(part.HeadAngle > 90) || !(part.HeadDia > 0) {
		in.Missing = "screws: nail or its depth not decided"
		return
	}
	down, ok := in.Shaft.Unit()
	along, _, ok2 := in.Shaft.Along(*in.Tip)
	_, side, ok3 := in.Shaft.Along(in.Head.Centre)
	if !ok || !ok2 || !ok3 || side == 0 {
		in.Missing = "screws: the shaft is not a line"
		return
	}
	across := geom.Pt[units.MM]{X: -down.Y, Y: down.X} // clockwise of down
	if side < 0 {
		across = across.Times(-1)
	}
	depth := along + p.Bone.Length.Best - n.Room.Best + part.HeadDepth
	a := float64(part.HeadAngle) * math.Pi / 180
	dir := down.Times(math.Cos(a)).Plus(across.Times(math.Sin(a)))
	up := down.Times(-math.Sin(a)).Plus(across.Times(math.Cos(a)))
	cross := in.Shaft.A.Plus(down.Times(float64(depth)))
	back := entry(f, i, p, in.Shaft) / math.Sin(a)
	add := func(place implant.Place, ask, shift units.MM) {
		from := cross.Plus(up.Times(float64(shift))).Minus(dir.Times(back))
		l := ask
		if l == 0 {
			l = units.MM(back + 60)
		}
		in.Screws = append(in.Screws, NeckScrew{Place: place, Axis: geom.Line[units.MM]{A: from, B: from.Plus(dir.Times(float64(l)))}, Diameter: part.HeadDia, Ends: ask > 0})
	}
	add(implant.Lower, p.Head.Lower.Ask, 0)
	if part.HeadSpacing > 0 {
		add(implant.Upper, p.Head.Upper.Ask, part.HeadSpacing)
	}
}

// entry is how far the lateral cortex lies from the axis of the nail, in
// millimetres; 14, for the eye only, where it is not marked.
func entry(f record.Film, i int, p plan.Plan, shaft geom.Line[units.MM]) float64 {
	q, ok := pointOf(f, anatomy.LateralCortex)
	plane, ok2 := planeOf(p, i)
	if !ok || !ok2 {
		return 14
	}
	_, aside, ok := shaft.Along(plane.MM(q.At))
	if !ok {
		return 14
	}
	return math.Abs(float64(aside))
}
