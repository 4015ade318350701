package record

import (
	"fmt"
	"slices"
	"strconv"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// headerID is what Film.Chosen says for the tags of the header.
const headerID = "header"

func (k *checker) film(at string, f Film) {
	if !isHex(f.SHA256, 64) {
		k.add(at+".sha256", BadHash, canon.Quote(f.SHA256), "64 hexadecimal digits in lower case")
	}
	k.number(at+".bytes", float64(f.Bytes), 1, maxFilm, true, " bytes")
	k.must(at+".kind", f.Kind, "dicom", "jpeg", "png")
	k.number(at+".frame", float64(f.Frame), 0, 99999, true, "")
	k.number(at+".width_px", float64(f.Width), 1, maxPixels, true, " px")
	k.number(at+".height_px", float64(f.Height), 1, maxPixels, true, " px")
	k.word(at+".view", string(f.View), string(anatomy.AP), string(anatomy.Lateral))
	k.word(at+".bone", string(f.Bone), string(anatomy.Injured), string(anatomy.Sound))
	k.answer(at+".reduced", f.Reduced)
	if f.Tags != nil {
		k.belongs(at+".tags", true, f.Kind == "dicom", "films of kind dicom")
		k.tags(at+".tags", *f.Tags)
	}
	ids := map[string]bool{}
	if k.count(at+".evidence", len(f.Evidence), maxEvidence) {
		for i, e := range f.Evidence {
			k.evidence(fmt.Sprintf("%s.evidence[%d]", at, i), e, f, ids)
		}
	}
	if f.Chosen != "" && !ids[f.Chosen] && !(f.Chosen == headerID && f.Tags != nil) {
		k.add(at+".chosen", NamesNone, canon.Quote(f.Chosen), "the id of a piece of evidence of this film")
	}
	k.points(at+".points", f)
	if f.Photo != nil {
		k.photo(at+".photo", *f.Photo, f)
	}
	k.size(at+".join_mm", f.JoinMM, 0, 2000, true)
	k.word(at+".letter", string(f.Letter), texts(Letters())...)
	k.answer(at+".letter_reads", f.LetterReads)
	k.belongs(at+".letter_reads", f.LetterReads != NotAsked, f.Letter == LetterLeft || f.Letter == LetterRight, "films with a letter")
}

// tags are kept as the header wrote them: only what JSON cannot hold, or text
// without end, is refused.
func (k *checker) tags(at string, t Tags) {
	for _, s := range []struct{ name, text string }{
		{"modality", t.Modality}, {"laterality", t.Laterality}, {"view_position", t.ViewPosition},
		{"calibration", t.Calibration}, {"calibration_by", t.CalibrationBy},
	} {
		k.text(at+"."+s.name, s.text, maxTagText, anyControl)
	}
	for _, p := range []struct {
		name string
		pair *[2]float64
	}{
		{"pixel_spacing_mm", t.PixelSpacing}, {"imager_spacing_mm", t.ImagerSpacing}, {"scanned_spacing_mm", t.ScannedSpacing},
	} {
		if p.pair != nil {
			k.finite(at+"."+p.name+"[0]", &p.pair[0])
			k.finite(at+"."+p.name+"[1]", &p.pair[1])
		}
	}
	k.finite(at+".factor", t.Factor)
	k.finite(at+".sid_mm", t.SID)
	k.finite(at+".sod_mm", t.SOD)
	if t.Aspect != nil {
		k.number(at+".aspect[0]", float64(t.Aspect[0]), -1e9, 1e9, true, "")
		k.number(at+".aspect[1]", float64(t.Aspect[1]), -1e9, 1e9, true, "")
	}
}

// anyControl lists every control character: a header is kept verbatim.
var anyControl = func() string {
	var all []rune
	for r := rune(0); r < 0xa0; r++ {
		if r < 0x20 || r >= 0x7f {
			all = append(all, r)
		}
	}
	return string(all)
}()

func (k *checker) finite(path string, v *float64) {
	if v != nil {
		k.number(path, *v, -1e12, 1e12, true, "")
	}
}

// fieldsOf lists which fields each kind of evidence can have.
var fieldsOf = map[EvidenceKind]string{
	Ball:      "at_px slip_px true_mm at_bone marker_height_mm bone_height_mm sid_mm",
	Disc:      "at_px slip_px true_mm at_bone marker_height_mm bone_height_mm sid_mm",
	Ruler:     "at_px slip_px true_mm at_bone marker_height_mm bone_height_mm sid_mm",
	Distances: "sid_mm sod_mm oid_mm",
	Header:    "",
	Assumed:   "factor",

	TwoMarkers: "at_px slip_px true_mm at_front_px true_front_mm fraction",
	KnownPart:  "at_px slip_px true_mm at_bone along",
}

func (k *checker) evidence(at string, e Evidence, f Film, ids map[string]bool) {
	k.shortID(at+".id", e.ID, ids)
	if e.ID == headerID && e.Kind != Header {
		k.add(at+".id", BadID, canon.Quote(e.ID), "another identifier: header stands for the tags")
	}
	k.must(at+".kind", string(e.Kind), texts(EvidenceKinds())...)
	most := maxRim
	if e.Kind == Ruler || e.Kind == KnownPart {
		most = 2
	}
	if k.count(at+".at_px", len(e.At), most) {
		for i, p := range e.At {
			k.inside(fmt.Sprintf("%s.at_px[%d]", at, i), p, f)
		}
	}
	if k.count(at+".at_front_px", len(e.AtFront), maxRim) {
		for i, p := range e.AtFront {
			k.inside(fmt.Sprintf("%s.at_front_px[%d]", at, i), p, f)
		}
	}
	if len(e.At) > 0 || len(e.AtFront) > 0 || e.Slip != 0 {
		k.slip(at+".slip_px", e.Slip)
	}
	k.answer(at+".at_bone", e.AtBone)
	k.size(at+".true_mm", e.True, 0, 1000, false)
	k.size(at+".marker_height_mm", e.HMarker, 0, 2000, true)
	k.size(at+".bone_height_mm", e.HBone, 0, 2000, true)
	k.size(at+".sid_mm", e.SID, 0, 10000, false)
	k.size(at+".sod_mm", e.SOD, 0, 10000, false)
	k.size(at+".oid_mm", e.OID, 0, 10000, true)
	if e.Factor != nil {
		k.number(at+".factor", *e.Factor, 0, 10, false, "")
	}
	k.size(at+".true_front_mm", e.TrueFront, 0, 1000, false)
	if e.Fraction != nil {
		k.number(at+".fraction", *e.Fraction, 0, 1, true, "")
	}
	k.answer(at+".along", e.Along)
	k.fieldsOfKind(at, e)
}

func (k *checker) fieldsOfKind(at string, e Evidence) {
	may, known := fieldsOf[e.Kind]
	if !known {
		return // said already
	}
	for _, name := range e.given() {
		if !slices.Contains(words(may), name) {
			k.add(at+"."+name, NotOfKind, "a value", "no such field on "+string(e.Kind))
		}
	}
}

// given lists the fields that say something.
func (e Evidence) given() []string {
	var out []string
	for _, f := range []struct {
		name  string
		there bool
	}{
		{"at_px", len(e.At) > 0}, {"slip_px", e.Slip != 0}, {"true_mm", e.True != nil}, {"at_bone", e.AtBone != NotAsked},
		{"marker_height_mm", e.HMarker != nil}, {"bone_height_mm", e.HBone != nil}, {"sid_mm", e.SID != nil},
		{"sod_mm", e.SOD != nil}, {"oid_mm", e.OID != nil}, {"factor", e.Factor != nil},
		{"at_front_px", len(e.AtFront) > 0}, {"true_front_mm", e.TrueFront != nil}, {"fraction", e.Fraction != nil}, {"along", e.Along != NotAsked},
	} {
		if f.there {
			out = append(out, f.name)
		}
	}
	return out
}

func (k *checker) points(at string, f Film) {
	seen := map[anatomy.Landmark]bool{}
	all := append(anatomy.Landmarks(anatomy.AP), anatomy.Landmarks(anatomy.Lateral)...)
	if !k.count(at, len(f.Points), len(all)) {
		return
	}
	for i, p := range f.Points {
		here := fmt.Sprintf("%s[%d]", at, i)
		switch {
		case !slices.Contains(all, p.Name):
			k.add(here+".name", BadWord, canon.Quote(string(p.Name)), "a landmark of the specification")
		case seen[p.Name]:
			k.add(here+".name", Twice, canon.Quote(string(p.Name))+" again", "each landmark once on a film")
		}
		seen[p.Name] = true
		k.inside(here+".at_px", p.At, f)
		k.slip(here+".slip_px", p.Slip)
	}
}

// slip checks the standard uncertainty of a point: every tap has some.
func (k *checker) slip(path string, s units.Px) { k.number(path, float64(s), 0, 1000, false, " px") }

// inside checks that a point lies on the film. Pixel centres lie at whole
// numbers, so the film runs from −½ to its size − ½.
func (k *checker) inside(path string, p geom.Pt[units.Px], f Film) {
	w, h := units.Px(f.Width), units.Px(f.Height)
	switch {
	case !p.Finite():
		k.add(path, BadNumber, "no finite point", "a point of the film")
	case !(p.X >= -0.5 && p.Y >= -0.5 && p.X <= w-0.5 && p.Y <= h-0.5):
		k.add(path, Outside, fmt.Sprintf("(%.6g, %.6g)", float64(p.X), float64(p.Y)),
			"a point of the film, "+strconv.Itoa(f.Width)+" × "+strconv.Itoa(f.Height)+" px")
	}
}

// sameFiles checks that films of one file say the same of it. One file can
// be two films: two frames, or two exposures side by side.
func (k *checker) sameFiles(films []Film) {
	for i, f := range films {
		for _, g := range films[:i] {
			if f.SHA256 != g.SHA256 {
				continue
			}
			at := fmt.Sprintf("films[%d]", i)
			if f.Bytes != g.Bytes || f.Kind != g.Kind {
				k.add(at+".bytes", Contradict, "another size or kind of the same file", "one size and one kind for one sha256")
			} else if f.Frame == g.Frame && (f.Width != g.Width || f.Height != g.Height) {
				k.add(at+".width_px", Contradict, "another width or height of the same picture", "one width and height for one picture")
			}
			break
		}
	}
}
