package plan

import (
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// How a bedside length or magnification was found.
const (
	HowRods      = "rods"
	HowRuler     = "ruler"
	HowFilm      = "film"
	HowMarker    = "marker"
	HowDistances = "distances"
	HowUsual     = "usual"
)

const (
	// filmReading is the standard uncertainty of a length read off a film with
	// a ruler or a screen tool, two ends of 2 mm each. Common practice.
	filmReading units.MM = 2.8
	// canalReading is the same for the width of a canal. Common practice.
	canalReading units.MM = 0.5
	// markerReading is the same for a marker measured on the film. Common
	// practice.
	markerReading units.MM = 0.3
)

// ScaleReadings is what is known at the bedside about a film's magnification.
// A missing number is nil.
type ScaleReadings struct {
	How    string    // HowMarker, HowDistances, HowUsual
	True   *units.MM // true size of the marker, or of a piece of the ruler
	Seen   *units.MM // the same on the film
	AtBone record.Answer
	SID    *units.MM
	SOD    *units.MM
	OID    *units.MM
	Usual  *float64  // a site's usual magnification
	Film   *units.MM // a length on the film to be corrected
}

// A ScaleAnswer is the magnification, and the corrected length if one was
// asked for. A nil value could not be told; Problems says why.
type ScaleAnswer struct {
	Factor   *units.Ratio
	Length   *units.Length
	Why      []Reason
	Problems []Problem
	Err      error // what is wrong with a number, in words
}

// ScaleFrom returns the magnification of a film,
//
//	M = seen / true, or M = SID / SOD
//
// with the doubt of the readings and of the marker's depth, and with it the
// true length of what was measured on the film, L = film / M. Source:
// Orthopaedic Proceedings 2006, 88-B Supp II, 247; DICOM PS3.3, C.8.7.6. It
// refuses a marker that was not at the bone's depth, since nobody said where
// it was.
func ScaleFrom(in ScaleReadings) ScaleAnswer {
	var a ScaleAnswer
	var m units.Ratio
	switch in.How {
	case HowDistances:
		if in.SID == nil || in.SOD == nil && in.OID == nil {
			return a.missing("the distance from tube to detector, and that of the bone", "sid_mm", "sod_mm", "oid_mm")
		}
		m, a.Err = calibrate.MagnificationFromDistances(*in.SID, in.SOD, in.OID)
		a.Why = []Reason{why("scale-by-distances")}
	case HowUsual:
		if in.Usual == nil {
			return a.missing("the usual magnification", "factor")
		}
		m, a.Err = calibrate.UsualMagnification(*in.Usual)
		a.Why = []Reason{why("scale-usual")}
		a.Problems = []Problem{trouble("magnification-assumed", fields("factor"))}
	default:
		if in.True == nil || in.Seen == nil {
			return a.missing("the true size and the size on the film", "true_mm", "seen_mm")
		}
		var notices []Problem
		m, notices, a.Err = markerFactor(in)
		a.Why = []Reason{why("scale-marker", shown("true", *in.True), shown("seen", *in.Seen))}
		a.Problems = notices
	}
	if a.Err != nil || m.Best == 0 {
		return ScaleAnswer{Err: a.Err, Problems: a.Problems}
	}
	a.Factor = &m
	if in.Film != nil {
		a.Length, a.Err = Corrected(*in.Film, m)
	}
	return a
}

func (a ScaleAnswer) missing(what string, names ...string) ScaleAnswer {
	a.Problems = append(a.Problems, trouble("sizes-missing", fields(names...), word("fields", what)))
	return a
}

// markerFactor is seen over true, with the doubt of the depth in it.
func markerFactor(in ScaleReadings) (units.Ratio, []Problem, error) {
	if in.AtBone == record.No {
		return units.Ratio{}, []Problem{trouble("marker-not-at-bone", fields("at_bone"))}, nil
	}
	m, err := calibrate.Magnification(units.Length{Best: *in.Seen, Own: markerReading}, units.Exact(*in.True))
	if err != nil {
		return m, nil, err
	}
	if in.AtBone == record.Yes {
		return calibrate.AtDepth(m, true), nil, nil
	}
	return calibrate.AtDepth(m, false), []Problem{trouble("marker-depth-unknown", fields("at_bone"))}, nil
}

// Corrected returns the true length of what measures film on the film,
//
//	L = film / M
//
// with the doubt of M as shared. It refuses a length outside 1…1000 mm.
func Corrected(film units.MM, m units.Ratio) (*units.Length, error) {
	if !(film >= 1 && film <= 1000) || !(m.Best >= 1) {
		return nil, &calibrate.OutOfRangeError{Name: "the length on the film", Field: "film_mm", Got: float64(film), Lo: 1, Hi: 1000, Unit: "mm",
			Do: "enter what the film's own ruler or the screen shows, in millimetres"}
	}
	own := filmReading
	if film <= 60 {
		own = canalReading
	}
	best := film / units.MM(m.Best)
	return &units.Length{Best: best, Own: own / units.MM(m.Best), Shared: -best * units.MM(m.U/m.Best)}, nil
}

// NailReadings is what is known at the bedside about the nail.
type NailReadings struct {
	How     string // HowRods, HowRuler, HowFilm
	Side    anatomy.Side
	Rod     *units.MM // length of a rod
	Out     *units.MM // what stands out of it
	OnBone  record.Answer
	Ruler   *units.MM    // on the skin, trochanter tip to target
	Film    *units.MM    // on the film, trochanter tip to target
	Factor  *units.Ratio // the film's magnification
	Reduced record.Answer
	Canal   *units.MM // width of the canal at the isthmus; on the film when How is HowFilm
}

// A NailAnswer is the nail for the bedside.
type NailAnswer struct {
	Bone     *units.Length // trochanter tip to target
	Canal    *units.Length
	Nail     NailChoice
	Reaming  Reaming
	Why      []Reason
	Problems []Problem
}

// NailFrom returns the nail and its reamers from readings at the bedside, by
// the same rules as a case. What is missing leaves its part open.
func NailFrom(in NailReadings, shelf implant.Shelf, p Policy) NailAnswer {
	var a NailAnswer
	a.length(in, p)
	a.canal(in)
	n, more := chooseNail(Bone{Length: a.Bone, Canal: a.Canal}, in.Side, Locking{}, shelf, p)
	a.Nail, a.Problems = n, append(a.Problems, more...)
	if a.Nail.Diameter > 0 {
		a.Reaming, more = ReamingFor(a.Nail.Diameter, a.Canal, shelf, p)
		a.Problems = append(a.Problems, more...)
	}
	return a
}

// length fills in the length of the bone by the chosen way.
func (a *NailAnswer) length(in NailReadings, p Policy) {
	switch in.How {
	case HowFilm:
		a.fromFilm(in)
		return
	case HowRuler:
		a.fromHand(record.Reading{Kind: record.SkinRuler, First: in.Ruler, Reduced: in.Reduced}, in.Ruler != nil, p)
		return
	}
	a.fromHand(record.Reading{Kind: record.TwoRods, First: in.Rod, Second: in.Out, OnBone: in.OnBone, Reduced: in.Reduced},
		in.Rod != nil && in.Out != nil, p)
}

func (a *NailAnswer) fromHand(r record.Reading, given bool, p Policy) {
	if !given {
		return
	}
	route, bad := handRoute(r, "readings", p)
	a.Problems = append(a.Problems, bad...)
	if route != nil {
		a.Bone, a.Why = &route.Length, []Reason{route.Why}
	}
}

func (a *NailAnswer) fromFilm(in NailReadings) {
	if in.Film == nil {
		return
	}
	if in.Factor == nil {
		a.Problems = append(a.Problems, trouble("magnification-missing", fields("factor")))
		return
	}
	if in.Reduced != record.Yes {
		a.Problems = append(a.Problems, trouble("reading-not-reduced", fields("reduced"), word("kind", HowFilm)))
		return
	}
	l, err := Corrected(*in.Film, *in.Factor)
	if err != nil {
		a.Problems = append(a.Problems, trouble("length-odd", fields("film_mm"), number("length", float64(*in.Film)), shown("low", roomLo), shown("high", roomHi)))
		return
	}
	a.Bone = l
	a.Why = []Reason{why("route-film-typed", shown("film", *in.Film), number("factor", in.Factor.Best), length("length", *l))}
}

// canal fills in the width of the canal, corrected when it was read on a film.
func (a *NailAnswer) canal(in NailReadings) {
	switch {
	case in.Canal == nil:
	case in.How != HowFilm:
		a.Canal = &units.Length{Best: *in.Canal, Own: canalReading}
	case in.Factor != nil:
		if l, err := Corrected(*in.Canal, *in.Factor); err == nil {
			a.Canal = l
		}
	}
}

// HeadDiameterOf returns the diameter of the head screws of a shelf when they
// all have one, else 0, which stands for any.
func HeadDiameterOf(shelf implant.Shelf) units.MM {
	var d units.MM
	for i, s := range shelf.Head {
		if i > 0 && s.Diameter != d {
			return 0
		}
		d = s.Diameter
	}
	return d
}
