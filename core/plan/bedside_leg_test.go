package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func deg(v units.Deg) *units.Deg { return &v }

func arc(condyles, neck units.Deg) Arc { return Arc{deg(condyles), deg(neck)} }

func TestTurnFrom(t *testing.T) {
	p := DefaultPolicy()
	sound := arc(28, 14) // version 14: facts §6.1
	for _, tt := range []struct {
		name         string
		injured      Arc
		turn         float64
		direction    string
		code, source string
	}{
		{"the same", arc(28, 14), 0, TowardsNone, "", "by hand"},
		{"5 outwards", arc(20, 11), 5, TowardsOut, "", "by hand: 14 − 9; under 10 normal (Branca Vergano 2020)"},
		{"12 outwards", arc(20, 18), 12, TowardsOut, "turn-more", "by hand: 14 − 2"},
		{"15 outwards", arc(20, 21), 15, TowardsOut, "turn-wrong", "15 is the usual definition (Branca Vergano 2020)"},
		{"20 inwards", arc(40, 6), -20, TowardsIn, "turn-wrong", "by hand: 14 − 34"},
		{"30 outwards", arc(0, 16), 30, TowardsOut, "turn-wrong", "over 30 is corrected, 30 is not over"},
		{"31 outwards", arc(0, 17), 31, TowardsOut, "turn-correct", "Branca Vergano 2020"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a := TurnFrom(tt.injured, sound, p)
			testkit.Near(t, "version (facts §6.1: 28 − 14)", float64(a.Sound.Best), 14, 1e-9)
			testkit.Near(t, tt.source, float64(a.Angle.Best), tt.turn, 1e-9)
			testkit.Near(t, "doubt (by hand: 2·√2 for a leg, 4 for both)", float64(a.Angle.Own), 4, 1e-9)
			if a.Direction != tt.direction {
				t.Errorf("%s, want %s", a.Direction, tt.direction)
			}
			for _, code := range []string{"turn-more", "turn-wrong", "turn-correct"} {
				if has(a.Problems, code) != (code == tt.code) {
					t.Errorf("%s said: %v (%s)", code, codesOf(a.Problems), tt.source)
				}
			}
			if near := math.Abs(math.Abs(tt.turn)-10) < 8 || math.Abs(math.Abs(tt.turn)-15) < 8 || math.Abs(math.Abs(tt.turn)-30) < 8; has(a.Problems, "leg-close") != near {
				t.Errorf("too close to call: %v, want %v", codesOf(a.Problems), near)
			}
		})
	}
}

func TestTurnFromRefuses(t *testing.T) {
	p, nan := DefaultPolicy(), units.Deg(math.NaN())
	for _, tt := range []struct {
		name, code     string
		injured, sound Arc
	}{
		{"half", "turn-half", Arc{Condyles: deg(20)}, arc(28, 14)},
		{"one leg", "one-leg", arc(20, 5), Arc{}},
		{"the other leg", "one-leg", Arc{}, arc(20, 5)},
		{"no version", "number-impossible", arc(200, 5), arc(28, 14)},
		{"no number", "number-impossible", arc(nan, 5), arc(28, 14)},
		{"no number either", "number-impossible", arc(units.Deg(math.Inf(1)), units.Deg(math.Inf(1))), arc(28, 14)},
	} {
		if a := TurnFrom(tt.injured, tt.sound, p); a.Angle != nil || !has(a.Problems, tt.code) {
			t.Errorf("%s: %v, %v, want %s", tt.name, a.Angle, codesOf(a.Problems), tt.code)
		}
	}
	if a := TurnFrom(Arc{}, Arc{}, p); a.Angle != nil || len(a.Problems)+len(a.Why) > 0 {
		t.Errorf("nothing read: %+v", a)
	}
	// 7.8 % of femora are retroverted (PMC4775021), so it is asked, not refused.
	if a := TurnFrom(arc(5, 15), arc(28, 14), p); a.Angle == nil || !has(a.Problems, "turn-backwards") {
		t.Errorf("a neck that points backwards: %v", codesOf(a.Problems))
	}
	if a := TurnBetween(units.Angle{Best: 10, Own: nan}, units.Angle{Best: 10}, p); a.Angle != nil {
		t.Errorf("a doubt that is none gave %v", a.Angle)
	}
}

// Laws: the legs exchanged turn the sign; both C-arms turned by the same
// amount, or the table tilted, change nothing.
func TestTurnLaws(t *testing.T) {
	c, p := chance.New(11), DefaultPolicy()
	for range 300 {
		a, b := units.Deg(c.Between(0, 40)), units.Deg(c.Between(-10, 20))
		d, e := units.Deg(c.Between(0, 40)), units.Deg(c.Between(-10, 20))
		k := units.Deg(c.Between(-30, 30))
		one, other, tilted := TurnFrom(arc(a, b), arc(d, e), p), TurnFrom(arc(d, e), arc(a, b), p), TurnFrom(arc(a+k, b+k), arc(d, e), p)
		testkit.Near(t, "exchanged", float64(one.Angle.Best), -float64(other.Angle.Best), 1e-9)
		testkit.Near(t, "tilted", float64(one.Angle.Best), float64(tilted.Angle.Best), 1e-9)
	}
}

func TestLesserFrom(t *testing.T) {
	// The rows of Turgut 2020 (PMC7286169), of a sound side of 50 mm. External
	// rotation of the upper piece is positive there, so the lower piece is
	// turned the other way.
	for percent, upper := range map[float64]float64{88: -20, 90: -15, 93: -10, 95: -7.5, 97: -5, 100: 0, 102: 5, 103: 7.5, 104: 10, 106: 15, 107: 20, 108: 25} {
		a := LesserFrom(mm(units.MM(percent/2)), mm(50))
		if a.Angle == nil {
			t.Fatalf("%v %%: %v", percent, codesOf(a.Problems))
		}
		testkit.Near(t, "Turgut 2020; 95 and 103 by hand between its rows", float64(a.Angle.Best), -upper, 1e-6)
		want := directed(-upper, TowardsOut, TowardsIn)
		if math.Abs(upper) > 1 && a.Direction != want {
			t.Errorf("%v %%: %s, want %s", percent, a.Direction, want)
		}
		if len(a.Why) != 2 || a.Why[1].Code != "lesser-weak" {
			t.Errorf("its weakness is not said: %+v", a.Why)
		}
	}
	for _, tt := range []struct {
		code           string
		injured, sound *units.MM
	}{
		{"lesser-outside", mm(43.9), mm(50)}, {"lesser-outside", mm(54.1), mm(50)},
		{"one-leg", mm(50), nil}, {"one-leg", nil, mm(50)},
		{"number-impossible", mm(5), mm(50)}, {"number-impossible", mm(50), mm(units.MM(math.NaN()))},
	} {
		if a := LesserFrom(tt.injured, tt.sound); a.Angle != nil || !has(a.Problems, tt.code) {
			t.Errorf("%v, %v, want %s", a.Angle, codesOf(a.Problems), tt.code)
		}
	}
}

func TestLengthDiff(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		name           string
		injured, sound units.MM
		want           float64
		direction      string
		code, source   string
	}{
		{"even", 420, 420, 0, TowardsNone, "", "by hand"},
		{"8 longer", 428, 420, 8, TowardsLong, "", "by hand"},
		{"14.9 shorter", 405.1, 420, -14.9, TowardsShort, "", "15 to 20 is discussed"},
		{"15 shorter", 405, 420, -15, TowardsShort, "length-discuss", "15 to 20 is discussed (series of Winquist III and IV)"},
		{"20 longer", 440, 420, 20, TowardsLong, "length-discuss", "over 20 is corrected, 20 is not over"},
		{"21 shorter", 399, 420, -21, TowardsShort, "length-correct", "over 20 is corrected"},
		{"43.5 shorter", 376.5, 420, -43.5, TowardsShort, "length-correct", "facts §6.2: the worst of the series"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a := LengthDiff(mm(tt.injured), mm(tt.sound), p)
			testkit.Near(t, tt.source, float64(a.Length.Best), tt.want, 1e-9)
			testkit.Near(t, "doubt (by hand: 2·√2)", float64(a.Length.Doubt()), 2*math.Sqrt2, 1e-9)
			if a.Direction != tt.direction {
				t.Errorf("%s, want %s", a.Direction, tt.direction)
			}
			for _, code := range []string{"length-discuss", "length-correct"} {
				if has(a.Problems, code) != (code == tt.code) {
					t.Errorf("problems %v, want %q", codesOf(a.Problems), tt.code)
				}
			}
			back := LengthDiff(mm(tt.sound), mm(tt.injured), p) // law: exchanged, the sign turns
			testkit.Near(t, "exchanged", float64(back.Length.Best), -tt.want, 1e-9)
		})
	}
	for _, bad := range [][2]*units.MM{{nil, mm(420)}, {mm(420), nil}, {mm(20), mm(420)}, {mm(420), mm(units.MM(math.NaN()))}} {
		if a := LengthDiff(bad[0], bad[1], p); a.Length != nil || len(a.Problems) == 0 {
			t.Errorf("%v gave %v", bad, a.Length)
		}
	}
}

func TestNeckShaftDiff(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		injured, sound units.Deg
		want           float64
		direction      string
		varus          bool
	}{
		{131, 131, 0, TowardsNone, false}, {124, 131, -7, TowardsVarus, true}, {126, 131, -5, TowardsVarus, false}, {140, 131, 9, TowardsValgus, false},
	} {
		a := NeckShaftDiff(units.Angle{Best: tt.injured}, units.Angle{Best: tt.sound}, p)
		testkit.Near(t, "by hand", float64(a.Angle.Best), tt.want, 1e-9)
		if a.Direction != tt.direction || has(a.Problems, "neck-varus") != tt.varus {
			t.Errorf("%v against %v: %s, %v", tt.injured, tt.sound, a.Direction, codesOf(a.Problems))
		}
	}
	for _, bad := range []units.Angle{{Best: 60}, {Best: units.Deg(math.NaN())}, {Best: 130, Own: -1}, {Best: 130, Own: units.Deg(math.NaN())}} {
		if a := NeckShaftDiff(bad, units.Angle{Best: 130}, p); a.Angle != nil || len(a.Problems) == 0 {
			t.Errorf("%v gave %v", bad, a.Angle)
		}
	}
}

func TestGapFrom(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		gap    units.MM
		simple record.Answer
		wide   bool
	}{
		{4.2, record.Yes, true}, {4.14, record.Yes, true}, {4.1, record.Yes, false}, {4.2, record.NotAsked, true}, {9, record.No, false}, {0, record.Yes, false},
	} {
		a := GapFrom(tt.gap, tt.simple, p)
		if has(a.Problems, "gap-wide") != tt.wide || a.Length == nil {
			t.Errorf("%v, simple %q: %v, want wide %v (J Orthop Sci 2023: 4.2 flag, 4.1 none)", tt.gap, tt.simple, codesOf(a.Problems), tt.wide)
		}
	}
	for _, bad := range []units.MM{-1, 201, units.MM(math.NaN())} {
		if a := GapFrom(bad, record.Yes, p); a.Length != nil || len(a.Problems) == 0 {
			t.Errorf("%v gave %v", bad, a.Length)
		}
	}
}

// Facts §6.1, the five rows; what no neck shows is refused.
func TestVersionFrom(t *testing.T) {
	for _, row := range []struct{ nsa, version, ap, gamma float64 }{
		{130, 15, 130.9808, 17.1423}, {125, 30, 128.9566, 35.5296}, {135, 0, 135, 0}, {120, -10, 120.3813, -16.7396}, {130, 40, 137.6059, 37.4537},
	} {
		a := VersionFrom(anatomy.Injured, units.Angle{Best: units.Deg(row.ap), Own: 1}, units.Angle{Best: units.Deg(row.gamma), Own: 1})
		if a.Version == nil || len(a.Why) != 1 || !(a.Version.Own > 0.5) {
			t.Fatalf("%+v", a)
		}
		testkit.Near(t, "version", float64(a.Version.Best), row.version, 1e-3)
		testkit.Near(t, "true angle", float64(a.NeckShaft.Best), row.nsa, 1e-3)
	}
	for _, bad := range [][2]units.Deg{{85, 10}, {130, 90}, {units.Deg(math.NaN()), 10}, {130, units.Deg(math.NaN())}} {
		if a := VersionFrom(anatomy.Sound, units.Angle{Best: bad[0]}, units.Angle{Best: bad[1]}); a.Version != nil || a.NeckShaft != nil || !has(a.Problems, "version-refused") {
			t.Errorf("%v gave %v, %v", bad, a.Version, codesOf(a.Problems))
		}
	}
}
