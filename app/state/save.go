package state

import (
	"context"
	"errors"
	"maps"
	"slices"

	"isthmus/core/implant"
	"isthmus/core/record"
)

// SaveState says whether what is in memory is written.
type SaveState string

const (
	Saved    SaveState = "saved"  // the store has said that all is written
	Saving   SaveState = "saving" // being written
	NotSaved SaveState = "not-saved"
)

// A Status is what the corner of the screen tells about saving.
type Status struct {
	State   SaveState
	Err     error // why something is not saved
	Works   error // what the first writing and reading back said; nil: saving works here
	Unsaved int   // cases that are not written
	Asked   bool  // the browser was asked to keep the data
	Granted bool  // and said yes
}

// Status returns how the saving stands. It says Saved only when the store has
// returned nil for everything.
func (s *Session) Status() Status {
	s.mu.Lock()
	defer s.mu.Unlock()
	st := Status{State: Saved, Works: s.works, Asked: s.asked, Granted: s.granted}
	pending := s.typed.dirty && s.typed.known || s.removed.dirty && s.removed.known
	for _, d := range s.docs {
		if d.dirty {
			pending = true
			st.Unsaved++
		}
	}
	st.Err = s.failure()
	switch {
	case st.Err != nil:
		st.State = NotSaved
	case pending && s.saving:
		st.State = Saving
	case pending:
		st.State, st.Err = NotSaved, &UnavailableError{Cause: s.works}
	}
	return st
}

// failure returns why something is not saved, the open case first; the lock
// is held.
func (s *Session) failure() error {
	if s.open != nil && s.open.err != nil {
		return s.open.err
	}
	for _, id := range slices.Sorted(maps.Keys(s.docs)) {
		if err := s.docs[id].err; err != nil {
			return err
		}
	}
	if s.typed.err != nil {
		return s.typed.err
	}
	return s.removed.err
}

// Flush waits until everything is saved, trying again what failed before, and
// returns why something is not.
func (s *Session) Flush(ctx context.Context) error {
	s.mu.Lock()
	for _, d := range s.docs {
		d.err = nil
	}
	s.typed.err, s.removed.err = nil, nil
	for s.kick() {
		done := s.done
		s.mu.Unlock()
		select {
		case <-done:
		case <-ctx.Done():
			return ctx.Err()
		}
		s.mu.Lock()
	}
	defer s.mu.Unlock()
	return s.failure()
}

// kick begins to save when something waits and nothing is being saved. It
// reports whether a saving is under way; the lock is held.
func (s *Session) kick() bool {
	if s.saving {
		return true
	}
	if s.next() == nil {
		return false
	}
	s.saving, s.done = true, make(chan struct{})
	go s.saveAll()
	return true
}

// saveAll saves one thing after another until nothing waits. What changes
// meanwhile is taken in its latest form.
func (s *Session) saveAll() {
	for {
		s.mu.Lock()
		save := s.next()
		if save == nil {
			s.saving = false
			close(s.done)
			s.mu.Unlock()
			s.changed()
			return
		}
		s.mu.Unlock()
		save()
		s.changed()
	}
}

// next returns what saves the next thing that waits; the lock is held, and
// not by the function returned.
func (s *Session) next() func() {
	for _, id := range slices.Sorted(maps.Keys(s.docs)) {
		if d := s.docs[id]; d.dirty && !d.gone && d.err == nil {
			return func() { s.saveDoc(d) }
		}
	}
	for _, w := range []*drawer{&s.removed, &s.typed} {
		if w.waits() {
			return func() { s.saveDrawer(w) }
		}
	}
	if keep := s.sweep; keep != nil {
		return func() { s.sweepFilms(keep) }
	}
	return nil
}

// sweepFilms removes films nobody names. Nothing is lost when it fails: it is
// done again at the next start.
func (s *Session) sweepFilms(keep map[string]bool) {
	_, _ = within(context.Background(), saveLimit, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, s.w.Store.Sweep(ctx, keep)
	})
	s.mu.Lock()
	s.sweep = nil
	s.mu.Unlock()
}

func (s *Session) saveDrawer(w *drawer) {
	s.mu.Lock()
	gen, b := w.gen, w.bytes()
	s.mu.Unlock()
	_, err := within(context.Background(), saveLimit, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, s.w.Store.SaveSetting(ctx, w.key, b)
	})
	s.mu.Lock()
	defer s.mu.Unlock()
	if w.err = err; err == nil && w.gen == gen {
		w.dirty = false
	}
}

// A parcel is a case on its way to the store.
type parcel struct {
	gen    int
	c      record.Case
	brief  Brief
	stored []byte
	data   []byte
	films  map[string][]byte
}

// saveDoc writes a case with its new films in one transaction.
func (s *Session) saveDoc(d *doc) {
	s.mu.Lock()
	p := parcel{gen: d.gen, c: d.c, stored: d.stored, films: map[string][]byte{}}
	for sum, film := range d.films {
		if names(d.c, sum) {
			p.films[sum] = film
		}
	}
	backup, shelf := d.backup, s.shelf
	s.mu.Unlock()

	var err error
	p.brief = s.brief(p.c, shelf, backup)
	if p.data, err = record.Marshal(p.c); err == nil {
		err = s.send(d, p)
	}

	s.mu.Lock()
	defer s.mu.Unlock()
	if d.err = err; err != nil {
		return
	}
	d.stored, d.tried = p.data, map[string]bool{}
	for sum := range p.films {
		delete(d.films, sum)
	}
	if d.gen == p.gen {
		d.dirty = false
	}
	s.listed(p.brief)
	s.forget()
}

// send hands the parcel to the store. An earlier call that ran out of time
// may have arrived all the same: if the store holds what we sent then, that
// is no other tab's doing, and ours goes over it.
func (s *Session) send(d *doc, p parcel) error {
	write := func() error {
		_, err := within(context.Background(), saveLimit, func(ctx context.Context) (struct{}, error) {
			return struct{}{}, s.w.Store.ReplaceCase(ctx, p.brief, p.stored, p.data, p.films)
		})
		return err
	}
	s.mu.Lock()
	ours := maps.Clone(d.tried)
	d.tried[string(p.data)] = true
	ask := !s.asked
	s.mu.Unlock()
	err := write()
	var changed *ChangedError
	if errors.As(err, &changed) && changed.Stored != nil && ours[string(changed.Stored)] {
		p.stored = changed.Stored
		err = write()
	}
	if err == nil && ask {
		s.persist()
	}
	return err
}

// persist asks the browser once, after the first saving, to keep the data.
func (s *Session) persist() {
	granted, err := within(context.Background(), startLimit, s.w.Store.Persist)
	s.mu.Lock()
	s.asked, s.granted = err == nil, err == nil && granted
	s.mu.Unlock()
}

// brief returns what the list shows of a case, with its line.
func (s *Session) brief(c record.Case, shelf implant.Shelf, backup string) (b Brief) {
	b = briefOf(c, backup)
	if s.w.Line != nil {
		defer func() { _ = recover() }() // the list can do without its line, the case not without its saving
		b.Line = s.w.Line(c, shelf)
	}
	return b
}

func briefOf(c record.Case, backup string) Brief {
	b := Brief{ID: c.ID, Label: c.Label, Side: string(c.Side), Edited: c.Edited, Backup: backup, Practice: c.Practice}
	for _, f := range c.Films {
		b.Films = append(b.Films, f.SHA256)
	}
	return b
}

// listed puts a brief into the list; the lock is held.
func (s *Session) listed(b Brief) {
	s.unlisted(b.ID)
	s.list = append(s.list, b)
	SortBriefs(s.list)
}

func (s *Session) unlisted(id string) {
	s.list = slices.DeleteFunc(slices.Clone(s.list), func(b Brief) bool { return b.ID == id })
}

// forget lets go of cases that are saved and not open; the lock is held.
func (s *Session) forget() {
	maps.DeleteFunc(s.docs, func(_ string, d *doc) bool { return d != s.open && !d.dirty })
}
