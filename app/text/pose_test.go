package text

import (
	"strings"
	"testing"

	"isthmus/core/units"
)

func TestPose(t *testing.T) {
	for _, tt := range []struct {
		code   string
		v      units.Length
		name   string
		danger bool
	}{
		{"target", units.Length{Best: 15, Own: 1}, "Tip short of the target", false},
		{"target", units.Length{Best: -3, Own: 1}, "Tip past the target", true},
		{"notch", units.Length{Best: 1, Own: 1}, "Tip above the roof of the notch", true}, // within two standard uncertainties of zero
		{"lower-joint", units.Length{Best: -2, Own: 0.1}, "Lower screw through the joint", true},
	} {
		name, value, danger := Pose(tt.code, tt.v)
		if name != tt.name || danger != tt.danger || strings.Contains(value, "-") || strings.Contains(value, "−") {
			t.Errorf("%s %v: %q, %q, danger %v; want %q, %v and no sign", tt.code, tt.v.Best, name, value, danger, tt.name, tt.danger)
		}
	}
	if _, _, danger := Pose("nonsense", units.Exact(5)); !danger {
		t.Error("what has no words is not called a danger")
	}
}
