//go:build js && wasm

package files

import "syscall/js"

// OnDrop calls fn with the first file that is dropped anywhere on the page,
// for Read. Without it a dropped file would take the page's place and what is
// open with it. The function returned stops it.
func (Device) OnDrop(fn func(chosen any)) (stop func()) {
	window := js.Global()
	over := js.FuncOf(func(_ js.Value, args []js.Value) any {
		args[0].Call("preventDefault")
		return nil
	})
	drop := js.FuncOf(func(_ js.Value, args []js.Value) any {
		args[0].Call("preventDefault")
		_ = guarded("file", func() error {
			if files := args[0].Get("dataTransfer").Get("files"); files.Length() > 0 {
				chosen := files.Index(0)
				go fn(chosen) // a callback may not wait
			}
			return nil
		})
		return nil
	})
	window.Call("addEventListener", "dragover", over)
	window.Call("addEventListener", "drop", drop)
	return func() {
		window.Call("removeEventListener", "dragover", over)
		window.Call("removeEventListener", "drop", drop)
		over.Release()
		drop.Release()
	}
}
