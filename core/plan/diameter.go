package plan

import (
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/units"
)

// A canal outside these limits is a slip of a point or of the scale. Source:
// isthmus 10.5 ± 1.5 mm (BioMed Res Int 2015), widened to 5…25 mm.
const canalLo, canalHi units.MM = 5, 25

// DiameterFrom chooses the diameter of a nail for a canal, for the bedside:
// the thickest in stock that is no thicker than the canal, and where the canal
// is too tight for that, the thickest whose last reamer head takes no more off
// the isthmus than the policy allows,
//
//	nail ≤ canal, else nail ≤ canal + cut − over
//
// of the nails of this length (0: any) and side. It warns of a narrow canal
// and of a nail that fills too little of it, and decides nothing when the
// canal is not one of a femur. Source: common practice; the policy's
// ream_cut_mm and ream_over_mm.
func DiameterFrom(canal units.Length, side anatomy.Side, long units.MM, shelf implant.Shelf, p Policy) (NailChoice, []Problem) {
	nails, problems := candidates(shelf, side, NoPattern)
	nails = ofLength(nails, long)
	if len(nails) == 0 {
		return NailChoice{}, append(problems, trouble("nail-no-length", fields("shelf.nails"), shown("length", long)))
	}
	n, more := diameterFrom(canal, nails, p)
	return n, append(problems, more...)
}

func diameterFrom(canal units.Length, nails []implant.Nail, p Policy) (NailChoice, []Problem) {
	if !canal.Finite() || !(canal.Best >= canalLo && canal.Best <= canalHi) {
		if !canal.Finite() {
			canal = units.Length{}
		}
		return NailChoice{}, []Problem{trouble("canal-impossible", fields("films"), length("canal", canal),
			shown("low", canalLo), shown("high", canalHi))}
	}
	problems := narrow(canal, p)
	sizes := stockOf(nails, func(n implant.Nail) units.MM { return n.Diameter })
	room, tight := roomFor(canal, sizes, p)
	ideal, at := longest(sizes, room)
	var n NailChoice
	if at < 0 {
		if at = thinnest(sizes); at < 0 {
			return n, problems
		}
		n.Lost = append(n.Lost, why("lost-tight", shown("size", sizes[at].Value), length("canal", canal)))
		problems = append(problems, tooThick(canal, sizes[at].Value, p))
	} else if ideal != at {
		n.Lost = append(n.Lost, why("lost-diameter", shown("wanted", sizes[ideal].Value), shown("size", sizes[at].Value)))
	}
	n.Diameter = sizes[at].Value
	n.WhyDia = []Reason{why("diameter-canal", length("canal", canal), shown("size", n.Diameter))}
	if tight {
		n.WhyDia = []Reason{why("diameter-tight", length("canal", canal), shown("size", n.Diameter), shown("over", p.ReamOver), shown("cut", p.ReamCut))}
	} else {
		near := chances(shortlist(sizes, at), room)
		n.DiaUp = runnerUp(near, n.Diameter)
		if tooClose(near, n.Diameter, p) && n.DiaUp > 0 {
			problems = append(problems, trouble("diameter-close", fields("films"), shown("size", n.Diameter),
				shown("other", n.DiaUp), percent("percent", rightOf(near, n.Diameter))))
		}
	}
	ratio, more := fit(canal, n.Diameter, p)
	n.Ratio = ratio
	return n, append(problems, more...)
}

// roomFor returns the limit of the diameter: the canal, or what reaming may
// make of a canal that lets no nail in stock through.
func roomFor(canal units.Length, sizes []Size, p Policy) (room units.Length, tight bool) {
	if _, at := longest(sizes, canal); at >= 0 {
		return canal, false
	}
	return canal.Plus(units.Exact(p.ReamCut - p.ReamOver)), true
}

// tooThick says how much more than the policy allows would have to be reamed:
// a stop in a canal under the red limit or for more than twice as much, else a
// caution.
func tooThick(canal units.Length, nail units.MM, p Policy) Problem {
	q := trouble("nail-too-thick", fields("shelf.nails", "films"), shown("size", nail), length("canal", canal),
		length("cut", units.Exact(nail+p.ReamOver).Minus(canal)), shown("limit", p.ReamCut))
	if canal.Best < p.CanalRed || !(nail+p.ReamOver-canal.Best <= 2*p.ReamCut) {
		q.Level = Stop
	}
	return q
}

// narrow warns of heat and of a burst bone. Limits of the policy; the amber
// one includes its own value.
func narrow(canal units.Length, p Policy) []Problem {
	switch {
	case canal.Best < p.CanalRed:
		return []Problem{trouble("canal-red", fields("films"), length("canal", canal), shown("limit", p.CanalRed))}
	case canal.Best <= p.CanalAmber+guard:
		return []Problem{trouble("canal-amber", fields("films"), length("canal", canal), shown("limit", p.CanalAmber))}
	}
	return nil
}

// fit returns nail over canal, and a caution when it is under the policy's
// limit. Sources disagree whether it matters, so it is never more than amber.
func fit(canal units.Length, nail units.MM, p Policy) (*units.Ratio, []Problem) {
	r, ok := units.Exact(nail).Over(canal)
	if !ok {
		return nil, nil
	}
	if r.Best < p.FitAmber {
		return &r, []Problem{trouble("nail-loose", fields("films", "shelf.nails"), percent("percent", r.Best), percent("limit", p.FitAmber))}
	}
	return &r, nil
}

// runnerUp returns the neighbour that is more likely to be right than the
// other one; 0 when there is none.
func runnerUp(near []Size, chosen units.MM) units.MM {
	var best Size
	for _, s := range near {
		if s.Value != chosen && (best.Value == 0 || s.Right > best.Right) {
			best = s
		}
	}
	return best.Value
}

func thinnest(sizes []Size) int {
	for i, s := range sizes {
		if s.Stock > 0 {
			return i
		}
	}
	return -1
}

// thinner says when a thicker nail would have passed and the shelf has it only
// in another length.
func thinner(canal units.Length, nails []implant.Nail, n NailChoice) []Reason {
	if n.Length == 0 || n.Diameter == 0 {
		return nil
	}
	sizes := stockOf(nails, func(n implant.Nail) units.MM { return n.Diameter })
	_, at := longest(sizes, canal)
	if at < 0 || !(sizes[at].Value > n.Diameter) {
		return nil
	}
	return []Reason{why("lost-other-length", shown("wanted", sizes[at].Value), shown("length", n.Length), shown("size", n.Diameter))}
}
