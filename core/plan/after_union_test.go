package plan

import (
	"fmt"
	"slices"
	"testing"

	"isthmus/core/record"
)

func TestUnionFrom(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		scale    string
		cortices []int
		score    int
		united   record.Answer
		source   string
	}{
		{ScaleRUST, []int{1, 1, 1, 1}, 4, record.No, "facts §8: all 1 → 4"},
		{ScaleRUST, []int{3, 3, 3, 3}, 12, record.Yes, "facts §8: all 3 → 12"},
		{ScaleMRUST, []int{1, 1, 1, 1}, 4, record.No, "facts §8: all 1 → 4"},
		{ScaleMRUST, []int{4, 4, 4, 4}, 16, record.Yes, "facts §8: all 4 → 16"},
		{ScaleRUST, []int{3, 3, 2, 2}, 10, record.Yes, "Litrenta 2015, from memory: 10"},
		{ScaleRUST, []int{3, 2, 2, 2}, 9, record.Unsure, "one step short"},
		{ScaleRUST, []int{2, 2, 2, 2}, 8, record.No, "two steps short"},
		{ScaleMRUST, []int{3, 3, 3, 2}, 11, record.Yes, "Litrenta 2015, from memory: 11"},
		{ScaleMRUST, []int{3, 3, 2, 2}, 10, record.Unsure, "one step short"},
	} {
		a := UnionFrom(tt.cortices, tt.scale, p)
		if a.Score != tt.score || a.United != tt.united || len(a.Why) != 1 || len(a.Problems) > 0 {
			t.Errorf("%s %v: %+v, want %d, %s (%s)", tt.scale, tt.cortices, a, tt.score, tt.united, tt.source)
		}
	}
	for _, tt := range []struct {
		code, scale string
		cortices    []int
	}{
		{"union-impossible", ScaleRUST, []int{4, 3, 3, 3}}, {"union-impossible", ScaleRUST, []int{0, 3, 3, 3}}, {"union-impossible", ScaleMRUST, []int{5, 1, 1, 1}},
		{"union-impossible", ScaleRUST, []int{3, 3, 3}}, {"union-impossible", ScaleRUST, nil}, {"union-impossible", ScaleRUST, []int{1, 1, 1, 1, 1}},
		{"union-scale", "", []int{1, 1, 1, 1}}, {"union-scale", "other", []int{1, 1, 1, 1}},
	} {
		if a := UnionFrom(tt.cortices, tt.scale, p); a.Score != 0 || a.United != record.NotAsked || !has(a.Problems, tt.code) {
			t.Errorf("%q %v: %+v, want %s", tt.scale, tt.cortices, a, tt.code)
		}
	}
}

// Laws: the order of the cortices does not matter, and a better cortex never
// makes a worse answer.
func TestUnionLaws(t *testing.T) {
	p, rank := DefaultPolicy(), map[record.Answer]int{record.No: 0, record.Unsure: 1, record.Yes: 2}
	for n := range 81 {
		c := []int{n%3 + 1, n/3%3 + 1, n/9%3 + 1, n/27 + 1}
		a, turned := UnionFrom(c, ScaleRUST, p), UnionFrom([]int{c[3], c[1], c[0], c[2]}, ScaleRUST, p)
		if a.Score != turned.Score || a.United != turned.United {
			t.Errorf("%v: %v, turned %v", c, a, turned)
		}
		if c[0] < 3 {
			better := slices.Clone(c)
			better[0]++
			if b := UnionFrom(better, ScaleRUST, p); b.Score != a.Score+1 || rank[b.United] < rank[a.United] {
				t.Errorf("%v: %v, better %v", c, a, b)
			}
		}
	}
}

func TestUnionOverTime(t *testing.T) {
	p := DefaultPolicy()
	nail := record.Implant{Kind: "nail", At: "2026-01-10T12:00:00Z"}
	film := func(id, at string, each int) record.Followed {
		return record.Followed{ID: id, At: at, Scale: ScaleRUST, Cortices: []int{each, each, each, each}}
	}
	for _, tt := range []struct {
		name, want string
		c          record.Case
		source     string
	}{
		{"day 89", "dynamise-early", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "2026-04-09T12:00:00Z", 2)}}, "by hand: 21 + 28 + 31 + 9"},
		{"day 90", "dynamise-window", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "2026-04-10T12:00:00Z", 2)}}, "facts §5: day 90 to 180"},
		{"day 180", "dynamise-window", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "2026-07-09T13:00:00Z", 2)}}, "by hand: 80 + 30 + 31 + 30 + 9"},
		{"day 181", "dynamise-late", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "2026-07-10T12:00:00Z", 2)}}, "facts §5"},
	} {
		u, problems := unionOf(tt.c, p)
		if len(problems) > 0 || !hasReason(u.Why, tt.want) || !hasReason(u.Why, "dynamise-range") {
			t.Errorf("%s: %v %v, want %s (%s)", tt.name, u.Why, codesOf(problems), tt.want, tt.source)
		}
	}
	late := record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("b", "2026-06-01T12:00:00Z", 3), film("a", "2026-03-01T12:00:00Z", 1)}}
	u, problems := unionOf(late, p)
	if len(problems) > 0 || len(u.Scores) != 2 || u.Scores[0].ID != "a" || u.Scores[1].United != record.Yes || hasReason(u.Why, "dynamise-range") {
		t.Errorf("%+v %v, want both in order of time and no word of dynamising", u, codesOf(problems))
	}
	for _, tt := range []struct {
		want string
		c    record.Case
	}{
		{"nail-date-missing", record.Case{Followed: []record.Followed{film("a", "2026-03-01T12:00:00Z", 1)}}},
		{"follow-before-nail", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "2026-01-10T00:00:00Z", 1)}}},
		{"follow-before-nail", record.Case{Implants: []record.Implant{nail}, Followed: []record.Followed{film("a", "some day", 1)}}},
		{"union-impossible", record.Case{Followed: []record.Followed{{ID: "a", Scale: ScaleRUST, Cortices: []int{1}}}}},
	} {
		u, problems := unionOf(tt.c, p)
		if !has(problems, tt.want) || hasReason(u.Why, "dynamise-range") {
			t.Errorf("%v, want %s", codesOf(problems), tt.want)
		}
	}
}

func hasReason(rs []Reason, code string) bool {
	return slices.ContainsFunc(rs, func(r Reason) bool { return r.Code == code })
}

// The days are counted again one by one, over four hundred years.
func TestDaysBetween(t *testing.T) {
	months := [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	const start = "1901-01-01T06:00:00Z"
	n := 0
	for y := 1901; y <= 2301; y++ {
		for m := range 12 {
			last := months[m]
			if m == 1 && (y%4 == 0 && y%100 != 0 || y%400 == 0) {
				last = 29
			}
			for d := 1; d <= 31; d++ {
				got, ok := DaysBetween(start, fmt.Sprintf("%04d-%02d-%02dT06:00:00Z", y, m+1, d))
				if ok != (d <= last) || ok && got != n {
					t.Fatalf("%d-%d-%d: %d, %v, want %d, %v (RFC 3339, appendix C)", y, m+1, d, got, ok, n, d <= last)
				}
				if ok {
					n++
				}
			}
		}
	}
	if back, ok := DaysBetween("2026-11-25T07:30:00Z", "2026-11-20T07:30:00Z"); !ok || back != -5 {
		t.Errorf("backwards: %d, %v", back, ok)
	}
	for _, bad := range []string{"", "2026-11-25", "2026-11-25T07:30:00+01:00", "2026-13-01T00:00:00Z", "2026-00-01T00:00:00Z", "2026-01-00T00:00:00Z", "2026-01-01T24:00:00Z",
		"2026-01-01T00:60:00Z", "2026-01-01T00:00:60Z", "0000-01-01T00:00:00Z", "2026-0a-01T00:00:00Z", "2026/01/01T00:00:00Z"} {
		if d, ok := DaysBetween(bad, start); ok {
			t.Errorf("%q gave %d days", bad, d)
		}
	}
}
