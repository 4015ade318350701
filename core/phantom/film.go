package phantom

// A Film is a drawn radiograph: Pix row by row, Setup.Bits of each used.
type Film struct {
	Femur         Femur
	Setup         Setup
	Width, Height int
	Pix           []uint16
	Truth         Truth
}

// Draw returns the film of a femur and what is true of it. Attenuation along
// each ray from the source is that of the solids, worked out by formula; then
// come blur, scatter, noise and the detector. Same input, same bits. It
// refuses a femur or a setup that cannot be (a *RangeError).
func Draw(f Femur, s Setup) (*Film, error) { return DrawTelling(f, s, nil) }

// DrawTelling is Draw for somebody who waits: tell hears how much is done,
// rising from 0 to 1, and may stop the work by a panic. Nil hears nothing.
func DrawTelling(f Femur, s Setup, tell func(done float64)) (*Film, error) {
	t, err := Know(f, s)
	if err != nil {
		return nil, err
	}
	b := newBody(f)
	c := &canvas{camera: newCamera(s), w: s.Width, h: s.Height, mu: make([]float32, s.Width*s.Height), end: b.end, tell: tell}
	c.weave(s.Seed)
	whole := c.place(b)
	c.drawThigh(b, whole)
	pieces := b.pieces(whole)
	for i, p := range pieces {
		c.from, c.share = bone*float64(i)/float64(len(pieces)), bone/float64(len(pieces))
		c.drawPiece(b.parts, p)
	}
	c.drawNail(b, whole)
	c.drawMarkers()
	c.drawRuler()
	c.drawLetters()
	return &Film{f, s, s.Width, s.Height, c.expose(), t}, nil
}

// How much of the work is done when the bone is drawn, and when all is
// smoothed: measured under WebAssembly.
const bone, smoothed = 0.4, 0.6

// done tells how far the rows of this part of the work are.
func (c *canvas) done(y int) {
	if c.tell != nil {
		c.tell(c.from + c.share*float64(y+1)/float64(c.h))
	}
}

// drawThigh adds the soft tissue: round the shaft, wider at the hip, narrower
// at the knee.
func (c *canvas) drawThigh(b *body, whole pose) {
	r := float64(b.f.Thigh) / 2
	if r == 0 {
		return
	}
	mid := (b.end) / 2
	t := newTube(pose{m: one}, -150, b.end+150, 1, func(z float64) (cx, cy, ro, ri float64) {
		s := (z - mid) / mid
		g := 1.25 - 0.5*smooth(-1.3, 1.1, s)
		return 6 * s, -0.1 * r, r * g, 0
	})
	const block = 4 // skin needs no sharper edge
	k := &canvas{camera: c.camera, w: (c.w + block - 1) / block, h: (c.h + block - 1) / block}
	k.col, k.row = c.col*block, c.row*block
	k.midX, k.midY = (c.midX-(block-1)/2.0)/block, (c.midY-(block-1)/2.0)/block
	k.mu = make([]float32, k.w*k.h)
	k.drawPlain(part{shape: t, from: t.from, bounds: t.bounds()}, whole, softMu, softMu)
	c.lay(k, block, 1)
}

// drawNail adds an implant along the centre line of the canal, hollow, and
// its two screws across.
func (c *canvas) drawNail(b *body, whole pose) {
	k := c.s.Nail
	if !(k.Across > 0 && k.Length > 0) {
		return
	}
	top, low := b.nail(k)
	r := float64(k.Across) / 2
	t := newTube(pose{m: one}, top, low, 1, func(z float64) (cx, cy, ro, ri float64) {
		return 0, b.nailBow(z), r, r * 0.45
	})
	c.drawPlain(part{shape: t, from: t.from, bounds: t.bounds()}, whole, 0.09, marrowMu)
	if !k.Screws {
		return
	}
	for _, up := range []float64{15, 35} {
		z := low - up
		ro, _ := b.profile(z)
		from := pose{turn(2, 0, 90), vec{0, b.bow(z), z}}
		s := newTube(from, -ro-5, ro+5, 1, func(float64) (cx, cy, ro, ri float64) { return 0, 0, 2.5, 0 })
		c.drawPlain(part{shape: s, from: from, bounds: s.bounds()}, whole, 0.12, 0)
	}
}
