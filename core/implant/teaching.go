package implant

import (
	"fmt"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// Teaching returns the built-in set: invented sizes in the usual steps, made
// to plan practice cases with and never for a patient. Steps (20 mm of length,
// 1 mm of diameter, 5 mm of head screw, 0.5 mm of reamer, caps 0 to 15) are
// common practice; every other number, and every drive, is invented. The 13 mm
// nails have another pattern of holes than the others, so that a plan can be
// practised with two. Check finds nothing in it.
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
		s.Head = append(s.Head, Screw{ID: fmt.Sprintf("T-H-6.5-%d", l), Diameter: 6.5, Length: units.MM(l), Stock: 2, Drive: teachingHead})
	}
	for l := 26; l <= 80; l += 2 {
		s.Locking = append(s.Locking, Screw{ID: fmt.Sprintf("T-L-5-%d", l), Diameter: 5, Length: units.MM(l), Stock: 4, Drive: teachingLocking})
	}
	for h := 0; h <= 15; h += 5 {
		s.Caps = append(s.Caps, Cap{ID: fmt.Sprintf("T-C-%d", h), Height: units.MM(h), Stock: 2, Drive: teachingHead})
	}
	for d := 17; d <= 30; d++ { // half millimetres: 8.5 to 15.0
		s.Reamers = append(s.Reamers, Head{ID: fmt.Sprintf("T-R-%.1f", float64(d)/2), Diameter: units.MM(d) / 2, Stock: 1})
	}
	s.Rods = []Rod{
		{ID: "T-G-950", Kind: GuideRod, Diameter: 3, Length: 950, Stock: 2},
		{ID: "T-W-400", Kind: GuideWire, Diameter: 3, Length: 400, Stock: 4},
	}
	s.Tools = teachingTools()
	return s
}

// The invented drives of the teaching set.
const (
	teachingHead    = "hexagon 5 mm"
	teachingLocking = "hexagon 3.5 mm"
	teachingNailTop = "thread 8 mm"
)

func teachingTools() []Tool {
	return []Tool{
		{ID: "T-T-01", Kind: Screwdriver, Fits: teachingHead, Note: "For head screws and end caps (invented)", Stock: 2},
		{ID: "T-T-02", Kind: Screwdriver, Fits: teachingLocking, Note: "For locking screws (invented)", Stock: 2},
		{ID: "T-T-03", Kind: DepthGauge, Fits: "wire 3 mm", Note: "Reads the length of the wire in the bone when its end touches the cortex (invented)", Stock: 1},
		{ID: "T-T-04", Kind: DepthGauge, Fits: "locking screw 5 mm", Note: "Hook behind the far cortex, then read at the sleeve (invented)", Stock: 1},
		{ID: "T-T-05", Kind: StepDrill, Fits: "head screw 6.5 mm", Note: "Set the stop to the screw length. Read the scale at the end nearest the bone (invented rule)", Stock: 1},
		{ID: "T-T-06", Kind: Drill, Fits: "locking screw 5 mm", Note: "Drill 4.2 mm (invented)", Stock: 3},
		{ID: "T-T-07", Kind: ParallelSleeve, Fits: "wire 3 mm", Note: "Further holes in a line beside the middle one (invented)", Offsets: []units.MM{-8, -4, 4, 8}, Stock: 1},
		{ID: "T-T-08", Kind: ExtractionBolt, Fits: teachingNailTop, Note: "Screw it in as far as it goes before the screws are taken out (invented)", Stock: 1},
		{ID: "T-T-09", Kind: SlidingHammer, Fits: teachingNailTop, Stock: 1},
		{ID: "T-T-10", Kind: AimingArm, Fits: teachingNailTop, Note: "Check that the drill passes the holes before the nail goes in (invented rule)", Stock: 1},
	}
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
	distal := []Hole{
		{FromTip: 50, Plane: Transverse, Slot: true},
		{FromTip: 35, Plane: Transverse},
		{FromTip: 20, Plane: Sagittal},
	}
	if d == 13 {
		distal = []Hole{
			{FromTip: 60, Plane: Transverse},
			{FromTip: 45, Plane: Transverse, Slot: true},
			{FromTip: 30, Plane: Sagittal},
			{FromTip: 15, Plane: Transverse},
		}
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
		Distal:      distal,
		Stock:       stock,
		Drive:       teachingNailTop,
	}
}
