package text

import (
	"maps"

	"isthmus/core/plan"
)

func init() {
	maps.Copy(reasons, alignReasons)
	maps.Copy(problems, alignProblems)
	maps.Copy(reasons, unionReasons)
	maps.Copy(problems, unionProblems)
	maps.Copy(knobNames, afterKnobs)
	maps.Copy(fieldNames, afterNames)
}

// afterNames are directions, readings and fields inside a sentence.
var afterNames = map[string]string{
	plan.TowardsOut: "outwards", plan.TowardsIn: "inwards", plan.TowardsLong: "longer", plan.TowardsShort: "shorter",
	plan.TowardsVarus: "into varus", plan.TowardsValgus: "into valgus", plan.TowardsNone: "neither way",
	"rust": "RUST", "mrust": "mRUST",

	"turn-injured": "the injured femur", "turn-sound": "the sound femur",
	"both-turn": "version", "both-lesser": "the profile of the lesser trochanter", "both-length": "length",
	"distal-depth": "the depth of a distal hole", "burial": "the depth of the nail", "gap": "the gap of the fracture",

	"burial_mm": "depth of the nail", "bone_radius_mm": "radius of the bone’s bow", "nail_radius_mm": "radius of the nail’s bow",
	"chord_mm": "length over which the bow is compared", "canal_mm": "width of the canal", "nail_diameter_mm": "diameter of the nail",
	"along_mm": "length of nail in the piece", "angle_deg": "angle", "gap_mm": "gap",
	"nail_length_mm": "length of the nail", "from_tip_mm": "place of the hole from the tip", "fracture_mm": "lower end of the fracture",
	"lesser_injured_mm": "profile of the injured femur", "lesser_sound_mm": "profile of the sound femur",
	"length_injured_mm": "length of the injured femur", "length_sound_mm": "length of the sound femur",
}

var afterKnobs = map[string]string{
	"distal_over_mm":    "Distal screw over the depth read",
	"distal_past_mm":    "Distal screw out of the far cortex, warn above",
	"bow_mismatch_mm":   "Bow of the bone over that of the nail, warn above",
	"short_stature_mm":  "Front cortex, warn under a height of",
	"turn_reading_deg":  "Doubt of one angle of the image intensifier",
	"turn_normal_deg":   "Turn between the legs, normal under",
	"turn_limit_deg":    "Turn between the legs, malrotation from",
	"turn_correct_deg":  "Turn between the legs, correct above",
	"varus_deg":         "Neck in varus against the other side, warn above",
	"length_discuss_mm": "Difference in length, discuss from",
	"length_correct_mm": "Difference in length, correct above",
	"gap_limit_mm":      "Gap of a simple fracture, warn from",
	"united_rust":       "United from a RUST of",
	"united_mrust":      "United from an mRUST of",
	"window_from_days":  "Dynamising, first day to think of it",
	"window_to_days":    "Dynamising, last day to think of it",
}

var alignReasons = map[string]string{
	"turn-read":      "The image intensifier on {kind}: {condyles}° with the condyles in line, {neck}° with the neck in line; version {version}.",
	"turn-sides":     "Against the sound femur the lower piece is turned {turn} {direction}.",
	"turn-same-way":  "Both legs must be measured in one way: ways to measure differ by up to 18°.",
	"turn-normal":    "Under {limit}° between the legs is taken as normal. After nailing 15° is the mean, most of it outwards.",
	"version-films":  "From two films of the {bone}: {front} from the front and {side} from the side; version {version}, true neck–shaft angle {true}. The film from the side must be true at the knee.",
	"lesser-ratio":   "The lesser trochanter shows {percent} % of that of the other leg: the lower piece is turned {turn} {direction}.",
	"lesser-weak":    "An aid and no proof: in patients no better than looking. With the lower piece far inwards it hardly changes. Kneecaps forwards on both films.",
	"length-sides":   "Injured {injured}, sound {sound}: the injured femur is {difference} {direction}. The two femora of one person differ by {usual} on average.",
	"neck-sides":     "The neck–shaft angle differs from the sound side by {difference}, {direction}. The two sides of one person differ by 2.9° on average.",
	"neck-one-view":  "From the front only: a leg that is turned reads too steep. A film of each hip from the side would take that out.",
	"gap-small":      "The widest gap is {gap}, under {limit}.",
	"gap-not-simple": "The widest gap is {gap}. The limit for gaps is of simple fractures: this one is not judged.",
}

var alignProblems = map[string]words{
	"one-leg":         {"The other leg is not measured", "Only one leg was measured, for {kind}. Measure both in one way: there is no normal value to go by."},
	"turn-half":       {"One angle is missing", "For {kind} enter both angles: with the condyles in line and with the neck in line."},
	"turn-backwards":  {"Neck points backwards?", "Version of {kind} is {version}. 8 % of femora are so; but check which way the scale of the image intensifier counts, for the legs are mirrored."},
	"turn-more":       {"Turned more than usual", "The lower piece is turned {turn} {direction}; under {limit}° is taken as normal. Measure again before you lock the other end."},
	"turn-wrong":      {"Malrotation", "The lower piece is turned {turn} {direction}; from {limit}° on it is called malrotation. Correct it while the patient is asleep."},
	"turn-correct":    {"Malrotation to be corrected", "The lower piece is turned {turn} {direction}, over {limit}°: correct it."},
	"turns-disagree":  {"Two ways to see the turn disagree", "The image intensifier says {carm} outwards, the lesser trochanter {profile} (minus: inwards). Trust the first, and measure it again."},
	"lesser-outside":  {"Profile outside the table", "{percent} % of the other side is outside 88 to 108 %, so no angle can be told. Turn the kneecap forwards and measure both again."},
	"leg-close":       {"Too close to call", "The difference is too near to {limit} {unit} for the doubt of the readings. Measure again."},
	"length-discuss":  {"Legs of unequal length", "The injured femur is {difference} {direction}; from {limit} on it is talked about with the patient."},
	"length-correct":  {"Length to be corrected", "The injured femur is {difference} {direction}, over {limit}: correct it now, while it is easy."},
	"neck-varus":      {"Neck in varus", "The neck stands {difference} lower than on the sound side, {limit}° is the limit. Head screws cut out and back out more often there: reduce it first."},
	"version-refused": {"Version cannot be told", "{error}."},
	"gap-wide":        {"Fracture gap", "The widest gap is {gap}, from {limit} on simple fractures more often did not unite: 30 cases, 4 of them not united, so a hint. Close it before you lock."},
}

var unionReasons = map[string]string{
	"union-united":    "The {scale} score is {score} of {most}: united, from {limit} on.",
	"union-nearly":    "The {scale} score is {score} of {most}: one step at one cortex short of {limit}, so it cannot be told. Look at the films side by side.",
	"union-not":       "The {scale} score is {score} of {most}: not united, which is {limit} or more.",
	"dynamise-early":  "Day {days} since the nail. Dynamising is thought of from day {from} to {to}: wait.",
	"dynamise-window": "Day {days} since the nail, within days {from} to {to}: if it does not go on, this is the time to think of dynamising.",
	"dynamise-late":   "Day {days} since the nail, past day {to}: dynamising helps less, think of exchanging the nail.",
	"dynamise-range":  "After dynamising 66 to 94 % united in different series (131, 318 and 68 bones); after exchange nailing 85 % of 644.",
}

var unionProblems = map[string]words{
	"union-scale":        {"Score not known", "Say which score it is: RUST or mRUST."},
	"union-impossible":   {"Score not possible", "Give one score for each of the four cortices, each from 1 to {most}."},
	"nail-date-missing":  {"Day of the nail not known", "Record the nail with its day: without it nobody can say when to think of dynamising."},
	"follow-before-nail": {"Film before the nail", "The last film is dated before the nail. Correct one of the two dates."},
}
