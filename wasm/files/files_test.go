//go:build js && wasm

package files

import (
	"bytes"
	"context"
	"errors"
	"regexp"
	"strconv"
	"strings"
	"syscall/js"
	"testing"
	"time"

	"isthmus/app/state"
)

var bg = context.Background()

// eval runs JavaScript and returns its value.
func eval(code string) js.Value { return js.Global().Call("eval", code) }

// set puts something in the place of a global for one test.
func set(t *testing.T, name string, v js.Value) {
	t.Helper()
	was := js.Global().Get(name)
	js.Global().Set(name, v)
	t.Cleanup(func() { js.Global().Set(name, was) })
}

// worker installs a Worker whose messages are those of body, run at each
// message from the page with say(answer) and m; start runs at once.
func worker(t *testing.T, start, body string) (count func(what string) int) {
	t.Helper()
	films = newReader()
	set(t, "seen", eval("({made: 0, ended: 0, moved: 0})"))
	set(t, "Worker", eval(`(class {
		constructor(url) {
			if (url !== "/film-worker.js") throw new Error("wrong worker " + url);
			seen.made++;
			const say = (data) => setTimeout(() => this.onmessage && this.onmessage({data}), 0);
			const die = () => setTimeout(() => this.onerror && this.onerror({}), 0);
			this.hear = (m) => { `+body+` };
			`+start+`
		}
		postMessage(m, moved) { seen.moved += moved.length; this.hear(m); }
		terminate() { seen.ended++; this.onmessage = null; }
	})`))
	t.Cleanup(films.end)
	return func(what string) int { return js.Global().Get("seen").Get(what).Int() }
}

const (
	ready = `say({type: "ready", version: "3"});`
	good  = `say({type: "progress", job: m.job, done: 0.5});
		say({type: "opened", job: m.job, kind: "dicom", frames: 3, frame: m.frame, width: 7, height: m.bytes.length,
			tags: '{"modality":"DX","sid_mm":1800}', warnings: ["look twice"], bitmap: {a: 1}});`
)

func TestOpen(t *testing.T) {
	count := worker(t, ready, good)
	done := 0.0
	o, err := Device{}.Open(bg, []byte("film!"), 2, func(d float64) { done = d })
	if err != nil {
		t.Fatal(err)
	}
	if o.Kind != "dicom" || o.Frames != 3 || o.Frame != 2 || o.Width != 7 || o.Height != 5 || done != 0.5 ||
		o.Tags == nil || o.Tags.Modality != "DX" || *o.Tags.SID != 1800 || len(o.Warnings) != 1 || o.Bitmap.(js.Value).Get("a").Int() != 1 {
		t.Errorf("opened %+v, progress %v", o, done)
	}
	if count("made") != 1 || count("ended") != 1 || count("moved") != 1 {
		t.Errorf("%d workers made, %d ended, %d buffers moved, want 1 each", count("made"), count("ended"), count("moved"))
	}
}

// A picture without a header has no tags at all, not empty ones.
func TestOpenWithoutTags(t *testing.T) {
	worker(t, ready, `say({type: "opened", kind: "png", frames: 1, frame: 0, width: 1, height: 1, tags: null, warnings: [], bitmap: {}});`)
	o, err := Device{}.Open(bg, []byte("x"), 0, func(float64) {})
	if err != nil || o.Tags != nil || len(o.Warnings) != 0 {
		t.Errorf("opened %+v, %v, want no tags", o, err)
	}
}

func TestOpenTroubles(t *testing.T) {
	for _, tt := range []struct{ name, start, body, code string }{
		{"refused", ready, `say({type: "failed", job: m.job, code: "radiograph-empty", sentence: "radiograph: the file is empty: choose another"})`, "radiograph-empty"},
		{"died", ready, `say({type: "dead", code: "film-ended", sentence: "film: there was not enough memory: close other tabs"})`, "film-ended"},
		{"could not be loaded", `say({type: "dead", code: "film-not-loaded", sentence: "film: could not be loaded: go online"})`, ``, "film-not-loaded"},
		{"script error", `die();`, ``, "film-ended"},
		{"error at work", ready, `die();`, "film-ended"},
		{"another version", `say({type: "ready", version: "1"});`, good, "film-version"},
		{"tags that are no JSON", ready, `say({type: "opened", kind: "png", frames: 1, frame: 0, width: 1, height: 1, tags: "{", bitmap: {}});`, "film-tags"},
		{"no worker at all", `throw new Error("no workers here");`, ``, "files-read"},
		{"an answer without its fields", ready, `say({type: "opened"});`, "files-read"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			count := worker(t, tt.start, tt.body)
			_, err := Device{}.Open(bg, []byte("x"), 0, func(float64) {})
			var c interface{ Code() string }
			if !errors.As(err, &c) || c.Code() != tt.code || len(err.Error()) < 20 {
				t.Errorf("Open = %v, want code %s", err, tt.code)
			}
			if tt.code != "files-read" && count("ended") != 1 {
				t.Errorf("%d workers ended, want 1", count("ended"))
			}
		})
	}
}

// A silent worker is ended; so is one whose caller stopped waiting; and the
// next film opens.
func TestOpenEnds(t *testing.T) {
	count := worker(t, ready, `seen.last = m;`)
	leave := films.enter(bg)
	err := films.ask(bg, 20*time.Millisecond, request{msg: message("open"), file: []byte("x")})
	leave()
	var f *FilmError
	if !errors.As(err, &f) || f.Code() != "film-silent" || count("ended") != 1 {
		t.Errorf("open = %v, %d ended, want film-silent and the worker ended", err, count("ended"))
	}
	ctx, cancel := context.WithCancel(bg)
	time.AfterFunc(5*time.Millisecond, cancel)
	if _, err := (Device{}).Open(ctx, []byte("x"), 0, func(float64) {}); !errors.Is(err, context.Canceled) || count("ended") != 2 {
		t.Errorf("Open = %v, %d ended, want context.Canceled and the worker ended", err, count("ended"))
	}
	worker(t, ready, good)
	if _, err := (Device{}).Open(bg, []byte("x"), 0, func(float64) {}); err != nil {
		t.Errorf("the next film: %v", err)
	}
}

// Only one film is opened at a time.
func TestOpenOneAtATime(t *testing.T) {
	count := worker(t, ready+`if (seen.made - seen.ended > 1) seen.crowd = true;`, good)
	done := make(chan error)
	for range 4 {
		go func() {
			_, err := Device{}.Open(bg, []byte("x"), 0, func(float64) {})
			done <- err
		}()
	}
	for range 4 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	if count("made") != 4 || count("ended") != 4 || js.Global().Get("seen").Get("crowd").Truthy() {
		t.Errorf("%d made, %d ended, crowd %v", count("made"), count("ended"), js.Global().Get("seen").Get("crowd"))
	}
}

func TestRead(t *testing.T) {
	name, data, err := Device{}.Read(bg, eval(`new File([new Uint8Array([1, 2, 255])], "IM000001")`))
	if err != nil || name != "IM000001" || !bytes.Equal(data, []byte{1, 2, 255}) {
		t.Errorf("Read = %q, %v, %v", name, data, err)
	}
	_, data, err = Device{}.Read(bg, eval(`new File([], "empty")`))
	if err != nil || data == nil || len(data) != 0 {
		t.Errorf("an empty file = %v, %v, want no bytes and no error", data, err)
	}
	var large *TooLargeError
	_, _, err = Device{}.Read(bg, eval(`({name: "big", size: 600 * 1024 * 1024, arrayBuffer() { seenRead = true; }})`))
	if !errors.As(err, &large) || large.Name != "big" || !strings.Contains(err.Error(), "600 MB") || js.Global().Get("seenRead").Truthy() {
		t.Errorf("a large file = %v, want a TooLargeError before it is read", err)
	}
	for _, tt := range []struct {
		name   string
		chosen any
	}{
		{"nothing", nil},
		{"null", js.Null()},
		{"not a file", js.ValueOf(7)},
		{"without size", eval(`({name: "x", arrayBuffer: () => Promise.resolve(new ArrayBuffer(1))})`)},
		{"gone meanwhile", eval(`({name: "x", size: 1, arrayBuffer: () => Promise.reject(new Error("gone"))})`)},
		{"throws", eval(`({name: "x", size: 1, arrayBuffer() { throw new Error("no") }})`)},
	} {
		if _, data, err := (Device{}).Read(bg, tt.chosen); err == nil || data != nil {
			t.Errorf("%s: Read = %v, %v, want an error", tt.name, data, err)
		}
	}
	ctx, cancel := context.WithCancel(bg)
	cancel()
	if _, _, err := (Device{}).Read(ctx, eval(`({name: "x", size: 1, arrayBuffer: () => new Promise(() => {})})`)); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled Read = %v", err)
	}
}

// page installs a document that notes what is downloaded.
func page(t *testing.T, navigator string) {
	t.Helper()
	set(t, "saved", eval("({})"))
	set(t, "navigator", eval(navigator))
	set(t, "document", eval(`({
		body: {appendChild(a) {}},
		createElement: () => ({click() { saved.download = this.download; saved.href = this.href; }, remove() {}}),
	})`))
}

func saved(key string) string {
	if v := js.Global().Get("saved").Get(key); v.Type() == js.TypeString {
		return v.String()
	}
	return ""
}

func TestSave(t *testing.T) {
	share := func(can, how string) string {
		return `({maxTouchPoints: 5, canShare: (w) => ` + can + `, share: (w) => { saved.shared = w.files[0].name + " " + w.files[0].type + " " + w.files[0].size; ` + how + ` }})`
	}
	reject := func(name string) string {
		return `return Promise.reject(new DOMException("test", "` + name + `"))`
	}
	for _, tt := range []struct {
		name, navigator  string
		shared, download bool
		dismissed        bool
	}{
		{"no navigator", "undefined", false, true, false},
		{"no share sheet", "({maxTouchPoints: 5})", false, true, false},
		{"a desktop with a share sheet", `({maxTouchPoints: 0, canShare: () => true, share: () => Promise.resolve()})`, false, true, false},
		{"shares", share("true", "return Promise.resolve()"), true, false, false},
		{"does not share such files", share("false", ""), false, true, false},
		{"the person closes the sheet", share("true", reject("AbortError")), true, false, true},
		{"the tap was too long ago", share("true", reject("NotAllowedError")), true, true, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			page(t, tt.navigator)
			err := Device{}.Save(bg, "case.isthmus", "application/octet-stream", []byte("four"))
			var closed *state.DismissedError
			if errors.As(err, &closed) != tt.dismissed || err != nil && !tt.dismissed {
				t.Errorf("Save = %v", err)
			}
			if got := saved("shared"); (got == "case.isthmus application/octet-stream 4") != tt.shared {
				t.Errorf("shared %q", got)
			}
			if got := saved("download"); (got == "case.isthmus") != tt.download || tt.download && !strings.HasPrefix(saved("href"), "blob:") {
				t.Errorf("downloaded %q from %q", got, saved("href"))
			}
		})
	}
}

func TestConvert(t *testing.T) {
	canvas := func(w, h int, blob string) {
		set(t, "painted", eval("({})"))
		set(t, "createImageBitmap", eval(`async (b) => { if (b.size !== 4) throw new Error("size"); return {width: `+strconv.Itoa(w)+`, height: `+strconv.Itoa(h)+`, close() { painted.closed = true; }}; }`))
		set(t, "document", eval(`({createElement: () => ({
			getContext: () => ({drawImage(b, x, y) { painted.at = [b.width, x, y].join(); }}),
			toBlob(then, type, quality) { painted.type = type; setTimeout(() => then(`+blob+`), 0); },
		})})`))
	}
	painted := func(key string) js.Value { return js.Global().Get("painted").Get(key) }
	canvas(4000, 3000, `new Blob(["jpeg"])`)
	got, err := Device{}.Convert(bg, []byte("heic"))
	if err != nil || string(got) != "jpeg" {
		t.Fatalf("Convert = %q, %v", got, err)
	}
	if painted("type").String() != "image/jpeg" || painted("at").String() != "4000,0,0" || !painted("closed").Bool() {
		t.Errorf("painted %v at %v, closed %v", painted("type"), painted("at"), painted("closed"))
	}
	canvas(8000, 6000, `new Blob(["jpeg"])`)
	var f *FilmError
	if _, err := (Device{}).Convert(bg, []byte("heic")); !errors.As(err, &f) || f.Code() != "film-too-large" {
		t.Errorf("48 megapixels = %v, want film-too-large", err)
	}
	canvas(40, 30, `null`)
	if _, err := (Device{}).Convert(bg, []byte("heic")); err == nil {
		t.Error("a canvas that makes no JPEG gives no error")
	}
	if _, err := (Device{}).Convert(bg, []byte("not four")); err == nil {
		t.Error("a picture the browser does not read gives no error")
	}
}

func TestClock(t *testing.T) {
	if now := (Device{}).Now(); !regexp.MustCompile(`^20\d\d-\d\d-\d\dT\d\d:\d\d:\d\dZ$`).MatchString(now) {
		t.Errorf("Now = %q", now)
	}
	a, b := Device{}.NewID(), Device{}.NewID()
	if !regexp.MustCompile(`^[0-9a-f]{32}$`).MatchString(a) || a == b {
		t.Errorf("IDs %q and %q", a, b)
	}
}

// A dropped file is handed over, and the browser does not leave the page.
func TestOnDrop(t *testing.T) {
	set(t, "addEventListener", eval(`((type, fn) => { heard[type] = fn; })`))
	set(t, "removeEventListener", eval(`((type) => { delete heard[type]; })`))
	set(t, "heard", eval("({prevented: 0})"))
	got := make(chan any, 1)
	stop := Device{}.OnDrop(func(chosen any) { got <- chosen })
	eval(`heard.dragover({preventDefault() { heard.prevented++; }})`)
	eval(`heard.drop({preventDefault() { heard.prevented++; }, dataTransfer: {files: []}})`)
	eval(`heard.drop({preventDefault() { heard.prevented++; }, dataTransfer: {files: [new File(["x"], "dropped")]}})`)
	name, data, err := Device{}.Read(bg, <-got)
	if err != nil || name != "dropped" || string(data) != "x" {
		t.Errorf("dropped %q, %q, %v", name, data, err)
	}
	if n := js.Global().Get("heard").Get("prevented").Int(); n != 3 {
		t.Errorf("the browser was held back %d times, want 3", n)
	}
	stop()
	if eval(`heard.drop === undefined && heard.dragover === undefined`).Bool() != true {
		t.Error("stop leaves listeners")
	}
}
