//go:build js && wasm

package main

import (
	"errors"
	"runtime"
	"syscall/js"
	"time"

	"isthmus/core/radiograph"
)

// protocol is the version of the messages in doc.go.
const protocol = "3"

// A desk is where jobs lie: the callbacks that hear the page write here, the
// one goroutine that works reads. Both run in turns, never at once.
type desk struct {
	jobs    chan js.Value
	waiting map[string]bool // by job: true once it is cancelled
	kept    *radiograph.Image
}

func newDesk() *desk { return &desk{jobs: make(chan js.Value, 8), waiting: map[string]bool{}} }

func main() {
	d := newDesk()
	onMessage := js.FuncOf(func(this js.Value, args []js.Value) any {
		if len(args) > 0 {
			d.hear(args[0].Get("data"))
		}
		return nil
	})
	js.Global().Call("addEventListener", "message", onMessage)
	post(map[string]any{"type": "ready", "version": protocol})
	for job := range d.jobs {
		d.work(job)
	}
}

// jobs that are answered, in the order they came.
var handlers = map[string]func(d *desk, m js.Value) error{
	"open": (*desk).open, "clean": (*desk).clean, "window": (*desk).window, "find": (*desk).find,
	"draw": (*desk).draw, "truth": (*desk).truth,
	"release": func(d *desk, _ js.Value) error {
		d.kept = nil
		return nil
	},
}

// hear takes one message of the page. It never waits.
func (d *desk) hear(m js.Value) {
	if m.Type() != js.TypeObject {
		return
	}
	job := m.Get("job").String()
	if kind(m) == "cancel" {
		if _, there := d.waiting[job]; there {
			d.waiting[job] = true
		}
		return
	}
	if handlers[kind(m)] == nil {
		return
	}
	select {
	case d.jobs <- m:
		d.waiting[job] = false
	default:
		fail(m.Get("job"), "film-busy", "film: too many films are waiting: wait for the first to open")
	}
}

func kind(m js.Value) string {
	if t := m.Get("type"); t.Type() == js.TypeString {
		return t.String()
	}
	return ""
}

func post(m map[string]any, transfer ...any) {
	js.Global().Call("postMessage", js.ValueOf(m), js.ValueOf(transfer))
}

func fail(job js.Value, code, sentence string) {
	post(map[string]any{"type": "failed", "job": job, "code": code, "sentence": sentence})
}

var cancelled = &trouble{"film-cancelled", "film: opening was stopped: open the film again when you need it"}

// work answers one message. What goes wrong in it, whatever it is, ends in a
// sentence.
func (d *desk) work(m js.Value) {
	job := m.Get("job")
	defer delete(d.waiting, job.String())
	defer func() {
		switch e := recover(); {
		case e == any(cancelled):
			fail(job, cancelled.code, cancelled.sentence)
		case e != nil:
			fail(job, "film-stopped", "film: the decoder stopped on this film: ask the archive to export uncompressed, and open that")
		}
	}()
	var err error = cancelled
	if !d.waiting[job.String()] {
		err = handlers[kind(m)](d, m)
	}
	if err != nil {
		failed(job, err)
	}
}

func failed(job js.Value, err error) {
	var c interface{ Code() string }
	code := "film-failed"
	if errors.As(err, &c) {
		code = c.Code()
	}
	fail(job, code, err.Error())
}

// file takes the bytes out of a message, which then holds them no more.
func file(m js.Value) ([]byte, error) {
	bytes := m.Get("bytes")
	if !bytes.InstanceOf(js.Global().Get("Uint8Array")) {
		return nil, &trouble{"film-message", "film: the page sent no film: reload the page and open the film again"}
	}
	if n := bytes.Length(); n > radiograph.MaxFile {
		return nil, &radiograph.LimitError{What: "file", Got: int64(n), Max: radiograph.MaxFile}
	}
	b := make([]byte, bytes.Length())
	js.CopyBytesToGo(b, bytes)
	letGo(bytes)
	return b, nil
}

// open decodes a film, keeps it and sends its picture.
func (d *desk) open(m js.Value) error {
	d.kept = nil
	runtime.GC() // the memory of the film before is used again
	job := m.Get("job")
	if m.Get("frame").Type() != js.TypeNumber {
		return &trouble{"film-message", "film: the page did not say which picture of the film: reload the page and open the film again"}
	}
	b, err := file(m)
	if err != nil {
		return err
	}
	im, err := radiograph.Open(b, radiograph.Options{Frame: m.Get("frame").Int(), Progress: d.reporter(job), JPEG2000: jpeg2000})
	if err != nil {
		return err
	}
	d.kept = im
	opened(job, im)
	return nil
}

// clean sends the film back without what tells who the patient is.
func (d *desk) clean(m js.Value) error {
	b, err := file(m)
	if err != nil {
		return err
	}
	clean, _, err := radiograph.Clean(b)
	if err != nil {
		return err
	}
	bytes := js.Global().Get("Uint8Array").New(len(clean))
	js.CopyBytesToJS(bytes, clean)
	post(map[string]any{"type": "cleaned", "job": m.Get("job"), "bytes": bytes}, bytes.Get("buffer"))
	return nil
}

// breath is how long work goes on before the messages that came are heard.
const breath = 200 * time.Millisecond

// reporter tells the page how far the work is, in steps of 2 %, and ends the
// work when its job was cancelled.
func (d *desk) reporter(job js.Value) func(float64) {
	last, heard := -1.0, time.Now()
	return func(done float64) {
		if !(done >= last+0.02 || done == 1 && last < 1) {
			return
		}
		last = done
		post(map[string]any{"type": "progress", "job": job, "done": done})
		if time.Since(heard) > breath {
			time.Sleep(time.Millisecond) // the browser's turn; less can be over before it is begun
			heard = time.Now()
		}
		if d.waiting[job.String()] {
			panic(cancelled)
		}
	}
}
