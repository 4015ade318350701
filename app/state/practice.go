package state

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"time"

	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/practice"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Drawn is a drawn film of a practice case: a whole file, clean, and what is
// known of it as of a film that was opened.
type Drawn struct {
	File   []byte
	Kind   string
	Width  int
	Height int
	Tags   *record.Tags
}

// A Draughtsman draws the films of practice cases away from the screen's
// thread, and tells what is true of them. A Decoder may be one. Cancelling ctx
// ends the work.
type Draughtsman interface {
	// Draw draws one film of a practice case, from 0.
	Draw(ctx context.Context, practice string, film int, progress func(done float64)) (Drawn, error)
	// Truth returns what is true of a practice case, for core/practice to read.
	Truth(ctx context.Context, practice string) ([]byte, error)
}

// A NoPracticeError reports that nothing can be drawn here.
type NoPracticeError struct{}

// Code names the fault for app/text.
func (e *NoPracticeError) Code() string { return "state-no-practice" }

func (e *NoPracticeError) Error() string {
	return "state: practice films cannot be drawn here: open the app in a browser"
}

// PracticeTruth returns what is true of a practice case.
func (s *Session) PracticeTruth(ctx context.Context, key string) (practice.Truth, error) {
	d, ok := s.w.Decoder.(Draughtsman)
	if !ok {
		return practice.Truth{}, &NoPracticeError{}
	}
	b, err := d.Truth(ctx, key)
	if err != nil {
		return practice.Truth{}, err
	}
	return practice.Parse(b)
}

// StartPractice draws the films of a practice case and opens a new case with
// them, as a person would have it who was told the side, the views and the
// height of the patient, and who imported the films: no scale, no point, no
// answer. The case is marked as practice for good. Cancelling ctx, and a film
// that cannot be drawn, leave nothing behind.
func (s *Session) StartPractice(ctx context.Context, key, label string, progress func(done float64)) (id string, err error) {
	d, ok := s.w.Decoder.(Draughtsman)
	if !ok {
		return "", &NoPracticeError{}
	}
	t, err := s.PracticeTruth(ctx, key)
	if err != nil {
		return "", err
	}
	c := record.NewCase(s.NewID(), s.Now())
	c.Practice, c.Side = key, t.Side
	if t.Stature > 0 {
		tall := units.MM(t.Stature)
		c.Injury.StatureMM = &tall
	}
	files := map[string][]byte{}
	for i, f := range t.Films {
		drawn, err := d.Draw(ctx, key, i, func(done float64) { progress((float64(i) + done) / float64(len(t.Films))) })
		if err != nil {
			return "", err
		}
		sum := hashGently(drawn.File)
		files[sum] = drawn.File
		c.Films = append(c.Films, record.Film{SHA256: sum, Bytes: int64(len(drawn.File)), Kind: drawn.Kind, Width: drawn.Width, Height: drawn.Height,
			Tags: drawn.Tags, View: f.View, Bone: anatomy.Injured})
	}
	return s.putPractice(c, label, files)
}

// hashGently is hashOf with pauses: this runs on the screen's thread, which a
// whole film at once would hold for longer than a frame.
func hashGently(b []byte) string {
	h := sha256.New()
	for len(b) > 0 {
		n := min(len(b), 1<<17)
		h.Write(b[:n])
		b = b[n:]
		time.Sleep(time.Millisecond)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// putPractice opens a new practice case under a label that no case has yet.
func (s *Session) putPractice(c record.Case, label string, files map[string][]byte) (string, error) {
	s.mu.Lock()
	c.Label = s.unlike(label)
	faults := record.Check(c)
	if len(faults) == 0 {
		d := newDoc(c, nil)
		d.films = files
		s.put(d)
	}
	s.mu.Unlock()
	if len(faults) > 0 {
		return "", &faults[0]
	}
	s.changed()
	return c.ID, nil
}

// unlike returns a label, with the first free number behind it when there is a
// case of that name; the lock is held.
func (s *Session) unlike(label string) string {
	for _, b := range s.list {
		if b.Label == label {
			return s.second(label)
		}
	}
	for _, d := range s.docs {
		if d.c.Label == label {
			return s.second(label)
		}
	}
	return label
}

// A PracticeCount says how often a practice case was started on this device,
// and how many of these were compared with what is true.
type PracticeCount struct{ Started, Compared int }

// PracticeCounts counts the stored practice cases by their key.
func (s *Session) PracticeCounts() map[string]PracticeCount {
	out := map[string]PracticeCount{}
	for _, b := range s.Briefs() {
		if b.Practice == "" {
			continue
		}
		n := out[b.Practice]
		n.Started++
		if s.Revealed(b.ID) {
			n.Compared++
		}
		out[b.Practice] = n
	}
	return out
}

// Reveal keeps that somebody has asked what is true of a practice case.
func (s *Session) Reveal(id string) { s.SetTyped("practice.revealed."+id, "yes") }

// Revealed reports whether somebody has asked what is true of a practice case.
func (s *Session) Revealed(id string) bool {
	v, _ := s.Typed("practice.revealed." + id)
	return v == "yes"
}

// ComparePractice compares the open case with what is true of it.
func (s *Session) ComparePractice(t practice.Truth) (practice.Comparison, error) {
	c, ok := s.Case()
	if !ok {
		return practice.Comparison{}, &NoCaseError{}
	}
	return practice.Compare(c, s.Shelf(), t)
}

// PracticeMeasured reports whether anything is measured in a case, of which
// this is the plan.
func PracticeMeasured(c record.Case, p plan.Plan) bool { return practice.Started(c, p) }
