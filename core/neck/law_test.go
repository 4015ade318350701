package neck

import (
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

// A bone seen in a mirror that swaps front and back turns the other way and
// swaps its front and back margins; nothing else changes.
func TestMirrorFrontAndBack(t *testing.T) {
	for name, c := range cases() {
		for _, seat := range []Seat{AlongLower, MostRoom} {
			m := c.b
			m.Head.Front.Best, m.Version.Best = -m.Head.Front.Best, -m.Version.Best
			a, b := solved(t, c.b, c.n, c.k, seat), solved(t, m, c.n, c.k, seat)
			near(t, name+": depth", b.DepthIs, float64(a.Depth), 1e-5)
			testkit.Near(t, name+": turn", float64(b.Turn), -float64(a.Turn), 1e-4)
			near(t, name+": room", b.Room, float64(a.Room.Best), 1e-6)
			near(t, name+": front", b.Upper.Front, float64(a.Upper.Back.Best), 1e-4)
			near(t, name+": ahead", b.Lower.Ahead, -float64(a.Lower.Ahead.Best), 1e-4)
			near(t, name+": length", *b.Lower.Length, float64(a.Lower.Length.Best), 1e-4)
		}
	}
}

// The mirror that swaps left and right leaves everything but the sense in
// which the handle goes round, and is its own inverse.
func TestMirrorLeftAndRight(t *testing.T) {
	for _, o := range []float64{-7, -1, 2, 9} {
		l, err1 := TurnFor(mm(o), mm(70), LeftLeg)
		r, err2 := TurnFor(mm(o), mm(70), RightLeg)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if l.Above == r.Above || l.Above == NoWay {
			t.Errorf("%g: both legs turn %s", o, l.Above)
		}
		l.Above = r.Above
		if l != r {
			t.Errorf("%g: %+v differs from %+v", o, l, r)
		}
	}
	p := vec{3, 4, 5}
	if LeftLeg.reflect(LeftLeg.reflect(p)) != p || LeftLeg.reflect(p) == p || RightLeg.reflect(p) != p {
		t.Error("the reflection is not one")
	}
}

// Without version the nail is not turned; with a neck turned about the nail
// as a whole the nail turns as much, and nothing else changes.
func TestVersionIsTurn(t *testing.T) {
	for _, seat := range []Seat{AlongLower, MostRoom} {
		b := plain()
		b.NeckShaft.Best = 124
		zero := solved(t, b, plainNail(), three, seat)
		testkit.Near(t, "turn without version", float64(zero.Turn), 0, 1e-4)
		for _, a := range []float64{-20, 7, 15, 40} {
			v := b
			v.Version.Best = units.Deg(a)
			v.Head.Medial, v.Head.Front = mm(44*math.Cos(rad(a))), mm(44*math.Sin(rad(a)))
			s := solved(t, v, plainNail(), three, seat)
			testkit.Near(t, "turn", float64(s.Turn), a, 1e-4)
			near(t, "depth", s.DepthIs, float64(zero.Depth), 1e-6)
			near(t, "room", s.Room, float64(zero.Room.Best), 1e-6)
			near(t, "length", *s.Upper.Length, float64(zero.Upper.Length.Best), 1e-6)
		}
	}
}

// The origin is the caller's: moved along the nail, only depth moves.
func TestOriginIsFree(t *testing.T) {
	a := solved(t, askew(), plainNail(), three, MostRoom)
	b := askew()
	b.Head.Up.Best += 31
	s := solved(t, b, plainNail(), three, MostRoom)
	near(t, "depth", s.DepthIs, float64(a.Depth)-31, 1e-5)
	near(t, "top", s.Top, float64(a.Top.Best)-31, 1e-5)
	near(t, "length", *s.Upper.Length, float64(a.Upper.Length.Best), 1e-5)
}

// With no spacing the two screws are one, and it lies where the lower screw
// by itself does.
func TestSpacingZero(t *testing.T) {
	for _, seat := range []Seat{AlongLower, MostRoom} {
		n := plainNail()
		n.Spacing = 0
		s := solved(t, askew(), n, three, seat)
		if s.Lower != s.Upper && (s.Lower.Up != s.Upper.Up || *s.Lower.Length != *s.Upper.Length) {
			t.Errorf("lower %+v and upper %+v differ", s.Lower, s.Upper)
		}
		sc := newScene(askew(), plainNail(), three)
		alone, ok := sc.alone(askew(), seat)
		if !ok {
			t.Fatal("no place for one")
		}
		near(t, "depth", s.DepthIs, float64(alone.Depth), 1e-5)
		testkit.Near(t, "turn", float64(s.Turn), float64(alone.Turn), 1e-4)
		near(t, "room", s.Room, float64(alone.Room.Best), 1e-6)
	}
}

// Twice as large in everything is twice as deep and as far, turned the same.
func TestScaling(t *testing.T) {
	const k = 1.3
	for name, c := range cases() {
		a := solved(t, c.b, c.n, c.k, MostRoom)
		b, n, keep := c.b, c.n, c.k
		for _, l := range []*units.Length{&b.Head.Medial, &b.Head.Up, &b.Head.Front, &b.Radius, &b.Height, &b.Width, &b.LateralLower, &b.LateralUpper} {
			*l = l.Times(k)
		}
		b.From, b.To = b.From*k, b.To*k
		n.Spacing, n.LowerDia, n.UpperDia, n.HeadDepth = n.Spacing*k, n.LowerDia*k, n.UpperDia*k, n.HeadDepth*k
		keep = Keep{keep.Lower * k, keep.Upper * k, keep.Side * k, keep.Tip * k}
		s := solved(t, b, n, keep, MostRoom)
		near(t, name+": depth", s.DepthIs, k*float64(a.Depth), 1e-5)
		testkit.Near(t, name+": turn", float64(s.Turn), float64(a.Turn), 1e-4)
		near(t, name+": room", s.Room, k*float64(a.Room.Best), 1e-6)
		near(t, name+": wall", s.Upper.Wall, k*float64(a.Upper.Wall.Best), 1e-4)
		near(t, name+": length", *s.Lower.Length, k*float64(a.Lower.Length.Best), 1e-4)
	}
}

// No wall is nearer than the nearest.
func TestWallIsTheLeast(t *testing.T) {
	for name, c := range cases() {
		s := solved(t, c.b, c.n, c.k, AlongLower)
		for _, w := range []Screw{s.Lower, s.Upper} {
			for _, m := range []units.Length{w.Up, w.Down, w.Front, w.Back} {
				if w.Wall.Best > m.Best+1e-9 && m.Best > 0 {
					t.Errorf("%s: wall %v is further than %v", name, w.Wall, m)
				}
			}
		}
	}
}

// even returns an even number between lo and hi.
func (c *chance) even(lo, hi float64) float64 {
	*c = *c*1664525 + 1013904223
	return lo + (hi-lo)*float64(*c>>8)/(1<<24)
}

func (c *chance) bone() (Bone, Nail, Keep) {
	b, n := plain(), plainNail()
	b.Head = Point{mm(c.even(35, 60)), mm(c.even(-30, 30)), mm(c.even(-5, 15))}
	b.NeckShaft.Best, b.Version.Best = units.Deg(c.even(112, 143)), units.Deg(c.even(-15, 35))
	b.Height, b.Width = mm(c.even(22, 36)), mm(c.even(18, 30))
	b.From = units.MM(c.even(0, 20))
	b.To = b.From + units.MM(c.even(1, 25))
	n.Angle, n.Spacing = units.Deg(c.even(120, 140)), units.MM(c.even(8, 15))
	n.LowerDia, n.UpperDia = units.MM(c.even(5, 9)), units.MM(c.even(5, 8))
	return b, n, Keep{units.MM(c.even(1, 5)), units.MM(c.even(1, 5)), units.MM(c.even(0, 4)), 5}
}

// Of bones drawn by chance, many of them worse than any patient's, none has
// more room at any other turn.
func TestNoTurnIsBetter(t *testing.T) {
	c, tried := chance(7), 0
	for range 60 {
		b, n, k := c.bone()
		for _, seat := range []Seat{AlongLower, MostRoom} {
			s, err := Solve(b, n, k, seat)
			if err != nil || s.Room.Best < -5 {
				continue
			}
			tried++
			sc := newScene(b, n, k)
			for d := -24.0; d <= 24; d += 0.2 {
				if p := sc.best(sc.middle()+rad(d), seat); p.room > float64(s.Room.Best)+1e-5 {
					t.Fatalf("seat %d: %g at turn %g, %g found at %g: %+v", seat, p.room, deg(p.turn), s.Room.Best, s.Turn, b)
				}
			}
		}
	}
	if tried < 50 {
		t.Errorf("only %d of 120 tried", tried)
	}
}

func TestDoubtByHand(t *testing.T) {
	for _, c := range []struct {
		name   string
		in     func(*Bone) *units.Length
		got    func(Solution) units.Length
		want   float64
		source string
	}{
		{"height, on the way down", func(b *Bone) *units.Length { return &b.Height }, func(s Solution) units.Length { return s.Lower.Down }, 0.5, "the wall is H/2 away"},
		{"height, on the way up", func(b *Bone) *units.Length { return &b.Height }, func(s Solution) units.Length { return s.Upper.Up }, 0.5, "the wall is H/2 away"},
		{"height, on depth", func(b *Bone) *units.Length { return &b.Height }, func(s Solution) units.Length { return s.DepthIs }, 0.5 / math.Sin(rad(50)), "H/2 square to the screw, along the nail"},
		{"head upwards, on depth", func(b *Bone) *units.Length { return &b.Head.Up }, func(s Solution) units.Length { return s.DepthIs }, 1, "all moves up"},
		{"head upwards, on room", func(b *Bone) *units.Length { return &b.Head.Up }, func(s Solution) units.Length { return s.Room }, 0, "the nail follows"},
		{"head upwards, on the way down", func(b *Bone) *units.Length { return &b.Head.Up }, func(s Solution) units.Length { return s.Lower.Down }, math.Sin(rad(50)), "the nail does not follow"},
		{"head forwards, on the side", func(b *Bone) *units.Length { return &b.Head.Front }, func(s Solution) units.Length { return s.Lower.Back }, 1, "all moves forwards"},
		{"radius, on length", func(b *Bone) *units.Length { return &b.Radius }, func(s Solution) units.Length { return *s.Lower.Length }, 24 / math.Sqrt(24*24-8.75*8.75), "slope of √(R² − e²)"},
		{"cortex, on length", func(b *Bone) *units.Length { return &b.LateralLower }, func(s Solution) units.Length { return *s.Lower.Length }, 1, "it is added"},
	} {
		b := plain()
		c.in(&b).Own = 1
		s := solved(t, b, plainNail(), three, AlongLower)
		testkit.Near(t, c.name+" (by hand: "+c.source+")", float64(c.got(s).Own), c.want, 0.03)
		b = plain()
		c.in(&b).Shared = -1
		s = solved(t, b, plainNail(), three, AlongLower)
		got := c.got(s)
		testkit.Near(t, c.name+", by the scale", float64(got.Doubt()), c.want, 0.03)
		if lateral := c.in(&b) == &b.Head.Front; lateral != (got.Shared == 0) && c.want != 0 {
			t.Errorf("%s: shared %v, own %v", c.name, got.Shared, got.Own)
		}
	}
}

// The scale of the AP view moves everything on it together: solving again
// with every one of those lengths 2 % longer moves the results by what Shared
// says, with its sign.
func TestSharedDoubtIsTheScale(t *testing.T) {
	b := askew()
	all := func(b *Bone) []*units.Length {
		return []*units.Length{&b.Head.Medial, &b.Head.Up, &b.Radius, &b.Height, &b.LateralLower, &b.LateralUpper}
	}
	for _, l := range all(&b) {
		l.Shared = 0.02 * l.Best
	}
	s := solved(t, b, plainNail(), three, AlongLower)
	m := askew()
	for _, l := range all(&m) {
		l.Best *= 1.02
	}
	q := solved(t, m, plainNail(), three, AlongLower)
	testkit.Near(t, "depth", float64(s.DepthIs.Shared), float64(q.Depth-s.Depth), 0.03)
	testkit.Near(t, "room", float64(s.Room.Shared), float64(q.Room.Best-s.Room.Best), 0.03)
	if s.DepthIs.Own != 0 || s.Room.Own != 0 {
		t.Errorf("a scale alone gives own doubt: %+v %+v", s.DepthIs, s.Room)
	}
	lower, _, err := At(m, plainNail(), three, s.Pose)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "length in the same pose", float64(s.Lower.Length.Shared), float64(lower.Length.Best-s.Lower.Length.Best), 0.06)
}

// With doubt, a neck that is a little too high or too low is too close to call.
func TestDoubtDecides(t *testing.T) {
	for _, c := range []struct {
		name   string
		height units.MM
		want   Answer
	}{{"high", 28, Yes}, {"just high enough", 25, Unclear}, {"just too low", 24, Unclear}, {"low", 21, No}} {
		b := plain()
		b.Width = mm(40)
		b.Height = units.Length{Best: c.height, Own: 1}
		if s := solved(t, b, plainNail(), three, AlongLower); s.Both != c.want {
			t.Errorf("%s: %v, want %v (room %v)", c.name, s.Both, c.want, s.Room)
		}
	}
}

// chance is a small generator of normal errors, the same in every run: twelve
// even numbers, added, less 6. Source: Numerical Recipes, 7.1 (the numbers).
type chance uint32

func (c *chance) normal() (out float64) {
	for range 12 {
		*c = *c*1664525 + 1013904223
		out += float64(*c>>8) / (1 << 24)
	}
	return out - 6
}

// The doubts that are propagated to first order are those of 800 bones drawn
// by chance, within 15 %. That of the nearest wall is up to 1.6 times too
// large, for each input is taken on its worse side.
func TestDoubtAgainstChance(t *testing.T) {
	b := doubtful(askew())
	b.To = 36 // so that no draw reaches the nail
	lengths := func(b *Bone) []*units.Length {
		return []*units.Length{&b.Head.Medial, &b.Head.Up, &b.Head.Front, &b.Radius, &b.Height, &b.Width, &b.LateralLower, &b.LateralUpper}
	}
	for _, seat := range []Seat{AlongLower, MostRoom} {
		s := solved(t, b, plainNail(), three, seat)
		names := [6]string{"depth", "turn", "room", "length", "way up", "wall"}
		var sum, square [6]float64
		c := chance(20261125)
		const draws = 800
		for range draws {
			m, ap, lateral := b, c.normal(), c.normal()
			for _, l := range lengths(&m) {
				scale := ap
				if l == &m.Width || l == &m.Head.Front {
					scale = lateral
				}
				*l = units.Exact(l.Best + l.Own*units.MM(c.normal()) + l.Shared*units.MM(scale))
			}
			m.NeckShaft = units.Angle{Best: m.NeckShaft.Best + m.NeckShaft.Own*units.Deg(c.normal())}
			m.Version = units.Angle{Best: m.Version.Best + m.Version.Own*units.Deg(c.normal())}
			q := solved(t, m, plainNail(), three, seat)
			_, upper, err := At(m, plainNail(), three, s.Pose)
			if err != nil {
				t.Fatal(err)
			}
			for i, v := range []float64{float64(q.Depth), float64(q.Turn), float64(q.Room.Best), float64(upper.Length.Best), float64(upper.Up.Best), float64(upper.Wall.Best)} {
				sum[i] += v
				square[i] += v * v
			}
		}
		for i, got := range []float64{float64(s.DepthIs.Doubt()), float64(s.TurnIs.Own), float64(s.Room.Doubt()),
			float64(s.Upper.Length.Doubt()), float64(s.Upper.Up.Doubt()), float64(s.Upper.Wall.Doubt())} {
			sd := math.Sqrt(square[i]/draws - sum[i]/draws*sum[i]/draws)
			if !(got > 0.85*sd && got < 1.6*sd) {
				t.Errorf("seat %d, %s: propagated %.3f, drawn %.3f", seat, names[i], got, sd)
			}
		}
	}
}
