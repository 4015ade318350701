package calibrate

import (
	"math"
	"testing"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// dice is a small generator with a fixed seed (Marsaglia 2003, xorshift64, from
// memory), so that a test draws the same photos everywhere.
type dice uint64

func (d *dice) flat() float64 {
	x := uint64(*d)
	x ^= x << 13
	x ^= x >> 7
	x ^= x << 17
	*d = dice(x)
	return float64(x>>11) / (1 << 53)
}

// normal is the sum of twelve flat numbers less six.
func (d *dice) normal() float64 {
	s := -6.0
	for range 12 {
		s += d.flat()
	}
	return s
}

func (d *dice) slip(p geom.Pt[units.Px], s units.Px) geom.Pt[units.Px] {
	return p.Plus(at(float64(s)*d.normal(), float64(s)*d.normal()))
}

// tally counts how often the interval holds the truth, and the mean error.
type tally struct{ n, in, sum, spread, unsure float64 }

func (c *tally) add(l units.Length, truth float64) {
	e := float64(l.Best)/truth - 1
	c.n++
	c.sum += e
	c.spread += e * e
	c.unsure += float64(l.Doubt()) / truth
	if math.Abs(float64(l.Best)-truth) <= units.Sure*float64(l.Doubt()) {
		c.in++
	}
}

func (c tally) check(t *testing.T, what string, lo, hi float64, want int) {
	t.Helper()
	share, bias, sd := c.in/c.n, c.sum/c.n, math.Sqrt(c.spread/c.n)
	t.Logf("%s: %v photos, %.1f %% inside, bias %+.4f %%, spread %.3f %%, stated %.3f %%", what, c.n, share*100, bias*100, sd*100, c.unsure/c.n*100)
	if int(c.n) < want {
		t.Errorf("%s: only %v photos could be used", what, c.n)
	}
	if !(share >= lo && share <= hi) {
		t.Errorf("%s: %.1f %% of the intervals hold the truth, want %.0f to %.0f %%", what, share*100, lo*100, hi*100)
	}
	if !(math.Abs(bias) <= 4*sd/math.Sqrt(c.n)+0.0003) {
		t.Errorf("%s: bias %.4f %%", what, bias*100)
	}
}

// shot is one photo with every input slipped by chance as its doubt says.
func (d *dice) shot(c *camera, size FilmSize, slip units.Px) (Photo, FilmSize) {
	film := FilmSize{size.Width + units.MM(sizeDoubt*d.normal()), size.Height + units.MM(sizeDoubt*d.normal())}
	c.off = at(middleDoubt*photoH*d.normal(), middleDoubt*photoH*d.normal())
	p := c.edges(c.photo(film, slip), film, slip)
	p.Film = &size
	for i := range p.Corners {
		p.Corners[i].At = d.slip(p.Corners[i].At, slip)
	}
	for k := range p.Edges {
		for i := range p.Edges[k] {
			p.Edges[k][i] = d.slip(p.Edges[k][i], slip)
		}
	}
	return p, film
}

// Photos of films of known size, tilted by up to 25° about any axis: the
// stated intervals of about 95 % hold the truth as often as they say.
func TestChancePhotoOfKnownFilm(t *testing.T) {
	const slip, mark = 2.0, 1.5
	d := dice(20070315)
	var long, short, across, ball tally
	for range 1500 {
		c := camera{f: 3000 + 600*d.flat(), away: 620, tilt: 25 * d.flat(), about: 360 * d.flat(), roll: 10 * d.normal() / 3}
		p, _ := d.shot(&c, large, slip)
		r, err := p.Rectify()
		if err != nil {
			continue
		}
		// the true ruler is not quite 100 mm, nor quite at the depth of the bone
		film00 := 100 * (1 + 0.005*d.normal()) * (1 + 0.001*d.normal())
		s, _, err := r.Ruler(d.slip(c.snap(-140, -170), mark), d.slip(c.snap(-140, -170+film00), mark), mark, 100, atBone)
		if err != nil {
			t.Fatal(err)
		}
		length := func(into *tally, s PhotoScale, x0, y0, x1, y1 float64) {
			l, err := s.Length(d.slip(c.snap(x0, y0), mark), d.slip(c.snap(x1, y1), mark), mark, mark)
			if err != nil {
				t.Fatal(err)
			}
			into.add(l, math.Hypot(x1-x0, y1-y0))
		}
		length(&long, s, 10, -195, -20, 200)
		length(&short, s, 40, 60, 52, 60)
		length(&across, s, -150, 150, 150, 140)
		rim := make([]geom.Pt[units.Px], 12)
		radius := 12.5 * (1 + 0.005*d.normal()) * (1 + 0.004*d.normal())
		for i := range rim {
			sin, cos := math.Sincos(float64(i) * math.Pi / 6)
			rim[i] = d.slip(c.snap(90+radius*cos, -120+radius*sin), mark)
		}
		b, _, err := r.Ball(rim, mark, 25, atBone)
		if err != nil {
			t.Fatal(err)
		}
		length(&ball, b, 10, -195, -20, 200)
	}
	long.check(t, "400 mm by a ruler", 0.93, 0.98, 1200)
	short.check(t, "12 mm by a ruler", 0.93, 0.98, 1200)
	across.check(t, "300 mm across by a ruler", 0.93, 0.98, 1200)
	ball.check(t, "400 mm by a ball", 0.93, 1, 1200)
}

// Photos of films of unknown size that can be told, with a lens that looks
// beside the middle as often as it is allowed to.
func TestChancePhotoOfUnknownFilm(t *testing.T) {
	const slip, mark = 1.5, 1.5
	d := dice(424242)
	var long, across, shape tally
	refused := 0
	for range 1500 {
		c := camera{f: 3000, away: 560, tilt: 20 + 8*d.flat(), about: 30 + 30*d.flat()}
		p, film := d.shot(&c, large, slip)
		p.Film = nil
		r, err := p.Rectify()
		if err != nil {
			refused++
			continue
		}
		film00 := 100 * (1 + 0.005*d.normal()) * (1 + 0.001*d.normal())
		s, _, err := r.Ruler(d.slip(c.snap(-120, -100), mark), d.slip(c.snap(-120+film00, -100), mark), mark, 100, atBone)
		if err != nil {
			t.Fatal(err)
		}
		l, err := s.Length(d.slip(c.snap(10, -195), mark), d.slip(c.snap(-20, 200), mark), mark, mark)
		if err != nil {
			t.Fatal(err)
		}
		long.add(l, math.Hypot(30, 395))
		if l, err = s.Length(d.slip(c.snap(-150, 150), mark), d.slip(c.snap(150, 140), mark), mark, mark); err != nil {
			t.Fatal(err)
		}
		across.add(l, math.Hypot(300, 10))
		shape.add(units.Length{Best: units.MM(r.Aspect.Best), Own: units.MM(r.Aspect.U)}, float64(film.Width/film.Height))
	}
	t.Logf("%d refused", refused)
	long.check(t, "400 mm at right angles to the ruler", 0.93, 1, 500)
	across.check(t, "300 mm along the ruler", 0.93, 1, 500)
	shape.check(t, "width over height", 0.93, 1, 500)
}
