package radiograph

import "slices"

// Clean returns a copy of a film without what tells who the patient is, and
// the names, never the values, of what was taken out. It is to be called
// before anything is stored, so that the stored film, its hash and every
// export are clean.
//
//   - DICOM: everything is blanked in place except what describes the picture
//     and its size; UIDs are replaced by others of the same length (cleanUID).
//     This takes out more than PS3.15, annex E, the basic profile, does, and
//     it keeps overlays, which that profile takes out.
//   - JPEG: EXIF, XMP, IPTC, comments, thumbnails and what follows the picture
//     go; the camera's note of what is up stays.
//   - PNG: texts, EXIF, time, unknown parts and what follows the picture go.
//
// Pixels are never changed: a name drawn into the picture or its overlay is
// still there (Header.BurnedIn, OverlayLost). Cleaning a clean film changes no
// byte.
//
// It returns an *UnsupportedError for kinds of file that are not read, and an
// *UncleanError when any part of the file cannot be read to its end: such a
// film must not be stored.
func Clean(file []byte) (clean []byte, removed []string, err error) {
	kind, err := readable(file)
	if err != nil {
		return nil, nil, err
	}
	var gone names
	switch kind {
	case DICOM:
		clean, err = cleanDICOM(file, &gone)
	case JPEG:
		clean, err = cleanJPEG(file, &gone)
	default:
		clean, err = cleanPNG(file, &gone)
	}
	if _, other := err.(*UnsupportedError); other {
		return nil, nil, err
	}
	if err != nil {
		return nil, nil, &UncleanError{Why: err}
	}
	return clean, gone, nil
}

// names lists what was taken out, each once, in the order of the file.
type names []string

func (n *names) add(name string) {
	if !slices.Contains(*n, name) {
		*n = append(*n, name)
	}
}

// An UncleanError reports a film that was not stored, because what tells who
// the patient is could not be taken out of it.
type UncleanError struct {
	Why error // an *InvalidError, a *LimitError or a *PersonalError
}

// Code names the fault for app/text.
func (e *UncleanError) Code() string { return "radiograph-unclean" }

// Unwrap returns why.
func (e *UncleanError) Unwrap() error { return e.Why }

// Error says that the film was not stored, why, and what to do.
func (e *UncleanError) Error() string {
	why := e.Why.Error()
	if len(why) > len(ownRoom) && why[:len(ownRoom)] == ownRoom {
		why = why[len(ownRoom):]
	}
	return ownRoom + "the film was not stored, because what tells who the patient is could not be taken out: " + why
}

const ownRoom = "radiograph: "

// A PersonalError reports an entry of the header that should describe the
// picture and is written as a person, a date or something that cannot be
// looked into, or that does not stay blank. What it holds is not told.
type PersonalError struct {
	Tag string // (0028,0030)
	VR  string // how it is written, where that is what is wrong
}

// Code names the fault for app/text.
func (e *PersonalError) Code() string { return "radiograph-personal" }

// Error says which entry it is and what to do.
func (e *PersonalError) Error() string {
	what := "the header entry " + e.Tag + " cannot be looked into"
	if e.VR != "" {
		what = "the header entry " + e.Tag + " should describe the picture and is written as " + e.VR
	}
	return ownRoom + what + ": export the film again from the archive, or save it as PNG"
}
