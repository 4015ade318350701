package drawing

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// overCase is a straight femur of a left leg at 0.2 mm a pixel, its shaft
// straight down at x = 1000 px, the head to the right, and a nail of 10 × 340
// with two screws at 130°.
func overCase() (record.Case, plan.Plan) {
	at := func(l anatomy.Landmark, x, y float64) record.Point {
		return record.Point{Name: l, At: pxPt{X: units.Px(x), Y: units.Px(y)}, Slip: 2}
	}
	sin, cos := math.Sincos(130 * math.Pi / 180)
	// where the lower screw crosses the nail of Start: 5 + 60 mm below the tip
	cx, cy := 1000.0, 500+65/0.2
	along := func(l anatomy.Landmark, way, up float64) record.Point { // mm along the screw and above it
		return at(l, cx+(way*sin+up*cos)/0.2, cy+(way*cos-up*sin)/0.2)
	}
	f := record.Film{Kind: "dicom", Width: 3000, Height: 3000, View: anatomy.AP, Bone: anatomy.Injured, Points: []record.Point{
		at(anatomy.TrochanterTip, 900, 500), at(anatomy.DistalTarget, 1000, 2300), at(anatomy.Notch, 1000, 2400),
		at(anatomy.ShaftUpper, 1000, 900), at(anatomy.ShaftLower, 1000, 2000),
		along(anatomy.NeckLower, 40, -10), along(anatomy.NeckUpper, 40, 25), along(anatomy.LateralCortex, -20, 0),
		along(anatomy.HeadRim1, 90, 0), along(anatomy.HeadRim2, 70, 20), along(anatomy.HeadRim3, 70, -20),
	}}
	pl := plan.Plan{Scales: []plan.FilmScale{{Plane: calibrate.Plane{Row: 0.2, Col: 0.2, Rel: 0.01, Origin: calibrate.FromBallMark}}}}
	pl.Nail.Part = &implant.Nail{Diameter: 10, Length: 340, BowRadius: 1500, HeadAngle: 130, HeadSpacing: 11, HeadDepth: 60, HeadDia: 6.5, LockingDia: 5,
		Distal: []implant.Hole{{FromTip: 35, Plane: implant.Transverse}, {FromTip: 15, Plane: implant.Sagittal}}}
	pl.Head.Lower.Ask, pl.Head.Upper.Ask = 100, 95
	burial := units.Exact(5)
	pl.Seat.Burial = &burial
	return record.Case{Films: []record.Film{f}}, pl
}

func says(o Overlay, p Pose) map[string]units.Length {
	out := map[string]units.Length{}
	for _, s := range o.Says(p) {
		out[s.Code] = s.Value
	}
	return out
}

func TestOverlayMeansWhatThePlanMeans(t *testing.T) {
	o, err := overOf()
	if err != nil {
		t.Fatal(err)
	}
	p := o.Start()
	if p.Turn != 0 || math.Abs(float64(p.Top.X)-1000) > 1e-9 || math.Abs(float64(p.Top.Y)-525) > 1e-9 {
		t.Fatalf("starts at %+v, want 5 mm below the tip on the axis: 1000, 525 (by hand: 500 + 5/0.2)", p)
	}
	got := says(o, p)
	for code, want := range map[string]float64{
		"burial": 5, "target": 15, "notch": 35, // by hand: 360 − 5 − 340; 380 − 345
		"lower-edge": 10 - 3.25, "upper-edge": 25 - 11 - 3.25, // by hand: half a screw of 6.5 off; the upper axis 11 above
		"lower-joint": 10, // by hand: outer cortex −20, joint at 90, screw 100
		"upper-joint": 70 + math.Sqrt(400-121) - // by hand: circle of 20 about 70 along; 11 above its middle
			(-20 + 11/math.Tan(50*math.Pi/180)) - 95, // the outer cortex runs with the nail
	} {
		if v, ok := got[code]; !ok || math.Abs(float64(v.Best)-want) > 1e-6 {
			t.Errorf("%s is %v, want %v", code, v.Best, want)
		}
	}
	if v := got["target"]; math.Abs(float64(v.Own)-0.4) > 1e-9 || math.Abs(float64(v.Shared)-3.55) > 1e-9 {
		t.Errorf("target ± own %v shared %v, want 0.4 (2 px · 0.2) and 3.55 (1 %% of 355: the nail itself is exact)", v.Own, v.Shared)
	}
	q := o.Shift(p, 3, 0)
	deeper := says(o, q)
	if math.Abs(float64(deeper["burial"].Best)-8) > 1e-9 || math.Abs(float64(deeper["target"].Best)-12) > 1e-9 {
		t.Errorf("3 mm deeper: burial %v, target %v, want 8 and 12", deeper["burial"].Best, deeper["target"].Best)
	}
	// law: deeper by t brings a screw down by t·sin(130°) across itself
	if d := float64(got["lower-edge"].Best - deeper["lower-edge"].Best); math.Abs(d-3*math.Sin(130*math.Pi/180)) > 1e-9 {
		t.Errorf("the lower screw came %v nearer its edge, want 3·sin 130°", d)
	}
}

// Without the shaft the nail lies between tip and target; without these it is
// not said to be where the plan means it.
func TestOverlayStartsWithLess(t *testing.T) {
	c, pl := overCase()
	f := &c.Films[0]
	f.Points = f.Points[:2] // tip 900, 500; target 1000, 2300
	o, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	if b := says(o, o.Start())["burial"].Best; !o.Meant() || math.Abs(float64(b)-5) > 1e-9 {
		t.Errorf("meant %v, burial %v, want 5 mm as planned", o.Meant(), b)
	}
	f.Points = f.Points[:1]
	if o, err = OverlayOf(c, pl, 0); err != nil || o.Meant() || o.Start().Top != f.Points[0].At {
		t.Errorf("%v: meant %v at %v: nothing tells the direction", err, o.Meant(), o.Start().Top)
	}
}

// A mirrored film means the same.
func TestOverlayMirror(t *testing.T) {
	c, pl := overCase()
	o, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	p := o.Turned(o.Start(), 4)
	for i := range c.Films[0].Points {
		c.Films[0].Points[i].At.X = 2999 - c.Films[0].Points[i].At.X
	}
	m, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	a, b := says(o, p), says(m, m.Turned(m.Start(), -4))
	if len(a) != 7 || len(b) != 7 {
		t.Fatalf("%d and %d things said, want 7", len(a), len(b))
	}
	for code, v := range a {
		if math.Abs(float64(v.Best-b[code].Best)) > 1e-9 {
			t.Errorf("%s is %v, mirrored %v", code, v.Best, b[code].Best)
		}
	}
}

// What is drawn is as long and as thick as the nail, however it is turned.
func TestOverlayIsToScale(t *testing.T) {
	c, pl := overCase()
	pl.Scales[0].Plane.Row = 0.25 // pixels that are not square
	o, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, turn := range []float64{0, 30, -75} {
		p := o.Turned(o.Start(), turn)
		lines := o.Lines(p)
		n := len(lines[0].Path)
		mm := o.plane.MM
		if d := dist(mm(lines[0].Path[0]), mm(lines[0].Path[n-1])); math.Abs(d-10) > 1e-9 {
			t.Errorf("turned %v: %v thick, want 10 mm", turn, d)
		}
		if d := dist(mm(lines[0].Path[0]), mm(lines[0].Path[n/2-1])); math.Abs(d-340) > 1e-9 {
			t.Errorf("turned %v: %v long, want 340 mm", turn, d)
		}
		last := lines[len(lines)-1].Path
		if d := dist(mm(last[0]), mm(last[1])); math.Abs(d-95) > 1e-6 {
			t.Errorf("turned %v: upper screw %v long, want 95 mm", turn, d)
		}
	}
}

func dist(a, b mmPt) float64 { return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) }

func TestOverlayPointed(t *testing.T) {
	o, err := overOf()
	if err != nil {
		t.Fatal(err)
	}
	p := o.Pointed(o.Start(), pxPt{X: 1500, Y: 2000})
	tip := o.Tip(p)
	// law: the tip lies on the way to the place, 340 mm off
	if a, b := (1500-1000)/(2000-525.), float64(tip.X-1000)/float64(tip.Y-525); math.Abs(a-b) > 1e-9 {
		t.Errorf("tip at %v, which is not on the way", tip)
	}
	if q := o.Pointed(p, p.Top); q != p {
		t.Errorf("pointed at itself: %+v, want no change", q)
	}
}

// On a lateral film the bow is drawn to the front, and only where the film says
// which side that is; head screws are seen from the front alone.
func TestOverlayBow(t *testing.T) {
	c, pl := overCase()
	f := &c.Films[0]
	f.View = anatomy.Lateral
	o, err := OverlayOf(c, pl, 0)
	if err != nil || o.Bowed() || len(says(o, o.Start())) != 3 {
		t.Fatalf("%v: bowed %v, says %v: without the edges of the neck nobody knows the front", err, o.Bowed(), says(o, o.Start()))
	}
	f.Points = append(f.Points, record.Point{Name: anatomy.NeckFront, At: pxPt{X: 900, Y: 600}, Slip: 1}, record.Point{Name: anatomy.NeckBack, At: pxPt{X: 1100, Y: 600}, Slip: 1})
	if o, err = OverlayOf(c, pl, 0); err != nil || !o.Bowed() {
		t.Fatalf("%v: no bow", err)
	}
	mid := o.Lines(o.Start())[0].Path[bowSteps/2]
	want := 1500 - math.Sqrt(1500*1500-170*170) // by hand: sagitta of R 1500 over 340
	if got := (1000 + 5/0.2 - float64(mid.X)) * 0.2; math.Abs(got-want) > 1e-6 {
		t.Errorf("the bow is %v mm to the front, want %v", got, want)
	}
}

func TestOverlayRefuses(t *testing.T) {
	for _, tt := range []struct {
		name, code string
		film       int
		change     func(*record.Case, *plan.Plan)
	}{
		{"no such film", "film", 1, func(*record.Case, *plan.Plan) {}},
		{"a film before the first", "film", -1, func(*record.Case, *plan.Plan) {}},
		{"no view", "view", 0, func(c *record.Case, _ *plan.Plan) { c.Films[0].View = "" }},
		{"no scale", "scale", 0, func(_ *record.Case, p *plan.Plan) { p.Scales[0].Plane = calibrate.Plane{} }},
		{"a disputed scale", "scale", 0, func(_ *record.Case, p *plan.Plan) { p.Scales[0].Disputed = true }},
		{"the detector's scale", "scale", 0, func(_ *record.Case, p *plan.Plan) { p.Scales[0].Plane.Origin = calibrate.AtDetector }},
		{"no nail", "nail", 0, func(_ *record.Case, p *plan.Plan) { p.Nail.Part = nil }},
		{"a photo without corners", "photo", 0, func(c *record.Case, _ *plan.Plan) { c.Films[0].Photo = &record.Photo{} }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c, pl := overCase()
			tt.change(&c, &pl)
			_, err := OverlayOf(c, pl, tt.film)
			var e *OverlayError
			if !errors.As(err, &e) || e.Code() != "drawing-overlay-"+tt.code || len(e.Error()) < 40 {
				t.Errorf("got %v, want %s", err, tt.code)
			}
		})
	}
}

// On a photo the nail is laid over the film in it: places go there and back.
func TestOverlayOnAPhoto(t *testing.T) {
	c, pl := overCase()
	w, h := units.MM(400), units.MM(430)
	c.Films[0].Kind = "jpeg"
	c.Films[0].Photo = &record.Photo{Corners: []pxPt{{X: 300, Y: 250}, {X: 2500, Y: 330}, {X: 2600, Y: 2750}, {X: 200, Y: 2700}}, Slip: 0.5, Width: &w, Height: &h}
	o, err := OverlayOf(c, pl, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []pxPt{{X: 900, Y: 500}, {X: 2000, Y: 2300}} {
		f, ok := o.ToFilm(q)
		back, ok2 := o.ToPicture(f)
		if !ok || !ok2 || math.Hypot(float64(back.X-q.X), float64(back.Y-q.Y)) > 1e-6 {
			t.Errorf("%v goes to %v and back to %v", q, f, back)
		}
	}
}

func overOf() (Overlay, error) {
	c, pl := overCase()
	return OverlayOf(c, pl, 0)
}
