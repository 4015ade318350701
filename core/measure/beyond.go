package measure

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// Beyond returns how far beyond the distal target a place at the knee lies
// (short of it: negative), the roof of the notch or the upper pole of the
// kneecap, along the bone:
//
//	d = (p − target)·u,  u from the trochanter tip to the target, else down the shaft
//
// It needs no reduced fracture, for both places lie on the lower piece. On a
// lateral film the kneecap must be where it will be when the knee is straight.
// Source: geometry. It refuses other landmarks, and 150 mm passed either way.
func Beyond(f Film, l anatomy.Landmark) (units.Length, error) {
	if l != anatomy.Notch && l != anatomy.PatellaTop {
		return units.Length{}, &ViewError{Got: f.View, Landmark: l}
	}
	names := []anatomy.Landmark{anatomy.DistalTarget, l, anatomy.TrochanterTip, anatomy.DistalTarget}
	if !f.has(anatomy.TrochanterTip) {
		names = []anatomy.Landmark{anatomy.DistalTarget, l, anatomy.ShaftUpper, anatomy.ShaftLower}
		return f.length("the way from the distal target to "+string(l), -beyondKnee, beyondKnee, beyond, names...)
	}
	// three points, so that the slip of the target counts once
	return f.length("the way from the distal target to "+string(l), -beyondKnee, beyondKnee, func(p []pt) ([]float64, error) {
		return beyond([]pt{p[0], p[1], p[2], p[0]})
	}, names[:3]...)
}

// beyondKnee bounds how far from the distal target the notch or the kneecap
// can lie. From memory.
const beyondKnee = 150

// beyond answers how far the second point lies past the first, along the axis
// through the last two.
func beyond(p []pt) ([]float64, error) {
	u, err := axis(p[2], p[3])
	if err != nil {
		return nil, err
	}
	return []float64{geom.Dot(u, p[1].Minus(p[0]))}, nil
}

// What the canal can measure 20 mm above the middle of the lesser trochanter,
// and its index. From memory, wide on purpose.
const (
	flareLo, flareHi           = 15, 100
	flareIndexLo, flareIndexHi = 1, 10
	// flareAbove is where the flare is measured, above the middle of the lesser
	// trochanter; flareOff is how far off it may be. Source: PMC5964262, figure
	// 1; own advice.
	flareAbove, flareOff = 20, 5
)

// FlareIndex returns how the canal widens upwards: its width 20 mm above the
// middle of the lesser trochanter over its width at the isthmus, both square
// to the shaft where its axis was placed; the scale cancels:
//
//	flare / isthmus
//
// On a film from the front. Under 3.0 a stovepipe, over 4.7 a champagne flute:
// Noble 1988, from memory. Source: definition in PMC5964262, figure 1. It
// refuses widths and an index that no femur has, a flare that surely lies more
// than 5 mm off its height where the middle of the lesser trochanter is placed,
// and what Canal refuses.
func FlareIndex(f Film) (units.Ratio, error) {
	if f.View != anatomy.AP {
		return units.Ratio{}, &ViewError{Got: f.View, Need: anatomy.AP}
	}
	if _, err := Canal(f); err != nil {
		return units.Ratio{}, err
	}
	if _, err := f.width("the width of the canal above the lesser trochanter", flareLo, flareHi, anatomy.FlareA, anatomy.FlareB); err != nil {
		return units.Ratio{}, err
	}
	if err := f.flareHeight(); err != nil {
		return units.Ratio{}, err
	}
	names := []anatomy.Landmark{anatomy.FlareA, anatomy.FlareB, anatomy.CanalA, anatomy.CanalB}
	if f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		names = append(names, anatomy.ShaftUpper, anatomy.ShaftLower)
	}
	v, err := f.work(func(p []pt) ([]float64, error) { return flare(p, names) }, names...)
	if err != nil {
		return units.Ratio{}, err
	}
	if !(v[0].best >= flareIndexLo && v[0].best <= flareIndexHi) {
		return units.Ratio{}, &OutsideError{What: "the flare of the canal", Got: v[0].best, Lo: flareIndexLo, Hi: flareIndexHi, Unit: "times the isthmus", Landmarks: names}
	}
	return units.Ratio{Best: v[0].best, U: math.Hypot(v[0].own, v[0].shared)}, nil
}

// flareHeight refuses a flare that was placed at another height than 20 mm
// above the middle of the lesser trochanter, along the shaft.
func (f Film) flareHeight() error {
	if !f.has(anatomy.LesserMiddle) {
		return nil
	}
	names := []anatomy.Landmark{anatomy.LesserMiddle, anatomy.FlareA, anatomy.FlareB, anatomy.CanalA, anatomy.CanalB}
	if f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		names = append(names, anatomy.ShaftUpper, anatomy.ShaftLower)
	}
	v, err := f.work(func(p []pt) ([]float64, error) {
		top := geom.Mid(p[1], p[2])
		a, b := top, geom.Mid(p[3], p[4])
		if len(p) == 7 {
			a, b = p[5], p[6]
		}
		u, err := axis(a, b)
		if err != nil {
			return nil, err
		}
		return []float64{geom.Dot(u, p[0].Minus(top))}, nil
	}, names...)
	if err != nil {
		return err
	}
	if above := v[0].length(); above.Against(flareAbove+flareOff) == units.More || above.Against(flareAbove-flareOff) == units.Less {
		return &OutsideError{What: "the height of the flare above the middle of the lesser trochanter", Got: v[0].best,
			Lo: flareAbove - flareOff, Hi: flareAbove + flareOff, Unit: "mm", Landmarks: names[:3]}
	}
	return nil
}

// flare answers the first width over the second, square to the axis through
// the last two points where there are six.
func flare(p []pt, names []anatomy.Landmark) ([]float64, error) {
	of, top, isthmus := answer(between), p[0:2:2], p[2:4:4]
	if len(p) == 6 {
		of, top, isthmus = across(names), append(top, p[4:]...), append(isthmus, p[4:]...)
	}
	a, err := of(top)
	if err != nil {
		return nil, err
	}
	b, err := of(isthmus)
	if err != nil {
		return nil, err
	}
	return []float64{a[0] / b[0]}, nil
}

// SecondBreak returns how far below the tip of the greater trochanter the
// upper and the lower end of a second break lie, as Level. It refuses what
// Level refuses, and a second break that is upside down or that begins above
// the lower end of the first.
func SecondBreak(f Film) (upper, lower units.Length, err error) {
	if upper, err = Level(f, anatomy.SecondUpper); err != nil {
		return units.Length{}, units.Length{}, err
	}
	if lower, err = Level(f, anatomy.SecondLower); err != nil {
		return units.Length{}, units.Length{}, err
	}
	both := []anatomy.Landmark{anatomy.SecondUpper, anatomy.SecondLower}
	if !(upper.Best <= lower.Best+f.slack(both...)) {
		return units.Length{}, units.Length{}, &CrossedError{Landmarks: both, Why: "lie in the wrong order, the upper end below the lower"}
	}
	if f.has(anatomy.FractureLower) {
		first, err := Level(f, anatomy.FractureLower)
		if err != nil {
			return units.Length{}, units.Length{}, err
		}
		if !(first.Best <= upper.Best+f.slack(anatomy.FractureLower, anatomy.SecondUpper)) {
			return units.Length{}, units.Length{}, &CrossedError{Landmarks: append(both, anatomy.FractureLower), Why: "lie in the wrong order, the second break above the end of the first"}
		}
	}
	return upper, lower, nil
}
