package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// What is compared between the legs.
const (
	turnArm    = "arm"
	turnLesser = "lesser"
	turnLength = "length"
	turnGap    = "gap"
)

// angleTyped is a typed number of degrees, or nil.
func (p *Page) angleTyped(key string) *units.Deg {
	n := p.number(key)
	if n == nil {
		return nil
	}
	d := units.Deg(*n)
	return &d
}

func (p *Page) armOf(leg string) plan.Arc {
	return plan.Arc{Condyles: p.angleTyped("turn." + leg + ".condyles"), Neck: p.angleTyped("turn." + leg + ".neck")}
}

func (p *Page) armTurn() plan.TurnAnswer {
	return plan.TurnFrom(p.armOf("injured"), p.armOf("sound"), plan.DefaultPolicy())
}

func (p *Page) lengthAnswer() plan.Answered {
	return plan.LengthDiff(p.number("turn.length.injured"), p.number("turn.length.sound"), plan.DefaultPolicy())
}

func (p *Page) lesserAnswer() plan.Answered {
	return plan.LesserFrom(p.number("turn.lesser.injured"), p.number("turn.lesser.sound"))
}

func (p *Page) turnLine() string {
	if !p.ready {
		return ""
	}
	out := ""
	if a := p.armTurn(); a.Angle != nil {
		out = "turned " + text.Turned(*a.Angle)
	}
	if a := p.lengthAnswer(); a.Length != nil {
		if out != "" {
			out += "; "
		}
		out += text.Longer(*a.Length)
	}
	if out == "" {
		return "nothing entered"
	}
	return out
}

// sizeTurn compares turn and length of the injured leg with the sound one.
func (p *Page) sizeTurn() *view {
	v := newView("sizes", "Turn and length", "/sizes")
	v.add(p.staleUI(v), p.sizeTabs(v, "turn.what", turnArm, "What is compared",
		option{turnArm, "Turn"}, option{turnLesser, "Trochanter"}, option{turnLength, "Length"}, option{turnGap, "Gap"}))
	switch p.wordOr("turn.what", turnArm) {
	case turnLesser:
		p.lesserUI(v)
	case turnLength:
		p.lengthUI(v)
	case turnGap:
		p.gapUI(v)
	default:
		p.armUI(v)
	}
	return v
}

// turnBox is the answer of a turn with what to do with the foot.
func turnBox(key string, t *units.Angle, open string) app.UI {
	if t == nil {
		return askUI(key, sizeBox("", "", true), open, "Measure both legs in one way: there is no normal value to go by.", nil)
	}
	return askUI(key, sizeBox(text.DegreesAbout(*t), "°", false), text.FootSays(*t), text.Turned(*t)+", against the sound femur", nil)
}

func (p *Page) sideRow(v *view) app.UI {
	return p.sizePick(v, "turn.side", "Injured leg", "for the drawing", option{"left", "Left"}, option{"right", "Right"})
}

func (p *Page) armUI(v *view) {
	a := p.armTurn()
	var keys []app.UI
	typed := false
	for _, leg := range []struct{ key, name string }{{"injured", "Injured"}, {"sound", "Sound"}} {
		for _, at := range []struct{ key, name string }{{"condyles", "condyles in line"}, {"neck", "neck in line with the shaft"}} {
			k := "turn." + leg.key + "." + at.key
			typed = typed || p.number(k) != nil
			keys = append(keys, p.sizeRow(v, k, leg.name+": "+at.name, "", "°", -90, 180, 1))
		}
	}
	if typed {
		keys = append(keys, p.sayProblems(a.Problems)...)
	}
	keys = append(keys, p.sideRow(v))
	pic := nothingDrawn()
	if a.Injured != nil || a.Sound != nil {
		pic = svg(drawing.Turn(drawing.TurnInput{ID: "turn", Side: anatomy.Side(p.word("turn.side")), Injured: a.Injured, Sound: a.Sound, Turn: a.Angle}))
	}
	rest := []app.UI{
		app.P().Class("care").Text("Count each leg’s angles so that a neck that points forwards comes out positive: the legs are mirrored. Angle of the image intensifier with the condyles over each other, then with the neck in line with the shaft."),
		p.whyUI(v, "why-turn", "Why this turn?", a.Why...)}
	v.add(calc([]app.UI{turnBox("turn", a.Angle, "No turn yet")}, keys, []app.UI{pic}, rest))
	v.ready = a.Angle != nil
}

func (p *Page) lesserUI(v *view) {
	a := p.lesserAnswer()
	injured, sound := p.number("turn.lesser.injured"), p.number("turn.lesser.sound")
	keys := []app.UI{
		p.sizeRow(v, "turn.lesser.injured", "Injured: lateral cortex to its tip", "lesser trochanter, kneecap forwards", "mm", 20, 100, 0.5),
		p.sizeRow(v, "turn.lesser.sound", "Sound: the same", "same magnification, kneecap forwards", "mm", 20, 100, 0.5)}
	pic := nothingDrawn()
	if injured != nil || sound != nil {
		keys = append(keys, p.sayProblems(a.Problems)...)
	}
	if injured != nil && sound != nil {
		pic = svg(drawing.Pair(drawing.PairInput{ID: "lesser", Title: "Profile of the lesser trochanter", First: drawing.Bar{Name: "injured", Of: *injured}, Second: drawing.Bar{Name: "sound", Of: *sound}, Between: "differ by"}))
	}
	rest := []app.UI{
		app.P().Class("care").Text("An aid and no proof: in patients no better than looking. Trust the angles of the image intensifier before it."),
		p.whyUI(v, "why-lesser", "Why this turn?", a.Why...)}
	v.add(calc([]app.UI{turnBox("lesser", a.Angle, "No turn yet")}, keys, []app.UI{pic}, rest))
	v.ready = a.Angle != nil
}

func (p *Page) lengthUI(v *view) {
	a, policy := p.lengthAnswer(), plan.DefaultPolicy()
	injured, sound := p.number("turn.length.injured"), p.number("turn.length.sound")
	keys := []app.UI{
		p.sizeRow(v, "turn.length.injured", "Injured femur", "true size, or both on one ruler", "mm", 150, 700, 1),
		p.sizeRow(v, "turn.length.sound", "Sound femur", "between the same two places", "mm", 150, 700, 1)}
	if injured != nil || sound != nil {
		keys = append(keys, p.sayProblems(a.Problems)...)
	}
	ask, pic := askUI("length", sizeBox("", "", true), "No difference yet", "Measure both legs in one way.", nil), nothingDrawn()
	if a.Length != nil {
		size := *a.Length
		if size.Best < 0 {
			size = size.Times(-1)
		}
		ask = askUI("length", sizeBox(text.Whole(size), "mm", false), text.LegSays(*a.Length),
			"talked about from "+text.MM(policy.LengthDiscuss)+", corrected above "+text.MM(policy.LengthCorrect), nil)
		pic = svg(drawing.Pair(drawing.PairInput{ID: "length", Title: "Length of both femora", First: drawing.Bar{Name: "injured", Of: *injured}, Second: drawing.Bar{Name: "sound", Of: *sound},
			Between: "differ by", Hatch: len(a.Problems) > 0}))
	}
	v.add(calc([]app.UI{ask}, keys, []app.UI{pic}, []app.UI{p.whyUI(v, "why-length", "Why this difference?", a.Why...)}))
	v.ready = a.Length != nil
}

func (p *Page) gapUI(v *view) {
	policy := plan.DefaultPolicy()
	keys := []app.UI{
		p.sizeRow(v, "turn.gap", "Widest gap of the fracture", "on either view, true size", "mm", 0, 200, 0.5),
		p.sizePick(v, "turn.simple", "Simple fracture?", "two pieces, no wedge", yesNoUnsure()...)}
	ask, pic := askUI("gap", sizeBox("", "", true), "No gap yet", "Enter what is asked below.", nil), nothingDrawn()
	var why []plan.Reason
	if gap := p.number("turn.gap"); gap != nil {
		a := plan.GapFrom(*gap, p.answerTyped("turn.simple"), policy)
		keys, why = append(keys, p.sayProblems(a.Problems)...), a.Why
		wide := len(a.Problems) > 0
		if a.Length != nil {
			v.ready = true
			title := "Gap under the limit of " + text.MM(policy.GapLimit)
			switch {
			case p.answerTyped("turn.simple") == record.No:
				title = "Not judged: the limit is of simple fractures"
			case wide && *gap >= policy.GapLimit:
				title = "Gap over the limit of " + text.MM(policy.GapLimit)
			case wide:
				title = "Gap too near " + text.MM(policy.GapLimit) + " to call"
			}
			ask = askUI("gap", sizeBox(text.Whole(*a.Length), "mm", false), title, "close it before you lock", nil)
			pic = svg(drawing.Pair(drawing.PairInput{ID: "gap", Title: "Gap of the fracture", First: drawing.Bar{Name: "gap", Of: *gap}, Second: drawing.Bar{Name: "limit", Of: policy.GapLimit}, Between: "apart by", Hatch: wide}))
		}
	}
	v.add(calc([]app.UI{ask}, keys, []app.UI{pic}, []app.UI{p.whyUI(v, "why-gap", "Why that limit?", why...)}))
}
