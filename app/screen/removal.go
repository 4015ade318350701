package screen

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// removalScreen is how to take out what is in the bone: the parts in the order
// in which they come out, the steps, and what to bring. Drive and damage of
// each part are asked here, where they matter.
func (p *Page) removalScreen(c record.Case, home string) *view {
	v := newView("cases", "Taking it out", home+"/after")
	pl := p.s.Plan()
	r := pl.Removal
	v.add(problemsOf(pl.Problems, plan.PartRemove)...)
	if len(r.Steps) == 0 {
		v.add(app.P().Class("note").Text("Nothing is recorded that could be taken out. Write down what was put in, or what was there before."),
			app.A().Class("link").Href(home+"/record").Text("To the record"))
		v.ready = true
		return v
	}
	v.on("kit-print", func(string) { p.print() })
	v.on("kit-share", func(string) { p.shareText(c, pl) })
	v.add(app.P().Class("gloss").Text(removalOf(r)))
	if len(r.Parts) > 0 {
		v.add(app.H2().Class("group").Text("Parts, in the order in which they come out"))
	}
	for _, part := range r.Parts {
		v.add(app.P().Class("partline").Body(app.B().Text(text.RemovalPart(part))))
		v.add(app.Div().Class("noprint").Body(p.partRows(v, c, r, part)...))
	}
	v.add(app.H2().Class("group").Text("Steps"), app.Ol().Class("steps").Body(stepsUI(r.Steps)...),
		p.whyUI(v, "why-removal", "Where these steps come from", r.Steps...))
	if len(r.Bring) > 0 {
		v.add(app.H2().Class("group").Text("Bring"), kitList(r.Bring))
	}
	if n := len(r.Unknown); n > 0 {
		v.add(app.P().Class("note").Body(app.B().Text(fmt.Sprintf("Not known: %d", n)),
			app.Text("Ask the hospital that put it in, look at old films and the operation note. The list brings sets of several kinds for what nobody knows.")))
	}
	v.add(app.Div().Class("acts").Body(act("main", "Print", "kit-print"), act("", "Share as text", "kit-share")), cautions())
	v.ready = true
	return v
}

func removalOf(r plan.Removal) string {
	if r.Of == "record" {
		return "From what was recorded as put in."
	}
	return "From what was said to be there before."
}

// stepsUI is the steps without their sources, which stand behind a tap.
func stepsUI(rs []plan.Reason) (out []app.UI) {
	for _, r := range rs {
		out = append(out, app.Li().Text(text.Reason(r)))
	}
	return out
}

// partsOf returns the list of the case that the removal is about.
func partsOf(c *record.Case, r plan.Removal) []record.Implant {
	if r.Of == "record" {
		return c.Implants
	}
	return c.Existing
}

// partRows ask for what the removal needs to know of one part.
func (p *Page) partRows(v *view, c record.Case, r plan.Removal, part plan.RemovalPart) []app.UI {
	parts, i := partsOf(&c, r), part.Index
	if i < 0 || i >= len(parts) {
		return nil
	}
	now, note := parts[i], "kind and size, such as hexagon 5 mm"
	if now.Drive == "" && part.Part.Drive != "" {
		note = "the shelf says " + part.Part.Drive + " for this size: enter it if it is so"
	}
	change := func(what string, fn func(*record.Implant)) error {
		return p.edit(what, func(c *record.Case) error {
			parts := partsOf(c, r)
			if i >= len(parts) {
				return fmt.Errorf("that part is not there any more: look at the list again")
			}
			fn(&parts[i])
			return nil
		})
	}
	return []app.UI{
		v.row(p, &row{kind: textRow, key: fmt.Sprintf("part%d-drive", i), label: "Drive", note: note,
			get: func() string { return now.Drive },
			set: func(s string) error {
				return change("drive of a part", func(im *record.Implant) { im.Drive = s })
			}}),
		v.row(p, &row{kind: choiceRow, key: fmt.Sprintf("part%d-broken", i), label: "Bent, broken or stripped?", opts: yesNoUnsure(),
			get: func() string { return string(now.Broken) },
			set: func(s string) error {
				return change("state of a part", func(im *record.Implant) { im.Broken = record.Answer(s) })
			}}),
	}
}
