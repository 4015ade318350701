package phantom

import "math"

// A ray is S + t·d, t from 0 at the source to 1 at the detector. In the frame
// of a solid S stays and d grows by step from column to column.
type ray struct{ s, d vec }

// long is the length of the ray.
func (r *ray) long() float64 {
	return math.Sqrt(r.d[0]*r.d[0] + r.d[1]*r.d[1] + r.d[2]*r.d[2])
}

// A span is the part of a ray inside a convex solid; empty when b ≤ a.
type span struct{ a, b float64 }

// A knot is one place of a tube: its axis, its two radii and how they grow
// until the next.
type knot struct{ cx, cy, ro, ri, dcx, dcy, dro, dri float64 }

// A tube is a bowed pipe round the z axis of its own frame, cut flat at z0 and
// z1. Its cross-sections are ellipses with half axes r and k·r; between knots,
// 1 mm apart, everything is straight.
type tube struct {
	from   pose // frame of the tube → frame of its piece
	z0, z1 float64
	k, ik  float64 // ik = 1/k
	knots  []knot
}

// newTube lays knots along the functions.
func newTube(from pose, z0, z1, k float64, at func(z float64) (cx, cy, ro, ri float64)) *tube {
	n := int(math.Ceil(z1-z0)) + 1
	t := &tube{from: from, z0: z0, z1: z1, k: k, ik: 1 / k, knots: make([]knot, n+1)}
	for i := range t.knots {
		q := &t.knots[i]
		q.cx, q.cy, q.ro, q.ri = at(z0 + float64(i))
	}
	for i := range n {
		q, p := &t.knots[i], &t.knots[i+1]
		q.dcx, q.dcy, q.dro, q.dri = p.cx-q.cx, p.cy-q.cy, p.ro-q.ro, p.ri-q.ri
	}
	t.knots = t.knots[:n]
	return t
}

// at is the tube at a height: every value of it, with its growth.
func (t *tube) at(z float64) knot {
	i := t.index(z)
	q := t.knots[i]
	h := z - t.z0 - float64(i)
	q.cx, q.cy, q.ro, q.ri = q.cx+h*q.dcx, q.cy+h*q.dcy, q.ro+h*q.dro, q.ri+h*q.dri
	return q
}

func (t *tube) index(z float64) int {
	i := int(z - t.z0)
	if i < 0 {
		return 0
	}
	return min(i, len(t.knots)-1)
}

// spans are the outer and the inner part of a ray, in the frame of the tube.
// Near the ray the tube is the cone of the knot that the ray passes closest to
// the axis: a quadratic. It errs by less than 0.02 mm for a bow of 900 mm.
func (t *tube) spans(r *ray) (outer, inner span) {
	s0, s1, s2 := r.s[0], r.s[1]*t.ik, r.s[2]
	d0, d1, d2 := r.d[0], r.d[1]*t.ik, r.d[2]
	flat := d0*d0 + d1*d1
	if !(flat > 0) {
		return
	}
	z := (t.z0 + t.z1) / 2
	slope := d2 / flat
	for range 2 {
		i := t.index(z)
		q := &t.knots[i]
		h := z - t.z0 - float64(i)
		near := (q.cx+h*q.dcx-s0)*d0 + ((q.cy+h*q.dcy)*t.ik-s1)*d1
		z = s2 + near*slope
	}
	i := t.index(z)
	q := &t.knots[i]
	up := s2 - t.z0 - float64(i)
	x, y := s0-q.cx-q.dcx*up, s1-(q.cy+q.dcy*up)*t.ik
	dx, dy := d0-q.dcx*d2, d1-q.dcy*t.ik*d2
	a, b, c := dx*dx+dy*dy, x*dx+y*dy, x*x+y*y
	outer = cone(a, b, c, q.ro+q.dro*up, q.dro*d2)
	if !(outer.b > outer.a) { // most rays pass the tube by
		return span{}, span{}
	}
	outer = slab(outer, s2, d2, t.z0, t.z1)
	if outer.b > outer.a && q.ri > 0 {
		inner = slab(cone(a, b, c, q.ri+q.dri*up, q.dri*d2), s2, d2, t.z0, t.z1)
	}
	return
}

// cone is where a + … ≤ (r + t·dr)².
func cone(a, b, c, r, dr float64) span {
	a -= dr * dr
	b -= r * dr
	c -= r * r
	disc := b*b - a*c
	if !(disc > 0 && a > 0) {
		return span{}
	}
	w, ia := math.Sqrt(disc), 1/a
	return span{(-b - w) * ia, (-b + w) * ia}
}

// slab keeps what lies where lo ≤ s + t·d ≤ hi.
func slab(p span, s, d, lo, hi float64) span {
	if d == 0 {
		if s < lo || s > hi {
			return span{}
		}
		return p
	}
	a, b := (lo-s)/d, (hi-s)/d
	if a > b {
		a, b = b, a
	}
	return p.meet(span{a, b})
}

// under keeps what lies where s + t·d ≤ hi.
func under(p span, s, d, hi float64) span {
	switch t := (hi - s) / d; {
	case d > 0 && t < p.b:
		p.b = t
	case d < 0 && t > p.a:
		p.a = t
	case d == 0 && s > hi:
		return span{}
	}
	return p
}

// meet is what two spans share. (The builtin min and max are calls under
// WebAssembly, and this is asked many times for each pixel.)
func (p span) meet(q span) span {
	if q.a > p.a {
		p.a = q.a
	}
	if q.b < p.b {
		p.b = q.b
	}
	return p
}

// An egg is an ellipsoid with its axes along its frame.
type egg struct {
	inv, in vec // one over the half axes, outside and inside
	hollow  bool
}

// newEgg has walls of the thickness shell; 0 makes it massive.
func newEgg(half vec, shell float64) *egg {
	e := &egg{hollow: shell > 0}
	for i, h := range half {
		e.inv[i], e.in[i] = 1/h, 1/(h-shell)
	}
	return e
}

func (e *egg) spans(r *ray) (outer, inner span) {
	outer = ball(r, &e.inv)
	if outer.b > outer.a && e.hollow {
		inner = ball(r, &e.in)
	}
	return
}

func ball(r *ray, inv *vec) span {
	s0, s1, s2 := r.s[0]*inv[0], r.s[1]*inv[1], r.s[2]*inv[2]
	d0, d1, d2 := r.d[0]*inv[0], r.d[1]*inv[1], r.d[2]*inv[2]
	return cone(d0*d0+d1*d1+d2*d2, s0*d0+s1*d1+s2*d2, s0*s0+s1*s1+s2*s2, 1, 0)
}
