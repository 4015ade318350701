package screen

import (
	"context"
	"errors"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// caseRoom chooses the screen of a case.
func (p *Page) caseRoom(at []string) *view {
	c, ok := p.s.Case()
	if len(at) < 2 || !ok || c.ID != at[1] {
		v := newView("cases", "Case", "/cases")
		v.add(app.P().Class("note").Text("Opening the case …"))
		return v
	}
	v := p.ofCase(c, at)
	if c.Practice != "" {
		v.mark = text.PracticeMark
	}
	return v
}

// ofCase is the sheet, a film or a part of the open case.
func (p *Page) ofCase(c record.Case, at []string) *view {
	home := "/case/" + c.ID
	if len(at) == 2 {
		return p.sheetScreen(c)
	}
	if at[2] == "film" {
		return p.filmScreen(c, at)
	}
	screen := p.partScreen(at[2])
	if screen == nil {
		screen = p.noPartScreen
	}
	v := screen(c, home)
	p.saved(v)
	p.undoActs(v)
	return v
}

// partScreen is the screen of one part of a case, in the order of the job.
func (p *Page) partScreen(part string) func(record.Case, string) *view {
	return map[string]func(record.Case, string) *view{
		"injury": p.injuryScreen, "films": p.filmsScreen, "bone": p.boneScreen, "nail": p.nailScreen, "head": p.headScreen,
		"distal": p.distalScreen, "kit": p.kitScreen, "record": p.recordScreen, "after": p.afterScreen, "removal": p.removalScreen,
		"practice": p.compareScreen,
	}[part]
}

func (p *Page) noPartScreen(_ record.Case, home string) *view {
	v := newView("cases", "Not here", home)
	v.add(app.P().Class("note").Text("A case has no such part. Go back to its sheet."))
	return v
}

// saved tells in the corner whether the last edit is written.
func (p *Page) saved(v *view) {
	switch st := p.s.Status(); st.State {
	case state.Saved:
		v.aside = "saved"
	case state.Saving:
		v.aside = "saving …"
	case state.NotSaved:
		v.aside, v.bad = "NOT SAVED", true
		v.on("save-again", func(string) { p.saveAgain() })
		v.on("keep-both", func(string) { p.keepBoth() })
		kids := []app.UI{app.P().Text(text.Error(st.Err)), app.Div().Class("acts").Body(act("", "Try again", "save-again"))}
		if changed := new(state.ChangedError); errors.As(st.Err, &changed) {
			kids[1] = app.Div().Class("acts").Body(act("", "Keep both copies", "keep-both"))
		}
		v.add(app.Div().Class("stop").Role("alert").Body(kids...))
	}
}

// saveAgain tries once more what could not be written.
func (p *Page) saveAgain() {
	p.background(func(c context.Context) {
		err := p.s.Flush(c)
		p.later(func() {
			if err != nil {
				p.tell(text.Error(err), "", "")
			}
		})
	})
}

// keepBoth lets this copy go on beside the one that another tab wrote.
func (p *Page) keepBoth() {
	p.background(func(c context.Context) {
		id, err := p.s.KeepBoth(c)
		p.later(func() {
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.to("/case/" + id)
		})
	})
}

func (p *Page) undoActs(v *view) {
	v.on("undo", func(string) { p.s.Undo() })
	v.on("redo", func(string) { p.s.Redo() })
	var kids []app.UI
	if what, ok := p.s.CanUndo(); ok {
		kids = append(kids, act("", "Undo: "+what, "undo"))
	}
	if what, ok := p.s.CanRedo(); ok {
		kids = append(kids, act("", "Redo: "+what, "redo"))
	}
	if len(kids) > 0 {
		v.add(app.Div().Class("acts").Body(kids...))
	}
}

// edit changes the case; an edit that is refused changes nothing.
func (p *Page) edit(what string, fn func(*record.Case) error) error {
	return p.s.Do(what, fn)
}

// sheetScreen is the case on one page.
func (p *Page) sheetScreen(c record.Case) *view {
	v := newView("cases", c.Label, "/cases")
	p.saved(v)
	if v.aside == "saved" && c.Side.Valid() {
		v.aside = string(c.Side) + " · saved"
	}
	pl := p.s.Plan()
	v.add(practiceLarge(c), p.invented(), practiceBrief(c))
	for _, problem := range stops(pl.Problems) {
		v.add(problemUI(problem))
	}
	var items []app.UI
	for _, line := range text.Sheet(c, pl) {
		items = append(items, sheetItem(c.ID, line))
	}
	v.add(app.Div().Class("sheet").Body(
		app.Div().Class("strip").Body(p.strip(c, pl)),
		app.Ol().Class("list").Body(items...)))
	p.undoActs(v)
	v.on("export-films", func(string) { p.export(true) })
	v.on("export-bare", func(string) { p.export(false) })
	v.add(app.Div().Class("acts").Body(
		act("main", "Export with films", "export-films"),
		act("", "Export without films", "export-bare"), act("", "Print", "print")))
	v.on("print", func(string) { p.print() })
	v.add(app.Div().Class("noprint").Body(v.row(p, &row{kind: textRow, key: "label", label: "What the team calls this case", note: "no patient name: the list shows it",
		get: func() string { return c.Label },
		set: func(s string) error {
			return p.edit("rename", func(c *record.Case) error { c.Label = s; return nil })
		}})))
	v.add(cautions())
	v.ready = true
	return v
}

func (p *Page) strip(c record.Case, pl plan.Plan) app.UI {
	picture, err := drawing.Strip(drawing.StripFromPlan(c, pl), drawing.Narrow)
	if err != nil {
		return app.P().Class("gloss strip-none").Text("The bone is drawn here, to scale, once its length is measured.")
	}
	return app.Raw(picture)
}

func sheetItem(id string, line text.SheetLine) app.UI {
	kids := []app.UI{app.Small().Text(line.Title), app.B().Text(line.Result)}
	if line.Detail != "" {
		kids = append(kids, app.Small().Text(line.Detail))
	}
	if line.State == text.InDispute {
		kids = append(kids, app.Span().Class("state").Text("▲ settle this"))
	}
	return app.Li().Class(string(line.State)).Body(app.A().Href("/case/" + id + "/" + line.Part).Body(kids...))
}

func stops(ps []plan.Problem) []plan.Problem {
	var out []plan.Problem
	for _, q := range ps {
		if q.Level == plan.Stop {
			out = append(out, q)
		}
	}
	return out
}

// quieter are the problems that are no stops.
func quieter(ps []plan.Problem) []plan.Problem {
	var out []plan.Problem
	for _, q := range ps {
		if q.Level != plan.Stop {
			out = append(out, q)
		}
	}
	return out
}

// problemUI shows a problem as loud as it is.
func problemUI(q plan.Problem) app.UI {
	title, do := text.Problem(q)
	class := map[plan.Level]string{plan.Stop: "stop", plan.Caution: "care"}[q.Level]
	if class == "" {
		class = "note"
	}
	return app.Div().Class(class).DataSet("problem", q.Code).Body(app.B().Text(title), app.Text(do))
}

// problemsOf shows every problem of one part of the plan.
func problemsOf(ps []plan.Problem, parts ...plan.Part) []app.UI {
	var out []app.UI
	for _, level := range []plan.Level{plan.Stop, plan.Missing, plan.Caution, plan.Note} {
		for _, q := range ps {
			for _, part := range parts {
				if q.Part == part && q.Level == level {
					out = append(out, problemUI(q))
				}
			}
		}
	}
	return out
}

// whyUI opens the reasons of a choice, each with its source.
func (p *Page) whyUI(v *view, key, title string, reasons ...plan.Reason) app.UI {
	if len(reasons) == 0 {
		return nil
	}
	kids := []app.UI{app.Button().Type("button").Aria("expanded", strconv.FormatBool(p.opened[key])).DataSet("do", "why|"+key).Text(title)}
	if p.opened[key] {
		var items []app.UI
		for _, r := range reasons {
			items = append(items, reasonUI(r))
		}
		kids = append(kids, app.Ol().Body(items...))
	}
	return app.Div().Class("why").Body(kids...)
}

func reasonUI(r plan.Reason) app.UI {
	kids := []app.UI{app.Text(text.Reason(r))}
	for _, k := range r.Sources {
		citation, seen := text.Source(k)
		kids = append(kids, app.Small().Text(citation+" ("+seen+")"))
	}
	return app.Li().Body(kids...)
}

func cautions() app.UI {
	var items []app.UI
	for _, s := range text.Cautions() {
		items = append(items, app.P().Class("gloss").Text(s))
	}
	return app.Div().Body(items...)
}
