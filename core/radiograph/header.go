package radiograph

// Header is what a file says about its film. A value that is missing, cannot
// be read or cannot be true is nil or empty, never zero; Warnings says so.
// No name, number or date of a patient is ever kept.
type Header struct {
	Kind    Kind
	Rows    int // of the upright image
	Columns int
	Frames  int

	BitsAllocated int
	BitsStored    int
	HighBit       int
	Signed        bool
	Samples       int    // samples a pixel: 1 grey, 3 colour
	Planar        bool   // colour samples stored plane by plane
	Photometric   string // (0028,0004), as written
	Syntax        string // transfer syntax UID
	SyntaxName    string // in words
	Orientation   int    // EXIF, 1 for upright; a picture's, already applied

	ForProcessing  bool // (0008,0068): the greys were not changed for the eye
	Modality       string
	Laterality     string
	ViewPosition   string
	BodyPart       string
	PixelSpacing   *[2]float64 // (0028,0030) row, column, mm
	ImagerSpacing  *[2]float64 // (0018,1164) row, column, mm
	ScannedSpacing *[2]float64 // (0018,2010) row, column, mm
	Calibration    string      // (0028,0A02) GEOMETRY or FIDUCIAL
	CalibrationBy  string      // (0028,0A04), verbatim
	Factor         *float64    // (0018,1114)
	SID            *float64    // (0018,1110) mm
	SOD            *float64    // (0018,1111) mm
	Aspect         *[2]int     // (0028,0034) vertical, horizontal
	BurnedIn       string      // (0028,0301) YES, NO or empty
	Lossy          *bool       // the samples were once compressed with loss

	Windows      []Window // those with a width, in the order of the file
	Slope        *float64
	Intercept    *float64
	Modify       *Table   // modality LUT
	VOI          *Table   // first VOI LUT
	Presentation string   // (2050,0020) IDENTITY, INVERSE or empty
	Padding      *int32   // (0028,0120)
	Shutter      *[4]int  // left, top, right, bottom, pixels from 0
	palette      [3]Table // PALETTE COLOR
	Warnings     []Warning
}

// Shape is the curve of a window.
type Shape string

const (
	Linear      Shape = "linear"       // PS3.3 C.11.2.1.2.1
	LinearExact Shape = "linear-exact" // PS3.3 C.11.2.1.3.2
	Sigmoid     Shape = "sigmoid"      // PS3.3 C.11.2.1.3.1
	FromTable   Shape = "table"        // the VOI LUT of the file
)

// A Window says which values become black and white. Centre and Width are in
// rescaled units. The zero Window asks for the automatic one.
type Window struct {
	Centre      float64
	Width       float64
	Shape       Shape
	Explanation string
}

// A Table is a look-up table of the file: First is the value of entry 0.
type Table struct {
	First   int32
	Bits    int
	Entries []uint16
}

// Tags is what the header says about size, field by field the same as
// record.Tags, so that record.Tags(h.Tags()) converts it; the two rooms do
// not import each other.
type Tags struct {
	Modality       string
	Laterality     string
	ViewPosition   string
	PixelSpacing   *[2]float64
	ImagerSpacing  *[2]float64
	ScannedSpacing *[2]float64
	Calibration    string
	CalibrationBy  string
	Factor         *float64
	SID            *float64
	SOD            *float64
	Aspect         *[2]int
}

// Tags returns what the header says about size. A picture that is not DICOM
// has none: the second result is false.
func (h Header) Tags() (Tags, bool) {
	return Tags{
		Modality: h.Modality, Laterality: h.Laterality, ViewPosition: h.ViewPosition,
		PixelSpacing: h.PixelSpacing, ImagerSpacing: h.ImagerSpacing, ScannedSpacing: h.ScannedSpacing,
		Calibration: h.Calibration, CalibrationBy: h.CalibrationBy,
		Factor: h.Factor, SID: h.SID, SOD: h.SOD, Aspect: h.Aspect,
	}, h.Kind == DICOM
}

// A Note names what was assumed or left out.
type Note string

const (
	Placeholder   Note = "placeholder-spacing"
	SpacingRange  Note = "spacing-range"
	SpacingUnread Note = "spacing-unread"
	DecimalComma  Note = "decimal-comma"
	ValueIgnored  Note = "value-ignored"
	LossyFilm     Note = "lossy"
	BurnedInText  Note = "burned-in"
	OverlayLost   Note = "overlay"
	Trailing      Note = "trailing"
	NoPreamble    Note = "no-preamble"
	SyntaxGuessed Note = "syntax-guessed"
	Assumed       Note = "assumed"
	TableIgnored  Note = "table-ignored"
	WindowIgnored Note = "window-ignored"
	ColourAsGrey  Note = "colour"
	Turned        Note = "turned"
	ManyFrames    Note = "frames"
	OrientUnread  Note = "orientation-unread"
	TwiceTag      Note = "twice"
	NoEndMark     Note = "no-end-mark"
	Disagree      Note = "disagree"
)

// A Warning is one thing that was assumed, ignored or should be known.
type Warning struct {
	Note Note
	What string // the field, the value
}

// Code names the warning for app/text.
func (w Warning) Code() string { return "radiograph-note-" + string(w.Note) }

// String says what was assumed, left out or should be known, as a sentence.
func (w Warning) String() string {
	if f, ok := noteText[w.Note]; ok {
		return f(w.What)
	}
	return w.What
}

var noteText = map[Note]func(string) string{
	Placeholder: func(s string) string {
		return s + " is 1 mm in both directions, which converters write when they know nothing: ignored, calibrate the film"
	},
	SpacingRange:  func(s string) string { return s + " is outside 0.01 to 2 mm: ignored, calibrate the film" },
	SpacingUnread: func(s string) string { return s + " cannot be read as two numbers: ignored, calibrate the film" },
	DecimalComma:  func(s string) string { return s + " is written with a decimal comma and was read as a decimal point" },
	ValueIgnored:  func(s string) string { return s + " cannot be true and was ignored" },
	LossyFilm: func(string) string {
		return "the film was compressed with loss: edges may have moved by a fraction of a pixel"
	},
	BurnedInText: func(string) string {
		return "the film may carry a name in the picture itself: look before you share it"
	},
	OverlayLost: func(string) string { return "the film has a drawn overlay, which is not shown" },
	Trailing:    func(s string) string { return s + " follows the picture and was ignored" },
	NoPreamble:  func(string) string { return "the file has no DICOM opening; it was read as DICOM without one" },
	SyntaxGuessed: func(s string) string {
		return "the file does not say truly how it is written; it was read as " + s + ": compare the picture with the archive"
	},
	Assumed: func(s string) string { return "the header does not say " + s },
	TableIgnored: func(s string) string {
		return "the " + s + " of the file makes no sense and was ignored: check light and dark"
	},
	WindowIgnored: func(s string) string {
		return "the window " + s + " cannot be used: light and dark were set from the picture"
	},
	ColourAsGrey: func(string) string { return "the film is stored in colour and is shown in grey" },
	Turned: func(s string) string {
		return "the picture was turned upright as its camera says (" + s + "): check it"
	},
	ManyFrames: func(s string) string { return "the file holds " + s + " frames: check that this is the one you want" },
	OrientUnread: func(string) string {
		return "the camera's note of what is up could not be read: check that the picture is upright"
	},
	TwiceTag: func(s string) string { return s + " is in the header twice with different values: neither was used" },
	NoEndMark: func(string) string {
		return "the mark at the end of the picture is missing; the picture itself is whole"
	},
	Disagree: func(s string) string {
		return "the header and the compressed picture disagree about " + s + ": compare light and dark with the archive"
	},
}

func (h *Header) warn(n Note, what string) {
	h.Warnings = append(h.Warnings, Warning{n, what})
}

// Notes returns every note that a Warning can carry, for the test in app/text.
func Notes() []Note {
	return []Note{Placeholder, SpacingRange, SpacingUnread, DecimalComma, ValueIgnored, LossyFilm,
		BurnedInText, OverlayLost, Trailing, NoPreamble, SyntaxGuessed, Assumed, TableIgnored, WindowIgnored,
		ColourAsGrey, Turned, ManyFrames, OrientUnread, TwiceTag, NoEndMark, Disagree}
}
