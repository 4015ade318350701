package plan

import (
	"isthmus/core/record"
	"isthmus/core/units"
)

// Looks at the femoral neck, in the order of the operation. They are the words
// of Class.NeckDone and Class.NeckLeft.
const (
	LookCT      = "ct"      // thin cuts, before theatre
	LookMRI     = "mri"     // before theatre, where CT leaves a doubt
	LookFilm    = "film"    // in internal rotation, before theatre
	LookTheatre = "theatre" // image intensifier, both views, before the nail
	LookAfter   = "after"   // films after the nail, before waking
)

// classOf returns what the answers about the injury amount to: the AO/OTA
// code, whether the fracture is an atypical one, whether its pieces carry the
// length by themselves, and how the neck was looked at and has still to be.
// Answers that exclude each other are problems that name both fields; the
// answers themselves are left as they are. A code that is not valid is
// reported by lock. Sources: AO/OTA 2018; ASBMR 2013; Gustilo and Anderson;
// Winquist and Hansen; Tornetta 2007.
func classOf(in record.Injury, p Policy) (Class, []Problem) {
	code, _ := readCode(in)
	c := Class{Wound: in.Wound, Comminution: in.Comminution}
	if code.Bone != "" {
		c.Code = &code
	}
	var stable, signs []Reason
	c.Stable, stable = stableOf(in, code)
	c.Majors = majorSigns(in.AtypicalSigns)
	c.Atypical, signs = atypicalOf(in, code)
	c.Why = append(stable, signs...)
	var looks []Reason
	c.NeckDone, c.NeckLeft, looks = neckLooks(in)
	c.Why = append(c.Why, looks...)
	problems := append(pieces(in, code), wound(in)...)
	return c, append(problems, atypicalProblems(in, code)...)
}

// stableOf says whether the pieces carry the length of the bone by themselves
// once they stand against each other: yes for a simple or wedge fracture
// (32A, 32B) with at least half of the width in contact (Winquist and Hansen 0
// to II); no for III, IV or 32C; unsure when only one of the two is known.
// Source: Winquist and Hansen; AO/OTA 2018; from memory which patterns count.
func stableOf(in record.Injury, code FractureCode) (record.Answer, []Reason) {
	shaft := code.Bone == "32"
	switch grade := in.Comminution; {
	case grade == record.ComminutionIII || grade == record.ComminutionIV:
		return record.No, []Reason{why("stable-no-grade", word("grade", string(grade)))}
	case shaft && code.Type == 'C':
		return record.No, []Reason{why("stable-no-code", word("code", code.String()))}
	case grade != record.NoComminutionSaid && shaft:
		return record.Yes, []Reason{why("stable-yes", word("code", code.String()), word("grade", string(grade)))}
	case grade != record.NoComminutionSaid || shaft:
		return record.Unsure, []Reason{why("stable-open")}
	}
	return record.NotAsked, nil
}

// pieces compares the grade of Winquist and Hansen with the code: a simple
// fracture (32A) has no III or IV, a segmental one (32C) is not 0.
func pieces(in record.Injury, code FractureCode) []Problem {
	high := in.Comminution == record.ComminutionIII || in.Comminution == record.ComminutionIV
	simple := code.Bone == "32" && code.Type == 'A'
	many := code.Bone == "32" && code.Type == 'C'
	if simple && high || many && in.Comminution == record.Comminution0 {
		return []Problem{trouble("code-comminution", fields("injury.code", "injury.comminution"),
			word("code", code.String()), word("grade", string(in.Comminution)))}
	}
	return nil
}

// Lengths of the wound after Gustilo and Anderson: type I is shorter than
// 1 cm, II usually 1 to 10 cm. Above the second it is III in most readings.
const woundSmall, woundLarge units.MM = 10, 100

// wound compares the type of an open fracture with the length of the wound.
func wound(in record.Injury) (out []Problem) {
	both := fields("injury.wound", "injury.wound_mm")
	if in.WoundMM == nil || !units.Exact(*in.WoundMM).Finite() || !(*in.WoundMM > 0) {
		return nil
	}
	long := shown("length", *in.WoundMM)
	switch in.Wound {
	case record.NoWoundSaid:
		out = append(out, trouble("wound-type-missing", both[:1], long))
	case record.Closed:
		out = append(out, trouble("wound-closed", both, long))
	case record.WoundI, record.WoundII:
		switch {
		case *in.WoundMM > woundLarge:
			out = append(out, trouble("wound-large", both, word("type", string(in.Wound)), long, shown("limit", woundLarge)))
		case in.Wound == record.WoundI && *in.WoundMM > woundSmall:
			out = append(out, trouble("wound-length", both, long, shown("limit", woundSmall)))
		}
	}
	return out
}

// neckLooks returns how the neck was looked at, and which looks remain in the
// order of the operation, with what each remaining one is for. MRI stands for
// CT. A neck that is known to be broken needs no more looks. Source: Tornetta
// 2007; MRI found fractures in 12.1 % of necks with a negative thin CT.
func neckLooks(in record.Injury) (done, left []string, reasons []Reason) {
	for _, l := range []struct {
		look string
		a    record.Answer
	}{{LookCT, in.NeckByCT}, {LookMRI, in.NeckByMRI}, {LookFilm, in.NeckByFilm}, {LookTheatre, in.NeckInTheatre}, {LookAfter, in.NeckAfter}} {
		switch {
		case l.a == record.Yes:
			done = append(done, l.look)
		case in.Neck == record.Yes || l.look == LookMRI || l.look == LookCT && in.NeckByMRI == record.Yes:
		default:
			left = append(left, l.look)
		}
	}
	if in.Neck == record.No && in.NeckByCT == record.Yes && in.NeckByMRI != record.Yes {
		reasons = append(reasons, why("neck-ct-limits", number("percent", missedByCT)))
	}
	if len(left) > 0 {
		reasons = append(reasons, why("neck-missed", number("low", missedLow), number("high", missedHigh)))
	}
	ask := map[string]Reason{LookCT: why("neck-left-ct"), LookFilm: why("neck-left-film"), LookTheatre: why("neck-left-theatre"), LookAfter: why("neck-left-after")}
	for _, l := range left {
		reasons = append(reasons, ask[l])
	}
	return done, left, reasons
}

// Percentages of neck fractures: missed at first beside a broken shaft
// (Tornetta 2007), and found by MRI after a negative thin CT (JBJS 2020, 4 of
// 33).
const missedLow, missedHigh, missedByCT = 20, 50, 12.1
