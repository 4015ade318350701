package text

import (
	"maps"
	"strconv"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

func init() {
	maps.Copy(reasons, removalReasons)
	maps.Copy(problems, removalProblems)
}

var removalReasons = map[string]string{
	"rem-films":       "New films in two views of the whole bone: count every part, and look for what is bent, broken or grown over.",
	"rem-undescribed": "Nobody has said what is in there. Look at old films and the operation note, ask the hospital that put it in, measure it on the film. Bring universal sets.",
	"rem-unknown":     "Not known: {count}. Ask the hospital that put it in, look at old films and the operation note, and bring sets of several kinds.",
	"rem-broken":      "Broken, bent or stripped: {count}. Have the tools for it open before the start, and decide beforehand what may stay.",
	"rem-outside":     "Outside the nail: {count}. Loosen every screw before the last one comes out, then lift it off.",
	"rem-cap":         "The end cap comes out first (drive: {drive}).",
	"rem-cap-none":    "No end cap is on the list. Clear the top of the nail and look: if there is one, it comes out first.",
	"rem-bolt":        "Screw the extraction bolt into the nail (thread: {drive}) while the screws still hold it, or the nail turns with the bolt.",
	"rem-bolt-loose":  "No screw holds this nail: it can turn while the extraction bolt (thread: {drive}) goes in. Hold it with a wire through a hole.",
	"rem-locking":     "Now the locking screws: {count}.",
	"rem-head":        "Then the screws in the neck: {count}.",
	"rem-pull":        "Pull the nail in line with the bone, under the image intensifier. If it does not move, stop: a screw is still in, or bone has grown over it.",
	"rem-count":       "Count what came out: {count} on the list. Film the whole bone before closing.",
	"rem-protect":     "Protect the leg afterwards: without the implant the femur breaks at a lower load, and has broken again.",
}

var removalProblems = map[string]words{
	"removal-undescribed": {"What is in the bone is not described", "An implant is in the way and nobody has said which. Describe its parts, at least their kinds; until then bring universal sets."},
	"removal-unknown":     {"Not all is known of what is in the bone", "Not known: {count}. Ask the hospital that put it in and enter it; until then sets of several kinds are on the list."},
	"removal-missing":     {"Removal tools not on the shelf", "Tools that the shelf does not hold: {count}, first {kind}. Borrow them before you start."},
	"removal-no-nail":     {"Screws without a nail", "Screws or a cap are described and no nail. Add the nail, or correct their kind; the order depends on it."},
	"removal-twice":       {"One part described twice", "{kind} is on the list {count} times, and a bone holds one. Correct the list."},
}

// RemovalPart words a part that comes out: its place in the order, its kind,
// size and drive, and whether it is broken.
func RemovalPart(p plan.RemovalPart) string {
	s := strconv.Itoa(p.Order) + ". " + capital(Kind(p.Part.Kind))
	var size []string
	if p.Part.Diameter != nil {
		size = append(size, units.Trim(float64(*p.Part.Diameter), 1))
	}
	if p.Part.Length != nil {
		size = append(size, units.Trim(float64(*p.Part.Length), 1))
	}
	if len(size) > 0 {
		s += " " + strings.Join(size, " × ") + " mm"
	}
	s += ", drive "
	if p.Part.Drive == "" {
		s += "not known"
	} else {
		s += p.Part.Drive
	}
	if p.Broken {
		s += ", broken"
	}
	return tie(s)
}
