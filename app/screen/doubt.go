package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// Few enough not to hold up the screen, enough for a share to a few per cent.
// One seed, so that the same case says the same on every device.
const (
	screenTrials = 2000
	screenSeed   = 1
)

// chancesOf returns the trials of a case, made once for each state of it.
func (p *Page) chancesOf(c record.Case) plan.Chances {
	if p.tried.trials == nil || !record.Equal(p.tried.c, c) {
		policy, _ := plan.PolicyFrom(c.Settings)
		ch := plan.Trials(c, p.s.Shelf(), policy, screenSeed, screenTrials)
		p.tried.c, p.tried.trials = c, &ch
	}
	return *p.tried.trials
}

// doubtUI opens where the doubt of a part comes from. The trials are made
// only when somebody asks.
func (p *Page) doubtUI(c record.Case, key, title, what string, of func(plan.Chances) plan.PartChances) app.UI {
	kids := []app.UI{app.Button().Type("button").DataSet("do", "why|"+key).Text(title)}
	if p.opened[key] {
		ch := p.chancesOf(c)
		part := of(ch)
		lines := text.Shares(part)
		if part.Chosen > 0 {
			lines = append(lines, text.ChanceLine(what, part, ch.Trials))
		}
		if len(lines) == 0 {
			lines = []string{"Nothing is measured yet that could be doubted."}
		}
		var items []app.UI
		for _, s := range lines {
			items = append(items, app.Li().Text(s))
		}
		kids = append(kids, app.Ol().Body(items...))
	}
	return app.Div().Class("why").Body(kids...)
}
