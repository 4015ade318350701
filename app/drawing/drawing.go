// Package drawing makes the drawings to scale: engineering drawings as SVG
// text, worked out from measured numbers only. It is plain Go, so that the
// screen, the print and the terminal show the same picture and a test can lay
// a ruler on it.
//
// What was measured is drawn in full lines and to the scale that the drawing
// states; what was not measured is dashed or absent. Doubt and danger are
// hatched, never only coloured. Every drawing says its numbers in words in its
// title and description. Elements that carry data-mm are as long as that many
// millimetres at the scale data-k (units of the drawing for one millimetre);
// elements that carry data-at lie at that many millimetres from the origin of
// the drawing's rule.
package drawing

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// A Size is the room a drawing is given, in css pixels.
type Size struct {
	W, H  float64
	Lying bool // the bone lies on its side, its upper end to the left
}

// The sizes the screen and the print use.
var (
	Narrow = Size{W: 112, H: 560}              // beside the sheet on a phone
	Wide   = Size{W: 720, H: 268, Lying: true} // wide screens and print
)

// A Gap is one number that a drawing lacks or cannot use.
type Gap struct {
	What string // "bone length"
	Got  string // "not given", "no number", "12 mm"
	Need string // "50 to 800 mm"
}

// A NothingToDrawError reports numbers that are missing or impossible, so
// that no drawing to scale can be made from them.
type NothingToDrawError struct {
	Drawing string // "strip"
	Missing []Gap
}

// Code names the fault for app/text.
func (e *NothingToDrawError) Code() string { return "drawing-nothing" }

func (e *NothingToDrawError) Error() string {
	var b strings.Builder
	b.WriteString("drawing: the " + e.Drawing + " cannot be drawn to scale: ")
	for i, g := range e.Missing {
		if i > 0 {
			b.WriteString("; ")
		}
		b.WriteString(g.What + " is " + g.Got + ", needs " + g.Need)
	}
	b.WriteString(": enter or measure it again")
	return b.String()
}

// A checker collects the gaps of one drawing.
type checker struct{ gaps []Gap }

func (c *checker) gap(what, got, need string) {
	c.gaps = append(c.gaps, Gap{What: what, Got: got, Need: need})
}

// in notes a gap unless lo ≤ v ≤ hi; a number that is no number fails.
func (c *checker) in(what string, v, lo, hi units.MM) {
	if !(v >= lo && v <= hi) {
		c.gap(what, shown(float64(v)), units.Trim(float64(lo), 1)+" to "+hi.String())
	}
}

// maybe checks a length that may be missing, and its doubt.
func (c *checker) maybe(what string, l *units.Length, lo, hi units.MM) {
	if l == nil {
		return
	}
	c.in(what, l.Best, lo, hi)
	if d := l.Doubt(); !(d >= 0 && d <= hi/units.Sure) {
		c.gap("the doubt of "+what, shown(float64(d)), "0 to "+(hi/units.Sure).String())
	}
}

func (c *checker) err(drawing string) error {
	if len(c.gaps) == 0 {
		return nil
	}
	return &NothingToDrawError{Drawing: drawing, Missing: c.gaps}
}

func shown(v float64) string {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return "no number"
	case math.Abs(v) > 1e6:
		return "far too large"
	}
	return units.MM(v).String()
}

// sure returns the ± of a length: Sure standard uncertainties.
func sure(l units.Length) float64 { return units.Sure * float64(l.Doubt()) }

// plusMinus prints the ± of a length alone, "±6 mm", or nothing when there is
// no doubt.
func plusMinus(l units.Length) string {
	if l.Doubt() == 0 {
		return ""
	}
	_, d := l.Round()
	return "±" + d + " mm"
}

// bestOnly prints the value of a length without its doubt, rounded as the
// doubt allows.
func bestOnly(l units.Length) string {
	if l.Doubt() == 0 {
		return l.Best.String()
	}
	v, _ := l.Round()
	return v + " mm"
}

// medial is +1 where the middle of the body lies to the right of a drawing
// seen from the front (a right leg), −1 where it lies to the left (a left
// leg). A leg without a side is drawn as a right one and says so.
func medial(s anatomy.Side) float64 {
	if s == anatomy.Left {
		return -1
	}
	return 1
}

func sideWords(s anatomy.Side) string {
	switch s {
	case anatomy.Left:
		return "left femur"
	case anatomy.Right:
		return "right femur"
	}
	return "side not given"
}

// viewWords says the side and the view in one sentence.
func viewWords(s anatomy.Side) string {
	if !s.Valid() {
		return "The side is not given; drawn as a right femur, seen from the front."
	}
	w := sideWords(s)
	return strings.ToUpper(w[:1]) + w[1:] + ", seen from the front."
}

// sideAndView is viewWords in short, for a corner of a drawing.
func sideAndView(s anatomy.Side) string {
	if !s.Valid() {
		return "side not given: drawn as a right femur"
	}
	return sideWords(s) + ", from the front"
}
