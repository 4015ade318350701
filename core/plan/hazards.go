package plan

import (
	"slices"

	"isthmus/core/record"
)

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
	if in.Implant == record.Yes || in.Implant != record.No && len(c.Existing) > 0 {
		out = append(out, trouble("implant-in-way", fields("injury.implant")))
	}
	if atypical(in) == record.Yes {
		out = append(out, trouble("atypical-bow", fields("injury.atypical")))
	}
	out = append(out, patient(c)...)
	out = append(out, contradicting(c)...)
	if open := unanswered(in); len(open) > 0 {
		out = append(out, trouble("answers-open", open, number("count", float64(len(open)))))
	}
	return out
}

// patient returns the cautions of a patient who is not ready for a nail, and
// of the wound; and after the nail, that the neck has to be looked at again.
// Lactate and other limits are not stated on purpose: no source agrees.
func patient(c record.Case) (out []Problem) {
	in := c.Injury
	say := func(yes bool, code string, names ...string) {
		if yes {
			out = append(out, trouble(code, fields(names...)))
		}
	}
	say(in.ManyInjuries == record.Yes, "resuscitate-first", "injury.many_injuries")
	say(in.BothFemurs == record.Yes, "both-femurs", "injury.both_femurs")
	switch in.Wound {
	case record.WoundI, record.WoundII:
		say(true, "wound-open", "injury.wound")
	case record.WoundIIIA, record.WoundIIIB, record.WoundIIIC:
		say(true, "wound-open-iii", "injury.wound")
	}
	nailed := slices.ContainsFunc(c.Implants, func(i record.Implant) bool { return i.Kind == partNail })
	say(nailed && in.Neck != record.Yes && in.NeckAfter != record.Yes, "neck-after-open", "injury.neck_after")
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
	ask(atypical(in), "injury.atypical")
	ask(in.Pathologic, "injury.pathologic")
	return open
}
