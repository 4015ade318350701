package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"isthmus/web/build"
)

// A step is one part of the check. It counts tests into the run's tally, or
// returns an error when it could not do its work.
type step struct {
	name, what string
	needs      bool // needs tools that are not Go
	run        func(*Run) error
}

func steps() []step {
	return []step{
		{"tools", "installing what the tests need and lack", false, (*Run).tools},
		{"format", "is every Go file as gofmt writes it?", false, (*Run).format},
		{"vet", "go vet, for this machine and for the browser", false, (*Run).vet},
		{"unit", "unit tests and fuzz seeds on this machine", false, (*Run).unit},
		{"corewasm", "the core's tests again, compiled to WebAssembly, under node", true, (*Run).coreWasm},
		{"appwasm", "the app's and the browser side's tests in WebAssembly, under node", true, (*Run).appWasm},
		{"store", "the store's tests against an IndexedDB, under node", true, (*Run).store},
		{"edge", "the edge worker in its runtime, beside the plain server", true, (*Run).edge},
		{"browser", "the app in Chromium, as a phone", true, (*Run).browser},
	}
}

func stepNames() []string {
	var names []string
	for _, s := range steps() {
		names = append(names, s.name)
	}
	return names
}

// A StepError reports why a step failed as a whole.
type StepError struct{ Step, Found, Do string }

// Code names the fault.
func (e *StepError) Code() string { return "check-step" }

func (e *StepError) Error() string {
	return fmt.Sprintf("check: %s: %s: %s", e.Step, e.Found, e.Do)
}

// output runs a command in the project and returns all it printed.
func (r *Run) output(env []string, name string, args ...string) (string, error) {
	cmd := exec.Command(name, args...)
	cmd.Dir = r.root
	cmd.Env = append(os.Environ(), env...)
	b, err := cmd.CombinedOutput()
	return string(b), err
}

func (r *Run) format() error {
	out, err := r.output(nil, "gofmt", "-l", "app", "core", "wasm", "web")
	if err != nil || strings.TrimSpace(out) != "" {
		return &StepError{"format", "not as gofmt writes it:\n" + out, "run gofmt -w on them"}
	}
	return nil
}

// forWasm is the environment that makes the go command compile for the
// browser and run tests under node.
func forWasm() []string {
	bin := filepath.Join(goroot(), "lib", "wasm")
	return []string{"GOOS=js", "GOARCH=wasm", "PATH=" + bin + string(os.PathListSeparator) + os.Getenv("PATH")}
}

func goroot() string {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return runtime.GOROOT()
	}
	return strings.TrimSpace(string(out))
}

func (r *Run) vet() error {
	if out, err := r.output(nil, "go", "vet", "./..."); err != nil {
		return &StepError{"vet", "on this machine:\n" + out, "repair what it names"}
	}
	if out, err := r.output(forWasm(), "go", "vet", "./core/...", "./app/...", "./wasm/..."); err != nil {
		return &StepError{"vet", "for the browser:\n" + out, "repair what it names"}
	}
	return nil
}

func (r *Run) unit() error {
	packages, err := r.list(nil, "./...")
	if err != nil {
		return err
	}
	var here []string
	for _, p := range packages {
		if p != "isthmus/web/browser" && p != "isthmus/wasm/edge" { // steps of their own
			here = append(here, p)
		}
	}
	seen, err := r.test(nil, here...)
	if err != nil {
		return err
	}
	return r.seeds(seen)
}

func (r *Run) coreWasm() error {
	_, err := r.test(forWasm(), "./core/...")
	return err
}

func (r *Run) appWasm() error {
	packages, err := r.withTests(forWasm(), "./app/...", "./wasm/...")
	if err != nil {
		return err
	}
	var here []string
	for _, p := range packages {
		switch p {
		case "isthmus/wasm/store": // a step of its own
		case "isthmus/app/screen": // needs a document: tested on this machine and in Chromium
		default:
			here = append(here, p)
		}
	}
	if len(here) == 0 {
		return &StepError{"appwasm", "no package with tests", "look at the list of packages in web/check/steps.go"}
	}
	_, err = r.test(forWasm(), here...)
	return err
}

func (r *Run) store() error {
	modules, err := build.NPM(r.root)
	if err != nil {
		return err
	}
	database := filepath.Join(modules, "fake-indexeddb", "auto", "index.js")
	_, err = r.test(append(forWasm(), "NODE_OPTIONS=--require "+database), "-count=1", "./wasm/store/...")
	return err
}

func (r *Run) edge() error {
	_, err := r.test(nil, "-count=1", "./wasm/edge")
	return err
}

func (r *Run) browser() error {
	_, err := r.test(nil, "-count=1", "-timeout=25m", "./web/browser")
	return err
}
