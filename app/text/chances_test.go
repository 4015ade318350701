package text

import (
	"strings"
	"testing"

	"isthmus/core/plan"
)

func TestShares(t *testing.T) {
	c := plan.PartChances{Chosen: 400, Shares: []plan.Share{
		{Input: plan.Input{Kind: plan.InputDepth, Film: 1, Name: "b1"}, Part: 0.8},
		{Input: plan.Input{Kind: plan.InputPoint, Film: 2, Name: "trochanter-tip"}, Part: 0.15},
		{Input: plan.Input{Kind: plan.InputMarker, Film: 1}, Part: 0.04}}}
	got := Shares(c)
	if len(got) != 2 || !strings.Contains(got[0], "80") || !strings.Contains(got[0], "the depth of the marker on film 1: measure that again first") {
		t.Errorf("%q, want the depth first with what to do, and nothing under 5 %%", got)
	}
	if !strings.Contains(got[1], "tip of the greater trochanter") || strings.Contains(got[1], "again") {
		t.Errorf("%q, want the landmark by its name and no second advice", got[1])
	}
	side := plan.PartChances{Shares: []plan.Share{{Input: plan.Input{Kind: plan.InputSide, Name: "length"}, Part: 0.9}}}
	if got := Shares(side); len(got) != 1 || strings.Contains(got[0], "again") {
		t.Errorf("%q: the other femur cannot be measured away", got)
	}
}

// Every kind of doubtful input has words of its own.
func TestInputNames(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range []string{plan.InputPoint, plan.InputMarker, plan.InputDepth, plan.InputMagnification, plan.InputReading, plan.InputSide} {
		s := InputName(plan.Input{Kind: k, Name: "two-rods"})
		if s == "" || s == k || seen[s] {
			t.Errorf("%s is called %q", k, s)
		}
		seen[s] = true
	}
}
