package radiograph

import (
	"testing"

	"isthmus/core/testkit"
)

// A film of 40 × 25 with each value from 0 to 999 once. By hand: half of the
// pixels are at most 499, 99.9 % at most 998, 1 % at most 9, 70 % at most 699;
// the same values from the other end where low is bright.
func TestPresets(t *testing.T) {
	for _, tt := range []struct {
		name, photometric string
		want              map[string][2]float64
	}{
		{"bright is high", "MONOCHROME2", map[string][2]float64{"bone": {499, 998}, "soft tissue": {9, 699}, "whole range": {0, 999}, "automatic": {9, 989}}},
		{"bright is low", "MONOCHROME1", map[string][2]float64{"bone": {0, 499}, "soft tissue": {299, 989}, "whole range": {0, 999}, "automatic": {9, 989}}},
	} {
		im := &Image{Width: 40, Height: 25, Pix: make([]uint16, 1000)}
		im.Header = Header{Kind: DICOM, BitsStored: 10, Photometric: tt.photometric}
		for i := range im.Pix {
			im.Pix[i] = uint16(i * 37 % 1000)
		}
		ws := im.Windows()
		if len(ws) != 4 || ws[0].Explanation != "automatic" {
			t.Fatalf("%s: %+v", tt.name, ws)
		}
		for _, w := range ws {
			lo, hi := w.Centre-w.Width/2, w.Centre+w.Width/2
			testkit.Near(t, tt.name+" "+w.Explanation+" from", lo, tt.want[w.Explanation][0], 1)
			testkit.Near(t, tt.name+" "+w.Explanation+" to", hi, tt.want[w.Explanation][1], 1)
		}
	}
}

// Every film offers the window it opens with first, each once, all usable.
func TestWindowsOfFilms(t *testing.T) {
	seen := 0
	for _, s := range references(t) {
		im, err := Open(testkit.Read(t, s.file), Options{Frame: s.frame})
		if err != nil {
			t.Fatal(err)
		}
		ws, first := im.Windows(), im.DefaultWindow()
		if ws[0].Centre != first.Centre || ws[0].Width != first.Width || ws[0].Shape != first.Shape {
			t.Errorf("%s opens with %+v and offers %+v first", s.file, first, ws[0])
		}
		for i, w := range ws {
			if !im.usable(w) || w.Explanation == "" {
				t.Errorf("%s: %+v", s.file, w)
			}
			for _, v := range ws[:i] {
				if v == w {
					t.Errorf("%s offers %+v twice", s.file, w)
				}
			}
		}
		seen++
	}
	if seen < 60 {
		t.Errorf("%d films", seen)
	}
	im, err := Open(testkit.Read(t, "films/variants/voi_three_windows.dcm"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if ws := im.Windows(); len(ws) != 7 {
		t.Errorf("three windows of the file and four of ours are %d: %+v", len(ws), ws)
	}
}

// A law: the coarse picture is every step-th pixel of the whole one.
func TestCoarse(t *testing.T) {
	im, err := Open(testkit.Read(t, "films/variants/st_explicit_le.dcm"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := im.DefaultWindow()
	whole := im.Grey8(w)
	for _, step := range []int{0, 1, 4, 7, 1000} {
		grey, cw, ch := im.Coarse8(w, step)
		s := max(step, 1)
		if len(grey) != cw*ch || cw != (im.Width+s-1)/s || ch != (im.Height+s-1)/s {
			t.Fatalf("step %d: %d × %d", step, cw, ch)
		}
		for y := range ch {
			for x := range cw {
				if grey[y*cw+x] != whole[y*s*im.Width+x*s] {
					t.Fatalf("step %d: (%d, %d)", step, x, y)
				}
			}
		}
	}
}

// Each frame of every multi-frame film opens, the right one, and the one after
// the last is refused. Frames of our own films differ from each other, as the
// reference samples do. Source: films.sha256 (DCMTK).
func TestEveryFrameOpens(t *testing.T) {
	films := map[string]int{
		"films/variants/px_multiframe3.dcm": 3, "films/odd/emri_small_RLE.dcm": 10, "films/odd/SC_rgb_rle_16bit_2frame.dcm": 2,
	}
	for file, n := range films {
		b := testkit.Read(t, file)
		sums := map[string]bool{}
		for k := range n {
			im, err := Open(b, Options{Frame: k})
			if err != nil {
				t.Fatalf("%s frame %d: %v", file, k, err)
			}
			if im.Frame != k || im.Header.Frames != n || !noted(im.Header, ManyFrames) {
				t.Errorf("%s frame %d: says frame %d of %d", file, k, im.Frame, im.Header.Frames)
			}
			sums[sum(im)] = true
		}
		if len(sums) != n {
			t.Errorf("%s: %d different frames of %d", file, len(sums), n)
		}
		if _, err := Open(b, Options{Frame: n}); code(err) != "radiograph-no-frame" {
			t.Errorf("%s frame %d: %v", file, n, err)
		}
	}
}
