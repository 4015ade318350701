package plan

import (
	"cmp"
	"slices"

	"isthmus/core/record"
)

// The scales of union.
const (
	ScaleRUST  = "rust"
	ScaleMRUST = "mrust"
)

// A UnionAnswer is one score of union.
type UnionAnswer struct {
	Score    int           // 0: none
	Lo, Hi   int           // of the scale
	United   record.Answer // unsure: one step at one cortex short of it
	Why      []Reason
	Problems []Problem
}

// UnionFrom returns the sum of the scores of four cortices and whether the
// bone is united by it:
//
//	RUST  1 no callus, 2 callus with a line, 3 bridged, no line: 4 to 12
//	mRUST 1 none, 2 callus, 3 bridging, 4 remodelled: 4 to 16
//
// united from 10 and from 11 on, by the policy. Source: Schmidt 2023 for the
// scale; Litrenta 2015, from memory, for the limit. It refuses other scales,
// other than four scores, and scores outside the scale.
func UnionFrom(cortices []int, scale string, p Policy) UnionAnswer {
	most, limit := 3, int(p.UnitedRUST)
	switch scale {
	case ScaleRUST:
	case ScaleMRUST:
		most, limit = 4, int(p.UnitedMRUST)
	default:
		return UnionAnswer{Problems: []Problem{trouble("union-scale", fields("scale"))}}
	}
	a := UnionAnswer{Lo: 4, Hi: 4 * most, United: record.No}
	for _, s := range cortices {
		if s < 1 || s > most || len(cortices) != 4 {
			return UnionAnswer{Problems: []Problem{trouble("union-impossible", fields("cortices"), number("most", float64(most)))}}
		}
		a.Score += s
	}
	if len(cortices) != 4 {
		return UnionAnswer{Problems: []Problem{trouble("union-impossible", fields("cortices"), number("most", float64(most)))}}
	}
	switch {
	case a.Score >= limit:
		a.United = record.Yes
	case a.Score == limit-1:
		a.United = record.Unsure
	}
	code := map[record.Answer]string{record.Yes: "union-united", record.Unsure: "union-nearly", record.No: "union-not"}[a.United]
	a.Why = []Reason{why(code, word("scale", scale), number("score", float64(a.Score)), number("most", float64(a.Hi)), number("limit", float64(limit)))}
	return a
}

// unionOf returns the scores of the later films in the order of time, and what
// the days since the nail say of dynamising.
func unionOf(c record.Case, p Policy) (Union, []Problem) {
	var u Union
	var problems []Problem
	order := make([]int, len(c.Followed))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(c.Followed[a].At, c.Followed[b].At) })
	for _, i := range order {
		f := c.Followed[i]
		a := UnionFrom(f.Cortices, f.Scale, p)
		for _, q := range a.Problems {
			q.Fields = []string{index("followed", i) + "." + q.Fields[0]}
			problems = append(problems, q)
		}
		if a.Score > 0 {
			u.Scores = append(u.Scores, UnionScore{ID: f.ID, At: f.At, Scale: f.Scale, Score: a.Score, Lo: a.Lo, Hi: a.Hi, United: a.United})
			u.Why = append(u.Why, a.Why...)
		}
	}
	if len(u.Scores) == 0 || u.Scores[len(u.Scores)-1].United == record.Yes {
		return u, problems
	}
	w, more := window(c.Implants, u.Scores[len(u.Scores)-1].At, p)
	u.Why = append(u.Why, w...)
	return u, append(problems, more...)
}

// window asks DynamiseOn for the days from the last nail that was recorded to
// the film.
func window(ims []record.Implant, at string, p Policy) ([]Reason, []Problem) {
	nail := ""
	for _, im := range ims {
		if im.Kind == "nail" && (nail == "" || im.At > nail) {
			nail = im.At
		}
	}
	if nail == "" {
		return nil, []Problem{trouble("nail-date-missing", fields("implants"))}
	}
	days, ok := DaysBetween(nail, at)
	if !ok || at < nail {
		return nil, []Problem{trouble("follow-before-nail", fields("implants", "followed"))}
	}
	return DynamiseOn(days, p), nil
}

// DynamiseOn returns what a bone that has not united on this day after the
// nail is to be asked: whether it is too early to dynamise, in the time for it
// (policy, day 90 to 180) or past it, with what was published of its success,
// which is a range and no number. Source: Vicenti 2019; pooled series; Vaughn
// 2018. Whether the pieces carry the length, and whether there is callus, is
// not asked here and is said.
func DynamiseOn(days int, p Policy) []Reason {
	code := "dynamise-window"
	switch d := float64(days); {
	case d < p.WindowFrom:
		code = "dynamise-early"
	case d > p.WindowTo:
		code = "dynamise-late"
	}
	return []Reason{why(code, number("days", float64(days)), number("from", p.WindowFrom), number("to", p.WindowTo)), why("dynamise-range"), why("dynamise-callus")}
}

// DaysBetween returns the whole days from one time of a case file to another,
// backwards negative, by the Gregorian calendar; false for what is no time of
// RFC 3339 in UTC and whole seconds.
func DaysBetween(from, to string) (int, bool) {
	a, ok := seconds(from)
	b, also := seconds(to)
	if !ok || !also {
		return 0, false
	}
	return int((b - a) / 86400), true
}

// seconds counts from the first of March of year 0, by the Gregorian calendar.
// A year begins in March here, so that the odd day of a leap year is its last.
// Source: RFC 3339, 5.6 and appendix C; recounted day by day in a test.
func seconds(at string) (int64, bool) {
	n, ok := clock(at)
	y, m, d := n[0], n[1], n[2]
	if !ok || m < 1 || m > 12 || d < 1 || n[3] > 23 || n[4] > 59 || n[5] > 59 || y < 1 {
		return 0, false
	}
	leap := y%4 == 0 && y%100 != 0 || y%400 == 0
	if m -= 3; m < 0 {
		m, y = m+12, y-1
	}
	before := (153*m + 2) / 5 // days of the months since March
	last := (153*m+155)/5 - before
	switch {
	case m == 11 && leap:
		last = 29
	case m == 11:
		last = 28
	}
	if d > last {
		return 0, false
	}
	days := 365*y + y/4 - y/100 + y/400 + before + d - 1
	return ((days*24+n[3])*60+n[4])*60 + n[5], true
}

// clock reads year, month, day, hour, minute and second of a time of a case.
func clock(at string) (n [6]int64, ok bool) {
	if len(at) != 20 || at[4] != '-' || at[7] != '-' || at[10] != 'T' || at[13] != ':' || at[16] != ':' || at[19] != 'Z' {
		return n, false
	}
	for i, from := range [6]int{0, 5, 8, 11, 14, 17} {
		to := from + 2
		if i == 0 {
			to = 4
		}
		for _, c := range []byte(at[from:to]) {
			if c < '0' || c > '9' {
				return n, false
			}
			n[i] = 10*n[i] + int64(c-'0')
		}
	}
	return n, true
}
