package screen

import (
	"math"
	"slices"
	"strconv"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A filmEditError reports an edit of a film that cannot be made.
type filmEditError struct{ Why string }

// Code names the fault for app/text.
func (e *filmEditError) Code() string { return "film-edit-" + e.Why }

func (e *filmEditError) Error() string {
	switch e.Why {
	case "gone":
		return "film: this film is no longer in the case: go back to the films and open it again"
	case "evidence":
		return "film: this piece of evidence is no longer there: choose another or add it again"
	case "place":
		return "film: that place is not on the film: tap on the picture"
	case "view":
		return "film: points are placed that the other view does not have: remove them first, under Points, or undo"
	case "landmark":
		return "film: this landmark cannot be placed on a film of this view: say which view it is first"
	}
	return "film: two graduations are marked already: drag one, or remove it and mark it again"
}

// An edit changes a case. Edits never write into slices that another copy of
// the case may share.
type filmEdit func(*record.Case) error

// onFilm returns an edit of one film.
func onFilm(n int, fn func(*record.Film) error) filmEdit {
	return func(c *record.Case) error {
		if n < 0 || n >= len(c.Films) {
			return &filmEditError{"gone"}
		}
		films := slices.Clone(c.Films)
		f := films[n]
		f.Points, f.Evidence = slices.Clone(f.Points), slices.Clone(f.Evidence)
		if err := fn(&f); err != nil {
			return err
		}
		films[n] = f
		c.Films = films
		return nil
	}
}

// onEvidence returns an edit of one piece of evidence.
func onEvidence(n int, id string, fn func(*record.Evidence) error) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		i := slices.IndexFunc(f.Evidence, func(e record.Evidence) bool { return e.ID == id })
		if i < 0 {
			return &filmEditError{"evidence"}
		}
		e := f.Evidence[i]
		e.At = slices.Clone(e.At)
		if err := fn(&e); err != nil {
			return err
		}
		f.Evidence[i] = e
		return nil
	})
}

func onPicture(f *record.Film, at geom.Pt[units.Px]) bool {
	return at.X >= -0.5 && at.Y >= -0.5 && at.X <= units.Px(f.Width)-0.5 && at.Y <= units.Px(f.Height)-0.5
}

// setView says which view the film is. Points that the other view does not
// have would be lost without a word, so they must be removed first.
func setView(f *record.Film, v anatomy.View) error {
	for _, p := range f.Points {
		if !p.Name.In(v) {
			return &filmEditError{"view"}
		}
	}
	f.View = v
	return nil
}

// putPoint places a landmark, or places it again.
func putPoint(n int, name anatomy.Landmark, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		switch {
		case !name.In(f.View):
			return &filmEditError{"landmark"}
		case !onPicture(f, at) || !(slip > 0):
			return &filmEditError{"place"}
		}
		p := record.Point{Name: name, At: at, Slip: slip}
		if i := pointAt(*f, name); i >= 0 {
			f.Points[i] = p
			return nil
		}
		f.Points = append(f.Points, p)
		return nil
	})
}

// cutPoint removes a landmark.
func cutPoint(n int, name anatomy.Landmark) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		f.Points = slices.DeleteFunc(f.Points, func(p record.Point) bool { return p.Name == name })
		return nil
	})
}

func pointAt(f record.Film, name anatomy.Landmark) int {
	return slices.IndexFunc(f.Points, func(p record.Point) bool { return p.Name == name })
}

// nextMissing returns the first landmark of the view after one that is not
// placed yet, round the end of the list, or none.
func nextMissing(f record.Film, after anatomy.Landmark) anatomy.Landmark {
	all := anatomy.Landmarks(f.View)
	from := slices.Index(all, after) + 1
	for i := range all {
		if l := all[(from+i)%len(all)]; pointAt(f, l) < 0 {
			return l
		}
	}
	return ""
}

// addEvidence adds a piece of evidence that says nothing yet.
func addEvidence(n int, id string, kind record.EvidenceKind) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		f.Evidence = append(f.Evidence, record.Evidence{ID: id, Kind: kind})
		return nil
	})
}

// cutEvidence removes a piece of evidence, and the choice of it.
func cutEvidence(n int, id string) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		f.Evidence = slices.DeleteFunc(f.Evidence, func(e record.Evidence) bool { return e.ID == id })
		if f.Chosen == id {
			f.Chosen = ""
		}
		return nil
	})
}

// chooseEvidence settles a dispute. The header has no entry of its own until a person
// chooses it.
func chooseEvidence(n int, piece plan.Piece) filmEdit {
	return onFilm(n, func(f *record.Film) error {
		known := slices.ContainsFunc(f.Evidence, func(e record.Evidence) bool { return e.ID == piece.ID })
		switch {
		case known:
		case piece.Kind == string(record.Header):
			f.Evidence = append(f.Evidence, record.Evidence{ID: piece.ID, Kind: record.Header})
		default:
			return &filmEditError{"evidence"}
		}
		f.Chosen = piece.ID
		return nil
	})
}

// marksNeeded returns how many points a kind of evidence needs, and how many
// it takes; zero takes none.
func marksNeeded(k record.EvidenceKind) (need, most int) {
	switch k {
	case record.Ball, record.Disc:
		return 3, maxRim
	case record.Ruler:
		return 2, 2
	}
	return 0, 0
}

// maxRim is more rim points than anybody places by hand.
const maxRim = 24

// addRim adds a rim point or a graduation. The evidence keeps one slip for all
// of its points, the root mean square of theirs.
func addRim(n int, id string, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onRim(n, id, at, slip, func(e *record.Evidence) error {
		if _, most := marksNeeded(e.Kind); len(e.At) >= most {
			return &filmEditError{"full"}
		}
		k := float64(len(e.At))
		e.Slip = units.Px(math.Sqrt((k*sqPx(e.Slip) + sqPx(slip)) / (k + 1)))
		e.At = append(e.At, at)
		return nil
	})
}

// moveRim places a rim point again; the slip of one point is replaced.
func moveRim(n int, id string, i int, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onRim(n, id, at, slip, func(e *record.Evidence) error {
		if i < 0 || i >= len(e.At) {
			return &filmEditError{"evidence"}
		}
		k := float64(len(e.At))
		e.Slip = units.Px(math.Sqrt(((k-1)*sqPx(e.Slip) + sqPx(slip)) / k))
		e.At[i] = at
		return nil
	})
}

func sqPx(p units.Px) float64 { return float64(p) * float64(p) }

func onRim(n int, id string, at geom.Pt[units.Px], slip units.Px, fn func(*record.Evidence) error) filmEdit {
	return func(c *record.Case) error {
		if n < 0 || n >= len(c.Films) {
			return &filmEditError{"gone"}
		}
		if !onPicture(&c.Films[n], at) || !(slip > 0) {
			return &filmEditError{"place"}
		}
		return onEvidence(n, id, fn)(c)
	}
}

// cutRim removes a rim point or a graduation.
func cutRim(n int, id string, i int) filmEdit {
	return onEvidence(n, id, func(e *record.Evidence) error {
		if i < 0 || i >= len(e.At) {
			return &filmEditError{"evidence"}
		}
		e.At = slices.Delete(e.At, i, i+1)
		if len(e.At) == 0 {
			e.Slip = 0
		}
		return nil
	})
}

func evidenceOf(f record.Film, id string) (record.Evidence, bool) {
	i := slices.IndexFunc(f.Evidence, func(e record.Evidence) bool { return e.ID == id })
	if i < 0 {
		return record.Evidence{}, false
	}
	return f.Evidence[i], true
}

// filmScale returns what the plan says about the scale of a film.
func filmScale(pl plan.Plan, n int) plan.FilmScale {
	for _, s := range pl.Scales {
		if s.Film == n {
			return s
		}
	}
	return plan.FilmScale{Film: n}
}

// scaleLine says what the scale of a film is, or why there is none.
func scaleLine(s plan.FilmScale) string {
	switch {
	case s.Disputed:
		return "The evidence disagrees: choose one below"
	case s.Plane.Usable():
		return scaleWords(s.Plane)
	}
	return "No scale yet: no millimetres"
}

// scaleWords says how large a pixel is in the plane of the bone, how sure, and
// where it is known from.
func scaleWords(p calibrate.Plane) string {
	size := units.Trim(float64(p.Col), 4)
	if p.Row != p.Col {
		size += " × " + units.Trim(float64(p.Row), 4)
	}
	return size + "\u00a0mm a pixel. " + text.Scale(p)
}

// pieceTitle names a piece of evidence with the size a person gave it.
func pieceTitle(kind record.EvidenceKind, e record.Evidence) string {
	name := evidenceName(kind)
	switch {
	case e.True != nil:
		return name + ", " + text.MM(*e.True)
	case e.SID != nil && kind == record.Distances:
		return name + ", detector at " + text.MM(*e.SID)
	case e.Factor != nil:
		return name + ", × " + units.Trim(*e.Factor, 3)
	}
	return name
}

func evidenceName(k record.EvidenceKind) string {
	switch k {
	case record.Ball:
		return "Ball"
	case record.Disc:
		return "Disc or coin"
	case record.Ruler:
		return "Ruler"
	case record.Distances:
		return "Distances"
	case record.Header:
		return "What the file says"
	case record.Assumed:
		return "Usual factor"
	}
	return "Unknown evidence"
}

// evidenceLacks says what a piece of evidence still needs from a person, or
// nothing.
func evidenceLacks(e record.Evidence) string {
	need, most := marksNeeded(e.Kind)
	switch {
	case len(e.At) < need:
		return strconv.Itoa(need-len(e.At)) + " more on the film"
	case most > 0 && e.True == nil:
		return "its true size"
	case most > 0 && e.AtBone == record.NotAsked:
		return "did it lie at the depth of the bone?"
	case e.Kind == record.Distances && e.SID == nil:
		return "the distance from tube to detector"
	case e.Kind == record.Distances && e.SOD == nil && e.OID == nil:
		return "the distance from tube to bone, or from bone to detector"
	case e.Kind == record.Assumed && e.Factor == nil:
		return "the factor"
	}
	return ""
}

// asks says what is asked for next on the film for a piece of evidence.
func asks(e record.Evidence) string {
	need, most := marksNeeded(e.Kind)
	got := len(e.At)
	switch {
	case most == 0:
		return ""
	case e.Kind == record.Ruler && got == 0:
		return "Zoom in, then tap one graduation"
	case e.Kind == record.Ruler && got == 1:
		return "Tap another, as far away as the ruler goes"
	case e.Kind == record.Ruler:
		return "Drag either graduation to be surer"
	case got == 0:
		return "Zoom in on it, then tap its rim, all round"
	case got < need:
		return "Tap the rim, all round: " + strconv.Itoa(got) + " of " + strconv.Itoa(need)
	case got < 5:
		return strconv.Itoa(got) + " on the rim; 5 or more also find an oval"
	case got < most:
		return strconv.Itoa(got) + " on the rim; drag them under the loupe to be surer"
	}
	return strconv.Itoa(got) + " on the rim: drag any to be surer"
}

// resultLine is what the points have come to so far.
func resultLine(pl plan.Plan) string {
	length, canal := "length open", "canal open"
	switch {
	case pl.Bone.Disputed:
		length = "length in dispute"
	case pl.Bone.Length != nil:
		length = "length " + text.Length(*pl.Bone.Length)
	}
	if pl.Bone.Canal != nil {
		canal = "canal " + text.Length(*pl.Bone.Canal)
	}
	nail := "nail open"
	if pl.Nail.Length > 0 || pl.Nail.Diameter > 0 {
		nail = "nail " + text.NailSize(pl.Nail)
	}
	return length + " · " + canal + " · " + nail
}
