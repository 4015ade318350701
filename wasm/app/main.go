//go:build js && wasm

// Command app is the page: it joins the screens to the browser and starts.
package main

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// A start is the page until the screens are joined to the browser.
type start struct{ app.Compo }

func (*start) Render() app.UI {
	return app.Main().DataSet("ready", "yes").Body(
		app.H1().Text("Isthmus"),
		app.P().Text("The program runs."),
	)
}

func main() {
	app.RouteWithRegexp("^/.*", &start{})
	app.RunWhenOnBrowser()
}
