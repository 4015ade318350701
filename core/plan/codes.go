package plan

import (
	"slices"

	"isthmus/core/source"
)

// A Code is one entry of the table of reasons and problems: what it is called,
// how loud it is, where it belongs, which facts it carries and who says so.
// app/text has a sentence for each.
type Code struct {
	Name    string
	Level   Level // empty for a reason
	Part    Part  // empty for a reason
	Facts   []string
	Sources []source.Key
}

// Reason reports whether the code is one of a reason, not of a problem.
func (c Code) Reason() bool { return c.Level == "" }

// Codes returns every reason and problem that this room can give, reasons
// first.
func Codes() []Code {
	return slices.Concat(reasons, afterReasons, classReasons, troubles, afterTroubles, classTroubles)
}

func find(name string) (Code, bool) {
	for _, table := range [][]Code{reasons, afterReasons, classReasons, troubles, afterTroubles, classTroubles} {
		for _, c := range table {
			if c.Name == name {
				return c, true
			}
		}
	}
	return Code{}, false
}

func by(keys ...source.Key) []source.Key { return keys }

func names(n ...string) []string { return n }

var reasons = []Code{
	{Name: "scale-from", Facts: names("origin", "percent"), Sources: by(source.GUM)},
	{Name: "scale-chosen", Facts: names("origin", "percent"), Sources: by(source.GUM)},
	{Name: "scale-note", Facts: names("text"), Sources: by(source.CommonUse)},

	{Name: "route-film", Facts: names("length", "film"), Sources: by(source.DICOMSpacing, source.GUM)},
	{Name: "route-other-film", Facts: names("length", "film", "difference"), Sources: by(source.SideDiff, source.GUM)},
	{Name: "route-rods", Facts: names("rod", "out", "length"), Sources: by(source.AOTwoRods)},
	{Name: "route-skin", Facts: names("length"), Sources: by(source.SkinRuler)},
	{Name: "route-two-films", Facts: names("length", "a", "b"), Sources: by(source.DICOMSpacing, source.Geometry, source.GUM)},
	{Name: "route-pieces", Facts: names("length", "film"), Sources: by(source.Geometry, source.CommonUse)},
	{Name: "route-other-trial", Facts: names("length", "difference"), Sources: by(source.AOTwoRods, source.SideDiff)},
	{Name: "route-film-typed", Facts: names("film", "factor", "length"), Sources: by(source.Geometry, source.GUM)},
	{Name: "scale-marker", Facts: names("true", "seen"), Sources: by(source.Coin2006, source.Depth2022)},
	{Name: "scale-two-balls", Facts: names("a", "b", "place", "factor"), Sources: by(source.Geometry, source.King2009)},
	{Name: "scale-by-distances", Sources: by(source.DICOMGeom, source.CommonUse)},
	{Name: "scale-usual", Sources: by(source.Lampang)},
	{Name: "routes-together", Facts: names("count", "length"), Sources: by(source.GUM)},

	{Name: "lock-shaft-alone", Sources: by(source.CommonUse)},
	{Name: "lock-neck-broken", Sources: by(source.CommonUse, source.Tornetta)},
	{Name: "lock-neck-code", Facts: names("code"), Sources: by(source.AO2018, source.CommonUse)},
	{Name: "lock-near-lesser", Sources: by(source.CommonUse)},
	{Name: "lock-near-lesser-film", Facts: names("distance", "limit"), Sources: by(source.CommonUse)},
	{Name: "lock-subtroch", Sources: by(source.Subtroch, source.CommonUse)},
	{Name: "lock-subtroch-film", Facts: names("distance", "limit"), Sources: by(source.Subtroch, source.CommonUse)},
	{Name: "lock-subtroch-close", Facts: names("distance", "limit"), Sources: by(source.Subtroch, source.GUM)},
	{Name: "lock-pertrochanteric", Facts: names("code"), Sources: by(source.AO2018, source.CommonUse)},
	{Name: "lock-atypical", Sources: by(source.Atypical, source.CommonUse)},
	{Name: "lock-pathologic", Sources: by(source.CommonUse)},
	{Name: "neck-cleared-both", Sources: by(source.Tornetta)},
	{Name: "neck-cleared-ct", Sources: by(source.Tornetta, source.MRINeck)},
	{Name: "neck-cleared-film", Sources: by(source.Tornetta)},
	{Name: "level-below-isthmus", Sources: by(source.AODistal)},
	{Name: "level-below-code", Facts: names("code"), Sources: by(source.AO2018)},
	{Name: "level-below-second", Facts: names("distance"), Sources: by(source.AODistal)},
	{Name: "level-below-film", Facts: names("distance"), Sources: by(source.AODistal)},
	{Name: "distal-two", Facts: names("count"), Sources: by(source.Brumback, source.Hajek)},
	{Name: "distal-third", Facts: names("count"), Sources: by(source.AODistal, source.CommonUse)},
	{Name: "against-code-level", Facts: names("code", "level"), Sources: by(source.AO2018)},
	{Name: "against-level-answer", Facts: names("level"), Sources: by(source.CommonUse)},
	{Name: "against-level-film", Facts: names("distance", "limit"), Sources: by(source.Subtroch)},
	{Name: "against-isthmus-film", Facts: names("distance"), Sources: by(source.CommonUse)},
	{Name: "change-neck-found", Sources: by(source.Tornetta, source.MRINeck)},
	{Name: "change-neck-open", Sources: by(source.Tornetta)},
	{Name: "change-level-near", Sources: by(source.Subtroch)},

	{Name: "length-burial", Facts: names("bone", "burial"), Sources: by(source.CommonUse)},
	{Name: "length-longest", Facts: names("room", "size"), Sources: by(source.CommonUse, source.GUM)},
	{Name: "lost-length", Facts: names("wanted", "size"), Sources: by(source.CommonUse)},
	{Name: "lost-length-thick", Facts: names("wanted", "size"), Sources: by(source.CommonUse)},
	{Name: "diameter-canal", Facts: names("canal", "size"), Sources: by(source.CommonUse)},
	{Name: "diameter-tight", Facts: names("canal", "size", "over", "cut"), Sources: by(source.CommonUse, source.AOReaming, source.HeatMemory)},
	{Name: "lost-diameter", Facts: names("wanted", "size"), Sources: by(source.CommonUse)},
	{Name: "lost-tight", Facts: names("size", "canal"), Sources: by(source.CommonUse)},
	{Name: "lost-other-length", Facts: names("wanted", "length", "size"), Sources: by(source.CommonUse)},
	{Name: "ream-final", Facts: names("nail", "over", "final"), Sources: by(source.AOReaming)},
	{Name: "ream-start", Facts: names("first"), Sources: by(source.CommonUse, source.AOReaming)},
	{Name: "ream-start-canal", Facts: names("first", "canal"), Sources: by(source.CommonUse, source.AOReaming)},
	{Name: "ream-chatter", Facts: names("head", "canal"), Sources: by(source.CommonUse)},
	{Name: "ream-tight", Facts: names("head", "cut"), Sources: by(source.CommonUse, source.HeatMemory)},
	{Name: "ream-start-narrow", Facts: names("first", "canal"), Sources: by(source.CommonUse)},

	{Name: "head-not-needed", Sources: by(source.CommonUse)},
	{Name: "neck-need", Facts: names("need", "diameter", "spacing", "lower", "upper"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "neck-fits", Facts: names("need", "room"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "space-depth", Facts: names("top", "clearance"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "space-turn", Facts: names("turn", "version"), Sources: by(source.Geometry)},
	{Name: "space-both", Facts: names("room"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "space-lower-longer", Facts: names("lower", "upper", "lower_off", "upper_off"), Sources: by(source.Geometry, source.LowerScrew)},
	{Name: "space-upper-longer", Facts: names("lower", "upper", "lower_off", "upper_off"), Sources: by(source.Geometry, source.LowerScrew)},
	{Name: "screw-space", Facts: names("path", "clearance"), Sources: by(source.Geometry, source.Subchondral)},
	{Name: "screw-film", Facts: names("path", "clearance"), Sources: by(source.Geometry, source.Subchondral)},
	{Name: "screw-depth", Facts: names("read", "subtracts", "off", "gap", "clearance", "take"), Sources: by(source.Geometry, source.Subchondral)},
	{Name: "screw-not-beyond-wire", Facts: names("gap", "clearance"), Sources: by(source.CommonUse)},
	{Name: "screw-round-down", Facts: names("room", "size"), Sources: by(source.CommonUse)},
	{Name: "tip-apex", Facts: names("ap", "lateral", "distance"), Sources: by(source.TAD1995)},
}

var troubles = append(append(slices.Clone(injuryTroubles), filmTroubles...), partTroubles...)

var injuryTroubles = []Code{
	{Name: "policy-unknown", Level: Caution, Part: PartInjury, Facts: names("key")},
	{Name: "policy-range", Level: Caution, Part: PartInjury, Facts: names("key", "value", "default", "low", "high")},
	{Name: "policy-twice", Level: Caution, Part: PartInjury, Facts: names("key", "default")},
	{Name: "policy-contradiction", Level: Caution, Part: PartInjury, Facts: names("key", "other")},
	{Name: "side-missing", Level: Missing, Part: PartInjury},
	{Name: "open-physis", Level: Stop, Part: PartInjury, Sources: by(source.Entry)},
	{Name: "under-age", Level: Stop, Part: PartInjury, Facts: names("age", "limit"), Sources: by(source.Entry)},
	{Name: "infection", Level: Stop, Part: PartInjury, Sources: by(source.CommonUse)},
	{Name: "implant-in-way", Level: Stop, Part: PartInjury, Sources: by(source.CommonUse)},
	{Name: "atypical-bow", Level: Caution, Part: PartInjury, Sources: by(source.Atypical)},
	{Name: "answers-open", Level: Missing, Part: PartInjury, Facts: names("count")},
	{Name: "code-invalid", Level: Caution, Part: PartInjury, Facts: names("error"), Sources: by(source.AO2018)},
	{Name: "code-neck", Level: Stop, Part: PartInjury, Facts: names("code"), Sources: by(source.AO2018)},
	{Name: "code-level", Level: Caution, Part: PartInjury, Facts: names("code", "level"), Sources: by(source.AO2018)},
	{Name: "neck-not-cleared", Level: Stop, Part: PartInjury, Sources: by(source.Tornetta, source.MRINeck)},
	{Name: "neck-not-looked-at", Level: Stop, Part: PartInjury, Sources: by(source.Tornetta, source.MRINeck)},
	{Name: "neck-ct-only", Level: Caution, Part: PartInjury, Sources: by(source.Tornetta, source.MRINeck)},
	{Name: "neck-film-only", Level: Caution, Part: PartInjury, Sources: by(source.Tornetta)},
	{Name: "level-missing", Level: Missing, Part: PartInjury},
	{Name: "level-film", Level: Caution, Part: PartInjury, Facts: names("level", "distance"), Sources: by(source.Subtroch)},
	{Name: "level-close", Level: Caution, Part: PartInjury, Facts: names("distance", "limit"), Sources: by(source.Subtroch, source.GUM)},
	{Name: "level-isthmus", Level: Caution, Part: PartInjury, Facts: names("distance"), Sources: by(source.CommonUse)},
	{Name: "stature-impossible", Level: Missing, Part: PartBone, Facts: names("field", "value", "low", "high")},
	{Name: "measure-unusual", Level: Caution, Part: PartBone, Facts: names("what", "unit", "value", "low", "high"), Sources: by(source.HipRange, source.CanalRange, source.HeadRange)},
	{Name: "stature-differs", Level: Caution, Part: PartBone, Facts: names("femur", "stature", "low", "high"), Sources: by(source.Trotter)},
}

var filmTroubles = []Code{
	{Name: "scale-missing", Level: Missing, Part: PartFilms, Facts: names("film")},
	{Name: "scale-refused", Level: Missing, Part: PartFilms, Facts: names("film", "error")},
	{Name: "scale-dispute", Level: Stop, Part: PartFilms, Facts: names("film", "a", "b", "percent", "allowed"), Sources: by(source.GUM)},
	{Name: "scale-chosen-unusable", Level: Missing, Part: PartFilms, Facts: names("film")},
	{Name: "scale-caution", Level: Caution, Part: PartFilms, Facts: names("film", "text")},
	{Name: "photo-refused", Level: Missing, Part: PartFilms, Facts: names("film", "error"), Sources: by(source.Geometry)},
	{Name: "photo-point", Level: Missing, Part: PartFilms, Facts: names("film", "landmark", "error"), Sources: by(source.Geometry)},
	{Name: "pair-not-reduced", Level: Missing, Part: PartBone, Facts: names("a", "b"), Sources: by(source.Geometry)},
	{Name: "pair-ruler-half", Level: Missing, Part: PartBone, Facts: names("a", "b")},
	{Name: "pair-no-shaft", Level: Missing, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry)},
	{Name: "views-differ", Level: Caution, Part: PartFilms, Facts: names("ap", "lateral", "percent"), Sources: by(source.Geometry)},
	{Name: "magnifications-differ", Level: Caution, Part: PartFilms, Facts: names("a", "b", "percent"), Sources: by(source.DICOMGeom)},
	{Name: "film-view-missing", Level: Missing, Part: PartFilms, Facts: names("film")},
	{Name: "film-bone-missing", Level: Missing, Part: PartFilms, Facts: names("film")},
	{Name: "point-wrong-view", Level: Caution, Part: PartFilms, Facts: names("film", "landmark")},
	{Name: "side-contradiction", Level: Stop, Part: PartFilms, Facts: names("film", "header", "bone", "want"), Sources: by(source.CommonUse)},
	{Name: "letter-contradiction", Level: Stop, Part: PartFilms, Facts: names("film", "letter", "bone", "want"), Sources: by(source.CommonUse)},
	{Name: "letter-mirrored", Level: Caution, Part: PartFilms, Facts: names("film", "letter"), Sources: by(source.CommonUse)},
	{Name: "view-contradiction", Level: Caution, Part: PartFilms, Facts: names("film", "header", "view"), Sources: by(source.CommonUse)},
	{Name: "measure-refused", Level: Missing, Part: PartBone, Facts: names("film", "error")},
	{Name: "points-part", Level: Missing, Part: PartBone, Facts: names("film", "landmark")},
	{Name: "ends-missing", Level: Missing, Part: PartBone, Facts: names("film")},
	{Name: "film-not-reduced", Level: Missing, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry)},
	{Name: "sizes-missing", Level: Missing, Part: PartFilms, Facts: names("fields")},
	{Name: "marker-not-at-bone", Level: Missing, Part: PartFilms, Sources: by(source.Geometry, source.Depth2022)},
	{Name: "marker-depth-unknown", Level: Caution, Part: PartFilms, Sources: by(source.Depth2022, source.CommonUse)},
	{Name: "magnification-assumed", Level: Caution, Part: PartFilms, Sources: by(source.Lampang)},
	{Name: "magnification-missing", Level: Missing, Part: PartBone},
	{Name: "reading-missing", Level: Missing, Part: PartBone, Facts: names("kind")},
	{Name: "reading-not-reduced", Level: Missing, Part: PartBone, Facts: names("kind"), Sources: by(source.Geometry)},
	{Name: "rods-crossed", Level: Missing, Part: PartBone, Facts: names("rod", "out"), Sources: by(source.AOTwoRods)},
	{Name: "rod-off-bone", Level: Missing, Part: PartBone, Sources: by(source.AOTwoRods, source.Geometry)},
	{Name: "length-odd", Level: Caution, Part: PartBone, Facts: names("length", "low", "high"), Sources: by(source.FemurCT2015)},
	{Name: "length-dispute", Level: Stop, Part: PartBone, Facts: names("a", "length_a", "b", "length_b"), Sources: by(source.GUM)},
	{Name: "length-missing", Level: Missing, Part: PartBone},
	{Name: "canal-missing", Level: Missing, Part: PartBone},
	{Name: "isthmus-beyond-break", Level: Note, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry)},
	{Name: "isthmus-which-piece", Level: Note, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry)},
	{Name: "neck-shaft-pieces", Level: Note, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry, source.CommonUse)},
	{Name: "width-other-femur", Level: Note, Part: PartBone, Facts: names("film", "percent"), Sources: by(source.Young2013)},
	{Name: "canal-direct", Level: Caution, Part: PartBone, Facts: names("film"), Sources: by(source.Geometry)},
	{Name: "canal-one-view", Level: Note, Part: PartBone, Facts: names("view"), Sources: by(source.CommonUse)},
}

var partTroubles = []Code{
	{Name: "nail-none", Level: Missing, Part: PartNail, Facts: names("pattern", "side")},
	{Name: "nail-out-of-stock", Level: Missing, Part: PartNail, Facts: names("pattern", "side")},
	{Name: "nail-no-length", Level: Missing, Part: PartNail, Facts: names("length")},
	{Name: "nail-no-pattern", Level: Caution, Part: PartNail, Facts: names("size"), Sources: by(source.CommonUse)},
	{Name: "length-impossible", Level: Stop, Part: PartNail, Facts: names("room", "low", "high"), Sources: by(source.FemurCT2015)},
	{Name: "nail-too-long", Level: Stop, Part: PartNail, Facts: names("room", "shortest"), Sources: by(source.CommonUse)},
	{Name: "length-close", Level: Caution, Part: PartNail, Facts: names("size", "percent", "room"), Sources: by(source.GUM)},
	{Name: "canal-impossible", Level: Stop, Part: PartNail, Facts: names("canal", "low", "high"), Sources: by(source.Isthmus2015)},
	{Name: "canal-red", Level: Caution, Part: PartNail, Facts: names("canal", "limit"), Sources: by(source.HeatMemory)},
	{Name: "canal-amber", Level: Caution, Part: PartNail, Facts: names("canal", "limit"), Sources: by(source.HeatMemory)},
	{Name: "nail-too-thick", Level: Caution, Part: PartNail, Facts: names("size", "canal", "cut", "limit"), Sources: by(source.HeatMemory)},
	{Name: "diameter-close", Level: Caution, Part: PartNail, Facts: names("size", "other", "percent"), Sources: by(source.GUM)},
	{Name: "nail-loose", Level: Caution, Part: PartNail, Facts: names("percent", "limit"), Sources: by(source.NailFit2018, source.NailFit2022)},
	{Name: "reamer-missing", Level: Caution, Part: PartNail, Facts: names("count", "first"), Sources: by(source.CommonUse)},
	{Name: "nail-already-in", Level: Caution, Part: PartNail, Facts: names("part"), Sources: by(source.CommonUse)},
	{Name: "device-wrong", Level: Caution, Part: PartRecord, Facts: names("part", "error"), Sources: by(source.DeviceCodes)},
	{Name: "device-expired", Level: Caution, Part: PartRecord, Facts: names("part", "date"), Sources: by(source.DeviceCodes)},
	{Name: "device-lot", Level: Caution, Part: PartRecord, Facts: names("part", "lot", "code"), Sources: by(source.DeviceCodes)},
	{Name: "distal-holes", Level: Caution, Part: PartDistal, Facts: names("count", "holes"), Sources: by(source.AODistal)},
	{Name: "fracture-near-hole", Level: Caution, Part: PartDistal, Facts: names("distance", "limit"), Sources: by(source.Bucholz)},
	{Name: "fracture-over-hole", Level: Stop, Part: PartDistal, Facts: names("distance"), Sources: by(source.Bucholz, source.Geometry)},

	{Name: "head-nail-open", Level: Missing, Part: PartHead},
	{Name: "neck-narrow", Level: Stop, Part: PartHead, Facts: names("need", "room"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "neck-close", Level: Caution, Part: PartHead, Facts: names("need", "room"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "neck-room-missing", Level: Missing, Part: PartHead, Facts: names("need"), Sources: by(source.NeckRoom)},
	{Name: "upper-longer", Level: Caution, Part: PartHead, Facts: names("lower", "upper"), Sources: by(source.LowerScrew)},
	{Name: "screw-near-edge", Level: Caution, Part: PartHead, Facts: names("place", "room", "keep"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "screw-open", Level: Missing, Part: PartHead, Facts: names("place")},
	{Name: "screw-broken-neck", Level: Caution, Part: PartHead, Facts: names("film", "place"), Sources: by(source.CommonUse)},
	{Name: "screw-refused", Level: Missing, Part: PartHead, Facts: names("place", "error")},
	{Name: "wire-differs", Level: Caution, Part: PartHead, Facts: names("place", "film", "wire"), Sources: by(source.CommonUse)},
	{Name: "wire-not-read", Level: Missing, Part: PartHead},
	{Name: "wire-impossible", Level: Missing, Part: PartHead, Facts: names("field", "value", "low", "high")},
	{Name: "sleeve-unanswered", Level: Missing, Part: PartHead, Sources: by(source.Geometry)},
	{Name: "sleeve-off-bone", Level: Stop, Part: PartHead, Sources: by(source.Geometry)},
	{Name: "sleeve-contradiction", Level: Missing, Part: PartHead, Facts: names("off")},
	{Name: "gap-unsaid", Level: Note, Part: PartHead, Sources: by(source.CommonUse)},
	{Name: "subtracts-unsaid", Level: Note, Part: PartHead, Sources: by(source.CommonUse)},
	{Name: "wire-through-joint", Level: Caution, Part: PartHead, Facts: names("through"), Sources: by(source.CommonUse)},
	{Name: "screw-diameter-open", Level: Missing, Part: PartHead},
	{Name: "screw-none", Level: Missing, Part: PartHead, Facts: names("room", "diameter")},
	{Name: "screw-close", Level: Caution, Part: PartHead, Facts: names("size", "room", "percent"), Sources: by(source.GUM)},
	{Name: "space-missing", Level: Note, Part: PartHead, Facts: names("landmark"), Sources: by(source.Geometry)},
	{Name: "space-refused", Level: Missing, Part: PartHead, Facts: names("error"), Sources: by(source.Geometry)},
	{Name: "space-proud", Level: Caution, Part: PartHead, Facts: names("top"), Sources: by(source.Geometry)},
	{Name: "space-one-screw", Level: Stop, Part: PartHead, Facts: names("missing"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "space-close", Level: Caution, Part: PartHead, Facts: names("room"), Sources: by(source.Geometry, source.NeckRoom)},
	{Name: "space-deep", Level: Caution, Part: PartHead, Facts: names("place", "nearest", "limit"), Sources: by(source.Subchondral)},
	{Name: "space-far", Level: Caution, Part: PartHead, Facts: names("place", "nearest", "limit"), Sources: by(source.Subchondral, source.TADReview)},
	{Name: "space-apex", Level: Caution, Part: PartHead, Facts: names("place", "distance", "limit"), Sources: by(source.TAD1995, source.TADReview)},
	{Name: "tip-apex-impossible", Level: Missing, Part: PartHead, Facts: names("field", "value", "low", "high")},
	{Name: "tip-apex-red", Level: Caution, Part: PartHead, Facts: names("distance", "limit"), Sources: by(source.TAD1995)},
	{Name: "tip-apex-amber", Level: Note, Part: PartHead, Facts: names("distance", "limit"), Sources: by(source.TADReview)},
	{Name: "tip-apex-deep", Level: Caution, Part: PartHead, Facts: names("distance", "limit"), Sources: by(source.Subchondral)},
}
