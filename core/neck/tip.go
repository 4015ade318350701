package neck

import (
	"math"

	"isthmus/core/source"
	"isthmus/core/units"
)

// Limits are the policy on where the tip of a head screw may end.
type Limits struct {
	Least units.MM // nearer to the joint surface is too deep
	Most  units.MM // further from it is too far
	Apex  units.MM // a tip–apex distance above this is too great
}

// A Tip is where a screw of a given length ends.
type Tip struct {
	Left     units.Length // from the tip to the surface of the head, along the screw; below zero: through it
	Nearest  units.Length // the shortest way from the tip to the surface; below zero: through it
	Depth    units.Length // from the tip to the apex of the head, along the neck
	Above    units.Length // the tip lies so far above the axis of the neck (AP view of the neck)
	Ahead    units.Length // … so far in front of it (lateral view)
	TipApex  units.Length
	Calcar   units.Length // tip–apex distance referenced to the calcar
	TooDeep  Answer       // Nearest under the least
	TooFar   Answer       // Nearest over the most
	ApexOver Answer       // TipApex over the limit
}

// TipSources returns who says what the tip–apex distance means and how far a
// tip should stay from the joint: for one sliding screw in old patients.
func TipSources() []source.Key {
	return []source.Key{source.Geometry, source.TAD1995, source.TADReview, source.Subchondral}
}

// TipApex returns the tip–apex distance of a tip at depth below the apex of
// the head, ap off the axis of the neck in the AP view and lateral in the
// lateral view:
//
//	√(depth² + ap²) + √(depth² + lateral²)
//
// Lengths are true ones. Source: Baumgaertner 1995 (sum of the two views);
// geometry. 8, 6 and 3 mm give 18.544 mm; 10 mm on the axis gives 20.0. A small
// sum does not say that the tip is far enough from the surface. It refuses
// what lies outside a head.
func TipApex(depth, ap, lateral units.MM) (units.MM, error) {
	return CalcarTipApex(depth, ap, depth, lateral)
}

// CalcarTipApex returns the tip–apex distance referenced to the calcar: in
// the AP view the apex is replaced by the point where a line along the neck
// that touches the inner lower wall meets the head. DepthAP and fromCalcar
// are taken to that point, along the neck and square to it:
//
//	√(depthAP² + fromCalcar²) + √(depth² + lateral²)
//
// Source: geometry; the construction is from memory. 8, 5, 8 and 3 mm give
// 17.978 mm. It refuses what lies outside a head.
func CalcarTipApex(depthAP, fromCalcar, depth, lateral units.MM) (units.MM, error) {
	const most = 2 * headHi
	err := first(need("the depth of the tip in the AP view", depthAP, -most, most), need("the distance in the AP view", fromCalcar, -most, most),
		need("the depth of the tip in the lateral view", depth, -most, most), need("the distance in the lateral view", lateral, -most, most))
	if err != nil {
		return 0, err
	}
	return units.MM(math.Hypot(float64(depthAP), float64(fromCalcar)) + math.Hypot(float64(depth), float64(lateral))), nil
}

// LostOffCentre returns how much less depth a head has along a line that
// passes off its centre:
//
//	R − √(R² − off²)
//
// Source: geometry. With a radius of 24 mm: 5 mm off 0.53, 10 mm 2.18, 13 mm
// 3.83. It refuses a line within 5 % of the edge of the head.
func LostOffCentre(radius, off units.MM) (units.MM, error) {
	if err := first(need("the radius of the head", radius, headLo, headHi), need("the distance from the centre", off, 0, reach)); err != nil {
		return 0, err
	}
	if err := missed("", float64(off), float64(radius)); err != nil {
		return 0, err
	}
	return radius - units.MM(chord(float64(radius), float64(off))), nil
}

// TipAt returns where a screw of the given length, from the outer lateral
// cortex to its tip, ends when the nail lies in the given pose. With T the
// tip, C and R the head, n, v, w along, up and across the neck, and the apex
// at C + R·n:
//
//	nearest = R − |T − C|      depth = R − (T − C)·n
//	above   = (T − C)·v        ahead = (T − C)·w
//
// The line along the calcar meets the head H/2 below the axis of the neck, at
// √(R² − (H/2)²) along it. The tip is a point: the edge of a blunt screw
// comes nearer. Source: geometry, TipSources. It refuses what Solve refuses,
// a cortex that was not given, and a neck as high as the head.
func TipAt(b Bone, n Nail, pose Pose, place Place, length units.MM, lim Limits) (Tip, error) {
	if err := checkTip(b, n, pose, place, length, lim); err != nil {
		return Tip{}, err
	}
	s := newScene(b, n, Keep{})
	p, i := pose.spot(), place.index()
	_, _, foot, _ := s.line(p, i)
	if err := missed(place, foot.length(), s.in[inRadius]); err != nil {
		return Tip{}, err
	}
	v := s.spread(b, inputs, s.end(p, i, float64(length)), func(t *scene) values { return t.end(p, i, float64(length)) })
	out := Tip{Left: v[0], Nearest: v[1], Depth: v[2], Above: v[3], Ahead: v[4], TipApex: v[5], Calcar: v[6]}
	out.TooDeep = not(enough(out.Nearest.Minus(units.Exact(lim.Least))))
	out.TooFar = not(enough(units.Exact(lim.Most).Minus(out.Nearest)))
	out.ApexOver = not(enough(units.Exact(lim.Apex).Minus(out.TipApex)))
	for _, l := range v {
		if !l.Finite() {
			return Tip{}, &UnsolvedError{}
		}
	}
	return out, nil
}

func checkTip(b Bone, n Nail, pose Pose, place Place, length units.MM, lim Limits) error {
	if err := first(b.check(), n.check(), pose.check()); err != nil {
		return err
	}
	if place != Lower && place != Upper {
		return &PlaceError{Got: place}
	}
	lateral := b.LateralLower
	if place == Upper {
		lateral = b.LateralUpper
	}
	err := first(b.checkWay(), need("the length of the screw", length, lengthLo, lengthHi),
		need("the lateral cortex at the "+string(place)+" screw", lateral.Best, 1, lateralHi),
		need("the least distance to the joint", lim.Least, 0, clearHi),
		need("the most distance to the joint", lim.Most, float64(lim.Least), 2*headHi),
		need("the limit of the tip–apex distance", lim.Apex, 1, 4*headHi))
	if err == nil && !(b.Height.Best < 2*b.Radius.Best) {
		return &NoCalcarError{Height: b.Height.Best, Diameter: 2 * b.Radius.Best}
	}
	return err
}

// end returns, for a screw of a length: left along it, nearest, depth, above,
// ahead, tip–apex distance, the same referenced to the calcar.
func (s *scene) end(p spot, i int, length float64) values {
	cross, dir, foot, along := s.line(p, i)
	r, low := s.in[inRadius], s.in[inHeight]/2
	out := length - s.in[inLateralLower+i]
	t := cross.plus(dir.times(out)).minus(s.head)
	ahead, above, depth := t.dot(s.w), t.dot(s.v), r-t.dot(s.n)
	atCalcar := chord(r, low) - t.dot(s.n)
	lateral := math.Hypot(depth, ahead)
	return values{
		along + chord(r, foot.length()) - out,
		r - t.length(),
		depth, above, ahead,
		math.Hypot(depth, above) + lateral,
		math.Hypot(atCalcar, above+low) + lateral,
	}
}

func not(a Answer) Answer {
	switch a {
	case Yes:
		return No
	case No:
		return Yes
	}
	return Unclear
}
