package screen

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/units"
)

func num(key, label string, lo, hi, step float64, unit string) *row {
	return &row{key: key, label: label, lo: lo, hi: hi, step: step, unit: unit, whole: unit == "pieces"}
}

// bays are the kinds of part, in the order of the operation.
func bays() []bay {
	drive := &row{kind: textRow, key: "drive", label: "Drive", note: "what turns it, in the words of the tools: hexagon 5 mm; may stay empty"}
	return []bay{
		{"nails", "Nails", nailLines, []*row{
			{kind: choiceRow, key: "side", label: "Side", opts: []option{{"left", "Left"}, {"right", "Right"}, {"either", "Either"}}},
			num("diameter", "Diameter", 6, 20, 1, "mm"), num("length", "Length", 140, 600, 20, "mm"),
			num("stock", "In stock", 0, 99, 1, "pieces")}, addNail, ""},
		{"head-screws", "Head screws", func(s *implant.Shelf) []line { return screwLines(&s.Head, "head screw") }, []*row{
			num("diameter", "Diameter", 3, 15, 0.5, "mm"), num("length", "Length", 40, 160, 5, "mm"), num("stock", "In stock", 0, 99, 1, "pieces"), drive},
			func(p *Page, s *implant.Shelf, d map[string]string) error { return addScrew(p, &s.Head, "H", d) }, "drive"},
		{"locking-screws", "Locking screws", func(s *implant.Shelf) []line { return screwLines(&s.Locking, "locking screw") }, []*row{
			num("diameter", "Diameter", 3, 8, 0.5, "mm"), num("length", "Length", 20, 120, 5, "mm"), num("stock", "In stock", 0, 99, 1, "pieces"), drive},
			func(p *Page, s *implant.Shelf, d map[string]string) error { return addScrew(p, &s.Locking, "L", d) }, "drive"},
		{"end-caps", "End caps", capLines, []*row{num("height", "Height", 0, 40, 5, "mm"), num("stock", "In stock", 0, 99, 1, "pieces"), drive},
			func(p *Page, s *implant.Shelf, d map[string]string) error {
				h, n, err := two(d, "height", "stock")
				s.Caps = append(s.Caps, implant.Cap{ID: p.partID("C"), Height: units.MM(h), Stock: int(n), Drive: d["drive"]})
				return err
			}, "drive"},
		{"reamers", "Reamer heads", reamerLines, []*row{num("diameter", "Diameter", 6, 20, 0.5, "mm"), num("stock", "In stock", 0, 99, 1, "pieces")},
			func(p *Page, s *implant.Shelf, d map[string]string) error {
				dia, n, err := two(d, "diameter", "stock")
				s.Reamers = append(s.Reamers, implant.Head{ID: p.partID("R"), Diameter: units.MM(dia), Stock: int(n)})
				return err
			}, ""},
		{"rods", "Rods and wires", rodLines, []*row{
			{kind: choiceRow, key: "kind", label: "Kind", opts: []option{{"guide-rod", "Guide rod"}, {"guide-wire", "Guide wire"}}},
			num("diameter", "Diameter", 1, 6, 0.1, "mm"), num("length", "Total length", 100, 1500, 10, "mm"), num("stock", "In stock", 0, 99, 1, "pieces")},
			func(p *Page, s *implant.Shelf, d map[string]string) error {
				dia, l, err := two(d, "diameter", "length")
				if err != nil {
					return err
				}
				_, n, err := two(d, "length", "stock")
				s.Rods = append(s.Rods, implant.Rod{ID: p.partID("G"), Kind: d["kind"], Diameter: units.MM(dia), Length: units.MM(l), Stock: int(n)})
				return err
			}, ""},
		toolBay(),
	}
}

func toolBay() bay {
	return bay{"tools", "Tools", toolLines, []*row{
		{kind: choiceRow, long: true, key: "kind", label: "Kind", opts: toolOptions()},
		{kind: textRow, key: "fits", label: "Fits", note: "the drive or size, in the words of the parts: hexagon 5 mm"},
		{kind: textRow, key: "note", label: "Your rule for it", note: "shown as it is written: which stop to set, which end of the scale is read"},
		{kind: textRow, key: "offsets", label: "Further holes", note: "parallel sleeve only: millimetres from the middle hole, −8; −4; 4; 8"},
		num("stock", "In stock", 0, 99, 1, "pieces")}, addTool, "fits note offsets"}
}

func toolOptions() []option {
	var out []option
	for _, k := range implant.ToolKinds() {
		out = append(out, option{string(k), text.Tool(k)})
	}
	return out
}

func toolLines(s *implant.Shelf) []line {
	var out []line
	for i := range s.Tools {
		n := &s.Tools[i]
		out = append(out, line{n.ID, text.Tool(n.Kind), text.ToolMore(*n), &n.Stock, func(s *implant.Shelf) { s.Tools = slices.Delete(s.Tools, i, i+1) }})
	}
	return out
}

func addTool(p *Page, s *implant.Shelf, d map[string]string) error {
	n, err := units.ParseNumber(d["stock"], 0, 1e5, "")
	if err != nil {
		return err
	}
	off, err := implant.ParseOffsets(d["offsets"])
	s.Tools = append(s.Tools, implant.Tool{ID: p.partID("T"), Kind: implant.ToolKind(d["kind"]), Fits: d["fits"], Note: d["note"], Offsets: off, Stock: int(n)})
	return err
}

func (p *Page) partID(kind string) string { return kind + "-" + p.s.NewID()[:8] }

func two(d map[string]string, a, b string) (float64, float64, error) {
	x, err := units.ParseNumber(d[a], 0, 1e5, "")
	if err != nil {
		return 0, 0, err
	}
	y, err := units.ParseNumber(d[b], 0, 1e5, "")
	return x, y, err
}

func nailLines(s *implant.Shelf) []line {
	var out []line
	for i := range s.Nails {
		n := &s.Nails[i]
		side := string(n.Side)
		if side == "" {
			side = "either side"
		}
		out = append(out, line{n.ID, text.MM(n.Diameter) + " × " + text.MM(n.Length) + ", " + side,
			text.NailPart(*n) + text.DriveMore(n.Drive), &n.Stock, func(s *implant.Shelf) { s.Nails = slices.Delete(s.Nails, i, i+1) }})
	}
	return out
}

func screwLines(list *[]implant.Screw, what string) []line {
	var out []line
	for i := range *list {
		n := &(*list)[i]
		out = append(out, line{n.ID, text.MM(n.Length), text.MM(n.Diameter) + " " + what + " " + string(n.Place) + text.DriveMore(n.Drive), &n.Stock,
			func(*implant.Shelf) { *list = slices.Delete(*list, i, i+1) }})
	}
	return out
}

func capLines(s *implant.Shelf) []line {
	var out []line
	for i := range s.Caps {
		n := &s.Caps[i]
		out = append(out, line{n.ID, text.MM(n.Height), "adds this to the top of the nail" + text.DriveMore(n.Drive), &n.Stock, func(s *implant.Shelf) { s.Caps = slices.Delete(s.Caps, i, i+1) }})
	}
	return out
}

func reamerLines(s *implant.Shelf) []line {
	var out []line
	for i := range s.Reamers {
		n := &s.Reamers[i]
		out = append(out, line{n.ID, text.MM(n.Diameter), "reamer head", &n.Stock, func(s *implant.Shelf) { s.Reamers = slices.Delete(s.Reamers, i, i+1) }})
	}
	return out
}

func rodLines(s *implant.Shelf) []line {
	var out []line
	for i := range s.Rods {
		n := &s.Rods[i]
		out = append(out, line{n.ID, strings.ReplaceAll(n.Kind, "-", " ") + " " + text.MM(n.Length), text.MM(n.Diameter) + " thick", &n.Stock, func(s *implant.Shelf) { s.Rods = slices.Delete(s.Rods, i, i+1) }})
	}
	return out
}

// addNail makes a new size of a nail that is on the shelf already: its holes,
// bow and angle are those of the nail that the person named.
func addNail(p *Page, s *implant.Shelf, d map[string]string) error {
	dia, l, err := two(d, "diameter", "length")
	if err != nil {
		return err
	}
	_, n, err := two(d, "length", "stock")
	if err != nil {
		return err
	}
	at := slices.IndexFunc(s.Nails, func(n implant.Nail) bool { return n.ID == d["like"] })
	if at < 0 {
		return fmt.Errorf("choose the nail whose holes, bow and angle it has; for a nail of another make import a file with every column")
	}
	nail := s.Nails[at]
	nail.ID, nail.Diameter, nail.Length, nail.Stock = p.partID("N"), units.MM(dia), units.MM(l), int(n)
	nail.Side = anatomy.NoSide
	if d["side"] != "either" {
		nail.Side = anatomy.Side(d["side"])
	}
	nail.Distal = slices.Clone(nail.Distal)
	s.Nails = append(s.Nails, nail)
	return nil
}

func addScrew(p *Page, list *[]implant.Screw, kind string, d map[string]string) error {
	dia, l, err := two(d, "diameter", "length")
	if err != nil {
		return err
	}
	_, n, err := two(d, "length", "stock")
	*list = append(*list, implant.Screw{ID: p.partID(kind), Diameter: units.MM(dia), Length: units.MM(l), Stock: int(n), Drive: d["drive"]})
	return err
}
