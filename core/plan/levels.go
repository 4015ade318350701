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
// The lower end of the fracture counts only on a film on which the bone is at
// its length, for it lies beyond the break.
func (m *measuring) levels(b *Bone) {
	at := m.levelFilm()
	if at < 0 {
		return
	}
	s := m.films[at]
	b.Fracture = m.level(s, anatomy.FractureUpper)
	b.Lesser = m.level(s, anatomy.LesserTroch)
	if s.count(anatomy.SecondUpper, anatomy.SecondLower) == 2 {
		if upper, _, err := measure.SecondBreak(s.Film); err == nil { // a refusal is said where the holes are chosen
			b.Second = &upper
		}
	}
	if s.film.Reduced == record.Yes {
		b.FractureL = m.level(s, anatomy.FractureLower)
	}
	if b.Isthmus = m.isthmusLevel(s); b.Isthmus != nil {
		return
	}
	for _, o := range m.films {
		if o.i == s.i || o.View != anatomy.AP {
			continue
		}
		if l := m.isthmusLevel(o); l != nil {
			if o.film.Bone == anatomy.Sound {
				l.Own = units.MM(math.Hypot(float64(l.Own), float64(sideDoubt(m.p))))
			}
			apart := l.Apart() // another film, another scale
			b.Isthmus = &apart
			return
		}
	}
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
	l, err := measure.Level(s.Film, name)
	if err != nil {
		m.problems = append(m.problems, refused(s, err))
		return nil
	}
	return &l
}

// isthmusLevel is the level of the middle between the two canal points.
func (m *measuring) isthmusLevel(s shot) *units.Length {
	if s.count(anatomy.TrochanterTip, anatomy.DistalTarget, anatomy.CanalA, anatomy.CanalB) < 4 {
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
			b.NSA = &a
			return
		}
	}
}

// neckAxis lists what the angle between neck and shaft is measured from.
var neckAxis = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3,
	anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower}
