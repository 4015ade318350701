package state_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"reflect"
	"slices"
	"sync"
	"testing"

	"isthmus/app/state"
	"isthmus/core/record"
)

func hash(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// A full disk: the case stays in memory and on the list, the status says so,
// another case can be worked on, and once there is room all is saved.
func TestFullDisk(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	id, err := s.NewCase(bg, "first")
	no(t, err)
	no(t, s.Flush(bg))
	m.Quota = 1
	no(t, s.Do("rename", label("unsaved")))
	want[*state.FullError](t, "Flush", s.Flush(bg))
	st := s.Status()
	want[*state.FullError](t, "Status", st.Err)
	if st.State != state.NotSaved || st.Unsaved != 1 {
		t.Errorf("status = %+v, want one not saved", st)
	}
	_, err = s.NewCase(bg, "second")
	no(t, err)
	want[*state.FullError](t, "Flush", s.Flush(bg))
	if got := labels(s); !reflect.DeepEqual(got, []string{"second", "unsaved"}) {
		t.Errorf("list = %v, want both", got)
	}
	no(t, s.OpenCase(bg, id))
	if openLabel(s) != "unsaved" {
		t.Errorf("the first case is %q, want what was in memory", openLabel(s))
	}
	m.Quota = 0
	no(t, s.Flush(bg))
	if st := s.Status(); st.State != state.Saved || st.Err != nil {
		t.Errorf("status = %+v, want saved", st)
	}
	if got := labels(started(t, m)); !reflect.DeepEqual(got, []string{"second", "unsaved"}) {
		t.Errorf("stored list = %v, want both", got)
	}
}

func labels(s *state.Session) []string {
	var out []string
	for _, b := range s.Briefs() {
		out = append(out, b.Label)
	}
	return out
}

// script is a morning's work; every step may meet a store that fails. It
// returns the case as it should be at the end.
func script(t *testing.T, s *state.Session) record.Case {
	t.Helper()
	_, err := s.NewCase(bg, "one")
	no(t, err)
	_ = s.Flush(bg)
	no(t, s.Do("rods", rods))
	_ = s.Flush(bg)
	_, _, err = s.AddFilm(bg, []byte("film one"), nil)
	no(t, err)
	_, _, err = s.AddFilm(bg, []byte("film two"), nil)
	no(t, err)
	_ = s.Flush(bg)
	no(t, s.RemoveFilm(0))
	_ = s.Flush(bg)
	s.Undo()
	s.SetTyped("rod", "950")
	_ = s.Flush(bg)
	c, _ := s.Case()
	return c
}

// Whatever call fails, once or from then on, nothing in memory is lost, and
// when the store works again all of it is saved.
func TestEveryCallMayFail(t *testing.T) {
	for _, call := range []string{"ReplaceCase", "SaveSetting", "Persist", "Sweep", "Film", "Cases", "LoadCase", "Setting", "any"} {
		for from := range 12 {
			for _, once := range []bool{true, false} {
				m := state.NewMemory()
				s := started(t, m)
				no(t, s.Flush(bg))
				n := 0
				m.Fail = func(c string) error {
					if c != call && call != "any" {
						return nil
					}
					n++
					if n-1 == from || n-1 > from && !once {
						return &state.FullError{Cause: errBroken}
					}
					return nil
				}
				want := script(t, s)
				m.Fail = nil
				no(t, s.Flush(bg))
				if st := s.Status(); st.State != state.Saved {
					t.Fatalf("%s failing from call %d: status %+v", call, from, st)
				}
				same(t, call, m, want)
			}
		}
	}
}

// same fails unless a new session over the store finds the case and its films.
func same(t *testing.T, when string, m *state.Memory, want record.Case) {
	t.Helper()
	s := started(t, m.Copy())
	no(t, s.OpenCase(bg, want.ID))
	if got, _ := s.Case(); !reflect.DeepEqual(got, want) {
		t.Fatalf("%s: stored %+v, want %+v", when, got, want)
	}
	for i := range want.Films {
		if _, err := s.ShowFilm(bg, i, nil); err != nil {
			t.Fatalf("%s: film %d: %v", when, i, err)
		}
	}
	if v, _ := s.Typed("rod"); v != "950" {
		t.Fatalf("%s: typed %q", when, v)
	}
}

// Killed at any instant, a new session finds one of the cases as they were
// saved, whole, with every film it names.
func TestKilledAtAnyInstant(t *testing.T) {
	m := state.NewMemory()
	var mu sync.Mutex
	var left []*state.Memory
	m.Fail = func(string) error {
		mu.Lock()
		defer mu.Unlock()
		left = append(left, m.Copy())
		return nil
	}
	s := started(t, m)
	final := script(t, s)
	left = append(left, m.Copy())
	if len(left) < 10 {
		t.Fatalf("only %d instants: this test shows nothing", len(left))
	}
	seen := map[string]bool{}
	for i, m := range left {
		s := started(t, m)
		no(t, s.Flush(bg))
		for _, b := range s.Briefs() {
			if err := s.OpenCase(bg, b.ID); err != nil {
				t.Fatalf("instant %d: %v", i, err)
			}
			c, _ := s.Case()
			seen[string(rune('0'+len(c.Readings)))+" "+string(rune('0'+len(c.Films)))] = true
			for f := range c.Films {
				if _, err := s.ShowFilm(bg, f, nil); err != nil {
					t.Errorf("instant %d, film %d: %v", i, f, err)
				}
			}
		}
	}
	for _, want := range []string{"0 0", "1 0", "1 2", "1 1"} { // readings and films, by hand from script
		if !seen[want] {
			t.Errorf("no instant left a case with %s readings and films; seen %v", want, seen)
		}
	}
	same(t, "at the end", m, final)
}

// Two tabs: the second to save does not write over the first; its work goes
// on as a second case.
func TestTwoTabs(t *testing.T) {
	m := state.NewMemory()
	one := started(t, m)
	id, err := one.NewCase(bg, "shared")
	no(t, err)
	_, _, err = one.AddFilm(bg, []byte("film"), nil)
	no(t, err)
	no(t, one.Flush(bg))
	two := started(t, m)
	no(t, two.OpenCase(bg, id))
	no(t, one.Do("rename", label("by one")))
	no(t, one.Flush(bg))
	no(t, two.Do("rename", label("by two")))
	err = two.Flush(bg)
	want[*state.ChangedError](t, "Flush", err)
	if st := two.Status(); st.State != state.NotSaved {
		t.Errorf("status = %+v, want not saved", st)
	}
	kept, err := two.KeepBoth(bg)
	no(t, err)
	if kept == id || openLabel(two) != "by two (2)" {
		t.Errorf("kept as %s %q, want a new ID and “by two (2)”", kept, openLabel(two))
	}
	if _, err := two.ShowFilm(bg, 0, nil); err != nil {
		t.Errorf("the film of the second case: %v", err)
	}
	for _, s := range []*state.Session{two, started(t, m)} {
		if got := labels(s); len(got) != 2 || !slices.Contains(got, "by one") || !slices.Contains(got, "by two (2)") {
			t.Errorf("list = %v, want both", got)
		}
	}
	no(t, one.Do("rename", label("by one again")))
	no(t, one.Flush(bg))
}

// A case that was closed before it was saved is read anew when it is opened,
// with what another tab did to it.
func TestOpenedAnew(t *testing.T) {
	m := state.NewMemory()
	one := started(t, m)
	id, err := one.NewCase(bg, "shared")
	no(t, err)
	one.CloseCase()
	no(t, one.Flush(bg))
	two := started(t, m)
	no(t, two.OpenCase(bg, id))
	no(t, two.Do("rename", label("by two")))
	no(t, two.Flush(bg))
	no(t, one.OpenCase(bg, id))
	if openLabel(one) != "by two" {
		t.Errorf("opened %q, want what the other tab saved", openLabel(one))
	}
}

// Deleted in one tab, edited in the other: said, and kept when asked.
func TestDeletedElsewhere(t *testing.T) {
	m := state.NewMemory()
	one := started(t, m)
	id, err := one.NewCase(bg, "shared")
	no(t, err)
	no(t, one.Flush(bg))
	two := started(t, m)
	no(t, two.DeleteCase(bg, id))
	no(t, one.Do("rename", label("still wanted")))
	var changed *state.ChangedError
	if err := one.Flush(bg); !errors.As(err, &changed) || changed.Stored != nil || changed.Code() != "store-deleted-elsewhere" {
		t.Errorf("Flush = %v, want a ChangedError that says deleted", err)
	}
	_, err = one.KeepBoth(bg)
	no(t, err)
	if got := labels(started(t, m)); len(got) != 1 {
		t.Errorf("list = %v, want the kept one", got)
	}
}

// late is a store whose writes arrive and whose answers do not.
type late struct {
	*state.Memory
	lose bool
}

func (l *late) ReplaceCase(ctx context.Context, b state.Brief, was, data []byte, films map[string][]byte) error {
	err := l.Memory.ReplaceCase(ctx, b, was, data, films)
	if l.lose {
		return context.DeadlineExceeded
	}
	return err
}

// A write that arrived though its answer was lost is our own, not another
// tab's: the next saving goes over it.
func TestLostAnswers(t *testing.T) {
	l := &late{Memory: state.NewMemory()}
	s := started(t, l)
	_, err := s.NewCase(bg, "one")
	no(t, err)
	no(t, s.Flush(bg))
	l.lose = true
	for _, name := range []string{"two", "three"} {
		no(t, s.Do("rename", label(name)))
		if err := s.Flush(bg); err == nil {
			t.Fatal("a lost answer counts as saved")
		}
	}
	l.lose = false
	no(t, s.Do("rename", label("four")))
	no(t, s.Flush(bg))
	if got := labels(started(t, l)); !reflect.DeepEqual(got, []string{"four"}) {
		t.Errorf("list = %v, want four", got)
	}
}

func TestFlushWaitsNoLongerThanAsked(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	release := make(chan struct{})
	m.Fail = func(call string) error {
		if call == "ReplaceCase" {
			<-release
		}
		return nil
	}
	_, err := s.NewCase(bg, "one")
	no(t, err)
	if st := s.Status(); st.State != state.Saving {
		t.Errorf("status = %+v while the store writes, want saving", st)
	}
	ctx, cancel := context.WithCancel(bg)
	cancel()
	if err := s.Flush(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Flush = %v, want context.Canceled", err)
	}
	close(release)
	no(t, s.Flush(bg))
	if st := s.Status(); st.State != state.Saved || !st.Asked || !st.Granted {
		t.Errorf("status = %+v, want saved, asked and granted", st)
	}
}
