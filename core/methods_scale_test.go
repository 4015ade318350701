package core_test

import (
	"fmt"
	"math"
	"testing"

	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/measure"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// examples work the example of each method out again through core and return
// the numbers that its text must hold, in the order of the text. The numbers
// themselves come from outside the code: the sources named here.
var examples = map[string]func(*testing.T) []string{
	// DICOM PS3.3, 10.7.1.3; by hand √(420² + 59.2²) and √(414.4² + 60²).
	"pixels": func(*testing.T) []string {
		a, b := px(0, 0), px(400, 2800)
		return []string{
			f(3, calibrate.Plane{Row: 0.150, Col: 0.148}.Length(a, b, 0, 0).Best) + " mm",
			f(3, calibrate.Plane{Row: 0.148, Col: 0.150}.Length(a, b, 0, 0).Best) + " mm",
		}
	},
	// By hand, two rays: 2·SID·r/√(SOD² − r²) = 28.752.
	"ball": func(t *testing.T) []string {
		p, _, err := calibrate.Ball(oval(12, 293.22, 287.52), 0.5, 25, calibrate.SquareShape, atBone)
		none(t, err)
		return []string{f(5, p.Col) + " mm per px", f(4, 0.1/p.Col)}
	},
	// Orthopaedic Proceedings 2006, 88-B Supp II, 247 for the coin; tilt by hand.
	"disc": func(t *testing.T) []string {
		p, _, err := calibrate.Disc(oval(12, 271.7, 250), 0.5, 24.5, calibrate.SquareShape, atBone)
		none(t, err)
		return []string{f(5, p.Col) + " mm per px"}
	},
	// By hand: 100/1150.
	"ruler": func(t *testing.T) []string {
		p, _, err := calibrate.Ruler(px(0, 0), px(0, 1150), 0.5, 100, calibrate.SquareShape, atBone)
		none(t, err)
		return []string{f(5, p.Row) + " mm per px"}
	},
	// Klever 2022 (1 cm is about 1 %); by hand (150 − 120)/(1150 − 150).
	"depth": func(t *testing.T) []string {
		off := func(marker units.MM) float64 {
			v, err := calibrate.OffDepth(marker, 150, 1150)
			none(t, err)
			return v
		}
		return []string{signed(100*off(120)) + " %", f(1, 420*(1+off(120))) + " mm", signed(100*off(180)) + " %",
			signed(100*off(200)) + " %", signed(420*off(200)) + " mm"}
	},
	// DICOM PS3.3, 10.7.1.1; by hand 3200·0.143/1.15.
	"header": func(*testing.T) []string {
		factor := 1.15
		p, _ := calibrate.Header(calibrate.Given{Modality: "DX", ImagerSpacing: &[2]float64{0.143, 0.143}, Factor: &factor})
		l := p.Length(px(0, 0), px(0, 3200), 0, 0).Best
		return []string{f(3, l) + " mm", f(3, l*1.15) + " mm"}
	},
	// DICOM PS3.3, C.8.7.6; by hand.
	"distances": func(t *testing.T) []string {
		m := func(sid, oid units.MM) string {
			r, err := calibrate.MagnificationFromDistances(sid, nil, &oid)
			none(t, err)
			return f(4, r.Best)
		}
		return []string{m(1150, 150), m(1000, 150), m(1200, 100)}
	},
	// Orthopaedic Proceedings 2006, 88-B Supp II, 247: 10.9 to 20.0 %.
	"magnification": func(t *testing.T) []string {
		m := func(seen units.MM) string {
			r, err := calibrate.Magnification(units.Exact(seen), units.Exact(24.5))
			none(t, err)
			return f(4, r.Best)
		}
		return []string{m(27.17), m(29.40)}
	},
	// By hand: 460/1.15.
	"divide": func(t *testing.T) []string {
		l, err := plan.Corrected(460, units.Ratio{Best: 1.15})
		none(t, err)
		return []string{f(1, l.Best) + " mm"}
	},
	// Wangjiraphan: 14.1 %, SD 4.1 %; by hand 2·420·0.041/1.141.
	"usual": func(t *testing.T) []string {
		m, err := calibrate.UsualMagnification(1.141)
		none(t, err)
		return []string{"± " + f(1, units.Sure*420*m.U/m.Best) + " mm", "± " + f(1, units.Sure*10*m.U/m.Best) + " mm"}
	},
	// JCGM 100:2008, 5.1.2; by hand √(0.1·0.102), ln(0.102/0.1), 2·√2 %, 1/√2 %.
	"together": func(t *testing.T) []string {
		one := func(s units.MM) calibrate.Plane {
			return calibrate.Plane{Row: s, Col: s, Rel: 0.01, Origin: calibrate.FromBallMark}
		}
		agree, err := calibrate.Reconcile([]calibrate.Plane{one(0.1), one(0.102)})
		none(t, err)
		differ, err := calibrate.Reconcile([]calibrate.Plane{one(0.1), one(0.105)})
		none(t, err)
		if agree.Disputed || !differ.Disputed || differ.Plane.Usable() {
			t.Fatalf("disputed %v and %v", agree.Disputed, differ.Disputed)
		}
		return []string{f(1, 100*math.Log(1.02)) + " %", f(1, 100*units.Sure*math.Hypot(0.01, 0.01)) + " %",
			f(4, agree.Plane.Col) + " mm per px", f(2, 100*agree.Plane.Rel) + " %", f(1, 100*math.Log(1.05)) + " %"}
	},
	// By hand from two rays, SID 1000, heights 40, 152.5 and 290; King 2009.
	"two-markers": func(t *testing.T) []string {
		m, err := calibrate.TwoMarkers(units.Ratio{Best: 1000.0 / 710}, units.Ratio{Best: 1000.0 / 960}, units.Ratio{Best: 0.45})
		none(t, err)
		return []string{f(6, m.Best)}
	},
	// By hand: 420·cos 10° and 420·cos 20°.
	"foreshortening": func(t *testing.T) []string {
		seen := func(tilt units.Deg) string {
			l, err := calibrate.Foreshortening(units.Exact(1), units.Angle{Best: tilt})
			none(t, err)
			return f(2, 420/l.Best) + " mm"
		}
		return []string{seen(10), seen(20)}
	},
}

func init() {
	for _, more := range []map[string]func(*testing.T) []string{boneExamples, nailExamples, headExamples, lockingExamples, doubtExamples} {
		for k, v := range more {
			examples[k] = v
		}
	}
}

var atBone = calibrate.Depth{AtBone: true, Known: true}

// f prints a number with so many decimals.
func f[T ~float64](decimals int, v T) string { return fmt.Sprintf("%.*f", decimals, float64(v)) }

// signed prints a number with one decimal and a proper sign.
func signed(v float64) string {
	if v < 0 {
		return "−" + f(1, -v)
	}
	return "+" + f(1, v)
}

func none(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func px(x, y float64) geom.Pt[units.Px] { return geom.Pt[units.Px]{X: units.Px(x), Y: units.Px(y)} }

// oval returns n points of an ellipse around (1000, 1000), in pixels.
func oval(n int, wide, high float64) (out []geom.Pt[units.Px]) {
	for i := range n {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.3)
		out = append(out, px(1000+wide/2*cos, 1000+high/2*sin))
	}
	return out
}

func placed(x, y float64) measure.Placed { return measure.Placed{At: px(x, y), Slip: 1} }
