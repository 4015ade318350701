package state

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"isthmus/core/implant"
)

const (
	// startLimit leaves the screen time to speak within 5 s.
	startLimit = 4500 * time.Millisecond
	// saveLimit is for one call of the store: a film of 20 MB on a slow phone.
	saveLimit = 60 * time.Second
	// keepRemoved is how long a film stays after its last case let go of it,
	// so that an undo, here or in another tab, still finds it.
	keepRemoved = 24 * time.Hour

	shelfKey = "shelf"
	probeKey = "probe"
)

// contents is what the store held at the start.
type contents struct {
	works   error // of the writing and reading back
	list    []Brief
	shelf   implant.Shelf
	typed   map[string]string
	removed map[string]string
	err     error // the first thing that could not be read
}

// Start reads the list of cases, the shelf (the teaching set when none was
// stored) and what was typed, and tries whether saving works by writing
// something and reading it back. It returns within 5 s, whatever the store
// does. An error says what does not work; the session can be used all the
// same, in memory, and Start may be called again.
//
// A stored shelf that cannot be read is not replaced by the teaching set:
// the shelf is then empty, nothing fits, and the error says why.
func (s *Session) Start(ctx context.Context) error {
	f, err := within(ctx, startLimit, s.read)
	s.mu.Lock()
	s.works = err
	if err == nil {
		s.works, s.list, s.shelf = f.works, f.list, f.shelf
		s.typed.load(f.typed)
		s.removed.load(f.removed)
		s.replan()
	}
	if err == nil && f.works == nil && f.err == nil {
		s.sweep = s.keep()
		s.kick()
	}
	s.mu.Unlock()
	s.changed()
	switch {
	case err != nil:
		return err
	case f.works != nil:
		return f.works
	}
	return f.err
}

// read asks the store for everything; what fails is left out and named.
func (s *Session) read(ctx context.Context) (f contents, err error) {
	f.works = s.probe(ctx)
	f.shelf = implant.Teaching()
	note := func(err error) {
		if err != nil && f.err == nil && (f.works == nil || err.Error() != f.works.Error()) {
			f.err = err
		}
	}
	f.list, err = s.w.Store.Cases(ctx)
	note(err)
	b, err := s.w.Store.Setting(ctx, shelfKey)
	note(err)
	if b != nil {
		if f.shelf, err = implant.ParseJSON(b); err != nil {
			note(&DamagedError{What: "your shelf", Cause: err})
		}
	}
	f.typed, err = s.words(ctx, s.typed.key)
	note(err)
	f.removed, err = s.words(ctx, s.removed.key)
	note(err)
	return f, ctx.Err()
}

// probe writes something new and reads it back.
func (s *Session) probe(ctx context.Context) error {
	want := s.NewID()
	if err := s.w.Store.SaveSetting(ctx, probeKey, []byte(want)); err != nil {
		return err
	}
	got, err := s.w.Store.Setting(ctx, probeKey)
	switch {
	case err != nil:
		return err
	case string(got) != want:
		return &UnavailableError{Cause: errors.New("what was written did not come back")}
	}
	return nil
}

// words reads a setting that is a map of words. Nil means that it could not
// be read; it is then never written over.
func (s *Session) words(ctx context.Context, key string) (map[string]string, error) {
	b, err := s.w.Store.Setting(ctx, key)
	if err != nil {
		return nil, err
	}
	m := map[string]string{}
	if b == nil {
		return m, nil
	}
	if err := json.Unmarshal(b, &m); err != nil || m == nil {
		return map[string]string{}, nil // scratch: better empty than in the way
	}
	return m, nil
}

// keep returns the films that were taken out of a case less than a day ago;
// the lock is held. A time that cannot be read counts from now.
func (s *Session) keep() map[string]bool {
	now, err := time.Parse(time.RFC3339, s.Now())
	keep := map[string]bool{}
	for sum, when := range s.removed.words {
		at, bad := time.Parse(time.RFC3339, when)
		switch {
		case err != nil:
			keep[sum] = true
		case bad != nil:
			s.removed.set(sum, s.Now())
			keep[sum] = true
		case now.Sub(at) < keepRemoved:
			keep[sum] = true
		default:
			s.removed.set(sum, "")
		}
	}
	return keep
}

func asError(r any) error {
	if err, ok := r.(error); ok {
		return err
	}
	return fmt.Errorf("%v", r)
}
