package text

import (
	"testing"

	"isthmus/core/implant"
	"isthmus/core/units"
)

func TestToolWords(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{Tool(implant.StepDrill), "Step drill"},
		{Tool(implant.OtherTool), "Other tool"},
		{ToolMore(implant.Tool{}), "what it fits is not said"},
		{ToolMore(implant.Tool{Fits: "hexagon 5 mm", Note: "A rule of the house."}), "fits hexagon 5" + nbsp + "mm; A rule of the house."},
		{ToolMore(implant.Tool{Kind: implant.ParallelSleeve, Offsets: []units.MM{-8, 4.5}}), "further holes at −8; 4.5" + nbsp + "mm from the middle"},
		{DriveMore(""), ""},
		{DriveMore("thread 8 mm"), ", thread 8" + nbsp + "mm"},
	} {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}
