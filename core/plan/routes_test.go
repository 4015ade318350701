package plan

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestRoutesTogether(t *testing.T) {
	r := func(kind string, best, u units.MM) Route {
		return Route{Kind: kind, Length: units.Length{Best: best, Own: u}}
	}
	best, disputed, _ := RoutesTogether([]Route{r("film", 412, 6), r("two-rods", 418, 3)})
	if disputed || best == nil {
		t.Fatal("412 ± 12 and 418 ± 6 agree")
	}
	// By hand: weights 1/36 and 1/9 → (412 + 4·418)/5 = 416.8; u = 6/√5 = 2.683.
	testkit.Near(t, "length", float64(best.Best), 416.8, 1e-9)
	testkit.Near(t, "doubt", float64(best.Doubt()), 6/math.Sqrt(5), 1e-9)

	best, disputed, problems := RoutesTogether([]Route{r("film", 400, 4), r("two-rods", 420, 3)})
	if best != nil || !disputed || !has(problems, "length-dispute") {
		t.Errorf("400 ± 8 and 420 ± 6 gave %v: by hand, 20 > 2·√(16 + 9) = 10", best)
	}
	if best, disputed, problems := RoutesTogether(nil); best != nil || disputed || problems != nil {
		t.Error("no route gave a length")
	}
	if best, _, _ := RoutesTogether([]Route{r("film", units.MM(math.NaN()), 1)}); best != nil {
		t.Error("NaN became a length")
	}
	exact, _, _ := RoutesTogether([]Route{r("film", 400, 0), r("two-rods", 400, 0)})
	if exact == nil || !exact.Finite() {
		t.Errorf("routes without doubt gave %v", exact)
	}
}

// Law: the order of the routes does not matter, and one more agreeing route
// never raises the doubt.
func TestRoutesLaws(t *testing.T) {
	routes := []Route{
		{Kind: "a", Length: units.Length{Best: 410, Own: 6}},
		{Kind: "b", Length: units.Length{Best: 414, Own: 3, Shared: 2}},
		{Kind: "c", Length: units.Length{Best: 409, Own: 9}},
	}
	one, _, _ := RoutesTogether(routes)
	back := slices.Clone(routes)
	slices.Reverse(back)
	two, _, _ := RoutesTogether(back)
	testkit.Near(t, "reversed", float64(two.Best), float64(one.Best), 1e-9)
	fewer, _, _ := RoutesTogether(routes[:2])
	if !(one.Doubt() <= fewer.Doubt()) {
		t.Errorf("a third route raised the doubt from %v to %v", fewer.Doubt(), one.Doubt())
	}
}

func TestReadRoutes(t *testing.T) {
	rods := record.Reading{Kind: record.TwoRods, At: "2026-01-01T10:00:00Z", First: mm(950), Second: mm(530), Reduced: record.Yes, OnBone: record.Yes}
	with := func(f func(*record.Reading)) record.Reading { r := rods; f(&r); return r }
	for _, tt := range []struct {
		name string
		r    record.Reading
		want units.MM
		code string
	}{
		{"950 − 530 = 420 (AO Foundation page)", rods, 420, ""},
		{"rod tip not on bone reads too long", with(func(r *record.Reading) { r.OnBone = record.No }), 0, "rod-off-bone"},
		{"not asked whether on bone", with(func(r *record.Reading) { r.OnBone = record.NotAsked }), 0, "rod-off-bone"},
		{"not reduced", with(func(r *record.Reading) { r.Reduced = record.Unsure }), 0, "reading-not-reduced"},
		{"more out than there is", with(func(r *record.Reading) { r.Second = mm(960) }), 0, "rods-crossed"},
		{"nothing read", with(func(r *record.Reading) { r.Second = nil }), 0, "reading-missing"},
		{"not a number", with(func(r *record.Reading) { r.First = mm(units.MM(math.NaN())) }), 0, "rods-crossed"},
		{"centimetres", with(func(r *record.Reading) { r.First, r.Second = mm(95), mm(53) }), 42, "length-odd"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			routes, problems := readRoutes([]record.Reading{tt.r}, DefaultPolicy())
			if tt.code != "" && !has(problems, tt.code) {
				t.Errorf("problems %v, want %s", codesOf(problems), tt.code)
			}
			if (len(routes) == 1) != (tt.want > 0) || tt.want > 0 && routes[0].Length.Best != tt.want {
				t.Errorf("routes %v, want %v", routes, tt.want)
			}
		})
	}
	later := with(func(r *record.Reading) { r.At, r.Second = "2026-01-01T11:00:00Z", mm(537) })
	routes, _ := readRoutes([]record.Reading{later, rods}, DefaultPolicy())
	if len(routes) != 1 || routes[0].Length.Best != 413 {
		t.Errorf("the later reading must count: %v", routes)
	}
	testkit.Near(t, "two readings of ± 2", float64(RodLength(950, 530, DefaultPolicy()).Doubt()), 2*math.Sqrt2, 1e-9)
}

// Source: Laumonerie 2018, mean absolute difference 3.6 mm; a normal error
// with that mean absolute value has the standard deviation 3.6·√(π/2) = 4.512.
func TestSideDoubt(t *testing.T) {
	testkit.Near(t, "side", float64(sideDoubt(DefaultPolicy())), 4.512, 1e-3)
}

func TestPolicyFrom(t *testing.T) {
	set := func(key string, v float64) record.Setting { return record.Setting{Key: key, Value: v} }
	for _, tt := range []struct {
		name string
		in   []record.Setting
		get  func(Policy) float64
		want float64
		code string
	}{
		{"in range", []record.Setting{set("burial_mm", 0)}, func(p Policy) float64 { return float64(p.Burial) }, 0, ""},
		{"unknown", []record.Setting{set("burial", 3)}, func(p Policy) float64 { return float64(p.Burial) }, 5, "policy-unknown"},
		{"out of range", []record.Setting{set("head_clearance_mm", 1)}, func(p Policy) float64 { return float64(p.HeadClearance) }, 5, "policy-range"},
		{"NaN", []record.Setting{set("head_clearance_mm", math.NaN())}, func(p Policy) float64 { return float64(p.HeadClearance) }, 5, "policy-range"},
		{"half a screw", []record.Setting{set("distal_screws", 2.5)}, func(p Policy) float64 { return p.DistalScrews }, 2, "policy-range"},
		{"twice", []record.Setting{set("burial_mm", 0), set("burial_mm", 10)}, func(p Policy) float64 { return float64(p.Burial) }, 5, "policy-twice"},
		{"crossed", []record.Setting{set("canal_red_mm", 9), set("canal_amber_mm", 8)}, func(p Policy) float64 { return float64(p.CanalRed) }, 8, "policy-contradiction"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, problems := PolicyFrom(tt.in)
			if got := tt.get(p); got != tt.want {
				t.Errorf("value %v, want %v", got, tt.want)
			}
			if tt.code == "" && len(problems) > 0 || tt.code != "" && !has(problems, tt.code) {
				t.Errorf("problems %v, want %q", codesOf(problems), tt.code)
			}
		})
	}
	if _, problems := (Policy{}).checked(); len(problems) == 0 {
		t.Error("the zero policy was taken as it is")
	}
	for _, k := range Knobs() {
		if !k.accepts(k.Default) || !(k.Lo < k.Hi) {
			t.Errorf("%s: default %v is not within %v…%v", k.Key, k.Default, k.Lo, k.Hi)
		}
		if k.Value(DefaultPolicy()) != k.Default {
			t.Errorf("%s: the default does not arrive", k.Key)
		}
	}
}
