//go:build js && wasm

package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"syscall/js"

	"github.com/hack-pad/go-indexeddb/idb"

	"isthmus/app/state"
)

var _ state.Store = (*DB)(nil)

const (
	read  = idb.TransactionReadOnly
	write = idb.TransactionReadWrite
)

// Cases implements state.Store.
func (s *DB) Cases(ctx context.Context) ([]state.Brief, error) {
	var list []state.Brief
	err := s.do(ctx, read, func(x *txn) error {
		list = []state.Brief{}
		return x.allBriefs(func(b state.Brief) error { list = append(list, b); return nil }, nil)
	}, briefs)
	if err != nil {
		return nil, err
	}
	state.SortBriefs(list)
	return list, nil
}

// allBriefs calls each for every brief and then end, inside the transaction.
func (x *txn) allBriefs(each func(state.Brief) error, end func() error) error {
	if end == nil {
		end = func() error { return nil }
	}
	return x.keys(briefs, func(ids []string) error {
		left := len(ids)
		if left == 0 {
			return end()
		}
		for _, id := range ids {
			err := x.get(briefs, id, func(v js.Value) error {
				if err := each(brief(id, v)); err != nil {
					return err
				}
				if left--; left == 0 {
					return end()
				}
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// brief reads a stored brief. One that cannot be read is still listed, by its
// ID, so that the case can be opened or deleted.
func brief(id string, v js.Value) state.Brief {
	var b state.Brief
	if v.Type() != js.TypeString || json.Unmarshal([]byte(v.String()), &b) != nil || b.ID != id {
		return state.Brief{ID: id, Label: "unreadable entry " + id}
	}
	return b
}

// LoadCase implements state.Store.
func (s *DB) LoadCase(ctx context.Context, id string) ([]byte, error) {
	return s.bytes(ctx, cases, id, "the case")
}

// Film implements state.Store.
func (s *DB) Film(ctx context.Context, sha256 string) ([]byte, error) {
	return s.bytes(ctx, films, sha256, "the film")
}

// Setting implements state.Store.
func (s *DB) Setting(ctx context.Context, key string) ([]byte, error) {
	v, err := s.bytes(ctx, settings, key, "the setting")
	var gone *state.MissingError
	if errors.As(err, &gone) {
		return nil, nil
	}
	return v, err
}

// bytes reads one Uint8Array. A missing key answers undefined and no error.
func (s *DB) bytes(ctx context.Context, store, key, what string) ([]byte, error) {
	var v js.Value
	err := s.do(ctx, read, func(x *txn) error {
		return x.get(store, key, func(got js.Value) error { v = got; return nil })
	}, store)
	if err != nil {
		return nil, err
	}
	if v.IsUndefined() {
		return nil, &state.MissingError{What: what}
	}
	b, err := toGo(v)
	if err != nil {
		return nil, &state.DamagedError{What: what, Cause: err}
	}
	letGo(v)
	return b, nil
}

// SaveCase implements state.Store.
func (s *DB) SaveCase(ctx context.Context, b state.Brief, data []byte, new map[string][]byte) error {
	p, err := prepare(ctx, b, data, new)
	if err != nil {
		return err
	}
	return p.done(s.do(ctx, write, p.issue, briefs, cases, films))
}

// ReplaceCase implements state.Store.
func (s *DB) ReplaceCase(ctx context.Context, b state.Brief, was, data []byte, new map[string][]byte) error {
	p, err := prepare(ctx, b, data, new)
	if err != nil {
		return err
	}
	return p.done(s.do(ctx, write, func(x *txn) error {
		return x.get(cases, b.ID, func(v js.Value) error {
			var now []byte
			if !v.IsUndefined() {
				var err error
				if now, err = toGo(v); err != nil {
					return &state.DamagedError{What: "the case", Cause: err}
				}
			}
			if (now == nil) != (was == nil) || !bytes.Equal(now, was) {
				return &state.ChangedError{ID: b.ID, Stored: now}
			}
			return p.issue(x)
		})
	}, briefs, cases, films))
}

// A parcel is a case made ready for the browser before the transaction
// begins, so that nothing is waited for inside it.
type parcel struct {
	id    string
	brief js.Value
	data  js.Value
	films map[string]js.Value
}

func prepare(ctx context.Context, b state.Brief, data []byte, new map[string][]byte) (p parcel, err error) {
	if err := ctx.Err(); err != nil {
		return p, err
	}
	text, err := json.Marshal(b)
	if err != nil {
		return p, err
	}
	err = guard(func() error {
		p = parcel{id: b.ID, brief: js.ValueOf(string(text)), data: toJS(data), films: map[string]js.Value{}}
		for sum, film := range new {
			p.films[sum] = toJS(film)
		}
		return nil
	})
	if err != nil {
		return p, &state.FullError{Cause: err} // no memory for the copy
	}
	return p, nil
}

// done gives back the memory of the films once they are stored: a transaction
// that failed may still need them.
func (p parcel) done(err error) error {
	for _, film := range p.films {
		if err == nil {
			letGo(film)
		}
	}
	return err
}

func (p parcel) issue(x *txn) error {
	for sum, film := range p.films {
		if err := x.put(films, sum, film); err != nil {
			return err
		}
	}
	if err := x.put(cases, p.id, p.data); err != nil {
		return err
	}
	return x.put(briefs, p.id, p.brief)
}

// DeleteCase implements state.Store.
func (s *DB) DeleteCase(ctx context.Context, id string) error {
	return s.do(ctx, write, func(x *txn) error {
		if err := x.remove(cases, id); err != nil {
			return err
		}
		return x.remove(briefs, id)
	}, briefs, cases)
}

// Sweep implements state.Store. A brief that cannot be read may name films
// that nobody can know of: then nothing is swept.
func (s *DB) Sweep(ctx context.Context, keep map[string]bool) error {
	return s.do(ctx, write, func(x *txn) error {
		named := map[string]bool{}
		unread := false
		return x.allBriefs(func(b state.Brief) error {
			unread = unread || b.Edited == ""
			for _, sum := range b.Films {
				named[sum] = true
			}
			return nil
		}, func() error {
			if unread {
				return nil
			}
			return x.keys(films, func(all []string) error {
				for _, sum := range all {
					if !named[sum] && !keep[sum] {
						if err := x.remove(films, sum); err != nil {
							return err
						}
					}
				}
				return nil
			})
		})
	}, briefs, films)
}

// SaveSetting implements state.Store.
func (s *DB) SaveSetting(ctx context.Context, key string, value []byte) error {
	return s.do(ctx, write, func(x *txn) error { return x.put(settings, key, toJS(value)) }, settings)
}

// toJS copies bytes into a Uint8Array.
func toJS(b []byte) js.Value {
	a := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(a, b)
	return a
}

// letGo gives the memory of an array back, without waiting for the collectors
// of both languages: a film is large.
func letGo(array js.Value) {
	if buffer := array.Get("buffer"); buffer.Get("transfer").Type() == js.TypeFunction { // since 2023–24
		buffer.Call("transfer", 0)
	}
}

var errNotBytes = errors.New("not bytes")

// toGo copies a Uint8Array into bytes that are never nil.
func toGo(v js.Value) (b []byte, err error) {
	err = guard(func() error {
		if v.Type() != js.TypeObject || !v.InstanceOf(js.Global().Get("Uint8Array")) {
			return errNotBytes
		}
		b = make([]byte, v.Length())
		if n := js.CopyBytesToGo(b, v); n != len(b) {
			return errNotBytes
		}
		return nil
	})
	return b, err
}
