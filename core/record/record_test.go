package record

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"isthmus/core/canon"
	"isthmus/core/geom"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// every returns the paths of all stored cases.
func every(t testing.TB) []string {
	return append(testkit.Files(t, "cases/*/case.json"), testkit.Files(t, "versions/*/*.json")...)
}

func load(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What is read is written again byte for byte; a file of an earlier version
// differs in its version only.
func TestCanonical(t *testing.T) {
	versions := map[int]int{}
	for _, path := range every(t) {
		b := load(t, path)
		c, err := Unmarshal(b)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		again, err := Marshal(c)
		for v := 1; v < Version; v++ {
			if was := fmt.Sprintf("\"version\": %d,", v); bytes.Contains(b, []byte(was)) {
				b = bytes.Replace(b, []byte(was), fmt.Appendf(nil, "\"version\": %d,", Version), 1)
				versions[v]++
				break
			}
		}
		if err != nil || !bytes.Equal(again, b) {
			t.Errorf("%s: writing what was read gives other bytes (%v)", path, err)
		}
	}
	if versions[1] < 5 || versions[2] < 1 {
		t.Errorf("only %d files of version 1 and %d of version 2 were read", versions[1], versions[2])
	}
}

// NaN, the infinities and absurd numbers are refused in every number of a case.
func TestEveryNumberIsBounded(t *testing.T) {
	n := 0
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300} {
		for i := range leaves(reflect.ValueOf(p(whole())).Elem()) {
			c := whole()
			v := leaves(reflect.ValueOf(&c).Elem())[i]
			if v.Kind() != reflect.Float64 {
				continue
			}
			n++
			v.SetFloat(bad)
			if len(Check(c)) == 0 {
				t.Errorf("value %d is %v and Check finds nothing", i, bad)
			}
			if b, err := Marshal(c); err == nil {
				t.Errorf("value %d is %v and was written: %d bytes", i, bad, len(b))
			}
		}
	}
	if n < 5*50 {
		t.Errorf("only %d numbers were tried", n)
	}
}

func TestIsTime(t *testing.T) {
	for _, tt := range []struct {
		s    string
		want bool
		from string
	}{
		{"2026-11-25T07:30:00Z", true, "RFC 3339, 5.6"},
		{"2000-02-29T23:59:59Z", true, "by hand: 2000 is divided by 400"},
		{"1900-02-29T00:00:00Z", false, "by hand: 1900 is divided by 100, not by 400"},
		{"2024-02-29T00:00:00Z", true, "by hand: 2024 is divided by 4"},
		{"2026-02-29T00:00:00Z", false, "by hand"},
		{"1970-01-01T00:00:00Z", true, "a device without its clock set must not lose a case"},
		{"2026-04-31T00:00:00Z", false, "April has 30 days"},
		{"2026-00-10T00:00:00Z", false, "no month 0"},
		{"2026-13-10T00:00:00Z", false, "no month 13"},
		{"2026-01-00T00:00:00Z", false, "no day 0"},
		{"2026-01-01T24:00:00Z", false, "RFC 3339, 5.6: hours 00 to 23"},
		{"2026-01-01T00:60:00Z", false, "RFC 3339, 5.6: minutes 00 to 59"},
		{"2026-12-31T23:59:60Z", false, "a leap second, not taken"},
		{"2026-11-25t07:30:00z", false, "one form only"},
		{"2026-11-25T07:30:00+00:00", false, "one form only"},
		{"2026-11-25T07:30:00.5Z", false, "one form only: times sort as text"},
		{"2026-11-25 07:30:00Z", false, "one form only"},
		{"2026-1١-25T07:30:00Z", false, "digits of another script"},
		{"", false, ""},
	} {
		if got := isTime(tt.s); got != tt.want {
			t.Errorf("isTime(%q) = %v, want %v (%s)", tt.s, got, tt.want, tt.from)
		}
	}
}

// found is one fault as a broken file shows it: place and kind.
func found(err error) (place, why string) {
	var field *FieldError
	var newer *NewerError
	var format *FormatError
	var damaged *DamagedError
	var limit *LimitError
	switch {
	case errors.As(err, &field):
		return field.Path, string(field.Why)
	case errors.As(err, &newer):
		return "", "newer"
	case errors.As(err, &format):
		return "", "format"
	case errors.As(err, &damaged):
		return damaged.Part, "damaged"
	case errors.As(err, &limit):
		return limit.What, "limit"
	}
	return "", fmt.Sprint(err)
}

func TestBrokenCases(t *testing.T) {
	seen := map[string]bool{"expect.txt": true}
	whys := map[string]bool{}
	for _, line := range strings.Split(string(testkit.Read(t, "broken/case/expect.txt")), "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		e := strings.Split(line, "\t")
		if len(e) != 4 {
			t.Fatalf("expect.txt: %q has %d parts, want 4", line, len(e))
		}
		seen[e[0]], whys[e[2]] = true, true
		t.Run(e[0], func(t *testing.T) {
			b := testkit.Read(t, "broken/case/"+e[0])
			var err error
			if strings.HasSuffix(e[0], ".json") {
				_, err = Unmarshal(b)
			} else {
				_, err = Unpack(b)
			}
			if place, why := found(err); place != e[1] || why != e[2] {
				t.Errorf("%s: fault %q at %q, want %q at %q: %v", e[3], why, place, e[2], e[1], err)
			}
		})
	}
	for _, path := range testkit.Files(t, "broken/case/*") {
		if !seen[filepath.Base(path)] {
			t.Errorf("%s is not in expect.txt", filepath.Base(path))
		}
	}
	for _, why := range everyWhy() {
		if !whys[why] {
			t.Errorf("no broken file for a fault of kind %q", why)
		}
	}
}

// everyWhy lists the kinds of fault that have a broken file; what is too large
// is tried in TestLimits without keeping a large file.
func everyWhy() []string {
	all := []string{"newer", "format", "damaged"}
	for _, w := range []Why{BadID, BadHash, BadTime, BadText, TooLong, TooMany, BadWord, BadNumber, BadRange, Outside,
		Twice, NotOfKind, NamesNone, Contradict} {
		all = append(all, string(w))
	}
	for _, w := range canon.Whys() {
		if w != canon.Size {
			all = append(all, string(w))
		}
	}
	return all
}

func TestZeroCaseClaimsNothing(t *testing.T) {
	if f := Check(NewCase("00112233445566778899aabbccddeeff", "2026-11-25T07:30:00Z")); len(f) != 0 {
		t.Errorf("a new case has faults: %v", f)
	}
	var paths []string
	for _, f := range Check(Case{}) {
		paths = append(paths, f.Path)
	}
	if want := []string{"id", "made", "edited"}; !slices.Equal(paths, want) {
		t.Errorf("the zero case has faults at %v, want %v", paths, want)
	}
}

// missing is one line of a table of what is missing.
type missing struct {
	name string
	got  []string
	want string
}

func (m missing) judge(t *testing.T) {
	t.Helper()
	if got := fmt.Sprint(m.got); got != m.want {
		t.Errorf("%s: Missing = %s, want %s", m.name, got, m.want)
	}
}

func TestMissing(t *testing.T) {
	mm := func(v units.MM) *units.MM { return &v }
	three := []geom.Pt[units.Px]{at(1, 1), at(2, 1), at(1, 2)}
	for _, tt := range []missing{
		{"empty ball", Evidence{Kind: Ball}.Missing(), "[at_px true_mm at_bone]"},
		{"ball of two points", Evidence{Kind: Ball, At: three[:2], True: mm(25), AtBone: Yes}.Missing(), "[at_px]"},
		{"whole ball", Evidence{Kind: Ball, At: three, Slip: 1, True: mm(25), AtBone: Unsure}.Missing(), "[]"},
		{"ruler of one point", Evidence{Kind: Ruler, At: three[:1], True: mm(100), AtBone: Yes}.Missing(), "[at_px]"},
		{"whole ruler", Evidence{Kind: Ruler, At: three[:2], True: mm(100), AtBone: Yes}.Missing(), "[]"},
		{"distances", Evidence{Kind: Distances}.Missing(), "[sid_mm sod_mm]"},
		{"distances with OID", Evidence{Kind: Distances, SID: mm(1150), OID: mm(150)}.Missing(), "[]"},
		{"header", Evidence{Kind: Header}.Missing(), "[]"},
		{"assumed", Evidence{Kind: Assumed}.Missing(), "[factor]"},
		{"empty rods", Reading{Kind: TwoRods}.Missing(), "[first_mm second_mm reduced on_bone]"},
		{"whole rods", Reading{Kind: TwoRods, First: mm(950), Second: mm(530), Reduced: No, OnBone: No}.Missing(), "[]"},
		{"empty skin", Reading{Kind: SkinRuler}.Missing(), "[first_mm reduced]"},
		{"empty wire", Reading{Kind: WireLower}.Missing(), "[first_mm on_bone]"},
	} {
		tt.judge(t)
	}
}

func TestMissingOfVersion2(t *testing.T) {
	mm := func(v units.MM) *units.MM { return &v }
	three := []geom.Pt[units.Px]{at(1, 1), at(2, 1), at(1, 2)}
	for _, tt := range []missing{
		{"empty balls", Evidence{Kind: TwoMarkers}.Missing(), "[at_px true_mm at_front_px true_front_mm fraction]"},
		{"balls of two points", Evidence{Kind: TwoMarkers, At: three[:2], AtFront: three[:2], True: mm(25), TrueFront: mm(25), Fraction: p(0.0)}.Missing(), "[at_px at_front_px]"},
		{"whole balls", Evidence{Kind: TwoMarkers, At: three, AtFront: three, Slip: 1, True: mm(25), TrueFront: mm(25), Fraction: p(1.0)}.Missing(), "[]"},
		{"empty part", Evidence{Kind: KnownPart}.Missing(), "[at_px true_mm at_bone along]"},
		{"part of one point", Evidence{Kind: KnownPart, At: three[:1], True: mm(5), AtBone: Yes, Along: No}.Missing(), "[at_px]"},
		{"whole part", Evidence{Kind: KnownPart, At: three[:2], True: mm(5), AtBone: No, Along: Unsure}.Missing(), "[]"},
		{"empty other leg", Reading{Kind: OtherTrial}.Missing(), "[first_mm on_bone]"},
		{"empty hole", Reading{Kind: DistalDepth}.Missing(), "[first_mm hole on_bone]"},
		{"whole hole", Reading{Kind: DistalDepth, First: mm(44), Hole: p(1), OnBone: Yes}.Missing(), "[]"},
		{"empty depth of the nail", Reading{Kind: BurialFound}.Missing(), "[first_mm]"},
		{"closed gap", Reading{Kind: GapFound, First: mm(0)}.Missing(), "[]"},
		{"empty length", Reading{Kind: LengthInjured}.Missing(), "[first_mm]"},
		{"empty length of the other", Reading{Kind: LengthSound}.Missing(), "[first_mm]"},
		{"empty turn", Reading{Kind: TurnInjured}.Missing(), "[angle_deg angle_two_deg]"},
		{"half a turn", Reading{Kind: TurnSound, Angle: p(units.Deg(0))}.Missing(), "[angle_two_deg]"},
		{"whole turn", Reading{Kind: TurnSound, Angle: p(units.Deg(0)), AngleTwo: p(units.Deg(-15))}.Missing(), "[]"},
		{"empty lesser", Reading{Kind: LesserInjured}.Missing(), "[first_mm]"},
		{"empty lesser of the other", Reading{Kind: LesserSound}.Missing(), "[first_mm]"},
	} {
		tt.judge(t)
	}
}

// Every case that can be read says the same when written and read again.
func FuzzUnmarshal(f *testing.F) {
	for _, path := range append(every(f), testkit.Files(f, "broken/case/*.json")...) {
		f.Add(load(f, path))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := Unmarshal(b)
		if err != nil {
			if _, why := found(err); err.Error() == "" || strings.HasPrefix(why, "record:") {
				t.Fatalf("an error of no known type: %v", err)
			}
			return
		}
		out, err := Marshal(c)
		if err != nil {
			t.Fatalf("read and not written: %v", err)
		}
		back, err := Unmarshal(out)
		if err != nil || !Equal(back, c) {
			t.Fatalf("read, written, and read differently: %v", err)
		}
		if again, _ := Marshal(back); !bytes.Equal(again, out) {
			t.Fatal("the second writing differs from the first")
		}
	})
}

func BenchmarkMarshal(b *testing.B) {
	c, err := Unmarshal(testkit.Read(b, "cases/mid-shaft/case.json"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Marshal(c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUnmarshal(b *testing.B) {
	data := testkit.Read(b, "cases/mid-shaft/case.json")
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Unmarshal(data); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleUnmarshal() {
	_, err := Unmarshal([]byte(`{"format": "isthmus-case", "version": 4, "case": {}}`))
	fmt.Println(err)
	// Output:
	// record: this case was made by a newer version of the app (file version 4, this app reads up to 3): update the app and open it again; nothing was changed
}
