package phantom

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/radiograph"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// small is a noisy film of few pixels.
func small(v anatomy.View, side anatomy.Side) Setup {
	s := Shoot(v, side, Whole)
	s.Width, s.Height, s.Row, s.Col = 300, 700, 0.75, 0.7
	return s
}

// The reader of films reads back every level and every tag.
func TestDICOMReadsBack(t *testing.T) {
	for _, tt := range []struct {
		name string
		bits int
		dark bool
		tell Tags
		v    anatomy.View
		side anatomy.Side
	}{
		{"12 bits, nothing told", 12, false, Tags{}, anatomy.AP, anatomy.Right},
		{"16 bits, all told", 16, false, Tags{Distances: true, Factor: true, Spacing: 0.65}, anatomy.Lateral, anatomy.Left},
		{"10 bits, MONOCHROME1", 10, true, Tags{Distances: true}, anatomy.AP, anatomy.Left},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := small(tt.v, tt.side)
			s.Bits, s.Dark = tt.bits, tt.dark
			film := draw(t, Usual(), s)
			im, err := radiograph.Open(film.DICOM(tt.tell), radiograph.Options{})
			if err != nil {
				t.Fatal(err)
			}
			checkHeader(t, im.Header, tt.bits, tt.tell, tt.side)
			if im.Width != 300 || im.Height != 700 || im.Offset != 0 || !slices.Equal(im.Pix, film.Pix) {
				t.Error("the levels are not those of the film")
			}
			seen, want := im.Grey8(im.DefaultWindow()), film.Grey8()
			for i := range seen {
				if d := int(seen[i]) - int(want[i]); d > 2 || d < -2 {
					t.Fatalf("pixel %d is shown as %d, the film's own picture says %d", i, seen[i], want[i])
				}
			}
			if _, gone, err := radiograph.Clean(film.DICOM(tt.tell)); err != nil {
				t.Errorf("cleaning: %v, %v", gone, err)
			}
		})
	}
}

func checkHeader(t *testing.T, h radiograph.Header, bits int, tell Tags, side anatomy.Side) {
	t.Helper()
	if h.BitsStored != bits || h.Laterality != map[anatomy.Side]string{anatomy.Left: "L", anatomy.Right: "R"}[side] || h.Modality != "DX" {
		t.Errorf("header %+v", h)
	}
	if h.ImagerSpacing == nil || *h.ImagerSpacing != [2]float64{0.75, 0.7} {
		t.Errorf("spacing at the detector %v, want 0.75 rows, 0.7 columns", h.ImagerSpacing)
	}
	told(t, "SID", h.SID, tell.Distances, 1150)
	told(t, "SOD", h.SOD, tell.Distances, 1000)
	told(t, "factor", h.Factor, tell.Factor, 1.15)
	if (h.PixelSpacing != nil) != (tell.Spacing > 0) {
		t.Errorf("pixel spacing %v", h.PixelSpacing)
	}
	if len(h.Warnings) > 0 {
		t.Errorf("the reader warns: %v", h.Warnings)
	}
}

func told(t *testing.T, name string, got *float64, want bool, value float64) {
	t.Helper()
	if (got != nil) != want || got != nil && math.Abs(*got-value) > 1e-9 {
		t.Errorf("%s: told %v, want told %v", name, got, want)
	}
}

func decode(t *testing.T, b []byte) *image.Gray {
	t.Helper()
	im, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	g, ok := im.(*image.Gray)
	if !ok {
		t.Fatalf("the picture is %T, want grey", im)
	}
	return g
}

// A JPEG of the film is the picture of it within what the coder loses, and
// steel is white in it for both photometric ways.
func TestJPEG(t *testing.T) {
	for _, dark := range []bool{false, true} {
		s := small(anatomy.AP, anatomy.Right)
		s.Dark = dark
		film := draw(t, Usual(), s)
		g, want := decode(t, film.JPEG(95)), film.Grey8()
		sum := 0.0
		for i, v := range want {
			d := float64(v) - float64(g.Pix[i/300*g.Stride+i%300])
			sum += d * d
		}
		if rms := math.Sqrt(sum / float64(len(want))); !(rms < 4) {
			t.Errorf("the JPEG differs by %.1f levels", rms)
		}
		c := film.Truth.Balls[0].Centre
		if v := want[int(c.Y)*300+int(c.X)]; v < 230 {
			t.Errorf("dark %v: the ball is shown as %d", dark, v)
		}
	}
}

// In a photo the corners of the film lie where it says: the film's frame is
// dark, the box round it bright, and the map takes the corners of the film
// there. Source: by hand, corner pixels reach half a pixel out.
func TestPhoto(t *testing.T) {
	film := draw(t, Usual(), small(anatomy.AP, anatomy.Left))
	for seed := range uint64(6) {
		p, err := film.Photo(seed, 600)
		if err != nil {
			t.Fatal(err)
		}
		q, _ := film.Photo(seed, 600)
		if !slices.Equal(p.Pix, q.Pix) {
			t.Error("the same seed gives two photos")
		}
		checkCorners(t, p, seed)
		if g := decode(t, p.JPEG(85)); g.Rect.Dx() != 600 || g.Rect.Dy() != 800 {
			t.Errorf("photo %v", g.Rect)
		}
	}
	p, err := film.PhotoCut(2, 600, 0.1)
	if err != nil || p.Corners[0].X > -60+24 || p.Corners[3].X > -60+24 || p.Corners[1].X < 100 {
		t.Errorf("a tenth cut off: corners %v, %v", p.Corners, err) // by hand: 0.1·600 px out, each corner within 0.04·600
	}
	for _, c := range []float64{-0.1, 0.6, math.NaN()} {
		if _, err := film.PhotoCut(1, 600, c); err == nil {
			t.Errorf("%g was cut off", c)
		}
	}
	for _, w := range []int{0, 199, 6001} {
		if p, err := film.Photo(1, w); err == nil || p != nil {
			t.Errorf("a photo %d px wide was made", w)
		}
	}
}

// checkCorners wants the box bright just outside of the film and the map to meet
// its corners.
func checkCorners(t *testing.T, p *Photo, seed uint64) {
	t.Helper()
	mid := p.Corners[0].Plus(p.Corners[1]).Plus(p.Corners[2]).Plus(p.Corners[3]).Times(0.25)
	for i, c := range [4]geom.Pt[units.Px]{{X: -0.5, Y: -0.5}, {X: 299.5, Y: -0.5}, {X: 299.5, Y: 699.5}, {X: -0.5, Y: 699.5}} {
		at, err := p.ToPhoto.Apply(c)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Near(t, "corner", float64(geom.Dist(at, p.Corners[i])), 0, 1e-6)
		away := at.Minus(mid)
		step := away.Times(3 / float64(geom.Dist(at, mid)))
		out, in := p.grey(at.Plus(step)), p.grey(at.Minus(step))
		if out < 150 || in > 110 && i > 1 {
			t.Errorf("seed %d, corner %d: %d outside, %d inside", seed, i, out, in)
		}
	}
}

// The same bits natively and under WebAssembly, as first made on amd64.
func TestSamePhoto(t *testing.T) {
	p, err := draw(t, Random(2), small(anatomy.AP, anatomy.Right)).Photo(9, 500)
	if err != nil {
		t.Fatal(err)
	}
	h := uint64(0)
	for _, v := range p.Pix {
		h = h*31 + uint64(v)
	}
	if h != hashPhoto {
		t.Errorf("hash %#x, want %#x", h, uint64(hashPhoto))
	}
}

func (p *Photo) grey(at geom.Pt[units.Px]) uint8 { return p.Pix[int(at.Y)*p.Width+int(at.X)] }
