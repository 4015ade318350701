package phantom

import "math"

type vec [3]float64

func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) minus(b vec) vec     { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(f float64) vec { return vec{a[0] * f, a[1] * f, a[2] * f} }
func (a vec) dot(b vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) long() float64       { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec           { return a.times(1 / a.long()) }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// A mat holds three rows.
type mat [3]vec

func (m mat) on(a vec) vec { return vec{m[0].dot(a), m[1].dot(a), m[2].dot(a)} }
func (m mat) flip() mat {
	return mat{{m[0][0], m[1][0], m[2][0]}, {m[0][1], m[1][1], m[2][1]}, {m[0][2], m[1][2], m[2][2]}}
}
func (m mat) after(n mat) mat {
	t := n.flip()
	return mat{{m[0].dot(t[0]), m[0].dot(t[1]), m[0].dot(t[2])},
		{m[1].dot(t[0]), m[1].dot(t[1]), m[1].dot(t[2])},
		{m[2].dot(t[0]), m[2].dot(t[1]), m[2].dot(t[2])}}
}

var one = mat{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

// turn is the rotation by deg in the plane of axes i and j, from i towards j.
func turn(i, j int, deg float64) mat {
	s, c := math.Sincos(deg * math.Pi / 180)
	m := one
	m[i][i], m[j][j], m[i][j], m[j][i] = c, c, -s, s
	return m
}

// A pose is where a rigid piece lies: p ↦ m·p + at.
type pose struct {
	m  mat
	at vec
}

func (p pose) on(a vec) vec { return p.m.on(a).plus(p.at) }

// back is the inverse; m is orthogonal.
func (p pose) back() pose {
	t := p.m.flip()
	return pose{t, t.on(p.at).times(-1)}
}

func (p pose) after(q pose) pose { return pose{p.m.after(q.m), p.on(q.at)} }
