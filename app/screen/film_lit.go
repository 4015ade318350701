package screen

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// A lighting is brightness and contrast that a finger on the film sets. While
// it is on, nothing can be placed.
type lighting struct {
	on    bool
	down  []int // the pointers on the film
	held  bool  // one of them sets the light; two move the film
	moved bool
	from  eyes
	start geom.Pt[viewer.Css]
	since float64 // ms
	told  float64 // ms, when the numbers were written last
}

// lightActs begin and end it.
func (fp *filmPage) lightActs() map[string]func(string) {
	return map[string]func(string){
		"light": func(string) {
			fp.lighting, fp.hand = lighting{on: true}, viewer.Hand{}
			if fp.stage != nil {
				fp.stage.focus()
			}
		},
		"light-done": func(string) { fp.lighting, fp.hand = lighting{}, viewer.Hand{} },
		"bright":     func(dir string) { fp.lightStep("bright|" + dir) },
		"contrast":   func(dir string) { fp.lightStep("contrast|" + dir) },
	}
}

// lightStep is a tap on a step of brightness or contrast. The page is not drawn
// for it. It reports whether it was one.
func (fp *filmPage) lightStep(do string) bool {
	e := fp.eyes
	switch verb, dir, _ := strings.Cut(do, "|"); verb {
	case "bright":
		e.bright = stepped(e.bright, dir, dimmest, brightest)
	case "contrast":
		e.contrast = stepped(e.contrast, dir, flattest, hardest)
	default:
		return false
	}
	fp.light(e)
	fp.settleLight()
	return true
}

// lightKey takes an arrow of a keyboard, and the keys that end it.
func (fp *filmPage) lightKey(name string) bool {
	do := map[string]string{"ArrowUp": "bright|+", "ArrowDown": "bright|-", "ArrowRight": "contrast|+", "ArrowLeft": "contrast|-"}[name]
	switch {
	case !fp.lighting.on:
		return false
	case do != "":
		return fp.lightStep(do)
	case name == "Escape" || name == "Enter":
		fp.later(func() { fp.act("light-done") })
		return true
	}
	return false
}

// lightPointer takes one event while the light is set by a finger: one finger
// sets it, two move and magnify the film.
func (fp *filmPage) lightPointer(e viewer.Event) {
	l := &fp.lighting
	sets := l.held && e.Phase == viewer.Move
	switch {
	case e.Phase == viewer.Down && !slices.Contains(l.down, e.ID):
		l.press(e, fp.eyes)
		if len(l.down) == 2 {
			fp.lightLetGo(l.moved && e.Ms-l.since < viewer.HoldMs)
		}
	case sets && e.ID == l.down[0]:
		if now, ok := l.drag(e, fp.eyes); ok {
			fp.light(now)
			if e.Ms-l.told >= readEvery {
				l.told = e.Ms
				fp.tellLight()
			}
		}
	case (e.Phase == viewer.Up || e.Phase == viewer.Cancel) && slices.Contains(l.down, e.ID):
		l.down = slices.DeleteFunc(l.down, func(id int) bool { return id == e.ID })
		fp.lightLetGo(e.Phase == viewer.Cancel)
	}
	h, a := fp.hand.On(e, viewer.Ground{View: fp.view, Current: -1})
	if fp.hand = h; a.Verb == viewer.Look && !sets {
		fp.view = a.View
		fp.paint()
	}
}

func (l *lighting) press(e viewer.Event, now eyes) {
	if l.down = append(l.down, e.ID); len(l.down) == 1 {
		l.held, l.moved, l.from, l.start, l.since = true, false, now, e.At, e.Ms
	}
}

// drag returns the eyes where the finger is, once it has really moved. Nothing
// jumps: the slack of the finger does not count.
func (l *lighting) drag(e viewer.Event, now eyes) (eyes, bool) {
	const slack = 6
	if !l.moved {
		if l.moved = geom.Dist(e.At, l.start) > slack; l.moved {
			l.start = e.At
		}
		return now, false
	}
	d := e.At.Minus(l.start)
	now.bright = dragged(l.from.bright, -float64(d.Y), dimmest, brightest)
	now.contrast = dragged(l.from.contrast, float64(d.X), flattest, hardest)
	return now, true
}

// lightLetGo ends what one finger was setting; back undoes it.
func (fp *filmPage) lightLetGo(back bool) {
	l := &fp.lighting
	if !l.held {
		return
	}
	l.held = false
	if back {
		fp.light(l.from)
	}
	if l.moved {
		fp.settleLight()
	}
}

// light shows the film with other eyes at once, by a filter over the picture
// that is there.
func (fp *filmPage) light(e eyes) {
	if e != fp.eyes {
		fp.eyes = e
		fp.applyEyes()
	}
}

func (fp *filmPage) applyEyes() {
	fp.lightNo++
	if fp.stage != nil {
		fp.stage.look(fp.eyes.filter(fp.drawnIn))
	}
}

// settleLight writes the numbers and, when the light has rested a little, has
// the picture made in it from the values of the film.
func (fp *filmPage) settleLight() {
	const rest = 400 * time.Millisecond
	fp.tellLight()
	if fp.ctx == nil || fp.film == nil || !fp.film.ready || fp.found.Kind == "jpeg" || fp.eyes.wanted() == fp.drawnIn || !fp.Session.CanFind() {
		return // a JPEG has no more greys than its picture
	}
	no := fp.lightNo
	time.AfterFunc(rest, func() {
		fp.ctx.Defer(func(app.Context) {
			if no == fp.lightNo && !fp.lighting.held {
				fp.reWindow(fp.window)
			}
		})
	})
}

// reWindow draws the film in one of its windows and in the light that is set.
// It is for the eye: no place and no grey value of the film changes.
func (fp *filmPage) reWindow(i int) {
	op, same := fp.film, i == fp.window
	fp.window = i
	if op == nil || !op.ready || fp.stage == nil || i >= len(fp.found.Windows) {
		return
	}
	w, ok := litWindow(fp.found.Windows[i], fp.eyes.wanted())
	made := fp.eyes.wanted()
	if !ok {
		w, made = fp.found.Windows[i], plainTone
		if same && fp.drawnIn == made {
			return
		}
	}
	no, index, frame := fp.lightNo, fp.Index, fp.other
	go func() {
		defer fp.caught(op)
		bitmap, err := fp.Session.Window(context.Background(), index, frame, w)
		fp.ctx.Defer(func(app.Context) {
			switch {
			case fp.film != op || fp.window != i || same && no != fp.lightNo:
				fp.stage.drop(bitmap)
			case err != nil && same: // what is shown is right, only coarser
			case err != nil:
				fp.later(func() { fp.says = text.Error(err) })
			default:
				fp.show(bitmap, made)
			}
		})
	}()
}

// show puts a picture on the stage that was made in a tone.
func (fp *filmPage) show(bitmap any, made tone) {
	fp.drawnIn = made
	if fp.stage != nil {
		fp.stage.picture(bitmap)
		fp.stage.look(fp.eyes.filter(made))
	}
}

// A lightRows is the part of the page that says brightness and contrast: it is
// drawn without the rest.
type lightRows struct {
	app.Compo
	Bright, Contrast int

	of  *filmPage
	ctx app.Context
}

func (fp *filmPage) lightUI() app.UI {
	return &lightRows{Bright: fp.eyes.bright, Contrast: fp.eyes.contrast, of: fp}
}

// OnMount lets the film reach it.
func (r *lightRows) OnMount(ctx app.Context) { r.ctx, r.of.lightBox = ctx, r }

// OnDismount lets it go.
func (r *lightRows) OnDismount() {
	if r.of.lightBox == r {
		r.of.lightBox = nil
	}
}

// Render draws both rows.
func (r *lightRows) Render() app.UI {
	return app.Div().Class("lightrows").Body(
		fpStep("Brightness", strconv.Itoa(r.Bright), "%", "bright"),
		fpStep("Contrast", strconv.Itoa(r.Contrast), "%", "contrast"))
}

// tellLight writes the numbers as they are.
func (fp *filmPage) tellLight() {
	if r := fp.lightBox; r != nil {
		r.ctx.Dispatch(func(app.Context) { r.Bright, r.Contrast = fp.eyes.bright, fp.eyes.contrast })
	}
}
