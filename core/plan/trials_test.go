package plan

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// withoutWires returns the case with no wire read, so that the head screws are
// taken from the film.
func withoutWires(c record.Case) record.Case {
	c = record.Clone(c)
	var keep []record.Reading
	for _, r := range c.Readings {
		if r.Kind != record.WireLower && r.Kind != record.WireUpper {
			keep = append(keep, r)
		}
	}
	c.Readings = keep
	return c
}

// turned returns the case with every film taken for one of the other femur.
func turned(c record.Case) record.Case {
	c = record.Clone(c)
	for i := range c.Films {
		c.Films[i].Bone = anatomy.Sound
		if c.Films[i].Tags != nil {
			c.Films[i].Tags.Laterality = ""
		}
	}
	return c
}

// trialCases returns the practice cases, the same with their head screws from
// the film, and the same from films of the other femur.
func trialCases(t testing.TB) map[string]record.Case {
	out := map[string]record.Case{}
	for _, name := range caseNames(t) {
		if notLawful[name] == "" {
			out[name] = loadCase(t, name)
		}
	}
	out["screws from the film"] = withoutWires(out["neck-and-shaft"])
	out["screws from the other femur"] = turned(out["screws from the film"])
	out["other femur and a skin ruler"] = turned(out["below-isthmus"])
	return out
}

// notLawful are cases that the laws of mirror and trials leave out, and why.
var notLawful = map[string]string{
	"photo":                  "the doubt of a photo made straight differs by a hundredth in a mirror",
	"photo-head":             "as photo",
	"left-film-right-leg":    "its contradiction names the sides",
	"part-of-the-other-side": "its contradiction names the sides",
	"valgus":                 "trials refuse the way of a screw that the plan takes from both films",
	"retroverted-neck":       "trials give 3 % more doubt to the upper screw than both films",
	"retroverted-neck-left":  "as retroverted-neck",
}

// Law: with every chance number 0 a trial is the plan itself.
func TestTrialOfNothingIsThePlan(t *testing.T) {
	lengths, screws := 0, 0
	for name, c := range trialCases(t) {
		p := DefaultPolicy()
		pl := Make(c, implant.Teaching(), p)
		tr := newTrial(c, implant.Teaching(), p)
		tr.run()
		same := func(what string, want *units.Length, s tally) {
			if want == nil || len(s.values) == 0 {
				if (want == nil) != (len(s.values) == 0) {
					t.Errorf("%s: %s is in one of plan and trial only", name, what)
				}
				return
			}
			lengths++
			testkit.Near(t, name+": "+what, s.values[0], float64(want.Best), 1e-9)
		}
		right := func(what string, want units.MM, s tally) {
			if want > 0 && (len(s.sizes) != 1 || s.sizes[0].Value != want) || want == 0 && len(s.sizes) > 0 {
				t.Errorf("%s: %s of the trial %v, of the plan %v", name, what, s.sizes, want)
			}
			reamed := what == "diameter" && pl.Bone.Canal != nil && want > pl.Bone.Canal.Best // thicker than the canal before it is reamed
			if s.large+s.small > 0 && !reamed {
				t.Errorf("%s: %s is called too large or too small with no doubt", name, what)
			}
		}
		if pl.Bone.Length != nil {
			room := pl.Bone.Length.Minus(units.Exact(p.Burial))
			same("room", &room, tr.length)
		}
		same("canal", pl.Bone.Canal, tr.diameter)
		same("lower screw", pl.Head.Lower.Room, tr.lower)
		same("upper screw", pl.Head.Upper.Room, tr.upper)
		right("length", pl.Nail.Length, tr.length)
		right("diameter", pl.Nail.Diameter, tr.diameter)
		right("lower screw", pl.Head.Lower.Ask, tr.lower)
		right("upper screw", pl.Head.Upper.Ask, tr.upper)
		if pl.Head.Lower.Ask > 0 {
			screws++
		}
	}
	if lengths < 10 || screws < 3 {
		t.Errorf("only %d lengths and %d screws compared", lengths, screws)
	}
}

// Law: for lengths that follow their inputs in a straight line, the spread of
// the trials is the stated doubt, and the interval is the stated ± in size.
// JCGM 101:2008, 8: that is how the first-order doubt is validated.
func TestTrialsGiveTheStatedDoubt(t *testing.T) {
	const n = 20_000
	for name, c := range trialCases(t) {
		pl := Make(c, implant.Teaching(), DefaultPolicy())
		got := Trials(c, implant.Teaching(), DefaultPolicy(), 5, n)
		for _, tt := range []struct {
			what string
			want *units.Length
			less units.MM
			got  PartChances
		}{
			{"room", pl.Bone.Length, 5, got.Length}, {"canal", pl.Bone.Canal, 0, got.Diameter},
			{"lower screw", pl.Head.Lower.Room, 0, got.Lower}, {"upper screw", pl.Head.Upper.Room, 0, got.Upper},
		} {
			if tt.want == nil {
				continue
			}
			if tt.what == "canal" && pl.Bone.CanalAP != nil && pl.Bone.CanalLat != nil {
				continue // the smaller of two is no straight line
			}
			u, m := float64(tt.want.Doubt()), float64(tt.want.Best-tt.less)
			testkit.Near(t, name+": mean of "+tt.what, float64(tt.got.Room.Mean), m, 5*u/math.Sqrt(n)+0.01*u)
			testkit.Near(t, name+": u of "+tt.what, float64(tt.got.Room.U), u, 0.03*u)
			testkit.Near(t, name+": low of "+tt.what, float64(tt.got.Room.Low), m-1.96*u, 0.12*u) // 0.04 for sampling; a width from point to point is a little skewed
			testkit.Near(t, name+": high of "+tt.what, float64(tt.got.Room.High), m+1.96*u, 0.12*u)
			sum := 0.0
			for _, s := range tt.got.Shares {
				sum += s.Part
			}
			testkit.Near(t, name+": shares of "+tt.what, sum, 1, 0.04)
		}
	}
}

// Law: the chance of too long is the one of the plan's own shortlist, which
// takes the room as normal.
func TestTrialsAgreeWithTheShortlist(t *testing.T) {
	const n = 20_000
	seen := 0
	for name, c := range trialCases(t) {
		pl := Make(c, implant.Teaching(), DefaultPolicy())
		got := Trials(c, implant.Teaching(), DefaultPolicy(), 11, n)
		for _, s := range pl.Nail.Sizes {
			if s.Value == pl.Nail.Length && len(pl.Bone.Routes) == 1 {
				seen++
				testkit.Near(t, name+": too long", got.Length.TooLarge, s.TooLong, 0.02)
			}
		}
	}
	if seen == 0 {
		t.Error("no case to compare")
	}
}

// A case built so that each chance is known by hand: a bone of two rods only,
// 405 ± 2·2.83 mm, and a shelf in 20 mm steps. Room 400 mm; 400 mm is right
// with ½, 380 mm with ½; nothing but the reading has a share.
func TestTrialsByHand(t *testing.T) {
	c := record.Case{Side: anatomy.Left, Readings: []record.Reading{{ID: "r", Kind: record.TwoRods, First: mm(800), Second: mm(395), OnBone: record.Yes, Reduced: record.Yes}}}
	got := Trials(c, implant.Teaching(), DefaultPolicy(), 1, 40_000).Length
	if got.Chosen != 400 || len(got.Sizes) != 2 || got.Sizes[0].Value != 380 || got.Sizes[1].Value != 400 {
		t.Fatalf("got %+v, want 380 and 400", got)
	}
	testkit.Near(t, "400 is right (by hand: Φ(0))", got.Sizes[1].Right, 0.5, 0.01)
	testkit.Near(t, "400 is too long (by hand: Φ(0))", got.TooLarge, 0.5, 0.01)
	testkit.Near(t, "too short (by hand: 1 − Φ(20/2.83))", got.TooSmall, 0, 0)
	testkit.Near(t, "u (by hand: 2·√2)", float64(got.Room.U), 2*math.Sqrt2, 0.05)
	want := []Share{{Input{Kind: InputReading, Name: "two-rods"}, 1}}
	if len(got.Shares) != 1 || got.Shares[0].Input != want[0].Input {
		t.Fatalf("shares %+v, want %+v", got.Shares, want)
	}
	testkit.Near(t, "share (by hand)", got.Shares[0].Part, 1, 0.02)
}

// The share of the scale, by hand: mid-shaft with no rods. Length 420 mm, own
// 0.37, shared 3.56 mm: the scale has 3.56²/(3.56² + 0.37²) = 0.99 of the
// variance. Its marker lay at the bone: ± 5 mm of 1000 is 0.5 % of its 0.85 %,
// so the depth has (0.5/0.85)² = 0.35 of the scale, the marker 0.65.
func TestSharesOfTheScale(t *testing.T) {
	c := loadCase(t, "mid-shaft")
	c.Readings = nil
	p := DefaultPolicy()
	p.FilmTilt = 0 // the bone lay flat
	pl := Make(c, implant.Teaching(), p)
	deep, err := depth(c.Films[0].Evidence[0]).Rel()
	if err != nil {
		t.Fatal(err)
	}
	l := *pl.Bone.Length
	scale := math.Pow(float64(l.Shared/l.Doubt()), 2)
	part := math.Pow(deep/pl.Scales[0].Plane.Rel, 2)
	got := map[string]float64{}
	for _, s := range Trials(c, implant.Teaching(), p, 2, 40_000).Length.Shares {
		got[s.Input.Kind] += s.Part
		if s.Input.Film != 1 {
			t.Errorf("%+v: the length is taken from the first film", s)
		}
	}
	testkit.Near(t, "depth (JCGM 100 5.1.3: (c·u)²/u²)", got[InputDepth], scale*part, 0.02)
	testkit.Near(t, "marker (JCGM 100 5.1.3)", got[InputMarker], scale*(1-part), 0.02)
	testkit.Near(t, "points (JCGM 100 5.1.3)", got[InputPoint], 1-scale, 0.01)
}

// Two films of the other femur share one difference between sides. Trials and
// plan see it: with u_side of 3.6·√(π/2) = 4.51 mm for both, and r for what
// else each film adds,
//
//	u² = u_side² + r²/2, where two independent films would have (u_side² + r²)/2
func TestTrialsShareTheSideDifference(t *testing.T) {
	c := loadCase(t, "subtrochanteric")
	i := 0
	for c.Films[i].Bone != anatomy.Sound {
		i++
	}
	c.Films = append(c.Films, record.Clone(c).Films[i])
	pl := Make(c, implant.Teaching(), DefaultPolicy())
	if len(pl.Bone.Routes) != 2 {
		t.Fatalf("%d routes, want 2", len(pl.Bone.Routes))
	}
	side, all := 3.6*math.Sqrt(math.Pi/2), float64(pl.Bone.Routes[0].Length.Doubt())
	want := math.Sqrt(side*side + (all*all-side*side)/2)
	got := Trials(c, implant.Teaching(), DefaultPolicy(), 21, 20_000).Length
	testkit.Near(t, "u of the room (by hand)", float64(got.Room.U), want, 0.03*want)
	testkit.Near(t, "share of the side difference (by hand: u_side²/u²)", got.Shares[0].Part, side*side/want/want, 0.03)
	if got.Shares[0].Input != (Input{Kind: InputSide, Name: "length"}) {
		t.Errorf("the side difference is not the largest share: %+v", got.Shares)
	}
	testkit.Near(t, "u of the plan's length (by hand)", float64(pl.Bone.Length.Doubt()), want, 1e-6)
}

// Law: a seed is a result; another seed is the same within sampling error; the
// case is not changed.
func TestTrialsAreAFunction(t *testing.T) {
	for name, c := range trialCases(t) {
		before := record.Clone(c)
		a := Trials(c, implant.Teaching(), DefaultPolicy(), 8, 2000)
		if b := Trials(c, implant.Teaching(), DefaultPolicy(), 8, 2000); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two runs of one seed differ", name)
		}
		if !record.Equal(c, before) {
			t.Errorf("%s: the case was changed", name)
		}
		b := Trials(c, implant.Teaching(), DefaultPolicy(), 9, 2000)
		testkit.Near(t, name+": another seed", b.Length.TooLarge, a.Length.TooLarge, 0.06)
		testkit.Near(t, name+": another seed", b.Diameter.TooLarge, a.Diameter.TooLarge, 0.08)
	}
}

// The same chances natively and under WebAssembly: this text was taken from
// this code once, and guards only that.
func TestTrialsSameEverywhere(t *testing.T) {
	got := Trials(withoutWires(loadCase(t, "neck-and-shaft")), implant.Teaching(), DefaultPolicy(), 2026, 5000)
	var counts []float64
	for _, p := range []PartChances{got.Length, got.Diameter, got.Lower, got.Upper} {
		counts = append(counts, p.TooLarge, p.TooSmall, p.Undecided)
		for _, s := range p.Sizes {
			counts = append(counts, s.Right)
		}
		for _, s := range p.Shares {
			counts = append(counts, s.Part)
		}
	}
	b, err := json.Marshal(counts)
	if err != nil {
		t.Fatal(err)
	}
	if string(b) != wantCounts {
		t.Errorf("got %s", b)
	}
}

const wantCounts = `[0.007,0,0,0.007,0.993,1,0,0.4962,0,0.5038,0.4962,0.393,0.391,0.119,0.102,0.001,0.001,0,0.1232,0,0.8768,0.1232,0.522,0.436,0.031,0.023,0.014,0.013,0.002,0.001,0.3186,0,0,0.3186,0.6814,0.539,0.458,0.024,0.011,0.005,0.005,0.001]`

// Nothing, or nonsense, gives nothing.
func TestTrialsOfNothing(t *testing.T) {
	for _, n := range []int{0, -1} {
		if got := Trials(loadCase(t, "mid-shaft"), implant.Teaching(), DefaultPolicy(), 1, n); !reflect.DeepEqual(got, Chances{}) {
			t.Errorf("%d trials: %+v", n, got)
		}
	}
	if got := Trials(record.Case{}, implant.Teaching(), DefaultPolicy(), 1, 10); !reflect.DeepEqual(got, Chances{Trials: 10}) {
		t.Errorf("an empty case: %+v", got)
	}
	if got := Trials(loadCase(t, "mid-shaft"), implant.Shelf{}, DefaultPolicy(), 1, 10); got.Length.Chosen != 0 || got.Length.Sizes != nil || got.Length.Undecided != 1 || got.Length.Room == nil {
		t.Errorf("an empty shelf: %+v", got.Length)
	}
	if got := Trials(record.Case{}, implant.Shelf{}, Policy{}, 1, MaxTrials+5); got.Trials != MaxTrials {
		t.Errorf("%d trials, want no more than %d", got.Trials, MaxTrials)
	}
}
