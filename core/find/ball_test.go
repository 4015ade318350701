package find

import (
	"math"
	"testing"

	"isthmus/core/chance"
)

type tally struct {
	n, refused, within int
	sum, sq, worst     float64
}

func (c *tally) add(got, want, u float64) {
	c.n++
	e := got - want
	c.sum += e
	c.sq += e * e
	c.worst = math.Max(c.worst, math.Abs(e))
	if math.Abs(e) <= 2*u {
		c.within++
	}
}

func (c *tally) log(t *testing.T, name string) {
	n := float64(c.n)
	t.Logf("%-34s n %d refused %d bias %+.3f rms %.3f worst %.3f within %.1f %%", name, c.n, c.refused, c.sum/n, math.Sqrt(c.sq/n), c.worst, 100*float64(c.within)/n)
}

// The size of a ball and of a disc, over random places, sizes, blurs, noise
// and opacities.
func TestBallSize(t *testing.T) {
	all := &tally{}
	for _, log := range []bool{false, true} {
		for _, k := range []float64{3, 10, 40} {
			c := &tally{}
			rnd := chance.New(uint64(k))
			for seed := range uint64(25) {
				r := 22 + 60*rnd.Uniform()
				blur, noise := 0.6+1.2*rnd.Uniform(), 0.002+0.02*rnd.Uniform()
				w := int(2*r) + 80
				cx, cy := float64(w)/2+5*rnd.Uniform(), float64(w)/2+5*rnd.Uniform()
				s := scene{w: w, h: w, blur: blur, noise: noise, log: log, fog: rnd.Between(0.02, 0.15), top: 4095, thick: func(x, y float64) float64 {
					return 0.5 + 0.4*x/float64(w) + ballThick(x, y, cx, cy, r, r, k)
				}}
				g := s.draw(seed)
				got, err := Ball(g, px(cx+0.5*r*rnd.Uniform(), cy-0.5*r*rnd.Uniform()), RoundOptions{Most: 260})
				if err != nil {
					t.Logf("r %.1f blur %.1f noise %.3f: %v", r, blur, noise, err)
					c.refused++
					continue
				}
				for _, q := range []*tally{c, all} {
					q.add(float64(got.Short+got.Long)/2, 2*r, float64(got.ShortU))
				}
			}
			c.log(t, map[bool]string{false: "ball exposure k ", true: "ball log k "}[log]+string(rune('0'+int(k)/10)))
		}
	}
	all.log(t, "all")
}
