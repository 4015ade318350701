package plan

import (
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
)

func kindsOut(r Removal) (out []string) {
	for _, p := range r.Parts {
		out = append(out, p.Part.Kind)
	}
	return out
}

func stepCodes(r Removal) (out []string) {
	for _, s := range r.Steps {
		out = append(out, s.Code)
	}
	return out
}

func brings(r Removal) (out []string) {
	for _, it := range r.Bring {
		out = append(out, it.Kind+" "+it.Fits)
	}
	return out
}

func TestRemoval(t *testing.T) {
	im := func(kind, drive string) record.Implant {
		return record.Implant{Kind: kind, Drive: drive, Diameter: mm(10), Length: mm(400)}
	}
	y := record.Yes
	for _, tt := range []struct {
		name     string
		c        record.Case
		of       string
		parts    []string
		steps    []string
		bring    []string
		unknown  []string
		problems []string
		source   string
	}{
		{name: "nothing", c: record.Case{}, source: "nothing to take out"},
		{name: "nothing in the way", c: record.Case{Injury: record.Injury{Implant: record.No}}, source: "nothing to take out"},
		{name: "something, not described", c: record.Case{Injury: record.Injury{Implant: y}}, of: "existing",
			steps: []string{"rem-films", "rem-undescribed"}, bring: []string{"screwdriver ", "extraction-bolt ", "sliding-hammer ", "other "},
			unknown: []string{"existing"}, problems: []string{"removal-undescribed"}, source: "common practice"},
		{name: "our nail", c: record.Case{Implants: []record.Implant{im(partNail, "thread 8 mm"), im(partLower, "hexagon 5 mm"), im(partUpper, "hexagon 5 mm"),
			im(partLocking, "hexagon 3.5 mm"), im(partLocking, "Hexagon 3,5mm"), im(partCap, "hexagon 5 mm")}}, of: "record",
			parts: []string{partCap, partLocking, partLocking, partUpper, partLower, partNail},
			steps: []string{"rem-films", "rem-cap", "rem-bolt", "rem-locking", "rem-head", "rem-pull", "rem-count", "rem-protect"},
			bring: []string{"screwdriver hexagon 5 mm", "screwdriver hexagon 3.5 mm", "extraction-bolt thread 8 mm", "sliding-hammer "}, source: "design: the bolt goes in while screws hold"},
		{name: "a nail without a cap, drive not known, broken screw", c: record.Case{Existing: []record.Implant{im(partNail, ""), {Kind: partLocking, Drive: "star 25", Broken: y}}}, of: "existing",
			parts: []string{partLocking, partNail},
			steps: []string{"rem-films", "rem-unknown", "rem-broken", "rem-cap-none", "rem-bolt", "rem-locking", "rem-pull", "rem-count", "rem-protect"},
			bring: []string{"screwdriver star 25", "extraction-bolt ", "sliding-hammer ", "other "}, unknown: []string{"existing[0].drive"},
			problems: []string{"removal-unknown", "removal-missing"}, source: "common practice"},
		{name: "a nail that no screw holds", c: record.Case{Existing: []record.Implant{im(partNail, "thread 8 mm")}}, of: "existing",
			parts: []string{partNail}, steps: []string{"rem-films", "rem-cap-none", "rem-bolt-loose", "rem-pull", "rem-count", "rem-protect"},
			bring: []string{"extraction-bolt thread 8 mm", "sliding-hammer "}, source: "common practice"},
		{name: "a plate with its screws", c: record.Case{Existing: []record.Implant{im(partLocking, "hexagon 3.5 mm"), im(partPlate, "hexagon 3.5 mm"), im(partOther, "")}}, of: "existing",
			parts: []string{partPlate, partOther, partLocking}, steps: []string{"rem-films", "rem-outside", "rem-locking", "rem-count", "rem-protect"},
			bring: []string{"screwdriver hexagon 3.5 mm"}, source: "common practice"},
		{name: "screws without a nail", c: record.Case{Existing: []record.Implant{im(partLower, "hexagon 5 mm")}}, of: "existing",
			parts: []string{partLower}, steps: []string{"rem-films", "rem-head", "rem-count"}, bring: []string{"screwdriver hexagon 5 mm"},
			problems: []string{"removal-no-nail"}, source: "head screws run through a nail"},
		{name: "two nails", c: record.Case{Existing: []record.Implant{im(partNail, "thread 8 mm"), im(partLocking, "hexagon 3.5 mm"), im(partNail, "thread 8 mm")}}, of: "existing",
			parts: []string{partLocking, partNail, partNail}, steps: []string{"rem-films", "rem-cap-none", "rem-bolt", "rem-locking", "rem-pull", "rem-count", "rem-protect"},
			bring: []string{"screwdriver hexagon 3.5 mm", "extraction-bolt thread 8 mm", "sliding-hammer "}, problems: []string{"removal-twice"}, source: "a canal holds one"},
		{name: "nothing known of the nail", c: record.Case{Existing: []record.Implant{{Kind: partNail, Broken: record.Unsure}}}, of: "existing", parts: []string{partNail},
			steps:   []string{"rem-films", "rem-unknown", "rem-cap-none", "rem-bolt-loose", "rem-pull", "rem-count", "rem-protect"},
			bring:   []string{"extraction-bolt ", "sliding-hammer "},
			unknown: []string{"existing[0].drive", "existing[0].diameter_mm", "existing[0].length_mm", "existing[0].broken"}, problems: []string{"removal-unknown"}, source: "nothing is guessed"},
	} {
		r, problems := removalOf(tt.c, implant.Teaching(), DefaultPolicy())
		if r.Of != tt.of || !slices.Equal(kindsOut(r), tt.parts) || !slices.Equal(stepCodes(r), tt.steps) || !slices.Equal(brings(r), tt.bring) ||
			!slices.Equal(r.Unknown, tt.unknown) || !slices.Equal(codesOf(problems), tt.problems) {
			t.Errorf("%s: %q %v\n %v\n %v\n %v %v\nwant %q %v\n %v\n %v\n %v %v (%s)", tt.name, r.Of, kindsOut(r), stepCodes(r), brings(r), r.Unknown, codesOf(problems),
				tt.of, tt.parts, tt.steps, tt.bring, tt.unknown, tt.problems, tt.source)
		}
	}
}

// The shelf gives the drive of what was taken from it, where it gives one
// only; of what was there before nothing is guessed.
func TestRemovalDrives(t *testing.T) {
	parts := []record.Implant{{Kind: partNail, Diameter: mm(11), Length: mm(400)}, {Kind: partLower, Diameter: mm(6.5), Length: mm(95)},
		{Kind: partLocking, Diameter: mm(5), Length: mm(44)}, {Kind: partCap, Length: mm(5)}, {Kind: partLocking, Diameter: mm(4), Length: mm(44)}}
	shelf := implant.Teaching()
	r, _ := removalOf(record.Case{Implants: parts}, shelf, DefaultPolicy())
	want := map[int]string{0: "thread 8 mm", 1: "hexagon 5 mm", 2: "hexagon 3.5 mm", 3: "hexagon 5 mm", 4: ""} // the teaching set; it has no 4 mm screw
	for _, p := range r.Parts {
		if p.Part.Drive != want[p.Index] {
			t.Errorf("part %d has drive %q, want %q", p.Index, p.Part.Drive, want[p.Index])
		}
	}
	r, _ = removalOf(record.Case{Existing: parts}, shelf, DefaultPolicy())
	for _, p := range r.Parts {
		if p.Part.Drive != "" {
			t.Errorf("a drive was guessed for part %d: %q", p.Index, p.Part.Drive)
		}
	}
	for i := range shelf.Locking {
		if shelf.Locking[i].Length == 44 {
			shelf.Locking = append(shelf.Locking, implant.Screw{ID: "second", Diameter: 5, Length: 44, Drive: "star 25"})
			break
		}
	}
	r, _ = removalOf(record.Case{Implants: parts[2:3]}, shelf, DefaultPolicy())
	if r.Parts[0].Part.Drive != "" {
		t.Errorf("of two drives on the shelf one was taken: %q", r.Parts[0].Part.Drive)
	}
}

func TestSameDrive(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want bool
	}{
		{"hexagon 5 mm", "Hexagon  5MM", true}, {"hexagon 3,5 mm", "hexagon 3.5 mm", true}, {"hexagon 5 mm", "hexagon 3.5 mm", false},
		{"hexagon 5 mm", "star 5 mm", false}, {"", "", false}, {" ", "", false}, {"hexagon 5 mm", "", false},
	} {
		if sameDrive(tt.a, tt.b) != tt.want || sameDrive(tt.b, tt.a) != tt.want {
			t.Errorf("%q and %q: want %v", tt.a, tt.b, tt.want)
		}
	}
}

// Law: whatever is in the bone and in whatever order it was written down,
// every part comes out exactly once; an end cap before the bolt, the bolt
// before every screw of the nail, the nail last.
func TestRemovalOrder(t *testing.T) {
	c := chance.New(5)
	kinds := append(slices.Clone(outOrder), partLocking, partLocking, "unheard of")
	bolts := 0
	for range 2000 {
		var parts []record.Implant
		for range 1 + int(c.Between(0, 9)) {
			parts = append(parts, record.Implant{Kind: kinds[int(c.Between(0, float64(len(kinds))))], Side: anatomy.Left})
		}
		one := record.Case{Existing: parts}
		if c.Between(0, 1) > 0.5 {
			one = record.Case{Implants: parts}
		}
		r, _ := removalOf(one, implant.Teaching(), DefaultPolicy())
		var seen []int
		last := -1
		for i, p := range r.Parts {
			if p.Order != i+1 || p.Part.Kind != parts[p.Index].Kind {
				t.Fatalf("part %d of %v: %+v", i, parts, p)
			}
			seen = append(seen, p.Index)
			rank := slices.Index(outOrder, p.Part.Kind)
			if rank < last {
				t.Fatalf("%v comes out of order", kindsOut(r))
			}
			last = rank
		}
		slices.Sort(seen)
		if len(slices.Compact(seen)) != len(parts) {
			t.Fatalf("%d of %d parts come out", len(slices.Compact(seen)), len(parts))
		}
		steps := stepCodes(r)
		at := func(codes ...string) int {
			return slices.IndexFunc(steps, func(s string) bool { return slices.Contains(codes, s) })
		}
		nail := slices.Contains(kindsOut(r), partNail)
		bolt := at("rem-bolt", "rem-bolt-loose")
		if (bolt >= 0) != nail || (at("rem-pull") >= 0) != nail {
			t.Fatalf("%v for %v", steps, kindsOut(r))
		}
		if !nail {
			continue
		}
		bolts++
		if cap := at("rem-cap", "rem-cap-none"); !(cap >= 0 && cap < bolt) {
			t.Fatalf("the cap does not come before the bolt: %v", steps)
		}
		for _, s := range []string{"rem-locking", "rem-head"} {
			if i := at(s); i >= 0 && !(bolt < i && i < at("rem-pull")) {
				t.Fatalf("%s does not lie between bolt and pull: %v", s, steps)
			}
		}
	}
	if bolts < 500 {
		t.Errorf("%d nails only", bolts)
	}
}
