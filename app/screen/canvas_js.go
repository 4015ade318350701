//go:build js && wasm

package screen

import (
	"math"
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
	pictures    int      // how many pictures came, to tell one from the next
	clear       js.Value // a copy of the film as it is drawn, while a loupe covers it
	laid        laid     // what the film on the canvas was drawn from
	filter      string   // that the picture is to be seen through
	through     string   // that it is seen through
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
	on      js.Value
	name    string
	fn      js.Func
	capture bool // before the page itself
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
		if s.filter != s.through {
			s.through = s.filter
			s.under.Get("style").Set("filter", s.filter)
		}
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
	s.listenTo(heard{on: on, name: name, fn: s.guard(func(_ js.Value, args []js.Value) { fn(args[0]) })})
}

func (s *canvasStage) listenTo(h heard) {
	h.on.Call("addEventListener", h.name, h.fn, map[string]any{"passive": false, "capture": h.capture})
	s.heard = append(s.heard, h)
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
	s.heard = append(s.heard, heard{fn: watch})
	s.hear(s.under, "contextrestored", func(js.Value) { s.relay(); s.dirty = true; s.ask() }) // the browser had taken its memory
	s.listenTaps()
	s.measure()
}

// listenTaps hears some taps on the buttons about the stage before the page
// does: those that change the picture alone. The page would draw all of itself.
func (s *canvasStage) listenTaps() {
	about := s.el.Call("closest", ".film")
	if s.on.tap == nil || !about.Truthy() {
		return
	}
	s.listenTo(heard{about, "click", s.guard(func(_ js.Value, args []js.Value) {
		t := args[0].Get("target")
		if t.Truthy() && t.Get("closest").Truthy() {
			t = t.Call("closest", "[data-film]")
		}
		if t.Truthy() && s.on.tap(t.Call("getAttribute", "data-film").String()) {
			args[0].Call("stopPropagation")
		}
	}), true})
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
	s.relay() // a canvas that is given a size is empty
	s.on.resize(viewer.Css(s.w), viewer.Css(s.h), js.Global().Get("innerWidth").Float() >= wideScreen)
	s.draw()
}

func (s *canvasStage) picture(bitmap any) {
	s.drop(s.bitmap)
	s.bitmap, _ = bitmap.(js.Value)
	s.pictures++
	s.dirty = true
	s.ask()
}

func (s *canvasStage) drop(bitmap any) { closePicture(bitmap) }

// closePicture gives the memory of a picture back.
func closePicture(bitmap any) {
	b, ok := bitmap.(js.Value)
	switch {
	case !ok || !b.Truthy():
	case b.Get("close").Truthy():
		b.Call("close")
	case b.Get("getContext").Truthy(): // where a browser makes no ImageBitmap
		b.Set("width", 0)
		b.Set("height", 0)
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

// look takes effect with the next frame, together with a picture that came.
func (s *canvasStage) look(filter string) {
	if s.filter = filter; filter != s.through {
		s.ask()
	}
}

func (s *canvasStage) focus() {
	s.el.Call("focus", map[string]any{"preventScroll": true})
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
			h.on.Call("removeEventListener", h.name, h.fn, h.capture)
		}
	}
	for _, c := range []js.Value{s.under, s.over} {
		c.Set("width", 0)
		c.Set("height", 0)
	}
	s.dropClear()
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
