package plan

import (
	"reflect"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/record"
)

// Law: trials made in parts are the same bits as trials made at once, whatever
// the parts, and whether or not somebody looked in between.
func TestTrialsInParts(t *testing.T) {
	const n = 1000
	shelf, p := implant.Teaching(), DefaultPolicy()
	for name, c := range trialCases(t) {
		want := Trials(c, shelf, p, 12, n)
		for _, tt := range []struct {
			name string
			part int
			look bool
		}{{"one by one", 1, false}, {"parts that do not divide", 37, false}, {"all and more", n + 5, false}, {"looked at in between", 100, true}} {
			r := NewTrials(c, shelf, p, 12, n)
			for more := true; more; {
				more = r.Step(tt.part)
				if tt.look {
					r.Chances()
				}
			}
			if got := r.Chances(); !reflect.DeepEqual(got, want) {
				t.Errorf("%s, %s: %+v, want %+v", name, tt.name, got, want)
			}
			if r.Step(1) || r.Part() != 1 || r.Chances().Trials != n {
				t.Errorf("%s, %s: the run goes on after its end", name, tt.name)
			}
		}
	}
}

// A run that is broken off says what its trials said: those of a shorter run.
func TestTrialsBrokenOff(t *testing.T) {
	c, shelf, p := loadCase(t, "neck-and-shaft"), implant.Teaching(), DefaultPolicy()
	r := NewTrials(c, shelf, p, 3, 10_000)
	for _, k := range []int{-1, 0} {
		if !r.Step(k) || r.Part() != 0 {
			t.Errorf("a step of %d made trials", k)
		}
	}
	if got := r.Chances(); !reflect.DeepEqual(got, Chances{}) {
		t.Errorf("no trial says %+v", got)
	}
	if !r.Step(250) || r.Part() != 0.025 {
		t.Errorf("after 250 of 10,000 the part is %v, want 0.025 (by hand)", r.Part())
	}
	if got, want := r.Chances(), Trials(c, shelf, p, 3, 250); !reflect.DeepEqual(got, want) {
		t.Errorf("after 250 trials %+v, want %+v", got, want)
	}
}

// No trials, or too many, are a run that ends.
func TestTrialRunLimits(t *testing.T) {
	for _, tt := range []struct{ n, want int }{{-3, 0}, {0, 0}, {MaxTrials + 5, MaxTrials}} {
		r := NewTrials(record.Case{}, implant.Shelf{}, Policy{}, 1, tt.n)
		for r.Step(30_000) {
		}
		if got := r.Chances().Trials; got != tt.want || r.Part() != 1 {
			t.Errorf("%d asked: %d made, part %v; want %d and 1", tt.n, got, r.Part(), tt.want)
		}
	}
}
