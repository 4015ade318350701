package drawing

import (
	"math"
	"slices"

	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// doubts works out the doubt of the two margins: every landmark is moved by
// its slip along each axis of the film, and the scale by its own doubt, and
// the margins are measured again. To first order,
//
//	u² = Σ (∂margin/∂point · slip)²,  shared = ∂margin/∂scale · u(scale)
//
// Source: JCGM 100:2008, 5.1.2. The tip of the trochanter moves the nail and
// its screws, so the film's own part holds how deep the nail sits; how truly
// the nail is driven to that depth is not in it.
func (in *NeckInput) doubts(f record.Film, i int, p plan.Plan) {
	above, below := in.margins()
	if above == nil || below == nil {
		return
	}
	a, b := units.Length{Best: *above}, units.Length{Best: *below}
	for j := range f.Points {
		if f.Points[j].Slip == 0 {
			continue
		}
		for _, axis := range []bool{false, true} {
			g := f
			g.Points = slices.Clone(f.Points)
			if axis {
				g.Points[j].At.X += g.Points[j].Slip
			} else {
				g.Points[j].At.Y += g.Points[j].Slip
			}
			da, db, ok := moved(g, i, p, a.Best, b.Best)
			if !ok {
				return
			}
			a.Own, b.Own = hypot(a.Own, da), hypot(b.Own, db)
		}
	}
	q := p
	q.Scales = slices.Clone(p.Scales)
	for j := range q.Scales {
		if s := &q.Scales[j]; s.Film == i {
			s.Plane.Row *= units.MM(1 + s.Plane.Rel)
			s.Plane.Col *= units.MM(1 + s.Plane.Rel)
		}
	}
	da, db, ok := moved(f, i, q, a.Best, b.Best)
	if !ok {
		return
	}
	a.Shared, b.Shared = da, db
	in.Above, in.Below = &a, &b
}

// moved returns how much the margins change on a film that differs a little.
func moved(f record.Film, i int, p plan.Plan, above, below units.MM) (da, db units.MM, ok bool) {
	var ck checker
	in := neckOn(f, i, p, &ck)
	if len(ck.gaps) > 0 {
		return 0, 0, false
	}
	in.screws(f, i, p)
	a, b := in.margins()
	if a == nil || b == nil {
		return 0, 0, false
	}
	return *a - above, *b - below, true
}

func hypot(a, b units.MM) units.MM { return units.MM(math.Hypot(float64(a), float64(b))) }
