package phantom

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// seenWidth is a distance at the detector in the plane of the bone.
func (k *knower) seenWidth(a, b [2]float64) units.MM {
	x, y := a[0]-b[0], a[1]-b[1]
	return units.MM(math.Sqrt(x*x+y*y) * k.plane)
}

// toward is the direction of the beam at a place, in the frame of a tube.
func (k *knower) toward(t *tube, in pose, z float64) vec {
	at := in.after(t.from)
	q := t.at(z)
	return at.back().on(vec{0, 0, k.sid}).minus(vec{q.cx, q.cy, z})
}

func (k *knower) level(z float64) (Level, bool) {
	p, clear := of(k.pieces, z)
	t := k.b.shaft
	a, b, ok1 := k.seen(t, p.inRoom, z, true)
	c, d, ok2 := k.seen(t, p.inRoom, z, false)
	if !clear || !ok1 || !ok2 {
		return Level{}, false
	}
	if a[0] > b[0] {
		a, b, c, d = b, a, d, c
	}
	dir := k.toward(t, p.inRoom, z)
	q := t.at(z)
	return Level{Z: units.MM(z), Axis: k.spot(vec{q.cx, q.cy, z}, p.inRoom).Film,
		InnerA: k.at(a[0], a[1]), InnerB: k.at(b[0], b[1]), OuterA: k.at(c[0], c[1]), OuterB: k.at(d[0], d[1]),
		Inner: units.MM(t.across(dir, z, true)), Outer: units.MM(t.across(dir, z, false)),
		SeenInner: k.seenWidth(a, b), SeenOuter: k.seenWidth(c, d)}, true
}

func (k *knower) shaft(t *Truth) {
	for z := clearFrom; z < k.b.end-85; z += 2 {
		if l, ok := k.level(z); ok {
			t.Profile = append(t.Profile, l)
		}
	}
	p, clear := of(k.pieces, k.b.isth)
	if !clear {
		return
	}
	t.Isthmus, _ = k.level(k.b.isth)
	lo, hi := max(clearFrom, p.lo), min(k.b.end-85, p.hi)
	if z, ok := k.narrow(k.b.shaft, p.inRoom, lo, hi); ok {
		t.SeenAt, _ = k.level(z)
	}
	if len(k.pieces) > 1 || len(t.Profile) < 3 {
		return
	}
	var line []geom.Pt[units.MM]
	for _, l := range t.Profile {
		line = append(line, geom.Pt[units.MM]{X: units.MM(l.Axis.X) * t.Col, Y: units.MM(l.Axis.Y) * t.Row})
	}
	if c, err := geom.FitCircle(line); err == nil && c.R < 20000 {
		t.BowSeen = c.R
	}
}

// hip is the head, the neck and their angle.
func (k *knower) hip(t *Truth) {
	in := k.pieces[0].inRoom
	t.Head = k.round(in.on(k.b.headAt), float64(k.b.f.Head))
	n := k.b.neck
	if z, ok := k.narrow(n, in, n.z0+4, n.z1-4); ok {
		a, b, _ := k.seen(n, in, z, true)
		c, d, _ := k.seen(n, in, z, false)
		if up := k.ahead(in); (a[0]-b[0])*up[0]+(a[1]-b[1])*up[1] < 0 {
			a, b, c, d = b, a, d, c
		}
		dir := k.toward(n, in, z)
		t.Neck = Waist{k.at(a[0], a[1]), k.at(b[0], b[1]), k.at(c[0], c[1]), k.at(d[0], d[1]),
			units.MM(n.across(dir, z, true)), units.MM(n.across(dir, z, false)), k.seenWidth(a, b), k.seenWidth(c, d)}
	}
	up, low := k.shaftEnds()
	t.NSASeen = k.angle(vec{0, 0, crossing}, k.b.headAt, up, low)
}

// ahead is upwards along the bone on an AP film and to its front on a lateral
// one, as a direction on the film.
func (k *knower) ahead(in pose) vec {
	if k.s.View == anatomy.Lateral {
		return in.m.on(vec{0, 1, 0})
	}
	return in.m.on(vec{0, 0, -1})
}

// shaftEnds are two places on the middle of the canal.
func (k *knower) shaftEnds() (up, low vec) {
	a, b := lesserLow+20, k.b.end-110
	return vec{0, k.b.bow(a), a}, vec{0, k.b.bow(b), b}
}

// angle is between two lines of the unbroken bone, as projected.
func (k *knower) angle(a, b, c, d vec) units.Deg {
	dir := func(p, q vec) geom.Pt[units.MM] {
		u0, v0 := k.project(k.whole.on(p))
		u1, v1 := k.project(k.whole.on(q))
		return geom.Pt[units.MM]{X: units.MM(u1 - u0), Y: units.MM(v1 - v0)}
	}
	deg, _ := geom.AngleDeg(dir(a, b), dir(c, d))
	return units.Deg(deg)
}

// places fills in the landmarks that the film can show.
func (k *knower) places(t *Truth) {
	b := k.b
	t.At = map[anatomy.Landmark]Spot{}
	up, low := k.shaftEnds()
	down := func(t float64) vec { z := up[2] + t*(low[2]-up[2]); return vec{0, b.bow(z), z} }
	for l, p := range map[anatomy.Landmark]vec{
		anatomy.LesserMiddle:  {b.lesser[0], b.lesser[1], lesserMid},
		anatomy.BowUpper:      down(0.25),
		anatomy.BowMiddle:     down(0.5),
		anatomy.BowLower:      down(0.75),
		anatomy.TrochanterTip: b.tip,
		anatomy.LesserTroch:   b.lesser,
		anatomy.ShaftUpper:    up,
		anatomy.ShaftLower:    low,
		anatomy.DistalTarget:  b.target,
		anatomy.Notch:         b.roof,
		anatomy.PatellaTop:    b.patella.plus(vec{0, 0, -21}),
		anatomy.LateralCortex: b.entry(),
		anatomy.Join:          {0, b.bow(b.isth), b.isth},
	} {
		in, _ := of(k.pieces, p[2])
		t.At[l] = k.spot(p, in.inRoom)
	}
	k.breaks(t)
	k.edges(t)
	if n := k.s.Nail; n.Across > 0 && n.Length > 0 {
		a, z := b.nail(n)
		t.At[anatomy.OldNailTop] = k.spot(vec{0, b.nailBow(a), a}, k.whole)
		t.At[anatomy.OldNailLower] = k.spot(vec{0, b.nailBow(z), z}, k.whole)
	}
	for l := range t.At {
		if !l.In(k.s.View) {
			delete(t.At, l)
		}
	}
}

// breaks adds both ends of each break: the upper end on the upper piece, the
// lower end on the lower one, where each lies now.
func (k *knower) breaks(t *Truth) {
	names := [][2]anatomy.Landmark{{anatomy.FractureUpper, anatomy.FractureLower}, {anatomy.SecondUpper, anatomy.SecondLower}}
	i := 0
	for _, br := range []Break{k.b.f.Break, k.b.f.Second} {
		if br.Level == 0 {
			continue
		}
		n, at := k.b.plane(br)
		high, deep := k.b.ends(n, at)
		t.At[names[i][0]] = k.spot(high, k.pieces[i].inRoom)
		t.At[names[i][1]] = k.spot(deep, k.pieces[i+1].inRoom)
		if i == 0 {
			t.At[anatomy.PieceUpper] = k.spot(high, k.pieces[0].inRoom)
			t.At[anatomy.PieceLower] = k.spot(high, k.pieces[1].inRoom)
		}
		i++
	}
}

// edges adds the landmarks that are places of a silhouette.
func (k *knower) edges(t *Truth) {
	edge := func(l anatomy.Landmark, p pt) {
		t.At[l] = Spot{Film: p, Row: t.Row, Col: t.Col, Inside: k.inside(p)}
	}
	if t.SeenAt.SeenInner > 0 {
		edge(anatomy.CanalA, t.SeenAt.InnerA)
		edge(anatomy.CanalB, t.SeenAt.InnerB)
		edge(anatomy.OuterA, t.SeenAt.OuterA)
		edge(anatomy.OuterB, t.SeenAt.OuterB)
	}
	if t.Neck.SeenInner > 0 {
		edge(anatomy.NeckUpper, t.Neck.InnerUpper)
		edge(anatomy.NeckLower, t.Neck.InnerLower)
		edge(anatomy.NeckFront, t.Neck.InnerUpper)
		edge(anatomy.NeckBack, t.Neck.InnerLower)
	}
	in := k.pieces[0].inRoom
	if a, b, ok := k.flare(in); ok {
		edge(anatomy.FlareA, a)
		edge(anatomy.FlareB, b)
	}
	a := k.spot(vec{0, 0, crossing}, in).Film
	dir := math.Atan2(float64(t.Head.Centre.Y-a.Y)*k.row, float64(t.Head.Centre.X-a.X)*k.col)
	for i, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
		edge(l, t.Head.rim(dir+float64(i-1)*1.2-float64(t.Head.Tilt)*math.Pi/180))
	}
}

func (k *knower) lengths(t *Truth) {
	p, q := k.b.tip, k.b.target
	in, _ := of(k.pieces, q[2])
	t.Length = k.between(k.pieces[0].inRoom.on(p), in.inRoom.on(q))
	t.Whole = k.between(k.whole.on(p), k.whole.on(q))
}

func (k *knower) between(p, q vec) Span {
	u0, v0 := k.project(p)
	u1, v1 := k.project(q)
	return Span{units.MM(p.minus(q).long()), k.seenWidth([2]float64{u0, v0}, [2]float64{u1, v1})}
}
