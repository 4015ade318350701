package find

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/units"
)

func half(x, y, x0, y0, deg float64) float64 {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if (x-x0)*cos+(y-y0)*sin < 0 {
		return 1
	}
	return 0
}

// A tap near one straight edge comes to lie on it: error across it, and how
// often it lies within two slips.
func TestSnapEdge(t *testing.T) {
	c := &tally{}
	rnd := chance.New(11)
	for seed := range uint64(300) {
		deg, x0, y0 := rnd.Between(0, 360), rnd.Between(38, 42), rnd.Between(38, 42)
		s := scene{w: 80, h: 80, blur: rnd.Between(0.6, 2), noise: rnd.Between(0.002, 0.06), fog: 0.1, top: 4095,
			thick: func(x, y float64) float64 { return 0.3 + half(x, y, x0, y0, deg) }}
		sin, cos := math.Sincos(deg * math.Pi / 180)
		off := rnd.Between(-7, 7)
		e, err := SnapEdge(s.draw(seed), px(x0+off*cos, y0+off*sin), pt{}, 0)
		if err != nil {
			c.refused++
			continue
		}
		c.add((float64(e.At.X)-x0)*cos+(float64(e.At.Y)-y0)*sin, 0, float64(e.Slip))
	}
	c.must(t, "edge", 0.05, 0.2, 0.92, 35)
}

// A photo of a film: corners, slip, and how often they lie within two slips.
func TestFrameCorners(t *testing.T) {
	c := &tally{}
	rnd := chance.New(12)
	for seed := range uint64(20) {
		var q geom.Quad[units.Px]
		for i, p := range [][2]float64{{80, 70}, {320, 80}, {330, 400}, {70, 410}} {
			q[i] = px(p[0]+rnd.Between(-25, 25), p[1]+rnd.Between(-25, 25))
		}
		s := scene{fine: 2, w: 400, h: 480, blur: rnd.Between(0.6, 1.5), noise: rnd.Between(0.002, 0.03), top: 255,
			thick: func(x, y float64) float64 {
				for i := range q {
					if geom.Cross(q[(i+1)%4].Minus(q[i]), px(x, y).Minus(q[i])) < 0 {
						return 0.2
					}
				}
				return 1.2
			}}
		f, err := Corners(s.draw(seed))
		if err != nil {
			c.refused++
			continue
		}
		for i, k := range f.Corners {
			c.add(float64(k.At.X), float64(q[i].X), float64(k.Slip))
			c.add(float64(k.At.Y), float64(q[i].Y), float64(k.Slip))
		}
	}
	c.must(t, "corners", 0.05, 0.25, 0.92, 1)
}

// Pictures without the thing are refused, each with its reason, and nothing
// is proposed with confidence.
func TestRefuses(t *testing.T) {
	grainy := scene{fine: 2, w: 300, h: 300, blur: 0.8, noise: 0.03, top: 4095, thick: func(x, y float64) float64 { return 1 }}
	shape := func(thick func(x, y float64) float64) Grey {
		s := grainy
		s.noise, s.thick = 0.004, thick
		return s.draw(3)
	}
	mid := px(150, 150)
	one := func(cx, cy, a, b, k float64) func(x, y float64) float64 {
		return func(x, y float64) float64 { return 0.3 + ballThick(x, y, cx, cy, a, b, k) }
	}
	ball := func(g Grey, p pt) error { _, err := Ball(g, p, RoundOptions{}); return err }
	disc := func(g Grey, p pt) error { _, err := Disc(g, p, RoundOptions{}); return err }
	ruler := func(g Grey, a, b pt) error { _, err := Ruler(g, a, b, 0); return err }
	edge := func(g Grey, p pt) error { _, err := SnapEdge(g, p, pt{}, 0); return err }
	corner := func(g Grey, p pt) error { _, err := SnapCorner(g, p); return err }
	frame := func(g Grey) error { _, err := Corners(g); return err }
	flat := Grey{Width: 300, Height: 300, Pix: make([]uint16, 90000)}
	nan := units.Px(math.NaN())
	for _, tt := range []struct {
		name string
		got  error
		want string
	}{
		{"no picture", ball(Grey{}, mid), "picture"},
		{"picture that is not whole", ball(Grey{Width: 9, Height: 9, Pix: make([]uint16, 80)}, mid), "picture"},
		{"sizes that overflow", ball(Grey{Width: 1 << 40, Height: 1 << 40}, mid), "picture"},
		{"negative size", ruler(Grey{Width: -1, Height: -1, Pix: make([]uint16, 1)}, mid, mid), "picture"},
		{"tap off the film", ball(flat, px(-3, 4)), "outside"},
		{"tap that is no number", ball(flat, pt{X: nan, Y: 3}), "outside"},
		{"flat film, ball", ball(flat, mid), "none"},
		{"flat film, disc", disc(flat, mid), "none"},
		{"flat film, edge", edge(flat, mid), "no-edge"},
		{"flat film, corner", corner(flat, mid), "no-corner"},
		{"flat film, frame", frame(flat), "no-frame"},
		{"flat film, ruler", ruler(flat, px(20, 100), px(280, 100)), "not-periodic"},
		{"grain only, ball", ball(grainy.draw(1), mid), "none"},
		{"grain only, edge", edge(grainy.draw(2), mid), "no-edge"},
		{"grain only, ruler", ruler(grainy.draw(4), px(20, 100), px(280, 110)), "not-periodic"},
		{"taps too close", ruler(flat, px(20, 100), px(80, 100)), "short"},
		{"ball of 30 px", ball(shape(one(150, 150, 15, 15, 20)), mid), "small"},
		{"ball cut by the film", ball(shape(one(30, 150, 42, 42, 20)), px(40, 150)), "cut"},
		{"egg 1.25 to 1", ball(shape(one(150, 150, 50, 40, 20)), mid), "oval"},
		{"disc 2.5 to 1", disc(shape(func(x, y float64) float64 { return discThick(x, y, 150, 150, 75, 30, 3) }), mid), "none oval"},
		{"square", ball(shape(func(x, y float64) float64 {
			if math.Max(math.Abs(x-150), math.Abs(y-150)) < 50 {
				return 3
			}
			return 0.3
		}), mid), "uneven none broken"},
		{"two thirds of a disc", disc(shape(func(x, y float64) float64 {
			if y > 170 {
				return 3.3
			}
			return 0.3 + discThick(x, y, 150, 150, 50, 50, 3)
		}), mid), "none broken uneven"},
		{"two balls, tap between", ball(shape(func(x, y float64) float64 {
			return 0.3 + ballThick(x, y, 105, 150, 38, 38, 20) + ballThick(x, y, 195, 150, 38, 38, 20)
		}), mid), "two"},
		{"one straight edge, corner", corner(shape(func(x, y float64) float64 { return 0.2 + half(x, y, 150, 150, 20) }), mid), "no-corner"},
		{"one straight edge, ball", ball(shape(func(x, y float64) float64 { return 0.2 + half(x, y, 150, 150, 20) }), mid), "none"},
		{"one straight edge, frame", frame(shape(func(x, y float64) float64 { return 0.2 + half(x, y, 150, 150, 20) })), "no-frame"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var e *Refusal
			if !errors.As(tt.got, &e) || !oneOf(tt.want, e.Why) {
				t.Fatalf("%v, want %s", tt.got, tt.want)
			}
			s := e.Error()
			if len(s) > 260 || !strings.HasPrefix(s, "find: ") || !strings.Contains(s[6:], ": ") || strings.ContainsAny(s, "{}") || e.Code() != "find-"+e.Why {
				t.Errorf("%q, %q", s, e.Code())
			}
			if _, ok := refusals[e.Why]; !ok {
				t.Errorf("%s has no sentence", e.Why)
			}
		})
	}
}

func oneOf(list, s string) bool { return slices.Contains(strings.Fields(list), s) }
