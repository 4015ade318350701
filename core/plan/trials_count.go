package plan

import (
	"math"
	"slices"

	"isthmus/core/implant"
	"isthmus/core/units"
)

// nailRules is what the rules for length and diameter need of the stock,
// sorted once for all trials.
type nailRules struct {
	policy  Policy
	dias    []Size   // of all nails
	lengths [][]Size // [k]: of the nails of the k smallest diameters
	all     []Size   // lengths of all nails
	diasOf  [][]Size // of each of them: its diameters
}

func rulesOf(nails []implant.Nail, p Policy) *nailRules {
	thick := func(n implant.Nail) units.MM { return n.Diameter }
	long := func(n implant.Nail) units.MM { return n.Length }
	r := nailRules{policy: p, dias: stockOf(nails, thick), all: stockOf(nails, long)}
	for k := 0; k <= len(r.dias); k++ {
		canal := units.Exact(0)
		if k > 0 {
			canal.Best = r.dias[k-1].Value
		}
		var pass []implant.Nail
		for _, n := range nails {
			if n.Diameter <= canal.Best {
				pass = append(pass, n)
			}
		}
		if !slices.ContainsFunc(pass, func(n implant.Nail) bool { return n.Stock > 0 }) {
			pass = nails // as in passing
		}
		r.lengths = append(r.lengths, stockOf(pass, long))
	}
	for _, s := range r.all {
		r.diasOf = append(r.diasOf, stockOf(ofLength(nails, s.Value), thick))
	}
	return &r
}

// length returns the length that lengthFrom chooses of the nails that pass the
// canal; 0 for none.
func (r *nailRules) length(room, canal units.MM, hasCanal bool) units.MM {
	if !(room >= roomLo && room <= roomHi) {
		return 0
	}
	k := len(r.dias)
	if hasCanal {
		limit, _ := roomFor(units.Exact(canal), r.dias, r.policy)
		for k = 0; k < len(r.dias) && r.dias[k].Value <= limit.Best+guard; k++ {
		}
	}
	_, at := longest(r.lengths[k], units.Exact(room))
	return sizeAt(r.lengths[k], at)
}

// of returns the diameters of one length; of all lengths for 0.
func (r *nailRules) of(long units.MM) []Size {
	for i, s := range r.all {
		if s.Value == long {
			return r.diasOf[i]
		}
	}
	return r.dias
}

// diameter returns the diameter that diameterFrom chooses for this length; 0
// for none.
func (r *nailRules) diameter(canal, long units.MM) units.MM {
	if !(canal >= canalLo && canal <= canalHi) {
		return 0
	}
	sizes := r.of(long)
	limit, _ := roomFor(units.Exact(canal), sizes, r.policy)
	_, at := longest(sizes, limit)
	if at < 0 {
		at = thinnest(sizes)
	}
	return sizeAt(sizes, at)
}

// widest returns the thickest nail that the canal lets through by the rules.
func (r *nailRules) widest(canal, long units.MM) units.MM {
	limit, _ := roomFor(units.Exact(canal), r.of(long), r.policy)
	return limit.Best
}

func sizeAt(sizes []Size, at int) units.MM {
	if at < 0 {
		return 0
	}
	return sizes[at].Value
}

// A tally counts the trials of one part and gathers the room for it.
type tally struct {
	chosen       units.MM
	sizes        []Size // Stock counts the trials in which the size is right
	large        int
	small        int
	base         units.MM // near the room, so that sums keep their digits
	uses         []int    // the draws that move the room
	with         []float64
	sum, squares float64
	values       []float64
}

func (s *tally) start(chosen units.MM, from ...sampled) {
	s.chosen = chosen
	for _, q := range from {
		for _, d := range q.uses {
			if !slices.Contains(s.uses, d) {
				s.uses = append(s.uses, d)
			}
		}
	}
	s.with = make([]float64, len(s.uses))
}

// add gathers the room of one trial.
func (s *tally) add(room units.MM, z []float64) {
	y := float64(room - s.base)
	s.values = append(s.values, float64(room))
	s.sum += y
	s.squares += float64(y * y)
	for i, d := range s.uses {
		s.with[i] += float64(y * z[d])
	}
}

// count takes in the size that was right in one trial, 0 for none, and the
// room there was.
func (s *tally) count(right, room units.MM) {
	if s.chosen > 0 && s.chosen > room+guard {
		s.large++
	}
	if s.chosen > 0 && right > s.chosen {
		s.small++
	}
	if right == 0 {
		return
	}
	for i := range s.sizes {
		if s.sizes[i].Value == right {
			s.sizes[i].Stock++
			return
		}
	}
	s.sizes = append(s.sizes, Size{Value: right, Stock: 1})
}

// chances returns what was counted in n trials; nothing for a part of which
// no room is known.
func (s *tally) chances(t *trial, n int) PartChances {
	if len(s.uses) == 0 {
		return PartChances{Chosen: s.chosen}
	}
	out := PartChances{Chosen: s.chosen, TooLarge: float64(s.large) / float64(n), TooSmall: float64(s.small) / float64(n)}
	slices.SortFunc(s.sizes, bySize)
	decided := 0
	for _, z := range s.sizes {
		decided += z.Stock
		out.Sizes = append(out.Sizes, SizeChance{z.Value, float64(z.Stock) / float64(n)})
	}
	out.Undecided = float64(n-decided) / float64(n)
	out.Room = s.spread()
	out.Shares = s.shares(t.owner, t.inputs)
	return out
}

// variance returns that of the room over the trials.
func (s *tally) variance() float64 {
	n := float64(len(s.values))
	if n < 2 {
		return 0
	}
	return max(0, (s.squares-float64(s.sum*s.sum)/n)/(n-1))
}

// spread puts the values in another order. Source: JCGM 101:2008, 7.6 and 7.7.
func (s *tally) spread() *Spread {
	n := len(s.values)
	if n < 2 {
		return nil
	}
	cut := n / 40 // 2.5 % on either side
	return &Spread{
		Mean: s.base + units.MM(s.sum/float64(n)),
		U:    units.MM(math.Sqrt(s.variance())),
		Low:  units.MM(nth(s.values, cut)),
		High: units.MM(nth(s.values, n-1-cut)),
	}
}

// nth returns the value that would stand at k if v were sorted, and moves
// values about; a full sort of ten thousand holds a slow phone for 50 ms.
// Source: Hoare 1961, Commun ACM 4:321 (algorithm 65, find).
func nth(v []float64, k int) float64 {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot, i, j := v[k], lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for pivot < v[j] {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i, j = i+1, j-1
			}
		}
		if j < k {
			lo = i
		}
		if k < i {
			hi = j
		}
	}
	return v[k]
}

// shares returns how much of the variance of the room comes from each input:
// the squared correlation of the room with each of its chance numbers, less
// what chance alone gives (1/n), added up by input. For a room that follows
// its inputs in a straight line that is (c·u)²/u_c². Source: JCGM 100:2008,
// 5.1.3; by hand: E(r²) = ρ² + (1 − ρ²)²/n, nearly.
func (s *tally) shares(owner []int, inputs []Input) []Share {
	v, n := s.variance(), float64(len(s.values))
	if !(v > 0) || n < 2 {
		return nil
	}
	parts := make([]float64, len(inputs))
	for i, d := range s.uses {
		cov := s.with[i] / n
		parts[owner[d]] += float64(cov*cov)/v - 1/n
	}
	var out []Share
	for i, p := range parts {
		if p = math.Round(1000*p) / 1000; p > 0 {
			out = append(out, Share{inputs[i], min(p, 1)})
		}
	}
	slices.SortStableFunc(out, func(a, b Share) int {
		switch {
		case a.Part > b.Part:
			return -1
		case a.Part < b.Part:
			return 1
		}
		return 0
	})
	return out
}
