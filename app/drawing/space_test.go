package drawing

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/neck"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// spaceOf works out the margins with core/neck, a second program from the one
// that draws, for a nail that lies as the model says.
func spaceOf(t testing.TB, side anatomy.Side, m plan.SpaceModel) SpaceInput {
	t.Helper()
	mm := func(v units.MM) units.Length { return units.Exact(v) }
	half := min(units.MM(5), m.Behind)
	b := neck.Bone{Head: neck.Point{Medial: mm(m.Medial), Up: mm(m.Up), Front: mm(m.Front)}, Radius: mm(m.Radius),
		NeckShaft: units.Angle{Best: m.NeckShaft}, Version: units.Angle{Best: m.Version}, Height: mm(m.Height), Width: mm(m.Width),
		From: m.Behind - half, To: m.Behind + half, LateralLower: mm(m.Lateral), LateralUpper: mm(m.Lateral)}
	b.Height.Own = 0.5
	lower, upper, err := neck.At(b, neck.Nail{Angle: m.Angle, Spacing: m.Spacing, LowerDia: m.Dia, UpperDia: m.Dia, HeadDepth: m.HeadDepth},
		neck.Keep{Lower: 3, Upper: 3, Side: 3, Tip: 5}, neck.Pose{Depth: m.Depth, Turn: m.Turn})
	if err != nil {
		t.Fatal(err)
	}
	of := func(s neck.Screw) plan.SpaceScrew {
		return plan.SpaceScrew{Up: &s.Up, Down: &s.Down, Front: &s.Front, Back: &s.Back, Wall: &s.Wall, Above: &s.Above, Ahead: &s.Ahead, Length: s.Length}
	}
	return SpaceInput{ID: "space", Side: side, Model: m, Lower: of(lower), Upper: of(upper), LowerAsk: 100, UpperAsk: 95, Keep: [3]units.MM{3, 3, 3}, Clearance: 5}
}

// plainNeck is the neck of the worked example of core/source, method space: 30
// by 24 mm at 130°, head of 24 mm 44 mm from the nail on the line of the neck,
// the lower screw 48.34 mm below the centre of the head.
func plainNeck() plan.SpaceModel {
	up := units.MM(44 / math.Tan(50*math.Pi/180))
	depth := units.MM(8.75/math.Sin(50*math.Pi/180) + 0) // where the lower axis crosses the nail, 8.75 below the line of the neck
	return plan.SpaceModel{Medial: 44, Up: up, Radius: 24, NeckShaft: 130, Height: 30, Width: 24, Behind: 32.5,
		Lateral: 20, Depth: depth, Angle: 130, Spacing: 12, Dia: 6.5, Top: -11.66, HeadDepth: 60}
}

// turnedNeck is a left neck turned forwards, steeper than its screws, in which
// they run obliquely.
func turnedNeck() plan.SpaceModel {
	return plan.SpaceModel{Medial: 40, Up: 42, Front: 8, Radius: 23, NeckShaft: 134, Version: 14, Height: 31, Width: 25, Behind: 30,
		Lateral: 18, Depth: 8, Turn: 11, Angle: 130, Spacing: 12, Dia: 6.5, Top: 5, HeadDepth: 13}
}

func spaceSamples(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	for name, in := range map[string]SpaceInput{"space": spaceOf(t, anatomy.Right, plainNeck()), "space-turned": spaceOf(t, anatomy.Left, turnedNeck())} {
		for view, f := range map[string]func(SpaceInput) (string, error){"-ap": SpaceAP, "-lateral": SpaceLateral, "-section": SpaceSection} {
			svg, err := f(in)
			if err != nil {
				t.Fatal(name, view, err)
			}
			out[name+view] = svg
		}
	}
	return out
}

// By hand: two screws of 6.5, 12 apart, 3 below in a neck of 30: 30 − (3 + 3.25
// + 12 + 3.25) = 8.5 above; in front of the upper 12·√(1 − (3.25/15)²) − 3.25 =
// 8.465, of the lower 12·√(1 − (8.75/15)²) − 3.25 = 6.497 (facts 4l, 4m).
func TestSpaceMargins(t *testing.T) {
	in := spaceOf(t, anatomy.Right, plainNeck())
	ap, err := SpaceAP(in)
	if err != nil {
		t.Fatal(err)
	}
	lat, _ := SpaceLateral(in)
	cut, _ := SpaceSection(in)
	els, side, across := checkDrawing(t, "ap", ap), checkDrawing(t, "lateral", lat), checkDrawing(t, "section", cut)
	for _, tt := range []struct {
		els  []element
		what string
		want float64
	}{
		{els, "room-upper-up", 8.5}, {els, "room-lower-down", 3}, {els, "head", 48}, {els, "screw-lower", 100}, {els, "screw-upper", 95},
		{side, "room-lower-front", 6.497}, {side, "room-lower-back", 6.497}, {side, "screw-lower", 100},
		{across, "room-upper-up", 8.5}, {across, "room-lower-down", 3}, {across, "room-lower-front", 6.497}, {across, "neck-height", 30}, {across, "neck-width", 24},
	} {
		testkit.Near(t, tt.what, mmOf(t, tt.els, tt.what), tt.want, 0.001)
	}
	if !hasText(els, "8.5 ± 0.5 mm") || !hasText(els, "keep 3 mm") {
		t.Error("the room above is not printed with its doubt")
	}
	if find(els, "room-lower-down")[0].attr["class"] != "d-move" {
		t.Error("a margin equal to what is to be kept is shown as danger")
	}
	in.Keep[1] = 4
	ap, _ = SpaceAP(in)
	if find(checkDrawing(t, "ap", ap), "room-lower-down")[0].attr["class"] != "d-stop" {
		t.Error("a margin under what is to be kept is not shown as danger")
	}
	if !strings.Contains(ap, ">under 4 mm<") {
		t.Error("a margin under what is to be kept is told by its colour alone")
	}
}

// The margins that are drawn are those of core/neck, however the screws run;
// the section shows their true length.
func TestSpaceAgreesWithNeck(t *testing.T) {
	for _, turn := range []units.Deg{-12, 0, 5, 11, 20} {
		for _, depth := range []units.MM{4, 8, 13} {
			m := turnedNeck()
			m.Turn, m.Depth = turn, depth
			in := spaceOf(t, anatomy.Left, m)
			h := in.hip()
			for i, s := range []plan.SpaceScrew{in.Lower, in.Upper} {
				g := h.gaps(i)
				for j, l := range []*units.Length{s.Up, s.Down, s.Front, s.Back} {
					testkit.Near(t, sideOf[j]+string(placeOf[i]), g[j].mm, float64(l.Best), 1e-9)
					testkit.Near(t, "its ends", math.Sqrt(g[j].b.plus(g[j].a, -1).dot(g[j].b.plus(g[j].a, -1))), math.Abs(g[j].mm), 1e-9)
				}
			}
			for _, f := range []func(SpaceInput) (string, error){SpaceAP, SpaceLateral, SpaceSection} {
				svg, err := f(in)
				if err != nil {
					t.Fatal(err)
				}
				checkDrawing(t, "turned", svg)
			}
		}
	}
}

// A left hip is the mirror image of a right one: shapes mirror, words change
// sides, and front stays up in the lateral view.
func TestSpaceMirror(t *testing.T) {
	for name, f := range map[string]func(SpaceInput) (string, error){"ap": SpaceAP, "lateral": SpaceLateral, "section": SpaceSection} {
		a, _ := f(spaceOf(t, anatomy.Right, turnedNeck()))
		b, _ := f(spaceOf(t, anatomy.Left, turnedNeck()))
		right, left := checkDrawing(t, name, a), checkDrawing(t, name, b)
		for _, what := range []string{"head", "screw-lower", "neck-width"} {
			r, l := find(right, what), find(left, what)
			if len(r) != len(l) {
				t.Fatalf("%s: %d and %d elements %s", name, len(r), len(l), what)
			}
			if len(r) == 0 {
				continue
			}
			p, q := corners(t, r[0]), corners(t, l[0])
			testkit.Near(t, name+" "+what, p[0].x+q[0].x+p[1].x+q[1].x, 4*164, 0.01)
			testkit.Near(t, name+" "+what, p[0].y+p[1].y, q[0].y+q[1].y, 0.01)
		}
	}
	svg, _ := SpaceAP(spaceOf(t, anatomy.Right, plainNeck()))
	if els := read(t, svg); !hasText(els, "medial →") || !hasText(els, "← lateral") || !(find(els, "head")[0].num(t, "cx") > 164) {
		t.Error("a right hip from the front has its head on the right, where medial is")
	}
	svg, _ = SpaceSection(spaceOf(t, anatomy.Left, plainNeck()))
	if els := read(t, svg); !hasText(els, "← front") {
		t.Error("a left neck from the lateral side has its front on the left")
	}
	for _, side := range []anatomy.Side{"", "Left"} {
		if svg, err := SpaceAP(spaceOf(t, side, plainNeck())); err != nil || !strings.Contains(svg, "side not given") {
			t.Errorf("side %q: %v, want a drawing that says so", side, err)
		}
	}
}

func TestSpaceRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*SpaceInput)
	}{
		{"nothing", "the radius of the head", func(in *SpaceInput) { *in = SpaceInput{} }},
		{"no number", "the way from the nail", func(in *SpaceInput) { in.Model.Medial = nan }},
		{"angle no number", "the angle of the screws", func(in *SpaceInput) { in.Model.Angle = units.Deg(nan) }},
		{"screw too long", "the head screw's length", func(in *SpaceInput) { in.LowerAsk = 300 }},
		{"keep no number", "the distance to keep", func(in *SpaceInput) { in.Keep[2] = nan }},
		{"another margin", "the room above the upper screw", func(in *SpaceInput) { in.Upper.Up = length(9, 0.2, 0) }},
		{"margin no number", "the doubt of a margin", func(in *SpaceInput) { in.Lower.Down = length(nan, 0.2, 0) }},
		{"doubt no number", "the doubt of a margin", func(in *SpaceInput) { in.Lower.Front = length(6.497, nan, 0) }},
		{"screws across the neck", "the way of the screws", func(in *SpaceInput) { in.Model.Version, in.Model.Turn = 70, -50 }},
	} {
		in := spaceOf(t, anatomy.Right, plainNeck())
		tt.set(&in)
		for _, f := range []func(SpaceInput) (string, error){SpaceAP, SpaceLateral, SpaceSection} {
			svg, err := f(in)
			nothing(t, tt.name, svg, err, tt.what)
		}
	}
	if _, ok := SpaceFromPlan(record.Case{}, plan.Plan{}, plan.DefaultPolicy()); ok {
		t.Error("a plan without screws in space was drawn")
	}
}

// Screws that are not decided, and a cortex that is not known, are drawn dashed.
func TestSpaceUndecided(t *testing.T) {
	in := spaceOf(t, anatomy.Right, plainNeck())
	in.LowerAsk, in.UpperAsk = 0, 0
	svg, err := SpaceAP(in)
	if err != nil {
		t.Fatal(err)
	}
	checkDrawing(t, "undecided", svg)
	if strings.Contains(svg, `class="d-nail"`) || !strings.Contains(svg, `class="d-ghost"`) {
		t.Error("screws that are not decided are drawn as if they were")
	}
}

func BenchmarkSpace(b *testing.B) {
	in := spaceOf(b, anatomy.Right, turnedNeck())
	for _, of := range []struct {
		name string
		f    func(SpaceInput) (string, error)
	}{{"ap", SpaceAP}, {"lateral", SpaceLateral}, {"section", SpaceSection}} {
		b.Run(of.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := of.f(in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// 3 mm more than the length that keeps 5 mm along the screw (core/neck) is too
// deep, off the centre even more so; 95 mm is not, and says nothing.
func TestSpaceSaysATipTooDeep(t *testing.T) {
	in := spaceOf(t, anatomy.Right, plainNeck())
	for _, tt := range []struct {
		ask  units.MM
		deep bool
	}{{95, false}, {in.Lower.Length.Best + 3, true}} {
		in.LowerAsk, in.UpperAsk = tt.ask, 60
		svg, err := SpaceAP(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(svg, "lower tip under 5 mm from the joint"); got != tt.deep {
			t.Errorf("a lower screw of %v: too deep %v, want %v", tt.ask, got, tt.deep)
		}
		checkDrawing(t, "deep", svg)
	}
}
