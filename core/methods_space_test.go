package core_test

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/measure"
	"isthmus/core/neck"
	"isthmus/core/units"
)

func init() {
	for k, v := range spaceExamples {
		examples[k] = v
	}
}

func exact(v units.MM) units.Length { return units.Length{Best: v} }

func plainHip() (neck.Bone, neck.Nail, neck.Keep) {
	return neck.Bone{Head: neck.Point{Medial: exact(44)}, Radius: exact(24), NeckShaft: units.Angle{Best: 130}, Height: exact(30), Width: exact(24),
			From: 20, To: 45, LateralLower: exact(20), LateralUpper: exact(20)},
		neck.Nail{Angle: 130, Spacing: 12, LowerDia: 6.5, UpperDia: 6.5, HeadDepth: 60}, neck.Keep{Lower: 3, Upper: 3, Side: 3, Tip: 5}
}

var spaceExamples = map[string]func(*testing.T) []string{
	// By hand: the neck along (sin 50°, cos 50°) from its middle, edges 15 and
	// 12 mm square to it; without version each film shows one half axis. The
	// law for other versions is core/plan's TestSpaceFollowsVersion.
	"neck-tube": func(t *testing.T) []string {
		sin, cos := math.Sincos(50 * math.Pi / 180)
		at := func(x, up float64) measure.Placed { return measure.Placed{At: px(1000+10*x, 1000-10*up), Slip: 1} }
		film := func(v anatomy.View, x float64, a, b anatomy.Landmark, mx, ex, ey float64) measure.Film {
			my := -32.5 * cos
			return measure.Film{View: v, Plane: calibrate.Plane{Row: 0.1, Col: 0.1, Origin: calibrate.FromBallMark}, At: measure.Points{
				anatomy.HeadRim1: at(x+24, 0), anatomy.HeadRim2: at(x, 24), anatomy.HeadRim3: at(x-24, 0), a: at(mx+ex, my+ey), b: at(mx-ex, my-ey),
				anatomy.ShaftUpper: at(0, -80), anatomy.ShaftLower: at(0, -180)}}
		}
		front, err := measure.NeckFromFront(film(anatomy.AP, 44, anatomy.NeckUpper, anatomy.NeckLower, 44-32.5*sin, -15*cos, 15*sin))
		none(t, err)
		side, err := measure.NeckFromSide(film(anatomy.Lateral, 0, anatomy.NeckFront, anatomy.NeckBack, 0, 12, 0))
		none(t, err)
		return []string{f(2, front.Height.Best) + " mm", f(2, side.Width.Best) + " mm"}
	},
	// By hand: 44/tan 50° + 8.75/sin 50°; 30 − (3 + 3.25 + 12 + 3.25);
	// 12·√(1 − (17.5/30)²) − 3.25 − 3.
	"space": func(t *testing.T) []string {
		b, n, k := plainHip()
		s, err := neck.Solve(b, n, k, neck.AlongLower)
		none(t, err)
		return []string{f(2, s.Depth) + " mm", f(2, s.Upper.Up.Best) + " mm", f(2, s.Room.Best) + " mm"}
	},
	// Facts 4e and 4f.
	"tip-place": func(t *testing.T) []string {
		a, err := neck.TipApex(8, 6, 3)
		none(t, err)
		c, err := neck.CalcarTipApex(8, 5, 8, 3)
		none(t, err)
		return []string{f(3, a) + " mm", f(3, c) + " mm"}
	},
	// By hand: 5/sin 50°.
	"wire-height": func(t *testing.T) []string {
		m, err := neck.MoveFor(exact(5), 130)
		none(t, err)
		if m.Way != neck.Advance {
			t.Errorf("%s", m.Way)
		}
		return []string{f(2, m.By.Best) + " mm"}
	},
	// By hand: atan(4/73), 95·sin 50°.
	"wire-turn": func(t *testing.T) []string {
		r, err := neck.TurnFor(exact(4), exact(73), neck.LeftLeg)
		none(t, err)
		l, err := neck.SquareReach(exact(95), 130)
		none(t, err)
		return []string{f(2, r.By.Best) + "°", f(2, l.Best) + " mm"}
	},
	// By hand: 5 − 4.
	"parallel-hole": func(t *testing.T) []string {
		h, err := neck.NearestHole(5, []units.MM{4, 8})
		none(t, err)
		return []string{f(1, h.Left) + " mm is left"}
	},
}
