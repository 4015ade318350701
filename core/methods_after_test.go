package core_test

import (
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

func init() {
	for k, v := range afterExamples {
		examples[k] = v
	}
}

// midShaft is a case of the teaching set with a nail of 400 mm: 950 − 530 mm
// of bone, a fracture that ends far up.
func midShaft() record.Case {
	rod, out := units.MM(950), units.MM(530)
	at := func(x, y float64) measure.Placed { return placed(x, y) }
	points := measure.Points{anatomy.TrochanterTip: at(500, 100), anatomy.DistalTarget: at(500, 4300), anatomy.FractureUpper: at(500, 1600),
		anatomy.FractureLower: at(500, 1700), anatomy.CanalA: at(445, 2000), anatomy.CanalB: at(555, 2000), anatomy.Notch: at(620, 4420)}
	film := record.Film{Width: 1000, Height: 5000, View: anatomy.AP, Bone: anatomy.Injured, Reduced: record.Yes,
		Evidence: []record.Evidence{{ID: "r", Kind: record.Ruler, At: []geom.Pt[units.Px]{px(100, 100), px(100, 3100)}, Slip: 1, True: mmOf(300), AtBone: record.Yes}}}
	for _, l := range anatomy.Landmarks(anatomy.AP) {
		if p, ok := points[l]; ok {
			film.Points = append(film.Points, record.Point{Name: l, At: p.At, Slip: p.Slip})
		}
	}
	return record.Case{Side: anatomy.Left, Films: []record.Film{film}, Injury: shaft(record.MidShaft),
		Readings: []record.Reading{{ID: "rods", Kind: record.TwoRods, First: &rod, Second: &out, OnBone: record.Yes, Reduced: record.Yes}}}
}

func mmOf(v units.MM) *units.MM    { return &v }
func degOf(v units.Deg) *units.Deg { return &v }

// said returns a word for whether a code was given.
func said(t *testing.T, problems []plan.Problem, code string, want bool) string {
	t.Helper()
	if _, got := find(problems, code); got != want {
		t.Errorf("%s said: %v", code, got)
	}
	if want {
		return "caution"
	}
	return "none"
}

var afterExamples = map[string]func(*testing.T) []string{
	// Common practice; by hand 8 − 5 and 10 − 8.
	"end-cap": func(*testing.T) []string {
		burial := units.Exact(8)
		a := plan.CapFor(&burial, implant.Teaching())
		return []string{"cap " + f(0, a.Cap.Height) + " mm", f(0, a.Left.Best) + " mm below", f(0, a.Next.Height) + " mm", f(0, -a.NextLeft.Best) + " mm proud"}
	},
	// By hand: 420 − 405, and 15 + 12.
	"nail-tip": func(t *testing.T) []string {
		c := midShaft()
		c.Films[0].Reduced = record.No // the rods alone give the length
		pl := plan.Make(c, implant.Teaching(), plan.DefaultPolicy())
		if pl.Seat.ToNotch == nil {
			t.Fatalf("nothing said of the notch: %v", pl.Problems)
		}
		return []string{f(0, pl.Bone.Length.Best), f(0, pl.Seat.Burial.Best), f(0, pl.Nail.Length) + " mm", f(0, pl.Nail.Tip.Best) + " mm short", f(0, pl.Seat.ToNotch.Best) + " mm past the tip"}
	},
	// Facts §3n.
	"bow-mismatch": func(t *testing.T) []string {
		a := plan.BowFor(units.Exact(943), 1500, 400, plan.DefaultPolicy())
		b := plan.BowFor(units.Exact(943), 1027.2, 400, plan.DefaultPolicy())
		return []string{f(3, a.Length.Best) + " mm, a " + said(t, a.Problems, "bow-mismatch", true), f(3, b.Length.Best) + " mm, " + said(t, b.Problems, "bow-mismatch", false)}
	},
	// PMID 22743391.
	"front-cortex": func(t *testing.T) []string {
		look := func(v units.MM, want bool) string {
			c := midShaft()
			c.Injury.StatureMM = &v
			return said(t, plan.Make(c, implant.Teaching(), plan.DefaultPolicy()).Problems, "stature-short", want)
		}
		return []string{"1590 mm: " + look(1590, true), "1600 mm: " + look(1600, false)}
	},
	// PMC5964262, figure 1: 42/12.
	"flare": func(t *testing.T) []string {
		r, err := measure.FlareIndex(ap(measure.Points{anatomy.FlareA: placed(0, 0), anatomy.FlareB: placed(420, 0), anatomy.CanalA: placed(150, 900), anatomy.CanalB: placed(270, 900)}))
		none(t, err)
		return []string{f(2, r.Best)}
	},
	// PMC5964262, figure 1: (28 − 12)/28.
	"cortical-index": func(t *testing.T) []string {
		r, err := measure.CorticalIndex(ap(measure.Points{anatomy.OuterA: placed(70, 900), anatomy.CanalA: placed(150, 900), anatomy.CanalB: placed(270, 900), anatomy.OuterB: placed(350, 900)}))
		none(t, err)
		return []string{f(3, r.Best)}
	},
	// By hand.
	"second-break": func(t *testing.T) []string {
		upper, lower, err := measure.SecondBreak(ap(measure.Points{anatomy.TrochanterTip: placed(0, 0), anatomy.DistalTarget: placed(0, 4000),
			anatomy.SecondUpper: placed(30, 2500), anatomy.SecondLower: placed(-30, 2800)}))
		none(t, err)
		return []string{f(0, upper.Best) + " and " + f(0, lower.Best) + " mm", f(0, lower.Best) + " mm"}
	},
	// Common practice, on the teaching set.
	"holes": func(t *testing.T) []string {
		pl := plan.Make(midShaft(), implant.Teaching(), plan.DefaultPolicy())
		var used []string
		for _, h := range pl.Distal.Holes {
			if h.Use {
				used = append(used, f(0, float64(h.Hole)))
			}
		}
		if pl.Distal.Dynamic != record.No || pl.Distal.Later != record.Yes {
			t.Errorf("dynamic %q, later %q", pl.Distal.Dynamic, pl.Distal.Later)
		}
		return []string{"holes " + strings.Join(used, " and "), "Hole " + f(0, float64(pl.Distal.TakeOut)) + " comes out"}
	},
	// Facts §5: 42 + 2 = 44 → 45.
	"distal-screw": func(*testing.T) []string {
		var shelf implant.Shelf
		for l := units.MM(30); l <= 60; l += 5 {
			shelf.Locking = append(shelf.Locking, implant.Screw{Diameter: 5, Length: l, Stock: 1})
		}
		p := plan.DefaultPolicy()
		s := plan.DistalScrewFor(42, 5, shelf, p)
		return []string{f(0, 42+p.DistalOver) + " mm", f(0, s.Ask) + " mm", f(0, s.Past.Best) + " mm out"}
	},
	// Facts §5; by hand atan(4/120).
	"toggle": func(*testing.T) []string {
		return []string{f(2, plan.ToggleFor(units.Exact(14), 10, units.Exact(120)).Angle.Best) + "°"}
	},
	// Facts §3r and §5.
	"stiffness": func(*testing.T) []string {
		a, _ := plan.SecondMoment(plan.Tube{Outer: 10, Inner: 5})
		b, _ := plan.SecondMoment(plan.Tube{Outer: 12, Inner: 5})
		return []string{f(2, a) + " mm⁴", f(2, b) + " mm⁴", f(3, plan.StiffnessRatio(plan.Tube{Outer: 12, Inner: 5}, plan.Tube{Outer: 10, Inner: 5}).Ratio.Best),
			f(3, plan.BendingRatio(5, 4).Ratio.Best)}
	},
	// Facts §6.1: 28 − 14; by hand 14 + 6.
	"turn": func(t *testing.T) []string {
		a := plan.TurnFrom(plan.Arc{Condyles: degOf(10), Neck: degOf(16)}, plan.Arc{Condyles: degOf(28), Neck: degOf(14)}, plan.DefaultPolicy())
		said(t, a.Problems, "turn-wrong", true)
		return []string{f(0, a.Sound.Best) + "°", f(0, a.Sound.Best) + "°", "−" + f(0, -a.Injured.Best) + "°", f(0, a.Angle.Best) + "° " + a.Direction}
	},
	// Turgut 2020: 95 % is 7.5° inwards of the upper piece.
	"lesser-sides": func(*testing.T) []string {
		a := plan.LesserFrom(mmOf(57), mmOf(60))
		return []string{f(1, 100*a.Ratio.Best) + " %", f(1, a.Angle.Best) + "° " + a.Direction}
	},
	// By hand: 423 − 402, 2·2·√2.
	"leg-length": func(t *testing.T) []string {
		a := plan.LengthDiff(mmOf(402), mmOf(423), plan.DefaultPolicy())
		said(t, a.Problems, "length-correct", true)
		return []string{f(0, -a.Length.Best) + " mm " + a.Direction, "± " + f(1, units.Sure*a.Length.Doubt()) + " mm"}
	},
	// By hand: 131 − 124.
	"neck-sides": func(t *testing.T) []string {
		a := plan.NeckShaftDiff(units.Angle{Best: 124}, units.Angle{Best: 131}, plan.DefaultPolicy())
		return []string{f(1, -a.Angle.Best) + "° into " + a.Direction + ", a " + said(t, a.Problems, "neck-varus", true)}
	},
	// J Orthop Sci 2023.
	"gap": func(t *testing.T) []string {
		a, b := plan.GapFrom(4.2, record.Yes, plan.DefaultPolicy()), plan.GapFrom(4.1, record.Yes, plan.DefaultPolicy())
		return []string{"4.2 mm: " + said(t, a.Problems, "gap-wide", true), "4.1 mm: " + said(t, b.Problems, "gap-wide", false)}
	},
	// Schmidt 2023; Litrenta 2015 from memory.
	"union": func(t *testing.T) []string {
		score := func(each int, scale string) plan.UnionAnswer {
			return plan.UnionFrom([]int{each, each, each, each}, scale, plan.DefaultPolicy())
		}
		says := map[record.Answer]string{record.Yes: "united", record.Unsure: "cannot be told"}
		one, other := score(1, plan.ScaleRUST), score(1, plan.ScaleMRUST)
		if one.Score != other.Score || one.United != record.No || other.United != record.No {
			t.Errorf("all 1: %+v, %+v", one, other)
		}
		three, four := score(3, plan.ScaleRUST), score(4, plan.ScaleMRUST)
		nine := plan.UnionFrom([]int{3, 2, 2, 2}, plan.ScaleRUST, plan.DefaultPolicy())
		return []string{f(0, float64(one.Score)) + " on both", f(0, float64(three.Score)) + ", " + says[three.United], f(0, float64(four.Score)) + ", " + says[four.United],
			"RUST " + f(0, float64(nine.Score)) + ": " + says[nine.United]}
	},
	// By hand: 10 + 31 + 31 + 18.
	"dynamise": func(t *testing.T) []string {
		d, ok := plan.DaysBetween("2026-11-20T10:00:00Z", "2027-02-18T10:00:00Z")
		if !ok {
			t.Fatal("no days")
		}
		return []string{"day " + f(0, float64(d))}
	},
}
