package screen

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// foldUI is a group of rows that opens with a tap; under its title stands in
// one line what is in it.
func (p *Page) foldUI(key, title, summary string, kids ...app.UI) app.UI {
	open := p.opened[key]
	head := app.Button().Type("button").Aria("expanded", strconv.FormatBool(open)).DataSet("do", "why|"+key).
		Body(app.Text(title), app.Small().Text(summary))
	if !open {
		return app.Div().Class("why fold").Body(head)
	}
	return app.Div().Class("why fold").Body(head, app.Div().Body(kids...))
}

// stillAsked lists the fields of the case that a stop or an open question of a
// part names, and that are not answered.
func stillAsked(pl plan.Plan, part plan.Part) map[string]bool {
	out := map[string]bool{}
	for _, q := range pl.Problems {
		if q.Part == part && (q.Level == plan.Stop || q.Level == plan.Missing) {
			for _, f := range q.Fields {
				out[f] = true
			}
		}
	}
	return out
}

// askedUI marks a row that a stop waits for, in the margin, so that nothing
// moves when it is answered.
func askedUI(id string, asked bool, row app.UI) app.UI {
	if !asked {
		return app.Div().ID(id).Class("ask1").Body(row)
	}
	return app.Div().ID(id).Class("ask1 asked").Body(app.Span().Class("unseen").Text("Still asked:"), row)
}

// answer is a row for a yes, no or unsure that is kept in the case.
func (p *Page) answer(key, label, note string, now record.Answer, set func(*record.Case, record.Answer)) *row {
	return &row{kind: choiceRow, key: key, label: label, note: note, opts: yesNoUnsure(),
		get: func() string { return string(now) },
		set: func(s string) error {
			return p.edit(label, func(c *record.Case) error { set(c, record.Answer(s)); return nil })
		}}
}

// injuryAnswer is the row of a question of the injury, in its words.
func (p *Page) injuryAnswer(key, field string, now record.Injury, at func(*record.Injury) *record.Answer) *row {
	return p.answer(key, text.Question(field), text.QuestionWhy(field), *at(&now),
		func(c *record.Case, a record.Answer) { *at(&c.Injury) = a })
}

// pick is the row of a question of the injury with answers of its own.
func (p *Page) pick(key, field, now string, words []string, set func(*record.Injury, string)) *row {
	r := &row{kind: choiceRow, long: true, key: key, label: text.Question(field), note: text.QuestionWhy(field),
		get: func() string { return now }}
	for _, w := range words {
		r.opts = append(r.opts, option{w, text.Choice(field, w)})
	}
	r.set = func(s string) error {
		return p.edit(r.label, func(c *record.Case) error { set(&c.Injury, s); return nil })
	}
	return r
}

func words[T ~string](in []T) []string {
	out := make([]string, len(in))
	for i, v := range in {
		out[i] = string(v)
	}
	return out
}

// find brings a row into sight.
func (p *Page) find(id string) {
	if p.ctx != nil {
		p.ctx.ScrollTo(id)
	}
}

// namedUI is a table of what is known; what is not is named below it.
func namedUI(rows []text.Named) app.UI {
	var known [][2]string
	var open []string
	for _, r := range rows {
		if text.Unknown(r) {
			open = append(open, r.Name)
			continue
		}
		known = append(known, [2]string{r.Name, r.Value})
	}
	var kids []app.UI
	if len(known) > 0 {
		kids = append(kids, tableUI(known))
	}
	if len(open) > 0 {
		kids = append(kids, app.P().Class("gloss").Text("Not known yet: "+strings.Join(open, "; ")+"."))
	}
	return app.Div().Body(kids...)
}
