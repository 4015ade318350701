package geom

import "math"

// FitProjective returns the map with the least sum of squared distances
//
//	Σ |map(fromᵢ) − toᵢ|² → min
//
// through four or more pairs, and the root mean square distance: a linear
// start (direct linear transformation on points moved to their mean and
// scaled), then Gauss–Newton steps. It assumes that the slips lie in to and
// are equal. Four pairs are met exactly. Source: Hartley and Zisserman 2004,
// Multiple View Geometry, ch. 4 (from memory; compared with another program
// in the tests). It refuses what ProjectiveThrough refuses for four pairs,
// else fewer than four, pairs that do not settle the map, a mirrored picture,
// and a horizon between the points.
func FitProjective[U, V ~float64](from []Pt[U], to []Pt[V]) (Projective[U, V], V, error) {
	fail := func(why string, got int) (Projective[U, V], V, error) {
		return Projective[U, V]{}, 0, &MapError{Why: why, Got: got}
	}
	if len(from) != len(to) {
		return fail("uneven", max(len(from), len(to))-min(len(from), len(to)))
	}
	if len(from) < 4 {
		return fail("few", len(from))
	}
	if len(from) == 4 {
		h, err := ProjectiveThrough(Quad[U](from), Quad[V](to))
		return h, 0, err
	}
	a, ok1 := normalise(from)
	b, ok2 := normalise(to)
	if !ok1 || !ok2 {
		return fail("not-finite", len(from))
	}
	if !(a.s > 0) || !(b.s > 0) {
		return fail("degenerate", len(from))
	}
	v, ok := linearMap(a.pts, b.pts)
	if !ok {
		return fail("degenerate", len(from))
	}
	if v, ok = refineMap(a.pts, b.pts, v); !ok {
		return fail("degenerate", len(from))
	}
	return finishMap[U, V](a, b, v)
}

// finishMap checks the map of the normalised points and takes it back to
// their own units.
func finishMap[U, V ~float64](a, b normal, v [8]float64) (Projective[U, V], V, error) {
	fail := func(why string) (Projective[U, V], V, error) {
		return Projective[U, V]{}, 0, &MapError{Why: why, Got: len(a.pts)}
	}
	m := [3][3]float64{{v[0], v[1], v[2]}, {v[3], v[4], v[5]}, {v[6], v[7], 1}}
	c := cross3(m[1], m[2])
	det := m[0][0]*c[0] + m[0][1]*c[1] + m[0][2]*c[2]
	if !(math.Abs(det) > tiny) {
		return fail("degenerate")
	}
	sum := 0.0
	for i, p := range a.pts {
		x, y, w := mapped(v, p)
		if !(w > tiny) {
			return fail("horizon")
		}
		sum += (x-b.pts[i][0])*(x-b.pts[i][0]) + (y-b.pts[i][1])*(y-b.pts[i][1])
	}
	if det < 0 {
		return fail("mirrored")
	}
	out := [3][3]float64{{b.s, 0, b.x}, {0, b.s, b.y}, {0, 0, 1}}
	in := [3][3]float64{{1 / a.s, 0, -a.x / a.s}, {0, 1 / a.s, -a.y / a.s}, {0, 0, 1}}
	m, ok := unitSize(times3(out, times3(m, in)))
	rms := b.s * math.Sqrt(sum/float64(len(a.pts)))
	if !ok || math.IsNaN(rms) || math.IsInf(rms, 0) {
		return fail("not-finite")
	}
	return Projective[U, V]{m}, V(rms), nil
}

// mapped returns the picture of p under the eight numbers v, the ninth being
// one, and its divisor.
func mapped(v [8]float64, p [2]float64) (x, y, w float64) {
	w = v[6]*p[0] + v[7]*p[1] + 1
	return (v[0]*p[0] + v[1]*p[1] + v[2]) / w, (v[3]*p[0] + v[4]*p[1] + v[5]) / w, w
}

// linearMap minimises Σ |X − x'·w|² + |Y − y'·w|². The ninth number is one,
// which is allowed because the mean of the points, now at the origin, cannot
// lie on the horizon when they all lie on one side of it.
func linearMap(from, to [][2]float64) ([8]float64, bool) {
	var m [8][8]float64
	var b [8]float64
	for i, p := range from {
		q := to[i]
		addRow8(&m, &b, [8]float64{p[0], p[1], 1, 0, 0, 0, -p[0] * q[0], -p[1] * q[0]}, q[0])
		addRow8(&m, &b, [8]float64{0, 0, 0, p[0], p[1], 1, -p[0] * q[1], -p[1] * q[1]}, q[1])
	}
	return solve8(m, b)
}

// refineMap takes Gauss–Newton steps until they no longer matter, and reports
// false when they do not settle.
func refineMap(from, to [][2]float64, v [8]float64) ([8]float64, bool) {
	size := math.Inf(1)
	for range 100 {
		var m [8][8]float64
		var b [8]float64
		for i, p := range from {
			x, y, w := mapped(v, p)
			if !(math.Abs(w) > tiny) {
				return v, false
			}
			u := [2]float64{p[0] / w, p[1] / w}
			addRow8(&m, &b, [8]float64{u[0], u[1], 1 / w, 0, 0, 0, -x * u[0], -x * u[1]}, to[i][0]-x)
			addRow8(&m, &b, [8]float64{0, 0, 0, u[0], u[1], 1 / w, -y * u[0], -y * u[1]}, to[i][1]-y)
		}
		step, ok := solve8(m, b)
		if !ok {
			return v, false
		}
		size = 0
		for i := range v {
			v[i] += step[i]
			size = math.Max(size, math.Abs(step[i]))
		}
		if size < 1e-13 {
			break
		}
	}
	return v, size < 1e-8
}

func addRow8(m *[8][8]float64, b *[8]float64, row [8]float64, rhs float64) {
	for i := range 8 {
		for j := range 8 {
			m[i][j] += row[i] * row[j]
		}
		b[i] += row[i] * rhs
	}
}

// solve8 solves a symmetric 8×8 system by elimination with pivots, and
// reports false when it is singular to within tiny.
func solve8(m [8][8]float64, b [8]float64) (x [8]float64, ok bool) {
	scale := 0.0
	for i := range 8 {
		scale = math.Max(scale, math.Abs(m[i][i]))
	}
	for c := range 8 {
		p := c
		for r := c + 1; r < 8; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[p][c]) {
				p = r
			}
		}
		if !(math.Abs(m[p][c]) > tiny*scale) {
			return x, false
		}
		m[c], m[p], b[c], b[p] = m[p], m[c], b[p], b[c]
		for r := c + 1; r < 8; r++ {
			f := m[r][c] / m[c][c]
			for j := c; j < 8; j++ {
				m[r][j] -= f * m[c][j]
			}
			b[r] -= f * b[c]
		}
	}
	for i := 7; i >= 0; i-- {
		x[i] = b[i]
		for j := i + 1; j < 8; j++ {
			x[i] -= m[i][j] * x[j]
		}
		x[i] /= m[i][i]
	}
	return x, true
}
