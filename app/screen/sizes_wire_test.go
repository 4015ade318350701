//go:build !js

package screen

import (
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/units"
)

func do(p *Page, names ...string) {
	for _, n := range names {
		p.Do("set|" + n)
	}
}

func wirePage(t *testing.T, what string) *Page {
	t.Helper()
	p, _ := sizesPage(t)
	p.path = "/sizes/wire"
	do(p, "wire.what|"+what)
	return p
}

// 5 mm too high at 130° → advance 6.5 mm; the nail 6.5 mm in → the wire sinks
// 5.0 mm. By hand: 5 / sin 50° = 6.527; 6.5·sin 50° = 4.979.
func TestWireHeight(t *testing.T) {
	p := wirePage(t, wireHeight)
	do(p, "wire.height.off|5")
	if a := p.heightAnswer(); a.box != "" {
		t.Errorf("without high or low the answer is %q", a.title)
	}
	for _, tt := range []struct{ way, angle, box, title string }{
		{"high", "130", "6.5", "Advance the nail 6.5\u00a0mm"},
		{"low", "130", "6.5", "Withdraw the nail 6.5\u00a0mm"},
		{"high", "50", "6.5", "Advance the nail 6.5\u00a0mm"}, // the same nail, said the other way
		{"high", "90", "5", "Advance the nail 5\u00a0mm"},
	} {
		p.s.SetTyped("wire.height.way", tt.way)
		do(p, "wire.angle|"+tt.angle)
		if a := p.heightAnswer(); a.box != tt.box || a.title != tt.title || a.picture == nil {
			t.Errorf("%s at %s°: %q %q, want %q %q", tt.way, tt.angle, a.box, a.title, tt.box, tt.title)
		}
	}
	do(p, "wire.angle|130", "wire.height.ask|moved", "wire.height.went|advanced", "wire.height.move|6.5")
	if a := p.heightAnswer(); a.title != "The wire sinks 5\u00a0mm" {
		t.Errorf("the nail advanced 6.5: %q", a.title)
	}
	do(p, "wire.height.went|withdrawn")
	if a := p.heightAnswer(); a.title != "The wire rises 5\u00a0mm" {
		t.Errorf("the nail withdrawn 6.5: %q", a.title)
	}
	do(p, "wire.angle|nonsense")
	if a := p.heightAnswer(); a.box != "" {
		t.Errorf("a refused angle gives %q", a.box)
	}
}

// The angle comes from the shelf only where all its nails agree.
func TestWireAngleFromTheShelf(t *testing.T) {
	p := wirePage(t, wireHeight)
	if a, ok := p.wireAngle(); !ok || a != 130 {
		t.Errorf("the teaching set has one angle, got %v %v", a, ok)
	}
	s := implant.Teaching()
	s.Nails[0].HeadAngle = 125
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if a, ok := p.wireAngle(); ok {
		t.Errorf("two angles on the shelf, and %v was taken", a)
	}
	if !strings.Contains(shownAs(p), "set|wire.shelfangle|125") {
		t.Error("the angles of the shelf are not offered")
	}
	if do(p, "wire.shelfangle|125"); p.word("wire.angle") != "125" {
		t.Error("an angle of the shelf is not taken")
	}
}

// 4 mm in front, 73 mm from the nail → 3.1° (core/source, wire-turn). By hand
// for the directions: tips lie medially, so tips backwards is the handle
// forwards. Seen from the hip the handle of a right leg lies to the right, and
// going forwards, which is up, it turns anticlockwise; a left leg is its mirror.
func TestWireTurn(t *testing.T) {
	p := wirePage(t, wireTurn)
	do(p, "wire.turn.way|front", "wire.turn.off|4", "wire.turn.reach|73")
	if a := p.turnAnswer(); a.box != "" || a.err == nil || !strings.Contains(shownAs(p), "choose left or right") {
		t.Errorf("without a leg: %q", a.title)
	}
	for _, tt := range []struct{ leg, way, handle, tips, leg2, above string }{
		{"right", "front", "forwards", "backwards", "internally", "anticlockwise"},
		{"left", "front", "forwards", "backwards", "internally", "clockwise"},
		{"right", "behind", "backwards", "forwards", "externally", "clockwise"},
		{"left", "behind", "backwards", "forwards", "externally", "anticlockwise"},
	} {
		p.s.SetTyped("wire.leg", tt.leg)
		p.s.SetTyped("wire.turn.way", tt.way)
		a := p.turnAnswer()
		if a.box != "3.1°" || a.title != "Turn the handle 3.1° "+tt.handle {
			t.Errorf("%s, %s: %q %q", tt.leg, tt.way, a.box, a.title)
		}
		for i, want := range []string{tt.tips, tt.handle, tt.leg2, tt.above} {
			if len(a.ways) != 4 || a.ways[i].Value != want {
				t.Errorf("%s, %s: %v, want %q at %d", tt.leg, tt.way, a.ways, want, i)
			}
		}
	}
	// 95 mm along a screw at 130° are 72.8 mm from the nail.
	do(p, "wire.turn.how|along", "wire.turn.along|95")
	if a := p.turnAnswer(); a.box != "3.1°" || !strings.Contains(a.below[0], "72.8") {
		t.Errorf("along the wire: %q, %v", a.box, a.below)
	}
	// By hand: 73·tan 3.1° = 3.95; the handle forwards, the wire backwards.
	do(p, "wire.turn.how|square", "wire.turn.ask|moved", "wire.turn.went|forwards", "wire.turn.by|3.1")
	if a := p.turnAnswer(); a.title != "The wire goes backwards 4\u00a0mm" || a.picture == nil {
		t.Errorf("the handle forwards: %q", a.title)
	}
}

// A shift of 5 mm and holes at 4 and 8 → the one at 4, 1 mm is missing
// (core/source, parallel-hole).
func TestWireHole(t *testing.T) {
	p := wirePage(t, wireHole)
	do(p, "wire.hole.off|5")
	if a := p.holeAnswer(); a.box != "" {
		t.Errorf("without a direction: %q", a.title)
	}
	do(p, "wire.hole.way|forwards")
	for _, tt := range []struct{ off, title, left string }{
		{"5", "Take the hole 4\u00a0mm forwards", "1\u00a0mm are still missing"},
		{"7", "Take the hole 8\u00a0mm forwards", "1\u00a0mm too far"},
		{"8", "Take the hole 8\u00a0mm forwards", "nothing is left"},
		{"1", "Stay in the middle hole", "1\u00a0mm are still missing"},
	} {
		do(p, "wire.hole.off|"+tt.off)
		if a := p.holeAnswer(); a.title != tt.title || a.below[0] != tt.left {
			t.Errorf("%s: %q, %v", tt.off, a.title, a.below)
		}
	}
	do(p, "wire.hole.off|6")
	if a := p.holeAnswer(); !strings.Contains(strings.Join(a.below, " "), "choose by eye") {
		t.Errorf("6 mm lies between 4 and 8: %v", a.below)
	}
	s := implant.Teaching()
	s.Tools = nil
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if a := p.holeAnswer(); a.box != "" || a.title != "No parallel sleeve on the shelf" {
		t.Errorf("without a sleeve: %q", a.title)
	}
}

// 13.8 with a screw of 9.2 and 15.0 with one of 10.0, true 8.0: 24.0; 17.25
// and 18.75: 30.0 (facts §11.6, after Baumgaertner 1995). To the calcar, by
// hand: 11.5·8/9.2 + 12 = 22.
func TestTipApexScreen(t *testing.T) {
	p, _ := sizesPage(t)
	p.path = "/sizes/tip"
	for _, tt := range []struct{ ap, lat, want, problem string }{
		{"13.8", "15", "24", "tip-apex-amber"},
		{"17.25", "18.75", "30", "tip-apex-red"},
		{"4.6", "15", "16", "tip-apex-deep"}, // by hand: 4.6·8/9.2 = 4, under 5
	} {
		do(p, "tip.lower.ap|"+tt.ap, "tip.lower.apscrew|9.2", "tip.lower.lat|"+tt.lat, "tip.lower.latscrew|10", "tip.true|8")
		html := shownAs(p)
		if !strings.Contains(html, `class="part">`) || !strings.Contains(strings.ReplaceAll(html, "\n", ""), tt.want) || !strings.Contains(html, `data-problem="`+tt.problem+`"`) {
			t.Errorf("%s and %s: want %s and %s", tt.ap, tt.lat, tt.want, tt.problem)
		}
		if a := p.tipAnswer(implant.Lower); a.of == nil || units.Trim(float64(a.of.Distance), 6) != tt.want {
			t.Errorf("%s and %s: %v", tt.ap, tt.lat, a.of)
		}
	}
	do(p, "tip.lower.calcar|11.5")
	if a := p.tipAnswer(implant.Lower); a.calcar == nil || units.Trim(float64(a.calcar.Distance), 6) != "22" {
		t.Errorf("to the calcar: %v", a.calcar)
	}
	do(p, "tip.true|nonsense")
	if a := p.tipAnswer(implant.Lower); a.of != nil {
		t.Error("a refused diameter gives an answer")
	}
	if a := p.tipAnswer(implant.Upper); a.of != nil {
		t.Error("the upper screw has an answer from the lower one")
	}
	if !strings.Contains(shownAs(p), "old patients with trochanteric fractures") {
		t.Error("the limits do not say whom they were found in")
	}
}

// Every row of the new calculators is emptied by Start afresh.
func TestWireRowsAreEmptied(t *testing.T) {
	known := map[string]bool{"wire.shelfangle": true} // shows wire.angle
	for _, k := range typedKeys {
		known[k] = true
	}
	for _, path := range []string{"/sizes/wire", "/sizes/tip"} {
		for _, what := range []string{wireHeight, wireTurn, wireHole} {
			for _, ask := range []string{"off", "moved"} {
				p, _ := sizesPage(t)
				p.path = path
				p.s.SetTyped("wire.what", what)
				p.s.SetTyped("wire.height.ask", ask)
				p.s.SetTyped("wire.turn.ask", ask)
				p.s.SetTyped("wire.turn.how", map[string]string{"off": "along", "moved": "square"}[ask])
				p.s.SetTyped("tip.which", map[string]string{"off": "upper", "moved": "lower"}[ask])
				for key := range p.view().rows {
					if !known[key] {
						t.Errorf("%s: %s is not emptied", path, key)
					}
				}
			}
		}
	}
}
