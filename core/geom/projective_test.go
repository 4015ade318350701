package geom

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

type (
	px   = Pt[units.Px]
	flat = Projective[units.Px, units.Px]
)

var square = Quad[units.Px]{{0, 0}, {1, 0}, {1, 1}, {0, 1}}

func mapTo(t *testing.T, from, to Quad[units.Px]) flat {
	t.Helper()
	h, err := ProjectiveThrough(from, to)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func lands(t *testing.T, what string, h flat, p, want px, tol float64, source string) {
	t.Helper()
	q, err := h.Apply(p)
	if err != nil {
		t.Errorf("%s: %v", what, err)
	}
	near(t, what+" x", float64(q.X), float64(want.X), tol, source)
	near(t, what+" y", float64(q.Y), float64(want.Y), tol, source)
}

func TestProjectiveFromSquareByHand(t *testing.T) {
	// by hand: (0,0) (4,0) (3,2) (1,2). d1 = (1,−2), d2 = (−2,0), Σ = (−2,0),
	// D = 1·0 − (−2)(−2) = −4, g = (−2·0 − (−2)·0)/D = 0,
	// h = (1·0 − (−2)(−2))/D = 1; x' = (4u + (1+1)v)/(v+1), y' = (2+2)v/(v+1)
	h, err := ProjectiveFromSquare[units.Px](Quad[units.Px]{{0, 0}, {4, 0}, {3, 2}, {1, 2}})
	if err != nil {
		t.Fatal(err)
	}
	want := [3][3]float64{{4, 2, 0}, {0, 4, 0}, {0, 1, 1}}
	for i, row := range h.Matrix() {
		for j, v := range row {
			near(t, "matrix", v, want[i][j]/4, 1e-15, "by hand, Heckbert 1989 (from memory)")
		}
	}
	lands(t, "where the diagonals cross", h, px{0.5, 0.5}, px{2, 4.0 / 3}, 1e-14,
		"by hand: y = 2x/3 meets y = 2(4−x)/3 at x = 2, y = 4/3")
}

// straight lines meet where they met before: an independent check of the
// middle of the square, by the crossing of the diagonals.
func TestMiddleIsWhereDiagonalsCross(t *testing.T) {
	for i, c := range reference(t).Exact {
		q := c.quad(c.To)
		h, err := ProjectiveFromSquare[units.Px](q)
		if err != nil {
			t.Fatal(err)
		}
		want, ok := Meet(Line[units.Px]{q[0], q[2]}, Line[units.Px]{q[1], q[3]})
		if !ok {
			t.Fatalf("case %d: diagonals do not cross", i)
		}
		lands(t, "middle", h, px{0.5, 0.5}, want, 1e-7, "geometry: a projective map keeps crossings")
	}
}

type refCase struct{ From, To, Matrix []float64 }

func points(v []float64) (out []px) {
	for i := 0; i+1 < len(v); i += 2 {
		out = append(out, px{units.Px(v[i]), units.Px(v[i+1])})
	}
	return out
}

func (c refCase) quad(v []float64) Quad[units.Px] { return Quad[units.Px](points(v)) }

func reference(t *testing.T) (out struct {
	Tool  string
	Exact []refCase
	Least []refCase `json:"least_squares"`
}) {
	t.Helper()
	if err := json.Unmarshal(testkit.Read(t, "reference/homography.json"), &out); err != nil {
		t.Fatal(err)
	}
	if len(out.Exact) < 16 || len(out.Least) < 8 {
		t.Fatalf("only %d and %d reference maps", len(out.Exact), len(out.Least))
	}
	return out
}

// compare maps the given points, and points between them, by both.
func compare(t *testing.T, i int, h flat, c refCase, tol float64, source string) {
	t.Helper()
	pts := points(c.From)
	for k := range pts {
		pts = append(pts, Mid(pts[k], pts[(k+1)%len(pts)]))
	}
	m := c.Matrix
	for _, p := range pts {
		x, y := float64(p.X), float64(p.Y)
		w := m[6]*x + m[7]*y + m[8]
		lands(t, source, h, p, px{units.Px((m[0]*x + m[1]*y + m[2]) / w), units.Px((m[3]*x + m[4]*y + m[5]) / w)}, tol, "homography.json")
	}
	got := h.Matrix()
	for j := range 9 {
		v := got[j/3][j%3] / got[2][2]
		if !(math.Abs(v-m[j]) <= tol*math.Max(1, math.Abs(m[j]))) {
			t.Errorf("case %d: matrix[%d] = %v, want %v", i, j, v, m[j])
		}
	}
}

func TestAgainstAnotherProgram(t *testing.T) {
	ref := reference(t)
	for i, c := range ref.Exact {
		compare(t, i, mapTo(t, c.quad(c.From), c.quad(c.To)), c, 2e-4, ref.Tool+", which misses its own corners by up to 1e-4 px")
	}
	for i, c := range ref.Least {
		h, rms, err := FitProjective(points(c.From), points(c.To))
		if err != nil {
			t.Fatalf("least squares %d: %v", i, err)
		}
		compare(t, i, h, c, 2e-3, ref.Tool+", which stops its steps early")
		// no map may fit better than the least squares
		sum := 0.0
		m := c.Matrix
		for k, p := range points(c.From) {
			x, y := float64(p.X), float64(p.Y)
			w := m[6]*x + m[7]*y + m[8]
			q := points(c.To)[k]
			sum += sq((m[0]*x+m[1]*y+m[2])/w-float64(q.X)) + sq((m[3]*x+m[4]*y+m[5])/w-float64(q.Y))
		}
		if theirs := math.Sqrt(sum / float64(len(c.From)/2)); !(float64(rms) <= theirs+1e-9) {
			t.Errorf("least squares %d: residual %v, the other program reached %v", i, rms, theirs)
		}
	}
}

func sq(v float64) float64 { return v * v }

func TestProjectiveLaws(t *testing.T) {
	ref := reference(t)
	for i, c := range ref.Exact {
		from, to := c.quad(c.From), c.quad(c.To)
		h := mapTo(t, from, to)
		inv, err := h.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		round, err := Compose(h, inv)
		if err != nil {
			t.Fatal(err)
		}
		next := ref.Exact[(i+1)%len(ref.Exact)]
		onward := mapTo(t, to, next.quad(next.To))
		both, err := Compose(h, onward)
		if err != nil {
			t.Fatal(err)
		}
		p := Mid(from[0], Mid(from[1], from[2]))
		q, err := h.Apply(p)
		if err != nil {
			t.Fatal(err)
		}
		lands(t, "there and back", inv, q, p, 1e-7, "law: inverse")
		lands(t, "map times inverse", round, p, p, 1e-7, "law: identity")
		r, _ := onward.Apply(q)
		lands(t, "both at once", both, p, r, 1e-6, "law: composition")
		j, err := h.Jacobian(p)
		if err != nil {
			t.Fatal(err)
		}
		const d = 1e-3
		right, _ := h.Apply(p.Plus(px{d, 0}))
		down, _ := h.Apply(p.Plus(px{0, d}))
		for k, want := range []px{right.Minus(q).Times(1 / d), down.Minus(q).Times(1 / d)} {
			near(t, "Jacobian x", j[0][k], float64(want.X), 1e-5, "law: finite difference")
			near(t, "Jacobian y", j[1][k], float64(want.Y), 1e-5, "law: finite difference")
		}
	}
	id := Identity[units.Px]()
	lands(t, "identity", id, px{123, -7}, px{123, -7}, 0, "by hand")
}

func TestAffineIsSpecial(t *testing.T) {
	// by hand: a parallelogram gives g = h = 0; x' = 10 + 3u + v, y' = 20 + u + 2v
	h := mapTo(t, square, Quad[units.Px]{{10, 20}, {13, 21}, {14, 23}, {11, 22}})
	m := h.Matrix()
	if m[2][0] != 0 || m[2][1] != 0 {
		t.Errorf("last row %v, want no horizon (by hand)", m[2])
	}
	lands(t, "far away", h, px{100, -50}, px{260, 20}, 1e-9, "by hand: 10+300−50, 20+100−100")
	j, _ := h.Jacobian(px{7, 7})
	for k, want := range []float64{3, 1, 1, 2} {
		near(t, "Jacobian", j[k/2][k%2], want, 1e-12, "by hand: the same everywhere")
	}
}

func TestProjectiveRefuses(t *testing.T) {
	nan, inf := units.Px(math.NaN()), units.Px(math.Inf(1))
	good := Quad[units.Px]{{0, 0}, {100, 5}, {90, 80}, {5, 90}}
	fit := func(from, to []px) error { _, _, err := FitProjective(from, to); return err }
	through := func(to Quad[units.Px]) error { _, err := ProjectiveThrough(square, to); return err }
	h := mapTo(t, square, Quad[units.Px]{{0, 0}, {4, 0}, {3, 2}, {1, 2}}) // horizon at v = −1
	apply := func(g flat, p px) error { _, err := g.Apply(p); return err }
	inverse := func(g flat) error { _, err := g.Inverse(); return err }
	_, noJ := h.Jacobian(px{0, -1})
	_, noC := Compose(flat{}, h)
	five := append(good[:], px{50, 50})
	line := []px{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}}
	grid := []px{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0.5, 0.25}}
	flipped := []px{{0, 1}, {1, 1}, {1, 0}, {0, 0}, {0.5, 0.75}}
	across := []px{}
	for _, p := range []px{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0.5, 0.3}, {0.25, 0.9}, {0.8, 0.6}} {
		across = append(across, p.Times(float64(1/(p.Y*2-1.1)))) // horizon at y = 0.55
	}
	srcs := []px{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0.5, 0.3}, {0.25, 0.9}, {0.8, 0.6}}
	for _, tt := range []struct {
		name string
		err  error
		code string
	}{
		{"three collinear", through(Quad[units.Px]{{0, 0}, {1, 1}, {2, 2}, {0, 3}}), "map-collinear"},
		{"one place", through(Quad[units.Px]{{1, 1}, {1, 1}, {1, 1}, {1, 1}}), "map-collinear"},
		{"two in one place", through(Quad[units.Px]{{1, 1}, {1, 1}, {5, 5}, {1, 6}}), "map-collinear"},
		{"crossed", through(Quad[units.Px]{{0, 0}, {1, 1}, {1, 0}, {0, 1}}), "map-crossed"},
		{"arrow: horizon inside", through(Quad[units.Px]{{0, 0}, {4, 0}, {1, 1}, {0, 4}}), "map-concave"},
		{"wrong way round", through(Quad[units.Px]{good[0], good[3], good[2], good[1]}), "map-mirrored"},
		{"not a number", through(Quad[units.Px]{{0, 0}, {1, nan}, {1, 1}, {0, 1}}), "map-not-finite"},
		{"infinite", through(Quad[units.Px]{{0, 0}, {inf, 0}, {1, 1}, {0, 1}}), "map-not-finite"},
		{"huge", through(Quad[units.Px]{{0, 0}, {1e300, 0}, {1e300, 1e300}, {0, 1e300}}), "map-collinear"},
		{"on the horizon", apply(h, px{0, -1}), "map-horizon"},
		{"behind the horizon", apply(h, px{3, -4}), "map-horizon"},
		{"Jacobian on the horizon", noJ, "map-horizon"},
		{"point is no number", apply(h, px{nan, 0}), "map-not-finite"},
		{"no map", apply(flat{}, px{1, 1}), "map-none"},
		{"inverse of none", inverse(flat{}), "map-none"},
		{"composed with none", noC, "map-none"},
		{"inverse of a fold", inverse(flat{[3][3]float64{{1, 0, 0}, {1, 0, 0}, {0, 0, 1}}}), "map-degenerate"},
		{"three pairs", fit(good[:3], good[:3]), "map-few"},
		{"uneven", fit(five, five[:4]), "map-uneven"},
		{"five on a line", fit(line, five), "map-degenerate"},
		{"five onto a line", fit(grid, line), "map-degenerate"},
		{"five in one place", fit(make([]px, 5), five), "map-degenerate"},
		{"fit of no number", fit([]px{{0, 0}, {1, 0}, {1, 1}, {nan, 1}, {2, 2}}, five), "map-not-finite"},
		{"fit mirrored", fit(grid, flipped), "map-mirrored"},
		{"horizon between the points", fit(srcs, across), "map-horizon"},
		{"fit of four crossed", fit(square[:], []px{{0, 0}, {1, 1}, {1, 0}, {0, 1}}), "map-crossed"},
	} {
		var e *MapError
		if !errors.As(tt.err, &e) || e.Code() != tt.code {
			t.Errorf("%s: %v, want %s", tt.name, tt.err, tt.code)
		} else if len(e.Error()) < 40 {
			t.Errorf("%s: %q says too little", tt.name, e.Error())
		}
	}
}

func FuzzProjective(f *testing.F) {
	f.Add(0.0, 0.0, 4.0, 0.0, 3.0, 2.0, 1.0, 2.0, 0.5, 0.5)
	f.Add(0.0, 0.0, 4.0, 0.0, 1.0, 1.0, 0.0, 4.0, 0.5, -1.0)
	f.Add(math.NaN(), 0.0, math.Inf(1), 0.0, 1e308, -1e308, 5e-324, 4.0, 1e300, -1.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, x, y float64) {
		q := Quad[units.Px]{{units.Px(a), units.Px(b)}, {units.Px(c), units.Px(d)}, {units.Px(e), units.Px(g)}, {units.Px(h), units.Px(i)}}
		p := px{units.Px(x), units.Px(y)}
		for _, m := range []func() (flat, error){
			func() (flat, error) { return ProjectiveThrough(square, q) },
			func() (flat, error) { return ProjectiveThrough(q, q) },
			func() (flat, error) {
				m, _, err := FitProjective(append(square[:], px{0.5, 0.5}), append(q[:], p))
				return m, err
			},
		} {
			m, err := m()
			if err != nil {
				continue
			}
			if out, err := m.Apply(p); err == nil && !out.Finite() {
				t.Errorf("%v maps %v to %v", m, p, out)
			}
			if j, err := m.Jacobian(p); err == nil && math.IsNaN(j[0][0]+j[1][1]+j[0][1]+j[1][0]) {
				t.Errorf("%v has the Jacobian %v at %v", m, j, p)
			}
			if inv, err := m.Inverse(); err == nil && !inv.Finite() {
				t.Errorf("%v has no finite inverse", m)
			}
		}
	})
}
