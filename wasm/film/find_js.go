//go:build js && wasm

package main

import (
	"math"
	"syscall/js"

	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// find looks for something on the samples of the kept film.
func (d *desk) find(m js.Value) error {
	if d.kept == nil {
		return errNone
	}
	job := m.Get("job")
	d.reporter(job)(0)
	a, err := askOf(m.Get("ask"))
	if err != nil {
		return err
	}
	im := d.kept
	a.raw = im.Header.ForProcessing
	text, err := look(find.Grey{Width: im.Width, Height: im.Height, Pix: im.Pix, Inverted: im.Inverted()}, m.Get("what").String(), a)
	if err != nil {
		return err
	}
	post(map[string]any{"type": "found", "job": job, "seen": text})
	return nil
}

// askOf reads the JSON text of an ask with the browser's own reader.
func askOf(text js.Value) (a ask, err error) {
	defer func() {
		if recover() != nil {
			err = &trouble{"film-message", "film: the page asked for something that cannot be read: reload the page and try again"}
		}
	}()
	if text.Type() != js.TypeString {
		panic(text)
	}
	v := js.Global().Get("JSON").Call("parse", text)
	a.tall = 1
	if t := v.Get("tall"); t.Type() == js.TypeNumber && t.Float() > 0 {
		a.tall = t.Float()
	}
	each(v.Get("taps"), func(p js.Value) { a.taps = append(a.taps, place(p)) })
	each(v.Get("fixed"), func(f js.Value) {
		a.fixed = append(a.fixed, find.Fix{Edge: find.Wall(f.Get("edge").Int()), At: place(f.Get("at_px"))})
	})
	return a, nil
}

func each(list js.Value, do func(js.Value)) {
	for i := 0; list.Truthy() && i < min(list.Length(), 1000); i++ {
		do(list.Index(i))
	}
}

// place reads {x, y}; what is no number lies nowhere, which every search
// refuses.
func place(v js.Value) geom.Pt[units.Px] {
	number := func(name string) units.Px {
		if n := v.Get(name); n.Type() == js.TypeNumber {
			return units.Px(n.Float())
		}
		return units.Px(math.NaN())
	}
	return geom.Pt[units.Px]{X: number("x"), Y: number("y")}
}
