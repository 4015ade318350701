package plan

import (
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
	l.Distal, l.Why = distal(lv, p, l.Why)
	return l, problems
}

// distal adds how many distal screws there are and why: 0 while the level of
// the fracture is not known.
func distal(lv level, p Policy, reasons []Reason) (int, []Reason) {
	switch {
	case len(lv.below) > 0:
		n := int(p.DistalBelow)
		return n, append(append(reasons, lv.below...), why("distal-third", number("count", p.DistalBelow)))
	case !lv.known && len(lv.forHead) == 0:
		return 0, reasons
	}
	return int(p.DistalScrews), append(reasons, why("distal-two", number("count", p.DistalScrews)))
}

// bone returns the reasons for head locking that lie in the bone itself.
func bone(in record.Injury) (out []Reason) {
	if in.Atypical == record.Yes {
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
// has looked at thin CT, film or both; one look alone is a caution.
func neckOf(in record.Injury, c FractureCode) (neckState, []Problem) {
	where := fields("injury.neck", "injury.neck_by_ct", "injury.neck_by_film")
	byCode := c.Bone == "31" && c.Type == 'B'
	switch {
	case in.Neck == record.Yes:
		return neckState{forHead: []Reason{why("lock-neck-broken")}}, nil
	case byCode && in.Neck == record.No:
		return neckState{forHead: []Reason{why("lock-neck-code", word("code", c.String()))}},
			[]Problem{trouble("code-neck", fields("injury.code", "injury.neck"), word("code", c.String()))}
	case byCode:
		return neckState{forHead: []Reason{why("lock-neck-code", word("code", c.String()))}}, nil
	case in.Neck != record.No:
		return neckState{}, []Problem{trouble("neck-not-cleared", where)}
	case in.NeckByCT == record.Yes && in.NeckByFilm == record.Yes:
		return neckState{clear: true, cleared: []Reason{why("neck-cleared-both")}}, nil
	case in.NeckByCT == record.Yes:
		return neckState{clear: true, cleared: []Reason{why("neck-cleared-ct")}},
			[]Problem{trouble("neck-ct-only", where[2:])}
	case in.NeckByFilm == record.Yes:
		return neckState{clear: true, cleared: []Reason{why("neck-cleared-film")}},
			[]Problem{trouble("neck-film-only", where[1:2])}
	}
	return neckState{}, []Problem{trouble("neck-not-looked-at", where[1:])}
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

// isthmus says whether the whole fracture lies below the isthmus: surely so,
// and by more than the policy's margin where nobody said so.
func (lv *level) isthmus(l record.Level, b Bone, p Policy) []Problem {
	if b.Fracture == nil || b.Isthmus == nil {
		return nil
	}
	gap := b.Fracture.Minus(*b.Isthmus)
	switch {
	case l == record.BelowIsthmus && gap.Against(0) == units.Less:
		above := length("distance", gap.Times(-1))
		lv.against = append(lv.against, why("against-isthmus-film", above))
		return []Problem{trouble("level-isthmus", fields("injury.level", "films"), above)}
	case l != record.BelowIsthmus && gap.Against(p.BelowIsthmus) == units.More:
		lv.below = append(lv.below, why("level-below-film", length("distance", gap)))
		if l != record.NoLevel {
			lv.against = append(lv.against, why("against-level-answer", word("level", string(l))))
		}
	}
	return nil
}

// hazards returns the stops and cautions that lie in the patient, and one
// problem that names every question not answered yet.
func hazards(c record.Case, p Policy) []Problem {
	var out []Problem
	in := c.Injury
	if !c.Side.Valid() {
		out = append(out, trouble("side-missing", fields("side")))
	}
	if in.OpenPhysis == record.Yes {
		out = append(out, trouble("open-physis", fields("injury.open_physis")))
	}
	if in.AgeYears != nil && !(float64(*in.AgeYears) >= p.AdultYears) {
		out = append(out, trouble("under-age", fields("injury.age_years"),
			number("age", float64(*in.AgeYears)), number("limit", p.AdultYears)))
	}
	if in.Infection == record.Yes {
		out = append(out, trouble("infection", fields("injury.infection")))
	}
	if in.Implant == record.Yes {
		out = append(out, trouble("implant-in-way", fields("injury.implant")))
	}
	if in.Atypical == record.Yes {
		out = append(out, trouble("atypical-bow", fields("injury.atypical")))
	}
	if open := unanswered(in); len(open) > 0 {
		out = append(out, trouble("answers-open", open, number("count", float64(len(open)))))
	}
	return out
}

// unanswered lists the questions with a stop behind them that nobody has
// answered with yes or no. An adult's age answers for the physis.
func unanswered(in record.Injury) (open []string) {
	ask := func(a record.Answer, field string) {
		if a != record.Yes && a != record.No {
			open = append(open, field)
		}
	}
	if in.AgeYears == nil || in.OpenPhysis == record.Unsure {
		ask(in.OpenPhysis, "injury.open_physis")
	}
	ask(in.Infection, "injury.infection")
	ask(in.Implant, "injury.implant")
	ask(in.Atypical, "injury.atypical")
	ask(in.Pathologic, "injury.pathologic")
	return open
}
