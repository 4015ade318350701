package drawing

import (
	"math"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// TurnInput is what the drawing of the turn of a leg is made from.
type TurnInput struct {
	ID      string
	Side    anatomy.Side // of the injured leg
	Injured *units.Angle // version, forwards positive
	Sound   *units.Angle
	Turn    *units.Angle // of the lower piece, outwards positive
}

// Turn returns both legs seen from the hip, the knees in line and the kneecaps
// up: each neck at its version, and on the injured leg where its foot must go.
// Angles are true, lengths are for the eye. It refuses impossible angles, a
// turn that is not the difference of two versions, and nothing to draw.
func Turn(in TurnInput) (string, error) {
	var c checker
	for what, a := range map[string]*units.Angle{"the version of the injured femur": in.Injured, "the version of the sound femur": in.Sound, "the turn": in.Turn} {
		if a != nil && !(math.Abs(float64(a.Best)) <= 180 && a.Own >= 0 && a.Own <= 90) {
			c.gap(what, shown(float64(a.Best)), "−180 to 180 degrees")
		}
	}
	if in.Injured == nil && in.Sound == nil && in.Turn == nil {
		c.gap("the turn of a leg", "not measured", "an angle")
	}
	if len(c.gaps) == 0 && in.Turn != nil && in.Injured != nil && in.Sound != nil {
		t := units.Exact(units.MM(in.Turn.Best))
		c.agrees("the turn", &t, units.MM(in.Sound.Best-in.Injured.Best))
	}
	if err := c.err("turn of the leg"); err != nil {
		return "", err
	}
	d := turnDrawing{in: in, s: newSheet(in.ID, 328, 236), m: -medial(in.Side)}
	// From the hip the right leg lies on the right, as it does for whoever
	// stands at the patient's head.
	here, there := 246.0, 82.0
	if in.Side == anatomy.Left {
		here, there = there, here
	}
	d.leg(xy{here, 138}, d.m, in.Injured, "injured")
	d.leg(xy{there, 138}, -d.m, in.Sound, "sound")
	d.foot(xy{here, 138})
	d.s.text("d-t d-soft", small, xy{6, 14}, start, d.where())
	d.s.text("d-t d-soft", small, xy{6, 230}, start, "from the hip, front is up; angles true")
	return d.s.done("d-turn", "Turn of the leg", d.words()), nil
}

type turnDrawing struct {
	in TurnInput
	s  *sheet
	m  float64 // which way the middle of the body lies from the injured leg
}

func (d turnDrawing) where() string {
	if !d.in.Side.Valid() {
		return "side not given: drawn as a right leg"
	}
	return "injured: " + sideWords(d.in.Side)
}

// neckLong is how long a neck is drawn, mm, for the eye.
const neckLong = 50.0

// leg is one femur seen from its hip: the line of the condyles, the shaft, and
// the neck at its version.
func (d turnDrawing) leg(o xy, m float64, v *units.Angle, what string) {
	const k = 1.3
	d.s.circle("d-bone", o, 13*k)
	d.s.line("d-axis", o.plus(xy{-44 * k, 0}), o.plus(xy{44 * k, 0}), long("condyles", 88, k))
	d.s.poly("d-guess", true, o.plus(xy{-38, 6}), o.plus(xy{-26, -12}), o.plus(xy{26, -12}), o.plus(xy{38, 6}), o.plus(xy{26, 22}), o.plus(xy{-26, 22}))
	words := what + ": not measured"
	if v != nil {
		end := func(deg float64) xy {
			sin, cos := math.Sincos(deg * math.Pi / 180)
			return o.plus(xy{m * cos * neckLong * k, -sin * neckLong * k})
		}
		if u := units.Sure * float64(v.Own); u > 0 {
			pts := []xy{o}
			for i := range 9 {
				pts = append(pts, end(float64(v.Best)+u*(float64(i)/4-1)))
			}
			d.s.hatched(doubtHatch, pts...)
		}
		d.s.line("d-bold", o, end(float64(v.Best)), long(what+"-neck", neckLong, k))
		d.s.circle("d-hollow", end(float64(v.Best)), 9)
		d.s.circle("d-ink", end(float64(v.Best)), 9)
		words = what + ": " + v.String()
	}
	d.s.circle("d-ink", o, 13*k)
	d.s.text("d-t d-num", small, xy{o.x, 212}, middle, words)
}

// foot shows where the foot points and where it must point, for the injured
// leg.
func (d turnDrawing) foot(o xy) {
	const r = 78.0
	d.s.line("d-lead", o, o.plus(xy{0, -r}))
	t := d.in.Turn
	if t == nil || t.Best == 0 {
		return
	}
	place := func(deg, r float64) xy {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return o.plus(xy{d.m * sin * r, -cos * r})
	}
	d.s.line("d-screw d-dashed", o, place(float64(t.Best), r))
	steps := 16
	var pts []xy
	for i := range steps + 1 {
		pts = append(pts, place(float64(t.Best)*float64(i)/float64(steps), r-6))
	}
	d.s.poly("d-move", false, pts...)
	d.s.arrow("d-move", pts[steps], pts[steps].minus(pts[steps-1]))
	d.s.text("d-t d-blue", normal, xy{o.x, 40}, middle, "foot "+map[bool]string{true: "in ", false: "out "}[t.Best > 0]+absDegrees(*t))
}

func absDegrees(a units.Angle) string {
	a.Best = units.Deg(math.Abs(float64(a.Best)))
	return a.String()
}

func (d turnDrawing) words() string {
	say := []string{strings.ToUpper(d.where()[:1]) + d.where()[1:] + ", seen from the hip."}
	for _, v := range []struct {
		of   string
		what *units.Angle
	}{{"injured", d.in.Injured}, {"sound", d.in.Sound}} {
		if v.what != nil {
			say = append(say, "Version of the "+v.of+" femur "+v.what.String()+".")
		}
	}
	if t := d.in.Turn; t != nil {
		way := "inwards; the foot must go out."
		if t.Best > 0 {
			way = "outwards; the foot must go in."
		}
		if t.Best == 0 {
			way = "neither way."
		}
		say = append(say, "The lower piece is turned "+absDegrees(*t)+" "+way)
	}
	return strings.Join(append(say, "Angles are true, lengths are not."), " ")
}

// A Bar is one length with its name.
type Bar struct {
	Name string
	Of   units.MM
}

// PairInput is what the drawing of two lengths side by side is made from.
type PairInput struct {
	ID, Title     string
	First, Second Bar
	Between       string // what the difference is called
	Hatch         bool   // the difference needs care
}

// Pair returns two lengths, one above the other and to one scale, with the
// difference between their ends. It refuses impossible lengths.
func Pair(in PairInput) (string, error) {
	var c checker
	c.in(in.First.Name, in.First.Of, 0, 800)
	c.in(in.Second.Name, in.Second.Of, 0, 800)
	if !(in.First.Of+in.Second.Of > 0) {
		c.gap(in.First.Name, "0 mm", "more than that, or "+in.Second.Name)
	}
	if err := c.err("two lengths"); err != nil {
		return "", err
	}
	k := 296 / float64(max(in.First.Of, in.Second.Of))
	s := newSheet(in.ID, 328, 156)
	x := func(v units.MM) float64 { return 12 + float64(v)*k }
	s.line("d-lead", xy{12, 20}, xy{12, 84})
	s.text("d-t d-blue", normal, xy{14, 22}, start, in.First.Name+" "+in.First.Of.String())
	s.dim("d-move", xy{12, 34}, xy{x(in.First.Of), 34}, long("first", float64(in.First.Of), k))
	s.text("d-t d-num", normal, xy{14, 64}, start, in.Second.Name+" "+in.Second.Of.String())
	s.dim("d-ink", xy{12, 76}, xy{x(in.Second.Of), 76}, long("second", float64(in.Second.Of), k))
	a, b := x(min(in.First.Of, in.Second.Of)), x(max(in.First.Of, in.Second.Of))
	s.line("d-lead", xy{a, 28}, xy{a, 112})
	s.line("d-lead", xy{b, 28}, xy{b, 112})
	if in.Hatch {
		s.hatched(careHatch, xy{a, 86}, xy{b, 86}, xy{b, 100}, xy{a, 100})
	}
	gap := max(in.First.Of, in.Second.Of) - min(in.First.Of, in.Second.Of)
	s.dim("d-ink", xy{a, 108}, xy{b, 108}, long("between", float64(gap), k))
	s.text("d-t d-num", normal, xy{b, 128}, end, in.Between+" "+oneTenth(gap).String())
	s.text("d-t d-soft", small, xy{6, 150}, start, "to one scale")
	return s.done("d-pair", in.Title, in.First.Name+" "+in.First.Of.String()+", "+in.Second.Name+" "+in.Second.Of.String()+"; "+in.Between+" "+oneTenth(gap).String()+". To one scale."), nil
}
