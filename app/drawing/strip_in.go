package drawing

import (
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// StripInput is what the strip is drawn from. A nil length was not measured:
// it is drawn dashed or not at all.
type StripInput struct {
	ID      string // starts the identifiers inside the drawing; one for each drawing on a page
	Side    anatomy.Side
	Length  *units.Length // tip of the greater trochanter to the distal target
	Isthmus *units.Length // tip to the isthmus, along the bone
	Canal   *units.Length // width of the canal at the isthmus
	Outer   *units.Length // outer width of the bone at the isthmus
	Profile []Breadth     // further widths of the canal, from the top down
	Lesser  *units.Length // tip to the lesser trochanter
	Upper   *units.Length // tip to the upper end of the fracture
	Lower   *units.Length // tip to its lower end
	Nail    *StripNail
}

// A Breadth is the width of the canal at one level.
type Breadth struct {
	At    units.MM // below the tip of the trochanter
	Width units.Length
}

// StripNail is the chosen nail where it will lie.
type StripNail struct {
	Diameter, Length units.MM
	Burial           units.MM // top of the nail below the tip of the trochanter
	Pattern          plan.Pattern
	HeadAngle        units.Deg // between nail and head screws; 0: not known
	HeadSpacing      units.MM  // between the axes of the head screws
	HeadDepth        units.MM  // top of the nail to the lower head screw, along the nail
	Lower, Upper     units.MM  // lengths of the head screws; 0: not decided
	Holes            []implant.Hole
	Screws           int // distal screws planned
}

// Limits of what can be drawn: wider than any femur or nail, so that only
// slips of the keyboard and broken numbers fall outside.
const (
	leastBone, mostBone   units.MM = 50, 800
	leastNail, mostNail   units.MM = 50, 700
	leastWidth, mostWidth units.MM = 2, 40
	mostOuter             units.MM = 70
)

func (in StripInput) check() error {
	var c checker
	if in.Length == nil && in.Isthmus == nil && in.Nail == nil {
		c.gap("the length of the bone", "not measured", leastBone.String()+" to "+mostBone.String())
	}
	c.maybe("the length of the bone", in.Length, leastBone, mostBone)
	c.maybe("the level of the isthmus", in.Isthmus, 10, mostBone)
	c.maybe("the canal", in.Canal, leastWidth, mostWidth)
	c.maybe("the outer width of the bone", in.Outer, leastWidth, mostOuter)
	c.maybe("the level of the lesser trochanter", in.Lesser, 0, mostBone)
	c.maybe("the upper end of the fracture", in.Upper, 0, mostBone)
	c.maybe("the lower end of the fracture", in.Lower, 0, mostBone)
	last := units.MM(0)
	for _, b := range in.Profile {
		c.in("a level of the canal", b.At, last, mostBone)
		c.maybe("the canal", &b.Width, leastWidth, mostOuter)
		last = b.At
	}
	c.nail(in.Nail)
	if len(c.gaps) == 0 {
		in.order(&c)
	}
	return c.err("strip")
}

// order refuses levels that contradict each other.
func (in StripInput) order(c *checker) {
	if in.Length != nil {
		most := in.Length.Best + units.MM(sure(*in.Length))
		for _, l := range []struct {
			what string
			at   *units.Length
		}{{"the isthmus", in.Isthmus}, {"the lesser trochanter", in.Lesser}, {"the upper end of the fracture", in.Upper}} {
			if l.at != nil && l.at.Best >= most {
				c.gap("the level of "+l.what, l.at.Best.String(), "less than the bone's "+in.Length.Best.String())
			}
		}
	}
	if in.Upper != nil && in.Lower != nil && in.Lower.Best < in.Upper.Best {
		c.gap("the lower end of the fracture", in.Lower.Best.String(), "at least the upper end's "+in.Upper.Best.String())
	}
	if in.Canal != nil && in.Outer != nil && in.Canal.Best >= in.Outer.Best {
		c.gap("the canal", in.Canal.Best.String(), "less than the bone's "+in.Outer.Best.String())
	}
}

func (c *checker) nail(n *StripNail) {
	if n == nil {
		return
	}
	c.in("the nail's diameter", n.Diameter, leastWidth, mostWidth)
	c.in("the nail's length", n.Length, leastNail, mostNail)
	c.in("the nail's burial", n.Burial, -50, 100)
	c.in("the angle of the head screws", units.MM(n.HeadAngle), 0, 170)
	c.in("the spacing of the head screws", n.HeadSpacing, 0, 40)
	c.in("the depth of the head screws", n.HeadDepth, 0, n.Length)
	c.in("the lower head screw", n.Lower, 0, 200)
	c.in("the upper head screw", n.Upper, 0, 200)
	for _, h := range n.Holes {
		c.in("a hole's distance from the tip", h.FromTip, 0, n.Length)
	}
}

// locked reports which holes hold a screw when n screws are planned: all of
// them, or the ones nearest the tip. The plan decides the number only; which
// holes is the surgeon's choice, and this is how it is drawn.
func locked(holes []implant.Hole, n int) []bool {
	out := make([]bool, len(holes))
	for ; n > 0; n-- {
		best := -1
		for i, h := range holes {
			if !out[i] && (best < 0 || h.FromTip < holes[best].FromTip) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		out[best] = true
	}
	return out
}
