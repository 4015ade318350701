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

// offsets reads "at -8; -4; 4; 8"; an empty cell has none. The word at may be
// left out: it is written so that no spreadsheet takes the cell for a formula.
func (r *row) offsets() []units.MM {
	c := strings.ToLower(r.cells["offsets_mm"])
	if c == "" {
		return nil
	}
	var out []units.MM
	for _, one := range strings.Split(strings.TrimPrefix(c, "at "), ";") {
		one = strings.TrimSpace(one)
		v, ok := r.plain(one)
		if !ok {
			r.fault("offsets_mm", BadNumber, canon.Quote(one), "millimetres from the middle hole, "+r.marks()+", parted by semicolons, e.g. at -8; -4; 4; 8")
			return nil
		}
		out = append(out, units.MM(v))
	}
	return out
}

func toolCells(t Tool) map[string]string {
	var all []string
	for _, v := range t.Offsets {
		all = append(all, mm(v))
	}
	cell := ""
	if len(all) > 0 {
		cell = "at " + strings.Join(all, "; ")
	}
	return map[string]string{"part": partTool, "id": t.ID, "kind": string(t.Kind), "fits": t.Fits, "note": t.Note,
		"offsets_mm": cell, "stock": strconv.Itoa(t.Stock)}
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
