package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

var atBone = Depth{AtBone: true, Known: true}

// rim returns n points on an ellipse, in pixels of the given shape.
func rim(n int, cx, cy, long, short, tiltDeg float64, s Shape) []geom.Pt[units.Px] {
	sin, cos := math.Sincos(tiltDeg * math.Pi / 180)
	var out []geom.Pt[units.Px]
	for i := range n {
		b, a := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.3)
		u, v := long/2*a, short/2*b
		out = append(out, at(cx+u*cos-v*sin, (cy+u*sin+v*cos)/s.RowPerCol))
	}
	return out
}

func TestBall(t *testing.T) {
	for _, tt := range []struct {
		name   string
		rim    []geom.Pt[units.Px]
		dia    units.MM
		col    float64
		tol    float64
		source string
	}{
		{"six points, magnified 1.20", rim(6, 1000.25, 1560.75, 150, 150, 0, SquareShape), 25, 25.0 / 150, 1e-9,
			"cal_ball25_ruler_mag1p20: 25 mm seen 150 px wide"},
		{"three points", rim(3, 500, 500, 125, 125, 0, SquareShape), 25, 0.20, 1e-9, "by hand: 25/125"},
		{"off axis: short axis", rim(12, 500, 500, 293.22, 287.52, 20, SquareShape), 25, 25.0 / 287.52, 1e-6,
			"by hand, facts 1j: SID 1150, SOD 1000, 200 mm off axis: 28.752 × 29.322 mm at 0.1 mm per pixel"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, _, err := Ball(tt.rim, 0.5, tt.dia, SquareShape, atBone)
			if err != nil {
				t.Fatal(err)
			}
			if p.Origin != FromBallMark || !p.Usable() {
				t.Errorf("origin %q, usable %v", p.Origin, p.Usable())
			}
			testkit.Near(t, "col ("+tt.source+")", float64(p.Col), tt.col, tt.tol)
			testkit.Near(t, "row ("+tt.source+")", float64(p.Row), tt.col, tt.tol)
		})
	}
}

func TestDisc(t *testing.T) {
	tilted := rim(9, 400, 400, 245, 245*math.Cos(25*math.Pi/180), -35, SquareShape)
	p, _, err := Disc(tilted, 0.5, 24.5, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "long axis of a disc tilted by 25° (by hand: 24.5 mm / 245 px)", float64(p.Col), 0.1, 1e-6)
	if p.Origin != FromDiscMark {
		t.Errorf("origin %q", p.Origin)
	}
	// the same rim is no ball: 1/cos 25° = 1.103 is near what a ball far off
	// axis can be, and the short axis of a disc would read 10 % too long
	b, ns, err := Ball(tilted, 0.5, 24.5, SquareShape, atBone)
	if err != nil || !slices.Contains(codes(ns), "oval") {
		t.Errorf("a tilted disc taken for a ball: %v, notices %v, want the caution “oval”", err, codes(ns))
	}
	if !(float64(b.Col) > 0.108) {
		t.Errorf("ball on the same rim: %v mm per pixel, want the short axis", b.Col)
	}
}

func TestRuler(t *testing.T) {
	p, _, err := Ruler(at(10, 10), at(10, 610), 1, 100, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "60 px for 10 mm (cal_ball25_ruler_mag1p20)", float64(p.Col), 10.0/60, 1e-12)
	// u(seen) = √2 px of 600, 0.1 mm of 100, 5 mm of 1000 for the depth
	want := math.Sqrt(math.Pow(math.Sqrt2/600, 2) + math.Pow(0.001, 2) + math.Pow(0.005, 2))
	testkit.Near(t, "doubt (by hand, JCGM 100 5.1.2)", p.Rel, want, 1e-12)
}

// Law: the doubt of a round marker is the closed form for evenly spread
// points, 2σ/√n for the diameter, and as much again for an oval that hides.
func TestRoundDoubtClosedForm(t *testing.T) {
	for _, n := range []int{5, 8, 12, 20} {
		p, _, err := Ball(rim(n, 500, 500, 200, 200, 0, SquareShape), 1, 25, SquareShape, atBone)
		if err != nil {
			t.Fatal(err)
		}
		u := 2 / math.Sqrt(float64(n)) * math.Sqrt2
		want := math.Sqrt(math.Pow(u/200, 2) + math.Pow(0.1/25, 2) + math.Pow(0.005, 2))
		testkit.Near(t, fmt.Sprintf("doubt of %d points (by hand)", n), p.Rel, want, 2e-6)
	}
}

// A round rim marked with ordinary slips must not read small because an
// ellipse was laid through the slips: over many invented rims the mean scale
// stays within a third of the stated doubt.
func TestRoundRimIsNotBiased(t *testing.T) {
	const trials = 400
	seed := uint64(1)
	next := func() float64 { // normal, from twelve uniform numbers
		s := -6.0
		for range 12 {
			seed = seed*6364136223846793005 + 1442695040888963407
			s += float64(seed>>11) / (1 << 53)
		}
		return s
	}
	var sum, rel, sq float64
	n := 0
	for range trials {
		pts := rim(6, 500, 500, 150, 150, 0, SquareShape)
		for i := range pts {
			pts[i] = pts[i].Plus(at(next(), next()))
		}
		p, _, err := Ball(pts, 1, 25, SquareShape, atBone)
		if err != nil {
			continue
		}
		n++
		d := float64(p.Col)*6 - 1
		sum += d
		sq += d * d
		rel += p.Rel
	}
	if n < trials*9/10 {
		t.Fatalf("only %d of %d rims gave a scale", n, trials)
	}
	mean, spread, said := sum/float64(n), math.Sqrt(sq/float64(n)), rel/float64(n)
	if !(math.Abs(mean) < said/3) {
		t.Errorf("the scale is off by %.4f in the mean, its stated doubt is %.4f", mean, said)
	}
	if !(spread < 1.1*said) {
		t.Errorf("the scale scatters by %.4f, more than the stated doubt %.4f", spread, said)
	}
}

func TestNonSquareMarker(t *testing.T) {
	tall := Shape{RowPerCol: 2}
	p, _, err := Ball(rim(8, 500, 500, 200, 200, 0, tall), 0.5, 25, tall, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "col (by hand: 25/200)", float64(p.Col), 0.125, 1e-9)
	testkit.Near(t, "row (by hand: twice as high)", float64(p.Row), 0.25, 1e-9)
	a := p.Length(at(0, 0), at(200, 0), 1, 1).Best
	b := p.Length(at(0, 0), at(0, 100), 1, 1).Best
	testkit.Near(t, "a circle in mm measures equal both ways", float64(a-b), 0, 1e-9)
}

func TestMarkersRefuse(t *testing.T) {
	nan := math.NaN()
	good := rim(6, 500, 500, 150, 150, 0, SquareShape)
	ballErr := func(r []geom.Pt[units.Px], slip units.Px, dia units.MM, s Shape, d Depth) error {
		_, _, err := Ball(r, slip, dia, s, d)
		return err
	}
	ruler := func(a, b geom.Pt[units.Px], l units.MM) error {
		_, _, err := Ruler(a, b, 1, l, SquareShape, atBone)
		return err
	}
	edge, odd := slices.Clone(good), slices.Clone(good)
	odd[0] = odd[0].Plus(at(60, 0))
	edge[3] = at(nan, 3)
	disc := func(r []geom.Pt[units.Px]) error {
		_, _, err := Disc(r, 0.5, 25, SquareShape, atBone)
		return err
	}
	for _, tt := range []struct {
		name string
		err  error
		code string
	}{
		{"a ball 5 px wide", ballErr(rim(6, 50, 50, 5, 5, 0, SquareShape), 0.3, 25, SquareShape, atBone), "calibrate-small-marker"},
		{"a ball 39.9 px wide", ballErr(rim(6, 50, 50, 39.9, 39.9, 0, SquareShape), 0.3, 25, SquareShape, atBone), "calibrate-small-marker"},
		{"a ball 60 px wide in columns, 30 in rows", ballErr(rim(6, 50, 50, 60, 60, 0, Shape{2}), 0.3, 25, Shape{2}, atBone), "calibrate-small-marker"},
		{"a ruler of 99 px", ruler(at(0, 0), at(99, 0), 10), "calibrate-small-marker"},
		{"one point twice as a ruler", ruler(at(5, 5), at(5, 5), 10), "calibrate-small-marker"},
		{"a ruler that ends nowhere", ruler(at(5, 5), at(nan, 5), 10), "fit-not-finite"},
		{"a ruler of no length", ruler(at(0, 0), at(200, 0), 0), "calibrate-missing"},
		{"a ruler of 2 m", ruler(at(0, 0), at(200, 0), 2000), "calibrate-range"},
		{"two rim points", ballErr(good[:2], 1, 25, SquareShape, atBone), "fit-few"},
		{"rim points on a line", ballErr([]geom.Pt[units.Px]{at(0, 0), at(50, 0), at(100, 0), at(150, 0)}, 1, 25, SquareShape, atBone), "fit-degenerate"},
		{"a rim point that is no number", ballErr(edge, 1, 25, SquareShape, atBone), "fit-not-finite"},
		{"no slip", ballErr(good, 0, 25, SquareShape, atBone), "calibrate-missing"},
		{"a slip below zero", ballErr(good, -1, 25, SquareShape, atBone), "calibrate-range"},
		{"a slip that is no number", ballErr(good, units.Px(nan), 25, SquareShape, atBone), "calibrate-range"},
		{"no diameter", ballErr(good, 1, 0, SquareShape, atBone), "calibrate-missing"},
		{"a diameter below zero", ballErr(good, 1, -25, SquareShape, atBone), "calibrate-range"},
		{"a diameter that is no number", ballErr(good, 1, units.MM(nan), SquareShape, atBone), "calibrate-range"},
		{"a ball of 250 mm", ballErr(good, 1, 250, SquareShape, atBone), "calibrate-range"},
		{"no shape", ballErr(good, 1, 25, Shape{}, atBone), "calibrate-missing"},
		{"a ball half as wide as long", ballErr(rim(8, 500, 500, 150, 75, 0, SquareShape), 0.5, 25, SquareShape, atBone), "calibrate-not-round"},
		{"a disc nearly edge on", disc(rim(8, 500, 500, 150, 70, 0, SquareShape)), "calibrate-not-round"},
		{"one point far off the rim", ballErr(odd, 0.5, 25, SquareShape, atBone), "calibrate-not-round"},
		{"a slip that leaves the size open", ballErr(rim(6, 50, 50, 41, 41, 0, SquareShape), 5, 25, SquareShape, atBone), "calibrate-vague"},
		{"not at the bone, no heights", ballErr(good, 1, 25, SquareShape, Depth{Known: true}), "calibrate-missing"},
		{"an SID in centimetres", ballErr(good, 1, 25, SquareShape, Depth{SID: mm(115)}), "calibrate-range"},
		{"a height below the detector", ballErr(good, 1, 25, SquareShape, Depth{HMarker: mm(-1), HBone: mm(150), SID: mm(1150)}), "calibrate-range"},
		{"a height that is no number", ballErr(good, 1, 25, SquareShape, Depth{HMarker: mm(nan), HBone: mm(150), SID: mm(1150)}), "calibrate-range"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var c interface{ Code() string }
			if !errors.As(tt.err, &c) || c.Code() != tt.code {
				t.Errorf("got %v, want %s", tt.err, tt.code)
			}
		})
	}
}

func TestDepth(t *testing.T) {
	ruler := func(d Depth) (Plane, []Notice) {
		p, ns, err := Ruler(at(0, 0), at(0, 3000), 0.1, 420, SquareShape, d)
		if err != nil {
			t.Fatal(err)
		}
		return p, ns
	}
	base := math.Hypot(0.1*math.Sqrt2/3000, 0.1/420)
	for _, tt := range []struct {
		name    string
		d       Depth
		times   float64
		rel     float64
		code    string
		caution bool
	}{
		{"at the bone", atBone, 1, 0.005, "depth-at-bone", false},
		{"nothing known", Depth{}, 1, 0.015, "depth-unknown", true},
		{"nothing known, SID 2150", Depth{SID: mm(2150)}, 1, 0.0075, "depth-unknown", true},
		{"some heights", Depth{HBone: mm(150), SID: mm(1150)}, 1, 0.015, "depth-part", true},
		{"marker 30 mm too low", Depth{Known: true, HMarker: mm(120), HBone: mm(150), SID: mm(1150)}, 1 / 1.03, math.Hypot(5.0/1030, 0.005), "depth-corrected", false},
		{"marker 50 mm too high", Depth{HMarker: mm(200), HBone: mm(150), SID: mm(1150)}, 1 / 0.95, math.Hypot(5.0/950, 0.005), "depth-corrected", false},
		{"said at the bone, heights differ", Depth{AtBone: true, Known: true, HMarker: mm(120), HBone: mm(150), SID: mm(1150)}, 1 / 1.03, math.Hypot(5.0/1030, 0.005), "depth-contradict", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, ns := ruler(tt.d)
			testkit.Near(t, "scale (by hand, facts 1g)", float64(p.Col), 0.14*tt.times, 1e-9)
			testkit.Near(t, "doubt (by hand, JCGM 100 5.1.2)", p.Rel, math.Hypot(base, tt.rel), 1e-9)
			i := slices.IndexFunc(ns, func(n Notice) bool { return n.Code == tt.code })
			if i < 0 || ns[i].Caution != tt.caution {
				t.Errorf("notices %+v, want %s, caution %v", ns, tt.code, tt.caution)
			}
		})
	}
}

// facts 11.2: the length that reads wrong is put right by the correction.
func TestOffDepth(t *testing.T) {
	for _, tt := range []struct{ h, rel, on420 float64 }{
		{120, 0.03, 12.6}, {140, 0.01, 4.2}, {160, -0.01, -4.2}, {180, -0.03, -12.6}, {200, -0.05, -21.0}, {150, 0, 0},
	} {
		const source = "geometry, facts 1g; 1 cm is about 1 %: Klever 2022"
		got, err := OffDepth(units.MM(tt.h), 150, 1150)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, source, got, tt.rel, 1e-9)
		testkit.Near(t, source, got*420, tt.on420, 1e-9)
	}
	// a whole film: source at 1150, bone 420 mm long at 150, ruler of 300 mm at h
	const px = 0.1
	for _, h := range []float64{40, 120, 150, 200, 290} {
		seen := 300 * 1150 / (1150 - h) / px
		bone := 420 * 1150 / 1000.0 / px
		p, _, err := Ruler(at(0, 0), at(0, seen), 1, 300, SquareShape, Depth{HMarker: mm(h), HBone: mm(150), SID: mm(1150)})
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "bone corrected for depth (projected by hand)", float64(p.Length(at(0, 0), at(0, bone), 1, 1).Best), 420, 1e-9)
	}
}

// Law: the scale does not depend on where the marker is, how it is turned or
// mirrored; twice the pixels is half the millimetres per pixel.
func TestMarkerLaws(t *testing.T) {
	base, _, err := Ball(rim(9, 0, 0, 160, 155, 10, SquareShape), 0.5, 25, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	for _, deg := range []float64{-80, 0, 33, 90, 200} {
		p, _, err := Ball(rim(9, 3000, -700, 160, 155, deg, SquareShape), 0.5, 25, SquareShape, atBone)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "turned and moved", float64(p.Col), float64(base.Col), 1e-9)
	}
	big, _, err := Ball(rim(9, 0, 0, 320, 310, 10, SquareShape), 1, 25, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "twice the pixels", float64(big.Col), float64(base.Col)/2, 1e-9)
	testkit.Near(t, "the same doubt", big.Rel, base.Rel, 1e-9)
	var mirror []geom.Pt[units.Px]
	for _, q := range rim(9, 0, 0, 160, 155, 10, SquareShape) {
		mirror = append(mirror, at(-float64(q.X), float64(q.Y)))
	}
	m, _, err := Ball(mirror, 0.5, 25, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "mirrored", float64(m.Col), float64(base.Col), 1e-9)
}

func FuzzBall(f *testing.F) {
	f.Add(100.0, 100.0, 250.0, 100.0, 175.0, 175.0, 1.0, 25.0, 1.0)
	f.Add(0.0, 0.0, 1e308, 0.0, 0.0, -1e308, 1.0, 25.0, 1.0)
	f.Add(math.NaN(), 0.0, 1.0, 0.0, math.Inf(1), 1.0, -1.0, 1e-9, 0.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, slip, dia, shape float64) {
		pts := []geom.Pt[units.Px]{at(ax, ay), at(bx, by), at(cx, cy), at(ax+bx-cx, ay+by-cy), at(2*ax-cx, by)}
		for n := range len(pts) + 1 {
			for _, g := range []func([]geom.Pt[units.Px], units.Px, units.MM, Shape, Depth) (Plane, []Notice, error){Ball, Disc} {
				p, _, err := g(pts[:n], units.Px(slip), units.MM(dia), Shape{shape}, Depth{})
				if err == nil && (!p.Usable() || !(p.Rel > 0) || !(p.Rel < 0.1)) {
					t.Errorf("%v %v %v %v: %+v", pts[:n], slip, dia, shape, p)
				}
				if err != nil && p.Usable() {
					t.Errorf("an error and a plane: %v %+v", err, p)
				}
			}
		}
	})
}

func ExampleBall() {
	rim := []geom.Pt[units.Px]{{X: 575, Y: 500}, {X: 425, Y: 500}, {X: 500, Y: 575}, {X: 500, Y: 425}, {X: 553, Y: 553}, {X: 447, Y: 447}}
	p, notices, err := Ball(rim, 1, 25, SquareShape, Depth{AtBone: true, Known: true})
	fmt.Printf("%.4f mm per pixel ± %.1f %%, %v\n", p.Col, 2*p.Rel*100, err)
	for _, n := range notices {
		fmt.Println(n.Text())
	}
	_, _, err = Ball([]geom.Pt[units.Px]{{X: 2}, {X: -2}, {Y: 2}}, 1, 25, SquareShape, Depth{})
	fmt.Println(err)
	// Output:
	// 0.1667 mm per pixel ± 2.0 %, <nil>
	// calibrate: the marker is taken to lie at the depth of the bone; ± 1 % is allowed for it
	// calibrate: the ball is 4 px wide, need 40: zoom in and mark its rim again, or open the film in full size
}
