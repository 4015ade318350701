package find

import (
	"cmp"
	"math"
	"slices"
)

// mean returns the mean profile of some sectors and its noise: a ball lets few
// quanta through and is grainier than what lies beside it, so each place has
// that of the 4 px about it, from the scatter between the sectors over √n.
// What differs slowly between sectors is background and no noise: differences
// over 2 px are taken, which hold twice the noise of a place; a pixel has two
// steps, which count as one.
func (m fading) mean(rays [][]float64) fading {
	const apart, near = 2 * raySteps, 4 * raySteps
	n, k := len(rays[0]), float64(len(rays))
	m.v, m.s = make([]float64, n), make([]float64, n)
	for _, ray := range rays {
		for i, x := range ray {
			m.v[i] += x / k
		}
	}
	sq := make([]float64, n-apart+1) // sums of the squares before each place
	for i := range n - apart {
		sq[i+1] = sq[i]
		for _, ray := range rays {
			d := ray[i+apart] - m.v[i+apart] - ray[i] + m.v[i]
			sq[i+1] += d * d
		}
	}
	for i := range m.s {
		lo, hi := max(0, min(i-apart/2-near, n-apart-near)), min(n-apart, max(i-apart/2+near, near))
		m.s[i] = math.Max(math.Sqrt((sq[hi]-sq[lo])/(float64(hi-lo)*k*math.Max(1, k-1))), 1e-6)
	}
	return m
}

// grains returns ln of the variance of the grain within the ball over that
// beside it, the middle one of the sectors on each side, so that bone or a
// border beside the ball does not count: from differences over 2 px, in the
// outermost 6 px of the profile and in as many furthest within.
func (m fading) grains(rays [][]float64, mean []float64) float64 {
	const apart, wide = 2 * raySteps, 6 * raySteps
	var in, out []float64
	for _, ray := range rays {
		a, b := 0.0, 0.0
		for i := range wide - apart {
			d := ray[i+apart] - mean[i+apart] - ray[i] + mean[i]
			a += d * d
			k := len(ray) - wide + i
			d = ray[k+apart] - mean[k+apart] - ray[k] + mean[k]
			b += d * d
		}
		in, out = append(in, a), append(out, b)
	}
	a, b := median(in), median(out)
	if !(a > 0) || !(b > 0) {
		return 0
	}
	return math.Log(a / b)
}

// grainOf returns how badly the grain of the ball beside that of what lies
// about it (see profiles) fits a film of logarithms with a share of scatter, or
// one of exposure (0), as a square of standard deviations. Grain is that of
// quanta, and with E the exposure on either side
//
//	variance ∝ 1/E on a film of logarithms, ∝ E on one of exposure
//	ln(within/beside) = ln((1 + f)/f),  or under zero
//
// to within a half: there are other grains. Alike grain on both sides, as from
// rounding, says nothing, and what does not fit at all counts as 8.
// Source: Poisson statistics; by hand.
func (m fading) grainOf(f float64) float64 {
	far := m.grain + 0.2
	if f > 0 {
		far = math.Abs(m.grain - math.Log((1+f)/f))
	}
	says := math.Max(0, math.Min(1, (math.Abs(m.grain)-0.3)/0.4))
	return says * math.Min(8, math.Pow(math.Max(0, far)/0.3, 2))
}

// exposed reports whether a film stores exposure and not its logarithm, by its
// grain within reach of a place: in blocks of 12 px, that of the denser half is
// then clearly finer, as its quanta are fewer (see grainOf).
func (g Grey) exposed(c pt, reach float64) bool {
	const size = 12
	x0, y0 := max(1, int(float64(c.X)-reach)), max(0, int(float64(c.Y)-reach))
	x1, y1 := min(g.Width-2, int(float64(c.X)+reach)), min(g.Height-1, int(float64(c.Y)+reach))
	type block struct{ level, grain float64 }
	var all []block
	for y := y0; y+size <= y1; y += size {
		for x := x0; x+size <= x1; x += size {
			b := block{}
			for j := range size {
				row := g.Pix[(y+j)*g.Width+x-1:][: size+2 : size+2]
				for i := range size {
					d := float64(row[i]) - 2*float64(row[i+1]) + float64(row[i+2])
					b.level, b.grain = b.level+float64(row[i+1]), b.grain+d*d
				}
			}
			all = append(all, b)
		}
	}
	slices.SortFunc(all, func(a, b block) int { return cmp.Compare(a.level, b.level) })
	half := len(all) / 2
	var low, high []float64
	for i, b := range all {
		if i < half {
			low = append(low, b.grain)
		} else {
			high = append(high, b.grain)
		}
	}
	if g.Inverted {
		low, high = high, low
	}
	return median(high) < 0.8*median(low)
}
