package plan

import (
	"errors"
	"slices"
	"strings"

	"isthmus/core/calibrate"
	"isthmus/core/record"
	"isthmus/core/source"
)

// scales returns the scale of every film, in the case's order.
func scales(films []record.Film, ph photos) ([]FilmScale, []Problem) {
	var out []FilmScale
	var problems []Problem
	for i, f := range films {
		s, more := scaleOf(i, f, ph)
		out = append(out, s)
		problems = append(problems, more...)
	}
	return out, problems
}

// headerID is the name of the piece that stands for the header of a film
// whose evidence does not name it.
const headerID = "header"

// scaleOf returns the scale of one film: every piece of evidence by itself,
// then all together. What a person chose in a dispute is followed. Without a
// scale, or in a dispute, nothing will be measured on this film.
func scaleOf(i int, f record.Film, ph photos) (FilmScale, []Problem) {
	s := FilmScale{Film: i}
	evidence := f.Evidence
	if f.Tags != nil && !slices.ContainsFunc(evidence, func(e record.Evidence) bool { return e.Kind == record.Header }) {
		evidence = append(slices.Clone(evidence), record.Evidence{ID: headerID, Kind: record.Header})
	}
	notices := make([][]calibrate.Notice, len(evidence))
	planes := make([]calibrate.Plane, len(evidence))
	var problems []Problem
	for j, e := range evidence {
		plane, ns, err := weigh(e, f, ph[i])
		piece := Piece{ID: e.ID, Kind: string(e.Kind), Plane: plane}
		if err != nil {
			piece.Plane, piece.Error = calibrate.Plane{}, err.Error()
			problems = append(problems, trouble("scale-refused", fields(index("films", i)+"."+index("evidence", j)),
				number("film", float64(i+1)), word("error", sentence(err.Error()))))
		} else if !plane.Usable() {
			piece.Error = firstCaution(ns)
		}
		planes[j], notices[j] = piece.Plane, ns
		s.Pieces = append(s.Pieces, piece)
	}
	if f.Chosen != "" {
		return s.chosen(i, f, notices, problems)
	}
	return s.together(i, planes, notices, problems)
}

// chosen takes the piece that a person chose.
func (s FilmScale) chosen(i int, f record.Film, notices [][]calibrate.Notice, problems []Problem) (FilmScale, []Problem) {
	where := fields(index("films", i) + ".chosen")
	j := slices.IndexFunc(s.Pieces, func(p Piece) bool { return p.ID == f.Chosen })
	if j < 0 || !s.Pieces[j].Plane.Usable() {
		return s, append(problems, trouble("scale-chosen-unusable", where, number("film", float64(i+1))))
	}
	s.Pieces[j].Used = true
	s.Plane = s.Pieces[j].Plane
	s.Why = append(s.Why, Reason{Code: "scale-chosen", Facts: s.facts(), Sources: s.Plane.Sources})
	return s.say(i, notices[j], problems)
}

// together combines the pieces that agree.
func (s FilmScale) together(i int, planes []calibrate.Plane, notices [][]calibrate.Notice, problems []Problem) (FilmScale, []Problem) {
	r, err := calibrate.Reconcile(planes)
	if err != nil {
		problems = append(problems, trouble("scale-missing", fields(index("films", i)+".evidence"), number("film", float64(i+1))))
		for _, ns := range notices {
			s, problems = s.say(i, ns, problems)
		}
		return s, problems
	}
	if r.Disputed {
		s.Disputed = true
		return s, append(problems, s.dispute(i, r))
	}
	s.Plane = r.Plane
	s.Why = append(s.Why, Reason{Code: "scale-from", Facts: s.facts(), Sources: r.Plane.Sources})
	for _, j := range r.Used {
		s.Pieces[j].Used = true
		s, problems = s.say(i, notices[j], problems)
	}
	return s.say(i, r.Notices, problems)
}

func (s FilmScale) facts() []Fact {
	return []Fact{word("origin", string(s.Plane.Origin)), number("percent", 200*s.Plane.Rel)}
}

func (s FilmScale) dispute(i int, r calibrate.Reconciled) Problem {
	film := index("films", i)
	facts := []Fact{number("film", float64(i+1))}
	var d *calibrate.DisputeError
	if errors.As(r.Err(), &d) {
		facts = append(facts, word("a", string(d.A)), word("b", string(d.B)), number("percent", 100*d.Differ), number("allowed", 200*d.Doubt))
	}
	a, b := r.Between[0], r.Between[1]
	return trouble("scale-dispute", fields(film+".chosen", film+"."+index("evidence", a), film+"."+index("evidence", b)), facts...)
}

// say turns what the calibration has to say into reasons and cautions.
func (s FilmScale) say(i int, notices []calibrate.Notice, problems []Problem) (FilmScale, []Problem) {
	for _, n := range notices {
		if !n.Caution {
			s.Why = append(s.Why, Reason{Code: "scale-note", Facts: []Fact{word("text", sentence(n.Text()))}, Sources: n.Sources})
			continue
		}
		p := trouble("scale-caution", fields(index("films", i)+".evidence"), number("film", float64(i+1)), word("text", sentence(n.Text())))
		p.Sources = append([]source.Key(nil), n.Sources...)
		problems = append(problems, p)
	}
	return s, problems
}

func firstCaution(ns []calibrate.Notice) string {
	for _, n := range ns {
		if n.Caution {
			return n.Text()
		}
	}
	return "calibrate: this piece gives no scale of the bone: mark an object of known size"
}

// sentence takes the name of the room off a message.
func sentence(s string) string {
	if _, rest, ok := strings.Cut(s, ": "); ok {
		return rest
	}
	return s
}

// weigh hands one piece of evidence to calibrate; a value that the piece needs
// and does not have is an error, never a default.
func weigh(e record.Evidence, f record.Film, ph *photoOf) (calibrate.Plane, []calibrate.Notice, error) {
	if err := lacks(e); err != nil {
		return calibrate.Plane{}, nil, err
	}
	if ph != nil && e.Kind != record.Header {
		return ph.weigh(e)
	}
	g := given(f.Tags)
	shape, _ := calibrate.ShapeOf(g)
	switch e.Kind {
	case record.Ball:
		return calibrate.Ball(e.At, e.Slip, *e.True, shape, depth(e))
	case record.Disc:
		return calibrate.Disc(e.At, e.Slip, *e.True, shape, depth(e))
	case record.Ruler:
		return calibrate.Ruler(e.At[0], e.At[1], e.Slip, *e.True, shape, depth(e))
	case record.KnownPart:
		return calibrate.KnownPart(e.At[0], e.At[1], e.Slip, *e.True, e.Along == record.Yes, shape, depth(e))
	case record.TwoMarkers:
		return calibrate.TwoBalls(calibrate.RoundMark{Rim: e.At, Diameter: *e.True}, calibrate.RoundMark{Rim: e.AtFront, Diameter: *e.TrueFront}, e.Slip, *e.Fraction, shape)
	case record.Distances:
		return calibrate.Distances(g, *e.SID, e.SOD, e.OID)
	case record.Header:
		p, ns := calibrate.Header(g)
		return p, ns, nil
	case record.Assumed:
		return calibrate.Assumed(g, *e.Factor)
	}
	return calibrate.Plane{}, nil, &KindError{Kind: string(e.Kind)}
}

// lacks returns the first thing a piece of evidence needs and does not have.
// What is asked for in words only (at_bone) is calibrate's to judge.
func lacks(e record.Evidence) error {
	for _, field := range e.Missing() {
		switch {
		case field == "at_bone" || field == "sod_mm" || field == "at_px" && e.Kind != record.Ruler && e.Kind != record.KnownPart:
		case field == "at_px" && e.Kind == record.Ruler:
			return &calibrate.MissingError{For: "a ruler", Fields: fields("at_px"), Do: "mark exactly two graduations"}
		default:
			return &calibrate.MissingError{For: "this piece of evidence", Fields: fields(field), Do: "enter it"}
		}
	}
	if len(e.At) != 2 && (e.Kind == record.Ruler || e.Kind == record.KnownPart) {
		return &calibrate.MissingError{For: "a length between two points", Fields: fields("at_px"), Do: "mark exactly two points"}
	}
	return nil
}

// A KindError reports evidence of a kind that this program does not know.
type KindError struct{ Kind string }

// Code names the fault for app/text.
func (e *KindError) Code() string { return "evidence-kind" }

// Error says what was found, what is needed and what to do.
func (e *KindError) Error() string {
	return "plan: evidence of the kind “" + e.Kind + "” is not known here: use ball, disc, ruler, two-markers, known-part, distances, header or assumed"
}

func depth(e record.Evidence) calibrate.Depth {
	return calibrate.Depth{
		AtBone:  e.AtBone == record.Yes,
		Known:   e.AtBone == record.Yes || e.AtBone == record.No,
		HMarker: e.HMarker, HBone: e.HBone, SID: e.SID,
	}
}

func given(t *record.Tags) calibrate.Given {
	if t == nil {
		return calibrate.Given{}
	}
	return calibrate.Given{
		Modality: t.Modality, PixelSpacing: t.PixelSpacing, ImagerSpacing: t.ImagerSpacing,
		ScannedSpacing: t.ScannedSpacing, Calibration: t.Calibration, CalibrationBy: t.CalibrationBy,
		Factor: t.Factor, SID: t.SID, SOD: t.SOD, Aspect: t.Aspect,
	}
}
