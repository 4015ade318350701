package screen

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/practice"
	"isthmus/core/record"
)

// A truthJob asks the film worker what is true of a practice case.
type truthJob struct {
	key string
	got *practice.Truth
	err error
}

// truthOf returns what is known of the truth so far, and asks for it when it
// was not asked for yet.
func (p *Page) truthOf(key string) *truthJob {
	if p.truth != nil && p.truth.key == key {
		return p.truth
	}
	job := &truthJob{key: key}
	p.truth = job
	p.background(func(c context.Context) {
		t, err := p.s.PracticeTruth(c, key)
		p.later(func() {
			if job.err = err; err == nil {
				job.got = &t
			}
		})
	})
	return job
}

// compareScreen sets what was measured in a practice case beside what is true
// of the bone, once somebody has asked for it.
func (p *Page) compareScreen(c record.Case, home string) *view {
	if c.Practice == "" {
		return p.noPartScreen(c, home)
	}
	v := newView("cases", "Compare", home)
	v.on("practice-reveal", func(string) { p.s.Reveal(c.ID) })
	v.on("practice-again", func(string) { p.truth = nil })
	v.add(practiceLarge(c))
	switch {
	case !state.PracticeMeasured(c, p.s.Plan()):
		v.add(app.P().Class("note").DataSet("compare", "nothing").Text(text.Error(&practice.NothingError{})))
	case !p.s.Revealed(c.ID):
		v.add(app.P().Class("partline").Text("When you have measured what you need and the plan shows the nail you would ask for, look at what is true. It cannot be unseen: what you measure afterwards is no practice any more."),
			app.Div().Class("acts").Body(act("main", "Compare with what is true", "practice-reveal")))
	default:
		v.add(p.comparison(c)...)
	}
	v.ready = true
	return v
}

// comparison is the whole of what is said in the end.
func (p *Page) comparison(c record.Case) []app.UI {
	job := p.truthOf(c.Practice)
	if job.err != nil {
		return []app.UI{app.P().Class("stop").Role("alert").Text(text.Error(job.err)), app.Div().Class("acts").Body(act("", "Try again", "practice-again"))}
	}
	if job.got == nil {
		return []app.UI{app.P().Class("note").Text("Asking what is true of this bone …")}
	}
	got, err := p.s.ComparePractice(*job.got)
	if err != nil {
		return []app.UI{app.P().Class("note").Text(text.Error(err))}
	}
	var out []app.UI
	good, bad := text.PracticeAnswers(got)
	for _, s := range bad {
		out = append(out, app.P().Class("stop").Text(s))
	}
	for _, s := range good {
		out = append(out, app.P().Class("partline").Text(s))
	}
	return append(out, app.H2().Class("group").Text("The nail"), nailsUI(got),
		app.H2().Class("group").Text("The measures"), app.P().Class("partline").Text(text.PracticeSum(got)+"."), measuresUI(got.Rows))
}

// nailsUI sets the two nails beside each other, and says what the difference
// means.
func nailsUI(c practice.Comparison) app.UI {
	row := func(who, key string, p plan.Plan) app.UI {
		return app.Tr().DataSet("nail", key).Body(app.Th().Scope("row").Text(who), app.Td().Body(app.B().Text(text.NailAsk(p.Nail)), app.Br(), app.Text(text.Pattern(p.Locking.Pattern))))
	}
	return app.Div().Body(
		app.Table().Body(app.TBody().Body(row("From your numbers", "measured", c.Mine), row("From the true ones", "truth", c.True))),
		app.P().Class("partline").DataSet("compare", "nail").Text(text.PracticeNail(c)))
}

// measuresUI is the table of the measures: of each its name and verdict over
// its three numbers, so that it fits a phone.
func measuresUI(rows []practice.Row) app.UI {
	parts := []app.UI{app.THead().Body(app.Tr().Body(app.Th().Scope("col").Text("You measured"), app.Th().Scope("col").Class("n").Text("True"), app.Th().Scope("col").Class("n").Text("Difference")))}
	for _, r := range rows {
		l := text.PracticeRow(r)
		verdict := app.Span().Class("verdict").Text(l.Verdict)
		if r.Measured() && !r.Holds {
			verdict = app.Span().Class("verdict out").Text("▲ " + l.Verdict)
		}
		lines := []app.UI{app.Tr().Class("of").Body(app.Th().Scope("rowgroup").ColSpan(3).Body(app.B().Text(l.Title), verdict))}
		if r.Measured() {
			lines = append(lines, app.Tr().Body(app.Td().Text(l.Got), app.Td().Class("n").Text(l.True), app.Td().Class("n").Text(l.Diff)))
		}
		if l.Why != "" {
			lines = append(lines, app.Tr().Body(app.Td().ColSpan(3).Class("cause").Text(l.Why)))
		}
		parts = append(parts, app.TBody().DataSet("measure", string(r.What)).Body(lines...))
	}
	return app.Table().Class("truth").Body(parts...)
}
