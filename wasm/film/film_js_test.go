//go:build js && wasm

package main

import (
	"strings"
	"syscall/js"
	"testing"

	"isthmus/core/radiograph"
	"isthmus/core/testkit"
)

// heard collects what the worker posts while do runs.
func heard(t *testing.T, do func()) (messages []js.Value, transfers []int) {
	t.Helper()
	collect := js.FuncOf(func(this js.Value, args []js.Value) any {
		messages = append(messages, args[0])
		transfers = append(transfers, args[1].Length())
		return nil
	})
	defer collect.Release()
	before := js.Global().Get("postMessage")
	js.Global().Set("postMessage", collect)
	defer js.Global().Set("postMessage", before)
	do()
	return messages, transfers
}

func message(file []byte, frame any) js.Value {
	b := js.Global().Get("Uint8Array").New(len(file))
	js.CopyBytesToJS(b, file)
	return js.ValueOf(map[string]any{"type": "open", "job": 42, "bytes": b, "frame": frame})
}

// A browser without createImageBitmap gets pixels, the others a bitmap. Node
// has none, so a stand-in that answers with the ImageData is used.
func TestOpened(t *testing.T) {
	file := testkit.Read(t, "films/variants/sp_imager_ermf_1p15.dcm")
	im, err := radiograph.Open(file, radiograph.Options{})
	if err != nil {
		t.Fatal(err)
	}
	grey := im.Grey8(im.DefaultWindow())
	for _, bitmaps := range []bool{false, true} {
		if bitmaps {
			js.Global().Set("ImageData", js.Global().Call("eval", "(class { constructor(data, width, height) { Object.assign(this, { data, width, height }); } })"))
			js.Global().Set("createImageBitmap", js.Global().Call("eval", "(data) => Promise.resolve(data)"))
			defer js.Global().Delete("ImageData")
			defer js.Global().Delete("createImageBitmap")
		}
		got, transfers := heard(t, func() { newDesk().work(message(file, 0)) })
		last := got[len(got)-1]
		if last.Get("type").String() != "opened" || last.Get("job").Int() != 42 || transfers[len(got)-1] != 1 {
			t.Fatalf("last message is %v, %d transferred", last.Get("type"), transfers[len(got)-1])
		}
		if last.Get("width").Int() != 220 || last.Get("height").Int() != 267 || last.Get("kind").String() != "dicom" || last.Get("frames").Int() != 1 {
			t.Error("size, kind or frames are wrong")
		}
		if tags := last.Get("tags").String(); !strings.Contains(tags, `"factor":1.15`) {
			t.Errorf("tags %s", tags)
		}
		pixels := last.Get("pixels")
		if bitmaps {
			if !pixels.IsNull() || last.Get("bitmap").Get("width").Int() != 220 {
				t.Fatal("no bitmap")
			}
			pixels = last.Get("bitmap").Get("data")
		}
		if pixels.Length() != 4*len(grey) {
			t.Fatalf("%d bytes of pixels", pixels.Length())
		}
		for _, i := range []int{0, 100, 30_000, len(grey) - 1} {
			if p := pixels.Index(4 * i).Int(); p != int(grey[i]) || pixels.Index(4*i+3).Int() != 255 {
				t.Errorf("pixel %d is %d, want %d", i, p, grey[i])
			}
		}
	}
}

// Progress comes before the answer and rises.
func TestProgressMessages(t *testing.T) {
	got, _ := heard(t, func() { newDesk().work(message(testkit.Read(t, "films/variants/ts_70_jpeg_lossless_sv1.dcm"), 0)) })
	last := -1.0
	for _, m := range got[:len(got)-1] {
		if done := m.Get("done").Float(); m.Get("type").String() != "progress" || !(done > last && done <= 1) {
			t.Errorf("%v %v after %v", m.Get("type"), done, last)
		} else {
			last = done
		}
	}
	if last != 1 || len(got) < 3 {
		t.Errorf("%d messages, the last at %v", len(got), last)
	}
}

// Everything that goes wrong is answered with a code and a sentence.
func TestFailed(t *testing.T) {
	film := testkit.Read(t, "films/variants/px_multiframe3.dcm")
	for _, tt := range []struct {
		name string
		m    js.Value
		code string
	}{
		{"empty file", message(nil, 0), "radiograph-empty"},
		{"cut film", message(testkit.Read(t, "broken/films/cut_in_pixels.dcm"), 0), "radiograph-cut-pixels"},
		{"cut JPEG 2000", message(testkit.Read(t, "broken/films/jpeg2000.dcm"), 0), "radiograph-cut-pixels"},
		{"frame too high", message(film, 3), "radiograph-no-frame"},
		{"frame is no number", message(film, "first"), "film-message"},
		{"no bytes", js.ValueOf(map[string]any{"type": "open", "job": 42, "frame": 0}), "film-message"},
	} {
		got, _ := heard(t, func() { newDesk().work(tt.m) })
		last := got[len(got)-1]
		if last.Get("type").String() != "failed" || last.Get("job").Int() != 42 || last.Get("code").String() != tt.code || len(last.Get("sentence").String()) < 20 {
			t.Errorf("%s: %v %v %v", tt.name, last.Get("type"), last.Get("code"), last.Get("sentence"))
		}
	}
}

// A panic in the work is answered too: here the browser refuses a message,
// which arrives in Go as a panic.
func TestPanicIsAnswered(t *testing.T) {
	m := message(testkit.Read(t, "films/variants/ts_5_rle.dcm"), 0)
	got, _ := heard(t, func() {
		refuse := js.Global().Call("eval", "((next) => (m, t) => { if (m.type === 'progress') throw new Error('gone'); next(m, t); })")
		js.Global().Set("postMessage", refuse.Invoke(js.Global().Get("postMessage")))
		newDesk().work(m)
	})
	if len(got) != 1 || got[0].Get("type").String() != "failed" || got[0].Get("code").String() != "film-stopped" {
		t.Errorf("%d messages", len(got))
	}
}

// A film comes back without the name it carried, with the same picture.
func TestCleaned(t *testing.T) {
	file := testkit.Read(t, "films/variants/cs_utf8.dcm")
	m := message(file, 0)
	m.Set("type", "clean")
	got, transfers := heard(t, func() { newDesk().work(m) })
	last := got[len(got)-1]
	if last.Get("type").String() != "cleaned" || last.Get("job").Int() != 42 || transfers[len(got)-1] != 1 {
		t.Fatalf("last message is %v, %d transferred", last.Get("type"), transfers[len(got)-1])
	}
	clean := make([]byte, last.Get("bytes").Length())
	js.CopyBytesToGo(clean, last.Get("bytes"))
	want, _, err := radiograph.Clean(file)
	if err != nil || string(clean) != string(want) || string(clean) == string(file) {
		t.Errorf("cleaned film differs from radiograph.Clean (%v), or nothing was taken out", err)
	}
	bad := message([]byte("no film"), 0)
	bad.Set("type", "clean")
	got, _ = heard(t, func() { newDesk().work(bad) })
	if last := got[len(got)-1]; last.Get("type").String() != "failed" || last.Get("sentence").String() == "" {
		t.Errorf("what is no film is answered by %v", last.Get("type"))
	}
}
