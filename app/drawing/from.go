package drawing

import (
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// StripFromPlan returns what the strip needs from a case and its plan. What
// the plan could not decide stays nil. The burial of the nail is the length
// of the bone less the room for the nail.
func StripFromPlan(c record.Case, p plan.Plan) StripInput {
	c = plan.Straight(c)
	in := StripInput{
		ID: "strip", Side: c.Side,
		Length: p.Bone.Length, Isthmus: p.Bone.Isthmus, Canal: p.Bone.Canal,
		Lesser: p.Bone.Lesser, Upper: p.Bone.Fracture, Lower: p.Bone.FractureL,
		Outer: outerWidth(c, p),
	}
	n := p.Nail
	if n.Length == 0 || n.Diameter == 0 || n.Room == nil || p.Bone.Length == nil {
		return in
	}
	in.Nail = &StripNail{
		Diameter: n.Diameter, Length: n.Length, Burial: p.Bone.Length.Best - n.Room.Best,
		Pattern: p.Locking.Pattern, Screws: p.Locking.Distal,
		Lower: p.Head.Lower.Ask, Upper: p.Head.Upper.Ask,
	}
	if part := n.Part; part != nil {
		in.Nail.HeadAngle, in.Nail.HeadSpacing, in.Nail.HeadDepth = part.HeadAngle, part.HeadSpacing, part.HeadDepth
		in.Nail.Holes = part.Distal
	}
	return in
}

// outerWidth returns the outer width of the bone at the isthmus from the
// first calibrated AP film of the injured bone that shows both edges, or nil.
func outerWidth(c record.Case, p plan.Plan) *units.Length {
	for i, f := range c.Films {
		if f.View != anatomy.AP || f.Bone == anatomy.Sound {
			continue
		}
		plane, ok := planeOf(p, i)
		a, okA := pointOf(f, anatomy.OuterA)
		b, okB := pointOf(f, anatomy.OuterB)
		if ok && okA && okB {
			l := plane.Length(a.At, b.At, a.Slip, b.Slip)
			return &l
		}
	}
	return nil
}

// planeOf returns the usable, undisputed plane of film i.
func planeOf(p plan.Plan, i int) (calibrate.Plane, bool) {
	for _, s := range p.Scales {
		if s.Film == i && !s.Disputed && s.Plane.Usable() {
			return s.Plane, true
		}
	}
	return calibrate.Plane{}, false
}

func pointOf(f record.Film, name anatomy.Landmark) (record.Point, bool) {
	for _, q := range f.Points {
		if q.Name == name {
			return q, true
		}
	}
	return record.Point{}, false
}
