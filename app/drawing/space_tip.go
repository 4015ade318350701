package drawing

import (
	"math"
	"strings"

	"isthmus/core/units"
)

// HolesInput is what the drawing of a parallel sleeve is made from.
type HolesInput struct {
	ID      string
	Way     string     // the direction of the shift, in words: "forwards"
	Shift   units.MM   // wanted
	Offsets []units.MM // of the further holes from the one in use, in that direction
	Take    units.MM   // the hole that is taken; 0: the one in use
}

// Holes returns the holes of a parallel sleeve end on, with the wire in the
// one in use, the place that is wanted, and the hole that comes nearest, to
// scale. It refuses impossible numbers and a hole that the sleeve has not.
func Holes(in HolesInput) (string, error) {
	var c checker
	c.in("the shift", in.Shift, -40, 40)
	lo, hi, has := math.Min(0, float64(in.Shift)), math.Max(0, float64(in.Shift)), in.Take == 0
	for _, o := range in.Offsets {
		c.in("a hole", o, -40, 40)
		lo, hi, has = math.Min(lo, float64(o)), math.Max(hi, float64(o)), has || o == in.Take
	}
	if !has {
		c.gap("the hole to take", in.Take.String(), "a hole of the sleeve")
	}
	if err := c.err("sleeve"); err != nil {
		return "", err
	}
	s := newSheet(in.ID, 328, 150)
	k := math.Min(14, 268/(hi-lo+4))
	at := func(mm float64) xy { return xy{164 + (mm-(lo+hi)/2)*k, 74} }
	s.box("d-ghost", at(lo).plus(xy{-24, -22}), at(hi).plus(xy{24, 22}), 8)
	r := math.Min(1.7*k, 17)
	s.line("d-axis", at(lo), at(hi), long("row", hi-lo, k))
	for _, o := range append([]units.MM{0}, in.Offsets...) {
		class := "d-hole"
		if o == in.Take {
			class = "d-part"
		}
		s.circle(class, at(float64(o)), r)
	}
	s.circle("d-movefill", at(0), math.Min(r*0.8, 6))
	want := at(float64(in.Shift))
	s.line("d-stop", want.plus(xy{-7, -7}), want.plus(xy{7, 7}))
	s.line("d-stop", want.plus(xy{-7, 7}), want.plus(xy{7, -7}))
	if in.Shift != 0 {
		s.dim("d-stop", at(0).plus(xy{0, -32}), want.plus(xy{0, -32}), long("shift", math.Abs(float64(in.Shift)), k))
	}
	if in.Take != 0 {
		s.dim("d-move", at(0).plus(xy{0, 32}), at(float64(in.Take)).plus(xy{0, 32}), long("hole", math.Abs(float64(in.Take)), k))
	}
	mid := func(mm units.MM) float64 { return clamp(at(float64(mm)/2).x, 40, 288) }
	s.text("d-t d-red", normal, xy{mid(in.Shift), 36}, middle, oneTenth(in.Shift).String())
	s.text("d-t d-blue", normal, xy{mid(in.Take), 124}, middle, "hole at "+oneTenth(in.Take).String())
	s.text("d-t", small, xy{6, 13}, start, "sleeve end on; dot: wire, cross: wanted")
	s.text("d-t d-num", small, xy{322, 146}, end, cut(in.Way, small, 180)+" →")
	s.text("d-t d-soft", small, xy{6, 146}, start, "to scale")
	return s.done("d-wire", "The holes of a parallel sleeve", "The wire is to go "+oneTenth(in.Shift).String()+" "+in.Way+"; the nearest hole lies at "+oneTenth(in.Take).String()+". To scale."), nil
}

// TipInput is what the drawing of a tip–apex distance is made from: true
// lengths.
type TipInput struct {
	ID          string
	AP, Lateral units.MM
	Dia         units.MM // of the screw
	Clearance   units.MM // to keep from the joint
}

// TipApex returns both views of the tip of a screw in the head, each as far
// from the apex as it truly is, to scale. The head has a radius of 24 mm for
// the eye only, and the tip is drawn on its axis. It refuses impossible
// numbers.
func TipApex(in TipInput) (string, error) {
	var c checker
	c.in("the distance from the front", in.AP, 0, 100)
	c.in("the distance from the side", in.Lateral, 0, 100)
	c.in("the diameter of the screw", in.Dia, 1, 20)
	c.in("the distance to keep", in.Clearance, 0, 20)
	if err := c.err("tip of the screw"); err != nil {
		return "", err
	}
	s := newSheet(in.ID, 328, 172)
	k := math.Min(2.6, 128/math.Max(48, float64(max(in.AP, in.Lateral))+6))
	for i, v := range []struct {
		name, key string
		mm        units.MM
	}{{"from the front", "tip-ap", in.AP}, {"from the side", "tip-lateral", in.Lateral}} {
		apex := xy{150 + 164*float64(i), 84}
		centre := apex.minus(xy{24 * k, 0})
		outer, inner := arc(centre, 24*k, xy{1, 0}, 80), arc(centre, (24-float64(in.Clearance))*k, xy{1, 0}, 80)
		rim := append([]xy(nil), outer...)
		for j := len(inner) - 1; j >= 0; j-- {
			rim = append(rim, inner[j])
		}
		s.hatched(careHatch, rim...)
		s.poly("d-guess", false, outer...)
		tip := apex.minus(xy{float64(v.mm) * k, 0})
		half, back := float64(in.Dia)/2*k, math.Max(math.Min(tip.x-12, centre.x-20), apex.x-142)
		s.box("d-nail", xy{math.Min(back, tip.x-2), tip.y - half}, xy{tip.x, tip.y + half}, 0)
		class := "d-move"
		if v.mm < in.Clearance {
			class = "d-stop"
		}
		s.dim(class, tip, apex, long(v.key, float64(v.mm), k))
		s.text("d-t", small, xy{apex.x - 72, 13}, middle, v.name)
		s.text("d-t d-num", large, xy{apex.x - 60, 150}, middle, units.Trim(float64(oneTenth(v.mm)), 1)+" mm")
	}
	s.text("d-t d-soft", small, xy{6, 168}, start, "true size, tip on the axis; head for the eye")
	words := []string{"Tip to apex, true size: " + oneTenth(in.AP).String() + " from the front, " + oneTenth(in.Lateral).String() + " from the side.",
		"Hatched: " + in.Clearance.String() + " to keep from the joint.", "The head is drawn with a radius of 24 mm for the eye only."}
	return s.done("d-tip", "Tip of the screw and apex of the head in both views", strings.Join(words, " ")), nil
}
