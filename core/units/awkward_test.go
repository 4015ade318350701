package units

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// Values that trip a printer. own is one standard uncertainty: ± is twice it.
// Rule: at most two significant digits of the ±, never finer than a tenth, and
// the value to the same place. Source: JCGM 100:2008, 7.2.6; each by hand.
func TestAwkwardPrinting(t *testing.T) {
	for _, tt := range []struct {
		name      string
		best, own MM
		want      string
	}{
		{"9.96 ± 0.04: both carry to a tenth", 9.96, 0.02, "10.0 ± 0.1 mm"},
		{"9.96 ± 0.0996: just under a tenth", 9.96, 0.0498, "10.0 ± 0.1 mm"},
		{"0.0996 ± 0.1: the value carries", 0.0996, 0.05, "0.1 ± 0.1 mm"},
		{"0.04 ± 0.2: nothing left of it", 0.04, 0.1, "0.0 ± 0.2 mm"},
		{"−0.04 ± 0.2: no minus before a zero", -0.04, 0.1, "0.0 ± 0.2 mm"},
		{"± 1e−9: far under what we print, and yet a doubt", 412.3456, 5e-10, "412.3 ± 0.1 mm"},
		{"1e−9 itself", 1e-9, 5e-10, "0.0 ± 0.1 mm"},
		{"999.95 ± 0.5: one more digit before the point", 999.95, 0.25, "1000.0 ± 0.5 mm"},
		{"999.96 ± 0.96", 999.96, 0.48, "1000.0 ± 1.0 mm"},
		{"999.5 ± 1.96: two digits would be three", 999.5, 0.98, "1000 ± 2 mm"},
		{"± 1.949 stays in tenths", 10, 0.9745, "10.0 ± 1.9 mm"},
		{"± 9.96 carries to two digits", 400, 4.98, "400 ± 10 mm"},
		{"± 99.4 has two digits", 400.6, 49.7, "401 ± 99 mm"},
		{"± 99.6 carries to three: in tens", 404.6, 49.8, "400 ± 100 mm"},
		{"± 996 in tens, not in ones", 4046, 498, "4050 ± 1000 mm"},
		{"no doubt: nothing is invented", 9.96, 0, "9.96 mm"},
		{"doubt is no number", 9.96, MM(math.NaN()), "no length"},
		{"doubt without end", 9.96, MM(math.Inf(1)), "no length"},
	} {
		if got := (Length{Best: tt.best, Own: tt.own}).String(); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// Law: for every length the value and the ± end at the same place, the ± has no
// more than two significant digits (one more zero where it is in tens), and
// what is printed is within half of the last place of what is meant, or the
// least that we print.
func TestPrintedDigitsAgree(t *testing.T) {
	for i := range 4000 {
		own := math.Pow(10, float64(i%900)/150-3) // 0.001 to 1000
		l := Length{Best: MM(float64(i)*1.0373 - 999.95), Own: MM(own)}
		v, d := l.Round()
		if a, b := decimals(v), decimals(d); a != b {
			t.Fatalf("%+v: %s ± %s end at different places", l, v, d)
		}
		digits := strings.TrimLeft(strings.ReplaceAll(d, ".", ""), "0")
		if s := strings.TrimRight(digits, "0"); len(s) > 2 && 2*own < 995 {
			t.Fatalf("%+v: ± %s shows more than two digits", l, d)
		}
		f, err := strconv.ParseFloat(d, 64)
		if err != nil {
			t.Fatal(err)
		}
		half := 0.5 / math.Pow10(decimals(d))
		if strings.HasSuffix(d, "0") && f >= 100 {
			half = 5
		}
		if !(f >= 0.1) || f > 0.1 && math.Abs(f-2*own) > half+1e-9 || math.Abs(f-2*own) > 0.1+half {
			t.Fatalf("%+v: ± %s for %v", l, d, 2*own)
		}
	}
}

func decimals(s string) int {
	_, after, _ := strings.Cut(s, ".")
	return len(after)
}

// Law: the order of two things asked the other way round is the other answer,
// more doubt never makes it clearer, and nothing is claimed of what is unknown.
func TestAgainstLaws(t *testing.T) {
	other := map[Order]Order{Less: More, More: Less, Unclear: Unclear}
	for i := range 3000 {
		gap := MM(math.Remainder(float64(i)*0.77, 10))
		own := MM(float64(i%37) / 10)
		l := Length{Best: 100 + gap, Own: own}
		got := l.Against(100)
		if back := (Length{Best: 100 - gap, Own: own}).Against(100); back != other[got] {
			t.Fatalf("%v against 100 is %v, mirrored %v", l, got, back)
		}
		if wider := (Length{Best: 100 + gap, Own: own + 0.3}).Against(100); wider != got && wider != Unclear {
			t.Fatalf("%v against 100 is %v, and with more doubt %v", l, got, wider)
		}
		if moved := (Length{Best: 357 + gap, Own: own}).Against(357); math.Abs(math.Abs(float64(gap))-2*float64(own)) > 1e-9 && moved != got {
			t.Fatalf("%v: moved along it is %v, was %v", l, moved, got)
		}
	}
	var none Order
	if none != Unclear || (Length{}).Against(0) != Unclear {
		t.Error("the zero value claims something")
	}
}
