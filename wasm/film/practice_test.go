package main

import (
	"testing"

	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/radiograph"
	"isthmus/core/units"
)

// The ball of every practice film is found from one tap beside its middle, as
// large as it truly is within the stated doubt, on the file that is drawn.
func TestPracticeBallsAreFound(t *testing.T) {
	for n := range phantom.Practices() {
		c, _ := phantom.Practice(n)
		for i, s := range c.Setups {
			file, err := drawn(c.Key, i, func(float64) {})
			if err != nil {
				t.Fatal(err)
			}
			im, err := radiograph.Open(file, radiograph.Options{})
			if err != nil {
				t.Fatal(err)
			}
			k, err := phantom.Know(c.Femur, s)
			if err != nil {
				t.Fatal(err)
			}
			b := k.Balls[0]
			tap := b.Centre.Plus(geom.Pt[units.Px]{X: 9, Y: -12})
			got, err := find.Ball(find.Grey{Width: im.Width, Height: im.Height, Pix: im.Pix, Inverted: im.Inverted()}, tap, find.RoundOptions{Raw: im.Header.ForProcessing})
			if err != nil {
				t.Errorf("%s, film %d: %v", c.Key, i, err)
				continue
			}
			want := units.Px(b.Short / b.Row)
			if off := got.Short - want; !(off < 2*got.ShortU && -off < 2*got.ShortU && got.ShortU < 2) {
				t.Errorf("%s, film %d: %.2f ± %.2f px, true %.2f", c.Key, i, got.Short, 2*got.ShortU, want)
			}
		}
	}
}
