package plan

import (
	"slices"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A DistalScrew is the locking screw for one depth.
type DistalScrew struct {
	Ask      units.MM      // 0: not decided
	Past     *units.Length // what stands out of the far cortex
	Shorter  units.MM      // the next shorter in stock; it misses what is to stand out
	Longer   units.MM      // the next longer in stock
	Stock    int
	Why      []Reason
	Problems []Problem
}

// A depth outside these limits is none of a distal hole in a femur, whose
// lower end is up to about 90 mm wide. From memory.
const distalLo, distalHi units.MM = 15, 120

// DistalScrewFor returns the locking screw for a depth that was read from the
// near to the far cortex with the sleeve on bone:
//
//	length ≥ depth + policy (2 mm)
//
// rounded up to stock, unlike a head screw, for the far cortex must be caught.
// Diameter 0 stands for the one diameter that the shelf has. Source: common
// practice (2 to 4 mm, then up: 42 + 2 = 44 → 45 in 5 mm stock); AO
// Foundation page (the far cortex is caught). It decides nothing for a depth
// that is none, and when the shelf has none so long.
func DistalScrewFor(depth, dia units.MM, shelf implant.Shelf, p Policy) DistalScrew {
	return distalScrew(units.Length{Best: depth, Own: p.GaugeReading}, dia, shelf, p)
}

// DistalScrewFrom returns the locking screw for a reading of the gauge, as
// DistalScrewFor. A sleeve off the bone reads too long, so without the answer
// "on bone", or a known gap, nothing is decided.
func DistalScrewFrom(r record.Reading, dia units.MM, shelf implant.Shelf, p Policy) DistalScrew {
	off := value(r.OffBone)
	switch {
	case r.First == nil:
		return DistalScrew{Problems: []Problem{trouble("reading-missing", fields("first_mm"), word("kind", string(record.DistalDepth)))}}
	case !(off >= 0 && off <= 50):
		return DistalScrew{Problems: inPart(PartDistal, outside("off_bone_mm", float64(off), 0, 50, "mm"))}
	case r.OnBone == record.Yes && off > 0:
		return DistalScrew{Problems: []Problem{trouble("sleeve-contradiction", fields("on_bone", "off_bone_mm"), shown("off", off))}}
	case r.OnBone != record.Yes && (r.OnBone != record.No || off == 0):
		return DistalScrew{Problems: []Problem{trouble("distal-off-bone", fields("on_bone", "off_bone_mm"))}}
	}
	return distalScrew(units.Length{Best: *r.First - off, Own: p.GaugeReading}, dia, shelf, p)
}

func distalScrew(depth units.Length, dia units.MM, shelf implant.Shelf, p Policy) DistalScrew {
	if bad := outsideLength("first_mm", depth, distalLo, distalHi); bad != nil {
		return DistalScrew{Problems: inPart(PartDistal, bad)}
	}
	if !(dia > 0) {
		if dia = oneLockingDiameter(shelf); dia == 0 {
			return DistalScrew{Problems: []Problem{trouble("locking-diameter-open", fields("shelf.nails", "shelf.locking_screws"))}}
		}
	}
	need := depth.Best + p.DistalOver
	var s DistalScrew
	for _, z := range lockingSizes(shelf, dia) {
		switch {
		case z.Value < need-guard:
			s.Shorter = z.Value
		case s.Ask == 0:
			s.Ask, s.Stock = z.Value, z.Stock
		case s.Longer == 0:
			s.Longer = z.Value
		}
	}
	if s.Ask == 0 {
		s.Problems = []Problem{trouble("distal-none", fields("shelf.locking_screws"), shown("need", need), shown("diameter", dia), shown("longest", s.Shorter))}
		return s
	}
	s.Past = pointer(units.Exact(s.Ask).Minus(depth))
	s.Why = []Reason{why("distal-depth", length("depth", depth), shown("over", p.DistalOver), shown("size", s.Ask), length("past", *s.Past)), why("distal-turn")}
	switch {
	case s.Past.Best > p.DistalPast+guard:
		s.Problems = []Problem{trouble("distal-stands-out", fields("shelf.locking_screws"), length("past", *s.Past), shown("limit", p.DistalPast))}
	case s.Past.Against(0) != units.More:
		s.Problems = []Problem{trouble("far-cortex-close", fields("readings"), length("past", *s.Past))}
	}
	return s
}

// lockingSizes adds up the stock of the locking screws of a diameter, shortest
// first, without those that are not in stock.
func lockingSizes(shelf implant.Shelf, dia units.MM) []Size {
	var out []Size
	for _, s := range shelf.Locking {
		if s.Diameter != dia || !(s.Stock > 0) || !(s.Length > 0 && s.Length <= 300) {
			continue
		}
		i := slices.IndexFunc(out, func(x Size) bool { return x.Value == s.Length })
		if i < 0 {
			out = append(out, Size{Value: s.Length})
			i = len(out) - 1
		}
		out[i].Stock += s.Stock
	}
	slices.SortFunc(out, bySize)
	return out
}

// oneLockingDiameter returns the diameter of the shelf's locking screws where
// they all have one, else 0.
func oneLockingDiameter(shelf implant.Shelf) (dia units.MM) {
	for i, s := range shelf.Locking {
		if i > 0 && s.Diameter != dia {
			return 0
		}
		dia = s.Diameter
	}
	return dia
}
