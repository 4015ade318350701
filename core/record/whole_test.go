package record

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

func p[T any](v T) *T { return &v }

func at(x, y units.Px) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: x, Y: y} }

// whole is an invented case in which every field of every entry says
// something; it is the case of testdata/versions/v3/every-field.json.
func whole() Case {
	c := wholeV2()
	c.Practice = "isthmic-transverse"
	c.Films[0].Letter, c.Films[0].LetterReads, c.Films[1].Letter = LetterRight, No, LetterNone
	c.Films[0].Points = append(c.Films[0].Points, Point{Name: anatomy.LesserMiddle, At: at(14, 15), Slip: 1})
	c.Films[1].Points = append(c.Films[1].Points, Point{Name: anatomy.BowUpper, At: at(0, 22), Slip: 1},
		Point{Name: anatomy.BowMiddle, At: at(0, 23), Slip: 1}, Point{Name: anatomy.BowLower, At: at(0, 24), Slip: 1})
	c.Films[2].Photo.Edges = &PhotoEdges{Top: []geom.Pt[units.Px]{at(300, 21.8), at(500, 23)}, Right: []geom.Pt[units.Px]{at(875, 900)},
		Bottom: []geom.Pt[units.Px]{at(440, 1785)}, Left: []geom.Pt[units.Px]{at(12, 800)}, Slip: 0.5}
	return c
}

// wholeV2 is the same with the fields of versions 1 and 2 only; it is the case
// of testdata/versions/v2/every-field.json.
func wholeV2() Case {
	c := wholeV1()
	wholeInjury(&c.Injury)
	f := &c.Films[0]
	f.JoinMM = p(units.MM(0))
	f.Evidence = append(f.Evidence,
		Evidence{ID: "t1", Kind: TwoMarkers, At: []geom.Pt[units.Px]{at(100, 100), at(300, 100), at(200, 200)}, Slip: 1, True: p(units.MM(25)),
			AtFront: []geom.Pt[units.Px]{at(500, 100), at(700.25, 100), at(600, 200)}, TrueFront: p(units.MM(24.5)), Fraction: p(0.5)},
		Evidence{ID: "k1", Kind: KnownPart, At: []geom.Pt[units.Px]{at(900, 10), at(960, 10)}, Slip: 1.25, True: p(units.MM(9)), AtBone: Yes, Along: No})
	f.Points = append(f.Points, Point{Name: anatomy.Join, At: at(10, 11), Slip: 1}, Point{Name: anatomy.OldNailTop, At: at(12, 13), Slip: 2})
	c.Films[1].Points = []Point{{Name: anatomy.NeckUpper, At: at(0, 20), Slip: 1}, {Name: anatomy.NeckFront, At: at(0, 21), Slip: 1}}
	c.Films[2].Photo = &Photo{Corners: []geom.Pt[units.Px]{at(10, 20), at(880, 25.5), at(870, 1790), at(15, 1780)}, Slip: 2.5, Width: p(units.MM(354)), Height: p(units.MM(430))}
	c.Readings = append(c.Readings, laterReadings()...)
	c.Implants[0].Drive, c.Implants[0].Broken = "thread 8 mm (invented)", No
	c.Existing = []Implant{
		{Kind: "plate", Length: p(units.MM(180)), At: "2026-11-19T08:00:00Z", Drive: "hexagon 3.5 mm", Broken: Yes},
		{Kind: "other", At: "2026-11-19T08:00:01Z", Broken: Unsure},
		{Kind: "nail", Side: anatomy.Left, Diameter: p(units.MM(11)), Length: p(units.MM(380)), Lot: "not known", Device: "read off a film", At: "2026-11-19T08:00:02Z"},
	}
	c.Followed = []Followed{{ID: "six-weeks", At: "2027-01-04T10:00:00Z", Scale: "rust", Cortices: []int{1, 2, 3, 1}},
		{ID: "a-year", At: "2027-11-22T10:00:00Z", Scale: "mrust", Cortices: []int{4, 4, 3, 2}}}
	return c
}

func wholeInjury(in *Injury) {
	in.NeckByMRI, in.NeckInTheatre, in.NeckAfter = No, Yes, Unsure
	in.Wound, in.WoundMM, in.Comminution = WoundIIIA, p(units.MM(110)), ComminutionIII
	in.MedialPieces, in.LesserWhole, in.HighEnergy, in.ManyInjuries, in.BothFemurs = Yes, No, Yes, Unsure, No
	in.StatureMM, in.Entry, in.OneScrewReason = p(units.MM(1720)), EntryMiddle, "an invented reason: the bone is short below the break"
	in.AtypicalSigns = &AtypicalSay{MinimalTrauma: No, LateralStart: Yes, SpikeOrPart: Unsure, FewPieces: No, LateralThick: Yes,
		ThickCortices: No, PainBefore: Yes, BothSides: Unsure, SlowHealing: No}
}

func laterReadings() []Reading {
	return []Reading{
		{ID: "other-leg", Kind: OtherTrial, At: "2026-11-20T09:14:00Z", First: p(units.MM(410)), OnBone: Yes},
		{ID: "hole-1", Kind: DistalDepth, At: "2026-11-20T09:15:00Z", First: p(units.MM(44)), OnBone: Yes, Hole: p(1)},
		{ID: "top", Kind: BurialFound, At: "2026-11-20T09:16:00Z", First: p(units.MM(0))},
		{ID: "gap", Kind: GapFound, At: "2026-11-20T09:17:00Z", First: p(units.MM(0))},
		{ID: "long-here", Kind: LengthInjured, At: "2026-11-20T09:18:00Z", First: p(units.MM(431))},
		{ID: "long-there", Kind: LengthSound, At: "2026-11-20T09:19:00Z", First: p(units.MM(433.5))},
		{ID: "turn-here", Kind: TurnInjured, At: "2026-11-20T09:20:00Z", Angle: p(units.Deg(-90)), AngleTwo: p(units.Deg(12.5))},
		{ID: "turn-there", Kind: TurnSound, At: "2026-11-20T09:21:00Z", Angle: p(units.Deg(0)), AngleTwo: p(units.Deg(360))},
		{ID: "lesser-here", Kind: LesserInjured, At: "2026-11-20T09:22:00Z", First: p(units.MM(31))},
		{ID: "lesser-there", Kind: LesserSound, At: "2026-11-20T09:23:00Z", First: p(units.MM(30))},
	}
}

// wholeV1 is the same with the fields of version 1 only; it is the case of
// testdata/versions/v1/every-field.json.
func wholeV1() Case {
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

// wholeFile is the case file of testdata/versions/v3/every-field.isthmus, and
// with wholeV1 and wholeV2 those of v1 and v2: the second film of the case is left out.
func wholeFile(c Case) File {
	return File{Case: c, Shelf: []byte("{\"format\": \"isthmus-shelf\", \"version\": 1, \"shelf\": {\"name\": \"None (invented)\", \"teaching\": true, " +
		"\"nails\": [], \"head_screws\": [], \"locking_screws\": [], \"end_caps\": [], \"reamer_heads\": [], \"rods\": []}}\n"),
		Films: map[string][]byte{sumOf([]byte("film one")): []byte("film one")}}
}
