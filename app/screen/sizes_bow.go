package screen

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// shelfBows are the radii of the nails on the shelf.
func (p *Page) shelfBows() (out []units.MM) {
	for _, n := range p.s.Shelf().Nails {
		if n.BowRadius > 0 && !slices.Contains(out, n.BowRadius) {
			out = append(out, n.BowRadius)
		}
	}
	slices.Sort(out)
	return out
}

// bowNail is the radius that was typed, or that of every nail of the shelf.
func (p *Page) bowNail() *units.MM {
	if all := p.shelfBows(); len(all) == 1 && p.empty("bow.nail") {
		return &all[0]
	}
	return p.number("bow.nail")
}

// bowBone is the radius of the bone, typed or from a line and the height of
// the bow over it.
func (p *Page) bowBone() (*units.Length, []plan.Problem) {
	if p.wordOr("bow.how", "height") == "radius" {
		if r := p.number("bow.radius"); r != nil {
			l := units.Exact(*r)
			return &l, nil
		}
		return nil, nil
	}
	line, high := p.number("bow.line"), p.number("bow.high")
	if line == nil || high == nil {
		return nil, nil
	}
	l, bad := plan.TypedBow(*line, *high)
	if bad != nil {
		return nil, bad
	}
	return &l, nil
}

// bowAnswer compares the bows, as far as all three numbers are known.
func (p *Page) bowAnswer() (plan.Answered, *units.Length) {
	bone, bad := p.bowBone()
	nail, chord := p.bowNail(), p.number("bow.chord")
	if bone == nil || nail == nil || chord == nil {
		return plan.Answered{Problems: bad}, bone
	}
	return plan.BowFor(*bone, *nail, *chord, plan.DefaultPolicy()), bone
}

func (p *Page) bowLine() string {
	if !p.ready {
		return ""
	}
	if a, _ := p.bowAnswer(); a.Length != nil {
		return lowerFirst(text.BowSays(*a.Length))
	}
	return "nothing entered"
}

// sizeBow compares the bow of the bone with that of the nail.
func (p *Page) sizeBow() *view {
	v := newView("sizes", "Bow of the nail", "/sizes")
	a, bone := p.bowAnswer()
	policy := plan.DefaultPolicy()
	v.add(p.staleUI(v), p.sizeTabs(v, "bow.how", "height", "How the bow of the bone is known", option{"height", "Line and height"}, option{"radius", "Radius"}))
	number, title, beside, pic := "", "No comparison yet", "Enter what is asked below.", nothingDrawn()
	if a.Length != nil {
		size := *a.Length
		if size.Best < 0 {
			size = size.Times(-1)
		}
		number, title, beside = text.Whole(size), text.BowSays(*a.Length), "difference in height over the length of the nail; more than "+text.MM(policy.BowMismatch)+" is a warning"
		pic = svg(drawing.BowFit(drawing.BowFitInput{ID: "bow", Bone: *bone, Nail: *p.bowNail(), Chord: *p.number("bow.chord"), Mismatch: *a.Length, Limit: policy.BowMismatch}))
	}
	var below []string
	if bone != nil {
		below = append(below, "Radius of the bone "+text.Length(*bone))
	}
	problems := append(a.Problems, plan.FrontCortex(record.Entry(p.word("bow.entry")), p.number("bow.stature"), policy)...)
	keys := append(p.bowRows(v), p.sayProblems(problems)...)
	rest := []app.UI{
		app.P().Class("care").Text("A hint and no more: the place of entry and room in the canal change it. Look at the tip from the side while the nail goes in."),
		p.whyUI(v, "why-bow", "Why this difference?", a.Why...)}
	v.add(calc([]app.UI{askUI("bow", sizeBox(number, "mm", false), title, beside, below), p.invented()}, keys, []app.UI{pic}, rest))
	v.ready = a.Length != nil
	return v
}

func (p *Page) bowRows(v *view) []app.UI {
	var rows []app.UI
	if p.wordOr("bow.how", "height") == "radius" {
		rows = append(rows, p.sizeRow(v, "bow.radius", "Radius of the bone’s bow", "from a film from the side; there is no usual value", "mm", 100, 5000, 50))
	} else {
		rows = append(rows, p.sizeRow(v, "bow.line", "Straight line in the canal", "from the side, between two places of its middle, true size", "mm", 50, 500, 10),
			p.sizeRow(v, "bow.high", "Height of the bow over it", "halfway, from that line to the middle of the canal", "mm", 0, 60, 1))
	}
	bow := &row{label: "Radius of the nail’s bow", unit: "mm", lo: 100, hi: 5000, step: 50}
	if all := p.shelfBows(); len(all) == 1 {
		bow.note = "from the shelf"
		rows = append(rows, v.row(p, p.typedOr("bow.nail", text.Plain(all[0]), bow)))
	} else {
		if len(all) > 1 {
			pick := &row{kind: choiceRow, key: "bow.shelf", label: "Nails of the shelf", get: func() string { return p.word("bow.nail") }}
			for _, r := range all {
				pick.opts = append(pick.opts, option{text.Plain(r), text.MM(r)})
			}
			pick.set = func(s string) error { return v.rows["bow.nail"].set(s) }
			rows = append(rows, v.row(p, pick))
		}
		rows = append(rows, v.row(p, p.typed("bow.nail", bow)))
	}
	return append(rows,
		p.sizeRow(v, "bow.chord", "Length of the nail", "over which the bows are compared", "mm", 100, 600, 20),
		p.sizePick(v, "bow.entry", "Entry, from the side", "third of the trochanter", option{string(record.EntryFront), "Front"}, option{string(record.EntryMiddle), "Middle"}, option{string(record.EntryBack), "Back"}),
		p.sizeRow(v, "bow.stature", "Height of the patient", "short patients: the tip meets the front cortex more often", "mm", 1000, 2300, 10))
}
