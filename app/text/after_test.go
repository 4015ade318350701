package text

import (
	"regexp"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

var codeWord = regexp.MustCompile(`\b[a-z]+(-[a-z]+)*_[a-z_]+\b|turn-injured|turn-sound|lesser-|length-injured|distal-depth|mrust|the-same|both-`)

// What follows from nail and bone is words throughout: no code, no brace, and
// directions in words.
func TestAfterInWords(t *testing.T) {
	v := func(x units.MM) *units.MM { return &x }
	d := func(x units.Deg) *units.Deg { return &x }
	p, shelf := plan.DefaultPolicy(), implant.Teaching()
	var whys []plan.Reason
	var all []plan.Problem
	take := func(w []plan.Reason, q []plan.Problem) { whys, all = append(whys, w...), append(all, q...) }
	for _, a := range []plan.Answered{
		plan.TurnFrom(plan.Arc{Condyles: d(20), Neck: d(26)}, plan.Arc{Condyles: d(28), Neck: d(14)}, p).Answered,
		plan.TurnFrom(plan.Arc{Condyles: d(20)}, plan.Arc{Condyles: d(28), Neck: d(14)}, p).Answered,
		plan.TurnFrom(plan.Arc{Condyles: d(300), Neck: d(0)}, plan.Arc{}, p).Answered,
		plan.LesserFrom(v(57), v(60)), plan.LesserFrom(v(40), v(60)), plan.LesserFrom(v(40), nil), plan.LesserFrom(v(1), v(60)),
		plan.LengthDiff(v(402), v(423), p), plan.LengthDiff(v(440), v(424), p), plan.LengthDiff(v(1), v(423), p), plan.LengthDiff(nil, v(423), p),
		plan.NeckShaftDiff(units.Angle{Best: 124, Own: 1}, units.Angle{Best: 131, Own: 1}, p),
		plan.GapFrom(4.2, record.Yes, p), plan.GapFrom(1, record.Yes, p), plan.GapFrom(9, record.No, p), plan.GapFrom(-1, record.No, p),
		plan.BowFor(units.Exact(943), 1500, 400, p), plan.BowFor(units.Exact(150), 1500, 400, p), plan.BowFor(units.Exact(943), 1500, 4, p),
		plan.ToggleFor(units.Exact(14), 10, units.Exact(120)), plan.StiffnessRatio(plan.Tube{Outer: 12, Inner: 5}, plan.Tube{Outer: 10}), plan.BendingRatio(5, 4),
	} {
		take(a.Why, a.Problems)
	}
	burial := units.Length{Best: 5, Own: 1}
	end, s := plan.CapFor(&burial, shelf), plan.DistalScrewFor(42, 5, shelf, p)
	take(end.Why, end.Problems)
	take(s.Why, s.Problems)
	s = plan.DistalScrewFrom(record.Reading{OnBone: record.Yes}, 5, shelf, p)
	take(s.Why, s.Problems)
	c := record.Case{Side: anatomy.Left, Implants: []record.Implant{{Kind: "nail", At: "2026-01-10T12:00:00Z"}},
		Followed: []record.Followed{{ID: "a", At: "2026-06-10T12:00:00Z", Scale: "mrust", Cortices: []int{2, 2, 2, 2}}},
		Readings: []record.Reading{{ID: "b", Kind: record.BurialFound}}}
	pl := plan.Make(c, shelf, p)
	take(append(pl.Seat.Why, pl.Union.Why...), pl.Problems)
	if len(whys) < 20 || len(all) < 20 {
		t.Fatalf("only %d reasons and %d problems: this test says nothing", len(whys), len(all))
	}
	var said []string
	for _, w := range whys {
		said = append(said, Reason(w))
	}
	for _, q := range all {
		title, do := Problem(q)
		said = append(said, title, do)
	}
	for _, s := range said {
		if s == "" || strings.ContainsAny(s, "{}") || strings.Contains(s, "NaN") || strings.Contains(s, "without words") || codeWord.MatchString(s) {
			t.Errorf("%q", s)
		}
	}
	text := strings.Join(said, "\n")
	for _, want := range []string{"outwards", "shorter", "longer", "into varus", "mRUST score is 8 of 16", "66 to 94"} {
		if !strings.Contains(text, want) {
			t.Errorf("nobody says %q", want)
		}
	}
}
