package find

import (
	"encoding/json"
	"errors"
	"testing"

	"isthmus/core/units"
)

// look tries everything on a picture and checks that answers are whole: no
// panic, every number a number, every refusal with its words.
func look(t *testing.T, g Grey, a, b pt, tall float64) {
	t.Helper()
	check := func(what string, v any, err error) {
		var e *Refusal
		if err != nil {
			if !errors.As(err, &e) || refusals[e.Why] == "" {
				t.Fatalf("%s: %v", what, err)
			}
			return
		}
		if _, err := json.Marshal(v); err != nil { // refuses what is no number
			t.Fatalf("%s: %+v: %v", what, v, err)
		}
	}
	o := RoundOptions{Tall: tall}
	ball, err := Ball(g, a, o)
	check("ball", ball, err)
	if err == nil && (!(ball.ShortU > 0) || !(ball.Slip > 0) || !(ball.Short >= 40*units.Px(min(1, tall)) || tall == 0) || len(ball.Rim) > 64) {
		t.Fatalf("ball: %+v", ball)
	}
	disc, err := Disc(g, b, o)
	check("disc", disc, err)
	balls, err := Balls(g, o)
	check("balls", balls, err)
	s, err := Ruler(g, a, b, tall)
	check("ruler", s, err)
	if err == nil && (!(s.Slip > 0) || s.Spaces < 4 || !(s.Spacing > 3)) {
		t.Fatalf("ruler: %+v", s)
	}
	f, err := Frames(g)
	check("frames", f, err)
	e, err := SnapEdge(g, a, b, 0)
	check("edge", e, err)
	e, err = SnapCorner(g, b)
	check("corner", e, err)
}

// FuzzFind lays bytes over a small picture, as they are or as shapes, and taps
// anywhere.
func FuzzFind(f *testing.F) {
	f.Add([]byte{}, uint16(0), uint16(0), 0.0, 0.0, 0.0, 0.0, 0.0, false)
	f.Add([]byte{1, 2, 3}, uint16(60), uint16(50), 30.0, 20.0, 1e308, -1e308, 1.0, true)
	f.Add([]byte("a picture of stripes "), uint16(150), uint16(120), 3.0, 60.0, 140.0, 60.0, 0.5, false)
	f.Add([]byte{0, 0, 0, 0, 0, 0, 255, 0}, uint16(240), uint16(30), 6.0, 15.0, 230.0, 15.0, 2.0, false)
	f.Add([]byte{255}, uint16(1), uint16(200), 0.0, 100.0, 0.0, 1.0, 0.0, false)
	f.Fuzz(func(t *testing.T, b []byte, w, h uint16, ax, ay, bx, by, tall float64, inverted bool) {
		g := Grey{Width: int(w % 300), Height: int(h % 300), Inverted: inverted}
		g.Pix = make([]uint16, g.Width*g.Height)
		for i := range g.Pix {
			if len(b) > 0 {
				g.Pix[i] = uint16(b[i%len(b)]) << (uint(b[i/7%len(b)]) % 9)
			}
		}
		look(t, g, px(ax, ay), px(bx, by), tall)
		for y := range g.Height { // a disc on top, cut by whatever is there
			for x := range g.Width {
				if dx, dy := x-g.Width/2, y-g.Height/2; dx*dx+dy*dy < 900 {
					g.Pix[y*g.Width+x] |= 0x8000
				}
			}
		}
		look(t, g, px(float64(g.Width/2), float64(g.Height/2)), px(bx, by), tall)
	})
}
