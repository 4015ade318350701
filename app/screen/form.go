package screen

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/units"
)

type rowKind int

const (
	numberRow rowKind = iota
	choiceRow
	textRow
)

// A row is one thing a person can enter. Its value lives in the session, as
// it was typed; the row says where.
type row struct {
	kind  rowKind
	key   string
	label string
	note  string
	unit  string
	lo    float64
	hi    float64
	step  float64
	opts  []option
	firm  bool // a choice that cannot be taken back to nothing
	whole bool // a number of things, never half a one
	loose bool // while what was typed is refused, no earlier value counts
	long  bool
	get   func() string
	set   func(string) error
}

// An option is one answer of a choice.
type option struct{ value, label string }

func yesNoUnsure() []option {
	return []option{{"yes", "Yes"}, {"no", "No"}, {"unsure", "Unsure"}}
}

// row registers a row and draws it.
func (v *view) row(p *Page, r *row) app.UI {
	v.rows[r.key] = r
	switch r.kind {
	case choiceRow:
		return p.choiceUI(r)
	case textRow:
		return p.textUI(r)
	}
	return p.numberUI(r)
}

func (p *Page) shown(r *row) string {
	if k, ok := p.kept[p.slot(r.key)]; ok {
		return k
	}
	return r.get()
}

// slot names a row among what was refused: a case has its own, so that nothing
// typed for one patient is shown with another.
func (p *Page) slot(key string) string {
	at := strings.Split(strings.Trim(p.path, "/"), "/")
	if at[0] == "case" && len(at) > 1 {
		return at[1] + "|" + key
	}
	return key
}

// drafted returns the row with a place of its own, where what is entered for a
// new part is kept until it is added. In a case it is that case's.
func (p *Page) drafted(prefix string, of *row) *row {
	r := *of
	r.key, r.loose = prefix+of.key, true
	r.get = func() string { return p.draft(r.key) }
	r.set = func(s string) error { p.s.SetTyped("draft."+p.slot(r.key), s); return nil }
	return &r
}

func (p *Page) draft(key string) string { return p.word("draft." + p.slot(key)) }

func (p *Page) wrongUI(key string) app.UI {
	if w := p.wrong[p.slot(key)]; w != "" {
		return app.Div().Class("wrong").Role("alert").Text(w)
	}
	return nil
}

// longLabel is how many letters a label with its note may have beside its
// number on a phone; a longer one stands above it.
const longLabel = 34

func labelUI(r *row) app.UI {
	if r.note == "" {
		return app.Div().Class("label").Text(r.label)
	}
	return app.Div().Class("label").Body(app.Text(r.label), app.Small().Text(r.note))
}

func (p *Page) numberUI(r *row) app.UI {
	value := p.shown(r)
	v := app.Button().Type("button").DataSet("do", "pad|"+r.key)
	if value == "" {
		v = v.Class("value empty").Aria("label", r.label+", not entered: enter").Text("enter")
	} else {
		v = v.Class("value").Aria("label", r.label+" "+value+"\u00a0"+r.unit+": change").
			Body(app.Text(value), app.I().Text("\u00a0"+r.unit))
	}
	class := "row"
	if len(r.label)+len(r.note) > longLabel {
		class = "row over"
	}
	return app.Div().Class(class).DataSet("row", r.key).Body(
		labelUI(r),
		app.Button().Type("button").Aria("label", r.label+" less").Disabled(value == "").DataSet("do", "step|"+r.key+"|-").Text("−"),
		v,
		app.Button().Type("button").Aria("label", r.label+" more").Disabled(value == "").DataSet("do", "step|"+r.key+"|+").Text("+"),
		p.wrongUI(r.key),
	)
}

func (p *Page) choiceUI(r *row) app.UI {
	now := r.get()
	var bs []app.UI
	for _, o := range r.opts {
		pressed := "false"
		if o.value == now {
			pressed = "true"
		}
		bs = append(bs, app.Button().Type("button").Aria("pressed", pressed).DataSet("do", "set|"+r.key+"|"+o.value).Text(o.label))
	}
	class := "seg"
	if r.long {
		class = "seg long"
	}
	return app.Div().Class(class).Role("group").Aria("label", r.label).DataSet("row", r.key).Body(
		labelUI(r), app.Div().Class("opts").Body(bs...), p.wrongUI(r.key))
}

// tabs draws a choice as the tabs of a screen.
func (v *view) tabs(p *Page, r *row) app.UI {
	r.firm = true
	v.rows[r.key] = r
	now := r.get()
	var bs []app.UI
	for _, o := range r.opts {
		pressed := "false"
		if o.value == now {
			pressed = "true"
		}
		bs = append(bs, app.Button().Type("button").Aria("pressed", pressed).DataSet("do", "set|"+r.key+"|"+o.value).Text(o.label))
	}
	return app.Div().Class("tabs").Role("group").Aria("label", r.label).Body(bs...)
}

func (p *Page) textUI(r *row) app.UI {
	return app.Label().Class("textrow").DataSet("row", r.key).Body(
		labelUI(r),
		app.Input().Type("text").AutoComplete(false).DataSet("key", r.key).Aria("label", r.label).Value(p.shown(r)).OnChange(p.onInput),
		p.wrongUI(r.key),
	)
}

// doField carries out what was done to a row. A refused value stays on the
// screen as it was typed, with the reason beside it.
func (p *Page) doField(v *view, verb, arg string) {
	key, value, _ := strings.Cut(arg, "|")
	if verb == "key" {
		p.padKey(v, arg)
		return
	}
	r, ok := v.rows[key]
	if !ok {
		return
	}
	switch verb {
	case "pad":
		p.pad = &pad{key: key, text: ""}
	case "step":
		p.put(r, p.stepped(r, value))
	case "set":
		if r.kind == choiceRow && value == r.get() {
			if r.firm {
				return
			}
			value = "" // the same answer again takes it back
		}
		p.put(r, value)
	}
}

// put checks and stores a value, and says what is wrong with it if it is.
func (p *Page) put(r *row, value string) bool {
	err := p.check(r, value)
	if err == nil {
		err = r.set(value)
	}
	at := p.slot(r.key)
	if err != nil {
		p.wrong[at] = text.Error(err) + until(r)
		if r.kind != choiceRow {
			p.kept[at] = value
		}
		return false
	}
	delete(p.wrong, at)
	delete(p.kept, at)
	return true
}

// until says which value counts while another is refused.
func until(r *row) string {
	now := r.get()
	switch {
	case r.loose || now == "" || r.kind == choiceRow:
		return ""
	case r.kind == textRow:
		return " Until then “" + now + "” stays."
	}
	return " Until then " + strings.TrimSpace(now+"\u00a0"+r.unit) + " counts."
}

func (p *Page) check(r *row, value string) error {
	if r.kind != numberRow || value == "" {
		return nil
	}
	v, err := units.ParseNumber(value, r.lo, r.hi, r.unit)
	if err == nil && r.whole && v != math.Trunc(v) {
		return fmt.Errorf("“%s” is not a whole number: type whole %s", value, r.unit)
	}
	return err
}

// stepped returns the value one step up or down, kept inside the range. A
// value outside it stays: nobody meant the end of the range.
func (p *Page) stepped(r *row, dir string) string {
	now, err := units.ParseNumber(p.shown(r), r.lo, r.hi, r.unit)
	if err != nil {
		return p.shown(r)
	}
	step := r.step
	if dir == "-" {
		step = -step
	}
	// land on the grid of the step, so that 97.3 goes to 98 and then to 99
	next := math.Floor(now/r.step+1e-9)*r.step + r.step
	if step < 0 {
		next = math.Ceil(now/r.step-1e-9)*r.step - r.step
	}
	return plain(math.Min(math.Max(next, r.lo), r.hi))
}

func plain(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
