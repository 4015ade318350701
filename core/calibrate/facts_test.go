package calibrate

import (
	"math"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// offAxis returns 16 points on the shadow of a ball of 25 mm whose centre is
// 1000 mm from the source and so far off the central ray, on a detector at
// 1150 mm with 0.1 mm per pixel: the cone of rays that touch the ball, cut by
// the detector.
func offAxis(off float64) (out []geom.Pt[units.Px]) {
	l := math.Hypot(off, 1000)
	sinH := 12.5 / l
	cosH := math.Sqrt(1 - sinH*sinH)
	ex, ez := off/l, 1000/l // towards the ball; (ez, 0, −ex) and (0, 1, 0) are square to it
	for i := range 16 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 16)
		z := ez*cosH - ex*sinH*c
		out = append(out, at(11500*(ex*cosH+ez*sinH*c)/z, 5000+11500*sinH*s/z))
	}
	return out
}

// Every row of facts 1.1 and of 11.1 to 11.4, by the functions that the app
// calls; what a header says of its plane (11.4b and d) is in TestHeader, rows
// sp_both_equal_uncalibrated and sp_pixelspacing_only_cr. The sources are
// named beside the rows; what is "by hand" is geometry recomputed apart from
// this code.
func TestFacts(t *testing.T) {
	imager := Given{ImagerSpacing: sp(0.143, 0.143)}
	along := func(p Plane, px float64) float64 { return float64(p.Length(at(0, 0), at(0, px), 1, 1).Best) }
	distances := func(sid, oid float64) float64 {
		m, _ := MagnificationFromDistances(units.MM(sid), nil, mm(oid))
		return m.Best
	}
	sized := func(seen float64) float64 {
		m, _ := Magnification(units.Exact(units.MM(seen)), units.Exact(24.5))
		return m.Best
	}
	two := func(r float64) float64 {
		m, _ := TwoMarkers(units.Ratio{Best: 1000.0 / 710}, units.Ratio{Best: 1000.0 / 960}, units.Ratio{Best: r})
		return m.Best
	}
	tilted := func(seen, tilt float64) float64 {
		l, _ := Foreshortening(units.Exact(units.MM(seen)), units.Angle{Best: units.Deg(tilt)})
		return float64(l.Best)
	}
	low := func(h float64) float64 { off, _ := OffDepth(units.MM(h), 150, 1150); return 100 * off }
	byHand, _, _ := Distances(imager, 1150, nil, mm(150))
	byFactor, _ := Header(Given{ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.15)})
	rows, _ := Header(Given{PixelSpacing: sp(0.150, 0.148), Calibration: "FIDUCIAL"})
	_, implied := Header(Given{PixelSpacing: sp(0.1243478, 0.1243478), ImagerSpacing: sp(0.143, 0.143)})
	factor := 0.0
	for _, n := range implied {
		if n.Code == "corrected" && len(n.Facts) == 1 && n.Facts[0].Name == "implied" {
			factor = n.Facts[0].Value
		}
	}
	ball, _, _ := Ball(offAxis(200), 0.3, 25, SquareShape, atBone)
	for _, tt := range []struct {
		row       string
		got, want float64
		tol       float64
		source    string
	}{
		{"1a", distances(1150, 150), 1.15, 1e-9, "DICOM PS3.3 C.8.7.6: SID/SOD"},
		{"1a", distances(1000, 150), 1.17647, 1e-5, "by hand: 1000/850"},
		{"1a", distances(1200, 100), 1.09091, 1e-5, "by hand: 1200/1100"},
		{"1b", along(byHand, 460/0.143), 400, 1e-6, "by hand: 460/1.15"},
		{"1c, 11.1", sized(27.17), 1.10898, 1e-5, "Orthopaedic Proceedings 2006, 88-B Supp II, 247: 10.9 %"},
		{"1c, 11.1", sized(29.40), 1.20000, 1e-5, "the same: 20.0 %"},
		{"1d, 11.4e", float64(rows.Length(at(0, 0), at(400, 2800), 1, 1).Best), 424.152, 0.001, "DICOM PS3.3 10.7.1.3: √(420² + 59.2²)"},
		{"1e, 11.4a", along(byFactor, 3200), 397.913, 0.001, "DICOM PS3.3 10.7.1.1: 457.6/1.15"},
		{"1f, 11.4c", factor, 1.15, 1e-5, "DICOM PS3.3 10.7.1.1: 0.143/0.1243478"},
		{"1g, 11.2", low(120), 3, 1e-9, "by hand: 30/1000; 1 cm is about 1 %, Klever 2022"},
		{"1g, 11.2", low(140), 1, 1e-9, "by hand: 10/1000"},
		{"1g, 11.2", low(160), -1, 1e-9, "by hand: −10/1000"},
		{"1g, 11.2", low(180), -3, 1e-9, "by hand: −30/1000"},
		{"1g, 11.2", low(200), -5, 1e-9, "by hand: −50/1000"},
		{"1h, 11.3", two(0.45), 1.1799410, 1e-6, "by hand: 1000/(1000 − 152.5)"},
		{"1h, 11.3", two(0.40), 1.1627907, 1e-6, "by hand: 1000/(1000 − 140)"},
		{"1h, 11.3", two(0.50), 1.1976048, 1e-6, "by hand: 1000/(1000 − 165)"},
		{"1i", tilted(418.40, 5), 420, 0.006, "by hand: 420·cos 5°"},
		{"1i", tilted(413.62, 10), 420, 0.006, "by hand: 420·cos 10°"},
		{"1i", tilted(405.69, 15), 420, 0.006, "by hand: 420·cos 15°"},
		{"1i", tilted(394.67, 20), 420, 0.006, "by hand: 420·cos 20°"},
		{"1j", 25 / float64(ball.Col) / 10, 28.752, 0.001, "by hand: 2·1150·12.5/√(1000² − 12.5²)"},
	} {
		testkit.Near(t, "facts "+tt.row+" ("+tt.source+")", tt.got, tt.want, tt.tol)
	}
}

// The classic wrong ways, one test each: it works the wrong number out, shows
// that it is far from the right one, and that ours is not it.

func notThis(t *testing.T, what string, got, right, wrong float64) {
	t.Helper()
	if part := math.Abs(wrong/right - 1); !(part > 0.004) {
		t.Fatalf("%s: right %v and wrong %v are too near to tell apart", what, right, wrong)
	}
	if !(math.Abs(got-right) < math.Abs(wrong-right)/100) {
		t.Errorf("%s: got %v, right is %v, the wrong way gives %v", what, got, right, wrong)
	}
}

// Averaging M instead of 1/M: 1.206720, 2.3 % too much.
func TestMagnificationsAreNotAveraged(t *testing.T) {
	front, back := 1000.0/710, 1000.0/960
	m, err := TwoMarkers(units.Ratio{Best: front}, units.Ratio{Best: back}, units.Ratio{Best: 0.45})
	if err != nil {
		t.Fatal(err)
	}
	notThis(t, "facts 1h", m.Best, 1000/847.5, 0.55*back+0.45*front)
}

// Column spacing first: 418.721 mm instead of 424.152.
func TestSpacingsAreNotSwapped(t *testing.T) {
	for name, g := range map[string]Given{
		"fiducial": {PixelSpacing: sp(0.150, 0.148), Calibration: "FIDUCIAL"},
		"factor":   {ImagerSpacing: sp(0.150*1.15, 0.148*1.15), Factor: f64(1.15)},
	} {
		p, _ := Header(g)
		got := float64(p.Length(at(0, 0), at(400, 2800), 1, 1).Best)
		notThis(t, "facts 1d, "+name, got, math.Hypot(2800*0.150, 400*0.148), math.Hypot(2800*0.148, 400*0.150))
	}
}

// Taking the magnification out of a spacing from which it is out already:
// 346.0 mm instead of 397.9.
func TestMagnificationIsNotTakenOutTwice(t *testing.T) {
	p, _ := Header(Given{PixelSpacing: sp(0.143/1.15, 0.143/1.15), ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.15), SID: f64(1150), SOD: f64(1000)})
	got := float64(p.Length(at(0, 0), at(0, 3200), 1, 1).Best)
	notThis(t, "facts 1e and 1f", got, 3200*0.143/1.15, 3200*0.143/1.15/1.15)
	for name, again := range map[string]error{
		"by distances": func() error {
			_, _, err := Distances(Given{PixelSpacing: sp(0.1243, 0.1243), ImagerSpacing: sp(0.143, 0.143)}, 1150, mm(1000), nil)
			return err
		}(),
		"by a usual factor": func() error {
			_, _, err := Assumed(Given{PixelSpacing: sp(0.1243, 0.1243), ImagerSpacing: sp(0.143, 0.143)}, 1.15)
			return err
		}(),
	} {
		if code(again) != "calibrate-corrected" {
			t.Errorf("%s: %v, want a refusal: it would be taken out twice", name, again)
		}
	}
}

// The long axis of a ball far off the central ray: 2.0 % too large a shadow,
// so that lengths read 2 % short.
func TestBallIsNotMeasuredAlongItsLongAxis(t *testing.T) {
	rim := offAxis(200)
	e, err := geom.FitEllipse(rim)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "long axis in mm (facts 1j, projected by hand)", 0.2*float64(e.Long), 29.322, 0.001)
	p, _, err := Ball(rim, 0.3, 25, SquareShape, atBone)
	if err != nil {
		t.Fatal(err)
	}
	notThis(t, "facts 1j", float64(p.Col), 25/(2*1150*12.5/math.Sqrt(1000*1000-12.5*12.5))/10, 25/29.322/10)
}

// The short axis of a tilted disc: at 25° lengths would read 10 % long. A disc
// is as wide as it is only across its tilt.
func TestDiscIsNotMeasuredAlongItsShortAxis(t *testing.T) {
	for _, tilt := range []float64{15, 25, 40} {
		cos := math.Cos(tilt * math.Pi / 180)
		p, _, err := Disc(rim(12, 400, 400, 245, 245*cos, -35, SquareShape), 0.3, 24.5, SquareShape, atBone)
		if err != nil {
			t.Fatal(err)
		}
		notThis(t, "disc, by hand", float64(p.Col), 0.1, 0.1/cos)
	}
}
