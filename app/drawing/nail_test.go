package drawing

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/plan"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// facts.md 3a and 3b: rods 950 − 530 = 420; image 483 / 1.15 = 420.
func TestLengthIsToScale(t *testing.T) {
	svg, err := Length(lengthSample())
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "length", svg)
	for what, want := range map[string]float64{"rod": 950, "stands-out": 530, "in-bone": 420, "seen": 483, "true": 420} {
		testkit.Near(t, what, mmOf(t, els, what), want, 1e-9)
	}
	sizes := find(els, "size")
	if len(sizes) != 3 {
		t.Fatalf("%d sizes drawn, want three", len(sizes))
	}
	room, k := find(els, "room")[0], sizes[0].num(t, "data-k")
	testkit.Near(t, "420 beyond the room", (sizes[2].num(t, "x2")-room.num(t, "x1"))/k, 5, 0.01) // by hand: 420 − 415
	if !hasText(els, "82 %") || !hasText(els, "96 %") || !hasText(els, "< 1 %") {
		t.Error("the chances are not written")
	}
}

func TestLengthKeepsTheChosenSize(t *testing.T) {
	in := lengthSample()
	in.Sizes = nil
	for v := units.MM(240); v <= 480; v += 20 {
		in.Sizes = append(in.Sizes, plan.Size{Value: v, Right: 0.01})
	}
	svg, err := Length(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "many sizes", svg)
	if n := len(find(els, "size")); n != 5 || !hasText(els, "400 mm") {
		t.Errorf("%d sizes drawn, want five with the chosen one", n)
	}
}

func TestLengthRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*LengthInput)
	}{
		{"nothing", "the length of the bone", func(in *LengthInput) { *in = LengthInput{} }},
		{"rod shorter than what stands out", "what stands out", func(in *LengthInput) { in.Rods = &RodPair{Rod: 300, StandsOut: 500} }},
		{"rod no number", "the rod", func(in *LengthInput) { in.Rods = &RodPair{Rod: nan, StandsOut: 5} }},
		{"magnified below one", "the magnification", func(in *LengthInput) { in.Film = &FilmLength{Seen: 483, Magnification: 0.9} }},
		{"magnification no number", "the magnification", func(in *LengthInput) { in.Film = &FilmLength{Seen: 483, Magnification: math.NaN()} }},
		{"room zero", "the room", func(in *LengthInput) { in.Room = length(0, 1, 1) }},
		{"chance above one", "a chance", func(in *LengthInput) { in.Sizes = []plan.Size{{Value: 400, Right: 1.2}} }},
		{"size huge", "a length on the shelf", func(in *LengthInput) { in.Sizes = []plan.Size{{Value: 4000}} }},
	} {
		in := lengthSample()
		tt.set(&in)
		svg, err := Length(in)
		nothing(t, tt.name, svg, err, tt.what)
	}
}

func TestCanalIsToScale(t *testing.T) {
	svg, err := Canal(canalSample())
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "canal", svg)
	for what, want := range map[string]float64{"nail": 10, "final": 11, "canal-side": 10.6, "canal-front": 12.4} {
		testkit.Near(t, what, mmOf(t, els, what), want, 1e-9)
	}
	if !hasText(els, "10.5 mm not here") || !hasText(els, "11.0 mm last") {
		t.Error("the missing and the last head are not marked")
	}
	if strings.Contains(svg, "-stop") {
		t.Error("a canal of 10.6 mm is hatched as narrow")
	}
	in := canalSample()
	in.Canal, in.AP, in.Lateral = length(10.6, 0, 0), nil, nil
	if svg, _ = Canal(in); strings.Contains(svg, "-doubt") {
		t.Error("doubt is hatched where there is none")
	}
}

// Narrow is said unless the canal is surely wider than the limit.
func TestCanalNarrow(t *testing.T) {
	for _, tt := range []struct {
		canal, u units.MM
		want     bool
	}{{8, 0.1, true}, {9, 0, true}, {9.5, 0.4, true}, {9.5, 0.1, false}} {
		in := canalSample()
		in.Canal, in.AP, in.Lateral = length(tt.canal, tt.u, 0), nil, nil
		svg, err := Canal(in)
		if err != nil {
			t.Fatal(err)
		}
		els := checkDrawing(t, "narrow", svg)
		if got := strings.Contains(svg, "url(#c-stop)") && hasText(els, "narrow: under 9 mm"); got != tt.want {
			t.Errorf("canal %v ± %v: hatched as narrow %v, want %v", tt.canal, 2*tt.u, got, tt.want)
		}
	}
}

func TestCanalRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*CanalInput)
	}{
		{"nothing", "the canal at the isthmus", func(in *CanalInput) { *in = CanalInput{} }},
		{"zero", "the canal at the isthmus", func(in *CanalInput) { in.Canal = length(0, 0, 0) }},
		{"nail no number", "the nail's diameter", func(in *CanalInput) { in.Nail = nan }},
		{"head no number", "a reamer head", func(in *CanalInput) { in.Heads = []units.MM{nan} }},
		{"doubt huge", "the doubt", func(in *CanalInput) { in.Canal = length(10, 500, 0) }},
	} {
		in := canalSample()
		tt.set(&in)
		svg, err := Canal(in)
		nothing(t, tt.name, svg, err, tt.what)
	}
}

func TestCanalAtItsLimits(t *testing.T) {
	for _, c := range []units.MM{2, 7, 20, 40} {
		for _, u := range []units.MM{0, 0.5, 10} {
			in := CanalInput{ID: "c", Canal: length(c, u, 0), Nail: 14, Final: 15.5, Narrow: 9}
			for h := units.MM(7); h <= 15.5; h += 0.5 {
				in.Heads = append(in.Heads, h)
				in.Missing = append(in.Missing, h)
			}
			svg, err := Canal(in)
			if err != nil {
				t.Fatal(err)
			}
			checkDrawing(t, "canal at its limits", svg)
		}
	}
}

func TestMagnify(t *testing.T) {
	svg, err := Magnify(magSample())
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "magnify", svg)
	// facts.md 1a: SID 1150, OID 150 → SOD 1000, M 1.1500; 1g: a marker at 120 → + 3.0 %.
	for what, want := range map[string]float64{"SID": 1150, "SOD": 1000, "OID": 150, "ball-true": 25, "ball-seen": 27.9} {
		testkit.Near(t, what, mmOf(t, els, what), want, 1e-9)
	}
	if !hasText(els, "bone × 1.150") || !hasText(els, "marker × 1.117") { // by hand: 1150/1030 = 1.1165
		t.Error("the magnifications are not written")
	}
	if !strings.Contains(els[2].text, "reads too long by 3 %") {
		t.Errorf("the direction of the error is not said: %s", els[2].text)
	}
	in := magSample()
	in.Marker = mm(180)
	svg, _ = Magnify(in)
	if !strings.Contains(svg, "reads too short by 3 %") { // facts.md 1g: 180 → − 3.0 %
		t.Error("a marker above the bone is not said to read short")
	}
}

func TestMagnifyAtItsLimits(t *testing.T) {
	for _, sid := range []units.MM{500, 1150, 3000} {
		for _, bone := range []units.MM{0, 0.01, 0.3, 0.7} {
			for _, marker := range []units.MM{0, 0.3, 0.7} {
				in := MagnifyInput{ID: "m", SID: sid, Bone: bone * sid, Marker: mm(marker * sid), Ball: 120, Seen: 400}
				svg, err := Magnify(in)
				if err != nil {
					t.Fatal(err)
				}
				checkDrawing(t, "magnify at its limits", svg)
			}
		}
	}
}

func TestMagnifyRefuses(t *testing.T) {
	nan := units.MM(math.NaN())
	for _, tt := range []struct {
		name, what string
		set        func(*MagnifyInput)
	}{
		{"nothing", "the distance from source", func(in *MagnifyInput) { *in = MagnifyInput{} }},
		{"no number", "the distance from source", func(in *MagnifyInput) { in.SID = nan }},
		{"bone above the source", "the height of the bone", func(in *MagnifyInput) { in.Bone = 1200 }},
		{"marker no number", "the height of the marker", func(in *MagnifyInput) { in.Marker = &nan }},
		{"seen smaller than true", "the diameter of the marker", func(in *MagnifyInput) { in.Seen = 20 }},
	} {
		in := magSample()
		tt.set(&in)
		svg, err := Magnify(in)
		nothing(t, tt.name, svg, err, tt.what)
	}
}
