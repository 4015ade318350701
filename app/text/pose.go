package text

import "isthmus/core/units"

// poseWords name what a nail laid over a film means: what the number is, and
// what it is called when it is below zero.
var poseWords = map[string][2]string{
	"burial":        {"Top below the trochanter tip", "Top stands out above the tip"},
	"target":        {"Tip short of the target", "Tip past the target"},
	"notch":         {"Tip above the roof of the notch", "Tip past the roof of the notch, into the joint"},
	"hole-fracture": {"Highest locking screw beyond the fracture", "Highest locking screw in or above the fracture, by"},
	"lower-edge":    {"Lower screw to the lower edge of the neck", "Lower screw cuts the lower edge of the neck"},
	"upper-edge":    {"Upper screw to the upper edge of the neck", "Upper screw cuts the upper edge of the neck"},
	"lower-joint":   {"Lower screw to the joint", "Lower screw through the joint"},
	"upper-joint":   {"Upper screw to the joint", "Upper screw through the joint"},
}

// Pose words one thing that a pose means, and reports whether it is a danger:
// below zero, or not surely above it.
func Pose(code string, v units.Length) (name, value string, danger bool) {
	w, ok := poseWords[code]
	if !ok {
		return code, Length(v), true
	}
	danger = v.Against(0) != units.More
	if v.Best < 0 {
		return w[1], Length(v.Times(-1)), danger
	}
	return w[0], Length(v), danger
}
