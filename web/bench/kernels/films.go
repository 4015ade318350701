package main

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// films is how many phantoms of each kind are searched.
const films = 10

// A shot is one phantom as everybody is given it: the samples lie beside it in
// name.pix (16 bits, low byte first) and name.grey (8 bits, bone bright). Taps
// miss what they mean by a few pixels, as fingers do. Places are pixels, (0, 0)
// the centre of the first.
type shot struct {
	Name          string
	Width, Height int
	Dark          bool    // high samples are dark
	MM            float64 // of a pixel in the plane of the bone
	Ball          [2]float64
	BallX, BallY  float64 // its true centre,
	BallAcross    float64 // and its true short axis, px
	Ruler         [2][2]float64
	Head          [2]float64
	Upper, Lower  [2]float64      // two taps in the shaft
	Walls         [4][][2]float64 // the true silhouettes: outer left, inner left, inner right, outer right
	Kind          string          // hip or shaft
}

func makeFilms(folder string) error {
	var all []shot
	for seed := uint64(1); seed <= films; seed++ {
		for _, kind := range []string{"hip", "shaft"} {
			s := setup(kind, seed)
			f, err := phantom.Draw(phantom.Random(seed), s)
			if err != nil {
				return err
			}
			shot := describe(f, kind)
			shot.Name = fmt.Sprintf("%s%02d", kind, seed)
			if err := writeSamples(folder, shot.Name, f); err != nil {
				return err
			}
			all = append(all, shot)
		}
	}
	b, err := json.Marshal(all)
	if err != nil {
		return err
	}
	if err := large(folder); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "cases.json"), b, 0o644)
}

// setup is a film of 0.15 mm pixels with the noise, blur, scatter and turn that
// the seed gives: a hip with a ball and a ruler, or a whole shaft.
func setup(kind string, seed uint64) phantom.Setup {
	if kind == "shaft" {
		s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Whole).Vary(seed)
		s.Width, s.Height, s.Aside = 1000, 2400, 0
		s.Balls, s.Ruler, s.Letter = nil, phantom.Ruler{}, false
		return s
	}
	s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper).Vary(seed)
	s.Width, s.Height, s.Aside, s.Down, s.Letter = 1200, 1300, -25, 62, false
	s.Balls = []phantom.Ball{{Across: 25, Aside: -60, Down: 55}}
	s.Ruler = phantom.Ruler{Length: 100, Aside: 64, Down: 25}
	return s
}

// describe takes from the truth of a film what is looked for on it.
func describe(f *phantom.Film, kind string) shot {
	t, col := f.Truth, float64(f.Setup.Col)
	s := shot{Width: f.Width, Height: f.Height, Dark: f.Setup.Dark, MM: float64(t.Col), Kind: kind}
	n := len(t.Profile)
	place := func(x, y units.Px, dx, dy float64) [2]float64 { return [2]float64{float64(x) + dx, float64(y) + dy} }
	upper, lower := t.Profile[3].Axis, t.Profile[n-5].Axis
	if kind == "hip" {
		b, m := t.Balls[0], t.Marks
		s.BallX, s.BallY, s.BallAcross = float64(b.Centre.X), float64(b.Centre.Y), float64(b.Short)/col
		s.Ball = place(b.Centre.X, b.Centre.Y, 9, -7)
		s.Ruler = [2][2]float64{place(m[0].X, m[0].Y, 1, -1), place(m[len(m)-1].X, m[len(m)-1].Y, -1, 1)}
		s.Head = place(t.Head.Centre.X, t.Head.Centre.Y, 15, -10)
		upper, lower = t.Profile[0].Axis, t.Profile[7].Axis
	}
	s.Upper, s.Lower = place(upper.X, upper.Y, 4, 3), place(lower.X, lower.Y, -4, -3)
	for _, l := range t.Profile {
		for k, p := range []geom.Pt[units.Px]{l.OuterA, l.InnerA, l.InnerB, l.OuterB} {
			s.Walls[k] = append(s.Walls[k], xy(p))
		}
	}
	return s
}

func writeSamples(folder, name string, f *phantom.Film) error {
	var b bytes.Buffer
	if err := binary.Write(&b, binary.LittleEndian, f.Pix); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, name+".pix"), b.Bytes(), 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, name+".grey"), f.Grey8(), 0o644)
}

// large writes a film of 12 million samples of 16 bits, plain and lossless.
func large(folder string) error {
	s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper)
	s.Width, s.Height, s.Row, s.Col, s.Bits = 3000, 4000, 0.1, 0.1, 16
	f, err := phantom.Draw(phantom.Usual(), s)
	if err != nil {
		return err
	}
	plain := f.DICOM(phantom.Tags{})
	if err := os.WriteFile(filepath.Join(folder, "plain 12 Mpx.dcm"), plain, 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "lossless 12 Mpx.dcm"), packed(plain, f.Pix, f.Width, f.Height), 0o644)
}
