package find

import (
	"flag"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

var overlays = flag.String("overlays", "", "write what is found on each real film over its picture into this folder")

// A canvas is the picture of a film with drawings over it, scale times as
// large as the film.
type canvas struct {
	*image.RGBA
	scale float64
}

func canvasOf(g Grey) canvas {
	scale := 1.0
	for scale*float64(g.Width) < 700 {
		scale++
	}
	sorted := slices.Sorted(slices.Values(g.Pix))
	lo, hi := float64(sorted[len(sorted)/100]), float64(sorted[len(sorted)*99/100])
	c := canvas{image.NewRGBA(image.Rect(0, 0, int(scale)*g.Width, int(scale)*g.Height)), scale}
	for y := range c.Rect.Dy() {
		for x := range c.Rect.Dx() {
			v := uint8(math.Max(0, math.Min(255, 255*(float64(g.Pix[y/int(scale)*g.Width+x/int(scale)])-lo)/(hi-lo+1))))
			c.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	}
	return c
}

func (c canvas) dot(p pt, r float64, ink color.RGBA) {
	if c.RGBA == nil {
		return
	}
	cx, cy := (float64(p.X)+0.5)*c.scale-0.5, (float64(p.Y)+0.5)*c.scale-0.5
	for y := math.Floor(cy - r); y <= cy+r; y++ {
		for x := math.Floor(cx - r); x <= cx+r; x++ {
			if math.Hypot(x-cx, y-cy) <= r {
				c.SetRGBA(int(x), int(y), ink)
			}
		}
	}
}

func (c canvas) line(a, b pt, ink color.RGBA) {
	n := math.Ceil(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))*c.scale) + 1
	for i := 0.0; i <= n; i++ {
		c.dot(a.Plus(b.Minus(a).Times(i/n)), 0.8, ink)
	}
}

func (c canvas) circle(at pt, r float64, ink color.RGBA) {
	for i := range 720 {
		s, co := math.Sincos(float64(i) * math.Pi / 360)
		c.dot(pt{X: at.X + px(r*co, 0).X, Y: at.Y + px(0, r*s).Y}, 0.8, ink)
	}
}

func (c canvas) save(t *testing.T, name string) {
	f, err := os.Create(filepath.Join(*overlays, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, c); err != nil {
		t.Fatal(err)
	}
}
