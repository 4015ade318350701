package state

import (
	"slices"

	"isthmus/core/plan"
	"isthmus/core/record"
)

// Do changes the open case: the edit works on a copy, the copy is checked,
// and only then it becomes the case, with its plan worked out again, the old
// one kept for undo, and saving begun in the background. An error, of the
// edit or of the check, leaves everything as it was.
func (s *Session) Do(what string, edit func(*record.Case) error) error {
	s.mu.Lock()
	err := s.do(what, edit)
	s.mu.Unlock()
	if err == nil {
		s.changed()
	}
	return err
}

// do is Do with the lock held.
func (s *Session) do(what string, edit func(*record.Case) error) error {
	d := s.open
	if d == nil {
		return &NoCaseError{}
	}
	c := record.Clone(d.c)
	if err := edit(&c); err != nil {
		return err
	}
	c.ID, c.Made, c.Edited = d.c.ID, d.c.Made, d.c.Edited
	if faults := record.Check(c); len(faults) > 0 {
		return &faults[0]
	}
	if record.Equal(c, d.c) {
		return nil
	}
	d.undo = append(d.undo, step{what, d.c})
	if len(d.undo) > undoDepth {
		d.undo = slices.Delete(d.undo, 0, 1)
	}
	d.redo = nil
	s.become(d, c)
	return nil
}

// become puts a checked case in the place of the open one; the lock is held.
func (s *Session) become(d *doc, c record.Case) {
	now := s.Now()
	for _, f := range d.c.Films {
		if !names(c, f.SHA256) {
			s.removed.set(f.SHA256, now)
		}
	}
	c.ID, c.Made, c.Edited = d.c.ID, d.c.Made, now
	d.c = c
	s.operation()
	s.touch(d)
	s.replan()
}

// touch marks a case as not saved and begins to save it; the lock is held.
func (s *Session) touch(d *doc) {
	d.gen++
	d.dirty, d.err = true, nil
	s.kick()
}

// names reports whether a case has a film of that hash.
func names(c record.Case, sum string) bool {
	return slices.ContainsFunc(c.Films, func(f record.Film) bool { return f.SHA256 == sum })
}

// Preview returns the plan as it would be after an edit, for a finger that is
// still moving. Nothing is kept.
func (s *Session) Preview(edit func(*record.Case)) plan.Plan {
	s.mu.Lock()
	if s.open == nil {
		s.mu.Unlock()
		return plan.Plan{}
	}
	c, shelf := record.Clone(s.open.c), s.shelf
	s.mu.Unlock()
	edit(&c)
	return plan.For(c, shelf)
}

// Undo takes the last edit back, and reports whether there was one.
func (s *Session) Undo() bool {
	return s.shift(func(d *doc) (from, to *[]step) { return &d.undo, &d.redo })
}

// Redo makes the edit that was last taken back again, and reports whether
// there was one.
func (s *Session) Redo() bool {
	return s.shift(func(d *doc) (from, to *[]step) { return &d.redo, &d.undo })
}

func (s *Session) shift(ends func(*doc) (from, to *[]step)) bool {
	s.mu.Lock()
	d := s.open
	if d == nil {
		s.mu.Unlock()
		return false
	}
	from, to := ends(d)
	n := len(*from)
	if n == 0 {
		s.mu.Unlock()
		return false
	}
	last := (*from)[n-1]
	*from = (*from)[:n-1]
	*to = append(*to, step{last.what, d.c})
	s.become(d, last.c)
	s.mu.Unlock()
	s.changed()
	return true
}

// CanUndo returns what Undo would take back.
func (s *Session) CanUndo() (what string, ok bool) {
	return s.top(func(d *doc) []step { return d.undo })
}

// CanRedo returns what Redo would make again.
func (s *Session) CanRedo() (what string, ok bool) {
	return s.top(func(d *doc) []step { return d.redo })
}

func (s *Session) top(of func(*doc) []step) (string, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.open == nil {
		return "", false
	}
	steps := of(s.open)
	if len(steps) == 0 {
		return "", false
	}
	return steps[len(steps)-1].what, true
}
