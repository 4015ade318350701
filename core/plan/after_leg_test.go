package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestAlignOfACase(t *testing.T) {
	c := afterCase()
	turn := func(kind record.ReadingKind, a, b units.Deg) record.Reading {
		return record.Reading{ID: string(kind), Kind: kind, At: "2026-11-25T08:00:00Z", Angle: &a, AngleTwo: &b}
	}
	c.Readings = []record.Reading{turn(record.TurnInjured, 20, 26), turn(record.TurnSound, 28, 14), read(record.LesserInjured, 57), read(record.LesserSound, 60),
		read(record.LengthInjured, 402), read(record.LengthSound, 423), read(record.GapFound, 4.2)}
	c.Injury.Comminution = record.Comminution0
	pl := afterPlan(t, c, implant.Teaching())
	a := pl.Align
	testkit.Near(t, "by hand: 14 − (−6)", float64(a.Turn.Best), 20, 1e-9)
	testkit.Near(t, "Turgut 2020: 95 %", float64(a.Lesser.Best), 7.5, 1e-6)
	testkit.Near(t, "by hand: 402 − 423", float64(a.Length.Best), -21, 1e-9)
	for _, code := range []string{"turn-wrong", "turn-backwards", "length-correct", "gap-wide"} {
		if !has(pl.Problems, code) {
			t.Errorf("%v, want %s", codesOf(pl.Problems), code)
		}
	}
	c.Readings[2] = read(record.LesserInjured, 64) // outwards of the upper piece: the other way
	if pl := afterPlan(t, c, implant.Teaching()); !has(pl.Problems, "turns-disagree") {
		t.Errorf("20 outwards and 15 inwards: %v", codesOf(pl.Problems))
	}
	c.Injury.Comminution = record.ComminutionIII
	if pl := afterPlan(t, c, implant.Teaching()); has(pl.Problems, "gap-wide") || !hasReason(pl.Align.Why, "gap-not-simple") {
		t.Errorf("a gap of many pieces: %v", codesOf(pl.Problems))
	}
}

// hips are the films of both hips, drawn from an angle and a version by the
// formulas of facts §6.1: mm at 0.2 a pixel, shaft upright.
func hips(bone anatomy.Bone, ap, gamma float64) []record.Film {
	rim := func(cx, cy float64) (out []record.Point) {
		for i, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
			s, k := math.Sincos(float64(i)*2*math.Pi/3 + 0.3)
			out = append(out, point(l, units.Px(700+(cx+24*k)*5), units.Px(800+(cy+24*s)*5)))
		}
		return out
	}
	at := func(l anatomy.Landmark, x, y float64) record.Point {
		return point(l, units.Px(700+x*5), units.Px(800+y*5))
	}
	s, k := math.Sincos((180 - ap) * math.Pi / 180) // neck, upwards: (s, −k)
	front := append(rim(50*s, -50*k), at(anatomy.NeckUpper, 15*s-15*k, -15*k-15*s), at(anatomy.NeckLower, 15*s+15*k, -15*k+15*s),
		at(anatomy.ShaftUpper, 0, 60), at(anatomy.ShaftLower, 0, 200))
	g, h := math.Sincos(gamma * math.Pi / 180)
	side := append(rim(50*g, -50*h), at(anatomy.NeckFront, 15*g+10*h, -15*h+10*g), at(anatomy.NeckBack, 15*g-10*h, -15*h-10*g),
		at(anatomy.ShaftUpper, 0, 60), at(anatomy.ShaftLower, 0, 200))
	a, b := ruled("a"+string(bone), 0.2, bone, front...), ruled("b"+string(bone), 0.2, bone, side...)
	b.View = anatomy.Lateral
	a.Reduced, b.Reduced = record.Yes, record.Yes
	return []record.Film{a, b}
}

// Both hips on two films each: version and true angle come back, and the
// difference is a turn. Source: facts §6.1, rows 130/15 and 130/40.
func TestAlignFromFilms(t *testing.T) {
	c := record.Case{Side: anatomy.Left, Injury: alone(), Films: append(hips(anatomy.Injured, 137.6059, 37.4537), hips(anatomy.Sound, 130.9808, 17.1423)...)}
	a := afterPlan(t, c, implant.Teaching()).Align
	if a.Version == nil || a.Turn == nil || a.Shaft == nil {
		t.Fatalf("%+v", a)
	}
	testkit.Near(t, "version", float64(a.Version.Best), 40, 0.01)
	testkit.Near(t, "true angle", float64(a.TrueNSA.Best), 130, 0.01)
	testkit.Near(t, "turn (by hand: 15 − 40)", float64(a.Turn.Best), -25, 0.01)
	testkit.Near(t, "the false valgus is gone", float64(a.Shaft.Best), 0, 0.01)
	c.Films = []record.Film{c.Films[0], c.Films[2]}
	a = afterPlan(t, c, implant.Teaching()).Align
	testkit.Near(t, "from the front only (by hand: 137.61 − 130.98)", float64(a.Shaft.Best), 6.6251, 0.01)
	if !hasReason(a.Why, "neck-one-view") || a.Turn != nil {
		t.Errorf("%+v", a)
	}
	c.Films[0].Reduced = record.No
	if a := afterPlan(t, c, implant.Teaching()).Align; a.Shaft != nil {
		t.Errorf("a bone that is not at its length gave %v", a.Shaft)
	}
}
