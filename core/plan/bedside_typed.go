package plan

import (
	"math"

	"isthmus/core/calibrate"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// What is typed at the bedside has the doubt of its reading, which this file
// gives it.

// TypedWidth returns a width that was read off a film with its doubt.
func TypedWidth(v units.MM) units.Length { return units.Length{Best: v, Own: canalReading} }

// TypedBurial returns how deep the top of the nail was read, with the doubt of
// a gauge.
func TypedBurial(v units.MM, p Policy) units.Length {
	return units.Length{Best: v, Own: p.GaugeReading}
}

// TypedLevel returns a level along the bone that was read at the bedside, with
// the doubt of one reading of a rod.
func TypedLevel(v units.MM, p Policy) units.Length { return units.Length{Best: v, Own: p.RodReading} }

// TypedBow returns the radius of a bow from the length of a straight line
// between two places of it and the height of the arc over that line
// (measure.RadiusFromSagitta), with the doubt of the height, by which the
// radius goes as its inverse. It refuses a height that its doubt cannot tell
// from a straight bone.
func TypedBow(line, height units.MM) (units.Length, []Problem) {
	bad := append(outside("chord_mm", float64(line), 20, 600, "mm"), outside("bow_height_mm", float64(height), float64(units.Sure*canalReading), float64(line)/2, "mm")...)
	if bad != nil {
		return units.Length{}, inPart(PartNail, bad)
	}
	r, err := measure.RadiusFromSagitta(line, height)
	if err != nil {
		return units.Length{}, []Problem{trouble("bow-refused", fields("bow_height_mm"), word("error", sentence(err.Error())))}
	}
	slope := math.Abs(0.5 - float64(line*line)/float64(8*height*height))
	return units.Length{Best: r, Own: units.MM(slope) * canalReading}, nil
}

// FrontCortex returns what else than the bow brings the tip of a nail against
// the front cortex: an entry in the back third, a short patient. What is not
// said is not judged. Source: policy.
func FrontCortex(entry record.Entry, stature *units.MM, p Policy) (out []Problem) {
	if entry == record.EntryBack {
		out = append(out, trouble("entry-back", fields("injury.entry")))
	}
	if stature != nil && *stature > 0 && *stature < p.ShortStature {
		out = append(out, trouble("stature-short", fields("injury.stature_mm"), shown("stature", *stature), shown("limit", p.ShortStature)))
	}
	return out
}

// A TypedBall is a ball beside the bone: its true size and that on the film.
type TypedBall struct{ True, Seen *units.MM }

// TwoMarkersFrom returns the magnification of a bone that lies so many per
// cent of the way from a ball behind it to one in front, by
// calibrate.TwoMarkers with the doubt of both readings and 5 % of the way; and
// with it the true length of what was measured on the film. Where the bone
// lies has no default. It refuses what calibrate refuses.
func TwoMarkersFrom(behind, front TypedBall, percent *float64, film *units.MM) ScaleAnswer {
	var a ScaleAnswer
	if behind.True == nil || behind.Seen == nil || front.True == nil || front.Seen == nil || percent == nil {
		return a.missing("both sizes of both balls, and where the bone lies between them", "true_mm", "seen_mm", "fraction")
	}
	var m [2]units.Ratio
	for i, b := range []TypedBall{behind, front} {
		if m[i], a.Err = calibrate.Magnification(units.Length{Best: *b.Seen, Own: markerReading}, units.Exact(*b.True)); a.Err != nil {
			return a
		}
	}
	mixed, err := calibrate.TwoMarkers(m[1], m[0], units.Ratio{Best: *percent / 100, U: betweenDoubt})
	if err != nil {
		return ScaleAnswer{Err: err}
	}
	a.Factor = &mixed
	a.Why = []Reason{why("scale-two-balls", number("a", m[0].Best), number("b", m[1].Best), number("place", *percent), number("factor", mixed.Best))}
	if film != nil {
		a.Length, a.Err = Corrected(*film, mixed)
	}
	return a
}

// betweenDoubt is the standard uncertainty of where a bone lies between two
// balls, as a part of the way. From memory; CT put it at 0.45 (King 2009).
const betweenDoubt = 0.05
