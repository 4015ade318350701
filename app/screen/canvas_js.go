//go:build js && wasm

package screen

import (
	"math"
	"strconv"
	"syscall/js"

	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// maxCanvas is the largest canvas some phones can make, in device pixels.
const maxCanvas = 16_777_216

// wideScreen is how many css pixels wide a screen is that has room for two
// things side by side, as in film.css.
const wideScreen = 1100

// A canvasStage draws on two canvases, never larger than the screen.
type canvasStage struct {
	on          stageHands
	el          js.Value
	under, over js.Value
	film, ink   js.Value // their drawing contexts
	bitmap      js.Value
	scene       viewer.Scene
	colours     map[viewer.Style]string
	ground      string
	w, h, ratio float64
	hold        js.Value // the timer that runs
	resting     viewer.Event
	holdFunc    js.Func
	asked       bool // a frame was asked for
	dirty       bool // and must be drawn
	closed      bool
	heard       []heard
	frameFunc   js.Func
	watcher     js.Value
}

// heard is one listener, so that it can be taken off again.
type heard struct {
	on   js.Value
	name string
	fn   js.Func
}

func newStage(id string, on stageHands) stage {
	el := js.Global().Get("document").Call("getElementById", id)
	if !el.Truthy() {
		return &canvasStage{closed: true}
	}
	s := &canvasStage{on: on, el: el, under: el.Call("querySelector", ".under"), over: el.Call("querySelector", ".over")}
	s.film, s.ink = s.under.Call("getContext", "2d"), s.over.Call("getContext", "2d")
	css := js.Global().Call("getComputedStyle", el)
	token := func(name string) string { return css.Call("getPropertyValue", name).String() }
	s.colours = map[viewer.Style]string{viewer.Quiet: token("--film-ink"), viewer.Rule: token("--film-rule"), viewer.Moving: token("--film-move"), viewer.Offered: token("--film-move"), viewer.Metal: token("--film-ink")}
	s.ground = token("--film-ground")
	s.frameFunc = s.guard(func(_ js.Value, args []js.Value) {
		s.asked = false
		if s.dirty {
			s.draw()
		}
		if s.on.frame(args[0].Float()) {
			s.ask()
		}
	})
	s.holdFunc = s.guard(func(js.Value, []js.Value) { s.held() })
	s.listen()
	return s
}

// guard makes a callback whose panic becomes a sentence.
func (s *canvasStage) guard(fn func(this js.Value, args []js.Value)) js.Func {
	return js.FuncOf(func(this js.Value, args []js.Value) any {
		defer func() {
			if r := recover(); r != nil && s.on.broken != nil {
				s.on.broken(r)
			}
		}()
		if !s.closed {
			fn(this, args)
		}
		return nil
	})
}

func (s *canvasStage) hear(on js.Value, name string, fn func(e js.Value)) {
	f := s.guard(func(_ js.Value, args []js.Value) { fn(args[0]) })
	on.Call("addEventListener", name, f, map[string]any{"passive": false})
	s.heard = append(s.heard, heard{on, name, f})
}

func (s *canvasStage) listen() {
	for name, phase := range map[string]viewer.Phase{"pointerdown": viewer.Down, "pointermove": viewer.Move, "pointerup": viewer.Up, "pointercancel": viewer.Cancel} {
		s.hear(s.el, name, func(e js.Value) { s.pointer(phase, e) })
	}
	// A quick pan would go on as a fling of the browser's own, although nothing
	// scrolls here, and the fling would swallow the next tap on any button.
	s.hear(s.el, "touchstart", func(e js.Value) { e.Call("preventDefault") })
	s.hear(s.el, "contextmenu", func(e js.Value) { e.Call("preventDefault") })
	s.hear(s.el, "wheel", func(e js.Value) {
		e.Call("preventDefault")
		turns := e.Get("deltaY").Float()
		if e.Get("deltaMode").Int() == 0 {
			turns /= 100 // pixels to about one notch
		}
		s.on.wheel(s.at(e), -turns)
	})
	s.hear(s.el, "keydown", func(e js.Value) {
		if s.on.key(keyName(e)) {
			e.Call("preventDefault")
		}
	})
	watch := s.guard(func(js.Value, []js.Value) { s.measure() })
	s.watcher = js.Global().Get("ResizeObserver").New(watch)
	s.watcher.Call("observe", s.el)
	s.heard = append(s.heard, heard{js.Undefined(), "", watch})
	s.measure()
}

func keyName(e js.Value) string {
	name := e.Get("key").String()
	if e.Get("ctrlKey").Bool() || e.Get("metaKey").Bool() {
		name = "ctrl+" + name
	}
	return name
}

// at returns where an event is on the stage; a missing place is not a number.
func (s *canvasStage) at(e js.Value) geom.Pt[viewer.Css] {
	box := s.el.Call("getBoundingClientRect")
	num := func(v js.Value) viewer.Css {
		if v.Type() != js.TypeNumber {
			return viewer.Css(math.NaN())
		}
		return viewer.Css(v.Float())
	}
	return geom.Pt[viewer.Css]{X: num(e.Get("clientX")) - num(box.Get("left")), Y: num(e.Get("clientY")) - num(box.Get("top"))}
}

func (s *canvasStage) pointer(phase viewer.Phase, e js.Value) {
	if e.Get("button").Int() > 0 {
		return // not the main button
	}
	tool := map[string]viewer.Tool{"mouse": viewer.Mouse, "pen": viewer.Pen}[e.Get("pointerType").String()]
	ev := viewer.Event{Phase: phase, ID: e.Get("pointerId").Int(), Tool: tool, At: s.at(e), Ms: e.Get("timeStamp").Float()}
	if phase != viewer.Move {
		s.noHold()
	}
	if phase == viewer.Down {
		s.el.Call("setPointerCapture", ev.ID)
		s.resting = ev
		s.hold = js.Global().Call("setTimeout", s.holdFunc, viewer.HoldMs)
	}
	s.on.pointer(ev)
}

// held tells that a finger has been down for a while; the hand knows whether
// it moved.
func (s *canvasStage) held() {
	s.hold = js.Undefined()
	ev := s.resting
	ev.Phase, ev.Ms = viewer.Hold, ev.Ms+viewer.HoldMs
	s.on.pointer(ev)
}

func (s *canvasStage) noHold() {
	if s.hold.Truthy() {
		js.Global().Call("clearTimeout", s.hold)
		s.hold = js.Undefined()
	}
}

// measure takes the size of the stage and the pixel ratio of the device, and
// keeps the canvases within what every phone can make.
func (s *canvasStage) measure() {
	box := s.el.Call("getBoundingClientRect")
	s.w, s.h = box.Get("width").Float(), box.Get("height").Float()
	if !(s.w >= 1) || !(s.h >= 1) {
		return
	}
	s.ratio = math.Min(js.Global().Get("devicePixelRatio").Float(), math.Sqrt(maxCanvas/(s.w*s.h)))
	if !(s.ratio > 0) {
		s.ratio = 1
	}
	for _, c := range []js.Value{s.under, s.over} {
		c.Set("width", int(s.w*s.ratio))
		c.Set("height", int(s.h*s.ratio))
	}
	s.on.resize(viewer.Css(s.w), viewer.Css(s.h), js.Global().Get("innerWidth").Float() >= wideScreen)
	s.draw()
}

func (s *canvasStage) picture(bitmap any) {
	s.drop(s.bitmap)
	s.bitmap, _ = bitmap.(js.Value)
	s.dirty = true
	s.ask()
}

func (s *canvasStage) drop(bitmap any) {
	if b, ok := bitmap.(js.Value); ok && b.Truthy() && b.Get("close").Truthy() {
		b.Call("close")
	}
}

func (s *canvasStage) paint(sc viewer.Scene) {
	s.scene, s.dirty = sc, true
	s.ask()
}

func (s *canvasStage) ask() {
	if s.asked || s.closed {
		return
	}
	s.asked = true
	js.Global().Call("requestAnimationFrame", s.frameFunc)
}

func (s *canvasStage) look(e eyes) {
	if s.closed {
		return
	}
	f := "brightness(" + strconv.Itoa(e.bright) + "%) contrast(" + strconv.Itoa(e.contrast) + "%)"
	if e.invert {
		f = "invert(1) " + f
	}
	s.under.Get("style").Set("filter", f)
}

func (s *canvasStage) reveal(selector string) {
	if el := js.Global().Get("document").Call("querySelector", selector); el.Truthy() {
		el.Call("scrollIntoView", map[string]any{"inline": "center", "block": "nearest"})
	}
}

// close takes every listener off and gives the memory of the canvases back.
func (s *canvasStage) close() {
	if s.closed {
		return
	}
	s.closed = true
	s.noHold()
	s.watcher.Call("disconnect")
	for _, h := range s.heard {
		if h.name != "" {
			h.on.Call("removeEventListener", h.name, h.fn)
		}
	}
	for _, c := range []js.Value{s.under, s.over} {
		c.Set("width", 0)
		c.Set("height", 0)
	}
	s.drop(s.bitmap)
	s.bitmap = js.Undefined()
	js.Global().Call("setTimeout", s.releaser(), 1000) // a frame that was asked for may still come
}

func (s *canvasStage) releaser() js.Func {
	var f js.Func
	f = js.FuncOf(func(js.Value, []js.Value) any {
		for _, h := range s.heard {
			h.fn.Release()
		}
		s.frameFunc.Release()
		s.holdFunc.Release()
		f.Release()
		return nil
	})
	return f
}

// draw draws the picture and, over it, the scene.
func (s *canvasStage) draw() {
	s.dirty = false
	s.clean(s.film)
	s.clean(s.ink)
	if s.scene.View.Ok() {
		s.drawFilm(s.scene.View, geom.Pt[viewer.Css]{}, geom.Pt[viewer.Css]{X: viewer.Css(s.w), Y: viewer.Css(s.h)})
		if l := s.scene.Loupe; l != nil {
			s.drawLoupe(*l)
			s.el.Call("setAttribute", "data-loupe", strconv.Itoa(int(l.Centre.X))+" "+strconv.Itoa(int(l.Centre.Y))+" "+strconv.Itoa(int(l.Radius)))
		} else {
			s.el.Call("removeAttribute", "data-loupe")
		}
		drawScene(pen{s.ink, s.colours}, s.scene)
	}
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
	// where the film lies, for whoever must find a place on it from outside
	s.el.Call("setAttribute", "data-matrix", matrixText(m))
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
