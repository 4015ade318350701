package plan

import (
	"math"

	"isthmus/core/calibrate"
	"isthmus/core/record"
	"isthmus/core/units"
)

// photos holds the straightened photos of a case by the index of their film,
// and for a photo that could not be straightened the reason.
type photos map[int]*photoOf

type photoOf struct {
	calibrate.Rectified
	err error
}

// straight returns the case with the points of every photo of a film moved to
// where they lie on the film itself, in film pixels, with the doubt of the
// corners in their slips, and what is to be said of each photo. A photo that
// cannot be straightened, and a point beside the film, keep nothing that could
// be measured. The marks of evidence stay where they are: their scale is taken
// through the photo, see weigh. The case that is given is not changed.
func straight(c record.Case) (record.Case, photos, []Problem) {
	var all []Problem
	out := photos{}
	for i, f := range c.Films {
		if f.Photo == nil {
			continue
		}
		if len(out) == 0 {
			c = record.Clone(c)
		}
		one, problems := straightFilm(i, &c.Films[i])
		all = append(all, problems...)
		out[i] = &one
	}
	return c, out, all
}

// straightFilm moves the points of one photo.
func straightFilm(i int, f *record.Film) (photoOf, []Problem) {
	n, where := number("film", float64(i+1)), index("films", i)
	points := f.Points
	r, err := Rectify(*f)
	f.Points, f.Photo = nil, nil // what is left is a film, and is not made straight again
	if err != nil {
		return photoOf{err: err}, []Problem{trouble("photo-refused", fields(where+".photo"), n, word("error", sentence(err.Error())))}
	}
	var problems []Problem
	for _, q := range r.Notices {
		if q.Code == "photo-no-scale" {
			continue // the scale is asked for on its own
		}
		p := trouble("scale-caution", fields(where+".photo"), n, word("text", sentence(q.Text())))
		if !q.Caution {
			p.Level = Note
		}
		p.Sources = q.Sources
		problems = append(problems, p)
	}
	for _, p := range points {
		at, slip, err := r.Point(p.At, p.Slip)
		if err != nil {
			problems = append(problems, trouble("photo-point", fields(where+".points"), n, word("landmark", string(p.Name)), word("error", sentence(err.Error()))))
			continue
		}
		p.At, p.Slip = at, slip
		f.Points = append(f.Points, p)
	}
	return photoOf{Rectified: r}, problems
}

// Rectify returns the photo of a film made straight: from its corners, from the
// size of the film where both sides are known, checked by the points on its
// edges where there are any. It refuses what calibrate.Photo refuses.
func Rectify(f record.Film) (calibrate.Rectified, error) {
	photo := calibrate.Photo{Width: units.Px(f.Width), Height: units.Px(f.Height)}
	if f.Photo == nil || len(f.Photo.Corners) != 4 {
		return calibrate.Rectified{}, &calibrate.MissingError{For: "a photo of a film", Fields: []string{"corners_px"}, Do: "mark the four corners of the film"}
	}
	for k, at := range f.Photo.Corners {
		photo.Corners[k] = calibrate.Corner{At: at, Slip: f.Photo.Slip}
	}
	if f.Photo.Width != nil && f.Photo.Height != nil {
		photo.Film = &calibrate.FilmSize{Width: *f.Photo.Width, Height: *f.Photo.Height}
	}
	if e := f.Photo.Edges; e != nil {
		photo.Edges, photo.EdgeSlip = e.Sides(), e.Slip
	}
	return photo.Rectify()
}

// Straight returns the case as it is measured: the points of photos moved to
// where they lie on the film, in the pixels of their FilmScale. Everything
// that draws measured points to scale starts from it.
func Straight(c record.Case) record.Case {
	c, _, _ = straight(c)
	return c
}

// weigh hands a piece of evidence on a photo to calibrate.
func (r *photoOf) weigh(e record.Evidence) (calibrate.Plane, []calibrate.Notice, error) {
	if r.err != nil {
		return calibrate.Plane{}, nil, r.err
	}
	var s calibrate.PhotoScale
	var ns []calibrate.Notice
	var err error
	switch e.Kind {
	case record.Ball:
		s, ns, err = r.Ball(e.At, e.Slip, *e.True, depth(e))
	case record.Disc:
		s, ns, err = r.Disc(e.At, e.Slip, *e.True, depth(e))
	case record.Ruler:
		s, ns, err = r.Ruler(e.At[0], e.At[1], e.Slip, *e.True, depth(e))
	case record.KnownPart:
		s, ns, err = r.KnownPart(e.At[0], e.At[1], e.Slip, *e.True, e.Along == record.Yes, depth(e))
	case record.Distances, record.Assumed:
		return r.bySize(e)
	default:
		err = &calibrate.MissingError{For: "a scale from two balls on a photo", Fields: []string{"kind"}, Do: "mark one ball or a ruler at the depth of the bone instead"}
	}
	return s.Plane, ns, err
}

// bySize returns the scale of a photo of a film of known size, which shows the
// detector's plane, and a magnification that was given.
func (r photoOf) bySize(e record.Evidence) (calibrate.Plane, []calibrate.Notice, error) {
	own := r.FilmPlane()
	if !(own.Col > 0) {
		return calibrate.Plane{}, nil, &calibrate.MissingError{For: "a scale from a magnification on a photo", Fields: []string{"width_mm", "height_mm"}, Do: "enter the size of the film, or mark an object of known size"}
	}
	g := calibrate.Given{ImagerSpacing: &[2]float64{float64(own.Row), float64(own.Col)}}
	var p calibrate.Plane
	var ns []calibrate.Notice
	var err error
	if e.Kind == record.Assumed {
		p, ns, err = calibrate.Assumed(g, *e.Factor)
	} else {
		p, ns, err = calibrate.Distances(g, *e.SID, e.SOD, e.OID)
	}
	if err == nil {
		p.Rel = math.Hypot(p.Rel, own.Rel)
	}
	return p, ns, err
}
