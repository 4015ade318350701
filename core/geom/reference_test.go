package geom

import (
	"encoding/json"
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

func at(x, y float64) mm { return mm{X: units.MM(x), Y: units.MM(y)} }

// otherFits is testdata/reference/fits.json: lines and ellipses by another
// program.
func otherFits(t *testing.T) (out struct {
	Tool  string
	Lines []struct{ Points, Line []float64 }
	Round []struct {
		Points []float64
		Noise  float64
		Box    []float64
	} `json:"ellipses"`
}) {
	t.Helper()
	if err := json.Unmarshal(testkit.Read(t, "reference/fits.json"), &out); err != nil {
		t.Fatal(err)
	}
	if len(out.Lines) < 6 || len(out.Round) < 10 {
		t.Fatalf("only %d lines and %d ellipses", len(out.Lines), len(out.Round))
	}
	return out
}

func paired(v []float64) (out []mm) {
	for i := 0; i+1 < len(v); i += 2 {
		out = append(out, at(v[i], v[i+1]))
	}
	return out
}

// The same model, least squared distances, by another program: the same line
// but for its single precision.
func TestFitLineAgainstAnotherProgram(t *testing.T) {
	ref := otherFits(t)
	for i, c := range ref.Lines {
		pts := paired(c.Points)
		l, _, err := FitLine(pts)
		if err != nil {
			t.Fatalf("line %d: %v", i, err)
		}
		u, _ := l.Unit()
		near(t, "direction, as a cross product", float64(u.X)*c.Line[1]-float64(u.Y)*c.Line[0], 0, 1e-5, ref.Tool)
		_, aside, _ := l.Along(at(c.Line[2], c.Line[3]))
		near(t, "its point is on our line", float64(aside), 0, 2e-3, ref.Tool)
	}
}

// Where the points lie on an ellipse to a hundredth of a pixel, the other
// program's ellipse is ours. Where they were moved by a pixel or so, the two
// minimise different things (its constraint is another), and agree within the
// move: the axes, the centre and, for an oval that is plainly one, the tilt.
func TestFitEllipseAgainstAnotherProgram(t *testing.T) {
	ref := otherFits(t)
	exact := 0
	for i, c := range ref.Round {
		e, err := FitEllipse(paired(c.Points))
		if err != nil {
			t.Fatalf("ellipse %d: %v", i, err)
		}
		tol := 0.05
		if c.Noise > 0 {
			tol = c.Noise
		} else {
			exact++
		}
		long, short, tilt := c.Box[2], c.Box[3], c.Box[4]
		if long < short {
			long, short, tilt = short, long, tilt+90
		}
		near(t, "long", float64(e.Long), long/2, tol, ref.Tool)
		near(t, "short", float64(e.Short), short/2, tol, ref.Tool)
		near(t, "x", float64(e.Centre.X), c.Box[0], tol, ref.Tool)
		near(t, "y", float64(e.Centre.Y), c.Box[1], tol, ref.Tool)
		turn := math.Mod(e.Tilt-tilt+360*3+90, 180) - 90
		near(t, "tilt", turn*math.Pi/180*(long-short)/2, 0, 2*tol, ref.Tool)
	}
	if exact < 5 {
		t.Errorf("only %d ellipses without a move", exact)
	}
}
