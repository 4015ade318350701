package geom

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/units"
)

type mm = Pt[units.MM]

func near(t *testing.T, what string, got, want, tol float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %.1g (%s)", what, got, want, tol, source)
	}
}

// gander is the data set of section 2 of Gander, Golub, Strebel 1994.
var gander = []mm{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}}

func TestFitCircle(t *testing.T) {
	for _, tt := range []struct {
		name    string
		pts     []mm
		x, y, r float64
		rms     float64
		tol     float64
		source  string
	}{
		{"published data", gander, 4.7398, 2.9835, 4.7142, math.Sqrt(1.2276 / 6), 1e-4,
			"Gander, Golub, Strebel 1994, BIT 34:558, geometric fit; from memory"},
		{"four corners of a square", []mm{{0, 0}, {2, 0}, {2, 2}, {0, 2}}, 1, 1, math.Sqrt2, 0, 1e-12,
			"by hand: half the diagonal"},
		{"3-4-5", []mm{{5, 0}, {-5, 0}, {3, 4}, {-4, 3}, {4, -3}}, 0, 0, 5, 0, 1e-12, "by hand: 3² + 4² = 5²"},
		{"in and out by one tenth", []mm{{10.1, 0}, {0, 9.9}, {-10.1, 0}, {0, -9.9}}, 0, 0, 10, 0.1, 1e-9,
			"by hand: mean of 10.1 and 9.9, each 0.1 off"},
		{"far from the origin", []mm{{1e6 + 5, 1e6}, {1e6 - 5, 1e6}, {1e6 + 3, 1e6 + 4}, {1e6, 1e6 - 5}}, 1e6, 1e6, 5, 0, 1e-6,
			"by hand: the 3-4-5 circle moved"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c, err := FitCircle(tt.pts)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "x", float64(c.Centre.X), tt.x, tt.tol, tt.source)
			near(t, "y", float64(c.Centre.Y), tt.y, tt.tol, tt.source)
			near(t, "r", float64(c.R), tt.r, tt.tol, tt.source)
			near(t, "rms", float64(c.RMS), tt.rms, tt.tol, tt.source)
		})
	}
}

func TestCircleThrough(t *testing.T) {
	c, err := CircleThrough(mm{5, 0}, mm{3, 4}, mm{-4, 3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "x", float64(c.Centre.X), 0, 1e-12, "by hand: 3-4-5")
	near(t, "y", float64(c.Centre.Y), 0, 1e-12, "by hand: 3-4-5")
	near(t, "r", float64(c.R), 5, 1e-12, "by hand: 3-4-5")
}

// The algebraic start of the published data is far from the geometric fit, so
// a fit that stops at its start fails this test.
func TestAlgebraicStart(t *testing.T) {
	n, _ := normalise(gander)
	v, ok := algebraicCircle(n.pts)
	if !ok {
		t.Fatal("no algebraic circle")
	}
	const source = "Gander, Golub, Strebel 1994: the fit that minimises Σ(d² − r²)² is not the geometric one"
	if r := v[2] * n.s; math.Abs(r-4.7142) < 0.05 {
		t.Errorf("algebraic radius %.4f equals the geometric one: %s", r, source)
	}
}

func TestFitEllipse(t *testing.T) {
	onAxis := []mm{{5, 0}, {-5, 0}, {0, 3}, {0, -3}, {4, 1.8}, {-3, 2.4}}
	for _, tt := range []struct {
		name                    string
		pts                     []mm
		x, y, long, short, tilt float64
		source                  string
	}{
		{"along x", onAxis, 0, 0, 5, 3, 0, "by hand: x²/25 + y²/9 = 1; 16/25 + 3.24/9 = 1"},
		{"five points", onAxis[:5], 0, 0, 5, 3, 0, "by hand: five points fix a conic"},
		{"turned by 30 degrees and moved", moved(onAxis, 30, 100, -40), 100, -40, 5, 3, 30, "by hand: the first, turned"},
		{"turned by −60 degrees", moved(onAxis, -60, 0, 0), 0, 0, 5, 3, -60, "by hand: the first, turned"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e, err := FitEllipse(tt.pts)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "x", float64(e.Centre.X), tt.x, 1e-6, tt.source)
			near(t, "y", float64(e.Centre.Y), tt.y, 1e-6, tt.source)
			near(t, "long", float64(e.Long), tt.long, 1e-6, tt.source)
			near(t, "short", float64(e.Short), tt.short, 1e-6, tt.source)
			near(t, "tilt", e.Tilt, tt.tilt, 1e-6, tt.source)
			near(t, "rms", float64(e.RMS), 0, 1e-6, tt.source)
		})
	}
}

// A circle is an ellipse with equal axes, and its residual is that of the
// circle: 8 points, in and out by 0.1 in turn.
func TestFitEllipseOfCircle(t *testing.T) {
	var pts []mm
	for i := range 8 {
		r := 10 + 0.1*float64(1-2*(i%2))
		s, c := math.Sincos(float64(i) * math.Pi / 4)
		pts = append(pts, mm{units.MM(r * c), units.MM(r * s)})
	}
	e, err := FitEllipse(pts)
	if err != nil {
		t.Fatal(err)
	}
	const source = "by hand: the fourth harmonic is none of an ellipse, so nothing but the mean is left"
	near(t, "long", float64(e.Long), 10, 0.01, source)
	near(t, "short", float64(e.Short), 10, 0.01, source)
	near(t, "rms", float64(e.RMS), 0.1, 0.002, source)
}

func TestFitLine(t *testing.T) {
	l, rms, err := FitLine([]mm{{0, 1.1}, {1, 2.9}, {2, 5.1}, {3, 6.9}})
	if err != nil {
		t.Fatal(err)
	}
	u, _ := l.Unit()
	// by hand: Σx² = 5, Σxy = 9.8, Σy² = 19.24 about the mean (1.5, 4);
	// tan 2φ = 2·9.8/(5 − 19.24), φ = 62.99°.
	near(t, "direction", math.Atan2(float64(u.Y), float64(u.X))*180/math.Pi, math.Atan2(19.6, 5-19.24)*90/math.Pi, 1e-9, "by hand")
	_, aside, _ := l.Along(mm{1.5, 4})
	near(t, "through the mean", float64(aside), 0, 1e-9, "by hand: a least-squares line runs through the mean")
	// smaller eigenvalue (24.24 − √(14.24² + 19.6²))/2, divided by 4
	near(t, "rms", float64(rms), math.Sqrt((24.24-math.Hypot(14.24, 19.6))/2/4), 1e-9, "by hand")
}

func TestFitsRefuse(t *testing.T) {
	inf, nan := units.MM(math.Inf(1)), units.MM(math.NaN())
	line := []mm{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}, {5, 5}}
	same := []mm{{1, 1}, {1, 1}, {1, 1}, {1, 1}, {1, 1}}
	circle := func(p []mm) error { _, err := FitCircle(p); return err }
	ellipse := func(p []mm) error { _, err := FitEllipse(p); return err }
	straight := func(p []mm) error { _, _, err := FitLine(p); return err }
	three := func(p []mm) error { _, err := CircleThrough(p[0], p[1], p[2]); return err }
	for _, tt := range []struct {
		name string
		fit  func([]mm) error
		pts  []mm
		code string
	}{
		{"circle of two", circle, line[:2], "fit-few"},
		{"circle of a line", circle, line, "fit-degenerate"},
		{"circle of one place", circle, same, "fit-degenerate"},
		{"circle of NaN", circle, []mm{{0, 0}, {1, nan}, {2, 0}}, "fit-not-finite"},
		{"circle of infinity", circle, []mm{{0, 0}, {1, inf}, {2, 0}}, "fit-not-finite"},
		{"three on a line", three, line, "fit-degenerate"},
		{"three in one place", three, same, "fit-degenerate"},
		{"two of three in one place", three, []mm{{0, 0}, {0, 0}, {1, 1}}, "fit-degenerate"},
		{"three with NaN", three, []mm{{0, 0}, {nan, 0}, {1, 1}}, "fit-not-finite"},
		{"ellipse of four", ellipse, line[:4], "fit-few"},
		{"ellipse of a line", ellipse, line, "fit-degenerate"},
		{"ellipse of one place", ellipse, same, "fit-degenerate"},
		{"ellipse of NaN", ellipse, []mm{{0, 0}, {1, nan}, {2, 0}, {1, 1}, {3, 3}}, "fit-not-finite"},
		{"line of one", straight, line[:1], "fit-few"},
		{"line of one place", straight, same, "fit-degenerate"},
		{"line of a square", straight, []mm{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, "fit-degenerate"},
		{"line of infinity", straight, []mm{{0, 0}, {inf, 1}}, "fit-not-finite"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var e *FitError
			if err := tt.fit(tt.pts); !errors.As(err, &e) || e.Code() != tt.code {
				t.Errorf("got %v, want %s", err, tt.code)
			}
		})
	}
}

// moved turns points by deg (clockwise on a film) about the origin, then
// moves them.
func moved(pts []mm, deg, dx, dy float64) []mm {
	s, c := math.Sincos(deg * math.Pi / 180)
	out := make([]mm, len(pts))
	for i, p := range pts {
		x, y := float64(p.X), float64(p.Y)
		out[i] = mm{units.MM(x*c - y*s + dx), units.MM(x*s + y*c + dy)}
	}
	return out
}

// Laws: turning and moving change neither radius nor axes; a mirror changes
// the sign of the tilt only; a scale multiplies every length.
func TestFitLaws(t *testing.T) {
	rim := []mm{{12, 1}, {9, 7}, {1, 9.5}, {-8, 6}, {-12, -2}, {-3, -9}, {8, -6.5}}
	c0, err1 := FitCircle(rim)
	e0, err2 := FitEllipse(rim)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for _, deg := range []float64{0, 17, 45, 90, 133, 180, 270} {
		p := moved(rim, deg, 400, -900)
		c, err1 := FitCircle(p)
		e, err2 := FitEllipse(p)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		near(t, "radius", float64(c.R), float64(c0.R), 1e-8, "law: rotation")
		near(t, "long", float64(e.Long), float64(e0.Long), 1e-8, "law: rotation")
		near(t, "short", float64(e.Short), float64(e0.Short), 1e-8, "law: rotation")
		turn := math.Mod(e.Tilt-e0.Tilt-deg+360*3+90, 180) - 90
		near(t, "tilt", turn, 0, 1e-6, "law: rotation")
	}
	var mirror, big []mm
	for _, p := range rim {
		mirror = append(mirror, mm{-p.X, p.Y})
		big = append(big, p.Times(250))
	}
	em, _ := FitEllipse(mirror)
	near(t, "mirrored long", float64(em.Long), float64(e0.Long), 1e-9, "law: mirror")
	near(t, "mirrored tilt", em.Tilt, -e0.Tilt, 1e-7, "law: mirror")
	eb, _ := FitEllipse(big)
	cb, _ := FitCircle(big)
	near(t, "scaled short", float64(eb.Short)/250, float64(e0.Short), 1e-9, "law: scale")
	near(t, "scaled radius", float64(cb.R)/250, float64(c0.R), 1e-9, "law: scale")
	near(t, "scaled rms", float64(cb.RMS)/250, float64(c0.RMS), 1e-9, "law: scale")
}

func FuzzFits(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 0.0, 0.0, 1.0, -1.0, 0.0, 0.5, 0.5)
	f.Add(1e300, 0.0, -1e300, 1.0, 0.0, 1e300, 1e-300, 2.0, 3.0, 4.0)
	f.Add(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Add(math.NaN(), math.Inf(1), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(0.0, 0.0, 1.0, 1e-12, 2.0, 0.0, 3.0, 1e-12, 4.0, 0.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j, k float64) {
		var pts []mm
		for _, v := range [][2]float64{{a, b}, {c, d}, {e, g}, {h, i}, {j, k}} {
			pts = append(pts, mm{units.MM(v[0]), units.MM(v[1])})
		}
		if o, err := FitCircle(pts); err == nil && (!o.Centre.Finite() || !(o.R > 0) || !(o.RMS >= 0) || math.IsInf(float64(o.R), 0)) {
			t.Errorf("FitCircle(%v) = %v", pts, o)
		}
		if o, err := CircleThrough(pts[0], pts[1], pts[2]); err == nil && (!o.Centre.Finite() || !(o.R > 0)) {
			t.Errorf("CircleThrough(%v) = %v", pts, o)
		}
		if o, err := FitEllipse(pts); err == nil && (!o.Centre.Finite() || !(o.Short > 0) || !(o.Long >= o.Short) || !(o.RMS >= 0)) {
			t.Errorf("FitEllipse(%v) = %v", pts, o)
		}
		if l, rms, err := FitLine(pts); err == nil && (!l.A.Finite() || !l.B.Finite() || !(rms >= 0)) {
			t.Errorf("FitLine(%v) = %v %v", pts, l, rms)
		}
	})
}
