package geom

import (
	"fmt"
	"math"
)

// A MapError reports points from which no projective map follows, or a point
// that a map does not reach.
type MapError struct {
	Why string // "few", "uneven", "not-finite", "collinear", "crossed", "concave", "mirrored", "degenerate", "horizon", "none"
	Got int    // points given
}

// Code names the fault for app/text.
func (e *MapError) Code() string { return "map-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *MapError) Error() string {
	switch e.Why {
	case "few":
		return fmt.Sprintf("geom: %d pairs of points given, a projective map needs at least 4: mark more points", e.Got)
	case "uneven":
		return fmt.Sprintf("geom: %d points have no partner, a projective map needs pairs: mark the missing points", e.Got)
	case "not-finite":
		return "geom: a point is not an ordinary number, a projective map needs ordinary points: mark it again"
	case "collinear":
		return "geom: three of the four corners lie on one line, a projective map needs a true quadrilateral: mark the corners again"
	case "crossed":
		return "geom: two sides of the quadrilateral cross, its corners must follow each other round it: mark them in order"
	case "concave":
		return "geom: one corner lies inside the triangle of the others, no flat rectangle looks so: mark the corners again"
	case "mirrored":
		return "geom: the corners run round the other way, they must run the same way in both pictures: mark them in order, or turn the picture over"
	case "horizon":
		return "geom: the point lies on or behind the horizon of the map, where it has no picture: choose a point nearer the corners"
	case "none":
		return "geom: there is no map yet, four pairs of points are needed: mark them first"
	}
	return fmt.Sprintf("geom: the %d pairs of points do not settle one projective map, they must spread over the picture: mark points further apart", e.Got)
}

// A Projective maps one plane onto another so that straight lines stay
// straight, as a camera does with a flat film:
//
//	(X, Y, w)ᵀ = m · (x, y, 1)ᵀ,  x' = X/w,  y' = Y/w
//
// The sign of m is such that w is positive on the side of the horizon where
// the points lay that made it. The zero value maps nothing.
type Projective[U, V ~float64] struct{ m [3][3]float64 }

// Identity returns the map that leaves every point where it is.
func Identity[U ~float64]() Projective[U, U] {
	return Projective[U, U]{[3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}
}

// Matrix returns the nine numbers of the map, rows first, with the largest
// size one; a map is the same up to a positive factor.
func (h Projective[U, V]) Matrix() [3][3]float64 { return h.m }

// Finite reports whether the map can be used at all.
func (h Projective[U, V]) Finite() bool {
	_, ok := unitSize(h.m)
	return ok
}

// weights returns the point before the division, and false when it lies on or
// behind the horizon, to within rounding.
func (h Projective[U, V]) weights(p Pt[U]) (x, y, w float64, err error) {
	if !h.Finite() {
		return 0, 0, 0, &MapError{Why: "none"}
	}
	if !p.Finite() {
		return 0, 0, 0, &MapError{Why: "not-finite", Got: 1}
	}
	px, py, m := float64(p.X), float64(p.Y), h.m
	x = m[0][0]*px + m[0][1]*py + m[0][2]
	y = m[1][0]*px + m[1][1]*py + m[1][2]
	w = m[2][0]*px + m[2][1]*py + m[2][2]
	if !(w > tiny*(math.Abs(m[2][0]*px)+math.Abs(m[2][1]*py)+math.Abs(m[2][2]))) {
		return 0, 0, 0, &MapError{Why: "horizon", Got: 1}
	}
	return x, y, w, nil
}

// Apply returns where the point comes to lie. It refuses points that are not
// finite and points on or behind the horizon.
func (h Projective[U, V]) Apply(p Pt[U]) (Pt[V], error) {
	x, y, w, err := h.weights(p)
	if err != nil {
		return Pt[V]{}, err
	}
	q := Pt[V]{V(x / w), V(y / w)}
	if !q.Finite() {
		return Pt[V]{}, &MapError{Why: "not-finite", Got: 1}
	}
	return q, nil
}

// Jacobian returns how the picture of p moves when p moves, rows for x' and
// y', columns for x and y:
//
//	∂x'/∂x = (m₀₀ − m₂₀·x')/w, and so on
//
// Source: the quotient rule. It refuses what Apply refuses.
func (h Projective[U, V]) Jacobian(p Pt[U]) ([2][2]float64, error) {
	q, err := h.Apply(p)
	if err != nil {
		return [2][2]float64{}, err
	}
	_, _, w, _ := h.weights(p)
	var j [2][2]float64
	for c := range 2 {
		j[0][c] = (h.m[0][c] - h.m[2][c]*float64(q.X)) / w
		j[1][c] = (h.m[1][c] - h.m[2][c]*float64(q.Y)) / w
	}
	if s := j[0][0] + j[0][1] + j[1][0] + j[1][1]; math.IsNaN(s) || math.IsInf(s, 0) {
		return [2][2]float64{}, &MapError{Why: "not-finite", Got: 1}
	}
	return j, nil
}

// Inverse returns the map back: m⁻¹ by cofactors. It refuses a map that folds
// the plane onto a line, to within rounding.
func (h Projective[U, V]) Inverse() (Projective[V, U], error) {
	if !h.Finite() {
		return Projective[V, U]{}, &MapError{Why: "none"}
	}
	c := [3][3]float64{cross3(h.m[1], h.m[2]), cross3(h.m[2], h.m[0]), cross3(h.m[0], h.m[1])}
	det := h.m[0][0]*c[0][0] + h.m[0][1]*c[0][1] + h.m[0][2]*c[0][2]
	if det == 0 {
		return Projective[V, U]{}, &MapError{Why: "degenerate"}
	}
	var inv [3][3]float64
	for i := range 3 {
		for j := range 3 {
			inv[i][j] = math.Copysign(1, det) * c[j][i] // m and its inverse agree in sign, so w stays positive
		}
	}
	inv, ok := unitSize(inv)
	if !ok {
		return Projective[V, U]{}, &MapError{Why: "degenerate"}
	}
	return Projective[V, U]{inv}, nil
}

// Compose returns the map that does first and then second, m₂·m₁. It refuses
// a map that is none.
func Compose[U, V, W ~float64](first Projective[U, V], second Projective[V, W]) (Projective[U, W], error) {
	if !first.Finite() || !second.Finite() {
		return Projective[U, W]{}, &MapError{Why: "none"}
	}
	m, ok := unitSize(times3(second.m, first.m))
	if !ok {
		return Projective[U, W]{}, &MapError{Why: "degenerate"}
	}
	return Projective[U, W]{m}, nil
}

func times3(a, b [3][3]float64) (out [3][3]float64) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return out
}

// unitSize divides by the largest size of the nine numbers, and reports false
// when that is zero or no number.
func unitSize(m [3][3]float64) ([3][3]float64, bool) {
	size := 0.0
	for i := range 3 {
		for j := range 3 {
			if math.IsNaN(m[i][j]) {
				return m, false
			}
			size = math.Max(size, math.Abs(m[i][j]))
		}
	}
	if !(size > 0) || math.IsInf(size, 0) {
		return m, false
	}
	for i := range 3 {
		m[i] = [3]float64{m[i][0] / size, m[i][1] / size, m[i][2] / size}
	}
	return m, true
}
