package radiograph

import (
	"bytes"
	"math"
	"testing"

	"isthmus/core/testkit"
)

func open(t testing.TB, file string) *Image {
	t.Helper()
	im, err := Open(testkit.Read(t, file), Options{})
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return im
}

// The window functions at the values the standard works out itself.
// Source: DICOM PS3.3, C.11.2.1.2.1 (its four examples), C.11.2.1.3.
func TestWindowFunctions(t *testing.T) {
	im := &Image{}
	for _, tt := range []struct {
		name   string
		w      Window
		x      float64
		want   float64 // 0…1
		source string
	}{
		{"c 2048 w 4096 at 0", Window{Centre: 2048, Width: 4096, Shape: Linear}, 0, 0, "C.11.2.1.2.1: x ≤ 0 → ymin"},
		{"c 2048 w 4096 at 4095", Window{Centre: 2048, Width: 4096, Shape: Linear}, 4095, 1, "((4095−2047.5)/4095+0.5) = 1"},
		{"c 2048 w 4096 at 1000", Window{Centre: 2048, Width: 4096, Shape: Linear}, 1000, (1000-2047.5)/4095 + 0.5, "C.11.2.1.2.1"},
		{"c 2048 w 1 at 2047", Window{Centre: 2048, Width: 1, Shape: Linear}, 2047, 0, "x ≤ 2047.5 → ymin"},
		{"c 2048 w 1 at 2048", Window{Centre: 2048, Width: 1, Shape: Linear}, 2048, 1, "x > 2047.5 → ymax"},
		{"c 0 w 100 at −50", Window{Width: 100, Shape: Linear}, -50, 0, "x ≤ −50 → ymin"},
		{"c 0 w 100 at 49", Window{Width: 100, Shape: Linear}, 49, 1, "((49+0.5)/99+0.5) = 1"},
		{"c 0 w 1 at −1", Window{Width: 1, Shape: Linear}, -1, 0, "x ≤ −0.5 → ymin"},
		{"c 0 w 1 at 0", Window{Width: 1, Shape: Linear}, 0, 1, "x > −0.5 → ymax"},
		{"exact, centre", Window{Centre: 100, Width: 50, Shape: LinearExact}, 100, 0.5, "C.11.2.1.3.2"},
		{"exact, lower edge", Window{Centre: 100, Width: 50, Shape: LinearExact}, 75, 0, "C.11.2.1.3.2"},
		{"sigmoid, centre", Window{Centre: 100, Width: 50, Shape: Sigmoid}, 100, 0.5, "C.11.2.1.3.1: 1/(1+e⁰)"},
		{"sigmoid, upper edge", Window{Centre: 100, Width: 50, Shape: Sigmoid}, 125, 1 / (1 + math.Exp(-2)), "C.11.2.1.3.1: 1/(1+e⁻²)"},
	} {
		testkit.Near(t, tt.name+" ("+tt.source+")", im.windowed(&tt.w, tt.x), tt.want, 1e-12)
	}
}

// A film stored as a negative looks the same as the positive one.
func TestInversionLastAndOnce(t *testing.T) {
	plain := open(t, "films/variants/st_explicit_le.dcm")
	want := plain.Grey8(Window{Centre: 512, Width: 1024})
	for _, file := range []string{"px_monochrome1.dcm", "px_mono2_plut_inverse.dcm"} {
		im := open(t, "films/variants/"+file)
		if !bytes.Equal(im.Grey8(Window{Centre: 512, Width: 1024}), want) {
			t.Errorf("%s does not look like the positive film", file)
		}
	}
	// A DX film of MONOCHROME1 says INVERSE as well (PS3.3, C.8.11.3.1.2).
	im := open(t, "films/variants/px_monochrome1.dcm")
	im.Header.Presentation = "INVERSE"
	if !bytes.Equal(im.Grey8(Window{Centre: 512, Width: 1024}), want) {
		t.Error("MONOCHROME1 with INVERSE is inverted twice")
	}
}

// Depths of 8, 10, 12 and 16 bits of one film look alike under the automatic
// window, within the coarser depth's step. By hand: 8 of 10 bits lose 2 bits,
// so at most 3/893 of the range and rounding, 2 grey levels.
func TestAutoWindowOfEveryDepth(t *testing.T) {
	want := open(t, "films/variants/st_explicit_le.dcm").Grey8(Window{})
	lo, hi := 255, 0
	for _, v := range want {
		lo, hi = min(lo, int(v)), max(hi, int(v))
	}
	if lo != 0 || hi != 255 {
		t.Errorf("greys %d to %d, want 0 to 255", lo, hi)
	}
	for _, file := range []string{"px_8bit_odd_length.dcm", "px_12in16_dirty_high_bits.dcm", "px_16bit.dcm"} {
		got := open(t, "films/variants/"+file).Grey8(Window{})
		for i := range want {
			if d := int(got[i]) - int(want[i]); d > 2 || d < -2 {
				t.Fatalf("%s: pixel %d is %d, want %d", file, i, got[i], want[i])
			}
		}
	}
}

// The table of the file is used. Source: its first entries by dcmdump
// (0, 0x80, 0xB5, 0xDD, 0x100 of 0xFFF); by hand 255 × entry / 4095.
func TestVOITable(t *testing.T) {
	im := open(t, "films/variants/voi_lut_sequence.dcm")
	w := im.DefaultWindow()
	if w.Shape != FromTable {
		t.Fatalf("default window %v, want the table", w)
	}
	lut := im.curve(w)
	for v, want := range map[int]uint8{0: 0, 1: 8, 2: 11, 3: 14, 4: 16, 1023: 255} {
		if lut[v] != want {
			t.Errorf("grey of %d is %d, want %d", v, lut[v], want)
		}
	}
}

// Which window is shown first. Source: PROVENANCE.md and dcmdump.
func TestDefaultWindow(t *testing.T) {
	for _, tt := range []struct {
		file string
		want Window
	}{
		{"variants/voi_three_windows.dcm", Window{300, 400, Linear, "BONE"}},
		{"variants/voi_width_zero.dcm", Window{446.5, 893, LinearExact, "automatic"}},
		{"variants/sp_none.dcm", Window{446.5, 893, LinearExact, "automatic"}},
		{"real/RG2_JPLL.dcm", Window{511, 1024, Linear, ""}},
		{"photo/rg2_8bit.png", Window{128, 256, Linear, "whole range"}},
	} {
		if got := open(t, "films/"+tt.file).DefaultWindow(); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.file, got, tt.want)
		}
	}
	if n := len(open(t, "films/variants/voi_three_windows.dcm").Header.Windows); n != 3 {
		t.Errorf("%d windows listed, want 3", n)
	}
}

// An 8-bit picture is shown as it is stored.
func TestWholeRangeIsIdentity(t *testing.T) {
	im := open(t, "films/photo/rg2_8bit.png")
	for i, v := range im.Grey8(im.DefaultWindow()) {
		if uint16(v) != im.Pix[i] {
			t.Fatalf("pixel %d is %d, want %d", i, v, im.Pix[i])
		}
	}
}

// Rescaling first, in floating point, with a negative slope too. By hand.
func TestRescale(t *testing.T) {
	slope, intercept := -10.0, 5.0
	im := &Image{Offset: -2048, Header: Header{Slope: &slope, Intercept: &intercept}}
	testkit.Near(t, "stored 2148", im.rescaled(2148), -10*100+5, 1e-12)
	im.Header.Modify = &Table{First: -2048, Bits: 16, Entries: []uint16{7, 9}}
	testkit.Near(t, "through the table, second entry", im.rescaled(1), 9, 1e-12)
	testkit.Near(t, "through the table, beyond its end", im.rescaled(500), 9, 1e-12)
}

// Signed samples keep their values. Source: dcmdump of CT_small.dcm, first
// samples 175 and 180; smallest and largest by the reference tool.
func TestSignedValues(t *testing.T) {
	im := open(t, "films/odd/CT_small.dcm")
	if im.Offset != -32768 {
		t.Fatalf("offset %d, want −32768", im.Offset)
	}
	if a, b := int32(im.Pix[0])+im.Offset, int32(im.Pix[1])+im.Offset; a != 175 || b != 180 {
		t.Errorf("first samples %d and %d, want 175 and 180", a, b)
	}
}

// Collimation does not decide the automatic window: white borders of any
// width up to a third leave it unchanged. By hand.
func TestAutoWindowIgnoresBorders(t *testing.T) {
	for _, border := range []int{0, 5, 30} {
		im := &Image{Width: 100, Height: 100, Pix: make([]uint16, 10000)}
		im.Header = Header{Kind: DICOM, BitsStored: 12, Photometric: "MONOCHROME2"}
		for y := range 100 {
			for x := range 100 {
				im.Pix[y*100+x] = 4095
				if x >= border && x < 100-border && y >= border && y < 100-border {
					im.Pix[y*100+x] = uint16(1000 + 10*((x*7+y*13)%100))
				}
			}
		}
		w := im.Auto()
		if lo, hi := w.Centre-w.Width/2, w.Centre+w.Width/2; lo < 1000 || lo > 1020 || hi < 1970 || hi > 1990 {
			t.Errorf("border %d: window %v to %v, want about 1000 to 1980", border, lo, hi)
		}
	}
}

// A shutter in the header is believed, and a film of one value is no fault.
func TestAutoWindowEdges(t *testing.T) {
	im := &Image{Width: 20, Height: 20, Pix: make([]uint16, 400), Header: Header{BitsStored: 12, Photometric: "MONOCHROME2"}}
	grey := im.Grey8(Window{})
	for _, v := range grey {
		if v != grey[0] {
			t.Fatal("a flat film is not flat")
		}
	}
	im.Header.Shutter = &[4]int{2, 2, 17, 17}
	im.Pix[0] = 4000
	im.Pix[45] = 100
	if w := im.Auto(); w.Centre+w.Width/2 > 100 {
		t.Errorf("window %v reaches outside the shutter", w)
	}
}

// A table that says 16 bits and holds 12 is taken as 12. By hand.
func TestTableOfTwelveBits(t *testing.T) {
	tab := Table{Bits: 16, Entries: []uint16{0, 2000, 4095}}
	testkit.Near(t, "white", tab.full(), 4095, 0)
	tab.Entries[2] = 60000
	testkit.Near(t, "white of a real one", tab.full(), 65535, 0)
	if !tab.monotone() || (&Table{Entries: []uint16{1, 3, 2}}).monotone() || (&Table{Entries: []uint16{2, 2}}).monotone() {
		t.Error("monotone is wrong")
	}
}
