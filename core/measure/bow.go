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

// noAxis is the standard uncertainty of a bow for which the middle between the
// edges of the canal is taken: where the canal widens towards both ends, its
// edges square to it lie at different heights, and the middle runs straighter
// than the axis. On drawn femora (core/phantom) the radius comes out 2 to 5 %
// too large; how much it is in a bone depends on its own form.
const noAxis = 0.025

// bowPoints are the places of the canal that were put down for the bow.
var bowPoints = []anatomy.Landmark{anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower}

// Bow returns the bow of the canal: the arc of least squares through the upper
// point of the shaft, the places of its middle on the way down, else its middle
// at the isthmus, and the lower point of the shaft. With c the chord, x along
// it, y aside and κ = 1/R:
//
//	y = a + b·x + h(x),  h(x) = κ·(c²/4 − (x − c/2)²) / (√(1 − κ²(x − c/2)²) + √(1 − κ²c²/4))
//	s = h(c/2) = R − √(R² − c²/4)
//
// On a lateral film it is the anterior bow. Where four or five places lie
// further off the arc than their slips say, the own doubt grows by that ratio
// (Birge 1932, from memory): a bone is no circle. The own doubt of the height
// and of the radius takes in noAxis of them. Source: geometry. It refuses
// places that do not lie between the ends, and when none lies in the middle
// 70 % of the chord, where alone it says much about the height of the arc.
func Bow(f Film) (Bowed, error) {
	names := []anatomy.Landmark{anatomy.ShaftUpper, anatomy.ShaftLower}
	for _, l := range bowPoints {
		if f.has(l) {
			names = append(names, l)
		}
	}
	if len(names) == 2 {
		names = append(names, anatomy.CanalA, anatomy.CanalB)
	}
	v, err := f.work(func(p []pt) ([]float64, error) { return arc(p, names) }, names...)
	if err != nil {
		return Bowed{}, err
	}
	grown := f.birge(v[2].best, names)
	b := Bowed{Chord: v[0].length(), Sagitta: v[1].length()}
	b.Sagitta.Own = own(b.Sagitta, grown)
	if b.Sagitta.Best < 0 {
		b.Sagitta = b.Sagitta.Times(-1)
	}
	if b.Sagitta.Against(0) != units.More {
		return b, nil
	}
	v, err = f.work(func(p []pt) ([]float64, error) {
		a, err := arc(p, names)
		if err != nil {
			return nil, err
		}
		return []float64{(a[0]*a[0]/4 + a[1]*a[1]) / (2 * math.Max(math.Abs(a[1]), 1e-9))}, nil
	}, names...)
	if err != nil {
		return Bowed{}, err
	}
	r := v[0].length()
	r.Own = own(r, grown)
	b.Radius = &r
	return b, nil
}

// own is the own doubt of a measure of the bow: that of its places, grown, and
// noAxis.
func own(l units.Length, grown float64) units.MM {
	return units.MM(math.Hypot(float64(l.Own)*grown, noAxis*float64(l.Best)))
}

// birge returns by how much places lie further off the arc than their slips
// say, at least 1; miss is the sum of squares, in mm².
func (f Film) birge(miss float64, names []anatomy.Landmark) float64 {
	if names[2] == anatomy.CanalA || len(names) < 4 {
		return 1
	}
	slips := 0.0
	for _, l := range names {
		s := float64(f.At[l].Slip) * float64(max(f.Plane.Col, f.Plane.Row))
		slips += s * s / float64(len(names))
	}
	return math.Sqrt(math.Max(1, miss/float64(len(names)-3)/slips))
}

// arc answers the chord, the signed height of the arc, and the sum of squares
// off it.
func arc(p []pt, names []anatomy.Landmark) ([]float64, error) {
	if _, err := axis(p[0], p[1]); err != nil {
		return nil, err
	}
	mids := p[2:]
	if names[2] == anatomy.CanalA {
		mids = []pt{geom.Mid(p[2], p[3])}
	}
	c := float64(geom.Dist(p[0], p[1]))
	xs, ys := []float64{0, c}, []float64{0, 0}
	inner := false
	for _, m := range mids {
		along, aside, _ := line{A: p[0], B: p[1]}.Along(m)
		x, y := float64(along), float64(aside)
		if !(x > 0 && x < c && math.Abs(y) <= c/2) {
			return nil, &CrossedError{Landmarks: names, Why: "do not lie between the ends of the shaft, which gives no arc"}
		}
		xs, ys, inner = append(xs, x), append(ys, y), inner || x >= 0.15*c && x <= 0.85*c
	}
	if !inner {
		return nil, &CrossedError{Landmarks: names, Why: "put no place of the canal into the middle of the shaft line, which gives no arc"}
	}
	k, miss, ok := curvature(xs, ys, c)
	if !ok {
		return nil, &CrossedError{Landmarks: names, Why: "lie on no arc that is less than half a circle"}
	}
	return []float64{c, rise(k, c/2, c), miss}, nil
}

// rise is the height of an arc of curvature k over its chord c at x.
func rise(k, x, c float64) float64 {
	d := x - c/2
	return k * (c*c/4 - d*d) / (math.Sqrt(math.Max(0, 1-k*k*d*d)) + math.Sqrt(math.Max(0, 1-k*k*c*c/4)))
}

// curvature returns the curvature of least squares, with a straight line
// beside it, and the sum of squares: Newton's steps on κ, the line worked out
// each time. It reports false where the arc is half a circle or more.
func curvature(xs, ys []float64, c float64) (k, miss float64, ok bool) {
	off := func(k float64) (r []float64) {
		for i := range xs {
			r = append(r, ys[i]-rise(k, xs[i], c))
		}
		return unlined(xs, r)
	}
	for range 60 {
		const step = 1e-7
		r, up := off(k), off(k+step)
		num, den := 0.0, 0.0
		for i := range r {
			d := (up[i] - r[i]) / step
			num, den = num-r[i]*d, den+d*d
		}
		if !(den > 0) {
			return 0, 0, false
		}
		k += num / den
		if !(math.Abs(k)*c/2 < 1) {
			return 0, 0, false
		}
		if math.Abs(num/den) < 1e-14 {
			break
		}
	}
	for _, v := range off(k) {
		miss += v * v
	}
	return k, miss, true
}

// unlined returns y less its straight line of least squares over x.
func unlined(x, y []float64) []float64 {
	n := float64(len(x))
	var mx, my, sxx, sxy float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		sxx, sxy = sxx+(x[i]-mx)*(x[i]-mx), sxy+(x[i]-mx)*(y[i]-my)
	}
	out := make([]float64, len(y))
	for i := range y {
		out[i] = y[i] - my - sxy/sxx*(x[i]-mx)
	}
	return out
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
