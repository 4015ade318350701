package geom

import "math"

// A Regression is a straight line y = At0 + Slope·x laid through readings y
// at places x that are known without doubt: marks of a ruler by their number.
// For points that slip both ways FitLine is right instead.
type Regression struct {
	Slope, At0   float64
	USlope, UAt0 float64 // standard uncertainties
	R            float64 // correlation of slope and At0
	S            float64 // standard deviation of the readings about the line
}

// Regress returns the straight line with the least sum of squares in y,
//
//	slope = Σ(x − x̄)(y − ȳ) / Σ(x − x̄)²,  at0 = ȳ − slope·x̄
//	s² = Σ(y − at0 − slope·x)² / (n − 2)
//	u(slope) = s/√Σ(x − x̄)²,  u(at0) = s·√(1/n + x̄²/Σ(x − x̄)²)
//
// It assumes exact x and equal, independent errors in y. Source: JCGM
// 100:2008, H.3.2 to H.3.4. It refuses lists of unequal length, fewer than
// three readings, x that are all alike, and what is no number.
func Regress(x, y []float64) (Regression, error) {
	n := float64(len(x))
	fail := func(why string) (Regression, error) {
		return Regression{}, &FitError{Shape: "line", Got: min(len(x), len(y)), Need: 3, Why: why}
	}
	if len(x) != len(y) || len(x) < 3 {
		return fail("few")
	}
	mx, my := mean(x), mean(y)
	var xx, xy float64
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
	}
	if sum := xx + xy + my; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return fail("not-finite")
	}
	if !(xx > tiny*tiny*n*mx*mx) {
		return fail("degenerate")
	}
	out := Regression{Slope: xy / xx}
	out.At0 = my - out.Slope*mx
	sum := 0.0
	for i := range x {
		e := y[i] - my - out.Slope*(x[i]-mx)
		sum += e * e
	}
	out.S = math.Sqrt(sum / (n - 2))
	out.USlope = out.S / math.Sqrt(xx)
	out.UAt0 = out.S * math.Sqrt(1/n+mx*mx/xx)
	out.R = -mx / math.Sqrt(xx/n+mx*mx)
	if sum := out.Slope + out.At0 + out.USlope + out.UAt0 + out.R; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return fail("not-finite")
	}
	return out, nil
}

// mean returns the mean of some numbers, corrected once for the rounding of
// its own sum.
func mean(v []float64) float64 {
	n, m, rest := float64(len(v)), 0.0, 0.0
	for _, x := range v {
		m += x / n
	}
	for _, x := range v {
		rest += x - m
	}
	return m + rest/n
}
