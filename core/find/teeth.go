package find

import (
	"math"
	"slices"
)

// teeth are graduations: their numbers and places along the strip, in px, and
// the straight line through them.
type teeth struct {
	n           []float64
	at, high    []float64
	first, gap  float64 // place of number 0, and spacing
	rms, gapU   float64
	share, sign float64 // of the places where one should be
	from, to    float64 // the taps
	wide        float64 // mean width
}

// loose is how far graduations may scatter about an even row.
func (t teeth) loose() float64 { return math.Max(0.35, 0.04*t.gap) }

// merit is large for many even graduations that are narrower than the spaces
// and near which the taps lie: it tells graduations from the spaces between.
func (t teeth) merit() float64 {
	if len(t.at) == 0 {
		return 0
	}
	off := math.Abs(math.Remainder(t.from-t.first, t.gap)) + math.Abs(math.Remainder(t.to-t.first, t.gap))
	return t.share * float64(len(t.at)) / math.Max(1, 3*t.rms) * math.Max(0.01, 1-t.wide/t.gap) * (1 - off/t.gap*0.7)
}

// teeth looks for a graduation at every period, starting from the phase at
// which the strip is highest, and follows them from there.
func (c comb) teeth(v []float64, gap, sign float64) teeth {
	best, score := 0.0, math.Inf(-1)
	for p := 0.0; p < gap; p += 0.5 {
		sum := 0.0
		for x := p; int(x*raySteps) < len(v); x += gap {
			sum += sign * v[int(x*raySteps)]
		}
		if sum > score {
			best, score = p, sum
		}
	}
	t := teeth{first: best, gap: gap, sign: sign, from: c.before, to: c.before + c.long}
	for range 4 {
		t = t.look(v)
		if len(t.at) < leastTicks {
			return teeth{}
		}
	}
	return t
}

// look finds each graduation near where the line through the last ones says,
// and lays a new line. A graduation must stand out of the middles of the
// spaces by three times their scatter.
func (t teeth) look(v []float64) teeth {
	at := func(x float64) float64 {
		i := int(x * raySteps)
		if i < 0 || i+1 >= len(v) {
			return 0
		}
		f := x*raySteps - float64(i)
		return t.sign * (v[i]*(1-f) + v[i+1]*f)
	}
	end := float64(len(v)-1) / raySteps
	n := int((end - t.first) / t.gap)
	base, grain, ok := t.ground(at, end)
	if !ok {
		return teeth{}
	}
	out := teeth{first: t.first, gap: t.gap, sign: t.sign, from: t.from, to: t.to}
	places := 0.0
	for k := range n + 1 {
		want := t.first + float64(k)*t.gap
		if want < t.from-0.6*t.gap || want > t.to+0.6*t.gap || want < 0.5*t.gap || want > end-0.5*t.gap {
			continue // the taps are on graduations: beyond them there may be none
		}
		places++
		if x, high, wide, ok := top(at, want, 0.35*t.gap); ok && high-base > 3*grain {
			out.wide += wide
			out.n, out.at, out.high = append(out.n, float64(k)), append(out.at, x), append(out.high, high-base)
		}
	}
	out.wide /= math.Max(1, float64(len(out.at)))
	out.weed()
	out.share = float64(len(out.at)) / math.Max(places, 1)
	return out.through()
}

// ground returns the middle and the scatter of the middles of the spaces.
func (t teeth) ground(at func(float64) float64, end float64) (base, grain float64, ok bool) {
	var mid []float64
	for x := t.first - t.gap/2; x < end; x += t.gap {
		if x > 0 {
			mid = append(mid, at(x))
		}
	}
	if len(mid) < leastTicks-1 {
		return 0, 0, false
	}
	slices.Sort(mid)
	return mid[len(mid)/2], (mid[len(mid)*3/4] - mid[len(mid)/4]) / 1.349, true
}

// weed drops what is less than a quarter as strong as the middle one.
func (t *teeth) weed() {
	if len(t.high) == 0 {
		return
	}
	least := slices.Sorted(slices.Values(t.high))[len(t.high)/2] / 4
	k := 0
	for i, h := range t.high {
		if h >= least {
			t.n[k], t.at[k], t.high[k] = t.n[i], t.at[i], h
			k++
		}
	}
	t.n, t.at, t.high = t.n[:k], t.at[:k], t.high[:k]
}

// top returns the middle of a bump near a place: the peak, and round it the
// centre of what rises above half way, over its own width.
func top(at func(float64) float64, want, reach float64) (x, high, wide float64, ok bool) {
	peak, low := want, math.Inf(1)
	high = math.Inf(-1)
	for d := -reach; d <= reach; d += 0.25 {
		y := at(want + d)
		if y > high {
			peak, high = want+d, y
		}
		low = math.Min(low, y)
	}
	level := (high + low) / 2
	l, r := peak, peak
	for l > want-2*reach && at(l) > level {
		l -= 0.05
	}
	for r < want+2*reach && at(r) > level {
		r += 0.05
	}
	return (l + r) / 2, high, r - l, high > low && r-l < 3*reach && math.Abs((l+r)/2-want) < 1.2*reach
}

// through lays the straight line through the places.
func (t teeth) through() teeth {
	k := float64(len(t.at))
	if k < leastTicks {
		return teeth{}
	}
	mn, mx := 0.0, 0.0
	for i := range t.at {
		mn, mx = mn+t.n[i]/k, mx+t.at[i]/k
	}
	nn, nx := 0.0, 0.0
	for i := range t.at {
		nn += (t.n[i] - mn) * (t.n[i] - mn)
		nx += (t.n[i] - mn) * (t.at[i] - mx)
	}
	t.gap = nx / nn
	t.first = mx - t.gap*mn
	ss := 0.0
	for i := range t.at {
		e := t.at[i] - t.first - t.gap*t.n[i]
		ss += e * e
	}
	t.rms = math.Sqrt(ss / (k - 2))
	t.gapU = 1.2 * math.Max(t.rms, 0.03) / math.Sqrt(nn) // 1.2: neighbours share grain
	if !finite(t.gap, t.first, t.rms) || !(t.gap >= leastSpacing-1) {
		return teeth{}
	}
	return t
}

// longer returns every how many graduations one is stronger, and which of those
// from first to last is the first such.
func (t teeth) longer(first, last float64) (every, which int) {
	for _, m := range []int{10, 5, 2} {
		for k := range m {
			weakest, others, seen := math.Inf(1), 0.0, -1
			long, i := 0, 0
			for j, n := range t.n {
				is := (int(n)-k)%m == 0
				if is {
					weakest = math.Min(weakest, t.high[j])
					long++
				} else {
					others = math.Max(others, t.high[j])
				}
				if n < first || n > last {
					continue
				}
				if is && seen < 0 {
					seen = i
				}
				i++
			}
			if long >= 2 && seen >= 0 && weakest > longFactor*others {
				return m, seen
			}
		}
	}
	return 0, 0
}
