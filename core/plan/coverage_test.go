package plan

import (
	"math"
	"reflect"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// truth is an invented femur, in millimetres: the shaft runs down at x = 0,
// the head lies at x > 0, and a head screw at 130° enters at (−14, 60).
type truth struct {
	length, canal float64
	along, off, r float64 // centre of the head along the screw and off it; its radius
}

func someFemur(c *chance.Source) truth {
	return truth{length: c.Between(330, 470), canal: c.Between(9.6, 13.4), along: c.Between(65, 85), off: c.Between(-6, 6), r: c.Between(21, 27)}
}

// screw returns the way of the lower head screw to the joint surface: from the
// entry to where the line leaves the circle. By hand.
func (f truth) screw() float64 { return f.along + math.Sqrt(f.r*f.r-f.off*f.off) }

// places returns the landmarks.
func (f truth) places(c *chance.Source) map[anatomy.Landmark]geom.Pt[units.MM] {
	sin, cos := math.Sincos(50 * math.Pi / 180)
	onScrew := func(along, above float64) geom.Pt[units.MM] {
		return geom.Pt[units.MM]{X: units.MM(-14 + along*sin - above*cos), Y: units.MM(60 - along*cos - above*sin)}
	}
	head, turn := onScrew(f.along, f.off), c.Between(0, 360)
	rim := func(deg float64) geom.Pt[units.MM] {
		s, k := math.Sincos((turn + deg) * math.Pi / 180)
		return head.Plus(geom.Pt[units.MM]{X: units.MM(f.r * k), Y: units.MM(f.r * s)})
	}
	isthmus := units.MM(f.length * 0.45)
	return map[anatomy.Landmark]geom.Pt[units.MM]{
		anatomy.TrochanterTip: {X: -12}, anatomy.DistalTarget: {X: 3, Y: units.MM(math.Sqrt(f.length*f.length - 15*15))},
		anatomy.CanalA: {X: units.MM(-f.canal / 2), Y: isthmus}, anatomy.CanalB: {X: units.MM(f.canal / 2), Y: isthmus},
		anatomy.ShaftUpper: {Y: 100}, anatomy.ShaftLower: {Y: units.MM(f.length * 0.75)}, anatomy.LateralCortex: {X: -14, Y: 60},
		anatomy.NeckLower: onScrew(45, -10), anatomy.NeckUpper: onScrew(45, 20),
		anatomy.HeadRim1: rim(0), anatomy.HeadRim2: rim(120), anatomy.HeadRim3: rim(240),
	}
}

// A filming is how a femur comes on a film, with every error that is stated
// to the program and no other: slips, the depth of the marker, its true size,
// the tilt of the bone.
type filming struct {
	pixel, magnification, turn float64
	slip                       units.Px
	markerOff                  float64 // the ball lies this far off the central ray, in mm
}

// someFilming returns one with the ball up to so many millimetres off the
// central ray.
func someFilming(c *chance.Source, off float64) filming {
	return filming{pixel: c.Between(0.10, 0.20), magnification: c.Between(1.08, 1.25), turn: c.Between(-10, 10),
		slip: units.Px(c.Between(0.5, 3)), markerOff: c.Between(0, off)}
}

// film returns the film a person would make of the femur.
func (g filming) film(f truth, c *chance.Source) record.Film {
	slipped := func(x, y float64) geom.Pt[units.Px] {
		return geom.Pt[units.Px]{X: units.Px(x) + g.slip*units.Px(c.Normal()), Y: units.Px(y) + g.slip*units.Px(c.Normal())}
	}
	out := record.Film{Width: 4000, Height: 6000, View: anatomy.AP, Bone: anatomy.Injured, Reduced: record.Yes}
	px := g.magnification / g.pixel // pixels for each millimetre of the bone
	s, k := math.Sincos(g.turn * math.Pi / 180)
	places := f.places(c)
	tip, end := places[anatomy.TrochanterTip], places[anatomy.DistalTarget]
	lay := units.MM(math.Cos(3 * math.Pi / 180 * c.Normal())) // tilted to the film, as the policy says
	places[anatomy.DistalTarget] = tip.Plus(end.Minus(tip).Times(float64(lay)))
	for _, name := range anatomy.Landmarks(anatomy.AP) {
		if q, ok := places[name]; ok {
			x, y := float64(q.X)*px, float64(q.Y)*px
			out.Points = append(out.Points, record.Point{Name: name, At: slipped(2000+x*k-y*s, 600+x*s+y*k), Slip: g.slip})
		}
	}
	// 5 mm of 1000 mm in height; 0.1 mm in size; a ball off the central ray is
	// longer away from it (facts: short axis true to size)
	r := (25 + 0.1*c.Normal()) / 2 * px * (1 + 0.005*c.Normal())
	long := r * math.Hypot(1, g.markerOff/1000)
	away := c.Between(0, 2*math.Pi)
	var rim []geom.Pt[units.Px]
	for i := range 8 {
		b := 2 * math.Pi * float64(i) / 8
		x, y := long*math.Cos(b), r*math.Sin(b)
		rim = append(rim, slipped(3000+x*math.Cos(away)-y*math.Sin(away), 1500+x*math.Sin(away)+y*math.Cos(away)))
	}
	out.Evidence = []record.Evidence{{ID: "ball", Kind: record.Ball, At: rim, Slip: g.slip, True: mm(25), AtBone: record.Yes}}
	return out
}

// A run is one plan of an invented femur, beside its truth.
type run struct {
	truth
	facts record.Case
	plan  Plan
}

func runs(n int, seed uint64, off float64) []run {
	out := make([]run, n)
	shelf, p := implant.Teaching(), DefaultPolicy()
	for i := range out {
		c := chance.New(seed + uint64(i))
		f := someFemur(c)
		film := someFilming(c, off).film(f, c)
		one := record.Case{Side: anatomy.Left, Films: []record.Film{film}, Injury: record.Injury{Neck: record.Yes, NeckByCT: record.Yes, NeckByFilm: record.Yes, Level: record.MidShaft}}
		out[i] = run{f, one, Make(one, shelf, p)}
	}
	return out
}

// Of 2,000 invented cases with known truth and the stated errors, the ± holds
// the truth about as often as it says: 95.45 % for normal errors (JCGM 100,
// G.1.3, k = 2), 93 to 97 for sampling and for an allowance for hidden ovals
// that is a little too careful (96.9 % with balls on the central ray).
func TestCoverage(t *testing.T) {
	const n = 2000
	var held, asked [3]int
	for _, r := range runs(n, 1, 200) {
		for k, q := range []struct {
			got  *units.Length
			true float64
		}{{r.plan.Bone.Length, r.length}, {r.plan.Bone.Canal, r.canal}, {r.plan.Head.Lower.Room, r.screw() - 5}} {
			if q.got == nil {
				continue
			}
			asked[k]++
			if math.Abs(float64(q.got.Best)-q.true) <= units.Sure*float64(q.got.Doubt()) {
				held[k]++
			}
		}
	}
	for k, name := range []string{"length of the bone", "canal", "room of the lower head screw"} {
		part := 100 * float64(held[k]) / float64(asked[k])
		t.Logf("%s: the ± holds the truth in %.1f %% of %d", name, part, asked[k])
		if !(part >= 93 && part <= 97) {
			t.Errorf("%s: the ± holds the truth in %.1f %% of %d, want 93 to 97", name, part, asked[k])
		}
		if asked[k] < n*95/100 {
			t.Errorf("%s: measured in %d of %d only", name, asked[k], n)
		}
	}
}

// Law: a seed is the same cases again.
func TestRunsAreAFunction(t *testing.T) {
	a, b := runs(3, 4, 100), runs(3, 4, 100)
	if !reflect.DeepEqual(a, b) || reflect.DeepEqual(a, runs(3, 5, 100)) {
		t.Error("one seed gives two runs, or two seeds one")
	}
}
