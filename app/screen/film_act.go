package screen

import (
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// onTap finds what was tapped and does it. A tap names its action in data-film,
// so that no handler holds an old value.
func (fp *filmPage) onTap(_ app.Context, e app.Event) {
	t := e.Get("target")
	if !t.Truthy() || !t.Get("closest").Truthy() {
		return
	}
	if t = t.Call("closest", "[data-film]"); t.Truthy() {
		fp.act(t.Call("getAttribute", "data-film").String())
	}
}

// act does what a button asks for: "verb" or "verb|argument". A panic ends in
// a sentence.
func (fp *filmPage) act(name string) {
	defer func() {
		if r := recover(); r != nil {
			fp.pad, fp.says = nil, broken(r)
		}
	}()
	fp.read()
	fp.says = ""
	verb, arg, _ := strings.Cut(name, "|")
	for _, acts := range []map[string]func(string){fp.stageActs(), fp.lightActs(), fp.filmActs(), fp.letterActs(), fp.groupActs(), fp.findActs(), fp.nailActs(), fp.frameActs(), fp.besideActs(), fp.photoActs(), fp.scaleActs(), fp.answerActs(), fp.numberActs()} {
		if fn := acts[verb]; fn != nil {
			fn(arg)
		}
	}
	if slices.Contains([]string{"mode", "landmark", "group", "groups", "piece", "add", "cut", "photo", "photo-not", "corners-again"}, verb) {
		fp.reveal()
	}
	fp.paint()
}

// stageActs move the picture or change how it looks; none changes the case.
func (fp *filmPage) stageActs() map[string]func(string) {
	eye := func(fn func()) func(string) { return func(string) { fn(); fp.applyEyes(); fp.settleLight() } }
	return map[string]func(string){
		"mode": func(arg string) {
			fp.mode, fp.piece, fp.rim, fp.pad = filmMode(arg), "", -1, nil
			fp.corners, fp.again, fp.lighting = nil, false, lighting{}
			fp.dropSearch()
			if fp.mode == nailMode {
				fp.layNail(fp.Session.Plan())
			}
		},
		"in":     func(string) { fp.zoom(zoomStep) },
		"out":    func(string) { fp.zoom(1 / zoomStep) },
		"fit":    func(string) { fp.fit() },
		"turn":   func(string) { fp.turnView(func(v viewer.View) viewer.View { return v.Turn(1) }) },
		"mirror": func(string) { fp.turnView(viewer.View.Mirror) },
		"invert": eye(func() { fp.eyes.invert = !fp.eyes.invert }),
		"plain":  eye(fp.plainLook),
		"retry":  func(string) { fp.open() },
		"cancel": func(string) { fp.stop() },
		"undo":   func(string) { fp.undo() },
		"redo":   func(string) { fp.redo() },
	}
}

// plainLook shows the picture as it is stored: no mirror, no turn, no filter.
func (fp *filmPage) plainLook() {
	fp.eyes = plainEyes()
	if fp.view.Mirrored() {
		fp.view = fp.view.Mirror()
	}
	fp.view = fp.view.Turn(-fp.view.Quarters())
}

// settle drops what an undo may have taken away.
func (fp *filmPage) settle() {
	f := fp.now()
	if pointAt(f, fp.picked) < 0 {
		fp.picked = ""
	}
	if fp.asked == "" || pointAt(f, fp.asked) >= 0 {
		fp.askNext("")
	}
	if fp.mode == photoMode {
		fp.again, fp.rim = false, -1
		return
	}
	if e, ok := evidenceOf(f, fp.piece); !ok {
		fp.piece, fp.rim = "", -1
	} else if fp.rim >= len(*marksOf(&e, fp.front)) {
		fp.rim = -1
	}
}

// filmActs answer what the film shows and place its landmarks.
func (fp *filmPage) filmActs() map[string]func(string) {
	n := fp.Index
	again := func(now, arg string) string { // the same answer again takes it back
		if now == arg {
			return ""
		}
		return arg
	}
	return map[string]func(string){
		"view": func(arg string) {
			if fp.do("which view", onFilm(n, func(f *record.Film) error { return setView(f, anatomy.View(again(string(f.View), arg))) })) {
				fp.picked, fp.group = "", ""
				fp.askNext("")
			}
		},
		"bone": func(arg string) {
			fp.do("which leg", onFilm(n, func(f *record.Film) error { f.Bone = anatomy.Bone(again(string(f.Bone), arg)); return nil }))
		},
		"reduced": func(arg string) {
			fp.do("at its length", onFilm(n, func(f *record.Film) error { f.Reduced = record.Answer(again(string(f.Reduced), arg)); return nil }))
		},
		"landmark": func(arg string) { fp.landmark(anatomy.Landmark(arg)) },
		"nudge":    func(arg string) { fp.nudge(ways[arg]) },
		"lift":     func(string) { fp.lift() },
	}
}

// landmark asks for a landmark, or takes the one that is placed by its handle.
func (fp *filmPage) landmark(l anatomy.Landmark) {
	i := pointAt(fp.now(), l)
	if g := groupOf(fp.now().View, l); g != fp.group {
		fp.group, fp.chosen = g, true
	}
	fp.choosing = false
	if i < 0 {
		fp.asked, fp.picked = l, ""
		return
	}
	fp.asked, fp.picked = "", l
	fp.showPlace(fp.now().Points[i].At)
}

// showPlace brings a place of the film onto the screen.
func (fp *filmPage) showPlace(at geom.Pt[units.Px]) {
	if p := fp.view.ToScreen(at); fp.view.Ok() && (p.X < 0 || p.Y < 0 || p.X > fp.w || p.Y > fp.h) {
		fp.view = fp.view.Pan(viewer.Middle(fp.view).Minus(p))
	}
}

// answerActs say what the marks of a piece of evidence are.
func (fp *filmPage) answerActs() map[string]func(string) {
	n := fp.Index
	return map[string]func(string){
		"front": func(arg string) { fp.front, fp.rim = arg == "front", -1 },
		"along": func(arg string) {
			fp.do("along or across", onEvidence(n, fp.piece, func(e *record.Evidence) error {
				if e.Along == record.Answer(arg) {
					arg = ""
				}
				e.Along = record.Answer(arg)
				return nil
			}))
		},
		"at-bone": func(arg string) {
			fp.do("depth of the marker", onEvidence(n, fp.piece, func(e *record.Evidence) error {
				if e.AtBone == record.Answer(arg) {
					arg = ""
				}
				e.AtBone = record.Answer(arg)
				return nil
			}))
		},
	}
}

// scaleActs edit the evidence of size.
func (fp *filmPage) scaleActs() map[string]func(string) {
	n := fp.Index
	return map[string]func(string){
		"piece": func(arg string) { fp.piece, fp.rim, fp.front = arg, -1, false; fp.forget() },
		"add": func(arg string) {
			kind, id := record.EvidenceKind(arg), fp.Session.NewID()
			if fp.do("add "+strings.ToLower(evidenceName(kind)), addEvidence(n, id, kind)) {
				fp.piece, fp.rim, fp.front = id, -1, false
				fp.forget()
			}
		},
		"cut": func(arg string) {
			if fp.do("remove a piece of evidence", cutEvidence(n, arg)) {
				fp.piece, fp.rim = "", -1
			}
		},
		"choose": func(arg string) {
			pieces := filmScale(fp.Session.Plan(), n).Pieces
			if i := slices.IndexFunc(pieces, func(p plan.Piece) bool { return p.ID == arg }); i >= 0 {
				fp.do("choose the scale", chooseEvidence(n, pieces[i]))
			}
		},
		"unchoose": func(string) {
			fp.do("take the choice of scale back", onFilm(n, func(f *record.Film) error { f.Chosen = ""; return nil }))
		},
	}
}

// numberActs type the numbers of a piece of evidence.
func (fp *filmPage) numberActs() map[string]func(string) {
	return map[string]func(string){
		"pad": func(arg string) { fp.pad = &pad{key: arg} },
		"key": fp.padKey,
		"step": func(arg string) {
			key, dir, _ := strings.Cut(arg, "|")
			if r, ok := fp.rowsNow()[key]; ok {
				fp.put(r, stepValue(r, fp.shown(r), dir))
			}
		},
	}
}

// forget drops what was refused for another piece of evidence.
func (fp *filmPage) forget() {
	fp.wrong, fp.kept, fp.pad = map[string]string{}, map[string]string{}, nil
}
