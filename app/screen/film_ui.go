package screen

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// Render draws the page. The stage and its canvases never change; all that is
// on them is drawn apart.
func (fp *filmPage) Render() app.UI {
	fp.read()
	pl := fp.plan()
	if fp.mode == nailMode && !fp.live.on { // a held nail is drawn by the pointer itself
		fp.layNail(pl)
	}
	fp.paint()
	class := []string{"film", "mode-" + string(fp.mode)}
	if fp.wide {
		class = append(class, "wide")
	}
	if fp.lighting.on {
		class = append(class, "lighting")
	}
	if fp.wide && fp.beside >= 0 {
		class = append(class, "pair")
	}
	return app.Div().Class(class...).OnClick(fp.onTap).Body(
		fp.tabsUI(pl),
		app.Div().Class("stagebox").Body(
			app.Div().ID(stageID).Class("stage").TabIndex(0).Role("application").Aria("label", fp.stageLabel()).Body(
				app.Canvas().Class("under"), app.Canvas().Class("over")),
			app.Div().Class("over-top").Body(fp.shouts()...),
			fp.openingUI(),
			fp.zoomUI(),
		),
		app.Div().Class("filmpanel").Body(fp.panelUI(pl)...),
		app.Div().Class("filmresult").Body(append([]app.UI{lineUI(fp.line(pl))}, fp.undoButtons()...)...),
		fp.padUI(),
		fp.besideUI(pl),
	)
}

func (fp *filmPage) stageLabel() string {
	if words, hint := text.Landmark(fp.asked); fp.mode == pointsMode && fp.asked != "" {
		return "Film. Asked for: " + words + ". " + hint
	}
	if fp.lighting.on {
		return "Film. Dragging or the arrow keys set the light: up and down brightness, left and right contrast. Escape ends it."
	}
	return "Film"
}

func (fp *filmPage) tabsUI(pl plan.Plan) app.UI {
	f := fp.now()
	_, lacking := fp.sorted(pl)
	tab := func(m filmMode, label string, open bool) app.UI {
		pressed := strconv.FormatBool(fp.mode == m || m == aboutMode && fp.mode == photoMode)
		if open {
			label += " ○"
		}
		return app.Button().Type("button").Aria("pressed", pressed).DataSet("film", "mode|"+string(m)).Text(label)
	}
	return app.Div().Class("filmtabs").Role("group").Aria("label", "Parts of this film").Body(
		tab(aboutMode, "Film", !f.View.Valid() || !f.Bone.Valid() || f.Reduced == record.NotAsked),
		tab(scaleMode, "Scale", !filmScale(pl, fp.Index).Plane.Usable()),
		tab(pointsMode, "Points", f.View.Valid() && lacking > 0),
		tab(nailMode, "Nail", false),
		tab(lookMode, "Look", false))
}

// shouts are what must be seen on the picture itself.
func (fp *filmPage) shouts() []app.UI {
	out := fp.letterShouts(fp.now())
	if fp.view.Mirrored() {
		out = append(out, app.Div().Class("shout").Role("alert").Text("MIRRORED VIEW: left shows right"))
	}
	if q := fp.view.Quarters(); q != 0 {
		out = append(out, app.Div().Class("aside").Text("turned "+strconv.Itoa(90*q)+"°"))
	}
	if fp.other >= 0 {
		out = append(out, app.Div().Class("shout").Text("Frame "+strconv.Itoa(fp.other+1)+" is shown, frame "+strconv.Itoa(fp.now().Frame+1)+" is measured"))
	}
	if fp.lighting.on {
		out = append(out, app.Div().Class("shout lit").Role("status").Body(
			app.Span().Text("DRAG SETS THE LIGHT: ↑ brighter, → more contrast"),
			app.Button().Type("button").DataSet("film", "light-done").Text("Done")))
	}
	if fp.eyes.invert {
		out = append(out, app.Div().Class("aside").Text("inverted"))
	}
	return out
}

func (fp *filmPage) openingUI() app.UI {
	op := fp.film
	switch {
	case op == nil || op.ready:
		return app.Div()
	case op.wrong != "":
		return app.Div().Class("opening").Role("alert").Body(
			app.P().Text(op.wrong), fpAct("main", "Try again", "retry"))
	}
	class, words := "opening", "Opening the film …"
	if op.early {
		class, words = "opening early", "A coarse picture: sharpening …"
	}
	return app.Div().Class(class).Body(
		app.P().Text(words),
		app.Progress().Aria("label", "Opening the film").Max(100).Value(int(op.done*100)),
		fpAct("", "Stop", "cancel"))
}

// zoomUI stands aside while a finger holds a point, or where there is nothing
// to see.
func (fp *filmPage) zoomUI() app.UI {
	class := "corner"
	if fp.live.on || fp.film == nil || !fp.film.ready {
		class += " away"
	}
	return app.Div().Class(class).Body(fpIcon("Zoom in", "+", "in"), fpIcon("Zoom out", "−", "out"), fpIcon("Fit: show the whole film", "fit", "fit"))
}

// undoButtons take back only what was done on this film since it was opened:
// one more would take the film itself away.
func (fp *filmPage) undoButtons() []app.UI {
	undo, _ := fp.Session.CanUndo()
	redo, _ := fp.Session.CanRedo()
	return []app.UI{
		fpIcon("Undo: "+undo, "↶", "undo").Disabled(fp.made == 0 && len(fp.corners) == 0),
		fpIcon("Redo: "+redo, "↷", "redo").Disabled(fp.unmade == 0),
	}
}

func fpIcon(label, sign, do string) app.HTMLButton {
	return app.Button().Type("button").Aria("label", label).DataSet("film", do).Text(sign)
}

func fpAct(class, label, do string) app.UI {
	return app.Button().Type("button").Class("act "+class).DataSet("film", do).Text(label)
}

func lineUI(line string) app.UI {
	const long = 44 // more letters than two lines of a narrow phone hold
	span := app.Span().Aria("live", "polite").Text(line)
	if len([]rune(line)) > long {
		span = span.Class("long")
	}
	return span
}

// line is the one line that is always there: what went wrong, or what the
// film has come to.
func (fp *filmPage) line(pl plan.Plan) string {
	s := filmScale(pl, fp.Index)
	e, marking := evidenceOf(fp.now(), fp.piece)
	switch {
	case fp.says != "" && !longSays(fp.says):
		return fp.says
	case fp.Alarm != "":
		return fp.Alarm
	case fp.mode == nailMode:
		return fp.nailLine()
	case fp.mode == scaleMode && marking:
		return pieceWorth(fp.now(), e, s)
	case fp.mode == pointsMode && !s.Plane.Usable():
		return photoLine(fp.now(), s) + "; the points are kept"
	case fp.mode == pointsMode:
		return resultLine(pl)
	}
	return photoLine(fp.now(), s)
}

// longSays reports whether a sentence is too long for the foot of the page; it
// then stands on top of the panel.
func longSays(s string) bool { return len([]rune(s)) > 84 }

func (fp *filmPage) panelUI(pl plan.Plan) []app.UI {
	if longSays(fp.says) {
		return append([]app.UI{app.P().Class("care saidlong").Role("alert").Text(fp.says)}, fp.partUI(pl)...)
	}
	return fp.partUI(pl)
}

// partUI is what the open part of the page asks.
func (fp *filmPage) partUI(pl plan.Plan) []app.UI {
	switch {
	case fp.seek != nil:
		return fp.seekUI()
	case fp.offer != nil:
		return fp.offerUI()
	}
	switch fp.mode {
	case scaleMode:
		return fp.scaleUI(pl)
	case pointsMode:
		return fp.pointsUI(pl)
	case photoMode:
		return fp.photoUI(pl)
	case nailMode:
		return fp.nailUI()
	case lookMode:
		return fp.lookUI()
	}
	return fp.aboutUI()
}

// aboutUI asks what the film shows. Nothing is chosen beforehand.
func (fp *filmPage) aboutUI() []app.UI {
	f := fp.now()
	kids := []app.UI{
		fpChoice("Which view is it?", "view", string(f.View), []option{{string(anatomy.AP), "From the front"}, {string(anatomy.Lateral), "From the side"}}),
		fpChoice("Which leg is it?", "bone", string(f.Bone), []option{{string(anatomy.Injured), "The broken one"}, {string(anatomy.Sound), "The other"}}),
		fpChoice("Is the bone at its length on it?", "reduced", string(f.Reduced), yesNoUnsure()),
	}
	kids = append(kids, fp.letterUI(f)...)
	kids = append(kids, photoSwitch(f)...)
	for _, w := range fp.found.Warnings {
		kids = append(kids, app.P().Class("care").Text(w))
	}
	if fp.found.Frames > 1 {
		kids = append(kids, fp.framesUI()...)
	}
	return kids
}

// framesUI shows the frames of a file one by one. Only one of them is measured.
func (fp *filmPage) framesUI() []app.UI {
	kids := []app.UI{fpStep("Frame of "+strconv.Itoa(fp.found.Frames), strconv.Itoa(fp.frameShown()+1), "", "frame")}
	if fp.other >= 0 {
		opening := fp.film == nil || !fp.film.ready
		kids = append(kids, app.Div().Class("acts").Body(app.Button().Type("button").Class("act main").DataSet("film", "frame-take").Disabled(opening).Text("Measure on this frame")))
	}
	return kids
}

// windowsUI are the windows that the film offers.
func (fp *filmPage) windowsUI() app.UI {
	if len(fp.found.Windows) < 2 {
		return app.Div()
	}
	var opts []option
	seen := map[string]bool{}
	for i, w := range fp.found.Windows {
		if seen[w.Name] && i != fp.window { // the one that is shown may be one of the others
			continue
		}
		seen[w.Name] = true
		name := w.Name
		if name == "" {
			name = "Window " + strconv.Itoa(i+1)
		}
		opts = append(opts, option{strconv.Itoa(i), name})
	}
	return fpChoice("Window", "window", strconv.Itoa(fp.window), opts)
}

// photoSwitch says that the picture is a photo of a film, which a film of an
// archive never is.
func photoSwitch(f record.Film) []app.UI {
	if f.Kind == "dicom" || f.Kind == "" {
		return nil
	}
	words, said := "This is a photo of a film or a screen", "false"
	if f.Photo != nil {
		words, said = "✓ A photo of a film or a screen: its corners", "true"
	}
	return []app.UI{app.Div().Class("acts").Body(app.Button().Type("button").Class("act").Aria("pressed", said).DataSet("film", "photo").Text(words))}
}

// fpChoice is a question with its answers; the same answer again takes it
// back.
func fpChoice(label, verb, now string, opts []option) app.UI {
	var bs []app.UI
	for _, o := range opts {
		bs = append(bs, app.Button().Type("button").Aria("pressed", strconv.FormatBool(o.value == now)).DataSet("film", verb+"|"+o.value).Text(o.label))
	}
	return app.Div().Class("seg long").Role("group").Aria("label", label).Body(
		app.Div().Class("label").Text(label), app.Div().Class("opts").Body(bs...))
}

// hintUI says what the next tap does.
func (fp *filmPage) hintUI() app.UI {
	f := fp.now()
	switch {
	case fp.asked != "":
		words, hint := text.Landmark(fp.asked)
		return app.P().Class("hint").Body(app.B().Text("◎ "+words+". "), app.Text(hint))
	case fp.picked != "":
		words, _ := text.Landmark(fp.picked)
		sure := ""
		if i := pointAt(f, fp.picked); i >= 0 {
			sure = " (" + slipWords(f.Points[i].Slip) + ")"
		}
		return app.P().Class("hint").Body(app.B().Text(words+sure+". "), app.Text("Drag it by its handle, or use the arrows. The closer you zoom, the surer it is."))
	}
	return app.P().Class("hint").Body(app.B().Text("Placed. "), app.Text("Drag any to be surer, or open another group."))
}

// toolsUI moves or removes the point with the handle.
func (fp *filmPage) toolsUI(on bool) app.UI {
	b := func(label, sign, do string) app.UI { return fpIcon(label, sign, do).Disabled(!on) }
	kids := []app.UI{
		b("One pixel to the left", "←", "nudge|ArrowLeft"), b("One pixel up", "↑", "nudge|ArrowUp"),
		b("One pixel down", "↓", "nudge|ArrowDown"), b("One pixel to the right", "→", "nudge|ArrowRight"),
	}
	if fp.find != nil {
		kids = append(kids, b("Snap to the nearest edge", "Snap", "snap"))
	}
	if fp.mode == pointsMode {
		kids = append(kids, fpIcon("Next landmark of this group", "Next", "next"))
	}
	kids = append(kids, b("Remove this point", "✕", "lift"))
	return app.Div().Class("tools").Role("group").Aria("label", "Move the point by one pixel, or remove it").Body(kids...)
}

// lookUI changes what the eye sees and nothing else.
func (fp *filmPage) lookUI() []app.UI {
	if fp.lighting.on {
		return []app.UI{fp.lightUI(), app.Div().Class("acts").Body(fpAct("", "As stored", "plain"), fpAct("main", "Done", "light-done"))}
	}
	turn := "Mirror"
	if fp.view.Mirrored() {
		turn = "Mirror back"
	}
	return []app.UI{
		app.P().Class("gloss").Text("For the eye only: nothing here changes a point or a measurement."),
		app.Div().Class("acts").Body(fpAct("main", "Set light by dragging", "light")),
		fp.lightUI(),
		fp.windowsUI(),
		app.Div().Class("acts").Body(fpAct("", "Invert", "invert"), fpAct("", "Turn", "turn"), fpAct("", turn, "mirror"), fpAct("", "As stored", "plain")),
	}
}

func fpStep(label, value, unit, do string) app.UI {
	return app.Div().Class("row").Body(
		app.Div().Class("label").Text(label),
		app.Button().Type("button").Aria("label", label+" less").DataSet("film", do+"|-").Text("−"),
		app.Output().Class("value").Body(app.Text(value), app.I().Text(unit)),
		app.Button().Type("button").Aria("label", label+" more").DataSet("film", do+"|+").Text("+"))
}

// Resizing is heard by the stage itself; this keeps a turned phone in step.
func (fp *filmPage) turnView(fn func(viewer.View) viewer.View) {
	fp.view = fn(fp.view)
	fp.paint()
}
