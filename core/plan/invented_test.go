package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// An inventor makes one case of testdata/cases from a femur whose every
// measure is known (core/phantom), with the slips of a careful hand.
type inventor struct {
	t     testing.TB
	src   *chance.Source
	bone  phantom.Femur
	side  anatomy.Side
	c     record.Case
	truth []phantom.Truth // of each film
	shelf *implant.Shelf  // its own, nil: the teaching set
}

const inventedAt = "2026-11-25T08:00:00Z"

// begin returns a case without films: every question with a stop behind it is
// answered, the neck was looked at on CT and film and is whole.
func begin(t testing.TB, n int, label string, side anatomy.Side) *inventor {
	age := 44
	v := &inventor{t: t, src: chance.New(uint64(7000 + n)), bone: phantom.Usual(), side: side}
	v.c = record.Case{ID: fmt.Sprintf("%032x", 0xf000+n), Label: fmt.Sprintf("Invented %d: %s (invented)", n, label), Made: inventedAt, Edited: inventedAt, Side: side,
		Injury: record.Injury{Neck: record.No, NeckByCT: record.Yes, NeckByFilm: record.Yes, Level: record.MidShaft, OpenPhysis: record.No, Infection: record.No,
			Implant: record.No, Atypical: record.No, Pathologic: record.No, AgeYears: &age}}
	return v
}

// A take is how one film is made and marked.
type take struct {
	view  anatomy.View
	look  phantom.Region
	bone  anatomy.Bone
	setup func(*phantom.Setup)
	proof func(*inventor, *record.Film, phantom.Truth) // evidence; nil is the ball
	only  []anatomy.Landmark                           // nil: all that the film shows
	photo bool
}

// left out of a film unless it is asked for by name.
func spare(l anatomy.Landmark, tk take, in []anatomy.Landmark, reduced bool) bool {
	switch l {
	case anatomy.LesserMiddle, anatomy.BowUpper, anatomy.BowMiddle, anatomy.BowLower:
		return true // the stored cases are of version 2, which had none of them
	case anatomy.Join:
		return tk.look == "" || tk.look == phantom.Whole
	case anatomy.PieceUpper, anatomy.PieceLower:
		return reduced
	case anatomy.NeckUpper, anatomy.NeckLower, anatomy.TrochanterTip, anatomy.DistalTarget, anatomy.PatellaTop, anatomy.FractureUpper, anatomy.FractureLower:
		return tk.view == anatomy.Lateral
	}
	return false
}

func (v *inventor) slipped(p geom.Pt[units.Px], slip float64) geom.Pt[units.Px] {
	off := func() float64 { return slip * max(-2, min(2, v.src.Normal())) }
	round := func(x float64) units.Px { return units.Px(math.Round(10*x) / 10) }
	return geom.Pt[units.Px]{X: round(float64(p.X) + off()), Y: round(float64(p.Y) + off())}
}

// film adds one film.
func (v *inventor) film(tk take) *inventor {
	if tk.bone == "" {
		tk.bone = anatomy.Injured
	}
	side, bone := v.side, v.bone
	if tk.bone == anatomy.Sound {
		side = side.Other()
		bone.Break, bone.Second, bone.Neck2 = phantom.Break{}, phantom.Break{}, phantom.Crack{}
	}
	s := phantom.Shoot(tk.view, side, tk.look)
	s.Height = max(s.Height, 2600)
	if tk.look == "" || tk.look == phantom.Whole {
		s.Height = 4100
	}
	if tk.setup != nil {
		tk.setup(&s)
	}
	tr, err := phantom.Know(bone, s)
	if err != nil {
		v.t.Fatalf("%s: %v", v.c.Label, err)
	}
	n := len(v.c.Films)
	f := record.Film{SHA256: fmt.Sprintf("%s%032x", v.c.ID, n+1), Bytes: 1 << 20, Kind: "png", Width: s.Width, Height: s.Height, View: tk.view, Bone: tk.bone}
	still := bone.Break
	still.Level, still.Oblique = 0, 0
	if f.Reduced = record.Yes; tk.bone == anatomy.Injured && still != (phantom.Break{}) {
		f.Reduced = record.No
	}
	for _, l := range anatomy.Landmarks(tk.view) {
		spot, ok := tr.At[l]
		if !ok || !spot.Inside || spare(l, tk, tk.only, f.Reduced == record.Yes) || tk.only != nil && !slices.Contains(tk.only, l) {
			continue
		}
		f.Points = append(f.Points, record.Point{Name: l, At: v.slipped(spot.Film, 1.5), Slip: 1.5})
	}
	if tk.proof == nil {
		tk.proof = ballProof
	}
	tk.proof(v, &f, tr)
	if tk.photo {
		photographed(&f)
	}
	v.c.Films, v.truth = append(v.c.Films, f), append(v.truth, tr)
	return v
}

// photographed turns a film into a photo of it, taken askew: every mark is
// moved by the map that takes the corners of the film to those in the photo.
func photographed(f *record.Film) {
	w, h := units.Px(f.Width)-0.5, units.Px(f.Height)-0.5
	film := geom.Quad[units.Px]{{X: -0.5, Y: -0.5}, {X: w, Y: -0.5}, {X: w, Y: h}, {X: -0.5, Y: h}}
	in := geom.Quad[units.Px]{{X: 310, Y: 160}, {X: 1640, Y: 210}, {X: 1702, Y: 3790}, {X: 255, Y: 3744}}
	m, err := geom.ProjectiveThrough(film, in)
	if err != nil {
		panic(err)
	}
	move := func(p geom.Pt[units.Px]) geom.Pt[units.Px] {
		q, _ := m.Apply(p)
		return geom.Pt[units.Px]{X: units.Px(math.Round(10*float64(q.X)) / 10), Y: units.Px(math.Round(10*float64(q.Y)) / 10)}
	}
	for i := range f.Points {
		f.Points[i].At = move(f.Points[i].At)
	}
	for i := range f.Evidence {
		for j, p := range f.Evidence[i].At {
			f.Evidence[i].At[j] = move(p)
		}
	}
	f.Photo = &record.Photo{Corners: in[:], Slip: 1.5, Width: mm(units.MM(f.Width) * 0.15), Height: mm(units.MM(f.Height) * 0.15)}
	f.Kind, f.Width, f.Height = "jpeg", 2000, 4000
}

// both adds the usual two films of the injured femur.
func (v *inventor) both() *inventor {
	return v.film(take{view: anatomy.AP}).film(take{view: anatomy.Lateral})
}

func (v *inventor) rim(r phantom.Round) (out []geom.Pt[units.Px]) {
	for _, p := range r.Rim(8) {
		out = append(out, v.slipped(p, 0.5))
	}
	return out
}

func ballProof(v *inventor, f *record.Film, tr phantom.Truth) {
	f.Evidence = append(f.Evidence, record.Evidence{ID: "ball-1", Kind: record.Ball, At: v.rim(tr.Balls[0]), Slip: 0.5, True: mm(tr.Balls[0].Across), AtBone: record.Yes})
}

// rulerProof takes the graduations 10 mm from either end.
func rulerProof(v *inventor, f *record.Film, tr phantom.Truth) {
	n := len(tr.Marks)
	f.Evidence = append(f.Evidence, record.Evidence{ID: "ruler-1", Kind: record.Ruler, Slip: 0.8, True: mm(units.MM(10 * (n - 3))), AtBone: record.Yes,
		At: []geom.Pt[units.Px]{v.slipped(tr.Marks[1], 0.8), v.slipped(tr.Marks[n-2], 0.8)}})
}

func discProof(v *inventor, f *record.Film, tr phantom.Truth) {
	f.Evidence = append(f.Evidence, record.Evidence{ID: "disc-1", Kind: record.Disc, At: v.rim(tr.Discs[0]), Slip: 0.5, True: mm(tr.Discs[0].Across), AtBone: record.Yes})
}

// markersProof takes ball 0 as the one behind and ball 1 as the one in front;
// the bone lies halfway.
func markersProof(v *inventor, f *record.Film, tr phantom.Truth) {
	half := 0.5
	f.Evidence = append(f.Evidence, record.Evidence{ID: "markers-1", Kind: record.TwoMarkers, At: v.rim(tr.Balls[0]), AtFront: v.rim(tr.Balls[1]), Slip: 0.5,
		True: mm(tr.Balls[0].Across), TrueFront: mm(tr.Balls[1].Across), Fraction: &half})
}

// distancesProof is a film with the spacing of the detector and its distances.
func distancesProof(_ *inventor, f *record.Film, _ phantom.Truth) {
	f.Kind, f.Tags = "dicom", &record.Tags{Modality: "DX", ImagerSpacing: &[2]float64{0.15, 0.15}}
	f.Evidence = append(f.Evidence, record.Evidence{ID: "distances-1", Kind: record.Distances, SID: mm(1150), SOD: mm(1000)})
}

func headerProof(_ *inventor, f *record.Film, _ phantom.Truth) {
	f.Kind, f.Tags = "dicom", &record.Tags{Modality: "DX", ImagerSpacing: &[2]float64{0.15, 0.15}}
}

func assumedProof(_ *inventor, f *record.Film, _ phantom.Truth) {
	factor := 1.15
	f.Kind, f.Tags = "dicom", &record.Tags{Modality: "DX", ImagerSpacing: &[2]float64{0.15, 0.15}}
	f.Evidence = append(f.Evidence, record.Evidence{ID: "assumed-1", Kind: record.Assumed, Factor: &factor})
}

// partProof measures along the nail that is in the bone.
func partProof(v *inventor, f *record.Film, tr phantom.Truth) {
	a, b := tr.At[anatomy.OldNailTop], tr.At[anatomy.OldNailLower]
	f.Evidence = append(f.Evidence, record.Evidence{ID: "part-1", Kind: record.KnownPart, Slip: 1, True: mm(360), Along: record.Yes,
		At: []geom.Pt[units.Px]{v.slipped(a.Film, 1), v.slipped(b.Film, 1)}})
}

// took adds a reading taken with the hands.
func (v *inventor) took(kind record.ReadingKind, first units.MM, more ...func(*record.Reading)) *inventor {
	r := record.Reading{ID: fmt.Sprintf("r-%d", len(v.c.Readings)+1), Kind: kind, At: fmt.Sprintf("2026-11-25T09:%02d:00Z", len(v.c.Readings)), First: mm(first), Reduced: record.Yes, OnBone: record.Yes}
	for _, m := range more {
		m(&r)
	}
	v.c.Readings = append(v.c.Readings, r)
	return v
}

// length is the true way from the trochanter tip to the distal target, the
// bone whole again.
func (v *inventor) length() units.MM {
	f := v.bone
	f.Break, f.Second, f.Neck2 = phantom.Break{}, phantom.Break{}, phantom.Crack{}
	tr, err := phantom.Know(f, phantom.Shoot(anatomy.AP, v.side, phantom.Whole))
	if err != nil {
		v.t.Fatal(err)
	}
	return tr.Whole.True
}
