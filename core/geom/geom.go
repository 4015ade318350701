// Package geom is plane geometry on points that know their unit. A pixel
// point and a millimetre point do not compile together.
package geom

import "math"

// A Pt is a point whose coordinates share one unit. X grows to the right, Y
// grows downwards, as on a film; pixel centres lie at whole numbers.
type Pt[U ~float64] struct {
	X U `json:"x"`
	Y U `json:"y"`
}

// Finite reports whether both coordinates are ordinary numbers.
func (p Pt[U]) Finite() bool {
	s := float64(p.X) + float64(p.Y)
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

// Plus returns p + q.
func (p Pt[U]) Plus(q Pt[U]) Pt[U] { return Pt[U]{p.X + q.X, p.Y + q.Y} }

// Minus returns p − q.
func (p Pt[U]) Minus(q Pt[U]) Pt[U] { return Pt[U]{p.X - q.X, p.Y - q.Y} }

// Times returns p scaled by f.
func (p Pt[U]) Times(f float64) Pt[U] { return Pt[U]{p.X * U(f), p.Y * U(f)} }

// Dist returns the distance between p and q, in their own unit.
func Dist[U ~float64](p, q Pt[U]) U {
	return U(math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)))
}

// Mid returns the point half way between p and q.
func Mid[U ~float64](p, q Pt[U]) Pt[U] { return Pt[U]{(p.X + q.X) / 2, (p.Y + q.Y) / 2} }

// Dot returns the scalar product of two vectors, in square units.
func Dot[U ~float64](a, b Pt[U]) float64 {
	return float64(a.X)*float64(b.X) + float64(a.Y)*float64(b.Y)
}

// Cross returns the z component of a × b, in square units; it is positive
// when b lies clockwise of a on a film (Y grows downwards).
func Cross[U ~float64](a, b Pt[U]) float64 {
	return float64(a.X)*float64(b.Y) - float64(a.Y)*float64(b.X)
}

// A Line runs through A towards B.
type Line[U ~float64] struct{ A, B Pt[U] }

// Unit returns the unit vector from A to B, and false when the two points
// coincide.
func (l Line[U]) Unit() (Pt[U], bool) {
	d := float64(Dist(l.A, l.B))
	if !(d > 0) || math.IsInf(d, 0) {
		return Pt[U]{}, false
	}
	return l.B.Minus(l.A).Times(1 / d), true
}

// Along returns how far beyond A the foot of p lies on the line, towards B,
// and how far p lies to the side of it (positive: clockwise on a film).
func (l Line[U]) Along(p Pt[U]) (along, aside U, ok bool) {
	u, ok := l.Unit()
	if !ok || !p.Finite() {
		return 0, 0, false
	}
	v := p.Minus(l.A)
	return U(Dot(u, v)), U(Cross(u, v)), true
}

// Meet returns the point where two lines cross, and false when they are
// parallel (the sine of their angle is under 1e-9) or one is no line.
func Meet[U ~float64](l, m Line[U]) (Pt[U], bool) {
	u, ok1 := l.Unit()
	v, ok2 := m.Unit()
	if !ok1 || !ok2 {
		return Pt[U]{}, false
	}
	c := Cross(u, v)
	if math.Abs(c) < 1e-9 {
		return Pt[U]{}, false
	}
	t := Cross(m.A.Minus(l.A), v) / c
	return l.A.Plus(u.Times(t)), true
}

// AngleDeg returns the angle between two directions, 0 to 180 degrees, and
// false when one has no length.
func AngleDeg[U ~float64](a, b Pt[U]) (float64, bool) {
	if !(Dot(a, a) > 0) || !(Dot(b, b) > 0) {
		return 0, false
	}
	return math.Atan2(math.Abs(Cross(a, b)), Dot(a, b)) * 180 / math.Pi, true
}
