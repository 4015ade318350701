package drawing

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

type (
	pxPt = geom.Pt[units.Px]
	mmPt = geom.Pt[units.MM]
)

// An Overlay is the chosen nail and its screws, to be laid over one film to
// scale. The nail lies in the plane of the film; a turn of the leg is not
// drawn.
type Overlay struct {
	View   anatomy.View
	Part   implant.Nail
	Lower  units.MM // head screws as chosen; 0: not decided
	Upper  units.MM
	Burial units.MM         // that the plan means, where a pose starts
	Holes  []plan.HolePlace // distal holes, highest first: which the plan uses, and with what screw
	plane  calibrate.Plane
	points map[anatomy.Landmark]record.Point // as measured, made straight on a photo
	photo  *calibrate.Rectified              // nil: the picture is the film
	out    geom.Projective[units.Px, units.Px]
	width  units.Px // of the film
	height units.Px
}

// A Pose is where a person has laid the nail: its top on the film as it is
// measured, and the turn of its axis from straight down, in degrees, clockwise
// as seen. It is for the eye and is never stored.
type Pose struct {
	Top  geom.Pt[units.Px]
	Turn float64
}

// An OverlayError reports why no nail can be laid over a film.
type OverlayError struct{ Why string }

// Code names the fault for app/text.
func (e *OverlayError) Code() string { return "drawing-overlay-" + e.Why }

func (e *OverlayError) Error() string {
	return map[string]string{
		"film":  "drawing: this film is no longer in the case: go back to the films and open it again",
		"view":  "drawing: the view of this film is not given: say under Film from where it was taken",
		"scale": "drawing: this film has no scale, and a nail drawn over it would have a wrong size: give its scale first, under Scale",
		"nail":  "drawing: no nail is chosen yet: measure length and canal, or look at what the nail still needs",
		"photo": "drawing: this photo cannot be made straight: look at its corners first, under Film",
	}[e.Why]
}

// OverlayOf returns the nail of a plan for one film of its case. It refuses,
// with an *OverlayError, a film without a usable scale and a plan without a
// nail.
func OverlayOf(c record.Case, p plan.Plan, film int) (Overlay, error) {
	if film < 0 || film >= len(c.Films) || film >= len(p.Scales) {
		return Overlay{}, &OverlayError{"film"}
	}
	f := c.Films[film]
	o := Overlay{View: f.View, plane: p.Scales[film].Plane, points: map[anatomy.Landmark]record.Point{}, out: geom.Identity[units.Px](), width: units.Px(f.Width), height: units.Px(f.Height)}
	switch {
	case !f.View.Valid():
		return o, &OverlayError{"view"}
	case p.Scales[film].Disputed || !o.plane.Usable():
		return o, &OverlayError{"scale"}
	case p.Nail.Part == nil || !(p.Nail.Part.Length > 0) || !(p.Nail.Part.Diameter > 0):
		return o, &OverlayError{"nail"}
	}
	if err := o.straighten(f); err != nil {
		return o, err
	}
	for _, q := range plan.Straight(c).Films[film].Points {
		o.points[q.Name] = q
	}
	o.Part, o.Lower, o.Upper, o.Holes = *p.Nail.Part, p.Head.Lower.Ask, p.Head.Upper.Ask, p.Distal.Holes
	if b := p.Seat.Burial; b != nil {
		o.Burial = b.Best
	}
	return o, nil
}

// straighten finds the way between a photo and the film in it.
func (o *Overlay) straighten(f record.Film) error {
	if f.Photo == nil {
		return nil
	}
	r, err := plan.Rectify(f)
	if err != nil {
		return &OverlayError{"photo"}
	}
	if o.out, err = r.Map.Inverse(); err != nil {
		return &OverlayError{"photo"}
	}
	o.photo, o.width, o.height = &r, r.Width, r.Height
	return nil
}

// ToFilm returns where a place of the picture lies on the film as it is
// measured, and false where it lies nowhere.
func (o Overlay) ToFilm(q geom.Pt[units.Px]) (geom.Pt[units.Px], bool) {
	if o.photo == nil {
		return q, q.Finite()
	}
	p, err := o.photo.Map.Apply(q)
	return p, err == nil
}

// ToPicture is the inverse of ToFilm.
func (o Overlay) ToPicture(p geom.Pt[units.Px]) (geom.Pt[units.Px], bool) {
	if o.photo == nil {
		return p, p.Finite()
	}
	q, err := o.out.Apply(p)
	return q, err == nil
}

// at returns a landmark in millimetres.
func (o Overlay) at(l anatomy.Landmark) (mmPt, units.Px, bool) {
	p, ok := o.points[l]
	return o.plane.MM(p.At), p.Slip, ok
}

// px returns a place in millimetres as a place on the film.
func (o Overlay) px(p mmPt) pxPt {
	return pxPt{X: units.Px(p.X / o.plane.Col), Y: units.Px(p.Y / o.plane.Row)}
}

// Start returns the pose that the plan means: along the axis of the shaft
// where it was marked, else from the tip of the trochanter to the distal
// target, its top as deep below the tip as planned. Without these landmarks
// the nail hangs near the tip or in the middle of the film, see Meant.
func (o Overlay) Start() Pose {
	p := Pose{Top: pxPt{X: o.width / 2, Y: o.height / 8}}
	tip, _, okTip := o.at(anatomy.TrochanterTip)
	if okTip {
		p.Top = o.px(tip)
	}
	a, u, ok := o.way()
	if !ok {
		return p
	}
	p.Turn = math.Atan2(-float64(u.X), float64(u.Y)) * 180 / math.Pi
	if !okTip {
		p.Top = o.px(a)
		return p
	}
	p.Top = o.px(a.Plus(u.Times(geom.Dot(tip.Minus(a), u) + float64(o.Burial))))
	return p
}

// Meant reports whether the landmarks tell where the plan means the nail.
func (o Overlay) Meant() bool {
	_, _, ok := o.way()
	_, _, tip := o.at(anatomy.TrochanterTip)
	return ok && tip
}

// way returns a point of the axis that the nail is to take and its direction.
func (o Overlay) way() (a, u mmPt, ok bool) {
	for _, ends := range [2][2]anatomy.Landmark{{anatomy.ShaftUpper, anatomy.ShaftLower}, {anatomy.TrochanterTip, anatomy.DistalTarget}} {
		a, _, okA := o.at(ends[0])
		b, _, okB := o.at(ends[1])
		if u, ok := (geom.Line[units.MM]{A: a, B: b}).Unit(); okA && okB && ok {
			return a, u, true
		}
	}
	return a, u, false
}

// Shift returns the pose moved by some millimetres along its axis, downwards,
// and across it, to the right as the upright nail is seen.
func (o Overlay) Shift(p Pose, along, across units.MM) Pose {
	u, n := axis(p)
	p.Top = o.px(o.plane.MM(p.Top).Plus(u.Times(float64(along))).Plus(n.Times(float64(across))))
	return p
}

// Turned returns the pose turned about the middle of the nail by some degrees,
// clockwise as seen.
func (o Overlay) Turned(p Pose, deg float64) Pose {
	u, _ := axis(p)
	mid := o.plane.MM(p.Top).Plus(u.Times(float64(o.Part.Length) / 2))
	p.Turn += deg
	u, _ = axis(p)
	p.Top = o.px(mid.Minus(u.Times(float64(o.Part.Length) / 2)))
	return p
}

// Pointed returns the pose with the same top and its tip towards a place of
// the film.
func (o Overlay) Pointed(p Pose, to geom.Pt[units.Px]) Pose {
	d := o.plane.MM(to).Minus(o.plane.MM(p.Top))
	if geom.Dot(d, d) > 1 {
		p.Turn = math.Atan2(-float64(d.X), float64(d.Y)) * 180 / math.Pi
	}
	return p
}

// Tip returns where the lower end of the nail lies on the film.
func (o Overlay) Tip(p Pose) geom.Pt[units.Px] {
	u, _ := axis(p)
	return o.px(o.plane.MM(p.Top).Plus(u.Times(float64(o.Part.Length))))
}

// axis returns the direction of the nail, downwards, and the one across it, to
// the right of a nail that hangs straight.
func axis(p Pose) (down, right mmPt) {
	sin, cos := math.Sincos(p.Turn * math.Pi / 180)
	return mmPt{X: units.MM(-sin), Y: units.MM(cos)}, mmPt{X: units.MM(cos), Y: units.MM(sin)}
}
