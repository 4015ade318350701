package screen

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/calibrate"
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// photoMode marks the corners of a film in a photo of it.
const photoMode filmMode = "photo"

// A corner is one corner of a film in a photo, before all four are marked: a
// case holds four or none.
type corner struct {
	at   geom.Pt[units.Px]
	slip units.Px
}

// cornerNames are the corners in the order of the file, as the film is read.
var cornerNames = [4]string{"top left", "top right", "bottom right", "bottom left"}

// putCorners says that the picture is a photo of a film with these corners.
// The size that was given before stays.
func putCorners(n int, cs []corner) filmEdit {
	return onPhoto(n, func(f *record.Film, p *record.Photo) error {
		if len(cs) != 4 {
			return &filmEditError{"corners"}
		}
		p.Corners, p.Edges = nil, nil // points of another frame check nothing
		sum := 0.0
		for _, c := range cs {
			if !onPicture(f, c.at) || !(c.slip > 0) {
				return &filmEditError{"place"}
			}
			p.Corners = append(p.Corners, c.at)
			sum += sqPx(c.slip)
		}
		p.Slip = units.Px(math.Sqrt(sum / 4))
		return nil
	})
}

// putFrame is putCorners with the points that were found on the edges, by which
// the corners are checked.
func putFrame(n int, cs []corner, edges *record.PhotoEdges) filmEdit {
	return func(c *record.Case) error {
		if err := putCorners(n, cs)(c); err != nil {
			return err
		}
		return onPhoto(n, func(_ *record.Film, p *record.Photo) error { p.Edges = edges; return nil })(c)
	}
}

// edgesOf are the points on the edges of a frame that was found, nil without
// any: at most as many to a side as a case takes, evenly.
func edgesOf(f find.Frame) *record.PhotoEdges {
	var sides [4][]geom.Pt[units.Px]
	n := 0
	for k, side := range f.Edges {
		keep := min(len(side), maxEdge)
		for i := range keep {
			sides[k] = append(sides[k], side[i*len(side)/keep])
		}
		n += keep
	}
	if n == 0 || !(f.EdgeSlip > 0) {
		return nil
	}
	return &record.PhotoEdges{Top: sides[0], Right: sides[1], Bottom: sides[2], Left: sides[3], Slip: f.EdgeSlip}
}

// maxEdge is how many points of one edge a case takes.
const maxEdge = 64

// moveCorner places one corner again; its slip is replaced in the root mean
// square of the four.
func moveCorner(n, i int, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onPhoto(n, func(f *record.Film, p *record.Photo) error {
		switch {
		case i < 0 || i >= len(p.Corners):
			return &filmEditError{"corners"}
		case !onPicture(f, at) || !(slip > 0):
			return &filmEditError{"place"}
		}
		p.Corners[i] = at
		p.Slip = units.Px(math.Sqrt((3*sqPx(p.Slip) + sqPx(slip)) / 4))
		return nil
	})
}

// sizePhoto says how large the film itself is; nil says that it is not known.
func sizePhoto(n int, w, h *units.MM) filmEdit {
	return onPhoto(n, func(_ *record.Film, p *record.Photo) error {
		if len(p.Corners) != 4 {
			return &filmEditError{"corners"}
		}
		p.Width, p.Height = w, h
		return nil
	})
}

// cutPhoto says that the picture is the film itself.
func cutPhoto(n int) filmEdit {
	return onFilm(n, func(f *record.Film) error { f.Photo = nil; return nil })
}

// onPhoto returns an edit of what is said of a photo. A film from an archive
// is none.
func onPhoto(n int, fn func(*record.Film, *record.Photo) error) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		if f.Kind == "dicom" {
			return &filmEditError{"dicom"}
		}
		p := record.Photo{}
		if f.Photo != nil {
			p = *f.Photo
			p.Corners = slices.Clone(p.Corners)
		}
		if err := fn(f, &p); err != nil {
			return err
		}
		f.Photo = &p
		return nil
	})
}

// photoActs mark the corners of a film in a photo, and say how large it is.
func (fp *filmPage) photoActs() map[string]func(string) {
	n := fp.Index
	return map[string]func(string){
		"photo": func(string) { fp.mode, fp.piece, fp.rim, fp.pad, fp.corners = photoMode, "", -1, nil, nil },
		"photo-not": func(string) {
			fp.corners, fp.rim = nil, -1
			if fp.now().Photo == nil || fp.do("not a photo of a film", cutPhoto(n)) {
				fp.mode = aboutMode
			}
		},
		"corner": func(arg string) {
			if i, err := strconv.Atoi(arg); err == nil && i >= 0 && i < len(fp.cornersOf(fp.now())) {
				fp.rim = i
				fp.showPlace(fp.cornersOf(fp.now())[i])
			}
		},
		"corners-again": func(string) { fp.again, fp.corners, fp.rim = true, nil, -1 },
		"film-size": func(arg string) {
			var w, h *units.MM
			if i, err := strconv.Atoi(arg); err == nil && i >= 0 && i < len(calibrate.CommonFilms()) {
				s := calibrate.CommonFilms()[i]
				w, h = &s.Width, &s.Height
			}
			fp.do("size of the film", sizePhoto(n, w, h))
		},
		"film-turn": func(string) {
			if p := fp.now().Photo; p != nil {
				fp.do("turn the size of the film", sizePhoto(n, p.Height, p.Width))
			}
		},
	}
}

// marking reports whether corners are being marked that the case does not
// have yet.
func (fp *filmPage) marking() bool {
	return fp.mode == photoMode && (fp.now().Photo == nil || fp.again)
}

// cornersOf returns the corners that are shown: those being marked, else those
// of the case.
func (fp *filmPage) cornersOf(f record.Film) []geom.Pt[units.Px] {
	if !fp.marking() {
		if f.Photo == nil {
			return nil
		}
		return f.Photo.Corners
	}
	var out []geom.Pt[units.Px]
	for i, c := range fp.corners {
		if fp.live.on && fp.live.point == i {
			c.at = fp.live.at
		}
		out = append(out, c.at)
	}
	return out
}

// landCorner takes a corner that a finger has put down or moved; the fourth
// one goes into the case with the other three.
func (fp *filmPage) landCorner(l live) {
	c := corner{l.at, l.slip}
	switch {
	case l.point >= 0 && l.point < len(fp.corners):
		fp.corners[l.point] = c
		return
	case len(fp.corners) >= 4:
		return
	}
	fp.corners = append(fp.corners, c)
	fp.rim = len(fp.corners) - 1
	if len(fp.corners) < 4 {
		return
	}
	if fp.do("corners of the film", putCorners(fp.Index, fp.corners)) {
		fp.again, fp.corners, fp.rim = false, nil, -1
		return
	}
	fp.corners = fp.corners[:3] // a refused one is asked for again
}

// photoCast makes the corners touchable.
func (fp *filmPage) photoCast(f record.Film) cast {
	var c cast
	for i, at := range fp.cornersOf(f) {
		c.marks = append(c.marks, viewer.Mark{At: at, Name: cornerNames[min(i, 3)], Current: i == fp.rim})
	}
	c.grab = len(c.marks)
	return c
}

// frame lines join the corners that are shown.
func (fp *filmPage) frameJoins(f record.Film) []viewer.Join {
	cs := fp.cornersOf(f)
	var out []viewer.Join
	for i := range cs {
		if len(cs) == 4 || i+1 < len(cs) {
			out = append(out, viewer.Join{A: cs[i], B: cs[(i+1)%len(cs)], Scale: true})
		}
	}
	return out
}

// photoUI is everything that is said of a photo of a film.
func (fp *filmPage) photoUI(pl plan.Plan) []app.UI {
	kids := []app.UI{fp.photoHint(), fp.toolsUI(fp.rim >= 0 && !fp.marking())}
	if fp.marking() {
		return append(kids, fp.findUI("corners"), app.Div().Class("acts").Body(fpAct("", "It is the film itself", "photo-not"), fpAct("", "Back", "mode|about")))
	}
	kids = append(kids, fp.photoWords(pl)...)
	kids = append(kids, fp.filmSizeUI()...)
	for _, r := range fp.photoRows() {
		kids = append(kids, fp.numberUI(r))
	}
	return append(kids, app.Div().Class("acts").Body(
		fpAct("main", "Done", "mode|about"), fpAct("", "Mark the corners again", "corners-again"), fpAct("grave", "It is no photo", "photo-not")))
}

func (fp *filmPage) photoHint() app.UI {
	if !fp.marking() {
		return app.P().Class("hint").Body(app.B().Text("Corners of the film. "), app.Text("Drag any under the loupe to be surer, or tap one and use the arrows."))
	}
	i := min(len(fp.corners), 3)
	return app.P().Class("hint").Body(app.B().Text(fmt.Sprintf("%d of 4: the %s corner. ", i+1, cornerNames[i])),
		app.Text("Hold the finger down for the loupe. Top left is where the film begins as it is read, however the photo lies. On a monitor mark the picture, not the case of the monitor."))
}

// photoWords says how far the camera stood askew and what that is worth, or
// why the photo cannot be made straight.
func (fp *filmPage) photoWords(pl plan.Plan) []app.UI {
	where := "films[" + strconv.Itoa(fp.Index) + "].photo"
	var kids []app.UI
	for _, p := range pl.Problems {
		if !slices.Contains(p.Fields, where) {
			continue
		}
		title, do := text.Problem(p)
		class := "care"
		if p.Level == plan.Note {
			class, title = "gloss", ""
		}
		if title != "" {
			title += ": "
		}
		kids = append(kids, app.P().Class(class).Body(app.B().Text(title), app.Text(do)))
	}
	return append(kids, app.P().Class("gloss").Text("The photo alone gives no millimetre. The scale comes from a marker, a ruler or a part of known size in it, under Scale."))
}

// filmSizeUI asks how large the film itself is.
func (fp *filmPage) filmSizeUI() []app.UI {
	p := fp.now().Photo
	if p == nil {
		return nil
	}
	now := ""
	opts := []option{{"", "Not known"}}
	for i, s := range calibrate.CommonFilms() {
		key := strconv.Itoa(i)
		if sameSize(p, s.Width, s.Height) || sameSize(p, s.Height, s.Width) {
			now = key
		}
		opts = append(opts, option{key, filmSizeName(s)})
	}
	if now == "" && (p.Width != nil || p.Height != nil) {
		now = "typed"
	}
	kids := []app.UI{fpChoice("How large is the film itself?", "film-size", now, opts)}
	if p.Width != nil && p.Height != nil {
		kids = append(kids, app.P().Class("gloss").Text("It lies "+liesWords(p)+"."), app.Div().Class("acts").Body(fpAct("", "Turn it by 90°", "film-turn")))
	}
	return kids
}

func sameSize(p *record.Photo, w, h units.MM) bool {
	return p.Width != nil && p.Height != nil && *p.Width == w && *p.Height == h
}

func liesWords(p *record.Photo) string {
	if *p.Width > *p.Height {
		return "across: " + text.MM(*p.Width) + " wide, " + text.MM(*p.Height) + " high"
	}
	return "upright: " + text.MM(*p.Width) + " wide, " + text.MM(*p.Height) + " high"
}

// filmSizeName names a film as it is sold: by centimetres, or by inches.
func filmSizeName(s calibrate.FilmSize) string {
	if cm := float64(s.Width) / 10; cm == math.Trunc(cm) {
		return units.Trim(cm, 0) + " × " + units.Trim(float64(s.Height)/10, 0) + "\u00a0cm"
	}
	return units.Trim(float64(s.Width)/25.4, 1) + " × " + units.Trim(float64(s.Height)/25.4, 1) + "\u00a0in"
}

// photoRows are the sides of the film. Neither has a default, and one alone
// is not used.
func (fp *filmPage) photoRows() []row {
	p := fp.now().Photo
	if p == nil {
		return nil
	}
	return []row{
		fp.mmRow("film-w", "Width of the film", "top left to top right corner", 50, 1500, 5, p.Width, func(v *units.MM) filmEdit { return sizePhoto(fp.Index, v, p.Height) }),
		fp.mmRow("film-h", "Height of the film", "downwards from there; both count, or neither", 50, 1500, 5, p.Height, func(v *units.MM) filmEdit { return sizePhoto(fp.Index, p.Width, v) }),
	}
}

// mmRow is a row for a length of the film.
func (fp *filmPage) mmRow(key, label, note string, lo, hi, step float64, now *units.MM, edit func(*units.MM) filmEdit) row {
	return row{key: key, label: label, note: note, unit: "mm", lo: lo, hi: hi, step: step,
		get: func() string { return shownMM(now) },
		set: func(s string) error {
			v, err := typedMM(s, lo, hi)
			if err != nil {
				return err
			}
			return fp.edit(label, edit(v))
		}}
}
