package plan

import (
	"cmp"
	"math"
	"slices"

	"isthmus/core/implant"
	"isthmus/core/measure"
	"isthmus/core/units"
)

// The functions of this file answer one question each at the bedside, without
// a case. Make asks the same functions.

// An Answered is one number with its doubt, which way it points, why, and what
// stands in the way. A nil number could not be told; Problems says why.
type Answered struct {
	Length    *units.Length
	Angle     *units.Angle
	Ratio     *units.Ratio
	Direction string // see the Towards… words; "" where there is none
	Why       []Reason
	Problems  []Problem
}

// Directions of a difference, as codes for app/text.
const (
	TowardsOut    = "outwards"
	TowardsIn     = "inwards"
	TowardsLong   = "longer"
	TowardsShort  = "shorter"
	TowardsVarus  = "varus"
	TowardsValgus = "valgus"
	TowardsNone   = "the-same"
)

func directed(v float64, more, less string) string {
	switch {
	case v > 0:
		return more
	case v < 0:
		return less
	}
	return TowardsNone
}

// refusedAt returns an answer that is only a refusal.
func refusedAt(problems ...Problem) Answered { return Answered{Problems: problems} }

// outside reports a typed number that cannot be, written so that NaN is one.
func outside(field string, v, lo, hi float64, unit string) []Problem {
	if v >= lo && v <= hi {
		return nil
	}
	return []Problem{trouble("number-impossible", fields(field), word("field", field), number("value", v),
		number("low", lo), number("high", hi), word("unit", unit))}
}

// inPart puts refused numbers where they are shown.
func inPart(part Part, problems []Problem) []Problem {
	for i := range problems {
		if problems[i].Code == "number-impossible" {
			problems[i].Part = part
		}
	}
	return problems
}

// outsideLength is outside for a length with its doubt.
func outsideLength(field string, l units.Length, lo, hi units.MM) []Problem {
	if !l.Finite() {
		l.Best = units.MM(math.NaN())
	}
	return outside(field, float64(l.Best), float64(lo), float64(hi), "mm")
}

// outsideAngle is outside for an angle with its doubt.
func outsideAngle(field string, a units.Angle, lo, hi float64) []Problem {
	if !(a.Own >= 0 && a.Own <= 360) {
		a.Best = units.Deg(math.NaN())
	}
	return outside(field, float64(a.Best), lo, hi, "degrees")
}

// BowFor returns how much higher the bow of the bone is than that of the nail
// over one chord (straighter bone: negative),
//
//	mismatch = s(bone) − s(nail),  s = R − √(R² − (c/2)²)
//
// with the doubt of the bone's radius, u = |R/√(R² − c²/4) − 1|·u(R). A nail
// that is straighter than the bone presses its tip against the front cortex;
// where the nail enters, and room in the canal, make it less or more. There is
// no default for the bone. Source: geometry. It refuses a radius under half
// the chord, and sizes that are none.
func BowFor(bone units.Length, nail, chord units.MM, p Policy) Answered {
	bad := append(outside("chord_mm", float64(chord), 20, 600, "mm"), outsideLength("bone_radius_mm", bone, chord/2, 1e5)...)
	if bad = append(bad, outside("nail_radius_mm", float64(nail), float64(chord/2), 1e5, "mm")...); bad != nil {
		return refusedAt(inPart(PartNail, bad)...)
	}
	b, _ := measure.Sagitta(chord, bone.Best)
	n, _ := measure.Sagitta(chord, nail)
	half := float64(chord) / 2
	slope := 1 - float64(bone.Best)/math.Sqrt((float64(bone.Best)-half)*(float64(bone.Best)+half))
	m := units.Length{Best: b - n, Own: units.MM(math.Abs(slope)) * bone.Own, Shared: units.MM(slope) * bone.Shared}
	a := Answered{Length: &m, Why: []Reason{why("bow-two", length("bone", bone), shown("nail", nail), shown("chord", chord), length("mismatch", m))}}
	facts := []Fact{length("mismatch", m), shown("limit", p.BowMismatch)}
	switch {
	case !m.Finite(): // half the chord to the last bit: the arc stands upright
		return refusedAt(trouble("bow-refused", fields("bone_radius_mm"), word("error", "the bow of the bone is half a circle")))
	case m.Best > p.BowMismatch:
		a.Problems = []Problem{trouble("bow-mismatch", fields("films", "shelf.nails"), facts...)}
	case m.Best > 0 && m.Against(p.BowMismatch) == units.Unclear:
		a.Problems = []Problem{trouble("bow-close", fields("films"), facts...)}
	case m.Best < -p.BowMismatch:
		a.Problems = []Problem{trouble("bow-nail-more", fields("films", "shelf.nails"), length("mismatch", m.Times(-1)))}
	}
	return a
}

// ToggleFor returns how far a nail can tilt in a wide canal:
//
//	angle = atan((canal − nail) / length)
//
// with length the stretch of the nail in that piece, and doubt to first order.
// Where no wall is nearer it is the most that can happen without a screw; a
// nail as thick as the canal does not tilt. Source: geometry. It refuses sizes
// that are none.
func ToggleFor(canal units.Length, nail units.MM, along units.Length) Answered {
	bad := append(outsideLength("canal_mm", canal, 5, 80), outside("nail_diameter_mm", float64(nail), 5, 20, "mm")...)
	if bad = append(bad, outsideLength("along_mm", along, 10, 500)...); bad != nil {
		return refusedAt(inPart(PartDistal, bad)...)
	}
	slack := canal.Minus(units.Exact(nail))
	a := units.Angle{}
	if slack.Best > 0 {
		x, y := float64(along.Best), float64(slack.Best)
		const deg = 180 / math.Pi
		r := x*x + y*y
		own := math.Hypot(x/r*float64(canal.Own), y/r*float64(along.Own))
		shared := x/r*float64(canal.Shared) - y/r*float64(along.Shared)
		a = units.Angle{Best: units.Deg(deg * math.Atan2(y, x)), Own: units.Deg(deg * math.Hypot(own, shared))}
	} else {
		slack.Best = 0
	}
	return Answered{Angle: &a, Why: []Reason{why("toggle", length("slack", slack), length("along", along), angle("angle", a))}}
}

// A Tube is the section of a nail; Inner is 0 for a solid one.
type Tube struct{ Outer, Inner units.MM }

// secondMoment is π/64·(D⁴ − d⁴) in mm⁴.
func (t Tube) secondMoment() float64 {
	return math.Pi / 64 * (math.Pow(float64(t.Outer), 4) - math.Pow(float64(t.Inner), 4))
}

// SecondMoment returns the second moment of area of a round tube,
//
//	I = π/64·(D⁴ − d⁴)
//
// in mm⁴. Source: geometry. It refuses, with false, what is no tube of a nail.
func SecondMoment(t Tube) (float64, bool) {
	if !(t.Outer >= 1 && t.Outer <= 30 && t.Inner >= 0 && t.Inner < t.Outer) {
		return 0, false
	}
	return t.secondMoment(), true
}

// StiffnessRatio returns how much stiffer in bending the first nail is than
// the second, of one material,
//
//	I₁ / I₂,  I = π/64·(D⁴ − d⁴)
//
// for round tubes only: slots and flutes make a nail softer. Source: geometry.
func StiffnessRatio(a, b Tube) Answered {
	i, oki := SecondMoment(a)
	j, okj := SecondMoment(b)
	if !oki || !okj {
		return refusedAt(trouble("tube-impossible", fields("outer_mm", "inner_mm")))
	}
	return Answered{Ratio: &units.Ratio{Best: i / j}, Why: []Reason{why("stiffness", number("first", i), number("second", j), number("ratio", i/j))}}
}

// BendingRatio returns how much more a round screw of the first diameter
// carries in bending than one of the second, of one material:
//
//	(d₁ / d₂)³
//
// with d the core of the screw; the outer diameters stand for it. Source:
// geometry.
func BendingRatio(first, second units.MM) Answered {
	if bad := append(outside("first_mm", float64(first), 1, 20, "mm"), outside("second_mm", float64(second), 1, 20, "mm")...); bad != nil {
		return refusedAt(inPart(PartDistal, bad)...)
	}
	r := math.Pow(float64(first/second), 3)
	return Answered{Ratio: &units.Ratio{Best: r}, Why: []Reason{why("screw-bending", shown("first", first), shown("second", second), number("ratio", r))}}
}

// A CapAnswer is the end cap for one burial of the nail.
type CapAnswer struct {
	Cap      *implant.Cap  // nil: none fits, or not known
	Left     *units.Length // its top below the tip of the trochanter (above: negative)
	Next     *implant.Cap  // the next higher in stock
	NextLeft *units.Length // its top below the tip
	Why      []Reason
	Problems []Problem
}

// burialLo and burialHi bound where the top of a nail can lie from the tip of
// the trochanter. From memory.
const burialLo, burialHi units.MM = -30, 60

// CapFor returns the end cap that brings the top of the nail nearest to the
// tip of the trochanter without standing proud: the highest in stock with
//
//	height ≤ burial,  left = burial − height
//
// and the next higher with what it would stand out. A burial that is nil is
// not known and gives no cap, nor does a nail that stands proud already.
// Source: common practice.
func CapFor(burial *units.Length, shelf implant.Shelf) CapAnswer {
	if burial == nil {
		return CapAnswer{Problems: []Problem{trouble("burial-missing", fields("readings"))}}
	}
	if bad := outsideLength("burial_mm", *burial, burialLo, burialHi); bad != nil {
		return CapAnswer{Problems: inPart(PartNail, bad)}
	}
	caps := capsInStock(shelf)
	if len(caps) == 0 {
		return CapAnswer{Problems: []Problem{trouble("cap-shelf-none", fields("shelf.end_caps"))}}
	}
	var a CapAnswer
	for i := range caps {
		left := burial.Minus(units.Exact(caps[i].Height))
		if left.Best < -guard {
			a.Next, a.NextLeft = &caps[i], &left
			break
		}
		a.Cap, a.Left = &caps[i], &left
	}
	a.say(*burial)
	return a
}

// say fills in why this cap, and what is wrong with it.
func (a *CapAnswer) say(burial units.Length) {
	switch {
	case burial.Best < -guard:
		a.Problems = append(a.Problems, trouble("nail-proud", fields("readings"), length("proud", burial.Times(-1))))
	case a.Cap == nil:
		a.Problems = append(a.Problems, trouble("cap-none", fields("shelf.end_caps"), length("burial", burial), shown("smallest", a.Next.Height)))
	default:
		a.Why = append(a.Why, why("cap-flush", length("burial", burial), shown("cap", a.Cap.Height), length("left", *a.Left)))
		if a.Left.Doubt() > 0 && a.Left.Against(0) != units.More {
			a.Problems = append(a.Problems, trouble("cap-close", fields("readings"), length("left", *a.Left)))
		}
	}
	if a.Next != nil {
		a.Why = append(a.Why, why("cap-next", shown("cap", a.Next.Height), length("proud", units.Exact(a.Next.Height).Minus(burial))))
	}
	if a.Cap != nil {
		a.Why = append(a.Why, why("cap-record"))
	}
}

// capsInStock returns the end caps that can be taken, lowest first.
func capsInStock(shelf implant.Shelf) []implant.Cap {
	var out []implant.Cap
	for _, c := range shelf.Caps {
		if c.Stock > 0 && c.Height >= 0 && c.Height <= 100 {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b implant.Cap) int { return cmp.Compare(a.Height, b.Height) })
	return out
}

// HoleFor returns how far a distal hole lies beyond the lower end of the
// fracture, both below the tip of the trochanter:
//
//	distance = burial + nail length − hole from tip − lower end of fracture
//
// At or under the policy's limit (50 mm), or too close to it to call, is a
// caution, at or under 0 a stop. Source: Bucholz 1987. It refuses sizes that
// are none.
func HoleFor(nail, fromTip units.MM, burial, lower units.Length, p Policy) Answered {
	bad := append(outside("nail_length_mm", float64(nail), 100, 600, "mm"), outside("from_tip_mm", float64(fromTip), 0, float64(nail), "mm")...)
	bad = append(bad, outsideLength("burial_mm", burial, burialLo, burialHi)...)
	if bad = append(bad, outsideLength("fracture_mm", lower, 0, 600)...); bad != nil {
		return refusedAt(inPart(PartDistal, bad)...)
	}
	d := units.Exact(nail - fromTip).Plus(burial).Minus(lower)
	a := Answered{Length: &d, Problems: nearHole(&d, p)}
	if len(a.Problems) == 0 {
		a.Why = []Reason{why("holes-far", shown("limit", p.HoleDistance))}
	}
	return a
}
