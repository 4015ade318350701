//go:build js && wasm

package main

import (
	"math"
	"syscall/js"

	"isthmus/core/radiograph"
)

// A film over this many pixels is shown coarsely first, every fourth sample.
const (
	large  = 4_000_000
	coarse = 4
)

// opened makes the picture for the screen and sends everything.
func opened(job js.Value, im *radiograph.Image) {
	h := im.Header
	windows := im.Windows()
	if im.Width*im.Height > large {
		grey, w, hh := im.Coarse8(windows[0], coarse)
		send(map[string]any{"type": "preview", "job": job, "width": im.Width, "height": im.Height}, grey, w, hh)
	}
	m := map[string]any{
		"type": "opened", "job": job, "kind": string(h.Kind), "frames": h.Frames, "frame": im.Frame,
		"width": im.Width, "height": im.Height, "tags": nil, "windows": windowsJSON(windows, im.Inverted()),
	}
	if t, ok := h.Tags(); ok {
		m["tags"] = tagsJSON(t)
	}
	var sentences, codes []any
	for _, w := range h.Warnings {
		sentences, codes = append(sentences, w.String()), append(codes, w.Code())
	}
	m["warnings"], m["codes"] = sentences, codes
	sendWhole(m, im, windows[0], false)
}

// errNone is what is said when there is nothing to work on.
var errNone = &trouble{"film-not-kept", "film: the film is not open in the film reader any more: open it again"}

// window sends the kept film's picture in another window.
func (d *desk) window(m js.Value) error {
	if d.kept == nil {
		return errNone
	}
	number := func(name string) float64 {
		if v := m.Get(name); v.Type() == js.TypeNumber {
			return v.Float()
		}
		return math.NaN() // the automatic window
	}
	w := radiograph.Window{Centre: number("centre"), Width: number("width")}
	if s := m.Get("shape"); s.Type() == js.TypeString {
		w.Shape = radiograph.Shape(s.String())
	}
	sendWhole(map[string]any{"type": "windowed", "job": m.Get("job")}, d.kept, w, m.Get("invert").Truthy())
	return nil
}

// sendWhole sends a message with the picture at full size, or as large as
// browsers take it.
func sendWhole(m map[string]any, im *radiograph.Image, w radiograph.Window, invert bool) {
	grey := im.Grey8(w)
	if invert {
		for i, v := range grey {
			grey[i] = 255 - v
		}
	}
	grey, width, height := shrink(grey, im.Width, im.Height, maxBitmap)
	send(m, grey, width, height)
}

// send sends a message with a picture, as a bitmap where the browser makes one.
func send(m map[string]any, grey []uint8, w, h int) {
	m["bitmap"], m["pixels"], m["pixelsWidth"], m["pixelsHeight"] = nil, nil, w, h
	if paper.w != w || paper.h != h {
		paper = sheet{w: w, h: h, pixels: js.Global().Get("Uint8ClampedArray").New(4 * len(grey))}
	}
	paper.fill(grey)
	if bitmap, ok := paper.bitmap(); ok {
		m["bitmap"] = bitmap
		post(m, bitmap)
		return
	}
	pixels := paper.pixels
	paper = sheet{}
	m["pixels"] = pixels
	post(m, pixels.Get("buffer"))
}

// A sheet is a picture as RGBA in the browser's memory.
type sheet struct {
	w, h         int
	pixels, data js.Value
}

// paper is the sheet that is filled for each picture of the same size. A new
// one of 48 MB for each would stay until both collectors, Go's and the
// browser's, have run.
var paper sheet

// fill copies grey to the browser's memory in strips, so that the four times
// larger picture never lies in ours.
func (s *sheet) fill(grey []uint8) {
	const strip = 1 << 18
	buf := make([]byte, 4*min(strip, len(grey)))
	for at := 0; at < len(grey); at += strip {
		part := grey[at:min(at+strip, len(grey))]
		fillRGBA(buf, part)
		js.CopyBytesToJS(s.pixels.Call("subarray", 4*at), buf[:4*len(part)])
	}
}

// bitmap makes an ImageBitmap, or reports that this browser makes none.
func (s *sheet) bitmap() (bitmap js.Value, ok bool) {
	defer func() {
		if recover() != nil {
			ok = false
		}
	}()
	if s.data.IsUndefined() {
		s.data = js.Global().Get("ImageData").New(s.pixels, s.w, s.h)
	}
	return await(js.Global().Call("createImageBitmap", s.data))
}

// letGo gives the memory of an array back, without waiting for the collectors.
func letGo(array js.Value) {
	if buffer := array.Get("buffer"); buffer.Get("transfer").Type() == js.TypeFunction { // since 2023–24
		buffer.Call("transfer", 0)
	}
}

// await waits for a promise.
func await(promise js.Value) (js.Value, bool) {
	type answer struct {
		v  js.Value
		ok bool
	}
	done := make(chan answer, 1)
	settle := func(ok bool) js.Func {
		return js.FuncOf(func(this js.Value, args []js.Value) any {
			v := js.Undefined()
			if len(args) > 0 {
				v = args[0]
			}
			done <- answer{v, ok}
			return nil
		})
	}
	yes, no := settle(true), settle(false)
	defer yes.Release()
	defer no.Release()
	promise.Call("then", yes, no)
	a := <-done
	return a.v, a.ok
}
