package plan

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// formed is a film of 0.1 mm a pixel with these places, in millimetres.
func formed(v anatomy.View, bone anatomy.Bone, at map[anatomy.Landmark][2]float64) record.Film {
	f := record.Film{SHA256: strings.Repeat("0", 64), Bytes: 1, Kind: "png", Width: 3000, Height: 6000, View: v, Bone: bone, Reduced: record.Yes,
		Evidence: []record.Evidence{{ID: "r", Kind: record.Ruler, At: []geom.Pt[units.Px]{{X: 100, Y: 100}, {X: 100, Y: 4100}}, Slip: 1, True: mm(400), AtBone: record.Yes}}}
	for _, l := range anatomy.Landmarks(v) {
		if p, ok := at[l]; ok {
			f.Points = append(f.Points, record.Point{Name: l, At: geom.Pt[units.Px]{X: units.Px(1500 + 10*p[0]), Y: units.Px(100 + 10*p[1])}, Slip: 2})
		}
	}
	return f
}

func fronted(bone anatomy.Bone, half float64) record.Film {
	return formed(anatomy.AP, bone, map[anatomy.Landmark][2]float64{anatomy.OuterA: {-14, 180}, anatomy.CanalA: {-half, 180}, anatomy.CanalB: {half, 180}, anatomy.OuterB: {14, 180},
		anatomy.FlareA: {-21, 48}, anatomy.FlareB: {21, 48}, anatomy.LesserMiddle: {12, 68}})
}

// sided lays the canal on an arc of radius r over 300 mm.
func sided(r float64) record.Film {
	x := func(y float64) float64 { return math.Sqrt(r*r-(y-150)*(y-150)) - math.Sqrt(r*r-150*150) }
	at := map[anatomy.Landmark][2]float64{anatomy.ShaftUpper: {0, 0}, anatomy.ShaftLower: {0, 300}}
	for l, y := range map[anatomy.Landmark]float64{anatomy.BowUpper: 75, anatomy.BowMiddle: 150, anatomy.BowLower: 225} {
		at[l] = [2]float64{x(y), y}
	}
	return formed(anatomy.Lateral, anatomy.Injured, at)
}

// The form of the bone is told from the places of the injured femur, with its
// doubt and its film, and the bow without any place of the isthmus.
func TestForm(t *testing.T) {
	pl := For(record.Case{Side: anatomy.Left, Films: []record.Film{fronted(anatomy.Sound, 5), fronted(anatomy.Injured, 6), sided(943)}}, implant.Teaching())
	f := pl.Form
	if f.Cortex.Ratio == nil || f.Flare.Ratio == nil || f.Bow.Length == nil {
		t.Fatalf("%+v %+v %+v", f.Cortex, f.Flare, f.Bow)
	}
	testkit.Near(t, "facts §2.4: (28 − 12)/28", f.Cortex.Ratio.Best, 16.0/28, 1e-6)
	testkit.Near(t, "facts §2.4: 42/12", f.Flare.Ratio.Best, 3.5, 1e-6)
	testkit.Near(t, "the arc that was drawn", float64(f.Bow.Length.Best), 943, 1)
	if !(f.Cortex.Ratio.U > 0 && f.Flare.Ratio.U > 0 && f.Bow.Length.Own > 0) {
		t.Errorf("no doubt: %+v", f)
	}
	for _, x := range []*Told{f.Cortex, f.Flare} {
		if n := x.Why.Facts[2].Number; n == nil || *n != 2 {
			t.Errorf("from film %v, want the injured femur's, 2", x.Why.Facts)
		}
	}
	checkPlan(t, pl)
}

// What cannot be told says why, and gives no number.
func TestFormCannotTell(t *testing.T) {
	low := fronted(anatomy.Injured, 6)
	for i := range low.Points {
		if low.Points[i].Name == anatomy.LesserMiddle {
			low.Points[i].At.Y += 200
		}
	}
	apart := sided(943)
	apart.Reduced = record.No
	bare := fronted(anatomy.Injured, 6)
	bare.Points = bare.Points[:1]
	for _, tt := range []struct {
		name, because string
		films         []record.Film
		of            func(Form) *Told
	}{
		{"no film", "no film from the front", nil, func(f Form) *Told { return f.Cortex }},
		{"places missing", "not all of its places", []record.Film{bare}, func(f Form) *Told { return f.Cortex }},
		{"flare at another height", "height of the flare", []record.Film{low}, func(f Form) *Told { return f.Flare }},
		{"bone not at its length", "at its length", []record.Film{apart}, func(f Form) *Told { return f.Bow }},
	} {
		pl := For(record.Case{Side: anatomy.Left, Films: tt.films}, implant.Teaching())
		x := tt.of(pl.Form)
		if x.Ratio != nil || x.Length != nil || x.Why.Code != "form-untold" || !strings.Contains(x.Why.Facts[1].Word, tt.because) {
			t.Errorf("%s: %+v, want: cannot tell, because … %s", tt.name, x, tt.because)
		}
		checkPlan(t, pl)
	}
}

// The bow of the nail is compared with that of five places as with that of the
// isthmus.
func TestBowOfFivePlacesMeetsTheNail(t *testing.T) {
	shelf := implant.Teaching()
	part := shelf.Nails[0]
	part.BowRadius = 1500
	s := seating{nail: NailChoice{Length: 300, Part: &part}, p: DefaultPolicy()}
	scale := For(record.Case{Side: anatomy.Left, Films: []record.Film{sided(600)}}, shelf).Scales
	s.films, _ = shots(record.Case{Side: anatomy.Left, Films: []record.Film{sided(600)}}, scale)
	s.bow()
	if s.BoneRadius == nil || s.Mismatch == nil || !has(s.problems, "bow-mismatch") {
		t.Errorf("bone %v, mismatch %v, problems %v", s.BoneRadius, s.Mismatch, codesOf(s.problems))
	}
}

// Over the invented bones the arc through five places holds the true radius
// as often as it says.
func TestBowOfInventedBones(t *testing.T) {
	n, in := 0, 0
	for k, x := range inventions() {
		v := invent(t, k, x)
		scales := For(v.c, caseShelf(t, x.name)).Scales
		for i, f := range v.c.Films {
			if f.View != anatomy.Lateral || f.Photo != nil || f.Reduced != record.Yes || !scales[i].Plane.Usable() || !(v.bone.Bow > 0) {
				continue
			}
			at := measure.Points{}
			for _, p := range f.Points {
				at[p.Name] = measure.Placed{At: p.At, Slip: p.Slip}
			}
			if _, err := measure.Bow(measure.Film{View: f.View, Plane: scales[i].Plane, At: at}); err != nil {
				continue // no whole shaft on it
			}
			for _, l := range []anatomy.Landmark{anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower} {
				if s := v.truth[i].At[l]; s.Inside {
					at[l] = measure.Placed{At: v.slipped(s.Film, 1.5), Slip: 1.5}
				}
			}
			five, err := measure.Bow(measure.Film{View: f.View, Plane: scales[i].Plane, At: at})
			if err != nil || five.Radius == nil {
				t.Errorf("%s film %d: %+v %v", x.name, i, five, err)
				continue
			}
			n++
			if math.Abs(float64(five.Radius.Best-v.bone.Bow)) <= units.Sure*float64(five.Radius.Doubt()) {
				in++
			} else {
				t.Logf("%s: radius %v, true %v", x.name, five.Radius, v.bone.Bow)
			}
		}
	}
	if t.Logf("%d of %d bows hold the truth", in, n); n < 40 || float64(in) < 0.9*float64(n) {
		t.Errorf("%d of %d bows hold the truth, want 95 of 100", in, n)
	}
}
