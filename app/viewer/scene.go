package viewer

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Matrix maps a film place to the screen: x' = A·x + C·y + E,
// y' = B·x + D·y + F.
type Matrix struct{ A, B, C, D, E, F float64 }

// Matrix returns the whole view as one matrix, for the drawing surface.
func (v View) Matrix() Matrix {
	o := v.ToScreen(geom.Pt[units.Px]{})
	x := v.ToScreen(geom.Pt[units.Px]{X: 1}).Minus(o)
	y := v.ToScreen(geom.Pt[units.Px]{Y: 1}).Minus(o)
	return Matrix{float64(x.X), float64(x.Y), float64(y.X), float64(y.Y), float64(o.X), float64(o.Y)}
}

// A Patch is a rectangle of the film, measured from the outer corner of its
// first pixel: pixel (0, 0) covers 0…1. It is half a pixel off the film
// places, whose whole numbers lie in the middle of the pixels.
type Patch struct{ X, Y, W, H float64 }

// Seen returns the part of the film that can be seen inside a box of the
// screen, in whole pixels, and false when nothing can.
func (v View) Seen(lo, hi geom.Pt[Css]) (Patch, bool) {
	if !v.Ok() || !lo.Finite() || !hi.Finite() {
		return Patch{}, false
	}
	a, b := v.ToFilm(lo), v.ToFilm(hi)
	x0 := math.Floor(math.Max(0, float64(min(a.X, b.X))+0.5))
	y0 := math.Floor(math.Max(0, float64(min(a.Y, b.Y))+0.5))
	x1 := math.Ceil(math.Min(float64(v.film.W), float64(max(a.X, b.X))+0.5))
	y1 := math.Ceil(math.Min(float64(v.film.H), float64(max(a.Y, b.Y))+0.5))
	if !(x1 > x0) || !(y1 > y0) {
		return Patch{}, false
	}
	return Patch{x0, y0, x1 - x0, y1 - y0}, true
}

// A Mark is a named point on the film as the screen knows it.
type Mark struct {
	At      geom.Pt[units.Px]
	Name    string
	Current bool
	Fixed   bool // shown only; it cannot be grabbed here
	Offered bool // only proposed, and not in the case
}

// A Join is a line between two places, with what it measures.
type Join struct {
	A, B  geom.Pt[units.Px]
	Text  string
	Scale bool // part of a scale, not of the bone
}

// Square returns a place on the film counted in pixel widths both ways, so
// that a circle is a circle whatever the shape of the pixels.
func (f Film) Square(p geom.Pt[units.Px]) geom.Pt[units.Px] {
	return geom.Pt[units.Px]{X: p.X, Y: p.Y * units.Px(f.Tall)}
}

// A Ring is a circle or ellipse fitted through marks, in places as Square
// returns them. Tilt is the angle of the long axis from the film's x axis, in
// degrees, clockwise positive.
type Ring struct {
	Centre      geom.Pt[units.Px]
	Long, Short units.Px // half axes
	Tilt        float64
	Text        string
	Scale       bool
}

// A Trail is a path on the film that is only proposed, or an implant laid over
// it.
type Trail struct {
	Path   []geom.Pt[units.Px]
	Closed bool
	Text   string
	Style  Style
}

// A Show is everything that is known of a film, for Compose.
type Show struct {
	View  View
	Marks []Mark
	Joins []Join
	Rings []Ring
	// Trails are drawn last, over the rest.
	Trails []Trail
	// Held is the mark that moves under the finger, or −1.
	Held int
	// Placing says that a tap puts a new point down: no handle then.
	Placing bool
	// Aim is where a new point would lie while a finger aims.
	Aim    *geom.Pt[units.Px]
	Finger geom.Pt[Css]
}

// A Style says what a thing is; the screen chooses its line. Styles differ in
// shape and not only in colour.
type Style int

const (
	Quiet   Style = iota // a point of the bone: thin ring with a dot
	Moving               // the current thing: larger, with a handle
	Rule                 // part of a scale: square, dashed line
	Offered              // only proposed, and not in the case: short dashes
	Metal                // an implant drawn over the film: full line with a wide halo
)

// A Dot is a point to draw.
type Dot struct {
	At     geom.Pt[Css]
	Style  Style
	Handle *geom.Pt[Css] // the current point's handle, with a stalk to it
}

// A Stroke is a path to draw through its places.
type Stroke struct {
	Path   []geom.Pt[Css]
	Closed bool
	Style  Style
	Text   string
}

// A Label is words to draw with a dark halo. At is the middle of the left or,
// if Right, of the right end of the line.
type Label struct {
	At    geom.Pt[Css]
	Text  string
	Right bool
	Style Style
}

// A Loupe is a round magnifier.
type Loupe struct {
	Centre geom.Pt[Css]
	Radius Css
	View   View // what it shows, in the same coordinates as the rest
	Cross  geom.Pt[Css]
}

// A Scene is a list of what to draw over the film, in CSS pixels.
type Scene struct {
	View    View
	Dots    []Dot
	Strokes []Stroke
	Labels  []Label
	Loupe   *Loupe
}

// Compose returns what to draw. Things that are not numbers are left out.
func Compose(s Show) Scene {
	out := Scene{View: s.View}
	if !s.View.Ok() {
		return out
	}
	for _, r := range s.Rings {
		if st, ok := ring(s.View, r); ok {
			out.Strokes = append(out.Strokes, st)
		}
	}
	for _, j := range s.Joins {
		if j.A.Finite() && j.B.Finite() {
			out.Strokes = append(out.Strokes, Stroke{Path: []geom.Pt[Css]{s.View.ToScreen(j.A), s.View.ToScreen(j.B)}, Style: quietOr(j.Scale), Text: j.Text})
		}
	}
	for _, tr := range s.Trails {
		if st, ok := trail(s.View, tr); ok {
			out.Strokes = append(out.Strokes, st)
		}
	}
	for i, m := range s.Marks {
		if m.At.Finite() {
			out.Dots = append(out.Dots, dot(s, i, m))
		}
	}
	if s.Aim != nil && s.Aim.Finite() {
		out.Dots = append(out.Dots, Dot{At: s.View.ToScreen(*s.Aim), Style: Moving})
	}
	out.Labels = labels(s, out.Strokes)
	out.Loupe = loupe(s)
	return out
}

// trail returns the path on the screen; one place that is no number leaves the
// whole path out, since a path with a gap would be drawn straight across it.
func trail(v View, t Trail) (Stroke, bool) {
	st := Stroke{Closed: t.Closed, Style: t.Style, Text: t.Text}
	for _, p := range t.Path {
		if !p.Finite() {
			return Stroke{}, false
		}
		st.Path = append(st.Path, v.ToScreen(p))
	}
	return st, len(st.Path) > 1
}

func quietOr(scale bool) Style {
	if scale {
		return Rule
	}
	return Quiet
}

func dot(s Show, i int, m Mark) Dot {
	d := Dot{At: s.View.ToScreen(m.At), Style: quietOr(m.Fixed)}
	if m.Offered {
		d.Style = Offered
	}
	if m.Current || i == s.Held {
		d.Style = Moving
	}
	if m.Current && s.Held < 0 && s.Aim == nil && !s.Placing {
		h := HandleAt(s.View, d.At)
		d.Handle = &h
	}
	return d
}

// ringSteps is how many corners draw a ring; at 120 the corner of a ring as
// large as the screen is off by 0.1 CSS pixel.
const ringSteps = 120

func ring(v View, r Ring) (Stroke, bool) {
	sum := float64(r.Centre.X+r.Centre.Y+r.Long+r.Short) + r.Tilt
	if math.IsNaN(sum) || math.IsInf(sum, 0) || !(r.Long > 0) || !(r.Short > 0) {
		return Stroke{}, false
	}
	sin, cos := math.Sincos(r.Tilt * math.Pi / 180)
	st := Stroke{Closed: true, Style: quietOr(r.Scale), Text: r.Text}
	for i := range ringSteps {
		s, c := math.Sincos(2 * math.Pi * float64(i) / ringSteps)
		x, y := float64(r.Long)*c, float64(r.Short)*s
		st.Path = append(st.Path, v.ToScreen(geom.Pt[units.Px]{
			X: r.Centre.X + units.Px(x*cos-y*sin),
			Y: (r.Centre.Y + units.Px(x*sin+y*cos)) / units.Px(v.film.Tall),
		}))
	}
	return st, true
}
