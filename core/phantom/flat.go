package phantom

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A plate is a flat rectangle parallel to the detector, seen at the detector:
// its middle, half its sides and their turn.
type plate struct {
	u, v, half, tall float64
	sin, cos         float64
}

// addPlate adds attenuation where the plate is, in share of each pixel along
// each of its two sides.
func (c *canvas) addPlate(p plate, mu float64) {
	r := p.half + p.tall
	x0, y0 := c.pixel(p.u-r, p.v-r)
	x1, y1 := c.pixel(p.u+r, p.v+r)
	for y := clip(y0, c.h); y < clip(y1+2, c.h); y++ {
		for x := clip(x0, c.w); x < clip(x1+2, c.w); x++ {
			du, dv := (float64(x)-c.midX)*c.col-p.u, (float64(y)-c.midY)*c.row-p.v
			a, b := du*p.cos+dv*p.sin, dv*p.cos-du*p.sin
			share := cover(a, p.half, c.col) * cover(b, p.tall, c.row)
			c.mu[y*c.w+x] += float32(mu * share)
		}
	}
}

// cover is the share of a pixel of this size, with its middle at a, that lies
// within half on both sides of 0.
func cover(a, half, size float64) float64 {
	lo, hi := max(a-size/2, -half), min(a+size/2, half)
	return max(0, hi-lo) / size
}

// mark is the place of graduation i of a ruler, in its own plane from the
// central ray, and the ruler's magnification.
func (c camera) mark(i int) (u, v, m float64) {
	r := c.s.Ruler
	sin, cos := math.Sincos(float64(r.Turn) * math.Pi / 180)
	along := 10*float64(i) - float64(r.Length)/2
	m = c.sid / (float64(c.s.SOD) - float64(r.Above))
	return (float64(r.Aside) - sin*along) * m, (float64(r.Down) + cos*along) * m, m
}

// marks is how many graduations a ruler has.
func (r Ruler) marks() int {
	if !(r.Length > 0) {
		return 0
	}
	return int(float64(r.Length)/10+1e-9) + 1
}

// drawRuler draws the body of the ruler and its marks: 0.8 mm wide, 8 mm long,
// 14 mm each 50 mm, all from one edge.
func (c *canvas) drawRuler() {
	r := c.s.Ruler
	n := r.marks()
	sin, cos := math.Sincos(float64(r.Turn) * math.Pi / 180)
	for i := range n {
		u, v, m := c.mark(i)
		long := 8.0
		if i%5 == 0 {
			long = 14
		}
		off := (long/2 - 7) * m // the marks share one edge, 7 mm from the middle line
		c.addPlate(plate{u + cos*off, v + sin*off, long / 2 * m, 0.4 * m, sin, cos}, 1.6)
	}
	if n > 0 {
		m := c.sid / (float64(c.s.SOD) - float64(r.Above))
		c.addPlate(plate{float64(r.Aside) * m, float64(r.Down) * m, 11 * m, (float64(r.Length)/2 + 6) * m, sin, cos}, 0.05)
	}
}

// A glyph is five rows of a letter, three bits each.
var glyphs = map[rune][5]uint8{
	'P': {7, 5, 7, 4, 4}, 'H': {5, 5, 7, 5, 5}, 'A': {2, 5, 7, 5, 5}, 'N': {7, 5, 5, 5, 5}, 'T': {7, 2, 2, 2, 2},
	'O': {7, 5, 5, 5, 7}, 'M': {5, 7, 7, 5, 5}, 'R': {6, 5, 6, 5, 5}, 'L': {4, 4, 4, 4, 7},
}

// write draws lead letters at the detector; size is the side of one dot.
func (c *canvas) write(text string, u, v, size float64) {
	for _, r := range text {
		for row, bits := range glyphs[r] {
			for col := range 3 {
				if bits>>(2-col)&1 == 1 {
					c.addPlate(plate{u + float64(col)*size, v + float64(row)*size, size / 2, size / 2, 0, 1}, 2.5)
				}
			}
		}
		u += 4 * size
	}
}

// drawLetters puts the side and the word into the upper corners.
func (c *canvas) drawLetters() {
	if !c.s.Letter {
		return
	}
	w, h := c.midX*c.col, c.midY*c.row
	m := float64(c.s.Frame) + 6
	side := "R"
	if c.s.Side == anatomy.Left {
		side = "L"
	}
	c.write(side, -w+m, -h+m, 3)
	c.write("PHANTOM", w-m-27*1.1, -h+m, 1.1)
}

// drawMarkers adds balls and discs: steel.
func (c *canvas) drawMarkers() {
	for _, b := range c.s.Balls {
		at, r := c.where(b), float64(b.Across)/2
		p := part{shape: newEgg(vec{r, r, r}, 0), from: pose{one, at}, bounds: []bound{{at, r}}}
		c.drawPlain(p, pose{m: one}, metalMu, 0)
	}
	for _, b := range c.s.Discs {
		at, r := c.where(b), float64(b.Across)/2
		t := newTube(pose{one, at}, -1, 1, 1, func(float64) (cx, cy, ro, ri float64) { return 0, 0, r, 0 })
		p := part{shape: disc{t}, from: t.from, bounds: []bound{{at, r + 1}}}
		c.drawPlain(p, pose{m: one}, metalMu*2, 0)
	}
}

// A disc is a short tube seen end on: its rays run along its axis.
type disc struct{ t *tube }

func (d disc) spans(r *ray) (outer, inner span) {
	q := d.t.knots[0]
	a := r.d[0]*r.d[0] + r.d[1]*r.d[1]
	b := r.s[0]*r.d[0] + r.s[1]*r.d[1]
	o := span{math.Inf(-1), math.Inf(1)}
	if off := r.s[0]*r.s[0] + r.s[1]*r.s[1]; a > 1e-12*(off+1) {
		o = cone(a, b, off, q.ro, 0)
	} else if off > q.ro*q.ro {
		return
	}
	return slab(o, r.s[2], r.d[2], d.t.z0, d.t.z1), span{}
}

// where is the middle of a marker in the room.
func (c camera) where(b Ball) vec {
	return vec{float64(b.Aside), float64(b.Down), c.sid - float64(c.s.SOD) + float64(b.Above)}
}

func (c camera) at(u, v float64) geom.Pt[units.Px] {
	x, y := c.pixel(u, v)
	return geom.Pt[units.Px]{X: units.Px(x), Y: units.Px(y)}
}
