package state

import (
	"context"
	"errors"
)

// undoDeleteFor is for how many operations a deleted case can be brought back.
const undoDeleteFor = 10

// A deletion is a case that can still be brought back.
type deletion struct {
	d     *doc   // nil: a case that could not be read, kept as it was stored
	brief Brief  // of such a case
	raw   []byte // and its bytes
	at    int    // when, counted in operations
}

// operation counts something a person did; the lock is held.
func (s *Session) operation() {
	s.ops++
	if s.deleted != nil && s.ops-s.deleted.at > undoDeleteFor {
		s.deleted = nil
	}
}

// DeleteCase removes a case. UndoDelete brings it back until another case is
// deleted or ten more things were done; its films stay for a day. A case that
// cannot be read can be deleted and brought back as well.
func (s *Session) DeleteCase(ctx context.Context, id string) error {
	d, err := s.load(ctx, id)
	var gone *MissingError
	if err != nil && (errors.As(err, &gone) || ctx.Err() != nil) {
		return err
	}
	del := &deletion{d: d}
	if d == nil {
		if del.raw, err = s.raw(ctx, id); err != nil {
			del = nil // bytes that the store itself cannot read: nothing to bring back
		}
	}
	if err := s.letGo(ctx, d); err != nil {
		return err
	}
	_, err = within(ctx, saveLimit, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, s.w.Store.DeleteCase(ctx, id)
	})
	s.mu.Lock()
	defer s.changed()
	defer s.mu.Unlock()
	var none *UnavailableError
	if err != nil && !(errors.As(err, &none) && d != nil && d.stored == nil) {
		if d != nil {
			d.gone = false
			s.kick()
		}
		return err
	}
	s.bury(id, del)
	return nil
}

// letGo ends the saving of a case that is about to be deleted.
func (s *Session) letGo(ctx context.Context, d *doc) error {
	if d == nil {
		return nil
	}
	s.mu.Lock()
	d.gone = true
	done, saving := s.done, s.saving
	s.mu.Unlock()
	if !saving {
		return nil
	}
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		s.mu.Lock()
		d.gone = false
		s.kick()
		s.mu.Unlock()
		return ctx.Err()
	}
}

// bury takes a deleted case out of memory; the lock is held.
func (s *Session) bury(id string, del *deletion) {
	s.operation()
	films := s.listing(id).Films
	if del != nil {
		del.at, del.brief = s.ops, s.listing(id)
		if del.d != nil {
			films = briefOf(del.d.c, "").Films
		}
		if del.d != nil && s.open == del.d {
			s.open = nil
		}
	}
	now := s.Now()
	for _, sum := range films {
		s.removed.set(sum, now)
	}
	s.deleted = del
	s.unlisted(id)
	delete(s.docs, id)
	s.replan()
	s.kick()
}

// UndoDelete brings back the case that was deleted last. An error of the
// saving leaves it in memory, on the list and marked as not saved.
func (s *Session) UndoDelete(ctx context.Context) error {
	s.mu.Lock()
	del := s.deleted
	if del == nil {
		s.mu.Unlock()
		return &NothingDeletedError{}
	}
	if del.d == nil {
		s.mu.Unlock()
		return s.restore(ctx, del)
	}
	s.deleted = nil
	d := del.d
	d.gone, d.stored, d.tried = false, nil, map[string]bool{}
	s.docs[d.c.ID] = d
	s.touch(d)
	s.mu.Unlock()
	s.changed()
	return s.Flush(ctx)
}

// restore writes a case that could not be read back as it was.
func (s *Session) restore(ctx context.Context, del *deletion) error {
	_, err := within(ctx, saveLimit, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, s.w.Store.ReplaceCase(ctx, del.brief, nil, del.raw, nil)
	})
	if err != nil {
		return err
	}
	s.mu.Lock()
	s.deleted = nil
	s.listed(del.brief)
	s.mu.Unlock()
	s.changed()
	return nil
}
