package screen

import (
	"fmt"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// afterScreen is how the leg stands, whether the bone unites, and the way to
// taking the nail out again.
func (p *Page) afterScreen(c record.Case, home string) *view {
	v := newView("cases", "After", home)
	pl := p.s.Plan()
	v.add(problemsOf(stops(pl.Problems), plan.PartAfter)...)
	v.add(namedUI(text.AlignTable(pl.Align)))
	v.add(problemsOf(quieter(pl.Problems), plan.PartAfter)...)
	v.add(p.whyUI(v, "why-align", "How this is worked out, and its limits", pl.Align.Why...))
	v.add(app.H2().Class("group").Text("Turn of the leg"))
	v.add(p.carmRows(v, c)...)
	v.add(app.H2().Class("group").Text("Length and gap"))
	v.add(p.legRows(v, c)...)
	v.add(p.lesserFold(v, c))
	v.add(app.H2().Class("group").Text("Union"))
	v.add(p.unionUI(v, c, pl)...)
	v.add(app.A().Class("link").Href(home + "/removal").Text("Taking it out, now or one day"))
	v.add(p.policyRows(v, c, plan.PartAfter)...)
	v.ready = true
	return v
}

// carmRows take the angles of the C-arm at both legs.
func (p *Page) carmRows(v *view, c record.Case) (out []app.UI) {
	for _, leg := range []struct {
		kind       record.ReadingKind
		key, title string
	}{{record.TurnInjured, "turn-injured", "This femur"}, {record.TurnSound, "turn-sound", "Other femur"}} {
		r := reading(c, leg.kind)
		out = append(out,
			v.row(p, p.degrees(leg.kind, leg.key, leg.title+", condyles in line", "", r.Angle, func(r *record.Reading) **units.Deg { return &r.Angle })),
			v.row(p, p.degrees(leg.kind, leg.key+"-neck", leg.title+", neck in line", "", r.AngleTwo, func(r *record.Reading) **units.Deg { return &r.AngleTwo })))
	}
	return append([]app.UI{app.P().Class("gloss").Text("The angle of the C-arm when both condyles lie over each other, and when neck and shaft lie in one line. Version is the first less the second: count so that a neck that points forwards comes out positive. The two legs are mirrored.")}, out...)
}

// degrees is the row of an angle kept in a reading.
func (p *Page) degrees(kind record.ReadingKind, key, label, note string, now *units.Deg, at func(*record.Reading) **units.Deg) *row {
	const lo, hi = -180, 180
	return &row{key: key, label: label, note: note, unit: "°", lo: lo, hi: hi, step: 1,
		get: func() string {
			if now == nil {
				return ""
			}
			return plain(float64(*now))
		},
		set: func(s string) error {
			var value *units.Deg
			if s != "" {
				f, err := units.ParseNumber(s, lo, hi, "°")
				if err != nil {
					return err
				}
				d := units.Deg(f)
				value = &d
			}
			return p.editReading(label, kind, func(r *record.Reading) { *at(r) = value })
		}}
}

// handMM is the row of a reading that is one length, in the words of its kind.
func (p *Page) handMM(v *view, c record.Case, kind record.ReadingKind, lo, hi float64) app.UI {
	name, hint := text.Reading(kind)
	return v.row(p, p.mm(kind, string(kind), name, hint, lo, hi, reading(c, kind).First, func(r *record.Reading) **units.MM { return &r.First }))
}

func (p *Page) legRows(v *view, c record.Case) []app.UI {
	return []app.UI{
		p.handMM(v, c, record.LengthInjured, 150, 700),
		p.handMM(v, c, record.LengthSound, 150, 700),
		p.handMM(v, c, record.GapFound, 0, 200),
	}
}

// lesserFold is the aid that proves nothing, so it is folded.
func (p *Page) lesserFold(v *view, c record.Case) app.UI {
	return p.foldUI("after-lesser", "Profile of the lesser trochanter", "an aid, and no proof: no better than looking",
		p.handMM(v, c, record.LesserInjured, 20, 100), p.handMM(v, c, record.LesserSound, 20, 100))
}

// cortices are the four sides that are scored, in the order of the case file.
var cortices = []string{"front", "back", "medial", "lateral"}

// unionUI lists the films that were scored, and takes another one.
func (p *Page) unionUI(v *view, c record.Case, pl plan.Plan) []app.UI {
	v.on("follow-add", func(string) { p.addFollowed() })
	v.on("follow-drop", func(arg string) { p.dropFollowed(arg) })
	var rows, out []app.UI
	for _, s := range pl.Union.Scores {
		rows = append(rows, app.Tr().Body(
			app.Td().Body(app.B().Text(text.Score(s)), app.Div().Class("gloss").Text("film of "+text.Day(s.At))),
			app.Td().Body(app.Button().Type("button").Aria("label", "Take this score out").DataSet("do", "follow-drop|"+s.ID).Body(icon("trash")))))
	}
	if len(rows) > 0 {
		out = append(out, app.Table().Body(app.TBody().Body(rows...)), p.whyUI(v, "why-union", "What the scores say", pl.Union.Why...))
	} else {
		out = append(out, app.P().Class("note").Text("No film is scored yet."))
	}
	most := 4.0
	if p.draft("follow-scale") == "rust" {
		most = 3
	}
	form := []app.UI{v.row(p, p.drafted("follow-", &row{kind: choiceRow, key: "scale", label: "Score", opts: []option{{"rust", "RUST, 1 to 3"}, {"mrust", "mRUST, 1 to 4"}}}))}
	for _, side := range cortices {
		form = append(form, v.row(p, p.drafted("follow-", &row{key: side, label: "Cortex, " + side, note: "1 no callus, 2 callus, 3 bridged, 4 remodelled", lo: 1, hi: most, step: 1, whole: true})))
	}
	form = append(form, v.row(p, p.drafted("follow-", &row{kind: textRow, key: "day", label: "Day of the film", note: "such as 2026-11-25; empty is today"})),
		app.Div().Class("acts").Body(act("main", "Keep this score", "follow-add")))
	return append(out, p.foldUI("follow", "Score a film", "four cortices, from both views", form...))
}

// addFollowed keeps the score that was entered.
func (p *Page) addFollowed() {
	d := func(key string) string { return p.draft("follow-" + key) }
	refuse := func(why string) { p.tell("Nothing was kept: "+why, "", "") }
	for _, key := range append([]string{"day"}, cortices...) {
		if w := p.wrong[p.slot("follow-"+key)]; w != "" {
			refuse(w)
			return
		}
	}
	f := record.Followed{ID: p.s.NewID(), Scale: d("scale")}
	if f.Scale == "" {
		refuse("say which score it is, RUST or mRUST.")
		return
	}
	most := map[string]int{"rust": 3, "mrust": 4}[f.Scale]
	for _, side := range cortices {
		n, err := strconv.Atoi(d(side))
		if err != nil || n < 1 || n > most {
			refuse(fmt.Sprintf("enter a score from 1 to %d for the cortex %s.", most, side))
			return
		}
		f.Cortices = append(f.Cortices, n)
	}
	var err error
	if f.At, err = dayTyped(d("day"), p.s.Now()); err == nil {
		err = p.edit("score of union", func(c *record.Case) error { c.Followed = append(c.Followed, f); return nil })
	}
	if err != nil {
		refuse(text.Error(err))
		return
	}
	for _, k := range append([]string{"scale", "day"}, cortices...) {
		p.s.SetTyped("draft."+p.slot("follow-"+k), "")
	}
	p.tell("Kept.", "Undo", "undo")
}

func (p *Page) dropFollowed(id string) {
	err := p.edit("take out a score", func(c *record.Case) error {
		for i, f := range c.Followed {
			if f.ID == id {
				c.Followed = append(c.Followed[:i:i], c.Followed[i+1:]...)
				return nil
			}
		}
		return fmt.Errorf("that score is not there any more: look at the list again")
	})
	if err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell("The score is taken out.", "Undo", "undo")
}

// dayTyped returns the time of a case file for a day that was typed: noon of
// it, or now when it is empty or today. A day to come is refused.
func dayTyped(day, now string) (string, error) {
	if day == "" || day == text.Day(now) {
		return now, nil
	}
	t, err := time.Parse(time.DateOnly, day)
	if err != nil || t.Year() < 1900 {
		return "", fmt.Errorf("“%s” is no day: type year, month and day, such as 2026-11-25", day)
	}
	if day > text.Day(now) {
		return "", fmt.Errorf("“%s” is still to come: today is %s", day, text.Day(now))
	}
	return day + "T12:00:00Z", nil
}
