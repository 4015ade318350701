package plan

import (
	"testing"

	"isthmus/core/record"
	"isthmus/core/units"
)

// Every part that a plan of testdata/cases chooses has a why with a source, a
// doubt, and something that says what would change it: a runner-up, a
// neighbour with its chance, the next size up, an open question.
func TestWhatWouldChangeIt(t *testing.T) {
	for _, name := range caseNames(t) {
		pl := For(loadCase(t, name), caseShelf(t, name))
		checkPlan(t, pl)
		miss := func(bad bool, what string) {
			if bad {
				t.Errorf("%s: %s", name, what)
			}
		}
		sourced := func(what string, why []Reason) {
			miss(len(why) == 0, what+" has no why")
			for _, r := range why {
				miss(len(r.Sources) == 0, what+": "+r.Code+" has no source")
			}
		}
		if pl.Locking.Pattern != NoPattern {
			sourced("locking", pl.Locking.Why)
			miss(pl.Locking.RunnerUp == NoPattern, "locking has no runner-up")
			miss(len(pl.Locking.Change)+len(pl.Locking.Against) == 0 && pl.Locking.Distal < 3 && pl.Class.Code == nil && pl.Class.Stable == record.Yes, "nothing would change the locking")
		}
		changeNail(pl, sourced, miss)
		for place, s := range map[string]ScrewChoice{"lower": pl.Head.Lower, "upper": pl.Head.Upper} {
			if s.Ask == 0 {
				continue
			}
			sourced(place+" head screw", s.Why)
			miss(s.Room == nil || !(s.Room.Doubt() > 0) || s.ToJoint == nil, place+" head screw has no doubt")
			miss(s.Shorter == 0 && s.Longer == 0, place+" head screw has no neighbour")
		}
		if pl.Seat.Cap != nil {
			sourced("end cap", pl.Seat.Why)
			miss(pl.Seat.CapLeft == nil, "the end cap says nothing of what is left")
		}
		if len(pl.Distal.Holes) > 0 && pl.Locking.Distal > 0 {
			sourced("distal locking", pl.Distal.Why)
			miss(pl.Distal.Dynamic == "" || pl.Distal.Later == "", "distal locking does not say what can be changed later")
		}
		for _, r := range pl.Bone.Routes {
			sourced("route "+r.Kind, []Reason{r.Why})
			miss(r.Bias == "" || !(r.Length.Doubt() > 0), "route "+r.Kind+" has no usual error or no doubt")
		}
	}
}

func changeNail(pl Plan, sourced func(string, []Reason), miss func(bool, string)) {
	n := pl.Nail
	if n.Length > 0 {
		sourced("nail length", n.WhyLength)
		miss(n.Room == nil || !(n.Room.Doubt() > 0), "nail length has no doubt")
		miss(len(n.Sizes) == 0, "nail length has no list of sizes")
		miss(len(n.Sizes) == 1 && len(n.Lost) == 0 && len(pl.Problems) == 0, "nail length: one size, and nothing said of it")
	}
	if n.Diameter > 0 {
		sourced("nail diameter", n.WhyDia)
		miss(n.Ratio == nil || !(n.Ratio.U > 0), "nail diameter has no doubt")
		miss(n.DiaUp == 0 && len(n.Lost) == 0 && len(pl.Problems) == 0, "nail diameter has no runner-up, and nothing is said of it")
	}
	if len(pl.Reaming.Heads) > 0 {
		sourced("reaming", pl.Reaming.Why)
	}
}

// A nail for which the canal would have to be reamed by more than twice what
// the policy allows is a stop in any canal. By hand: 13 + 1 − 10 = 4 > 2·1.5;
// 11 + 1 − 9.5 = 2.5, no more than a caution. Common practice.
func TestFarTooThickIsAStop(t *testing.T) {
	for _, tt := range []struct {
		canal, nail units.MM
		want        Level
	}{{10, 13, Stop}, {9.5, 11, Caution}, {6, 9, Stop}} {
		if got := tooThick(units.Exact(tt.canal), tt.nail, DefaultPolicy()).Level; got != tt.want {
			t.Errorf("%v in %v: %v, want %v", tt.nail, tt.canal, got, tt.want)
		}
	}
}

// A wire that reads 20 mm longer than both films puts the screw through the
// joint: a stop, not a caution.
func TestScrewThroughTheJointIsAStop(t *testing.T) {
	pl := For(loadCase(t, "wire-differs"), caseShelf(t, "wire-differs"))
	for _, q := range pl.Problems {
		if q.Code == "space-deep" {
			if q.Level != Stop {
				t.Errorf("%+v", q)
			}
			return
		}
	}
	t.Error("nothing is said of the depth")
}
