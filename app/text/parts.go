package text

import (
	"strconv"
	"strings"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// nbsp keeps a value and its unit together.
const nbsp = "\u00a0"

// When shortens a time of the case file to the day and the minute, UTC.
func When(at string) string {
	if len(at) < 16 {
		return at
	}
	return at[:10] + " " + at[11:16] + " UTC"
}

// Plain prints a size without its unit, where the unit stands beside it.
func Plain(m units.MM) string { return units.Trim(float64(m), 2) }

// Count prints how many pieces there are.
func Count(n int) string {
	switch n {
	case 0:
		return "none"
	case 1:
		return "1 piece"
	}
	return strconv.Itoa(n) + " pieces"
}

// PatternShort names a locking pattern in one word, for a box.
func PatternShort(p plan.Pattern) string {
	switch p {
	case plan.Standard:
		return "standard"
	case plan.HeadLock:
		return "head"
	}
	return "open"
}

// DistalScrews says how many distal screws are planned.
func DistalScrews(n int) string {
	switch n {
	case 0:
		return "distal screws not decided"
	case 1:
		return "one distal screw"
	case 2:
		return "two distal screws"
	case 3:
		return "three distal screws"
	}
	return strconv.Itoa(n) + " distal screws"
}

// NailSize prints diameter × length without units, or what is known of them.
func NailSize(n plan.NailChoice) string {
	switch {
	case n.Length == 0 && n.Diameter == 0:
		return "open"
	case n.Length == 0:
		return Plain(n.Diameter) + nbsp + "×" + nbsp + "?"
	case n.Diameter == 0:
		return "?" + nbsp + "×" + nbsp + Plain(n.Length)
	}
	return Plain(n.Diameter) + nbsp + "×" + nbsp + Plain(n.Length)
}

// NailAsk says which nail to ask for.
func NailAsk(n plan.NailChoice) string {
	switch {
	case n.Length == 0 && n.Diameter == 0:
		return "Nail not decided yet"
	case n.Length == 0:
		return "Diameter " + MM(n.Diameter) + "; length not decided yet"
	case n.Diameter == 0:
		return "Length " + MM(n.Length) + "; diameter not decided yet"
	}
	return "Ask for the nail " + MM(n.Diameter) + " by " + MM(n.Length)
}

// NailDetail is what stands in small print beside the nail.
func NailDetail(n plan.NailChoice) []string {
	var out []string
	if n.Room != nil {
		out = append(out, Length(*n.Room)+" of room, down to the shelf's step")
	}
	if n.Close {
		out = append(out, "Too close to call: have the neighbours in the room")
	}
	if n.Tip != nil {
		out = append(out, "the tip ends "+Length(*n.Tip)+" short of the target")
	}
	if n.Ratio != nil {
		out = append(out, "fills "+Percent(n.Ratio.Best)+" of the canal")
	}
	if n.DiaUp > 0 {
		out = append(out, "next diameter "+MM(n.DiaUp))
	}
	if n.Part == nil && n.Length > 0 && n.Diameter > 0 {
		out = append(out, "not on the shelf in this size and side")
	}
	return out
}

// Heads prints the reamer heads in the order of use.
func Heads(hs []units.MM) string {
	parts := make([]string, len(hs))
	for i, h := range hs {
		parts[i] = strconv.FormatFloat(float64(h), 'f', 1, 64)
	}
	return strings.Join(parts, ", ") + nbsp + "mm, in " + passes(len(hs))
}

func passes(n int) string {
	if n == 1 {
		return "one pass"
	}
	return strconv.Itoa(n) + " passes"
}

// ReamStops says from which heads on the isthmus is felt.
func ReamStops(r plan.Reaming) string {
	s := ""
	if r.Chatter > 0 {
		s = "Chatter at " + MM(r.Chatter)
	}
	if r.Tight > 0 {
		s += ", tight at " + MM(r.Tight)
	}
	return s
}

// MissingHeads says which heads of the list the shelf lacks.
func MissingHeads(hs []units.MM) string {
	if len(hs) == 0 {
		return "every head is on the shelf"
	}
	parts := make([]string, len(hs))
	for i, h := range hs {
		parts[i] = MM(h)
	}
	return "not on the shelf: " + strings.Join(parts, ", ")
}

// ScrewAsk says which head screw to ask for.
func ScrewAsk(place implant.Place, s plan.ScrewChoice) string {
	if s.Ask == 0 {
		return "No " + string(place) + " screw yet"
	}
	return "Ask for the " + string(place) + " screw, " + MM(s.Ask)
}

// ScrewDetail is what stands in small print beside a head screw.
func ScrewDetail(s plan.ScrewChoice) []string {
	var out []string
	if s.Room != nil {
		out = append(out, Length(*s.Room)+" of room, down to the shelf's step")
	}
	if s.Close {
		out = append(out, "Too close to call: the next size may be the right one")
	}
	if s.ToJoint != nil && s.Ask > 0 {
		out = append(out, "ends "+Length(*s.ToJoint)+" from the joint surface")
	}
	var next []string
	if s.Shorter > 0 {
		next = append(next, "Next shorter "+MM(s.Shorter)+".")
	}
	if s.Longer > 0 && s.LongerTo != nil {
		next = append(next, LongerSays(s.Longer, *s.LongerTo))
	}
	if len(next) > 0 {
		out = append(out, strings.Join(next, " "))
	}
	if s.Ask > 0 {
		from := "from the film: measure the wire at the table"
		if s.Measured {
			from = "from the wire at the table"
		}
		out = append(out, from+"; on the shelf: "+Count(s.Stock))
	}
	return out
}

// LongerSays tells what the next longer screw would do to the joint.
func LongerSays(size units.MM, left units.Length) string {
	if left.Best <= 0 {
		return "A " + MM(size) + " would go through the joint surface."
	}
	return "A " + MM(size) + " would end " + Length(left) + " from the joint."
}

// NailPart describes what is particular about a nail of the shelf.
func NailPart(n implant.Nail) string {
	parts := []string{"top " + MM(n.Proximal)}
	if n.BowRadius > 0 {
		parts = append(parts, "bow radius "+MM(n.BowRadius))
	}
	if n.HeadAngle > 0 {
		parts = append(parts, "head screws at "+units.Trim(float64(n.HeadAngle), 1)+"°, "+MM(n.HeadSpacing)+" apart")
	} else {
		parts = append(parts, "no head locking")
	}
	return strings.Join(parts, ", ") + ", " + strconv.Itoa(len(n.Distal)) + " distal holes"
}

var implantNames = map[string]string{
	"nail": "Nail", "head-screw-lower": "Lower head screw", "head-screw-upper": "Upper head screw",
	"locking-screw": "Locking screw", "end-cap": "End cap", "plate": "Plate", "other": "Something else",
}

// PartName names a kind of recorded part; the word itself for an unknown one.
func PartName(kind string) string {
	if s, ok := implantNames[kind]; ok {
		return s
	}
	return kind
}

// ImplantLine names a recorded part with its size.
func ImplantLine(im record.Implant) string {
	s := PartName(im.Kind)
	if im.Diameter != nil {
		s += " " + MM(*im.Diameter)
	}
	if im.Diameter != nil && im.Length != nil {
		s += " ×"
	}
	if im.Length != nil {
		s += " " + MM(*im.Length)
	}
	return s
}

// ImplantDetail is what stands in small print under a recorded part.
func ImplantDetail(im record.Implant) string {
	parts := []string{}
	if im.Side.Valid() {
		parts = append(parts, string(im.Side))
	}
	if im.Drive != "" {
		parts = append(parts, "drive "+tie(im.Drive))
	}
	if im.Broken == record.Yes {
		parts = append(parts, "bent, broken or stripped")
	}
	if im.Lot != "" {
		parts = append(parts, "lot "+im.Lot)
	}
	if im.Device != "" {
		parts = append(parts, im.Device)
	}
	return strings.Join(append(parts, "recorded "+When(im.At)), " · ")
}

// A Named is a measured thing as it stands in a table.
type Named struct{ Name, Value string }

// BoneTable lists what was measured, and says so where it was not.
func BoneTable(b plan.Bone) []Named {
	length := func(name string, l *units.Length) Named {
		if l == nil {
			return Named{name, "not measured"}
		}
		return Named{name, Length(*l)}
	}
	out := []Named{
		length("Trochanter tip to target", b.Length),
		length("Canal from the front", b.CanalAP),
		length("Canal from the side", b.CanalLat),
		length("Tip to the isthmus", b.Isthmus),
		length("Tip to the upper end of the fracture", b.Fracture),
		length("Tip to its lower end", b.FractureL),
		length("Tip to the lesser trochanter", b.Lesser),
		length("Head, across", b.HeadDia),
		length("Neck, inner height", b.NeckRoom),
	}
	if b.NSA == nil {
		return append(out, Named{"Neck–shaft angle", "not measured"})
	}
	return append(out, Named{"Neck–shaft angle", Angle(*b.NSA)})
}

var routeNames = map[string]string{
	"film": "from the film of this leg", "other-film": "from the film of the other leg",
	"two-rods": "from two rods", "skin-ruler": "from a ruler on the skin",
	"two-films": "from two films joined at a mark", "pieces": "from the two pieces of the bone", "other-trial": "tried on the other leg",
}

// RouteTitle says one way in which the length is known.
func RouteTitle(r plan.Route) string {
	name := routeNames[r.Kind]
	if name == "" {
		name = r.Kind
	}
	return Length(r.Length) + " " + name
}

// A FilmWords is a film as the list of films shows it.
type FilmWords struct{ Title, Result, Detail string }

// FilmLine describes film i of a case: what it shows, and what its scale is
// worth.
func FilmLine(f record.Film, p plan.Plan, i int) FilmWords {
	w := FilmWords{Title: "Film " + strconv.Itoa(i+1) + ", " + ViewName(f.View) + ", " + BoneName(f.Bone)}
	w.Result = "no scale yet: no length can be measured"
	for _, s := range p.Scales {
		if s.Film != i {
			continue
		}
		switch {
		case s.Disputed:
			w.Result = "the evidence of size disagrees: settle it"
		case s.Plane.Usable():
			w.Result = Scale(s.Plane)
		}
	}
	w.Detail = strings.ToUpper(f.Kind) + ", " + strconv.Itoa(f.Width) + " × " + strconv.Itoa(f.Height) + " pixels, " + strconv.Itoa(len(f.Points)) + " points placed"
	return w
}

// Factor prints a magnification with its doubt: 1.150 ± 0.020.
func Factor(m units.Ratio) string {
	places := 3
	if units.Sure*m.U >= 0.0095 {
		places = 2
	}
	if m.U == 0 {
		return FactorShort(m)
	}
	return strconv.FormatFloat(m.Best, 'f', places, 64) + " ± " + strconv.FormatFloat(max(units.Sure*m.U, 0.001), 'f', places, 64)
}

// FactorShort prints a magnification for a box, to the digits its doubt
// allows.
func FactorShort(m units.Ratio) string {
	places := 3
	if units.Sure*m.U >= 0.0095 {
		places = 2
	}
	return strconv.FormatFloat(m.Best, 'f', places, 64)
}

// Whole prints the value of a length alone, rounded with its doubt, for a box
// that has its unit beside it.
func Whole(l units.Length) string {
	v, _ := l.Round()
	return v
}

// CaseLine is a case in one line, for the list: the code, the locking and the
// nail, as far as they are known.
func CaseLine(c record.Case, p plan.Plan) string {
	var parts []string
	if c.Practice != "" {
		parts = append(parts, PracticeMark)
	}
	if c.Injury.Code != "" {
		parts = append(parts, c.Injury.Code)
	}
	if p.Locking.Pattern != plan.NoPattern {
		parts = append(parts, Pattern(p.Locking.Pattern))
	}
	if p.Nail.Length > 0 || p.Nail.Diameter > 0 {
		parts = append(parts, "nail "+NailSize(p.Nail)+nbsp+"mm")
	}
	return strings.Join(parts, " · ")
}
