// Package calibrate finds how many millimetres one pixel is in the plane of
// the bone, with its doubt and where it is known from. It takes points and
// known sizes, never a case. Everything that can make a film the wrong size
// is decided here and nowhere else.
package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/source"
	"isthmus/core/units"
)

// Origin says where a scale is known from. The zero value is no scale.
type Origin string

const (
	NoOrigin     Origin = ""
	FromBallMark Origin = "ball"
	FromDiscMark Origin = "disc"
	FromRuler    Origin = "ruler"
	FromTwoBalls Origin = "two-markers"  // balls behind and in front of the bone
	FromPart     Origin = "known-part"   // a screw or a nail of known size in the bone
	Fiducial     Origin = "fiducial"     // header: calibrated on an object of known size
	Geometry     Origin = "geometry"     // header: assumed magnification at an unspecified depth
	Corrected    Origin = "corrected"    // header: Pixel Spacing differs from Imager Pixel Spacing, no type
	MachineGuess Origin = "machine"      // header: imager spacing with the machine's own factor
	ByDistances  Origin = "distances"    // imager spacing with distances a person gave
	AtDetector   Origin = "at-detector"  // header: not corrected; not a scale of the bone
	UnknownTags  Origin = "unknown-tags" // header: a spacing that says nothing about where
	AssumedSite  Origin = "assumed"      // a site's usual factor
	Combined     Origin = "combined"     // agreeing evidence, weighted
)

// A Plane turns pixels of one film into millimetres in the plane of the bone.
// Its zero value has no scale and measures nothing.
type Plane struct {
	Row     units.MM     `json:"row_mm_per_px"` // height of one pixel
	Col     units.MM     `json:"col_mm_per_px"` // width of one pixel
	Rel     float64      `json:"rel"`           // relative standard uncertainty, shared by every length
	Origin  Origin       `json:"origin"`
	Sources []source.Key `json:"sources,omitempty"`
}

// Usable reports whether lengths of the bone may be taken from this plane:
// both spacings are positive, the doubt is a number, and the origin is one of
// the bone's plane rather than of the detector's.
func (p Plane) Usable() bool {
	switch p.Origin {
	case NoOrigin, AtDetector, UnknownTags:
		return false
	}
	s := float64(p.Row) + float64(p.Col) + p.Rel
	return p.Row > 0 && p.Col > 0 && p.Rel >= 0 && !math.IsInf(s, 0) && !math.IsNaN(s)
}

// MM returns the point in millimetres. Row spacing goes with Y, column
// spacing with X. Source: DICOM PS3.3, 10.7.1.3.
func (p Plane) MM(q geom.Pt[units.Px]) geom.Pt[units.MM] {
	return geom.Pt[units.MM]{X: p.Col * units.MM(q.X), Y: p.Row * units.MM(q.Y)}
}

// Length returns the distance between two points with its doubt: the slips of
// both points are its own, the scale is shared.
//
//	L = √((Δrow·s_row)² + (Δcol·s_col)²)
//
// Source: DICOM PS3.3, 10.7.1.3; JCGM 100:2008, 5.1.2.
func (p Plane) Length(a, b geom.Pt[units.Px], slipA, slipB units.Px) units.Length {
	best := geom.Dist(p.MM(a), p.MM(b))
	px := math.Max(float64(p.Row), float64(p.Col)) // the wider side of a pixel: never too sure
	return units.Length{
		Best:   best,
		Own:    units.MM(px * math.Hypot(float64(slipA), float64(slipB))),
		Shared: best * units.MM(p.Rel),
	}
}
