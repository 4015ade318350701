package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
)

func (p *Page) scaleReadings() plan.ScaleReadings {
	how := p.word("scale.how")
	if how == "" || how == plan.HowRuler {
		how = plan.HowMarker // a ruler is a long marker
	}
	in := plan.ScaleReadings{How: how, True: p.number("scale.true"), Seen: p.number("scale.seen"), AtBone: p.answerTyped("scale.depth"),
		SID: p.number("scale.sid"), SOD: p.number("scale.sod"), OID: p.number("scale.oid"), Film: p.number("scale.film")}
	if u := p.number("scale.usual"); u != nil {
		f := float64(*u)
		in.Usual = &f
	}
	return in
}

func (p *Page) scaleLine() string {
	if !p.ready {
		return ""
	}
	a := p.scaleAnswer()
	if a.Factor == nil {
		return "nothing entered"
	}
	return text.Factor(*a.Factor)
}

// scaleAnswer is the magnification in the way that was chosen.
func (p *Page) scaleAnswer() plan.ScaleAnswer {
	if in := p.scaleReadings(); in.How != twoBalls {
		return plan.ScaleFrom(in)
	}
	return plan.TwoMarkersFrom(p.ball("behind"), p.ball("front"), p.between(), p.number("scale.film"))
}

// sizeScale gives the magnification of a film, and corrects one length.
func (p *Page) sizeScale() *view {
	v := newView("sizes", "Magnification", "/sizes")
	a := p.scaleAnswer()
	how := p.typedOr("scale.how", plan.HowMarker, &row{label: "How the magnification is found", kind: choiceRow, opts: []option{
		{plan.HowMarker, "Marker"}, {plan.HowRuler, "Ruler"}, {twoBalls, "Two balls"}, {plan.HowDistances, "Distances"}, {plan.HowUsual, "Usual"}}})
	v.add(p.staleUI(v), v.tabs(p, how))
	ask := []app.UI{scaleAsk(a)}
	if a.Err != nil {
		ask = append(ask, app.P().Class("care").Role("alert").Text(text.Error(a.Err)))
	}
	keys := append(p.scaleRows(v, how.get()), p.sayProblems(a.Problems)...)
	rest := []app.UI{
		v.row(p, p.typed("scale.film", &row{label: "Correct a length on the film", note: "divided by the magnification, never multiplied", unit: "mm", lo: 1, hi: 1000, step: 1})),
		p.whyUI(v, "why-scale", "Why this magnification?", a.Why...)}
	v.add(calc(ask, keys, []app.UI{p.scalePicture()}, rest))
	v.ready = a.Factor != nil
	return v
}

func scaleAsk(a plan.ScaleAnswer) app.UI {
	if a.Factor == nil {
		return askUI("scale", app.Div().Class("part wide none").Text("open"), "No magnification yet", "Enter what is asked below.", nil)
	}
	factor := "Magnification " + text.Factor(*a.Factor)
	if a.Length != nil {
		box := app.Div().Class("part wide").Body(app.Text(text.Whole(*a.Length)), app.I().Text("mm"))
		return askUI("scale", box, "True length "+text.Length(*a.Length), factor, nil)
	}
	return askUI("scale", app.Div().Class("part wide").Text(text.FactorShort(*a.Factor)), factor, "Divide every length on this film by it.", nil)
}

func (p *Page) scaleRows(v *view, how string) []app.UI {
	mm := func(key, label, note string, lo, hi, step float64) app.UI {
		return v.row(p, p.typed(key, &row{label: label, note: note, unit: "mm", lo: lo, hi: hi, step: step}))
	}
	switch how {
	case plan.HowDistances:
		return []app.UI{
			mm("scale.sid", "Tube to detector", "SID", 500, 3000, 10),
			mm("scale.oid", "Bone to detector", "OID; or the next line", 0, 600, 5),
			mm("scale.sod", "Tube to bone", "SOD; or the line above", 300, 3000, 5)}
	case twoBalls:
		return p.ballRows(v)
	case plan.HowUsual:
		return []app.UI{v.row(p, p.typed("scale.usual", &row{label: "Usual magnification here", note: "assumed: patients differ by several per cent", unit: "×", lo: 1, hi: 1.6, step: 0.01}))}
	}
	true1, seen := "True size of the marker", "Its size on the film"
	if how == plan.HowRuler {
		true1, seen = "True length on the ruler", "The same on the film"
	}
	return []app.UI{
		mm("scale.true", true1, "ball, disc or coin: ball by its shorter axis, disc by its longer", 5, 500, 0.5),
		mm("scale.seen", seen, "", 5, 800, 0.1),
		v.row(p, p.typed("scale.depth", &row{kind: choiceRow, label: "At the depth of the bone?", note: "on the table the bone reads too long, on top of the thigh too short", opts: yesNoUnsure()}))}
}

// scalePicture draws the marker, or the exposure, where the numbers are known.
func (p *Page) scalePicture() app.UI {
	in := p.scaleReadings()
	if in.How == twoBalls {
		return p.ballPicture()
	}
	if in.How == plan.HowMarker && in.True != nil && in.Seen != nil {
		return svg(drawing.Marker(drawing.MarkerInput{ID: "marker", True: *in.True, Seen: *in.Seen}))
	}
	if e, ok := drawing.ExposureFrom(in.SID, in.SOD, in.OID); ok && in.How == plan.HowDistances {
		return svg(drawing.Magnify(e))
	}
	return app.P().Class("gloss").Text("The drawing, to scale, follows the numbers.")
}
