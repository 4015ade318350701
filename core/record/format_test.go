package record

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
)

// FORMAT.md names every field and every limit of the code.
func TestFormatIsWhole(t *testing.T) {
	b, err := os.ReadFile(filepath.Join(testkit.Root(t), "core", "record", "FORMAT.md"))
	if err != nil {
		t.Fatal(err)
	}
	doc := string(b)
	if n := fieldsNamed(t, doc); n < 60 {
		t.Errorf("only %d fields were looked for", n)
	}
	limitsNamed(t, doc)
	for _, word := range slices.Concat(texts(ReadingKinds()), texts(EvidenceKinds()), texts(Levels()), texts(Wounds()), texts(Comminutions()), texts(Entries()), texts(Letters()), laterWords()) {
		if !strings.Contains(doc, "`"+word+"`") {
			t.Errorf("FORMAT.md does not name the word %s", word)
		}
	}
	for _, l := range append(anatomy.Landmarks(anatomy.AP), anatomy.Landmarks(anatomy.Lateral)...) {
		if !strings.Contains(doc, "`"+string(l)+"`") {
			t.Errorf("FORMAT.md does not name the landmark %s", l)
		}
	}
}

func laterWords() (out []string) {
	for _, lists := range later {
		out = append(out, slices.Concat(slices.Collect(maps.Values(lists))...)...)
	}
	return out
}

func fieldsNamed(t *testing.T, doc string) (n int) {
	var walk func(reflect.Type)
	walk = func(ty reflect.Type) {
		switch ty.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Array:
			walk(ty.Elem())
		case reflect.Struct:
			for i := range ty.NumField() {
				name, _, _ := strings.Cut(ty.Field(i).Tag.Get("json"), ",")
				if name == "x" || name == "y" {
					continue // of a point, written out there
				}
				n++
				if !strings.Contains(doc, "`"+name+"`") {
					t.Errorf("FORMAT.md does not name %s.%s", ty.Name(), name)
				}
				walk(ty.Field(i).Type)
			}
		}
	}
	walk(reflect.TypeFor[Case]())
	return n
}

func limitsNamed(t *testing.T, doc string) {
	for _, want := range []string{
		fmt.Sprintf("isthmus-case, version %d", Version), fmt.Sprintf("isthmus-file, version %d", FileVersion),
		fmt.Sprintf("at most %d MiB", MaxCase>>20), fmt.Sprintf("at most %d MiB. Its format", maxShelf>>20),
		fmt.Sprintf("text %d; what the team", maxLabel), fmt.Sprintf("text %d; newlines", maxNotes), fmt.Sprintf("text %d: AO", maxShort),
		fmt.Sprintf("text %d: what the packet", maxDevice), fmt.Sprintf("each text %d", maxTagText),
		fmt.Sprintf("| `films` | list, at most %d |", maxFilms), fmt.Sprintf("| `evidence` | list, at most %d |", maxEvidence),
		fmt.Sprintf("at most %d on the rim", maxRim), fmt.Sprintf("| `readings` | list, at most %d |", maxReadings),
		fmt.Sprintf("| `settings` | list, at most %d |", maxSettings), fmt.Sprintf("list, at most %d: what was really", maxImplants),
		fmt.Sprintf("list, at most %d: what was in", maxImplants), fmt.Sprintf("| `followed` | list, at most %d:", maxFollowed),
		fmt.Sprintf("| `one_screw_reason` | text %d:", maxDevice), fmt.Sprintf("| `drive` | text %d:", maxShort),
		fmt.Sprintf("list of at most %d points: rim of the ball in front", maxRim),
		fmt.Sprintf("joined by single hyphens, 1 to %d characters", maxKey), fmt.Sprintf("a list of at most %d\npoints that were found", maxEdge),
		fmt.Sprintf("1 to %d | must |", maxFilm), fmt.Sprintf("1 to %d | must |", maxPixels),
		fmt.Sprintf("all parts together at most %d bytes", MaxFile), fmt.Sprintf("shorter than %d bytes", maxLine),
	} {
		if !strings.Contains(doc, want) {
			t.Errorf("FORMAT.md does not say %q", want)
		}
	}
}
