package text

import (
	"strconv"

	"isthmus/core/anatomy"
	"isthmus/core/plan"
)

var readingNames = map[string]string{
	"two-rods": "the reading of the rods", "skin-ruler": "the ruler on the skin",
	"other-trial": "the trial on the other leg",
	"wire-lower":  "the gauge on the lower wire", "wire-upper": "the gauge on the upper wire",
}

// InputName names something doubtful that could be measured again.
func InputName(in plan.Input) string {
	on := ""
	if in.Film > 0 {
		on = " on film " + strconv.Itoa(in.Film)
	}
	switch in.Kind {
	case plan.InputPoint:
		name, _ := Landmark(anatomy.Landmark(in.Name))
		return "the point “" + name + "”" + on
	case plan.InputMarker:
		return "the size of the marker" + on
	case plan.InputDepth:
		return "the depth of the marker" + on
	case plan.InputMagnification:
		return "the magnification nobody saw" + on
	case plan.InputReading:
		if s, ok := readingNames[in.Name]; ok {
			return s
		}
		return "a reading"
	case plan.InputFit:
		if in.Name == string(anatomy.Join) {
			return "the ruler seen on two films"
		}
		return "where the broken ends will meet"
	case plan.InputTilt:
		return "how the bone lay to the film" + on
	case plan.InputSideFilm:
		return "the film of the hip from the side"
	case plan.InputSide:
		return "the other femur, which may differ"
	}
	return in.Kind
}

// Shares says whose doubt makes the doubt of a part, largest first, and what
// to measure again. Shares under 5 % are left out.
func Shares(c plan.PartChances) []string {
	var out []string
	for i, s := range c.Shares {
		if s.Part < 0.05 || i == 4 {
			break
		}
		line := Percent(s.Part) + " of it comes from " + InputName(s.Input)
		if i == 0 && s.Part >= 0.5 && s.Input.Kind != plan.InputSide {
			line += ": measure that again first"
		}
		out = append(out, line+".")
	}
	return out
}

// ChanceLine says what the trials found of a part.
func ChanceLine(what string, c plan.PartChances, n int) string {
	s := "Of " + strconv.Itoa(n) + " trials " + what + " " + MM(c.Chosen) + " was too large in " + Percent(c.TooLarge) + " and could have been larger in " + Percent(c.TooSmall)
	if c.Undecided > 0 {
		s += "; in " + Percent(c.Undecided) + " no size could be chosen"
	}
	return s + "."
}
