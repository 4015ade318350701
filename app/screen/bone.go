package screen

import (
	"fmt"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// filmsScreen lists the films of a case and opens new ones.
func (p *Page) filmsScreen(c record.Case, home string) *view {
	v := newView("cases", "Films", home)
	pl := p.s.Plan()
	v.add(app.Div().Class("acts").Body(
		p.filePick("Open a film", "film-file", false),
		p.filePick("Photograph a film", "film-file", true)))
	v.add(problemsOf(pl.Problems, plan.PartFilms)...)
	v.on("film-remove", func(arg string) { p.removeFilm(arg) })
	var items []app.UI
	for i, f := range c.Films {
		line := text.FilmLine(f, pl, i)
		items = append(items, app.Li().Class(filmState(pl, i)).Body(
			app.A().Href(fmt.Sprintf("%s/film/%d", home, i)).Body(
				app.B().Text(line.Title), app.Small().Text(line.Result), app.Small().Text(line.Detail)),
			app.Button().Type("button").Class("side").Aria("label", "Remove this film").DataSet("do", fmt.Sprintf("film-remove|%d", i)).Body(icon("trash"))))
	}
	v.add(app.Ul().Class("list").Body(items...))
	if len(c.Films) == 0 {
		v.add(app.P().Class("note").Text("No film yet. DICOM, JPEG and PNG files open here, straight from the archive or the camera. Files of the archive often have no ending: choose them all the same."))
	}
	v.add(app.P().Class("gloss").Text("A photograph of a film or of a screen carries no scale: it needs a marker of known size in it. Say under Film that it is one, and mark its four corners."))
	v.ready = true
	return v
}

func filmState(pl plan.Plan, i int) string {
	for _, s := range pl.Scales {
		if s.Film != i {
			continue
		}
		if s.Disputed {
			return "dispute"
		}
		if s.Plane.Usable() {
			return ""
		}
	}
	return "open"
}

func (p *Page) removeFilm(arg string) {
	at, err := strconv.Atoi(arg)
	if err != nil {
		return
	}
	if err := p.s.RemoveFilm(at); err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell("The film is taken out of the case.", "Undo", "undo")
}

// filmScreen is one film, filling the screen.
func (p *Page) filmScreen(c record.Case, at []string) *view {
	home := "/case/" + c.ID
	n := -1
	if len(at) > 3 {
		if i, err := strconv.Atoi(at[3]); err == nil {
			n = i
		}
	}
	v := newView("cases", fmt.Sprintf("Film %d", n+1), home+"/films")
	if n < 0 || n >= len(c.Films) {
		p.saved(v)
		v.add(app.P().Class("note").Text("This case has no such film. Go back to its films."))
		return v
	}
	v.add(newFilmPage(p.s, n)) // first: what stands before it would shift it and open it again
	p.saved(v)
	v.ready = true
	return v
}

// boneScreen shows what was measured and takes what the hands measured.
func (p *Page) boneScreen(c record.Case, home string) *view {
	v := newView("cases", "Bone", home)
	pl := p.s.Plan()
	v.add(problemsOf(pl.Problems, plan.PartBone)...)
	v.add(namedUI(text.BoneTable(pl.Bone)))
	v.add(p.formRows(v, pl.Form)...)
	for i, r := range pl.Bone.Routes {
		v.add(p.whyUI(v, fmt.Sprintf("route%d", i), text.RouteTitle(r)+", "+text.Bias(r.Bias), r.Why))
	}
	v.add(app.H2().Class("gloss").Text("Two rods of equal length, on the table"))
	v.add(p.rodRows(v, c)...)
	for _, of := range []struct {
		kind record.ReadingKind
		rows []app.UI
	}{{record.OtherTrial, p.trialRows(v, c)}, {record.SkinRuler, p.skinRows(v, c)}} {
		name, hint := text.Reading(of.kind)
		v.add(p.foldUI("read-"+string(of.kind), name, hint, of.rows...))
	}
	v.add(p.policyRows(v, c, plan.PartBone)...)
	v.ready = true
	return v
}

// formRows says what form the bone has, each with its source, or why that
// cannot be told.
func (p *Page) formRows(v *view, f plan.Form) []app.UI {
	var out []app.UI
	for _, l := range text.FormLines(f) {
		if l.Told {
			out = append(out, p.whyUI(v, "form-"+l.Key, l.Title, l.Why))
			continue
		}
		out = append(out, app.P().Class("note").ID("form-"+l.Key).Body(app.B().Text(l.Title+". "), app.Text(text.Reason(l.Why))))
	}
	return out
}

func tableUI(rows [][2]string) app.UI {
	var trs []app.UI
	for _, r := range rows {
		trs = append(trs, app.Tr().Body(app.Td().Text(r[0]), app.Td().Class("n").Body(app.B().Text(r[1]))))
	}
	return app.Table().Body(app.TBody().Body(trs...))
}

// reading returns the case's latest reading of a kind, which is the one that
// counts in the plan; of that kind and empty when there is none.
func reading(c record.Case, kind record.ReadingKind) record.Reading {
	if i := latest(c.Readings, func(r record.Reading) bool { return r.Kind == kind }); i >= 0 {
		return c.Readings[i]
	}
	return record.Reading{Kind: kind}
}

// latest returns the place of the last reading that is meant, −1 for none.
func latest(rs []record.Reading, is func(record.Reading) bool) int {
	at := -1
	for i, r := range rs {
		if is(r) && (at < 0 || r.At >= rs[at].At) {
			at = i
		}
	}
	return at
}

// editReading changes the reading of a kind, making it if need be and taking
// it out when nothing is left in it.
func (p *Page) editReading(what string, kind record.ReadingKind, fn func(*record.Reading)) error {
	return p.editAt(what, record.Reading{Kind: kind}, fn)
}

// editAt is editReading for the reading of a kind and a hole.
func (p *Page) editAt(what string, like record.Reading, fn func(*record.Reading)) error {
	return p.edit(what, func(c *record.Case) error {
		i := latest(c.Readings, func(r record.Reading) bool { return r.Kind == like.Kind && sameHole(r.Hole, like.Hole) })
		if i < 0 {
			r := like
			r.ID, r.At = p.s.NewID(), p.s.Now()
			c.Readings = append(c.Readings, r)
			i = len(c.Readings) - 1
		}
		r := &c.Readings[i]
		fn(r)
		if (*r == record.Reading{ID: r.ID, Kind: r.Kind, At: r.At, Hole: r.Hole}) {
			c.Readings = append(c.Readings[:i:i], c.Readings[i+1:]...)
		}
		return nil
	})
}

func sameHole(a, b *int) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

// mm is a row for a length kept in a reading.
func (p *Page) mm(kind record.ReadingKind, key, label, note string, lo, hi float64, now *units.MM, at func(*record.Reading) **units.MM) *row {
	return &row{key: key, label: label, note: note, unit: "mm", lo: lo, hi: hi, step: 1,
		get: func() string { return shownMM(now) },
		set: func(s string) error {
			v, err := typedMM(s, lo, hi)
			if err != nil {
				return err
			}
			return p.editReading(label, kind, func(r *record.Reading) { *at(r) = v })
		}}
}

func shownMM(v *units.MM) string {
	if v == nil {
		return ""
	}
	return plain(float64(*v))
}

func typedMM(s string, lo, hi float64) (*units.MM, error) {
	if s == "" {
		return nil, nil
	}
	f, err := units.ParseNumber(s, lo, hi, "mm")
	if err != nil {
		return nil, err
	}
	v := units.MM(f)
	return &v, nil
}

func (p *Page) readingAnswer(kind record.ReadingKind, key, label, note string, now record.Answer, set func(*record.Reading, record.Answer)) *row {
	return &row{kind: choiceRow, key: key, label: label, note: note, opts: yesNoUnsure(),
		get: func() string { return string(now) },
		set: func(s string) error {
			return p.editReading(label, kind, func(r *record.Reading) { set(r, record.Answer(s)) })
		}}
}

func (p *Page) rodRows(v *view, c record.Case) []app.UI {
	r := reading(c, record.TwoRods)
	return []app.UI{
		v.row(p, p.mm(record.TwoRods, "rod", "Length of a rod", "", 300, 1500, r.First, func(r *record.Reading) **units.MM { return &r.First })),
		v.row(p, p.mm(record.TwoRods, "rod-out", "Stands out", "", 0, 1500, r.Second, func(r *record.Reading) **units.MM { return &r.Second })),
		v.row(p, p.readingAnswer(record.TwoRods, "rod-bone", "Second rod's tip on bone?", "off the bone reads too long", r.OnBone, func(r *record.Reading, a record.Answer) { r.OnBone = a })),
		v.row(p, p.readingAnswer(record.TwoRods, "rod-reduced", "Bone at its length?", "pulled apart reads too long", r.Reduced, func(r *record.Reading, a record.Answer) { r.Reduced = a })),
	}
}

// trialRows are the length of the other femur, tried or measured there.
func (p *Page) trialRows(v *view, c record.Case) []app.UI {
	r := reading(c, record.OtherTrial)
	return []app.UI{
		v.row(p, p.mm(record.OtherTrial, "trial", "Tip of the trochanter to the target, other leg", "", 150, 700, r.First, func(r *record.Reading) **units.MM { return &r.First })),
		v.row(p, p.readingAnswer(record.OtherTrial, "trial-bone", "Rod or ruler at the bone?", "off the bone reads too long", r.OnBone, func(r *record.Reading, a record.Answer) { r.OnBone = a })),
	}
}

func (p *Page) skinRows(v *view, c record.Case) []app.UI {
	r := reading(c, record.SkinRuler)
	return []app.UI{
		v.row(p, p.mm(record.SkinRuler, "skin", "Ruler shows", "", 150, 700, r.First, func(r *record.Reading) **units.MM { return &r.First })),
		v.row(p, p.readingAnswer(record.SkinRuler, "skin-reduced", "Bone at its length?", "pulled apart reads too long", r.Reduced, func(r *record.Reading, a record.Answer) { r.Reduced = a })),
	}
}
