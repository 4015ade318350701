package main

import (
	"math"

	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// An ask is what the page wants looked for. As JSON text:
//
//	{"taps": [{"x": 1, "y": 2}, …], "tall": 1.25, "fixed": [{"edge": 0, "at_px": {…}}, …]}
//
// Places are in pixels of the film; tall is the height of a pixel over its
// width, 1 when left out; fixed are edges of a shaft that a person moved. Taps
// of a ruler are two graduations, of a shaft its upper and its lower middle,
// of a neck the head and then the shaft.
type ask struct {
	taps  []geom.Pt[units.Px]
	fixed []find.Fix
	tall  float64
	raw   bool // the film says that it was not changed for the eye
}

func (a ask) round() find.RoundOptions { return find.RoundOptions{Tall: a.tall, Raw: a.raw} }

// A seen is what was found: the part that was asked for. It goes to the page
// as JSON text with these names.
type seen struct {
	Round   *find.Round   `json:"round,omitempty"`
	Rounds  []find.Round  `json:"rounds,omitempty"`
	Scale   *find.Scale   `json:"scale,omitempty"`
	Frame   *find.Frame   `json:"frame,omitempty"`
	Edge    *find.Edge    `json:"edge,omitempty"`
	Shaft   *find.Shaft   `json:"shaft,omitempty"`
	Isthmus *find.Narrow  `json:"isthmus,omitempty"` // of the shaft; left out where it cannot be told, and doubt says why
	Bow     *find.Arc     `json:"bow,omitempty"`     // likewise
	Head    *find.HipHead `json:"head,omitempty"`
	Neck    *find.HipNeck `json:"neck,omitempty"`
	Doubt   string        `json:"doubt,omitempty"`
}

// seekers are what can be looked for, and how many taps each needs.
var seekers = map[string]struct {
	taps int
	look func(g find.Grey, a ask) (seen, error)
}{
	"ball": {1, func(g find.Grey, a ask) (s seen, err error) {
		r, err := find.Ball(g, a.taps[0], a.round())
		return seen{Round: &r}, err
	}},
	"disc": {1, func(g find.Grey, a ask) (seen, error) {
		r, err := find.Disc(g, a.taps[0], a.round())
		return seen{Round: &r}, err
	}},
	"balls": {0, func(g find.Grey, a ask) (seen, error) {
		r, err := find.Balls(g, a.round())
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
	"head":  {1, neck},
	"neck":  {3, neck},
}

// square are searches that take a pixel to be as high as it is wide.
var square = map[string]bool{"shaft": true, "head": true, "neck": true}

// neck looks for the head and, when there are taps on the shaft, for the neck
// between them.
func neck(g find.Grey, a ask) (seen, error) {
	h, err := find.Head(g, a.taps[0])
	if err != nil || len(a.taps) < 3 {
		return seen{Head: &h}, err
	}
	n, err := find.Neck(g, h, a.taps[1], a.taps[2])
	return seen{Head: &h, Neck: &n}, err
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
	if square[what] && !(math.Abs(a.tall-1) < 0.01) {
		return "", &trouble{"film-pixels-not-square", "film: the pixels of this film are not square, which this search does not know: mark it by hand"}
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
