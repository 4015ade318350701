package calibrate

import (
	"errors"
	"math"
	"strings"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// camera is a pinhole camera that looks at the middle of a film: an
// independent model, from film millimetres about the middle to photo pixels.
type camera struct {
	f, away           float64 // px, mm
	tilt, about, roll float64 // degrees; about: direction of the axis in the film, 0 along its width
	k                 float64 // barrel of the lens, at a radius of f
	off               geom.Pt[units.Px]
}

const photoW, photoH = 3000, 4000

func (c camera) snap(x, y float64) geom.Pt[units.Px] {
	const rad = math.Pi / 180
	sa, ca := math.Sincos(c.about * rad)
	st, ct := math.Sincos(c.tilt * rad)
	along, across := x*ca+y*sa, y*ca-x*sa
	z := c.away + across*st
	across *= ct
	u, v := along*ca-across*sa, along*sa+across*ca
	sr, cr := math.Sincos(c.roll * rad)
	u, v = (u*cr-v*sr)/z, (u*sr+v*cr)/z
	bend := 1 + c.k*(u*u+v*v)
	return at((photoW-1)/2.0+c.f*u*bend, (photoH-1)/2.0+c.f*v*bend).Plus(c.off)
}

var large = FilmSize{350, 430}

// photo returns the photo of a film of that size, corners placed without slip
// but said to have one.
func (c camera) photo(s FilmSize, slip units.Px) Photo {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	p := Photo{Width: photoW, Height: photoH, Film: &s}
	for i, q := range [4][2]float64{{-w, -h}, {w, -h}, {w, h}, {-w, h}} {
		p.Corners[i] = Corner{c.snap(q[0], q[1]), slip}
	}
	return p
}

func (c camera) edges(p Photo, s FilmSize, slip units.Px) Photo {
	w, h := float64(s.Width)/2, float64(s.Height)/2
	for _, t := range []float64{-0.5, 0, 0.5} {
		p.Edges[0] = append(p.Edges[0], c.snap(t*2*w*0.9, -h))
		p.Edges[1] = append(p.Edges[1], c.snap(w, t*2*h*0.9))
		p.Edges[2] = append(p.Edges[2], c.snap(t*2*w*0.9, h))
		p.Edges[3] = append(p.Edges[3], c.snap(-w, t*2*h*0.9))
	}
	p.EdgeSlip = slip
	return p
}

func straight(t *testing.T, p Photo) Rectified {
	t.Helper()
	r, err := p.Rectify()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func px(v float64) *units.Px { u := units.Px(v); return &u }

func TestPhotoOfATiltedPhone(t *testing.T) {
	for _, tt := range []struct{ tilt, least, most, vary float64 }{
		{0, 1, 1, 0},
		{5, 0.9697, 1.0322, 0.0625},
		{10, 0.94142, 1.06635, 0.1249}, // by hand: 600/(600 ± 215·sin 10°)
	} {
		const source = " (facts 1.4: 600 mm over a film of 430 mm)"
		p := camera{f: 3500, away: 600, tilt: tt.tilt}.photo(large, 1)
		p.Focal = px(3500)
		r := straight(t, p)
		testkit.Near(t, "least"+source, r.Range.Least, tt.least, 5e-5)
		testkit.Near(t, "most"+source, r.Range.Most, tt.most, 5e-5)
		testkit.Near(t, "between the ends"+source, r.Range.Most-r.Range.Least, tt.vary, 5.1e-5)
		testkit.Near(t, "tilt", float64(r.Tilt.Best), tt.tilt, 1e-6)
		testkit.Near(t, "width over height (by hand: 35/43)", r.Aspect.Best, 350.0/430, 1e-9)
	}
}

// What is straight and what has a ratio on the film has them again, whatever
// the camera did; a ruler then gives true millimetres everywhere.
func TestPhotoGivesTrueLengths(t *testing.T) {
	for _, c := range []camera{
		{f: 3500, away: 600},
		{f: 3000, away: 500, tilt: 12, about: 30, roll: 4},
		{f: 5000, away: 900, tilt: 25, about: 90, roll: -8},
		{f: 2500, away: 550, tilt: 8, about: -60, roll: 3},
	} {
		r := straight(t, c.photo(large, 1))
		s, _, err := r.Ruler(c.snap(-160, -180), c.snap(-160, -80), 0.5, 100, atBone)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range [][4]float64{{0, -200, 0, 200}, {-150, 100, 150, 100}, {-100, -150, 120, 190}, {20, 20, 30, 20}} {
			got, err := s.Length(c.snap(l[0], l[1]), c.snap(l[2], l[3]), 1, 1)
			if err != nil {
				t.Fatal(err)
			}
			want := math.Hypot(l[2]-l[0], l[3]-l[1])
			testkit.Near(t, "length (a camera drawn point by point)", float64(got.Best), want, 1e-8*want)
			if !(got.Own > 0 && got.Shared > 0) {
				t.Errorf("no doubt: %+v", got)
			}
		}
		ball := make([]geom.Pt[units.Px], 12)
		for i := range ball {
			sin, cos := math.Sincos(float64(i) * math.Pi / 6)
			ball[i] = c.snap(100+12.5*cos, -120+12.5*sin)
		}
		b, _, err := r.Ball(ball, 0.5, 25, atBone)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "the ball agrees with the ruler (law)", float64(b.Plane.Col/s.Plane.Col), 1, 1e-6)
		d, _, err := r.Disc(ball, 0.5, 25, atBone)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "so does the disc (law)", float64(d.Plane.Col/s.Plane.Col), 1, 1e-6)
	}
}

// A film of unknown size: the perspective along both sides gives its shape.
func TestPhotoOfAnUnknownFilm(t *testing.T) {
	for _, s := range []FilmSize{large, {300, 240}, {350, 350}} {
		c := camera{f: 3200, away: 480, tilt: 24, about: 40}
		p := c.photo(s, 0.5)
		p.Film = nil
		r := straight(t, p)
		testkit.Near(t, "width over height (camera drawn point by point)", r.Aspect.Best, float64(s.Width/s.Height), 1e-6)
		testkit.Near(t, "focal length", float64(r.Focal), 3200, 1e-3)
		testkit.Near(t, "tilt", float64(r.Tilt.Best), 24, 1e-6)
		if !(r.Aspect.U > 0.0005 && r.Aspect.U < 0.02) || r.FilmPlane().Col != 0 {
			t.Errorf("doubt of the shape %v, plane %v", r.Aspect.U, r.FilmPlane())
		}
	}
	// straight in front nothing is known, unless the lens is
	p := camera{f: 3200, away: 600}.photo(large, 0.5)
	p.Film, p.Focal = nil, px(3200)
	testkit.Near(t, "with a known lens", straight(t, p).Aspect.Best, 350.0/430, 1e-9)
}

func sameSize(a, b Plane) bool { return a.Col == b.Col && a.Row == b.Row && a.Origin == b.Origin }

// A known film size is no scale of the bone.
func TestFilmSizeIsNoScale(t *testing.T) {
	c := camera{f: 3500, away: 600, tilt: 10}
	r := straight(t, c.photo(large, 1))
	f := r.FilmPlane()
	if f.Origin != AtDetector || f.Usable() {
		t.Errorf("origin %q, usable %v", f.Origin, f.Usable())
	}
	testkit.Near(t, "size of a film pixel (by hand)", float64(f.Col*units.MM(r.Width)), 350, 1e-9)
	var miss *MissingError
	if _, err := r.On(f); !errors.As(err, &miss) {
		t.Errorf("the film's own plane measures bone: %v", err)
	}
	s, err := r.On(Plane{Row: f.Row / 1.15, Col: f.Col / 1.15, Rel: 0.02, Origin: FromBallMark})
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Length(c.snap(0, -200), c.snap(0, 200), 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "400 mm of film at a magnification of 1.15 (by hand)", float64(l.Best), 400/1.15, 1e-6)
	if !(l.Shared >= 0.02*l.Best) {
		t.Errorf("shared doubt %v is less than the scale's", l.Shared)
	}
	for _, bad := range []Plane{{}, {Row: 0.1, Col: 0.2, Rel: 0.01, Origin: FromRuler}} {
		if _, err := r.On(bad); err == nil {
			t.Errorf("%+v measures", bad)
		}
	}
}

func TestEdgesShowABentLens(t *testing.T) {
	c := camera{f: 3500, away: 600, tilt: 6, about: 20}
	r := straight(t, c.edges(c.photo(large, 1), large, 1))
	if !r.Checked || !(r.Residual < 1e-9) {
		t.Errorf("a straight lens: checked %v, residual %v", r.Checked, r.Residual)
	}
	plain := straight(t, c.photo(large, 1))
	if plain.Checked || !(plain.lens > r.lens) {
		t.Errorf("unchecked %v allows %v, checked %v", plain.Checked, plain.lens, r.lens)
	}
	// by hand, straight in front: the bow of a long side is k·d·a² with
	// d = 175/600, a = 215/600: 0.001873 of a side 0.7167·(1 + 0.05·0.2135)
	c = camera{f: 3500, away: 600, k: 0.05}
	r = straight(t, c.edges(c.photo(large, 1), large, 1))
	testkit.Near(t, "bow of the worst side (by hand)", r.Residual, 0.002585, 3e-5)
	testkit.Near(t, "doubt (by hand: 2·bow/√3, and a little for slips)", r.lens, 2*0.002585/math.Sqrt(3), 2e-4)
	c.k = 0.3
	var e *ResidualError
	if _, err := c.edges(c.photo(large, 1), large, 1).Rectify(); !errors.As(err, &e) {
		t.Errorf("a lens bent by far: %v", err)
	}
}

func TestPhotoRefuses(t *testing.T) {
	c := camera{f: 3500, away: 600, tilt: 10, about: 30}
	nan := units.Px(math.NaN())
	for _, tt := range []struct {
		name string
		make func() Photo
		code string
	}{
		{"nothing", func() Photo { return Photo{} }, "calibrate-range"},
		{"tilted by 40°", func() Photo { return camera{f: 3500, away: 900, tilt: 40}.photo(large, 1) }, "calibrate-photo-tilt"},
		{"near and tilted", func() Photo { return camera{f: 1500, away: 330, tilt: 28, about: 45}.photo(large, 1) }, "calibrate-photo-tilt"},
		{"far away", func() Photo { return camera{f: 3500, away: 6000}.photo(large, 1) }, "calibrate-photo-small"},
		{"crossed", func() Photo {
			p := c.photo(large, 1)
			p.Corners[1], p.Corners[2] = p.Corners[2], p.Corners[1]
			return p
		}, "map-crossed"},
		{"the other way round", func() Photo {
			p := c.photo(large, 1)
			p.Corners[1], p.Corners[3] = p.Corners[3], p.Corners[1]
			return p
		}, "map-mirrored"},
		{"three on a line", func() Photo {
			p := c.photo(large, 1)
			p.Corners[1].At = geom.Mid(p.Corners[0].At, p.Corners[2].At)
			return p
		}, "map-collinear"},
		{"no number", func() Photo { p := c.photo(large, 1); p.Corners[2].At.X = nan; return p }, "calibrate-range"},
		{"corner outside", func() Photo { p := c.photo(large, 1); p.Corners[0].At.X = -5; return p }, "calibrate-range"},
		{"no slip", func() Photo { return c.photo(large, 0) }, "calibrate-range"},
		{"rough corners", func() Photo { return c.photo(large, 40) }, "calibrate-photo-residual"},
		{"lying film said to stand", func() Photo {
			p := c.photo(large, 1)
			p.Film = &FilmSize{430, 350}
			return p
		}, "calibrate-photo-shape"},
		{"film of 2 m", func() Photo { p := c.photo(large, 1); p.Film = &FilmSize{350, 2000}; return p }, "calibrate-range"},
		{"no lens", func() Photo { p := c.photo(large, 1); p.Focal = px(0); return p }, "calibrate-range"},
		{"unknown, straight in front", func() Photo {
			p := camera{f: 3500, away: 600}.photo(large, 1)
			p.Film = nil
			return p
		}, "calibrate-photo-cannot-tell"},
		{"unknown, tilted along one side only", func() Photo {
			p := camera{f: 3500, away: 600, tilt: 20}.photo(large, 1)
			p.Film = nil
			return p
		}, "calibrate-photo-cannot-tell"},
		{"edge points without slip", func() Photo { return c.edges(c.photo(large, 1), large, 0) }, "calibrate-range"},
		{"edge point beside the film", func() Photo {
			p := c.edges(c.photo(large, 1), large, 1)
			p.Edges[0][0] = at(5, 5)
			return p
		}, "calibrate-photo-off-film"},
	} {
		_, err := tt.make().Rectify()
		var e interface{ Code() string }
		if !errors.As(err, &e) || e.Code() != tt.code {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.code)
		} else if s := err.Error(); strings.Count(s, ":") < 2 || strings.Contains(s, "NaN") {
			t.Errorf("%s: %q", tt.name, s)
		}
	}
}

func TestPointsOfAPhotoRefuse(t *testing.T) {
	c := camera{f: 3500, away: 600, tilt: 10, about: 30}
	r := straight(t, c.photo(large, 1))
	s, _, err := r.Ruler(c.snap(-160, -180), c.snap(-160, -80), 0.5, 100, atBone)
	if err != nil {
		t.Fatal(err)
	}
	in := c.snap(0, 0)
	_, none := PhotoScale{}.Length(in, in, 1, 1)
	_, _, nothing := Rectified{}.Point(in, 1)
	length := func(q geom.Pt[units.Px], slip units.Px) error { _, err := s.Length(in, q, 1, slip); return err }
	_, _, small := r.Ball([]geom.Pt[units.Px]{in, in.Plus(at(10, 0)), in.Plus(at(0, 10))}, 1, 25, atBone)
	_, _, beside := r.Ruler(in, at(1, 1), 1, 100, atBone)
	for _, tt := range []struct {
		name string
		err  error
		code string
	}{
		{"beside the film", length(at(1, 1), 1), "calibrate-photo-off-film"},
		{"no number", length(at(math.NaN(), 1), 1), "map-not-finite"},
		{"slip no number", length(in, units.Px(math.NaN())), "calibrate-range"},
		{"no scale", none, "calibrate-missing"},
		{"no map", nothing, "map-none"},
		{"ball too small", small, "calibrate-small-marker"},
		{"ruler beside the film", beside, "calibrate-photo-off-film"},
	} {
		var e interface{ Code() string }
		if !errors.As(tt.err, &e) || e.Code() != tt.code {
			t.Errorf("%s: %v, want %s", tt.name, tt.err, tt.code)
		}
	}
	if l, err := s.Length(in, in, 1, 1); err != nil || l.Best != 0 || !(l.Own > 0) {
		t.Errorf("a point to itself: %+v, %v; want no length with a doubt", l, err)
	}
}

func TestCommonFilms(t *testing.T) {
	for _, f := range CommonFilms() {
		r := straight(t, camera{f: 3200, away: 600, tilt: 5}.photo(f, 1))
		if !sameSize(r.FilmPlane(), Plane{Row: f.Width / units.MM(r.Width), Col: f.Width / units.MM(r.Width), Origin: AtDetector}) {
			t.Errorf("%v: plane %+v", f, r.FilmPlane())
		}
	}
	CommonFilms()[0].Width = 1
	if CommonFilms()[0].Width != 180 {
		t.Error("a caller can change the list")
	}
}

// photoNotices shows every notice of a photo.
func photoNotices(use func([]Notice)) {
	c := camera{f: 3200, away: 480, tilt: 24, about: 40}
	p := c.photo(large, 0.5)
	p.Film = nil
	r, _ := p.Rectify()
	use(r.Notices)
	p.Film = &FilmSize{380, 430}
	r, _ = p.Rectify()
	use(r.Notices)
	r, _ = camera{f: 3200, away: 600}.photo(large, 1).Rectify()
	use(r.Notices)
}

func FuzzPhoto(f *testing.F) {
	add := func(p Photo, w, h, focal float64) {
		c := p.Corners
		f.Add(float64(c[0].At.X), float64(c[0].At.Y), float64(c[1].At.X), float64(c[1].At.Y), float64(c[2].At.X), float64(c[2].At.Y), float64(c[3].At.X), float64(c[3].At.Y), 1.0, w, h, focal)
	}
	add(camera{f: 3200, away: 480, tilt: 24, about: 40}.photo(large, 1), 0, 0, 0)
	add(camera{f: 3200, away: 600, tilt: 4}.photo(large, 1), 350, 430, 0)
	add(camera{f: 3200, away: 600, tilt: 4}.photo(large, 1), 350, 430, 3200)
	add(Photo{}, math.NaN(), math.Inf(1), -1)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, slip, w, tall, focal float64) {
		p := Photo{Width: photoW, Height: photoH, EdgeSlip: 1}
		for k, q := range []geom.Pt[units.Px]{at(a, b), at(c, d), at(e, g), at(h, i)} {
			p.Corners[k] = Corner{q, units.Px(slip)}
		}
		p.Edges[1] = []geom.Pt[units.Px]{geom.Mid(p.Corners[1].At, p.Corners[2].At)}
		if w != 0 {
			p.Film = &FilmSize{units.MM(w), units.MM(tall)}
		}
		if focal != 0 {
			p.Focal = px(focal)
		}
		r, err := p.Rectify()
		if err != nil {
			if strings.Contains(err.Error(), "NaN") {
				t.Errorf("%v", err)
			}
			return
		}
		for _, v := range []float64{float64(r.Width), float64(r.Height), r.Aspect.Best, r.Aspect.U, float64(r.Tilt.Best), float64(r.Tilt.Own), r.Range.Least, r.Range.Most, r.Residual, r.lens, float64(r.FilmPlane().Rel), float64(r.Focal)} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%+v holds %v", r, v)
			}
		}
		s, _, err := r.Ruler(p.Corners[0].At, p.Corners[2].At, 1, 100, atBone)
		if err != nil {
			return
		}
		if l, err := s.Length(p.Corners[1].At, p.Corners[3].At, 1, 1); err == nil && !l.Finite() {
			t.Errorf("length %+v", l)
		}
	})
}
