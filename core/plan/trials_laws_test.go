package plan

import (
	"bytes"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// remade returns the case with every place on every film put elsewhere, and
// every slip made so many times as large.
func remade(c record.Case, by func(f record.Film, p geom.Pt[units.Px]) geom.Pt[units.Px], times units.Px) record.Case {
	c = record.Clone(c)
	for i := range c.Films {
		f := &c.Films[i]
		was := *f
		all := func(ps []geom.Pt[units.Px]) {
			for j := range ps {
				ps[j] = by(was, ps[j])
			}
		}
		for j := range f.Points {
			f.Points[j].At = by(was, f.Points[j].At)
			f.Points[j].Slip *= times
		}
		for j := range f.Evidence {
			all(f.Evidence[j].At)
			all(f.Evidence[j].AtFront)
			f.Evidence[j].Slip *= times
		}
		if f.Photo != nil {
			all(f.Photo.Corners)
			f.Photo.Slip *= times
		}
	}
	return c
}

// finer returns the case on films with twice the pixels for the same picture.
func finer(c record.Case) record.Case {
	c = remade(c, func(_ record.Film, p geom.Pt[units.Px]) geom.Pt[units.Px] { return p.Times(2) }, 2)
	for i := range c.Films {
		f := &c.Films[i]
		f.Width, f.Height = 2*f.Width, 2*f.Height
		if f.Tags == nil {
			continue
		}
		for _, s := range []*[2]float64{f.Tags.PixelSpacing, f.Tags.ImagerSpacing, f.Tags.ScannedSpacing} {
			if s != nil {
				s[0], s[1] = s[0]/2, s[1]/2
			}
		}
	}
	return c
}

// quarter returns the case on films that were turned by a quarter.
func quarter(c record.Case) record.Case {
	c = remade(c, func(f record.Film, p geom.Pt[units.Px]) geom.Pt[units.Px] {
		return geom.Pt[units.Px]{X: units.Px(f.Height-1) - p.Y, Y: p.X}
	}, 1)
	for i := range c.Films {
		f := &c.Films[i]
		f.Width, f.Height = f.Height, f.Width
		if f.Tags == nil {
			continue
		}
		for _, s := range []*[2]float64{f.Tags.PixelSpacing, f.Tags.ImagerSpacing, f.Tags.ScannedSpacing} {
			if s != nil {
				s[0], s[1] = s[1], s[0]
			}
		}
	}
	return c
}

// otherLeg returns the case of the other leg, seen in a mirror.
func otherLeg(c record.Case) record.Case {
	c = remade(c, func(f record.Film, p geom.Pt[units.Px]) geom.Pt[units.Px] {
		p.X = units.Px(f.Width-1) - p.X
		return p
	}, 1)
	c.Side = c.Side.Other()
	for _, parts := range [][]record.Implant{c.Implants, c.Existing} {
		for i := range parts {
			parts[i].Side = parts[i].Side.Other()
		}
	}
	for i := range c.Films {
		f := &c.Films[i]
		if f.Photo != nil && len(f.Photo.Corners) == 4 { // again top left, top right, bottom right, bottom left
			q := f.Photo.Corners
			q[0], q[1], q[2], q[3] = q[1], q[0], q[3], q[2]
		}
		if f.Tags != nil {
			f.Tags.Laterality = map[string]string{"L": "R", "R": "L"}[f.Tags.Laterality]
		}
	}
	return c
}

// decided is all of a plan but the size of its pixels and the names of its
// parts, as text to a hundredth.
func decided(pl Plan) []byte {
	pl.Scales, pl.Nail.Part = nil, nil
	pl.Kit.Items = slices.Clone(pl.Kit.Items)
	for i := range pl.Kit.Items {
		pl.Kit.Items[i].ID = ""
	}
	return dump(pl)
}

// Laws of the whole plan, in every line and every reason: the other leg in a
// mirror, twice the pixels, and a film that was turned give the same plan.
func TestLawsOfTheWholePlan(t *testing.T) {
	shelf, p := implant.Teaching(), DefaultPolicy()
	seen := 0
	for name, c := range trialCases(t) {
		want := decided(Make(c, shelf, p))
		for law, got := range map[string][]byte{
			"the other leg in a mirror": decided(Make(otherLeg(c), shelf, p)),
			"twice the pixels":          decided(Make(finer(c), shelf, p)),
			"turned by a quarter":       decided(Make(quarter(c), shelf, p)),
			"turned by a half":          decided(Make(quarter(quarter(c)), shelf, p)),
		} {
			if !bytes.Equal(got, want) {
				t.Errorf("%s, %s:\n%s", name, law, firstChange(got, want))
			}
		}
		if len(c.Films) > 0 && c.Side != anatomy.NoSide {
			seen++
		}
	}
	if seen < 5 {
		t.Errorf("only %d cases with films and a side", seen)
	}
}

// A law that any plan passes checks nothing: a case whose points are a tenth
// further apart, on the same scale, gives another plan.
func TestLawsOfTheWholePlanTell(t *testing.T) {
	shelf, p := implant.Teaching(), DefaultPolicy()
	c := loadCase(t, "mid-shaft")
	longer := record.Clone(c)
	for i := range longer.Films {
		for j := range longer.Films[i].Points {
			longer.Films[i].Points[j].At = longer.Films[i].Points[j].At.Times(1.1)
		}
	}
	if bytes.Equal(decided(Make(c, shelf, p)), decided(Make(longer, shelf, p))) {
		t.Error("a bone a tenth longer gives the same plan")
	}
}
