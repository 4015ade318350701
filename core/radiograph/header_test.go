package radiograph

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/testkit"
)

func pair(a, b float64) *[2]float64 { return &[2]float64{a, b} }

func show(v any) string {
	switch p := v.(type) {
	case *[2]float64:
		if p == nil {
			return "nil"
		}
		return fmt.Sprint(*p)
	case *[2]int:
		if p == nil {
			return "nil"
		}
		return fmt.Sprint(*p)
	case *float64:
		if p == nil {
			return "nil"
		}
		return fmt.Sprint(*p)
	}
	return fmt.Sprint(v)
}

// What the header says about size, for one file a property.
// Source: the list of the films' makers (PROVENANCE.md), checked with dcmdump.
func TestSizeTags(t *testing.T) {
	f := func(v float64) *float64 { return &v }
	for _, tt := range []struct {
		file string
		want Tags
		note Note
	}{
		{"variants/sp_none.dcm", Tags{Modality: "DX"}, ""},
		{"variants/sp_imager_only.dcm", Tags{Modality: "DX", ImagerSpacing: pair(1.6, 1.6)}, ""},
		{"variants/sp_both_equal_uncalibrated.dcm", Tags{Modality: "DX", PixelSpacing: pair(1.6, 1.6), ImagerSpacing: pair(1.6, 1.6)}, ""},
		{"variants/sp_both_fiducial.dcm", Tags{Modality: "DX", PixelSpacing: pair(1.6, 1.6), ImagerSpacing: pair(1.84, 1.84), Calibration: "FIDUCIAL", CalibrationBy: "25 mm ball"}, ""},
		{"variants/sp_both_geometry.dcm", Tags{Modality: "DX", PixelSpacing: pair(1.6, 1.6), ImagerSpacing: pair(1.84, 1.84), Calibration: "GEOMETRY", CalibrationBy: "1.15"}, ""},
		{"variants/sp_imager_ermf_1p15.dcm", Tags{Modality: "DX", ImagerSpacing: pair(1.84, 1.84), Factor: f(1.15), SID: f(1150), SOD: f(1000)}, ""},
		{"variants/sp_nonsquare.dcm", Tags{Modality: "DX", PixelSpacing: pair(1.6, 0.8)}, ""},
		{"variants/sp_aspect_only.dcm", Tags{Modality: "DX", Aspect: &[2]int{2, 1}}, ""},
		{"variants/sp_decimal_comma.dcm", Tags{Modality: "DX", PixelSpacing: pair(1.6, 1.6)}, DecimalComma},
		{"variants/sp_pixelspacing_only_cr.dcm", Tags{Modality: "CR", PixelSpacing: pair(1.6, 1.6)}, ""},
		{"variants/sp_one_placeholder.dcm", Tags{Modality: "DX"}, Placeholder},
		{"variants/sp_zero.dcm", Tags{Modality: "DX"}, SpacingRange},
		{"real/RG2_JPLL.dcm", Tags{Modality: "CR", PixelSpacing: pair(0.2, 0.2)}, ""},
		{"real/RG2_JPLY.dcm", Tags{Modality: "CR", PixelSpacing: pair(0.2, 0.2)}, LossyFilm},
		{"real/331_DDH_1.dcm", Tags{Modality: "DX"}, Placeholder},
		{"odd/SC_rgb_small_odd_jpeg.dcm", Tags{Modality: "OT"}, SpacingRange},
		{"odd/CT_small.dcm", Tags{Modality: "CT", PixelSpacing: pair(0.661468, 0.661468), SID: f(1099.3100585938), SOD: f(630)}, ""},
	} {
		t.Run(tt.file, func(t *testing.T) {
			h, err := ReadHeader(testkit.Read(t, "films/"+tt.file))
			if err != nil {
				t.Fatal(err)
			}
			got, isDICOM := h.Tags()
			if !isDICOM {
				t.Error("not DICOM")
			}
			for what, v := range map[string][2]any{
				"modality": {got.Modality, tt.want.Modality}, "spacing": {got.PixelSpacing, tt.want.PixelSpacing},
				"imager": {got.ImagerSpacing, tt.want.ImagerSpacing}, "scanned": {got.ScannedSpacing, tt.want.ScannedSpacing},
				"type": {got.Calibration, tt.want.Calibration}, "by": {got.CalibrationBy, tt.want.CalibrationBy},
				"factor": {got.Factor, tt.want.Factor}, "SID": {got.SID, tt.want.SID}, "SOD": {got.SOD, tt.want.SOD},
				"aspect": {got.Aspect, tt.want.Aspect},
			} {
				if show(v[0]) != show(v[1]) {
					t.Errorf("%s is %s, want %s", what, show(v[0]), show(v[1]))
				}
			}
			if tt.note != "" && !noted(h, tt.note) || tt.note == "" && len(h.Warnings) > 0 {
				t.Errorf("notes %v, want %q", h.Warnings, tt.note)
			}
		})
	}
}

func TestPictureHasNoTags(t *testing.T) {
	h, err := ReadHeader(testkit.Read(t, "films/photo/rg2_8bit.png"))
	if tags, ok := h.Tags(); err != nil || ok || tags.PixelSpacing != nil {
		t.Errorf("%v, %v, %v", err, ok, tags)
	}
}

// Source: DICOM PS3.5, 6.2 (DS); by hand for the faults.
func TestDecimal(t *testing.T) {
	for _, tt := range []struct {
		text  string
		want  float64
		comma bool
		ok    bool
	}{
		{"0.143", 0.143, false, true},
		{" 0.143 ", 0.143, false, true},
		{"0.143\x00", 0.143, false, true},
		{"+1450.0", 1450, false, true},
		{"1.0000000e-6", 1e-6, false, true},
		{"-.5", -0.5, false, true},
		{"0,143", 0.143, true, true},
		{"1,5e1", 15, true, true},
		{"0.1,0.1", 0, false, false},
		{"0,1,0,1", 0, false, false},
		{"", 0, false, false},
		{"1A", 0, false, false},
		{"NaN", 0, false, false},
		{"Inf", 0, false, false},
		{"0x10", 0, false, false},
		{"1_000", 0, false, false},
		{"1e999", 0, false, false},
		{"1 2", 0, false, false},
		{"--1", 0, false, false},
		{"111111111111111111111111111111111", 0, false, false},
	} {
		got, comma, ok := decimal(tt.text)
		if ok != tt.ok || comma != tt.comma || got != tt.want || math.IsNaN(got) {
			t.Errorf("decimal(%q) = %v, %v, %v, want %v, %v, %v", tt.text, got, comma, ok, tt.want, tt.comma, tt.ok)
		}
	}
}

// By hand: Latin-1 bytes are not UTF-8 and become letters; controls go.
func TestCleanText(t *testing.T) {
	for text, want := range map[string]string{
		"25 mm ball ":    "25 mm ball",
		"K\xfcgel\x00":   "Kügel",
		"Żaneta":         "Żaneta",
		"a\x1b[31mb\r\n": "a[31mb",
	} {
		if got := cleanText([]byte(text)); got != want {
			t.Errorf("cleanText(%q) = %q, want %q", text, got, want)
		}
	}
	long := make([]byte, 5000)
	for i := range long {
		long[i] = 'x'
	}
	if got := len(cleanText(long)); got != maxText {
		t.Errorf("%d runes kept, want %d", got, maxText)
	}
}

func TestSniff(t *testing.T) {
	for file, want := range map[string]Kind{
		"films/variants/st_explicit_le.dcm":         DICOM,
		"films/variants/st_no_preamble.dcm":         DICOM,
		"films/odd/ExplVR_BigEndNoMeta.dcm":         DICOM,
		"films/odd/JLSL_RGB_ILV0.dcm":               DICOM,
		"broken/films/jpeg_named.dcm":               JPEG,
		"films/photo/o6.jpg":                        JPEG,
		"films/photo/rg2_8bit.png":                  PNG,
		"broken/films/picture.webp":                 WebP,
		"broken/films/picture.heic":                 HEIC,
		"broken/films/not_a_film.dcm":               Unknown,
		"broken/films/empty.dcm":                    Unknown,
		"films/licences/pylibjpeg-data_LICENSE.txt": Unknown,
	} {
		if got := Sniff(testkit.Read(t, file)); got != want {
			t.Errorf("Sniff(%s) = %s, want %s", file, got, want)
		}
	}
}
