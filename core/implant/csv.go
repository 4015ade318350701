package implant

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"isthmus/core/canon"
)

// columns are the columns of the table, in the order in which WriteCSV
// writes them. ParseCSV takes them in any order.
var columns = []string{
	"part", "id", "side", "place", "diameter_mm", "length_mm", "proximal_diameter_mm", "bow_radius_mm",
	"head_angle_deg", "head_spacing_mm", "head_depth_mm", "head_diameter_mm", "locking_diameter_mm",
	"distal_holes", "kind", "height_mm", "stock", "drive", "fits", "note", "offsets_mm",
}

// cellsOf lists the cells that belong to each kind of row; all others are
// left empty. Drive, fits, note and offsets_mm may be empty on every part.
var cellsOf = map[string][]string{
	partShelf: {"id", "kind"},
	partNail: {"id", "side", "diameter_mm", "length_mm", "proximal_diameter_mm", "bow_radius_mm", "head_angle_deg",
		"head_spacing_mm", "head_depth_mm", "head_diameter_mm", "locking_diameter_mm", "distal_holes", "stock", "drive"},
	partHead:    {"id", "place", "diameter_mm", "length_mm", "stock", "drive"},
	partLocking: {"id", "diameter_mm", "length_mm", "stock", "drive"},
	partCap:     {"id", "height_mm", "stock", "drive"},
	partReamer:  {"id", "diameter_mm", "stock"},
	partRod:     {"id", "kind", "diameter_mm", "length_mm", "stock"},
	partTool:    {"id", "kind", "fits", "note", "offsets_mm", "stock"},
}

// partNames in the order in which they are written and named to a person.
var partNames = []string{partShelf, partNail, partHead, partLocking, partCap, partReamer, partRod, partTool}

// table is a CSV file on its way to a shelf.
type table struct {
	comma  rune
	header []string
	shelf  Shelf
	owners int              // rows that say whose shelf it is
	rows   map[string][]int // part → spreadsheet row of each of its entries
	err    TableError
}

// ParseCSV returns the shelf of a table with one row for each part: the first
// row names the columns (any order), one row of part "shelf" gives the name
// (id) and whether it is a teaching set (kind: teaching or hospital). Cells
// are separated by commas or by semicolons, as the header is; with semicolons
// a decimal comma is taken too. A byte order mark and CRLF are taken. Cells
// that do not belong to a part must be empty, cells that do must be filled (but
// for drive, fits, note and offsets_mm): an empty cell is never zero. Every fault is in the *TableError with its
// spreadsheet row and column, up to 20 of them.
func ParseCSV(b []byte) (Shelf, error) {
	t := &table{rows: map[string][]int{}}
	b = bytes.TrimPrefix(b, []byte("\ufeff"))
	switch {
	case len(b) > MaxTable:
		t.fault(1, "", "", TooLarge, strconv.Itoa(len(b))+" bytes", "at most "+strconv.Itoa(MaxTable))
	case !utf8.Valid(b):
		t.fault(1, "", "", BadTable, "bytes that are not UTF-8", "a table saved as CSV UTF-8")
	default:
		t.read(b)
	}
	if len(t.err.Faults) == 0 {
		t.check()
	}
	if len(t.err.Faults) > 0 {
		return Shelf{}, &t.err
	}
	return t.shelf, nil
}

func (t *table) fault(row int, part, field string, why Why, got, need string) {
	t.err.add(Fault{Part: part, Row: row, Field: field, Table: true, Why: why, Got: got, Need: need})
}

// read takes the header and then every row that is not blank.
func (t *table) read(b []byte) {
	head, _, _ := strings.Cut(string(b), "\n")
	t.comma = ','
	if strings.Count(head, ";") > strings.Count(head, ",") {
		t.comma = ';'
	}
	r := csv.NewReader(bytes.NewReader(b))
	r.Comma, r.FieldsPerRecord = t.comma, -1
	for n := 0; ; n++ {
		cells, err := r.Read()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.broken(err)
			return
		}
		line, _ := r.FieldPos(0)
		switch {
		case n == 0 && !t.columns(line, cells):
			return
		case n > maxParts+1:
			t.fault(line, "", "", TooMany, "more rows", "at most "+strconv.Itoa(maxParts)+" parts")
			return
		case n > 0:
			t.row(line, cells)
		}
	}
}

// broken reports quotation marks that do not pair, by their line.
func (t *table) broken(err error) {
	line := 1
	var p *csv.ParseError
	if errors.As(err, &p) {
		line = p.StartLine
	}
	t.fault(line, "", "", BadTable, "quotation marks that do not pair", "quotation marks around whole cells only")
}

// columns takes the header row and reports whether rows can be read by it.
func (t *table) columns(line int, cells []string) bool {
	for _, c := range cells {
		name := strings.ToLower(strings.TrimSpace(c))
		switch {
		case name != "" && !slices.Contains(columns, name):
			t.fault(line, "", "", UnknownColumn, "a column "+canon.Quote(c), "only these columns, between commas or semicolons: "+strings.Join(columns, ", "))
		case name != "" && slices.Contains(t.header, name):
			t.fault(line, "", name, TwiceColumn, "the column twice", "each column once")
		}
		t.header = append(t.header, name)
	}
	if !slices.Contains(t.header, "part") && len(t.err.Faults) == 0 {
		t.fault(line, "", "part", MissingColumn, "no such column", "a column part that says what each row is: "+strings.Join(partNames, ", "))
	}
	return len(t.err.Faults) == 0
}

// row takes one row; a row without any filled cell is passed over.
func (t *table) row(line int, cells []string) {
	r := row{t: t, line: line, cells: map[string]string{}}
	filled := false
	for i, c := range cells {
		c = strings.TrimSpace(c)
		filled = filled || c != ""
		switch {
		case c == "":
		case i >= len(t.header) || t.header[i] == "":
			t.fault(line, "", "", ExtraCell, canon.Quote(c)+" under no column", "a cell under each column only")
		default:
			r.cells[t.header[i]] = c
		}
	}
	if !filled {
		return
	}
	r.part = strings.ToLower(r.cells["part"])
	belongs, known := cellsOf[r.part]
	if !known {
		t.fault(line, "", "part", UnknownPart, canon.Quote(r.part), "one of "+strings.Join(partNames, ", "))
		return
	}
	for _, name := range columns[1:] {
		if r.cells[name] != "" && !slices.Contains(belongs, name) {
			r.fault(name, ExtraCell, canon.Quote(r.cells[name]), "an empty cell: a "+r.part+" has no "+name)
		}
	}
	r.take()
}

// check looks at the shelf as a whole and names spreadsheet rows.
func (t *table) check() {
	if t.owners != 1 {
		t.fault(1, "", "", NoShelfRow, strconv.Itoa(t.owners)+" rows of part shelf", "one: the shelf's name in id, teaching or hospital in kind")
		return
	}
	for _, f := range Check(t.shelf) {
		f.Table = true
		if f.Row > 0 {
			f.Row = t.rows[f.Part][f.Row-1]
		} else if f.Row = t.rows[partShelf][0]; f.Field == "name" {
			f.Field = "id"
		}
		if f.twin.row > 0 {
			f.Got = "the same as in row " + strconv.Itoa(t.rows[f.twin.part][f.twin.row-1])
		}
		t.err.add(f)
	}
}
