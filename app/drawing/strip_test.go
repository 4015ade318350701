package drawing

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func length(best, own, shared units.MM) *units.Length {
	return &units.Length{Best: best, Own: own, Shared: shared}
}

// fullStrip is an invented bone with everything measured.
func fullStrip() StripInput {
	return StripInput{
		ID: "a", Side: anatomy.Left,
		Length: length(412, 1, 2.8), Isthmus: length(189, 1, 1.5), Canal: length(10.6, 0.1, 0.1), Outer: length(28, 0.2, 0.2),
		Lesser: length(72, 1, 0.5), Upper: length(130, 1, 1), Lower: length(165, 1, 1),
		Nail: &StripNail{
			Diameter: 10, Length: 400, Burial: 5, Pattern: plan.HeadLock, HeadAngle: 130, HeadSpacing: 12, HeadDepth: 55,
			Lower: 90, Upper: 85, Screws: 2,
			Holes: []implant.Hole{{FromTip: 15, Plane: implant.Transverse}, {FromTip: 30, Plane: implant.Sagittal}, {FromTip: 45, Plane: implant.Transverse, Slot: true}},
		},
	}
}

func TestStripIsToScale(t *testing.T) {
	for _, size := range []Size{Narrow, Wide, {W: 104, H: 440}, {W: 1600, H: 400, Lying: true}} {
		svg, err := Strip(fullStrip(), size)
		if err != nil {
			t.Fatal(err)
		}
		els := checkDrawing(t, "strip", svg)
		testkit.Near(t, "nail", mmOf(t, els, "nail"), 400, 0)
		testkit.Near(t, "nail's diameter", mmOf(t, els, "nail-diameter"), 10, 0)
		testkit.Near(t, "canal", mmOf(t, els, "canal"), 10.6, 0)
		testkit.Near(t, "outer width", mmOf(t, els, "outer"), 28, 0)
		k := find(els, "nail")[0].num(t, "data-k")
		// Every two levels lie as far apart as their millimetres say.
		places := map[string]float64{}
		for _, what := range []string{"lesser", "fracture", "isthmus", "tip", "target"} {
			if hits := find(els, what); len(hits) == 1 {
				places[what] = along(t, hits[0], size) - hits[0].num(t, "data-at")*k
			}
		}
		if len(places) != 5 {
			t.Fatalf("levels drawn: %v, want five", places)
		}
		for what, p := range places {
			for other, q := range places {
				if math.Abs(p-q) > 0.01 {
					t.Errorf("%s and %s are %.3f px out of scale", what, other, p-q)
				}
			}
		}
		for _, tick := range find(els, "rule")[1:] {
			if d := along(t, tick, size) - tick.num(t, "data-at")*k; math.Abs(d-places["isthmus"]) > 0.01 {
				t.Errorf("tick %s lies %.3f px off the isthmus's scale", tick.attr["data-at"], d-places["isthmus"])
			}
		}
	}
}

// along returns the place of a level line along the bone.
func along(t *testing.T, e element, size Size) float64 {
	if size.Lying {
		return e.num(t, "x1")
	}
	return e.num(t, "y1")
}

// The widths are drawn larger than the lengths by the factor that the drawing
// states in words.
func TestStripStatesItsWidthFactor(t *testing.T) {
	svg, err := Strip(fullStrip(), Wide)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "strip", svg)
	f := find(els, "canal")[0].num(t, "data-k") / find(els, "nail")[0].num(t, "data-k")
	want := "width ×" + units.Trim(f, 2)
	for _, e := range els {
		if e.name == "text" && strings.Contains(e.text, want) {
			return
		}
	}
	t.Errorf("no text says %q", want)
}

func TestStripDrawsNothingUnknown(t *testing.T) {
	base := fullStrip()
	for _, tt := range []struct {
		name string
		drop func(*StripInput)
		gone []string
	}{
		{"no nail", func(in *StripInput) { in.Nail = nil }, []string{"nail", "tip", "hole", "nail-diameter"}},
		{"no isthmus", func(in *StripInput) { in.Isthmus = nil }, []string{"isthmus", "canal", "outer"}},
		{"no canal", func(in *StripInput) { in.Canal = nil }, []string{"canal"}},
		{"no outer width", func(in *StripInput) { in.Outer = nil }, []string{"outer"}},
		{"no fracture", func(in *StripInput) { in.Upper, in.Lower = nil, nil }, []string{"fracture"}},
		{"no lesser trochanter", func(in *StripInput) { in.Lesser = nil }, []string{"lesser"}},
		{"no length", func(in *StripInput) { in.Length = nil }, []string{"target", "length"}},
	} {
		in := base
		tt.drop(&in)
		for _, size := range []Size{Narrow, Wide} {
			svg, err := Strip(in, size)
			if err != nil {
				t.Fatalf("%s: %v", tt.name, err)
			}
			els := checkDrawing(t, tt.name, svg)
			for _, what := range tt.gone {
				if len(find(els, what)) > 0 {
					t.Errorf("%s: %q is drawn all the same", tt.name, what)
				}
			}
		}
	}
}

// Without doubt nothing is hatched as doubtful; with it the doubt is hatched.
func TestStripHatchesDoubtOnly(t *testing.T) {
	in := fullStrip()
	in.Length, in.Canal, in.Outer = length(412, 0, 0), length(10.6, 0, 0), length(28, 0, 0)
	svg, err := Strip(in, Narrow)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(svg, "-doubt") {
		t.Error("doubt is hatched where there is none")
	}
	svg, _ = Strip(fullStrip(), Narrow)
	if strings.Count(svg, `fill="url(#a-doubt)"`) < 3 { // two walls of the canal, the lower end
		t.Error("the doubt of canal and length is not hatched")
	}
}

// The hatched band at the lower end is as wide as ± says: 2 × 2 × u.
func TestStripDoubtIsToScale(t *testing.T) {
	in := StripInput{ID: "a", Side: anatomy.Left, Length: length(400, 5, 0)}
	svg, err := Strip(in, Narrow)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "doubt", svg)
	k := find(els, "rule")[0].num(t, "data-k")
	for _, e := range els {
		if e.attr["fill"] == "url(#a-doubt)" {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, c := range corners(t, e) {
				lo, hi = math.Min(lo, c.y), math.Max(hi, c.y)
			}
			testkit.Near(t, "band of ± 10 mm", (hi-lo)/k, 20, 0.01) // by hand: 2 × Sure × 5 mm
			return
		}
	}
	t.Error("no doubt is drawn")
}

// A right leg is the mirror of a left leg, seen from the front, and both say
// which they are. The head of a left femur points to the left of the drawing.
func TestStripMirror(t *testing.T) {
	in := fullStrip()
	left, _ := Strip(in, Narrow)
	in.Side = anatomy.Right
	right, _ := Strip(in, Narrow)
	l, r := checkDrawing(t, "left", left), checkDrawing(t, "right", right)
	axis := find(l, "nail")[0].num(t, "x1")
	n := 0
	for i, a := range l {
		if a.attr["class"] != "d-screw" || a.name != "line" || a.attr["data-what"] != "" {
			continue
		}
		n++
		b := r[i]
		for _, key := range []string{"x1", "x2"} {
			testkit.Near(t, "mirror of a head screw", a.num(t, key)-axis, axis-b.num(t, key), 0.01)
		}
		if !(a.num(t, "x2") < a.num(t, "x1") && a.num(t, "y2") < a.num(t, "y1")) {
			t.Errorf("a head screw of a left femur runs from %s to %s, want to the left and up", a.attr["x1"], a.attr["x2"])
		}
	}
	if n != 2 {
		t.Errorf("%d head screws, want two", n)
	}
	for side, els := range map[string][]element{"left femur": l, "right femur": r} {
		if !strings.Contains(els[2].text, strings.ToUpper(side[:1])+side[1:]+", seen from the front") {
			t.Errorf("the description of a %s says %q", side, els[2].text)
		}
		if !hasText(els, side) {
			t.Errorf("the drawing of a %s does not say so", side)
		}
	}
	in.Side = ""
	none, _ := Strip(in, Narrow)
	if !hasText(checkDrawing(t, "no side", none), "side not given") {
		t.Error("a drawing without a side does not say so")
	}
}

func hasText(els []element, words string) bool {
	for _, e := range els {
		if e.name == "text" && strings.Contains(e.text, words) {
			return true
		}
	}
	return false
}

// A nail that runs past the target is hatched as danger and said in words.
func TestStripNailPastTheTarget(t *testing.T) {
	in := fullStrip()
	in.Upper, in.Lower = nil, nil // whose zone is hatched too
	svg, _ := Strip(in, Wide)
	if strings.Contains(svg, "-stop") {
		t.Error("a nail that ends short of the target is hatched as danger")
	}
	in.Nail.Length = 420
	svg, err := Strip(in, Wide)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "too long", svg)
	if !strings.Contains(svg, "url(#a-stop)") || !hasText(els, "13 ± 6 mm past the target") { // by hand: 5 + 420 − 412; ± 2·√(1² + 2.8²) = 5.9
		t.Error("a nail past the target is not shown as danger")
	}
}

func TestStripRefuses(t *testing.T) {
	nan, inf := units.MM(math.NaN()), units.MM(math.Inf(1))
	for _, tt := range []struct {
		name, what string
		set        func(*StripInput)
	}{
		{"nothing known", "the length of the bone", func(in *StripInput) { *in = StripInput{} }},
		{"length no number", "the length of the bone", func(in *StripInput) { in.Length = length(nan, 1, 1) }},
		{"length zero", "the length of the bone", func(in *StripInput) { in.Length = length(0, 1, 1) }},
		{"length huge", "the length of the bone", func(in *StripInput) { in.Length = length(4e9, 1, 1) }},
		{"length endless", "the length of the bone", func(in *StripInput) { in.Length = length(inf, 1, 1) }},
		{"doubt no number", "the doubt of the length", func(in *StripInput) { in.Length = length(412, nan, 1) }},
		{"doubt endless", "the doubt of the length", func(in *StripInput) { in.Length = length(412, inf, 1) }},
		{"canal zero", "the canal", func(in *StripInput) { in.Canal = length(0, 1, 1) }},
		{"canal wider than the bone", "the canal", func(in *StripInput) { in.Canal = length(30, 1, 1) }},
		{"isthmus below the bone", "the level of the isthmus", func(in *StripInput) { in.Isthmus = length(500, 1, 1) }},
		{"fracture upside down", "the lower end of the fracture", func(in *StripInput) { in.Lower = length(100, 1, 1) }},
		{"nail zero", "the nail's length", func(in *StripInput) { in.Nail = &StripNail{Diameter: 10} }},
		{"nail no number", "the nail's diameter", func(in *StripInput) { in.Nail = &StripNail{Diameter: nan, Length: 400} }},
		{"burial endless", "the nail's burial", func(in *StripInput) { in.Nail = &StripNail{Diameter: 10, Length: 400, Burial: -inf} }},
		{"hole outside", "a hole's distance", func(in *StripInput) {
			in.Nail = &StripNail{Diameter: 10, Length: 400, Holes: []implant.Hole{{FromTip: 401}}}
		}},
		{"profile out of order", "a level of the canal", func(in *StripInput) {
			in.Profile = []Breadth{{200, *length(11, 0, 0)}, {100, *length(12, 0, 0)}}
		}},
	} {
		in := fullStrip()
		tt.set(&in)
		svg, err := Strip(in, Narrow)
		nothing(t, tt.name, svg, err, tt.what)
	}
}

// Whatever the numbers, as long as they are possible: inside the drawing, no
// text over another, everything to scale.
func TestStripAtItsLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	pick := func(lo, hi float64) units.MM { return units.MM(math.Round((lo+r.Float64()*(hi-lo))*10) / 10) }
	maybe := func(lo, hi float64) *units.Length {
		if r.IntN(4) == 0 {
			return nil
		}
		return length(pick(lo, hi), pick(0, 8), pick(-8, 8))
	}
	for i := range 400 {
		l := float64(pick(60, 790))
		in := StripInput{ID: "r", Side: []anatomy.Side{anatomy.Left, anatomy.Right, ""}[r.IntN(3)],
			Length: length(units.MM(l), pick(0, 20), pick(-20, 20)), Isthmus: maybe(15, l-2), Lesser: maybe(0, l-2),
			Outer: maybe(20, 69), Canal: maybe(2, 19)}
		if in.Upper = maybe(0, l-2); in.Upper != nil && r.IntN(2) == 0 {
			in.Lower = length(min(in.Upper.Best+pick(0, 200), 800), 1, 1)
		}
		if r.IntN(4) > 0 {
			n := fullStrip().Nail
			n.Length, n.Diameter, n.Burial = pick(60, 700), pick(2, 20), pick(-50, 100)
			n.Pattern = []plan.Pattern{plan.HeadLock, plan.Standard, ""}[r.IntN(3)]
			n.HeadAngle, n.HeadDepth = units.Deg(pick(91, 169)), pick(0, 60)
			in.Nail = n
		}
		size := []Size{Narrow, Wide, {W: 104, H: 440}, {W: math.NaN()}, {W: 600, H: 252, Lying: true}}[r.IntN(5)]
		svg, err := Strip(in, size)
		if err != nil {
			t.Fatalf("case %d: %v", i, err)
		}
		checkDrawing(t, "random strip", svg)
		if t.Failed() {
			t.Fatalf("case %d: %+v, nail %+v, size %+v", i, in, in.Nail, size)
		}
	}
}

func TestLocked(t *testing.T) {
	holes := []implant.Hole{{FromTip: 45}, {FromTip: 15}, {FromTip: 30}}
	for n, want := range map[int][3]bool{0: {}, 1: {false, true, false}, 2: {false, true, true}, 3: {true, true, true}, 9: {true, true, true}} {
		if got := locked(holes, n); [3]bool(got) != want {
			t.Errorf("%d screws lock %v, want %v", n, got, want)
		}
	}
}

func TestStripFromPlan(t *testing.T) {
	c := record.Case{Side: anatomy.Right, Films: []record.Film{{View: anatomy.AP, Bone: anatomy.Injured, Points: []record.Point{
		{Name: anatomy.OuterA, At: geom.Pt[units.Px]{X: 100, Y: 500}}, {Name: anatomy.OuterB, At: geom.Pt[units.Px]{X: 300, Y: 500}}}}}}
	p := plan.Plan{
		Scales: []plan.FilmScale{{Film: 0, Plane: calibrate.Plane{Row: 0.15, Col: 0.14, Origin: calibrate.FromBallMark}}},
		Bone:   plan.Bone{Length: length(412, 1, 2), Isthmus: length(189, 1, 1), Canal: length(10.6, 0.1, 0.1)},
		Nail:   plan.NailChoice{Length: 400, Diameter: 10, Room: length(407, 1, 2), Part: &implant.Nail{HeadAngle: 130, HeadDepth: 55, HeadSpacing: 12}},
		Head:   plan.Head{Lower: plan.ScrewChoice{Ask: 90}}, Locking: plan.Locking{Pattern: plan.HeadLock, Distal: 2},
	}
	in := StripFromPlan(c, p)
	if in.Nail == nil || in.Nail.Burial != 5 || in.Nail.Lower != 90 || in.Outer == nil {
		t.Fatalf("from the plan: %+v, nail %+v", in, in.Nail)
	}
	testkit.Near(t, "outer width", float64(in.Outer.Best), 28, 1e-9) // by hand: 200 px × 0.14 mm
	svg, err := Strip(in, Narrow)
	if err != nil {
		t.Fatal(err)
	}
	checkDrawing(t, "from plan", svg)
	p.Scales[0].Disputed = true
	if StripFromPlan(c, p).Outer != nil {
		t.Error("a disputed scale gave an outer width")
	}
	p.Nail.Room = nil
	if StripFromPlan(c, p).Nail != nil {
		t.Error("a nail without a place is drawn")
	}
	if _, err := Strip(StripFromPlan(record.Case{}, plan.Plan{}), Narrow); err == nil {
		t.Error("an empty plan was drawn")
	}
}

func BenchmarkStrip(b *testing.B) {
	for _, bb := range []struct {
		name string
		size Size
	}{{"narrow", Narrow}, {"wide", Wide}} {
		b.Run(bb.name, func(b *testing.B) {
			in := fullStrip()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Strip(in, bb.size); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
