package text

import (
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A direction is said only where the doubt leaves one: ± is 2 standard
// uncertainties (JCGM 100).
func TestBedsideDirections(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{FootSays(units.Angle{Best: 16, Own: 3}), "Lower piece turned outwards: turn the foot in"},
		{FootSays(units.Angle{Best: -16, Own: 3}), "Lower piece turned inwards: turn the foot out"},
		{FootSays(units.Angle{Best: 5, Own: 3}), "No turn that can be told from the doubt"},
		{FootSays(units.Angle{}), "No turn that can be told from the doubt"},
		{BowSays(units.Length{Best: 8, Own: 1}), "The nail is straighter than the bone by " + Length(units.Length{Best: 8, Own: 1})},
		{BowSays(units.Length{Best: -8, Own: 1}), "The nail is more bowed than the bone by " + Length(units.Length{Best: 8, Own: 1})},
		{BowSays(units.Length{Best: 1, Own: 1}), "Nail and bone are bowed alike, as far as can be told"},
		{HoleGap(units.Exact(50)), "50\u00a0mm beyond the fracture"},
		{HoleGap(units.Exact(-5)), "5\u00a0mm above the end of the fracture"},
		{DegreesAbout(units.Angle{Best: -15.6, Own: 3}), "16"},
		{LegSays(units.Exact(-18)), "The injured femur is 18\u00a0mm too short"},
		{HoleShort(2, implant.Hole{Plane: implant.Sagittal, Slot: true}), "Hole 2, front to back, slot"},
		{UnionSays(plan.UnionAnswer{Score: 10, United: record.Yes}, "rust"), "RUST: united"},
		{UnionSays(plan.UnionAnswer{Score: 9, United: record.Unsure}, "rust"), "RUST: one step short, so it cannot be told"},
		{UnionSays(plan.UnionAnswer{Score: 6, United: record.No}, "mrust"), "mRUST: not united"},
		{UnionSays(plan.UnionAnswer{}, "rust"), "No score yet"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}

// What is asked for, and its neighbours in stock, are named; by hand.
func TestBedsideParts(t *testing.T) {
	shelf := implant.Teaching()
	s := plan.DistalScrewFor(42, 5, shelf, plan.DefaultPolicy()) // steps of 2: 44
	all := DistalAsk(s) + " " + strings.Join(DistalDetail(s), " ")
	for _, w := range []string{"locking screw, 44\u00a0mm", "4 pieces", "next shorter, 42\u00a0mm", "next longer is 46\u00a0mm"} {
		if !strings.Contains(all, w) {
			t.Errorf("%q does not say %q", all, w)
		}
	}
	b := units.Exact(16)
	c := plan.CapFor(&b, shelf) // caps to 15
	all = CapSize(c) + " " + strings.Join(CapMore(c), " ")
	for _, w := range []string{"end cap of 15\u00a0mm", "1\u00a0mm below the tip", "none higher"} {
		if !strings.Contains(all, w) {
			t.Errorf("%q does not say %q", all, w)
		}
	}
	if got := DistalAsk(plan.DistalScrew{}) + CapSize(plan.CapAnswer{}); got != "No locking screw yetNo end cap yet" {
		t.Errorf("nothing decided: %q", got)
	}
}
