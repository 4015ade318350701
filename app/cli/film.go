package main

import (
	"strings"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/radiograph"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A scaled is the scale of a film as it is printed.
type scaled struct {
	Cautions []string        `json:"cautions"`
	Scale    string          `json:"scale"`
	Plane    calibrate.Plane `json:"plane"`
	Pieces   []plan.Piece    `json:"pieces"`
	Reasons  []reason        `json:"reasons"`
	Problems []problem       `json:"problems"`
	Film     []string        `json:"film_warnings,omitempty"`
}

// A measured is what the landmarks of a film say.
type measured struct {
	scaled
	Lengths []lengthOut `json:"lengths"`
	Angles  []angleOut  `json:"angles"`
	Refused []string    `json:"refused,omitempty"`
	Notices []string    `json:"notices,omitempty"`
}

type lengthOut struct {
	Name string `json:"name"`
	Says string `json:"says"`
	units.Length
}

type angleOut struct {
	Name string `json:"name"`
	Says string `json:"says"`
	units.Angle
}

func scaleFilm(args []string) (any, error) {
	f, warnings, err := openFilm(args)
	if err != nil {
		return nil, err
	}
	return scaleOf(f, warnings), nil
}

// scaleOf judges the evidence by the same road as a case does.
func scaleOf(f record.Film, warnings []string) scaled {
	pl := plan.For(record.Case{Films: []record.Film{f}}, plan0)
	s := pl.Scales[0]
	out := scaled{Cautions: text.Cautions(), Scale: text.Scale(s.Plane), Plane: s.Plane, Pieces: s.Pieces,
		Reasons: reasonsOf(plan.Plan{Scales: pl.Scales}), Problems: []problem{}, Film: warnings}
	if s.Disputed {
		out.Scale = "Cannot tell: the evidence disagrees"
	}
	for _, p := range pl.Problems {
		if strings.HasPrefix(p.Code, "scale-") {
			out.Problems = append(out.Problems, problemsOf([]plan.Problem{p})...)
		}
	}
	return out
}

func measureFilm(args []string) (any, error) {
	f, warnings, err := openFilm(args)
	if err != nil {
		return nil, err
	}
	if !f.View.Valid() {
		return nil, &usageError{"measure needs --view ap or --view lateral"}
	}
	if len(f.Points) == 0 {
		return nil, &usageError{"measure needs at least one --point"}
	}
	m := measured{scaled: scaleOf(f, warnings), Lengths: []lengthOut{}, Angles: []angleOut{}}
	at := measure.Points{}
	for _, p := range f.Points {
		at[p.Name] = measure.Placed{At: p.At, Slip: p.Slip}
	}
	m.measure(measure.Film{View: f.View, Plane: m.Plane, At: at})
	return m, nil
}

// measure takes everything that the landmarks allow; what is refused says why.
func (m *measured) measure(f measure.Film) {
	m.length("trochanter tip to distal target", f, measure.Length, anatomy.TrochanterTip, anatomy.DistalTarget)
	m.length("canal", f, measure.Canal, anatomy.CanalA, anatomy.CanalB)
	m.length("bone at the isthmus", f, measure.Outer, anatomy.OuterA, anatomy.OuterB)
	m.length("head", f, measure.HeadDiameter, anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3)
	m.length("neck, inner height", f, measure.NeckRoom, anatomy.NeckUpper, anatomy.NeckLower)
	for _, l := range []anatomy.Landmark{anatomy.LesserTroch, anatomy.CanalA, anatomy.FractureUpper, anatomy.FractureLower, anatomy.Notch} {
		name, _ := text.Landmark(l)
		if l == anatomy.CanalA {
			name = "isthmus"
		}
		level := func(f measure.Film) (units.Length, error) { return measure.Level(f, l) }
		m.length("trochanter tip to "+name, f, level, anatomy.TrochanterTip, anatomy.DistalTarget, l)
	}
	if placed(f, anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3, anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower) {
		a, err := measure.NeckShaftAngle(f)
		if err != nil {
			m.Refused = append(m.Refused, text.Error(err))
		} else {
			m.Angles = append(m.Angles, angleOut{"neck–shaft angle", text.Angle(a), a})
		}
	}
	for _, n := range measure.Notices(f) {
		_, says, _ := strings.Cut(n.Text(), ": ")
		m.Notices = append(m.Notices, says)
	}
}

func (m *measured) length(name string, f measure.Film, take func(measure.Film) (units.Length, error), need ...anatomy.Landmark) {
	if !placed(f, need...) {
		return
	}
	l, err := take(f)
	if err != nil {
		m.Refused = append(m.Refused, name+": "+text.Error(err))
		return
	}
	m.Lengths = append(m.Lengths, lengthOut{name, text.Length(l), l})
}

func placed(f measure.Film, names ...anatomy.Landmark) bool {
	for _, n := range names {
		if _, ok := f.At[n]; !ok {
			return false
		}
	}
	return true
}

// openFilm reads the film's header and the evidence and points of the command.
func openFilm(args []string) (record.Film, []string, error) {
	given, err := parse(args[1:])
	if err != nil {
		return record.Film{}, nil, err
	}
	b, err := read(args[0])
	if err != nil {
		return record.Film{}, nil, err
	}
	h, err := radiograph.ReadHeader(b)
	if err != nil {
		return record.Film{}, nil, err
	}
	f := record.Film{Kind: string(h.Kind), Bytes: int64(len(b)), Width: h.Columns, Height: h.Rows, View: given.view}
	if tags, ok := h.Tags(); ok {
		t := record.Tags(tags)
		f.Tags = &t
	}
	var warnings []string
	for _, w := range h.Warnings {
		warnings = append(warnings, w.String())
	}
	f.Evidence = given.evidence
	for _, p := range append(given.points, marks(given.evidence)...) {
		if !inside(f, p.At) {
			return record.Film{}, nil, &outsideError{p.At, f.Width, f.Height}
		}
	}
	f.Points = given.points
	return f, warnings, nil
}

func marks(evidence []record.Evidence) (out []record.Point) {
	for _, e := range evidence {
		for _, at := range e.At {
			out = append(out, record.Point{At: at})
		}
	}
	return out
}

func inside(f record.Film, p geom.Pt[units.Px]) bool {
	return p.X >= 0 && p.Y >= 0 && p.X <= units.Px(f.Width-1) && p.Y <= units.Px(f.Height-1)
}

// An outsideError reports a point that does not lie on the film.
type outsideError struct {
	at            geom.Pt[units.Px]
	width, height int
}

// Code names the fault for app/text.
func (e *outsideError) Code() string { return "cli-outside" }

func (e *outsideError) Error() string {
	return "cli: the point " + pair(e.at) + " does not lie on this film of " + pair(geom.Pt[units.Px]{X: units.Px(e.width), Y: units.Px(e.height)}) +
		" pixels: give column and row from 0 at the top left"
}

func pair(p geom.Pt[units.Px]) string {
	return units.Trim(float64(p.X), 2) + "," + units.Trim(float64(p.Y), 2)
}
