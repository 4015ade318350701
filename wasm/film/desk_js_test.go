//go:build js && wasm

package main

import (
	"strings"
	"syscall/js"
	"testing"

	"isthmus/core/radiograph"
	"isthmus/core/testkit"
)

func ask2(kind string, more map[string]any) js.Value {
	m := map[string]any{"type": kind, "job": 7}
	for k, v := range more {
		m[k] = v
	}
	return js.ValueOf(m)
}

func last(t *testing.T, got []js.Value, kind string) js.Value {
	t.Helper()
	if len(got) == 0 {
		t.Fatalf("no answer, want %s", kind)
	}
	m := got[len(got)-1]
	if m.Get("type").String() != kind {
		t.Fatalf("answer %v %v %v, want %s", m.Get("type"), m.Get("code"), m.Get("sentence"), kind)
	}
	return m
}

// An open film is windowed again without its bytes, as Grey8 does it, and
// turned over; one that was let go is not.
func TestWindowOfKept(t *testing.T) {
	file := testkit.Read(t, "films/variants/voi_three_windows.dcm")
	im, err := radiograph.Open(file, radiograph.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk()
	got, _ := heard(t, func() { d.work(message(file, 0)) })
	all := js.Global().Get("JSON").Call("parse", last(t, got, "opened").Get("windows"))
	want := im.Windows()
	if all.Length() != len(want) {
		t.Fatalf("%d windows, want %d", all.Length(), len(want))
	}
	for i, w := range want {
		v := all.Index(i)
		if v.Get("name").String() != w.Explanation || v.Get("centre").Float() != w.Centre || v.Get("width").Float() != w.Width || v.Get("shape").String() != string(w.Shape) {
			t.Errorf("window %d is %v, want %+v", i, js.Global().Get("JSON").Call("stringify", v), w)
		}
		for _, invert := range []bool{false, true} {
			got, transfers := heard(t, func() {
				d.work(ask2("window", map[string]any{"centre": w.Centre, "width": w.Width, "shape": string(w.Shape), "invert": invert}))
			})
			m, grey := last(t, got, "windowed"), im.Grey8(w)
			for _, k := range []int{0, 777, 30_000} {
				g := int(grey[k])
				if invert {
					g = 255 - g
				}
				if p := m.Get("pixels").Index(4 * k).Int(); p != g || transfers[0] != 1 {
					t.Errorf("%s inverted %v: pixel %d is %d, want %d", w.Explanation, invert, k, p, g)
				}
			}
		}
	}
	got, _ = heard(t, func() { d.work(ask2("window", map[string]any{"centre": "left"})) })
	last(t, got, "windowed") // the automatic one
	for _, kind := range []string{"window", "find"} {
		got, _ = heard(t, func() { d.work(ask2("release", nil)); d.work(ask2(kind, nil)) })
		if c := last(t, got, "failed").Get("code").String(); c != "film-not-kept" {
			t.Errorf("%s after release: %s", kind, c)
		}
	}
}

// A film that does not open leaves none behind.
func TestFailedKeepsNothing(t *testing.T) {
	d := newDesk()
	heard(t, func() {
		d.work(message(testkit.Read(t, "films/variants/st_explicit_le.dcm"), 0))
		d.work(message([]byte("no film"), 0))
	})
	if d.kept != nil {
		t.Error("the film before is still there")
	}
}

// A large film is shown coarsely before it is shown whole.
func TestPreview(t *testing.T) {
	const w, h = 2100, 2000
	im := &radiograph.Image{Width: w, Height: h, Pix: make([]uint16, w*h)}
	im.Header.BitsStored, im.Header.Photometric = 8, "MONOCHROME2"
	for i := range im.Pix {
		im.Pix[i] = uint16(i % 251)
	}
	got, transfers := heard(t, func() { opened(js.ValueOf(1), im) })
	if len(got) != 2 || got[0].Get("type").String() != "preview" || got[1].Get("type").String() != "opened" {
		t.Fatalf("%d messages", len(got))
	}
	if got[0].Get("pixelsWidth").Int() != 525 || got[0].Get("pixelsHeight").Int() != 500 || got[0].Get("width").Int() != w || transfers[0] != 1 {
		t.Errorf("preview %v × %v", got[0].Get("pixelsWidth"), got[0].Get("pixelsHeight"))
	}
	if got[1].Get("pixelsWidth").Int() != w {
		t.Errorf("whole picture %v wide", got[1].Get("pixelsWidth"))
	}
}

// Things are found on the samples of the kept film, and what is not found is
// refused in the words of core/find. Source: the ball of cal_ball25_ruler,
// testdata/films/PROVENANCE.md: centre (1000.25, 1560.75), 150.0 px.
func TestFind(t *testing.T) {
	d := newDesk()
	heard(t, func() { d.work(message(testkit.Read(t, "films/variants/cal_ball25_ruler_mag1p20.jpg"), 0)) })
	got, _ := heard(t, func() {
		d.work(ask2("find", map[string]any{"what": "ball", "ask": `{"taps":[{"x":990,"y":1570}],"tall":1}`}))
	})
	r := js.Global().Get("JSON").Call("parse", last(t, got, "found").Get("seen")).Get("round")
	testkit.Near(t, "centre x", r.Get("centre_px").Get("x").Float(), 1000.25, 0.5)
	testkit.Near(t, "centre y", r.Get("centre_px").Get("y").Float(), 1560.75, 0.5)
	testkit.Near(t, "diameter", r.Get("long_px").Float(), 150, 1.5)
	for _, tt := range []struct{ name, what, ask, code string }{
		{"off the film", "ball", `{"taps":[{"x":-90,"y":1570}]}`, "find-outside"},
		{"a place that is no number", "edge", `{"taps":[{"x":"left","y":1}]}`, "find-outside"},
		{"no tap", "ball", `{"taps":[]}`, "film-message"},
		{"one tap for two", "ruler", `{"taps":[{"x":1,"y":1}]}`, "film-message"},
		{"unknown thing", "kidney", `{"taps":[{"x":1,"y":1}]}`, "film-message"},
		{"no JSON", "ball", `{`, "film-message"},
		{"nothing at all", "ball", `null`, "film-message"},
	} {
		got, _ := heard(t, func() { d.work(ask2("find", map[string]any{"what": tt.what, "ask": tt.ask})) })
		if m := last(t, got, "failed"); m.Get("code").String() != tt.code || m.Get("job").Int() != 7 || len(m.Get("sentence").String()) < 20 {
			t.Errorf("%s: %v %v, want %s", tt.name, m.Get("code"), m.Get("sentence"), tt.code)
		}
	}
	got, _ = heard(t, func() { d.work(ask2("find", nil)) })
	if c := last(t, got, "failed").Get("code").String(); c != "film-message" {
		t.Errorf("no ask: %s", c)
	}
}

// A waiting job and one at work are cancelled; what is unknown is not heard;
// the ninth waiting job is turned away.
func TestQueueAndCancel(t *testing.T) {
	film := testkit.Read(t, "films/variants/ts_70_jpeg_lossless_sv1.dcm")
	d := newDesk()
	got, _ := heard(t, func() {
		d.hear(js.ValueOf("hello"))
		d.hear(ask2("dance", nil))
		d.hear(ask2("cancel", nil)) // of nothing
		d.hear(message(film, 0))
		d.hear(js.ValueOf(map[string]any{"type": "cancel", "job": 42}))
		d.work(<-d.jobs)
	})
	if c := last(t, got, "failed").Get("code").String(); c != "film-cancelled" || len(got) != 1 {
		t.Errorf("a waiting job: %s, %d messages", c, len(got))
	}
	got, _ = heard(t, func() {
		d.hear(message(film, 0))
		next := js.Global().Get("postMessage")
		stop := js.FuncOf(func(_ js.Value, args []js.Value) any {
			if args[0].Get("type").String() == "progress" {
				d.hear(js.ValueOf(map[string]any{"type": "cancel", "job": 42}))
			}
			return next.Invoke(args[0], args[1])
		})
		defer stop.Release()
		js.Global().Set("postMessage", stop)
		d.work(<-d.jobs)
	})
	if c := last(t, got, "failed").Get("code").String(); c != "film-cancelled" || len(got) != 2 {
		t.Errorf("a job at work: %s, %d messages", c, len(got))
	}
	if len(d.waiting) != 0 {
		t.Errorf("%d jobs are remembered", len(d.waiting))
	}
	got, _ = heard(t, func() {
		for range 9 {
			d.hear(message(film, 0))
		}
	})
	if c := last(t, got, "failed").Get("code").String(); c != "film-busy" || len(got) != 1 {
		t.Errorf("the ninth: %s, %d messages", c, len(got))
	}
}

// The page and the worker speak of the same version and the same words.
func TestProtocolIsDescribed(t *testing.T) {
	doc := string(testkit.Read(t, "../wasm/film/doc.go"))
	if !strings.Contains(doc, `version of this protocol, "`+protocol+`"`) {
		t.Error("doc.go names another version")
	}
	for kind := range handlers {
		if !strings.Contains(doc, `{type: "`+kind+`"`) {
			t.Errorf("doc.go does not describe %s", kind)
		}
	}
	for what := range seekers {
		if !strings.Contains(doc, `"`+what+`"`) {
			t.Errorf("doc.go does not name %s", what)
		}
	}
}
