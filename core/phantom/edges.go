package phantom

import "math"

// edge is where the wall of a tube is seen edge on at height z of the tube:
// the two places of its rim, in the frame of the tube, whose tangent plane
// holds the source s. With the rim at (cx + r·cos θ, cy + k·r·sin θ, z) and
// Q = (cx, cy, z) − s:
//
//	cos θ·(Qx − cx'·Qz) + sin θ·(Qy − cy'·Qz)/k = r'·Qz − r
//
// It reports false where the source looks along or into the tube.
func (t *tube) edge(s vec, z float64, inner bool) (a, b vec, ok bool) {
	q := t.at(z)
	r, dr := q.ro, q.dro
	if inner {
		r, dr = q.ri, q.dri
	}
	d := vec{q.cx, q.cy, z}.minus(s)
	x, y := d[0]-q.dcx*d[2], (d[1]-q.dcy*d[2])/t.k
	c := (dr*d[2] - r) / math.Sqrt(x*x+y*y)
	if !(c > -1 && c < 1) {
		return a, b, false
	}
	mid, half := math.Atan2(y, x), math.Acos(c)
	rim := func(th float64) vec {
		sin, cos := math.Sincos(th)
		return vec{q.cx + r*cos, q.cy + t.k*r*sin, z}
	}
	return rim(mid - half), rim(mid + half), true
}

// across is the true inner or outer width of a tube at z, over all of its
// wall, as seen from far away along the direction d of its own frame.
func (t *tube) across(d vec, z float64, inner bool) float64 {
	q := t.at(z)
	r := q.ro
	if inner {
		r = q.ri
	}
	n := math.Sqrt(d[0]*d[0] + d[1]*d[1])
	return 2 * r * math.Sqrt(d[1]*d[1]+t.k*t.k*d[0]*d[0]) / n
}

// seen is both edges of a tube on the film, at the detector in millimetres.
func (c camera) seen(t *tube, in pose, z float64, inner bool) (a, b [2]float64, ok bool) {
	at := in.after(t.from)
	p, q, ok := t.edge(at.back().on(vec{0, 0, c.sid}), z, inner)
	a[0], a[1] = c.project(at.on(p))
	b[0], b[1] = c.project(at.on(q))
	return a, b, ok
}

// narrow is the height between lo and hi where the seen inner width of a tube
// is least, by golden section after a search each millimetre.
func (c camera) narrow(t *tube, in pose, lo, hi float64) (float64, bool) {
	wide := func(z float64) float64 {
		a, b, ok := c.seen(t, in, z, true)
		if !ok {
			return math.Inf(1)
		}
		x, y := a[0]-b[0], a[1]-b[1]
		return math.Sqrt(x*x + y*y)
	}
	best := lo
	for z := lo; z <= hi; z++ {
		if wide(z) < wide(best) {
			best = z
		}
	}
	a, b := max(lo, best-1), min(hi, best+1)
	for range 40 {
		const g = 0.3819660112501051
		if p, q := a+g*(b-a), b-g*(b-a); wide(p) < wide(q) {
			b = q
		} else {
			a = p
		}
	}
	return (a + b) / 2, !math.IsInf(wide((a+b)/2), 1)
}

// flare is where the canal of the whole upper end is seen widest, left and
// right, across the axis 20 mm above the middle of the lesser trochanter.
func (k *knower) flare(in pose) (a, b pt, ok bool) {
	u0, v0 := k.project(in.on(vec{0, k.b.bow(flareAt), flareAt}))
	u1, v1 := k.project(in.on(vec{0, k.b.bow(flareAt + 10), flareAt + 10}))
	x, y := u1-u0, v1-v0
	n := math.Sqrt(x*x + y*y)
	x, y = y/n, -x/n // across the axis, to the right when the axis runs down
	lo, ok1 := k.outermost(in, u0, v0, -x, -y, true)
	hi, ok2 := k.outermost(in, u0, v0, x, y, true)
	return k.at(lo[0], lo[1]), k.at(hi[0], hi[1]), ok1 && ok2
}

// outermost is the furthest place from (u, v) along a direction, up to 90 mm,
// where a ray still meets the bone (or, inner, the inside of it).
func (k *knower) outermost(in pose, u, v, x, y float64, inner bool) ([2]float64, bool) {
	at := func(r float64) [2]float64 { return [2]float64{u + r*x, v + r*y} }
	lo := 90.0
	for ; lo > 0 && !k.meets(in, at(lo), inner); lo -= 0.25 {
	}
	hi := lo + 0.25
	for range 40 {
		if mid := (lo + hi) / 2; k.meets(in, at(mid), inner) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return at(lo), lo > 0
}

// meets reports whether the ray to a place of the detector passes through a
// solid of the bone, or through the inside of one.
func (k *knower) meets(in pose, p [2]float64, inner bool) bool {
	for i := range k.b.parts {
		back := in.after(k.b.parts[i].from).back()
		s := back.on(vec{0, 0, k.sid})
		o, n := k.b.parts[i].shape.spans(&ray{s, back.on(vec{p[0], p[1], 0}).minus(s)})
		if inner {
			o = n
		}
		if o.b > o.a {
			return true
		}
	}
	return false
}
