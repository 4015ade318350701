package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
)

// A Tally counts tests. A test with parts counts by its parts.
type Tally struct{ Passed, Failed, Skipped int }

// Line returns the one line with which the command ends.
func (t Tally) Line() string {
	line := fmt.Sprintf("%d passed, %d failed", t.Passed, t.Failed)
	if t.Skipped > 0 {
		line += fmt.Sprintf(", %d skipped", t.Skipped)
	}
	return line
}

// Code returns the exit code: 1 when something failed, and when nothing ran.
func (t Tally) Code() int {
	if t.Failed > 0 || t.Passed == 0 {
		return 1
	}
	return 0
}

// An event is one line of go test -json.
type event struct {
	Action     string
	Package    string
	ImportPath string // of a build
	Test       string
	Output     string
}

// A report is what the events of one go test say.
type report struct {
	result map[string]string           // "package test" → pass, fail, skip; the package alone too
	output map[string]*strings.Builder // under the same names
	builds strings.Builder
}

func (r *Run) say(format string, args ...any) { fmt.Fprintf(r.out, format+"\n", args...) }

// test runs go test in an environment, counts what ran, shows what failed,
// and returns the result of every test by "package test".
func (r *Run) test(env []string, args ...string) (map[string]string, error) {
	cmd := exec.Command("go", append([]string{"test", "-json"}, args...)...)
	cmd.Dir = r.root
	cmd.Env = append(os.Environ(), env...)
	cmd.Stderr = r.out
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	rep := read(out)
	ended := cmd.Wait()
	tally := rep.tally()
	if rep.show(r.out); ended != nil && tally.Failed == 0 {
		tally.Failed++
		r.say("check: go test ended with %v though no test failed: %s", ended, rep.builds.String())
	}
	r.tally.Passed += tally.Passed
	r.tally.Failed += tally.Failed
	r.tally.Skipped += tally.Skipped
	return rep.result, nil
}

// read takes in the events until the end. A line that is no event is shown
// with the builds.
func read(in io.Reader) report {
	rep := report{result: map[string]string{}, output: map[string]*strings.Builder{}}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		var e event
		if json.Unmarshal(lines.Bytes(), &e) != nil {
			rep.builds.WriteString(lines.Text() + "\n")
			continue
		}
		name := strings.TrimSpace(e.Package + " " + e.Test)
		switch e.Action {
		case "output":
			if rep.output[name] == nil {
				rep.output[name] = new(strings.Builder)
			}
			rep.output[name].WriteString(e.Output)
		case "build-output":
			rep.builds.WriteString(e.Output)
		case "pass", "fail", "skip":
			rep.result[name] = e.Action
		}
	}
	return rep
}

// tally counts the tests without parts, and a package that failed though none
// of its tests did (it did not compile, or it ended early) as one failure.
func (rep report) tally() Tally {
	var t Tally
	whole := map[string]bool{} // tests that have parts
	blamed := map[string]bool{}
	for name, result := range rep.result {
		for i := range len(name) {
			if name[i] == '/' && strings.Contains(name[:i], " ") {
				whole[name[:i]] = true
			}
		}
		if pkg, _, isTest := strings.Cut(name, " "); isTest && result == "fail" {
			blamed[pkg] = true
		}
	}
	for name, result := range rep.result {
		_, _, isTest := strings.Cut(name, " ")
		switch {
		case !isTest && result == "fail" && !blamed[name]:
			t.Failed++
		case !isTest:
		case result == "fail" && !rep.partFailed(name, whole):
			t.Failed++
		case whole[name]:
		case result == "pass":
			t.Passed++
		case result == "skip":
			t.Skipped++
		}
	}
	return t
}

// partFailed reports whether a failed test failed in one of its parts, which
// is counted by itself.
func (rep report) partFailed(name string, whole map[string]bool) bool {
	if !whole[name] {
		return false
	}
	for other, result := range rep.result {
		if result == "fail" && strings.HasPrefix(other, name+"/") {
			return true
		}
	}
	return false
}

// show prints what the compiler said and the output of all that failed.
func (rep report) show(out io.Writer) {
	failed := 0
	for _, name := range sorted(rep.result) {
		if rep.result[name] != "fail" {
			continue
		}
		if failed++; failed == 1 && rep.builds.Len() > 0 {
			fmt.Fprint(out, rep.builds.String())
		}
		if b := rep.output[name]; b != nil {
			fmt.Fprintf(out, "-- %s\n%s", name, b.String())
		}
	}
}
