package record

import (
	"fmt"
	"strconv"
)

// named is an answer and the field it is in.
type named struct {
	name string
	a    Answer
}

// injuryMore checks the answers that version 2 added.
func (k *checker) injuryMore(in Injury) {
	for _, a := range []named{
		{"neck_by_mri", in.NeckByMRI}, {"neck_in_theatre", in.NeckInTheatre}, {"neck_after", in.NeckAfter},
		{"medial_pieces", in.MedialPieces}, {"lesser_whole", in.LesserWhole}, {"high_energy", in.HighEnergy},
		{"many_injuries", in.ManyInjuries}, {"both_femurs", in.BothFemurs},
	} {
		k.answer("injury."+a.name, a.a)
	}
	k.word("injury.wound", string(in.Wound), texts(Wounds())...)
	k.word("injury.comminution", string(in.Comminution), texts(Comminutions())...)
	k.word("injury.entry", string(in.Entry), texts(Entries())...)
	k.size("injury.wound_mm", in.WoundMM, 0, 1000, false)
	k.size("injury.stature_mm", in.StatureMM, 300, 2800, true)
	k.text("injury.one_screw_reason", in.OneScrewReason, maxDevice, "")
	s := in.AtypicalSigns
	if s == nil {
		return
	}
	for _, a := range []named{
		{"minimal_trauma", s.MinimalTrauma}, {"lateral_start", s.LateralStart}, {"spike_or_part", s.SpikeOrPart},
		{"few_pieces", s.FewPieces}, {"lateral_thickness", s.LateralThick}, {"thick_cortices", s.ThickCortices},
		{"pain_before", s.PainBefore}, {"both_sides", s.BothSides}, {"slow_healing", s.SlowHealing},
	} {
		k.answer("injury.atypical_signs."+a.name, a.a)
	}
}

// photo checks the corners of a film in a photo. Whether they make a film is
// core/calibrate's to say.
func (k *checker) photo(at string, p Photo, f Film) {
	k.belongs(at, true, f.Kind != "dicom", "films of kind jpeg and png")
	if len(p.Corners) != 4 {
		k.add(at+".corners_px", BadNumber, strconv.Itoa(len(p.Corners))+" corners", "four corners")
	}
	for i, c := range p.Corners {
		k.inside(fmt.Sprintf("%s.corners_px[%d]", at, i), c, f)
	}
	k.slip(at+".slip_px", p.Slip)
	k.size(at+".width_mm", p.Width, 0, 2000, false)
	k.size(at+".height_mm", p.Height, 0, 2000, false)
	if p.Edges != nil {
		k.photoEdges(at+".edges", *p.Edges, f)
	}
}

// photoEdges checks the points on the edges of a film in a photo.
func (k *checker) photoEdges(at string, e PhotoEdges, f Film) {
	n := 0
	for i, side := range e.Sides() {
		here := at + [4]string{".top_px", ".right_px", ".bottom_px", ".left_px"}[i]
		n += len(side)
		if k.count(here, len(side), maxEdge) {
			for j, p := range side {
				k.inside(fmt.Sprintf("%s[%d]", here, j), p, f)
			}
		}
	}
	if n == 0 {
		k.add(at, BadNumber, "no point on any edge", "at least one point, or no edges")
	}
	k.slip(at+".slip_px", e.Slip)
}

// readingMore checks the fields that version 2 added.
func (k *checker) readingMore(at string, r Reading) {
	turn := r.Kind == TurnInjured || r.Kind == TurnSound
	k.belongs(at+".first_mm", r.First != nil, !turn, "readings of a length")
	k.belongs(at+".hole", r.Hole != nil, r.Kind == DistalDepth, "distal-depth")
	k.belongs(at+".angle_deg", r.Angle != nil, turn, "turn-injured and turn-sound")
	k.belongs(at+".angle_two_deg", r.AngleTwo != nil, turn, "turn-injured and turn-sound")
	if r.Hole != nil {
		k.number(at+".hole", float64(*r.Hole), 1, 12, true, "")
	}
	if r.Angle != nil {
		k.number(at+".angle_deg", float64(*r.Angle), -360, 360, true, "°")
	}
	if r.AngleTwo != nil {
		k.number(at+".angle_two_deg", float64(*r.AngleTwo), -360, 360, true, "°")
	}
}

// followed checks the scores of union.
func (k *checker) followed(fs []Followed) {
	if !k.count("followed", len(fs), maxFollowed) {
		return
	}
	seen := map[string]bool{}
	for i, f := range fs {
		at := fmt.Sprintf("followed[%d]", i)
		k.shortID(at+".id", f.ID, seen)
		k.time(at+".at", f.At)
		k.must(at+".scale", f.Scale, "rust", "mrust")
		most := 4
		if f.Scale == "rust" {
			most = 3
		}
		if len(f.Cortices) != 4 {
			k.add(at+".cortices", BadNumber, strconv.Itoa(len(f.Cortices))+" scores", "one for each of the four cortices")
		}
		for j, s := range f.Cortices {
			if s < 1 || s > most {
				k.add(fmt.Sprintf("%s.cortices[%d]", at, j), BadRange, strconv.Itoa(s), "1 to "+strconv.Itoa(most))
			}
		}
	}
}
