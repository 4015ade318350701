package text

import (
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/plan"
	practised "isthmus/core/practice"
	"isthmus/core/record"
	"isthmus/core/units"
)

// The words know the drawn cases, each once and in their order, and tell what
// a referral tells: side and height as drawn, never what is to be found.
func TestPracticesAreTheDrawnOnes(t *testing.T) {
	all := Practices()
	if len(all) != phantom.Practices() {
		t.Fatalf("%d cases in words, %d drawn", len(all), phantom.Practices())
	}
	for n, w := range all {
		c, _ := phantom.Practice(n)
		said := strings.ToLower(w.Refer + " " + w.Note)
		tall := units.Trim(float64(c.Stature)/10, 0) + " cm"
		if w.Key != c.Key || w.Title == "" || !strings.Contains(said, string(c.Side)+" thigh") || !strings.Contains(said, tall) || strings.Contains(said, string(c.Side.Other())) {
			t.Errorf("case %d: %+v, drawn %s %s %s", n, w, c.Key, c.Side, tall)
		}
		for _, answer := range []string{"isthm", "transverse", "oblique", "subtroch", "distal", "narrow", "neck", "canal", "bow", "broken", "fracture"} {
			if strings.Contains(said, answer) {
				t.Errorf("%s: the referral says %q", w.Title, answer)
			}
		}
		for _, s := range c.Setups {
			aside := s.Balls[0].Above != 0
			if aside == strings.Contains(w.Note, "at the height of the bone") {
				t.Errorf("%s: the ball lies %v mm above the bone, the note says %q", w.Title, s.Balls[0].Above, w.Note)
			}
			for _, mm := range []units.MM{s.SID - s.SOD, s.SID - s.SOD + s.Balls[0].Above, s.SID} {
				if aside && !strings.Contains(w.Note, units.Trim(float64(mm), 0)+" mm") {
					t.Errorf("%s: the note does not say %v mm", w.Title, mm)
				}
			}
		}
	}
	if w := PracticeOf("no-such"); w.Title == "" || w.Key != "no-such" || w.Refer != "" {
		t.Errorf("unknown: %+v", w)
	}
}

// Every row has words for every way it can end, and a wrong one its cause.
func TestPracticeRows(t *testing.T) {
	for what := range practiceWords {
		l, a := units.Length{Best: 11, Own: 0.25}, units.Angle{Best: 11, Own: 0.25}
		for _, tt := range []struct {
			name, verdict string
			r             practised.Row
			why           bool
		}{
			{"not measured", "not measured", practised.Row{What: what}, false},
			{"holds", "within your doubt", practised.Row{What: what, Length: &l, True: 11.2, Diff: -0.2, Holds: true}, false},
			{"too large", "too large", practised.Row{What: what, Length: &l, True: 9, Diff: 2}, true},
			{"by scale", "too small", practised.Row{What: what, Length: &l, True: 12, Diff: -1, ByScale: true}, true},
			{"by film", "too large", practised.Row{What: what, Angle: &a, True: 10, Diff: 1, ByFilm: true, AtBest: 10.9}, true},
			{"an angle", "too small", practised.Row{What: what, Angle: &a, True: 12, Diff: -1, OnAP: true}, true},
		} {
			got := PracticeRow(tt.r)
			if got.Title == "" || !strings.Contains(got.Verdict, tt.verdict) || (got.Why != "") != tt.why || tt.r.Measured() != (got.Got != "" && got.True != "" && got.Diff != "") {
				t.Errorf("%s, %s: %+v", what, tt.name, got)
			}
		}
	}
}

// Numbers by hand: 0.1913 − 0.1739 is 10.0 % of 0.1739.
func TestPracticeNumbers(t *testing.T) {
	s := units.Length{Best: 0.1913, Shared: 0.00115}
	got := PracticeRow(practised.Row{What: practised.ScaleAP, Length: &s, True: 0.1739, Diff: 0.0174})
	if got.Got != "0.1913 ± 0.0023" || got.True != "0.1739" || got.Diff != "+10.0\u00a0%" {
		t.Errorf("%+v", got)
	}
	for v, want := range map[float64]string{0.04: "0.0", -0.04: "0.0", -1.26: "−1.3", 2: "+2.0"} {
		if got := signed(v); got != want {
			t.Errorf("%v is %q, want %q", v, got, want)
		}
	}
}

// The wrong side and a missed neck are said first and loudest.
func TestPracticeAnswers(t *testing.T) {
	c := practised.Comparison{Side: anatomy.Left, TrueSide: anatomy.Right, NeckBroken: true, Neck: record.No}
	if good, bad := PracticeAnswers(c); len(good) != 0 || len(bad) != 2 || !strings.Contains(bad[0], "WRONG SIDE") || !strings.Contains(bad[1], "MISSED") {
		t.Errorf("%q, %q", good, bad)
	}
	c = practised.Comparison{Side: anatomy.Right, TrueSide: anatomy.Right, Neck: record.Yes}
	if good, bad := PracticeAnswers(c); len(good) != 1 || len(bad) != 1 {
		t.Errorf("%q, %q", good, bad)
	}
	c.NeckBroken = true
	if good, bad := PracticeAnswers(c); len(good) != 2 || len(bad) != 0 {
		t.Errorf("%q, %q", good, bad)
	}
}

func TestPracticeNail(t *testing.T) {
	nail := func(id string, l, d units.MM, side anatomy.Side) plan.NailChoice {
		return plan.NailChoice{Length: l, Diameter: d, Part: &implant.Nail{ID: id, Side: side}}
	}
	with := func(mine, is plan.NailChoice) practised.Comparison {
		return practised.Comparison{Mine: plan.Plan{Nail: mine}, True: plan.Plan{Nail: is}}
	}
	a := nail("a", 380, 10, anatomy.Right)
	for _, tt := range []struct {
		name, want string
		c          practised.Comparison
	}{
		{"none at all", "Not even", with(plan.NailChoice{}, plan.NailChoice{})},
		{"none of mine", "no nail yet", with(plan.NailChoice{}, a)},
		{"same", "The same nail: ", with(a, a)},
		{"side", "other leg", with(nail("b", 380, 10, anatomy.Left), a)},
		{"long and thick", "20\u00a0mm too long, 1\u00a0mm too thick", with(nail("c", 400, 11, anatomy.Right), a)},
		{"short and thin", "20\u00a0mm too short, 1\u00a0mm too thin", with(nail("d", 360, 9, anatomy.Right), a)},
	} {
		if got := PracticeNail(tt.c); !strings.Contains(got, tt.want) {
			t.Errorf("%s: %q", tt.name, got)
		}
	}
}

// The list and what is sent say that it is practice before anything else, and
// say nothing of the kind of a patient's case.
func TestPracticeIsMarked(t *testing.T) {
	c, p := practice(t, "neck-and-shaft", func(*record.Case) {})
	if s := Shared(c, p, implant.Teaching(), "2026-11-29T10:00:00Z"); strings.Contains(s, "PRACTICE") || strings.Contains(CaseLine(c, p), PracticeMark) {
		t.Error("a patient's case is called practice")
	}
	c.Practice = "narrow-canal"
	s := Shared(c, p, implant.Teaching(), "2026-11-29T10:00:00Z")
	if !strings.HasPrefix(s, "*** "+PracticeLarge) || !strings.HasPrefix(CaseLine(c, p), PracticeMark) {
		t.Errorf("%.80s", s)
	}
}
