package find

import (
	"cmp"
	"math"
	"slices"
)

// A spot is a round thing seen at reduced size: where, how large, and how
// much of its rim is there.
type spot struct {
	x, y, r float64
	cover   float64 // share of the directions in which the rim is seen, 0…1
	step    float64 // mean slope of the rim, levels per px
	dark    bool    // darker than its surroundings
}

// seeker holds the slopes of a smoothed picture.
type seeker struct {
	w, h   int
	dx, dy []float32
	least  float32 // square of the slope under which there is no edge
}

// edgeShare of the pixels of a picture are looked at as edges.
const edgeShare = 0.1

func newSeeker(p plane) seeker {
	s := seeker{w: p.w, h: p.h, dx: make([]float32, len(p.v)), dy: make([]float32, len(p.v))}
	for y := range p.h {
		for x := range p.w {
			s.dx[y*p.w+x], s.dy[y*p.w+x] = p.slope(x, y)
		}
	}
	s.level()
	return s
}

// level sets what counts as an edge, from the pixels that have a slope.
func (s *seeker) level() {
	var some []float32
	step := max(1, len(s.dx)/20_000)
	for i := 0; i < len(s.dx); i += step {
		if m := s.dx[i]*s.dx[i] + s.dy[i]*s.dy[i]; m > 0 {
			some = append(some, m)
		}
	}
	s.least = 1e-6
	if len(some) > 0 {
		slices.Sort(some)
		s.least = max(s.least, some[int(float64(len(some)-1)*(1-edgeShare))])
	}
}

// vote returns for every pixel how many edges point at it from lo to hi px
// away: each edge votes along its slope, towards the bright side, or the dark
// one. Source: Ballard 1981, Pattern Recognition 13:111 (from memory).
func (s seeker) vote(lo, hi int, dark bool) []float32 {
	acc := make([]float32, s.w*s.h)
	sign := 1.0
	if dark {
		sign = -1
	}
	for y := range s.h {
		for x := range s.w {
			i := y*s.w + x
			m := s.dx[i]*s.dx[i] + s.dy[i]*s.dy[i]
			if !(m > s.least) {
				continue
			}
			f := sign / math.Sqrt(float64(m))
			ux, uy := float64(s.dx[i])*f, float64(s.dy[i])*f
			for r := lo; r <= hi; r++ {
				cx, cy := int(float64(x)+ux*float64(r)+0.5), int(float64(y)+uy*float64(r)+0.5)
				if cx < 0 || cy < 0 || cx >= s.w || cy >= s.h {
					break
				}
				acc[cy*s.w+cx]++
			}
		}
	}
	return acc
}

// spots returns up to most round things of radius lo to hi px, the best
// covered first.
func (s seeker) spots(lo, hi, most int) []spot {
	var out []spot
	if s.w < 3 || s.h < 3 || lo > hi {
		return nil
	}
	for _, dark := range []bool{false, true} {
		acc := plane{s.w, s.h, s.vote(lo, hi, dark)}.smooth(1)
		for _, i := range peaks(acc, max(lo/2, 2), 4*most) {
			if sp, ok := s.rim(i%s.w, i/s.w, lo, hi, dark); ok {
				out = append(out, sp)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Compare(b.merit(), a.merit()) })
	return firstApart(out, most)
}

func (a spot) merit() float64 { return a.cover * a.cover * a.step }

// firstApart drops spots that lie in one already taken.
func firstApart(in []spot, most int) (out []spot) {
	for _, a := range in {
		apart := !slices.ContainsFunc(out, func(b spot) bool {
			return math.Hypot(a.x-b.x, a.y-b.y) < 0.5*max(a.r, b.r)
		})
		if apart && len(out) < most {
			out = append(out, a)
		}
	}
	return out
}

// peaks returns the pixels that are the highest within gap px, highest first.
func peaks(p plane, gap, most int) []int {
	var at []int
	for y := 1; y < p.h-1; y++ {
		for x := 1; x < p.w-1; x++ {
			i := y*p.w + x
			v := p.v[i]
			if v > 3 && v >= p.v[i-1] && v > p.v[i+1] && v >= p.v[i-p.w] && v > p.v[i+p.w] {
				at = append(at, i)
			}
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(p.v[b], p.v[a]) })
	var out []int
	for _, i := range at {
		near := slices.ContainsFunc(out, func(j int) bool {
			return max(i%p.w-j%p.w, j%p.w-i%p.w) < gap && max(i/p.w-j/p.w, j/p.w-i/p.w) < gap
		})
		if !near {
			if out = append(out, i); len(out) == most {
				break
			}
		}
	}
	return out
}

const (
	looks = 48 // directions in which a rim is looked for
	// leastCover of the directions must show a rim for a spot to be looked at closely.
	leastCover = 0.6
)

// rim looks from a centre in many directions for the radius at which most of
// them show an edge that faces the centre.
func (s seeker) rim(cx, cy, lo, hi int, dark bool) (spot, bool) {
	sign := float32(1)
	if dark {
		sign = -1
	}
	seen, sum := make([]int, hi+2), make([]float64, hi+2)
	row := make([]float32, hi+2)
	for k := range looks {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / looks)
		for r := range row {
			row[r] = 0
			x, y := int(float64(cx)+float64(r)*cos+0.5), int(float64(cy)+float64(r)*sin+0.5)
			if x < 0 || y < 0 || x >= s.w || y >= s.h {
				continue
			}
			i := y*s.w + x
			in := -sign * (s.dx[i]*float32(cos) + s.dy[i]*float32(sin))
			if m := s.dx[i]*s.dx[i] + s.dy[i]*s.dy[i]; in > 0 && m > s.least && in*in > 0.8*m {
				row[r] = in
			}
		}
		for r := lo; r <= hi; r++ { // an oval and a rounded centre move the rim
			wide := max(1, r/12)
			if best := slices.Max(row[max(r-wide, 0):min(r+wide+1, len(row))]); best > 0 {
				seen[r]++
				sum[r] += float64(best)
			}
		}
	}
	best := spot{}
	for r := lo; r <= hi; r++ {
		if c := (spot{float64(cx), float64(cy), float64(r), float64(seen[r]) / looks, sum[r] / looks, dark}); c.merit() > best.merit() {
			best = c
		}
	}
	return best, best.cover >= leastCover
}
