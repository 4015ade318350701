package screen

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

type filmMode string

const (
	aboutMode  filmMode = "about"  // which film this is
	scaleMode  filmMode = "scale"  // how large a pixel is
	pointsMode filmMode = "points" // the landmarks
	lookMode   filmMode = "look"   // for the eye only
)

// A filmPage is one film, filling the screen: the picture, and below it what
// is asked about it. The canvas keeps its place in the page; everything on it
// is drawn from the fields here.
type filmPage struct {
	app.Compo
	Session *state.Session
	Index   int
	Key     string // which film of which case; with another key the film is opened anew
	Alarm   string // the case is not saved, because

	ctx      app.Context
	stage    stage
	w, h     viewer.Css
	view     viewer.View
	hand     viewer.Hand
	film     *opening
	found    state.Opened
	mode     filmMode
	asked    anatomy.Landmark // the next tap places it
	picked   anatomy.Landmark // the one with the handle
	group    string           // of landmarks that is open
	chosen   bool             // a person opened it: all of its landmarks are asked for
	choosing bool             // the list of groups is open
	piece    string           // evidence that is being marked
	rim      int              // its mark with the handle, or −1; a corner of a photo likewise
	front    bool             // of two balls, the one in front is being marked
	again    bool             // corners that the case has are marked anew
	corners  []corner         // that are not in the case yet
	find     finder           // nil: this device cannot look for anything
	seek     *seeking
	offer    *offer
	nail     template
	other    int  // the frame that is looked at, −1: the one that is measured
	window   int  // of what the film offers
	wide     bool // the screen has room for something beside the film
	beside   int  // the film that stands there, −1: the sheet
	live     live
	inAir    bool // an edit is on its way; no second tap before it has landed
	stale    bool // the page must be drawn again with one of the next frames
	told     float64
	eyes     eyes
	drawnIn  tone // of the picture on the stage, over its window
	lightNo  int  // counts changes of the eyes
	lighting lighting
	lightBox *lightRows // where the light is said, nil: nowhere
	pad      *pad
	wrong    map[string]string
	kept     map[string]string
	says     string
	made     int         // edits made here that can be undone
	unmade   int         // and that can be redone
	c        record.Case // as it was last drawn
	cast     cast
}

// live is what a finger holds, before it is let go.
type live struct {
	on     bool
	point  int // index of the held mark, or −1 for a new one that is aimed
	at     geom.Pt[units.Px]
	slip   units.Px
	finger geom.Pt[viewer.Css]
}

// newFilmPage returns the screen of one film of the open case.
func newFilmPage(s *state.Session, index int) app.UI {
	key := fmt.Sprint(index)
	if c, ok := s.Case(); ok && index >= 0 && index < len(c.Films) {
		f := c.Films[index]
		key = fmt.Sprintf("%s/%d/%s/%d", c.ID, index, f.SHA256, f.Frame)
	}
	return &filmPage{Session: s, Index: index, Key: key, Alarm: alarm(s.Status())}
}

// file is the part of a key that names the film and not its frame.
func file(key string) string { return key[:strings.LastIndex(key, "/")+1] }

func alarm(st state.Status) string {
	if st.State != state.NotSaved {
		return ""
	}
	return "NOT SAVED. " + text.Error(st.Err)
}

// OnInit sets what is shown first.
func (fp *filmPage) OnInit() {
	fp.eyes, fp.drawnIn, fp.lighting = plainEyes(), plainTone, lighting{}
	fp.rim, fp.other, fp.beside = -1, -1, -1
	fp.wrong, fp.kept = map[string]string{}, map[string]string{}
	fp.read()
	fp.mode = firstMode(fp.c, fp.Session.Plan(), fp.Index)
	fp.group, fp.chosen, fp.choosing = "", false, false
	fp.askNext("")
}

// firstMode opens the film where something is missing.
func firstMode(c record.Case, pl plan.Plan, n int) filmMode {
	switch {
	case n < 0 || n >= len(c.Films):
		return aboutMode
	case !c.Films[n].View.Valid() || !c.Films[n].Bone.Valid() || c.Films[n].Reduced == record.NotAsked:
		return aboutMode
	case !filmScale(pl, n).Plane.Usable():
		return scaleMode
	}
	return pointsMode
}

// OnMount finds the canvas and opens the film.
func (fp *filmPage) OnMount(ctx app.Context) {
	fp.ctx = ctx
	if fp.find == nil {
		fp.find = finderOf(fp.Session)
	}
	fp.stage = newStage(stageID, stageHands{pointer: fp.pointer, wheel: fp.wheel, key: fp.key, tap: fp.lightStep, resize: fp.resize, frame: fp.frame, broken: func(r any) { fp.later(func() { fp.says = broken(r) }) }})
	fp.open()
}

// OnUpdate opens another film when the address asks for another.
func (fp *filmPage) OnUpdate(app.Context) {
	if fp.film == nil || fp.film.key == fp.Key {
		return
	}
	fp.view, fp.hand, fp.live, fp.piece, fp.picked = viewer.View{}, viewer.Hand{}, live{}, "", ""
	fp.corners, fp.again, fp.nail = nil, false, template{}
	fp.dropSearch()
	if file(fp.film.key) != file(fp.Key) { // another frame of the same film keeps its steps of undo
		fp.made, fp.unmade = 0, 0
	}
	fp.OnInit()
	fp.open()
}

// OnDismount ends what is still going on.
func (fp *filmPage) OnDismount() {
	if fp.film != nil {
		fp.film.cancel()
	}
	if fp.stage != nil {
		fp.stage.close()
	}
	fp.dropSearch()
	fp.Session.ReleaseFilm()
}

// later runs fn on the screen's thread and draws again.
func (fp *filmPage) later(fn func()) {
	if fp.ctx == nil {
		fn()
		return
	}
	fp.ctx.Dispatch(func(app.Context) { fn() })
}

// read takes the case as it is now.
func (fp *filmPage) read() {
	if c, ok := fp.Session.Case(); ok {
		fp.c = c
	}
}

// now returns the film as it was last read, or an empty one.
func (fp *filmPage) now() record.Film {
	if fp.Index < 0 || fp.Index >= len(fp.c.Films) {
		return record.Film{}
	}
	return fp.c.Films[fp.Index]
}

// seen returns the film with what a finger holds in its place.
func (fp *filmPage) seen() record.Film {
	c := fp.c
	if e := fp.liveEdit(); e == nil || e(&c) != nil {
		return fp.now()
	}
	return c.Films[fp.Index]
}

// plan returns the plan with what a finger holds in its place.
func (fp *filmPage) plan() plan.Plan {
	e := fp.liveEdit()
	if e == nil {
		return fp.Session.Plan()
	}
	return fp.Session.Preview(func(c *record.Case) {
		if err := e(c); err != nil {
			fp.says = text.Error(err)
		}
	})
}

// edit makes an edit of the case.
func (fp *filmPage) edit(what string, e filmEdit) error {
	fp.read()
	before := fp.c
	if err := fp.Session.Do(what, e); err != nil {
		return err
	}
	fp.read()
	if !record.Equal(before, fp.c) { // an edit that changes nothing cannot be undone
		fp.made, fp.unmade = fp.made+1, 0
	}
	return nil
}

// do makes an edit of the case; a refused one says why.
func (fp *filmPage) do(what string, e filmEdit) bool {
	fp.says = ""
	if err := fp.edit(what, e); err != nil {
		fp.says = text.Error(err)
		return false
	}
	return true
}

func (fp *filmPage) undo() {
	if n := len(fp.corners); n > 0 { // not in the case yet
		fp.corners, fp.rim = fp.corners[:n-1], -1
		return
	}
	if fp.made > 0 && fp.Session.Undo() {
		fp.made, fp.unmade = fp.made-1, fp.unmade+1
		fp.read()
		fp.settle()
	}
}

func (fp *filmPage) redo() {
	if fp.unmade > 0 && fp.Session.Redo() {
		fp.made, fp.unmade = fp.made+1, fp.unmade-1
		fp.read()
		fp.settle()
	}
}

func (fp *filmPage) resize(w, h viewer.Css, wide bool) {
	if fp.w, fp.h = w, h; wide != fp.wide {
		fp.later(func() { fp.wide = wide })
	}
	if fp.view.Ok() {
		fp.view = fp.view.Resize(w, h)
	} else if fp.film != nil && fp.film.ready {
		fp.view = viewer.Fit(w, h, filmSize(fp.now()))
	}
	fp.paint()
}

// paint hands the stage what to draw, from the fields as they are.
func (fp *filmPage) paint() {
	f := fp.seen()
	fp.cast = fp.castOf(f)
	if fp.stage == nil {
		return
	}
	show := viewer.Show{View: fp.view, Marks: fp.cast.marks, Joins: append(joins(f), fp.frameJoins(f)...), Rings: rings(f), Held: -1, Placing: fp.placing()}
	if fp.live.on {
		show.Finger, show.Held = fp.live.finger, fp.live.point
		if fp.live.point < 0 {
			show.Aim = &fp.live.at
		}
	}
	show.Trails = append(fp.nailTrails(), fp.flareTrail()...)
	if o := fp.offer; o != nil {
		show.Trails = append(show.Trails, o.trails...)
	}
	fp.stage.paint(viewer.Compose(show))
}

func (fp *filmPage) castOf(f record.Film) cast {
	switch {
	case fp.offer != nil:
		return offerCast(fp.offer, fp.live)
	case fp.seek != nil:
		return seekCast(f, fp.seek)
	case fp.mode == pointsMode:
		return pointCast(f, fp.picked)
	case fp.mode == photoMode:
		return fp.photoCast(f)
	case fp.mode == nailMode:
		return fp.nailCast()
	case fp.mode == scaleMode && fp.piece != "":
		return rimCast(f, fp.piece, fp.front, fp.rim)
	}
	c := pointCast(f, "")
	c.grab = 0
	return c
}

// reveal brings what is asked about into sight, once it is drawn.
func (fp *filmPage) reveal() {
	if fp.ctx == nil || fp.stage == nil {
		return
	}
	selector := ".filmpanel > *"
	switch {
	case longSays(fp.says):
	case fp.mode == pointsMode && (fp.choosing || fp.group == ""):
	case fp.mode == pointsMode && fp.asked != "":
		selector = ".chip.asked"
	case fp.mode == pointsMode && fp.picked != "":
		selector = ".chip.picked"
	}
	fp.ctx.Defer(func(app.Context) { fp.stage.reveal(selector) })
}

// readEvery is how often, in milliseconds, the result is worked out again while
// a finger moves: faster than anyone reads, and the picture stays fluid.
const readEvery = 120

// frame draws the page again when the canvas was drawn, so that the result
// follows the finger. It reports whether it still has to.
func (fp *filmPage) frame(ms float64) bool {
	if !fp.stale || fp.ctx == nil {
		return false
	}
	if fp.live.on && ms-fp.told < readEvery {
		return true
	}
	fp.stale, fp.told = false, ms
	fp.ctx.Dispatch(func(app.Context) {})
	return false
}
