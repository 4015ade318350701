package phantom

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// bare is a small film without noise, blur, scatter, letters or margin.
func bare(v anatomy.View) Setup {
	s := Shoot(v, anatomy.Right, Whole)
	s.Quanta, s.Blur, s.Scatter, s.Letter, s.Frame = 0, 0, 0, false, 0
	s.Balls, s.Ruler = nil, Ruler{}
	return s
}

func know(t testing.TB, f Femur, s Setup) Truth {
	t.Helper()
	k, err := Know(f, s)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// A 25 mm ball, SID 1150, SOD 1000. Source: by hand, 2·SID·r/√(SOD² − r²) =
// 2·1150·12.5/√(1000² − 12.5²) = 28.752; off axis 200 mm: α = atan 0.2,
// β = asin(12.5/√(1000² + 200²)), 1150·(tan(α+β) − tan(α−β)) = 29.322.
func TestBallTruth(t *testing.T) {
	s := bare(anatomy.AP)
	s.Balls = []Ball{{Across: 25}, {Across: 25, Aside: 200}, {Across: 25, Down: -200}, {Across: 25, Aside: 120, Down: 160}}
	got := know(t, Usual(), s).Balls
	testkit.Near(t, "on the axis, long", float64(got[0].Long), 28.752, 5e-4)
	for i, b := range got {
		testkit.Near(t, "short axis", float64(b.Short), 28.752, 5e-4)
		if i > 0 {
			testkit.Near(t, "200 mm off, long axis", float64(b.Long), 29.322, 5e-4)
		}
	}
	testkit.Near(t, "tilt of the last (by hand: atan 160/120)", float64(got[3].Tilt), 53.1301, 1e-4)
}

// Scale in the plane of the bone: spacing · SOD/SID. Source: by hand, 0.15 ·
// 1000/1150 = 0.130435; graduations 10 mm apart are 10·1.15/0.15 = 76.667 px.
func TestScaleAndRuler(t *testing.T) {
	s := bare(anatomy.AP)
	s.Ruler = Ruler{Length: 200, Aside: 60, Turn: 30}
	got := know(t, Usual(), s)
	testkit.Near(t, "mm/px", float64(got.Row), 0.130435, 1e-6)
	if len(got.Marks) != 21 {
		t.Fatalf("%d marks on 200 mm, want 21", len(got.Marks))
	}
	for i, p := range got.Marks[1:] {
		q := got.Marks[i]
		testkit.Near(t, "px between marks", math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)), 76.6667, 1e-3)
	}
}

// Neck–shaft angle and version as a far source sees them, table of facts §6.1:
// tan(180° − NSA_ap) = tan p · cos a, tan γ = tan p · sin a, p = 180° − NSA.
// Source: by hand from these formulas (parallel projection; from 0.9 km the beam still
// spreads by 0.01°).
func TestSeenNSA(t *testing.T) {
	for _, tt := range []struct{ nsa, version, ap, lateral float64 }{
		{130, 15, 130.9808, 17.1423},
		{125, 30, 128.9566, 35.5296},
		{135, 0, 135, 0},
		{120, -10, 120.3813, 16.7396},
		{130, 40, 137.6059, 37.4537},
	} {
		for _, side := range []anatomy.Side{anatomy.Left, anatomy.Right} {
			f := Usual()
			f.NSA, f.Version, f.Bow = units.Deg(tt.nsa), units.Deg(tt.version), 0
			s := bare(anatomy.AP)
			s.Side, s.SOD, s.SID = side, 9e5, 9e5+100
			testkit.Near(t, "NSA on the AP film", float64(know(t, f, s).NSASeen), tt.ap, 0.01)
			s.View = anatomy.Lateral
			testkit.Near(t, "neck on the lateral film", 180-float64(know(t, f, s).NSASeen), tt.lateral, 0.01)
			s.View, s.Turn = anatomy.AP, units.Deg(-tt.version) // the neck into the plane of the film
			testkit.Near(t, "NSA with the version turned out", float64(know(t, f, s).NSASeen), tt.nsa, 0.01)
		}
	}
}

// The edges that are stated for the neck, the head and the shaft are edges of
// the whole bone: nothing of it reaches further out there. On an AP film the
// femur is turned so that its neck lies in the plane of the film.
func TestStatedEdgesAreThoseOfTheWholeBone(t *testing.T) {
	for seed := range uint64(100) {
		f, s := Random(seed), bare(anatomy.AP)
		s.Turn, s.Side = -f.Version, []anatomy.Side{anatomy.Left, anatomy.Right}[seed%2]
		b, c := newBody(f), newCamera(s)
		k := &knower{camera: c, b: b, whole: c.place(b)}
		truth := know(t, f, s)
		check := func(what string, edge, other pt, inner bool) {
			u, v := float64(edge.X-units.Px(c.midX))*c.col, float64(edge.Y-units.Px(c.midY))*c.row
			x, y := float64(edge.X-other.X)*c.col, float64(edge.Y-other.Y)*c.row
			n := math.Hypot(x, y)
			x, y = x/n, y/n
			if k.meets(k.whole, [2]float64{u + 0.1*x, v + 0.1*y}, inner) || !k.meets(k.whole, [2]float64{u - 0.1*x, v - 0.1*y}, inner) {
				t.Errorf("seed %d: %s is no edge of the whole bone", seed, what)
			}
		}
		n := truth.Neck
		check("the neck's upper inner edge", n.InnerUpper, n.InnerLower, true)
		check("the neck's lower inner edge", n.InnerLower, n.InnerUpper, true)
		check("the neck's upper outer edge", n.OuterUpper, n.OuterLower, false)
		check("the neck's lower outer edge", n.OuterLower, n.OuterUpper, false)
		for _, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
			check(string(l), truth.At[l].Film, truth.Head.Centre, false)
		}
		check("flare, left", truth.At[anatomy.FlareA].Film, truth.At[anatomy.FlareB].Film, true)
		check("flare, right", truth.At[anatomy.FlareB].Film, truth.At[anatomy.FlareA].Film, true)
		for _, l := range truth.Profile {
			check("canal", l.InnerA, l.InnerB, true)
			check("bone", l.OuterB, l.OuterA, false)
		}
	}
}

// The centre line is an arc. Source: facts §3n, s = R − √(R² − (c/2)²): chord
// 400, R 943 → 21.453.
func TestSagitta(t *testing.T) {
	f := Usual()
	f.Length = 500
	b := newBody(f)
	b.bowHalf = 200
	testkit.Near(t, "sagitta", b.bow(b.bowMid), 21.453, 1e-3)
	testkit.Near(t, "at the end of the chord", b.bow(b.bowMid+200), 0, 1e-9)
}

// On a lateral film without version or tilt the seen centre line is that arc,
// magnified; it lies in the plane of the bone.
func TestBowSeen(t *testing.T) {
	for _, r := range []units.MM{700, 943, 1500} {
		f := Usual()
		f.Bow = r
		testkit.Near(t, "radius seen", float64(know(t, f, bare(anatomy.Lateral)).BowSeen), float64(r), 0.02*float64(r))
	}
}

func TestRefuses(t *testing.T) {
	for _, tt := range []struct {
		name string
		make func(*Femur, *Setup)
	}{
		{"no view", func(_ *Femur, s *Setup) { s.View = "" }},
		{"no side", func(_ *Femur, s *Setup) { s.Side = "" }},
		{"length is no number", func(f *Femur, _ *Setup) { f.Length = units.MM(math.NaN()) }},
		{"canal wider than the bone", func(f *Femur, _ *Setup) { f.Canal = f.Outer }},
		{"bone behind the detector", func(_ *Femur, s *Setup) { s.SOD = s.SID + 1 }},
		{"pixel of no size", func(_ *Femur, s *Setup) { s.Row = 0 }},
		{"too large", func(_ *Femur, s *Setup) { s.Width, s.Height = 8000, 8000 }},
		{"ball under the detector", func(_ *Femur, s *Setup) { s.Balls = []Ball{{Across: 25, Above: -200}} }},
		{"ball at the source", func(_ *Femur, s *Setup) { s.Balls = []Ball{{Across: 25, Above: 990}} }},
		{"20 bits", func(_ *Femur, s *Setup) { s.Bits = 20 }},
		{"break in the hip", func(f *Femur, _ *Setup) { f.Break.Level = 20 }},
		{"breaks in the wrong order", func(f *Femur, _ *Setup) { f.Break.Level, f.Second.Level = 250, 200 }},
		{"noise without end", func(_ *Femur, s *Setup) { s.Quanta = math.Inf(1) }},
	} {
		f, s := Usual(), bare(anatomy.AP)
		tt.make(&f, &s)
		_, err := Know(f, s)
		var e *RangeError
		if !errors.As(err, &e) || e.Code() != "phantom-range" || e.Error() == "" {
			t.Errorf("%s: %v, want a refusal", tt.name, err)
		}
		if film, err := Draw(f, s); err == nil || film != nil {
			t.Errorf("%s: a film was drawn", tt.name)
		}
	}
}

// Every random femur can be drawn, and lies in the ranges that Random states.
func TestRandom(t *testing.T) {
	for seed := range uint64(2000) {
		f := Random(seed)
		if f != Random(seed) {
			t.Fatalf("seed %d gives two femora", seed)
		}
		if err := f.check(); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
	}
}

// Every varied film can be taken, keeps ball and isthmus on it, and is the same
// for the same seed.
func TestVary(t *testing.T) {
	for seed := range uint64(200) {
		s := Shoot([]anatomy.View{anatomy.AP, anatomy.Lateral}[seed%2], []anatomy.Side{anatomy.Left, anatomy.Right}[seed/2%2], Whole)
		v := s.Vary(seed)
		if w := s.Vary(seed); w.Seed != v.Seed || w.Balls[0] != v.Balls[0] || s.Balls[0].Down != 60 {
			t.Fatalf("seed %d gives two films, or changes what it is given", seed)
		}
		f := Random(seed)
		f.Length = min(f.Length, 430)
		k := know(t, f, v)
		if !k.Balls[0].Inside || !k.At[anatomy.CanalA].Inside || !k.At[anatomy.OuterB].Inside {
			t.Errorf("seed %d: ball at %v, canal at %v", seed, k.Balls[0].Centre, k.SeenAt.InnerA)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	for range b.N {
		if _, err := Draw(Usual(), Shoot(anatomy.AP, anatomy.Right, Whole)); err != nil {
			b.Fatal(err)
		}
	}
}
