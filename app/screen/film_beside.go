package screen

import (
	"context"
	"fmt"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// besideID is the element of the film that is only looked at beside another.
const besideID = "film-beside"

// besideUI is what stands beside the film on a wide screen: the sheet, or
// another film of the case.
func (fp *filmPage) besideUI(pl plan.Plan) app.UI {
	if !fp.wide {
		return app.Div()
	}
	tabs := []app.UI{besideTab("Sheet", -1, fp.beside)}
	for i, f := range fp.c.Films {
		if i != fp.Index {
			tabs = append(tabs, besideTab("Film "+strconv.Itoa(i+1)+besideView(f), i, fp.beside))
		}
	}
	kids := []app.UI{app.Div().Class("filmtabs besidetabs").Role("group").Aria("label", "Beside the film").Body(tabs...)}
	if fp.beside >= 0 && fp.beside < len(fp.c.Films) && fp.beside != fp.Index {
		f := fp.c.Films[fp.beside]
		kids = append(kids, &besideFilm{Session: fp.Session, Index: fp.beside, Key: fmt.Sprintf("%s/%d/%s/%d", fp.c.ID, fp.beside, f.SHA256, f.Frame)})
	} else {
		kids = append(kids, besideSheet(fp.c, pl))
	}
	return app.Div().Class("beside").Body(kids...)
}

func besideTab(name string, at, now int) app.UI {
	return app.Button().Type("button").Aria("pressed", strconv.FormatBool(at == now)).DataSet("film", "beside|"+strconv.Itoa(at)).Text(name)
}

func besideView(f record.Film) string {
	return map[anatomy.View]string{anatomy.AP: ", front", anatomy.Lateral: ", side"}[f.View]
}

// besideSheet is the sheet, drawn anew with every move of a finger.
func besideSheet(c record.Case, pl plan.Plan) app.UI {
	var items []app.UI
	for _, line := range text.Sheet(c, pl) {
		items = append(items, sheetItem(c.ID, line))
	}
	picture, err := drawing.Strip(drawing.StripFromPlan(c, pl), drawing.Narrow)
	strip := app.Raw(picture)
	if err != nil {
		strip = app.P().Class("gloss strip-none").Text("The bone is drawn here, to scale, once its length is measured.")
	}
	return app.Div().Class("sheet besidesheet").Body(app.Div().Class("strip").Body(strip), app.Ol().Class("list").Body(items...))
}

// besideActs choose what stands beside the film.
func (fp *filmPage) besideActs() map[string]func(string) {
	return map[string]func(string){"beside": func(arg string) {
		if i, err := strconv.Atoi(arg); err == nil && i >= -1 && i < len(fp.c.Films) && i != fp.Index {
			fp.beside = i
		}
	}}
}

// A besideFilm shows another film of the case with its points. It is looked
// at, moved and magnified; nothing is placed on it.
type besideFilm struct {
	app.Compo
	Session *state.Session
	Index   int
	Key     string

	ctx    app.Context
	stage  stage
	shown  string // key of what is on the stage
	end    context.CancelFunc
	w, h   viewer.Css
	view   viewer.View
	hand   viewer.Hand
	says   string
	opened bool
}

// Render draws the place of the film; what is on it is drawn apart.
func (b *besideFilm) Render() app.UI {
	b.paint()
	return app.Div().Class("stagebox besidestage").Body(
		app.Div().ID(besideID).Class("stage").Role("img").Aria("label", "Film "+strconv.Itoa(b.Index+1)+", to be looked at").Body(app.Canvas().Class("under"), app.Canvas().Class("over")),
		app.Div().Class("over-top").Body(app.Div().Class("aside").Text(b.words())))
}

func (b *besideFilm) words() string {
	if b.says != "" {
		return b.says
	}
	if !b.opened {
		return "Opening the film …"
	}
	return "Film " + strconv.Itoa(b.Index+1) + ": to be looked at"
}

// OnMount finds the canvas and opens the film.
func (b *besideFilm) OnMount(ctx app.Context) {
	b.ctx = ctx
	b.stage = newStage(besideID, stageHands{pointer: b.pointer, wheel: b.wheel, key: func(string) bool { return false },
		resize: b.resize, frame: func(float64) bool { return false }, broken: func(r any) { b.ctx.Dispatch(func(app.Context) { b.says = broken(r) }) }})
	b.open()
}

// OnUpdate opens another film when another is asked for.
func (b *besideFilm) OnUpdate(app.Context) {
	if b.shown != b.Key {
		b.open()
	}
}

// OnDismount ends what is still going on.
func (b *besideFilm) OnDismount() {
	if b.end != nil {
		b.end()
	}
	if b.stage != nil {
		b.stage.close()
	}
}

func (b *besideFilm) film() record.Film {
	if c, ok := b.Session.Case(); ok && b.Index >= 0 && b.Index < len(c.Films) {
		return c.Films[b.Index]
	}
	return record.Film{}
}

func (b *besideFilm) open() {
	if b.end != nil {
		b.end()
	}
	c, cancel := context.WithCancel(context.Background())
	b.shown, b.end, b.view, b.says, b.opened = b.Key, cancel, viewer.View{}, "", false
	b.stage.picture(nil)
	key, index := b.Key, b.Index
	go func() {
		got, err := b.Session.ShowFilm(c, index, nil)
		b.ctx.Dispatch(func(app.Context) {
			switch {
			case b.shown != key:
				b.stage.drop(got.Bitmap)
			case err != nil:
				b.says = text.Error(err)
			default:
				b.opened = true
				b.stage.picture(got.Bitmap)
				b.view = viewer.Fit(b.w, b.h, filmSize(b.film()))
			}
		})
	}()
}

func (b *besideFilm) resize(w, h viewer.Css, _ bool) {
	b.w, b.h = w, h
	if b.view.Ok() {
		b.view = b.view.Resize(w, h)
	} else if b.opened {
		b.view = viewer.Fit(w, h, filmSize(b.film()))
	}
	b.paint()
}

func (b *besideFilm) pointer(e viewer.Event) {
	h, a := b.hand.On(e, viewer.Ground{View: b.view, Current: -1})
	if b.hand = h; a.Verb == viewer.Look {
		b.view = a.View
		b.paint()
	}
}

func (b *besideFilm) wheel(at geom.Pt[viewer.Css], turns float64) {
	b.view = b.view.ZoomAt(at, wheelFactor(turns))
	b.paint()
}

func (b *besideFilm) paint() {
	if b.stage == nil {
		return
	}
	f := b.film()
	b.stage.paint(viewer.Compose(viewer.Show{View: b.view, Marks: pointCast(f, "").marks, Joins: joins(f), Rings: rings(f), Held: -1}))
}
