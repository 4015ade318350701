package measure

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Bowed is how much the canal is bowed in the plane of a film.
type Bowed struct {
	Chord   units.Length  // from the upper to the lower point of the shaft
	Sagitta units.Length  // height of the arc over that chord
	Radius  *units.Length // nil when the bow cannot be told from straight
}

// Bow returns the bow of the canal: the arc through the upper point of the
// shaft, the middle of the canal at the isthmus and the lower point of the
// shaft. With c the chord and k the distance of the arc's centre from it:
//
//	R = √(c²/4 + k²),  s = (c²/4)/(R + |k|)
//
// which is s = R − √(R² − c²/4). On a lateral film it is the anterior bow.
// Source: geometry. It refuses an isthmus outside the middle 70 % of the
// chord, where it says little about the height of the arc.
func Bow(f Film) (Bowed, error) {
	names := []anatomy.Landmark{anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.CanalA, anatomy.CanalB}
	v, err := f.work(func(p []pt) ([]float64, error) {
		c, s, err := arc(p)
		return []float64{c, s}, err
	}, names...)
	if err != nil {
		return Bowed{}, err
	}
	b := Bowed{Chord: v[0].length(), Sagitta: v[1].length()}
	if b.Sagitta.Best < 0 {
		b.Sagitta = b.Sagitta.Times(-1)
	}
	if b.Sagitta.Against(0) != units.More {
		return b, nil
	}
	v, err = f.work(func(p []pt) ([]float64, error) {
		c, s, err := arc(p)
		return []float64{(c*c/4 + s*s) / (2 * math.Abs(s))}, err
	}, names...)
	if err != nil {
		return Bowed{}, err
	}
	r := v[0].length()
	b.Radius = &r
	return b, nil
}

// arc answers the chord and the signed height of the arc.
func arc(p []pt) (chord, sagitta float64, err error) {
	if _, err := axis(p[0], p[1]); err != nil {
		return 0, 0, err
	}
	along, aside, _ := line{A: p[0], B: p[1]}.Along(geom.Mid(p[2], p[3]))
	c := float64(geom.Dist(p[0], p[1]))
	x, y := float64(along), float64(aside)
	if !(x >= 0.15*c && x <= 0.85*c && math.Abs(y) <= c/2) {
		return 0, 0, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.ShaftUpper, anatomy.CanalA, anatomy.CanalB, anatomy.ShaftLower},
			Why: "put the isthmus outside the middle of the shaft line, which gives no arc"}
	}
	if y == 0 {
		return c, 0, nil
	}
	k := (x*x - x*c + y*y) / (2 * y)
	return c, math.Copysign(c*c/4/(math.Hypot(c/2, k)+math.Abs(k)), y), nil
}

// Sagitta returns the height of an arc over its chord:
//
//	s = R − √(R² − (c/2)²)
//
// Source: geometry. It refuses a radius under half the chord, and sizes that
// are not above zero.
func Sagitta(chord, radius units.MM) (units.MM, error) {
	c, r := float64(chord)/2, float64(radius)
	if !(c > 0 && c <= 1e6) {
		return 0, &OutsideError{What: "the chord", Got: float64(chord), Lo: 0, Hi: 2e6, Unit: "mm"}
	}
	if !(r >= c && r <= 1e9) {
		return 0, &OutsideError{What: "the radius of the bow", Got: r, Lo: c, Hi: 1e9, Unit: "mm"}
	}
	return units.MM(c * c / (r + math.Sqrt((r-c)*(r+c)))), nil
}

// RadiusFromSagitta returns the radius of an arc from chord and height:
//
//	R = (c²/4 + s²) / (2·s)
//
// Source: geometry. It refuses a height that is not above zero (the bone is
// straight, there is no radius) or more than half the chord.
func RadiusFromSagitta(chord, sagitta units.MM) (units.MM, error) {
	c, s := float64(chord)/2, float64(sagitta)
	if !(c > 0 && c <= 1e6) {
		return 0, &OutsideError{What: "the chord", Got: float64(chord), Lo: 0, Hi: 2e6, Unit: "mm"}
	}
	if !(s >= 1e-3 && s <= c) {
		return 0, &OutsideError{What: "the height of the bow", Got: s, Lo: 1e-3, Hi: c, Unit: "mm"}
	}
	return units.MM((c*c + s*s) / (2 * s)), nil
}

// Version returns version (forwards positive) and true neck–shaft angle from
// the neck–shaft angle on an AP film and the angle γ of the neck on a true
// lateral film of the same femur, both of parallel beams:
//
//	a = atan2(tan γ, tan(180° − nsa_ap))
//	nsa = 180° − atan √(tan²(180° − nsa_ap) + tan² γ)
//
// with doubts to first order. Source: geometry. It refuses 91…179 degrees and
// −89…89 degrees passed.
func Version(nsaAP, gamma units.Angle) (version, nsa units.Angle, err error) {
	if err := inDegrees("the neck–shaft angle on the AP film", nsaAP, 91, 179); err != nil {
		return version, nsa, err
	}
	if err := inDegrees("the angle of the neck on the lateral film", gamma, -89, 89); err != nil {
		return version, nsa, err
	}
	a := func(n, g float64) (float64, float64) {
		x, y := math.Tan((180-n)*math.Pi/180), math.Tan(g*math.Pi/180)
		return math.Atan2(y, x) * 180 / math.Pi, 180 - math.Atan(math.Hypot(x, y))*180/math.Pi
	}
	n, g := float64(nsaAP.Best), float64(gamma.Best)
	v0, t0 := a(n, g)
	const step = 1e-4
	slope := func(dn, dg float64) (float64, float64) {
		v1, t1 := a(n+dn, g+dg)
		v2, t2 := a(n-dn, g-dg)
		return (v1 - v2) / (2 * step), (t1 - t2) / (2 * step)
	}
	vn, tn := slope(step, 0)
	vg, tg := slope(0, step)
	un, ug := float64(nsaAP.Own), float64(gamma.Own)
	return units.Angle{Best: units.Deg(v0), Own: units.Deg(math.Hypot(vn*un, vg*ug))},
		units.Angle{Best: units.Deg(t0), Own: units.Deg(math.Hypot(tn*un, tg*ug))}, nil
}

// OnFilms returns what an AP film and a true lateral film show of a femur
// with this neck–shaft angle and version; it is the inverse of Version:
//
//	tan(180° − nsa_ap) = tan p · cos a,  tan γ = tan p · sin a,  p = 180° − nsa
//
// Source: geometry. It refuses 91…179 degrees and −89…89 degrees passed.
func OnFilms(nsa, version units.Deg) (nsaAP, gamma units.Deg, err error) {
	if err := inDegrees("the neck–shaft angle", units.Angle{Best: nsa}, 91, 179); err != nil {
		return 0, 0, err
	}
	if err := inDegrees("the version", units.Angle{Best: version}, -89, 89); err != nil {
		return 0, 0, err
	}
	p := math.Tan(float64(180-nsa) * math.Pi / 180)
	sin, cos := math.Sincos(float64(version) * math.Pi / 180)
	return units.Deg(180 - math.Atan(p*cos)*180/math.Pi), units.Deg(math.Atan(p*sin) * 180 / math.Pi), nil
}

func inDegrees(what string, a units.Angle, lo, hi float64) error {
	if !(float64(a.Best) >= lo && float64(a.Best) <= hi) {
		return &OutsideError{What: what, Got: float64(a.Best), Lo: lo, Hi: hi, Unit: "degrees"}
	}
	if !(a.Own >= 0 && a.Own <= 90) {
		return &OutsideError{What: "the doubt of " + what, Got: float64(a.Own), Lo: 0, Hi: 90, Unit: "degrees"}
	}
	return nil
}
