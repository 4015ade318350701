package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/units"
)

func (p *Page) nailReadings() plan.NailReadings {
	how := p.word("nail.how")
	if how == "" {
		how = plan.HowRods
	}
	in := plan.NailReadings{How: how, Side: anatomy.Side(p.word("nail.side")), Rod: p.number("nail.rod"), Out: p.number("nail.out"),
		OnBone: p.answerTyped("nail.bone"), Ruler: p.number("nail.ruler"), Film: p.number("nail.film"),
		Reduced: p.answerTyped("nail.reduced"), Canal: p.number("nail.canal")}
	if how == plan.HowFilm {
		in.Factor = p.scaleAnswer().Factor
	}
	return in
}

func (p *Page) nailAnswer() plan.NailAnswer {
	policy := p.bedsidePolicy(map[string]string{"burial_mm": "nail.burial"})
	return plan.NailFrom(p.nailReadings(), p.s.Shelf(), policy)
}

func (p *Page) nailLine() string {
	if !p.ready {
		return ""
	}
	a := p.nailAnswer()
	if a.Nail.Length == 0 && a.Nail.Diameter == 0 {
		return "nothing entered"
	}
	return text.NailSize(a.Nail) + " mm"
}

// sizeNail gives the nail and its reamers from rods, a ruler or a film.
func (p *Page) sizeNail() *view {
	v := newView("sizes", "Nail", "/sizes")
	a := p.nailAnswer()
	in := p.nailReadings()
	v.aside = string(in.Side)
	v.add(p.staleUI(v), v.tabs(p, p.typedOr("nail.how", plan.HowRods, &row{label: "How the length is found", kind: choiceRow, opts: []option{
		{plan.HowRods, "Two rods"}, {plan.HowRuler, "Ruler"}, {plan.HowFilm, "Film"}}})))
	keys := append(p.nailRows(v, in), p.sayProblems(a.Problems)...)
	rest := []app.UI{
		p.whyUI(v, "why-nail-length", "Why this length?", append(a.Why, a.Nail.WhyLength...)...),
		p.whyUI(v, "why-nail-dia", "Why this diameter?", a.Nail.WhyDia...),
		p.whyUI(v, "why-nail-ream", "Why these reamers?", a.Reaming.Why...),
		p.whyUI(v, "nail-lost", "What is lost", a.Nail.Lost...)}
	v.add(calc([]app.UI{nailAsk(a.Nail), p.invented()}, keys, []app.UI{nailTable(a.Nail), reamingUI(a.Reaming), p.nailPicture(in, a)}, rest))
	v.ready = a.Nail.Length > 0 || a.Nail.Diameter > 0
	return v
}

func (p *Page) nailRows(v *view, in plan.NailReadings) []app.UI {
	var rows []app.UI
	mm := func(key, label, note string, lo, hi float64) {
		rows = append(rows, v.row(p, p.typed(key, &row{label: label, note: note, unit: "mm", lo: lo, hi: hi, step: 1})))
	}
	answer := func(key, label, note string) {
		rows = append(rows, v.row(p, p.typed(key, &row{kind: choiceRow, label: label, note: note, opts: yesNoUnsure()})))
	}
	canal := "Canal at the isthmus"
	switch in.How {
	case plan.HowFilm:
		rows = append(rows, p.factorUI(in.Factor))
		mm("nail.film", "On the film, tip to target", "as the film shows it, not corrected", 200, 900)
		canal = "Canal on the film"
	case plan.HowRuler:
		mm("nail.ruler", "Ruler on the skin, tip to target", "the skin reads too long", 230, 600)
	default:
		mm("nail.rod", "Length of a rod", "two rods of equal length, side by side", 300, 1500)
		mm("nail.out", "Stands out", "between the outer ends", 0, 1500)
		answer("nail.bone", "Second rod's tip on bone?", "off the bone reads too long")
	}
	answer("nail.reduced", "Bone at its length?", "pulled apart reads too long, pushed together too short")
	canalNote := "narrowest place, true size"
	if in.How == plan.HowFilm {
		canalNote = "narrowest place, as the film shows it"
	}
	rows = append(rows, v.row(p, p.typed("nail.canal", &row{label: canal, note: canalNote, unit: "mm", lo: 4, hi: 40, step: 0.5})))
	rows = append(rows, v.row(p, p.typed("nail.side", &row{kind: choiceRow, label: "Side", opts: []option{{"left", "Left"}, {"right", "Right"}}})))
	burial := plan.DefaultPolicy().Burial
	rows = append(rows, v.row(p, p.typedOr("nail.burial", text.Plain(burial), &row{label: "Nail below the tip", note: "burial; common practice, 0 to 15", unit: "mm", lo: 0, hi: 15, step: 1})))
	return rows
}

// factorUI says which magnification is used, or where to find one.
func (p *Page) factorUI(m *units.Ratio) app.UI {
	words := "No magnification yet: find it first."
	if m != nil {
		words = "Magnification " + text.Factor(*m)
	}
	return app.A().Class("link").Href("/sizes/scale").Text(words + " Change it in Magnification.")
}

// nailPicture draws the length and the canal, as far as they are known.
func (p *Page) nailPicture(in plan.NailReadings, a plan.NailAnswer) app.UI {
	var kids []app.UI
	if a.Nail.Room != nil {
		l := drawing.LengthInput{ID: "length", Bone: a.Bone, Room: a.Nail.Room, Sizes: a.Nail.Sizes, Nail: a.Nail.Length}
		if in.How == plan.HowRods && in.Rod != nil && in.Out != nil {
			l.Rods = &drawing.RodPair{Rod: *in.Rod, StandsOut: *in.Out}
		}
		if in.How == plan.HowFilm && in.Film != nil && in.Factor != nil {
			l.Film = &drawing.FilmLength{Seen: *in.Film, Magnification: in.Factor.Best}
		}
		kids = append(kids, svg(drawing.Length(l)))
	}
	if a.Canal != nil && a.Nail.Diameter > 0 {
		kids = append(kids, svg(drawing.Canal(drawing.CanalInput{ID: "canal", Canal: a.Canal, Nail: a.Nail.Diameter, Final: a.Reaming.Final,
			Heads: a.Reaming.Heads, Missing: a.Reaming.Missing, Narrow: plan.DefaultPolicy().CanalAmber})))
	}
	return app.Div().Body(kids...)
}
