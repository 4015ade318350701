//go:build js && wasm

package screen

import (
	"math"
	"syscall/js"

	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// A pen draws light lines with a dark halo, so that they are seen on any film,
// inverted or not.
type pen struct {
	c       js.Value
	colours map[viewer.Style]string
}

const halo = "rgba(0,0,0,0.72)"

func drawScene(p pen, sc viewer.Scene) {
	for _, s := range sc.Strokes {
		p.stroke(s)
	}
	for _, d := range sc.Dots {
		p.dot(d)
	}
	for _, l := range sc.Labels {
		p.label(l)
	}
	if sc.Loupe != nil {
		p.loupe(*sc.Loupe)
	}
}

// twice strokes the path that was begun: dark and wide, then light and thin.
func (p pen) twice(colour string, width float64, dash ...any) {
	p.c.Set("strokeStyle", halo)
	p.c.Set("lineWidth", width+2.6)
	p.c.Call("setLineDash", []any{})
	p.c.Call("stroke")
	p.c.Set("strokeStyle", colour)
	p.c.Set("lineWidth", width)
	p.c.Call("setLineDash", dash)
	p.c.Call("stroke")
	p.c.Call("setLineDash", []any{})
}

func (p pen) to(verb string, at geom.Pt[viewer.Css]) { p.c.Call(verb, float64(at.X), float64(at.Y)) }

func (p pen) stroke(s viewer.Stroke) {
	p.c.Call("beginPath")
	for i, at := range s.Path {
		if i == 0 {
			p.to("moveTo", at)
			continue
		}
		p.to("lineTo", at)
	}
	if s.Closed {
		p.c.Call("closePath")
	}
	switch s.Style {
	case viewer.Rule:
		p.twice(p.colours[s.Style], 1.4, 7, 4)
	case viewer.Offered:
		p.twice(p.colours[s.Style], 1.6, 3, 3)
	case viewer.Metal:
		p.twice(p.colours[s.Style], 2)
	default:
		p.twice(p.colours[s.Style], 1.2)
	}
}

func (p pen) dot(d viewer.Dot) {
	x, y := float64(d.At.X), float64(d.At.Y)
	colour := p.colours[d.Style]
	if d.Handle != nil {
		p.handle(d.At, *d.Handle, colour)
	}
	p.c.Call("beginPath")
	switch d.Style {
	case viewer.Rule:
		p.c.Call("rect", x-5, y-5, 10, 10)
		p.twice(colour, 1.4)
	case viewer.Moving: // a wide ring with four ticks that leave the place free
		p.c.Call("arc", x, y, 11, 0, 2*math.Pi)
		for _, u := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			p.c.Call("moveTo", x+4*u[0], y+4*u[1])
			p.c.Call("lineTo", x+11*u[0], y+11*u[1])
		}
		p.twice(colour, 2)
	case viewer.Offered:
		p.c.Call("arc", x, y, 3, 0, 2*math.Pi) // small: many lie along one edge
		p.twice(colour, 1.2)
	default:
		p.c.Call("arc", x, y, 6, 0, 2*math.Pi)
		p.twice(colour, 1.4)
	}
	p.c.Call("beginPath")
	p.c.Call("arc", x, y, 1.4, 0, 2*math.Pi)
	p.c.Set("fillStyle", colour)
	p.c.Call("fill")
}

// handle draws the stalk and the grip by which a point is moved.
func (p pen) handle(at, grip geom.Pt[viewer.Css], colour string) {
	way := float64(1)
	if grip.Y < at.Y {
		way = -1
	}
	x, y := float64(grip.X), float64(grip.Y)
	r := float64(viewer.HandleRadius)
	p.c.Call("beginPath")
	p.c.Call("moveTo", float64(at.X), float64(at.Y)+11*way)
	p.c.Call("lineTo", x, y-r*way)
	p.twice(colour, 1.4)
	p.c.Call("beginPath")
	p.c.Call("arc", x, y, r, 0, 2*math.Pi)
	p.c.Set("fillStyle", halo)
	p.c.Call("fill")
	for _, u := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} { // four arrowheads: it can be moved
		tx, ty := x+10*u[0], y+10*u[1]
		p.c.Call("moveTo", tx-4*u[0]+3*u[1], ty-4*u[1]+3*u[0])
		p.c.Call("lineTo", tx, ty)
		p.c.Call("lineTo", tx-4*u[0]-3*u[1], ty-4*u[1]-3*u[0])
	}
	p.twice(colour, 1.6)
}

func (p pen) label(l viewer.Label) {
	p.c.Set("font", "600 14px system-ui, sans-serif")
	p.c.Set("textBaseline", "middle")
	align := "left"
	if l.Right {
		align = "right"
	}
	p.c.Set("textAlign", align)
	p.c.Set("lineJoin", "round")
	p.c.Set("strokeStyle", "rgba(0,0,0,0.85)")
	p.c.Set("lineWidth", 4)
	p.c.Call("strokeText", l.Text, float64(l.At.X), float64(l.At.Y))
	p.c.Set("fillStyle", p.colours[l.Style])
	p.c.Call("fillText", l.Text, float64(l.At.X), float64(l.At.Y))
}

// loupe draws the rim of the magnifier and its cross, open in the middle.
func (p pen) loupe(l viewer.Loupe) {
	x, y, r := float64(l.Centre.X), float64(l.Centre.Y), float64(l.Radius)
	p.c.Call("save")
	p.c.Call("beginPath")
	p.c.Call("arc", x, y, r, 0, 2*math.Pi)
	p.c.Call("clip")
	p.c.Call("clearRect", x-r, y-r, 2*r, 2*r)
	p.c.Call("restore")
	p.c.Call("beginPath")
	p.c.Call("arc", x, y, r, 0, 2*math.Pi)
	p.twice(p.colours[viewer.Moving], 2)
	p.c.Call("beginPath")
	cx, cy := float64(l.Cross.X), float64(l.Cross.Y)
	for _, u := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		p.c.Call("moveTo", cx+6*u[0], cy+6*u[1])
		p.c.Call("lineTo", cx+(r-8)*u[0], cy+(r-8)*u[1])
	}
	p.twice(p.colours[viewer.Moving], 1)
}
