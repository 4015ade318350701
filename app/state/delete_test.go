package state_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"isthmus/app/state"
)

func TestDeleteAndBringBack(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	id, err := s.NewCase(bg, "one")
	no(t, err)
	_, _, err = s.AddFilm(bg, []byte("film"), nil)
	no(t, err)
	no(t, s.Flush(bg))
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
