package plan

import (
	"math"
	"slices"

	"isthmus/core/record"
	"isthmus/core/units"
)

// The ways in which the length of a bone is known, as Route.Kind.
const (
	RouteFilm      = "film"
	RouteOtherFilm = "other-film"
	RouteTwoRods   = "two-rods"
	RouteSkin      = "skin-ruler"
)

// The directions of a route's usual error, as Route.Bias.
const (
	BiasShort = "reads-short"      // a bone that is tilted towards the beam looks short
	BiasSide  = "side-difference"  // the other femur is a little longer or shorter
	BiasRods  = "long-if-off-bone" // a rod tip off the bone reads long
	BiasSkin  = "reads-long"       // the skin reads long
)

// meanAbsToSD turns a mean absolute difference into a standard deviation of
// normal errors: √(π/2). By hand.
var meanAbsToSD = math.Sqrt(math.Pi / 2)

// sideDoubt returns the standard uncertainty of taking the other femur's
// length for this one's: the mean absolute difference of the policy (3.6 mm,
// Laumonerie 2018) times √(π/2).
func sideDoubt(p Policy) units.MM { return p.SideDifference * units.MM(meanAbsToSD) }

// handKinds are the readings that give the length of a bone.
var handKinds = []record.ReadingKind{record.TwoRods, record.SkinRuler, record.OtherTrial}

// readRoutes returns the routes that were taken with the hands, the latest of
// each kind, and why a reading is not used.
func readRoutes(readings []record.Reading, p Policy) ([]Route, []Problem) {
	var routes []Route
	var problems []Problem
	for _, kind := range handKinds {
		i := latest(readings, kind)
		if i < 0 {
			continue
		}
		route, bad := handRoute(readings[i], index("readings", i), p)
		problems = append(problems, bad...)
		if route != nil {
			routes = append(routes, *route)
		}
	}
	return routes, problems
}

// latest returns the place of the last reading of a kind, −1 for none. Times
// of one form (RFC 3339, UTC) sort as text.
func latest(readings []record.Reading, kind record.ReadingKind) int {
	at := -1
	for i, r := range readings {
		if r.Kind == kind && (at < 0 || r.At >= readings[at].At) {
			at = i
		}
	}
	return at
}

func handRoute(r record.Reading, field string, p Policy) (*Route, []Problem) {
	if r.Kind == record.OtherTrial {
		return otherTrial(r, field, p)
	}
	if r.Kind == record.SkinRuler {
		if r.First == nil {
			return nil, []Problem{trouble("reading-missing", fields(field+".first_mm"), word("kind", string(r.Kind)))}
		}
		if bad := notReduced(r, field); bad != nil {
			return nil, bad
		}
		l := units.Length{Best: *r.First, Own: p.SkinReading}
		if !l.Finite() || !(l.Best > 0) {
			return nil, plausible(l, field)
		}
		return &Route{Kind: RouteSkin, Length: l, Bias: BiasSkin, Why: why("route-skin", length("length", l))}, plausible(l, field)
	}
	switch {
	case r.First == nil || r.Second == nil:
		return nil, []Problem{trouble("reading-missing", fields(field+".first_mm", field+".second_mm"), word("kind", string(r.Kind)))}
	case !(*r.Second >= 0) || !(*r.Second < *r.First) || !units.Exact(*r.First).Finite():
		return nil, []Problem{trouble("rods-crossed", fields(field+".first_mm", field+".second_mm"), shown("rod", *r.First), shown("out", *r.Second))}
	case r.OnBone != record.Yes:
		return nil, []Problem{trouble("rod-off-bone", fields(field+".on_bone"))}
	}
	if bad := notReduced(r, field); bad != nil {
		return nil, bad
	}
	l := RodLength(*r.First, *r.Second, p)
	return &Route{Kind: RouteTwoRods, Length: l, Bias: BiasRods,
		Why: why("route-rods", shown("rod", *r.First), shown("out", *r.Second), length("length", l))}, plausible(l, field)
}

// RodLength returns the length inside the bone of a rod of which a part stands
// out, with the doubt of two readings:
//
//	L = rod − out,  u = √2·reading
//
// Source: AO Foundation teaching page (two rods of equal length). A rod tip
// that is not on the bone reads too long by as much.
func RodLength(rod, out units.MM, p Policy) units.Length {
	return units.Length{Best: rod - out, Own: p.RodReading * units.MM(math.Sqrt2)}
}

func notReduced(r record.Reading, field string) []Problem {
	if r.Reduced == record.Yes {
		return nil
	}
	return []Problem{trouble("reading-not-reduced", fields(field+".reduced"), word("kind", string(r.Kind)))}
}

// plausible warns of a length that no femur has. It is still shown as a route,
// and refused where a nail is chosen.
func plausible(l units.Length, field string) []Problem {
	if l.Finite() && l.Best >= roomLo && l.Best <= roomHi {
		return nil
	}
	return []Problem{trouble("length-odd", fields(field), length("length", l), shown("low", roomLo), shown("high", roomHi))}
}

// RoutesTogether returns what all routes say together, by inverse variance,
//
//	L = Σ wᵢLᵢ,  wᵢ ~ 1/uᵢ²,  u² = Σ wᵢ²(uᵢ² − cᵢ²) + (Σ wᵢcᵢ)²
//
// when every pair agrees: |Lᵢ − Lⱼ| ≤ Sure·√(uᵢ² + uⱼ²), common parts left
// out where both have one. c is the part of the doubt that routes of one kind
// share: two films of the other femur have one side difference between them,
// not two. For the rest routes are taken as independent. When two disagree
// there is no length, for a person must settle which of them is wrong, and the
// two are named. A route that is no finite length is left out. Source: JCGM
// 100:2008, 5.2.2 and 4.3.
func RoutesTogether(routes []Route) (best *units.Length, disputed bool, problems []Problem) {
	var in []Route
	for _, r := range routes {
		if r.Length.Finite() && r.Length.Best > 0 {
			in = append(in, r)
		}
	}
	if a, b, differ := worstPair(in); differ {
		return nil, true, []Problem{trouble("length-dispute", fields("films", "readings"), word("a", a.Kind), length("length_a", a.Length),
			word("b", b.Kind), length("length_b", b.Length))}
	}
	switch len(in) {
	case 0:
		return nil, false, nil
	case 1:
		return pointer(in[0].Length), false, nil
	}
	var sum, weights float64
	for _, r := range in {
		weights += r.weight()
	}
	var own, common float64 // own: a variance; common: a standard uncertainty
	for _, r := range in {
		w := r.weight() / weights
		sum += w * float64(r.Length.Best)
		own += w * w * math.Pow(float64(r.apart()), 2)
		common += w * float64(r.Common)
	}
	return &units.Length{Best: units.MM(sum), Own: units.MM(math.Sqrt(own + common*common))}, false, nil
}

func (r Route) weight() float64 {
	return 1 / math.Pow(math.Max(float64(r.Length.Doubt()), leastDoubt), 2)
}

// apart returns the doubt of a route without its common part.
func (r Route) apart() units.MM {
	u, c := float64(r.Length.Doubt()), float64(r.Common)
	return units.MM(math.Sqrt(math.Max(0, u*u-c*c)))
}

// leastDoubt keeps a route without doubt from dividing by zero.
const leastDoubt = 1e-3

// worstPair returns the two routes that disagree most, if any do.
func worstPair(in []Route) (a, b Route, differ bool) {
	worst := 1.0
	for i, x := range in {
		for _, y := range in[i+1:] {
			gap := math.Abs(float64(x.Length.Best - y.Length.Best))
			ux, uy := x.Length.Doubt(), y.Length.Doubt()
			if x.Common > 0 && y.Common > 0 {
				ux, uy = x.apart(), y.apart()
			}
			allowed := units.Sure * math.Hypot(float64(ux), float64(uy))
			if over := gap / math.Max(allowed, leastDoubt); over > worst {
				worst, a, b, differ = over, x, y, true
			}
		}
	}
	return a, b, differ
}

// sortRoutes puts the surest route first, so that lists do not depend on the
// order of films.
func sortRoutes(routes []Route) {
	slices.SortStableFunc(routes, func(a, b Route) int {
		switch {
		case a.Length.Doubt() < b.Length.Doubt():
			return -1
		case a.Length.Doubt() > b.Length.Doubt():
			return 1
		}
		return 0
	})
}
