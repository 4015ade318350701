package neck

import (
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestMoveFor(t *testing.T) {
	for _, c := range []struct {
		name  string
		high  units.Length
		angle units.Deg
		way   Way
		want  float64
	}{
		{"5 mm too high at 130", mm(5), 130, Advance, 6.527}, // by hand: 5/sin 50°
		{"the same nail, the acute way", mm(5), 50, Advance, 6.527},
		{"5 mm too low", mm(-5), 130, Withdraw, 6.527},
		{"at a right angle", mm(5), 90, Advance, 5},
		{"nothing to do", mm(0), 130, NoWay, 0},
		{"less than its doubt", units.Length{Best: 0.5, Own: 0.5}, 130, NoWay, 0.6527},
	} {
		m, err := MoveFor(c.high, c.angle)
		if err != nil || m.Way != c.way {
			t.Errorf("%s: %v %v, want %q", c.name, m, err, c.way)
		}
		near(t, c.name, m.By, c.want, 0.0005)
	}
}

func TestTurnFor(t *testing.T) {
	for _, c := range []struct {
		name                        string
		front                       float64
		leg                         Leg
		screws, handle, nail, above Way
	}{
		// By hand, on one's own legs: turning a right leg inwards brings its
		// inner side, where the screws point, backwards, and its outer side,
		// where the handle stands, forwards; seen from above, anticlockwise.
		{"too far in front, right", 4, RightLeg, Backwards, Forwards, Internally, Anticlockwise},
		{"too far in front, left", 4, LeftLeg, Backwards, Forwards, Internally, Clockwise},
		{"too far back, right", -4, RightLeg, Forwards, Backwards, Externally, Clockwise},
		{"too far back, left", -4, LeftLeg, Forwards, Backwards, Externally, Anticlockwise},
		{"on the axis", 0, LeftLeg, NoWay, NoWay, NoWay, NoWay},
	} {
		got, err := TurnFor(mm(c.front), mm(73), c.leg)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, c.name+" (by hand: atan(4/73))", float64(got.By.Best), math.Abs(c.front)/4*3.1364, 5e-4)
		if got.Screws != c.screws || got.Handle != c.handle || got.Nail != c.nail || got.Above != c.above {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	got, err := TurnFor(units.Length{Best: 1, Own: 1}, mm(73), LeftLeg)
	if err != nil || got.Screws != NoWay || got.Above != NoWay {
		t.Errorf("1 ± 2 mm is given a way: %+v %v", got, err)
	}
	// by hand: a common scale error cancels, 0.5/73 rad remain
	got, _ = TurnFor(units.Length{Best: 4, Own: 0.5, Shared: 0.2}, units.Length{Best: 73, Shared: 3.65}, LeftLeg)
	testkit.Near(t, "doubt", float64(got.By.Own), deg(73*0.5/(73*73+16)), 1e-9)
}

// What is done for an error undoes it.
func TestBedsideRoundTrips(t *testing.T) {
	for _, e := range []float64{-12, -3, 0.5, 5, 20} {
		for _, angle := range []units.Deg{100, 125, 130, 45} {
			m, err := MoveFor(mm(e), angle)
			if err != nil {
				t.Fatal(err)
			}
			by := m.By
			if m.Way == Withdraw {
				by = by.Times(-1)
			}
			rise, err := RiseFrom(by, angle)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "error and correction", rise.Plus(mm(e)), 0, 1e-9)
		}
		turn, err := TurnFor(mm(e), mm(73), RightLeg)
		if err != nil {
			t.Fatal(err)
		}
		by := turn.By
		if turn.Screws == Backwards {
			by.Best = -by.Best
		}
		shift, err := ShiftFrom(by, mm(73))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "offset and correction", shift.Plus(mm(e)), 0, 1e-9)
	}
	square, err := SquareReach(mm(95), 130)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "95 mm along the screw (by hand: 95·sin 50°)", square, 72.774, 0.001)
}

// The move and the turn that the bedside answers give do, in the solid, what
// they say: the wire then passes where it should.
func TestBedsideAgreesWithTheSolid(t *testing.T) {
	b, n := plain(), plainNail()
	s := solved(t, b, n, three, AlongLower)
	wrong := s.Pose
	wrong.Depth -= 6.527036
	lower, _, err := At(b, n, three, wrong)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "6.527 mm too shallow lies too high", lower.Above.Minus(s.Lower.Above), 5, 1e-5)
	wrong = s.Pose
	wrong.Turn += 3.1364
	lower, _, err = At(b, n, three, wrong)
	if err != nil {
		t.Fatal(err)
	}
	// The head's centre lies 44 mm from the axis: 44·sin 3.1364° in front of it.
	near(t, "tips turned forwards pass in front", lower.Ahead, 44*math.Sin(rad(3.1364)), 1e-5)
}

func TestNearestHole(t *testing.T) {
	holes := []units.MM{-8, -4, 4, 8}
	for _, c := range []struct {
		name  string
		shift units.MM
		index int
		left  float64
		tie   bool
	}{
		{"5 to the side", 5, 2, 1, false},
		{"5 to the other", -5, 1, -1, false},
		{"1 is nearer to the hole in use", 1, -1, 1, false},
		{"half way", 6, 2, 2, true},
		{"half way to the first", 2, -1, 2, true},
		{"far", 20, 3, 12, false},
	} { // by hand
		h, err := NearestHole(c.shift, holes)
		if err != nil || h.Index != c.index || h.Tie != c.tie {
			t.Errorf("%s: %+v %v", c.name, h, err)
		}
		testkit.Near(t, c.name, float64(h.Left), c.left, 1e-9)
	}
	if _, err := NearestHole(3, []units.MM{4, units.MM(math.NaN())}); err == nil {
		t.Error("a hole at no number is taken")
	}
}
