package geom

import (
	"math"
	"slices"
)

// An Ellipse has a centre, two semi axes and the tilt of the long one from
// the X axis, −90 to 90 degrees, clockwise positive on a film. RMS is the
// root mean square distance of the points from it, measured along the ray
// from the centre.
type Ellipse[U ~float64] struct {
	Centre Pt[U]
	Long   U
	Short  U
	Tilt   float64
	RMS    U
}

// FitEllipse returns the direct least-squares ellipse of five or more points:
// the conic a·x² + b·xy + c·y² + d·x + e·y + f with the least algebraic error
// under 4ac − b² = 1, which is always an ellipse. It assumes equal slips; on
// a short arc it comes out too small. Source: Halíř and Flusser 1998,
// Numerically stable direct least squares fitting of ellipses (WSCG). It
// refuses fewer than five points, points on a line, and points that are not
// finite.
func FitEllipse[U ~float64](pts []Pt[U]) (Ellipse[U], error) {
	fail := func(why string) (Ellipse[U], error) {
		return Ellipse[U]{}, &FitError{Shape: "ellipse", Got: len(pts), Need: 5, Why: why}
	}
	if len(pts) < 5 {
		return fail("few")
	}
	n, ok := normalise(pts)
	if !ok {
		return fail("not-finite")
	}
	q, lin, ok := directConic(n.pts)
	if !ok {
		return fail("degenerate")
	}
	e, ok := axes(q, lin)
	if !ok {
		return fail("degenerate")
	}
	rms := e.rms(n.pts)
	if math.IsNaN(rms) || !(e.short > tiny*e.long) || !(e.long < 1e6) {
		return fail("degenerate")
	}
	return Ellipse[U]{
		Centre: Pt[U]{U(n.x + n.s*e.x), U(n.y + n.s*e.y)},
		Long:   U(n.s * e.long),
		Short:  U(n.s * e.short),
		Tilt:   e.tilt * 180 / math.Pi,
		RMS:    U(n.s * rms),
	}, nil
}

// directConic returns the quadratic part (a, b, c) and the linear part
// (d, e, f) of the best ellipse. The linear part is eliminated, which leaves
// a 3×3 eigenvalue problem.
func directConic(pts [][2]float64) (q, lin [3]float64, ok bool) {
	s1, s2, s3 := scatter(pts)
	var t [3][3]float64 // lin = t·q, with t = −s3⁻¹·s2ᵀ
	for j := range 3 {
		col, good := solve3(s3, s2[j])
		if !good {
			return q, lin, false
		}
		for i := range 3 {
			t[i][j] = -col[i]
		}
	}
	var m [3][3]float64
	for i := range 3 {
		for j := range 3 {
			m[i][j] = s1[i][j]
			for k := range 3 {
				m[i][j] += s2[i][k] * t[k][j]
			}
		}
	}
	// Times the inverse of the constraint matrix of 4ac − b².
	m[0], m[1], m[2] = scaled(m[2], 0.5), scaled(m[1], -1), scaled(m[0], 0.5)
	q, ok = ellipseVector(m)
	for i := range 3 {
		for j := range 3 {
			lin[i] += t[i][j] * q[j]
		}
	}
	return q, lin, ok
}

// scatter returns the sums of products of the quadratic terms, of quadratic
// with linear terms, and of the linear terms.
func scatter(pts [][2]float64) (s1, s2, s3 [3][3]float64) {
	for _, p := range pts {
		d1 := [3]float64{p[0] * p[0], p[0] * p[1], p[1] * p[1]}
		d2 := [3]float64{p[0], p[1], 1}
		for i := range 3 {
			for j := range 3 {
				s1[i][j] += d1[i] * d1[j]
				s2[i][j] += d1[i] * d2[j]
				s3[i][j] += d2[i] * d2[j]
			}
		}
	}
	return s1, s2, s3
}

func scaled(v [3]float64, f float64) [3]float64 { return [3]float64{v[0] * f, v[1] * f, v[2] * f} }

// ellipseVector returns the eigenvector of m with the largest 4ac − b² of a
// unit vector; it is positive for one eigenvector only.
func ellipseVector(m [3][3]float64) ([3]float64, bool) {
	best, found := [3]float64{}, 0.0
	for _, l := range eigenvalues(m) {
		a := m
		for i := range 3 {
			a[i][i] -= l
		}
		v, ok := nullVector(a)
		if c := 4*v[0]*v[2] - v[1]*v[1]; ok && c > found {
			best, found = v, c
		}
	}
	return best, found > tiny
}

// eigenvalues returns the real roots of det(m − λ) = 0. Here all three are
// real, because m is a definite matrix times a symmetric one; rounding that
// makes two of them complex moves their real part into both.
func eigenvalues(m [3][3]float64) []float64 {
	tr := m[0][0] + m[1][1] + m[2][2]
	minors := m[0][0]*m[1][1] - m[0][1]*m[1][0] + m[0][0]*m[2][2] - m[0][2]*m[2][0] + m[1][1]*m[2][2] - m[1][2]*m[2][1]
	c0, c1, c2 := cross3(m[1], m[2]), tr/3, minors
	det := m[0][0]*c0[0] + m[0][1]*c0[1] + m[0][2]*c0[2]
	p := c1*c1 - c2/3 // λ = c1 + 2√p·cos…
	if !(p > 0) {
		return []float64{c1}
	}
	h := (2*c1*c1*c1 - c1*c2 + det) / 2
	r := math.Sqrt(p)
	phi := math.Acos(math.Max(-1, math.Min(1, h/(r*r*r)))) / 3
	roots := make([]float64, 3)
	for k := range roots {
		roots[k] = c1 + 2*r*math.Cos(phi+2*math.Pi*float64(k)/3)
	}
	slices.Sort(roots)
	return roots
}

func cross3(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// nullVector returns a unit vector that a singular matrix sends to zero: the
// longest cross product of two of its rows.
func nullVector(m [3][3]float64) ([3]float64, bool) {
	best, size := [3]float64{}, 0.0
	for i := range 3 {
		v := cross3(m[i], m[(i+1)%3])
		if s := math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]); s > size {
			best, size = v, s
		}
	}
	if !(size > 0) || math.IsInf(size, 0) {
		return best, false
	}
	return scaled(best, 1/size), true
}

type shape struct{ x, y, long, short, tilt float64 }

// axes turns a conic into centre, semi axes and tilt.
func axes(q, lin [3]float64) (shape, bool) {
	a, b, c, d, e, f := q[0], q[1], q[2], lin[0], lin[1], lin[2]
	disc := 4*a*c - b*b
	if !(disc > 0) {
		return shape{}, false
	}
	s := shape{x: (b*e - 2*c*d) / disc, y: (b*d - 2*a*e) / disc}
	g := -(f + (d*s.x+e*s.y)/2) // a·u² + b·uv + c·v² = g about the centre
	mean, half := (a+c)/2, math.Hypot(a-c, b)/2
	big, small := mean+half, mean-half
	if mean < 0 {
		big, small = mean-half, mean+half
	}
	l2, s2 := g/small, g/big
	if !(l2 > 0) || !(s2 > 0) || math.IsInf(l2, 0) {
		return s, false
	}
	s.long, s.short = math.Sqrt(l2), math.Sqrt(s2)
	if mean > 0 { // the long axis belongs to the smaller eigenvalue
		a, b, c = -a, -b, -c
	}
	s.tilt = math.Atan2(b, a-c) / 2
	return s, true
}

// rms returns the root mean square distance from the ellipse along the ray
// from its centre.
func (s shape) rms(pts [][2]float64) float64 {
	sin, cos := math.Sincos(s.tilt)
	sum := 0.0
	for _, p := range pts {
		u := (p[0]-s.x)*cos + (p[1]-s.y)*sin
		v := (p[1]-s.y)*cos - (p[0]-s.x)*sin
		r := math.Hypot(u, v)
		k := math.Hypot(u/s.long, v/s.short)
		if !(k > 0) {
			return math.NaN()
		}
		e := r - r/k
		sum += e * e
	}
	return math.Sqrt(sum / float64(len(pts)))
}
