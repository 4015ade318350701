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
					got, err := kind.find(s.draw(seed), near, RoundOptions{Most: 260})
					if err != nil {
						t.Logf("r %.1f blur %.1f noise %.3f: %v", r, s.blur, s.noise, err)
						c.refused++
						continue
					}
					c.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
					all.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
				}
				c.must(t, fmt.Sprintf("%s k %g log %v", kind.what, k, log), 0.3, 0.7, 0.7, 1)
			}
		}
		all.must(t, kind.what, 0.15, 0.4, 0.92, 3)
	}
}

const trials = 12
