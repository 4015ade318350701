package main

import (
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// An ask is what the page wants looked for. As JSON text:
//
//	{"taps": [{"x": 1, "y": 2}, …], "tall": 1.25, "fixed": [{"edge": 0, "at_px": {…}}, …]}
//
// Places are in pixels of the film; tall is the height of a pixel over its
// width, 1 when left out; fixed are edges of a shaft that a person moved.
type ask struct {
	taps  []geom.Pt[units.Px]
	fixed []find.Fix
	tall  float64
}

// A seen is what was found: the part that was asked for. It goes to the page
// as JSON text with these names.
type seen struct {
	Round   *find.Round  `json:"round,omitempty"`
	Rounds  []find.Round `json:"rounds,omitempty"`
	Scale   *find.Scale  `json:"scale,omitempty"`
	Frame   *find.Frame  `json:"frame,omitempty"`
	Edge    *find.Edge   `json:"edge,omitempty"`
	Shaft   *find.Shaft  `json:"shaft,omitempty"`
	Isthmus *find.Narrow `json:"isthmus,omitempty"` // of the shaft; left out where it cannot be told, and doubt says why
	Bow     *find.Arc    `json:"bow,omitempty"`     // likewise
	Doubt   string       `json:"doubt,omitempty"`
}

// seekers are what can be looked for, and how many taps each needs.
var seekers = map[string]struct {
	taps int
	look func(g find.Grey, a ask) (seen, error)
}{
	"ball": {1, func(g find.Grey, a ask) (s seen, err error) {
		r, err := find.Ball(g, a.taps[0], find.RoundOptions{Tall: a.tall})
		return seen{Round: &r}, err
	}},
	"disc": {1, func(g find.Grey, a ask) (seen, error) {
		r, err := find.Disc(g, a.taps[0], find.RoundOptions{Tall: a.tall})
		return seen{Round: &r}, err
	}},
	"balls": {0, func(g find.Grey, a ask) (seen, error) {
		r, err := find.Balls(g, find.RoundOptions{Tall: a.tall})
		return seen{Rounds: r}, err
	}},
	"ruler": {2, func(g find.Grey, a ask) (seen, error) {
		r, err := find.Ruler(g, a.taps[0], a.taps[1], a.tall)
		return seen{Scale: &r}, err
	}},
	"corners": {0, func(g find.Grey, _ ask) (seen, error) {
		r, err := find.Corners(g)
		return seen{Frame: &r}, err
	}},
	"edge": {1, func(g find.Grey, a ask) (seen, error) {
		r, err := find.SnapEdge(g, a.taps[0], geom.Pt[units.Px]{}, 0)
		return seen{Edge: &r}, err
	}},
	"corner": {1, func(g find.Grey, a ask) (seen, error) {
		r, err := find.SnapCorner(g, a.taps[0])
		return seen{Edge: &r}, err
	}},
	"shaft": {2, shaft},
}

// shaft traces a shaft and reads isthmus and bow off the trace.
func shaft(g find.Grey, a ask) (seen, error) {
	r, err := find.Trace(g, a.taps[0], a.taps[1], a.fixed)
	if err != nil {
		return seen{}, err
	}
	s := seen{Shaft: &r}
	if n, err := r.Isthmus(); err == nil {
		s.Isthmus = &n
	} else {
		s.Doubt = err.Error()
	}
	if b, err := r.Bow(); err == nil {
		s.Bow = &b
	} else if s.Doubt == "" {
		s.Doubt = err.Error()
	}
	return s, nil
}

// look looks for something on a film. It refuses what it does not know and
// too few taps; what is looked for refuses for itself.
func look(g find.Grey, what string, a ask) (string, error) {
	s, known := seekers[what]
	if !known || len(a.taps) < s.taps {
		return "", &trouble{"film-message", "film: the page asked for something that this version cannot look for: go online once and reload the page"}
	}
	r, err := s.look(g, a)
	if err != nil {
		return "", err
	}
	return jsonText(r)
}

// A trouble is a fault of the worker's own, with its code and sentence.
type trouble struct{ code, sentence string }

func (t *trouble) Code() string  { return t.code }
func (t *trouble) Error() string { return t.sentence }
