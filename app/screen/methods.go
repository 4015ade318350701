package screen

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/source"
)

// methodsScreen says how every number is worked out: by part of the job, each
// method with its limits, an example and its sources, then where sources
// contradict each other. It only shows the register of core/source.
func (p *Page) methodsScreen() *view {
	v := newView("", "Methods", "/about")
	v.add(app.P().Class("gloss").Text("How every number is worked out. Tap a line for the formula, what goes in, where it is weak, an example, and who says so."))
	v.add(p.openUI("methods-seen", "What the words in brackets mean", seenUI()))
	for _, part := range source.Parts() {
		v.add(app.H2().Class("group").Text(text.MethodPart(part)))
		for _, m := range source.Methods() {
			if m.Part == part && !m.Idle {
				v.add(p.openUI("method-"+m.Key, m.Title, methodUI(m)...))
			}
		}
	}
	v.add(app.H2().Class("group").Text("Where sources contradict each other"))
	for i, c := range source.Contradictions() {
		if m, ok := source.FindMethod(c.Of); ok && !m.Idle {
			v.add(p.openUI("contradiction-"+strconv.Itoa(i), c.Topic, contradictionUI(c)...))
		}
	}
	v.ready = true
	return v
}

// openUI is a line that opens on a tap.
func (p *Page) openUI(key, title string, inside ...app.UI) app.UI {
	kids := []app.UI{app.Button().Type("button").Aria("expanded", strconv.FormatBool(p.opened[key])).DataSet("do", "why|"+key).Text(title)}
	if p.opened[key] {
		kids = append(kids, inside...)
	}
	return app.Div().Class("why").Body(kids...)
}

func methodUI(m source.Method) []app.UI {
	out := []app.UI{
		app.Div().Class("formula").Body(linesUI(strings.Split(m.Formula, "\n"))...),
		said("From", ""), app.Ul().Body(itemsUI(m.Inputs)...),
		said("Limits", m.Limits),
		said("Example", m.Check),
	}
	var items []app.UI
	for _, k := range m.Sources {
		citation, seen := text.Source(k)
		items = append(items, app.Li().Body(app.Text(citation), app.Small().Text("("+seen+")")))
	}
	return append(out, said("Who says so", ""), app.Ol().Body(items...))
}

func contradictionUI(c source.Contradiction) []app.UI {
	return []app.UI{said("One says", text.Says(c.A)), said("Another says", text.Says(c.B)), said("Here", c.Handling)}
}

func linesUI(lines []string) (out []app.UI) {
	for _, s := range lines {
		out = append(out, app.Div().Text(text.Tied(s)))
	}
	return out
}

func itemsUI(lines []string) (out []app.UI) {
	for _, s := range lines {
		out = append(out, app.Li().Text(text.Tied(s)))
	}
	return out
}

// said is a paragraph under a small heading.
func said(head, words string) app.UI {
	return app.P().Body(app.B().Text(head), app.Text(text.Tied(words)))
}

// seenUI says what the words behind a source mean.
func seenUI() app.UI {
	var items []app.UI
	for _, w := range text.SeenWords() {
		items = append(items, app.Li().Body(app.B().Text(w.Word), app.Text(": "+w.Means)))
	}
	return app.Ul().Body(items...)
}
