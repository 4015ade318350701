package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// Source: Orthopaedic Proceedings 2006, 88-B Supp II, 247: a 24.5 mm coin that
// measures 29.40 is magnified 1.2 times; DICOM C.8.7.6 for SID over SOD.
func TestScaleFrom(t *testing.T) {
	usual := 1.15
	for _, tt := range []struct {
		name string
		in   ScaleReadings
		want float64 // 0: none
		code string
	}{
		{"coin", ScaleReadings{How: HowMarker, True: mm(24.5), Seen: mm(29.4), AtBone: record.Yes}, 1.2, ""},
		{"coin of unknown depth", ScaleReadings{How: HowMarker, True: mm(24.5), Seen: mm(29.4)}, 1.2, "marker-depth-unknown"},
		{"coin not at the bone", ScaleReadings{How: HowMarker, True: mm(24.5), Seen: mm(29.4), AtBone: record.No}, 0, "marker-not-at-bone"},
		{"distances", ScaleReadings{How: HowDistances, SID: mm(1150), OID: mm(150)}, 1.15, ""},
		{"usual", ScaleReadings{How: HowUsual, Usual: &usual}, 1.15, "magnification-assumed"},
		{"nothing", ScaleReadings{How: HowMarker}, 0, "sizes-missing"},
		{"nothing of distances", ScaleReadings{How: HowDistances, SID: mm(1150)}, 0, "sizes-missing"},
		{"no usual", ScaleReadings{How: HowUsual}, 0, "sizes-missing"},
		{"smaller than true", ScaleReadings{How: HowMarker, True: mm(30), Seen: mm(25), AtBone: record.Yes}, 0, ""},
		{"NaN", ScaleReadings{How: HowMarker, True: mm(units.MM(math.NaN())), Seen: mm(25), AtBone: record.Yes}, 0, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := ScaleFrom(tt.in)
			if (got.Factor != nil) != (tt.want > 0) || tt.want > 0 && !(math.Abs(got.Factor.Best-tt.want) < 1e-9) {
				t.Errorf("factor %v, want %v", got.Factor, tt.want)
			}
			if tt.code != "" && !has(got.Problems, tt.code) || got.Factor == nil && len(got.Problems) == 0 && got.Err == nil {
				t.Errorf("problems %v, error %v, want %q", codesOf(got.Problems), got.Err, tt.code)
			}
		})
	}
	known, unknown := ScaleFrom(ScaleReadings{How: HowMarker, True: mm(24.5), Seen: mm(29.4), AtBone: record.Yes}),
		ScaleFrom(ScaleReadings{How: HowMarker, True: mm(24.5), Seen: mm(29.4)})
	if !(unknown.Factor.U > known.Factor.U) {
		t.Errorf("an unknown depth must add doubt: %v, %v", unknown.Factor.U, known.Factor.U)
	}
}

// Lengths on a film are divided by the magnification: 460/1.15 = 400 (by hand).
func TestCorrected(t *testing.T) {
	got, err := Corrected(460, units.Ratio{Best: 1.15, U: 0.0115})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "length", float64(got.Best), 400, 1e-9)
	testkit.Near(t, "doubt of the scale, 1 %", math.Abs(float64(got.Shared)), 4, 1e-9)
	for _, bad := range []units.MM{0, -1, 1001, units.MM(math.NaN())} {
		if l, err := Corrected(bad, units.Ratio{Best: 1.15}); err == nil {
			t.Errorf("Corrected(%v) = %v", bad, l)
		}
	}
	for _, m := range []float64{0, 0.5, math.NaN()} {
		if l, err := Corrected(400, units.Ratio{Best: m}); err == nil {
			t.Errorf("magnification %v gave %v", m, l)
		}
	}
}

func TestNailFrom(t *testing.T) {
	p := DefaultPolicy()
	p.Burial = 0
	rods := NailReadings{How: HowRods, Side: anatomy.Left, Rod: mm(950), Out: mm(537), OnBone: record.Yes, Reduced: record.Yes, Canal: mm(10.4)}
	got := NailFrom(rods, implant.Teaching(), p)
	// 950 − 537 = 413 → 400 (AO Foundation page); canal 10.4 → 10, reamed to 11.
	if got.Nail.Length != 400 || got.Nail.Diameter != 10 || got.Reaming.Final != 11 || got.Nail.Part == nil {
		t.Errorf("%v × %v, reamed to %v", got.Nail.Diameter, got.Nail.Length, got.Reaming.Final)
	}
	film := NailReadings{How: HowFilm, Side: anatomy.Right, Film: mm(483), Factor: &units.Ratio{Best: 1.15, U: 0.01}, Reduced: record.Yes}
	p.Burial = 5
	if got := NailFrom(film, implant.Teaching(), p); got.Nail.Length != 400 { // 483/1.15 − 5 = 415 (by hand)
		t.Errorf("from a film: %v", got.Nail.Length)
	}
	for _, tt := range []struct {
		name, want string
		f          func(*NailReadings)
	}{
		{"rod off the bone", "rod-off-bone", func(r *NailReadings) { r.OnBone = record.Unsure }},
		{"not reduced", "reading-not-reduced", func(r *NailReadings) { r.Reduced = record.No }},
		{"film without a factor", "magnification-missing", func(r *NailReadings) { r.How, r.Film = HowFilm, mm(483) }},
		{"film not reduced", "reading-not-reduced", func(r *NailReadings) {
			r.How, r.Film, r.Factor, r.Reduced = HowFilm, mm(483), &units.Ratio{Best: 1.15}, record.NotAsked
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := rods
			tt.f(&r)
			if got := NailFrom(r, implant.Teaching(), p); got.Nail.Length != 0 || !has(got.Problems, tt.want) {
				t.Errorf("length %v, problems %v, want %s", got.Nail.Length, codesOf(got.Problems), tt.want)
			}
		})
	}
}
