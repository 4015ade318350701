package implant

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"isthmus/core/canon"
	"isthmus/core/units"
)

// ToolKinds returns every kind of tool, in the order in which they are named
// to a person.
func ToolKinds() []ToolKind {
	return []ToolKind{Screwdriver, DepthGauge, StepDrill, Drill, ParallelSleeve, ExtractionBolt, SlidingHammer, AimingArm, OtherTool}
}

func toolWords() []string {
	var out []string
	for _, k := range ToolKinds() {
		out = append(out, string(k))
	}
	return out
}

// text checks words that may be left out.
func (c *checker) text(part string, row int, field, s string, most int) {
	if s == "" {
		return
	}
	if bad := badText(s, most, "a text"); bad != "" {
		c.add(part, row, field, BadText, canon.Quote(s), bad)
	}
}

func (c *checker) tool(row int, t Tool) {
	if !slices.Contains(ToolKinds(), t.Kind) {
		c.add(partTool, row, "kind", BadKind, canon.Quote(string(t.Kind)), "one of "+strings.Join(toolWords(), ", "))
	}
	c.text(partTool, row, "fits", t.Fits, maxDrive)
	c.text(partTool, row, "note", t.Note, maxNote)
	c.offsets(row, t)
	c.part(partTool, row, t.ID, t.Stock, "kind", string(t.Kind)+" "+t.Fits+" "+t.Note+fmt.Sprint(t.Offsets))
}

// offsets checks the further holes of a parallel sleeve: from the smallest
// up, each once, and none at the middle one itself.
func (c *checker) offsets(row int, t Tool) {
	switch {
	case len(t.Offsets) > 0 && t.Kind != ParallelSleeve:
		c.add(partTool, row, "offsets_mm", BadKind, strconv.Itoa(len(t.Offsets))+" offsets on a "+canon.Quote(string(t.Kind)), "none: only a "+string(ParallelSleeve)+" has them")
		return
	case len(t.Offsets) > maxOff:
		c.add(partTool, row, "offsets_mm", TooMany, strconv.Itoa(len(t.Offsets))+" offsets", "at most "+strconv.Itoa(maxOff))
		return
	}
	for i, v := range t.Offsets {
		at := fmt.Sprintf("offsets_mm[%d]", i)
		switch {
		case !c.size(partTool, row, at, float64(v)):
		case v == 0:
			c.add(partTool, row, at, BadRange, v.String(), "the further holes only, not the middle one itself")
		case i > 0 && !(v > t.Offsets[i-1]):
			c.add(partTool, row, at, BadOrder, v.String()+" after "+t.Offsets[i-1].String(), "offsets from the smallest up, each once")
		}
	}
}

// tool is one row of a table as a tool.
func (r *row) tool() Tool {
	return Tool{ID: r.text("id"), Kind: ToolKind(strings.ToLower(r.text("kind"))), Fits: r.cells["fits"],
		Note: r.cells["note"], Offsets: r.offsets(), Stock: r.stock()}
}

// offsets reads a cell; a comma between commas is no decimal mark.
func (r *row) offsets() []units.MM {
	c := r.cells["offsets_mm"]
	out, err := ParseOffsets(c)
	if err != nil || r.t.comma == ',' && strings.Contains(c, ",") {
		r.fault("offsets_mm", BadNumber, canon.Quote(c), "plain numbers, "+r.marks()+", of millimetres from the middle hole, parted by semicolons, e.g. at -8; -4; 4; 8")
	}
	return out
}

// ParseOffsets returns the offsets of a parallel sleeve as a person types them
// or a table holds them: "at -8; -4; 4; 8", millimetres from the middle hole.
// The word at may be left out: it is written so that no spreadsheet takes the
// cell for a formula. Nothing but blanks has none. It refuses, with a *Fault,
// what is not a list of plain numbers; whether they can be is Check's to say.
func ParseOffsets(s string) ([]units.MM, error) {
	s = strings.TrimSpace(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "at "))
	if s == "" {
		return nil, nil
	}
	var out []units.MM
	for _, one := range strings.Split(s, ";") {
		v, err := units.ParseNumber(one, -most, most, "")
		if err != nil {
			return nil, &Fault{Part: partTool, Field: "offsets_mm", Why: BadNumber, Got: canon.Quote(one),
				Need: "plain numbers of millimetres from the middle hole, parted by semicolons, e.g. -8; -4; 4; 8"}
		}
		out = append(out, units.MM(v))
	}
	return out, nil
}

// OffsetsText writes the offsets as ParseOffsets reads them; "" for none.
func OffsetsText(offsets []units.MM) string {
	var all []string
	for _, v := range offsets {
		all = append(all, mm(v))
	}
	if len(all) == 0 {
		return ""
	}
	return "at " + strings.Join(all, "; ")
}

func toolCells(t Tool) map[string]string {
	return map[string]string{"part": partTool, "id": t.ID, "kind": string(t.Kind), "fits": t.Fits, "note": t.Note,
		"offsets_mm": OffsetsText(t.Offsets), "stock": strconv.Itoa(t.Stock)}
}

// since2 returns the path of the first thing that a file of version 1 cannot
// say, or "".
func since2(s Shelf) string {
	at := func(list string, i int) string { return fmt.Sprintf("%s[%d].drive", list, i) }
	for i, n := range s.Nails {
		if n.Drive != "" {
			return at("nails", i)
		}
	}
	for i, w := range s.Head {
		if w.Drive != "" {
			return at("head_screws", i)
		}
	}
	for i, w := range s.Locking {
		if w.Drive != "" {
			return at("locking_screws", i)
		}
	}
	for i, p := range s.Caps {
		if p.Drive != "" {
			return at("end_caps", i)
		}
	}
	if len(s.Tools) > 0 {
		return "tools"
	}
	return ""
}
