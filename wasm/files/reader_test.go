//go:build js && wasm

package files

import (
	"context"
	"errors"
	"syscall/js"
	"testing"
	"time"

	"isthmus/app/state"
)

// keeps is a worker that keeps a film.
const keeps = `
	if (m.type === "clean") say({type: "cleaned", job: m.job, bytes: m.bytes});
	if (m.type === "open") {
		say({type: "preview", job: m.job, bitmap: {coarse: 1}});
		say({type: "opened", job: m.job, kind: "dicom", frames: 1, frame: m.frame, width: 7, height: 5, tags: null, warnings: [],
			windows: '[{"name":"bone","centre":5,"width":4,"shape":"linear-exact"},{"name":"whole range","centre":9,"width":8,"shape":"linear"}]', bitmap: {whole: 1}});
	}
	if (m.type === "window") say({type: "windowed", job: m.job, bitmap: {centre: m.centre, width: m.width, shape: m.shape, invert: m.invert}});
	if (m.type === "find") {
		say({type: "found", job: m.job - 1, seen: "of a job that was given up"});
		say({type: "progress", job: m.job, done: 0.25});
		say(m.what === "ball" ? {type: "found", job: m.job, seen: m.ask} : {type: "failed", job: m.job, code: "find-none", sentence: "find: no disc is seen here: tap in the middle of it"});
	}`

// A film that is shown stays in its worker: windows and searches go there, and
// showing it again draws it anew without its bytes.
func TestKept(t *testing.T) {
	count := worker(t, ready, keeps)
	dev := Device{}
	var first any
	o, err := dev.Show(bg, "a/0", []byte("film!"), 0, func(float64) {}, func(b any) { first = b })
	if err != nil || len(o.Windows) != 2 || o.Windows[0] != (state.Window{Name: "bone", Centre: 5, Width: 4, Shape: "linear-exact"}) {
		t.Fatalf("%+v, %v", o, err)
	}
	if first.(js.Value).Get("coarse").Int() != 1 || o.Bitmap.(js.Value).Get("whole").Int() != 1 {
		t.Error("not the coarse picture first and the whole one after")
	}
	b, err := dev.Window(bg, "a/0", state.Window{Centre: 1, Width: 2, Shape: "sigmoid", Invert: true})
	if v, ok := b.(js.Value); err != nil || !ok || v.Get("centre").Int() != 1 || v.Get("shape").String() != "sigmoid" || !v.Get("invert").Bool() {
		t.Errorf("window: %v, %v", b, err)
	}
	done := 0.0
	seen, err := dev.Find(bg, "a/0", "ball", []byte(`{"taps":[]}`), func(d float64) { done = d })
	if err != nil || string(seen) != `{"taps":[]}` || done != 0.25 {
		t.Errorf("find: %s, %v, progress %v", seen, err, done)
	}
	var f *FilmError
	if _, err := dev.Find(bg, "a/0", "disc", nil, func(float64) {}); !errors.As(err, &f) || f.Code() != "find-none" {
		t.Errorf("a refusal: %v", err)
	}
	again, err := dev.Show(bg, "a/0", nil, 0, func(float64) {}, nil)
	if err != nil || again.Width != 7 || again.Bitmap.(js.Value).Get("centre").Int() != 5 || count("moved") != 1 {
		t.Errorf("shown again: %+v, %v, %d buffers moved", again, err, count("moved"))
	}
	if count("made") != 1 || count("ended") != 0 {
		t.Errorf("%d workers made, %d ended", count("made"), count("ended"))
	}
}

// What is not kept says so: another film, none, one whose worker was let go,
// has died, or had its minute.
func TestNotKept(t *testing.T) {
	count := worker(t, ready, keeps)
	dev := Device{}
	not := func(name, key string) {
		t.Helper()
		var gone *state.NotKeptError
		if _, err := dev.Window(bg, key, state.Window{}); !errors.As(err, &gone) {
			t.Errorf("%s: window %v", name, err)
		}
		if _, err := dev.Find(bg, key, "ball", nil, func(float64) {}); !errors.As(err, &gone) {
			t.Errorf("%s: find %v", name, err)
		}
	}
	show := func(key string) {
		t.Helper()
		if _, err := dev.Show(bg, key, []byte("x"), 0, func(float64) {}, nil); err != nil {
			t.Fatal(err)
		}
	}
	not("none", "a/0")
	not("without a key", "")
	show("a/0")
	not("another", "b/0")
	show("b/0")
	not("the one before", "a/0")
	if count("made") != 2 || count("ended") != 1 {
		t.Errorf("%d workers made, %d ended: each film has its own", count("made"), count("ended"))
	}
	films.end()
	not("let go", "b/0")
	show("b/0")
	films.said <- js.Null() // the browser ended it
	not("died", "b/0")
	show("b/0")
	films.endIdle()
	not("had its minute", "b/0")
	if count("made") != 4 || count("ended") != 4 {
		t.Errorf("%d workers made, %d ended", count("made"), count("ended"))
	}
}

// A minute only counts from when the last job has ended.
func TestIdleWaits(t *testing.T) {
	count := worker(t, ready, keeps)
	if _, err := (Device{}).Show(bg, "a/0", []byte("x"), 0, func(float64) {}, nil); err != nil {
		t.Fatal(err)
	}
	leave := films.enter(bg)
	films.endIdle()
	if count("ended") != 0 {
		t.Error("ended while somebody was at work")
	}
	leave()
	if films.rest == nil {
		t.Error("no minute was begun")
	}
}

// Cleaning and opening one film share a worker; the next film gets its own.
func TestCleanThenShow(t *testing.T) {
	count := worker(t, ready, keeps)
	clean, err := Device{}.Clean([]byte("film!"))
	if err != nil || string(clean) != "film!" {
		t.Fatalf("%q, %v", clean, err)
	}
	if _, err := (Device{}).Show(bg, "a/0", clean, 0, func(float64) {}, nil); err != nil {
		t.Fatal(err)
	}
	if count("made") != 1 {
		t.Errorf("%d workers", count("made"))
	}
	if _, err := (Device{}).Clean([]byte("other")); err != nil || count("made") != 2 {
		t.Errorf("%v, %d workers", err, count("made"))
	}
}

// A cancelled job that says so leaves its worker alive; one that does not is
// ended after its grace.
func TestCancelGently(t *testing.T) {
	count := worker(t, ready, `
		if (m.type === "open") seen.job = m.job;
		if (m.type === "cancel" && m.job === seen.job) say({type: "failed", job: m.job, code: "film-cancelled", sentence: "film: opening was stopped: open it again"});`)
	ctx, cancel := context.WithCancel(bg)
	time.AfterFunc(5*time.Millisecond, cancel)
	if _, err := (Device{}).Show(ctx, "a/0", []byte("x"), 0, func(float64) {}, nil); !errors.Is(err, context.Canceled) || count("ended") != 0 {
		t.Errorf("%v, %d ended", err, count("ended"))
	}
	count = worker(t, ready, ``)
	ctx, cancel = context.WithCancel(bg)
	time.AfterFunc(5*time.Millisecond, cancel)
	if _, err := (Device{}).Show(ctx, "a/0", []byte("x"), 0, func(float64) {}, nil); !errors.Is(err, context.Canceled) || count("ended") != 1 {
		t.Errorf("deaf: %v, %d ended", err, count("ended"))
	}
}

// draws is a worker that draws and tells.
const draws = `
	if (m.type === "draw" && m.film < 2) {
		say({type: "progress", job: m.job, done: 0.5});
		say({type: "drawn", job: m.job, bytes: new Uint8Array([7, 8, m.film]), kind: "dicom", width: 3, height: 4, tags: '{"view_position":"AP"}'});
	}
	if (m.type === "draw" && m.film === 2) say({type: "failed", job: m.job, code: "film-message", sentence: "film: no such film: reload"});
	if (m.type === "truth") say({type: "told", job: m.job, truth: '{"practice":"' + m.practice + '"}'});`

// Two films are drawn and the truth is told by one worker; what it refuses is
// said, and one that keeps a film is ended first.
func TestDrawAndTruth(t *testing.T) {
	count := worker(t, ready, keeps+draws)
	dev := Device{}
	if _, err := dev.Show(bg, "a/0", []byte("film!"), 0, func(float64) {}, nil); err != nil {
		t.Fatal(err)
	}
	for film := range 2 {
		done := 0.0
		d, err := dev.Draw(bg, "narrow-canal", film, func(v float64) { done = v })
		if err != nil || string(d.File) != string([]byte{7, 8, byte(film)}) || d.Width != 3 || d.Height != 4 || d.Kind != "dicom" || d.Tags == nil || d.Tags.ViewPosition != "AP" || done != 0.5 {
			t.Errorf("%+v, %v, progress %v", d, err, done)
		}
	}
	if b, err := dev.Truth(bg, "narrow-canal"); err != nil || string(b) != `{"practice":"narrow-canal"}` {
		t.Errorf("%s, %v", b, err)
	}
	if count("made") != 2 || count("ended") != 1 {
		t.Errorf("%d workers made, %d ended", count("made"), count("ended"))
	}
	var f *FilmError
	if _, err := dev.Draw(bg, "narrow-canal", 2, func(float64) {}); !errors.As(err, &f) || f.Code() != "film-message" {
		t.Errorf("a refusal: %v", err)
	}
}
