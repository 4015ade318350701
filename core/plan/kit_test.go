package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// packed is the plan of a nail for a room and a canal, each with its doubt.
func packed(t *testing.T, shelf implant.Shelf, pattern Pattern, room, canal units.Length) (record.Case, Plan) {
	t.Helper()
	c, p := record.Case{Side: anatomy.Left}, DefaultPolicy()
	length := room.Plus(units.Exact(p.Burial))
	pl := Plan{Bone: Bone{Length: &length, Canal: &canal}, Locking: Locking{Pattern: pattern, Distal: 2}}
	pl.Nail, _ = chooseNail(pl.Bone, c.Side, pl.Locking, shelf, p)
	pl.Reaming, _ = ReamingFor(pl.Nail.Diameter, pl.Bone.Canal, shelf, p)
	pl.Seat, _ = seatOf(c, pl, nil, shelf, p)
	return c, pl
}

func lines(k Kit, kind string) (out []string) {
	for _, it := range k.Items {
		if it.Kind == kind {
			out = append(out, fmt.Sprintf("%s %v×%v %d/%d", it.Role, float64(it.Diameter), float64(it.Length), it.Need, it.Have))
		}
	}
	return out
}

func item(k Kit, kind, fits string) *KitItem {
	for i, it := range k.Items {
		if it.Kind == kind && it.Fits == fits {
			return &k.Items[i]
		}
	}
	return nil
}

func TestKitNails(t *testing.T) {
	l := func(v, u units.MM) units.Length { return units.Length{Best: v, Own: u} }
	for _, tt := range []struct {
		name        string
		room, canal units.Length
		want        []string
		cover       float64
		source      string
	}{
		{"sure", l(410, 1), l(11.5, 0.1), []string{"planned 11×400 1/2"}, 1, "by hand: 410 ± 2.25, 11.5 ± 0.23"},
		{"length unsure", l(415, 2.83), l(11.5, 0.1), []string{"planned 11×400 1/2", "neighbour 11×420 1/2"}, 1, "by hand: 415 ± 6.4"},
		{"both unsure", l(415, 6.21), l(12, 0.2), []string{"planned 12×400 1/1", "neighbour 11×400 1/2", "neighbour 12×420 1/1", "neighbour 11×420 1/2"}, 0.99, "by hand: 415 ± 14, 12 ± 0.45"},
		{"exact", units.Exact(400), units.Exact(9), []string{"planned 9×400 1/2"}, 1, "by hand: no doubt, one size"},
		{"thin canal, reamed", l(410, 1), l(9.2, 0.3), []string{"planned 9×400 1/2"}, 0.98, "by hand: 9 mm from 8.5 mm on, P(canal > 8.5) = Φ(2.33) = 0.990"},
		{"too tight", l(410, 1), l(7, 0.1), []string{"planned 9×400 1/2"}, 0, "by hand: no nail is right"},
	} {
		c, pl := packed(t, implant.Teaching(), Standard, tt.room, tt.canal)
		k, _ := kitOf(c, pl, implant.Teaching(), DefaultPolicy())
		if got := lines(k, KindNail); !slices.Equal(got, tt.want) || math.Abs(k.Cover[KindNail]-tt.cover) > 0.011 {
			t.Errorf("%s: %v, cover %.3f; want %v, %.2f (%s)", tt.name, got, k.Cover[KindNail], tt.want, tt.cover, tt.source)
		}
	}
}

// Law: more doubt of length or canal never takes a part off the list, nor
// makes fewer of one be needed. And on a shelf that holds every size the list
// covers at least 95 % of the plan's doubt.
func TestKitGrowsWithDoubt(t *testing.T) {
	shelf := implant.Teaching()
	shelf.Nails = slices.DeleteFunc(shelf.Nails, func(n implant.Nail) bool { return n.Stock == 0 })
	c := chance.New(71)
	grew := 0
	for range 300 {
		room, canal := units.Length{Best: units.MM(c.Between(330, 470))}, units.Length{Best: units.MM(c.Between(9.3, 13.4))}
		var before Kit
		for step := range 4 {
			k := c.Between(0, 4) * float64(step)
			room.Own, canal.Own = max(room.Own, units.MM(k)), max(canal.Own, units.MM(k/8))
			who, pl := packed(t, shelf, HeadLock, room, canal)
			screw := units.Length{Best: 93, Own: room.Own}
			pl.Head.Lower, pl.Head.Upper = ScrewChoice{Ask: 90, Room: &screw}, ScrewChoice{Ask: 90, Room: &screw}
			kit, _ := kitOf(who, pl, shelf, DefaultPolicy())
			for _, old := range before.Items {
				i := slices.IndexFunc(kit.Items, old.like)
				if i < 0 && old.Place != implant.EitherPlace { // the line is shared by both places now
					i = slices.IndexFunc(kit.Items, func(x KitItem) bool { return x.ID == old.ID })
				}
				if i < 0 || kit.Items[i].Need < old.Need {
					t.Fatalf("room %v canal %v: %s %v×%v (need %d) is gone", room, canal, old.Kind, old.Diameter, old.Length, old.Need)
				}
			}
			if len(kit.Items) > len(before.Items) && step > 0 {
				grew++
			}
			// inside the ladder all of the doubt can be covered
			lo, hi := room.Best-3*room.Own, canal.Best-3*canal.Own
			if lo > 300 && hi > 8.5 && !(kit.Cover[KindNail] >= kitCover) {
				t.Fatalf("room %v canal %v: cover %.3f", room, canal, kit.Cover[KindNail])
			}
			before = kit
		}
	}
	if grew < 100 {
		t.Errorf("the list grew %d times only", grew)
	}
}

// Law: a part more on the shelf never lowers the cover; a planned or likely
// part that is not on the shelf is missing.
func TestKitStock(t *testing.T) {
	room, canal := units.Length{Best: 415, Own: 6.21}, units.Length{Best: 12, Own: 0.2}
	shelf := implant.Teaching()
	for i := range shelf.Nails {
		if n := shelf.Nails[i]; n.Length == 420 && n.Diameter == 11 {
			shelf.Nails[i].Stock = 0
		}
	}
	c, pl := packed(t, shelf, Standard, room, canal)
	k, problems := kitOf(c, pl, shelf, DefaultPolicy())
	if got := lines(Kit{Items: k.Missing}, KindNail); !slices.Equal(got, []string{"neighbour 11×420 1/0"}) {
		t.Errorf("missing %v", got)
	}
	if !slices.Contains(codesOf(problems), "kit-cover") || k.Cover[KindNail] > 0.95 { // by hand: P(11 mm) · P(420 mm) = 0.5 · 0.21
		t.Errorf("cover %.3f, %v", k.Cover[KindNail], codesOf(problems))
	}
	for i := range shelf.Nails {
		more := shelf
		more.Nails = slices.Clone(shelf.Nails)
		more.Nails[i].Stock++
		if again, _ := kitOf(c, pl, more, DefaultPolicy()); again.Cover[KindNail] < k.Cover[KindNail]-1e-12 {
			t.Errorf("one more %s lowers the cover from %v to %v", more.Nails[i].ID, k.Cover[KindNail], again.Cover[KindNail])
		}
	}
}

func TestKitParts(t *testing.T) {
	shelf := implant.Teaching()
	c, pl := packed(t, shelf, HeadLock, units.Length{Best: 410, Own: 1}, units.Length{Best: 11.5, Own: 0.1})
	five := units.Length{Best: 98, Own: 1}
	pl.Head.Lower = ScrewChoice{Ask: 95, Room: &five}
	pl.Distal.Holes = []HolePlace{{Hole: 1, Use: true, Ask: 44}, {Hole: 2, Use: true, Ask: 46}, {Hole: 3, Ask: 50}}
	k, problems := kitOf(c, pl, shelf, DefaultPolicy())
	for _, tt := range []struct {
		kind   string
		want   []string
		source string
	}{
		{KindReamer, []string{"planned 8.5×0 1/1", "planned 9×0 1/1", "planned 9.5×0 1/1", "planned 10×0 1/1", "planned 10.5×0 1/1", "planned 11×0 1/1",
			"planned 11.5×0 1/1", "planned 12×0 1/1", "neighbour 12.5×0 1/1"}, "nail + 1.0, and one more"},
		{KindHead, []string{"planned 6.5×95 1/2", "neighbour 6.5×100 1/2", "always 6.5×0 1/24"}, "by hand: 98 ± 2 meets 95 and 100; the upper one was not worked out"},
		{KindLocking, []string{"planned 5×44 1/4", "planned 5×46 1/4", "neighbour 5×42 1/4", "neighbour 5×48 1/4"}, "both depths were read; one size either side"},
		{KindCap, []string{"planned 0×5 1/2", "neighbour 0×0 1/2", "neighbour 0×10 1/2"}, "burial 5: the cap of 5"},
		{implant.GuideRod, []string{"always 0×0 2/2"}, "AO page: two rods of equal length"},
		{implant.GuideWire, []string{"always 0×0 4/4"}, "entry, two in the neck, one to spare"},
	} {
		if got := lines(k, tt.kind); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v (%s)", tt.kind, got, tt.want, tt.source)
		}
	}
	for kind, fits := range map[string]string{"screwdriver": "hexagon 5 mm", "extraction-bolt": "thread 8 mm", "step-drill": "head screw 6.5 mm"} {
		if it := item(k, kind, fits); it == nil || it.Have < 1 || it.Note == "" {
			t.Errorf("no %s for %s: %v", kind, fits, it)
		}
	}
	if item(k, "screwdriver", "hexagon 3.5 mm") == nil || item(k, "screwdriver", "") != nil {
		t.Errorf("screwdrivers: %v", lines(k, "screwdriver"))
	}
	if len(problems) > 0 || len(k.Missing) > 0 {
		t.Errorf("%v, missing %v", codesOf(problems), k.Missing)
	}
	pl.Locking.Pattern = Standard
	k, _ = kitOf(c, pl, shelf, DefaultPolicy())
	if got := lines(k, KindLocking); !slices.Contains(got, "always 5×0 2/112") || len(lines(k, KindHead)) > 0 || item(k, "parallel-sleeve", "wire 3 mm") != nil {
		t.Errorf("standard locking: %v, %v", got, lines(k, KindHead))
	}
}

// While the locking is open, and while looks at the neck remain, head screws
// are in the room. Source: Tornetta 2007, fractures of the neck found late.
func TestKitOpenLocking(t *testing.T) {
	shelf := implant.Teaching()
	room, canal := units.Length{Best: 410, Own: 1}, units.Length{Best: 11.5, Own: 0.1}
	for _, tt := range []struct {
		name    string
		pattern Pattern
		left    []string
		head    []string
		wires   string
		locking string
	}{
		{"open", NoPattern, []string{LookCT}, []string{"always 6.5×0 1/24", "always 6.5×0 1/24"}, "always 0×0 4/4", "always 5×0 4/112"},
		{"standard, looks remain", Standard, []string{LookTheatre}, []string{"neighbour 6.5×0 2/24"}, "always 0×0 2/4", "always 5×0 4/112"},
		{"standard, all looked at", Standard, nil, nil, "always 0×0 2/4", "always 5×0 4/112"},
		{"head", HeadLock, []string{LookTheatre}, []string{"always 6.5×0 1/24", "always 6.5×0 1/24"}, "always 0×0 4/4", "always 5×0 2/112"},
	} {
		c, pl := packed(t, shelf, tt.pattern, room, canal)
		pl.Class.NeckLeft = tt.left
		k, _ := kitOf(c, pl, shelf, DefaultPolicy())
		if got := lines(k, KindHead); !slices.Equal(got, tt.head) || lines(k, implant.GuideWire)[0] != tt.wires || lines(k, KindLocking)[0] != tt.locking {
			t.Errorf("%s: %v, %v, %v", tt.name, got, lines(k, implant.GuideWire), lines(k, KindLocking))
		}
		if step := item(k, "step-drill", "head screw 6.5 mm") != nil; step != (tt.pattern != Standard) {
			t.Errorf("%s: step drill %v", tt.name, step)
		}
	}
}

func TestKitTools(t *testing.T) {
	room, canal := units.Length{Best: 410, Own: 1}, units.Length{Best: 11.5, Own: 0.1}
	for _, tt := range []struct {
		name    string
		f       func(*implant.Shelf)
		missing []string
		want    []string
	}{
		{"all there", func(*implant.Shelf) {}, nil, nil},
		{"no tools listed", func(s *implant.Shelf) { s.Tools = nil },
			[]string{"screwdriver", "screwdriver", "depth-gauge", "drill", "aiming-arm", "extraction-bolt", "sliding-hammer"}, []string{"kit-tools-unsaid"}},
		{"one screwdriver lent out", func(s *implant.Shelf) { s.Tools[1].Stock = 0 }, []string{"screwdriver"}, []string{"kit-missing"}},
		{"a bolt for another nail", func(s *implant.Shelf) { s.Tools[7].Fits = "thread 7 mm" }, []string{"extraction-bolt"}, []string{"kit-missing"}},
		{"the same bolt, written otherwise", func(s *implant.Shelf) { s.Tools[7].Fits = " Thread  8MM" }, nil, nil},
		{"drives not given", func(s *implant.Shelf) {
			for i := range s.Locking {
				s.Locking[i].Drive = ""
			}
		}, nil, []string{"kit-drive-open"}},
		{"rods too short", func(s *implant.Shelf) { s.Rods[0].Length = 400 }, []string{implant.GuideRod}, []string{"kit-missing", "kit-rod-short"}},
		{"no caps", func(s *implant.Shelf) { s.Caps = nil }, []string{KindCap}, []string{"kit-missing"}},
		{"no locking screws", func(s *implant.Shelf) { s.Locking = nil }, []string{KindLocking}, []string{"kit-missing"}},
	} {
		shelf := implant.Teaching()
		tt.f(&shelf)
		c, pl := packed(t, shelf, Standard, room, canal)
		k, problems := kitOf(c, pl, shelf, DefaultPolicy())
		var missing []string
		for _, it := range k.Missing {
			missing = append(missing, it.Kind)
		}
		got := codesOf(problems)
		slices.Sort(got)
		if !slices.Equal(missing, tt.missing) || !slices.Equal(got, tt.want) {
			t.Errorf("%s: missing %v, %v; want %v, %v", tt.name, missing, got, tt.missing, tt.want)
		}
	}
}

// What is in the way adds its tools; what this operation has put in does not.
func TestKitRemoval(t *testing.T) {
	c := record.Case{Side: anatomy.Left, Existing: []record.Implant{{Kind: partNail, Drive: "thread 7 mm"}, {Kind: partLocking, Drive: "star 25"}}}
	k, problems := kitOf(c, Plan{}, implant.Teaching(), DefaultPolicy())
	for kind, fits := range map[string]string{"screwdriver": "star 25", "extraction-bolt": "thread 7 mm", "sliding-hammer": ""} {
		if it := item(k, kind, fits); it == nil || it.Role != Removing {
			t.Errorf("no %s for %q on %v", kind, fits, k.Items)
		}
	}
	if len(k.Missing) != 2 || !slices.Equal(codesOf(problems), []string{"kit-nail-open"}) {
		t.Errorf("missing %v, %v", k.Missing, codesOf(problems))
	}
	c.Implants = []record.Implant{{Kind: partNail}}
	if k, _ = kitOf(c, Plan{}, implant.Teaching(), DefaultPolicy()); len(k.Items) > 0 {
		t.Errorf("after the operation: %v", k.Items)
	}
}

// Of 600 invented femurs of known truth, the nail that would be chosen if
// length and canal were known exactly is on the list at least as often as the
// list says: 95.2 % by the normal curve. By hand: sampling moves a share of
// 95 % in 600 by 0.9 % (one standard deviation); 93 % is two of them below.
func TestKitHoldsTheRightNail(t *testing.T) {
	shelf, p := implant.Teaching(), DefaultPolicy()
	held, asked, lines := 0, 0, 0
	cases := runs(600, 40_000, 100)
	for _, r := range cases {
		length, canal := units.Exact(units.MM(r.length)), units.Exact(units.MM(r.canal))
		right, _ := chooseNail(Bone{Length: &length, Canal: &canal}, r.facts.Side, r.plan.Locking, shelf, p)
		if r.plan.Nail.Part == nil || right.Part == nil {
			continue
		}
		asked++
		for _, it := range r.plan.Kit.Items {
			if it.Kind != KindNail {
				continue
			}
			lines++
			if it.ID == right.Part.ID {
				held++
			}
		}
	}
	share := float64(held) / float64(asked)
	t.Logf("the right nail is on the list in %.1f %% of %d, with %.1f nails on it", 100*share, asked, float64(lines)/float64(asked))
	if asked < 550 || !(share >= 0.93) {
		t.Errorf("the right nail is on the list in %.1f %% of %d", 100*share, asked)
	}
	if planned := plannedRight(cases); !(planned < share) {
		t.Errorf("the planned nail alone is right in %.1f %%: the list adds nothing", 100*planned)
	}
}

// plannedRight is how often the planned nail itself is the right one.
func plannedRight(rs []run) float64 {
	right := 0
	for _, r := range rs {
		length, canal := units.Exact(units.MM(r.length)), units.Exact(units.MM(r.canal))
		n, _ := chooseNail(Bone{Length: &length, Canal: &canal}, r.facts.Side, r.plan.Locking, implant.Teaching(), DefaultPolicy())
		if n.Length == r.plan.Nail.Length && n.Diameter == r.plan.Nail.Diameter {
			right++
		}
	}
	return float64(right) / float64(len(rs))
}
