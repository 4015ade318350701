package screen

import (
	"math"
	"slices"

	"isthmus/core/anatomy"
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
	case "full":
		return "film: all of its marks are placed already: drag one, or remove it and mark it again"
	case "landmark":
		return "film: this landmark cannot be placed on a film of this view: say which view it is first"
	}
	return map[string]string{
		"corners": "film: the corners of the film are not all marked: mark the four corners first",
		"dicom":   "film: this is a film from an archive and not a photo of one: take what its header says, or mark an object of known size",
		"answer":  "film: what was found could not be read: mark it by hand, or reload the page",
	}[e.Why]
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
		e.At, e.AtFront = slices.Clone(e.At), slices.Clone(e.AtFront)
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
// it takes, of each ball; zero takes none.
func marksNeeded(k record.EvidenceKind) (need, most int) {
	switch k {
	case record.Ball, record.Disc, record.TwoMarkers:
		return 3, maxRim
	case record.Ruler, record.KnownPart:
		return 2, 2
	}
	return 0, 0
}

// maxRim is more rim points than anybody places by hand.
const maxRim = 24

// addRim adds a rim point or a graduation. The evidence keeps one slip for all
// of its points, the root mean square of theirs.
func addRim(n int, id string, front bool, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onRim(n, id, at, slip, func(e *record.Evidence) error {
		marks := marksOf(e, front)
		if _, most := marksNeeded(e.Kind); len(*marks) >= most {
			return &filmEditError{"full"}
		}
		k := float64(len(e.At) + len(e.AtFront))
		e.Slip = units.Px(math.Sqrt((k*sqPx(e.Slip) + sqPx(slip)) / (k + 1)))
		*marks = append(*marks, at)
		return nil
	})
}

// marksOf returns the marks of a piece of evidence: of two balls those of the
// one behind, or of the one in front.
func marksOf(e *record.Evidence, front bool) *[]geom.Pt[units.Px] {
	if front && e.Kind == record.TwoMarkers {
		return &e.AtFront
	}
	return &e.At
}

// moveRim places a rim point again; the slip of one point is replaced.
func moveRim(n int, id string, front bool, i int, at geom.Pt[units.Px], slip units.Px) filmEdit {
	return onRim(n, id, at, slip, func(e *record.Evidence) error {
		marks := *marksOf(e, front)
		if i < 0 || i >= len(marks) {
			return &filmEditError{"evidence"}
		}
		k := float64(len(e.At) + len(e.AtFront))
		e.Slip = units.Px(math.Sqrt(((k-1)*sqPx(e.Slip) + sqPx(slip)) / k))
		marks[i] = at
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
func cutRim(n int, id string, front bool, i int) filmEdit {
	return onEvidence(n, id, func(e *record.Evidence) error {
		marks := marksOf(e, front)
		if i < 0 || i >= len(*marks) {
			return &filmEditError{"evidence"}
		}
		*marks = slices.Delete(*marks, i, i+1)
		if len(e.At)+len(e.AtFront) == 0 {
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
