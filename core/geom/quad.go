package geom

import "math"

// A Quad is four corners that follow each other round a quadrilateral.
type Quad[U ~float64] [4]Pt[U]

// Area returns the area by the shoelace formula, positive when the corners
// run clockwise on a film (Y grows downwards).
func (q Quad[U]) Area() float64 { return Cross(q[2].Minus(q[0]), q[3].Minus(q[1])) / 2 }

// Check returns the way the corners run, +1 clockwise on a film and −1 the
// other way. It refuses corners that are not finite, three on one line (the
// triangle of three has less than 1e-9 of the square of the longest
// distance), sides that cross, and a corner inside the triangle of the rest.
// Source: the signs of the four corner triangles; by hand.
func (q Quad[U]) Check() (int, error) {
	size := 0.0
	for i, p := range q {
		if !p.Finite() {
			return 0, &MapError{Why: "not-finite", Got: 4}
		}
		for _, o := range q[:i] {
			size = math.Max(size, float64(Dist(p, o)))
		}
	}
	if math.IsInf(size*size, 0) || !(size > 0) {
		return 0, &MapError{Why: "collinear", Got: 4}
	}
	turns := 0
	for i := range 4 {
		c := Cross(q[(i+1)%4].Minus(q[i]).Times(1/size), q[(i+2)%4].Minus(q[i]).Times(1/size))
		if !(math.Abs(c) > tiny) {
			return 0, &MapError{Why: "collinear", Got: 4}
		}
		turns += int(math.Copysign(1, c))
	}
	switch turns {
	case 4:
		return 1, nil
	case -4:
		return -1, nil
	case 0:
		return 0, &MapError{Why: "crossed", Got: 4}
	}
	return 0, &MapError{Why: "concave", Got: 4}
}

// ProjectiveFromSquare returns the map that takes the corners (0,0), (1,0),
// (1,1), (0,1) of the unit square to the four corners in that order:
//
//	dx₁ = x₁−x₂, dx₂ = x₃−x₂, Σx = x₀−x₁+x₂−x₃ (y likewise)
//	g = (Σx·dy₂ − dx₂·Σy)/D, h = (dx₁·Σy − Σx·dy₁)/D, D = dx₁·dy₂ − dx₂·dy₁
//	x' = ((x₁−x₀+g·x₁)·u + (x₃−x₀+h·x₃)·v + x₀)/(g·u + h·v + 1)
//
// Source: Heckbert 1989, Fundamentals of Texture Mapping and Image Warping
// (from memory; recomputed in the tests). It refuses what Quad.Check refuses.
func ProjectiveFromSquare[U, V ~float64](q Quad[V]) (Projective[U, V], error) {
	if _, err := q.Check(); err != nil {
		return Projective[U, V]{}, err
	}
	// about the first corner, so that far pictures lose no digits
	p1, p2, p3 := q[1].Minus(q[0]), q[2].Minus(q[0]), q[3].Minus(q[0])
	d1, d2, sum := p1.Minus(p2), p3.Minus(p2), p2.Minus(p1).Minus(p3)
	det := Cross(d1, d2)
	g, h := Cross(sum, d2)/det, Cross(d1, sum)/det
	a := p1.Times(1 + g)
	b := p3.Times(1 + h)
	x0, y0 := float64(q[0].X), float64(q[0].Y)
	m, ok := unitSize([3][3]float64{
		{float64(a.X) + g*x0, float64(b.X) + h*x0, x0},
		{float64(a.Y) + g*y0, float64(b.Y) + h*y0, y0},
		{g, h, 1},
	})
	if !ok {
		return Projective[U, V]{}, &MapError{Why: "degenerate", Got: 4}
	}
	return Projective[U, V]{m}, nil
}

// ProjectiveThrough returns the one map that takes the four corners of from
// to those of to. Both must be convex and run the same way round, so that no
// horizon lies between the corners. Source: Heckbert 1989, by way of the
// unit square. It refuses what Quad.Check refuses, and corners that run the
// other way round.
func ProjectiveThrough[U, V ~float64](from Quad[U], to Quad[V]) (Projective[U, V], error) {
	none := Projective[U, V]{}
	way, err := from.Check()
	if err != nil {
		return none, err
	}
	other, err := to.Check()
	if err != nil {
		return none, err
	}
	if way != other {
		return none, &MapError{Why: "mirrored", Got: 4}
	}
	out, err := ProjectiveFromSquare[float64](to)
	if err != nil {
		return none, err
	}
	in, err := ProjectiveFromSquare[float64](from)
	if err != nil {
		return none, err
	}
	back, err := in.Inverse()
	if err != nil {
		return none, err
	}
	return Compose(back, out)
}
