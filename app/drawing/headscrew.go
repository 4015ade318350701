package drawing

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// HeadScrewInput is what the drawing of one head screw is made from. The wire
// lies in the bone as deep as the gauge reads, less the gap of a sleeve that
// does not touch the bone, more what the gauge has taken off already; the
// joint surface lies GapLeft beyond its tip.
type HeadScrewInput struct {
	ID        string
	Side      anatomy.Side
	Place     implant.Place
	Gauge     units.MM // what the gauge reads
	OffBone   units.MM // gap between sleeve and bone, 0 when the sleeve is on bone
	Subtracts units.MM // what the gauge has taken off already
	GapLeft   units.MM // tip of the wire to the joint surface; negative: through it
	GapUnsaid bool     // nobody said where the wire ends; the joint is drawn dashed, at its tip
	Clearance units.MM // to be kept from the joint
	Screw     units.MM // the screw asked for; 0: none
	Longer    units.MM // the next longer one; 0: none
	Leaves    *units.Length
	LongerTo  *units.Length
	Head      *units.Length // radius of the head; nil: 24 mm, for the eye
	Angle     units.Deg     // between screw and shaft; 0: 130°, for the eye
}

// HeadScrewFromChoice returns what the drawing needs from a reading of the
// gauge and the choice made from it. It returns false when the reading does
// not say how deep the wire lies: no number, a sleeve off the bone by a gap
// that nobody measured, or answers that contradict each other.
func HeadScrewFromChoice(r record.Reading, s plan.ScrewChoice, clearance units.MM) (HeadScrewInput, bool) {
	off := r.OffBone != nil && *r.OffBone != 0
	if r.First == nil || !(r.OnBone == record.Yes && !off || r.OnBone == record.No && off) {
		return HeadScrewInput{}, false
	}
	in := HeadScrewInput{
		ID: "screw-lower", Place: implant.Lower, GapUnsaid: r.GapLeft == nil, Gauge: *r.First, Clearance: clearance,
		Screw: s.Ask, Leaves: s.ToJoint, Longer: s.Longer, LongerTo: s.LongerTo,
	}
	if r.OnBone == record.No {
		in.OffBone = *r.OffBone
	}
	if r.GapLeft != nil {
		in.GapLeft = *r.GapLeft
	}
	if r.Subtracts != nil {
		in.Subtracts = *r.Subtracts
	}
	if r.Kind == record.WireUpper {
		in.ID, in.Place = "screw-upper", implant.Upper
	}
	return in, true
}

// wire is the depth of the wire in the bone; joint is where the joint surface
// lies, along the wire from the lateral cortex.
func (in HeadScrewInput) wire() units.MM  { return in.Gauge - in.OffBone + in.Subtracts }
func (in HeadScrewInput) joint() units.MM { return in.wire() + in.GapLeft }

func (in HeadScrewInput) check() error {
	var c checker
	c.in("the reading of the gauge", in.Gauge, 20, 200)
	c.in("the gap under the sleeve", in.OffBone, 0, 60)
	c.in("what the gauge takes off", in.Subtracts, 0, 30)
	c.in("the gap from wire to joint", in.GapLeft, -10, 60)
	c.in("the distance to keep from the joint", in.Clearance, 0, 30)
	c.in("the depth of the wire in the bone", in.wire(), 20, 200)
	c.in("the angle of the screw", units.MM(in.Angle), 0, 160)
	if in.Screw != 0 {
		c.in("the screw", in.Screw, 20, 200)
	}
	if in.Longer != 0 {
		c.in("the next longer screw", in.Longer, 20, 200)
	}
	if in.Angle != 0 {
		c.in("the angle of the screw", units.MM(in.Angle), 100, 160)
	}
	c.maybe("the radius of the head", in.Head, 10, 40)
	if len(c.gaps) == 0 {
		c.agrees("what the screw leaves to the joint", in.Leaves, in.joint()-in.Screw)
		c.agrees("what the longer screw leaves", in.LongerTo, in.joint()-in.Longer)
	}
	return c.err("head screw")
}

// agrees refuses a number that contradicts what is drawn: a picture that
// shows another size than the number beside it must not appear.
func (c *checker) agrees(what string, l *units.Length, drawn units.MM) {
	if l != nil && !(math.Abs(float64(l.Best-drawn)) <= 0.05) {
		c.gap(what, shown(float64(l.Best)), units.MM(math.Round(float64(drawn)*100)/100).String()+" from the readings")
	}
}

// HeadScrew returns the drawing of one head screw: the hip from the front
// with the wire in place, and below it, along the wire and to a larger scale,
// what the gauge reads, what the chosen screw leaves to the joint and what
// the next longer one would leave. It refuses impossible numbers, and numbers
// that contradict each other.
func HeadScrew(in HeadScrewInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &headDrawing{in: in, s: newSheet(in.ID, 328, 318)}
	d.hip()
	d.bars()
	return d.s.done("d-head", d.title(), d.words()), nil
}

func (in HeadScrewInput) place() string {
	switch in.Place {
	case implant.Lower:
		return "lower head screw"
	case implant.Upper:
		return "upper head screw"
	}
	return "head screw"
}

// left says what a screw leaves to the joint, or how far it goes through it.
func left(l units.Length) string {
	if l.Best < 0 {
		return l.Times(-1).String() + " through"
	}
	return l.String() + " left"
}

// leaves is the planned number with its doubt, or the drawn one without.
func (in HeadScrewInput) leaves(planned *units.Length, screw units.MM) units.Length {
	if planned != nil {
		return *planned
	}
	return units.Exact(in.joint() - screw)
}

func (d *headDrawing) title() string {
	if d.in.Screw == 0 {
		return "Wire for the " + d.in.place()
	}
	return "The " + d.in.place() + ", " + d.in.Screw.String()
}

func (d *headDrawing) words() string {
	in := d.in
	say := []string{viewWords(in.Side), "The gauge reads " + in.Gauge.String() + "; the wire lies " + in.wire().String() + " deep in the bone."}
	if in.OffBone > 0 {
		say = append(say, "The sleeve is "+in.OffBone.String()+" off the bone: the gauge reads that much too long.")
	}
	if in.Subtracts > 0 {
		say = append(say, "The gauge has taken off "+in.Subtracts.String()+" already.")
	}
	switch {
	case in.GapUnsaid:
		say = append(say, "Nobody said how far the wire stops short of the joint; the joint is drawn dashed, at the tip of the wire.")
	case in.GapLeft < 0:
		say = append(say, "The wire has gone "+(-in.GapLeft).String()+" through the joint surface.")
	default:
		say = append(say, "The joint surface lies "+in.GapLeft.String()+" beyond the tip of the wire.")
	}
	if in.Screw > 0 {
		say = append(say, "The screw of "+in.Screw.String()+" has "+left(in.leaves(in.Leaves, in.Screw))+" at the joint; to keep: "+in.Clearance.String()+".")
	}
	if in.Longer > 0 {
		say = append(say, "The next longer, "+in.Longer.String()+", would have "+left(in.leaves(in.LongerTo, in.Longer))+" at the joint.")
	}
	if in.Head == nil {
		say = append(say, "The head is drawn with a radius of 24 mm, which is not measured.")
	}
	return strings.Join(append(say, "To scale along the wire; the outline of the bone is for the eye only."), " ")
}
