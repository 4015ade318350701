package measure

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/units"
)

// One broken film for each fault.
func TestRefuses(t *testing.T) {
	canal := func(f Film) error { _, err := Canal(f); return err }
	length := func(f Film) error { _, err := Length(f); return err }
	at := func(l anatomy.Landmark) func(Film) error {
		return func(f Film) error { _, err := Level(f, l); return err }
	}
	index := func(f Film) error { _, err := CorticalIndex(f); return err }
	headOf := func(f Film) error { _, err := HeadDiameter(f); return err }
	centre := func(f Film) error { _, err := HeadCentre(f); return err }
	neck := func(f Film) error { _, err := NeckRoom(f); return err }
	nsa := func(f Film) error { _, err := NeckShaftAngle(f); return err }
	bow := func(f Film) error { _, err := Bow(f); return err }
	path := func(deg units.Deg, inset units.MM) func(Film) error {
		return func(f Film) error { _, err := ScrewPath(f, deg, inset); return err }
	}
	slip := func(l anatomy.Landmark, s units.Px) Film {
		f := ap()
		p := f.At[l]
		p.Slip = s
		f.At[l] = p
		return f
	}
	plane := func(o calibrate.Origin) Film { f := ap(); f.Plane.Origin = o; return f }
	view := func(v anatomy.View) Film { f := ap(); f.View = v; return f }
	nan := math.NaN()
	low := onScrew(45, 20)
	for _, tt := range []struct {
		name string
		of   func(Film) error
		f    Film
		code string
	}{
		{"nothing at all", length, Film{}, "measure-no-scale"},
		{"spacing at the detector", length, plane(calibrate.AtDetector), "measure-no-scale"},
		{"spacing of unknown plane", length, plane(calibrate.UnknownTags), "measure-no-scale"},
		{"no scale, angle", nsa, plane(calibrate.NoOrigin), "measure-no-scale"},
		{"no view", length, view(anatomy.NoView), "measure-view"},
		{"lesser trochanter on a lateral film", at(anatomy.LesserTroch), view(anatomy.Lateral), "measure-view"},
		{"angle on a lateral film", nsa, view(anatomy.Lateral), "measure-view"},
		{"screw on a lateral film", path(130, 0), view(anatomy.Lateral), "measure-view"},
		{"a landmark nobody knows", at("elbow"), ap(), "measure-view"},
		{"no target", length, ap().without(anatomy.DistalTarget), "measure-missing"},
		{"no canal", canal, ap().without(anatomy.CanalA), "measure-missing"},
		{"no outer cortex", index, ap().without(anatomy.OuterB), "measure-missing"},
		{"no rim", headOf, ap().without(anatomy.HeadRim2), "measure-missing"},
		{"no lateral cortex", path(130, 0), ap().without(anatomy.LateralCortex), "measure-missing"},
		{"a place that is no number", length, ap().put(anatomy.TrochanterTip, nan, 0), "measure-place"},
		{"a place beyond any film", length, ap().put(anatomy.TrochanterTip, 1e9, 0), "measure-place"},
		{"a place at infinity", length, ap().put(anatomy.TrochanterTip, math.Inf(1), 0), "measure-place"},
		{"no slip", length, slip(anatomy.TrochanterTip, 0), "measure-place"},
		{"a slip below zero", length, slip(anatomy.TrochanterTip, -1), "measure-place"},
		{"a slip that is no number", length, slip(anatomy.TrochanterTip, units.Px(nan)), "measure-place"},
		{"tip and target coincide", length, ap().put(anatomy.TrochanterTip, 3, 400), "measure-outside"},
		{"a femur of 2 m", length, ap().put(anatomy.DistalTarget, 0, 2000), "measure-outside"},
		{"axis of a level has no length", at(anatomy.LesserTroch), ap().put(anatomy.TrochanterTip, 3, 400), "measure-crossed"},
		{"level above the tip", at(anatomy.LesserTroch), ap().put(anatomy.LesserTroch, 0, -20), "measure-outside"},
		{"isthmus below the target", at(anatomy.CanalA), ap().put(anatomy.CanalA, -5, 500).put(anatomy.CanalB, 5, 500), "measure-outside"},
		{"notch far below the target", at(anatomy.Notch), ap().put(anatomy.Notch, 0, 600), "measure-outside"},
		{"fracture upside down", at(anatomy.FractureUpper), ap().put(anatomy.FractureLower, 0, 160), "measure-crossed"},
		{"fracture upside down, lower end", at(anatomy.FractureLower), ap().put(anatomy.FractureLower, 0, 160), "measure-crossed"},
		{"canal in one place", canal, ap().put(anatomy.CanalB, -5, 180), "measure-crossed"},
		{"canal in one place, no shaft", canal, ap().put(anatomy.CanalB, -5, 180).without(anatomy.ShaftUpper), "measure-outside"},
		{"canal along the shaft", canal, ap().put(anatomy.CanalB, -3, 200), "measure-crossed"},
		{"canal outside the cortex", canal, ap().put(anatomy.CanalA, -14, 180), "measure-crossed"},
		{"canal swapped", canal, ap().put(anatomy.CanalA, 5, 180).put(anatomy.CanalB, -5, 180), "measure-crossed"},
		{"outer swapped", index, ap().put(anatomy.OuterA, 12, 180).put(anatomy.OuterB, -13, 180), "measure-crossed"},
		{"shaft points too near", canal, ap().put(anatomy.ShaftLower, 0, 105), "measure-crossed"},
		{"rim on a line", headOf, ap().put(anatomy.HeadRim1, 0, 0).put(anatomy.HeadRim2, 10, 0).put(anatomy.HeadRim3, 30, 0), "measure-crossed"},
		{"rim in one place", centre, ap().put(anatomy.HeadRim1, 0, 0).put(anatomy.HeadRim2, 0, 0), "measure-crossed"},
		{"head of 100 mm", headOf, ap().put(anatomy.HeadRim1, 0, 0).put(anatomy.HeadRim2, 100, 0).put(anatomy.HeadRim3, 50, 50), "measure-outside"},
		{"neck edges coincide", neck, ap().put(anatomy.NeckUpper, onScrew(45, -10)[0], onScrew(45, -10)[1]), "measure-outside"},
		{"neck in the middle of the head", nsa, ap().put(anatomy.NeckUpper, onScrew(80, 15)[0], onScrew(80, 15)[1]).put(anatomy.NeckLower, onScrew(80, -15)[0], onScrew(80, -15)[1]), "measure-crossed"},
		{"shaft upside down", nsa, ap().put(anatomy.ShaftUpper, 0, 300).put(anatomy.ShaftLower, 0, 100), "measure-outside"},
		{"angle of 90", path(90, 0), ap(), "measure-outside"},
		{"angle that is no number", path(units.Deg(nan), 0), ap(), "measure-outside"},
		{"inset below zero", path(130, -1), ap(), "measure-outside"},
		{"inset that is no number", path(130, units.MM(nan)), ap(), "measure-outside"},
		{"line above the head", path(160, 0), ap(), "measure-misses-head"},
		{"line below the head", path(105, 0), ap(), "measure-misses-head"},
		{"upper screw out of the head", path(130, 23.5), ap(), "measure-misses-head"},
		{"cortex on the side of the head", path(130, 0), ap().put(anatomy.LateralCortex, 14, 60), "measure-crossed"},
		{"neck edges swapped", path(130, 0), ap().put(anatomy.NeckLower, low[0], low[1]).put(anatomy.NeckUpper, onScrew(45, -10)[0], onScrew(45, -10)[1]), "measure-crossed"},
		{"isthmus above the shaft line", bow, ap().put(anatomy.CanalA, -5, 90).put(anatomy.CanalB, 5, 90), "measure-crossed"},
		{"bow without an isthmus", bow, ap().without(anatomy.CanalB), "measure-missing"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.of(tt.f)
			if code(err) != tt.code {
				t.Errorf("got %v, want %s", err, tt.code)
			}
		})
	}
}
