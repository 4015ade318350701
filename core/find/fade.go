package find

import (
	"cmp"
	"math"
	"slices"
)

// fade returns how far the true rim of a ball or a disc lies outside the
// place where its shadow falls most steeply, and the standard uncertainty of
// that. A ball is thin at its rim, so its shadow begins at nothing there, and a
// film of logarithms shows the dense half of a blur longer than the other:
//
//	E(t) = exp(−k·√(1 − (1 + t/R)²)) ⊛ normal(σ),  t the distance outside
//	E(t) = step(t) ⊛ normal(σ) for a disc
//	grey = a + b·t + c·E,  or  a + b·t + c·ln(E + f)
//
// The shift of the rim, the blur σ and the opacity k are fitted, for exposure
// and for each scatter f of a list; the answers are weighted by how well they
// fit. What is plausible of σ (1.2 px) and of k (15: steel of 20 mm), each
// within a factor of about two or four, counts as one observation each.
// Source: Lambert–Beer law; chord of a circle; Levenberg–Marquardt steps on
// the separated problem (Golub and Pereyra 1973), from memory; by hand.
//
// A blur is not quite normal, scatter is not quite even, a disc has a thickness:
// 0.02 px and as much of the shift are added for what no fit sees on a real
// film; on discs drawn by formula 0.07 is left over (tests).
//
// Greys that went through a curve of a screen or a printer, or were sharpened,
// move the steepest place by up to half a pixel each way (tests), so raw false
// adds 0.3 px and a tenth of the blur that is seen. Where the inside or the
// outside is cut off at full white or black, most of the rim's own shape is
// gone: the steepest place is taken as it is, with the whole blur as its doubt.
// Where both are, nothing is known, and ok is false.
func (r ring) fade(deep, raw bool) (shift, doubt float64, ok bool) {
	rays, m := r.profiles()
	m.deep = deep
	all := m.mean(rays)
	blur := all.blur()
	switch r.clipped() {
	case 1:
		return 0, 0.3 + blur, true
	case 2:
		return 0, 0, false
	}
	if raw { // a curve or a filter changes the grain
		m.grain = m.grains(rays, all.v)
		all.grain = m.grain
	}
	x, u, miss := all.best()
	at, within := []float64{x}, []float64{u * u}
	// Over ground of different greys the step differs, and one mean profile
	// may fit none of it: then thirds by ground are fitted one by one.
	if miss > oddMiss {
		const parts = 3
		at, within = nil, nil
		slices.SortStableFunc(rays, func(a, b []float64) int { return cmp.Compare(a[len(a)-1], b[len(b)-1]) })
		for i := range parts {
			part := m.mean(rays[len(rays)*i/parts : len(rays)*(i+1)/parts])
			x, u, _ := part.best()
			at, within = append(at, x), append(within, u*u)
		}
	}
	shift, doubt = x, u
	if len(at) > 1 {
		shift, doubt = weighted(at, within)
	}
	return shift, m.rest(shift, doubt, blur, raw), true
}

// rest adds to the doubt of a shift what no fit sees.
func (m fading) rest(shift, doubt, blur float64, raw bool) float64 {
	rest := 0.02
	if !m.deep {
		rest = 0.07
	}
	doubt = math.Hypot(doubt, math.Hypot(rest, rest*shift))
	if !raw {
		doubt = math.Hypot(doubt, 0.3+0.1*blur)
	}
	return doubt
}

// weighted returns the mean of values by their variances (each with 0.05² more,
// so that none rules), and its standard uncertainty, widened where they differ
// more than they say. Source: Birge 1932, Phys Rev 40:207 (from memory).
func weighted(v, variance []float64) (mean, u float64) {
	w, chi := 0.0, 0.0
	for i, x := range v {
		k := 1 / (variance[i] + 0.05*0.05)
		w, mean = w+k, mean+k*x
	}
	mean /= w
	for i, x := range v {
		chi += (x - mean) * (x - mean) / (variance[i] + 0.05*0.05)
	}
	return mean, math.Sqrt(math.Max(1, chi/math.Max(1, float64(len(v)-1))) / w)
}

// oddMiss times the scatter of its points a profile may lie off the best
// model, in squares.
const oddMiss = 2

// best returns the shift over all fogs, weighted by how well they fit, its
// standard uncertainty, and how far the best of them misses.
func (m fading) best() (shift, u, miss float64) {
	var at, us, chi [len(fogs)]float64
	best := math.Inf(1)
	for i, f := range fogs {
		m.f = f
		at[i], us[i], chi[i] = m.fit()
		best = math.Min(best, chi[i])
	}
	// what no model explains (a sharpened film, a curve) makes all less sure
	miss = math.Max(1, best*raySteps/float64(len(m.v)))
	var w, sum, sq float64
	for i := range fogs { // film of exposure or of logarithms: each as likely
		p := math.Exp((best-chi[i])/2/miss - m.grainOf(fogs[i])/2)
		if fogs[i] == 0 {
			p *= float64(len(fogs) - 1)
		}
		if !finite(at[i], us[i], p) {
			continue
		}
		w, sum, sq = w+p, sum+p*at[i], sq+p*(at[i]*at[i]+us[i]*us[i]*miss)
	}
	if !(w > 0) {
		return 0, 1, miss
	}
	shift = sum / w
	return shift, math.Sqrt(math.Max(0, sq/w-shift*shift)), miss
}

// fogs are the shares of scatter that are tried; 0 stands for a film of
// exposure.
var fogs = [...]float64{0, 1, 0.6, 0.3, 0.15, 0.08, 0.04, 0.02, 0.01}

// fading is a mean profile across a rim: v[0] lies in px inside the steepest
// place, R is the radius, s the noise of each value.
type fading struct {
	v, s  []float64
	in, R float64
	f     float64
	grain float64 // ln of the variance of the grain inside over that outside; 0: not known
	deep  bool
}

// blur returns the standard deviation of the normal curve that would make the
// step as steep as it is seen, 0.6 to 4 px.
func (m fading) blur() float64 {
	_, fall, _ := steepest(m.v, m.in, 0, 0)
	step := slices.Max(m.v) - slices.Min(m.v)
	wide := step / (math.Max(fall, 1e-9) * math.Sqrt(2*math.Pi))
	return math.Sqrt(math.Max(0.36, math.Min(16, wide*wide-1.5*1.5)))
}

// clipped returns on how many of the two sides of the rim, just inside and just
// outside, over four fifths of the pixels hold the very same value, as full
// white or black does; where grain still shows, the level is not cut by much.
func (r ring) clipped() (sides int) {
	for _, off := range []float64{-0.12, 0.12} {
		count := map[int]int{}
		n, most := 0, 0
		for k := range 8 * r.n {
			a := 2 * math.Pi * float64(k) / float64(8*r.n)
			sin, cos := math.Sincos(a)
			d := radius(r.e, a)
			d += math.Copysign(math.Max(4, math.Abs(off)*d), off)
			x, y := int(float64(r.e.Centre.X)+d*cos+0.5), int((float64(r.e.Centre.Y)+d*sin)/r.tall+0.5)
			if x < 0 || y < 0 || x >= r.g.Width || y >= r.g.Height {
				continue
			}
			v := int(r.g.Pix[y*r.g.Width+x])
			n++
			count[v]++
			most = max(most, count[v])
		}
		if 5*most > 4*n {
			sides++
		}
	}
	return sides
}

// profiles returns the profile of each sector, and an empty mean for them.
func (r ring) profiles() ([][]float64, fading) {
	R := float64(r.e.Short+r.e.Long) / 2
	in, out := math.Max(8, 0.25*R), math.Max(7, 0.08*R)
	rays := make([][]float64, r.n)
	for j := range rays {
		rays[j] = r.ray(j, in, out)
	}
	return rays, fading{in: in, R: R}
}

// start and prior: shift, ln σ, ln k.
var (
	fadeStart = [3]float64{0.5, 0.18, 2.7}
	fadePrior = [3]float64{0, 1 / 0.6, 1 / 1.2}
)

// fit returns the shift, its standard uncertainty, and chi-square.
func (m fading) fit() (shift, u, chi float64) {
	at := fadeStart
	res := m.left(at)
	chi = dot(res, res)
	var inv [3]float64
	for range 30 {
		var j [3][]float64
		for i := range at {
			try := at
			try[i] += 0.01
			j[i] = m.left(try)
			for q := range res {
				j[i][q] = (j[i][q] - res[q]) / 0.01
			}
		}
		moved, gain := false, 0.0
		for lambda := 1e-3; lambda < 1e4; lambda *= 10 {
			step, _ := normalStep(j, res, lambda)
			try := [3]float64{at[0] + step[0], at[1] + step[1], at[2] + step[2]}
			if math.Abs(try[0]) > 4 || math.Abs(try[1]) > 1.6 || try[2] < -3 || try[2] > 7 {
				continue
			}
			next := m.left(try)
			if c := dot(next, next); c < chi {
				gain, moved = chi-c, true
				at, res, chi = try, next, c
				break
			}
		}
		_, inv = normalStep(j, res, 0)
		if !moved || gain < 1e-3 {
			break
		}
	}
	return at[0], math.Sqrt(inv[0]), chi
}

func dot(a, b []float64) (s float64) {
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}

// normalStep returns the step −(JᵀJ + λ·diag)⁻¹·Jᵀr, and the diagonal of the
// inverse.
func normalStep(j [3][]float64, res []float64, lambda float64) (step, inv [3]float64) {
	var a [3][4]float64
	for p := range 3 {
		for q := range 3 {
			a[p][q] = dot(j[p], j[q])
		}
		a[p][p] *= 1 + lambda
		a[p][3] = -dot(j[p], res)
	}
	step, _ = solve(a)
	for p := range 3 {
		b := a
		for q := range 3 {
			b[q][3] = 0
		}
		b[p][3] = 1
		x, _ := solve(b)
		inv[p] = math.Max(0, x[p])
	}
	return step, inv
}

// left returns what the best a, b and c leave of the profile, in its noise,
// and how far blur and opacity lie from what is plausible.
func (m fading) left(at [3]float64) []float64 {
	y := m.model(at)
	n := len(y)
	var s [3][4]float64
	for i := range n {
		row := [4]float64{1, float64(i)/float64(n) - 0.5, y[i], m.v[i]}
		for p := range 3 {
			for q := range 4 {
				s[p][q] += row[p] * row[q]
			}
		}
	}
	x, _ := solve(s)
	out := make([]float64, n+3)
	for i := range n {
		out[i] = (m.v[i] - x[0] - x[1]*(float64(i)/float64(n)-0.5) - x[2]*y[i]) / m.s[i]
	}
	for i := range 3 {
		out[n+i] = (at[i] - fadeStart[i]) * fadePrior[i]
	}
	return out
}

// model returns the grey of a ball of full contrast along the profile.
func (m fading) model(at [3]float64) []float64 {
	const fine = 2 // steps of the model to one of the profile
	k, e := math.Exp(at[2]), make([]float64, (len(m.v)-1)*fine+1)
	for i := range e {
		u := 1 + (float64(i)/(raySteps*fine)-m.in-at[0])/m.R
		switch {
		case m.deep:
			e[i] = math.Exp(-k * math.Sqrt(math.Max(0, 1-u*u)))
		default: // the step that falls in a cell counts in part, so that the fit can move smoothly
			e[i] = math.Max(0, math.Min(1, 0.5+(u-1)*m.R*raySteps*fine))
		}
	}
	g := gauss(math.Exp(at[1]) * raySteps * fine)
	const wide = raySteps * fine // places between pixels are read in straight lines
	grey := make([]float64, len(e)+2*wide)
	for c := range grey {
		k := c - wide
		sum := float64(g[0]) * e[min(max(k, 0), len(e)-1)]
		for j := 1; j < len(g); j++ {
			sum += float64(g[j]) * (e[min(max(k-j, 0), len(e)-1)] + e[min(max(k+j, 0), len(e)-1)])
		}
		grey[c] = sum
		if m.f > 0 {
			grey[c] = math.Log(sum + m.f)
		}
	}
	y := make([]float64, len(m.v))
	for i := range y {
		for j := 1 - wide; j < wide; j++ {
			y[i] += grey[i*fine+wide+j] * float64(wide-max(j, -j)) / (wide * wide)
		}
	}
	return y
}

// solve solves three equations by elimination with pivots; what they do not
// settle is zero.
func solve(s [3][4]float64) (x [3]float64, ok bool) {
	for c := range 3 {
		p := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(s[r][c]) > math.Abs(s[p][c]) {
				p = r
			}
		}
		s[c], s[p] = s[p], s[c]
		if !(math.Abs(s[c][c]) > 1e-12) {
			return [3]float64{}, false
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
