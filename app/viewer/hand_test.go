package viewer

import (
	"math"
	"testing"

	"isthmus/core/units"
)

// A film of 400 × 800 in an area of 416 × 816: one css px is one film px and
// film (x, y) is shown at (x + 8.5, y + 8.5).
func ground(placing bool, current int, pts ...px) Ground {
	return Ground{View: Fit(416, 816, Film{400, 800, 1}), Points: pts, Current: current, Placing: placing}
}

func ev(ph Phase, id int, x, y Css, ms float64) Event {
	return Event{Phase: ph, ID: id, At: css{X: x, Y: y}, Ms: ms}
}

// play feeds events; it takes the views the hand asks for, as the screen does.
func play(g Ground, es ...Event) (Hand, Ground, []Action) {
	var h Hand
	var out []Action
	for _, e := range es {
		var a Action
		h, a = h.On(e, g)
		if a.Verb == Look {
			g.View = a.View
		}
		if a.Verb != Nothing {
			out = append(out, a)
		}
	}
	return h, g, out
}

func verbs(as []Action) []Verb {
	out := []Verb{}
	for _, a := range as {
		out = append(out, a.Verb)
	}
	return out
}

func same(a, b []Verb) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func TestHand(t *testing.T) {
	nan := Css(math.NaN())
	p := px{X: 91.5, Y: 191.5} // shown at (100, 200)
	for _, tt := range []struct {
		name string
		g    Ground
		es   []Event
		want []Verb
	}{
		{"a tap puts the landmark that is asked for", ground(true, -1), []Event{ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90)}, []Verb{Put}},
		{"a finger that rolls still taps", ground(true, -1), []Event{ev(Down, 1, 100, 200, 0), ev(Move, 1, 106, 206, 40), ev(Up, 1, 106, 206, 90)}, []Verb{Put}},
		{"a tap beside the film puts nothing", ground(true, -1), []Event{ev(Down, 1, 3, 200, 0), ev(Up, 1, 3, 200, 90)}, []Verb{Outside}},
		{"a tap puts nothing when nothing is asked for", ground(false, -1), []Event{ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90)}, nil},
		{"a tap on a point picks it", ground(false, -1, p), []Event{ev(Down, 1, 120, 210, 0), ev(Up, 1, 120, 210, 90)}, []Verb{Pick}},
		{"a tap near a point still puts the one asked for", ground(true, -1, p), []Event{ev(Down, 1, 120, 210, 0), ev(Up, 1, 120, 210, 90)}, []Verb{Put}},
		{"no handle covers the film while a tap puts a point", ground(true, 0, p), []Event{ev(Down, 1, 105, 255, 0), ev(Up, 1, 105, 255, 90)}, []Verb{Put}},
		{"a double tap puts one point, not two", ground(true, -1), []Event{
			ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90), ev(Down, 2, 104, 202, 150), ev(Up, 2, 104, 202, 220)}, []Verb{Put}},
		{"three quick taps put one point and then one more", ground(true, -1), []Event{
			ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90), ev(Down, 2, 104, 202, 150), ev(Up, 2, 104, 202, 220), ev(Down, 3, 104, 202, 300), ev(Up, 3, 104, 202, 350)}, []Verb{Put, Put}},
		{"two slow taps put two points", ground(true, -1), []Event{
			ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90), ev(Down, 2, 104, 202, 700), ev(Up, 2, 104, 202, 790)}, []Verb{Put, Put}},
		{"a double tap zooms when nothing is asked for", ground(false, -1), []Event{
			ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90), ev(Down, 2, 104, 202, 150), ev(Up, 2, 104, 202, 220)}, []Verb{Look}},
		{"two taps apart do not zoom", ground(false, -1), []Event{
			ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90), ev(Down, 2, 300, 202, 150), ev(Up, 2, 300, 202, 220)}, nil},
		{"one finger on empty film pans", ground(true, -1, p), []Event{
			ev(Down, 1, 300, 400, 0), ev(Move, 1, 305, 400, 10), ev(Move, 1, 320, 400, 20), ev(Move, 1, 340, 410, 30), ev(Up, 1, 340, 410, 40)}, []Verb{Look}},
		{"a finger on a point drags it", ground(true, -1, p), []Event{
			ev(Down, 1, 110, 220, 0), ev(Move, 1, 110, 240, 10), ev(Move, 1, 115, 250, 20), ev(Up, 1, 115, 250, 30)}, []Verb{Grab, Drag, Drop}},
		{"a finger on the handle of the current point drags it", ground(false, 0, p), []Event{
			ev(Down, 1, 100, 270, 0), ev(Move, 1, 100, 290, 10), ev(Move, 1, 100, 300, 20), ev(Up, 1, 100, 300, 30)}, []Verb{Grab, Drag, Drop}},
		{"a point that is not current has no handle", ground(false, -1, p), []Event{
			ev(Down, 1, 100, 270, 0), ev(Move, 1, 100, 290, 10), ev(Move, 1, 100, 300, 20), ev(Up, 1, 100, 300, 30)}, []Verb{Look}},
		{"held still on a point, it is grabbed", ground(false, -1, p), []Event{
			ev(Down, 1, 100, 200, 0), ev(Hold, 1, 100, 200, 350), ev(Up, 1, 100, 200, 400)}, []Verb{Grab, Drop}},
		{"held still, a finger aims with the loupe", ground(true, -1), []Event{
			ev(Down, 1, 200, 400, 0), ev(Hold, 1, 200, 400, 350), ev(Move, 1, 210, 400, 400), ev(Up, 1, 210, 400, 500)}, []Verb{Aim, Aim, Put}},
		{"held still, nothing is aimed when nothing is asked for", ground(false, -1), []Event{
			ev(Down, 1, 200, 400, 0), ev(Hold, 1, 200, 400, 350), ev(Up, 1, 200, 400, 500)}, nil},
		{"the call of the system ends an aim", ground(true, -1), []Event{
			ev(Down, 1, 200, 400, 0), ev(Hold, 1, 200, 400, 350), ev(Cancel, 1, 0, 0, 400), ev(Up, 1, 200, 400, 500)}, []Verb{Aim, GiveBack}},
		{"the call of the system gives a point back", ground(false, -1, p), []Event{
			ev(Down, 1, 100, 200, 0), ev(Move, 1, 100, 230, 10), ev(Cancel, 1, nan, nan, 20), ev(Up, 1, 100, 230, 30)}, []Verb{Grab, GiveBack}},
		{"two fingers pinch and put nothing", ground(true, -1), []Event{
			ev(Down, 1, 150, 400, 0), ev(Down, 2, 250, 400, 10), ev(Move, 2, 300, 400, 20), ev(Up, 2, 300, 400, 30), ev(Up, 1, 150, 400, 40)}, []Verb{Look}},
		{"after a pinch the finger that stays pans", ground(true, -1), []Event{
			ev(Down, 1, 150, 400, 0), ev(Down, 2, 250, 400, 10), ev(Move, 2, 300, 400, 20), ev(Up, 1, 150, 400, 30), ev(Move, 2, 310, 400, 40), ev(Up, 2, 310, 400, 50)}, []Verb{Look, Look}},
		{"a palm beside a held point is not heard", ground(false, -1, p), []Event{
			ev(Down, 1, 100, 200, 0), ev(Move, 1, 100, 230, 10), ev(Down, 2, 300, 500, 20), ev(Move, 2, 320, 500, 25), ev(Up, 2, 320, 500, 27), ev(Up, 1, 100, 230, 30)}, []Verb{Grab, Drop}},
		{"a third finger is not heard", ground(true, -1), []Event{
			ev(Down, 1, 150, 400, 0), ev(Down, 2, 250, 400, 10), ev(Down, 3, 300, 100, 12), ev(Move, 3, 320, 100, 14), ev(Up, 3, 320, 100, 16)}, nil},
		{"a place that is not a number is refused", ground(true, -1), []Event{ev(Down, 1, nan, 200, 0), ev(Up, 1, 100, 200, 90)}, nil},
		{"a lift that is not a number puts nothing", ground(true, -1), []Event{ev(Down, 1, 100, 200, 0), ev(Up, 1, nan, 200, 90)}, nil},
		{"a mouse that hovers does nothing", ground(true, -1, p), []Event{ev(Move, 1, 100, 200, 0), ev(Move, 1, 150, 200, 10)}, nil},
		{"a lift that nobody began does nothing", ground(true, -1, p), []Event{ev(Up, 1, 100, 200, 0)}, nil},
		{"no film, no point", Ground{Placing: true, Current: -1}, []Event{ev(Down, 1, 100, 200, 0), ev(Up, 1, 100, 200, 90)}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, _, as := play(tt.g, tt.es...)
			if got := verbs(as); !same(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestPutPlaceAndSlip(t *testing.T) {
	for _, tt := range []struct {
		name string
		tool Tool
		hold bool
		at   px
		slip units.Px
		why  string
	}{
		{"finger", Finger, false, px{X: 91.5, Y: 191.5}, 6, "by hand: 100 − 8.5; 6 css px at 1 css px per film px"},
		{"mouse", Mouse, false, px{X: 91.5, Y: 191.5}, 1.5, "by hand: 1.5 css px at 1 css px per film px"},
		{"aimed with the loupe", Finger, true, px{X: 91.5, Y: 143.5}, 1.5, "by hand: 48 css px above the finger"},
	} {
		down, hold, up := ev(Down, 1, 100, 200, 0), ev(Hold, 1, 100, 200, 350), ev(Up, 1, 100, 200, 500)
		down.Tool = tt.tool
		es := []Event{down, hold, up}
		if !tt.hold {
			es = []Event{down, up}
		}
		_, _, as := play(ground(true, -1), es...)
		last := as[len(as)-1]
		if last.Verb != Put || !near(last.At, tt.at, 1e-9) || math.Abs(float64(last.Slip-tt.slip)) > 1e-9 {
			t.Errorf("%s: %+v, want Put at %v slip %v (%s)", tt.name, last, tt.at, tt.slip, tt.why)
		}
	}
}

// A law: a point moves exactly as far as the finger after it was grabbed, and
// not at all by being grabbed, wherever in reach the finger came down.
// A tap on a busy screen: the Hold comes although the finger had left after
// 90 ms. The point is put where the finger was, not above it.
func TestLateHoldIsATap(t *testing.T) {
	_, _, as := play(ground(true, -1), ev(Down, 1, 200, 400, 0), ev(Hold, 1, 200, 400, 350), ev(Up, 1, 200, 400, 90))
	last := as[len(as)-1]
	if last.Verb != Put || last.At.X != 191.5 || last.At.Y != 391.5 {
		t.Errorf("%v at %v, want a point at (191.5, 391.5), under the finger", last.Verb, last.At)
	}
	if last.Slip != TapSlip(ground(true, -1).View) {
		t.Errorf("slip %v, want that of a bare tap", last.Slip)
	}
}

func TestDragDoesNotJump(t *testing.T) {
	p := px{X: 191.5, Y: 391.5} // shown at (200, 400)
	for _, at := range []css{{X: 200, Y: 400}, {X: 220, Y: 415}, {X: 175, Y: 390}, {X: 205, Y: 455}} {
		_, _, as := play(ground(false, 0, p),
			ev(Down, 1, at.X, at.Y, 0), ev(Move, 1, at.X+14, at.Y, 10), ev(Move, 1, at.X+24, at.Y-5, 20), ev(Up, 1, at.X+24, at.Y-5, 30))
		if !same(verbs(as), []Verb{Grab, Drag, Drop}) {
			t.Fatalf("from %v: %v", at, verbs(as))
		}
		if !near(as[0].At, p, 1e-9) {
			t.Errorf("from %v: grabbing moved the point to %v", at, as[0].At)
		}
		if want := p.Plus(px{X: 10, Y: -5}); !near(as[2].At, want, 1e-9) {
			t.Errorf("from %v: dropped at %v, want %v (by hand: the finger went 10, −5 after the grab)", at, as[2].At, want)
		}
	}
}

func TestDragStaysOnTheFilm(t *testing.T) {
	p := px{X: 10, Y: 10}
	_, _, as := play(ground(false, 0, p), ev(Down, 1, 18.5, 18.5, 0), ev(Move, 1, 30, 18.5, 5), ev(Move, 1, -500, -500, 10), ev(Up, 1, -500, -500, 20))
	if last := as[len(as)-1]; last.Verb != Drop || !near(last.At, px{X: -0.5, Y: -0.5}, 1e-9) {
		t.Errorf("%+v, want a drop on the corner of the film", last)
	}
}

func TestPinchByHand(t *testing.T) {
	g := ground(true, -1)
	a, b := g.View.ToFilm(css{X: 150, Y: 400}), g.View.ToFilm(css{X: 250, Y: 400})
	_, after, _ := play(g, ev(Down, 1, 150, 400, 0), ev(Down, 2, 250, 400, 10),
		ev(Move, 2, 260, 400, 12), ev(Move, 1, 130, 400, 15), ev(Move, 2, 330, 400, 20))
	if !near(after.View.ToScreen(a), css{X: 130, Y: 400}, 1e-9) || !near(after.View.ToScreen(b), css{X: 330, Y: 400}, 1e-9) {
		t.Errorf("film points at %v and %v, want under the fingers at 130 and 330",
			after.View.ToScreen(a), after.View.ToScreen(b))
	}
}

func TestNearest(t *testing.T) {
	a, b := px{X: 91.5, Y: 191.5}, px{X: 111.5, Y: 191.5} // shown at 100 and 120
	for _, tt := range []struct {
		name    string
		at      css
		current int
		want    int
	}{
		{"the nearer one", css{X: 112, Y: 200}, -1, 1},
		{"the current one if nearly as near", css{X: 112, Y: 200}, 0, 0},
		{"the other if clearly nearer", css{X: 119, Y: 200}, 0, 1},
		{"at the edge of reach", css{X: 70, Y: 200}, -1, 0},
		{"beyond reach", css{X: 69, Y: 200}, -1, -1},
		{"the current one has no longer reach", css{X: 60, Y: 180}, 0, -1},
		{"the handle", css{X: 100, Y: 270}, 0, 0},
	} {
		if got := nearest(tt.at, ground(false, tt.current, a, b)); got != tt.want {
			t.Errorf("%s: point %d, want %d", tt.name, got, tt.want)
		}
	}
}

// A law: whatever a pointer sends, no point that is not a number comes out and
// none lies beside the film.
func FuzzHand(f *testing.F) {
	f.Add(1, 1, 100.0, 200.0, 3, 1, 100.0, 200.0, true)
	f.Add(1, 1, 100.0, 200.0, 5, 1, 100.0, 200.0, true)
	f.Add(1, 1, 100.0, 200.0, 2, 1, math.Inf(1), math.NaN(), false)
	f.Add(1, 1, 100.0, 200.0, 1, 2, 1e308, -1e308, false)
	f.Fuzz(func(t *testing.T, ph1, id1 int, x1, y1 float64, ph2, id2 int, x2, y2 float64, placing bool) {
		g := ground(placing, 0, px{X: 91.5, Y: 191.5})
		_, g, as := play(g,
			ev(Phase(ph1), id1, Css(x1), Css(y1), 0), ev(Phase(ph2), id2, Css(x2), Css(y2), 100),
			ev(Move, id1, Css(x2), Css(y1), 200), ev(Up, id1, Css(x2), Css(y1), 300), ev(Up, id2, Css(x2), Css(y2), 400))
		for _, a := range as {
			if !a.At.Finite() || a.Verb == Put && !g.View.Inside(a.At) {
				t.Errorf("%+v", a)
			}
		}
		if s := g.View.ToScreen(px{}); !s.Finite() {
			t.Errorf("the view is lost: %+v", g.View)
		}
	})
}
