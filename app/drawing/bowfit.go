package drawing

import (
	"math"

	"isthmus/core/measure"
	"isthmus/core/units"
)

// BowFitInput is what the drawing of the bow of a nail in a bone is made from.
type BowFitInput struct {
	ID       string
	Bone     units.Length // radius
	Nail     units.MM     // radius
	Chord    units.MM
	Mismatch units.Length // height of the bone's bow less the nail's
	Limit    units.MM
}

// BowFit returns the bow of the bone and that of the nail over one line, from
// the side, to scale, and below it the two heights to a larger scale with the
// difference and its doubt. It refuses impossible numbers and a difference
// that does not belong to them.
func BowFit(in BowFitInput) (string, error) {
	var c checker
	c.in("the length of the line", in.Chord, 20, 600)
	c.in("the radius of the bone", in.Bone.Best, in.Chord/2, 1e5)
	c.in("the radius of the nail", in.Nail, in.Chord/2, 1e5)
	c.maybe("the difference", &in.Mismatch, -2000, 2000)
	bone, _ := measure.Sagitta(in.Chord, in.Bone.Best)
	nail, _ := measure.Sagitta(in.Chord, in.Nail)
	if len(c.gaps) == 0 {
		c.agrees("the difference", &in.Mismatch, bone-nail)
	}
	if err := c.err("bow"); err != nil {
		return "", err
	}
	k := 300 / float64(in.Chord)
	high := math.Max(float64(bone), float64(nail)) * k
	base := 40 + high
	s := newSheet(in.ID, 328, base+156)
	arc := func(class string, r units.MM) {
		var pts []xy
		for i := range 33 {
			x := float64(in.Chord) * (float64(i)/32 - 0.5)
			h := math.Sqrt(math.Max(0, float64(r)*float64(r)-x*x)) - math.Sqrt(math.Max(0, float64(r)*float64(r)-float64(in.Chord*in.Chord)/4))
			pts = append(pts, xy{164 + x*k, base - h*k})
		}
		s.poly(class, false, pts...)
	}
	arc("d-bold", in.Bone.Best)
	arc("d-move", in.Nail)
	s.line("d-axis", xy{14, base}, xy{314, base}, long("chord", float64(in.Chord), k))
	s.text("d-t d-soft", small, xy{6, 14}, start, "from the side, front is up, to scale")
	s.text("d-t", small, xy{164, base + 18}, middle, in.Chord.String()+", hip left, knee right")
	bowBars(s, in, bone, nail, base+40)
	return s.done("d-bow", "Bow of bone and nail", "Over "+in.Chord.String()+" the bow of the bone is "+oneTenth(bone).String()+" high and that of the nail "+oneTenth(nail).String()+"; the difference is "+in.Mismatch.String()+" (minus: the nail is more bowed). To scale."), nil
}

// bowBars are the two heights, one above the other and to one larger scale.
func bowBars(s *sheet, in BowFitInput, bone, nail units.MM, y float64) {
	most := math.Max(math.Max(float64(bone), float64(nail))+sure(in.Mismatch), float64(in.Limit))
	k := 216 / math.Max(most, 1)
	bar := func(class, what, words string, mm units.MM, y float64) {
		s.text("d-t", small, xy{6, y + 4}, start, words)
		s.line(class, xy{94, y}, xy{94 + float64(mm)*k, y}, long(what, float64(mm), k))
	}
	bar("d-bold", "bone", "bone "+oneTenth(bone).String(), bone, y)
	bar("d-move", "nail", "nail "+oneTenth(nail).String(), nail, y+24)
	a, b := 94+float64(nail)*k, 94+float64(bone)*k
	s.line("d-lead", xy{a, y + 24}, xy{a, y + 62})
	s.line("d-lead", xy{b, y}, xy{b, y + 62})
	if math.Abs(float64(in.Mismatch.Best)) > float64(in.Limit) {
		s.hatched(careHatch, xy{a, y + 34}, xy{b, y + 34}, xy{b, y + 46}, xy{a, y + 46})
	}
	if u := sure(in.Mismatch) * k; u > 0 {
		s.hatched(doubtHatch, xy{math.Max(b-u, 2), y - 6}, xy{math.Min(b+u, 326), y - 6}, xy{math.Min(b+u, 326), y + 6}, xy{math.Max(b-u, 2), y + 6})
	}
	s.dim("d-ink", xy{a, y + 58}, xy{b, y + 58}, long("mismatch", math.Abs(float64(bone-nail)), k))
	s.text("d-t d-num", normal, xy{6, y + 84}, start, "difference "+in.Mismatch.String())
	s.text("d-t d-soft", small, xy{6, y + 104}, start, "heights again, larger; limit "+in.Limit.String())
}
