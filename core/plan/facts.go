package plan

import (
	"math"
	"strconv"

	"isthmus/core/units"
)

// why makes a reason; its sources come from the table of codes.
func why(code string, facts ...Fact) Reason {
	c, _ := find(code)
	return Reason{Code: code, Facts: facts, Sources: c.Sources}
}

// trouble makes a problem; its level, part and sources come from the table.
func trouble(code string, where []string, facts ...Fact) Problem {
	c, _ := find(code)
	return Problem{Code: code, Level: c.Level, Part: c.Part, Facts: facts, Fields: where, Sources: c.Sources}
}

func fields(names ...string) []string { return names }

// length makes a fact of a length; what is not a number becomes words.
func length(name string, l units.Length) Fact {
	if !l.Finite() {
		return word(name, "no number")
	}
	return Fact{Name: name, Length: &l}
}

// angle makes a fact of an angle; what is not a number becomes words.
func angle(name string, a units.Angle) Fact {
	if s := float64(a.Best) + float64(a.Own); math.IsNaN(s) || math.IsInf(s, 0) {
		return word(name, "no number")
	}
	return Fact{Name: name, Angle: &a}
}

func word(name, w string) Fact { return Fact{Name: name, Word: w} }

// number makes a fact of a pure number; what is not a number becomes words,
// so that a plan never carries NaN or infinity.
func number(name string, v float64) Fact {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return word(name, "no number")
	}
	return Fact{Name: name, Number: &v}
}

func percent(name string, v float64) Fact { return number(name, math.Round(100*v)) }

func index(name string, i int) string { return name + "[" + strconv.Itoa(i) + "]" }

func pointer[T any](v T) *T { return &v }
