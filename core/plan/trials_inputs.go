package plan

import (
	"math"
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// moved is every doubtful input, and the places of the points in one trial.
type moved struct {
	z      []float64 // one chance number for each draw
	inputs []Input
	owner  []int // of each draw: its input
	films  []movedFilm
}

// A movedFilm holds the points of one film that lengths are taken from.
type movedFilm struct {
	shot
	names []anatomy.Landmark
	at    []geom.Pt[units.MM] // as placed
	slip  []geom.Pt[units.MM]
	first []int // draw of x; that of y follows
	scale []pull
	now   []geom.Pt[units.MM] // in this trial
}

// A pull is a draw and what one standard uncertainty of it does. No draw is −1.
type pull struct {
	draw int
	u    float64
}

func (p pull) of(z []float64) float64 {
	if p.draw < 0 || p.draw >= len(z) {
		return 0
	}
	return float64(p.u * z[p.draw])
}

// A sampled length is worked out again in every trial: from points of a film,
// or from a reading.
type sampled struct {
	film   int // in moved.films; −1: a reading
	probe  measure.Probe
	at     []int               // where its points are in the film
	points []geom.Pt[units.MM] // room for them
	base   units.MM            // of a reading
	own    pull                // in millimetres
	rel    pull                // in parts of the length
	less   units.MM            // taken off at the end
	uses   []int               // every draw that moves it
	plus   *sampled            // a second part, of another film
}

// input returns the place of an input, which is added when it is new.
func (m *moved) input(in Input) int {
	if i := slices.Index(m.inputs, in); i >= 0 {
		return i
	}
	m.inputs = append(m.inputs, in)
	return len(m.inputs) - 1
}

// draw adds a chance number of an input.
func (m *moved) draw(in Input) int {
	m.owner = append(m.owner, m.input(in))
	return len(m.owner) - 1
}

// shared returns the draw of an input that has one draw for all its lengths.
func (m *moved) shared(in Input) int {
	if i := slices.Index(m.inputs, in); i >= 0 {
		return slices.Index(m.owner, i)
	}
	return m.draw(in)
}

// move puts every point where this trial's chance numbers put it.
func (m *moved) move() {
	for i := range m.films {
		f := &m.films[i]
		times := 1.0
		for _, s := range f.scale {
			times += s.of(m.z)
		}
		for j, p := range f.at {
			d := f.first[j]
			f.now[j] = geom.Pt[units.MM]{
				X: (p.X + units.MM(float64(f.slip[j].X)*m.z[d])) * units.MM(times),
				Y: (p.Y + units.MM(float64(f.slip[j].Y)*m.z[d+1])) * units.MM(times),
			}
		}
	}
}

// value returns the length in this trial.
func (q *sampled) value(m *moved) (units.MM, bool) {
	if q.film < 0 {
		v := q.base + units.MM(q.own.of(m.z)) - q.less
		if q.plus != nil {
			more, _ := q.plus.value(m)
			v += more
		}
		return v, true
	}
	for i, at := range q.at {
		q.points[i] = m.films[q.film].now[at]
	}
	v, ok := q.probe.At(q.points)
	if q.plus != nil {
		more, also := q.plus.value(m)
		v, ok = v+more, ok && also
	}
	v = units.MM(float64(float64(v)*(1+q.rel.of(m.z))) + q.own.of(m.z))
	return v - q.less, ok && units.Exact(v).Finite()
}

// onFilm returns a length that is taken from a film, and takes its points and
// scale in. It reports false for a film that cannot be measured.
func (m *moved) onFilm(s shot, scale FilmScale, probe measure.Probe) (sampled, bool) {
	names := probe.Names()
	at, slip, err := s.Millimetres(names...)
	if err != nil || len(names) == 0 {
		return sampled{}, false
	}
	k := slices.IndexFunc(m.films, func(f movedFilm) bool { return f.i == s.i })
	if k < 0 {
		m.films = append(m.films, movedFilm{shot: s, scale: m.scalePulls(s, scale)})
		k = len(m.films) - 1
	}
	q := sampled{film: k, probe: probe, points: at, own: pull{draw: -1}, rel: pull{draw: -1}}
	f := &m.films[k]
	for j, n := range names {
		i := slices.Index(f.names, n)
		if i < 0 {
			i = len(f.names)
			in := Input{Kind: InputPoint, Film: s.i + 1, Name: string(n)}
			first := m.draw(in)
			m.draw(in)
			f.names, f.first = append(f.names, n), append(f.first, first)
			f.at, f.now, f.slip = append(f.at, at[j]), append(f.now, at[j]), append(f.slip, slip[j])
		}
		q.at = append(q.at, i)
		q.uses = append(q.uses, f.first[i], f.first[i]+1)
	}
	for _, p := range f.scale {
		q.uses = append(q.uses, p.draw)
	}
	return q, true
}

// scalePulls returns what moves the scale of a film: for each piece of
// evidence that counts, by its weight, what is its own and what its depth
// leaves open. Together they are the doubt of the film's plane.
func (m *moved) scalePulls(s shot, scale FilmScale) []pull {
	var used []int
	var planes []calibrate.Plane
	for j, p := range scale.Pieces {
		if p.Used {
			used, planes = append(used, j), append(planes, p.Plane)
		}
	}
	var out []pull
	add := func(kind, id string, rel float64) {
		if rel > 0 {
			out = append(out, pull{m.draw(Input{Kind: kind, Film: s.i + 1, Name: id}), rel})
		}
	}
	weights := calibrate.Weights(planes)
	for k, j := range used {
		id, rel, deep := scale.Pieces[j].ID, planes[k].Rel, 0.0
		if j < len(s.film.Evidence) {
			deep = markerDepth(s.film.Evidence[j])
		}
		if !(deep > 0) {
			add(InputMagnification, id, weights[k]*rel)
			continue
		}
		add(InputMarker, id, weights[k]*math.Sqrt(max(0, rel*rel-deep*deep)))
		add(InputDepth, id, weights[k]*deep)
	}
	sum := 0.0
	for _, p := range out {
		sum = math.Hypot(sum, p.u)
	}
	for i := range out {
		out[i].u *= scale.Plane.Rel / sum
	}
	return out
}

// markerDepth returns the doubt that the depth of a marker leaves; 0 for
// evidence that is no marker.
func markerDepth(e record.Evidence) float64 {
	switch e.Kind {
	case record.Ball, record.Disc, record.Ruler:
		if rel, err := depth(e).Rel(); err == nil {
			return rel
		}
	}
	return 0
}

// reading returns a length that was read with the hands.
func (m *moved) reading(kind record.ReadingKind, l units.Length) sampled {
	d := m.draw(Input{Kind: InputReading, Name: string(kind)})
	return sampled{film: -1, base: l.Best, own: pull{d, float64(l.Doubt())}, uses: []int{d}}
}

// addRoutes takes in every way in which the length of the bone is known, with
// its weight as in RoutesTogether.
func (t *trial) addRoutes(c record.Case, films []shot, pl Plan) {
	total := 0.0
	add := func(q sampled, l units.Length) {
		w := 1 / math.Pow(math.Max(float64(l.Doubt()), leastDoubt), 2)
		t.routes, t.weights, total = append(t.routes, q), append(t.weights, w), total+w
	}
	for _, s := range films {
		routes, _ := filmRoutes([]shot{s}, t.policy)
		if len(routes) == 0 || !(routes[0].Length.Best > 0) {
			continue
		}
		q, ok := t.onFilm(s, pl.Scales[s.i], measure.LengthProbe())
		if !ok {
			continue
		}
		if s.film.Bone == anatomy.Sound {
			q.own = pull{t.shared(Input{Kind: InputSide, Name: "length"}), float64(sideDoubt(t.policy))}
			q.uses = append(q.uses, q.own.draw)
		}
		t.tilt(&q, s.i, routes[0].Length.Best)
		add(q, routes[0].Length)
	}
	t.addJoined(films, pl, add)
	for _, kind := range handKinds {
		if i := latest(c.Readings, kind); i >= 0 {
			if route, _ := handRoute(c.Readings[i], index("readings", i), t.policy); route != nil && route.Length.Finite() && route.Length.Best > 0 {
				add(t.handReading(kind, *route), route.Length)
			}
		}
	}
	for i := range t.weights {
		t.weights[i] /= total
	}
}

// addCanals takes in the canal of each view, from the film the plan takes it
// from.
func (t *trial) addCanals(films []shot, pl Plan) {
	for _, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		s, ok := canalShot(films, v, t.policy)
		if !ok {
			continue
		}
		if q, ok := t.onFilm(s, pl.Scales[s.i], measure.CanalProbe(s.Film)); ok {
			t.otherWidth(&q, s, "canal-"+string(v))
			t.canals = append(t.canals, q)
		}
	}
}

// otherWidth adds the difference between sides to a length of the other femur.
func (t *trial) otherWidth(q *sampled, s shot, name string) {
	if s.film.Bone == anatomy.Sound {
		q.rel = pull{t.shared(Input{Kind: InputSide, Name: name}), sideRel}
		q.uses = append(q.uses, q.rel.draw)
	}
}

// canalShot returns the film that measuring.canal takes a canal from.
func canalShot(films []shot, v anatomy.View, p Policy) (from shot, ok bool) {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		var best *units.Length
		for _, s := range films {
			if s.film.Bone != bone {
				continue
			}
			one := measuring{films: []shot{s}, p: p}
			if l := one.canal(v); l != nil && (best == nil || l.Doubt() < best.Doubt()) {
				best, from = l, s
			}
		}
		if best != nil {
			return from, true
		}
	}
	return shot{}, false
}

// addScrews takes in the room for each head screw: from the wire where it was
// read, else from the film the plan takes it from.
func (t *trial) addScrews(c record.Case, films []shot, pl Plan, shelf implant.Shelf) {
	a, ok := aimOf(pl.Nail, c.Side, shelf)
	if pl.Locking.Pattern != HeadLock || !ok {
		return
	}
	for i, at := range []struct {
		kind  record.ReadingKind
		place implant.Place
		inset units.MM
	}{{record.WireLower, implant.Lower, 0}, {record.WireUpper, implant.Upper, a.spacing}} {
		t.head[i] = screwSizes(shelf, at.place, a.dia)
		if r := latest(c.Readings, at.kind); r >= 0 {
			if s := ScrewFromDepth(c.Readings[r], at.place, a.dia, shelf, t.policy); s.Room != nil {
				t.screws[i] = pointer(t.reading(at.kind, *s.Room))
			}
			continue
		}
		s, ok := screwShot(films, at.place, a, at.inset, shelf, t.policy)
		if !ok {
			continue
		}
		if q, ok := t.onFilm(s, pl.Scales[s.i], measure.PathProbe(a.angle, at.inset)); ok {
			t.otherWidth(&q, s, "head-screws")
			q.less = t.policy.HeadClearance
			t.fromBoth(&q, pl.Space.way(at.place))
			t.screws[i] = &q
		}
	}
}

// screwShot returns the film that screwFromFilm takes a head screw from.
func screwShot(films []shot, place implant.Place, a aim, inset units.MM, shelf implant.Shelf, p Policy) (shot, bool) {
	for _, bone := range []anatomy.Bone{anatomy.Injured, anatomy.Sound} {
		for _, s := range films {
			if s.film.Bone != bone {
				continue
			}
			if out, _ := screwFromFilm([]shot{s}, false, place, a, inset, shelf, p); out != nil {
				return s, true
			}
		}
	}
	return shot{}, false
}
