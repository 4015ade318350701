package screen

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// codeFold is the kind of fracture: its group by a drawing, its place along
// the bone, or the code as it is typed; and what else tells whether the pieces
// carry the length. What is stored is the code.
func (p *Page) codeFold(v *view, c record.Case, pl plan.Plan) app.UI {
	in := c.Injury
	rows := p.codeRows(v, c)
	rows = append(rows,
		v.row(p, p.pick("comminution", "comminution", string(in.Comminution), words(record.Comminutions()),
			func(in *record.Injury, s string) { in.Comminution = record.Comminution(s) })),
		v.row(p, p.injuryAnswer("medial-pieces", "medial_pieces", in, func(in *record.Injury) *record.Answer { return &in.MedialPieces })),
		v.row(p, p.injuryAnswer("lesser-whole", "lesser_whole", in, func(in *record.Injury) *record.Answer { return &in.LesserWhole })))
	return p.foldUI("inj-code", "Kind of fracture (AO/OTA 2018)", codeSummary(in, pl.Class), rows...)
}

// codeSummary says the code, the comminution and whether the pieces carry the
// length.
func codeSummary(in record.Injury, cl plan.Class) string {
	s := "not given"
	if in.Code != "" {
		s = in.Code
	}
	if in.Comminution != record.NoComminutionSaid {
		s += ", comminution " + string(in.Comminution)
	}
	switch cl.Stable {
	case record.Yes:
		s += ": the pieces carry the length"
	case record.No:
		s += ": the pieces do not carry the length"
	}
	return s
}

// codeRows pick an AO/OTA code without a keyboard, or with one.
func (p *Page) codeRows(v *view, c record.Case) []app.UI {
	code := c.Injury.Code
	base, place := cutPlace(code)
	put := func(s string) error {
		return p.edit("code", func(c *record.Case) error { c.Injury.Code = s; return nil })
	}
	group := &row{kind: choiceRow, long: true, key: "code", label: text.Question("code"), note: shownCode(code),
		opts: groups(), get: func() string { return base },
		set: func(s string) error { return put(s) }}
	rows := []app.UI{v.pictures(p, group, c)}
	if opts := places(base); len(opts) > 0 {
		rows = append(rows, v.row(p, &row{kind: choiceRow, long: true, key: "code-place", label: "Where along the shaft",
			opts: opts, get: func() string { return place },
			set: func(s string) error {
				if s == "" {
					return put(base)
				}
				return put(base + "(" + s + ")")
			}}))
	}
	return append(rows, v.row(p, &row{kind: textRow, key: "code-typed", label: "Or type the code", note: "such as 32A3(b)",
		get: func() string { return code },
		set: func(s string) error {
			if strings.TrimSpace(s) == "" {
				return put("")
			}
			f, err := plan.ParseCode(s)
			if err != nil {
				return err
			}
			return put(f.String())
		}}))
}

// pictures is a choice among small drawings, each with its words below.
func (v *view) pictures(p *Page, r *row, c record.Case) app.UI {
	v.rows[r.key] = r
	now := r.get()
	var bs []app.UI
	for _, o := range r.opts {
		pressed := "false"
		if o.value == now {
			pressed = "true"
		}
		bs = append(bs, app.Button().Type("button").Aria("pressed", pressed).DataSet("do", "set|"+r.key+"|"+o.value).Body(
			app.Span().Aria("hidden", "true").Body(app.Raw(drawing.Fracture(o.value, c.Side))),
			app.B().Text(o.value), app.Small().Text(o.label)))
	}
	return app.Div().Class("seg long").Role("group").Aria("label", r.label).DataSet("row", r.key).Body(
		labelUI(r), app.Div().Class("opts pics").Body(bs...), p.wrongUI(r.key))
}

func shownCode(code string) string {
	if code == "" {
		return "tap the group; tap it again to take it back"
	}
	if _, err := plan.ParseCode(code); err != nil {
		return text.Error(err)
	}
	return "chosen: " + code
}

func cutPlace(code string) (base, place string) {
	base, rest, _ := strings.Cut(code, "(")
	return base, strings.TrimSuffix(rest, ")")
}

func groups() (out []option) {
	for _, g := range drawing.FractureGroups() {
		out = append(out, option{g, drawing.FractureWords(g)})
	}
	return out
}

// places are the qualifiers that go with a group: A and B of the shaft take
// its thirds, C takes i, j and k, the upper end takes none. Source: AO/OTA
// 2018; core/plan refuses every other.
func places(base string) []option {
	switch {
	case strings.HasPrefix(base, "32A"), strings.HasPrefix(base, "32B"):
		return []option{{"a", "(a) upper third"}, {"b", "(b) middle third"}, {"c", "(c) lower third"}}
	case strings.HasPrefix(base, "32C"):
		return []option{{"i", "(i) upper, into the metaphysis"}, {"j", "(j) shaft only"}, {"k", "(k) lower, into the metaphysis"}}
	}
	return nil
}
