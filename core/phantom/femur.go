package phantom

import (
	"isthmus/core/chance"
	"isthmus/core/units"
)

// A Femur is one bone. Lengths are millimetres, of the bone itself.
type Femur struct {
	Length  units.MM // top of the head to the lowest place of the condyles, along the shaft
	Outer   units.MM // outer diameter of the shaft at the isthmus
	Canal   units.MM // inner diameter there
	Isthmus float64  // height of the isthmus: its distance from the lower end, as a share of Length
	Flare   float64  // canal flare index: canal 48 mm below the tip of the trochanter over Canal
	Bow     units.MM // radius of the centre line, hollow side behind; 0 is straight
	Head    units.MM // diameter of the head
	NSA     units.Deg
	Version units.Deg // the neck turned to the front
	Reach   units.MM  // along the axis of the neck, from the axis of the shaft to the centre of the head
	Neck    units.MM  // outer height of the neck at its narrowest
	Oval    float64   // depth of the neck, front to back, over its height
	Cortex  units.MM  // thickness of the wall of the neck there
	Condyle units.MM  // width over both condyles
	Thigh   units.MM  // diameter of the soft tissue at mid thigh; 0 draws none
	Break   Break
	Second  Break // a second one, further down
	Neck2   Crack // a break of the neck
}

// A Break parts the shaft along a plane. Its zero value is none.
type Break struct {
	Level   units.MM  // below the tip of the trochanter, on the axis; 0 is no break
	Gap     units.MM  // along the shaft; under zero the pieces ride over each other
	Oblique units.Deg // the plane against the cross-section, rising towards the middle of the body
	Aside   units.MM  // the lower piece, moved towards the middle of the body
	Front   units.MM  // … to the front
	Bend    units.Deg // … its lower end turned towards the middle of the body
}

// A Crack is a flat gap across the neck, square to its axis.
type Crack struct {
	At    units.MM // along the axis of the neck, from the axis of the shaft; 0 is none
	Width units.MM
}

// Usual returns the middle of the published ranges. Sources: Cho 2015 (length,
// head), BioMed Res Int 2015, 459612 (isthmus), PLoS ONE 2018, PMC6177158
// (bow), Toogood 2008 and PMC4775021 (neck), PMID 20808010 (reach: offset 42);
// neck height and thigh from memory.
func Usual() Femur {
	return Femur{Length: 430, Outer: 27, Canal: 11, Isthmus: 0.55, Flare: 3.4, Bow: 943, Head: 46,
		NSA: 128, Version: 13, Reach: 53, Neck: 32, Oval: 0.8, Cortex: 2.2, Condyle: 80, Thigh: 150}
}

// Random returns an adult femur of the published ranges: the same for the same
// seed. Widths follow the length of the bone loosely, as the sources say.
//
//	length 415–460 ± 25 (two groups, Cho 2015), clipped to 350–510
//	isthmus 10.5 ± 1.5 (BioMed Res Int 2015, 459612), clipped to 7–15.5
//	height of it 0.55 ± 0.03; canal flare 3–4.7 (Noble 1988, from memory), and
//	31–50 mm wide there (from memory)
//	bow 943 ± 200, clipped to 600–1800 (PLoS ONE 2018; spread PMID 36282333)
//	neck–shaft angle 128 ± 5, version 13 ± 8 (PMC4775021, Toogood 2008)
//	head 43.3 or 48.5 ± 2 (Cho 2015); neck height 0.68 of it (from memory)
func Random(seed uint64) Femur {
	c := chance.New(seed)
	norm := func(mean, sd, lo, hi float64) units.MM {
		return units.MM(min(hi, max(lo, mean+float64(sd*c.Normal()))))
	}
	f := Usual()
	big := float64(c.Uint64() >> 63)
	f.Length = norm(405+float64(35*big), 25, 350, 510)
	grow := float64(f.Length) / 430
	f.Canal = norm(10.5, 1.5, 7, 15.5)
	f.Outer = f.Canal + norm(16, 1.4, 12.5, 19)
	f.Isthmus = float64(norm(0.55, 0.03, 0.48, 0.62))
	f.Flare = float64(norm(3.5, 0.35, 3, 4.4))
	f.Flare = min(50, max(31, f.Flare*float64(f.Canal))) / float64(f.Canal)
	f.Bow = norm(943, 200, 600, 1800)
	f.Head = norm(43.3+float64(5.2*big), 2, 38, 54)
	f.NSA = units.Deg(norm(128, 5, 115, 142))
	f.Version = units.Deg(norm(13, 8, -8, 35))
	f.Reach = norm(53*grow, 3, 44, 64)
	f.Reach = max(f.Reach, f.Head/2+26) // so that the neck is seen free of the trochanter
	f.Neck = norm(0.68, 0.02, 0.63, 0.74) * f.Head
	f.Oval = float64(norm(0.8, 0.03, 0.72, 0.88))
	f.Cortex = norm(2.2, 0.3, 1.5, 3)
	f.Condyle = norm(80*grow, 3, 66, 96)
	f.Thigh = norm(150, 18, 110, 210)
	return f
}

// check refuses what cannot be a femur, so that no drawing is made of it.
func (f Femur) check() error {
	for _, r := range []limit{
		{"length", f.Length, 300, 600},
		{"outer diameter", f.Outer, 16, 45},
		{"canal", f.Canal, 4, f.Outer - 5},
		{"height of the isthmus", units.MM(f.Isthmus), 0.4, 0.7},
		{"canal flare", units.MM(f.Flare), 1.8, 5},
		{"flared canal", units.MM(f.Flare) * f.Canal, 20, 70},
		{"head", f.Head, 34, 62},
		{"neck–shaft angle", units.MM(f.NSA), 100, 150},
		{"version", units.MM(f.Version), -60, 60},
		{"reach of the neck", f.Reach, f.Head/2 + 18, 80},
		{"neck", f.Neck, 20, f.Head - 4},
		{"depth of the neck", units.MM(f.Oval), 0.5, 1},
		{"wall of the neck", f.Cortex, 0.8, 5},
		{"condyles", f.Condyle, 56, 110},
		{"crack of the neck", f.Neck2.At, 0, f.Reach},
		{"width of the crack", f.Neck2.Width, 0, 15},
	} {
		if err := r.check(); err != nil {
			return err
		}
	}
	if f.Bow != 0 {
		if err := (limit{"bow", f.Bow, 400, 1e7}).check(); err != nil {
			return err
		}
	}
	if f.Thigh != 0 {
		if err := (limit{"thigh", f.Thigh, 60, 240}).check(); err != nil {
			return err
		}
	}
	if err := f.Break.check(95, f.Length-100); err != nil || f.Second.Level == 0 {
		return err
	}
	return f.Second.check(f.Break.Level+20, f.Length-100)
}

func (b Break) check(lo, hi units.MM) error {
	if b.Level == 0 {
		return nil
	}
	for _, r := range []limit{
		{"level of the break", b.Level, lo, hi},
		{"gap", b.Gap, -40, 60},
		{"obliquity", units.MM(b.Oblique), -70, 70},
		{"shift aside", b.Aside, -40, 40},
		{"shift to the front", b.Front, -40, 40},
		{"bend", units.MM(b.Bend), -30, 30},
	} {
		if err := r.check(); err != nil {
			return err
		}
	}
	return nil
}
