package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"isthmus/web/build"
)

// ratioBudget is how much longer a kernel may take as WebAssembly.
const ratioBudget = 2.5

// found is what web/bench/kernels prints.
type found struct {
	Ms     map[string][]float64 `json:"ms"`
	Rounds []round              `json:"rounds"`
	Shafts []edges              `json:"shafts"`
}

type round struct {
	X, Y, Across float64
	Refused      string
}

type edges struct {
	Walls   [4][][2]float64
	Refused string
}

// clockScript lets node's clock tell the processor time of the process.
const clockScript = `performance.now = () => { const u = process.cpuUsage(); return (u.user + u.system) / 1000; };
`

// A filmBench is everything that is measured on films, in one run.
type filmBench struct {
	root, dir string // of the project; of the films
	n         int
	native    found
	wasm      found
	theirs    map[string][]float64 // DCMTK and GDCM, by film
	floors    map[string][]float64
	cv        *opencv // nil: not installed
	cvWhy     string
}

// printFilms measures films: each kernel native and as WebAssembly, beside
// DCMTK and OpenCV, in turns, so that what else the machine does falls on all;
// then the film screen.
func printFilms(n int, kernels bool) error {
	if n < 1 {
		return fmt.Errorf("bench: -n is %d, need at least 1", n)
	}
	root, err := build.Root()
	if err != nil {
		return err
	}
	b := &filmBench{root: root, dir: filepath.Join(root, ".build", "bench", "films"), n: n,
		theirs: map[string][]float64{}, floors: map[string][]float64{}}
	if err := b.prepare(); err != nil {
		return err
	}
	if kernels {
		if err := b.printKernels(); err != nil {
			return err
		}
	}
	return printFilmScreen(build.Site{Root: root, Log: os.Stdout}, b.dir, n)
}

// printKernels lets everybody run in turns and prints what they took and found.
func (b *filmBench) printKernels() error {
	for i := range b.n {
		fmt.Printf("round %d of %d\n", i+1, b.n)
		if err := b.round(); err != nil {
			return err
		}
	}
	fmt.Printf("\nfilms, %s; all times ms of the processor, so that other work counts little, median (least–most); load of the machine %s\n", runtime.GOARCH, load())
	b.printDecoders()
	if err := b.printSearch(); err != nil {
		return err
	}
	b.printRatios()
	return nil
}

// load returns the load averages of the machine, where it tells them.
func load() string {
	b, err := os.ReadFile("/proc/loadavg")
	if f := strings.Fields(string(b)); err == nil && len(f) > 3 {
		return strings.Join(f[:3], " ")
	}
	return "not known"
}

// round runs everybody once.
func (b *filmBench) round() error {
	for _, run := range []struct {
		to   *found
		wasm bool
	}{{&b.native, false}, {&b.wasm, true}} {
		got, err := b.kernels(run.wasm)
		if err != nil {
			return err
		}
		run.to.join(got)
	}
	if err := b.decodeTheirs(); err != nil {
		return err
	}
	if b.cv != nil {
		return b.cv.round(b.dir)
	}
	return nil
}

// join adds the times of another run; what was found is the same in each.
func (f *found) join(o found) {
	if f.Ms == nil {
		f.Ms = map[string][]float64{}
	}
	for name, ms := range o.Ms {
		f.Ms[name] = append(f.Ms[name], ms...)
	}
	f.Rounds, f.Shafts = o.Rounds, o.Shafts
}

// prepare compiles the kernels twice, writes the films, and looks for those
// who are compared.
func (b *filmBench) prepare() error {
	if err := build.Wasm(b.root, "./web/bench/kernels", b.program(true), ""); err != nil {
		return err
	}
	if _, err := output(b.root, "go", "build", "-trimpath", "-o", b.program(false), "./web/bench/kernels"); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(b.dir, "aside"), 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(b.dir, "aside", "clock.js"), []byte(clockScript), 0o644); err != nil {
		return err
	}
	if _, err := output(b.root, b.program(false), "make", b.dir); err != nil {
		return err
	}
	if err := b.packFilms(); err != nil {
		return err
	}
	b.cv, b.cvWhy = findOpenCV(b.root)
	return nil
}

func (b *filmBench) program(wasm bool) string {
	name := filepath.Join(filepath.Dir(b.dir), "kernels")
	if wasm {
		name += ".wasm"
	}
	return name
}

// kernels runs the program once, natively or under node. There it is compiled
// in full first: else the compiler, at work beside the first kernels, is
// counted with them.
func (b *filmBench) kernels(wasm bool) (f found, err error) {
	args := []string{b.program(wasm), "time", b.dir, "1"}
	if wasm {
		goroot, err := output(b.root, "go", "env", "GOROOT")
		if err != nil {
			return f, err
		}
		glue := filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec_node.js")
		args = append([]string{"node", "--no-liftoff", "--no-wasm-tier-up", "--stack-size=8192", "--require", filepath.Join(b.dir, "aside", "clock.js"), glue}, args...)
	}
	out, err := output(b.root, args[0], args[1:]...)
	if err != nil {
		return f, err
	}
	return f, json.Unmarshal(out, &f)
}

// cost runs a program in a folder and returns the ms of processor time of it.
func cost(dir, program string, args ...string) (float64, error) {
	cmd := exec.Command(program, args...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		return 0, fmt.Errorf("bench: %s: %w\n%s", program, err, out)
	}
	s := cmd.ProcessState
	return float64(s.UserTime()+s.SystemTime()) / 1e6, nil
}

// output runs a program in a folder and returns what it prints.
func output(dir, program string, args ...string) ([]byte, error) {
	cmd := exec.Command(program, args...)
	cmd.Dir = dir
	var said strings.Builder
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("bench: %s %s: %w\n%s", program, strings.Join(args, " "), err, said.String())
	}
	return out, nil
}

// printRatios prints each kernel as WebAssembly over native: of the medians,
// and of the least times, which other work on the machine disturbs less. The
// verdict is on the latter.
func (b *filmBench) printRatios() {
	fmt.Printf("\nthe same code, WebAssembly in node over native\n%-38s %22s %22s %8s %8s\n", "", "native", "WebAssembly", "medians", "least")
	for _, name := range slices.Sorted(maps.Keys(b.native.Ms)) {
		x, y := rangeOf(b.native.Ms[name]), rangeOf(b.wasm.Ms[name])
		least := y.least / x.least
		fmt.Printf("%-38s %22s %22s %8.2f %8.2f  %s\n", name, tenths(x), tenths(y), y.median/x.median, least, ratioVerdict(least))
	}
}

// ratioVerdict says whether a ratio is within the budget.
func ratioVerdict(ratio float64) string {
	if !(ratio <= ratioBudget) {
		return fmt.Sprintf("OVER the budget of %.1f", ratioBudget)
	}
	return fmt.Sprintf("within %.1f", ratioBudget)
}
