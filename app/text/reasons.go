package text

import "isthmus/core/plan"

// reasons holds the sentence of every reason; {name} stands for a fact.
var reasons = map[string]string{
	"scale-from":   "The scale comes from {origin}; it is known to ± {percent} %.",
	"scale-chosen": "A person chose this scale, from {origin}; it is known to ± {percent} %.",
	"scale-note":   "{text}.",

	"route-film":         "{length} between the two points on film {film}. A bone that is tilted to the film reads too short.",
	"route-other-film":   "{length} on film {film} of the other femur. The two femora differ by {difference} on average; the doubt holds that.",
	"route-rods":         "A rod of {rod} with {out} left outside: {length} inside the bone. A tip off the bone reads too long.",
	"route-skin":         "{length} with a ruler on the skin, which usually reads too long.",
	"route-two-films":    "{length} from films {a} and {b} together, each with its own scale, joined at the mark that both show.",
	"route-pieces":       "{length} from the two pieces on film {film}, as long as they will be when they stand against each other. Reads too short where bone is missing.",
	"route-other-trial":  "{length} tried on the other leg; the two femora of one person differ by {difference} on average.",
	"route-film-typed":   "{film} on the film, divided by the magnification {factor}: {length}.",
	"scale-marker":       "What is {true} long measures {seen} on the film; the magnification is the one divided by the other. A marker 10 mm nearer the tube than the bone adds about 1 %.",
	"scale-by-distances": "The distance from tube to detector divided by that from tube to bone; the doubt holds ± 30 mm of depth. It is right at that depth only.",
	"scale-usual":        "The usual magnification here, not seen on this film; patients differ by about ± 7 %.",
	"routes-together":    "{count} ways of measuring agree; weighed by their doubt they give {length}.",

	"lock-shaft-alone":      "The shaft alone is broken and the neck was looked at: transverse and oblique screws hold it.",
	"lock-neck-broken":      "The neck of the femur is broken too: two screws up the neck hold it.",
	"lock-neck-code":        "The code {code} is a fracture of the neck: two screws up the neck hold it.",
	"lock-near-lesser":      "The fracture lies close to the lesser trochanter, where transverse screws find little bone.",
	"lock-near-lesser-film": "On the film the fracture begins {distance} below the lesser trochanter, within {limit}: transverse screws find little bone.",
	"lock-subtroch":         "The fracture is subtrochanteric: within 50 mm below the lesser trochanter.",
	"lock-subtroch-film":    "On the film the fracture begins {distance} below the lesser trochanter; up to {limit} is subtrochanteric.",
	"lock-subtroch-close":   "The fracture begins {distance} below the lesser trochanter, too close to {limit} to call: the safer locking is taken.",
	"lock-pertrochanteric":  "The code {code} is a fracture through the trochanters.",
	"lock-atypical":         "An atypical fracture: the whole bone is weak, the neck is protected as well.",
	"lock-pathologic":       "A pathological fracture: the whole bone is protected, the neck as well.",
	"neck-cleared-both":     "The neck was looked at on thin-cut CT and on a film in internal rotation, and is whole.",
	"neck-cleared-ct":       "The neck is whole on thin-cut CT; a CT without a line does not exclude a fracture.",
	"neck-cleared-film":     "The neck is whole on a film in internal rotation.",
	"level-below-isthmus":   "The fracture lies below the isthmus, where the canal is wide and the nail can toggle.",
	"level-below-code":      "The code {code} is in the lower third, below the isthmus.",
	"level-below-second":    "On the film a second break begins {distance} below the isthmus.",
	"level-below-film":      "On the film the fracture begins {distance} below the isthmus.",
	"distal-two":            "Distal screws: {count}. Two are stronger than one in fatigue; one has healed in a small series.",
	"distal-third":          "Distal screws: {count}. A third one in another plane takes the toggle out of a wide canal.",
	"against-code-level":    "The code {code} does not go with “{level}”.",
	"against-level-answer":  "The answer says “{level}”, the film says otherwise.",
	"against-level-film":    "On the film the fracture begins {distance} below the lesser trochanter, beyond {limit}.",
	"against-isthmus-film":  "On the film the fracture begins {distance} above the isthmus.",
	"change-neck-found":     "A fracture of the neck found later would change this to head locking.",
	"change-neck-open":      "A neck that is looked at and whole would take one reason for care away.",
	"change-level-near":     "A fracture line that reaches within 50 mm of the lesser trochanter would change this to head locking.",

	"length-burial":     "The bone is {bone} from tip to target; the nail is sunk {burial} below the tip.",
	"length-longest":    "{size} is the longest on the shelf that is not longer than the room of {room}.",
	"lost-length":       "{wanted} would fit and is not in stock: {size} is the longest there is. The nail ends higher.",
	"lost-length-thick": "{wanted} would fit in length and is in stock only too thick for the canal: {size} is taken. The nail ends higher.",
	"diameter-canal":    "{size} is the thickest on the shelf that is no thicker than the canal of {canal}.",
	"diameter-tight":    "No nail is as thin as the canal of {canal}. {size} with {over} more for the reamer takes up to {cut} off the bone.",
	"lost-diameter":     "{wanted} would fit and is not in stock: {size} is the next thinner. The nail fills less of the canal.",
	"lost-tight":        "The thinnest nail on the shelf, {size}, is too thick for a canal of {canal}: bone would be lost to the reamer.",
	"lost-other-length": "{wanted} would fit the canal and is not in stock at {length}: {size} is taken. The nail fills less of the canal.",
	"ream-final":        "The last head is the nail of {nail} and {over} more: {final}.",
	"ream-start":        "Start with {first}. The canal is not measured: the head must go in without force.",
	"ream-start-canal":  "Start with {first}, which goes into the canal of {canal}.",
	"ream-chatter":      "Chatter is to be felt from {head}: the canal is {canal}. Felt much earlier, the canal is narrower than measured; not felt at all, it is wider.",
	"ream-tight":        "From {head} more than {cut} is cut off the isthmus: tight. Stop, let it cool, and think of a thinner nail.",
	"ream-start-narrow": "Start with {first}: a larger head does not enter the canal of {canal}.",

	"head-not-needed":       "Standard locking: no screws run up the neck.",
	"neck-need":             "Two screws of {diameter}, {spacing} apart, with {lower} below and {upper} above need {need} of inner height.",
	"neck-fits":             "The neck has {room}; two screws need {need}.",
	"space-depth":           "With the top of the nail {top} below the tip of the trochanter the lower screw runs {clearance} above the lower wall of the neck.",
	"space-turn":            "The nail turned so that the screws point {turn} forwards of the front view (minus: backwards); the neck itself is turned {version}.",
	"space-both":            "Both screws fit: {room} more than their clearances at the tightest place, in both views.",
	"space-lower-longer":    "The lower screw is the longer one, {lower} against {upper}: their axes pass {lower_off} and {upper_off} above the centre of the head (minus: below).",
	"space-upper-longer":    "The upper screw is the longer one, {upper} against {lower}: their axes pass {lower_off} and {upper_off} above the centre of the head (minus: below). A longer lower screw shares the load better.",
	"screw-space":           "{path} from the outer cortex to the joint, from both films together, less {clearance} kept free.",
	"screw-film":            "On the film the way to the joint surface is {path}; {clearance} of it is kept free. A turned leg reads too short.",
	"screw-depth":           "Read {read}, taken off by the gauge {subtracts}, gap under the sleeve {off}. To keep {clearance} with {gap} left by the wire, {take} comes off.",
	"screw-not-beyond-wire": "The wire stopped {gap} short, more than the {clearance} to keep: the screw is not made longer than the wire.",
	"screw-round-down":      "{size} is the longest on the shelf within {room}: head screws are rounded down.",
	"tip-apex":              "True size, each view by its own magnification: {ap} from the front and {lateral} from the side make {distance}.",
}

// Reason words a reason.
func Reason(r plan.Reason) string {
	t, ok := reasons[r.Code]
	if !ok {
		return "Reason without words: " + r.Code
	}
	return capital(fill(t, r.Facts))
}
