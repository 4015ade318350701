package neck

import (
	"math"

	"isthmus/core/source"
	"isthmus/core/units"
)

// A Pose is where a nail lies: how deep, and how far it is turned.
type Pose struct {
	Depth units.MM  // from the origin down to where the lower screw crosses the axis of the nail
	Turn  units.Deg // of the screws forwards, from the AP plane
}

// An Answer to a question. The zero value claims nothing.
type Answer int

// The two answers, and that it is too close to call.
const (
	Unclear Answer = iota
	Yes
	No
)

// A Screw is one head screw in its place. Its doubts are those of a nail that
// lies exactly in the pose that was planned: looking at the image while
// placing it does better.
type Screw struct {
	Up, Down    units.Length // from the screw to the upper and lower wall, straight up and down, where least (AP)
	Front, Back units.Length // from the screw to the front and back wall, straight, where least (lateral)
	Wall        units.Length // to the nearest wall in any direction, which no film shows; below zero: through it
	Above       units.Length // its axis passes so far above the centre of the head (below: negative)
	Ahead       units.Length // its axis passes so far in front of the centre of the head
	Off         units.Length // its axis passes so far from the centre of the head
	Reach       units.Length // from the axis of the nail to the surface of the head, along the screw

	// Length is from the outer lateral cortex to the surface of the head less
	// the clearance of the tip; nil where the cortex was not given.
	Length  *units.Length
	Nearest units.Length // from that tip to the surface of the head the shortest way: less than the clearance, off the centre
	Missed  error        // not nil: a MissesHeadError, and then Reach, Length and Nearest are not told
}

// A Solution is the best place of a nail for a neck, and what it leaves.
type Solution struct {
	Pose
	DepthIs units.Length // Depth with the doubt of the bone
	TurnIs  units.Angle  // Turn with the doubt of the bone
	Top     units.Length // from the origin down to the top of the nail (above it: negative)
	Lower   Screw
	Upper   Screw

	// Room is the smallest margin of both screws beyond its clearance, with
	// the nail placed anew for whatever the bone turns out to be. Below zero,
	// so much is missing.
	Room units.Length
	Both Answer // whether both screws fit

	// Alone is the lower screw by itself in its own best place, worked out
	// where both do not surely fit.
	Alone *Single
}

// A Single is the lower screw without the upper one.
type Single struct {
	Pose
	Screw Screw
	Room  units.Length // smallest margin beyond its clearance; below zero, so much is missing
	Fits  Answer
}

// Sources returns who says what Solve uses: plane and solid geometry, the
// rules of propagation, and clearances that are from memory.
func Sources() []source.Key {
	return []source.Key{source.Geometry, source.GUM, source.NeckRoom, source.Subchondral}
}

// Solve returns the depth and the turn of the nail that give the lower screw
// its clearance to the lower wall of the neck and both screws the most room:
//
//	maximise over depth and turn: min over screws, walls, stretch of (margin − clearance)
//
// with the lower screw's way to the lower wall equal to its clearance
// (AlongLower, and then not part of the minimum) or not less than it
// (MostRoom). Margins are straight up, down, forwards and backwards from the
// screw, cut as it is by the section of the neck, to the wall of the oval
// neck, everywhere on the stretch that was given. Where all clearances are
// equal this is the largest smallest margin. Wall is reported, and a screw
// that breaks it does not fit, but it does not steer the search.
//
// Doubts are propagated to first order, one input at a time by its standard
// uncertainty, taking the larger of the two sides since a nearest wall can
// change (JCGM 100:2008, 5.1.3 note 2): the doubt of Wall is then up to 1.6
// times too large. Inputs are taken to err independently of one another.
// Shared of a result is that of the AP view; the scale of the lateral view is
// in Own.
//
// Source: geometry. It refuses sizes that no hip and no nail has, a seat not
// chosen, a stretch of neck that reaches the nail, and a neck more than 45
// degrees aside of the way to it.
func Solve(b Bone, n Nail, k Keep, seat Seat) (Solution, error) {
	if err := first(b.check(), n.check(), k.check()); err != nil {
		return Solution{}, err
	}
	if seat != AlongLower && seat != MostRoom {
		return Solution{}, &SeatError{Got: seat}
	}
	if err := b.checkWay(); err != nil {
		return Solution{}, err
	}
	s := newScene(b, n, k)
	p, placed, ok := s.place(b, seat)
	if !ok {
		return Solution{}, &UnsolvedError{}
	}
	out := Solution{Pose: p.pose(), DepthIs: placed[0], Room: placed[2]}
	out.TurnIs = units.Angle{Best: out.Turn, Own: units.Deg(placed[1].Doubt())}
	out.Top = placed[0].Minus(units.Exact(n.HeadDepth))
	out.Lower, out.Upper = s.screw(b, p, Lower), s.screw(b, p, Upper)
	out.Both = fits(out.Room, placed[3], out.Lower, out.Upper)
	if out.Both != Yes {
		out.Alone, ok = s.alone(b, seat)
	}
	if !ok || !out.finite() {
		return Solution{}, &UnsolvedError{}
	}
	return out, nil
}

// Missing returns how much room is missing for both screws, and false where
// none is.
func (s Solution) Missing() (units.Length, bool) { return s.Room.Times(-1), s.Room.Best < -guard }

// Missing returns how much room is missing for the one screw, and false where
// none is.
func (s Single) Missing() (units.Length, bool) { return s.Room.Times(-1), s.Room.Best < -guard }

// At returns both screws of a nail that lies in a given pose: what a nail
// placed otherwise leaves. Source: geometry, as Solve. It refuses what Solve
// refuses, a depth beyond 400 mm and a turn beyond 70 degrees.
func At(b Bone, n Nail, k Keep, pose Pose) (lower, upper Screw, err error) {
	if err := first(b.check(), n.check(), k.check(), pose.check()); err != nil {
		return Screw{}, Screw{}, err
	}
	if err := b.checkWay(); err != nil {
		return Screw{}, Screw{}, err
	}
	s := newScene(b, n, k)
	p := pose.spot()
	lower, upper = s.screw(b, p, Lower), s.screw(b, p, Upper)
	if !lower.finite() || !upper.finite() {
		return Screw{}, Screw{}, &UnsolvedError{}
	}
	return lower, upper, nil
}

func (p Pose) check() error {
	if err := need("the depth of the nail", p.Depth, -400, 400); err != nil {
		return err
	}
	return checkAngle("the turn of the nail", units.Angle{Best: p.Turn}, -70, 70)
}

func (p Pose) spot() spot { return spot{depth: float64(p.Depth), turn: rad(float64(p.Turn))} }
func (p spot) pose() Pose {
	return Pose{Depth: units.MM(p.depth), Turn: units.Deg(deg(p.turn))}
}

// place returns the best spot, and depth (mm), turn (degrees), room and the
// way to the nearest wall (mm) there, with the doubt of the bone.
func (s *scene) place(b Bone, seat Seat) (spot, row, bool) {
	p, ok := s.solve(seat)
	if !ok {
		return p, row{}, false
	}
	offset := p.turn - s.middle()
	placed := s.spread(b, inRadius, values{p.depth, deg(p.turn), p.room, s.wall(p)}, func(t *scene) values {
		q := t.near(offset, seat)
		return values{q.depth, deg(q.turn), q.room, t.wall(q)}
	})
	return p, placed, true
}

// alone returns the lower screw by itself.
func (s *scene) alone(b Bone, seat Seat) (*Single, bool) {
	t := *s
	t.screws = 1
	p, placed, ok := t.place(b, seat)
	if !ok {
		return nil, false
	}
	out := &Single{Pose: p.pose(), Screw: t.screw(b, p, Lower), Room: placed[2]}
	out.Fits = fits(out.Room, placed[3], out.Screw)
	return out, true
}

// guard is half of the last digit that counts: a margin that is exact and
// equal to its clearance is enough.
const guard = 1e-6

// enough reports whether a length is not below zero.
func enough(l units.Length) Answer {
	if l.Doubt() == 0 {
		if l.Best >= -guard {
			return Yes
		}
		return No
	}
	switch l.Against(0) {
	case units.More:
		return Yes
	case units.Less:
		return No
	}
	return Unclear
}

// fits reports whether there is room, no screw breaks a wall, and every screw
// meets the head.
func fits(room, wall units.Length, screws ...Screw) Answer {
	for _, w := range screws {
		if w.Missed != nil {
			return No
		}
	}
	a, b := enough(room), enough(wall)
	switch {
	case a == No || b == No:
		return No
	case a == Yes && b == Yes:
		return Yes
	}
	return Unclear
}

func (w Screw) finite() bool {
	ok := w.Up.Finite() && w.Down.Finite() && w.Front.Finite() && w.Back.Finite() && w.Wall.Finite() &&
		w.Above.Finite() && w.Ahead.Finite() && w.Off.Finite() && w.Reach.Finite() && w.Nearest.Finite()
	return ok && (w.Length == nil || w.Length.Finite())
}

func (s Solution) finite() bool {
	ok := s.DepthIs.Finite() && s.Room.Finite() && s.Top.Finite() && s.Lower.finite() && s.Upper.finite() && finite(float64(s.TurnIs.Own))
	return ok && (s.Alone == nil || s.Alone.Room.Finite() && s.Alone.Screw.finite())
}

// missed returns the refusal of a screw that passes the head too near its
// edge: there the surface runs almost along it, and its way out is not told.
func missed(place Place, off, radius float64) error {
	if most := edge * radius; !(off <= most) {
		return &MissesHeadError{Place: place, Off: units.MM(off), Most: units.MM(most)}
	}
	return nil
}

// line returns one screw: where it crosses the axis of the nail, its
// direction, and where it passes the centre of the head, from there.
func (s *scene) line(p spot, i int) (cross, dir, foot vec, along float64) {
	cross = vec{u: s.rise[i] - p.depth}
	dir, _, _ = axes(s.angle, p.turn)
	g := cross.minus(s.head)
	along = -g.dot(dir)
	return cross, dir, g.plus(dir.times(along)), along
}

// chord returns how far a line that passes off from the centre of a ball runs
// from there to its surface: √(R² − off²).
func chord(r, off float64) float64 { return math.Sqrt(math.Max(0, r*r-off*off)) }
