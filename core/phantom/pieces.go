package phantom

import "math"

// A piece is what moves as one: the bone between two breaks. inRoom takes the
// frame of the whole bone into the room.
type piece struct {
	inRoom pose
	moved  pose // within the frame of the bone
	cuts   []cut
	lo, hi float64 // heights on the axis that it holds
}

// A cut keeps n·p ≤ at.
type cut struct {
	n  vec
	at float64
}

// plane is the plane of a break: its normal and a place on it.
func (b *body) plane(k Break) (n, at vec) {
	s, c := math.Sincos(float64(k.Oblique) * math.Pi / 180)
	return vec{s, 0, c}, vec{0, b.bow(float64(k.Level)), float64(k.Level)}
}

// pieces are the bone from above: one more than it has breaks. What lies below
// a break is turned about it and moved: p ↦ R·(p − at) + at + move.
func (b *body) pieces(whole pose) []piece {
	now := piece{inRoom: whole, moved: pose{m: one}, lo: math.Inf(-1), hi: math.Inf(1)}
	var out []piece
	for _, k := range []Break{b.f.Break, b.f.Second} {
		if k.Level == 0 {
			continue
		}
		n, at := b.plane(k)
		reach := math.Abs(n[0]/n[2])*float64(b.f.Outer)/2 + 1
		up := now
		up.cuts = append(up.cuts[:len(up.cuts):len(up.cuts)], cut{n, n.dot(at)})
		up.hi = float64(k.Level) - reach
		out = append(out, up)
		m := turn(0, 2, -float64(k.Bend))
		move := pose{m, at.minus(m.on(at)).plus(vec{float64(k.Aside), float64(k.Front), float64(k.Gap)})}
		now.moved = now.moved.after(move)
		now.inRoom = whole.after(now.moved)
		now.cuts = []cut{{n.times(-1), -n.dot(at)}}
		now.lo = float64(k.Level) + reach
	}
	return append(out, now)
}

// of is the piece that holds a height of the axis, and whether it lies clear
// of the breaks.
func of(ps []piece, z float64) (piece, bool) {
	for _, p := range ps {
		if z <= p.hi {
			return p, z >= p.lo
		}
	}
	return ps[len(ps)-1], true
}

// ends are the upper and the lower end of a break, on the outside of the
// shaft, in the middle of its depth.
func (b *body) ends(n, at vec) (high, deep vec) {
	r, slope := float64(b.f.Outer)/2, math.Abs(n[0]/n[2])
	if n[0] < 0 {
		r = -r
	}
	rise := slope * math.Abs(r)
	return at.plus(vec{r, 0, -rise}), at.plus(vec{-r, 0, rise})
}
