package calibrate

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func film(o Origin, col, rel float64) Plane {
	return Plane{Row: units.MM(col), Col: units.MM(col), Rel: rel, Origin: o, Sources: []source.Key{source.Geometry}}
}

func TestReconcile(t *testing.T) {
	for _, tt := range []struct {
		name     string
		ps       []Plane
		origin   Origin
		col, rel float64
		used     []int
		disputed bool
		must     string
		source   string
	}{
		{"one marker", []Plane{film(FromBallMark, 0.2, 0.02)}, FromBallMark, 0.2, 0.02, []int{0}, false, "", "by hand: itself"},
		{"two equal markers", []Plane{film(FromBallMark, 0.2, 0.02), film(FromRuler, 0.2, 0.02)}, Combined, 0.2, 0.02 / math.Sqrt2, []int{0, 1}, false, "",
			"by hand: u/√2"},
		{"weights 1 : 4", []Plane{film(FromBallMark, 0.200, 0.02), film(FromRuler, 0.202, 0.01)}, Combined, 0.2 * math.Pow(1.01, 0.8), 1 / math.Sqrt(12500), []int{0, 1}, false, "",
			"by hand: weights 2500 and 10000, so the ruler counts four fifths; u = 1/√12500"},
		{"a marker and the machine agree: the marker alone", []Plane{film(MachineGuess, 0.205, 0.036), film(FromBallMark, 0.2, 0.02)}, FromBallMark, 0.2, 0.02, []int{1}, false, "lower-trust",
			"trust order: the machine's guess is not averaged in"},
		{"a fiducial above geometry", []Plane{film(Geometry, 0.21, 0.036), film(Fiducial, 0.2, 0.015)}, Fiducial, 0.2, 0.015, []int{1}, false, "lower-trust", "DICOM PS3.3 10.7.1.2"},
		{"distances above the machine", []Plane{film(MachineGuess, 0.21, 0.036), film(ByDistances, 0.2, 0.017)}, ByDistances, 0.2, 0.017, []int{1}, false, "lower-trust", "trust order"},
		{"a marker far from the usual factor wins", []Plane{film(AssumedSite, 0.23, 0.036), film(FromBallMark, 0.2, 0.015)}, FromBallMark, 0.2, 0.015, []int{1}, false, "cross-check",
			"by hand: ln 1.15 = 0.14 > 2·0.039, but a usual factor says nothing about this film"},
		{"planes at the detector are no evidence", []Plane{film(AtDetector, 0.23, 0), film(UnknownTags, 0.23, 0), film(FromBallMark, 0.2, 0.02)}, FromBallMark, 0.2, 0.02, []int{2}, false, "", "DICOM PS3.3 10.7.1.1"},
		{"two markers disagree", []Plane{film(FromBallMark, 0.2, 0.01), film(FromRuler, 0.21, 0.01)}, NoOrigin, 0, 0, []int{0, 1}, true, "dispute",
			"by hand: ln 1.05 = 0.049 > 2·0.0141"},
		{"they differ by just under 2 u", []Plane{film(FromBallMark, 0.2, 0.01), film(FromRuler, 0.2*math.Exp(0.0282), 0.01)}, Combined, 0.2 * math.Exp(0.0141), 0.01 / math.Sqrt2, []int{0, 1}, false, "",
			"by hand: 0.0282 < 2·√2·0.01 = 0.02828"},
		{"they differ by just over 2 u", []Plane{film(FromBallMark, 0.2, 0.01), film(FromRuler, 0.2*math.Exp(0.0284), 0.01)}, NoOrigin, 0, 0, []int{0, 1}, true, "dispute",
			"by hand: 0.0284 > 0.02828"},
		{"a wrong ball: 30 mm taken for 25 mm", []Plane{film(FromBallMark, 0.24, 0.02), film(MachineGuess, 0.2, 0.036)}, NoOrigin, 0, 0, []int{0}, true, "dispute",
			"by hand: ln 1.2 = 0.18 > 2·0.041: evidence about this film must be settled"},
		{"four markers, no pair apart, just within together", slices.Repeat([]Plane{film(FromBallMark, 0.2, 0.01), film(FromRuler, 0.2*math.Exp(0.0282), 0.01)}, 2),
			Combined, 0.2 * math.Exp(0.0141), 0.005, []int{0, 1, 2, 3}, false, "", "by hand: χ² = 4·1.41² = 7.95; 3 degrees of freedom allow 8.02"},
		{"eight markers, no pair apart, together too far", slices.Repeat([]Plane{film(FromBallMark, 0.2, 0.01), film(FromRuler, 0.2*math.Exp(0.0282), 0.01)}, 4),
			NoOrigin, 0, 0, []int{0, 1, 2, 3, 4, 5, 6, 7}, true, "dispute", "by hand: χ² = 8·1.41² = 15.9; 7 degrees of freedom allow 14.3"},
		{"other pixel shape", []Plane{{Row: 0.2, Col: 0.2, Rel: 0.01, Origin: FromBallMark}, {Row: 0.4, Col: 0.2, Rel: 0.01, Origin: FromRuler}}, NoOrigin, 0, 0, []int{0, 1}, true, "dispute",
			"by hand: rows differ by ln 2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r, err := Reconcile(tt.ps)
			if err != nil {
				t.Fatal(err)
			}
			if r.Plane.Origin != tt.origin || r.Disputed != tt.disputed || !slices.Equal(r.Used, tt.used) {
				t.Errorf("origin %q used %v disputed %v, want %q %v %v (%s)", r.Plane.Origin, r.Used, r.Disputed, tt.origin, tt.used, tt.disputed, tt.source)
			}
			testkit.Near(t, "col", float64(r.Plane.Col), tt.col, 1e-9)
			testkit.Near(t, "rel", r.Plane.Rel, tt.rel, 1e-9)
			if tt.must != "" && !slices.Contains(codes(r.Notices), tt.must) {
				t.Errorf("notices %v, want %s", codes(r.Notices), tt.must)
			}
			var d *DisputeError
			if errors.As(r.Err(), &d) != tt.disputed {
				t.Errorf("Err() = %v, disputed %v", r.Err(), tt.disputed)
			}
			if tt.disputed && r.Plane.Usable() {
				t.Error("a disputed film gives lengths")
			}
		})
	}
}

func TestReconcileRefuses(t *testing.T) {
	for _, ps := range [][]Plane{nil, {{}}, {film(AtDetector, 0.2, 0)}, {film(UnknownTags, 0.2, 0), film(NoOrigin, 0.2, 0)},
		{film(FromBallMark, math.NaN(), 0.01)}, {film(FromBallMark, 0.2, math.NaN())}, {film(FromBallMark, -0.2, 0.01)}} {
		if r, err := Reconcile(ps); code(err) != "calibrate-missing" || r.Plane.Usable() {
			t.Errorf("%v: %v, want calibrate-missing", ps, err)
		}
	}
}

// Laws: the order of the evidence does not matter; agreeing evidence never
// makes the doubt larger; a common scale factor goes through.
func TestReconcileLaws(t *testing.T) {
	ps := []Plane{film(FromBallMark, 0.2, 0.02), film(FromRuler, 0.203, 0.015), film(FromDiscMark, 0.199, 0.03), film(MachineGuess, 0.2, 0.036)}
	a, err1 := Reconcile(ps)
	back := slices.Clone(ps)
	slices.Reverse(back)
	b, err2 := Reconcile(back)
	if err1 != nil || err2 != nil || a.Disputed || b.Disputed {
		t.Fatal(err1, err2, a, b)
	}
	testkit.Near(t, "order", float64(a.Plane.Col), float64(b.Plane.Col), 1e-15)
	if !(a.Plane.Rel < 0.015) {
		t.Errorf("combined doubt %v is not below the best piece's 0.015", a.Plane.Rel)
	}
	if lo, hi := 0.199, 0.203; !(float64(a.Plane.Col) > lo && float64(a.Plane.Col) < hi) {
		t.Errorf("combined scale %v lies outside %v…%v", a.Plane.Col, lo, hi)
	}
	for i := range back {
		back[i].Row, back[i].Col = back[i].Row*3, back[i].Col*3
	}
	c, _ := Reconcile(back)
	testkit.Near(t, "scale", float64(c.Plane.Col), 3*float64(a.Plane.Col), 1e-12)
}

// The table of χ² recomputed by integrating its density.
func TestChi2Table(t *testing.T) {
	for k := 1; k <= 9; k++ {
		limit := chi2Limit(k)
		// with x = y², the integral of 2·y^(k−1)·e^(−y²/2) / (2^(k/2)·Γ(k/2)), Simpson's rule
		const n = 2000
		h := math.Sqrt(limit) / n
		f := func(y float64) float64 {
			return 2 * math.Pow(y, float64(k)-1) * math.Exp(-y*y/2) / (math.Pow(2, float64(k)/2) * math.Gamma(float64(k)/2))
		}
		sum := f(0) + f(n*h)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i%2)) * f(float64(i)*h)
		}
		testkit.Near(t, "chance below the limit (2 standard deviations of a normal: 0.9545)", sum*h/3, 0.9545, 0.002)
	}
}

// Every notice has its words, and every word in braces has its fact.
func TestNoticesHaveWords(t *testing.T) {
	seen := map[string]bool{}
	use := func(ns []Notice) {
		for _, n := range ns {
			seen[n.Code] = true
			if s := n.Text(); strings.ContainsAny(s, "{}") || s == "calibrate: "+n.Code {
				t.Errorf("%s: %q", n.Code, s)
			}
		}
	}
	header := func(g Given) { _, ns := Header(g); use(ns) }
	header(Given{})
	header(Given{Modality: "CT", PixelSpacing: sp(0.7, 0.7)})
	header(Given{ImagerSpacing: sp(0, 0), PixelSpacing: sp(1, 1), ScannedSpacing: sp(1.9, 0.1), Aspect: &[2]int{0, 1}})
	header(Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1150), SOD: f64(1000), Factor: f64(3)})
	header(Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1150), SOD: f64(1000), Factor: f64(1.1), Aspect: &[2]int{2, 1}})
	header(Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1150), SOD: f64(2000)})
	header(Given{PixelSpacing: sp(0.13, 0.13), ImagerSpacing: sp(0.143, 0.143), Calibration: "FIDUCIAL", CalibrationBy: "ball of 25 mm"})
	header(Given{PixelSpacing: sp(0.13, 0.13), ImagerSpacing: sp(0.143, 0.143), Calibration: "GEOMETRY"})
	header(Given{PixelSpacing: sp(0.13, 0.13), ImagerSpacing: sp(0.143, 0.143)})
	header(Given{PixelSpacing: sp(0.143, 0.143), ImagerSpacing: sp(0.143, 0.143), Calibration: "GEOMETRY"})
	header(Given{PixelSpacing: sp(0.2, 0.2), ImagerSpacing: sp(0.143, 0.143)})
	header(Given{PixelSpacing: sp(0.2, 0.2), Calibration: "BALL"})
	marks := func(n int, slip units.Px, long, short float64, d Depth) {
		pts := rim(n, 500, 500, long, short, 0, SquareShape)
		pts[0] = pts[0].Plus(at(float64(n%2)*3, 0))
		_, ns, _ := Ball(pts, slip, 25, SquareShape, d)
		use(ns)
	}
	marks(4, 1, 150, 150, Depth{})
	marks(9, 0.2, 150, 150, atBone)
	marks(12, 0.3, 165, 150, Depth{HBone: mm(150)})
	marks(6, 1, 150, 150, Depth{AtBone: true, HMarker: mm(100), HBone: mm(150), SID: mm(1150)})
	_, ns, _ := Distances(Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1800)}, 1150, mm(1000), nil)
	use(ns)
	_, ns, _ = Assumed(Given{ImagerSpacing: sp(0.143, 0.143)}, 1.141)
	use(ns)
	for _, p := range []Plane{film(AssumedSite, 0.3, 0.036), film(MachineGuess, 0.2, 0.03), film(MachineGuess, 0.3, 0.03)} {
		r, _ := Reconcile([]Plane{film(FromBallMark, 0.2, 0.02), p})
		use(r.Notices)
	}
	photoNotices(use)
	_, ns, _ = TwoBalls(seenAt(1000, 40, 25), seenAt(1000, 290, 25), 0.5, 0.45, SquareShape)
	use(ns)
	_, ns, _ = KnownPart(at(0, 0), at(0, 900), 0.5, 100, true, SquareShape, atBone)
	use(ns)
	for c := range sentences {
		if !seen[c] {
			t.Errorf("no test shows the notice %q", c)
		}
	}
}

// Every error says its code and what to do.
func TestErrorsHaveWords(t *testing.T) {
	for _, err := range []interface {
		error
		Code() string
	}{
		&MissingError{For: "a scale", Fields: []string{"a", "b"}, Do: "do it"},
		&OutOfRangeError{Name: "SID", Got: math.NaN(), Lo: 1, Hi: 2, Do: "do it"},
		&SmallMarkerError{Kind: FromRuler, Got: 5, Need: 100},
		&SmallMarkerError{Kind: FromDiscMark, Got: 5, Need: 40},
		&NotRoundError{Ratio: 2, Limit: 1.5},
		&NotRoundError{RMS: 2, R: 20},
		&VagueError{Rel: 0.2, Limit: 0.05},
		&CorrectedError{Implied: 1.15},
		&ContradictionError{What: "x", A: 1, B: 2, Do: "do it"},
		&DisputeError{A: FromRuler, B: Origin("?"), Differ: 0.1, Doubt: 0.02},
	} {
		if s := err.Error(); !strings.HasPrefix(s, "calibrate: ") || strings.Count(s, ":") < 2 || strings.Contains(s, "NaN") || !strings.HasPrefix(err.Code(), "calibrate-") {
			t.Errorf("%s: %q", err.Code(), s)
		}
	}
}
