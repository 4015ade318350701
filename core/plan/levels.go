package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// levels measures how far below the tip of the trochanter things lie, along
// the bone. All come from one film where possible, so that their differences
// share one scale: the AP film of the injured femur that shows most of them.
// What lies beyond the break counts only on a film on which the bone is at its
// length, for elsewhere it is not where it will be: the lower end of the
// fracture, a second break, and the isthmus where it lies there.
func (m *measuring) levels(b *Bone) {
	at := m.levelFilm()
	if at < 0 {
		return
	}
	s := m.films[at]
	b.Fracture = m.level(s, anatomy.FractureUpper)
	b.Lesser = m.level(s, anatomy.LesserTroch)
	var second *units.Length
	if s.count(anatomy.SecondUpper, anatomy.SecondLower) == 2 {
		if upper, _, err := measure.SecondBreak(s.Film); err == nil { // a refusal is said where the holes are chosen
			second = &upper
		}
	}
	if s.apart() {
		b.Past = pastBreak(s, second)
	} else {
		b.FractureL, b.Second = m.level(s, anatomy.FractureLower), second
	}
	m.isthmus(s, b)
}

// apart reports whether the pieces of the bone may stand apart on a film.
func (s shot) apart() bool {
	return s.film.Bone == anatomy.Injured && s.film.Reduced != record.Yes
}

// isthmus takes the level of the isthmus from the film of the other levels,
// else from another film from the front. Where only films show it on which it
// cannot be told, it says why.
func (m *measuring) isthmus(first shot, b *Bone) {
	films := []shot{first}
	for _, o := range m.films {
		if o.i != first.i && o.View == anatomy.AP {
			films = append(films, o)
		}
	}
	var left *Problem
	for k, o := range films {
		if code := isthmusHidden(o); code != "" {
			if left == nil {
				q := trouble(code, fields(index("films", o.i)+".points", index("films", o.i)+".reduced"), number("film", float64(o.i+1)))
				left = &q
			}
			continue
		}
		l := m.isthmusLevel(o)
		if l == nil {
			continue
		}
		if o.film.Bone == anatomy.Sound {
			l.Own = units.MM(math.Hypot(float64(l.Own), float64(sideDoubt(m.p))))
		}
		if k > 0 {
			l = pointer(l.Apart()) // another film, another scale
		}
		b.Isthmus = l
		return
	}
	if left != nil {
		m.problems = append(m.problems, *left)
	}
}

// isthmusHidden returns why a film on which the pieces stand apart does not
// tell the level of the isthmus: it is not surely on the upper piece, or
// nobody marked where that ends. Empty where it does tell it, or shows none.
func isthmusHidden(s shot) string {
	if !s.apart() || s.count(isthmusMarks...) < len(isthmusMarks) {
		return ""
	}
	is, err := measure.Level(s.Film, anatomy.CanalA)
	if err != nil {
		return "" // said when it is measured
	}
	upper, ok := levelOn(s, anatomy.FractureUpper)
	switch {
	case !ok:
		return "isthmus-which-piece"
	case is.Minus(upper).Against(0) != units.Less:
		return "isthmus-beyond-break"
	}
	return ""
}

// Gaps are how far below the isthmus the fracture and a second break begin,
// on a film on which no level tells it; nil where not even that is known.
type Gaps struct{ Fracture, Second *units.Length }

// piecesApart is the standard uncertainty of how far two pieces have moved
// along the bone, in millimetres. Common practice.
const piecesApart = 10.0

// pastBreak compares the breaks with an isthmus that lies beyond the first one
// on a film on which the pieces stand apart: the fracture with the doubt of
// the displacement, a second break as it is seen, for between the two breaks
// both lie on one piece.
func pastBreak(s shot, second *units.Length) Gaps {
	if isthmusHidden(s) != "isthmus-beyond-break" {
		return Gaps{}
	}
	is, _ := levelOn(s, anatomy.CanalA)
	upper, _ := levelOn(s, anatomy.FractureUpper)
	first := upper.Minus(is)
	first.Own = units.MM(math.Hypot(float64(first.Own), piecesApart))
	g := Gaps{Fracture: &first}
	if second != nil {
		g.Second = pointer(second.Minus(is))
	}
	return g
}

// belowIsthmus returns how far below the isthmus the fracture and a second
// break begin.
func (b Bone) belowIsthmus() Gaps {
	g := b.Past
	if b.Isthmus == nil {
		return g
	}
	if b.Fracture != nil {
		g.Fracture = pointer(b.Fracture.Minus(*b.Isthmus))
	}
	if b.Second != nil {
		g.Second = pointer(b.Second.Minus(*b.Isthmus))
	}
	return g
}

func (m *measuring) levelFilm() int {
	best, at := 0, -1
	for i, s := range m.films {
		if s.film.Bone != anatomy.Injured || s.View != anatomy.AP || s.count(anatomy.TrochanterTip, anatomy.DistalTarget) < 2 {
			continue
		}
		n := 1 + s.count(anatomy.FractureUpper, anatomy.FractureLower, anatomy.LesserTroch, anatomy.CanalA, anatomy.CanalB)
		if n > best {
			best, at = n, i
		}
	}
	return at
}

func (m *measuring) level(s shot, name anatomy.Landmark) *units.Length {
	if s.count(name) == 0 {
		return nil
	}
	of := measure.Level
	if s.apart() {
		of = measure.LevelApart
	}
	l, err := of(s.Film, name)
	if err != nil {
		m.problems = append(m.problems, refused(s, err))
		return nil
	}
	return &l
}

// isthmusMarks are what the level of the isthmus is measured from: the middle
// between the two canal points.
var isthmusMarks = []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget, anatomy.CanalA, anatomy.CanalB}

func (m *measuring) isthmusLevel(s shot) *units.Length {
	if s.count(isthmusMarks...) < len(isthmusMarks) {
		return nil
	}
	return m.level(s, anatomy.CanalA)
}

// head measures the head and the neck, which are needed for head screws.
func (m *measuring) head(b *Bone) {
	b.HeadDia = m.take(anatomy.AP, measure.HeadDiameter, anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3)
	b.NeckRoom = m.take(anatomy.AP, measure.NeckRoom, anatomy.NeckUpper, anatomy.NeckLower)
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		for _, s := range m.films {
			if s.film.Bone != bone || s.View != anatomy.AP || s.count(neckAxis...) < len(neckAxis) {
				continue
			}
			a, err := measure.NeckShaftAngle(s.Film)
			if err != nil {
				m.problems = append(m.problems, refused(s, err))
				continue
			}
			if !s.shaftOnUpper() {
				a.Own = units.Deg(math.Hypot(float64(a.Own), shaftBend))
				m.problems = append(m.problems, trouble("neck-shaft-pieces", fields(index("films", s.i)+".points"), number("film", float64(s.i+1))))
			}
			b.NSA = &a
			return
		}
	}
}

// shaftBend is the standard uncertainty, in degrees, of the direction of a
// shaft that is marked across a break whose pieces stand apart: bent by 8°
// either way, evenly likely, two thirds of it at the marks, and 10 mm aside on
// 220 mm. Common practice.
const shaftBend = 3.5

// shaftOnUpper reports whether both points of the shaft lie on the piece that
// carries the neck: the bone is at its length on this film, or the lower point
// lies surely above the break, measured down the shaft.
func (s shot) shaftOnUpper() bool {
	if !s.apart() {
		return true
	}
	if s.count(anatomy.FractureUpper, anatomy.ShaftUpper, anatomy.ShaftLower) < 3 {
		return false
	}
	return measure.ShaftAbove(s.Film, anatomy.FractureUpper)
}

// neckAxis lists what the angle between neck and shaft is measured from.
var neckAxis = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3,
	anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower}
