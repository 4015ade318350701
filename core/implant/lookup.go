package implant

import (
	"cmp"
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// sizes returns the size of every part that passes, each once, smallest first.
func sizes[T any](parts []T, size func(T) units.MM, pass func(T) bool) []units.MM {
	var out []units.MM
	for _, p := range parts {
		if pass(p) {
			out = append(out, size(p))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// fits reports whether a nail in stock can be used on this side. An unknown
// side takes only nails that fit either side.
func (n Nail) fits(side anatomy.Side) bool {
	return n.Stock > 0 && (n.Side == anatomy.NoSide || n.Side == side)
}

// Lengths returns the nail lengths in stock for a side and a diameter,
// shortest first.
func (s Shelf) Lengths(side anatomy.Side, diameter units.MM) []units.MM {
	return sizes(s.Nails, func(n Nail) units.MM { return n.Length },
		func(n Nail) bool { return n.fits(side) && n.Diameter == diameter })
}

// AllLengths returns the nail lengths in stock for a side in any diameter,
// shortest first.
func (s Shelf) AllLengths(side anatomy.Side) []units.MM {
	return sizes(s.Nails, func(n Nail) units.MM { return n.Length }, func(n Nail) bool { return n.fits(side) })
}

// Diameters returns the nail diameters in stock for a side, smallest first.
func (s Shelf) Diameters(side anatomy.Side) []units.MM {
	return sizes(s.Nails, func(n Nail) units.MM { return n.Diameter }, func(n Nail) bool { return n.fits(side) })
}

// HasNail returns the nail of exactly this size in stock for a side, and
// false when there is none. Of several it is the one made for the side, then
// the one with most in stock, then the first by ID.
func (s Shelf) HasNail(side anatomy.Side, diameter, length units.MM) (Nail, bool) {
	var hits []Nail
	for _, n := range s.Nails {
		if n.fits(side) && n.Diameter == diameter && n.Length == length {
			hits = append(hits, n)
		}
	}
	if len(hits) == 0 {
		return Nail{}, false
	}
	return slices.MinFunc(hits, func(a, b Nail) int {
		return cmp.Or(-cmp.Compare(a.Side, b.Side), -cmp.Compare(a.Stock, b.Stock), cmp.Compare(a.ID, b.ID))
	}), true
}

// WithHeadLocking returns the same shelf with only those nails that take head
// screws.
func (s Shelf) WithHeadLocking() Shelf {
	all := s.Nails
	s.Nails = nil
	for _, n := range all {
		if n.HeadAngle > 0 {
			s.Nails = append(s.Nails, n)
		}
	}
	return s
}

func (w Screw) suits(place Place, diameter units.MM) bool {
	return w.Stock > 0 && w.Diameter == diameter && (w.Place == EitherPlace || w.Place == place)
}

// HeadLengths returns the lengths of head screws in stock for a place and a
// diameter, shortest first. EitherPlace takes only screws that suit both.
func (s Shelf) HeadLengths(place Place, diameter units.MM) []units.MM {
	return sizes(s.Head, func(w Screw) units.MM { return w.Length },
		func(w Screw) bool { return w.suits(place, diameter) })
}

// HasHead returns how many head screws of exactly this size are in stock for
// a place.
func (s Shelf) HasHead(place Place, diameter, length units.MM) int {
	n := 0
	for _, w := range s.Head {
		if w.suits(place, diameter) && w.Length == length {
			n += w.Stock
		}
	}
	return n
}

// LockingLengths returns the lengths of locking screws of a diameter in
// stock, shortest first.
func (s Shelf) LockingLengths(diameter units.MM) []units.MM {
	return sizes(s.Locking, func(w Screw) units.MM { return w.Length },
		func(w Screw) bool { return w.Stock > 0 && w.Diameter == diameter })
}

// CapHeights returns the heights of the end caps in stock, smallest first.
func (s Shelf) CapHeights() []units.MM {
	return sizes(s.Caps, func(c Cap) units.MM { return c.Height }, func(c Cap) bool { return c.Stock > 0 })
}

// ReamerDiameters returns the diameters of the reamer heads in stock,
// smallest first.
func (s Shelf) ReamerDiameters() []units.MM {
	return sizes(s.Reamers, func(h Head) units.MM { return h.Diameter }, func(h Head) bool { return h.Stock > 0 })
}

// HasReamer reports whether a reamer head of exactly this diameter is in stock.
func (s Shelf) HasReamer(diameter units.MM) bool {
	return slices.Contains(s.ReamerDiameters(), diameter)
}

// RodLengths returns the total lengths of the rods or wires of a kind in
// stock, shortest first.
func (s Shelf) RodLengths(kind string) []units.MM {
	return sizes(s.Rods, func(r Rod) units.MM { return r.Length },
		func(r Rod) bool { return r.Stock > 0 && r.Kind == kind })
}
