package core_test

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// tenth is a plane of 0.1 mm for each pixel.
var tenth = calibrate.Plane{Row: 0.1, Col: 0.1, Rel: 0.01, Origin: calibrate.FromBallMark}

func ap(at measure.Points) measure.Film { return measure.Film{View: anatomy.AP, Plane: tenth, At: at} }

var boneExamples = map[string]func(*testing.T) []string{
	// By hand: 483/1.15.
	"length": func(t *testing.T) []string {
		film := ap(measure.Points{anatomy.TrochanterTip: placed(500, 100), anatomy.DistalTarget: placed(500, 4930)})
		film.Plane.Row, film.Plane.Col = 0.1/1.15, 0.1/1.15
		l, err := measure.Length(film)
		none(t, err)
		return []string{f(1, l.Best) + " mm"}
	},
	// By hand.
	"level": func(t *testing.T) []string {
		l, err := measure.Level(ap(measure.Points{anatomy.TrochanterTip: placed(500, 100), anatomy.DistalTarget: placed(500, 4100),
			anatomy.FractureUpper: placed(550, 3100)}), anatomy.FractureUpper)
		none(t, err)
		return []string{f(1, l.Best) + " mm", f(2, l.Shared) + " mm"}
	},
	// Laumonerie 2018 (3.6 mm); by hand √(π/2)·3.6.
	"other-femur": func(t *testing.T) []string {
		pl := plan.Make(oneFilm(anatomy.Sound, 1), implant.Teaching(), plan.DefaultPolicy())
		if len(pl.Bone.Routes) != 1 {
			t.Fatalf("routes %v", pl.Bone.Routes)
		}
		u := pl.Bone.Routes[0].Common
		return []string{f(2, u) + " mm", "± " + f(1, units.Sure*u) + " mm"}
	},
	// AO Foundation teaching page; by hand 950 − 530, 2·2·√2.
	"rods": func(*testing.T) []string {
		p := plan.DefaultPolicy()
		a, b := plan.RodLength(950, 530, p), plan.RodLength(950, 537, p)
		return []string{f(0, a.Best) + " mm", "± " + f(1, units.Sure*a.Doubt()) + " mm", f(0, b.Best) + " mm"}
	},
	// Common practice.
	"skin": func(t *testing.T) []string {
		long := units.MM(420)
		a := plan.NailFrom(plan.NailReadings{How: plan.HowRuler, Ruler: &long, Reduced: record.Yes}, implant.Teaching(), plan.DefaultPolicy())
		if a.Bone == nil {
			t.Fatal("no length")
		}
		return []string{f(0, a.Bone.Best) + " mm", "± " + f(0, units.Sure*a.Bone.Doubt()) + " mm"}
	},
	// JCGM 100:2008, 5.1.2; by hand: weights 16/25 and 9/25, u 12/5, allowed 2·5.
	"routes": func(t *testing.T) []string {
		route := func(best, u units.MM) plan.Route {
			return plan.Route{Kind: plan.RouteTwoRods, Length: units.Length{Best: best, Own: u}}
		}
		l, disputed, _ := plan.RoutesTogether([]plan.Route{route(420, 3), route(414, 4)})
		_, differ, _ := plan.RoutesTogether([]plan.Route{route(420, 3), route(405, 4)})
		if disputed || !differ {
			t.Fatalf("disputed %v and %v", disputed, differ)
		}
		return []string{f(2, l.Best) + " mm", "u " + f(2, l.Doubt())}
	},
	// By hand: the shaft is upright, so only the distance across counts; √(12² + 2²).
	"canal": func(t *testing.T) []string {
		at := measure.Points{anatomy.CanalA: placed(440, 2000), anatomy.CanalB: placed(560, 2020)}
		direct, err := measure.Canal(ap(at))
		none(t, err)
		at[anatomy.ShaftUpper], at[anatomy.ShaftLower] = placed(500, 1000), placed(500, 3000)
		square, err := measure.Canal(ap(at))
		none(t, err)
		return []string{f(1, square.Best) + " mm", f(1, direct.Best) + " mm"}
	},
	// By hand: twice 24; 4/48.
	"head": func(t *testing.T) []string {
		one, err := measure.HeadDiameter(ap(rim(measure.Points{}, 1000, 1000, 240)))
		none(t, err)
		c := oneFilm(anatomy.Injured, 1)
		c.Films = append(c.Films, oneFilm(anatomy.Injured, 1).Films...)
		c.Films[1].View = anatomy.Lateral
		for i, r := range []float64{240, 260} {
			for name, p := range rim(measure.Points{}, 1000, 1000, r) {
				c.Films[i].Points = append(c.Films[i].Points, record.Point{Name: name, At: p.At, Slip: 1})
			}
		}
		q := problem(t, plan.Make(c, implant.Teaching(), plan.DefaultPolicy()), "views-differ")
		return []string{f(1, one.Best) + " mm", f(1, q.Facts[0].Length.Best), f(1, q.Facts[1].Length.Best) + " mm", f(0, *q.Facts[2].Number) + " %"}
	},
	// By hand: the neck is drawn at 130°; tan 50°·cos a/(1 + e·tan 50°·sin a).
	"neck-shaft": func(t *testing.T) []string {
		a, err := measure.NeckShaftAngle(ap(hip(0)))
		none(t, err)
		out := []string{f(1, a.Best) + "°", "± " + f(1, units.Sure*a.Own) + "°"}
		for _, x := range []struct {
			a   units.Deg
			far float64
		}{{13, 0}, {13, 0.2}, {23, 0}} {
			seen, err := measure.SeenFromFront(130, x.a, x.far)
			none(t, err)
			out = append(out, f(1, seen)+"°")
		}
		return out
	},
	// By hand, parallel projection: tan p·cos a, tan p·sin a with p = 50°, a = 15°.
	"version": func(t *testing.T) []string {
		v, nsa, err := measure.Version(units.Angle{Best: 130.9808}, units.Angle{Best: 17.1423})
		none(t, err)
		return []string{f(3, v.Best) + "°", f(3, nsa.Best) + "°"}
	},
	// Turgut 2020, table of 860 CT; by hand half way between two rows.
	"rotation": func(t *testing.T) []string {
		in, err := measure.RotationFromLesser(units.Ratio{Best: 0.95})
		none(t, err)
		out, err := measure.RotationFromLesser(units.Ratio{Best: 1.03})
		none(t, err)
		return []string{f(1, -in.Best) + "° inwards", f(1, out.Best) + "° outwards"}
	},
	// By hand.
	"bow": func(t *testing.T) []string {
		a, err := measure.Sagitta(400, 943)
		none(t, err)
		b, err := measure.Sagitta(400, 1500)
		none(t, err)
		at := measure.Points{}
		for l, y := range map[anatomy.Landmark]float64{anatomy.ShaftUpper: 0, anatomy.BowUpper: 75, anatomy.BowMiddle: 150, anatomy.BowLower: 225, anatomy.ShaftLower: 300} {
			at[l] = placed(10*(math.Sqrt(943*943-(y-150)*(y-150))-math.Sqrt(943*943-150*150)), 10*y)
		}
		film := ap(at)
		film.View = anatomy.Lateral
		five, err := measure.Bow(film)
		none(t, err)
		return []string{f(3, a) + " mm", f(3, b) + " mm", f(1, five.Radius.Best) + " mm"}
	},
	// Trotter and Gleser 1952, Appendix 1 to 4.
	"stature": func(*testing.T) (out []string) {
		for _, r := range plan.Regressions() {
			out = append(out, f(0, r.Femur(1750)))
		}
		return out
	},
}

// rim adds three points of the rim of a head, in pixels.
func rim(at measure.Points, x, y, r float64) measure.Points {
	for i, name := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
		sin, cos := math.Sincos(float64(i)*2*math.Pi/3 + 0.2)
		at[name] = placed(x+r*cos, y-r*sin)
	}
	return at
}

// hip is the upper end of a femur at 0.1 mm for each pixel: an upright shaft
// at x = 1000, a line at 130° to it that starts at the lateral cortex and
// passes off mm above the centre of a head of radius 24 mm, which lies 70 mm
// along that line.
func hip(off float64) measure.Points {
	sin, cos := math.Sincos(50 * math.Pi / 180)
	along := func(way, above float64) (x, y float64) { // mm from the entry, medial is +x
		return 850 + 10*(way*sin-above*cos), 2000 - 10*(way*cos+above*sin)
	}
	x, y := along(70, -off)
	at := rim(measure.Points{}, x, y, 240)
	put := func(name anatomy.Landmark, way, above float64) {
		x, y := along(way, above)
		at[name] = placed(x, y)
	}
	put(anatomy.LateralCortex, 0, 0)
	put(anatomy.NeckUpper, 40, 15-off)
	put(anatomy.NeckLower, 40, -15-off)
	at[anatomy.ShaftUpper], at[anatomy.ShaftLower] = placed(1000, 2500), placed(1000, 4500)
	return at
}

// oneFilm is a case with one film from the front, a ruler at the bone, and a
// bone of 400 mm times scale.
func oneFilm(bone anatomy.Bone, scale float64) record.Case {
	hundred := units.MM(100)
	return record.Case{Side: anatomy.Left, Films: []record.Film{{
		Width: 3000, Height: 5000, View: anatomy.AP, Bone: bone, Reduced: record.Yes,
		Evidence: []record.Evidence{{ID: "r", Kind: record.Ruler, At: []geom.Pt[units.Px]{px(100, 100), px(100, 1100)}, Slip: 1, True: &hundred, AtBone: record.Yes}},
		Points: []record.Point{
			{Name: anatomy.TrochanterTip, At: px(500, 500), Slip: 2},
			{Name: anatomy.DistalTarget, At: px(500, 500+4000*scale), Slip: 2},
		},
	}}}
}

// problem returns the problem of a code; the test ends without it.
func problem(t *testing.T, pl plan.Plan, code string) plan.Problem {
	t.Helper()
	q, ok := find(pl.Problems, code)
	if !ok {
		t.Fatalf("no problem %q among %v", code, pl.Problems)
	}
	return q
}

func find(problems []plan.Problem, code string) (plan.Problem, bool) {
	for _, q := range problems {
		if q.Code == code {
			return q, true
		}
	}
	return plan.Problem{}, false
}
