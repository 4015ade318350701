//go:build js && wasm

package files

import (
	"context"
	"encoding/json"
	"runtime"
	"syscall/js"
	"time"

	"isthmus/app/state"
)

// protocol is the version of the messages that this page speaks. Source:
// wasm/film/doc.go.
const protocol = "3"

// films is the one reader of this page: each worker needs much memory.
var films = newReader()

// Open decodes a film in a worker of its own, which is ended when the film is
// there, when ctx ends, and when it is silent for half a minute. The worker
// may die; that is a sentence, and nothing of the case is lost.
func (Device) Open(ctx context.Context, file []byte, frame int, progress func(float64)) (o state.Opened, err error) {
	defer films.end()
	return films.show(ctx, "", file, frame, progress, nil)
}

// Show opens a film as Open does and keeps the worker and the film in it for
// Window and Find, until another film is shown, Release, or a minute passes in
// which nothing is asked.
func (Device) Show(ctx context.Context, key string, file []byte, frame int, progress func(float64), early func(any)) (state.Opened, error) {
	return films.show(ctx, key, file, frame, progress, early)
}

// Window returns the kept film's picture in another window.
func (Device) Window(ctx context.Context, key string, w state.Window) (bitmap any, err error) {
	err = films.onKept(ctx, key, windowMessage(w), func(float64) {}, func(m js.Value) error {
		bitmap = bitmapOf(m)
		return nil
	})
	return bitmap, err
}

// Find looks for something on the kept film.
func (Device) Find(ctx context.Context, key, what string, ask []byte, progress func(float64)) (seen []byte, err error) {
	msg := message("find")
	msg.Set("what", what)
	msg.Set("ask", string(ask))
	err = films.onKept(ctx, key, msg, progress, func(m js.Value) error {
		seen = []byte(m.Get("seen").String())
		return nil
	})
	return seen, err
}

// Release ends the worker and gives its memory back, and what the page still
// holds of films: a browser frees what Go points at only after Go has collected.
func (Device) Release() {
	go func() {
		films.end()
		runtime.GC()
	}()
}

// Clean returns the film without what tells who the patient is. A film that
// cannot be cleaned is an error and is not to be stored.
func (Device) Clean(file []byte) (clean []byte, err error) {
	ctx := context.Background()
	defer films.enter(ctx)()
	err = guarded("film", func() error {
		if films.key != "" { // its memory is full of another film
			films.stop()
		}
		return films.ask(ctx, patience, request{msg: message("clean"), file: file, take: func(m js.Value) error {
			clean = make([]byte, m.Get("bytes").Length())
			js.CopyBytesToGo(clean, m.Get("bytes"))
			letGo(m.Get("bytes"))
			return nil
		}})
	})
	return clean, err
}

func message(kind string) js.Value {
	m := js.Global().Get("Object").New()
	m.Set("type", kind)
	return m
}

func windowMessage(w state.Window) js.Value {
	m := message("window")
	m.Set("centre", w.Centre)
	m.Set("width", w.Width)
	m.Set("shape", w.Shape)
	m.Set("invert", w.Invert)
	return m
}

// show opens a film in a fresh worker, or draws the one that is kept anew.
func (r *reader) show(ctx context.Context, key string, file []byte, frame int, progress func(float64), early func(any)) (o state.Opened, err error) {
	if key != "" && len(r.kept.Windows) > 0 {
		o, first := r.kept, r.kept.Windows[0]
		err := r.onKept(ctx, key, windowMessage(first), progress, func(m js.Value) error {
			o.Bitmap = bitmapOf(m)
			return nil
		})
		if err == nil {
			return o, nil
		}
	}
	leave, err := r.tryEnter(ctx)
	if err != nil {
		return o, err
	}
	defer leave()
	err = guarded("film", func() error {
		if r.used {
			r.stop()
		}
		return r.open(ctx, patience, key, file, frame, progress, early, &o)
	})
	return o, err
}

func (r *reader) open(ctx context.Context, limit time.Duration, key string, file []byte, frame int, progress func(float64), early func(any), o *state.Opened) error {
	msg := message("open")
	msg.Set("frame", frame)
	r.key, r.used, r.kept = "", true, state.Opened{}
	err := r.ask(ctx, limit, request{msg: msg, file: file, progress: progress, early: early, take: func(m js.Value) (err error) {
		*o, err = opened(m)
		return err
	}})
	if err == nil {
		r.key, r.kept = key, *o
		r.kept.Bitmap = nil
	}
	return err
}

func opened(m js.Value) (state.Opened, error) {
	o := state.Opened{Kind: m.Get("kind").String(), Frames: m.Get("frames").Int(), Frame: m.Get("frame").Int(),
		Width: m.Get("width").Int(), Height: m.Get("height").Int()}
	if t := m.Get("tags"); t.Type() == js.TypeString {
		if err := json.Unmarshal([]byte(t.String()), &o.Tags); err != nil {
			return state.Opened{}, &FilmError{"film-tags", "film: what the header says about size could not be read: export the film again"}
		}
	}
	if t := m.Get("windows"); t.Type() == js.TypeString && json.Unmarshal([]byte(t.String()), &o.Windows) != nil {
		o.Windows = nil
	}
	ws := m.Get("warnings")
	for i := 0; ws.Truthy() && i < ws.Length(); i++ {
		o.Warnings = append(o.Warnings, ws.Index(i).String())
	}
	o.Bitmap = bitmapOf(m)
	return o, nil
}

// bitmapOf returns the picture of a message.
func bitmapOf(m js.Value) js.Value {
	if b := m.Get("bitmap"); b.Truthy() {
		return b
	}
	return canvasOf(m)
}

// canvasOf draws the pixels where the worker could make no ImageBitmap.
func canvasOf(m js.Value) js.Value {
	w, h := m.Get("pixelsWidth").Int(), m.Get("pixelsHeight").Int()
	c := js.Global().Get("document").Call("createElement", "canvas")
	c.Set("width", w)
	c.Set("height", h)
	image := js.Global().Get("ImageData").New(m.Get("pixels"), w, h)
	c.Call("getContext", "2d").Call("putImageData", image, 0, 0)
	return c
}
