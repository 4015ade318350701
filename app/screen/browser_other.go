//go:build !(js && wasm)

package screen

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// raw returns the value itself where there is no browser.
func raw(v app.Value) any { return v }
