package radiograph

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// A sample is one line of testdata/reference/films.sha256.
type sample struct {
	sum           string
	width, height int
	file          string // below testdata
	frame         int
}

func references(t testing.TB) []sample { return referencesOf(t, "reference/films.sha256", 60) }

func referencesOf(t testing.TB, file string, least int) []sample {
	t.Helper()
	var out []sample
	lines := bufio.NewScanner(bytes.NewReader(testkit.Read(t, file)))
	for lines.Scan() {
		f := strings.Fields(lines.Text())
		if len(f) != 5 || f[0] == "#" {
			continue
		}
		s := sample{sum: f[0], file: f[4]}
		s.width, _ = strconv.Atoi(f[1])
		s.height, _ = strconv.Atoi(f[2])
		if name, frame, ok := strings.Cut(f[4], "#"); ok {
			s.file = name
			s.frame, _ = strconv.Atoi(frame)
		}
		out = append(out, s)
	}
	if len(out) < least {
		t.Fatalf("%d reference samples, want at least %d", len(out), least)
	}
	return out
}

// sum hashes the stored values as the reference does.
func sum(im *Image) string {
	h := sha256.New()
	row := make([]byte, 2*im.Width)
	for y := range im.Height {
		for x, v := range im.Pix[y*im.Width:][:im.Width] {
			s := int32(v) + im.Offset
			row[2*x], row[2*x+1] = byte(s), byte(s>>8)
		}
		h.Write(row)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Every film with a reference opens to exactly the same samples.
// Source: DCMTK 3.6.7 and netpbm, see the head of the reference file.
func TestFilmsAreExact(t *testing.T) {
	for _, s := range references(t) {
		t.Run(fmt.Sprintf("%s#%d", s.file, s.frame), func(t *testing.T) {
			im, err := Open(testkit.Read(t, s.file), Options{Frame: s.frame})
			if err != nil {
				t.Fatal(err)
			}
			if im.Width != s.width || im.Height != s.height || len(im.Pix) != s.width*s.height {
				t.Fatalf("%d × %d with %d samples, want %d × %d", im.Width, im.Height, len(im.Pix), s.width, s.height)
			}
			if got := sum(im); got != s.sum {
				t.Errorf("samples have SHA-256 %s, want %s", got, s.sum)
			}
			if im.Header.Rows != im.Height || im.Header.Columns != im.Width {
				t.Errorf("header says %d × %d", im.Header.Columns, im.Header.Rows)
			}
		})
	}
}

// refused lists the films that are sound or damaged files we do not open.
var refused = []struct{ file, code, why string }{
	{"films/odd/ExplVR_BigEndNoMeta.dcm", "radiograph-no-pixels", "a header without a picture"},
	{"films/odd/empty_charset_LEI.dcm", "radiograph-no-pixels", "a header without a picture"},
	{"films/odd/rtplan_truncated.dcm", "radiograph-cut-header", "ends inside an element"},
	{"films/odd/badVR.dcm", "radiograph-unsupported-bits", "32 bits: a dose map"},
	{"films/odd/liver_deflate.dcm", "radiograph-unsupported-bits", "1 bit: a mask"},
	{"films/odd/ct_55_retired.dcm", "radiograph-unsupported-syntax", "retired progressive JPEG"},
	{"films/variants/st_no_pixels.dcm", "radiograph-no-pixels", "a header without a picture"},
	{"films/variants/st_rows_lie.dcm", "radiograph-sizes", "1000 rows, samples for 267"},
	{"films/variants/st_truncated_60pct.dcm", "radiograph-cut-pixels", "60 % of the file"},
}

type coded interface {
	error
	Code() string
}

func code(err error) string {
	var c coded
	if errors.As(err, &c) {
		return c.Code()
	}
	return fmt.Sprint("no code: ", err)
}

func TestFilmsRefused(t *testing.T) {
	for _, tt := range refused {
		t.Run(tt.file, func(t *testing.T) {
			im, err := Open(testkit.Read(t, tt.file), Options{})
			if im != nil || code(err) != tt.code {
				t.Errorf("Open = %v, %q, want %s (%s)", im != nil, code(err), tt.code, tt.why)
			}
			if err != nil && !strings.HasPrefix(err.Error(), "radiograph: ") {
				t.Errorf("%q does not start with the room", err)
			}
		})
	}
}

// Pictures stored with loss decode a little differently in every decoder:
// their brightness is compared in a grid. Source: djpeg, see the head of the
// reference file. One grey level, as decoders differ by rounding only.
func TestPicturesLookTheSame(t *testing.T) {
	n := 0
	lines := bufio.NewScanner(bytes.NewReader(testkit.Read(t, "reference/pictures.txt")))
	for lines.Scan() {
		f := strings.Fields(lines.Text())
		if len(f) != 67 || f[0] == "#" {
			continue
		}
		n++
		im, err := Open(testkit.Read(t, f[0]), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if w, h := strconv.Itoa(im.Width), strconv.Itoa(im.Height); w != f[1] || h != f[2] {
			t.Fatalf("%s is %s × %s, want %s × %s", f[0], w, h, f[1], f[2])
		}
		for i := range 64 {
			want, _ := strconv.ParseFloat(f[3+i], 64)
			testkit.Near(t, fmt.Sprintf("%s field %d", f[0], i), mean(im, i%8, i/8), want, 1)
		}
	}
	if n != 4 {
		t.Fatalf("%d pictures compared, want 4", n)
	}
}

func mean(im *Image, i, j int) float64 {
	x0, x1, y0, y1 := im.Width*i/8, im.Width*(i+1)/8, im.Height*j/8, im.Height*(j+1)/8
	t := 0
	for y := y0; y < y1; y++ {
		for _, v := range im.Pix[y*im.Width+x0 : y*im.Width+x1] {
			t += int(v)
		}
	}
	return float64(t) / float64((x1-x0)*(y1-y0))
}

// Every film in the folder is accounted for: exact, refused or in a grid.
func TestFilmsAreAllAccountedFor(t *testing.T) {
	known := map[string]bool{
		// Opens; DCMTK refuses its header, so there is no reference. Its
		// samples are checked in TestExplicitThatIsImplicit.
		"films/odd/SC_rgb_jpeg.dcm": true,
	}
	for _, s := range references(t) {
		known[s.file] = true
	}
	for _, s := range referencesOf(t, "reference/jpeg2000.sha256", 20) {
		known[s.file] = true
	}
	for _, r := range refused {
		known[r.file] = true
	}
	for _, line := range strings.Split(string(testkit.Read(t, "reference/pictures.txt")), "\n") {
		known[strings.SplitN(line, " ", 2)[0]] = true
	}
	root := filepath.Join(testkit.Root(t), "testdata")
	for _, kind := range []string{"dcm", "jpg", "png"} {
		for _, path := range testkit.Files(t, "films/*/*."+kind) {
			rel, err := filepath.Rel(root, path)
			if err != nil {
				t.Fatal(err)
			}
			if rel = filepath.ToSlash(rel); !known[rel] {
				t.Errorf("%s is tested nowhere", rel)
			}
			delete(known, rel)
		}
	}
	delete(known, "")
	delete(known, "#")
	for file := range known {
		t.Errorf("%s is in a table and not in the folder", file)
	}
}

// A file that says explicit and is implicit opens with a warning. By hand:
// the picture's colours are those of a test card, white and black among them.
func TestExplicitThatIsImplicit(t *testing.T) {
	im, err := Open(testkit.Read(t, "films/odd/SC_rgb_jpeg.dcm"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !noted(im.Header, SyntaxGuessed) || !noted(im.Header, ColourAsGrey) || im.Width != 256 || im.Height != 256 {
		t.Errorf("%d × %d, %v", im.Width, im.Height, im.Header.Warnings)
	}
}

func noted(h Header, n Note) bool {
	for _, w := range h.Warnings {
		if w.Note == n {
			return true
		}
	}
	return false
}

// Frames beyond the file are refused.
func TestFrameOutside(t *testing.T) {
	b := testkit.Read(t, "films/variants/px_multiframe3.dcm")
	for _, f := range []int{-1, 3, 1 << 40} {
		if _, err := Open(b, Options{Frame: f}); code(err) != "radiograph-no-frame" {
			t.Errorf("frame %d: %v", f, err)
		}
	}
	if _, err := Open(testkit.Read(t, "films/real/331_DDH_1.jpg"), Options{Frame: 1}); code(err) != "radiograph-no-frame" {
		t.Errorf("frame 1 of a picture: %v", err)
	}
}

// Progress rises and ends at 1.
func TestProgressRises(t *testing.T) {
	for _, file := range []string{"films/variants/ts_70_jpeg_lossless_sv1.dcm", "films/variants/ts_80_jpegls_lossless.dcm",
		"films/variants/ts_5_rle.dcm", "films/variants/ts_50_jpeg_baseline.dcm", "films/real/331_DDH_1.jpg"} {
		last := -1.0
		_, err := Open(testkit.Read(t, file), Options{Progress: func(d float64) {
			if !(d >= last && d <= 1) {
				t.Errorf("%s: progress %v after %v", file, d, last)
			}
			last = d
		}})
		if err != nil || last != 1 {
			t.Errorf("%s: %v, ended at %v", file, err, last)
		}
	}
}

// No header keeps a name or number of a patient, and no copied film an
// institution.
func TestNothingOfThePatient(t *testing.T) {
	seen := 0
	for _, path := range testkit.Files(t, "films/*/*.dcm") {
		rel := "films/" + filepath.Base(filepath.Dir(path)) + "/" + filepath.Base(path)
		b := testkit.Read(t, rel)
		h, _ := ReadHeader(b)
		text := fmt.Sprintf("%+v", h)
		f := &dicom{elements: map[tag]element{}}
		pos, uid, err := f.meta(b)
		if err != nil || f.settle(b, pos, uid) != nil {
			continue
		}
		for w := newWalker(f.b, 0, f.at); w.more(); seen++ {
			e, err := w.next()
			if err != nil || e.tag == tagPixels {
				break
			}
			v := cleanText(e.value)
			if (e.tag == 0x00080080 || e.tag == 0x00080081) && v != "" {
				t.Errorf("%s names an institution in %v: %q", rel, e.tag, v)
			}
			if (e.tag == 0x00100010 || e.tag == 0x00100020) && v != "" && strings.Contains(text, v) {
				t.Errorf("%s: the header keeps %v %q", rel, e.tag, v)
			}
		}
	}
	if seen < 1000 {
		t.Errorf("only %d elements read: this test looks in the wrong place", seen)
	}
	for _, film := range []string{"RG2_JPLL.dcm", "RG2_JPLY.dcm"} {
		if b := testkit.Read(t, "films/real/"+film); bytes.Contains(b, []byte("HUP")) {
			t.Errorf("%s still names its institution", film)
		}
	}
}
