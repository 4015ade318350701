package units

import (
	"fmt"
	"math"
)

// A Budget says what the doubts of some inputs make of some results. Terms
// holds, for each result, the change of it for one standard uncertainty of
// each input, with its sign.
type Budget struct {
	Values []float64   // the results at the best inputs
	Terms  [][]float64 // Terms[k][i] = ∂y_k/∂x_i · u_i
	cov    [][]float64
}

// Propagate returns the results of f and what the doubts of its inputs make of
// them, to first order and with correlated inputs:
//
//	u²(y_k) = Σᵢ Σⱼ c_ki·u_i · c_kj·u_j · r_ij
//	c_ki·u_i = ½·(f_k(x_i + u_i) − f_k(x_i − u_i))
//
// x are the best inputs, u their standard uncertainties and r their
// correlations; a nil r takes them as independent. f must not keep or change
// what it is given. It assumes that f is nearly straight within one standard
// uncertainty; where it is not, sample it. Source: JCGM 100:2008, 5.2.2 eq.
// (16) and 5.1.3 note 2 (numerical derivatives); H.2.3 for several results.
// It refuses lists of unequal length, an input or a result that is no number,
// a doubt below zero and correlations that no quantities can have.
func Propagate(f func(x []float64) []float64, x, u []float64, r [][]float64) (Budget, error) {
	if err := checkInputs(x, u, r); err != nil {
		return Budget{}, err
	}
	b := Budget{Values: append([]float64(nil), f(append([]float64(nil), x...))...)}
	if i := notFinite(b.Values); i >= 0 || len(b.Values) == 0 {
		return Budget{}, &PropagateError{Why: "result", Index: i}
	}
	b.Terms = make([][]float64, len(b.Values))
	for i := range x {
		term, err := slope(f, x, i, u[i], len(b.Values))
		if err != nil {
			return Budget{}, err
		}
		for k, v := range term {
			b.Terms[k] = append(b.Terms[k], v)
		}
	}
	return b.covary(r)
}

// slope returns half the change of every result as input i goes from one
// standard uncertainty below its best to one above.
func slope(f func(x []float64) []float64, x []float64, i int, u float64, n int) ([]float64, error) {
	at := append([]float64(nil), x...)
	at[i] = x[i] + u
	up := append([]float64(nil), f(at)...)
	at[i] = x[i] - u
	down := f(at)
	if len(up) != n || len(down) != n {
		return nil, &PropagateError{Why: "lists", Index: i}
	}
	out := make([]float64, n)
	for k := range out {
		out[k] = (up[k] - down[k]) / 2
	}
	if notFinite(out) >= 0 {
		return nil, &PropagateError{Why: "result", Index: i}
	}
	return out, nil
}

// covary fills in the covariances of the results.
func (b Budget) covary(r [][]float64) (Budget, error) {
	n := len(b.Values)
	b.cov = make([][]float64, n)
	for k := range n {
		b.cov[k] = make([]float64, n)
		for l := range n {
			sum, size := 0.0, 0.0
			for i, a := range b.Terms[k] {
				for j, c := range b.Terms[l] {
					part := float64(a*c) * correlation(r, i, j)
					sum, size = sum+part, size+math.Abs(part)
				}
			}
			if k == l && sum < 0 && sum > -1e-9*size {
				sum = 0 // rounding only
			}
			if k == l && !(sum >= 0) || notFinite([]float64{sum}) >= 0 {
				return Budget{}, &PropagateError{Why: "correlation", Index: k}
			}
			b.cov[k][l] = sum
		}
	}
	return b, nil
}

// U returns the standard uncertainty of result k, and 0 for a k out of range.
func (b Budget) U(k int) float64 {
	if k < 0 || k >= len(b.cov) {
		return 0
	}
	return math.Sqrt(b.cov[k][k])
}

// Correlation returns the correlation of results k and l, and 0 where one of
// them has no doubt or is out of range.
//
//	r(y_k, y_l) = u(y_k, y_l) / (u(y_k)·u(y_l))
//
// Source: JCGM 100:2008, 5.2.2, eq. (14).
func (b Budget) Correlation(k, l int) float64 {
	uu := b.U(k) * b.U(l)
	if !(uu > 0) {
		return 0
	}
	return math.Max(-1, math.Min(1, b.cov[k][l]/uu))
}

func correlation(r [][]float64, i, j int) float64 {
	switch {
	case r != nil:
		return r[i][j]
	case i == j:
		return 1
	}
	return 0
}

// checkInputs refuses what no inputs can be.
func checkInputs(x, u []float64, r [][]float64) error {
	if len(x) == 0 || len(u) != len(x) || r != nil && len(r) != len(x) {
		return &PropagateError{Why: "lists", Index: len(x)}
	}
	for i := range x {
		switch {
		case notFinite(x[i:i+1]) >= 0:
			return &PropagateError{Why: "input", Index: i}
		case !(u[i] >= 0) || math.IsInf(u[i], 0):
			return &PropagateError{Why: "doubt", Index: i}
		case r != nil && len(r[i]) != len(x):
			return &PropagateError{Why: "lists", Index: i}
		}
	}
	for i := range r {
		for j := range r {
			if !(math.Abs(r[i][j]) <= 1) || r[i][j] != r[j][i] || i == j && r[i][j] != 1 {
				return &PropagateError{Why: "correlation", Index: i}
			}
		}
	}
	return nil
}

// notFinite returns the first place that holds no ordinary number, −1 for none.
func notFinite(v []float64) int {
	for i, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return i
		}
	}
	return -1
}

// A PropagateError reports inputs from which no doubt can be worked out.
type PropagateError struct {
	Why   string // "lists", "input", "doubt", "correlation", "result"
	Index int    // of the input, or of the result
}

// Code names the fault for app/text.
func (e *PropagateError) Code() string { return "propagate-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *PropagateError) Error() string {
	what := map[string]string{
		"lists":       "the lists of inputs, doubts, correlations and results do not match at %d: give one of each for every input",
		"input":       "input %d is not an ordinary number: leave out what is not known",
		"doubt":       "the doubt of input %d is not a number from zero up: give its standard uncertainty",
		"correlation": "the correlations at %d cannot be those of any quantities: give a symmetric table of −1 to 1 with 1 on its diagonal",
		"result":      "no ordinary number follows when input %d moves by its doubt: sample it, or give a smaller doubt",
	}[e.Why]
	if what == "" {
		return "units: the doubt cannot be worked out: check the inputs"
	}
	return "units: " + fmt.Sprintf(what, e.Index)
}
