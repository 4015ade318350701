package find

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// greyOf is a phantom film as find takes it.
func greyOf(f *phantom.Film) Grey {
	return Grey{Width: f.Width, Height: f.Height, Pix: f.Pix, Inverted: f.Setup.Dark}
}

// femur is a random one; every third is broken across the shaft.
func femur(seed uint64) phantom.Femur {
	f, c := phantom.Random(seed), chance.New(seed+77)
	mm := func(lo, hi float64) units.MM { return units.MM(c.Between(lo, hi)) }
	if seed%3 == 0 {
		f.Break = phantom.Break{Level: f.Length * mm(0.32, 0.56), Gap: mm(0, 8), Oblique: units.Deg(c.Between(-50, 50)),
			Aside: mm(-8, 8), Front: mm(-8, 8), Bend: units.Deg(c.Between(-6, 6))}
	}
	return f
}

// shaftFilm and hipFilm are how the films of one random femur are made: 0.15 mm
// pixels, noise, blur, scatter, turn and detector by the seed.
func shaftFilm(seed uint64, v anatomy.View) phantom.Setup {
	s := anyFilm(seed, v, phantom.Whole)
	s.Width, s.Height, s.Aside = 1000, 2400, 0
	s.Balls, s.Ruler = nil, phantom.Ruler{}
	return s
}

func hipFilm(seed uint64) phantom.Setup {
	s := anyFilm(seed+1000, anatomy.AP, phantom.Upper)
	s.Width, s.Height, s.Down = 1200, 1300, 62
	out := units.MM(-1)
	if s.Side == anatomy.Left {
		out = 1
	}
	s.Aside = 25 * out
	s.Balls = []phantom.Ball{{Across: 25, Aside: 60 * out, Down: 55}}
	s.Ruler = phantom.Ruler{Length: 100, Aside: -64 * out, Down: 25}
	return s
}

func anyFilm(seed uint64, v anatomy.View, r phantom.Region) phantom.Setup {
	c := chance.New(seed*7 + 3)
	side := anatomy.Right
	if c.Between(0, 1) < 0.5 {
		side = anatomy.Left
	}
	s := phantom.Shoot(v, side, r)
	s.Letter = false
	s.Quanta *= c.Between(0.4, 2)
	s.Blur = units.MM(c.Between(0.08, 0.22))
	s.Scatter = c.Between(0.1, 0.5)
	s.Dark = c.Between(0, 1) < 0.3
	s.Linear = c.Between(0, 1) < 0.2
	s.Turn, s.Tilt, s.Lean = units.Deg(c.Between(-8, 8)), units.Deg(c.Between(-3, 3)), units.Deg(c.Between(-6, 6))
	s.Seed = seed
	return s
}

// cut returns where the line from a to b crosses a chain of places.
func cut(chain []pt, a, b pt) (pt, bool) {
	l := line{A: a, B: b}
	best, ok := pt{}, false
	for i := 1; i < len(chain); i++ {
		if geom.Dist(chain[i-1], chain[i]) > 60 {
			continue // a break
		}
		_, p, _ := l.Along(chain[i-1])
		_, q, _ := l.Along(chain[i])
		if p*q > 0 || p == q {
			continue
		}
		at := chain[i-1].Plus(chain[i].Minus(chain[i-1]).Times(float64(p / (p - q))))
		if !ok || geom.Dist(at, a) < geom.Dist(best, a) {
			best, ok = at, true
		}
	}
	return best, ok
}

// section is what the silhouettes of a phantom are along the line of two
// measured edges: outer, inner, inner, outer.
func section(t phantom.Truth, a, b pt) (e [4]pt, ok bool) {
	var chain [4][]pt
	for _, l := range t.Profile {
		for k, p := range [4]pt{l.OuterA, l.InnerA, l.InnerB, l.OuterB} {
			chain[k] = append(chain[k], p)
		}
	}
	m := geom.Mid(a, b)
	for k := range e {
		if e[k], ok = cut(chain[k], m, b); !ok {
			return e, false
		}
	}
	return e, true
}

var update = flag.Bool("update", false, "write testdata/reference/find-accuracy.txt over 300 phantoms")

// A row of the accuracy report: errors in their unit, and in stated standard
// uncertainties.
type row struct {
	name, unit string
	least      float64 // no error below it counts as wrong and confident
	e, z       []float64
	refused    int
	why        map[string]int // refusals by reason
}

func (r *row) add(got, want, u float64, err error) {
	if err != nil {
		r.refuse(reason(err))
		return
	}
	r.e, r.z = append(r.e, got-want), append(r.z, (got-want)/u)
}

// sums returns bias, standard deviation, root mean square, the worst error,
// the share within two standard uncertainties and how many are wrong and
// confident: over four of them and over the least.
func (r *row) sums() (bias, sd, rms, worst, in float64, wrong int) {
	n := float64(len(r.e))
	sq := 0.0
	for i, e := range r.e {
		bias, sq = bias+e/n, sq+e*e/n
		if math.Abs(e) > math.Abs(worst) {
			worst = e
		}
		if math.Abs(r.z[i]) <= units.Sure {
			in += 1 / n
		}
		if math.Abs(r.z[i]) > 4 && math.Abs(e) > r.least {
			wrong++
		}
	}
	return bias, math.Sqrt(math.Max(0, sq-bias*bias)), math.Sqrt(sq), worst, in, wrong
}

// A report is everything that is measured on phantoms.
type report struct {
	ball, ruler, canal, level, length, head, neck, angle, bow row
	hidden                                                    int
}

func newReport() *report {
	return &report{
		ball: row{name: "ball, diameter", unit: "px", least: 7}, ruler: row{name: "ruler, 100 mm", unit: "mm", least: 1},
		canal: row{name: "canal at the isthmus", unit: "mm", least: 1}, level: row{name: "level of the isthmus", unit: "mm", least: 1},
		length: row{name: "length by ball", unit: "mm", least: 1}, head: row{name: "head, diameter", unit: "mm", least: 1},
		neck: row{name: "neck, outer height", unit: "mm", least: 1}, angle: row{name: "neck–shaft angle", unit: "°", least: 1},
		bow: row{name: "bow, radius", unit: "mm", least: 1},
	}
}

func (r *report) rows() []*row {
	return []*row{&r.ball, &r.ruler, &r.canal, &r.level, &r.length, &r.head, &r.neck, &r.angle, &r.bow}
}

func (r *report) join(o *report) {
	r.hidden += o.hidden
	for i, w := range r.rows() {
		v := o.rows()[i]
		w.e, w.z = append(w.e, v.e...), append(w.z, v.z...)
		for why, n := range v.why {
			for range n {
				w.refuse(why)
			}
		}
	}
}

// both draws the films of one random femur and measures everything.
func (r *report) both(t *testing.T, seed uint64) {
	v := anatomy.AP
	if seed%2 == 0 {
		v = anatomy.Lateral
	}
	f := femur(seed)
	draw := func(s phantom.Setup) *phantom.Film {
		film, err := phantom.Draw(f, s)
		if err != nil {
			t.Error(err)
			return &phantom.Film{}
		}
		return film
	}
	c := chance.New(seed + 5000)
	if film := draw(shaftFilm(seed, v)); len(film.Pix) > 0 {
		r.shaft(f, film, c)
	}
	if film := draw(hipFilm(seed)); len(film.Pix) > 0 {
		r.hip(film, c)
	}
}

// slip is a tap that misses a place by some millimetres, as fingers do.
func slip(p pt, c *chance.Source, x, y float64) pt { return p.Plus(px(x*c.Normal(), y*c.Normal())) }

func (r *report) shaft(f phantom.Femur, film *phantom.Film, c *chance.Source) {
	t, g := film.Truth, greyOf(film)
	if b := f.Break; b.Level > 0 && max(b.Gap, b.Aside, -b.Aside, b.Front, -b.Front) < 0.5 {
		f.Break = phantom.Break{} // closed: the isthmus is seen although it runs through there
		if whole, err := phantom.Know(f, film.Setup); err == nil {
			t.SeenAt = whole.SeenAt
		}
	}
	mm := float64(t.Col)
	n := len(t.Profile)
	s, err := Trace(g, slip(t.Profile[3].Axis, c, 12, 20), slip(t.Profile[n-5].Axis, c, 12, 20), nil)
	is, b := Narrow{}, Arc{}
	if err == nil {
		is, err = s.Isthmus()
	}
	if err == nil && !(t.SeenAt.SeenInner > 0) {
		r.hidden++ // the isthmus lies in the break, and an answer was given
		err = refuse("isthmus", "hidden")
	}
	if err != nil && !(t.SeenAt.SeenInner > 0) {
		err = inBreak{err}
	}
	r.canal.add(float64(is.Inner)*mm, float64(t.SeenAt.SeenInner), float64(is.InnerU)*mm, err)
	axis := line{A: t.Profile[0].Axis, B: t.Profile[n-1].Axis}
	got, _, _ := axis.Along(geom.Mid(is.Edge[InnerLeft], is.Edge[InnerRight]))
	want, _, _ := axis.Along(t.SeenAt.Axis)
	r.level.add(float64(got)*mm, float64(want)*mm, float64(is.LevelU)*mm, err)
	if film.Setup.View != anatomy.Lateral {
		return
	}
	if b, err = s.Bow(); err == nil && b.R == nil {
		err = refuse("bow", "straight") // an answer without a radius
	}
	var mids []pt // the middle of the canal square to it: what a bow is
	for _, l := range s.Levels {
		if len(l.Edge) == 4 {
			if e, ok := section(t, l.Edge[InnerLeft], l.Edge[InnerRight]); ok {
				mids = append(mids, geom.Mid(e[1], e[2]))
			}
		}
	}
	if err != nil {
		r.bow.refuse(reason(err))
		return
	}
	arc, err := geom.FitCircle(mids)
	r.bow.add(float64(*b.R)*mm, float64(arc.R)*mm, float64(b.RU)*mm, err)
}

func (r *report) hip(film *phantom.Film, c *chance.Source) {
	t, g := film.Truth, greyOf(film)
	mm, col := float64(t.Col), float64(film.Setup.Col)
	true25 := t.Balls[0]
	size := float64(true25.Short) / col
	ball, err := Ball(g, slip(true25.Centre, c, 15, 15), RoundOptions{Raw: true})
	r.ball.add(float64(ball.Short), size, float64(ball.ShortU), err)
	if err == nil { // two known places, the scale from the ball: SOD/SID is in both
		a, b := t.At[anatomy.TrochanterTip].Film, t.Profile[0].Axis
		d := float64(geom.Dist(a, b))
		r.length.add(d*25/float64(ball.Short), d*25/size, d*25/size*float64(ball.ShortU/ball.Short), nil)
	} else {
		r.length.refuse(reason(err))
	}
	m := t.Marks
	sc, err := Ruler(g, slip(m[0], c, 1, 2), slip(m[len(m)-1], c, 1, 2), 0)
	long := float64(geom.Dist(m[0], m[len(m)-1])) / float64(len(m)-1)
	r.ruler.add(100*float64(sc.Spacing)/long, 100, 100*float64(sc.SpacingU)/long, err)
	rad := float64(t.Head.Long+t.Head.Short) / 4 / col
	h, err := Head(g, t.Head.Centre.Plus(px(c.Between(-0.4, 0.4)*rad, c.Between(-0.4, 0.4)*rad)))
	r.head.add(2*float64(h.R)*mm, 2*rad*mm, 2*float64(h.RU)*mm, err)
	var n HipNeck
	if err == nil {
		n, err = Neck(g, h, t.Profile[0].Axis, lowest(g, t))
	}
	r.neck.add(float64(n.Outer)*mm, float64(t.Neck.SeenOuter), float64(n.OuterU)*mm, err)
	r.angle.add(n.AngleDeg, float64(t.NSASeen), n.AngleUDeg, err)
}

// TestAccuracy holds a sample of random phantoms to the targets: ball 0.3 px of
// bias, canal 0.3 mm, level 5 mm, head 0.5 mm, angle 1°, no answer wrong and
// confident. With -update it writes the report over 300.
func TestAccuracy(t *testing.T) {
	many := uint64(6)
	if *update {
		many = 300
	}
	r := newReport()
	each := make([]*report, many)
	var wait sync.WaitGroup
	lanes := make(chan bool, 4)
	for i := range each {
		lanes <- true
		wait.Go(func() {
			each[i] = newReport()
			each[i].both(t, uint64(i)+1)
			<-lanes
		})
	}
	wait.Wait()
	for _, one := range each { // in order, so that the sums come out alike
		r.join(one)
	}
	out := r.text(many)
	for _, w := range r.rows() {
		if _, _, _, _, _, wrong := w.sums(); wrong > 0 {
			t.Errorf("%s: %d answers wrong and confident", w.name, wrong)
		}
		if len(w.e) < w.refused {
			t.Errorf("%s: %d answers, %d refused", w.name, len(w.e), w.refused)
		}
	}
	r.honest(t)
	if r.hidden > 0 {
		t.Errorf("%d answers for an isthmus that lies in the break", r.hidden)
	}
	t.Log("\n" + out)
	for _, lim := range []struct {
		of  *row
		rms float64
	}{{&r.canal, 0.3}, {&r.level, 5}, {&r.head, 0.5}, {&r.angle, 1}, {&r.ruler, 0.3}} {
		if _, _, rms, _, _, _ := lim.of.sums(); !(rms <= lim.rms) {
			t.Errorf("%s: RMS %.3f %s, want %.3f", lim.of.name, rms, lim.of.unit, lim.rms)
		}
	}
	if bias, sd, _, _, _, _ := r.ball.sums(); !(math.Abs(bias) <= 0.3+2*sd/math.Sqrt(float64(many))) {
		t.Errorf("ball: bias %.3f px", bias)
	}
	if *update {
		if err := os.WriteFile(filepath.Join(testkit.Root(t), "testdata", "reference", "find-accuracy.txt"), []byte(out), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
