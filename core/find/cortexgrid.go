package find

import (
	"math"
	"slices"

	"isthmus/core/geom"
)

// A strip is the film laid straight along a path: n levels of m columns, the
// columns step px apart, the middle of the path at column (m−1)/2. d is how
// the grey rises per column, smoothed.
type strip struct {
	n, m       int
	step       float64
	at, across []pt
	off        []bool // the level reaches over the rim of the film
	v, d       []float32
}

// place returns the place on the film of a column.
func (s strip) place(i int, x float64) pt {
	return s.at[i].Plus(s.across[i].Times((x - float64(s.m-1)/2) * s.step))
}

// column returns the level nearest to a place and its column there.
func (s strip) column(p pt) (i int, x float64) {
	near := math.Inf(1)
	for k := range s.at {
		if d := float64(geom.Dist(p, s.at[k])); d < near {
			near, i = d, k
		}
	}
	return i, geom.Dot(p.Minus(s.at[i]), s.across[i])/s.step + float64(s.m-1)/2
}

// lay returns the strip of half width half along a path, each sample the mean
// of sub places along the path.
func (g Grey) lay(path []pt, half, step float64, sub int) strip {
	s := strip{n: len(path), m: 2*int(half/step) + 1, step: step, at: path}
	s.v = make([]float32, s.n*s.m)
	s.off = make([]bool, s.n)
	for i := range path {
		a, b := path[max(i-2, 0)], path[min(i+2, s.n-1)]
		u, ok := (line{A: a, B: b}).Unit()
		if !ok {
			u = px(0, 1)
		}
		n := turned(u).Times(-1)
		s.across = append(s.across, n)
		gap := float64(geom.Dist(path[max(i-1, 0)], path[min(i+1, s.n-1)])) / 2
		row := s.v[i*s.m : (i+1)*s.m]
		for k := range sub {
			o := path[i].Plus(u.Times(gap * ((float64(k)+0.5)/float64(sub) - 0.5)))
			o = o.Minus(n.Times(step * float64(s.m-1) / 2))
			x, y, dx, dy := float64(o.X), float64(o.Y), float64(n.X)*step, float64(n.Y)*step
			for j := range row {
				row[j] += float32(g.at(x+float64(j)*dx, y+float64(j)*dy))
			}
		}
		for j := range row {
			row[j] /= float32(sub)
		}
	}
	return s
}

// slopes fills d: the slope of the row under a normal curve of sigma columns,
// then smoothed over two levels to each side.
func (s *strip) slopes(sigma float64) {
	s.d = make([]float32, len(s.v))
	k := gauss(sigma)
	raw := make([]float32, len(s.v))
	for i := range s.n {
		row, out := s.v[i*s.m:(i+1)*s.m], raw[i*s.m:(i+1)*s.m]
		for q := 1; q < len(k); q++ {
			f := k[q] * float32(float64(q)/(sigma*sigma))
			for j := q; j < s.m-q; j++ {
				out[j] += f * (row[j+q] - row[j-q])
			}
		}
		for j := range min(len(k), s.m) {
			out[j], out[s.m-1-j] = 0, 0
		}
	}
	for i := range s.n {
		out := s.d[i*s.m : (i+1)*s.m]
		for q, f := range [...]float32{1, 4, 6, 4, 1} {
			for j, v := range raw[min(max(i+q-2, 0), s.n-1)*s.m:][:s.m] {
				out[j] += f / 16 * v
			}
		}
	}
}

// grain is the standard deviation of d from noise: from second differences
// along the levels, which edges hardly move; their median is not that of the
// edges.
func (s strip) grain() float64 {
	var v []float64
	for i := 6; i+6 < s.n; i += 2 {
		for j := 5; j+5 < s.m; j += 3 {
			k := i*s.m + j
			v = append(v, math.Abs(float64(2*s.d[k]-s.d[k-6*s.m]-s.d[k+6*s.m])))
		}
	}
	return math.Max(1.4826*median(v)/2.449, 1e-6)
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Sorted(slices.Values(v))
	return s[len(s)/2]
}

// smoothAt returns the value at i of the straight line of least squares
// through the neighbours of i up to r away, without i itself.
func smoothAt(v []float64, i, r int) float64 {
	var x, y []float64
	for k := max(i-r, 0); k <= min(i+r, len(v)-1); k++ {
		if k != i {
			x, y = append(x, float64(k-i)), append(y, v[k])
		}
	}
	if len(x) < 2 {
		return v[i]
	}
	c, _ := leastLine(x, y)
	return c
}

// even returns n places along a path, the same length apart.
func even(path []pt, n int) []pt {
	run := make([]float64, len(path))
	for i := 1; i < len(path); i++ {
		run[i] = run[i-1] + float64(geom.Dist(path[i], path[i-1]))
	}
	out := make([]pt, 0, n)
	k := 0
	for i := range n {
		want := run[len(run)-1] * float64(i) / float64(n-1)
		for k+2 < len(run) && run[k+1] < want {
			k++
		}
		f := (want - run[k]) / math.Max(run[k+1]-run[k], 1e-9)
		out = append(out, path[k].Plus(path[k+1].Minus(path[k]).Times(f)))
	}
	return out
}
