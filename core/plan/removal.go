package plan

import (
	"slices"
	"strings"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Kinds of parts in a case. Source: core/record/FORMAT.md.
const (
	partNail    = "nail"
	partLower   = "head-screw-lower"
	partUpper   = "head-screw-upper"
	partLocking = "locking-screw"
	partCap     = "end-cap"
	partPlate   = "plate"
	partOther   = "other"
)

// outOrder is the order in which parts come out: what lies outside the bone,
// the end cap, the screws that hold the nail, the nail.
var outOrder = []string{partPlate, partOther, partCap, partLocking, partUpper, partLower, partNail}

// removalOf returns how to take out what is in the bone: what was put in and
// recorded, else what was there before and described. The end cap comes out
// first. The extraction bolt goes into the nail while screws still hold it, so
// that the nail does not turn with the bolt; the screws follow, and then the
// pull. Without parts it says so only where something is in the way. Source:
// common practice.
func removalOf(c record.Case, shelf implant.Shelf, p Policy) (Removal, []Problem) {
	r := removing{list: "implants", parts: c.Implants, shelf: shelf}
	r.Of = "record"
	if len(r.parts) == 0 {
		r.list, r.parts, r.Of = "existing", c.Existing, "existing"
	}
	if len(r.parts) == 0 {
		if c.Injury.Implant != record.Yes {
			return Removal{}, nil
		}
		r.Unknown = []string{"existing"}
		r.Steps = []Reason{why("rem-films"), why("rem-undescribed")}
		r.several()
		return r.Removal, []Problem{trouble("removal-undescribed", fields("existing"))}
	}
	r.order()
	r.unknown()
	r.steps()
	r.bring()
	return r.Removal, r.problems()
}

// removing works the removal out.
type removing struct {
	Removal
	list  string // field of the case
	parts []record.Implant
	shelf implant.Shelf
}

// order sorts the parts as they come out; parts of one kind keep the order of
// the case.
func (r *removing) order() {
	rank := func(p RemovalPart) int { return slices.Index(outOrder, p.Part.Kind) }
	for i, p := range r.parts {
		p.Drive, p.Diameter, p.Length = r.drive(p), sized(p.Diameter), sized(p.Length)
		r.Parts = append(r.Parts, RemovalPart{Index: i, Part: p, Broken: p.Broken == record.Yes})
	}
	slices.SortStableFunc(r.Parts, func(a, b RemovalPart) int { return rank(a) - rank(b) })
	for i := range r.Parts {
		r.Parts[i].Order = i + 1
	}
}

// sized returns a size that is a number, else none.
func sized(v *units.MM) *units.MM {
	if v == nil || !units.Exact(*v).Finite() {
		return nil
	}
	return v
}

// drive returns the drive of a part: as described, else as the shelf gives it
// for parts of this kind and size, when it gives one drive only.
func (r *removing) drive(p record.Implant) string {
	if d := strings.TrimSpace(p.Drive); d != "" || r.Of != "record" {
		return d
	}
	var found []string
	add := func(drive string) {
		if drive = strings.TrimSpace(drive); !slices.ContainsFunc(found, func(f string) bool { return sameDrive(f, drive) }) {
			found = append(found, drive)
		}
	}
	is := func(diameter, length float64) bool {
		return (p.Diameter == nil || float64(*p.Diameter) == diameter) && (p.Length == nil || float64(*p.Length) == length)
	}
	screws := map[string][]implant.Screw{partLocking: r.shelf.Locking, partLower: r.shelf.Head, partUpper: r.shelf.Head}[p.Kind]
	for _, s := range screws {
		if is(float64(s.Diameter), float64(s.Length)) {
			add(s.Drive)
		}
	}
	for _, n := range r.shelf.Nails {
		if p.Kind == partNail && is(float64(n.Diameter), float64(n.Length)) {
			add(n.Drive)
		}
	}
	for _, e := range r.shelf.Caps {
		if p.Kind == partCap && (p.Length == nil || *p.Length == e.Height) {
			add(e.Drive)
		}
	}
	if len(found) != 1 {
		return ""
	}
	return found[0]
}

// sameDrive compares two drives as they are written: blanks, the case of
// letters and a decimal comma do not matter. No drive is like no other.
func sameDrive(a, b string) bool {
	plain := func(s string) string {
		return strings.ReplaceAll(strings.ToLower(strings.Join(strings.Fields(s), "")), ",", ".")
	}
	return plain(a) != "" && plain(a) == plain(b)
}

// unknown lists what nobody has said and the removal needs.
func (r *removing) unknown() {
	parts := slices.Clone(r.Parts)
	slices.SortFunc(parts, func(a, b RemovalPart) int { return a.Index - b.Index })
	for _, p := range parts {
		at := index(r.list, p.Index)
		if p.Part.Drive == "" && p.Part.Kind != partOther {
			r.Unknown = append(r.Unknown, at+".drive")
		}
		if p.Part.Kind == partNail && p.Part.Diameter == nil {
			r.Unknown = append(r.Unknown, at+".diameter_mm")
		}
		if p.Part.Kind == partNail && p.Part.Length == nil {
			r.Unknown = append(r.Unknown, at+".length_mm")
		}
		if p.Part.Broken == record.Unsure {
			r.Unknown = append(r.Unknown, at+".broken")
		}
	}
}

func (r *removing) count(kinds ...string) (n int) {
	for _, p := range r.Parts {
		if slices.Contains(kinds, p.Part.Kind) {
			n++
		}
	}
	return n
}

func (r *removing) broken() (n int) {
	for _, p := range r.Parts {
		if p.Broken {
			n++
		}
	}
	return n
}

// driveOf names the drive of the first part of a kind.
func (r *removing) driveOf(kind string) string {
	for _, p := range r.Parts {
		if p.Part.Kind == kind && p.Part.Drive != "" {
			return p.Part.Drive
		}
	}
	return "not known"
}

// steps fills in what to do, in order.
func (r *removing) steps() {
	step := func(yes bool, code string, facts ...Fact) {
		if yes {
			r.Steps = append(r.Steps, why(code, facts...))
		}
	}
	count := func(n int) Fact { return number("count", float64(n)) }
	nail := r.count(partNail) > 0
	caps, locking, head := r.count(partCap), r.count(partLocking), r.count(partLower, partUpper)
	step(true, "rem-films")
	step(len(r.Unknown) > 0, "rem-unknown", count(len(r.Unknown)))
	step(r.broken() > 0, "rem-broken", count(r.broken()))
	step(r.count(partPlate, partOther) > 0, "rem-outside", count(r.count(partPlate, partOther)))
	step(caps > 0, "rem-cap", word("drive", r.driveOf(partCap)))
	step(nail && caps == 0, "rem-cap-none")
	step(nail && locking+head > 0, "rem-bolt", word("drive", r.driveOf(partNail)))
	step(nail && locking+head == 0, "rem-bolt-loose", word("drive", r.driveOf(partNail)))
	step(locking > 0, "rem-locking", count(locking))
	step(head > 0, "rem-head", count(head))
	step(nail, "rem-pull")
	step(true, "rem-count", count(len(r.Parts)))
	step(nail || r.count(partPlate) > 0, "rem-protect")
}

// bring fills in the tools, each kind and drive once.
func (r *removing) bring() {
	turned := []string{partCap, partLocking, partUpper, partLower, partPlate}
	for _, p := range r.Parts {
		if slices.Contains(turned, p.Part.Kind) && p.Part.Drive != "" {
			r.tool(implant.Screwdriver, p.Part.Drive, "kit-turns")
		}
	}
	for _, p := range r.Parts {
		if slices.Contains(turned, p.Part.Kind) && p.Part.Drive == "" {
			r.tool(implant.Screwdriver, "", "kit-several")
		}
	}
	for _, p := range r.Parts {
		switch {
		case p.Part.Kind != partNail:
		case p.Part.Drive != "":
			r.tool(implant.ExtractionBolt, p.Part.Drive, "kit-pulls")
		default:
			r.tool(implant.ExtractionBolt, "", "kit-bolts")
		}
	}
	if r.count(partNail) > 0 {
		r.tool(implant.SlidingHammer, "", "kit-hammer")
	}
	if r.broken() > 0 {
		r.tool(implant.OtherTool, "", "kit-broken")
	}
}

// several fills in what to bring for parts that nobody has described.
func (r *removing) several() {
	r.tool(implant.Screwdriver, "", "kit-several")
	r.tool(implant.ExtractionBolt, "", "kit-bolts")
	r.tool(implant.SlidingHammer, "", "kit-hammer")
	r.tool(implant.OtherTool, "", "kit-broken")
}

func (r *removing) tool(kind implant.ToolKind, fits, code string) {
	it := toolItem(r.shelf, kind, fits, Removing, why(code))
	if !slices.ContainsFunc(r.Bring, it.like) {
		r.Bring = append(r.Bring, it)
	}
}

// problems returns what contradicts itself in the list of parts, what nobody
// knows of a part that is in the way, and which tool is not on the shelf.
func (r *removing) problems() (out []Problem) {
	held := r.count(partCap, partLower, partUpper)
	if r.count(partNail) == 0 && (held > 0 || r.count(partLocking) > 0 && r.count(partPlate) == 0) {
		out = append(out, trouble("removal-no-nail", fields(r.list)))
	}
	for _, kind := range []string{partNail, partCap, partLower, partUpper} {
		if r.count(kind) < 2 {
			continue
		}
		var twice []string
		for i, p := range r.parts {
			if p.Kind == kind {
				twice = append(twice, index(r.list, i)+".kind")
			}
		}
		out = append(out, trouble("removal-twice", twice, word("kind", kind), number("count", float64(len(twice)))))
	}
	if r.Of != "existing" {
		return out
	}
	if len(r.Unknown) > 0 {
		out = append(out, trouble("removal-unknown", r.Unknown, number("count", float64(len(r.Unknown)))))
	}
	if lack := lacking(r.Bring); len(lack) > 0 && len(r.shelf.Tools) > 0 {
		out = append(out, trouble("removal-missing", fields("shelf.tools"), number("count", float64(len(lack))), word("kind", lack[0].Kind)))
	}
	return out
}
