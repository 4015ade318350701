package plan

import (
	"math"

	"isthmus/core/units"
)

// unusual lists what published series of adult femora leave room for. Wide on
// purpose: the ends of what was seen, or three standard deviations beyond the
// means of the series that lie furthest apart. It only warns.
var unusual = []struct {
	name   string
	lo, hi float64
	of     func(Bone, Space) (best, u float64, ok bool)
}{
	// 9.79 ± 1.27 mm (women) and 10.77 ± 1.53 mm (men): PMC8589507.
	{"canal", 9.79 - 3*1.27, 10.77 + 3*1.53, func(b Bone, _ Space) (float64, float64, bool) { return mmOf(b.Canal) }},
	// 42.0 ± 2.4 mm (women) and 47.6 ± 2.8 mm (men): J Clin Med Res 2019.
	{"head", 42.0 - 3*2.4, 47.6 + 3*2.8, func(b Bone, _ Space) (float64, float64, bool) { return mmOf(b.HeadDia) }},
	// 100.1 to 146.2° in 1,070 femora: PMC4775021.
	{"neck–shaft angle", 100.1, 146.2, func(b Bone, s Space) (float64, float64, bool) {
		if s.NeckShaft != nil { // the true angle, where it was worked out
			return degOf(s.NeckShaft)
		}
		return degOf(b.NSA)
	}},
	// −23.6 to 48.7° in the same.
	{"version of the neck", -23.6, 48.7, func(_ Bone, s Space) (float64, float64, bool) { return degOf(s.Version) }},
}

func mmOf(l *units.Length) (best, u float64, ok bool) {
	if l == nil {
		return 0, 0, false
	}
	return float64(l.Best), float64(l.Doubt()), true
}

func degOf(a *units.Angle) (best, u float64, ok bool) {
	if a == nil {
		return 0, 0, false
	}
	return float64(a.Best), float64(a.Own), true
}

// plausibles warns of measures that surely lie outside of what adult femora
// have: beyond the range by more than Sure standard uncertainties. Nothing is
// ever worked out from these ranges.
func plausibles(b Bone, s Space) (out []Problem) {
	for _, m := range unusual {
		best, u, ok := m.of(b, s)
		if !ok || !(best+units.Sure*u < m.lo) && !(best-units.Sure*u > m.hi) {
			continue
		}
		unit := "mm"
		if m.name != "canal" && m.name != "head" {
			unit = "°"
		}
		out = append(out, trouble("measure-unusual", fields("films"), word("what", m.name), word("unit", unit),
			number("value", math.Round(10*best)/10), number("low", math.Round(10*m.lo)/10), number("high", math.Round(10*m.hi)/10)))
	}
	return out
}
