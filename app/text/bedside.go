package text

import (
	"math"
	"strconv"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

func init() {
	reasons["scale-two-balls"] = "The ball behind is {a} times as large on the film, the one in front {b} times. The bone lies {place} % of the way from the first to the second: {factor}, by their inverses. A plain mean of the two would be wrong."
	fieldNames["bow_height_mm"] = "height of the bow"
}

// DistalAsk says which locking screw to ask for.
func DistalAsk(s plan.DistalScrew) string {
	if s.Ask == 0 {
		return "No locking screw yet"
	}
	return "Ask for the locking screw, " + MM(s.Ask)
}

// DistalDetail is what stands beside and below a locking screw: what stands
// out, what lies in stock, and its neighbours.
func DistalDetail(s plan.DistalScrew) []string {
	if s.Ask == 0 {
		return []string{"Enter what is asked below."}
	}
	out := []string{"stands " + Length(*s.Past) + " out of the far cortex; on the shelf: " + Count(s.Stock)}
	if s.Shorter > 0 {
		out = append(out, "The next shorter, "+MM(s.Shorter)+", is too short for what must stand out.")
	}
	if s.Longer > 0 {
		out = append(out, "The next longer is "+MM(s.Longer)+".")
	} else {
		out = append(out, "The shelf has none longer.")
	}
	return out
}

// HoleGap says how far a hole lies beyond the fracture.
func HoleGap(l units.Length) string {
	if l.Best < 0 {
		return Length(l.Times(-1)) + " above the end of the fracture"
	}
	return Length(l) + " beyond the fracture"
}

// HoleShort names a hole of a nail by its number from the top, its direction
// and whether it is a slot.
func HoleShort(n int, h implant.Hole) string {
	return "Hole " + HoleName(plan.HolePlace{Hole: n, Plane: h.Plane, Slot: h.Slot})
}

// CapSize names an end cap of the bedside answer.
func CapSize(a plan.CapAnswer) string {
	if a.Cap == nil {
		return "No end cap yet"
	}
	return "Ask for the end cap of " + MM(a.Cap.Height)
}

// CapMore is what stands beside and below an end cap.
func CapMore(a plan.CapAnswer) []string {
	var out []string
	if a.Cap != nil && a.Left != nil {
		out = append(out, "its top ends "+below(*a.Left)+" the tip of the trochanter; on the shelf: "+Count(a.Cap.Stock))
	}
	if a.Next != nil && a.NextLeft != nil {
		out = append(out, "The next higher, "+MM(a.Next.Height)+", would end "+below(*a.NextLeft)+" the tip.")
	} else if a.Cap != nil {
		out = append(out, "The shelf has none higher.")
	}
	return out
}

// RecordCap is said beside every end cap.
const RecordCap = "Write the cap into the record, with its height: whoever takes the nail out must take it out first, and asks for it."

// BowSays says which of bone and nail is more bowed, by how much.
func BowSays(m units.Length) string {
	size := m
	if m.Best < 0 {
		size = m.Times(-1)
	}
	switch {
	case float64(size.Best) <= units.Sure*float64(m.Doubt()) || size.Best == 0:
		return "Nail and bone are bowed alike, as far as can be told"
	case m.Best > 0:
		return "The nail is straighter than the bone by " + Length(size)
	}
	return "The nail is more bowed than the bone by " + Length(size)
}

// FootSays says which way the foot must be turned, for a lower piece that is
// turned outwards by so much (inwards: negative). A turn that its doubt covers
// has no direction.
func FootSays(t units.Angle) string {
	switch {
	case math.Abs(float64(t.Best)) <= units.Sure*float64(t.Own) || t.Best == 0:
		return "No turn that can be told from the doubt"
	case t.Best > 0:
		return "Lower piece turned outwards: turn the foot in"
	}
	return "Lower piece turned inwards: turn the foot out"
}

// DegreesAbout prints the size of an angle alone, rounded with its doubt.
func DegreesAbout(a units.Angle) string {
	return units.Trim(math.Round(math.Abs(float64(a.Best))), 0)
}

// LegSays names the difference in length of the injured leg for a title.
func LegSays(l units.Length) string { return capital("the injured femur is " + Longer(l)) }

// UnionSays says whether a score means that the bone has united.
func UnionSays(a plan.UnionAnswer, scale string) string {
	name := wordText("scale", scale)
	switch {
	case a.Score == 0:
		return "No score yet"
	case a.United == record.Yes:
		return name + ": united"
	case a.United == record.Unsure:
		return name + ": one step short, so it cannot be told"
	}
	return name + ": not united"
}

// UnionOf prints the most that a score can be.
func UnionOf(a plan.UnionAnswer) string {
	return "of " + strconv.Itoa(a.Hi)
}
