package record

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
)

// Every file of every version opens for ever, says the same when it is packed
// again, and what is packed is of the last version.
func TestEveryVersionOpens(t *testing.T) {
	n := 0
	for _, path := range testkit.Files(t, "versions/*/*.isthmus") {
		f, err := Unpack(load(t, path))
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		b, err := Pack(f)
		if err != nil || !bytes.Contains(b, []byte(fmt.Sprintf("\"version\": %d,", Version))) {
			t.Errorf("%s: packed again: %v, want a case of version %d", path, err, Version)
			continue
		}
		if back, err := Unpack(b); err != nil || !reflect.DeepEqual(back, f) {
			t.Errorf("%s: packed again it says something else (%v)", path, err)
		}
		n++
	}
	if n < 5 {
		t.Errorf("only %d case files were opened", n)
	}
}

// Each version keeps its meaning for ever.
func TestVersions(t *testing.T) {
	for version, want := range map[string]Case{"v1": wholeV1(), "v2": wholeV2(), "v3": whole()} {
		c, err := Unmarshal(testkit.Read(t, "versions/"+version+"/every-field.json"))
		if err != nil || !Equal(c, want) {
			t.Errorf("%s: every-field.json reads %+v (%v), want %+v", version, c, err, want)
		}
		f, err := Unpack(testkit.Read(t, "versions/"+version+"/every-field.isthmus"))
		if err != nil {
			t.Fatal(err)
		}
		file := wholeFile(want)
		file.Absent = []string{sumOf([]byte("a second film"))}
		if !reflect.DeepEqual(f, file) {
			t.Errorf("%s: every-field.isthmus reads %+v, want %+v", version, f, file)
		}
	}
	f, err := Unpack(testkit.Read(t, "versions/v1/neck-and-shaft.isthmus"))
	if err != nil || f.Shelf != nil || len(f.Absent) != 2 || f.Case.Injury.Neck != Yes {
		t.Errorf("neck-and-shaft.isthmus reads %+v (%v), want the case alone, two films absent", f, err)
	}
}

// A file of version 1 that says anything of version 2 is refused at that
// place: each field and word alone, taken from the whole case.
func TestVersion1SaysNothingOfVersion2(t *testing.T) {
	v2 := wholeV2()
	n := 0
	try := func(path string, put func(c *Case)) {
		t.Helper()
		refusedIn(t, 1, wholeV1(), path, put)
		n++
	}
	for i := range reflect.TypeFor[Injury]().NumField() {
		if f := reflect.TypeFor[Injury]().Field(i); f.Tag.Get("since") != "" {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			try("injury."+name, func(c *Case) {
				reflect.ValueOf(&c.Injury).Elem().Field(i).Set(reflect.ValueOf(v2.Injury).Field(i))
			})
		}
	}
	for _, r := range laterReadings() {
		try("readings[4].kind", func(c *Case) { c.Readings = append(c.Readings, r) })
	}
	for _, e := range v2.Films[0].Evidence[6:] {
		try("films[0].evidence[6].kind", func(c *Case) { c.Films[0].Evidence = append(c.Films[0].Evidence, e) })
	}
	for _, l := range append(anatomy.Landmarks(anatomy.AP)[18:28], anatomy.NeckFront, anatomy.NeckBack) {
		try("films[2].points[0].name", func(c *Case) { c.Films[2].Points = []Point{{Name: l, At: at(1, 1), Slip: 1}} })
	}
	try("films[0].join_mm", func(c *Case) { c.Films[0].JoinMM = v2.Films[0].JoinMM })
	try("films[2].photo", func(c *Case) { c.Films[2].Photo = v2.Films[2].Photo })
	try("implants[0].drive", func(c *Case) { c.Implants[0].Drive = "hexagon 5 mm" })
	try("implants[0].broken", func(c *Case) { c.Implants[0].Broken = No })
	try("existing", func(c *Case) { c.Existing = v2.Existing })
	try("followed", func(c *Case) { c.Followed = v2.Followed })
	if n != 15+10+2+12+6 { // by hand: fields of injury, readings, evidence, landmarks, the rest
		t.Errorf("%d things of version 2 were tried, want 45", n)
	}
}

// A file of version 1 or 2 that says anything of version 3 is refused at that
// place.
func TestEarlierVersionsSayNothingOfVersion3(t *testing.T) {
	v3 := whole()
	for version, before := range map[int]func() Case{1: wholeV1, 2: wholeV2} {
		refusedIn(t, version, before(), "practice", func(c *Case) { c.Practice = v3.Practice })
		refusedIn(t, version, before(), "films[0].letter", func(c *Case) { c.Films[0].Letter = LetterNone })
		for _, l := range []anatomy.Landmark{anatomy.LesserMiddle, anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower} {
			refusedIn(t, version, before(), "films[2].points[0].name", func(c *Case) { c.Films[2].Points = []Point{{Name: l, At: at(1, 1), Slip: 1}} })
		}
	}
	refusedIn(t, 2, wholeV2(), "films[2].photo.edges", func(c *Case) { c.Films[2].Photo.Edges = v3.Films[2].Photo.Edges })
}

// refusedIn puts one thing of a later version into a file of an earlier one.
func refusedIn(t *testing.T, version int, c Case, path string, put func(c *Case)) {
	t.Helper()
	put(&c)
	b, err := Marshal(c)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	old := bytes.Replace(b, fmt.Appendf(nil, "\"version\": %d,", Version), fmt.Appendf(nil, "\"version\": %d,", version), 1)
	_, err = Unmarshal(old)
	if place, why := found(err); place != path || why != "unknown" && why != "word" {
		t.Errorf("a file of version %d with %s: fault %q at %q", version, path, why, place)
	}
}
