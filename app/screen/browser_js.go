//go:build js && wasm

package screen

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// raw returns the browser's own value behind a go-app value.
func raw(v app.Value) any { return app.JSValue(v) }
