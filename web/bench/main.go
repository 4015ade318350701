// Command bench measures what the app costs a person: bytes to fetch, and time
// to the first usable answer on a slow phone. Each number stands beside its
// floor, measured in the same run: an empty go-app page and an empty Go
// program, sent by the same server in the same shell.
//
//	go run ./web/bench
//	go run ./web/bench -films
//
// With -films it measures films instead: decoders beside DCMTK, searches beside
// OpenCV, each kernel as WebAssembly over native, and the film screen. Whoever
// is not installed is said to be missing, and then only ours is measured.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"isthmus/web/build"
)

func main() {
	n := flag.Int("n", 5, "how many fresh phones for each number; the median is printed")
	path := flag.String("path", "/", "address whose first usable answer is waited for")
	times := flag.Bool("times", true, "measure times in Chromium too, not only sizes")
	trials := flag.Bool("trials", true, "measure ten thousand trials of a plan in Chromium too")
	films := flag.Bool("films", false, "measure films, beside DCMTK and OpenCV, instead")
	kernels := flag.Bool("kernels", true, "with -films: measure decoders and searches, not only the film screen")
	flag.Parse()
	if *films {
		if err := printFilms(*n, *kernels); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	if err := work(*n, *path, *times, *trials); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// The floors, as programs. They are written below .build and compiled with
// the flags of the app.
const (
	emptyPage = `package main

import "github.com/maxence-charriere/go-app/v9/pkg/app"

type page struct{ app.Compo }

func (*page) Render() app.UI { return app.Main().DataSet("ready", "yes").Text("empty") }

func main() {
	app.RouteWithRegexp("^/.*", &page{})
	app.RunWhenOnBrowser()
}
`
	emptyGo = `package main

import "syscall/js"

func main() { js.Global().Set("ready", true) }
`
)

func work(n int, path string, times, trials bool) error {
	if n < 1 {
		return fmt.Errorf("bench: -n is %d, need at least 1", n)
	}
	root, err := build.Root()
	if err != nil {
		return err
	}
	app := build.Site{Root: root, Log: os.Stdout}
	floor, err := floorSite(root)
	if err != nil {
		return err
	}
	for _, s := range []build.Site{app, floor} {
		if _, err := s.Make(); err != nil {
			return err
		}
		if err := s.Compress(); err != nil {
			return err
		}
	}
	if err := printSizes(app.Folder(), floor.Folder()); err != nil {
		return err
	}
	if times {
		if err := printTimes(app.Folder(), floor.Folder(), path, n); err != nil {
			return err
		}
	}
	if trials {
		return printTrials(app, n)
	}
	return nil
}

// floorSite returns the site of the floors, whose sources it writes.
func floorSite(root string) (build.Site, error) {
	site := build.Site{Root: root, Log: os.Stdout, Dir: filepath.Join(root, ".build", "bench", "site")}
	for _, p := range []struct{ file, name, source string }{
		{"app.wasm", "emptypage", emptyPage},
		{"film.wasm", "emptygo", emptyGo},
	} {
		dir := filepath.Join(root, ".build", "bench", p.name)
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return site, err
		}
		if err := os.WriteFile(filepath.Join(dir, "main.go"), []byte(p.source), 0o644); err != nil {
			return site, err
		}
		site.Programs = append(site.Programs, build.Program{File: p.file, Package: "./.build/bench/" + p.name, Plain: true})
	}
	return site, nil
}

// budget is what a number may be: so many times its floor, or a fixed limit.
type budget struct {
	times float64
	limit float64
}

// verdict says how a number stands to its floor and its budget.
func (b budget) verdict(got, floor float64) string {
	max, words := b.limit, ""
	if b.times > 0 {
		max, words = b.times*floor, fmt.Sprintf(" (%.2f × the floor)", b.times)
	}
	if !(got <= max) {
		return fmt.Sprintf("OVER the budget of %.0f%s", max, words)
	}
	return fmt.Sprintf("within %.0f%s", max, words)
}

func printSizes(app, floor string) error {
	fmt.Printf("\nsizes, bytes\n%-34s %10s %10s %10s\n", "", "plain", "gzip 9", "brotli 11")
	got := map[string]float64{}
	for _, row := range []struct{ name, file string }{
		{"app.wasm", filepath.Join(app, "app.wasm")},
		{"  floor: an empty go-app page", filepath.Join(floor, "app.wasm")},
		{"film.wasm", filepath.Join(app, "film.wasm")},
		{"  floor: an empty Go program", filepath.Join(floor, "film.wasm")},
	} {
		var sizes [3]int64
		for i, ext := range []string{"", ".gz", ".br"} {
			info, err := os.Stat(row.file + ext)
			if err != nil {
				return err
			}
			sizes[i] = info.Size()
		}
		fmt.Printf("%-34s %10d %10d %10d\n", row.name, sizes[0], sizes[1], sizes[2])
		got[row.name] = float64(sizes[2])
	}
	page, goOnly := got["  floor: an empty go-app page"], got["  floor: an empty Go program"]
	fmt.Printf("app.wasm, brotli:  %.2f × its floor, %s\n", got["app.wasm"]/page, budget{times: 1.35}.verdict(got["app.wasm"], page))
	fmt.Printf("film.wasm, brotli: %.2f × its floor, %s\n", got["film.wasm"]/goOnly, budget{limit: 800e3}.verdict(got["film.wasm"], goOnly))
	return nil
}
