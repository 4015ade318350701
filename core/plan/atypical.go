package plan

import "isthmus/core/record"

// majorsNeeded of the five major signs make a fracture an atypical one.
// Source: ASBMR 2013.
const majorsNeeded = 4

// majorSigns counts the answers to the five major signs: yes, no, not known.
func majorSigns(s *record.AtypicalSay) (n [3]int) {
	if s == nil {
		s = &record.AtypicalSay{}
	}
	for _, a := range []record.Answer{s.MinimalTrauma, s.LateralStart, s.SpikeOrPart, s.FewPieces, s.LateralThick} {
		switch a {
		case record.Yes:
			n[0]++
		case record.No:
			n[1]++
		default:
			n[2]++
		}
	}
	return n
}

// bySigns says what the major signs amount to: yes with four of five, no when
// four can no longer be reached, else unsure; no answer when none was given.
// Minor signs do not count. Source: ASBMR 2013.
func bySigns(s *record.AtypicalSay) record.Answer {
	switch n := majorSigns(s); {
	case n[0] >= majorsNeeded:
		return record.Yes
	case n[1] > 5-majorsNeeded:
		return record.No
	case n[0]+n[1] > 0:
		return record.Unsure
	}
	return record.NotAsked
}

// excludes returns the field that by definition excludes an atypical fracture:
// a code of the neck or of the trochanters (31), or a fracture through a
// tumour. A spiral of the shaft (32A1) is not excluded. Source: ASBMR 2013.
func excludes(in record.Injury, code FractureCode) string {
	switch {
	case code.Bone == "31":
		return "injury.code"
	case in.Pathologic == record.Yes:
		return "injury.pathologic"
	}
	return ""
}

// atypical returns what the plan works with: yes when the answer or the signs
// say so, which is the safer; else the answer, else what the signs say.
func atypical(in record.Injury) record.Answer {
	signs := bySigns(in.AtypicalSigns)
	switch {
	case in.Atypical == record.Yes || signs == record.Yes:
		return record.Yes
	case in.Atypical == record.No || in.Atypical == record.Unsure && signs == record.NotAsked:
		return in.Atypical
	}
	return signs
}

// atypicalOf returns whether the fracture is an atypical one, and why. What
// excludes it counts more than signs, and less than a person's yes.
func atypicalOf(in record.Injury, code FractureCode) (record.Answer, []Reason) {
	n := majorSigns(in.AtypicalSigns)
	yes, no, open := number("yes", float64(n[0])), number("no", float64(n[1])), number("open", float64(n[2]))
	if excludes(in, code) != "" && in.Atypical != record.Yes {
		return record.No, []Reason{why("atypical-not-of-this")}
	}
	a := atypical(in)
	switch bySigns(in.AtypicalSigns) {
	case record.Yes:
		return a, []Reason{why("atypical-signs-yes", yes)}
	case record.No:
		return a, []Reason{why("atypical-signs-no", no)}
	case record.Unsure:
		return a, []Reason{why("atypical-signs-open", yes, open)}
	}
	return a, nil
}

// atypicalProblems returns where the signs, the answer and the other answers
// exclude each other.
func atypicalProblems(in record.Injury, code FractureCode) (out []Problem) {
	signs := bySigns(in.AtypicalSigns)
	n := majorSigns(in.AtypicalSigns)
	if in.Atypical == record.Yes && signs == record.No || in.Atypical == record.No && signs == record.Yes {
		out = append(out, trouble("atypical-differs", fields("injury.atypical", "injury.atypical_signs"),
			word("answer", string(in.Atypical)), number("yes", float64(n[0]))))
	}
	if field := excludes(in, code); field != "" && atypical(in) == record.Yes {
		out = append(out, trouble("atypical-excluded", fields("injury.atypical", "injury.atypical_signs", field)))
	}
	s := in.AtypicalSigns
	if s == nil {
		return out
	}
	if s.MinimalTrauma == record.Yes && in.HighEnergy == record.Yes {
		out = append(out, trouble("signs-trauma", fields("injury.atypical_signs.minimal_trauma", "injury.high_energy")))
	}
	high := in.Comminution == record.ComminutionIII || in.Comminution == record.ComminutionIV
	broken := code.Bone == "32" && (code.Type == 'C' || code.Type == 'B' && code.Group == '3')
	if s.FewPieces == record.Yes && (high || broken) {
		where := fields("injury.atypical_signs.few_pieces")
		if high {
			where = append(where, "injury.comminution")
		}
		if broken {
			where = append(where, "injury.code")
		}
		out = append(out, trouble("signs-pieces", where))
	}
	return out
}
