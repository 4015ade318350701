package phantom

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// A gap alone lengthens the way from tip to target along the shaft. Source: by
// hand, Pythagoras in three dimensions.
func TestGapLengthens(t *testing.T) {
	f, s := Usual(), bare(anatomy.AP)
	sound := know(t, f, s)
	b := newBody(f)
	d := b.target.minus(b.tip)
	testkit.Near(t, "sound", float64(sound.Length.True), math.Sqrt(d[0]*d[0]+d[1]*d[1]+d[2]*d[2]), 1e-9)
	for _, k := range []Break{{Level: 200, Gap: 12}, {Level: 200, Gap: -15}, {Level: 150, Aside: 10, Front: -7, Gap: 3}} {
		f.Break = k
		got := know(t, f, s)
		x, y, z := d[0]+float64(k.Aside), d[1]+float64(k.Front), d[2]+float64(k.Gap)
		testkit.Near(t, "as the pieces lie", float64(got.Length.True), math.Sqrt(x*x+y*y+z*z), 1e-9)
		testkit.Near(t, "whole again", float64(got.Whole.True), float64(sound.Length.True), 1e-9)
	}
	f.Break = Break{Level: 200, Bend: 10} // by hand: 10° turn the lower end by 2·h·sin 5°
	h := b.target.minus(vec{0, b.bow(200), 200})
	want := 2 * math.Hypot(h[0], h[2]) * math.Sin(5*math.Pi/180)
	p := know(t, f, s).At[anatomy.DistalTarget].Film.Minus(sound.At[anatomy.DistalTarget].Film)
	got := math.Hypot(float64(p.X), float64(p.Y)) * float64(sound.Row)
	testkit.Near(t, "lower end moved by the bend", got, want, 0.02*want)
	if p.X <= 0 {
		t.Error("a right femur bent towards the middle of the body goes to the left on the film")
	}
}

// The gap is drawn: between the ends of the pieces there is no bone, next to
// them there is.
func TestGapIsDrawn(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Row, s.Col = 600, 1400, 0.4, 0.4
	f := Usual()
	f.Break = Break{Level: 200, Gap: 8, Oblique: 20}
	k, c := know(t, f, s), alone(f, s)
	up, low := k.At[anatomy.FractureUpper].Film, k.At[anatomy.FractureLower].Film
	mid := up.Plus(low).Times(0.5)
	at := func(dx, dy float64) float32 {
		return c.mu[int(math.Round(float64(mid.Y)+dy))*c.w+int(math.Round(float64(mid.X)+dx))]
	}
	for _, tt := range []struct {
		name  string
		dx    float64
		dy    float64
		solid bool
	}{ // 1 mm is 2.875 px; the edges of the gap lie 4·cos 0 mm = 11.5 px above and below its middle
		{"middle", 0, 0, false}, {"9 px above", 0, -9, false}, {"9 px below", 0, 9, false},
		{"14 px above", 0, -14, true}, {"14 px below", 0, 14, true},
		{"on the slope, 25 px to the middle of the body", 25, -25 * math.Tan(20*math.Pi/180), false},
		{"level, 35 px to the middle of the body: the lower piece", 35, 0, true},
		{"level, 35 px outwards: the upper piece", -35, 0, true},
	} {
		if got := at(tt.dx, tt.dy); (got > 0) != tt.solid {
			t.Errorf("%s: attenuation %.3f, want bone %v", tt.name, got, tt.solid)
		}
	}
	for _, l := range k.Profile {
		if l.Z > 190 && l.Z < 210 && math.Abs(float64(l.Z)-200) < 4.9 { // 13.5·tan 20° = 4.9
			t.Errorf("a level at %.0f, inside the break", float64(l.Z))
		}
	}
}

// A crack of the neck is drawn as a line without bone across it.
func TestCrackIsDrawn(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Row, s.Col, s.Look = 1200, 1200, 0.2, 0.2, Upper
	f := Usual()
	s.Turn = -f.Version
	f.Neck2 = Crack{At: 28, Width: 6}
	c := alone(f, s)
	k := &knower{camera: c.camera, b: newBody(f)}
	k.whole = k.place(k.b)
	for along, bone := range map[float64]bool{24: true, 27: false, 28: false, 29: false, 33: true} {
		p := k.spot(vec{0, 0, crossing}.plus(k.b.along.times(along)), k.whole).Film
		if got := c.mu[int(p.Y+0.5)*c.w+int(p.X+0.5)]; (got > 0) != bone {
			t.Errorf("%g mm along the neck: attenuation %.3f, want bone %v", along, got, bone)
		}
	}
}

// Magnification: true size = size at the detector · SOD/SID. Every length of
// the shaft in its plane scales so, and row and column each by their own
// spacing. Source: facts §1.1a, 1b, 1d.
func TestMagnification(t *testing.T) {
	f := Usual()
	f.Bow = 0
	for _, sod := range []units.MM{900, 1000, 1080} {
		s := bare(anatomy.AP)
		s.SOD, s.Row, s.Col = sod, 0.2, 0.1
		k := know(t, f, s)
		testkit.Near(t, "row (by hand)", float64(k.Row), 0.2*float64(sod)/1150, 1e-9)
		testkit.Near(t, "column (by hand)", float64(k.Col), 0.1*float64(sod)/1150, 1e-9)
		up, low := k.At[anatomy.ShaftUpper], k.At[anatomy.ShaftLower]
		dx, dy := float64(up.Film.X-low.Film.X)*float64(k.Col), float64(up.Film.Y-low.Film.Y)*float64(k.Row)
		testkit.Near(t, "length along the shaft", math.Hypot(dx, dy), float64(low.Bone[2]-up.Bone[2]), 1e-6)
		testkit.Near(t, "scale at the shaft", float64(up.Row), float64(k.Row), 1e-9)
		// A tube of radius r seen from d: by hand, 2·r·d/√(d² − r²), here 11·1.00002.
		testkit.Near(t, "canal seen", float64(k.Isthmus.SeenInner), 11, 0.01)
		testkit.Near(t, "true canal", float64(k.Isthmus.Inner), 11, 1e-3)
	}
}

// Tilt foreshortens. Source: facts §1.1i, SID 1150, SOD 1000, 420 mm: 10° →
// 414.17 by a diverging beam, centred.
func TestForeshortening(t *testing.T) {
	f := Usual()
	f.Bow = 0
	for _, tt := range []struct{ tilt, want float64 }{{5, 418.54}, {10, 414.17}, {15, 406.89}, {20, 396.72}} {
		s := bare(anatomy.AP)
		s.Tilt = units.Deg(tt.tilt)
		b, c := newBody(f), newCamera(s)
		k := &knower{camera: c, b: b, whole: c.place(b), plane: 1 / 1.15}
		z, at := b.middle(Whole), k.whole
		got := k.between(at.on(vec{0, 0, z - 210}), at.on(vec{0, 0, z + 210})).Seen
		testkit.Near(t, fmt.Sprintf("%g°", tt.tilt), float64(got), tt.want, 0.35)
	}
}
