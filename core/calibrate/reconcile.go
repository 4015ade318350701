package calibrate

import (
	"math"
	"slices"

	"isthmus/core/source"
	"isthmus/core/units"
)

// Reconciled is what several pieces of evidence say together.
type Reconciled struct {
	Plane    Plane    // no scale when disputed
	Used     []int    // indexes of the planes that count
	Disputed bool     // a person must settle
	Between  [2]int   // the two planes that differ most, when disputed
	Notices  []Notice // why planes were not counted, what differs
	dispute  *DisputeError
}

// Err returns the dispute as an error, or nil when there is none.
func (r Reconciled) Err() error {
	if r.dispute == nil {
		return nil
	}
	return r.dispute
}

// leastRel is the doubt below which no film's scale is known, whatever was
// claimed: it keeps one plane from outweighing all others. Common practice.
const leastRel = 0.001

// trust ranks where a scale comes from; 0 is no evidence. The order is that
// of DICOM PS3.3 10.7.1.2 (an object seen before an assumed depth), with a
// person's own mark on top and a population's factor at the bottom.
func trust(o Origin) int {
	switch o {
	case FromBallMark, FromDiscMark, FromRuler, FromTwoBalls, FromPart:
		return 5
	case Fiducial:
		return 4
	case Geometry, ByDistances:
		return 3
	case Corrected, MachineGuess:
		return 2
	case AssumedSite:
		return 1
	}
	return 0
}

// chi2Sure holds the 95.45 % points of chi-square for 1 to 6 degrees of
// freedom (Sure standard deviations). Source: Press et al., Numerical Recipes,
// table of Δχ² by confidence level (4.00, 6.18, 8.02, 9.72, 11.3, 12.8);
// from memory, recomputed in the tests.
var chi2Sure = []float64{4.00, 6.18, 8.02, 9.72, 11.31, 12.85}

// Reconcile combines what several pieces of evidence say about one film.
//
// Only the most trusted kind that is there counts: a person's marker, then a
// calibration on an object, then an assumed depth or given distances, then
// the machine's factor, then a usual factor. Pieces of that kind are combined
// by inverse variance in the logarithm of the scale,
//
//	ln s = Σ(ln sᵢ/uᵢ²) / Σ(1/uᵢ²),  u = 1/√Σ(1/uᵢ²)
//
// when they agree: no pair further apart than Sure·√(uᵢ² + uⱼ²), and
// χ² = Σ(ln sᵢ − ln s)²/uᵢ² within its 95.45 % point. Less trusted pieces are
// never averaged in, because their doubt is a guess about other patients or
// machines; they check. One that differs by more than Sure·u makes a dispute
// as well, since it may be a wrong marker size; a usual factor, which says
// nothing about this film, only gives a notice. In a dispute there is no
// plane: a person must choose. It assumes that the pieces are different
// objects whose errors are independent. Source: JCGM 100:2008, 5.1.2; NIST/
// SEMATECH e-Handbook (weighted mean, chi-square). It refuses when no plane
// is usable.
func Reconcile(ps []Plane) (Reconciled, error) {
	best := 0
	for _, p := range ps {
		if p.Usable() {
			best = max(best, trust(p.Origin))
		}
	}
	if best == 0 {
		return Reconciled{}, &MissingError{For: "a scale", Fields: []string{"evidence"}, Do: "mark an object of known size on the film"}
	}
	var r Reconciled
	for i, p := range ps {
		if p.Usable() && trust(p.Origin) == best {
			r.Used = append(r.Used, i)
		}
	}
	r.check(ps, r.Used)
	together := combine(ps, r.Used)
	if !r.Disputed && chi2(ps, r.Used, together) > chi2Limit(len(r.Used)-1) {
		i, j := extremes(ps, r.Used)
		r.disagree(ps, i, j)
	}
	r.crossCheck(ps, together, best)
	if !r.Disputed {
		r.Plane = together
	}
	return r, nil
}

func rel(p Plane) float64 { return math.Max(p.Rel, leastRel) }

// apart returns how far two planes differ, relative, in the worse direction,
// and its doubt.
func apart(a, b Plane) (differ, doubt float64) {
	col := math.Abs(math.Log(float64(a.Col / b.Col)))
	row := math.Abs(math.Log(float64(a.Row / b.Row)))
	return math.Max(col, row), math.Hypot(rel(a), rel(b))
}

// check looks at every pair of the planes that count.
func (r *Reconciled) check(ps []Plane, used []int) {
	worst, wi, wj := 0.0, -1, -1
	for k, i := range used {
		for _, j := range used[k+1:] {
			d, u := apart(ps[i], ps[j])
			over := d / (units.Sure * u)
			if over > 1 && over > worst {
				worst, wi, wj = over, i, j
			}
		}
	}
	if wi >= 0 {
		r.disagree(ps, wi, wj)
	}
}

func (r *Reconciled) disagree(ps []Plane, i, j int) {
	d, u := apart(ps[i], ps[j])
	r.Disputed, r.Between = true, [2]int{i, j}
	r.dispute = &DisputeError{A: ps[i].Origin, B: ps[j].Origin, Differ: d, Doubt: u}
	r.Notices = append(r.Notices, caution("dispute", word("a", ps[i].Origin.words()), word("b", ps[j].Origin.words()),
		share("percent", d), share("allowed", units.Sure*u)).by(source.GUM))
}

// crossCheck compares every less trusted plane with what counts.
func (r *Reconciled) crossCheck(ps []Plane, together Plane, best int) {
	high := ps[r.Used[0]].Origin.words()
	for i, p := range ps {
		if t := trust(p.Origin); !p.Usable() || t == 0 || t >= best {
			continue
		}
		low := p.Origin.words()
		d, u := apart(p, together)
		switch {
		case d <= units.Sure*u:
			r.Notices = append(r.Notices, note("lower-trust", word("low", low), word("high", high)))
		case p.Origin == AssumedSite:
			r.Notices = append(r.Notices, caution("cross-check", word("low", low), word("high", high), share("percent", d)).by(source.Lampang))
		case r.Disputed:
			// one dispute is enough to stop; the person sees every piece
		default:
			r.disagree(ps, r.Used[0], i)
		}
	}
}

// combine returns the weighted mean of the planes that count.
func combine(ps []Plane, used []int) Plane {
	first := ps[used[0]]
	if len(used) == 1 {
		return first
	}
	var w, row, col float64
	out := Plane{Origin: Combined}
	for _, i := range used {
		k := 1 / (rel(ps[i]) * rel(ps[i]))
		w += k
		row += k * math.Log(float64(ps[i].Row))
		col += k * math.Log(float64(ps[i].Col))
		for _, s := range ps[i].Sources {
			if !slices.Contains(out.Sources, s) {
				out.Sources = append(out.Sources, s)
			}
		}
	}
	out.Row = units.MM(math.Exp(row / w))
	out.Col = units.MM(math.Exp(col / w))
	out.Rel = 1 / math.Sqrt(w)
	return out
}

func chi2(ps []Plane, used []int, mean Plane) float64 {
	sum := 0.0
	for _, i := range used {
		d, _ := apart(ps[i], mean)
		sum += d * d / (rel(ps[i]) * rel(ps[i]))
	}
	return sum
}

// chi2Limit returns the 95.45 % point; beyond the table it takes the
// Wilson–Hilferty approximation, k·(1 − 2/9k + z·√(2/9k))³ with z = 1.69,
// and for a single piece there is nothing to disagree.
func chi2Limit(k int) float64 {
	if k < 1 {
		return math.Inf(1)
	}
	if k <= len(chi2Sure) {
		return chi2Sure[k-1]
	}
	q := 2 / (9 * float64(k))
	return float64(k) * math.Pow(1-q+1.69*math.Sqrt(q), 3)
}

// extremes returns the smallest and the largest scale of the planes that count.
func extremes(ps []Plane, used []int) (lo, hi int) {
	lo, hi = used[0], used[0]
	for _, i := range used {
		if ps[i].Col < ps[lo].Col {
			lo = i
		}
		if ps[i].Col > ps[hi].Col {
			hi = i
		}
	}
	return lo, hi
}

func share(name string, rel float64) Fact {
	return Fact{Name: name, Value: rel * 100, Word: units.Trim(rel*100, 1)}
}
