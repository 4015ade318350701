package find

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/chance"
)

type tally struct {
	n, refused, within int
	sum, sq, worst     float64
}

func (c *tally) add(got, want, u float64) {
	if u == 0 || !finite(got, u) {
		u = 0
		c.worst = math.Inf(1)
	}
	c.n++
	e := got - want
	c.sum += e
	c.sq += e * e
	c.worst = math.Max(c.worst, math.Abs(e))
	if math.Abs(e) <= 2*u {
		c.within++
	}
}

// must fails the test when the bias, the spread, or the share of truths
// within two standard uncertainties is not what is asked.
func (c *tally) must(t *testing.T, name string, bias, rms, lo float64, refused int) {
	t.Helper()
	c.log(t, name)
	n := float64(c.n)
	if !(math.Abs(c.sum/n) <= bias) || !(math.Sqrt(c.sq/n) <= rms) || !(float64(c.within)/n >= lo) || c.refused > refused {
		t.Errorf("%s: want bias ≤ %.2f, rms ≤ %.2f, %.0f %% within, at most %d refused", name, bias, rms, 100*lo, refused)
	}
}

func (c *tally) log(t *testing.T, name string) {
	n := float64(c.n)
	t.Logf("%-34s n %d refused %d bias %+.3f rms %.3f worst %.3f within %.1f %%", name, c.n, c.refused, c.sum/n, math.Sqrt(c.sq/n), c.worst, 100*float64(c.within)/n)
}

// A trial draws a round thing of random place, size, blur, noise and scatter,
// and taps somewhere in it.
func trial(rnd *chance.Source, thick func(x, y, cx, cy, a, b, k float64) float64, k float64, log bool) (s scene, near, centre pt, r float64) {
	r = rnd.Between(22, 82)
	w := int(2*r) + 80
	cx, cy := float64(w)/2+5*rnd.Uniform(), float64(w)/2+5*rnd.Uniform()
	s = scene{
		w: w, h: w, blur: rnd.Between(0.6, 1.8), noise: rnd.Between(0.002, 0.022), log: log, fog: rnd.Between(0.02, 0.15), top: 4095,
		thick: func(x, y float64) float64 { return 0.5 + 0.4*x/float64(w) + thick(x, y, cx, cy, r, r, k) },
	}
	return s, px(cx+0.5*r*rnd.Uniform(), cy-0.5*r*rnd.Uniform()), px(cx, cy), r
}

// The size of a ball and of a disc: films of exposure and of logarithms, from
// a ball that lets light through to one of steel.
func TestRoundSize(t *testing.T) {
	for _, kind := range []roundKind{aBall, aDisc} {
		all := &tally{}
		thick := discThick
		if kind.deep {
			thick = ballThick
		}
		for _, log := range []bool{false, true} {
			for _, k := range []float64{3, 10, 40} {
				c := &tally{}
				rnd := chance.New(uint64(k))
				for seed := range uint64(trials) {
					s, near, _, r := trial(rnd, thick, k, log)
					s.fine = 3
					got, err := kind.find(s.draw(seed), near, RoundOptions{Most: 260, Raw: true})
					if err != nil {
						t.Logf("r %.1f blur %.1f noise %.3f: %v", r, s.blur, s.noise, err)
						c.refused++
						continue
					}
					c.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
					all.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
				}
				bias := 0.3
				if kind.deep && k == 3 { // lets a twentieth of the light through; steel of 25 mm has k = 24
					bias = 0.8
				}
				c.must(t, fmt.Sprintf("%s k %g log %v", kind.what, k, log), bias, 0.9, 0.7, 1)
			}
		}
		all.must(t, kind.what, 0.25, 0.45, 0.92, 3)
	}
}

const trials = 12

// A film that a curve, a filter or a cut-off has changed for the eye: the size
// may be off, and then the doubt says so, or it is refused.
func TestChangedFilm(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(v float64) float64
		blur   float64 // of the mask of a sharpened film
	}{
		{"a curve like an S", func(v float64) float64 { return 4095 / (1 + math.Exp(-(v-2200)/500)) }, 0},
		{"squares", func(v float64) float64 { return v * v / 4095 }, 0},
		{"white cut off", func(v float64) float64 { return math.Min(v, 2600) }, 0},
		{"white and black cut off", func(v float64) float64 { return math.Max(1800, math.Min(v, 2400)) }, 0},
		{"sharpened, fine", func(v float64) float64 { return v }, 1.5},
		{"sharpened, coarse", func(v float64) float64 { return v }, 4},
	} {
		c := &tally{}
		rnd := chance.New(99)
		for seed := range uint64(16) {
			s, near, _, r := trial(rnd, ballThick, 24, seed%2 == 0)
			s.fine = 3
			g := s.draw(seed)
			p := g.bright()
			if tt.blur > 0 {
				for i, v := range p.smooth(tt.blur).v {
					p.v[i] += 0.8 * (p.v[i] - v)
				}
			}
			for i, v := range p.v {
				g.Pix[i] = uint16(math.Max(0, math.Min(4095, tt.change(float64(v)))))
			}
			got, err := Ball(g, near, RoundOptions{Most: 260})
			if err != nil {
				c.refused++
				continue
			}
			c.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
		}
		c.log(t, tt.name)
		if c.within < c.n-1 || c.n+c.refused != 16 {
			t.Errorf("%s: %d of %d within two uncertainties", tt.name, c.within, c.n)
		}
	}
}
