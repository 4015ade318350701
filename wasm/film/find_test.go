package main

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"testing"

	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/units"
)

type spot = geom.Pt[units.Px]

// What is written by hand reads back the same by encoding/json, and is what
// encoding/json writes.
func TestJSONText(t *testing.T) {
	r := units.Px(912.5)
	for _, v := range []seen{
		{},
		{Round: &find.Round{Centre: spot{X: 1.5, Y: -0.25}, Long: 1e-9, Tilt: 1e21, Rim: []spot{{X: 1}, {Y: 2}}, Dark: true}},
		{Rounds: []find.Round{{}, {Sure: 0.1}}, Doubt: "a \"doubt\"\n ü 𝛿"},
		{Scale: &find.Scale{At: []spot{}, Every: 5}, Frame: &find.Frame{Sure: 1. / 3}, Edge: &find.Edge{Slip: 0.1}},
		{Shaft: &find.Shaft{Levels: []find.Level{{Out: "faint"}, {Edge: []spot{{X: 3}}, Slip: []units.Px{0.5}}}}},
		{Isthmus: &find.Narrow{Width: find.Width{Inner: 61.25}, LevelU: 4}, Bow: &find.Arc{R: &r}},
	} {
		text, err := jsonText(v)
		if err != nil {
			t.Fatal(err)
		}
		want, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		var a, b any
		if json.Unmarshal([]byte(text), &a) != nil || json.Unmarshal(want, &b) != nil || !reflect.DeepEqual(a, b) {
			t.Errorf("%s is not %s", text, want)
		}
	}
	for _, bad := range []any{math.NaN(), []float64{math.Inf(-1)}, struct{ X any }{1}, map[string]int{}} {
		if text, err := jsonText(bad); err == nil {
			t.Errorf("%v is written as %s", bad, text)
		}
	}
}

// A disc drawn on a film is found through look with the names that the page
// reads, and on a grey film it is refused with a code. By hand: radius 40
// about (100, 90).
func TestLook(t *testing.T) {
	g := find.Grey{Width: 220, Height: 200, Pix: make([]uint16, 220*200)}
	for i := range g.Pix {
		x, y := float64(i%220)-100, float64(i/220)-90
		d := math.Hypot(x, y) - 40
		g.Pix[i] = uint16(1000 + 800/(1+math.Exp(2*d)) + float64(i*7919%13))
	}
	text, err := look(g, "disc", ask{taps: []spot{{X: 103, Y: 95}}, tall: 1})
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Round struct {
			Centre spot     `json:"centre_px"`
			Long   units.Px `json:"long_px"`
		}
	}
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(got.Round.Centre.X-100)) > 0.5 || math.Abs(float64(got.Round.Centre.Y-90)) > 0.5 || math.Abs(float64(got.Round.Long-80)) > 1 {
		t.Errorf("%s", text)
	}
	taps := []spot{{X: 60, Y: 60}, {X: 20, Y: 20}, {X: 20, Y: 190}}
	for what := range seekers {
		for i := range g.Pix {
			g.Pix[i] = 500
		}
		text, err := look(g, what, ask{taps: taps, tall: 1})
		var c interface{ Code() string }
		if what == "balls" {
			if err != nil || text != `{}` {
				t.Errorf("balls on a grey film: %s, %v", text, err)
			}
		} else if !errors.As(err, &c) || c.Code()[:5] != "find-" {
			t.Errorf("%s on a grey film: %s, %v", what, text, err)
		}
	}
}

// Searches that would measure wrongly across pixels that are not square refuse.
func TestLookNeedsSquarePixels(t *testing.T) {
	g := find.Grey{Width: 200, Height: 200, Pix: make([]uint16, 200*200)}
	for what := range square {
		for _, tall := range []float64{2, 0.98, math.NaN()} {
			_, err := look(g, what, ask{taps: []spot{{X: 60, Y: 60}, {X: 20, Y: 20}, {X: 20, Y: 190}}, tall: tall})
			var c interface{ Code() string }
			if !errors.As(err, &c) || c.Code() != "film-pixels-not-square" {
				t.Errorf("%s at %v: %v", what, tall, err)
			}
		}
	}
}
