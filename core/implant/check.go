package implant

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
	"isthmus/core/units"
)

const (
	maxParts = 1000 // rows of one shelf
	maxHoles = 6    // distal holes of one nail
	maxID    = 40   // characters
	maxName  = 80   // characters
	maxStock = 9999
	maxDrive = 64  // characters of a drive and of what a tool fits
	maxNote  = 400 // characters of the hospital's own rule
	maxTools = 200 // kinds of tool on one shelf
	maxOff   = 20  // further holes of a parallel sleeve
)

type limit struct {
	lo, hi float64
	unit   string
}

// limits bound what is taken for a size at all. They are wide on purpose:
// they catch a slipped decimal mark or a swapped column and say nothing about
// what suits a patient. Source: own choice, wider than facts known from
// common practice.
var limits = map[string]limit{
	"nail.diameter_mm":          {5, 20, "mm"},
	"nail.length_mm":            {100, 600, "mm"},
	"nail.proximal_diameter_mm": {5, 25, "mm"},
	"nail.bow_radius_mm":        {300, 20000, "mm (a straight nail: 20000)"},
	"nail.head_angle_deg":       {100, 160, "degrees, or 0 for a nail without head screws"},
	"nail.head_spacing_mm":      {4, 40, "mm"},
	"nail.head_depth_mm":        {10, 150, "mm"},
	"nail.head_diameter_mm":     {3, 15, "mm"},
	"nail.locking_diameter_mm":  {2, 10, "mm"},
	"nail.from_tip_mm":          {1, 600, "mm"},
	"head-screw.diameter_mm":    {3, 15, "mm"},
	"head-screw.length_mm":      {30, 200, "mm"},
	"locking-screw.diameter_mm": {2, 10, "mm"},
	"locking-screw.length_mm":   {10, 150, "mm"},
	"end-cap.height_mm":         {0, 50, "mm"},
	"reamer-head.diameter_mm":   {5, 25, "mm"},
	"rod.diameter_mm":           {0.5, 10, "mm"},
	"rod.length_mm":             {100, 2000, "mm"},
	"tool.offsets_mm":           {-40, 40, "mm"},
}

// checker collects faults and what must be unique.
type checker struct {
	faults []Fault
	ids    map[string]place // where an ID was first
	sizes  map[string]place // where a part and size was first
}

// Check returns every fault of a shelf with its exact place, in the order of
// the shelf: unknown words, sizes that are negative, absurd, not finite or
// finer than 0.001 mm, holes outside the nail or not from the top down, head
// locking given in part, an ID or a size given twice, offsets of a tool that
// is no parallel sleeve, too many rows. No fault means that every other
// function of this room can rely on the shelf.
func Check(s Shelf) []Fault {
	c := &checker{ids: map[string]place{}, sizes: map[string]place{}}
	if bad := badText(s.Name, maxName, "a name"); bad != "" {
		c.add(partShelf, 0, "name", BadID, canon.Quote(s.Name), bad)
	}
	if n := s.parts(); n > maxParts {
		c.add(partShelf, 0, "", TooMany, strconv.Itoa(n)+" rows", "at most "+strconv.Itoa(maxParts))
		return c.faults
	}
	if n := len(s.Tools); n > maxTools {
		c.add(partShelf, 0, "tools", TooMany, strconv.Itoa(n)+" tools", "at most "+strconv.Itoa(maxTools))
		return c.faults
	}
	for i, n := range s.Nails {
		c.nail(i+1, n)
	}
	for i, w := range s.Head {
		c.screw(partHead, i+1, w)
	}
	for i, w := range s.Locking {
		c.screw(partLocking, i+1, w)
	}
	for i, p := range s.Caps {
		c.size(partCap, i+1, "height_mm", float64(p.Height))
		c.text(partCap, i+1, "drive", p.Drive, maxDrive)
		c.part(partCap, i+1, p.ID, p.Stock, "height_mm", "", float64(p.Height))
	}
	for i, h := range s.Reamers {
		c.size(partReamer, i+1, "diameter_mm", float64(h.Diameter))
		c.part(partReamer, i+1, h.ID, h.Stock, "diameter_mm", "", float64(h.Diameter))
	}
	for i, r := range s.Rods {
		c.rod(i+1, r)
	}
	for i, t := range s.Tools {
		c.tool(i+1, t)
	}
	return c.faults
}

func (s Shelf) parts() int {
	return len(s.Nails) + len(s.Head) + len(s.Locking) + len(s.Caps) + len(s.Reamers) + len(s.Rods) + len(s.Tools)
}

func (c *checker) add(part string, row int, field string, why Why, got, need string) {
	c.faults = append(c.faults, Fault{Part: part, Row: row, Field: field, Why: why, Got: got, Need: need})
}

// part checks what every part has: an ID, a stock, a size of its own.
func (c *checker) part(part string, row int, id string, stock int, field, word string, size ...float64) {
	if bad := badText(id, maxID, "an ID"); bad != "" {
		c.add(part, row, "id", BadID, canon.Quote(id), bad)
	} else if first, twice := c.ids[id]; twice {
		c.twice(part, row, "id", TwiceID, first, "an ID of its own")
	} else {
		c.ids[id] = place{part, row}
	}
	if stock < 0 || stock > maxStock {
		c.add(part, row, "stock", BadRange, strconv.Itoa(stock), "a count from 0 to "+strconv.Itoa(maxStock))
	}
	key := part + " " + word + fmt.Sprint(size)
	if first, twice := c.sizes[key]; twice {
		c.twice(part, row, field, TwiceSize, first, "each size once, with its whole stock")
		return
	}
	c.sizes[key] = place{part, row}
}

func (c *checker) twice(part string, row int, field string, why Why, first place, need string) {
	c.add(part, row, field, why, "the same as on "+first.part+" "+strconv.Itoa(first.row), need)
	c.faults[len(c.faults)-1].twin = first
}

// size checks one number against its limits and reports whether it passed.
func (c *checker) size(part string, row int, field string, v float64) bool {
	_, last, _ := strings.Cut(field, "].") // holes: distal_holes[0].from_tip_mm
	if last == "" {
		last = field
	}
	last, _, _ = strings.Cut(last, "[") // lists of numbers: offsets_mm[0]
	l := limits[part+"."+last]
	need := fmt.Sprintf("%s to %s %s", units.Trim(l.lo, 3), units.Trim(l.hi, 3), l.unit)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		c.add(part, row, field, BadNumber, "no finite number", need)
	case !(v >= l.lo && v <= l.hi):
		c.add(part, row, field, BadRange, number(v), need)
	case math.Round(v*1000)/1000 != v:
		c.add(part, row, field, BadDigits, number(v), "at most three decimals")
	default:
		return true
	}
	return false
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (c *checker) nail(row int, n Nail) {
	if n.Side != anatomy.NoSide && !n.Side.Valid() {
		c.add(partNail, row, "side", BadSide, canon.Quote(string(n.Side)), "left or right, or empty for either side")
	}
	ok := c.size(partNail, row, "diameter_mm", float64(n.Diameter))
	long := c.size(partNail, row, "length_mm", float64(n.Length))
	if c.size(partNail, row, "proximal_diameter_mm", float64(n.Proximal)) && ok && n.Proximal < n.Diameter {
		c.add(partNail, row, "proximal_diameter_mm", BadRange, n.Proximal.String(), "at least the diameter, "+n.Diameter.String())
	}
	c.size(partNail, row, "bow_radius_mm", float64(n.BowRadius))
	c.size(partNail, row, "locking_diameter_mm", float64(n.LockingDia))
	c.text(partNail, row, "drive", n.Drive, maxDrive)
	c.head(row, n, long)
	c.holes(row, n, long)
	c.part(partNail, row, n.ID, n.Stock, "length_mm", string(n.Side), float64(n.Diameter), float64(n.Length), float64(n.HeadAngle))
}

// head checks that head locking is given as a whole or not at all.
func (c *checker) head(row int, n Nail, long bool) {
	fields := []struct {
		name string
		v    units.MM
	}{{"head_spacing_mm", n.HeadSpacing}, {"head_depth_mm", n.HeadDepth}, {"head_diameter_mm", n.HeadDia}}
	if n.HeadAngle == 0 {
		for _, f := range fields {
			if f.v != 0 {
				c.add(partNail, row, f.name, BadHead, f.v.String()+" on a nail with head angle 0", "0, or the head angle too")
			}
		}
		return
	}
	c.size(partNail, row, "head_angle_deg", float64(n.HeadAngle))
	whole := true
	for _, f := range fields {
		if f.v == 0 {
			c.add(partNail, row, f.name, BadHead, "0 on a nail with a head angle", "its size, or head angle 0 for a nail without head screws")
			whole = false
			continue
		}
		whole = c.size(partNail, row, f.name, float64(f.v)) && whole
	}
	if !whole {
		return
	}
	if n.HeadSpacing < n.HeadDia {
		c.add(partNail, row, "head_spacing_mm", BadRange, n.HeadSpacing.String(), "at least the head screw's diameter, "+n.HeadDia.String()+": two screws cannot share one place")
	}
	if long && n.HeadDepth >= n.Length {
		c.add(partNail, row, "head_depth_mm", BeyondNail, n.HeadDepth.String(), "less than the length, "+n.Length.String())
	}
}

func (c *checker) holes(row int, n Nail, long bool) {
	if len(n.Distal) > maxHoles {
		c.add(partNail, row, "distal_holes", TooMany, strconv.Itoa(len(n.Distal))+" holes", "at most "+strconv.Itoa(maxHoles))
		return
	}
	for i, h := range n.Distal {
		at := fmt.Sprintf("distal_holes[%d].", i)
		if !slices.Contains([]Plane{Transverse, Sagittal, Oblique}, h.Plane) {
			c.add(partNail, row, at+"plane", BadPlane, canon.Quote(string(h.Plane)), "transverse, sagittal or oblique")
		}
		if !c.size(partNail, row, at+"from_tip_mm", float64(h.FromTip)) {
			continue
		}
		if long && h.FromTip >= n.Length {
			c.add(partNail, row, at+"from_tip_mm", BeyondNail, h.FromTip.String(), "less than the length, "+n.Length.String())
		}
		if i > 0 && !(h.FromTip < n.Distal[i-1].FromTip) {
			c.add(partNail, row, at+"from_tip_mm", BadOrder, h.FromTip.String()+" after "+n.Distal[i-1].FromTip.String(), "holes from the top down, each nearer to the tip")
		}
	}
}

func (c *checker) screw(part string, row int, w Screw) {
	switch {
	case part == partLocking && w.Place != EitherPlace:
		c.add(part, row, "place", BadPlace, canon.Quote(string(w.Place)), "no place: it is for head screws only")
	case !slices.Contains([]Place{EitherPlace, Lower, Upper}, w.Place):
		c.add(part, row, "place", BadPlace, canon.Quote(string(w.Place)), "lower or upper, or left out for either place")
	}
	c.size(part, row, "diameter_mm", float64(w.Diameter))
	c.size(part, row, "length_mm", float64(w.Length))
	c.text(part, row, "drive", w.Drive, maxDrive)
	c.part(part, row, w.ID, w.Stock, "length_mm", string(w.Place), float64(w.Diameter), float64(w.Length))
}

func (c *checker) rod(row int, r Rod) {
	if r.Kind != GuideRod && r.Kind != GuideWire {
		c.add(partRod, row, "kind", BadKind, canon.Quote(r.Kind), GuideRod+" or "+GuideWire)
	}
	c.size(partRod, row, "diameter_mm", float64(r.Diameter))
	c.size(partRod, row, "length_mm", float64(r.Length))
	c.part(partRod, row, r.ID, r.Stock, "length_mm", r.Kind, float64(r.Diameter), float64(r.Length))
}

// The kinds of rod.
const (
	GuideRod  = "guide-rod"
	GuideWire = "guide-wire"
)

// badText returns what an ID, a name or a note needs when it cannot be used,
// or "". It begins with a letter or a digit, so that no spreadsheet takes it
// for a formula, and holds nothing that cannot be seen.
func badText(s string, most int, what string) string {
	need := fmt.Sprintf("%s of 1 to %d characters that begins with a letter or a digit, without control characters or blanks at its end", what, most)
	first, _ := utf8.DecodeRuneInString(s)
	switch {
	case s == "", !utf8.ValidString(s), utf8.RuneCountInString(s) > most, s != strings.TrimSpace(s),
		!unicode.IsLetter(first) && !unicode.IsDigit(first):
		return need
	}
	for _, r := range s {
		if !unicode.IsPrint(r) {
			return need
		}
	}
	return ""
}
