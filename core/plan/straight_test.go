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

// lens is a pinhole camera that looks at the middle of a film, an independent
// model: film millimetres about the middle to pixels of a photo of 3000 × 4000.
func lens(tilt, x, y float64) geom.Pt[units.Px] {
	s, c := math.Sincos(tilt * math.Pi / 180)
	away := 600 + y*s
	return geom.Pt[units.Px]{X: units.Px(1499.5 + 3600*x/away), Y: units.Px(1999.5 + 3600*y*c/away)}
}

// photoCase is a phone photo, tilted, of a film of 350 × 430 mm that shows a
// sound femur magnified 1.15 times, with a ball of 25 mm at its depth. Truth:
// tip to target 340 mm. Distances on the film are 1.15 times as long.
func photoCase(tilt float64) record.Case {
	on := func(x, y float64) geom.Pt[units.Px] { return lens(tilt, x*1.15, y*1.15) }
	corner := func(x, y float64) geom.Pt[units.Px] { return lens(tilt, x, y) }
	f := record.Film{SHA256: "00", Bytes: 1, Kind: "jpeg", Width: 3000, Height: 4000, View: anatomy.AP, Bone: anatomy.Sound,
		Photo: &record.Photo{Corners: []geom.Pt[units.Px]{corner(-175, -215), corner(175, -215), corner(175, 215), corner(-175, 215)}, Slip: 1.5,
			Width: mm(350), Height: mm(430)},
		Points: []record.Point{{Name: anatomy.TrochanterTip, At: on(20, -170), Slip: 3}, {Name: anatomy.DistalTarget, At: on(20, 170), Slip: 3}}}
	var rim []geom.Pt[units.Px]
	for i := range 12 {
		s, c := math.Sincos(float64(i) * math.Pi / 6)
		rim = append(rim, on(90+12.5*c, -100+12.5*s))
	}
	f.Evidence = []record.Evidence{{ID: "b", Kind: record.Ball, At: rim, Slip: 1, True: mm(25), AtBone: record.Yes}}
	return record.Case{Side: anatomy.Left, Films: []record.Film{f}}
}

// Facts §1.4: a phone tilted by 10° at 600 mm makes the scale differ by 12.5 %
// between the ends of a film; the length must not be wrong by that.
func TestPhotoOfAFilmIsMeasuredStraight(t *testing.T) {
	for _, tilt := range []float64{0, 5, 10} {
		c := photoCase(tilt)
		pl := For(c, implant.Teaching())
		if len(pl.Bone.Routes) != 1 {
			t.Fatalf("tilt %v: %d routes, problems %v", tilt, len(pl.Bone.Routes), codesOf(pl.Problems))
		}
		l := pl.Bone.Routes[0].Length
		testkit.Near(t, "length", float64(l.Best), 340, 0.5)
		if !(l.Doubt() > 3 && l.Doubt() < 20) {
			t.Errorf("tilt %v: doubt %v", tilt, l.Doubt())
		}
		if tilt == 10 {
			c.Films[0].Photo = nil
			crooked := For(c, implant.Teaching()).Bone.Routes
			if len(crooked) == 1 && math.Abs(float64(crooked[0].Length.Best)-340) < 5 {
				t.Error("without its corners the photo reads right too: this test shows nothing")
			}
		}
	}
}

// edged adds points on the edges of the film of a photo, the middles of the
// sides bowed outwards by a share of their length.
func edged(c record.Case, tilt, bow float64) record.Case {
	e := &record.PhotoEdges{Slip: 0.5}
	for _, t := range []float64{-0.8, -0.4, 0, 0.4, 0.8} {
		out := bow * (1 - t*t)
		e.Top = append(e.Top, lens(tilt, 175*t, -215-350*out))
		e.Right = append(e.Right, lens(tilt, 175+430*out, 215*t))
		e.Bottom = append(e.Bottom, lens(tilt, 175*t, 215+350*out))
		e.Left = append(e.Left, lens(tilt, -175-430*out, 215*t))
	}
	c.Films[0].Photo.Edges = e
	return c
}

// Points on the edges of the film take the place of what a lens may hide:
// straight ones make the length surer, bent ones stop the photo.
func TestEdgesOfAPhotoCount(t *testing.T) {
	bare := For(photoCase(5), implant.Teaching()).Bone.Routes[0].Length
	pl := For(edged(photoCase(5), 5, 0), implant.Teaching())
	if len(pl.Bone.Routes) != 1 || !(pl.Bone.Routes[0].Length.Doubt() < bare.Doubt()-0.2) {
		t.Errorf("with edge points: %+v, without ± %v: want it surer", pl.Bone.Routes, bare.Doubt())
	}
	testkit.Near(t, "length", float64(pl.Bone.Routes[0].Length.Best), 340, 0.5)
	bent := For(edged(photoCase(5), 5, 0.02), implant.Teaching())
	if !has(bent.Problems, "photo-refused") || len(bent.Bone.Routes) != 0 {
		t.Errorf("sides bowed by 2 %% of their length: problems %v, routes %d, want the photo refused", codesOf(bent.Problems), len(bent.Bone.Routes))
	}
}

// The marks in the case stay where a person put them, and straight twice is
// straight once.
func TestStraightTouchesNothing(t *testing.T) {
	c := photoCase(8)
	before := record.Clone(c)
	once := Straight(c)
	if !record.Equal(c, before) {
		t.Error("the case was changed")
	}
	if record.Equal(once, c) || once.Films[0].Photo != nil {
		t.Error("nothing was made straight")
	}
	if !record.Equal(Straight(once), once) {
		t.Error("straight twice is another thing than straight once")
	}
}

func TestPhotoWithoutUse(t *testing.T) {
	for _, tt := range []struct {
		name string
		do   func(*record.Film)
		want string
	}{
		{"corners crossed", func(f *record.Film) {
			f.Photo.Corners[0], f.Photo.Corners[1] = f.Photo.Corners[1], f.Photo.Corners[0]
		}, "photo-refused"},
		{"three corners", func(f *record.Film) { f.Photo.Corners = f.Photo.Corners[:3] }, "photo-refused"},
		{"no scale on it", func(f *record.Film) { f.Evidence = nil }, "scale-missing"},
		{"a size that the photo contradicts", func(f *record.Film) { f.Photo.Width = mm(240) }, "photo-refused"},
		{"a point beside the film", func(f *record.Film) { f.Points[0].At = geom.Pt[units.Px]{X: 1499, Y: 60} }, "photo-point"},
		{"two balls", func(f *record.Film) {
			r := 0.45
			f.Evidence[0].Kind, f.Evidence[0].AtFront, f.Evidence[0].TrueFront, f.Evidence[0].Fraction = record.TwoMarkers, f.Evidence[0].At, mm(25), &r
		}, "scale-refused"},
	} {
		c := photoCase(10)
		tt.do(&c.Films[0])
		pl := For(c, implant.Teaching())
		if !has(pl.Problems, tt.want) || pl.Bone.Length != nil {
			t.Errorf("%s: length %v, problems %v, want %s", tt.name, pl.Bone.Length, codesOf(pl.Problems), tt.want)
		}
	}
}

// A film of known size and an assumed factor: the film is the detector's
// plane, so 340·1.15/1.15.
func TestPhotoWithAssumedFactor(t *testing.T) {
	c := photoCase(10)
	factor := 1.15
	c.Films[0].Evidence = []record.Evidence{{ID: "a", Kind: record.Assumed, Factor: &factor}}
	pl := For(c, implant.Teaching())
	if pl.Bone.Length == nil {
		t.Fatal(codesOf(pl.Problems))
	}
	testkit.Near(t, "length", float64(pl.Bone.Length.Best), 340, 0.5)
	c.Films[0].Photo.Width = nil
	if pl := For(c, implant.Teaching()); pl.Bone.Length != nil {
		t.Errorf("a film of unknown size gave %v", pl.Bone.Length)
	}
}

// Coverage, seeded: with corners, rim and points moved by their slips the
// stated 95 % hold the truth.
func TestPhotoCoverage(t *testing.T) {
	in, n := 0, 200
	src := chance.New(7)
	shake := func(p *geom.Pt[units.Px], s units.Px) {
		p.X += s * units.Px(src.Normal())
		p.Y += s * units.Px(src.Normal())
	}
	for range n {
		c := photoCase(4 + 8*math.Abs(math.Mod(src.Normal(), 1)))
		f := &c.Films[0]
		for i := range f.Photo.Corners {
			shake(&f.Photo.Corners[i], f.Photo.Slip)
		}
		for i := range f.Points {
			shake(&f.Points[i].At, f.Points[i].Slip)
		}
		for i := range f.Evidence[0].At {
			shake(&f.Evidence[0].At[i], f.Evidence[0].Slip)
		}
		pl := For(c, implant.Teaching())
		if len(pl.Scales) != 1 || !pl.Scales[0].Plane.Usable() {
			t.Fatal(codesOf(pl.Problems))
		}
		l := pl.Bone.Routes[0].Length
		u := math.Sqrt(math.Max(0, math.Pow(float64(l.Doubt()), 2)-math.Pow(float64(sideDoubt(DefaultPolicy())), 2))) // no other leg here
		if math.Abs(float64(l.Best)-340) <= units.Sure*u {
			in++
		}
	}
	if in < n*95/100 {
		t.Errorf("%d of %d lie within the stated doubt", in, n)
	}
}
