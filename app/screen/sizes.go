package screen

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/record"
	"isthmus/core/units"
)

// sizesRoom chooses a bedside calculator. None of them needs a case.
func (p *Page) sizesRoom(at []string) *view {
	if len(at) > 1 {
		switch at[1] {
		case "head":
			return p.sizeHead()
		case "nail":
			return p.sizeNail()
		case "scale":
			return p.sizeScale()
		case "wire":
			return p.sizeWire()
		case "tip":
			return p.sizeTip()
		case "distal":
			return p.sizeDistal()
		case "cap":
			return p.sizeCap()
		case "bow":
			return p.sizeBow()
		case "turn":
			return p.sizeTurn()
		case "union":
			return p.sizeUnion()
		}
	}
	return p.sizesHome()
}

// sizesHome lists the calculators with their last answers.
func (p *Page) sizesHome() *view {
	v := newView("sizes", "Sizes", "")
	v.aside = "no case needed"
	v.on("seen", func(string) { p.s.SetTyped("cautions-seen", "yes") })
	if seen, _ := p.s.Typed("cautions-seen"); p.ready && seen == "" {
		var kids []app.UI
		for _, s := range text.Cautions() {
			kids = append(kids, app.P().Text(s))
		}
		v.add(app.Div().Class("care").Body(append([]app.UI{app.B().Text("Before you use this")}, kids...)...),
			app.Div().Class("acts").Body(act("main", "I have read this", "seen")))
	}
	v.add(p.staleUI(v))
	item := func(to, title, answer, more string) app.UI {
		return app.Li().Body(app.A().Href(to).Body(app.B().Text(title), app.Small().Text(answer), app.Small().Text(more)))
	}
	group := func(title string, items ...app.UI) {
		v.add(app.H2().Class("group").Text(title), app.Ul().Class("list").Body(items...))
	}
	group("Head and neck",
		item("/sizes/head", "Head screw", p.headLine(), "from the wire's depth, lower and upper"),
		item("/sizes/wire", "Wire in the neck", p.wireLine(), "too high, too far in front, sideways: move, turn, next hole"),
		item("/sizes/tip", "Tip–apex distance", p.tipLine(), "from both views, the screw itself is the scale"))
	group("Nail, cap and bow",
		item("/sizes/nail", "Nail", p.nailLine(), "length, diameter and reamers, from rods, a ruler or a film"),
		item("/sizes/cap", "End cap", p.capLine(), "from how deep the top of the nail lies"),
		item("/sizes/bow", "Bow of the nail", p.bowLine(), "against the bow of the bone, and the front cortex"))
	group("Lower end, and the leg",
		item("/sizes/distal", "Distal locking", p.distalLine(), "screw from the depth, fracture to hole, tilt"),
		item("/sizes/turn", "Turn and length", p.turnLine(), "against the other leg, and the gap"))
	group("Film, and after",
		item("/sizes/scale", "Magnification", p.scaleLine(), "from a marker, two balls, a ruler or distances"),
		item("/sizes/union", "Union", p.unionLine(), "RUST or mRUST, and when to think of dynamising"))
	v.add(app.A().Class("link").Href("/about").Text("Cautions, sources, light and dark"))
	v.add(app.Div().Class("acts").Body(act("", "Start afresh: empty every field", "wipe")))
	v.ready = p.ready
	return v
}

// typed is a row whose value is kept as it was typed, whatever happens.
func (p *Page) typed(key string, r *row) *row {
	r.key, r.loose = key, true
	r.get = func() string { s, _ := p.s.Typed(key); return s }
	r.set = func(s string) error {
		p.s.SetTyped(key, s)
		p.s.SetTyped("sizes.at", p.s.Now())
		return nil
	}
	return r
}

// stale is how old numbers may be before they are asked about: longer than an
// operation, shorter than a night. Common practice.
const stale = 4 * time.Hour

// old reports whether the numbers may be of another operation.
func (p *Page) old() bool {
	at, err := time.Parse(time.RFC3339, p.word("sizes.at"))
	now, err2 := time.Parse(time.RFC3339, p.s.Now())
	return p.ready && err == nil && err2 == nil && now.Sub(at) >= stale
}

// staleUI asks whether old numbers belong to this patient. It never empties
// them by itself.
func (p *Page) staleUI(v *view) app.UI {
	v.on("wipe", func(string) { p.wipeSizes() })
	v.on("unwipe", func(string) { p.unwipeSizes() })
	v.on("still", func(string) { p.s.SetTyped("sizes.at", p.s.Now()) })
	if !p.old() {
		return app.Div()
	}
	return app.Div().Class("stop").Role("alert").Body(
		app.B().Text("Is this the same patient?"),
		app.Text("These numbers were entered "+text.When(p.word("sizes.at"))+"."),
		app.Div().Class("acts").Body(act("", "Start afresh", "wipe"), act("", "Same patient", "still")))
}

// typedKeys are all rows of the calculators, so that they can be emptied.
var typedKeys = []string{
	"sizes.at",
	"head.which", "head.keep", "head.side",
	"head.lower.depth", "head.lower.bone", "head.lower.off", "head.lower.left", "head.lower.takes",
	"head.upper.depth", "head.upper.bone", "head.upper.off", "head.upper.left", "head.upper.takes",
	"wire.what", "wire.leg", "wire.angle",
	"wire.height.ask", "wire.height.way", "wire.height.off", "wire.height.went", "wire.height.move",
	"wire.turn.ask", "wire.turn.way", "wire.turn.off", "wire.turn.went", "wire.turn.by", "wire.turn.how", "wire.turn.reach", "wire.turn.along",
	"wire.hole.way", "wire.hole.off", "wire.hole.tool",
	"tip.which", "tip.true",
	"tip.lower.ap", "tip.lower.apscrew", "tip.lower.lat", "tip.lower.latscrew", "tip.lower.calcar",
	"tip.upper.ap", "tip.upper.apscrew", "tip.upper.lat", "tip.upper.latscrew", "tip.upper.calcar",
	"nail.how", "nail.burial", "nail.side", "nail.rod", "nail.out", "nail.bone", "nail.film", "nail.factor", "nail.ruler", "nail.reduced", "nail.canal",
	"distal.what", "distal.depth", "distal.bone", "distal.off", "distal.dia", "distal.over", "distal.limit",
	"distal.nail", "distal.length", "distal.side", "distal.fracture", "distal.burial", "distal.tip", "distal.canal", "distal.thick", "distal.along",
	"cap.burial",
	"bow.how", "bow.radius", "bow.line", "bow.high", "bow.nail", "bow.chord", "bow.entry", "bow.stature",
	"turn.what", "turn.side", "turn.injured.condyles", "turn.injured.neck", "turn.sound.condyles", "turn.sound.neck",
	"turn.lesser.injured", "turn.lesser.sound", "turn.length.injured", "turn.length.sound", "turn.gap", "turn.simple",
	"union.scale", "union.inner", "union.outer", "union.front", "union.back", "union.days",
	"scale.behind.true", "scale.behind.seen", "scale.front.true", "scale.front.seen", "scale.between",
	"scale.how", "scale.usual", "scale.true", "scale.seen", "scale.depth", "scale.sid", "scale.sod", "scale.oid", "scale.film",
}

func (p *Page) wipeSizes() {
	old := map[string]string{}
	for _, k := range typedKeys {
		old[k], _ = p.s.Typed(k)
		p.s.SetTyped(k, "")
		delete(p.wrong, k)
		delete(p.kept, k)
	}
	p.wiped = old
	p.tell("Every field of Sizes is empty.", "Undo", "unwipe")
}

func (p *Page) unwipeSizes() {
	for k, s := range p.wiped {
		p.s.SetTyped(k, s)
	}
	p.wiped, p.says = nil, nil
}

// number returns the typed value of a row as millimetres, or nil.
func (p *Page) number(key string) *units.MM {
	if _, bad := p.kept[key]; bad {
		return nil
	}
	s, _ := p.s.Typed(key)
	v, err := typedMM(s, -1e4, 1e4)
	if err != nil {
		return nil
	}
	return v
}

func (p *Page) word(key string) string { s, _ := p.s.Typed(key); return s }

func (p *Page) answerTyped(key string) record.Answer { return record.Answer(p.word(key)) }
