package drawing

import (
	"math"
	"strings"
)

// SpaceSection returns the section across the neck at its narrowest, seen from
// the lateral side, with both screws as the section cuts them at both ends of
// the stretch that counts, laid over one another, and the least room in the
// four directions. To scale; a margin here is as long as it truly is. It
// refuses as SpaceAP.
func SpaceSection(in SpaceInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &spaceDrawing{in: in, h: in.hip(), s: newSheet(in.ID+"-cut", 328, 0), flip: medial(in.Side), high: sectionHeight}
	d.e1, d.e2 = d.h.w, d.h.v
	d.fitSection()
	d.oval("d-bone", d.h.head, d.h.b, d.h.a)
	d.oval("d-bold", d.h.head, d.h.b, d.h.a)
	c := d.at(d.h.head)
	d.s.line("d-fine", c.plus(xy{-d.h.b * d.k, 0}), c.plus(xy{d.h.b * d.k, 0}), long("neck-width", 2*d.h.b, d.k))
	d.s.line("d-fine", c.plus(xy{0, -d.h.a * d.k}), c.plus(xy{0, d.h.a * d.k}), long("neck-height", 2*d.h.a, d.k))
	var rows []spaceRow
	for i := range placeOf {
		for _, behind := range []float64{d.h.far, d.h.near} {
			at, _, _ := d.h.cross(i, behind)
			d.cut("d-nail", at)
		}
	}
	rows = d.margins([2]int{0, 1})
	d.margins([2]int{2, 3})
	d.sectionMarks()
	y := d.rule(spaceTop + sectionHeight + 20)
	for i := 1; i >= 0; i-- {
		s := in.Lower
		if i == 1 {
			s = in.Upper
		}
		if s.Wall != nil {
			rows = append(rows, spaceRow{"any way, " + string(placeOf[i]), *s.Wall, 0})
		}
	}
	y = d.rows(y, rows)
	d.s.text("d-t d-soft", small, xy{6, y}, start, "to scale; screws at both ends of 10 mm")
	d.s.h = y + 8
	return d.s.done("d-space", "Section across the neck at its narrowest", d.sectionWords()), nil
}

const sectionHeight = 150.0

func (d *spaceDrawing) fitSection() {
	w, h := 2*d.h.b, 2*d.h.a
	for i := range placeOf { // a screw may lie through the wall
		_, x, y := d.h.cross(i, d.h.far)
		w, h = math.Max(w, 2*(math.Abs(x)+d.h.across)), math.Max(h, 2*(math.Abs(y)+d.h.up))
		_, x, y = d.h.cross(i, d.h.near)
		w, h = math.Max(w, 2*(math.Abs(x)+d.h.across)), math.Max(h, 2*(math.Abs(y)+d.h.up))
	}
	d.k = math.Min(5, math.Min(240/(w+4), sectionHeight/(h+2)))
	d.shift = xy{164, spaceTop + sectionHeight/2}.minus(xy{d.flip * d.h.head.dot(d.e1), -d.h.head.dot(d.e2)}.times(d.k))
}

// oval draws an upright ellipse about a place.
func (d *spaceDrawing) oval(class string, at v3, b, a float64) {
	c := d.at(at)
	pts := make([]xy, 0, 48)
	for i := range 48 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 24)
		pts = append(pts, c.plus(xy{b * cos * d.k, a * sin * d.k}))
	}
	d.s.poly(class, true, pts...)
}

// cut draws a screw as the section cuts it: an ellipse, leaning with the way
// of the screw. A place q in the section lies on the screw's surface where
// |q|² − (q·s)² is the square of its radius.
func (d *spaceDrawing) cut(class string, at v3) {
	c := d.at(at)
	sx, sy := d.h.dir.dot(d.h.w), d.h.dir.dot(d.h.v)
	pts := make([]xy, 0, 24)
	for i := range 24 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 12)
		r := d.h.half / math.Sqrt(1-math.Pow(cos*sx+sin*sy, 2))
		pts = append(pts, c.plus(xy{d.flip * r * cos, -r * sin}.times(d.k)))
	}
	d.s.poly(class, true, pts...)
}

func (d *spaceDrawing) sectionMarks() {
	d.s.text("d-t d-num", small, xy{6, 13}, start, spaceSide(d.in)+", neck across")
	left, right := "← back", "front →"
	if d.flip < 0 {
		left, right = "← front", "back →"
	}
	d.s.text("d-t", small, xy{6, spaceTop + sectionHeight/2}, start, left)
	d.s.text("d-t", small, xy{322, spaceTop + sectionHeight/2}, end, right)
	d.s.text("d-t", small, xy{164, 29}, middle, "up ↑")
	d.s.text("d-t d-soft", small, xy{6, 29}, start, "from lateral")
	for i := range placeOf {
		at, _, _ := d.h.cross(i, (d.h.near+d.h.far)/2)
		d.s.text("d-t d-blue", small, d.at(at).plus(xy{0, 4}), middle, string(placeOf[i]))
	}
}

func (d *spaceDrawing) sectionWords() string {
	in := d.in
	say := []string{upperFirst(spaceSide(in)) + ", section across the neck at its narrowest, seen from the lateral side.",
		"Neck " + oneTenth(in.Model.Height).String() + " high and " + oneTenth(in.Model.Width).String() + " wide inside."}
	for i := range placeOf {
		for j := range sideOf {
			if l := in.margin(i, j); l != nil {
				say = append(say, upperFirst(sideOf[j])+" the "+string(placeOf[i])+" screw "+l.String()+"; to keep "+in.keepOf(j).String()+".")
			}
		}
	}
	return strings.Join(append(say, "To scale. No film shows the way to the nearest wall."), " ")
}
