package drawing

import (
	"errors"
	"math"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

// A coin of 24.5 mm measured 29.40 is magnified 1.2000 times. Source:
// Orthopaedic Proceedings 2006, 88-B Supp II, 247.
func TestMarker(t *testing.T) {
	svg, err := Marker(MarkerInput{ID: "k", True: 24.5, Seen: 29.4})
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "marker", svg)
	testkit.Near(t, "true", mmOf(t, els, "marker-true"), 24.5, 1e-9)
	testkit.Near(t, "seen", mmOf(t, els, "marker-seen"), 29.4, 1e-9)
	if !hasText(els, "to one scale; seen ÷ true = 1.200") {
		t.Error("the magnification is not written")
	}
	for _, in := range []MarkerInput{{ID: "k", True: 500, Seen: 800}, {ID: "k", True: 3, Seen: 3}, {ID: "k", True: 3, Seen: 4.8}} {
		svg, err := Marker(in)
		if err != nil {
			t.Fatal(err)
		}
		checkDrawing(t, "marker at its limits", svg)
	}
}

func TestMarkerRefuses(t *testing.T) {
	for _, in := range []MarkerInput{{}, {True: 25, Seen: 24}, {True: 25, Seen: 41}, {True: units.MM(math.NaN()), Seen: 25}, {True: 25, Seen: units.MM(math.Inf(1))}} {
		var nothing *NothingToDrawError
		if svg, err := Marker(in); svg != "" || !errors.As(err, &nothing) {
			t.Errorf("Marker(%v) = %q, %v; want a NothingToDrawError", in, svg, err)
		}
	}
}

func TestExposureFrom(t *testing.T) {
	for _, tt := range []struct {
		name          string
		sid, sod, oid *units.MM
		bone          units.MM
		ok            bool
	}{
		{"SID and OID", mm(1150), nil, mm(150), 150, true},
		{"SID and SOD, facts of DICOM PS3.3 C.8.7.6", mm(1150), mm(1000), nil, 150, true},
		{"no bone", mm(1150), nil, nil, 0, false},
		{"no SID", nil, mm(1000), nil, 0, false},
	} {
		in, ok := ExposureFrom(tt.sid, tt.sod, tt.oid)
		if ok != tt.ok || in.Bone != tt.bone {
			t.Errorf("%s: %v %v, want %v %v", tt.name, in.Bone, ok, tt.bone, tt.ok)
		}
	}
}
