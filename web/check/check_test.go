package main

import (
	"errors"
	"strings"
	"testing"
)

// Lines of go test -json, shortened from a real run.
const (
	plain = `{"Action":"start","Package":"m/a"}
{"Action":"run","Package":"m/a","Test":"TestX"}
{"Action":"output","Package":"m/a","Test":"TestX","Output":"=== RUN   TestX\n"}
{"Action":"pass","Package":"m/a","Test":"TestX","Elapsed":0}
{"Action":"pass","Package":"m/a","Elapsed":0.1}
`
	parts = `{"Action":"pass","Package":"m/a","Test":"TestX/one"}
{"Action":"pass","Package":"m/a","Test":"TestX/two/deep"}
{"Action":"pass","Package":"m/a","Test":"TestX/two"}
{"Action":"pass","Package":"m/a","Test":"TestX"}
{"Action":"pass","Package":"m/a"}
`
	onePartFails = `{"Action":"output","Package":"m/a","Test":"TestX/one","Output":"got 3, want 4\n"}
{"Action":"fail","Package":"m/a","Test":"TestX/one"}
{"Action":"pass","Package":"m/a","Test":"TestX/two"}
{"Action":"fail","Package":"m/a","Test":"TestX"}
{"Action":"fail","Package":"m/a"}
`
	wholeFails = `{"Action":"pass","Package":"m/a","Test":"TestX/one"}
{"Action":"fail","Package":"m/a","Test":"TestX"}
{"Action":"fail","Package":"m/a"}
`
	noCompile = `{"ImportPath":"m/a [m/a.test]","Action":"build-output","Output":"a_test.go:3:1: undefined: y\n"}
{"ImportPath":"m/a [m/a.test]","Action":"build-fail"}
{"Action":"output","Package":"m/a","Output":"FAIL\tm/a [build failed]\n"}
{"Action":"fail","Package":"m/a","Elapsed":0,"FailedBuild":"m/a [m/a.test]"}
`
	noTests = `{"Action":"output","Package":"m/a","Output":"?   \tm/a\t[no test files]\n"}
{"Action":"skip","Package":"m/a","Elapsed":0}
`
	skips = `{"Action":"skip","Package":"m/a","Test":"TestX"}
{"Action":"pass","Package":"m/a"}
`
	slashInPackage = `{"Action":"pass","Package":"m/a/b/c","Test":"TestX"}
{"Action":"pass","Package":"m/a/b/c"}
`
)

func TestTally(t *testing.T) {
	for _, tt := range []struct {
		name, events string
		want         Tally
		shows        string
	}{
		{"one test", plain, Tally{Passed: 1}, ""},
		{"a test counts by its parts", parts, Tally{Passed: 2}, ""},
		{"one part of two fails", onePartFails, Tally{Passed: 1, Failed: 1}, "got 3, want 4"},
		{"a test fails though its part did not", wholeFails, Tally{Passed: 1, Failed: 1}, ""},
		{"does not compile", noCompile, Tally{Failed: 1}, "undefined: y"},
		{"package without tests", noTests, Tally{}, ""},
		{"skipped", skips, Tally{Skipped: 1}, ""},
		{"slashes of the package are not parts", slashInPackage, Tally{Passed: 1}, ""},
		{"nothing", "", Tally{}, ""},
		{"two packages", plain + strings.ReplaceAll(onePartFails, "m/a", "m/b"), Tally{Passed: 2, Failed: 1}, "m/b TestX/one"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rep := read(strings.NewReader(tt.events))
			if got := rep.tally(); got != tt.want {
				t.Errorf("tally = %+v, want %+v", got, tt.want)
			}
			var out strings.Builder
			if rep.show(&out); !strings.Contains(out.String(), tt.shows) {
				t.Errorf("shows %q, want %q in it", out.String(), tt.shows)
			}
		})
	}
}

func TestLineAndCode(t *testing.T) {
	for _, tt := range []struct {
		tally Tally
		line  string
		code  int
	}{
		{Tally{Passed: 12}, "12 passed, 0 failed", 0},
		{Tally{Passed: 12, Failed: 1}, "12 passed, 1 failed", 1},
		{Tally{Passed: 12, Skipped: 2}, "12 passed, 0 failed, 2 skipped", 0},
		{Tally{}, "0 passed, 0 failed", 1},
		{Tally{Skipped: 3}, "0 passed, 0 failed, 3 skipped", 1},
	} {
		if tt.tally.Line() != tt.line || tt.tally.Code() != tt.code {
			t.Errorf("%+v = %q, code %d, want %q, %d", tt.tally, tt.tally.Line(), tt.tally.Code(), tt.line, tt.code)
		}
	}
}

func TestChoose(t *testing.T) {
	for _, tt := range []struct{ name, only, want string }{
		{"all", "", strings.Join(stepNames(), " ")},
		{"in the order of the list", "unit, format", "format unit"},
		{"with the tools it needs", "browser", "tools browser"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			chosen, err := choose(tt.only)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, s := range chosen {
				got = append(got, s.name)
			}
			if strings.Join(got, " ") != tt.want {
				t.Errorf("choose(%q) = %v, want %s", tt.only, got, tt.want)
			}
		})
	}
	var unknown *UnknownStepError
	if _, err := choose("unit,tests"); !errors.As(err, &unknown) || unknown.Name != "tests" {
		t.Errorf("choose = %v, want an UnknownStepError for tests", err)
	}
}

func TestSeedsAreSeen(t *testing.T) {
	seen := map[string]string{"m/a FuzzX": "pass", "m/a FuzzY": "pass", "m/a FuzzY/seed#0": "pass", "m/a FuzzZ/seed#0": "fail"}
	for name, want := range map[string]bool{"m/a FuzzX": false, "m/a FuzzY": true, "m/a FuzzZ": false, "m/b FuzzY": false} {
		if got := ranSeed(seen, name); got != want {
			t.Errorf("ranSeed(%s) = %v, want %v", name, got, want)
		}
	}
}
