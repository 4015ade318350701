package find

import (
	"strings"

	"isthmus/core/units"
)

// A Refusal says why nothing is proposed. Got and Need are in the unit of the
// reason: px, or plain numbers.
type Refusal struct {
	What string  `json:"what"` // "ball", "disc", "ruler", "frame", "edge", "corner", …
	Why  string  `json:"why"`  // the reason, one word or two with a hyphen
	Got  float64 `json:"got,omitempty"`
	Need float64 `json:"need,omitempty"`
}

// Code names the fault for app/text.
func (e *Refusal) Code() string { return "find-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *Refusal) Error() string {
	s, ok := refusals[e.Why]
	if !ok {
		s = "no {it} was found: mark it by hand"
	}
	s = strings.NewReplacer("{it}", e.What, "{got}", units.Trim(e.Got, 1), "{need}", units.Trim(e.Need, 1)).Replace(s)
	return "find: " + s
}

func refuse(what, why string, gotNeed ...float64) error {
	e := &Refusal{What: what, Why: why}
	if len(gotNeed) == 2 && finite(gotNeed...) {
		e.Got, e.Need = gotNeed[0], gotNeed[1]
	}
	return e
}

// refusals are the sentences behind the codes, for the whole room. {it} is
// what was looked for, {got} and {need} are the numbers of the refusal.
var refusals = map[string]string{
	"picture":      "the picture of the film is empty, too large or not whole: open the film again",
	"outside":      "the place lies outside the film: tap on the film",
	"none":         "no {it} is seen here: tap in the middle of it, or mark points on it by hand",
	"two":          "more than one {it} is seen here: tap in the middle of the one that is meant",
	"cut":          "the edge of the film cuts the {it}: use another marker, or mark what is seen of its rim by hand",
	"small":        "the {it} is {got} px wide on the film and {need} px are needed: use a larger marker, or a film with finer pixels",
	"oval":         "the {it} is {got} times as long as wide, more than it can be: check that it is one, or mark its rim by hand",
	"broken":       "only {got} % of the rim of the {it} is seen and {need} % are needed: mark its rim by hand",
	"uneven":       "the rim of the {it} is not smooth, or stands out on one side only: check what it is, or mark its rim by hand",
	"vague":        "the size of the {it} is known to {got} px only and {need} px are needed: mark its rim by hand",
	"faint":        "the {it} stands out of the grain of the film {got} times and {need} times are needed: mark it by hand",
	"saturated":    "the rim of the {it} is lost in full white or black: use another film, or mark its rim by hand",
	"short":        "the taps lie {got} px apart and {need} px are needed: tap on two graduations far apart",
	"few":          "{got} graduations lie between the taps and {need} are needed: tap on two graduations further apart",
	"grows":        "the spaces of the {it} grow along it, as on a slanted photo: make the photo straight first, or use a film",
	"not-periodic": "no even row of graduations is seen between the taps: tap on the graduations, or mark two of them by hand",
	"ambiguous":    "graduations {got} px apart are seen in part only, so that the spacing of the {it} is not certain: tap where all of them reach, or mark two by hand",
	"close":        "what is seen of the {it} is {got} px long and {need} px are needed: tap further apart",
	"fix":          "a place given by hand lies off the film, or leaves an edge of the {it} no room: the outer edges lie outside the inner ones",
	"unseen":       "only {got} % of the {it} can be followed and {need} % are needed: tap where the bone is clear of other things, or mark points by hand",
	"left-out":     "the {it} cannot be told here, since its edges are not seen well enough: mark them by hand",
	"end":          "the {it} is narrowest at the end of what was followed: tap further out, or mark it by hand",
	"hidden":       "the {it} may lie where edges are not seen, as in a fracture: mark it by hand, or use the other femur",
	"beside":       "the shaft does not lie beside the head: give the middle of the shaft of the same femur, upper place first",
	"no-frame":     "four straight edges that close are not seen: take the photo with the whole film in it, or mark the corners by hand",
	"no-edge":      "no clear edge is seen near the tap: zoom in and place the point by hand",
	"no-corner":    "two straight edges do not meet here: zoom in and place the corner by hand",
}
