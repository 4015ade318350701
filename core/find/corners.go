package find

import (
	"cmp"
	"math"
	"slices"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Frame is a quadrilateral in a photo: the outline of a film, a light box or
// a monitor. Corners run top left, top right, bottom right, bottom left, as
// they are seen; Edges are points on the top, right, bottom and left side, to
// check the corners by.
type Frame struct {
	Corners  [4]Edge  `json:"corners"`
	Edges    [4][]pt  `json:"edges_px"`
	EdgeSlip units.Px `json:"edge_slip_px"` // standard uncertainty of one such point
	Sure     float64  `json:"sure"`         // 0…1: share of the weakest side that is seen, less where another frame is as good
}

const (
	frameSide  = 320 // px: longer side of the picture in which frames are looked for
	lineDegs   = 180 // directions, one a degree
	mostLines  = 18
	leastArea  = 0.08 // of the photo
	leastSide  = 0.6  // share of each side that must be seen
	sidePoints = 40
)

// A streak is a straight edge at reduced size: all points with
// x·cos + y·sin = rho.
type streak struct {
	deg      int
	rho      float64
	sin, cos float64
}

func (a streak) line() line {
	p := px(a.rho*a.cos, a.rho*a.sin)
	return line{A: p, B: p.Plus(px(-a.sin, a.cos))}
}

// streaks returns the straight edges that most pixels vote for, at most most:
// each votes for lines within 2° of its own direction.
// Source: Duda and Hart 1972, Commun ACM 15:11 (from memory).
func (s seeker) streaks(most int) []streak {
	far := int(math.Hypot(float64(s.w), float64(s.h))) + 2
	acc := make([]float32, lineDegs*(2*far+1))
	var sin, cos [lineDegs]float64
	for d := range sin {
		sin[d], cos[d] = math.Sincos(float64(d) * math.Pi / lineDegs)
	}
	for y := 1; y < s.h-1; y++ {
		for x := 1; x < s.w-1; x++ {
			i := y*s.w + x
			if m := s.dx[i]*s.dx[i] + s.dy[i]*s.dy[i]; !(m > s.least) {
				continue
			}
			at := int(math.Round(math.Atan2(float64(s.dy[i]), float64(s.dx[i]))*180/math.Pi)) + 2*lineDegs
			for d := at - 2; d <= at+2; d++ {
				k := d % lineDegs
				rho := float64(x)*cos[k] + float64(y)*sin[k]
				acc[k*(2*far+1)+far+int(math.Round(rho))]++
			}
		}
	}
	return bestStreaks(acc, far, most, sin, cos)
}

func bestStreaks(acc []float32, far, most int, sin, cos [lineDegs]float64) (out []streak) {
	at := make([]int, 0, 1000)
	for i, v := range acc {
		if v >= 12 {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return int(acc[b]) - int(acc[a]) })
	for _, i := range at {
		d, rho := i/(2*far+1), float64(i%(2*far+1)-far)
		near := slices.ContainsFunc(out, func(o streak) bool {
			turn, r := d-o.deg, o.rho
			if turn > lineDegs/2 || turn < -lineDegs/2 { // a line has two directions
				turn, r = lineDegs-max(turn, -turn), -r
			}
			return max(turn, -turn) <= 4 && math.Abs(rho-r) < 4
		})
		if !near {
			out = append(out, streak{d, rho, sin[d], cos[d]})
			if len(out) == most {
				break
			}
		}
	}
	return out
}

// seen returns the share of the way from a to b on which there is an edge
// along it, all with the same side bright.
func (s seeker) seen(a, b pt) float64 {
	u, ok := line{A: a, B: b}.Unit()
	if !ok {
		return 0
	}
	nx, ny := -float32(u.Y), float32(u.X)
	up, down := 0, 0
	n := max(8, int(geom.Dist(a, b)))
	for i := range n {
		c := a.Plus(b.Minus(a).Times((float64(i) + 0.5) / float64(n)))
		best := float32(0)
		for _, off := range []float32{-1, 0, 1} {
			x, y := int(float32(c.X)+off*nx+0.5), int(float32(c.Y)+off*ny+0.5)
			if x < 0 || y < 0 || x >= s.w || y >= s.h {
				continue
			}
			j := y*s.w + x
			if d := s.dx[j]*nx + s.dy[j]*ny; d*d > max(s.least, 0.7*(s.dx[j]*s.dx[j]+s.dy[j]*s.dy[j])) && d*d > best*best {
				best = d
			}
		}
		switch {
		case best > 0:
			up++
		case best < 0:
			down++
		}
	}
	return float64(max(up, down)) / float64(n)
}

// A quadAt is a candidate frame at reduced size.
type quadAt struct {
	q            geom.Quad[units.Px]
	least, merit float64
}

// quads returns the quadrilaterals made of four streaks, the best first: the
// weakest side decides, then the size.
func (s seeker) quads(ls []streak) (out []quadAt) {
	type pair struct{ a, b streak }
	var pairs []pair
	for i, a := range ls {
		for _, b := range ls[:i] {
			if c := a.cos*b.cos + a.sin*b.sin; math.Abs(c) > 0.82 { // within 35°
				pairs = append(pairs, pair{a, b})
			}
		}
	}
	side := map[[2]pt]float64{}
	seen := func(a, b pt) float64 {
		k := [2]pt{a, b}
		v, ok := side[k]
		if !ok {
			v = s.seen(a, b)
			side[k] = v
		}
		return v
	}
	for i, p := range pairs {
		for _, r := range pairs[:i] {
			if c := p.a.cos*r.a.cos + p.a.sin*r.a.sin; math.Abs(c) > 0.64 { // under 50°
				continue
			}
			q, ok := s.corners(p.a, p.b, r.a, r.b)
			least := 1.0
			for k := 0; ok && k < 4; k++ {
				least = math.Min(least, seen(q[k], q[(k+1)%4]))
				ok = least >= leastSide
			}
			if ok {
				out = append(out, quadAt{q, least, least * least * math.Sqrt(math.Abs(q.Area()))})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b quadAt) int { return cmp.Compare(b.merit, a.merit) })
	return out
}

// corners returns where two pairs of lines meet, in order, when that is a
// convex quadrilateral on the picture of sensible size.
func (s seeker) corners(a, b, c, d streak) (q geom.Quad[units.Px], ok bool) {
	ways := [4][2]streak{{a, c}, {c, b}, {b, d}, {d, a}}
	for i, w := range ways {
		if q[i], ok = geom.Meet(w[0].line(), w[1].line()); !ok || !q[i].Finite() {
			return q, false
		}
		if x, y := float64(q[i].X), float64(q[i].Y); x < 0 || y < 0 || x > float64(s.w-1) || y > float64(s.h-1) {
			return q, false
		}
	}
	way, err := q.Check()
	if err != nil || math.Abs(q.Area()) < leastArea*float64(s.w*s.h) {
		return q, false
	}
	if way < 0 {
		q[1], q[3] = q[3], q[1]
	}
	return ordered(q), true
}

// ordered starts with the corner at the top left: the least x + y.
func ordered(q geom.Quad[units.Px]) (out geom.Quad[units.Px]) {
	first := 0
	for i, p := range q {
		if p.X+p.Y < q[first].X+q[first].Y {
			first = i
		}
	}
	for i := range out {
		out[i] = q[(first+i)%4]
	}
	return out
}

// Corners returns the strongest frame in a photo, see Frames. It refuses a
// photo without one.
func Corners(g Grey) (Frame, error) {
	f, err := Frames(g)
	if err != nil {
		return Frame{}, err
	}
	if len(f) == 0 {
		return Frame{}, refuse("frame", "no-frame")
	}
	return f[0], nil
}

// Frames returns up to three frames in a photo, the best first: four straight
// edges, two and two about parallel, whose corners lie on the photo, each seen
// over at least 60 % of its length. Within the first it looks once more, as a
// film on a light box is fainter than the box. Straight lines are laid through
// points found to a part of a pixel at full size, and meet in the corners; a
// corner's slip is that of the two lines at their ends. It assumes a photo
// without strong distortion; an edge that is bowed makes the slip larger. It
// refuses only a picture that is none; no frame is an empty list.
func Frames(g Grey) ([]Frame, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	n := max(1, (max(g.Width, g.Height)+frameSide-1)/frameSide)
	out := []Frame{}
	if min(g.Width, g.Height)/n < 16 {
		return out, nil
	}
	s := newSeeker(g.shrink(n, n).smooth(0.8))
	out = s.frames(g, n, 2, out)
	if len(out) > 0 {
		s.within(out[0], n)
		out = s.frames(g, n, 3, out)
	}
	return out, nil
}

// frames adds frames that are not there yet, up to most in all.
func (s seeker) frames(g Grey, n, most int, out []Frame) []Frame {
	for i, c := range s.quads(s.streaks(mostLines)) {
		for k, p := range c.q {
			x, y := grown(float64(p.X), float64(p.Y), n, n)
			c.q[k] = px(x, y)
		}
		known := slices.ContainsFunc(out, func(o Frame) bool { return sharesSide(o, c.q, 6*float64(n)) })
		if known || i > 200 {
			continue
		}
		if len(out) >= most {
			break
		}
		if f, ok := frame(g, c, float64(n)); ok {
			out = append(out, f)
		}
	}
	return out
}

// within wipes out everything but the inside of a frame, 4 px from its edges.
func (s *seeker) within(f Frame, n int) {
	for y := range s.h {
		for x := range s.w {
			fx, fy := grown(float64(x), float64(y), n, n)
			for k := range 4 {
				_, aside, ok := line{A: f.Corners[k].At, B: f.Corners[(k+1)%4].At}.Along(px(fx, fy))
				if !ok || float64(aside) < 4*float64(n) {
					s.dx[y*s.w+x], s.dy[y*s.w+x] = 0, 0
				}
			}
		}
	}
	s.level()
}

// sharesSide reports whether a side of q lies along one of a frame: then it is
// made of sides of the frame and something inside.
func sharesSide(a Frame, q geom.Quad[units.Px], within float64) bool {
	for i := range q {
		for k := range q {
			l := line{A: a.Corners[k].At, B: a.Corners[(k+1)%4].At}
			_, p, ok1 := l.Along(q[i])
			_, r, ok2 := l.Along(q[(i+1)%4])
			if ok1 && ok2 && math.Abs(float64(p)) < within && math.Abs(float64(r)) < within {
				return true
			}
		}
	}
	return false
}

// frame finds the four sides at full size.
func frame(g Grey, c quadAt, n float64) (Frame, bool) {
	f := Frame{Sure: c.least}
	var sides [4]side
	for k := range 4 {
		var ok bool
		if sides[k], ok = sideOf(g, c.q[k], c.q[(k+1)%4], 2*n+4); !ok {
			return f, false
		}
		f.Edges[k] = sides[k].on
		f.EdgeSlip = max(f.EdgeSlip, units.Px(sides[k].s))
		f.Sure = math.Min(f.Sure, sides[k].share)
	}
	for k := range 4 {
		before := sides[(k+3)%4]
		at, ok := geom.Meet(before.l, sides[k].l)
		if !ok || !g.on(at) || float64(geom.Dist(at, c.q[k])) > 6*n+8 {
			return f, false
		}
		f.Corners[k] = Edge{At: at, Slip: units.Px(math.Hypot(before.end, sides[k].end)), Sure: math.Min(before.share, sides[k].share)}
	}
	return f, true
}
