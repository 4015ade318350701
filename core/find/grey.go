package find

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/units"
)

type (
	pt   = geom.Pt[units.Px]
	line = geom.Line[units.Px]
)

func px(x, y float64) pt { return pt{X: units.Px(x), Y: units.Px(y)} }

// maxPixels is the largest picture that is searched.
const maxPixels = 100_000_000

// A Grey is the picture as stored, row by row, upright; high values may be
// bright or dark. Its zero value holds nothing and finds nothing.
type Grey struct {
	Width, Height int
	Pix           []uint16
	Inverted      bool // high stored values are shown dark, as in MONOCHROME1
}

// An Edge is a place on an edge.
type Edge struct {
	At   pt       `json:"at_px"`
	Slip units.Px `json:"slip_px"` // standard uncertainty across the edge
	Sure float64  `json:"sure"`    // 0…1: how far the edge stands out of the noise and of its rivals
}

func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// check refuses a picture without pixels, with more than maxPixels, or whose
// numbers do not fit together.
func (g Grey) check() error {
	if g.Width < 1 || g.Height < 1 || g.Width > maxPixels || g.Height > maxPixels ||
		g.Width > maxPixels/g.Height || len(g.Pix) != g.Width*g.Height {
		return refuse("film", "picture")
	}
	return nil
}

// on reports whether a place lies on the film.
func (g Grey) on(p pt) bool {
	return p.X >= -0.5 && p.Y >= -0.5 && float64(p.X) <= float64(g.Width)-0.5 && float64(p.Y) <= float64(g.Height)-0.5
}

// Sub returns a copy of the columns x0 to x1 and rows y0 to y1, the last not
// taken, cut to the film; its pixel (0, 0) is the film's (x, y).
func (g Grey) Sub(x0, y0, x1, y1 int) (sub Grey, x, y int) {
	if g.check() != nil {
		return Grey{}, 0, 0
	}
	x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, g.Width), min(y1, g.Height)
	if x0 >= x1 || y0 >= y1 {
		return Grey{}, 0, 0
	}
	sub = Grey{Width: x1 - x0, Height: y1 - y0, Pix: make([]uint16, 0, (x1-x0)*(y1-y0)), Inverted: g.Inverted}
	for r := y0; r < y1; r++ {
		sub.Pix = append(sub.Pix, g.Pix[r*g.Width+x0:r*g.Width+x1]...)
	}
	return sub, x0, y0
}

// A plane is a picture of real numbers, for work; high values are bright on
// the screen (dense on a film) whatever the file says.
type plane struct {
	w, h int
	v    []float32
}

// bright returns the film as a plane, so that high is always bright: stored
// values, or their negative where high values are shown dark.
func (g Grey) bright() plane {
	p := plane{g.Width, g.Height, make([]float32, len(g.Pix))}
	s := float32(1)
	if g.Inverted {
		s = -1
	}
	for i, v := range g.Pix {
		p.v[i] = s * float32(v)
	}
	return p
}

// shrink returns the means of nx × ny pixels, bright as by bright. Where its
// pixels lie on the film is for grown to say.
func (g Grey) shrink(nx, ny int) plane {
	if nx <= 1 && ny <= 1 {
		return g.bright()
	}
	w, h := g.Width/nx, g.Height/ny
	p := plane{w, h, make([]float32, w*h)}
	f := float32(1) / float32(nx*ny)
	if g.Inverted {
		f = -f
	}
	sums := make([]uint32, w)
	for y := range h {
		clear(sums)
		for r := y * ny; r < y*ny+ny; r++ {
			row := g.Pix[r*g.Width : r*g.Width+w*nx]
			for x := range sums {
				s := uint32(0)
				for _, v := range row[x*nx : x*nx+nx] {
					s += uint32(v)
				}
				sums[x] += s
			}
		}
		for x, s := range sums {
			p.v[y*w+x] = f * float32(s)
		}
	}
	return p
}

// grown returns the place on the film of (x, y) on a picture nx × ny times
// smaller: the first of its pixels is the mean of pixels 0 to n − 1.
func grown(x, y float64, nx, ny int) (float64, float64) {
	return x*float64(nx) + float64(nx-1)/2, y*float64(ny) + float64(ny-1)/2
}

// at returns the value between pixels, bilinear; beyond the rim the nearest
// pixel holds. A place that is no number gives 0.
func (p plane) at(x, y float64) float64 {
	if len(p.v) == 0 || !finite(x, y) {
		return 0
	}
	x, y = min(max(x, 0), float64(p.w-1)), min(max(y, 0), float64(p.h-1))
	i, j := int(x), int(y)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	i1, j1 := min(i+1, p.w-1), min(j+1, p.h-1)
	a, b := p.v[j*p.w+i], p.v[j*p.w+i1]
	c, d := p.v[j1*p.w+i], p.v[j1*p.w+i1]
	top, low := a+fx*(b-a), c+fx*(d-c)
	return float64(top + fy*(low-top))
}

// at returns the stored value between pixels as plane.at does, bright as by
// bright, without copying the film.
func (g Grey) at(x, y float64) float64 {
	if !finite(x, y) || len(g.Pix) == 0 {
		return 0
	}
	x, y = min(max(x, 0), float64(g.Width-1)), min(max(y, 0), float64(g.Height-1))
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	i1, j1 := min(i+1, g.Width-1), min(j+1, g.Height-1)
	a, b := float64(g.Pix[j*g.Width+i]), float64(g.Pix[j*g.Width+i1])
	c, d := float64(g.Pix[j1*g.Width+i]), float64(g.Pix[j1*g.Width+i1])
	top, low := a+fx*(b-a), c+fx*(d-c)
	v := top + fy*(low-top)
	if g.Inverted {
		return -v
	}
	return v
}
