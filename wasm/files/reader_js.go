//go:build js && wasm

package files

import (
	"context"
	"syscall/js"
	"time"

	"isthmus/app/state"
)

const (
	// patience is how long the worker may be silent before it is given up.
	patience = 30 * time.Second
	// idle is how long a film is kept for which nothing is asked.
	idle = 60 * time.Second
	// grace is how long a cancelled job may take to say so before its worker
	// is ended.
	grace = time.Second
)

// A reader is the film worker of this page, at most one, and the film that it
// keeps. One job at a time: turn lets in who works on it.
type reader struct {
	turn  chan struct{}
	said  chan js.Value
	where js.Value // the worker; undefined when there is none
	hears []js.Func
	ready bool
	used  bool // a film was opened in it
	key   string
	kept  state.Opened
	job   int
	rest  *time.Timer
}

func newReader() *reader { return &reader{turn: make(chan struct{}, 1)} }

// tryEnter waits for the turn, and returns how to give it back.
func (r *reader) tryEnter(ctx context.Context) (leave func(), err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	select {
	case r.turn <- struct{}{}:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if r.rest != nil {
		r.rest.Stop()
	}
	return func() {
		if r.where.Truthy() {
			r.rest = time.AfterFunc(idle, func() { go r.endIdle() })
		}
		<-r.turn
	}, nil
}

func (r *reader) enter(ctx context.Context) (leave func()) {
	leave, _ = r.tryEnter(ctx)
	return leave
}

// endIdle ends the worker unless somebody has come in since.
func (r *reader) endIdle() {
	select {
	case r.turn <- struct{}{}:
		r.stop()
		<-r.turn
	default:
	}
}

// end ends the worker when who is at work has left.
func (r *reader) end() {
	r.turn <- struct{}{}
	r.stop()
	<-r.turn
}

// stop ends the worker; the caller has the turn.
func (r *reader) stop() {
	if r.where.Truthy() {
		r.where.Set("onmessage", js.Null()) // before the callbacks are released
		r.where.Set("onerror", js.Null())
		r.where.Call("terminate")
	}
	for _, f := range r.hears {
		f.Release()
	}
	r.where, r.hears, r.ready, r.used, r.key, r.kept = js.Undefined(), nil, false, false, "", state.Opened{}
}

// start makes a worker if there is none.
func (r *reader) start() {
	if r.where.Truthy() {
		return
	}
	r.where = js.Global().Get("Worker").New("/film-worker.js")
	said := make(chan js.Value, 64)
	r.said, r.ready = said, false
	hear := js.FuncOf(func(_ js.Value, args []js.Value) any {
		select {
		case said <- args[0].Get("data"):
		default: // progress that nobody waits for
		}
		return nil
	})
	broke := js.FuncOf(func(js.Value, []js.Value) any {
		select {
		case said <- js.Null():
		default: // never wait inside a callback
		}
		return nil
	})
	r.hears = []js.Func{hear, broke}
	r.where.Set("onmessage", hear)
	r.where.Set("onerror", broke)
}

// onKept asks the worker about the film that it keeps, if it is this one.
func (r *reader) onKept(ctx context.Context, key string, msg js.Value, progress func(float64), take func(js.Value) error) error {
	leave, err := r.tryEnter(ctx)
	if err != nil {
		return err
	}
	defer leave()
	if r.died() {
		r.stop()
	}
	if key == "" || key != r.key {
		return &state.NotKeptError{}
	}
	return guarded("film", func() error {
		return r.ask(ctx, patience, request{msg: msg, progress: progress, take: take})
	})
}

// died hears what the worker said while nobody asked: only that it has stopped
// matters.
func (r *reader) died() (dead bool) {
	for {
		select {
		case m := <-r.said:
			dead = dead || !m.Truthy() || m.Get("type").String() == "dead"
		default:
			return dead
		}
	}
}

// A request is one job for the worker.
type request struct {
	msg      js.Value
	file     []byte // goes along as bytes, unless nil
	progress func(float64)
	early    func(any)
	take     func(js.Value) error
}

// ask sends a job and waits for its answer. The worker is ended when it fell
// silent, stopped, or does not give up a cancelled job soon.
func (r *reader) ask(ctx context.Context, limit time.Duration, q request) (err error) {
	done := false
	defer func() {
		if !done { // also when something panicked on the way
			r.stop()
		}
	}()
	r.start()
	r.job++
	if r.ready {
		r.send(q)
	}
	gone := ctx.Done()
	for {
		select {
		case <-gone:
			if !r.ready {
				return ctx.Err()
			}
			cancel := message("cancel")
			cancel.Set("job", r.job)
			r.where.Call("postMessage", cancel, []any{})
			gone, limit = nil, grace
		case <-time.After(limit):
			if ctx.Err() != nil {
				return ctx.Err()
			}
			return &FilmError{"film-silent", "film: nothing was heard from the film reader for half a minute, it was ended: try again, or export the film as an uncompressed DICOM file"}
		case m := <-r.said:
			var ended bool
			if ended, done, err = r.answer(m, q); ended {
				if ctx.Err() != nil {
					err = ctx.Err()
				}
				return err
			}
		}
	}
}

// answer reacts to one message of the worker: whether the job has ended, and
// whether the worker lives on.
func (r *reader) answer(m js.Value, q request) (ended, lives bool, err error) {
	if !m.Truthy() {
		return true, false, &FilmError{"film-ended", "film: the film reader stopped, the case is as it was: reload the page and try again"}
	}
	kind := m.Get("type").String()
	switch kind {
	case "ready":
		if v := m.Get("version").String(); v != protocol {
			return true, false, &FilmError{"film-version", "film: the film reader is of another version than the page: go online once and reload the page"}
		}
		r.ready = true
		r.send(q)
		return false, false, nil
	case "dead":
		return true, false, &FilmError{m.Get("code").String(), m.Get("sentence").String()}
	}
	if job := m.Get("job"); job.Type() == js.TypeNumber && job.Int() != r.job {
		return false, false, nil // of a job that was given up
	}
	switch kind {
	case "progress":
		if d := m.Get("done"); d.Type() == js.TypeNumber && q.progress != nil {
			q.progress(d.Float())
		}
	case "preview":
		if q.early != nil {
			q.early(bitmapOf(m))
		}
	case "opened", "windowed", "found", "cleaned", "drawn", "told":
		err := q.take(m)
		return true, err == nil, err
	case "failed":
		return true, true, &FilmError{m.Get("code").String(), m.Get("sentence").String()}
	}
	return false, false, nil
}

func (r *reader) send(q request) {
	q.msg.Set("job", r.job)
	if q.file == nil {
		r.where.Call("postMessage", q.msg, []any{})
		return
	}
	bytes := toJS(q.file)
	q.msg.Set("bytes", bytes)
	r.where.Call("postMessage", q.msg, []any{bytes.Get("buffer")})
}
