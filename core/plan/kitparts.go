package plan

import (
	"slices"

	"isthmus/core/implant"
	"isthmus/core/units"
)

// headScrews lists both head screws with the neighbours that the doubt of
// their room allows. Where the room of one is not known its whole range is
// wanted.
func (k *packing) headScrews() {
	for _, s := range []struct {
		place  implant.Place
		key    string
		choice ScrewChoice
	}{{implant.Lower, partLower, k.pl.Head.Lower}, {implant.Upper, partUpper, k.pl.Head.Upper}} {
		d := k.pl.Nail.Part.HeadDia
		sizes := stockOfScrews(k.shelf.Head, d, s.place)
		if s.choice.Room == nil || s.choice.Ask == 0 || len(sizes) == 0 {
			k.wholeRange(KindHead, s.place, d, 1, sizes)
			continue
		}
		k.screw(k.shelf.Head, KindHead, s.place, d, s.choice.Ask, Planned, 1, rightOf(within(sizes, *s.choice.Room, kitOne), s.choice.Ask))
		k.cover(s.key, 0)
		for _, x := range within(sizes, *s.choice.Room, kitOne) {
			if x.Stock > 0 {
				k.cover(s.key, x.Right)
			}
			if x.Value != s.choice.Ask {
				k.screw(k.shelf.Head, KindHead, s.place, d, x.Value, Neighbour, 1, x.Right)
			}
		}
	}
}

// neckFound is the line of head screws for a fracture of the neck that is
// found in theatre, as long as looks at the neck remain.
func (k *packing) neckFound() {
	it := KitItem{Kind: KindHead, Role: Neighbour, Diameter: k.pl.Nail.Part.HeadDia, Need: 2, Why: []Reason{why("kit-neck-found")}}
	for _, w := range k.shelf.Head {
		if w.Diameter == it.Diameter {
			it.Have += max(w.Stock, 0)
		}
	}
	k.add(it, false)
}

// stockOfScrews adds up the stock of each length of a diameter for a place.
func stockOfScrews(screws []implant.Screw, d units.MM, place implant.Place) (out []Size) {
	for _, w := range screws {
		if w.Diameter != d || w.Place != implant.EitherPlace && w.Place != place {
			continue
		}
		i := slices.IndexFunc(out, func(s Size) bool { return s.Value == w.Length })
		if i < 0 {
			out = append(out, Size{Value: w.Length})
			i = len(out) - 1
		}
		out[i].Stock += max(w.Stock, 0)
	}
	slices.SortFunc(out, bySize)
	return out
}

// screw adds the line of one length of screw.
func (k *packing) screw(screws []implant.Screw, kind string, place implant.Place, d, l units.MM, role KitRole, need int, chance float64) {
	it := KitItem{Kind: kind, Place: place, Role: role, Diameter: d, Length: l, Need: need, Chance: chance, Why: []Reason{why("kit-planned")}}
	if role == Neighbour {
		it.Why = []Reason{why("kit-next")}
		if chance > 0 {
			it.Why = []Reason{neighbour(chance)}
		}
	}
	for _, w := range screws {
		if w.Diameter == d && w.Length == l && (w.Place == implant.EitherPlace || w.Place == place) {
			it.Have += max(w.Stock, 0)
			if it.ID == "" {
				it.ID, it.Fits = w.ID, w.Drive
			}
		}
	}
	k.add(it, true)
}

// wholeRange is the line of screws whose length is measured at the table.
func (k *packing) wholeRange(kind string, place implant.Place, d units.MM, need int, sizes []Size) {
	it := KitItem{Kind: kind, Place: place, Role: Always, Diameter: d, Need: need}
	var held []units.MM
	for _, s := range sizes {
		if s.Stock > 0 {
			held = append(held, s.Value)
			it.Have += s.Stock
		}
	}
	if len(held) == 0 {
		it.Why = []Reason{why("kit-range-none")}
	} else {
		it.Why = []Reason{why("kit-range", shown("low", slices.Min(held)), shown("high", slices.Max(held)))}
	}
	k.add(it, true)
}

// lockingScrews lists the distal screws whose depth was measured with their
// neighbours, and the whole range for those that were not, and for the two of
// standard locking at the top.
func (k *packing) lockingScrews() {
	d := k.pl.Nail.Part.LockingDia
	sizes := stockOfScrews(k.shelf.Locking, d, implant.EitherPlace)
	measured := 0
	var near []units.MM
	for _, h := range k.pl.Distal.Holes {
		if !h.Use || h.Ask == 0 {
			continue
		}
		measured++
		k.screw(k.shelf.Locking, KindLocking, implant.EitherPlace, d, h.Ask, Planned, 1, 0)
		near = append(near, beside(sizes, h.Ask)...)
	}
	slices.Sort(near)
	for _, l := range slices.Compact(near) {
		if !slices.ContainsFunc(k.Items, func(it KitItem) bool { return it.Kind == KindLocking && it.Length == l }) {
			k.screw(k.shelf.Locking, KindLocking, implant.EitherPlace, d, l, Neighbour, 1, 0)
		}
	}
	open := max(0, k.pl.Locking.Distal-measured)
	if k.pl.Locking.Pattern != HeadLock {
		open += upperScrews
	}
	if open > 0 {
		k.wholeRange(KindLocking, implant.EitherPlace, d, open, sizes)
	}
}

// beside returns the next size on either side.
func beside(sizes []Size, v units.MM) (out []units.MM) {
	for i, s := range sizes {
		if i+1 < len(sizes) && s.Value < v && sizes[i+1].Value >= v {
			out = append(out, s.Value)
		}
		if i > 0 && s.Value > v && sizes[i-1].Value <= v {
			out = append(out, s.Value)
		}
	}
	return out
}

// caps lists the planned end cap, what the doubt of the burial allows, and the
// next on either side; all of them while none is planned.
func (k *packing) caps() {
	var sizes []Size
	for _, c := range k.shelf.Caps {
		i := slices.IndexFunc(sizes, func(s Size) bool { return s.Value == c.Height })
		if i < 0 {
			sizes = append(sizes, Size{Value: c.Height})
			i = len(sizes) - 1
		}
		sizes[i].Stock += max(c.Stock, 0)
	}
	slices.SortFunc(sizes, bySize)
	seat := k.pl.Seat
	if seat.Cap == nil || seat.Burial == nil {
		for _, s := range sizes {
			k.cap(s.Value, Neighbour, 0)
		}
		if len(sizes) == 0 {
			k.add(KitItem{Kind: KindCap, Role: Always, Need: 1, Why: []Reason{why("kit-range-none")}}, false)
		}
		return
	}
	near := within(sizes, *seat.Burial, kitOne)
	k.cap(seat.Cap.Height, Planned, rightOf(near, seat.Cap.Height))
	for _, s := range near {
		k.cap(s.Value, Neighbour, s.Right)
	}
	for _, v := range beside(sizes, seat.Cap.Height) {
		k.cap(v, Neighbour, 0)
	}
}

func (k *packing) cap(height units.MM, role KitRole, chance float64) {
	it := KitItem{Kind: KindCap, Role: role, Length: height, Need: 1, Chance: chance, Why: []Reason{why("kit-planned")}}
	if role == Neighbour {
		it.Why = []Reason{why("kit-next")}
	}
	for _, c := range k.shelf.Caps {
		if c.Height == height {
			it.Have += max(c.Stock, 0)
			if it.ID == "" {
				it.ID, it.Fits = c.ID, c.Drive
			}
		}
	}
	k.add(it, false)
}

// rods lists two guide rods longer than the nail (one in the bone, one to
// measure against) and the guide wires: one for the entry, one for each head
// screw, and one to spare, for a bent wire is thrown away. Source: AO
// Foundation page (two rods of equal length); common practice.
func (k *packing) rods() {
	rod := KitItem{Kind: implant.GuideRod, Role: Always, Need: 2, Why: []Reason{why("kit-rods", shown("nail", k.pl.Nail.Length))}}
	wire := KitItem{Kind: implant.GuideWire, Role: Always, Need: 2, Why: []Reason{why("kit-wires")}}
	if k.head() {
		wire.Need += 2
	}
	short := false
	for _, r := range k.shelf.Rods {
		switch {
		case r.Kind == implant.GuideWire:
			wire.Have += max(r.Stock, 0)
		case r.Kind == implant.GuideRod && r.Length > k.pl.Nail.Length:
			rod.Have += max(r.Stock, 0)
		case r.Kind == implant.GuideRod:
			short = true
		}
	}
	k.add(rod, false)
	k.add(wire, false)
	if short && rod.Have == 0 {
		k.problems = append(k.problems, trouble("kit-rod-short", fields("shelf.rods"), shown("nail", k.pl.Nail.Length)))
	}
}

// tools lists the tools by kind: a screwdriver for every drive on the list,
// what measures and drills, and what takes this nail out again.
func (k *packing) tools() {
	var unsaid []string
	for _, it := range slices.Clone(k.Items) {
		field := map[string]string{KindHead: "shelf.head_screws", KindLocking: "shelf.locking_screws", KindCap: "shelf.end_caps"}[it.Kind]
		if field == "" {
			continue
		}
		for _, d := range k.drives(it) {
			if d != "" {
				k.add(toolItem(k.shelf, implant.Screwdriver, d, Always, why("kit-turns")), false)
			} else if !slices.Contains(unsaid, field) {
				unsaid = append(unsaid, field)
			}
		}
	}
	if len(unsaid) > 0 {
		k.add(toolItem(k.shelf, implant.Screwdriver, "", Always, why("kit-drive-unsaid")), false)
	}
	kinds := []implant.ToolKind{implant.DepthGauge, implant.Drill, implant.AimingArm}
	if k.head() {
		kinds = append(kinds, implant.StepDrill, implant.ParallelSleeve)
	}
	for _, kind := range kinds {
		k.every(kind)
	}
	drive := k.pl.Nail.Part.Drive
	if drive == "" {
		unsaid = append(unsaid, "shelf.nails")
	}
	k.add(toolItem(k.shelf, implant.ExtractionBolt, drive, Removing, why("kit-again")), false)
	k.add(toolItem(k.shelf, implant.SlidingHammer, "", Removing, why("kit-again")), false)
	if len(unsaid) > 0 && len(k.shelf.Tools) > 0 {
		k.problems = append(k.problems, trouble("kit-drive-open", unsaid))
	}
}

// every lists each tool of a kind that the shelf names, for a plan can need
// several; one line without a name where it names none.
func (k *packing) every(kind implant.ToolKind) {
	before := len(k.Items)
	for _, t := range k.shelf.Tools {
		if t.Kind == kind {
			k.add(KitItem{Kind: string(kind), Role: Always, ID: t.ID, Fits: t.Fits, Note: t.Note, Need: 1, Have: max(t.Stock, 0), Why: []Reason{why("kit-tool")}}, false)
		}
	}
	if len(k.Items) == before {
		k.add(toolItem(k.shelf, kind, "", Always, why("kit-tool")), false)
	}
}

// drives returns the drives of the parts of a line; for a whole range those of
// all its lengths.
func (k *packing) drives(it KitItem) (out []string) {
	if it.ID != "" {
		return []string{it.Fits}
	}
	screws := k.shelf.Locking
	if it.Kind == KindHead {
		screws = k.shelf.Head
	}
	for _, w := range screws {
		if it.Kind != KindCap && w.Diameter == it.Diameter && w.Stock > 0 && !slices.Contains(out, w.Drive) {
			out = append(out, w.Drive)
		}
	}
	return out
}

// toolItem is the line of a tool of a kind that fits a drive, with the shelf's
// own name and rule for it; of any tool of the kind when no drive is given.
func toolItem(shelf implant.Shelf, kind implant.ToolKind, fits string, role KitRole, reason Reason) KitItem {
	it := KitItem{Kind: string(kind), Role: role, Fits: fits, Need: 1, Why: []Reason{reason}}
	for _, t := range shelf.Tools {
		if t.Kind != kind || fits != "" && !sameDrive(t.Fits, fits) {
			continue
		}
		it.Have += max(t.Stock, 0)
		if fits != "" && it.ID == "" {
			it.ID, it.Note = t.ID, t.Note
		}
	}
	return it
}
