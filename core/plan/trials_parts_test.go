package plan

import (
	"reflect"
	"slices"
	"testing"

	"isthmus/core/chance"
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

// The value at a place is that of the sorted list, for lists that are all
// alike, sorted either way, or mixed, at every place.
func TestNth(t *testing.T) {
	c := chance.New(4)
	for _, n := range []int{1, 2, 3, 10, 101} {
		for _, tt := range []struct {
			name string
			of   func(i int) float64
		}{
			{"alike", func(int) float64 { return 7 }},
			{"rising", func(i int) float64 { return float64(i) }},
			{"falling", func(i int) float64 { return -float64(i) }},
			{"few values", func(int) float64 { return float64(c.Uint64() % 3) }},
			{"mixed", func(int) float64 { return c.Normal() }},
		} {
			v := make([]float64, n)
			for i := range v {
				v[i] = tt.of(i)
			}
			want := slices.Sorted(slices.Values(v))
			for k := range v {
				if got := nth(v, k); got != want[k] {
					t.Errorf("%s, %d of %d: %v, want %v (the standard library's sort)", tt.name, k, n, got, want[k])
				}
			}
			if !slices.Equal(slices.Sorted(slices.Values(v)), want) {
				t.Errorf("%s of %d: values were lost", tt.name, n)
			}
		}
	}
}
