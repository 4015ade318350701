package drawing

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/measure"
	"isthmus/core/record"
)

// The line lies 20 mm above the middle of the lesser trochanter, square to the
// shaft, and a flare that is placed on it is taken by measure.
func TestFlareLine(t *testing.T) {
	c, pl := overCase()
	f := &c.Films[0]
	f.Points = append(f.Points, record.Point{Name: anatomy.LesserMiddle, At: pxPt{X: 1060, Y: 840}, Slip: 2})
	a, b, ok := FlareLine(c, pl, 0)
	if !ok || math.Abs(float64(a.Y)-740) > 1e-6 || math.Abs(float64(b.Y)-740) > 1e-6 || math.Abs(float64(a.X-b.X)) < 500 {
		t.Fatalf("from %v to %v, %v, want a level line at 740 px (by hand: 840 − 20/0.2)", a, b, ok)
	}
	f.Points[4].At.X = 1300 // the lower point of the shaft: the bone is turned
	a, b, _ = FlareLine(c, pl, 0)
	at := measure.Points{}
	for _, p := range f.Points {
		at[p.Name] = measure.Placed{At: p.At, Slip: p.Slip}
	}
	across := b.Minus(a).Times(1 / float64(geom.Dist(a, b)))
	mid := pxPt{X: 1000, Y: 900}
	put := func(l anatomy.Landmark, p pxPt) { at[l] = measure.Placed{At: p, Slip: 1} }
	put(anatomy.CanalA, mid.Plus(across.Times(30)))
	put(anatomy.CanalB, mid.Minus(across.Times(30)))
	on := geom.Mid(a, b)
	put(anatomy.FlareA, on.Plus(across.Times(105)))
	put(anatomy.FlareB, on.Minus(across.Times(105)))
	r, err := measure.FlareIndex(measure.Film{View: anatomy.AP, Plane: pl.Scales[0].Plane, At: at})
	if err != nil || math.Abs(r.Best-3.5) > 1e-6 {
		t.Errorf("a flare placed on the line: %v, %v, want 3.5 (by hand: 105/30)", r, err)
	}
	f.View = anatomy.Lateral
	if _, _, ok := FlareLine(c, pl, 0); ok {
		t.Error("a line on a film from the side")
	}
	f.View, pl.Scales[0].Plane = anatomy.AP, calibrate.Plane{}
	if _, _, ok := FlareLine(c, pl, 0); ok {
		t.Error("a line without a scale")
	}
	if _, _, ok := FlareLine(c, pl, 3); ok {
		t.Error("a line on a film that is not there")
	}
}
