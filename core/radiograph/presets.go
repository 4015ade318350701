package radiograph

import "strconv"

// Windows returns the windows to choose from, the one to show first in front:
// those of the file, then four worked out from the histogram inside the
// collimation. With q(p) the value that a share p of the pixels is not
// brighter than on the screen:
//
//	automatic    1 % to 99 %
//	bone         q(0.50) to q(0.999): the brighter half
//	soft tissue  q(0.01) to q(0.70)
//	whole range  least to greatest
//
// The shares are common practice and for the eye only: nothing is measured
// from a window. Explanation is the name of each.
func (im *Image) Windows() []Window {
	first := im.DefaultWindow()
	h := &im.Header
	var all []Window
	if h.VOI != nil {
		all = append(all, Window{Shape: FromTable, Explanation: "table of the file"})
	}
	for i, w := range h.Windows {
		if w.Explanation == "" {
			w.Explanation = "window " + strconv.Itoa(i+1) + " of the file"
		}
		all = append(all, w)
	}
	all = append(all, im.presets()...)
	for i, w := range all {
		if w.Shape == first.Shape && w.Centre == first.Centre && w.Width == first.Width {
			copy(all[1:i+1], all[:i])
			all[0] = w
			return all
		}
	}
	return append([]Window{first}, all...)
}

func (im *Image) presets() []Window {
	x0, y0, x1, y1 := im.exposed()
	hist, n := im.histogram(x0, y0, x1, y1)
	q := func(p float64) float64 {
		if im.Inverted() {
			p = 1 - p
		}
		return im.rescaled(percentile(hist, n, min(max(p, 1/float64(max(n, 1))), 1)))
	}
	between := func(name string, a, b float64) Window {
		lo, hi := min(a, b), max(a, b)
		if !(hi > lo) {
			hi = lo + 1
		}
		return Window{Centre: (lo + hi) / 2, Width: hi - lo, Shape: LinearExact, Explanation: name}
	}
	return []Window{im.Auto(), between("bone", q(0.5), q(0.999)), between("soft tissue", q(0.01), q(0.7)), between("whole range", q(0), q(1))}
}

// Inverted reports whether low values are shown bright: for MONOCHROME1, or a
// presentation shape INVERSE.
func (im *Image) Inverted() bool { return im.inverted() }

// Coarse8 returns Grey8 of every step-th sample each way, and its size: a
// picture to show while the whole one is made.
func (im *Image) Coarse8(w Window, step int) (grey []uint8, width, height int) {
	step = max(step, 1)
	lut := im.curve(w)
	width, height = (im.Width+step-1)/step, (im.Height+step-1)/step
	grey = make([]uint8, width*height)
	for y := range height {
		row, to := im.Pix[y*step*im.Width:][:im.Width], grey[y*width:][:width]
		x := 0
		for i := range to {
			to[i] = lut[row[x]]
			x += step
		}
	}
	return grey, width, height
}
