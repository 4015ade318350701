package implant

import (
	"fmt"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// Teaching returns the built-in set: invented sizes in the usual steps, made
// to plan practice cases with and never for a patient. Steps (20 mm of length,
// 1 mm of diameter, 5 mm of head screw, 0.5 mm of reamer, caps 0 to 15) are
// common practice; every other number is invented. Check finds nothing in it.
func Teaching() Shelf {
	s := Shelf{Name: "Teaching set (invented)", Teaching: true}
	for _, side := range []anatomy.Side{anatomy.Left, anatomy.Right} {
		for d := 9; d <= 13; d++ {
			for l := 300; l <= 480; l += 20 {
				s.Nails = append(s.Nails, teachingNail(side, d, l))
			}
		}
	}
	for l := 70; l <= 125; l += 5 {
		s.Head = append(s.Head, Screw{ID: fmt.Sprintf("T-H-6.5-%d", l), Diameter: 6.5, Length: units.MM(l), Stock: 2})
	}
	for l := 26; l <= 80; l += 2 {
		s.Locking = append(s.Locking, Screw{ID: fmt.Sprintf("T-L-5-%d", l), Diameter: 5, Length: units.MM(l), Stock: 4})
	}
	for h := 0; h <= 15; h += 5 {
		s.Caps = append(s.Caps, Cap{ID: fmt.Sprintf("T-C-%d", h), Height: units.MM(h), Stock: 2})
	}
	for d := 17; d <= 30; d++ { // half millimetres: 8.5 to 15.0
		s.Reamers = append(s.Reamers, Head{ID: fmt.Sprintf("T-R-%.1f", float64(d)/2), Diameter: units.MM(d) / 2, Stock: 1})
	}
	s.Rods = []Rod{
		{ID: "T-G-950", Kind: GuideRod, Diameter: 3, Length: 950, Stock: 2},
		{ID: "T-W-400", Kind: GuideWire, Diameter: 3, Length: 400, Stock: 4},
	}
	return s
}

// teachingNail is one nail of the teaching set. The thickest short nails are
// out of stock, so that a plan for them has something to say.
func teachingNail(side anatomy.Side, d, l int) Nail {
	stock := 1
	switch {
	case d == 13 && l <= 320:
		stock = 0
	case d <= 11 && l >= 360 && l <= 440:
		stock = 2
	}
	letter := map[anatomy.Side]string{anatomy.Left: "L", anatomy.Right: "R"}[side]
	return Nail{
		ID:          fmt.Sprintf("T-N-%d-%d-%s", d, l, letter),
		Side:        side,
		Diameter:    units.MM(d),
		Length:      units.MM(l),
		Proximal:    15,
		BowRadius:   1500,
		HeadAngle:   130,
		HeadSpacing: 12,
		HeadDepth:   50,
		HeadDia:     6.5,
		LockingDia:  5,
		Distal: []Hole{
			{FromTip: 50, Plane: Transverse, Slot: true},
			{FromTip: 35, Plane: Transverse},
			{FromTip: 20, Plane: Sagittal},
		},
		Stock: stock,
	}
}
