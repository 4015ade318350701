package plan

import (
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// seatOf returns where the nail lies along the bone and what closes its top:
// the burial as it was read, else as the head screws ask for it, else as the
// policy plans it; the end cap; the tip against target, notch and kneecap; and
// the bow of the nail against that of the bone. Without a nail only a burial
// that was read is worked on.
func seatOf(c record.Case, pl Plan, films []shot, shelf implant.Shelf, p Policy) (Seat, []Problem) {
	s := seating{Seat: Seat{Entry: c.Injury.Entry}, nail: pl.Nail, films: films, p: p}
	read := latest(c.Readings, record.BurialFound) >= 0
	if pl.Nail.Length == 0 && !read {
		return s.Seat, nil
	}
	s.burial(c, pl)
	end := CapFor(s.Burial, shelf)
	s.Cap, s.CapLeft = end.Cap, end.Left
	s.Why = append(s.Why, end.Why...)
	s.add(end.Problems...)
	if pl.Nail.Length > 0 {
		s.tip(pl.Bone)
		s.bow()
		s.entry(c.Injury)
	}
	return s.Seat, s.problems
}

// seating works the seat out and keeps what went wrong.
type seating struct {
	Seat
	nail     NailChoice
	films    []shot
	p        Policy
	problems []Problem
}

func (s *seating) add(q ...Problem) { s.problems = append(s.problems, q...) }

// burial takes the burial that is known best.
func (s *seating) burial(c record.Case, pl Plan) {
	if i := latest(c.Readings, record.BurialFound); i >= 0 {
		r, field := c.Readings[i], index("readings", i)+".first_mm"
		if r.First == nil {
			s.add(trouble("reading-missing", fields(field), word("kind", string(r.Kind))))
			return
		}
		b := units.Length{Best: *r.First, Own: s.p.GaugeReading}
		if bad := outsideLength(field, b, burialLo, burialHi); bad != nil {
			s.add(inPart(PartNail, bad)...)
			return
		}
		s.Burial, s.Why = &b, []Reason{why("seat-read", length("burial", b))}
		return
	}
	top := pl.Space.Top
	if pl.Locking.Pattern == HeadLock && pl.Space.Solved && top != nil && outsideLength("", *top, burialLo, burialHi) == nil {
		b := top.Apart()
		s.Burial, s.Why = &b, []Reason{why("seat-screws", length("burial", b))}
		return
	}
	b := units.Exact(s.p.Burial)
	s.Burial, s.Why = &b, []Reason{why("seat-planned", shown("burial", s.p.Burial))}
}

// tip compares the tip of the nail with target, notch and kneecap. How far
// the last two lie beyond the target is taken from one film, the length of
// the bone from all ways together.
func (s *seating) tip(b Bone) {
	if s.Burial == nil || b.Length == nil {
		return
	}
	tip := s.Burial.Plus(units.Exact(s.nail.Length))
	short := b.Length.Minus(tip)
	s.Why = append(s.Why, why("seat-tip", length("tip", tip), length("short", short)))
	if short.Best < -guard {
		s.add(trouble("tip-past-target", fields("readings", "films"), length("past", short.Times(-1))))
	}
	if beyond := s.beyond(anatomy.Notch); beyond != nil {
		s.ToNotch = pointer(short.Plus(*beyond))
		s.notch(*s.ToNotch)
	}
	if beyond := s.beyond(anatomy.PatellaTop); beyond != nil {
		s.PastPatella = pointer(short.Plus(*beyond).Times(-1))
		s.patella(*s.PastPatella)
	}
}

// beyond measures on the first film that shows target and landmark, of this
// femur where there is one.
func (s *seating) beyond(l anatomy.Landmark) *units.Length {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		for _, f := range s.films {
			axis := f.count(anatomy.TrochanterTip) == 1 || f.count(anatomy.ShaftUpper, anatomy.ShaftLower) == 2
			if f.film.Bone != bone || !l.In(f.View) || f.count(l, anatomy.DistalTarget) < 2 || !axis {
				continue
			}
			d, err := measure.Beyond(f.Film, l)
			if err != nil {
				s.add(refused(f, err))
				continue
			}
			return &d
		}
	}
	return nil
}

func (s *seating) notch(d units.Length) {
	where := fields("films", "readings")
	switch d.Against(0) {
	case units.More:
		s.Why = append(s.Why, why("seat-notch", length("distance", d)))
	case units.Less:
		s.add(trouble("notch-past", where, length("past", d.Times(-1))))
	default:
		s.add(trouble("notch-perhaps", where, length("distance", d), percent("percent", 1-d.ChanceAbove(0))))
	}
}

func (s *seating) patella(d units.Length) {
	switch d.Against(0) {
	case units.More:
		s.Why = append(s.Why, why("seat-patella", length("distance", d)))
	case units.Less:
		s.add(trouble("patella-above", fields("films"), length("distance", d.Times(-1))))
	default:
		s.add(trouble("patella-close", fields("films"), length("distance", d)))
	}
}

// bow compares the bow of the bone on a lateral film with that of the nail,
// over the length of the nail. A bone that is not at its length has no bow;
// the other femur's is taken then.
func (s *seating) bow() {
	if s.nail.Part == nil || !(s.nail.Part.BowRadius > 0 && s.nail.Part.BowRadius <= 1e6) {
		return
	}
	s.NailRadius = s.nail.Part.BowRadius
	b, bad, ok := bowOf(s.films)
	s.add(bad...)
	switch {
	case !ok:
		return
	case b.Radius == nil:
		s.Why = append(s.Why, why("bow-straight", length("chord", b.Chord), number("film", float64(b.from.i+1))))
		return
	}
	s.BoneRadius = b.Radius
	a := BowFor(*b.Radius, s.NailRadius, s.nail.Length, s.p)
	s.Mismatch, s.Why = a.Length, append(s.Why, a.Why...)
	s.add(a.Problems...)
}

// entry adds what else brings the tip against the front cortex.
func (s *seating) entry(in record.Injury) {
	s.add(FrontCortex(in.Entry, in.StatureMM, s.p)...)
}
