package drawing

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func mmAt(v units.MM) *units.MM { return &v }

func degAt(v, own units.Deg) *units.Angle { return &units.Angle{Best: v, Own: own} }

// facts §5: 42 + 2 = 44 → 45 in 5 mm stock; 3 stand out.
func holeSample() HoleInput {
	return HoleInput{ID: "hole", Depth: 42, Screw: 45, Past: units.Length{Best: 3, Own: 0.5}, Shorter: 40, Longer: 50, Limit: 5}
}

// facts §5: canal 14, nail 10, 120 mm: 1.91°.
func tiltSample() TiltInput {
	return TiltInput{ID: "tilt", Canal: 14, Nail: 10, Along: 120, Angle: units.Angle{Best: 1.909, Own: 0.24}}
}

func capSample() CapTopInput {
	return CapTopInput{ID: "cap", Burial: units.Length{Best: 12, Own: 0.5}, Cap: mmAt(10), Next: mmAt(15)}
}

// facts §3n: 400, 943 and 1500: 8.060.
func bowSample() BowFitInput {
	return BowFitInput{ID: "bow", Bone: units.Exact(943), Nail: 1500, Chord: 400, Mismatch: units.Length{Best: 8.0598, Own: 1}, Limit: 5}
}

func legSample() TurnInput {
	return TurnInput{ID: "turn", Side: anatomy.Right, Injured: degAt(2, 2), Sound: degAt(18, 2), Turn: degAt(16, 3)}
}

func unionSample() UnionInput {
	day := 120
	return UnionInput{ID: "union", Cortices: [4]int{3, 2, 2, 2}, Names: [4]string{"inner", "outer", "front", "back"}, Most: 3, Limit: 10, Days: &day, From: 90, To: 180}
}

func bedsideSamples(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	keep := func(name string) func(string, error) {
		return func(svg string, err error) {
			if err != nil {
				t.Fatal(name, err)
			}
			out[name] = svg
		}
	}
	keep("hole")(Hole(holeSample()))
	out1 := holeSample()
	out1.Screw, out1.Past.Best, out1.Longer = 50, 8, 0
	keep("hole-out")(Hole(out1))
	keep("tilt")(Tilt(tiltSample()))
	keep("cap")(CapTop(capSample()))
	keep("cap-proud")(CapTop(CapTopInput{ID: "cap", Burial: units.Exact(-4), Next: mmAt(0)}))
	keep("bow")(BowFit(bowSample()))
	keep("turn-leg")(Turn(legSample()))
	left := legSample()
	left.Side, left.Injured, left.Turn = anatomy.Left, degAt(30, 2), degAt(-12, 3)
	keep("turn-leg-left")(Turn(left))
	keep("pair")(Pair(PairInput{ID: "pair", Title: "Length of both femora", First: Bar{"injured", 402}, Second: Bar{"sound", 420}, Between: "differ by", Hatch: true}))
	keep("union")(Union(unionSample()))
	keep("two-balls")(TwoBalls(TwoBallsInput{ID: "balls", Behind: 1.0416667, Front: 1.4084507, Bone: 1.179941}))
	return out
}

// Lengths in the drawings are the numbers.
func TestBedsideDrawingsAreToScale(t *testing.T) {
	all := bedsideSamples(t)
	for _, tt := range []struct {
		name, what string
		want, tol  float64
		source     string
	}{
		{"hole", "depth", 42, 1e-9, "facts §5"}, {"hole", "screw", 45, 1e-9, "facts §5"}, {"hole", "shorter", 40, 1e-9, "stock in 5 mm steps"},
		{"tilt", "along", 120, 1e-9, "facts §5"}, {"tilt", "slack", 4, 1e-9, "by hand: 14 − 10"},
		{"cap", "burial", 12, 1e-9, "by hand"}, {"cap", "cap", 10, 1e-9, "by hand"}, {"cap-proud", "burial", 4, 1e-9, "by hand"},
		{"bow", "bone", 21.453, 1e-3, "facts §3n"}, {"bow", "nail", 13.393, 1e-3, "facts §3n"}, {"bow", "mismatch", 8.060, 1e-3, "facts §3n"},
		{"pair", "first", 402, 1e-9, "by hand"}, {"pair", "between", 18, 1e-9, "by hand: 420 − 402"},
		{"union", "window", 90, 1e-9, "by hand: 180 − 90"},
		{"two-balls", "bone", 847.5, 0.01, "by hand: 1000 / 1.179941"},
	} {
		testkit.Near(t, tt.name+" "+tt.what+" ("+tt.source+")", mmOf(t, checkDrawing(t, tt.name, all[tt.name]), tt.what), tt.want, tt.tol)
	}
	for name, words := range map[string]string{"hole-out": "8.0 ± 1.0 mm", "cap": "cap 10 mm: 2 mm in", "cap-proud": "0 mm: 4 mm out", "turn-leg": "foot in 16 ± 6°",
		"turn-leg-left": "foot out 12 ± 6°", "union": "sum 9; united from 10 on", "two-balls": "bone 1.180"} {
		if !hasText(read(t, all[name]), words) && !strings.Contains(all[name], words) {
			t.Errorf("%s does not say %q", name, words)
		}
	}
	if !strings.Contains(all["hole-out"], "hole-care") || strings.Contains(all["hole"], "hole-care") {
		t.Error("a screw that stands out too far is hatched, and only that")
	}
}

// The foot of a right leg goes in to the left as seen from the hip, that of a
// left leg to the right, and the necks lie towards each other: by hand.
func TestTurnLegIsMirrored(t *testing.T) {
	ends := map[anatomy.Side][2]float64{}
	for _, side := range []anatomy.Side{anatomy.Left, anatomy.Right} {
		in := legSample()
		in.Side = side
		svg, err := Turn(in)
		if err != nil {
			t.Fatal(err)
		}
		els := checkDrawing(t, string(side), svg)
		neck := find(els, "injured-neck")[0]
		foot := 0.0
		for _, e := range els {
			if e.attr["class"] == "d-screw d-dashed" {
				foot = e.num(t, "x2") - e.num(t, "x1")
			}
		}
		ends[side] = [2]float64{neck.num(t, "x2") - neck.num(t, "x1"), foot}
	}
	r, l := ends[anatomy.Right], ends[anatomy.Left]
	if !(r[0] < 0 && r[1] < 0 && math.Abs(r[0]+l[0]) < 1e-3 && math.Abs(r[1]+l[1]) < 1e-3) {
		t.Errorf("right %v, left %v: want both to the middle, and mirrored", r, l)
	}
}

// Every answer that core gives is drawn, and nothing runs out of the drawing.
func TestBedsideDrawingsFollowCore(t *testing.T) {
	p, shelf := plan.DefaultPolicy(), implant.Teaching()
	for d := units.MM(16); d <= 78; d += 3.5 {
		if in, ok := HoleFromScrew(plan.DistalScrewFor(d, 5, shelf, p), p.DistalPast); ok {
			svg, err := Hole(in)
			if err != nil {
				t.Fatalf("depth %v: %v", d, err)
			}
			checkDrawing(t, "hole "+d.String(), svg)
		}
	}
	for b := units.MM(-30); b <= 60; b += 3 {
		l := plan.TypedBurial(b, p)
		svg, err := CapTop(CapTopFrom(l, plan.CapFor(&l, shelf)))
		if err != nil {
			t.Fatalf("burial %v: %v", b, err)
		}
		checkDrawing(t, "cap "+b.String(), svg)
	}
	for _, bone := range []units.MM{301, 722, 943, 1500, 5000} {
		for _, nail := range []units.MM{400, 1027.2, 1500, 5000} {
			for _, chord := range []units.MM{300, 400, 600} {
				a := plan.BowFor(units.Length{Best: bone, Own: 40}, nail, chord, p)
				if a.Length == nil {
					continue
				}
				svg, err := BowFit(BowFitInput{ID: "bow", Bone: units.Length{Best: bone, Own: 40}, Nail: nail, Chord: chord, Mismatch: *a.Length, Limit: p.BowMismatch})
				if err != nil {
					t.Fatalf("%v %v %v: %v", bone, nail, chord, err)
				}
				checkDrawing(t, "bow "+bone.String()+" "+nail.String()+" "+chord.String(), svg)
			}
		}
	}
	for _, canal := range []units.MM{8, 14, 40, 80} {
		for _, along := range []units.MM{10, 120, 500} {
			a := plan.ToggleFor(plan.TypedWidth(canal), 10, units.Exact(along))
			svg, err := Tilt(TiltInput{ID: "tilt", Canal: canal, Nail: 10, Along: along, Angle: *a.Angle})
			if err != nil {
				t.Fatalf("%v %v: %v", canal, along, err)
			}
			checkDrawing(t, "tilt "+canal.String()+" "+along.String(), svg)
		}
	}
	for inj := units.Deg(-60); inj <= 90; inj += 15 {
		for sound := units.Deg(-60); sound <= 90; sound += 15 {
			a := plan.TurnBetween(units.Angle{Best: inj, Own: 2}, units.Angle{Best: sound, Own: 2}, p)
			svg, err := Turn(TurnInput{ID: "turn", Side: anatomy.Left, Injured: degAt(inj, 2), Sound: degAt(sound, 2), Turn: a.Angle})
			if err != nil {
				t.Fatalf("%v %v: %v", inj, sound, err)
			}
			checkDrawing(t, "turn", svg)
		}
	}
	for _, days := range []int{0, 1, 89, 90, 180, 181, 400, 5000} {
		in := unionSample()
		in.Days = &days
		svg, err := Union(in)
		if err != nil {
			t.Fatal(err)
		}
		checkDrawing(t, "union", svg)
	}
	for _, second := range []units.MM{0, 0.5, 4.14, 150, 419.5, 420, 700} {
		svg, err := Pair(PairInput{ID: "pair", Title: "two", First: Bar{"injured", 420}, Second: Bar{"sound", second}, Between: "differ by", Hatch: true})
		if err != nil {
			t.Fatal(err)
		}
		checkDrawing(t, "pair "+second.String(), svg)
	}
	for _, b := range []float64{1, 1.05, 1.3, 1.6} {
		for _, f := range []float64{1.6, 1.41} {
			if svg, err := TwoBalls(TwoBallsInput{ID: "b", Behind: b, Front: f, Bone: (b + f) / 2}); err == nil {
				checkDrawing(t, "balls", svg)
			} else if b <= f {
				t.Error(b, f, err)
			}
		}
	}
}

// What is no number, and a number that contradicts the others, is not drawn.
func TestBedsideDrawingsRefuse(t *testing.T) {
	nan := units.MM(math.NaN())
	hole, tilt, top, bow, leg, uni := holeSample(), tiltSample(), capSample(), bowSample(), legSample(), unionSample()
	hole.Past.Best, tilt.Angle.Best, bow.Mismatch.Best, leg.Turn.Best = 9, 5, 1, 3
	top.Burial.Best = nan
	uni.Cortices[2] = 5
	for _, tt := range []struct {
		name, what string
		draw       func() (string, error)
	}{
		{"hole", "what stands out", func() (string, error) { return Hole(hole) }},
		{"tilt", "the angle", func() (string, error) { return Tilt(tilt) }},
		{"cap", "the depth of the nail", func() (string, error) { return CapTop(top) }},
		{"bow", "the difference", func() (string, error) { return BowFit(bow) }},
		{"turn", "the turn", func() (string, error) { return Turn(leg) }},
		{"no turn", "the turn of a leg", func() (string, error) { return Turn(TurnInput{}) }},
		{"turn of no number", "the turn", func() (string, error) { return Turn(TurnInput{Turn: degAt(units.Deg(nan), 0)}) }},
		{"pair", "injured", func() (string, error) { return Pair(PairInput{First: Bar{"injured", nan}, Second: Bar{"sound", 400}}) }},
		{"union", "the score of front", func() (string, error) { return Union(uni) }},
		{"balls", "the magnification in front", func() (string, error) { return TwoBalls(TwoBallsInput{Behind: 1.3, Front: 1.2, Bone: 1.25}) }},
	} {
		svg, err := tt.draw()
		nothing(t, tt.name, svg, err, tt.what)
	}
}

// facts §5: hole 35 from the tip, fracture to 305, burial 5: 65 for a nail of
// 400, drawn by the picture of the lower end.
func TestDistalFromHoles(t *testing.T) {
	in := DistalFromHoles(anatomy.Left, 10, 400, units.Exact(5), units.Exact(305), []implant.Hole{{FromTip: 35, Plane: implant.Transverse}, {FromTip: 20, Plane: implant.Sagittal}})
	svg, err := Distal(in)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "gap, facts §5", mmOf(t, checkDrawing(t, "holes", svg), "gap"), 65, 1e-9)
}
