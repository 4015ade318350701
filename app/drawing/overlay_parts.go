package drawing

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// An OverlayLine is one line of a nail on the picture of a film.
type OverlayLine struct {
	Path   []geom.Pt[units.Px]
	Closed bool
	Axis   bool // a middle line, not an edge
	Text   string
}

// An OverlaySay is one thing that a pose means, with its doubt. Below zero has
// a meaning of its own, which app/text words.
type OverlaySay struct {
	Code  string // burial, target, notch, hole-fracture, lower-edge, upper-edge, lower-joint, upper-joint
	Value units.Length
}

// Lines returns the nail and its screws as they lie on the picture.
func (o Overlay) Lines(p Pose) []OverlayLine {
	down, right := axis(p)
	top := o.plane.MM(p.Top)
	var out []OverlayLine
	add := func(l OverlayLine, pts ...mmPt) {
		for _, q := range pts {
			if at, ok := o.ToPicture(o.px(q)); ok {
				l.Path = append(l.Path, at)
			}
		}
		if len(l.Path) == len(pts) {
			out = append(out, l)
		}
	}
	add(OverlayLine{Closed: true, Text: ""}, o.body(top, down, right)...)
	add(OverlayLine{Axis: true}, top, top.Plus(down.Times(float64(o.Part.Length))))
	for i, h := range o.distal() {
		o.hole(h, o.used(i), top.Plus(down.Times(float64(o.Part.Length-h.FromTip))), down, right, add)
	}
	for _, s := range o.screws(p) {
		r := float64(o.Part.HeadDia) / 2
		side := s.up.Times(r)
		l := OverlayLine{Closed: s.ends, Axis: !s.ends, Text: string(s.place)}
		if !s.ends {
			add(l, s.from, s.to)
			continue
		}
		add(l, s.from.Plus(side), s.to.Plus(side), s.to.Minus(side), s.from.Minus(side))
	}
	return out
}

// distal are the distal holes of the nail, the highest first, as the plan
// counts them.
func (o Overlay) distal() []implant.Hole {
	out := slices.Clone(o.Part.Distal)
	slices.SortStableFunc(out, func(a, b implant.Hole) int { return cmp.Compare(b.FromTip, a.FromTip) })
	return out
}

// used returns the screw that the plan puts into a distal hole, nil for none.
func (o Overlay) used(i int) *plan.HolePlace {
	if i < len(o.Holes) && o.Holes[i].Use {
		return &o.Holes[i]
	}
	return nil
}

// hole draws a distal hole, and the screw that the plan puts into it: from
// its end as a ring, else across the nail. A screw whose length is known is
// drawn as long, its middle in the nail, since no film tells how far it stands
// out to each side; one whose length is not known is drawn as an axis, 10 mm
// beyond the nail to each side.
func (o Overlay) hole(h implant.Hole, use *plan.HolePlace, at, down, right mmPt, add func(OverlayLine, ...mmPt)) {
	const beyond = 10.0
	half, r := float64(o.Part.Diameter)/2, float64(o.Part.LockingDia)/2
	name := ""
	if use != nil {
		name = "distal " + strconv.Itoa(use.Hole)
	}
	if h.Plane == implant.Sagittal && o.View == anatomy.AP || h.Plane == implant.Transverse && o.View == anatomy.Lateral { // looking along the hole
		add(OverlayLine{Closed: true, Text: name}, ringOf(at, r)...)
		return
	}
	switch {
	case use == nil:
		add(OverlayLine{}, at.Minus(right.Times(half)), at.Plus(right.Times(half)))
	case use.Ask > 0 && h.Plane != implant.Oblique && r > 0:
		a, side := right.Times(float64(use.Ask)/2), down.Times(r)
		add(OverlayLine{Closed: true, Text: name}, at.Minus(a).Minus(side), at.Plus(a).Minus(side), at.Plus(a).Plus(side), at.Minus(a).Plus(side))
	default:
		a := right.Times(half + beyond)
		add(OverlayLine{Axis: true, Text: name}, at.Minus(a), at.Plus(a))
	}
}

// bowSteps draw the bow of a nail; at 24 the chord of a step is off by less
// than 0.1 mm on every bow of the shelf.
const bowSteps = 24

// body is the outline of the nail. It is bowed where the film shows the bow
// and says which side is the front; else it is drawn straight.
func (o Overlay) body(top, down, right mmPt) []mmPt {
	half, l := float64(o.Part.Diameter)/2, float64(o.Part.Length)
	front := o.frontWay(right)
	var one, other []mmPt
	for i := range bowSteps + 1 {
		t := l * float64(i) / bowSteps
		mid := top.Plus(down.Times(t)).Plus(right.Times(front * bowAt(t, l, float64(o.Part.BowRadius))))
		one = append(one, mid.Plus(right.Times(half)))
		other = append(other, mid.Minus(right.Times(half)))
	}
	for i := len(other) - 1; i >= 0; i-- {
		one = append(one, other[i])
	}
	return one
}

// Bowed reports whether the bow of the nail is drawn.
func (o Overlay) Bowed() bool { return o.Part.BowRadius > 0 && o.frontWay(mmPt{X: 1}) != 0 }

// bowAt returns how far a bow of radius r over a chord l stands off the chord
// at t, from 0 at both ends.
func bowAt(t, l, r float64) float64 {
	if !(r > l/2) {
		return 0
	}
	x := t - l/2
	return math.Sqrt(r*r-x*x) - math.Sqrt(r*r-l*l/4)
}

// frontWay returns 1 where the front lies to the right of the nail, −1 where
// it lies to the left, 0 where the film does not say.
func (o Overlay) frontWay(right mmPt) float64 {
	f, _, okF := o.at(anatomy.NeckFront)
	b, _, okB := o.at(anatomy.NeckBack)
	if o.View != anatomy.Lateral || !okF || !okB {
		return 0
	}
	return sign(geom.Dot(f.Minus(b), right))
}

func sign(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// ringOf is a small circle, as a hole is seen from its end.
func ringOf(c mmPt, r float64) (out []mmPt) {
	const corners = 16
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		out = append(out, mmPt{X: c.X + units.MM(r*cos), Y: c.Y + units.MM(r*sin)})
	}
	return out
}

// head returns the circle of the head, and false where it was not marked.
func (o Overlay) head() (geom.Circle[units.MM], bool) {
	var rim []mmPt
	for _, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
		if p, _, ok := o.at(l); ok {
			rim = append(rim, p)
		}
	}
	if len(rim) < 3 {
		return geom.Circle[units.MM]{}, false
	}
	c, err := geom.FitCircle(rim)
	return c, err == nil
}

// An overScrew is one head screw in a pose.
type overScrew struct {
	place    implant.Place
	ask      units.MM
	cross    units.MM // below the top of the nail, where its axis meets that of the nail
	dir, up  mmPt     // towards the head, and square to it, upwards
	from, to mmPt     // from the outer cortex to its tip
	ends     bool     // its length and its entry are known
	joint    *mmPt    // where its axis leaves the head
}

// screws returns the head screws of the nail. They are seen from the front
// alone, and only where the head says which side is medial. With φ the obtuse
// angle between nail and screws, a along the nail and b towards the head,
//
//	direction = cos(φ)·a + sin(φ)·b
//
// and the upper one crosses the nail spacing/sin(φ) above the lower one.
func (o Overlay) screws(p Pose) []overScrew {
	c, ok := o.head()
	if o.View != anatomy.AP || !ok || !(o.Part.HeadDepth > 0) || !(o.Part.HeadAngle > 90 && o.Part.HeadAngle < 180) {
		return nil
	}
	down, right := axis(p)
	top := o.plane.MM(p.Top)
	b := right.Times(sign(geom.Dot(c.Centre.Minus(top), right)))
	sin, cos := math.Sincos(float64(o.Part.HeadAngle) * math.Pi / 180)
	dir := down.Times(cos).Plus(b.Times(sin))
	up := b.Times(cos).Minus(down.Times(sin))
	var out []overScrew
	for _, s := range []overScrew{{place: implant.Lower, ask: o.Lower, cross: o.Part.HeadDepth},
		{place: implant.Upper, ask: o.Upper, cross: o.Part.HeadDepth - o.Part.HeadSpacing/units.MM(sin)}} {
		s.dir, s.up = dir, up
		s.from = top.Plus(down.Times(float64(s.cross)))
		s.to = s.from.Plus(dir.Times(100))
		o.end(&s, c, down)
		out = append(out, s)
	}
	return out
}

// end finds where a screw enters the bone, where it ends and where it would
// leave the head.
func (o Overlay) end(s *overScrew, head geom.Circle[units.MM], down mmPt) {
	axisLine := geom.Line[units.MM]{A: s.from, B: s.to}
	if foot, aside, ok := axisLine.Along(head.Centre); ok && math.Abs(float64(aside)) < float64(head.R) {
		j := s.from.Plus(s.dir.Times(float64(foot) + math.Sqrt(float64(head.R*head.R-aside*aside))))
		s.joint, s.to = &j, j
	}
	outer, _, ok := o.at(anatomy.LateralCortex)
	if !ok {
		return
	}
	if in, ok := geom.Meet(axisLine, geom.Line[units.MM]{A: outer, B: outer.Plus(down)}); ok {
		s.from = in
		if s.ask > 0 {
			s.to, s.ends = in.Plus(s.dir.Times(float64(s.ask))), true
		}
	}
}

// Says returns what a pose means. A length of the film carries the slip of its
// landmark and the doubt of the scale; sizes of the nail are exact, and so is
// the pose.
func (o Overlay) Says(p Pose) []OverlaySay {
	down, _ := axis(p)
	var out []OverlaySay
	// along is how far a landmark lies in a direction from the top of the nail
	along := func(l anatomy.Landmark, way mmPt) (units.Length, bool) {
		at, slip, ok := o.at(l)
		v := units.MM(geom.Dot(at.Minus(o.plane.MM(p.Top)), way))
		return units.Length{Best: v, Own: units.MM(slip) * max(o.plane.Row, o.plane.Col), Shared: v * units.MM(o.plane.Rel)}, ok
	}
	add := func(code string, l anatomy.Landmark, way mmPt, less units.MM, times float64) {
		if v, ok := along(l, way); ok {
			if v = v.Minus(units.Exact(less)).Times(times); v.Finite() {
				out = append(out, OverlaySay{code, v})
			}
		}
	}
	add("burial", anatomy.TrochanterTip, down, 0, -1)
	add("target", anatomy.DistalTarget, down, o.Part.Length, 1)
	add("notch", anatomy.Notch, down, o.Part.Length, 1)
	for i, h := range o.distal() {
		if o.used(i) != nil { // the highest of them
			add("hole-fracture", anatomy.FractureLower, down, o.Part.Length-h.FromTip, -1)
			break
		}
	}
	for _, s := range o.screws(p) {
		half := o.Part.HeadDia / 2
		off := units.MM(geom.Dot(down.Times(float64(s.cross)), s.up)) // of the axis, upwards from the top
		if s.place == implant.Lower {
			add("lower-edge", anatomy.NeckLower, s.up, off-half, -1)
		} else {
			add("upper-edge", anatomy.NeckUpper, s.up, off+half, 1)
		}
		if s.ends && s.joint != nil {
			to := geom.Dist(s.from, *s.joint)
			out = append(out, OverlaySay{string(s.place) + "-joint", units.Length{Best: to - s.ask, Own: o.rimDoubt(), Shared: to * units.MM(o.plane.Rel)}})
		}
	}
	return out
}

// rimDoubt is the slip of the rim of the head and of the outer cortex, in
// millimetres.
func (o Overlay) rimDoubt() units.MM {
	_, outer, _ := o.at(anatomy.LateralCortex)
	worst := units.Px(0)
	for _, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
		_, slip, _ := o.at(l)
		worst = max(worst, slip)
	}
	return units.MM(math.Hypot(float64(outer), float64(worst))) * max(o.plane.Row, o.plane.Col)
}
