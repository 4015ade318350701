package record

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

func p[T any](v T) *T { return &v }

func at(x, y units.Px) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: x, Y: y} }

// whole is an invented case in which every field of every entry says
// something; it is the case of testdata/versions/v1/every-field.json.
func whole() Case {
	return Case{
		ID: "00112233445566778899aabbccddeeff", Label: "Every field (invented)",
		Made: "2026-11-19T23:59:59Z", Edited: "2028-02-29T00:00:00Z", Side: anatomy.Right,
		Injury: Injury{Code: "32C3(k)", Neck: Unsure, NeckByCT: No, NeckByFilm: Yes, Level: NearLesser, OpenPhysis: No,
			Infection: No, Implant: Unsure, Atypical: No, Pathologic: Yes, AgeYears: p(0)},
		Films: []Film{
			{SHA256: sumOf([]byte("film one")), Bytes: 8, Kind: "dicom", Frame: 3, Width: 2000, Height: 3000,
				View: anatomy.AP, Bone: anatomy.Injured, Reduced: Yes,
				Tags: &Tags{Modality: "DX", Laterality: "R", ViewPosition: "AP", PixelSpacing: &[2]float64{0.14, 0.15},
					ImagerSpacing: &[2]float64{0.161, 0.1725}, ScannedSpacing: &[2]float64{0, -1}, Calibration: "FIDUCIAL",
					CalibrationBy: "a rod\x1b, “25 mm”", Factor: p(1.15), SID: p(1150.0), SOD: p(1000.0), Aspect: &[2]int{14, 15}},
				Evidence: []Evidence{
					{ID: "b1", Kind: Ball, At: []geom.Pt[units.Px]{at(-0.5, 10), at(20, -0.5), at(1999.5, 2999.5)}, Slip: 0.75,
						True: p(units.MM(25)), AtBone: No, HMarker: p(units.MM(0)), HBone: p(units.MM(150)), SID: p(units.MM(1150))},
					{ID: "d1", Kind: Disc, At: []geom.Pt[units.Px]{at(1, 2)}, Slip: 1e-3, True: p(units.MM(24.5))},
					{ID: "r1", Kind: Ruler, At: []geom.Pt[units.Px]{at(5, 6), at(5, 1006)}, Slip: 2, True: p(units.MM(300)), AtBone: Yes},
					{ID: "x1", Kind: Distances, SID: p(units.MM(1150)), SOD: p(units.MM(1000)), OID: p(units.MM(0))},
					{ID: "header", Kind: Header},
					{ID: "a1", Kind: Assumed, Factor: p(1.14)},
				},
				Chosen: "b1",
				Points: []Point{{Name: anatomy.TrochanterTip, At: at(0, 0), Slip: 1.5}, {Name: anatomy.LateralCortex, At: at(1234.5678901234567, 1e-9), Slip: 1000}}},
			{SHA256: sumOf([]byte("film one")), Bytes: 8, Kind: "dicom", Width: 1, Height: 65535, View: anatomy.Lateral, Bone: anatomy.Sound,
				Tags: &Tags{}, Chosen: "header"},
			{SHA256: sumOf([]byte("a second film")), Bytes: 13, Kind: "png", Width: 900, Height: 1800},
		},
		Readings: wholeReadings(),
		Settings: []Setting{{Key: "burial_mm", Value: 5}, {Key: "a.b-c", Value: -0.25}},
		Implants: []Implant{
			{Kind: "nail", Side: anatomy.Right, Diameter: p(units.MM(10)), Length: p(units.MM(400)), Lot: "LOT 1", Device: "(01)00000000000000\x1d(10)A", At: "2026-11-20T11:00:00Z"},
			{Kind: "end-cap", Length: p(units.MM(0)), At: "2026-11-20T11:01:00Z"},
		},
		Notes: "Two lines,\n\tone <tab>, “quotes”, 東京, 🦴 & a slash \\.",
	}
}

func wholeReadings() []Reading {
	return []Reading{
		{ID: "rods", Kind: TwoRods, At: "2026-11-20T09:10:00Z", First: p(units.MM(950)), Second: p(units.MM(531)), Reduced: Yes, OnBone: No, OffBone: p(units.MM(10))},
		{ID: "skin", Kind: SkinRuler, At: "2026-11-20T09:11:00Z"},
		{ID: "low", Kind: WireLower, At: "2026-11-20T09:12:00Z", First: p(units.MM(98)), GapLeft: p(units.MM(5)), Subtracts: p(units.MM(10))},
		{ID: "up", Kind: WireUpper, At: "2026-11-20T09:13:00Z", First: p(units.MM(93)), GapLeft: p(units.MM(0))},
	}
}

// wholeFile is the case file of testdata/versions/v1/every-field.isthmus:
// the second film of the case is left out.
func wholeFile() File {
	return File{Case: whole(), Shelf: []byte("{\"format\": \"isthmus-shelf\", \"version\": 1, \"shelf\": {\"name\": \"None (invented)\", \"teaching\": true, " +
		"\"nails\": [], \"head_screws\": [], \"locking_screws\": [], \"end_caps\": [], \"reamer_heads\": [], \"rods\": []}}\n"),
		Films: map[string][]byte{sumOf([]byte("film one")): []byte("film one")}}
}
