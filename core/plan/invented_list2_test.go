package plan

import (
	"slices"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/units"
)

var awkwardFilms = []invention{
	{"header-only", "no marker, header tags only", anatomy.Left, false, func(v *inventor) {
		v.broken(200).film(take{view: anatomy.AP, proof: headerProof}).film(take{view: anatomy.Lateral, proof: headerProof})
	}},
	{"assumed-factor", "assumed factor only", anatomy.Right, true, func(v *inventor) {
		v.broken(200).film(take{view: anatomy.AP, proof: assumedProof}).film(take{view: anatomy.Lateral, proof: assumedProof})
	}},
	{"ruler-only", "a ruler beside the thigh", anatomy.Left, true, func(v *inventor) {
		v.broken(215).film(take{view: anatomy.AP, proof: rulerProof}).film(take{view: anatomy.Lateral, proof: rulerProof})
	}},
	{"coin", "a coin as the marker", anatomy.Right, true, func(v *inventor) {
		coin := func(s *phantom.Setup) { s.Discs = []phantom.Ball{{Across: 24, Aside: -60, Down: -70}} }
		v.broken(215).film(take{view: anatomy.AP, setup: coin, proof: discProof}).film(take{view: anatomy.Lateral, setup: coin, proof: discProof})
	}},
	{"two-markers", "balls behind and in front", anatomy.Left, true, func(v *inventor) {
		two := func(s *phantom.Setup) {
			s.Balls = []phantom.Ball{{Across: 25, Above: -70, Aside: 60, Down: 60}, {Across: 25, Above: 70, Aside: 55, Down: -60}}
		}
		v.broken(215).film(take{view: anatomy.AP, setup: two, proof: markersProof}).film(take{view: anatomy.Lateral, setup: two, proof: markersProof})
	}},
	{"distances", "distances of the tube", anatomy.Right, true, func(v *inventor) {
		v.broken(215).film(take{view: anatomy.AP, proof: distancesProof}).film(take{view: anatomy.Lateral, proof: distancesProof})
	}},
	{"two-films", "bone on two films, one mark on both", anatomy.Left, true, func(v *inventor) {
		v.film(take{view: anatomy.AP, look: phantom.Upper, bone: anatomy.Sound}).film(take{view: anatomy.AP, look: phantom.Lower, bone: anatomy.Sound})
		v.broken(190).film(take{view: anatomy.AP, look: phantom.Upper}).film(take{view: anatomy.Lateral, look: phantom.Upper})
	}},
	{"photo", "photo of a film", anatomy.Right, true, func(v *inventor) { v.broken(200).film(take{view: anatomy.AP, photo: true}) }},
	{"photo-head", "photos of two films, neck broken", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().broken(200).film(take{view: anatomy.AP, photo: true}).film(take{view: anatomy.Lateral, photo: true})
	}},
	{"sound-side-only", "films of the other femur only", anatomy.Right, true, func(v *inventor) {
		v.broken(200).film(take{view: anatomy.AP, bone: anatomy.Sound}).film(take{view: anatomy.Lateral, bone: anatomy.Sound})
	}},
	{"four-films", "four films, neck broken", anatomy.Left, true, func(v *inventor) {
		v.bone.Break = phantom.Break{Level: 220, Oblique: 25, Gap: -12, Aside: 6}
		v.neckBroken().both().film(take{view: anatomy.AP, bone: anatomy.Sound}).film(take{view: anatomy.Lateral, bone: anatomy.Sound})
	}},
	{"pieces", "not reduced, length from the pieces", anatomy.Right, true, func(v *inventor) {
		v.bone.Break = phantom.Break{Level: 195, Oblique: 10, Gap: 14, Aside: 5}
		v.both()
	}},
	{"no-lateral", "neck broken, no lateral film", anatomy.Left, true, func(v *inventor) { v.neckBroken().broken(200).film(take{view: anatomy.AP}) }},
	{"tilted-film", "leg tilted 12 degrees on the film", anatomy.Right, false, func(v *inventor) {
		tilt := func(s *phantom.Setup) { s.Tilt = 12 }
		v.broken(200).film(take{view: anatomy.AP, setup: tilt}).film(take{view: anatomy.Lateral})
	}},
	{"markers-disagree", "ball and ruler at different depths", anatomy.Left, false, func(v *inventor) {
		v.broken(200).film(take{view: anatomy.AP, setup: func(s *phantom.Setup) { s.Balls[0].Above = 80 }, proof: func(v *inventor, f *record.Film, tr phantom.Truth) {
			ballProof(v, f, tr)
			rulerProof(v, f, tr)
		}}).film(take{view: anatomy.Lateral})
	}},
	{"left-film-right-leg", "film says left, leg is right", anatomy.Right, false, func(v *inventor) {
		v.broken(200).both()
		v.c.Films[0].Kind, v.c.Films[0].Tags = "dicom", &record.Tags{Modality: "DX", Laterality: "L"}
	}},
	{"fracture-below-notch", "fracture marked below the notch", anatomy.Left, false, func(v *inventor) {
		v.broken(200).both()
		v.shift(0, anatomy.FractureLower, 0, 1640)
		v.shift(0, anatomy.FractureUpper, 0, 1600)
	}},
	{"canal-over-bone", "canal wider than the bone", anatomy.Right, false, func(v *inventor) {
		v.broken(200).both()
		v.shift(0, anatomy.CanalA, -90, 0)
		v.shift(0, anatomy.CanalB, 90, 0)
		v.shift(1, anatomy.CanalA, -90, 0)
		v.shift(1, anatomy.CanalB, 90, 0)
	}},
}

// shift moves a mark, as a slip of the finger would.
func (v *inventor) shift(film int, l anatomy.Landmark, x, y units.Px) {
	f := &v.c.Films[film]
	i := slices.IndexFunc(f.Points, func(p record.Point) bool { return p.Name == l })
	f.Points[i].At = f.Points[i].At.Plus(geom.Pt[units.Px]{X: x, Y: y})
}

func gauge(gap, subtracts units.MM) func(*record.Reading) {
	return func(r *record.Reading) { r.Reduced, r.GapLeft, r.Subtracts = "", mm(gap), mm(subtracts) }
}

func hole(n int) func(*record.Reading) {
	return func(r *record.Reading) { r.Reduced, r.Hole = "", &n }
}

func angles(a, b units.Deg) func(*record.Reading) {
	return func(r *record.Reading) { r.First, r.Reduced, r.OnBone, r.Angle, r.AngleTwo = nil, "", "", &a, &b }
}

func bare(r *record.Reading) { r.Reduced, r.OnBone = "", "" }

func handOnly(r *record.Reading) { r.Reduced = "" }

var awkwardTables = []invention{
	{"wires", "both wires measured", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().broken(200).both().took(record.WireLower, 105, gauge(5, 0)).took(record.WireUpper, 95, gauge(5, 0))
	}},
	{"wire-to-joint", "a wire that reaches the joint surface", anatomy.Right, true, func(v *inventor) {
		v.neckBroken().broken(200).both().took(record.WireLower, 109, gauge(0, 0)).took(record.WireUpper, 96, gauge(5, 0))
	}},
	{"wire-differs", "wire and film differ by 20 mm", anatomy.Left, false, func(v *inventor) {
		v.neckBroken().broken(200).both().took(record.WireLower, 122, gauge(5, 0))
	}},
	{"sleeve-off-bone", "sleeve off the bone", anatomy.Right, false, func(v *inventor) {
		v.neckBroken().broken(200).film(take{view: anatomy.AP}).took(record.WireLower, 104, gauge(5, 0), func(r *record.Reading) { r.OnBone = record.No })
	}},
	{"rods-and-film-differ", "rods 30 mm longer than the film", anatomy.Left, false, func(v *inventor) {
		v.broken(200).both().took(record.TwoRods, 950, func(r *record.Reading) { r.Second = mm(950 - v.length() - 30) })
	}},
	{"three-routes", "film, rods and ruler agree", anatomy.Right, true, func(v *inventor) {
		l := units.MM(int(v.length()))
		v.broken(200).both().took(record.TwoRods, 950, func(r *record.Reading) { r.Second = mm(950 - l) }).took(record.SkinRuler, l+6).took(record.OtherTrial, l+1, handOnly)
	}},
	{"rods-only", "no film of use, rods only", anatomy.Left, true, func(v *inventor) {
		v.broken(200).took(record.TwoRods, 950, func(r *record.Reading) { r.Second = mm(units.MM(int(950 - v.length()))) })
	}},
	{"distal-screws-read", "distal depths read, nail deeper than planned", anatomy.Right, true, func(v *inventor) {
		v.broken(200).both().took(record.BurialFound, 9, bare).took(record.DistalDepth, 41, hole(1)).took(record.DistalDepth, 46, hole(2))
	}},
	{"turned-leg", "leg turned by 18 degrees, 12 mm long", anatomy.Left, true, func(v *inventor) {
		v.broken(200).both().took(record.TurnInjured, 0, angles(44, 12)).took(record.TurnSound, 0, angles(24, 10)).
			took(record.LengthInjured, 452, bare).took(record.LengthSound, 440, bare).took(record.GapFound, 4, bare)
		v.c.Implants = []record.Implant{put("nail", anatomy.Left, 10, 360)}
		v.injury().NeckAfter = record.Yes
	}},
	{"followed", "followed to union", anatomy.Right, true, func(v *inventor) {
		v.c.Implants = []record.Implant{put("nail", anatomy.Right, 10, 360), put("end-cap", "", 0, 0)}
		v.injury().NeckAfter = record.Yes
		v.broken(200).both()
		v.c.Followed = []record.Followed{{ID: "f-1", At: "2027-01-10T08:00:00Z", Scale: "rust", Cortices: []int{1, 1, 2, 1}}, {ID: "f-2", At: "2027-05-10T08:00:00Z", Scale: "rust", Cortices: []int{3, 3, 2, 3}}}
	}},
	{"part-of-the-other-side", "nail for the left put in on the right", anatomy.Right, false, func(v *inventor) {
		v.broken(200).both()
		v.c.Implants = []record.Implant{put("nail", anatomy.Left, 10, 360)}
	}},
}

// oneNail leaves a single nail on the shelf.
func oneNail(side anatomy.Side, dia, long units.MM) func(*implant.Shelf) {
	return func(s *implant.Shelf) {
		s.Nails = slices.DeleteFunc(s.Nails, func(n implant.Nail) bool { return n.Side != side || n.Diameter != dia || n.Length != long })
		s.Nails[0].Stock = 1
	}
}

var awkwardShelves = []invention{
	{"one-nail", "one nail on the shelf, it fits", anatomy.Left, true, func(v *inventor) {
		v.broken(200).both().withShelf("One nail", oneNail(anatomy.Left, 9, 360))
	}},
	{"one-nail-short", "one nail on the shelf, too short and thin", anatomy.Right, true, func(v *inventor) {
		v.broken(200).both().withShelf("One nail", oneNail(anatomy.Right, 9, 320))
	}},
	{"one-nail-long", "one nail on the shelf, too long", anatomy.Left, true, func(v *inventor) {
		v.broken(200).both().withShelf("One nail", oneNail(anatomy.Left, 10, 460))
	}},
	{"one-nail-thick", "one nail on the shelf, too thick", anatomy.Right, true, func(v *inventor) {
		v.broken(200).both().withShelf("One nail", oneNail(anatomy.Right, 13, 360))
	}},
	{"one-nail-other-side", "one nail on the shelf, for the other leg", anatomy.Right, true, func(v *inventor) {
		v.broken(200).both().withShelf("One nail", oneNail(anatomy.Left, 9, 360))
	}},
	{"no-head-locking", "neck broken, no nail locks in the head", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().broken(200).both().withShelf("No head locking", func(s *implant.Shelf) {
			for i := range s.Nails {
				s.Nails[i].HeadAngle, s.Nails[i].HeadSpacing, s.Nails[i].HeadDepth, s.Nails[i].HeadDia = 0, 0, 0, 0
			}
		})
	}},
	{"stock-zero", "everything out of stock", anatomy.Right, true, func(v *inventor) {
		v.broken(200).both().withShelf("Out of stock", func(s *implant.Shelf) {
			for i := range s.Nails {
				s.Nails[i].Stock = 0
			}
		})
	}},
	{"long-head-screws-only", "neck broken, no head screw short enough", anatomy.Left, true, func(v *inventor) {
		v.neckBroken().broken(200).both().withShelf("Long head screws", func(s *implant.Shelf) {
			s.Head = slices.DeleteFunc(s.Head, func(x implant.Screw) bool { return x.Length < 115 })
		})
	}},
}

// plainOnes are adults by chance, of the published ranges.
var plainOnes = []invention{
	{"plain-1", "an adult, mid-shaft", anatomy.Left, true, plain(11, 0.47, record.MidShaft, false)},
	{"plain-2", "an adult, mid-shaft", anatomy.Right, true, plain(12, 0.42, record.MidShaft, false)},
	{"plain-3", "an adult, below the isthmus", anatomy.Left, true, plain(13, 0.68, record.BelowIsthmus, false)},
	{"plain-4", "an adult, neck and shaft", anatomy.Right, true, plain(14, 0.5, record.MidShaft, true)},
	{"plain-5", "an adult, neck and shaft", anatomy.Left, true, plain(15, 0.44, record.MidShaft, true)},
	{"plain-6", "an adult, neck and shaft, oblique beams", anatomy.Right, true, plain(16, 0.55, record.MidShaft, true)},
}

func plain(seed uint64, level float64, said record.Level, neck bool) func(*inventor) {
	return func(v *inventor) {
		v.bone = phantom.Random(seed)
		v.injury().Level = said
		if neck {
			v.neckBroken()
		}
		vary := func(s *phantom.Setup) {
			s.Turn = units.Deg(seed%3) - 1
			s.SOD -= units.MM(5 * (seed % 4))
			s.Height = 4500
		}
		v.broken(units.MM(level) * v.bone.Length).film(take{view: anatomy.AP, setup: vary}).film(take{view: anatomy.Lateral, setup: vary})
	}
}
