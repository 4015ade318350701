package drawing

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// WireHeightInput is what the drawing of a wire that lies too high or too low
// is made from.
type WireHeightInput struct {
	ID    string
	Side  anatomy.Side
	Angle units.Deg // between nail and screw, obtuse or acute
	High  units.MM  // the wire lies so far too high, square to itself; too low: negative
	Move  units.MM  // along the nail, deeper; out: negative
	Moved bool      // the nail was moved first, and the wire has gone from where it was
}

// WireHeight returns the nail with its wire from the front, as they are and as
// they would be with the nail moved along its axis, to scale. It refuses
// impossible numbers and a move that does not belong to the error.
func WireHeight(in WireHeightInput) (string, error) {
	var c checker
	c.in("the error of the wire", in.High, -40, 40)
	c.in("the move of the nail", in.Move, -120, 120)
	c.in("the angle of the screw", units.MM(in.Angle), 20, 160)
	if len(c.gaps) == 0 {
		move := units.Exact(in.Move)
		c.agrees("the move of the nail", &move, in.High/units.MM(math.Sin(float64(in.Angle)*math.Pi/180)))
	}
	if err := c.err("wire"); err != nil {
		return "", err
	}
	d := &wireDrawing{s: newSheet(in.ID, 328, 268), flip: medial(in.Side)}
	d.height(in)
	return d.s.done("d-wire", "A wire to be moved up or down", in.words()), nil
}

type wireDrawing struct {
	s    *sheet
	flip float64
	k    float64
	o    xy // of millimetres
}

// at places millimetres: medial (or to the side of flip) and up.
func (d *wireDrawing) at(m, u float64) xy {
	return d.o.plus(xy{d.flip * m, -u}.times(d.k))
}

// height draws: the wire crosses the nail at 0 where it is wanted and at Move
// above it now; a nail that is advanced takes it down.
func (d *wireDrawing) height(in WireHeightInput) {
	p := float64(in.Angle) * math.Pi / 180
	sin, cos := math.Sin(p), math.Abs(math.Cos(p))
	move := float64(in.Move)
	d.k = math.Min(2, 206/(128+1.6*math.Abs(move)))
	d.o = xy{164 - d.flip*70, 176 - math.Max(-move, 0)*d.k*0.6 + math.Max(move, 0)*d.k*0.2}
	nail := func(class string, shift float64) {
		d.s.poly(class, true, d.clip(-6, 42+shift), d.clip(6, 42+shift), d.clip(6, -34+shift), d.clip(-6, -34+shift))
	}
	wire := func(class string, shift float64, t ...tag) {
		d.s.line(class, d.clip(-22*sin, shift-22*cos), d.clip(78*sin, shift+78*cos), t...)
	}
	d.s.circle("d-guess", d.at(66*sin, 66*cos), 24*d.k) // for the eye
	nail("d-ghost", 0)
	nail("d-nail", move)
	d.s.line("d-axis", d.clip(0, 48+math.Max(move, 0)), d.clip(0, -40+math.Min(move, 0)))
	wire("d-screw d-dashed", 0)
	wire("d-screw", move, long("wire", 100, d.k))
	// The error, square to the wires, 58 mm along them.
	a, b := d.at(58*sin, 58*cos), d.at(58*sin-float64(in.High)*cos, 58*cos+float64(in.High)*sin)
	if in.High != 0 {
		d.s.dim("d-stop", a, b, long("error", math.Abs(float64(in.High)), d.k))
		x := -6 - 9/d.k
		d.s.line("d-lead", d.at(-6, 42), d.at(x-2, 42))
		d.s.line("d-lead", d.at(-6, 42+move), d.at(x-2, 42+move))
		d.s.dim("d-move", d.at(x, 42), d.at(x, 42+move), long("move", math.Abs(move), d.k))
		d.s.text("d-t d-blue", normal, d.at(x, 42+move/2).plus(xy{-d.flip * 8, 5}), anchorOf(-d.flip), units.MM(math.Abs(math.Round(move*10)/10)).String())
	}
	d.s.text("d-t d-red", normal, a.to(b, 0.5).plus(xy{d.flip * 14, -12}), anchorOf(d.flip), units.MM(math.Abs(math.Round(float64(in.High)*10)/10)).String())
	d.s.text("d-t", small, xy{6, 13}, start, sideAndView(in.Side))
	d.s.text("d-t", small, xy{6, 244}, start, "full: as it is now. Dashed: "+map[bool]string{false: "as wanted", true: "after the move"}[in.Moved])
	d.s.text("d-t d-soft", small, xy{6, 262}, start, "to scale; head and nail for the eye")
}

func (d *wireDrawing) clip(m, u float64) xy {
	p := d.at(m, u)
	return xy{clamp(p.x, 2, 326), clamp(p.y, 20, 228)}
}

func (in WireHeightInput) words() string {
	say := []string{viewWords(in.Side)}
	abs := func(v units.MM) string { return oneTenth(max(v, -v)).String() }
	switch {
	case in.High > 0:
		say = append(say, "The wire goes "+abs(in.High)+" down when the nail is advanced "+abs(in.Move)+".")
	case in.High < 0:
		say = append(say, "The wire goes "+abs(in.High)+" up when the nail is withdrawn "+abs(in.Move)+".")
	default:
		say = append(say, "The wire lies where it should.")
	}
	return strings.Join(append(say, "To scale; nail and wire are pieces for the eye."), " ")
}

// WireTurnInput is what the drawing of a wire too far in front or behind is
// made from.
type WireTurnInput struct {
	ID      string
	Side    anatomy.Side
	InFront units.MM  // the wire lies so far in front; behind: negative
	Reach   units.MM  // from the axis of the nail, square to it
	Turn    units.Deg // of the tips, backwards
	Moved   bool      // the nail was turned first
}

// WireTurn returns nail, handle and wire seen from the hip, down the nail, as
// they are and as they would be with the nail turned, to scale. It refuses a
// leg that is not known, impossible numbers, and a turn that does not belong
// to the error.
func WireTurn(in WireTurnInput) (string, error) {
	var c checker
	if !in.Side.Valid() {
		c.gap("the side", "not given", "left or right")
	}
	c.in("the error of the wire", in.InFront, -160, 160)
	c.in("the way to the axis of the nail", in.Reach, 20, 150)
	if len(c.gaps) == 0 {
		turn := units.Exact(units.MM(in.Turn))
		c.agrees("the turn of the nail", &turn, units.MM(math.Atan2(float64(in.InFront), float64(in.Reach))*180/math.Pi))
	}
	if err := c.err("turn of the nail"); err != nil {
		return "", err
	}
	d := &wireDrawing{s: newSheet(in.ID, 328, 268), flip: -medial(in.Side)}
	d.turn(in)
	return d.s.done("d-wire", "A wire to be turned forwards or backwards", in.words()), nil
}

// handleLong is how long the handle is drawn, for the eye only.
const handleLong = 42.0

func (d *wireDrawing) turn(in WireTurnInput) {
	l, o := float64(in.Reach), float64(in.InFront)
	most := math.Hypot(l, o) + 8
	d.k = math.Min(2.2, math.Min(206/(most+2), 64/math.Max(math.Abs(o), 30)))
	d.o = xy{164 - d.flip*((most-handleLong*2.2/d.k)/2*d.k), 128}
	d.s.circle("d-nail", d.o, 7.5*d.k, long("nail", 15, d.k))
	d.s.poly("d-ink", false, d.o.plus(xy{-4, 0}), d.o.plus(xy{4, 0}))
	d.s.poly("d-ink", false, d.o.plus(xy{0, -4}), d.o.plus(xy{0, 4}))
	r := math.Atan2(o, l)
	way := func(from, to, a float64) (xy, xy) {
		sin, cos := math.Sincos(a)
		return d.at(from*cos, from*sin), d.at(to*cos, to*sin)
	}
	grip := handleLong * 2.2 / d.k
	for _, now := range []bool{false, true} {
		angle, hold, wire := 0.0, "d-guess", "d-screw d-dashed"
		if now {
			angle, hold, wire = r, "d-bold", "d-screw"
		}
		a, b := way(-7.5, -grip, angle)
		d.s.line(hold, a, b)
		side := b.minus(a).left().times(1 / b.minus(a).length())
		d.s.line(hold, b.plus(side.times(9)), b.minus(side.times(9)))
		a, b = way(7.5, most, angle)
		d.s.line(wire, a, b)
	}
	d.s.dim("d-stop", d.at(l, 0), d.at(l, o), long("error", math.Abs(o), d.k))
	d.s.line("d-lead", d.at(l, 0), d.at(l, 0).plus(xy{0, d.below(o)}))
	d.s.line("d-lead", d.o, d.o.plus(xy{0, d.below(o)}))
	y := d.below(o) * 0.93
	d.s.dim("d-ink", d.o.plus(xy{0, y}), d.at(l, 0).plus(xy{0, y}), long("reach", l, d.k))
	d.s.text("d-t", small, d.at(l/2, 0).plus(xy{0, y - 5}), middle, oneTenth(in.Reach).String())
	d.s.text("d-t d-red", normal, d.at(l, o).plus(xy{d.flip * 2, -math.Copysign(9, o) + 4}), middle, oneTenth(max(in.InFront, -in.InFront)).String())
	d.arrowRound(r, grip, in.Moved)
	d.turnMarks(in)
}

// below is where the dimension of the reach lies: on the side of the wanted
// wire away from the one that is there, in pixels down.
func (d *wireDrawing) below(o float64) float64 {
	if o < 0 {
		return -52
	}
	return 52
}

// arrowRound draws the turn of the handle as an arc with an arrowhead: to
// where it is wanted, or to where it has gone.
func (d *wireDrawing) arrowRound(r, grip float64, moved bool) {
	if math.Abs(r) < 0.002 {
		return
	}
	var pts []xy
	for i := range 13 {
		part := float64(i) / 12
		if !moved {
			part = 1 - part
		}
		sin, cos := math.Sincos(r * part)
		pts = append(pts, d.at(-grip*0.72*cos, -grip*0.72*sin))
	}
	d.s.poly("d-move", false, pts...)
	if end := pts[12].minus(pts[0]); end.length() > 3 {
		d.s.arrow("d-move", pts[12], pts[12].minus(pts[9]))
	}
	d.s.text("d-t d-blue", normal, d.at(-grip*0.72, 0).plus(xy{0, math.Copysign(20, -r) + 4}), middle, units.Trim(math.Abs(r)*180/math.Pi, 1)+"°")
}

func (d *wireDrawing) turnMarks(in WireTurnInput) {
	left, right := "← lateral", "medial →"
	if d.flip < 0 {
		left, right = "← medial", "lateral →"
	}
	d.s.text("d-t d-num", small, xy{6, 13}, start, sideWords(in.Side)+", from the hip down the nail")
	d.s.text("d-t", small, xy{6, 32}, start, left)
	d.s.text("d-t", small, xy{322, 32}, end, right)
	d.s.text("d-t", small, xy{164, 32}, middle, "front ↑")
	d.s.text("d-t", small, xy{164, 226}, middle, "back ↓")
	x, a := 322.0, end
	if d.flip > 0 {
		x, a = 6, start
	}
	d.s.text("d-t d-blue", small, xy{x, 208}, a, "handle")
	d.s.text("d-t", small, xy{6, 244}, start, "full: as it is now. Dashed: "+map[bool]string{false: "as wanted", true: "before the turn"}[in.Moved])
	d.s.text("d-t d-soft", small, xy{6, 262}, start, "to scale; the handle for the eye only")
}

func (in WireTurnInput) words() string {
	where := "in front of"
	if in.InFront < 0 {
		where = "behind"
	}
	say := sideWords(in.Side) + ", seen from the hip down the nail, front up. " + units.Trim(math.Abs(float64(in.Turn)), 1) + "° lie between the two places of the nail; " +
		oneTenth(in.Reach).String() + " from its axis that is " + oneTenth(max(in.InFront, -in.InFront)).String() + ", the wire lying " + where + " the other place. To scale."
	return upperFirst(say)
}
