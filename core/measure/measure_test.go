package measure

import (
	"fmt"
	"maps"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func level(l anatomy.Landmark) func(Film) (units.Length, error) {
	return func(f Film) (units.Length, error) { return Level(f, l) }
}

// named holds every length of the phantom with its value and its own doubt at
// 0.2 mm per pixel, slip 1 px (0.2 mm).
var named = []struct {
	name      string
	of        func(Film) (units.Length, error)
	want, own float64
	source    string
}{
	{"length", Length, math.Hypot(15, 400), 0.2 * math.Sqrt2, "by hand: √(15² + 400²); u: two slips in quadrature"},
	{"canal", Canal, 10, 0.2 * math.Sqrt(2+0), "by hand: 5 + 5 mm, square to x = 0; u: two slips, the axis moves nothing"},
	{"outer", Outer, 25, 0.2 * math.Sqrt2, "by hand: 13 + 12 mm"},
	{"isthmus level", level(anatomy.CanalA), (12*15 + 180*400) / math.Hypot(15, 400), -1, "by hand: (0+12, 180)·(15, 400)/√(15² + 400²)"},
	{"isthmus level, the other point", level(anatomy.CanalB), (12*15 + 180*400) / math.Hypot(15, 400), -1, "by hand: the same middle"},
	{"fracture, upper end", level(anatomy.FractureUpper), (12*15 + 170*400) / math.Hypot(15, 400), -1, "by hand, as above"},
	{"fracture, lower end", level(anatomy.FractureLower), (12*15 + 200*400) / math.Hypot(15, 400), -1, "by hand, as above"},
	{"lesser trochanter", level(anatomy.LesserTroch), (27*15 + 75*400) / math.Hypot(15, 400), -1, "by hand, as above"},
	{"notch, beyond the target", level(anatomy.Notch), (15*15 + 415*400) / math.Hypot(15, 400), -1, "by hand, as above"},
	{"head", HeadDiameter, 48, 2 * 0.2 / math.Sqrt(3), "by hand: radius 24; u of three even points: 2σ/√3"},
	{"neck room", NeckRoom, 30, 0.2 * math.Sqrt2, "by hand: 20 + 10 mm"},
}

func TestLengths(t *testing.T) {
	for _, tt := range named {
		t.Run(tt.name, func(t *testing.T) {
			l, err := tt.of(ap())
			if err != nil {
				t.Fatal(err)
			}
			testkit.Near(t, "value ("+tt.source+")", float64(l.Best), tt.want, 1e-9)
			if tt.own >= 0 {
				testkit.Near(t, "own doubt ("+tt.source+")", float64(l.Own), tt.own, 2e-3*tt.own)
			}
			rel := 0.01
			if tt.own < 0 { // a level: 1 % of the scale and 2 % of the beam
				rel = math.Hypot(0.01, 0.02)
			}
			testkit.Near(t, "shared doubt (by hand: 1 % of the length)", float64(l.Shared), rel*tt.want, 1e-9)
		})
	}
}

// The doubt of a level in closed form: with t the share of the way, the
// coordinate along the axis takes the slips of the point and of the tip, the
// one across turns the axis: u² = σ²·(1 + 1 + …); for a point on the axis the
// turn does nothing.
func TestLevelDoubt(t *testing.T) {
	f := ap()
	f.At = maps.Clone(f.At)
	f = f.put(anatomy.TrochanterTip, 0, 0).put(anatomy.DistalTarget, 0, 400).put(anatomy.LesserTroch, 0, 80)
	l, err := Level(f, anatomy.LesserTroch)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "on the axis (by hand: σ√2, and 2.5 mm for a place so far behind)", float64(l.Own), math.Hypot(0.2*math.Sqrt2, 2.5), 1e-4)
	// 30 mm beside the axis: turning it by the slip of tip or target, over
	// 400 mm, moves the foot by 30/400 of that slip, for each of the two
	f = f.put(anatomy.LesserTroch, 30, 80)
	l, err = Level(f, anatomy.LesserTroch)
	if err != nil {
		t.Fatal(err)
	}
	a := 30.0 / 400
	testkit.Near(t, "beside the axis (by hand)", float64(l.Own), math.Hypot(0.2*math.Sqrt(2+2*a*a), 2.5), 1e-4)
	// the pieces apart: 3° is 0.05236; 30 mm beside 1.571, 80 mm along 0.110
	l, err = LevelApart(f, anatomy.LesserTroch)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "pieces apart (by hand)", float64(l.Own), math.Sqrt(0.04*(2+2*a*a)+2.5*2.5+1.571*1.571+0.110*0.110), 1e-3)
}

// The lower point of the shaft counts as above the break only beyond doubt.
func TestShaftAbove(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   float64 // of the lower point, mm down; the break begins at 170, slips 0.2 mm
		want bool
	}{{"above", 160, true}, {"too close to call", 169.7, false}, {"below", 300, false}} {
		f := ap()
		f.At = maps.Clone(f.At)
		f = f.put(anatomy.ShaftUpper, 0, 90).put(anatomy.ShaftLower, 0, tt.at).put(anatomy.FractureUpper, 12, 170)
		if got := ShaftAbove(f, anatomy.FractureUpper); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
	if ShaftAbove(Film{}, anatomy.FractureUpper) {
		t.Error("nothing is placed, and the shaft lies above the break")
	}
}

// A canal marked out of square: with the shaft the width is right, without it
// the width is too large and a notice says so.
func TestCanalOutOfSquare(t *testing.T) {
	f := ap().put(anatomy.CanalB, 5, 184)
	l, err := Canal(f)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "square to the shaft (by hand: 10)", float64(l.Best), 10, 1e-9)
	if ns := Notices(f); len(ns) != 0 {
		t.Errorf("notices %v, want none", ns)
	}
	f = f.without(anatomy.ShaftUpper, anatomy.ShaftLower)
	l, err = Canal(f)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "from point to point (by hand: √(100 + 16))", float64(l.Best), math.Sqrt(116), 1e-9)
	ns := Notices(f)
	if len(ns) != 2 || ns[0].Code != "canal-direct" || ns[1].Code != "outer-direct" {
		t.Errorf("notices %v, want canal-direct and outer-direct", ns)
	}
	if got := ns[0].Text(); got != "measure: the canal is taken straight from point to point and reads too wide if they are not square to the shaft: place shaft-upper, shaft-lower" {
		t.Errorf("%q", got)
	}
}

func TestCorticalIndex(t *testing.T) {
	r, err := CorticalIndex(ap())
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "(25 − 10)/25 (by hand)", r.Best, 0.6, 1e-9)
	// u² = (√2σ/25)² + (0.4·√2σ/25)², σ = 0.2 mm; the scale cancels
	testkit.Near(t, "doubt (by hand, JCGM 100 5.1.2)", r.U, 0.2*math.Sqrt2/25*math.Hypot(1, 0.4), 1e-4)
	f := ap().put(anatomy.OuterA, -14, 180).put(anatomy.OuterB, 14, 180).put(anatomy.CanalA, -6, 180).put(anatomy.CanalB, 6, 180)
	if r, err = CorticalIndex(f); err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "(28 − 12)/28 (facts 2.4)", r.Best, 0.571, 0.001)
}

func TestHeadCentre(t *testing.T) {
	c, err := HeadCentre(ap())
	if err != nil {
		t.Fatal(err)
	}
	want := onScrew(80, 0)
	testkit.Near(t, "x in px", float64(c.At.X), want[0]/0.2+500, 1e-6)
	testkit.Near(t, "y in px", float64(c.At.Y), want[1]/0.2+200, 1e-6)
	testkit.Near(t, "slip of the centre of three even points (by hand: σ·√(2/3))", float64(c.Slip), math.Sqrt(2.0/3), 1e-3)
}

func TestNeckShaftAngle(t *testing.T) {
	// the neck's middle lies 5 mm above the screw, 35 mm before the centre
	off := math.Atan2(5, 35) * 180 / math.Pi
	a, err := NeckShaftAngle(ap())
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "angle (by hand: the neck dips by atan(5/35) against the screw's 130°)", float64(a.Best), 130-off, 1e-9)
	f := ap().put(anatomy.NeckUpper, onScrew(45, 15)[0], onScrew(45, 15)[1]).put(anatomy.NeckLower, onScrew(45, -15)[0], onScrew(45, -15)[1])
	if a, err = NeckShaftAngle(f); err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "angle (by hand: along the screw)", float64(a.Best), 130, 1e-9)
	a, err = NeckShaftAngle(f.only(1, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.NeckUpper, anatomy.NeckLower))
	if err != nil {
		t.Fatal(err)
	}
	// shaft: √2·0.2/200 rad; neck: 0.2/√2/35 rad: 0.2453°. The beam at p = 50°:
	// 0.24·0.5868·0.22495 = 0.03168 rad = 1.8152°, with 0.5°: 1.8828° alike;
	// 0.24·0.5868·0.97437·√(64 + 21.333) = 1.2677° and, for the turn,
	// 0.4924·√(0.23087² + 0.13963²)·4.6188° = 0.6136°: 1.4084° apart.
	testkit.Near(t, "doubt (by hand)", float64(a.Own), math.Sqrt(0.2453*0.2453+1.8828*1.8828+1.4084*1.4084), 1e-3)
	testkit.Near(t, "beside the other leg (by hand)", float64(BesideOther(a).Own), math.Hypot(0.2453, 1.4084), 1e-3)
	seen, err := NeckShaftSeen(f.only(1, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.NeckUpper, anatomy.NeckLower))
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "beside the film from the side (by hand: √(0.2453² + 1²))", float64(seen.Own), 1.0297, 1e-3)
}

// What a turned leg and a beam that spreads show, in closed form, and the same
// from three dimensions: a neck of 40 mm, seen from 1000 mm.
func TestSeenFromFront(t *testing.T) {
	for _, tt := range []struct {
		name    string
		a, far  float64
		want    float64
		refused bool
		nsa     float64
	}{
		{name: "in the plane", nsa: 130, want: 130},
		{name: "version 15° (by hand: tan 50°·cos 15°)", nsa: 130, a: 15, want: 130.9808},
		{name: "and 8° outwards (by hand: tan 50°·cos 23°)", nsa: 130, a: 23, want: 132.3506},
		{name: "the hip above the ray (by hand: 1.16121/1.05362)", nsa: 130, a: 13, far: 0.2, want: 132.2178},
		{name: "retroverted, the beam the other way", nsa: 130, a: -13, far: 0.2, want: 129.1783},
		{name: "no angle", nsa: 90, refused: true},
		{name: "no version", nsa: 130, a: 90, refused: true},
		{name: "too far", nsa: 130, far: 0.6, refused: true},
		{name: "no number", nsa: 130, far: math.NaN(), refused: true},
	} {
		got, err := SeenFromFront(units.Deg(tt.nsa), units.Deg(tt.a), tt.far)
		if (err != nil) != tt.refused {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		testkit.Near(t, tt.name, float64(got), tt.want, 2e-3)
	}
	sp, cp := math.Sincos(50 * math.Pi / 180)
	sa, ca := math.Sincos(13 * math.Pi / 180)
	on := func(way float64) (x, y float64) { // up is y; the ray meets 200 mm below
		m := 1000 / (1000 - way*sp*sa)
		return way * sp * ca * m, (200 + way*cp) * m
	}
	x0, y0 := on(-20)
	x1, y1 := on(20)
	testkit.Near(t, "in three dimensions", 180-math.Atan2(x1-x0, y1-y0)*180/math.Pi, 132.2178, 0.1)
}

func TestScrewPath(t *testing.T) {
	near := func(what string, l units.Length, want float64) {
		t.Helper()
		testkit.Near(t, what, float64(l.Best), want, 1e-9)
	}
	p, err := ScrewPath(ap(), 130, 0)
	if err != nil {
		t.Fatal(err)
	}
	near("to the surface (by hand: 80 + 24)", p.ToSurface, 104)
	near("off centre (by hand)", p.OffCentre, 0)
	near("above the calcar (by hand)", p.AboveCalcar, 10)
	near("below the upper edge (by hand)", p.BelowUpper, 20)
	testkit.Near(t, "shared doubt (by hand: 1 %)", float64(p.ToSurface.Shared), 1.04, 1e-6)

	p, err = ScrewPath(ap(), 130, 12)
	if err != nil {
		t.Fatal(err)
	}
	near("upper: off centre (by hand: 12 above)", p.OffCentre, 12)
	near("upper: to the surface (by hand: 80 − 12/tan 50° + √(24² − 12²))", p.ToSurface, 80-12*cos50/sin50+math.Sqrt(24*24-12*12))
	near("upper: above the calcar", p.AboveCalcar, 22)
	near("upper: below the upper edge", p.BelowUpper, 8)
	// the distance between the screws is made, not seen: it has no scale
	testkit.Near(t, "upper: shared doubt of 12 mm above a centre the lower one meets", float64(p.OffCentre.Shared), 0, 1e-6)

	p, err = ScrewPath(ap().only(1, anatomy.LateralCortex), 130, 0)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "doubt from the entry alone, across (by hand: σ)", float64(p.OffCentre.Own), 0.2, 1e-4)
	testkit.Near(t, "doubt from the entry alone, along (by hand: σ, the rim is square to it)", float64(p.ToSurface.Own), 0.2, 1e-3)

	// 125°: by hand θ = 55°; centre − entry = 80·(sin 50°, −cos 50°); turned by 5°
	p, err = ScrewPath(ap(), 125, 0)
	if err != nil {
		t.Fatal(err)
	}
	five := 5 * math.Pi / 180
	near("125°: passes below the centre by 80·sin 5°", p.OffCentre, -80*math.Sin(five))
	near("125°: to the surface", p.ToSurface, 80*math.Cos(five)+math.Sqrt(24*24-math.Pow(80*math.Sin(five), 2)))
}

// Laws: mirror, turn, move, and the same bone in other pixels give the same
// millimetres; twice the pixels is twice the millimetres.
func TestLaws(t *testing.T) {
	type move struct {
		name   string
		by     func(geom.Pt[units.Px]) geom.Pt[units.Px]
		factor float64
	}
	turn := func(deg float64) func(geom.Pt[units.Px]) geom.Pt[units.Px] {
		s, c := math.Sincos(deg * math.Pi / 180)
		return func(p geom.Pt[units.Px]) geom.Pt[units.Px] {
			x, y := float64(p.X), float64(p.Y)
			return geom.Pt[units.Px]{X: units.Px(c*x - s*y), Y: units.Px(s*x + c*y)}
		}
	}
	for _, m := range []move{
		{"mirrored", func(p geom.Pt[units.Px]) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: 3000 - p.X, Y: p.Y} }, 1},
		{"upside down", func(p geom.Pt[units.Px]) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: p.X, Y: 3000 - p.Y} }, 1},
		{"moved", func(p geom.Pt[units.Px]) geom.Pt[units.Px] { return p.Plus(geom.Pt[units.Px]{X: -800, Y: 77.5}) }, 1},
		{"turned 33°", turn(33), 1},
		{"turned 90°", turn(90), 1},
		{"turned 180°", turn(180), 1},
		{"turned −71°", turn(-71), 1},
		{"1.3 times as large", func(p geom.Pt[units.Px]) geom.Pt[units.Px] { return p.Times(1.3) }, 1.3},
	} {
		t.Run(m.name, func(t *testing.T) {
			f := ap()
			f.At = maps.Clone(f.At)
			for l, p := range f.At {
				f.At[l] = Placed{m.by(p.At), p.Slip}
			}
			for _, tt := range named {
				a, err1 := tt.of(ap())
				b, err2 := tt.of(f)
				if err1 != nil || err2 != nil {
					t.Fatal(tt.name, err1, err2)
				}
				testkit.Near(t, tt.name, float64(b.Best), m.factor*float64(a.Best), 1e-6)
				testkit.Near(t, tt.name+" doubt", float64(b.Own), float64(a.Own), 0.01*float64(a.Own))
			}
			a, err1 := NeckShaftAngle(ap())
			b, err2 := NeckShaftAngle(f)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			testkit.Near(t, "neck–shaft angle", float64(b.Best), float64(a.Best), 1e-6)
			p, err1 := ScrewPath(ap(), 132, 0)
			q, err2 := ScrewPath(f, 132, 0)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			testkit.Near(t, "way of the screw", float64(q.ToSurface.Best), m.factor*float64(p.ToSurface.Best), 1e-6)
			testkit.Near(t, "off centre", float64(q.OffCentre.Best), m.factor*float64(p.OffCentre.Best), 1e-6)
			testkit.Near(t, "above the calcar", float64(q.AboveCalcar.Best), m.factor*float64(p.AboveCalcar.Best), 1e-6)
		})
	}
}

// Non-square pixels: the same bone gives the same lengths and angles, and a
// circle in millimetres measures equal in both directions.
func TestNonSquarePixels(t *testing.T) {
	for _, s := range []struct{ row, col float64 }{{0.4, 0.2}, {0.15, 0.148}, {0.1, 0.3}} {
		f := shoot(anatomy.AP, s.row, s.col, 0.01, 1, phantom)
		for _, tt := range named {
			l, err := tt.of(f)
			if err != nil {
				t.Fatal(tt.name, err)
			}
			testkit.Near(t, tt.name, float64(l.Best), tt.want, 1e-9)
		}
		a, err := NeckShaftAngle(f)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "neck–shaft angle", float64(a.Best), 130-math.Atan2(5, 35)*180/math.Pi, 1e-9)
		p, err := ScrewPath(f, 130, 0)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "way of the screw", float64(p.ToSurface.Best), 104, 1e-9)
	}
}

// Whatever the points are, an answer is a number or there is none.
func FuzzMeasure(f *testing.F) {
	f.Add(10.0, 20.0, 30.0, 40.0, 0.2, 0.2, 0.01, 1.0, 130.0, uint8(0))
	f.Add(math.NaN(), math.Inf(1), 1e308, -1e308, 0.0, -1.0, 2.0, 0.0, 0.0, uint8(3))
	f.Add(0.0, 0.0, 0.0, 0.0, 1.9, 0.01, 0.9, 900.0, 169.9, uint8(9))
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, row, col, rel, slip, deg float64, which uint8) {
		film := shoot(anatomy.AP, 0.2, 0.2, 0.01, units.Px(slip), phantom)
		film.Plane.Row, film.Plane.Col, film.Plane.Rel = units.MM(row), units.MM(col), rel
		all := anatomy.Landmarks(anatomy.AP)
		a, b := all[int(which)%len(all)], all[int(which/16)%len(all)]
		film.At[a] = Placed{geom.Pt[units.Px]{X: units.Px(ax), Y: units.Px(ay)}, units.Px(slip)}
		film.At[b] = Placed{geom.Pt[units.Px]{X: units.Px(bx), Y: units.Px(by)}, 1}
		for _, tt := range named {
			if l, err := tt.of(film); !l.Finite() || l.Own < 0 || err != nil && l != (units.Length{}) {
				t.Errorf("%s = %+v, %v", tt.name, l, err)
			}
		}
		if p, err := ScrewPath(film, units.Deg(deg), 8); !p.ToSurface.Finite() || !p.OffCentre.Finite() || err != nil && p != (Path{}) {
			t.Errorf("ScrewPath = %+v, %v", p, err)
		}
		if n, err := NeckShaftAngle(film); math.IsNaN(float64(n.Best+n.Own)) || err != nil && n != (units.Angle{}) {
			t.Errorf("NeckShaftAngle = %+v, %v", n, err)
		}
		if w, err := Bow(film); !w.Sagitta.Finite() || w.Radius != nil && !w.Radius.Finite() {
			t.Errorf("Bow = %+v, %v", w, err)
		}
	})
}

func ExampleCanal() {
	f := Film{
		View:  anatomy.AP,
		Plane: calibrate.Plane{Row: 0.125, Col: 0.125, Rel: 0.01, Origin: calibrate.FromBallMark},
		At: Points{
			anatomy.CanalA: {At: geom.Pt[units.Px]{X: 500, Y: 1500}, Slip: 1},
			anatomy.CanalB: {At: geom.Pt[units.Px]{X: 585, Y: 1500}, Slip: 1},
		},
	}
	fmt.Println(Canal(f))
	fmt.Println(Length(f))
	f.Plane.Origin = calibrate.AtDetector
	_, err := Canal(f)
	fmt.Println(err)
	// Output:
	// 10.6 ± 0.4 mm <nil>
	// 0 mm measure: not placed yet: trochanter-tip, distal-target: place them on the film
	// measure: the spacing of this film is that of the detector, not of the bone, so no length can be given: mark an object of known size on it
}
