package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// bedsidePolicy is the default policy with what was typed at the bedside.
func (p *Page) bedsidePolicy(typed map[string]string) plan.Policy {
	var set []record.Setting
	for key, row := range typed {
		if v := p.number(row); v != nil {
			set = append(set, record.Setting{Key: key, Value: float64(*v)})
		}
	}
	policy, _ := plan.PolicyFrom(set)
	return policy
}

func (p *Page) headPlace() implant.Place {
	if p.word("head.which") == string(implant.Upper) {
		return implant.Upper
	}
	return implant.Lower
}

func (p *Page) wireReading(place implant.Place) record.Reading {
	k := "head." + string(place) + "."
	kind := record.WireLower
	if place == implant.Upper {
		kind = record.WireUpper
	}
	return record.Reading{Kind: kind, First: p.number(k + "depth"), OnBone: p.answerTyped(k + "bone"),
		OffBone: p.number(k + "off"), GapLeft: p.number(k + "left"), Subtracts: p.number(k + "takes")}
}

func (p *Page) headPolicy() plan.Policy {
	return p.bedsidePolicy(map[string]string{"head_clearance_mm": "head.keep"})
}

func (p *Page) headChoice(place implant.Place) plan.ScrewChoice {
	policy := p.headPolicy()
	shelf := p.s.Shelf()
	return plan.ScrewFromDepth(p.wireReading(place), place, plan.HeadDiameterOf(shelf), shelf, policy)
}

func (p *Page) headLine() string {
	if !p.ready {
		return ""
	}
	lower, upper := p.headChoice(implant.Lower), p.headChoice(implant.Upper)
	switch {
	case lower.Ask == 0 && upper.Ask == 0:
		return "nothing entered"
	case upper.Ask == 0:
		return "lower " + text.MM(lower.Ask)
	case lower.Ask == 0:
		return "upper " + text.MM(upper.Ask)
	}
	return "lower " + text.MM(lower.Ask) + ", upper " + text.MM(upper.Ask)
}

// sizeHead gives the length of a head screw from the depth of its wire.
func (p *Page) sizeHead() *view {
	v := newView("sizes", "Head screw", "/sizes")
	place := p.headPlace()
	other := implant.Upper
	if place == implant.Upper {
		other = implant.Lower
	}
	k := "head." + string(place) + "."
	s := p.headChoice(place)
	if o := p.headChoice(other); o.Ask > 0 {
		v.aside = string(other) + " " + text.MM(o.Ask)
	}
	v.add(p.staleUI(v), v.tabs(p, p.typedOr("head.which", string(implant.Lower), &row{label: "Which screw", kind: choiceRow,
		opts: []option{{string(implant.Lower), "Lower"}, {string(implant.Upper), "Upper"}}})))
	keys := []app.UI{
		v.row(p, p.typed(k+"depth", &row{label: "Gauge reads", unit: "mm", lo: 20, hi: 200, step: 1})),
		v.row(p, p.typed(k+"bone", &row{kind: choiceRow, label: "Sleeve on bone?", opts: yesNoUnsure()})),
	}
	if p.word(k+"bone") == "no" {
		keys = append(keys, v.row(p, p.typed(k+"off", &row{label: "Gap under the sleeve", note: "taken off the reading", unit: "mm", lo: 0, hi: 60, step: 1})))
	}
	keys = append(keys, p.sayProblems(s.Problems)...)
	keep := plan.DefaultPolicy().HeadClearance
	rest := []app.UI{
		v.row(p, p.typed(k+"left", &row{label: "Wire stops short of the joint by", note: "if known, seen in both views", unit: "mm", lo: 0, hi: 40, step: 1})),
		v.row(p, p.typed(k+"takes", &row{label: "Gauge already takes off", note: "if it shows a screw length, not a depth", unit: "mm", lo: 0, hi: 20, step: 1})),
		v.row(p, p.typedOr("head.keep", text.Plain(keep), &row{label: "Keep from the joint", note: "policy " + text.MM(keep) + ", range 3 to 10; common practice", unit: "mm", lo: 3, hi: 10, step: 1})),
		v.row(p, p.typed("head.side", &row{kind: choiceRow, label: "Side", note: "for the drawing", opts: []option{{"left", "Left"}, {"right", "Right"}}})),
		app.Div().Class("care").Body(app.Text("A sleeve off the bone reads "), app.Strong().Text("too long"), app.Text(" by the gap: the screw would end that much deeper. Look at the tip in both views while it goes in.")),
		p.whyUI(v, "why-screw", "Why this length?", s.Why...)}
	v.add(calc([]app.UI{screwAsk(place, s), p.stepDrill(s.Ask), p.invented()}, keys, []app.UI{p.headPicture(place, s, p.headPolicy().HeadClearance)}, rest))
	v.ready = s.Ask > 0
	return v
}

func (p *Page) sayProblems(ps []plan.Problem) []app.UI {
	var out []app.UI
	for _, q := range ps {
		out = append(out, problemUI(q))
	}
	return out
}

// typedOr is a typed row that stands at a value until another is chosen.
func (p *Page) typedOr(key, usual string, r *row) *row {
	r = p.typed(key, r)
	get := r.get
	r.get = func() string {
		if s := get(); s != "" {
			return s
		}
		return usual
	}
	return r
}

func (p *Page) headPicture(place implant.Place, s plan.ScrewChoice, clearance units.MM) app.UI {
	r := p.wireReading(place)
	if r.First == nil {
		return app.P().Class("gloss").Text("Enter what the gauge shows: the drawing follows.")
	}
	in, ok := drawing.HeadScrewFromChoice(r, s, clearance)
	if !ok {
		return app.P().Class("gloss").Text("Say whether the sleeve is on bone: the drawing follows.")
	}
	in.Place, in.Side = place, anatomy.Side(p.word("head.side"))
	return svg(drawing.HeadScrew(in))
}
