package drawing

import (
	"isthmus/core/anatomy"
)

// A kindOfBreak is a small picture of one group of AO/OTA 2018: the lines in
// which the bone is broken, on a bone seen from the front, right leg. It is no
// drawing to scale.
type kindOfBreak struct {
	words  string
	lines  [][]xy // full lines: the front
	behind [][]xy // dashed: the back
}

// Size of the picture, css pixels.
const breakW, breakH = 56.0, 72.0

var shaftShape = []xy{{13, 3}, {19, 15}, {20, 36}, {19, 57}, {12, 69}, {44, 69}, {37, 57}, {36, 36}, {37, 15}, {43, 3}}

var hipShape = []xy{{18, 69}, {18, 36}, {14, 27}, {15, 18}, {20, 13}, {26, 16}, {33, 14}, {33, 8}, {37, 4}, {42, 3}, {47, 6}, {49, 11},
	{48, 17}, {44, 21}, {39, 22}, {34, 29}, {34, 36}, {37, 40}, {33, 45}, {31, 69}}

// breaks are the groups, each with its words. Source: AO/OTA 2018 for the
// groups; the pictures are our own.
var breaks = map[string]kindOfBreak{
	"32A1": {words: "spiral", lines: [][]xy{{{20, 48}, {24, 46}, {29, 38}, {32, 28}, {36, 22}}}, behind: [][]xy{{{20, 48}, {25, 52}, {31, 50}, {36, 42}, {36, 22}}}},
	"32A2": {words: "oblique", lines: [][]xy{{{20, 47}, {36, 25}}}},
	"32A3": {words: "transverse", lines: [][]xy{{{20, 36}, {24, 34}, {29, 37}, {36, 35}}}},
	"32B2": {words: "wedge, whole", lines: [][]xy{{{37, 21}, {20, 36}, {37, 51}}}},
	"32B3": {words: "wedge in pieces", lines: [][]xy{{{37, 21}, {20, 36}, {37, 51}}, {{28, 29}, {30, 37}, {28, 43}}, {{30, 37}, {36, 35}}}},
	"32C2": {words: "segment, whole", lines: [][]xy{{{20, 22}, {36, 16}}, {{20, 56}, {36, 50}}}},
	"32C3": {words: "segment in pieces", lines: [][]xy{{{20, 22}, {36, 16}}, {{20, 56}, {36, 50}}, {{20, 38}, {27, 30}, {36, 35}}, {{27, 30}, {29, 19}}, {{26, 54}, {29, 44}, {20, 38}}, {{29, 44}, {36, 43}}}},
	"31A1": {words: "trochanters, two pieces", lines: [][]xy{{{15, 21}, {25, 31}, {34, 38}}}},
	"31A2": {words: "trochanters, in pieces", lines: [][]xy{{{15, 21}, {25, 29}, {34, 32}}, {{29, 30}, {27, 40}, {33, 46}}}},
	"31A3": {words: "below, reverse", lines: [][]xy{{{18, 50}, {26, 41}, {34, 34}}}},
	"31B1": {words: "neck, under the head", lines: [][]xy{{{33, 12}, {36, 18}, {41, 22}}}},
	"31B2": {words: "neck, middle", lines: [][]xy{{{30, 15}, {34, 20}, {37, 25}}}},
	"31B3": {words: "neck, at its base", lines: [][]xy{{{25, 16}, {28, 24}, {34, 30}}}},
}

// FractureGroups returns the groups of AO/OTA 2018 that Fracture draws, in the
// order of the classification, the shaft first.
func FractureGroups() []string {
	return []string{"32A1", "32A2", "32A3", "32B2", "32B3", "32C2", "32C3", "31A1", "31A2", "31A3", "31B1", "31B2", "31B3"}
}

// FractureWords names a group in a few words, or "".
func FractureWords(group string) string { return breaks[group].words }

// Fracture returns a small picture of one group of fractures of the femur,
// seen from the front, mirrored for a left leg; "" for an unknown group. It is
// not to scale.
func Fracture(group string, side anatomy.Side) string {
	k, ok := breaks[group]
	if !ok {
		return ""
	}
	turn := func(pts []xy) []xy {
		out := make([]xy, len(pts))
		for i, p := range pts {
			if out[i] = p; side == anatomy.Left {
				out[i].x = breakW - p.x
			}
		}
		return out
	}
	s := newSheet("fx-"+group, breakW, breakH)
	shape := shaftShape
	if group[:2] == "31" {
		shape = hipShape
	}
	s.poly("d-bone", true, turn(shape)...)
	if group[:2] == "31" {
		s.poly("d-ink2", false, turn(shape)...)
	} else { // the shaft goes on at both ends
		s.poly("d-ink2", false, turn(shape[:5])...)
		s.poly("d-ink2", false, turn(shape[5:])...)
	}
	for _, l := range k.behind {
		s.poly("d-guess", false, turn(l)...)
	}
	for _, l := range k.lines {
		s.poly("d-break", false, turn(l)...)
	}
	return s.done("d-fx", group+" "+k.words, "Femur from the front, broken as "+group+": "+k.words+". Not to scale.")
}
