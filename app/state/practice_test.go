package state_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"isthmus/app/state"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/practice"
	"isthmus/core/record"
	"isthmus/core/units"
)

// draughtsman draws films of no pixels and tells what is true of real drawings.
type draughtsman struct {
	decoder
	fail int // this film cannot be drawn; below zero: all can
}

func (d draughtsman) Draw(ctx context.Context, key string, film int, progress func(float64)) (state.Drawn, error) {
	progress(0.5)
	if film == d.fail {
		return state.Drawn{}, errBroken
	}
	c, _ := phantom.PracticeOf(key)
	tags := record.Tags{Modality: "DX", ViewPosition: []string{"AP", "LL"}[film], Laterality: map[anatomy.Side]string{anatomy.Left: "L", anatomy.Right: "R"}[c.Side],
		ImagerSpacing: &[2]float64{0.2, 0.2}}
	return state.Drawn{File: []byte(key + tags.ViewPosition), Kind: "dicom", Width: 1125, Height: 2925, Tags: &tags}, ctx.Err()
}

func (draughtsman) Truth(_ context.Context, key string) ([]byte, error) {
	c, ok := phantom.PracticeOf(key)
	if !ok {
		return nil, errBroken
	}
	t, err := c.Tell()
	if err != nil {
		return nil, err
	}
	return json.Marshal(t)
}

func practising(t *testing.T, store state.Store, fail int) *state.Session {
	t.Helper()
	w := world(store)
	w.Decoder = draughtsman{fail: fail}
	s := state.New(w)
	no(t, s.Start(bg))
	return s
}

func quietly(float64) {}

// Nothing is left behind when it cannot be drawn, is not known, or is stopped.
func TestStartPracticeRefuses(t *testing.T) {
	m := state.NewMemory()
	if _, err := started(t, m).StartPractice(bg, "narrow-canal", "Practice 4", quietly); err == nil {
		t.Error("started without somebody who draws")
	} else {
		want[*state.NoPracticeError](t, "no draughtsman", err)
	}
	stopped, cancel := context.WithCancel(bg)
	cancel()
	for _, tt := range []struct {
		name string
		ctx  context.Context
		key  string
		fail int
	}{{"the second film fails", bg, "narrow-canal", 1}, {"no such case", bg, "broken-toe", -1}, {"stopped", stopped, "narrow-canal", -1}} {
		s := practising(t, m, tt.fail)
		id, err := s.StartPractice(tt.ctx, tt.key, "Practice 4", quietly)
		no(t, s.Flush(bg))
		if _, open := s.Case(); err == nil || id != "" || open || len(s.Briefs()) != 0 || len(s.PracticeCounts()) != 0 {
			t.Errorf("%s: %q, %v, %d cases", tt.name, id, err, len(s.Briefs()))
		}
	}
}

// A practice case is what somebody would have who was told side, views and
// height, and imported the films: nothing is measured, nothing is answered.
func TestStartPractice(t *testing.T) {
	m := state.NewMemory()
	s := practising(t, m, -1)
	last := 0.0
	id, err := s.StartPractice(bg, "short-bowed", "Practice 6", func(d float64) { last = d })
	no(t, err)
	c, _ := s.Case()
	if last != 0.75 || c.ID != id || c.Practice != "short-bowed" || c.Side != anatomy.Left || c.Label != "Practice 6" || *c.Injury.StatureMM != 1490 {
		t.Errorf("progress %v, %+v", last, c)
	}
	c.Injury.StatureMM = nil
	if c.Injury != (record.Injury{}) || len(c.Films) != 2 {
		t.Fatalf("answered already: %+v, %d films", c.Injury, len(c.Films))
	}
	for i, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		f := c.Films[i]
		if f.View != v || f.Bone != anatomy.Injured || f.Reduced != "" || len(f.Points)+len(f.Evidence) != 0 || f.Tags == nil || f.Width != 1125 {
			t.Errorf("film %d: %+v", i, f)
		}
	}
	if _, can := s.CanUndo(); can {
		t.Error("undo could take the mark away")
	}
	again, err := s.StartPractice(bg, "short-bowed", "Practice 6", quietly)
	no(t, err)
	if c, _ := s.Case(); c.Label != "Practice 6 (2)" || again == id {
		t.Errorf("the second is %q", c.Label)
	}
	no(t, s.Flush(bg))
}

// Started and compared are counted from what is stored; both are there after a
// reload, and go with the case. What is exported says what it is.
func TestPracticeIsKept(t *testing.T) {
	m := state.NewMemory()
	s := practising(t, m, -1)
	id, err := s.StartPractice(bg, "narrow-canal", "Practice 4", quietly)
	no(t, err)
	_, err = s.NewCase(bg, "a patient")
	no(t, err)
	s.Reveal(id)
	no(t, s.Flush(bg))
	s = practising(t, m.Copy(), -1)
	if n := s.PracticeCounts(); len(n) != 1 || n["narrow-canal"] != (state.PracticeCount{Started: 1, Compared: 1}) {
		t.Errorf("%+v", n)
	}
	no(t, s.OpenCase(bg, id))
	name, _, err := s.Export(bg, true)
	no(t, err)
	if !strings.HasPrefix(name, "PRACTICE-") {
		t.Errorf("exported as %s", name)
	}
	no(t, s.DeleteCase(bg, id))
	if n := s.PracticeCounts(); len(n) != 0 {
		t.Errorf("deleted, and %+v", n)
	}
}

// The open case is compared once something is measured: by hand, a ball of
// 25 mm that is marked 100 px across gives 0.25 mm a pixel, and true is
// 0.2·(1000−24)/1150 = 0.1697.
func TestComparePractice(t *testing.T) {
	s := practising(t, state.NewMemory(), -1)
	if _, err := s.ComparePractice(practice.Truth{}); err == nil {
		t.Error("compared without a case")
	}
	_, err := s.StartPractice(bg, "narrow-canal", "Practice 4", quietly)
	no(t, err)
	tr, err := s.PracticeTruth(bg, "narrow-canal")
	no(t, err)
	_, err = s.ComparePractice(tr)
	want[*practice.NothingError](t, "nothing measured", err)
	c, _ := s.Case()
	if state.PracticeMeasured(c, s.Plan()) {
		t.Error("something is measured")
	}
	no(t, s.Do("ball", func(c *record.Case) error {
		b := record.Evidence{ID: "b", Kind: record.Ball, Slip: 0.5, AtBone: record.Yes, True: new(units.MM)}
		*b.True = 25
		for _, p := range [][2]units.Px{{150, 100}, {100, 150}, {50, 100}, {100, 50}} {
			b.At = append(b.At, geom.Pt[units.Px]{X: p[0], Y: p[1]})
		}
		c.Films[0].Evidence = []record.Evidence{b}
		return nil
	}))
	got, err := s.ComparePractice(tr)
	no(t, err)
	if r := got.Rows[0]; got.Measured != 1 || got.Holding != 0 || r.What != practice.ScaleAP || !(r.Diff > 0.0802 && r.Diff < 0.0804) {
		t.Errorf("%d measured, %+v", got.Measured, r)
	}
	c, _ = s.Case()
	if !state.PracticeMeasured(c, s.Plan()) {
		t.Error("nothing is measured")
	}
}
