package plan

import (
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/units"
)

// chooseNail returns the nail: the length from the room in the bone, the
// diameter from the canal, and one part of the shelf that has both. Lengths
// are taken from nails that pass the canal, so where the shelf has no such
// part the choice is a thinner nail of the length, then a shorter one, and it
// says what is lost. Without a length or a canal the other is still chosen.
func chooseNail(b Bone, side anatomy.Side, l Locking, shelf implant.Shelf, p Policy) (NailChoice, []Problem) {
	nails, problems := candidates(shelf, side, l.Pattern)
	if len(nails) == 0 {
		return NailChoice{}, problems
	}
	var n NailChoice
	var more []Problem
	if b.Length != nil {
		n, more = lengthFrom(b.Length.Minus(units.Exact(p.Burial)), passing(nails, b.Canal, p), p)
		if len(b.Routes) > 1 {
			n.WhyLength = append(n.WhyLength, why("routes-together", number("count", float64(len(b.Routes))), length("length", *b.Length)))
		}
		n.WhyLength = append(n.WhyLength, why("length-burial", length("bone", *b.Length), shown("burial", p.Burial)))
		n.Lost = append(n.Lost, shorter(nails, n)...)
		problems = append(problems, more...)
	}
	if b.Canal != nil {
		var d NailChoice
		d, more = diameterFrom(*b.Canal, ofLength(nails, n.Length), p)
		problems = append(problems, more...)
		n.Diameter, n.DiaUp, n.WhyDia, n.Ratio = d.Diameter, d.DiaUp, d.WhyDia, d.Ratio
		n.Lost = append(n.Lost, d.Lost...)
		n.Lost = append(n.Lost, thinner(*b.Canal, nails, n)...)
	}
	n.Part = part(nails, side, n)
	if n.Part != nil && l.Pattern == NoPattern && n.Part.HeadAngle == 0 {
		problems = append(problems, trouble("nail-no-pattern", fields("injury"), shown("size", n.Length)))
	}
	return n, problems
}

// passing returns the nails that the canal lets through; all of them when the
// canal is not known or when it lets none of the stock through.
func passing(nails []implant.Nail, canal *units.Length, p Policy) []implant.Nail {
	if canal == nil {
		return nails
	}
	room, _ := roomFor(*canal, stockOf(nails, func(n implant.Nail) units.MM { return n.Diameter }), p)
	var out []implant.Nail
	for _, n := range nails {
		if n.Diameter <= room.Best+guard {
			out = append(out, n)
		}
	}
	if !slices.ContainsFunc(out, func(n implant.Nail) bool { return n.Stock > 0 }) {
		return nails
	}
	return out
}

// shorter says when a longer nail would have fitted the room and the shelf has
// it only too thick for the canal.
func shorter(nails []implant.Nail, n NailChoice) []Reason {
	if n.Room == nil || n.Length == 0 {
		return nil
	}
	sizes := stockOf(nails, func(x implant.Nail) units.MM { return x.Length })
	if _, at := longest(sizes, *n.Room); at >= 0 && sizes[at].Value > n.Length {
		return []Reason{why("lost-length-thick", shown("wanted", sizes[at].Value), shown("size", n.Length))}
	}
	return nil
}

// candidates returns the nails that fit this side and this locking. Where the
// side is not known nails of both sides count, and no part will be named.
func candidates(shelf implant.Shelf, side anatomy.Side, pattern Pattern) ([]implant.Nail, []Problem) {
	var nails []implant.Nail
	for _, n := range shelf.Nails {
		sided := n.Side == anatomy.NoSide || n.Side == side || !side.Valid()
		locks := pattern != HeadLock || n.HeadAngle > 0
		if sided && locks && n.Length > 0 && n.Diameter > 0 && units.Exact(n.Length+n.Diameter).Finite() {
			nails = append(nails, n)
		}
	}
	inStock := slices.ContainsFunc(nails, func(n implant.Nail) bool { return n.Stock > 0 })
	switch {
	case len(nails) == 0:
		return nil, []Problem{trouble("nail-none", fields("shelf.nails"), word("pattern", string(pattern)), word("side", string(side)))}
	case !inStock:
		return nil, []Problem{trouble("nail-out-of-stock", fields("shelf.nails"), word("pattern", string(pattern)), word("side", string(side)))}
	}
	return nails, nil
}

// part returns the nail of the shelf that was chosen, nil while the side, the
// length or the diameter is open.
func part(nails []implant.Nail, side anatomy.Side, n NailChoice) *implant.Nail {
	if !side.Valid() || n.Length == 0 || n.Diameter == 0 {
		return nil
	}
	if c, ok := (implant.Shelf{Nails: nails}).HasNail(side, n.Diameter, n.Length); ok {
		return &c
	}
	return nil
}

// guard keeps a size that equals its limit: 400 stays 400 when binary
// fractions make the room 399.9999999. It is far below what anyone measures.
const guard units.MM = 1e-6

// chanceRoom returns the probability that there is room for v.
func chanceRoom(room units.Length, v units.MM) float64 {
	if !(room.Doubt() > guard) {
		if v <= room.Best+guard {
			return 1
		}
		return 0
	}
	return room.ChanceAbove(v)
}

// LengthFrom chooses the length of a nail for a room, for the bedside: the
// longest in stock that is not longer than the room, with its neighbours and
// the chance of each. The room is the length of the bone less the burial. Side
// and shelf say which nails count; without a side nails of both sides do. It
// decides nothing when the room is not a length of a femur or when the
// shortest nail is too long, and says so.
func LengthFrom(room units.Length, side anatomy.Side, shelf implant.Shelf, p Policy) (NailChoice, []Problem) {
	nails, problems := candidates(shelf, side, NoPattern)
	if len(nails) == 0 {
		return NailChoice{}, problems
	}
	n, more := lengthFrom(room, nails, p)
	return n, append(problems, more...)
}

// A room outside these limits is no room for a nail in an adult femur: blocked
// femur lengths are 300 and 600 mm, less up to 70 mm from the top of the head
// to the trochanter and from the notch to the joint. Common practice, from the
// ranges of Cho 2015, Table 3.
const roomLo, roomHi units.MM = 230, 600

func lengthFrom(room units.Length, nails []implant.Nail, p Policy) (NailChoice, []Problem) {
	if !room.Finite() || !(room.Best >= roomLo && room.Best <= roomHi) {
		if !room.Finite() {
			room = units.Length{}
		}
		return NailChoice{}, []Problem{trouble("length-impossible", fields("films", "readings"),
			length("room", room), shown("low", roomLo), shown("high", roomHi))}
	}
	n := NailChoice{Room: &room}
	sizes := stockOf(nails, func(x implant.Nail) units.MM { return x.Length })
	ideal, at := longest(sizes, room)
	if at < 0 {
		return n, []Problem{trouble("nail-too-long", fields("shelf.nails"), length("room", room), shown("shortest", sizes[0].Value))}
	}
	n.Length = sizes[at].Value
	n.Sizes = chances(shortlist(sizes, at), room)
	n.Tip = pointer(room.Minus(units.Exact(n.Length)))
	n.WhyLength = []Reason{why("length-longest", length("room", room), shown("size", n.Length))}
	if ideal != at {
		n.Lost = append(n.Lost, why("lost-length", shown("wanted", sizes[ideal].Value), shown("size", n.Length)))
	}
	if n.Close = tooClose(n.Sizes, n.Length, p); n.Close {
		return n, []Problem{trouble("length-close", fields("films", "readings"), shown("size", n.Length),
			percent("percent", rightOf(n.Sizes, n.Length)), length("room", room))}
	}
	return n, nil
}

// stockOf adds up the stock of each size, smallest first.
func stockOf(nails []implant.Nail, size func(implant.Nail) units.MM) []Size {
	var out []Size
	for _, n := range nails {
		i := slices.IndexFunc(out, func(s Size) bool { return s.Value == size(n) })
		if i < 0 {
			out = append(out, Size{Value: size(n)})
			i = len(out) - 1
		}
		out[i].Stock += max(n.Stock, 0)
	}
	slices.SortFunc(out, bySize)
	return out
}

// longest returns the places of the longest size that fits the room and of the
// longest of those that is in stock; −1 for none.
func longest(sizes []Size, room units.Length) (ideal, inStock int) {
	ideal, inStock = -1, -1
	for i, s := range sizes {
		if !(s.Value <= room.Best+guard) {
			break
		}
		ideal = i
		if s.Stock > 0 {
			inStock = i
		}
	}
	return ideal, inStock
}

// shortlist returns the chosen size between its nearest neighbours in stock.
func shortlist(sizes []Size, at int) []Size {
	var out []Size
	for i := at - 1; i >= 0; i-- {
		if sizes[i].Stock > 0 {
			out = append(out, sizes[i])
			break
		}
	}
	out = append(out, sizes[at])
	for i := at + 1; i < len(sizes); i++ {
		if sizes[i].Stock > 0 {
			return append(out, sizes[i])
		}
	}
	return out
}

// chances fills in the chance that each size is longer than the room and the
// chance that it is the longest that fits. The shortest of the list also
// answers for every smaller room down to its own length only.
func chances(sizes []Size, room units.Length) []Size {
	for i := range sizes {
		fits := chanceRoom(room, sizes[i].Value)
		sizes[i].TooLong = 1 - fits
		sizes[i].Right = fits
		if i+1 < len(sizes) {
			sizes[i].Right = max(0, fits-chanceRoom(room, sizes[i+1].Value))
		}
	}
	return sizes
}

func rightOf(sizes []Size, v units.MM) float64 {
	for _, s := range sizes {
		if s.Value == v {
			return s.Right
		}
	}
	return 0
}

// tooClose reports whether the chosen size is right with less than the chance
// that the policy asks for. The chance only falls as the doubt grows, so more
// doubt never makes a choice clearer.
func tooClose(sizes []Size, v units.MM, p Policy) bool { return !(rightOf(sizes, v) >= p.SureEnough) }

func ofLength(nails []implant.Nail, l units.MM) []implant.Nail {
	if l == 0 {
		return nails
	}
	var out []implant.Nail
	for _, n := range nails {
		if n.Length == l {
			out = append(out, n)
		}
	}
	return out
}
