package find

import "math"

// gauss returns half of a normal curve of standard deviation sigma px, from
// its middle outwards, so that the whole sums to one. It is cut at 3 sigma.
func gauss(sigma float64) []float32 {
	if !(sigma > 0.2) {
		return []float32{1}
	}
	n := int(math.Ceil(3 * math.Min(sigma, 50)))
	k := make([]float32, n+1)
	sum := 0.0
	for i := range k {
		g := math.Exp(-float64(i*i) / (2 * sigma * sigma))
		k[i] = float32(g)
		sum += g
		if i > 0 {
			sum += g
		}
	}
	for i := range k {
		k[i] /= float32(sum)
	}
	return k
}

// smooth returns the picture blurred by a normal curve of sigma px, rows then
// columns; beyond the rim the nearest pixel holds.
func (p plane) smooth(sigma float64) plane {
	k := gauss(sigma)
	if len(k) == 1 || len(p.v) == 0 {
		return plane{p.w, p.h, append([]float32(nil), p.v...)}
	}
	mid := plane{p.w, p.h, make([]float32, len(p.v))}
	n := len(k) - 1
	pad := make([]float32, p.w+2*n)
	for y := range p.h {
		row := p.v[y*p.w : (y+1)*p.w]
		copy(pad[n:], row)
		for i := range n {
			pad[i], pad[n+p.w+i] = row[0], row[p.w-1]
		}
		out := mid.v[y*p.w : (y+1)*p.w]
		for x := range out {
			s := k[0] * pad[x+n]
			for i := 1; i <= n; i++ {
				s += k[i] * (pad[x+n-i] + pad[x+n+i])
			}
			out[x] = s
		}
	}
	out := plane{p.w, p.h, make([]float32, len(p.v))}
	for y := range p.h {
		dst := out.v[y*p.w : (y+1)*p.w]
		for i := 0; i <= n; i++ {
			up := mid.v[max(y-i, 0)*p.w:][:p.w]
			low := mid.v[min(y+i, p.h-1)*p.w:][:p.w]
			f := k[i]
			if i == 0 {
				f /= 2
			}
			for x := range dst {
				dst[x] += f * (up[x] + low[x])
			}
		}
	}
	return out
}

// slope returns the gradient at a pixel in levels per px, by central
// differences; at the rim one-sided halves.
func (p plane) slope(x, y int) (dx, dy float32) {
	r := y * p.w
	dx = (p.v[r+min(x+1, p.w-1)] - p.v[r+max(x-1, 0)]) / 2
	dy = (p.v[min(y+1, p.h-1)*p.w+x] - p.v[max(y-1, 0)*p.w+x]) / 2
	return dx, dy
}

// turned returns the direction (ux, uy) turned a quarter clockwise on a film.
func turned(u pt) pt { return pt{X: -u.Y, Y: u.X} }

// profile returns n values along a ray from a, step px apart in direction u (a
// unit vector), each the mean over a strip of the width wide px across the
// ray. sampled takes the place of the film or of a plane.
func profile(at func(x, y float64) float64, a, u pt, n int, step, wide float64) []float64 {
	side := turned(u)
	half := int(math.Max(0, (wide-1)/2))
	out := make([]float64, n)
	for i := range out {
		c := a.Plus(u.Times(float64(i) * step))
		sum := 0.0
		for j := -half; j <= half; j++ {
			q := c.Plus(side.Times(float64(j)))
			sum += at(float64(q.X), float64(q.Y))
		}
		out[i] = sum / float64(2*half+1)
	}
	return out
}
