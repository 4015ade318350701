package radiograph

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// uncleanable lists the films of the folder that cannot be cleaned.
var uncleanable = map[string]string{
	"films/odd/rtplan_truncated.dcm": "radiograph-unclean", // ends inside an element
}

// Cleaning changes nothing that the reader sees: same header, same refusals,
// same pixels; and a clean film is left as it is.
func TestCleanKeepsThePicture(t *testing.T) {
	opened := 0
	for _, kind := range []string{"dcm", "jpg", "png"} {
		for _, path := range testkit.Files(t, "films/*/*."+kind) {
			rel := "films/" + filepath.Base(filepath.Dir(path)) + "/" + filepath.Base(path)
			t.Run(rel, func(t *testing.T) {
				file := testkit.Read(t, rel)
				before := slices.Clone(file)
				clean, _, err := Clean(file)
				if !bytes.Equal(file, before) {
					t.Fatal("the file given was changed")
				}
				if want, refused := uncleanable[rel]; refused {
					if clean != nil || code(err) != want {
						t.Errorf("Clean = %v, %v, want %s", clean != nil, err, want)
					}
					return
				}
				if err != nil {
					t.Fatal(err)
				}
				if kind == "dcm" && len(clean) != len(file) && !strings.Contains(rel, "st_deflated") {
					t.Errorf("%d bytes, were %d", len(clean), len(file))
				}
				checkClean(t, file, clean)
				if samePicture(t, file, clean) {
					opened++
				}
			})
		}
	}
	if opened < 60 {
		t.Errorf("%d films opened and compared, want at least 60", opened)
	}
}

// checkClean fails unless a clean film is left as it is.
func checkClean(t *testing.T, file, clean []byte) {
	t.Helper()
	again, left, err := Clean(clean)
	if err != nil || !bytes.Equal(again, clean) || len(left) > 0 {
		t.Errorf("cleaned twice: %v, same %v, left %v", err, bytes.Equal(again, clean), left)
	}
}

// samePicture compares what two files open to, frame by frame, and reports
// whether they open.
func samePicture(t *testing.T, file, clean []byte) bool {
	t.Helper()
	want, wantErr := ReadHeader(file)
	got, gotErr := ReadHeader(clean)
	if fmt.Sprint(gotErr) != fmt.Sprint(wantErr) {
		t.Errorf("ReadHeader says %v, said %v", gotErr, wantErr)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("header\n%+v, was\n%+v", got, want)
	}
	for i := range max(want.Frames, 1) {
		a, errA := Open(file, Options{Frame: i})
		b, errB := Open(clean, Options{Frame: i})
		if fmt.Sprint(errA) != fmt.Sprint(errB) {
			t.Errorf("frame %d: %v, was %v", i, errB, errA)
		}
		if errA != nil || errB != nil {
			return false
		}
		if !reflect.DeepEqual(a, b) {
			t.Errorf("frame %d: another image", i)
		}
	}
	return true
}

// Films with a fault: what can be cleaned reads as before, the rest is refused
// with a code, and nothing panics.
func TestCleanBroken(t *testing.T) {
	cleaned := 0
	for _, path := range testkit.Files(t, "broken/films/*") {
		name := filepath.Base(path)
		file := testkit.Read(t, "broken/films/"+name)
		clean, _, err := Clean(file)
		_, openErr := Open(file, Options{})
		var c coded
		switch {
		case err != nil && (clean != nil || !errors.As(err, &c)):
			t.Errorf("%s: %v with %d bytes", name, err, len(clean))
		case err != nil && openErr == nil:
			t.Errorf("%s opens and is not cleaned: %v", name, err)
		case err == nil:
			cleaned++
			checkClean(t, file, clean)
			_, err := Open(clean, Options{})
			if (err == nil) != (openErr == nil) || err != nil && code(err) != code(openErr) {
				t.Errorf("%s: opens with %v, did with %v", name, err, openErr)
			}
		}
	}
	if cleaned < 50 {
		t.Errorf("%d broken films cleaned, want at least 50", cleaned)
	}
}

// What is refused, and how. By hand: each file has one fault.
func TestCleanRefuses(t *testing.T) {
	film := func(extra ...[]byte) []byte { return sample16(explicitLE, slices.Concat(extra...)) }
	item := func(length uint32, body []byte) []byte {
		return append(binary.LittleEndian.AppendUint32([]byte{0xFE, 0xFF, 0x00, 0xE0}, length), body...)
	}
	textSyntax := film()
	copy(textSyntax[bytes.Index(textSyntax, []byte(explicitLE)):], "1.2.840.10008.JANE.")
	open := append([]byte{0x28, 0, 0x04, 0x0A, 'U', 'N', 0, 0, 0xFF, 0xFF, 0xFF, 0xFF}, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
	jpg := testkit.Read(t, "films/real/331_DDH_1.jpg")
	png := testkit.Read(t, "films/photo/rg2_8bit.png")
	for _, tt := range []struct {
		name string
		file []byte
		want string // of the error
		why  string // of what it wraps
	}{
		{"nothing", nil, "radiograph-empty", ""},
		{"no film", []byte("dear colleague, the films are in the post"), "radiograph-not-film", ""},
		{"too large", make([]byte, MaxFile+1), "radiograph-limit-file", ""},
		{"WebP", testkit.Read(t, "broken/films/picture.webp"), "radiograph-unsupported-picture", ""},
		{"HEIC", testkit.Read(t, "broken/films/picture.heic"), "radiograph-unsupported-picture", ""},
		{"transfer syntax with a name", textSyntax, "radiograph-unclean", "radiograph-personal"},
		{"spacing that is a person", film(put(nil, 0x00280030, "PN", []byte("DOE^JANE"))), "radiograph-unclean", "radiograph-personal"},
		{"calibration without a length", film(open), "radiograph-unclean", "radiograph-personal"},
		{"table that is no sequence", film(put(nil, tagVOI, "SQ", []byte("DOE^JANE"))), "radiograph-unclean", "radiograph-cut-header"},
		{"table with an item past its end", film(put(nil, tagVOI, "SQ", item(90, nil))), "radiograph-unclean", "radiograph-cut-header"},
		{"header cut", film()[:160], "radiograph-unclean", "radiograph-cut-header"},
		{"element past the end", append(film()[:170], 0x10, 0, 0x10, 0, 'P', 'N', 0xFF, 0, 'D'), "radiograph-unclean", "radiograph-cut-header"},
		{"pieces cut", testkit.Read(t, "broken/films/cut_in_fragment.dcm"), "radiograph-unclean", "radiograph-cut-pixels"},
		{"nesting", testkit.Read(t, "broken/films/nesting.dcm"), "radiograph-unclean", "radiograph-limit-nesting"},
		{"deflate bomb", testkit.Read(t, "broken/films/deflate_bomb.dcm"), "radiograph-unclean", "radiograph-limit-inflated"},
		{"JPEG without an end", jpg[:len(jpg)-2], "radiograph-unclean", "radiograph-cut-pixels"},
		{"JPEG segment past the end", []byte("\xFF\xD8\xFF\xFE\x01\x00DOE"), "radiograph-unclean", "radiograph-cut-pixels"},
		{"JPEG segment of length 1", []byte("\xFF\xD8\xFF\xFE\x00\x01DOE\xFF\xD9"), "radiograph-unclean", "radiograph-bad-code"},
		{"JPEG unknown part", []byte("\xFF\xD8\xFF\xF2\x00\x05DOE\xFF\xD9"), "radiograph-unsupported-jpeg", ""},
		{"PNG cut", png[:len(png)-13], "radiograph-unclean", "radiograph-cut-pixels"},
		{"PNG end mark with a body", append(png[:len(png)-12:len(png)-12], "\x00\x00\x00\x03IENDDOE\x00\x00\x00\x00"...), "radiograph-unclean", "radiograph-bad-code"},
		{"PNG unknown critical part", append(png[:8:8], "\x00\x00\x00\x03DOeSDOE\x00\x00\x00\x00"...), "radiograph-unsupported-picture", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			clean, removed, err := Clean(tt.file)
			if clean != nil || removed != nil || code(err) != tt.want {
				t.Fatalf("Clean = %d bytes, %v, %v, want %s", len(clean), removed, err, tt.want)
			}
			why := errors.Unwrap(err)
			if tt.why != "" && code(why) != tt.why || tt.why == "" && why != nil {
				t.Errorf("because of %v, want %s", why, tt.why)
			}
			if s := err.Error(); strings.Contains(s, "DOE") || strings.Contains(s, "JANE") || !strings.HasPrefix(s, "radiograph: ") {
				t.Errorf("%q", s)
			}
			if tt.why != "" && (!strings.Contains(err.Error(), "not stored") || strings.Count(err.Error(), "radiograph: ") != 1) {
				t.Errorf("%q does not say once that the film was not stored", err)
			}
		})
	}
}

// A UID of ours is as long as the one it stands for, a UID by PS3.5, 9.1,
// always the same, told from every other, and left alone.
func TestCleanUID(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	seen := map[string]bool{}
	for n := shortUID; n <= 64; n++ {
		for range 50 {
			b := []byte("1.2.276.0.7230010.3.1.4.")
			for len(b) < n {
				b = append(b, byte('0'+r.Intn(10)))
			}
			old := string(b[:n])
			got := cleanUID(old)
			if len(got) != n || !isUID(got) || got == old || cleanUID(old) != got || cleanUID(got) != got || !strings.HasPrefix(got, "2.25.") {
				t.Fatalf("cleanUID(%q) = %q", old, got)
			}
			parts := strings.Split(got, ".")
			for i, p := range parts {
				if p == "" || p[0] == '0' && len(p) > 1 || i == 2 && len(p) > 38 {
					t.Fatalf("cleanUID(%q) = %q: part %q", old, got, p)
				}
			}
			if n > 24 && strings.Contains(got, old[16:24]) {
				t.Errorf("cleanUID(%q) = %q holds a part of it", old, got)
			}
			if n > 30 && seen[got] {
				t.Errorf("cleanUID(%q) = %q was there before", old, got)
			}
			seen[got] = true
		}
	}
	for _, bad := range []string{"", "1.2.3", "1.2.840.113619.2.55", "1.2.276.0.7230010.DOE^JANE", strings.Repeat("1.", 40)} {
		if got := cleanUID(bad); got != "" {
			t.Errorf("cleanUID(%q) = %q, want nothing", bad, got)
		}
	}
}

// FuzzClean: never a panic, never much longer, and nothing left to clean. What
// opens after cleaning has the size it had before.
func FuzzClean(f *testing.F) {
	for _, b := range seeds(f, 5_000) {
		f.Add(b)
	}
	for _, b := range planted(f) {
		f.Add(b)
	}
	f.Add(plantedJPEG(f))
	f.Add(plantedPNG(f))
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 1<<16 {
			fuzzClean(t, b)
		}
	})
}

func fuzzClean(t *testing.T, b []byte) {
	t.Helper()
	clean, _, err := Clean(b)
	if err != nil {
		var c coded
		if clean != nil || !errors.As(err, &c) || c.Error() == "" {
			t.Fatalf("%d bytes with error %v", len(clean), err)
		}
		return
	}
	// Packing anew can take more than the file did: five bytes for 65,535 that
	// do not pack, and what another packer does better.
	if h, _ := ReadHeader(b); h.SyntaxName == "deflated" {
		if len(clean) > 2*len(b)+64 {
			t.Fatalf("%d bytes of %d", len(clean), len(b))
		}
	} else if len(clean) > len(b)+64 {
		t.Fatalf("%d bytes of %d", len(clean), len(b))
	}
	checkClean(t, b, clean)
	was, wasErr := ReadHeader(b)
	is, isErr := ReadHeader(clean)
	if wasErr != nil {
		return
	}
	a, _ := was.Tags()
	c, _ := is.Tags()
	if isErr != nil || is.Rows != was.Rows || is.Columns != was.Columns || is.Orientation != was.Orientation || !reflect.DeepEqual(a, c) {
		t.Fatalf("%v: %+v, was %+v", isErr, is, was)
	}
}

// Random damage, as in TestMutations.
func TestCleanMutations(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	all := append(seeds(t, 30_000), planted(t)...)
	for range 2000 {
		b := slices.Clone(all[r.Intn(len(all))])
		mutate(r, &b)
		fuzzClean(t, b)
	}
}

func BenchmarkClean(b *testing.B) {
	for _, film := range []string{"real/RG2_JPLL.dcm", "variants/st_deflated.dcm", "photo/o6.jpg", "photo/rg2_8bit.png"} {
		file := testkit.Read(b, "films/"+film)
		b.Run(filepath.Base(film), func(b *testing.B) {
			b.SetBytes(int64(len(file)))
			for b.Loop() {
				if _, _, err := Clean(file); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
