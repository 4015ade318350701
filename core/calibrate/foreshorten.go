package calibrate

import (
	"math"

	"isthmus/core/units"
)

const (
	// maxForeshort is the largest tilt of a bone out of the plane of the film
	// that is corrected: there a doubt of ± 5° is already ± 5 %. Own advice.
	maxForeshort = 30.0
	// maxForeshortDoubt is the largest standard uncertainty of that tilt.
	maxForeshortDoubt = 10.0
)

// Foreshortening returns the true length of a bone that lay tilted out of the
// plane of the film, for a parallel beam:
//
//	L = apparent / cos θ
//	u² = (L·tan θ·u_θ)² + ½·(L·(1 + 2·tan² θ)·u_θ²)²
//
// The doubt of the tilt is the length's own; the second part is what remains
// of it when the tilt is stated as none. A tilt always makes a bone look
// short, so a length at a tilt of 0 ± u is rather too short than too long.
// Source: geometry; JCGM 100:2008, 5.1.2, note. It refuses tilts outside
// 0…30°, doubts outside 0…10°, and lengths that are not above zero.
func Foreshortening(l units.Length, tilt units.Angle) (units.Length, error) {
	return foreshorten(l, tilt, 0)
}

// ForeshorteningAt returns the same for a beam from a tube at a distance of
// sod from the middle of the bone, which is a little less short:
//
//	apparent = L·cos θ / (1 − (L·sin θ / 2·sod)²)
//	L = 2a / (cos θ + √(cos² θ + (a·sin θ / sod)²)),  a = apparent
//
// It assumes that the apparent length holds for the depth of that middle.
// Source: geometry, two rays. It refuses what Foreshortening refuses, and a
// sod outside 500…3000 mm.
func ForeshorteningAt(l units.Length, tilt units.Angle, sod units.MM) (units.Length, error) {
	if !(sod >= sidLo && sod <= sidHi) {
		return units.Length{}, &OutOfRangeError{Name: "the distance from tube to bone", Field: "sod_mm", Got: float64(sod), Lo: sidLo, Hi: sidHi, Unit: "mm", Do: "enter it in millimetres"}
	}
	return foreshorten(l, tilt, 1/float64(sod))
}

func foreshorten(l units.Length, tilt units.Angle, perSOD float64) (units.Length, error) {
	for _, c := range []struct {
		name, field string
		got, lo, hi float64
		unit        string
	}{
		{"the tilt of the bone", "tilt_deg", float64(tilt.Best), 0, maxForeshort, "°"},
		{"the doubt of the tilt", "tilt_u_deg", float64(tilt.Own), 0, maxForeshortDoubt, "°"},
		{"the apparent length", "length_mm", float64(l.Best), 1e-3, 2000, "mm"},
	} {
		if !(c.got >= c.lo && c.got <= c.hi) {
			return units.Length{}, &OutOfRangeError{Name: c.name, Field: c.field, Got: c.got, Lo: c.lo, Hi: c.hi, Unit: c.unit, Do: "measure it again, or take a film with the bone flat"}
		}
	}
	if !l.Finite() {
		return units.Length{}, &MissingError{For: "a true length", Fields: []string{"doubt of the apparent length"}, Do: "measure it again"}
	}
	const rad = math.Pi / 180
	sin, cos := math.Sincos(float64(tilt.Best) * rad)
	long := func(a float64) float64 { return 2 * a / (cos + math.Sqrt(cos*cos+sq(a*sin*perSOD))) }
	best := long(float64(l.Best))
	d := 1e-4 * float64(l.Best)
	slope := (long(float64(l.Best)+d) - long(float64(l.Best)-d)) / (2 * d)
	out := l.Times(slope)
	out.Best = units.MM(best)
	tan, u := sin/cos, float64(tilt.Own)*rad
	turn := math.Hypot(best*tan*u, best*(1+2*tan*tan)*u*u/math.Sqrt2)
	out.Own = units.MM(math.Hypot(float64(out.Own), turn))
	if !out.Finite() {
		return units.Length{}, &MissingError{For: "a true length", Fields: []string{"doubt of the apparent length"}, Do: "measure it again"}
	}
	return out, nil
}

func sq(v float64) float64 { return v * v }
