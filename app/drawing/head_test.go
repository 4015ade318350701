package drawing

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func mm(v units.MM) *units.MM { return &v }

// headSample: facts by hand: 98 − 90 = 8 left, 98 − 95 = 3 left.
func headSample() HeadScrewInput {
	return HeadScrewInput{ID: "h", Side: anatomy.Right, Place: implant.Lower, Gauge: 98, Clearance: 5,
		Screw: 90, Longer: 95, Leaves: length(8, 0.5, 0), LongerTo: length(3, 0.5, 0)}
}

func lengthSample() LengthInput {
	return LengthInput{ID: "l", Rods: &RodPair{Rod: 950, StandsOut: 530}, Film: &FilmLength{Seen: 483, Magnification: 1.15},
		Bone: length(420, 2, 2), Room: length(415, 2, 2), Nail: 400,
		Sizes: []plan.Size{{Value: 380, Right: 0.03}, {Value: 400, Right: 0.82, TooLong: 0.001}, {Value: 420, Right: 0.15, TooLong: 0.96}}}
}

func canalSample() CanalInput {
	return CanalInput{ID: "c", Canal: length(10.6, 0.1, 0.1), AP: length(10.6, 0.1, 0.1), Lateral: length(12.4, 0.3, 0.2),
		Nail: 10, Final: 11, Heads: []units.MM{8.5, 9, 9.5, 10, 10.5, 11}, Missing: []units.MM{10.5}, Narrow: 9}
}

func magSample() MagnifyInput {
	return MagnifyInput{ID: "m", SID: 1150, Bone: 150, Marker: mm(120), Ball: 25, Seen: 27.9}
}

func pt(x, y units.MM) geom.Pt[units.MM] { return geom.Pt[units.MM]{X: x, Y: y} }

// neckSample is a left femur with a vertical neck line of 30 mm and two
// horizontal screws of 6 mm, 12 mm apart.
func neckSample() NeckInput {
	tip := pt(108, 40)
	return NeckInput{ID: "n", Side: anatomy.Left, Head: geom.Circle[units.MM]{Centre: pt(40, 60), R: 24},
		Upper: pt(70, 50), Lower: pt(70, 80), Shaft: geom.Line[units.MM]{A: pt(112, 110), B: pt(112, 210)}, Tip: &tip,
		KeepUpper: 3, KeepLower: 3,
		Screws: []NeckScrew{
			{implant.Lower, geom.Line[units.MM]{A: pt(126, 74), B: pt(40, 74)}, 6, true},
			{implant.Upper, geom.Line[units.MM]{A: pt(126, 62), B: pt(46, 62)}, 6, true},
		}}
}

// samples returns the drawings that were looked at and are kept as golden
// files.
func samples(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	keep := func(name string, svg string, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = svg
	}
	svg, err := Strip(fullStrip(), Narrow)
	keep("strip-narrow", svg, err)
	svg, err = Strip(fullStrip(), Wide)
	keep("strip-wide", svg, err)
	bare := fullStrip()
	bare.Outer, bare.Lower, bare.Side = nil, nil, anatomy.Right
	bare.Nail.Pattern, bare.Nail.Length = plan.Standard, 420
	svg, err = Strip(bare, Narrow)
	keep("strip-standard", svg, err)
	svg, err = HeadScrew(headSample())
	keep("head-screw", svg, err)
	off := headSample()
	off.OffBone, off.Screw, off.Longer, off.Leaves, off.LongerTo = 8, 85, 95, nil, nil
	svg, err = HeadScrew(off)
	keep("head-screw-off-bone", svg, err)
	svg, err = Length(lengthSample())
	keep("length", svg, err)
	svg, err = Canal(canalSample())
	keep("canal", svg, err)
	svg, err = Magnify(magSample())
	keep("magnify", svg, err)
	svg, err = NeckAP(neckSample())
	keep("neck", svg, err)
	svg, err = Distal(distalSample())
	keep("lower-end", svg, err)
	for name, svg := range wireSamples(t) {
		keep(name, svg, nil)
	}
	for name, svg := range spaceSamples(t) {
		keep(name, svg, nil)
	}
	for name, svg := range bedsideSamples(t) {
		keep(name, svg, nil)
	}
	return out
}

func TestGolden(t *testing.T) {
	for name, svg := range samples(t) {
		t.Run(name, func(t *testing.T) {
			checkDrawing(t, name, svg)
			golden(t, name, svg)
			if len(svg) > 16<<10 {
				t.Errorf("%s is %d bytes, too much to redraw while dragging", name, len(svg))
			}
		})
	}
}

func TestHeadScrewIsToScale(t *testing.T) {
	in := headSample()
	svg, err := HeadScrew(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "head screw", svg)
	for what, want := range map[string]float64{"wire": 98, "wire-hip": 98, "scre-bar": 90, "scre-left": 8, "long-bar": 95, "long-left": 3} {
		testkit.Near(t, what, mmOf(t, els, what), want, 1e-9) // by hand: 98 − 90, 98 − 95
	}
	k := find(els, "wire")[0].num(t, "data-k")
	joint, cortex := find(els, "joint")[0], find(els, "cortex")[0]
	testkit.Near(t, "cortex to joint", (joint.num(t, "x1")-cortex.num(t, "x1"))/k, 98, 0.01)
	if !hasText(els, "8.0 ± 1.0 mm") || !hasText(els, "gauge 98 mm") || !hasText(els, "screw 90 mm") {
		t.Error("gauge, screw and what is left are not all written")
	}
	if strings.Contains(svg, "-stop") {
		t.Error("danger is hatched though the sleeve is on bone and no screw reaches the joint")
	}
}

// facts.md 4i: a sleeve off the bone by g reads g too long. Gauge 98, gap 8:
// the joint lies at 90, a screw of 85 leaves 5, one of 95 goes 5 through.
func TestHeadScrewSleeveOffBone(t *testing.T) {
	in := headSample()
	in.OffBone, in.Screw, in.Leaves, in.LongerTo = 8, 85, nil, nil
	svg, err := HeadScrew(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "off bone", svg)
	testkit.Near(t, "left", mmOf(t, els, "scre-left"), 5, 1e-9)
	testkit.Near(t, "wire with the gap", mmOf(t, els, "wire"), 98, 1e-9)
	if strings.Count(svg, "url(#h-stop)") != 3 { // the gap in both pictures, the longer screw in the joint
		t.Errorf("%d hatchings of danger, want three", strings.Count(svg, "url(#h-stop)"))
	}
	if !hasText(els, "off bone 8 mm") || !hasText(els, "5 mm through") {
		t.Error("the gap and the screw through the joint are not said")
	}
}

// A wire through the joint, and an end of the wire that nobody told, are both
// called out. By hand: wire 98, 4 through: joint at 94, a screw of 90 leaves 4.
func TestHeadScrewEndOfTheWire(t *testing.T) {
	in := headSample()
	in.GapLeft, in.Leaves, in.LongerTo = -4, nil, nil
	svg, err := HeadScrew(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "through", svg)
	testkit.Near(t, "left", mmOf(t, els, "scre-left"), 4, 1e-9)
	if !hasText(els, "through by 4 mm") || !strings.Contains(svg, "url(#h-stop)") {
		t.Error("a wire through the joint is not shown as danger")
	}
	in.GapLeft, in.GapUnsaid = 0, true
	svg, _ = HeadScrew(in)
	els = checkDrawing(t, "unsaid", svg)
	if find(els, "joint")[0].attr["class"] != "d-bold d-dashed" || !hasText(els, "if the wire ends") {
		t.Error("a joint whose place nobody told is drawn as if it were known")
	}
}

func TestHeadScrewRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*HeadScrewInput)
	}{
		{"nothing", "the reading of the gauge", func(in *HeadScrewInput) { *in = HeadScrewInput{} }},
		{"no number", "the reading of the gauge", func(in *HeadScrewInput) { in.Gauge = nan }},
		{"huge", "the reading of the gauge", func(in *HeadScrewInput) { in.Gauge = 9800 }},
		{"gap no number", "the gap under the sleeve", func(in *HeadScrewInput) { in.OffBone = nan }},
		{"gap eats the depth", "the depth of the wire", func(in *HeadScrewInput) { in.Gauge, in.OffBone = 60, 45 }},
		{"screw no number", "the screw", func(in *HeadScrewInput) { in.Screw = nan }},
		{"flat angle", "the angle of the screw", func(in *HeadScrewInput) { in.Angle = 90 }},
		{"picture against number", "what the screw leaves", func(in *HeadScrewInput) { in.Leaves = length(9, 0.5, 0) }},
		{"longer against number", "what the longer screw leaves", func(in *HeadScrewInput) { in.LongerTo = length(nan, 0.5, 0) }},
	} {
		in := headSample()
		tt.set(&in)
		svg, err := HeadScrew(in)
		nothing(t, tt.name, svg, err, tt.what)
	}
}

func TestHeadScrewAtItsLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	pick := func(lo, hi float64) units.MM { return units.MM(math.Round((lo+r.Float64()*(hi-lo))*10) / 10) }
	for i := range 300 {
		in := HeadScrewInput{ID: "r", Side: []anatomy.Side{anatomy.Left, anatomy.Right, ""}[r.IntN(3)], Place: implant.Upper,
			Gauge: pick(80, 170), OffBone: pick(0, 60), Subtracts: pick(0, 30), GapLeft: pick(-10, 60), Clearance: pick(0, 30), GapUnsaid: r.IntN(8) == 0}
		if r.IntN(5) > 0 {
			in.Screw, in.Longer = pick(20, 200), pick(20, 200)
		}
		if r.IntN(2) > 0 {
			in.Head, in.Angle = length(pick(10, 40), 0.4, 0.4), units.Deg(pick(100, 160))
		}
		svg, err := HeadScrew(in)
		if err != nil {
			t.Fatalf("case %d: %v", i, err)
		}
		checkDrawing(t, "random head screw", svg)
		if t.Failed() {
			t.Fatalf("case %d: %+v", i, in)
		}
	}
}

func TestHeadScrewFromChoice(t *testing.T) {
	s := plan.ScrewChoice{Ask: 85, Longer: 90}
	yes := record.Reading{Kind: record.WireUpper, First: mm(98), OnBone: record.Yes, GapLeft: mm(2)}
	in, ok := HeadScrewFromChoice(yes, s, 5)
	if !ok || in.joint() != 100 || in.Place != implant.Upper || in.Screw != 85 { // by hand: 98 + 2
		t.Errorf("sleeve on bone: %+v, %v", in, ok)
	}
	no := record.Reading{Kind: record.WireLower, First: mm(98), OnBone: record.No, OffBone: mm(6), Subtracts: mm(10)}
	if in, ok = HeadScrewFromChoice(no, s, 5); !ok || in.joint() != 102 { // by hand: 98 − 6 + 10
		t.Errorf("sleeve off bone: %+v, %v", in, ok)
	}
	for name, r := range map[string]record.Reading{
		"no number": {OnBone: record.Yes}, "gap not measured": {First: mm(98), OnBone: record.No},
		"not asked": {First: mm(98)}, "on bone by a gap": {First: mm(98), OnBone: record.Yes, OffBone: mm(3)},
		"off bone by nothing": {First: mm(98), OnBone: record.No, OffBone: mm(0)},
		"unsure":              {First: mm(98), OnBone: record.Unsure, OffBone: mm(3)},
	} {
		if _, ok := HeadScrewFromChoice(r, s, 5); ok {
			t.Errorf("%s: a drawing would be made from it", name)
		}
	}
}
