package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// focalUsual is the focal length over the longer side of a photo, the
	// geometric mean of 0.6 (wide) and 2.2 (three times), evenly likely in its
	// logarithm: ln(2.2/0.6)/(2√3) = 0.375. From memory.
	focalUsual, focalUsualDoubt = 1.15, 0.375
	// focalGiven is the relative standard uncertainty of a focal length that
	// is given. From memory: cameras round it and crop for steadiness.
	focalGiven = 0.05
	// focalFound is the largest one of a focal length found from perspective.
	focalFound = 0.25
	// middleDoubt is the standard uncertainty of where the lens looks, over
	// the longer side of the photo, in each direction. From memory.
	middleDoubt = 0.01
)

// view is what a pose is worked out from.
type view struct {
	at     geom.Quad[units.Px]
	middle geom.Pt[units.Px] // of the photo, where the lens looks
	aspect float64           // width over height of the film, 0 when not known
	focal  float64           // px, 0 when it is to be found from perspective
	area   float64           // of the film, in square film pixels
}

// pose is what follows from a view.
type pose struct {
	toFilm geom.Projective[units.Px, units.Px]
	focal  float64
	aspect float64    // width over height that the map uses
	seen   float64    // the same as the perspective shows it
	tilt   [2]float64 // tangent of the tilt, along and across the photo
	w, h   float64
	sizes  ScaleRange
}

func cannotTell() error { return &UndeterminedError{} }

// columns returns the columns of the map from the unit square to the photo,
// taken about the middle of the photo.
func (v view) columns() (c [3][3]float64, err error) {
	q := v.at
	for i := range q {
		q[i] = q[i].Minus(v.middle)
	}
	h, err := geom.ProjectiveFromSquare[float64](q)
	m := h.Matrix()
	for i := range 3 {
		for j := range 3 {
			c[j][i] = m[i][j]
		}
	}
	return c, err
}

// findFocal returns the focal length from the condition that the sides of a
// rectangle stand square on each other and, when their ratio α is known, have
// that ratio. With u = h₁/α and v = h₂, columns of the map,
//
//	A = (2(uₓvₓ+u_yv_y), uₓ²+u_y²−vₓ²−v_y²),  B = (2u_zv_z, u_z²−v_z²)
//	A + B·f² = 0  →  f² = −A·B/B·B
//
// and without the ratio from the first part alone. Source: Zhang and He 2007,
// Whiteboard scanning and image enhancement, from memory. It reports false
// when no focal length fits.
func findFocal(c [3][3]float64, aspect float64) (float64, bool) {
	u, v := c[0], c[1]
	if aspect > 0 {
		u = [3]float64{u[0] / aspect, u[1] / aspect, u[2] / aspect}
	}
	a := [2]float64{2 * (u[0]*v[0] + u[1]*v[1])}
	b := [2]float64{2 * u[2] * v[2]}
	if aspect > 0 {
		a[1] = u[0]*u[0] + u[1]*u[1] - v[0]*v[0] - v[1]*v[1]
		b[1] = u[2]*u[2] - v[2]*v[2]
	}
	f2 := -(a[0]*b[0] + a[1]*b[1]) / (b[0]*b[0] + b[1]*b[1])
	if !(f2 > 0) || math.IsInf(f2, 0) {
		return 0, false
	}
	return math.Sqrt(f2), true
}

// solve works out the pose. The tilt follows from the horizon of the film,
//
//	n = K⁻¹h₁ × K⁻¹h₂,  tan θ = √(nₓ² + n_y²)/|n_z|
//
// Source: geometry of a pinhole camera. It refuses a view whose focal length
// is neither given nor to be found.
func (v view) solve() (pose, error) {
	c, err := v.columns()
	if err != nil {
		return pose{}, err
	}
	s := pose{focal: v.focal}
	if s.focal == 0 {
		f, ok := findFocal(c, v.aspect)
		if !ok {
			return pose{}, cannotTell()
		}
		s.focal = f
	}
	f, a, b := s.focal, c[0], c[1]
	length := func(k [3]float64) float64 { return math.Hypot(math.Hypot(k[0]/f, k[1]/f), k[2]) }
	s.seen = length(a) / length(b)
	if s.aspect = v.aspect; s.aspect == 0 {
		s.aspect = s.seen
	}
	nz := a[0]*b[1] - a[1]*b[0]
	s.tilt = [2]float64{f * (a[1]*b[2] - a[2]*b[1]) / nz, f * (a[2]*b[0] - a[0]*b[2]) / nz}
	s.w, s.h = math.Sqrt(v.area*s.aspect), math.Sqrt(v.area/s.aspect)
	if sum := s.w + s.h + s.seen + s.tilt[0] + s.tilt[1]; math.IsNaN(sum) || math.IsInf(sum, 0) || !(s.w > 0 && s.h > 0) {
		return pose{}, cannotTell()
	}
	s.sizes = sizesOf(c)
	w, h := units.Px(s.w), units.Px(s.h)
	s.toFilm, err = geom.ProjectiveThrough(v.at, geom.Quad[units.Px]{{}, {X: w}, {X: w, Y: h}, {Y: h}})
	return s, err
}

// sizesOf returns the scale at the corners over that in the middle of the
// film: a scale goes with one over the distance along the axis of the lens,
// which is the divisor of the map.
func sizesOf(c [3][3]float64) ScaleRange {
	g, h, k := c[0][2], c[1][2], c[2][2]
	r := ScaleRange{1, 1}
	for _, w := range []float64{k, k + g, k + h, k + g + h} {
		s := (k + (g+h)/2) / w
		r.Least, r.Most = math.Min(r.Least, s), math.Max(r.Most, s)
	}
	return r
}

// view returns what the pose is worked out from. When the focal length is not
// given and the perspective does not settle it, a usual one is taken for the
// tilt of a film of known size; it does not enter its map.
func (p Photo) view() (v view, assumed bool, err error) {
	q := p.quad()
	v = view{at: q, middle: geom.Pt[units.Px]{X: (p.Width - 1) / 2, Y: (p.Height - 1) / 2}, area: math.Abs(q.Area())}
	if p.Film != nil {
		v.aspect = float64(p.Film.Width / p.Film.Height)
	}
	if p.Focal != nil {
		v.focal = float64(*p.Focal)
		return v, false, nil
	}
	if p.focalKnown(v) {
		return v, false, nil
	}
	if p.Film == nil {
		return v, false, cannotTell()
	}
	v.focal = focalUsual * math.Max(float64(p.Width), float64(p.Height))
	return v, true, nil
}

// focalKnown reports whether the perspective settles the focal length.
func (p Photo) focalKnown(v view) bool {
	sum := 0.0
	for _, m := range p.moves(v, 0) {
		var f [2]float64
		for i := range m {
			c, err := m[i].columns()
			if err != nil {
				return false
			}
			ok := false
			if f[i], ok = findFocal(c, m[i].aspect); !ok {
				return false
			}
		}
		d := math.Log(f[0]/f[1]) / 2
		sum += d * d
	}
	return sum <= focalFound*focalFound
}

// moves returns the view with each input moved by its standard uncertainty,
// up and down.
func (p Photo) moves(v view, focal float64) (out [][2]view) {
	both := func(change func(*view, float64)) {
		m := [2]view{v, v}
		change(&m[0], 1)
		change(&m[1], -1)
		out = append(out, m)
	}
	for i, c := range p.Corners {
		both(func(m *view, s float64) { m.at[i].X += c.Slip * units.Px(s) })
		both(func(m *view, s float64) { m.at[i].Y += c.Slip * units.Px(s) })
	}
	if p.Film != nil {
		rel := math.Hypot(sizeDoubt/float64(p.Film.Width), sizeDoubt/float64(p.Film.Height))
		both(func(m *view, s float64) { m.aspect *= math.Exp(s * rel) })
	}
	if focal > 0 {
		both(func(m *view, s float64) { m.focal *= math.Exp(s * focal) })
	}
	off := units.Px(middleDoubt) * max(p.Width, p.Height)
	both(func(m *view, s float64) { m.middle.X += off * units.Px(s) })
	both(func(m *view, s float64) { m.middle.Y += off * units.Px(s) })
	return out
}

// doubts fills in tilt and aspect with their doubt, keeps the moved maps, and
// compares a stated size with what the perspective shows.
func (r *Rectified) doubts(p Photo, base view, s pose, assumed bool) error {
	focal := 0.0
	switch {
	case assumed:
		focal = focalUsualDoubt
	case p.Focal != nil:
		focal = focalGiven
	}
	var aspect, seen, tilt float64
	for _, m := range p.moves(base, focal) {
		up, err1 := m[0].solve()
		down, err2 := m[1].solve()
		if err1 != nil || err2 != nil {
			return cannotTell()
		}
		half := func(a, b float64) float64 { return (a - b) * (a - b) / 4 }
		aspect += half(up.aspect, down.aspect)
		seen += half(math.Log(up.seen/up.aspect), math.Log(down.seen/down.aspect))
		tilt += half(up.tilt[0], down.tilt[0]) + half(up.tilt[1], down.tilt[1])
		r.moved = append(r.moved, [2]geom.Projective[units.Px, units.Px]{up.toFilm, down.toFilm})
	}
	const deg = 180 / math.Pi
	t := math.Hypot(s.tilt[0], s.tilt[1])
	r.Tilt = units.Angle{Best: units.Deg(math.Atan(t) * deg), Own: units.Deg(math.Sqrt(tilt) / (1 + t*t) * deg)}
	r.Aspect = units.Ratio{Best: s.aspect, U: math.Sqrt(aspect)}
	side, slip := p.shortest()
	r.slip = float64(slip / side)
	if p.Film == nil {
		if !(r.Aspect.U <= maxAspect*r.Aspect.Best) {
			return cannotTell()
		}
		return nil
	}
	return r.contradiction(s.seen, math.Sqrt(seen))
}

// contradiction refuses, or warns of, a stated size whose width over height
// is not what the perspective shows.
func (r *Rectified) contradiction(seen, rel float64) error {
	differ := math.Abs(math.Log(seen / r.Aspect.Best))
	sure := units.Sure * rel
	if !(differ <= worstAspect+sure) {
		return &FilmShapeError{Stated: r.Aspect.Best, Seen: seen}
	}
	if !(differ <= oddAspect+sure) {
		r.Notices = append(r.Notices, caution("photo-aspect-differs",
			num("stated", math.Round(r.Aspect.Best*1000)/1000), num("seen", math.Round(seen*1000)/1000)).by(source.Whiteboard))
	}
	return nil
}
