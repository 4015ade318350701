package measure

import (
	"errors"
	"fmt"
	"maps"
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// The phantom is an invented left femur on an AP film, in millimetres: the
// shaft runs straight down at x = 0, the head lies at x > 0. Its head screw
// at 130° enters at (−14, 60) and runs through the centre of the head 80 mm
// on; the head has radius 24.
var (
	sin50, cos50 = math.Sincos(50 * math.Pi / 180)
	phantom      = map[anatomy.Landmark][2]float64{
		anatomy.TrochanterTip: {-12, 0},
		anatomy.DistalTarget:  {3, 400},
		anatomy.Notch:         {3, 415},
		anatomy.LesserTroch:   {15, 75},
		anatomy.FractureUpper: {0, 170},
		anatomy.FractureLower: {0, 200},
		anatomy.CanalA:        {-5, 180},
		anatomy.CanalB:        {5, 180},
		anatomy.OuterA:        {-13, 180},
		anatomy.OuterB:        {12, 180},
		anatomy.ShaftUpper:    {0, 100},
		anatomy.ShaftLower:    {0, 300},
		anatomy.LateralCortex: {-14, 60},
		anatomy.NeckLower:     onScrew(45, -10),
		anatomy.NeckUpper:     onScrew(45, 20),
		anatomy.HeadRim1:      onRim(0),
		anatomy.HeadRim2:      onRim(120),
		anatomy.HeadRim3:      onRim(240),
	}
)

// onScrew is a place so far along the screw and so far above it.
func onScrew(along, above float64) [2]float64 {
	return [2]float64{-14 + along*sin50 - above*cos50, 60 - along*cos50 - above*sin50}
}

func onRim(deg float64) [2]float64 {
	c := onScrew(80, 0)
	s, k := math.Sincos(deg * math.Pi / 180)
	return [2]float64{c[0] + 24*k, c[1] + 24*s}
}

// shoot puts landmarks in millimetres on a film with this height and width of
// a pixel.
func shoot(v anatomy.View, row, col, rel float64, slip units.Px, at map[anatomy.Landmark][2]float64) Film {
	f := Film{View: v, At: Points{}, Plane: calibrate.Plane{Row: units.MM(row), Col: units.MM(col), Rel: rel, Origin: calibrate.FromBallMark}}
	for l, p := range at {
		f.At[l] = Placed{geom.Pt[units.Px]{X: units.Px(p[0]/col + 500), Y: units.Px(p[1]/row + 200)}, slip}
	}
	return f
}

func ap() Film { return shoot(anatomy.AP, 0.2, 0.2, 0.01, 1, phantom) }

// put returns the film with one landmark at another place, in millimetres of
// the phantom; without deletes one.
func (f Film) put(l anatomy.Landmark, x, y float64) Film {
	f.At = maps.Clone(f.At)
	f.At[l] = Placed{geom.Pt[units.Px]{X: units.Px(x/float64(f.Plane.Col) + 500), Y: units.Px(y/float64(f.Plane.Row) + 200)}, 1}
	return f
}

func (f Film) without(ls ...anatomy.Landmark) Film {
	f.At = maps.Clone(f.At)
	for _, l := range ls {
		delete(f.At, l)
	}
	return f
}

// only gives every landmark but these a slip too small to matter.
func (f Film) only(slip units.Px, ls ...anatomy.Landmark) Film {
	f.At = maps.Clone(f.At)
	for l, p := range f.At {
		p.Slip = 1e-6
		f.At[l] = p
	}
	for _, l := range ls {
		p := f.At[l]
		p.Slip = slip
		f.At[l] = p
	}
	return f
}

func code(err error) string {
	var c interface{ Code() string }
	if errors.As(err, &c) {
		return c.Code()
	}
	return fmt.Sprint(err)
}
