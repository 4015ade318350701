package measure

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A FrontNeck is the upper end of a femur on an AP film, from the axis of the
// shaft on which the nail will lie.
type FrontNeck struct {
	Medial  units.Length  // centre of the head from the axis of the shaft, square to it
	Up      units.Length  // centre of the head above the upper point of the shaft, along it
	Tip     *units.Length // trochanter tip above that point; nil where it was not placed
	Radius  units.Length  // of the head
	Height  units.Length  // inner height of the neck at its narrowest, square to its axis
	Behind  units.Length  // narrowest place behind the centre of the head, along the neck
	Lateral *units.Length // outer lateral cortex from the axis of the shaft; nil where it was not placed
	Angle   units.Angle   // between neck and shaft, as seen
}

// NeckFromFront returns the upper end of a femur on an AP film, in the frame of
// the shaft. Source: geometry. It refuses other views, and points that give no
// circle or no direction.
func NeckFromFront(f Film) (FrontNeck, error) {
	angle, err := NeckShaftSeen(f)
	if err != nil {
		return FrontNeck{}, err
	}
	names := with(anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower)
	v, err := f.work(frontNeck, names...)
	if err != nil {
		return FrontNeck{}, err
	}
	n := FrontNeck{Medial: v[0].length(), Up: v[1].length(), Radius: v[2].length(), Height: v[3].length(), Behind: v[4].length(), Angle: angle}
	if !(n.Medial.Best > n.Radius.Best/2) {
		return FrontNeck{}, &CrossedError{Landmarks: names, Why: "put the head on the axis of the shaft"}
	}
	if f.has(anatomy.TrochanterTip) {
		w, err := f.work(besideShaft, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.TrochanterTip)
		if err != nil {
			return FrontNeck{}, err
		}
		tip := w[0].length()
		n.Tip = &tip
	}
	if f.has(anatomy.LateralCortex) {
		w, err := f.work(besideShaft, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.LateralCortex)
		if err != nil {
			return FrontNeck{}, err
		}
		side := w[1].length()
		n.Lateral = &side
	}
	return n, nil
}

// besideShaft answers how far a point lies above the upper point of the shaft,
// and how far beside its axis.
func besideShaft(p []pt) ([]float64, error) {
	down, err := axis(p[0], p[1])
	if err != nil {
		return nil, err
	}
	d := p[2].Minus(p[0])
	return []float64{-geom.Dot(down, d), math.Abs(geom.Cross(down, d))}, nil
}

func frontNeck(p []pt) ([]float64, error) {
	c, err := head(p)
	if err != nil {
		return nil, err
	}
	at, err := besideShaft([]pt{p[5], p[6], c.Centre})
	if err != nil {
		return nil, err
	}
	height, behind, err := neckAt(c.Centre, p[3], p[4])
	if err != nil {
		return nil, err
	}
	return []float64{at[1], at[0], float64(c.R), height, behind}, nil
}

// neckAt answers the width between two edges of the neck, square to its axis,
// and how far they lie behind the centre of the head.
func neckAt(centre, a, b pt) (across, behind float64, err error) {
	mid := geom.Mid(a, b)
	u, ok := line{A: mid, B: centre}.Unit()
	behind = float64(geom.Dist(mid, centre))
	if !ok || behind < 5 {
		return 0, 0, &CrossedError{Landmarks: rimMarks, Why: "put the centre of the head on the narrowest place of the neck, which gives no direction"}
	}
	return math.Abs(geom.Cross(u, b.Minus(a))), behind, nil
}

const (
	// beamSide and beamFront are the standard uncertainties of the angle between
	// neck and shaft, in degrees, for a beam that spreads: the head lies nearer to
	// the tube than the shaft, or further from it, and nobody says which. Drawn
	// films with known truth read 4° more from the side when the middle of the
	// femur was in the middle of the film, 2° more when the hip was.
	beamSide, beamFront = 3.0, 1.0
	// usualBow is the radius of the bow of a femur, for the doubt only. Source: 943 mm, PLoS ONE 2018 (PMC6177158).
	usualBow = 943.0
	// nailPlay is the standard uncertainty of where the axis of a nail lies in the
	// upper canal, front to back. Common practice.
	nailPlay = 3.0
)

// A SideNeck is the upper end of a femur on a true lateral film of its lower
// end. Forwards is where the front edge of the neck lies from its back edge.
type SideNeck struct {
	Front units.Length // centre of the head in front of the axis of the shaft (behind: negative)
	Width units.Length // inner width of the neck, front to back, square to its axis
	Gamma units.Angle  // the neck forwards of the axis of the shaft (backwards: negative)
}

// NeckFromSide returns the upper end of a femur on a lateral film, from the rim
// of the head, the front and back inner edge of the neck and the shaft. The
// angle is the γ that Version wants. The shaft is bowed, and its chord between
// the two points is taken: the upper canal, in which the nail lies, may be
// turned from it by up to c/2R, evenly likely, which is added to the doubt, and
// so are the spread of the beam and the play of the nail. Two points of the
// shaft close together say more. Source: geometry; PLoS ONE 2018 for the bow.
// It refuses other views, and points that give no circle or no direction.
func NeckFromSide(f Film) (SideNeck, error) {
	if f.View != anatomy.Lateral {
		return SideNeck{}, &ViewError{Got: f.View, Need: anatomy.Lateral}
	}
	v, err := f.work(sideNeck, with(anatomy.NeckFront, anatomy.NeckBack, anatomy.ShaftUpper, anatomy.ShaftLower)...)
	if err != nil {
		return SideNeck{}, err
	}
	bent := v[3].best / (2 * usualBow) / math.Sqrt(3)
	n := SideNeck{Front: v[0].length(), Width: v[1].length(), Gamma: v[2].angle()}
	n.Gamma.Own = units.Deg(math.Hypot(float64(n.Gamma.Own), math.Hypot(beamSide, bent*180/math.Pi)))
	n.Front.Own = units.MM(math.Hypot(float64(n.Front.Own), math.Hypot(nailPlay, bent*v[4].best)))
	if !(math.Abs(float64(n.Gamma.Best)) < 89) {
		return SideNeck{}, &OutsideError{What: "the angle of the neck on the lateral film", Got: float64(n.Gamma.Best), Lo: -89, Hi: 89, Unit: "degrees"}
	}
	return n, nil
}

// sideNeck answers the head in front of the shaft, the width of the neck, its
// angle, the chord of the shaft, and how far the head lies above it.
func sideNeck(p []pt) ([]float64, error) {
	c, err := head(p)
	if err != nil {
		return nil, err
	}
	down, err := axis(p[5], p[6])
	if err != nil {
		return nil, err
	}
	front := pt{X: -down.Y, Y: down.X}
	switch way := geom.Dot(front, p[3].Minus(p[4])); {
	case way == 0:
		return nil, &CrossedError{Landmarks: []anatomy.Landmark{anatomy.NeckFront, anatomy.NeckBack}, Why: "lie one above the other, so that nobody can tell which is in front"}
	case way < 0:
		front = front.Times(-1)
	}
	width, _, err := neckAt(c.Centre, p[3], p[4])
	if err != nil {
		return nil, err
	}
	neck := c.Centre.Minus(geom.Mid(p[3], p[4]))
	up := -geom.Dot(down, neck)
	if !(up > 0) {
		return nil, &CrossedError{Landmarks: with(anatomy.NeckFront, anatomy.NeckBack), Why: "put the head below the neck"}
	}
	ahead := geom.Dot(front, neck)
	return []float64{geom.Dot(front, c.Centre.Minus(p[5])), width, math.Atan2(ahead, up) * 180 / math.Pi,
		float64(geom.Dist(p[5], p[6])), -geom.Dot(down, c.Centre.Minus(p[5]))}, nil
}
