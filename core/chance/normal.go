package chance

import "math"

// Products are wrapped in float64( ) all through this file: that forbids the
// compiler to fuse them with a sum, which some processors do and others do
// not, so that every one of them gives the same bits. For the same reason the
// logarithm is our own: the library's has its own code on some processors.

// Quantile returns the number that a standard normal quantity stays below
// with probability p, to about 1 part in 10¹⁶. Source: Wichura 1988, Appl
// Statist 37:477, algorithm AS 241 (PPND16). It reports false unless p lies
// between 0 and 1.
func Quantile(p float64) (float64, bool) {
	if !(p > 0 && p < 1) {
		return 0, false
	}
	return quantile(p), true
}

// quantile is a ratio of two polynomials: one pair for the middle, in q² where
// q = p − ½, and two for the tails, in √(−ln p).
func quantile(p float64) float64 {
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		r := 0.180625 - float64(q*q)
		return q * ratio(r, &middle)
	}
	tail := p
	if q > 0 {
		tail = 1 - p
	}
	r := math.Sqrt(-ln(tail))
	z := 0.0
	if r <= 5 {
		z = ratio(r-1.6, &near)
	} else {
		z = ratio(r-5, &far)
	}
	if q < 0 {
		return -z
	}
	return z
}

// A pair holds the coefficients of numerator and denominator, highest first.
type pair [2][8]float64

// Source of the coefficients: Wichura 1988, table in AS 241.
var (
	middle = pair{
		{2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457,
			13731.693765509461125, 1971.5909503065514427, 133.14166789178437745, 3.3871328727963666080},
		{5226.4952788528545610, 28729.085735721942674, 39307.895800092710610, 21213.794301586595867,
			5394.1960214247511077, 687.18700749205790830, 42.313330701600911252, 1},
	}
	near = pair{
		{7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1, 1.27045825245236838258,
			3.64784832476320460504, 5.76949722146069140550, 4.63033784615654529590, 1.42343711074968357734},
		{1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2, 1.48103976427480074590e-1,
			6.89767334985100004550e-1, 1.67638483018380384940, 2.05319162663775882187, 1},
	}
	far = pair{
		{2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3, 2.65321895265761230930e-2,
			2.96560571828504891230e-1, 1.78482653991729133580, 5.46378491116411436990, 6.65790464350110377720},
		{2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5, 7.86869131145613259100e-4,
			1.48753612908506148525e-2, 1.36929880922735805310e-1, 5.99832206555887937690e-1, 1},
	}
)

func ratio(r float64, c *pair) float64 {
	a, b := c[0][0], c[1][0]
	for i := 1; i < 8; i++ {
		a = float64(a*r) + c[0][i]
		b = float64(b*r) + c[1][i]
	}
	return a / b
}

// ln returns the natural logarithm of a number above zero, to about 2 parts in
// 10¹⁶: with x = m·2ᵏ, m within √½…√2, and s = (m − 1)/(m + 1),
//
//	ln x = k·ln 2 + 2·(s + s³/3 + s⁵/5 + …)
//
// Source: the series of the inverse hyperbolic tangent.
func ln(x float64) float64 {
	m, k := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, k = m*2, k-1
	}
	s := (m - 1) / (m + 1)
	ss := float64(s * s)
	sum := 0.0
	for i := 23; i >= 3; i -= 2 {
		sum = float64((sum + 1/float64(i)) * ss)
	}
	return float64(float64(k)*math.Ln2) + float64(float64(2*s)*(1+sum))
}
