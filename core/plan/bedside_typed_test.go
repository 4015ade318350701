package plan

import (
	"math"
	"testing"

	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// facts §3n: 20 high over 400 is a radius of 1010. The doubt is that of the
// height, by differences: 19.5 gives 1035.4, 20.5 gives 985.9.
func TestTypedBow(t *testing.T) {
	r, bad := TypedBow(400, 20)
	if bad != nil {
		t.Fatal(bad)
	}
	testkit.Near(t, "facts §3n", float64(r.Best), 1010, 1e-9)
	testkit.Near(t, "by hand: (1035.4 − 985.9)/2", float64(r.Own), 24.75, 0.1)
	nan := units.MM(math.NaN())
	for _, tt := range [][2]units.MM{{400, 0.9}, {400, 0}, {400, -5}, {400, 201}, {400, nan}, {nan, 20}, {10, 3}, {700, 30}} {
		if r, bad := TypedBow(tt[0], tt[1]); bad == nil {
			t.Errorf("%v gave %v", tt, r)
		}
	}
}

// facts §11.3: 1.0416667 behind, 1.4084507 in front, 45 % of the way: 1.179941.
func TestTwoMarkersFrom(t *testing.T) {
	behind, front := TypedBall{mm(24), mm(25)}, TypedBall{mm(71), mm(100)}
	at := func(v float64) *float64 { return &v }
	a := TwoMarkersFrom(behind, front, at(45), mm(460))
	if a.Factor == nil || a.Length == nil {
		t.Fatal(a.Problems, a.Err)
	}
	testkit.Near(t, "facts §11.3", a.Factor.Best, 1.179941, 1e-5)
	testkit.Near(t, "by hand: 460/1.179941", float64(a.Length.Best), 389.85, 0.01)
	if !(a.Factor.U > 0.014) { // 0.05 of the way alone is 1.5 % (facts §1)
		t.Errorf("doubt %v, want that of the place in it", a.Factor.U)
	}
	for name, got := range map[string]ScaleAnswer{
		"no place":      TwoMarkersFrom(behind, front, nil, nil),
		"half a ball":   TwoMarkersFrom(TypedBall{True: mm(24)}, front, at(45), nil),
		"swapped":       TwoMarkersFrom(front, behind, at(45), nil),
		"place outside": TwoMarkersFrom(behind, front, at(101), nil),
		"no number":     TwoMarkersFrom(behind, front, at(math.NaN()), nil),
		"NaN":           TwoMarkersFrom(TypedBall{mm(24), mm(units.MM(math.NaN()))}, front, at(45), nil),
	} {
		if got.Factor != nil || got.Err == nil && len(got.Problems) == 0 {
			t.Errorf("%s: %v, want a refusal with its reason", name, got.Factor)
		}
	}
}

// Source: the policy, 1600 mm (one series of 150).
func TestFrontCortex(t *testing.T) {
	p := DefaultPolicy()
	for _, tt := range []struct {
		entry   record.Entry
		stature *units.MM
		want    []string
	}{
		{"", nil, nil}, {record.EntryFront, mm(1600), nil}, {record.EntryMiddle, mm(1599), []string{"stature-short"}},
		{record.EntryBack, mm(1700), []string{"entry-back"}}, {record.EntryBack, mm(1500), []string{"entry-back", "stature-short"}},
		{"", mm(units.MM(math.NaN())), nil}, {"", mm(0), nil},
	} {
		got := FrontCortex(tt.entry, tt.stature, p)
		if len(got) != len(tt.want) {
			t.Errorf("%+v: %v", tt, codesOf(got))
			continue
		}
		for _, w := range tt.want {
			if !has(got, w) {
				t.Errorf("%+v: %v", tt, codesOf(got))
			}
		}
	}
}
