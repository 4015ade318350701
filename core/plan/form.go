package plan

import (
	"errors"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Form is what the form of the bone is called by. It decides nothing; the bow
// alone is compared with that of the nail, in Seat.
type Form struct {
	Cortex *Told `json:"cortex,omitempty"` // share of the width at the isthmus that is cortex
	Flare  *Told `json:"flare,omitempty"`  // canal above the lesser trochanter over that at the isthmus
	Bow    *Told `json:"bow,omitempty"`    // radius of the canal seen from the side
}

// Told is a ratio or a length with the film it was measured on, or with
// neither, in Why, why it cannot be told.
type Told struct {
	Ratio  *units.Ratio  `json:"ratio,omitempty"`
	Length *units.Length `json:"length,omitempty"`
	Why    Reason        `json:"why"`
}

// formOf measures the form of the bone: on films of the injured femur first,
// else of the other one.
func formOf(films []shot) Form {
	flare := []anatomy.Landmark{anatomy.FlareA, anatomy.FlareB, anatomy.CanalA, anatomy.CanalB}
	cortex := []anatomy.Landmark{anatomy.OuterA, anatomy.CanalA, anatomy.CanalB, anatomy.OuterB}
	return Form{
		Cortex: ratioOf(films, "cortical-index", measure.CorticalIndex, cortex, func(s shot, r units.Ratio) Reason {
			return why("form-cortex", number("value", r.Best), number("doubt", units.Sure*r.U), number("film", float64(s.i+1)), word("bone", string(s.film.Bone)))
		}),
		Flare: ratioOf(films, "flare-index", measure.FlareIndex, flare, func(s shot, r units.Ratio) Reason {
			return why("form-flare", number("value", r.Best), number("doubt", units.Sure*r.U), number("film", float64(s.i+1)), word("bone", string(s.film.Bone)))
		}),
		Bow: bowTold(films),
	}
}

// ratioOf measures a ratio on a film from the front.
func ratioOf(films []shot, what string, of func(measure.Film) (units.Ratio, error), names []anatomy.Landmark, say func(shot, units.Ratio) Reason) *Told {
	var best *Told
	because := "no film from the front has a known scale and shows the bone"
	for _, bone := range []anatomy.Bone{anatomy.Sound, anatomy.Injured} { // the last that speaks counts
		for _, s := range films {
			if s.film.Bone != bone || s.View != anatomy.AP {
				continue
			}
			r, err := of(s.Film)
			if err != nil {
				because = failed(err)
				continue
			}
			best = &Told{Ratio: &r, Why: say(s, r)}
		}
	}
	if best == nil {
		return untold(what, because)
	}
	return best
}

func untold(what, because string) *Told {
	return &Told{Why: why("form-untold", word("what", what), word("error", because))}
}

// failed words an error for the middle of a sentence; of landmarks that are
// missing it says which.
func failed(err error) string {
	var m *measure.MissingError
	if errors.As(err, &m) {
		return "not all of its places are marked on the film"
	}
	s := sentence(err.Error())
	return strings.ToLower(s[:1]) + s[1:]
}

// A bowSeen is the bow of the canal as one film shows it.
type bowSeen struct {
	measure.Bowed
	from shot
}

// bowOf returns the bow of the bone on a lateral film of the injured femur at
// its length, else of the other one; what was refused on the way; and false
// when no film shows one.
func bowOf(films []shot) (b bowSeen, bad []Problem, ok bool) {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		for _, f := range films {
			if f.film.Bone != bone || f.View != anatomy.Lateral || bone == anatomy.Injured && f.film.Reduced != record.Yes || !f.bowed() {
				continue
			}
			m, err := measure.Bow(f.Film)
			if err != nil {
				bad = append(bad, trouble("bow-refused", fields(index("films", f.i)+".points"), word("error", sentence(err.Error()))))
				continue
			}
			return bowSeen{m, f}, bad, true
		}
	}
	return b, bad, false
}

// bowed reports whether a film has the places of a bow.
func (s shot) bowed() bool {
	return s.count(anatomy.ShaftUpper, anatomy.ShaftLower) == 2 &&
		(s.count(anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower) > 0 || s.count(anatomy.CanalA, anatomy.CanalB) == 2)
}

func bowTold(films []shot) *Told {
	b, bad, ok := bowOf(films)
	n := number("film", float64(b.from.i+1))
	switch {
	case !ok && len(bad) > 0:
		return untold("bow-radius", strings.ToLower(bad[0].Facts[0].Word[:1])+bad[0].Facts[0].Word[1:])
	case !ok:
		return untold("bow-radius", "no film from the side shows a femur at its length with the places of its shaft marked")
	case b.Radius == nil:
		return &Told{Why: why("bow-straight", length("chord", b.Chord), n)}
	}
	return &Told{Length: b.Radius, Why: why("form-bow", length("radius", *b.Radius), length("height", b.Sagitta), length("chord", b.Chord), n, word("bone", string(b.from.film.Bone)))}
}
