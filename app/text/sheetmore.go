package text

import (
	"math"
	"strconv"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// woundShort says in a word or two whether the fracture is open.
func woundShort(w record.Wound) string {
	switch w {
	case record.NoWoundSaid:
		return ""
	case record.Closed:
		return "closed"
	}
	return "open, type " + string(w)
}

// neckShort says how far the neck of the femur is looked at.
func neckShort(in record.Injury, c plan.Class) string {
	switch {
	case in.Neck == record.Yes:
		return "neck broken"
	case len(c.NeckDone) == 0:
		return "neck not looked at"
	case len(c.NeckLeft) == 0:
		return "neck looked at, nothing left"
	}
	return "neck: " + NeckLook(c.NeckLeft[0]) + " is next"
}

// Locked says in a word or two how the lower end is locked.
func Locked(d plan.Distal) string {
	switch d.Dynamic {
	case record.Yes:
		return "dynamic"
	case record.No:
		return "static"
	}
	return "open"
}

// LaterDynamic says whether the nail can be made to slide later, and by which
// screw.
func LaterDynamic(d plan.Distal) string {
	switch {
	case d.Later == record.Yes && d.TakeOut > 0:
		return "Can be made dynamic later: the screw of hole " + strconv.Itoa(d.TakeOut) + " comes out"
	case d.Later == record.No && d.Dynamic == record.No:
		return "Cannot be made dynamic later by taking one screw out"
	}
	return ""
}

// used returns the holes that take a screw, and those whose screw is chosen.
func used(d plan.Distal) (holes, asked []plan.HolePlace) {
	for _, h := range d.Holes {
		if h.Use {
			holes = append(holes, h)
			if h.Ask > 0 {
				asked = append(asked, h)
			}
		}
	}
	return holes, asked
}

func distalLine(p plan.Plan) SheetLine {
	l := SheetLine{Part: "distal", Title: "Distal", Result: "Waits for the nail", State: Open}
	holes, asked := used(p.Distal)
	if len(holes) == 0 {
		if p.Nail.Part != nil {
			l.Result = "Not decided yet"
		}
		l.Detail = detail(p, "distal", DistalScrews(p.Locking.Distal))
		return l
	}
	l.Result = capital(DistalScrews(len(holes))) + ", " + Locked(p.Distal)
	l.State = state(len(asked) == len(holes))
	var sizes []string
	for _, h := range asked {
		sizes = append(sizes, Plain(h.Ask))
	}
	read := "depths not read yet"
	if len(sizes) > 0 {
		read = "ask for " + tie(strings.Join(sizes, " and ")+" mm")
	}
	far := ""
	if f := holes[0].ToFracture; f != nil && f.Best > 0 {
		far = Length(*f) + " beyond the fracture"
	}
	l.Detail = detail(p, "distal", read, far)
	return l
}

// KitCount says how many lines of the list for the theatre are on the shelf.
func KitCount(k plan.Kit) string {
	n := len(k.Items)
	if n == 0 {
		return "No list yet"
	}
	return strconv.Itoa(n-len(k.Missing)) + " of " + strconv.Itoa(n) + " on the shelf"
}

// KitMissing names what the shelf does not hold, at most three lines of it.
func KitMissing(k plan.Kit) string {
	var names []string
	for i, it := range k.Missing {
		if i == 3 {
			names = append(names, strconv.Itoa(len(k.Missing)-i)+" more")
			break
		}
		title, _ := KitItem(it)
		names = append(names, title)
	}
	if len(names) == 0 {
		return ""
	}
	return "missing: " + strings.Join(names, "; ")
}

func kitLine(p plan.Plan) SheetLine {
	l := SheetLine{Part: "kit", Title: "Kit", Result: KitCount(p.Kit)}
	l.State = state(p.Nail.Part != nil && len(p.Kit.Missing) == 0)
	if p.Nail.Part == nil {
		l.Result = "Waits for the nail"
	}
	l.Detail = detail(p, "kit", KitMissing(p.Kit))
	return l
}

func recordLine(c record.Case, p plan.Plan) SheetLine {
	l := SheetLine{Part: "record", Title: "Record", Result: "Nothing recorded yet", State: Open}
	nail := false
	for _, im := range c.Implants {
		nail = nail || im.Kind == "nail"
	}
	switch n := len(c.Implants); {
	case n == 1:
		l.Result = "One part recorded"
	case n > 1:
		l.Result = strconv.Itoa(n) + " parts recorded"
	}
	noNail, before := "", ""
	if len(c.Implants) > 0 && !nail {
		noNail = "the nail itself is not recorded"
	}
	switch n := len(c.Existing); {
	case n == 1:
		before = "one part was there before"
	case n > 1:
		before = strconv.Itoa(n) + " parts were there before"
	}
	l.Detail = detail(p, "record", noNail, before)
	l.State = state(nail)
	return l
}

func afterLine(p plan.Plan) SheetLine {
	l := SheetLine{Part: "after", Title: "After", Result: "Nothing measured yet", State: Open}
	a := p.Align
	var got []string
	score := ""
	if a.Turn != nil {
		got = append(got, "turned "+Turned(*a.Turn))
	}
	if a.Length != nil {
		got = append(got, Longer(*a.Length))
	}
	if n := len(p.Union.Scores); n > 0 {
		score = Score(p.Union.Scores[n-1])
		l.State = state(p.Union.Scores[n-1].United == record.Yes)
	} else {
		l.State = state(a.Turn != nil && a.Length != nil && count(p, "after", plan.Caution)+count(p, "after", plan.Missing) == 0)
	}
	leg := capital(strings.Join(got, ", "))
	switch {
	case score != "":
		l.Result = score
	case leg != "":
		l.Result, leg = leg, ""
	}
	gap := ""
	if a.Gap != nil {
		gap = "gap " + Length(*a.Gap)
	}
	l.Detail = detail(p, "after", leg, gap)
	return l
}

// Turned prints a turn of the lower piece with its direction in words. A turn
// that its doubt covers has none.
func Turned(a units.Angle) string {
	size := a
	size.Best = units.Deg(math.Abs(float64(a.Best)))
	s := Angle(size)
	switch {
	case math.Abs(float64(a.Best)) <= units.Sure*float64(a.Own):
		return s + ", no direction sure"
	case a.Best > 0:
		return s + " outwards"
	}
	return s + " inwards"
}

// Longer prints a difference of the legs with its direction in words. A
// difference that its doubt covers has none.
func Longer(l units.Length) string {
	size := l
	if l.Best < 0 {
		size = l.Times(-1)
	}
	s := Length(size)
	switch {
	case l.Best == 0 && l.Doubt() == 0:
		return "no difference in length"
	case size.Best <= units.Sure*l.Doubt():
		return s + " apart, not surely longer or shorter"
	case l.Best > 0:
		return s + " too long"
	}
	return s + " too short"
}

// Score prints a score of union with its scale and what it says.
func Score(u plan.UnionScore) string {
	s := wordText("scale", u.Scale) + nbsp + strconv.Itoa(u.Score) + " of " + strconv.Itoa(u.Hi)
	switch u.United {
	case record.Yes:
		return s + ": united"
	case record.No:
		return s + ": not united"
	}
	return s + ": too close to call"
}
