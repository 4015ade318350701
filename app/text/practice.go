package text

import (
	"math"
	"strconv"

	"isthmus/core/anatomy"
	"isthmus/core/plan"
	practised "isthmus/core/practice"
	"isthmus/core/record"
	"isthmus/core/units"
)

// What is said of a practice case wherever it is seen, on the screen, on paper
// and in files.
const (
	PracticeMark  = "Practice: a drawn bone, nobody's"
	PracticeLarge = "PRACTICE: A DRAWN BONE, NOBODY'S"
	PracticeMore  = "There is no such patient. Bring nothing to theatre for this, and put nothing of it into anybody's notes."
)

// A PracticeCase is what is told of a practice case before it is measured: how
// it was referred, and what the radiographer wrote.
type PracticeCase struct{ Key, Title, Refer, Note string }

const atBone = "A 25 mm ball was taped beside the thigh, at the height of the bone."

var practices = []PracticeCase{
	{"isthmic-transverse", "Practice 1", "Right thigh, motorcycle against a wall this morning. 176 cm. Skin closed, pulses good.", atBone},
	{"subtrochanteric", "Practice 2", "Left thigh, fell off a ladder. 169 cm. Pain high up, cannot lift the leg.", atBone},
	{"distal-third", "Practice 3", "Right thigh, struck by a goods cart. 172 cm. Swollen above the knee.",
		"The 25 mm ball would not stay beside the bone: its middle was 186 mm above the detector, the bone 166 mm, the tube 1150 mm."},
	{"narrow-canal", "Practice 4", "Left thigh, hit by a car. 161 cm, slight. Skin closed.", atBone},
	{"shaft-and-neck", "Practice 5", "Right thigh, car into a tree at speed. 180 cm. Sent for the thigh; the rest was looked at in a hurry.", atBone},
	{"short-bowed", "Practice 6", "Left thigh, stumbled at home. 149 cm. The side film was hard to take.", atBone},
}

// Practices returns the practice cases in their order.
func Practices() []PracticeCase { return append([]PracticeCase(nil), practices...) }

// PracticeOf returns what is told of a practice case; of one that this version
// does not know, its key alone.
func PracticeOf(key string) PracticeCase {
	for _, c := range practices {
		if c.Key == key {
			return c
		}
	}
	return PracticeCase{Key: key, Title: "Practice"}
}

// PracticeCount says how often a case was started and compared on this device.
func PracticeCount(started, compared int) string {
	switch {
	case started == 0:
		return "not started on this device"
	case compared == 0:
		return "started" + times(started) + ", not compared yet"
	}
	return "started" + times(started) + ", compared" + times(compared)
}

// PracticeTotal says how many of the drawn cases this device has seen.
func PracticeTotal(all, started, compared int) string {
	return "On this device: " + strconv.Itoa(started) + " of " + strconv.Itoa(all) + " started, " + strconv.Itoa(compared) + " compared."
}

func times(n int) string {
	if n == 1 {
		return ""
	}
	return " " + strconv.Itoa(n) + " times"
}

// A PracticeLine is one row of the comparison.
type PracticeLine struct {
	Title   string
	Got     string // what was measured, with its doubt
	True    string
	Diff    string
	Verdict string
	Why     string // the usual cause, when the truth lies outside of the doubt
}

// practiceWords are, for each row: its title, what is said when it was not
// measured, and the usual cause when it is wrong.
var practiceWords = map[practised.What][3]string{
	practised.ScaleAP:      {"Scale of the AP film, mm a pixel", "", "The usual cause: a ball that did not lie at the height of the bone, another diameter than it has, or points that are not on its rim."},
	practised.ScaleLateral: {"Scale of the lateral film, mm a pixel", "", "The usual cause: a ball that did not lie at the height of the bone, another diameter than it has, or points that are not on its rim."},
	practised.Length:       {"Length", "", "The usual cause: a point that is not the tip of the trochanter or not the distal target, or a broken bone taken for one at its length: mark the two ends of the break that belong together."},
	practised.CanalAP:      {"Canal at the isthmus, side to side", "", "The usual cause: the outer edge of the cortex taken for the inner, a line across that is not square to the shaft, or not the narrowest place."},
	practised.CanalLateral: {"Canal at the isthmus, front to back", "", "The usual cause: the outer edge of the cortex taken for the inner, a line across that is not square to the shaft, or not the narrowest place."},
	practised.Isthmus:      {"Height of the isthmus", "", "The usual cause: the narrowest place of a canal is flat, and easily taken 20 mm too high or too low; or a gap at the break above it."},
	practised.NeckRoom:     {"Room in the neck", "", "The usual cause: the outer edge taken for the inner, or not the narrowest place; a leg that is turned shows the neck higher."},
	practised.Head:         {"Head", "", "The usual cause: points on the rim of the socket instead of the head, or all three on one short stretch of the rim."},
	practised.NSA:          {"Neck–shaft angle", "", "The usual cause: the two points of the shaft lie on two pieces: put both on the upper one. A leg that is turned outwards makes the angle look larger."},
	practised.Version:      {"Version", "not measured: needs head, neck and shaft on both films", "The usual cause: a leg that is turned on one of the films, or points of the shaft on a piece that lies askew."},
	practised.Bow:          {"Bow (radius)", "not measured: counts only on a film with the bone at its length", "The usual cause: an arc through pieces that do not stand as the whole bone did, or too short a stretch of it."},
	practised.BreakUpper:   {"Break, upper end", "", "The usual cause: a point that is not the highest place of the break, or a tip of the trochanter that is not the tip."},
	practised.BreakLower:   {"Break, lower end", "not measured: counts only on a film with the bone at its length", "The usual cause: it was counted across a gap: a bone that is not at its length shows its lower end too low or too high."},
	practised.Condyles:     {"Tip to the roof of the notch", "", "The usual cause: the lowest edge of a condyle taken for the roof between them, or a length that is wrong already."},
}

// PracticeRow words one row of the comparison.
func PracticeRow(r practised.Row) PracticeLine {
	w := practiceWords[r.What]
	l := PracticeLine{Title: w[0]}
	if l.Title == "" {
		l.Title = string(r.What)
	}
	switch {
	case r.Length != nil && (r.What == practised.ScaleAP || r.What == practised.ScaleLateral):
		l.Got, l.True, l.Diff = perPx(*r.Length), fine(r.True), percentOff(r.Diff, r.True)
	case r.Length != nil:
		l.Got, l.True, l.Diff = Length(*r.Length), strconv.FormatFloat(r.True, 'f', 1, 64)+nbsp+"mm", signed(r.Diff)+nbsp+"mm"
	case r.Angle != nil:
		l.Got, l.True, l.Diff = Angle(*r.Angle), strconv.FormatFloat(r.True, 'f', 1, 64)+"°", signed(r.Diff)+"°"
		if r.OnAP {
			l.Title += ", as seen from the front"
		}
	default:
		l.Verdict = "not measured"
		if w[1] != "" {
			l.Verdict = w[1]
		}
		if r.Refused {
			l.Verdict = "not measured: what was marked gives no scale; the film says why"
		}
		return l
	}
	l.Verdict, l.Why = practiceVerdict(r, w[2])
	return l
}

// practiceVerdict says whether the truth lies within the doubt, and if not why.
func practiceVerdict(r practised.Row, usual string) (verdict, why string) {
	long := "too small"
	if r.Diff > 0 {
		long = "too large"
	}
	switch {
	case r.Holds:
		return "within your doubt", ""
	case r.ByScale:
		return "outside your doubt, " + long, "The scale of this film is the cause: with the true one it would be right. Put the scale right first."
	case r.ByFilm && r.Angle != nil:
		return "outside your doubt, " + long, "These films give no better: marked without any error they show " + strconv.FormatFloat(r.AtBest, 'f', 1, 64) + "°, for the beam spreads and the pieces do not stand as the whole bone did."
	case r.ByFilm:
		return "outside your doubt, " + long, "These films give no better: marked without any error they show " + strconv.FormatFloat(r.AtBest, 'f', 1, 64) + nbsp + "mm, for the beam spreads and the pieces do not stand as the whole bone did."
	}
	return "outside your doubt, " + long, usual
}

func fine(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

func perPx(l units.Length) string {
	return fine(float64(l.Best)) + " ± " + fine(max(units.Sure*float64(l.Doubt()), 0.0001))
}

func percentOff(diff, is float64) string {
	if !(is > 0) {
		return ""
	}
	return signed(100*diff/is) + nbsp + "%"
}

// signed prints a difference with its sign; a true minus, and no −0.0.
func signed(v float64) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', 1, 64)
	switch {
	case s == "0.0":
		return s
	case v < 0:
		return "−" + s
	}
	return "+" + s
}

// PracticeSum says in one line how many of the measures hold the truth.
func PracticeSum(c practised.Comparison) string {
	return strconv.Itoa(c.Holding) + " of " + strconv.Itoa(c.Measured) + " measures hold the truth within their doubt"
}

// PracticeAnswers says what was answered about the injury beside what is true:
// the side and the neck. An answer that is wrong comes with what it can do.
func PracticeAnswers(c practised.Comparison) (good, bad []string) {
	switch {
	case c.Side == c.TrueSide:
		good = append(good, "The side is correct: "+string(c.TrueSide)+".")
	default:
		bad = append(bad, "WRONG SIDE: the bone is a "+string(c.TrueSide)+" femur and the case says "+sideSaid(c.Side)+". Read the letter on the film before anything else.")
	}
	switch {
	case c.NeckBroken && c.Neck == record.Yes:
		good = append(good, "The broken neck was found.")
	case c.NeckBroken:
		bad = append(bad, "MISSED: the neck of this femur is broken too. Behind a high-energy fracture of the shaft look at the neck on purpose: a film with the leg turned in, thin CT, and the image intensifier in theatre.")
	case c.Neck == record.Yes:
		bad = append(bad, "The neck of this femur is whole and the case says that it is broken.")
	default:
		good = append(good, "The neck of this femur is whole.")
	}
	return good, bad
}

func sideSaid(s anatomy.Side) string {
	if !s.Valid() {
		return "no side"
	}
	return string(s)
}

// PracticeNail says what the two nails, from what was measured and from what is
// true, mean for each other.
func PracticeNail(c practised.Comparison) string {
	a, b := c.Mine.Nail, c.True.Nail
	switch {
	case b.Part == nil:
		return "Not even the true measures give a nail of this shelf: what is missing is said under Nail."
	case a.Part == nil:
		return "Your numbers give no nail yet."
	case c.SameNail() && c.Mine.Locking.Pattern == c.True.Locking.Pattern:
		return "The same nail: what you measured is good enough for this shelf."
	case c.SameNail():
		return "The same nail, locked otherwise: " + Pattern(c.Mine.Locking.Pattern) + ", and truly " + Pattern(c.True.Locking.Pattern) + "."
	case a.Part.Side.Valid() && b.Part.Side.Valid() && a.Part.Side != b.Part.Side:
		return "A nail for the other leg."
	}
	return "Another nail" + nailDiffers(a, b) + "."
}

func nailDiffers(a, b plan.NailChoice) (s string) {
	if d := a.Length - b.Length; d != 0 {
		s += ", " + MM(abs(d)) + map[bool]string{true: " too long", false: " too short"}[d > 0]
	}
	if d := a.Diameter - b.Diameter; d != 0 {
		s += ", " + MM(abs(d)) + map[bool]string{true: " too thick", false: " too thin"}[d > 0]
	}
	return s
}

func abs(m units.MM) units.MM { return units.MM(math.Abs(float64(m))) }
