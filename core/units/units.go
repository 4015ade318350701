// Package units gives numbers their unit and their doubt. A type is named
// after its unit, so a bare constant can be read at the call site: MM(9.5) is
// 9.5 millimetres and nothing else.
package units

import "math"

type (
	// MM is a distance in millimetres, in the plane of the bone.
	MM float64
	// Px is a distance in pixels of the stored film, never of the screen.
	Px float64
	// Deg is an angle in degrees.
	Deg float64
)

// Sure is how many standard uncertainties must part two sizes before we call
// them different, and how many make the ± that is printed: about 95 % for a
// normal error. Source: NIST TN 1297 (1994), 6.2; JCGM 100:2008, 6.3.3.
const Sure = 2

// A Length is a distance with its standard uncertainty, kept in two parts.
// Own came from placing the points. Shared came from the scale of the film and
// carries its sign (the change of Best for one standard uncertainty of that
// scale): lengths of one film share one scale, so their Shared parts add up
// and do not average out.
type Length struct {
	Best   MM `json:"best_mm"`
	Own    MM `json:"own_mm"`
	Shared MM `json:"shared_mm"`
}

// Exact returns a length without doubt: a catalogue size, a policy.
func Exact(v MM) Length { return Length{Best: v} }

// Doubt returns the combined standard uncertainty
//
//	u = √(own² + shared²)
//
// Source: JCGM 100:2008, 5.1.2, eq. (10).
func (l Length) Doubt() MM { return MM(math.Hypot(float64(l.Own), float64(l.Shared))) }

// Plus returns l + m for two lengths of one film: own parts add in
// quadrature, shared parts add with their signs.
// Source: JCGM 100:2008, 5.2.2, eq. (13), with one common input.
func (l Length) Plus(m Length) Length {
	return Length{
		Best:   l.Best + m.Best,
		Own:    MM(math.Hypot(float64(l.Own), float64(m.Own))),
		Shared: l.Shared + m.Shared,
	}
}

// Minus returns l − m for two lengths of one film; a common scale error
// cancels in part. Source: JCGM 100:2008, 5.2.2, eq. (13).
func (l Length) Minus(m Length) Length {
	return l.Plus(Length{Best: -m.Best, Own: m.Own, Shared: -m.Shared})
}

// Times returns the length scaled by an exact factor.
func (l Length) Times(f float64) Length {
	return Length{Best: l.Best * MM(f), Own: l.Own * MM(math.Abs(f)), Shared: l.Shared * MM(f)}
}

// Apart returns the same length with all its doubt as its own, for use beside
// lengths that do not share its scale.
func (l Length) Apart() Length { return Length{Best: l.Best, Own: l.Doubt()} }

// Finite reports whether every part is an ordinary number.
func (l Length) Finite() bool {
	s := float64(l.Best) + float64(l.Own) + float64(l.Shared)
	return !math.IsNaN(s) && !math.IsInf(s, 0) && l.Own >= 0
}

// An Order is the answer to a comparison. The zero value claims nothing.
type Order int

const (
	Unclear Order = iota // too close to call
	Less                 // surely less
	More                 // surely more
)

// String returns the answer in words.
func (o Order) String() string {
	switch o {
	case Less:
		return "less"
	case More:
		return "more"
	}
	return "too close to call"
}

// Against compares the length with a limit and says Less or More only when
// they differ by Sure standard uncertainties; a length without doubt that
// equals the limit is Unclear.
func (l Length) Against(limit MM) Order {
	gap := l.Best - limit
	switch margin := Sure * l.Doubt(); {
	case gap > 0 && gap >= margin:
		return More
	case gap < 0 && -gap >= margin:
		return Less
	}
	return Unclear
}

// ChanceAbove returns the probability that the true length is greater than
// limit, taking the error as normal. Without doubt it is 0, ½ or 1; what is
// no number gives ½.
// Source: JCGM 100:2008, 4.3.4 and G.1.3.
func (l Length) ChanceAbove(limit MM) float64 {
	u := float64(l.Doubt())
	gap := float64(l.Best - limit)
	if !(u > 0) || math.IsNaN(gap) {
		switch {
		case gap > 0:
			return 1
		case gap < 0:
			return 0
		}
		return 0.5
	}
	return 0.5 * math.Erfc(-gap/u/math.Sqrt2)
}

// An Angle is an angle with its standard uncertainty. A scale that is equal
// in both directions does not change an angle, so there is one part only.
type Angle struct {
	Best Deg `json:"best_deg"`
	Own  Deg `json:"own_deg"`
}

// A Ratio is a pure number with its standard uncertainty.
type Ratio struct {
	Best float64 `json:"best"`
	U    float64 `json:"u"`
}

// Over returns l / m for two lengths of one film; the common scale cancels:
//
//	(u/r)² = (own_l/l)² + (own_m/m)² + (shared_l/l − shared_m/m)²
//
// Source: JCGM 100:2008, 5.2.2. It reports false when m is not surely above
// zero.
func (l Length) Over(m Length) (Ratio, bool) {
	if m.Against(0) != More || !l.Finite() || !m.Finite() {
		return Ratio{}, false
	}
	r := float64(l.Best / m.Best)
	a := float64(l.Own / m.Best)
	b := r * float64(m.Own/m.Best)
	c := float64(l.Shared/m.Best) - r*float64(m.Shared/m.Best)
	out := Ratio{Best: r, U: math.Sqrt(a*a + b*b + c*c)}
	if s := out.Best + out.U; math.IsNaN(s) || math.IsInf(s, 0) {
		return Ratio{}, false
	}
	return out, true
}
