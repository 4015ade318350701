package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// jolted returns the facts of a case moved by chance, as Trials says it moves
// them, but in the case itself.
func jolted(c record.Case, pl Plan, p Policy, src *chance.Source) record.Case {
	c = record.Clone(c)
	side := float64(sideDoubt(p)) * src.Normal()
	for i := range c.Films {
		f := &c.Films[i]
		plane := pl.Scales[i].Plane
		for j := range f.Points {
			q := &f.Points[j]
			q.At.X += q.Slip * units.Px(src.Normal())
			q.At.Y += q.Slip * units.Px(src.Normal())
		}
		if f.Bone == anatomy.Sound {
			stretch(f, side/float64(plane.Col))
		}
		times := units.MM(1 + plane.Rel*src.Normal())
		for j := range f.Evidence {
			if v := f.Evidence[j].True; v != nil {
				f.Evidence[j].True = mm(*v * times)
			}
		}
	}
	for i := range c.Readings {
		r := &c.Readings[i]
		u := map[record.ReadingKind]units.MM{record.TwoRods: p.RodReading * math.Sqrt2, record.SkinRuler: p.SkinReading,
			record.WireLower: p.GaugeReading, record.WireUpper: p.GaugeReading}[r.Kind]
		if r.First != nil {
			r.First = mm(*r.First + u*units.MM(src.Normal()))
		}
	}
	return c
}

// stretch moves the distal target away from the trochanter tip, by pixels.
func stretch(f *record.Film, px float64) {
	at := map[anatomy.Landmark]int{}
	for j, q := range f.Points {
		at[q.Name] = j
	}
	tip, hasTip := at[anatomy.TrochanterTip]
	end, hasEnd := at[anatomy.DistalTarget]
	if u, ok := (geom.Line[units.Px]{A: f.Points[tip].At, B: f.Points[end].At}).Unit(); hasTip && hasEnd && ok {
		f.Points[end].At = f.Points[end].At.Plus(u.Times(px))
	}
}

// slowTrials counts the sizes that Make chooses on moved facts: length,
// diameter, lower and upper screw. Trials with a dispute or another locking do
// not count, for Trials holds these two as the plan has them.
func slowTrials(c record.Case, pl Plan, p Policy, times int) (n float64, counts [4]map[units.MM]float64) {
	src := chance.New(99)
	for k := range counts {
		counts[k] = map[units.MM]float64{}
	}
	for range times {
		got := Make(jolted(c, pl, p, src), implant.Teaching(), p)
		if got.Bone.Disputed || got.Locking.Pattern != pl.Locking.Pattern {
			continue
		}
		n++
		for k, v := range []units.MM{got.Nail.Length, got.Nail.Diameter, got.Head.Lower.Ask, got.Head.Upper.Ask} {
			counts[k][v]++
		}
	}
	return n, counts
}

// The fast trials agree with the slow way, Make on moved facts: every chance
// within four standard errors of the difference.
func TestTrialsAgreeWithMake(t *testing.T) {
	const slow, fast = 400, 10_000
	p, shelf := DefaultPolicy(), implant.Teaching()
	compared := 0
	for _, name := range []string{"mid-shaft", "subtrochanteric", "below-isthmus", "neck-and-shaft", "screws from the film"} {
		c := trialCases(t)[name]
		pl := Make(c, shelf, p)
		n, counts := slowTrials(c, pl, p, slow)
		if n < 0.85*slow {
			t.Errorf("%s: only %v of %d slow trials can be compared", name, n, slow)
		}
		got := Trials(c, shelf, p, 3, fast)
		for _, part := range []struct {
			what string
			slow map[units.MM]float64
			fast PartChances
		}{{"length", counts[0], got.Length}, {"diameter", counts[1], got.Diameter}, {"lower screw", counts[2], got.Lower}, {"upper screw", counts[3], got.Upper}} {
			if part.fast.Room == nil {
				continue
			}
			for _, s := range part.fast.Sizes {
				compared++
				q := math.Max(s.Right*(1-s.Right), 1/n)
				testkit.Near(t, name+": "+part.what+" "+s.Value.String(), part.slow[s.Value]/n, s.Right, 4*math.Sqrt(q*(1/n+1.0/fast)))
			}
			testkit.Near(t, name+": "+part.what+" undecided", part.slow[0]/n, part.fast.Undecided, 4*math.Sqrt(1/n/n+0.01/n))
		}
	}
	if compared < 15 {
		t.Errorf("only %d chances compared", compared)
	}
}
