package state_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"reflect"
	"slices"
	"strings"
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

func TestDeleteAndBringBack(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	id, err := s.NewCase(bg, "one")
	no(t, err)
	_, _, err = s.AddFilm(bg, []byte("film"), nil)
	no(t, err)
	want[*state.NothingDeletedError](t, "UndoDelete before", s.UndoDelete(bg))
	no(t, s.DeleteCase(bg, id))
	if _, open := s.Case(); open || len(labels(s)) != 0 {
		t.Error("the deleted case is still there")
	}
	if _, err := m.LoadCase(bg, id); err == nil {
		t.Error("the deleted case is still stored")
	}
	want[*state.MissingError](t, "delete it again", s.DeleteCase(bg, id))
	no(t, s.UndoDelete(bg))
	no(t, s.OpenCase(bg, id))
	if _, err := s.ShowFilm(bg, 0, nil); err != nil || openLabel(s) != "one" {
		t.Errorf("brought back as %q, film %v", openLabel(s), err)
	}
	want[*state.NothingDeletedError](t, "UndoDelete after", s.UndoDelete(bg))
}

func TestBringBackEnds(t *testing.T) {
	for _, tt := range []struct {
		name string
		ops  int
		ok   bool
	}{{"nine more things", 9, true}, {"ten more", 10, true}, {"eleven more", 11, false}} {
		t.Run(tt.name, func(t *testing.T) {
			s := started(t, state.NewMemory())
			id, err := s.NewCase(bg, "goes")
			no(t, err)
			_, err = s.NewCase(bg, "stays")
			no(t, err)
			no(t, s.DeleteCase(bg, id))
			for i := range tt.ops {
				no(t, s.Do("rename", label(strings.Repeat("x", i+1))))
			}
			if err := s.UndoDelete(bg); (err == nil) != tt.ok {
				t.Errorf("UndoDelete = %v", err)
			}
		})
	}
}

func TestDeleteFails(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	id, err := s.NewCase(bg, "one")
	no(t, err)
	no(t, s.Flush(bg))
	m.Fail = broken("DeleteCase")
	if err := s.DeleteCase(bg, id); !errors.Is(err, errBroken) {
		t.Errorf("DeleteCase = %v, want the store's error", err)
	}
	m.Fail = nil
	no(t, s.Do("rename", label("still editable")))
	no(t, s.Flush(bg))
	if got := labels(started(t, m)); !reflect.DeepEqual(got, []string{"still editable"}) {
		t.Errorf("list = %v, want the case", got)
	}
}

// A case that cannot be read, damaged or from a newer version, is not opened;
// it can be deleted and brought back as it was.
func TestUnreadableCase(t *testing.T) {
	m := state.NewMemory()
	const id = "0123456789abcdef0123456789abcdef"
	raw := []byte("{not a case")
	no(t, m.SaveCase(bg, state.Brief{ID: id, Label: "hurt", Edited: "2026-01-01T00:00:00Z"}, raw, nil))
	s := started(t, m)
	want[*state.DamagedError](t, "OpenCase", s.OpenCase(bg, id))
	no(t, s.DeleteCase(bg, id))
	no(t, s.UndoDelete(bg))
	if got, err := m.LoadCase(bg, id); err != nil || string(got) != string(raw) {
		t.Errorf("brought back %q, %v, want it as it was", got, err)
	}
	if got := labels(s); !reflect.DeepEqual(got, []string{"hurt"}) {
		t.Errorf("list = %v", got)
	}
}

// A film no case names goes at a start, but not before a day has passed.
func TestSweepAtStart(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	_, err := s.NewCase(bg, "one")
	no(t, err)
	film := []byte("film")
	_, _, err = s.AddFilm(bg, film, nil)
	no(t, err)
	no(t, s.Flush(bg))
	no(t, s.RemoveFilm(0))
	no(t, s.Flush(bg))
	for _, tt := range []struct {
		name, now string
		there     bool
	}{
		{"a minute later", "2026-11-01T08:00:00Z", true},
		{"a clock that cannot be read", "soon", true},
		{"two days later", "2026-12-31T00:00:00Z", false},
	} {
		w := world(m)
		w.Clock = fixed(tt.now)
		again := state.New(w)
		no(t, again.Start(bg))
		no(t, again.Flush(bg))
		if _, err := m.Film(bg, hash(film)); (err == nil) != tt.there {
			t.Errorf("%s: the film: %v, want there %v", tt.name, err, tt.there)
		}
	}
}

type fixed string

func (f fixed) Now() string   { return string(f) }
func (f fixed) NewID() string { return clocks.NewID() }
