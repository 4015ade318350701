package screen

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/find"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// bowedTube is the trace of a shaft on an arc of so many px, 2 px a level.
func bowedTube(r float64) find.Shaft {
	s := find.Shaft{Seen: 1}
	for i := range 501 {
		y := 200 + 2*float64(i)
		x := 400 + math.Sqrt(r*r-(y-700)*(y-700)) - math.Sqrt(r*r-500*500)
		l := find.Level{Along: units.Px(2 * i), Sure: 1, Centre: fpx{X: units.Px(x), Y: units.Px(y)}, Slip: []units.Px{1, 0.6, 0.8, 1}}
		for _, d := range []float64{-100, -30, 30, 100} {
			l.Edge = append(l.Edge, fpx{X: units.Px(x + d), Y: units.Px(y)})
		}
		s.Levels = append(s.Levels, l)
	}
	return s
}

// A trace from the side that is accepted gives the places of the bow, and
// measure works the radius of the arc out from them; from the front it gives
// none.
func TestTraceGivesTheBow(t *testing.T) {
	for view, want := range map[string]int{"lateral": 5, "ap": 2} {
		fp, s := filmOnScreen(t)
		sh := bowedTube(3000)
		fp.find = (&worker{seen: searchSeen{Shaft: &sh, Doubt: "The narrowest place lies at an end."}}).find
		fp.act("view|" + view)
		fp.act("mode|points")
		fp.act("group|canal")
		fp.act("find|shaft")
		fp.tapAll([2]units.Px{400, 200}, [2]units.Px{400, 1190})
		fp.act("accept")
		f := film(t, s)
		if len(f.Points) != want {
			t.Fatalf("%s: %d points, want %d: %+v", view, len(f.Points), want, f.Points)
		}
		if view == "ap" {
			continue
		}
		at := measure.Points{}
		for _, p := range f.Points {
			at[p.Name] = measure.Placed{At: p.At, Slip: p.Slip}
		}
		b, err := measure.Bow(measure.Film{View: anatomy.Lateral, Plane: calibrate.Plane{Row: 0.1, Col: 0.1, Rel: 0.01, Origin: calibrate.FromBallMark}, At: at})
		if err != nil || b.Radius == nil || math.Abs(float64(b.Radius.Best)-300) > 1 { // by hand: a line over 25 px of it is off by 0.05 px
			t.Errorf("bow %+v, %v, want the arc of 3000 px at 0.1 mm", b, err)
		}
		arc, err := sh.Bow()
		if err != nil || !(float64(b.Sagitta.Own) >= 0.1*float64(arc.SagittaU)*0.99) {
			t.Errorf("the height is ± %v mm, found ± %v px: an accepted bow must not be surer than it was found", b.Sagitta.Own, arc.SagittaU)
		}
		fp.act("undo")
		if len(film(t, s).Points) != 0 {
			t.Error("one undo must take the bow back")
		}
	}
}

// The last word about an edge counts: a place that was given nearby before is
// taken back, one of another edge or far along stays.
func TestEdgeDraggedTwice(t *testing.T) {
	fp, _ := filmOnScreen(t)
	sh := bowedTube(3000)
	w := &worker{seen: searchSeen{Shaft: &sh}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|points")
	fp.act("find|shaft")
	fp.tapAll([2]units.Px{400, 200}, [2]units.Px{400, 1190})
	in, out := slices.Index(fp.offer.walls, find.InnerLeft), slices.Index(fp.offer.walls, find.OuterLeft)
	fp.regrip(in, fpx{X: 360, Y: 600})
	fp.regrip(out, fpx{X: 300, Y: 600})
	fp.regrip(in, fpx{X: 365, Y: 1000})
	fp.regrip(in, fpx{X: 370, Y: 640})
	want := []find.Fix{{Edge: find.OuterLeft, At: fpx{X: 300, Y: 600}}, {Edge: find.InnerLeft, At: fpx{X: 365, Y: 1000}}, {Edge: find.InnerLeft, At: fpx{X: 370, Y: 640}}}
	if got := w.asks[len(w.asks)-1].Fixed; !slices.Equal(got, want) {
		t.Errorf("asked with %v, want %v", got, want)
	}
}

// A part that is left out gives no place of the bow.
func TestTraceWithAHoleGivesFewerPlaces(t *testing.T) {
	fp, s := filmOnScreen(t)
	sh := bowedTube(3000)
	for i := 225; i < 276; i++ {
		sh.Levels[i].Out, sh.Levels[i].Edge, sh.Levels[i].Slip = "faint", nil, nil
	}
	fp.find = (&worker{seen: searchSeen{Shaft: &sh}}).find
	fp.act("view|lateral")
	fp.act("mode|points")
	fp.act("find|shaft")
	fp.tapAll([2]units.Px{400, 200}, [2]units.Px{400, 1190})
	fp.act("accept")
	f := film(t, s)
	if pointAt(f, anatomy.BowMiddle) >= 0 || pointAt(f, anatomy.BowUpper) < 0 || len(f.Points) != 4 {
		t.Errorf("points %+v, want none in the part that was not seen", f.Points)
	}
}

// Every ball that is found becomes a ball of its own without a size.
func TestFindAllBalls(t *testing.T) {
	fp, s := filmOnScreen(t)
	ball := func(x, y float64) find.Round {
		return find.Round{Rim: circle(x, y, 60, 48), Slip: 1, Long: 120, Short: 120, LongU: 0.3, ShortU: 0.3, Sure: 0.9}
	}
	w := &worker{seen: searchSeen{Rounds: []find.Round{ball(300, 300), ball(600, 900)}}}
	fp.find = w.find
	fp.act("view|ap")
	fp.act("mode|scale")
	fp.act("find|balls")
	if len(w.asks) != 1 || w.asks[0].What != "balls" || fp.offer == nil || len(fp.offer.trails) != 2 || len(film(t, s).Evidence) != 0 {
		t.Fatalf("asked %+v, offer %+v", w.asks, fp.offer)
	}
	fp.act("accept")
	es := film(t, s).Evidence
	if len(es) != 2 || es[0].ID == es[1].ID || es[0].Kind != record.Ball || len(es[0].At) != maxRim || es[1].True != nil || es[1].AtBone != record.NotAsked {
		t.Errorf("%+v, want two balls, and their size for a person to say", es)
	}
	if filmScale(s.Plan(), 0).Plane.Usable() {
		t.Error("balls of unknown size give a scale")
	}
	fp.act("undo")
	if n := len(film(t, s).Evidence); n != 0 {
		t.Errorf("%d pieces after one undo", n)
	}
	w.seen = searchSeen{}
	fp.act("find|balls")
	if fp.offer != nil || fp.says == "" {
		t.Error("no ball and no word of it")
	}
}

// Corners that were found keep the points on their edges; corners marked anew
// have none. A corner snaps to a corner, not to an edge.
func TestCornersKeepTheirEdges(t *testing.T) {
	fp, s := kindOnScreen(t, "jpeg")
	frame := find.Frame{Sure: 0.9, EdgeSlip: 0.4}
	for i, c := range fourCorners {
		frame.Corners[i] = find.Edge{At: fpx{X: c[0], Y: c[1]}, Slip: 0.5}
		next := fourCorners[(i+1)%4]
		for k := 1; k < 100; k++ {
			f := units.Px(k) / 100
			frame.Edges[i] = append(frame.Edges[i], fpx{X: c[0] + f*(next[0]-c[0]), Y: c[1] + f*(next[1]-c[1])})
		}
	}
	w := &worker{seen: searchSeen{Frame: &frame}}
	fp.find = w.find
	fp.act("photo")
	fp.act("find|corners")
	fp.act("accept")
	p := film(t, s).Photo
	if p == nil || p.Edges == nil || p.Edges.Slip != 0.4 || len(p.Edges.Left) != maxEdge || p.Edges.Top[0] != frame.Edges[0][0] {
		t.Fatalf("photo %+v, want the points on its edges", p)
	}
	c, _ := s.Case()
	if faults := record.Check(c); len(faults) != 0 {
		t.Errorf("the case cannot be saved: %v", faults)
	}
	w.seen = searchSeen{Edge: &find.Edge{At: fpx{X: fourCorners[1][0] + 1, Y: fourCorners[1][1]}, Slip: 0.2, Sure: 0.9}}
	fp.act("corner|1")
	fp.act("snap")
	if last := w.asks[len(w.asks)-1]; last.What != "corner" || last.Taps[0] != (fpx{X: fourCorners[1][0], Y: fourCorners[1][1]}) {
		t.Errorf("asked %+v, want the corner", last)
	}
	fp.act("accept")
	if p := film(t, s).Photo; p.Corners[1].X != fourCorners[1][0]+1 || p.Edges == nil {
		t.Errorf("%+v, want the corner moved and its edges kept", p)
	}
	fp.act("corners-again")
	for _, at := range fourCorners {
		fp.touch(1, at[0], at[1])
	}
	if p := film(t, s).Photo; p == nil || p.Edges != nil {
		t.Errorf("marked anew: %+v, want no points of the frame before", p)
	}
}

// While the flare is asked for, a line shows its height, once the middle of
// the lesser trochanter is marked and the film has a scale.
func TestFlareLineIsShown(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("bone|injured")
	mm := units.MM(100)
	err := s.Do("scale and point", func(c *record.Case) error {
		f := &c.Films[0]
		f.Evidence = []record.Evidence{{ID: "r", Kind: record.Ruler, At: []fpx{{X: 10, Y: 10}, {X: 10, Y: 1010}}, Slip: 1, True: &mm, AtBone: record.Yes}}
		f.Points = []record.Point{{Name: anatomy.LesserMiddle, At: fpx{X: 400, Y: 700}, Slip: 1}}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	fp.act("mode|points")
	fp.act("landmark|canal-a")
	if n := len(fp.flareTrail()); n != 0 {
		t.Errorf("%d lines while the canal is asked for", n)
	}
	fp.act("landmark|flare-a")
	tr := fp.flareTrail()
	if len(tr) != 1 || math.Abs(float64(tr[0].Path[0].Y)-500) > 1e-6 {
		t.Errorf("%+v, want a line at 500 px (by hand: 700 − 20 mm at 0.1 mm)", tr)
	}
}
