package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Wall names one of the four edges of a tube of bone, from left to right as
// one looks at the film with the upper tap on top.
type Wall int

const (
	OuterLeft Wall = iota
	InnerLeft
	InnerRight
	OuterRight
)

// A Fix is a place that a person gave to an edge: the trace runs through it.
type Fix struct {
	Edge Wall `json:"edge"`
	At   pt   `json:"at_px"`
}

// A Level is one cross-section of the shaft. Edge and Slip are in the order of
// Wall; they are empty where the level is left out, and Out says why: "faint"
// (an edge does not stand out of the grain, or far less than elsewhere, as at
// a fracture), "rival" (two edges of like strength), "jump" (an edge leaves its
// neighbours), "bright" (the canal is brighter than the walls, as with an
// implant), "inside" (edges like the outer ones lie further out, as
// with a hollow implant in the canal), "island" (too few measured levels in a row),
// "rim" (it leaves the film).
type Level struct {
	Along  units.Px   `json:"along_px"` // along the centre line from the upper tap
	Centre pt         `json:"centre_px"`
	Edge   []pt       `json:"edge_px,omitempty"`
	Slip   []units.Px `json:"slip_px,omitempty"` // standard uncertainty across, own to the level
	Sure   float64    `json:"sure"`              // 0…1
	Out    string     `json:"out,omitempty"`
}

// A Shaft is the trace of a shaft between two taps.
type Shaft struct {
	Levels []Level `json:"levels"`
	// Standard uncertainties that all levels share: of the canal's and of the
	// outer width, from the form of the blurred edges.
	InnerU units.Px `json:"inner_u_px"`
	OuterU units.Px `json:"outer_u_px"`
	Seen   float64  `json:"seen"` // share of the levels that are measured
}

// Limits of a trace, in px of the film.
const (
	leastShaft  = 120 // between the taps
	mostFixes   = 64
	leastLevels = 0.4 // share of levels that must be measured
)

// Trace returns the four edges of the shaft between two taps in the bone, for
// instance below the lesser trochanter and above the condyles. The film is
// laid straight along the line of the taps; four edges at once, two bright
// walls about a dark canal, are the path of least cost down the levels
// (dynamic programming: Bellman 1957) with a price on every step aside. Then
// it is laid straight along the middle that was found, each edge is followed
// alone between its neighbours, and the true edge is found from the form of
// the blurred shadow (see form). Order and least wall and canal always hold.
//
// A wall's shadow is that of a pipe: edges are the silhouettes of its outer
// and of its inner surface. A level where an edge is unsure is left out and
// never filled in. It refuses taps off the film or under 120 px apart, fixes
// off the film or out of order, and a shaft of which less than 40 % is seen.
func Trace(g Grey, upper, lower pt, fixed []Fix) (Shaft, error) {
	if err := g.check(); err != nil {
		return Shaft{}, err
	}
	if !upper.Finite() || !lower.Finite() || !g.on(upper) || !g.on(lower) {
		return Shaft{}, refuse("shaft", "outside")
	}
	long := float64(geom.Dist(upper, lower))
	if !(long >= leastShaft) {
		return Shaft{}, refuse("shaft", "close", long, leastShaft)
	}
	for _, f := range fixed {
		if !f.At.Finite() || !g.on(f.At) || f.Edge < OuterLeft || f.Edge > OuterRight || len(fixed) > mostFixes {
			return Shaft{}, refuse("shaft", "fix")
		}
	}
	path, half := g.coarse(upper, lower, fixed)
	if len(half) == 0 || !(median(half) > 4) {
		return Shaft{}, refuse("shaft", "none")
	}
	var w *walls
	for range 2 {
		w = g.fine(path, half, fixed)
		if !w.follow() {
			return Shaft{}, refuse("shaft", "fix")
		}
		path, half = w.again()
	}
	w.judge(true)
	if s := w.seen(); !(s >= leastLevels) {
		return Shaft{}, refuse("shaft", "unseen", 100*s, 100*leastLevels)
	}
	return w.state()
}

// walls is the work on the strip along the middle of the bone.
type walls struct {
	strip
	fix  [4][]float64 // column of a fix at a level, or −1
	path [4][]float64 // columns of the edges
	fall [4][]float64 // their steepness
	slip [4][]float64
	out  []string
	sure []float64
	half []float64 // half of the outer width that was found first, columns
	wide float64   // outer width, columns
}

// sign is how the grey runs across a wall from left to right.
var sign = [4]float64{1, -1, 1, -1}

func (w *walls) seen() float64 {
	n := 0
	for _, o := range w.out {
		if o == "" {
			n++
		}
	}
	return float64(n) / float64(len(w.out))
}

// state takes the columns back to the film.
func (w *walls) state() (Shaft, error) {
	f := w.form()
	s := Shaft{Seen: w.seen(), InnerU: units.Px(f.inner * w.step), OuterU: units.Px(f.outer * w.step)}
	along := 0.0
	for i := range w.n {
		if i > 0 {
			along += float64(geom.Dist(w.at[i], w.at[i-1]))
		}
		l := Level{Along: units.Px(along), Centre: w.at[i], Sure: w.sure[i], Out: w.out[i]}
		if l.Out == "" {
			for e := range 4 {
				x := w.path[e][i] + f.shift[e][i]
				l.Edge = append(l.Edge, w.place(i, x))
				l.Slip = append(l.Slip, units.Px(w.slip[e][i]*w.step))
			}
			l.Centre = geom.Mid(l.Edge[InnerLeft], l.Edge[InnerRight])
			if !finite(float64(l.Centre.X+l.Centre.Y)) || !g4(l.Edge, w.across[i]) {
				l.Edge, l.Slip, l.Out = nil, nil, "rival"
			}
		}
		s.Levels = append(s.Levels, l)
	}
	if !finite(float64(s.InnerU), float64(s.OuterU)) {
		return Shaft{}, refuse("shaft", "none")
	}
	return s, nil
}

// g4 reports whether four edges lie in order.
func g4(e []pt, u pt) bool {
	for i := 1; i < 4; i++ {
		if !(geom.Dot(e[i].Minus(e[i-1]), u) > 0) {
			return false
		}
	}
	return true
}

// judge marks the levels that are left out, and one to each side of them; a
// shaft is hollow, and its canal must be dark.
func (w *walls) judge(hollow bool) {
	w.out, w.sure = make([]string, w.n), make([]float64, w.n)
	grain := w.grain()
	for e := range 4 {
		w.slip[e] = make([]float64, w.n)
		usual := median(w.fall[e])
		near5 := boxed(w.fall[e], 4)
		for i := range w.n {
			w.sure[i] = 1
			near := smoothAt(w.path[e], i, 6)
			w.slip[e][i] = math.Hypot(0.08, math.Hypot(0.5*grain/math.Max(w.fall[e][i], 1e-9), 0.5*math.Abs(w.path[e][i]-near)))
			if why := w.unsure(e, i, usual, near5[i]/(0.5*grain), near); why != "" && w.out[i] == "" {
				w.out[i] = why
			}
		}
	}
	for i := range w.n {
		for e := range 4 {
			w.sure[i] = math.Min(w.sure[i], w.fall[e][i]/math.Max(median(w.fall[e]), 1e-9))
		}
		w.sure[i] = math.Max(0, math.Min(1, w.sure[i]))
		if hollow && w.out[i] == "" && w.isBright(i) {
			w.out[i] = "bright"
		}
		if hollow && w.out[i] == "" && w.isInside(i, 6*grain) {
			w.out[i] = "inside"
		}
	}
	wider := append([]string(nil), w.out...)
	for i, o := range w.out {
		for _, k := range []int{i - 1, i + 1} {
			if o != "" && k >= 0 && k < w.n && wider[k] == "" {
				wider[k] = o
			}
		}
	}
	w.out = wider
	w.islands()
	for i := range w.n {
		if w.out[i] != "" {
			w.sure[i] = 0
		}
	}
}

// islands leaves out runs of fewer than six measured levels: among levels that
// are left out, so few agree by chance.
func (w *walls) islands() {
	from := 0
	for i := 0; i <= w.n; i++ {
		if i < w.n && w.out[i] == "" {
			continue
		}
		if i-from < 6 {
			for k := from; k < i; k++ {
				w.out[k] = "island"
			}
		}
		from = i + 1
	}
}

// unsure says why an edge cannot be believed at a level; a fix is believed.
func (w *walls) unsure(e, i int, usual, clear, near float64) string {
	x, fall := w.path[e][i], w.fall[e][i]
	switch {
	case x < 2 || x > float64(w.m-3) || w.off[i]:
		return "rim"
	case w.fix[e][i] >= 0:
		return ""
	case !(clear > 4) || !(fall > 0.25*usual):
		return "faint"
	case !(math.Abs(x-near) <= 0.02*w.wide+1):
		return "jump"
	}
	lo, hi := w.between(e, i)
	for j := int(math.Max(lo, 1)); j < int(math.Min(hi, float64(w.m-1))); j++ {
		d := sign[e] * float64(w.d[i*w.m+j])
		if far := math.Abs(float64(j) - x); far > 0.05*w.wide && far < 0.25*w.wide && d > 1.15*fall {
			return "rival"
		}
	}
	return ""
}

// between are the columns that an edge has to itself at a level.
func (w *walls) between(e, i int) (lo, hi float64) {
	gap := 0.02 * w.wide
	c := (w.path[InnerLeft][i] + w.path[InnerRight][i]) / 2
	switch Wall(e) {
	case OuterLeft:
		return w.path[e][i] - 0.15*w.wide, w.path[InnerLeft][i] - gap
	case InnerLeft:
		return w.path[OuterLeft][i] + gap, c
	case InnerRight:
		return c, w.path[OuterRight][i] - gap
	}
	return w.path[InnerRight][i] + gap, w.path[e][i] + 0.15*w.wide
}

// isBright reports whether the middle of the canal is not clearly darker than
// both walls next to it. What lies before and behind the bone, thick on one
// side and thin on the other, is taken off first: a straight line from the
// grey outside of one outer edge to that outside of the other.
func (w *walls) isBright(i int) bool {
	mean := func(a, b float64) float64 {
		sum, n := 0.0, 0.0
		for k := max(i-2, 0); k <= min(i+2, w.n-1); k++ {
			for j := max(int(a), 0); j <= min(int(b), w.m-1); j++ {
				sum, n = sum+float64(w.v[k*w.m+j]), n+1
			}
		}
		return sum / math.Max(n, 1)
	}
	var e [4]float64
	for k := range 4 {
		e[k] = w.path[k][i]
	}
	out := 0.08 * (e[3] - e[0])
	before, behind := mean(e[0]-2*out, e[0]-out), mean(e[3]+out, e[3]+2*out)
	tilt := (behind - before) / (e[3] - e[0] + 3*out)
	level := func(a, b float64) float64 { return mean(a, b) - tilt*(a+b)/2 }
	mid := level(e[1]+0.3*(e[2]-e[1]), e[1]+0.7*(e[2]-e[1]))
	left, right := level(e[1]-0.6*(e[1]-e[0]), e[1]-1), level(e[2]+1, e[2]+0.6*(e[3]-e[2]))
	return !(mid < left && mid < right)
}

// isInside reports whether edges that run like the outer ones lie further out,
// within the width of what was found: on both sides, or a strong one on one.
// One that is far stronger is the border of the field, or metal beside the bone.
func (w *walls) isInside(i int, least float64) bool {
	row := w.d[i*w.m : (i+1)*w.m]
	a, b := w.path[OuterLeft][i], w.path[OuterRight][i]
	further := func(lo, hi, sign, fall float64) (share float64) {
		q := max(5, int(0.12*w.wide)) // the slope of soft tissue is broad, an edge is not
		for j := max(int(lo), q); j <= min(int(hi), w.m-1-q); j++ {
			at := func(j int) float64 { return sign * float64(row[j]) }
			top := at(j) >= at(j-1) && at(j) >= at(j+1)
			if d := at(j) - math.Max(at(j-q), at(j+q)); top && d > least && d < 1.5*fall {
				share = math.Max(share, d/fall)
			}
		}
		return share
	}
	l := further(a-(b-a), a-0.12*(b-a), 1, w.fall[OuterLeft][i])
	r := further(b+0.12*(b-a), b+(b-a), -1, w.fall[OuterRight][i])
	return l > 0.12 && r > 0.12 || l > 0.25 || r > 0.25
}
