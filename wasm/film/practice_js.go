//go:build js && wasm

package main

import (
	"syscall/js"

	"isthmus/core/radiograph"
)

// text is a text of a message, or empty.
func text(m js.Value, name string) string {
	if v := m.Get(name); v.Type() == js.TypeString {
		return v.String()
	}
	return ""
}

// draw draws a film of a practice case and sends it as a file, cleaned as
// every film is before it is kept, with what a film that is opened tells.
func (d *desk) draw(m js.Value) error {
	d.kept = nil // its memory is needed
	job := m.Get("job")
	film := -1
	if v := m.Get("film"); v.Type() == js.TypeNumber {
		film = v.Int()
	}
	tell := d.reporter(job)
	file, err := drawn(text(m, "practice"), film, func(done float64) { tell(0.97 * done) })
	if err != nil {
		return err
	}
	clean, _, err := radiograph.Clean(file)
	if err != nil {
		return err
	}
	im, err := radiograph.Open(clean, radiograph.Options{})
	if err != nil {
		return err
	}
	tell(1)
	bytes := js.Global().Get("Uint8Array").New(len(clean))
	js.CopyBytesToJS(bytes, clean)
	answer := map[string]any{"type": "drawn", "job": job, "bytes": bytes, "kind": string(im.Header.Kind), "width": im.Width, "height": im.Height, "tags": nil}
	if t, ok := im.Header.Tags(); ok {
		answer["tags"] = tagsJSON(t)
	}
	post(answer, bytes.Get("buffer"))
	return nil
}

// truth sends what is true of a practice case.
func (d *desk) truth(m js.Value) error {
	t, err := told(text(m, "practice"))
	if err != nil {
		return err
	}
	post(map[string]any{"type": "told", "job": m.Get("job"), "truth": t})
	return nil
}
