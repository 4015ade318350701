//go:build js && wasm

package screen

import (
	"math"
	"strconv"
	"syscall/js"

	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// laid is what the film on the canvas depends on.
type laid struct {
	view        viewer.View
	picture     int
	w, h, ratio float64
}

// draw draws the picture and, over it, the scene.
func (s *canvasStage) draw() {
	s.dirty = false
	s.clean(s.ink)
	if !s.scene.View.Ok() {
		s.relay()
		s.clean(s.film)
		return
	}
	s.layFilm()
	if l := s.scene.Loupe; l != nil {
		s.keepClear()
		s.drawLoupe(*l)
		s.el.Call("setAttribute", "data-loupe", strconv.Itoa(int(l.Centre.X))+" "+strconv.Itoa(int(l.Centre.Y))+" "+strconv.Itoa(int(l.Radius)))
	} else {
		s.dropClear()
		s.el.Call("removeAttribute", "data-loupe")
	}
	drawScene(pen{s.ink, s.colours}, s.scene)
}

// layFilm draws the film where it lies. A large film takes long to draw: while
// it lies as it did, it is kept, and only a loupe is taken off it.
func (s *canvasStage) layFilm() {
	want := laid{s.scene.View, s.pictures, s.w, s.h, s.ratio}
	if want == s.laid {
		if s.clear.Truthy() {
			s.clean(s.film)
			s.film.Call("drawImage", s.clear, 0, 0, s.w, s.h)
		}
		return
	}
	s.relay()
	s.clean(s.film)
	s.drawFilm(s.scene.View, geom.Pt[viewer.Css]{}, geom.Pt[viewer.Css]{X: viewer.Css(s.w), Y: viewer.Css(s.h)})
	s.laid = want
	if s.bitmap.Truthy() { // where the film lies, for whoever must find a place on it from outside
		s.el.Call("setAttribute", "data-matrix", matrixText(s.scene.View.Matrix()))
	}
}

// relay forgets the film on the canvas: the next draw lays it anew.
func (s *canvasStage) relay() {
	s.laid = laid{}
	s.dropClear()
}

// keepClear copies the film off the canvas before a loupe covers it.
func (s *canvasStage) keepClear() {
	if s.clear.Truthy() {
		return
	}
	s.clear = js.Global().Get("document").Call("createElement", "canvas")
	s.clear.Set("width", s.under.Get("width"))
	s.clear.Set("height", s.under.Get("height"))
	s.clear.Call("getContext", "2d").Call("drawImage", s.under, 0, 0)
}

func (s *canvasStage) dropClear() {
	if s.clear.Truthy() { // its memory goes at once, not when the browser collects
		s.clear.Set("width", 0)
		s.clear.Set("height", 0)
	}
	s.clear = js.Undefined()
}

func (s *canvasStage) clean(c js.Value) {
	c.Call("setTransform", s.ratio, 0, 0, s.ratio, 0, 0)
	c.Call("clearRect", 0, 0, s.w, s.h)
}

// drawFilm draws the part of the picture that is seen in a box. The bitmap may
// be smaller than the film.
func (s *canvasStage) drawFilm(v viewer.View, lo, hi geom.Pt[viewer.Css]) {
	p, ok := v.Seen(lo, hi)
	if !ok || !s.bitmap.Truthy() {
		return
	}
	kx := s.bitmap.Get("width").Float() / float64(v.Film().W)
	ky := s.bitmap.Get("height").Float() / float64(v.Film().H)
	m := v.Matrix()
	r := s.ratio
	s.film.Call("setTransform", m.A*r, m.B*r, m.C*r, m.D*r, m.E*r, m.F*r)
	s.film.Set("imageSmoothingEnabled", v.Scale() < 4) // close up, a pixel is seen as a pixel
	s.film.Set("imageSmoothingQuality", "medium")
	s.film.Call("drawImage", s.bitmap, p.X*kx, p.Y*ky, p.W*kx, p.H*ky, p.X-0.5, p.Y-0.5, p.W, p.H)
	s.film.Call("setTransform", r, 0, 0, r, 0, 0)
}

func (s *canvasStage) drawLoupe(l viewer.Loupe) {
	x, y, r := float64(l.Centre.X), float64(l.Centre.Y), float64(l.Radius)
	s.film.Call("save")
	s.film.Call("beginPath")
	s.film.Call("arc", x, y, r, 0, 2*math.Pi)
	s.film.Call("clip")
	s.film.Set("fillStyle", s.ground)
	s.film.Call("fillRect", x-r, y-r, 2*r, 2*r)
	d := geom.Pt[viewer.Css]{X: l.Radius, Y: l.Radius}
	s.drawFilm(l.View, l.Centre.Minus(d), l.Centre.Plus(d))
	s.film.Call("restore")
}

func matrixText(m viewer.Matrix) string {
	var b []byte
	for i, v := range [...]float64{m.A, m.B, m.C, m.D, m.E, m.F} {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendFloat(b, v, 'g', -1, 64)
	}
	return string(b)
}
