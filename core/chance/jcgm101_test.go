package chance

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/testkit"
)

// results is what JCGM 101:2008, 7.6 and 7.7 take from the trials of a model.
type results struct {
	mean, u        float64
	low, high      float64 // 95 %, as much below as above
	short1, short2 float64 // the shortest interval with 95 %
}

func trials(n int, model func() float64) results {
	y := make([]float64, n)
	var r results
	for i := range y {
		y[i] = model()
		r.mean += y[i] / float64(n)
	}
	for _, v := range y {
		r.u += (v - r.mean) * (v - r.mean) / float64(n-1)
	}
	r.u = math.Sqrt(r.u)
	slices.Sort(y)
	q := n * 95 / 100
	r.low, r.high = y[(n-q)/2], y[(n-q)/2+q]
	r.short1, r.short2 = y[0], y[n-1]
	for i := 0; i+q < n; i++ {
		if y[i+q]-y[i] < r.short2-r.short1 {
			r.short1, r.short2 = y[i], y[i+q]
		}
	}
	return r
}

// even gives a number evenly likely, with mean 0 and this standard deviation.
func even(c *Source, u float64) float64 { return c.Between(-math.Sqrt(3)*u, math.Sqrt(3)*u) }

// JCGM 101:2008, 9.2: four quantities are added. The tolerances are what a
// million trials can give: four standard errors of a quantile, rounded up.
func TestJCGM101Additive(t *testing.T) {
	const n = 1_000_000
	c := New(101)
	for _, tt := range []struct {
		name      string
		model     func() float64
		u, half   float64
		tolU, tol float64
		source    string
	}{
		{"9.2.2", func() float64 { return c.Normal() + c.Normal() + c.Normal() + c.Normal() }, 2.00, 3.92, 0.007, 0.03,
			"JCGM 101:2008, Table 2; by hand √4 and 1.96·2"},
		{"9.2.3", func() float64 { return even(c, 1) + even(c, 1) + even(c, 1) + even(c, 1) }, 2.00, 3.88, 0.007, 0.03,
			"JCGM 101:2008, Table 3 and annex E: 2·√3·(2 − (3/5)^¼) = 3.8807"},
		{"9.2.4", func() float64 { return even(c, 1) + even(c, 1) + even(c, 1) + even(c, 10) }, 10.1, 17.0, 0.06, 0.06,
			"JCGM 101:2008, Table 4 (the interval from memory); by hand √(3 + 100) = 10.149"},
	} {
		got := trials(n, tt.model)
		testkit.Near(t, tt.name+" mean ("+tt.source+")", got.mean, 0, 5*got.u/math.Sqrt(n))
		testkit.Near(t, tt.name+" u ("+tt.source+")", got.u, tt.u, tt.tolU)
		testkit.Near(t, tt.name+" low ("+tt.source+")", got.low, -tt.half, tt.tol)
		testkit.Near(t, tt.name+" high ("+tt.source+")", got.high, tt.half, tt.tol)
	}
}

// JCGM 101:2008, 9.3: a weight is compared with a standard, in air. Model and
// inputs from 9.3.1 and Table 5, results from 9.3.2 and Table 6: y, u and the
// shortest interval as printed there; all of them from memory.
func TestJCGM101Mass(t *testing.T) {
	c := New(93)
	got := trials(1_000_000, func() float64 {
		standard := 100_000 + 0.050*c.Normal() + 1.234 + 0.020*c.Normal() // mg
		air, weight, ref := c.Between(1.10, 1.30), c.Between(7000, 9000), c.Between(7950, 8050)
		return standard*(1+(air-1.2)*(1/weight-1/ref)) - 100_000
	})
	testkit.Near(t, "y in mg (JCGM 101:2008, 9.3, from memory)", got.mean, 1.2340, 0.0004)
	testkit.Near(t, "u in mg (JCGM 101:2008, 9.3, from memory)", got.u, 0.0754, 0.0003)
	testkit.Near(t, "shortest interval, low (JCGM 101:2008, 9.3, from memory)", got.short1, 1.0834, 0.003)
	testkit.Near(t, "shortest interval, high (JCGM 101:2008, 9.3, from memory)", got.short2, 1.3825, 0.003)
}

// JCGM 100:2008, H.1.7: terms of second order raise the 32 nm of the end gauge
// to 34 nm. Trials hold all orders.
func TestGUMEndGaugeSecondOrder(t *testing.T) {
	c := New(17)
	got := trials(1_000_000, func() float64 {
		standard, d := 50_000_623+25*c.Normal(), 215+9.7*c.Normal()
		alpha := c.Between(11.5e-6-2e-6, 11.5e-6+2e-6)
		theta := -0.1 + 0.2*c.Normal() + 0.5*math.Sin(2*math.Pi*c.Uniform()) // H.1.3.4: a cycle of ± 0.5 °C
		unlike, apart := c.Between(-1e-6, 1e-6), c.Between(-0.05, 0.05)
		return standard + d - standard*(unlike*theta+alpha*apart)
	})
	testkit.Near(t, "l in nm (JCGM 100:2008, H.1.2)", got.mean, 50_000_838, 0.5)
	testkit.Near(t, "u in nm (JCGM 100:2008, H.1.7)", got.u, 34, 0.5)
}
