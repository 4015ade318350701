package screen

import (
	"context"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// kitScreen is the list for the theatre: what to have in the room, what is
// missing, and how much of the plan's doubt it covers. It prints as a sheet
// with boxes to tick.
func (p *Page) kitScreen(c record.Case, home string) *view {
	v := newView("cases", "Kit", home)
	pl := p.s.Plan()
	v.on("kit-print", func(string) { p.print() })
	v.on("kit-share", func(string) { p.shareText(c, pl) })
	v.add(app.P().Class("printonly").Text(c.Label + ", " + string(c.Side) + ", as of " + text.When(p.s.Now())))
	v.add(practiceLarge(c), p.invented(), kitAsk(pl))
	v.add(problemsOf(pl.Problems, plan.PartKit)...)
	v.add(app.Div().Class("acts").Body(act("main", "Print", "kit-print"), act("", "Share as text", "kit-share")),
		app.P().Class("gloss noprint").Text("Nothing leaves this device before you tap one of these. The text holds what the team calls the case, the plan and the list; no film."))
	if rows := text.KitCover(pl.Kit); len(rows) > 0 {
		v.add(namedUI(rows))
	}
	for _, g := range text.KitGroups(pl.Kit) {
		v.add(app.H2().Class("group").Text(g.Title), kitList(g.Items))
	}
	v.add(cautions())
	v.ready = true
	return v
}

func kitAsk(pl plan.Plan) app.UI {
	box := app.Div().Class("part wide none").Text("open")
	title := "The list waits for the nail"
	if pl.Nail.Part != nil {
		title = "On the shelf"
		if len(pl.Kit.Missing) > 0 {
			title = "On the shelf; the rest is missing"
		}
		box = app.Div().Class("part wide").Text(strings.TrimSuffix(text.KitCount(pl.Kit), " on the shelf"))
	}
	return askUI("kit", box, title, text.KitMissing(pl.Kit), nil)
}

// kitList is lines with boxes to tick on paper; what is lacking is marked in
// words and by a bar.
func kitList(items []plan.KitItem) app.UI {
	var out []app.UI
	for _, it := range items {
		title, more := text.KitItem(it)
		li := app.Li()
		if it.Have < it.Need {
			li = li.Class("dispute")
		}
		kids := []app.UI{app.B().Text(title), app.Small().Text(more)}
		if right := text.KitRight(it); right != "" {
			kids = append(kids, app.Small().Text(right))
		}
		out = append(out, li.Body(app.Div().Class("item").Body(kids...)))
	}
	return app.Ul().Class("list kit").Body(out...)
}

// print opens the print dialogue of the browser.
func (p *Page) print() {
	if app.IsClient {
		app.Window().Call("print")
	}
}

// shareText hands the plan and the list over as plain text.
func (p *Page) shareText(c record.Case, pl plan.Plan) {
	now := p.s.Now()
	name := "kit-" + text.Day(now) + ".txt"
	data := []byte(text.Shared(c, pl, p.s.Shelf(), now))
	p.work("Handing the text over", func(ctx context.Context) {
		err := p.s.Save(ctx, name, "text/plain", data)
		p.later(func() {
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.tell("Handed over: "+name, "", "")
		})
	})
}
