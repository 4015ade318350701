package plan

import (
	"slices"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A reading of the gauge outside these limits is no wire in the neck: the
// lateral cortex to the top of the head is about 70 to 130 mm. From memory.
const depthLo, depthHi units.MM = 50, 160

// gapHi bounds what a wire tip can leave to the joint surface, and how far
// (below zero) it can have gone through it. From memory.
const gapLo, gapHi units.MM = -10, 60

// ScrewFromDepth returns the head screw for a wire whose depth was read at the
// table:
//
//	depth = read + what the gauge has taken off − gap under the sleeve
//	room  = depth − max(0, clearance − gap the wire has left to the joint)
//
// rounded down to stock. Clearance is the policy's. A wire that stopped
// further from the joint than the clearance never makes the screw longer than
// the wire. What the gauge takes off and what the wire has left count as 0
// when not said: both only make the screw shorter, and a note says so.
// Source: facts of geometry; common practice (98 − 10 → 85, 98 − 5 → 90,
// 103 − 10 → 90 in 5 mm steps). A sleeve off the bone reads too long, so
// without the answer "on bone", or a known gap, nothing is decided; nor when
// headDia is 0 and the shelf has head screws of several diameters.
func ScrewFromDepth(r record.Reading, place implant.Place, headDia units.MM, shelf implant.Shelf, p Policy) ScrewChoice {
	if bad := checkDepth(r); len(bad) > 0 {
		return ScrewChoice{Measured: true, Problems: bad}
	}
	if !(headDia > 0) && mixed(shelf, place) {
		return ScrewChoice{Measured: true, Problems: []Problem{trouble("screw-diameter-open", fields("shelf.nails", "shelf.head_screws"))}}
	}
	off, subtracts, gap := value(r.OffBone), value(r.Subtracts), value(r.GapLeft)
	depth := units.Length{Best: *r.First + subtracts - off, Own: p.GaugeReading}
	take := max(0, p.HeadClearance-gap)
	reasons := []Reason{why("screw-depth", shown("read", *r.First), shown("subtracts", subtracts), shown("off", off),
		shown("gap", gap), shown("clearance", p.HeadClearance), shown("take", take))}
	if gap > p.HeadClearance {
		reasons = append(reasons, why("screw-not-beyond-wire", shown("gap", gap), shown("clearance", p.HeadClearance)))
	}
	s := screwFrom(depth.Minus(units.Exact(take)), depth.Plus(units.Exact(gap)), place, headDia, shelf, p)
	s.Measured = true
	s.Why = append(reasons, s.Why...)
	s.Problems = append(unsaid(r), s.Problems...)
	return s
}

func value(v *units.MM) units.MM {
	if v == nil {
		return 0
	}
	return *v
}

// checkDepth returns what keeps the reading from being used.
func checkDepth(r record.Reading) []Problem {
	within := func(v *units.MM, lo, hi units.MM) bool { return v == nil || *v >= lo && *v <= hi }
	switch {
	case r.First == nil:
		return []Problem{trouble("wire-not-read", fields("first_mm"))}
	case !within(r.First, depthLo, depthHi):
		return []Problem{impossible("first_mm", "wire-impossible", *r.First, depthLo, depthHi)}
	case !within(r.OffBone, 0, 50):
		return []Problem{impossible("off_bone_mm", "wire-impossible", *r.OffBone, 0, 50)}
	case !within(r.GapLeft, gapLo, gapHi):
		return []Problem{impossible("gap_left_mm", "wire-impossible", *r.GapLeft, gapLo, gapHi)}
	case !within(r.Subtracts, 0, 20):
		return []Problem{impossible("subtracts_mm", "wire-impossible", *r.Subtracts, 0, 20)}
	case r.OnBone == record.NotAsked:
		return []Problem{trouble("sleeve-unanswered", fields("on_bone"))}
	case r.OnBone == record.Yes && value(r.OffBone) > 0:
		return []Problem{trouble("sleeve-contradiction", fields("on_bone", "off_bone_mm"), shown("off", *r.OffBone))}
	case r.OnBone != record.Yes && (r.OnBone != record.No || value(r.OffBone) == 0):
		return []Problem{trouble("sleeve-off-bone", fields("on_bone", "off_bone_mm"))}
	}
	return nil
}

func impossible(field, code string, v, lo, hi units.MM) Problem {
	shownValue := number("value", float64(v))
	return trouble(code, fields(field), word("field", field), shownValue, shown("low", lo), shown("high", hi))
}

// unsaid returns the notes on what was taken as 0 because nobody said it, and
// the caution on a wire that has gone through the joint surface.
func unsaid(r record.Reading) (out []Problem) {
	if r.GapLeft == nil {
		out = append(out, trouble("gap-unsaid", fields("gap_left_mm")))
	} else if *r.GapLeft < 0 {
		out = append(out, trouble("wire-through-joint", fields("gap_left_mm"), shown("through", -*r.GapLeft)))
	}
	if r.Subtracts == nil {
		out = append(out, trouble("subtracts-unsaid", fields("subtracts_mm")))
	}
	return out
}

// screwFrom chooses from stock for a room that ends at the clearance; toJoint
// is how long a screw would end exactly at the joint surface.
func screwFrom(room, toJoint units.Length, place implant.Place, dia units.MM, shelf implant.Shelf, p Policy) ScrewChoice {
	s := ScrewChoice{Room: &room}
	sizes := screwSizes(shelf, place, dia)
	_, at := longest(sizes, room)
	if at < 0 {
		s.Longer = firstIn(sizes)
		s.Problems = []Problem{trouble("screw-none", fields("shelf.head_screws"), length("room", room), shown("diameter", dia))}
		if s.Longer > 0 {
			s.LongerTo = pointer(toJoint.Minus(units.Exact(s.Longer)))
		}
		return s
	}
	s.Ask, s.Stock = sizes[at].Value, sizes[at].Stock
	s.ToJoint = pointer(toJoint.Minus(units.Exact(s.Ask)))
	s.Why = []Reason{why("screw-round-down", length("room", room), shown("size", s.Ask))}
	near := shortlist(sizes, at)
	for _, n := range near {
		switch {
		case n.Value < s.Ask:
			s.Shorter = n.Value
		case n.Value > s.Ask:
			s.Longer = n.Value
			s.LongerTo = pointer(toJoint.Minus(units.Exact(n.Value)))
		}
	}
	if s.Close = tooClose(chances(near, room), s.Ask, p); s.Close {
		s.Problems = []Problem{trouble("screw-close", fields("readings", "films"), shown("size", s.Ask),
			length("room", room), percent("percent", rightOf(near, s.Ask)))}
	}
	return s
}

// screwSizes adds up the stock of the head screws for a place and diameter (0:
// any), shortest first.
func screwSizes(shelf implant.Shelf, place implant.Place, dia units.MM) []Size {
	var out []Size
	for _, s := range shelf.Head {
		right := place == implant.EitherPlace || s.Place == implant.EitherPlace || s.Place == place
		if !right || dia > 0 && s.Diameter != dia || !(s.Length > 0) || !units.Exact(s.Length).Finite() {
			continue
		}
		i := slices.IndexFunc(out, func(x Size) bool { return x.Value == s.Length })
		if i < 0 {
			out = append(out, Size{Value: s.Length})
			i = len(out) - 1
		}
		out[i].Stock += max(s.Stock, 0)
	}
	slices.SortFunc(out, bySize)
	return out
}

// mixed reports whether the head screws for a place differ in diameter.
func mixed(shelf implant.Shelf, place implant.Place) bool {
	var dia units.MM
	for _, s := range shelf.Head {
		if place != implant.EitherPlace && s.Place != implant.EitherPlace && s.Place != place {
			continue
		}
		if dia != 0 && s.Diameter != dia {
			return true
		}
		dia = s.Diameter
	}
	return false
}

func bySize(a, b Size) int {
	switch {
	case a.Value < b.Value:
		return -1
	case a.Value > b.Value:
		return 1
	}
	return 0
}

func firstIn(sizes []Size) units.MM {
	for _, s := range sizes {
		if s.Stock > 0 {
			return s.Value
		}
	}
	return 0
}
