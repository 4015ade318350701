package units

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestParseNumber(t *testing.T) {
	for _, tt := range []struct {
		text string
		want float64
	}{
		{"12.5", 12.5}, {"12,5", 12.5}, {" 12.5\t", 12.5}, {"+12", 12}, {"-3", -3}, {"−3", -3}, {".5", 0.5}, {",5", 0.5}, {"5.", 5},
		{"007", 7}, {"0", 0}, {"-0", 0}, {"100", 100}, {"-100", -100}, {"0.1000000000000000000", 0.1},
	} {
		got, err := ParseNumber(tt.text, -100, 100, "mm")
		if err != nil || got != tt.want {
			t.Errorf("%q: %v %v, want %v (by hand)", tt.text, got, err, tt.want)
		}
	}
}

// One broken text for each fault.
func TestParseNumberRefuses(t *testing.T) {
	for _, tt := range []struct{ name, text, code string }{
		{"nothing", "", "number-empty"},
		{"blanks", " \t ", "number-empty"},
		{"letters", "12mm", "number-letters"},
		{"a word", "twelve", "number-letters"},
		{"no number", "NaN", "number-letters"},
		{"infinity", "Inf", "number-letters"},
		{"exponent", "1e2", "number-letters"},
		{"huge exponent", "1e308", "number-letters"},
		{"hexadecimal", "0x10", "number-letters"},
		{"underscore", "1_0", "number-letters"},
		{"blank inside", "1 0", "number-letters"},
		{"two signs", "--5", "number-letters"},
		{"sign at the end", "5-", "number-letters"},
		{"sign alone", "-", "number-letters"},
		{"mark alone", ".", "number-letters"},
		{"other digits", "١٢", "number-letters"},
		{"wide digits", "１２", "number-letters"},
		{"zero byte", "1\x00", "number-letters"},
		{"broken UTF-8", "1\xff", "number-letters"},
		{"huge text", strings.Repeat("9", 1<<20), "number-letters"},
		{"25 digits", strings.Repeat("1", 25), "number-letters"},
		{"two points", "1.2.3", "number-two-marks"},
		{"two commas", "1,234,5", "number-two-marks"},
		{"point and comma", "1.234,5", "number-two-marks"},
		{"below", "-100.1", "number-range"},
		{"above", "100.0001", "number-range"},
		{"24 digits", strings.Repeat("9", 24), "number-range"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v, err := ParseNumber(tt.text, -100, 100, "mm")
			var e *NumberError
			if !errors.As(err, &e) || e.Code() != tt.code || v != 0 {
				t.Fatalf("%v, %v; want %s", v, err, tt.code)
			}
			if s := e.Error(); !strings.Contains(s, "type a number from -100 to 100 mm") || len(s) > 300 {
				t.Errorf("%q does not say what to do, briefly", s)
			}
		})
	}
	for _, lim := range [][2]float64{{math.NaN(), 5}, {0, math.NaN()}, {5, 0}} {
		if v, err := ParseNumber("3", lim[0], lim[1], ""); err == nil {
			t.Errorf("limits %v accept %v", lim, v)
		}
	}
}

func FuzzParseNumber(f *testing.F) {
	seeds := []string{"", "12,5", "12.5", "NaN", "-1", "1e308", "1.2.3", "1,2,3", "abc", "−5", "+", ".", "0x1p4", "1_000", " 5 ", "\x00", "\xff", strings.Repeat("9", 400), "٣"}
	for _, s := range seeds {
		f.Add(s, 0.0, 2000.0)
	}
	f.Fuzz(func(t *testing.T, text string, lo, hi float64) {
		v, err := ParseNumber(text, lo, hi, "mm")
		if err != nil {
			var e *NumberError
			if !errors.As(err, &e) || v != 0 || len(e.Error()) > 800 {
				t.Errorf("ParseNumber(%q) = %v, %v", text, v, err)
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || !(v >= lo && v <= hi) {
			t.Errorf("ParseNumber(%q, %v, %v) = %v", text, lo, hi, v)
		}
		// law: what is printed of it reads back the same
		if s := Trim(v, 12); len(s) <= maxTyped && math.Abs(v) < 1e3 {
			if w, err := ParseNumber(s, -1e9, 1e9, ""); err != nil || math.Abs(w-v) > 1e-11 {
				t.Errorf("%q reads back as %v %v, was %v", s, w, err, v)
			}
		}
		// law: the decimal comma and the decimal point mean the same
		w, err := ParseNumber(strings.ReplaceAll(text, ",", "."), lo, hi, "mm")
		if err != nil || w != v {
			t.Errorf("%q with a point: %v %v, want %v", text, w, err, v)
		}
	})
}

func ExampleParseNumber() {
	fmt.Println(ParseNumber("12,5", 3, 40, "mm"))
	fmt.Println(ParseNumber("1.2.3", 3, 40, "mm"))
	fmt.Println(ParseNumber("95", 3, 40, "mm"))
	// Output:
	// 12.5 <nil>
	// 0 “1.2.3” has more than one decimal mark: type a number from 3 to 40 mm
	// 0 “95” is outside what is possible here: type a number from 3 to 40 mm
}
