package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
)

func file(t *testing.T, path string) string {
	t.Helper()
	return testkit.Files(t, path)[0]
}

// cli runs the command and returns what it printed.
func cli(args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = run(args, &o, &e)
	return code, o.String(), e.String()
}

func decode(t *testing.T, out string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(out), into); err != nil {
		t.Fatalf("no JSON: %v\n%s", err, out)
	}
}

// Every practice case has a plan in the terminal, in words throughout.
func TestPlan(t *testing.T) {
	bare := regexp.MustCompile(`"(length|diameter|room|doubt|height|width|spacing)": *[0-9]`)
	for _, path := range testkit.Files(t, "cases/*/case.json") {
		t.Run(filepath.Base(filepath.Dir(path)), func(t *testing.T) {
			code, out, errs := cli("plan", path)
			if code != done || errs != "" {
				t.Fatalf("exit %d: %s", code, errs)
			}
			var got planned
			decode(t, out, &got)
			if len(got.Cautions) == 0 || len(got.Sheet) != 9 || !got.Shelf.Teaching || got.Shelf.From != "built in" {
				t.Errorf("cautions %d, sheet %d, shelf %v", len(got.Cautions), len(got.Sheet), got.Shelf)
			}
			for _, r := range got.Reasons {
				if r.Says == "" || len(r.Sources) == 0 && r.Code != "scale-note" {
					t.Errorf("%s says %q, %d sources", r.Code, r.Says, len(r.Sources))
				}
			}
			for _, p := range got.Problems {
				if p.Title == "" || p.Do == "" {
					t.Errorf("%s has no words", p.Code)
				}
			}
			if m := bare.FindString(out); m != "" {
				t.Errorf("a number without its unit in the key: %s", m)
			}
		})
	}
}

func TestPlanSizes(t *testing.T) {
	_, out, _ := cli("plan", file(t, "cases/neck-and-shaft/case.json"))
	var got planned
	decode(t, out, &got)
	// common practice: head screws of 95 and 90 mm for wires of 98 and 93 mm
	if got.Plan.Head.Lower.Ask != 95 || got.Plan.Head.Upper.Ask != 90 {
		t.Errorf("head screws %v and %v, want 95 and 90", got.Plan.Head.Lower.Ask, got.Plan.Head.Upper.Ask)
	}
}

// A shelf can be named; one that travels with the case is used by itself.
func TestPlanShelf(t *testing.T) {
	dir := t.TempDir()
	s := implant.Teaching()
	s.Name, s.Teaching = "Small hospital", false
	shelf := filepath.Join(dir, "shelf.json")
	if err := os.WriteFile(shelf, implant.WriteJSON(s), 0o600); err != nil {
		t.Fatal(err)
	}
	table := filepath.Join(dir, "shelf.csv")
	if err := os.WriteFile(table, implant.WriteCSV(s), 0o600); err != nil {
		t.Fatal(err)
	}
	c, err := record.Unmarshal(testkit.Read(t, "cases/mid-shaft/case.json"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := record.Pack(record.File{Case: c, Shelf: implant.WriteJSON(s)})
	if err != nil {
		t.Fatal(err)
	}
	whole := filepath.Join(dir, "case.isthmus")
	if err := os.WriteFile(whole, b, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name, from string
		args       []string
	}{
		{"named", "--shelf", []string{"plan", file(t, "cases/mid-shaft/case.json"), "--shelf", shelf}},
		{"a table", "--shelf", []string{"plan", file(t, "cases/mid-shaft/case.json"), "--shelf", table}},
		{"in the file", "case file", []string{"plan", whole}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := cli(tt.args...)
			if code != done {
				t.Fatalf("exit %d: %s", code, errs)
			}
			var got planned
			decode(t, out, &got)
			if got.Shelf.From != tt.from || got.Plan.Nail.Length == 0 {
				t.Errorf("shelf %+v, nail %v", got.Shelf, got.Plan.Nail.Length)
			}
		})
	}
}

// ballAt is the rim of the ball of the test film: centre (1000.25, 1560.75),
// diameter 150.0 px, 25 mm. Source: testdata films' provenance, by construction.
var ballAt = []string{"--ball", "25", "--at-bone", "yes",
	"--at", "1075.25,1560.75", "--at", "1053.28,1613.78", "--at", "1000.25,1635.75", "--at", "947.22,1613.78",
	"--at", "925.25,1560.75", "--at", "947.22,1507.72", "--at", "1000.25,1485.75", "--at", "1053.28,1507.72"}

func TestScale(t *testing.T) {
	film := file(t, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	for _, tt := range []struct {
		name   string
		args   []string
		want   float64
		origin string
		source string
	}{
		{"ball", append([]string{"scale", film}, ballAt...), 25.0 / 150, "ball", "by hand: 25 mm over 150 px"},
		{"ruler", []string{"scale", film, "--ruler", "100", "--at", "300,200", "--at", "300,800", "--at-bone", "yes"}, 100.0 / 600, "ruler", "by hand: 60 px are 10 mm"},
		{"header with the machine's factor", []string{"scale", file(t, "films/variants/sp_imager_ermf_1p15.dcm")}, 1.84 / 1.15, "machine", "by hand: 1.84/1.15"},
		{"distances", []string{"scale", file(t, "films/variants/sp_imager_only.dcm"), "--sid", "1150", "--oid", "150"}, 1.6 / 1.15, "distances", "by hand: spacing 1.6 over 1150/1000"},
		{"assumed", []string{"scale", file(t, "films/variants/sp_imager_only.dcm"), "--factor", "1.15"}, 1.6 / 1.15, "assumed", "by hand: 1.6/1.15"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := cli(tt.args...)
			if code != done {
				t.Fatalf("exit %d: %s", code, errs)
			}
			var got scaled
			decode(t, out, &got)
			testkit.Near(t, tt.source, float64(got.Plane.Col), tt.want, 2e-4*tt.want)
			if string(got.Plane.Origin) != tt.origin || !(got.Plane.Rel > 0.001) {
				t.Errorf("origin %s, rel %v, want %s and a doubt", got.Plane.Origin, got.Plane.Rel, tt.origin)
			}
		})
	}
}

// Nothing that is not a scale of the bone becomes one.
func TestScaleSaysNo(t *testing.T) {
	for _, tt := range []struct{ name, film string }{
		{"a photo", "films/variants/cal_ball25_ruler_mag1p20.jpg"},
		{"the detector's spacing", "films/variants/sp_imager_only.dcm"},
		{"equal spacings", "films/variants/sp_both_equal_uncalibrated.dcm"},
		{"spacing of unknown plane", "films/variants/sp_pixelspacing_only_cr.dcm"},
		{"none", "films/variants/sp_none.dcm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := cli("scale", file(t, tt.film))
			if code != done {
				t.Fatalf("exit %d: %s", code, errs)
			}
			var got scaled
			decode(t, out, &got)
			if got.Plane.Usable() || len(got.Problems) == 0 || !strings.HasPrefix(got.Scale, "No scale") {
				t.Errorf("%s: %+v, %d problems", got.Scale, got.Plane, len(got.Problems))
			}
		})
	}
}

func TestMeasure(t *testing.T) {
	film := file(t, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	args := append([]string{"measure", film, "--view", "ap", "--point", "canal-a=700,900", "--point", "canal-b=760,900",
		"--point", "trochanter-tip=600,100", "--point", "distal-target=600,1900"}, ballAt...)
	code, out, errs := cli(args...)
	if code != done {
		t.Fatalf("exit %d: %s", code, errs)
	}
	var got measured
	decode(t, out, &got)
	want := map[string]float64{"canal": 10, "trochanter tip to distal target": 300} // by hand: 60/6 and 1800/6
	for _, l := range got.Lengths {
		if w, ok := want[l.Name]; ok {
			testkit.Near(t, l.Name, float64(l.Best), w, 2e-4*w)
			if !(l.Doubt() > 0) || !strings.Contains(l.Says, "±") {
				t.Errorf("%s has no doubt: %q", l.Name, l.Says)
			}
			delete(want, l.Name)
		}
	}
	if len(want) > 0 || len(got.Notices) != 1 {
		t.Errorf("not measured: %v; notices %v", want, got.Notices)
	}
	// without a scale nothing is measured
	_, out, _ = cli("measure", film, "--view", "ap", "--point", "canal-a=700,900", "--point", "canal-b=760,900")
	var none measured
	decode(t, out, &none)
	if len(none.Lengths) != 0 || len(none.Refused) != 1 {
		t.Errorf("lengths %v, refused %v", none.Lengths, none.Refused)
	}
}

func TestMisuse(t *testing.T) {
	film := file(t, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	dir := t.TempDir()
	junk := filepath.Join(dir, "junk")
	if err := os.WriteFile(junk, []byte("no film, no case"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"nothing", nil, misuse, "usage"},
		{"no file", []string{"plan"}, misuse, "usage"},
		{"unknown", []string{"draw", film}, misuse, "usage"},
		{"no such case", []string{"plan", filepath.Join(dir, "none")}, failed, "check the path"},
		{"no case", []string{"plan", junk}, failed, "not a case file"},
		{"broken case", []string{"plan", file(t, "broken/case/age-negative.json")}, failed, "age"},
		{"option of plan", []string{"plan", junk, "--fast"}, misuse, "--fast"},
		{"shelf without a file", []string{"plan", junk, "--shelf"}, misuse, "needs a value"},
		{"no film", []string{"scale", junk}, failed, ""},
		{"mark before a marker", []string{"scale", film, "--at", "1,2"}, misuse, "--at comes after"},
		{"two commas", []string{"scale", film, "--ball", "25", "--at", "1,2,3"}, misuse, "is no place"},
		{"not a number", []string{"scale", film, "--ball", "25mm"}, misuse, "not a plain number"},
		{"NaN", []string{"scale", film, "--ball", "NaN"}, misuse, "not a plain number"},
		{"off the film", []string{"scale", film, "--ball", "25", "--at", "99999,3"}, failed, "does not lie on this film"},
		{"at-bone", []string{"scale", film, "--at-bone", "perhaps"}, misuse, "yes, no or unsure"},
		{"twice", []string{"scale", film, "--sid", "1150", "--sid", "1100"}, misuse, "given twice"},
		{"no view", []string{"measure", film, "--point", "canal-a=1,2"}, misuse, "--view"},
		{"no point", []string{"measure", film, "--view", "ap"}, misuse, "--point"},
		{"unknown landmark", []string{"measure", film, "--view", "ap", "--point", "knee=1,2"}, misuse, "is no point"},
		{"landmark twice", []string{"measure", film, "--view", "ap", "--point", "notch=1,2", "--point", "notch=1,3"}, misuse, "given twice"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := cli(tt.args...)
			if code != tt.code || !strings.Contains(errs, tt.says) || out != "" {
				t.Errorf("exit %d, %q, want %d and %q; printed %q", code, errs, tt.code, tt.says, out)
			}
			if strings.HasPrefix(errs, "cli:") || strings.HasPrefix(errs, "record:") {
				t.Errorf("the room is named: %q", errs)
			}
		})
	}
}

// Law: a marker twice as large in pixels is half the scale.
func TestScaleLaw(t *testing.T) {
	film := file(t, "films/variants/cal_ball25_ruler_mag1p20.jpg")
	col := func(to string) float64 {
		_, out, errs := cli("scale", film, "--ruler", "50", "--at", "100,100", "--at", to, "--at-bone", "yes")
		var got scaled
		if errs != "" {
			t.Fatal(errs)
		}
		decode(t, out, &got)
		return float64(got.Plane.Col)
	}
	if one, two := col("100,500"), col("100,900"); math.Abs(one/two-2) > 1e-9 {
		t.Errorf("%v and %v", one, two)
	}
}
