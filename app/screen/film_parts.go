package screen

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/units"
)

// plainMessage takes the name of the room off a message and starts it with a
// capital letter.
func plainMessage(s string) string {
	if _, rest, ok := strings.Cut(s, ": "); ok {
		s = rest
	}
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// rowsNow are the numbers that can be entered now, by key.
func (fp *filmPage) rowsNow() map[string]row {
	out := map[string]row{}
	for _, r := range append(fp.photoRows(), fp.joinRows()...) {
		out[r.key] = r
	}
	e, ok := evidenceOf(fp.now(), fp.piece)
	if !ok {
		return out
	}
	for _, r := range append(fp.rows(e), fp.depthRows(e)...) {
		out[r.key] = r
	}
	return out
}

func (fp *filmPage) shown(r row) string {
	if k, ok := fp.kept[r.key]; ok {
		return k
	}
	return r.get()
}

// put stores a typed value; a refused one stays on the screen as typed, with
// the reason beside it.
func (fp *filmPage) put(r row, value string) bool {
	if err := r.set(value); err != nil {
		fp.wrong[r.key], fp.kept[r.key] = text.Error(err)+until(&r), value
		return false
	}
	delete(fp.wrong, r.key)
	delete(fp.kept, r.key)
	fp.read()
	return true
}

func (fp *filmPage) numberUI(r row) app.UI {
	value := fp.shown(r)
	v := app.Button().Type("button").DataSet("film", "pad|"+r.key)
	if value == "" {
		v = v.Class("value empty").Aria("label", r.label+", not entered: enter").Text("enter")
	} else {
		v = v.Class("value").Aria("label", r.label+" "+value+"\u00a0"+r.unit+": change").Body(app.Text(value), app.I().Text("\u00a0"+r.unit))
	}
	kids := []app.UI{
		labelUI(&r),
		app.Button().Type("button").Aria("label", r.label+" less").Disabled(value == "").DataSet("film", "step|"+r.key+"|-").Text("−"),
		v,
		app.Button().Type("button").Aria("label", r.label+" more").Disabled(value == "").DataSet("film", "step|"+r.key+"|+").Text("+"),
	}
	if w := fp.wrong[r.key]; w != "" {
		kids = append(kids, app.Div().Class("wrong").Role("alert").Text(w))
	}
	return app.Div().Class("row").DataSet("row", r.key).Body(kids...)
}

// stepValue returns the number one step on, on the grid of the step and in
// the range; what is no number of the range stays as it is.
func stepValue(r row, text, dir string) string {
	now, err := units.ParseNumber(text, r.lo, r.hi, r.unit)
	if err != nil {
		return text
	}
	next := math.Floor(now/r.step+1e-9)*r.step + r.step
	if dir == "-" {
		next = math.Ceil(now/r.step-1e-9)*r.step - r.step
	}
	return plain(math.Min(math.Max(next, r.lo), r.hi))
}

// padKey handles one key of the keypad.
func (fp *filmPage) padKey(key string) {
	if fp.pad == nil {
		return
	}
	r, ok := fp.rowsNow()[fp.pad.key]
	switch {
	case !ok || key == "close" || key == "set" && fp.pad.text == "":
		fp.pad = nil
	case key == "set":
		if fp.put(r, fp.pad.text) {
			fp.pad = nil
		}
	case key == "clear":
		if fp.put(r, "") {
			fp.pad = nil
		}
	default:
		fp.pad.text = typed(fp.pad.text, key)
	}
}

// typed returns the text after one more key.
func typed(text, key string) string {
	switch {
	case key == "del":
		if text == "" {
			return text
		}
		_, n := utf8.DecodeLastRuneInString(text)
		return text[:len(text)-n]
	case key == "." && !strings.Contains(text, "."):
		return text + "."
	case len(key) == 1 && key[0] >= '0' && key[0] <= '9' && len(text) < maxKeys:
		return text + key
	}
	return text
}

func (fp *filmPage) padUI() app.UI {
	if fp.pad == nil {
		return app.Div()
	}
	r, ok := fp.rowsNow()[fp.pad.key]
	if !ok {
		return app.Div()
	}
	shown := fp.pad.text
	if shown == "" {
		shown = "–"
	}
	var keys []app.UI
	for _, k := range []string{"7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"} {
		keys = append(keys, app.Button().Type("button").DataSet("film", "key|"+k).Text(k))
	}
	keys = append(keys, fpIcon("Delete the last figure", "⌫", "key|del"))
	wrong := ""
	if fp.kept[r.key] == fp.pad.text {
		wrong = fp.wrong[r.key]
	}
	return app.Div().Body(
		app.Button().Type("button").Class("padback").Aria("label", "Close the keypad").DataSet("film", "key|close"),
		app.Div().Class("pad").Role("dialog").Aria("label", r.label).Body(
			app.Div().Class("shown").Body(app.Div().Class("label").Text(r.label), app.Output().Body(app.Text(shown), app.I().Text(r.unit))),
			app.Div().Class("wrong").Text(wrong),
			app.Div().Class("keys").Body(keys...),
			app.Div().Class("end").Body(
				app.Button().Type("button").DataSet("film", "key|close").Text("Cancel"),
				app.Button().Type("button").DataSet("film", "key|clear").Text("Empty"),
				app.Button().Type("button").Class("set").DataSet("film", "key|set").Text("Set"))))
}
