package text

import (
	"maps"

	"isthmus/core/plan"
)

func init() {
	maps.Copy(reasons, classReasons)
	maps.Copy(problems, classProblems)
}

var classReasons = map[string]string{
	"stable-yes":           "{code} with comminution {grade}: the pieces carry the length by themselves once they stand against each other.",
	"stable-no-grade":      "Comminution {grade}: the pieces do not carry the length. Lock statically, and keep it locked until there is callus.",
	"stable-no-code":       "{code} is a fracture in many pieces or with a loose segment: the pieces do not carry the length. Lock statically.",
	"stable-open":          "Code and comminution are needed together to say whether the pieces carry the length; one of them is not known.",
	"atypical-signs-yes":   "{yes} of the five major signs are there; four make an atypical fracture.",
	"atypical-signs-no":    "{no} of the five major signs are not there, so four can no longer be reached: no atypical fracture.",
	"atypical-signs-open":  "{yes} of the five major signs are there, {open} not answered: four decide.",
	"atypical-not-of-this": "By definition this is no atypical fracture: those of the neck, through the trochanters or through a tumour are left out. A break at a prosthesis is left out too.",
	"neck-missed":          "{low} to {high} % of neck fractures with a broken shaft were missed at first. These looks at the neck remain.",
	"neck-ct-limits":       "A CT without a line does not exclude a fracture of the neck: MRI found one in {percent} % of them. In doubt take an MRI.",
	"neck-left-ct":         "Before theatre: CT of the hip in thin cuts, about 2 mm.",
	"neck-left-film":       "Before theatre: a film of the hip from the front, the leg turned inwards.",
	"neck-left-theatre":    "In theatre before the nail: look at the hip with the image intensifier from the front and from the side, live while the leg turns.",
	"neck-left-after":      "After the nail, before the patient wakes: films of the hip in both views.",
	"neck-cleared-mri":     "The neck was looked at on MRI, and is whole.",
	"neck-cleared-theatre": "The neck is whole in both views of the image intensifier.",
	"lock-lesser-broken":   "The lesser trochanter is broken: transverse screws find little bone there, two screws up the neck hold it.",
	"change-below-found":   "A crack that reaches below the isthmus would add a distal screw.",
	"distal-one":           "Distal screws: one, for the surgeon’s reason: {text}. Two are stronger in fatigue.",
}

var classProblems = map[string]words{
	"code-comminution":   {"Code and comminution contradict", "{code} does not go with comminution {grade}. Look at the film and correct one of them."},
	"wound-type-missing": {"Type of the wound not given", "A wound of {length} is given. Say which type it is; the length alone does not tell."},
	"wound-closed":       {"Closed, but with a wound", "The fracture is called closed and a wound of {length} is given. Correct one of them."},
	"wound-length":       {"Type and length of the wound contradict", "A wound of {length} is longer than {limit}, so it is no type I. Correct one of them."},
	"wound-large":        {"Large wound for its type", "A wound of {length}, over {limit}, is usually type III, not {type}. Look at it again."},
	"wound-open":         {"Open fracture", "Clean the wound before the nail goes in. Antibiotic and tetanus by your protocol."},
	"wound-open-iii":     {"Severe open fracture", "Clean and cut back first, look at the vessels, plan the cover. Decide whether the nail waits behind an external fixator. Antibiotic and tetanus by your protocol."},
	"atypical-differs":   {"Atypical or not: answer and signs differ", "The answer is {answer}, the major signs say otherwise: {yes} of five are there, four decide. Correct one; until then the safer locking is taken."},
	"atypical-excluded":  {"Called atypical, but excluded", "By definition a fracture of this code, or through a tumour, is not an atypical one. Correct the code or the answer."},
	"signs-trauma":       {"Energy and trauma contradict", "Minimal trauma and high energy are both answered yes. Correct one of them."},
	"signs-pieces":       {"Few pieces and comminution contradict", "Few pieces are answered yes, and the comminution or the code says many. Correct one of them."},
	"neck-high-energy": {"High energy, neck not looked at",
		"Do not go on: 20 to 50 % of neck fractures with a broken shaft were missed at first. Get thin-cut CT, or at least a film with the leg turned inwards."},
	"neck-theatre-only": {"Neck seen in theatre only", "The image intensifier alone has missed fractures of the neck. Get thin-cut CT or a film before the nail if you can, and films before waking."},
	"neck-after-open":   {"Look at the neck again", "The nail is in. Take films of the hip in both views before the patient wakes, and say so here."},
	"resuscitate-first": {"Other injuries: resuscitate first", "Shock and a hurt chest come first. Reaming pushes fat into the lungs: think of an external fixator now and the nail later."},
	"both-femurs":       {"Both femurs broken", "Two nails in one sitting carry more risk of fat in the lungs: resuscitate first, think of stages. The other femur is no measure for this one."},
	"z-effect":          {"Medial cortex in pieces", "Head screws can wander when the medial side does not carry: one backs out, the other goes through the head. Reduce without varus, and film early."},
	"subtroch-reduce":   {"Short upper piece", "The muscles bend it up and outwards. Reduce it before reaming and hold it so until the nail is in; a nail does not do it. No varus."},
	"one-screw-unstable": {"One distal screw is not enough here",
		"One is for a fracture that carries itself and lies at or above the isthmus. That is not so, or not known: give code, comminution and level. More screws are planned."},
	"one-screw-reason": {"One distal screw: say why", "Write down why one is enough. Until then two are planned, which are stronger in fatigue."},

	"implant-contradiction": {"Implant in the way: yes or no?", "The answer is no, and parts in the bone are described or a nail is marked on a film. Correct one of them."},
	"physis-age":            {"Growth plate and age contradict", "Growth plates are closed long before {age} years. Correct the age or the answer."},
	"sound-broken":          {"The other femur is broken too", "It is taken as the measure for this one. Say that it is not broken, or take its films and readings out."},
	"sound-with-break":      {"A break marked on the other femur", "A film called the other femur has points of a break. Say which femur it shows, or take the points away."},
	"part-side":             {"Part for the other leg", "The case is of the {side} leg, and a part of kind {kind} is for the {made}. Stop: check leg, packet and entry."},
	"fracture-below-notch":  {"Fracture below the notch", "Film {film}: the {landmark} lies {distance} below the {second}, where no shaft is. Place both again; until then no level is used."},
	"points-order":          {"Points in an order no femur has", "Film {film}: the {landmark} lies {distance} below the {second}. Place both again."},
	"canal-over-bone":       {"Canal wider than the bone", "The canal is {canal} and the whole bone {outer}. Place the edges again; until then no canal is used."},
	"neck-over-head":        {"Neck higher than the head", "The neck is {room} inside and the head {head} across. Place neck and rim again; until then neither is used."},
	"nail-over-bone":        {"Recorded nail longer than the bone", "A nail of {size} is recorded and the bone is {bone}. Check the packet, the points and the scale."},
}

var lookNames = map[string]string{
	plan.LookCT: "thin-cut CT", plan.LookMRI: "MRI", plan.LookFilm: "film with the leg turned inwards",
	plan.LookTheatre: "image intensifier in both views before the nail", plan.LookAfter: "films in both views before waking",
}

// NeckLook names a look at the neck of the femur.
func NeckLook(look string) string {
	if s, ok := lookNames[look]; ok {
		return s
	}
	return look
}
