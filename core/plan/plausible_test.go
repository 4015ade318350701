package plan

import (
	"testing"

	"isthmus/core/units"
)

// Ranges by hand from the series named in plausible.go: canal 5.98 to 15.36 mm,
// head 34.8 to 56.0 mm, neck–shaft angle 100.1 to 146.2°, version −23.6 to 48.7°.
func TestPlausibles(t *testing.T) {
	l := func(best, u units.MM) *units.Length { return &units.Length{Best: best, Own: u} }
	a := func(best, u units.Deg) *units.Angle { return &units.Angle{Best: best, Own: u} }
	for _, tt := range []struct {
		name string
		b    Bone
		s    Space
		want string
	}{
		{"nothing measured", Bone{}, Space{}, ""},
		{"usual", Bone{Canal: l(10.5, 0.3), HeadDia: l(46, 0.5), NSA: a(128, 1)}, Space{Version: a(14, 4), NeckShaft: a(126, 1)}, ""},
		{"a canal of 17", Bone{Canal: l(17, 0.3)}, Space{}, "canal"},
		{"a canal of 16, in doubt", Bone{Canal: l(16, 0.5)}, Space{}, ""},
		{"a canal of 5", Bone{Canal: l(5, 0.3)}, Space{}, "canal"},
		{"a head of 60: the wrong scale", Bone{HeadDia: l(60, 1)}, Space{}, "head"},
		{"a neck at 155° on the film", Bone{NSA: a(155, 2)}, Space{}, "neck–shaft angle"},
		{"… that is 135° in truth", Bone{NSA: a(155, 2)}, Space{NeckShaft: a(135, 2)}, ""},
		{"a neck turned by 70°", Bone{}, Space{Version: a(70, 4)}, "version of the neck"},
		{"turned back by 40°", Bone{}, Space{Version: a(-40, 4)}, "version of the neck"},
		{"turned back by 30°, in doubt", Bone{}, Space{Version: a(-30, 4)}, ""},
	} {
		got := plausibles(tt.b, tt.s)
		if tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) != 1 || got[0].Facts[0].Word != tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, got, tt.want)
		}
	}
}
