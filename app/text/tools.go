package text

import (
	"strings"

	"isthmus/core/implant"
)

// Tool names a kind of tool.
func Tool(k implant.ToolKind) string {
	if k == implant.OtherTool {
		return "Other tool"
	}
	return capital(strings.ReplaceAll(string(k), "-", " "))
}

// ToolMore says what a tool fits, its further holes and the hospital's own
// rule for it, as it is written.
func ToolMore(t implant.Tool) string {
	var all []string
	if t.Fits != "" {
		all = append(all, "fits "+tie(t.Fits))
	}
	if len(t.Offsets) > 0 {
		all = append(all, "further holes "+tie(strings.ReplaceAll(implant.OffsetsText(t.Offsets), "-", "−")+" mm from the middle"))
	}
	if t.Note != "" {
		all = append(all, t.Note)
	}
	if len(all) == 0 {
		return "what it fits is not said"
	}
	return strings.Join(all, "; ")
}

// DriveMore follows the words for a part: what turns or pulls it, or nothing.
func DriveMore(drive string) string {
	if drive == "" {
		return ""
	}
	return ", " + tie(drive)
}
