// Package static holds the files that go to the browser as they are: our own
// shell, style, service worker and manifest. Its Go draws the icon, the
// narrowing of a canal between two dimension arrows; the pictures are
// committed, and a test draws them again and compares.
package static

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
)

// The icon is drawn on a square of side 1. The canal's walls run from top to
// bottom and stand halfWide apart from the middle at the ends, halfNarrow at
// the isthmus.
const (
	halfWide   = 0.25
	halfNarrow = 0.075
	stroke     = 0.036 // width of a line
	inset      = 0.14  // where the walls begin and end
	arrowFrom  = 0.13  // outer end of a dimension arrow
	arrowHead  = 0.055
)

var (
	paper = color.RGBA{0xFB, 0xFA, 0xF6, 0xFF}
	ink   = color.RGBA{0x15, 0x18, 0x1B, 0xFF}
	move  = color.RGBA{0x00, 0x57, 0x7C, 0xFF}
)

type pt struct{ x, y float64 }

// A line is a row of points with a colour.
type line struct {
	at  []pt
	ink color.RGBA
}

// wall returns one wall of the canal: half width
//
//	w(y) = narrow + (wide − narrow)·(1 − cos 2π(y−½)/(1−2·inset))/2
//
// on the side given by sign.
func wall(sign float64) []pt {
	var at []pt
	const n = 48
	for i := range n + 1 {
		y := inset + (1-2*inset)*float64(i)/n
		w := halfNarrow + (halfWide-halfNarrow)*(1-math.Cos(2*math.Pi*(y-0.5)/(1-2*inset)))/2
		at = append(at, pt{0.5 + sign*w, y})
	}
	return at
}

// lines returns the icon, shrunk about its middle by scale.
func lines(scale float64) []line {
	ls := []line{{wall(-1), ink}, {wall(1), ink}}
	for _, sign := range []float64{-1, 1} {
		tip := 0.5 + sign*(halfNarrow+stroke*0.9)
		end := 0.5 + sign*(0.5-arrowFrom)
		back := tip + sign*arrowHead
		ls = append(ls,
			line{[]pt{{tip, 0.5}, {end, 0.5}}, move},
			line{[]pt{{back, 0.5 - arrowHead}, {tip, 0.5}, {back, 0.5 + arrowHead}}, move})
	}
	for _, l := range ls {
		for i, p := range l.at {
			l.at[i] = pt{0.5 + (p.x-0.5)*scale, 0.5 + (p.y-0.5)*scale}
		}
	}
	return ls
}

// Icon returns the icon as a square of side px. A scale below 1 leaves room
// at the rim, for platforms that cut icons to a shape of their own.
func Icon(px int, scale float64) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, px, px))
	ls := lines(scale)
	half, soft := stroke*scale/2, 1/float64(px)
	for y := range px {
		for x := range px {
			p := pt{(float64(x) + 0.5) / float64(px), (float64(y) + 0.5) / float64(px)}
			c := paper
			for _, l := range ls {
				cover := (half-l.distance(p))/soft + 0.5
				c = mix(c, l.ink, math.Max(0, math.Min(1, cover)))
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

// distance returns how far p is from the nearest part of the line.
func (l line) distance(p pt) float64 {
	best := math.Inf(1)
	for i := 1; i < len(l.at); i++ {
		a, b := l.at[i-1], l.at[i]
		dx, dy := b.x-a.x, b.y-a.y
		t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (dx*dx + dy*dy)
		t = math.Max(0, math.Min(1, t))
		best = math.Min(best, math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy))
	}
	return best
}

func mix(under, over color.RGBA, share float64) color.RGBA {
	f := func(u, o uint8) uint8 { return uint8(math.Round(float64(u) + (float64(o)-float64(u))*share)) }
	return color.RGBA{f(under.R, over.R), f(under.G, over.G), f(under.B, over.B), 0xFF}
}

// SVG returns the same icon as a drawing of 512 units.
func SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512"><path fill="%s" d="M0 0H512V512H0Z"/>`, hex(paper))
	for _, l := range lines(1) {
		fmt.Fprintf(&b, `<path fill="none" stroke="%s" stroke-width="%.1f" stroke-linecap="round" stroke-linejoin="round" d="`, hex(l.ink), stroke*512)
		for i, p := range l.at {
			fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], p.x*512, p.y*512)
		}
		b.WriteString(`"/>`)
	}
	b.WriteString("</svg>\n")
	return b.String()
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }
