package drawing

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// emWide is how wide a letter is in a wide common screen font, in ems. Our
// fonts are the reader's, so the widest is taken.
func emWide(r rune) float64 {
	switch {
	case strings.ContainsRune("ijlIJ'.,:;|!()[]ft ", r):
		return 0.37
	case strings.ContainsRune("mMWw", r):
		return 0.98
	case strings.ContainsRune("±×−=+<>~", r):
		return 0.84
	case r == '%':
		return 0.95
	case r >= 'A' && r <= 'Z' || r == '…':
		return 0.75
	}
	return 0.635
}

// wide estimates the width of a line of text in css pixels.
func wide(words string, size float64) float64 {
	w := 0.0
	for _, r := range words {
		w += emWide(r)
	}
	return w * size
}

// wideIn is wide for text of a class; bold letters are wider.
func wideIn(class, words string, size float64) float64 {
	if strings.Contains(class, "d-num") || strings.Contains(class, "d-red") || strings.Contains(class, "d-blue") {
		return wide(words, size) * 1.1
	}
	return wide(words, size)
}

// wrap breaks words into lines no wider than room; a value stays with its
// unit. What does not fit in most lines ends with an ellipsis.
func wrap(words string, size, room float64, most int) []string {
	var lines []string
	line := ""
	for _, w := range keepUnits(strings.Fields(words)) {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && wide(next, size) > room {
			lines = append(lines, line)
			next = w
		}
		line = cut(next, size, room)
	}
	if line != "" {
		lines = append(lines, line)
	}
	if len(lines) > most {
		lines = lines[:most]
		lines[most-1] = cut(lines[most-1]+" …", size, room)
	}
	return lines
}

// keepUnits joins numbers with what belongs to them.
func keepUnits(words []string) []string {
	var out []string
	for _, w := range words {
		n := len(out)
		if n > 0 && (w == "mm" || strings.HasPrefix(w, "mm") || w == "±" || w == "%" || strings.HasSuffix(out[n-1], "±")) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// cut shortens a line to the room.
func cut(line string, size, room float64) string {
	if wide(line, size) <= room {
		return line
	}
	for line != "" && wide(line+"…", size) > room {
		_, n := utf8.DecodeLastRuneInString(line)
		line = line[:len(line)-n]
	}
	return strings.TrimRight(line, " …") + "…"
}

// spread moves intervals (wanted middle, length) as little as needed along a
// line so that none overlap and all stay between lo and hi. It keeps their
// order and returns false when they cannot all fit.
func spread(want, length []float64, lo, hi, gap float64) ([]float64, bool) {
	order := make([]int, len(want))
	need := -gap
	for i := range order {
		order[i] = i
		need += length[i] + gap
	}
	if len(want) == 0 {
		return nil, true
	}
	if need > hi-lo+1e-9 {
		return nil, false
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case want[a] < want[b]:
			return -1
		case want[a] > want[b]:
			return 1
		}
		return 0
	})
	mid := make([]float64, len(want))
	edge := lo
	for _, i := range order {
		mid[i] = math.Max(want[i], edge+length[i]/2)
		edge = mid[i] + length[i]/2 + gap
	}
	edge = hi
	for j := len(order) - 1; j >= 0; j-- {
		i := order[j]
		mid[i] = math.Min(mid[i], edge-length[i]/2)
		edge = mid[i] - length[i]/2 - gap
	}
	return mid, true
}

// clamp keeps v between lo and hi.
func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// ruleStep returns the step of the long ticks of a rule: the smallest of
// 5, 10, 20, 50, 100… millimetres that is at least room pixels long.
func ruleStep(k, room float64) float64 {
	for _, s := range []float64{1, 2, 5, 10, 20, 50, 100, 200} {
		if s*k >= room {
			return s
		}
	}
	return 500
}

// list joins words as a person would.
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}
