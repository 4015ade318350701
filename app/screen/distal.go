package screen

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// distalScreen is the locking at the lower end: how it is locked, the holes of
// the nail, and for each screw the depth and the part to ask for.
func (p *Page) distalScreen(c record.Case, home string) *view {
	v := newView("cases", "Distal", home)
	pl := p.s.Plan()
	d := pl.Distal
	v.add(p.invented(), distalAsk(d))
	v.add(problemsOf(pl.Problems, plan.PartDistal)...)
	v.add(p.whyUI(v, "why-distal", "Why so, and which holes?", d.Why...))
	if len(d.Holes) == 0 {
		v.add(app.P().Class("note").Text("The holes are those of the nail, and it is not chosen yet."),
			app.A().Class("link").Href(home+"/nail").Text("What the nail waits for"))
	}
	var left, right []app.UI
	for _, h := range d.Holes {
		if h.Use {
			left = append(left, p.holeUI(v, c, h)...)
		}
	}
	if len(d.Holes) > 0 {
		left = append(left, p.emptyHoles(v, c, d))
		right = append(right, svg(drawing.Distal(drawing.DistalFromPlan(c, pl))), holesTable(d))
	}
	if d.Toggle != nil {
		right = append(right, namedUI([]text.Named{{Name: "The nail can tilt in the wide canal by", Value: text.Angle(*d.Toggle)}}))
	}
	v.add(app.Div().Class("two").Body(app.Div().Body(left...), app.Div().Class("stay").Body(right...)))
	v.add(v.row(p, p.oneScrewRow(c.Injury)))
	v.add(p.policyRows(v, c, plan.PartDistal)...)
	v.ready = true
	return v
}

// distalAsk says static or dynamic, and what can be done later.
func distalAsk(d plan.Distal) app.UI {
	box := app.Div().Class("part wide").Text(text.Locked(d))
	if d.Dynamic == record.NotAsked {
		box = app.Div().Class("part wide none").Text("open")
	}
	return askUI("distal", box, text.LockedWords(d), text.LaterDynamic(d), nil)
}

// holeUI is the screw of one hole, and the depth that was read there.
func (p *Page) holeUI(v *view, c record.Case, h plan.HolePlace) []app.UI {
	key := fmt.Sprintf("hole%d", h.Hole)
	var box app.UI = app.Div().Class("part none").Text("–")
	if h.Ask > 0 {
		box = app.Div().Class("part").Body(app.Text(text.Plain(h.Ask)), app.I().Text("mm"))
	}
	beside, below := first(text.HoleDetail(h))
	out := []app.UI{app.H2().Class("group").Text("Hole " + text.HoleName(h)), askUI(key, box, text.HoleAsk(h), beside, below)}
	out = append(out, p.depthRows(v, c, h.Hole)...)
	return append(out, p.whyUI(v, "why-"+key, "Why this screw?", h.Why...))
}

// depthRows take the depth at one hole.
func (p *Page) depthRows(v *view, c record.Case, hole int) []app.UI {
	like := record.Reading{Kind: record.DistalDepth, Hole: &hole}
	r := like
	if i := latest(c.Readings, func(r record.Reading) bool { return r.Kind == like.Kind && sameHole(r.Hole, &hole) }); i >= 0 {
		r = c.Readings[i]
	}
	key := fmt.Sprintf("hole%d-", hole)
	mm := func(name, label, note string, lo, hi float64, now *units.MM, at func(*record.Reading) **units.MM) app.UI {
		of := p.mm(like.Kind, key+name, label, note, lo, hi, now, at)
		of.set = func(s string) error {
			value, err := typedMM(s, lo, hi)
			if err != nil {
				return err
			}
			return p.editAt(fmt.Sprintf("hole %d, %s", hole, label), like, func(r *record.Reading) { *at(r) = value })
		}
		return v.row(p, of)
	}
	bone := p.readingAnswer(like.Kind, key+"bone", "Sleeve on bone?", "off the bone reads too long", r.OnBone, nil)
	bone.set = func(s string) error {
		return p.editAt(fmt.Sprintf("hole %d, sleeve on bone", hole), like, func(r *record.Reading) { r.OnBone = record.Answer(s) })
	}
	return []app.UI{
		mm("depth", "Depth gauge shows", "near cortex to far cortex", 15, 120, r.First, func(r *record.Reading) **units.MM { return &r.First }),
		v.row(p, bone),
		mm("off", "Gap under the sleeve", "only if it is not on the bone", 0, 50, r.OffBone, func(r *record.Reading) **units.MM { return &r.OffBone }),
	}
}

// emptyHoles takes depths at holes that the plan leaves empty: the surgeon may
// use another one.
func (p *Page) emptyHoles(v *view, c record.Case, d plan.Distal) app.UI {
	var kids []app.UI
	n := 0
	for _, h := range d.Holes {
		if !h.Use {
			n++
			kids = append(kids, p.holeUI(v, c, h)...)
		}
	}
	if n == 0 {
		return nil
	}
	return p.foldUI("holes-empty", "Another hole than planned", fmt.Sprintf("%d left empty by the plan", n), kids...)
}

// holesTable lists every hole: where it lies, how far from the fracture, and
// what goes through it.
func holesTable(d plan.Distal) app.UI {
	rows := []app.UI{app.Tr().Body(app.Th().Text("Hole"), app.Th().Class("n").Text("below the tip"), app.Th().Class("n").Text("beyond fracture"), app.Th().Class("n").Text("plan"))}
	value := func(l *units.Length) string {
		if l == nil {
			return "?"
		}
		return text.Length(*l)
	}
	for _, h := range d.Holes {
		tr := app.Tr()
		if h.Use {
			tr = tr.Class("chosen")
		}
		rows = append(rows, tr.Body(app.Td().Text(text.HoleName(h)), app.Td().Class("n").Text(value(h.Level)),
			app.Td().Class("n").Text(value(h.ToFracture)), app.Td().Class("n").Text(text.HoleUse(h))))
	}
	return app.Div().Class("scroll").TabIndex(0).Role("region").Aria("label", "Holes of the nail").Body(app.Table().Body(app.TBody().Body(rows...)))
}
