package core_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

var nailExamples = map[string]func(*testing.T) []string{
	// By hand: 950 − 530 − 5, then down to a step of 20.
	"nail-length": func(*testing.T) []string {
		p := plan.DefaultPolicy()
		rod, out := units.MM(950), units.MM(530)
		a := plan.NailFrom(plan.NailReadings{How: plan.HowRods, Rod: &rod, Out: &out, OnBone: record.Yes, Reduced: record.Yes,
			Side: anatomy.Left}, implant.Teaching(), p)
		b, _ := plan.LengthFrom(units.Exact(399.9), anatomy.Left, implant.Teaching(), p)
		return []string{f(0, a.Bone.Best) + " mm", f(0, a.Nail.Room.Best) + " mm", f(0, a.Nail.Length) + " mm", f(0, b.Length) + " mm"}
	},
	// By hand.
	"nail-diameter": func(t *testing.T) []string {
		p := plan.DefaultPolicy()
		a, _ := plan.DiameterFrom(units.Exact(10.6), anatomy.Left, 0, implant.Teaching(), p)
		b, _ := plan.DiameterFrom(units.Exact(8.6), anatomy.Left, 0, implant.Teaching(), p)
		r, _ := plan.ReamingFor(b.Diameter, nil, implant.Teaching(), p)
		return []string{f(0, a.Diameter) + " mm", f(1, 8.6+p.ReamCut-p.ReamOver), "nail " + f(0, b.Diameter) + " mm", f(1, r.Final-8.6) + " mm"}
	},
	// Nail fit study 2018: under 70 %.
	"nail-fit": func(t *testing.T) []string {
		fit := func(nail units.MM, loose bool) string {
			shelf := implant.Shelf{Nails: []implant.Nail{{ID: "x", Diameter: nail, Length: 400, Stock: 1}}}
			n, problems := plan.DiameterFrom(units.Exact(14), anatomy.Left, 0, shelf, plan.DefaultPolicy())
			if _, said := find(problems, "nail-loose"); said != loose {
				t.Errorf("nail %v: caution %v", nail, said)
			}
			return f(3, n.Ratio.Best)
		}
		return []string{fit(10, false), fit(9, true)}
	},
	// AO Foundation page: 0.5 mm steps to nail + 1.0.
	"reamers": func(*testing.T) []string {
		canal := units.Exact(8.2)
		a, _ := plan.ReamingFor(10, nil, implant.Teaching(), plan.DefaultPolicy())
		b, _ := plan.ReamingFor(10, &canal, implant.Teaching(), plan.DefaultPolicy())
		var heads []string
		for _, h := range a.Heads {
			heads = append(heads, f(1, h))
		}
		return []string{strings.Join(heads, ", ") + ".", "starts with " + f(1, b.Heads[0])}
	},
	// AO Foundation page (9 mm); from memory.
	"narrow": func(t *testing.T) []string {
		for canal, want := range map[units.MM]string{9: "canal-amber", 7.9: "canal-red", 9.1: ""} {
			_, problems := plan.DiameterFrom(units.Exact(canal), anatomy.Left, 0, implant.Teaching(), plan.DefaultPolicy())
			for _, code := range []string{"canal-amber", "canal-red"} {
				if _, said := find(problems, code); said != (code == want) {
					t.Errorf("canal %v: %s said: %v", canal, code, said)
				}
			}
		}
		return []string{"9.0 mm: caution", "7.9 mm: the graver one", "9.1 mm: none"}
	},
}

var headExamples = map[string]func(*testing.T) []string{
	// Common practice: 98 − 5 → 90, 98 − 10 → 85, wire 5 short with 10 to keep.
	"screw-wire": func(*testing.T) []string {
		screw := func(keep, gap units.MM) (units.MM, string) {
			p := plan.DefaultPolicy()
			p.HeadClearance = keep
			s := plan.ScrewFromDepth(wire(record.WireLower, 98, gap), implant.Lower, 6.5, implant.Teaching(), p)
			return s.Room.Best, f(0, s.Ask) + " mm"
		}
		a, askA := screw(5, 0)
		b, askB := screw(10, 0)
		c, askC := screw(10, 5)
		return []string{f(0, a) + ", so " + askA, f(0, b) + ", so " + askB, "= " + f(0, c) + ", so " + askC}
	},
	// By hand: 70 + √(24² − 5²); 24 − √(24² − 13²).
	"screw-film": func(t *testing.T) []string {
		path := func(off float64) measure.Path {
			p, err := measure.ScrewPath(ap(hip(off)), 130, 0)
			none(t, err)
			return p
		}
		five, far := path(5), path(13)
		return []string{f(0, five.OffCentre.Best) + " mm off", f(2, five.ToSurface.Best-70), f(2, five.ToSurface.Best) + " mm",
			f(2, far.ToSurface.Best-70), f(2, path(0).ToSurface.Best-far.ToSurface.Best)}
	},
	// By hand: 3 + 3.25 + 12 + 3.25 + 3.
	"neck-need": func(*testing.T) []string {
		return []string{f(1, plan.NeckNeed(6.5, 12, plan.DefaultPolicy())) + " mm"}
	},
	// J Orthop Surg Res 2016; by hand 98 − 5 and 103 − 5, rounded down.
	"upper-shorter": func(t *testing.T) []string {
		c := record.Case{Side: anatomy.Left, Injury: record.Injury{Neck: record.Yes},
			Readings: []record.Reading{wire(record.WireLower, 98, 0), wire(record.WireUpper, 103, 0)}}
		pl := plan.Make(c, implant.Teaching(), plan.DefaultPolicy())
		problem(t, pl, "upper-longer")
		return []string{f(0, pl.Head.Lower.Ask) + " and " + f(0, pl.Head.Upper.Ask) + " mm"}
	},
	// Baumgaertner 1995; by hand 13.8·8/9.2 + 15·8/10.
	"tip-apex": func(*testing.T) []string {
		r, _ := plan.TipApex(plan.Imaged{Tip: 13.8, Screw: 9.2}, plan.Imaged{Tip: 15, Screw: 10}, 8, plan.DefaultPolicy())
		return []string{f(1, r.AP) + " + " + f(1, r.Lateral) + " = " + f(1, r.Distance) + " mm"}
	},
}

// wire is a reading of the gauge with the sleeve on bone.
func wire(kind record.ReadingKind, read, gap units.MM) record.Reading {
	zero := units.MM(0)
	return record.Reading{ID: string(kind), Kind: kind, First: &read, OnBone: record.Yes, GapLeft: &gap, Subtracts: &zero}
}

var lockingExamples = map[string]func(*testing.T) []string{
	// Common practice; Tornetta 2007 for the neck.
	"pattern": func(t *testing.T) []string {
		says := map[plan.Pattern]string{plan.HeadLock: "head locking", plan.Standard: "standard locking", plan.NoPattern: "open"}
		lock := func(in record.Injury) string {
			return says[plan.Make(record.Case{Injury: in}, implant.Teaching(), plan.DefaultPolicy()).Locking.Pattern]
		}
		return []string{"Neck broken: " + lock(record.Injury{Neck: record.Yes}),
			lock(shaft(record.MidShaft)),
			"not looked at: " + lock(record.Injury{Level: record.MidShaft, Neck: record.No})}
	},
	// EFORT 2021 (50 mm); by hand, two standard uncertainties.
	"subtroch": func(*testing.T) []string {
		says := map[units.Order]string{units.Less: "surely less", units.Unclear: "too close to call", units.More: "surely more"}
		var out []string
		for _, mm := range []units.MM{40, 46, 60} {
			out = append(out, f(0, mm)+" mm with u 4: "+says[units.Length{Best: mm, Own: 4}.Against(plan.DefaultPolicy().Subtroch)])
		}
		return out
	},
	// AO/OTA 2018.
	"code": func(t *testing.T) []string {
		taken, refused := []string{"32A3(b)", "32B2(c)", "32C3(k)"}, []string{"32A4", "32B1", "32C1", "32C2(b)", "32A1(j)"}
		for _, s := range append(slices.Clone(taken), refused...) {
			if _, err := plan.ParseCode(s); (err == nil) != slices.Contains(taken, s) {
				t.Errorf("%s: %v", s, err)
			}
		}
		return []string{"Taken: " + strings.Join(taken, ", "), "Refused: " + strings.Join(refused, ", ")}
	},
	// Brumback 1998 (two); AO Foundation page (several below).
	"distal": func(*testing.T) []string {
		count := func(l record.Level) string {
			pl := plan.Make(record.Case{Injury: shaft(l)}, implant.Teaching(), plan.DefaultPolicy())
			return f(0, float64(pl.Locking.Distal)) + " screws"
		}
		return []string{"Mid-shaft: " + count(record.MidShaft), "Below the isthmus: " + count(record.BelowIsthmus)}
	},
	// Bucholz 1987 (50 mm); by hand 5 + L − 35 − 305.
	"hole": func(*testing.T) (out []string) {
		end := units.Exact(305)
		for _, l := range []units.MM{360, 380, 400} {
			n := plan.NailChoice{Part: &implant.Nail{Length: l, Distal: []implant.Hole{{FromTip: 20}, {FromTip: 35}}}}
			out = append(out, f(0, plan.HoleGap(plan.Bone{FractureL: &end}, n, plan.DefaultPolicy()).Best)+" mm")
		}
		return out
	},
	// AAOS guideline: rigid nails from skeletal maturity.
	"stops": func(t *testing.T) []string {
		for age, want := range map[int]bool{17: true, 18: false} {
			pl := plan.Make(record.Case{Injury: record.Injury{AgeYears: &age}}, implant.Teaching(), plan.DefaultPolicy())
			q, said := find(pl.Problems, "under-age")
			if said != want || said && q.Level != plan.Stop {
				t.Errorf("%d years: said %v", age, said)
			}
		}
		return []string{"17 years: stop", "18 years: none"}
	},
}

// shaft is a fracture of the shaft with a neck that was looked at and is whole.
func shaft(l record.Level) record.Injury {
	return record.Injury{Level: l, Neck: record.No, NeckByCT: record.Yes, NeckByFilm: record.Yes}
}

var doubtExamples = map[string]func(*testing.T) []string{
	// JCGM 100:2008, 5.1.2; by hand √(4.2² + 2² + 2² + 3.6²).
	"own-shared": func(*testing.T) []string {
		side := units.Length{Own: 3.6}
		u := func(rel units.MM) string {
			l := units.Length{Best: 420, Own: 2, Shared: 420 * rel}.Plus(units.Length{Own: 2}).Plus(side)
			return f(2, l.Doubt()) + " mm"
		}
		return []string{u(0.01), u(0.03)}
	},
	// JCGM 100:2008, 7.2.6; by hand.
	"plus-minus": func(*testing.T) []string { return []string{units.Length{Best: 412.4, Own: 3.1}.String()} },
	// By hand: 30 − 2·2 > 24.5, 27 − 2·2 < 24.5.
	"compare": func(*testing.T) (out []string) {
		says := map[units.Order]string{units.Unclear: "too close to call", units.More: "more", units.Less: "less"}
		for _, mm := range []units.MM{30, 27} {
			out = append(out, f(0, mm)+" mm (u 2) against 24.5 mm: "+says[units.Length{Best: mm, Own: 2}.Against(24.5)])
		}
		return out
	},
	// Normal table: Φ(2.415) = 0.992, Φ(−0.805) = 0.210.
	"chance": func(t *testing.T) []string {
		n, _ := plan.LengthFrom(units.Length{Best: 415, Own: 6.21}, anatomy.Left, implant.Teaching(), plan.DefaultPolicy())
		var out []string
		for _, s := range n.Sizes {
			if s.Value >= 400 {
				out = append(out, f(0, 100*s.Right)+" %")
			}
		}
		return out
	},
	// Normal table: 1 − Φ(5/(2·√2)) = 0.0385; √(0.0385·0.9615/2000) = 0.43 %, three times that.
	"trials": func(t *testing.T) []string {
		rod, out := units.MM(950), units.MM(530)
		c := record.Case{Side: anatomy.Left, Readings: []record.Reading{{ID: "r", Kind: record.TwoRods, First: &rod, Second: &out,
			OnBone: record.Yes, Reduced: record.Yes}}}
		p := plan.DefaultPolicy()
		room := plan.RodLength(rod, out, p).Minus(units.Exact(p.Burial))
		normal := room.ChanceAbove(420)
		ch := plan.Trials(c, implant.Teaching(), p, 1, 2000)
		if off := ch.Length.TooSmall - normal; !(off < 0.013 && off > -0.013) {
			t.Errorf("trials %v, normal curve %v", ch.Length.TooSmall, normal)
		}
		return []string{f(1, 100*normal) + " %"}
	},
}
