package find

import (
	"errors"
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

// combScene draws graduations as thick(k) says, gap px apart from (40, 100),
// each 30 px high and leaning by slant px a px.
func combScene(gap, slant float64, n int, thick func(k int, up float64) float64) Grey {
	s := scene{fine: 3, w: int(gap*float64(n)) + 90, h: 200, blur: 0.8, noise: 0.004, top: 4095}
	s.thick = func(x, y float64) float64 {
		u := (x - 40 - slant*(y-100)) / gap
		k := math.Round(u)
		if k < 0 || int(k) > n || math.Abs(u-k) > 0.17 || math.Abs(y-100) > 15 {
			return 0.5
		}
		return 0.5 + thick(int(k), 100-y)
	}
	return s.draw(1)
}

func TestRulerKinds(t *testing.T) {
	even := func(k int, up float64) float64 { return 1 }
	for _, tt := range []struct {
		name          string
		g             Grey
		from, to      pt
		spaces, every int
		spacing       float64 // by hand: gap, times the cosine of the slant
		refused       string
	}{
		{"even", combScene(12, 0, 30, even), px(40, 100), px(400, 100), 30, 0, 12, ""},
		{"from right to left", combScene(12, 0, 30, even), px(400, 100), px(40, 100), 30, 0, 12, ""},
		{"darker than the ruler", negative(combScene(12, 0, 30, even), 4095), px(40, 100), px(400, 100), 30, 0, 12, ""},
		{"leaning by 1 in 10", combScene(12, 0.1, 30, even), px(40, 100), px(400, 100), 30, 0, 12 / math.Sqrt(1.01), ""},
		{"every fifth stronger", combScene(12, 0, 30, func(k int, up float64) float64 {
			if k%5 == 0 {
				return 2
			}
			return 0.8
		}), px(64, 100), px(400, 100), 28, 5, 12, ""},
		{"every tenth stronger, the others faint", combScene(10, 0, 40, func(k int, up float64) float64 {
			if k%10 == 0 {
				return 2
			}
			return 0.4
		}), px(40, 100), px(440, 100), 40, 10, 10, ""},
		{"only every fifth reaches up to the line", combScene(12, 0, 40, func(k int, up float64) float64 {
			if k%5 == 0 || up < 2 {
				return 1
			}
			return 0
		}), px(40, 92), px(520, 92), 8, 0, 60, ""},
		{"a quarter of the fine ones worn off", combScene(12, 0, 32, func(k int, up float64) float64 {
			if k%8 == 5 || k%8 == 7 {
				return 0
			}
			return 1
		}), px(40, 100), px(424, 100), 0, 0, 0, "ambiguous not-periodic"},
		{"spaces that grow", func() Grey {
			s := scene{fine: 3, w: 500, h: 120, blur: 0.8, noise: 0.004, top: 4095, thick: func(x, y float64) float64 {
				k := math.Sqrt(math.Max(0, x-20)/500*3000 + 100)
				if math.Abs(k-math.Round(k)) < 0.2 {
					return 1.5
				}
				return 0.5
			}}
			return s.draw(2)
		}(), px(100, 60), px(460, 60), 0, 0, 0, "grows not-periodic"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Ruler(tt.g, tt.from, tt.to, 0)
			if tt.refused != "" {
				var e *Refusal
				if !errors.As(err, &e) || !oneOf(tt.refused, e.Why) {
					t.Fatalf("%+v %v, want %s", got, err, tt.refused)
				}
				return
			}
			if err != nil || got.Spaces != tt.spaces || got.Every != tt.every || math.Abs(float64(got.Spacing)-tt.spacing) > 3*float64(got.SpacingU)+0.002 {
				t.Fatalf("%d spaces of %.4f ± %.4f, every %d, %v; want %d, %.4f, %d", got.Spaces, got.Spacing, got.SpacingU, got.Every, err, tt.spaces, tt.spacing, tt.every)
			}
			if tt.every > 0 && math.Abs(math.Remainder(float64(got.At[got.Long].X)-40, float64(tt.every)*tt.spacing)) > 1 {
				t.Errorf("the first long one at %v", got.At[got.Long])
			}
		})
	}
}
