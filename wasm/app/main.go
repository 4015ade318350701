//go:build js && wasm

// Command app is the page: it joins the screens to the browser and starts.
package main

import (
	"syscall/js"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/screen"
	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/wasm/store"
)

type clock struct{}

func (clock) Now() string { return time.Now().UTC().Format("2006-01-02T15:04:05Z") }
func (clock) NewID() string {
	return "0123456789abcdef0123456789abcdef"
}

func main() {
	var page *screen.Page
	session := state.New(state.World{
		Store: store.Open("isthmus"),
		Clock: clock{},
		Line:  line,
		OnChange: func() {
			if page != nil {
				page.Changed()
			}
		},
	})
	page = screen.New(session, screen.Browser{
		Activate: func() { js.Global().Call("isthmusActivate") },
		Look:     look,
		Version:  app.Getenv("GOAPP_VERSION"),
	})
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
