package drawing

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/neck"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func highSample() WireHeightInput {
	return WireHeightInput{ID: "high", Side: anatomy.Right, Angle: 130, High: 5, Move: 6.527}
}

func turnSample() WireTurnInput {
	return WireTurnInput{ID: "turn", Side: anatomy.Right, InFront: 4, Reach: 73, Turn: 3.1364}
}

func holesSample() HolesInput {
	return HolesInput{ID: "holes", Way: "forwards", Shift: 5, Offsets: []units.MM{-8, -4, 4, 8}, Take: 4}
}

func tipSample() TipInput {
	return TipInput{ID: "tip", AP: 12, Lateral: 12, Dia: 8, Clearance: 5}
}

func wireSamples(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	keep := func(name string) func(string, error) {
		return func(svg string, err error) {
			if err != nil {
				t.Fatal(name, err)
			}
			out[name] = svg
		}
	}
	low := highSample()
	low.Side, low.High, low.Move, low.Moved = anatomy.Left, -12, units.MM(-12/math.Sin(125*math.Pi/180)), true
	low.Angle = 125
	left := turnSample()
	left.Side, left.InFront, left.Turn, left.Moved = anatomy.Left, -12, units.Deg(-math.Atan2(12, 73)*180/math.Pi), true
	keep("wire-high")(WireHeight(highSample()))
	keep("wire-low")(WireHeight(low))
	keep("wire-front")(WireTurn(turnSample()))
	keep("wire-behind")(WireTurn(left))
	keep("holes")(Holes(holesSample()))
	keep("tip-apex")(TipApex(tipSample()))
	return out
}

// Lengths in the drawings are the numbers. 5 mm at 130° → 6.527 mm and 4 mm at
// 73 mm → 3.1° are those of core/source, methods wire-height and wire-turn.
func TestWireDrawingsAreToScale(t *testing.T) {
	all := wireSamples(t)
	for _, tt := range []struct {
		name, what string
		want       float64
	}{
		{"wire-high", "error", 5}, {"wire-high", "move", 6.527}, {"wire-low", "error", 12}, {"wire-low", "move", 14.649},
		{"wire-front", "error", 4}, {"wire-front", "reach", 73}, {"wire-behind", "error", 12},
		{"holes", "shift", 5}, {"holes", "hole", 4}, {"tip-apex", "tip-ap", 12}, {"tip-apex", "tip-lateral", 12},
	} {
		testkit.Near(t, tt.name+" "+tt.what, mmOf(t, checkDrawing(t, tt.name, all[tt.name]), tt.what), tt.want, 0.001)
	}
	if els := read(t, all["wire-front"]); !hasText(els, "3.1°") || !hasText(els, "right femur, from the hip down the nail") {
		t.Error("the turn, or whose it is, is not printed")
	}
}

// Every error and every leg that core/neck answers is drawn, nothing runs out
// of the drawing, and it turns the way the words say: seen from the hip, the
// end of the handle goes round the nail as Turn.Above has it.
func TestWireDrawingsFollowNeck(t *testing.T) {
	for _, side := range []anatomy.Side{anatomy.Left, anatomy.Right} {
		for _, o := range []units.MM{-40, -12, -4, -0.5, 0, 0.5, 4, 15, 40} {
			for _, reach := range []units.MM{20, 73, 150} {
				a, err := neck.TurnFor(units.Exact(o), units.Exact(reach), neck.Leg(side))
				if err != nil {
					t.Fatal(err)
				}
				turn := a.By.Best
				if a.Screws == neck.Forwards {
					turn = -turn
				}
				svg, err := WireTurn(WireTurnInput{ID: "t", Side: side, InFront: o, Reach: reach, Turn: turn})
				if err != nil {
					t.Fatal(side, o, reach, err)
				}
				els := checkDrawing(t, "turn", svg)
				if o == 0 {
					continue
				}
				// The wire goes from where it is to the dashed one about the nail.
				wire := func(class string) xy {
					for _, e := range els {
						if e.name == "line" && e.attr["class"] == class {
							c := corners(t, e)
							return c[1].minus(c[0])
						}
					}
					t.Fatal("no wire " + class)
					return xy{}
				}
				now, wanted := wire("d-screw"), wire("d-screw d-dashed")
				clockwise := now.x*wanted.y-now.y*wanted.x > 0 // down is positive
				if got := a.Above == neck.Clockwise; got != clockwise {
					t.Errorf("%s, %v in front: drawn clockwise %v, said %v", side, o, clockwise, a.Above)
				}
			}
		}
		for _, high := range []units.MM{-40, -5, 0, 0.5, 5, 40} {
			for _, angle := range []units.Deg{20, 50, 125, 130, 160} {
				m, err := neck.MoveFor(units.Exact(high), angle)
				if err != nil {
					t.Fatal(err)
				}
				by := m.By.Best
				if m.Way == neck.Withdraw {
					by = -by
				}
				svg, err := WireHeight(WireHeightInput{ID: "h", Side: side, Angle: angle, High: high, Move: by})
				if err != nil {
					t.Fatal(side, high, angle, err)
				}
				checkDrawing(t, "height", svg)
			}
		}
	}
	for _, shift := range []units.MM{-40, -5, 0, 2, 5, 40} {
		h, err := neck.NearestHole(shift, []units.MM{-8, -4, 4, 8})
		if err != nil {
			t.Fatal(err)
		}
		svg, err := Holes(HolesInput{ID: "h", Way: "backwards", Shift: shift, Offsets: []units.MM{-8, -4, 4, 8}, Take: h.Offset})
		if err != nil {
			t.Fatal(shift, err)
		}
		checkDrawing(t, "holes", svg)
	}
	for _, x := range []units.MM{0, 1, 5, 12, 40, 100} {
		svg, err := TipApex(TipInput{ID: "t", AP: x, Lateral: 100 - x, Dia: 8, Clearance: 5})
		if err != nil {
			t.Fatal(err)
		}
		checkDrawing(t, "tip", svg)
	}
}

func TestWireDrawingsRefuse(t *testing.T) {
	nan := units.MM(math.NaN())
	high, turn, holes, tip := highSample(), turnSample(), holesSample(), tipSample()
	high.Move = 8
	svg, err := WireHeight(high)
	nothing(t, "another move", svg, err, "the move of the nail")
	high.High = nan
	svg, err = WireHeight(high)
	nothing(t, "no number", svg, err, "the error of the wire")
	turn.Side = ""
	svg, err = WireTurn(turn)
	nothing(t, "no leg", svg, err, "the side")
	turn.Side, turn.Turn = anatomy.Left, -3.1
	svg, err = WireTurn(turn)
	nothing(t, "another turn", svg, err, "the turn of the nail")
	turn.Reach = nan
	svg, err = WireTurn(turn)
	nothing(t, "no number", svg, err, "the way to the axis")
	holes.Take = 5
	svg, err = Holes(holes)
	nothing(t, "no such hole", svg, err, "the hole to take")
	holes.Offsets[0] = nan
	svg, err = Holes(holes)
	nothing(t, "no number", svg, err, "a hole")
	tip.AP = nan
	svg, err = TipApex(tip)
	nothing(t, "no number", svg, err, "the distance from the front")
}
