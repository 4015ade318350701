package record

import (
	"bytes"
	"errors"
	"reflect"
	"testing"

	"isthmus/core/testkit"
)

func TestPackRoundTrip(t *testing.T) {
	for name, f := range map[string]File{
		"all":      {Case: whole(), Shelf: wholeFile(whole()).Shelf, Films: map[string][]byte{sumOf([]byte("film one")): []byte("film one"), sumOf([]byte("a second film")): []byte("a second film")}},
		"one film": wholeFile(whole()),
		"case":     {Case: NewCase("00112233445566778899aabbccddeeff", "2026-11-25T07:30:00Z")},
	} {
		b, err := Pack(f)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		got, err := Unpack(b)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !Equal(got.Case, f.Case) || !bytes.Equal(got.Shelf, f.Shelf) || len(got.Films) != len(f.Films) {
			t.Errorf("%s: what was unpacked differs from what was packed", name)
		}
		for sum, film := range f.Films {
			if !bytes.Equal(got.Films[sum], film) {
				t.Errorf("%s: film %s differs", name, sum)
			}
		}
		again, err := Pack(got)
		if err != nil || !bytes.Equal(again, b) {
			t.Errorf("%s: packing what was unpacked gives other bytes (%v)", name, err)
		}
	}
}

// Every bit of a case file that is turned, every byte cut off the end and
// every byte added is seen, and before the content is looked at.
func TestEveryFlippedByte(t *testing.T) {
	small := File{Case: NewCase("00112233445566778899aabbccddeeff", "2026-11-25T07:30:00Z"), Shelf: []byte("{}\n"), Films: wholeFile(whole()).Films}
	small.Case.Films = whole().Films[1:2]
	b, err := Pack(small)
	if err != nil {
		t.Fatal(err)
	}
	for i := range b {
		for _, flip := range []byte{1, 2, 4, 8, 16, 32, 64, 128, 255} {
			b[i] ^= flip
			refused(t, b, "byte", i)
			b[i] ^= flip
		}
		refused(t, b[:i], "cut at", i)
	}
	for _, c := range []byte{0, '\n', ' ', 'x'} {
		refused(t, append(bytes.Clone(b), c), "added", int(c))
	}
	if _, err := Unpack(b); err != nil {
		t.Fatalf("the file itself is refused: %v", err)
	}
}

func refused(t *testing.T, b []byte, what string, i int) {
	t.Helper()
	_, err := Unpack(b)
	_, why := found(err)
	if err == nil || why != "damaged" && why != "format" && why != "newer" {
		t.Errorf("%s %d: %v, want the file refused as damaged, as no case file, or as newer", what, i, err)
	}
}

// A damaged byte of a part names this part.
func TestDamageNamesItsPart(t *testing.T) {
	b, err := Pack(wholeFile(whole()))
	if err != nil {
		t.Fatal(err)
	}
	b[len(b)-1] ^= 1
	var d *DamagedError
	if _, err := Unpack(b); !errors.As(err, &d) || d.Part != filmPrefix+sumOf([]byte("film one")) {
		t.Errorf("Unpack = %v, want damage in the film", err)
	}
}

func TestPackRefuses(t *testing.T) {
	film := sumOf([]byte("film one"))
	broken := whole()
	broken.Side = "R"
	longer := whole()
	longer.Films[0].Bytes, longer.Films[1].Bytes = 9, 9
	for _, tt := range []struct {
		name       string
		f          File
		place, why string
	}{
		{"a case with a fault", File{Case: broken}, "side", "word"},
		{"an empty shelf", File{Case: whole(), Shelf: []byte{}}, "", "format"},
		{"a film nobody names", File{Case: whole(), Films: map[string][]byte{sumOf([]byte("x")): []byte("x")}}, "", "format"},
		{"other bytes than the name", File{Case: whole(), Films: map[string][]byte{film: []byte("film two")}}, "film/" + film, "damaged"},
		{"another length than the case", File{Case: longer, Films: map[string][]byte{film: []byte("film one")}}, "", "format"},
	} {
		b, err := Pack(tt.f)
		if place, why := found(err); place != tt.place || why != tt.why || b != nil {
			t.Errorf("%s: Pack = %v, want %q at %q", tt.name, err, tt.why, tt.place)
		}
	}
}

// A file put together by another program is read: the broken files stand
// beside one that is whole and was made by hand in another language.
func TestUnpackForeign(t *testing.T) {
	for version, want := range map[string]Case{"v1": wholeV1(), "v2": wholeV2(), "v3": whole()} {
		f, err := Unpack(testkit.Read(t, "versions/"+version+"/foreign.isthmus"))
		if err != nil || !Equal(f.Case, want) || string(f.Shelf) != "{}\n" || len(f.Films) != 1 {
			t.Errorf("%s: Unpack = %+v, %v, want the whole case, a shelf of three bytes and one film", version, f, err)
		}
	}
}

// If a file can be unpacked, packing it again gives a file that says the same.
func FuzzUnpack(f *testing.F) {
	for _, path := range append(testkit.Files(f, "versions/*/*.isthmus"), testkit.Files(f, "broken/case/*.isthmus")...) {
		f.Add(load(f, path))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		file, err := Unpack(b)
		if err != nil {
			if _, why := found(err); len(why) > 20 {
				t.Fatalf("an error of no known type: %v", err)
			}
			return
		}
		out, err := Pack(file)
		if err != nil {
			t.Fatalf("unpacked and not packed: %v", err)
		}
		back, err := Unpack(out)
		if err != nil || !Equal(back.Case, file.Case) || !reflect.DeepEqual(back.Films, file.Films) ||
			!bytes.Equal(back.Shelf, file.Shelf) || !reflect.DeepEqual(back.Absent, file.Absent) {
			t.Fatalf("unpacked, packed and unpacked differently: %v", err)
		}
	})
}

// The list of parts and what follows it may say anything under a true sum: it
// is refused in this room's own words or read.
func FuzzList(f *testing.F) {
	for _, path := range append(testkit.Files(f, "versions/*/*.isthmus"), testkit.Files(f, "broken/case/*.isthmus")...) {
		b := load(f, path)
		head, body, _ := bytes.Cut(b, []byte("end "))
		_, lines, _ := bytes.Cut(head, []byte("\n"))
		f.Add(lines, body[min(len(body), 65):])
	}
	f.Fuzz(func(t *testing.T, lines, body []byte) {
		b := append([]byte("isthmus-file 1\n"), lines...)
		b = append(b, "end "+sumOf(b)+"\n"...)
		b = append(b, body...)
		file, err := Unpack(b)
		if err != nil {
			if _, why := found(err); len(why) > 20 {
				t.Fatalf("an error of no known type: %v", err)
			}
			return
		}
		if out, err := Pack(file); err != nil || len(out) > len(b)+MaxCase {
			t.Fatalf("unpacked and not packed: %v", err)
		}
	})
}
