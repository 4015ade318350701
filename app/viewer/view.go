// Package viewer turns places on the screen into places on the film and back,
// fingers into actions, and what is known of a film into a list of things to
// draw. It knows no browser: the screen feeds it events and draws what it
// says.
package viewer

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// Css is a distance in CSS pixels of the page, from the upper left corner of
// the film area. It does not depend on the device's pixel ratio.
type Css float64

// A Film is the size of a film. Tall is the height of one pixel over its
// width, 1 for square pixels; a film whose pixels are not square is drawn
// with its true shape.
type Film struct {
	W, H units.Px
	Tall float64
}

// ok reports whether the film can be shown at all.
func (f Film) ok() bool {
	return f.W >= 1 && f.H >= 1 && f.W <= maxSide && f.H <= maxSide && f.Tall >= 0.1 && f.Tall <= 10
}

const (
	maxSide  units.Px = 1 << 20 // no film is wider; keeps every sum finite
	margin   Css      = 8       // around a fitted film
	minArea  Css      = 16      // a smaller area cannot show anything
	inSight  Css      = 60      // this much of the film stays in the area
	closest           = 24.0    // css pixels for one film pixel, at the closest
	farthest Css      = 1e5     // no place of a screen lies farther out
)

// A View is where the film lies in the area of the screen: one transform
// between CSS pixels and film pixels, made of a zoom, quarter turns, a mirror
// for the eye only, and a shift. It is never changed; each method returns
// another. Its zero value shows nothing and Ok is false.
type View struct {
	w, h  Css
	film  Film
	scale float64 // css pixels for the width of one film pixel
	turn  int     // quarter turns clockwise, 0 to 3
	flip  bool    // mirrored left to right, after the turn
	at    geom.Pt[Css]
	whole bool // nothing but Fit has moved it
}

// Fit returns the view that shows the whole film in an area of w by h, or the
// zero View when the film or the area has no size.
func Fit(w, h Css, film Film) View {
	if !film.ok() || !(w >= minArea) || !(h >= minArea) || !(w <= farthest) || !(h <= farthest) {
		return View{}
	}
	return View{w: w, h: h, film: film, scale: 1}.FitAgain()
}

// onScreen reports whether p can be a place of a screen at all. What is not a
// number is not.
func onScreen(p geom.Pt[Css]) bool {
	return p.X >= -farthest && p.X <= farthest && p.Y >= -farthest && p.Y <= farthest
}

// Ok reports whether the view shows a film; a view that is not Ok places no
// point.
func (v View) Ok() bool { return v.scale > 0 }

// Size returns the size of the area.
func (v View) Size() (w, h Css) { return v.w, v.h }

// Middle returns the middle of the area.
func Middle(v View) geom.Pt[Css] { return geom.Pt[Css]{X: v.w / 2, Y: v.h / 2} }

// Film returns the film that is shown.
func (v View) Film() Film { return v.film }

// Scale returns how many CSS pixels wide one film pixel is shown.
func (v View) Scale() float64 { return v.scale }

// Mirrored reports whether left and right are swapped for the eye. The screen
// must say so loudly.
func (v View) Mirrored() bool { return v.flip }

// Quarters returns the quarter turns clockwise, 0 to 3.
func (v View) Quarters() int { return v.turn }

// Whole reports whether the view is as Fit made it.
func (v View) Whole() bool { return v.whole }

// FitAgain returns the view with the whole film in the area, turned and
// mirrored as it is.
func (v View) FitAgain() View {
	if !v.Ok() {
		return v
	}
	v.scale = v.fitScale()
	v.at = geom.Pt[Css]{}
	mid := v.linear(v.film.centre())
	v.at = geom.Pt[Css]{X: v.w / 2, Y: v.h / 2}.Minus(mid)
	v.whole = true
	return v
}

func (v View) fitScale() float64 {
	fw, fh := float64(v.film.W), float64(v.film.H)*v.film.Tall
	if v.turn%2 == 1 {
		fw, fh = fh, fw
	}
	return math.Min(float64(max(v.w-2*margin, minArea/2))/fw, float64(max(v.h-2*margin, minArea/2))/fh)
}

// centre returns the middle of the film; pixel centres lie at whole numbers.
func (f Film) centre() geom.Pt[units.Px] {
	return geom.Pt[units.Px]{X: (f.W - 1) / 2, Y: (f.H - 1) / 2}
}

// linear returns the film vector p turned, mirrored and zoomed, not shifted.
func (v View) linear(p geom.Pt[units.Px]) geom.Pt[Css] {
	x, y := v.scale*float64(p.X), v.scale*v.film.Tall*float64(p.Y)
	switch v.turn {
	case 1:
		x, y = -y, x
	case 2:
		x, y = -x, -y
	case 3:
		x, y = y, -x
	}
	if v.flip {
		x = -x
	}
	return geom.Pt[Css]{X: Css(x), Y: Css(y)}
}

// ToScreen returns where a place on the film is shown.
func (v View) ToScreen(p geom.Pt[units.Px]) geom.Pt[Css] { return v.at.Plus(v.linear(p)) }

// ToFilm returns the place on the film that is shown at p; it is the exact
// inverse of ToScreen. The view must be Ok.
func (v View) ToFilm(p geom.Pt[Css]) geom.Pt[units.Px] {
	if !v.Ok() {
		return geom.Pt[units.Px]{}
	}
	d := p.Minus(v.at)
	x, y := float64(d.X), float64(d.Y)
	if v.flip {
		x = -x
	}
	switch v.turn {
	case 1:
		x, y = y, -x
	case 2:
		x, y = -x, -y
	case 3:
		x, y = -y, x
	}
	return geom.Pt[units.Px]{X: units.Px(x / v.scale), Y: units.Px(y / (v.scale * v.film.Tall))}
}

// Inside reports whether a place lies on the film. The outer pixels end half
// a pixel beyond their centres.
func (v View) Inside(p geom.Pt[units.Px]) bool {
	return p.X >= -0.5 && p.Y >= -0.5 && p.X <= v.film.W-0.5 && p.Y <= v.film.H-0.5
}

// Onto returns the place on the film that is nearest to p.
func (v View) Onto(p geom.Pt[units.Px]) geom.Pt[units.Px] {
	return geom.Pt[units.Px]{
		X: min(max(p.X, -0.5), v.film.W-0.5),
		Y: min(max(p.Y, -0.5), v.film.H-0.5),
	}
}

// Pan returns the view shifted by d. A part of the film always stays in the
// area, so that it cannot be lost.
func (v View) Pan(d geom.Pt[Css]) View {
	if !v.Ok() || !onScreen(d) {
		return v
	}
	v.at = v.at.Plus(d)
	v.whole = false
	return v.kept()
}

// kept returns the view shifted back as far as is needed to keep a part of
// the film in sight.
func (v View) kept() View {
	a, b := v.box()
	keepX, keepY := min(inSight, b.X-a.X), min(inSight, b.Y-a.Y)
	v.at.X += max(0, keepX-b.X) - max(0, a.X-(v.w-keepX))
	v.at.Y += max(0, keepY-b.Y) - max(0, a.Y-(v.h-keepY))
	return v
}

// box returns the corners of the film on the screen: least and greatest x, y.
func (v View) box() (lo, hi geom.Pt[Css]) {
	p := v.ToScreen(geom.Pt[units.Px]{X: -0.5, Y: -0.5})
	q := v.ToScreen(geom.Pt[units.Px]{X: v.film.W - 0.5, Y: v.film.H - 0.5})
	return geom.Pt[Css]{X: min(p.X, q.X), Y: min(p.Y, q.Y)}, geom.Pt[Css]{X: max(p.X, q.X), Y: max(p.Y, q.Y)}
}

// ZoomAt returns the view zoomed by a factor with the film staying still
// under the anchor. The zoom stays between half of the fitted one and 24 CSS
// pixels for one film pixel (or four times the fitted one, if that is more).
func (v View) ZoomAt(anchor geom.Pt[Css], factor float64) View {
	if !v.Ok() || !onScreen(anchor) || !(factor > 0) || math.IsInf(factor, 0) {
		return v
	}
	fit := v.fitScale()
	scale := math.Min(math.Max(v.scale*factor, fit/2), math.Max(closest, 4*fit))
	return v.about(anchor, anchor, scale)
}

// about returns the view at another zoom in which the film point that was
// shown at from is shown at to.
func (v View) about(from, to geom.Pt[Css], scale float64) View {
	p := v.ToFilm(from)
	v.scale = scale
	v.at = to.Minus(v.linear(p))
	v.whole = false
	return v.kept()
}

// Pinch returns the view after two fingers went from one pair of places to
// another. The film point between the fingers stays between them and the zoom
// follows their distance, so both fingers stay on their film points as long
// as the pair does not turn; the film is never turned by fingers.
func (v View) Pinch(from, to [2]geom.Pt[Css]) View {
	before, after := geom.Dist(from[0], from[1]), geom.Dist(to[0], to[1])
	mid, now := geom.Mid(from[0], from[1]), geom.Mid(to[0], to[1])
	if !v.Ok() || !(before >= 1) || !(after >= 1) || !(before <= farthest) || !(after <= farthest) || !onScreen(mid) || !onScreen(now) {
		return v
	}
	z := v.ZoomAt(mid, float64(after/before))
	return v.about(mid, now, z.scale)
}

// Turn returns the view turned by quarters clockwise, about the middle of the
// area.
func (v View) Turn(quarters int) View {
	if v.flip {
		quarters = -quarters
	}
	return v.spun(((v.turn+quarters)%4+4)%4, v.flip)
}

// Mirror returns the view with left and right swapped for the eye, or swapped
// back. Points are stored as ever: a mirrored view changes no measurement.
func (v View) Mirror() View { return v.spun(v.turn, !v.flip) }

func (v View) spun(turn int, flip bool) View {
	if !v.Ok() {
		return v
	}
	whole, mid := v.whole, geom.Pt[Css]{X: v.w / 2, Y: v.h / 2}
	p := v.ToFilm(mid)
	v.turn, v.flip = turn, flip
	if whole {
		return v.FitAgain()
	}
	v.at = mid.Minus(v.linear(p))
	return v.kept()
}

// Resize returns the view in an area of another size. A whole film stays
// whole; otherwise the middle and the zoom stay.
func (v View) Resize(w, h Css) View {
	if !v.Ok() || !(w >= minArea) || !(h >= minArea) || !(w <= farthest) || !(h <= farthest) {
		return v
	}
	p := v.ToFilm(geom.Pt[Css]{X: v.w / 2, Y: v.h / 2})
	whole := v.whole
	v.w, v.h = w, h
	if whole {
		return v.FitAgain()
	}
	v.at = geom.Pt[Css]{X: w / 2, Y: h / 2}.Minus(v.linear(p))
	return v.kept()
}
