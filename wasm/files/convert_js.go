//go:build js && wasm

package files

import (
	"context"
	"syscall/js"
)

// maxCanvas is the most pixels that every phone's canvas holds.
const maxCanvas = 16_777_216

// quality of the JPEG a picture is turned into: coarser would soften edges,
// finer only makes the file larger. Common practice.
const quality = 0.95

// Convert has the browser read a picture that the film worker does not, such
// as HEIC on the phone that took it, and returns it upright as a JPEG without
// any of the file's notes on place, time and device. It fails where the
// browser does not know the kind either, and above 16 megapixels.
func (Device) Convert(ctx context.Context, file []byte) (jpeg []byte, err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	err = guarded("picture", func() error {
		blob := js.Global().Get("Blob").New([]any{toJS(file)})
		bitmap, err := await(ctx, js.Global().Call("createImageBitmap", blob))
		if err != nil {
			return err
		}
		defer bitmap.Call("close")
		w, h := bitmap.Get("width").Int(), bitmap.Get("height").Int()
		if w < 1 || h < 1 || w > maxCanvas/h {
			return &FilmError{"film-too-large", "film: the picture is larger than this device can turn into a JPEG: save it smaller, or as JPEG"}
		}
		out, err := paint(ctx, bitmap, w, h)
		if err != nil {
			return err
		}
		_, jpeg, err = Device{}.Read(ctx, out)
		return err
	})
	return jpeg, err
}

// paint draws the bitmap and returns it as a JPEG blob.
func paint(ctx context.Context, bitmap js.Value, w, h int) (js.Value, error) {
	canvas := js.Global().Get("document").Call("createElement", "canvas")
	canvas.Set("width", w)
	canvas.Set("height", h)
	defer func() { // gives the memory back at once
		canvas.Set("width", 0)
		canvas.Set("height", 0)
	}()
	canvas.Call("getContext", "2d").Call("drawImage", bitmap, 0, 0)
	got := make(chan js.Value, 1)
	var took js.Func
	took = js.FuncOf(func(_ js.Value, args []js.Value) any {
		got <- args[0]
		took.Release()
		return nil
	})
	canvas.Call("toBlob", took, "image/jpeg", quality)
	select {
	case blob := <-got:
		if !blob.Truthy() {
			return blob, &ReadError{Name: "picture", Why: "the browser made no JPEG of it"}
		}
		return blob, nil
	case <-ctx.Done():
		return js.Undefined(), ctx.Err()
	}
}
