// Package files moves films and case files between the device and the app:
// it reads what a person chose, hands over what a person exports, and opens
// films in a worker of their own that is ended after each film. It implements
// state.Files, state.Decoder and state.Clock in the browser.
package files

import "fmt"

// maxFile is the largest file that is read: a film of 64 million samples of
// 16 bits and its header, or a case with several films.
const maxFile = 512 << 20

// A TooLargeError reports a file that is not read at all.
type TooLargeError struct {
	Name string
	Size float64
}

// Code names the fault for app/text.
func (e *TooLargeError) Code() string { return "files-too-large" }

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("files: “%s” has %.0f MB, at most %d MB are read: export the film at a smaller size, or the case without films", e.Name, e.Size/(1<<20), maxFile>>20)
}

// A ReadError reports a file that the device would not give.
type ReadError struct{ Name, Why string }

// Code names the fault for app/text.
func (e *ReadError) Code() string { return "files-read" }

func (e *ReadError) Error() string {
	return fmt.Sprintf("files: “%s” could not be read (%s): choose it again; if it lies in a cloud folder, load it onto the device first", e.Name, e.Why)
}

// A FilmError is what the film worker answered instead of a film.
type FilmError struct{ Kind, Sentence string }

// Code names the fault for app/text.
func (e *FilmError) Code() string { return e.Kind }

func (e *FilmError) Error() string { return e.Sentence }
