package screen

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"isthmus/app/state"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// filmDecoder opens every file as a film of 1000 × 2000, from an archive or of
// the kind given.
type filmDecoder struct{ kind string }

func (d filmDecoder) Open(context.Context, []byte, int, func(float64)) (state.Opened, error) {
	if d.kind == "" {
		d.kind = "dicom"
	}
	return state.Opened{Kind: d.kind, Frames: 1, Width: 1000, Height: 2000}, nil
}

type filmClock struct{ n int }

func (c *filmClock) Now() string   { return "2026-11-25T08:00:00Z" }
func (c *filmClock) NewID() string { c.n++; return fmt.Sprintf("%032x", c.n) }

// filmOnScreen returns a film page that shows a whole film of 1000 × 2000 in an
// area of 516 × 1016: two film pixels to one css pixel.
func filmOnScreen(t *testing.T) (*filmPage, *state.Session) {
	t.Helper()
	return kindOnScreen(t, "dicom")
}

func kindOnScreen(t *testing.T, kind string) (*filmPage, *state.Session) {
	t.Helper()
	ctx := context.Background()
	s := state.New(state.World{Store: state.NewMemory(), Decoder: filmDecoder{kind}, Clock: &filmClock{}})
	if _, err := s.NewCase(ctx, "K-07"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.AddFilm(ctx, []byte("a film"), nil); err != nil {
		t.Fatal(err)
	}
	fp := newFilmPage(s, 0).(*filmPage)
	fp.OnInit()
	fp.w, fp.h = 516, 1016
	op := &opening{cancel: func() {}}
	fp.film = op
	fp.opened(op, state.Opened{Width: 1000, Height: 2000}, nil)
	fp.paint()
	return fp, s
}

// touch taps at a place of the film.
func (fp *filmPage) touch(ms float64, x, y units.Px) {
	at := fp.view.ToScreen(geom.Pt[units.Px]{X: x, Y: y})
	fp.pointer(viewer.Event{Phase: viewer.Down, ID: 1, At: at, Ms: ms})
	fp.pointer(viewer.Event{Phase: viewer.Up, ID: 1, At: at, Ms: ms + 50})
	fp.paint()
}

func film(t *testing.T, s *state.Session) record.Film {
	t.Helper()
	c, ok := s.Case()
	if !ok || len(c.Films) != 1 {
		t.Fatal("the film is gone")
	}
	return c.Films[0]
}

func TestFilmNothingChosenBeforehand(t *testing.T) {
	fp, s := filmOnScreen(t)
	if f := film(t, s); f.View != "" || f.Bone != "" || f.Reduced != "" || len(f.Evidence) != 0 {
		t.Errorf("a new film says %+v already", f)
	}
	if fp.mode != aboutMode {
		t.Errorf("opens on %q, want the questions about the film", fp.mode)
	}
	fp.act("view|ap")
	fp.act("bone|injured")
	fp.act("reduced|unsure")
	if f := film(t, s); f.View != anatomy.AP || f.Bone != anatomy.Injured || f.Reduced != record.Unsure {
		t.Errorf("answers not kept: %+v", f)
	}
	fp.act("bone|injured")
	if f := film(t, s); f.Bone != "" {
		t.Error("the same answer again does not take it back")
	}
}

func TestFilmPlacesLandmarks(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|points")
	all := anatomy.Landmarks(anatomy.AP)
	fp.touch(0, 400, 300)
	fp.touch(1000, 600, 1700)
	ps := film(t, s).Points
	if len(ps) != 2 || ps[0].Name != all[0] || ps[1].Name != all[1] {
		t.Fatalf("points %+v, want %s and %s", ps, all[0], all[1])
	}
	if d := geom.Dist(ps[0].At, geom.Pt[units.Px]{X: 400, Y: 300}); d > 1e-9 || ps[0].Slip != 12 {
		t.Errorf("placed %+v, want at (400, 300) with slip 12 (by hand: 6 css px of a bare finger × 2)", ps[0])
	}
	if fp.asked != all[2] || fp.picked != all[1] {
		t.Errorf("asks for %s and holds %s, want %s and %s", fp.asked, fp.picked, all[2], all[1])
	}
	fp.act("undo")
	if got := film(t, s).Points; len(got) != 1 || fp.asked != all[1] && fp.asked != all[2] {
		t.Errorf("after undo %d points, asked for %s", len(got), fp.asked)
	}
	fp.act("redo")
	if got := film(t, s).Points; len(got) != 2 {
		t.Errorf("after redo %d points, want 2", len(got))
	}
}

// Undo on a film never takes back what was done before it was opened: one
// step more would take the film itself away.
func TestFilmUndoKeepsTheFilm(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("undo")
	fp.act("view|ap")
	for range 3 {
		fp.act("undo")
	}
	if f := film(t, s); f.View != "" {
		t.Errorf("view %q after undo", f.View)
	}
	for range 3 {
		fp.act("redo")
	}
	fp.edit("nothing", onFilm(0, func(*record.Film) error { return nil }))
	if fp.made != 1 {
		t.Errorf("%d edits to undo, want 1: one that changed nothing does not count", fp.made)
	}
	if f := film(t, s); f.View != anatomy.AP {
		t.Errorf("view %q after redo, want ap", f.View)
	}
}

func TestFilmDragAndNudge(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|points")
	fp.touch(0, 400, 300)
	first := anatomy.Landmarks(anatomy.AP)[0]
	at := fp.view.ToScreen(geom.Pt[units.Px]{X: 400, Y: 300})
	step := func(ph viewer.Phase, dx viewer.Css) {
		fp.pointer(viewer.Event{Phase: ph, ID: 2, At: geom.Pt[viewer.Css]{X: at.X + dx, Y: at.Y}, Ms: 2000})
	}
	step(viewer.Down, 0)
	step(viewer.Move, 20)
	step(viewer.Move, 30)
	if live := film(t, s).Points[0].At.X; live != 400 {
		t.Errorf("the case changed to %v while the finger was still down", live)
	}
	if x := fp.seen().Points[0].At.X; x != 420 {
		t.Errorf("shown at %v while dragged, want 420 (by hand: 10 css px × 2)", x)
	}
	step(viewer.Up, 30)
	p := film(t, s).Points[0]
	if p.At.X != 420 || p.Slip != 3 || p.Name != first {
		t.Errorf("%+v, want 420 with slip 3 (by hand: 1.5 css px of the loupe × 2)", p)
	}
	fp.act("landmark|" + string(first))
	fp.act("nudge|ArrowUp")
	if got := film(t, s).Points[0].At; got != (geom.Pt[units.Px]{X: 420, Y: 299}) {
		t.Errorf("nudged to %v, want one film pixel up", got)
	}
	fp.act("lift")
	if got := film(t, s).Points; len(got) != 0 || fp.asked != first {
		t.Errorf("%d points and %s asked for, want none and %s again", len(got), fp.asked, first)
	}
}

func TestFilmCancelledDragChangesNothing(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|points")
	fp.touch(0, 400, 300)
	at := fp.view.ToScreen(geom.Pt[units.Px]{X: 400, Y: 300})
	fp.pointer(viewer.Event{Phase: viewer.Down, ID: 2, At: at, Ms: 2000})
	fp.pointer(viewer.Event{Phase: viewer.Move, ID: 2, At: geom.Pt[viewer.Css]{X: at.X + 40, Y: at.Y}, Ms: 2010})
	fp.pointer(viewer.Event{Phase: viewer.Cancel, ID: 2, Ms: 2020})
	if p := film(t, s).Points[0]; p.At.X != 400 || p.Slip != 12 || fp.live.on {
		t.Errorf("%+v, held %v: a cancelled drag must leave the point", p, fp.live.on)
	}
}

func TestFilmPlacesNothingBeforeItIsOpen(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|points")
	fp.film = &opening{cancel: func() {}}
	fp.touch(0, 400, 300)
	if got := film(t, s).Points; len(got) != 0 {
		t.Errorf("%+v were placed on a film that is not on the screen", got)
	}
}

func TestFilmOfAnotherSizeIsRefused(t *testing.T) {
	fp, _ := filmOnScreen(t)
	op := &opening{cancel: func() {}}
	fp.film = op
	fp.opened(op, state.Opened{Width: 2000, Height: 1000}, nil)
	if op.ready || !strings.Contains(op.wrong, "2000 × 1000") {
		t.Errorf("ready %v, says %q: points would lie in the wrong places", op.ready, op.wrong)
	}
}

func TestFilmScaleFromABall(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("add|ball")
	fp.view = fp.view.ZoomAt(fp.view.ToScreen(geom.Pt[units.Px]{X: 500, Y: 500}), 4)
	for i, p := range [][2]units.Px{{600, 500}, {500, 600}, {400, 500}, {500, 400}} { // radius 100
		fp.touch(float64(1000*i), p[0], p[1])
	}
	if got := fp.line(s.Plan()); got != "Still needed: its true size" {
		t.Errorf("says %q", got)
	}
	for _, k := range []string{"pad|true", "key|2", "key|5", "key|set", "at-bone|yes"} {
		fp.act(k)
	}
	plane := filmScale(s.Plan(), 0).Plane
	if !plane.Usable() || plane.Col < 0.1249 || plane.Col > 0.1251 {
		t.Errorf("scale %+v, want 0.125 mm/px (by hand: 25 mm over 200 px)", plane)
	}
	if got := fp.line(s.Plan()); !strings.HasPrefix(got, "0.125\u00a0mm a pixel") {
		t.Errorf("says %q", got)
	}
	fp.act("step|true|+")
	if e := film(t, s).Evidence[0]; *e.True != 26 {
		t.Errorf("true size %v after one step, want 26", *e.True)
	}
	for _, k := range []string{"pad|true", "key|1", "key|set"} {
		fp.act(k)
	}
	if e := film(t, s).Evidence[0]; *e.True != 26 || fp.wrong["true"] == "" || fp.kept["true"] != "1" {
		t.Errorf("true size %v, says %q, keeps %q: a refused value changes nothing and stays as typed", *e.True, fp.wrong["true"], fp.kept["true"])
	}
}

// Two markers that disagree give no scale until a person chooses one.
func TestFilmDisputeIsSettledByChoosing(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.view = fp.view.ZoomAt(fp.view.ToScreen(geom.Pt[units.Px]{X: 500, Y: 500}), 8)
	for n, size := range []string{"2", "3"} { // 20 mm and 30 mm over 200 px
		fp.act("add|ball")
		for i, p := range [][2]units.Px{{600, 500}, {500, 600}, {400, 500}, {500, 400}} {
			fp.touch(float64(10000*n+1000*i), p[0], p[1])
		}
		for _, k := range []string{"pad|true", "key|" + size, "key|0", "key|set", "at-bone|yes", "piece|"} {
			fp.act(k)
		}
	}
	if sc := filmScale(s.Plan(), 0); !sc.Disputed || sc.Plane.Usable() || !strings.Contains(fp.line(s.Plan()), "disagrees") {
		t.Fatalf("20 and 30 mm over the same 200 px: %+v, want a dispute", sc)
	}
	second := film(t, s).Evidence[1].ID
	fp.act("choose|" + second)
	if sc := filmScale(s.Plan(), 0); sc.Disputed || sc.Plane.Col < 0.1499 || sc.Plane.Col > 0.1501 {
		t.Errorf("%+v, want the chosen one, 0.15 mm/px (by hand: 30/200)", sc)
	}
	fp.act("unchoose")
	if !filmScale(s.Plan(), 0).Disputed {
		t.Error("the choice taken back leaves no dispute")
	}
}

// The look is for the eye: nothing of it reaches the case.
func TestFilmLookChangesNoFact(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	before := film(t, s)
	for _, k := range []string{"mode|look", "invert", "mirror", "turn", "bright|+", "contrast|-", "in", "out"} {
		fp.act(k)
	}
	if !fp.view.Mirrored() || !fp.eyes.invert || fp.eyes.bright != 110 || fp.eyes.contrast != 90 {
		t.Errorf("look %+v, mirrored %v", fp.eyes, fp.view.Mirrored())
	}
	if len(fp.shouts()) != 3 {
		t.Error("a mirrored, turned and inverted view is not said on the film")
	}
	if after := film(t, s); fmt.Sprint(after) != fmt.Sprint(before) {
		t.Errorf("the look changed the case: %+v", after)
	}
	fp.act("mode|points")
	fp.touch(0, 400, 300)
	if p := film(t, s).Points[0]; geom.Dist(p.At, geom.Pt[units.Px]{X: 400, Y: 300}) > 1e-9 {
		t.Errorf("on a mirrored view the point went to %v", p.At)
	}
	fp.act("plain")
	if fp.view.Mirrored() || fp.view.Quarters() != 0 || fp.eyes != plainEyes() {
		t.Error("“As stored” is not as stored")
	}
}
