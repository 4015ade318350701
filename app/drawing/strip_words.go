package drawing

import (
	"strconv"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// heading writes the side, the view and the scales.
func (p *strip) heading() {
	side := "d-t"
	if !p.in.Side.Valid() {
		side = "d-t d-red"
	}
	width := "width ×" + units.Trim(p.factor, 2)
	if p.lying {
		words := sideWords(p.in.Side) + ", from the front, upper end on the left"
		if !p.in.Side.Valid() {
			words = "side not given: drawn as a right femur, upper end on the left"
		}
		p.s.text(side, small, xy{6, 12}, start, words)
		p.s.text("d-t d-soft", small, xy{p.s.w - 6, p.s.h - 4}, end, "mm; length "+p.paper()+" on paper, "+width+" of that. Dashed: not measured")
		return
	}
	second := "from the front"
	if !p.in.Side.Valid() {
		second = "drawn as right"
	}
	p.s.text(side, small, xy{2, 11}, start, sideWords(p.in.Side))
	p.s.text("d-t d-soft", small, xy{2, 25}, start, second)
	for i, words := range []string{"mm, to scale,", width, "dashed: not", "measured"} {
		p.s.text("d-t d-soft", small, xy{2, p.s.h - 46 + float64(i)*14}, start, words)
	}
}

// paper prints the scale of lengths for a print at full size: a css pixel is
// 1/96 inch. Source: W3C CSS Values and Units, absolute lengths.
func (p *strip) paper() string {
	return "1:" + strconv.FormatFloat(96/25.4/p.k, 'f', 1, 64)
}

func (p *strip) title() string {
	if p.in.Nail != nil {
		return "Strip of the " + wordSide(p.in.Side) + " with nail " + nailWords(*p.in.Nail)
	}
	return "Strip of the " + wordSide(p.in.Side)
}

func wordSide(s anatomy.Side) string {
	if s.Valid() {
		return sideWords(s)
	}
	return "femur, side not given"
}

// words says every number of the drawing.
func (p *strip) words() string {
	in := p.in
	say := []string{viewWords(in.Side)}
	for _, l := range []struct {
		what string
		l    *units.Length
	}{
		{"Length from the tip of the greater trochanter to the distal target", in.Length},
		{"Isthmus below the tip", in.Isthmus}, {"Canal at the isthmus", in.Canal},
		{"Outer width of the bone at the isthmus", in.Outer}, {"Lesser trochanter below the tip", in.Lesser},
	} {
		if l.l == nil {
			say = append(say, l.what+": not measured.")
			continue
		}
		say = append(say, l.what+": "+l.l.String()+".")
	}
	if in.Upper != nil {
		say = append(say, "Fracture at "+fractureWords(*in.Upper, in.Lower)+" below the tip.")
	}
	say = append(say, p.nailSentences()...)
	say = append(say, "Lengths are to scale, widths "+units.Trim(p.factor, 2)+" times that scale; the shape of the bone is not measured.")
	return strings.Join(say, " ")
}

func (p *strip) nailSentences() []string {
	n := p.in.Nail
	if n == nil {
		return []string{"No nail is drawn: its size or its place is not decided."}
	}
	say := []string{"Nail " + nailWords(*n) + "."}
	if p.in.Length != nil {
		say = append(say, "It ends "+pastWords(p.in.Length.Minus(units.Exact(n.Burial+n.Length)))+".")
	}
	switch n.Pattern {
	case plan.HeadLock:
		say = append(say, "Head locking"+screwWords(n)+".")
	case plan.Standard:
		say = append(say, "Standard locking; the upper screws are dashed since the shelf does not say where their holes lie.")
	}
	if n.Screws > 0 {
		say = append(say, strconv.Itoa(min(n.Screws, len(n.Holes)))+" of "+strconv.Itoa(len(n.Holes))+" distal holes drawn with a screw, nearest the tip first.")
	}
	return say
}

func screwWords(n *StripNail) string {
	w := ""
	if n.Lower > 0 {
		w += ", lower head screw " + n.Lower.String()
	}
	if n.Upper > 0 {
		w += ", upper head screw " + n.Upper.String()
	}
	return w
}
