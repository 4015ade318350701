package neck

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// plain is a neck that the screws of plainNail run along exactly: 30 × 24 mm
// inside, at 130 degrees, head of 24 mm radius, without doubt.
func plain() Bone {
	return Bone{
		Head:   Point{Medial: mm(44)},
		Radius: mm(24), NeckShaft: units.Angle{Best: 130}, Height: mm(30), Width: mm(24), From: 20, To: 45,
		LateralLower: mm(20), LateralUpper: mm(20),
	}
}

func plainNail() Nail {
	return Nail{Angle: 130, Spacing: 12, LowerDia: 6.5, UpperDia: 6.5, HeadDepth: 60}
}

var three = Keep{Lower: 3, Upper: 3, Side: 3, Tip: 5}

// askew is a neck with everything a little off, as necks are.
func askew() Bone {
	b := plain()
	b.Head = Point{Medial: mm(41), Up: mm(-7), Front: mm(6)}
	b.NeckShaft.Best, b.Version.Best = 126, 13
	return b
}

func doubtful(b Bone) Bone {
	b.Head = Point{Medial: units.Length{Best: b.Head.Medial.Best, Own: 0.5, Shared: 0.02 * b.Head.Medial.Best},
		Up:    units.Length{Best: b.Head.Up.Best, Own: 0.5, Shared: 0.02 * b.Head.Up.Best},
		Front: units.Length{Best: b.Head.Front.Best, Own: 0.7, Shared: 0.03 * b.Head.Front.Best}}
	b.Radius = units.Length{Best: b.Radius.Best, Own: 0.3, Shared: 0.02 * b.Radius.Best}
	b.Height = units.Length{Best: b.Height.Best, Own: 0.5, Shared: 0.02 * b.Height.Best}
	b.Width = units.Length{Best: b.Width.Best, Own: 0.5, Shared: 0.03 * b.Width.Best}
	b.NeckShaft.Own, b.Version.Own = 1.5, 3
	b.LateralLower = units.Length{Best: b.LateralLower.Best, Own: 0.5, Shared: 0.02 * b.LateralLower.Best}
	b.LateralUpper = units.Length{Best: b.LateralUpper.Best, Own: 0.5, Shared: 0.02 * b.LateralUpper.Best}
	return b
}

func solved(t testing.TB, b Bone, n Nail, k Keep, seat Seat) Solution {
	t.Helper()
	s, err := Solve(b, n, k, seat)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got units.Length, want, tol float64) {
	t.Helper()
	testkit.Near(t, what, float64(got.Best), want, tol)
}

func TestPlainNeckAlongTheCalcar(t *testing.T) {
	s := solved(t, plain(), plainNail(), three, AlongLower)
	for _, c := range []struct {
		name   string
		got    units.Length
		want   float64
		source string
	}{
		{"lower, down", s.Lower.Down, 3, "its clearance"},
		{"upper, up", s.Upper.Up, 8.5, "facts: 30 − (3 + 3.25 + 12 + 3.25)"},
		{"lower, front", s.Lower.Front, 9.746794 - 3.25, "by hand: 12·√(1 − (17.5/30)²) = 9.7468, less 3.25"},
		{"lower, back", s.Lower.Back, 9.746794 - 3.25, "by hand, the same"},
		{"upper, front", s.Upper.Front, 11.714664 - 3.25, "by hand: 12·√(1 − (6.5/30)²) = 11.7150, less 3.25"},
		{"lower, above the centre", s.Lower.Above, -8.75, "by hand: 3 + 3.25 − 15"},
		{"upper, above the centre", s.Upper.Above, 3.25, "by hand: −8.75 + 12"},
		{"lower, ahead", s.Lower.Ahead, 0, "no version"},
		{"lower, wall", s.Lower.Wall, 3, "by hand: the lowest point is the nearest, for 6.25 < 12²/15 = 9.6"},
		{"upper, wall", s.Upper.Wall, 7.94027, "by hand: d² = 144(1 − y²/225) + (y − 3.25)² = 125.2222 at its least, y = 6.5/0.72; √ less 3.25"},
		{"depth", s.DepthIs, 48.34269, "by hand: 44/tan 50° + 8.75/sin 50°"},
		{"top", s.Top, -11.65731, "by hand: 48.34269 − 60"},
		{"lower, reach", s.Lower.Reach, 87.12818, "by hand: 44·sin 50° + 48.34269·cos 50° + √(24² − 8.75²)"},
		{"lower, length", *s.Lower.Length, 102.12818, "by hand: 20 + 87.12818 − 5"},
		{"room", s.Room, 3.4968, "by hand: the lower screw, front, less the clearance of 3"},
	} {
		near(t, c.name+" ("+c.source+")", c.got, c.want, 5e-4)
	}
	testkit.Near(t, "turn", float64(s.Turn), 0, 1e-4)
	if s.Both != Yes || s.Alone != nil {
		t.Errorf("both fit: %v, alone %v", s.Both, s.Alone)
	}
}

// In a neck of 24.5 mm two 6.5 mm screws 12 mm apart just fit with 3 mm on
// either side; a tenth less and one fits, 0.1 being missing.
// Source: facts, neck room 24.5.
func TestNeckJustHighEnough(t *testing.T) {
	for _, seat := range []Seat{AlongLower, MostRoom} {
		b := plain()
		b.Width = mm(40)
		b.Height = mm(24.5)
		s := solved(t, b, plainNail(), three, seat)
		if s.Both != Yes {
			t.Errorf("24.5: both %v, room %v", s.Both, s.Room)
		}
		b.Height = mm(24.4)
		s = solved(t, b, plainNail(), three, seat)
		short, is := s.Missing()
		near(t, "missing", short, 0.1, 1e-5)
		if s.Both != No || !is || s.Alone == nil || s.Alone.Fits != Yes {
			t.Fatalf("24.4: both %v, missing %v, alone %+v", s.Both, is, s.Alone)
		}
		near(t, "the lower one keeps its clearance", s.Lower.Down, 3, 1e-6)
		b.Height = mm(12.4) // 3 + 6.5 + 3 = 12.5
		s = solved(t, b, plainNail(), three, seat)
		short, is = s.Alone.Missing()
		near(t, "missing for one", short, 0.1, 1e-5)
		if s.Alone.Fits != No || !is {
			t.Errorf("12.4: alone %v", s.Alone.Fits)
		}
	}
}

// Where there is room to spare, MostRoom halves it: 30 − 6.5 − 12 = 11.5.
func TestMostRoomHalvesTheRest(t *testing.T) {
	b := plain()
	b.Width = mm(40)
	s := solved(t, b, plainNail(), three, MostRoom)
	near(t, "lower, down", s.Lower.Down, 5.75, 1e-6)
	near(t, "upper, up", s.Upper.Up, 5.75, 1e-6)
	near(t, "room", s.Room, 2.75, 1e-6)
	k := three
	k.Lower = 7 // by hand: 11.5 less 7 and 3 leaves 1.5 beyond the clearances, half to each
	s = solved(t, b, plainNail(), k, MostRoom)
	near(t, "lower, down", s.Lower.Down, 7.75, 1e-6)
	near(t, "upper, up", s.Upper.Up, 3.75, 1e-6)
	k.Lower = 9 // by hand: 0.5 is missing, and the lower screw keeps its 9
	s = solved(t, b, plainNail(), k, MostRoom)
	near(t, "lower, down", s.Lower.Down, 9, 1e-6)
	near(t, "room", s.Room, -0.5, 1e-6)
}

func TestOval(t *testing.T) {
	for _, c := range []struct {
		name string
		y    units.MM
		want float64
	}{{"lower", -8.75, 9.75}, {"upper", 3.25, 11.71}, {"middle", 0, 12}, {"top", 15, 0}} { // facts: oval neck 30 × 24; by hand
		got, err := HalfWidth(30, 24, c.y)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, c.name, float64(got), c.want, 0.006)
	}
	for _, c := range []struct {
		name                string
		below, d1, s, d2, a units.MM
		want                float64
	}{{"two of 6.5", 3, 6.5, 12, 6.5, 3, 24.5}, {"8 and 6", 3, 8, 13, 6, 3, 26}} { // facts: neck room
		got, err := HeightNeeded(c.below, c.d1, c.s, c.d2, c.a)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, c.name, float64(got), c.want, 1e-9)
	}
}

func TestLeftAboveAndAim(t *testing.T) {
	for _, c := range []struct {
		name  string
		below units.MM
		want  float64
	}{{"along the calcar", 3, 8.5}, {"5 mm too high", 8, 3.5}} { // facts: remaining superior clearance
		got, err := LeftAbove(units.Length{Best: 30, Own: 0.5, Shared: 0.6}, c.below, 6.5, 12, 6.5)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, got, c.want, 1e-9)
		if got.Own != 0.5 || got.Shared != 0.6 {
			t.Errorf("%s: the doubt of the neck is lost: %+v", c.name, got)
		}
	}
	for _, c := range []struct {
		name     string
		err      units.Deg
		want     float64
		distance units.MM
	}{{"2 degrees", 2, 2.10, 60}, {"5 degrees", 5, 5.25, 60}, {"backwards", -5, -5.25, 60}} { // facts: angle error of aiming
		got, err := AimError(c.err, c.distance)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, c.name, float64(got), c.want, 0.005)
	}
}

// The nearest point of an ellipse against a walk round it in steps.
func TestToEllipse(t *testing.T) {
	for _, e := range [][2]float64{{12, 15}, {15, 12}, {10, 10}, {4, 30}} {
		for _, p := range [][2]float64{{0, 0}, {0, -8.75}, {0, 14}, {3, 4}, {-3, 0}, {11, 0}, {5, -11}, {20, 3}, {0, 40}, {-2, -31}} {
			want := math.Inf(1)
			for i := range 20000 {
				sin, cos := math.Sincos(float64(i) * math.Pi / 10000)
				want = math.Min(want, math.Hypot(e[0]*cos-p[0], e[1]*sin-p[1]))
			}
			if p[0]*p[0]/e[0]/e[0]+p[1]*p[1]/e[1]/e[1] > 1 {
				want = -want
			}
			testkit.Near(t, "distance to the ellipse", toEllipse(e[0], e[1], p[0], p[1]), want, 1e-5)
		}
	}
}

func TestTips(t *testing.T) {
	for _, c := range []struct {
		name string
		got  func() (units.MM, error)
		want float64
	}{
		{"8, 6, 3", func() (units.MM, error) { return TipApex(8, 6, 3) }, 18.544},         // facts: TAD in 3-D
		{"on the axis", func() (units.MM, error) { return TipApex(10, 0, 0) }, 20},        // facts: the same
		{"calcar", func() (units.MM, error) { return CalcarTipApex(8, 5, 8, 3) }, 17.978}, // facts: CalTAD
		{"5 off", func() (units.MM, error) { return LostOffCentre(24, 5) }, 0.53},         // facts: off-centre screw
		{"10 off", func() (units.MM, error) { return LostOffCentre(24, 10) }, 2.18},       // facts
		{"13 off", func() (units.MM, error) { return LostOffCentre(24, 13) }, 3.83},       // facts
		{"on the centre", func() (units.MM, error) { return LostOffCentre(24, 0) }, 0},    // by hand
		{"a stray sign", func() (units.MM, error) { return TipApex(8, -6, -3) }, 18.544},  // by hand: squares
	} {
		got, err := c.got()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		tol := 0.0005
		if c.want < 10 {
			tol = 0.006
		}
		testkit.Near(t, c.name, float64(got), c.want, tol)
	}
}

// Lengths of screws off the centre differ from one through it by what the
// sphere loses: spacing 0 puts both where the clearance says.
func TestOffCentreScrewsAreShorter(t *testing.T) {
	for _, c := range []struct{ off, less float64 }{{5, 0.53}, {10, 2.18}, {13, 3.83}} { // facts: R 24
		b := plain()
		b.Height = mm(2 * c.off) // plus the screw and its clearance, below
		b.Height.Best += 2 * (1 + 0.5)
		n := Nail{Angle: 130, LowerDia: 1, UpperDia: 1}
		k := Keep{Lower: 1, Tip: 5}
		s := solved(t, b, n, k, AlongLower)
		near(t, "above", s.Lower.Above, -c.off, 1e-6)
		// by hand: through the centre 44/sin 50° from the nail, plus the
		// lower start, off·cot 50°, plus 24, plus 20 − 5.
		want := 44/math.Sin(rad(50)) + c.off/math.Tan(rad(50)) + 24 - c.less + 15
		near(t, "length", *s.Lower.Length, want, 0.006)
	}
}

// Where a screw of 100 mm ends in the plain neck.
func TestTipAt(t *testing.T) {
	s := solved(t, plain(), plainNail(), three, AlongLower)
	lim := Limits{Least: 5, Most: 10, Apex: 25}
	tip, err := TipAt(plain(), plainNail(), s.Pose, Lower, 100, lim)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		got  units.Length
		want float64
		hand string
	}{
		{"left", tip.Left, 7.12818, "20 + 87.12818 − 100"},
		{"above", tip.Above, -8.75, "along the neck"},
		{"ahead", tip.Ahead, 0, "no version"},
		{"depth", tip.Depth, 24 - 15.21992, "24 − (√(24² − 8.75²) − 7.12818)"},
		{"nearest", tip.Nearest, 6.44412, "24 − √(8.75² + 15.21992²)"},
		{"tip–apex", tip.TipApex, 12.3958 + 8.78008, "√(8.78008² + 8.75²) + 8.78008"},
		{"calcar", tip.Calcar, math.Hypot(18.73499-15.21992, 6.25) + 8.78008, "√((√(24² − 15²) − 15.21992)² + (15 − 8.75)²) + 8.78008"},
	} {
		near(t, c.name+" ("+c.hand+")", c.got, c.want, 1e-3)
	}
	for _, c := range []struct {
		name            string
		length          units.MM
		deep, far, apex Answer
	}{{"right", 100, No, No, No}, {"too deep", 105, Yes, No, No}, {"too far", 92, No, Yes, Yes}, {"through", 110, Yes, No, No}} {
		tip, err := TipAt(plain(), plainNail(), s.Pose, Lower, c.length, lim)
		if err != nil || tip.TooDeep != c.deep || tip.TooFar != c.far || tip.ApexOver != c.apex {
			t.Errorf("%s: %+v, %v", c.name, tip, err)
		}
	}
	b := doubtful(plain())
	tip, err = TipAt(b, plainNail(), s.Pose, Lower, 101, lim)
	if err != nil || tip.TooDeep != Unclear {
		t.Errorf("half a millimetre, with doubt, is called: %v %v %v", tip.TooDeep, tip.Nearest, err)
	}
}

func TestSources(t *testing.T) {
	for _, k := range append(Sources(), TipSources()...) {
		if _, ok := source.Find(k); !ok {
			t.Errorf("%s is not in the register", k)
		}
	}
}

// A screw that misses the head is not given a length, and the pair does not fit.
func TestMissesTheHead(t *testing.T) {
	b := plain()
	b.Radius = mm(12)
	n := plainNail()
	n.Spacing = 25
	b.Height = mm(58)
	s := solved(t, b, n, Keep{Lower: 10}, AlongLower)
	var e *MissesHeadError
	if !errors.As(s.Lower.Missed, &e) || s.Lower.Length != nil || s.Both != No || s.Alone == nil || s.Alone.Fits != No {
		t.Errorf("missed: %v, length %v, both %v", s.Lower.Missed, s.Lower.Length, s.Both)
	}
}
