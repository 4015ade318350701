//go:build js && wasm

// Command app is the page: it joins the screens to the browser and starts.
package main

import (
	"syscall/js"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/screen"
	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/wasm/files"
	"isthmus/wasm/store"
)

func main() {
	var page *screen.Page
	device := files.Device{}
	session := state.New(state.World{
		Store:   store.Open("isthmus"),
		Decoder: device,
		Files:   device,
		Clock:   device,
		Clean:   device.Clean,
		Convert: device.Convert,
		Line:    line,
		OnChange: func() {
			if page != nil {
				page.Changed()
			}
		},
	})
	page = screen.New(session, screen.Browser{
		Read:     device.Read,
		Activate: func() { js.Global().Call("isthmusActivate") },
		Look:     look,
		Version:  app.Getenv("GOAPP_VERSION"),
	})
	device.OnDrop(page.Dropped)
	app.RouteWithRegexpFunc("^/.*", func() app.Composer { return page })
	app.RunWhenOnBrowser()
}

func line(c record.Case, shelf implant.Shelf) string {
	return text.CaseLine(c, plan.For(c, shelf))
}

// look marks the page light or dark; without a mark it follows the device.
func look(v string) {
	root := js.Global().Get("document").Get("documentElement")
	if v == "" {
		root.Call("removeAttribute", "data-look")
		return
	}
	root.Call("setAttribute", "data-look", v)
}
