package plan

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// Law: the same case gives the same plan, and Make changes nothing it is given.
func TestMakeIsAFunction(t *testing.T) {
	for _, name := range caseNames(t) {
		c := loadCase(t, name)
		before := record.Clone(c)
		a, b := For(c, implant.Teaching()), For(c, implant.Teaching())
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two plans of one case differ", name)
		}
		if !record.Equal(c, before) {
			t.Errorf("%s: the case was changed", name)
		}
	}
}

// mirrored returns the case of the other side: every film turned left for
// right, every side named for the other.
func mirrored(c record.Case) record.Case {
	c = record.Clone(c)
	c.Side = c.Side.Other()
	for _, parts := range [][]record.Implant{c.Implants, c.Existing} {
		for i := range parts {
			parts[i].Side = parts[i].Side.Other()
		}
	}
	for i := range c.Films {
		f := &c.Films[i]
		flip := func(p geom.Pt[units.Px]) geom.Pt[units.Px] {
			p.X = units.Px(f.Width-1) - p.X
			return p
		}
		for j := range f.Points {
			f.Points[j].At = flip(f.Points[j].At)
		}
		for j := range f.Evidence {
			for k := range f.Evidence[j].At {
				f.Evidence[j].At[k] = flip(f.Evidence[j].At[k])
			}
		}
		if f.Tags != nil {
			f.Tags.Laterality = map[string]string{"L": "R", "R": "L"}[f.Tags.Laterality]
		}
	}
	return c
}

// Law: a mirrored case gives the same sizes.
func TestMirror(t *testing.T) {
	decided := 0
	for _, name := range caseNames(t) {
		c := loadCase(t, name)
		a, b := For(c, implant.Teaching()), For(otherLeg(c), implant.Teaching())
		same := a.Nail.Length == b.Nail.Length && a.Nail.Diameter == b.Nail.Diameter && a.Locking.Pattern == b.Locking.Pattern &&
			a.Head.Lower.Ask == b.Head.Lower.Ask && a.Head.Upper.Ask == b.Head.Upper.Ask && len(a.Problems) == len(b.Problems)
		if !same {
			t.Errorf("%s: mirrored %v × %v, %v, %v, %v; %v × %v", name, b.Nail.Diameter, b.Nail.Length, b.Locking.Pattern, b.Head.Lower.Ask, codesOf(b.Problems), a.Nail.Diameter, a.Nail.Length)
		}
		if a.Nail.Length > 0 {
			decided++
		}
		if a.Nail.Part != nil && (b.Nail.Part == nil || a.Nail.Part.Side == b.Nail.Part.Side) {
			t.Errorf("%s: the part for the other side is the same", name)
		}
	}
	if decided == 0 {
		t.Error("no case decides a length: this law checks nothing")
	}
}

// Law: a larger slip of every point never makes a close choice clear.
func TestMakeMoreDoubtIsNeverClearer(t *testing.T) {
	for _, name := range caseNames(t) {
		c := loadCase(t, name)
		was := false
		for _, times := range []units.Px{1, 2, 4, 8} {
			d := record.Clone(c)
			for i := range d.Films {
				for j := range d.Films[i].Points {
					d.Films[i].Points[j].Slip *= times
				}
			}
			pl := For(d, implant.Teaching())
			if was && pl.Nail.Length > 0 && !pl.Nail.Close && len(pl.Bone.Routes) == 1 {
				t.Errorf("%s: close at less doubt, not at %v times", name, times)
			}
			was = pl.Nail.Close
		}
	}
}

// A case with nothing in it gives no size and says what is missing.
func TestNothingDecidesNothing(t *testing.T) {
	pl := For(record.Case{}, implant.Teaching())
	checkPlan(t, pl)
	if pl.Nail.Length != 0 || pl.Nail.Diameter != 0 || pl.Nail.Part != nil || pl.Locking.Pattern != NoPattern || pl.Locking.Distal != 0 ||
		pl.Head.Lower.Ask != 0 || pl.Head.Upper.Ask != 0 || pl.Reaming.Heads != nil {
		t.Errorf("something was decided from nothing: %+v", pl)
	}
	for _, code := range []string{"side-missing", "neck-not-cleared", "level-missing", "length-missing", "canal-missing"} {
		if !has(pl.Problems, code) {
			t.Errorf("%s is not said: %v", code, codesOf(pl.Problems))
		}
	}
}

// An injured film that nobody called reduced gives no length.
func TestUnreducedFilmGivesNoLength(t *testing.T) {
	tried := 0
	for _, name := range caseNames(t) {
		c := record.Clone(loadCase(t, name))
		c.Readings = nil
		for i := range c.Films {
			if c.Films[i].Bone == anatomy.Injured {
				c.Films[i].Reduced = record.Unsure
				tried++
			}
		}
		for _, r := range For(c, implant.Teaching()).Bone.Routes {
			if r.Kind == RouteFilm {
				t.Errorf("%s: a film that is not reduced gave %v", name, r.Length)
			}
		}
	}
	if tried == 0 {
		t.Error("no injured film among the cases")
	}
}

// The header of the wrong side is a stop that names both fields.
func TestSideContradiction(t *testing.T) {
	f := record.Film{View: anatomy.AP, Bone: anatomy.Injured, Tags: &record.Tags{Laterality: "R"}}
	got := checkFilm(0, f, anatomy.Left)
	if len(got) != 1 || got[0].Code != "side-contradiction" || got[0].Level != Stop || len(got[0].Fields) != 3 || got[0].Facts[1].Word != "right" || got[0].Facts[3].Word != "left" {
		t.Errorf("got %v", got)
	}
	f.Bone = anatomy.Sound
	if got := checkFilm(0, f, anatomy.Left); len(got) != 0 {
		t.Errorf("the sound side of a left case is right: %v", got)
	}
}

// The letter that is seen on the film counts as the header does, and a letter
// that reads the wrong way round is said whatever it says.
func TestLetterOnTheFilm(t *testing.T) {
	for _, tt := range []struct {
		name   string
		letter record.Letter
		reads  record.Answer
		bone   anatomy.Bone
		side   anatomy.Side
		want   []string
	}{
		{"right letter, left case", record.LetterRight, record.Yes, anatomy.Injured, anatomy.Left, []string{"letter-contradiction"}},
		{"right letter, other femur of a left case", record.LetterRight, record.Yes, anatomy.Sound, anatomy.Left, nil},
		{"left letter, left case", record.LetterLeft, record.NotAsked, anatomy.Injured, anatomy.Left, nil},
		{"reads the wrong way round", record.LetterLeft, record.No, anatomy.Injured, anatomy.Left, []string{"letter-mirrored"}},
		{"wrong both ways", record.LetterRight, record.No, anatomy.Injured, anatomy.Left, []string{"letter-contradiction", "letter-mirrored"}},
		{"unsure how it reads", record.LetterLeft, record.Unsure, anatomy.Injured, anatomy.Left, nil},
		{"no letter", record.LetterNone, record.NotAsked, anatomy.Injured, anatomy.Left, nil},
		{"side not known", record.LetterRight, record.Yes, anatomy.Injured, anatomy.NoSide, nil},
	} {
		f := record.Film{View: anatomy.AP, Bone: tt.bone, Letter: tt.letter, LetterReads: tt.reads}
		if got := codesOf(checkFilm(0, f, tt.side)); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
	if got := checkFilm(0, record.Film{View: anatomy.AP, Bone: anatomy.Injured, Letter: record.LetterRight}, anatomy.Left); got[0].Level != Stop {
		t.Errorf("a letter of the other side is %s, want a stop", got[0].Level)
	}
}

// entropy turns fuzz bytes into a case of any shape.
type entropy struct{ b []byte }

func (e *entropy) next() byte {
	if len(e.b) == 0 {
		return 0
	}
	v := e.b[0]
	e.b = e.b[1:]
	return v
}

func (e *entropy) number() float64 {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e300, -1e300, 5e-324, 25, 100, 1150, 1000, 150, 98, 420, 950, 530}
	if v := e.next(); int(v) < len(odd) {
		return odd[v]
	} else if v < 128 {
		return float64(v)
	}
	return float64(e.next())*16 + float64(e.next())/16
}

func (e *entropy) mm() *units.MM {
	if e.next()%4 == 0 {
		return nil
	}
	return mm(units.MM(e.number()))
}

func (e *entropy) float() *float64 { return (*float64)(e.mm()) }

func (e *entropy) pair() *[2]float64 {
	if e.next()%3 == 0 {
		return nil
	}
	return &[2]float64{e.number() / 1000, e.number() / 1000}
}

func (e *entropy) answer() record.Answer {
	return []record.Answer{record.NotAsked, record.Yes, record.No, record.Unsure, "maybe"}[e.next()%5]
}

func (e *entropy) point() geom.Pt[units.Px] {
	return geom.Pt[units.Px]{X: units.Px(e.number()), Y: units.Px(e.number())}
}

func (e *entropy) points(n int) (out []geom.Pt[units.Px]) {
	for range n {
		out = append(out, e.point())
	}
	return out
}

func (e *entropy) film() record.Film {
	f := record.Film{Width: 3000, Height: 3000, Reduced: e.answer(),
		View: []anatomy.View{"", anatomy.AP, anatomy.AP, anatomy.Lateral}[e.next()%4],
		Bone: []anatomy.Bone{"", anatomy.Injured, anatomy.Injured, anatomy.Sound}[e.next()%4],
		Tags: &record.Tags{PixelSpacing: e.pair(), ImagerSpacing: e.pair(), ScannedSpacing: e.pair(), Factor: e.float(), SID: e.float(), SOD: e.float(),
			Laterality: []string{"", "L", "R", "x"}[e.next()%4], Calibration: []string{"", "FIDUCIAL", "GEOMETRY"}[e.next()%3]}}
	kinds := []record.EvidenceKind{record.Ball, record.Disc, record.Ruler, record.Distances, record.Header, record.Assumed, "odd"}
	for i := range int(e.next() % 4) {
		f.Evidence = append(f.Evidence, record.Evidence{ID: string(rune('a' + i)), Kind: kinds[int(e.next())%len(kinds)], At: e.points(int(e.next() % 7)),
			Slip: units.Px(e.number()), True: e.mm(), AtBone: e.answer(), HMarker: e.mm(), HBone: e.mm(), SID: e.mm(), SOD: e.mm(), OID: e.mm(), Factor: e.float()})
	}
	for _, l := range anatomy.Landmarks(anatomy.AP) {
		if e.next()%3 > 0 {
			f.Points = append(f.Points, record.Point{Name: l, At: e.point(), Slip: units.Px(e.number())})
		}
	}
	return f
}

func (e *entropy) record() record.Case {
	c := record.Case{Side: []anatomy.Side{"", anatomy.Left, anatomy.Right, "up"}[e.next()%4]}
	c.Injury = record.Injury{Neck: e.answer(), NeckByCT: e.answer(), NeckByFilm: e.answer(), OpenPhysis: e.answer(), Infection: e.answer(),
		Implant: e.answer(), Atypical: e.answer(), Pathologic: e.answer(),
		Code:  []string{"", "32A3(b)", "32C3(k)", "31A1", "nonsense"}[e.next()%5],
		Level: []record.Level{"", record.NearLesser, record.Subtrochanter, record.MidShaft, record.BelowIsthmus}[e.next()%5]}
	for range int(e.next() % 4) {
		c.Films = append(c.Films, e.film())
	}
	for range int(e.next() % 5) {
		c.Readings = append(c.Readings, record.Reading{Kind: []record.ReadingKind{record.TwoRods, record.SkinRuler, record.WireLower, record.WireUpper}[e.next()%4],
			First: e.mm(), Second: e.mm(), Reduced: e.answer(), OnBone: e.answer(), OffBone: e.mm(), GapLeft: e.mm(), Subtracts: e.mm()})
	}
	for range int(e.next() % 3) {
		c.Settings = append(c.Settings, record.Setting{Key: knobs[int(e.next())%len(knobs)].Key, Value: e.number()})
	}
	return c
}

// Whatever a case holds, a plan comes out: no panic, no NaN, no reason or
// problem that the table does not know, and no size without its grounds.
func FuzzMake(f *testing.F) {
	for _, path := range testkit.Files(f, "cases/*/case.json") {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		cases := []record.Case{(&entropy{b}).record()}
		if c, err := record.Unmarshal(b); err == nil {
			cases = append(cases, c)
		}
		for _, c := range cases {
			pl := For(c, implant.Teaching())
			checkPlan(t, pl)
			if pl.Nail.Length > 0 && (pl.Bone.Length == nil || pl.Bone.Disputed) {
				t.Error("a nail length without a bone length")
			}
			if pl.Nail.Length > 0 && !(pl.Nail.Length <= pl.Nail.Room.Best+guard) {
				t.Errorf("nail %v is longer than its room %v", pl.Nail.Length, pl.Nail.Room.Best)
			}
			for _, s := range []ScrewChoice{pl.Head.Lower, pl.Head.Upper} {
				if s.Ask > 0 && !(s.Ask <= s.Room.Best+guard) {
					t.Errorf("screw %v is longer than its room %v", s.Ask, s.Room.Best)
				}
			}
		}
	})
}

// A shelf with odd parts never gives an odd plan.
func TestOddShelf(t *testing.T) {
	nan := units.MM(math.NaN())
	shelf := implant.Shelf{
		Nails: []implant.Nail{{Side: "left", Diameter: nan, Length: 400, Stock: 1}, {Diameter: 10, Length: units.MM(math.Inf(1)), Stock: 1},
			{Diameter: 10, Length: 400, Stock: -3}, {Diameter: -10, Length: -400, Stock: 1}},
		Head:    []implant.Screw{{Length: nan, Diameter: 6.5, Stock: 1}, {Length: units.MM(math.Inf(1)), Stock: 2}},
		Reamers: []implant.Head{{Diameter: nan, Stock: 1}},
	}
	for _, name := range caseNames(t) {
		pl := For(loadCase(t, name), shelf)
		checkPlan(t, pl)
		if pl.Nail.Length != 0 || pl.Nail.Part != nil || pl.Head.Lower.Ask != 0 {
			t.Errorf("%s: chosen from a shelf of nonsense: %+v", name, pl.Nail)
		}
	}
}

func TestPlanIsJSON(t *testing.T) {
	for _, name := range caseNames(t) {
		if _, err := json.Marshal(For(loadCase(t, name), implant.Teaching())); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkMake(b *testing.B) {
	for _, name := range caseNames(b) {
		c, shelf, p := loadCase(b, name), implant.Teaching(), DefaultPolicy()
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Make(c, shelf, p)
			}
		})
	}
}
