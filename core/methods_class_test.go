package core_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

func init() {
	for k, v := range classExamples {
		examples[k] = v
	}
}

func planOf(c record.Case) plan.Plan {
	return plan.Make(c, implant.Teaching(), plan.DefaultPolicy())
}

var classExamples = map[string]func(*testing.T) []string{
	// Winquist and Hansen: III has more than half of the width in pieces.
	"stable": func(*testing.T) []string {
		stable := func(code string, grade record.Comminution) string {
			return string(planOf(record.Case{Injury: record.Injury{Code: code, Comminution: grade}}).Class.Stable)
		}
		return []string{"32A3 with I: " + stable("32A3", record.ComminutionI), "32B2 with III: " + stable("32B2", record.ComminutionIII),
			"32C2 alone: " + stable("32C2", ""), "32A3 alone: " + stable("32A3", "")}
	},
	// Gustilo and Anderson: I under 1 cm, III over 10 cm.
	"wound": func(*testing.T) []string {
		said := func(kind record.Wound, mm units.MM) string {
			pl := planOf(record.Case{Injury: record.Injury{Wound: kind, WoundMM: &mm}})
			for code, words := range map[string]string{"wound-length": "a contradiction", "wound-large": "look again"} {
				if _, ok := find(pl.Problems, code); ok {
					return words
				}
			}
			return "none"
		}
		return []string{"I with 10 mm: " + said(record.WoundI, 10), "I with 12 mm: " + said(record.WoundI, 12), "II with 120 mm: " + said(record.WoundII, 120)}
	},
	// ASBMR 2013: four of five.
	"atypical": func(*testing.T) []string {
		signs := func(a ...record.Answer) string {
			s := record.AtypicalSay{MinimalTrauma: a[0], LateralStart: a[1], SpikeOrPart: a[2], FewPieces: a[3], LateralThick: a[4]}
			return string(planOf(record.Case{Injury: record.Injury{AtypicalSigns: &s}}).Class.Atypical)
		}
		y, n, o := record.Yes, record.No, record.NotAsked
		return []string{"4 yes and 1 no: " + signs(y, y, y, y, n), "3 yes and 2 no: " + signs(y, y, y, n, n), "3 yes and 2 open: " + signs(y, y, y, o, o)}
	},
	// Tornetta 2007.
	"neck-looks": func(*testing.T) []string {
		left := func(in record.Injury) string {
			return strings.Join(planOf(record.Case{Injury: in}).Class.NeckLeft, ", ") + " remain"
		}
		return []string{"CT and film done: " + left(record.Injury{NeckByCT: record.Yes, NeckByFilm: record.Yes}),
			"MRI done: " + left(record.Injury{NeckByMRI: record.Yes}), "Nothing done: " + left(record.Injury{})}
	},
	// By definition of a side; growth plates from memory.
	"contradict": func(t *testing.T) []string {
		side := planOf(record.Case{Side: anatomy.Left, Implants: []record.Implant{{Kind: "nail", Side: anatomy.Right}}})
		q, ok := find(side.Problems, "part-side")
		if !ok || !slices.Equal(q.Fields, []string{"side", "implants[0].side"}) {
			t.Errorf("part-side: %v", q)
		}
		physis := func(age int) string {
			q, _ := find(planOf(record.Case{Injury: record.Injury{OpenPhysis: record.Yes, AgeYears: &age}}).Problems, "physis-age")
			if q.Level == "" {
				return "none"
			}
			return string(q.Level)
		}
		return []string{string(q.Level), "40 years: " + physis(40), "20 years: " + physis(20)}
	},
	// Normal table: room 415, u 2·√2: Φ(5.30) − (1 − Φ(1.768)) and 1 − Φ(1.768)
	// = 0.0385. Canal: 115 pixels of 0.1 mm.
	"kit": func(t *testing.T) []string {
		rod, out, hundred := units.MM(950), units.MM(530), units.MM(100)
		at := func(x, y units.Px) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: x, Y: y} }
		film := record.Film{Width: 3000, Height: 3000, View: anatomy.AP, Bone: anatomy.Injured,
			Evidence: []record.Evidence{{ID: "ruler", Kind: record.Ruler, At: []geom.Pt[units.Px]{at(2000, 500), at(2000, 1500)}, Slip: 1, True: &hundred, AtBone: record.Yes}},
			Points: []record.Point{{Name: anatomy.CanalA, At: at(1000, 1500), Slip: 0.5}, {Name: anatomy.CanalB, At: at(1115, 1500), Slip: 0.5},
				{Name: anatomy.ShaftUpper, At: at(1057, 500), Slip: 1}, {Name: anatomy.ShaftLower, At: at(1057, 2500), Slip: 1}}}
		pl := planOf(record.Case{Side: anatomy.Left, Injury: shaft(record.MidShaft), Films: []record.Film{film},
			Readings: []record.Reading{{ID: "r", Kind: record.TwoRods, First: &rod, Second: &out, OnBone: record.Yes, Reduced: record.Yes}}})
		var found []string
		for _, it := range pl.Kit.Items {
			if it.Kind == "nail" {
				found = append(found, f(0, it.Length)+" mm", f(0, 100*it.Chance)+" %")
			}
		}
		if len(found) != 4 || pl.Kit.Cover["nail"] < 0.95 {
			t.Fatalf("%v, cover %v", found, pl.Kit.Cover)
		}
		return append([]string{f(2, pl.Bone.Canal.Best) + " mm"}, found...)
	},
	// Common practice: the cap first, the nail last.
	"removal": func(*testing.T) []string {
		var parts []record.Implant
		for _, k := range []string{"nail", "head-screw-lower", "head-screw-upper", "locking-screw", "locking-screw", "end-cap"} {
			parts = append(parts, record.Implant{Kind: k})
		}
		var out []string
		for _, p := range planOf(record.Case{Implants: parts}).Removal.Parts {
			out = append(out, p.Part.Kind)
		}
		return []string{strings.Join(out, ", ")}
	},
}
