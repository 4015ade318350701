package record

import "reflect"

// NewCase returns an empty case: 32 hexadecimal digits and the time of now
// (RFC 3339, UTC) come from outside. Everything else is not known yet.
func NewCase(id, now string) Case { return Case{ID: id, Made: now, Edited: now} }

// Clone returns a copy that shares nothing with c. Empty lists become nil.
func Clone(c Case) Case {
	in := &c.Injury
	in.AgeYears, in.WoundMM, in.StatureMM, in.AtypicalSigns = copied(in.AgeYears), copied(in.WoundMM), copied(in.StatureMM), copied(in.AtypicalSigns)
	c.Films = cloned(c.Films, cloneFilm)
	c.Readings = cloned(c.Readings, func(r Reading) Reading {
		r.First, r.Second, r.OffBone = copied(r.First), copied(r.Second), copied(r.OffBone)
		r.GapLeft, r.Subtracts, r.Hole = copied(r.GapLeft), copied(r.Subtracts), copied(r.Hole)
		r.Angle, r.AngleTwo = copied(r.Angle), copied(r.AngleTwo)
		return r
	})
	c.Settings = cloned(c.Settings, func(s Setting) Setting { return s })
	c.Implants, c.Existing = cloned(c.Implants, cloneImplant), cloned(c.Existing, cloneImplant)
	c.Followed = cloned(c.Followed, func(f Followed) Followed {
		f.Cortices = same(f.Cortices)
		return f
	})
	return c
}

func cloneImplant(im Implant) Implant {
	im.Diameter, im.Length = copied(im.Diameter), copied(im.Length)
	return im
}

func cloneFilm(f Film) Film {
	if f.Tags != nil {
		t := *f.Tags
		t.PixelSpacing, t.ImagerSpacing, t.ScannedSpacing = copied(t.PixelSpacing), copied(t.ImagerSpacing), copied(t.ScannedSpacing)
		t.Factor, t.SID, t.SOD, t.Aspect = copied(t.Factor), copied(t.SID), copied(t.SOD), copied(t.Aspect)
		f.Tags = &t
	}
	f.Evidence = cloned(f.Evidence, func(e Evidence) Evidence {
		e.At, e.AtFront = same(e.At), same(e.AtFront)
		e.TrueFront, e.Fraction = copied(e.TrueFront), copied(e.Fraction)
		e.True, e.HMarker, e.HBone = copied(e.True), copied(e.HMarker), copied(e.HBone)
		e.SID, e.SOD, e.OID, e.Factor = copied(e.SID), copied(e.SOD), copied(e.OID), copied(e.Factor)
		return e
	})
	f.Points = cloned(f.Points, func(p Point) Point { return p })
	f.JoinMM = copied(f.JoinMM)
	if f.Photo != nil {
		p := *f.Photo
		p.Corners, p.Width, p.Height = same(p.Corners), copied(p.Width), copied(p.Height)
		if p.Edges != nil {
			e := *p.Edges
			e.Top, e.Right, e.Bottom, e.Left = same(e.Top), same(e.Right), same(e.Bottom), same(e.Left)
			p.Edges = &e
		}
		f.Photo = &p
	}
	return f
}

// same copies a list; an empty one becomes nil.
func same[T any](in []T) []T { return append([]T(nil), in...) }

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

func cloned[T any](in []T, one func(T) T) []T {
	var out []T
	for _, v := range in {
		out = append(out, one(v))
	}
	return out
}

// Equal reports whether two cases say the same, the time of the last edit
// included. A list that is empty equals one that is not there.
func Equal(a, b Case) bool { return reflect.DeepEqual(Clone(a), Clone(b)) }
