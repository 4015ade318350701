package screen

import (
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// headScreen shows the head screws of a case, takes the wire readings, and
// shows the room both screws have in three dimensions.
func (p *Page) headScreen(c record.Case, home string) *view {
	v := newView("cases", "Head", home)
	pl := p.s.Plan()
	policy, _ := plan.PolicyFrom(c.Settings)
	v.add(p.invented())
	v.add(problemsOf(pl.Problems, plan.PartHead)...)
	for _, at := range []struct {
		place implant.Place
		kind  record.ReadingKind
		s     plan.ScrewChoice
	}{{implant.Lower, record.WireLower, pl.Head.Lower}, {implant.Upper, record.WireUpper, pl.Head.Upper}} {
		v.add(screwAsk(at.place, at.s), p.stepDrill(at.s.Ask))
		for _, q := range at.s.Problems {
			v.add(problemUI(q))
		}
		v.add(p.whyUI(v, "why-"+string(at.place), "Why the "+string(at.place)+" screw?", at.s.Why...))
		v.add(p.wireRows(v, c, at.kind, string(at.place))...)
	}
	v.add(p.spaceUI(v, c, pl, policy, home)...)
	if in, err := drawing.NeckFromCase(c, pl, policy.NeckUpper, policy.NeckLower); err == nil && !pl.Space.Solved {
		v.add(svg(drawing.NeckAP(in)))
	}
	v.add(p.whyUI(v, "why-head", "Room in the neck", pl.Head.Why...))
	v.add(p.policyRows(v, c, plan.PartHead)...)
	v.ready = true
	return v
}

// stepDrill says beside a chosen length which stop is set and which end of the
// scale is read, in the hospital's own words.
func (p *Page) stepDrill(ask units.MM) app.UI {
	if ask == 0 {
		return nil
	}
	var lines []app.UI
	for _, s := range text.StepDrill(p.s.Shelf(), ask) {
		lines = append(lines, app.P().Class("gloss").Text(s))
	}
	return app.Div().DataSet("stepdrill", "yes").Body(lines...)
}

// spaceUI shows whether both screws fit, how the nail must lie for it, the
// room in both views, the tips, and the drawings; or what is missing.
func (p *Page) spaceUI(v *view, c record.Case, pl plan.Plan, policy plan.Policy, home string) []app.UI {
	s := pl.Space
	if !s.Solved && len(s.Needs) == 0 {
		return nil // no head locking, or refused: the problem says so
	}
	out := []app.UI{app.H2().Class("group").Text("Both screws in three dimensions")}
	if s.Solved {
		class := "part wide"
		if s.Both != record.Yes {
			class = "part wide none"
		}
		beside, below := first(text.SpaceDetail(s))
		out = append(out, askUI("space", app.Div().Class(class).Text(text.SpaceBox(s)), text.SpaceTitle(s), beside, below))
		out = append(out, p.whyUI(v, "why-space", "Why here?", s.Why...))
	}
	if len(s.Needs) > 0 {
		out = append(out, needsUI(c, s, home))
	}
	if !s.Solved {
		return out
	}
	out = append(out, spaceTable("Room", text.SpaceTable(s)), app.P().Class("gloss").Text(text.SpaceViews), spaceTable("Tip of the chosen screw", text.TipTable(s, policy)),
		app.P().Class("gloss").Text(text.TipLimits(policy)))
	if in, ok := drawing.SpaceFromPlan(c, pl, policy); ok {
		out = append(out, app.Div().Class("views").Body(svg(drawing.SpaceAP(in)), svg(drawing.SpaceLateral(in)), svg(drawing.SpaceSection(in))))
	}
	return out
}

// spaceTable is a small table with a column for each screw, the lower first.
func spaceTable(title string, rows []text.SpaceRow) app.UI {
	if len(rows) == 0 {
		return nil
	}
	out := []app.UI{app.Tr().Body(app.Th().Text(title), app.Th().Class("n").Text("lower"), app.Th().Class("n").Text("upper"))}
	for _, r := range rows {
		out = append(out, app.Tr().Body(app.Td().Text(r.Name), app.Td().Class("n").Text(r.Lower), app.Td().Class("n").Text(r.Upper)))
	}
	return app.Table().Body(app.TBody().Body(out...))
}

// needsUI says what must be marked, with a way to the films that can show it.
func needsUI(c record.Case, s plan.Space, home string) app.UI {
	if s.Solved {
		return app.P().Class("gloss").Text("How deep the nail lies is not told: mark the tip of the trochanter on the film from the front, and choose a nail whose head screws have a depth on the shelf.")
	}
	links := []app.UI{}
	for _, view := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		to, words, on := home+"/films", "Add a film, "+text.ViewName(view), record.Film{}
		for i, f := range c.Films {
			if f.View == view && f.Bone != anatomy.Sound {
				to, words, on = home+"/film/"+strconv.Itoa(i), "Mark them on film "+strconv.Itoa(i+1)+", "+text.ViewName(view), f
				break
			}
		}
		if lacks(on, s.Needs, view) {
			links = append(links, app.A().Class("act").Href(to).Text(words))
		}
	}
	return app.Div().Class("note").DataSet("needs", "yes").Body(app.Text(text.SpaceNeeds(s.Needs)), app.Div().Class("acts").Body(links...))
}

// screwAsk is the box with the head screw to ask for.
func screwAsk(place implant.Place, s plan.ScrewChoice) app.UI {
	var box app.UI = app.Div().Class("part none").Text("–")
	if s.Ask > 0 {
		box = app.Div().Class("part").Body(app.Text(text.Plain(s.Ask)), app.I().Text("mm"))
	}
	beside, below := first(text.ScrewDetail(s))
	return askUI("screw-"+string(place), box, text.ScrewAsk(place, s), beside, below)
}

func (p *Page) wireRows(v *view, c record.Case, kind record.ReadingKind, place string) []app.UI {
	r := reading(c, kind)
	rows := []app.UI{
		v.row(p, p.mm(kind, place+"-depth", "Gauge on the "+place+" wire", "", 20, 200, r.First, func(r *record.Reading) **units.MM { return &r.First })),
		v.row(p, p.readingAnswer(kind, place+"-bone", "Sleeve on bone?", "off the bone reads too long", r.OnBone, func(r *record.Reading, a record.Answer) { r.OnBone = a })),
	}
	if r.OnBone == record.No {
		rows = append(rows, v.row(p, p.mm(kind, place+"-off", "Gap under the sleeve", "", 0, 60, r.OffBone, func(r *record.Reading) **units.MM { return &r.OffBone })))
	}
	return append(rows,
		v.row(p, p.mm(kind, place+"-left", "Wire stops short of the joint by", "as seen in both views", 0, 40, r.GapLeft, func(r *record.Reading) **units.MM { return &r.GapLeft })),
		v.row(p, p.mm(kind, place+"-takes", "Gauge already takes off", "read the gauge's own instructions", 0, 30, r.Subtracts, func(r *record.Reading) **units.MM { return &r.Subtracts })))
}

// lacks is true of a film on which a point that is needed, and that this view
// can show, was not placed.
func lacks(f record.Film, needs []string, view anatomy.View) bool {
	for _, n := range needs {
		of := text.NeedView(n)
		placed := slices.ContainsFunc(f.Points, func(q record.Point) bool { return string(q.Name) == n })
		if (of == view || of == "") && !placed {
			return true
		}
	}
	return false
}
