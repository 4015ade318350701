package plan

import (
	"bytes"
	"fmt"

	"isthmus/core/units"
)

// dumpAfter writes what follows from nail and bone.
func dumpAfter(b *bytes.Buffer, pl Plan) {
	s := pl.Seat
	end := "none"
	if s.Cap != nil {
		end = fmt.Sprintf("%v, left %s", s.Cap.Height, lengthText(s.CapLeft))
	}
	fmt.Fprintf(b, "seat: burial %s, cap %s, to notch %s, past kneecap %s, bow of bone %s, of nail %v, mismatch %s, entry %q\n",
		lengthText(s.Burial), end, lengthText(s.ToNotch), lengthText(s.PastPatella), lengthText(s.BoneRadius), s.NailRadius, lengthText(s.Mismatch), s.Entry)
	reasonLines(b, "  why", s.Why)
	d := pl.Distal
	fmt.Fprintf(b, "distal: dynamic %q, later %q by hole %d, toggle %s\n", d.Dynamic, d.Later, d.TakeOut, angleText(d.Toggle))
	for _, h := range d.Holes {
		fmt.Fprintf(b, "  hole %d %s slot %v use %v: level %s, to fracture %s, depth %s, ask %v, past %s, stock %d\n", h.Hole, h.Plane, h.Slot, h.Use,
			lengthText(h.Level), lengthText(h.ToFracture), lengthText(h.Depth), h.Ask, lengthText(h.Past), h.Stock)
		reasonLines(b, "    why", h.Why)
	}
	reasonLines(b, "  why", d.Why)
	a := pl.Align
	fmt.Fprintf(b, "align: turn %s (injured %s, sound %s), lesser %s, length %s, neck–shaft %s, version %s, true angle %s, gap %s\n", angleText(a.Turn), angleText(a.TurnInjured),
		angleText(a.TurnSound), angleText(a.Lesser), lengthText(a.Length), angleText(a.Shaft), angleText(a.Version), angleText(a.TrueNSA), lengthText(a.Gap))
	reasonLines(b, "  why", a.Why)
	for _, u := range pl.Union.Scores {
		fmt.Fprintf(b, "union %s %s: %s %d of %d to %d, united %q\n", u.ID, u.At, u.Scale, u.Score, u.Lo, u.Hi, u.United)
	}
	reasonLines(b, "union why", pl.Union.Why)
}

func angleText(a *units.Angle) string {
	if a == nil {
		return "–"
	}
	return fmt.Sprintf("%.2f u %.2f deg", a.Best, a.Own)
}
