package geom

import (
	"errors"
	"math"
	"testing"
)

// norris is the data set Norris of the NIST Statistical Reference Datasets
// (linear regression, 36 observations of ozone), and what NIST certifies.
// Source: NIST StRD, itl.nist.gov/div898/strd, Norris; seen in the tests of
// public statistics libraries and recomputed.
var norris = struct {
	x, y                 []float64
	at0, slope           float64
	uAt0, uSlope         float64
	s, residual, through float64 // residual standard deviation; sums of squares of residuals, of regression
}{
	x: []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
		556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5},
	y: []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
		557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2},
	at0: -0.262323073774029, slope: 1.00211681802045,
	uAt0: 0.232818234301152, uSlope: 0.429796848199937e-03,
	s: 0.884796396144373, residual: 26.6173985294224, through: 4255954.13232369,
}

func TestRegressNISTNorris(t *testing.T) {
	const source = "NIST StRD, Norris, certified"
	r, err := Regress(norris.x, norris.y)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "slope", r.Slope, norris.slope, 1e-13, source)
	near(t, "at 0", r.At0, norris.at0, 1e-11, source)
	near(t, "u of the slope", r.USlope, norris.uSlope, 1e-14, source)
	near(t, "u at 0", r.UAt0, norris.uAt0, 1e-12, source)
	near(t, "standard deviation", r.S, norris.s, 1e-11, source)
	near(t, "certified numbers among themselves", norris.s*norris.s*34, norris.residual, 1e-12*norris.residual, source)
}

// FitLine is not NIST's model, which takes all error to be in y. But what NIST
// certifies gives the sums that both need, and so the line with the least
// squared distances to Norris' points:
//
//	Σx² = (s/u(slope))², Σxy = slope·Σx², Σy² = regression + residual, about
//	the mean; x̄ = √((u(at0)²/s² − 1/n)·Σx²), ȳ = at0 + slope·x̄
//
// Least distances: slope (Σy² − Σx² + √((Σy² − Σx²)² + 4·Σxy²))/(2·Σxy), by hand.
func TestFitLineNISTNorris(t *testing.T) {
	const source = "NIST StRD, Norris, certified sums; by hand, Pearson 1901"
	var pts []mm
	for i := range norris.x {
		pts = append(pts, at(norris.x[i], norris.y[i]))
	}
	l, rms, err := FitLine(pts)
	if err != nil {
		t.Fatal(err)
	}
	n := float64(len(pts))
	xx := math.Pow(norris.s/norris.uSlope, 2)
	xy, yy := norris.slope*xx, norris.through+norris.residual
	x := math.Sqrt((norris.uAt0*norris.uAt0/norris.s/norris.s - 1/n) * xx)
	y := norris.at0 + norris.slope*x
	root := math.Hypot(yy-xx, 2*xy)
	slope := (yy - xx + root) / (2 * xy)
	u, _ := l.Unit()
	near(t, "slope", float64(u.Y/u.X), slope, 1e-12, source)
	near(t, "at 0", float64(l.A.Y)-float64(l.A.X)*slope, y-slope*x, 1e-9, source)
	near(t, "rms", float64(rms), math.Sqrt((xx+yy-root)/2/n), 1e-6, source)
	if math.Abs(slope-norris.slope) < 1e-7 {
		t.Error("least squares in y and least distances give one slope: this test tells nothing apart")
	}
}

// NIST's NoInt1 is certified for a line through the origin. Regress lays its
// line where it will: the eleven points lie on y = x + 70, by hand, without
// any rest. Through the origin the slope would be 2.07438016528926 (NIST).
func TestRegressNISTNoInt1(t *testing.T) {
	var x, y []float64
	var xy, xx float64
	for i := range 11 {
		x, y = append(x, float64(60+i)), append(y, float64(130+i))
		xx, xy = xx+x[i]*x[i], xy+x[i]*y[i]
	}
	r, err := Regress(x, y)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "slope", r.Slope, 1, 1e-12, "by hand")
	near(t, "at 0", r.At0, 70, 1e-10, "by hand")
	near(t, "standard deviation", r.S, 0, 1e-12, "by hand")
	near(t, "the data are NIST's", xy/xx, 2.07438016528926, 1e-13, "NIST StRD, NoInt1, certified")
}

// JCGM 100:2008, H.3: the correction of a thermometer by a straight line.
// Readings from Table H.6, less 20 °C; results from H.3.3 and H.3.4.
func TestRegressGUMThermometer(t *testing.T) {
	x := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	for i := range x {
		x[i] -= 20
	}
	r, err := Regress(x, []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160})
	if err != nil {
		t.Fatal(err)
	}
	const source = "JCGM 100:2008, H.3.3"
	near(t, "at 20 °C", r.At0, -0.1712, 0.00005, source)
	near(t, "u of it", r.UAt0, 0.0029, 0.00005, source)
	near(t, "slope", r.Slope, 0.00218, 0.000005, source)
	near(t, "u of it", r.USlope, 0.00067, 0.000005, source)
	near(t, "correlation", r.R, -0.930, 0.0005, source)
	near(t, "standard deviation", r.S, 0.0035, 0.00005, source)
	near(t, "at 30 °C", r.At0+10*r.Slope, -0.1494, 0.00005, "JCGM 100:2008, H.3.4")
	u2 := r.UAt0*r.UAt0 + 100*r.USlope*r.USlope + 20*r.UAt0*r.USlope*r.R
	near(t, "u at 30 °C", math.Sqrt(u2), 0.0041, 0.00005, "JCGM 100:2008, H.3.4")
}

// Laws: moved or scaled readings move and scale the line, and only that.
func TestRegressLaws(t *testing.T) {
	base, err := Regress(norris.x, norris.y)
	if err != nil {
		t.Fatal(err)
	}
	moved := func(v []float64, by, times float64) []float64 {
		out := make([]float64, len(v))
		for i := range v {
			out[i] = by + times*v[i]
		}
		return out
	}
	r, _ := Regress(norris.x, moved(norris.y, 1e6, -3))
	near(t, "slope", r.Slope, -3*base.Slope, 1e-10, "law: scale of y")
	near(t, "at 0", r.At0, 1e6-3*base.At0, 1e-8, "law: move and scale of y")
	near(t, "u of the slope", r.USlope, 3*base.USlope, 1e-10, "law: scale of y")
	r, _ = Regress(moved(norris.x, 0, -2), norris.y)
	near(t, "slope", r.Slope, base.Slope/-2, 1e-12, "law: scale of x")
	near(t, "u at 0", r.UAt0, base.UAt0, 1e-10, "law: scale of x")
	near(t, "correlation", r.R, -base.R, 1e-12, "law: mirror")
}

func TestRegressRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tt := range []struct {
		name string
		x, y []float64
		code string
	}{
		{"nothing", nil, nil, "fit-few"},
		{"two", []float64{1, 2}, []float64{1, 2}, "fit-few"},
		{"lists that do not match", []float64{1, 2, 3}, []float64{1, 2, 3, 4}, "fit-few"},
		{"one place", []float64{7, 7, 7}, []float64{1, 2, 3}, "fit-degenerate"},
		{"one place that rounds", []float64{0.1, 0.1, 0.1, 0.1}, []float64{1, 2, 3, 4}, "fit-degenerate"},
		{"x no number", []float64{1, nan, 3}, []float64{1, 2, 3}, "fit-not-finite"},
		{"y no number", []float64{1, 2, 3}, []float64{1, nan, 3}, "fit-not-finite"},
		{"y without end", []float64{1, 2, 3}, []float64{1, inf, 3}, "fit-not-finite"},
		{"squares without end", []float64{-1e200, 0, 1e200}, []float64{1, 2, 3}, "fit-not-finite"},
		{"rests without end", []float64{1, 2, 3}, []float64{1e300, -1e300, 1e300}, "fit-not-finite"},
	} {
		var e *FitError
		if r, err := Regress(tt.x, tt.y); !errors.As(err, &e) || e.Code() != tt.code || r != (Regression{}) {
			t.Errorf("%s: %v %v, want %s", tt.name, r, err, tt.code)
		}
	}
}
