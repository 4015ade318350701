package find

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"testing"

	"isthmus/core/geom"
)

// What core/find makes of every kind of real film in testdata/films, each
// picture looked at by eye (-overlays writes them): "right" is what a person
// would have drawn, "partly" leaves out more than it need, "refused" says why.
// A verdict of "wrong" is not on the list, and must not come to be.
var realLooks = []struct {
	film, what string
	taps       []pt
	verdict    string
	why        string // of a refusal
}{
	{"films/real/RG2_JPLL.dcm", "head", []pt{px(904, 870)}, "right", ""},
	{"films/real/RG2_JPLY.dcm", "head", []pt{px(880, 900)}, "right", ""},
	{"films/photo/rg2_8bit.png", "head", []pt{px(760, 745)}, "right", ""},
	{"films/real/RG2_JPLL.dcm", "shaft", []pt{px(1180, 1080), px(1410, 1290)}, "partly", ""},
	{"films/real/RG2_JPLY.dcm", "shaft", []pt{px(1200, 1095), px(1425, 1305)}, "partly", ""},
	{"films/photo/rg2_8bit.png", "shaft", []pt{px(1000, 940), px(1200, 1110)}, "refused", "unseen"},
	{"films/real/331_DDH_1.jpg", "shaft", []pt{px(283, 200), px(280, 328)}, "partly", ""}, // an infant, 331 px in all
	{"films/real/331_DDH_1.jpg", "shaft", []pt{px(43, 187), px(74, 328)}, "refused", "unseen"},
	{"films/real/331_DDH_138.jpg", "shaft", []pt{px(283, 200), px(302, 328)}, "refused", "unseen"},
	{"films/real/331_DDH_138.jpg", "shaft", []pt{px(50, 200), px(20, 328)}, "refused", "unseen"},
	{"films/real/331_DDH_1.jpg", "head", []pt{px(62, 156)}, "refused", ""}, // a head of cartilage with a grain of bone
	{"films/real/331_DDH_138.jpg", "head", []pt{px(60, 160)}, "refused", ""},
	{"films/real/331_DDH_138.jpg", "balls", nil, "refused", ""}, // two round electrodes with a hole, one cut by the border
	{"films/real/RG2_JPLL.dcm", "balls", nil, "refused", ""},
	{"films/variants/cal_ball25_ruler_mag1p20.jpg", "balls", nil, "right", ""},
	{"films/variants/cal_ball25_ruler_mag1p20.jpg", "ruler", []pt{px(328, 1930), px(933, 1933)}, "right", ""},
	{"films/photo/o6.jpg", "corners", nil, "right", ""},
	{"films/real/331_DDH_1.jpg", "corners", nil, "refused", "no-frame"},
}

var inks = [4]color.RGBA{{255, 60, 60, 255}, {60, 255, 60, 255}, {60, 255, 60, 255}, {255, 60, 60, 255}}

// see looks for one thing and draws it.
func see(g Grey, c canvas, what string, taps []pt) (found bool, said string, err error) {
	switch what {
	case "head":
		h, err := Head(g, taps[0])
		if err == nil {
			c.circle(h.Centre, float64(h.R), inks[1])
		}
		return err == nil, fmt.Sprintf("%.1f %.1f, radius %.1f ± %.1f px", h.Centre.X, h.Centre.Y, h.R, 2*h.RU), err
	case "shaft":
		s, err := Trace(g, taps[0], taps[1], nil)
		for _, l := range s.Levels {
			for k, p := range l.Edge {
				c.dot(p, 1.2, inks[k])
			}
		}
		return err == nil, fmt.Sprintf("%.0f %% measured", 100*s.Seen), err
	case "balls":
		balls, err := Balls(g, RoundOptions{})
		for _, b := range balls {
			c.circle(b.Centre, float64(b.Short)/2, inks[1])
		}
		return len(balls) > 0, fmt.Sprint(len(balls)), err
	case "ruler":
		s, err := Ruler(g, taps[0], taps[1], 0)
		for _, p := range s.At {
			c.dot(p, 2, inks[0])
		}
		return err == nil, fmt.Sprintf("%d spaces of %.2f px", s.Spaces, s.Spacing), err
	}
	f, err := Corners(g)
	for i := range f.Corners {
		c.line(f.Corners[i].At, f.Corners[(i+1)%4].At, inks[0])
	}
	return err == nil, fmt.Sprint(f.Sure), err
}

func TestRealFilms(t *testing.T) {
	for i, l := range realLooks {
		g := film(t, l.film)
		c := canvas{}
		if *overlays != "" {
			c = canvasOf(g)
		}
		found, said, err := see(g, c, l.what, l.taps)
		if found == (l.verdict == "refused") || l.why != "" && why(err) != l.why {
			t.Errorf("%s, %s %v: found %v (%s), %v; want %s %s", l.film, l.what, l.taps, found, said, err, l.verdict, l.why)
		}
		if *overlays != "" {
			for _, p := range l.taps {
				c.dot(p, 4, color.RGBA{255, 230, 0, 255})
			}
			c.save(t, fmt.Sprintf("%02d-%s-%s", i, l.what, strings.NewReplacer("/", "-", ".", "-").Replace(l.film)))
			t.Logf("%02d %s, %s: %s, %s %v", i, l.film, l.what, l.verdict, said, err)
		}
	}
}

// The shaft of a real adult, seen slantwise, over a thigh that is thick below
// and thin above: its outer edges read by hand off the picture at three times
// its size run through (1282, 1109) and (1355, 1162), and through (1218, 1265)
// and (1264, 1297), to 3 px. What is measured lies on them; the inner edges lie
// between.
func TestRealShaft(t *testing.T) {
	g := film(t, "films/real/RG2_JPLL.dcm")
	s, err := Trace(g, px(1180, 1080), px(1410, 1290), nil)
	if err != nil {
		t.Fatal(err)
	}
	above, below := line{A: px(1282, 1109), B: px(1355, 1162)}, line{A: px(1218, 1265), B: px(1264, 1297)}
	n := 0
	for _, l := range s.Levels {
		if l.Out != "" || l.Along < 140 || l.Along > 200 { // the bone flares above, and its lower edge fades below
			continue
		}
		n++
		a, b := l.Edge[OuterLeft], l.Edge[OuterRight]
		if geom.Dist(a, above.A) > geom.Dist(b, above.A) {
			a, b = b, a
		}
		if math.Abs(off(above, a)) > 4 || math.Abs(off(below, b)) > 4 {
			t.Errorf("level %.0f: edges at %v and %v", l.Along, a, b)
		}
		if inner, outer := geom.Dist(l.Edge[InnerLeft], l.Edge[InnerRight]), geom.Dist(a, b); !(inner > 0.4*outer && inner < 0.8*outer) {
			t.Errorf("level %.0f: %.0f of %.0f px", l.Along, inner, outer)
		}
	}
	if n < 30 {
		t.Errorf("%d levels measured", n)
	}
}

// off is how far a place lies beside a line, px.
func off(l line, p pt) float64 {
	_, aside, _ := l.Along(p)
	return float64(aside)
}
