package plan

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// hip is an AP film at 0.1 mm a pixel of a right hip drawn by hand: the shaft
// is upright at column 1000, the lower screw enters 20 mm lateral of it and
// runs at 130° to it straight through the centre of a head of radius 24 mm
// that lies 80 mm up the screw. The neck has 30 mm of inner height round that
// line: 10 mm below it and 20 mm above.
func hip() record.Film {
	const px = 10 // pixels of one millimetre
	sin, cos := math.Sincos(50 * math.Pi / 180)
	entry := geom.Pt[units.Px]{X: 1000 - 20*px, Y: 2000}
	along := func(d, above float64) geom.Pt[units.Px] { // d up the screw, above it
		return geom.Pt[units.Px]{X: entry.X + units.Px(px*(d*sin-above*cos)), Y: entry.Y - units.Px(px*(d*cos+above*sin))}
	}
	rim := func(deg float64) geom.Pt[units.Px] {
		s, c := math.Sincos(deg * math.Pi / 180)
		return along(80+24*c, 24*s)
	}
	f := record.Film{View: anatomy.AP, Bone: anatomy.Injured, Width: 3000, Height: 4000,
		Evidence: []record.Evidence{{ID: "r", Kind: record.Ruler, Slip: 0.5, True: mm(100), AtBone: record.Yes,
			At: []geom.Pt[units.Px]{{X: 100, Y: 100}, {X: 100, Y: 1100}}}}}
	for name, at := range map[anatomy.Landmark]geom.Pt[units.Px]{
		anatomy.LateralCortex: entry,
		anatomy.ShaftUpper:    {X: 1000, Y: 2200},
		anatomy.ShaftLower:    {X: 1000, Y: 3500},
		anatomy.HeadRim1:      rim(100), anatomy.HeadRim2: rim(-10), anatomy.HeadRim3: rim(-120),
		anatomy.NeckLower: along(50, -10), anatomy.NeckUpper: along(50, 20),
	} {
		f.Points = append(f.Points, record.Point{Name: name, At: at, Slip: 1})
	}
	slices.SortFunc(f.Points, func(a, b record.Point) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return f
}

func headCase() record.Case {
	return record.Case{Side: anatomy.Right, Films: []record.Film{hip()},
		Injury: record.Injury{Level: record.Subtrochanter, Neck: record.No, NeckByCT: record.Yes, NeckByFilm: record.Yes}}
}

// By hand: the lower screw has 80 + 24 = 104 mm to the surface, less 5 = 99 →
// 95. The upper runs 12 mm above: it enters 12·cos 50°/sin 50° = 10.069 mm
// further on and leaves the head √(24² − 12²) = 20.785 mm beyond its middle:
// 80 − 10.069 + 20.785 = 90.716, less 5 = 85.716 → 85.
func TestHeadFromFilm(t *testing.T) {
	pl := For(headCase(), implant.Teaching())
	checkPlan(t, pl)
	if pl.Locking.Pattern != HeadLock {
		t.Fatalf("pattern %q", pl.Locking.Pattern)
	}
	lower, upper := pl.Head.Lower, pl.Head.Upper
	if lower.Ask != 95 || upper.Ask != 85 || lower.Measured || upper.Measured {
		t.Errorf("lower %v, upper %v, want 95 and 85; %v", lower.Ask, upper.Ask, codesOf(pl.Problems))
	}
	testkit.Near(t, "lower room", float64(lower.Room.Best), 99, 1e-6)
	testkit.Near(t, "upper room", float64(upper.Room.Best), 85.716, 1e-3)
	testkit.Near(t, "neck room", float64(pl.Bone.NeckRoom.Best), 30, 1e-6)
	testkit.Near(t, "head", float64(pl.Bone.HeadDia.Best), 48, 1e-6)
	// need 24.5 (by hand, facts 4k) in 30
	if pl.Head.Need.Best != 24.5 || has(pl.Problems, "neck-narrow") || has(pl.Problems, "neck-close") {
		t.Errorf("need %v, %v", pl.Head.Need, codesOf(pl.Problems))
	}
	// lower: 10 − 3.25 = 6.75 of bone, upper: 20 − 12 − 3.25 = 4.75; both over 3
	if has(pl.Problems, "screw-near-edge") {
		t.Errorf("no screw is near the edge: %v", codesOf(pl.Problems))
	}
}

func TestHeadProblems(t *testing.T) {
	wire := func(kind record.ReadingKind, read units.MM) record.Reading {
		return record.Reading{Kind: kind, At: "2026-01-01T10:00:00Z", First: &read, OnBone: record.Yes, GapLeft: mm(0), Subtracts: mm(0)}
	}
	for _, tt := range []struct {
		name, want string
		f          func(*record.Case)
	}{
		{"a wire that the film does not believe", "wire-differs", func(c *record.Case) {
			c.Readings = []record.Reading{wire(record.WireLower, 114)}
		}},
		{"upper longer than lower", "upper-longer", func(c *record.Case) {
			c.Films = nil
			c.Readings = []record.Reading{wire(record.WireLower, 95), wire(record.WireUpper, 105)}
		}},
		{"neck of 22 mm", "neck-narrow", func(c *record.Case) { moveNeck(c, 12) }},
		{"neck of 24.5 mm", "neck-close", func(c *record.Case) { moveNeck(c, 14.5) }},
		{"upper screw at the edge", "screw-near-edge", func(c *record.Case) { moveNeck(c, 17) }},
		{"broken neck on the film", "screw-broken-neck", func(c *record.Case) { c.Injury.Neck = record.Yes }},
		{"no neck marked", "neck-room-missing", func(c *record.Case) { c.Films = nil }},
		{"nothing to measure from", "screw-open", func(c *record.Case) { c.Films = nil }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := headCase()
			tt.f(&c)
			pl := For(c, implant.Teaching())
			checkPlan(t, pl)
			if !has(pl.Problems, tt.want) {
				t.Errorf("problems %v, want %s", codesOf(pl.Problems), tt.want)
			}
		})
	}
	agree := headCase()
	agree.Readings = []record.Reading{wire(record.WireLower, 104)}
	if pl := For(agree, implant.Teaching()); has(pl.Problems, "wire-differs") || !pl.Head.Lower.Measured || pl.Head.Lower.Ask != 95 {
		t.Errorf("104 by wire and by film agree: %v, %v", pl.Head.Lower.Ask, codesOf(pl.Problems))
	}
}

// moveNeck puts the upper edge of the neck so far above the lower screw.
func moveNeck(c *record.Case, above float64) {
	sin, cos := math.Sincos(50 * math.Pi / 180)
	for i, p := range c.Films[0].Points {
		if p.Name == anatomy.NeckUpper {
			c.Films[0].Points[i].At = geom.Pt[units.Px]{X: 800 + units.Px(10*(50*sin-above*cos)), Y: 2000 - units.Px(10*(50*cos+above*sin))}
		}
	}
}

// Fracture to the nearest hole. Source: Bucholz 1987, 50 mm; sums by hand: a
// hole 35 mm from the tip, fracture end 300 mm from the top of the nail.
func TestFractureNearHole(t *testing.T) {
	p := DefaultPolicy()
	p.Burial = 0
	for _, tt := range []struct {
		length, fracture units.MM
		want             float64
		code             string
	}{
		{360, 300, 25, "fracture-near-hole"},
		{380, 300, 45, "fracture-near-hole"},
		{400, 300, 65, ""},
		{385, 300, 50, "fracture-near-hole"},
		{360, 330, -5, "fracture-over-hole"},
	} {
		nail := implant.Nail{Length: tt.length, Distal: []implant.Hole{{FromTip: 35}, {FromTip: 20}}}
		b, n := Bone{FractureL: &units.Length{Best: tt.fracture}}, NailChoice{Part: &nail}
		testkit.Near(t, "gap", float64(HoleGap(b, n, p).Best), tt.want, 1e-9)
		if got := codesOf(checkDistal(b, Locking{Distal: 2}, n, p)); tt.code == "" && len(got) > 0 || tt.code != "" && !slices.Equal(got, []string{tt.code}) {
			t.Errorf("nail %v: %v, want %q", tt.length, got, tt.code)
		}
	}
	few := NailChoice{Part: &implant.Nail{Length: 400, Distal: []implant.Hole{{FromTip: 35}}}}
	if got := checkDistal(Bone{}, Locking{Distal: 2}, few, p); !has(got, "distal-holes") {
		t.Errorf("one hole for two screws: %v", codesOf(got))
	}
}
