package screen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// A partList is one of the two lists of parts of a case: what was put in, and
// what was there before.
type partList struct {
	key   string // of its rows and actions
	at    func(*record.Case) *[]record.Implant
	kinds []string
	known bool // its sizes can be read off a packet, so they must be given
	none  string
}

func partLists() []partList {
	kinds := []string{"nail", "head-screw-lower", "head-screw-upper", "locking-screw", "end-cap"}
	return []partList{
		{"implant", func(c *record.Case) *[]record.Implant { return &c.Implants }, kinds, true, "Nothing is recorded yet."},
		{"existing", func(c *record.Case) *[]record.Implant { return &c.Existing }, append(slices.Clone(kinds), "plate", "other"), false, "Nothing is described."},
	}
}

// recordScreen takes down what was really put in, as read off the packets, and
// what was in the bone before.
func (p *Page) recordScreen(c record.Case, home string) *view {
	v := newView("cases", "Record", home)
	lists := partLists()
	v.add(app.P().Class("gloss").Text("Write down what was put in, not what was planned: read it off the packet. Whoever takes it out one day needs this: the end cap and the drive of every screw too."))
	v.add(problemsOf(p.s.Plan().Problems, plan.PartRecord)...)
	v.add(p.partsTable(v, c, lists[0]), app.H2().Class("gloss").Text("Add a part"))
	v.add(p.partForm(v, c, lists[0])...)
	was := "nothing described"
	if n := len(c.Existing); n > 0 {
		was = strconv.Itoa(n) + " described"
	}
	v.add(p.foldUI("existing", "What was there before", was, append([]app.UI{
		app.P().Class("gloss").Text("An old nail, plate or screw that is in the way. Leave empty what nobody knows."),
		p.partsTable(v, c, lists[1])}, p.partForm(v, c, lists[1])...)...))
	v.add(app.A().Class("link").Href(home + "/removal").Text("How it comes out"))
	v.add(v.row(p, &row{kind: textRow, key: "notes", label: "Notes", note: "no patient name",
		get: func() string { return c.Notes },
		set: func(s string) error { return p.edit("notes", func(c *record.Case) error { c.Notes = s; return nil }) }}))
	v.ready = true
	return v
}

func (p *Page) partsTable(v *view, c record.Case, l partList) app.UI {
	v.on(l.key+"-drop", func(arg string) { p.dropPart(l, arg) })
	var rows []app.UI
	for i, im := range *l.at(&c) {
		rows = append(rows, app.Tr().Body(
			app.Td().Body(app.B().Text(text.ImplantLine(im)), app.Div().Class("gloss").Text(text.ImplantDetail(im))),
			app.Td().Body(app.Button().Type("button").Aria("label", "Take this entry out").DataSet("do", fmt.Sprintf("%s-drop|%d", l.key, i)).Body(icon("trash")))))
	}
	if len(rows) == 0 {
		return app.P().Class("note").Text(l.none)
	}
	return app.Table().Body(app.TBody().Body(rows...))
}

// partForm is the rows for a new part of a list.
func (p *Page) partForm(v *view, c record.Case, l partList) (out []app.UI) {
	v.on(l.key+"-add", func(string) { p.recordPart(c, l) })
	pre := l.key + "-"
	add := func(r *row) { out = append(out, v.row(p, p.drafted(pre, r))) }
	var opts []option
	for _, k := range l.kinds {
		opts = append(opts, option{k, text.PartName(k)})
	}
	kind := p.draft(pre + "kind")
	add(&row{kind: choiceRow, long: true, key: "kind", label: "Part", opts: opts})
	if hasDiameter(kind) {
		add(&row{key: "diameter", label: "Diameter", unit: "mm", lo: 2, hi: 25, step: 0.5})
	}
	length := "Length"
	if kind == "end-cap" {
		length = "Height"
	}
	add(&row{key: "length", label: length, unit: "mm", lo: 0, hi: 600, step: 1})
	add(&row{kind: textRow, key: "drive", label: "Drive", note: "what turns or pulls it, such as hexagon 5 mm; may stay empty"})
	if !l.known {
		r := &row{kind: choiceRow, key: "broken", label: "Bent, broken or stripped?", opts: yesNoUnsure()}
		add(r)
	}
	add(&row{kind: textRow, key: "lot", label: "Lot", note: "may stay empty"})
	add(&row{kind: textRow, key: "device", label: "Code on the packet", note: "may stay empty"})
	add(&row{kind: textRow, key: "day", label: "Day it was put in", note: "such as 2026-11-25; empty is today"})
	label := "Record it"
	if !l.known {
		label = "Add it"
	}
	return append(out, app.Div().Class("acts").Body(act("main", label, l.key+"-add")))
}

// hasDiameter reports whether a diameter is asked of a kind of part.
func hasDiameter(kind string) bool { return kind != "end-cap" && kind != "plate" && kind != "other" }

// partFields are the rows of a new part that hold what is typed.
var partFields = []string{"diameter", "length", "drive", "lot", "device", "day"}

// recordPart takes the part over that was entered, or says what is missing.
func (p *Page) recordPart(c record.Case, l partList) {
	refuse := func(why string) { p.tell("Nothing was recorded"+why, "", "") }
	kind := p.draft(l.key + "-kind")
	for _, key := range partFields {
		if w := p.wrong[p.slot(l.key+"-"+key)]; w != "" && (key != "diameter" || hasDiameter(kind)) {
			refuse(". " + w)
			return
		}
	}
	im, err := p.typedPart(c, l)
	if err != nil {
		refuse(": " + strings.TrimSuffix(text.Error(err), ".") + ".")
		return
	}
	err = p.edit("record "+text.PartName(im.Kind), func(c *record.Case) error { *l.at(c) = append(*l.at(c), im); return nil })
	if err != nil {
		refuse(": " + text.Error(err))
		return
	}
	for _, k := range append([]string{"kind", "broken"}, partFields...) {
		p.s.SetTyped("draft."+p.slot(l.key+"-"+k), "")
	}
	p.tell("Recorded: "+text.ImplantLine(im), "Undo", "undo")
}

// typedPart makes a part of what was typed.
func (p *Page) typedPart(c record.Case, l partList) (im record.Implant, err error) {
	d := func(key string) string { return p.draft(l.key + "-" + key) }
	im = record.Implant{Kind: d("kind"), Lot: d("lot"), Device: d("device"), Drive: d("drive")}
	if im.Kind == "" {
		return im, fmt.Errorf("choose which part it is")
	}
	if hasDiameter(im.Kind) {
		if im.Diameter, err = typedMM(d("diameter"), 2, 25); err != nil {
			return im, err
		}
	}
	if im.Length, err = typedMM(d("length"), 0, 600); err != nil {
		return im, err
	}
	if im.Length != nil && *im.Length == 0 && im.Kind != "end-cap" {
		return im, fmt.Errorf("a length of 0 mm is none: enter what the packet says")
	}
	if l.known && (im.Length == nil || im.Diameter == nil && hasDiameter(im.Kind)) {
		return im, fmt.Errorf("enter the size on the packet")
	}
	if im.At, err = dayTyped(d("day"), p.s.Now()); err != nil {
		return im, err
	}
	if !l.known {
		im.Broken = record.Answer(d("broken"))
	}
	if im.Kind == "nail" {
		im.Side = c.Side
	}
	return im, nil
}

func (p *Page) dropPart(l partList, arg string) {
	at, err := strconv.Atoi(arg)
	if err != nil {
		return
	}
	err = p.edit("take out a recorded part", func(c *record.Case) error {
		parts := l.at(c)
		if at < 0 || at >= len(*parts) {
			return fmt.Errorf("that entry is not there any more: look at the list again")
		}
		*parts = append((*parts)[:at:at], (*parts)[at+1:]...)
		return nil
	})
	if err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell("Taken out of the record.", "Undo", "undo")
}
