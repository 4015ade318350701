package plan

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// afterCase is a femur of 420 mm at 0.2 mm a pixel, at its length, with a
// fracture from 150 to 180 mm, the isthmus at 190 mm, a notch 20 mm beyond the
// target and a kneecap whose upper pole lies 30 mm short of it. On the film
// from the side the bow has a radius of 943 mm.
func afterCase() record.Case {
	at := func(x, y units.MM) (units.Px, units.Px) { return 700 + units.Px(x/0.2), 100 + units.Px(y/0.2) }
	put := func(l anatomy.Landmark, x, y units.MM) record.Point {
		px, py := at(x, y)
		return point(l, px, py)
	}
	ap := ruled("1", 0.2, anatomy.Injured, put(anatomy.TrochanterTip, 0, 0), put(anatomy.DistalTarget, 0, 420), put(anatomy.FractureUpper, 0, 150),
		put(anatomy.FractureLower, 0, 180), put(anatomy.CanalA, -5.3, 190), put(anatomy.CanalB, 5.3, 190), put(anatomy.Notch, 10, 440), put(anatomy.PatellaTop, -8, 390),
		put(anatomy.LesserTroch, 20, 70), put(anatomy.ShaftUpper, 0, 100), put(anatomy.ShaftLower, 0, 300))
	ap.Reduced = record.Yes
	sagitta := units.MM(943 - math.Sqrt(943*943-150*150))
	lat := ruled("2", 0.2, anatomy.Injured, put(anatomy.ShaftUpper, 0, 60), put(anatomy.ShaftLower, 0, 360),
		put(anatomy.CanalA, sagitta-6, 210), put(anatomy.CanalB, sagitta+6, 210))
	lat.View, lat.Reduced = anatomy.Lateral, record.Yes
	in := alone()
	in.Level = record.MidShaft
	return record.Case{Side: anatomy.Left, Films: []record.Film{ap, lat}, Injury: in}
}

func read(kind record.ReadingKind, v units.MM) record.Reading {
	return record.Reading{ID: string(kind), Kind: kind, At: "2026-11-25T08:00:00Z", First: &v, OnBone: record.Yes, Reduced: record.Yes}
}

func afterPlan(t *testing.T, c record.Case, shelf implant.Shelf) Plan {
	t.Helper()
	pl := Make(c, shelf, DefaultPolicy())
	checkPlan(t, pl)
	return pl
}

func TestSeat(t *testing.T) {
	pl := afterPlan(t, afterCase(), implant.Teaching())
	if pl.Nail.Length != 400 || pl.Nail.Part == nil {
		t.Fatalf("nail %v, %v", pl.Nail.Length, codesOf(pl.Problems))
	}
	s := pl.Seat
	testkit.Near(t, "burial of the policy", float64(s.Burial.Best), 5, 1e-9)
	testkit.Near(t, "cap for it", float64(s.Cap.Height), 5, 1e-9)
	testkit.Near(t, "notch (by hand: 440 − 405)", float64(s.ToNotch.Best), 35, 1e-9)
	testkit.Near(t, "kneecap (by hand: 405 − 390)", float64(s.PastPatella.Best), 15, 1e-9)
	testkit.Near(t, "radius of the bone", float64(s.BoneRadius.Best), 943, 1e-6)
	testkit.Near(t, "facts §3n: 943 against 1500 over 400", float64(s.Mismatch.Best), 8.0598, 1e-3)
	if s.NailRadius != 1500 || !has(pl.Problems, "bow-mismatch") || !hasReason(s.Why, "seat-planned") {
		t.Errorf("nail radius %v, %v, %v", s.NailRadius, codesOf(pl.Problems), s.Why)
	}
	c := afterCase()
	c.Readings = []record.Reading{read(record.BurialFound, 8)}
	pl = afterPlan(t, c, implant.Teaching())
	testkit.Near(t, "burial that was read", float64(pl.Seat.Burial.Best), 8, 1e-9)
	testkit.Near(t, "its doubt is that of the gauge", float64(pl.Seat.Burial.Own), 1, 1e-9)
	testkit.Near(t, "cap left (by hand: 8 − 5)", float64(pl.Seat.CapLeft.Best), 3, 1e-9)
	testkit.Near(t, "notch, 3 mm nearer", float64(pl.Seat.ToNotch.Best), 32, 1e-9)
	testkit.Near(t, "highest hole (by hand: 8 + 400 − 50)", float64(pl.Distal.Holes[0].Level.Best), 358, 1e-9)
}

// Where the head screws say how deep the nail must lie, that counts before the
// policy, and a reading before both.
func TestBurialOfTheHeadScrews(t *testing.T) {
	n, _ := implant.Teaching().HasNail(anatomy.Left, 10, 400)
	pl := Plan{Nail: NailChoice{Length: 400, Diameter: 10, Part: &n}, Locking: Locking{Pattern: HeadLock}, Space: Space{Solved: true, Top: lengthOf(11, 2)}}
	at := func(pl Plan, rs ...record.Reading) (float64, string) {
		s, _ := seatOf(record.Case{Readings: rs}, pl, nil, implant.Teaching(), DefaultPolicy())
		return float64(s.Burial.Best), s.Why[0].Code
	}
	for _, tt := range []struct {
		name, code string
		f          func(*Plan)
		rs         []record.Reading
		want       float64
	}{
		{"solved", "seat-screws", func(*Plan) {}, nil, 11},
		{"read", "seat-read", func(*Plan) {}, []record.Reading{read(record.BurialFound, 8)}, 8},
		{"not solved", "seat-planned", func(p *Plan) { p.Space.Solved = false }, nil, 5},
		{"standard locking", "seat-planned", func(p *Plan) { p.Locking.Pattern = Standard }, nil, 5},
		{"no place for a nail", "seat-planned", func(p *Plan) { p.Space.Top = lengthOf(80, 2) }, nil, 5},
	} {
		q := pl
		tt.f(&q)
		if got, code := at(q, tt.rs...); math.Abs(got-tt.want) > 1e-9 || code != tt.code {
			t.Errorf("%s: %v by %s, want %v by %s", tt.name, got, code, tt.want, tt.code)
		}
	}
}

func TestSeatProblems(t *testing.T) {
	move := func(l anatomy.Landmark, mm units.MM) func(*record.Case) {
		return func(c *record.Case) {
			for i, p := range c.Films[0].Points {
				if p.Name == l {
					c.Films[0].Points[i].At.Y = 100 + units.Px(mm/0.2)
				}
			}
		}
	}
	stature := func(v units.MM) func(*record.Case) { return func(c *record.Case) { c.Injury.StatureMM = &v } }
	for _, tt := range []struct {
		name, want, not string
		f               func(*record.Case)
	}{
		{"nothing", "bow-mismatch", "notch-past", func(*record.Case) {}},
		{"notch above the tip", "notch-past", "notch-perhaps", move(anatomy.Notch, 385)},
		{"notch at the tip", "notch-perhaps", "notch-past", move(anatomy.Notch, 405.5)},
		{"kneecap below the tip", "patella-above", "patella-close", move(anatomy.PatellaTop, 430)},
		{"kneecap at the tip", "patella-close", "patella-above", move(anatomy.PatellaTop, 405)},
		{"seated too deep", "tip-past-target", "notch-past", func(c *record.Case) { c.Readings = []record.Reading{read(record.BurialFound, 25)} }},
		{"entry in the back", "entry-back", "stature-short", func(c *record.Case) { c.Injury.Entry = record.EntryBack }},
		{"entry in the middle", "bow-mismatch", "entry-back", func(c *record.Case) { c.Injury.Entry = record.EntryMiddle }},
		{"159 cm", "stature-short", "entry-back", stature(1590)},
		{"160 cm", "bow-mismatch", "stature-short", stature(1600)},
		{"burial impossible", "number-impossible", "cap-close", func(c *record.Case) { c.Readings = []record.Reading{read(record.BurialFound, 90)} }},
		{"burial not entered", "reading-missing", "cap-close", func(c *record.Case) { c.Readings = []record.Reading{{Kind: record.BurialFound}} }},
		{"bow not reduced", "canal-one-view", "bow-mismatch", func(c *record.Case) { c.Films[1].Reduced, c.Films[1].Points = record.No, c.Films[1].Points[:2] }},
		{"isthmus off the line", "bow-refused", "bow-mismatch", func(c *record.Case) {
			for i := range c.Films[1].Points[2:] {
				c.Films[1].Points[2+i].At.Y = 500
			}
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := afterCase()
			tt.f(&c)
			pl := afterPlan(t, c, implant.Teaching())
			if !has(pl.Problems, tt.want) || has(pl.Problems, tt.not) {
				t.Errorf("%v, want %s and not %s", codesOf(pl.Problems), tt.want, tt.not)
			}
		})
	}
}

// A bow of the other femur stands in where the broken one is not at its
// length; nothing is taken for granted where neither was seen.
func TestBowOfTheOtherFemur(t *testing.T) {
	c := afterCase()
	c.Films[1].Bone, c.Films[1].Reduced = anatomy.Sound, record.NotAsked
	if pl := afterPlan(t, c, implant.Teaching()); pl.Seat.Mismatch == nil {
		t.Errorf("the other femur was not used: %v", codesOf(pl.Problems))
	}
	c.Films[1].Bone, c.Films[1].Reduced = anatomy.Injured, record.Unsure
	if pl := afterPlan(t, c, implant.Teaching()); pl.Seat.Mismatch != nil || pl.Seat.BoneRadius != nil {
		t.Errorf("a bow of %v from a bone that is not at its length", pl.Seat.BoneRadius)
	}
}

func used(d Distal) (out []int) {
	for _, h := range d.Holes {
		if h.Use {
			out = append(out, h.Hole)
		}
	}
	return out
}

func TestDistalHoles(t *testing.T) {
	nail := func(holes ...implant.Hole) implant.Nail {
		return implant.Nail{ID: "n", Diameter: 10, Length: 400, LockingDia: 5, Distal: holes, Stock: 1}
	}
	slot, round, front := implant.Hole{FromTip: 50, Plane: implant.Transverse, Slot: true}, implant.Hole{FromTip: 35, Plane: implant.Transverse}, implant.Hole{FromTip: 20, Plane: implant.Sagittal}
	up := implant.Hole{FromTip: 60, Plane: implant.Transverse}
	for _, tt := range []struct {
		name    string
		nail    implant.Nail
		lower   units.MM // end of the fracture; 0: not known
		screws  int
		below   bool
		use     []int
		later   record.Answer
		out     int
		dynamic record.Answer
		source  string
	}{
		{"mid-shaft", nail(slot, round, front), 180, 2, false, []int{1, 2}, record.Yes, 2, record.No, "side to side, and one screw out lets it slide"},
		{"fracture not known", nail(slot, round, front), 0, 2, false, []int{1, 2}, record.Yes, 2, record.No, "the same"},
		{"third screw", nail(slot, round, front), 300, 3, true, []int{1, 2, 3}, record.No, 0, record.No, "all of them: two round holes"},
		{"two below the isthmus", nail(slot, round, front), 290, 2, true, []int{1, 3}, record.Yes, 3, record.No, "two planes (AO page), and a slot with one round hole"},
		{"fracture within 50 mm of the slot", nail(slot, round, front), 310, 2, false, []int{2, 3}, record.No, 0, record.No, "by hand: 355 − 310 = 45; 370 − 310 = 60 (Bucholz 1987)"},
		{"boundary", nail(slot, round, front), 305, 2, false, []int{2, 3}, record.No, 0, record.No, "by hand: 355 − 305 = 50 is near (facts §5)"},
		{"no slot", nail(up, round, front), 180, 2, false, []int{1, 2}, record.No, 0, record.No, "side to side"},
		{"one screw", nail(slot, round, front), 180, 1, false, []int{2}, record.No, 0, record.No, "a round hole locks, side to side"},
		{"slots only", nail(slot), 180, 1, false, []int{1}, record.No, 0, record.Yes, "nothing else to lock in"},
		{"more screws than holes", nail(slot, round), 180, 3, false, []int{1, 2}, record.Yes, 2, record.No, "what there is"},
		{"no holes", nail(), 180, 2, false, nil, record.NotAsked, 0, record.NotAsked, "nothing to choose"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			n := tt.nail
			pl := Plan{Nail: NailChoice{Length: 400, Diameter: 10, Part: &n}, Locking: Locking{Distal: tt.screws}}
			if tt.lower > 0 {
				pl.Bone.FractureL = lengthOf(tt.lower, 0)
			}
			if tt.below {
				pl.Locking.Why = []Reason{why("distal-third", number("count", 3))}
			}
			d, problems := distalOf(record.Case{}, pl, nil, locking(30, 60, 5), DefaultPolicy())
			if got := used(d); !slices.Equal(got, tt.use) {
				t.Errorf("holes %v, want %v (%s)", got, tt.use, tt.source)
			}
			if d.Later != tt.later || d.TakeOut != tt.out || d.Dynamic != tt.dynamic {
				t.Errorf("later %q by %d, dynamic %q, want %q by %d, %q (%s)", d.Later, d.TakeOut, d.Dynamic, tt.later, tt.out, tt.dynamic, tt.source)
			}
			if has(problems, "holes-slots-only") != (tt.dynamic == record.Yes) {
				t.Errorf("%v", codesOf(problems))
			}
		})
	}
}

// Facts §5: a hole 35 mm from the tip, a fracture that ends 305 mm below the
// trochanter tip, burial 5: 25, 45, 65 mm for 360, 380, 400 mm.
func TestHolePlaces(t *testing.T) {
	for length, want := range map[units.MM]float64{360: 25, 380: 45, 400: 65} {
		n := implant.Nail{Diameter: 10, Length: length, LockingDia: 5, Distal: []implant.Hole{{FromTip: 35, Plane: implant.Transverse}}}
		pl := Plan{Nail: NailChoice{Length: length, Part: &n}, Bone: Bone{FractureL: lengthOf(305, 1)}, Locking: Locking{Distal: 1}}
		d, problems := distalOf(record.Case{}, pl, nil, locking(30, 60, 5), DefaultPolicy())
		testkit.Near(t, "Bucholz 1987, example of the facts", float64(d.Holes[0].ToFracture.Best), want, 1e-9)
		testkit.Near(t, "doubt of the fracture", float64(d.Holes[0].ToFracture.Own), 1, 1e-9)
		if has(problems, "fracture-near-hole") != (want <= 50) {
			t.Errorf("%v: %v", length, codesOf(problems))
		}
	}
}

// Dynamic locking is named only for pieces that surely carry the length.
func TestDynamicIsOnlyOffered(t *testing.T) {
	for stable, want := range map[record.Answer]string{record.Yes: "dynamic-offered", record.No: "static-unstable", record.Unsure: "dynamic-unknown", record.NotAsked: "dynamic-unknown"} {
		n, _ := implant.Teaching().HasNail(anatomy.Left, 10, 400)
		pl := Plan{Nail: NailChoice{Length: 400, Diameter: 10, Part: &n}, Locking: Locking{Distal: 2}, Class: Class{Stable: stable}}
		d, _ := distalOf(record.Case{}, pl, nil, implant.Teaching(), DefaultPolicy())
		if d.Dynamic != record.No || !hasReason(d.Why, want) || !hasReason(d.Why, "static-default") || !hasReason(d.Why, "dynamise-callus") {
			t.Errorf("stable %q: dynamic %q, %v, want %s", stable, d.Dynamic, d.Why, want)
		}
	}
}

func TestDistalScrewsOfACase(t *testing.T) {
	hole := func(h int, depth units.MM, at string) record.Reading {
		r := read(record.DistalDepth, depth)
		r.Hole, r.At = &h, at
		return r
	}
	c := afterCase()
	c.Readings = []record.Reading{hole(2, 47, "2026-11-25T09:00:00Z"), hole(2, 42, "2026-11-25T08:00:00Z"), hole(1, 39, "2026-11-25T08:30:00Z")}
	pl := afterPlan(t, c, implant.Teaching())
	h := pl.Distal.Holes
	if h[0].Ask != 42 || h[1].Ask != 50 || h[2].Ask != 0 || h[2].Depth != nil || h[0].Stock != 4 { // by hand: 41 → 42, 49 → 50 in steps of 2
		t.Errorf("%v, %v, %v", h[0].Ask, h[1].Ask, h[2].Ask)
	}
	testkit.Near(t, "past (by hand: 50 − 47)", float64(h[1].Past.Best), 3, 1e-9)
	testkit.Near(t, "the latest reading counts", float64(h[1].Depth.Best), 47, 1e-9)
	bad := c
	off := hole(1, 39, "2026-11-25T08:30:00Z")
	off.OnBone = record.NotAsked
	bad.Readings = []record.Reading{hole(4, 40, ""), off}
	pl = afterPlan(t, bad, implant.Teaching())
	for _, code := range []string{"distal-hole-unknown", "distal-off-bone"} {
		if !has(pl.Problems, code) {
			t.Errorf("%v, want %s", codesOf(pl.Problems), code)
		}
	}
	for _, q := range pl.Problems {
		if q.Code == "distal-off-bone" && q.Fields[0] != "readings[1].on_bone" {
			t.Errorf("fields %v", q.Fields)
		}
	}
	shelf := implant.Teaching()
	shelf.Locking = nil
	if pl := afterPlan(t, c, shelf); !has(pl.Problems, "locking-none") || !has(pl.Problems, "distal-none") {
		t.Errorf("no locking screws: %v", codesOf(pl.Problems))
	}
	shelf.Locking = append(locking(30, 60, 5).Locking, implant.Screw{ID: "thin", Diameter: 4, Length: 40, Stock: 1})
	if pl := afterPlan(t, c, shelf); !hasReason(pl.Distal.Why, "screw-bending") {
		t.Errorf("two diameters: %v", pl.Distal.Why)
	}
}

// The lower end of a second break counts, and one that cannot be measured
// says nothing of the holes.
func TestSecondBreakCounts(t *testing.T) {
	c := afterCase()
	c.Films[0].Points = append(c.Films[0].Points, point(anatomy.SecondUpper, 700, 100+250*5), point(anatomy.SecondLower, 700, 100+320*5))
	pl := afterPlan(t, c, implant.Teaching())
	testkit.Near(t, "by hand: 355 − 320", float64(pl.Distal.Holes[0].ToFracture.Best), 35, 1e-9)
	if !has(pl.Problems, "fracture-near-hole") {
		t.Errorf("%v", codesOf(pl.Problems))
	}
	c.Films[0].Points = c.Films[0].Points[:len(c.Films[0].Points)-1]
	pl = afterPlan(t, c, implant.Teaching())
	if !has(pl.Problems, "second-break") || pl.Distal.Holes[0].ToFracture != nil {
		t.Errorf("%v, %v", codesOf(pl.Problems), pl.Distal.Holes[0].ToFracture)
	}
}

// The toggle is told below the isthmus only, for each millimetre of slack.
func TestToggleOfACase(t *testing.T) {
	n := implant.Nail{Diameter: 10, Length: 400, LockingDia: 5, Distal: []implant.Hole{{FromTip: 35, Plane: implant.Transverse}}}
	pl := Plan{Nail: NailChoice{Length: 400, Diameter: 10, Part: &n}, Bone: Bone{FractureL: lengthOf(285, 0)},
		Locking: Locking{Distal: 1, Why: []Reason{why("distal-third", number("count", 3))}}}
	d, _ := distalOf(record.Case{}, pl, nil, locking(30, 60, 5), DefaultPolicy())
	testkit.Near(t, "by hand: atan(1/(405 − 285))", float64(d.Toggle.Best), 0.4775, 1e-3)
	pl.Locking.Why = nil
	if d, _ := distalOf(record.Case{}, pl, nil, locking(30, 60, 5), DefaultPolicy()); d.Toggle != nil {
		t.Errorf("a toggle of %v where the canal holds the nail", d.Toggle)
	}
}

// Law: a case and its mirror image, and one with no film at all, lock and
// stand alike; and nothing that follows is said where nothing is known.
func TestAfterLaws(t *testing.T) {
	c := afterCase()
	a, b := afterPlan(t, c, implant.Teaching()), afterPlan(t, mirrored(c), implant.Teaching())
	if !slices.Equal(used(a.Distal), used(b.Distal)) || !reflect.DeepEqual(codesOf(a.Problems), codesOf(b.Problems)) ||
		math.Abs(float64(a.Seat.ToNotch.Best-b.Seat.ToNotch.Best)) > 1e-6 || math.Abs(float64(a.Seat.Mismatch.Best-b.Seat.Mismatch.Best)) > 1e-6 {
		t.Errorf("mirrored: %v %+v, %v %+v", used(a.Distal), a.Seat, used(b.Distal), b.Seat)
	}
	pl := afterPlan(t, record.Case{}, implant.Teaching())
	if !reflect.DeepEqual(pl.Seat, Seat{}) || !reflect.DeepEqual(pl.Distal, Distal{}) || !reflect.DeepEqual(pl.Align, Align{}) || !reflect.DeepEqual(pl.Union, Union{}) {
		t.Errorf("something follows from nothing: %+v %+v %+v %+v", pl.Seat, pl.Distal, pl.Align, pl.Union)
	}
}

// Law: more doubt on every point never turns a caution about the notch into
// silence.
func TestNotchIsNeverSilencedByDoubt(t *testing.T) {
	for _, notch := range []units.MM{395, 404, 406, 412} {
		said := false
		for _, slip := range []units.Px{1, 3, 9, 20} {
			c := afterCase()
			for i := range c.Films[0].Points {
				p := &c.Films[0].Points[i]
				p.Slip = slip
				if p.Name == anatomy.Notch {
					p.At = geom.Pt[units.Px]{X: p.At.X, Y: 100 + units.Px(notch/0.2)}
				}
			}
			pl := afterPlan(t, c, implant.Teaching())
			now := has(pl.Problems, "notch-past") || has(pl.Problems, "notch-perhaps")
			if said && !now && pl.Seat.ToNotch != nil {
				t.Errorf("notch at %v: a slip of %v px silenced it", notch, slip)
			}
			said = said || now
		}
	}
}
