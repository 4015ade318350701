package practice

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// sharp is the slip of a place that is known from the drawing, in pixels: a
// slip of none is not a place in a case.
const sharp units.Px = 0.05

// TrueCase returns the case as somebody would have made it who measured without
// any error: the films with every landmark where it truly is, the ball with
// where it lay, the true side, and whether the neck is broken, seen on CT. What
// was answered about the injury otherwise, and the settings, stay; what was
// read with the hands goes.
func TrueCase(c record.Case, t Truth) record.Case {
	c = record.Clone(c)
	c.Side, c.Readings, c.Films = t.Side, nil, nil
	c.Injury.Neck, c.Injury.NeckByCT = record.No, record.Yes
	if t.NeckBroken {
		c.Injury.Neck = record.Yes
	}
	for _, f := range t.Films {
		c.Films = append(c.Films, trueFilm(f))
	}
	return c
}

func trueFilm(f Film) record.Film {
	row := f.PerPx * f.SID / (f.SID - f.BoneHeight) // of the detector
	out := record.Film{Kind: "dicom", Width: f.Width, Height: f.Height, View: f.View, Bone: anatomy.Injured, Reduced: record.No,
		Tags: &record.Tags{Modality: "DX", ImagerSpacing: &[2]float64{row, row}}}
	for _, p := range f.Points {
		out.Points = append(out.Points, record.Point{Name: p.Name, At: geom.Pt[units.Px]{X: units.Px(p.X), Y: units.Px(p.Y)}, Slip: sharp})
	}
	ball := record.Evidence{ID: "ball", Kind: record.Ball, Slip: sharp, True: mm(f.Ball), AtBone: record.Yes}
	for _, p := range f.Rim {
		ball.At = append(ball.At, geom.Pt[units.Px]{X: units.Px(p[0]), Y: units.Px(p[1])})
	}
	if f.BallHeight != f.BoneHeight {
		ball.AtBone, ball.HMarker, ball.HBone, ball.SID = record.No, mm(f.BallHeight), mm(f.BoneHeight), mm(f.SID)
	}
	out.Evidence = []record.Evidence{ball}
	return out
}

func mm(v float64) *units.MM {
	m := units.MM(v)
	return &m
}
