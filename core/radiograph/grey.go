package radiograph

import "math"

// Grey8 returns the picture to look at, one byte a pixel, 0 black. The order
// is stored sample → rescale or modality table → window → inversion, which
// comes last and once: for MONOCHROME1, or for a presentation shape INVERSE
// (a DX film of MONOCHROME1 says INVERSE as well, and means the same one).
// A window that cannot be used gives the automatic one.
// Source: DICOM PS3.3, C.11.1, C.11.2, C.11.6, C.8.11.3.1.2; PS3.4, N.2.
func (im *Image) Grey8(w Window) []uint8 {
	lut := im.curve(w)
	pix := im.Pix
	out := make([]uint8, len(pix))
	rest := out
	for len(pix) >= 4 && len(rest) >= 4 { // four at a time: fewer checks of the index
		rest[0], rest[1], rest[2], rest[3] = lut[pix[0]], lut[pix[1]], lut[pix[2]], lut[pix[3]]
		pix, rest = pix[4:], rest[4:]
	}
	for i, v := range pix {
		rest[i] = lut[v]
	}
	return out
}

// curve returns the grey of each stored sample.
func (im *Image) curve(w Window) *[1 << 16]uint8 {
	if !im.usable(w) {
		w = im.Auto()
	}
	lut := new([1 << 16]uint8)
	invert := im.inverted()
	for v := range 1 << im.depth() {
		y := im.windowed(&w, im.rescaled(uint16(v)))
		if invert {
			y = 1 - y
		}
		y *= 255 // 0…255
		whole := int32(y)
		if y-float64(whole) >= 0.5 {
			whole++
		}
		lut[v] = uint8(whole)
	}
	return lut
}

func (im *Image) depth() int { return min(max(im.Header.BitsStored, 1), 16) }

// inverted reports whether low values are shown bright.
func (im *Image) inverted() bool {
	p := im.Header.Photometric
	return p == "MONOCHROME1" || p == "MONOCHROME2" && im.Header.Presentation == "INVERSE"
}

func (im *Image) usable(w Window) bool {
	if w.Shape == FromTable {
		return im.Header.VOI != nil
	}
	return w.sane()
}

// rescaled returns the value a stored sample stands for: through the modality
// table, or slope × value + intercept. Source: DICOM PS3.3, C.11.1.
func (im *Image) rescaled(v uint16) float64 {
	x := float64(int32(v) + im.Offset)
	h := &im.Header
	if h.Modify != nil {
		return h.Modify.at(x)
	}
	if h.Slope != nil {
		x *= *h.Slope
	}
	if h.Intercept != nil {
		x += *h.Intercept
	}
	return x
}

// windowed maps a rescaled value to 0…1. Source: DICOM PS3.3, C.11.2.1.2.1
// (linear), C.11.2.1.3.1 (sigmoid), C.11.2.1.3.2 (linear exact).
func (im *Image) windowed(w *Window, x float64) float64 {
	var y float64
	switch w.Shape {
	case FromTable:
		y = im.Header.VOI.at(x) / im.Header.VOI.full()
	case Sigmoid:
		y = 1 / (1 + math.Exp(-4*(x-w.Centre)/w.Width))
	case LinearExact:
		y = (x-w.Centre)/w.Width + 0.5
	default:
		if w.Width == 1 { // a threshold: the formula would divide by zero
			if x > w.Centre-0.5 {
				return 1
			}
			return 0
		}
		y = (x-(w.Centre-0.5))/(w.Width-1) + 0.5
	}
	if !(y > 0) {
		return 0
	}
	return min(y, 1)
}

// DefaultWindow returns the window to show first: the table of the file, else
// its first window, else the whole range of a colour or 8-bit picture, else
// the automatic window. One that would show the film as a flat grey is passed
// over.
func (im *Image) DefaultWindow() Window {
	h := &im.Header
	auto := im.Auto()
	lo, hi := auto.Centre-auto.Width/2, auto.Centre+auto.Width/2
	shows := func(w Window) bool {
		return math.Abs(im.windowed(&w, hi)-im.windowed(&w, lo)) > 0.02
	}
	if w := (Window{Shape: FromTable, Explanation: "table of the file"}); h.VOI != nil && shows(w) {
		return w
	}
	if len(h.Windows) > 0 && shows(h.Windows[0]) {
		return h.Windows[0]
	}
	if h.Photometric != "MONOCHROME1" && h.Photometric != "MONOCHROME2" || h.Kind != DICOM && h.BitsStored == 8 {
		full := float64(uint32(1) << im.depth())
		return Window{Centre: full / 2, Width: full, Shape: Linear, Explanation: "whole range"}
	}
	return auto
}

// Auto returns the window from the 1st to the 99th percentile of the samples
// inside the collimation.
func (im *Image) Auto() Window {
	x0, y0, x1, y1 := im.exposed()
	hist, n := im.histogram(x0, y0, x1, y1)
	a, b := im.rescaled(percentile(hist, n, 0.01)), im.rescaled(percentile(hist, n, 0.99))
	lo, hi := min(a, b), max(a, b)
	width := hi - lo
	if !(width > 0) {
		width = 1
	}
	return Window{Centre: (lo + hi) / 2, Width: width, Shape: LinearExact, Explanation: "automatic"}
}

// histogram counts the samples of a rectangle, without padding, on a grid of
// at most a few hundred thousand.
func (im *Image) histogram(x0, y0, x1, y1 int) (hist []int, n int) {
	hist = make([]int, 1<<16)
	step := 1
	for (x1-x0)/step*((y1-y0)/step) > 400_000 {
		step++
	}
	skip := int32(math.MinInt32)
	if im.Header.Padding != nil {
		skip = *im.Header.Padding
	}
	for y := y0; y < y1; y += step {
		for x := x0; x < x1; x += step {
			if v := im.Pix[y*im.Width+x]; int32(v)+im.Offset != skip {
				hist[v]++
				n++
			}
		}
	}
	return hist, n
}

// percentile returns the smallest sample that at least a share p of n do not
// exceed.
func percentile(hist []int, n int, p float64) uint16 {
	need := int(math.Ceil(p * float64(n)))
	for v, c := range hist {
		if need -= c; need <= 0 {
			return uint16(v)
		}
	}
	return 0
}

// exposed returns the rectangle inside the collimation: the shutter of the
// header, else what is left when flat lines are taken off each edge (flat:
// spanning under 2 % of the film's range), up to 40 % of a side.
func (im *Image) exposed() (x0, y0, x1, y1 int) {
	if s := im.Header.Shutter; s != nil {
		return s[0], s[1], s[2] + 1, s[3] + 1
	}
	hist, n := im.histogram(0, 0, im.Width, im.Height)
	flat := int(percentile(hist, n, 0.995)-percentile(hist, n, 0.005)) / 50
	row := func(y int) bool { return im.flatLine(y*im.Width, 1, im.Width, flat) }
	col := func(x int) bool { return im.flatLine(x, im.Width, im.Height, flat) }
	x1, y1 = im.Width, im.Height
	for y0 < im.Height*2/5 && row(y0) {
		y0++
	}
	for y1 > im.Height*3/5+1 && row(y1-1) {
		y1--
	}
	for x0 < im.Width*2/5 && col(x0) {
		x0++
	}
	for x1 > im.Width*3/5+1 && col(x1-1) {
		x1--
	}
	if x1 <= x0 || y1 <= y0 {
		return 0, 0, im.Width, im.Height
	}
	return x0, y0, x1, y1
}

// flatLine looks at n samples from at, stride apart.
func (im *Image) flatLine(at, stride, n, span int) bool {
	lo, hi := im.Pix[at], im.Pix[at]
	for i := 0; i < n; i += 4 {
		v := im.Pix[at+i*stride]
		lo, hi = min(lo, v), max(hi, v)
		if int(hi-lo) > span {
			return false
		}
	}
	return true
}
