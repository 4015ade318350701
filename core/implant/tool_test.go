package implant

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"isthmus/core/testkit"
	"isthmus/core/units"
)

// The teaching set has what a whole operation needs: each kind of tool but the
// last, a driver for each drive, and two patterns of holes, both with a slot.
func TestTeachingIsWhole(t *testing.T) {
	s := Teaching()
	have := map[ToolKind]bool{}
	fits := map[string]bool{}
	for _, tool := range s.Tools {
		have[tool.Kind] = true
		fits[string(tool.Kind)+" "+tool.Fits] = true
	}
	for _, k := range ToolKinds() {
		if !have[k] && k != OtherTool {
			t.Errorf("the teaching set has no %s", k)
		}
	}
	patterns := map[string]bool{}
	for _, n := range s.Nails {
		slots := 0
		for _, h := range n.Distal {
			if h.Slot {
				slots++
			}
		}
		patterns[fmt.Sprint(n.Distal)] = true
		if slots != 1 || !fits[string(ExtractionBolt)+" "+n.Drive] {
			t.Errorf("%s has %d slots and the drive %q, want one slot and a bolt that fits", n.ID, slots, n.Drive)
		}
	}
	if len(patterns) != 2 {
		t.Errorf("the teaching set has %d patterns of distal holes, want 2", len(patterns))
	}
	for _, w := range append(slices.Concat(s.Head, s.Locking), Screw{Drive: s.Caps[0].Drive}) {
		if !fits[string(Screwdriver)+" "+w.Drive] {
			t.Errorf("no screwdriver of the teaching set fits %q", w.Drive)
		}
	}
}

// The shelf of version 1 is read for ever, and it differs from the same of
// version 2 in what began then.
func TestVersions(t *testing.T) {
	old, err := ParseJSON(testkit.Read(t, "shelf/version-1.json"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := ParseJSON(testkit.Read(t, "shelf/version-2.json"))
	if err != nil {
		t.Fatal(err)
	}
	want := []Tool{{ID: "B-T-1", Kind: ParallelSleeve, Fits: "wire 3 mm", Note: "A rule of the house (invented)", Offsets: []units.MM{-8, -4, 4, 8.5}, Stock: 1},
		{ID: "B-T-2", Kind: OtherTool}}
	if !reflect.DeepEqual(s.Tools, want) || s.Nails[0].Drive != "thread 8 mm" || s.Head[0].Drive != "hexagon 5 mm" ||
		s.Locking[0].Drive != "hexagon 3.5 mm" || s.Caps[0].Drive != "hexagon 5 mm" {
		t.Errorf("version 2 reads %+v", s)
	}
	s.Name, s.Tools, s.Nails[0].Drive, s.Head[0].Drive, s.Locking[0].Drive, s.Caps[0].Drive = old.Name, nil, "", "", "", ""
	if !reflect.DeepEqual(s, old) {
		t.Errorf("version 1 reads %+v, want %+v", old, s)
	}
	if b := WriteJSON(old); !bytes.Contains(b, []byte("\"version\": 2,")) {
		t.Error("what is written is not of version 2")
	}
}

// A table with drives and tools, and one from before there were any.
func TestToolTable(t *testing.T) {
	s, err := ParseCSV(testkit.Read(t, "shelf/tools.csv"))
	if err != nil {
		t.Fatal(err)
	}
	want := []Tool{{ID: "B-T-1", Kind: ParallelSleeve, Fits: "wire 3 mm", Offsets: []units.MM{-8, -4, 4, 8.5}, Stock: 1},
		{ID: "B-T-2", Kind: StepDrill, Fits: "head screw 6.5 mm", Note: "Set the stop to the screw length, then read the end nearest the bone (invented)", Stock: 2},
		{ID: "B-T-3", Kind: OtherTool}}
	if !reflect.DeepEqual(s.Tools, want) || s.Nails[0].Drive != "thread 8 mm" || s.Nails[1].Drive != "" || s.Head[0].Drive != "hexagon 5 mm" ||
		s.Locking[0].Drive != "hexagon 3.5 mm" || s.Caps[0].Drive != "hexagon 5 mm" {
		t.Errorf("ParseCSV = %+v", s)
	}
	old, err := ParseCSV(testkit.Read(t, "shelf/small.csv"))
	if err != nil || old.Tools != nil || old.Nails[0].Drive != "" {
		t.Errorf("a table without these columns reads %+v (%v)", old, err)
	}
	b := strings.ReplaceAll(string(testkit.Read(t, "shelf/tools.csv")), "at -8;", "-8;")
	if bare, err := ParseCSV([]byte(b)); err != nil || !reflect.DeepEqual(bare, s) {
		t.Errorf("offsets without the word at read differently (%v)", err)
	}
}

func TestParseOffsets(t *testing.T) {
	for _, tt := range []struct {
		s, want, from string
	}{
		{"", "[]", "nothing said"},
		{"  ", "[]", "blanks only"},
		{"at -8; -4; 4; 8.5", "[-8 -4 4 8.5]", "as it is written"},
		{" AT -8;4,5 ", "[-8 4.5]", "by hand: typed in capitals, with a decimal comma"},
		{"-8 -4", "refused", "no semicolon between"},
		{"4 mm", "refused", "a unit"},
		{"4;", "refused", "a semicolon with nothing behind it"},
		{"NaN", "refused", "no number"},
		{"1e999", "refused", "no finite number"},
		{"at", "refused", "a word alone"},
	} {
		got, err := ParseOffsets(tt.s)
		bare := []float64{}
		for _, v := range got {
			bare = append(bare, float64(v))
		}
		is := fmt.Sprint(bare)
		if err != nil {
			is = "refused"
		}
		if is != tt.want {
			t.Errorf("ParseOffsets(%q) = %s (%v), want %s: %s", tt.s, is, err, tt.want, tt.from)
		}
		if back, err := ParseOffsets(OffsetsText(got)); err != nil || !slices.Equal(back, got) {
			t.Errorf("OffsetsText of %v reads %v (%v)", got, back, err)
		}
	}
}
