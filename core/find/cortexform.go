package find

import (
	"math"
	"slices"
)

// A form is how far the silhouettes of the pipe lie from the steepest places
// of its blurred shadow, by edge and level, and what is left of doubt in the
// two widths; all in columns.
type form struct {
	shift        [4][]float64
	inner, outer float64
}

const formBlocks = 14

// form fits the shadow of a bowed pipe to the mean cross-section of blocks of
// levels:
//
//	grey = a + b·x + c·x² + (A·√(1 − ((x − p)/P)²) − B·√(1 − ((x − q)/Q)²)) ⊛ normal(σ)
//
// where the roots are zero outside, p ± P are the outer edges and q ± Q the
// inner ones. Each cross-section of a block is stretched so that its edges lie
// on those of the block. Near the edges every smooth pipe looks so; only there
// it is fitted. The chord of a pipe begins at nothing, so that its steepest
// place lies inside of it by about 0.8 σ; A, B and a…c are solved for, the
// edges and σ are found by Levenberg–Marquardt steps (Golub and Pereyra 1973).
func (w *walls) form() form {
	f := form{}
	var at []float64
	var by [4][]float64
	var du []float64
	knee := w.knee()
	for b := range formBlocks {
		mid := (float64(b) + 0.5) / formBlocks * float64(w.n)
		if c := w.block(mid, 0.8*float64(w.n)/formBlocks, knee); c.ok {
			at = append(at, mid)
			for k := range 4 {
				by[k] = append(by[k], c.edge[k]-c.steep[k])
			}
			du = append(du, c.u)
		}
	}
	for k := range 4 {
		usual := median(by[k])
		f.shift[k] = make([]float64, w.n)
		for i := range w.n {
			f.shift[k][i] = between(at, by[k], float64(i), usual)
			if w.fix[k][i] >= 0 {
				f.shift[k][i] = 0
			}
		}
	}
	f.inner = w.left(by[InnerLeft], by[InnerRight], du)
	f.outer = math.Hypot(0.5, w.left(by[OuterLeft], by[OuterRight], du)) // scatter bends the soft side (tests)
	return f
}

// left is the doubt of a width that is left after the shift: what the fits
// say, how far the blocks disagree, and a tenth of the shift itself; a whole
// step of the filter where nothing could be fitted.
func (w *walls) left(a, b, u []float64) float64 {
	if len(a) < 3 {
		return 3
	}
	var d, all []float64
	for i := range a {
		all = append(all, b[i]-a[i])
	}
	m := median(all)
	for _, x := range all {
		d = append(d, math.Abs(x-m))
	}
	return math.Hypot(math.Hypot(median(u), 0.5*1.4826*median(d)), math.Hypot(0.15, 0.1*m))
}

// between returns the value at x between known places, in straight pieces; the
// nearest beyond the ends, and other where none is known.
func between(at, v []float64, x, other float64) float64 {
	if len(at) == 0 {
		return other
	}
	for i := range at {
		if x <= at[i] {
			if i == 0 {
				return v[0]
			}
			t := (x - at[i-1]) / (at[i] - at[i-1])
			return v[i-1] + t*(v[i]-v[i-1])
		}
	}
	return v[len(v)-1]
}

// knees are what is tried for a film that stores exposure and not its
// logarithm, so that dense things crowd below full white: how far above the
// brightest place of the cross-section that lies, as a share of its range; 0
// stands for a film of logarithms.
var knees = [...]float64{0, 0.02, 0.06, 0.15, 0.4, 1}

// knee returns the one of knees that explains a few blocks best.
func (w *walls) knee() float64 {
	best, low := 0.0, math.Inf(1)
	for _, k := range knees {
		miss := 0.0
		for _, f := range [...]float64{0.3, 0.45, 0.6} {
			miss += w.block(f*float64(w.n), 0.8*float64(w.n)/formBlocks, k).miss
		}
		if miss < low {
			best, low = k, miss
		}
	}
	return best
}

// A fitted is what a block of levels gives: the mean places of the steepest
// slopes, the edges by the fit, the doubt of an edge, and the share of the
// cross-section that is not explained.
type fitted struct {
	steep, edge [4]float64
	u, miss     float64
	ok          bool
}

func (w *walls) block(mid, half, knee float64) (f fitted) {
	f.miss = 1
	var use []int
	e := &f.steep
	for i := max(0, int(mid-half)); i < min(w.n, int(mid+half)); i++ {
		if w.out[i] == "" {
			use = append(use, i)
			for k := range 4 {
				e[k] += w.path[k][i]
			}
		}
	}
	if len(use) < 5 {
		return f
	}
	for k := range 4 {
		e[k] /= float64(len(use))
	}
	wide := e[3] - e[0]
	x0 := int(math.Max(1, e[0]-0.2*wide))
	n := int(math.Min(float64(w.m-2), e[3]+0.2*wide)) - x0 + 1
	if n < 24 {
		return f
	}
	p := pipe{v: w.stretched(use, *e, x0, n)}
	p.bend(knee)
	wall := math.Min(e[1]-e[0], e[3]-e[2])
	p.weigh(*e, float64(x0), math.Max(4, math.Min(0.45*wall, 0.3*(e[2]-e[1]))))
	at := [5]float64{e[0] - float64(x0) - 0.5, e[1] - float64(x0) - 0.5, e[2] - float64(x0) + 0.5, e[3] - float64(x0) + 0.5, 1}
	at, f.u, f.miss, f.ok = p.fit(at)
	for k := range 4 {
		f.edge[k] = at[k] + float64(x0)
		f.ok = f.ok && math.Abs(f.edge[k]-e[k]) < math.Max(3, 0.03*wide)
	}
	return f
}

// stretched is the mean of levels, each stretched so that its edges lie on e.
func (w *walls) stretched(use []int, e [4]float64, x0, n int) []float64 {
	v := make([]float64, n)
	for _, i := range use {
		var own [4]float64
		for k := range 4 {
			own[k] = smoothAt(w.path[k], i, 5)
		}
		row := w.v[i*w.m : (i+1)*w.m]
		for j := range v {
			x := warp(float64(x0+j), e, own)
			x = math.Max(0, math.Min(x, float64(w.m)-1.001))
			q := int(x)
			t := float32(x - float64(q))
			v[j] += float64(row[q]+t*(row[q+1]-row[q])) / float64(len(use))
		}
	}
	return v
}

// warp takes a column of the block to that of a level, in straight pieces
// between the edges.
func warp(x float64, from, to [4]float64) float64 {
	if x <= from[0] {
		return x - from[0] + to[0]
	}
	for k := 1; k < 4; k++ {
		if x <= from[k] {
			return to[k-1] + (x-from[k-1])*(to[k]-to[k-1])/(from[k]-from[k-1])
		}
	}
	return x - from[3] + to[3]
}

// A pipe is a cross-section that the shadow of a pipe is fitted to: values one
// column apart with their weights.
type pipe struct {
	v, w []float64
	half bool    // the right half of a ball with a shell, only
	r0   float64 // … whose middle lies at column −r0
}

// bend turns exposure into its logarithm, with full white by the knee.
func (p *pipe) bend(knee float64) {
	lo, hi := slices.Min(p.v), slices.Max(p.v)
	if !(knee > 0) || !(hi > lo) {
		return
	}
	for j, v := range p.v {
		p.v[j] = -math.Log(knee + (hi-v)/(hi-lo))
	}
}

func (p *pipe) weigh(e [4]float64, x0, reach float64) {
	p.w = make([]float64, len(p.v))
	for j := range p.w {
		p.w[j] = 0.05
		for k := range 4 {
			if math.Abs(float64(j)+x0-e[k]) <= reach {
				p.w[j] = 1
			}
		}
	}
}

// fit returns outer left, inner left, inner right, outer right edge and σ, and
// the standard uncertainty of an edge.
func (p *pipe) fit(at [5]float64) (out [5]float64, u, miss float64, ok bool) {
	res := p.residual(at)
	chi, lambda := dot(res, res), 1e-2
	var inv [5]float64
	for range 12 {
		var j [5][]float64
		for k := range j {
			q := at
			h := 0.05
			q[k] += h
			r := p.residual(q)
			for i := range r {
				r[i] = (r[i] - res[i]) / h
			}
			j[k] = r
		}
		for range 6 {
			var step [5]float64
			step, inv = p.step(j, res, lambda)
			next := at
			for k := range next {
				next[k] -= math.Max(-1, math.Min(1, step[k]))
			}
			next[4] = math.Max(0.2, math.Min(next[4], 8))
			r := p.residual(next)
			if c := dot(r, r); c < chi {
				at, res, chi, lambda = next, r, c, lambda/5
				break
			}
			lambda *= 5
		}
		if !(lambda < 1e6) {
			break
		}
	}
	n, sum, sq := 0.0, 0.0, 0.0
	for j, w := range p.w {
		n, sum, sq = n+w, sum+w*p.v[j], sq+w*p.v[j]*p.v[j]
	}
	s2, first := 2*chi/math.Max(1, n-10), 0 // neighbours share grain
	if p.half {
		s2, first = s2/2, 3 // but not the wide columns of a head, whose shell has no use
	}
	for k := first; k < 4; k++ {
		u = math.Max(u, math.Sqrt(s2*math.Abs(inv[k])))
	}
	if p.half {
		at[0], at[1] = -2*p.r0-at[3], -2*p.r0-at[2]
	}
	return at, u, chi / math.Max(sq-sum*sum/n, 1e-12), finite(at[0], at[1], at[2], at[3], at[4], u) && at[0] < at[1] && at[1] < at[2] && at[2] < at[3]
}

// step solves the damped normal equations; inv is the diagonal of the inverse
// of the undamped ones.
func (p *pipe) step(j [5][]float64, res []float64, lambda float64) (step, inv [5]float64) {
	var m, d [5][10]float64
	for a := range 5 {
		for b := range 5 {
			m[a][b] = dot(j[a], j[b])
			d[a][b] = m[a][b]
		}
		m[a][5] = dot(j[a], res)
		d[a][5+a] = 1
		d[a][a] += 1e-9 * (m[a][a] + 1e-9)
		m[a][a] *= 1 + lambda
		m[a][a] += 1e-12
	}
	gaussJordan(m[:], 6)
	gaussJordan(d[:], 10)
	for a := range 5 {
		step[a], inv[a] = m[a][5], d[a][5+a]
	}
	return step, inv
}

// gaussJordan reduces the left square of rows to one; a column without a pivot
// gives zero.
func gaussJordan(m [][10]float64, cols int) {
	for c := range m {
		p := c
		for r := c + 1; r < len(m); r++ {
			if math.Abs(m[r][c]) > math.Abs(m[p][c]) {
				p = r
			}
		}
		m[c], m[p] = m[p], m[c]
		f := m[c][c]
		if !(math.Abs(f) > 1e-300) {
			f = math.Inf(1)
		}
		for k := range cols {
			m[c][k] /= f
		}
		for r := range m {
			if g := m[r][c]; r != c {
				for k := range cols {
					m[r][k] -= g * m[c][k]
				}
			}
		}
	}
}

// residual is what is left, weighted, after the best a, b, c, A and B.
func (p *pipe) residual(at [5]float64) []float64 {
	n := len(p.v)
	if p.half {
		at[0], at[1] = -2*p.r0-at[3], -2*p.r0-at[2]
	}
	basis := [5][]float64{make([]float64, n), make([]float64, n), make([]float64, n),
		chord(n, at[0], at[3], at[4]), chord(n, at[1], at[2], at[4])}
	for j := range n {
		x := float64(j)/float64(n)*2 - 1
		basis[0][j], basis[1][j], basis[2][j] = 1, x, x*x
	}
	var m [5][10]float64
	for a := range 5 {
		for b := range 5 {
			for j := range n {
				m[a][b] += p.w[j] * basis[a][j] * basis[b][j]
			}
		}
		m[a][a] *= 1 + 1e-9
		for j := range n {
			m[a][5] += p.w[j] * basis[a][j] * p.v[j]
		}
	}
	gaussJordan(m[:], 6)
	out := make([]float64, n)
	for j := range n {
		s := p.v[j]
		for a := range 5 {
			s -= m[a][5] * basis[a][j]
		}
		out[j] = s * math.Sqrt(p.w[j])
	}
	return out
}

// chord returns √(1 − ((x − c)/r)²) with its feet at lo and hi, as means over
// n columns, blurred by σ columns.
func chord(n int, lo, hi, sigma float64) []float64 {
	c, r := (lo+hi)/2, math.Max((hi-lo)/2, 1e-6)
	k := gauss(sigma)
	pad := len(k) - 1
	raw := make([]float64, n+2*pad)
	area := func(x float64) float64 {
		u := math.Max(-1, math.Min(1, (x-c)/r))
		return r / 2 * (u*math.Sqrt(1-u*u) + math.Asin(u))
	}
	last := area(float64(-pad) - 0.5)
	for i := range raw {
		next := area(float64(i-pad) + 0.5)
		raw[i], last = next-last, next
	}
	out := make([]float64, n)
	for j := range out {
		s := float64(k[0]) * raw[j+pad]
		for i := 1; i <= pad; i++ {
			s += float64(k[i]) * (raw[j+pad-i] + raw[j+pad+i])
		}
		out[j] = s
	}
	return out
}
