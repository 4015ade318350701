package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/units"
)

// sizeWire says what to do with a wire that does not lie where it should.
func (p *Page) sizeWire() *view {
	v := newView("sizes", "Wire in the neck", "/sizes")
	v.add(p.staleUI(v), v.tabs(p, p.typedOr("wire.what", wireHeight, &row{label: "What is wrong with the wire", kind: choiceRow,
		opts: []option{{wireHeight, "High, low"}, {wireTurn, "Front, behind"}, {wireHole, "Sideways"}}})))
	a := p.wireAnswer()
	pic := a.picture
	if pic == nil {
		pic = app.P().Class("gloss").Text("The drawing, to scale, follows the numbers.")
	}
	ask := []app.UI{wireAsk(a)}
	if a.err != nil {
		ask = append(ask, app.P().Class("care").Role("alert").Text(text.Error(a.err)))
	}
	if len(a.ways) > 0 {
		var rows []app.UI
		for _, w := range a.ways {
			rows = append(rows, app.Tr().Body(app.Td().Text(w.Name), app.Td().Class("n").Body(app.B().Text(w.Value))))
		}
		ask = append(ask, app.Table().Body(app.TBody().Body(rows...)))
	}
	rest := []app.UI{app.P().Class("care").Text(text.SquareImage)}
	if p.wireWhat() == wireHeight {
		rest = append(rest, p.legRow(v, "for the drawing"))
	}
	v.add(calc(ask, p.offRows(v), []app.UI{pic}, rest))
	v.ready = a.box != ""
	return v
}

func wireAsk(a wireAnswer) app.UI {
	title := a.title
	if title == "" {
		title = "No answer"
	}
	if a.box == "" {
		return askUI("wire", app.Div().Class("part wide none").Text("open"), title, "", a.below)
	}
	return askUI("wire", app.Div().Class("part").Body(app.Text(a.box), app.I().Text(a.unit)), title, "", a.below)
}

func (p *Page) legRow(v *view, note string) app.UI {
	return v.row(p, p.typed("wire.leg", &row{kind: choiceRow, label: "Leg", note: note, opts: []option{{"left", "Left"}, {"right", "Right"}}}))
}

// angleRows take the angle between nail and screws: from the shelf, or typed.
func (p *Page) angleRows(v *view) []app.UI {
	all := p.shelfAngles()
	r := &row{label: "Nail to screw", note: "angle between them", unit: "°", lo: 20, hi: 160, step: 1}
	if len(all) == 1 {
		r.note = "angle, from the shelf"
		return []app.UI{v.row(p, p.typedOr("wire.angle", units.Trim(float64(all[0]), 1), r))}
	}
	out := []app.UI{v.row(p, p.typed("wire.angle", r))}
	if len(all) == 0 {
		return out
	}
	pick := &row{kind: choiceRow, key: "wire.shelfangle", label: "Nails of the shelf", get: func() string { return p.word("wire.angle") }}
	for _, a := range all {
		s := units.Trim(float64(a), 1)
		pick.opts = append(pick.opts, option{s, s + "°"})
	}
	pick.set = func(s string) error { return v.rows["wire.angle"].set(s) }
	return append([]app.UI{v.row(p, pick)}, out...)
}

// askRow chooses between a wire that is off and a nail that was moved.
func (p *Page) askRow(v *view, key, moved string) app.UI {
	r := p.typedOr(key, "off", &row{kind: choiceRow, label: "What is known", opts: []option{{"off", "Wire is off"}, {"moved", moved}}})
	r.firm = true
	return v.row(p, r)
}

func (p *Page) offRows(v *view) []app.UI {
	way := func(key, label, note string, opts ...option) app.UI {
		return v.row(p, p.typed(key, &row{kind: choiceRow, label: label, note: note, opts: opts}))
	}
	mm := func(key, label, note string, lo, hi float64) app.UI {
		return v.row(p, p.typed(key, &row{label: label, note: note, unit: "mm", lo: lo, hi: hi, step: 1}))
	}
	switch p.wireWhat() {
	case wireTurn:
		return p.turnRows(v, way, mm)
	case wireHole:
		return p.holeRows(v, way, mm)
	}
	var rows []app.UI
	if p.word("wire.height.ask") == "moved" {
		rows = append(rows, way("wire.height.went", "The nail was", "", option{"advanced", "Advanced"}, option{"withdrawn", "Withdrawn"}),
			mm("wire.height.move", "By", "along the nail", 0, 120))
	} else {
		rows = append(rows, way("wire.height.way", "The wire is too", "from the front", option{"high", "High"}, option{"low", "Low"}),
			mm("wire.height.off", "By", "square to the wire", 0, 40))
	}
	return append(append(rows, p.angleRows(v)...), p.askRow(v, "wire.height.ask", "Nail was moved"))
}

type (
	wayRow func(key, label, note string, opts ...option) app.UI
	mmRow  func(key, label, note string, lo, hi float64) app.UI
)

func (p *Page) turnRows(v *view, way wayRow, mm mmRow) []app.UI {
	rows := []app.UI{p.legRow(v, "left and right turn opposite ways")}
	if p.word("wire.turn.ask") == "moved" {
		rows = append(rows, way("wire.turn.went", "The handle went", "", option{"forwards", "Forwards"}, option{"backwards", "Backwards"}),
			v.row(p, p.typed("wire.turn.by", &row{label: "By", unit: "°", lo: 0, hi: 45, step: 1})))
	} else {
		rows = append(rows, way("wire.turn.way", "The wire is too far", "from the side", option{"front", "In front"}, option{"behind", "Behind"}),
			mm("wire.turn.off", "By", "square to the wire", 0, 40))
	}
	how := p.typedOr("wire.turn.how", "square", &row{kind: choiceRow, label: "Where was that seen?", opts: []option{{"square", "Square to the nail"}, {"along", "Along the wire"}}})
	how.firm = true
	rows = append(rows, v.row(p, how))
	if how.get() == "along" {
		rows = append(append(rows, mm("wire.turn.along", "Way along the wire", "from the axis of the nail", 20, 200)), p.angleRows(v)...)
	} else {
		rows = append(rows, mm("wire.turn.reach", "Nail to that place", "from its axis, square to it", 20, 150))
	}
	return append(rows, p.askRow(v, "wire.turn.ask", "Handle was turned"))
}

func (p *Page) holeRows(v *view, way wayRow, mm mmRow) []app.UI {
	var rows []app.UI
	if all := p.sleeves(); len(all) > 1 {
		pick := &row{kind: choiceRow, long: true, label: "Sleeve"}
		for _, t := range all {
			pick.opts = append(pick.opts, option{t.ID, t.ID})
		}
		rows = append(rows, v.row(p, p.typed("wire.hole.tool", pick)))
	}
	rows = append(rows, way("wire.hole.way", "The wire must go", "turn the row of holes that way", option{"forwards", "Forwards"}, option{"backwards", "Backwards"}, option{"up", "Up"}, option{"down", "Down"}),
		mm("wire.hole.off", "By", "the wire stands in the middle hole", 0, 40))
	if t, ok := p.sleeve(); ok {
		rows = append(rows, app.P().Class("gloss").Text("Sleeve of the shelf: "+text.ToolMore(t)+"."))
	}
	return rows
}
