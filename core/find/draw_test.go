package find

import (
	"math"

	"isthmus/core/chance"
)

// A scene is a picture by formula: how opaque each place is (a line integral
// of attenuation), drawn at four samples a pixel, blurred, with noise.
type scene struct {
	w, h  int
	thick func(x, y float64) float64
	blur  float64 // px
	noise float64 // of the top level
	log   bool    // a film of logarithms, as digital detectors make; else of exposure
	fog   float64 // scatter, as a share of the open field
	top   float64 // levels
	dark  bool    // dense things dark, stored so
	fine  int     // samples along a pixel; 0 stands for 4
}

func (s scene) draw(seed uint64) Grey {
	f := s.fine
	if f == 0 {
		f = 4
	}
	fine := plane{s.w * f, s.h * f, make([]float32, s.w*s.h*f*f)}
	for j := range fine.h {
		for i := range fine.w {
			x, y := (float64(i)+0.5)/float64(f)-0.5, (float64(j)+0.5)/float64(f)-0.5
			fine.v[j*fine.w+i] = float32(math.Exp(-s.thick(x, y)))
		}
	}
	fine = fine.smooth(s.blur * float64(f))
	g := Grey{Width: s.w, Height: s.h, Pix: make([]uint16, s.w*s.h)}
	rnd := chance.New(seed)
	for y := range s.h {
		for x := range s.w {
			sum := 0.0
			for j := range f {
				for i := range f {
					sum += float64(fine.v[(y*f+j)*fine.w+x*f+i])
				}
			}
			e := (sum/float64(f*f) + s.fog) / (1 + s.fog)
			v := 1 - e
			if s.log {
				v = -math.Log(math.Max(e, 1e-6)) / 4.5
			}
			v = 0.05 + 0.85*v + s.noise*rnd.Normal()
			if s.dark {
				v = 1 - v
			}
			g.Pix[y*s.w+x] = uint16(math.Round(s.top * math.Min(1, math.Max(0, v))))
		}
	}
	return g
}

// ballThick is how opaque a ball of opacity k is at its middle, a its half
// width, b its half height.
func ballThick(x, y, cx, cy, a, b, k float64) float64 {
	u := (x-cx)*(x-cx)/(a*a) + (y-cy)*(y-cy)/(b*b)
	if u >= 1 {
		return 0
	}
	return k * math.Sqrt(1-u)
}

func discThick(x, y, cx, cy, a, b, k float64) float64 {
	if (x-cx)*(x-cx)/(a*a)+(y-cy)*(y-cy)/(b*b) >= 1 {
		return 0
	}
	return k
}
