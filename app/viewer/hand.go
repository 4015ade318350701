package viewer

import (
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Phase is what a pointer did.
type Phase int

// The phases of a pointer. Hold is sent by the screen when a finger has
// stayed down for HoldMs without a Move that mattered.
const (
	Down Phase = iota + 1
	Move
	Up
	Cancel
	Hold
)

// A Tool is what points.
type Tool int

// A finger hides what it points at; a mouse and a pen do not.
const (
	Finger Tool = iota
	Mouse
	Pen
)

// An Event is one pointer event, in CSS pixels of the film area.
type Event struct {
	Phase Phase
	ID    int
	Tool  Tool
	At    geom.Pt[Css]
	Ms    float64 // any clock that runs forward
}

const (
	// Reach is how far from a point a finger may come down to grab it: the
	// target is 60 CSS pixels wide.
	Reach Css = 30
	// HoldMs is how long a still finger waits before it aims with the loupe.
	HoldMs = 350.0
	// Stalk is how far the handle stands off the point it moves.
	Stalk Css = 52
	// HandleRadius is how large the handle is drawn.
	HandleRadius Css = 16

	fingerSlop Css = 10  // a finger that rolls less has not moved
	mouseSlop  Css = 4   // a mouse is steadier
	aimAbove   Css = 48  // an aimed point lies this far above the finger
	twiceMs        = 350 // two taps within this are a double tap
	closer         = 2.5 // factor of a double tap
)

// A Ground is what a finger can meet: the view, the points that may be
// grabbed, which of them is the current one (−1: none), and whether a tap
// puts a new point down. While a tap does, the current point has no handle,
// so that no place on the film is covered by one.
type Ground struct {
	View    View
	Points  []geom.Pt[units.Px]
	Current int
	Placing bool
}

// A Verb is what the screen must do.
type Verb int

// What an event can ask for.
const (
	Nothing  Verb = iota
	Look          // take View
	Put           // a new point At, with Slip
	Pick          // Point becomes the current one
	Grab          // Point is held from now on
	Drag          // Point lies At for now
	Drop          // Point stays At, with Slip
	GiveBack      // the held point goes back to where it was
	Aim           // a new point would lie At; show the loupe
	Outside       // the tap was not on the film
)

// An Action is the answer to an event.
type Action struct {
	Verb  Verb
	View  View
	Point int
	At    geom.Pt[units.Px]
	Slip  units.Px
	// Finger is where the pointer is, for the loupe.
	Finger geom.Pt[Css]
}

type mode int

const (
	idle mode = iota
	pressed
	panning
	pinching
	dragging
	aiming
)

type finger struct {
	id int
	at geom.Pt[Css]
}

// A Hand remembers what the fingers are doing. It is never changed; On returns
// the next one. Its zero value touches nothing.
type Hand struct {
	mode   mode
	tool   Tool
	one    finger
	two    finger
	start  geom.Pt[Css]
	downMs float64 // when the first finger came down, Ms

	near   int          // point under the finger when it came down
	offset geom.Pt[Css] // from the finger to the point it holds
	since  View         // when the pinch began
	from   [2]geom.Pt[Css]

	tapAt  geom.Pt[Css]
	tapMs  float64
	tapped bool
	tapPut bool
}

// Busy reports whether a finger is on the film.
func (h Hand) Busy() bool { return h.mode != idle }

// On returns the hand after an event and what the screen must do. A place that
// is not a number or on no screen is refused, and so is everything on a view that shows no
// film.
func (h Hand) On(e Event, g Ground) (Hand, Action) {
	if !g.View.Ok() {
		return Hand{}, Action{}
	}
	if e.Phase == Cancel {
		return h.cancel(e)
	}
	if !onScreen(e.At) {
		return h, Action{}
	}
	switch e.Phase {
	case Down:
		return h.down(e, g), Action{}
	case Hold:
		return h.hold(e, g)
	case Move:
		return h.move(e, g)
	case Up:
		return h.up(e, g)
	}
	return h, Action{}
}

func (h Hand) down(e Event, g Ground) Hand {
	switch h.mode {
	case idle:
		h.mode, h.tool, h.start, h.downMs = pressed, e.Tool, e.At, e.Ms
		h.one = finger{e.ID, e.At}
		h.near = nearest(e.At, g)
	case pressed, panning:
		if e.ID == h.one.id {
			h.start, h.one.at = e.At, e.At
			return h
		}
		h.mode, h.two = pinching, finger{e.ID, e.At}
		h.since, h.from = g.View, [2]geom.Pt[Css]{h.one.at, e.At}
		h.tapped = false
	}
	return h // a finger more, or a palm beside a held point, is not heard
}

func (h Hand) hold(e Event, g Ground) (Hand, Action) {
	if h.mode != pressed || h.tool != Finger || e.ID != h.one.id {
		return h, Action{}
	}
	if h.near >= 0 && h.near < len(g.Points) {
		return h.grab(g)
	}
	if !g.Placing {
		return h, Action{}
	}
	h.mode, h.offset = aiming, geom.Pt[Css]{Y: -aimAbove}
	if h.start.Y < aimAbove {
		h.offset = geom.Pt[Css]{}
	}
	return h, Action{Verb: Aim, Point: -1, At: h.held(g), Finger: h.one.at}
}

// held returns where on the film the held point is now.
func (h Hand) held(g Ground) geom.Pt[units.Px] {
	return g.View.Onto(g.View.ToFilm(h.one.at.Plus(h.offset)))
}

func (h Hand) move(e Event, g Ground) (Hand, Action) {
	switch {
	case h.mode == pinching && e.ID == h.two.id:
		h.two.at = e.At
	case h.mode != idle && e.ID == h.one.id:
		if h.mode == pressed {
			return h.begin(e, g)
		}
		d := e.At.Minus(h.one.at)
		h.one.at = e.At
		if h.mode == panning {
			return h, Action{Verb: Look, View: g.View.Pan(d)}
		}
	default:
		return h, Action{}
	}
	switch h.mode {
	case pinching:
		return h, Action{Verb: Look, View: h.since.Pinch(h.from, [2]geom.Pt[Css]{h.one.at, h.two.at})}
	case dragging:
		return h, Action{Verb: Drag, Point: h.near, At: h.held(g), Finger: h.one.at}
	}
	return h, Action{Verb: Aim, Point: -1, At: h.held(g), Finger: h.one.at}
}

// begin turns a press into a drag or a pan once the finger has really moved.
// Nothing jumps: the slack of the finger is not added to what it moves.
func (h Hand) begin(e Event, g Ground) (Hand, Action) {
	slop := mouseSlop
	if h.tool == Finger {
		slop = fingerSlop
	}
	if geom.Dist(e.At, h.start) <= slop {
		return h, Action{}
	}
	h.one.at, h.tapped = e.At, false
	if h.near >= 0 && h.near < len(g.Points) {
		return h.grab(g)
	}
	h.mode = panning
	return h, Action{}
}

// grab takes hold of the point near the finger without moving it.
func (h Hand) grab(g Ground) (Hand, Action) {
	p := g.Points[h.near]
	h.mode, h.tapped = dragging, false
	h.offset = g.View.ToScreen(p).Minus(h.one.at)
	return h, Action{Verb: Grab, Point: h.near, At: p, Finger: h.one.at}
}

func (h Hand) up(e Event, g Ground) (Hand, Action) {
	switch {
	case h.mode == pinching && e.ID == h.two.id:
		h.mode = panning
		return h, Action{}
	case h.mode == pinching && e.ID == h.one.id:
		h.mode, h.one = panning, h.two
		return h, Action{}
	case h.mode == idle || e.ID != h.one.id:
		return h, Action{}
	}
	was := h.mode
	h.mode = idle
	switch was {
	case pressed:
		return h.tap(e, g)
	case dragging:
		return h, Action{Verb: Drop, Point: h.near, At: h.held(g), Slip: Slip(g.View)}
	case aiming:
		h.tapAt, h.tapMs, h.tapped, h.tapPut = e.At, e.Ms, true, true
		if e.Ms-h.downMs < HoldMs && geom.Dist(e.At, h.start) <= fingerSlop {
			return h.put(e, g) // a tap: the screen was busy and the Hold came late
		}
		return h, Action{Verb: Put, Point: -1, At: h.held(g), Slip: Slip(g.View)}
	}
	return h, Action{}
}

func (h Hand) tap(e Event, g Ground) (Hand, Action) {
	twice := h.tapped && e.Ms-h.tapMs < twiceMs && geom.Dist(e.At, h.tapAt) <= Reach
	put := h.tapPut
	h.tapAt, h.tapMs, h.tapped, h.tapPut = e.At, e.Ms, !twice, false
	switch {
	case twice && put:
		return h, Action{} // the second half of a double tap puts no second point
	case twice && !g.Placing:
		return h, Action{Verb: Look, View: nearer(g.View, e.At)}
	case g.Placing:
		return h.put(e, g)
	}
	if i := nearest(e.At, g); i >= 0 {
		return h, Action{Verb: Pick, Point: i}
	}
	return h, Action{}
}

func (h Hand) put(e Event, g Ground) (Hand, Action) {
	at := g.View.ToFilm(e.At)
	if !g.View.Inside(at) {
		return h, Action{Verb: Outside}
	}
	h.tapPut = true
	s := Slip(g.View)
	if h.tool == Finger {
		s = TapSlip(g.View)
	}
	return h, Action{Verb: Put, Point: -1, At: at, Slip: s}
}

// nearer zooms in on a double tap, or shows the whole film again when it is
// close already.
func nearer(v View, at geom.Pt[Css]) View {
	if v.Scale() > 6*v.fitScale() {
		return v.FitAgain()
	}
	return v.ZoomAt(at, closer)
}

// cancel forgets everything; a held point goes back.
func (h Hand) cancel(e Event) (Hand, Action) {
	ours := e.ID == h.one.id || h.mode == pinching && e.ID == h.two.id
	switch {
	case h.mode == idle || !ours:
		return h, Action{}
	case h.mode == dragging:
		return Hand{}, Action{Verb: GiveBack, Point: h.near}
	case h.mode == aiming:
		return Hand{}, Action{Verb: GiveBack, Point: -1}
	}
	return Hand{}, Action{}
}

// nearest returns the point within reach of a place, or −1. The handle of the
// current point counts as that point, and of two points the current one wins
// unless the other is clearly nearer.
func nearest(at geom.Pt[Css], g Ground) int {
	best, dist := -1, Reach
	for i, p := range g.Points {
		s := g.View.ToScreen(p)
		d := geom.Dist(at, s)
		if i == g.Current && !g.Placing {
			d = min(d, geom.Dist(at, HandleAt(g.View, s)))
		}
		if !(d <= Reach) {
			continue
		}
		if i == g.Current {
			d /= 2
		}
		if d <= dist {
			best, dist = i, d
		}
	}
	return best
}

// HandleAt returns where the handle of a point shown at p stands: below it,
// or above it near the lower edge, so that the finger on it does not hide the
// point.
func HandleAt(v View, p geom.Pt[Css]) geom.Pt[Css] {
	if p.Y+Stalk > v.h-Reach/2 {
		return geom.Pt[Css]{X: p.X, Y: p.Y - Stalk}
	}
	return geom.Pt[Css]{X: p.X, Y: p.Y + Stalk}
}
