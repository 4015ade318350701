package core_test

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/measure"
	"isthmus/core/units"
)

func init() {
	for k, v := range joinedExamples {
		examples[k] = v
	}
}

var joinedExamples = map[string]func(*testing.T) []string{
	// Facts §11.3, King 2009; by hand two rays at 40 and 290 mm, SID 1000.
	"two-balls": func(t *testing.T) []string {
		ball := func(sod float64) calibrate.RoundMark {
			w := 250 * 1000 / math.Sqrt(sod*sod-12.5*12.5)
			return calibrate.RoundMark{Rim: oval(12, w, w), Diameter: 25}
		}
		p, _, err := calibrate.TwoBalls(ball(960), ball(710), 0.5, 0.45, calibrate.SquareShape)
		none(t, err)
		return []string{f(4, p.Col) + " mm per px", f(4, 0.1/p.Col), f(4, 0.55*1000/960+0.45*1000/710)}
	},
	// By hand: 10/80.
	"known-part": func(t *testing.T) []string {
		p, _, err := calibrate.KnownPart(px(0, 0), px(80, 0), 0.5, 10, false, calibrate.SquareShape, atBone)
		none(t, err)
		return []string{f(4, p.Col) + " mm per px"}
	},
	// Facts §1.4: by hand 600/(600 ∓ 215·sin 10°) are 1.0664 and 0.9414.
	"photo": func(t *testing.T) []string {
		s, c := math.Sincos(10 * math.Pi / 180)
		at := func(x, y float64) calibrate.Corner {
			away := 600 + y*s
			return calibrate.Corner{At: geom.Pt[units.Px]{X: units.Px(1499.5 + 3600*x/away), Y: units.Px(1999.5 + 3600*y*c/away)}, Slip: 1}
		}
		r, err := calibrate.Photo{Width: 3000, Height: 4000, Film: &calibrate.FilmSize{Width: 350, Height: 430},
			Corners: [4]calibrate.Corner{at(-175, -215), at(175, -215), at(175, 215), at(-175, 215)}}.Rectify()
		none(t, err)
		return []string{f(1, 100*(r.Range.Most-r.Range.Least)) + " %"}
	},
	// By hand: 1250·0.2 + 680·0.25 = 250 + 170.
	"two-films": func(t *testing.T) []string {
		film := func(mm units.MM, end anatomy.Landmark, y units.Px) measure.Film {
			return measure.Film{View: anatomy.AP, Plane: calibrate.Plane{Row: mm, Col: mm, Origin: calibrate.FromRuler},
				At: measure.Points{end: {At: px(0, 0), Slip: 1}, anatomy.Join: {At: geom.Pt[units.Px]{Y: y}, Slip: 1}}}
		}
		a, err := measure.ToJoin(film(0.2, anatomy.TrochanterTip, 1250), anatomy.TrochanterTip)
		none(t, err)
		b, err := measure.ToJoin(film(0.25, anatomy.DistalTarget, 680), anatomy.DistalTarget)
		none(t, err)
		return []string{f(0, a.Best) + " mm", f(0, b.Best) + " mm", f(1, a.Best+b.Best) + " mm"}
	},
	// By hand: 250 + 170, and 420 − 30.
	"pieces": func(t *testing.T) []string {
		l, err := measure.Pieces(measure.Film{View: anatomy.AP, Plane: calibrate.Plane{Row: 0.2, Col: 0.2, Origin: calibrate.FromRuler}, At: measure.Points{
			anatomy.TrochanterTip: {At: px(0, 0), Slip: 1}, anatomy.PieceUpper: {At: px(0, 1250), Slip: 1},
			anatomy.PieceLower: {At: px(0, 1100), Slip: 1}, anatomy.DistalTarget: {At: px(0, 1950), Slip: 1}}})
		none(t, err)
		return []string{f(1, l.Best) + " mm"}
	},
}
