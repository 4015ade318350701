package main

import (
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// plan0 is the empty shelf: a scale needs no parts.
var plan0 = implant.Shelf{}

// A command is what scale and measure were asked.
type command struct {
	view     anatomy.View
	evidence []record.Evidence
	points   []record.Point
	slip     units.Px
	atBone   record.Answer
}

// parse reads the options of scale and measure. Points belong to the marker
// that was named last.
func parse(args []string) (command, error) {
	c := command{slip: 1}
	for i := 0; i < len(args); i += 2 {
		if i+1 >= len(args) {
			return c, &usageError{args[i] + " needs a value"}
		}
		if err := c.take(args[i], args[i+1]); err != nil {
			return c, err
		}
	}
	for i := range c.evidence {
		c.evidence[i].Slip = c.slip
		c.evidence[i].AtBone = c.atBone
	}
	for i := range c.points {
		c.points[i].Slip = c.slip
	}
	return c, nil
}

// markers are the kinds of evidence that begin with a known size.
var markers = map[string]record.EvidenceKind{"--ball": record.Ball, "--disc": record.Disc, "--ruler": record.Ruler}

func (c *command) take(name, value string) error {
	if kind, ok := markers[name]; ok {
		v, err := number(name, value, 0.1, 2000, "mm")
		if err != nil {
			return err
		}
		c.add(record.Evidence{Kind: kind, True: &v})
		return nil
	}
	switch name {
	case "--at":
		return c.mark(value)
	case "--point":
		return c.point(value)
	case "--view":
		c.view = anatomy.View(value)
		if !c.view.Valid() {
			return &usageError{"--view is “" + value + "”: use ap or lateral"}
		}
	case "--at-bone":
		c.atBone = record.Answer(value)
		if c.atBone != record.Yes && c.atBone != record.No && c.atBone != record.Unsure {
			return &usageError{"--at-bone is “" + value + "”: use yes, no or unsure"}
		}
	case "--slip":
		v, err := number(name, value, 0.01, 100, "px")
		c.slip = units.Px(v)
		return err
	case "--sid", "--sod", "--oid":
		return c.distance(name, value)
	case "--factor":
		v, err := number(name, value, 1, 2, "")
		f := float64(v)
		c.add(record.Evidence{Kind: record.Assumed, Factor: &f})
		return err
	default:
		return &usageError{"“" + name + "” is not an option here"}
	}
	return nil
}

func (c *command) add(e record.Evidence) {
	e.ID = string(e.Kind) + "-" + units.Trim(float64(len(c.evidence)+1), 0)
	c.evidence = append(c.evidence, e)
}

func (c *command) mark(value string) error {
	n := len(c.evidence) - 1
	if n < 0 || c.evidence[n].True == nil {
		return &usageError{"--at comes after --ball, --disc or --ruler"}
	}
	p, err := place(value)
	if err != nil {
		return err
	}
	c.evidence[n].At = append(c.evidence[n].At, p)
	return nil
}

func (c *command) point(value string) error {
	name, at, ok := strings.Cut(value, "=")
	l := anatomy.Landmark(name)
	if !ok || !l.In(anatomy.AP) && !l.In(anatomy.Lateral) {
		return &usageError{"“" + value + "” is no point: write a landmark, =, column and row, such as canal-a=640,1200"}
	}
	p, err := place(at)
	if err != nil {
		return err
	}
	for _, q := range c.points {
		if q.Name == l {
			return &usageError{name + " is given twice"}
		}
	}
	c.points = append(c.points, record.Point{Name: l, At: p})
	return nil
}

// distance gathers SID, SOD and OID into one piece of evidence.
func (c *command) distance(name, value string) error {
	v, err := number(name, value, 0, 5000, "mm")
	if err != nil {
		return err
	}
	at := -1
	for i, e := range c.evidence {
		if e.Kind == record.Distances {
			at = i
		}
	}
	if at < 0 {
		c.add(record.Evidence{Kind: record.Distances})
		at = len(c.evidence) - 1
	}
	e := &c.evidence[at]
	field := map[string]**units.MM{"--sid": &e.SID, "--sod": &e.SOD, "--oid": &e.OID}[name]
	if *field != nil {
		return &usageError{name + " is given twice"}
	}
	*field = &v
	return nil
}

// place reads a column and a row. A comma parts the two, so the decimal mark
// here is a point.
func place(s string) (geom.Pt[units.Px], error) {
	x, y, ok := strings.Cut(s, ",")
	if !ok || strings.Contains(y, ",") {
		return geom.Pt[units.Px]{}, &usageError{"“" + s + "” is no place: write column,row with a point as the decimal mark, such as 640.5,1200"}
	}
	col, err := number("the column", x, 0, 1e6, "px")
	if err != nil {
		return geom.Pt[units.Px]{}, err
	}
	row, err := number("the row", y, 0, 1e6, "px")
	return geom.Pt[units.Px]{X: units.Px(col), Y: units.Px(row)}, err
}

func number(name, value string, lo, hi float64, unit string) (units.MM, error) {
	v, err := units.ParseNumber(value, lo, hi, unit)
	if err != nil {
		return 0, &usageError{name + ": " + err.Error()}
	}
	return units.MM(v), nil
}
