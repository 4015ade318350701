package radiograph

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// checkStream looks at what one decoder made of hostile bytes: planes of the
// size that was asked for, or an error with a code.
func checkStream(t *testing.T, p *planes, err error, w want) {
	t.Helper()
	var c coded
	if err != nil {
		if p != nil || !errors.As(err, &c) || c.Error() == "" {
			t.Fatalf("error %v", err)
		}
		return
	}
	if len(p.pix) != w.samples {
		t.Fatalf("%d planes, want %d", len(p.pix), w.samples)
	}
	for i := range p.pix {
		if len(p.pix[i]) != w.width*w.height {
			t.Fatalf("plane %d: %d samples, want %d × %d", i, len(p.pix[i]), w.width, w.height)
		}
	}
}

// FuzzJPEGLS decodes damaged streams of ITU-T T.87: lossless, nearly so, one
// component or three, by line, by sample and plane after plane.
func FuzzJPEGLS(f *testing.F) {
	n := 0
	for _, b := range seeds(f, 110_000) {
		d, err := parseDICOM(b)
		if err != nil {
			continue
		}
		h, err := d.header()
		if err != nil || d.at.codec != codecJPEG || d.pixels.length != undefined {
			continue
		}
		if data, err := d.frameData(&h, 0); err == nil && bytes.Contains(data, []byte{0xFF, 0xF7}) {
			f.Add(data, uint16(h.Columns), uint16(h.Rows), uint8(h.Samples))
			n++
		}
	}
	if n < 5 {
		f.Fatalf("%d streams found, want at least 5", n)
	}
	f.Fuzz(func(t *testing.T, b []byte, w, h uint16, samples uint8) {
		if len(b) > 1<<17 {
			return
		}
		// The width and the height are kept small, so that ten minutes see
		// many streams; a liar about its size is refused at once otherwise.
		ask := want{int(w)%600 + 1, int(h)%600 + 1, int(samples)%4 + 1, false}
		b = bytes.Clone(b)
		if i := bytes.Index(b, []byte{0xFF, 0xF7}); i >= 0 && i+10 < len(b) {
			b[i+5], b[i+6], b[i+7], b[i+8] = byte(ask.height>>8), byte(ask.height), byte(ask.width>>8), byte(ask.width)
			ask.samples = int(b[i+9])
		}
		p, _, err := decodeJPEG(b, ask, func(float64) {})
		checkStream(t, p, err, ask)
	})
}

// FuzzRLEStream decodes damaged frames of DICOM PS3.5, annex G.
func FuzzRLEStream(f *testing.F) {
	f.Add(packRLE(film(9, 7, 12)), uint8(9), uint8(7), uint8(1), true)
	f.Add(packRLE(film(64, 64, 16)), uint8(64), uint8(64), uint8(1), true)
	f.Add(packRLE(make([]uint16, 400)), uint8(20), uint8(20), uint8(2), false)
	f.Add([]byte{1, 0, 0, 0, 64, 0, 0, 0}, uint8(2), uint8(2), uint8(1), false)
	f.Fuzz(func(t *testing.T, b []byte, w, h, samples uint8, deep bool) {
		head := Header{Columns: int(w) + 1, Rows: int(h) + 1, Samples: int(samples)%4 + 1, BitsAllocated: 8}
		if deep {
			head.BitsAllocated = 16
		}
		p, err := decodeRLE(b, &head, func(float64) {})
		checkStream(t, p, err, want{head.Columns, head.Rows, head.Samples, false})
	})
}

// FuzzPicture opens damaged JPEG and PNG pictures, with and without the
// camera's notes.
func FuzzPicture(f *testing.F) {
	grey := image.NewGray(image.Rect(0, 0, 21, 13))
	deep := image.NewGray16(grey.Rect)
	colour := image.NewNRGBA(grey.Rect)
	for i := range grey.Pix {
		x, y := i%21, i/21
		grey.Pix[i] = byte(i * 7)
		deep.SetGray16(x, y, color.Gray16{Y: uint16(i * 251)})
		colour.SetNRGBA(x, y, color.NRGBA{byte(i), byte(x), byte(y), 255})
	}
	for _, m := range []image.Image{grey, deep, colour} {
		var a, b bytes.Buffer
		if png.Encode(&a, m) != nil || jpeg.Encode(&b, m, nil) != nil {
			f.Fatal("cannot write a seed")
		}
		f.Add(a.Bytes())
		f.Add(b.Bytes())
		f.Add(withOrientation(b.Bytes(), 6))
	}
	for _, b := range seeds(f, 60_000) {
		if k := Sniff(b); k == JPEG || k == PNG {
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if k := Sniff(b); len(b) < 1<<17 && (k == JPEG || k == PNG) {
			checkOpen(t, b)
		}
	})
}

// withOrientation puts a camera's note of a turned picture behind the start
// mark of a JPEG. Layout: CIPA DC-008 (Exif 2.3), 4.5.4 and 4.6.4.
func withOrientation(b []byte, o byte) []byte {
	tiff := []byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00")
	tiff[18] = o
	seg := append([]byte("\xFF\xE1\x00\x00Exif\x00\x00"), tiff...)
	seg[3] = byte(len(seg) - 2)
	return append(append(bytes.Clone(b[:2]), seg...), b[2:]...)
}
