package plan

import (
	"math"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/record"
	"isthmus/core/units"
)

// An Arc is the two places of the image intensifier, turned about the shaft
// of one femur, at which its condyles lie over each other and at which its
// neck lies in line with the shaft.
type Arc struct{ Condyles, Neck *units.Deg }

// A TurnAnswer is the version of both femora and the difference.
type TurnAnswer struct {
	Injured, Sound *units.Angle // forwards positive
	Answered                    // Angle: sound less injured, which is the lower piece turned outwards
}

// turnLo and turnHi bound what version can be read: 1070 femora had −23.6 to
// 48.7° (PMC4775021), and a leg can be put on turned.
const turnLo, turnHi = -60, 90

// TurnFrom returns version from the angle by which the image intensifier was
// turned,
//
//	version = angle with the condyles in line − angle with the neck in line
//	turn = version of the sound femur − version of the injured one
//
// outwards positive: a lower piece that was put on turned outwards takes
// version away. Each leg's angles count in the direction in which a neck that
// points forwards comes out positive, so a leg that comes out negative is
// named. Source: geometry, independent of the neck–shaft angle; limits
// Branca Vergano 2020. It refuses a half reading, and what is no version.
func TurnFrom(injured, sound Arc, p Policy) TurnAnswer {
	var a TurnAnswer
	var bad []Problem
	a.Injured, bad = versionOf(injured, record.TurnInjured, p)
	a.Problems = append(a.Problems, bad...)
	a.Sound, bad = versionOf(sound, record.TurnSound, p)
	a.Problems = append(a.Problems, bad...)
	for _, v := range []struct {
		kind record.ReadingKind
		of   *units.Angle
		arc  Arc
	}{{record.TurnInjured, a.Injured, injured}, {record.TurnSound, a.Sound, sound}} {
		if v.of != nil {
			a.Why = append(a.Why, why("turn-read", word("kind", string(v.kind)), number("condyles", float64(*v.arc.Condyles)), number("neck", float64(*v.arc.Neck)), angle("version", *v.of)))
			if v.of.Best < 0 {
				a.Problems = append(a.Problems, trouble("turn-backwards", fields("readings"), word("kind", string(v.kind)), angle("version", *v.of)))
			}
		}
	}
	switch {
	case a.Injured != nil && a.Sound != nil:
		t := TurnBetween(*a.Injured, *a.Sound, p)
		a.Angle, a.Direction = t.Angle, t.Direction
		a.Why, a.Problems = append(a.Why, t.Why...), append(a.Problems, t.Problems...)
	case a.Injured != nil || a.Sound != nil:
		a.Problems = append(a.Problems, trouble("one-leg", fields("readings"), word("kind", "both-turn")))
	}
	return a
}

// versionOf returns the version of one femur from its two readings; nil and no
// problem when nothing was read.
func versionOf(a Arc, kind record.ReadingKind, p Policy) (*units.Angle, []Problem) {
	switch {
	case a.Condyles == nil && a.Neck == nil:
		return nil, nil
	case a.Condyles == nil || a.Neck == nil:
		return nil, []Problem{trouble("turn-half", fields("angle_deg", "angle_two_deg"), word("kind", string(kind)))}
	}
	v := *a.Condyles - *a.Neck
	if bad := outside("angle_deg", float64(v), turnLo, turnHi, "degrees"); bad != nil {
		return nil, bad
	}
	return &units.Angle{Best: v, Own: units.Deg(p.TurnReading * math.Sqrt2)}, nil
}

// TurnBetween returns how far the lower piece of the injured femur is turned
// outwards, sound version less injured version, and judges it by the policy:
// 10° normal, 15° malrotation, over 30° to be corrected. Source: Branca
// Vergano 2020; Süer 2025. Both sides must be measured by one method: methods
// differ by up to 18°.
func TurnBetween(injured, sound units.Angle, p Policy) Answered {
	t := units.Angle{Best: sound.Best - injured.Best, Own: units.Deg(math.Hypot(float64(sound.Own), float64(injured.Own)))}
	if bad := outsideAngle("angle_deg", t, -180, 180); bad != nil {
		return refusedAt(bad...)
	}
	a := Answered{Angle: &t, Direction: directed(float64(t.Best), TowardsOut, TowardsIn)}
	a.Why = []Reason{why("turn-sides", angle("turn", absolute(t)), word("direction", a.Direction)), why("turn-same-way")}
	size, facts := math.Abs(float64(t.Best)), []Fact{angle("turn", absolute(t)), word("direction", a.Direction)}
	switch limit := func(v float64) []Fact { return append(facts, number("limit", v)) }; {
	case size > p.TurnCorrect:
		a.Problems = []Problem{trouble("turn-correct", fields("readings"), limit(p.TurnCorrect)...)}
	case size >= p.TurnLimit:
		a.Problems = []Problem{trouble("turn-wrong", fields("readings"), limit(p.TurnLimit)...)}
	case size >= p.TurnNormal:
		a.Problems = []Problem{trouble("turn-more", fields("readings"), limit(p.TurnNormal)...)}
	default:
		a.Why = append(a.Why, why("turn-normal", number("limit", p.TurnNormal)))
	}
	a.close("degrees", size, float64(t.Own), p.TurnNormal, p.TurnLimit, p.TurnCorrect)
	return a
}

// close notes the first limit that the size is too near to call.
func (a *Answered) close(unit string, size, u float64, limits ...float64) {
	for _, l := range limits {
		if u > 0 && math.Abs(size-l) < units.Sure*u {
			a.Problems = append(a.Problems, trouble("leg-close", fields("readings"), number("limit", l), word("unit", unit)))
			return
		}
	}
}

func absolute(a units.Angle) units.Angle {
	a.Best = units.Deg(math.Abs(float64(a.Best)))
	return a
}

// A VersionAnswer is the neck of one femur in truth, from two views.
type VersionAnswer struct {
	Version, NeckShaft *units.Angle // version forwards positive
	Why                []Reason
	Problems           []Problem
}

// VersionFrom returns version and true neck–shaft angle of one femur from its
// angle on a film from the front and that of the neck on a film from the side,
// which must be true at the knee (measure.Version). Injured or sound is the
// bone of the words. Source: geometry. It refuses angles that no neck shows.
func VersionFrom(bone anatomy.Bone, front, side units.Angle) VersionAnswer {
	v, a, err := measure.Version(front, side)
	if err != nil {
		return VersionAnswer{Problems: []Problem{trouble("version-refused", fields("films"), word("error", sentence(err.Error())))}}
	}
	return VersionAnswer{&v, &a, []Reason{why("version-films", word("bone", string(bone)), angle("front", front), angle("side", side),
		angle("version", v), angle("true", a))}, nil}
}

// lesserLo and lesserHi bound the way from the lateral cortex to the tip of
// the lesser trochanter. From memory.
const lesserLo, lesserHi units.MM = 20, 100

// LesserFrom returns how far the lower piece of the injured femur is turned
// outwards, from the profile of the lesser trochanter with the kneecap
// forwards, against that of the sound femur:
//
//	turn = −θ(injured / sound)
//
// with θ how far the upper piece is turned outwards, from a published table
// (measure.RotationFromLesser): with the kneecap forwards, an upper piece that
// is turned outwards is a lower one turned inwards. An aid and no proof: in
// patients no better than looking. Source: Turgut 2020. It refuses sizes that
// are none, and a ratio outside the table.
func LesserFrom(injured, sound *units.MM) Answered {
	if injured == nil || sound == nil {
		return refusedAt(trouble("one-leg", fields("readings"), word("kind", "both-lesser")))
	}
	bad := append(outside("lesser_injured_mm", float64(*injured), float64(lesserLo), float64(lesserHi), "mm"),
		outside("lesser_sound_mm", float64(*sound), float64(lesserLo), float64(lesserHi), "mm")...)
	if bad != nil {
		return refusedAt(bad...)
	}
	r, _ := units.Length{Best: *injured, Own: canalReading}.Over(units.Length{Best: *sound, Own: canalReading})
	theta, err := measure.RotationFromLesser(r)
	if err != nil {
		return refusedAt(trouble("lesser-outside", fields("readings"), number("percent", 100*r.Best)))
	}
	t := units.Angle{Best: 0 - theta.Best, Own: theta.Own}
	a := Answered{Angle: &t, Ratio: &r, Direction: directed(float64(t.Best), TowardsOut, TowardsIn)}
	a.Why = []Reason{why("lesser-ratio", number("percent", 100*r.Best), angle("turn", absolute(t)), word("direction", a.Direction)), why("lesser-weak")}
	return a
}

// LengthDiff returns how much longer the injured femur is than the sound one,
// both measured in one way, with the doubt of two readings, and judges it by
// the policy: 15 to 20 mm is talked about, over 20 mm corrected. Source:
// Herscovici 2014 and series of Winquist III and IV. Two femora differ by
// 3.6 mm on average. It refuses lengths that no femur has.
func LengthDiff(injured, sound *units.MM, p Policy) Answered {
	if injured == nil || sound == nil {
		return refusedAt(trouble("one-leg", fields("readings"), word("kind", "both-length")))
	}
	bad := append(outside("length_injured_mm", float64(*injured), 150, 700, "mm"), outside("length_sound_mm", float64(*sound), 150, 700, "mm")...)
	if bad != nil {
		return refusedAt(bad...)
	}
	d := units.Length{Best: *injured, Own: p.RodReading}.Minus(units.Length{Best: *sound, Own: p.RodReading})
	a := Answered{Length: &d, Direction: directed(float64(d.Best), TowardsLong, TowardsShort)}
	size := d
	size.Best = units.MM(math.Abs(float64(d.Best)))
	a.Why = []Reason{why("length-sides", shown("injured", *injured), shown("sound", *sound), length("difference", size), word("direction", a.Direction),
		shown("usual", p.SideDifference))}
	facts := []Fact{length("difference", size), word("direction", a.Direction)}
	switch {
	case size.Best > p.LengthCorrect:
		a.Problems = []Problem{trouble("length-correct", fields("readings"), append(facts, shown("limit", p.LengthCorrect))...)}
	case size.Best >= p.LengthDiscuss:
		a.Problems = []Problem{trouble("length-discuss", fields("readings"), append(facts, shown("limit", p.LengthDiscuss))...)}
	}
	a.close("mm", float64(size.Best), float64(d.Own), float64(p.LengthDiscuss), float64(p.LengthCorrect))
	return a
}

// NeckShaftDiff returns how the neck–shaft angle of the injured femur differs
// from that of the sound one, varus negative, and warns of varus by the
// policy (5°). The two sides of one person differ by 2.9° on average
// (Laumonerie 2018). Source: common practice. It refuses angles that no
// femur has.
func NeckShaftDiff(injured, sound units.Angle, p Policy) Answered {
	bad := append(outsideAngle("angle_deg", injured, 90, 170), outsideAngle("angle_deg", sound, 90, 170)...)
	if bad != nil {
		return refusedAt(bad...)
	}
	d := units.Angle{Best: injured.Best - sound.Best, Own: units.Deg(math.Hypot(float64(injured.Own), float64(sound.Own)))}
	a := Answered{Angle: &d, Direction: directed(float64(d.Best), TowardsValgus, TowardsVarus)}
	a.Why = []Reason{why("neck-sides", angle("difference", absolute(d)), word("direction", a.Direction))}
	if float64(d.Best) < 0 {
		if size := -float64(d.Best); size > p.Varus {
			a.Problems = []Problem{trouble("neck-varus", fields("films"), angle("difference", absolute(d)), number("limit", p.Varus))}
		}
		a.close("degrees", -float64(d.Best), float64(d.Own), p.Varus)
	}
	return a
}

// GapFrom judges the widest gap of a fracture on either view: from the
// policy's limit on (4.14 mm) simple fractures more often did not unite.
// Source: J Orthop Sci 2023, a tiny series of 30 with 4 non-unions. A fracture
// that is not simple (simple is no) is not judged. It refuses what is no gap.
func GapFrom(gap units.MM, simple record.Answer, p Policy) Answered {
	if bad := outside("gap_mm", float64(gap), 0, 200, "mm"); bad != nil {
		return refusedAt(bad...)
	}
	a := Answered{Length: &units.Length{Best: gap, Own: canalReading}}
	switch {
	case simple == record.No:
		a.Why = []Reason{why("gap-not-simple", length("gap", *a.Length))}
	case gap >= p.GapLimit-guard:
		a.Problems = []Problem{trouble("gap-wide", fields("readings"), length("gap", *a.Length), shown("limit", p.GapLimit))}
	default:
		a.Why = []Reason{why("gap-small", length("gap", *a.Length), shown("limit", p.GapLimit))}
		a.close("mm", float64(gap), float64(canalReading), float64(p.GapLimit))
	}
	return a
}
