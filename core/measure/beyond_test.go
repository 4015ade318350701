package measure

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// knee is the phantom with an upright axis, the target at 400 mm, and what is
// seen at the knee.
func knee() Film {
	return ap().put(anatomy.TrochanterTip, 0, 0).put(anatomy.DistalTarget, 0, 400).
		put(anatomy.Notch, 15, 412).put(anatomy.PatellaTop, -3, 391)
}

func TestBeyond(t *testing.T) {
	for _, tt := range []struct {
		name   string
		l      anatomy.Landmark
		want   float64
		source string
	}{
		{"notch", anatomy.Notch, 12, "by hand: 412 − 400"},
		{"kneecap", anatomy.PatellaTop, -9, "by hand: 391 − 400"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l, err := Beyond(knee(), tt.l)
			if err != nil {
				t.Fatal(err)
			}
			testkit.Near(t, tt.source, float64(l.Best), tt.want, 1e-9)
			testkit.Near(t, "shared (by hand: 1 %)", float64(l.Shared), 0.01*tt.want, 1e-9)
			if !(l.Own >= 0.2*math.Sqrt2-1e-9 && l.Own < 0.3) {
				t.Errorf("own doubt %v, want two slips of 0.2 mm and a little for the axis", l.Own)
			}
			level, err := Level(knee(), tt.l)
			if tt.l == anatomy.Notch { // law: the level is the length and what lies beyond it
				if err != nil {
					t.Fatal(err)
				}
				testkit.Near(t, "level − length", float64(level.Best)-400, tt.want, 1e-9)
			}
		})
	}
}

// Without the trochanter on the film the shaft gives the direction.
func TestBeyondWithoutTip(t *testing.T) {
	f := knee().put(anatomy.ShaftUpper, 0, 150).put(anatomy.ShaftLower, 0, 250)
	delete(f.At, anatomy.TrochanterTip)
	l, err := Beyond(f, anatomy.Notch)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "by hand: 412 − 400", float64(l.Best), 12, 1e-9)
	delete(f.At, anatomy.ShaftUpper)
	if l, err := Beyond(f, anatomy.Notch); code(err) != "measure-missing" || l != (units.Length{}) {
		t.Errorf("%v %v, want what is missing", l, err)
	}
}

func TestBeyondRefuses(t *testing.T) {
	for _, tt := range []struct {
		name, want string
		f          Film
		l          anatomy.Landmark
	}{
		{"another landmark", "measure-view", knee(), anatomy.CanalA},
		{"a notch up in the shaft", "measure-outside", knee().put(anatomy.Notch, 0, 200), anatomy.Notch},
		{"tip on the target", "measure-crossed", knee().put(anatomy.TrochanterTip, 0, 399), anatomy.Notch},
		{"no number", "measure-place", knee().put(anatomy.Notch, math.NaN(), 0), anatomy.Notch},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if l, err := Beyond(tt.f, tt.l); code(err) != tt.want || l != (units.Length{}) {
				t.Errorf("%v, %v, want %s", l, err, tt.want)
			}
		})
	}
}

func TestFlareIndex(t *testing.T) {
	f := ap().put(anatomy.CanalA, -6, 180).put(anatomy.CanalB, 6, 180).put(anatomy.FlareA, -22, 60).put(anatomy.FlareB, 20, 60)
	r, err := FlareIndex(f)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "facts §2.4, definition in PMC5964262, figure 1: 42/12", r.Best, 3.5, 1e-9)
	testkit.Near(t, "doubt (by hand: 3.5·0.2·√2·√(1/42² + 1/12²))", r.U, 3.5*0.2*math.Sqrt2*math.Hypot(1./42, 1./12), 1e-3)
	g := f
	g.Plane.Row, g.Plane.Col = 2*g.Plane.Row, 2*g.Plane.Col
	if again, err := FlareIndex(g); err != nil || math.Abs(again.Best-3.5) > 1e-9 { // law: the scale cancels
		t.Errorf("another scale: %v, %v", again, err)
	}
	if again, err := FlareIndex(f.put(anatomy.LesserMiddle, 15, 84)); err != nil || again != r {
		t.Errorf("24 mm above the middle of the lesser trochanter: %v, %v", again, err)
	}
	lat := f
	lat.View = anatomy.Lateral
	for _, tt := range []struct {
		name, want string
		f          Film
	}{
		{"from the side", "measure-view", lat},
		{"narrower than any femur", "measure-outside", f.put(anatomy.FlareA, -2, 60).put(anatomy.FlareB, 2, 60)},
		{"30 mm above the middle of the lesser trochanter", "measure-outside", f.put(anatomy.LesserMiddle, 15, 90)},
		{"below the lesser trochanter", "measure-outside", f.put(anatomy.LesserMiddle, 15, 50)},
		{"along the shaft", "measure-crossed", f.put(anatomy.FlareA, 0, 60).put(anatomy.FlareB, 20, 100)},
	} {
		if r, err := FlareIndex(tt.f); code(err) != tt.want || r != (units.Ratio{}) {
			t.Errorf("%s: %v, %v, want %s", tt.name, r, err, tt.want)
		}
	}
}

func TestCorticalIndexExample(t *testing.T) {
	f := ap().put(anatomy.OuterA, -14, 180).put(anatomy.CanalA, -6, 180).put(anatomy.CanalB, 6, 180).put(anatomy.OuterB, 14, 180)
	r, err := CorticalIndex(f)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Near(t, "facts §2.4, PMC5964262, figure 1: (28 − 12)/28", r.Best, 0.5714286, 1e-6)
}

func TestSecondBreak(t *testing.T) {
	f := ap().put(anatomy.TrochanterTip, 0, 0).put(anatomy.DistalTarget, 0, 400).put(anatomy.FractureUpper, 0, 150).put(anatomy.FractureLower, 0, 180).
		put(anatomy.SecondUpper, 5, 250).put(anatomy.SecondLower, -5, 280)
	upper, lower, err := SecondBreak(f)
	if err != nil || math.Abs(float64(upper.Best)-250) > 1e-9 || math.Abs(float64(lower.Best)-280) > 1e-9 {
		t.Errorf("%v, %v, %v, want 250 and 280 (by hand)", upper, lower, err)
	}
	for _, tt := range []struct {
		name, want string
		f          Film
	}{
		{"upside down", "measure-crossed", f.put(anatomy.SecondUpper, 0, 281)},
		{"above the first", "measure-crossed", f.put(anatomy.SecondUpper, 0, 170)},
		{"one end missing", "measure-missing", f.without(anatomy.SecondLower)},
	} {
		if _, _, err := SecondBreak(tt.f); code(err) != tt.want {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// A transverse break has both of its ends at one level: within the slips it is
// in order either way round. By hand: 2·√2·slip.
func TestTransverseBreakHasNoOrder(t *testing.T) {
	f := ap().put(anatomy.TrochanterTip, 0, 0).put(anatomy.DistalTarget, 0, 400).put(anatomy.FractureUpper, -10, 200).put(anatomy.FractureLower, 10, 200)
	slack := units.Sure * math.Sqrt2 * float64(f.At[anatomy.FractureUpper].Slip) * float64(f.Plane.Row)
	for _, off := range []float64{-0.9, 0, 0.9} {
		if _, err := Level(f.put(anatomy.FractureUpper, -10, 200+off*slack), anatomy.FractureLower); err != nil {
			t.Errorf("%v of the slack: %v", off, err)
		}
	}
	if _, err := Level(f.put(anatomy.FractureUpper, -10, 200+1.1*slack), anatomy.FractureLower); code(err) != "measure-crossed" {
		t.Errorf("beyond the slack: %v", err)
	}
}
