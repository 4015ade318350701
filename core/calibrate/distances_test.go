package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func code(err error) string {
	var c interface{ Code() string }
	if errors.As(err, &c) {
		return c.Code()
	}
	return fmt.Sprint(err)
}

func TestMagnificationFromDistances(t *testing.T) {
	for _, tt := range []struct {
		name     string
		sid      float64
		sod, oid *units.MM
		want, u  float64
		source   string
	}{
		{"OID", 1150, nil, mm(150), 1.15, 1.15 * math.Hypot(10*(1/1000.0-1/1150.0), 0.015), "DICOM PS3.3 C.8.7.6, facts 1a"},
		{"SOD", 1150, mm(1000), nil, 1.15, 1.15 * math.Hypot(10/1150.0, 0.015), "DICOM PS3.3 C.8.7.6, facts 1a"},
		{"both agree", 1150, mm(1000), mm(150), 1.15, 1.15 * math.Hypot(10/1150.0, 0.015), "facts 1a"},
		{"SID 1000", 1000, nil, mm(150), 1.17647, 0.02087, "facts 1a: 1000/850; u by hand: 1.17647·√(0.00176² + 0.01765²)"},
		{"SID 1200", 1200, nil, mm(100), 1.09091, 0.01490, "facts 1a: 1200/1100; u by hand: 1.09091·√(0.00076² + 0.01364²)"},
		{"bone on the detector", 1000, nil, mm(0), 1, 0.015, "by hand: nothing is magnified there"},
	} {
		m, err := MagnificationFromDistances(units.MM(tt.sid), tt.sod, tt.oid)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		testkit.Near(t, tt.name+" ("+tt.source+")", m.Best, tt.want, 1e-5)
		testkit.Near(t, tt.name+" doubt (by hand, JCGM 100 5.1.2)", m.U, tt.u, 1e-5)
	}
	for _, tt := range []struct {
		name     string
		sid      float64
		sod, oid *units.MM
		code     string
	}{
		{"neither", 1150, nil, nil, "calibrate-missing"},
		{"SID in centimetres", 115, mm(100), nil, "calibrate-range"},
		{"SID beyond any room", 3001, mm(2800), nil, "calibrate-range"},
		{"SID that is no number", math.NaN(), mm(1000), nil, "calibrate-range"},
		{"SOD beyond SID", 1150, mm(1151), nil, "calibrate-range"},
		{"SOD of zero", 1150, mm(0), nil, "calibrate-range"},
		{"SOD that is no number", 1150, mm(math.NaN()), nil, "calibrate-range"},
		{"factor above 1.6", 1150, mm(700), nil, "calibrate-range"},
		{"OID below the detector", 1150, nil, mm(-1), "calibrate-range"},
		{"OID too high", 1150, nil, mm(500), "calibrate-range"},
		{"SOD and OID contradict", 1150, mm(1000), mm(200), "calibrate-contradiction"},
	} {
		if _, err := MagnificationFromDistances(units.MM(tt.sid), tt.sod, tt.oid); code(err) != tt.code {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.code)
		}
	}
}

// facts 1b, 1e, 11.4a.
func TestDistances(t *testing.T) {
	g := Given{ImagerSpacing: sp(0.143, 0.143)}
	p, ns, err := Distances(g, 1150, mm(1000), nil)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "3200 px (facts 1e)", float64(p.Length(at(0, 0), at(3200, 0), 1, 1).Best), 397.913, 0.001)
	testkit.Near(t, "460 mm at the detector is 400 mm (facts 1b)", float64(p.Col)*460/0.143, 400, 1e-9)
	testkit.Near(t, "doubt (by hand)", p.Rel, math.Hypot(10/1150.0, 0.015), 1e-9)
	if p.Origin != ByDistances || !slices.Contains(codes(ns), "distances") {
		t.Errorf("origin %q, notices %v", p.Origin, codes(ns))
	}
	_, ns, _ = Distances(Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1800)}, 1150, mm(1000), nil)
	if !slices.Contains(codes(ns), "sid-differs") {
		t.Errorf("notices %v, want sid-differs", codes(ns))
	}
	equal := Given{PixelSpacing: sp(0.143, 0.143), ImagerSpacing: sp(0.143, 0.143)}
	if q, _, err := Distances(equal, 1150, mm(1000), nil); err != nil || math.Abs(float64(q.Col-p.Col)) > 1e-12 {
		t.Errorf("equal spacings are not corrected: %v %v", q, err)
	}
	scanned, _, err := Distances(Given{ScannedSpacing: sp(0.15, 0.3)}, 1150, nil, mm(150))
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "digitised film, row (by hand: 0.15/1.15)", float64(scanned.Row), 0.15/1.15, 1e-12)
	testkit.Near(t, "digitised film, col (by hand: 0.30/1.15)", float64(scanned.Col), 0.3/1.15, 1e-12)
}

// A magnification is never taken out of a spacing that has been corrected, or
// that may have been.
func TestNeverDividedTwice(t *testing.T) {
	for _, tt := range []struct {
		name string
		g    Given
		code string
	}{
		{"different spacings", Given{PixelSpacing: sp(0.1243478, 0.1243478), ImagerSpacing: sp(0.143, 0.143)}, "calibrate-corrected"},
		{"fiducial", Given{PixelSpacing: sp(0.13, 0.13), Calibration: "FIDUCIAL"}, "calibrate-corrected"},
		{"geometry", Given{PixelSpacing: sp(0.13, 0.13), ImagerSpacing: sp(0.143, 0.143), Calibration: "GEOMETRY"}, "calibrate-corrected"},
		{"pixel spacing alone", Given{PixelSpacing: sp(0.13, 0.13)}, "calibrate-missing"},
		{"placeholder", Given{PixelSpacing: sp(1, 1)}, "calibrate-missing"},
		{"zero", Given{ImagerSpacing: sp(0, 0)}, "calibrate-missing"},
		{"nothing", Given{}, "calibrate-missing"},
	} {
		if p, _, err := Distances(tt.g, 1150, mm(1000), nil); code(err) != tt.code || p.Usable() {
			t.Errorf("distances, %s: %v, want %s", tt.name, err, tt.code)
		}
		if p, _, err := Assumed(tt.g, 1.15); code(err) != tt.code || p.Usable() {
			t.Errorf("assumed, %s: %v, want %s", tt.name, err, tt.code)
		}
	}
}

// A site's usual factor is labelled and wide: ± 15 mm (one standard
// uncertainty) on a femur of 420 mm. Source: facts 1.3, Wangjiraphan.
func TestAssumed(t *testing.T) {
	p, ns, err := Assumed(Given{ImagerSpacing: sp(0.143, 0.143)}, 1.141)
	if err != nil {
		t.Fatal(err)
	}
	l := p.Length(at(0, 0), at(0, 420/float64(p.Row)), 1, 1)
	testkit.Near(t, "500 mm of film / 1.141 (facts 1.3)", 500/0.143*float64(p.Col), 438.2, 0.05)
	testkit.Near(t, "doubt of 420 mm (facts 1.3)", float64(l.Shared), 15.1, 0.05)
	if p.Origin != AssumedSite || len(ns) != 1 || ns[0].Code != "assumed" || !ns[0].Caution {
		t.Errorf("origin %q, notices %+v", p.Origin, ns)
	}
	for _, f := range []float64{0, 0.99, 1.61, 115, -1.15, math.NaN(), math.Inf(1)} {
		if _, _, err := Assumed(Given{ImagerSpacing: sp(0.143, 0.143)}, f); code(err) != "calibrate-range" {
			t.Errorf("factor %v: %v, want a refusal", f, err)
		}
	}
}

// facts 11.1, published: a coin of 24.5 mm on 20 pelvic films.
func TestMagnification(t *testing.T) {
	for _, tt := range []struct{ seen, want float64 }{{27.17, 1.10898}, {29.40, 1.2}} {
		m, err := Magnification(units.Exact(units.MM(tt.seen)), units.Exact(24.5))
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "Orthopaedic Proceedings 2006, 88-B Supp II, 247", m.Best, tt.want, 1e-5)
		testkit.Near(t, "exact sizes have no doubt", m.U, 0, 0)
	}
	m, err := Magnification(units.Length{Best: 28.75, Own: 0.2}, units.Length{Best: 25, Shared: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "doubt of a ratio (by hand, JCGM 100 5.1.2)", m.U, 1.15*math.Hypot(0.2/28.75, 0.1/25), 1e-9)
	for _, tt := range []struct{ seen, real float64 }{{24, 25}, {41, 25}, {0, 25}, {25, 0}, {-29, 25}, {-29, -25}, {math.NaN(), 25}, {29, math.NaN()}, {math.Inf(1), 25}} {
		if m, err := Magnification(units.Exact(units.MM(tt.seen)), units.Exact(units.MM(tt.real))); code(err) != "calibrate-range" || m != (units.Ratio{}) {
			t.Errorf("%v seen, %v true: %v %v, want a refusal", tt.seen, tt.real, m, err)
		}
	}
}

// facts 1h and 11.3.
func TestTwoMarkers(t *testing.T) {
	front, back := units.Ratio{Best: 1000.0 / 710, U: 0.01}, units.Ratio{Best: 1000.0 / 960, U: 0.01}
	const source = "facts 1h: SID 1000, heights 40 and 290; the source distance is linear in 1/M"
	for _, tt := range []struct{ r, want float64 }{{0.45, 1.1799410}, {0.40, 1.1627907}, {0.50, 1.1976048}, {0, 1.0416667}, {1, 1.4084507}} {
		m, err := TwoMarkers(front, back, units.Ratio{Best: tt.r})
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, source, m.Best, tt.want, 1e-6)
	}
	m, err := TwoMarkers(front, back, units.Ratio{Best: 0.45, U: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(m.Best-1.2067195) < 0.01 {
		t.Error("the two magnifications were averaged: 1.206720 is 2.3 % wrong")
	}
	// by hand: 1/M = 0.55/1.041667 + 0.45/1.408451 = 0.8475;
	// u(1/M)² = (0.55/1.041667²·0.01)² + (0.45/1.408451²·0.01)² + (0.25·0.05)²
	u := 1.179941 * 1.179941 * math.Sqrt(math.Pow(0.55/1.041667/1.041667*0.01, 2)+math.Pow(0.45/1.408451/1.408451*0.01, 2)+0.0125*0.0125)
	testkit.Near(t, "doubt (by hand, JCGM 100 5.1.2)", m.U, u, 1e-6)
	one := units.Ratio{Best: 1.2}
	for _, tt := range []struct {
		name           string
		front, back, r units.Ratio
		code           string
	}{
		{"swapped", back, front, units.Ratio{Best: 0.45}, "calibrate-contradiction"},
		{"r above one", front, back, units.Ratio{Best: 45}, "calibrate-range"},
		{"r that is no number", front, back, units.Ratio{Best: math.NaN()}, "calibrate-range"},
		{"no front", units.Ratio{}, back, units.Ratio{Best: 0.45}, "calibrate-range"},
		{"doubt that is no number", units.Ratio{Best: 1.2, U: math.NaN()}, one, units.Ratio{Best: 0.45}, "calibrate-range"},
		{"back below one", one, units.Ratio{Best: 0.9}, units.Ratio{Best: 0.45}, "calibrate-range"},
	} {
		if _, err := TwoMarkers(tt.front, tt.back, tt.r); code(err) != tt.code {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.code)
		}
	}
}

func FuzzMagnifications(f *testing.F) {
	f.Add(1150.0, 1000.0, 150.0, 1.15)
	f.Add(0.0, 0.0, 0.0, 0.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e308)
	f.Add(3000.0, 1875.0, 1125.0, 1.6)
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		ok := func(what string, m units.Ratio, err error) {
			if err == nil && !(m.Best >= 1 && m.Best <= 1.6001 && m.U >= 0 && m.U < 10) {
				t.Errorf("%s(%v, %v, %v, %v) = %v", what, a, b, c, d, m)
			}
		}
		m, err := MagnificationFromDistances(units.MM(a), mm(b), mm(c))
		ok("both", m, err)
		m, err = MagnificationFromDistances(units.MM(a), nil, mm(c))
		ok("oid", m, err)
		m, err = TwoMarkers(units.Ratio{Best: a, U: d}, units.Ratio{Best: b}, units.Ratio{Best: c})
		ok("two", m, err)
		if off, err := OffDepth(units.MM(b), units.MM(c), units.MM(a)); err == nil && !(math.Abs(off) <= 1.5) {
			t.Errorf("OffDepth(%v, %v, %v) = %v", b, c, a, off)
		}
		p, _ := Header(Given{PixelSpacing: sp(a, b), ImagerSpacing: sp(c, d), Factor: f64(d), SID: f64(a), SOD: f64(b)})
		if s := float64(p.Row) + float64(p.Col) + p.Rel; math.IsNaN(s) || math.IsInf(s, 0) {
			t.Errorf("Header gave %+v", p)
		}
	})
}

func ExampleTwoMarkers() {
	m, err := TwoMarkers(units.Ratio{Best: 1.408451}, units.Ratio{Best: 1.041667}, units.Ratio{Best: 0.45, U: 0.05})
	fmt.Printf("%.3f ± %.3f, %v\n", m.Best, 2*m.U, err)
	// Output: 1.180 ± 0.035, <nil>
}

func TestCites(t *testing.T) {
	for _, f := range []Formula{BySize, BySID, ByTwo, ByHeights} {
		if len(Cites(f)) == 0 {
			t.Errorf("%s cites nobody", f)
		}
		for _, k := range Cites(f) {
			if _, ok := source.Find(k); !ok {
				t.Errorf("%s cites %s, which is not in the register", f, k)
			}
		}
	}
	if Cites("guess") != nil {
		t.Error("an unknown formula cites somebody")
	}
}
