package text

import (
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/source"
	"isthmus/core/units"
)

var landmarkNames = map[string]string{
	"trochanter-tip": "tip of the greater trochanter",
	"distal-target":  "distal target",
	"notch":          "roof of the notch",
	"lesser-troch":   "lower border of the lesser trochanter",
	"fracture-upper": "upper end of the fracture",
	"fracture-lower": "lower end of the fracture",
	"canal-a":        "canal, one inner edge",
	"canal-b":        "canal, other inner edge",
	"outer-a":        "bone, outer edge on the first side",
	"outer-b":        "bone, outer edge on the other side",
	"shaft-upper":    "middle of the canal, high",
	"shaft-lower":    "middle of the canal, low",
	"head-rim-1":     "head, first point of the rim",
	"head-rim-2":     "head, second point of the rim",
	"head-rim-3":     "head, third point of the rim",
	"neck-upper":     "neck, upper inner edge",
	"neck-lower":     "neck, lower inner edge",
	"lateral-cortex": "entry of the lower head screw",
}

var landmarkHints = map[string]string{
	"trochanter-tip": "Tap the highest point of the greater trochanter, where the nail goes in.",
	"distal-target":  "Tap where the nail should end: the scar of the growth plate, or the upper edge of the kneecap.",
	"notch":          "Tap the top of the notch between the condyles. The nail must end above it.",
	"lesser-troch":   "Tap where the lesser trochanter meets the shaft below.",
	"fracture-upper": "Tap the highest point that the fracture reaches, cracks included.",
	"fracture-lower": "Tap the lowest point that the fracture reaches, cracks included.",
	"canal-a":        "At the narrowest place of the canal, tap the inner edge of the cortex on one side.",
	"canal-b":        "At the same height, tap the inner edge of the cortex on the other side.",
	"outer-a":        "At the same height, tap the outer edge of the bone beside your first canal point.",
	"outer-b":        "At the same height, tap the outer edge of the bone on the other side.",
	"shaft-upper":    "Tap the middle of the canal a little below the lesser trochanter.",
	"shaft-lower":    "Tap the middle of the canal further down the shaft. The two give the direction of the shaft.",
	"head-rim-1":     "Tap the rim of the head on top, where the joint is.",
	"head-rim-2":     "Tap the rim of the head towards the middle of the body.",
	"head-rim-3":     "Tap the rim of the head low, before the neck begins. Spread the three points wide.",
	"neck-upper":     "At the narrowest place of the neck, tap the inner edge of the upper cortex.",
	"neck-lower":     "At the same place, tap the inner edge of the lower cortex, the calcar.",
	"lateral-cortex": "Tap the outer edge of the bone on the outer side, where the lower head screw will go in.",
}

// Landmark returns the name of a landmark and where to tap.
func Landmark(l anatomy.Landmark) (name, hint string) {
	name, ok := landmarkNames[string(l)]
	if !ok {
		return string(l), ""
	}
	return name, landmarkHints[string(l)]
}

var originNames = map[string]string{
	"ball":         "a ball of known size",
	"disc":         "a disc of known size",
	"ruler":        "a ruler on the film",
	"two-markers":  "two balls, behind and in front",
	"known-part":   "a part of known size in the bone",
	"fiducial":     "the header, measured on an object",
	"geometry":     "the header, for an assumed depth",
	"corrected":    "the header, corrected without a word how",
	"machine":      "the machine’s own estimate",
	"distances":    "distances that were given",
	"at-detector":  "the spacing of the detector, not of the bone",
	"unknown-tags": "a spacing of unknown plane",
	"assumed":      "an assumed factor",
	"combined":     "several objects that agree",
}

// Origin says where a scale is known from.
func Origin(o calibrate.Origin) string {
	if s, ok := originNames[string(o)]; ok {
		return s
	}
	return "no scale"
}

// Scale says what the scale of a film is worth: where it is known from and its
// doubt.
func Scale(p calibrate.Plane) string {
	if !p.Usable() {
		return "No scale: " + Origin(p.Origin)
	}
	s := "Scale from " + Origin(p.Origin) + tie(", ± "+units.Trim(units.Sure*100*p.Rel, 1)+" %")
	if p.Origin == calibrate.AssumedSite {
		return s + ", not seen on this film"
	}
	return s
}

var levelNames = map[string]string{
	"near-lesser":     "close to the lesser trochanter",
	"subtrochanteric": "subtrochanteric",
	"mid-shaft":       "in the middle of the shaft",
	"below-isthmus":   "below the isthmus",
}

// Level says where the shaft is broken.
func Level(l record.Level) string {
	if s, ok := levelNames[string(l)]; ok {
		return s
	}
	return "level not given"
}

var biasNames = map[string]string{
	plan.BiasShort: "reads too short when the bone is tilted to the film",
	plan.BiasSide:  "the other femur may be longer or shorter than this one",
	plan.BiasRods:  "reads too long when the tip of a rod is off the bone",
	plan.BiasSkin:  "usually reads too long, through skin and fat",

	plan.BiasPieces: "reads too short when bone is missing between the pieces",
}

// Bias says in which direction a route usually errs.
func Bias(code string) string {
	if s, ok := biasNames[code]; ok {
		return s
	}
	return "direction of its error not known"
}

// Pattern names a locking pattern.
func Pattern(p plan.Pattern) string {
	switch p {
	case plan.Standard:
		return "standard locking"
	case plan.HeadLock:
		return "head locking"
	}
	return "locking not decided"
}

var viewNames = map[string]string{"ap": "from the front", "lateral": "from the side"}

// ViewName says from where a film was taken.
func ViewName(v anatomy.View) string {
	if s, ok := viewNames[string(v)]; ok {
		return s
	}
	return "view not given"
}

var boneNames = map[string]string{"injured": "injured femur", "sound": "other femur"}

// BoneName says which femur a film shows.
func BoneName(b anatomy.Bone) string {
	if s, ok := boneNames[string(b)]; ok {
		return s
	}
	return "femur not given"
}

// routeShort names the routes and the readings inside a sentence.
var routeShort = map[string]string{
	"film": "the film", "other-film": "the film of the other leg", "two-rods": "the two rods", "skin-ruler": "the ruler on the skin",
	"wire-lower": "the lower wire", "wire-upper": "the upper wire",
	"two-films": "the two films of this bone", "pieces": "the two pieces", "other-trial": "the trial on the other leg",
}

// fieldNames names the fields of a reading inside a sentence.
var fieldNames = map[string]string{
	"first_mm": "the depth read", "off_bone_mm": "the gap under the sleeve", "gap_left_mm": "the gap from the wire to the joint",
	"subtracts_mm": "what the gauge has taken off", "stature_mm": "the stature", "femur_mm": "the femur",
	"ap_tip_mm": "tip to apex from the front", "lateral_tip_mm": "tip to apex from the side",
	"ap_screw_mm": "the screw as seen from the front", "lateral_screw_mm": "the screw as seen from the side", "true_screw_mm": "the true screw",
}

// Source returns a citation and how it is known.
func Source(k source.Key) (citation, seen string) {
	s, ok := source.Find(k)
	if !ok {
		return "Source not registered: " + string(k), "not known"
	}
	return s.Citation, string(s.Seen)
}

var knobNames = map[string]string{
	"burial_mm":            "Top of the nail below the trochanter tip",
	"ream_over_mm":         "Last reamer head over the nail",
	"ream_step_mm":         "Step from reamer head to reamer head",
	"ream_first_mm":        "First reamer head",
	"ream_cut_mm":          "Most to ream off a tight canal",
	"head_clearance_mm":    "Head screw to the joint surface",
	"neck_upper_mm":        "Upper head screw to the edge of the neck",
	"neck_lower_mm":        "Lower head screw to the edge of the neck",
	"neck_side_mm":         "Head screw to the front and back edge of the neck",
	"tip_far_mm":           "Tip of a head screw to the joint surface, at most",
	"upper_shorter_mm":     "Upper head screw shorter than the lower by",
	"canal_amber_mm":       "Narrow canal, warn at",
	"canal_red_mm":         "Very narrow canal, warn under",
	"fit_amber":            "Nail over canal, warn under",
	"distal_screws":        "Distal screws",
	"distal_below_isthmus": "Distal screws below the isthmus",
	"near_lesser_mm":       "Close to the lesser trochanter, up to",
	"subtroch_mm":          "Subtrochanteric, up to",
	"below_isthmus_mm":     "Below the isthmus, from",
	"hole_distance_mm":     "Fracture to the nearest hole, warn at",
	"side_difference_mm":   "Mean difference of the two femora",
	"film_tilt_deg":        "A bone may lie tilted to the film by",
	"rod_reading_mm":       "Doubt of one reading of a rod",
	"gauge_reading_mm":     "Doubt of one reading of the gauge",
	"skin_reading_mm":      "Doubt of a ruler on the skin",
	"views_percent":        "Scales of two views may differ by",
	"sure_enough":          "Chance under which a size is too close to call",
	"adult_years":          "Adult from the age of",
	"tip_apex_amber_mm":    "Tip–apex distance, note above",
	"tip_apex_red_mm":      "Tip–apex distance, warn above",
}

// Knob names a policy value.
func Knob(key string) string {
	if s, ok := knobNames[key]; ok {
		return s
	}
	return key
}

// Cautions returns what stands on the first start, on the sheet, on print and
// in exports.
func Cautions() []string {
	return []string{
		"This is a calculation aid.",
		"Check every number against the image and the parts on the table.",
		"Follow the implant’s own instructions and the hospital’s protocol.",
		"The decision is the licensed clinician’s.",
	}
}
