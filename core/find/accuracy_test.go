package find

import (
	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// greyOf is a phantom film as find takes it.
func greyOf(f *phantom.Film) Grey {
	return Grey{Width: f.Width, Height: f.Height, Pix: f.Pix, Inverted: f.Setup.Dark}
}

// shaftFilm and hipFilm are how the films of one random femur are made: 0.15 mm
// pixels, noise, blur, scatter, turn and detector by the seed.
func shaftFilm(seed uint64, v anatomy.View) phantom.Setup {
	s := anyFilm(seed, v, phantom.Whole)
	s.Width, s.Height, s.Aside = 1000, 3000, 0
	return s
}

func hipFilm(seed uint64) phantom.Setup {
	s := anyFilm(seed+1000, anatomy.AP, phantom.Upper)
	s.Width, s.Height, s.Down = 1200, 1300, 62
	s.Aside = -25
	if s.Side == anatomy.Left {
		s.Aside = 25
	}
	return s
}

func anyFilm(seed uint64, v anatomy.View, r phantom.Region) phantom.Setup {
	c := chance.New(seed*7 + 3)
	side := anatomy.Right
	if c.Between(0, 1) < 0.5 {
		side = anatomy.Left
	}
	s := phantom.Shoot(v, side, r)
	s.Balls, s.Ruler, s.Letter = nil, phantom.Ruler{}, false
	s.Quanta *= c.Between(0.4, 2)
	s.Blur = units.MM(c.Between(0.08, 0.22))
	s.Scatter = c.Between(0.1, 0.5)
	s.Dark = c.Between(0, 1) < 0.3
	s.Linear = c.Between(0, 1) < 0.2
	s.Turn, s.Tilt, s.Lean = units.Deg(c.Between(-8, 8)), units.Deg(c.Between(-3, 3)), units.Deg(c.Between(-6, 6))
	s.Seed = seed
	return s
}

// cut returns where the line from a to b crosses a chain of places.
func cut(chain []pt, a, b pt) (pt, bool) {
	l := line{A: a, B: b}
	best, ok := pt{}, false
	for i := 1; i < len(chain); i++ {
		if geom.Dist(chain[i-1], chain[i]) > 60 {
			continue // a break
		}
		_, p, _ := l.Along(chain[i-1])
		_, q, _ := l.Along(chain[i])
		if p*q > 0 || p == q {
			continue
		}
		at := chain[i-1].Plus(chain[i].Minus(chain[i-1]).Times(float64(p / (p - q))))
		if !ok || geom.Dist(at, a) < geom.Dist(best, a) {
			best, ok = at, true
		}
	}
	return best, ok
}

// section is what the silhouettes of a phantom are along the line of two
// measured edges: outer, inner, inner, outer.
func section(t phantom.Truth, a, b pt) (e [4]pt, ok bool) {
	var chain [4][]pt
	for _, l := range t.Profile {
		for k, p := range [4]pt{l.OuterA, l.InnerA, l.InnerB, l.OuterB} {
			chain[k] = append(chain[k], p)
		}
	}
	m := geom.Mid(a, b)
	for k := range e {
		if e[k], ok = cut(chain[k], m, b); !ok {
			return e, false
		}
	}
	return e, true
}
