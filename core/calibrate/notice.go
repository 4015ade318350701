package calibrate

import (
	"math"
	"strings"

	"isthmus/core/source"
	"isthmus/core/units"
)

// A Notice is something a person must see beside a scale that could be given
// (or could not). Text words it; app/text may word it better by its code.
type Notice struct {
	Code    string       `json:"code"`
	Caution bool         `json:"caution"` // can hurt; look again
	Facts   []Fact       `json:"facts,omitempty"`
	Sources []source.Key `json:"sources,omitempty"`
}

// A Fact is one input of a notice.
type Fact struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Word  string  `json:"word,omitempty"` // in place of the value
}

// Text returns the notice as a sentence: what was found, what it means, what
// to do.
func (n Notice) Text() string {
	s, ok := sentences[n.Code]
	if !ok {
		s = n.Code
	}
	for _, f := range n.Facts {
		shown := f.Word
		if shown == "" {
			shown = units.Trim(f.Value, 4)
		}
		s = strings.ReplaceAll(s, "{"+f.Name+"}", shown)
	}
	return "calibrate: " + s
}

// sentences holds the words of every notice; {name} stands for a fact.
var sentences = map[string]string{
	"not-a-radiograph":       "modality {modality} is not a radiograph of the whole thickness: its spacing is not used; mark an object of known size",
	"spacing-range":          "{what} is {row}\\{col} mm, outside 0.01 to 2 mm: it is not used",
	"spacing-shape":          "{what} is {row}\\{col} mm, pixels of an impossible shape: it is not used",
	"spacing-placeholder":    "{what} is 1\\1 mm, which programs write when they do not know: it is not used; mark an object of known size",
	"no-spacing":             "the header gives no spacing: mark an object of known size",
	"at-detector":            "the spacing is that of the detector, not of the bone: lengths would read too long; mark an object of known size",
	"unknown-plane":          "the header gives a pixel spacing and does not say for which plane; most often it is the detector's, and lengths would read too long: mark an object of known size",
	"fiducial":               "the header says the spacing was measured on an object; it holds only at the depth of that object: check that it lay at the bone",
	"geometry":               "the header says the spacing was corrected for an assumed depth: mark an object of known size if there is one",
	"corrected":              "the spacing differs from the detector's by a factor of {implied} and the header does not say why: confirm the factor, or mark an object of known size",
	"implied-factor":         "the header has corrected the spacing by a factor of {implied}: it is not divided again",
	"implied-range":          "pixel spacing and detector spacing imply a factor of {implied}, which no bone has: the header contradicts itself; mark an object of known size",
	"calibration-note":       "the header describes its calibration as “{text}”",
	"calibration-unknown":    "the header names a calibration “{text}” that the standard does not know: it is not counted",
	"calibration-contradict": "the header says the spacing was calibrated, yet it equals the detector's: it is taken as not corrected; mark an object of known size",
	"machine-factor":         "the factor {factor} is the machine's own estimate for some plane: mark an object of known size if there is one",
	"factor-range":           "the header gives a magnification of {factor}, outside 1 to 1.6: it is not used",
	"factor-differs":         "the magnification {a} ({what_a}) and {b} ({what_b}) differ by more than 1 %: find out which is right",
	"distances-range":        "the header gives SID {sid} and SOD {sod} mm, which cannot be: they are not used",
	"distances-offered":      "the header gives SID {sid} and SOD {sod} mm, a factor of {factor}; the SOD is often a fixed number and not that of the bone: enter the distances yourself if you know them",
	"sid-differs":            "the SID given is {given} mm and the header says {header} mm: check it",
	"shape-differs":          "the pixel aspect ratio {aspect} and the spacing {spacing} do not agree: the spacing is followed; check that a round marker looks round",
	"aspect-range":           "the pixel aspect ratio {v}\\{h} is impossible: it is not used",
	"depth-unknown":          "the depth of the marker is not known: a marker nearer the detector makes the bone read too long, one nearer the tube too short, about 1 % for each 10 mm; ± {percent} % is allowed for it",
	"depth-at-bone":          "the marker is taken to lie at the depth of the bone; ± {percent} % is allowed for it",
	"depth-corrected":        "the marker lay {gap} mm nearer the {side} than the bone: the scale is corrected by {percent} %",
	"depth-contradict":       "the marker is said to lie at the bone, yet the heights differ by {gap} mm: the heights are followed; check them",
	"depth-part":             "some of marker height, bone height and SID are missing: the depth is not corrected",
	"two-balls":              "the bone is taken to lie at {fraction} of the way from the ball behind to the one in front; ± {percent} % is allowed for it",
	"part-along":             "the part was measured along its length: lying tilted it looks short, and the bone then reads too long; ± {percent} % is allowed for it, measure across it where you can",
	"rim-few":                "{n} rim points cannot show whether the marker is oval: mark five or more round the whole rim",
	"rim-scatter":            "the rim points scatter by {found} px, more than the {slip} px expected: the doubt is widened; mark them again if you can",
	"oval":                   "the marker is oval, {ratio} times as long as wide: the {axis} axis is used; check that it is what you said it is",
	"assumed":                "the factor {factor} is assumed, not seen on this film: lengths are open by ± {percent} %; it cannot choose between neighbouring nail lengths",
	"distances":              "the factor {factor} follows from the distances given and holds for that depth only",
	"cross-check":            "{low} differs from {high} by {percent} %: {high} is followed",
	"dispute":                "{a} and {b} differ by {percent} %, more than their doubt allows ({allowed} %): nothing is measured until a person has chosen",
	"photo-range":            "the camera was tilted by {tilt}: without correction the scale would vary by {percent} % over the film",
	"photo-lens":             "the photo does not tell its lens: the tilt shown is that of a usual one; the straightened photo does not depend on it",
	"photo-unchecked":        "four corners always fit: a bent film or lens is not seen; ± {percent} % is allowed for it; mark a point near the middle of each edge",
	"photo-aspect":           "the size of the film is not known: the photo shows it {aspect} times as wide as high, ± {percent} %; enter its size if you can",
	"photo-aspect-differs":   "the stated film is {stated} times as wide as high and the photo shows {seen}: check the size, and that the photo is not a cut-out",
	"photo-film":             "straightness and ratios rest on the stated film size {w} × {h} mm",
	"photo-no-scale":         "a straightened photo has no scale of the bone, even when the size of the film is known: mark an object of known size",
	"lower-trust":            "{low} agrees with {high} and is not counted, because it is trusted less",
}

func note(code string, facts ...Fact) Notice { return Notice{Code: code, Facts: facts} }

func caution(code string, facts ...Fact) Notice {
	return Notice{Code: code, Caution: true, Facts: facts}
}

func (n Notice) by(keys ...source.Key) Notice {
	n.Sources = keys
	return n
}

// num is a number as a fact; what is no number is a word, never a NaN.
func num(name string, v float64) Fact {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Fact{Name: name, Word: "no number"}
	}
	return Fact{Name: name, Value: v}
}

func word(name, w string) Fact { return Fact{Name: name, Word: w} }

// percent is a relative standard uncertainty as the ± that is shown.
func percent(rel float64) Fact {
	return Fact{Name: "percent", Value: rel * units.Sure * 100, Word: units.Trim(rel*units.Sure*100, 1)}
}
