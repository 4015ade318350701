package screen

import (
	"fmt"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/record"
)

func implantKinds() []option {
	return []option{{"nail", "Nail"}, {"head-screw-lower", "Lower head screw"}, {"head-screw-upper", "Upper head screw"},
		{"locking-screw", "Locking screw"}, {"end-cap", "End cap"}}
}

// recordScreen takes down what was really put in, as read off the packets.
func (p *Page) recordScreen(c record.Case, home string) *view {
	v := newView("cases", "Record", home)
	v.on("implant-add", func(string) { p.addImplant(c) })
	v.on("implant-drop", func(arg string) { p.dropImplant(arg) })
	v.add(app.P().Class("gloss").Text("Write down what was put in, not what was planned: read it off the packet. Whoever takes it out one day needs this."))
	var rows []app.UI
	for i, im := range c.Implants {
		rows = append(rows, app.Tr().Body(
			app.Td().Body(app.B().Text(text.ImplantLine(im)), app.Div().Class("gloss").Text(text.ImplantDetail(im))),
			app.Td().Body(app.Button().Type("button").Aria("label", "Take this entry out").DataSet("do", fmt.Sprintf("implant-drop|%d", i)).Body(icon("trash")))))
	}
	if len(rows) > 0 {
		v.add(app.Table().Body(app.TBody().Body(rows...)))
	} else {
		v.add(app.P().Class("note").Text("Nothing is recorded yet."))
	}
	v.add(app.H2().Class("gloss").Text("Add a part"))
	kind := p.draft("implant-kind")
	v.add(v.row(p, p.drafted("implant-", &row{kind: choiceRow, long: true, key: "kind", label: "Part", opts: implantKinds()})))
	if kind != "end-cap" {
		v.add(v.row(p, p.drafted("implant-", &row{key: "diameter", label: "Diameter", unit: "mm", lo: 2, hi: 25, step: 0.5})))
	}
	label := "Length"
	if kind == "end-cap" {
		label = "Height"
	}
	v.add(v.row(p, p.drafted("implant-", &row{key: "length", label: label, unit: "mm", lo: 0, hi: 600, step: 1})))
	v.add(v.row(p, p.drafted("implant-", &row{kind: textRow, key: "lot", label: "Lot", note: "may stay empty"})))
	v.add(v.row(p, p.drafted("implant-", &row{kind: textRow, key: "device", label: "Code on the packet", note: "may stay empty"})))
	v.add(app.Div().Class("acts").Body(act("main", "Record it", "implant-add")))
	v.add(v.row(p, &row{kind: textRow, key: "notes", label: "Notes", note: "no patient name",
		get: func() string { return c.Notes },
		set: func(s string) error { return p.edit("notes", func(c *record.Case) error { c.Notes = s; return nil }) }}))
	v.ready = true
	return v
}

func (p *Page) addImplant(c record.Case) {
	d := func(key string) string { return p.draft("implant-" + key) }
	for _, key := range []string{"diameter", "length", "lot", "device"} {
		if w := p.wrong[p.slot("implant-"+key)]; w != "" && !(key == "diameter" && d("kind") == "end-cap") {
			p.tell("Nothing was recorded. "+w, "", "")
			return
		}
	}
	im := record.Implant{Kind: d("kind"), Lot: d("lot"), Device: d("device"), At: p.s.Now()}
	if im.Kind == "" {
		p.tell("Nothing was recorded: choose which part it is.", "", "")
		return
	}
	var err error
	if im.Kind != "end-cap" {
		if im.Diameter, err = typedMM(d("diameter"), 2, 25); err != nil {
			p.tell("Nothing was recorded: "+text.Error(err), "", "")
			return
		}
	}
	if im.Length, err = typedMM(d("length"), 0, 600); err != nil {
		p.tell("Nothing was recorded: "+text.Error(err), "", "")
		return
	}
	if im.Length == nil || im.Diameter == nil && im.Kind != "end-cap" {
		p.tell("Nothing was recorded: enter the size on the packet.", "", "")
		return
	}
	if im.Kind == "nail" {
		im.Side = c.Side
	}
	err = p.edit("record "+im.Kind, func(c *record.Case) error { c.Implants = append(c.Implants, im); return nil })
	if err != nil {
		p.tell("Nothing was recorded: "+text.Error(err), "", "")
		return
	}
	for _, k := range []string{"kind", "diameter", "length", "lot", "device"} {
		p.s.SetTyped("draft."+p.slot("implant-"+k), "")
	}
	p.tell("Recorded: "+text.ImplantLine(im), "Undo", "undo")
}

func (p *Page) dropImplant(arg string) {
	at, err := strconv.Atoi(arg)
	if err != nil {
		return
	}
	err = p.edit("take out a recorded part", func(c *record.Case) error {
		if at < 0 || at >= len(c.Implants) {
			return fmt.Errorf("that entry is not there any more: look at the list again")
		}
		c.Implants = append(c.Implants[:at:at], c.Implants[at+1:]...)
		return nil
	})
	if err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell("Taken out of the record.", "Undo", "undo")
}
