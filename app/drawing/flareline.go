package drawing

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// flareAbove is how far above the middle of the lesser trochanter the flare of
// the canal is measured, as in core/measure; flareReach is how far the line
// runs to each side.
const flareAbove, flareReach = 20, 60

// FlareLine returns a line on the picture of a film, square to the shaft, at
// the height where the flare of the canal is measured: 20 mm above the middle
// of the lesser trochanter. Without the axis of the shaft it runs square to
// the way from the tip of the trochanter to the distal target, else level. It
// returns false on a film that is not from the front, has no scale, or lacks
// the middle of the lesser trochanter.
func FlareLine(c record.Case, p plan.Plan, film int) (a, b geom.Pt[units.Px], ok bool) {
	if film < 0 || film >= len(c.Films) || film >= len(p.Scales) || c.Films[film].View != anatomy.AP {
		return a, b, false
	}
	f := c.Films[film]
	o := Overlay{plane: p.Scales[film].Plane, points: map[anatomy.Landmark]record.Point{}, width: units.Px(f.Width), height: units.Px(f.Height)}
	if p.Scales[film].Disputed || !o.plane.Usable() || o.straighten(f) != nil {
		return a, b, false
	}
	for _, q := range plan.Straight(c).Films[film].Points {
		o.points[q.Name] = q
	}
	mid, _, ok := o.at(anatomy.LesserMiddle)
	if !ok {
		return a, b, false
	}
	_, down, ok := o.way()
	if !ok {
		down = mmPt{Y: 1}
	}
	at := mid.Minus(down.Times(flareAbove))
	across := mmPt{X: -down.Y, Y: down.X}
	a, okA := o.ToPicture(o.px(at.Plus(across.Times(flareReach))))
	b, okB := o.ToPicture(o.px(at.Minus(across.Times(flareReach))))
	return a, b, okA && okB && a.Finite() && b.Finite()
}
