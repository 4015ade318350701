package find

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// Whole films of a femur, of which every measure is known: the ball is found
// without a tap and with one, the ruler between two taps, and nothing else is
// taken for a ball. Places and sizes are the phantom's own truth.
func TestPhantoms(t *testing.T) {
	size, ruler := &tally{}, &tally{}
	for seed := range uint64(2) {
		rnd := chance.New(seed)
		s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper)
		s.Seed = seed
		s.Balls[0].Down -= units.MM(rnd.Between(0, 60))
		s.Balls[0].Aside += units.MM(rnd.Between(-4, 12))
		f, err := phantom.Draw(phantom.Random(seed), s)
		if err != nil {
			t.Fatal(err)
		}
		g := Grey{Width: f.Width, Height: f.Height, Pix: f.Pix, Inverted: s.Dark}
		want := f.Truth.Balls[0]
		balls, err := Balls(g, RoundOptions{Raw: true})
		if err != nil || len(balls) > 1 {
			t.Fatalf("%d balls, %v", len(balls), err)
		}
		if len(balls) == 0 {
			_, err := Ball(g, want.Centre, RoundOptions{Raw: true})
			t.Logf("seed %d: %v", seed, err)
			size.refused++
		}
		for _, b := range balls {
			size.add(float64(b.Short), float64(want.Short/want.Col), float64(b.ShortU))
			if d := geom.Dist(b.Centre, want.Centre); d > 0.5 {
				t.Errorf("seed %d: centre %v, want %v", seed, b.Centre, want.Centre)
			}
		}
		m := f.Truth.Marks
		r, err := Ruler(g, m[2].Plus(px(rnd.Normal(), 2*rnd.Normal())), m[18].Plus(px(rnd.Normal(), 2*rnd.Normal())), 0)
		if err != nil || r.Spaces != 16 {
			t.Errorf("seed %d: %d spaces, %v, want 16", seed, r.Spaces, err)
			continue
		}
		ruler.add(float64(r.Spacing)*16, float64(geom.Dist(m[2], m[18])), float64(r.SpacingU)*16)
		none := s
		none.Balls = nil
		if f, err = phantom.Draw(phantom.Random(seed), none); err != nil {
			t.Fatal(err)
		}
		g.Pix = f.Pix
		for _, tap := range []pt{f.Truth.Head.Centre, f.Truth.Head.Centre.Plus(px(30, 30)), want.Centre} {
			if b, err := Ball(g, tap, RoundOptions{}); err == nil {
				t.Errorf("seed %d: a ball of %.0f px at %v on a film without one", seed, b.Short, b.Centre)
			}
		}
		if b, err := Balls(g, RoundOptions{}); err != nil || len(b) != 0 {
			t.Errorf("seed %d: %d balls on a film without one, %v", seed, len(b), err)
		}
	}
	size.log(t, "ball of phantoms")
	ruler.log(t, "ruler of phantoms")
	if size.refused > 0 || size.within < size.n || math.Abs(size.sum/float64(size.n)) > 0.3 {
		t.Errorf("ball: %d refused, %d of %d within, bias %.2f px, want at most 0.3", size.refused, size.within, size.n, size.sum/float64(size.n))
	}
	if ruler.worst > 0.3 {
		t.Errorf("ruler: %.2f px off over 16 spaces", ruler.worst)
	}
}
