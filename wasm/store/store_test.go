//go:build js && wasm

package store

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"testing"
	"time"

	"isthmus/app/state"
	"isthmus/app/state/storetest"
)

var bg = context.Background()

// These tests run under node with fake-indexeddb loaded before them (without
// it they fail, none is left out), and as they are in a browser.
func TestContract(t *testing.T) {
	storetest.Run(t, func(t *testing.T) state.Store {
		return fresh(t)
	})
}

// fresh opens the database of this test, which goes away with it.
func fresh(t *testing.T) *DB {
	s := Open(t.Name())
	t.Cleanup(func() {
		s.Close()
		js.Global().Get("indexedDB").Call("deleteDatabase", s.name)
	})
	return s
}

// raw opens a database behind the store's back and does not answer
// versionchange.
func raw(t *testing.T, name string, version int, upgrade func(db js.Value)) js.Value {
	t.Helper()
	req := js.Global().Get("indexedDB").Call("open", name, version)
	got := make(chan js.Value, 1)
	up := js.FuncOf(func(js.Value, []js.Value) any { upgrade(req.Get("result")); return nil })
	ok := js.FuncOf(func(js.Value, []js.Value) any { got <- req.Get("result"); return nil })
	bad := js.FuncOf(func(js.Value, []js.Value) any { got <- js.Null(); return nil })
	req.Set("onupgradeneeded", up)
	req.Set("onsuccess", ok)
	req.Set("onerror", bad)
	t.Cleanup(func() { up.Release(); ok.Release(); bad.Release() })
	db := <-got
	if db.IsNull() {
		t.Fatalf("opening %s behind the back failed: %v", name, req.Get("error"))
	}
	return db
}

// An older tab that does not let go: the message comes at once, and after
// the other tab is closed everything works, with all stores made.
func TestBlocked(t *testing.T) {
	old := raw(t, t.Name(), 1, func(db js.Value) { db.Call("createObjectStore", cases) })
	s := fresh(t)
	s.version = 2
	opened := countOpens(t)
	for range 3 { // as at a start, which asks for several things in a row
		var blocked *state.BlockedError
		if _, err := s.Cases(bg); !errors.As(err, &blocked) || blocked.Outdated {
			t.Fatalf("with the older tab open: %v, want a BlockedError", err)
		}
	}
	if n := opened(); n != 1 {
		t.Errorf("%d requests to open wait behind one another, want 1", n)
	}
	old.Call("close")
	if err := s.SaveCase(bg, state.Brief{ID: "a"}, []byte("a"), nil); err != nil {
		t.Fatalf("after the other tab was closed: %v", err)
	}
	if list, err := s.Cases(bg); err != nil || len(list) != 1 {
		t.Errorf("list = %v, %v, want one case", list, err)
	}
}

// countOpens counts the requests to open a database.
func countOpens(t *testing.T) func() int {
	t.Helper()
	replaceGlobal(t, "indexedDB", js.Global().Get("Function").New("real", `globalThis.opens = 0; return {
		open(...a) { opens++; return real.open(...a); },
	}`).Invoke(js.Global().Get("indexedDB")))
	return func() int { return js.Global().Get("opens").Int() }
}

// This tab is the older one: its connection is closed by the newer tab, and
// it says so instead of failing for ever.
func TestOutdated(t *testing.T) {
	s := fresh(t)
	if err := s.SaveSetting(bg, "k", []byte("v")); err != nil {
		t.Fatal(err)
	}
	newer := raw(t, t.Name(), 2, func(js.Value) {})
	defer newer.Call("close")
	var blocked *state.BlockedError
	if err := s.SaveSetting(bg, "k", []byte("w")); !errors.As(err, &blocked) || !blocked.Outdated {
		t.Errorf("in the older tab: %v, want a BlockedError that says outdated", err)
	}
}

// The phone slept and the connection is gone: opened again, tried once more.
func TestLostConnection(t *testing.T) {
	s := fresh(t)
	if err := s.SaveSetting(bg, "k", []byte("v")); err != nil {
		t.Fatal(err)
	}
	first := s.conn
	first.raw.Call("close")
	v, err := s.Setting(bg, "k")
	if err != nil || string(v) != "v" {
		t.Errorf("after the connection was lost = %q, %v, want v", v, err)
	}
	if s.conn == first {
		t.Error("the lost connection is still in use")
	}
}

// replaceGlobal puts something else in the place of a global for one test.
func replaceGlobal(t *testing.T, name string, v any) {
	t.Helper()
	object, global := js.Global().Get("Object"), js.Global()
	was := object.Call("getOwnPropertyDescriptor", global, name) // in a browser it is an accessor
	object.Call("defineProperty", global, name, map[string]any{"value": v, "configurable": true, "writable": true})
	t.Cleanup(func() {
		if global.Get("Reflect").Call("deleteProperty", global, name); was.Truthy() {
			object.Call("defineProperty", global, name, was)
		}
	})
}

func TestNoStorage(t *testing.T) {
	throwing := js.Global().Get("Object").New()
	throws := js.Global().Get("Function").New("throw new Error('denied')")
	throwing.Set("open", throws)
	odd := js.Global().Get("Object").New()
	odd.Set("open", js.Global().Get("Function").New("return {}"))
	for _, tt := range []struct {
		name  string
		value any
	}{
		{"there is none", js.Undefined()},
		{"it throws", throwing},
		{"it answers with something else", odd},
	} {
		t.Run(tt.name, func(t *testing.T) {
			replaceGlobal(t, "indexedDB", tt.value)
			s := Open(t.Name())
			var none *state.UnavailableError
			if _, err := s.Cases(bg); !errors.As(err, &none) {
				t.Errorf("Cases = %v, want an UnavailableError", err)
			}
			if err := s.SaveSetting(bg, "k", nil); !errors.As(err, &none) {
				t.Errorf("SaveSetting = %v, want an UnavailableError", err)
			}
		})
	}
}

// A storage that never answers ends in a sentence, and a caller who stops
// waiting hears of it.
func TestNeverAnswers(t *testing.T) {
	real := js.Global().Get("indexedDB")
	mute := js.Global().Get("Object").New()
	// a real request whose events never reach a listener
	mute.Set("open", js.Global().Get("Function").New("real", `return (name, version) => {
		const r = real.open(name, version);
		r.addEventListener = () => {};
		return r;
	}`).Invoke(real))
	replaceGlobal(t, "indexedDB", mute)
	s := Open(t.Name())
	var none *state.UnavailableError
	if _, err := s.Cases(bg); !errors.As(err, &none) || !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("Cases = %v, want an UnavailableError for want of time", err)
	}
	ctx, cancel := context.WithCancel(bg)
	time.AfterFunc(time.Millisecond, cancel)
	if _, err := s.Cases(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Cases = %v, want context.Canceled", err)
	}
}

// throwOn makes a method of IndexedDB throw a DOMException by name.
func throwOn(t *testing.T, class, method, name string) {
	t.Helper()
	proto := js.Global().Get(class).Get("prototype")
	was := proto.Get(method)
	proto.Set(method, js.Global().Get("Function").New(fmt.Sprintf("throw new DOMException('test', %q)", name)))
	t.Cleanup(func() { proto.Set(method, was) })
}

func TestThrownErrors(t *testing.T) {
	s := fresh(t)
	save := func(data string) error {
		return s.SaveCase(bg, state.Brief{ID: "a", Edited: "2026-01-01T00:00:00Z"}, []byte(data), map[string][]byte{data: []byte(data)})
	}
	if err := save("one"); err != nil {
		t.Fatal(err)
	}
	t.Run("quota, thrown by put", func(t *testing.T) {
		throwOn(t, "IDBObjectStore", "put", "QuotaExceededError")
		var full *state.FullError
		if err := save("two"); !errors.As(err, &full) {
			t.Errorf("save = %v, want a FullError", err)
		}
	})
	t.Run("gone for good", func(t *testing.T) {
		throwOn(t, "IDBDatabase", "transaction", "InvalidStateError")
		var none *state.UnavailableError
		if err := save("three"); !errors.As(err, &none) {
			t.Errorf("save = %v, want an UnavailableError", err)
		}
	})
	v, err := s.LoadCase(bg, "a")
	if err != nil || string(v) != "one" {
		t.Errorf("after failed writes the case is %q, %v, want what was stored before", v, err)
	}
	if _, err := s.Film(bg, "two"); err == nil {
		t.Error("the film of a failed write is there")
	}
	if err := save("four"); err != nil {
		t.Errorf("a later save = %v, want it written", err)
	}
}

// The disk is found full only when the transaction ends: the put says yes,
// the transaction aborts with QuotaExceededError.
func TestQuotaAtCommit(t *testing.T) {
	s := fresh(t)
	if err := s.SaveSetting(bg, "k", []byte("v")); err != nil {
		t.Fatal(err)
	}
	// as browsers do: abort after the last request has succeeded
	proto := js.Global().Get("IDBObjectStore").Get("prototype")
	was := proto.Get("put")
	proto.Set("put", js.Global().Get("Function").New("was", `return function (value, key) {
		const r = was.call(this, value, key), t = this.transaction;
		r.addEventListener("success", () => {
			Object.defineProperty(t, "error", {value: new DOMException("test", "QuotaExceededError"), configurable: true});
			t.abort();
		});
		return r;
	}`).Invoke(was))
	err := s.SaveSetting(bg, "k", []byte("w"))
	proto.Set("put", was)
	var full *state.FullError
	if !errors.As(err, &full) {
		t.Errorf("save = %v, want a FullError", err)
	}
	if v, err := s.Setting(bg, "k"); err != nil || string(v) != "v" {
		t.Errorf("setting = %q, %v, want the old one", v, err)
	}
}

// Something else under our key is damage, said and left alone; an unreadable
// brief is listed, and nothing is swept while it is there.
func TestDamaged(t *testing.T) {
	s := fresh(t)
	film := map[string][]byte{"f": []byte("film")}
	if err := s.SaveCase(bg, state.Brief{ID: "a", Edited: "2026-01-01T00:00:00Z"}, []byte("a"), film); err != nil {
		t.Fatal(err)
	}
	err := s.do(bg, write, func(x *txn) error {
		if err := x.put(cases, "a", js.ValueOf("a string")); err != nil {
			return err
		}
		return x.put(briefs, "a", js.ValueOf("{"))
	}, cases, briefs)
	if err != nil {
		t.Fatal(err)
	}
	var damaged *state.DamagedError
	if _, err := s.LoadCase(bg, "a"); !errors.As(err, &damaged) {
		t.Errorf("LoadCase = %v, want a DamagedError", err)
	}
	if list, err := s.Cases(bg); err != nil || len(list) != 1 || list[0].ID != "a" {
		t.Errorf("list = %v, %v, want the unreadable case in it", list, err)
	}
	if err := s.Sweep(bg, nil); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Film(bg, "f"); err != nil {
		t.Errorf("film after a sweep beside an unreadable brief: %v, want it kept", err)
	}
}

// A write that is given up from inside is not called saved, though all its
// requests answered.
func TestGivenUp(t *testing.T) {
	s := fresh(t)
	err := s.do(bg, write, func(x *txn) error {
		if err := x.put(settings, "k", toJS([]byte("v"))); err != nil {
			return err
		}
		return x.get(settings, "k", func(js.Value) error { return errAborted })
	}, settings)
	var none *state.UnavailableError
	if !errors.As(err, &none) || !errors.Is(err, errAborted) {
		t.Errorf("do = %v, want errAborted", err)
	}
	if v, err := s.Setting(bg, "k"); v != nil || err != nil {
		t.Errorf("setting = %q, %v, want none", v, err)
	}
}

func TestPersistAnswers(t *testing.T) {
	for _, tt := range []struct {
		name, body string
		want       bool
	}{
		{"granted", "return Promise.resolve(true)", true},
		{"refused", "return Promise.resolve(false)", false},
		{"fails", "return Promise.reject(new Error('no'))", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			nav, st := js.Global().Get("Object").New(), js.Global().Get("Object").New()
			st.Set("persist", js.Global().Get("Function").New(tt.body))
			nav.Set("storage", st)
			replaceGlobal(t, "navigator", nav)
			if got, err := Open(t.Name()).Persist(bg); got != tt.want || err != nil {
				t.Errorf("Persist = %v, %v, want %v", got, err, tt.want)
			}
		})
	}
}
