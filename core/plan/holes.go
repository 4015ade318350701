package plan

import (
	"math/bits"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// mostHoles bounds the holes that are tried together; a shelf has at most 6.
const mostHoles = 8

// A pick is one way to use so many holes, as bits, with what speaks for it.
type pick struct {
	holes   uint
	round   bool     // at least one round hole, so that the nail cannot slide
	near    int      // holes that are not surely beyond the limit from the fracture
	planes  int      // planes of the screws
	across  int      // screws from side to side
	later   bool     // one screw out lets the nail slide
	highest units.MM // how far from the tip the highest hole lies
}

// choose picks the holes for the screws, by these rules in this order: at
// least one round hole, so that the nail is locked; as few holes as can be
// that are not surely beyond the policy's distance from the fracture; below
// the isthmus in different planes, else from side to side; a slot with one
// round hole, so that the nail can be made to slide later; the lowest holes.
// Source: Bucholz 1987; AO Foundation page; common practice.
func (d *lowerEnd) choose(l Locking) {
	n, below := min(l.Distal, len(d.Holes)), belowIsthmus(l)
	if n == 0 || len(d.Holes) > mostHoles {
		return
	}
	var best *pick
	for set := uint(1); set < 1<<len(d.Holes); set++ {
		if bits.OnesCount(set) == n {
			if p := d.weigh(set); best == nil || p.before(*best, below) {
				best = &p
			}
		}
	}
	for i := range d.Holes {
		d.Holes[i].Use = best.holes&(1<<i) != 0
	}
	switch {
	case best.near > 0:
		d.Why = append(d.Why, why("holes-near", number("count", float64(best.near)), shown("limit", d.p.HoleDistance)))
	case d.Holes[0].ToFracture != nil:
		d.Why = append(d.Why, why("holes-far", shown("limit", d.p.HoleDistance)))
	}
	if below {
		d.Why = append(d.Why, why("holes-planes", number("count", float64(best.planes))))
	} else {
		d.Why = append(d.Why, why("holes-across"))
	}
	if !best.round {
		d.add(trouble("holes-slots-only", fields("shelf.nails")))
	}
}

// belowIsthmus reports whether the locking was chosen for a fracture there.
func belowIsthmus(l Locking) bool {
	for _, r := range l.Why {
		if r.Code == "distal-third" {
			return true
		}
	}
	return false
}

func (d *lowerEnd) weigh(set uint) pick {
	p := pick{holes: set}
	planes := map[implant.Plane]bool{}
	slots, rounds := 0, 0
	for i, h := range d.Holes {
		if set&(1<<i) == 0 {
			continue
		}
		if h.Slot {
			slots++
		} else {
			rounds++
		}
		planes[h.Plane] = true
		if h.Plane == implant.Transverse {
			p.across++
		}
		if h.ToFracture != nil && h.ToFracture.Against(d.p.HoleDistance) != units.More {
			p.near++
		}
		p.highest = max(p.highest, d.nail.Distal[i].FromTip)
	}
	p.planes, p.round, p.later = len(planes), rounds > 0, slots > 0 && rounds == 1
	return p
}

// before reports whether the pick is better than another.
func (p pick) before(q pick, below bool) bool {
	switch {
	case p.round != q.round:
		return p.round
	case p.near != q.near:
		return p.near < q.near
	case below && p.planes != q.planes:
		return p.planes > q.planes
	case !below && p.across != q.across:
		return p.across > q.across
	case p.later != q.later:
		return p.later
	}
	return p.highest < q.highest
}

// slide says whether the nail is locked so that it can slide, now or later.
// Static is the default; dynamic is named only where the pieces surely carry
// the length by themselves and the nail has a slot. Nothing is dynamised that
// is unstable and has no callus. Source: common practice; from memory.
func (d *lowerEnd) slide(c Class) {
	slot, used, round, out := false, 0, 0, 0
	for _, h := range d.Holes {
		slot = slot || h.Slot
		switch {
		case h.Use && h.Slot:
			used++
		case h.Use:
			round, out = round+1, h.Hole
		}
	}
	if used+round == 0 {
		return
	}
	d.Dynamic, d.Later = record.No, record.No
	if round == 0 { // nothing else was there to lock in
		d.Dynamic = record.Yes
		return
	}
	d.Why = append(d.Why, why("static-default"))
	switch {
	case !slot:
		d.Why = append(d.Why, why("later-no-slot"))
		return
	case used > 0 && round == 1:
		d.Later, d.TakeOut = record.Yes, out
		d.Why = append(d.Why, why("later-yes", number("hole", float64(out))), why("dynamise-callus"))
	default:
		d.Why = append(d.Why, why("later-no", number("count", float64(round))))
	}
	switch c.Stable {
	case record.Yes:
		d.Why = append(d.Why, why("dynamic-offered"))
	case record.No:
		d.Why = append(d.Why, why("static-unstable"))
	default:
		d.Why = append(d.Why, why("dynamic-unknown"))
	}
}
