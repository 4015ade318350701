package record

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

func TestLimits(t *testing.T) {
	if _, err := Unmarshal(make([]byte, MaxCase+1)); !errors.As(err, new(*LimitError)) {
		t.Errorf("Unmarshal of %d bytes = %v, want a LimitError", MaxCase+1, err)
	}
	f := File{Case: whole(), Shelf: make([]byte, maxShelf+1)}
	if _, err := Pack(f); !errors.As(err, new(*LimitError)) {
		t.Errorf("Pack with a shelf of %d bytes = %v, want a LimitError", maxShelf+1, err)
	}
	for _, tt := range []struct {
		name string
		grow func(c *Case)
		path string
	}{
		{"films", func(c *Case) { c.Films = slices.Repeat(c.Films[2:], maxFilms+1) }, "films"},
		{"readings", func(c *Case) { c.Readings = make([]Reading, maxReadings+1) }, "readings"},
		{"settings", func(c *Case) { c.Settings = make([]Setting, maxSettings+1) }, "settings"},
		{"implants", func(c *Case) { c.Implants = make([]Implant, maxImplants+1) }, "implants"},
		{"existing", func(c *Case) { c.Existing = make([]Implant, maxImplants+1) }, "existing"},
		{"followed", func(c *Case) { c.Followed = make([]Followed, maxFollowed+1) }, "followed"},
		{"evidence", func(c *Case) { c.Films[2].Evidence = make([]Evidence, maxEvidence+1) }, "films[2].evidence"},
		{"edge points", func(c *Case) { c.Films[2].Photo.Edges.Left = slices.Repeat([]geom.Pt[units.Px]{at(1, 1)}, maxEdge+1) }, "films[2].photo.edges.left_px"},
		{"points", func(c *Case) { c.Films[2].Points = make([]Point, 100) }, "films[2].points"},
	} {
		c := whole()
		tt.grow(&c)
		if f := Check(c); len(f) != 1 || f[0].Why != TooMany || f[0].Path != tt.path {
			t.Errorf("too many %s: Check = %v, want one fault %q", tt.name, f, TooMany)
		}
	}
}

// The fullest case that passes Check can be written and read again.
func TestFullestFits(t *testing.T) {
	c := whole()
	c.Label, c.Notes = strings.Repeat("東", maxLabel), strings.Repeat("\n", maxNotes)
	f := c.Films[0]
	f.Tags.CalibrationBy = strings.Repeat("\x01", maxTagText)
	f.Evidence, f.Chosen, f.Points = nil, "", nil
	for i := range maxEvidence {
		e := whole().Films[0].Evidence[6] // two balls: the kind with the most points
		e.ID = fmt.Sprintf("%032d", i)
		e.AtFront = slices.Repeat([]geom.Pt[units.Px]{at(1234.5678901234567, 1.2345678901234567e-7)}, maxRim)
		e.At = slices.Repeat([]geom.Pt[units.Px]{at(1234.5678901234567, 1.2345678901234567e-7)}, maxRim)
		f.Evidence = append(f.Evidence, e)
	}
	for _, l := range anatomy.Landmarks(anatomy.AP) {
		f.Points = append(f.Points, Point{Name: l, At: at(1234.5678901234567, 1.2345678901234567e-7), Slip: 1.2345678901234567e-7})
	}
	f.Kind, f.Tags, f.Photo = "jpeg", nil, c.Films[2].Photo // more than what tags hold
	side := slices.Repeat([]geom.Pt[units.Px]{at(1234.5678901234567, 1.2345678901234567e-7)}, maxEdge)
	f.Photo.Edges = &PhotoEdges{Top: side, Right: side, Bottom: side, Left: side, Slip: 1}
	c.Films = slices.Repeat([]Film{f}, maxFilms)
	im := c.Implants[0]
	im.Device, im.Drive, im.Lot = strings.Repeat("\x1d", maxDevice), strings.Repeat("東", maxShort), strings.Repeat("東", maxShort)
	c.Implants, c.Existing = slices.Repeat([]Implant{im}, maxImplants), slices.Repeat([]Implant{im}, maxImplants)
	c.Followed = nil
	for i := range maxFollowed {
		c.Followed = append(c.Followed, Followed{ID: fmt.Sprintf("%032d", i), At: c.Made, Scale: "mrust", Cortices: []int{4, 4, 4, 4}})
	}
	b, err := Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Unmarshal(b)
	if err != nil || !Equal(got, c) {
		t.Errorf("the fullest case, %d bytes, is not read again: %v", len(b), err)
	}
}

func TestCheckIsBounded(t *testing.T) {
	c := whole()
	c.Readings = make([]Reading, maxReadings)
	if n := len(Check(c)); n != maxFaults {
		t.Errorf("Check reports %d faults, want %d at most and here", n, maxFaults)
	}
}
