package text

import (
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/neck"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// SpaceBox is whether both head screws fit, in a word for a box.
func SpaceBox(s plan.Space) string { box, _ := spaceSays(s); return box }

// SpaceTitle says the same in a sentence.
func SpaceTitle(s plan.Space) string { _, title := spaceSays(s); return title }

func spaceSays(s plan.Space) (box, title string) {
	switch {
	case !s.Solved || s.Both == "":
		return "open", "Room for both screws not worked out"
	case s.Both == record.Yes:
		return "both fit", "Both head screws fit"
	case s.Both == record.Unsure:
		return "close", "Too close to call"
	case s.Alone == nil || s.Alone.Fits == "":
		return "not both", "Both head screws do not fit"
	case s.Alone.Fits == record.Yes:
		return "only one", "Only one head screw fits"
	case s.Alone.Fits == record.Unsure:
		return "not both", "Even one head screw is too close to call"
	}
	return "no room", "Not even one head screw fits"
}

// SpaceDetail is what stands beside and below it: the room, where the top of
// the nail lies, how the nail is turned, and which screw is longer.
func SpaceDetail(s plan.Space) []string {
	var out []string
	if s.Room != nil {
		if s.Room.Best < 0 {
			out = append(out, Length(s.Room.Times(-1))+" are missing for both")
		} else {
			out = append(out, Length(*s.Room)+" beyond what is kept, at the tightest place")
		}
	}
	if s.Both == record.No && s.Alone != nil && s.Alone.Room != nil {
		if s.Alone.Room.Best < 0 {
			out = append(out, "The lower screw alone: "+Length(s.Alone.Room.Times(-1))+" are missing")
		} else {
			out = append(out, "The lower screw alone: "+Length(*s.Alone.Room)+" beyond what is kept, pointing "+forwards(s.Alone.Turn))
		}
	}
	if s.Top != nil {
		out = append(out, NailTop(*s.Top))
	}
	if s.Turn != nil {
		out = append(out, "Turn the nail so that the screws point "+forwards(*s.Turn))
	}
	for _, r := range s.Why {
		if strings.HasSuffix(r.Code, "-longer") {
			out = append(out, Reason(r))
		}
	}
	return out
}

// SpaceViews says where the rows of the table of room can be seen.
const SpaceViews = "Above and below are seen from the front, in front and behind from the side. The way to the nearest wall is seen on no film."

// NailTop says where the top of the nail lies.
func NailTop(top units.Length) string {
	if top.Best < 0 {
		return "Nail top " + Length(top.Times(-1)) + " above the trochanter tip: it stands out"
	}
	return "Nail top " + Length(top) + " below the trochanter tip"
}

// forwards prints a turn with its direction.
func forwards(a units.Angle) string {
	if a.Best < 0 {
		a.Best = -a.Best
		return Angle(a) + " backwards"
	}
	return Angle(a) + " forwards"
}

// A SpaceRow is one line of the table of room: the lower screw first.
type SpaceRow struct{ Name, Lower, Upper string }

// SpaceTable lists what both screws leave to the walls of the neck, and where
// their tips end.
func SpaceTable(s plan.Space) []SpaceRow {
	var out []SpaceRow
	add := func(name string, of func(plan.SpaceScrew) *units.Length) {
		lo, up := of(s.Lower), of(s.Upper)
		if lo != nil || up != nil {
			out = append(out, SpaceRow{name, orDash(lo), orDash(up)})
		}
	}
	add("above", func(s plan.SpaceScrew) *units.Length { return s.Up })
	add("below", func(s plan.SpaceScrew) *units.Length { return s.Down })
	add("in front", func(s plan.SpaceScrew) *units.Length { return s.Front })
	add("behind", func(s plan.SpaceScrew) *units.Length { return s.Back })
	add("any way", func(s plan.SpaceScrew) *units.Length { return s.Wall })
	add("for the length", func(s plan.SpaceScrew) *units.Length { return s.Length })
	return out
}

// TipTable lists where the tips of the chosen screws end, with the limits.
func TipTable(s plan.Space, p plan.Policy) []SpaceRow {
	var out []SpaceRow
	add := func(name string, of func(plan.SpaceScrew) *units.Length) {
		lo, up := of(s.Lower), of(s.Upper)
		if lo != nil || up != nil {
			out = append(out, SpaceRow{name, orDash(lo), orDash(up)})
		}
	}
	add("tip–apex, at most "+MM(p.TipApexRed), func(s plan.SpaceScrew) *units.Length { return s.TipApex })
	add("to the calcar", func(s plan.SpaceScrew) *units.Length { return s.Calcar })
	add("tip to joint, "+MM(p.HeadClearance)+" to "+MM(p.TipFar), func(s plan.SpaceScrew) *units.Length { return s.Nearest })
	return out
}

func orDash(l *units.Length) string {
	if l == nil {
		return "–"
	}
	return Length(*l)
}

// TipLimits says where the limits of the tip–apex distance come from.
func TipLimits(p plan.Policy) string {
	return "Above " + MM(p.TipApexAmber) + " a note, above " + MM(p.TipApexRed) + " a caution: 25 mm was found in old patients with trochanteric fractures and one sliding screw, 20 mm in one later study. For two screws, a young neck, or the calcar no limit is proven. A small distance does not say that the tip is far enough from the joint."
}

// StepDrill is the hospital's own rule for a step drill, beside the length it
// is set for.
func StepDrill(shelf implant.Shelf, ask units.MM) []string {
	var out []string
	for _, t := range shelf.Tools {
		if t.Kind == implant.StepDrill && t.Stock > 0 {
			out = append(out, "Step drill, for a screw of "+MM(ask)+": "+ToolMore(t)+".")
		}
	}
	if len(out) == 0 {
		out = append(out, "No step drill is on the shelf: before you set a stop, read which end of its scale is meant.")
	}
	return out
}

// needNames are the points a lateral film, and those an AP film, alone show.
var needViews = map[string]anatomy.View{"neck-front": anatomy.Lateral, "neck-back": anatomy.Lateral,
	"neck-upper": anatomy.AP, "neck-lower": anatomy.AP, "trochanter-tip": anatomy.AP}

// NeedView says on which view a missing point can be placed; no view where
// both have it.
func NeedView(need string) anatomy.View { return needViews[need] }

// SpaceNeeds says what must be marked before the screws can be worked out.
func SpaceNeeds(needs []string) string {
	var names []string
	seen := map[string]bool{}
	for _, n := range needs {
		name := landmarkNames[n]
		if name == "" {
			name = n
		}
		if !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return "To place both screws in front and behind too, mark on a film from the front and one from the side: " + strings.Join(names, "; ") + "."
}

// Degrees prints an angle that carries no doubt.
func Degrees(a units.Deg) string { return units.Trim(float64(a), 1) + "°" }

// Size prints how large an answer is, without its sign and its unit, to a
// tenth: for a box that has its unit beside it.
func Size(v units.MM) string { return units.Trim(float64(max(v, -v)), 1) }

// WireMove says which way to move the nail.
func WireMove(m neck.Move) string {
	by := Size(m.By.Best) + nbsp + "mm"
	switch m.Way {
	case neck.Advance:
		return "Advance the nail " + by
	case neck.Withdraw:
		return "Withdraw the nail " + by
	}
	return "Leave the nail where it is"
}

// WireRise says where the wire goes.
func WireRise(rise units.Length) string {
	by := Size(rise.Best) + nbsp + "mm"
	switch {
	case rise.Best > 0:
		return "The wire rises " + by
	case rise.Best < 0:
		return "The wire sinks " + by
	}
	return "The wire stays where it is"
}

// WireTurn says which way to turn the handle.
func WireTurn(t neck.Turn) string {
	if t.Handle == neck.NoWay {
		return "Leave the nail as it is"
	}
	return "Turn the handle " + Degrees(t.By.Best) + " " + string(t.Handle)
}

// WireTurnWays is the same turn seen from elsewhere.
func WireTurnWays(t neck.Turn) []Named {
	if t.Handle == neck.NoWay {
		return nil
	}
	return []Named{
		{"tips of the screws", string(t.Screws)},
		{"handle, on the lateral side", string(t.Handle)},
		{"the nail, as a leg turns", string(t.Nail)},
		{"from the hip, down the nail", string(t.Above)},
	}
}

// WireShift says where the wire goes when the nail is turned.
func WireShift(shift units.Length) string {
	by := Size(shift.Best) + nbsp + "mm"
	switch {
	case shift.Best > 0:
		return "The wire goes forwards " + by
	case shift.Best < 0:
		return "The wire goes backwards " + by
	}
	return "The wire stays where it is"
}

// WireHole says which hole of the sleeve to take.
func WireHole(h neck.Hole, way string) string {
	if h.Index < 0 {
		return "Stay in the middle hole"
	}
	side := way
	if h.Offset < 0 {
		side = "the other way"
	}
	return "Take the hole " + MM(max(h.Offset, -h.Offset)) + " " + side
}

// WireHoleLeft says what remains after that.
func WireHoleLeft(h neck.Hole, shift units.MM) []string {
	var out []string
	left := Size(h.Left) + nbsp + "mm"
	switch {
	case h.Left > -0.05 && h.Left < 0.05:
		out = append(out, "nothing is left")
	case (h.Left > 0) == (shift > 0):
		out = append(out, left+" are still missing")
	default:
		out = append(out, left+" too far")
	}
	if h.Tie {
		out = append(out, "Another hole is as near, on the other side of the place: choose by eye.")
	}
	return out
}

// SquareImage is the condition of every answer that is read off an image.
const SquareImage = "Read it with the image intensifier square to the screws: tilt and turn it until both edges of the sleeve lie parallel. Measure on the image in true millimetres: the thickness of the wire or the sleeve is the scale."
