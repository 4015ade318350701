package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func mm(v units.MM) *units.MM { return &v }

func has(problems []Problem, code string) bool {
	return slices.ContainsFunc(problems, func(p Problem) bool { return p.Code == code })
}

func codesOf(problems []Problem) (out []string) {
	for _, p := range problems {
		out = append(out, p.Code)
	}
	return out
}

// Head screws. Source of the sums: project facts 4i, by hand; steps of 5 mm
// are common practice.
func TestScrewFromDepth(t *testing.T) {
	for _, tt := range []struct {
		name                 string
		read, gap, clearance units.MM
		subtracts, off       units.MM
		want, shorter, long  units.MM
		source               string
	}{
		{"clearance 10", 98, 0, 10, 0, 0, 85, 80, 90, "98 − 10 = 88 → 85"},
		{"clearance 5", 98, 0, 5, 0, 0, 90, 85, 95, "98 − 5 = 93 → 90"},
		{"103", 103, 0, 10, 0, 0, 90, 85, 95, "103 − 10 = 93 → 90"},
		{"wire 5 short, want 10", 93, 5, 10, 0, 0, 85, 80, 90, "93 − 5 = 88 → 85"},
		{"100 with 5", 100, 0, 5, 0, 0, 95, 90, 100, "100 − 5 = 95; common practice: 95 and 90 in 5 mm steps"},
		{"95 with 5", 95, 0, 5, 0, 0, 90, 85, 95, "95 − 5 = 90"},
		{"wire stopped far short: never longer than the wire", 93, 12, 5, 0, 0, 90, 85, 95, "93 − 0 → 90, not 93 + 7 → 100"},
		{"gauge has taken 5 off", 93, 0, 5, 5, 0, 90, 85, 95, "93 + 5 − 5 = 93 → 90"},
		{"sleeve 6 off the bone reads 6 too long", 104, 0, 10, 0, 6, 85, 80, 90, "104 − 6 − 10 = 88 → 85"},
		{"wire 3 through the joint", 98, -3, 5, 0, 0, 90, 85, 95, "98 − (5 + 3) = 90"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := DefaultPolicy()
			p.HeadClearance = tt.clearance
			r := record.Reading{Kind: record.WireLower, First: mm(tt.read), OnBone: record.Yes, GapLeft: mm(tt.gap), Subtracts: mm(tt.subtracts)}
			if tt.off > 0 {
				r.OnBone, r.OffBone = record.No, mm(tt.off)
			}
			got := ScrewFromDepth(r, implant.Lower, 6.5, implant.Teaching(), p)
			if got.Ask != tt.want || got.Shorter != tt.shorter || got.Longer != tt.long {
				t.Errorf("ask %v (%v, %v), want %v (%v, %v): %s", got.Ask, got.Shorter, got.Longer, tt.want, tt.shorter, tt.long, tt.source)
			}
			left := tt.read + tt.subtracts - tt.off + tt.gap - tt.want
			testkit.Near(t, "to joint", float64(got.ToJoint.Best), float64(left), 1e-9)
			testkit.Near(t, "longer to joint", float64(got.LongerTo.Best), float64(left-5), 1e-9)
			if left < tt.clearance-1e-9 {
				t.Errorf("leaves %v, less than the clearance %v", left, tt.clearance)
			}
		})
	}
}

func TestScrewFromDepthRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	ok := record.Reading{First: mm(98), OnBone: record.Yes, GapLeft: mm(0), Subtracts: mm(0)}
	with := func(f func(*record.Reading)) record.Reading { r := ok; f(&r); return r }
	for _, tt := range []struct {
		name, want string
		r          record.Reading
	}{
		{"not read", "wire-not-read", with(func(r *record.Reading) { r.First = nil })},
		{"a slip of the decimal mark", "wire-impossible", with(func(r *record.Reading) { r.First = mm(980) })},
		{"not a number", "wire-impossible", with(func(r *record.Reading) { r.First = mm(nan) })},
		{"gap not a number", "wire-impossible", with(func(r *record.Reading) { r.GapLeft = mm(nan) })},
		{"negative gap under the sleeve", "wire-impossible", with(func(r *record.Reading) { r.OnBone = record.No; r.OffBone = mm(-3) })},
		{"gauge adds", "wire-impossible", with(func(r *record.Reading) { r.Subtracts = mm(-5) })},
		{"sleeve not asked", "sleeve-unanswered", with(func(r *record.Reading) { r.OnBone = record.NotAsked })},
		{"sleeve off, gap not known", "sleeve-off-bone", with(func(r *record.Reading) { r.OnBone = record.No })},
		{"sleeve unsure", "sleeve-off-bone", with(func(r *record.Reading) { r.OnBone = record.Unsure; r.OffBone = mm(4) })},
		{"on bone and off bone", "sleeve-contradiction", with(func(r *record.Reading) { r.OffBone = mm(4) })},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := ScrewFromDepth(tt.r, implant.Lower, 6.5, implant.Teaching(), DefaultPolicy())
			if got.Ask != 0 || !has(got.Problems, tt.want) {
				t.Errorf("ask %v, problems %v, want no size and %s", got.Ask, codesOf(got.Problems), tt.want)
			}
		})
	}
}

func TestScrewNotes(t *testing.T) {
	got := ScrewFromDepth(record.Reading{First: mm(98), OnBone: record.Yes}, implant.Lower, 6.5, implant.Teaching(), DefaultPolicy())
	if got.Ask != 90 || !has(got.Problems, "gap-unsaid") || !has(got.Problems, "subtracts-unsaid") {
		t.Errorf("ask %v, problems %v: what was not said must be noted", got.Ask, codesOf(got.Problems))
	}
	through := ScrewFromDepth(record.Reading{First: mm(98), OnBone: record.Yes, GapLeft: mm(-2)}, implant.Lower, 6.5, implant.Teaching(), DefaultPolicy())
	if !has(through.Problems, "wire-through-joint") {
		t.Errorf("problems %v, want wire-through-joint", codesOf(through.Problems))
	}
	short := ScrewFromDepth(record.Reading{First: mm(60), OnBone: record.Yes, GapLeft: mm(0), Subtracts: mm(0)}, implant.Lower, 6.5, implant.Teaching(), DefaultPolicy())
	if short.Ask != 0 || !has(short.Problems, "screw-none") || short.Longer != 70 {
		t.Errorf("ask %v, longer %v, problems %v: nothing in stock is as short as 55", short.Ask, short.Longer, codesOf(short.Problems))
	}
	if other := ScrewFromDepth(record.Reading{First: mm(98), OnBone: record.Yes}, implant.Lower, 8, implant.Teaching(), DefaultPolicy()); other.Ask != 0 {
		t.Errorf("a screw of %v mm was chosen for a hole of another diameter", other.Ask)
	}
}

func TestScrewOfUnknownDiameter(t *testing.T) {
	shelf := implant.Teaching()
	r := record.Reading{First: mm(98), OnBone: record.Yes}
	if got := ScrewFromDepth(r, implant.Lower, 0, shelf, DefaultPolicy()); got.Ask != 90 {
		t.Errorf("one diameter on the shelf needs no question: %v, %v", got.Ask, codesOf(got.Problems))
	}
	shelf.Head = append(shelf.Head, implant.Screw{ID: "x", Diameter: 8, Length: 93, Stock: 1})
	if got := ScrewFromDepth(r, implant.Lower, 0, shelf, DefaultPolicy()); got.Ask != 0 || !has(got.Problems, "screw-diameter-open") {
		t.Errorf("two diameters: %v, %v", got.Ask, codesOf(got.Problems))
	}
}

// Laws of the head screw: a deeper wire never gives a shorter screw, a larger
// clearance or gap under the sleeve never a longer one.
func TestScrewLaws(t *testing.T) {
	ask := func(read, off, clearance units.MM) units.MM {
		p := DefaultPolicy()
		p.HeadClearance = clearance
		r := record.Reading{First: &read, OnBone: record.Yes, GapLeft: mm(0), Subtracts: mm(0)}
		if off > 0 {
			r.OnBone, r.OffBone = record.No, &off
		}
		return ScrewFromDepth(r, implant.Lower, 6.5, implant.Teaching(), p).Ask
	}
	for read := units.MM(80); read < 130; read += 0.5 {
		base := ask(read, 0, 5)
		if base == 0 || ask(read+0.5, 0, 5) < base || ask(read, 0.5, 5) > base || ask(read, 0, 5.5) > base {
			t.Fatalf("at %v mm the law fails", read)
		}
	}
}

func TestLengthFrom(t *testing.T) {
	for _, tt := range []struct {
		name   string
		room   float64
		want   units.MM
		source string
	}{
		{"rods", 950 - 530, 420, "950 − 530 = 420 → 420 (AO Foundation page)"},
		{"exposed 537", 950 - 537, 400, "413 → 400"},
		{"film", 483.0/1.15 - 5, 400, "483/1.15 − 5 = 415 → 400"},
		{"just short", 399.9, 380, "by hand"},
		{"exactly", 400, 400, "by hand"},
		{"exactly, through binary fractions", 0.1 * 4000.0000000001, 400, "by hand"},
		{"a whisker short of a binary 400", 399.9999999, 400, "by hand: 1e-7 mm is rounding, not length"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := LengthFrom(units.Exact(units.MM(tt.room)), anatomy.Left, implant.Teaching(), DefaultPolicy())
			if got.Length != tt.want {
				t.Errorf("LengthFrom(%v) = %v, want %v (%s); %v", tt.room, got.Length, tt.want, tt.source, codesOf(problems))
			}
			if got.Tip == nil || got.Tip.Best < -1e-6 {
				t.Errorf("the tip ends beyond the target: %v", got.Tip)
			}
		})
	}
}

func TestLengthFromRefuses(t *testing.T) {
	for _, tt := range []struct {
		name string
		room units.Length
		want string
	}{
		{"centimetres", units.Exact(42), "length-impossible"},
		{"not a number", units.Exact(units.MM(math.NaN())), "length-impossible"},
		{"infinite doubt", units.Length{Best: 400, Own: units.MM(math.Inf(1))}, "length-impossible"},
		{"two femora", units.Exact(840), "length-impossible"},
		{"shorter than the shelf", units.Exact(290), "nail-too-long"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := LengthFrom(tt.room, anatomy.Left, implant.Teaching(), DefaultPolicy())
			if got.Length != 0 || !has(problems, tt.want) {
				t.Errorf("got %v, %v, want no length and %s", got.Length, codesOf(problems), tt.want)
			}
		})
	}
	if _, problems := LengthFrom(units.Exact(400), anatomy.Left, implant.Shelf{}, DefaultPolicy()); !has(problems, "nail-none") {
		t.Errorf("an empty shelf gave %v", codesOf(problems))
	}
	empty := implant.Teaching()
	for i := range empty.Nails {
		empty.Nails[i].Stock = 0
	}
	if _, problems := LengthFrom(units.Exact(400), anatomy.Left, empty, DefaultPolicy()); !has(problems, "nail-out-of-stock") {
		t.Errorf("a shelf without stock gave %v", codesOf(problems))
	}
}

// Facts 3d: on 420 mm a scale of 1 % leaves ± 6.2 mm and can choose when the
// room lies in the middle of a step; 3 % leaves ± 13.4 mm and never can.
func TestLengthTooCloseToCall(t *testing.T) {
	for _, tt := range []struct {
		name      string
		room      units.MM
		u         units.MM
		wantClose bool
		source    string
	}{
		{"1 % in the middle", 410, 6.21, false, "by hand: P(|z| < 10/6.21 = 1.61) = 0.89"},
		{"1 % near the edge", 402, 6.21, true, "by hand: P(z > 0.32) = 0.37 falls short"},
		{"3 % in the middle", 410, 13.41, true, "by hand: P(|z| < 0.75) = 0.54"},
		{"no doubt at the edge", 400, 0, false, "by hand"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := LengthFrom(units.Length{Best: tt.room, Own: tt.u}, anatomy.Right, implant.Teaching(), DefaultPolicy())
			if got.Close != tt.wantClose || got.Close != has(problems, "length-close") {
				t.Errorf("close %v, problems %v, want %v (%s)", got.Close, codesOf(problems), tt.wantClose, tt.source)
			}
			if len(got.Sizes) != 3 {
				t.Fatalf("shortlist %v, want three", got.Sizes)
			}
		})
	}
	mid, _ := LengthFrom(units.Length{Best: 410, Own: 6.21}, anatomy.Right, implant.Teaching(), DefaultPolicy())
	// Φ(10/6.21 = 1.6103) = 0.94633; table of the normal distribution, interpolated.
	testkit.Near(t, "right", mid.Sizes[1].Right, 2*0.94633-1, 2e-4)
	testkit.Near(t, "too long", mid.Sizes[1].TooLong, 1-0.94633, 2e-4)
}

// Law: more doubt never makes a choice clearer.
func TestMoreDoubtIsNeverClearer(t *testing.T) {
	for room := units.MM(320); room < 480; room += 1.7 {
		was := false
		for u := units.MM(0); u < 40; u += 0.5 {
			got, _ := LengthFrom(units.Length{Best: room, Own: u}, anatomy.Left, implant.Teaching(), DefaultPolicy())
			if was && !got.Close {
				t.Fatalf("room %v: close at less doubt, not at %v", room, u)
			}
			was = got.Close
		}
	}
}

func TestMissingSizeTakesTheBestThereIs(t *testing.T) {
	shelf := implant.Teaching()
	for i, n := range shelf.Nails {
		if n.Length == 400 {
			shelf.Nails[i].Stock = 0
		}
	}
	got, _ := LengthFrom(units.Exact(410), anatomy.Left, shelf, DefaultPolicy())
	if got.Length != 380 || len(got.Lost) != 1 || got.Lost[0].Code != "lost-length" {
		t.Errorf("got %v, lost %v, want 380 and lost-length", got.Length, got.Lost)
	}
}

func TestDiameterFrom(t *testing.T) {
	for _, tt := range []struct {
		name   string
		canal  float64
		want   units.MM
		codes  []string
		source string
	}{
		{"canal 12", 12, 12, nil, "common practice: no thicker than the canal"},
		{"canal 10.6", 10.6, 10, nil, "common practice"},
		{"just short", 9.99, 9, nil, "by hand"},
		{"tight: within what may be reamed", 8.5, 9, []string{"canal-amber"}, "by hand: 9 ≤ 8.5 + 1.5 − 1"},
		{"tighter than that", 8.4, 9, []string{"canal-amber", "nail-too-thick"}, "by hand: 9 > 8.9"},
		{"amber", 9, 9, []string{"canal-amber"}, "9 mm: amber (AO Foundation page: femur ≤ 9)"},
		{"9.1", 9.1, 9, nil, "above amber"},
		{"red", 7.9, 9, []string{"canal-red", "nail-too-thick"}, "under 8 mm: red; the thinnest nail of the set is 9"},
		{"8.0 is not red", 8, 9, []string{"canal-amber", "nail-too-thick"}, "facts 3k: < 8 red"},
		{"loose", 19, 13, []string{"nail-loose"}, "by hand: 13/19 = 0.68 < 0.70"},
		{"slip", 30, 0, []string{"canal-impossible"}, "by hand"},
		{"not a number", math.NaN(), 0, []string{"canal-impossible"}, "by hand"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := DiameterFrom(units.Exact(units.MM(tt.canal)), anatomy.Left, 400, implant.Teaching(), DefaultPolicy())
			if got.Diameter != tt.want || !slices.Equal(codesOf(problems), tt.codes) {
				t.Errorf("DiameterFrom(%v) = %v, %v, want %v, %v (%s)", tt.canal, got.Diameter, codesOf(problems), tt.want, tt.codes, tt.source)
			}
		})
	}
}

// Nail fit. Source: nail fit study 2018, 70 %: 10/14 = 0.714 passes, 9/14 = 0.643 is flagged.
func TestNailFit(t *testing.T) {
	for _, tt := range []struct {
		nail, want float64
		flag       bool
	}{{10, 0.714, false}, {9, 0.643, true}} {
		r, problems := fit(units.Exact(14), units.MM(tt.nail), DefaultPolicy())
		testkit.Near(t, "ratio", r.Best, tt.want, 5e-4)
		if has(problems, "nail-loose") != tt.flag {
			t.Errorf("nail %v in 14: %v", tt.nail, codesOf(problems))
		}
	}
}

// Source: Baumgaertner 1995, layout of the formula; the sums by hand.
func TestTipApex(t *testing.T) {
	for _, tt := range []struct {
		name    string
		ap, lat Imaged
		want    float64
		codes   []string
	}{
		{"24", Imaged{13.8, 9.2}, Imaged{15, 10}, 24, []string{"tip-apex-amber"}},
		{"30", Imaged{17.25, 9.2}, Imaged{18.75, 10}, 30, []string{"tip-apex-red"}},
		{"exactly 25 is not red", Imaged{12.5, 8}, Imaged{12.5, 8}, 25, []string{"tip-apex-amber"}},
		{"25.1 is red", Imaged{12.55, 8}, Imaged{12.55, 8}, 25.1, []string{"tip-apex-red"}},
		{"18 is neither", Imaged{9, 8}, Imaged{9, 8}, 18, nil},
		{"too deep", Imaged{4, 8}, Imaged{9, 8}, 13, []string{"tip-apex-deep"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := TipApex(tt.ap, tt.lat, 8, DefaultPolicy())
			testkit.Near(t, "tip–apex distance", float64(got.Distance), tt.want, 0.01)
			if !slices.Equal(codesOf(problems), tt.codes) {
				t.Errorf("problems %v, want %v", codesOf(problems), tt.codes)
			}
		})
	}
	for _, bad := range []Imaged{{math.MaxFloat64, 8}, {-1, 8}, {10, 0}, {10, units.MM(math.NaN())}} {
		if got, problems := TipApex(bad, Imaged{10, 8}, 8, DefaultPolicy()); got.Distance != 0 || !has(problems, "tip-apex-impossible") {
			t.Errorf("TipApex(%v) = %v, %v", bad, got, codesOf(problems))
		}
	}
}

// Source: Trotter and Gleser 1952, Appendix 1–4; tables are rounded to 1 mm.
func TestStature(t *testing.T) {
	want := map[units.MM][]float64{1600: {414, 429, 425, 440}, 1700: {456, 469, 472, 484}, 1750: {477, 489, 496, 505}}
	for stature, row := range want {
		for i, r := range Regressions() {
			testkit.Near(t, fmt.Sprintf("%s, %v", r.Group, stature), float64(r.Femur(stature)), row[i], 0.8)
		}
	}
	for _, tt := range []struct {
		femur units.MM
		flag  bool
	}{{480, false}, {430, true}, {560, true}} {
		if _, _, p := StatureCheck(1750, units.Length{Best: tt.femur, Own: 2}); has(p, "stature-differs") != tt.flag {
			t.Errorf("femur %v for 1750: %v", tt.femur, codesOf(p))
		}
	}
	if _, _, p := StatureCheck(175, units.Exact(480)); !has(p, "stature-impossible") {
		t.Error("a stature in centimetres was taken")
	}
}

func TestNeckNeed(t *testing.T) {
	testkit.Near(t, "6.5 mm, 12 mm apart", float64(NeckNeed(6.5, 12, DefaultPolicy())), 24.5, 1e-9) // by hand
	testkit.Near(t, "8 and 6, as two of 7, 13 apart", float64(NeckNeed(7, 13, DefaultPolicy())), 26, 1e-9)
}
