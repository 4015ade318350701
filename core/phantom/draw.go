package phantom

import (
	"math"

	"isthmus/core/chance"
)

// A canvas gathers the attenuation along each ray, pixel by pixel.
type canvas struct {
	camera
	w, h int
	mu   []float32
	end  float64 // of the bone, for what fills it
	tex  []float32
}

// rows says which columns of each row a part can touch; empty rows have
// a > b.
type rows []struct{ a, b int32 }

// reach projects the bounds of a part: the columns that it may cover.
func (c *canvas) reach(bounds []bound, in pose) rows {
	out := make(rows, c.h)
	for i := range out {
		out[i].a, out[i].b = int32(c.w), -1
	}
	for _, b := range bounds {
		p := in.on(b.c)
		u, v := c.project(p)
		far := c.sid - p[2]
		slant := math.Sqrt(1 + (u*u+v*v)/(c.sid*c.sid))
		r := b.r * c.sid / (far - b.r) * slant * slant
		x0, y0 := c.pixel(u-r, v-r)
		x1, y1 := c.pixel(u+r, v+r)
		a, z := clip(x0, c.w), clip(x1+1, c.w)
		for y := clip(y0, c.h); y < min(clip(y1+2, c.h), c.h); y++ {
			out[y].a, out[y].b = min(out[y].a, int32(a)), max(out[y].b, int32(z))
		}
	}
	return out
}

// clip is the whole number at or under x, within 0 and n.
func clip(x float64, n int) int {
	if !(x > 0) {
		return 0
	}
	return int(min(x, float64(n)))
}

// A beam is the rays of one row in the frame of one part.
type beam struct {
	s, d, step vec
	a, b       int
	part       *part
	crack      span
}

// beam is row y in the frame that in takes into the room. Only the direction
// of the ray changes along the row, by step for each column.
func (c *canvas) beam(in pose, y int) beam {
	back := in.back()
	s := back.on(vec{0, 0, c.sid})
	first := back.on(vec{-c.midX * c.col, (float64(y) - c.midY) * c.row, 0})
	return beam{s: s, d: first.minus(s), step: back.m.on(vec{c.col, 0, 0})}
}

func (b *beam) at(x int) ray { return ray{b.s, b.d.plus(b.step.times(float64(x)))} }

// drawPiece adds one piece of the bone.
func (c *canvas) drawPiece(parts []part, p piece) {
	ins := make([]pose, len(parts))
	cover := make([]rows, len(parts))
	for i := range parts {
		ins[i] = p.inRoom.after(parts[i].from)
		cover[i] = c.reach(parts[i].bounds, p.inRoom)
	}
	live := make([]beam, 0, len(parts))
	for y := range c.h {
		live = live[:0]
		a, b := c.w, -1
		for i := range parts {
			if r := cover[i][y]; r.a <= r.b {
				m := c.beam(ins[i], y)
				m.a, m.b, m.part = int(r.a), min(int(r.b), c.w-1), &parts[i]
				live = append(live, m)
				a, b = min(a, m.a), max(b, m.b)
			}
		}
		if b >= a {
			c.drawRow(live, c.beam(p.inRoom, y), p.cuts, y, a, b)
		}
	}
}

// drawRow adds one row of a piece: what is solid is the union of the outer
// parts less the union of the inner ones.
func (c *canvas) drawRow(live []beam, whole beam, cuts []cut, y, a, b int) {
	line := c.mu[y*c.w:]
	var out, in union
	for x := a; x <= b; x++ {
		var all, done span
		any := false
		out.n, in.n = 0, 0
		for i := range live {
			m := &live[i]
			if x < m.a || x > m.b {
				continue
			}
			o, n := m.part.shape.spans(m.at(x))
			if !(o.b > o.a) {
				continue
			}
			if !any {
				any = true
				done = whole.keep(cuts, x)
			}
			o, n = o.meet(done), n.meet(done)
			if m.part.crack != nil {
				whole.crackUp(m.part.crack, x, o, n, &out, &in)
				continue
			}
			out.add(o)
			in.add(n)
		}
		if !any {
			continue
		}
		r := whole.at(x)
		solid, hollow := out.length(&all), in.length(&all)
		mid := r.s.plus(r.d.times((all.a + all.b) / 2))
		line[x] += float32(r.d.long() * (cortMu*(solid-hollow) + c.inner(mid)*hollow))
	}
}

// keep is the part of a ray that lies on the right side of all cuts.
func (b *beam) keep(cuts []cut, x int) span {
	p := span{0, 1}
	for _, k := range cuts {
		r := b.at(x)
		p = slab(p, k.n.dot(r.s), k.n.dot(r.d), math.Inf(-1), k.at)
	}
	return p
}

// crackUp adds what lies on both sides of a crack.
func (b *beam) crackUp(k *crack, x int, o, n span, out, in *union) {
	r := b.at(x)
	s, d := k.n.dot(r.s), k.n.dot(r.d)
	for _, side := range [2][2]float64{{-1e9, k.at - k.half}, {k.at + k.half, 1e9}} {
		out.add(slab(o, s, d, side[0], side[1]))
		in.add(slab(n, s, d, side[0], side[1]))
	}
}

func (p span) meet(q span) span { return span{max(p.a, q.a), min(p.b, q.b)} }

// A union is up to 16 spans of one ray that may lie over each other.
type union struct {
	p [16]span
	n int
}

// add keeps the spans in the order of their start.
func (u *union) add(s span) {
	if !(s.b > s.a) || u.n == len(u.p) {
		return
	}
	i := u.n
	for i > 0 && u.p[i-1].a > s.a {
		u.p[i] = u.p[i-1]
		i--
	}
	u.p[i] = s
	u.n++
}

// length is how much of the ray the spans cover; all is from the first to the
// last place.
func (u *union) length(all *span) float64 {
	if u.n == 0 {
		return 0
	}
	sum, end := 0.0, u.p[0].a
	for _, s := range u.p[:u.n] {
		if s.b > end {
			sum += s.b - max(s.a, end)
			end = s.b
		}
	}
	*all = span{u.p[0].a, end}
	return sum
}

// drawPlain adds a part of one matter, on top of what is there.
func (c *canvas) drawPlain(p part, in pose, mu, inner float64) {
	cover := c.reach(p.bounds, in)
	at := in.after(p.from)
	for y := range c.h {
		r := cover[y]
		if r.a > r.b {
			continue
		}
		m := c.beam(at, y)
		line := c.mu[y*c.w:]
		for x := int(r.a); x <= min(int(r.b), c.w-1); x++ {
			g := m.at(x)
			o, n := p.shape.spans(g)
			if !(o.b > o.a) {
				continue
			}
			l := (o.b - o.a) * mu
			if n.b > n.a {
				l += (n.b - n.a) * (inner - mu)
			}
			line[x] += float32(l * g.d.long())
		}
	}
}

// inner is what fills the bone at a place: spongy bone at both ends, woven;
// marrow between.
func (c *canvas) inner(p vec) float64 {
	g := max(smooth(135, 55, p[2]), smooth(c.end-130, c.end-60, p[2]))
	if g == 0 {
		return marrowMu
	}
	return marrowMu + (spongyMu-marrowMu)*g*c.woven(p[0]+0.6*p[1], p[2])
}

const weft = 256 // threads each way, 0.5 mm apart

// weave makes the texture of spongy bone: chance, smoothed over 1 mm, with a
// mean of 1 and a spread of a quarter.
func (c *canvas) weave(seed uint64) {
	rnd := chance.New(seed ^ 0x7e)
	w := &canvas{w: weft, h: weft, mu: make([]float32, weft*weft)}
	for i := range w.mu {
		w.mu[i] = float32(1 + 1.2*(rnd.Uniform()+rnd.Uniform()-1))
	}
	w.blur(0.9, 1.4)
	c.tex = w.mu
}

// woven is the texture between four threads; it repeats each 128 mm.
func (c *canvas) woven(x, y float64) float64 {
	x, y = x*2+weft*8, y*2+weft*8
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	at := func(i, j int) float64 { return float64(c.tex[j%weft*weft+i%weft]) }
	a := at(i, j) + fx*(at(i+1, j)-at(i, j))
	b := at(i, j+1) + fx*(at(i+1, j+1)-at(i, j+1))
	return a + fy*(b-a)
}

// smooth goes from 0 at a to 1 at b without a kink.
func smooth(a, b, z float64) float64 {
	s := min(1, max(0, (z-a)/(b-a)))
	return s * s * (3 - 2*s)
}
