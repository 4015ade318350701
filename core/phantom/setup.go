package phantom

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/units"
)

// A Region says which part of the femur the middle of the film shows.
type Region string

// The regions. A film is as large as its Width and Height say, whatever it
// looks at.
const (
	Whole Region = "whole"
	Upper Region = "upper" // hip and upper half of the shaft
	Lower Region = "lower" // lower half of the shaft and knee
)

// A Setup is how a film is made. Usual films come from Shoot.
type Setup struct {
	View anatomy.View
	Side anatomy.Side
	Look Region // empty is Whole

	Turn units.Deg // the limb turned outwards about its shaft; under zero inwards
	Tilt units.Deg // lower end towards the source: the bone looks shorter
	Lean units.Deg // in the plane of the film, clockwise

	SID, SOD      units.MM // source to detector, source to the plane of the bone
	Row, Col      units.MM // height and width of a pixel at the detector
	Width, Height int
	Aside, Down   units.MM // the bone moved in its plane, to the right and down

	Balls  []Ball
	Discs  []Ball // flat, parallel to the detector, 2 mm thick
	Ruler  Ruler
	Nail   Nail
	Frame  units.MM // width of the shut-off margin at the detector (collimation); 0 is none
	Letter bool     // the side letter and the word PHANTOM, at the detector

	Quanta  float64  // quanta for each mm² of the open field; 0 draws no noise
	Blur    units.MM // standard deviation at the detector: focal spot and detector
	Scatter float64  // share of scatter, 0 to 0.9: broad blur
	Grid    float64  // depth of grid lines, 0 to 0.1 of the exposure
	Linear  bool     // the detector stores exposure; else its logarithm, bone bright
	Bits    int      // bits stored, 8 to 16
	Dark    bool     // MONOCHROME1: stored the other way round
	Seed    uint64   // of the noise and of the texture of the bone
}

// A Ball is a round marker of steel: across is its diameter. Above is how far
// its middle lies over the plane of the bone, towards the source. Aside and
// Down are its place from the central ray, at its own height.
type Ball struct {
	Across, Above, Aside, Down units.MM
}

// A Ruler lies parallel to the detector and has a mark each 10 mm, a long one
// each 50 mm. Its zero value is none. Aside and Down are where its middle
// lies, from the central ray, at its own height.
type Ruler struct {
	Length, Above, Aside, Down units.MM
	Turn                       units.Deg // from upright, clockwise
}

// A Nail is an implant that is already there, along the canal, with two cross
// screws near its lower end. Its zero value is none.
type Nail struct {
	Across, Length units.MM
	Top            units.MM // below the tip of the trochanter
	Screws         bool
}

// Shoot returns a usual film: 1150 mm from source to detector, 1000 mm to the
// bone, 0.15 mm pixels, a 25 mm ball in the plane of the bone beside the
// thigh, a ruler on the other side, mild noise and blur, 12 bits.
func Shoot(v anatomy.View, side anatomy.Side, look Region) Setup {
	s := Setup{View: v, Side: side, Look: look, SID: 1150, SOD: 1000, Row: 0.15, Col: 0.15, Width: 1500, Height: 3500,
		Frame: 4, Letter: true, Quanta: 2e6, Blur: 0.12, Scatter: 0.3, Bits: 12}
	if look != Whole {
		s.Height = 2300
	}
	out := units.MM(-1) // which way is outwards
	if side == anatomy.Left && v == anatomy.AP {
		out = 1
	}
	s.Aside = -12 * out
	s.Balls = []Ball{{Across: 25, Aside: 72 * out, Down: 60}}
	s.Ruler = Ruler{Length: 200, Aside: -84 * out}
	return s
}

// Vary returns the film as somebody else would have taken it, the same for the
// same seed: distances, turn, tilt and lean of the limb, place of the ball and
// the ruler, dose, sharpness and scatter. Balls and ruler stay at the height of
// the bone. Ranges: common practice.
func (s Setup) Vary(seed uint64) Setup {
	c := chance.New(seed ^ 0x5e)
	mm := func(lo, hi float64) units.MM { return units.MM(c.Between(lo, hi)) }
	s.SOD = min(s.SOD+mm(-80, 50), s.SID-60)
	s.Turn += units.Deg(c.Between(-8, 8))
	s.Tilt += units.Deg(c.Between(-4, 4))
	s.Lean += units.Deg(c.Between(-3, 3))
	s.Aside += mm(-5, 5)
	s.Down += mm(-5, 5)
	s.Balls = append([]Ball(nil), s.Balls...)
	for i := range s.Balls {
		s.Balls[i].Aside += mm(-6, 6)
		s.Balls[i].Down += mm(-60, 60)
	}
	s.Ruler.Down += mm(-10, 10)
	s.Ruler.Turn += units.Deg(c.Between(-1.5, 1.5))
	s.Quanta *= c.Between(0.4, 2)
	s.Blur *= mm(0.7, 1.6)
	s.Scatter = c.Between(0.1, 0.6)
	s.Grid = max(0, c.Between(-0.006, 0.006))
	s.Seed = c.Uint64()
	return s
}

func (s Setup) check() error {
	if !s.View.Valid() {
		return &RangeError{What: "view (1 is AP, 2 is lateral)", Lo: 1, Hi: 2}
	}
	if !s.Side.Valid() {
		return &RangeError{What: "side (1 is left, 2 is right)", Lo: 1, Hi: 2}
	}
	all := []limit{
		{"turn", units.MM(s.Turn), -90, 90},
		{"tilt", units.MM(s.Tilt), -40, 40},
		{"lean", units.MM(s.Lean), -45, 45},
		{"source to detector", s.SID, 520, 1e6},
		{"source to bone", s.SOD, 500, s.SID - 20},
		{"height of a pixel", s.Row, 0.02, 2},
		{"width of a pixel", s.Col, 0.02, 2},
		{"width of the film", units.MM(s.Width), 32, 8000},
		{"height of the film", units.MM(s.Height), 32, 8000},
		{"pixels of the film", units.MM(s.Width) * units.MM(s.Height), 1024, 24e6},
		{"shift aside", s.Aside, -300, 300},
		{"shift down", s.Down, -400, 400},
		{"margin", s.Frame, 0, 100},
		{"quanta", units.MM(s.Quanta), 0, 1e12},
		{"blur", s.Blur, 0, 3},
		{"scatter", units.MM(s.Scatter), 0, 0.9},
		{"grid lines", units.MM(s.Grid), 0, 0.1},
		{"bits", units.MM(s.Bits), 8, 16},
	}
	for _, l := range append(all, s.objects()...) {
		if err := l.check(); err != nil {
			return err
		}
	}
	return nil
}

// objects are the limits of what lies on the film beside the bone.
func (s Setup) objects() []limit {
	out := []limit{
		{"length of the ruler", s.Ruler.Length, 0, 1000},
		{"turn of the ruler", units.MM(s.Ruler.Turn), -180, 180},
		s.height("height of the ruler", s.Ruler.Above),
		{"ruler aside", s.Ruler.Aside, -400, 400},
		{"ruler down", s.Ruler.Down, -600, 600},
		{"nail", s.Nail.Across, 0, 20},
		{"length of the nail", s.Nail.Length, 0, 500},
		{"top of the nail", s.Nail.Top, -40, 200},
	}
	for _, b := range append(append([]Ball{}, s.Balls...), s.Discs...) {
		out = append(out, limit{"ball or disc", b.Across, 2, 120}, s.height("height of a ball or disc", b.Above),
			limit{"ball aside", b.Aside, -400, 400}, limit{"ball down", b.Down, -600, 600})
	}
	return out
}

// height is the limit of something that must lie between detector and source.
func (s Setup) height(what string, above units.MM) limit {
	return limit{what, above, s.SOD - s.SID, s.SOD / 2}
}

// A camera knows where everything of a film lies.
type camera struct {
	s        Setup
	sid      float64
	row, col float64
	midX     float64 // the pixel of the central ray
	midY     float64
}

func newCamera(s Setup) camera {
	return camera{s, float64(s.SID), float64(s.Row), float64(s.Col), float64(s.Width-1) / 2, float64(s.Height-1) / 2}
}

// project is where a place in the room is seen: w = 0 is the detector.
//
//	u' = u·SID/(SID − w), and v likewise
func (c camera) project(p vec) (u, v float64) {
	m := c.sid / (c.sid - p[2])
	return p[0] * m, p[1] * m
}

// pixel is the pixel of a place at the detector.
func (c camera) pixel(u, v float64) (x, y float64) { return u/c.col + c.midX, v/c.row + c.midY }

// place is the pose that takes the bone into the room: mirrored for the left,
// turned, tilted, leant, and set so that what is looked at lies in its plane.
func (c camera) place(b *body) pose {
	s, sign := c.s, 1.0
	if s.Side == anatomy.Left {
		sign = -1
	}
	round := -sign * float64(s.Turn)
	if s.View == anatomy.Lateral {
		round += 90 * sign
	}
	sin, cos := math.Sincos(round * math.Pi / 180)
	stand := mat{{sign * cos, sin, 0}, {0, 0, 1}, {-sign * sin, cos, 0}}
	m := turn(0, 1, float64(s.Lean)).after(turn(1, 2, float64(s.Tilt)).after(stand))
	z := b.middle(s.Look)
	at := vec{float64(s.Aside), float64(s.Down), float64(s.SID - s.SOD)}
	return pose{m, at.minus(m.on(vec{0, b.bow(b.bowMid) / 2, z}))}
}

// middle is the height of the bone that the film is centred on.
func (b *body) middle(r Region) float64 {
	top := b.headAt[2] - float64(b.f.Head)/2
	switch r {
	case Upper:
		return top + 0.27*(b.end-top)
	case Lower:
		return top + 0.71*(b.end-top)
	}
	return (top + b.end) / 2
}
