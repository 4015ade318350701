package implant

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

func TestTeachingIsSound(t *testing.T) {
	s := Teaching()
	for _, f := range Check(s) {
		t.Error(f.Error())
	}
	if !s.Teaching || !strings.Contains(s.Name, "invented") {
		t.Errorf("the teaching set is called %q, teaching %v: it must say that it is invented", s.Name, s.Teaching)
	}
	// by hand: 2 sides × 5 diameters × 10 lengths; 70…125 by 5; 26…80 by 2; 0 5 10 15; 8.5…15 by 0.5; one of each tool and a second screwdriver and gauge
	got := []int{len(s.Nails), len(s.Head), len(s.Locking), len(s.Caps), len(s.Reamers), len(s.Rods), len(s.Tools)}
	if want := []int{100, 12, 28, 4, 14, 2, 10}; !slices.Equal(got, want) {
		t.Errorf("the teaching set has %v parts of each kind, want %v", got, want)
	}
}

func TestLookUps(t *testing.T) {
	s := Teaching()
	s.Nails = append(s.Nails, Nail{ID: "x", Diameter: 10, Length: 500, Stock: 1, Side: anatomy.NoSide})
	for _, tt := range []struct {
		name string
		got  []units.MM
		want string
	}{
		{"lengths", s.Lengths(anatomy.Left, 10), "[300 320 340 360 380 400 420 440 460 480 500]"},
		{"lengths out of stock are left out", s.Lengths(anatomy.Right, 13), "[340 360 380 400 420 440 460 480]"},
		{"no such diameter", s.Lengths(anatomy.Left, 10.5), "[]"},
		{"no side: only what fits either", s.Lengths(anatomy.NoSide, 10), "[500]"},
		{"diameters", s.Diameters(anatomy.Right), "[9 10 11 12 13]"},
		{"all lengths", s.AllLengths(anatomy.NoSide), "[500]"},
		{"head screws", s.HeadLengths(Lower, 6.5), "[70 75 80 85 90 95 100 105 110 115 120 125]"},
		{"head screws of another diameter", s.HeadLengths(Lower, 8), "[]"},
		{"caps", s.CapHeights(), "[0 5 10 15]"},
		{"reamers", s.ReamerDiameters()[:4], "[8.5 9 9.5 10]"},
		{"rods", s.RodLengths(GuideRod), "[950]"},
		{"wires", s.RodLengths(GuideWire), "[400]"},
		{"locking", s.LockingLengths(5)[:3], "[26 28 30]"},
		{"head locking only", s.WithHeadLocking().Lengths(anatomy.NoSide, 10), "[]"},
	} {
		bare := []float64{}
		for _, v := range tt.got {
			bare = append(bare, float64(v))
		}
		if got := fmt.Sprint(bare); got != tt.want {
			t.Errorf("%s = %s, want %s", tt.name, got, tt.want)
		}
	}
}

func TestHeadScrewPlaces(t *testing.T) {
	s := Shelf{Head: []Screw{
		{ID: "a", Place: Lower, Diameter: 6.5, Length: 95, Stock: 2},
		{ID: "b", Place: Upper, Diameter: 6.5, Length: 85, Stock: 1},
		{ID: "c", Diameter: 6.5, Length: 90, Stock: 1},
		{ID: "d", Diameter: 6.5, Length: 95, Stock: 3},
		{ID: "e", Place: Lower, Diameter: 6.5, Length: 100},
	}}
	for _, tt := range []struct {
		place Place
		want  []units.MM
	}{
		{Lower, []units.MM{90, 95}}, {Upper, []units.MM{85, 90, 95}}, {EitherPlace, []units.MM{90, 95}},
	} {
		if got := s.HeadLengths(tt.place, 6.5); !slices.Equal(got, tt.want) {
			t.Errorf("HeadLengths(%q) = %v, want %v", tt.place, got, tt.want)
		}
	}
	if got := s.HasHead(Lower, 6.5, 95); got != 5 { // by hand: 2 + 3
		t.Errorf("HasHead(lower, 95) = %d, want 5", got)
	}
	if got := s.HasHead(Upper, 6.5, 100); got != 0 {
		t.Errorf("HasHead(upper, 100) = %d, want 0", got)
	}
}

func TestHasNailPrefers(t *testing.T) {
	s := Shelf{Nails: []Nail{
		{ID: "either", Diameter: 10, Length: 400, Stock: 9},
		{ID: "l2", Side: anatomy.Left, Diameter: 10, Length: 400, Stock: 2},
		{ID: "l1", Side: anatomy.Left, Diameter: 10, Length: 400, Stock: 2},
		{ID: "l3", Side: anatomy.Left, Diameter: 10, Length: 400, Stock: 1},
		{ID: "none", Side: anatomy.Right, Diameter: 11, Length: 400},
	}}
	for _, tt := range []struct {
		side anatomy.Side
		dia  units.MM
		want string
	}{{anatomy.Left, 10, "l1"}, {anatomy.Right, 10, "either"}, {anatomy.Right, 11, ""}} {
		if n, ok := s.HasNail(tt.side, tt.dia, 400); n.ID != tt.want || ok != (tt.want != "") {
			t.Errorf("HasNail(%s, %v) = %q, %v, want %q", tt.side, tt.dia, n.ID, ok, tt.want)
		}
	}
}

// Looking up changes nothing.
func TestLookUpsDoNotTouch(t *testing.T) {
	s := Teaching()
	s.WithHeadLocking()
	s.HasNail(anatomy.Left, 10, 400)
	s.Diameters(anatomy.Left)
	WriteJSON(s)
	WriteCSV(s)
	if !reflect.DeepEqual(s, Teaching()) {
		t.Error("a look-up or a writer changed the shelf")
	}
}

func TestRoundTrip(t *testing.T) {
	small := Teaching()
	small.Nails, small.Teaching, small.Name = small.Nails[:2], false, "Å, \"quoted\" – name"
	small.Nails[0].HeadAngle, small.Nails[0].HeadSpacing, small.Nails[0].HeadDepth, small.Nails[0].HeadDia = 0, 0, 0, 0
	small.Nails[0].Distal, small.Nails[1].Side = nil, anatomy.NoSide
	small.Head[0].Place, small.Head[1].Place, small.Caps = Lower, Upper, nil
	for _, s := range []Shelf{Teaching(), small, {Name: "Empty"}, fullest()} {
		for name, way := range ways {
			b := way.write(s)
			got, err := way.read(b)
			if err != nil {
				t.Fatalf("%s of %q: %v", name, s.Name, err)
			}
			if !reflect.DeepEqual(got, s) {
				t.Errorf("%s of %q: what was read differs from what was written", name, s.Name)
			}
			if !bytes.Equal(way.write(got), b) {
				t.Errorf("%s of %q: the second writing differs", name, s.Name)
			}
		}
	}
}

var ways = map[string]struct {
	read  func([]byte) (Shelf, error)
	write func(Shelf) []byte
}{"JSON": {ParseJSON, WriteJSON}, "CSV": {ParseCSV, WriteCSV}}

// fullest is the largest shelf that passes Check: it must fit into a file.
func fullest() Shelf {
	s := Shelf{Name: strings.Repeat("東", maxName)}
	for i := range maxParts {
		n := Nail{ID: strings.Repeat("東", maxID-6) + fmt.Sprintf("%06d", i), Side: anatomy.Right, Stock: maxStock,
			Diameter: 10.125, Length: 300.001 + units.MM(i)/8, Proximal: 15.125, BowRadius: 15000.125, HeadAngle: 130.125,
			HeadSpacing: 12.125, HeadDepth: 60.125, HeadDia: 6.125, LockingDia: 5.125}
		n.Length = units.MM(math.Round(float64(n.Length)*1000) / 1000)
		for h := range maxHoles {
			n.Distal = append(n.Distal, Hole{FromTip: 110.125 - units.MM(h), Plane: Transverse, Slot: true})
		}
		n.Drive = strings.Repeat("東", maxDrive)
		s.Nails = append(s.Nails, n)
	}
	s.Nails = s.Nails[:maxParts-maxTools]
	for i := range maxTools {
		tool := Tool{ID: strings.Repeat("西", maxID-6) + fmt.Sprintf("%06d", i), Kind: ParallelSleeve, Stock: maxStock,
			Fits: strings.Repeat("東", maxDrive), Note: strings.Repeat("東", maxNote-6) + fmt.Sprintf("%06d", i)}
		for o := range maxOff {
			tool.Offsets = append(tool.Offsets, units.MM(o-maxOff)-0.125)
		}
		s.Tools = append(s.Tools, tool)
	}
	return s
}

// A shelf that does not pass Check is not written at all.
func TestWriteRefuses(t *testing.T) {
	s := Teaching()
	s.Nails[3].Length = units.MM(math.NaN())
	if WriteJSON(s) != nil || WriteCSV(s) != nil {
		t.Error("a shelf with NaN was written")
	}
	faults := Check(s)
	if len(faults) != 1 || faults[0].Why != BadNumber || faults[0].path() != "nails[3].length_mm" {
		t.Errorf("Check = %v, want one fault %q at nails[3].length_mm", faults, BadNumber)
	}
}

func TestCheckBoundsRows(t *testing.T) {
	s := fullest()
	s.Nails = append(s.Nails, s.Nails...)
	if f := Check(s); len(f) != 1 || f[0].Why != TooMany {
		t.Errorf("Check of %d rows found %d faults, want one %q", len(s.Nails), len(f), TooMany)
	}
}

// NaN and both infinities are found in every number that a shelf has.
func TestCheckFindsEveryNaN(t *testing.T) {
	n := 0
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		count := len(floats(reflect.ValueOf(ptr(oneOfEach())).Elem()))
		for i := range count {
			s := oneOfEach()
			floats(reflect.ValueOf(&s).Elem())[i].SetFloat(bad)
			if len(Check(s)) == 0 {
				t.Errorf("number %d of the shelf is %v and Check finds nothing", i, bad)
			}
			n++
		}
	}
	if n != 3*22 { // by hand: 9 of a nail, 1 of a hole, 2 + 2 of screws, 1 cap, 1 reamer, 2 of a rod, 4 of a tool
		t.Errorf("%d numbers were tried, want 66", n)
	}
}

func ptr[T any](v T) *T { return &v }

func oneOfEach() Shelf {
	s := Teaching()
	s.Nails, s.Head, s.Locking, s.Caps, s.Reamers, s.Rods = s.Nails[:1], s.Head[:1], s.Locking[:1], s.Caps[:1], s.Reamers[:1], s.Rods[:1]
	s.Tools = s.Tools[6:7]
	s.Nails[0].Distal = s.Nails[0].Distal[:1]
	return s
}

func floats(v reflect.Value) (out []reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		return []reflect.Value{v}
	case reflect.Struct:
		for i := range v.NumField() {
			out = append(out, floats(v.Field(i))...)
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = append(out, floats(v.Index(i))...)
		}
	}
	return out
}

func TestSemicolonTable(t *testing.T) {
	s, err := ParseCSV(testkit.Read(t, "shelf/semicolons.csv"))
	if err != nil {
		t.Fatal(err)
	}
	want := Shelf{
		Name: "Small set (invented)",
		Nails: []Nail{
			{ID: "S-N-1", Side: anatomy.Left, Diameter: 10, Length: 400, Proximal: 15, BowRadius: 1500, HeadAngle: 130,
				HeadSpacing: 12, HeadDepth: 60, HeadDia: 6.5, LockingDia: 5, Stock: 2,
				Distal: []Hole{{50, Transverse, true}, {35.5, Transverse, false}, {20, Sagittal, false}}},
			{ID: "S-N-2", Diameter: 9, Length: 380, Proximal: 13.5, BowRadius: 1500, LockingDia: 5, Stock: 1},
		},
		Head:    []Screw{{ID: "S-H-1", Diameter: 6.5, Length: 95, Stock: 3}},
		Caps:    []Cap{{ID: "S-C-1"}},
		Reamers: []Head{{ID: "S-R-1", Diameter: 8.5, Stock: 1}},
	}
	if !reflect.DeepEqual(s, want) {
		t.Errorf("ParseCSV = %+v, want %+v", s, want)
	}
}

func TestSmallTable(t *testing.T) {
	if _, err := ParseCSV(testkit.Read(t, "shelf/small.csv")); err != nil {
		t.Fatalf("the table from which the broken ones are made is itself broken: %v", err)
	}
}

// The faults of a table are listed together, up to 20, the rest is counted.
func TestTableErrorCounts(t *testing.T) {
	b := "part,id,diameter_mm,stock\n"
	for range 25 {
		b += "reamer-head,R,x,1\n"
	}
	var e *TableError
	if _, err := ParseCSV([]byte(b)); !errors.As(err, &e) || len(e.Faults) != 20 || e.More != 5 || e.Faults[19].Row != 21 {
		t.Errorf("ParseCSV = %v, want 20 faults, the last in row 21, and 5 more", err)
	}
}

// Two equal parts name each other by their spreadsheet rows.
func TestTableNamesTwins(t *testing.T) {
	_, err := ParseCSV(testkit.Read(t, "broken/shelf/id-twice.csv"))
	if err == nil || !strings.Contains(err.Error(), "the same as in row 3") {
		t.Errorf("ParseCSV = %v, want the row of the first", err)
	}
}

// seeds adds every shelf file there is, and fails when there is none.
func seeds(f *testing.F, ext string) {
	for _, dir := range []string{"broken/shelf/*", "shelf/*"} {
		for _, path := range testkit.Files(f, dir) {
			b, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			if strings.HasSuffix(path, ext) {
				f.Add(b)
			}
		}
	}
	f.Add(ways[strings.ToUpper(ext)].write(oneOfEach()))
}

// If it can be read, writing it and reading it again gives the same shelf.
func again(t *testing.T, b []byte, kind string) {
	s, err := ways[kind].read(b)
	if err != nil {
		if err.Error() == "" {
			t.Fatal("an error without words")
		}
		return
	}
	for name, way := range ways {
		back, err := way.read(way.write(s))
		if err != nil || !reflect.DeepEqual(back, s) {
			t.Fatalf("%s read, then written and read as %s: %v\n%+v\n%+v", kind, name, err, s, back)
		}
	}
}

func FuzzParseCSV(f *testing.F) {
	seeds(f, "csv")
	f.Fuzz(func(t *testing.T, b []byte) { again(t, b, "CSV") })
}

func FuzzParseJSON(f *testing.F) {
	seeds(f, "json")
	f.Fuzz(func(t *testing.T, b []byte) { again(t, b, "JSON") })
}

func BenchmarkParseJSON(b *testing.B) {
	data := WriteJSON(Teaching())
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := ParseJSON(data); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleParseCSV() {
	_, err := ParseCSV([]byte("part;id;kind;diameter_mm;stock\nshelf;Ward 3;hospital;;\nreamer-head;R-9;;9,5;\n"))
	fmt.Println(err)
	// Output:
	// implant: the table was not read. Correct these and import it again: row 3, stock: found an empty cell, need a value for every reamer-head; empty is not zero
}
