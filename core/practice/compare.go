package practice

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// What names a row of the comparison.
type What string

// The rows, in their order.
const (
	ScaleAP      What = "scale-ap"      // millimetres of a pixel
	ScaleLateral What = "scale-lateral" //
	Length       What = "length"
	CanalAP      What = "canal-ap"
	CanalLateral What = "canal-lateral"
	Isthmus      What = "isthmus"
	NeckRoom     What = "neck-room"
	Head         What = "head"
	NSA          What = "neck-shaft-angle"
	Version      What = "version"
	Bow          What = "bow"
	BreakUpper   What = "break-upper"
	BreakLower   What = "break-lower"
	Condyles     What = "condyles"
)

// A Row is one measure: what the case says, what is true, and whether the
// truth lies within what the case says. One of Length and Angle is there when
// it was measured; Length of a scale is millimetres of one pixel.
type Row struct {
	What    What
	Length  *units.Length
	Angle   *units.Angle
	True    float64 // millimetres or degrees
	Diff    float64 // measured less true
	Holds   bool    // |Diff| ≤ Sure standard uncertainties
	ByScale bool    // it does not hold, and would with the true scale of its film
	ByFilm  bool    // it does not hold, and is what these films give to whoever measures without error
	AtBest  float64 // … which is this
	OnAP    bool    // an angle as it is seen on a film from the front: True is that too
	Refused bool    // of a scale: there is evidence, and it was refused or disagrees
}

// Measured reports whether the case has this measure.
func (r Row) Measured() bool { return r.Length != nil || r.Angle != nil }

// A Comparison is everything that is said of a practice case in the end.
type Comparison struct {
	Rows     []Row // every row, measured or not
	Measured int   // how many were
	Holding  int   // and how many of these hold the truth

	Side       anatomy.Side // as the case says
	TrueSide   anatomy.Side
	Neck       record.Answer // is the neck broken, as the case says
	NeckBroken bool

	Mine plan.Plan // from what was measured
	True plan.Plan // from what is true, with the same shelf and policy
}

// SameNail reports whether both plans choose one and the same nail.
func (c Comparison) SameNail() bool {
	a, b := c.Mine.Nail, c.True.Nail
	return a.Part != nil && b.Part != nil && a.Part.ID == b.Part.ID
}

// An OtherCaseError reports a truth of another case.
type OtherCaseError struct{ Case, Truth string }

// Code names the fault for app/text.
func (e *OtherCaseError) Code() string { return "practice-other" }

// Error says what was found, what is needed and what to do.
func (e *OtherCaseError) Error() string {
	return "practice: this case is “" + e.Case + "” and what is told is of “" + e.Truth + "”: open the practice case itself"
}

// A NothingError reports a case in which nothing is measured yet.
type NothingError struct{}

// Code names the fault for app/text.
func (e *NothingError) Code() string { return "practice-nothing" }

// Error says what was found, what is needed and what to do.
func (e *NothingError) Error() string {
	return "practice: nothing is measured yet: open a film, mark the ball for the scale, and measure at least one thing"
}

// Compare returns what was measured in a case beside what is true of it. It
// refuses the truth of another case, and a case in which nothing is measured.
func Compare(c record.Case, shelf implant.Shelf, t Truth) (Comparison, error) {
	if c.Practice == "" || c.Practice != t.Practice {
		return Comparison{}, &OtherCaseError{Case: c.Practice, Truth: t.Practice}
	}
	out := Comparison{Side: c.Side, TrueSide: t.Side, Neck: c.Injury.Neck, NeckBroken: t.NeckBroken, Mine: plan.For(c, shelf)}
	out.Rows = rows(c, out.Mine, t)
	for _, r := range out.Rows {
		if r.Measured() {
			out.Measured++
		}
		if r.Holds {
			out.Holding++
		}
	}
	if out.Measured == 0 {
		return Comparison{}, &NothingError{}
	}
	best := TrueCase(c, t)
	out.True = plan.For(best, shelf)
	for i, r := range rows(best, out.True, t) {
		out.Rows[i].byFilm(r)
	}
	return out, nil
}

// byFilm says whether the films are the reason, given the row of somebody who
// measured on them without error: the beam spreads, and the pieces do not lie
// as in the whole bone.
func (r *Row) byFilm(best Row) {
	reach := 0.0
	switch {
	case !r.Measured() || r.Holds || r.ByScale || r.OnAP != best.OnAP:
		return
	case r.Length != nil && best.Length != nil:
		r.AtBest, reach = float64(best.Length.Best), units.Sure*float64(r.Length.Doubt())
		r.ByFilm = math.Abs(float64(r.Length.Best)-r.AtBest) <= reach
	case r.Angle != nil && best.Angle != nil:
		r.AtBest, reach = float64(best.Angle.Best), units.Sure*float64(r.Angle.Own)
		r.ByFilm = math.Abs(float64(r.Angle.Best)-r.AtBest) <= reach
	}
}

// Started reports whether anything is measured in a case, of which this is the
// plan.
func Started(c record.Case, p plan.Plan) bool {
	for _, r := range rows(c, p, Truth{}) {
		if r.Measured() {
			return true
		}
	}
	return false
}

func rows(c record.Case, p plan.Plan, t Truth) []Row {
	b := p.Bone
	ap, lat := scaleRow(ScaleAP, anatomy.AP, c, p, t), scaleRow(ScaleLateral, anatomy.Lateral, c, p, t)
	return []Row{ap, lat,
		lengthRow(Length, b.Length, t.Length, ap), lengthRow(CanalAP, b.CanalAP, t.Canal, ap), lengthRow(CanalLateral, b.CanalLat, t.CanalDeep, lat),
		lengthRow(Isthmus, b.Isthmus, t.Isthmus, ap), lengthRow(NeckRoom, b.NeckRoom, t.NeckRoom, ap), lengthRow(Head, b.HeadDia, t.Head, ap),
		nsaRow(p, t), angleRow(Version, p.Space.Version, t.Version), lengthRow(Bow, p.Seat.BoneRadius, t.Bow, lat),
		lengthRow(BreakUpper, b.Fracture, t.BreakUpper, ap), lengthRow(BreakLower, b.FractureL, t.BreakLower, ap),
		lengthRow(Condyles, condyles(c, p), t.Condyles, ap)}
}

// scaleRow compares the scale of the drawn film of a view.
func scaleRow(w What, v anatomy.View, c record.Case, p plan.Plan, t Truth) Row {
	r := Row{What: w}
	for i, f := range c.Films {
		if i >= len(p.Scales) || shows(f) != v {
			continue
		}
		s := p.Scales[i]
		if !s.Plane.Usable() {
			r.Refused = len(f.Evidence) > 0
			return r
		}
		r = lengthRow(w, &units.Length{Best: s.Plane.Row, Shared: s.Plane.Row * units.MM(s.Plane.Rel)}, t.perPx(v), Row{})
		return r
	}
	return r
}

func (t Truth) perPx(v anatomy.View) float64 {
	for _, f := range t.Films {
		if f.View == v {
			return f.PerPx
		}
	}
	return 0
}

// shows is the view that the header of a drawn film gives: a person may have
// said another.
func shows(f record.Film) anatomy.View {
	if f.Tags == nil {
		return anatomy.NoView
	}
	switch strings.ToUpper(strings.TrimSpace(f.Tags.ViewPosition)) {
	case "AP":
		return anatomy.AP
	case "LL":
		return anatomy.Lateral
	}
	return anatomy.NoView
}

// lengthRow compares a length. Where it does not hold and its scale does not
// either, it says whether the scale alone is the reason: the length times true
// scale over measured scale would hold.
func lengthRow(w What, got *units.Length, is float64, scale Row) Row {
	r := Row{What: w, True: is}
	if got == nil || !got.Finite() {
		return r
	}
	l := *got
	r.Length = &l
	reach := units.Sure * float64(l.Doubt())
	r.Diff = float64(l.Best) - is
	r.Holds = math.Abs(r.Diff) <= reach
	if !r.Holds && scale.Length != nil && !scale.Holds && scale.Length.Best > 0 {
		r.ByScale = math.Abs(float64(l.Best)*scale.True/float64(scale.Length.Best)-is) <= reach
	}
	return r
}

func angleRow(w What, got *units.Angle, is float64) Row {
	r := Row{What: w, True: is}
	if got == nil || math.IsNaN(float64(got.Best)+float64(got.Own)) || math.IsInf(float64(got.Best)+float64(got.Own), 0) {
		return r
	}
	a := *got
	r.Angle = &a
	r.Diff = float64(a.Best) - is
	r.Holds = math.Abs(r.Diff) <= units.Sure*float64(a.Own)
	return r
}

// nsaRow takes the angle of the bone where two films gave it. Of one film from
// the front the truth is what it shows of a bone with this version.
func nsaRow(p plan.Plan, t Truth) Row {
	if p.Space.NeckShaft != nil {
		return angleRow(NSA, p.Space.NeckShaft, t.NSA)
	}
	r := angleRow(NSA, p.Bone.NSA, t.NSA)
	if seen, _, err := measure.OnFilms(units.Deg(t.NSA), units.Deg(t.Version)); err == nil && r.Measured() {
		r = angleRow(NSA, p.Bone.NSA, float64(seen))
		r.OnAP = true
	}
	return r
}

// condyles is the length of the bone and how far the roof of the notch lies
// beyond its distal target, on the first film from the front that shows it.
func condyles(c record.Case, p plan.Plan) *units.Length {
	if p.Bone.Length == nil {
		return nil
	}
	for i, f := range c.Films {
		if f.View != anatomy.AP || f.Bone != anatomy.Injured || f.Photo != nil || i >= len(p.Scales) {
			continue
		}
		at := measure.Points{}
		for _, q := range f.Points {
			at[q.Name] = measure.Placed{At: q.At, Slip: q.Slip}
		}
		if d, err := measure.Beyond(measure.Film{View: f.View, Plane: p.Scales[i].Plane, At: at}, anatomy.Notch); err == nil {
			l := p.Bone.Length.Plus(d)
			return &l
		}
	}
	return nil
}
