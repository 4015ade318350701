package plan

import (
	"cmp"
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// physisYears is an age at which growth plates of the femur have long closed.
// From memory.
const physisYears = 25

// soundReadings are those that take the other femur as a measure.
var soundReadings = []record.ReadingKind{record.OtherTrial, record.LengthSound, record.TurnSound, record.LesserSound}

// contradicting returns answers of a case that exclude each other; each
// problem names the fields, and nothing is corrected.
func contradicting(c record.Case) (out []Problem) {
	in := c.Injury
	if in.Implant == record.No {
		if where := shows(c, anatomy.NoBone, oldNail...); len(c.Existing) > 0 {
			out = append(out, trouble("implant-contradiction", append(fields("injury.implant", "existing"), where...)))
		} else if len(where) > 0 {
			out = append(out, trouble("implant-contradiction", append(fields("injury.implant"), where...)))
		}
	}
	if where := shows(c, anatomy.Sound, breaks...); len(where) > 0 {
		out = append(out, trouble("sound-with-break", where))
	}
	if in.OpenPhysis == record.Yes && in.AgeYears != nil && *in.AgeYears >= physisYears {
		out = append(out, trouble("physis-age", fields("injury.open_physis", "injury.age_years"), number("age", float64(*in.AgeYears))))
	}
	if in.BothFemurs == record.Yes {
		where := fields("injury.both_femurs")
		for i, f := range c.Films {
			if f.Bone == anatomy.Sound {
				where = append(where, index("films", i)+".bone")
			}
		}
		for i, r := range c.Readings {
			if slices.Contains(soundReadings, r.Kind) {
				where = append(where, index("readings", i)+".kind")
			}
		}
		if len(where) > 1 {
			out = append(out, trouble("sound-broken", where))
		}
	}
	out = append(out, sides(c.Side, "implants", c.Implants)...)
	return append(out, sides(c.Side, "existing", c.Existing)...)
}

// breaks are the landmarks of a break, oldNail those of a nail in the bone.
var (
	breaks = []anatomy.Landmark{anatomy.FractureUpper, anatomy.FractureLower, anatomy.SecondUpper, anatomy.SecondLower,
		anatomy.PieceUpper, anatomy.PieceLower}
	oldNail = []anatomy.Landmark{anatomy.OldNailTop, anatomy.OldNailLower}
)

// shows lists what the films of a bone (any, when none is named) are called
// and the points of those on which one of the landmarks is placed.
func shows(c record.Case, bone anatomy.Bone, names ...anatomy.Landmark) (out []string) {
	for i, f := range c.Films {
		if bone.Valid() && f.Bone != bone || !slices.ContainsFunc(f.Points, func(p record.Point) bool { return slices.Contains(names, p.Name) }) {
			continue
		}
		if bone.Valid() {
			out = append(out, index("films", i)+".bone")
		}
		out = append(out, index("films", i)+".points")
	}
	return out
}

// sides returns the parts that are made for the other leg.
func sides(side anatomy.Side, list string, parts []record.Implant) (out []Problem) {
	for i, p := range parts {
		if side.Valid() && p.Side == side.Other() {
			out = append(out, trouble("part-side", fields("side", index(list, i)+".side"),
				word("kind", cmp.Or(p.Kind, partOther)), word("made", string(p.Side)), word("side", string(side))))
		}
	}
	return out
}

// refuse takes back what was measured on points that cannot all be right, and
// names them: a fracture beyond the notch, other landmarks in an order that no
// femur has, a canal wider than the whole bone, a neck higher than its head, a
// nail in the bone that is longer than the bone. Only what is surely so, by
// more than its doubt, is refused.
func refuse(c record.Case, films []shot, b Bone) (Bone, []Problem) {
	out := orders(films)
	if slices.ContainsFunc(out, func(q Problem) bool { return q.Code == "fracture-below-notch" }) {
		b.Fracture, b.FractureL, b.Past = nil, nil, Gaps{}
	}
	if wide := canalOverBone(films, b); len(wide) > 0 {
		out = append(out, wide...)
		b.Canal, b.CanalAP, b.CanalLat = nil, nil, nil
	}
	if surely(b.NeckRoom, b.HeadDia) {
		out = append(out, trouble("neck-over-head", where(films, anatomy.NeckUpper, anatomy.HeadRim1), length("room", *b.NeckRoom), length("head", *b.HeadDia)))
		b.NeckRoom, b.HeadDia = nil, nil
	}
	for i, part := range c.Implants {
		if part.Kind == partNail && part.Length != nil && b.Length != nil && b.Length.Against(*part.Length) == units.Less {
			out = append(out, trouble("nail-over-bone", fields(index("implants", i)+".length_mm", "films", "readings"), shown("size", *part.Length), length("bone", *b.Length)))
		}
	}
	return b, out
}

// surely reports whether the first is longer than the second beyond all doubt.
func surely(a, b *units.Length) bool {
	return a != nil && b != nil && a.Apart().Minus(b.Apart()).Against(0) == units.More
}

// where lists the points of every film that shows one of the landmarks.
func where(films []shot, names ...anatomy.Landmark) (out []string) {
	for _, s := range films {
		if slices.ContainsFunc(names, func(n anatomy.Landmark) bool { return s.count(n) > 0 }) {
			out = append(out, index("films", s.i)+".points")
		}
	}
	return out
}

// followed lists pairs of landmarks of which the first lies above the second
// in every femur.
var followed = [][2]anatomy.Landmark{
	{anatomy.FractureUpper, anatomy.Notch}, {anatomy.FractureLower, anatomy.Notch}, {anatomy.SecondLower, anatomy.Notch},
	{anatomy.LesserTroch, anatomy.Notch}, {anatomy.CanalA, anatomy.Notch}, {anatomy.LesserTroch, anatomy.CanalA},
}

// orders returns the pairs that lie the other way round on a film, once for
// each film and second landmark.
func orders(films []shot) (out []Problem) {
	for _, s := range films {
		if s.count(anatomy.TrochanterTip, anatomy.DistalTarget) < 2 {
			continue
		}
		for _, pair := range followed {
			upper, ok := levelOn(s, pair[0])
			lower, ok2 := levelOn(s, pair[1])
			if !ok || !ok2 || upper.Minus(lower).Against(0) != units.More {
				continue
			}
			code := "points-order"
			if pair[0] != anatomy.LesserTroch && pair[0] != anatomy.CanalA {
				code = "fracture-below-notch"
			}
			out = append(out, trouble(code, fields(index("films", s.i)+".points"), number("film", float64(s.i+1)),
				word("landmark", string(pair[0])), word("second", string(pair[1])), length("distance", upper.Minus(lower))))
		}
	}
	return out
}

func levelOn(s shot, name anatomy.Landmark) (units.Length, bool) {
	if s.count(name) == 0 {
		return units.Length{}, false
	}
	l, err := measure.Level(s.Film, name)
	return l, err == nil
}

// canalOverBone compares the canal with the narrowest whole bone on any film
// of the same femur; the bone is never narrower than its canal in any view.
func canalOverBone(films []shot, b Bone) []Problem {
	if b.Canal == nil {
		return nil
	}
	for _, s := range films {
		outer, err := measure.Outer(s.Film)
		if err != nil {
			continue
		}
		if surely(b.Canal, &outer) {
			return []Problem{trouble("canal-over-bone", where(films, anatomy.CanalA, anatomy.OuterA), length("canal", *b.Canal), length("outer", outer))}
		}
	}
	return nil
}
