package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// joinedCase has two films of the sound femur. The first, at 0.2 mm a pixel,
// shows the trochanter tip and a mark 250 mm below it, the second, at 0.25 mm,
// the mark and the target 170 mm below. Truth: 420 mm.
func joinedCase() record.Case {
	return record.Case{Side: anatomy.Left, Films: []record.Film{
		ruled("1", 0.2, anatomy.Sound, point(anatomy.TrochanterTip, 500, 100), point(anatomy.Join, 500, 1350)),
		ruled("2", 0.25, anatomy.Sound, point(anatomy.Join, 700, 80), point(anatomy.DistalTarget, 700, 760))}}
}

func point(l anatomy.Landmark, x, y units.Px) record.Point {
	return record.Point{Name: l, At: geom.Pt[units.Px]{X: x, Y: y}, Slip: 2}
}

// ruled is a film with a ruler at the depth of the bone.
func ruled(id string, mmPerPx float64, bone anatomy.Bone, points ...record.Point) record.Film {
	return record.Film{SHA256: id, Bytes: 1, Kind: "png", Width: 2000, Height: 3000, View: anatomy.AP, Bone: bone, Points: points,
		Evidence: []record.Evidence{{ID: "r", Kind: record.Ruler, At: []geom.Pt[units.Px]{{X: 100, Y: 100}, {X: 100, Y: 100 + units.Px(300/mmPerPx)}},
			Slip: 1, True: mm(300), AtBone: record.Yes}}}
}

func TestTwoFilmsOfOneBone(t *testing.T) {
	pl := For(joinedCase(), implant.Teaching())
	if len(pl.Bone.Routes) != 1 || pl.Bone.Routes[0].Kind != RouteTwoFilms || pl.Bone.Length == nil {
		t.Fatalf("%+v, %v", pl.Bone.Routes, codesOf(pl.Problems))
	}
	testkit.Near(t, "by hand: 1250·0.2 + 680·0.25", float64(pl.Bone.Length.Best), 420, 1e-9)
	if has(pl.Problems, "ends-missing") || pl.Bone.Routes[0].Common == 0 {
		t.Error("an end is called missing, or the side difference is left out")
	}
	// The two scales are two: their doubts do not add up as those of one film.
	// By hand: rel of each ruler √((√2·mm/300)² + (0.1/300)² + 0.005²).
	rel := func(px float64) float64 { return math.Sqrt(2*px*px/9e4 + 0.01/9e4 + 25e-6) }
	tilt := 420 * math.Pow(3*math.Pi/180, 2) / math.Sqrt2 // by hand: spread of 420·t²/2 for a normal t of 3°
	want := math.Sqrt(tilt*tilt + math.Pow(250*rel(0.2), 2) + math.Pow(170*rel(0.25), 2) + 2*math.Pow(2*0.2, 2) + 2*math.Pow(2*0.25, 2) + math.Pow(float64(sideDoubt(DefaultPolicy())), 2))
	testkit.Near(t, "doubt", float64(pl.Bone.Length.Doubt()), want, 1e-6)
}

// A ruler on both films: 20 mm apart on it, and the way is taken along the
// shaft, so that a ruler 80 mm beside the bone does no harm.
func TestTwoFilmsWithARuler(t *testing.T) {
	c := joinedCase()
	c.Films[0].JoinMM, c.Films[1].JoinMM = mm(300), mm(320)
	if pl := For(c, implant.Teaching()); !has(pl.Problems, "pair-no-shaft") || pl.Bone.Length != nil {
		t.Errorf("a ruler without a shaft gave %v, %v", pl.Bone.Length, codesOf(pl.Problems))
	}
	for i, x := range []units.Px{500, 700} {
		c.Films[i].Points = append(c.Films[i].Points, point(anatomy.ShaftUpper, x, 300), point(anatomy.ShaftLower, x, 700))
		c.Films[i].Points[1-i].At.X += 400 // the mark, beside the bone
	}
	pl := For(c, implant.Teaching())
	if pl.Bone.Length == nil {
		t.Fatal(codesOf(pl.Problems))
	}
	testkit.Near(t, "by hand: 250 + 20 + 170", float64(pl.Bone.Length.Best), 440, 1e-9)
	c.Films[1].JoinMM = nil
	if pl := For(c, implant.Teaching()); !has(pl.Problems, "pair-ruler-half") || pl.Bone.Length != nil {
		t.Errorf("half a ruler gave %v", pl.Bone.Length)
	}
}

func TestTwoFilmsRefuse(t *testing.T) {
	for _, tt := range []struct {
		name string
		do   func(c *record.Case)
		want string
	}{
		{"injured, not at its length", func(c *record.Case) {
			c.Films[0].Bone, c.Films[1].Bone = anatomy.Injured, anatomy.Injured
			c.Films[0].Reduced = record.Yes
		}, "pair-not-reduced"},
		{"one from the side", func(c *record.Case) { c.Films[1].View = anatomy.Lateral }, "length-missing"},
		{"one of the other leg", func(c *record.Case) { c.Films[1].Bone, c.Films[1].Reduced = anatomy.Injured, record.Yes }, "length-missing"},
		{"the second without scale", func(c *record.Case) { c.Films[1].Evidence = nil }, "scale-missing"},
		{"the mark on the trochanter", func(c *record.Case) { c.Films[0].Points[1].At.Y = 150 }, "measure-refused"},
	} {
		c := joinedCase()
		tt.do(&c)
		if pl := For(c, implant.Teaching()); !has(pl.Problems, tt.want) || pl.Bone.Length != nil {
			t.Errorf("%s: %v, %v, want %s", tt.name, pl.Bone.Length, codesOf(pl.Problems), tt.want)
		}
	}
}

// A bone that overlaps by 30 mm: tip to target reads 390, the pieces 420.
func TestPiecesGiveTheReducedLength(t *testing.T) {
	f := ruled("1", 0.2, anatomy.Injured, point(anatomy.TrochanterTip, 500, 100), point(anatomy.PieceUpper, 500, 1350),
		point(anatomy.PieceLower, 560, 1200), point(anatomy.DistalTarget, 560, 2050))
	f.Reduced = record.No
	pl := For(record.Case{Side: anatomy.Left, Films: []record.Film{f}}, implant.Teaching())
	if pl.Bone.Length == nil || len(pl.Bone.Routes) != 1 || pl.Bone.Routes[0].Kind != RoutePieces {
		t.Fatalf("%+v, %v", pl.Bone.Routes, codesOf(pl.Problems))
	}
	testkit.Near(t, "by hand: 1250·0.2 + 850·0.2", float64(pl.Bone.Length.Best), 420, 1e-9)
	if has(pl.Problems, "film-not-reduced") || pl.Bone.Length.Doubt() < fitDoubt {
		t.Errorf("doubt %v, problems %v", pl.Bone.Length.Doubt(), codesOf(pl.Problems))
	}
	f.Reduced = record.Yes // then the pieces are where they belong, and the film is read as it is
	pl = For(record.Case{Side: anatomy.Left, Films: []record.Film{f}}, implant.Teaching())
	if len(pl.Bone.Routes) != 1 || pl.Bone.Routes[0].Kind != RouteFilm {
		t.Errorf("%+v", pl.Bone.Routes)
	}
}

func TestTrialOnTheOtherLeg(t *testing.T) {
	r := record.Reading{ID: "o", Kind: record.OtherTrial, At: "2026-01-01T10:00:00Z", First: mm(418), OnBone: record.Yes}
	routes, problems := readRoutes([]record.Reading{r}, DefaultPolicy())
	if len(routes) != 1 || len(problems) != 0 || routes[0].Bias != BiasSide {
		t.Fatal(routes, problems)
	}
	// By hand: √(2·2² + (3.6·√(π/2))²) = 5.32.
	testkit.Near(t, "doubt", float64(routes[0].Length.Doubt()), math.Sqrt(8+3.6*3.6*math.Pi/2), 1e-9)
	r.OnBone = record.Unsure
	if routes, problems = readRoutes([]record.Reading{r}, DefaultPolicy()); routes != nil || !has(problems, "rod-off-bone") {
		t.Error(routes, problems)
	}
}

// The trials spread as far as the plan says, and name what makes the doubt.
func TestTrialsOfJoinedRoutes(t *testing.T) {
	pieces := ruled("1", 0.2, anatomy.Injured, point(anatomy.TrochanterTip, 500, 100), point(anatomy.PieceUpper, 500, 1350),
		point(anatomy.PieceLower, 560, 1200), point(anatomy.DistalTarget, 560, 2050))
	pieces.Reduced = record.No
	hand := record.Case{Side: anatomy.Left, Readings: []record.Reading{{ID: "o", Kind: record.OtherTrial, At: "2026-01-01T10:00:00Z", First: mm(418), OnBone: record.Yes}}}
	photo := photoCase(8)
	for name, c := range map[string]record.Case{"two films": joinedCase(), "pieces": {Side: anatomy.Left, Films: []record.Film{pieces}}, "other leg": hand, "photo": photo} {
		pl := For(c, implant.Teaching())
		ch := Trials(c, implant.Teaching(), DefaultPolicy(), 3, 4000)
		if ch.Length.Room == nil || pl.Nail.Room == nil {
			t.Fatalf("%s: no room", name)
		}
		testkit.Near(t, name+", mean", float64(ch.Length.Room.Mean), float64(pl.Nail.Room.Best), 0.5)
		testkit.Near(t, name+", spread", float64(ch.Length.Room.U)/float64(pl.Nail.Room.Doubt()), 1, 0.06)
		sum := 0.0
		for _, s := range ch.Length.Shares {
			sum += s.Part
		}
		testkit.Near(t, name+", shares", sum, 1, 0.08)
	}
}

// Coverage, seeded: two films and pieces with every point moved by its slip
// and the ruler seen with its slip.
func TestJoinedCoverage(t *testing.T) {
	src := chance.New(11)
	in, n := 0, 300
	for range n {
		c := joinedCase()
		for i := range c.Films {
			f := &c.Films[i]
			deep := 1 + 0.005*src.Normal() // the depth of the ruler
			f.Evidence[0].At[1].Y = 100 + units.Px(float64(f.Evidence[0].At[1].Y-100)*deep)
			for j := range f.Evidence[0].At {
				f.Evidence[0].At[j].Y += units.Px(src.Normal())
			}
			for j := range f.Points {
				f.Points[j].At.X += 2 * units.Px(src.Normal())
				f.Points[j].At.Y += 2 * units.Px(src.Normal())
			}
		}
		pl := For(c, implant.Teaching())
		l := *pl.Bone.Length
		truth := 420 + sideDoubt(DefaultPolicy())*units.MM(src.Normal())
		if math.Abs(float64(l.Best-truth)) <= units.Sure*float64(l.Doubt()) {
			in++
		}
	}
	if in < n*93/100 || in > n*98/100 {
		t.Errorf("%d of %d lie within the stated doubt", in, n)
	}
}

func TestStatureWarns(t *testing.T) {
	// Trotter and Gleser 1952: 1750 mm goes with 477 to 505 mm, each ± 2 SE.
	l := func(best, u units.MM) *units.Length { return &units.Length{Best: best, Own: u} }
	for _, tt := range []struct {
		name    string
		stature *units.MM
		l       *units.Length
		want    string
	}{
		{"not asked", nil, l(420, 3), ""},
		{"not measured", mm(1750), nil, ""},
		{"usual", mm(1750), l(420, 3), ""},
		{"longer than any femur of that stature", mm(1750), l(560, 3), "stature-differs"},
		{"too long, but in doubt", mm(1750), l(545, 20), ""},
		{"much too short", mm(1750), l(320, 3), "stature-differs"},
		{"a stature in centimetres", mm(175), l(420, 3), "stature-impossible"},
	} {
		ps := statureProblems(tt.stature, tt.l)
		if tt.want == "" && len(ps) > 0 || tt.want != "" && !has(ps, tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, codesOf(ps), tt.want)
		}
	}
}
