package units

import (
	"math"
	"strconv"
)

// places returns how many decimals a number with this printed doubt deserves:
// at most two significant digits of the doubt, never finer than a tenth;
// below zero, tens are all it deserves. Source: JCGM 100:2008, 7.2.6.
func places(doubt float64) int {
	switch {
	case !(doubt >= 0) || math.IsInf(doubt, 0):
		return 0
	case doubt < 1.95:
		return 1
	case doubt >= 99.5:
		return -1
	}
	return 0
}

// Round returns the value and the doubt ± (Sure standard uncertainties) as
// they may be printed, rounded together so that neither shows a digit that the
// doubt does not allow. Source: JCGM 100:2008, 7.2.6.
func (l Length) Round() (value, doubt string) {
	d := Sure * float64(l.Doubt())
	p := places(d)
	if d > 0 && p == 1 && d < 0.1 {
		d = 0.1 // finer than we print; never shown as no doubt at all
	}
	return fixed(float64(l.Best), p), fixed(d, p)
}

// String prints the length with its unit, and its doubt where it has any:
// "412 ± 6 mm", "10.6 ± 0.3 mm", "95 mm".
func (l Length) String() string {
	if !l.Finite() {
		return "no length"
	}
	if l.Doubt() == 0 {
		return l.Best.String()
	}
	v, d := l.Round()
	return v + " ± " + d + " mm"
}

// String prints an exact size with its unit and no digit it does not need.
func (m MM) String() string { return Trim(float64(m), 2) + " mm" }

// String prints the angle and its doubt: "131.0 ± 1.2°".
func (a Angle) String() string {
	d := Sure * float64(a.Own)
	if s := float64(a.Best) + d; math.IsNaN(s) || math.IsInf(s, 0) {
		return "no angle"
	}
	if d == 0 {
		return Trim(float64(a.Best), 1) + "°"
	}
	p := places(d)
	return fixed(float64(a.Best), p) + " ± " + fixed(math.Max(d, 0.1), p) + "°"
}

// Trim prints a number with at most n decimals and no trailing zeros.
func Trim(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "no number"
	}
	p := math.Pow10(n)
	r := math.Round(v*p) / p
	if r == 0 {
		r = 0 // no minus before a zero
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// fixed prints a number with n decimals, or rounded to tens when n is below
// zero, and never a minus before a zero.
func fixed(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "no number"
	}
	if n < 0 {
		v, n = math.Round(v/10)*10, 0
	}
	s := strconv.FormatFloat(v, 'f', n, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil && f == 0 {
		return strconv.FormatFloat(0, 'f', n, 64)
	}
	return s
}
