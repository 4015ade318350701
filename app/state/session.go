package state

import (
	"context"
	"sync"
	"time"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// A Session is what is open: one case with its undo, the shelf, what was
// typed, and the saving of all of it. Every change goes through it. It may be
// used by several goroutines.
type Session struct {
	w World

	mu    sync.Mutex
	shelf implant.Shelf
	list  []Brief         // what the store holds, as last seen
	docs  map[string]*doc // the open case, and every case not yet saved
	open  *doc
	plan  plan.Plan

	deleted *deletion
	ops     int // operations since the start

	typed   drawer // what was typed in Sizes
	removed drawer // films taken out of cases: SHA-256 → when

	sweep    map[string]bool // films to spare in a sweep that waits; nil: none waits
	saving   bool
	done     chan struct{} // closed when the saving that runs has ended
	works    error         // what the first writing and reading back said
	asked    bool          // the browser was asked to keep the data
	granted  bool          // and said yes
	exported exported
}

// newDoc returns a case in memory of which the store holds those bytes.
func newDoc(c record.Case, stored []byte) *doc {
	return &doc{c: c, stored: stored, tried: map[string]bool{}, films: map[string][]byte{}}
}

// A doc is a case in memory.
type doc struct {
	c      record.Case
	stored []byte            // what the store holds of it; nil: nothing
	tried  map[string]bool   // what was sent to the store and may have arrived
	films  map[string][]byte // films the store does not hold yet
	backup string
	gen    int // counts changes
	dirty  bool
	gone   bool  // deleted: never saved again
	err    error // why the last saving failed
	undo   []step
	redo   []step
}

// A step is a case before or after an edit.
type step struct {
	what string
	c    record.Case
}

// undoDepth is how many edits can be taken back: more than anyone makes in
// one sitting, and a bound on memory.
const undoDepth = 200

// New returns a session that knows nothing yet; Start fills it.
func New(w World) *Session {
	return &Session{w: w, shelf: implant.Teaching(), docs: map[string]*doc{}, typed: newDrawer("typed"), removed: newDrawer("removed-films")}
}

func (s *Session) changed() {
	if s.w.OnChange != nil {
		s.w.OnChange()
	}
}

// Now returns the time that a fact is stamped with.
func (s *Session) Now() string { return s.w.Clock.Now() }

// NewID returns a fresh identifier of 32 hexadecimal digits.
func (s *Session) NewID() string { return s.w.Clock.NewID() }

// Case returns a copy of the open case, and whether one is open.
func (s *Session) Case() (record.Case, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.open == nil {
		return record.Case{}, false
	}
	return record.Clone(s.open.c), true
}

// Plan returns the plan of the open case, worked out at its last change. It
// is not to be written to. Without an open case it is empty.
func (s *Session) Plan() plan.Plan {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.plan
}

// Shelf returns the shelf that plans are made with. Its lists are not to be
// written to: change a copy and hand it to SetShelf.
func (s *Session) Shelf() implant.Shelf {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shelf
}

// replan works the plan out again; the lock is held.
func (s *Session) replan() {
	s.plan = plan.Plan{}
	if s.open != nil {
		s.plan = plan.For(s.open.c, s.shelf)
	}
}

// SetShelf makes this the shelf, plans again and stores it. A shelf with a
// fault is refused. When the storing fails the shelf is used all the same and
// the error says that it will be gone after this page is closed.
func (s *Session) SetShelf(ctx context.Context, shelf implant.Shelf) error {
	if faults := implant.Check(shelf); len(faults) > 0 {
		return &faults[0]
	}
	b := implant.WriteJSON(shelf)
	own, err := implant.ParseJSON(b) // a copy nobody else can write to
	if err != nil {
		return err
	}
	s.mu.Lock()
	s.shelf = own
	s.operation()
	s.replan()
	s.mu.Unlock()
	s.changed()
	_, err = within(ctx, saveLimit, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, s.w.Store.SaveSetting(ctx, shelfKey, b)
	})
	return err
}

// within runs fn with a time limit and returns when it is over, whether fn
// minds ctx or not: a store that never answers must not hang a screen.
func within[T any](ctx context.Context, limit time.Duration, fn func(ctx context.Context) (T, error)) (T, error) {
	type answer struct {
		v   T
		err error
	}
	own, cancel := context.WithTimeout(ctx, limit)
	got := make(chan answer, 1)
	go func() {
		defer cancel()
		var a answer
		defer func() {
			if r := recover(); r != nil {
				a.err = &UnavailableError{Cause: asError(r)}
			}
			got <- a
		}()
		a.v, a.err = fn(own)
	}()
	select {
	case a := <-got:
		return a.v, a.err
	case <-own.Done():
	}
	select {
	case a := <-got: // it was over at the same moment
		return a.v, a.err
	default:
	}
	var none T
	if err := ctx.Err(); err != nil {
		return none, err
	}
	return none, &UnavailableError{Cause: own.Err()}
}
