package text

import (
	"maps"
	"strconv"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

func init() {
	maps.Copy(reasons, kitReasons)
	maps.Copy(problems, kitProblems)
}

var kitReasons = map[string]string{
	"kit-planned":      "Planned.",
	"kit-neighbour":    "Worth having: it is the right one with a chance of {percent} %.",
	"kit-rare":         "Just within the doubt: it is the right one with a chance under 1 %.",
	"kit-neck-found":   "Looks at the neck remain: for a fracture of it that is found in theatre, bring the whole range.",
	"kit-next":         "The next size, worth having.",
	"kit-reamer-next":  "For a thicker nail, or a canal that is still tight.",
	"kit-range":        "The length is measured at the table: bring the whole range, {low} to {high}.",
	"kit-range-none":   "The shelf holds none: order them, bring the whole range.",
	"kit-rods":         "Two of equal length, longer than the nail of {nail}: one in the bone, one beside it to measure.",
	"kit-wires":        "One for the entry, one for each head screw, and one to spare: throw a bent one away.",
	"kit-turns":        "Turns the screws or the cap with this drive.",
	"kit-drive-unsaid": "The shelf does not say which drive some parts have: look at the part, and try it before you scrub.",
	"kit-tool":         "Needed for this plan.",
	"kit-again":        "To take this nail out again, now or later.",
	"kit-several":      "The drive is not known: bring sets of several kinds, hexagon, star and square, in several sizes.",
	"kit-pulls":        "Screws into the top of the nail.",
	"kit-bolts":        "The thread of the nail is not known: bring several bolts, a cone that cuts its own thread, and a hook.",
	"kit-hammer":       "Pulls the nail.",
	"kit-broken":       "For what is broken or stripped: hollow drill, left-turning bit, gripping forceps, hook, a cutter for metal.",
}

var kitProblems = map[string]words{
	"kit-nail-open":    {"No list yet", "The list needs a nail: side, length and canal. What stands in its way is said there."},
	"kit-missing":      {"Not on the shelf", "Lines of the list that the shelf does not hold: {count}, first {kind}. Order them, or correct the shelf."},
	"kit-tools-unsaid": {"The shelf lists no tools", "Tools are listed by kind only. Enter them on the shelf, with the drive each fits, and the list is checked."},
	"kit-drive-open":   {"Drive of some parts not given", "Enter the drive of these parts on the shelf, so that the right screwdriver and bolt are on the list."},
	"kit-cover":        {"Right size perhaps not in the room", "For {kind} the shelf covers {percent} % of the doubt, 95 % is wanted. Order the missing sizes, or measure again."},
	"kit-many":         {"Many nails on the list", "{count} nails are possible. Measuring again is better than opening many: see where the doubt comes from."},
	"kit-rod-short":    {"Guide rod too short", "No rod on the shelf is longer than the nail of {nail}: it could neither be held nor measured against."},
}

var kindNames = map[string]string{
	"nail": "nail", "head-screw": "head screw", "head-screw-lower": "lower head screw", "head-screw-upper": "upper head screw",
	"locking-screw": "locking screw", "end-cap": "end cap", "plate": "plate", "other": "other part",
	"reamer-head": "reamer head", "guide-rod": "guide rod", "guide-wire": "guide wire",
	"screwdriver": "screwdriver", "depth-gauge": "depth gauge", "step-drill": "step drill", "drill": "drill",
	"parallel-sleeve": "parallel sleeve", "extraction-bolt": "extraction bolt", "sliding-hammer": "sliding hammer", "aiming-arm": "aiming arm",
}

// Kind names a kind of part or tool.
func Kind(kind string) string {
	if s, ok := kindNames[kind]; ok {
		return s
	}
	return kind
}

var roleNames = map[plan.KitRole]string{
	plan.Planned: "planned", plan.Neighbour: "worth having", plan.Always: "needed", plan.Removing: "for removal",
}

// KitRole says why a line is on the list for the theatre.
func KitRole(r plan.KitRole) string {
	if s, ok := roleNames[r]; ok {
		return s
	}
	return string(r)
}

// KitItem words a line of the list for the theatre: the part with its size,
// how many are needed and on the shelf, and why. What is lacking is said.
func KitItem(it plan.KitItem) (title, detail string) {
	title = capital(Kind(it.Kind))
	if it.Kind == string(plan.KindHead) && it.Place != "" {
		title = capital(string(it.Place)) + " head screw"
	}
	if it.Kind == "other" {
		title = "For broken parts"
	}
	if size := kitSize(it); size != "" {
		title += " " + size
	}
	if it.Fits != "" {
		title += ", " + it.Fits
	}
	if it.Side.Valid() {
		title += ", " + string(it.Side)
	}
	count := "need " + strconv.Itoa(it.Need) + ", on the shelf " + strconv.Itoa(it.Have)
	if it.Have < it.Need {
		count += ": " + strconv.Itoa(it.Need-it.Have) + " missing"
	}
	parts := []string{capital(count) + "."}
	for _, w := range it.Why {
		parts = append(parts, Reason(w))
	}
	if it.Note != "" {
		parts = append(parts, "From the shelf: "+it.Note)
	}
	return tie(title), strings.Join(parts, " ")
}

// kitSize prints the size of a line: diameter by length, or what there is of
// it. A cap of no height closes the nail flush.
func kitSize(it plan.KitItem) string {
	switch {
	case it.Kind == plan.KindCap && it.ID != "":
		return MM(it.Length)
	case it.Diameter > 0 && it.Length > 0:
		return units.Trim(float64(it.Diameter), 1) + " × " + MM(it.Length)
	case it.Diameter > 0:
		return MM(it.Diameter)
	case it.Length > 0:
		return MM(it.Length)
	}
	return ""
}
