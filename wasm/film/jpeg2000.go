//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"

	"isthmus/core/radiograph"
)

// jpeg2000 decodes a codestream through decodeJPEG2000 of
// web/static/jpeg2000.js, which loads the library when it is first needed.
func jpeg2000(codestream []byte) (s radiograph.Samples, err error) {
	in := js.Global().Get("Uint8Array").New(len(codestream))
	js.CopyBytesToJS(in, codestream)
	m, ok := await(js.Global().Call("decodeJPEG2000", in))
	if !ok || m.Type() != js.TypeObject {
		return s, errors.New("the decoder gave no answer")
	}
	if fault := m.Get("fault"); fault.Type() == js.TypeString {
		if code := m.Get("code").String(); code != "" {
			return s, &trouble{code, fault.String()}
		}
		return s, errors.New(fault.String())
	}
	samples := m.Get("samples")
	s = radiograph.Samples{Width: m.Get("width").Int(), Height: m.Get("height").Int(),
		Components: m.Get("components").Int(), Bits: m.Get("bits").Int(), Data: make([]byte, samples.Length())}
	js.CopyBytesToGo(s.Data, samples)
	return s, nil
}
