package plan

import (
	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// alignOf returns how the leg stands, from readings of both legs with the
// image intensifier and a ruler, and from films of both hips.
func alignOf(c record.Case, films []shot, p Policy) (Align, []Problem) {
	s := standing{readings: c.Readings, films: films, p: p}
	s.turn()
	s.lesser()
	s.length()
	s.neck()
	s.gap(c.Injury)
	s.agree()
	return s.Align, s.problems
}

// standing works the alignment out and keeps what went wrong.
type standing struct {
	Align
	readings []record.Reading
	films    []shot
	p        Policy
	problems []Problem
}

// take keeps the reasons and problems of an answer.
func (s *standing) take(a Answered) {
	s.Why, s.problems = append(s.Why, a.Why...), append(s.problems, a.Problems...)
}

// last returns the latest reading of a kind; its zero value when there is none.
func (s *standing) last(kind record.ReadingKind) (record.Reading, bool) {
	i := latest(s.readings, kind)
	if i < 0 {
		return record.Reading{}, false
	}
	return s.readings[i], true
}

func (s *standing) turn() {
	in, _ := s.last(record.TurnInjured)
	so, _ := s.last(record.TurnSound)
	a := TurnFrom(Arc{in.Angle, in.AngleTwo}, Arc{so.Angle, so.AngleTwo}, s.p)
	s.TurnInjured, s.TurnSound, s.Turn = a.Injured, a.Sound, a.Angle
	s.take(a.Answered)
}

func (s *standing) lesser() {
	in, ok := s.last(record.LesserInjured)
	so, also := s.last(record.LesserSound)
	if ok || also {
		a := LesserFrom(in.First, so.First)
		s.Lesser = a.Angle
		s.take(a)
	}
}

func (s *standing) length() {
	in, ok := s.last(record.LengthInjured)
	so, also := s.last(record.LengthSound)
	if ok || also {
		a := LengthDiff(in.First, so.First, s.p)
		s.Length = a.Length
		s.take(a)
	}
}

func (s *standing) gap(in record.Injury) {
	r, ok := s.last(record.GapFound)
	if !ok || r.First == nil {
		return
	}
	a := GapFrom(*r.First, simple(in), s.p)
	s.Gap = a.Length
	s.take(a)
}

// simple reports whether the shaft is broken in two pieces only, by the code
// or by the comminution that was answered.
func simple(in record.Injury) record.Answer {
	switch in.Comminution {
	case record.ComminutionII, record.ComminutionIII, record.ComminutionIV:
		return record.No
	case record.Comminution0, record.ComminutionI:
		return record.Yes
	}
	c, err := ParseCode(in.Code)
	switch {
	case err != nil:
		return record.NotAsked
	case c.Bone == "32" && c.Type == 'A':
		return record.Yes
	}
	return record.No
}

// agree compares the two ways to see a turn.
func (s *standing) agree() {
	if s.Turn == nil || s.Lesser == nil {
		return
	}
	d := units.Length{Best: units.MM(s.Turn.Best - s.Lesser.Best)}
	d.Own = units.Length{Own: units.MM(s.Turn.Own), Shared: units.MM(s.Lesser.Own)}.Doubt()
	if d.Against(0) != units.Unclear && d.Doubt() > 0 {
		s.problems = append(s.problems, trouble("turns-disagree", fields("readings"), angle("carm", *s.Turn), angle("profile", *s.Lesser)))
	}
}

// neck compares the neck of both sides: from two views where they are there,
// which takes out the turn of the leg, else from the front alone. A broken
// bone that is not at its length is not measured.
func (s *standing) neck() {
	in, so := s.hip(anatomy.Injured), s.hip(anatomy.Sound)
	s.Version, s.TrueNSA = in.version, in.angle
	var a Answered
	switch {
	case in.angle != nil && so.angle != nil:
		a = NeckShaftDiff(*in.angle, *so.angle, s.p)
	case in.front != nil && so.front != nil:
		a = NeckShaftDiff(measure.BesideOther(*in.front), measure.BesideOther(*so.front), s.p)
		a.Why = append(a.Why, why("neck-one-view"))
	}
	s.Shaft = a.Angle
	s.take(a)
	if s.Turn == nil && in.version != nil && so.version != nil {
		t := TurnBetween(*in.version, *so.version, s.p)
		s.Turn = t.Angle
		s.take(t)
	}
}

// A hipSeen is what films show of one femur's neck.
type hipSeen struct {
	front, side    *units.Angle // as seen
	seen           units.Angle  // front, for use beside the side
	version, angle *units.Angle // in truth
}

func (s *standing) hip(bone anatomy.Bone) hipSeen {
	var h hipSeen
	for _, f := range s.films {
		if f.film.Bone != bone || bone == anatomy.Injured && f.film.Reduced != record.Yes {
			continue
		}
		switch {
		case f.View == anatomy.AP && h.front == nil && f.count(neckAxis...) == len(neckAxis):
			if a, err := measure.NeckShaftAngle(f.Film); err == nil { // core/plan's levels.go says what is wrong
				h.front = &a
				if seen, err := measure.NeckShaftSeen(f.Film); err == nil {
					h.seen = seen
				}
			}
		case f.View == anatomy.Lateral && h.side == nil && f.count(sideAxis...) == len(sideAxis):
			n, err := measure.NeckFromSide(f.Film)
			if err != nil {
				s.problems = append(s.problems, refused(f, err))
				continue
			}
			h.side = &n.Gamma
		}
	}
	if h.front == nil || h.side == nil {
		return h
	}
	v := VersionFrom(bone, h.seen, *h.side)
	h.version, h.angle = v.Version, v.NeckShaft
	s.Why, s.problems = append(s.Why, v.Why...), append(s.problems, v.Problems...)
	return h
}

// sideAxis lists what the neck is measured from on a lateral film.
var sideAxis = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3,
	anatomy.NeckFront, anatomy.NeckBack, anatomy.ShaftUpper, anatomy.ShaftLower}
