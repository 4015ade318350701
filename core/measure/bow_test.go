package measure

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// facts 3n and 11.10.
func TestSagitta(t *testing.T) {
	const source = "facts 3n, geometry: s = R − √(R² − c²/4)"
	for _, tt := range []struct{ r, want float64 }{{943, 21.4529}, {1500, 13.3931}, {1027.2, 19.659}, {722, 28.254}, {2000, 10.025}, {200, 200}} {
		s, err := Sagitta(400, units.MM(tt.r))
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, source, float64(s), tt.want, 0.0006)
		r, err := RadiusFromSagitta(400, s)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "round trip", float64(r), tt.r, 1e-6)
	}
	a, _ := Sagitta(400, 943)
	b, _ := Sagitta(400, 1500)
	testkit.Near(t, "mismatch (facts 11.10)", float64(a-b), 8.0598, 1e-4)
	r, err := RadiusFromSagitta(400, 20)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "inverse (facts 11.10)", float64(r), 1010, 1e-9)
	for _, tt := range []struct{ c, r float64 }{{400, 199.9}, {400, 0}, {0, 100}, {-400, 943}, {400, math.NaN()}, {math.NaN(), 943}, {400, math.Inf(1)}, {math.Inf(1), math.Inf(1)}} {
		if s, err := Sagitta(units.MM(tt.c), units.MM(tt.r)); code(err) != "measure-outside" || s != 0 {
			t.Errorf("Sagitta(%v, %v) = %v, %v; want a refusal", tt.c, tt.r, s, err)
		}
	}
	for _, tt := range []struct{ c, s float64 }{{400, 0}, {400, -20}, {400, 200.1}, {0, 1}, {400, math.NaN()}, {math.NaN(), 20}} {
		if r, err := RadiusFromSagitta(units.MM(tt.c), units.MM(tt.s)); code(err) != "measure-outside" || r != 0 {
			t.Errorf("RadiusFromSagitta(%v, %v) = %v, %v; want a refusal", tt.c, tt.s, r, err)
		}
	}
}

// bowed puts a canal of 10 mm on an arc of radius r: chord 200 mm down the
// film, the isthmus at share t of it.
func bowed(r, t float64) Film {
	x := func(y float64) float64 { return math.Sqrt(r*r-(y-100)*(y-100)) - math.Sqrt(r*r-1e4) }
	y := 200 * t
	return shoot(anatomy.Lateral, 0.2, 0.2, 0.01, 1, map[anatomy.Landmark][2]float64{
		anatomy.ShaftUpper: {0, 0}, anatomy.ShaftLower: {0, 200},
		anatomy.CanalA: {x(y) - 5, y}, anatomy.CanalB: {x(y) + 5, y},
	})
}

func TestBow(t *testing.T) {
	for _, share := range []float64{0.5, 0.3, 0.7} {
		b, err := Bow(bowed(943, share))
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "chord", float64(b.Chord.Best), 200, 1e-9)
		testkit.Near(t, "height of the arc (by hand: R − √(R² − 100²))", float64(b.Sagitta.Best), 943-math.Sqrt(943*943-1e4), 1e-6)
		if b.Radius == nil {
			t.Fatal("no radius")
		}
		testkit.Near(t, "radius", float64(b.Radius.Best), 943, 1e-3)
		testkit.Near(t, "shared doubt of the radius (by hand: 1 %)", float64(b.Radius.Shared), 9.43, 0.01)
	}
	b, err := Bow(bowed(943, 0.5))
	if err != nil {
		t.Fatal(err)
	}
	// by hand: the middle of two points slips by σ/√2, each end counts half; and
	// a fortieth of the height, 5.317 mm
	testkit.Near(t, "own doubt of the height", float64(b.Sagitta.Own), math.Hypot(0.2, 5.317/40), 1e-3)
	// R ≈ c²/8s: u(R)/R ≈ u(s)/s
	testkit.Near(t, "own doubt of the radius", float64(b.Radius.Own)/943, float64(b.Sagitta.Own/b.Sagitta.Best), 0.002)
	if m, err := Bow(mirrored(bowed(943, 0.5))); err != nil || math.Abs(float64(m.Sagitta.Best-b.Sagitta.Best)) > 1e-9 || m.Sagitta.Shared < 0 {
		t.Errorf("mirrored: %+v %v, want the same height", m, err)
	}
}

// five lays the shaft of bowed through five places, off mm off the arc at one.
func five(r, off float64) Film {
	f := bowed(r, 0.5)
	for l, y := range map[anatomy.Landmark]float64{anatomy.BowUpper: 50, anatomy.BowMiddle: 100, anatomy.BowLower: 150} {
		x := math.Sqrt(r*r-(y-100)*(y-100)) - math.Sqrt(r*r-1e4)
		if l == anatomy.BowUpper {
			x += off
		}
		f = f.put(l, x, y)
	}
	return f
}

// Five places on an arc give its radius, whatever the isthmus says.
func TestBowThroughFive(t *testing.T) {
	f := five(943, 0).put(anatomy.CanalA, 40, 100).put(anatomy.CanalB, 50, 100)
	b, err := Bow(f)
	if err != nil || b.Radius == nil {
		t.Fatal(b, err)
	}
	testkit.Near(t, "radius", float64(b.Radius.Best), 943, 1e-3)
	testkit.Near(t, "height (by hand: R − √(R² − 100²))", float64(b.Sagitta.Best), 943-math.Sqrt(943*943-1e4), 1e-6)
	// by hand: shapes 0, ¾, 1, ¾, 0 less their mean have a sum of squares of 7/8
	testkit.Near(t, "own doubt of the height", float64(b.Sagitta.Own), math.Hypot(0.2*math.Sqrt(8.0/7), 5.317/40), 2e-3)
	testkit.Near(t, "shared doubt of the radius (by hand: 1 %)", float64(b.Radius.Shared), 9.43, 0.02)
	far, err := Bow(five(943, 2))
	if err != nil || !(far.Sagitta.Own > 2*b.Sagitta.Own) {
		t.Errorf("a place 2 mm off the arc, ten slips: %+v, %v, want more doubt than %v", far, err, b.Sagitta.Own)
	}
	one := five(943, 0)
	delete(one.At, anatomy.BowUpper)
	delete(one.At, anatomy.BowLower)
	if b, err = Bow(one); err != nil || b.Radius == nil || math.Abs(float64(b.Radius.Best)-943) > 1e-3 {
		t.Errorf("one place on the way: %+v, %v", b, err)
	}
	for name, f := range map[string]Film{
		"beyond the end":       five(943, 0).put(anatomy.BowLower, 0, 230),
		"all at the upper end": five(943, 0).put(anatomy.BowUpper, 0, 10).put(anatomy.BowMiddle, 0, 15).put(anatomy.BowLower, 0, 20),
		"half a circle":        five(943, 0).put(anatomy.BowUpper, 80, 50).put(anatomy.BowMiddle, 99, 100).put(anatomy.BowLower, 80, 150),
	} {
		if b, err := Bow(f); code(err) != "measure-crossed" || b != (Bowed{}) {
			t.Errorf("%s: %+v, %v, want a refusal", name, b, err)
		}
	}
}

func mirrored(f Film) Film {
	for l, p := range f.At {
		p.At.X = 5000 - p.At.X
		f.At[l] = p
	}
	return f
}

// A canal that cannot be told from straight has no radius.
func TestStraightHasNoRadius(t *testing.T) {
	f := bowed(943, 0.5)
	f = f.put(anatomy.CanalA, -5, 100).put(anatomy.CanalB, 5, 100)
	b, err := Bow(f)
	if err != nil {
		t.Fatal(err)
	}
	if b.Radius != nil || b.Sagitta.Best > 1e-9 {
		t.Errorf("%+v, want no height and no radius", b)
	}
	if b, err = Bow(bowed(1e5, 0.5)); err != nil || b.Radius != nil {
		t.Errorf("0.05 mm of height with a doubt of 0.2: radius %v, %v; want none", b.Radius, err)
	}
}

// facts 6.1 and 11.7, forwards and backwards.
func TestVersion(t *testing.T) {
	const source = "facts 6.1, parallel projection"
	for _, tt := range []struct{ nsa, version, ap, gamma float64 }{
		{130, 15, 130.9808, 17.1423},
		{125, 30, 128.9566, 35.5296},
		{135, 0, 135, 0},
		{120, -10, 120.3813, -16.7396},
		{130, 40, 137.6059, 37.4537},
	} {
		ap, gamma, err := OnFilms(units.Deg(tt.nsa), units.Deg(tt.version))
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "on the AP film, "+source, float64(ap), tt.ap, 1e-4)
		testkit.Near(t, "on the lateral film, "+source, float64(gamma), tt.gamma, 1e-4)
		v, n, err := Version(units.Angle{Best: ap}, units.Angle{Best: gamma})
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "version back", float64(v.Best), tt.version, 1e-4)
		testkit.Near(t, "angle back", float64(n.Best), tt.nsa, 1e-4)
	}
	ap, _, _ := OnFilms(130, 20)
	testkit.Near(t, "false valgus at 20° (facts 6.1)", float64(ap), 131.76, 0.01)
	// at version 0 the angle follows the AP film alone, and
	// da/dγ = 1/tan(180° − nsa) at γ = 0
	v, n, err := Version(units.Angle{Best: 135, Own: 2}, units.Angle{Best: 0, Own: 3})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "doubt of version (by hand: 3/tan 45°)", float64(v.Own), 3, 1e-3)
	testkit.Near(t, "doubt of the angle (by hand)", float64(n.Own), 2, 1e-3)
	for _, tt := range []struct{ n, g units.Angle }{
		{units.Angle{Best: 90}, units.Angle{}}, {units.Angle{Best: 180}, units.Angle{}}, {units.Angle{}, units.Angle{}},
		{units.Angle{Best: 130}, units.Angle{Best: 90}}, {units.Angle{Best: units.Deg(math.NaN())}, units.Angle{}},
		{units.Angle{Best: 130}, units.Angle{Best: units.Deg(math.NaN())}}, {units.Angle{Best: 130, Own: -1}, units.Angle{}},
		{units.Angle{Best: 130, Own: units.Deg(math.NaN())}, units.Angle{}},
	} {
		if _, _, err := Version(tt.n, tt.g); code(err) != "measure-outside" {
			t.Errorf("Version(%v, %v): %v, want a refusal", tt.n, tt.g, err)
		}
	}
	for _, tt := range [][2]units.Deg{{90, 0}, {180, 0}, {130, 90}, {130, -90}, {units.Deg(math.NaN()), 0}, {130, units.Deg(math.NaN())}} {
		if _, _, err := OnFilms(tt[0], tt[1]); code(err) != "measure-outside" {
			t.Errorf("OnFilms(%v): %v, want a refusal", tt, err)
		}
	}
}

func TestErrorsHaveWords(t *testing.T) {
	two := []anatomy.Landmark{anatomy.CanalA, anatomy.CanalB}
	for _, err := range []interface {
		error
		Code() string
	}{
		&MissingError{two},
		&NoScaleError{}, &NoScaleError{calibrate.AtDetector}, &NoScaleError{calibrate.UnknownTags},
		&ViewError{}, &ViewError{Got: anatomy.Lateral, Need: anatomy.AP}, &ViewError{Got: anatomy.Lateral, Landmark: anatomy.Notch},
		&PlaceError{Landmark: anatomy.Notch, X: units.Px(math.NaN())},
		&CrossedError{two, "coincide"},
		&OutsideError{What: "x", Got: math.NaN(), Landmarks: two}, &OutsideError{What: "x", Got: 1, Hi: 2},
		&MissesHeadError{Off: -30, Radius: 24},
	} {
		if s := err.Error(); !strings.HasPrefix(s, "measure: ") || strings.Count(s, ":") < 2 || strings.Contains(s, "NaN") || !strings.HasPrefix(err.Code(), "measure-") {
			t.Errorf("%s: %q", err.Code(), s)
		}
	}
}
