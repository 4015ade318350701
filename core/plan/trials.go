package plan

import (
	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Chances is what seeded trials say of the parts of a plan. Its zero value
// claims nothing.
type Chances struct {
	Trials   int         `json:"trials"`
	Length   PartChances `json:"length"`
	Diameter PartChances `json:"diameter"`
	Lower    PartChances `json:"lower_screw"`
	Upper    PartChances `json:"upper_screw"`
}

// PartChances is what the trials say of one part. In each trial the rules of
// the plan choose again; the size they choose is the right one there.
type PartChances struct {
	Chosen    units.MM     `json:"chosen_mm"`        // by the plan; 0: not decided
	Sizes     []SizeChance `json:"sizes,omitempty"`  // sizes that were right in a trial, smallest first
	TooLarge  float64      `json:"chance_too_large"` // the chosen size is longer, or thicker, than there is room for
	TooSmall  float64      `json:"chance_too_small"` // a larger size in stock is right
	Undecided float64      `json:"undecided"`        // trials in which no size could be chosen
	Room      *Spread      `json:"room,omitempty"`   // longest nail, width of the canal, longest screw
	Shares    []Share      `json:"shares,omitempty"` // whose doubt makes the doubt of the room, largest first
}

// A SizeChance is a stock size and the probability that it is the right one.
type SizeChance struct {
	Value units.MM `json:"value_mm"`
	Right float64  `json:"chance_right"`
}

// A Spread is what a length was over the trials: mean, standard deviation, and
// the limits that leave 2.5 % on either side.
type Spread struct {
	Mean units.MM `json:"mean_mm"`
	U    units.MM `json:"u_mm"`
	Low  units.MM `json:"low_mm"`
	High units.MM `json:"high_mm"`
}

// The kinds of doubtful inputs, as Input.Kind.
const (
	InputPoint         = "point"           // where a landmark was placed
	InputMarker        = "marker"          // size of a marker, on the film and in truth
	InputDepth         = "depth"           // where the marker lay
	InputMagnification = "magnification"   // a factor or distances that nobody saw on the film
	InputReading       = "reading"         // a reading taken with the hands
	InputSide          = "side-difference" // the other femur is not this one
)

// An Input is something doubtful that a person could measure again.
type Input struct {
	Kind string `json:"kind"`
	Film int    `json:"film,omitempty"` // counted from 1; 0: not of one film
	Name string `json:"name,omitempty"` // landmark, name of the evidence, kind of reading
}

// A Share is how much of the variance of a room comes from one input: 0 to 1,
// to a thousandth. Shares add up to 1 where the room follows the inputs in a
// straight line, and to less where it does not (the smaller of two canals).
type Share struct {
	Input Input   `json:"input"`
	Part  float64 `json:"share"`
}

// MaxTrials bounds the work of Trials; more are cut to it.
const MaxTrials = 100_000

// Trials works the choices of a plan out again n times, each time with every
// doubtful fact moved by chance, and counts. A seed gives the same trials on
// every device. Moved, all as normal and independent of one another:
//
//	points      by their slip, each coordinate; lengths of one film share them
//	scale       of each film, once, by its Rel: a marker's own part and its depth
//	readings    by the doubt the policy gives them
//	other femur by the difference between sides: once for its length, once for
//	            each canal, once for the way of the head screws
//
// Worked out again from them, with the formulas of core/measure: the length on
// every film and by every reading, weighted as in the plan; both canals and
// the smaller of the two; the way of both head screws; and from these the
// length, the diameter and both head screws, by the plan's own rules from the
// stock. Held as the plan has them: which film or reading each length is taken
// from, and its weight; the locking; the nail that aims the head screws; the
// answers; and that routes which agree belong to one bone. So a plan with a
// dispute has no trials of that part. A few trials agree with Make on moved
// facts within sampling error (see the tests). The probability of a count of
// k in n trials is known to √(p·(1−p)/n): ± 1 % of 10,000 at worst. Source:
// JCGM 101:2008, 5 to 7. With n under 1 it returns the zero Chances. A screen
// that must stay alive makes the same trials in parts, by NewTrials.
func Trials(c record.Case, shelf implant.Shelf, p Policy, seed uint64, n int) Chances {
	if n < 1 {
		return Chances{}
	}
	t := NewTrials(c, shelf, p, seed, n)
	for t.Step(MaxTrials) {
	}
	return t.Chances()
}

// A TrialRun is the work of Trials, to be done in parts.
type TrialRun struct {
	t             *trial
	src           *chance.Source
	done, planned int
}

// NewTrials returns the run of Trials(c, shelf, p, seed, n) with no trial made
// yet. In whatever parts it is made, it ends with the same bits.
func NewTrials(c record.Case, shelf implant.Shelf, p Policy, seed uint64, n int) *TrialRun {
	return &TrialRun{t: newTrial(c, shelf, p), src: chance.New(seed), planned: min(max(n, 0), MaxTrials)}
}

// Step makes the next k trials, or as many as are left, and reports whether
// more are left after them. With k under 1 it makes none.
func (r *TrialRun) Step(k int) bool {
	for range min(k, r.planned-r.done) {
		for i := range r.t.z {
			r.t.z[i] = r.src.Normal()
		}
		r.t.run()
		r.done++
	}
	return r.done < r.planned
}

// Part returns how much of the run is made: 0 to 1.
func (r *TrialRun) Part() float64 {
	if r.planned == 0 {
		return 1
	}
	return float64(r.done) / float64(r.planned)
}

// Chances returns what the trials made so far say; the zero Chances of none.
func (r *TrialRun) Chances() Chances {
	if r.done == 0 {
		return Chances{}
	}
	t, n := r.t, r.done
	return Chances{
		Trials:   n,
		Length:   t.length.chances(t, n),
		Diameter: t.diameter.chances(t, n),
		Lower:    t.lower.chances(t, n),
		Upper:    t.upper.chances(t, n),
	}
}

// A trial holds what is moved, what is worked out from it, and the counts.
type trial struct {
	moved
	policy   Policy
	routes   []sampled
	weights  []float64 // of the routes
	canals   []sampled
	screws   [2]*sampled // lower, upper
	nails    *nailRules  // nil: no nail of the shelf can be chosen
	head     [2][]Size   // stock of head screws
	length   tally
	diameter tally
	lower    tally
	upper    tally
}

func newTrial(c record.Case, shelf implant.Shelf, p Policy) *trial {
	p, _ = p.checked()
	pl := Make(c, shelf, p)
	c = Straight(c)
	films, _ := shots(c, pl.Scales)
	t := &trial{policy: p}
	if pl.Bone.Length != nil {
		t.addRoutes(c, films, pl)
	}
	t.addCanals(films, pl)
	t.addScrews(c, films, pl, shelf)
	if nails, _ := candidates(shelf, c.Side, pl.Locking.Pattern); len(nails) > 0 {
		t.nails = rulesOf(nails, p)
	}
	t.z = make([]float64, len(t.owner))
	t.length.start(pl.Nail.Length, t.routes...)
	t.diameter.start(pl.Nail.Diameter, t.canals...)
	for i, s := range []*tally{&t.lower, &t.upper} {
		if t.screws[i] != nil {
			s.start([]units.MM{pl.Head.Lower.Ask, pl.Head.Upper.Ask}[i], *t.screws[i])
			s.base, _ = t.screws[i].value(&t.moved)
		}
	}
	t.length.base, _ = t.bone()
	t.diameter.base, _ = t.canal()
	return t
}

// run is one trial with the chance numbers of t.z.
func (t *trial) run() {
	t.move()
	t.runNail()
	for i, s := range []*tally{&t.lower, &t.upper} {
		if t.screws[i] == nil {
			continue
		}
		room, ok := t.screws[i].value(&t.moved)
		if !ok {
			continue
		}
		s.add(room, t.z)
		_, at := longest(t.head[i], units.Exact(room))
		s.count(sizeAt(t.head[i], at), room)
	}
}

func (t *trial) runNail() {
	room, hasLength := t.bone()
	canal, hasCanal := t.canal()
	if hasLength {
		t.length.add(room, t.z)
	}
	if hasCanal {
		t.diameter.add(canal, t.z)
	}
	if t.nails == nil {
		return
	}
	var long units.MM
	if hasLength {
		long = t.nails.length(room, canal, hasCanal)
		t.length.count(long, room)
	}
	if hasCanal {
		t.diameter.count(t.nails.diameter(canal, long), t.nails.widest(canal, t.length.chosen))
	}
}

// bone returns the room for a nail: the routes by their weights, less the
// burial.
func (t *trial) bone() (units.MM, bool) {
	sum := -float64(t.policy.Burial)
	for i := range t.routes {
		v, ok := t.routes[i].value(&t.moved)
		if !ok {
			return 0, false
		}
		sum += float64(t.weights[i] * float64(v))
	}
	return units.MM(sum), len(t.routes) > 0
}

// canal returns the smaller of the canals that could be measured.
func (t *trial) canal() (least units.MM, any bool) {
	for i := range t.canals {
		if v, ok := t.canals[i].value(&t.moved); ok && (!any || v < least) {
			least, any = v, true
		}
	}
	return least, any
}
