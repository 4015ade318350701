package main

import (
	"math"
	"strings"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

func TestOffLine(t *testing.T) {
	chain := [][2]float64{{0, 0}, {0, 10}, {0, 10}, {10, 20}}
	for _, tt := range []struct {
		name string
		p    [2]float64
		want float64
		ok   bool
	}{
		{"beside the first piece", [2]float64{3, 5}, 3, true},
		{"on the other side", [2]float64{-2, 5}, 2, true},
		{"at a corner, outside", [2]float64{-1, 11}, math.Sqrt2, true},
		{"before the start", [2]float64{1, -2}, 0, false},
		{"past the end", [2]float64{12, 21}, 0, false},
	} {
		d, ok := offLine(tt.p, chain)
		if ok != tt.ok || ok && !near(d, tt.want) {
			t.Errorf("%s: %v %v, want %v %v", tt.name, d, ok, tt.want, tt.ok)
		}
	}
	if _, ok := offLine([2]float64{1, 1}, nil); ok {
		t.Error("a chain of no places has a distance")
	}
}

func TestErrors(t *testing.T) {
	e := errorsOf{1, -4, 3, 0, 2}
	for _, tt := range []struct {
		name      string
		got, want float64
	}{{"bias", e.bias(), 0.4}, {"RMS", e.rms(), math.Sqrt(6)}, {"worst", e.worst(), -4}, {"median size", e.median(), 2}, {"of none", errorsOf{}.median() + errorsOf{}.rms(), 0}} {
		if !near(tt.got, tt.want) {
			t.Errorf("%s is %v, want %v", tt.name, tt.got, tt.want)
		}
	}
}

func TestPace(t *testing.T) {
	gaps := make([]float64, 0, 20)
	for range 19 {
		gaps = append(gaps, 20)
	}
	s := pace(append(gaps, 120)) // 20 frames in half a second
	if !near(s.perSecond, 40) || !near(s.slow, 1000.0/120) || !near(s.median, 20) || !near(s.worst, 120) {
		t.Errorf("pace = %+v", s)
	}
	if pace(nil) != (paceOf{}) {
		t.Error("no frames have a pace")
	}
	for per, want := range map[float64]string{30: "at least 30", 29.9: "UNDER", math.NaN(): "UNDER"} {
		if got := paceVerdict(per); !strings.Contains(got, want) {
			t.Errorf("paceVerdict(%v) = %q", per, got)
		}
	}
}

func TestRatio(t *testing.T) {
	for r, want := range map[float64]string{2.5: "within 2.5", 2.51: "OVER", math.NaN(): "OVER"} {
		if got := ratioVerdict(r); !strings.Contains(got, want) {
			t.Errorf("ratioVerdict(%v) = %q", r, got)
		}
	}
	for _, tt := range []struct {
		name string
		ours []float64
		net  float64
		want string
	}{{"half", []float64{40, 50, 900}, 100, "0.50"}, {"not measured", nil, 100, "–"}, {"theirs drowns in its floor", []float64{5}, 0.4, "–"}} {
		if got := overNet(tt.ours, tt.net); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestStatus(t *testing.T) {
	const status = "Name:\tchromium\nVmHWM:\t  250000 kB\nVmRSS:\t 1000 kB\n"
	for line, want := range map[string]float64{"VmHWM:": 256, "VmRSS:": 1.024, "RSS:": 0, "Name:": 0} {
		if got := statusMB(status, line); !near(got, want) {
			t.Errorf("%s is %v MB, want %v", line, got, want)
		}
	}
}

func TestCodestream(t *testing.T) {
	stream := "\xFF\x4F\xFF\x51 a stream \xFF\xD9"
	if got, ok := j2kStream([]byte("header\xFF\x4F" + stream + "\x00\xFE\xFF")); !ok || string(got) != stream {
		t.Errorf("j2kStream = %q %v", got, ok)
	}
	if _, ok := j2kStream([]byte("\xFF\xD9 no stream")); ok {
		t.Error("a codestream was found in a file without one")
	}
}

func TestJoin(t *testing.T) {
	var f found
	f.join(found{Ms: map[string][]float64{"a": {1}}, Rounds: []round{{Across: 1}}})
	f.join(found{Ms: map[string][]float64{"a": {2}, "b": {3}}, Rounds: []round{{Across: 1}}})
	if len(f.Ms["a"]) != 2 || len(f.Ms["b"]) != 1 || len(f.Rounds) != 1 {
		t.Errorf("joined: %+v", f)
	}
}
