package screen

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"isthmus/app/state"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/record"
	"isthmus/core/units"
)

// nailOnScreen returns a film with a scale of 0.25 mm a pixel and landmarks, so
// that the plan has a nail: the bone is 380 mm long, its canal 12 mm wide.
func nailOnScreen(t *testing.T) (*filmPage, *state.Session) {
	t.Helper()
	fp, s := filmOnScreen(t)
	size := units.MM(25)
	at := func(l anatomy.Landmark, x, y units.Px) record.Point {
		return record.Point{Name: l, At: fpx{X: x, Y: y}, Slip: 1}
	}
	err := s.Do("a whole case", func(c *record.Case) error {
		c.Side = anatomy.Left
		c.Injury = record.Injury{Neck: record.No, NeckByCT: record.Yes, NeckByFilm: record.Yes, Level: record.MidShaft, OpenPhysis: record.No, Infection: record.No, Implant: record.No, Atypical: record.No, Pathologic: record.No}
		f := &c.Films[0]
		f.View, f.Bone, f.Reduced = anatomy.AP, anatomy.Injured, record.Yes
		f.Evidence = []record.Evidence{{ID: "b", Kind: record.Ball, At: circle(850, 500, 50, 8), Slip: 0.5, True: &size, AtBone: record.Yes}}
		f.Points = []record.Point{at(anatomy.TrochanterTip, 500, 200), at(anatomy.DistalTarget, 500, 1720),
			at(anatomy.CanalA, 476, 900), at(anatomy.CanalB, 524, 900), at(anatomy.ShaftUpper, 500, 500), at(anatomy.ShaftLower, 500, 1500)}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if s.Plan().Nail.Part == nil {
		t.Fatalf("no nail: %+v", s.Plan().Problems)
	}
	fp.read()
	fp.act("mode|nail")
	return fp, s
}

func TestNailOverFilm(t *testing.T) {
	fp, s := nailOnScreen(t)
	if fp.nail.wrong != "" || len(fp.nailTrails()) == 0 || fp.cast.grab != 2 {
		t.Fatalf("no nail over the film: %q, %d lines, %d handles", fp.nail.wrong, len(fp.nailTrails()), fp.cast.grab)
	}
	before, _ := s.Case()
	start := fp.nail.pose
	value := func(code string) float64 {
		for _, say := range fp.nail.over.Says(fp.nail.pose) {
			if say.Code == code {
				return float64(say.Value.Best)
			}
		}
		t.Fatalf("nothing is said of %s", code)
		return 0
	}
	burial, target := value("burial"), value("target")
	if want := 380 - burial - float64(s.Plan().Nail.Length); math.Abs(target-want) > 0.1 {
		t.Errorf("tip %v short of the target, want %v (by hand: 1520 px · 0.25, less burial and nail)", target, want)
	}
	fp.act("nail-move|ArrowDown")
	if math.Abs(value("burial")-burial-1) > 1e-9 || math.Abs(value("target")-target+1) > 1e-9 {
		t.Errorf("1 mm deeper: burial %v, target %v", value("burial"), value("target"))
	}
	fp.act("nail-turn|right")
	if fp.nail.pose.Turn == start.Turn {
		t.Error("it does not turn")
	}
	fp.act("nail-plan")
	if fp.nail.pose != start || fp.nail.laid {
		t.Errorf("at %+v, want back at %+v", fp.nail.pose, start)
	}
	// dragged by its upper end, 40 px to the right and 20 down
	from := fp.view.ToScreen(fp.cast.marks[0].At)
	for i, by := range []viewer.Css{0, 5, 25, 25} { // the first 5 css px are the slack of a hand
		p := from
		if i > 0 {
			p.X, p.Y = p.X+by, p.Y+max(0, (by-5)/2)
		}
		ph := []viewer.Phase{viewer.Down, viewer.Move, viewer.Move, viewer.Up}[i]
		fp.pointer(viewer.Event{Phase: ph, ID: 1, Tool: viewer.Mouse, At: p, Ms: float64(100 * i)})
	}
	if d := fp.nail.pose.Top.Minus(start.Top); math.Abs(float64(d.X)-40) > 1 || math.Abs(float64(d.Y)-20) > 1 {
		t.Errorf("moved by %v, want 40, 20", d)
	}
	if after, _ := s.Case(); !record.Equal(before, after) || fp.made != 0 {
		t.Error("laying the nail changed the case: it is for the eye")
	}
	if got := fp.nailLine(); !strings.Contains(got, "mm") {
		t.Errorf("says %q", got)
	}
}

// Without a usable scale no nail is drawn, and the reason stands there.
func TestNailNeedsAScale(t *testing.T) {
	fp, s := nailOnScreen(t)
	if err := s.Do("no scale", cutEvidence(0, "b")); err != nil {
		t.Fatal(err)
	}
	fp.read()
	fp.act("mode|nail")
	if !strings.Contains(fp.nail.wrong, "no scale") || len(fp.nailTrails()) != 0 || fp.cast.grab != 0 {
		t.Errorf("%q with %d lines", fp.nail.wrong, len(fp.nailTrails()))
	}
	fp.act("nail-move|ArrowDown")
	if fmt.Sprint(fp.nailLine()) != "No nail over this film" {
		t.Errorf("says %q", fp.nailLine())
	}
}

func TestEscapeEndsWhatGoesOn(t *testing.T) {
	fp, _ := nailOnScreen(t)
	fp.find = (&worker{}).find
	fp.act("mode|scale")
	fp.act("piece|b")
	fp.act("pad|true")
	fp.key("Escape")
	if fp.pad != nil {
		t.Error("the keypad is still open")
	}
	fp.act("find|ball")
	fp.key("Escape")
	if fp.seek != nil {
		t.Error("the search still waits")
	}
}
