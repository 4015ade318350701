package calibrate

import (
	"math"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/units"
)

func TestDepthRel(t *testing.T) {
	sid := units.MM(1150)
	for _, tt := range []struct {
		name   string
		d      Depth
		want   float64
		source string
	}{
		{"at the bone", Depth{AtBone: true, Known: true}, 0.005, "by hand: 5 of 1000 mm"},
		{"nobody says", Depth{}, 0.015, "by hand: 15 of 1000 mm"},
		{"nobody says, with an SID", Depth{SID: &sid}, 0.015, "by hand: 15 of 1150 − 150 mm"},
	} {
		got, err := tt.d.Rel()
		if err != nil || math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: %g %v, want %g (%s)", tt.name, got, err, tt.want, tt.source)
		}
	}
	if got, err := (Depth{Known: true}).Rel(); err == nil || got != 0 {
		t.Errorf("a marker that was not at the bone: %g, want a refusal", got)
	}
}

// Law: the depth is a part of the plane's doubt and never more than it.
func TestDepthIsPartOfThePlane(t *testing.T) {
	for _, d := range []Depth{{}, {AtBone: true, Known: true}} {
		p, _, err := Ruler(geom.Pt[units.Px]{}, geom.Pt[units.Px]{X: 400}, 1, 100, SquareShape, d)
		deep, err2 := d.Rel()
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		// by hand: √2·1 px of 400 px, and 0.1 mm of 100 mm
		want := math.Hypot(deep, math.Hypot(math.Sqrt2/400, 0.001))
		if math.Abs(p.Rel-want) > 1e-12 {
			t.Errorf("rel %g, want %g", p.Rel, want)
		}
	}
}

// Law: the weights add up to 1 and give the plane and the doubt of Reconcile.
func TestWeights(t *testing.T) {
	ps := []Plane{{Row: 0.2, Col: 0.2, Rel: 0.01, Origin: FromBallMark}, {Row: 0.201, Col: 0.201, Rel: 0.02, Origin: FromDiscMark}, {Row: 0.3, Col: 0.3, Origin: AtDetector}}
	w := Weights(ps)
	if len(w) != 3 || math.Abs(w[0]-0.8) > 1e-12 || math.Abs(w[1]-0.2) > 1e-12 || w[2] != 0 {
		t.Errorf("weights %v, want 0.8, 0.2, 0 (by hand: 1/1 to 1/4)", w)
	}
	r, err := Reconcile(ps)
	if err != nil || r.Disputed {
		t.Fatal(err, r.Disputed)
	}
	if got := math.Hypot(w[0]*0.01, w[1]*0.02); math.Abs(got-r.Plane.Rel) > 1e-12 {
		t.Errorf("doubt by the weights %g, of the plane %g", got, r.Plane.Rel)
	}
	if got := math.Exp(w[0]*math.Log(0.2) + w[1]*math.Log(0.201)); math.Abs(got-float64(r.Plane.Col)) > 1e-12 {
		t.Errorf("scale by the weights %g, of the plane %g", got, r.Plane.Col)
	}
	for _, v := range append(Weights(nil), Weights([]Plane{{}})...) {
		if v != 0 {
			t.Errorf("a plane without a scale weighs %g", v)
		}
	}
}
