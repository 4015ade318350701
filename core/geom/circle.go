package geom

import (
	"fmt"
	"math"
)

// A FitError reports points that no line, circle or ellipse can be laid
// through.
type FitError struct {
	Shape string // "line", "circle", "ellipse"
	Got   int    // points given
	Need  int    // points needed
	Why   string // "few", "not-finite", "degenerate"
}

// Code names the fault for app/text.
func (e *FitError) Code() string { return "fit-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *FitError) Error() string {
	switch e.Why {
	case "few":
		return fmt.Sprintf("geom: %d points given, a %s needs at least %d: mark more points", e.Got, e.Shape, e.Need)
	case "not-finite":
		return fmt.Sprintf("geom: one of the %d points is not a number, a %s needs ordinary points: mark them again", e.Got, e.Shape)
	}
	return fmt.Sprintf("geom: the %d points lie so that no single %s follows from them: spread them round the whole rim", e.Got, e.Shape)
}

// tiny is the relative size under which a determinant counts as zero: far
// above rounding (1e-16), far below any slip of a finger.
const tiny = 1e-9

// A Circle has a centre and a radius; RMS is the root mean square distance of
// the points it was laid through, zero for three points.
type Circle[U ~float64] struct {
	Centre Pt[U]
	R      U
	RMS    U
}

// CircleThrough returns the one circle through three points: the centre is
// where the perpendicular bisectors meet. It refuses points that coincide or
// lie on a line, and points that are not finite.
func CircleThrough[U ~float64](a, b, c Pt[U]) (Circle[U], error) {
	if !a.Finite() || !b.Finite() || !c.Finite() {
		return Circle[U]{}, &FitError{Shape: "circle", Got: 3, Need: 3, Why: "not-finite"}
	}
	p, q := b.Minus(a), c.Minus(a)
	pp, qq, rr := Dot(p, p), Dot(q, q), Dot(q.Minus(p), q.Minus(p))
	d := 2 * Cross(p, q)
	if size := math.Max(pp, math.Max(qq, rr)); !(math.Abs(d) > tiny*size) {
		return Circle[U]{}, &FitError{Shape: "circle", Got: 3, Need: 3, Why: "degenerate"}
	}
	x := (float64(q.Y)*pp - float64(p.Y)*qq) / d
	y := (float64(p.X)*qq - float64(q.X)*pp) / d
	out := Circle[U]{Centre: a.Plus(Pt[U]{U(x), U(y)}), R: U(math.Hypot(x, y))}
	if !out.Centre.Finite() || math.IsInf(float64(out.R), 0) {
		return Circle[U]{}, &FitError{Shape: "circle", Got: 3, Need: 3, Why: "not-finite"}
	}
	return out, nil
}

// FitCircle returns the circle with the least sum of squared distances to
// three or more points,
//
//	Σ (|pᵢ − c| − r)² → min
//
// by Gauss–Newton steps from an algebraic start. It assumes equal slips.
// Source: Gander, Golub, Strebel 1994, BIT 34:558. It refuses fewer than
// three points, points that coincide or lie on a line, or are not finite.
func FitCircle[U ~float64](pts []Pt[U]) (Circle[U], error) {
	fail := func(why string) (Circle[U], error) {
		return Circle[U]{}, &FitError{Shape: "circle", Got: len(pts), Need: 3, Why: why}
	}
	if len(pts) < 3 {
		return fail("few")
	}
	n, ok := normalise(pts)
	if !ok {
		return fail("not-finite")
	}
	v, ok := algebraicCircle(n.pts)
	if !ok {
		return fail("degenerate")
	}
	v, ok = refineCircle(n.pts, v)
	if !ok || !(v[2] > 0) || !(v[2] < 1e6) {
		return fail("degenerate")
	}
	sum := 0.0
	for _, p := range n.pts {
		e := math.Hypot(p[0]-v[0], p[1]-v[1]) - v[2]
		sum += e * e
	}
	rms := math.Sqrt(sum / float64(len(pts)))
	if math.IsNaN(rms) {
		return fail("degenerate")
	}
	return Circle[U]{Centre: Pt[U]{U(n.x + n.s*v[0]), U(n.y + n.s*v[1])}, R: U(n.s * v[2]), RMS: U(n.s * rms)}, nil
}

// algebraicCircle minimises Σ (|p − c|² − r²)²; on centred points that is a
// linear 3×3 system.
func algebraicCircle(pts [][2]float64) ([3]float64, bool) {
	var m [3][3]float64
	var b [3]float64
	for _, p := range pts {
		row := [3]float64{2 * p[0], 2 * p[1], 1}
		addRow(&m, &b, row, p[0]*p[0]+p[1]*p[1])
	}
	s, ok := solve3(m, b)
	r2 := s[2] + s[0]*s[0] + s[1]*s[1]
	if !ok || !(r2 > 0) {
		return s, false
	}
	return [3]float64{s[0], s[1], math.Sqrt(r2)}, true
}

// refineCircle takes Gauss–Newton steps until they no longer matter, and
// reports false when they do not settle.
func refineCircle(pts [][2]float64, v [3]float64) ([3]float64, bool) {
	size := math.Inf(1)
	for range 200 {
		step, ok := circleStep(pts, v)
		if !ok {
			return v, false
		}
		for i := range v {
			v[i] += step[i]
		}
		size = (math.Abs(step[0]) + math.Abs(step[1]) + math.Abs(step[2])) / (1 + math.Abs(v[2]))
		if size < 1e-14 {
			break
		}
	}
	return v, size < 1e-9
}

// circleStep returns one Gauss–Newton step for centre and radius.
func circleStep(pts [][2]float64, v [3]float64) ([3]float64, bool) {
	var m [3][3]float64
	var b [3]float64
	for _, p := range pts {
		dx, dy := p[0]-v[0], p[1]-v[1]
		d := math.Hypot(dx, dy)
		if !(d > 0) {
			return b, false
		}
		addRow(&m, &b, [3]float64{dx / d, dy / d, 1}, d-v[2])
	}
	return solve3(m, b)
}

// addRow adds one equation row·x = rhs to the normal equations.
func addRow(m *[3][3]float64, b *[3]float64, row [3]float64, rhs float64) {
	for i := range 3 {
		for j := range 3 {
			m[i][j] += row[i] * row[j]
		}
		b[i] += row[i] * rhs
	}
}

// normal holds points moved to their mean and scaled to a mean square
// distance of one, so that limits and rounding do not depend on the unit.
type normal struct {
	pts     [][2]float64
	x, y, s float64
}

func normalise[U ~float64](pts []Pt[U]) (normal, bool) {
	n := normal{pts: make([][2]float64, len(pts))}
	k := float64(len(pts))
	for _, p := range pts {
		n.x += float64(p.X) / k
		n.y += float64(p.Y) / k
	}
	for i, p := range pts {
		n.pts[i] = [2]float64{float64(p.X) - n.x, float64(p.Y) - n.y}
		n.s += (n.pts[i][0]*n.pts[i][0] + n.pts[i][1]*n.pts[i][1]) / k
	}
	n.s = math.Sqrt(n.s)
	if math.IsNaN(n.s) || math.IsInf(n.s, 0) {
		return n, false
	}
	for i := range n.pts {
		if n.s > 0 {
			n.pts[i][0] /= n.s
			n.pts[i][1] /= n.s
		}
	}
	return n, true
}

// solve3 solves a symmetric 3×3 system by elimination with pivots, and
// reports false when it is singular to within tiny.
func solve3(m [3][3]float64, b [3]float64) ([3]float64, bool) {
	scale := 0.0
	for i := range 3 {
		for j := range 3 {
			scale = math.Max(scale, math.Abs(m[i][j]))
		}
	}
	for c := range 3 {
		p := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[p][c]) {
				p = r
			}
		}
		if !(math.Abs(m[p][c]) > tiny*scale) {
			return [3]float64{}, false
		}
		m[c], m[p], b[c], b[p] = m[p], m[c], b[p], b[c]
		for r := c + 1; r < 3; r++ {
			f := m[r][c] / m[c][c]
			for j := c; j < 3; j++ {
				m[r][j] -= f * m[c][j]
			}
			b[r] -= f * b[c]
		}
	}
	var x [3]float64
	for i := 2; i >= 0; i-- {
		x[i] = b[i]
		for j := i + 1; j < 3; j++ {
			x[i] -= m[i][j] * x[j]
		}
		x[i] /= m[i][i]
	}
	return x, true
}
