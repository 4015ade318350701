package viewer

import (
	"isthmus/core/geom"
	"isthmus/core/units"
)

const (
	loupeRadius Css = 60
	loupeAbove  Css = 124 // from the finger to the middle of the loupe
	loupeZoom       = 3.0
)

// loupe returns the magnifier for the point that is held or aimed, or nil.
func loupe(s Show) *Loupe {
	var at geom.Pt[units.Px]
	switch {
	case s.Aim != nil:
		at = *s.Aim
	case s.Held >= 0 && s.Held < len(s.Marks):
		at = s.Marks[s.Held].At
	default:
		return nil
	}
	if !at.Finite() || !s.Finger.Finite() {
		return nil
	}
	centre := LoupeAt(s.View, s.Finger)
	v := s.View.about(s.View.ToScreen(at), centre, s.View.scale*loupeZoom)
	v.at = centre.Minus(v.linear(at)) // a loupe may show what lies beyond the film
	return &Loupe{Centre: centre, Radius: loupeRadius, View: v, Cross: centre}
}

// LoupeAt returns the middle of the loupe for a finger: above it, below it
// near the upper edge, and never beyond the sides of the area.
func LoupeAt(v View, at geom.Pt[Css]) geom.Pt[Css] {
	y := at.Y - loupeAbove
	if y < loupeRadius {
		y = at.Y + loupeAbove
	}
	x := at.X
	if v.w >= 2*loupeRadius {
		x = min(max(x, loupeRadius), v.w-loupeRadius)
	}
	if v.h >= 2*loupeRadius {
		y = min(max(y, loupeRadius), v.h-loupeRadius)
	}
	return geom.Pt[Css]{X: x, Y: y}
}

const (
	letter     Css = 7.6 // a generous width of one letter at 14 px
	lineHeight Css = 20
	beside     Css = 14 // from a point to its label
)

// box is the room a label takes.
type box struct{ lo, hi geom.Pt[Css] }

func (b box) hits(c box) bool {
	return b.lo.X < c.hi.X && c.lo.X < b.hi.X && b.lo.Y < c.hi.Y && c.lo.Y < b.hi.Y
}

// labels places the words: the current one first, then those of lines, then
// the other names. A word that would cover another is left out; its point
// stays, and its name is in the list below the film.
func labels(s Show, strokes []Stroke) []Label {
	var out []Label
	var taken []box
	put := func(at geom.Pt[Css], text string, style Style, must bool) {
		l, b := label(s.View, at, text, style)
		for _, t := range taken {
			if b.hits(t) && !must {
				return
			}
		}
		out, taken = append(out, l), append(taken, b)
	}
	names := func(current bool) {
		for i, m := range s.Marks {
			now := m.Current || i == s.Held
			if m.Name == "" || !m.At.Finite() || now != current {
				continue
			}
			if p := s.View.ToScreen(m.At); inArea(s.View, p) {
				put(p, m.Name, dot(s, i, m).Style, current)
			}
		}
	}
	names(true)
	for _, st := range strokes {
		if p, ok := middle(st); ok && st.Text != "" && inArea(s.View, p) {
			put(p, st.Text, st.Style, false)
		}
	}
	names(false)
	return out
}

func inArea(v View, p geom.Pt[Css]) bool { return p.X >= 0 && p.Y >= 0 && p.X <= v.w && p.Y <= v.h }

// middle returns where the words of a stroke go: the middle of a line, the
// rightmost place of a ring.
func middle(s Stroke) (geom.Pt[Css], bool) {
	switch {
	case len(s.Path) == 0:
		return geom.Pt[Css]{}, false
	case !s.Closed:
		return geom.Mid(s.Path[0], s.Path[len(s.Path)-1]), true
	}
	best := s.Path[0]
	for _, p := range s.Path {
		if p.X > best.X {
			best = p
		}
	}
	return best, true
}

// label puts words to the right of a place, to the left where only that side
// has room, and cuts them short where neither has.
func label(v View, at geom.Pt[Css], text string, style Style) (Label, box) {
	width := letter * Css(len([]rune(text)))
	l := Label{At: geom.Pt[Css]{X: at.X + beside, Y: at.Y}, Text: text, Style: style}
	right, left := v.w-l.At.X, at.X-beside
	if width > right && left > right {
		l.At.X, l.Right = at.X-beside, true
	}
	if room := max(right, left); width > right && width > room {
		l.Text = cut(text, int(room/letter))
		width = letter * Css(len([]rune(l.Text)))
	}
	b := box{geom.Pt[Css]{X: l.At.X, Y: at.Y - lineHeight/2}, geom.Pt[Css]{X: l.At.X + width, Y: at.Y + lineHeight/2}}
	if l.Right {
		b.lo.X, b.hi.X = l.At.X-width, l.At.X
	}
	return l, b
}

// cut shortens words to n letters and shows that it did.
func cut(text string, n int) string {
	r := []rune(text)
	if len(r) <= n {
		return text
	}
	return string(r[:max(n-1, 0)]) + "…"
}
