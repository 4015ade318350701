//go:build js && wasm

package files

import (
	"context"
	"fmt"
	"syscall/js"
	"time"

	"isthmus/app/state"
)

// A Device is the browser's side of files, time and identifiers.
type Device struct{}

var (
	_ state.Files   = Device{}
	_ state.Clock   = Device{}
	_ state.Decoder = Device{}
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

// await waits for a promise, or for the end of ctx. A rejection becomes an
// error in words.
func await(ctx context.Context, promise js.Value) (js.Value, error) {
	type answer struct {
		v   js.Value
		err error
	}
	got := make(chan answer, 1)
	done := js.FuncOf(func(_ js.Value, args []js.Value) any {
		v := js.Undefined()
		if len(args) > 0 {
			v = args[0]
		}
		got <- answer{v: v}
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, args []js.Value) any {
		got <- answer{err: fmt.Errorf("%s", words(args))}
		return nil
	})
	defer done.Release()
	defer failed.Release()
	// A promise that is given up still calls back; then there is nobody left.
	promise.Call("then", done, failed)
	select {
	case a := <-got:
		return a.v, a.err
	case <-ctx.Done():
		<-late(got)
		return js.Undefined(), ctx.Err()
	}
}

// late lets the callbacks stay until the promise has settled, since a
// released function that is called ends in an error on the console.
func late[T any](got chan T) chan T {
	out := make(chan T, 1)
	go func() {
		select {
		case v := <-got:
			out <- v
		case <-time.After(time.Second):
			var none T
			out <- none
		}
	}()
	return out
}

func words(args []js.Value) string {
	if len(args) == 0 || !args[0].Truthy() {
		return "no reason given"
	}
	if m := args[0].Get("message"); m.Type() == js.TypeString && m.String() != "" {
		return m.String()
	}
	return args[0].Call("toString").String()
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
	name = file.Get("name").String()
	err = guarded(name, func() error {
		if size := file.Get("size").Float(); size > maxFile {
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
		return nil
	})
	return name, data, err
}

// Save hands a file to the person: the share sheet on a touch device that can
// share files, else a download. A share that the person closes is no error.
func (Device) Save(ctx context.Context, name, mime string, data []byte) error {
	return guarded(name, func() error {
		bytes := js.Global().Get("Uint8Array").New(len(data))
		js.CopyBytesToJS(bytes, data)
		options := js.Global().Get("Object").New()
		options.Set("type", mime)
		if shared, err := share(ctx, name, bytes, options); shared {
			return err
		}
		download(name, js.Global().Get("Blob").New([]any{bytes}, options))
		return nil
	})
}

// share reports whether the share sheet took the file.
func share(ctx context.Context, name string, bytes, options js.Value) (bool, error) {
	nav := js.Global().Get("navigator")
	touch := nav.Get("maxTouchPoints").Truthy() && nav.Get("maxTouchPoints").Int() > 0
	if !touch || !nav.Get("canShare").Truthy() || !nav.Get("share").Truthy() {
		return false, nil
	}
	file := js.Global().Get("File").New([]any{bytes}, name, options)
	what := js.Global().Get("Object").New()
	what.Set("files", []any{file})
	if !nav.Call("canShare", what).Bool() {
		return false, nil
	}
	_, err := await(ctx, nav.Call("share", what))
	// Closed by the person: done. Refused by the browser (the tap is too long
	// ago, or it does not share this kind): the download is left.
	if err == nil || ctx.Err() != nil {
		return true, ctx.Err()
	}
	return isAbort(err), nil
}

func isAbort(err error) bool {
	s := err.Error()
	for _, w := range []string{"abort", "cancel", "Abort", "Cancel"} {
		for i := 0; i+len(w) <= len(s); i++ {
			if s[i:i+len(w)] == w {
				return true
			}
		}
	}
	return false
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
