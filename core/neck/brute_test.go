package neck

import (
	"math"
	"testing"

	"isthmus/core/testkit"
)

// A second implementation, for tests only, that shares no line with the
// first: it turns everything into the frame of the neck with rotation
// matrices, walks the rim of each screw, looks at the whole stretch instead
// of its ends, and finds the best nail by trying a grid of depths and turns.

type matrix [3][3]float64

func (m matrix) of(v [3]float64) (out [3]float64) {
	for i := range 3 {
		for j := range 3 {
			out[i] += m[i][j] * v[j]
		}
	}
	return out
}

func times(a, b matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return out
}

// tilt turns Up towards Medial, swing turns Medial towards Front.
func tilt(a float64) matrix {
	return matrix{{math.Cos(a), math.Sin(a), 0}, {-math.Sin(a), math.Cos(a), 0}, {0, 0, 1}}
}
func swing(a float64) matrix {
	return matrix{{math.Cos(a), 0, -math.Sin(a)}, {0, 1, 0}, {math.Sin(a), 0, math.Cos(a)}}
}

func transpose(m matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			out[i][j] = m[j][i]
		}
	}
	return out
}

const stations = 6

// A trial is one turn: for each screw and station the place in the section
// (across, up) at depth 0, how it moves with depth, and half of the cut.
type trial struct {
	x, y         [2][stations]float64
	dx, dy       float64
	wide, high   [2]float64
	halfH, halfW float64
	keep         Keep
}

func try(b Bone, n Nail, k Keep, turn float64) trial {
	toNeck := transpose(times(swing(rad(float64(b.Version.Best))), tilt(math.Pi-rad(float64(b.NeckShaft.Best)))))
	screw := times(swing(turn), tilt(math.Pi-rad(float64(n.Angle))))
	head := [3]float64{float64(b.Head.Medial.Best), float64(b.Head.Up.Best), float64(b.Head.Front.Best)}
	place := func(p [3]float64) [3]float64 {
		return toNeck.of([3]float64{p[0] - head[0], p[1] - head[1], p[2] - head[2]})
	}
	// cut follows a line of the screw (from a place along its direction) to
	// where it passes so far behind the head along the neck.
	dir := toNeck.of(screw.of([3]float64{0, 1, 0}))
	cut := func(p [3]float64, behind float64) (x, y float64) {
		q := place(p)
		l := (-behind - q[1]) / dir[1]
		return q[2] + l*dir[2], -(q[0] + l*dir[0])
	}
	t := trial{halfH: float64(b.Height.Best) / 2, halfW: float64(b.Width.Best) / 2, keep: k}
	rise := [2]float64{0, float64(n.Spacing) / math.Cos(rad(float64(n.Angle)-90))}
	dia := [2]float64{float64(n.LowerDia), float64(n.UpperDia)}
	for i := range 2 {
		for j := range stations {
			behind := float64(b.From) + float64(j)/(stations-1)*float64(b.To-b.From)
			t.x[i][j], t.y[i][j] = cut([3]float64{0, rise[i], 0}, behind)
		}
		x1, y1 := cut([3]float64{0, rise[i] - 1, 0}, float64(b.From))
		t.dx, t.dy = x1-t.x[i][0], y1-t.y[i][0]
		for a := range 360 {
			sin, cos := math.Sincos(float64(a) * math.Pi / 180)
			rim := screw.of([3]float64{dia[i] / 2 * cos, 0, dia[i] / 2 * sin})
			x, y := cut([3]float64{rim[0], rise[i] + rim[1], rim[2]}, float64(b.From))
			t.wide[i] = math.Max(t.wide[i], x-t.x[i][0])
			t.high[i] = math.Max(t.high[i], y-t.y[i][0])
		}
	}
	return t
}

// left returns the least margins of one screw at a depth: up, down, front, back.
func (t trial) left(i int, depth float64) (up, down, front, back float64) {
	up, down, front, back = 1e9, 1e9, 1e9, 1e9
	for j := range stations {
		x, y := t.x[i][j]+depth*t.dx, t.y[i][j]+depth*t.dy
		wall := t.halfH * math.Sin(math.Acos(math.Min(1, math.Abs(x)/t.halfW)))
		side := t.halfW * math.Sin(math.Acos(math.Min(1, math.Abs(y)/t.halfH)))
		up, down = math.Min(up, wall-y-t.high[i]), math.Min(down, wall+y-t.high[i])
		front, back = math.Min(front, side-x-t.wide[i]), math.Min(back, side+x-t.wide[i])
	}
	return up, down, front, back
}

func (t trial) room(depth float64, seat Seat) float64 {
	least := 1e9
	for i := range 2 {
		up, down, front, back := t.left(i, depth)
		up, down = up-float64(t.keep.Upper), down-float64(t.keep.Lower)
		front, back = front-float64(t.keep.Side), back-float64(t.keep.Side)
		if seat == AlongLower {
			down = 1e9
		}
		least = math.Min(math.Min(least, math.Min(up, down)), math.Min(front, back))
	}
	return least
}

// lowest returns the depth at which the lower screw keeps its clearance, by halving.
func (t trial) lowest(lo, hi float64) float64 {
	for range 50 {
		mid := (lo + hi) / 2
		if _, down, _, _ := t.left(0, mid); down > float64(t.keep.Lower) {
			lo = mid
			continue
		}
		hi = mid
	}
	return lo
}

// brute tries every turn of a grid with every depth of a grid, more finely
// about the best depth, and then again more finely about the best turn.
func brute(b Bone, n Nail, k Keep, seat Seat, about Pose) (depth, turn, room float64) {
	depth, turn = float64(about.Depth), float64(about.Turn)
	for _, wide := range []float64{12, 1, 0.1} {
		middle, best := turn, math.Inf(-1)
		for i := -24; i <= 24; i++ {
			at := middle + wide*float64(i)/24
			t := try(b, n, k, rad(at))
			limit := t.lowest(depth-40, depth+40)
			d, v := limit, t.room(limit, seat)
			if seat == MostRoom {
				d, v = t.sweep(limit-20, limit, 0.1)
				d, v = t.sweep(d-0.2, math.Min(d+0.2, limit), 0.002)
			}
			if v > best {
				depth, turn, best = d, at, v
			}
		}
		room = best
	}
	return depth, turn, room
}

// sweep returns the best of all depths in steps, the deepest too.
func (t trial) sweep(lo, hi, step float64) (depth, room float64) {
	depth, room = hi, t.room(hi, MostRoom)
	for d := lo; d < hi; d += step {
		if v := t.room(d, MostRoom); v > room {
			depth, room = d, v
		}
	}
	return depth, room
}

// cases are necks that differ in every way a neck can.
func cases() map[string]struct {
	b Bone
	n Nail
	k Keep
} {
	type c = struct {
		b Bone
		n Nail
		k Keep
	}
	out := map[string]c{"plain": {plain(), plainNail(), three}, "askew": {askew(), plainNail(), three}}
	b := askew()
	b.NeckShaft.Best, b.Width = 121, mm(20)
	out["steeper screws, narrow"] = c{b, plainNail(), Keep{Lower: 3, Upper: 2, Side: 1, Tip: 5}}
	b = askew()
	b.NeckShaft.Best, b.Version.Best, b.Head.Front = 139, 25, mm(14)
	n := plainNail()
	n.LowerDia, n.UpperDia, n.Spacing = 8, 6, 13
	out["flatter screws, much version"] = c{b, n, Keep{Lower: 2, Upper: 3, Side: 2, Tip: 5}}
	b = askew()
	b.Version.Best, b.Head.Front = -10, mm(3)
	b.From, b.To = 28, 28
	out["backwards, one section"] = c{b, plainNail(), three}
	b = askew()
	b.Height, b.Width = mm(21), mm(22)
	out["too low"] = c{b, plainNail(), three}
	return out
}

func TestSolveAgainstBruteForce(t *testing.T) {
	for name, c := range cases() {
		for _, seat := range []Seat{AlongLower, MostRoom} {
			s := solved(t, c.b, c.n, c.k, seat)
			about := Pose{Depth: s.Depth + 1.7, Turn: s.Turn - 2.3} // a start that is not the answer
			depth, turn, room := brute(c.b, c.n, c.k, seat, about)
			testkit.Near(t, name+": depth", float64(s.Depth), depth, 0.1)
			testkit.Near(t, name+": turn", float64(s.Turn), turn, 0.1)
			testkit.Near(t, name+": room", float64(s.Room.Best), room, 0.02)
			b := try(c.b, c.n, c.k, rad(float64(s.Turn)))
			for i, w := range []Screw{s.Lower, s.Upper} {
				up, down, front, back := b.left(i, float64(s.Depth))
				near(t, name+": up", w.Up, up, 0.01)
				near(t, name+": down", w.Down, down, 0.01)
				near(t, name+": front", w.Front, front, 0.01)
				near(t, name+": back", w.Back, back, 0.01)
			}
		}
	}
}

// Off, reach and nearest against a walk along each screw in small steps.
func TestReachAgainstAWalk(t *testing.T) {
	for name, c := range cases() {
		s := solved(t, c.b, c.n, c.k, MostRoom)
		dir := times(swing(rad(float64(s.Turn))), tilt(math.Pi-rad(float64(c.n.Angle)))).of([3]float64{0, 1, 0})
		head := [3]float64{float64(c.b.Head.Medial.Best), float64(c.b.Head.Up.Best), float64(c.b.Head.Front.Best)}
		for i, w := range []Screw{s.Lower, s.Upper} {
			start := -float64(s.Depth) + float64(i)*float64(c.n.Spacing)/math.Sin(rad(float64(c.n.Angle)))
			away := func(l float64) float64 {
				return math.Sqrt(math.Pow(l*dir[0]-head[0], 2) + math.Pow(start+l*dir[1]-head[1], 2) + math.Pow(l*dir[2]-head[2], 2))
			}
			off, last := 1e9, 0.0
			for l := 0.0; l < 160; l += 0.005 {
				off = math.Min(off, away(l))
				if away(l) <= float64(c.b.Radius.Best) {
					last = l
				}
			}
			near(t, name+": off", w.Off, off, 1e-3)
			near(t, name+": reach", w.Reach, last, 0.01)
			near(t, name+": length", *w.Length, 20+last-5, 0.01)
			near(t, name+": nearest", w.Nearest, float64(c.b.Radius.Best)-away(last-5), 0.01)
		}
	}
}
