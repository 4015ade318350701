package plan

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
)

// Whatever a case holds: no panic, chances between 0 and 1, and every number
// is one.
func FuzzTrials(f *testing.F) {
	for _, path := range testkit.Files(f, "cases/*/case.json") {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		cases := []record.Case{(&entropy{b}).record()}
		if c, err := record.Unmarshal(b); err == nil {
			cases = append(cases, c)
		}
		for _, c := range cases {
			checkChances(t, Trials(c, implant.Teaching(), DefaultPolicy(), 1, 50))
		}
	})
}

func checkChances(t *testing.T, got Chances) {
	t.Helper()
	if _, err := json.Marshal(got); err != nil {
		t.Fatal(err) // NaN and infinity cannot be written
	}
	for _, p := range []PartChances{got.Length, got.Diameter, got.Lower, got.Upper} {
		sum := p.Undecided
		for _, s := range p.Sizes {
			sum += s.Right
		}
		if len(p.Sizes) > 0 && math.Abs(sum-1) > 1e-9 {
			t.Errorf("the chances add up to %g: %+v", sum, p)
		}
		for _, v := range []float64{p.TooLarge, p.TooSmall, p.Undecided} {
			if !(v >= 0 && v <= 1) {
				t.Errorf("%g is no chance: %+v", v, p)
			}
		}
		for _, s := range p.Shares {
			if !(s.Part > 0 && s.Part <= 1) {
				t.Errorf("%+v is no share", s)
			}
		}
		if p.Room != nil && !(p.Room.Low <= p.Room.High) {
			t.Errorf("%+v is no interval", *p.Room)
		}
	}
}

func BenchmarkTrials(b *testing.B) {
	shelf, p := implant.Teaching(), DefaultPolicy()
	for name, c := range trialCases(b) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Trials(c, shelf, p, 1, 10_000)
			}
		})
	}
}
