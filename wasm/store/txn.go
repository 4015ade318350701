//go:build js && wasm

package store

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"

	"github.com/hack-pad/go-indexeddb/idb"

	"isthmus/app/state"
)

// errAborted is our own mark that a transaction was given up: the library
// answers nil after an abort whose requests had all answered.
var errAborted = errors.New("given up")

// guard turns what JavaScript throws, and what the library panics with, into
// an error.
func guard(fn func() error) (err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case error:
			err = r
		default:
			err = fmt.Errorf("%v", r)
		}
	}()
	return fn()
}

// named reports whether an error is the browser's exception of that name,
// whether it came through an event or was thrown.
func named(err error, name string) bool {
	if errors.Is(err, idb.NewDOMException(name)) {
		return true
	}
	var thrown js.Error
	if !errors.As(err, &thrown) {
		return false
	}
	got := ""
	_ = guard(func() error { got = thrown.Get("name").String(); return nil })
	return got == name
}

// A txn is one transaction while its requests are issued.
type txn struct {
	t       *idb.Transaction
	refused error // why the transaction was given up by us
}

// give up rolls the transaction back and says why.
func (x *txn) giveUp(why error) {
	if x.refused == nil {
		x.refused = why
	}
	_ = guard(x.t.Abort)
}

func (x *txn) put(store, key string, value js.Value) error {
	o, err := x.t.ObjectStore(store)
	if err != nil {
		return err
	}
	_, err = o.PutKey(js.ValueOf(key), value)
	return err
}

func (x *txn) remove(store, key string) error {
	o, err := x.t.ObjectStore(store)
	if err != nil {
		return err
	}
	_, err = o.Delete(js.ValueOf(key))
	return err
}

// get asks for a value; then is called inside the request's own event, when
// the transaction is still open and further requests may be issued. The value
// is undefined when there is none.
func (x *txn) get(store, key string, then func(js.Value) error) error {
	o, err := x.t.ObjectStore(store)
	if err != nil {
		return err
	}
	req, err := o.Get(js.ValueOf(key))
	if err != nil {
		return err
	}
	return x.then(req, then)
}

// keys asks for all keys of a store.
func (x *txn) keys(store string, then func(keys []string) error) error {
	o, err := x.t.ObjectStore(store)
	if err != nil {
		return err
	}
	req, err := o.GetAllKeys()
	if err != nil {
		return err
	}
	return x.then(req.Request, func(list js.Value) error {
		all := make([]string, list.Length())
		for i := range all {
			all[i] = list.Index(i).String()
		}
		return then(all)
	})
}

// then registers the listener at once, before anything yields to the
// browser: one registered later would wait for ever.
func (x *txn) then(req *idb.Request, then func(js.Value) error) error {
	return req.Listen(context.Background(), func() {
		err := guard(func() error {
			v, err := req.Result()
			if err != nil {
				return err
			}
			return then(v)
		})
		if err != nil {
			x.giveUp(err)
		}
	}, func() {}) // a failed request ends the transaction, which tells
}

// do runs one transaction: issue makes all requests without waiting, then its
// end is awaited. A lost connection is opened again and the whole tried once
// more, which is safe because nothing of the first try was written.
func (s *DB) do(ctx context.Context, mode idb.TransactionMode, issue func(x *txn) error, stores ...string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	limited, cancel := context.WithTimeout(ctx, s.limit)
	defer cancel()
	var err error
	for range 2 {
		var c *conn
		if c, err = s.connect(limited); err != nil {
			break
		}
		if err = c.run(limited, mode, issue, stores); !lost(err) {
			break
		}
		s.drop(c)
	}
	return callError(ctx, err)
}

// lost reports whether an error means that the connection is gone.
func lost(err error) bool {
	return named(err, "InvalidStateError") || named(err, "UnknownError") || named(err, "NotFoundError")
}

// callError says in our words why a call failed.
func callError(ctx context.Context, err error) error {
	var ours interface{ Code() string }
	switch {
	case err == nil, errors.As(err, &ours):
		return err
	case ctx.Err() != nil:
		return ctx.Err()
	case named(err, "QuotaExceededError"):
		return &state.FullError{Cause: err}
	}
	return &state.UnavailableError{Cause: err}
}

func (c *conn) run(ctx context.Context, mode idb.TransactionMode, issue func(*txn) error, stores []string) error {
	x := &txn{}
	err := guard(func() (err error) {
		x.t, err = c.db.TransactionWithOptions(options(mode), stores[0], stores[1:]...)
		return err
	})
	if err != nil {
		return err
	}
	// The end is listened for before anything yields to the browser.
	if err := guard(func() error { return issue(x) }); err != nil {
		x.giveUp(err)
	}
	err = guard(func() error { return x.t.Await(ctx) })
	if ctx.Err() != nil && err != nil {
		return x.stop(ctx)
	}
	if x.refused != nil {
		return x.refused
	}
	return err
}

// options asks that a write is on the disk before it is called complete.
func options(mode idb.TransactionMode) idb.TransactionOptions {
	if mode == idb.TransactionReadWrite {
		return idb.TransactionOptions{Mode: mode, Durability: idb.DurabilityStrict}
	}
	return idb.TransactionOptions{Mode: mode}
}

// stop rolls back a transaction whose caller has stopped waiting. When it
// cannot be rolled back any more, all of it is written; either way the caller
// hears that it did not see the end.
func (x *txn) stop(ctx context.Context) error {
	x.giveUp(errAborted)
	return ctx.Err()
}
