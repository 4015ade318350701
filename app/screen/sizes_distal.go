package screen

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// What is asked about the lower end.
const (
	distalScrew = "screw"
	distalHoles = "holes"
	distalTilt  = "tilt"
)

// sizeRow is a number of the calculators.
func (p *Page) sizeRow(v *view, key, label, note, unit string, lo, hi, step float64) app.UI {
	return v.row(p, p.typed(key, &row{label: label, note: note, unit: unit, lo: lo, hi: hi, step: step}))
}

// sizeOr is sizeRow with the value that holds until another is typed.
func (p *Page) sizeOr(v *view, key, usual, label, note string, lo, hi, step float64) app.UI {
	return v.row(p, p.typedOr(key, usual, &row{label: label, note: note, unit: "mm", lo: lo, hi: hi, step: step}))
}

// sizePick is a choice of the calculators.
func (p *Page) sizePick(v *view, key, label, note string, opts ...option) app.UI {
	return v.row(p, p.typed(key, &row{kind: choiceRow, label: label, note: note, opts: opts}))
}

// sizeTabs chooses what a calculator is asked.
func (p *Page) sizeTabs(v *view, key, usual, label string, opts ...option) app.UI {
	return v.tabs(p, p.typedOr(key, usual, &row{label: label, kind: choiceRow, opts: opts}))
}

// sizeBox is the box of an answer: one number and its unit, or nothing yet.
func sizeBox(number, unit string, wide bool) app.UI {
	class := "part"
	if wide || len(number) > 3 {
		class = "part wide"
	}
	if number == "" {
		return app.Div().Class("part wide none").Text("open")
	}
	return app.Div().Class(class).Body(app.Text(number), app.I().Text(unit))
}

// sizeTable lists names with their values.
func sizeTable(of []text.Named) app.UI {
	var rows []app.UI
	for _, n := range of {
		rows = append(rows, app.Tr().Body(app.Td().Text(n.Name), app.Td().Class("n").Body(app.B().Text(n.Value))))
	}
	return app.Table().Body(app.TBody().Body(rows...))
}

func nothingDrawn() app.UI {
	return app.P().Class("gloss").Text("The drawing, to scale, follows the numbers.")
}

// lockingDias are the diameters of the locking screws on the shelf.
func (p *Page) lockingDias() (out []units.MM) {
	for _, s := range p.s.Shelf().Locking {
		if !slices.Contains(out, s.Diameter) {
			out = append(out, s.Diameter)
		}
	}
	slices.Sort(out)
	return out
}

func (p *Page) distalPolicy() plan.Policy {
	return p.bedsidePolicy(map[string]string{"distal_over_mm": "distal.over", "hole_distance_mm": "distal.limit"})
}

// distalAnswer is the screw for the depth that was typed. A diameter of 0 is
// the one that the shelf has.
func (p *Page) distalAnswer(dia units.MM) plan.DistalScrew {
	r := record.Reading{Kind: record.DistalDepth, First: p.number("distal.depth"), OnBone: p.answerTyped("distal.bone"), OffBone: p.number("distal.off")}
	if r.OnBone == record.Yes {
		r.OffBone = nil
	}
	return plan.DistalScrewFrom(r, dia, p.s.Shelf(), p.distalPolicy())
}

// distalDia is the diameter that was chosen, or 0.
func (p *Page) distalDia() units.MM {
	if d := p.number("distal.dia"); d != nil {
		return *d
	}
	return 0
}

func (p *Page) distalLine() string {
	if !p.ready {
		return ""
	}
	if s := p.distalAnswer(p.distalDia()); s.Ask > 0 {
		return "screw " + text.MM(s.Ask)
	}
	return "nothing entered"
}

// sizeDistal gives the locking screw from the depth, the way of each hole from
// the fracture, and the tilt of the nail in a wide canal.
func (p *Page) sizeDistal() *view {
	v := newView("sizes", "Distal locking", "/sizes")
	v.add(p.staleUI(v), p.sizeTabs(v, "distal.what", distalScrew, "What is asked",
		option{distalScrew, "Screw"}, option{distalHoles, "Fracture to hole"}, option{distalTilt, "Tilt"}))
	switch p.wordOr("distal.what", distalScrew) {
	case distalHoles:
		p.distalHolesUI(v)
	case distalTilt:
		p.distalTiltUI(v)
	default:
		p.distalScrewUI(v)
	}
	return v
}

func (p *Page) distalScrewUI(v *view) {
	s := p.distalAnswer(p.distalDia())
	beside, below := first(text.DistalDetail(s))
	number := ""
	if s.Ask > 0 {
		number = text.Plain(s.Ask)
	}
	keys := []app.UI{
		p.sizeRow(v, "distal.depth", "Depth gauge shows", "near cortex to far cortex", "mm", 15, 120, 1),
		p.sizePick(v, "distal.bone", "Sleeve on bone?", "off the bone reads too long", yesNoUnsure()...)}
	if p.word("distal.bone") == "no" {
		keys = append(keys, p.sizeRow(v, "distal.off", "Gap under the sleeve", "taken off the reading", "mm", 0, 50, 1))
	}
	dias := p.lockingDias()
	if len(dias) > 1 {
		var opts []option
		for _, d := range dias {
			opts = append(opts, option{text.Plain(d), text.MM(d)})
		}
		keys = append(keys, p.sizePick(v, "distal.dia", "Screw across", "which one the nail takes", opts...))
	}
	if p.word("distal.depth") != "" {
		keys = append(keys, p.sayProblems(s.Problems)...)
	}
	pic := nothingDrawn()
	if in, ok := drawing.HoleFromScrew(s, p.distalPolicy().DistalPast); ok {
		pic = svg(drawing.Hole(in))
	}
	over := plan.DefaultPolicy().DistalOver
	rest := []app.UI{
		p.diaTable(dias),
		p.sizeOr(v, "distal.over", text.Plain(over), "Longer than the depth by", "so that the far cortex is caught; 2 to 4, common practice", 2, 4, 1),
		app.P().Class("care").Text("Rounded up, unlike a head screw: the far cortex must be caught."),
		p.whyUI(v, "why-distal-screw", "Why this length?", s.Why...)}
	v.add(calc([]app.UI{askUI("distal", sizeBox(number, "mm", false), text.DistalAsk(s), beside, below), p.invented()}, keys, []app.UI{pic}, rest))
	v.ready = s.Ask > 0
}

// diaTable is the answer for every diameter of the shelf, where it has
// several.
func (p *Page) diaTable(dias []units.MM) app.UI {
	if len(dias) < 2 || p.word("distal.depth") == "" {
		return nil
	}
	var rows []text.Named
	for _, d := range dias {
		value := "none"
		if s := p.distalAnswer(d); s.Ask > 0 {
			value = text.MM(s.Ask) + ", " + text.Count(s.Stock)
		}
		rows = append(rows, text.Named{Name: "Screws of " + text.MM(d), Value: value})
	}
	return sizeTable(rows)
}

// holesNail is the nail of the shelf with the typed diameter and length, on
// the typed side where left and right differ in their holes.
func (p *Page) holesNail() (out *implant.Nail, differ bool) {
	dia, long, side := p.number("distal.nail"), p.number("distal.length"), anatomy.Side(p.word("distal.side"))
	if dia == nil || long == nil {
		return nil, false
	}
	for _, n := range p.s.Shelf().Nails {
		if n.Diameter != *dia || n.Length != *long || side != "" && n.Side != "" && n.Side != side {
			continue
		}
		if out != nil && !slices.Equal(out.Distal, n.Distal) {
			return nil, true
		}
		out = &n
	}
	return out, false
}

// holesAsk is what HoleFor is asked for one nail, and false while something is
// missing.
type holesAsk struct {
	dia, nail     units.MM
	burial, lower units.Length
	holes         []implant.Hole
}

func (p *Page) holesAsk() (a holesAsk, ok bool) {
	policy := p.distalPolicy()
	dia, long, lower, burial := p.number("distal.nail"), p.number("distal.length"), p.number("distal.fracture"), p.number("distal.burial")
	if p.empty("distal.burial") {
		burial = &policy.Burial
	}
	if dia == nil || long == nil || lower == nil || burial == nil {
		return a, false
	}
	a = holesAsk{dia: *dia, nail: *long, burial: plan.TypedBurial(*burial, policy), lower: plan.TypedLevel(*lower, policy)}
	n, differ := p.holesNail()
	if n != nil {
		a.holes = n.Distal
	} else if tip := p.number("distal.tip"); tip != nil && !differ {
		a.holes = []implant.Hole{{FromTip: *tip, Plane: implant.Transverse}}
	}
	return a, len(a.holes) > 0
}

func (p *Page) distalHolesUI(v *view) {
	policy := p.distalPolicy()
	a, ok := p.holesAsk()
	ask := askUI("holes", sizeBox("", "", true), "No distance yet", "Enter what is asked below.", nil)
	pic, keys, rest := nothingDrawn(), p.holesRows(v), []app.UI{}
	if ok {
		top := plan.HoleFor(a.nail, a.holes[0].FromTip, a.burial, a.lower, policy)
		if top.Length != nil {
			v.ready = true
			ask = askUI("holes", sizeBox(text.Whole(*top.Length), "mm", false), "Highest hole: "+text.HoleGap(*top.Length), "", nil)
			pic = svg(drawing.Distal(drawing.DistalFromHoles(anatomy.Side(p.word("distal.side")), a.dia, a.nail, a.burial, a.lower, a.holes)))
		}
		keys = append(keys, p.sayProblems(top.Problems)...)
		rest = append(rest, holesList(a, policy), p.whyUI(v, "why-holes", "Why is that far enough?", top.Why...))
	}
	limit := plan.DefaultPolicy().HoleDistance
	rest = append(rest, p.sizeOr(v, "distal.limit", text.Plain(limit), "Keep the hole from the fracture", "policy "+text.MM(limit)+"; every fatigued nail broke nearer (Bucholz 1987)", 30, 80, 5))
	v.add(calc([]app.UI{ask, p.invented()}, keys, []app.UI{pic}, rest))
}

func (p *Page) holesRows(v *view) []app.UI {
	burial := plan.DefaultPolicy().Burial
	rows := []app.UI{
		p.sizeRow(v, "distal.fracture", "Lower end of the fracture", "below the tip of the trochanter, true millimetres", "mm", 20, 600, 5),
		p.sizeRow(v, "distal.length", "Length of the nail", "", "mm", 100, 600, 20),
		p.sizeRow(v, "distal.nail", "Diameter of the nail", "", "mm", 5, 20, 1),
		p.sizeOr(v, "distal.burial", text.Plain(burial), "Nail below the tip", "burial; above the tip: minus", -30, 60, 1),
		p.sizePick(v, "distal.side", "Side", "for the drawing", option{"left", "Left"}, option{"right", "Right"})}
	n, differ := p.holesNail()
	switch {
	case differ:
		rows = append(rows, app.P().Class("care").Text("Left and right nails of this size have other holes: say the side."))
	case n == nil && p.number("distal.length") != nil && p.number("distal.nail") != nil:
		rows = append(rows, app.P().Class("gloss").Text("The shelf has no nail of this size: type where its highest distal hole lies."),
			p.sizeRow(v, "distal.tip", "Highest hole from the nail’s tip", "", "mm", 0, 150, 5))
	}
	return rows
}

// holesList is every hole with its way from the fracture.
func holesList(a holesAsk, policy plan.Policy) app.UI {
	var rows []text.Named
	for i, h := range a.holes {
		value := "cannot be told"
		if of := plan.HoleFor(a.nail, h.FromTip, a.burial, a.lower, policy); of.Length != nil {
			value = text.HoleGap(*of.Length)
		}
		rows = append(rows, text.Named{Name: text.HoleShort(i+1, h), Value: value})
	}
	return sizeTable(rows)
}

func (p *Page) distalTiltUI(v *view) {
	canal, nail, along := p.number("distal.canal"), p.number("distal.thick"), p.number("distal.along")
	keys := []app.UI{
		p.sizeRow(v, "distal.canal", "Canal in the lower piece", "width where the nail ends, true size", "mm", 5, 80, 1),
		p.sizeRow(v, "distal.thick", "Diameter of the nail", "", "mm", 5, 20, 1),
		p.sizeRow(v, "distal.along", "Nail in that piece", "from the fracture to its tip", "mm", 10, 500, 10)}
	ask := askUI("tilt", sizeBox("", "", true), "No angle yet", "Enter what is asked below.", nil)
	pic, rest := nothingDrawn(), []app.UI{app.P().Class("care").Text("The canal widens downwards. Screws in two planes hold the piece; without them it tilts so far either way.")}
	if canal != nil && nail != nil && along != nil {
		a := plan.ToggleFor(plan.TypedWidth(*canal), *nail, units.Exact(*along))
		keys = append(keys, p.sayProblems(a.Problems)...)
		if a.Angle != nil {
			v.ready = true
			ask = askUI("tilt", sizeBox(units.Trim(float64(a.Angle.Best), 1), "°", false), "The nail can tilt by "+text.Angle(*a.Angle), "where no screw holds it, and no wall is nearer", nil)
			pic = svg(drawing.Tilt(drawing.TiltInput{ID: "tilt", Canal: *canal, Nail: *nail, Along: *along, Angle: *a.Angle}))
		}
		rest = append(rest, p.whyUI(v, "why-tilt", "Why this angle?", a.Why...))
	}
	v.add(calc([]app.UI{ask}, keys, []app.UI{pic}, rest))
}
