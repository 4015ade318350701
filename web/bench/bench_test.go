package main

import (
	"strings"
	"testing"
)

func TestVerdict(t *testing.T) {
	nan := 0.0
	nan /= nan
	for _, tt := range []struct {
		name       string
		b          budget
		got, floor float64
		want       string
	}{
		{"below so many times the floor", budget{times: 1.3}, 129, 100, "within 130 (1.30 × the floor)"},
		{"on it", budget{times: 1.5}, 150, 100, "within 150"},
		{"over it", budget{times: 1.3}, 131, 100, "OVER the budget of 130"},
		{"fixed limit", budget{limit: 1000}, 1001, 1, "OVER the budget of 1000"},
		{"not a number is over", budget{limit: 1000}, nan, 1, "OVER"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.b.verdict(tt.got, tt.floor); !strings.Contains(got, tt.want) {
				t.Errorf("verdict(%v, %v) = %q, want %q", tt.got, tt.floor, got, tt.want)
			}
		})
	}
}

func TestSpread(t *testing.T) {
	ready := func(v visit) float64 { return v.ready }
	for _, tt := range []struct {
		name string
		in   []visit
		want range3
	}{
		{"one", []visit{{0, 5}}, range3{5, 5, 5}},
		{"odd", []visit{{0, 9}, {0, 1}, {0, 4}}, range3{1, 4, 9}},
		{"even: the middle of the two in the middle", []visit{{0, 9}, {0, 1}, {0, 4}, {0, 6}}, range3{1, 5, 9}},
	} {
		if got := spread(tt.in, ready); got != tt.want {
			t.Errorf("%s: spread = %v, want %v", tt.name, got, tt.want)
		}
	}
}
