package plan

import (
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// oneOf returns one of the values by chance.
func oneOf[T any](c *chance.Source, v ...T) T {
	return v[min(len(v)-1, int(c.Between(0, float64(len(v)))))]
}

// oddMM is a size as nobody should enter it, or none.
func oddMM(c *chance.Source) *units.MM {
	return oneOf(c, nil, mm(0), mm(-5), mm(1e-9), mm(12), mm(95), mm(400), mm(1e300), mm(units.MM(math.NaN())), mm(units.MM(math.Inf(1))))
}

// anyInjury answers every question by chance, nonsense included.
func anyInjury(c *chance.Source) record.Injury {
	a := func() record.Answer {
		return oneOf(c, record.NotAsked, record.Yes, record.No, record.Unsure, "perhaps")
	}
	age := oneOf(c, 0, 12, 17, 40, 130, -1)
	return record.Injury{
		Code: oneOf(c, "", "32A3(b)", "32C2(j)", "31B2", "31A1", "32B1", "nonsense \xff"),
		Neck: a(), NeckByCT: a(), NeckByFilm: a(), NeckByMRI: a(), NeckInTheatre: a(), NeckAfter: a(),
		Level:      oneOf(c, record.NoLevel, record.NearLesser, record.Subtrochanter, record.MidShaft, record.BelowIsthmus, "nowhere"),
		OpenPhysis: a(), Infection: a(), Implant: a(), Atypical: a(), Pathologic: a(), MedialPieces: a(), LesserWhole: a(),
		HighEnergy: a(), ManyInjuries: a(), BothFemurs: a(), AgeYears: oneOf(c, nil, &age),
		Wound:   oneOf(c, "", record.Closed, record.WoundI, record.WoundII, record.WoundIIIC, "IX"),
		WoundMM: oddMM(c), Comminution: oneOf(c, "", record.Comminution0, record.ComminutionII, record.ComminutionIV, "V"),
		AtypicalSigns:  oneOf(c, nil, &record.AtypicalSay{}, &record.AtypicalSay{MinimalTrauma: a(), LateralStart: a(), SpikeOrPart: a(), FewPieces: a(), LateralThick: a()}),
		OneScrewReason: oneOf(c, "", " ", "short and stable"),
	}
}

func anyParts(c *chance.Source) (out []record.Implant) {
	for range int(c.Between(0, 6)) {
		out = append(out, record.Implant{Kind: oneOf(c, append(slices.Clone(outOrder), "", "unheard of")...), Side: oneOf(c, "", anatomy.Left, anatomy.Right, "middle"),
			Diameter: oddMM(c), Length: oddMM(c), Drive: oneOf(c, "", " ", "hexagon 5 mm", "\xff"), Broken: oneOf(c, "", record.Yes, record.Unsure)})
	}
	return out
}

// anyShelf is the teaching set with parts, stock and drives lost by chance.
func anyShelf(c *chance.Source) implant.Shelf {
	s := implant.Teaching()
	keep := c.Between(0, 1.2)
	lost := func() bool { return c.Between(0, 1) > keep }
	s.Nails = slices.DeleteFunc(s.Nails, func(implant.Nail) bool { return lost() })
	s.Head = slices.DeleteFunc(s.Head, func(implant.Screw) bool { return lost() })
	s.Locking = slices.DeleteFunc(s.Locking, func(implant.Screw) bool { return lost() })
	s.Caps = slices.DeleteFunc(s.Caps, func(implant.Cap) bool { return lost() })
	s.Tools = slices.DeleteFunc(s.Tools, func(implant.Tool) bool { return lost() })
	for i := range s.Nails {
		if lost() {
			s.Nails[i].Stock = oneOf(c, 0, -3)
		}
		if lost() {
			s.Nails[i].Drive = ""
		}
	}
	for i := range s.Head {
		if lost() {
			s.Head[i].Place, s.Head[i].Drive = oneOf(c, implant.Lower, implant.Upper), ""
		}
	}
	if lost() {
		s.Rods, s.Reamers = nil, nil
	}
	return s
}

// Law: no answer, part or shelf, however odd, makes the plan panic, carry a
// number that is none, give a code without an entry in the table, or need
// what it does not list; and each line of the list is there once.
func FuzzAnyCase(f *testing.F) {
	for seed := range uint64(40) {
		f.Add(seed)
	}
	names := caseNames(f)
	f.Fuzz(func(t *testing.T, seed uint64) {
		c := chance.New(seed)
		one := record.Clone(loadCase(t, oneOf(c, names...)))
		one.Injury, one.Implants, one.Existing = anyInjury(c), anyParts(c), anyParts(c)
		one.Side = oneOf(c, "", anatomy.Left, anatomy.Right)
		shelf, p := anyShelf(c), DefaultPolicy()
		p.DistalScrews = oneOf(c, 1.0, 2, 3)
		pl := Make(one, shelf, p)
		checkPlan(t, pl)
		for key, share := range pl.Kit.Cover {
			if !(share >= 0 && share <= 1) {
				t.Errorf("cover of %s is %v", key, share)
			}
		}
		for i, it := range pl.Kit.Items {
			if it.Kind == "" || it.Role == "" || !(it.Need > 0) || it.Have < 0 || len(it.Why) == 0 || !(it.Chance >= 0 && it.Chance <= 1) {
				t.Errorf("a line that says too little: %+v", it)
			}
			if j := slices.IndexFunc(pl.Kit.Items, it.like); j != i {
				t.Errorf("%s %v is on the list twice", it.Kind, it.ID)
			}
			if it.ID != "" && it.Need == 0 {
				t.Errorf("%s is not needed", it.ID)
			}
		}
		if want := lacking(pl.Kit.Items); len(want) != len(pl.Kit.Missing) {
			t.Errorf("%d lines are missing, %d are said", len(want), len(pl.Kit.Missing))
		}
		parts := one.Implants
		if len(parts) == 0 {
			parts = one.Existing
		}
		if len(pl.Removal.Parts) != len(parts) {
			t.Errorf("%d of %d parts come out", len(pl.Removal.Parts), len(parts))
		}
		if pl.Locking.Distal == 1 && (pl.Class.Stable != record.Yes || one.Injury.OneScrewReason == "") {
			t.Errorf("one distal screw for %+v", one.Injury)
		}
	})
}
