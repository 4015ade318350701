// Command cli is the same plan in a terminal: it reads a case or a film and
// prints JSON with units in its keys, doubts, reasons in words and sources.
//
//	go run ./app/cli plan CASE [--shelf FILE]
//	go run ./app/cli scale FILM --ball 25 --at 100,200 --at … [--at-bone yes]
//	go run ./app/cli measure FILM --view ap --ball 25 --at … --point canal-a=640,1200 …
package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"isthmus/app/text"
)

// The exit codes.
const (
	done   = 0
	failed = 1 // a file that cannot be read or used; standard error says why
	misuse = 2 // a command that is not understood
)

const usage = `usage:
  cli plan CASE [--shelf FILE]     a case file or case.json, with the shelf of the file, the given one or the teaching set
  cli scale FILM EVIDENCE          what one pixel is in the plane of the bone
  cli measure FILM --view ap|lateral EVIDENCE --point NAME=X,Y …
                                   what the landmarks say, in millimetres
EVIDENCE, pixels from 0 at the top left:
  --ball MM --at X,Y --at X,Y …    rim points of a ball of known diameter; --disc MM for a disc or a coin
  --ruler MM --at X,Y --at X,Y     two graduations a known length apart
  --sid MM --sod MM or --oid MM    distances, on a film with the spacing of its detector
  --factor M                       an assumed magnification, on such a film
  --at-bone yes|no|unsure          was the marker at the depth of the bone?
  --slip PX                        standard uncertainty of one point, 1 if not given
Without evidence the header of the film is judged.
`

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the command without the process around it.
func run(args []string, out, errs io.Writer) int {
	commands := map[string]func([]string) (any, error){"plan": planCase, "scale": scaleFilm, "measure": measureFilm}
	if len(args) < 2 || commands[args[0]] == nil {
		fmt.Fprint(errs, usage)
		return misuse
	}
	result, err := commands[args[0]](args[1:])
	if err != nil {
		fmt.Fprintln(errs, text.Error(err))
		if _, wrong := err.(*usageError); wrong {
			fmt.Fprint(errs, usage)
			return misuse
		}
		return failed
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(result); err != nil {
		fmt.Fprintln(errs, text.Error(err))
		return failed
	}
	return done
}

// A usageError reports a command that is not understood.
type usageError struct{ why string }

// Code names the fault for app/text.
func (e *usageError) Code() string { return "cli-usage" }

func (e *usageError) Error() string { return "cli: " + e.why }

// A fileError reports a file that the system does not hand out.
type fileError struct {
	path  string
	cause error
}

// Code names the fault for app/text.
func (e *fileError) Code() string { return "cli-file" }

func (e *fileError) Error() string {
	return "cli: cannot read " + e.path + " (" + e.cause.Error() + "): check the path"
}

func (e *fileError) Unwrap() error { return e.cause }

func read(path string) ([]byte, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, &fileError{path, err}
	}
	return b, nil
}
