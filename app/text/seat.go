package text

import (
	"strconv"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Unknown reports a line of a table whose value nobody knows.
func Unknown(n Named) bool {
	return n.Value == "not known" || n.Value == "not measured" || n.Value == "not said"
}

// CapAsk says which end cap to ask for.
func CapAsk(s plan.Seat) string {
	if s.Cap == nil {
		return "No end cap yet"
	}
	return "Ask for the end cap of " + MM(s.Cap.Height)
}

// CapDetail is what stands beside the end cap.
func CapDetail(s plan.Seat) string {
	if s.Cap == nil || s.CapLeft == nil {
		return ""
	}
	return "its top ends " + below(*s.CapLeft) + " the tip of the trochanter; on the shelf: " + Count(s.Cap.Stock)
}

// below prints a level under something: above it when negative.
func below(l units.Length) string {
	if l.Best < 0 {
		return Length(l.Times(-1)) + " above"
	}
	return Length(l) + " below"
}

var entryNames = map[record.Entry]string{record.EntryFront: "front third", record.EntryMiddle: "middle third", record.EntryBack: "back third"}

// SeatTable lists where the nail lies, and says so where it is not known.
func SeatTable(s plan.Seat) []Named {
	value := func(l *units.Length, word func(units.Length) string) string {
		if l == nil {
			return "not known"
		}
		return word(*l)
	}
	past := func(over, under string) func(units.Length) string {
		return func(l units.Length) string {
			if l.Best < 0 {
				return Length(l.Times(-1)) + " " + under
			}
			return Length(l) + " " + over
		}
	}
	entry := entryNames[s.Entry]
	if entry == "" {
		entry = "not said"
	}
	out := []Named{
		{"Top of the nail, from the tip of the trochanter", value(s.Burial, past("below", "above"))},
		{"Tip of the nail, from the roof of the notch", value(s.ToNotch, past("above", "past it"))},
		{"Tip of the nail, from the upper pole of the kneecap", value(s.PastPatella, past("past it", "short of it"))},
		{"Bow of the bone, radius", value(s.BoneRadius, Length)},
	}
	radius := "not known"
	if s.NailRadius > 0 {
		radius = MM(s.NailRadius)
	}
	return append(out, Named{"Bow of the nail, radius", radius},
		Named{"Bow of the bone over that of the nail", value(s.Mismatch, past("more", "less"))},
		Named{"Entry, seen from the side", entry})
}

var planeNames = map[implant.Plane]string{implant.Transverse: "side to side", implant.Sagittal: "front to back", implant.Oblique: "oblique"}

// HoleName names a distal hole: its place in the order from the highest, its
// direction, and whether it is a slot.
func HoleName(h plan.HolePlace) string {
	s := strconv.Itoa(h.Hole) + ", " + planeNames[h.Plane]
	if h.Slot {
		s += ", slot"
	}
	return s
}

// HoleUse says in a word what the plan does with a hole.
func HoleUse(h plan.HolePlace) string {
	if h.Use {
		return "screw"
	}
	return "empty"
}

// HoleAsk says which locking screw to ask for.
func HoleAsk(h plan.HolePlace) string {
	if h.Ask == 0 {
		return "No screw for hole " + strconv.Itoa(h.Hole) + " yet"
	}
	return "Ask for the locking screw, " + MM(h.Ask)
}

// HoleDetail is what stands in small print beside the screw of a hole.
func HoleDetail(h plan.HolePlace) []string {
	if h.Ask == 0 {
		return []string{"read the depth at the table"}
	}
	var out []string
	if h.Depth != nil {
		out = append(out, Length(*h.Depth)+" read, up to the shelf's step")
	}
	if h.Past != nil {
		out = append(out, "stands "+Length(*h.Past)+" out of the far cortex")
	}
	return append(out, "on the shelf: "+Count(h.Stock))
}

// LockedWords says how the lower end is locked, and with how many screws.
func LockedWords(d plan.Distal) string {
	holes, _ := used(d)
	switch d.Dynamic {
	case record.Yes:
		return "Locked dynamic, " + DistalScrews(len(holes)) + ": the nail can slide"
	case record.No:
		return "Locked static, " + DistalScrews(len(holes)) + ": length and turn are held"
	}
	return "Locking at the lower end not decided"
}

// AlignTable lists how the leg stands, and says so where it was not measured.
func AlignTable(a plan.Align) []Named {
	angle := func(name string, v *units.Angle, word func(units.Angle) string) Named {
		if v == nil {
			return Named{name, "not measured"}
		}
		return Named{name, word(*v)}
	}
	length := func(name string, v *units.Length, word func(units.Length) string) Named {
		if v == nil {
			return Named{name, "not measured"}
		}
		return Named{name, word(*v)}
	}
	return []Named{
		angle("Version of this femur", a.TurnInjured, Angle),
		angle("Version of the other femur", a.TurnSound, Angle),
		angle("Lower piece is turned", a.Turn, Turned),
		angle("Turn by the lesser trochanter", a.Lesser, Turned),
		length("This femur is", a.Length, Longer),
		angle("Neck against the other side", a.Shaft, leaning),
		angle("Version of the neck from two films", a.Version, Angle),
		length("Gap of the fracture", a.Gap, Length),
	}
}

// leaning prints a difference of neck–shaft angles with its direction.
func leaning(a units.Angle) string {
	size := a
	way := " into valgus"
	if a.Best < 0 {
		size.Best, way = -a.Best, " into varus"
	}
	if float64(size.Best) <= units.Sure*float64(a.Own) {
		way = ", no direction sure"
	}
	return Angle(size) + way
}

// Day is the date of a time of the case file.
func Day(at string) string {
	if len(at) < 10 {
		return at
	}
	return at[:10]
}
