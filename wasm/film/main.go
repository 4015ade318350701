//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"

	"isthmus/core/radiograph"
)

// protocol is the version of the messages in doc.go.
const protocol = "1"

func main() {
	jobs := make(chan js.Value, 8)
	onMessage := js.FuncOf(func(this js.Value, args []js.Value) any {
		if len(args) == 0 {
			return nil
		}
		data := args[0].Get("data")
		if data.Type() == js.TypeObject && (is(data, "open") || is(data, "clean")) {
			select {
			case jobs <- data: // never wait inside a callback
			default:
				fail(data.Get("job"), "film-busy", "film: too many films are waiting: wait for the first to open")
			}
		}
		return nil
	})
	js.Global().Call("addEventListener", "message", onMessage)
	post(map[string]any{"type": "ready", "version": protocol})
	for job := range jobs {
		work(job)
	}
}

func is(m js.Value, kind string) bool { return m.Get("type").Equal(js.ValueOf(kind)) }

func post(m map[string]any, transfer ...any) {
	js.Global().Call("postMessage", js.ValueOf(m), js.ValueOf(transfer))
}

func fail(job js.Value, code, sentence string) {
	post(map[string]any{"type": "failed", "job": job, "code": code, "sentence": sentence})
}

// work answers one message. What goes wrong in it, whatever it is, ends in a
// sentence.
func work(data js.Value) {
	job := data.Get("job")
	defer func() {
		if recover() != nil {
			fail(job, "film-stopped", "film: the decoder stopped on this film: ask the archive to export uncompressed, and open that")
		}
	}()
	bytes := data.Get("bytes")
	if !bytes.InstanceOf(js.Global().Get("Uint8Array")) || is(data, "open") && data.Get("frame").Type() != js.TypeNumber {
		fail(job, "film-message", "film: the page sent no film: reload the page and open the film again")
		return
	}
	if n := bytes.Length(); n > radiograph.MaxFile {
		e := &radiograph.LimitError{What: "file", Got: int64(n), Max: radiograph.MaxFile}
		fail(job, e.Code(), e.Error())
		return
	}
	file := make([]byte, bytes.Length())
	js.CopyBytesToGo(file, bytes)
	if is(data, "clean") {
		cleaned(job, file)
		return
	}
	im, err := radiograph.Open(file, radiograph.Options{Frame: data.Get("frame").Int(), Progress: reporter(job), JPEG2000: jpeg2000})
	if err != nil {
		failed(job, err)
		return
	}
	opened(job, im)
}

func failed(job js.Value, err error) {
	var c interface{ Code() string }
	code := "film-failed"
	if errors.As(err, &c) {
		code = c.Code()
	}
	fail(job, code, err.Error())
}

// cleaned sends the film back without what tells who the patient is.
func cleaned(job js.Value, file []byte) {
	clean, _, err := radiograph.Clean(file)
	if err != nil {
		failed(job, err)
		return
	}
	bytes := js.Global().Get("Uint8Array").New(len(clean))
	js.CopyBytesToJS(bytes, clean)
	post(map[string]any{"type": "cleaned", "job": job, "bytes": bytes}, bytes.Get("buffer"))
}

// reporter tells the page how far the work is, in steps of 2 %.
func reporter(job js.Value) func(float64) {
	last := -1.0
	return func(done float64) {
		if done >= last+0.02 || done == 1 && last < 1 {
			last = done
			post(map[string]any{"type": "progress", "job": job, "done": done})
		}
	}
}

// opened makes the picture for the screen and sends everything.
func opened(job js.Value, im *radiograph.Image) {
	h := im.Header
	m := map[string]any{
		"type": "opened", "job": job, "kind": string(h.Kind), "frames": h.Frames, "frame": im.Frame,
		"width": im.Width, "height": im.Height, "tags": nil, "bitmap": nil, "pixels": nil,
	}
	if t, ok := h.Tags(); ok {
		m["tags"] = tagsJSON(t)
	}
	var sentences, codes []any
	for _, w := range h.Warnings {
		sentences, codes = append(sentences, w.String()), append(codes, w.Code())
	}
	m["warnings"], m["codes"] = sentences, codes
	grey, w, hh := shrink(im.Grey8(im.DefaultWindow()), im.Width, im.Height, maxBitmap)
	m["pixelsWidth"], m["pixelsHeight"] = w, hh
	pixels := rgba(grey)
	if bitmap, ok := bitmapOf(pixels, w, hh); ok {
		m["bitmap"] = bitmap
		post(m, bitmap)
		return
	}
	m["pixels"] = pixels
	post(m, pixels.Get("buffer"))
}

// rgba copies grey to the browser's memory in strips, so that the four times
// larger picture never lies in ours.
func rgba(grey []uint8) js.Value {
	out := js.Global().Get("Uint8ClampedArray").New(4 * len(grey))
	const strip = 1 << 18
	buf := make([]byte, 4*min(strip, len(grey)))
	for at := 0; at < len(grey); at += strip {
		part := grey[at:min(at+strip, len(grey))]
		fillRGBA(buf, part)
		js.CopyBytesToJS(out.Call("subarray", 4*at), buf[:4*len(part)])
	}
	return out
}

// bitmapOf makes an ImageBitmap, or reports that this browser makes none.
func bitmapOf(pixels js.Value, w, h int) (bitmap js.Value, ok bool) {
	defer func() {
		if recover() != nil {
			ok = false
		}
	}()
	data := js.Global().Get("ImageData").New(pixels, w, h)
	return await(js.Global().Call("createImageBitmap", data))
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
