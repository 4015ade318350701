package state_test

import (
	"bytes"
	"testing"

	"isthmus/app/state"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
)

// A case and a shelf that were stored by version 1 open as they are; the first
// edit stores the case as the version of today, over the bytes that were there.
func TestStoredByVersion1(t *testing.T) {
	m := state.NewMemory()
	old := testkit.Read(t, "versions/v1/every-field.json")
	c, err := record.Unmarshal(old)
	no(t, err)
	no(t, m.ReplaceCase(bg, state.Brief{ID: c.ID, Label: c.Label, Edited: c.Edited}, nil, old, nil))
	no(t, m.SaveSetting(bg, "shelf", testkit.Read(t, "shelf/version-1.json")))
	s := started(t, m)
	if name := s.Shelf().Name; name != "Version 1 (invented)" {
		t.Errorf("the shelf is called %q", name)
	}
	no(t, s.OpenCase(bg, c.ID))
	if got, _ := s.Case(); !record.Equal(got, c) {
		t.Errorf("the case reads %+v, want %+v", got, c)
	}
	stored, err := m.LoadCase(bg, c.ID)
	no(t, err)
	if !bytes.Equal(stored, old) {
		t.Error("opening a case wrote it")
	}
	no(t, s.Do("wound", func(c *record.Case) error { c.Injury.Wound = record.WoundII; return nil }))
	no(t, s.Flush(bg))
	stored, err = m.LoadCase(bg, c.ID)
	no(t, err)
	back, err := record.Unmarshal(stored)
	no(t, err)
	if back.Injury.Wound != record.WoundII || !bytes.Contains(stored, []byte("\"version\": 3,")) {
		t.Errorf("stored after the edit: %.80s", stored)
	}
	no(t, s.SetShelf(bg, implant.Teaching()))
	if again := started(t, m); len(again.Shelf().Tools) == 0 {
		t.Error("the tools of the teaching set were not stored")
	}
}
