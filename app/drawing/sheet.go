package drawing

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// xy is a place on the drawing, in css pixels.
type xy struct{ x, y float64 }

func (p xy) plus(q xy) xy          { return xy{p.x + q.x, p.y + q.y} }
func (p xy) minus(q xy) xy         { return xy{p.x - q.x, p.y - q.y} }
func (p xy) times(f float64) xy    { return xy{p.x * f, p.y * f} }
func (p xy) left() xy              { return xy{p.y, -p.x} } // a quarter turn
func (p xy) length() float64       { return math.Hypot(p.x, p.y) }
func (p xy) to(q xy, f float64) xy { return p.plus(q.minus(p).times(f)) }

// A sheet collects the elements of one drawing.
type sheet struct {
	b       []byte
	w, h    float64
	id      string
	hatches []hatch
}

// A hatch is a pattern of lines. Its name is its class and the end of its id.
type hatch struct {
	name  string
	step  float64
	angle int
	cross bool
}

// Doubt leans one way and is fine, care leans the other way and is coarse,
// danger is crossed: they differ in form, not only in colour.
var (
	doubtHatch = hatch{"doubt", 3, 45, false}
	careHatch  = hatch{"care", 5, -45, false}
	stopHatch  = hatch{"stop", 5, 45, true}
)

func newSheet(id string, w, h float64) *sheet {
	return &sheet{w: w, h: h, id: cleanID(id), b: make([]byte, 0, 8<<10)}
}

// cleanID keeps what is safe in an identifier, so that a caller's prefix
// cannot break out of an attribute.
func cleanID(id string) string {
	keep := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return -1
	}, id)
	if keep == "" || keep[0] >= '0' && keep[0] <= '9' || keep[0] == '-' {
		return "d" + keep
	}
	return keep
}

// esc writes text so that it stays text, and drops what XML forbids.
func esc(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '&':
			b.WriteString("&amp;")
		case r == '"':
			b.WriteString("&#34;")
		case r == '\'':
			b.WriteString("&#39;")
		case r < 0x20 || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF:
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func (s *sheet) raw(t string) { s.b = append(s.b, t...) }

// num writes a coordinate to a thousandth. Whole thousandths are written as
// digits; that is several times faster than the shortest decimal, and the
// strip is redrawn while a finger moves.
func (s *sheet) num(v float64) {
	n := int64(math.Round(v * 1000))
	if n < 0 {
		s.b = append(s.b, '-')
		n = -n
	}
	s.b = strconv.AppendInt(s.b, n/1000, 10)
	f := n % 1000
	if f == 0 {
		return
	}
	s.b = append(s.b, '.', byte('0'+f/100))
	if f%100 != 0 {
		s.b = append(s.b, byte('0'+f/10%10))
	}
	if f%10 != 0 {
		s.b = append(s.b, byte('0'+f%10))
	}
}

func (s *sheet) attr(name string, v float64) {
	s.raw(" " + name + `="`)
	s.num(v)
	s.raw(`"`)
}

// A tag is what a test, or a curious reader, can check about an element.
type tag struct {
	what string
	mm   float64 // its length in millimetres, where k is not 0
	k    float64 // css pixels for one millimetre
	at   float64 // its place on the rule, where isAt
	isAt bool
}

func long(what string, mm, k float64) tag { return tag{what: what, mm: mm, k: k} }
func at(what string, mm float64) tag      { return tag{what: what, at: mm, isAt: true} }

func (s *sheet) tag(t []tag) {
	for _, g := range t {
		s.raw(` data-what="` + g.what + `"`)
		if g.k != 0 {
			s.raw(` data-mm="` + strconv.FormatFloat(g.mm, 'f', -1, 64) + `" data-k="` + strconv.FormatFloat(g.k, 'g', 9, 64) + `"`)
		}
		if g.isAt {
			s.raw(` data-at="` + strconv.FormatFloat(g.at, 'f', -1, 64) + `"`)
		}
	}
}

func (s *sheet) line(class string, a, b xy, t ...tag) {
	s.raw(`<line class="` + class + `"`)
	s.attr("x1", a.x)
	s.attr("y1", a.y)
	s.attr("x2", b.x)
	s.attr("y2", b.y)
	s.tag(t)
	s.raw("/>")
}

func (s *sheet) circle(class string, c xy, r float64, t ...tag) {
	s.raw(`<circle class="` + class + `"`)
	s.attr("cx", c.x)
	s.attr("cy", c.y)
	s.attr("r", r)
	s.tag(t)
	s.raw("/>")
}

// box draws an upright rectangle between two corners.
func (s *sheet) box(class string, a, b xy, round float64, t ...tag) {
	s.raw(`<rect class="` + class + `"`)
	s.attr("x", math.Min(a.x, b.x))
	s.attr("y", math.Min(a.y, b.y))
	s.attr("width", math.Abs(a.x-b.x))
	s.attr("height", math.Abs(a.y-b.y))
	if round > 0 {
		s.attr("rx", round)
	}
	s.tag(t)
	s.raw("/>")
}

// poly draws a line through points, closed where asked.
func (s *sheet) poly(class string, closed bool, pts ...xy) { s.path(class, "", closed, pts) }

// hatched fills the shape between points with a hatch.
func (s *sheet) hatched(h hatch, pts ...xy) { s.path("d-none", s.ref(h), true, pts) }

func (s *sheet) path(class, fill string, closed bool, pts []xy) {
	if len(pts) < 2 {
		return
	}
	s.raw(`<path class="` + class + `"`)
	if fill != "" {
		s.raw(` fill="` + fill + `"`)
	}
	s.raw(` d="`)
	for i, p := range pts {
		if i == 0 {
			s.raw("M")
		} else {
			s.raw("L")
		}
		s.num(p.x)
		s.raw(" ")
		s.num(p.y)
	}
	if closed {
		s.raw("Z")
	}
	s.raw(`"/>`)
}

// ref returns the reference to a hatch and sees that it is defined.
func (s *sheet) ref(h hatch) string {
	for _, k := range s.hatches {
		if k == h {
			return "url(#" + s.id + "-" + h.name + ")"
		}
	}
	s.hatches = append(s.hatches, h)
	return "url(#" + s.id + "-" + h.name + ")"
}

// Letter sizes, in css pixels; nothing is smaller.
const (
	small  = 12.0
	normal = 13.5
	large  = 16.0
)

type anchor string

const (
	start  anchor = ""
	middle anchor = "middle"
	end    anchor = "end"
)

// text writes one line with its baseline at p.
func (s *sheet) text(class string, size float64, p xy, a anchor, words string) {
	if words == "" {
		return
	}
	s.raw(`<text class="` + class + `"`)
	s.attr("font-size", size)
	s.attr("x", p.x)
	s.attr("y", p.y)
	if a != start {
		s.raw(` text-anchor="` + string(a) + `"`)
	}
	s.raw(">" + esc(words) + "</text>")
}

// arrow draws an open arrowhead at tip, pointing along dir.
func (s *sheet) arrow(class string, tip, dir xy) {
	n := dir.length()
	if !(n > 0) {
		return
	}
	u := dir.times(1 / n)
	back, side := tip.minus(u.times(6)), u.left().times(2.4)
	s.poly(class, false, back.plus(side), tip, back.minus(side))
}

// dim draws a dimension line from a to b with arrowheads at both ends; where
// there is no room for them inside they point in from outside.
func (s *sheet) dim(class string, a, b xy, t ...tag) {
	d := b.minus(a)
	s.line(class, a, b, t...)
	if d.length() >= 16 {
		s.arrow(class, a, d.times(-1))
		s.arrow(class, b, d)
		return
	}
	if d.length() > 0 {
		s.arrow(class, a, d)
		s.arrow(class, b, d.times(-1))
	}
}

// done returns the whole drawing. The title is short, the description says
// the numbers in words.
func (s *sheet) done(class, title, desc string) string {
	body := s.b
	out := &sheet{b: make([]byte, 0, len(body)+1200), id: s.id}
	out.raw(`<svg xmlns="http://www.w3.org/2000/svg" class="d ` + class + `" role="img"`)
	out.raw(` aria-labelledby="` + s.id + `-t ` + s.id + `-x" viewBox="0 0 `)
	out.num(s.w)
	out.raw(" ")
	out.num(s.h)
	out.raw(`"`)
	out.attr("width", s.w)
	out.attr("height", s.h)
	out.raw(`><title id="` + s.id + `-t">` + esc(title) + `</title><desc id="` + s.id + `-x">` + esc(desc) + `</desc>`)
	if len(s.hatches) > 0 {
		out.raw("<defs>")
		for _, h := range s.hatches {
			out.pattern(h)
		}
		out.raw("</defs>")
	}
	out.b = append(out.b, body...)
	out.raw("</svg>")
	return string(out.b)
}

func (s *sheet) pattern(h hatch) {
	n := strconv.FormatFloat(h.step, 'f', -1, 64)
	d := "M0 0V" + n
	if h.cross {
		d += "M0 0H" + n
	}
	s.raw(`<pattern id="` + s.id + "-" + h.name + `" width="` + n + `" height="` + n +
		`" patternUnits="userSpaceOnUse" patternTransform="rotate(` + strconv.Itoa(h.angle) +
		`)"><path class="d-hatch-` + h.name + `" d="` + d + `"/></pattern>`)
}

// inside holds a point inside the drawing.
func (s *sheet) inside(p xy) xy { return xy{clamp(p.x, 0, s.w), clamp(p.y, 0, s.h)} }
