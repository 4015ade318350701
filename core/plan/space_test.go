package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// A femurTop is the truth from which two films are drawn by parallel beams: an
// independent model of the upper end of a femur in the frame of the nail
// (medial, up, front), with the trochanter tip at the level of the origin.
type femurTop struct {
	nsa, version, reach, radius, height, width, behind float64
}

var topTruth = femurTop{nsa: 130, version: 0, reach: 44, radius: 24, height: 30, width: 24, behind: 32.5}

// films draws the two films at 0.1 mm a pixel, mirrored for a left leg.
func (f femurTop) films(bone anatomy.Bone, left bool, slip units.Px) []shot {
	p, a := (180-f.nsa)*math.Pi/180, f.version*math.Pi/180
	n := [3]float64{math.Sin(p) * math.Cos(a), math.Cos(p), math.Sin(p) * math.Sin(a)}
	v := [3]float64{-math.Cos(p) * math.Cos(a), math.Sin(p), -math.Cos(p) * math.Sin(a)}
	w := [3]float64{-math.Sin(a), 0, math.Cos(a)}
	head := [3]float64{f.reach * math.Cos(a), 0, f.reach * math.Sin(a)}
	var mid [3]float64
	for i := range mid {
		mid[i] = head[i] - f.behind*n[i]
	}
	see := func(view anatomy.View, q [3]float64) geom.Pt[units.Px] {
		x := q[0]
		if view == anatomy.Lateral {
			x = q[2]
		}
		if left {
			x = -x
		}
		return geom.Pt[units.Px]{X: units.Px(1000 + 10*x), Y: units.Px(1000 - 10*q[1])}
	}
	draw := func(i int, view anatomy.View, axis int, first, second anatomy.Landmark, more map[anatomy.Landmark][3]float64) shot {
		// The silhouette: the farthest points of the oval across the neck as seen.
		seen := [3]float64{n[0], n[1], n[2]}
		seen[axis] = 0
		m := [3]float64{-seen[1], seen[0] - seen[2], seen[1]}
		m[axis] = 0
		long := math.Hypot(math.Hypot(m[0], m[1]), m[2])
		best := [3]float64{}
		far := -1.0
		for k := range 3600 {
			s, c := math.Sincos(float64(k) * math.Pi / 1800)
			var q [3]float64
			d := 0.0
			for j := range q {
				q[j] = f.height/2*c*v[j] + f.width/2*s*w[j]
				d += q[j] * m[j] / long
			}
			if d > far {
				far, best = d, q
			}
		}
		at := measure.Points{}
		put := func(l anatomy.Landmark, q [3]float64) { at[l] = measure.Placed{At: see(view, q), Slip: slip} }
		var up, down [3]float64
		for j := range mid {
			up[j], down[j] = mid[j]+best[j], mid[j]-best[j]
		}
		put(first, up)
		put(second, down)
		put(anatomy.ShaftUpper, [3]float64{0, -80, 0})
		put(anatomy.ShaftLower, [3]float64{0, -180, 0})
		for k, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
			s, c := math.Sincos(float64(k)*2.1 + 0.4)
			q := head
			if axis == 2 {
				q[0] += f.radius * c
			} else {
				q[2] += f.radius * c
			}
			q[1] += f.radius * s
			put(l, q)
		}
		for l, q := range more {
			put(l, q)
		}
		film := record.Film{View: view, Bone: bone}
		return shot{i, film, measure.Film{View: view, At: at, Plane: calibrate.Plane{Row: 0.1, Col: 0.1, Rel: 0.005, Origin: calibrate.FromBallMark}}}
	}
	return []shot{
		draw(0, anatomy.AP, 2, anatomy.NeckUpper, anatomy.NeckLower, map[anatomy.Landmark][3]float64{
			anatomy.TrochanterTip: {-8, 0, 0}, anatomy.LateralCortex: {-20 * math.Sin(50*math.Pi/180), -60, 0}}),
		draw(1, anatomy.Lateral, 0, anatomy.NeckFront, anatomy.NeckBack, nil),
	}
}

var spaceNail = NailChoice{Part: &implant.Nail{HeadAngle: 130, HeadSpacing: 12, HeadDia: 6.5, HeadDepth: 60}}

var spaceAim = aim{angle: 130, spacing: 12, dia: 6.5}

// The plain neck of core/neck, whose answers are by hand there: depth 48.34,
// so the top 11.66 above the tip; length 102.13; room 3.497 at the least, for
// the lower screw in front. Here it comes from points on two films.
func TestSpaceFromTwoFilms(t *testing.T) {
	for _, left := range []bool{false, true} {
		s, _, problems := spaceOf(spaceAim, spaceNail, topTruth.films(anatomy.Injured, left, 1), DefaultPolicy())
		if !s.Solved {
			t.Fatal(codesOf(problems))
		}
		testkit.Near(t, "top", float64(s.Top.Best), -11.65731, 0.01)
		testkit.Near(t, "turn", float64(s.Turn.Best), 0, 0.01)
		testkit.Near(t, "lower length", float64(s.Lower.Length.Best), 102.12818, 0.01)
		testkit.Near(t, "upper, up: 30 − (3 + 3.25 + 12 + 3.25)", float64(s.Upper.Up.Best), 8.5, 0.01)
		testkit.Near(t, "room", float64(s.Room.Best), 3.4968, 0.01)
		if !has(problems, "space-proud") {
			t.Error("a nail that stands out by 11.7 mm is not told")
		}
		if s.Both != record.Yes || s.Longer == "" {
			t.Errorf("both %q, longer %q", s.Both, s.Longer)
		}
	}
}

// Law: a neck turned forwards by a as a whole turns the nail by a and changes
// nothing else; seen from the front alone its screws would read too short.
func TestSpaceFollowsVersion(t *testing.T) {
	zero, _, _ := spaceOf(spaceAim, spaceNail, topTruth.films(anatomy.Injured, false, 1), DefaultPolicy())
	for _, a := range []float64{-20, 10, 15, 30} {
		f := topTruth
		f.version = a
		films := f.films(anatomy.Injured, a > 12, 1)
		s, _, problems := spaceOf(spaceAim, spaceNail, films, DefaultPolicy())
		if !s.Solved {
			t.Fatal(a, codesOf(problems))
		}
		testkit.Near(t, "turn", float64(s.Turn.Best), a, 0.05)
		testkit.Near(t, "version", float64(s.Version.Best), a, 0.01)
		testkit.Near(t, "neck–shaft angle", float64(s.NeckShaft.Best), 130, 0.01)
		testkit.Near(t, "top", float64(s.Top.Best), float64(zero.Top.Best), 0.05)
		testkit.Near(t, "lower length", float64(s.Lower.Length.Best), float64(zero.Lower.Length.Best), 0.05)
		testkit.Near(t, "room", float64(s.Room.Best), float64(zero.Room.Best), 0.05)
		path, err1 := measure.ScrewPath(films[0].Film, 130, 0)
		flat, err2 := measure.ScrewPath(topTruth.films(anatomy.Injured, false, 1)[0].Film, 130, 0)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if !(path.ToSurface.Best < flat.ToSurface.Best-0.2) {
			t.Errorf("version %v: the front film alone reads %v, without version %v: this law shows nothing", a, path.ToSurface, flat.ToSurface)
		}
	}
}

// A neck for one screw only is a stop; one in doubt is a caution; and what is
// missing is named.
func TestSpaceSaysWhatDoesNotFit(t *testing.T) {
	for _, tt := range []struct {
		name string
		do   func(*femurTop)
		slip units.Px
		want string
	}{
		{"20 mm high: 24.5 are needed", func(f *femurTop) { f.height = 20 }, 1, "space-one-screw"},
		{"hardly enough, points in doubt", func(f *femurTop) { f.height = 25 }, 15, "space-close"},
		{"9 mm wide", func(f *femurTop) { f.width = 9 }, 1, "space-one-screw"},
	} {
		f := topTruth
		tt.do(&f)
		s, _, problems := spaceOf(spaceAim, spaceNail, f.films(anatomy.Injured, false, tt.slip), DefaultPolicy())
		if !has(problems, tt.want) {
			t.Errorf("%s: %v, room %v, want %s", tt.name, codesOf(problems), s.Room, tt.want)
		}
		if tt.want == "space-one-screw" && s.Alone == nil {
			t.Errorf("%s: nothing is said of one screw alone", tt.name)
		}
	}
	films := topTruth.films(anatomy.Injured, false, 1)
	delete(films[1].At, anatomy.NeckBack)
	s, _, problems := spaceOf(spaceAim, spaceNail, films, DefaultPolicy())
	if s.Solved || !has(problems, "space-missing") || len(s.Needs) != 1 || s.Needs[0] != "neck-back" {
		t.Errorf("%+v, %v", s, codesOf(problems))
	}
	s, _, problems = spaceOf(spaceAim, spaceNail, nil, DefaultPolicy())
	if s.Solved || len(problems) != 0 || len(s.Needs) != len(frontPoints)+len(sidePoints) {
		t.Errorf("no film: %+v, %v", s, codesOf(problems))
	}
	films = topTruth.films(anatomy.Injured, false, 1)
	films[1].At[anatomy.NeckBack] = films[1].At[anatomy.NeckFront]
	if s, _, problems = spaceOf(spaceAim, spaceNail, films, DefaultPolicy()); s.Solved || !has(problems, "space-refused") {
		t.Errorf("front and back in one place: %v", codesOf(problems))
	}
}

// The other femur leaves more doubt, never less.
func TestSpaceOfTheOtherFemur(t *testing.T) {
	mine, _, _ := spaceOf(spaceAim, spaceNail, topTruth.films(anatomy.Injured, false, 2), DefaultPolicy())
	other, _, _ := spaceOf(spaceAim, spaceNail, topTruth.films(anatomy.Sound, true, 2), DefaultPolicy())
	testkit.Near(t, "turn", float64(other.Turn.Best), float64(mine.Turn.Best), 1e-3)
	if !(other.Turn.Own > mine.Turn.Own && other.Lower.Length.Doubt() > mine.Lower.Length.Doubt() && other.Room.Doubt() > mine.Room.Doubt()) {
		t.Errorf("turn %v against %v, length %v against %v", other.Turn, mine.Turn, other.Lower.Length, mine.Lower.Length)
	}
}

// Facts 4f: the tip of a screw on the axis 10 mm deep has 20.0.
func TestSpaceTips(t *testing.T) {
	s, hip, _ := spaceOf(spaceAim, spaceNail, topTruth.films(anatomy.Injured, false, 1), DefaultPolicy())
	ps := hip.tips(&s, 100, 90, DefaultPolicy())
	if s.Lower.Nearest == nil || s.Upper.TipApex == nil || s.Lower.Calcar == nil {
		t.Fatal("no tip")
	}
	// By hand: lower 8.75 below the centre, reach 87.12818 + 20, tip at 100:
	// √(24² − 8.75²) − 7.12818 along the axis from the centre, so
	// 24 − hypot(15.2202, 8.75) = 6.444.
	testkit.Near(t, "nearest", float64(s.Lower.Nearest.Best), 24-math.Hypot(math.Sqrt(24*24-8.75*8.75)-7.12818, 8.75), 0.01)
	if has(ps, "space-deep") {
		t.Error(codesOf(ps))
	}
	if ps := hip.tips(&s, 106, 75, DefaultPolicy()); !has(ps, "space-deep") || !has(ps, "space-far") {
		t.Errorf("106 mm and 75 mm: %v", codesOf(ps))
	}
	var none *hipModel
	if ps := none.tips(&s, 100, 100, DefaultPolicy()); ps != nil {
		t.Error("tips of no hip")
	}
}
