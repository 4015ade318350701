package state_test

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"

	"isthmus/app/state"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

func TestStartEmpty(t *testing.T) {
	s := started(t, state.NewMemory())
	if !s.Shelf().Teaching {
		t.Error("an empty store does not give the teaching set")
	}
	if got := s.Briefs(); len(got) != 0 {
		t.Errorf("briefs = %v, want none", got)
	}
	no(t, s.Flush(bg))
	if st := s.Status(); st.State != state.Saved || st.Works != nil {
		t.Errorf("status = %+v, want saved and working", st)
	}
	want[*state.NoCaseError](t, "an edit without a case", s.Do("x", label("x")))
	if s.Undo() || s.Redo() {
		t.Error("there is something to undo")
	}
}

func TestStartTroubles(t *testing.T) {
	for _, tt := range []struct {
		name, fail string
		teaching   bool
	}{
		{"nothing can be written", "SaveSetting", true},
		{"nothing can be read", "Setting", true},
		{"no list", "Cases", true},
		{"nothing works", "Cases Setting SaveSetting SaveCase ReplaceCase LoadCase Film Sweep Persist", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m := state.NewMemory()
			m.Fail = broken(tt.fail)
			s := state.New(world(m))
			if err := s.Start(bg); !errors.Is(err, errBroken) {
				t.Errorf("Start = %v, want what the store said", err)
			}
			if s.Shelf().Teaching != tt.teaching {
				t.Error("the shelf is not the flagged teaching set")
			}
			if _, err := s.NewCase(bg, "in memory"); err != nil || openLabel(s) != "in memory" {
				t.Errorf("a case cannot be made: %v", err)
			}
			no(t, s.Do("rods", rods))
			if _, _, err := s.Export(bg, true); err != nil {
				t.Errorf("Export = %v, want the file", err)
			}
		})
	}
}

// A shelf that cannot be read is not replaced by one that can be planned from.
func TestStartDamagedShelf(t *testing.T) {
	m := state.NewMemory()
	no(t, m.SaveSetting(bg, "shelf", []byte("{")))
	s := state.New(world(m))
	want[*state.DamagedError](t, "Start", s.Start(bg))
	if n := len(s.Shelf().Nails); n != 0 {
		t.Errorf("the shelf has %d nails, want none", n)
	}
	if v, err := m.Setting(bg, "shelf"); err != nil || string(v) != "{" {
		t.Errorf("the damaged shelf was written over: %q, %v", v, err)
	}
}

// mute is a store that does not answer before the test ends, whatever ctx says.
type mute struct{ end chan struct{} }

func (m mute) hang() error { <-m.end; return errBroken }

func (m mute) SaveSetting(context.Context, string, []byte) error { return m.hang() }
func (m mute) Setting(context.Context, string) ([]byte, error)   { return nil, m.hang() }
func (m mute) Cases(context.Context) ([]state.Brief, error)      { return nil, m.hang() }
func (m mute) LoadCase(context.Context, string) ([]byte, error)  { return nil, m.hang() }
func (m mute) DeleteCase(context.Context, string) error          { return m.hang() }
func (m mute) Film(context.Context, string) ([]byte, error)      { return nil, m.hang() }
func (m mute) Sweep(context.Context, map[string]bool) error      { return m.hang() }
func (m mute) Persist(context.Context) (bool, error)             { return false, m.hang() }
func (m mute) SaveCase(context.Context, state.Brief, []byte, map[string][]byte) error {
	return m.hang()
}
func (m mute) ReplaceCase(context.Context, state.Brief, []byte, []byte, map[string][]byte) error {
	return m.hang()
}

// A store that never answers ends in sentences; the case can still be worked
// on and exported.
func TestStoreNeverAnswers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := mute{make(chan struct{})}
		defer close(m.end)
		s := state.New(world(m))
		want[*state.UnavailableError](t, "Start", s.Start(bg))
		id, err := s.NewCase(bg, "in memory")
		no(t, err)
		want[*state.UnavailableError](t, "Flush", s.Flush(bg))
		if st := s.Status(); st.State != state.NotSaved || st.Err == nil || st.Works == nil {
			t.Errorf("status = %+v, want not saved and why", st)
		}
		_, _, err = s.AddFilm(bg, []byte("film"), nil)
		no(t, err)
		_, data, err := s.Export(bg, true)
		no(t, err)
		if f, err := record.Unpack(data); err != nil || f.Case.ID != id || len(f.Films) != 1 {
			t.Errorf("the export holds %v, %v, want the case and its film", f, err)
		}
		want[*state.UnavailableError](t, "OpenCase", s.OpenCase(bg, "other"))
		want[*state.UnavailableError](t, "SetShelf", s.SetShelf(bg, hospital()))
		if s.Shelf().Name != hospital().Name {
			t.Error("the shelf is not used when it cannot be stored")
		}
		no(t, s.DeleteCase(bg, id))
	})
}

func TestDoUndoRedo(t *testing.T) {
	s := started(t, state.NewMemory())
	id, err := s.NewCase(bg, " one ")
	no(t, err)
	no(t, s.Do("name it two", label("two")))
	no(t, s.Do("name it three", label("three")))
	if what, ok := s.CanUndo(); !ok || what != "name it three" {
		t.Errorf("CanUndo = %q, %v", what, ok)
	}
	for _, tt := range []struct {
		name string
		do   func() bool
		want string
		ok   bool
	}{
		{"undo", s.Undo, "two", true}, {"undo", s.Undo, "one", true}, {"undo at the end", s.Undo, "one", false},
		{"redo", s.Redo, "two", true}, {"redo", s.Redo, "three", true}, {"redo at the end", s.Redo, "three", false},
		{"undo again", s.Undo, "two", true},
	} {
		if ok := tt.do(); ok != tt.ok || openLabel(s) != tt.want {
			t.Errorf("%s = %v, %q, want %v, %q", tt.name, ok, openLabel(s), tt.ok, tt.want)
		}
	}
	if what, ok := s.CanRedo(); !ok || what != "name it three" {
		t.Errorf("CanRedo = %q, %v", what, ok)
	}
	no(t, s.Do("name it four", label("four")))
	if _, ok := s.CanRedo(); ok {
		t.Error("an edit leaves something to redo")
	}
	no(t, s.Flush(bg))
	if c, _ := s.Case(); c.ID != id {
		t.Errorf("the ID became %s", c.ID)
	}
}

func TestDoRefuses(t *testing.T) {
	s := started(t, state.NewMemory())
	_, err := s.NewCase(bg, "one")
	no(t, err)
	before, _ := s.Case()
	err = s.Do("fails", func(c *record.Case) error { c.Label = "x"; return errBroken })
	if !errors.Is(err, errBroken) {
		t.Errorf("Do = %v, want the edit's error", err)
	}
	want[*record.FieldError](t, "a case with a fault", s.Do("too long", label(strings.Repeat("x", 81))))
	no(t, s.Do("nothing", func(*record.Case) error { return nil }))
	no(t, s.Do("its own ID", func(c *record.Case) error { c.ID, c.Made, c.Edited = "x", "y", "z"; return nil }))
	if now, _ := s.Case(); !reflect.DeepEqual(now, before) {
		t.Errorf("the case changed: %+v, want %+v", now, before)
	}
	if _, ok := s.CanUndo(); ok {
		t.Error("there is something to undo")
	}
	_, err = s.NewCase(bg, strings.Repeat("x", 81))
	want[*record.FieldError](t, "a label too long", err)
}

// The plan follows every edit, undo and change of shelf; a preview keeps
// nothing.
func TestPlanFollows(t *testing.T) {
	s := started(t, state.NewMemory())
	_, err := s.NewCase(bg, "one")
	no(t, err)
	follows := func(when string) {
		t.Helper()
		c, _ := s.Case()
		if got, want := s.Plan(), plan.For(c, s.Shelf()); !reflect.DeepEqual(got, want) {
			t.Errorf("%s the plan is not that of the case", when)
		}
	}
	follows("at first")
	empty := s.Plan()
	if got := s.Preview(func(c *record.Case) { _ = rods(c) }); got.Bone.Length == nil {
		t.Error("the preview has no length")
	}
	if !reflect.DeepEqual(s.Plan(), empty) {
		t.Error("the preview changed the plan")
	}
	no(t, s.Do("rods", rods))
	follows("after an edit")
	if s.Plan().Nail.Length == 0 {
		t.Fatal("two rods give no nail: this test shows nothing")
	}
	shelf := hospital()
	shelf.Nails = shelf.Nails[:1]
	no(t, s.SetShelf(bg, shelf))
	follows("with another shelf")
	s.Undo()
	follows("after undo")
	s.CloseCase()
	if !reflect.DeepEqual(s.Plan(), plan.Plan{}) || !reflect.DeepEqual(s.Preview(func(*record.Case) {}), plan.Plan{}) {
		t.Error("a plan without a case")
	}
}

func TestSetShelf(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	bad := hospital()
	bad.Nails[0].Length = -1
	want[*implant.Fault](t, "a shelf with a fault", s.SetShelf(bg, bad))
	if !s.Shelf().Teaching {
		t.Error("a shelf with a fault is used")
	}
	own := hospital()
	no(t, s.SetShelf(bg, own))
	own.Nails[0].Length = 1
	own.Nails[0].Distal[0].FromTip = 1
	for _, got := range []implant.Shelf{s.Shelf(), started(t, m).Shelf()} {
		if !slices.Equal(implant.WriteJSON(got), implant.WriteJSON(hospital())) {
			t.Error("the shelf is not the one that was set")
		}
	}
}

func TestTyped(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	s.SetTyped("rod", "950")
	s.SetTyped("out", "52")
	s.SetTyped("out", "520")
	s.SetTyped("gone", "1")
	s.SetTyped("gone", "")
	no(t, s.Flush(bg))
	s = started(t, m)
	for _, tt := range []struct {
		key, want string
		ok        bool
	}{{"rod", "950", true}, {"out", "520", true}, {"gone", "", false}, {"never", "", false}} {
		if v, ok := s.Typed(tt.key); v != tt.want || ok != tt.ok {
			t.Errorf("Typed(%s) = %q, %v, want %q, %v", tt.key, v, ok, tt.want, tt.ok)
		}
	}
}

// What could not be read at the start is not written over by what was typed
// since, and once it can be read, both are there.
func TestTypedIsNotWrittenOver(t *testing.T) {
	m := state.NewMemory()
	s := started(t, m)
	s.SetTyped("old", "1")
	no(t, s.Flush(bg))
	m.Fail = broken("Setting")
	s = state.New(world(m))
	if s.Start(bg) == nil {
		t.Fatal("Start says nothing of a store that cannot be read")
	}
	m.Fail = nil
	s.SetTyped("new", "2")
	no(t, s.Flush(bg))
	if v, _ := started(t, m).Typed("old"); v != "1" {
		t.Errorf("what was typed before = %q, want 1", v)
	}
	no(t, s.Start(bg))
	s.SetTyped("third", "3")
	no(t, s.Flush(bg))
	s = started(t, m)
	for key, want := range map[string]string{"old": "1", "new": "2", "third": "3"} {
		if v, _ := s.Typed(key); v != want {
			t.Errorf("Typed(%s) = %q, want %q", key, v, want)
		}
	}
}

// Many hands at once: nothing races (run with -race), and the last word of
// each is saved.
func TestManyHands(t *testing.T) {
	m := state.NewMemory()
	w := world(m)
	w.OnChange = func() {}
	w.Line = func(c record.Case, _ implant.Shelf) string { return c.Label }
	s := state.New(w)
	no(t, s.Start(bg))
	id, err := s.NewCase(bg, "one")
	no(t, err)
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			for range 20 {
				_ = s.Do("note", func(c *record.Case) error { c.Notes += string(rune('a' + i)); return nil })
				s.Undo()
				s.Redo()
				s.Status()
				s.Briefs()
				s.SetTyped("k", openLabel(s))
				s.Preview(func(c *record.Case) { c.Notes = "" })
				_ = s.Flush(bg)
			}
		})
	}
	all.Wait()
	no(t, s.Flush(bg))
	mine, _ := s.Case()
	s = started(t, m)
	no(t, s.OpenCase(bg, id))
	if stored, _ := s.Case(); !reflect.DeepEqual(stored, mine) {
		t.Errorf("stored %+v, want %+v", stored, mine)
	}
	if b := s.Briefs(); len(b) != 1 || b[0].Line != "one" {
		t.Errorf("briefs = %+v, want one with its line", b)
	}
}
