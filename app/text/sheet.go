package text

import (
	"strconv"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/record"
)

// A State says how far a part of the sheet is.
type State string

const (
	Open      State = "open"
	Settled   State = "settled"
	InDispute State = "dispute" // a person must settle something first
)

// A SheetLine is one part of the sheet: its name in the address, its title,
// the result in one line, the detail under it and how far it is.
type SheetLine struct {
	Part   string `json:"part"`
	Title  string `json:"title"`
	Result string `json:"result"`
	Detail string `json:"detail,omitempty"`
	State  State  `json:"state"`
}

// Sheet returns the parts of a case in the order of the job.
func Sheet(c record.Case, p plan.Plan) []SheetLine {
	lines := []SheetLine{
		injuryLine(c, p), filmsLine(c, p), boneLine(p), nailLine(p), headLine(p), distalLine(p), kitLine(p), recordLine(c, p), afterLine(p),
	}
	for i, l := range lines {
		if stopped(p, l.Part) {
			lines[i].State = InDispute
		}
	}
	return lines
}

// shownUnder lists the parts of the plan that are shown under each line.
var shownUnder = map[string][]plan.Part{
	"injury": {plan.PartInjury}, "films": {plan.PartFilms}, "bone": {plan.PartBone},
	"nail": {plan.PartNail}, "head": {plan.PartHead}, "distal": {plan.PartDistal}, "kit": {plan.PartKit},
	"record": {plan.PartRemove}, "after": {plan.PartAfter},
}

func stopped(p plan.Plan, line string) bool { return count(p, line, plan.Stop) > 0 }

func count(p plan.Plan, line string, level plan.Level) (n int) {
	for _, q := range p.Problems {
		for _, part := range shownUnder[line] {
			if q.Part == part && q.Level == level {
				n++
			}
		}
	}
	return n
}

func state(settled bool) State {
	if settled {
		return Settled
	}
	return Open
}

// detail joins what is said under a line, and ends with what needs a look.
func detail(p plan.Plan, line string, parts ...string) string {
	var out []string
	for _, s := range parts {
		if s != "" {
			out = append(out, s)
		}
	}
	for _, l := range []struct {
		level     plan.Level
		one, many string
	}{{plan.Stop, "one stop", " stops"}, {plan.Caution, "one caution", " cautions"}, {plan.Missing, "one thing missing", " things missing"}} {
		switch n := count(p, line, l.level); n {
		case 0:
		case 1:
			out = append(out, l.one)
		default:
			out = append(out, strconv.Itoa(n)+l.many)
		}
	}
	return strings.Join(out, " · ")
}

func injuryLine(c record.Case, p plan.Plan) SheetLine {
	l := SheetLine{Part: "injury", Title: "Injury", Result: capital(Pattern(p.Locking.Pattern)), State: state(p.Locking.Pattern != plan.NoPattern && count(p, "injury", plan.Missing) == 0)}
	if p.Locking.Pattern == plan.NoPattern && p.Locking.RunnerUp != plan.NoPattern {
		l.Result = "Cannot tell yet; " + Pattern(p.Locking.RunnerUp) + " is the safer"
	}
	where := ""
	if c.Injury.Level != record.NoLevel {
		where = Level(c.Injury.Level)
	}
	side := "side not given"
	if c.Side.Valid() {
		side = string(c.Side)
	}
	l.Detail = detail(p, "injury", side, c.Injury.Code, where, woundShort(c.Injury.Wound), neckShort(c.Injury, p.Class))
	return l
}

func filmsLine(c record.Case, p plan.Plan) SheetLine {
	usable := 0
	l := SheetLine{Part: "films", Title: "Films"}
	for _, s := range p.Scales {
		if s.Plane.Usable() {
			usable++
		}
	}
	n := len(c.Films)
	switch {
	case n == 0:
		l.Result = "No film yet"
	case n == 1 && usable == 1:
		l.Result = "One film, with a scale"
	case n == 1:
		l.Result = "One film, no scale yet"
	case usable == n:
		l.Result = strconv.Itoa(n) + " films, all with a scale"
	default:
		l.Result = strconv.Itoa(n) + " films, " + strconv.Itoa(usable) + " with a scale"
	}
	l.State = state(n > 0 && usable == n)
	l.Detail = detail(p, "films")
	return l
}

func boneLine(p plan.Plan) SheetLine {
	b := p.Bone
	l := SheetLine{Part: "bone", Title: "Bone", State: state(b.Length != nil && b.Canal != nil)}
	length, canal := "length not measured", "canal not measured"
	if b.Length != nil {
		length = Length(*b.Length) + " long"
	}
	if b.Disputed {
		length = "two lengths disagree"
	}
	if b.Canal != nil {
		canal = "canal " + Length(*b.Canal)
	}
	l.Result = capital(length + ", " + canal)
	routes := ""
	if n := len(b.Routes); n > 1 {
		routes = strconv.Itoa(n) + " ways of measuring"
	} else if n == 1 {
		routes = RouteTitle(b.Routes[0])
	}
	l.Detail = detail(p, "bone", routes)
	return l
}

func nailLine(p plan.Plan) SheetLine {
	n := p.Nail
	l := SheetLine{Part: "nail", Title: "Nail", Result: NailAsk(n), State: state(n.Part != nil && !n.Close)}
	tooClose, ream := "", ""
	if n.Close {
		tooClose = "too close to call: have the neighbours in the room"
	}
	if len(p.Reaming.Heads) > 0 {
		ream = "ream to " + MM(p.Reaming.Final)
	}
	l.Detail = detail(p, "nail", tooClose, ream)
	return l
}

func headLine(p plan.Plan) SheetLine {
	l := SheetLine{Part: "head", Title: "Head"}
	lower, upper := p.Head.Lower, p.Head.Upper
	switch {
	case p.Locking.Pattern == plan.Standard:
		l.Result, l.State = "No head screws", Settled
	case p.Locking.Pattern == plan.NoPattern:
		l.Result, l.State = "Waits for the locking", Open
	case lower.Ask > 0 && upper.Ask > 0:
		l.Result, l.State = "Lower "+MM(lower.Ask)+", upper "+MM(upper.Ask), state(lower.Measured && upper.Measured)
	case lower.Ask > 0:
		l.Result, l.State = "Lower "+MM(lower.Ask)+", upper open", Open
	case upper.Ask > 0:
		l.Result, l.State = "Upper "+MM(upper.Ask)+", lower open", Open
	default:
		l.Result, l.State = "Head screws not decided yet", Open
	}
	measured := ""
	if p.Locking.Pattern == plan.HeadLock && (lower.Ask > 0 && !lower.Measured || upper.Ask > 0 && !upper.Measured) {
		measured = "from the film: measure the wire at the table"
	}
	l.Detail = detail(p, "head", measured)
	return l
}
