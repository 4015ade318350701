package calibrate

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func sp(row, col float64) *[2]float64 { return &[2]float64{row, col} }
func f64(v float64) *float64          { return &v }
func mm(v float64) *units.MM          { m := units.MM(v); return &m }

func codes(ns []Notice) []string {
	var out []string
	for _, n := range ns {
		out = append(out, n.Code)
	}
	return out
}

// Each row is the tags of one film below testdata/films or one combination
// that the standard allows.
func TestHeader(t *testing.T) {
	for _, tt := range []struct {
		name     string
		g        Given
		origin   Origin
		usable   bool
		row, col float64
		rel      float64
		must     []string // notices
		source   string
	}{
		{"sp_imager_only", Given{Modality: "DX", ImagerSpacing: sp(1.6, 1.6)}, AtDetector, false, 1.6, 1.6, 0,
			[]string{"at-detector"}, "DICOM PS3.3 10.7.1.1: Imager Pixel Spacing is at the detector"},
		{"sp_both_equal_uncalibrated", Given{Modality: "DX", PixelSpacing: sp(1.6, 1.6), ImagerSpacing: sp(1.6, 1.6)}, AtDetector, false, 1.6, 1.6, 0,
			[]string{"at-detector"}, "DICOM PS3.3 10.7.1.1: equal values are not corrected"},
		{"sp_both_fiducial", Given{Modality: "DX", PixelSpacing: sp(1.6, 1.6), ImagerSpacing: sp(1.84, 1.84), Calibration: "FIDUCIAL"}, Fiducial, true, 1.6, 1.6, 0.015,
			[]string{"fiducial", "implied-factor"}, "DICOM PS3.3 10.7.1.2; doubt by hand: 15 mm / 1000 mm"},
		{"sp_both_geometry", Given{Modality: "DX", PixelSpacing: sp(1.6, 1.6), ImagerSpacing: sp(1.84, 1.84), Calibration: "GEOMETRY"}, Geometry, true, 1.6, 1.6, 4.1 / 114.1,
			[]string{"geometry", "implied-factor"}, "DICOM PS3.3 10.7.1.2; doubt Wangjiraphan: 4.1/114.1"},
		{"sp_imager_ermf_1p15", Given{Modality: "DX", ImagerSpacing: sp(1.84, 1.84), Factor: f64(1.15), SID: f64(1150), SOD: f64(1000)}, MachineGuess, true, 1.6, 1.6, 4.1 / 114.1,
			[]string{"machine-factor"}, "by hand: 1.84 / 1.15"},
		{"sp_imager_sid_sod_no_ermf", Given{Modality: "DX", ImagerSpacing: sp(1.84, 1.84), SID: f64(1150), SOD: f64(1000)}, AtDetector, false, 1.84, 1.84, 0,
			[]string{"distances-offered", "at-detector"}, "DICOM PS3.3 C.8.7.6: the SOD is to the patient, so it is only offered"},
		{"sp_pixelspacing_only_cr", Given{Modality: "CR", PixelSpacing: sp(1.6, 1.6)}, UnknownTags, false, 1.6, 1.6, 0,
			[]string{"unknown-plane"}, "DICOM PS3.3 10.7.1.1: without 1164, 2010 and 0A02 nothing is known"},
		{"sp_decimal_comma, as read", Given{Modality: "DX", PixelSpacing: sp(1.6, 1.6)}, UnknownTags, false, 1.6, 1.6, 0,
			[]string{"unknown-plane"}, "as above; the comma is core/radiograph's"},
		{"sp_nonsquare", Given{Modality: "DX", PixelSpacing: sp(1.6, 0.8)}, UnknownTags, false, 1.6, 0.8, 0,
			[]string{"unknown-plane"}, "DICOM PS3.3 10.7.1.3: row spacing first"},
		{"sp_one_placeholder", Given{Modality: "DX", PixelSpacing: sp(1, 1)}, NoOrigin, false, 0, 0, 0,
			[]string{"spacing-placeholder", "no-spacing"}, "converters write 1\\1 when they do not know (331_DDH films)"},
		{"sp_zero", Given{Modality: "DX", PixelSpacing: sp(0, 0)}, NoOrigin, false, 0, 0, 0,
			[]string{"spacing-range", "no-spacing"}, "by hand: no pixel has no size"},
		{"sp_none", Given{Modality: "DX"}, NoOrigin, false, 0, 0, 0, []string{"no-spacing"}, "by hand"},
		{"sp_aspect_only", Given{Modality: "DX", Aspect: &[2]int{2, 1}}, NoOrigin, false, 0, 0, 0, []string{"no-spacing"}, "an aspect ratio holds no millimetres"},
		{"cal_ball25_ruler_mag1p20_ips0p2", Given{Modality: "DX", ImagerSpacing: sp(0.2, 0.2)}, AtDetector, false, 0.2, 0.2, 0,
			[]string{"at-detector"}, "as sp_imager_only"},
		{"different without a type", Given{PixelSpacing: sp(0.1243478, 0.1243478), ImagerSpacing: sp(0.143, 0.143)}, Corrected, true, 0.1243478, 0.1243478, 4.1 / 114.1,
			[]string{"corrected"}, "DICOM PS3.3 10.7.1.1: different values are corrected; implied 0.143/0.1243478 = 1.1500"},
		{"digitised film with a factor", Given{ScannedSpacing: sp(0.23, 0.23), Factor: f64(1.15)}, MachineGuess, true, 0.2, 0.2, 4.1 / 114.1,
			[]string{"machine-factor"}, "by hand: 0.23 / 1.15"},
		{"equal to the scanned spacing", Given{PixelSpacing: sp(0.2, 0.2), ScannedSpacing: sp(0.2, 0.2)}, AtDetector, false, 0.2, 0.2, 0,
			[]string{"at-detector"}, "DICOM PS3.3 10.7.1.1"},
		{"equal, with a factor", Given{PixelSpacing: sp(0.143, 0.143), ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.1)}, MachineGuess, true, 0.13, 0.13, 4.1 / 114.1,
			[]string{"machine-factor"}, "by hand: 0.143 / 1.1, once"},
		{"corrected, with a factor as well: never divided twice", Given{PixelSpacing: sp(0.13, 0.13), ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.1)}, Corrected, true, 0.13, 0.13, 4.1 / 114.1,
			[]string{"corrected"}, "by hand: 0.143 / 0.13 = 1.1 has been taken out already"},
		{"fiducial alone", Given{PixelSpacing: sp(0.15, 0.148), Calibration: " fiducial "}, Fiducial, true, 0.15, 0.148, 0.015,
			[]string{"fiducial"}, "DICOM PS3.3 10.7.1.2"},
		{"calibrated, yet equal to the detector's", Given{PixelSpacing: sp(0.143, 0.143), ImagerSpacing: sp(0.143, 0.143), Calibration: "FIDUCIAL"}, AtDetector, false, 0.143, 0.143, 0,
			[]string{"calibration-contradict", "at-detector"}, "by hand: a factor of 1 would put the bone in the detector"},
		{"smaller than the bone: impossible", Given{PixelSpacing: sp(0.2, 0.2), ImagerSpacing: sp(0.143, 0.143), Calibration: "FIDUCIAL"}, UnknownTags, false, 0.2, 0.2, 0,
			[]string{"implied-range"}, "by hand: 0.143/0.2 = 0.715; a shadow is never smaller than the bone"},
		{"implied factor differs in rows and columns", Given{PixelSpacing: sp(0.13, 0.12), ImagerSpacing: sp(0.143, 0.143)}, UnknownTags, false, 0.13, 0.12, 0,
			[]string{"implied-range"}, "by hand: 1.10 and 1.19 cannot both be the magnification"},
		{"unknown calibration type", Given{PixelSpacing: sp(0.13, 0.13), Calibration: "BALL"}, UnknownTags, false, 0.13, 0.13, 0,
			[]string{"calibration-unknown", "unknown-plane"}, "DICOM PS3.3 10.7.1.2: two values are defined"},
		{"factor of one", Given{ImagerSpacing: sp(0.143, 0.143), Factor: f64(1)}, AtDetector, false, 0.143, 0.143, 0,
			[]string{"factor-range", "at-detector"}, "by hand: no bone lies in the detector"},
		{"factor that is no number", Given{ImagerSpacing: sp(0.143, 0.143), Factor: f64(math.NaN())}, AtDetector, false, 0.143, 0.143, 0,
			[]string{"factor-range", "at-detector"}, "by hand"},
		{"factor not SID over SOD", Given{ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.1), SID: f64(1150), SOD: f64(1000)}, MachineGuess, true, 0.13, 0.13, math.Hypot(4.1/114.1, 1-1.1/1.15),
			[]string{"factor-differs", "machine-factor"}, "DICOM PS3.3 C.8.7.6; doubt by hand"},
		{"SOD beyond the detector", Given{ImagerSpacing: sp(0.143, 0.143), SID: f64(1150), SOD: f64(1200)}, AtDetector, false, 0.143, 0.143, 0,
			[]string{"distances-range", "at-detector"}, "by hand: the patient is in front of the detector"},
		{"spacing that is no number", Given{PixelSpacing: sp(math.NaN(), 0.2), ImagerSpacing: sp(math.Inf(1), 1)}, NoOrigin, false, 0, 0, 0,
			[]string{"spacing-range", "no-spacing"}, "by hand"},
		{"spacing of 0.2\\0\\… as two values", Given{ImagerSpacing: sp(0.2, 0)}, NoOrigin, false, 0, 0, 0, []string{"spacing-range"}, "by hand"},
		{"spacing in micrometres", Given{ImagerSpacing: sp(143, 143)}, NoOrigin, false, 0, 0, 0, []string{"spacing-range"}, "by hand"},
		{"pixels no reader makes", Given{ImagerSpacing: sp(1.9, 0.1)}, NoOrigin, false, 0, 0, 0, []string{"spacing-shape"}, "from memory"},
		{"placeholder beside a detector spacing", Given{PixelSpacing: sp(1, 1), ImagerSpacing: sp(0.2, 0.2)}, AtDetector, false, 0.2, 0.2, 0,
			[]string{"spacing-placeholder", "at-detector"}, "by hand"},
		{"a slice, not a radiograph", Given{Modality: "CT", PixelSpacing: sp(0.7, 0.7)}, UnknownTags, false, 0.7, 0.7, 0, []string{"not-a-radiograph"}, "by hand"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, ns := Header(tt.g)
			if p.Origin != tt.origin || p.Usable() != tt.usable {
				t.Errorf("origin %q usable %v, want %q %v (%s)", p.Origin, p.Usable(), tt.origin, tt.usable, tt.source)
			}
			testkit.Near(t, "row", float64(p.Row), tt.row, 1e-9)
			testkit.Near(t, "col", float64(p.Col), tt.col, 1e-9)
			testkit.Near(t, "rel", p.Rel, tt.rel, 1e-6)
			for _, m := range tt.must {
				if !slices.Contains(codes(ns), m) {
					t.Errorf("notices %v, want %s among them", codes(ns), m)
				}
			}
			if _, err := json.Marshal(ns); err != nil {
				t.Errorf("notices cannot be written: %v", err)
			}
		})
	}
}

// facts 11.4: five worked examples of DICOM PS3.3 10.7.
func TestWorkedExamples(t *testing.T) {
	a, _ := Header(Given{ImagerSpacing: sp(0.143, 0.143), Factor: f64(1.15)})
	l := a.Length(at(0, 0), at(0, 3200), 1, 1)
	testkit.Near(t, "3200 px at 0.143 / 1.15 (by hand: 457.6 / 1.15)", float64(l.Best), 397.913, 0.001)

	e, _ := Header(Given{PixelSpacing: sp(0.150, 0.148), Calibration: "FIDUCIAL"})
	l = e.Length(at(0, 0), at(400, 2800), 1, 1)
	testkit.Near(t, "Δrow 2800, Δcol 400 at 0.150\\0.148 (by hand: √(420² + 59.2²))", float64(l.Best), 424.152, 0.001)
	if math.Abs(float64(l.Best)-418.721) < 1 {
		t.Error("row and column spacing are swapped: √((2800·0.148)² + (400·0.150)²) = 418.721")
	}
}

func at(x, y float64) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: units.Px(x), Y: units.Px(y)} }

func TestShapeOf(t *testing.T) {
	for _, tt := range []struct {
		name string
		g    Given
		want float64
		must string
	}{
		{"nothing said", Given{}, 1, ""},
		{"aspect only (vertical\\horizontal)", Given{Aspect: &[2]int{2, 1}}, 2, ""},
		{"spacing, row first", Given{PixelSpacing: sp(1.6, 0.8)}, 2, ""},
		{"placeholder says nothing", Given{PixelSpacing: sp(1, 1), Aspect: &[2]int{2, 1}}, 2, ""},
		{"zero says nothing", Given{PixelSpacing: sp(0, 0), ImagerSpacing: sp(0.2, 0.1)}, 2, ""},
		{"they disagree: the spacing is followed", Given{PixelSpacing: sp(0.2, 0.2), Aspect: &[2]int{2, 1}}, 1, "shape-differs"},
		{"impossible aspect", Given{Aspect: &[2]int{0, 0}}, 1, "aspect-range"},
		{"aspect over zero", Given{Aspect: &[2]int{1, 0}}, 1, "aspect-range"},
	} {
		s, ns := ShapeOf(tt.g)
		testkit.Near(t, tt.name+" (DICOM PS3.3 10.7.1.3, C.7.6.3.1.7)", s.RowPerCol, tt.want, 1e-9)
		if tt.must != "" && !slices.Contains(codes(ns), tt.must) {
			t.Errorf("%s: notices %v, want %s", tt.name, codes(ns), tt.must)
		}
	}
	if (Plane{}).Shape().Valid() {
		t.Error("a plane without spacing has a shape")
	}
	testkit.Near(t, "shape of a plane", (Plane{Row: 0.3, Col: 0.2}).Shape().RowPerCol, 1.5, 1e-9)
}

// A film whose scale is not that of the bone never gives a length: its zero
// plane and every detector plane are not usable.
func TestUsable(t *testing.T) {
	for _, p := range []Plane{
		{},
		{Row: 0.1, Col: 0.1, Origin: AtDetector},
		{Row: 0.1, Col: 0.1, Origin: UnknownTags},
		{Row: 0, Col: 0.1, Origin: FromRuler},
		{Row: 0.1, Col: -0.1, Origin: FromRuler},
		{Row: units.MM(math.NaN()), Col: 0.1, Origin: FromRuler},
		{Row: 0.1, Col: units.MM(math.Inf(1)), Origin: FromRuler},
		{Row: 0.1, Col: 0.1, Rel: math.NaN(), Origin: FromRuler},
		{Row: 0.1, Col: 0.1, Rel: -0.1, Origin: FromRuler},
	} {
		if p.Usable() {
			t.Errorf("%+v is called usable", p)
		}
	}
}
