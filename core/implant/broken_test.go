package implant

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"isthmus/core/canon"
	"isthmus/core/testkit"
)

// found is one fault as a broken file shows it: place and kind.
func found(err error) (place, why string, one bool) {
	var table *TableError
	var field *FieldError
	var newer *NewerError
	switch {
	case errors.As(err, &table):
		f := table.Faults[0]
		place = fmt.Sprintf("row %d", f.Row)
		if f.Field != "" {
			place += ", " + f.Field
		}
		return place, string(f.Why), len(table.Faults) == 1
	case errors.As(err, &field):
		return field.Path, field.Why, true
	case errors.As(err, &newer):
		return "", "newer", true
	}
	return "", fmt.Sprint(err), false
}

func TestBrokenShelves(t *testing.T) {
	seen := map[string]bool{"expect.txt": true}
	whys := map[string]bool{}
	for _, line := range strings.Split(string(testkit.Read(t, "broken/shelf/expect.txt")), "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		c := strings.Split(line, "\t")
		if len(c) != 4 {
			t.Fatalf("expect.txt: %q has %d parts, want 4", line, len(c))
		}
		seen[c[0]], whys[c[2]] = true, true
		t.Run(c[0], func(t *testing.T) {
			read := ParseCSV
			if strings.HasSuffix(c[0], ".json") {
				read = ParseJSON
			}
			s, err := read(testkit.Read(t, "broken/shelf/"+c[0]))
			place, why, one := found(err)
			if place != c[1] || why != c[2] || !one {
				t.Errorf("%s: fault %q at %q, want %q at %q only: %v", c[3], why, place, c[2], c[1], err)
			}
			if !reflect.DeepEqual(s, Shelf{}) {
				t.Errorf("a refused file gave a shelf")
			}
		})
	}
	for _, path := range testkit.Files(t, "broken/shelf/*") {
		if !seen[filepath.Base(path)] {
			t.Errorf("%s is not in expect.txt", filepath.Base(path))
		}
	}
	everyWhy(t, whys)
}

// everyWhy refuses a kind of fault without a broken file. The size of a file
// is tried below without keeping a large file.
func everyWhy(t *testing.T, have map[string]bool) {
	all := []Why{BadID, BadNumber, BadRange, BadDigits, BadSide, BadPlace, BadPlane, BadKind, BadHead, BadOrder, BadText,
		BeyondNail, TwiceID, TwiceSize, TooMany, BadTable, UnknownColumn, TwiceColumn, MissingColumn, UnknownPart,
		MissingCell, ExtraCell, NoShelfRow, "newer"}
	for _, w := range canon.Whys() {
		all = append(all, Why(w))
	}
	for _, w := range all {
		if !have[string(w)] && w != TooLarge {
			t.Errorf("no broken file for a fault of kind %q", w)
		}
	}
}

// Every limit has a broken file that goes beyond it.
func TestEveryLimitIsBroken(t *testing.T) {
	expect := string(testkit.Read(t, "broken/shelf/expect.txt"))
	rows := map[string]string{"nail": "row 3", "head-screw": "row 5", "locking-screw": "row 6",
		"end-cap": "row 7", "reamer-head": "row 8", "rod": "row 9", "tool": "row 10"}
	for key := range limits {
		part, field, _ := strings.Cut(key, ".")
		hit := false
		for _, line := range strings.Split(expect, "\n") {
			place, why, _ := strings.Cut(line, "\trange\t")
			name, _, _ := strings.Cut(place[strings.LastIndex(place, ".")+1:], "[")
			hit = hit || why != "" && strings.Contains(place, "\t"+rows[part]+", ") && strings.HasSuffix(name, field)
		}
		if !hit {
			t.Errorf("no broken file goes beyond the limit of %s", key)
		}
	}
}

func TestTooLarge(t *testing.T) {
	blank := bytes.Repeat([]byte(" "), MaxBytes+1)
	for name, way := range ways {
		_, err := way.read(blank)
		if _, why, _ := found(err); why != string(TooLarge) {
			t.Errorf("%s of %d bytes: %v, want a fault %q", name, len(blank), err, TooLarge)
		}
	}
	many := "part,id,diameter_mm,stock\n" + strings.Repeat("reamer-head,R,9,1\n", maxParts+3)
	_, err := ParseCSV([]byte(many))
	var e *TableError
	if !errors.As(err, &e) || e.Faults[len(e.Faults)-1].Why != TooMany {
		t.Errorf("ParseCSV of %d rows = %v, want a fault %q", maxParts+3, err, TooMany)
	}
}
