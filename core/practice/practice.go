// Package practice compares what a trainee measured on a drawn femur with what
// is true of it, and the nail that follows from the one with the nail that
// follows from the other. It has no formula of its own: what is true goes the
// same road, from landmarks on the films to a plan.
//
// The drawings are made elsewhere (core/phantom, in the film worker); here only
// what is told of them is read, so that the page does not carry the drawing.
package practice

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"isthmus/core/anatomy"
)

// A Truth is what is true of a practice case, as the film worker tells it
// (phantom.Told): lengths in millimetres, angles in degrees.
type Truth struct {
	Practice   string       `json:"practice"`
	Side       anatomy.Side `json:"side"`
	Stature    float64      `json:"stature_mm"` // 0: not told
	NeckBroken bool         `json:"neck_broken"`
	Length     float64      `json:"length_mm"` // tip of the trochanter to the distal target, the bone whole again
	Canal      float64      `json:"canal_mm"`  // at the isthmus, side to side
	CanalDeep  float64      `json:"canal_deep_mm"`
	Isthmus    float64      `json:"isthmus_mm"`   // below the tip of the trochanter
	NeckRoom   float64      `json:"neck_room_mm"` // inner height of the neck at its narrowest
	Head       float64      `json:"head_mm"`
	NSA        float64      `json:"neck_shaft_deg"`
	Version    float64      `json:"version_deg"`
	Bow        float64      `json:"bow_mm"`         // radius; 0: straight
	BreakUpper float64      `json:"break_upper_mm"` // below the tip of the trochanter; 0: no break
	BreakLower float64      `json:"break_lower_mm"`
	Condyles   float64      `json:"condyles_mm"` // tip of the trochanter to the roof of the notch
	Films      []Film       `json:"films"`
}

// A Film is what is true of one film. Heights are above the detector.
type Film struct {
	View       anatomy.View `json:"view"`
	Width      int          `json:"width_px"`
	Height     int          `json:"height_px"`
	PerPx      float64      `json:"mm_per_px"` // in the plane of the bone
	Points     []Point      `json:"points"`
	Rim        [][2]float64 `json:"rim_px"` // of the ball
	Ball       float64      `json:"ball_mm"`
	BallHeight float64      `json:"ball_height_mm"`
	BoneHeight float64      `json:"bone_height_mm"`
	SID        float64      `json:"sid_mm"`
}

// A Point is where a landmark is.
type Point struct {
	Name anatomy.Landmark `json:"name"`
	X    float64          `json:"x_px"`
	Y    float64          `json:"y_px"`
}

// A TruthError reports that what is told of a drawing cannot be used.
type TruthError struct{ Why string }

// Code names the fault for app/text.
func (e *TruthError) Code() string { return "practice-truth" }

// Error says what was found, what is needed and what to do.
func (e *TruthError) Error() string {
	return "practice: what is true of this drawing could not be read, " + e.Why + ": go online once and reload the page"
}

// maxTold is more than any drawing tells, about 10 kB.
const maxTold = 1 << 20

// Parse reads what the film worker tells. It refuses fields that it does not
// know, sides, views and landmarks that there are not, and sizes that no
// drawing has.
func Parse(b []byte) (Truth, error) {
	var t Truth
	if len(b) > maxTold {
		return Truth{}, &TruthError{"it is too long"}
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&t); err != nil {
		return Truth{}, &TruthError{err.Error()}
	}
	if why := t.fault(); why != "" {
		return Truth{}, &TruthError{why}
	}
	return t, nil
}

func (t Truth) fault() string {
	if t.Practice == "" || !t.Side.Valid() || len(t.Films) == 0 {
		return "it has no name, no side or no film"
	}
	for _, v := range []float64{t.Length, t.Canal, t.CanalDeep, t.Isthmus, t.NeckRoom, t.Head, t.NSA, t.Condyles} {
		if !(v > 0 && v < 1000) {
			return fmt.Sprintf("a size of %g", v)
		}
	}
	for _, v := range []float64{t.Stature, t.Bow, t.BreakUpper, t.BreakLower} {
		if !(v >= 0 && v < 1e5) {
			return fmt.Sprintf("a size of %g", v)
		}
	}
	if !(math.Abs(t.Version) < 90) {
		return fmt.Sprintf("a version of %g°", t.Version)
	}
	for _, f := range t.Films {
		if why := f.fault(); why != "" {
			return why
		}
	}
	return ""
}

func (f Film) fault() string {
	if !f.View.Valid() || f.Width < 1 || f.Height < 1 || !(f.PerPx > 0 && f.PerPx < 10) {
		return "a film without view, size or scale"
	}
	for _, v := range []float64{f.Ball, f.BallHeight, f.BoneHeight, f.SID} {
		if !(v > 0 && v < 1e5) {
			return fmt.Sprintf("a film with a distance of %g mm", v)
		}
	}
	for _, p := range f.Points {
		if !p.Name.In(f.View) {
			return "a landmark that the film cannot show, " + string(p.Name)
		}
		if !f.on(p.X, p.Y) {
			return "a landmark beside the film, " + string(p.Name)
		}
	}
	for _, p := range f.Rim {
		if !f.on(p[0], p[1]) {
			return "a ball beside the film"
		}
	}
	return ""
}

func (f Film) on(x, y float64) bool {
	return x >= -0.5 && y >= -0.5 && x <= float64(f.Width)-0.5 && y <= float64(f.Height)-0.5
}
