package record

import (
	"slices"
	"strings"
)

func words(s string) []string { return strings.Fields(s) }

// Missing lists the fields that a piece of evidence still needs before it can
// give a scale, by their names in the file; none when it is complete. A ball
// or a disc needs at least three points on its rim, a ruler its two
// graduations; at_bone is asked for, since a marker off the bone's depth reads
// wrong. Distances need the distance source to detector and one of the others.
func (e Evidence) Missing() []string {
	need := map[EvidenceKind]string{
		Ball: "at_px true_mm at_bone", Disc: "at_px true_mm at_bone", Ruler: "at_px true_mm at_bone",
		Distances: "sid_mm", Assumed: "factor",
		TwoMarkers: "at_px true_mm at_front_px true_front_mm fraction", KnownPart: "at_px true_mm at_bone along",
	}[e.Kind]
	var out []string
	given := e.given()
	for _, name := range words(need) {
		short := name == "at_px" && len(e.At) < map[EvidenceKind]int{Ball: 3, Disc: 3, Ruler: 2, TwoMarkers: 3, KnownPart: 2}[e.Kind] ||
			name == "at_front_px" && len(e.AtFront) < 3
		if short || !slices.Contains(given, name) {
			out = append(out, name)
		}
	}
	if e.Kind == Distances && e.SOD == nil && e.OID == nil {
		out = append(out, "sod_mm")
	}
	return out
}

// Missing lists the fields that a reading still needs before a length can be
// taken from it, by their names in the file; none when it is complete.
func (r Reading) Missing() []string {
	var out []string
	turn := r.Kind == TurnInjured || r.Kind == TurnSound
	if r.First == nil && !turn {
		out = append(out, "first_mm")
	}
	if turn && r.Angle == nil {
		out = append(out, "angle_deg")
	}
	if turn && r.AngleTwo == nil {
		out = append(out, "angle_two_deg")
	}
	if r.Kind == DistalDepth && r.Hole == nil {
		out = append(out, "hole")
	}
	if r.Kind == TwoRods && r.Second == nil {
		out = append(out, "second_mm")
	}
	if r.Reduced == NotAsked && (r.Kind == TwoRods || r.Kind == SkinRuler) {
		out = append(out, "reduced")
	}
	if r.OnBone == NotAsked && (r.Kind == TwoRods || r.Kind == WireLower || r.Kind == WireUpper || r.Kind == DistalDepth || r.Kind == OtherTrial) {
		out = append(out, "on_bone")
	}
	return out
}
