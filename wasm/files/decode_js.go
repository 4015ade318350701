//go:build js && wasm

package files

import (
	"context"
	"encoding/json"
	"syscall/js"
	"time"

	"isthmus/app/state"
)

// patience is how long the worker may be silent before it is given up.
const patience = 60 * time.Second

// protocol is the version of the messages that this page speaks. Source:
// wasm/film/doc.go.
const protocol = "1"

// turn lets one film be opened at a time: each worker needs much memory.
var turn = make(chan struct{}, 1)

// Open decodes a film in a worker of its own, which is ended when the film is
// there, when ctx ends, and when it is silent for a minute. The worker may
// die; that is a sentence, and nothing of the case is lost.
func (Device) Open(ctx context.Context, file []byte, frame int, progress func(float64)) (o state.Opened, err error) {
	select {
	case turn <- struct{}{}:
	case <-ctx.Done():
		return o, ctx.Err()
	}
	defer func() { <-turn }()
	err = guarded("film", func() error {
		o, err = open(ctx, patience, file, frame, progress)
		return err
	})
	return o, err
}

func open(ctx context.Context, limit time.Duration, file []byte, frame int, progress func(float64)) (o state.Opened, err error) {
	msg := js.Global().Get("Object").New()
	msg.Set("type", "open")
	msg.Set("frame", frame)
	err = ask(ctx, limit, msg, file, progress, func(m js.Value) (err error) {
		o, err = opened(m)
		return err
	})
	return o, err
}

// Clean returns the film without what tells who the patient is, made in a
// worker like that of Open. A film that cannot be cleaned is an error and is
// not to be stored.
func (Device) Clean(file []byte) (clean []byte, err error) {
	turn <- struct{}{}
	defer func() { <-turn }()
	err = guarded("film", func() error {
		msg := js.Global().Get("Object").New()
		msg.Set("type", "clean")
		return ask(context.Background(), patience, msg, file, func(float64) {}, func(m js.Value) error {
			clean = make([]byte, m.Get("bytes").Length())
			js.CopyBytesToGo(clean, m.Get("bytes"))
			return nil
		})
	})
	return clean, err
}

// ask starts a worker, sends it one message with the file, and ends it when
// the answer is there.
func ask(ctx context.Context, limit time.Duration, msg js.Value, file []byte, progress func(float64), take func(js.Value) error) error {
	worker := js.Global().Get("Worker").New("/film-worker.js")
	defer worker.Call("terminate")
	said := make(chan js.Value, 64)
	hear := js.FuncOf(func(_ js.Value, args []js.Value) any {
		select {
		case said <- args[0].Get("data"):
		default: // progress that nobody waits for
		}
		return nil
	})
	broke := js.FuncOf(func(js.Value, []js.Value) any {
		select {
		case said <- js.Null():
		default: // never wait inside a callback
		}
		return nil
	})
	defer hear.Release()
	defer broke.Release()
	worker.Set("onmessage", hear)
	worker.Set("onerror", broke)
	defer func() { // before the callbacks are released
		worker.Set("onmessage", js.Null())
		worker.Set("onerror", js.Null())
	}()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(limit):
			return &FilmError{"film-silent", "film: nothing was heard from the film reader for a minute, it was ended: try again, or export the film as an uncompressed DICOM file"}
		case m := <-said:
			if done, err := answer(worker, m, msg, file, progress, take); done || err != nil {
				return err
			}
		}
	}
}

// answer reacts to one message of the worker.
func answer(worker, m, msg js.Value, file []byte, progress func(float64), take func(js.Value) error) (done bool, err error) {
	if !m.Truthy() {
		return true, &FilmError{"film-ended", "film: the film reader stopped, the case is as it was: reload the page and try again"}
	}
	switch m.Get("type").String() {
	case "ready":
		if v := m.Get("version").String(); v != protocol {
			return true, &FilmError{"film-version", "film: the film reader is of another version than the page: go online once and reload the page"}
		}
		send(worker, msg, file)
	case "progress":
		if d := m.Get("done"); d.Type() == js.TypeNumber {
			progress(d.Float())
		}
	case "opened", "cleaned":
		return true, take(m)
	case "failed", "dead":
		return true, &FilmError{m.Get("code").String(), m.Get("sentence").String()}
	}
	return false, nil
}

func send(worker, msg js.Value, file []byte) {
	bytes := toJS(file)
	msg.Set("job", 1)
	msg.Set("bytes", bytes)
	worker.Call("postMessage", msg, []any{bytes.Get("buffer")})
}

func opened(m js.Value) (state.Opened, error) {
	o := state.Opened{Kind: m.Get("kind").String(), Frames: m.Get("frames").Int(), Frame: m.Get("frame").Int(),
		Width: m.Get("width").Int(), Height: m.Get("height").Int()}
	if t := m.Get("tags"); t.Type() == js.TypeString {
		if err := json.Unmarshal([]byte(t.String()), &o.Tags); err != nil {
			return state.Opened{}, &FilmError{"film-tags", "film: what the header says about size could not be read: export the film again"}
		}
	}
	ws := m.Get("warnings")
	for i := 0; ws.Truthy() && i < ws.Length(); i++ {
		o.Warnings = append(o.Warnings, ws.Index(i).String())
	}
	bitmap := m.Get("bitmap")
	if !bitmap.Truthy() {
		bitmap = canvasOf(m)
	}
	o.Bitmap = bitmap
	return o, nil
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
