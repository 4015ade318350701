package state_test

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"isthmus/app/state"
	"isthmus/core/record"
)

// made returns a session with a planned case that has two films, and its file.
func made(t *testing.T, withFilms bool) (s *state.Session, name string, data []byte) {
	t.Helper()
	s = started(t, state.NewMemory())
	_, err := s.NewCase(bg, "Théâtre 2 / Tuesday: left")
	no(t, err)
	no(t, s.Do("rods", rods))
	for _, film := range []string{"film one", "film two"} {
		_, _, err := s.AddFilm(bg, []byte(film), nil)
		no(t, err)
	}
	no(t, s.Flush(bg))
	name, data, err = s.Export(bg, withFilms)
	no(t, err)
	return s, name, data
}

// An empty device gets the same case, the same films and the same plan.
func TestRoundTrip(t *testing.T) {
	for _, withFilms := range []bool{true, false} {
		from, name, data := made(t, withFilms)
		if !strings.HasPrefix(name, "Théâtre-2-Tuesday-left-2026-11-") || !strings.HasSuffix(name, state.Ending) {
			t.Errorf("name = %q", name)
		}
		m := state.NewMemory()
		to := started(t, m)
		id, note, err := to.Import(bg, data)
		no(t, err)
		a, _ := from.Case()
		b, _ := to.Case()
		if id != a.ID || !reflect.DeepEqual(a, b) {
			t.Errorf("imported %+v, want %+v", b, a)
		}
		if from.Plan().Nail.Length == 0 || !reflect.DeepEqual(from.Plan(), to.Plan()) {
			t.Error("the plans differ, or there is none")
		}
		_, err = to.ShowFilm(bg, 1, nil)
		if (err == nil) != withFilms || strings.Contains(note, "without 2 of its films") == withFilms {
			t.Errorf("with films %v: ShowFilm %v, note %q", withFilms, err, note)
		}
		again := started(t, m)
		no(t, again.OpenCase(bg, id))
		if !reflect.DeepEqual(again.Plan(), from.Plan()) {
			t.Error("the plan differs after a restart")
		}
	}
}

func TestImportIdentical(t *testing.T) {
	s, _, data := made(t, true)
	before, _ := s.Case()
	s.CloseCase()
	id, note, err := s.Import(bg, data)
	no(t, err)
	if now, _ := s.Case(); id != before.ID || !reflect.DeepEqual(now, before) || len(s.Briefs()) != 1 {
		t.Errorf("imported %+v beside %v", now, s.Briefs())
	}
	if !strings.Contains(note, "already here") {
		t.Errorf("note = %q", note)
	}
}

// First the case without films, then the same case with them: it gets them.
func TestImportAddsFilms(t *testing.T) {
	from, _, bare := made(t, false)
	_, full, err := from.Export(bg, true)
	no(t, err)
	m := state.NewMemory()
	s := started(t, m)
	id, _, err := s.Import(bg, bare)
	no(t, err)
	s.CloseCase()
	_, note, err := s.Import(bg, full)
	no(t, err)
	if !strings.Contains(note, "films were added") {
		t.Errorf("note = %q", note)
	}
	s = started(t, m)
	no(t, s.OpenCase(bg, id))
	if _, err := s.ShowFilm(bg, 1, nil); err != nil {
		t.Errorf("ShowFilm = %v", err)
	}
}

// The same case with other content is kept beside ours; ours is untouched.
func TestImportOther(t *testing.T) {
	s, _, data := made(t, true)
	old, _ := s.Case()
	no(t, s.Do("rename", label(strings.Repeat("ö", 80))))
	ours, _ := s.Case()
	id, note, err := s.Import(bg, data)
	no(t, err)
	theirs, _ := s.Case()
	if id == ours.ID || theirs.Label != old.Label+" (2)" || !strings.Contains(note, "Both are kept") {
		t.Errorf("imported as %s %q, note %q", id, theirs.Label, note)
	}
	no(t, s.OpenCase(bg, ours.ID))
	if now, _ := s.Case(); !reflect.DeepEqual(now, ours) {
		t.Errorf("ours became %+v, want %+v", now, ours)
	}
	_, note, err = s.Import(bg, data)
	no(t, err)
	if third, _ := s.Case(); third.Label != old.Label+" (3)" {
		t.Errorf("a third time: %q, %q", third.Label, note)
	}
	if n := len(s.Briefs()); n != 3 {
		t.Errorf("%d cases, want 3", n)
	}
}

// The stored case is damaged: its backup is kept beside it, not refused.
func TestImportBesideDamaged(t *testing.T) {
	from, _, data := made(t, true)
	c, _ := from.Case()
	m := state.NewMemory()
	no(t, m.SaveCase(bg, state.Brief{ID: c.ID, Edited: "2026-01-01T00:00:00Z"}, []byte("hurt"), nil))
	s := started(t, m)
	id, _, err := s.Import(bg, data)
	no(t, err)
	if raw, err := m.LoadCase(bg, c.ID); id == c.ID || err != nil || string(raw) != "hurt" {
		t.Errorf("imported as %s, the damaged one is now %q, %v", id, raw, err)
	}
}

func TestImportShelfNote(t *testing.T) {
	_, _, data := made(t, false)
	for _, tt := range []struct {
		name string
		set  func(s *state.Session) error
		want string
	}{
		{"the same shelf", func(*state.Session) error { return nil }, ""},
		{"another shelf", func(s *state.Session) error { return s.SetShelf(bg, hospital()) }, "“Theatre store”"},
		{"the same name with other parts", func(s *state.Session) error {
			own := hospital()
			own.Name, own.Nails = "Teaching set (invented)", own.Nails[:3]
			return s.SetShelf(bg, own)
		}, "another state of the shelf"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := started(t, state.NewMemory())
			no(t, tt.set(s))
			shelf := s.Shelf()
			_, note, err := s.Import(bg, data)
			no(t, err)
			if has := strings.Contains(note, "planned with"); has != (tt.want != "") || !strings.Contains(note, tt.want) {
				t.Errorf("note = %q, want %q in it", note, tt.want)
			}
			if !reflect.DeepEqual(s.Shelf(), shelf) {
				t.Error("the import changed the shelf")
			}
		})
	}
}

// A file with a fault anywhere stores nothing and opens nothing.
func TestImportRefuses(t *testing.T) {
	_, _, data := made(t, true)
	for i := 0; i < len(data); i += 97 {
		m := state.NewMemory()
		s := started(t, m)
		hurt := bytes.Clone(data)
		hurt[i] ^= 0x40
		if _, _, err := s.Import(bg, hurt); err == nil {
			t.Errorf("byte %d changed: no error", i)
		}
		no(t, s.Flush(bg))
		if _, open := s.Case(); open || len(s.Briefs()) != 0 {
			t.Errorf("byte %d changed: something was kept", i)
		}
	}
	for _, cut := range []int{0, 1, len(data) / 2, len(data) - 1} {
		s := started(t, state.NewMemory())
		if _, _, err := s.Import(bg, data[:cut]); err == nil {
			t.Errorf("cut at %d: no error", cut)
		}
	}
}

// Films that come from elsewhere are cleaned as well, under their new hash.
func TestImportCleans(t *testing.T) {
	from, _, data := made(t, true)
	m := state.NewMemory()
	w := world(m)
	w.Clean = func(file []byte) ([]byte, error) { return bytes.ReplaceAll(file, []byte("film"), []byte("fi")), nil }
	s := state.New(w)
	no(t, s.Start(bg))
	_, _, err := s.Import(bg, data)
	no(t, err)
	c, _ := s.Case()
	if c.Films[0].SHA256 != hash([]byte("fi one")) || c.Films[0].Bytes != 6 {
		t.Errorf("film = %+v, want the clean one", c.Films[0])
	}
	theirs, _ := from.Case()
	if _, err := m.Film(bg, theirs.Films[0].SHA256); err == nil {
		t.Error("the film as it came is stored")
	}
	id, note, err := s.Import(bg, data)
	no(t, err)
	if id != c.ID || !strings.Contains(note, "already here") {
		t.Errorf("the same file again: %s, %q", id, note)
	}
}

// A case is backed up when its file was handed over, not when it was made.
func TestBackupMark(t *testing.T) {
	m := state.NewMemory()
	h := &hands{err: errBroken}
	w := world(m)
	w.Files = h
	s := state.New(w)
	no(t, s.Start(bg))
	_, err := s.NewCase(bg, "one")
	no(t, err)
	name, data, err := s.Export(bg, false)
	no(t, err)
	if err := s.Save(bg, name, "application/octet-stream", data); !errors.Is(err, errBroken) {
		t.Errorf("Save = %v, want the refusal", err)
	}
	backup := func() string { no(t, s.Flush(bg)); return started(t, m).Briefs()[0].Backup }
	if b := backup(); b != "" {
		t.Errorf("backup = %q though the file was not handed over", b)
	}
	h.err = nil
	no(t, s.Save(bg, "shelf.csv", "text/csv", nil))
	if b := backup(); b != "" {
		t.Errorf("backup = %q after another file", b)
	}
	s.CloseCase()
	no(t, s.Save(bg, name, "application/octet-stream", data))
	b := backup()
	if b == "" || s.Briefs()[0].Backup != b || !bytes.Equal(h.data, data) {
		t.Errorf("backup = %q after it was handed over", b)
	}
	no(t, s.OpenCase(bg, s.Briefs()[0].ID))
	no(t, s.Do("rename", label("two")))
	if got := backup(); got != b {
		t.Errorf("backup = %q after an edit, want it kept", got)
	}
}

func TestFileNames(t *testing.T) {
	for _, tt := range []struct{ label, want string }{
		{"", "case"}, {"///", "case"}, {"..\\..", "case"}, {"a/b", "a-b"},
		{strings.Repeat("x", 80), strings.Repeat("x", 40)}, {"  left  ", "left"},
	} {
		s := started(t, state.NewMemory())
		_, err := s.NewCase(bg, tt.label)
		no(t, err)
		name, data, err := s.Export(bg, false)
		no(t, err)
		if !strings.HasPrefix(name, tt.want+"-2026-11-") {
			t.Errorf("name of %q = %q, want %q and the day", tt.label, name, tt.want)
		}
		if _, err := record.Unpack(data); err != nil {
			t.Error(err)
		}
	}
}
