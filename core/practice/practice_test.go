package practice

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// told is what the film worker tells of a practice case.
func told(t testing.TB, n int) []byte {
	t.Helper()
	c, ok := phantom.Practice(n)
	if !ok {
		t.Fatalf("no case %d", n)
	}
	all, err := c.Tell()
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func truth(t testing.TB, n int) Truth {
	t.Helper()
	out, err := Parse(told(t, n))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// perfect is a case of somebody who measured without error, on the films as
// they are stored.
func perfect(tr Truth) record.Case {
	c := TrueCase(record.Case{Practice: tr.Practice}, tr)
	for i, f := range tr.Films {
		c.Films[i].Tags.ViewPosition = map[anatomy.View]string{anatomy.AP: "AP", anatomy.Lateral: "LL"}[f.View]
		c.Films[i].Tags.Laterality = map[anatomy.Side]string{anatomy.Left: "L", anatomy.Right: "R"}[tr.Side]
	}
	return c
}

func row(t *testing.T, c Comparison, w What) Row {
	t.Helper()
	for _, r := range c.Rows {
		if r.What == w {
			return r
		}
	}
	t.Fatalf("no row %s", w)
	return Row{}
}

// Nothing is compared when nothing is measured, whatever else is answered,
// and never with another case's truth or a patient's.
func TestCompareRefuses(t *testing.T) {
	tr := truth(t, 0)
	bare := record.Case{Practice: tr.Practice, Side: tr.Side}
	films := perfect(tr)
	for i := range films.Films {
		films.Films[i].Points, films.Films[i].Evidence = nil, nil
	}
	refused := perfect(tr)
	for i := range refused.Films { // points, but two places make no ball: no scale, no length
		refused.Films[i].Evidence[0].At = refused.Films[i].Evidence[0].At[:2]
	}
	other, patient := perfect(tr), perfect(tr)
	other.Practice, patient.Practice = "narrow-canal", ""
	for _, tt := range []struct {
		name string
		c    record.Case
		want string
	}{
		{"no films", bare, "practice-nothing"}, {"films without a point", films, "practice-nothing"},
		{"scale refused", refused, "practice-nothing"}, {"another case", other, "practice-other"}, {"a patient", patient, "practice-other"},
	} {
		got, err := Compare(tt.c, implant.Teaching(), tr)
		var c interface{ Code() string }
		if !errors.As(err, &c) || c.Code() != tt.want || len(got.Rows) != 0 {
			t.Errorf("%s: %v, %d rows", tt.name, err, len(got.Rows))
		}
	}
}

// One scale refused leaves the other, and what hangs on it.
func TestOneScaleRefused(t *testing.T) {
	tr := truth(t, 0)
	c := perfect(tr)
	c.Films[0].Evidence[0].At = c.Films[0].Evidence[0].At[:2]
	got, err := Compare(c, implant.Teaching(), tr)
	if err != nil {
		t.Fatal(err)
	}
	if ap := row(t, got, ScaleAP); ap.Measured() || !ap.Refused || ap.Holds {
		t.Errorf("refused scale: %+v", ap)
	}
	if lat := row(t, got, ScaleLateral); !lat.Measured() || !lat.Holds {
		t.Errorf("the other scale: %+v", lat)
	}
	if row(t, got, CanalAP).Measured() || !row(t, got, CanalLateral).Holds {
		t.Error("a canal without a scale is compared, or the other is not")
	}
}

// The wrong side is said, and the true nail is of the true side.
func TestWrongSide(t *testing.T) {
	tr := truth(t, 0)
	c := perfect(tr)
	c.Side = tr.Side.Other()
	got, err := Compare(c, implant.Teaching(), tr)
	if err != nil || got.Side == got.TrueSide || got.TrueSide != anatomy.Right || got.SameNail() {
		t.Fatalf("%v, sides %s and %s, same nail %v", err, got.Side, got.TrueSide, got.SameNail())
	}
	if p := got.True.Nail.Part; p == nil || p.Side == anatomy.Left {
		t.Errorf("the true nail is %+v", p)
	}
}

// Who measures without error gets every row within the doubt, or is told that
// the films give no better, and the same nail.
func TestPerfect(t *testing.T) {
	for n := range phantom.Practices() {
		tr := truth(t, n)
		t.Run(tr.Practice, func(t *testing.T) {
			got, err := Compare(perfect(tr), implant.Teaching(), tr)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range got.Rows {
				if r.Measured() && !r.Holds && !r.ByFilm || r.ByScale {
					t.Errorf("%+v", r)
				}
				if never := r.What == Isthmus || r.What == NSA || r.What == BreakUpper; never && r.Measured() && !r.Holds {
					t.Errorf("%s does not hold the truth, marked without error: %+v", r.What, r)
				}
			}
			for _, w := range []What{ScaleAP, ScaleLateral, Length, CanalAP, CanalLateral, Head, NeckRoom, Condyles} {
				if !row(t, got, w).Holds {
					t.Errorf("%s: %+v", w, row(t, got, w))
				}
			}
			if got.Measured < 11 || got.Holding < 8 || !got.SameNail() {
				t.Errorf("%d of %d hold, nails %v and %v", got.Holding, got.Measured, got.Mine.Nail.Part, got.True.Nail.Part)
			}
		})
	}
}

// A ball of 25 mm entered as 27.5 makes everything a tenth too long. By hand:
// 0.2·1000/1150 = 0.17391 mm a pixel; a tenth more is 0.19130. The canal of
// 11.4 mm reads 12.5. Every length is put down to the scale, no angle is.
func TestScaleTooLarge(t *testing.T) {
	tr := truth(t, 0)
	c := perfect(tr)
	for i := range c.Films {
		c.Films[i].Evidence[0].True = mm(27.5)
	}
	got, err := Compare(c, implant.Teaching(), tr)
	if err != nil {
		t.Fatal(err)
	}
	s := row(t, got, ScaleAP)
	testkit.Near(t, "scale", float64(s.Length.Best), 0.19130, 1e-4)
	testkit.Near(t, "off by", s.Diff, 0.01739, 1e-4)
	for _, w := range []What{Length, CanalAP, CanalLateral, Head, NeckRoom, Condyles} {
		r := row(t, got, w)
		testkit.Near(t, string(w), r.Diff/r.True, 0.10, 0.012)
		if r.Holds || !r.ByScale || r.ByFilm {
			t.Errorf("%s: %+v", w, r)
		}
	}
	if s.Holds || s.ByScale || row(t, got, NSA).ByScale {
		t.Error("the scale is put down to itself, or an angle to the scale")
	}
	if got.SameNail() {
		t.Error("a bone a tenth too long gets the same nail")
	}
}

// Edges of the canal marked 10 px too far out on each side: 20 · 0.17391 =
// 3.5 mm too wide, by hand; neither scale nor films are the reason.
func TestLandmarkOff(t *testing.T) {
	tr := truth(t, 0)
	c := perfect(tr)
	var a, b *record.Point
	for i := range c.Films[0].Points {
		switch p := &c.Films[0].Points[i]; p.Name {
		case anatomy.CanalA:
			a = p
		case anatomy.CanalB:
			b = p
		}
	}
	if a.At.X > b.At.X {
		a, b = b, a
	}
	a.At.X -= 10
	b.At.X += 10
	got, err := Compare(c, implant.Teaching(), tr)
	if err != nil {
		t.Fatal(err)
	}
	r := row(t, got, CanalAP)
	testkit.Near(t, "canal", r.Diff, 3.5, 0.12)
	if r.Holds || r.ByScale || r.ByFilm {
		t.Errorf("%+v", r)
	}
}

// A neck that is broken is told, with what the case says of it; the true plan
// locks into the head.
func TestNeck(t *testing.T) {
	tr := truth(t, 4)
	c := perfect(tr)
	c.Injury.Neck = record.No
	got, err := Compare(c, implant.Teaching(), tr)
	if err != nil || !got.NeckBroken || got.Neck != record.No || got.True.Locking.Pattern != "head" {
		t.Errorf("%v, neck %v as %q, true locking %s", err, got.NeckBroken, got.Neck, got.True.Locking.Pattern)
	}
}

// Doubt decides: the same difference holds with a large doubt and not with a
// small one; what is no number is not measured.
func TestHolds(t *testing.T) {
	for _, tt := range []struct {
		name     string
		got      *units.Length
		measured bool
		holds    bool
	}{
		{"not measured", nil, false, false},
		{"no number", &units.Length{Best: units.MM(math.NaN()), Own: 1}, false, false},
		{"no doubt at all", &units.Length{Best: 11}, true, false},
		{"just inside, 2·0.5", &units.Length{Best: 11, Own: 0.3, Shared: 0.4}, true, true},
		{"just outside, 2·0.49", &units.Length{Best: 11, Own: 0.49}, true, false},
	} {
		if r := lengthRow(CanalAP, tt.got, 10, Row{}); r.Measured() != tt.measured || r.Holds != tt.holds {
			t.Errorf("%s: %+v", tt.name, r)
		}
	}
}

// What is told is read strictly.
func TestParseRefuses(t *testing.T) {
	good := string(told(t, 0))
	for _, tt := range []struct{ name, from, to string }{
		{"a field that nobody knows", `"side"`, `"sight":1,"side"`},
		{"no side", `"side":"right"`, `"side":""`},
		{"no length", `"length_mm":`, `"length_mm":0,"x_mm":`},
		{"below zero", `"head_mm":`, `"head_mm":-`},
		{"no view", `"view":"ap"`, `"view":"ap "`},
		{"a landmark that there is not", `"canal-a"`, `"canal-z"`},
		{"a landmark beside the film", `"name":"canal-a","x_px":`, `"name":"canal-a","x_px":9`},
		{"cut", `}`, ``},
		{"too long", `{`, strings.Repeat(" ", maxTold) + `{`},
	} {
		b := strings.Replace(good, tt.from, tt.to, 1)
		var e *TruthError
		if got, err := Parse([]byte(b)); b == good || !errors.As(err, &e) || got.Practice != "" {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// Whatever is told, it is refused or compared; nothing panics, no number is
// NaN.
func FuzzParse(f *testing.F) {
	f.Add(told(f, 0))
	f.Add(told(f, 4))
	f.Add([]byte(`{"practice":"x"}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		tr, err := Parse(b)
		if err != nil {
			return
		}
		got, err := Compare(perfect(tr), implant.Teaching(), tr)
		if err != nil {
			return
		}
		for _, r := range got.Rows {
			if math.IsNaN(r.Diff + r.True + r.AtBest) {
				t.Fatalf("%+v", r)
			}
		}
	})
}
