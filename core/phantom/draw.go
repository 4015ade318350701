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

	tell        func(float64) // hears how much is done
	from, share float64       // of the part of the work that goes on
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

// A beam is the rays of one row in the frame of one part; aim makes one of
// them the ray.
type beam struct {
	ray
	first, step vec
	a, b        int
	part        *part
}

// beam is row y in the frame that in takes into the room. Only the direction
// of the ray changes along the row, by step for each column.
func (c *canvas) beam(in pose, y int) beam {
	back := in.back()
	s := back.on(vec{0, 0, c.sid})
	first := back.on(vec{-c.midX * c.col, (float64(y) - c.midY) * c.row, 0})
	return beam{ray: ray{s: s}, first: first.minus(s), step: back.m.on(vec{c.col, 0, 0})}
}

func (b *beam) aim(x float64) {
	b.d[0] = b.first[0] + b.step[0]*x
	b.d[1] = b.first[1] + b.step[1]*x
	b.d[2] = b.first[2] + b.step[2]*x
}

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
		c.done(y)
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
			whole := c.beam(p.inRoom, y)
			c.drawRow(live, &whole, p.cuts, y, a, b)
		}
	}
}

// drawRow adds one row of a piece: what is solid is the union of the outer
// parts less the union of the inner ones.
func (c *canvas) drawRow(live []beam, whole *beam, cuts []cut, y, a, b int) {
	line := c.mu[y*c.w:]
	var out, in union
	for x := a; x <= b; x++ {
		var done span
		any := false
		out.n, in.n = 0, 0
		for i := range live {
			m := &live[i]
			if x < m.a || x > m.b {
				continue
			}
			m.aim(float64(x))
			o, n := m.part.shape.spans(&m.ray)
			if !(o.b > o.a) {
				continue
			}
			if !any {
				any = true
				whole.aim(float64(x))
				done = whole.keep(cuts)
			}
			o, n = o.meet(done), n.meet(done)
			if m.part.crack != nil {
				whole.crackUp(m.part.crack, o, n, &out, &in)
				continue
			}
			out.add(o)
			in.add(n)
		}
		if any {
			line[x] += c.along(&whole.ray, &out, &in)
		}
	}
}

// along is the attenuation along a ray through the bone.
func (c *canvas) along(r *ray, out, in *union) float32 {
	var all span
	solid, hollow := out.length(&all), in.length(&all)
	mid := (all.a + all.b) / 2
	fill := c.inner(r.s[0]+r.d[0]*mid, r.s[1]+r.d[1]*mid, r.s[2]+r.d[2]*mid)
	return float32(r.long() * (cortMu*(solid-hollow) + fill*hollow))
}

// keep is the part of a ray that lies on the right side of all cuts.
func (b *beam) keep(cuts []cut) span {
	p := span{0, 1}
	for i := range cuts {
		k := &cuts[i]
		p = under(p, k.n.dot(b.s), k.n.dot(b.d), k.at)
	}
	return p
}

// crackUp adds what lies on both sides of a crack.
func (b *beam) crackUp(k *crack, o, n span, out, in *union) {
	s, d := k.n.dot(b.s), k.n.dot(b.d)
	for _, side := range [2][2]float64{{-1e9, k.at - k.half}, {k.at + k.half, 1e9}} {
		out.add(slab(o, s, d, side[0], side[1]))
		in.add(slab(n, s, d, side[0], side[1]))
	}
}

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
			if s.a > end {
				end = s.a
			}
			sum += s.b - end
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
			m.aim(float64(x))
			o, n := p.shape.spans(&m.ray)
			if !(o.b > o.a) {
				continue
			}
			l := (o.b - o.a) * mu
			if n.b > n.a {
				l += (n.b - n.a) * (inner - mu)
			}
			line[x] += float32(l * m.long())
		}
	}
}

// inner is what fills the bone at a place: spongy bone at both ends, woven;
// marrow between.
func (c *canvas) inner(x, y, z float64) float64 {
	if z >= 135 && z <= c.end-130 {
		return marrowMu
	}
	g := max(smooth(135, 55, z), smooth(c.end-130, c.end-60, z))
	return marrowMu + (spongyMu-marrowMu)*g*c.woven(x+0.6*y, z)
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
