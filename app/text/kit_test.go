package text

import (
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

func TestKitWords(t *testing.T) {
	nb := "\u00a0"
	for _, tt := range []struct {
		it            plan.KitItem
		title, detail string
	}{
		{plan.KitItem{Kind: plan.KindNail, Role: plan.Planned, Diameter: 11, Length: 400, Side: anatomy.Left, Need: 1, Have: 2}, "Nail 11 × 400" + nb + "mm, left", "Need 1, on the shelf 2."},
		{plan.KitItem{Kind: plan.KindHead, Place: implant.Lower, Diameter: 6.5, Length: 95, Need: 2, Have: 1}, "Lower head screw 6.5 × 95" + nb + "mm", "Need 2, on the shelf 1: 1 missing."},
		{plan.KitItem{Kind: plan.KindCap, ID: "c", Need: 1, Have: 1}, "End cap 0" + nb + "mm", "Need 1, on the shelf 1."},
		{plan.KitItem{Kind: plan.KindLocking, Diameter: 5, Need: 4, Have: 40}, "Locking screw 5" + nb + "mm", "Need 4, on the shelf 40."},
		{plan.KitItem{Kind: "screwdriver", Fits: "hexagon 5 mm", Need: 1, Note: "Try it first"}, "Screwdriver, hexagon 5" + nb + "mm", "Need 1, on the shelf 0: 1 missing. From the shelf: Try it first"},
		{plan.KitItem{Kind: "other", Need: 1, Have: 1}, "For broken parts", "Need 1, on the shelf 1."},
	} {
		title, detail := KitItem(tt.it)
		if title != tt.title || detail != tt.detail {
			t.Errorf("%q, %q; want %q, %q", title, detail, tt.title, tt.detail)
		}
	}
	for _, k := range append([]string{plan.KindNail, plan.KindHead, plan.KindLocking, plan.KindCap, plan.KindReamer, implant.GuideRod, implant.GuideWire, "plate", "head-screw-lower", "head-screw-upper"}, toolKinds()...) {
		if Kind(k) == k && strings.Contains(k, "-") {
			t.Errorf("kind %s has no words", k)
		}
	}
	for _, r := range []plan.KitRole{plan.Planned, plan.Neighbour, plan.Always, plan.Removing} {
		if KitRole(r) == "" || strings.Contains(KitRole(r), "neighbour") || strings.Contains(KitRole(r), "always") {
			t.Errorf("role %s reads %q", r, KitRole(r))
		}
	}
	for _, l := range []string{plan.LookCT, plan.LookMRI, plan.LookFilm, plan.LookTheatre, plan.LookAfter} {
		if NeckLook(l) == l {
			t.Errorf("look %s has no words", l)
		}
	}
}

func toolKinds() (out []string) {
	for _, k := range implant.ToolKinds() {
		out = append(out, string(k))
	}
	return out
}

func TestRemovalWords(t *testing.T) {
	five := units.MM(6.5)
	long := units.MM(95)
	p := plan.RemovalPart{Order: 3, Part: record.Implant{Kind: "head-screw-lower", Diameter: &five, Length: &long, Drive: "hexagon 5 mm"}, Broken: true}
	if got, want := RemovalPart(p), "3. Lower head screw 6.5 × 95\u00a0mm, drive hexagon 5\u00a0mm, broken"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := RemovalPart(plan.RemovalPart{Order: 1, Part: record.Implant{Kind: "plate"}}), "1. Plate, drive not known"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Everything that class, list and removal say about awkward cases is words.
func TestInjuryInWords(t *testing.T) {
	age, wound := 40, units.MM(20)
	signs := &record.AtypicalSay{MinimalTrauma: record.Yes, LateralStart: record.Yes, SpikeOrPart: record.Yes, FewPieces: record.Yes}
	parts := []record.Implant{{Kind: "nail", Side: anatomy.Right}, {Kind: "plate", Broken: record.Yes}, {Kind: "nail"}, {Kind: "locking-screw", Drive: "star 25"}}
	for _, c := range []record.Case{
		{Side: anatomy.Left, Existing: parts, Injury: record.Injury{Code: "32C2(j)", Comminution: record.Comminution0, Wound: record.WoundI, WoundMM: &wound,
			Implant: record.No, Atypical: record.No, AtypicalSigns: signs, HighEnergy: record.Yes, OpenPhysis: record.Yes, AgeYears: &age,
			BothFemurs: record.Yes, ManyInjuries: record.Yes}, Films: []record.Film{{Bone: anatomy.Sound}}},
		{Side: anatomy.Left, Implants: parts, Injury: record.Injury{Code: "31B2", AtypicalSigns: signs, MedialPieces: record.Yes, Wound: record.WoundIIIB,
			Level: record.NearLesser, LesserWhole: record.No, OneScrewReason: "short", NeckByCT: record.Yes}},
		{Injury: record.Injury{Implant: record.Yes, Code: "32A3", Comminution: record.ComminutionIV, Wound: record.Closed, WoundMM: &wound}},
	} {
		pl := plan.For(c, implant.Teaching())
		var said []string
		for _, rs := range [][]plan.Reason{pl.Class.Why, pl.Locking.Why, pl.Removal.Steps} {
			for _, r := range rs {
				said = append(said, Reason(r))
			}
		}
		for _, list := range [][]plan.KitItem{pl.Kit.Items, pl.Kit.Missing, pl.Removal.Bring} {
			for _, it := range list {
				title, detail := KitItem(it)
				said = append(said, title, detail)
			}
		}
		for _, p := range pl.Removal.Parts {
			said = append(said, RemovalPart(p))
		}
		for _, q := range pl.Problems {
			title, do := Problem(q)
			said = append(said, title, do)
		}
		if len(said) < 20 {
			t.Fatalf("only %v", said)
		}
		for _, s := range said {
			if s == "" || strings.ContainsAny(s, "{}") || strings.Contains(s, "NaN") || strings.Contains(s, "without words") || strings.Contains(s, "head-screw") {
				t.Errorf("%q", s)
			}
		}
	}
}

// The hazards of injury and removal are said, with what to do.
func TestInjuryHazardsAreSaid(t *testing.T) {
	for _, tt := range []struct{ code, want string }{
		{"neck-high-energy", "20 to 50 % of neck fractures"}, {"neck-ct-limits", "does not exclude"}, {"resuscitate-first", "resuscitate"},
		{"both-femurs", "stages"}, {"z-effect", "varus"}, {"wound-open-iii", "by your protocol"}, {"rem-bolt", "while the screws still hold it"},
		{"rem-cap", "first"}, {"rem-protect", "Protect"}, {"removal-unknown", "Ask the hospital"}, {"one-screw-unstable", "not enough"},
	} {
		if said := reasons[tt.code] + problems[tt.code].title + " " + problems[tt.code].do; !strings.Contains(said, tt.want) {
			t.Errorf("%s does not say %q: %s", tt.code, tt.want, said)
		}
	}
}
