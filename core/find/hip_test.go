package find

import (
	"encoding/json"
	"errors"
	"flag"
	"math"
	"testing"

	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/units"
)

// A phantom hip at 0.3 mm: head, neck and angle against its own truth, then
// mirrored.
func TestHip(t *testing.T) {
	for _, seed := range []uint64{5, 12} {
		s := hipFilm(seed)
		s.Row, s.Col, s.Width, s.Height = 0.3, 0.3, 600, 650
		f, err := phantom.Draw(femur(seed), s)
		if err != nil {
			t.Fatal(err)
		}
		g, tr := greyOf(f), f.Truth
		mm := float64(tr.Col)
		a, b := tr.Profile[0].Axis, tr.Profile[7].Axis
		h, err := Head(g, tr.Head.Centre.Plus(px(20, -15)))
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		r := float64(tr.Head.Long+tr.Head.Short) / 4 / float64(s.Col)
		if !(math.Abs(float64(h.R)-r) < 1) || geom.Dist(h.Centre, tr.Head.Centre) > 1.5 || h.Seen < leastHeadRim || len(h.Rim) > headRays {
			t.Errorf("seed %d: %v %.2f, want %v %.2f", seed, h.Centre, h.R, tr.Head.Centre, r)
		}
		n, err := Neck(g, h, a, b)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		if math.Abs(float64(n.Outer)*mm-float64(tr.Neck.SeenOuter)) > 0.7 || math.Abs(float64(n.Inner)*mm-float64(tr.Neck.SeenInner)) > 0.7 ||
			geom.Dist(n.Upper, tr.Neck.InnerUpper) > 12 || geom.Dist(n.Lower, tr.Neck.InnerLower) > 12 || math.Abs(n.AngleDeg-float64(tr.NSASeen)) > 2.5 {
			t.Errorf("seed %d: %+v, want %+v %v", seed, n, tr.Neck, tr.NSASeen)
		}
		flip := func(q pt) pt { return pt{X: units.Px(g.Width-1) - q.X, Y: q.Y} }
		m := mirrored(g)
		h2, err := Head(m, flip(h.Centre))
		if err != nil || math.Abs(float64(h2.R-h.R)) > 0.4 || geom.Dist(h2.Centre, flip(h.Centre)) > 0.6 {
			t.Errorf("seed %d: mirrored %v %v %v, want %v %v", seed, h2.Centre, h2.R, err, flip(h.Centre), h.R)
			continue
		}
		n2, err := Neck(m, h2, flip(a), flip(b))
		if err != nil || math.Abs(n2.AngleDeg-n.AngleDeg) > 1 || math.Abs(float64(n2.Outer-n.Outer)) > 1 {
			t.Errorf("seed %d: mirrored neck %+v %v, want %+v", seed, n2, err, n)
		}
	}
}

// A real hip from the side: the head read by hand off the picture lies at
// (904, 873) with a radius of 141 px, to 3 px; its shaft points at the head,
// so that no neck can be told. Elsewhere there is no head, and no shaft.
func TestRealHip(t *testing.T) {
	g := film(t, "films/real/RG2_JPLL.dcm")
	for _, tap := range []pt{px(904, 870), px(860, 860), px(1000, 830)} {
		h, err := Head(g, tap)
		if err != nil || geom.Dist(h.Centre, px(904, 873)) > 4 || math.Abs(float64(h.R)-141) > 4 {
			t.Errorf("head from %v: %v %v %v", tap, h.Centre, h.R, err)
			continue
		}
		if n, err := Neck(g, h, px(1240, 1135), px(1400, 1275)); why(err) != "beside" {
			t.Errorf("a neck on a frog-leg lateral: %+v %v", n, err)
		}
	}
	for _, tap := range []pt{px(600, 1050), px(430, 720), px(300, 1060), px(1300, 1190), px(1500, 300), px(700, 900)} {
		if h, err := Head(g, tap); err == nil {
			t.Errorf("a head at %v from %v, where there is none", h.Centre, tap)
		}
	}
	for _, p := range [][2]pt{{px(740, 700), px(700, 950)}, {px(360, 100), px(360, 700)}, {px(200, 200), px(1200, 2000)}} {
		if s, err := Trace(g, p[0], p[1], nil); err == nil {
			t.Errorf("a shaft between %v: %.0f %% measured", p, 100*s.Seen)
		}
	}
}

func TestHipRefuses(t *testing.T) {
	g := scene{w: 200, h: 200, blur: 1, noise: 0.01, log: true, top: 4000, fine: 2, thick: func(x, y float64) float64 { return 1 }}.draw(4)
	nan := units.Px(math.NaN())
	for _, tt := range []struct {
		name string
		g    Grey
		tap  pt
		want string
	}{
		{"no film", Grey{}, px(3, 3), "picture"},
		{"off the film", g, px(-9, 3), "outside"},
		{"no number", g, pt{X: nan, Y: nan}, "outside"},
		{"nothing there", g, px(100, 100), "none broken"},
	} {
		if _, err := Head(tt.g, tt.tap); !oneOf(tt.want, why(err)) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
	h := HipHead{Centre: px(60, 60), R: 30, RU: 1, Slip: 1}
	for _, tt := range []struct {
		name string
		h    HipHead
		a, b pt
		want string
	}{
		{"no head", HipHead{}, px(120, 80), px(120, 190), "outside"},
		{"shaft off the film", h, px(120, 80), px(120, 290), "outside"},
		{"no shaft", h, px(120, 80), px(120, 80), "outside"},
		{"shaft through the head", h, px(62, 80), px(62, 190), "beside"},
		{"shaft far away", h, px(60, 199), px(199, 199), "beside none end"},
		{"upside down", h, px(120, 190), px(120, 80), "beside"},
		{"nothing there", h, px(120, 80), px(120, 190), "none end"},
	} {
		if _, err := Neck(g, tt.h, tt.a, tt.b); !oneOf(tt.want, why(err)) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// FuzzBone lays bytes over a small picture, as they are and with a pipe and a
// ball on top, and taps anywhere: no panic, every number a number, edges in
// order, every refusal with its words.
func FuzzBone(f *testing.F) {
	f.Add([]byte{}, uint16(0), uint16(0), 0.0, 0.0, 0.0, 0.0)
	f.Add([]byte{1, 2, 3}, uint16(160), uint16(250), 80.0, 5.0, 80.0, 240.0)
	f.Add([]byte("stripes and more "), uint16(150), uint16(220), 3.0, 60.0, 140.0, 200.0)
	f.Add([]byte{0, 0, 0, 0, 0, 0, 255, 0}, uint16(240), uint16(130), 6.0, 15.0, 1e308, -1e308)
	f.Add([]byte{255}, uint16(1), uint16(200), 0.0, 10.0, 0.0, 190.0)
	f.Fuzz(layBones)
}

// layBones looks for bone on bytes as a picture, and on a pipe and a ball over
// them.
func layBones(t *testing.T, b []byte, w, h uint16, ax, ay, bx, by float64) {
	g := Grey{Width: int(w % 260), Height: int(h % 260)}
	g.Pix = make([]uint16, g.Width*g.Height)
	for i := range g.Pix {
		if len(b) > 0 {
			g.Pix[i] = uint16(b[i%len(b)]) << (uint(b[i/7%len(b)]) % 9)
		}
	}
	bones(t, g, px(ax, ay), px(bx, by))
	mid := float64(g.Width) / 2
	for i := range g.Pix {
		x, y := float64(i%g.Width), float64(i/g.Width)
		g.Pix[i] = g.Pix[i]/16 + uint16(9000*ballThick(x, 0, mid, 0, 24, 1, 1)-5000*ballThick(x, 0, mid, 0, 11, 1, 1)+5000*ballThick(x, y, mid+40, 50, 30, 30, 1))
	}
	bones(t, g, px(mid, 4), px(mid, float64(g.Height)-5))
}

var many = flag.Int("many", 5, "how many random pictures bone is looked for on")

// A fuzzer counts every branch and sees few pictures in ten minutes; this sees
// thousands: -run ManyBones -many 2000 -timeout 0.
func TestManyBones(t *testing.T) {
	c := chance.New(uint64(*many))
	for range *many {
		b := make([]byte, 1+int(c.Between(0, 400)))
		for i := range b {
			b[i] = byte(c.Between(0, 256))
		}
		at := func() float64 { return c.Between(-20, 280) }
		layBones(t, b, uint16(c.Between(1, 260)), uint16(c.Between(1, 260)), at(), at(), at(), at())
	}
}

func bones(t *testing.T, g Grey, a, b pt) {
	t.Helper()
	check := func(what string, v any, err error) {
		var e *Refusal
		if err != nil {
			if !errors.As(err, &e) || refusals[e.Why] == "" {
				t.Fatalf("%s: %v", what, err)
			}
			return
		}
		if _, err := json.Marshal(v); err != nil { // refuses what is no number
			t.Fatalf("%s: %+v: %v", what, v, err)
		}
	}
	s, err := Trace(g, a, b, nil)
	check("trace", s, err)
	for i, l := range s.Levels {
		if (l.Out == "") != (len(l.Edge) == 4) || len(l.Slip) != len(l.Edge) {
			t.Fatalf("level %d: %+v", i, l)
		}
	}
	if len(s.Levels) > 0 {
		fixed, err := Trace(g, a, b, []Fix{{InnerLeft, geom.Mid(a, b)}, {OuterRight, b}})
		check("fixed", fixed, err)
	}
	check("profile", s.Profile(24), nil)
	is, err := s.Isthmus()
	check("isthmus", is, err)
	arc, err := s.Bow()
	check("bow", arc, err)
	at, err := s.At(a, 40)
	check("at", at, err)
	i, u, err := at.CorticalIndex()
	check("index", []float64{i, u}, err)
	head, err := Head(g, b)
	check("head", head, err)
	neck, err := Neck(g, HipHead{Centre: a, R: 30, RU: 1, Slip: 1}, geom.Mid(a, b), b)
	check("neck", neck, err)
}

func BenchmarkHead(b *testing.B) {
	g := film(b, "films/real/RG2_JPLL.dcm")
	for b.Loop() {
		if _, err := Head(g, px(904, 870)); err != nil {
			b.Fatal(err)
		}
	}
}
