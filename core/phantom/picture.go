package phantom

import (
	"bytes"
	"image"
	"image/jpeg"
)

// Grey8 returns the film as it is looked at, one byte a pixel, bone bright:
// windowed between the 2nd and the 99.7th percentile of what lies inside the
// margin.
func (f *Film) Grey8() []uint8 {
	lo, hi := f.window()
	out := make([]uint8, len(f.Pix))
	for i, v := range f.Pix {
		g := (int(v) - lo) * 255 / max(hi-lo, 1)
		g = min(255, max(0, g))
		if f.Setup.Dark {
			g = 255 - g
		}
		out[i] = uint8(g)
	}
	return out
}

// window is the range of levels worth looking at.
func (f *Film) window() (lo, hi int) {
	count := make([]int, 1<<f.Setup.Bits)
	mx, my := int(f.Setup.Frame/f.Setup.Col)+1, int(f.Setup.Frame/f.Setup.Row)+1
	n := 0
	for y := my; y < f.Height-my; y += 2 {
		for x := mx; x < f.Width-mx; x += 2 {
			count[f.Pix[y*f.Width+x]]++
			n++
		}
	}
	a, b := 0.02, 0.997
	if f.Setup.Dark {
		a, b = 1-b, 1-a
	}
	lo, hi = -1, len(count)-1
	sum := 0
	for v, k := range count {
		sum += k
		if lo < 0 && float64(sum) > a*float64(n) {
			lo = v
		}
		if float64(sum) >= b*float64(n) {
			return max(lo, 0), v
		}
	}
	return max(lo, 0), hi
}

// JPEG returns the film as a grey picture of 8 bits, as a messenger or a
// screen would hand it on: no size in it. Quality is 1 to 100.
func (f *Film) JPEG(quality int) []byte {
	return encode(&image.Gray{Pix: f.Grey8(), Stride: f.Width, Rect: image.Rect(0, 0, f.Width, f.Height)}, quality)
}

func encode(g *image.Gray, quality int) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, g, &jpeg.Options{Quality: min(100, max(1, quality))}); err != nil {
		return nil // only for a picture of more than 65,535 pixels a side
	}
	return b.Bytes()
}
