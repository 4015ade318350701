package drawing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/units"
)

func distalSample() DistalInput {
	return DistalInput{ID: "distal", Side: anatomy.Right, Diameter: 11, Tip: 405,
		Fracture: &units.Length{Best: 300, Own: 3}, Gap: &units.Length{Best: 60, Own: 3},
		Holes: []DistalHole{
			{Number: 1, Level: 360, Plane: implant.Transverse, Use: true, Ask: 44},
			{Number: 2, Level: 375, Plane: implant.Transverse, Slot: true, Use: true, Ask: 52},
			{Number: 3, Level: 388, Plane: implant.Sagittal},
		}}
}

// The lower end is drawn to scale, in every shape that a shelf and a hand can
// make of it, and no label lies over another.
func TestDistalToScale(t *testing.T) {
	change := map[string]func(*DistalInput){
		"as planned":       func(*DistalInput) {},
		"left":             func(in *DistalInput) { in.Side = anatomy.Left },
		"no side":          func(in *DistalInput) { in.Side = "" },
		"fracture unknown": func(in *DistalInput) { in.Fracture, in.Gap = nil, nil },
		"fracture far above": func(in *DistalInput) {
			in.Fracture, in.Gap = &units.Length{Best: 120, Own: 3}, &units.Length{Best: 240, Own: 3}
		},
		"fracture below": func(in *DistalInput) {
			in.Fracture, in.Gap = &units.Length{Best: 370, Own: 3}, &units.Length{Best: -10, Own: 3}
		},
		"great doubt":      func(in *DistalInput) { in.Fracture.Own, in.Gap.Own = 20, 20 },
		"depths not read":  func(in *DistalInput) { in.Holes[0].Ask, in.Holes[1].Ask = 0, 0 },
		"longest screws":   func(in *DistalInput) { in.Holes[0].Ask, in.Holes[1].Ask = 120, 120 },
		"oblique":          func(in *DistalInput) { in.Holes[0].Plane = implant.Oblique },
		"screw from front": func(in *DistalInput) { in.Holes[2].Use, in.Holes[2].Ask = true, 60 },
		"one hole":         func(in *DistalInput) { in.Holes = in.Holes[:1] },
		"six holes": func(in *DistalInput) {
			for i := range 3 {
				in.Holes = append(in.Holes, DistalHole{Number: 4 + i, Level: units.MM(391 + 3*i), Plane: implant.Oblique, Use: true})
			}
		},
	}
	for name, fn := range change {
		in := distalSample()
		fn(&in)
		svg, err := Distal(in)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		checkDrawing(t, "distal "+name, svg)
	}
}

// A leg and its mirror differ in the side of everything that has one.
func TestDistalMirror(t *testing.T) {
	in := distalSample()
	right, _ := Distal(in)
	in.Side = anatomy.Left
	left, _ := Distal(in)
	a, b := read(t, right), read(t, left)
	for i, e := range a {
		if e.attr["data-what"] != "screw" {
			continue
		}
		if x := e.num(t, "x1") + b[i].num(t, "x1"); math.Abs(x-2*134) > 1e-6 {
			t.Errorf("a screw begins at %v and in the mirror at %v", e.num(t, "x1"), b[i].num(t, "x1"))
		}
	}
	if strings.Contains(right, "left femur") || !strings.Contains(left, "Left femur") {
		t.Error("the side is not said")
	}
}

// What cannot be drawn is refused with what is missing.
func TestDistalRefuses(t *testing.T) {
	for name, fn := range map[string]func(*DistalInput){
		"no number":      func(in *DistalInput) { in.Diameter = units.MM(math.NaN()) },
		"thick":          func(in *DistalInput) { in.Diameter = 40 },
		"no holes":       func(in *DistalInput) { in.Holes = nil },
		"hole past tip":  func(in *DistalInput) { in.Holes[2].Level = 410 },
		"screw too long": func(in *DistalInput) { in.Holes[0].Ask = 400 },
		"fracture":       func(in *DistalInput) { in.Fracture.Best = units.MM(math.Inf(1)) },
		"doubt":          func(in *DistalInput) { in.Gap.Own = units.MM(math.NaN()) },
	} {
		in := distalSample()
		fn(&in)
		var want *NothingToDrawError
		if svg, err := Distal(in); !errors.As(err, &want) || svg != "" {
			t.Errorf("%s: drawn, or refused with %v", name, err)
		}
	}
}
