package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// nailScreen shows the nail of a case, its neighbours and the reaming.
func (p *Page) nailScreen(c record.Case, home string) *view {
	v := newView("cases", "Nail", home)
	pl := p.s.Plan()
	v.add(nailAsk(pl.Nail), p.invented())
	v.add(problemsOf(pl.Problems, plan.PartNail)...)
	v.add(nailTable(pl.Nail))
	v.add(reamingUI(pl.Reaming))
	v.add(p.seatUI(v, c, pl)...)
	policy, _ := plan.PolicyFrom(c.Settings)
	if pl.Nail.Room != nil {
		v.add(svg(drawing.Length(drawing.LengthFromPlan(pl))))
	}
	if pl.Bone.Canal != nil {
		v.add(svg(drawing.Canal(drawing.CanalFromPlan(pl, policy.CanalAmber))))
	}
	v.add(p.whyUI(v, "why-length", "Why this length?", pl.Nail.WhyLength...))
	v.add(p.whyUI(v, "why-dia", "Why this diameter?", pl.Nail.WhyDia...))
	v.add(p.whyUI(v, "why-ream", "Why these reamers?", pl.Reaming.Why...))
	v.add(p.whyUI(v, "lost", "What is lost", pl.Nail.Lost...))
	v.add(p.doubtUI(c, "doubt-length", "Where the doubt of the length comes from", "the length", func(ch plan.Chances) plan.PartChances { return ch.Length }))
	v.add(p.doubtUI(c, "doubt-dia", "Where the doubt of the diameter comes from", "the diameter", func(ch plan.Chances) plan.PartChances { return ch.Diameter }))
	v.add(p.policyRows(v, c, plan.PartNail)...)
	v.ready = pl.Nail.Length > 0
	return v
}

// nailAsk is the box with the nail to ask for.
func nailAsk(n plan.NailChoice) app.UI {
	beside, below := first(text.NailDetail(n))
	return askUI("nail", nailBox(n), text.NailAsk(n), beside, below)
}

func nailBox(n plan.NailChoice) app.UI {
	if n.Length == 0 && n.Diameter == 0 {
		return app.Div().Class("part wide none").Text("open")
	}
	return app.Div().Class("part wide").Body(app.Text(text.NailSize(n)), app.I().Text("mm"))
}

// nailTable is the shortlist with the chance of each length.
func nailTable(n plan.NailChoice) app.UI {
	if len(n.Sizes) == 0 {
		return nil
	}
	rows := []app.UI{app.Tr().Body(app.Th().Text("Length"), app.Th().Class("n").Text("right"), app.Th().Class("n").Text("too long"), app.Th().Class("n").Text("in stock"))}
	for _, s := range n.Sizes {
		tr := app.Tr()
		if s.Value == n.Length {
			tr = tr.Class("chosen")
		}
		rows = append(rows, tr.Body(
			app.Td().Text(text.MM(s.Value)), app.Td().Class("n").Text(text.Percent(s.Right)),
			app.Td().Class("n").Text(text.Percent(s.TooLong)), app.Td().Class("n").Text(text.Count(s.Stock))))
	}
	return app.Table().Body(app.TBody().Body(rows...))
}

// reamingUI is the list of reamer heads in the order of use.
func reamingUI(r plan.Reaming) app.UI {
	if len(r.Heads) == 0 {
		return nil
	}
	box := app.Div().Class("part wide").Body(app.Text(text.Plain(r.Final)), app.I().Text("mm"))
	return askUI("reaming", box, "Ream to "+text.MM(r.Final), text.Heads(r.Heads), []string{text.ReamStops(r), text.MissingHeads(r.Missing)})
}
