package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// More ways in which the length of a bone is known, as Route.Kind.
const (
	RouteTwoFilms   = "two-films"   // two films of one bone with a mark on both
	RoutePieces     = "pieces"      // the two pieces of a bone that is not reduced
	RouteOtherTrial = "other-trial" // a rod or ruler on the other leg
)

// BiasPieces is the usual error of pieces: what is missing between them.
const BiasPieces = "short-if-bone-lost"

const (
	// rulerShift is the standard uncertainty of a ruler seen on two films that
	// were centred at two places: it does not lie at the depth of the bone.
	// Common practice.
	rulerShift units.MM = 5
	// fitDoubt is the standard uncertainty of where two broken ends will meet.
	// Common practice.
	fitDoubt units.MM = 3
)

// A pair is two films that show the two ends of one bone and a mark on both.
type pair struct {
	upper, lower shot
	apart        units.MM // on the ruler between the two marks; 0 for one and the same mark
}

// pairs returns the films that together show a whole bone, and what is missing
// on those that nearly do. A film that shows both ends by itself is not used.
func pairs(films []shot) (out []pair, problems []Problem) {
	for _, a := range films {
		if a.count(anatomy.TrochanterTip, anatomy.Join) < 2 || a.count(anatomy.DistalTarget) > 0 {
			continue
		}
		for _, b := range films {
			if b.i == a.i || b.film.Bone != a.film.Bone || b.View != a.View ||
				b.count(anatomy.DistalTarget, anatomy.Join) < 2 || b.count(anatomy.TrochanterTip) > 0 {
				continue
			}
			p, bad := pairOf(a, b)
			problems = append(problems, bad...)
			if bad == nil {
				out = append(out, p)
			}
		}
	}
	return out, problems
}

func pairOf(a, b shot) (pair, []Problem) {
	fa, fb := index("films", a.i), index("films", b.i)
	facts := []Fact{number("a", float64(a.i+1)), number("b", float64(b.i+1))}
	if a.film.Bone == anatomy.Injured && (a.film.Reduced != record.Yes || b.film.Reduced != record.Yes) {
		return pair{}, []Problem{trouble("pair-not-reduced", fields(fa+".reduced", fb+".reduced"), facts...)}
	}
	p := pair{upper: a, lower: b}
	ja, jb := a.film.JoinMM, b.film.JoinMM
	switch {
	case ja == nil && jb == nil:
		return p, nil
	case ja == nil || jb == nil:
		return pair{}, []Problem{trouble("pair-ruler-half", fields(fa+".join_mm", fb+".join_mm"), facts...)}
	}
	p.apart = units.MM(math.Abs(float64(*ja - *jb)))
	for _, s := range []shot{a, b} {
		if s.count(anatomy.ShaftUpper, anatomy.ShaftLower) < 2 { // a ruler lies beside the bone
			return pair{}, []Problem{trouble("pair-no-shaft", fields(index("films", s.i)+".points"), number("film", float64(s.i+1)))}
		}
	}
	return p, nil
}

// length returns the length of the bone from a pair, each part with the scale
// of its own film.
func (p pair) length() (units.Length, shot, error) {
	up, err := measure.ToJoin(p.upper.Film, anatomy.TrochanterTip)
	if err != nil {
		return units.Length{}, p.upper, err
	}
	low, err := measure.ToJoin(p.lower.Film, anatomy.DistalTarget)
	if err != nil {
		return units.Length{}, p.lower, err
	}
	l := up.Apart().Plus(low.Apart())
	l.Best += p.apart
	if p.apart > 0 {
		l.Own = units.MM(math.Hypot(float64(l.Own), float64(rulerShift)))
	}
	return l, p.upper, nil
}

// joinedRoutes returns the length of the bone from pairs of films and from the
// pieces of a bone that is not reduced.
func joinedRoutes(films []shot, p Policy) (routes []Route, problems []Problem) {
	ps, problems := pairs(films)
	for _, q := range ps {
		l, at, err := q.length()
		if err == nil {
			l, err = tilted(l, p)
		}
		if err != nil {
			problems = append(problems, refused(at, err))
			continue
		}
		r := Route{Kind: RouteTwoFilms, Length: l, Bias: BiasShort, Why: why("route-two-films", length("length", l),
			number("a", float64(q.upper.i+1)), number("b", float64(q.lower.i+1)))}
		routes = append(routes, otherSide(r, q.upper.film.Bone, p))
		problems = append(problems, plausible(l, index("films", q.upper.i)+".points")...)
	}
	for _, s := range films {
		if s.film.Bone != anatomy.Injured || s.film.Reduced == record.Yes || s.count(measure.PiecesProbe().Names()...) < 4 {
			continue
		}
		l, err := measure.Pieces(s.Film)
		if err == nil {
			l, err = tilted(l, p)
		}
		if err != nil {
			problems = append(problems, refused(s, err))
			continue
		}
		l.Own = units.MM(math.Hypot(float64(l.Own), float64(fitDoubt)))
		routes = append(routes, Route{Kind: RoutePieces, Length: l, Bias: BiasPieces,
			Why: why("route-pieces", length("length", l), number("film", float64(s.i+1)))})
		problems = append(problems, plausible(l, index("films", s.i)+".points")...)
	}
	return routes, problems
}

// tilted adds to a length from a film that the bone may have lain tilted to it,
// by a standard uncertainty of the policy. That makes it look short, never
// long, so it is said beside it as the direction of its error; the length
// itself is left as it was seen.
func tilted(l units.Length, p Policy) (units.Length, error) {
	return calibrate.Foreshortening(l, units.Angle{Own: units.Deg(p.FilmTilt)})
}

// tiltDoubt is what tilted adds, in quadrature.
func tiltDoubt(l units.MM, p Policy) units.MM {
	t, err := tilted(units.Exact(l), p)
	if err != nil {
		return 0
	}
	return t.Own
}

// otherSide adds the difference between sides to a route of the other femur.
func otherSide(r Route, bone anatomy.Bone, p Policy) Route {
	if bone == anatomy.Sound {
		r.Length.Own = units.MM(math.Hypot(float64(r.Length.Own), float64(sideDoubt(p))))
		r.Common, r.Bias = sideDoubt(p), BiasSide
	}
	return r
}

// otherTrial returns the length that was tried on the other leg.
func otherTrial(r record.Reading, field string, p Policy) (*Route, []Problem) {
	switch {
	case r.First == nil:
		return nil, []Problem{trouble("reading-missing", fields(field+".first_mm"), word("kind", string(r.Kind)))}
	case r.OnBone != record.Yes:
		return nil, []Problem{trouble("rod-off-bone", fields(field+".on_bone"))}
	}
	l := units.Length{Best: *r.First, Own: p.RodReading * units.MM(math.Sqrt2)}
	if !l.Finite() || !(l.Best > 0) {
		return nil, plausible(l, field)
	}
	route := otherSide(Route{Kind: RouteOtherTrial, Length: l}, anatomy.Sound, p)
	route.Why = why("route-other-trial", length("length", route.Length), shown("difference", p.SideDifference))
	return &route, plausible(l, field)
}
