package drawing

import (
	"errors"
	"math"
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

// By hand: neck from 50 to 80; upper screw 59…65: 9 above; lower 71…77: 3 below.
func TestNeckMargins(t *testing.T) {
	in := neckSample()
	svg, err := NeckAP(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "neck", svg)
	for what, want := range map[string]float64{"neck": 30, "head": 48, "margin-upper": 9, "margin-lower": 3} {
		testkit.Near(t, what, mmOf(t, els, what), want, 1e-9)
	}
	if find(els, "margin-lower")[0].attr["class"] != "d-move" {
		t.Error("a margin equal to what is to be kept is shown as danger")
	}
	in.KeepLower = 3.5
	svg, _ = NeckAP(in)
	if find(checkDrawing(t, "neck", svg), "margin-lower")[0].attr["class"] != "d-stop" {
		t.Error("a margin under what is to be kept is not shown as danger")
	}
}

// The head on the wrong side for the leg is called out; its mirror is not.
func TestNeckWrongSide(t *testing.T) {
	for side, want := range map[anatomy.Side]bool{anatomy.Left: false, anatomy.Right: true, "": false} {
		in := neckSample()
		in.Side = side
		svg, err := NeckAP(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := hasText(checkDrawing(t, "neck", svg), "STOP"); got != want {
			t.Errorf("side %q: stop %v, want %v", side, got, want)
		}
	}
}

func TestNeckRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*NeckInput)
	}{
		{"nothing", "the radius of the head", func(in *NeckInput) { *in = NeckInput{} }},
		{"head no number", "the radius of the head", func(in *NeckInput) { in.Head.R = nan }},
		{"neck far away", "the way from the neck", func(in *NeckInput) { in.Upper, in.Lower = pt(900, 50), pt(900, 80) }},
		{"shaft of one point", "the length of the shaft", func(in *NeckInput) { in.Shaft.B = in.Shaft.A }},
		{"tip no number", "the way from the trochanter", func(in *NeckInput) { *in.Tip = pt(nan, 0) }},
		{"screw no number", "the head screw's diameter", func(in *NeckInput) { in.Screws[0].Diameter = nan }},
	} {
		in := neckSample()
		tt.set(&in)
		svg, err := NeckAP(in)
		nothing(t, tt.name, svg, err, tt.what)
	}
}

// neckCase is a left femur on a film of 0.5 mm a pixel: shaft vertical at
// x = 100 mm, tip at y = 50 mm, head at x = 50 mm.
func neckCase() (record.Case, plan.Plan) {
	var pts []record.Point
	put := func(name anatomy.Landmark, x, y units.Px) {
		pts = append(pts, record.Point{Name: name, At: geom.Pt[units.Px]{X: 2 * x, Y: 2 * y}})
	}
	put(anatomy.HeadRim1, 50, 36)
	put(anatomy.HeadRim2, 26, 60)
	put(anatomy.HeadRim3, 50, 84)
	put(anatomy.NeckUpper, 74, 64)
	put(anatomy.NeckLower, 66, 92)
	put(anatomy.ShaftUpper, 100, 130)
	put(anatomy.ShaftLower, 100, 230)
	put(anatomy.TrochanterTip, 102, 50)
	put(anatomy.LateralCortex, 115, 120)
	c := record.Case{Side: anatomy.Left, Films: []record.Film{{View: anatomy.AP, Bone: anatomy.Injured, Points: pts}}}
	p := plan.Plan{
		Scales: []plan.FilmScale{{Plane: calibrate.Plane{Row: 0.5, Col: 0.5, Origin: calibrate.FromBallMark}}},
		Bone:   plan.Bone{Length: length(412, 1, 2)},
		Nail: plan.NailChoice{Length: 400, Diameter: 10, Room: length(407, 1, 2),
			Part: &implant.Nail{HeadAngle: 130, HeadDepth: 55, HeadSpacing: 12, HeadDia: 6.5}},
		Head:    plan.Head{Lower: plan.ScrewChoice{Ask: 90}, Upper: plan.ScrewChoice{Ask: 85}},
		Locking: plan.Locking{Pattern: plan.HeadLock},
	}
	return c, p
}

func TestNeckFromCase(t *testing.T) {
	c, p := neckCase()
	in, err := NeckFromCase(c, p, 3, 3)
	if err != nil {
		t.Fatal(err)
	}
	if len(in.Screws) != 2 {
		t.Fatalf("%d screws: %s", len(in.Screws), in.Missing)
	}
	testkit.Near(t, "radius", float64(in.Head.R), 24, 1e-9)
	// By hand: the lower screw crosses the nail 50 + 5 + 55 = 110 mm down the
	// film, at 130° to the shaft, towards the head (to the left).
	low, up := in.Screws[0].Axis, in.Screws[1].Axis
	q, ok := geom.Meet(in.Shaft, low)
	if !ok {
		t.Fatal("the lower screw does not cross the nail")
	}
	testkit.Near(t, "crossing x", float64(q.X), 100, 1e-6)
	testkit.Near(t, "crossing y", float64(q.Y), 110, 1e-6)
	a, _ := geom.AngleDeg(in.Shaft.B.Minus(in.Shaft.A), low.B.Minus(low.A))
	testkit.Near(t, "angle to the shaft", a, 130, 1e-6)
	_, aside, _ := low.Along(up.A)
	testkit.Near(t, "spacing of the screws", math.Abs(float64(aside)), 12, 1e-6)
	if !(low.B.X < low.A.X && low.B.Y < low.A.Y && up.A.Y < low.A.Y) {
		t.Errorf("lower screw from %v to %v, upper from %v: want to the left, up, and the upper one above", low.A, low.B, up.A)
	}
	testkit.Near(t, "entry at the lateral cortex", float64(low.A.X), 115, 1e-6)
	testkit.Near(t, "length of the lower screw", float64(geom.Dist(low.A, low.B)), 90, 1e-6)
	svg, err := NeckAP(in)
	if err != nil {
		t.Fatal(err)
	}
	checkDrawing(t, "neck from case", svg)
}

// The doubt of a margin: with only the neck's edges slipping by 1 px (0.5 mm)
// along the neck's line the margin above moves by the slip of the upper edge
// alone; the doubt lies between that of one edge along the line and that of
// both edges in both directions. The scale's part is checked by scaling.
func TestNeckFromCaseDoubt(t *testing.T) {
	c, p := neckCase()
	in, err := NeckFromCase(c, p, 3, 3)
	if err != nil {
		t.Fatal(err)
	}
	if in.Above == nil || in.Above.Doubt() != 0 || in.Below == nil || in.Below.Doubt() != 0 {
		t.Fatalf("points without slip gave %v and %v", in.Above, in.Below)
	}
	slip := func(name anatomy.Landmark, s units.Px) {
		for i := range c.Films[0].Points {
			if c.Films[0].Points[i].Name == name {
				c.Films[0].Points[i].Slip = s
			}
		}
	}
	slip(anatomy.NeckUpper, 1)
	in, _ = NeckFromCase(c, p, 3, 3)
	// By hand: moving the upper edge by 0.5 mm along the line moves its own
	// margin by 0.5 mm; across it by much less, since the line turns about
	// its far end.
	if u := in.Above.Own; !(u > 0.45 && u < 0.65) {
		t.Errorf("doubt above = %v, want about 0.5 mm", u)
	}
	slip(anatomy.NeckUpper, 0)
	slip(anatomy.TrochanterTip, 2)
	in, _ = NeckFromCase(c, p, 3, 3)
	// By hand: the tip 1 mm lower puts both screws 1 mm lower: sin(angle
	// between screw and shaft, 130°) across the screw; both margins alike.
	testkit.Near(t, "the two margins move together", float64(in.Above.Own), float64(in.Below.Own), 1e-6)
	if u := in.Above.Own; !(u > 0.7 && u < 1.1) {
		t.Errorf("doubt from the tip = %v, want about 0.8 to 1 mm", u)
	}
	slip(anatomy.TrochanterTip, 0)
	p.Scales[0].Plane.Rel = 0.01
	in, _ = NeckFromCase(c, p, 3, 3)
	if in.Above.Own != 0 || in.Above.Shared == 0 {
		t.Errorf("a doubtful scale gave %+v, want a shared part only", in.Above)
	}
	// The sum of both margins is the neck's height less what the screws take:
	// one per cent of scale changes it by one per cent of the height.
	h := geom.Dist(in.Upper, in.Lower)
	testkit.Near(t, "shared parts together", float64(in.Above.Shared+in.Below.Shared), 0.01*float64(h), 1e-6)
}

// A margin with doubt that is not surely enough is said to be close.
func TestNeckClose(t *testing.T) {
	in := neckSample() // 9 above, 3 below, 3 to keep
	in.KeepLower = 2.5
	in.Below, in.Above = length(3, 0.5, 0), length(9, 0.5, 0)
	svg, err := NeckAP(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "close", svg)
	if !hasText(els, "close to 2.5 mm") || hasText(els, "close to 3 mm") || !hasText(els, "3.0 ± 1.0 mm") {
		t.Error("the close margin, and only that, is not called close")
	}
	in.Below = length(4, 0.5, 0)
	svg, err = NeckAP(in)
	nothing(t, "margin against picture", svg, err, "the margin below")
}

// The mirror of a case is the mirror of its neck.
func TestNeckFromCaseMirror(t *testing.T) {
	c, p := neckCase()
	a, err := NeckFromCase(c, p, 3, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.Films[0].Points {
		c.Films[0].Points[i].At.X = 400 - c.Films[0].Points[i].At.X
	}
	c.Side = anatomy.Right
	b, err := NeckFromCase(c, p, 3, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Screws {
		testkit.Near(t, "x of the tip", float64(b.Screws[i].Axis.B.X), 200-float64(a.Screws[i].Axis.B.X), 1e-6)
		testkit.Near(t, "y of the tip", float64(b.Screws[i].Axis.B.Y), float64(a.Screws[i].Axis.B.Y), 1e-6)
	}
}

func TestNeckFromCaseSaysWhatIsMissing(t *testing.T) {
	full, p := neckCase()
	for i, q := range full.Films[0].Points {
		c, _ := neckCase()
		c.Films[0].Points = append(c.Films[0].Points[:i], c.Films[0].Points[i+1:]...)
		in, err := NeckFromCase(c, p, 3, 3)
		var none *NothingToDrawError
		switch q.Name {
		case anatomy.LateralCortex:
			if err != nil || len(in.Screws) != 2 {
				t.Errorf("without %s: %v, want screws from the axis of the nail", q.Name, err)
			}
		case anatomy.TrochanterTip:
			if err != nil || len(in.Screws) != 0 || in.Missing == "" {
				t.Errorf("without %s: %v, %d screws, want none and a reason", q.Name, err, len(in.Screws))
			}
		default:
			if !errors.As(err, &none) || len(none.Missing) != 1 {
				t.Errorf("without %s: %v, want one thing missing", q.Name, err)
			}
		}
	}
	p.Scales = nil
	_, err := NeckFromCase(full, p, 3, 3)
	nothing(t, "no scale", "", err, "the scale of the AP film")
	_, err = NeckFromCase(record.Case{}, p, 3, 3)
	nothing(t, "no film", "", err, "the AP film")
}
