package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// capAnswer is the end cap for the depth that was typed, and that depth.
func (p *Page) capAnswer() (plan.CapAnswer, *units.Length) {
	b := p.number("cap.burial")
	if b == nil {
		return plan.CapFor(nil, p.s.Shelf()), nil
	}
	l := plan.TypedBurial(*b, plan.DefaultPolicy())
	return plan.CapFor(&l, p.s.Shelf()), &l
}

func (p *Page) capLine() string {
	if !p.ready {
		return ""
	}
	if a, _ := p.capAnswer(); a.Cap != nil {
		return "cap " + text.MM(a.Cap.Height)
	}
	return "nothing entered"
}

// sizeCap gives the end cap from how deep the top of the nail lies.
func (p *Page) sizeCap() *view {
	v := newView("sizes", "End cap", "/sizes")
	a, burial := p.capAnswer()
	number, pic := "", nothingDrawn()
	if a.Cap != nil {
		number = text.Plain(a.Cap.Height)
	}
	keys := []app.UI{p.sizeRow(v, "cap.burial", "Top of the nail below the tip", "of the trochanter; standing out above it: minus", "mm", -30, 60, 1)}
	if burial != nil {
		keys = append(keys, p.sayProblems(a.Problems)...)
		pic = svg(drawing.CapTop(drawing.CapTopFrom(*burial, a)))
	}
	beside, below := first(text.CapMore(a))
	if burial == nil {
		beside = "Read how far the top of the nail lies below the tip of the trochanter."
	}
	rest := []app.UI{app.P().Class("care").Text(text.RecordCap), p.whyUI(v, "why-cap", "Why this cap?", a.Why...)}
	v.add(p.staleUI(v), calc([]app.UI{askUI("cap", sizeBox(number, "mm", false), text.CapSize(a), beside, below), p.invented()}, keys, []app.UI{pic}, rest))
	v.ready = a.Cap != nil
	return v
}
