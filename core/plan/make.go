// Package plan turns what is known of a broken femur into what to bring to the
// table: the scale of each film, the bone, the locking, the nail, the reaming
// and the head screws, each with its reasons, its doubt and the runner-up.
// What cannot be decided is left open and named as a problem; nothing is
// guessed. Read Make first.
package plan

import (
	"isthmus/core/implant"
	"isthmus/core/record"
)

// Make returns the plan of a case with the parts of a shelf: every part that
// could be decided, and a problem for each part that could not. It is a pure
// function of its arguments and does not stop at the first trouble. A policy
// value out of its range is put back to its default and reported.
func Make(c record.Case, shelf implant.Shelf, p Policy) Plan {
	var pl Plan
	var films []shot
	ran := func(problems []Problem) { pl.Problems = append(pl.Problems, problems...) }
	var problems []Problem

	p, problems = p.checked()
	ran(problems)
	ran(hazards(c, p))
	pl.Class, problems = classOf(c.Injury, p) // answers → what kind of injury
	ran(problems)
	c, ph, problems := straight(c) // photos of films → films
	ran(problems)
	pl.Scales, problems = scales(c.Films, ph) // pixels → millimetres, per film
	ran(problems)
	films, problems = shots(c, pl.Scales) // films that can be measured
	ran(problems)
	pl.Bone, problems = boneOf(c, films, p) // points → lengths
	ran(problems)
	pl.Bone, problems = refuse(c, films, pl.Bone) // lengths that no femur has
	ran(problems)
	pl.Locking, problems = lock(c.Injury, pl.Bone, p) // answers → pattern
	ran(problems)
	pl.Nail, problems = chooseNail(pl.Bone, c.Side, pl.Locking, shelf, p) // lengths → parts
	ran(problems)
	pl.Reaming, problems = ReamingFor(pl.Nail.Diameter, pl.Bone.Canal, shelf, p)
	ran(problems)
	pl.Head, pl.Space, problems = chooseHead(c, pl.Bone, films, pl.Locking, pl.Nail, shelf, p)
	ran(problems)
	ran(plausibles(pl.Bone, pl.Space))
	ran(deviceProblems(c))
	ran(pl.rest(c, films, shelf, p))
	return pl
}

// rest adds what follows from nail and bone: the form of the bone, the head screws in space, where
// the nail lies, the lower end, how the leg stands, union, what to bring, and
// how it comes out again.
func (pl *Plan) rest(c record.Case, films []shot, shelf implant.Shelf, p Policy) (all []Problem) {
	var problems []Problem
	ran := func() { all = append(all, problems...) }
	pl.Form = formOf(films)
	pl.Seat, problems = seatOf(c, *pl, films, shelf, p)
	ran()
	pl.Distal, problems = distalOf(c, *pl, films, shelf, p)
	ran()
	pl.Align, problems = alignOf(c, films, p)
	ran()
	pl.Union, problems = unionOf(c, p)
	ran()
	pl.Kit, problems = kitOf(c, *pl, shelf, p)
	ran()
	pl.Removal, problems = removalOf(c, shelf, p)
	ran()
	return all
}

// For returns the plan of a case under its own settings: PolicyFrom, then Make.
func For(c record.Case, shelf implant.Shelf) Plan {
	p, problems := PolicyFrom(c.Settings)
	pl := Make(c, shelf, p)
	pl.Problems = append(problems, pl.Problems...)
	return pl
}
