package radiograph

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

const maxText = 256 // runes of a text that is kept

// cleanText returns a text value without padding and control characters;
// bytes that are not UTF-8 are read as Latin-1.
func cleanText(b []byte) string {
	if len(b) > 4*maxText {
		b = b[:4*maxText]
	}
	s := string(b)
	if !utf8.ValidString(s) {
		r := make([]rune, len(b))
		for i, c := range b {
			r[i] = rune(c)
		}
		s = string(r)
	}
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7F && r < 0xA0 {
			return -1
		}
		return r
	}, s)
	s = strings.TrimSpace(s)
	if r := []rune(s); len(r) > maxText {
		s = string(r[:maxText])
	}
	return s
}

// decimal reads one DS or IS value: blanks, NUL and a leading plus are
// dropped, and one comma is a decimal point (comma reports it). It refuses
// everything else that is not a plain finite number.
func decimal(s string) (v float64, comma, ok bool) {
	s = strings.Trim(s, " \x00\t\r\n")
	s = strings.TrimPrefix(s, "+")
	if s == "" || len(s) > 32 || strings.Trim(s, "0123456789+-.,eE") != "" {
		return 0, false, false
	}
	if n := strings.Count(s, ","); n == 1 && !strings.Contains(s, ".") {
		s, comma = strings.Replace(s, ",", ".", 1), true
	} else if n > 0 {
		return 0, false, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false, false
	}
	return v, comma, true
}

// decimals reads the values of a DS or IS element, parted by backslashes. It
// refuses the whole when one of them cannot be read.
func decimals(b []byte) (vs []float64, comma, ok bool) {
	if len(b) > 4096 {
		return nil, false, false
	}
	for part := range strings.SplitSeq(string(b), `\`) {
		v, c, ok := decimal(part)
		if !ok {
			return nil, false, false
		}
		comma = comma || c
		vs = append(vs, v)
	}
	return vs, comma, true
}
