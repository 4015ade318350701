package implant

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
	"isthmus/core/units"
)

// row is one row of a table on its way to a part.
type row struct {
	t     *table
	line  int
	part  string
	cells map[string]string
}

func (r *row) fault(field string, why Why, got, need string) {
	r.t.fault(r.line, r.part, field, why, got, need)
}

// take adds the row's part to the shelf. Cells that cannot be read are
// reported and leave a zero, which is never used: a fault refuses the table.
func (r *row) take() {
	s := &r.t.shelf
	r.t.rows[r.part] = append(r.t.rows[r.part], r.line)
	switch r.part {
	case partShelf:
		r.t.owners++
		s.Name = r.text("id")
		s.Teaching = r.word("kind", "hospital", "teaching") == "teaching"
	case partNail:
		s.Nails = append(s.Nails, r.nail())
	case partHead:
		w := r.screw()
		w.Place = Place(r.word("place", "either", "lower", "upper"))
		s.Head = append(s.Head, w)
	case partLocking:
		s.Locking = append(s.Locking, r.screw())
	case partCap:
		s.Caps = append(s.Caps, Cap{ID: r.text("id"), Height: r.mm("height_mm"), Stock: r.stock(), Drive: r.cells["drive"]})
	case partReamer:
		s.Reamers = append(s.Reamers, Head{ID: r.text("id"), Diameter: r.mm("diameter_mm"), Stock: r.stock()})
	case partRod:
		s.Rods = append(s.Rods, Rod{ID: r.text("id"), Kind: strings.ToLower(r.text("kind")),
			Diameter: r.mm("diameter_mm"), Length: r.mm("length_mm"), Stock: r.stock()})
	case partTool:
		s.Tools = append(s.Tools, r.tool())
	}
}

func (r *row) screw() Screw {
	return Screw{ID: r.text("id"), Diameter: r.mm("diameter_mm"), Length: r.mm("length_mm"), Stock: r.stock(), Drive: r.cells["drive"]}
}

func (r *row) nail() Nail {
	n := Nail{
		ID:         r.text("id"),
		Side:       anatomy.Side(r.word("side", "either", "left", "right")),
		Diameter:   r.mm("diameter_mm"),
		Length:     r.mm("length_mm"),
		Proximal:   r.mm("proximal_diameter_mm"),
		BowRadius:  r.mm("bow_radius_mm"),
		HeadAngle:  units.Deg(r.number("head_angle_deg")),
		LockingDia: r.mm("locking_diameter_mm"),
		Distal:     r.holes(),
		Stock:      r.stock(),
		Drive:      r.cells["drive"],
	}
	need := n.HeadAngle != 0
	n.HeadSpacing, n.HeadDepth, n.HeadDia = r.head("head_spacing_mm", need), r.head("head_depth_mm", need), r.head("head_diameter_mm", need)
	return n
}

// head returns a size of head locking, which only a nail with a head angle
// must have.
func (r *row) head(field string, need bool) units.MM {
	if !need && r.cells[field] == "" {
		return 0
	}
	return r.mm(field)
}

// text returns a cell that must be filled.
func (r *row) text(field string) string {
	c := r.cells[field]
	if c == "" {
		got := "an empty cell"
		if !r.has(field) {
			got = "no column of this name"
		}
		r.fault(field, MissingCell, got, "a value for every "+r.part+"; empty is not zero")
	}
	return c
}

func (r *row) has(field string) bool {
	for _, h := range r.t.header {
		if h == field {
			return true
		}
	}
	return false
}

// word returns one of the words; the word none stands for the empty value.
func (r *row) word(field, none string, words ...string) string {
	c := strings.ToLower(r.text(field))
	for _, w := range words {
		if c == w {
			return w
		}
	}
	if c != none && c != "" {
		why := map[string]Why{"side": BadSide, "place": BadPlace, "kind": BadKind}[field]
		r.fault(field, why, canon.Quote(c), none+" or "+strings.Join(words, " or "))
	}
	return ""
}

func (r *row) mm(field string) units.MM { return units.MM(r.number(field)) }

// most is wider than every limit: Check words the range.
const most = 1e6

func (r *row) number(field string) float64 {
	c := r.text(field)
	if c == "" {
		return 0
	}
	v, ok := r.plain(c)
	if !ok {
		r.fault(field, BadNumber, canon.Quote(c), "a plain number without its unit, "+r.marks())
	}
	return v
}

func (r *row) marks() string {
	if r.t.comma == ';' {
		return "with one decimal point or comma"
	}
	return "with a decimal point"
}

// plain reads a number. A comma is a decimal mark only where it does not
// separate cells: "1,500" between commas could be one and a half or a
// thousand.
func (r *row) plain(c string) (float64, bool) {
	if r.t.comma == ',' && strings.Contains(c, ",") {
		return 0, false
	}
	v, err := units.ParseNumber(c, -most, most, "")
	return v, err == nil
}

func (r *row) stock() int {
	c := r.text("stock")
	if c == "" {
		return 0
	}
	v, ok := r.plain(c)
	if !ok || v != math.Trunc(v) {
		r.fault("stock", BadNumber, canon.Quote(c), "a whole number")
		return 0
	}
	return int(v)
}

// holes reads "50 transverse slot; 35 transverse; 20 sagittal", or "none".
func (r *row) holes() []Hole {
	c := strings.ToLower(r.text("distal_holes"))
	if c == "" || c == "none" {
		return nil
	}
	var out []Hole
	for _, one := range strings.Split(c, ";") {
		w := strings.Fields(one)
		slot := len(w) == 3 && w[2] == "slot"
		if len(w) != 2 && !slot {
			r.fault("distal_holes", BadNumber, canon.Quote(one), "millimetres from the tip and a direction, e.g. 50 transverse slot; 35 transverse; 20 sagittal, or none")
			return nil
		}
		v, ok := r.plain(w[0])
		if !ok {
			r.fault("distal_holes", BadNumber, canon.Quote(w[0]), "a plain number, "+r.marks())
			return nil
		}
		out = append(out, Hole{FromTip: units.MM(v), Plane: Plane(w[1]), Slot: slot})
	}
	return out
}

// WriteCSV returns the shelf as a table with commas and decimal points:
// ParseCSV of it gives the same shelf. It returns nil for a shelf in which
// Check finds a fault.
func WriteCSV(s Shelf) []byte {
	if len(Check(s)) > 0 {
		return nil
	}
	kind := "hospital"
	if s.Teaching {
		kind = "teaching"
	}
	rows := []map[string]string{{"part": partShelf, "id": s.Name, "kind": kind}}
	for _, n := range s.Nails {
		rows = append(rows, nailCells(n))
	}
	for _, h := range s.Head {
		rows = append(rows, screwCells(partHead, h, or(string(h.Place), "either")))
	}
	for _, l := range s.Locking {
		rows = append(rows, screwCells(partLocking, l, ""))
	}
	for _, c := range s.Caps {
		rows = append(rows, map[string]string{"part": partCap, "id": c.ID, "height_mm": mm(c.Height), "stock": strconv.Itoa(c.Stock), "drive": c.Drive})
	}
	for _, h := range s.Reamers {
		rows = append(rows, map[string]string{"part": partReamer, "id": h.ID, "diameter_mm": mm(h.Diameter), "stock": strconv.Itoa(h.Stock)})
	}
	for _, r := range s.Rods {
		rows = append(rows, map[string]string{"part": partRod, "id": r.ID, "kind": r.Kind, "diameter_mm": mm(r.Diameter),
			"length_mm": mm(r.Length), "stock": strconv.Itoa(r.Stock)})
	}
	for _, t := range s.Tools {
		rows = append(rows, toolCells(t))
	}
	return writeRows(rows)
}

func writeRows(rows []map[string]string) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write(columns) // a bytes.Buffer takes everything
	for _, cells := range rows {
		line := make([]string, len(columns))
		for i, name := range columns {
			line[i] = cells[name]
		}
		w.Write(line)
	}
	w.Flush()
	return out.Bytes()
}

func mm(v units.MM) string { return number(float64(v)) }

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func screwCells(part string, w Screw, place string) map[string]string {
	return map[string]string{"part": part, "id": w.ID, "place": place, "diameter_mm": mm(w.Diameter),
		"length_mm": mm(w.Length), "stock": strconv.Itoa(w.Stock), "drive": w.Drive}
}

func nailCells(n Nail) map[string]string {
	c := map[string]string{"part": partNail, "id": n.ID, "side": or(string(n.Side), "either"),
		"diameter_mm": mm(n.Diameter), "length_mm": mm(n.Length), "proximal_diameter_mm": mm(n.Proximal),
		"bow_radius_mm": mm(n.BowRadius), "head_angle_deg": number(float64(n.HeadAngle)),
		"locking_diameter_mm": mm(n.LockingDia), "distal_holes": holesCell(n.Distal), "stock": strconv.Itoa(n.Stock), "drive": n.Drive}
	if n.HeadAngle != 0 {
		c["head_spacing_mm"], c["head_depth_mm"], c["head_diameter_mm"] = mm(n.HeadSpacing), mm(n.HeadDepth), mm(n.HeadDia)
	}
	return c
}

func holesCell(hs []Hole) string {
	var all []string
	for _, h := range hs {
		one := mm(h.FromTip) + " " + string(h.Plane)
		if h.Slot {
			one += " slot"
		}
		all = append(all, one)
	}
	return or(strings.Join(all, "; "), "none")
}
