package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A NumberError reports a typed number that cannot be used.
type NumberError struct {
	Text string  // as typed
	Why  string  // "letters", "empty", "two-marks", "range"
	Lo   float64 // the range that is accepted
	Hi   float64
	Unit string
}

// Code names the fault for app/text.
func (e *NumberError) Code() string { return "number-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *NumberError) Error() string {
	shown := e.Text
	if r := []rune(shown); len(r) > 24 {
		shown = string(r[:24]) + "…"
	}
	need := fmt.Sprintf("type a number from %s to %s", Trim(e.Lo, 3), Trim(e.Hi, 3))
	if e.Unit != "" {
		need += " " + e.Unit
	}
	switch e.Why {
	case "empty":
		return "nothing is entered: " + need
	case "two-marks":
		return fmt.Sprintf("“%s” has more than one decimal mark: %s", shown, need)
	case "range":
		return fmt.Sprintf("“%s” is outside what is possible here: %s", shown, need)
	}
	return fmt.Sprintf("“%s” is not a plain number: %s", shown, need)
}

// maxTyped is the longest number a person types; longer text is not a number.
const maxTyped = 24

// ParseNumber reads a plain decimal typed by a person: digits with one point
// or one comma as the decimal mark, an optional sign, blanks around it. It
// takes no exponent, no thousands mark, no hexadecimal, no NaN or infinity,
// and refuses what lies outside lo…hi. The unit is only for the message.
func ParseNumber(text string, lo, hi float64, unit string) (float64, error) {
	bad := func(why string) (float64, error) {
		return 0, &NumberError{Text: text, Why: why, Lo: lo, Hi: hi, Unit: unit}
	}
	s := strings.TrimSpace(text)
	if s == "" {
		return bad("empty")
	}
	if len(s) > maxTyped {
		return bad("letters")
	}
	s = strings.ReplaceAll(s, "−", "-")
	digits, marks := 0, 0
	for i, r := range s {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case r == '.' || r == ',':
			marks++
		case (r == '-' || r == '+') && i == 0:
		default:
			return bad("letters")
		}
	}
	if marks > 1 {
		return bad("two-marks")
	}
	if digits == 0 {
		return bad("letters")
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		return bad("letters")
	}
	if math.IsNaN(v) || !(v >= lo && v <= hi) {
		return bad("range")
	}
	return v, nil
}
