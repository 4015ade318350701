package record

import (
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// truth is the line of truth.txt that is judged: its words and its case.
type truth struct {
	t *testing.T
	w []string
	c Case
}

func (u truth) number(i int) float64 {
	v, err := strconv.ParseFloat(u.w[i], 64)
	if err != nil {
		u.t.Fatalf("truth.txt: %q is no number", u.w[i])
	}
	return v
}

func (u truth) film() Film { return u.c.Films[int(u.number(2))] }

func (u truth) point(i int) geom.Pt[units.Px] {
	for _, p := range u.film().Points {
		if p.Name == anatomy.Landmark(u.w[i]) {
			return p.At
		}
	}
	u.t.Fatalf("truth.txt: %s has no point %s", u.w[1], u.w[i])
	return geom.Pt[units.Px]{}
}

// measured returns the size in pixels, the millimetres per pixel and the truth.
func (u truth) measured() (px, scale, want float64) {
	switch u.w[0] {
	case "distance":
		return float64(geom.Dist(u.point(4), u.point(5))), u.number(3), u.number(6)
	case "circle":
		return circumscribed(u.point(4), u.point(5), u.point(6)), u.number(3), u.number(7)
	case "marker":
		for _, e := range u.film().Evidence {
			if e.ID == u.w[3] { // the point half way round lies opposite the first
				return float64(geom.Dist(e.At[0], e.At[len(e.At)/2])), u.number(4), u.number(5)
			}
		}
	}
	u.t.Fatalf("truth.txt: cannot judge %v", u.w)
	return 0, 0, 0
}

// circumscribed returns the diameter of the circle through three points:
// a·b·c / (2·area). Source: by hand, law of sines.
func circumscribed(p, q, r geom.Pt[units.Px]) float64 {
	area := math.Abs(geom.Cross(q.Minus(p), r.Minus(p))) / 2
	return float64(geom.Dist(p, q)) * float64(geom.Dist(q, r)) * float64(geom.Dist(r, p)) / (2 * area)
}

// The invented cases are as large as they say: points are rounded to a tenth
// of a pixel, so a distance is right to 0.15 px, a circle to 0.5 px.
func TestCasesAreTrue(t *testing.T) {
	cases := map[string]Case{}
	for _, path := range testkit.Files(t, "cases/*/case.json") {
		c, err := Unmarshal(load(t, path))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(c.Label, "(invented)") {
			t.Errorf("%s: the label %q does not say that the case is invented", path, c.Label)
		}
		cases[filepath.Base(filepath.Dir(path))] = c
	}
	judged := 0
	for _, line := range strings.Split(string(testkit.Read(t, "cases/truth.txt")), "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		u := truth{t: t, w: strings.Split(line, "\t")}
		u.c = cases[u.w[1]]
		px, scale, want := u.measured()
		tol := 0.15 * scale
		if u.w[0] == "circle" {
			tol = 0.5 * scale
		}
		testkit.Near(t, line, px*scale, want, tol+1e-5*want)
		judged++
	}
	if judged < 20 {
		t.Errorf("only %d sizes were judged", judged)
	}
}
