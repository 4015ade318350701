// Package measure turns landmarks on a film and the plane of the film into
// named lengths and angles with their doubt. It looks at points a person
// accepted and never at a pixel, and it decides nothing.
package measure

import (
	"math"
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Placed is where a landmark was put on the film, with the standard
// uncertainty of that place in each direction.
type Placed struct {
	At   geom.Pt[units.Px]
	Slip units.Px
}

// Points are the landmarks of one film.
type Points map[anatomy.Landmark]Placed

// A Film is what can be measured on: the view, the plane of its scale, and
// the points. Its zero value measures nothing.
type Film struct {
	View  anatomy.View
	Plane calibrate.Plane
	At    Points
}

type (
	pt   = geom.Pt[units.MM]
	line = geom.Line[units.MM]
)

// farthest bounds a film's coordinates; no film has a million columns.
const farthest = 1e6

// points returns the named landmarks in the plane of the bone. It refuses a
// film without a scale, landmarks that are missing or do not belong to the
// view, and places that are no numbers or claim to have no slip.
func (f Film) points(names ...anatomy.Landmark) ([]pt, error) {
	if !f.Plane.Usable() {
		return nil, &NoScaleError{Origin: f.Plane.Origin}
	}
	if !f.View.Valid() {
		return nil, &ViewError{Got: f.View}
	}
	var missing []anatomy.Landmark
	out := make([]pt, len(names))
	for i, n := range names {
		if !n.In(f.View) {
			return nil, &ViewError{Got: f.View, Landmark: n}
		}
		p, ok := f.At[n]
		if !ok {
			missing = append(missing, n)
			continue
		}
		if !p.At.Finite() || !(math.Abs(float64(p.At.X)) <= farthest && math.Abs(float64(p.At.Y)) <= farthest) || !(p.Slip > 0 && p.Slip <= 1000) {
			return nil, &PlaceError{Landmark: n, X: p.At.X, Y: p.At.Y, Slip: p.Slip}
		}
		out[i] = f.Plane.MM(p.At)
	}
	if missing != nil {
		return nil, &MissingError{Landmarks: missing}
	}
	return out, nil
}

// has reports whether all the landmarks were placed.
func (f Film) has(names ...anatomy.Landmark) bool {
	return !slices.ContainsFunc(names, func(n anatomy.Landmark) bool { _, ok := f.At[n]; return !ok })
}

// An answer works one or more numbers out of points in millimetres, or says
// why it cannot.
type answer func(p []pt) ([]float64, error)

// value is one number with its doubt in two parts.
type value struct{ best, own, shared float64 }

// work asks for the named landmarks and returns what the answer says of them,
// each with its doubt to first order: every coordinate is moved by its slip
// one way and the other (own, in quadrature), then the whole film is scaled
// by its relative doubt one way and the other (shared, with its sign).
// Source: JCGM 100:2008, 5.1.2 and 5.1.3 note 2 (numerical derivatives). It
// refuses when the answer does at any of these places, since the doubt could
// then not be told.
func (f Film) work(a answer, names ...anatomy.Landmark) ([]value, error) {
	p, err := f.points(names...)
	if err != nil {
		return nil, err
	}
	best, err := a(p)
	if err != nil {
		return nil, err
	}
	out := make([]value, len(best))
	for i, b := range best {
		out[i].best = b
	}
	sum := make([]float64, len(best))
	for i, n := range names {
		slip := f.At[n].Slip
		for _, step := range []pt{{X: f.Plane.Col * units.MM(slip)}, {Y: f.Plane.Row * units.MM(slip)}} {
			d, err := halfGap(a, nudged(p, i, step), nudged(p, i, step.Times(-1)))
			if err != nil {
				return nil, err
			}
			for k := range d {
				sum[k] += d[k] * d[k]
			}
		}
	}
	d, err := halfGap(a, scaled(p, 1+f.Plane.Rel), scaled(p, 1-f.Plane.Rel))
	if err != nil {
		return nil, err
	}
	for k := range out {
		out[k].own, out[k].shared = math.Sqrt(sum[k]), d[k]
		if s := out[k].best + out[k].own + out[k].shared; math.IsNaN(s) || math.IsInf(s, 0) {
			return nil, &CrossedError{Landmarks: names, Why: "lie so that nothing follows from them"}
		}
	}
	return out, nil
}

// halfGap returns half the difference of the answers at two sets of points.
func halfGap(a answer, up, down []pt) ([]float64, error) {
	u, err := a(up)
	if err != nil {
		return nil, err
	}
	d, err := a(down)
	if err != nil {
		return nil, err
	}
	for i := range u {
		u[i] = (u[i] - d[i]) / 2
	}
	return u, nil
}

func nudged(p []pt, i int, by pt) []pt {
	q := slices.Clone(p)
	q[i] = q[i].Plus(by)
	return q
}

func scaled(p []pt, f float64) []pt {
	q := slices.Clone(p)
	for i := range q {
		q[i] = q[i].Times(f)
	}
	return q
}

func (v value) length() units.Length {
	return units.Length{Best: units.MM(v.best), Own: units.MM(v.own), Shared: units.MM(v.shared)}
}

// angle returns the value as an angle: a scale that is off by the same in
// both directions does not change it, so nothing is shared.
func (v value) angle() units.Angle {
	return units.Angle{Best: units.Deg(v.best), Own: units.Deg(v.own)}
}

// length works one length out and refuses what lies outside lo…hi.
func (f Film) length(what string, lo, hi float64, a answer, names ...anatomy.Landmark) (units.Length, error) {
	v, err := f.work(a, names...)
	if err != nil {
		return units.Length{}, err
	}
	if !(v[0].best >= lo && v[0].best <= hi) {
		return units.Length{}, &OutsideError{What: what, Got: v[0].best, Lo: lo, Hi: hi, Unit: "mm", Landmarks: names}
	}
	return v[0].length(), nil
}

// between is the answer that is the distance of two points.
func between(p []pt) ([]float64, error) {
	return []float64{float64(geom.Dist(p[0], p[1]))}, nil
}
