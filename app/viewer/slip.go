package viewer

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

const (
	loupeSlip = 1.5 // css px, standard uncertainty with a loupe, an arrow, a mouse or a pen
	tapSlip   = 6.0 // css px, standard uncertainty of a bare fingertip, about 1 mm on the glass
	leastSlip = 0.5 // film px: nobody is surer than half a pixel
)

// Slip returns the standard uncertainty of a point that was placed with a
// loupe, a mouse or the arrows: 1.5 CSS pixels at this zoom, on the longer
// side of a pixel's shadow, and never under half a film pixel.
// Source: from memory; not measured here.
func Slip(v View) units.Px { return slip(v, loupeSlip) }

// TapSlip returns the standard uncertainty of a point that a bare finger
// tapped, without a loupe: 6 CSS pixels at this zoom, and never under half a
// film pixel. Source: from memory; not measured here.
func TapSlip(v View) units.Px { return slip(v, tapSlip) }

func slip(v View, css float64) units.Px {
	if !v.Ok() {
		return 0
	}
	return units.Px(math.Max(css/(v.scale*math.Min(1, v.film.Tall)), leastSlip))
}

// A Way is a direction on the screen.
type Way int

// The four ways of the arrow buttons.
const (
	Leftward Way = iota + 1
	Rightward
	Upward
	Downward
)

// Nudge returns the point one film pixel further in a direction as the eye
// sees it, whatever the turn and mirror; the edge of the film stops it.
func Nudge(v View, p geom.Pt[units.Px], way Way) geom.Pt[units.Px] {
	step, ok := map[Way]geom.Pt[Css]{
		Leftward: {X: -1}, Rightward: {X: 1}, Upward: {Y: -1}, Downward: {Y: 1},
	}[way]
	if !v.Ok() || !ok || !p.Finite() {
		return p
	}
	d := v.ToFilm(v.at.Plus(step))
	one := func(u units.Px) units.Px {
		switch {
		case u > 0:
			return 1
		case u < 0:
			return -1
		}
		return 0
	}
	return v.Onto(p.Plus(geom.Pt[units.Px]{X: one(d.X), Y: one(d.Y)}))
}
