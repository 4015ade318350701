package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// An Arc is the bow of the canal: the circle through its middle.
type Arc struct {
	From     pt       `json:"from_px"` // the ends of the measured middle
	To       pt       `json:"to_px"`
	Chord    units.Px `json:"chord_px"`
	Sagitta  units.Px `json:"sagitta_px"` // height of the arc over the chord
	SagittaU units.Px `json:"sagitta_u_px"`
	// Radius and its standard uncertainty; nil where the bow cannot be told
	// from straight (sagitta under two standard uncertainties).
	R  *units.Px `json:"r_px,omitempty"`
	RU units.Px  `json:"r_u_px,omitempty"`
}

// leastChord is the least chord of a bow, in widths of the bone: about 110 mm.
const leastChord = 4

// mostOff of the width of the bone, about half a millimetre, the middle of a
// canal lies off its circle; pieces of a broken bone that are set aside or at an
// angle lie further off, and have no bow that says anything of the nail's.
const mostOff = 0.02

// Bow returns the bow of the middle of the canal between two places along it,
// by the circle of least squares (geom.FitCircle): with c the chord between
// the outermost measured levels
//
//	sagitta = R − √(R² − c²/4),  u(sagitta) = s·√(45/4)/√N
//
// with s the grain of the middle, from levels six apart, and N a third of their
// number, since neighbours share grain; joined with a sixteenth of the doubt
// that all levels share, as a width is never off alike all along, an eighth of how
// far the middle lies off the circle, as some of that is misread beside a break
// (tests), and 0.03 px for what a real film adds. It is the doubt of this circle: a real bow is none,
// and its middle may lie mostOff from it. Source: geometry; quadratic
// regression, by hand. It refuses a chord under 4 widths of the bone, less than
// 30 measured levels, and a middle that lies further off any circle, as in a
// broken bone.
func (s Shaft) Bow() (Arc, error) {
	var pts []pt
	for _, l := range s.Levels {
		if len(l.Edge) == 4 {
			pts = append(pts, l.Centre)
		}
	}
	wide := median(s.course().width[1])
	if len(pts) < 30 || !(wide > 0) {
		return Arc{}, refuse("bow", "left-out")
	}
	a := Arc{From: pts[0], To: pts[len(pts)-1]}
	a.Chord = geom.Dist(a.From, a.To)
	if !(float64(a.Chord) >= leastChord*wide) {
		return Arc{}, refuse("bow", "close", float64(a.Chord), leastChord*wide)
	}
	r, off := arcOf(pts, a)
	const apart = 6 // levels that share neither grain nor smoothing
	misses, noise := 0.0, 0.0
	for i, d := range off {
		misses += d * d
		if i >= apart {
			noise += (d - off[i-apart]) * (d - off[i-apart])
		}
	}
	n := float64(len(off))
	misses = math.Sqrt(misses / (n - 3))
	if !(misses <= mostOff*wide) {
		return Arc{}, refuse("bow", "hidden")
	}
	noise = math.Sqrt(noise / 2 / (n - apart))
	half := float64(a.Chord) / 2
	a.SagittaU = units.Px(math.Hypot(math.Hypot(misses/8, float64(s.InnerU)/16), math.Hypot(0.03, noise*math.Sqrt(45.0/4*3/n))))
	if r > half && !math.IsInf(r, 0) {
		a.Sagitta = units.Px(half * half / (r + math.Sqrt((r-half)*(r+half))))
	}
	if !finite(float64(a.Sagitta), float64(a.SagittaU)) {
		return Arc{}, refuse("bow", "left-out")
	}
	if a.Sagitta > 2*a.SagittaU {
		v := units.Px(r)
		a.R, a.RU = &v, v*a.SagittaU/a.Sagitta
	}
	return a, nil
}

// arcOf returns the radius of the circle through places, and how far they lie
// off it; straight places give an endless radius.
func arcOf(pts []pt, a Arc) (r float64, off []float64) {
	c, err := geom.FitCircle(pts)
	if err != nil {
		for _, p := range pts {
			_, aside, _ := line{A: a.From, B: a.To}.Along(p)
			off = append(off, float64(aside))
		}
		return math.Inf(1), off
	}
	for _, p := range pts {
		off = append(off, float64(geom.Dist(p, c.Centre)-c.R))
	}
	return float64(c.R), off
}
