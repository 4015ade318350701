package main

import (
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/phantom"
	"isthmus/core/radiograph"
)

// The lossless film that is timed holds the samples of the plain one. Pixels
// with every category of difference go through the packing, 32,768 too.
func TestPackedIsTheSameFilm(t *testing.T) {
	s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper)
	s.Width, s.Height, s.Bits = 60, 40, 16
	f, err := phantom.Draw(phantom.Usual(), s)
	if err != nil {
		t.Fatal(err)
	}
	v := uint16(0)
	for i := range 16 {
		v += 1 << i * uint16(1-2*(i%2))
		f.Pix[100+i] = v
	}
	f.Pix[120], f.Pix[121] = 0, 32768
	im, err := radiograph.Open(packed(f.DICOM(phantom.Tags{}), f.Pix, f.Width, f.Height), radiograph.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(im.Pix, f.Pix) || len(im.Header.Warnings) > 0 {
		t.Errorf("other samples, or warnings: %v", im.Header.Warnings)
	}
}

// Taps and truth lie on the film, and the truth of a shaft is in order.
func TestShots(t *testing.T) {
	for _, kind := range []string{"hip", "shaft"} {
		s := setup(kind, 1)
		s.Quanta, s.Scatter, s.Row, s.Col = 0, 0, s.Row*5, s.Col*5
		s.Width, s.Height = s.Width/5, s.Height/5
		f, err := phantom.Draw(phantom.Random(1), s)
		if err != nil {
			t.Fatal(err)
		}
		got := describe(f, kind)
		taps := [][2]float64{got.Upper, got.Lower}
		if kind == "hip" {
			taps = append(taps, got.Ball, got.Head, got.Ruler[0], got.Ruler[1])
		}
		for _, p := range taps {
			if p[0] < 0 || p[1] < 0 || p[0] > float64(f.Width) || p[1] > float64(f.Height) {
				t.Errorf("%s: tap %v is not on the film of %d × %d", kind, p, f.Width, f.Height)
			}
		}
		for i := range got.Walls[0] {
			if a, b, c, d := got.Walls[0][i][0], got.Walls[1][i][0], got.Walls[2][i][0], got.Walls[3][i][0]; !(a < b && b < c && c < d) {
				t.Fatalf("%s: walls at %v %v %v %v", kind, a, b, c, d)
			}
		}
	}
}

func TestArguments(t *testing.T) {
	for _, args := range [][]string{nil, {"make"}, {"time", "x"}, {"time", "x", "0"}, {"time", t.TempDir(), "1"}} {
		if run(args) == nil {
			t.Errorf("%v was taken", args)
		}
	}
}
