package drawing

import (
	"math"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

// CapTopInput is what the drawing of the top of a nail is made from.
type CapTopInput struct {
	ID     string
	Burial units.Length // top of the nail below the tip of the trochanter; standing proud: negative
	Cap    *units.MM    // height of the end cap; nil: none
	Next   *units.MM    // of the next higher; nil: none
}

// CapTopFrom returns what the drawing needs from a burial and its answer.
func CapTopFrom(burial units.Length, a plan.CapAnswer) CapTopInput {
	in := CapTopInput{ID: "cap", Burial: burial}
	if a.Cap != nil {
		in.Cap = &a.Cap.Height
	}
	if a.Next != nil {
		in.Next = &a.Next.Height
	}
	return in
}

// CapTop returns the top of the nail below the tip of the trochanter with the
// end cap on it and the next higher one dashed, to scale, the doubt of the
// depth hatched at the tip of the trochanter. It refuses impossible numbers.
func CapTop(in CapTopInput) (string, error) {
	var c checker
	c.maybe("the depth of the nail", &in.Burial, -30, 60)
	for _, h := range []*units.MM{in.Cap, in.Next} {
		if h != nil {
			c.in("the height of an end cap", *h, 0, 100)
		}
	}
	if err := c.err("end cap"); err != nil {
		return "", err
	}
	d := capDrawing{in: in, b: float64(in.Burial.Best)}
	above := math.Max(5, math.Max(-d.b, sure(in.Burial)))
	for _, h := range []*units.MM{in.Cap, in.Next} {
		if h != nil {
			above = math.Max(above, float64(*h)-d.b)
		}
	}
	below := math.Max(d.b, 0) + 12
	d.k = math.Min(6, 170/(above+below))
	d.tip = 26 + (above+1)*d.k
	d.s = newSheet(in.ID, 328, d.tip+below*d.k+30)
	d.draw(below)
	return d.s.done("d-cap", "End cap on the nail", d.words()), nil
}

type capDrawing struct {
	in   CapTopInput
	s    *sheet
	k, b float64
	tip  float64 // y of the tip of the trochanter
}

// y is so many millimetres below the tip of the trochanter.
func (d *capDrawing) y(mm float64) float64 { return d.tip + mm*d.k }

func (d *capDrawing) draw(below float64) {
	const x, half = 98.0, 30.0
	var at, size []float64
	var words, class []string
	label := func(mm float64, c, w string) {
		at, size, words, class = append(at, d.y(mm)), append(size, 15), append(words, w), append(class, c)
	}
	// The bone beside the nail is for the eye.
	for _, side := range []float64{-1, 1} {
		d.s.poly("d-guess", false, xy{x + side*(half+6), d.y(below)}, xy{x + side*(half+6), d.y(4)}, xy{x + side*(half+16), d.y(0)}, xy{x + side*(half+34), d.y(6)}, xy{x + side*(half+40), d.y(below)})
	}
	if u := sure(d.in.Burial); u > 0 {
		d.s.hatched(doubtHatch, xy{x - 72, d.y(-u)}, xy{x + 72, d.y(-u)}, xy{x + 72, d.y(u)}, xy{x - 72, d.y(u)})
	}
	d.s.line("d-level", xy{x - 78, d.tip}, xy{x + 78, d.tip})
	label(0, "d-t", "tip of trochanter")
	d.s.box("d-nail", xy{x - half, d.y(d.b)}, xy{x + half, d.y(below)}, 0)
	label(d.b, "d-t d-soft", "top of the nail")
	if n := d.in.Next; n != nil {
		d.s.box("d-ghost", xy{x - half + 5, d.y(d.b)}, xy{x + half - 5, d.y(d.b - float64(*n))}, 0)
		label(d.b-float64(*n), "d-t d-soft", n.String()+levelWords(d.b-float64(*n)))
	}
	if c := d.in.Cap; c != nil {
		d.s.box("d-part", xy{x - half + 5, d.y(d.b)}, xy{x + half - 5, d.y(d.b - float64(*c))}, 0)
		d.s.line("d-screw", xy{x, d.y(d.b)}, xy{x, d.y(d.b - float64(*c))}, long("cap", float64(*c), d.k))
		label(d.b-float64(*c), "d-t d-blue", "cap "+c.String()+levelWords(d.b-float64(*c)))
	}
	d.s.dim("d-move", xy{14, d.tip}, xy{14, d.y(d.b)}, long("burial", math.Abs(d.b), d.k))
	mid, ok := spread(at, size, 22, d.s.h-22, 1)
	if !ok {
		mid = at
	}
	for i, m := range mid {
		d.s.line("d-lead", xy{x + 80, at[i]}, xy{x + 86, m})
		d.s.text(class[i], small, xy{x + 89, m + 4}, start, cut(words[i], small, 140))
	}
	d.s.text("d-t d-blue", normal, xy{6, 15}, start, "nail "+d.deep())
	d.s.text("d-t d-soft", small, xy{6, d.s.h - 6}, start, "heights to scale; bone dashed: a guess")
}

// deep says how the top of the nail lies.
func (d *capDrawing) deep() string {
	if d.b < 0 {
		return d.in.Burial.Times(-1).String() + " proud"
	}
	return d.in.Burial.String() + " deep"
}

// levelWords says briefly where a top lies from the tip of the trochanter.
func levelWords(mm float64) string {
	switch v := units.MM(math.Round(math.Abs(mm)*10) / 10); {
	case v == 0:
		return ": flush"
	case mm < 0:
		return ": " + v.String() + " out"
	default:
		return ": " + v.String() + " in"
	}
}

func (d *capDrawing) words() string {
	say := []string{"The nail lies " + d.deep() + ", from the tip of the trochanter."}
	if c := d.in.Cap; c != nil {
		say = append(say, "The cap of "+c.String()+levelWords(d.b-float64(*c))+".")
	}
	if n := d.in.Next; n != nil {
		say = append(say, "The next higher of "+n.String()+levelWords(d.b-float64(*n))+".")
	}
	return strings.Join(append(say, "Heights to scale."), " ")
}
