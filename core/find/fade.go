package find

import "math"

// fade returns how far the true rim of a ball lies outside the place where
// its shadow falls most steeply, and the standard uncertainty of that. A ball
// is thin at its rim, so the shadow starts at nothing there:
//
//	I(t) = a + b·t + c·(1 − exp(−k·√(1 − (1 + t/R)²))) ⊛ normal(σ)
//
// with t the distance outside the rim. k (how opaque the middle is) and σ (the
// blur) are not known; each k of a list takes its best σ and shift, and the
// answers are weighted by how well they fit (likelihoods of normal errors).
// Source: Lambert–Beer law; chord of a circle; by hand.
func (r ring) fade() (shift, doubt float64) {
	R := float64(r.e.Short+r.e.Long) / 2
	in, out := math.Max(8, 0.25*R), math.Max(7, 0.08*R)
	v := make([]float64, int((in+out)*raySteps)+1)
	for k := range r.n {
		for i, x := range r.ray(k, in, out) {
			v[i] += x / float64(r.n)
		}
	}
	m := fading{v: v, in: in, R: R}
	depths := []float64{0.1, 0.5, 1, 2, 4, 8, 16, 32, 64, 128}
	var at, sse [10]float64
	best := math.Inf(1)
	for i, k := range depths {
		at[i], sse[i] = m.fit(k)
		best = math.Min(best, sse[i])
	}
	free := float64(len(v))/raySteps - 6
	s2 := math.Max(best/raySteps/free, 1e-12)
	var w, sum, sq float64
	for i := range depths {
		p := math.Exp(-(sse[i] - best) / raySteps / (2 * s2))
		w, sum, sq = w+p, sum+p*at[i], sq+p*at[i]*at[i]
	}
	shift = sum / w
	spread := math.Sqrt(math.Max(0, sq/w-shift*shift))
	// a tenth of the shift is left to what the model does not know
	return shift, math.Hypot(spread, math.Max(0.02, 0.1*math.Abs(shift)))
}

// fading is a mean profile across a rim: v[0] lies in px inside the steepest
// place, R is the radius.
type fading struct {
	v     []float64
	in, R float64
}

// fit returns the shift for one opacity, and the sum of squares left, by a
// search over shift and blur with halving steps.
func (m fading) fit(k float64) (shift, sse float64) {
	at := [2]float64{0.5, 1.2}
	sse = m.left(k, at)
	for step := 0.4; step > 0.01; {
		moved := false
		for i := range at {
			for _, d := range []float64{-step, step} {
				try := at
				try[i] += d
				if try[1] < 0.3 || try[1] > 4 || math.Abs(try[0]) > 4 {
					continue
				}
				if e := m.left(k, try); e < sse {
					at, sse, moved = try, e, true
				}
			}
		}
		if !moved {
			step /= 2
		}
	}
	return at[0], sse
}

// left returns the sum of squares that the best a, b and c leave.
func (m fading) left(k float64, at [2]float64) float64 {
	const fine = 2 // steps of the model to one of the profile
	f := m.shape(k, at[0], fine)
	g := gauss(at[1] * raySteps * fine)
	n := len(m.v)
	var s [3][4]float64
	y := make([]float64, n)
	for i := range n {
		c := i * fine
		sum := float64(g[0]) * f[c]
		for j := 1; j < len(g); j++ {
			sum += float64(g[j]) * (f[max(c-j, 0)] + f[min(c+j, len(f)-1)])
		}
		y[i] = sum
		row := [4]float64{1, float64(i)/float64(n) - 0.5, sum, m.v[i]}
		for p := range 3 {
			for q := range 4 {
				s[p][q] += row[p] * row[q]
			}
		}
	}
	x, ok := solve(s)
	if !ok {
		return math.Inf(1)
	}
	sum := 0.0
	for i := range n {
		e := m.v[i] - x[0] - x[1]*(float64(i)/float64(n)-0.5) - x[2]*y[i]
		sum += e * e
	}
	return sum
}

// shape returns the unblurred shadow, at fine steps.
func (m fading) shape(k, shift float64, fine int) []float64 {
	f := make([]float64, (len(m.v)-1)*fine+1)
	for i := range f {
		u := 1 + (float64(i)/float64(raySteps*fine)-m.in-shift)/m.R
		if c := 1 - u*u; c > 0 {
			f[i] = 1 - math.Exp(-k*math.Sqrt(c))
		}
	}
	return f
}

// solve solves three equations by elimination with pivots.
func solve(s [3][4]float64) (x [3]float64, ok bool) {
	for c := range 3 {
		p := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(s[r][c]) > math.Abs(s[p][c]) {
				p = r
			}
		}
		s[c], s[p] = s[p], s[c]
		if !(math.Abs(s[c][c]) > 1e-9) {
			return x, false
		}
		for r := c + 1; r < 3; r++ {
			f := s[r][c] / s[c][c]
			for j := c; j < 4; j++ {
				s[r][j] -= f * s[c][j]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		x[i] = s[i][3]
		for j := i + 1; j < 3; j++ {
			x[i] -= s[i][j] * x[j]
		}
		x[i] /= s[i][i]
	}
	return x, finite(x[0], x[1], x[2])
}
