package state_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"isthmus/app/state"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

var bg = context.Background()

var errBroken = errors.New("broken on purpose")

// clock gives a new second and a new identifier at each call.
type clock struct {
	mu sync.Mutex
	n  int
	id int
}

func (c *clock) Now() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.n++
	return fmt.Sprintf("2026-11-%02dT07:%02d:%02dZ", 1+c.n/3600, c.n/60%60, c.n%60)
}

func (c *clock) NewID() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.id++
	return fmt.Sprintf("%032x", c.id)
}

// decoder opens whatever does not begin with "bad".
type decoder struct{}

func (decoder) Open(ctx context.Context, file []byte, frame int, progress func(float64)) (state.Opened, error) {
	progress(0.5)
	if bytes.HasPrefix(file, []byte("heic")) {
		return state.Opened{}, unreadKind{}
	}
	if bytes.HasPrefix(file, []byte("bad")) {
		return state.Opened{}, errBroken
	}
	return state.Opened{Kind: "png", Frames: 1, Frame: frame, Width: 100, Height: 200}, ctx.Err()
}

// unreadKind is what the film worker says of a picture it does not read.
type unreadKind struct{}

func (unreadKind) Code() string  { return "radiograph-unsupported-picture" }
func (unreadKind) Error() string { return "this picture is HEIC" }

// hands takes files, or refuses them.
type hands struct {
	err  error
	name string
	data []byte
}

func (h *hands) Save(_ context.Context, name, _ string, data []byte) error {
	h.name, h.data = name, data
	return h.err
}

var clocks = &clock{}

func world(store state.Store) state.World {
	return state.World{Store: store, Decoder: decoder{}, Files: &hands{}, Clock: clocks}
}

// started returns a session over a store, started without complaint.
func started(t *testing.T, store state.Store) *state.Session {
	t.Helper()
	s := state.New(world(store))
	no(t, s.Start(bg))
	return s
}

func no(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// want fails the test unless err is of the type E.
func want[E error](t *testing.T, what string, err error) {
	t.Helper()
	var e E
	if !errors.As(err, &e) {
		t.Errorf("%s: %v, want %T", what, err, e)
	}
}

func label(text string) func(*record.Case) error {
	return func(c *record.Case) error { c.Label = text; return nil }
}

// rods is a two-rod reading that gives a bone of 950 − 520 = 430 mm.
func rods(c *record.Case) error {
	first, second := units.MM(950), units.MM(520)
	c.Side = "left"
	c.Injury.Code = "32A3(b)"
	c.Readings = append(c.Readings, record.Reading{
		ID: "r1", Kind: record.TwoRods, At: c.Edited, First: &first, Second: &second, Reduced: record.Yes, OnBone: record.Yes,
	})
	return nil
}

// open returns the label of the open case.
func openLabel(s *state.Session) string {
	c, ok := s.Case()
	if !ok {
		return "none open"
	}
	return c.Label
}

func hospital() implant.Shelf {
	s := implant.Teaching()
	s.Name, s.Teaching = "Theatre store", false
	return s
}

// broken is a Fail that refuses the calls named.
func broken(calls string) func(string) error {
	return func(call string) error {
		for c := range strings.FieldsSeq(calls) {
			if c == call {
				return errBroken
			}
		}
		return nil
	}
}
