package plan

import (
	"math"
	"slices"

	"isthmus/core/implant"
	"isthmus/core/units"
)

// maxHeads bounds the list of reamer heads.
const maxHeads = 40

// ReamingFor returns the reamer heads for a nail in the order of use: from the
// first head (policy, 8.5 mm) in steps (policy, 0.5 mm) to nail + over
// (policy, 1.0 mm). The last head is always nail + over, so the last step can
// be smaller. Where the canal is known and narrower than the first head, the
// list starts with the largest head on the same steps that enters it; a canal
// that is not known starts as the policy says. A nail of 9 mm: 8.5, 9.0, 9.5,
// 10.0. Source: common practice; AO Foundation page (0.5 mm steps). Heads that
// the shelf does not hold are listed as missing. It decides nothing for a size
// that is no nail.
func ReamingFor(nail units.MM, canal *units.Length, shelf implant.Shelf, p Policy) (Reaming, []Problem) {
	if !(nail >= 5 && nail <= 20) || !(p.ReamStep > 0) {
		return Reaming{}, nil
	}
	final := nail + p.ReamOver
	start, reason := firstHead(canal, p)
	r := Reaming{Final: final}
	if start > final {
		start = final
	}
	for i := 0; i < maxHeads; i++ {
		head := start + units.MM(i)*p.ReamStep
		if head >= final-guard {
			break
		}
		r.Heads = append(r.Heads, head)
	}
	r.Heads = append(r.Heads, final)
	r.Why = []Reason{why("ream-final", shown("nail", nail), shown("over", p.ReamOver), shown("final", final)), reason}
	r.stops(canal, p)
	r.Missing = missingHeads(r.Heads, shelf)
	var problems []Problem
	if len(r.Missing) > 0 {
		problems = append(problems, trouble("reamer-missing", fields("shelf.reamer_heads"),
			number("count", float64(len(r.Missing))), shown("first", r.Missing[0])))
	}
	return r, problems
}

// stops names the heads at which the surgeon will feel the isthmus: the first
// that is wider than the canal is where chatter begins, and the first that
// takes off more than the policy allows is where to stop and think. Source:
// common practice; what is felt at the table goes before it.
func (r *Reaming) stops(canal *units.Length, p Policy) {
	if canal == nil || !canal.Finite() || !(canal.Best >= canalLo) {
		return
	}
	for _, h := range r.Heads {
		if r.Chatter == 0 && h > canal.Best+guard {
			r.Chatter = h
			r.Why = append(r.Why, why("ream-chatter", shown("head", h), length("canal", *canal)))
		}
		if r.Tight == 0 && h > canal.Best+p.ReamCut+guard {
			r.Tight = h
			r.Why = append(r.Why, why("ream-tight", shown("head", h), shown("cut", p.ReamCut)))
		}
	}
}

// firstHead returns the first reamer head and why it is the first.
func firstHead(canal *units.Length, p Policy) (units.MM, Reason) {
	first := p.ReamFirst
	if canal == nil || !canal.Finite() || !(canal.Best >= canalLo) {
		return first, why("ream-start", shown("first", first))
	}
	if canal.Best+guard >= first {
		return first, why("ream-start-canal", shown("first", first), length("canal", *canal))
	}
	down := math.Ceil(float64((first - canal.Best - guard) / p.ReamStep))
	first -= units.MM(down) * p.ReamStep
	return first, why("ream-start-narrow", shown("first", first), length("canal", *canal))
}

func missingHeads(heads []units.MM, shelf implant.Shelf) (missing []units.MM) {
	for _, h := range heads {
		if !slices.ContainsFunc(shelf.Reamers, func(x implant.Head) bool {
			return x.Stock > 0 && math.Abs(float64(x.Diameter-h)) < float64(guard)
		}) {
			missing = append(missing, h)
		}
	}
	return missing
}
