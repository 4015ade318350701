package phantom

import (
	"encoding/json"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// wild is a setup from all over what is accepted, and a little beyond.
func wild(c *chance.Source) (Femur, Setup) {
	mm := func(lo, hi float64) units.MM { return units.MM(c.Between(lo, hi)) }
	pick := func(n uint64) int { return int(c.Uint64() % n) }
	f := Random(c.Uint64())
	if pick(2) == 0 {
		f.Break = Break{Level: mm(80, 340), Gap: mm(-42, 62), Oblique: units.Deg(c.Between(-72, 72)), Aside: mm(-40, 40), Front: mm(-40, 40), Bend: units.Deg(c.Between(-30, 30))}
		if pick(2) == 0 {
			f.Second = Break{Level: f.Break.Level + mm(15, 100), Gap: mm(-5, 20), Bend: units.Deg(c.Between(-30, 30))}
		}
	}
	f.Neck2 = Crack{At: mm(0, 50), Width: mm(0, 5)}
	s := Setup{View: []anatomy.View{anatomy.AP, anatomy.Lateral}[pick(2)], Side: []anatomy.Side{anatomy.Left, anatomy.Right}[pick(2)],
		Look: []Region{Whole, Upper, Lower, ""}[pick(4)], Turn: units.Deg(c.Between(-90, 90)), Tilt: units.Deg(c.Between(-40, 40)),
		Lean: units.Deg(c.Between(-45, 45)), SID: mm(600, 2000), Row: mm(0.5, 2), Col: mm(0.5, 2), Width: 32 + pick(100), Height: 32 + pick(200),
		Aside: mm(-300, 300), Down: mm(-400, 400), Letter: pick(2) == 0, Frame: mm(0, 60), Quanta: c.Between(0, 1e6), Blur: mm(0, 3),
		Scatter: c.Between(0, 0.9), Grid: c.Between(0, 0.1), Linear: pick(2) == 0, Bits: 8 + pick(9), Dark: pick(2) == 0, Seed: c.Uint64()}
	s.SOD = s.SID - mm(10, 300)
	s.Balls = []Ball{{mm(2, 60), mm(-100, 400), mm(-300, 300), mm(-300, 300)}}
	s.Discs = []Ball{{mm(2, 60), mm(-100, 400), mm(-300, 300), mm(-300, 300)}}
	s.Ruler = Ruler{mm(0, 400), mm(-100, 400), mm(-300, 300), mm(-300, 300), units.Deg(c.Between(-180, 180))}
	s.Nail = Nail{mm(0, 14), mm(0, 500), mm(-40, 200), pick(2) == 0}
	return f, s
}

// Whatever is accepted gives a film and a truth without a NaN or an infinity
// (JSON cannot write them), and levels within the bits stored.
func TestWildSetups(t *testing.T) {
	c := chance.New(99)
	drawn := 0
	for i := range 150 {
		f, s := wild(c)
		film, err := Draw(f, s)
		if err != nil {
			continue
		}
		drawn++
		if _, err := json.Marshal(film.Truth); err != nil {
			t.Fatalf("film %d: %v\n%+v\n%+v", i, err, f, s)
		}
		for _, v := range film.Pix {
			if int(v) >= 1<<s.Bits {
				t.Fatalf("film %d: level %d of %d bits", i, v, s.Bits)
			}
		}
		film.Grey8()
	}
	if drawn < 30 {
		t.Fatalf("only %d of 150 were drawn", drawn)
	}
}

// The upper film shows the hip, the lower one the knee, both the isthmus.
func TestRegions(t *testing.T) {
	for seed := range uint64(40) {
		f := Random(seed)
		f.Length = min(f.Length, 450)
		for _, tt := range []struct {
			look    Region
			in, out []anatomy.Landmark
		}{
			{Upper, []anatomy.Landmark{anatomy.TrochanterTip, anatomy.LesserTroch, anatomy.HeadRim2, anatomy.NeckUpper, anatomy.CanalA, anatomy.LateralCortex}, []anatomy.Landmark{anatomy.Notch}},
			{Lower, []anatomy.Landmark{anatomy.Notch, anatomy.DistalTarget, anatomy.CanalA, anatomy.ShaftLower}, []anatomy.Landmark{anatomy.TrochanterTip}},
		} {
			k := know(t, f, Shoot(anatomy.AP, anatomy.Right, tt.look))
			for _, l := range tt.in {
				if !k.At[l].Inside {
					t.Errorf("seed %d, %s: %s is not on it: %v", seed, tt.look, l, k.At[l].Film)
				}
			}
			for _, l := range tt.out {
				if k.At[l].Inside {
					t.Errorf("seed %d, %s: %s is on it", seed, tt.look, l)
				}
			}
		}
	}
}

// Landmarks of the truth are those that the view has, and a nail's ends are
// known when there is one.
func TestLandmarksOfTheView(t *testing.T) {
	for _, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		f, s := Usual(), bare(v)
		f.Break, f.Second = Break{Level: 130}, Break{Level: 260}
		s.Nail = Nail{Across: 11, Length: 380, Screws: true}
		k := know(t, f, s)
		for _, l := range anatomy.Landmarks(v) {
			if _, ok := k.At[l]; !ok {
				t.Errorf("%s: %s is not told", v, l)
			}
		}
		if len(k.At) != len(anatomy.Landmarks(v)) {
			t.Errorf("%s: %d landmarks, the view has %d", v, len(k.At), len(anatomy.Landmarks(v)))
		}
	}
}

// A disc flat on the detector side casts a circle, magnified: by hand,
// 24.5·1150/1000 = 28.175; and 40 mm above, 24.5·1150/960 = 29.349.
func TestDisc(t *testing.T) {
	s := bare(anatomy.AP)
	s.Discs = []Ball{{Across: 24.5, Aside: 100}, {Across: 24.5, Above: 40}}
	k := know(t, Usual(), s)
	testkit.Near(t, "in the plane of the bone", float64(k.Discs[0].Long), 28.175, 1e-3)
	testkit.Near(t, "40 mm above", float64(k.Discs[1].Short), 29.349, 1e-3)
	testkit.Near(t, "place (by hand: 749.5 + 100·1.15/0.15)", float64(k.Discs[0].Centre.X), 1516.17, 0.01)
	if k.Discs[0].Inside || !k.Discs[1].Inside {
		t.Error("which disc lies on the film is told wrongly")
	}
}

// A nail is drawn along the canal: brighter than the canal beside it, and its
// bore darker than its walls (by hand: two walls of 2.5 mm against the wall of
// a pipe seen edge on).
func TestNailIsDrawn(t *testing.T) {
	s := bare(anatomy.AP)
	f := Usual()
	s.Row, s.Height = 0.6, 875
	f.Canal = 14
	plain := draw(t, f, s)
	s.Nail = Nail{Across: 9, Length: 360, Top: 0}
	nailed := draw(t, f, s)
	l := nailed.Truth.Isthmus
	x, y := int(math.Round(float64(l.Axis.X))), int(math.Round(float64(l.Axis.Y)))
	at := func(f *Film, mm float64) int {
		return int(f.Pix[y*f.Width+x+int(math.Round(mm/float64(nailed.Truth.Col)))])
	}
	for _, mm := range []float64{0, 2.2, -2.2, 4.2, -4.2} {
		if !(at(nailed, mm) > at(plain, mm)+60) {
			t.Errorf("%g mm from the axis: %d with the nail, %d without", mm, at(nailed, mm), at(plain, mm))
		}
	}
	for _, mm := range []float64{4.8, -4.8, 6} {
		if at(nailed, mm) != at(plain, mm) {
			t.Errorf("%g mm from the axis the nail of 9 mm is still drawn", mm)
		}
	}
	if !(at(nailed, 2.2)-at(plain, 2.2) > at(nailed, 0)-at(plain, 0)) {
		t.Error("the bore is not darker than the wall")
	}
}
