package screen

import (
	"fmt"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// injuryScreen asks about the fracture and the patient. What has a stop behind
// it comes first and never moves, so that no finger meets another question
// than the one it aimed at; the rest is folded.
func (p *Page) injuryScreen(c record.Case, home string) *view {
	v := newView("cases", "Injury", home)
	pl := p.s.Plan()
	v.add(problemsOf(stops(pl.Problems), plan.PartInjury)...)
	v.add(app.Div().Class("ask").Body(lockingBox(pl), app.Div().Class("say").Body(lockingWords(pl)...)))
	v.add(p.whyUI(v, "locking", "Why this locking?", pl.Locking.Why...))
	v.add(p.whyUI(v, "against", "What points the other way", pl.Locking.Against...))
	v.add(p.whyUI(v, "change", "What would change it", pl.Locking.Change...))
	p.firstQuestions(v, c, pl)
	if c.Injury.Implant == record.Yes || len(c.Existing) > 0 {
		v.add(app.A().Class("link").Href(home+"/record").Text("Describe what is in the bone"),
			app.A().Class("link").Href(home+"/removal").Text("How it comes out"))
	}
	v.add(p.codeFold(v, c, pl), p.neckFold(v, c, pl), p.woundFold(v, c), p.patientFold(v, c), p.atypicalFold(v, c, pl), p.entryFold(v, c))
	v.add(problemsOf(quieter(pl.Problems), plan.PartInjury)...)
	v.add(p.whyUI(v, "class", "What the answers amount to", pl.Class.Why...))
	v.add(p.policyRows(v, c, plan.PartInjury)...)
	v.ready = true
	return v
}

// An asked is a question with a stop behind it.
type asked struct {
	field    string // of the case file
	answered bool
	row      *row
}

// firstQuestions asks what has a stop behind it, and says on top what is next.
// What says so takes the same room whatever is answered: nothing moves away
// under the finger that answers.
func (p *Page) firstQuestions(v *view, c record.Case, pl plan.Plan) {
	open := stillAsked(pl, plan.PartInjury)
	var rows []app.UI
	next, n := (*row)(nil), 0
	for _, a := range p.askedFirst(c) {
		waits := !a.answered && open[a.field]
		if waits {
			if n++; next == nil {
				next = a.row
			}
		}
		rows = append(rows, askedUI("at-"+a.row.key, waits, v.row(p, a.row)))
	}
	v.on("find", p.find)
	if next == nil {
		v.add(app.P().Class("jump").Body(app.Span().Text("Every question with a stop behind it is answered.")))
	} else {
		v.add(app.Div().Class("jump").Body(app.Button().Type("button").DataSet("do", "find|at-"+next.key).Body(
			app.B().Text(fmt.Sprintf("%d still asked, each with a stop", n)), app.Span().Text("next: "+next.label))))
	}
	v.add(rows...)
}

// askedFirst lists the questions with a stop behind them, in a fixed order.
func (p *Page) askedFirst(c record.Case) []asked {
	in := c.Injury
	answer := func(key, field string, at func(*record.Injury) *record.Answer) asked {
		return asked{"injury." + field, *at(&in) != record.NotAsked && *at(&in) != record.Unsure, p.injuryAnswer(key, field, in, at)}
	}
	side := &row{kind: choiceRow, key: "side", label: "Side of the broken leg", opts: []option{{"left", "Left"}, {"right", "Right"}},
		get: func() string { return string(c.Side) },
		set: func(s string) error {
			return p.edit("side", func(c *record.Case) error { c.Side = anatomy.Side(s); return nil })
		}}
	level := p.pick("level", "level", string(in.Level), words(record.Levels()), func(in *record.Injury, s string) { in.Level = record.Level(s) })
	return []asked{
		{"side", c.Side.Valid(), side}, {"injury.level", in.Level != record.NoLevel, level},
		answer("neck", "neck", func(in *record.Injury) *record.Answer { return &in.Neck }),
		answer("neck-ct", "neck_by_ct", func(in *record.Injury) *record.Answer { return &in.NeckByCT }),
		answer("neck-film", "neck_by_film", func(in *record.Injury) *record.Answer { return &in.NeckByFilm }),
		answer("infection", "infection", func(in *record.Injury) *record.Answer { return &in.Infection }),
		answer("implant", "implant", func(in *record.Injury) *record.Answer { return &in.Implant }),
		answer("physis", "open_physis", func(in *record.Injury) *record.Answer { return &in.OpenPhysis }),
		{"injury.age_years", in.AgeYears != nil, p.ageRow(in)},
		answer("atypical", "atypical", func(in *record.Injury) *record.Answer { return &in.Atypical }),
		answer("pathologic", "pathologic", func(in *record.Injury) *record.Answer { return &in.Pathologic }),
	}
}

func (p *Page) ageRow(in record.Injury) *row {
	return &row{key: "age", label: text.Question("age_years"), unit: "years", lo: 0, hi: 120, step: 1,
		get: func() string {
			if in.AgeYears == nil {
				return ""
			}
			return strconv.Itoa(*in.AgeYears)
		},
		set: func(s string) error {
			return p.edit("age", func(c *record.Case) error { return setInt(&c.Injury.AgeYears, s, "years") })
		}}
}

// injuryMM is the row of a length of the injury.
func (p *Page) injuryMM(key, field string, lo, hi, step float64, now record.Injury, at func(*record.Injury) **units.MM) *row {
	label := text.Question(field)
	return &row{key: key, label: label, note: text.QuestionWhy(field), unit: "mm", lo: lo, hi: hi, step: step,
		get: func() string { return shownMM(*at(&now)) },
		set: func(s string) error {
			mm, err := typedMM(s, lo, hi)
			if err != nil {
				return err
			}
			return p.edit(label, func(c *record.Case) error { *at(&c.Injury) = mm; return nil })
		}}
}

// neckFold is what was done to look at the neck, and what remains, in order.
func (p *Page) neckFold(v *view, c record.Case, pl plan.Plan) app.UI {
	in := c.Injury
	rows := []app.UI{
		v.row(p, p.injuryAnswer("neck-mri", "neck_by_mri", in, func(in *record.Injury) *record.Answer { return &in.NeckByMRI })),
		v.row(p, p.injuryAnswer("neck-theatre", "neck_in_theatre", in, func(in *record.Injury) *record.Answer { return &in.NeckInTheatre })),
		v.row(p, p.injuryAnswer("neck-after", "neck_after", in, func(in *record.Injury) *record.Answer { return &in.NeckAfter })),
	}
	summary := "not looked at yet"
	if n := len(pl.Class.NeckDone); n > 0 || len(pl.Class.NeckLeft) == 0 {
		summary = fmt.Sprintf("%d done, %d left", n, len(pl.Class.NeckLeft))
	}
	list := func(title string, looks []string) app.UI {
		if len(looks) == 0 {
			return nil
		}
		var items []app.UI
		for _, l := range looks {
			items = append(items, app.Li().Text(text.NeckLook(l)))
		}
		return app.Div().Body(app.P().Body(app.B().Text(title)), app.Ol().Body(items...))
	}
	kids := append([]app.UI{list("Done", pl.Class.NeckDone), list("Left, in this order", pl.Class.NeckLeft)}, rows...)
	return p.foldUI("inj-neck", "How the neck is looked at", summary, kids...)
}

func (p *Page) woundFold(v *view, c record.Case) app.UI {
	in := c.Injury
	rows := []app.UI{
		v.row(p, p.pick("wound", "wound", string(in.Wound), words(record.Wounds()), func(in *record.Injury, s string) { in.Wound = record.Wound(s) })),
		v.row(p, p.injuryMM("wound-mm", "wound_mm", 1, 500, 5, in, func(in *record.Injury) **units.MM { return &in.WoundMM })),
	}
	summary := "not said"
	if in.Wound != record.NoWoundSaid {
		summary = text.Choice("wound", string(in.Wound))
	}
	return p.foldUI("inj-wound", "Open or closed (Gustilo and Anderson)", summary, rows...)
}

func (p *Page) patientFold(v *view, c record.Case) app.UI {
	in := c.Injury
	rows := []app.UI{
		v.row(p, p.injuryAnswer("high-energy", "high_energy", in, func(in *record.Injury) *record.Answer { return &in.HighEnergy })),
		v.row(p, p.injuryAnswer("many-injuries", "many_injuries", in, func(in *record.Injury) *record.Answer { return &in.ManyInjuries })),
		v.row(p, p.injuryAnswer("both-femurs", "both_femurs", in, func(in *record.Injury) *record.Answer { return &in.BothFemurs })),
		v.row(p, p.injuryMM("stature", "stature_mm", 300, 2800, 10, in, func(in *record.Injury) **units.MM { return &in.StatureMM })),
	}
	said := 0
	for _, a := range []record.Answer{in.HighEnergy, in.ManyInjuries, in.BothFemurs} {
		if a != record.NotAsked {
			said++
		}
	}
	if in.StatureMM != nil {
		said++
	}
	return p.foldUI("inj-patient", "The patient and other injuries", fmt.Sprintf("%d of 4 answered", said), rows...)
}

// signs are the signs of an atypical fracture, the five major ones first.
var signs = []struct {
	field string
	at    func(*record.AtypicalSay) *record.Answer
}{
	{"minimal_trauma", func(s *record.AtypicalSay) *record.Answer { return &s.MinimalTrauma }},
	{"lateral_start", func(s *record.AtypicalSay) *record.Answer { return &s.LateralStart }},
	{"spike_or_part", func(s *record.AtypicalSay) *record.Answer { return &s.SpikeOrPart }},
	{"few_pieces", func(s *record.AtypicalSay) *record.Answer { return &s.FewPieces }},
	{"lateral_thickness", func(s *record.AtypicalSay) *record.Answer { return &s.LateralThick }},
	{"thick_cortices", func(s *record.AtypicalSay) *record.Answer { return &s.ThickCortices }},
	{"pain_before", func(s *record.AtypicalSay) *record.Answer { return &s.PainBefore }},
	{"both_sides", func(s *record.AtypicalSay) *record.Answer { return &s.BothSides }},
	{"slow_healing", func(s *record.AtypicalSay) *record.Answer { return &s.SlowHealing }},
}

func (p *Page) atypicalFold(v *view, c record.Case, pl plan.Plan) app.UI {
	now := record.AtypicalSay{}
	if c.Injury.AtypicalSigns != nil {
		now = *c.Injury.AtypicalSigns
	}
	var rows []app.UI
	for _, s := range signs {
		field := "atypical_signs." + s.field
		rows = append(rows, v.row(p, p.answer("sign-"+s.field, text.Question(field), text.QuestionWhy(field), *s.at(&now),
			func(c *record.Case, a record.Answer) { setSign(c, s.at, a) })))
	}
	n := pl.Class.Majors
	verdict := fmt.Sprintf("%d of 5 major signs, %d not there, %d not known; 4 make one", n[0], n[1], n[2])
	return p.foldUI("inj-signs", text.Question("atypical_signs"), verdict, rows...)
}

// setSign keeps a sign; where none is left nothing is kept.
func setSign(c *record.Case, at func(*record.AtypicalSay) *record.Answer, a record.Answer) {
	if c.Injury.AtypicalSigns == nil {
		c.Injury.AtypicalSigns = &record.AtypicalSay{}
	}
	*at(c.Injury.AtypicalSigns) = a
	if *c.Injury.AtypicalSigns == (record.AtypicalSay{}) {
		c.Injury.AtypicalSigns = nil
	}
}

func (p *Page) entryFold(v *view, c record.Case) app.UI {
	in := c.Injury
	summary := "not said"
	if in.Entry != record.NoEntry {
		summary = text.Choice("entry", string(in.Entry))
	}
	return p.foldUI("inj-entry", "Entry of the nail, and a single distal screw", summary,
		v.row(p, p.pick("entry", "entry", string(in.Entry), words(record.Entries()), func(in *record.Injury, s string) { in.Entry = record.Entry(s) })),
		v.row(p, p.oneScrewRow(in)))
}

func (p *Page) oneScrewRow(in record.Injury) *row {
	return &row{kind: textRow, key: "one-screw", label: text.Question("one_screw_reason"), note: text.QuestionWhy("one_screw_reason"),
		get: func() string { return in.OneScrewReason },
		set: func(s string) error {
			return p.edit("reason for one screw", func(c *record.Case) error { c.Injury.OneScrewReason = s; return nil })
		}}
}

func setInt(to **int, s, what string) error {
	if s == "" {
		*to = nil
		return nil
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		return fmt.Errorf("“%s” is not a whole number: type whole %s", s, what)
	}
	*to = &n
	return nil
}

func lockingBox(pl plan.Plan) app.UI {
	switch pl.Locking.Pattern {
	case plan.Standard, plan.HeadLock:
		return app.Div().Class("part wide").Text(text.PatternShort(pl.Locking.Pattern))
	}
	return app.Div().Class("part wide none").Text("open")
}

func lockingWords(pl plan.Plan) []app.UI {
	if pl.Locking.Pattern == plan.NoPattern {
		return []app.UI{app.B().Text("Locking not decided"), app.Span().Text("Answer what is asked below.")}
	}
	kids := []app.UI{app.B().Text(text.Pattern(pl.Locking.Pattern))}
	if n := pl.Locking.Distal; n > 0 {
		kids = append(kids, app.Span().Text(text.DistalScrews(n)))
	}
	return kids
}
