package screen

import (
	"math"
	"slices"

	"isthmus/app/drawing"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// middles adds the direction of the shaft: the middle of the canal at the
// first and at the last level that is seen.
func (o *offer) middles(s find.Shaft, at map[anatomy.Landmark]record.Point) {
	first, last := -1, -1
	for i, l := range s.Levels {
		if l.Out == "" && len(l.Edge) == 4 && len(l.Slip) == 4 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 || last == first {
		return
	}
	for l, i := range map[anatomy.Landmark]int{anatomy.ShaftUpper: first, anatomy.ShaftLower: last} {
		lv := s.Levels[i]
		mid := geom.Mid(lv.Edge[find.InnerLeft], lv.Edge[find.InnerRight])
		slip := units.Px(math.Hypot(float64(lv.Slip[find.InnerLeft]), float64(lv.Slip[find.InnerRight]))) / 2
		at[l] = record.Point{Name: l, At: mid, Slip: slip}
	}
}

// bowPlaces adds the middle of the canal at both ends of the trace and at each
// quarter on the way. Each is the straight line of least squares through the
// middles of a fortieth of the trace to each side. By hand, five places evenly
// apart give the height of the arc with √(8/7) of their slip, so the slip is
// √(7/8) of the doubt of the height that was found along the whole trace, and
// never less than that of one level. A bow that cannot be told adds nothing.
func (o *offer) bowPlaces(s find.Shaft, at map[anatomy.Landmark]record.Point) {
	arc, err := s.Bow()
	if err != nil {
		o.doubt += " The bow cannot be told: " + plainStart(plainMessage(err.Error()))
		return
	}
	levels := measured(s)
	first, last := float64(levels[0].Along), float64(levels[len(levels)-1].Along)
	slip := max(arc.SagittaU*units.Px(math.Sqrt(7.0/8)), at[anatomy.ShaftUpper].Slip, at[anatomy.ShaftLower].Slip)
	places := map[anatomy.Landmark]record.Point{}
	for l, t := range map[anatomy.Landmark]float64{anatomy.ShaftUpper: 0, anatomy.BowUpper: 0.25, anatomy.BowMiddle: 0.5, anatomy.BowLower: 0.75, anatomy.ShaftLower: 1} {
		p, ok := middleAt(levels, first+t*(last-first), (last-first)/40)
		if !ok {
			if t == 0 || t == 1 {
				return
			}
			continue
		}
		places[l] = record.Point{Name: l, At: p, Slip: slip}
	}
	for l, p := range places {
		at[l] = p
	}
	o.doubt += " Bow " + pxDoubt(arc.Sagitta, arc.SagittaU) + " high over " + units.Trim(float64(arc.Chord), 0) + "\u00a0px."
}

// measured are the levels of a trace whose edges are all there.
func measured(s find.Shaft) (out []find.Level) {
	for _, l := range s.Levels {
		if l.Out == "" && len(l.Edge) == 4 {
			out = append(out, l)
		}
	}
	return out
}

// middleAt returns the middle of the canal at a place along the trace, and
// false where fewer than three levels within reach are measured.
func middleAt(levels []find.Level, along, reach float64) (geom.Pt[units.Px], bool) {
	var n, t, x, y, tt, tx, ty float64
	for _, l := range levels {
		d := float64(l.Along) - along
		if math.Abs(d) > reach {
			continue
		}
		m := geom.Mid(l.Edge[find.InnerLeft], l.Edge[find.InnerRight])
		n, t, x, y = n+1, t+d, x+float64(m.X), y+float64(m.Y)
		tt, tx, ty = tt+d*d, tx+d*float64(m.X), ty+d*float64(m.Y)
	}
	det := n*tt - t*t
	if n < 3 || !(det > 0) {
		return geom.Pt[units.Px]{}, false
	}
	return geom.Pt[units.Px]{X: units.Px((tt*x - t*tx) / det), Y: units.Px((tt*y - t*ty) / det)}, true
}

// regrip takes an edge that a person has moved, and traces around it. A place
// that was given to the same edge nearby before is taken back: the last word
// counts, and two of them would contradict each other.
func (fp *filmPage) regrip(i int, at geom.Pt[units.Px]) {
	o := fp.offer
	if o == nil || i < 0 || i >= len(o.walls) || fp.find == nil {
		return
	}
	ask := o.ask
	near := units.Px(0)
	if len(ask.Taps) >= 2 {
		near = geom.Dist(ask.Taps[0], ask.Taps[1]) / (2 * gripLevels)
	}
	fixed := slices.DeleteFunc(slices.Clone(ask.Fixed), func(f find.Fix) bool {
		return f.Edge == o.walls[i] && geom.Dist(f.At, at) <= near
	})
	ask.Fixed = append(fixed, find.Fix{Edge: o.walls[i], At: at})
	fp.offer = nil
	fp.seek = &seeking{ask: ask, need: len(ask.Taps)}
	fp.look()
}

// flareTrail is the line on which the flare of the canal is marked, while it is
// asked for or moved.
func (fp *filmPage) flareTrail() []viewer.Trail {
	flare := func(l anatomy.Landmark) bool { return l == anatomy.FlareA || l == anatomy.FlareB }
	if fp.mode != pointsMode || !flare(fp.asked) && !flare(fp.picked) || fp.offer != nil || fp.seek != nil {
		return nil
	}
	a, b, ok := drawing.FlareLine(fp.c, fp.Session.Plan(), fp.Index)
	if !ok {
		return nil
	}
	return []viewer.Trail{{Path: []geom.Pt[units.Px]{a, b}, Style: viewer.Offered, Text: "20\u00a0mm above"}}
}
