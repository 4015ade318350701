package screen

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// nailMode lays the chosen nail over the film.
const nailMode filmMode = "nail"

// A template is the nail over the film while it is looked at. Where it lies is
// for the eye: it is never stored and decides nothing.
type template struct {
	over  drawing.Overlay
	pose  drawing.Pose
	wrong string // why there is none
	laid  bool   // a person has moved it
}

// layNail takes the nail of the plan as it is now; one that a person has moved
// stays where it is.
func (fp *filmPage) layNail(pl plan.Plan) {
	over, err := drawing.OverlayOf(fp.c, pl, fp.Index)
	t := template{over: over}
	switch {
	case err != nil:
		t.wrong = text.Error(err)
	case fp.nail.laid:
		t.pose, t.laid = fp.nail.pose, true
	default:
		t.pose = over.Start()
	}
	fp.nail = t
}

// nailActs move the nail over the film.
func (fp *filmPage) nailActs() map[string]func(string) {
	move := func(fn func(drawing.Overlay, drawing.Pose) drawing.Pose) {
		if fp.nail.wrong == "" {
			fp.nail.pose, fp.nail.laid = fn(fp.nail.over, fp.nail.pose), true
		}
	}
	return map[string]func(string){
		"nail-move": func(arg string) {
			step := map[string][2]units.MM{"ArrowUp": {-1, 0}, "ArrowDown": {1, 0}, "ArrowLeft": {0, -1}, "ArrowRight": {0, 1}}[arg]
			move(func(o drawing.Overlay, p drawing.Pose) drawing.Pose { return o.Shift(p, step[0], step[1]) })
		},
		"nail-turn": func(arg string) {
			deg := map[string]float64{"left": -0.5, "right": 0.5}[arg]
			move(func(o drawing.Overlay, p drawing.Pose) drawing.Pose { return o.Turned(p, deg) })
		},
		"nail-plan": func(string) { fp.nail.laid = false; fp.layNail(fp.Session.Plan()) },
	}
}

// nailCast makes both ends of the nail touchable: the upper one moves it, the
// lower one turns it.
func (fp *filmPage) nailCast() cast {
	var c cast
	if fp.nail.wrong != "" || !(fp.nail.over.Part.Length > 0) {
		return c
	}
	for i, at := range []geom.Pt[units.Px]{fp.nail.pose.Top, fp.nail.over.Tip(fp.nail.pose)} {
		if q, ok := fp.nail.over.ToPicture(at); ok {
			c.marks = append(c.marks, viewer.Mark{At: q, Name: [2]string{"move", "turn"}[i], Current: i == fp.rim})
		}
	}
	if len(c.marks) < 2 {
		return cast{}
	}
	c.grab = 2
	return c
}

// nailTrails are the lines of the nail over the film.
func (fp *filmPage) nailTrails() []viewer.Trail {
	var out []viewer.Trail
	if fp.mode != nailMode || fp.nail.wrong != "" || !(fp.nail.over.Part.Length > 0) {
		return out
	}
	for _, l := range fp.nail.over.Lines(fp.nail.pose) {
		tr := viewer.Trail{Path: l.Path, Closed: l.Closed, Text: l.Text, Style: viewer.Metal}
		if l.Axis {
			tr.Style = viewer.Offered
		}
		out = append(out, tr)
	}
	return out
}

// dragNail lays the nail where a finger holds one of its ends.
func (fp *filmPage) dragNail(end int, at geom.Pt[units.Px]) {
	q, ok := fp.nail.over.ToFilm(at)
	if !ok || fp.nail.wrong != "" {
		return
	}
	fp.nail.laid = true
	if end == 0 {
		fp.nail.pose.Top = q
		return
	}
	fp.nail.pose = fp.nail.over.Pointed(fp.nail.pose, q)
}

// nailUI says what the pose means.
func (fp *filmPage) nailUI() []app.UI {
	if fp.nail.wrong != "" {
		return []app.UI{app.P().Class("note").Text(fp.nail.wrong)}
	}
	o := fp.nail.over
	kids := []app.UI{fp.nailTools(), app.P().Class("gloss").Text(fp.nailTitle())}
	var rows []app.UI
	for _, s := range o.Says(fp.nail.pose) {
		name, value, danger := text.Pose(s.Code, s.Value)
		class := "pose"
		if danger {
			class, name = "pose danger", "⚠ "+name
		}
		rows = append(rows, app.Li().Class(class).DataSet("pose", s.Code).Body(app.Span().Text(name), app.B().Text(value)))
	}
	if len(rows) == 0 {
		kids = append(kids, app.P().Class("note").Text("No landmark tells yet what this means: mark the tip of the trochanter and the distal target, under Points."))
	}
	kids = append(kids, app.Ul().Class("poses").Body(rows...))
	return append(kids, app.P().Class("gloss").Text("For the eye: it lies flat in the plane of the film, a turn of the leg is not seen, and where you lay it is not kept. The plan decides by its own numbers."))
}

func (fp *filmPage) nailTitle() string {
	o := fp.nail.over
	words := "Nail " + units.Trim(float64(o.Part.Diameter), 1) + " × " + text.MM(o.Part.Length) + ", to scale"
	if o.Part.BowRadius > 0 && o.View.Valid() && !o.Bowed() {
		words += ", drawn straight"
	}
	switch {
	case fp.nail.laid:
		return words + ", as you laid it."
	case !o.Meant():
		return words + ". Drag it to its place: no landmarks tell where the plan means it."
	}
	return words + ", as the plan means it."
}

func (fp *filmPage) nailTools() app.UI {
	return app.Div().Class("tools").Role("group").Aria("label", "Move the nail by 1 mm, or turn it by half a degree").Body(
		fpIcon("Nail higher by 1 mm", "↑", "nail-move|ArrowUp"), fpIcon("Nail deeper by 1 mm", "↓", "nail-move|ArrowDown"),
		fpIcon("Nail to the left by 1 mm", "←", "nail-move|ArrowLeft"), fpIcon("Nail to the right by 1 mm", "→", "nail-move|ArrowRight"),
		fpIcon("Turn by half a degree, against the clock", "⟲", "nail-turn|left"), fpIcon("Turn by half a degree, with the clock", "⟳", "nail-turn|right"),
		fpIcon("Back to where the plan means it", "Plan", "nail-plan").Disabled(!fp.nail.laid))
}

// nailLine is the pose in one line, for the foot of the page.
func (fp *filmPage) nailLine() string {
	if fp.nail.wrong != "" {
		return "No nail over this film"
	}
	line := ""
	for i, s := range fp.nail.over.Says(fp.nail.pose) {
		if i > 1 {
			break
		}
		name, value, _ := text.Pose(s.Code, s.Value)
		if line != "" {
			line += " · "
		}
		line += name + " " + value
	}
	if line == "" {
		return "Nail laid at " + strconv.Itoa(int(fp.nail.pose.Turn)) + "°"
	}
	return line
}
