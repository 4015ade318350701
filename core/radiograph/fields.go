package radiograph

import (
	"fmt"
	"math"
)

// header works the elements into a Header and refuses what no picture can
// have. The limits come before any memory is asked for.
func (f *dicom) header() (Header, error) {
	h := Header{Kind: DICOM, Syntax: f.at.uid, SyntaxName: f.at.name, Orientation: 1, Warnings: f.notes}
	f.describe(&h)
	if err := f.layout(&h); err != nil {
		return h, err
	}
	f.size(&h)
	f.display(&h)
	return h, nil
}

// describe fills what is said in words.
func (f *dicom) describe(h *Header) {
	h.ForProcessing = f.code(0x00080068) == "FOR PROCESSING"
	h.Modality = f.code(0x00080060)
	h.Laterality = f.code(0x00200062) // of the image
	if h.Laterality == "" {
		h.Laterality = f.code(0x00200060) // of the series
	}
	h.ViewPosition = f.code(0x00185101)
	h.BodyPart = f.code(0x00180015)
	h.Photometric = f.code(0x00280004)
	h.Presentation = f.code(0x20500020)
	h.BurnedIn = f.code(0x00280301)
	if h.BurnedIn == "YES" {
		h.warn(BurnedInText, "")
	}
	switch f.code(0x00282110) {
	case "01":
		yes := true
		h.Lossy = &yes
		h.warn(LossyFilm, "")
	case "00":
		no := false
		h.Lossy = &no
	}
	if yes := true; f.at.lossy && (h.Lossy == nil || !*h.Lossy) {
		h.Lossy = &yes
		h.warn(LossyFilm, "")
	}
}

// layout fills how the samples lie, and refuses what cannot be or is too much.
func (f *dicom) layout(h *Header) error {
	if f.pixels.tag == 0 {
		if f.float {
			return &UnsupportedError{What: "bits", Name: "floating-point samples"}
		}
		return &InvalidError{Fault: NoPixels}
	}
	h.Samples = f.number(h, 0x00280002, "samples a pixel", 1)
	rows, ok1 := f.short(0x00280010, 0)
	cols, ok2 := f.short(0x00280011, 0)
	h.Rows, h.Columns = rows, cols
	h.BitsAllocated = f.number(h, 0x00280100, "bits allocated", 16)
	h.BitsStored = f.number(h, 0x00280101, "bits stored", h.BitsAllocated)
	h.HighBit = f.number(h, 0x00280102, "high bit", h.BitsStored-1)
	sign, _ := f.short(0x00280103, 0)
	planar, _ := f.short(0x00280006, 0)
	h.Signed, h.Planar = sign == 1, planar == 1
	switch {
	case !ok1 || rows == 0:
		return &InvalidError{Fault: BadValue, What: "the number of rows (0028,0010)", Got: int64(rows)}
	case !ok2 || cols == 0:
		return &InvalidError{Fault: BadValue, What: "the number of columns (0028,0011)", Got: int64(cols)}
	case h.Samples != 1 && h.Samples != 3:
		return &InvalidError{Fault: BadValue, What: "samples a pixel (0028,0002)", Got: int64(h.Samples)}
	}
	if err := checkBits(h); err != nil {
		return err
	}
	if n := int64(rows) * int64(cols) * int64(h.Samples); n > MaxSamples {
		return &LimitError{What: "samples", Got: n, Max: MaxSamples}
	}
	if err := f.frames(h); err != nil {
		return err
	}
	return f.colour(h)
}

// number returns a 16-bit value, or an assumption that is noted.
func (f *dicom) number(h *Header, t tag, what string, assume int) int {
	if n, ok := f.short(t, 0); ok {
		return n
	}
	h.warn(Assumed, fmt.Sprintf("%s; %d was assumed", what, assume))
	return assume
}

func checkBits(h *Header) error {
	bad := func(what string, v int) error {
		return &InvalidError{Fault: BadValue, What: what, Got: int64(v)}
	}
	switch {
	case h.BitsAllocated == 0:
		return bad("bits allocated (0028,0100)", 0)
	case h.BitsAllocated != 8 && h.BitsAllocated != 16:
		return &UnsupportedError{What: "bits", Name: fmt.Sprintf("%d bits allocated", h.BitsAllocated)}
	case h.BitsStored == 0 || h.BitsStored > h.BitsAllocated:
		return bad("bits stored (0028,0101)", h.BitsStored)
	case h.BitsStored == 1:
		return &UnsupportedError{What: "bits", Name: "1 bit a sample"}
	case h.HighBit < h.BitsStored-1 || h.HighBit >= h.BitsAllocated:
		return bad("the high bit (0028,0102)", h.HighBit)
	}
	return nil
}

func (f *dicom) frames(h *Header) error {
	h.Frames = 1
	e, ok := f.elements[0x00280008]
	if !ok || len(e.value) == 0 {
		return nil
	}
	v, _, good := decimal(string(e.value))
	switch {
	case !good || v < 1 || v != math.Trunc(v):
		h.warn(ValueIgnored, "the number of frames (0028,0008)")
		return nil
	case v > maxFrames:
		return &LimitError{What: "frames", Got: int64(math.Min(v, 1e15)), Max: maxFrames}
	}
	if h.Frames = int(v); h.Frames > 1 {
		h.warn(ManyFrames, fmt.Sprint(h.Frames))
	}
	return nil
}

// colour refuses colour models that cannot be made grey and fills a palette.
func (f *dicom) colour(h *Header) error {
	if h.Photometric == "" {
		h.Photometric = map[int]string{1: "MONOCHROME2", 3: "RGB"}[h.Samples]
		h.warn(Assumed, "what light and dark mean; "+h.Photometric+" was assumed")
	}
	need := 3
	switch h.Photometric {
	case "MONOCHROME1", "MONOCHROME2":
		need = 1
	case "PALETTE COLOR":
		need = 1
		h.warn(ColourAsGrey, "")
		if err := f.readPalette(h); err != nil {
			return err
		}
	case "RGB", "YBR_FULL", "YBR_FULL_422", "YBR_PARTIAL_422", "YBR_RCT", "YBR_ICT":
		h.warn(ColourAsGrey, "")
	default:
		return &UnsupportedError{What: "colour", Name: h.Photometric}
	}
	if need != h.Samples {
		return &InvalidError{Fault: BadValue, What: "samples a pixel (0028,0002) for " + h.Photometric, Got: int64(h.Samples)}
	}
	return nil
}

// size fills what is said about millimetres.
func (f *dicom) size(h *Header) {
	h.PixelSpacing = f.spacing(h, 0x00280030, "Pixel Spacing")
	h.ImagerSpacing = f.spacing(h, 0x00181164, "Imager Pixel Spacing")
	h.ScannedSpacing = f.spacing(h, 0x00182010, "Nominal Scanned Pixel Spacing")
	h.Calibration = f.code(0x00280A02)
	h.CalibrationBy = f.text(0x00280A04)
	h.Factor = f.positive(h, 0x00181114, "the machine's magnification factor")
	h.SID = f.positive(h, 0x00181110, "the distance source to detector")
	h.SOD = f.positive(h, 0x00181111, "the distance source to patient")
	h.Aspect = f.aspect(h)
}

// spacing reads row and column spacing in millimetres. It is nil when it is
// missing, cannot be read as two numbers, is 1\1 (which converters write) or
// lies outside 0.01 to 2 mm.
func (f *dicom) spacing(h *Header, t tag, name string) *[2]float64 {
	e, ok := f.elements[t]
	if !ok || cleanText(e.value) == "" {
		return nil
	}
	what := name + " “" + cleanText(e.value) + "”"
	v, comma, ok := decimals(e.value)
	switch {
	case !ok || len(v) != 2:
		h.warn(SpacingUnread, what)
		return nil
	case v[0] == 1 && v[1] == 1:
		h.warn(Placeholder, name)
		return nil
	case !(v[0] >= 0.01 && v[0] <= 2 && v[1] >= 0.01 && v[1] <= 2):
		h.warn(SpacingRange, what)
		return nil
	}
	if comma {
		h.warn(DecimalComma, what)
	}
	return &[2]float64{v[0], v[1]}
}

// positive reads one number above zero.
func (f *dicom) positive(h *Header, t tag, name string) *float64 {
	e, ok := f.elements[t]
	if !ok || cleanText(e.value) == "" {
		return nil
	}
	what := name + " “" + cleanText(e.value) + "”"
	v, comma, ok := decimals(e.value)
	if !ok || len(v) != 1 || !(v[0] > 0) {
		h.warn(ValueIgnored, what)
		return nil
	}
	if comma {
		h.warn(DecimalComma, what)
	}
	return &v[0]
}

// aspect reads the pixel aspect ratio, vertical then horizontal.
func (f *dicom) aspect(h *Header) *[2]int {
	e, ok := f.elements[0x00280034]
	if !ok || cleanText(e.value) == "" {
		return nil
	}
	v, _, ok := decimals(e.value)
	good := ok && len(v) == 2
	for i := 0; good && i < 2; i++ {
		good = v[i] >= 1 && v[i] <= 100_000 && v[i] == math.Trunc(v[i])
	}
	if !good {
		h.warn(ValueIgnored, "the pixel aspect ratio “"+cleanText(e.value)+"”")
		return nil
	}
	return &[2]int{int(v[0]), int(v[1])}
}
