package screen

import (
	"errors"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/neck"
	"isthmus/core/units"
)

// What is wrong with a wire in the neck.
const (
	wireHeight = "height"
	wireTurn   = "turn"
	wireHole   = "hole"
)

// A wireAnswer is what the calculator says of one wire.
type wireAnswer struct {
	box, unit string // the large number; empty: no answer yet
	title     string
	below     []string
	ways      []text.Named // the direction, seen from several places
	picture   app.UI
	err       error
}

func (p *Page) wireWhat() string { return p.wordOr("wire.what", wireHeight) }

func (p *Page) wordOr(key, usual string) string {
	if s := p.word(key); s != "" {
		return s
	}
	return usual
}

// signed is a typed size with the direction that was chosen: plus for the
// first word, minus for the second. False while one of them is missing.
func (p *Page) signed(way, size, plus, minus string) (units.Length, bool) {
	n := p.number(size)
	if n == nil {
		return units.Length{}, false
	}
	l := units.Exact(*n)
	switch p.word(way) {
	case plus:
		return l, true
	case minus:
		return l.Times(-1), true
	}
	return units.Length{}, false
}

// shelfAngles are the angles between nail and head screws on the shelf.
func (p *Page) shelfAngles() []units.Deg {
	var out []units.Deg
	for _, n := range p.s.Shelf().Nails {
		if n.HeadAngle > 0 && !slices.Contains(out, n.HeadAngle) {
			out = append(out, n.HeadAngle)
		}
	}
	slices.Sort(out)
	return out
}

// wireAngle is the angle that was typed, or that of every nail of the shelf.
func (p *Page) wireAngle() (units.Deg, bool) {
	if n := p.number("wire.angle"); n != nil {
		return units.Deg(*n), true
	}
	if all := p.shelfAngles(); len(all) == 1 && p.empty("wire.angle") {
		return all[0], true
	}
	return 0, false
}

// empty is true while nothing was typed in a row, and nothing was refused.
func (p *Page) empty(key string) bool {
	_, bad := p.kept[key]
	return !bad && p.word(key) == ""
}

func (p *Page) wireAnswer() wireAnswer {
	switch p.wireWhat() {
	case wireTurn:
		return p.turnAnswer()
	case wireHole:
		return p.holeAnswer()
	}
	return p.heightAnswer()
}

// heightAnswer is the move of the nail for a wire too high or too low, or
// where the wire goes when the nail has been moved.
func (p *Page) heightAnswer() (a wireAnswer) {
	angle, ok := p.wireAngle()
	if !ok {
		return wireAnswer{title: "Which angle?", below: []string{"Say the angle between nail and screws."}}
	}
	in := drawing.WireHeightInput{ID: "wire", Side: anatomy.Side(p.word("wire.leg")), Angle: angle}
	if p.word("wire.height.ask") == "moved" {
		move, ok := p.signed("wire.height.went", "wire.height.move", "advanced", "withdrawn")
		if !ok {
			return wireAnswer{title: "How far was the nail moved?"}
		}
		rise, err := neck.RiseFrom(move, angle)
		if err != nil {
			return wireAnswer{err: err}
		}
		in.High, in.Move, in.Moved = rise.Times(-1).Best, move.Best, true
		a = wireAnswer{box: text.Size(rise.Best), unit: "mm", title: text.WireRise(rise)}
		a.picture = svg(drawing.WireHeight(in))
		return a
	}
	high, ok := p.signed("wire.height.way", "wire.height.off", "high", "low")
	if !ok {
		return wireAnswer{title: "How far is the wire off?"}
	}
	m, err := neck.MoveFor(high, angle)
	if err != nil {
		return wireAnswer{err: err}
	}
	one, _ := neck.MoveFor(units.Exact(1), angle)
	a = wireAnswer{box: text.Size(m.By.Best), unit: "mm", title: text.WireMove(m),
		below: []string{"Each millimetre on the image is " + text.Size(one.By.Best) + "\u00a0mm of the nail, at " + text.Degrees(angle) + "."}}
	in.High, in.Move = high.Best, m.By.Best
	if m.Way == neck.Withdraw {
		in.Move = -in.Move
	}
	a.picture = svg(drawing.WireHeight(in))
	return a
}

// errNoLeg refuses a turn without a leg.
var errNoLeg = errors.New("screen: which leg it is was not said: the turn goes the other way on the other leg: choose left or right")

// turnReach is how far the place lies from the axis of the nail, square to it.
func (p *Page) turnReach() (units.Length, bool, error) {
	if p.wordOr("wire.turn.how", "square") == "square" {
		n := p.number("wire.turn.reach")
		if n == nil {
			return units.Length{}, false, nil
		}
		return units.Exact(*n), true, nil
	}
	n := p.number("wire.turn.along")
	angle, ok := p.wireAngle()
	if n == nil || !ok {
		return units.Length{}, false, nil
	}
	l, err := neck.SquareReach(units.Exact(*n), angle)
	return l, err == nil, err
}

// turnAnswer is the turn of the handle for a wire too far in front or behind,
// or where the wire goes when the handle has been turned. It needs the leg.
func (p *Page) turnAnswer() (a wireAnswer) {
	leg := neck.Leg(p.word("wire.leg"))
	if leg == "" {
		return wireAnswer{title: "Which leg?", err: errNoLeg}
	}
	reach, ok, err := p.turnReach()
	if err != nil {
		return wireAnswer{err: err}
	}
	if !ok {
		return wireAnswer{title: "How far from the nail is that place?"}
	}
	in := drawing.WireTurnInput{ID: "wire", Side: anatomy.Side(leg), Reach: reach.Best}
	if p.word("wire.turn.ask") == "moved" {
		// The handle goes where the screws do not.
		by, ok := p.signed("wire.turn.went", "wire.turn.by", "backwards", "forwards")
		if !ok {
			return wireAnswer{title: "How far was the handle turned?"}
		}
		shift, err := neck.ShiftFrom(units.Angle{Best: units.Deg(by.Best)}, reach)
		if err != nil {
			return wireAnswer{err: err}
		}
		in.InFront, in.Turn, in.Moved = shift.Best, units.Deg(by.Best), true
		a = wireAnswer{box: text.Size(shift.Best), unit: "mm", title: text.WireShift(shift), below: []string{farFromNail(reach)}}
		a.picture = svg(drawing.WireTurn(in))
		return a
	}
	off, ok := p.signed("wire.turn.way", "wire.turn.off", "front", "behind")
	if !ok {
		return wireAnswer{title: "How far is the wire off?"}
	}
	t, err := neck.TurnFor(off, reach, leg)
	if err != nil {
		return wireAnswer{err: err}
	}
	in.InFront, in.Turn = off.Best, t.By.Best
	if t.Screws == neck.Forwards {
		in.Turn = -in.Turn
	}
	a = wireAnswer{box: text.Size(units.MM(t.By.Best)) + "°", title: text.WireTurn(t), ways: text.WireTurnWays(t), below: []string{farFromNail(reach)}}
	if one, err := neck.TurnFor(units.Exact(1), reach, leg); err == nil {
		a.below = append(a.below, "Each millimetre on the image is "+text.Degrees(one.By.Best)+".")
	}
	a.picture = svg(drawing.WireTurn(in))
	return a
}

func farFromNail(reach units.Length) string {
	return "Where the wire is " + text.Size(reach.Best) + "\u00a0mm from the axis of the nail, square to it."
}

// sleeves are the parallel sleeves of the shelf that have further holes.
func (p *Page) sleeves() (out []implant.Tool) {
	for _, t := range p.s.Shelf().Tools {
		if t.Kind == implant.ParallelSleeve && len(t.Offsets) > 0 && t.Stock > 0 {
			out = append(out, t)
		}
	}
	return out
}

func (p *Page) sleeve() (implant.Tool, bool) {
	all := p.sleeves()
	for _, t := range all {
		if t.ID == p.word("wire.hole.tool") {
			return t, true
		}
	}
	if len(all) == 1 {
		return all[0], true
	}
	return implant.Tool{}, false
}

// holeAnswer is the hole of a parallel sleeve nearest to a shift.
func (p *Page) holeAnswer() (a wireAnswer) {
	t, ok := p.sleeve()
	if !ok {
		if len(p.sleeves()) == 0 {
			return wireAnswer{title: "No parallel sleeve on the shelf", below: []string{"Enter it under Shelf, Tools, with the offsets of its further holes."}}
		}
		return wireAnswer{title: "Which sleeve?"}
	}
	way, off := p.word("wire.hole.way"), p.number("wire.hole.off")
	if way == "" || off == nil {
		return wireAnswer{title: "How far, and which way?"}
	}
	h, err := neck.NearestHole(*off, t.Offsets)
	if err != nil {
		return wireAnswer{err: err}
	}
	a = wireAnswer{box: text.Size(h.Offset), unit: "mm", title: text.WireHole(h, way), below: text.WireHoleLeft(h, *off)}
	a.picture = svg(drawing.Holes(drawing.HolesInput{ID: "wire", Way: way, Shift: *off, Offsets: t.Offsets, Take: h.Offset}))
	return a
}

func (p *Page) wireLine() string {
	if !p.ready {
		return ""
	}
	if a := p.wireAnswer(); a.box != "" {
		return lowerFirst(a.title)
	}
	return "nothing entered"
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }
