package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// distalOf returns the locking at the lower end: where every hole of the
// chosen nail lies, which of them take a screw, which screw each takes from
// the depth that was read, and whether taking one screw out would let the nail
// slide later. It decides nothing without a nail.
func distalOf(c record.Case, pl Plan, films []shot, shelf implant.Shelf, p Policy) (Distal, []Problem) {
	if pl.Nail.Part == nil {
		return Distal{}, nil
	}
	d := lowerEnd{nail: *pl.Nail.Part, p: p}
	burial := units.Exact(p.Burial)
	if pl.Seat.Burial != nil {
		burial = *pl.Seat.Burial
	}
	below, broken := lowestBreak(pl.Bone, films)
	if broken {
		d.add(trouble("second-break", fields("films")))
	}
	var b Bone
	if below != nil { // a deeper nail has its holes as much lower
		b.FractureL = pointer(below.Minus(burial.Minus(units.Exact(p.Burial))))
	}
	d.add(checkDistal(b, pl.Locking, pl.Nail, p)...)
	d.place(burial, below)
	if pl.Locking.Distal > 0 {
		d.choose(pl.Locking)
		d.slide(pl.Class)
	}
	d.screws(c.Readings, shelf)
	d.toggle(burial, below, pl.Locking)
	d.Problems = d.problems
	return d.Distal, d.problems
}

// lowestBreak returns the level of the lowest end of the break that is known,
// which is that of the second one where there are two, and false when the
// second was marked and cannot be measured: nothing is then said of it.
func lowestBreak(b Bone, films []shot) (*units.Length, bool) {
	for _, f := range films {
		if f.film.Bone != anatomy.Injured || f.View != anatomy.AP || f.film.Reduced != record.Yes ||
			f.count(anatomy.SecondUpper, anatomy.SecondLower) == 0 || f.count(anatomy.TrochanterTip, anatomy.DistalTarget) < 2 {
			continue
		}
		_, lower, err := measure.SecondBreak(f.Film)
		if err != nil {
			return nil, true
		}
		return &lower, false
	}
	return b.FractureL, false
}

// checkDistal looks at the holes of the chosen nail: whether it has as many as
// the locking asks for, and how far the nearest lies from the fracture,
//
//	distance = (burial + nail length − hole from tip) − lower end of fracture
//
// all from the tip of the trochanter. At or under the policy's limit (50 mm)
// is a caution, and so is a distance that may be under it. Source: Bucholz
// 1987: every fatigued nail had its fracture within 50 mm of the hole.
func checkDistal(b Bone, l Locking, n NailChoice, p Policy) []Problem {
	if n.Part == nil {
		return nil
	}
	var out []Problem
	if l.Distal > len(n.Part.Distal) {
		out = append(out, trouble("distal-holes", fields("shelf.nails"), number("count", float64(l.Distal)), number("holes", float64(len(n.Part.Distal)))))
	}
	return append(out, nearHole(HoleGap(b, n, p), p)...)
}

// nearHole judges the distance from the fracture to a hole; nil is not known.
func nearHole(gap *units.Length, p Policy) []Problem {
	switch {
	case gap == nil:
	case gap.Best <= 0:
		return []Problem{trouble("fracture-over-hole", fields("films"), length("distance", *gap))}
	case gap.Against(p.HoleDistance) != units.More:
		return []Problem{trouble("fracture-near-hole", fields("films"), length("distance", *gap), shown("limit", p.HoleDistance))}
	}
	return nil
}

// HoleGap returns how far the most proximal distal hole of the chosen nail
// lies beyond the lower end of the fracture, along the bone; nil when the nail,
// its holes or the fracture are not known.
func HoleGap(b Bone, n NailChoice, p Policy) *units.Length {
	if n.Part == nil || b.FractureL == nil || len(n.Part.Distal) == 0 {
		return nil
	}
	var top units.MM
	for _, h := range n.Part.Distal {
		top = max(top, h.FromTip)
	}
	gap := units.Exact(p.Burial + n.Part.Length - top).Minus(*b.FractureL)
	return &gap
}

// lowerEnd works the distal locking out and keeps what went wrong.
type lowerEnd struct {
	Distal
	nail     implant.Nail
	p        Policy
	problems []Problem
}

func (d *lowerEnd) add(q ...Problem) { d.problems = append(d.problems, q...) }

// place puts every hole along the bone.
func (d *lowerEnd) place(burial units.Length, below *units.Length) {
	for i, h := range d.nail.Distal {
		level := burial.Plus(units.Exact(d.nail.Length - h.FromTip))
		at := HolePlace{Hole: i + 1, Plane: h.Plane, Slot: h.Slot}
		if level.Finite() {
			at.Level = &level
		}
		if below != nil && level.Finite() {
			at.ToFracture = pointer(level.Minus(*below))
		}
		d.Holes = append(d.Holes, at)
	}
}

// screws fills in the screw of each hole whose depth was read; the latest
// reading of a hole counts.
func (d *lowerEnd) screws(readings []record.Reading, shelf implant.Shelf) {
	if len(lockingSizes(shelf, d.nail.LockingDia)) == 0 && len(d.Holes) > 0 {
		d.add(trouble("locking-none", fields("shelf.locking_screws"), shown("diameter", d.nail.LockingDia)))
	}
	last := map[int]int{}
	for i, r := range readings {
		switch {
		case r.Kind != record.DistalDepth:
		case r.Hole == nil || *r.Hole < 1 || *r.Hole > len(d.Holes):
			d.add(trouble("distal-hole-unknown", fields(index("readings", i)+".hole"), number("holes", float64(len(d.Holes)))))
		default:
			if j, seen := last[*r.Hole]; !seen || r.At >= readings[j].At {
				last[*r.Hole] = i
			}
		}
	}
	for k := range d.Holes {
		i, ok := last[k+1]
		if !ok {
			continue
		}
		s, h := DistalScrewFrom(readings[i], d.nail.LockingDia, shelf, d.p), &d.Holes[k]
		if readings[i].First != nil && outside("", float64(*readings[i].First), 0, 2000, "") == nil {
			h.Depth = &units.Length{Best: *readings[i].First, Own: d.p.GaugeReading}
		}
		h.Ask, h.Past, h.Stock, h.Why = s.Ask, s.Past, s.Stock, append(h.Why, s.Why...)
		for _, q := range s.Problems {
			q.Fields = inReading(q.Fields, index("readings", i))
			d.add(q)
		}
	}
	d.bending(shelf)
}

// inReading puts the fields of a reading behind its place in the case.
func inReading(names []string, at string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		if out[i] = n; n == "first_mm" || n == "on_bone" || n == "off_bone_mm" {
			out[i] = at + "." + n
		}
	}
	return out
}

// bending says what a screw of this nail carries against the thickest or, when
// it is that itself, the thinnest of the shelf.
func (d *lowerEnd) bending(shelf implant.Shelf) {
	own, other := d.nail.LockingDia, d.nail.LockingDia
	for _, s := range shelf.Locking {
		if math.Abs(float64(s.Diameter-own)) > math.Abs(float64(other-own)) {
			other = s.Diameter
		}
	}
	if other != own {
		d.Why = append(d.Why, BendingRatio(own, other).Why...)
	}
}

// toggle says how far the nail can tilt in the lower piece for each millimetre
// that the canal there is wider than it. The width there is not measured, and
// that of the isthmus would look safer than it is.
func (d *lowerEnd) toggle(burial units.Length, below *units.Length, l Locking) {
	if below == nil || !belowIsthmus(l) {
		return
	}
	along := burial.Plus(units.Exact(d.nail.Length)).Minus(*below).Apart()
	if a := ToggleFor(units.Exact(d.nail.Diameter+1), d.nail.Diameter, along); a.Angle != nil {
		d.Toggle, d.Why = a.Angle, append(d.Why, why("toggle-each", length("along", along), angle("angle", *a.Angle)))
	}
}
