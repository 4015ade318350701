package plan

import (
	"math"

	"isthmus/core/record"
	"isthmus/core/source"
	"isthmus/core/units"
)

// A Policy holds the values that surgeons and hospitals set differently. Make
// it with DefaultPolicy or PolicyFrom; its zero value is not usable.
type Policy struct {
	Burial         units.MM // top of the nail below the tip of the trochanter
	ReamOver       units.MM // last reamer head over the nail
	ReamStep       units.MM // from one reamer head to the next
	ReamFirst      units.MM // first reamer head, where the canal lets it in
	ReamCut        units.MM // most that is reamed off a tight canal at the isthmus, in diameter
	HeadClearance  units.MM // tip of a head screw to the joint surface
	NeckUpper      units.MM // upper head screw to the inner edge of the neck
	NeckLower      units.MM // lower head screw to the inner edge of the neck
	NeckSide       units.MM // head screw to the inner front and back edge of the neck
	TipFar         units.MM // tip of a head screw to the joint surface, at most
	UpperShorter   units.MM // how much the upper head screw ends short of the lower, at least
	CanalAmber     units.MM // narrow canal
	CanalRed       units.MM // canal too narrow to ream without thought
	FitAmber       float64  // nail over canal
	DistalScrews   float64  // distal screws in general
	DistalBelow    float64  // … with the fracture below the isthmus
	NearLesser     units.MM // "close to the lesser trochanter"
	Subtroch       units.MM // "subtrochanteric", below the lesser trochanter
	BelowIsthmus   units.MM // "below the isthmus": this far, for the isthmus is a stretch and no point
	HoleDistance   units.MM // fracture to the nearest distal hole
	SideDifference units.MM // mean difference between the two femora
	FilmTilt       float64  // standard uncertainty of how far a bone lies tilted to the film
	RodReading     units.MM // standard uncertainty of one reading of a rod
	GaugeReading   units.MM // standard uncertainty of one reading of the depth gauge
	SkinReading    units.MM // standard uncertainty of a ruler on the skin
	ViewsPercent   float64  // scales of two films of one bone may differ by this
	SureEnough     float64  // chance under which a size is too close to call
	AdultYears     float64  // under this age: stop
	TipApexAmber   units.MM // tip–apex distance
	TipApexRed     units.MM

	DistalOver    units.MM // distal screw over the depth read
	DistalPast    units.MM // what may stand out of the far cortex
	BowMismatch   units.MM // height of the bow of the bone over that of the nail
	ShortStature  units.MM // under this body height the tip meets the front cortex more often
	TurnReading   float64  // standard uncertainty of one reading of the C-arm's angle
	TurnNormal    float64  // difference of version between the legs that is taken as normal
	TurnLimit     float64  // … that is called malrotation
	TurnCorrect   float64  // … over which it is corrected
	Varus         float64  // neck–shaft angle under that of the other side
	LengthDiscuss units.MM // difference in length that is talked about
	LengthCorrect units.MM // … that is corrected
	GapLimit      units.MM // widest gap of a simple fracture
	UnitedRUST    float64  // united at this score
	UnitedMRUST   float64  // …
	WindowFrom    float64  // first and last day on which to think of dynamising
	WindowTo      float64
}

// A Knob is one policy value: its key in the case file (which is also the
// code of its words in app/text), its range, unit and source.
type Knob struct {
	Key             string
	Default, Lo, Hi float64
	Unit            string // "mm", "%", "°", "" for a count or a pure number, "years", "days"
	Source          source.Key
	mm              func(*Policy) *units.MM // one of the two
	num             func(*Policy) *float64
}

var knobs = []Knob{
	{"burial_mm", 5, 0, 15, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.Burial }, nil},
	{"ream_over_mm", 1, 0.5, 1.5, "mm", source.AOReaming, func(p *Policy) *units.MM { return &p.ReamOver }, nil},
	{"ream_step_mm", 0.5, 0.5, 1, "mm", source.AOReaming, func(p *Policy) *units.MM { return &p.ReamStep }, nil},
	{"ream_first_mm", 8.5, 7, 10, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.ReamFirst }, nil},
	{"ream_cut_mm", 1.5, 0.5, 3, "mm", source.HeatMemory, func(p *Policy) *units.MM { return &p.ReamCut }, nil},
	{"head_clearance_mm", 5, 3, 10, "mm", source.Subchondral, func(p *Policy) *units.MM { return &p.HeadClearance }, nil},
	{"neck_upper_mm", 3, 1, 8, "mm", source.NeckRoom, func(p *Policy) *units.MM { return &p.NeckUpper }, nil},
	{"neck_lower_mm", 3, 1, 8, "mm", source.NeckRoom, func(p *Policy) *units.MM { return &p.NeckLower }, nil},
	{"neck_side_mm", 3, 1, 8, "mm", source.NeckRoom, func(p *Policy) *units.MM { return &p.NeckSide }, nil},
	{"tip_far_mm", 12, 8, 20, "mm", source.Subchondral, func(p *Policy) *units.MM { return &p.TipFar }, nil},
	{"upper_shorter_mm", 0, 0, 15, "mm", source.LowerScrew, func(p *Policy) *units.MM { return &p.UpperShorter }, nil},
	{"canal_amber_mm", 9, 8, 11, "mm", source.HeatMemory, func(p *Policy) *units.MM { return &p.CanalAmber }, nil},
	{"canal_red_mm", 8, 6, 9, "mm", source.HeatMemory, func(p *Policy) *units.MM { return &p.CanalRed }, nil},
	{"fit_amber", 0.7, 0.5, 0.9, "", source.NailFit2018, nil, func(p *Policy) *float64 { return &p.FitAmber }},
	{"distal_screws", 2, 1, 3, "", source.Brumback, nil, func(p *Policy) *float64 { return &p.DistalScrews }},
	{"distal_below_isthmus", 3, 2, 4, "", source.AODistal, nil, func(p *Policy) *float64 { return &p.DistalBelow }},
	{"near_lesser_mm", 10, 0, 30, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.NearLesser }, nil},
	{"subtroch_mm", 50, 30, 75, "mm", source.Subtroch, func(p *Policy) *units.MM { return &p.Subtroch }, nil},
	{"below_isthmus_mm", 30, 0, 60, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.BelowIsthmus }, nil},
	{"hole_distance_mm", 50, 30, 80, "mm", source.Bucholz, func(p *Policy) *units.MM { return &p.HoleDistance }, nil},
	{"side_difference_mm", 3.6, 2, 10, "mm", source.SideDiff, func(p *Policy) *units.MM { return &p.SideDifference }, nil},
	{"film_tilt_deg", 3, 0, 10, "°", source.CommonUse, nil, func(p *Policy) *float64 { return &p.FilmTilt }},
	{"rod_reading_mm", 2, 1, 5, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.RodReading }, nil},
	{"gauge_reading_mm", 1, 0.5, 3, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.GaugeReading }, nil},
	{"skin_reading_mm", 10, 5, 20, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.SkinReading }, nil},
	{"views_percent", 5, 2, 10, "%", source.CommonUse, nil, func(p *Policy) *float64 { return &p.ViewsPercent }},
	{"sure_enough", 0.75, 0.6, 0.95, "", source.CommonUse, nil, func(p *Policy) *float64 { return &p.SureEnough }},
	{"adult_years", 18, 16, 21, "years", source.Entry, nil, func(p *Policy) *float64 { return &p.AdultYears }},
	{"tip_apex_amber_mm", 20, 15, 25, "mm", source.TADReview, func(p *Policy) *units.MM { return &p.TipApexAmber }, nil},
	{"tip_apex_red_mm", 25, 20, 35, "mm", source.TAD1995, func(p *Policy) *units.MM { return &p.TipApexRed }, nil},

	{"distal_over_mm", 2, 2, 4, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.DistalOver }, nil},
	{"distal_past_mm", 6, 4, 12, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.DistalPast }, nil},
	{"bow_mismatch_mm", 5, 3, 10, "mm", source.CommonUse, func(p *Policy) *units.MM { return &p.BowMismatch }, nil},
	{"short_stature_mm", 1600, 1500, 1700, "mm", source.Impinge, func(p *Policy) *units.MM { return &p.ShortStature }, nil},
	{"turn_reading_deg", 2, 0.5, 5, "°", source.CommonUse, nil, func(p *Policy) *float64 { return &p.TurnReading }},
	{"turn_normal_deg", 10, 5, 12, "°", source.TurnLimits, nil, func(p *Policy) *float64 { return &p.TurnNormal }},
	{"turn_limit_deg", 15, 12, 20, "°", source.TurnLimits, nil, func(p *Policy) *float64 { return &p.TurnLimit }},
	{"turn_correct_deg", 30, 20, 40, "°", source.TurnLimits, nil, func(p *Policy) *float64 { return &p.TurnCorrect }},
	{"varus_deg", 5, 3, 15, "°", source.CommonUse, nil, func(p *Policy) *float64 { return &p.Varus }},
	{"length_discuss_mm", 15, 10, 18, "mm", source.LegLength, func(p *Policy) *units.MM { return &p.LengthDiscuss }, nil},
	{"length_correct_mm", 20, 18, 30, "mm", source.LegLength, func(p *Policy) *units.MM { return &p.LengthCorrect }, nil},
	{"gap_limit_mm", 4.14, 2, 10, "mm", source.GapSeries, func(p *Policy) *units.MM { return &p.GapLimit }, nil},
	{"united_rust", 10, 9, 12, "", source.Litrenta, nil, func(p *Policy) *float64 { return &p.UnitedRUST }},
	{"united_mrust", 11, 10, 16, "", source.Litrenta, nil, func(p *Policy) *float64 { return &p.UnitedMRUST }},
	{"window_from_days", 90, 60, 120, "days", source.Vicenti, nil, func(p *Policy) *float64 { return &p.WindowFrom }},
	{"window_to_days", 180, 150, 270, "days", source.Vicenti, nil, func(p *Policy) *float64 { return &p.WindowTo }},
}

// whole lists the knobs that are counts: half a screw is refused.
var whole = map[string]bool{"distal_screws": true, "distal_below_isthmus": true, "adult_years": true,
	"united_rust": true, "united_mrust": true, "window_from_days": true, "window_to_days": true}

// Knobs returns every policy value with its range and source, in the order of
// the job.
func Knobs() []Knob { return append([]Knob(nil), knobs...) }

// Value returns what the policy holds for this knob.
func (k Knob) Value(p Policy) float64 {
	if k.mm != nil {
		return float64(*k.mm(&p))
	}
	return *k.num(&p)
}

func (k Knob) set(p *Policy, v float64) {
	if k.mm != nil {
		*k.mm(p) = units.MM(v)
		return
	}
	*k.num(p) = v
}

// accepts reports whether the value is a number within the knob's range.
func (k Knob) accepts(v float64) bool {
	return v >= k.Lo && v <= k.Hi && (!whole[k.Key] || v == math.Trunc(v))
}

// DefaultPolicy returns every value at its default.
func DefaultPolicy() Policy {
	var p Policy
	for _, k := range knobs {
		k.set(&p, k.Default)
	}
	return p
}

// PolicyFrom returns the default policy with the settings of a case. A key
// that is not known, a value out of range and a key given twice with two
// values leave the default in place and are reported.
func PolicyFrom(settings []record.Setting) (Policy, []Problem) {
	p := DefaultPolicy()
	var problems []Problem
	seen := map[string]float64{}
	for i, s := range settings {
		k, ok := knob(s.Key)
		field := index("settings", i)
		if !ok {
			problems = append(problems, trouble("policy-unknown", fields(field+".key"), word("key", s.Key)))
			continue
		}
		if !k.accepts(s.Value) {
			problems = append(problems, trouble("policy-range", fields(field+".value"), word("key", k.Key),
				number("value", s.Value), number("default", k.Default), number("low", k.Lo), number("high", k.Hi)))
			continue
		}
		if before, twice := seen[k.Key]; twice && before != s.Value {
			k.set(&p, k.Default)
			problems = append(problems, trouble("policy-twice", fields(field+".key"), word("key", k.Key), number("default", k.Default)))
			continue
		}
		seen[k.Key] = s.Value
		k.set(&p, s.Value)
	}
	return p, append(problems, contradictions(&p)...)
}

// checked returns the policy with every value that is out of its range put
// back to its default, and says which.
func (p Policy) checked() (Policy, []Problem) {
	var problems []Problem
	for _, k := range knobs {
		if v := k.Value(p); !k.accepts(v) {
			k.set(&p, k.Default)
			problems = append(problems, trouble("policy-range", fields("settings"), word("key", k.Key),
				number("value", v), number("default", k.Default), number("low", k.Lo), number("high", k.Hi)))
		}
	}
	return p, problems
}

// contradictions puts pairs of values that exclude each other back to their
// defaults, and says so.
func contradictions(p *Policy) []Problem {
	var problems []Problem
	back := func(a, b string) {
		ka, _ := knob(a)
		kb, _ := knob(b)
		problems = append(problems, trouble("policy-contradiction", fields("settings"), word("key", a), word("other", b)))
		ka.set(p, ka.Default)
		kb.set(p, kb.Default)
	}
	if !(p.CanalRed <= p.CanalAmber) {
		back("canal_red_mm", "canal_amber_mm")
	}
	if !(p.TipApexAmber <= p.TipApexRed) {
		back("tip_apex_amber_mm", "tip_apex_red_mm")
	}
	if !(p.DistalScrews <= p.DistalBelow) {
		back("distal_screws", "distal_below_isthmus")
	}
	if !(p.NearLesser <= p.Subtroch) {
		back("near_lesser_mm", "subtroch_mm")
	}
	return problems
}

func knob(key string) (Knob, bool) {
	for _, k := range knobs {
		if k.Key == key {
			return k, true
		}
	}
	return Knob{}, false
}

// shown returns the policy value as a length without doubt, for a Fact.
func shown(name string, v units.MM) Fact { return length(name, units.Exact(v)) }
