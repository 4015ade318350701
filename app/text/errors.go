package text

import (
	"regexp"
	"strings"
)

// room matches the name of the room at the start of an error.
var room = regexp.MustCompile(`^(units|geom|anatomy|radiograph|calibrate|measure|find|implant|record|canon|plan|neck|practice|state|store|viewer|film|files|text|drawing|api|server|cli): `)

// Error words an error for a person: what was found, what is needed, what to
// do, without the name of the room that found it. No error is no words.
func Error(err error) string {
	if err == nil {
		return ""
	}
	s := strings.TrimSpace(err.Error())
	for room.MatchString(s) {
		s = strings.TrimSpace(room.ReplaceAllString(s, ""))
	}
	if s == "" {
		return "Something failed and did not say what: try again, and export the case first."
	}
	s = tie(capital(s))
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
