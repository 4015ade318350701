//go:build js && wasm

package store

import (
	"context"
	"errors"
	"sync"
	"syscall/js"
	"time"

	"github.com/hack-pad/go-indexeddb/idb"

	"isthmus/app/state"
)

const (
	// Name is the name of the database.
	Name = "isthmus"

	version = 1

	// The browser must answer within these times or is said not to: an open
	// that hangs would leave the person before an endless wait.
	openLimit = 4 * time.Second
	callLimit = 60 * time.Second

	// grace is how long another tab that stands in the way may take to close:
	// the five calls of a start still tell within 2 s.
	grace = 300 * time.Millisecond
)

// the object stores of version 1; each has the key outside the value
const (
	briefs   = "briefs"   // case ID → JSON of state.Brief
	cases    = "cases"    // case ID → Uint8Array
	films    = "films"    // SHA-256 → Uint8Array
	settings = "settings" // key → Uint8Array
)

// A DB is a state.Store in IndexedDB. Open it once in a page.
type DB struct {
	name    string
	version uint
	limit   time.Duration // for one call

	mu      sync.Mutex
	conn    *conn
	blocked *opening // waits for another tab to let go
}

// A conn is one open connection.
type conn struct {
	db   *idb.Database
	raw  js.Value
	dead bool // the browser or another tab has closed it
}

// Open returns a store; the database itself is opened at the first call, and
// again whenever the connection was lost.
func Open(name string) *DB { return &DB{name: name, version: version, limit: callLimit} }

// Close gives the connection back. The next call opens it again.
func (s *DB) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.conn != nil {
		s.conn.raw.Call("close")
		s.conn = nil
	}
	if s.blocked != nil {
		s.blocked.left = true
		s.blocked = nil
	}
}

// drop forgets a connection that failed.
func (s *DB) drop(c *conn) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.conn == c {
		s.conn = nil
	}
	_ = guard(func() error { return c.db.Close() })
}

// connect returns the open connection, or opens it. Only one goroutine opens
// at a time; the others wait for it.
func (s *DB) connect(ctx context.Context) (*conn, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.conn != nil && !s.conn.dead {
		return s.conn, nil
	}
	ctx, cancel := context.WithTimeout(ctx, openLimit)
	defer cancel()
	o := s.blocked // the browser queues what is opened after it: ask again for the same
	if o == nil {
		var err error
		if o, err = open(s.name, s.version); err != nil {
			return nil, err
		}
	}
	c, err := o.await(ctx)
	var blocked *state.BlockedError
	if s.blocked = nil; errors.As(err, &blocked) && !blocked.Outdated {
		s.blocked = o
	}
	if err != nil {
		return nil, err
	}
	s.conn = c
	return c, nil
}

// An opening is one request to open the database. The library does not tell
// of a blocked upgrade, so its factory is handed an open of ours that calls
// the browser's and listens as well.
type opening struct {
	blocked chan struct{} // closed when another tab stands in the way
	got     chan answer
	request js.Value
	conn    *conn
	left    bool // nobody waits any more: close it when it comes
	funcs   []js.Func
	broken  error // what went wrong while the stores were made
}

type answer struct {
	db  *idb.Database
	err error
}

func open(name string, version uint) (*opening, error) {
	o := &opening{blocked: make(chan struct{}), got: make(chan answer, 1), conn: &conn{}}
	var req *idb.OpenDBRequest
	err := guard(func() error {
		real := js.Global().Get("indexedDB")
		if !real.Truthy() {
			return &state.UnavailableError{Cause: errors.New("no indexedDB")}
		}
		factory, err := idb.WrapFactory(o.factory(real))
		if err != nil {
			return err
		}
		// An upgrade that comes after we stopped waiting must still make the
		// stores, or the database would be empty for ever: no ctx that ends.
		req, err = factory.Open(context.Background(), name, version, o.upgrade)
		return err
	})
	if o.broken != nil {
		err = o.broken
	}
	if err != nil {
		return nil, openError(err)
	}
	// Await registers its listener before anything yields to the browser.
	go func() {
		var a answer
		a.err = guard(func() (err error) { a.db, err = req.Await(context.Background()); return err })
		o.got <- a
	}()
	return o, nil
}

// await waits for the connection, for the news that another tab blocks it, or
// for the end of ctx.
func (o *opening) await(ctx context.Context) (*conn, error) {
	blocked := o.blocked
	var enough <-chan time.Time
	for {
		select {
		case a := <-o.got:
			return o.connected(a)
		case <-blocked:
			blocked, enough = nil, time.After(grace)
		case <-enough:
			return nil, &state.BlockedError{}
		case <-ctx.Done():
			o.left = true
			return nil, openError(ctx.Err())
		}
	}
}

func (o *opening) connected(a answer) (*conn, error) {
	switch {
	case o.broken != nil:
		return nil, &state.UnavailableError{Cause: o.broken}
	case a.err != nil:
		return nil, openError(a.err)
	case !o.conn.raw.Truthy():
		return nil, &state.UnavailableError{}
	}
	o.conn.db = a.db
	return o.conn, nil
}

// openError says in our words why the database did not open.
func openError(err error) error {
	var ours interface{ Code() string }
	switch {
	case err == nil:
		return &state.UnavailableError{}
	case errors.As(err, &ours), errors.Is(err, context.Canceled):
		return err
	case named(err, "VersionError"):
		return &state.BlockedError{Outdated: true}
	case named(err, "QuotaExceededError"):
		return &state.FullError{Cause: err}
	}
	return &state.UnavailableError{Cause: err}
}

// factory is what go-indexeddb takes for the browser's indexedDB.
func (o *opening) factory(real js.Value) js.Value {
	f := js.Global().Get("Object").New()
	f.Set("open", o.keep(func(_ js.Value, args []js.Value) any {
		o.broken = guard(func() error {
			o.request = real.Call("open", args[0], args[1])
			o.listen(o.request, "blocked", func() { close(o.blocked) })
			o.listen(o.request, "success", o.opened)
			o.listen(o.request, "error", o.release)
			return nil
		})
		if o.broken != nil {
			return nil // the library refuses what is not a request
		}
		return o.request
	}))
	return f
}

// opened runs before the library's own listener.
func (o *opening) opened() {
	db := o.request.Get("result")
	if o.left {
		db.Call("close")
		o.release()
		return
	}
	c := o.conn
	c.raw = db
	// Another tab wants to upgrade, or the browser dropped us. The library's
	// own listener would write to the log from inside the event, which blocks
	// it under node: it is not let through.
	gone := js.FuncOf(func(_ js.Value, args []js.Value) any {
		c.dead = true
		_ = guard(func() error {
			args[0].Call("stopImmediatePropagation")
			db.Call("close")
			return nil
		})
		return nil
	})
	db.Call("addEventListener", "versionchange", gone)
	db.Call("addEventListener", "close", gone)
	o.release()
}

// upgrade makes the stores. It must not wait and must not return an error:
// the library answers an error with a panic. A failure aborts the upgrade.
func (o *opening) upgrade(db *idb.Database, _, _ uint) error {
	o.broken = guard(func() error {
		have, err := db.ObjectStoreNames()
		if err != nil {
			return err
		}
		there := map[string]bool{}
		for _, name := range have {
			there[name] = true
		}
		for _, name := range []string{briefs, cases, films, settings} {
			if there[name] {
				continue
			}
			if _, err := db.CreateObjectStore(name, idb.ObjectStoreOptions{}); err != nil {
				return err
			}
		}
		return nil
	})
	if o.broken != nil {
		_ = guard(func() error { o.request.Get("transaction").Call("abort"); return nil })
	}
	return nil
}

func (o *opening) keep(fn func(js.Value, []js.Value) any) js.Func {
	f := js.FuncOf(fn)
	o.funcs = append(o.funcs, f)
	return f
}

func (o *opening) listen(on js.Value, event string, fn func()) {
	on.Call("addEventListener", event, o.keep(func(js.Value, []js.Value) any {
		_ = guard(func() error { fn(); return nil })
		return nil
	}))
}

// release frees the callbacks once the request has answered.
func (o *opening) release() {
	for _, f := range o.funcs {
		f.Release()
	}
	o.funcs = nil
}
