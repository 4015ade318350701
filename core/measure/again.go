package measure

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Probe works one length out of points in millimetres, again and again and
// without its doubt: for trials, where the points are moved and the spread of
// the lengths is the doubt. It holds the same formula and the same limits as
// the measurement it is named for. Its zero value measures nothing.
type Probe struct {
	names  []anatomy.Landmark
	lo, hi float64
	of     answer
}

// Names returns the landmarks whose points At needs, in that order.
func (b Probe) Names() []anatomy.Landmark { return append([]anatomy.Landmark(nil), b.names...) }

// At returns the length at these points, which lie in the plane of the bone.
// It reports false where the measurement would refuse, and for points that are
// not one for each name.
func (b Probe) At(p []geom.Pt[units.MM]) (units.MM, bool) {
	if b.of == nil || len(p) != len(b.names) {
		return 0, false
	}
	v, err := b.of(p)
	if err != nil || !(v[0] >= b.lo && v[0] <= b.hi) {
		return 0, false
	}
	return units.MM(v[0]), true
}

// LengthProbe returns the probe of Length.
func LengthProbe() Probe {
	return Probe{[]anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget}, lengthLo, lengthHi, between}
}

// CanalProbe returns the probe of Canal on this film: square to the shaft
// where its axis was placed, else from point to point. It does not look at the
// outer cortices.
func CanalProbe(f Film) Probe {
	names := []anatomy.Landmark{anatomy.CanalA, anatomy.CanalB}
	if !f.has(anatomy.ShaftUpper, anatomy.ShaftLower) {
		return Probe{names, canalLo, canalHi, between}
	}
	names = append(names, anatomy.ShaftUpper, anatomy.ShaftLower)
	return Probe{names, canalLo, canalHi, across(names)}
}

// PathProbe returns the probe of ToSurface of ScrewPath, for the same angle and
// inset. It measures nothing where ScrewPath refuses these two.
func PathProbe(nailToScrew units.Deg, inset units.MM) Probe {
	if !(nailToScrew > nsaLo && nailToScrew < nsaHi) || !(inset >= 0 && inset <= 40) {
		return Probe{}
	}
	names := with(anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.LateralCortex)
	return Probe{names, pathLo, pathHi, screw{float64(nailToScrew), inset}.path}
}

// Millimetres returns the named points in the plane of the bone, and the
// standard uncertainty of each in x and in y. It refuses what the measurements
// refuse: a film without a scale, landmarks that are missing or of another
// view, places that are no numbers.
func (f Film) Millimetres(names ...anatomy.Landmark) (at, slip []geom.Pt[units.MM], err error) {
	at, err = f.points(names...)
	if err != nil {
		return nil, nil, err
	}
	for _, n := range names {
		s := units.MM(f.At[n].Slip)
		slip = append(slip, geom.Pt[units.MM]{X: f.Plane.Col * s, Y: f.Plane.Row * s})
	}
	return at, slip, nil
}
