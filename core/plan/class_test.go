package plan

import (
	"slices"
	"testing"

	"isthmus/core/record"
	"isthmus/core/units"
)

func TestStable(t *testing.T) {
	for _, tt := range []struct {
		code  string
		grade record.Comminution
		want  record.Answer
	}{ // Winquist and Hansen: II has at least half of the width in contact; AO/OTA 2018: C has no contact
		{"32A3(b)", record.Comminution0, record.Yes}, {"32A1", record.ComminutionI, record.Yes}, {"32B2(c)", record.ComminutionII, record.Yes},
		{"32B2", record.ComminutionIII, record.No}, {"32B3", record.ComminutionIV, record.No}, {"", record.ComminutionIII, record.No},
		{"32C2(j)", record.NoComminutionSaid, record.No}, {"32C3", record.ComminutionII, record.No},
		{"32A3", record.NoComminutionSaid, record.Unsure}, {"", record.ComminutionI, record.Unsure}, {"31A1", record.ComminutionI, record.Unsure},
		{"", record.NoComminutionSaid, record.NotAsked}, {"31B1", record.NoComminutionSaid, record.NotAsked}, {"32B1", record.NoComminutionSaid, record.NotAsked},
	} {
		c, _ := classOf(record.Injury{Code: tt.code, Comminution: tt.grade}, DefaultPolicy())
		if c.Stable != tt.want {
			t.Errorf("%s with %q: stable %q, want %q", tt.code, tt.grade, c.Stable, tt.want)
		}
	}
}

// A code that does not exist is no code; the list is of facts 7.
func TestClassCode(t *testing.T) {
	for code, want := range map[string]string{"32A3(b)": "32A3(b)", "32b2 (c)": "32B2(c)", "32C3(k)": "32C3(k)",
		"32A4": "", "32B1": "", "32C1": "", "32C2(b)": "", "32A1(j)": "", "": ""} {
		c, _ := classOf(record.Injury{Code: code}, DefaultPolicy())
		got := ""
		if c.Code != nil {
			got = c.Code.String()
		}
		if got != want {
			t.Errorf("%q is read as %q, want %q", code, got, want)
		}
	}
}

func TestClassProblems(t *testing.T) {
	signs := func(a ...record.Answer) *record.AtypicalSay {
		return &record.AtypicalSay{MinimalTrauma: a[0], LateralStart: a[1], SpikeOrPart: a[2], FewPieces: a[3], LateralThick: a[4]}
	}
	y, n, o := record.Yes, record.No, record.NotAsked
	for _, tt := range []struct {
		name   string
		in     record.Injury
		want   string // the one problem; empty for none
		fields []string
		source string
	}{
		{"nothing said", record.Injury{}, "", nil, "nothing is guessed"},
		{"simple, more than half in pieces", record.Injury{Code: "32A2", Comminution: record.ComminutionIII}, "code-comminution", []string{"injury.code", "injury.comminution"}, "AO/OTA 2018: A is simple"},
		{"simple, no contact", record.Injury{Code: "32A2", Comminution: record.ComminutionIV}, "code-comminution", []string{"injury.code", "injury.comminution"}, "AO/OTA 2018"},
		{"segmental, no pieces", record.Injury{Code: "32C2(j)", Comminution: record.Comminution0}, "code-comminution", []string{"injury.code", "injury.comminution"}, "AO/OTA 2018: C has many"},
		{"wedge, more than half", record.Injury{Code: "32B3", Comminution: record.ComminutionIII}, "", nil, "Winquist and Hansen"},
		{"simple, small piece", record.Injury{Code: "32A2", Comminution: record.ComminutionI}, "", nil, "Winquist and Hansen"},
		{"type I of 10 mm", record.Injury{Wound: record.WoundI, WoundMM: mm(10)}, "", nil, "Gustilo: about 1 cm is no contradiction"},
		{"type I of 10.1 mm", record.Injury{Wound: record.WoundI, WoundMM: mm(10.1)}, "wound-length", []string{"injury.wound", "injury.wound_mm"}, "Gustilo: I under 1 cm"},
		{"type I of 101 mm", record.Injury{Wound: record.WoundI, WoundMM: mm(101)}, "wound-large", []string{"injury.wound", "injury.wound_mm"}, "Gustilo: III over 10 cm"},
		{"type II of 100 mm", record.Injury{Wound: record.WoundII, WoundMM: mm(100)}, "", nil, "Gustilo: 1 to 10 cm"},
		{"type II of 101 mm", record.Injury{Wound: record.WoundII, WoundMM: mm(101)}, "wound-large", []string{"injury.wound", "injury.wound_mm"}, "Gustilo"},
		{"type III of 5 mm", record.Injury{Wound: record.WoundIIIA, WoundMM: mm(5)}, "", nil, "Gustilo: a farm wound is III at any length"},
		{"closed with a wound", record.Injury{Wound: record.Closed, WoundMM: mm(5)}, "wound-closed", []string{"injury.wound", "injury.wound_mm"}, "by definition"},
		{"a wound of no type", record.Injury{WoundMM: mm(5)}, "wound-type-missing", []string{"injury.wound"}, "nothing is guessed"},
		{"signs yes, answer no", record.Injury{Atypical: n, AtypicalSigns: signs(y, y, y, y, o)}, "atypical-differs", []string{"injury.atypical", "injury.atypical_signs"}, "ASBMR 2013"},
		{"signs no, answer yes", record.Injury{Atypical: y, AtypicalSigns: signs(y, n, n, o, o)}, "atypical-differs", []string{"injury.atypical", "injury.atypical_signs"}, "ASBMR 2013"},
		{"signs unsure, answer yes", record.Injury{Atypical: y, AtypicalSigns: signs(y, y, y, n, o)}, "", nil, "ASBMR 2013"},
		{"of the trochanters", record.Injury{Code: "31A2", AtypicalSigns: signs(y, y, y, y, o)}, "atypical-excluded", []string{"injury.atypical", "injury.atypical_signs", "injury.code"}, "ASBMR 2013"},
		{"of the neck", record.Injury{Code: "31B2", Atypical: y}, "atypical-excluded", []string{"injury.atypical", "injury.atypical_signs", "injury.code"}, "ASBMR 2013"},
		{"through a tumour", record.Injury{Pathologic: y, Atypical: y}, "atypical-excluded", []string{"injury.atypical", "injury.atypical_signs", "injury.pathologic"}, "ASBMR 2013"},
		{"a spiral of the shaft", record.Injury{Code: "32A1(a)", Atypical: y}, "", nil, "ASBMR 2013 leaves out only the intertrochanteric one"},
		{"minimal trauma of high energy", record.Injury{HighEnergy: y, AtypicalSigns: signs(y, o, o, o, o)}, "signs-trauma", []string{"injury.atypical_signs.minimal_trauma", "injury.high_energy"}, "by definition"},
		{"few of many pieces", record.Injury{Code: "32C3", Comminution: record.ComminutionIV, AtypicalSigns: signs(o, o, o, y, o)}, "signs-pieces",
			[]string{"injury.atypical_signs.few_pieces", "injury.comminution", "injury.code"}, "by definition"},
	} {
		_, got := classOf(tt.in, DefaultPolicy())
		switch {
		case tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) != 1 || got[0].Code != tt.want):
			t.Errorf("%s: %v, want %q (%s)", tt.name, codesOf(got), tt.want, tt.source)
		case tt.want != "" && !slices.Equal(got[0].Fields, tt.fields):
			t.Errorf("%s names %v, want %v", tt.name, got[0].Fields, tt.fields)
		}
	}
	huge := record.Injury{Wound: record.WoundI, WoundMM: mm(units.MM(0))}
	if _, got := classOf(huge, DefaultPolicy()); len(got) != 0 {
		t.Errorf("a wound of no length: %v", codesOf(got))
	}
}

// Every one of the 3^5 answers to the five signs. Source: ASBMR 2013, at least
// four of five; by hand: no once two are not there.
func TestAtypicalSigns(t *testing.T) {
	kinds := []record.Answer{record.Yes, record.No, record.NotAsked}
	tried := map[record.Answer]int{}
	for i := range 243 {
		var a [5]record.Answer
		var yes, no int
		for j, k := 0, i; j < 5; j, k = j+1, k/3 {
			a[j] = kinds[k%3]
			switch a[j] {
			case record.Yes:
				yes++
			case record.No:
				no++
			}
		}
		want := record.Unsure
		switch {
		case yes >= 4:
			want = record.Yes
		case no >= 2:
			want = record.No
		case yes+no == 0:
			want = record.NotAsked
		}
		in := record.Injury{AtypicalSigns: &record.AtypicalSay{MinimalTrauma: a[0], LateralStart: a[1], SpikeOrPart: a[2], FewPieces: a[3], LateralThick: a[4]}}
		c, _ := classOf(in, DefaultPolicy())
		if c.Atypical != want || c.Majors != [3]int{yes, no, 5 - yes - no} {
			t.Errorf("%v: %q %v, want %q", a, c.Atypical, c.Majors, want)
		}
		// law: signs that say yes protect the neck, also against an answer of no
		in.Level, in.Neck, in.NeckByMRI, in.Atypical = record.MidShaft, record.No, record.Yes, record.No
		l, _ := lock(in, Bone{}, DefaultPolicy())
		if head := l.Pattern == HeadLock; head != (want == record.Yes) {
			t.Errorf("%v: pattern %q", a, l.Pattern)
		}
		tried[want]++
	}
	if tried[record.Yes] == 0 || tried[record.No] == 0 || tried[record.Unsure] == 0 || tried[record.NotAsked] != 1 {
		t.Errorf("%v", tried)
	}
	minor := record.Injury{AtypicalSigns: &record.AtypicalSay{ThickCortices: record.Yes, PainBefore: record.Yes, BothSides: record.Yes, SlowHealing: record.Yes}}
	if c, _ := classOf(minor, DefaultPolicy()); c.Atypical != record.NotAsked {
		t.Errorf("minor signs alone give %q (ASBMR 2013: none is needed, none decides)", c.Atypical)
	}
}

// Source: Tornetta 2007 (CT, film, in theatre, after); JBJS 2020 for MRI.
func TestNeckLooks(t *testing.T) {
	y := record.Yes
	for _, tt := range []struct {
		name       string
		in         record.Injury
		done, left []string
	}{
		{"nothing", record.Injury{}, nil, []string{LookCT, LookFilm, LookTheatre, LookAfter}},
		{"CT", record.Injury{NeckByCT: y}, []string{LookCT}, []string{LookFilm, LookTheatre, LookAfter}},
		{"MRI stands for CT", record.Injury{NeckByMRI: y}, []string{LookMRI}, []string{LookFilm, LookTheatre, LookAfter}},
		{"unsure is not done", record.Injury{NeckByCT: record.Unsure, NeckByFilm: y}, []string{LookFilm}, []string{LookCT, LookTheatre, LookAfter}},
		{"all", record.Injury{NeckByCT: y, NeckByMRI: y, NeckByFilm: y, NeckInTheatre: y, NeckAfter: y}, []string{LookCT, LookMRI, LookFilm, LookTheatre, LookAfter}, nil},
		{"broken: none remains", record.Injury{Neck: y, NeckByCT: y}, []string{LookCT}, nil},
	} {
		c, _ := classOf(tt.in, DefaultPolicy())
		if !slices.Equal(c.NeckDone, tt.done) || !slices.Equal(c.NeckLeft, tt.left) {
			t.Errorf("%s: done %v, left %v; want %v, %v", tt.name, c.NeckDone, c.NeckLeft, tt.done, tt.left)
		}
		said := slices.ContainsFunc(c.Why, func(r Reason) bool { return r.Code == "neck-missed" })
		if said != (len(tt.left) > 0) {
			t.Errorf("%s: 20 to 50 %% said: %v", tt.name, said)
		}
	}
	c, _ := classOf(record.Injury{Neck: record.No, NeckByCT: y}, DefaultPolicy())
	i := slices.IndexFunc(c.Why, func(r Reason) bool { return r.Code == "neck-ct-limits" })
	if i < 0 || *c.Why[i].Facts[0].Number != 12.1 { // 4 of 33
		t.Errorf("a negative CT is not doubted: %v", c.Why)
	}
}

func TestNeckStops(t *testing.T) {
	with := func(f func(*record.Injury)) record.Injury { in := alone(); f(&in); return in }
	for _, tt := range []struct {
		name, want string
		level      Level
		pattern    Pattern
		in         record.Injury
		source     string
	}{
		{"MRI alone clears", "", "", Standard, with(func(in *record.Injury) { in.NeckByCT, in.NeckByFilm, in.NeckByMRI = "", "", record.Yes }), "JBJS 2020"},
		{"in theatre alone", "neck-theatre-only", Caution, Standard, with(func(in *record.Injury) { in.NeckByCT, in.NeckByFilm, in.NeckInTheatre = "", "", record.Yes }), "Tornetta 2007"},
		{"high energy, no look", "neck-high-energy", Stop, NoPattern, with(func(in *record.Injury) { in.NeckByCT, in.NeckByFilm, in.HighEnergy = "", record.No, record.Yes }), "Tornetta 2007"},
		{"high energy, in theatre only", "neck-high-energy", Stop, NoPattern, with(func(in *record.Injury) {
			in.NeckByCT, in.NeckByFilm, in.HighEnergy, in.NeckInTheatre = "", "", record.Yes, record.Yes
		}), "Tornetta 2007"},
		{"high energy, not asked", "neck-high-energy", Stop, NoPattern, with(func(in *record.Injury) { in.Neck, in.NeckByCT, in.NeckByFilm, in.HighEnergy = "", "", "", record.Yes }), "Tornetta 2007"},
		{"high energy, film", "neck-film-only", Caution, Standard, with(func(in *record.Injury) { in.NeckByCT, in.HighEnergy = record.No, record.Yes }), "Tornetta 2007"},
		{"high energy, neck broken", "", "", HeadLock, with(func(in *record.Injury) {
			in.Neck, in.NeckByCT, in.NeckByFilm, in.HighEnergy = record.Yes, "", "", record.Yes
		}), "the fracture was found"},
	} {
		l, got := lock(tt.in, Bone{}, DefaultPolicy())
		if tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) != 1 || got[0].Code != tt.want || got[0].Level != tt.level) || l.Pattern != tt.pattern {
			t.Errorf("%s: %q, %v; want %q, %q (%s)", tt.name, l.Pattern, got, tt.pattern, tt.want, tt.source)
		}
	}
}

func TestLockMore(t *testing.T) {
	with := func(f func(*record.Injury)) record.Injury { in := alone(); f(&in); return in }
	one := DefaultPolicy()
	one.DistalScrews = 1
	for _, tt := range []struct {
		name     string
		p        Policy
		in       record.Injury
		want     Pattern
		distal   int
		problems []string
		source   string
	}{
		{"lesser trochanter broken", DefaultPolicy(), with(func(in *record.Injury) { in.LesserWhole = record.No }), HeadLock, 2, nil, "facts 7, memory"},
		{"lesser trochanter whole", DefaultPolicy(), with(func(in *record.Injury) { in.LesserWhole = record.Yes }), Standard, 2, nil, "facts 7, memory"},
		{"medial pieces, standard", DefaultPolicy(), with(func(in *record.Injury) { in.MedialPieces = record.Yes }), Standard, 2, nil, "Pires 2011: of head screws"},
		{"medial pieces, neck broken", DefaultPolicy(), with(func(in *record.Injury) { in.MedialPieces, in.Neck = record.Yes, record.Yes }), HeadLock, 2, []string{"z-effect"}, "Pires 2011"},
		{"one wanted, no reason", one, with(func(in *record.Injury) { in.Code, in.Comminution = "32A3(b)", record.Comminution0 }), Standard, 2, []string{"one-screw-reason"}, "facts 5"},
		{"one wanted, stable, reason", one, with(func(in *record.Injury) {
			in.Code, in.Comminution, in.OneScrewReason = "32A3(b)", record.Comminution0, "transverse, tight canal"
		}), Standard, 1, nil, "Hajek 1993"},
		{"a reason is a wish", DefaultPolicy(), with(func(in *record.Injury) {
			in.Code, in.Comminution, in.OneScrewReason = "32A3(b)", record.ComminutionII, "transverse"
		}), Standard, 1, nil, "Hajek 1993"},
		{"blanks are no reason", DefaultPolicy(), with(func(in *record.Injury) {
			in.Code, in.Comminution, in.OneScrewReason = "32A3(b)", record.Comminution0, "  "
		}), Standard, 2, nil, "nothing is guessed"},
		{"one wanted, unstable", one, with(func(in *record.Injury) { in.Code, in.OneScrewReason = "32C3", "in a hurry" }), Standard, 2, []string{"one-screw-unstable"}, "Brumback 1998"},
		{"one wanted, not known", one, with(func(in *record.Injury) { in.OneScrewReason = "in a hurry" }), Standard, 2, []string{"one-screw-unstable"}, "Brumback 1998"},
		{"one wanted, below the isthmus", one, with(func(in *record.Injury) {
			in.Code, in.Comminution, in.OneScrewReason, in.Level = "32A3(c)", record.Comminution0, "transverse", record.BelowIsthmus
		}), Standard, 3, []string{"one-screw-unstable"}, "AO page: several below"},
		{"one wanted, level open", one, with(func(in *record.Injury) { in.Level = "" }), NoPattern, 0, []string{"level-missing"}, "nothing is guessed"},
	} {
		l, got := lock(tt.in, Bone{}, tt.p)
		if l.Pattern != tt.want || l.Distal != tt.distal || !slices.Equal(codesOf(got), tt.problems) {
			t.Errorf("%s: %q, %d distal, %v; want %q, %d, %v (%s)", tt.name, l.Pattern, l.Distal, codesOf(got), tt.want, tt.distal, tt.problems, tt.source)
		}
	}
}
