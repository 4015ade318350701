package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
)

// The version of OpenCV for JavaScript that testdata/reference cites.
const opencvName, opencvVersion = "@techstark/opencv-js", "4.5.2"

//go:embed opencv.js
var opencvScript string

// An opencv is OpenCV compiled to JavaScript, what it took and what it found.
type opencv struct {
	modules string
	Ms      map[string][]float64 `json:"ms"`
	Finders map[string][]round   `json:"finders"`
	Shafts  []edges              `json:"shafts"`
}

// findOpenCV installs OpenCV below .build by npm, without running scripts of
// packages, or says why there is none.
func findOpenCV(root string) (*opencv, string) {
	if !has("node") || !has("npm") {
		return nil, "node or npm is not installed"
	}
	dir := filepath.Join(root, ".build", "bench", "npm")
	modules := filepath.Join(dir, "node_modules")
	have := func() bool {
		b, err := os.ReadFile(filepath.Join(modules, filepath.FromSlash(opencvName), "package.json"))
		var p struct {
			Version string `json:"version"`
		}
		return err == nil && json.Unmarshal(b, &p) == nil && p.Version == opencvVersion
	}
	if !have() {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return nil, err.Error()
		}
		if _, err := output(dir, "npm", "install", "--prefix", dir, "--no-audit", "--no-fund", "--ignore-scripts", "--save-exact", opencvName+"@"+opencvVersion); err != nil || !have() {
			return nil, fmt.Sprintf("npm could not install it: %v", err)
		}
	}
	return &opencv{modules: modules, Ms: map[string][]float64{}}, ""
}

// round lets OpenCV look for everything once.
func (cv *opencv) round(dir string) error {
	out, err := output(dir, "node", "--require", filepath.Join(dir, "aside", "clock.js"), "-e", opencvScript, filepath.Join(cv.modules, filepath.FromSlash(opencvName)), dir)
	if err != nil {
		return err
	}
	var got opencv
	if err := json.Unmarshal(out, &got); err != nil {
		return err
	}
	for name, ms := range got.Ms {
		cv.Ms[name] = append(cv.Ms[name], ms...)
	}
	cv.Finders, cv.Shafts = got.Finders, got.Shafts
	return nil
}

// A shot is what is true of one phantom: see web/bench/kernels.
type shot struct {
	Name, Kind                   string
	MM, BallX, BallY, BallAcross float64
	Walls                        [4][][2]float64
}

// printSearch prints our searches beside OpenCV's on the same phantoms.
func (b *filmBench) printSearch() error {
	data, err := os.ReadFile(filepath.Join(b.dir, "cases.json"))
	if err != nil {
		return err
	}
	var hips, shafts, all []shot
	if err := json.Unmarshal(data, &all); err != nil {
		return err
	}
	for _, s := range all {
		if s.Kind == "hip" {
			hips = append(hips, s)
		} else {
			shafts = append(shafts, s)
		}
	}
	fmt.Printf("\nball of 25 mm on %d phantoms, beside OpenCV %s in node; diameter against the truth\n"+
		"%-44s %22s %8s %8s %8s %8s %10s %8s\n", len(hips), opencvVersion, "", "ms a film", "bias px", "RMS px", "RMS mm", "worst px", "centre px", "refused")
	printBall("ours, native", b.native.Ms["ball"], hips, b.native.Rounds)
	printBall("ours, WebAssembly", b.wasm.Ms["ball"], hips, b.wasm.Rounds)
	b.printCVBalls(hips)
	fmt.Printf("\nedges of a shaft on %d phantoms; distance of each place from the true outline, all levels\n"+
		"%-44s %22s %21s %21s %8s\n", len(shafts), "", "ms a film", "outer RMS|median mm", "inner RMS|median mm", "refused")
	printEdges("ours, native", b.native.Ms["trace"], shafts, b.native.Shafts)
	printEdges("ours, WebAssembly", b.wasm.Ms["trace"], shafts, b.wasm.Shafts)
	if b.cv != nil {
		printEdges("OpenCV: Sobel, strongest of each row", b.cv.Ms["walls"], shafts, b.cv.Shafts)
	}
	return nil
}

func (b *filmBench) printCVBalls(hips []shot) {
	if b.cv == nil {
		fmt.Println("OpenCV is not here: " + b.cvWhy + "; only ours was measured")
		return
	}
	for _, f := range []struct{ key, name string }{
		{"hough", "OpenCV: blur, HoughCircles"},
		{"outline", "OpenCV: blur, threshold, contour, fitEllipse"},
		{"canny", "OpenCV: HoughCircles, then Canny, fitEllipse"},
	} {
		printBall(f.name, b.cv.Ms[f.key], hips, b.cv.Finders[f.key])
	}
}

func printBall(name string, ms []float64, hips []shot, got []round) {
	var across, mm, centre errorsOf
	refused := 0
	for i, r := range got {
		if r.Refused != "" {
			refused++
			continue
		}
		s := hips[i]
		across.add(r.Across - s.BallAcross)
		mm.add((r.Across - s.BallAcross) * s.MM)
		centre.add(math.Hypot(r.X-s.BallX, r.Y-s.BallY))
	}
	fmt.Printf("%-44s %22s %8.2f %8.2f %8.3f %8.2f %10.2f %8d\n", name, text(ms), across.bias(), across.rms(), mm.rms(), across.worst(), centre.rms(), refused)
}

func printEdges(name string, ms []float64, shafts []shot, got []edges) {
	var wall [2]errorsOf // outer, inner
	refused := 0
	for i, e := range got {
		if e.Refused != "" {
			refused++
			continue
		}
		for k, places := range e.Walls {
			for _, p := range places {
				if d, ok := offLine(p, shafts[i].Walls[k]); ok {
					wall[[4]int{0, 1, 1, 0}[k]].add(d * shafts[i].MM)
				}
			}
		}
	}
	fmt.Printf("%-44s %22s %12.3f|%8.3f %12.3f|%8.3f %8d\n", name, text(ms), wall[0].rms(), wall[0].median(), wall[1].rms(), wall[1].median(), refused)
}

// offLine returns how far a place lies from a chain of places, and false
// beyond its ends.
func offLine(p [2]float64, chain [][2]float64) (float64, bool) {
	best, end := math.Inf(1), false
	for i := 1; i < len(chain); i++ {
		a, b := chain[i-1], chain[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		long := dx*dx + dy*dy
		if !(long > 0) {
			continue
		}
		t := ((p[0]-a[0])*dx + (p[1]-a[1])*dy) / long
		q := min(max(t, 0), 1)
		if d := math.Hypot(p[0]-a[0]-q*dx, p[1]-a[1]-q*dy); d < best {
			best, end = d, i == 1 && t < 0 || i == len(chain)-1 && t > 1
		}
	}
	return best, !end && !math.IsInf(best, 1)
}

// errorsOf are some errors in one unit; of none everything is 0.
type errorsOf []float64

func (e *errorsOf) add(v float64) { *e = append(*e, v) }

func (e errorsOf) bias() float64 {
	t := 0.0
	for _, v := range e {
		t += v / float64(len(e))
	}
	return t
}

func (e errorsOf) rms() float64 {
	t := 0.0
	for _, v := range e {
		t += v * v / float64(len(e))
	}
	return math.Sqrt(t)
}

func (e errorsOf) worst() float64 {
	w := 0.0
	for _, v := range e {
		if math.Abs(v) > math.Abs(w) {
			w = v
		}
	}
	return w
}

// median returns the median size of the errors.
func (e errorsOf) median() float64 {
	if len(e) == 0 {
		return 0
	}
	sizes := make([]float64, len(e))
	for i, v := range e {
		sizes[i] = math.Abs(v)
	}
	slices.Sort(sizes)
	return sizes[len(sizes)/2]
}
