package screen

import (
	"math"
	"strings"
	"testing"

	"isthmus/app/state"
	"isthmus/core/anatomy"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// tapMs is the time of the last tap: two within a moment would count as one.
var tapMs float64

// tapAll taps places of the film, one after the other.
func (fp *filmPage) tapAll(places ...[2]units.Px) {
	for _, p := range places {
		tapMs += 1000
		fp.touch(tapMs, p[0], p[1])
	}
}

// typed types a number on the keypad of the film.
func (fp *filmPage) typeIn(row, number string) {
	fp.act("pad|" + row)
	for _, k := range number {
		fp.act("key|" + string(k))
	}
	fp.act("key|set")
}

// fourCorners are those of a film of 35 × 43 cm, photographed from straight in
// front at 2 px for 1 mm.
var fourCorners = [][2]units.Px{{150, 300}, {850, 300}, {850, 1160}, {150, 1160}}

// closer shows the film at 2 css px for a film px, so that corners are sure.
func (fp *filmPage) closer(x, y units.Px) {
	fp.view = fp.view.FitAgain().ZoomAt(fp.view.FitAgain().ToScreen(fpx{X: x, Y: y}), 4)
}

func (fp *filmPage) markCorners() {
	for _, c := range fourCorners {
		fp.closer(c[0], c[1])
		fp.tapAll(c)
	}
	fp.view = fp.view.FitAgain()
}

func TestFilmPhotoCorners(t *testing.T) {
	fp, s := kindOnScreen(t, "jpeg")
	fp.act("view|ap")
	fp.act("photo")
	if fp.mode != photoMode || film(t, s).Photo != nil {
		t.Fatal("the switch says something before any corner is marked")
	}
	fp.closer(150, 300)
	fp.tapAll([2]units.Px{160, 300})
	fp.act("undo")
	if len(fp.corners) != 0 || film(t, s).View != anatomy.AP {
		t.Fatalf("%d corners and view %q after undo: it takes back the corner and nothing else", len(fp.corners), film(t, s).View)
	}
	fp.markCorners()
	p := film(t, s).Photo
	if p == nil || len(p.Corners) != 4 || p.Width != nil || p.Height != nil {
		t.Fatalf("photo %+v, want four corners and no size", p)
	}
	if p.Corners[2].X != 850 || p.Corners[2].Y != 1160 || math.Abs(float64(p.Slip)-3) > 1e-9 {
		t.Errorf("third corner %v slip %v, want 850, 1160 and 3 px (by hand: 6 css px of a finger at 2 css px a pixel)", p.Corners[2], p.Slip)
	}
	fp.act("undo")
	if film(t, s).Photo != nil {
		t.Error("undo leaves the corners")
	}
	fp.act("redo")
	fp.act("photo-not")
	if film(t, s).Photo != nil || fp.mode != aboutMode {
		t.Error("“It is no photo” leaves the corners")
	}
}

// A photo of a film, a ruler in it and two landmarks give a length; without
// the ruler there is none.
func TestFilmPhotoToLength(t *testing.T) {
	fp, s := kindOnScreen(t, "jpeg")
	for _, k := range []string{"view|ap", "bone|injured", "reduced|yes", "photo"} {
		fp.act(k)
	}
	fp.markCorners()
	fp.act("film-size|4")
	if p := film(t, s).Photo; p.Width == nil || *p.Width != 350 || *p.Height != 430 {
		t.Fatalf("size %v × %v, want 350 × 430", p.Width, p.Height)
	}
	fp.act("film-turn")
	if p := film(t, s).Photo; *p.Width != 430 || *p.Height != 350 {
		t.Errorf("turned: %v × %v", *p.Width, *p.Height)
	}
	if !hasProblem(s.Plan(), "photo-refused") {
		t.Error("a size that the photo contradicts is not refused: 430 × 350 stated, 700 × 860 px seen")
	}
	fp.act("undo")
	fp.act("mode|points")
	fp.tapAll([2]units.Px{500, 320}, [2]units.Px{500, 1120})
	if pl := s.Plan(); pl.Bone.Length != nil || filmScale(pl, 0).Plane.Usable() {
		t.Error("the photo alone gives a length")
	}
	fp.act("mode|scale")
	fp.act("add|ruler")
	fp.closer(300, 400)
	fp.tapAll([2]units.Px{300, 400})
	fp.closer(300, 1000)
	fp.tapAll([2]units.Px{300, 1000})
	fp.typeIn("true", "300")
	fp.act("at-bone|yes")
	pl := s.Plan()
	if pl.Bone.Length == nil || math.Abs(float64(pl.Bone.Length.Best)-400) > 1 {
		t.Fatalf("length %v, want 400 mm (by hand: 300 mm over 600 px; 800 px)", pl.Bone.Length)
	}
	if got := fp.line(pl); strings.Contains(got, "mm a pixel") {
		t.Errorf("says %q: pixels of a straightened photo are not those of the picture", got)
	}
}

func hasProblem(pl plan.Plan, code string) bool {
	for _, p := range pl.Problems {
		if p.Code == code {
			return true
		}
	}
	return false
}

func TestFilmPhotoRefuses(t *testing.T) {
	nan := units.Px(math.NaN())
	four := func(x units.Px) []corner {
		return []corner{{fpx{X: 1, Y: 1}, 1}, {fpx{X: x, Y: 1}, 1}, {fpx{X: 90, Y: 90}, 1}, {fpx{X: 1, Y: 90}, 1}}
	}
	photo := record.Case{Films: []record.Film{{Kind: "png", Width: 100, Height: 100}, {Kind: "dicom", Width: 100, Height: 100}}}
	for _, tt := range []struct {
		name string
		edit filmEdit
		code string
	}{
		{"three corners", putCorners(0, four(9)[:3]), "film-edit-corners"},
		{"a corner beside the picture", putCorners(0, four(101)), "film-edit-place"},
		{"a corner that is no number", putCorners(0, four(nan)), "film-edit-place"},
		{"a film of an archive", putCorners(1, four(90)), "film-edit-dicom"},
		{"a size before the corners", sizePhoto(0, nil, nil), "film-edit-corners"},
		{"a fifth corner", moveCorner(0, 4, fpx{X: 2, Y: 2}, 1), "film-edit-corners"},
		{"no such film", cutPhoto(7), "film-edit-gone"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := record.Clone(photo)
			err := tt.edit(&c)
			fault, ok := err.(*filmEditError)
			if !ok || fault.Code() != tt.code || !strings.HasPrefix(fault.Error(), "film: ") {
				t.Errorf("got %v, want %s", err, tt.code)
			}
			if !record.Equal(c, photo) {
				t.Error("a refused edit changed the case")
			}
		})
	}
}

// A size that is refused stays as it was typed.
func TestFilmPhotoKeepsWhatWasTyped(t *testing.T) {
	fp, s := kindOnScreen(t, "jpeg")
	fp.act("photo")
	fp.markCorners()
	fp.typeIn("film-w", "350")
	fp.typeIn("film-h", "9")
	if p := film(t, s).Photo; p.Height != nil || *p.Width != 350 || fp.kept["film-h"] != "9" || fp.wrong["film-h"] == "" {
		t.Errorf("photo %+v, kept %q, says %q", p, fp.kept["film-h"], fp.wrong["film-h"])
	}
}

// Two balls of 25 mm, behind 200 px and in front 250 px across.
func TestFilmScaleFromTwoBalls(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|two-markers")
	fp.closer(500, 500)
	fp.tapAll([2]units.Px{600, 500}, [2]units.Px{500, 600}, [2]units.Px{400, 500}, [2]units.Px{500, 400})
	if got := fp.line(s.Plan()); got != "Still needed: 3 more on the ball in front" {
		t.Errorf("says %q", got)
	}
	fp.act("front|front")
	fp.tapAll([2]units.Px{625, 500}, [2]units.Px{500, 625}, [2]units.Px{375, 500})
	e := film(t, s).Evidence[0]
	if len(e.At) != 4 || len(e.AtFront) != 3 || e.Fraction != nil {
		t.Fatalf("%d behind, %d in front, fraction %v: want 4, 3 and none beforehand", len(e.At), len(e.AtFront), e.Fraction)
	}
	fp.act("front|behind")
	fp.typeIn("true", "25")
	fp.typeIn("true-front", "25")
	if got := fp.line(s.Plan()); got != "Still needed: where the bone lies between them" {
		t.Errorf("says %q", got)
	}
	fp.typeIn("fraction", "0.5")
	// by hand: a mix of 1/M is a mix of mm per px: (25/200 + 25/250)/2 = 0.1125
	if p := filmScale(s.Plan(), 0).Plane; !p.Usable() || math.Abs(float64(p.Col)-0.1125) > 0.0002 {
		t.Errorf("scale %+v, want 0.1125 mm/px", p)
	}
	fp.typeIn("fraction", "7")
	if e := film(t, s).Evidence[0]; *e.Fraction != 0.5 || fp.kept["fraction"] != "7" {
		t.Errorf("fraction %v, kept %q: a refused value changes nothing and stays as typed", *e.Fraction, fp.kept["fraction"])
	}
	fp.act("front|front")
	fp.rim = 1
	fp.act("lift")
	if e := film(t, s).Evidence[0]; len(e.AtFront) != 2 || len(e.At) != 4 {
		t.Errorf("%d behind and %d in front after one in front was removed", len(e.At), len(e.AtFront))
	}
	fp.act("undo")
	if e := film(t, s).Evidence[0]; len(e.AtFront) != 3 {
		t.Error("undo does not bring it back")
	}
}

func TestFilmScaleFromAPart(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|known-part")
	fp.closer(500, 500)
	fp.tapAll([2]units.Px{450, 500}, [2]units.Px{550, 500}, [2]units.Px{600, 600})
	if e := film(t, s).Evidence[0]; len(e.At) != 2 || e.Along != record.NotAsked {
		t.Fatalf("%+v, want two marks and nothing said beforehand", e)
	}
	fp.typeIn("true", "12")
	if got := fp.line(s.Plan()); got != "Still needed: along it or across it?" {
		t.Errorf("says %q", got)
	}
	fp.act("along|no")
	fp.act("at-bone|yes")
	if p := filmScale(s.Plan(), 0).Plane; !p.Usable() || math.Abs(float64(p.Col)-0.12) > 0.0001 {
		t.Errorf("scale %+v, want 0.12 mm/px (by hand: 12 mm over 100 px)", p)
	}
	fp.act("along|no")
	if e := film(t, s).Evidence[0]; e.Along != record.NotAsked {
		t.Error("the same answer again does not take it back")
	}
}

// What the plan lacks is asked for first; what it does not need waits until
// its group is opened.
func TestFilmGroups(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("bone|injured")
	fp.act("mode|points")
	places := [][2]units.Px{{400, 300}, {600, 1700}, {480, 900}, {520, 900}, {500, 500}, {500, 1300}, {400, 700}, {600, 1000}}
	want := []anatomy.Landmark{anatomy.TrochanterTip, anatomy.DistalTarget, anatomy.CanalA, anatomy.CanalB, anatomy.ShaftUpper, anatomy.ShaftLower, anatomy.FractureUpper, anatomy.FractureLower}
	for i, l := range want {
		if fp.asked != l {
			t.Fatalf("%d: asks for %q, want %s", i, fp.asked, l)
		}
		fp.tapAll(places[i])
	}
	if fp.asked != "" {
		t.Errorf("asks for %s, which the plan does not need", fp.asked)
	}
	fp.act("groups")
	if !fp.choosing {
		t.Error("the list of groups is not open")
	}
	fp.act("group|films")
	if fp.asked != anatomy.Join || fp.choosing {
		t.Errorf("asks for %q, want the mark that both films show", fp.asked)
	}
	fp.tapAll([2]units.Px{700, 1500})
	fp.typeIn("join", "300")
	if f := film(t, s); pointAt(f, anatomy.Join) < 0 || f.JoinMM == nil || *f.JoinMM != 300 {
		t.Errorf("join %v at %d, want 300 mm", f.JoinMM, pointAt(f, anatomy.Join))
	}
	fp.typeIn("join", "9999")
	if f := film(t, s); *f.JoinMM != 300 || fp.kept["join"] != "9999" {
		t.Errorf("join %v, kept %q", *f.JoinMM, fp.kept["join"])
	}
	fp.act("landmark|" + string(anatomy.Notch))
	if fp.group != "length" || fp.asked != anatomy.Notch {
		t.Errorf("group %s asks for %q, want the notch", fp.group, fp.asked)
	}
}

// Another frame is only looked at until a person takes it; a film that carries
// marks keeps its frame.
func TestFilmFrames(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.found = state.Opened{Frames: 3, Frame: 1, Width: 1000, Height: 2000}
	fp.other = 1
	fp.act("view|ap")
	fp.act("mode|points")
	fp.tapAll([2]units.Px{400, 300})
	if n := len(film(t, s).Points); n != 0 || film(t, s).Frame != 0 {
		t.Fatalf("%d points, frame %d: nothing may be placed on a frame that is only looked at", n, film(t, s).Frame)
	}
	fp.act("frame-take")
	if f := film(t, s); f.Frame != 1 || fp.other != -1 {
		t.Errorf("frame %d, want 1", f.Frame)
	}
	fp.act("undo")
	if f := film(t, s); f.Frame != 0 || f.View != anatomy.AP {
		t.Errorf("after undo frame %d and view %q", f.Frame, f.View)
	}
	fp.tapAll([2]units.Px{400, 300})
	fp.other = 1
	fp.act("frame-take")
	if f := film(t, s); f.Frame != 0 || !strings.Contains(fp.says, "marks") {
		t.Errorf("frame %d, says %q: marks belong to their frame", f.Frame, fp.says)
	}
	if file("a/1/x/0") != file("a/1/x/2") || file("a/1/x/0") == file("a/1/y/0") {
		t.Error("frames of one file are not told from another file")
	}
}
