package find

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"isthmus/core/calibrate"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/radiograph"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func film(t testing.TB, path string) Grey {
	t.Helper()
	im, err := radiograph.Open(testkit.Read(t, path), radiograph.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Grey{Width: im.Width, Height: im.Height, Pix: im.Pix}
}

func mirrored(g Grey) Grey {
	m := Grey{Width: g.Width, Height: g.Height, Pix: slices.Clone(g.Pix), Inverted: g.Inverted}
	for y := range g.Height {
		slices.Reverse(m.Pix[y*g.Width : (y+1)*g.Width])
	}
	return m
}

func negative(g Grey, top uint16) Grey {
	n := Grey{Width: g.Width, Height: g.Height, Pix: slices.Clone(g.Pix), Inverted: !g.Inverted}
	for i, v := range n.Pix {
		n.Pix[i] = top - v
	}
	return n
}

// Laws: a film seen in a mirror gives the mirrored place and the same size; a
// film stored the other way round gives the same.
func TestMirrorAndNegative(t *testing.T) {
	rnd := chance.New(8)
	for seed := range uint64(6) {
		s, near, _, _ := trial(rnd, ballThick, 20, seed%2 == 0)
		g := s.draw(seed)
		a, err := Ball(g, near, RoundOptions{Most: 260, Raw: true})
		if err != nil {
			t.Fatal(err)
		}
		n, err := Ball(negative(g, 4095), near, RoundOptions{Most: 260, Raw: true})
		if err != nil || geom.Dist(a.Centre, n.Centre) > 0.01 || math.Abs(float64(a.Short-n.Short)) > 0.02 || n.Dark {
			t.Errorf("negative: %v %v, want %v; %v", n.Centre, n.Short, a.Centre, err)
		}
		w := units.Px(g.Width - 1)
		m, err := Ball(mirrored(g), pt{X: w - near.X, Y: near.Y}, RoundOptions{Most: 260, Raw: true})
		if err != nil || math.Abs(float64(w-m.Centre.X-a.Centre.X)) > 0.1 || math.Abs(float64(m.Short-a.Short)) > 4*float64(a.ShortU) {
			t.Errorf("mirror: %v %v ± %v, want %v %v ± %v; %v", m.Centre, m.Short, m.ShortU, a.Centre, a.Short, a.ShortU, err)
		}
	}
}

// On pixels half as high as wide a ball looks 1:2 and is still a ball.
func TestTallPixels(t *testing.T) {
	s := scene{w: 240, h: 400, blur: 0.8, noise: 0.005, fog: 0.05, top: 4095, thick: func(x, y float64) float64 {
		return 0.4 + ballThick(x, y, 118.4, 203.2, 52, 104, 24)
	}}
	got, err := Ball(s.draw(1), px(110, 190), RoundOptions{Tall: 0.5})
	if err != nil || math.Abs(float64(got.Short)-104) > 0.6 || math.Abs(float64(got.Long)-104) > 0.6 || geom.Dist(got.Centre, px(118.4, 203.2)) > 0.2 {
		t.Fatalf("%v %v %v %v, want 104 px round (118.4, 203.2), as drawn", got.Centre, got.Long, got.Short, err)
	}
	if _, err := Ball(s.draw(1), px(110, 190), RoundOptions{}); err == nil {
		t.Error("taken for a ball on square pixels")
	}
}

// The evidence gives calibrate the size and the doubt that are stated here.
func TestRimIsEvidence(t *testing.T) {
	rnd := chance.New(21)
	for seed := range uint64(6) {
		s, near, _, r := trial(rnd, ballThick, 24, false)
		got, err := Ball(s.draw(seed), near, RoundOptions{Most: 260, Raw: true})
		if err != nil {
			t.Fatal(err)
		}
		p, _, err := calibrate.Ball(got.Rim, got.Slip, 25, calibrate.SquareShape, calibrate.Depth{AtBone: true, Known: true})
		if err != nil {
			t.Fatal(err)
		}
		if seen := 25 / float64(p.Col); math.Abs(seen-2*r) > 2*float64(got.ShortU)+0.3 || len(got.Rim) > 64 {
			t.Errorf("calibrate sees %.2f px, drawn %.2f ± %.2f, %d points", seen, 2*r, got.ShortU, len(got.Rim))
		}
	}
}

// A real film with a ball of 150.0 px at (1000.25, 1560.75) and a ruler of
// 60 px a space drawn in: testdata/films/PROVENANCE.md.
func TestRealFilm(t *testing.T) {
	for _, path := range []string{"films/variants/cal_ball25_ruler_mag1p20.jpg"} {
		g := film(t, path)
		balls, err := Balls(g, RoundOptions{})
		if err != nil || len(balls) != 1 {
			t.Fatalf("%s: %d balls, %v", path, len(balls), err)
		}
		tapped, err := Ball(g, px(1040, 1600), RoundOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range []Round{balls[0], tapped} {
			if geom.Dist(b.Centre, px(1000.25, 1560.75)) > 0.05 || math.Abs(float64(b.Short)-150) > 0.3 || math.Abs(float64(b.Long)-150) > 0.3 {
				t.Errorf("%s: %v %v %v, want (1000.25, 1560.75), 150.0", path, b.Centre, b.Long, b.Short)
			}
		}
		s, err := Ruler(g, px(328, 1930), px(933, 1933), 0)
		if err != nil || s.Spaces != 10 || math.Abs(float64(s.Spacing)-60) > 0.02 || len(s.At) != 11 {
			t.Errorf("%s: %+v %v, want 10 spaces of 60 px", path, s, err)
		}
	}
	none := film(t, "films/real/RG2_JPLL.dcm") // a hip with a round head and no ball
	if balls, err := Balls(none, RoundOptions{}); err != nil || len(balls) != 0 {
		t.Errorf("%d balls on a film without one, %v", len(balls), err)
	}
	for _, tap := range []pt{px(900, 850), px(430, 720), px(600, 1050), px(1100, 1200), px(1500, 300)} {
		if b, err := Ball(none, tap, RoundOptions{}); err == nil {
			t.Errorf("a ball of %.0f px at %v on a film without one", b.Short, b.Centre)
		}
	}
}

// A simulated photo of a film on a light box: the corners of the box read off
// the picture at four times its size are (448, 668), (1959, 632), (1936, 2529)
// and (429, 2568), to a pixel.
func TestRealPhoto(t *testing.T) {
	f, err := Corners(film(t, "films/photo/o6.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []pt{px(448, 668), px(1959, 632), px(1936, 2529), px(429, 2568)} {
		if d := geom.Dist(f.Corners[i].At, want); d > 1.2 {
			t.Errorf("corner %d at %v, want %v", i, f.Corners[i].At, want)
		}
	}
	for _, path := range []string{"films/real/RG2_JPLL.dcm", "films/real/331_DDH_138.jpg"} {
		if f, err := Corners(film(t, path)); err == nil {
			t.Errorf("%s: a frame at %v where there is none", path, f.Corners)
		}
	}
}

// Against another program on the same pictures, over each kind of film:
// root mean square error of the radius.
func TestAgainstAnotherProgram(t *testing.T) {
	var ref struct {
		Rounds []struct {
			Kind                string
			Log                 bool
			Seed                uint64
			Radius, Otsu, Canny float64
		}
	}
	if err := json.Unmarshal(testkit.Read(t, "reference/rounds.json"), &ref); err != nil || len(ref.Rounds) < 60 {
		t.Fatalf("%d rounds, %v", len(ref.Rounds), err)
	}
	var rnd *chance.Source
	ours, otsu, canny, n := map[string]float64{}, map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, c := range ref.Rounds {
		if c.Seed == 0 {
			rnd = chance.New(77)
		}
		kind, thick := aDisc, discThick
		if c.Kind == "ball" {
			kind, thick = aBall, ballThick
		}
		s, near, _, r := trial(rnd, thick, 24, c.Log)
		if math.Abs(r-c.Radius) > 1e-3 {
			t.Fatalf("not the same picture: radius %v, there %v", r, c.Radius)
		}
		got, err := kind.find(s.draw(c.Seed), near, RoundOptions{Most: 260, Raw: true})
		if err != nil || float64(got.ShortU) > 0.03*r { // refused, or said to be unsure
			continue
		}
		key := c.Kind + map[bool]string{true: ", logarithm", false: ", exposure"}[c.Log]
		sq := func(x float64) float64 { return (x - r) * (x - r) }
		n[key]++
		ours[key] += sq(float64(got.Long+got.Short) / 4)
		otsu[key] += sq(c.Otsu)
		canny[key] += sq(c.Canny)
	}
	for key, k := range n {
		a, b, c := math.Sqrt(ours[key]/k), math.Sqrt(otsu[key]/k), math.Sqrt(canny[key]/k)
		t.Logf("%-18s n %2.0f rms of the radius: ours %.3f, threshold %.3f, edges given the true rim %.3f", key, k, a, b, c)
		if k < 13 || a > b || a > c {
			t.Errorf("%s: ours is worse, or refused too often", key)
		}
	}
}

func BenchmarkBallsWholeFilm(b *testing.B) {
	g := film(b, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	for b.Loop() {
		if r, err := Balls(g, RoundOptions{}); err != nil || len(r) != 1 {
			b.Fatal(err, len(r))
		}
	}
}

// A film of 15 million pixels: the same one, each pixel four times.
func BenchmarkBalls15Mpx(b *testing.B) {
	g := film(b, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	h := Grey{Width: 2 * g.Width, Height: 2 * g.Height, Pix: make([]uint16, 4*len(g.Pix))}
	for i := range h.Pix {
		h.Pix[i] = g.Pix[i/h.Width/2*g.Width+i%h.Width/2]
	}
	for b.Loop() {
		if _, err := Balls(h, RoundOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBallTap(b *testing.B) {
	g := film(b, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	for b.Loop() {
		if _, err := Ball(g, px(1040, 1600), RoundOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCornersPhoto(b *testing.B) {
	g := film(b, "films/photo/o6.jpg")
	for b.Loop() {
		if _, err := Corners(g); err != nil {
			b.Fatal(err)
		}
	}
}
