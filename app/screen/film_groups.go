package screen

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A group is the landmarks of one job. The core ones are asked for one after
// the other while the plan lacks what they give; the others wait to be chosen.
type group struct {
	key, name string
	core      []anatomy.Landmark
	more      []anatomy.Landmark
	lacks     func(fp *filmPage, pl plan.Plan) bool // the plan wants it of this film
}

func (g group) all() []anatomy.Landmark { return append(slices.Clone(g.core), g.more...) }

var headRim = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3}

// landmarkGroups are the jobs in the order of the work. Those of the other view are
// left out by groupsOf.
var landmarkGroups = []group{
	{"length", "Length", []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget}, []anatomy.Landmark{anatomy.LesserTroch, anatomy.Notch, anatomy.PatellaTop},
		func(_ *filmPage, pl plan.Plan) bool { return pl.Bone.Length == nil }},
	{"canal", "Canal", []anatomy.Landmark{anatomy.CanalA, anatomy.CanalB, anatomy.ShaftUpper, anatomy.ShaftLower}, []anatomy.Landmark{anatomy.OuterA, anatomy.OuterB, anatomy.LesserMiddle, anatomy.FlareA, anatomy.FlareB, anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower},
		func(fp *filmPage, pl plan.Plan) bool {
			return fp.now().View == anatomy.AP && pl.Bone.CanalAP == nil || fp.now().View == anatomy.Lateral && pl.Bone.CanalLat == nil
		}},
	{"fracture", "Fracture", []anatomy.Landmark{anatomy.FractureUpper, anatomy.FractureLower}, []anatomy.Landmark{anatomy.SecondUpper, anatomy.SecondLower, anatomy.PieceUpper, anatomy.PieceLower},
		func(fp *filmPage, pl plan.Plan) bool {
			return fp.now().Bone == anatomy.Injured && pl.Bone.Fracture == nil
		}},
	{"hip-front", "Hip from the front", append(slices.Clone(headRim), anatomy.NeckUpper, anatomy.NeckLower, anatomy.LateralCortex), nil, wantsHead},
	{"hip-side", "Hip from the side", append(slices.Clone(headRim), anatomy.NeckFront, anatomy.NeckBack), []anatomy.Landmark{anatomy.NeckUpper, anatomy.NeckLower}, wantsHead},
	{"films", "Two films of one bone", []anatomy.Landmark{anatomy.Join}, nil, wantsJoin},
	{"old", "Old implant", []anatomy.Landmark{anatomy.OldNailTop, anatomy.OldNailLower}, nil,
		func(fp *filmPage, _ plan.Plan) bool { return fp.c.Injury.Implant == record.Yes }},
}

// wantsHead reports whether the hip decides something: with standard locking
// it decides nothing.
func wantsHead(_ *filmPage, pl plan.Plan) bool {
	return pl.Locking.Pattern == plan.HeadLock && !pl.Space.Solved
}

// wantsJoin reports whether this film shows one end of the bone and another
// one is there that could show the other.
func wantsJoin(fp *filmPage, pl plan.Plan) bool {
	f := fp.now()
	return len(fp.c.Films) > 1 && pl.Bone.Length == nil && (pointAt(f, anatomy.TrochanterTip) >= 0) != (pointAt(f, anatomy.DistalTarget) >= 0)
}

// groupsOf returns the groups of a view in the order of the work.
func groupsOf(v anatomy.View) []group {
	var out []group
	for _, g := range landmarkGroups {
		if g.key == "hip-front" && v != anatomy.AP || g.key == "hip-side" && v != anatomy.Lateral {
			continue
		}
		in := func(ls []anatomy.Landmark) []anatomy.Landmark {
			return slices.DeleteFunc(slices.Clone(ls), func(l anatomy.Landmark) bool { return !l.In(v) })
		}
		g.core, g.more = in(g.core), in(g.more)
		if len(g.core)+len(g.more) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// groupOf returns the group of a view that holds a landmark.
func groupOf(v anatomy.View, l anatomy.Landmark) string {
	for _, g := range groupsOf(v) {
		if slices.Contains(g.all(), l) {
			return g.key
		}
	}
	return ""
}

// missingOf returns the first of some landmarks after one that is not placed,
// round the end, or none.
func missingOf(f record.Film, names []anatomy.Landmark, after anatomy.Landmark) anatomy.Landmark {
	from := slices.Index(names, after) + 1
	for i := range names {
		if l := names[(from+i)%len(names)]; pointAt(f, l) < 0 {
			return l
		}
	}
	return ""
}

// wanted returns the landmark of a group that the plan still lacks, or none.
func (fp *filmPage) wanted(g group, pl plan.Plan) anatomy.Landmark {
	if !g.lacks(fp, pl) {
		return ""
	}
	return missingOf(fp.now(), g.core, "")
}

// sorted returns the groups of this film, those that the plan still lacks
// first, and how many these are.
func (fp *filmPage) sorted(pl plan.Plan) (gs []group, lacking int) {
	var rest []group
	for _, g := range groupsOf(fp.now().View) {
		if fp.wanted(g, pl) != "" {
			gs = append(gs, g)
		} else {
			rest = append(rest, g)
		}
	}
	return append(gs, rest...), len(gs)
}

// askNext asks for the landmark that comes next after one: in a group that a
// person opened the next one that is not placed, else what the plan lacks.
func (fp *filmPage) askNext(after anatomy.Landmark) {
	pl, f := fp.Session.Plan(), fp.now()
	fp.asked = ""
	for _, g := range groupsOf(f.View) {
		if g.key != fp.group {
			continue
		}
		if names := g.core; fp.chosen {
			fp.asked = missingOf(f, append(slices.Clone(names), g.more...), after)
		} else if slices.Contains(names, after) || after == "" {
			fp.asked = missingOf(f, names, after)
		}
	}
	if fp.asked != "" {
		return
	}
	if gs, n := fp.sorted(pl); n > 0 {
		fp.group, fp.chosen, fp.asked = gs[0].key, false, fp.wanted(gs[0], pl)
	}
}

// groupActs open the groups of landmarks.
func (fp *filmPage) groupActs() map[string]func(string) {
	return map[string]func(string){
		"groups": func(string) { fp.choosing = !fp.choosing },
		"next":   func(string) { fp.walk() },
		"group": func(arg string) {
			fp.choosing, fp.group, fp.chosen, fp.picked = false, arg, true, ""
			for _, g := range groupsOf(fp.now().View) {
				if g.key == arg {
					fp.asked = missingOf(fp.now(), g.all(), "")
				}
			}
		},
	}
}

// walk goes on to the next landmark of the open group, placed or not: each is
// reached by taps alone.
func (fp *filmPage) walk() {
	g := groupNamed(fp.now().View, fp.group)
	if g == nil {
		return
	}
	now := fp.asked
	if now == "" {
		now = fp.picked
	}
	all := g.all()
	fp.chosen = true
	fp.landmark(all[(slices.Index(all, now)+1)%len(all)])
}

// joinRows is what the ruler shows at the mark that two films share.
func (fp *filmPage) joinRows() []row {
	if fp.mode != pointsMode || fp.group != "films" {
		return nil
	}
	n := fp.Index
	return []row{fp.mmRow("join", "What the ruler shows here", "only if the mark is a graduation", 0, 2000, 10, fp.now().JoinMM, func(v *units.MM) filmEdit {
		return onFilm(n, func(f *record.Film) error { f.JoinMM = v; return nil })
	})}
}

// pointsUI asks for the landmarks one by one, group by group.
func (fp *filmPage) pointsUI(pl plan.Plan) []app.UI {
	f := fp.now()
	if !f.View.Valid() {
		return []app.UI{app.P().Class("note").Text("Say which view this film is first: its landmarks depend on it."), fpAct("main", "Say which view it is", "mode|about")}
	}
	if fp.choosing || groupNamed(f.View, fp.group) == nil {
		return fp.groupsUI(pl)
	}
	chips, tools := fp.chipsUI(*groupNamed(f.View, fp.group)), fp.toolsUI(fp.picked != "")
	kids := []app.UI{fp.hintUI(), chips}
	if fp.wide { // the list runs down the page there
		kids = []app.UI{fp.hintUI(), tools, fp.findUI(fp.group), chips}
	}
	for _, r := range fp.joinRows() {
		kids = append(kids, app.Div().Class("inset").Body(fp.numberUI(r)))
	}
	if fp.wide {
		return kids
	}
	return append(kids, tools, fp.findUI(fp.group))
}

func groupNamed(v anatomy.View, key string) *group {
	for _, g := range groupsOf(v) {
		if g.key == key {
			return &g
		}
	}
	return nil
}

// chipsUI is the landmarks of the group that is open, behind its name.
func (fp *filmPage) chipsUI(g group) app.UI {
	f := fp.now()
	open := app.Button().Type("button").Class("chip group").Aria("expanded", "false").DataSet("film", "groups").Text("▾ " + g.name + " " + groupCount(f, g))
	var chips []app.UI
	for _, l := range g.all() {
		words, _ := text.Landmark(l)
		class, sign := "chip", "○ "
		if pointAt(f, l) >= 0 {
			sign = "✓ "
		}
		switch l {
		case fp.asked:
			class, sign = "chip asked", "◎ "
		case fp.picked:
			class = "chip picked"
		}
		chips = append(chips, app.Button().Type("button").Class(class).DataSet("film", "landmark|"+string(l)).Text(sign+words))
	}
	placed := make([]string, 0, len(f.Points))
	for _, pt := range f.Points {
		placed = append(placed, string(pt.Name))
	}
	return app.Div().Class("chiprow").Body(open,
		app.Div().Class("chips").ID("film-chips").DataSet("placed", strings.Join(placed, " ")).Role("group").Aria("label", "Landmarks").Body(chips...))
}

func groupCount(f record.Film, g group) string {
	n := 0
	for _, l := range g.all() {
		if pointAt(f, l) >= 0 {
			n++
		}
	}
	return strconv.Itoa(n) + "/" + strconv.Itoa(len(g.all()))
}

// groupsUI lists the groups, what the plan still lacks first.
func (fp *filmPage) groupsUI(pl plan.Plan) []app.UI {
	f := fp.now()
	gs, lacking := fp.sorted(pl)
	var items []app.UI
	for i, g := range gs {
		note, class := "", "groupbutton"
		if i < lacking {
			note, class = "the plan still needs it", "groupbutton lacks"
		}
		items = append(items, app.Button().Type("button").Class(class).Aria("pressed", strconv.FormatBool(g.key == fp.group)).DataSet("film", "group|"+g.key).
			Body(app.B().Text(g.name+" "+groupCount(f, g)), app.Small().Text(note)))
	}
	return []app.UI{app.Div().Class("groups").Role("group").Aria("label", "Groups of landmarks").Body(items...)}
}
