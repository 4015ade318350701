package geom

import "math"

// FitLine returns the line with the least sum of squared distances to two or
// more points (total least squares), from the foot of the first point to the
// foot of the last, and the root mean square distance. The direction is the
// main axis of the points:
//
//	tan 2φ = 2·Σxy / (Σx² − Σy²), about their mean
//
// Source: Pearson 1901, Philos Mag 2:559. It refuses fewer than two points,
// points that spread equally in all directions, and points that are not
// finite.
func FitLine[U ~float64](pts []Pt[U]) (Line[U], U, error) {
	fail := func(why string) (Line[U], U, error) {
		return Line[U]{}, 0, &FitError{Shape: "line", Got: len(pts), Need: 2, Why: why}
	}
	if len(pts) < 2 {
		return fail("few")
	}
	n, ok := normalise(pts)
	if !ok {
		return fail("not-finite")
	}
	var xx, xy, yy float64
	for _, p := range n.pts {
		xx += p[0] * p[0]
		xy += p[0] * p[1]
		yy += p[1] * p[1]
	}
	if !(math.Hypot(xx-yy, 2*xy) > tiny*(xx+yy)) {
		return fail("degenerate")
	}
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	foot := func(p [2]float64) Pt[U] {
		t := p[0]*cos + p[1]*sin
		return Pt[U]{U(n.x + n.s*t*cos), U(n.y + n.s*t*sin)}
	}
	sum := 0.0
	for _, p := range n.pts {
		e := p[1]*cos - p[0]*sin
		sum += e * e
	}
	line := Line[U]{foot(n.pts[0]), foot(n.pts[len(pts)-1])}
	if _, ok := line.Unit(); !ok {
		return fail("degenerate")
	}
	return line, U(n.s * math.Sqrt(sum/float64(len(pts)))), nil
}
