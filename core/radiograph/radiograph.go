// Package radiograph turns the bytes of a film into one grey plane and what
// its header says. It reads DICOM (plain, deflated, RLE, JPEG, JPEG lossless,
// JPEG-LS), JPEG and PNG pictures, and refuses everything else with a reason.
//
// It opens a film whole or not at all: nothing may be measured on part of a
// film. What it had to assume or leave out is listed in Header.Warnings. It
// never keeps a patient's name or number.
package radiograph

import "bytes"

// Kind is what a file is, by its content and never by its name.
type Kind string

const (
	Unknown Kind = "unknown"
	DICOM   Kind = "dicom"
	JPEG    Kind = "jpeg"
	PNG     Kind = "png"
	WebP    Kind = "webp"
	HEIC    Kind = "heic"
)

// Limits. A film plate of 43 cm at 0.1 mm is 19 million samples; the limits
// leave room and keep a hostile header from asking for the whole memory.
const (
	MaxFile     = 160 << 20       // bytes of a file
	MaxSamples  = 64_000_000      // rows × columns × samples of one frame
	MaxPicture  = 24_000_000      // pixels of a JPEG or PNG picture
	maxUnpacked = 128 << 20       // bytes a PNG may take while it is read
	maxInflated = int64(64 << 20) // bytes of a deflated data set
	maxFrames   = 4096
	maxNesting  = 32
	maxElements = 200_000
)

// Options says which frame to open and hears how far the work is.
type Options struct {
	Frame    int                // 0 is the first
	Progress func(done float64) // 0…1, may be nil

	// JPEG2000 decodes a JPEG 2000 or HTJ2K codestream that was found whole
	// and of a size that fits; nil refuses such films. It must not keep the
	// bytes. An error with a Code is handed on, any other is damage.
	JPEG2000 func(codestream []byte) (Samples, error)
}

// An Image is one frame of a film as a single grey plane, row by row from the
// top left as it is to be looked at (a picture's EXIF orientation is applied).
//
// Pix holds the stored samples, masked to the bits that count. Files may hold
// signed samples; then Offset is negative and the stored value is
//
//	value = int32(Pix[y*Width+x]) + Offset
//
// so that Pix keeps the order of the values. Nothing here is windowed,
// rescaled or inverted: see Grey8.
type Image struct {
	Header Header
	Frame  int
	Width  int
	Height int
	Pix    []uint16
	Offset int32
}

// Sniff returns what the bytes are, from their first few hundred bytes.
func Sniff(b []byte) Kind {
	switch {
	case len(b) >= 132 && string(b[128:132]) == "DICM":
		return DICOM
	case bytes.HasPrefix(b, []byte{0xFF, 0xD8, 0xFF}):
		return JPEG
	case bytes.HasPrefix(b, []byte("\x89PNG\r\n\x1a\n")):
		return PNG
	case len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP":
		return WebP
	case len(b) >= 12 && string(b[4:8]) == "ftyp" && heicBrand(string(b[8:12])):
		return HEIC
	}
	if _, ok := guessSyntax(b); ok {
		return DICOM
	}
	return Unknown
}

func heicBrand(s string) bool {
	switch s {
	case "heic", "heix", "hevc", "hevx", "heim", "heis", "mif1", "msf1", "avif", "avis":
		return true
	}
	return false
}

// ReadHeader returns what the header says, without decoding the picture. It
// refuses what Open would refuse for its header.
func ReadHeader(b []byte) (Header, error) {
	kind, err := readable(b)
	if err != nil {
		return Header{Kind: kind}, err
	}
	if kind == DICOM {
		f, err := parseDICOM(b)
		if err != nil {
			return Header{Kind: kind}, err
		}
		return f.header()
	}
	return pictureHeader(b, kind)
}

// Open decodes one frame. It returns an *InvalidError when the file is
// damaged or is no film, an *UnsupportedError when it is a sound file of a
// kind we do not read, and a *LimitError when it is too large; each says what
// to do.
func Open(b []byte, o Options) (*Image, error) {
	kind, err := readable(b)
	if err != nil {
		return nil, err
	}
	if o.Progress == nil {
		o.Progress = func(float64) {}
	}
	if kind == DICOM {
		return openDICOM(b, o)
	}
	if o.Frame != 0 {
		return nil, &InvalidError{Fault: NoFrame, Got: int64(o.Frame) + 1, Need: 1}
	}
	return openPicture(b, kind, o)
}

// readable says what the file is, or why it is not even looked into.
func readable(b []byte) (Kind, error) {
	if len(b) == 0 {
		return Unknown, &InvalidError{Fault: Empty}
	}
	if len(b) > MaxFile {
		return Unknown, &LimitError{What: "file", Got: int64(len(b)), Max: MaxFile}
	}
	kind := Sniff(b)
	switch kind {
	case Unknown:
		return kind, &InvalidError{Fault: NotFilm}
	case WebP, HEIC:
		return kind, &UnsupportedError{What: "picture", Name: map[Kind]string{WebP: "WebP", HEIC: "HEIC or AVIF"}[kind]}
	}
	return kind, nil
}
