package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// list returns the import paths that patterns name, in an environment.
func (r *Run) list(env []string, patterns ...string) ([]string, error) {
	return r.lines(env, append([]string{"list"}, patterns...)...)
}

// withTests returns the packages among patterns that have tests there.
func (r *Run) withTests(env []string, patterns ...string) ([]string, error) {
	format := "{{if or .TestGoFiles .XTestGoFiles}}{{.ImportPath}}{{end}}"
	return r.lines(env, append([]string{"list", "-f", format}, patterns...)...)
}

func (r *Run) lines(env []string, args ...string) ([]string, error) {
	out, err := r.output(env, "go", args...)
	if err != nil {
		return nil, &StepError{"go list", out, "repair what it names"}
	}
	var lines []string
	for line := range strings.Lines(out) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "go: ") {
			lines = append(lines, line)
		}
	}
	return lines, nil
}

var fuzzFunc = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(`)

// seeds counts a failure for every fuzz function that did not run at least
// one seed: a fuzz test whose seeds have gone passes without testing
// anything.
func (r *Run) seeds(seen map[string]string) error {
	format := `{{$p := .ImportPath}}{{$d := .Dir}}{{range .TestGoFiles}}{{$p}} {{$d}}/{{.}}{{"\n"}}{{end}}{{range .XTestGoFiles}}{{$p}} {{$d}}/{{.}}{{"\n"}}{{end}}`
	lines, err := r.lines(nil, "list", "-f", format, "./...")
	if err != nil {
		return err
	}
	for _, line := range lines {
		pkg, file, _ := strings.Cut(line, " ")
		src, err := os.ReadFile(filepath.FromSlash(file))
		if err != nil {
			return err
		}
		for _, m := range fuzzFunc.FindAllStringSubmatch(string(src), -1) {
			if !ranSeed(seen, pkg+" "+m[1]) {
				r.say("check: %s in %s ran no seed: add seeds, or find out where they have gone", m[1], pkg)
				r.tally.Failed++
			}
		}
	}
	return nil
}

func ranSeed(seen map[string]string, name string) bool {
	for test, result := range seen {
		if result == "pass" && strings.HasPrefix(test, name+"/") {
			return true
		}
	}
	return false
}
