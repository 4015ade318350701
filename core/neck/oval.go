package neck

import (
	"math"

	"isthmus/core/units"
)

// reach is a limit on any typed distance about a hip, in millimetres.
const reach = 200

func need(what string, v units.MM, lo, hi float64) error {
	if !within(float64(v), lo, hi) {
		return &RangeError{What: what, Got: float64(v), Lo: lo, Hi: hi, Unit: "mm"}
	}
	return nil
}

func first(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}

// HalfWidth returns how far the wall of an oval neck lies in front of (and
// behind) its axis, at y above its middle (below: negative):
//
//	(W/2)·√(1 − (2y/H)²)
//
// It assumes an ellipse that stands upright in the neck. Source: geometry. A
// neck 30 high and 24 wide gives 9.75 mm at y −8.75, 11.71 mm at +3.25. It
// refuses y outside the neck and sizes that no neck has (5…60 mm).
func HalfWidth(height, width, y units.MM) (units.MM, error) {
	err := first(need("the height of the neck", height, neckLo, neckHi), need("the width of the neck", width, neckLo, neckHi))
	if err != nil {
		return 0, err
	}
	if err := need("the height in the neck", y, -float64(height)/2, float64(height)/2); err != nil {
		return 0, err
	}
	return units.MM(halfAt(float64(width)/2, float64(height)/2, float64(y))), nil
}

// HeightNeeded returns the inner height of neck that two screws need,
//
//	H = below + d_lower/2 + spacing + d_upper/2 + above
//
// spacing being between their axes. It assumes screws that run along the neck
// in its middle plane. Source: geometry. Two 6.5 mm screws 12 mm apart with
// 3 mm on either side need 24.5 mm; 8 and 6 mm, 13 mm apart, 26.0 mm. It
// refuses screws thicker than 20 mm, spacing over 40 and clearance over 20.
func HeightNeeded(below, lowerDia, spacing, upperDia, above units.MM) (units.MM, error) {
	err := first(need("the clearance below", below, 0, clearHi), need("the diameter of the lower screw", lowerDia, diaLo, diaHi),
		need("the spacing of the screws", spacing, 0, spacingHi), need("the diameter of the upper screw", upperDia, diaLo, diaHi),
		need("the clearance above", above, 0, clearHi))
	if err != nil {
		return 0, err
	}
	return below + lowerDia/2 + spacing + upperDia/2 + above, nil
}

// LeftAbove returns what two screws leave to the upper wall of the neck when
// the lower one leaves below to the lower wall:
//
//	H − (below + d_lower/2 + spacing + d_upper/2)
//
// Below zero, so much is missing. Source: geometry, as HeightNeeded. In a neck
// of 30 mm, two 6.5 mm screws 12 mm apart, 3 mm below: 8.5 mm; with the lower
// one 5 mm too high: 3.5 mm. It refuses what HeightNeeded refuses.
func LeftAbove(height units.Length, below, lowerDia, spacing, upperDia units.MM) (units.Length, error) {
	used, err := HeightNeeded(below, lowerDia, spacing, upperDia, 0)
	if err != nil {
		return units.Length{}, err
	}
	if err := checkLength("the height of the neck", height, neckLo, neckHi); err != nil {
		return units.Length{}, err
	}
	return height.Minus(units.Exact(used)), nil
}

// AimError returns how far off a screw ends that was aimed with an error of
// so many degrees, at a distance along it, or along the neck for an error of
// version:
//
//	distance·tan(error)
//
// It carries the sign of the error. Source: geometry. 2° over 60 mm give
// 2.10 mm, 5° 5.25 mm. It refuses more than 45° and more than 200 mm.
func AimError(err units.Deg, distance units.MM) (units.MM, error) {
	if !within(float64(err), -45, 45) {
		return 0, &RangeError{What: "the error of aiming", Got: float64(err), Lo: -45, Hi: 45, Unit: "degrees"}
	}
	if e := need("the distance along the screw", distance, 0, reach); e != nil {
		return 0, e
	}
	return distance * units.MM(math.Tan(rad(float64(err)))), nil
}

// halfAt returns the half axis a of an ellipse shrunk at the distance x along
// the other half axis b. Beyond the ellipse it goes on below zero, by as much
// as x is beyond, so that a search finds its way back.
func halfAt(a, b, x float64) float64 {
	if k := 1 - x*x/(b*b); k > 0 {
		return a * math.Sqrt(k)
	}
	return b - math.Abs(x)
}

// half returns halfAt and its slope.
func half(a, b, x float64) (value, slope float64) {
	if k := 1 - x*x/(b*b); k > 1e-12 {
		return halfAt(a, b, x), -a * x / (b * b * math.Sqrt(k))
	}
	return halfAt(a, b, x), -math.Copysign(1, x)
}

// toEllipse returns the distance from a place to the nearest point of the
// ellipse with half axes a and b, negative outside. The nearest point is
// (a²x/(u + a² − b²), b²y/u) for the u that puts it on the ellipse.
// Source: Lagrange's condition for the nearest point of an ellipse.
func toEllipse(a, b, x, y float64) float64 {
	x, y = math.Abs(x), math.Abs(y)
	if a < b {
		a, b, x, y = b, a, y, x
	}
	k := a*a - b*b
	px := a * a * x / math.Max(k, 1e-300)
	py := b * math.Sqrt(math.Max(0, 1-px*px/(a*a)))
	if y > 0 || a*x >= k { // else: on the long axis, with a nearest point to either side
		y = math.Max(y, 1e-12)
		u := multiplier(a*x, b*y, k)
		px, py = a*a*x/(u+k), b*b*y/u
	}
	d := math.Hypot(px-x, py-y)
	if x*x/(a*a)+y*y/(b*b) >= 1 {
		return -d
	}
	return d
}

// multiplier solves (p/(u + k))² + (q/u)² = 1 for u > 0, by bisection: the
// left side falls from at least 1 at u = q to at most 1 at u = √(p² + q²).
func multiplier(p, q, k float64) float64 {
	lo, hi := q, math.Hypot(p, q)
	for range 64 {
		u := (lo + hi) / 2
		if u <= lo || u >= hi {
			break
		}
		f, g := p/(u+k), q/u
		if f*f+g*g > 1 {
			lo = u
			continue
		}
		hi = u
	}
	return (lo + hi) / 2
}
