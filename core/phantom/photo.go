package phantom

import (
	"image"
	"math"

	"isthmus/core/chance"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// A Photo is a picture that a phone took of the film on a light box or a
// screen.
type Photo struct {
	Width, Height int
	Pix           []uint8
	Corners       geom.Quad[units.Px] // the outer corners of the film, from the upper left, clockwise, in the photo
	ToPhoto       geom.Projective[units.Px, units.Px]
}

// Photo returns a photo of the film, width pixels wide, the same for the same
// seed: held askew (a projective map that is told), dark surroundings with a
// bright light box, moiré of a screen, a spot of glare, uneven light, blur and
// noise. The outer corners of the film are half a pixel outside of the middles
// of its corner pixels. It refuses a width outside 200 to 6000 (*RangeError).
func (f *Film) Photo(seed uint64, width int) (*Photo, error) { return f.PhotoCut(seed, width, 0) }

// PhotoCut returns such a photo with a share of its width, up to 0.5, of the
// left of the film left out: two corners then lie outside of the photo. It
// refuses what Photo refuses, and other shares.
func (f *Film) PhotoCut(seed uint64, width int, cut float64) (*Photo, error) {
	if err := (limit{"share cut off", units.MM(cut), 0, 0.5}).check(); err != nil {
		return nil, err
	}
	if err := (limit{"width of the photo", units.MM(width), 200, 6000}).check(); err != nil {
		return nil, err
	}
	rnd := chance.New(seed)
	p := &Photo{Width: width, Height: width * 4 / 3}
	if err := p.aim(f, rnd, cut); err != nil {
		return nil, err
	}
	back, err := p.ToPhoto.Inverse()
	if err != nil {
		return nil, err
	}
	p.Pix = make([]uint8, p.Width*p.Height)
	l := newLight(rnd, float64(p.Width), float64(p.Height))
	g := f.Grey8()
	for y := range p.Height {
		for x := range p.Width {
			at := geom.Pt[units.Px]{X: units.Px(x), Y: units.Px(y)}
			v := l.around(p.Corners, at)
			if q, err := back.Apply(at); err == nil && f.holds(q) {
				v = l.on(f.sample(g, q), float64(q.X)*float64(f.Setup.Col), float64(q.Y)*float64(f.Setup.Row))
			}
			v = l.spot(v, float64(x), float64(y)) + 2*rnd.Normal()
			p.Pix[y*p.Width+x] = uint8(min(255, max(0, v+0.5)))
		}
	}
	return p, nil
}

// JPEG returns the photo as a grey picture of 8 bits.
func (p *Photo) JPEG(quality int) []byte {
	return encode(&image.Gray{Pix: p.Pix, Stride: p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}, quality)
}

// aim lays the corners of the film into the photo: as large as fits, each
// corner moved by up to 4 % of the width.
func (p *Photo) aim(f *Film, rnd *chance.Source, cut float64) error {
	fw, fh := float64(f.Width)*float64(f.Setup.Col), float64(f.Height)*float64(f.Setup.Row)
	w, h := float64(p.Width), float64(p.Height)
	k := min(w*0.84/fw, h*0.84/fh) / 2
	x0, y0, x1, y1 := units.Px(-0.5), units.Px(-0.5), units.Px(f.Width)-0.5, units.Px(f.Height)-0.5
	film := geom.Quad[units.Px]{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	shift := 0.0
	if cut > 0 {
		shift = w/2 - k*fw + cut*w + 0.04*w
	}
	for i, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		p.Corners[i] = geom.Pt[units.Px]{
			X: units.Px(w/2 - shift + s[0]*k*fw + rnd.Between(-0.04, 0.04)*w),
			Y: units.Px(h/2 + s[1]*k*fh + rnd.Between(-0.04, 0.04)*w),
		}
	}
	var err error
	p.ToPhoto, err = geom.ProjectiveThrough(film, p.Corners)
	return err
}

func (f *Film) holds(q geom.Pt[units.Px]) bool {
	return q.X >= -0.5 && q.Y >= -0.5 && q.X < units.Px(f.Width)-0.5 && q.Y < units.Px(f.Height)-0.5
}

// sample is the grey between four pixels.
func (f *Film) sample(g []uint8, q geom.Pt[units.Px]) float64 {
	x := min(max(float64(q.X), 0), float64(f.Width-1))
	y := min(max(float64(q.Y), 0), float64(f.Height-1))
	i, j := min(int(x), f.Width-2), min(int(y), f.Height-2)
	fx, fy := x-float64(i), y-float64(j)
	at := func(i, j int) float64 { return float64(g[j*f.Width+i]) }
	a := at(i, j) + fx*(at(i+1, j)-at(i, j))
	b := at(i, j+1) + fx*(at(i+1, j+1)-at(i, j+1))
	return a + fy*(b-a)
}

// A light is how a photo is lit.
type light struct {
	w, h, gx, gy, r float64 // glare: its middle and radius
	period, phase   float64 // moiré, mm
	tilt            float64
}

func newLight(rnd *chance.Source, w, h float64) light {
	return light{w, h, rnd.Between(0.2, 0.8) * w, rnd.Between(0.1, 0.4) * h, rnd.Between(0.05, 0.12) * w,
		rnd.Between(3, 9), rnd.Between(0, 6), rnd.Between(-0.15, 0.15)}
}

// on is a place of the film: lit from behind, with the bands that two grids
// make of each other.
func (l light) on(grey, x, y float64) float64 {
	band := math.Sin(2*math.Pi*(x+0.3*y)/l.period+l.phase) * math.Sin(2*math.Pi*y/(1.3*l.period))
	return 14 + 0.84*grey + 5*band
}

// around is the light box: bright within 6 % of the width round the film, a
// dark room beyond.
func (l light) around(q geom.Quad[units.Px], p geom.Pt[units.Px]) float64 {
	lo, hi := q[0], q[0]
	for _, c := range q {
		lo.X, lo.Y = min(lo.X, c.X), min(lo.Y, c.Y)
		hi.X, hi.Y = max(hi.X, c.X), max(hi.Y, c.Y)
	}
	m := units.Px(0.06 * l.w)
	if p.X > lo.X-m && p.X < hi.X+m && p.Y > lo.Y-m && p.Y < hi.Y+m {
		return 226
	}
	return 40
}

// spot adds the glare and the uneven light.
func (l light) spot(v, x, y float64) float64 {
	v *= 1 + l.tilt*(x/l.w-0.5) - 0.1*(y/l.h-0.5)
	dx, dy := (x-l.gx)/l.r, (y-l.gy)/l.r
	return v + 190*expMinus(2*(dx*dx+dy*dy))
}
