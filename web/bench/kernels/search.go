package main

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/units"
)

func at(p [2]float64) geom.Pt[units.Px] {
	return geom.Pt[units.Px]{X: units.Px(p[0]), Y: units.Px(p[1])}
}

func xy(p geom.Pt[units.Px]) [2]float64 { return [2]float64{float64(p.X), float64(p.Y)} }

// search looks for everything on every phantom. Each time is of one film.
func (r *report) search(folder string, n int) error {
	b, err := os.ReadFile(filepath.Join(folder, "cases.json"))
	if err != nil {
		return err
	}
	var shots []shot
	if err := json.Unmarshal(b, &shots); err != nil {
		return err
	}
	for _, s := range shots {
		g, err := grey(folder, s)
		if err != nil {
			return err
		}
		if s.Kind == "hip" {
			r.hip(g, s, n)
		} else {
			r.shaft(g, s, n)
		}
	}
	return nil
}

func grey(folder string, s shot) (find.Grey, error) {
	raw, err := os.ReadFile(filepath.Join(folder, s.Name+".pix"))
	if err != nil {
		return find.Grey{}, err
	}
	if len(raw) != 2*s.Width*s.Height {
		return find.Grey{}, fmt.Errorf("kernels: %s has %d bytes, want %d × %d samples", s.Name, len(raw), s.Width, s.Height)
	}
	g := find.Grey{Width: s.Width, Height: s.Height, Inverted: s.Dark, Pix: make([]uint16, len(raw)/2)}
	for i := range g.Pix {
		g.Pix[i] = binary.LittleEndian.Uint16(raw[2*i:])
	}
	return g, nil
}

func (r *report) hip(g find.Grey, s shot, n int) {
	var ball find.Round
	var err error
	r.clock("ball", n, func() { ball, err = find.Ball(g, at(s.Ball), find.RoundOptions{Raw: true}) })
	r.Rounds = append(r.Rounds, round{float64(ball.Centre.X), float64(ball.Centre.Y), float64(ball.Short), words(err)})
	r.clock("ruler", n, func() { find.Ruler(g, at(s.Ruler[0]), at(s.Ruler[1]), 0) })
	var head find.HipHead
	r.clock("head", n, func() { head, err = find.Head(g, at(s.Head)) })
	if err == nil {
		r.clock("neck", n, func() { find.Neck(g, head, at(s.Upper), at(s.Lower)) })
	}
}

func (r *report) shaft(g find.Grey, s shot, n int) {
	var got find.Shaft
	var err error
	r.clock("trace", n, func() { got, err = find.Trace(g, at(s.Upper), at(s.Lower), nil) })
	e := edges{Refused: words(err)}
	for _, l := range got.Levels {
		for k := range l.Edge {
			e.Walls[k] = append(e.Walls[k], xy(l.Edge[k]))
		}
	}
	r.Shafts = append(r.Shafts, e)
}

func words(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}
