package calibrate

import (
	"math"

	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// nominalSOD turns a doubt of height into a relative doubt where no SID is
	// given: SID 1150 mm less a bone 150 mm above the detector. Common practice.
	nominalSOD = 1000.0
	// nominalHeight is that height of the bone.
	nominalHeight = 150.0
	// heightUnknown is the standard uncertainty of the height of a marker of
	// which nobody says where it lay: ± 30 mm for 95 %, about the half
	// thickness of a thigh. Common practice.
	heightUnknown = 15.0
	// heightAtBone is the same for a marker that a person held to lie at the
	// bone, and for each height that was measured. Common practice.
	heightAtBone = 5.0
	// sidLo and sidHi bound the distance from tube to detector. From memory:
	// a C-arm has about 1000 mm, a long-leg stand up to 3000 mm.
	sidLo, sidHi = 500.0, 3000.0
	// heightHi bounds how high above the detector bone or marker can lie.
	heightHi = 600.0
)

// Depth is what is known of where a marker lay. The zero value says that
// nothing is known. Heights are above the detector.
type Depth struct {
	AtBone  bool // a person held it to the depth of the bone
	Known   bool // a person said where it lay: at the bone or not
	HMarker *units.MM
	HBone   *units.MM
	SID     *units.MM
}

// lead is what a depth does to a scale: what to multiply it with, and the
// relative standard uncertainty that remains.
type lead struct {
	times   float64
	rel     float64
	notices []Notice
}

// lead returns the correction of a marker's scale to the plane of the bone,
//
//	s_bone = s_marker · (SID − h_bone) / (SID − h_marker)
//
// where both heights and the SID are given, and else no correction but the
// doubt of a height of ± 2·5 mm (at the bone) or ± 2·15 mm (not known).
// Source: geometry; about 1 % for each 10 mm (Klever 2022). It refuses a
// marker that a person says was not at the bone when the heights that would
// correct it are missing: the direction of its error is not known.
func (d Depth) lead() (lead, error) {
	if d.HMarker != nil && d.HBone != nil && d.SID != nil {
		return d.corrected()
	}
	sod := nominalSOD
	if d.SID != nil {
		if err := checkSID(*d.SID); err != nil {
			return lead{}, err
		}
		sod = float64(*d.SID) - nominalHeight
	}
	var ns []Notice
	if d.HMarker != nil || d.HBone != nil {
		ns = append(ns, caution("depth-part"))
	}
	switch {
	case d.AtBone:
		rel := heightAtBone / sod
		return lead{1, rel, append(ns, note("depth-at-bone", percent(rel)).by(source.CommonUse, source.Depth2022))}, nil
	case d.Known:
		return lead{}, &MissingError{For: "a marker that was not at the bone", Fields: d.missing(),
			Do: "enter how high marker and bone lay above the detector and the distance from tube to detector, or mark another object"}
	}
	rel := heightUnknown / sod
	return lead{1, rel, append(ns, caution("depth-unknown", percent(rel)).by(source.CommonUse, source.Depth2022))}, nil
}

func (d Depth) missing() []string {
	var out []string
	for _, f := range []struct {
		name string
		v    *units.MM
	}{{"marker_height_mm", d.HMarker}, {"bone_height_mm", d.HBone}, {"sid_mm", d.SID}} {
		if f.v == nil {
			out = append(out, f.name)
		}
	}
	return out
}

func (d Depth) corrected() (lead, error) {
	off, err := OffDepth(*d.HMarker, *d.HBone, *d.SID)
	if err != nil {
		return lead{}, err
	}
	gap := float64(*d.HMarker - *d.HBone)
	side := "tube"
	if gap < 0 {
		side = "detector"
	}
	times := 1 / (1 + off)
	// by first order: one height moves the scale by u/(SID − h)
	rel := math.Hypot(heightAtBone/float64(*d.SID-*d.HMarker), heightAtBone/float64(*d.SID-*d.HBone))
	ns := []Notice{note("depth-corrected", num("gap", math.Abs(gap)), word("side", side),
		Fact{"percent", (times - 1) * 100, units.Trim((times-1)*100, 1)}).by(source.Geometry, source.Depth2022)}
	if d.AtBone && math.Abs(gap) > units.Sure*heightAtBone {
		ns = append(ns, caution("depth-contradict", num("gap", math.Abs(gap))))
	}
	return lead{times, rel, ns}, nil
}

// OffDepth returns by how much lengths of the bone read wrong when a marker
// at another height is taken for one at the bone:
//
//	L_read / L_true − 1 = (h_bone − h_marker) / (SID − h_bone)
//
// with heights above the detector. A marker on the table (lower than the
// bone) makes the bone read too long. Source: geometry; Klever 2022. It
// refuses an SID outside 500…3000 mm and heights outside 0…600 mm or above
// half the SID.
func OffDepth(hMarker, hBone, sid units.MM) (float64, error) {
	if err := checkSID(sid); err != nil {
		return 0, err
	}
	top := math.Min(heightHi, float64(sid)/2)
	for _, h := range []struct {
		name, field string
		v           units.MM
	}{{"the height of the marker", "marker_height_mm", hMarker}, {"the height of the bone", "bone_height_mm", hBone}} {
		if !(h.v >= 0 && float64(h.v) <= top) {
			return 0, &OutOfRangeError{Name: h.name, Field: h.field, Got: float64(h.v), Lo: 0, Hi: top, Unit: "mm",
				Do: "measure it from the detector, not from the floor"}
		}
	}
	return float64((hBone - hMarker) / (sid - hBone)), nil
}

func checkSID(sid units.MM) error {
	if !(sid >= sidLo && sid <= sidHi) {
		return &OutOfRangeError{Name: "the distance from tube to detector", Field: "sid_mm", Got: float64(sid), Lo: sidLo, Hi: sidHi, Unit: "mm",
			Do: "enter it in millimetres"}
	}
	return nil
}
