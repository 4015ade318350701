package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// InputFit is how two broken ends will meet, or how a ruler lies on two films.
const InputFit = "fit"

// InputTilt is how far a bone lies tilted to its film.
const InputTilt = "tilt"

// tilt adds to a length of a film that the bone may lie tilted to it.
func (t *trial) tilt(q *sampled, film int, l units.MM) {
	u := float64(tiltDoubt(l, t.policy))
	if !(u > 0) {
		return
	}
	end := q
	for end.plus != nil {
		end = end.plus
	}
	end.plus = &sampled{film: -1, own: pull{t.draw(Input{Kind: InputTilt, Film: film + 1}), u}}
	q.uses = append(q.uses, end.plus.own.draw)
}

// addJoined takes in the length from pairs of films and from pieces, as
// joinedRoutes does.
func (t *trial) addJoined(films []shot, pl Plan, add func(sampled, units.Length)) {
	ps, _ := pairs(films)
	for _, p := range ps {
		l, _, err := p.length()
		if err != nil || !(l.Best > 0) {
			continue
		}
		q, ok := t.onFilm(p.upper, pl.Scales[p.upper.i], measure.JoinProbe(p.upper.Film, anatomy.TrochanterTip))
		low, also := t.onFilm(p.lower, pl.Scales[p.lower.i], measure.JoinProbe(p.lower.Film, anatomy.DistalTarget))
		if !ok || !also {
			continue
		}
		q.plus, q.less = &low, -p.apart
		q.uses = append(q.uses, low.uses...)
		if p.apart > 0 {
			q.own = pull{t.draw(Input{Kind: InputFit, Film: p.upper.i + 1, Name: string(anatomy.Join)}), float64(rulerShift)}
			q.uses = append(q.uses, q.own.draw)
		}
		route := otherSide(Route{Length: l}, p.upper.film.Bone, t.policy)
		if route.Common > 0 {
			low.own = pull{t.shared(Input{Kind: InputSide, Name: "length"}), float64(route.Common)}
			q.uses = append(q.uses, low.own.draw)
		}
		t.tilt(&q, p.upper.i, l.Best)
		if l, err = tilted(l, t.policy); err != nil {
			continue
		}
		add(q, otherSide(Route{Length: l}, p.upper.film.Bone, t.policy).Length)
	}
	for _, s := range films {
		routes, _ := joinedRoutes([]shot{s}, t.policy)
		if len(routes) != 1 || !(routes[0].Length.Best > 0) {
			continue
		}
		q, ok := t.onFilm(s, pl.Scales[s.i], measure.PiecesProbe())
		if !ok {
			continue
		}
		q.own = pull{t.draw(Input{Kind: InputFit, Film: s.i + 1, Name: string(anatomy.PieceUpper)}), float64(fitDoubt)}
		q.uses = append(q.uses, q.own.draw)
		t.tilt(&q, s.i, routes[0].Length.Best)
		add(q, routes[0].Length)
	}
}

// handReading returns a reading of the length, with the difference between
// sides apart where it was taken on the other leg.
func (t *trial) handReading(kind record.ReadingKind, r Route) sampled {
	if r.Common == 0 {
		return t.reading(kind, r.Length)
	}
	l := r.Length
	l.Own = units.MM(math.Sqrt(math.Max(0, float64(l.Own*l.Own-r.Common*r.Common))))
	q := t.reading(kind, l)
	side := sampled{film: -1, own: pull{t.shared(Input{Kind: InputSide, Name: "length"}), float64(r.Common)}}
	q.plus = &side
	q.uses = append(q.uses, side.own.draw)
	return q
}

// InputSideFilm is what the film from the side leaves open of a head screw.
const InputSideFilm = "side-film"

// fromBoth moves the way of a head screw on the film from the front to where
// both films together put it, and adds the doubt that the one from the side
// brings. The front film is moved point by point, the rest as one.
func (t *trial) fromBoth(q *sampled, room *units.Length) {
	if room == nil {
		return
	}
	t.z = make([]float64, len(t.owner)) // every chance number 0: the points as placed
	t.move()
	at, ok := q.value(&t.moved)
	if !ok {
		return
	}
	q.less += at - room.Best
	front := t.spreadOf(q)
	if more := float64(room.Doubt()*room.Doubt()) - front*front; more > 0 {
		q.own = pull{t.draw(Input{Kind: InputSideFilm}), math.Sqrt(more)}
		q.uses = append(q.uses, q.own.draw)
	}
}

// spreadOf returns the standard uncertainty of a sampled length to first
// order: each draw moved by one standard uncertainty, up and down.
func (t *trial) spreadOf(q *sampled) float64 {
	z := t.z
	t.z = make([]float64, len(t.owner))
	sum := 0.0
	for _, d := range q.uses {
		t.z[d] = 1
		t.move()
		up, ok1 := q.value(&t.moved)
		t.z[d] = -1
		t.move()
		down, ok2 := q.value(&t.moved)
		t.z[d] = 0
		if ok1 && ok2 {
			sum += float64(up-down) * float64(up-down) / 4
		}
	}
	t.move()
	t.z = z
	return math.Sqrt(sum)
}
