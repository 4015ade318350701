package plan

import (
	"isthmus/core/units"
)

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
	gap := HoleGap(b, n, p)
	switch {
	case gap == nil:
	case gap.Best <= 0:
		out = append(out, trouble("fracture-over-hole", fields("films"), length("distance", *gap)))
	case gap.Against(p.HoleDistance) != units.More:
		out = append(out, trouble("fracture-near-hole", fields("films"), length("distance", *gap), shown("limit", p.HoleDistance)))
	}
	return out
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
