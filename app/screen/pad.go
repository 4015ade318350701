package screen

import (
	"strings"
	"unicode/utf8"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// A pad is the open keypad: which row it fills and what was typed so far. It
// starts empty, so that the first key replaces the old value, which stays in
// the row until Set is pressed.
type pad struct {
	key  string
	text string
}

// maxKeys is how many keys the pad takes; no number here is longer.
const maxKeys = 8

// padKey handles one key of the pad.
func (p *Page) padKey(v *view, key string) {
	if p.pad == nil {
		return
	}
	r, ok := v.rows[p.pad.key]
	switch {
	case !ok || key == "close":
		p.pad = nil
	case key == "set":
		if p.pad.text == "" {
			p.pad = nil
			return
		}
		if p.put(r, p.pad.text) {
			p.pad = nil
		}
	case key == "clear":
		if p.put(r, "") {
			p.pad = nil
		}
	case key == "del":
		if t := p.pad.text; t != "" {
			_, n := utf8.DecodeLastRuneInString(t)
			p.pad.text = t[:len(t)-n]
		}
	case key == ".":
		if !strings.Contains(p.pad.text, ".") {
			p.pad.text += "."
		}
	case key == "-":
		if after, ok := strings.CutPrefix(p.pad.text, "-"); ok {
			p.pad.text = after
		} else {
			p.pad.text = "-" + p.pad.text
		}
	case len(key) == 1 && key[0] >= '0' && key[0] <= '9' && len(p.pad.text) < maxKeys:
		p.pad.text += key
	}
}

func (p *Page) padUI(v *view) app.UI {
	if p.pad == nil {
		return app.Div()
	}
	r, ok := v.rows[p.pad.key]
	if !ok {
		return app.Div()
	}
	shown := p.pad.text
	if shown == "" {
		shown = "–"
	}
	var keys []app.UI
	for _, k := range []string{"7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"} {
		keys = append(keys, app.Button().Type("button").DataSet("do", "key|"+k).Text(k))
	}
	keys = append(keys, app.Button().Type("button").Aria("label", "Delete the last figure").DataSet("do", "key|del").Text("⌫"))
	var minus app.UI = app.Button().Type("button").DataSet("do", "key|clear").Text("Empty")
	if r.lo < 0 {
		minus = app.Button().Type("button").Aria("label", "Change the sign").DataSet("do", "key|-").Text("±")
	}
	return app.Div().Body(
		app.Button().Type("button").Class("padback").Aria("label", "Close the keypad").DataSet("do", "key|close"),
		app.Div().Class("padspace"),
		app.Div().Class("pad").Role("dialog").Aria("label", r.label).Body(
			app.Div().Class("shown").Body(
				app.Div().Class("label").Text(r.label),
				app.Output().Body(app.Text(shown), app.I().Text(r.unit))),
			p.padWrong(r),
			app.Div().Class("keys").Body(keys...),
			app.Div().Class("end").Body(
				app.Button().Type("button").DataSet("do", "key|close").Text("Cancel"),
				minus,
				app.Button().Type("button").Class("set").DataSet("do", "key|set").Text("Set"))))
}

func (p *Page) padWrong(r *row) app.UI {
	if w := p.wrong[p.slot(r.key)]; w != "" && p.kept[p.slot(r.key)] == p.pad.text {
		return app.Div().Class("wrong").Role("alert").Text(w)
	}
	return app.Div().Class("wrong")
}
