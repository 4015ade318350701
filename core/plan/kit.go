package plan

import (
	"cmp"
	"slices"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Kinds of a KitItem beside those of tools and of core/implant's rods.
const (
	KindNail    = "nail"
	KindHead    = "head-screw"
	KindLocking = "locking-screw"
	KindCap     = "end-cap"
	KindReamer  = "reamer-head"
)

const (
	// kitNail is how many standard uncertainties of length and of canal the
	// nails in the room cover on either side: 97.56 % each, so 95.2 % for both
	// together (normal curve, JCGM 100:2008, G.1.3). kitOne is that of a part
	// with one doubt: 95.45 %.
	kitNail, kitOne = 2.25, 2.0
	kitCover        = 0.95
	upperScrews     = 2 // of standard locking at the top: transverse and oblique. Common practice
	manyNails       = 6 // more nails than this in the room: measure again. Common practice
)

// kitOf returns the list for the theatre: the planned parts, the neighbours
// that the doubt of the plan makes worth having, what is needed whatever the
// size, and the tools to take out what is there and this nail again. A size is
// on the list when it is the right one for some length of room within the
// doubt, so that more doubt never gives a shorter list. Items holds every
// line; Missing repeats those of which the shelf has fewer than are needed.
// Without a nail it lists the removal only.
func kitOf(c record.Case, pl Plan, shelf implant.Shelf, p Policy) (Kit, []Problem) {
	k := packing{c: c, pl: pl, shelf: shelf, p: p}
	if pl.Nail.Part == nil {
		k.problems = []Problem{trouble("kit-nail-open", fields("side", "films", "readings"))}
	} else {
		k.nails()
		k.reamers()
		if k.head() {
			k.headScrews()
		} else if pl.Nail.Part.HeadAngle > 0 && len(pl.Class.NeckLeft) > 0 {
			k.neckFound()
		}
		k.lockingScrews()
		k.caps()
		k.rods()
		k.tools()
	}
	k.removing()
	k.Missing = lacking(k.Items)
	if pl.Nail.Part != nil {
		k.judge()
	}
	return k.Kit, k.problems
}

// packing fills the list.
type packing struct {
	Kit
	c        record.Case
	pl       Plan
	shelf    implant.Shelf
	p        Policy
	problems []Problem
}

// head reports whether head screws must be in the room: the neck is to be
// held, or the locking is open and the nail takes them.
func (k *packing) head() bool {
	return k.pl.Locking.Pattern == HeadLock || k.pl.Locking.Pattern == NoPattern && k.pl.Nail.Part.HeadAngle > 0
}

// like reports whether two lines are one part, or one kind of tool.
func (a KitItem) like(b KitItem) bool {
	if a.ID != "" || b.ID != "" {
		return a.ID == b.ID && a.Kind == b.Kind
	}
	return a.Kind == b.Kind && (a.Fits == b.Fits || sameDrive(a.Fits, b.Fits)) && a.Diameter == b.Diameter && a.Length == b.Length && a.Place == b.Place
}

// add puts a line on the list. A part that is there already is needed more
// often; a tool that is there already is not.
func (k *packing) add(it KitItem, more bool) {
	i := slices.IndexFunc(k.Items, it.like)
	if i < 0 {
		k.Items = append(k.Items, it)
		return
	}
	if !more {
		return
	}
	have := &k.Items[i]
	have.Need += it.Need
	if it.Role == Planned {
		have.Role = Planned
	}
	if have.Place != it.Place {
		have.Place = implant.EitherPlace
	}
	have.Chance = max(have.Chance, it.Chance)
}

// lacking returns the lines of which the shelf has fewer than are needed.
func lacking(items []KitItem) (out []KitItem) {
	for _, it := range items {
		if it.Have < it.Need {
			out = append(out, it)
		}
	}
	return out
}

// within returns the sizes that are the longest that fits for some room no
// more than so many standard uncertainties from its best value, with the
// chance of each.
func within(sizes []Size, room units.Length, times float64) (out []Size) {
	reach := units.MM(times) * room.Doubt()
	sizes = chances(slices.Clone(sizes), room)
	for i, s := range sizes {
		last := i+1 == len(sizes)
		if s.Value <= room.Best+reach+guard && (last || sizes[i+1].Value > room.Best-reach+guard) {
			out = append(out, s)
		}
	}
	return out
}

// cover adds up the chances of the lines of a kind that are on the shelf.
func (k *packing) cover(key string, p float64) {
	if k.Cover == nil {
		k.Cover = map[string]float64{}
	}
	k.Cover[key] = min(1, k.Cover[key]+p)
}

// nails lists the planned nail and every other one that length and canal
// allow within the doubt, by the rule of chooseNail: the length first, then the
// diameter among the nails of that length, the likeliest first. The two are
// taken as independent.
func (k *packing) nails() {
	n := k.pl.Nail
	all, _ := candidates(k.shelf, k.c.Side, k.pl.Locking.Pattern)
	k.Items = append(k.Items, k.nailItem(all, n.Diameter, n.Length, Planned, 0))
	if n.Room == nil || k.pl.Bone.Canal == nil {
		return
	}
	k.cover(KindNail, 0)
	lengths := stockOf(passing(all, k.pl.Bone.Canal, k.p), func(x implant.Nail) units.MM { return x.Length })
	for _, l := range within(lengths, *n.Room, kitNail) {
		diameters := stockOf(ofLength(all, l.Value), func(x implant.Nail) units.MM { return x.Diameter })
		for _, d := range k.reamed(diameters, *k.pl.Bone.Canal) {
			it := k.nailItem(all, d.Value, l.Value, Neighbour, d.Right*l.Right)
			if it.Have > 0 {
				k.cover(KindNail, it.Chance)
			}
			if d.Value == n.Diameter && l.Value == n.Length {
				k.Items[0].Chance = it.Chance
				continue
			}
			k.Items = append(k.Items, it)
		}
	}
	slices.SortStableFunc(k.Items[1:], func(a, b KitItem) int { return cmp.Compare(b.Chance, a.Chance) })
}

// reamed is within for the diameter: the thinnest nail is also the right one
// in a canal that reaming may widen for it, as roomFor has it.
func (k *packing) reamed(sizes []Size, canal units.Length) []Size {
	out := within(sizes, canal, kitNail)
	first, least := sizes[0], sizes[0].Value-max(0, k.p.ReamCut-k.p.ReamOver)
	if first.Stock <= 0 || !(least <= canal.Best+kitNail*canal.Doubt()+guard) {
		return out
	}
	more := chanceRoom(canal, least) - chanceRoom(canal, first.Value)
	if len(out) == 0 || out[0].Value != first.Value {
		if !(first.Value > canal.Best-kitNail*canal.Doubt()+guard) { // every canal is wider
			return out
		}
		first.Right = 0
		out = slices.Insert(out, 0, first)
	}
	out[0].Right += max(0, more)
	return out
}

// nailItem is the line of a nail; of several of one size it names the one that
// would be taken, and counts all.
func (k *packing) nailItem(all []implant.Nail, d, l units.MM, role KitRole, chance float64) KitItem {
	it := KitItem{Kind: KindNail, Role: role, Diameter: d, Length: l, Need: 1, Chance: chance, Why: []Reason{why("kit-planned")}}
	if role == Neighbour {
		it.Why = []Reason{neighbour(chance)}
	}
	for _, n := range all {
		if n.Diameter == d && n.Length == l {
			it.Have += max(n.Stock, 0)
			if it.ID == "" {
				it.ID, it.Side = n.ID, n.Side
			}
		}
	}
	if n, ok := (implant.Shelf{Nails: all}).HasNail(k.c.Side, d, l); ok {
		it.ID, it.Side = n.ID, n.Side
	}
	return it
}

// neighbour says how likely a size beside the planned one is the right one.
func neighbour(chance float64) Reason {
	if chance < 0.01 {
		return why("kit-rare")
	}
	return why("kit-neighbour", percent("percent", chance))
}

// reamers lists the heads of the plan, and those that the thickest nail on the
// list would need, at least one more.
func (k *packing) reamers() {
	last := k.pl.Reaming.Final
	if last == 0 {
		return
	}
	for _, h := range k.pl.Reaming.Heads {
		k.reamer(h, Planned)
	}
	most := last + k.p.ReamStep
	for _, it := range k.Items {
		if it.Kind == KindNail {
			most = max(most, it.Diameter+k.p.ReamOver)
		}
	}
	for i := 1; i <= maxHeads && last+units.MM(i)*k.p.ReamStep <= most+guard; i++ {
		k.reamer(last+units.MM(i)*k.p.ReamStep, Neighbour)
	}
}

func (k *packing) reamer(d units.MM, role KitRole) {
	it := KitItem{Kind: KindReamer, Role: role, Diameter: d, Need: 1, Why: []Reason{why("kit-planned")}}
	if role == Neighbour {
		it.Why = []Reason{why("kit-reamer-next")}
	}
	for _, h := range k.shelf.Reamers {
		if h.Diameter >= d-guard && h.Diameter <= d+guard {
			it.Have += max(h.Stock, 0)
			if it.ID == "" {
				it.ID = h.ID
			}
		}
	}
	k.add(it, false)
}

// removing adds the tools that take out what is in the way now.
func (k *packing) removing() {
	if len(k.c.Implants) > 0 { // what was in the way is out, and this nail is in
		return
	}
	r, _ := removalOf(k.c, k.shelf, k.p)
	for _, it := range r.Bring {
		k.add(it, false)
	}
}

// judge says what is lacking and where the doubt is not covered.
func (k *packing) judge() {
	lack := slices.DeleteFunc(slices.Clone(k.Missing), func(it KitItem) bool {
		return it.Role == Neighbour || it.Kind == KindReamer || len(k.shelf.Tools) == 0 && isTool(it.Kind)
	})
	if len(lack) > 0 {
		k.problems = append(k.problems, trouble("kit-missing", fields("shelf"), number("count", float64(len(lack))), word("kind", lack[0].Kind)))
	}
	if len(k.shelf.Tools) == 0 {
		k.problems = append(k.problems, trouble("kit-tools-unsaid", fields("shelf.tools")))
	}
	for _, key := range []string{KindNail, partLower, partUpper} {
		if share, ok := k.Cover[key]; ok && !(share >= kitCover) {
			k.problems = append(k.problems, trouble("kit-cover", fields("shelf", "films", "readings"), word("kind", key), percent("percent", share)))
		}
	}
	nails := 0
	for _, it := range k.Items {
		if it.Kind == KindNail {
			nails++
		}
	}
	if nails > manyNails {
		k.problems = append(k.problems, trouble("kit-many", fields("films", "readings"), number("count", float64(nails))))
	}
}

func isTool(kind string) bool { return slices.Contains(implant.ToolKinds(), implant.ToolKind(kind)) }
