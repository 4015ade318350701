package text

import (
	"strings"

	"isthmus/core/record"
)

// questions is what a screen asks, and why, in a few words; the rest of a
// question stands behind the first vertical bar.
var questions = map[string]string{
	"code":             "AO/OTA code of the fracture|decides with the comminution whether the pieces carry the length",
	"neck":             "Is the neck of the femur broken?|missed in one of two to five shaft fractures at first; it changes the locking",
	"neck_by_ct":       "Thin-cut CT of the neck looked at?|cuts of about 2 mm; without a line it does not rule out a break",
	"neck_by_mri":      "MRI of the neck looked at?|has found breaks of the neck that CT did not show",
	"neck_by_film":     "Front film in internal rotation looked at?|the neck then lies flat to the film",
	"neck_in_theatre":  "Neck looked at in theatre, before the nail?|image intensifier, both views, live while the leg turns",
	"neck_after":       "Neck filmed after the nail, before waking?|a hidden break can come apart as the nail goes in",
	"level":            "Where is the shaft broken?|decides the locking and how the nail holds",
	"open_physis":      "Are the growth plates open?|a nail through the trochanter can disturb its growth",
	"infection":        "Infection of this femur?|a nail spreads it along the canal",
	"implant":          "Is an implant already in the way?|it has to come out first, or the nail ends before it",
	"atypical":         "Atypical fracture?|after long bisphosphonate treatment, or by its look: protect the whole bone",
	"pathologic":       "Through a tumour?|biopsy first where its kind is not known; protect the whole bone",
	"age_years":        "Age|bone, growth plates and what is expected of the healing",
	"wound":            "Is the fracture open?|Gustilo and Anderson, after the wound is cleaned; decides what comes before the nail",
	"wound_mm":         "Length of the wound|over 10 mm it is not type I",
	"comminution":      "How broken to pieces? (Winquist and Hansen)|tells whether the pieces carry the length once they stand together",
	"medial_pieces":    "Is the medial cortex in pieces?|without it the head screws carry alone and can wander",
	"lesser_whole":     "Is the lesser trochanter whole?|transverse screws need the bone there",
	"high_energy":      "High energy?|traffic, a fall from a height, a crush: look for a broken neck and other injuries",
	"many_injuries":    "Other injuries, of the chest or with shock?|reaming pushes fat into the lungs: resuscitate first",
	"both_femurs":      "Is the other femur broken too?|it is then no measure for this one",
	"stature_mm":       "Body height|checks the length of the femur, and warns of a short or bowed bone",
	"entry":            "Where in the trochanter does the nail enter, from the side?|too far forward bursts the cortex or pushes the lower end into the front",
	"one_screw_reason": "Why is one distal screw enough?|two are stronger; the reason stands in the plan",

	"atypical_signs":                   "Signs of an atypical fracture|four of the five major signs decide; the minor ones only support",
	"atypical_signs.minimal_trauma":    "Minimal trauma, or none?|major: a fall from standing height at most",
	"atypical_signs.lateral_start":     "Starts at the lateral cortex, transverse there?|major: it may run oblique further in",
	"atypical_signs.spike_or_part":     "Complete, perhaps with a medial spike; or in the lateral cortex only?|major",
	"atypical_signs.few_pieces":        "No pieces, or hardly any?|major",
	"atypical_signs.lateral_thickness": "Lateral cortex thickened at the fracture?|major: a bump or a beak on the film",
	"atypical_signs.thick_cortices":    "Thick cortices of the whole shaft?|minor",
	"atypical_signs.pain_before":       "Pain in the groin or thigh before?|minor: dull, for weeks",
	"atypical_signs.both_sides":        "Signs on both sides?|minor: film the other femur too",
	"atypical_signs.slow_healing":      "Slow healing?|minor",

	"reading.other-trial":    "Length on the other leg|tip of the trochanter to the distal target, by a rod or ruler; the other femur may differ",
	"reading.two-rods":       "Two rods of one length|what stands out is the length in the bone",
	"reading.skin-ruler":     "Ruler on the skin|tip of the trochanter to the distal target; through skin it reads too long",
	"reading.wire-lower":     "Lower wire|what the gauge shows, and where the tip stands",
	"reading.wire-upper":     "Upper wire|what the gauge shows, and where the tip stands",
	"reading.distal-depth":   "Depth at a distal hole|with the gauge, near cortex to far cortex",
	"reading.burial":         "Nail under the tip of the trochanter|as it is now; 0 is level with it",
	"reading.gap":            "Gap of the fracture|the widest place, as it is now; 0 is closed",
	"reading.length-injured": "Length of this femur now|measured as on the other leg",
	"reading.length-sound":   "Length of the other femur|measured in the same way",
	"reading.turn-injured":   "Turn of this femur|angle of the C-arm with the condyles over each other, then with neck and shaft in line",
	"reading.turn-sound":     "Turn of the other femur|the same two angles there",
	"reading.lesser-injured": "Lesser trochanter of this leg|lateral cortex to its tip, kneecap forward",
	"reading.lesser-sound":   "Lesser trochanter of the other leg|lateral cortex to its tip, kneecap forward",

	"evidence.ball":        "Ball|its true diameter, and at least three points on its rim",
	"evidence.disc":        "Disc or coin|its true diameter, and at least three points on its rim",
	"evidence.ruler":       "Ruler|two graduations, and how far apart they are",
	"evidence.two-markers": "Balls in front and behind|one on each side of the bone, and where the bone lies between them",
	"evidence.known-part":  "Part in the bone|two points on a screw or nail whose size is known",
	"evidence.distances":   "Distances|from tube to detector, and to the bone or from it",
	"evidence.header":      "What the file says|the tags of the film",
	"evidence.assumed":     "Usual factor|not seen on this film: the weakest",
}

// Question returns what a screen asks for a field of the injury, by its name
// in the case file, e.g. wound or atypical_signs.few_pieces; the name itself
// for an unknown one. With reading. or evidence. before it a kind is named.
func Question(field string) string {
	q, _, _ := strings.Cut(questions[field], "|")
	if q == "" {
		return field
	}
	return tie(q)
}

// QuestionWhy returns in a few words why a field is asked, or "".
func QuestionWhy(field string) string {
	_, why, _ := strings.Cut(questions[field], "|")
	return tie(why)
}

// Reading names a kind of reading and says what is measured.
func Reading(k record.ReadingKind) (name, hint string) {
	if _, ok := questions["reading."+string(k)]; !ok {
		return string(k), ""
	}
	return Question("reading." + string(k)), QuestionWhy("reading." + string(k))
}

// Evidence names a kind of evidence and says what it needs.
func Evidence(k record.EvidenceKind) (name, hint string) {
	if _, ok := questions["evidence."+string(k)]; !ok {
		return string(k), ""
	}
	return Question("evidence." + string(k)), QuestionWhy("evidence." + string(k))
}

// choices are the answers of those questions that are not yes, no or unsure,
// by field and word. Sources: core/source for Gustilo and Anderson and for
// Winquist and Hansen.
var choices = map[string]string{
	"level near-lesser":     "Close to the lesser trochanter",
	"level subtrochanteric": "Subtrochanteric: within 5 cm below it",
	"level mid-shaft":       "Mid-shaft",
	"level below-isthmus":   "Below the isthmus",
	"wound closed":          "Closed",
	"wound I":               "I: up to 1 cm, clean",
	"wound II":              "II: over 1 cm, soft parts little hurt",
	"wound IIIA":            "IIIA: severe, bone still covered",
	"wound IIIB":            "IIIB: bone bare, needs a flap",
	"wound IIIC":            "IIIC: an artery to be repaired",
	"comminution 0":         "0: no pieces",
	"comminution I":         "I: a piece under a quarter of the width",
	"comminution II":        "II: up to half the width",
	"comminution III":       "III: over half the width",
	"comminution IV":        "IV: no contact of the main pieces",
	"entry front":           "Front third",
	"entry middle":          "Middle third",
	"entry back":            "Back third",
}

// Choice returns the words of one answer of a field of the injury: its words
// in a list, or yes, no and unsure with a capital; the word itself for an
// unknown one.
func Choice(field, word string) string {
	if s, ok := choices[field+" "+word]; ok {
		return tie(s)
	}
	return capital(word)
}
