package find

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/chance"
)

// rulerScene draws graduations of a metal ruler: spacing gap px, the first at
// (x0, y0), running at an angle of tilt degrees, every fifth one longer.
func rulerScene(gap, tilt, blur, noise float64, n, every int) (s scene, first, last pt) {
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	x0, y0 := 40.3, 60.7
	l := gap * float64(n)
	s = scene{fine: 3, w: int(l*cos) + 90, h: int(l*math.Abs(sin)) + 120, blur: blur, noise: noise, fog: 0.1, log: true, top: 4095}
	s.thick = func(x, y float64) float64 {
		u, v := (x-x0)*cos+(y-y0)*sin, -(x-x0)*sin+(y-y0)*cos
		k := math.Round(u / gap)
		high := 12.0
		if every > 0 && int(k)%every == 0 {
			high = 20
		}
		t := 0.5 + 0.3*x/float64(s.w)
		if k >= -3 && k <= float64(n)+3 && math.Abs(u-k*gap) < 0.17*gap && v > -high && v < 5 {
			t += 1
		}
		return t
	}
	return s, px(x0, y0), px(x0+l*cos, y0+l*sin)
}

// The spacing of graduations: size, slant of the tapped line, blur and noise.
func TestRulerSpacing(t *testing.T) {
	c, whole := &tally{}, 0
	rnd := chance.New(5)
	for seed := range uint64(40) {
		gap := rnd.Between(6, 30)
		n := 15 + int(20*rnd.Uniform())
		s, a, b := rulerScene(gap, rnd.Between(-4, 25), rnd.Between(0.6, 1.2), rnd.Between(0.002, 0.02), n, 5)
		a, b = a.Plus(px(rnd.Normal(), rnd.Normal())), b.Plus(px(rnd.Normal(), rnd.Normal()))
		got, err := Ruler(s.draw(seed), a, b, 0)
		if err != nil {
			t.Logf("gap %.1f n %d: %v", gap, n, err)
			c.refused++
			continue
		}
		if got.Spaces == n {
			whole++
		}
		c.add(float64(got.Spacing)*float64(n), gap*float64(n), float64(got.SpacingU)*float64(n))
	}
	c.must(t, fmt.Sprintf("ruler, whole length, right count %d", whole), 0.05, 0.1, 0.9, 2)
	if whole < c.n-2 { // taps slip by about 1 px each way; the finest spaces are 6 px
		t.Errorf("the spaces were counted right %d times of %d", whole, c.n)
	}
}
