package phantom

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

type pt = geom.Pt[units.Px]

// A Truth is what is exactly so on one film: from the solids and the geometry
// of the beam, never from the picture. Places are pixels of the film as
// stored, pixel centres at whole numbers; they may lie outside of it.
//
// "Seen" lengths are distances on the film brought to the plane of the bone,
// by SOD/SID: what a careful reader with the right scale would measure. They
// differ a little from the true ones, since the beam spreads.
type Truth struct {
	Row, Col units.MM // millimetres of one pixel in the plane of the bone: spacing·SOD/SID

	At    map[anatomy.Landmark]Spot // those of this view that this bone has
	Balls []Round                   // in the order of Setup.Balls
	Discs []Round
	Marks []pt // graduations of the ruler: where each crosses the middle line of the ruler

	Profile []Level // each 2 mm down the shaft, clear of breaks
	Isthmus Level   // where the canal is narrowest; empty when a break runs through it
	SeenAt  Level   // where it is seen narrowest, on the piece that holds the isthmus; else empty

	Head Round
	Neck Waist

	Length Span // trochanter tip to distal target, as the pieces lie
	Whole  Span // the same of the bone before it broke (Seen: as it would be)

	NSA, NSASeen units.Deg // of the bone, and between the projected axes
	Version      units.Deg
	Bow          units.MM // true radius; 0 is straight
	BowSeen      units.MM // of the circle laid through the projected centre line; 0: nearly straight, or broken
}

// A Spot is one place: where it is seen, where it lies in the unbroken bone
// (frame of the package comment), and what one pixel is at its own depth.
// Landmarks that are edges (canal, outer, neck, rim) are places of the
// silhouette; the others are places of the bone, projected.
type Spot struct {
	Film     pt
	Bone     [3]units.MM
	Row, Col units.MM
	Inside   bool // on the film
}

// A Round is a ball, disc or head: its true diameter and the ellipse that it
// casts, as full axes in millimetres at the detector. Tilt is the direction of
// the long axis from the X axis, clockwise.
type Round struct {
	Across      units.MM
	Centre      pt
	Long, Short units.MM
	Tilt        units.Deg
	Row, Col    units.MM // height and width of a pixel at the detector
	Inside      bool
}

// Rim returns n places on the edge of what is seen, in pixels.
func (r Round) Rim(n int) []pt {
	var out []pt
	for i := range max(n, 0) {
		out = append(out, r.rim(2*math.Pi*float64(i)/float64(n)))
	}
	return out
}

// rim is the place of the edge at an angle from the long axis.
func (r Round) rim(th float64) pt {
	s, c := math.Sincos(th)
	ts, tc := math.Sincos(float64(r.Tilt) * math.Pi / 180)
	a, b := float64(r.Long)/2*c, float64(r.Short)/2*s
	return pt{X: r.Centre.X + units.Px((a*tc-b*ts)/float64(r.Col)), Y: r.Centre.Y + units.Px((a*ts+b*tc)/float64(r.Row))}
}

// A Level is the shaft at one height of its axis. A is the side that is
// further to the left on the film.
type Level struct {
	Z                    units.MM // below the tip of the trochanter, in the unbroken bone
	Axis                 pt
	InnerA, InnerB       pt
	OuterA, OuterB       pt
	Inner, Outer         units.MM // true widths in the direction that the film shows
	SeenInner, SeenOuter units.MM
}

// A Waist is the neck where it is seen narrowest.
type Waist struct {
	InnerUpper, InnerLower pt
	OuterUpper, OuterLower pt
	Inner, Outer           units.MM // true widths in the direction that the film shows
	SeenInner, SeenOuter   units.MM
}

// A Span is a distance between two places, through space and as seen.
type Span struct{ True, Seen units.MM }

// Know returns what is true of the film that Draw would make, without drawing
// it. It refuses what Draw refuses.
func Know(f Femur, s Setup) (Truth, error) {
	if err := f.check(); err != nil {
		return Truth{}, err
	}
	if err := s.check(); err != nil {
		return Truth{}, err
	}
	b, c := newBody(f), newCamera(s)
	k := &knower{camera: c, b: b, whole: c.place(b)}
	k.pieces = b.pieces(k.whole)
	k.plane = float64(s.SOD / s.SID)
	t := Truth{Row: s.Row * s.SOD / s.SID, Col: s.Col * s.SOD / s.SID,
		NSA: f.NSA, Version: f.Version, Bow: f.Bow}
	for _, m := range s.Balls {
		t.Balls = append(t.Balls, k.round(k.where(m), float64(m.Across)))
	}
	for _, m := range s.Discs {
		t.Discs = append(t.Discs, k.flat(k.where(m), float64(m.Across)))
	}
	for i := range s.Ruler.marks() {
		u, v, _ := k.mark(i)
		t.Marks = append(t.Marks, k.at(u, v))
	}
	k.shaft(&t)
	k.hip(&t)
	k.places(&t)
	k.lengths(&t)
	return t, nil
}

// A knower works out the truth of one film.
type knower struct {
	camera
	b      *body
	whole  pose
	pieces []piece
	plane  float64 // SOD/SID
}

// seenAt is the film place of a place of the bone, of a piece.
func (k *knower) spot(p vec, in pose) Spot {
	room := in.on(p)
	u, v := k.project(room)
	m := units.MM((k.sid - room[2]) / k.sid)
	at := k.at(u, v)
	return Spot{at, [3]units.MM{units.MM(p[0]), units.MM(p[1]), units.MM(p[2])}, k.s.Row * m, k.s.Col * m, k.inside(at)}
}

func (k *knower) inside(p pt) bool {
	return p.X >= 0 && p.Y >= 0 && p.X <= units.Px(k.s.Width-1) && p.Y <= units.Px(k.s.Height-1)
}

// round is what a ball casts. With D the depth of its middle under the source,
// ρ its distance from the central ray, α = atan(ρ/D), β = asin(r/√(D² + ρ²)):
//
//	long axis SID·(tan(α + β) − tan(α − β)), its middle the mean of the two
//	short axis 2·SID·r/√(D² − r²)
//
// Source: geometry; facts beside the tests.
func (k *knower) round(p vec, across float64) Round {
	r, d := across/2, k.sid-p[2]
	rho := math.Sqrt(p[0]*p[0] + p[1]*p[1])
	alpha, beta := math.Atan2(rho, d), math.Asin(r/math.Sqrt(d*d+rho*rho))
	lo, hi := k.sid*math.Tan(alpha-beta), k.sid*math.Tan(alpha+beta)
	dir := math.Atan2(p[1], p[0])
	s, c := math.Sincos(dir)
	mid := (lo + hi) / 2
	out := Round{Across: units.MM(across), Centre: k.at(mid*c, mid*s), Long: units.MM(hi - lo),
		Short: units.MM(2 * k.sid * r / math.Sqrt(d*d-r*r)), Tilt: units.Deg(dir * 180 / math.Pi), Row: k.s.Row, Col: k.s.Col}
	if out.Tilt > 90 {
		out.Tilt -= 180
	} else if out.Tilt <= -90 {
		out.Tilt += 180
	}
	out.Inside = k.covers(out)
	return out
}

func (k *knower) covers(r Round) bool {
	for _, p := range r.Rim(16) {
		if !k.inside(p) {
			return false
		}
	}
	return true
}

// flat is what the middle plane of a disc casts: a circle, magnified. Its rim
// shows a little wider away from the central ray, since it is 2 mm thick.
func (k *knower) flat(p vec, across float64) Round {
	u, v := k.project(p)
	d := units.MM(across * k.sid / (k.sid - p[2]))
	out := Round{Across: units.MM(across), Centre: k.at(u, v), Long: d, Short: d, Row: k.s.Row, Col: k.s.Col}
	out.Inside = k.covers(out)
	return out
}
