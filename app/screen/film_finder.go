package screen

import (
	"context"
	"encoding/json"

	"isthmus/app/state"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// finderOf returns what looks at the samples of the open case's films, or nil
// where nothing does.
func finderOf(s *state.Session) finder {
	if s == nil || !s.CanFind() {
		return nil
	}
	return func(ctx context.Context, film int, ask searchAsk, progress func(float64)) (out searchSeen, err error) {
		text, err := json.Marshal(ask)
		if err != nil {
			return out, &filmEditError{"place"}
		}
		seen, err := s.Find(ctx, film, ask.What, text, progress)
		if err != nil {
			return out, err
		}
		return seenOf(seen)
	}
}

// seenOf reads what the film worker found. Numbers that JSON cannot hold never
// come; a place that is none is refused by the edit that would take it.
func seenOf(text []byte) (out searchSeen, err error) {
	if json.Unmarshal(text, &out) != nil {
		return searchSeen{}, &filmEditError{"answer"}
	}
	return out, nil
}

// shaftPoints returns the middle of the canal, high and low, where both were
// placed: the direction that a search for the neck needs.
func (fp *filmPage) shaftPoints() []geom.Pt[units.Px] {
	f := fp.now()
	a, b := pointAt(f, shaftWay[0]), pointAt(f, shaftWay[1])
	if a < 0 || b < 0 {
		return nil
	}
	return []geom.Pt[units.Px]{f.Points[a].At, f.Points[b].At}
}
