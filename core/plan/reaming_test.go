package plan

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/units"
)

func TestReamingFor(t *testing.T) {
	for _, tt := range []struct {
		name   string
		nail   units.MM
		canal  *units.Length
		want   []units.MM
		source string
	}{
		{"nail 9", 9, nil, []units.MM{8.5, 9, 9.5, 10}, "common practice"},
		{"nail 9 in a canal of 10", 9, &units.Length{Best: 10, Own: 0.3}, []units.MM{8.5, 9, 9.5, 10}, "common practice"},
		{"nail 10 from 8.5", 10, nil, []units.MM{8.5, 9, 9.5, 10, 10.5, 11}, "AO Foundation page: 0.5 mm steps, 10 mm nail → 11 mm"},
		{"the canal takes no 8.5", 9, &units.Length{Best: 8.2}, []units.MM{8, 8.5, 9, 9.5, 10}, "by hand: 8.5 − 0.5 is the first under 8.2"},
		{"the canal is exactly a head", 9, &units.Length{Best: 8}, []units.MM{8, 8.5, 9, 9.5, 10}, "by hand"},
		{"first head above the last", 7, nil, []units.MM{8}, "by hand: 7 + 1 is under 8.5"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, _ := ReamingFor(tt.nail, tt.canal, implant.Teaching(), DefaultPolicy())
			if !slices.Equal(got.Heads, tt.want) {
				t.Errorf("ReamingFor(%v) = %v, want %v (%s)", tt.nail, got.Heads, tt.want, tt.source)
			}
			if got.Final != tt.want[len(tt.want)-1] {
				t.Errorf("final %v is not the last head", got.Final)
			}
		})
	}
}

func TestReamingSaysWhatTheShelfLacks(t *testing.T) {
	shelf := implant.Teaching()
	shelf.Reamers = slices.DeleteFunc(shelf.Reamers, func(h implant.Head) bool { return h.Diameter == 9.5 })
	got, problems := ReamingFor(9, nil, shelf, DefaultPolicy())
	if !slices.Equal(got.Missing, []units.MM{9.5}) || !has(problems, "reamer-missing") {
		t.Errorf("missing %v, problems %v, want 9.5 and reamer-missing", got.Missing, codesOf(problems))
	}
	for _, bad := range []units.MM{0, -9, 4.9, 21, units.MM(math.NaN()), units.MM(math.Inf(1))} {
		if got, _ := ReamingFor(bad, nil, shelf, DefaultPolicy()); got.Heads != nil {
			t.Errorf("ReamingFor(%v) = %v, want nothing", bad, got.Heads)
		}
	}
}

// By hand, with heads 8.5 to 11.0 in steps of 0.5 for a nail of 10: the first
// above the canal, and the first more than 1.5 above it.
func TestReamingStops(t *testing.T) {
	for _, tt := range []struct {
		canal          units.MM
		chatter, tight units.MM
	}{{10.3, 10.5, 0}, {9, 9.5, 11}, {9.5, 10, 0}, {8.4, 8.5, 10}, {12, 0, 0}} {
		r, _ := ReamingFor(10, &units.Length{Best: tt.canal, Own: 0.2}, implant.Teaching(), DefaultPolicy())
		if r.Chatter != tt.chatter || r.Tight != tt.tight {
			t.Errorf("canal %v: chatter at %v, tight at %v, want %v and %v", tt.canal, r.Chatter, r.Tight, tt.chatter, tt.tight)
		}
	}
	if r, _ := ReamingFor(10, nil, implant.Teaching(), DefaultPolicy()); r.Chatter != 0 || r.Tight != 0 {
		t.Error("stops in a canal that nobody measured")
	}
}
