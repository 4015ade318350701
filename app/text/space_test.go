package text

import (
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/neck"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

func mmOf(best, own units.MM) *units.Length { return &units.Length{Best: best, Own: own} }

// Each state of the room has its own word and sentence; too close to call is
// never said as yes or no, and what was not worked out is not said at all.
func TestSpaceIsSaid(t *testing.T) {
	one := &plan.SpaceAlone{Room: mmOf(2, 0.5), Turn: units.Angle{Best: -4}, Fits: record.Yes}
	none := &plan.SpaceAlone{Room: mmOf(-1, 0.2), Fits: record.No}
	for _, tt := range []struct {
		name, box, title, says string
		s                      plan.Space
	}{
		{"nothing", "open", "Room for both screws not worked out", "", plan.Space{}},
		{"both", "both fit", "Both head screws fit", "3.5 ± 1.0 mm beyond what is kept", plan.Space{Solved: true, Both: record.Yes, Room: mmOf(3.5, 0.5)}},
		{"close", "close", "Too close to call", "0.3 ± 1.0 mm beyond", plan.Space{Solved: true, Both: record.Unsure, Room: mmOf(0.3, 0.5)}},
		{"one", "only one", "Only one head screw fits", "2.5 ± 1.0 mm are missing for both", plan.Space{Solved: true, Both: record.No, Room: mmOf(-2.5, 0.5), Alone: one}},
		{"one, how", "only one", "Only one head screw fits", "pointing 4° backwards", plan.Space{Solved: true, Both: record.No, Room: mmOf(-2.5, 0.5), Alone: one}},
		{"none", "no room", "Not even one head screw fits", "The lower screw alone: 1.0 ± 0.4 mm are missing", plan.Space{Solved: true, Both: record.No, Room: mmOf(-6, 0.5), Alone: none}},
		{"no answer", "open", "Room for both screws not worked out", "", plan.Space{Solved: true}},
		{"alone not worked out", "not both", "Both head screws do not fit", "", plan.Space{Solved: true, Both: record.No}},
		{"alone in doubt", "not both", "Even one head screw is too close to call", "", plan.Space{Solved: true, Both: record.No, Alone: &plan.SpaceAlone{Fits: record.Unsure}}},
		{"top", "both fit", "Both head screws fit", "Nail top 12.0 ± 1.0 mm below the trochanter tip", plan.Space{Solved: true, Both: record.Yes, Top: mmOf(12, 0.5)}},
		{"proud", "both fit", "Both head screws fit", "Nail top 3.0 ± 1.0 mm above the trochanter tip: it stands out", plan.Space{Solved: true, Both: record.Yes, Top: mmOf(-3, 0.5)}},
		{"turned", "both fit", "Both head screws fit", "Turn the nail so that the screws point 14° forwards", plan.Space{Solved: true, Both: record.Yes, Turn: &units.Angle{Best: 14}}},
	} {
		got := strings.ReplaceAll(strings.Join(SpaceDetail(tt.s), ". "), nbsp, " ")
		if SpaceBox(tt.s) != tt.box || SpaceTitle(tt.s) != tt.title || !strings.Contains(got, tt.says) || tt.says == "" && got != "" {
			t.Errorf("%s: %q, %q, %q", tt.name, SpaceBox(tt.s), SpaceTitle(tt.s), got)
		}
	}
}

// The lower screw stands first, and what one screw lacks is a dash.
func TestSpaceTables(t *testing.T) {
	s := plan.Space{Lower: plan.SpaceScrew{Up: mmOf(20, 0), TipApex: mmOf(18, 0)}, Upper: plan.SpaceScrew{Up: mmOf(8.5, 0)}}
	if got := SpaceTable(s); len(got) != 1 || got[0].Name != "above" || got[0].Lower != "20"+nbsp+"mm" || got[0].Upper != "8.5"+nbsp+"mm" {
		t.Errorf("%+v", got)
	}
	if got := TipTable(s, plan.DefaultPolicy()); len(got) != 1 || !strings.Contains(got[0].Name, "25"+nbsp+"mm") || got[0].Upper != "–" {
		t.Errorf("%+v", got)
	}
	for _, want := range []string{"old patients", "one sliding screw", "20", "25"} {
		if !strings.Contains(TipLimits(plan.DefaultPolicy()), want) {
			t.Errorf("the limits do not say %q", want)
		}
	}
}

// The words of each bedside answer, with their direction; nothing to do is
// said as that.
func TestWireWords(t *testing.T) {
	ex := units.Exact
	for _, tt := range []struct{ got, want string }{
		{WireMove(neck.Move{Way: neck.Advance, By: ex(6.527)}), "Advance the nail 6.5 mm"},
		{WireMove(neck.Move{Way: neck.Withdraw, By: ex(2)}), "Withdraw the nail 2 mm"},
		{WireMove(neck.Move{}), "Leave the nail where it is"},
		{WireRise(ex(-4.98)), "The wire sinks 5 mm"}, {WireRise(ex(3)), "The wire rises 3 mm"}, {WireRise(ex(0)), "The wire stays where it is"},
		{WireShift(ex(-4)), "The wire goes backwards 4 mm"}, {WireShift(ex(4)), "The wire goes forwards 4 mm"}, {WireShift(ex(0)), "The wire stays where it is"},
		{WireTurn(neck.Turn{By: units.Angle{Best: 3.136}, Handle: neck.Forwards}), "Turn the handle 3.1° forwards"},
		{WireTurn(neck.Turn{}), "Leave the nail as it is"},
		{WireHole(neck.Hole{Index: -1}, "up"), "Stay in the middle hole"},
		{WireHole(neck.Hole{Index: 2, Offset: 4}, "up"), "Take the hole 4 mm up"},
		{WireHole(neck.Hole{Index: 1, Offset: -4}, "up"), "Take the hole 4 mm the other way"},
		{WireHoleLeft(neck.Hole{Left: 1}, 5)[0], "1 mm are still missing"},
		{WireHoleLeft(neck.Hole{Left: -1}, 5)[0], "1 mm too far"},
		{WireHoleLeft(neck.Hole{}, 4)[0], "nothing is left"},
	} {
		if got := strings.ReplaceAll(tt.got, nbsp, " "); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
	if WireTurnWays(neck.Turn{}) != nil || !strings.Contains(SquareImage, "square to the screws") {
		t.Error("no turn has ways, or the image is not said to be square")
	}
}

// The rule of the step drill is the shelf's own, and only of one in stock.
func TestStepDrillWords(t *testing.T) {
	s := implant.Shelf{Tools: []implant.Tool{{Kind: implant.StepDrill, Note: "Read the far end", Stock: 1}, {Kind: implant.StepDrill, Note: "Lost", Stock: 0}, {Kind: implant.Drill, Note: "Plain", Stock: 1}}}
	if got := StepDrill(s, 90); len(got) != 1 || strings.ReplaceAll(got[0], nbsp, " ") != "Step drill, for a screw of 90 mm: Read the far end." {
		t.Errorf("%q", got)
	}
	if got := StepDrill(implant.Shelf{}, 90); len(got) != 1 || !strings.HasPrefix(got[0], "No step drill") {
		t.Errorf("%q", got)
	}
	if got := SpaceNeeds([]string{"head-rim-1", "neck-front", "neck-front"}); strings.Count(got, "neck, front inner edge") != 1 {
		t.Errorf("%q", got)
	}
}
