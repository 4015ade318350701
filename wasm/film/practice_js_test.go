//go:build js && wasm

package main

import (
	"encoding/json"
	"reflect"
	"syscall/js"
	"testing"

	"isthmus/core/phantom"
	"isthmus/core/practice"
	"isthmus/core/radiograph"
)

// A film of a practice case is drawn as core/phantom draws it, told on the
// way, and is clean already.
func TestDraw(t *testing.T) {
	d := newDesk()
	d.kept = &radiograph.Image{}
	got, transfers := heard(t, func() {
		d.work(ask2("draw", map[string]any{"practice": "isthmic-transverse", "film": 1}))
	})
	m := last(t, got, "drawn")
	if transfers[len(got)-1] != 1 || d.kept != nil || m.Get("job").Int() != 7 {
		t.Errorf("%d transferred, job %v, or a film is kept", transfers[len(got)-1], m.Get("job"))
	}
	before := -1.0
	for _, p := range got[:len(got)-1] {
		if done := p.Get("done").Float(); p.Get("type").String() != "progress" || !(done > before && done <= 1) {
			t.Errorf("%v %v after %v", p.Get("type"), done, before)
		} else {
			before = done
		}
	}
	if before != 1 || len(got) < 20 {
		t.Errorf("told %d times, the last %v", len(got)-1, before)
	}
	file := make([]byte, m.Get("bytes").Length())
	js.CopyBytesToGo(file, m.Get("bytes"))
	im, err := radiograph.Open(file, radiograph.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if clean, _, err := radiograph.Clean(file); err != nil || string(clean) != string(file) {
		t.Errorf("cleaned again it is another file (%v)", err)
	}
	c, _ := phantom.PracticeOf("isthmic-transverse")
	want, err := phantom.Draw(c.Femur, c.Setups[1])
	if err != nil || !reflect.DeepEqual(im.Pix, want.Pix) {
		t.Errorf("another film than core/phantom draws (%v)", err)
	}
	tags, _ := im.Header.Tags()
	if m.Get("tags").String() != tagsJSON(tags) || tags.ViewPosition != "LL" || tags.Laterality != "R" || *tags.ImagerSpacing != [2]float64{0.2, 0.2} || tags.SID != nil || tags.PixelSpacing != nil {
		t.Errorf("tags %v", m.Get("tags"))
	}
	if m.Get("width").Int() != 1125 || m.Get("height").Int() != 2925 || m.Get("kind").String() != "dicom" {
		t.Errorf("%v × %v, %v", m.Get("width"), m.Get("height"), m.Get("kind"))
	}
}

// What is asked for wrongly is refused; a draw that is cancelled stops at once.
func TestDrawRefuses(t *testing.T) {
	for _, tt := range []struct {
		kind string
		ask  map[string]any
		code string
	}{
		{"draw", map[string]any{"film": 0}, "film-practice"},
		{"draw", map[string]any{"practice": "broken-toe", "film": 0}, "film-practice"},
		{"draw", map[string]any{"practice": "narrow-canal"}, "film-message"},
		{"draw", map[string]any{"practice": "narrow-canal", "film": 2}, "film-message"},
		{"draw", map[string]any{"practice": "narrow-canal", "film": -1}, "film-message"},
		{"truth", map[string]any{"practice": 3}, "film-practice"},
	} {
		got, _ := heard(t, func() { newDesk().work(ask2(tt.kind, tt.ask)) })
		if c := last(t, got, "failed").Get("code").String(); c != tt.code {
			t.Errorf("%s %v: %s, want %s", tt.kind, tt.ask, c, tt.code)
		}
	}
	d := newDesk()
	got, _ := heard(t, func() {
		d.waiting[js.ValueOf(7).String()] = false
		stop := js.FuncOf(func(js.Value, []js.Value) any { d.hear(ask2("cancel", nil)); return nil })
		defer stop.Release()
		js.Global().Call("setTimeout", stop, 0)
		d.work(ask2("draw", map[string]any{"practice": "narrow-canal", "film": 0}))
	})
	if c := last(t, got, "failed").Get("code").String(); c != cancelled.code || len(got) > 45 {
		t.Errorf("cancelled: %s after %d messages", c, len(got))
	}
}

// What the worker tells of every practice case is what core/practice reads,
// and the same as encoding/json writes.
func TestTruth(t *testing.T) {
	for n := range phantom.Practices() {
		c, _ := phantom.Practice(n)
		got, _ := heard(t, func() { newDesk().work(ask2("truth", map[string]any{"practice": c.Key})) })
		text := last(t, got, "told").Get("truth").String()
		tr, err := practice.Parse([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		all, err := c.Tell()
		if err != nil {
			t.Fatal(err)
		}
		want, err := json.Marshal(all)
		if err != nil {
			t.Fatal(err)
		}
		again, err := json.Marshal(tr)
		if err != nil || string(again) != string(want) {
			t.Errorf("%s: read as %s, want %s (%v)", c.Key, again, want, err)
		}
		if tr.Practice != c.Key || len(tr.Films) != 2 {
			t.Errorf("%s: %d films", tr.Practice, len(tr.Films))
		}
	}
}
