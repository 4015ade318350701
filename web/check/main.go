// Command check is the test command: it runs every test there is, in every
// place where the code runs (this machine, WebAssembly under node, the edge
// runtime, a browser as a phone), and ends with one line that counts them.
//
//	go run ./web/check                    everything
//	go run ./web/check -only vet,unit     some steps
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"isthmus/web/build"
)

func main() {
	only := flag.String("only", "", "steps to run, separated by commas; empty means all: "+strings.Join(stepNames(), ", "))
	flag.Parse()
	os.Exit(work(*only, os.Stdout))
}

// A Run is one run of the command: where the project is, what was counted.
type Run struct {
	root  string
	out   io.Writer
	tally Tally
}

func work(only string, out io.Writer) (code int) {
	chosen, err := choose(only)
	if err != nil {
		fmt.Fprintln(out, err)
		return 2
	}
	root, err := build.Root()
	if err != nil {
		fmt.Fprintln(out, err)
		return 2
	}
	r := &Run{root: root, out: out}
	for _, s := range chosen {
		r.step(s)
	}
	fmt.Fprintln(out, r.tally.Line())
	return r.tally.Code()
}

// step runs one step and says how it went. A step that cannot run at all
// counts as one failure.
func (r *Run) step(s step) {
	fmt.Fprintf(r.out, "== %s: %s\n", s.name, s.what)
	before, start := r.tally, time.Now()
	if err := s.run(r); err != nil {
		fmt.Fprintf(r.out, "%v\n", err)
		r.tally.Failed++
	}
	took := time.Since(start).Seconds()
	fmt.Fprintf(r.out, "   %s took %.1f s: %d tests went well, %d did not\n",
		s.name, took, r.tally.Passed-before.Passed, r.tally.Failed-before.Failed)
}

// An UnknownStepError reports a step that does not exist.
type UnknownStepError struct{ Name string }

// Code names the fault.
func (e *UnknownStepError) Code() string { return "check-unknown-step" }

func (e *UnknownStepError) Error() string {
	return fmt.Sprintf("check: there is no step %q: choose among %s", e.Name, strings.Join(stepNames(), ", "))
}

// choose returns the named steps in their own order, with what they need
// first.
func choose(only string) ([]step, error) {
	if only == "" {
		return steps(), nil
	}
	names := strings.Split(only, ",")
	for i, n := range names {
		names[i] = strings.TrimSpace(n)
		if !slices.Contains(stepNames(), names[i]) {
			return nil, &UnknownStepError{Name: names[i]}
		}
	}
	needs := slices.ContainsFunc(steps(), func(s step) bool { return s.needs && slices.Contains(names, s.name) })
	var chosen []step
	for _, s := range steps() {
		if slices.Contains(names, s.name) || s.name == "tools" && needs {
			chosen = append(chosen, s)
		}
	}
	return chosen, nil
}
