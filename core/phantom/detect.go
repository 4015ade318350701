package phantom

import (
	"math"

	"isthmus/core/chance"
)

// deepest is the attenuation that reaches the last level of a logarithmic
// film.
const deepest = 6.5

// expose turns attenuation into stored levels: Beer–Lambert, blur, scatter,
// quantum noise, detector. It uses c.mu up.
//
//	I = e^−μ, smoothed; then I + s·(I·0.08/(I + 0.08) smoothed over 25 mm)
//	counts N + √N·z, N = quanta · pixel · I
//	level = (−ln I / 6.5) · top, or (1 − I) · top for a linear detector
func (c *canvas) expose() []uint16 {
	s := c.s
	for i, m := range c.mu {
		c.mu[i] = float32(expMinus(float64(m)))
	}
	c.shut()
	c.blur(float64(s.Blur)/c.col, float64(s.Blur)/c.row)
	c.scatter(float64(s.Scatter))
	out := make([]uint16, len(c.mu))
	top := float64(uint32(1)<<s.Bits - 1)
	quanta := s.Quanta * c.row * c.col
	rnd := chance.New(s.Seed ^ 0x9d)
	for i, v := range c.mu {
		e := float64(v)
		if quanta > 0 {
			n := quanta * e
			e = (n + math.Sqrt(n)*rnd.Normal()) / quanta
		}
		l := 1 - e
		if !s.Linear {
			l = lnMinus(e) / deepest
		}
		k := int32(min(1, max(0, l))*top + 0.5)
		if s.Dark {
			k = int32(top) - k
		}
		out[i] = uint16(k)
	}
	return out
}

// shut blacks out the margin, as a digital detector shows it, and lays the lines of a grid over the field.
func (c *canvas) shut() {
	mx, my := int(float64(c.s.Frame)/c.col), int(float64(c.s.Frame)/c.row)
	lines := make([]float32, c.w)
	for x := range lines {
		lines[x] = 1 + float32(c.s.Grid*math.Sin(2*math.Pi*float64(x)*c.col/0.62))
	}
	for y := range c.h {
		line := c.mu[y*c.w : (y+1)*c.w]
		for x := range line {
			line[x] *= lines[x]
			if x < mx || y < my || x >= c.w-mx || y >= c.h-my {
				line[x] = 1
			}
		}
	}
}

// blur smooths with a normal kernel of these standard deviations, in pixels.
func (c *canvas) blur(sx, sy float64) {
	if k := kernel(sx); len(k) > 1 {
		line := make([]float32, c.w)
		for y := range c.h {
			row := c.mu[y*c.w : (y+1)*c.w]
			copy(line, row)
			weigh(row, k, func(x, i int) float32 { return line[min(max(x+i, 0), c.w-1)] })
		}
	}
	if k := kernel(sy); len(k) > 1 {
		c.blurDown(k)
	}
}

func weigh(row []float32, k []float32, at func(x, i int) float32) {
	h := len(k) / 2
	for x := range row {
		sum := float32(0)
		for i, w := range k {
			sum += w * at(x, i-h)
		}
		row[x] = sum
	}
}

// blurDown keeps the rows it still needs, since each is overwritten.
func (c *canvas) blurDown(k []float32) {
	h := len(k) / 2
	old := make([][]float32, len(k))
	for i := range old {
		old[i] = append([]float32(nil), c.mu[min(max(i-h, 0), c.h-1)*c.w:][:c.w]...)
	}
	for y := range c.h {
		row := c.mu[y*c.w : (y+1)*c.w]
		for x := range row {
			row[x] = 0
		}
		for i, w := range k {
			for x, v := range old[i] {
				row[x] += w * v
			}
		}
		first := old[0]
		copy(old, old[1:])
		if y+1 < c.h {
			copy(first, c.mu[min(y+1+h, c.h-1)*c.w:][:c.w])
		}
		old[len(old)-1] = first
	}
}

// kernel is a normal curve that sums to 1; one weight when there is nothing to
// smooth.
func kernel(s float64) []float32 {
	if s < 0.05 {
		return []float32{1}
	}
	h := int(math.Ceil(3 * s))
	k, sum := make([]float64, 2*h+1), 0.0
	for i := range k {
		d := float64(i-h) / s
		k[i] = expMinus(d * d / 2)
		sum += k[i]
	}
	out := make([]float32, len(k))
	for i := range k {
		out[i] = float32(k[i] / sum)
	}
	return out
}

// scatter adds the broad part: means over blocks of 16 pixels, smoothed three
// times, laid back between the middles of the blocks.
func (c *canvas) scatter(share float64) {
	if share == 0 {
		return
	}
	const block = 16
	s := &canvas{w: (c.w + block - 1) / block, h: (c.h + block - 1) / block}
	s.mu = make([]float32, s.w*s.h)
	n := make([]float32, len(s.mu))
	for y := range c.h {
		for x := range c.w {
			i := y/block*s.w + x/block
			s.mu[i] += c.mu[y*c.w+x]
			n[i]++
		}
	}
	for i := range s.mu {
		e := s.mu[i] / n[i]
		s.mu[i] = e * fog / (e + fog)
	}
	s.blur(25/(block*c.col), 25/(block*c.row))
	c.lay(s, block, float32(share))
}

// lay adds a picture of blocks, between their middles.
func (c *canvas) lay(s *canvas, block int, share float32) {
	size := float64(block)
	for y := range c.h {
		fy := max(0, (float64(y)+0.5)/size-0.5)
		iy := min(int(fy), s.h-1)
		a, b := s.mu[iy*s.w:][:s.w], s.mu[min(iy+1, s.h-1)*s.w:][:s.w]
		wy := float32(fy - float64(iy))
		line := c.mu[y*c.w : (y+1)*c.w]
		for x := range line {
			fx := max(0, (float64(x)+0.5)/size-0.5)
			ix := min(int(fx), s.w-1)
			jx, wx := min(ix+1, s.w-1), float32(fx-float64(ix))
			up, low := a[ix]+wx*(a[jx]-a[ix]), b[ix]+wx*(b[jx]-b[ix])
			line[x] += share * (up + wy*(low-up))
		}
	}
}

// fog is where scatter levels off: the open field scatters little.
const fog = 0.08

const fineSteps = 256

var exps = func() [30*fineSteps + 2]float64 {
	var t [30*fineSteps + 2]float64
	x, step, term := 1.0, 0.0, 1.0 // step = e^(−1/256) by its series
	for i := 1; i < 12; i++ {
		step += term
		term *= -1.0 / fineSteps / float64(i)
	}
	for i := range t {
		t[i] = x
		x *= step
	}
	return t
}()

// expMinus is e^−x, x ≥ 0, to 2 parts in a million, alike on every processor
// (the library's differs); 0 beyond 30.
func expMinus(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	if x >= 30 {
		return 0
	}
	x *= fineSteps
	i := int(x)
	return exps[i] + (x-float64(i))*(exps[i+1]-exps[i])
}

var logs = func() [1025]float64 {
	var t [1025]float64
	for i := range t {
		m := 1 + float64(i)/1024
		q := (m - 1) / (m + 1) // ln m = 2·artanh q
		for k := 41; k > 0; k -= 2 {
			t[i] = t[i]*q*q + 2/float64(k)
		}
		t[i] *= q
	}
	return t
}()

// lnMinus is −ln x to a ten-millionth, and 1000 for what is not above zero.
func lnMinus(x float64) float64 {
	if !(x > 1e-300) {
		return 1000
	}
	m, e := math.Frexp(x)
	f := (2*m - 1) * 1024
	i := int(f)
	return -(float64(e-1)*math.Ln2 + logs[i] + (f-float64(i))*(logs[min(i+1, 1024)]-logs[i]))
}
