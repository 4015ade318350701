package plan

import (
	"math"
	"slices"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A shot is a film that can be measured: what it shows, its scale and points.
type shot struct {
	i    int // index in the case
	film record.Film
	measure.Film
}

// shots returns the films with a known bone, view and scale, and what is
// missing or contradicts on the others.
func shots(c record.Case, scales []FilmScale) ([]shot, []Problem) {
	var out []shot
	var problems []Problem
	for i, f := range c.Films {
		problems = append(problems, checkFilm(i, f, c.Side)...)
		if !f.View.Valid() || !f.Bone.Valid() || i >= len(scales) || !scales[i].Plane.Usable() {
			continue
		}
		at := measure.Points{}
		for _, p := range f.Points {
			at[p.Name] = measure.Placed{At: p.At, Slip: p.Slip}
		}
		out = append(out, shot{i, f, measure.Film{View: f.View, Plane: scales[i].Plane, At: at}})
	}
	return out, problems
}

// checkFilm compares what a person said of a film with its header.
func checkFilm(i int, f record.Film, side anatomy.Side) (out []Problem) {
	film := index("films", i)
	n := number("film", float64(i+1))
	if !f.View.Valid() {
		out = append(out, trouble("film-view-missing", fields(film+".view"), n))
	}
	if !f.Bone.Valid() {
		out = append(out, trouble("film-bone-missing", fields(film+".bone"), n))
	}
	for _, p := range f.Points {
		if f.View.Valid() && !p.Name.In(f.View) {
			out = append(out, trouble("point-wrong-view", fields(film+".points"), n, word("landmark", string(p.Name))))
		}
	}
	out = append(out, letterProblems(i, f, side)...)
	if f.Tags == nil {
		return out
	}
	shownSide := map[string]anatomy.Side{"L": anatomy.Left, "R": anatomy.Right}[strings.ToUpper(strings.TrimSpace(f.Tags.Laterality))]
	want := side
	if f.Bone == anatomy.Sound {
		want = side.Other()
	}
	if shownSide.Valid() && want.Valid() && f.Bone.Valid() && shownSide != want {
		out = append(out, trouble("side-contradiction", fields("side", film+".tags.laterality", film+".bone"),
			n, word("header", string(shownSide)), word("bone", string(f.Bone)), word("want", string(want))))
	}
	if v := headerView(f.Tags.ViewPosition); v.Valid() && f.View.Valid() && v != f.View {
		out = append(out, trouble("view-contradiction", fields(film+".view", film+".tags.view_position"),
			n, word("header", string(v)), word("view", string(f.View))))
	}
	return out
}

// letterProblems compares the side letter that a person saw on a film with the
// side of the case, and says when it reads the wrong way round: the film is
// then turned over, whatever its letter says.
func letterProblems(i int, f record.Film, side anatomy.Side) (out []Problem) {
	film := index("films", i)
	n, letter := number("film", float64(i+1)), word("letter", string(f.Letter))
	if f.Letter != record.LetterLeft && f.Letter != record.LetterRight {
		return nil
	}
	want := side
	if f.Bone == anatomy.Sound {
		want = side.Other()
	}
	if want.Valid() && f.Bone.Valid() && string(want) != string(f.Letter) {
		out = append(out, trouble("letter-contradiction", fields("side", film+".letter", film+".bone"), n, letter, word("bone", string(f.Bone)), word("want", string(want))))
	}
	if f.LetterReads == record.No {
		out = append(out, trouble("letter-mirrored", fields(film+".letter_reads"), n, letter))
	}
	return out
}

// headerView reads the view of a header: AP and PA lie in the same plane, LL,
// RL and LAT in the other. Source: DICOM PS3.3, (0018,5101).
func headerView(s string) anatomy.View {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "AP", "PA":
		return anatomy.AP
	case "LL", "RL", "LAT":
		return anatomy.Lateral
	}
	return anatomy.NoView
}

// boneOf measures the bone on every film and with the hands.
func boneOf(c record.Case, films []shot, p Policy) (Bone, []Problem) {
	var b Bone
	routes, problems := filmRoutes(films, p)
	joined, more := joinedRoutes(films, p)
	routes, problems = append(routes, joined...), append(problems, more...)
	read, more := readRoutes(c.Readings, p)
	problems = append(problems, more...)
	b.Routes = append(routes, read...)
	sortRoutes(b.Routes)
	b.Length, b.Disputed, more = RoutesTogether(b.Routes)
	problems = append(problems, more...)
	if len(b.Routes) > 0 { // a film with one end is no trouble when the length is known
		problems = slices.DeleteFunc(problems, func(q Problem) bool { return q.Code == "ends-missing" })
	} else {
		problems = append(problems, trouble("length-missing", fields("films", "readings")))
	}

	problems = append(problems, statureProblems(c.Injury.StatureMM, b.Length)...)
	m := measuring{films: films, p: p}
	b.CanalAP = m.canal(anatomy.AP)
	b.CanalLat = m.canal(anatomy.Lateral)
	b.Canal = m.smaller(b.CanalAP, b.CanalLat)
	m.direct()
	m.levels(&b)
	m.head(&b)
	m.sphere()
	m.magnification()
	return b, append(problems, m.problems...)
}

// filmRoutes returns the length of the bone on each film that shows all of it.
// A film of the injured femur counts only when the bone is at its length on
// it; a film of the other femur carries the difference between sides.
func filmRoutes(films []shot, p Policy) (routes []Route, problems []Problem) {
	for _, s := range films {
		film := index("films", s.i)
		has := s.count(anatomy.TrochanterTip, anatomy.DistalTarget)
		if has == 0 || s.count(anatomy.Join) > 0 && has == 1 || has == 1 && s.film.Bone == anatomy.Injured && s.film.Reduced != record.Yes {
			continue
		}
		if has == 1 {
			problems = append(problems, trouble("ends-missing", fields(film+".points"), number("film", float64(s.i+1))))
			continue
		}
		if s.film.Bone == anatomy.Injured && s.film.Reduced != record.Yes {
			if s.count(anatomy.PieceUpper, anatomy.PieceLower) == 2 {
				continue // both pieces are measured instead
			}
			problems = append(problems, trouble("film-not-reduced", fields(film+".reduced"), number("film", float64(s.i+1))))
			continue
		}
		l, err := measure.Length(s.Film)
		if err == nil {
			l, err = tilted(l, p)
		}
		if err != nil {
			problems = append(problems, refused(s, err))
			continue
		}
		r := Route{Kind: RouteFilm, Length: l, Bias: BiasShort, Why: why("route-film", length("length", l), number("film", float64(s.i+1)))}
		if s.film.Bone == anatomy.Sound {
			l.Own = units.MM(math.Hypot(float64(l.Own), float64(sideDoubt(p))))
			r = Route{Kind: RouteOtherFilm, Length: l, Common: sideDoubt(p), Bias: BiasSide,
				Why: why("route-other-film", length("length", l), number("film", float64(s.i+1)), shown("difference", p.SideDifference))}
		}
		routes = append(routes, r)
		problems = append(problems, plausible(l, film+".points")...)
	}
	return routes, problems
}

// count returns how many of the landmarks are placed.
func (s shot) count(names ...anatomy.Landmark) (n int) {
	for _, l := range names {
		if _, ok := s.At[l]; ok {
			n++
		}
	}
	return n
}

func refused(s shot, err error) Problem {
	return trouble("measure-refused", fields(index("films", s.i)+".points"), number("film", float64(s.i+1)), word("error", sentence(err.Error())))
}

// measuring measures the films of a case and keeps what went wrong.
type measuring struct {
	films    []shot
	p        Policy
	problems []Problem
}

// sideRel is the relative standard uncertainty of taking a width of the other
// femur for this one's. Source: Young 2013 (shaft under 3.5 %, neck under 4 %).
const sideRel = 0.04

// take measures on every film of a view that has the landmarks, and returns
// the result with the least doubt: of the injured femur where there is one,
// else of the other femur with the difference between sides.
func (m *measuring) take(v anatomy.View, f func(measure.Film) (units.Length, error), names ...anatomy.Landmark) *units.Length {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		var best *units.Length
		from := 0
		for _, s := range m.films {
			has := s.count(names...)
			if s.film.Bone != bone || s.View != v || has == 0 {
				continue
			}
			if has < len(names) {
				m.problems = append(m.problems, trouble("points-part", fields(index("films", s.i)+".points"),
					number("film", float64(s.i+1)), word("landmark", string(missingOf(s, names)))))
				continue
			}
			l, err := f(s.Film)
			if err != nil {
				m.problems = append(m.problems, refused(s, err))
				continue
			}
			if bone == anatomy.Sound {
				l.Own = units.MM(math.Hypot(float64(l.Own), sideRel*float64(l.Best)))
			}
			if best == nil || l.Doubt() < best.Doubt() {
				best, from = &l, s.i
			}
		}
		if best != nil {
			if bone == anatomy.Sound {
				m.fromOther(from)
			}
			return best
		}
	}
	return nil
}

// fromOther notes, once for each film, that a width is the other femur's.
func (m *measuring) fromOther(film int) {
	q := trouble("width-other-femur", fields(index("films", film)+".bone"), number("film", float64(film+1)), number("percent", 100*sideRel))
	for _, p := range m.problems {
		if p.Code == q.Code && p.Fields[0] == q.Fields[0] {
			return
		}
	}
	m.problems = append(m.problems, q)
}

func missingOf(s shot, names []anatomy.Landmark) anatomy.Landmark {
	for _, n := range names {
		if _, ok := s.At[n]; !ok {
			return n
		}
	}
	return ""
}

func (m *measuring) canal(v anatomy.View) *units.Length {
	return m.take(v, measure.Canal, anatomy.CanalA, anatomy.CanalB)
}

// direct warns of a canal that was taken from point to point, with no axis of
// the shaft to make it square: it can only read too wide.
func (m *measuring) direct() {
	for _, s := range m.films {
		for _, n := range measure.Notices(s.Film) {
			if n.Code == "canal-direct" {
				m.problems = append(m.problems, trouble("canal-direct", fields(index("films", s.i)+".points"), number("film", float64(s.i+1))))
			}
		}
	}
}

// smaller returns the smaller of the two canals, and says when one is missing.
func (m *measuring) smaller(ap, lat *units.Length) *units.Length {
	switch {
	case ap == nil && lat == nil:
		m.problems = append(m.problems, trouble("canal-missing", fields("films")))
		return nil
	case ap == nil:
		m.problems = append(m.problems, trouble("canal-one-view", fields("films"), word("view", string(anatomy.Lateral))))
		return lat
	case lat == nil:
		m.problems = append(m.problems, trouble("canal-one-view", fields("films"), word("view", string(anatomy.AP))))
		return ap
	case lat.Best < ap.Best:
		return lat
	}
	return ap
}

// sphere compares the head on the AP and on the lateral film: it is a ball, so
// two scales that differ show in it. Limit of the policy.
func (m *measuring) sphere() {
	rim := []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3}
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		ap, lat := m.headOn(anatomy.AP, bone, rim), m.headOn(anatomy.Lateral, bone, rim)
		if ap == nil || lat == nil {
			continue
		}
		percent := 100 * math.Abs(float64(ap.Best-lat.Best)) / float64(ap.Best)
		if percent > m.p.ViewsPercent {
			m.problems = append(m.problems, trouble("views-differ", fields("films"), length("ap", *ap), length("lateral", *lat), number("percent", math.Round(percent))))
		}
	}
}

func (m *measuring) headOn(v anatomy.View, bone anatomy.Bone, rim []anatomy.Landmark) *units.Length {
	for _, s := range m.films {
		if s.View == v && s.film.Bone == bone && s.count(rim...) == len(rim) {
			if l, err := measure.HeadDiameter(s.Film); err == nil && l.Best > 0 {
				return &l
			}
		}
	}
	return nil
}

// magnification compares the magnification of the films of one bone where both
// headers give the spacing of the detector. Limit of the policy.
func (m *measuring) magnification() {
	for i, a := range m.films {
		for _, b := range m.films[i+1:] {
			if a.film.Bone != b.film.Bone || a.View == b.View {
				continue
			}
			ma, oka := magnified(a)
			mb, okb := magnified(b)
			if !oka || !okb {
				continue
			}
			if percent := 100 * math.Abs(ma/mb-1); percent > m.p.ViewsPercent {
				m.problems = append(m.problems, trouble("magnifications-differ", fields(index("films", a.i)+".evidence", index("films", b.i)+".evidence"),
					number("a", ma), number("b", mb), number("percent", math.Round(percent))))
			}
		}
	}
}

func magnified(s shot) (float64, bool) {
	if s.film.Tags == nil || s.film.Tags.ImagerSpacing == nil {
		return 0, false
	}
	v := s.film.Tags.ImagerSpacing[0] / float64(s.Plane.Row)
	return v, v > 0.5 && v < 3
}
