package plan

import (
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// An invention is one case of testdata/cases that inventor makes. Honest ones
// hold no error but the slips of a hand, so the plan's ± must hold the truth.
type invention struct {
	name, label string
	side        anatomy.Side
	honest      bool
	make        func(*inventor)
}

// broken lays a break, oblique by 15°, the bone at its length.
func (v *inventor) broken(level units.MM) *inventor {
	v.bone.Break = phantom.Break{Level: level, Oblique: 15}
	return v
}

func (v *inventor) injury() *record.Injury { return &v.c.Injury }

// neckBroken is a neck fracture that is known.
func (v *inventor) neckBroken() *inventor {
	v.c.Injury.Neck = record.Yes
	return v
}

// withShelf changes the teaching set for this case alone, and leaves out what
// it cannot use, to keep the file small.
func (v *inventor) withShelf(name string, do func(*implant.Shelf)) {
	s := implant.Teaching()
	s.Name = name + " (invented)"
	do(&s)
	s.Nails = slices.DeleteFunc(s.Nails, func(n implant.Nail) bool {
		return len(s.Nails) > 1 && (n.Side != v.side || n.Diameter > 11 || n.Length < 360 || n.Length > 400)
	})
	s.Locking = slices.DeleteFunc(s.Locking, func(x implant.Screw) bool { return x.Length < 36 || x.Length > 60 })
	v.shelf = &s
}

func put(kind string, side anatomy.Side, dia, long units.MM) record.Implant {
	p := record.Implant{Kind: kind, Side: side, At: inventedAt}
	if dia > 0 {
		p.Diameter = mm(dia)
	}
	if long > 0 {
		p.Length = mm(long)
	}
	return p
}

func inventions() []invention {
	var out []invention
	for _, list := range [][]invention{awkwardBones, awkwardInjuries, awkwardFilms, awkwardTables, awkwardShelves, plainOnes} {
		out = append(out, list...)
	}
	return out
}

// invent makes one case.
func invent(t testing.TB, n int, x invention) *inventor {
	v := begin(t, n+1, x.label, x.side)
	x.make(v)
	return v
}

var awkwardBones = []invention{
	{"narrow-canal-7", "narrow canal 7 mm", anatomy.Left, true, func(v *inventor) {
		v.bone.Canal, v.bone.Outer, v.bone.Flare = 7.8, 23, 4.2 // 7 from the side
		v.broken(190).both()
	}},
	{"narrow-canal-7-head", "narrow canal 7 mm, neck broken", anatomy.Right, true, func(v *inventor) {
		v.bone.Canal, v.bone.Outer, v.bone.Flare = 7.8, 23, 4.2 // 7 from the side
		v.neckBroken().broken(190).both()
	}},
	{"narrow-canal-8", "narrow canal 8 mm, little doubt", anatomy.Right, true, func(v *inventor) {
		v.bone.Canal, v.bone.Outer, v.bone.Flare = 8.9, 24, 4 // 8 from the side
		v.broken(230).both()
	}},
	{"stovepipe", "stovepipe canal 15 mm", anatomy.Left, true, func(v *inventor) {
		v.bone.Canal, v.bone.Outer, v.bone.Flare = 16.6, 28, 2.1
		*v.c.Injury.AgeYears = 81
		v.broken(200).both()
	}},
	{"stovepipe-subtrochanteric", "stovepipe canal, subtrochanteric", anatomy.Right, true, func(v *inventor) {
		v.bone.Canal, v.bone.Outer, v.bone.Flare = 14.5, 26, 2.3
		v.injury().Level, *v.c.Injury.AgeYears = record.Subtrochanter, 84
		v.broken(115).both()
	}},
	{"short-strong-bow", "short stature, strong bow", anatomy.Left, true, func(v *inventor) {
		v.bone.Length, v.bone.Bow, v.bone.Head, v.bone.Neck, v.bone.Reach, v.bone.Condyle = 378, 520, 40, 27, 46, 68
		v.injury().StatureMM = mm(1490)
		v.broken(165).both()
	}},
	{"short-strong-bow-head", "short, strong bow, subtrochanteric", anatomy.Right, true, func(v *inventor) {
		v.bone.Length, v.bone.Bow, v.bone.Head, v.bone.Neck, v.bone.Reach, v.bone.Condyle = 352, 560, 40, 27.5, 46, 68
		v.injury().StatureMM, v.injury().Level = mm(1450), record.Subtrochanter
		v.broken(118).both()
	}},
	{"tall", "tall, bone of 505 mm", anatomy.Left, true, func(v *inventor) {
		v.bone.Length, v.bone.Canal, v.bone.Outer, v.bone.Head, v.bone.Neck, v.bone.Reach = 505, 13.5, 31, 52, 36, 62
		v.injury().StatureMM = mm(1890)
		v.broken(240).film(take{view: anatomy.AP, setup: longFilm}).film(take{view: anatomy.Lateral, setup: longFilm})
	}},
	{"retroverted-neck", "retroverted neck, 15 degrees back", anatomy.Right, true, func(v *inventor) {
		v.bone.Version = -15
		v.neckBroken().broken(200).both()
	}},
	{"retroverted-neck-left", "retroverted neck, 8 degrees back, subtrochanteric", anatomy.Left, true, func(v *inventor) {
		v.bone.Version, v.injury().Level = -8, record.Subtrochanter
		v.broken(116).both()
	}},
	{"anteverted-neck", "neck turned far forwards, 34 degrees", anatomy.Left, true, func(v *inventor) {
		v.bone.Version = 34
		v.neckBroken().broken(210).both()
	}},
	{"neck-for-one-screw", "small neck that holds one screw only", anatomy.Left, true, func(v *inventor) {
		v.bone.Head, v.bone.Neck, v.bone.Cortex, v.bone.Reach, v.bone.Length = 39, 24, 2.6, 46, 390
		v.neckBroken().broken(185).both()
	}},
	{"neck-for-one-screw-high", "small neck, one screw only, high break", anatomy.Right, true, func(v *inventor) {
		v.bone.Head, v.bone.Neck, v.bone.Cortex, v.bone.Reach, v.bone.Length = 38, 23, 2.4, 46, 380
		v.injury().Level = record.Subtrochanter
		v.broken(114).both()
	}},
	{"neck-close", "neck hardly high enough for two screws", anatomy.Right, true, func(v *inventor) {
		v.bone.Head, v.bone.Neck, v.bone.Cortex = 43, 29, 2.3
		v.neckBroken().broken(195).both()
	}},
	{"varus", "neck–shaft angle 116", anatomy.Left, true, func(v *inventor) {
		v.bone.NSA = 116
		v.neckBroken().broken(205).both()
	}},
	{"valgus", "neck–shaft angle 140", anatomy.Right, true, func(v *inventor) {
		v.bone.NSA = 140
		v.neckBroken().broken(205).both()
	}},
	{"child-9", "child of 9, open growth plates", anatomy.Right, false, func(v *inventor) {
		v.bone.Length, v.bone.Head, v.bone.Neck, v.bone.Reach, v.bone.Condyle, v.bone.Canal, v.bone.Outer = 305, 36, 24, 40, 60, 8, 20
		*v.c.Injury.AgeYears, v.injury().OpenPhysis = 9, record.Yes
		v.broken(150).both()
	}},
	{"youth-15", "15 years, growth plates not known", anatomy.Left, true, func(v *inventor) {
		v.bone.Length, v.bone.Canal = 418, 9.6
		*v.c.Injury.AgeYears, v.injury().OpenPhysis = 15, record.Unsure
		v.broken(180).both()
	}},
}

func longFilm(s *phantom.Setup) { s.Height = 4700 }

var awkwardInjuries = []invention{
	{"segmental", "segmental, two breaks", anatomy.Left, true, func(v *inventor) {
		v.broken(150).bone.Second = phantom.Break{Level: 290, Oblique: -10}
		v.injury().Code = "32C2(j)"
		v.both()
	}},
	{"segmental-apart", "segmental, pieces apart", anatomy.Right, false, func(v *inventor) {
		v.bone.Break = phantom.Break{Level: 140, Oblique: 20, Gap: 6, Aside: 8}
		v.bone.Second = phantom.Break{Level: 300, Gap: -8, Aside: -6}
		v.injury().Code = "32C2(j)"
		v.film(take{view: anatomy.AP}).film(take{view: anatomy.AP, bone: anatomy.Sound}).film(take{view: anatomy.Lateral, bone: anatomy.Sound})
	}},
	{"very-distal", "very distal, 45 mm above the target", anatomy.Right, true, func(v *inventor) {
		v.injury().Level = record.BelowIsthmus
		v.broken(322).both()
	}},
	{"very-distal-apart", "very distal, not reduced, rods", anatomy.Left, false, func(v *inventor) {
		v.bone.Break = phantom.Break{Level: 318, Oblique: 20, Gap: -10, Aside: 5}
		v.injury().Level = record.BelowIsthmus
		v.both().took(record.TwoRods, 950, func(r *record.Reading) { r.Second = mm(950 - v.length()) })
	}},
	{"bilateral-left", "both femurs broken, left", anatomy.Left, true, func(v *inventor) {
		v.injury().BothFemurs, v.injury().ManyInjuries, v.injury().HighEnergy = record.Yes, record.Yes, record.Yes
		v.broken(210).both()
	}},
	{"bilateral-sound-film", "both broken, yet a film called sound", anatomy.Right, false, func(v *inventor) {
		v.injury().BothFemurs = record.Yes
		v.broken(210).film(take{view: anatomy.AP}).film(take{view: anatomy.AP, bone: anatomy.Sound})
	}},
	{"neck-missed", "neck fracture found after the nail", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().injury().NeckAfter = record.Yes
		v.c.Implants = []record.Implant{put("nail", anatomy.Left, 9, 360), put("locking-screw", "", 5, 46), put("locking-screw", "", 5, 44), put("end-cap", "", 0, 0)}
		v.broken(200).both()
	}},
	{"neck-missed-before", "neck fracture found in theatre, before the nail", anatomy.Right, true, func(v *inventor) {
		v.neckBroken().injury().NeckByCT, v.injury().NeckInTheatre = record.No, record.Yes
		v.bone.Neck2 = phantom.Crack{At: 27, Width: 1}
		v.broken(200).both()
	}},
	{"old-nail", "old nail in place, size known", anatomy.Right, true, func(v *inventor) {
		v.injury().Implant = record.Yes
		v.c.Existing = []record.Implant{put("nail", anatomy.Right, 10, 360), put("locking-screw", "", 5, 42)}
		nailed := func(s *phantom.Setup) { s.Nail = phantom.Nail{Across: 10, Length: 360, Top: 8} }
		v.film(take{view: anatomy.AP, setup: nailed, proof: partProof}).film(take{view: anatomy.Lateral, setup: nailed})
	}},
	{"old-nail-unknown", "old nail in place, nothing known of it", anatomy.Left, false, func(v *inventor) {
		v.injury().Implant = record.Yes
		nailed := func(s *phantom.Setup) { s.Nail = phantom.Nail{Across: 11, Length: 380, Top: 4} }
		v.broken(260).film(take{view: anatomy.AP, setup: nailed})
	}},
	{"old-plate", "plate on the bone, neck broken", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().injury().Implant = record.Yes
		v.c.Existing = []record.Implant{{Kind: "plate", At: inventedAt, Drive: "hexagon 3.5 mm"}}
		v.broken(230).both()
	}},
	{"infected", "infection", anatomy.Right, true, func(v *inventor) {
		v.injury().Infection = record.Yes
		v.broken(200).both()
	}},
	{"pathologic", "break through a metastasis", anatomy.Left, true, func(v *inventor) {
		v.injury().Pathologic, *v.c.Injury.AgeYears = record.Yes, 66
		v.broken(170).both()
	}},
	{"atypical-bowed", "atypical, bowed", anatomy.Right, true, func(v *inventor) {
		v.injury().Atypical, *v.c.Injury.AgeYears, v.bone.Bow = record.Yes, 74, 640
		v.broken(160).both()
	}},
	{"pertrochanteric", "pertrochanteric with shaft", anatomy.Left, true, func(v *inventor) {
		v.injury().Code, v.injury().Level, v.injury().MedialPieces, v.injury().LesserWhole = "31A3", record.NearLesser, record.Yes, record.No
		v.broken(98).both()
	}},
	{"shattered", "shattered mid shaft, open IIIB", anatomy.Right, true, func(v *inventor) {
		v.injury().Comminution, v.injury().Wound, v.injury().HighEnergy, v.injury().Code = record.ComminutionIV, record.WoundIIIB, record.Yes, "32C3"
		v.broken(200).both()
	}},
	{"transverse-one-screw", "transverse, stable, one screw wanted", anatomy.Left, true, func(v *inventor) {
		v.injury().Code, v.injury().Comminution, v.injury().OneScrewReason = "32A3(b)", record.Comminution0, "transverse, stable, short operation"
		v.bone.Break = phantom.Break{Level: 190}
		v.both()
	}},
	{"neck-unsure", "neck not known", anatomy.Right, true, func(v *inventor) {
		v.injury().Neck, v.injury().NeckByCT, v.injury().HighEnergy = record.Unsure, record.No, record.Yes
		v.broken(200).both()
	}},
	{"neck-ct-only", "neck seen on CT alone", anatomy.Left, true, func(v *inventor) {
		v.injury().NeckByFilm = record.No
		v.broken(200).both()
	}},
}
