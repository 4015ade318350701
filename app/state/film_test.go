package state_test

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"isthmus/app/state"
)

func TestAddFilm(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	_, _, err := s.AddFilm(bg, []byte("film"), nil)
	want[*state.NoCaseError](t, "without a case", err)
	_, err = s.NewCase(bg, "one")
	no(t, err)
	seen := 0.0
	for i, film := range []string{"film one", "film two"} {
		at, o, err := s.AddFilm(bg, []byte(film), func(done float64) { seen = done })
		no(t, err)
		if at != i || o.Width != 100 || seen != 0.5 {
			t.Errorf("AddFilm = %d, %+v, progress %v", at, o, seen)
		}
	}
	_, _, err = s.AddFilm(bg, []byte("film two"), nil)
	var twice *state.DuplicateFilmError
	if !errors.As(err, &twice) || twice.Index != 1 {
		t.Errorf("the same file = %v, want a DuplicateFilmError of film 1", err)
	}
	if _, _, err = s.AddFilm(bg, []byte("bad"), nil); !errors.Is(err, errBroken) {
		t.Errorf("what cannot be decoded = %v", err)
	}
	c, _ := s.Case()
	if len(c.Films) != 2 || c.Films[1].SHA256 != hash([]byte("film two")) || c.Films[1].Bytes != 8 || c.Films[1].Height != 200 {
		t.Errorf("films = %+v", c.Films)
	}
	no(t, s.Flush(bg))
	for _, film := range []string{"film one", "film two"} {
		if got, err := m.Film(bg, hash([]byte(film))); err != nil || string(got) != film {
			t.Errorf("stored film %q, %v", got, err)
		}
	}
	if _, err := m.Film(bg, hash([]byte("bad"))); err == nil {
		t.Error("a film that was refused is stored")
	}
	for _, i := range []int{-1, 2} {
		_, err := s.ShowFilm(bg, i, nil)
		want[*state.NoFilmError](t, "ShowFilm", err)
		want[*state.NoFilmError](t, "RemoveFilm", s.RemoveFilm(i))
	}
}

// Only the cleaned film is ever stored, under its own hash.
func TestFilmIsCleaned(t *testing.T) {
	m := state.NewMemory()
	w := world(m)
	w.Clean = func(file []byte) ([]byte, error) {
		if bytes.HasPrefix(file, []byte("odd")) {
			return nil, errBroken
		}
		return bytes.ReplaceAll(file, []byte("DOE"), []byte("   ")), nil
	}
	s := state.New(w)
	no(t, s.Start(bg))
	_, err := s.NewCase(bg, "one")
	no(t, err)
	_, _, err = s.AddFilm(bg, []byte("film of DOE"), nil)
	no(t, err)
	no(t, s.Flush(bg))
	clean, dirty := []byte("film of    "), []byte("film of DOE")
	if got, err := m.Film(bg, hash(clean)); err != nil || !bytes.Equal(got, clean) {
		t.Errorf("stored film %q, %v, want the clean one", got, err)
	}
	if _, err := m.Film(bg, hash(dirty)); err == nil {
		t.Error("the film as it came is stored")
	}
	_, data, err := s.Export(bg, true)
	no(t, err)
	if bytes.Contains(data, []byte("DOE")) {
		t.Error("the export holds the name")
	}
	if _, _, err = s.AddFilm(bg, []byte("odd"), nil); !errors.Is(err, errBroken) {
		t.Errorf("a film that cannot be cleaned = %v, want it refused", err)
	}
	if c, _ := s.Case(); len(c.Films) != 1 {
		t.Errorf("the case has %d films, want 1", len(c.Films))
	}
}

// A picture that only the device reads is kept in the form it was turned
// into; where the device cannot, the decoder's own sentence is said.
func TestFilmIsConverted(t *testing.T) {
	for _, tt := range []struct {
		name    string
		convert func(context.Context, []byte) ([]byte, error)
		ok      bool
	}{
		{"no converter", nil, false},
		{"the device cannot", func(context.Context, []byte) ([]byte, error) { return nil, errBroken }, false},
		{"the device turns it into the same", func(context.Context, []byte) ([]byte, error) { return []byte("heic"), nil }, false},
		{"the device can", func(context.Context, []byte) ([]byte, error) { return []byte("a jpeg"), nil }, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m := state.NewMemory()
			w := world(m)
			w.Convert = tt.convert
			s := state.New(w)
			no(t, s.Start(bg))
			_, err := s.NewCase(bg, "one")
			no(t, err)
			_, o, err := s.AddFilm(bg, []byte("heic from a phone"), nil)
			no(t, s.Flush(bg))
			_, kept := m.Film(bg, hash([]byte("a jpeg")))
			if !tt.ok {
				want[unreadKind](t, "AddFilm", err)
			} else if err != nil || kept != nil || len(o.Warnings) != 1 {
				t.Errorf("AddFilm = %+v, %v; the converted film: %v", o, err, kept)
			}
			if _, err := m.Film(bg, hash([]byte("heic from a phone"))); err == nil {
				t.Error("the picture as it came is stored")
			}
		})
	}
}

// The store is full: the film stays in memory, can be looked at and exported,
// and is saved with the case as soon as there is room.
func TestFilmThatDoesNotFit(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	_, err := s.NewCase(bg, "one")
	no(t, err)
	no(t, s.Flush(bg))
	m.Quota = 2000
	film := make([]byte, 4000)
	_, _, err = s.AddFilm(bg, film, nil)
	no(t, err)
	want[*state.FullError](t, "Flush", s.Flush(bg))
	if _, err := s.ShowFilm(bg, 0, nil); err != nil {
		t.Errorf("ShowFilm = %v, want the film from memory", err)
	}
	if _, _, err := s.Export(bg, true); err != nil {
		t.Errorf("Export = %v", err)
	}
	m.Quota = 0
	no(t, s.Flush(bg))
	if _, err := m.Film(bg, hash(film)); err != nil {
		t.Errorf("after there was room: %v", err)
	}
}

// Undo of adding and of removing a film, before and after it is saved.
func TestFilmUndo(t *testing.T) {
	for _, flush := range []bool{false, true} {
		s := started(t, state.NewMemory())
		_, err := s.NewCase(bg, "one")
		no(t, err)
		_, _, err = s.AddFilm(bg, []byte("film"), nil)
		no(t, err)
		for _, step := range []func() bool{s.Undo, s.Redo, func() bool { return s.RemoveFilm(0) == nil }, s.Undo} {
			if flush {
				no(t, s.Flush(bg))
			}
			if !step() {
				t.Fatal("a step did nothing")
			}
		}
		no(t, s.Flush(bg))
		if _, err := s.ShowFilm(bg, 0, nil); err != nil {
			t.Errorf("flush %v: %v", flush, err)
		}
	}
}

func TestDamagedAndMissingFilm(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	id, err := s.NewCase(bg, "one")
	no(t, err)
	_, _, err = s.AddFilm(bg, []byte("film"), nil)
	no(t, err)
	no(t, s.Flush(bg))
	data, err := m.LoadCase(bg, id)
	no(t, err)
	no(t, m.SaveCase(bg, s.Briefs()[0], data, map[string][]byte{hash([]byte("film")): []byte("mlif")}))
	_, err = s.ShowFilm(bg, 0, nil)
	want[*state.DamagedError](t, "ShowFilm", err)
	no(t, m.SaveCase(bg, state.Brief{ID: id, Edited: "2026-01-01T00:00:00Z"}, data, nil))
	no(t, m.Sweep(bg, nil))
	_, err = s.ShowFilm(bg, 0, nil)
	want[*state.MissingError](t, "ShowFilm", err)
	_, _, err = s.Export(bg, true)
	want[*state.MissingError](t, "Export with films", err)
	if _, _, err = s.Export(bg, false); err != nil {
		t.Errorf("Export without films = %v", err)
	}
}
