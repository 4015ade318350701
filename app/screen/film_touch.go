package screen

import (
	"math"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// ground is what the fingers meet now.
func (fp *filmPage) ground() viewer.Ground {
	g := viewer.Ground{View: fp.view, Points: fp.cast.points(), Current: -1, Placing: fp.placing()}
	for i := range g.Points {
		if fp.cast.marks[i].Current {
			g.Current = i
		}
	}
	return g
}

// placing reports whether a tap puts a new point down.
func (fp *filmPage) placing() bool {
	if fp.lighting.on || fp.inAir || fp.film == nil || !fp.film.ready || fp.other >= 0 {
		return false
	}
	if fp.seek != nil || fp.offer != nil {
		return fp.seekingTap()
	}
	switch fp.mode {
	case pointsMode:
		return fp.asked != ""
	case photoMode:
		return fp.marking() && len(fp.corners) < 4
	case scaleMode:
		e, ok := evidenceOf(fp.now(), fp.piece)
		_, most := marksNeeded(e.Kind)
		return ok && len(*marksOf(&e, fp.front)) < most
	}
	return false
}

// pointer takes one event of a finger, a mouse or a pen. It touches no case:
// edits wait for the screen's own turn.
func (fp *filmPage) pointer(e viewer.Event) {
	if fp.lighting.on {
		fp.lightPointer(e)
		return
	}
	h, a := fp.hand.On(e, fp.ground())
	fp.hand = h
	switch a.Verb {
	case viewer.Look:
		fp.view = a.View
	case viewer.Grab:
		fp.pick(a.Point)
		fp.live = live{on: true, point: a.Point, at: a.At, slip: viewer.Slip(fp.view), finger: a.Finger}
	case viewer.Drag, viewer.Aim:
		fp.live = live{on: true, point: a.Point, at: a.At, slip: viewer.Slip(fp.view), finger: a.Finger}
		if fp.mode == nailMode && a.Verb == viewer.Drag {
			fp.dragNail(a.Point, a.At)
		}
	case viewer.GiveBack:
		fp.live = live{}
	case viewer.Pick:
		fp.pick(a.Point)
	case viewer.Drop, viewer.Put:
		if fp.mode == nailMode {
			fp.dragNail(a.Point, a.At)
			fp.live = live{}
			break
		}
		fp.live = live{on: true, point: a.Point, at: a.At, slip: a.Slip, finger: a.Finger}
		fp.land()
		return
	case viewer.Outside:
		fp.says = (&filmEditError{"place"}).Error()[len("film: "):]
	default:
		return
	}
	fp.stale = true
	fp.paint()
}

// land makes the edit that the finger has just ended.
func (fp *filmPage) land() {
	held, what, e := fp.live, fp.liveName(), fp.liveEdit()
	fp.inAir = true
	fp.later(func() {
		fp.inAir, fp.live = false, live{}
		if fp.landSearch(held) {
			return
		}
		if fp.marking() {
			fp.says = ""
			fp.landCorner(held)
			return
		}
		if e == nil || !fp.do(what, e) {
			return
		}
		fp.landed(held)
	})
}

// landSearch takes what was put down for a search, or moved in what it
// proposes, and reports whether it was.
func (fp *filmPage) landSearch(held live) bool {
	switch {
	case fp.seekingTap() && held.point < 0:
		fp.says = ""
		fp.landTap(held.at)
	case fp.offer != nil && held.point >= 0:
		fp.regrip(held.point, held.at)
	}
	return fp.seek != nil || fp.offer != nil
}

// landed moves on to what is asked for next.
func (fp *filmPage) landed(held live) {
	switch fp.mode {
	case pointsMode:
		if held.point < 0 {
			fp.picked = fp.asked
			fp.askNext(fp.asked)
			fp.reveal()
		}
	case scaleMode:
		if e, ok := evidenceOf(fp.now(), fp.piece); ok && held.point < 0 {
			fp.rim = len(*marksOf(&e, fp.front)) - 1
		}
	}
}

func (fp *filmPage) pick(i int) {
	switch {
	case i < 0 || i >= fp.cast.grab || fp.offer != nil || fp.seek != nil:
	case fp.mode == pointsMode:
		fp.picked = fp.cast.names[i]
		if g := groupOf(fp.now().View, fp.picked); g != fp.group && fp.asked == "" {
			fp.group = g
		}
	case fp.mode == scaleMode || fp.mode == photoMode || fp.mode == nailMode:
		fp.rim = i
	}
}

// liveEdit is the edit that what a finger holds would make, or nil.
func (fp *filmPage) liveEdit() filmEdit {
	l := fp.live
	switch {
	case !l.on || fp.offer != nil || fp.seek != nil:
		return nil
	case fp.mode == pointsMode && l.point < 0 && fp.asked != "":
		return putPoint(fp.Index, fp.asked, l.at, l.slip)
	case fp.mode == pointsMode && l.point >= 0 && fp.picked != "":
		return putPoint(fp.Index, fp.picked, l.at, l.slip)
	case fp.mode == photoMode && !fp.marking() && l.point >= 0:
		return moveCorner(fp.Index, l.point, l.at, l.slip)
	case fp.mode == scaleMode && l.point < 0:
		return addRim(fp.Index, fp.piece, fp.front, l.at, l.slip)
	case fp.mode == scaleMode:
		return moveRim(fp.Index, fp.piece, fp.front, l.point, l.at, l.slip)
	}
	return nil
}

// liveName says what the edit does, for undo.
func (fp *filmPage) liveName() string {
	verb, name := "place ", fp.asked
	if fp.live.point >= 0 {
		verb, name = "move ", fp.picked
	}
	switch fp.mode {
	case scaleMode:
		return verb + "a mark of the scale"
	case photoMode:
		return "move a corner of the film"
	}
	words, _ := text.Landmark(name)
	return verb + "“" + words + "”"
}

// nudge moves the point with the handle by one pixel of the film.
func (fp *filmPage) nudge(way viewer.Way) {
	f := fp.now()
	switch {
	case !fp.view.Ok():
	case fp.mode == nailMode:
		for name, w := range ways {
			if w == way {
				fp.nailActs()["nail-move"](name)
			}
		}
		fp.paint()
	case fp.mode == pointsMode:
		if i := pointAt(f, fp.picked); i >= 0 {
			p := f.Points[i]
			fp.do(fp.moveName(), putPoint(fp.Index, p.Name, viewer.Nudge(fp.view, p.At, way), min(p.Slip, viewer.Slip(fp.view))))
		}
	case fp.mode == scaleMode:
		if e, ok := evidenceOf(f, fp.piece); ok && fp.rim >= 0 && fp.rim < len(*marksOf(&e, fp.front)) {
			at := (*marksOf(&e, fp.front))[fp.rim]
			fp.do("move a mark of the scale", moveRim(fp.Index, e.ID, fp.front, fp.rim, viewer.Nudge(fp.view, at, way), viewer.Slip(fp.view)))
		}
	case fp.mode == photoMode:
		if cs := fp.cornersOf(f); !fp.marking() && fp.rim >= 0 && fp.rim < len(cs) {
			fp.do("move a corner of the film", moveCorner(fp.Index, fp.rim, viewer.Nudge(fp.view, cs[fp.rim], way), viewer.Slip(fp.view)))
		}
	}
}

func (fp *filmPage) moveName() string {
	words, _ := text.Landmark(fp.picked)
	return "move “" + words + "”"
}

// lift removes the point with the handle, and asks for it again.
func (fp *filmPage) lift() {
	switch fp.mode {
	case pointsMode:
		words, _ := text.Landmark(fp.picked)
		if fp.picked != "" && fp.do("remove “"+words+"”", cutPoint(fp.Index, fp.picked)) {
			fp.asked, fp.picked = fp.picked, ""
		}
	case scaleMode:
		if fp.do("remove a mark of the scale", cutRim(fp.Index, fp.piece, fp.front, fp.rim)) {
			fp.rim = -1
		}
	}
}

// zoom changes the zoom about the point with the handle, or about the middle.
func (fp *filmPage) zoom(factor float64) {
	at := geom.Pt[viewer.Css]{X: fp.w / 2, Y: fp.h / 2}
	if g := fp.ground(); g.Current >= 0 {
		if p := fp.view.ToScreen(g.Points[g.Current]); p.X > 0 && p.Y > 0 && p.X < fp.w && p.Y < fp.h {
			at = p
		}
	}
	fp.view = fp.view.ZoomAt(at, factor)
	fp.paint()
}

func (fp *filmPage) wheel(at geom.Pt[viewer.Css], turns float64) {
	fp.view = fp.view.ZoomAt(at, wheelFactor(turns))
	fp.paint()
}

// wheelFactor is how much a wheel magnifies: 1.2 a notch, at most 8 at once.
func wheelFactor(turns float64) float64 {
	const notch = 1.2
	f := 1.0
	for ; turns >= 1 && f < 8; turns-- {
		f *= notch
	}
	for ; turns <= -1 && f > 0.125; turns++ {
		f /= notch
	}
	return f * (1 + math.Max(-1, math.Min(turns, 1))*(notch-1))
}

var ways = map[string]viewer.Way{"ArrowLeft": viewer.Leftward, "ArrowRight": viewer.Rightward, "ArrowUp": viewer.Upward, "ArrowDown": viewer.Downward}

// key takes a key of a keyboard, on a desktop, and reports whether it is one
// of ours.
func (fp *filmPage) key(name string) bool {
	if fp.lightKey(name) {
		return true
	}
	way, arrow := ways[name]
	do := map[string]func(){
		"+": func() { fp.zoom(zoomStep) }, "-": func() { fp.zoom(1 / zoomStep) }, "0": fp.fit,
		"ctrl+z": func() { fp.act("undo") }, "ctrl+y": func() { fp.act("redo") }, "ctrl+Z": func() { fp.act("redo") },
		"Delete": fp.lift, "Escape": fp.escape,
	}[name]
	switch {
	case arrow:
		fp.later(func() { fp.nudge(way) })
	case do != nil:
		fp.later(do)
	}
	return arrow || do != nil
}

// escape ends what is going on: a keypad, a search, a proposal, a handle.
func (fp *filmPage) escape() {
	switch {
	case fp.pad != nil:
		fp.pad = nil
	case fp.seek != nil || fp.offer != nil:
		fp.dropSearch()
	default:
		fp.picked, fp.rim = "", -1
	}
	fp.paint()
}

const zoomStep = 1.6

func (fp *filmPage) fit() {
	fp.view = fp.view.FitAgain()
	fp.paint()
}

// slipWords says how sure the picked point is, in film pixels.
func slipWords(slip units.Px) string { return "± " + units.Trim(units.Sure*float64(slip), 1) + " px" }
