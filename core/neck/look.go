package neck

import (
	"math"

	"isthmus/core/units"
)

// values and row are what is worked out together, without and with doubt.
type (
	values [12]float64
	row    [12]units.Length
)

// spread returns what f gives for this scene (now) with the doubt of the
// bone, to first order: f is worked out again with each of the first count
// inputs moved by its standard uncertainty, up and down, and with each of the
// two scales moved. Source: JCGM 100:2008, 5.1.2 and 5.1.3 note 2.
func (s *scene) spread(b Bone, count int, now values, f func(*scene) values) row {
	var own values
	move := func(d [inputs]float64) values {
		up := s.with(d)
		for i := range d {
			d[i] = -d[i]
		}
		down := s.with(d)
		return change(now, f(&up), f(&down))
	}
	doubt, ap, lateral := b.doubts()
	for i := range count {
		if doubt[i] == 0 {
			continue
		}
		var d [inputs]float64
		d[i] = doubt[i]
		for j, c := range move(d) {
			own[j] = math.Hypot(own[j], c)
		}
	}
	var shared values
	if ap != [inputs]float64{} {
		shared = move(ap)
	}
	if lateral != [inputs]float64{} {
		for j, c := range move(lateral) {
			own[j] = math.Hypot(own[j], c)
		}
	}
	var out row
	for j := range out {
		out[j] = units.Length{Best: units.MM(now[j]), Own: units.MM(own[j]), Shared: units.MM(shared[j])}
	}
	return out
}

// change returns half the difference of the two sides, or the larger of the
// two one-sided changes where that is more, with its sign.
func change(now, up, down values) (out values) {
	for j := range out {
		c := (up[j] - down[j]) / 2
		for _, one := range [2]float64{up[j] - now[j], now[j] - down[j]} {
			if math.Abs(one) > math.Abs(c) {
				c = one
			}
		}
		out[j] = c
	}
	return out
}

// doubts returns the own doubt of each input, and how the inputs move with
// the scale of the AP view and with that of the lateral view.
func (b Bone) doubts() (own, ap, lateral [inputs]float64) {
	for _, x := range []struct {
		i  int
		l  units.Length
		in *[inputs]float64
	}{
		{inMedial, b.Head.Medial, &ap}, {inUp, b.Head.Up, &ap}, {inFront, b.Head.Front, &lateral},
		{inHeight, b.Height, &ap}, {inWidth, b.Width, &lateral}, {inRadius, b.Radius, &ap},
		{inLateralLower, b.LateralLower, &ap}, {inLateralUpper, b.LateralUpper, &ap},
	} {
		own[x.i], x.in[x.i] = float64(x.l.Own), float64(x.l.Shared)
	}
	own[inShaft], own[inVersion] = rad(float64(b.NeckShaft.Own)), rad(float64(b.Version.Own))
	return own, ap, lateral
}

// What look finds for one screw.
const (
	atUp = iota
	atDown
	atFront
	atBack
	atWall
	atAbove
	atAhead
	atOff
	atReach
	atLength
	atNearest
)

// look returns what one screw leaves in one spot. With e its way past the
// centre of the head and c the clearance of the tip,
//
//	reach   = to the foot of the centre + √(R² − e²)
//	length  = lateral cortex + reach − c
//	nearest = R − √(e² + (√(R² − e²) − c)²)
func (s *scene) look(p spot, i int) (out values) {
	c := s.section(p.turn)
	for j := range atAbove {
		out[j] = math.Inf(1)
	}
	for _, end := range [2]int{2 * i, 2*i + 1} {
		m, _ := c.margins(end, p.depth)
		for j, v := range m {
			out[j] = math.Min(out[j], v)
		}
		out[atWall] = math.Min(out[atWall], c.wall(end, p.depth))
	}
	_, _, foot, along := s.line(p, i)
	_, upwards, forward := axes(s.angle, p.turn)
	r, e := s.in[inRadius], foot.length()
	out[atAbove], out[atAhead], out[atOff] = foot.dot(upwards), foot.dot(forward), e
	half := chord(r, e)
	out[atReach] = along + half
	out[atLength] = out[atReach] + s.in[inLateralLower+i] - s.tip
	out[atNearest] = r - math.Hypot(e, half-s.tip)
	return out
}

// wall returns what one screw leaves, at one end of the stretch, to the
// nearest wall in any direction.
func (c *section) wall(i int, d float64) float64 {
	x, y := c.x0[i]+c.gx*d, c.y0[i]+c.gy*d
	return toEllipse(c.b, c.a, x, y) - c.out[i][2]
}

// wall returns the least that the screws leave to any wall.
func (s *scene) wall(p spot) float64 {
	c := s.section(p.turn)
	least := math.Inf(1)
	for i := range c.count {
		least = math.Min(least, c.wall(i, p.depth))
	}
	return least
}

// screw returns one screw in one spot, with the doubt of the bone.
func (s *scene) screw(b Bone, p spot, place Place) Screw {
	i := place.index()
	now := s.look(p, i)
	v := s.spread(b, inputs, now, func(t *scene) values { return t.look(p, i) })
	w := Screw{Up: v[atUp], Down: v[atDown], Front: v[atFront], Back: v[atBack], Wall: v[atWall],
		Above: v[atAbove], Ahead: v[atAhead], Off: v[atOff]}
	if w.Missed = missed(place, now[atOff], s.in[inRadius]); w.Missed != nil {
		return w
	}
	w.Reach, w.Nearest = v[atReach], v[atNearest]
	if s.in[inLateralLower+i] > 0 {
		w.Length = &v[atLength]
	}
	return w
}

func (p Place) index() int {
	if p == Upper {
		return 1
	}
	return 0
}
