package phantom

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// A Case is one invented injury for practice: the films that a trainee gets
// and the answers to score them by.
type Case struct {
	Key     string // names the case for app/text
	Side    anatomy.Side
	Femur   Femur
	Setups  []Setup
	Stature units.MM // of the patient; 0: not told
	Answer  Answer
}

// An Answer is what is true of the bone of a case, whatever the films show.
type Answer struct {
	Length     units.MM // tip of the greater trochanter to the distal target, the bone whole again
	Canal      units.MM // inner width at the isthmus, side to side
	CanalDeep  units.MM // … front to back
	Isthmus    units.MM // its height below the tip of the trochanter
	HeadRoom   units.MM // inner height of the neck at its narrowest
	NeckDepth  units.MM // inner depth there, front to back
	Head       units.MM // diameter
	NSA        units.Deg
	Version    units.Deg
	Bow        units.MM
	BreakUpper units.MM // upper end of the break below the tip of the trochanter; 0: none
	BreakLower units.MM // … lower end, the bone whole again
	Condyles   units.MM // tip of the trochanter to the roof of the notch
}

// practice holds how each case differs from a usual femur. A case that somebody
// keeps names its films by the key: what is drawn under a key never changes;
// another bone or film is another key.
var practice = []struct {
	key     string
	side    anatomy.Side
	stature units.MM
	change  func(f *Femur)
	setup   func(i int, s *Setup)
}{
	{"isthmic-transverse", anatomy.Right, 1760, func(f *Femur) {
		f.Length, f.Canal, f.Outer = 452, 11.4, 28
		f.Break = Break{Level: 205, Gap: 4, Oblique: 6, Aside: 6, Front: -4, Bend: 3}
	}, nil},
	{"subtrochanteric", anatomy.Left, 1690, func(f *Femur) {
		f.Length, f.NSA, f.Version = 431, 131, 11
		f.Break = Break{Level: 118, Gap: -6, Oblique: 38, Aside: 9, Front: 5, Bend: -8}
	}, nil},
	{"distal-third", anatomy.Right, 1720, func(f *Femur) {
		f.Length, f.Canal, f.Outer = 440, 12.3, 28.6
		f.Break = Break{Level: 305, Gap: 6, Oblique: -24, Aside: -5, Front: -6, Bend: 4}
	}, func(i int, s *Setup) { s.Balls[0].Above = 20 }},
	{"narrow-canal", anatomy.Left, 1610, func(f *Femur) {
		f.Length, f.Canal, f.Outer, f.Flare, f.Head, f.Neck = 402, 7.8, 24, 4.2, 43, 29
		f.Break = Break{Level: 190, Gap: 2, Oblique: 20, Aside: 3, Front: 2}
	}, nil},
	{"shaft-and-neck", anatomy.Right, 1800, func(f *Femur) {
		f.Length, f.Canal, f.Outer, f.NSA, f.Version, f.Head, f.Neck = 466, 12, 29, 127, 15, 49, 34
		f.Break = Break{Level: 225, Gap: -4, Oblique: 12, Aside: 7, Front: 3, Bend: 3}
		f.Neck2 = Crack{At: 27, Width: 1.2}
	}, nil},
	{"short-bowed", anatomy.Left, 1490, func(f *Femur) {
		f.Length, f.Canal, f.Outer, f.Bow, f.Head, f.Neck, f.Reach, f.Condyle, f.Flare = 368, 10.2, 24.5, 650, 41, 28, 47, 71, 3.5
		f.Break = Break{Level: 175, Gap: 3, Oblique: 9, Aside: -4, Front: 3, Bend: -2}
	}, func(i int, s *Setup) { s.Tilt = units.Deg(4 * i) }},
}

// Practices is how many practice cases there are.
func Practices() int { return len(practice) }

// Practice returns practice case n, from 0: an AP and a lateral film, each of
// the whole femur, with a ball, and what is true. It reports false for a
// number that has none. Films draws them.
func Practice(n int) (Case, bool) {
	if n < 0 || n >= len(practice) {
		return Case{}, false
	}
	p := practice[n]
	c := Case{Key: p.key, Side: p.side, Femur: Usual(), Stature: p.stature}
	p.change(&c.Femur)
	for i, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		s := Shoot(v, p.side, Whole)
		s.Seed = uint64(1000 + 10*n + i)
		s.SOD -= units.MM(8 * n)
		s.Row, s.Col, s.Width, s.Height = 0.2, 0.2, 1125, 2925 // drawn and stored in half the time and room of 0.15 mm
		out := units.MM(math.Copysign(1, float64(s.Balls[0].Aside)))
		s.Balls = []Ball{{Across: 25, Aside: 58 * out, Down: -60}} // seen against the thigh: against the open field its rim is lost
		if p.setup != nil {
			p.setup(i, &s)
		}
		c.Setups = append(c.Setups, s)
	}
	c.Answer = answer(c.Femur)
	return c, true
}

// PracticeOf returns the practice case of a key, and whether there is one.
func PracticeOf(key string) (Case, bool) {
	for n := range practice {
		if practice[n].key == key {
			return Practice(n)
		}
	}
	return Case{}, false
}

// Films draws the films of the case, in the order of Setups.
func (c Case) Films() ([]*Film, error) {
	var out []*Film
	for _, s := range c.Setups {
		f, err := Draw(c.Femur, s)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}

// answer is what is true of a femur.
func answer(f Femur) Answer {
	b := newBody(f)
	q := b.shaft.at(b.isth)
	in := f.Neck - 2*f.Cortex
	a := Answer{
		Length: units.MM(b.target.minus(b.tip).long()), Canal: units.MM(2 * q.ri), CanalDeep: units.MM(2 * q.ri * aspect),
		Isthmus: units.MM(b.isth), HeadRoom: in, NeckDepth: in * units.MM(f.Oval), Head: f.Head,
		NSA: f.NSA, Version: f.Version, Bow: f.Bow, Condyles: units.MM(b.roof.minus(b.tip).long()),
	}
	if f.Break.Level != 0 {
		n, at := b.plane(f.Break)
		high, deep := b.ends(n, at)
		a.BreakUpper, a.BreakLower = units.MM(high[2]), units.MM(deep[2])
	}
	return a
}
