//go:build !js

package screen

import (
	"slices"
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// saysAt fails unless the screen as it is says all of the words.
func saysAt(t *testing.T, p *Page, path string, words ...string) {
	t.Helper()
	p.path = path
	shown := shownAs(p)
	for _, w := range words {
		if !strings.Contains(shown, w) {
			t.Errorf("%s does not say %q", path, w)
		}
	}
}

func has(ps []plan.Problem, code string) bool {
	return slices.ContainsFunc(ps, func(q plan.Problem) bool { return q.Code == code })
}

// bedside is a page at a calculator on a shelf of locking screws in 5 mm steps.
func bedside(t *testing.T, path string) *Page {
	t.Helper()
	p, _ := sizesPage(t)
	s := implant.Teaching()
	s.Locking = nil
	for l := units.MM(30); l <= 60; l += 5 {
		s.Locking = append(s.Locking, implant.Screw{ID: "L5-" + l.String(), Diameter: 5, Length: l, Stock: 2})
	}
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	p.path = path
	return p
}

// facts §5: depth 42 and 2 mm more is 44, rounded up to 45 in 5 mm stock.
func TestBedsideDistalScrew(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	do(p, "distal.depth|42")
	if a := p.distalAnswer(0); a.Ask != 0 || !has(a.Problems, "distal-off-bone") {
		t.Errorf("nobody said whether the sleeve was on bone: %v", a.Ask)
	}
	do(p, "distal.bone|yes")
	if a := p.distalAnswer(0); a.Ask != 45 {
		t.Errorf("42 → %v, want 45 (facts §5)", a.Ask)
	}
	saysAt(t, p, "/sizes/distal", "Ask for the locking screw, 45\u00a0mm", "stands 3\u00a0±\u00a0", "next shorter, 40\u00a0mm", "next longer is 50\u00a0mm", "d-hole-one", "Rounded up")
	do(p, "distal.bone|no", "distal.off|4") // 42 − 4 + 2 = 40
	if a := p.distalAnswer(0); a.Ask != 40 {
		t.Errorf("4 mm off the bone: %v, want 40 (by hand)", a.Ask)
	}
	for _, bad := range []string{"abc", "900", "-3"} {
		if do(p, "distal.depth|"+bad); p.distalAnswer(0).Ask != 0 || p.wrong["distal.depth"] == "" {
			t.Errorf("%q: %v, want no answer and why", bad, p.distalAnswer(0).Ask)
		}
	}
}

// Two diameters on the shelf: none is guessed, both are listed.
func TestBedsideDistalDiameters(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	s := p.s.Shelf()
	s.Locking = append(s.Locking, implant.Screw{ID: "L4", Diameter: 4, Length: 46, Stock: 1})
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	do(p, "distal.depth|42", "distal.bone|yes")
	if a := p.distalAnswer(p.distalDia()); a.Ask != 0 || !has(a.Problems, "locking-diameter-open") {
		t.Errorf("two diameters, and %v was taken", a.Ask)
	}
	saysAt(t, p, "/sizes/distal", "Screws of 4\u00a0mm", "46\u00a0mm, 1 piece", "Screws of 5\u00a0mm", "45\u00a0mm, 2 pieces")
	if do(p, "distal.dia|4"); p.distalAnswer(p.distalDia()).Ask != 46 {
		t.Error("the chosen diameter is not taken")
	}
}

// facts §5: hole 35 mm from the tip, fracture to 305, burial 5: nails of 360,
// 380 and 400 have 25, 45 and 65; the first two are flagged (Bucholz 1987).
func TestBedsideHoles(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	do(p, "distal.what|holes")
	do(p, "distal.fracture|305", "distal.nail|8", "distal.burial|5", "distal.length|400")
	do(p, "distal.tip|35")
	for _, tt := range []struct{ nail, says, class string }{
		{"360", "Highest hole: 25\u00a0±", "fracture-near-hole"}, {"380", "Highest hole: 45\u00a0±", "fracture-near-hole"}, {"400", "Highest hole: 65\u00a0±", ""},
	} {
		do(p, "distal.length|"+tt.nail)
		saysAt(t, p, "/sizes/distal", tt.says, "The shelf has no nail of this size", "d-distal")
		if got := strings.Contains(shownAs(p), "fracture-near-hole"); got != (tt.class != "") {
			t.Errorf("%s: flagged %v", tt.nail, got)
		}
	}
	// A nail of the shelf brings its own holes: the highest 50 from the tip.
	do(p, "distal.nail|10")
	saysAt(t, p, "/sizes/distal", "Highest hole: 50\u00a0±", "Hole 3, front to back", "fracture-near-hole") // 5 + 400 − 50 − 305
	if do(p, "distal.fracture|400"); !strings.Contains(shownAs(p), "fracture-over-hole") {
		t.Error("a fracture below the hole is no stop")
	}
}

// Left and right nails of one size with other holes: the side is asked for,
// and a hole that was typed for another nail is not taken in their place.
func TestBedsideHolesDiffer(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	s := p.s.Shelf()
	for i, n := range s.Nails {
		if n.Diameter == 10 && n.Length == 400 && n.Side == "right" {
			s.Nails[i].Distal = n.Distal[1:]
		}
	}
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	do(p, "distal.what|holes")
	do(p, "distal.fracture|305", "distal.nail|10", "distal.length|401")
	do(p, "distal.tip|35", "distal.length|400")
	if a, ok := p.holesAsk(); ok {
		t.Errorf("left and right differ, and %v was taken", a.holes)
	}
	saysAt(t, p, "/sizes/distal", "say the side")
	for side, want := range map[string]string{"left": "Highest hole: 50", "right": "Highest hole: 65"} { // 5 + 400 − 50 − 305, and 35
		p.s.SetTyped("distal.side", side)
		saysAt(t, p, "/sizes/distal", want)
	}
}

// A row that sets the policy takes no value that the policy would not.
func TestBedsidePolicyRows(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	for row, key := range map[string]string{"distal.over": "distal_over_mm", "distal.limit": "hole_distance_mm"} {
		do(p, "distal.what|screw")
		if row == "distal.limit" {
			do(p, "distal.what|holes")
		}
		r := p.view().rows[row]
		i := slices.IndexFunc(plan.Knobs(), func(k plan.Knob) bool { return k.Key == key })
		if k := plan.Knobs()[i]; r.lo != k.Lo || r.hi != k.Hi {
			t.Errorf("%s takes %g to %g, the policy %g to %g", row, r.lo, r.hi, k.Lo, k.Hi)
		}
	}
	do(p, "distal.what|screw", "distal.depth|42", "distal.bone|yes", "distal.over|4")
	if a := p.distalAnswer(0); a.Ask != 50 {
		t.Errorf("42 + 4 = 46 → %v, want 50 (by hand)", a.Ask)
	}
}

// facts §5: canal 14, nail 10, 120 mm: 1.91°.
func TestBedsideTilt(t *testing.T) {
	p := bedside(t, "/sizes/distal")
	do(p, "distal.what|tilt")
	do(p, "distal.canal|14", "distal.thick|10", "distal.along|120")
	saysAt(t, p, "/sizes/distal", "The nail can tilt by 1.9\u00a0±", "d-tilt")
}

// By hand: 12 deep, caps 0, 5, 10, 15: 10 leaves 2, 15 would stand out 3.
func TestBedsideCap(t *testing.T) {
	p := bedside(t, "/sizes/cap")
	if a, _ := p.capAnswer(); a.Cap != nil {
		t.Error("a cap without a depth")
	}
	do(p, "cap.burial|12")
	saysAt(t, p, "/sizes/cap", "Ask for the end cap of 10\u00a0mm", "2\u00a0±\u00a02\u00a0mm below", "15\u00a0mm, would end 3\u00a0±\u00a02\u00a0mm above", "Write the cap into the record", "d-cap")
	do(p, "cap.burial|-4")
	if a, _ := p.capAnswer(); a.Cap != nil || !strings.Contains(shownAs(p), "nail-proud") {
		t.Error("a nail that stands proud takes a cap, or is not named")
	}
}

// facts §3n: over 400 a bone of 943 and a nail of 1500 differ by 8.060; a bow
// 20 high over 400 has a radius of 1010.
func TestBedsideBow(t *testing.T) {
	p := bedside(t, "/sizes/bow")
	do(p, "bow.how|radius", "bow.radius|943", "bow.chord|400")
	a, _ := p.bowAnswer()
	if a.Length == nil {
		t.Fatal("no answer")
	}
	testkit.Near(t, "facts §3n", float64(a.Length.Best), 8.060, 1e-3)
	saysAt(t, p, "/sizes/bow", "The nail is straighter than the bone by 8.06\u00a0mm", "bow-mismatch", "d-bow", "from the shelf")
	do(p, "bow.how|height", "bow.line|400", "bow.high|20")
	if _, bone := p.bowAnswer(); bone == nil {
		t.Fatal("no radius")
	} else {
		testkit.Near(t, "facts §3n, inverse", float64(bone.Best), 1010, 1e-6)
	}
	if do(p, "bow.high|0.5"); func() bool { a, _ := p.bowAnswer(); return a.Length != nil }() {
		t.Error("a height that its doubt covers gave a bow")
	}
	if do(p, "bow.entry|back", "bow.stature|1550"); true {
		saysAt(t, p, "/sizes/bow", "entry-back", "stature-short")
	}
	if do(p, "bow.entry|middle", "bow.stature|1700"); strings.Contains(shownAs(p), "entry-back") || strings.Contains(shownAs(p), "stature-short") {
		t.Error("warned without a reason")
	}
}

// By hand: sound 30 − 12 = 18, injured 20 − 18 = 2: the lower piece is turned
// 16° outwards, so the foot goes in; the other way round it goes out.
func TestBedsideTurn(t *testing.T) {
	p := bedside(t, "/sizes/turn")
	do(p, "turn.side|right", "turn.sound.condyles|30", "turn.sound.neck|12", "turn.injured.condyles|20")
	if a := p.armTurn(); a.Angle != nil || !has(a.Problems, "turn-half") {
		t.Error("half a reading gave a turn")
	}
	do(p, "turn.injured.neck|18")
	saysAt(t, p, "/sizes/turn", "turned outwards: turn the foot in", "foot in 16", "turn-wrong", "d-turn")
	do(p, "turn.sound.condyles|14", "turn.injured.condyles|36")
	saysAt(t, p, "/sizes/turn", "turned inwards: turn the foot out", "foot out 16")
	if do(p, "turn.injured.condyles|21"); !strings.Contains(shownAs(p), "No turn that can be told") {
		t.Error("1° with a doubt of 6° has a direction")
	}
	// Turgut 2020: 97 % is 0 … −5°; an aid with its weakness said.
	do(p, "turn.what|lesser", "turn.lesser.injured|38", "turn.lesser.sound|40")
	saysAt(t, p, "/sizes/turn", "An aid and no proof", "d-pair")
	// By hand: 402 − 420 = 18 short, talked about; 395: corrected.
	do(p, "turn.what|length", "turn.length.injured|402", "turn.length.sound|420")
	saysAt(t, p, "/sizes/turn", "The injured femur is 18", "too short", "length-discuss", "differ by 18")
	do(p, "turn.length.injured|395")
	saysAt(t, p, "/sizes/turn", "length-correct")
	// facts §6: 4.2 is flagged, of a simple fracture.
	do(p, "turn.what|gap", "turn.gap|4.2")
	saysAt(t, p, "/sizes/turn", "gap-wide", "Gap over the limit")
	if do(p, "turn.simple|no"); strings.Contains(shownAs(p), "gap-wide") {
		t.Error("a gap of a fracture in pieces is judged")
	}
}

// facts §8: all 1 → 4, all 3 → 12 (RUST), all 4 → 16 (mRUST); united from 10
// and 11 on (Litrenta 2015, from memory).
func TestBedsideUnion(t *testing.T) {
	p := bedside(t, "/sizes/union")
	all := func(n string) {
		do(p, "union.inner|"+n, "union.outer|"+n, "union.front|"+n, "union.back|"+n)
	}
	all("1")
	if a, _ := p.unionAnswer(); a.Score != 4 || a.United != record.No {
		t.Errorf("all 1: %v %v", a.Score, a.United)
	}
	do(p, "union.days|120")
	saysAt(t, p, "/sizes/union", "RUST: not united", "Dynamising", "Day 120", "d-union")
	all("3")
	if a, _ := p.unionAnswer(); a.Score != 12 || a.United != record.Yes {
		t.Errorf("all 3: %v %v", a.Score, a.United)
	}
	if strings.Contains(shownAs(p), "Dynamising<") {
		t.Error("a united bone is to be dynamised")
	}
	do(p, "union.scale|mrust")
	all("4")
	if a, _ := p.unionAnswer(); a.Score != 16 {
		t.Errorf("all 4: %v", a.Score)
	}
	do(p, "union.scale|rust")
	if a, _ := p.unionAnswer(); a.Score != 0 || !has(a.Problems, "union-impossible") {
		t.Errorf("4 is no step of RUST, and gave %v", a.Score)
	}
	if do(p, "union.inner|2.5"); p.wrong["union.inner"] == "" {
		t.Error("half a step is taken")
	}
	if do(p, "union.inner|"); func() bool { a, _ := p.unionAnswer(); return a.Score != 0 || len(a.Problems) > 0 }() {
		t.Error("three cortices gave a score")
	}
}

// facts §11.3: 25.0 that look 26.04 behind and 35.21 in front, the bone 45 %
// of the way: 1.180; the plain mean 1.2067 would be wrong.
func TestBedsideTwoBalls(t *testing.T) {
	p := bedside(t, "/sizes/scale")
	do(p, "scale.how|balls", "scale.behind.true|24", "scale.behind.seen|25", "scale.front.true|71", "scale.front.seen|100")
	if a := p.scaleAnswer(); a.Factor != nil || !has(a.Problems, "sizes-missing") {
		t.Error("where the bone lies was guessed")
	}
	do(p, "scale.between|45", "scale.film|460")
	a := p.scaleAnswer()
	if a.Factor == nil {
		t.Fatal(a.Err)
	}
	testkit.Near(t, "facts §11.3", a.Factor.Best, 1.179941, 1e-5)
	saysAt(t, p, "/sizes/scale", "Magnification 1.18", "True length", "d-two-balls")
	if got := plan.ScaleFrom(plan.ScaleReadings{}).Factor; got != nil || p.nailReadings().Factor != nil {
		t.Error("the nail takes a magnification that it was not asked to take")
	}
	p.path = "/sizes/nail"
	if do(p, "nail.how|film"); p.nailReadings().Factor == nil || p.nailReadings().Factor.Best != a.Factor.Best {
		t.Error("the nail from a film does not take the magnification of two balls")
	}
	p.path = "/sizes/scale"
	do(p, "scale.front.seen|70.5") // smaller than life
	if a := p.scaleAnswer(); a.Factor != nil || a.Err == nil {
		t.Error("a ball that looks smaller than it is gave a magnification")
	}
}

// Start afresh empties every row of every calculator, and the list of Sizes
// says the answers.
func TestBedsideRowsCanBeEmptied(t *testing.T) {
	p := bedside(t, "/sizes")
	tabs := map[string][]string{"distal": {"distal.what|screw", "distal.what|holes", "distal.what|tilt"}, "cap": {""}, "bow": {"bow.how|height", "bow.how|radius"},
		"turn": {"turn.what|arm", "turn.what|lesser", "turn.what|length", "turn.what|gap"}, "union": {"union.scale|rust", "union.scale|mrust"}, "scale": {"scale.how|balls"}}
	seen := 0
	do(p, "x")
	for room, of := range tabs {
		for _, tab := range of {
			p.path = "/sizes/" + room
			if tab != "" {
				do(p, tab)
			}
			p.s.SetTyped("distal.bone", "no")
			p.s.SetTyped("distal.length", "777")
			p.s.SetTyped("distal.nail", "7")
			for key := range p.view().rows {
				if seen++; !slices.Contains(typedKeys, key) && key != "bow.shelf" {
					t.Errorf("%s: Start afresh does not empty %s", room, key)
				}
			}
		}
	}
	if seen < 40 {
		t.Errorf("only %d rows seen", seen)
	}
	do(p, "cap.burial|")
	p.path = "/sizes/cap"
	do(p, "cap.burial|12")
	saysAt(t, p, "/sizes", "cap 10\u00a0mm", "Distal locking", "Turn and length", "Union")
}
