package record

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// isHex reports whether s is n hexadecimal digits in lower case.
func isHex(s string, n int) bool {
	return len(s) == n && only(s, "0123456789abcdef")
}

// only reports whether s holds nothing but these characters.
func only(s, chars string) bool {
	for i := range len(s) {
		if strings.IndexByte(chars, s[i]) < 0 {
			return false
		}
	}
	return true
}

const idChars = "abcdefghijklmnopqrstuvwxyz0123456789-"

// isShortID reports whether s can name a piece of evidence or a reading.
func isShortID(s string) bool { return len(s) >= 1 && len(s) <= 32 && only(s, idChars) }

// isKey reports whether s can be the key of a setting.
func isKey(s string) bool { return len(s) >= 1 && len(s) <= 64 && only(s, idChars+"_.") }

// isPracticeKey reports whether s can name a drawn case: words of a–z and 0–9
// joined by single hyphens.
func isPracticeKey(s string) bool {
	return len(s) >= 1 && len(s) <= maxKey && only(s, idChars) && s[0] != '-' && s[len(s)-1] != '-' && !strings.Contains(s, "--")
}

// isTime reports whether s is a time as 2026-11-25T07:30:00Z: RFC 3339, UTC,
// whole seconds, a day that exists. One form only, so that times sort as text.
// Source: RFC 3339, 5.6 and 5.7 (leap seconds are not taken).
func isTime(s string) bool {
	if len(s) != 20 || s[4] != '-' || s[7] != '-' || s[10] != 'T' || s[13] != ':' || s[16] != ':' || s[19] != 'Z' {
		return false
	}
	year, month, day := digits(s[0:4]), digits(s[5:7]), digits(s[8:10])
	hour, minute, second := digits(s[11:13]), digits(s[14:16]), digits(s[17:19])
	return year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month) &&
		hour >= 0 && hour <= 23 && minute >= 0 && minute <= 59 && second >= 0 && second <= 59
}

// digits returns the number, or −1 when s is not digits only.
func digits(s string) int {
	n := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return -1
		}
		n = 10*n + int(s[i]-'0')
	}
	return n
}

func daysIn(year, month int) int {
	switch {
	case month == 2 && (year%4 == 0 && year%100 != 0 || year%400 == 0):
		return 29
	case month == 2:
		return 28
	case month == 4 || month == 6 || month == 9 || month == 11:
		return 30
	}
	return 31
}

// plainText reports whether s is valid UTF-8 whose control characters are
// all among those named.
func plainText(s, controls string) bool {
	if !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if unicode.IsControl(r) && !strings.ContainsRune(controls, r) {
			return false
		}
	}
	return true
}
