package plan

import (
	"math"
	"testing"

	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func lengthOf(v, u units.MM) *units.Length { return &units.Length{Best: v, Own: u} }

func TestCapFor(t *testing.T) {
	only := func(hs ...units.MM) (s implant.Shelf) {
		for _, h := range hs {
			s.Caps = append(s.Caps, implant.Cap{ID: "c", Height: h, Stock: 1})
		}
		return s
	}
	five := units.MM(0)
	for range 50 {
		five += 0.1 // not quite 5
	}
	gone := only(0, 5, 10, 15)
	gone.Caps[1].Stock = 0
	for _, tt := range []struct {
		name            string
		burial          *units.Length
		shelf           implant.Shelf
		want, left      units.MM // want −1: none
		next            units.MM // −1: none
		code, andNoCode string
		source          string
	}{
		{"buried 8", lengthOf(8, 0), only(0, 5, 10, 15), 5, 3, 10, "", "cap-close", "common practice; by hand 8 − 5"},
		{"flush on a cap", lengthOf(5, 0), only(0, 5, 10, 15), 5, 0, 10, "", "cap-close", "by hand: 5 − 5"},
		{"flush on a cap, read", lengthOf(5, 1), only(0, 5, 10, 15), 5, 0, 10, "cap-close", "nail-proud", "0 ± 2 holds 0"},
		{"in any order", lengthOf(8, 0), only(15, 0, 10, 5), 5, 3, 10, "", "cap-none", "by hand"},
		{"deep", lengthOf(22, 0), only(0, 5, 10, 15), 15, 7, -1, "", "cap-none", "by hand: 22 − 15"},
		{"none of 5 left", lengthOf(8, 0), gone, 0, 8, 10, "", "cap-none", "by hand: 8 − 0"},
		{"no cap low enough", lengthOf(3, 0), only(5, 10), -1, 0, 5, "cap-none", "nail-proud", "by hand: 5 > 3"},
		{"proud", lengthOf(-2, 0), only(0, 5), -1, 0, 0, "nail-proud", "cap-none", "by hand: 0 > −2"},
		{"binary fractions", lengthOf(five, 0), only(5, 10), 5, 0, 10, "", "cap-none", "5 stays 5"},
		{"not known", nil, only(0, 5), -1, 0, -1, "burial-missing", "", "nothing is guessed"},
		{"no caps", lengthOf(8, 0), implant.Shelf{}, -1, 0, -1, "cap-shelf-none", "", "nothing to choose from"},
		{"no number", lengthOf(units.MM(math.NaN()), 0), only(0), -1, 0, -1, "number-impossible", "", "refused"},
		{"no doubt that is one", lengthOf(5, units.MM(math.Inf(1))), only(0), -1, 0, -1, "number-impossible", "", "refused"},
		{"impossible", lengthOf(61, 0), only(0), -1, 0, -1, "number-impossible", "", "over 60 mm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a := CapFor(tt.burial, tt.shelf)
			if (a.Cap == nil) != (tt.want < 0) || (a.Next == nil) != (tt.next < 0) {
				t.Fatalf("cap %+v, next %+v (%s)", a.Cap, a.Next, tt.source)
			}
			if a.Cap != nil {
				testkit.Near(t, "cap: "+tt.source, float64(a.Cap.Height), float64(tt.want), 1e-9)
				testkit.Near(t, "left: "+tt.source, float64(a.Left.Best), float64(tt.left), 1e-9)
			}
			if a.Next != nil {
				testkit.Near(t, "next", float64(a.Next.Height), float64(tt.next), 1e-9)
			}
			if tt.code != "" && !has(a.Problems, tt.code) || tt.code == "" && len(a.Problems) > 0 || has(a.Problems, tt.andNoCode) {
				t.Errorf("problems %v, want %q and not %q", codesOf(a.Problems), tt.code, tt.andNoCode)
			}
		})
	}
}

// Laws: the chosen cap never stands proud, no other in stock is nearer without
// doing so, and a deeper nail never has a lower cap.
func TestCapLaws(t *testing.T) {
	c, shelf := chance.New(7), implant.Teaching()
	for range 500 {
		b := units.MM(c.Between(0, 30))
		a, deeper := CapFor(lengthOf(b, 0), shelf), CapFor(lengthOf(b+1, 0), shelf)
		if a.Cap == nil || a.Left.Best < -guard {
			t.Fatalf("burial %v: %+v", b, a.Cap)
		}
		for _, other := range shelf.Caps {
			if left := b - other.Height; left >= 0 && left < a.Left.Best-guard {
				t.Errorf("burial %v: %v leaves %v, the chosen %v", b, other.Height, left, a.Left.Best)
			}
		}
		if deeper.Cap.Height < a.Cap.Height {
			t.Errorf("burial %v: cap %v, deeper %v", b, a.Cap.Height, deeper.Cap.Height)
		}
	}
}

func TestBowFor(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		name              string
		bone, nail, chord units.MM
		want              float64
		code, source      string
	}{
		{"mean bone", 943, 1500, 400, 8.0598, "bow-mismatch", "facts §3n, §11.10 (PMC6177158: 943 mm)"},
		{"Indian femora", 1027.2, 1500, 400, 6.266, "bow-mismatch", "facts §3n: 19.659 − 13.393 (PMID 36282333: 1027.2 mm)"},
		{"Anatolian canal", 722, 1500, 400, 14.861, "bow-mismatch", "facts §3n: 28.254 − 13.393 (Harma 2005: 722 mm)"},
		{"straighter nail", 943, 2000, 400, 11.428, "bow-mismatch", "facts §3n: 21.453 − 10.025"},
		{"the same", 1500, 1500, 400, 0, "", "equal arcs"},
		{"nail more bowed", 2000, 943, 400, -11.428, "bow-nail-more", "facts §3n, the other way round"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a := BowFor(units.Exact(tt.bone), tt.nail, tt.chord, p)
			if a.Length == nil {
				t.Fatal(codesOf(a.Problems))
			}
			testkit.Near(t, tt.source, float64(a.Length.Best), tt.want, 1e-3)
			if tt.code == "" && len(a.Problems) > 0 || tt.code != "" && !has(a.Problems, tt.code) {
				t.Errorf("problems %v, want %q", codesOf(a.Problems), tt.code)
			}
		})
	}
	// u = (943/√(943² − 200²) − 1)·100 by hand: 943/921.547 − 1 = 0.023279
	a := BowFor(units.Length{Best: 943, Own: 100}, 1500, 400, p)
	testkit.Near(t, "doubt (by hand)", float64(a.Length.Own), 2.3279, 1e-3)
	if b := BowFor(units.Length{Best: 1200, Own: 150}, 1500, 400, p); !has(b.Problems, "bow-close") {
		t.Errorf("%v and %v: want too close to call", b.Length, codesOf(b.Problems))
	}
	nan := units.MM(math.NaN())
	for _, bad := range [][3]units.MM{{199, 1500, 400}, {200, 1500, 400}, {943, 199, 400}, {943, 0, 400}, {0, 1500, 400}, {-943, 1500, 400}, {nan, 1500, 400}, {943, nan, 400}, {943, 1500, nan}, {943, 1500, 0}} {
		if a := BowFor(units.Exact(bad[0]), bad[1], bad[2], p); a.Length != nil || len(a.Problems) == 0 {
			t.Errorf("%v gave %v, want a refusal", bad, a.Length)
		}
	}
}

// Laws: bone and nail exchanged turn the sign; more bow is more mismatch; a
// longer nail has more of it.
func TestBowLaws(t *testing.T) {
	c, p := chance.New(3), DefaultPolicy()
	at := func(bone, nail, chord float64) float64 {
		return float64(BowFor(units.Exact(units.MM(bone)), units.MM(nail), units.MM(chord), p).Length.Best)
	}
	for range 300 {
		b, n, l := c.Between(600, 2000), c.Between(800, 3000), c.Between(250, 480)
		testkit.Near(t, "exchanged", at(b, n, l), -at(n, b, l), 1e-9)
		if !(at(b-50, n, l) > at(b, n, l)) {
			t.Errorf("a bone of %v is no more bowed than one of %v", b-50, b)
		}
		if b < n && !(at(b, n, l+20) > at(b, n, l)) {
			t.Errorf("a longer nail has no more mismatch: %v %v %v", b, n, l)
		}
	}
}

func TestToggleFor(t *testing.T) {
	a := ToggleFor(units.Exact(14), 10, units.Exact(120))
	testkit.Near(t, "facts §5: canal 14, nail 10, 120 mm", float64(a.Angle.Best), 1.9092, 1e-3)
	b := ToggleFor(units.Length{Best: 14, Own: 0.5}, 10, units.Exact(120))
	testkit.Near(t, "doubt (by hand: 0.5/120 rad, as good as)", float64(b.Angle.Own), 0.5/120*180/math.Pi, 1e-3)
	if z := ToggleFor(units.Exact(10), 11, units.Exact(120)); z.Angle == nil || z.Angle.Best != 0 {
		t.Errorf("a tight nail tilts by %v", z.Angle)
	}
	c := chance.New(5)
	for range 200 { // law: a wider canal or a shorter piece is more tilt
		w, l := units.MM(c.Between(11, 40)), units.MM(c.Between(20, 300))
		at := ToggleFor(units.Exact(w), 10, units.Exact(l)).Angle.Best
		if !(ToggleFor(units.Exact(w+1), 10, units.Exact(l)).Angle.Best > at) || !(ToggleFor(units.Exact(w), 10, units.Exact(l+5)).Angle.Best < at) {
			t.Errorf("canal %v, length %v: not monotone", w, l)
		}
	}
	for _, bad := range [][3]units.MM{{0, 10, 100}, {14, 0, 100}, {14, 10, 0}, {units.MM(math.NaN()), 10, 100}, {14, units.MM(math.NaN()), 100}, {14, 10, units.MM(math.Inf(1))}} {
		if a := ToggleFor(units.Exact(bad[0]), bad[1], units.Exact(bad[2])); a.Angle != nil || len(a.Problems) == 0 {
			t.Errorf("%v gave %v", bad, a.Angle)
		}
	}
}

func TestStiffness(t *testing.T) {
	for _, tt := range []struct {
		a, b   Tube
		want   float64
		source string
	}{
		{Tube{12, 5}, Tube{10, 5}, 2.145, "facts §3r: 987.20/460.19"},
		{Tube{12, 0}, Tube{10, 0}, 2.0736, "facts §3r: solid, (12/10)⁴"},
	} {
		a := StiffnessRatio(tt.a, tt.b)
		testkit.Near(t, tt.source, a.Ratio.Best, tt.want, 5e-4)
		testkit.Near(t, "the other way round", StiffnessRatio(tt.b, tt.a).Ratio.Best*a.Ratio.Best, 1, 1e-12)
	}
	i, _ := SecondMoment(Tube{10, 5})
	testkit.Near(t, "facts §3r", i, 460.19, 0.01)
	i, _ = SecondMoment(Tube{12, 5})
	testkit.Near(t, "facts §3r", i, 987.20, 0.01)
	testkit.Near(t, "facts §5: 5.0 against 4.0 mm", BendingRatio(5, 4).Ratio.Best, 1.953, 5e-4)
	nan := units.MM(math.NaN())
	for _, bad := range []Tube{{5, 10}, {10, 10}, {10, -1}, {nan, 5}, {10, nan}, {0, 0}} {
		if a := StiffnessRatio(bad, Tube{10, 5}); a.Ratio != nil || !has(a.Problems, "tube-impossible") {
			t.Errorf("%v gave %v", bad, a.Ratio)
		}
	}
	if a := BendingRatio(5, 0); a.Ratio != nil || len(a.Problems) == 0 {
		t.Errorf("a screw of 0 mm gave %v", a.Ratio)
	}
}

// locking is a shelf of locking screws from lo to hi in steps, of 5 mm.
func locking(lo, hi, step units.MM) (s implant.Shelf) {
	for l := lo; l <= hi; l += step {
		s.Locking = append(s.Locking, implant.Screw{ID: "s", Diameter: 5, Length: l, Stock: 2})
	}
	return s
}

func TestDistalScrewFor(t *testing.T) {
	p := DefaultPolicy()
	four := p
	four.DistalOver = 4
	two := locking(30, 60, 2)
	two.Locking = append(two.Locking, implant.Screw{ID: "t", Diameter: 4, Length: 44, Stock: 1})
	out := locking(30, 60, 5)
	out.Locking[3].Stock = 0 // 45
	for _, tt := range []struct {
		name         string
		depth, dia   units.MM
		shelf        implant.Shelf
		p            Policy
		want, past   units.MM
		code, source string
	}{
		{"steps of 5", 42, 5, locking(30, 60, 5), p, 45, 3, "", "facts §5: 42 + 2 = 44 → 45"},
		{"on a size", 43, 5, locking(30, 60, 5), p, 45, 2, "", "by hand: 43 + 2 = 45 stays 45"},
		{"just over a size", 43.5, 5, locking(30, 60, 5), p, 50, 6.5, "distal-stands-out", "by hand: 45.5 → 50, 6.5 out"},
		{"policy 4", 42, 5, locking(30, 60, 5), four, 50, 8, "distal-stands-out", "by hand: 42 + 4 = 46 → 50"},
		{"steps of 2", 42, 5, two, p, 44, 2, "", "by hand"},
		{"the one diameter", 42, 0, locking(30, 60, 5), p, 45, 3, "", "the shelf has one"},
		{"two diameters", 42, 0, two, p, 0, 0, "locking-diameter-open", "nothing is guessed"},
		{"out of stock", 42, 5, out, p, 50, 8, "distal-stands-out", "by hand: 45 is gone"},
		{"too long for the shelf", 60, 5, locking(30, 60, 5), p, 0, 0, "distal-none", "by hand: 62 > 60"},
		{"no depth", 10, 5, locking(30, 60, 5), p, 0, 0, "number-impossible", "under 15 mm"},
		{"no number", units.MM(math.NaN()), 5, locking(30, 60, 5), p, 0, 0, "number-impossible", "refused"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := DistalScrewFor(tt.depth, tt.dia, tt.shelf, tt.p)
			if s.Ask != tt.want || tt.code == "" && len(s.Problems) > 0 || tt.code != "" && !has(s.Problems, tt.code) {
				t.Fatalf("%v, problems %v, want %v and %q (%s)", s.Ask, codesOf(s.Problems), tt.want, tt.code, tt.source)
			}
			if tt.want > 0 {
				testkit.Near(t, tt.source, float64(s.Past.Best), float64(tt.past), 1e-9)
			}
		})
	}
	rough := p
	rough.GaugeReading = 3
	if s := DistalScrewFor(43, 5, locking(30, 60, 5), rough); !has(s.Problems, "far-cortex-close") {
		t.Errorf("2 mm with a gauge known to 3: %v", codesOf(s.Problems))
	}
}

// Laws: the far cortex is always caught, no shorter screw in stock would do,
// and a deeper hole never takes a shorter screw.
func TestDistalScrewLaws(t *testing.T) {
	c, p, shelf := chance.New(9), DefaultPolicy(), implant.Teaching()
	for range 500 {
		d := units.MM(c.Between(26, 76))
		s := DistalScrewFor(d, 5, shelf, p)
		if s.Ask < d+p.DistalOver-guard {
			t.Errorf("depth %v: %v", d, s.Ask)
		}
		if s.Shorter >= d+p.DistalOver {
			t.Errorf("depth %v: %v would do", d, s.Shorter)
		}
		if e := DistalScrewFor(d+1, 5, shelf, p); e.Ask > 0 && e.Ask < s.Ask {
			t.Errorf("depth %v: %v, deeper: %v", d, s.Ask, e.Ask)
		}
	}
}

func TestDistalScrewFrom(t *testing.T) {
	p, shelf := DefaultPolicy(), locking(30, 60, 5)
	for _, tt := range []struct {
		name, code string
		r          record.Reading
		want       units.MM
	}{
		{"on bone", "", record.Reading{First: mm(42), OnBone: record.Yes}, 45},
		{"3 mm off bone", "", record.Reading{First: mm(45), OnBone: record.No, OffBone: mm(3)}, 45}, // by hand: 45 − 3 + 2
		{"nobody said", "distal-off-bone", record.Reading{First: mm(42)}, 0},
		{"off bone, not how far", "distal-off-bone", record.Reading{First: mm(42), OnBone: record.No}, 0},
		{"contradiction", "sleeve-contradiction", record.Reading{First: mm(42), OnBone: record.Yes, OffBone: mm(3)}, 0},
		{"nothing read", "reading-missing", record.Reading{OnBone: record.Yes}, 0},
		{"gap no number", "number-impossible", record.Reading{First: mm(42), OnBone: record.No, OffBone: mm(units.MM(math.NaN()))}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := DistalScrewFrom(tt.r, 5, shelf, p)
			if s.Ask != tt.want || tt.code != "" && !has(s.Problems, tt.code) || tt.code == "" && len(s.Problems) > 0 {
				t.Errorf("%v, %v, want %v and %q", s.Ask, codesOf(s.Problems), tt.want, tt.code)
			}
		})
	}
}

// Facts §5, example: hole 35 mm from the tip, fracture to 305 mm, burial 5.
func TestHoleFor(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		nail, u, want units.MM
		code, source  string
	}{
		{360, 0, 25, "fracture-near-hole", "facts §5: 25, flagged (Bucholz 1987)"},
		{380, 0, 45, "fracture-near-hole", "facts §5: 45, flagged"},
		{385, 0, 50, "fracture-near-hole", "facts §5: 50.0 is flagged"},
		{400, 0, 65, "", "facts §5: 65, not"},
		{400, 10, 65, "fracture-near-hole", "65 ± 20 may be under 50"},
		{335, 0, 0, "fracture-over-hole", "by hand: the hole lies in the fracture"},
	} {
		a := HoleFor(tt.nail, 35, units.Exact(5), units.Length{Best: 305, Own: tt.u}, p)
		testkit.Near(t, tt.source, float64(a.Length.Best), float64(tt.want), 1e-9)
		if tt.code == "" && len(a.Problems) > 0 || tt.code != "" && !has(a.Problems, tt.code) {
			t.Errorf("%v: %v, want %q (%s)", tt.nail, codesOf(a.Problems), tt.code, tt.source)
		}
	}
	nan := units.MM(math.NaN())
	for _, bad := range []Answered{HoleFor(nan, 35, units.Exact(5), units.Exact(305), p), HoleFor(400, nan, units.Exact(5), units.Exact(305), p),
		HoleFor(400, 401, units.Exact(5), units.Exact(305), p), HoleFor(400, 35, units.Exact(nan), units.Exact(305), p), HoleFor(400, 35, units.Exact(5), units.Length{Best: 305, Own: -1}, p)} {
		if bad.Length != nil || !has(bad.Problems, "number-impossible") {
			t.Errorf("%+v", bad)
		}
	}
}
