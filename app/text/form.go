package text

import (
	"isthmus/core/plan"
	"isthmus/core/units"
)

func init() {
	fieldNames["cortical-index"] = "the cortical index"
	fieldNames["flare-index"] = "the flare index"
	fieldNames["bow-radius"] = "the radius of the bow"
}

// A FormLine is one thing that the form of the bone is called by.
type FormLine struct {
	Key, Title string
	Told       bool // it has a value; else Why says why not
	Why        plan.Reason
}

// FormLines lists what is told of the form of the bone, each with its value or
// without one.
func FormLines(f plan.Form) []FormLine {
	var out []FormLine
	for _, x := range []struct {
		key, name string
		told      *plan.Told
	}{{"cortex", "Cortical index at the isthmus", f.Cortex}, {"flare", "Flare index", f.Flare}, {"bow", "Bow, seen from the side", f.Bow}} {
		if x.told == nil {
			continue
		}
		l := FormLine{Key: x.key, Title: x.name, Why: x.told.Why, Told: true}
		switch {
		case x.told.Ratio != nil:
			l.Title += ": " + Ratio(*x.told.Ratio)
		case x.told.Length != nil:
			l.Title += ": radius " + Length(*x.told.Length)
		case x.told.Why.Code == "bow-straight":
			l.Title += ": cannot be told from straight"
		default:
			l.Told = false
		}
		out = append(out, l)
	}
	return out
}

// Ratio prints a ratio with its doubt: "0.57 ± 0.04".
func Ratio(r units.Ratio) string {
	return tie(units.Trim(r.Best, 2) + " ± " + units.Trim(max(units.Sure*r.U, 0.01), 2))
}
