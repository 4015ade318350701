package find

import (
	"math"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// Grain tells a film of exposure from one of logarithms, whichever way round
// it is stored: quanta are fewer behind bone, and the logarithm stretches what
// is dense. Source: the phantom's own detector.
func TestExposed(t *testing.T) {
	for _, linear := range []bool{false, true} {
		for _, dark := range []bool{false, true} {
			s := hipFilm(3)
			s.Row, s.Col, s.Width, s.Height = 0.3, 0.3, 600, 650
			s.Linear, s.Dark = linear, dark
			f, err := phantom.Draw(femur(3), s)
			if err != nil {
				t.Fatal(err)
			}
			if got := greyOf(f).exposed(f.Truth.Head.Centre, 100); got != linear {
				t.Errorf("linear %v, dark %v: exposed %v", linear, dark, got)
			}
		}
	}
	if (Grey{Width: 300, Height: 300, Pix: make([]uint16, 90000)}).exposed(px(150, 150), 200) {
		t.Error("a flat film stores exposure")
	}
}

// A ball 17 px from the border of the field, which on a film of exposure is
// twenty times as steep as its rim: the rim is found, not the border.
func TestBallAtBorder(t *testing.T) {
	for _, linear := range []bool{false, true} {
		s := hipFilm(1002)
		s.Linear = linear
		f, err := phantom.Draw(femur(1002), s)
		if err != nil {
			t.Fatal(err)
		}
		b := f.Truth.Balls[0]
		got, err := Ball(greyOf(f), b.Centre.Plus(px(12, -9)), RoundOptions{Raw: true})
		if want := float64(b.Short / b.Col); err != nil || !(math.Abs(float64(got.Short)-want) < 0.6) || geom.Dist(got.Centre, b.Centre) > 0.3 {
			t.Errorf("linear %v: %.2f at %v, %v, want %.2f at %v", linear, got.Short, got.Centre, err, want, b.Centre)
		}
	}
}

// The bow of places on a circle of 5000 px, to a pixel a thousand times; with a
// step of 15 px between two pieces, a tenth of the width of the bone, it is
// refused. Sizes by hand.
func TestBowOfPieces(t *testing.T) {
	for _, step := range []float64{0, 15} {
		var s Shaft
		for i := range 120 {
			y := 10*float64(i) - 595
			x := 5000 - math.Sqrt(5000*5000-y*y)
			if i >= 60 {
				x += step
			}
			l := Level{Along: units.Px(10 * i), Centre: px(x, y)}
			for _, d := range []float64{-75, -35, 35, 75} {
				l.Edge, l.Slip = append(l.Edge, px(x+d, y)), append(l.Slip, 0.1)
			}
			s.Levels = append(s.Levels, l)
		}
		b, err := s.Bow()
		if step > 0 {
			if why(err) != "hidden" {
				t.Errorf("a bow through a step: %+v %v", b, err)
			}
		} else if err != nil || b.R == nil || !(math.Abs(float64(*b.R)-5000) < 5) {
			t.Errorf("%+v %v, want 5000", b, err)
		}
	}
}
