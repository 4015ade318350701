package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// tipTrue is the true diameter of the screw: typed, or that of every head
// screw of the shelf.
func (p *Page) tipTrue() *units.MM {
	if d := plan.HeadDiameterOf(p.s.Shelf()); d > 0 && p.empty("tip.true") {
		return &d
	}
	return p.number("tip.true")
}

// A tipAnswer is the tip–apex distance of one screw, from both views.
type tipAnswer struct {
	of       *plan.TipApexResult // nil: something is missing
	calcar   *plan.TipApexResult // the same to the calcar; nil: not measured
	dia      units.MM
	problems []plan.Problem
}

func (p *Page) tipAnswer(place implant.Place) (a tipAnswer) {
	k := "tip." + string(place) + "."
	ap, apScrew, lat, latScrew, dia := p.number(k+"ap"), p.number(k+"apscrew"), p.number(k+"lat"), p.number(k+"latscrew"), p.tipTrue()
	for _, v := range []*units.MM{ap, apScrew, lat, latScrew, dia} {
		if v == nil {
			return a
		}
	}
	policy := plan.DefaultPolicy()
	side := plan.Imaged{Tip: *lat, Screw: *latScrew}
	r, problems := plan.TipApex(plan.Imaged{Tip: *ap, Screw: *apScrew}, side, *dia, policy)
	a.problems = problems
	if r.Why.Code == "" {
		return a
	}
	a.of, a.dia = &r, *dia
	if c := p.number(k + "calcar"); c != nil {
		// From the front the apex is replaced by the place on the calcar line;
		// what TipApex says of its limits does not hold for it.
		if r, _ := plan.TipApex(plan.Imaged{Tip: *c, Screw: *apScrew}, side, *dia, policy); r.Why.Code != "" {
			a.calcar = &r
		}
	}
	return a
}

func (p *Page) tipPlace() implant.Place {
	if p.word("tip.which") == string(implant.Upper) {
		return implant.Upper
	}
	return implant.Lower
}

func (p *Page) tipLine() string {
	if !p.ready {
		return ""
	}
	out := ""
	for _, place := range []implant.Place{implant.Lower, implant.Upper} {
		if a := p.tipAnswer(place); a.of != nil {
			if out != "" {
				out += ", "
			}
			out += string(place) + " " + text.Size(a.of.Distance) + "\u00a0mm"
		}
	}
	if out == "" {
		return "nothing entered"
	}
	return out
}

// sizeTip gives the tip–apex distance of a head screw from both views.
func (p *Page) sizeTip() *view {
	v := newView("sizes", "Tip–apex distance", "/sizes")
	place := p.tipPlace()
	a := p.tipAnswer(place)
	v.add(p.staleUI(v), v.tabs(p, p.typedOr("tip.which", string(implant.Lower), &row{label: "Which screw", kind: choiceRow,
		opts: []option{{string(implant.Lower), "Lower"}, {string(implant.Upper), "Upper"}}})))
	ask := append([]app.UI{tipAsk(place, a)}, p.sayProblems(a.problems)...)
	rest := []app.UI{
		p.tipRow(v, "calcar", "Tip to calcar, front", "optional; see below", 0, 100),
		app.P().Class("gloss").Text("To the calcar: from the tip to where a line along the neck, touching the inner calcar, meets the head."),
		app.P().Class("care").Text(text.TipLimits(plan.DefaultPolicy()))}
	if a.of != nil {
		rest = append(rest, p.whyUI(v, "why-tip", "Why this distance?", a.of.Why))
	}
	pic := []app.UI{app.P().Class("gloss").Text("The drawing, to scale, follows the numbers.")}
	if a.of != nil {
		pic = []app.UI{svg(drawing.TipApex(drawing.TipInput{ID: "tip", AP: a.of.AP, Lateral: a.of.Lateral, Dia: a.dia, Clearance: plan.DefaultPolicy().HeadClearance}))}
	}
	v.add(calc(ask, p.tipRows(v), pic, rest))
	v.ready = a.of != nil
	return v
}

func (p *Page) tipRow(v *view, key, label, note string, lo, hi float64) app.UI {
	return v.row(p, p.typed("tip."+string(p.tipPlace())+"."+key, &row{label: label, note: note, unit: "mm", lo: lo, hi: hi, step: 0.5}))
}

func (p *Page) tipRows(v *view) []app.UI {
	rows := []app.UI{
		p.tipRow(v, "ap", "Tip to apex, front", "on the image as it is", 0, 100),
		p.tipRow(v, "apscrew", "Screw across, front", "the screw itself is the scale", 1, 40),
		p.tipRow(v, "lat", "Tip to apex, side", "", 0, 100),
		p.tipRow(v, "latscrew", "Screw across, side", "each view has its own magnification", 1, 40)}
	r := &row{label: "Screw across, true", unit: "mm", lo: 1, hi: 20, step: 0.5}
	if d := plan.HeadDiameterOf(p.s.Shelf()); d > 0 {
		r.note = "from the shelf"
		return append(rows, v.row(p, p.typedOr("tip.true", text.Plain(d), r)))
	}
	return append(rows, v.row(p, p.typed("tip.true", r)))
}

func tipAsk(place implant.Place, a tipAnswer) app.UI {
	if a.of == nil {
		return askUI("tip", app.Div().Class("part wide none").Text("open"), "No distance yet", "Enter both views of the "+string(place)+" screw.", nil)
	}
	below := []string{text.Size(a.of.AP) + "\u00a0mm from the front and " + text.Size(a.of.Lateral) + "\u00a0mm from the side, true size"}
	if a.calcar != nil {
		below = append(below, "To the calcar "+text.Size(a.calcar.Distance)+"\u00a0mm: no limit that all agree on")
	}
	return askUI("tip", app.Div().Class("part").Body(app.Text(text.Size(a.of.Distance)), app.I().Text("mm")),
		"Tip–apex distance of the "+string(place)+" screw", "", below)
}
