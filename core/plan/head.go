package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A route of the two screws up the neck, as the nail dictates it.
type aim struct {
	angle        units.Deg
	spacing, dia units.MM
}

// aimOf returns how the nail drives its head screws: from the chosen part, or
// from all nails that could be chosen when they agree. False when they do not.
func aimOf(n NailChoice, side anatomy.Side, shelf implant.Shelf) (aim, bool) {
	if n.Part != nil {
		return aim{angle: n.Part.HeadAngle, spacing: n.Part.HeadSpacing, dia: n.Part.HeadDia}, n.Part.HeadAngle > 0
	}
	nails, _ := candidates(shelf, side, HeadLock)
	var out aim
	for i, x := range nails {
		a := aim{angle: x.HeadAngle, spacing: x.HeadSpacing, dia: x.HeadDia}
		if i > 0 && a != out {
			return aim{}, false
		}
		out = a
	}
	return out, len(nails) > 0
}

// chooseHead returns the two head screws: from the wires where they were
// measured, else from both films or the AP film, and whether the neck has room for both.
// Only with head locking.
func chooseHead(c record.Case, b Bone, films []shot, l Locking, n NailChoice, shelf implant.Shelf, p Policy) (Head, Space, []Problem) {
	switch l.Pattern {
	case Standard:
		return Head{Why: []Reason{why("head-not-needed")}}, Space{}, nil
	case NoPattern:
		return Head{}, Space{}, nil
	}
	a, ok := aimOf(n, c.Side, shelf)
	if !ok {
		return Head{}, Space{}, []Problem{trouble("head-nail-open", fields("films", "shelf.nails"))}
	}
	var h Head
	problems := h.neck(a, b, p)
	space, hip, more := spaceOf(a, n, films, p)
	problems = append(problems, more...)
	h.Lower = screwAt(c, films, hip, space, implant.Lower, a, 0, shelf, p)
	h.Upper = screwAt(c, films, hip, space, implant.Upper, a, a.spacing, shelf, p)
	problems = append(problems, h.Lower.Problems...)
	problems = append(problems, h.Upper.Problems...)
	if lo, up := h.Lower.Ask, h.Upper.Ask; lo > 0 && up > 0 && up > lo-p.UpperShorter+guard {
		problems = append(problems, trouble("upper-longer", fields("readings", "films"), shown("lower", lo), shown("upper", up)))
	}
	problems = append(problems, hip.tips(&space, h.Lower.Ask, h.Upper.Ask, p)...)
	return h, space, problems
}

// NeckNeed returns the height that two screws need in the neck,
//
//	H = lower clearance + d/2 + spacing + d/2 + upper clearance
//
// with the clearances of the policy. Source: geometry. Two 6.5 mm screws 12 mm
// apart with 3 mm on either side need 24.5 mm.
func NeckNeed(dia, spacing units.MM, p Policy) units.MM {
	return p.NeckLower + dia/2 + spacing + dia/2 + p.NeckUpper
}

func (h *Head) neck(a aim, b Bone, p Policy) []Problem {
	need := NeckNeed(a.dia, a.spacing, p)
	h.Need = pointer(units.Exact(need))
	h.Why = append(h.Why, why("neck-need", shown("need", need), shown("diameter", a.dia), shown("spacing", a.spacing),
		shown("lower", p.NeckLower), shown("upper", p.NeckUpper)))
	if b.NeckRoom == nil {
		return []Problem{trouble("neck-room-missing", fields("films"), shown("need", need))}
	}
	facts := []Fact{shown("need", need), length("room", *b.NeckRoom)}
	switch b.NeckRoom.Against(need) {
	case units.Less:
		return []Problem{trouble("neck-narrow", fields("films"), facts...)}
	case units.More:
		h.Why = append(h.Why, why("neck-fits", facts...))
		return nil
	}
	return []Problem{trouble("neck-close", fields("films"), facts...)}
}

// screwAt chooses one head screw. Inset is how far its axis lies from that of
// the lower one, towards the upper edge of the neck.
func screwAt(c record.Case, films []shot, hip *hipModel, space Space, place implant.Place, a aim, inset units.MM, shelf implant.Shelf, p Policy) ScrewChoice {
	kind := record.WireLower
	if place == implant.Upper {
		kind = record.WireUpper
	}
	var bad []Problem
	film, ok := hip.choose(space, place, c.Injury.Neck == record.Yes, a.dia, shelf, p)
	if !ok {
		film, bad = screwFromFilm(films, c.Injury.Neck == record.Yes, place, a, inset, shelf, p)
	}
	i := latest(c.Readings, kind)
	if i < 0 {
		if film == nil {
			if bad == nil {
				bad = []Problem{trouble("screw-open", fields("readings", "films"), word("place", string(place)))}
			}
			return ScrewChoice{Problems: bad}
		}
		return *film
	}
	s := ScrewFromDepth(c.Readings[i], place, a.dia, shelf, p)
	for j := range s.Problems {
		s.Problems[j].Fields = under(index("readings", i), s.Problems[j].Fields)
	}
	if film != nil && s.ToJoint != nil {
		s.Problems = append(s.Problems, compare(place, index("readings", i), *film, s)...)
	}
	return s
}

// under puts a prefix before the fields of a reading.
func under(prefix string, names []string) []string {
	var out []string
	for _, n := range names {
		if n == "readings" || n == "films" || n == "shelf.head_screws" {
			out = append(out, n)
			continue
		}
		out = append(out, prefix+"."+n)
	}
	return out
}

// compare warns when the wire and the film put the joint at different depths:
// a sign of a sleeve off the bone or of a wrong scale.
func compare(place implant.Place, field string, film, wire ScrewChoice) []Problem {
	if film.ToJoint == nil || film.Ask == 0 || wire.Ask == 0 {
		return nil
	}
	f, w := film.ToJoint.Plus(units.Exact(film.Ask)).Apart(), wire.ToJoint.Plus(units.Exact(wire.Ask))
	if w.Minus(f).Against(0) == units.Unclear {
		return nil
	}
	return []Problem{trouble("wire-differs", fields(field+".first_mm", "films"), word("place", string(place)), length("film", f), length("wire", w))}
}

// screwFromFilm chooses a head screw from the AP film: of the injured femur,
// else of the other one with the difference between sides. On the injured side
// a broken neck may be displaced, which is a caution.
func screwFromFilm(films []shot, broken bool, place implant.Place, a aim, inset units.MM, shelf implant.Shelf, p Policy) (*ScrewChoice, []Problem) {
	var bad []Problem
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		for _, s := range films {
			if s.film.Bone != bone || s.View != anatomy.AP || s.count(screwPoints...) < len(screwPoints) {
				continue
			}
			path, err := measure.ScrewPath(s.Film, a.angle, inset)
			if err != nil {
				bad = append(bad, trouble("screw-refused", fields(index("films", s.i)+".points"), word("place", string(place)), word("error", sentence(err.Error()))))
				continue
			}
			joint := path.ToSurface
			if bone == anatomy.Sound {
				joint.Own = units.MM(math.Hypot(float64(joint.Own), sideRel*float64(joint.Best)))
			}
			out := screwFrom(joint.Minus(units.Exact(p.HeadClearance)), joint, place, a.dia, shelf, p)
			out.Why = append([]Reason{why("screw-film", length("path", joint), shown("clearance", p.HeadClearance))}, out.Why...)
			out.Problems = append(out.Problems, nearEdge(path, place, a, p)...)
			if broken && bone == anatomy.Injured {
				out.Problems = append(out.Problems, trouble("screw-broken-neck", fields(index("films", s.i)+".points"),
					number("film", float64(s.i+1)), word("place", string(place))))
			}
			return &out, nil
		}
	}
	return nil, bad
}

// nearEdge warns of a screw that runs closer to the inner edge of the neck
// than the policy's clearance: the lower one to the calcar, the upper one to
// the upper edge.
func nearEdge(path measure.Path, place implant.Place, a aim, p Policy) []Problem {
	room, keep := path.AboveCalcar, p.NeckLower
	if place == implant.Upper {
		room, keep = path.BelowUpper, p.NeckUpper
	}
	room = room.Minus(units.Exact(a.dia / 2))
	if !(room.Best < keep-guard) {
		return nil
	}
	return []Problem{trouble("screw-near-edge", fields("films"), word("place", string(place)), length("room", room), shown("keep", keep))}
}

// screwPoints lists what the way of a head screw is measured from.
var screwPoints = []anatomy.Landmark{anatomy.LateralCortex, anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3,
	anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower}
