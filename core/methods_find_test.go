package core_test

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	seek "isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

func init() {
	for k, v := range findExamples {
		examples[k] = v
	}
}

// drawn is a picture by formula: how opaque each place is, four samples along
// a pixel, as exposure turned over: dense is bright. The far corners carry a
// little grain, so that no noise is nought.
func drawn(w, h int, thick func(x, y float64) float64) seek.Grey {
	g := seek.Grey{Width: w, Height: h, Pix: make([]uint16, w*h)}
	grain := uint32(1)
	for y := range h {
		for x := range w {
			sum := 0.0
			for i := range 16 {
				sum += 1 - math.Exp(-thick(float64(x)-0.375+0.25*float64(i%4), float64(y)-0.375+0.25*float64(i/4)))
			}
			grain = grain*1664525 + 1013904223
			g.Pix[y*w+x] = uint16(3000 + 50000*sum/16 + float64(grain>>24))
		}
	}
	return g
}

// near says "within limit unit" when a value is, and its error when not.
func near(got, want, limit float64, digits int, unit string) string {
	if d := math.Abs(got - want); !(d <= limit) {
		return f(3, d) + unit + " off"
	}
	return "within " + f(digits, limit) + unit
}

// pipe is the depth of a pipe at a distance from its middle.
func pipe(d, outer, inner float64) float64 {
	half := func(r float64) float64 { return math.Sqrt(math.Max(0, r*r-d*d)) }
	return 2 * (half(outer) - half(inner))
}

var findExamples = map[string]func(*testing.T) []string{
	// By hand: depth 2·√(r² − d²).
	"find-ball": func(t *testing.T) []string {
		g := drawn(300, 300, func(x, y float64) float64 { return pipe(math.Hypot(x-150.3, y-149.6), 60, 0) / 40 })
		r, err := seek.Ball(g, px(160, 140), seek.RoundOptions{Raw: true})
		none(t, err)
		return []string{f(0, r.Long) + " px across, its middle " + near(float64(geom.Dist(r.Centre, px(150.3, 149.6))), 0, 0.5, 1, " px")}
	},
	// By hand: lines of 3 px every 12.5 px, taps on the third and the nineteenth.
	"find-ruler": func(t *testing.T) []string {
		g := drawn(420, 120, func(x, y float64) float64 {
			if d := math.Mod(x-20+12.5*4+1.5, 12.5); d < 3 && y > 30 && y < 90 {
				return 1
			}
			return 0.1
		})
		s, err := seek.Ruler(g, px(57.5, 60), px(257.5, 60), 1)
		none(t, err)
		return []string{f(0, float64(s.Spaces)) + " spaces", f(2, s.Spacing) + " px"}
	},
	// By hand: the sheet that was drawn.
	"find-corners": func(t *testing.T) []string {
		g := drawn(400, 500, func(x, y float64) float64 {
			if x > 60 && x < 340 && y > 80 && y < 420 {
				return 2
			}
			return 0.1
		})
		frame, err := seek.Corners(g)
		none(t, err)
		c, err := seek.SnapCorner(g, px(66, 75))
		none(t, err)
		e, err := seek.SnapEdge(g, px(64, 250), geom.Pt[units.Px]{}, 0)
		none(t, err)
		if d := geom.Dist(frame.Corners[0].At, c.At); d > 1 {
			t.Errorf("the frame's corner lies %v px from the one that was snapped to", d)
		}
		return []string{"(" + f(0, c.At.X) + ", " + f(0, c.At.Y) + ")", f(0, e.At.X) + " px"}
	},
	// By hand: a pipe whose inner radius is 22 + ((y − 600)/120)².
	"find-shaft": func(t *testing.T) []string {
		g := drawn(320, 1200, func(x, y float64) float64 {
			return pipe(x-160, 75, 22+(y-600)*(y-600)/14400) / 60
		})
		s, err := seek.Trace(g, px(160, 60), px(160, 1140), nil)
		none(t, err)
		n, err := s.Isthmus()
		none(t, err)
		level := "the level within its doubt"
		if d := math.Abs(float64(n.Edge[seek.InnerLeft].Y) - 600); d > 2*float64(n.LevelU) {
			level = f(1, d) + " px off"
		}
		return []string{f(0, n.Inner) + " px, " + level}
	},
	// By hand: 3000 − √(3000² − 500²) = 41.96.
	"find-bow": func(t *testing.T) []string {
		var s seek.Shaft
		for i := range 501 {
			y := 2 * float64(i)
			x := math.Sqrt(3000*3000-(y-500)*(y-500)) - 2900
			l := seek.Level{Along: units.Px(y), Centre: px(x, y), Sure: 1}
			for _, d := range []float64{-100, -30, 30, 100} {
				l.Edge, l.Slip = append(l.Edge, px(x+d, y)), append(l.Slip, 0.5)
			}
			s.Levels = append(s.Levels, l)
		}
		a, err := s.Bow()
		none(t, err)
		return []string{f(2, a.Sagitta) + " px", f(0, *a.R) + " px"}
	},
	// The phantom's own truth.
	"find-head": func(t *testing.T) []string {
		_, truth, head := drawnHip(t)
		return []string{f(1, truth.Head.Across) + " mm across is found " + near(2*float64(head.R)*float64(truth.Head.Col*truth.Head.Across/truth.Head.Long), float64(truth.Head.Across), 0.5, 1, " mm")}
	},
	// The phantom's own truth.
	"find-neck": func(t *testing.T) []string {
		g, truth, head := drawnHip(t)
		a, b := truth.At[anatomy.ShaftUpper].Film, truth.At[anatomy.ShaftLower].Film
		n, err := seek.Neck(g, head, a, a.Plus(b.Minus(a).Times(0.3))) // the film ends above the lower one
		none(t, err)
		return []string{near(n.AngleDeg, float64(truth.NSASeen), 3, 0, "°")}
	},
}

// drawnHip is a film of a drawn hip, with what is true of it and its head.
func drawnHip(t *testing.T) (seek.Grey, phantom.Truth, seek.HipHead) {
	t.Helper()
	s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper)
	film, err := phantom.Draw(phantom.Usual(), s)
	none(t, err)
	g := seek.Grey{Width: film.Width, Height: film.Height, Pix: film.Pix, Inverted: s.Dark}
	h, err := seek.Head(g, film.Truth.Head.Centre)
	none(t, err)
	return g, film.Truth, h
}
