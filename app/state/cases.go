package state

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"isthmus/core/record"
)

// Briefs lists the cases, latest edit first: those that are stored, and those
// in memory that could not be.
func (s *Session) Briefs() []Brief {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := []Brief{}
	for _, b := range s.list {
		if s.docs[b.ID] == nil {
			list = append(list, copyBrief(b))
		}
	}
	for _, d := range s.docs {
		list = append(list, s.briefNow(d))
	}
	SortBriefs(list)
	return list
}

// briefNow returns the brief of a case in memory; the lock is held.
func (s *Session) briefNow(d *doc) Brief {
	i := slices.IndexFunc(s.list, func(b Brief) bool { return b.ID == d.c.ID })
	if i >= 0 && !d.dirty {
		return copyBrief(s.list[i])
	}
	b := briefOf(d.c, d.backup)
	if i >= 0 {
		b.Line = s.list[i].Line
	}
	return b
}

// NewCase makes an empty case, opens it and begins to save it. A label that
// cannot be kept is refused.
func (s *Session) NewCase(ctx context.Context, label string) (id string, err error) {
	if err := ctx.Err(); err != nil {
		return "", err
	}
	c := record.NewCase(s.NewID(), s.Now())
	c.Label = strings.TrimSpace(label)
	if faults := record.Check(c); len(faults) > 0 {
		return "", &faults[0]
	}
	s.mu.Lock()
	s.put(newDoc(c, nil))
	s.mu.Unlock()
	s.changed()
	return c.ID, nil
}

// put opens a case that is in no store yet and begins to save it; the lock is
// held.
func (s *Session) put(d *doc) {
	s.docs[d.c.ID] = d
	s.setOpen(d)
	s.operation()
	s.touch(d)
}

// setOpen makes a case the open one; the lock is held.
func (s *Session) setOpen(d *doc) {
	s.open = d
	s.forget()
	s.replan()
}

// OpenCase opens a case. The one that was open before is saved in the
// background; if that fails it stays in memory and on the list.
func (s *Session) OpenCase(ctx context.Context, id string) error {
	d, err := s.load(ctx, id)
	if err != nil {
		return err
	}
	s.mu.Lock()
	if now := s.docs[id]; now != nil {
		d = now
	}
	s.docs[id] = d
	if s.open != d {
		s.setOpen(d)
		s.operation()
	}
	s.mu.Unlock()
	s.changed()
	return nil
}

// CloseCase closes the open case; its saving goes on.
func (s *Session) CloseCase() {
	s.mu.Lock()
	s.setOpen(nil)
	s.mu.Unlock()
	s.changed()
}

// load returns a case from memory, or from the store.
func (s *Session) load(ctx context.Context, id string) (*doc, error) {
	s.mu.Lock()
	d, backup := s.docs[id], s.listing(id).Backup
	s.mu.Unlock()
	if d != nil {
		return d, ctx.Err()
	}
	stored, err := s.raw(ctx, id)
	if err != nil {
		return nil, err
	}
	c, err := record.Unmarshal(stored)
	var newer *record.NewerError
	switch {
	case errors.As(err, &newer):
		return nil, err
	case err != nil:
		return nil, &DamagedError{What: "this case", Cause: err}
	case c.ID != id:
		return nil, &DamagedError{What: "this case", Cause: fmt.Errorf("it is stored as %q and calls itself %q", id, c.ID)}
	}
	d = newDoc(c, stored)
	d.backup = backup
	return d, nil
}

func (s *Session) raw(ctx context.Context, id string) ([]byte, error) {
	return within(ctx, saveLimit, func(ctx context.Context) ([]byte, error) { return s.w.Store.LoadCase(ctx, id) })
}

// listing returns the brief of a stored case; the lock is held.
func (s *Session) listing(id string) Brief {
	for _, b := range s.list {
		if b.ID == id {
			return copyBrief(b)
		}
	}
	return Brief{ID: id}
}

// KeepBoth resolves a *ChangedError of the open case: what is in memory goes
// on as a case of its own, under a new ID and with "(2)" behind its label, and
// what the other tab stored stays as it is.
func (s *Session) KeepBoth(ctx context.Context) (id string, err error) {
	s.mu.Lock()
	d := s.open
	if d == nil {
		s.mu.Unlock()
		return "", &NoCaseError{}
	}
	old := d.c
	c := record.Clone(d.c)
	c.ID = s.NewID()
	c.Label = s.second(c.Label)
	if faults := record.Check(c); len(faults) > 0 {
		s.mu.Unlock()
		return "", &faults[0]
	}
	delete(s.docs, old.ID)
	d.c, d.stored, d.tried, d.backup = c, nil, map[string]bool{}, ""
	s.put(d)
	s.mu.Unlock()
	s.changed()
	if err := s.Flush(ctx); err != nil {
		return c.ID, err
	}
	return c.ID, s.Refresh(ctx)
}

// Refresh reads the list of stored cases again, after another tab may have
// changed it.
func (s *Session) Refresh(ctx context.Context) error {
	list, err := within(ctx, startLimit, s.w.Store.Cases)
	if err != nil {
		return err
	}
	s.mu.Lock()
	s.list = list
	s.mu.Unlock()
	s.changed()
	return nil
}

// labelRunes is the longest label that a case keeps (core/record).
const labelRunes = 80

// second returns a label with the first free number behind it; the lock is
// held.
func (s *Session) second(label string) string {
	taken := map[string]bool{}
	for _, b := range s.list {
		taken[b.Label] = true
	}
	for _, d := range s.docs {
		taken[d.c.Label] = true
	}
	for n := 2; ; n++ {
		end := fmt.Sprintf(" (%d)", n)
		r := []rune(label)
		r = r[:min(len(r), labelRunes-len(end))]
		if next := string(r) + end; !taken[next] {
			return next
		}
	}
}

// sameCase reports whether two cases are written alike.
func sameCase(a, b record.Case) bool {
	x, errA := record.Marshal(a)
	y, errB := record.Marshal(b)
	return errA == nil && errB == nil && bytes.Equal(x, y)
}
