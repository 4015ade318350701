// Package text holds every sentence a person reads and every number as it is
// printed. Rooms of core give codes and facts; here they become words. A test
// refuses a code without a sentence and a sentence that asks for a fact which
// nobody gives.
package text

import (
	"math"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

// fill puts the facts of a reason or a problem into a template. {name} stands
// for the fact of that name.
func fill(template string, facts []plan.Fact) string {
	s := template
	for _, f := range facts {
		s = strings.ReplaceAll(s, "{"+f.Name+"}", factText(f))
	}
	return tie(s)
}

// tie keeps every value and its unit on one line.
func tie(s string) string {
	s = strings.ReplaceAll(s, " mm", nbsp+"mm")
	s = strings.ReplaceAll(s, " %", nbsp+"%")
	s = strings.ReplaceAll(s, " px", nbsp+"px")
	return strings.ReplaceAll(s, " ± ", nbsp+"±"+nbsp)
}

func factText(f plan.Fact) string {
	switch {
	case f.Length != nil:
		return Length(*f.Length)
	case f.Angle != nil:
		return Angle(*f.Angle)
	case f.Number != nil:
		return units.Trim(*f.Number, decimals(f.Name))
	}
	return wordText(f.Name, f.Word)
}

func decimals(name string) int {
	switch name {
	case "percent", "allowed":
		return 1
	case "a", "b": // magnifications
		return 3
	}
	return 2
}

// free lists the facts whose words are already a person's or a sentence.
var free = map[string]bool{"text": true, "error": true, "code": true, "drive": true}

// wordText turns a code word of a fact into what it is called.
func wordText(name, w string) string {
	switch {
	case free[name]:
		return w
	case w == "" && name == "side":
		return "a side that is not given"
	case w == "" && name == "pattern":
		return "either locking"
	case name == "pattern":
		return Pattern(plan.Pattern(w))
	case name == "key" || name == "other":
		return "“" + Knob(w) + "”"
	}
	for _, table := range []map[string]string{originNames, levelNames, landmarkNames, routeShort, viewNames, boneNames, fieldNames, kindNames} {
		if s, ok := table[w]; ok {
			return s
		}
	}
	return w
}

// capital makes the first letter a capital.
func capital(s string) string {
	for i, r := range s {
		if i == 0 && r < 128 {
			return strings.ToUpper(s[:1]) + s[1:]
		}
		break
	}
	return s
}

// MM prints an exact size with its unit: "95 mm".
func MM(m units.MM) string { return tie(m.String()) }

// Length prints a length with its doubt, which is ± 95 %: "412 ± 6 mm".
func Length(l units.Length) string { return tie(l.String()) }

// Angle prints an angle with its doubt.
func Angle(a units.Angle) string { return tie(a.String()) }

// Percent prints a share of one; what is almost nothing or almost all is not
// rounded to none or all.
func Percent(share float64) string {
	switch {
	case math.IsNaN(share):
		return "no number"
	case share > 0 && share < 0.01:
		return "under" + nbsp + "1" + nbsp + "%"
	case share > 0.99 && share < 1:
		return "over" + nbsp + "99" + nbsp + "%"
	}
	return tie(units.Trim(100*share, 0) + " %")
}
