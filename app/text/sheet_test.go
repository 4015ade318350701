package text

import (
	"path/filepath"
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// practice returns a practice case and its plan with the teaching set.
func practice(t *testing.T, name string, change func(*record.Case)) (record.Case, plan.Plan) {
	t.Helper()
	c, err := record.Unmarshal(testkit.Read(t, "cases/"+name+"/case.json"))
	if err != nil {
		t.Fatal(err)
	}
	change(&c)
	return c, plan.For(c, implant.Teaching())
}

func sheetPart(t *testing.T, c record.Case, p plan.Plan, part string) SheetLine {
	t.Helper()
	for _, l := range Sheet(c, p) {
		if l.Part == part {
			return l
		}
	}
	t.Fatalf("the sheet has no line %s", part)
	return SheetLine{}
}

// A turn and a difference have their direction in words, and none where the
// doubt covers it. By hand: ± is twice the standard uncertainty.
func TestDirections(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{Turned(units.Angle{Best: 12, Own: 3}), "12 ± 6° outwards"},
		{Turned(units.Angle{Best: -20, Own: 3}), "20 ± 6° inwards"},
		{Turned(units.Angle{Best: 5, Own: 3}), "5 ± 6°, no direction sure"},
		{Turned(units.Angle{Best: -5, Own: 3}), "5 ± 6°, no direction sure"},
		{Longer(units.Length{Best: 20, Own: 2}), "20 ± 4 mm too long"},
		{Longer(units.Length{Best: -20, Own: 2}), "20 ± 4 mm too short"},
		{Longer(units.Length{Best: 3, Own: 2}), "3 ± 4 mm apart, not surely longer or shorter"},
		{Longer(units.Length{}), "no difference in length"},
		{leaning(units.Angle{Best: -9, Own: 2}), "9 ± 4° into varus"},
		{leaning(units.Angle{Best: 9, Own: 2}), "9 ± 4° into valgus"},
		{leaning(units.Angle{Best: 1, Own: 2}), "1 ± 4°, no direction sure"},
	} {
		if got := plainSpaces(tt.got); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// Each line of the sheet follows what was entered: open, settled, in dispute.
func TestSheetFollowsTheJob(t *testing.T) {
	mm := func(v units.MM) *units.MM { return &v }
	deg := func(v units.Deg) *units.Deg { return &v }
	c, p := practice(t, "neck-and-shaft", func(*record.Case) {})
	if l := sheetPart(t, c, p, "distal"); l.State != Open || !strings.Contains(l.Detail, "depths not read yet") {
		t.Errorf("distal before the depths: %s, %s", l.State, l.Detail)
	}
	c, p = practice(t, "neck-and-shaft", func(c *record.Case) {
		for i, h := range p.Distal.Holes {
			if h.Use {
				hole := i + 1
				c.Readings = append(c.Readings, record.Reading{ID: "d" + string(rune('a'+i)), Kind: record.DistalDepth, At: c.Made, First: mm(42), OnBone: record.Yes, Hole: &hole})
			}
		}
		c.Readings = append(c.Readings,
			record.Reading{ID: "ti", Kind: record.TurnInjured, At: c.Made, Angle: deg(15), AngleTwo: deg(0)},
			record.Reading{ID: "ts", Kind: record.TurnSound, At: c.Made, Angle: deg(40), AngleTwo: deg(0)})
	})
	// Version 15° of this femur, 40° of the other: 25° outwards, by hand.
	// 42 read and 2 more: 44, which the teaching set has. Source: common practice.
	if l := sheetPart(t, c, p, "distal"); l.State != Settled || !strings.Contains(plainSpaces(l.Detail), "44 and 44 mm") {
		t.Errorf("distal with both depths: %s, %q", l.State, l.Detail)
	}
	if l := sheetPart(t, c, p, "after"); l.State != Open || !strings.Contains(plainSpaces(l.Result), "Turned 25 ± 8° outwards") {
		t.Errorf("after with a turn of 25 degrees: %s, %q", l.State, l.Result)
	}
	c, p = practice(t, "neck-and-shaft", func(c *record.Case) {
		c.Injury.Wound, c.Existing = record.WoundII, []record.Implant{{Kind: "plate", At: c.Made}}
		c.Followed = []record.Followed{{ID: "f", At: c.Made, Scale: "rust", Cortices: []int{3, 3, 3, 2}}}
	})
	if l := sheetPart(t, c, p, "injury"); l.State != InDispute || !strings.Contains(l.Detail, "open, type II") {
		t.Errorf("injury with a plate in the way: %s, %q", l.State, l.Detail)
	}
	if l := sheetPart(t, c, p, "record"); !strings.Contains(l.Detail, "one part was there before") || !strings.Contains(l.Detail, "missing") {
		t.Errorf("record with a plate of unknown drive: %q", l.Detail)
	}
	// 3+3+3+2 = 11, united from 10 on. Source: Litrenta 2015.
	if l := sheetPart(t, c, p, "after"); l.State != Settled || plainSpaces(l.Result) != "RUST 11 of 12: united" {
		t.Errorf("after with RUST 11: %s, %q", l.State, l.Result)
	}
}

// The list for the theatre says what is there and what is not.
func TestKitOnTheSheet(t *testing.T) {
	c, p := practice(t, "neck-and-shaft", func(*record.Case) {})
	n := 0
	for _, g := range KitGroups(p.Kit) {
		n += len(g.Items)
	}
	if n != len(p.Kit.Items) || n < 10 {
		t.Errorf("%d lines in groups, %d on the list", n, len(p.Kit.Items))
	}
	if len(KitCover(p.Kit)) != len(p.Kit.Cover) {
		t.Errorf("%d kinds covered, %d in words", len(p.Kit.Cover), len(KitCover(p.Kit)))
	}
	none := plan.For(c, implant.Shelf{Name: "empty"})
	if l := sheetPart(t, c, none, "kit"); l.State != Open || l.Result != "Waits for the nail" {
		t.Errorf("kit without a shelf: %s, %q", l.State, l.Result)
	}
	four := plan.Kit{Items: make([]plan.KitItem, 5), Missing: make([]plan.KitItem, 5)}
	if got := KitMissing(four); !strings.HasSuffix(got, "2 more") {
		t.Errorf("five missing lines: %q", got)
	}
}

// What is shared holds the stops, the list, the cautions and whose sizes they
// are, and no code or brace.
func TestSharedText(t *testing.T) {
	c, p := practice(t, "neck-and-shaft", func(c *record.Case) { c.Injury.Infection = record.Yes })
	s := Shared(c, p, implant.Teaching(), "2026-11-25T07:30:00Z")
	for _, want := range append(Cautions(), "STOP: Infection", "INVENTED TEACHING SET", "2026-11-25 07:30 UTC", "[ ] Nail", "Distal (", "[ ] Guide rod") {
		if !strings.Contains(s, want) {
			t.Errorf("the text does not say %q", want)
		}
	}
	if strings.ContainsAny(s, "{}\u00a0") || strings.Contains(s, "without words") {
		t.Errorf("the text is not in plain words:\n%s", s)
	}
	own := implant.Teaching()
	own.Teaching, own.Name = false, "Hill hospital"
	if s := Shared(c, p, own, "2026-11-25T07:30:00Z"); strings.Contains(s, "INVENTED") || !strings.Contains(s, "Shelf: Hill hospital") {
		t.Error("a hospital's shelf is not named")
	}
}

// What comes after nail and head is words throughout, in every practice case:
// no code, no brace, no NaN.
func TestLaterPartsInWords(t *testing.T) {
	said := 0
	for _, path := range testkit.Files(t, "cases/*/case.json") {
		name := filepath.Base(filepath.Dir(path))
		_, p := practice(t, name, func(c *record.Case) {
			c.Implants = []record.Implant{{Kind: "nail", At: c.Made}, {Kind: "locking-screw", At: c.Made, Broken: record.Yes}}
		})
		var out []string
		for _, rs := range [][]plan.Reason{p.Class.Why, p.Seat.Why, p.Distal.Why, p.Align.Why, p.Union.Why, p.Removal.Steps} {
			for _, r := range rs {
				out = append(out, Reason(r))
			}
		}
		for _, rows := range [][]Named{SeatTable(p.Seat), AlignTable(p.Align), KitCover(p.Kit)} {
			for _, n := range rows {
				out = append(out, n.Name, n.Value)
			}
		}
		for _, h := range p.Distal.Holes {
			out = append(append(out, HoleName(h), HoleUse(h), HoleAsk(h)), HoleDetail(h)...)
		}
		for _, it := range p.Kit.Items {
			title, more := KitItem(it)
			out = append(out, title, more)
		}
		for _, s := range out {
			if said++; s == "" || strings.ContainsAny(s, "{}") || strings.Contains(s, "NaN") || strings.Contains(s, "without words") || strings.HasPrefix(s, ",") {
				t.Errorf("%s: %q", name, s)
			}
		}
	}
	if said < 200 {
		t.Errorf("only %d sentences were looked at", said)
	}
}

// Where the nail lies says not known, never nothing or a number in its place.
func TestSeatWords(t *testing.T) {
	for _, n := range SeatTable(plan.Seat{}) {
		if n.Value != "not known" && n.Value != "not said" {
			t.Errorf("%s of nothing is %q", n.Name, n.Value)
		}
	}
	past := units.Length{Best: -4, Own: 1}
	s := plan.Seat{Burial: &past, ToNotch: &past, PastPatella: &past, Mismatch: &past, Entry: record.EntryBack, NailRadius: 1200}
	for i, want := range []string{"4 ± 2 mm above", "4 ± 2 mm past it", "4 ± 2 mm short of it", "not known", "1200 mm", "4 ± 2 mm less", "back third"} {
		if got := plainSpaces(SeatTable(s)[i].Value); got != want {
			t.Errorf("%s: %q, want %q", SeatTable(s)[i].Name, got, want)
		}
	}
	for _, n := range AlignTable(plan.Align{}) {
		if n.Value != "not measured" {
			t.Errorf("%s of nothing is %q", n.Name, n.Value)
		}
	}
}
