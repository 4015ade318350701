package plan

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
)

// dumpClass writes the kind of injury, the list for the theatre and the
// removal.
func dumpClass(b *bytes.Buffer, pl Plan) {
	code := "none"
	if pl.Class.Code != nil {
		code = pl.Class.Code.String()
	}
	fmt.Fprintf(b, "class: code %s, wound %q, comminution %q, stable %q, atypical %q %v, neck looked at %v, to look at %v\n",
		code, pl.Class.Wound, pl.Class.Comminution, pl.Class.Stable, pl.Class.Atypical, pl.Class.Majors, pl.Class.NeckDone, pl.Class.NeckLeft)
	reasonLines(b, "  why", pl.Class.Why)
	fmt.Fprintf(b, "list for the theatre: %d lines, %d missing", len(pl.Kit.Items), len(pl.Kit.Missing))
	for _, k := range slices.Sorted(maps.Keys(pl.Kit.Cover)) {
		fmt.Fprintf(b, ", cover of %s %.2f", k, pl.Kit.Cover[k])
	}
	fmt.Fprintln(b)
	for _, it := range pl.Kit.Items {
		dumpItem(b, it)
	}
	r := pl.Removal
	if r.Of == "" {
		return
	}
	fmt.Fprintf(b, "removal of %s, not known %v\n", r.Of, r.Unknown)
	for _, p := range r.Parts {
		fmt.Fprintf(b, "  out %d: %s (%d), drive %q, broken %v\n", p.Order, p.Part.Kind, p.Index, p.Part.Drive, p.Broken)
	}
	reasonLines(b, "  step", r.Steps)
	for _, it := range r.Bring {
		dumpItem(b, it)
	}
}

func dumpItem(b *bytes.Buffer, it KitItem) {
	fmt.Fprintf(b, "  %s %s %s %s", it.Role, it.Kind, it.Place, it.ID)
	if it.Diameter > 0 || it.Length > 0 {
		fmt.Fprintf(b, " %v × %v", it.Diameter, it.Length)
	}
	if it.Fits != "" {
		fmt.Fprintf(b, " for %s", it.Fits)
	}
	fmt.Fprintf(b, ": need %d, have %d", it.Need, it.Have)
	if it.Chance > 0 {
		fmt.Fprintf(b, ", right %.2f", it.Chance)
	}
	for _, w := range it.Why {
		fmt.Fprintf(b, ", %s%s", w.Code, factText(w.Facts))
	}
	fmt.Fprintln(b)
}
