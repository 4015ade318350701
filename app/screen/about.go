package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/source"
)

// aboutScreen holds the cautions, the look, the version and every source.
func (p *Page) aboutScreen() *view {
	v := newView("", "About", "/sizes")
	for _, s := range text.Cautions() {
		v.add(app.P().Class("care").Text(s))
	}
	look, _ := p.s.Typed("look")
	v.add(v.row(p, &row{kind: choiceRow, firm: true, key: "look", label: "Screen", note: "dark is for theatre", opts: []option{{"", "As the device"}, {"light", "Light"}, {"dark", "Dark"}},
		get: func() string { return look },
		set: func(s string) error {
			p.s.SetTyped("look", s)
			p.applyLook()
			return nil
		}}))
	v.add(app.P().Class("gloss").Text("± is always about 95 % (two standard uncertainties). Sizes of the shelf are shown without ±."))
	v.add(app.P().Class("gloss").Text("Version " + p.world.Version + ". Nothing leaves this device unless you export it."))
	v.add(app.Div().Class("acts").Body(app.A().Class("act").Href("/methods").Text("Methods: every formula and its limits")))
	v.add(app.H2().Class("group").Text("Where the numbers and rules come from"))
	v.add(app.Div().Class("why").Body(seenUI()))
	var items []app.UI
	for _, s := range source.All() {
		items = append(items, app.Li().Body(app.Text(s.Citation), app.Small().Text("("+string(s.Seen)+")")))
	}
	v.add(app.Div().Class("why").Body(app.Ol().Body(items...)))
	return v
}

// applyLook sets light or dark, as chosen.
func (p *Page) applyLook() {
	look, _ := p.s.Typed("look")
	if p.world.Look != nil {
		p.world.Look(look)
	}
}
