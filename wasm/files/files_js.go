//go:build js && wasm

package files

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"time"

	"isthmus/app/state"
)

// A Device is the browser's side of files, time and identifiers.
type Device struct{}

var (
	_ state.Files       = Device{}
	_ state.Clock       = Device{}
	_ state.Decoder     = Device{}
	_ state.Viewer      = Device{}
	_ state.Draughtsman = Device{}
)

// Now returns the time as the case file writes it.
func (Device) Now() string { return time.Now().UTC().Format("2006-01-02T15:04:05Z") }

// NewID returns 32 hexadecimal digits from the browser's random source.
func (Device) NewID() string {
	a := js.Global().Get("Uint8Array").New(16)
	js.Global().Get("crypto").Call("getRandomValues", a)
	b := make([]byte, 16)
	js.CopyBytesToGo(b, a)
	return fmt.Sprintf("%x", b)
}

// A rejection is what a promise was rejected with: the name of the exception
// and its message.
type rejection struct{ name, message string }

func (e *rejection) Error() string { return e.message }

// await waits for a promise, or for the end of ctx. The callbacks are freed
// when the promise settles, however late: calling a freed one is an error.
func await(ctx context.Context, promise js.Value) (js.Value, error) {
	type answer struct {
		v   js.Value
		err error
	}
	got := make(chan answer, 1)
	var done, failed js.Func
	settle := func(a answer) any {
		got <- a
		done.Release()
		failed.Release()
		return nil
	}
	done = js.FuncOf(func(_ js.Value, args []js.Value) any {
		v := js.Undefined()
		if len(args) > 0 {
			v = args[0]
		}
		return settle(answer{v: v})
	})
	failed = js.FuncOf(func(_ js.Value, args []js.Value) any { return settle(answer{err: rejected(args)}) })
	promise.Call("then", done, failed)
	select {
	case a := <-got:
		return a.v, a.err
	case <-ctx.Done():
		return js.Undefined(), ctx.Err()
	}
}

func rejected(args []js.Value) *rejection {
	if len(args) == 0 || args[0].Type() != js.TypeObject {
		return &rejection{message: "no reason given"}
	}
	word := func(key string) string {
		if v := args[0].Get(key); v.Type() == js.TypeString {
			return v.String()
		}
		return ""
	}
	r := &rejection{name: word("name"), message: word("message")}
	if r.message == "" {
		r.message = cmp.Or(r.name, "no reason given")
	}
	return r
}

// guarded turns what JavaScript throws into an error.
func guarded(name string, fn func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &ReadError{Name: name, Why: fmt.Sprint(r)}
		}
	}()
	return fn()
}

// Read returns the name and the bytes of a File that a person chose.
func (Device) Read(ctx context.Context, chosen any) (name string, data []byte, err error) {
	file, ok := chosen.(js.Value)
	if !ok || !file.Truthy() {
		return "", nil, &ReadError{Why: "nothing was chosen"}
	}
	err = guarded("file", func() error {
		if n := file.Get("name"); n.Type() == js.TypeString {
			name = n.String()
		}
		if size := file.Get("size").Float(); !(size <= maxFile) {
			return &TooLargeError{Name: name, Size: size}
		}
		buffer, err := await(ctx, file.Call("arrayBuffer"))
		if err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			return &ReadError{Name: name, Why: err.Error()}
		}
		bytes := js.Global().Get("Uint8Array").New(buffer)
		data = make([]byte, bytes.Length())
		js.CopyBytesToGo(data, bytes)
		letGo(bytes)
		return nil
	})
	return name, data, err
}

// letGo gives the memory of an array back, without waiting for the collectors
// of both languages.
func letGo(array js.Value) {
	if buffer := array.Get("buffer"); buffer.Get("transfer").Type() == js.TypeFunction { // since 2023–24
		buffer.Call("transfer", 0)
	}
}

// Save hands a file to the person: the share sheet on a touch device that can
// share files, else a download. A sheet that the person closes is a
// *state.DismissedError. Sharing needs a tap not long ago; where the browser
// refuses, the file is downloaded.
func (Device) Save(ctx context.Context, name, mime string, data []byte) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return guarded(name, func() error {
		bytes := toJS(data)
		options := js.Global().Get("Object").New()
		options.Set("type", mime)
		if shared, err := share(ctx, name, bytes, options); shared {
			return err
		}
		download(name, js.Global().Get("Blob").New([]any{bytes}, options))
		return nil
	})
}

func toJS(data []byte) js.Value {
	a := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(a, data)
	return a
}

// share reports whether the share sheet was shown, and how it ended.
func share(ctx context.Context, name string, bytes, options js.Value) (shown bool, err error) {
	nav := js.Global().Get("navigator")
	if !nav.Truthy() || !nav.Get("canShare").Truthy() || !nav.Get("share").Truthy() {
		return false, nil
	}
	if n := nav.Get("maxTouchPoints"); n.Type() != js.TypeNumber || n.Int() < 1 {
		return false, nil
	}
	what := js.Global().Get("Object").New()
	what.Set("files", []any{js.Global().Get("File").New([]any{bytes}, name, options)})
	if !nav.Call("canShare", what).Truthy() {
		return false, nil
	}
	_, err = await(ctx, nav.Call("share", what))
	var r *rejection
	switch {
	case err == nil:
		return true, nil
	case ctx.Err() != nil:
		return true, ctx.Err()
	case errors.As(err, &r) && r.name == "AbortError":
		return true, &state.DismissedError{Name: name}
	}
	return false, nil // not allowed now, or not this kind of file: download it
}

func download(name string, blob js.Value) {
	url := js.Global().Get("URL").Call("createObjectURL", blob)
	doc := js.Global().Get("document")
	a := doc.Call("createElement", "a")
	a.Set("href", url)
	a.Set("download", name)
	a.Set("hidden", true)
	doc.Get("body").Call("appendChild", a)
	a.Call("click")
	a.Call("remove")
	go func() {
		time.Sleep(time.Minute)
		js.Global().Get("URL").Call("revokeObjectURL", url)
	}()
}
