package plan

import (
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/measure"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// apartFilm returns the film of a usual femur broken at a level, its lower
// piece 12 mm away, 8 mm aside and bent by 6°, marked without error.
func apartFilm(t *testing.T, i int, level units.MM, bone anatomy.Bone, reduced record.Answer, without ...anatomy.Landmark) shot {
	t.Helper()
	f := phantom.Usual()
	if bone == anatomy.Injured {
		f.Break = phantom.Break{Level: level, Gap: 12, Oblique: 10, Aside: 8, Bend: 6}
		if level < 160 {
			f.Second = phantom.Break{Level: 265, Oblique: 20}
		}
	}
	s := phantom.Shoot(anatomy.AP, anatomy.Left, phantom.Whole)
	s.Height = 4400
	tr, err := phantom.Know(f, s)
	if err != nil {
		t.Fatal(err)
	}
	film, _ := drawn(t, f, anatomy.AP, phantom.Whole)
	film.At = measure.Points{}
	for l, p := range tr.At {
		film.At[l] = measure.Placed{At: p.Film, Slip: 0.5}
	}
	for _, l := range without {
		delete(film.At, l)
	}
	return shot{i, record.Film{View: anatomy.AP, Bone: bone, Reduced: reduced}, film}
}

// The isthmus of the usual femur lies 175.8 mm below the tip (core/phantom:
// 412.4 less 0.55 · 430). A break at 140 leaves it on the lower piece, one at
// 260 on the upper.
func TestIsthmusOfPiecesApart(t *testing.T) {
	const is = 175.8
	for _, tt := range []struct {
		name  string
		films []shot
		given bool
		code  string
	}{
		{"on the lower piece", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No)}, false, "isthmus-beyond-break"},
		{"not asked whether at its length", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.NotAsked)}, false, "isthmus-beyond-break"},
		{"break not marked", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No, anatomy.FractureUpper)}, false, "isthmus-which-piece"},
		{"break not marked, isthmus above it", []shot{apartFilm(t, 0, 260, anatomy.Injured, record.No, anatomy.FractureUpper)}, false, "isthmus-which-piece"},
		{"on the upper piece", []shot{apartFilm(t, 0, 260, anatomy.Injured, record.No)}, true, ""},
		{"isthmus not marked", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No, anatomy.CanalA)}, false, ""},
		{"the other femur knows it", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No), apartFilm(t, 1, 0, anatomy.Sound, record.Yes)}, true, ""},
		{"the other film is as bad", []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No), apartFilm(t, 1, 150, anatomy.Injured, record.Unsure)}, false, "isthmus-beyond-break"},
	} {
		m := measuring{films: tt.films, p: DefaultPolicy()}
		var b Bone
		m.levels(&b)
		if tt.given != (b.Isthmus != nil) || tt.code == "" && has(m.problems, "isthmus-beyond-break") || tt.code != "" && !has(m.problems, tt.code) {
			t.Errorf("%s: %v, %v", tt.name, b.Isthmus, codesOf(m.problems))
		}
		if b.Isthmus != nil && heldBy(float64(b.Isthmus.Best)-is, float64(b.Isthmus.Doubt())) == 0 {
			t.Errorf("%s: %v, true %.1f", tt.name, b.Isthmus, is)
		}
		if len(tt.films) > 1 && b.Isthmus != nil && !(b.Isthmus.Own >= sideDoubt(m.p) && b.Isthmus.Shared == 0) {
			t.Errorf("%s: the other femur for this one's at %+v", tt.name, *b.Isthmus)
		}
		if b.Second != nil || b.FractureL != nil {
			t.Errorf("%s: beyond the break %v, %v", tt.name, b.Second, b.FractureL)
		}
	}
}

// What the films cannot give as a level they still say as an order: an answer
// “below the isthmus” is contradicted by a break above it, and a second break
// on the piece of the isthmus, surely more than 30 mm below it, asks for a
// third screw. By hand: 265 − 13.5 · tan 20° − 175.8 is 84.3 mm.
func TestOrderOfPiecesApart(t *testing.T) {
	m := measuring{films: []shot{apartFilm(t, 0, 140, anatomy.Injured, record.No)}, p: DefaultPolicy()}
	var b Bone
	m.levels(&b)
	if b.Past.Fracture == nil || b.Past.Second == nil || b.Past.Fracture.Own < piecesApart {
		t.Fatalf("%+v", b.Past)
	}
	if off := float64(b.Past.Second.Best) - 84.3; heldBy(off, float64(b.Past.Second.Doubt())) == 0 {
		t.Errorf("second break %v below the isthmus, true 84.3", b.Past.Second)
	}
	in := alone()
	in.Level = record.BelowIsthmus
	if _, problems := lock(in, b, m.p); !has(problems, "level-isthmus") {
		t.Errorf("said below the isthmus, lies above: %v", codesOf(problems))
	}
	in.Level = record.MidShaft
	if got, _ := lock(in, b, m.p); got.Distal != 3 {
		t.Errorf("a second break 84 mm below the isthmus: %d distal screws", got.Distal)
	}
}

// A shaft that is marked across a break that is apart says so and carries the
// doubt of the bend; marked on the upper piece it does not.
func TestShaftOnTwoPieces(t *testing.T) {
	own := func(s shot) (float64, bool) {
		m := measuring{films: []shot{s}, p: DefaultPolicy()}
		var b Bone
		m.head(&b)
		if b.NSA == nil {
			t.Fatal(codesOf(m.problems))
		}
		return float64(b.NSA.Own), has(m.problems, "neck-shaft-pieces")
	}
	across := apartFilm(t, 0, 200, anatomy.Injured, record.No)
	upper := apartFilm(t, 0, 200, anatomy.Injured, record.No)
	a, b := upper.At[anatomy.ShaftUpper].At, upper.At[anatomy.FractureUpper].At
	upper.At[anatomy.ShaftLower] = measure.Placed{At: a, Slip: 0.5}
	low := upper.At[anatomy.ShaftLower]
	low.At.Y = a.Y + 0.7*(b.Y-a.Y)
	upper.At[anatomy.ShaftLower] = low
	unmarked := apartFilm(t, 0, 200, anatomy.Injured, record.No, anatomy.FractureUpper)
	wide, said := own(across)
	small, quiet := own(upper)
	if !said || quiet || !(wide > 3.5 && small < 3) {
		t.Errorf("across the break u %.2f said %v, on one piece u %.2f said %v", wide, said, small, quiet)
	}
	if u, said := own(unmarked); !said || u < 3.5 {
		t.Errorf("break not marked: u %.2f said %v", u, said)
	}
	if _, said := own(apartFilm(t, 0, 200, anatomy.Injured, record.Yes)); said {
		t.Error("at its length, and the shaft is said to lie on two pieces")
	}
}

// The necks of both legs from the front: the beam makes both steeper, so that
// part is not in the doubt of their difference, and the turn of each leg is.
// By hand at 131°: u of one 2.4°, of which 1.9° is alike; √2 · 1.4 = 2.0°.
func TestNecksOfBothLegs(t *testing.T) {
	films := []shot{apartFilm(t, 0, 0, anatomy.Injured, record.Yes), apartFilm(t, 1, 0, anatomy.Sound, record.NotAsked)}
	one, err := measure.NeckShaftAngle(films[0].Film)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := alignOf(record.Case{}, films, DefaultPolicy())
	if a.Shaft == nil || !(a.Shaft.Own > 1.9 && a.Shaft.Own < one.Own) {
		t.Errorf("difference %v, one leg %v", a.Shaft, one)
	}
}
