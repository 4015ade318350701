package drawing

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// The distal screws of the plan are drawn with their own size where it is
// known, as an axis where it is not, and say how far beyond the fracture the
// highest lies.
func TestOverlayDrawsTheDistalScrewsOfThePlan(t *testing.T) {
	c, pl := overCase()
	c.Films[0].Points = append(c.Films[0].Points, record.Point{Name: anatomy.FractureLower, At: pxPt{X: 1000, Y: 1800}, Slip: 2})
	pl.Nail.Part.Distal = []implant.Hole{{FromTip: 15, Plane: implant.Transverse}, {FromTip: 35, Plane: implant.Transverse}, {FromTip: 25, Plane: implant.Sagittal}}
	pl.Distal.Holes = []plan.HolePlace{{Hole: 1, Use: true, Ask: 46}, {Hole: 2, Plane: implant.Sagittal}, {Hole: 3, Use: true}}
	o, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	p := o.Turned(o.Start(), 12)
	named := map[string]OverlayLine{}
	for _, l := range o.Lines(p) {
		if strings.HasPrefix(l.Text, "distal") {
			named[l.Text] = l
		}
	}
	one, three := named["distal 1"], named["distal 3"]
	if len(named) != 2 || len(one.Path) != 4 || !one.Closed || len(three.Path) != 2 || !three.Axis {
		t.Fatalf("%+v, want hole 1 as a screw and hole 3 as an axis", named)
	}
	if a, b := dist(o.plane.MM(one.Path[0]), o.plane.MM(one.Path[1])), dist(o.plane.MM(one.Path[1]), o.plane.MM(one.Path[2])); math.Abs(a-46) > 1e-9 || math.Abs(b-5) > 1e-9 {
		t.Errorf("the screw is %v by %v mm, want 46 by 5", a, b)
	}
	if d := dist(o.plane.MM(three.Path[0]), o.plane.MM(three.Path[1])); math.Abs(d-30) > 1e-9 {
		t.Errorf("an axis of %v mm, want 10 mm of nail and 10 mm to each side", d)
	}
	// by hand: top at 525 px, hole 340 − 35 mm below it, fracture at 1800 px
	if v, want := says(o, o.Start())["hole-fracture"], 305-(1800-525)*0.2; math.Abs(float64(v.Best)-want) > 1e-9 || !(v.Own > 0) {
		t.Errorf("beyond the fracture by %v, want %v", v, want)
	}
	pl.Distal.Holes = nil
	if o, err = OverlayOf(c, pl, 0); err != nil {
		t.Fatal(err)
	}
	if _, said := says(o, o.Start())["hole-fracture"]; said {
		t.Error("without a plan for the holes one is said to be used")
	}
}
