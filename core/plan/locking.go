package plan

import (
	"slices"
	"strings"

	"isthmus/core/record"
	"isthmus/core/units"
)

// lock returns how the top and the bottom of the nail are locked.
//
// Rules, each with its source in the table of codes: a broken neck, a fracture
// near or below the lesser trochanter (subtrochanteric), an atypical or a
// pathological fracture need head locking. A shaft fracture alone, with a neck
// that was looked at on thin CT and on film and is whole, needs standard
// locking with two distal screws; below the isthmus a third is added. A neck
// that nobody has cleared decides nothing: the pattern stays open, with head
// locking as the runner-up, since it holds both. When an answer and a
// measurement disagree the safer of the two (head locking, the third screw)
// is taken and the other is shown as evidence against.
func lock(in record.Injury, b Bone, p Policy) (Locking, []Problem) {
	code, problems := readCode(in)
	lv, more := levelOf(in, code, b, p)
	problems = append(problems, more...)
	neck, more := neckOf(in, code)
	problems = append(problems, more...)

	l := Locking{Against: lv.against}
	l.Why = append(l.Why, neck.forHead...)
	l.Why = append(l.Why, lv.forHead...)
	l.Why = append(l.Why, bone(in)...)
	problems = append(problems, upperPiece(in, code, lv, len(l.Why) > 0)...)
	switch {
	case len(l.Why) > 0:
		l.Pattern, l.RunnerUp = HeadLock, Standard
		l.Against = append(l.Against, neck.cleared...)
	case !neck.clear:
		l.RunnerUp = HeadLock
	case !lv.known:
		l.RunnerUp = Standard
	default:
		l.Pattern, l.RunnerUp = Standard, HeadLock
		l.Why = append([]Reason{why("lock-shaft-alone")}, neck.cleared...)
		l.Change = append(l.Change, why("change-neck-found"), why("change-level-near"))
	}
	if l.Pattern == HeadLock && len(neck.forHead) == 0 && !neck.clear {
		l.Change = append(l.Change, why("change-neck-open"))
	}
	l.Distal, l.Why, more = distal(in, code, lv, p, l.Why)
	if l.Distal > 0 && len(lv.below) == 0 {
		l.Change = append(l.Change, why("change-below-found"))
	}
	return l, append(problems, more...)
}

// upperPiece returns the cautions of head screws and of a short upper piece: a
// medial cortex in pieces lets the screws wander (Z-effect), and the muscles
// pull a short upper piece up and out.
func upperPiece(in record.Injury, code FractureCode, lv level, head bool) (out []Problem) {
	if head && in.MedialPieces == record.Yes {
		out = append(out, trouble("z-effect", fields("injury.medial_pieces")))
	}
	short := slices.ContainsFunc(lv.forHead, func(r Reason) bool { return r.Code != "lock-lesser-broken" })
	if short && code.Bone != "31" {
		out = append(out, trouble("subtroch-reduce", fields("injury.level")))
	}
	return out
}

// distal adds how many distal screws there are and why: 0 while the level of
// the fracture is not known. One screw is taken only where the policy or the
// surgeon wants it, the pieces carry the length by themselves, the fracture
// does not lie below the isthmus, and the reason is written down; else there
// are two, and a problem says what is missing. Source: Brumback 1998 (two are
// stronger), Hajek 1993 (one has healed).
func distal(in record.Injury, code FractureCode, lv level, p Policy, reasons []Reason) (int, []Reason, []Problem) {
	below := len(lv.below) > 0
	if !below && !lv.known && len(lv.forHead) == 0 {
		return 0, reasons, nil
	}
	said := strings.TrimSpace(in.OneScrewReason)
	stable, _ := stableOf(in, code)
	var problems []Problem
	switch {
	case said == "" && p.DistalScrews >= 2:
	case below || stable != record.Yes:
		problems = []Problem{trouble("one-screw-unstable", fields("injury.one_screw_reason", "settings", "injury.comminution", "injury.code", "injury.level"))}
	case said == "":
		problems = []Problem{trouble("one-screw-reason", fields("injury.one_screw_reason"))}
	default:
		return 1, append(reasons, why("distal-one", word("text", said))), nil
	}
	if below {
		return int(p.DistalBelow), append(append(reasons, lv.below...), why("distal-third", number("count", p.DistalBelow))), problems
	}
	n := max(2, p.DistalScrews)
	return int(n), append(reasons, why("distal-two", number("count", n))), problems
}

// bone returns the reasons for head locking that lie in the bone itself.
func bone(in record.Injury) (out []Reason) {
	if atypical(in) == record.Yes {
		out = append(out, why("lock-atypical"))
	}
	if in.Pathologic == record.Yes {
		out = append(out, why("lock-pathologic"))
	}
	return out
}

func readCode(in record.Injury) (FractureCode, []Problem) {
	if in.Code == "" {
		return FractureCode{}, nil
	}
	c, err := ParseCode(in.Code)
	if err != nil {
		return FractureCode{}, []Problem{trouble("code-invalid", fields("injury.code"), word("error", err.Error()))}
	}
	return c, nil
}

// neckState is what is known of the femoral neck.
type neckState struct {
	clear   bool     // looked at and whole
	forHead []Reason // it is broken
	cleared []Reason // how it was looked at
}

// neckOf judges the neck. It is clear only when someone says it is whole and
// has looked: on MRI, on thin CT and on film; CT, film or the image
// intensifier alone is a caution, for each has missed fractures. After a high
// energy nothing less than CT, MRI or a film clears it.
func neckOf(in record.Injury, c FractureCode) (neckState, []Problem) {
	where := fields("injury.neck", "injury.neck_by_ct", "injury.neck_by_film")
	byCode := c.Bone == "31" && c.Type == 'B'
	before := in.NeckByCT == record.Yes || in.NeckByFilm == record.Yes || in.NeckByMRI == record.Yes
	switch {
	case in.Neck == record.Yes:
		return neckState{forHead: []Reason{why("lock-neck-broken")}}, nil
	case byCode && in.Neck == record.No:
		return neckState{forHead: []Reason{why("lock-neck-code", word("code", c.String()))}},
			[]Problem{trouble("code-neck", fields("injury.code", "injury.neck"), word("code", c.String()))}
	case byCode:
		return neckState{forHead: []Reason{why("lock-neck-code", word("code", c.String()))}}, nil
	case in.HighEnergy == record.Yes && !before:
		return neckState{}, []Problem{trouble("neck-high-energy", append(where, "injury.neck_by_mri", "injury.high_energy"))}
	case in.Neck != record.No:
		return neckState{}, []Problem{trouble("neck-not-cleared", where)}
	case !before && in.NeckInTheatre != record.Yes:
		return neckState{}, []Problem{trouble("neck-not-looked-at", where[1:])}
	}
	return neckWhole(in, where)
}

// neckWhole returns how a neck that is said to be whole was looked at, and a
// caution for one look alone.
func neckWhole(in record.Injury, where []string) (neckState, []Problem) {
	clear := func(code string) neckState { return neckState{clear: true, cleared: []Reason{why(code)}} }
	switch {
	case in.NeckByMRI == record.Yes:
		return clear("neck-cleared-mri"), nil
	case in.NeckByCT == record.Yes && in.NeckByFilm == record.Yes:
		return clear("neck-cleared-both"), nil
	case in.NeckByCT == record.Yes:
		return clear("neck-cleared-ct"), []Problem{trouble("neck-ct-only", where[2:])}
	case in.NeckByFilm == record.Yes:
		return clear("neck-cleared-film"), []Problem{trouble("neck-film-only", where[1:2])}
	}
	return clear("neck-cleared-theatre"), []Problem{trouble("neck-theatre-only", where[1:])}
}

// level is what is known of the height of the fracture.
type level struct {
	known   bool     // enough to say that it does not need head locking
	forHead []Reason // it lies near or below the lesser trochanter
	below   []Reason // it lies below the isthmus
	against []Reason // an answer or a measurement that says otherwise
}

// levelOf joins the answer, the code and the measurement.
func levelOf(in record.Injury, c FractureCode, b Bone, p Policy) (level, []Problem) {
	var lv level
	if in.LesserWhole == record.No {
		lv.forHead = append(lv.forHead, why("lock-lesser-broken"))
	}
	problems := lv.fromAnswer(in.Level, c)
	problems = append(problems, lv.fromCode(in.Level, c)...)
	problems = append(problems, lv.fromFilm(in.Level, b, p)...)
	problems = append(problems, lv.isthmus(in.Level, b, p)...)
	if !lv.known && len(lv.forHead) == 0 {
		problems = append(problems, trouble("level-missing", fields("injury.level")))
	}
	return lv, problems
}

func (lv *level) fromAnswer(l record.Level, c FractureCode) []Problem {
	switch l {
	case record.NearLesser:
		lv.forHead = append(lv.forHead, why("lock-near-lesser"))
	case record.Subtrochanter:
		lv.forHead = append(lv.forHead, why("lock-subtroch"))
	case record.BelowIsthmus:
		lv.below = append(lv.below, why("level-below-isthmus"))
	case record.MidShaft:
	default:
		return nil
	}
	lv.known = true
	high := l == record.NearLesser || l == record.Subtrochanter
	low := l == record.MidShaft || l == record.BelowIsthmus
	if high && (c.Distal() || c.Middle()) || l == record.BelowIsthmus && c.Proximal() || c.Bone == "31" && low {
		lv.against = append(lv.against, why("against-code-level", word("code", c.String()), word("level", string(l))))
		return []Problem{trouble("code-level", fields("injury.code", "injury.level"), word("code", c.String()), word("level", string(l)))}
	}
	return nil
}

// fromCode reads the level from the code where no level was answered, and the
// pertrochanteric fracture, which no answer can make a shaft fracture.
func (lv *level) fromCode(l record.Level, c FractureCode) []Problem {
	if c.Bone == "31" && c.Type == 'A' {
		lv.forHead = append(lv.forHead, why("lock-pertrochanteric", word("code", c.String())))
		return nil
	}
	if l != record.NoLevel {
		return nil
	}
	switch {
	case c.Middle():
		lv.known = true
	case c.Distal():
		lv.known = true
		lv.below = append(lv.below, why("level-below-code", word("code", c.String())))
	}
	return nil
}

// fromFilm compares the measured distance of the fracture below the lesser
// trochanter with the limit of "subtrochanteric".
func (lv *level) fromFilm(l record.Level, b Bone, p Policy) []Problem {
	if b.Fracture == nil || b.Lesser == nil {
		return nil
	}
	gap := b.Fracture.Minus(*b.Lesser)
	said := l == record.NearLesser || l == record.Subtrochanter
	facts := []Fact{length("distance", gap), shown("limit", p.Subtroch)}
	switch gap.Against(p.Subtroch) {
	case units.Less:
		code := "lock-subtroch-film"
		if gap.Best <= p.NearLesser {
			code, facts[1] = "lock-near-lesser-film", shown("limit", p.NearLesser)
		}
		lv.forHead = append(lv.forHead, why(code, facts...))
		if l == record.MidShaft || l == record.BelowIsthmus {
			lv.against = append(lv.against, why("against-level-answer", word("level", string(l))))
			return []Problem{trouble("level-film", fields("injury.level", "films"), word("level", string(l)), length("distance", gap))}
		}
	case units.More:
		lv.known = true
		if said {
			lv.against = append(lv.against, why("against-level-film", facts...))
			return []Problem{trouble("level-film", fields("injury.level", "films"), word("level", string(l)), length("distance", gap))}
		}
	default:
		if !said {
			lv.forHead = append(lv.forHead, why("lock-subtroch-close", facts...))
			return []Problem{trouble("level-close", fields("films"), facts...)}
		}
	}
	return nil
}

// isthmus says whether the whole fracture lies below the isthmus: where nobody
// said so, unless it surely lies by less than the policy's margin below it, for
// a screw more is the safer; and whether a second break does, which leaves as
// short a piece below.
func (lv *level) isthmus(l record.Level, b Bone, p Policy) []Problem {
	below := b.belowIsthmus()
	if below.Fracture == nil {
		return nil
	}
	gap := *below.Fracture
	switch {
	case l == record.BelowIsthmus && gap.Against(0) == units.Less:
		above := length("distance", gap.Times(-1))
		lv.against = append(lv.against, why("against-isthmus-film", above))
		return []Problem{trouble("level-isthmus", fields("injury.level", "films"), above)}
	case l != record.BelowIsthmus && gap.Against(p.BelowIsthmus) != units.Less:
		lv.below = append(lv.below, why("level-below-film", length("distance", gap)))
		if l != record.NoLevel {
			lv.against = append(lv.against, why("against-level-answer", word("level", string(l))))
		}
	case below.Second != nil && len(lv.below) == 0:
		if below.Second.Against(p.BelowIsthmus) != units.Less {
			lv.below = append(lv.below, why("level-below-second", length("distance", *below.Second)))
		}
	}
	return nil
}
