package screen

import (
	"errors"
	"math"
	"strings"
	"testing"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

type fpx = geom.Pt[units.Px]

func apFilm() record.Case {
	return record.Case{Films: []record.Film{
		{Width: 1000, Height: 2000, View: anatomy.AP, Bone: anatomy.Injured},
		{Width: 500, Height: 500, View: anatomy.Lateral},
	}}
}

// edited returns the case after edits that must succeed.
func edited(t *testing.T, c record.Case, es ...filmEdit) record.Case {
	t.Helper()
	for i, e := range es {
		if err := e(&c); err != nil {
			t.Fatalf("edit %d: %v", i, err)
		}
	}
	return c
}

func TestPutPoint(t *testing.T) {
	c := edited(t, apFilm(),
		putPoint(0, anatomy.TrochanterTip, fpx{X: 10, Y: 20}, 3),
		putPoint(0, anatomy.CanalA, fpx{X: 30, Y: 40}, 2),
		putPoint(0, anatomy.TrochanterTip, fpx{X: 11, Y: 21}, 1))
	want := []record.Point{{Name: anatomy.TrochanterTip, At: fpx{X: 11, Y: 21}, Slip: 1}, {Name: anatomy.CanalA, At: fpx{X: 30, Y: 40}, Slip: 2}}
	if got := c.Films[0].Points; len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("points %v, want %v: a second placing replaces the first", got, want)
	}
	if len(c.Films[1].Points) != 0 {
		t.Error("the other film got points")
	}
	c = edited(t, c, cutPoint(0, anatomy.TrochanterTip))
	if got := c.Films[0].Points; len(got) != 1 || got[0].Name != anatomy.CanalA {
		t.Errorf("after removal %v, want canal-a only", got)
	}
}

func TestEditsRefuse(t *testing.T) {
	nan := units.Px(math.NaN())
	ball := func(c record.Case) record.Case {
		return edited(t, c, addEvidence(0, "b", record.Ruler), addRim(0, "b", false, fpx{X: 1, Y: 1}, 1), addRim(0, "b", false, fpx{X: 9, Y: 9}, 1))
	}
	for _, tt := range []struct {
		name string
		edit filmEdit
		code string
	}{
		{"no such film", putPoint(5, anatomy.CanalA, fpx{}, 1), "film-edit-gone"},
		{"a film before the first", cutPoint(-1, anatomy.CanalA), "film-edit-gone"},
		{"beside the film", putPoint(0, anatomy.CanalA, fpx{X: 1000, Y: 5}, 1), "film-edit-place"},
		{"not a number", putPoint(0, anatomy.CanalA, fpx{X: nan, Y: 5}, 1), "film-edit-place"},
		{"without doubt", putPoint(0, anatomy.CanalA, fpx{X: 5, Y: 5}, 0), "film-edit-place"},
		{"doubt not a number", putPoint(0, anatomy.CanalA, fpx{X: 5, Y: 5}, nan), "film-edit-place"},
		{"a landmark of the other view", putPoint(1, anatomy.LateralCortex, fpx{X: 5, Y: 5}, 1), "film-edit-landmark"},
		{"no such evidence", addRim(0, "x", false, fpx{X: 5, Y: 5}, 1), "film-edit-evidence"},
		{"a third graduation", addRim(0, "b", false, fpx{X: 5, Y: 5}, 1), "film-edit-full"},
		{"a mark beside the film", moveRim(0, "b", false, 0, fpx{X: -2, Y: 5}, 1), "film-edit-place"},
		{"a mark that is not there", moveRim(0, "b", false, 2, fpx{X: 2, Y: 5}, 1), "film-edit-evidence"},
		{"removing a mark that is not there", cutRim(0, "b", false, 2), "film-edit-evidence"},
		{"choosing what is not there", chooseEvidence(0, plan.Piece{ID: "x", Kind: "ball"}), "film-edit-evidence"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := ball(apFilm())
			var fault *filmEditError
			if err := tt.edit(&c); !errors.As(err, &fault) || fault.Code() != tt.code {
				t.Errorf("got %v, want %s", err, tt.code)
			} else if !strings.HasPrefix(fault.Error(), "film: ") || !strings.Contains(fault.Error(), ":") {
				t.Errorf("message %q does not say what to do", fault)
			}
		})
	}
}

// A law: an edit never writes into a slice that another copy of the case has.
func TestEditsShareNothing(t *testing.T) {
	before := edited(t, apFilm(),
		putPoint(0, anatomy.CanalA, fpx{X: 30, Y: 40}, 2),
		addEvidence(0, "b", record.Ball), addRim(0, "b", false, fpx{X: 1, Y: 1}, 1), addRim(0, "b", false, fpx{X: 2, Y: 2}, 1))
	for name, e := range map[string]filmEdit{
		"move a point": putPoint(0, anatomy.CanalA, fpx{X: 99, Y: 99}, 9), "add a point": putPoint(0, anatomy.CanalB, fpx{X: 99, Y: 99}, 9),
		"remove a point": cutPoint(0, anatomy.CanalA), "move a mark": moveRim(0, "b", false, 0, fpx{X: 99, Y: 99}, 9),
		"remove a mark": cutRim(0, "b", false, 0), "remove evidence": cutEvidence(0, "b"),
	} {
		c := before
		edited(t, c, e)
		f := before.Films[0]
		if len(f.Points) != 1 || f.Points[0].At != (fpx{X: 30, Y: 40}) || len(f.Evidence) != 1 || len(f.Evidence[0].At) != 2 || f.Evidence[0].At[0] != (fpx{X: 1, Y: 1}) {
			t.Fatalf("%s changed the case it was made from: %+v", name, f)
		}
	}
}

func TestRimSlip(t *testing.T) {
	c := edited(t, apFilm(), addEvidence(0, "b", record.Ball),
		addRim(0, "b", false, fpx{X: 1, Y: 1}, 6), addRim(0, "b", false, fpx{X: 2, Y: 2}, 6), addRim(0, "b", false, fpx{X: 3, Y: 3}, 3))
	e, _ := evidenceOf(c.Films[0], "b")
	if want := math.Sqrt((36 + 36 + 9) / 3.0); math.Abs(float64(e.Slip)-want) > 1e-12 {
		t.Errorf("slip %v, want %v (by hand: root mean square of 6, 6, 3)", e.Slip, want)
	}
	c = edited(t, apFilm(), addEvidence(0, "b", record.Ball), addRim(0, "b", false, fpx{X: 1, Y: 1}, 6), moveRim(0, "b", false, 0, fpx{X: 1, Y: 2}, 1.5))
	if e, _ := evidenceOf(c.Films[0], "b"); e.Slip != 1.5 || e.At[0] != (fpx{X: 1, Y: 2}) {
		t.Errorf("%+v, want the one mark where it was dragged, with the slip of the loupe", e)
	}
	c = edited(t, c, cutRim(0, "b", false, 0))
	if e, _ := evidenceOf(c.Films[0], "b"); e.Slip != 0 || len(e.At) != 0 {
		t.Errorf("%+v, want no mark and no slip", e)
	}
}

func TestMissingOf(t *testing.T) {
	f := apFilm().Films[0]
	all := groupNamed(anatomy.AP, "length").all()
	if got := missingOf(f, all, ""); got != all[0] {
		t.Errorf("first asked for: %s, want %s", got, all[0])
	}
	f.Points = []record.Point{{Name: all[1]}}
	if got := missingOf(f, all, all[0]); got != all[2] {
		t.Errorf("after the first: %s, want %s, the second is placed", got, all[2])
	}
	if got := missingOf(f, all, all[len(all)-1]); got != all[0] {
		t.Errorf("after the last: %s, want %s, round the end", got, all[0])
	}
	for _, l := range all {
		f.Points = append(f.Points, record.Point{Name: l})
	}
	if got := missingOf(f, all, all[0]); got != "" {
		t.Errorf("everything is placed and %s is asked for", got)
	}
}

// Every landmark of a view is in a group; no other is.
func TestGroupsHoldEveryLandmark(t *testing.T) {
	for _, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		in := map[anatomy.Landmark]bool{}
		for _, g := range groupsOf(v) {
			for _, l := range g.all() {
				if !l.In(v) || in[l] {
					t.Errorf("%s: %s of %s is no landmark of this view, or there twice", v, l, g.key)
				}
				in[l] = true
			}
		}
		for _, l := range anatomy.Landmarks(v) {
			if !in[l] {
				t.Errorf("%s: %s is in no group", v, l)
			}
			if name, hint := text.Landmark(l); name == string(l) || hint == "" {
				t.Errorf("%s has no words", l)
			}
		}
	}
	if gs := groupsOf(anatomy.NoView); len(gs) != 0 {
		t.Errorf("without a view there are %d groups", len(gs))
	}
}

func TestSetView(t *testing.T) {
	f := record.Film{Width: 10, Height: 10, View: anatomy.AP, Points: []record.Point{{Name: anatomy.CanalA}}}
	if err := setView(&f, anatomy.Lateral); err != nil || f.View != anatomy.Lateral {
		t.Errorf("%v, view %q: the canal is on both views", err, f.View)
	}
	f = record.Film{View: anatomy.AP, Points: []record.Point{{Name: anatomy.LateralCortex}}}
	if err := setView(&f, anatomy.Lateral); err == nil || f.View != anatomy.AP {
		t.Errorf("%v, view %q: a point would have been lost without a word", err, f.View)
	}
}

func TestChooseEvidence(t *testing.T) {
	c := edited(t, apFilm(), addEvidence(0, "b", record.Ball), chooseEvidence(0, plan.Piece{ID: "b", Kind: "ball"}))
	if c.Films[0].Chosen != "b" {
		t.Errorf("chosen %q, want b", c.Films[0].Chosen)
	}
	c = edited(t, c, chooseEvidence(0, plan.Piece{ID: "header", Kind: "header"}))
	if f := c.Films[0]; f.Chosen != "header" || len(f.Evidence) != 2 || f.Evidence[1].Kind != record.Header {
		t.Errorf("%+v, want the header as a piece of its own, chosen", f)
	}
	if c = edited(t, c, cutEvidence(0, "header")); c.Films[0].Chosen != "" {
		t.Error("what was removed is still chosen")
	}
}

func TestAsks(t *testing.T) {
	at := func(n int) []fpx { return make([]fpx, n) }
	mm := units.MM(25)
	for _, tt := range []struct {
		e    record.Evidence
		want string
		lack string
	}{
		{record.Evidence{Kind: record.Ball}, "Zoom in on it, then tap its rim, all round", "3 more on the film"},
		{record.Evidence{Kind: record.Ball, At: at(2)}, "Tap the rim, all round: 2 of 3", "1 more on the film"},
		{record.Evidence{Kind: record.Ball, At: at(3)}, "3 on the rim; 5 or more also find an oval", "its true size"},
		{record.Evidence{Kind: record.Disc, At: at(6), True: &mm}, "6 on the rim; drag them under the loupe to be surer", "did it lie at the depth of the bone?"},
		{record.Evidence{Kind: record.Ruler, At: at(2), True: &mm, AtBone: record.Unsure}, "Drag either graduation to be surer", ""},
		{record.Evidence{Kind: record.Distances}, "", "the distance from tube to detector"},
		{record.Evidence{Kind: record.Distances, SID: &mm}, "", "the distance from tube to bone, or from bone to detector"},
		{record.Evidence{Kind: record.Assumed}, "", "the factor"},
		{record.Evidence{Kind: record.Header}, "", ""},
	} {
		if got := asks(tt.e, false); got != tt.want {
			t.Errorf("%s with %d marks asks %q, want %q", tt.e.Kind, len(tt.e.At), got, tt.want)
		}
		if got := evidenceLacks(tt.e); got != tt.lack {
			t.Errorf("%s with %d marks lacks %q, want %q", tt.e.Kind, len(tt.e.At), got, tt.lack)
		}
	}
}

func TestScaleLine(t *testing.T) {
	good := calibrate.Plane{Row: 0.125, Col: 0.125, Rel: 0.01, Origin: calibrate.FromBallMark}
	for _, tt := range []struct {
		s    plan.FilmScale
		want string
	}{
		{plan.FilmScale{}, "No scale yet"},
		{plan.FilmScale{Disputed: true, Plane: good}, "disagrees"},
		{plan.FilmScale{Plane: good}, "0.125\u00a0mm a pixel. "},
		{plan.FilmScale{Plane: calibrate.Plane{Row: 0.125, Col: 0.125, Rel: 0.01, Origin: calibrate.AtDetector}}, "No scale yet"},
	} {
		if got := scaleLine(tt.s); !strings.Contains(got, tt.want) {
			t.Errorf("%+v reads %q, want %q in it", tt.s, got, tt.want)
		}
	}
}

func TestFilmSize(t *testing.T) {
	f := record.Film{Width: 10, Height: 20, Tags: &record.Tags{ImagerSpacing: &[2]float64{0.2, 0.1}}}
	if got := filmSize(f).Tall; got != 2 {
		t.Errorf("row 0.2, column 0.1: pixels %v times as tall as wide, want 2 (DICOM PS3.3, 10.7.1.3: row spacing first)", got)
	}
	if got := filmSize(record.Film{Width: 10, Height: 20}).Tall; got != 1 {
		t.Errorf("a film that says nothing is drawn with pixels %v tall, want square", got)
	}
}

func TestRingsAndJoins(t *testing.T) {
	f := record.Film{Width: 1000, Height: 1000, View: anatomy.AP,
		Tags: &record.Tags{ImagerSpacing: &[2]float64{0.2, 0.1}},
		Points: []record.Point{
			{Name: anatomy.HeadRim1, At: fpx{X: 200, Y: 100}}, {Name: anatomy.HeadRim2, At: fpx{X: 100, Y: 150}}, {Name: anatomy.HeadRim3, At: fpx{X: 0, Y: 100}},
			{Name: anatomy.CanalA, At: fpx{X: 1, Y: 1}}, {Name: anatomy.CanalB, At: fpx{X: 2, Y: 1}},
		}}
	rs := rings(f)
	if len(rs) != 1 || geom.Dist(rs[0].Centre, fpx{X: 100, Y: 200}) > 1e-9 || math.Abs(float64(rs[0].Long-100)) > 1e-9 {
		t.Errorf("%+v, want a circle of 100 about (100, 200) in pixel widths (by hand: rows count twice)", rs)
	}
	if js := joins(f); len(js) != 1 || js[0].A != (fpx{X: 1, Y: 1}) {
		t.Errorf("%+v, want the line across the canal only", js)
	}
}

func TestStepValue(t *testing.T) {
	r := row{lo: 3, hi: 100, step: 1, unit: "mm"}
	for _, tt := range []struct{ now, dir, want string }{
		{"25", "+", "26"}, {"25", "-", "24"}, {"25.4", "+", "26"}, {"25.4", "-", "25"}, {"100", "+", "100"}, {"3", "-", "3"}, {"x", "+", "x"},
	} {
		if got := stepValue(r, tt.now, tt.dir); got != tt.want {
			t.Errorf("%s %s: %s, want %s", tt.now, tt.dir, got, tt.want)
		}
	}
}

func TestTyped(t *testing.T) {
	s := ""
	for _, k := range []string{"2", "5", ".", ".", "4", "x", "del", "6"} {
		s = typed(s, k)
	}
	if s != "25.6" {
		t.Errorf("typed %q, want 25.6", s)
	}
	if got := typed("12345678", "9"); got != "12345678" {
		t.Errorf("typed %q: the pad takes no more than eight", got)
	}
	if got := typed("", "del"); got != "" {
		t.Errorf("typed %q out of nothing", got)
	}
}
