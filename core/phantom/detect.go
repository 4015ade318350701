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
	c.from, c.share = smoothed, 1-smoothed
	return c.detect()
}

// detect adds the noise and stores what the detector sees.
func (c *canvas) detect() []uint16 {
	s := c.s
	out := make([]uint16, len(c.mu))
	top := float64(uint32(1)<<s.Bits - 1)
	quanta := s.Quanta * c.row * c.col
	rnd := chance.New(s.Seed ^ 0x9d)
	for i, v := range c.mu {
		if i%c.w == 0 {
			c.done(i / c.w)
		}
		e := float64(v)
		if quanta > 0 {
			n := quanta * e
			e = (n + math.Sqrt(n)*rnd.Normal()) / quanta
		}
		l := 1 - e
		if !s.Linear {
			l = lnMinus(e) / deepest
		}
		k := int32(0)
		switch {
		case l >= 1:
			k = int32(top)
		case l > 0:
			k = int32(l*top + 0.5)
		}
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
		h := len(k) / 2
		line := make([]float32, c.w+2*h) // a row, with its ends drawn out
		for y := range c.h {
			row := c.mu[y*c.w : (y+1)*c.w]
			copy(line[h:], row)
			for i := range h {
				line[i], line[h+c.w+i] = row[0], row[c.w-1]
			}
			for x := range row {
				sum := float32(0)
				for i, v := range line[x : x+len(k)] {
					sum += k[i] * v
				}
				row[x] = sum
			}
		}
	}
	if k := kernel(sy); len(k) > 1 {
		c.blurDown(k)
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
			sum := float32(0)
			for i, w := range k {
				sum += w * old[i][x]
			}
			row[x] = sum
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
	cols := make([]between, c.w)
	for x := range cols {
		cols[x] = middles(x, block, s.w)
	}
	for y := range c.h {
		q := middles(y, block, s.h)
		a, b := s.mu[q.a*s.w:][:s.w], s.mu[q.b*s.w:][:s.w]
		line := c.mu[y*c.w : (y+1)*c.w]
		for x := range line {
			p := &cols[x]
			up, low := a[p.a]+p.w*(a[p.b]-a[p.a]), b[p.a]+p.w*(b[p.b]-b[p.a])
			line[x] += share * (up + q.w*(low-up))
		}
	}
}

// A between says between which two blocks a pixel lies, and how near b.
type between struct {
	a, b int
	w    float32
}

func middles(x, block, n int) between {
	f := max(0, (float64(x)+0.5)/float64(block)-0.5)
	i := min(int(f), n-1)
	return between{i, min(i+1, n-1), float32(f - float64(i))}
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
	b := math.Float64bits(x) // x = m·2^e, 1 ≤ m < 2
	m, e := math.Float64frombits(b&(1<<52-1)|1023<<52), int(b>>52)-1023
	f := (m - 1) * 1024
	i := int(f)
	return -(float64(e)*math.Ln2 + logs[i] + (f-float64(i))*(logs[i+1]-logs[i]))
}
