package calibrate

import (
	"math"

	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// sidDoubt is the standard uncertainty of a distance from tube to detector
	// that was read off the stand. Common practice.
	sidDoubt = 10.0
	// bothTol is how far SID − SOD and OID may differ before they contradict.
	bothTol = units.Sure * heightUnknown
)

// Distances returns the scale from a film's spacing at the detector and the
// distances a person gave:
//
//	s = detector spacing / M,  M = SID / SOD,  SOD = SID − OID
//
// It holds for the depth of those distances only; their doubt is ± 2·10 mm
// for the SID and ± 2·15 mm for the depth. Source: DICOM PS3.3, C.8.7.6. It
// refuses a spacing that was corrected already (never dividing twice), a
// spacing of unknown plane, and distances that cannot be.
func Distances(g Given, sid units.MM, sod, oid *units.MM) (Plane, []Notice, error) {
	detector, err := bare(g)
	if err != nil {
		return Plane{}, nil, err
	}
	m, err := MagnificationFromDistances(sid, sod, oid)
	if err != nil {
		return Plane{}, nil, err
	}
	ns := []Notice{caution("distances", num("factor", m.Best)).by(source.DICOMGeom, source.CommonUse)}
	if g.SID != nil && *g.SID > 0 && math.Abs(float64(sid) / *g.SID - 1) > factorRel {
		ns = append(ns, caution("sid-differs", num("given", float64(sid)), num("header", *g.SID)))
	}
	p := plane(detector, m.Best, m.U/m.Best, ByDistances)
	p.Sources = append(p.Sources, source.DICOMGeom, source.CommonUse)
	return p, ns, nil
}

// Assumed returns the scale from a film's spacing at the detector and a
// site's usual magnification, labelled as assumed:
//
//	s = detector spacing / factor,  u(s)/s = 4.1/114.1
//
// Source of the doubt: Wangjiraphan, Lampang Med J, 199 hip images. It
// refuses a factor outside 1…1.6, a spacing that was corrected already and
// one of unknown plane.
func Assumed(g Given, factor float64) (Plane, []Notice, error) {
	if err := checkFactor("the assumed magnification", "factor", factor); err != nil {
		return Plane{}, nil, err
	}
	detector, err := bare(g)
	if err != nil {
		return Plane{}, nil, err
	}
	n := caution("assumed", num("factor", factor), percent(relSite)).by(source.Lampang)
	return plane(detector, factor, relSite, AssumedSite), []Notice{n}, nil
}

// bare returns the spacing at the detector, and refuses where there is none
// or where the film's spacing was corrected already.
func bare(g Given) ([2]float64, error) {
	c, _ := clean(g)
	detector := c.detector()
	switch {
	case detector != nil && (c.pixel == nil || same(*c.pixel, *detector)):
		return *detector, nil
	case detector != nil:
		return [2]float64{}, &CorrectedError{Implied: detector[0] / c.pixel[0]}
	case c.pixel != nil && c.kind != "":
		return [2]float64{}, &CorrectedError{}
	case c.pixel != nil:
		return [2]float64{}, &MissingError{For: "a scale from a magnification", Fields: []string{"imager_spacing_mm"},
			Do: "the header does not say for which plane its spacing holds; mark an object of known size"}
	}
	return [2]float64{}, &MissingError{For: "a scale from a magnification", Fields: []string{"imager_spacing_mm"},
		Do: "this film carries no spacing; mark an object of known size"}
}

// Magnification returns how many times larger than true an object was
// measured at the detector,
//
//	M = measured / actual
//
// with both doubts as independent. Source: Orthopaedic Proceedings 2006, 88-B
// Supp II, 247; JCGM 100:2008, 5.1.2. It refuses lengths that are not above
// zero and a result outside 1…1.6.
func Magnification(measured, actual units.Length) (units.Ratio, error) {
	for _, l := range []struct {
		name, field string
		v           units.Length
	}{{"the measured size", "measured_mm", measured}, {"the true size", "true_mm", actual}} {
		if !l.v.Finite() || !(l.v.Best > 0 && l.v.Best <= 2000) {
			return units.Ratio{}, &OutOfRangeError{Name: l.name, Field: l.field, Got: float64(l.v.Best), Lo: 0, Hi: 2000, Unit: "mm", Do: "enter it in millimetres"}
		}
	}
	r, ok := measured.Apart().Over(actual.Apart())
	if !ok {
		return units.Ratio{}, &MissingError{For: "a magnification", Fields: []string{"true_mm"}, Do: "enter the true size in millimetres"}
	}
	if err := checkFactor("the magnification, measured over true size,", "measured_mm", r.Best); err != nil {
		return units.Ratio{}, err
	}
	return r, nil
}

// MagnificationFromDistances returns the magnification at one depth,
//
//	M = SID / SOD, or M = SID / (SID − OID)
//
// with ± 2·10 mm for the SID and ± 2·15 mm for the SOD or OID. It holds for
// a plane at that depth, square to the central ray. Source: DICOM PS3.3,
// C.8.7.6. It refuses when SOD and OID are both missing or contradict each
// other, an SID outside 500…3000 mm and a result outside 1…1.6.
func MagnificationFromDistances(sid units.MM, sod, oid *units.MM) (units.Ratio, error) {
	if err := checkSID(sid); err != nil {
		return units.Ratio{}, err
	}
	s := float64(sid)
	lowest := s / factorHi
	var d, u float64
	switch {
	case sod != nil:
		d = float64(*sod)
		if !(d >= lowest && d <= s) {
			return units.Ratio{}, &OutOfRangeError{Name: "the distance from tube to bone", Field: "sod_mm", Got: d, Lo: lowest, Hi: s, Unit: "mm", Do: "it must be shorter than the distance from tube to detector"}
		}
		u = math.Hypot(sidDoubt/s, heightUnknown/d)
	case oid != nil:
		d = s - float64(*oid)
		if !(d >= lowest && d <= s) {
			return units.Ratio{}, &OutOfRangeError{Name: "the distance from bone to detector", Field: "oid_mm", Got: float64(*oid), Lo: 0, Hi: s - lowest, Unit: "mm", Do: "measure it from the detector to the bone"}
		}
		u = math.Hypot(sidDoubt*(1/d-1/s), heightUnknown/d)
	default:
		return units.Ratio{}, &MissingError{For: "a magnification from distances", Fields: []string{"sod_mm or oid_mm"}, Do: "enter how far the bone was from the tube or from the detector"}
	}
	if sod != nil && oid != nil && !(math.Abs(s-d-float64(*oid)) <= bothTol) {
		return units.Ratio{}, &ContradictionError{What: "SID − SOD and OID", A: s - d, B: float64(*oid), Unit: "mm", Do: "check the three distances"}
	}
	return units.Ratio{Best: s / d, U: s / d * u}, nil
}

// TwoMarkers returns the magnification of a bone that lies at the fraction r
// of the way from a marker at the back (nearer the detector) to one in front
// (nearer the tube):
//
//	1/M = (1 − r)/M_back + r/M_front
//
// because the distance from the source is linear in 1/M; a mean of the two
// magnifications is wrong. Source: geometry; King 2009, Bone Joint J. It
// refuses magnifications outside 1…1.6, a front marker that looks smaller
// than the back one, and r outside 0…1.
func TwoMarkers(front, back, r units.Ratio) (units.Ratio, error) {
	for _, m := range []struct {
		name, field string
		v           units.Ratio
	}{{"the magnification of the front marker", "front", front}, {"the magnification of the back marker", "back", back}} {
		if err := checkFactor(m.name, m.field, m.v.Best); err != nil {
			return units.Ratio{}, err
		}
	}
	for _, u := range []float64{front.U, back.U, r.U} {
		if !(u >= 0 && u <= 1) {
			return units.Ratio{}, &OutOfRangeError{Name: "a doubt of the two markers", Field: "u", Got: u, Lo: 0, Hi: 1, Do: "enter it again"}
		}
	}
	if front.Best < back.Best {
		return units.Ratio{}, &ContradictionError{What: "the front marker looks smaller than the back marker", A: front.Best, B: back.Best, Unit: "times", Do: "the marker nearer the tube looks larger; check which is which"}
	}
	if !(r.Best >= 0 && r.Best <= 1) {
		return units.Ratio{}, &OutOfRangeError{Name: "the place of the bone between the markers", Field: "r", Got: r.Best, Lo: 0, Hi: 1, Do: "enter 0 for the back marker and 1 for the front marker"}
	}
	y := (1-r.Best)/back.Best + r.Best/front.Best
	m := 1 / y
	db := (1 - r.Best) / (back.Best * back.Best) * back.U
	df := r.Best / (front.Best * front.Best) * front.U
	dr := (1/front.Best - 1/back.Best) * r.U
	return units.Ratio{Best: m, U: m * m * math.Sqrt(db*db+df*df+dr*dr)}, nil
}

func checkFactor(name, field string, f float64) error {
	if !(f >= factorLo && f <= factorHi) {
		return &OutOfRangeError{Name: name, Field: field, Got: f, Lo: factorLo, Hi: factorHi, Do: "check both numbers and that they are in millimetres"}
	}
	return nil
}

// A Formula names a bedside formula of this room.
type Formula string

const (
	BySize    Formula = "size"        // Magnification
	BySID     Formula = "distances"   // MagnificationFromDistances
	ByTwo     Formula = "two-markers" // TwoMarkers
	ByHeights Formula = "heights"     // OffDepth
)

// Cites returns who says so, or none for an unknown formula.
func Cites(f Formula) []source.Key {
	switch f {
	case BySize:
		return []source.Key{source.Coin2006, source.GUM}
	case BySID:
		return []source.Key{source.DICOMGeom, source.CommonUse, source.GUM}
	case ByTwo:
		return []source.Key{source.Geometry, source.King2009, source.GUM}
	case ByHeights:
		return []source.Key{source.Geometry, source.Depth2022}
	}
	return nil
}
