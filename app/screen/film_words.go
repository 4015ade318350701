package screen

import (
	"strconv"

	"isthmus/app/text"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// scaleLine says what the scale of a film is, or why there is none.
func scaleLine(s plan.FilmScale) string {
	switch {
	case s.Disputed:
		return "The evidence disagrees: choose one below"
	case s.Plane.Usable():
		return scaleWords(s.Plane)
	}
	return "No scale yet: no millimetres"
}

// planeWords says what a scale is worth. The pixels of a photo made straight
// are not those of the picture, and their size says nothing to anybody.
func planeWords(f record.Film, p calibrate.Plane) string {
	if f.Photo != nil {
		return text.Scale(p)
	}
	return scaleWords(p)
}

// photoLine says that lengths are measured on the photo made straight: the
// pixels of its scale are not those of the picture.
func photoLine(f record.Film, s plan.FilmScale) string {
	if f.Photo == nil || !s.Plane.Usable() || s.Disputed {
		return scaleLine(s)
	}
	return "Photo made straight. " + text.Scale(s.Plane)
}

// scaleWords says how large a pixel is in the plane of the bone, how sure, and
// where it is known from.
func scaleWords(p calibrate.Plane) string {
	size := units.Trim(float64(p.Col), 4)
	if p.Row != p.Col {
		size += " × " + units.Trim(float64(p.Row), 4)
	}
	return size + "\u00a0mm a pixel. " + text.Scale(p)
}

// pieceTitle names a piece of evidence with the size a person gave it.
func pieceTitle(kind record.EvidenceKind, e record.Evidence) string {
	name := evidenceName(kind)
	switch {
	case e.True != nil:
		return name + ", " + text.MM(*e.True)
	case e.SID != nil && kind == record.Distances:
		return name + ", detector at " + text.MM(*e.SID)
	case e.Factor != nil:
		return name + ", × " + units.Trim(*e.Factor, 3)
	}
	return name
}

func evidenceName(k record.EvidenceKind) string {
	switch k {
	case record.Ball:
		return "Ball"
	case record.Disc:
		return "Disc or coin"
	case record.Ruler:
		return "Ruler"
	case record.TwoMarkers:
		return "Balls in front and behind"
	case record.KnownPart:
		return "Part in the bone"
	case record.Distances:
		return "Distances"
	case record.Header:
		return "What the file says"
	case record.Assumed:
		return "Usual factor"
	}
	return "Unknown evidence"
}

// evidenceLacks says what a piece of evidence still needs from a person, or
// nothing.
func evidenceLacks(e record.Evidence) string {
	need, most := marksNeeded(e.Kind)
	two := e.Kind == record.TwoMarkers
	switch {
	case two && len(e.At) < need:
		return strconv.Itoa(need-len(e.At)) + " more on the ball behind"
	case two && len(e.AtFront) < need:
		return strconv.Itoa(need-len(e.AtFront)) + " more on the ball in front"
	case two && (e.True == nil || e.TrueFront == nil):
		return "the true size of both balls"
	case two && e.Fraction == nil:
		return "where the bone lies between them"
	case two:
		return ""
	case len(e.At) < need:
		return strconv.Itoa(need-len(e.At)) + " more on the film"
	case e.Kind == record.KnownPart && e.Along == record.NotAsked:
		return "along it or across it?"
	case most > 0 && e.True == nil:
		return "its true size"
	case most > 0 && e.AtBone == record.NotAsked:
		return "did it lie at the depth of the bone?"
	case e.Kind == record.Distances && e.SID == nil:
		return "the distance from tube to detector"
	case e.Kind == record.Distances && e.SOD == nil && e.OID == nil:
		return "the distance from tube to bone, or from bone to detector"
	case e.Kind == record.Assumed && e.Factor == nil:
		return "the factor"
	}
	return ""
}

// asks says what is asked for next on the film for a piece of evidence.
func asks(e record.Evidence, front bool) string {
	need, most := marksNeeded(e.Kind)
	got := len(*marksOf(&e, front))
	switch {
	case e.Kind == record.KnownPart && got == 0:
		return "Zoom in, then tap one edge of it"
	case e.Kind == record.KnownPart && got == 1:
		return "Tap its other edge, straight across"
	case e.Kind == record.KnownPart:
		return "Drag either edge to be surer"
	case most == 0:
		return ""
	case e.Kind == record.Ruler && got == 0:
		return "Zoom in, then tap one graduation"
	case e.Kind == record.Ruler && got == 1:
		return "Tap another, as far away as the ruler goes"
	case e.Kind == record.Ruler:
		return "Drag either graduation to be surer"
	case got == 0:
		return "Zoom in on it, then tap its rim, all round"
	case got < need:
		return "Tap the rim, all round: " + strconv.Itoa(got) + " of " + strconv.Itoa(need)
	case got < 5:
		return strconv.Itoa(got) + " on the rim; 5 or more also find an oval"
	case got < most:
		return strconv.Itoa(got) + " on the rim; drag them under the loupe to be surer"
	}
	return strconv.Itoa(got) + " on the rim: drag any to be surer"
}

func rimCount(at []geom.Pt[units.Px]) string {
	if len(at) == 0 {
		return "not yet"
	}
	return strconv.Itoa(len(at)) + " points"
}

// resultLine is what the points have come to so far.
func resultLine(pl plan.Plan) string {
	length, canal := "length open", "canal open"
	switch {
	case pl.Bone.Disputed:
		length = "length in dispute"
	case pl.Bone.Length != nil:
		length = "length " + text.Length(*pl.Bone.Length)
	}
	if pl.Bone.Canal != nil {
		canal = "canal " + text.Length(*pl.Bone.Canal)
	}
	nail := "nail open"
	if pl.Nail.Length > 0 || pl.Nail.Diameter > 0 {
		nail = "nail " + text.NailSize(pl.Nail)
	}
	return length + " · " + canal + " · " + nail
}
