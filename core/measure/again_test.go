package measure

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// Law: a probe at the points of a film says what the measurement it is named
// for says, and refuses where that refuses; on films of every shape.
func TestProbesAgree(t *testing.T) {
	wild := map[anatomy.Landmark][2]float64{}
	for l, p := range phantom {
		wild[l] = p
	}
	wild[anatomy.CanalB] = [2]float64{5, 220}       // out of square
	wild[anatomy.LateralCortex] = [2]float64{40, 0} // beyond the head
	wild[anatomy.DistalTarget] = [2]float64{-12, 50}
	films := map[string]Film{
		"phantom": ap(), "oblong pixels": shoot(anatomy.AP, 0.3, 0.15, 0.02, 2, phantom), "no axis": ap().without(anatomy.ShaftUpper),
		"crossed": shoot(anatomy.AP, 0.2, 0.2, 0.01, 1, wild),
	}
	said, refused := 0, 0
	for name, f := range films {
		for _, tt := range []struct {
			what  string
			probe Probe
			by    func() (units.Length, error)
		}{
			{"length", LengthProbe(), func() (units.Length, error) { return Length(f) }},
			{"canal", CanalProbe(f), func() (units.Length, error) { return Canal(f) }},
			{"lower screw", PathProbe(130, 0), func() (units.Length, error) { p, err := ScrewPath(f, 130, 0); return p.ToSurface, err }},
			{"upper screw", PathProbe(130, 12), func() (units.Length, error) { p, err := ScrewPath(f, 130, 12); return p.ToSurface, err }},
		} {
			want, err := tt.by()
			at, slip, bad := f.Millimetres(tt.probe.Names()...)
			got, ok := tt.probe.At(at)
			ok = ok && bad == nil
			if ok != (err == nil) {
				t.Errorf("%s, %s: probe %v, measurement %v", name, tt.what, ok, err)
			}
			if !ok {
				refused++
				continue
			}
			said++
			if math.Abs(float64(got-want.Best)) > 1e-12 {
				t.Errorf("%s, %s: %v, want %v", name, tt.what, got, want.Best)
			}
			wantSlip := geom.Pt[units.MM]{X: f.Plane.Col * units.MM(f.At[tt.probe.Names()[0]].Slip), Y: f.Plane.Row * units.MM(f.At[tt.probe.Names()[0]].Slip)}
			if slip[0] != wantSlip {
				t.Errorf("%s: slip %v, want %v (by hand: slip times the pixel)", name, slip[0], wantSlip)
			}
		}
	}
	if said < 9 || refused < 4 {
		t.Errorf("%d said, %d refused: the films are too much alike", said, refused)
	}
}

func TestProbeRefuses(t *testing.T) {
	two := []geom.Pt[units.MM]{{X: 0, Y: 0}, {X: 0, Y: 400}}
	nan := []geom.Pt[units.MM]{{X: 0, Y: 0}, {X: units.MM(math.NaN()), Y: 400}}
	for _, tt := range []struct {
		name  string
		probe Probe
		at    []geom.Pt[units.MM]
	}{
		{"zero probe", Probe{}, nil},
		{"a point too few", LengthProbe(), two[:1]},
		{"not a number", LengthProbe(), nan},
		{"too short for a femur", LengthProbe(), []geom.Pt[units.MM]{{}, {X: 99}}},
		{"angle of no screw", PathProbe(180, 0), nil},
		{"inset of no screw", PathProbe(130, 41), nil},
		{"angle that is no number", PathProbe(units.Deg(math.NaN()), 0), nil},
	} {
		if v, ok := tt.probe.At(tt.at); ok || v != 0 {
			t.Errorf("%s: %v, want none", tt.name, v)
		}
	}
	if _, _, err := ap().without(anatomy.DistalTarget).Millimetres(LengthProbe().Names()...); err == nil {
		t.Error("points that are not there are given")
	}
	if v, ok := LengthProbe().At(two); !ok || v != 400 {
		t.Errorf("got %v, want 400 (by hand)", v)
	}
}
