package calibrate

import (
	"math"
	"strings"

	"isthmus/core/source"
	"isthmus/core/units"
)

// Given is the film's size information from its header; nil means missing.
type Given struct {
	Modality       string
	PixelSpacing   *[2]float64 // (0028,0030) row, column
	ImagerSpacing  *[2]float64 // (0018,1164) row, column
	ScannedSpacing *[2]float64 // (0018,2010) row, column
	Calibration    string      // (0028,0A02)
	CalibrationBy  string      // (0028,0A04)
	Factor         *float64    // (0018,1114)
	SID            *float64    // (0018,1110) mm
	SOD            *float64    // (0018,1111) mm
	Aspect         *[2]int     // (0028,0034) vertical, horizontal
}

const (
	// A spacing outside these limits is not that of a radiograph. From memory.
	spacingLo, spacingHi = 0.01, 2.0
	// A magnification outside these limits is not that of a femur: the bone
	// lies above the detector, and seldom above a third of the way to the
	// tube. Published films reach 1.234 (Brew 2012).
	factorLo, factorHi = 1.0, 1.6
	// Two spacings closer than this are equal: no bone lies so near the detector.
	equalRel = 0.005
	// Two factors further apart than this are shown to a person.
	// Source: DICOM PS3.3 C.8.7.6 defines the factor as SID/SOD.
	factorRel = 0.01
	// relSite is the spread of magnification from patient to patient.
	// Source: Wangjiraphan, Lampang Med J: 114.1 %, SD 4.1, 199 hip images.
	relSite = 4.1 / 114.1
)

// Header judges what the header says about size and returns the plane it
// gives, with its origin, and what a person must see. The rules, first match:
//
//	no spacing, or only a placeholder        → NoOrigin
//	not a radiograph                         → UnknownTags
//	Pixel Spacing = detector spacing         → not corrected, as if alone
//	Pixel Spacing, type FIDUCIAL             → Fiducial
//	Pixel Spacing, type GEOMETRY             → Geometry
//	Pixel Spacing ≠ detector spacing         → Corrected, never divided again
//	Pixel Spacing alone                      → UnknownTags
//	detector spacing with a factor           → MachineGuess, spacing / factor
//	detector spacing alone, or with SID, SOD → AtDetector
//
// SID and SOD of the header are offered in a notice and not used: the SOD is
// often a fixed number, to the table or the patient's side and not the bone.
// A plane that is not the bone's is not Usable but keeps its spacing, so that
// the shape of a pixel is known. Source: DICOM PS3.3, 10.7.1 and C.8.7.6.
func Header(g Given) (Plane, []Notice) {
	c, ns := clean(g)
	_, shapeNotices := ShapeOf(g)
	ns = append(ns, shapeNotices...)
	detector := c.detector()
	if s := c.pixel; s != nil && !projection(g.Modality) {
		return plane(*s, 1, 0, UnknownTags), append(ns, caution("not-a-radiograph", word("modality", g.Modality)))
	}
	switch {
	case c.pixel == nil && detector == nil:
		return Plane{}, append(ns, caution("no-spacing"))
	case c.pixel != nil && detector != nil && same(*c.pixel, *detector):
		if c.kind != "" {
			ns = append(ns, caution("calibration-contradict").by(source.DICOMSpacing))
		}
		return uncorrected(*detector, c, ns)
	case c.pixel != nil:
		return calibrated(c, detector, g.CalibrationBy, ns)
	}
	return uncorrected(*detector, c, ns)
}

// calibrated judges a Pixel Spacing that is not the detector's.
func calibrated(c cleaned, detector *[2]float64, text string, ns []Notice) (Plane, []Notice) {
	if text != "" && c.kind != "" {
		ns = append(ns, note("calibration-note", word("text", text)))
	}
	if detector != nil {
		row, col := detector[0]/c.pixel[0], detector[1]/c.pixel[1]
		if !(row > factorLo && row <= factorHi && math.Abs(row/col-1) <= factorRel) {
			return plane(*c.pixel, 1, 0, UnknownTags),
				append(ns, caution("implied-range", num("implied", row)).by(source.DICOMSpacing))
		}
		if c.kind != "" {
			ns = append(ns, note("implied-factor", num("implied", row)).by(source.DICOMSpacing))
		}
		ns = append(ns, c.compare(row, "implied by the spacings")...)
	}
	switch {
	case c.kind == "FIDUCIAL":
		p := plane(*c.pixel, 1, heightUnknown/nominalSOD, Fiducial)
		return p, append(ns, caution("fiducial").by(source.DICOMSpacing))
	case c.kind == "GEOMETRY":
		return plane(*c.pixel, 1, relSite, Geometry), append(ns, caution("geometry").by(source.DICOMSpacing))
	case detector != nil:
		return plane(*c.pixel, 1, relSite, Corrected),
			append(ns, caution("corrected", num("implied", detector[0]/c.pixel[0])).by(source.DICOMSpacing))
	}
	return plane(*c.pixel, 1, 0, UnknownTags), append(ns, caution("unknown-plane").by(source.DICOMSpacing))
}

// uncorrected judges a spacing at the detector.
func uncorrected(detector [2]float64, c cleaned, ns []Notice) (Plane, []Notice) {
	if c.factor == 0 {
		if c.distances != 0 {
			ns = append(ns, note("distances-offered", num("sid", c.sid), num("sod", c.sod), num("factor", c.distances)).by(source.DICOMGeom))
		}
		return plane(detector, 1, 0, AtDetector), append(ns, caution("at-detector").by(source.DICOMSpacing))
	}
	rel := relSite
	if more := c.compare(c.factor, "the header's factor"); more != nil {
		ns = append(ns, more...)
		rel = math.Hypot(rel, c.factor/c.distances-1)
	}
	ns = append(ns, caution("machine-factor", num("factor", c.factor)).by(source.DICOMGeom))
	p := plane(detector, c.factor, rel, MachineGuess)
	p.Sources = append(p.Sources, source.DICOMGeom)
	return p, ns
}

// plane divides a spacing by a factor, once.
func plane(spacing [2]float64, factor, rel float64, o Origin) Plane {
	p := Plane{
		Row:     units.MM(spacing[0] / factor),
		Col:     units.MM(spacing[1] / factor),
		Rel:     rel,
		Origin:  o,
		Sources: []source.Key{source.DICOMSpacing},
	}
	switch o {
	case Geometry, Corrected, MachineGuess, AssumedSite:
		p.Sources = append(p.Sources, source.Lampang)
	case Fiducial:
		p.Sources = append(p.Sources, source.Depth2022)
	}
	return p
}

// cleaned is what is left of the header when impossible values are gone. A
// zero factor means none.
type cleaned struct {
	pixel, imager, scanned *[2]float64
	kind                   string  // FIDUCIAL, GEOMETRY or empty
	factor                 float64 // (0018,1114)
	sid, sod, distances    float64 // distances = SID/SOD
}

func (c cleaned) detector() *[2]float64 {
	if c.imager != nil {
		return c.imager
	}
	return c.scanned
}

// compare reports factors that differ from f by more than 1 %.
func (c cleaned) compare(f float64, what string) []Notice {
	var ns []Notice
	add := func(other float64, name string) {
		if other > 0 && f != other && !(math.Abs(f/other-1) <= factorRel) {
			ns = append(ns, caution("factor-differs", num("a", f), word("what_a", what), num("b", other), word("what_b", name)).by(source.DICOMGeom))
		}
	}
	if f != c.factor {
		add(c.factor, "the header's factor")
	}
	add(c.distances, "SID over SOD")
	return ns
}

func clean(g Given) (cleaned, []Notice) {
	var c cleaned
	var ns []Notice
	for _, s := range []struct {
		what string
		in   *[2]float64
		out  **[2]float64
	}{
		{"Pixel Spacing", g.PixelSpacing, &c.pixel},
		{"Imager Pixel Spacing", g.ImagerSpacing, &c.imager},
		{"Nominal Scanned Pixel Spacing", g.ScannedSpacing, &c.scanned},
	} {
		if s.in == nil {
			continue
		}
		if code := spacingFault(*s.in); code != "" {
			ns = append(ns, caution(code, word("what", s.what), num("row", s.in[0]), num("col", s.in[1])).by(source.DICOMSpacing))
			continue
		}
		*s.out = s.in
	}
	switch k := strings.ToUpper(strings.TrimSpace(g.Calibration)); k {
	case "", "FIDUCIAL", "GEOMETRY":
		c.kind = k
	default:
		ns = append(ns, caution("calibration-unknown", word("text", g.Calibration)))
	}
	ns = append(ns, c.cleanFactors(g)...)
	return c, ns
}

// cleanFactors takes over the factor and the distances that can be true, and
// reports those that cannot.
func (c *cleaned) cleanFactors(g Given) []Notice {
	var ns []Notice
	if g.Factor != nil {
		if *g.Factor > factorLo && *g.Factor <= factorHi {
			c.factor = *g.Factor
		} else {
			ns = append(ns, caution("factor-range", num("factor", *g.Factor)).by(source.DICOMGeom))
		}
	}
	if g.SID != nil && g.SOD != nil {
		if m := *g.SID / *g.SOD; *g.SID >= sidLo && *g.SID <= sidHi && m > factorLo && m <= factorHi {
			c.sid, c.sod, c.distances = *g.SID, *g.SOD, m
		} else {
			ns = append(ns, caution("distances-range", num("sid", *g.SID), num("sod", *g.SOD)).by(source.DICOMGeom))
		}
	}
	return ns
}

// spacingFault returns the code of what is wrong with a spacing, or "".
func spacingFault(s [2]float64) string {
	for _, v := range s {
		if !(v >= spacingLo && v <= spacingHi) {
			return "spacing-range"
		}
	}
	if s[0] == 1 && s[1] == 1 {
		return "spacing-placeholder"
	}
	if !(Shape{s[0] / s[1]}).Valid() {
		return "spacing-shape"
	}
	return ""
}

func same(a, b [2]float64) bool {
	return math.Abs(a[0]/b[0]-1) <= equalRel && math.Abs(a[1]/b[1]-1) <= equalRel
}

// projection reports whether the modality is a shadow picture whose spacing
// follows the rules above; an empty one is not held against the film.
func projection(modality string) bool {
	switch strings.ToUpper(strings.TrimSpace(modality)) {
	case "", "CR", "DX", "DR", "RG", "RF", "XA", "OT", "SC", "XC":
		return true
	}
	return false
}
