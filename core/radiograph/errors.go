package radiograph

import (
	"fmt"
	"strconv"
)

// A Fault names what is wrong with a file that is not valid.
type Fault string

const (
	Empty     Fault = "empty"      // no bytes
	NotFilm   Fault = "not-film"   // no kind of film we know
	CutHeader Fault = "cut-header" // ends, or points past its end, before the picture
	CutPixels Fault = "cut-pixels" // holds Got of Need parts of the picture
	NoPixels  Fault = "no-pixels"  // a sound header without a picture
	BadValue  Fault = "bad-value"  // What holds a value that cannot be
	Sizes     Fault = "sizes"      // header and picture disagree about the size
	BadFrames Fault = "frames"     // the pieces do not make the frames
	NoFrame   Fault = "no-frame"   // frame Got asked for, Need there are
	BadCode   Fault = "bad-code"   // compressed data that cannot be: What
)

// An InvalidError reports a file that is damaged or no film at all.
type InvalidError struct {
	Fault Fault
	What  string // the header field or the part of the file
	Got   int64
	Need  int64
}

// Code names the fault for app/text.
func (e *InvalidError) Code() string { return "radiograph-" + string(e.Fault) }

const again = ": get the file again from the archive"

// Error says what is wrong with the file, and to get it again.
func (e *InvalidError) Error() string {
	const room = "radiograph: "
	switch e.Fault {
	case Empty:
		return room + "the file is empty" + again
	case NotFilm:
		return room + "this is neither a DICOM file nor a JPEG or PNG picture: choose the film itself, or export it as DICOM"
	case CutHeader:
		return room + fmt.Sprintf("the file ends inside its header, at %s (byte %d)", e.What, e.Got) + again
	case CutPixels:
		return room + fmt.Sprintf("the picture is cut off: %s; nothing is measured on part of a film", e.share()) + again
	case NoPixels:
		return room + "the file has a header and no picture: choose another image of the study, or get the file again if it was cut off"
	case BadValue:
		return room + fmt.Sprintf("%s is %d, which cannot be", e.What, e.Got) + again
	case Sizes:
		return room + fmt.Sprintf("the header says %s, the picture says otherwise: the size cannot be trusted", e.What) + again
	case BadFrames:
		return room + fmt.Sprintf("%d pieces of picture do not make %d frames", e.Got, e.Need) + again
	case NoFrame:
		return room + fmt.Sprintf("frame %d was asked for and there are %d: choose another frame", e.Got, e.Need)
	}
	return room + "the compressed picture is damaged (" + e.What + ")" + again
}

// share says how much of the picture is there; Got and Need are bytes, lines
// or samples, so only their ratio is told.
func (e *InvalidError) share() string {
	if e.Need <= 0 {
		return "its end is missing"
	}
	return fmt.Sprintf("only %d %% of it is there", min(e.Got*100/e.Need, 99))
}

// An UnsupportedError reports a sound file of a kind that is not read here.
type UnsupportedError struct {
	What string // "syntax", "picture", "bits", "colour", "jpeg", "palette"
	Name string // which one, in words
	UID  string // transfer syntax, where there is one
}

// Code names the fault for app/text.
func (e *UnsupportedError) Code() string { return "radiograph-unsupported-" + e.What }

const askArchive = "ask the archive to export uncompressed or JPEG lossless"

// Error says what the file is, and in which form to ask for it.
func (e *UnsupportedError) Error() string {
	const room = "radiograph: "
	switch e.What {
	case "syntax":
		name := e.Name
		if name == "" {
			name = "an unknown compression"
		}
		return room + "the film is stored as " + name + " (" + e.UID + "), which is not read here: " + askArchive
	case "picture":
		return room + "this picture is " + e.Name + ", which is not read here: save it as JPEG or PNG, or set the camera to its most compatible format"
	case "bits":
		return room + "the film has " + e.Name + ", we read 2 to 16 bits a sample: choose the film for viewing, not a mask or a dose map"
	case "jpeg":
		return room + "the picture is " + e.Name + ", which is not read here: save it as an ordinary JPEG or PNG; for DICOM " + askArchive
	}
	return room + "the " + e.What + " of this film (" + e.Name + ") is not read here: " + askArchive
}

// A LimitError reports a file that is too large for a phone.
type LimitError struct {
	What string // "file", "samples", "picture", "frames", "nesting", "elements", "inflated"
	Got  int64
	Max  int64
}

// Code names the fault for app/text.
func (e *LimitError) Code() string { return "radiograph-limit-" + e.What }

// Error says how large the file is, what the limit is and how to keep to it.
func (e *LimitError) Error() string {
	const room = "radiograph: "
	mega := func(v int64) string { return strconv.FormatInt((v+999_999)/1_000_000, 10) }
	switch e.What {
	case "file":
		return room + fmt.Sprintf("the file is %s MB, at most %s MB are read: export one image at a time", mega(e.Got), mega(e.Max))
	case "samples":
		return room + fmt.Sprintf("the film has %s million samples, at most %s million are read: export it at a smaller size", mega(e.Got), mega(e.Max))
	case "picture":
		return room + fmt.Sprintf("the picture has %s million pixels, at most %s million are read: take it at a smaller size or crop it", mega(e.Got), mega(e.Max))
	case "unpacked", "inflated":
		return room + fmt.Sprintf("unpacked, the file takes more than %s MB: save the picture as 8-bit grey, or export the film uncompressed", mega(e.Max))
	case "frames":
		return room + fmt.Sprintf("the file has %d frames, at most %d are read: export the frame you need", e.Got, e.Max)
	case "nesting":
		return room + fmt.Sprintf("the header is nested more than %d deep: the file is damaged or not a film; get it again from the archive", e.Max)
	}
	return room + fmt.Sprintf("the header has more than %d entries: the file is damaged or not a film; get it again from the archive", e.Max)
}
