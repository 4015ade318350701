package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/neck"
	"isthmus/core/record"
	"isthmus/core/units"
)

const (
	// neckStretch is half of the length of neck, about its narrowest place, on which
	// the screws must keep clear of its walls. Common practice.
	neckStretch units.MM = 5
	// sideShaft and sideVersion are the standard uncertainties of taking the
	// angles of the other femur for this one's: mean differences of 2.9° and 5.1°
	// times √(π/2). Source: Laumonerie 2018.
	sideShaft, sideVersion = 2.9 * 1.2533, 5.1 * 1.2533
)

// A hipModel is the upper end of one femur from two films, and the nail that is to
// lie in it.
type hipModel struct {
	ap, lat shot
	bone    neck.Bone
	nail    neck.Nail
	keep    neck.Keep
	pose    neck.Pose // as solved
	fromTip bool      // depths count from the tip of the trochanter
}

// spaceOf places both head screws in three dimensions. It needs a film from
// the front and one from the side of the same femur, each with the rim of the
// head, both edges of the neck and the shaft; where something is missing it
// says what. The model is nil where it was not solved.
func spaceOf(a aim, n NailChoice, films []shot, p Policy) (Space, *hipModel, []Problem) {
	ap, lat, needs := hipFilms(films)
	if needs != nil {
		return Space{Needs: needs}, nil, needSide(needs, films)
	}
	h, err := hipOf(ap, lat, a, n, p)
	if err != nil {
		return Space{}, nil, []Problem{trouble("space-refused", fields(index("films", ap.i), index("films", lat.i)), word("error", sentence(err.Error())))}
	}
	sol, err := neck.Solve(h.bone, h.nail, h.keep, neck.AlongLower)
	if err != nil {
		return Space{}, nil, []Problem{trouble("space-refused", fields(index("films", ap.i), index("films", lat.i)), word("error", sentence(err.Error())))}
	}
	h.pose = sol.Pose
	s, problems := h.space(sol, p)
	return s, &h, problems
}

// needSide says what is missing where the film from the front has everything
// and only the one from the side does not.
func needSide(needs []string, films []shot) []Problem {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		if _, lacks := fullest(films, bone, anatomy.AP, frontPoints); len(lacks) == 0 {
			return []Problem{trouble("space-missing", fields("films"), word("landmark", needs[0]))}
		}
	}
	return nil
}

var (
	frontPoints = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3, anatomy.NeckUpper, anatomy.NeckLower, anatomy.ShaftUpper, anatomy.ShaftLower}
	sidePoints  = []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3, anatomy.NeckFront, anatomy.NeckBack, anatomy.ShaftUpper, anatomy.ShaftLower}
)

// hipFilms returns a film from the front and one from the side of one femur,
// the injured one first, or the landmarks that are missing on the best pair.
func hipFilms(films []shot) (ap, lat shot, needs []string) {
	best := frontPoints
	best = append(append([]anatomy.Landmark(nil), best...), sidePoints...)
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		a, lacksA := fullest(films, bone, anatomy.AP, frontPoints)
		l, lacksL := fullest(films, bone, anatomy.Lateral, sidePoints)
		lacks := append(lacksA, lacksL...)
		if len(lacks) == 0 {
			return a, l, nil
		}
		if len(lacks) < len(best) {
			best = lacks
		}
	}
	for _, l := range best {
		needs = append(needs, string(l))
	}
	return ap, lat, needs
}

// fullest returns the film of a bone and view on which most of the landmarks
// were placed, and those that were not.
func fullest(films []shot, bone anatomy.Bone, v anatomy.View, names []anatomy.Landmark) (best shot, lacks []anatomy.Landmark) {
	lacks = append([]anatomy.Landmark(nil), names...)
	for _, s := range films {
		if s.film.Bone != bone || s.View != v {
			continue
		}
		var open []anatomy.Landmark
		for _, n := range names {
			if s.count(n) == 0 {
				open = append(open, n)
			}
		}
		if len(open) < len(lacks) {
			best, lacks = s, open
		}
	}
	return best, lacks
}

// hipOf measures both films. The nail is taken to lie along the axis of the
// shaft; depths count from the tip of the trochanter where it was placed.
func hipOf(ap, lat shot, a aim, n NailChoice, p Policy) (hipModel, error) {
	front, err := measure.NeckFromFront(ap.Film)
	if err != nil {
		return hipModel{}, err
	}
	side, err := measure.NeckFromSide(lat.Film)
	if err != nil {
		return hipModel{}, err
	}
	version, shaft, err := measure.Version(front.Angle, side.Gamma)
	if err != nil {
		return hipModel{}, err
	}
	behind, height, width, err := trueNeck(front, side, version, shaft)
	if err != nil {
		return hipModel{}, err
	}
	up := front.Up
	if front.Tip != nil {
		up = up.Minus(*front.Tip)
	}
	h := hipModel{ap: ap, lat: lat, fromTip: front.Tip != nil, bone: neck.Bone{
		Head: neck.Point{Medial: front.Medial, Up: up, Front: side.Front}, Radius: front.Radius,
		NeckShaft: shaft, Version: version, Height: height, Width: width,
		From: max(behind-neckStretch, 0), To: behind + neckStretch}}
	if front.Lateral != nil {
		l := front.Lateral.Times(1 / math.Sin(float64(a.angle)*math.Pi/180))
		h.bone.LateralLower, h.bone.LateralUpper = l, l
	}
	if ap.film.Bone == anatomy.Sound {
		h.other()
	}
	h.nail = neck.Nail{Angle: a.angle, Spacing: a.spacing, LowerDia: a.dia, UpperDia: a.dia}
	if n.Part != nil {
		h.nail.HeadDepth = n.Part.HeadDepth
	}
	h.keep = neck.Keep{Lower: p.NeckLower, Upper: p.NeckUpper, Side: p.NeckSide, Tip: p.HeadClearance}
	return h, nil
}

// trueNeck returns the neck as the oval tube that both films show. A tube with
// half axes a (upwards) and b (forwards) is seen as wide as
//
//	h² = a²·(v·m)² + b²·(w·m)²
//
// on a film on which m lies square to the neck as seen there, v and w across
// the neck upwards and forwards; two films give a and b. The way along the
// neck is seen shorter by √(1 − n_front²) from the front. Source: geometry,
// parallel beams. It refuses a neck that both films see from the same side.
func trueNeck(f measure.FrontNeck, s measure.SideNeck, version, shaft units.Angle) (behind units.MM, height, width units.Length, err error) {
	sp, cp := math.Sincos(float64(180-shaft.Best) * math.Pi / 180)
	sa, ca := math.Sincos(float64(version.Best) * math.Pi / 180)
	n, v, w := [3]float64{sp * ca, cp, sp * sa}, [3]float64{-cp * ca, sp, -cp * sa}, [3]float64{-sa, 0, ca}
	front, side := math.Hypot(n[0], n[1]), math.Hypot(n[1], n[2])
	v1, w1 := (n[1]*v[0]-n[0]*v[1])/front, (n[1]*w[0]-n[0]*w[1])/front
	v2, w2 := (n[2]*v[1]-n[1]*v[2])/side, (n[2]*w[1]-n[1]*w[2])/side
	det := v1*v1*w2*w2 - w1*w1*v2*v2
	h, b := float64(f.Height.Best), float64(s.Width.Best)
	hh := (h*h*w2*w2 - b*b*w1*w1) / det
	bb := (b*b*v1*v1 - h*h*v2*v2) / det
	if !(det > 0.1) || !(hh > 0 && bb > 0) {
		return 0, height, width, &ObliqueNeckError{Version: version, Shaft: shaft}
	}
	height, width = f.Height.Times(math.Sqrt(hh)/h), s.Width.Times(math.Sqrt(bb)/b)
	return f.Behind.Best / units.MM(front), height, width, nil
}

// An ObliqueNeckError reports a neck of which two films do not show height and
// width apart.
type ObliqueNeckError struct{ Version, Shaft units.Angle }

// Code names the fault for app/text.
func (e *ObliqueNeckError) Code() string { return "neck-oblique" }

// Error says what was found, what is needed and what to do.
func (e *ObliqueNeckError) Error() string {
	return "plan: a neck turned by " + e.Version.String() + " at " + e.Shaft.String() + " to the shaft does not show its height on one film and its width on the other: take films with the kneecap forward and from the side, and mark the edges again"
}

// other widens the doubts of an upper end that is the other femur's.
func (h *hipModel) other() {
	for _, l := range []*units.Length{&h.bone.Head.Medial, &h.bone.Radius, &h.bone.Height, &h.bone.Width, &h.bone.LateralLower, &h.bone.LateralUpper} {
		l.Own = units.MM(math.Hypot(float64(l.Own), sideRel*float64(l.Best)))
	}
	h.bone.NeckShaft.Own = units.Deg(math.Hypot(float64(h.bone.NeckShaft.Own), sideShaft))
	h.bone.Version.Own = units.Deg(math.Hypot(float64(h.bone.Version.Own), sideVersion))
}

// space puts the solution into the plan.
func (h *hipModel) space(sol neck.Solution, p Policy) (Space, []Problem) {
	s := Space{Solved: true, Turn: &sol.TurnIs, Room: &sol.Room, Both: said(sol.Both)}
	s.Version, s.NeckShaft = &h.bone.Version, &h.bone.NeckShaft
	s.Model = h.model(sol)
	where := fields(index("films", h.ap.i), index("films", h.lat.i))
	var problems []Problem
	if h.fromTip && h.nail.HeadDepth > 0 {
		s.Top = &sol.Top
		s.Why = append(s.Why, why("space-depth", length("top", sol.Top), shown("clearance", p.NeckLower)))
		if sol.Top.Against(0) == units.Less {
			problems = append(problems, trouble("space-proud", where, length("top", sol.Top.Times(-1))))
		}
	} else {
		s.Needs = append(s.Needs, string(anatomy.TrochanterTip))
	}
	s.Why = append(s.Why, why("space-turn", angle("turn", sol.TurnIs), angle("version", h.bone.Version)))
	switch sol.Both {
	case neck.No:
		problems = append(problems, trouble("space-one-screw", where, length("missing", sol.Room.Times(-1))))
	case neck.Unclear:
		problems = append(problems, trouble("space-close", where, length("room", sol.Room)))
	default:
		s.Why = append(s.Why, why("space-both", length("room", sol.Room)))
	}
	if sol.Both == neck.No && sol.Alone != nil {
		s.Alone = &SpaceAlone{Room: &sol.Alone.Room, Turn: units.Angle{Best: sol.Alone.Turn}, Fits: said(sol.Alone.Fits)}
	}
	s.Lower, s.Upper = spaceScrew(sol.Lower), spaceScrew(sol.Upper)
	s.longer()
	return s, problems
}

// model returns what was solved for drawings.
func (h *hipModel) model(sol neck.Solution) *SpaceModel {
	b, n := h.bone, h.nail
	return &SpaceModel{Medial: b.Head.Medial.Best, Up: b.Head.Up.Best, Front: b.Head.Front.Best, Radius: b.Radius.Best,
		NeckShaft: b.NeckShaft.Best, Version: b.Version.Best, Height: b.Height.Best, Width: b.Width.Best, Behind: (b.From + b.To) / 2,
		Lateral: b.LateralLower.Best, Depth: sol.Depth, Turn: sol.Turn, Angle: n.Angle, Spacing: n.Spacing, Dia: n.LowerDia,
		Top: sol.Top.Best, HeadDepth: n.HeadDepth}
}

func said(a neck.Answer) record.Answer {
	return map[neck.Answer]record.Answer{neck.Yes: record.Yes, neck.No: record.No, neck.Unclear: record.Unsure}[a]
}

func spaceScrew(s neck.Screw) SpaceScrew {
	return SpaceScrew{Up: &s.Up, Down: &s.Down, Front: &s.Front, Back: &s.Back, Wall: &s.Wall, Above: &s.Above, Ahead: &s.Ahead, Length: s.Length}
}

// longer says which of the two screws is the longer one, and why.
func (s *Space) longer() {
	lo, up := s.Lower.Length, s.Upper.Length
	if lo == nil || up == nil {
		return
	}
	gap := lo.Apart().Minus(up.Apart())
	facts := []Fact{length("lower", *lo), length("upper", *up), length("lower_off", *s.Lower.Above), length("upper_off", *s.Upper.Above)}
	switch {
	case gap.Best > 0:
		s.Longer = implant.Lower
		s.Why = append(s.Why, why("space-lower-longer", facts...))
	case gap.Best < 0:
		s.Longer = implant.Upper
		s.Why = append(s.Why, why("space-upper-longer", facts...))
	}
}

// tips works out where the chosen screws end in a nail that lies as the
// solution says, and warns of a tip too near the joint or too far from it.
func (h *hipModel) tips(s *Space, lower, upper units.MM, p Policy) (problems []Problem) {
	for _, at := range []struct {
		place neck.Place
		screw *SpaceScrew
		ask   units.MM
	}{{neck.Lower, &s.Lower, lower}, {neck.Upper, &s.Upper, upper}} {
		if h == nil || at.ask == 0 || at.screw.Length == nil {
			continue
		}
		tip, err := neck.TipAt(h.bone, h.nail, h.pose, at.place, at.ask, neck.Limits{Least: p.HeadClearance, Most: p.TipFar, Apex: p.TipApexRed})
		if err != nil {
			continue // a neck as high as its head has no apex to tell: the lengths hold
		}
		at.screw.TipApex, at.screw.Calcar, at.screw.Nearest = &tip.TipApex, &tip.Calcar, &tip.Nearest
		problems = append(problems, tipProblems(tip, string(at.place), p)...)
	}
	return problems
}

// tipProblems: a tip that lies beyond the joint surface, whatever the doubt, is
// a stop.
func tipProblems(tip neck.Tip, place string, p Policy) (problems []Problem) {
	add := func(code string, facts ...Fact) {
		problems = append(problems, trouble(code, fields("films", "readings"), append([]Fact{word("place", place)}, facts...)...))
	}
	if tip.TooDeep == neck.Yes {
		add("space-deep", length("nearest", tip.Nearest), shown("limit", p.HeadClearance))
		if tip.Nearest.Against(0) == units.Less {
			problems[0].Level = Stop
		}
	}
	if tip.TooFar == neck.Yes {
		add("space-far", length("nearest", tip.Nearest), shown("limit", p.TipFar))
	}
	if tip.ApexOver == neck.Yes {
		add("space-apex", length("distance", tip.TipApex), shown("limit", p.TipApexRed))
	}
	return problems
}

// way returns the length of a head screw that would end at the clearance, nil
// where it was not worked out in space.
func (s Space) way(place implant.Place) *units.Length {
	if place == implant.Upper {
		return s.Upper.Length
	}
	return s.Lower.Length
}

// choose takes a head screw from both films.
func (h *hipModel) choose(s Space, place implant.Place, broken bool, dia units.MM, shelf implant.Shelf, p Policy) (*ScrewChoice, bool) {
	room := s.way(place)
	if h == nil || room == nil {
		return nil, false
	}
	joint := room.Plus(units.Exact(p.HeadClearance))
	out := screwFrom(*room, joint, place, dia, shelf, p)
	out.Why = append([]Reason{why("screw-space", length("path", joint), shown("clearance", p.HeadClearance))}, out.Why...)
	if broken && h.ap.film.Bone == anatomy.Injured {
		out.Problems = append(out.Problems, trouble("screw-broken-neck", fields(index("films", h.ap.i)+".points"),
			number("film", float64(h.ap.i+1)), word("place", string(place))))
	}
	return &out, true
}
