package screen

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/record"
)

// practiceScreen lists the drawn cases to practise on.
func (p *Page) practiceScreen() *view {
	v := newView("cases", "Practice", "/cases")
	v.mark = text.PracticeMark
	v.aside = "on this device only"
	v.add(app.P().Class("partline").Text("Six broken femurs, drawn by formula. Measure them and plan the nail as for a patient, then compare with what is true of the bone. They are drawings of bone and nobody's films."))
	if !p.ready {
		v.add(app.P().Class("note").Text("Opening what is stored on this device …"))
		return v
	}
	v.on("practice-start", func(key string) { p.startPractice(key) })
	counts, lately := p.s.PracticeCounts(), p.latelyPractised()
	started, compared := 0, 0
	var items []app.UI
	for _, c := range text.Practices() {
		n := counts[c.Key]
		if n.Started > 0 {
			started++
		}
		if n.Compared > 0 {
			compared++
		}
		items = append(items, practiceItem(c, text.PracticeCount(n.Started, n.Compared), lately[c.Key]))
	}
	v.add(app.P().Class("gloss").DataSet("count", "practice").Text(text.PracticeTotal(len(items), started, compared)),
		app.Ul().Class("list practice").Body(items...),
		app.P().Class("gloss").Text("Drawing the two films takes a few seconds, on a slow phone longer; no network is needed. Delete a practice case under Cases when you are done: its films take 13 MB."))
	v.ready = true
	return v
}

// practiceItem is one drawn case: its referral, how far this device is with
// it, a button that starts it and a link to the one that was edited last.
func practiceItem(c text.PracticeCase, count, id string) app.UI {
	label, acts := "Start", []app.UI{}
	if id != "" {
		label = "Start afresh"
		acts = append(acts, app.A().Class("act main").Href("/case/"+id).Text("Go on"))
	}
	acts = append(acts, app.Button().Type("button").Class("act").Aria("label", label+": "+c.Title).DataSet("do", "practice-start|"+c.Key).Text(label))
	return app.Li().Body(app.Div().Class("item").Body(
		app.B().Text(c.Title), app.Small().Text(c.Refer), app.Small().Text(count), app.Div().Class("acts").Body(acts...)))
}

// latelyPractised returns for each drawn case the stored case of it that was
// edited last.
func (p *Page) latelyPractised() map[string]string {
	out := map[string]string{}
	for _, b := range p.s.Briefs() { // latest edit first
		if b.Practice != "" && out[b.Practice] == "" {
			out[b.Practice] = b.ID
		}
	}
	return out
}

// startPractice draws the films away from the screen and opens the case.
func (p *Page) startPractice(key string) {
	if p.busy != nil {
		return // one drawing at a time
	}
	p.work("Drawing the films", func(c context.Context) {
		id, err := p.s.StartPractice(c, key, text.PracticeOf(key).Title, func(done float64) {
			p.later(func() {
				if p.busy != nil {
					p.busy.done = done
				}
			})
		})
		p.later(func() { p.practiceStarted(c, id, err) })
	})
}

// practiceStarted shows the new case to somebody who still waits for it.
func (p *Page) practiceStarted(c context.Context, id string, err error) {
	switch {
	case err != nil && c.Err() != nil:
		p.tell("Stopped. Nothing was kept.", "", "")
	case err != nil:
		p.busy = nil
		p.tell(text.Error(err), "", "")
	case p.path == "/practice":
		p.busy = nil
		p.to("/case/" + id)
	default:
		p.busy = nil
		p.tell("The practice case is drawn. It is under Cases.", "", "")
		p.arrive()
	}
}

// practiceLarge says in large words, on the screen and on paper, that a case
// is nobody's; of a patient's case nothing.
func practiceLarge(c record.Case) app.UI {
	if c.Practice == "" {
		return app.Div()
	}
	return app.Div().Class("practicemark").Role("note").DataSet("practice", c.Practice).Body(
		app.B().Text(text.PracticeLarge), app.Text(text.PracticeMore))
}

// practiceBrief is what was told of a practice case, and the way to what is
// true of it; of a patient's case nothing.
func practiceBrief(c record.Case) app.UI {
	if c.Practice == "" {
		return app.Div()
	}
	told := text.PracticeOf(c.Practice)
	kids := []app.UI{}
	if told.Refer != "" {
		kids = append(kids, app.P().Class("partline").Text(told.Refer), app.P().Class("gloss").Text(told.Note))
	}
	kids = append(kids, app.Div().Class("acts").Body(app.A().Class("act").Href("/case/"+c.ID+"/practice").Text("Compare with what is true")))
	return app.Div().Class("practicebrief").Body(kids...)
}
