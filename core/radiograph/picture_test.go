package radiograph

import (
	"encoding/binary"
	"slices"
	"testing"
)

// Mapping of orientations. Source: CIPA DC-008, tag Orientation: where the
// stored row 0 and column 0 lie in the picture. The stored 2 × 3 picture is
//
//	1 2
//	3 4
//	5 6
func TestTurn(t *testing.T) {
	for o, want := range map[int][]uint16{
		1: {1, 2, 3, 4, 5, 6},
		2: {2, 1, 4, 3, 6, 5}, // top, right
		3: {6, 5, 4, 3, 2, 1}, // bottom, right
		4: {5, 6, 3, 4, 1, 2}, // bottom, left
		5: {1, 3, 5, 2, 4, 6}, // left, top
		6: {5, 3, 1, 6, 4, 2}, // right, top
		7: {6, 4, 2, 5, 3, 1}, // right, bottom
		8: {2, 4, 6, 1, 3, 5}, // left, bottom
	} {
		im := &Image{Width: 2, Height: 3, Pix: []uint16{1, 2, 3, 4, 5, 6}}
		im.turn(o)
		wide := o >= 5
		if !slices.Equal(im.Pix, want) || wide != (im.Width == 3) {
			t.Errorf("orientation %d: %v, %d wide, want %v", o, im.Pix, im.Width, want)
		}
	}
}

func TestEXIF(t *testing.T) {
	tiff := func(mm bool, typ, count, v uint16) []byte {
		o := binary.AppendByteOrder(binary.LittleEndian)
		b := []byte("II*\x00\x08\x00\x00\x00")
		if mm {
			o, b = binary.BigEndian, []byte("MM\x00*\x00\x00\x00\x08")
		}
		b = o.AppendUint16(b, 1)
		b = o.AppendUint16(b, 0x0112)
		b = o.AppendUint16(b, typ)
		b = o.AppendUint32(b, uint32(count))
		b = o.AppendUint16(b, v)
		return append(b, 0, 0)
	}
	for _, tt := range []struct {
		name string
		b    []byte
		want int
		ok   bool
	}{
		{"little endian", tiff(false, 3, 1, 6), 6, true},
		{"big endian", tiff(true, 3, 1, 8), 8, true},
		{"value 0", tiff(false, 3, 1, 0), 1, false},
		{"value 9", tiff(false, 3, 1, 9), 1, false},
		{"two values", tiff(false, 3, 2, 6), 1, false},
		{"wrong type", tiff(false, 4, 1, 6), 1, false},
		{"cut", tiff(false, 3, 1, 6)[:12], 1, false},
		{"no order", []byte("XX*\x00\x08\x00\x00\x00"), 1, false},
		{"directory outside", []byte("II*\x00\xFF\xFF\xFF\xFF"), 1, false},
		{"empty", nil, 1, false},
	} {
		if got, ok := tiffOrientation(tt.b); got != tt.want || ok != tt.ok {
			t.Errorf("%s: %d, %v, want %d, %v", tt.name, got, ok, tt.want, tt.ok)
		}
	}
}

// A palette becomes brightness. By hand: 0.299 × 200 + 0.587 × 100 + 0.114 ×
// 50 = 124.2; equal parts stay what they are.
func TestPalette(t *testing.T) {
	if got := luma(200, 100, 50); got != 124 {
		t.Errorf("luma = %d, want 124", got)
	}
	for _, v := range []uint32{0, 1, 128, 255, 65535} {
		if got := luma(v, v, v); uint32(got) != v {
			t.Errorf("luma of grey %d is %d", v, got)
		}
	}
	im := &Image{Width: 3, Height: 1, Pix: []uint16{0, 1, 9}, Header: Header{Photometric: "PALETTE COLOR"}}
	im.Header.palette = [3]Table{{Bits: 8, Entries: []uint16{200, 255}}, {Bits: 8, Entries: []uint16{100, 255}}, {Bits: 8, Entries: []uint16{50, 255}}}
	im.throughPalette()
	if !slices.Equal(im.Pix, []uint16{124, 255, 255}) || im.Header.BitsStored != 8 {
		t.Errorf("%v, %d bits", im.Pix, im.Header.BitsStored)
	}
}
