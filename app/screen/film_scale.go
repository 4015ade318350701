package screen

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// scaleUI is the list of what is known about the size of a pixel, or one
// piece of it.
func (fp *filmPage) scaleUI(pl plan.Plan) []app.UI {
	s := filmScale(pl, fp.Index)
	if e, ok := evidenceOf(fp.now(), fp.piece); ok {
		return fp.pieceUI(e, s)
	}
	var kids []app.UI
	for _, p := range s.Pieces {
		kids = append(kids, fp.pieceLine(p, s.Disputed || fp.now().Chosen != ""))
	}
	if len(s.Pieces) == 0 {
		kids = append(kids, app.P().Class("note").Text("Nothing says yet how large a pixel of this film is. Use what lay beside the leg; the file's own word is worth less."))
	}
	if fp.now().Chosen != "" {
		kids = append(kids, fpAct("", "Take the choice back", "unchoose"))
	}
	return append(kids, fp.findUI("scale"), app.H2().Class("gloss").Text("Add what is known"), app.Div().Class("acts").Body(
		fpAct("", "Ball", "add|ball"), fpAct("", "Disc or coin", "add|disc"), fpAct("", "Ruler", "add|ruler"),
		fpAct("", "Balls in front and behind", "add|two-markers"), fpAct("", "Screw or nail in the bone", "add|known-part"),
		fpAct("", "Distances", "add|distances"), fpAct("", "Usual factor", "add|assumed")))
}

// pieceLine is one piece of evidence with what it is worth by itself.
func (fp *filmPage) pieceLine(p plan.Piece, settle bool) app.UI {
	e, mine := evidenceOf(fp.now(), p.ID)
	worth := planeWords(fp.now(), p.Plane)
	if !p.Plane.Usable() {
		worth = pieceWhy(p)
	}
	class := "piece"
	title := pieceTitle(record.EvidenceKind(p.Kind), e)
	if p.Used {
		title = "✓ " + title
		class += " used"
	}
	words := []app.UI{app.B().Text(title), app.Small().Text(worth)}
	kids := []app.UI{app.Div().Class("tap").Body(words...)}
	if mine && p.Kind != string(record.Header) {
		kids = []app.UI{app.Button().Type("button").Class("tap").Aria("label", title+": change").DataSet("film", "piece|"+p.ID).Body(words...)}
	}
	if settle && p.Plane.Usable() && !p.Used {
		kids = append(kids, fpAct("main", "Choose this", "choose|"+p.ID))
	}
	return app.Div().Class(class).Body(kids...)
}

// pieceWhy says why a piece of evidence gives no scale of the bone.
func pieceWhy(p plan.Piece) string {
	if p.Error != "" {
		return plainMessage(p.Error)
	}
	return text.Origin(p.Plane.Origin)
}

// pieceWorth says what a piece of evidence has come to, or what it still
// needs.
func pieceWorth(f record.Film, e record.Evidence, s plan.FilmScale) string {
	if lacks := evidenceLacks(e); lacks != "" {
		return "Still needed: " + lacks
	}
	for _, p := range s.Pieces {
		switch {
		case p.ID != e.ID:
		case p.Plane.Usable():
			return planeWords(f, p.Plane)
		default:
			return "This gives no scale yet: see why above"
		}
	}
	return photoLine(f, s)
}

// refusalUI says why a piece of evidence that lacks nothing gives no scale.
func refusalUI(e record.Evidence, s plan.FilmScale) []app.UI {
	i := slices.IndexFunc(s.Pieces, func(p plan.Piece) bool { return p.ID == e.ID })
	if i < 0 || evidenceLacks(e) != "" || s.Pieces[i].Plane.Usable() {
		return nil
	}
	return []app.UI{app.P().Class("care").Text(pieceWhy(s.Pieces[i]))}
}

// pieceUI is one piece of evidence: its marks, its size, its answers.
func (fp *filmPage) pieceUI(e record.Evidence, s plan.FilmScale) []app.UI {
	kids := refusalUI(e, s)
	if e.Kind == record.TwoMarkers {
		kids = append(kids, fpChoice("Which ball are you marking?", "front", map[bool]string{false: "behind", true: "front"}[fp.front],
			[]option{{"behind", "Behind: " + rimCount(e.At)}, {"front", "In front: " + rimCount(e.AtFront)}}))
	}
	if ask := asks(e, fp.front); ask != "" {
		kids = append(kids, app.P().Class("hint").Body(app.B().Text(evidenceName(e.Kind)+": "), app.Text(ask)),
			fp.toolsUI(fp.rim >= 0 && fp.rim < len(*marksOf(&e, fp.front))), fp.findUI(string(e.Kind)))
	}
	if e.Kind == record.KnownPart {
		kids = append(kids, fpChoice("Measured along it, or across it?", "along", string(e.Along), []option{{"no", "Across: its thickness"}, {"yes", "Along: its length"}}))
	}
	for _, r := range fp.rows(e) {
		kids = append(kids, fp.numberUI(r))
	}
	if e.Kind == record.TwoMarkers {
		kids = append(kids, app.P().Class("gloss").Text("Common practice for the femur of an adult lying on the back: 0.45 of the way from behind. It is entered only if you enter it."))
	}
	if _, most := marksNeeded(e.Kind); most > 0 && e.Kind != record.TwoMarkers {
		kids = append(kids, fpChoice("Did it lie at the depth of the bone?", "at-bone", string(e.AtBone), yesNoUnsure()))
		if e.AtBone == record.No {
			for _, r := range fp.depthRows(e) {
				kids = append(kids, fp.numberUI(r))
			}
		}
	}
	return append(kids, app.Div().Class("acts").Body(fpAct("main", "Done", "piece|"), fpAct("grave", "Remove", "cut|"+e.ID)))
}

// rows are the numbers of a piece of evidence. None has a default.
func (fp *filmPage) rows(e record.Evidence) []row {
	mm := func(key, label, note string, lo, hi, step float64, now *units.MM, at func(*record.Evidence) **units.MM) row {
		return fp.lengthRow(e.ID, key, label, note, lo, hi, step, now, at)
	}
	switch e.Kind {
	case record.Ball:
		return []row{mm("true", "True diameter", "of the ball itself", 3, 100, 1, e.True, func(e *record.Evidence) **units.MM { return &e.True })}
	case record.Disc:
		return []row{mm("true", "True diameter", "of the disc itself", 3, 100, 0.25, e.True, func(e *record.Evidence) **units.MM { return &e.True })}
	case record.TwoMarkers:
		return []row{
			mm("true", "Ball behind, diameter", "the one nearer the detector", 3, 100, 1, e.True, func(e *record.Evidence) **units.MM { return &e.True }),
			mm("true-front", "Ball in front, diameter", "the one nearer the tube", 3, 100, 1, e.TrueFront, func(e *record.Evidence) **units.MM { return &e.TrueFront }),
			fp.plainRow(e.ID, "fraction", "Where the bone lies", "0: at the ball behind, 1: at the one in front", 0, 1, 0.05, e.Fraction, func(e *record.Evidence) **float64 { return &e.Fraction }),
		}
	case record.KnownPart:
		return []row{mm("true", "True size", "from its packet or operation note", 1, 500, 0.5, e.True, func(e *record.Evidence) **units.MM { return &e.True })}
	case record.Ruler:
		return []row{mm("true", "True length", "between the two, as printed", 5, 1000, 10, e.True, func(e *record.Evidence) **units.MM { return &e.True })}
	case record.Distances:
		return []row{
			mm("sid", "Tube to detector", "", 500, 3000, 10, e.SID, func(e *record.Evidence) **units.MM { return &e.SID }),
			mm("sod", "Tube to bone", "or the next one", 300, 3000, 10, e.SOD, func(e *record.Evidence) **units.MM { return &e.SOD }),
			mm("oid", "Bone to detector", "or the one above", 0, 1000, 10, e.OID, func(e *record.Evidence) **units.MM { return &e.OID }),
		}
	case record.Assumed:
		return []row{fp.factorRow(e)}
	}
	return nil
}

func (fp *filmPage) depthRows(e record.Evidence) []row {
	return []row{
		fp.lengthRow(e.ID, "marker-height", "Marker’s height", "middle, above the detector", 0, 1000, 5, e.HMarker, func(e *record.Evidence) **units.MM { return &e.HMarker }),
		fp.lengthRow(e.ID, "bone-height", "Bone’s height", "middle, above the detector", 0, 1000, 5, e.HBone, func(e *record.Evidence) **units.MM { return &e.HBone }),
		fp.lengthRow(e.ID, "marker-sid", "Tube to detector", "", 500, 3000, 10, e.SID, func(e *record.Evidence) **units.MM { return &e.SID }),
	}
}

func (fp *filmPage) lengthRow(id, key, label, note string, lo, hi, step float64, now *units.MM, at func(*record.Evidence) **units.MM) row {
	return row{key: key, label: label, note: note, unit: "mm", lo: lo, hi: hi, step: step,
		get: func() string { return shownMM(now) },
		set: func(s string) error {
			v, err := typedMM(s, lo, hi)
			if err != nil {
				return err
			}
			return fp.edit(label, onEvidence(fp.Index, id, func(e *record.Evidence) error { *at(e) = v; return nil }))
		}}
}

func (fp *filmPage) factorRow(e record.Evidence) row {
	r := fp.plainRow(e.ID, "factor", "Usual factor of this room", "shown as assumed, with the doubt of other patients", 1, 2, 0.01, e.Factor, func(e *record.Evidence) **float64 { return &e.Factor })
	r.unit = "×"
	return r
}

// plainRow is a row for a number without a unit.
func (fp *filmPage) plainRow(id, key, label, note string, lo, hi, step float64, now *float64, at func(*record.Evidence) **float64) row {
	return row{key: key, label: label, note: note, lo: lo, hi: hi, step: step,
		get: func() string {
			if now == nil {
				return ""
			}
			return plain(*now)
		},
		set: func(s string) error {
			var v *float64
			if s != "" {
				f, err := units.ParseNumber(s, lo, hi, "")
				if err != nil {
					return err
				}
				v = &f
			}
			return fp.edit(label, onEvidence(fp.Index, id, func(e *record.Evidence) error { *at(e) = v; return nil }))
		}}
}
