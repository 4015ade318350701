package phantom

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func draw(t testing.TB, f Femur, s Setup) *Film {
	t.Helper()
	film, err := Draw(f, s)
	if err != nil {
		t.Fatal(err)
	}
	return film
}

// rise is where a line of levels crosses the middle of lo and hi between two
// pixels, going from pixel a towards pixel b.
func rise(line []uint16, a, b int, level float64) float64 {
	step := 1
	if b < a {
		step = -1
	}
	for x := a; x != b; x += step {
		p, q := float64(line[x]), float64(line[x+step])
		if (p < level) != (q < level) {
			return float64(x) + float64(step)*(level-p)/(q-p)
		}
	}
	return math.NaN()
}

// A ball is drawn where the truth says: the picture of a ball of steel alone,
// of which the open field is 0, crosses 1/8 of the top level within 0.6 px of
// the rim (attenuation there is 2·√(2rδ)·0.45: by hand, 0.8 at 0.03 mm inside).
func TestBallIsDrawnWhereItIs(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Row, s.Col = 3200, 400, 0.15, 0.10
	s.Balls = []Ball{{Across: 25, Aside: -120}, {Across: 20, Above: 60, Aside: 40, Down: 5}}
	f := Usual()
	f.Thigh = 0
	s.Down = -400 // the bone is drawn elsewhere
	film := draw(t, f, s)
	for i, b := range film.Truth.Balls {
		y := int(math.Round(float64(b.Centre.Y)))
		line := film.Pix[y*film.Width : (y+1)*film.Width]
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range b.Rim(720) {
			if math.Abs(float64(p.Y)-float64(y)) < 1 {
				lo, hi = min(lo, float64(p.X)), max(hi, float64(p.X))
			}
		}
		mid := int(b.Centre.X)
		testkit.Near(t, "left rim", rise(line, mid-190, mid, 512), lo, 0.6)
		testkit.Near(t, "right rim", rise(line, mid+190, mid, 512), hi, 0.6)
		if !b.Inside {
			t.Errorf("ball %d is said to lie outside", i)
		}
	}
}

// alone is the attenuation along one line of film pixels, of the bone.
func alone(f Femur, s Setup) *canvas {
	f.Thigh = 0
	b := newBody(f)
	c := &canvas{camera: newCamera(s), w: s.Width, h: s.Height, mu: make([]float32, s.Width*s.Height), end: b.end}
	c.weave(0)
	whole := c.place(b)
	for _, p := range b.pieces(whole) {
		c.drawPiece(b.parts, p)
	}
	return c
}

// The edges of the tubes that the truth states are where the drawn attenuation
// begins (outer) and has its peak (inner: the longest way through the cortex
// is where the ray just touches the canal). Source: by hand, the chord through
// a ring, 2·(√(R² − x²) − √(r² − x²)), is greatest at x = r.
func TestTubeEdgesAreDrawnWhereTheyAre(t *testing.T) {
	tried := 0
	for seed := range uint64(12) {
		s := bare([]anatomy.View{anatomy.AP, anatomy.Lateral}[seed%2])
		s.Width, s.Height, s.Row, s.Col = 1800, 100, 0.03, 0.03 // a small window on the shaft, finely drawn
		s.Aside, s.Down = units.MM(seed%3)-4, units.MM(90-20*int(seed%8))
		s.Turn, s.Tilt, s.Lean = units.Deg(5*seed), units.Deg(2*seed)-12, units.Deg(seed%4)
		f := Random(seed)
		k, c := know(t, f, s), alone(f, s)
		for _, l := range k.Profile {
			for _, e := range [][2]geom.Pt[units.Px]{{l.OuterA, l.OuterB}, {l.OuterB, l.OuterA}} {
				if around(c, e[0]) {
					tried++
					checkOuter(t, c, e[0], e[1])
				}
			}
			for _, e := range [][2]geom.Pt[units.Px]{{l.InnerA, l.InnerB}, {l.InnerB, l.InnerA}} {
				if around(c, e[0]) {
					tried++
					checkInner(t, c, e[0], e[1])
				}
			}
		}
	}
	if tried < 40 {
		t.Fatalf("only %d edges", tried)
	}
}

// around reports whether a place has 12 pixels of film on every side.
func around(c *canvas, p geom.Pt[units.Px]) bool {
	return p.X > 12 && p.Y > 12 && int(p.X) < c.w-12 && int(p.Y) < c.h-12
}

// along reads the attenuation so many pixels from a towards b.
func along(c *canvas, a, b geom.Pt[units.Px], px float64) float64 {
	p := a.Plus(b.Minus(a).Times(px / float64(geom.Dist(a, b))))
	return float64(c.mu[int(math.Round(float64(p.Y)))*c.w+int(math.Round(float64(p.X)))])
}

// Nothing 1½ px (0.045 mm) outside; by hand, 1½ px inside a rim of 12 mm the
// chord is 2·√(2·12·0.039) = 1.9 mm, so at least 0.058 with cortex all along.
func checkOuter(t *testing.T, c *canvas, a, b geom.Pt[units.Px]) {
	t.Helper()
	if out, in := along(c, a, b, -1.5), along(c, a, b, 1.5); out != 0 || in < 0.04 {
		t.Errorf("outer edge at %v: %.3f outside, %.3f inside", a, out, in)
	}
}

func checkInner(t *testing.T, c *canvas, a, b geom.Pt[units.Px]) {
	t.Helper()
	best := -10.0
	for px := -10.0; px < 10; px += 0.25 {
		if along(c, a, b, px) > along(c, a, b, best) {
			best = px
		}
	}
	if math.Abs(best) > 1.8 {
		t.Errorf("inner edge at %v: the peak lies %.2f px from it", a, best)
	}
}

// Film and truth, mirrored: the left femur is the right one in a mirror, and so
// is its film.
func TestMirror(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Row, s.Col = 304, 604, 0.9, 0.8
	r := draw(t, Random(3), s)
	s.Side, s.Aside = anatomy.Left, -s.Aside
	l := draw(t, Random(3), s)
	for y := range r.Height {
		for x := range r.Width {
			p, q := int(r.Pix[y*r.Width+x]), int(l.Pix[y*r.Width+r.Width-1-x])
			if p-q > 1 || q-p > 1 {
				t.Fatalf("pixel %d, %d: %d, in the mirror %d", x, y, p, q)
			}
		}
	}
	for name, p := range r.Truth.At {
		q := l.Truth.At[name]
		if name != anatomy.CanalA && name != anatomy.CanalB && name != anatomy.OuterA && name != anatomy.OuterB &&
			name != anatomy.FlareA && name != anatomy.FlareB && name != anatomy.HeadRim1 && name != anatomy.HeadRim3 {
			testkit.Near(t, string(name), float64(q.Film.X), 303-float64(p.Film.X), 1e-6)
			testkit.Near(t, string(name), float64(q.Film.Y), float64(p.Film.Y), 1e-6)
		}
	}
}

// The same bits natively and under WebAssembly: the hash of one noisy film of
// each kind, as first drawn on amd64.
func TestSameBits(t *testing.T) {
	for i, want := range []uint64{hashAP, hashLateral} {
		s := Shoot([]anatomy.View{anatomy.AP, anatomy.Lateral}[i], anatomy.Left, Whole)
		s.Width, s.Height, s.Row, s.Col, s.Seed, s.Grid = 250, 580, 0.9, 0.9, 7, 0.01
		f := Random(11)
		f.Break = Break{Level: 200, Gap: 5, Oblique: 20, Bend: 4}
		got := draw(t, f, s).hash()
		if got != want {
			t.Errorf("film %d: hash %#x, want %#x", i, got, want)
		}
		if again := draw(t, f, s).hash(); again != got {
			t.Errorf("film %d: drawn again it is another", i)
		}
		if s.Seed = 8; draw(t, f, s).hash() == got {
			t.Errorf("film %d: another seed gives the same noise", i)
		}
	}
}

// Beer–Lambert: without noise, blur and scatter a level is the line integral.
// Through the middle of a thigh without bone, straight down the central ray,
// 150·g mm of soft tissue; here a ball of steel: 2.5 mm · 0.45 = 1.125 →
// 1.125/6.5·4095 = 708.75. By hand.
func TestLevelOfABall(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Down = 401, 401, -400
	s.Balls = []Ball{{Across: 2.5}}
	f := Usual()
	f.Thigh = 0
	testkit.Near(t, "level", float64(draw(t, f, s).Pix[200*401+200]), 709, 1)
	s.Dark = true
	testkit.Near(t, "stored the other way round", float64(draw(t, f, s).Pix[200*401+200]), 4095-709, 1)
	s.Dark, s.Linear = false, true
	testkit.Near(t, "linear (by hand: (1 − e^−1.125)·4095)", float64(draw(t, f, s).Pix[200*401+200]), 2765.6, 1)
}

// Noise: √N of the counts. By hand: open field, 2e6·0.15² = 45,000 quanta,
// standard deviation 1/√45000 = 0.4714 % of exposure; linear detector with
// 16 bits at half exposure would be clipped on one side, so 90 mm of water-like
// tissue is put in the way by a steel disc of 2·2·0.45 = 1.8: N = 45000·e^−1.8.
func TestNoise(t *testing.T) {
	s := bare(anatomy.AP)
	s.Width, s.Height, s.Down, s.Quanta, s.Bits = 300, 300, -400, 2e6, 16
	s.Discs = []Ball{{Across: 100}}
	f := Usual()
	f.Thigh = 0
	film := draw(t, f, s)
	sum, sq, n := 0.0, 0.0, 0.0
	for y := 100; y < 200; y++ {
		for x := 100; x < 200; x++ {
			v := float64(film.Pix[y*300+x]) / 65535 * deepest
			sum, sq, n = sum+v, sq+v*v, n+1
		}
	}
	mean := sum / n
	testkit.Near(t, "mean attenuation", mean, 1.8, 0.002)
	testkit.Near(t, "spread", math.Sqrt(sq/n-mean*mean), 1/math.Sqrt(45000*math.Exp(-1.8)), 0.0003)
}

// expMinus and lnMinus against the library.
func TestOwnFunctions(t *testing.T) {
	for i := range 5000 {
		x := float64(i) * 0.0059
		if got := expMinus(x); !(math.Abs(got/math.Exp(-x)-1) < 3e-6) {
			t.Fatalf("e^−%g = %g", x, got)
		}
		if got := lnMinus(math.Exp(-x)); !(math.Abs(got-x) < 2e-7) {
			t.Fatalf("−ln e^−%g = %g", x, got)
		}
	}
	for _, x := range []float64{0, -1, math.NaN()} {
		if lnMinus(x) != 1000 || expMinus(x) != 1 {
			t.Errorf("%g: −ln %g, e^− %g", x, lnMinus(x), expMinus(x))
		}
	}
}
