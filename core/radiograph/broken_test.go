package radiograph

import (
	"path/filepath"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// One small file per fault, and what must be said about it: a code of an
// error, or "opens" and the note that must be there ("" for none at all).
var broken = []struct{ file, want, note, fault string }{
	{"empty.dcm", "radiograph-empty", "", "no bytes"},
	{"not_a_film.dcm", "radiograph-not-film", "", "a text named .dcm"},
	{"cut_in_meta.dcm", "radiograph-cut-header", "", "150 bytes of a file"},
	{"cut_in_header.dcm", "radiograph-cut-header", "", "ends inside an element"},
	{"cut_in_pixels.dcm", "radiograph-cut-pixels", "", "50 bytes of samples missing"},
	{"cut_in_fragment.dcm", "radiograph-cut-pixels", "", "ends inside a piece"},
	{"length_past_end.dcm", "radiograph-cut-header", "", "an element of 2 GB"},
	{"no_pixels.dcm", "radiograph-no-pixels", "", "a header only"},
	{"no_fragments.dcm", "radiograph-no-pixels", "", "an offset table only"},
	{"float_pixels.dcm", "radiograph-unsupported-bits", "", "floating-point samples"},
	{"zero_rows.dcm", "radiograph-bad-value", "", "0 rows"},
	{"zero_columns.dcm", "radiograph-bad-value", "", "0 columns"},
	{"zero_bits.dcm", "radiograph-bad-value", "", "0 bits allocated"},
	{"stored_over_allocated.dcm", "radiograph-bad-value", "", "17 of 16 bits"},
	{"high_bit_low.dcm", "radiograph-bad-value", "", "12 bits below bit 5"},
	{"one_bit.dcm", "radiograph-unsupported-bits", "", "a mask"},
	{"thirty_two_bits.dcm", "radiograph-unsupported-bits", "", "a dose map"},
	{"two_samples.dcm", "radiograph-bad-value", "", "2 samples a pixel"},
	{"colour_model.dcm", "radiograph-unsupported-colour", "", "HSV"},
	{"rgb_one_sample.dcm", "radiograph-bad-value", "", "RGB with 1 sample"},
	{"palette_missing.dcm", "radiograph-bad-value", "", "a palette without tables"},
	{"huge.dcm", "radiograph-limit-samples", "", "40,000 × 40,000"},
	{"rows_lie.dcm", "radiograph-sizes", "", "one row more than samples"},
	{"frames_lie.dcm", "radiograph-sizes", "", "3 frames, samples for 1"},
	{"frames_many.dcm", "radiograph-limit-frames", "", "999,999 frames"},
	{"frames_no_fragments.dcm", "radiograph-frames", "", "3 frames in 1 piece"},
	{"nesting.dcm", "radiograph-limit-nesting", "", "40 sequences inside each other"},
	{"sequence_open.dcm", "radiograph-cut-header", "", "a sequence without an end"},
	{"deflate_bomb.dcm", "radiograph-limit-inflated", "", "66 kB that unpack to 66 MB"},
	{"deflate_elements.dcm", "radiograph-limit-elements", "", "210,000 elements"},
	{"deflate_cut.dcm", "radiograph-cut-pixels", "", "the end of the packed data missing"},
	{"rle_cut.dcm", "radiograph-cut-pixels", "", "the second segment half there"},
	{"rle_segments.dcm", "radiograph-bad-code", "", "1 segment for 16 bits"},
	{"rle_offsets.dcm", "radiograph-bad-code", "", "a segment past the end"},
	{"rle_short_header.dcm", "radiograph-cut-pixels", "", "4 of 64 header bytes"},
	{"plain_says_rle.dcm", "radiograph-bad-code", "", "says RLE, is plain"},
	{"rle_says_plain.dcm", "radiograph-bad-code", "", "says plain, is RLE"},
	{"lossless_cut.dcm", "radiograph-cut-pixels", "", "3 of 8 lines"},
	{"lossless_size.dcm", "radiograph-sizes", "", "stream 16 wide, header 8"},
	{"lossless_predictor.dcm", "radiograph-bad-code", "", "predictor 0"},
	{"lossless_no_table.dcm", "radiograph-bad-code", "", "no Huffman table"},
	{"lossless_code.dcm", "radiograph-bad-code", "", "a code that is not in the table"},
	{"lossless_category.dcm", "radiograph-bad-code", "", "a difference of 17 bits"},
	{"lossless_deep.dcm", "radiograph-sizes", "", "12 bits in 8 allocated"},
	{"huffman_overfull.dcm", "radiograph-bad-code", "", "3 codes of 1 bit"},
	{"huffman_short.dcm", "radiograph-bad-code", "", "a table of 3 bytes"},
	{"jpeg_no_start.dcm", "radiograph-bad-code", "", "no start mark"},
	{"jpeg_segment_cut.dcm", "radiograph-cut-pixels", "", "a segment past the end"},
	{"jpeg_progressive.dcm", "radiograph-unsupported-jpeg", "", "progressive JPEG"},
	{"jpeg_no_scan.dcm", "radiograph-cut-pixels", "", "a frame without a scan"},
	{"jpeg_no_quant.dcm", "radiograph-bad-code", "", "no quantisation table"},
	{"jpeg_sampling.dcm", "radiograph-bad-code", "", "sampling factor 0"},
	{"jls_parameters.dcm", "radiograph-bad-code", "", "thresholds that fall"},
	{"jls_cut.dcm", "radiograph-cut-pixels", "", "one byte of data"},
	{"jls_mapping.dcm", "radiograph-unsupported-jpeg", "", "a mapping table"},
	{"jpeg2000.dcm", "radiograph-unsupported-syntax", "", "JPEG 2000"},
	{"video.dcm", "radiograph-unsupported-syntax", "", "MPEG-4"},
	{"unknown_syntax.dcm", "radiograph-unsupported-syntax", "", "a syntax nobody knows"},
	{"zero.png", "radiograph-bad-code", "", "0 × 0"},
	{"huge.png", "radiograph-limit-picture", "", "40,000 × 40,000"},
	{"unpacked.png", "radiograph-limit-unpacked", "", "162 MB of 16-bit colour"},
	{"few_bytes.png", "radiograph-cut-pixels", "", "16 million pixels in 65 bytes"},
	{"cut.png", "radiograph-cut-pixels", "", "the end missing"},
	{"zero.jpg", "radiograph-bad-value", "", "0 × 0"},
	{"huge.jpg", "radiograph-limit-picture", "", "40,000 × 40,000"},
	{"large.jpg", "radiograph-limit-picture", "", "30 million pixels"},
	{"short_segment.jpg", "radiograph-bad-code", "", "a segment of length 0"},
	{"cut.jpg", "radiograph-cut-pixels", "", "half a file"},
	{"twelve_bits.jpg", "radiograph-unsupported-jpeg", "", "12 bits outside DICOM"},
	{"picture.webp", "radiograph-unsupported-picture", "", "WebP"},
	{"picture.heic", "radiograph-unsupported-picture", "", "HEIC"},

	{"lossless_sound.dcm", "opens", "", "none: the base of the lossless faults"},
	{"private_undefined.dcm", "opens", "", "a private UN sequence without length"},
	{"jpeg_named.dcm", "opens", ColourAsGrey.word(), "a JPEG named .dcm"},
	{"exif_broken.jpg", "opens", OrientUnread.word(), "an EXIF block that points outside"},
	{"no_end_mark.dcm", "opens", NoEndMark.word(), "no mark after the last piece"},
	{"says_implicit.dcm", "opens", SyntaxGuessed.word(), "says implicit, is explicit"},
	{"spacing_comma_list.dcm", "opens", SpacingUnread.word(), "0.2,0.2"},
	{"spacing_three.dcm", "opens", SpacingUnread.word(), "three values"},
	{"spacing_nan.dcm", "opens", SpacingUnread.word(), "NaN"},
	{"spacing_inf.dcm", "opens", SpacingUnread.word(), "1e999"},
	{"spacing_negative.dcm", "opens", SpacingRange.word(), "−0.2"},
	{"twice.dcm", "opens", TwiceTag.word(), "Pixel Spacing twice"},
	{"trailing.dcm", "opens", Trailing.word(), "five bytes after the picture"},
	{"burned_in.dcm", "opens", BurnedInText.word(), "Burned In Annotation YES"},
	{"overlay.dcm", "opens", OverlayLost.word(), "an overlay plane"},
	{"factor_zero.dcm", "opens", ValueIgnored.word(), "SID 0, factor +1,15"},
}

func (n Note) word() string { return Warning{Note: n}.Code() }

func TestBroken(t *testing.T) {
	listed := map[string]bool{"README.md": true}
	for _, tt := range broken {
		listed[tt.file] = true
		t.Run(tt.file, func(t *testing.T) {
			im, err := Open(testkit.Read(t, "broken/films/"+tt.file), Options{})
			if tt.want != "opens" {
				if im != nil || code(err) != tt.want {
					t.Errorf("Open = %v, %s, want %s (%s)", im != nil, code(err), tt.want, tt.fault)
				}
				return
			}
			if err != nil {
				t.Fatalf("%v (%s)", err, tt.fault)
			}
			var got []string
			for _, w := range im.Header.Warnings {
				got = append(got, w.Code())
			}
			if all := strings.Join(got, " "); tt.note == "" && all != "" || !strings.Contains(all, tt.note) {
				t.Errorf("notes %q, want %q (%s)", all, tt.note, tt.fault)
			}
			if tt.file != "burned_in.dcm" && im.Header.PixelSpacing != nil {
				t.Errorf("a spacing of %v was kept (%s)", *im.Header.PixelSpacing, tt.fault)
			}
		})
	}
	for _, path := range testkit.Files(t, "broken/films/*") {
		if !listed[filepath.Base(path)] {
			t.Errorf("%s is not in the table", filepath.Base(path))
		}
	}
}

// ReadHeader refuses for the header what Open refuses for the header, and
// never more than Open.
func TestReadHeaderAgrees(t *testing.T) {
	for _, path := range testkit.Files(t, "broken/films/*") {
		b := testkit.Read(t, "broken/films/"+filepath.Base(path))
		_, headErr := ReadHeader(b)
		_, openErr := Open(b, Options{})
		if headErr != nil && code(headErr) != code(openErr) {
			t.Errorf("%s: ReadHeader %s, Open %s", filepath.Base(path), code(headErr), code(openErr))
		}
	}
}

// A file over the size limit is refused by its length alone.
func TestFileLimit(t *testing.T) {
	if _, err := Open(make([]byte, MaxFile+1), Options{}); code(err) != "radiograph-limit-file" {
		t.Error(err)
	}
}

// Every sentence starts with the room and says what to do; every note has
// words.
func TestSentences(t *testing.T) {
	var all []coded
	for _, f := range []Fault{Empty, NotFilm, CutHeader, CutPixels, NoPixels, BadValue, Sizes, BadFrames, NoFrame, BadCode} {
		all = append(all, &InvalidError{Fault: f, What: "x", Got: 1, Need: 2})
	}
	for _, w := range []string{"syntax", "picture", "bits", "jpeg", "palette", "colour"} {
		all = append(all, &UnsupportedError{What: w, Name: "x"})
	}
	for _, w := range []string{"file", "samples", "picture", "unpacked", "inflated", "frames", "nesting", "elements"} {
		all = append(all, &LimitError{What: w, Got: 9_000_000, Max: 1_000_000})
	}
	seen := map[string]bool{}
	for _, e := range all {
		s := e.Error()
		does := false
		for _, verb := range []string{"get ", "choose ", "ask ", "save ", "export ", "take "} {
			does = does || strings.Contains(s, verb)
		}
		if !strings.HasPrefix(s, "radiograph: ") || !does || seen[e.Code()] {
			t.Errorf("%s: %q", e.Code(), s)
		}
		seen[e.Code()] = true
	}
	for _, n := range Notes() {
		if w := (Warning{Note: n, What: "it"}); noteText[n] == nil || w.String() == "" || seen[w.Code()] {
			t.Errorf("note %q has no words of its own", n)
		}
	}
	if len(Notes()) != len(noteText) {
		t.Errorf("%d notes listed, %d have words", len(Notes()), len(noteText))
	}
}
