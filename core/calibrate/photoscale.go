package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// offFilm is how far outside the film a point may lie, over its longer side.
const offFilm = 0.02

// onFilm returns the point in film pixels and how its place answers to moves
// of the photo point. It refuses points that are not on the film.
func (r Rectified) onFilm(q geom.Pt[units.Px]) (geom.Pt[units.Px], [2][2]float64, error) {
	f, err := r.Map.Apply(q)
	if err != nil {
		return f, [2][2]float64{}, err
	}
	room := offFilm * max(r.Width, r.Height)
	if !(f.X >= -room && f.X <= r.Width+room && f.Y >= -room && f.Y <= r.Height+room) {
		return geom.Pt[units.Px]{}, [2][2]float64{}, &OffFilmError{At: q}
	}
	j, err := r.Map.Jacobian(q)
	return f, j, err
}

// stretch returns by how much a slip grows at most on its way to the film:
// the larger singular value of the Jacobian.
func (r Rectified) stretch(q geom.Pt[units.Px]) (float64, error) {
	j, err := r.Map.Jacobian(q)
	if err != nil {
		return 0, err
	}
	a, b, c, d := j[0][0], j[0][1], j[1][0], j[1][1]
	return (math.Hypot(a+d, b-c) + math.Hypot(a-d, b+c)) / 2, nil
}

// Point returns a point of the photo in film pixels, and the standard
// uncertainty of its place in any direction: its own slip through the
// Jacobian and the slips of the corners. It refuses points off the film.
// Source: JCGM 100:2008, 5.1.2.
func (r Rectified) Point(q geom.Pt[units.Px], slip units.Px) (geom.Pt[units.Px], units.Px, error) {
	if err := checkSlip(slip); err != nil {
		return geom.Pt[units.Px]{}, 0, err
	}
	f, _, err := r.onFilm(q)
	if err != nil {
		return f, 0, err
	}
	grow, err := r.stretch(q)
	if err != nil {
		return f, 0, err
	}
	u2 := float64(slip) * float64(slip) * grow * grow
	for _, m := range r.moved {
		up, err1 := m[0].Apply(q)
		down, err2 := m[1].Apply(q)
		if err1 != nil || err2 != nil {
			return f, 0, &OffFilmError{At: q}
		}
		d := float64(geom.Dist(up, down))
		u2 += d * d / 4
	}
	return f, units.Px(math.Sqrt(u2)), nil
}

func checkSlip(slip units.Px) error {
	if !(slip >= 0 && slip <= 100) {
		return &OutOfRangeError{Name: "the slip of a point", Field: "slip_px", Got: float64(slip), Lo: 0, Hi: 100, Unit: "px", Do: "zoom in and mark the point again"}
	}
	return nil
}

// A PhotoScale is a straightened photo with a scale of the bone. The zero
// value measures nothing.
type PhotoScale struct {
	Plane  Plane     // millimetres of the bone for one film pixel, with all its doubt
	rel    float64   // of that, what does not come from the corners
	shifts []float64 // what each moved input does to ln(mm per film pixel)
	r      Rectified
}

// Ball returns the scale from rim points of a ball, marked in the photo: they
// are taken to the film with their slips, then as calibrate.Ball.
func (r Rectified) Ball(rim []geom.Pt[units.Px], slip units.Px, diameter units.MM, d Depth) (PhotoScale, []Notice, error) {
	return r.mark(rim, slip, func(p []geom.Pt[units.Px], s units.Px) (Plane, []Notice, error) {
		return Ball(p, s, diameter, SquareShape, d)
	})
}

// Disc returns the scale from rim points of a flat disc, as Ball does.
func (r Rectified) Disc(rim []geom.Pt[units.Px], slip units.Px, diameter units.MM, d Depth) (PhotoScale, []Notice, error) {
	return r.mark(rim, slip, func(p []geom.Pt[units.Px], s units.Px) (Plane, []Notice, error) {
		return Disc(p, s, diameter, SquareShape, d)
	})
}

// Ruler returns the scale from two graduations of a ruler that was exposed
// with the bone, marked in the photo, as Ball does.
func (r Rectified) Ruler(a, b geom.Pt[units.Px], slip units.Px, length units.MM, d Depth) (PhotoScale, []Notice, error) {
	return r.mark([]geom.Pt[units.Px]{a, b}, slip, func(p []geom.Pt[units.Px], s units.Px) (Plane, []Notice, error) {
		return Ruler(p[0], p[1], s, length, SquareShape, d)
	})
}

// KnownPart returns the scale from a part of known size in the bone, marked in
// the photo, as KnownPart does on a film.
func (r Rectified) KnownPart(a, b geom.Pt[units.Px], slip units.Px, size units.MM, along bool, d Depth) (PhotoScale, []Notice, error) {
	return r.mark([]geom.Pt[units.Px]{a, b}, slip, func(p []geom.Pt[units.Px], s units.Px) (Plane, []Notice, error) {
		return KnownPart(p[0], p[1], s, size, along, SquareShape, d)
	})
}

// mark takes points to the film, with the largest slip any of them has there,
// and notes what each moved input does to the size they show.
func (r Rectified) mark(pts []geom.Pt[units.Px], slip units.Px, scale func([]geom.Pt[units.Px], units.Px) (Plane, []Notice, error)) (PhotoScale, []Notice, error) {
	flat := make([]geom.Pt[units.Px], len(pts))
	grow := 0.0
	for i, q := range pts {
		f, _, err := r.onFilm(q)
		if err != nil {
			return PhotoScale{}, nil, err
		}
		g, err := r.stretch(q)
		if err != nil {
			return PhotoScale{}, nil, err
		}
		flat[i], grow = f, math.Max(grow, g)
	}
	plane, ns, err := scale(flat, slip*units.Px(grow))
	if err != nil {
		return PhotoScale{}, ns, err
	}
	s := PhotoScale{rel: math.Hypot(plane.Rel, r.lens), r: r}
	sum := s.rel * s.rel
	for _, m := range r.moved {
		up, err1 := span(m[0], pts)
		down, err2 := span(m[1], pts)
		if err1 != nil || err2 != nil || !(up > 0 && down > 0) {
			return PhotoScale{}, ns, cannotTell()
		}
		shift := -math.Log(up/down) / 2
		s.shifts = append(s.shifts, shift)
		sum += shift * shift
	}
	plane.Rel = math.Sqrt(sum)
	s.Plane = plane
	return s, ns, nil
}

// span returns the size of a marker as root mean square distance of its
// points from their mean, in film pixels.
func span(m geom.Projective[units.Px, units.Px], pts []geom.Pt[units.Px]) (float64, error) {
	flat := make([]geom.Pt[units.Px], len(pts))
	var mean geom.Pt[units.Px]
	for i, q := range pts {
		f, err := m.Apply(q)
		if err != nil {
			return 0, err
		}
		flat[i] = f
		mean = mean.Plus(f.Times(1 / float64(len(pts))))
	}
	sum := 0.0
	for _, f := range flat {
		d := float64(geom.Dist(f, mean))
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(pts))), nil
}

// On returns the photo with a scale found in film pixels by other means, with
// errors independent of the corners. It refuses a plane that is no scale of
// the bone, such as FilmPlane, and one whose pixels are not square.
func (r Rectified) On(scale Plane) (PhotoScale, error) {
	if !scale.Usable() || !r.Map.Finite() {
		return PhotoScale{}, &MissingError{For: "a length of the bone on a photo", Fields: []string{"scale of the bone"},
			Do: "mark a ball, a disc or a ruler of known size; the size of the film alone does not tell how much the bone was magnified"}
	}
	if d := float64(scale.Row / scale.Col); !(math.Abs(d-1) <= 1e-6) {
		return PhotoScale{}, &OutOfRangeError{Name: "the height of a film pixel over its width", Field: "row_per_col", Got: d, Lo: 1, Hi: 1, Do: "mark the object on the straightened photo"}
	}
	s := PhotoScale{Plane: scale, r: r, rel: math.Hypot(scale.Rel, r.lens), shifts: make([]float64, len(r.moved))}
	s.Plane.Rel = s.rel
	return s, nil
}

// Length returns the distance between two photo points in millimetres of the
// bone:
//
//	own² = Σ (s·|Jᵀe|·slip)² + Σ (ΔL for each corner and other input of the map)²
//
// with e along the length; what a corner does to the marker and to the length
// is added with its sign before squaring. Shared is the scale's doubt that
// does not come from the corners. Source: JCGM 100:2008, 5.1.2 and 5.2.2. It
// refuses points off the film and slips that cannot be.
func (s PhotoScale) Length(a, b geom.Pt[units.Px], slipA, slipB units.Px) (units.Length, error) {
	if !s.Plane.Usable() {
		return units.Length{}, &MissingError{For: "a length of the bone on a photo", Fields: []string{"scale of the bone"}, Do: "mark an object of known size"}
	}
	ends := []geom.Pt[units.Px]{a, b}
	var flat [2]geom.Pt[units.Px]
	var own2 float64
	var js [2][2][2]float64
	for i, slip := range []units.Px{slipA, slipB} {
		err := checkSlip(slip)
		if err == nil {
			flat[i], js[i], err = s.r.onFilm(ends[i])
		}
		if err != nil {
			return units.Length{}, err
		}
	}
	e, straight := geom.Line[units.Px]{A: flat[0], B: flat[1]}.Unit()
	for i, slip := range []units.Px{slipA, slipB} {
		j := js[i]
		along := math.Hypot(j[0][0]*float64(e.X)+j[1][0]*float64(e.Y), j[0][1]*float64(e.X)+j[1][1]*float64(e.Y))
		if !straight {
			along, _ = s.r.stretch(ends[i])
		}
		own2 += along * along * float64(slip) * float64(slip)
	}
	px := float64(geom.Dist(flat[0], flat[1]))
	for k, m := range s.r.moved {
		up, err1 := span(m[0], ends)
		down, err2 := span(m[1], ends)
		if err1 != nil || err2 != nil {
			return units.Length{}, cannotTell()
		}
		d := up - down + px*s.shifts[k] // a span of two points is half their distance
		own2 += d * d
	}
	mm := float64(s.Plane.Col)
	return units.Length{Best: units.MM(px * mm), Own: units.MM(math.Sqrt(own2) * mm), Shared: units.MM(px * mm * s.rel)}, nil
}
