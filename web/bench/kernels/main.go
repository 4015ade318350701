// Command kernels runs what is slow on a film: decoding, the picture for the
// screen, and each search. web/bench compiles it twice, natively and for
// WebAssembly, and runs both on the same files in turns.
//
//	kernels make FOLDER    writes the films and cases.json
//	kernels time FOLDER N  prints, as JSON, what each search took N times, each decoder 3 N, and what was found
package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"isthmus/core/radiograph"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 2 && args[0] == "make":
		return makeFilms(args[1])
	case len(args) == 3 && args[0] == "time":
		n, err := strconv.Atoi(args[2])
		if err != nil || n < 1 {
			return fmt.Errorf("kernels: %q times: want a whole number from 1", args[2])
		}
		return timeAll(args[1], n)
	}
	return fmt.Errorf("kernels: want make FOLDER, or time FOLDER N")
}

// A report is what one run of the program prints.
type report struct {
	Ms     map[string][]float64 `json:"ms"` // by kernel
	Rounds []round              `json:"rounds"`
	Shafts []edges              `json:"shafts"`
}

// round is the ball that was found; edges are the places of the walls of a
// shaft, outer left, inner left, inner right, outer right. Refused says why
// there is nothing.
type round struct {
	X, Y, Across float64
	Refused      string
}

type edges struct {
	Walls   [4][][2]float64
	Refused string
}

func timeAll(folder string, n int) error {
	r := report{Ms: map[string][]float64{}}
	files, err := filepath.Glob(filepath.Join(folder, "*.dcm"))
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := r.film(f, 3*n); err != nil {
			return fmt.Errorf("%s: %w", filepath.Base(f), err)
		}
	}
	if err := r.search(folder, n); err != nil {
		return err
	}
	return json.NewEncoder(os.Stdout).Encode(r)
}

// clock runs a kernel once to warm it and then n times, each from a collected
// heap, as Go's own benchmarks do. Times are of the processor.
func (r *report) clock(name string, n int, kernel func()) {
	kernel()
	for range n {
		runtime.GC()
		t := spent()
		kernel()
		r.Ms[name] = append(r.Ms[name], float64(spent()-t)/1e6)
	}
}

// film times decoding one film, and what is made of it for the screen when it
// is the plain large one.
func (r *report) film(file string, n int) error {
	b, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	var im *radiograph.Image
	name := strings.TrimSuffix(filepath.Base(file), ".dcm")
	r.clock("decode "+name, n, func() { im, err = radiograph.Open(b, radiograph.Options{}) })
	if err != nil || name != "plain 12 Mpx" {
		return err
	}
	w := im.DefaultWindow()
	r.clock("grey picture, 12 Mpx", n, func() { im.Grey8(w) })
	r.clock("coarse picture, 12 Mpx", n, func() { im.Coarse8(w, 4) })
	r.clock("windows to choose from, 12 Mpx", n, func() { im.Windows() })
	return nil
}
