package main

// maxBitmap is the largest picture made for the screen, in pixels: browsers
// on phones refuse canvases over 16,777,216.
const maxBitmap = 16_000_000

// shrink returns a picture of at most max pixels: the mean over blocks of
// n × n, where n is the smallest whole number that is enough. The blocks
// share the sides evenly, so that the result stretched over the film lies
// right everywhere. With n = 1 it is the picture itself.
func shrink(grey []uint8, w, h, max int) ([]uint8, int, int) {
	n := 1
	for ((w+n-1)/n)*((h+n-1)/n) > max {
		n++
	}
	if n == 1 {
		return grey, w, h
	}
	nw, nh := (w+n-1)/n, (h+n-1)/n
	out := make([]uint8, nw*nh)
	for y := range nh {
		y0, y1 := y*h/nh, (y+1)*h/nh
		for x := range nw {
			x0, x1 := x*w/nw, (x+1)*w/nw
			t := 0
			for j := y0; j < y1; j++ {
				for _, v := range grey[j*w+x0 : j*w+x1] {
					t += int(v)
				}
			}
			area := (x1 - x0) * (y1 - y0)
			out[y*nw+x] = uint8((t + area/2) / area)
		}
	}
	return out, nw, nh
}

// fillRGBA writes grey as opaque RGBA.
func fillRGBA(rgba, grey []uint8) {
	for i, v := range grey {
		p := rgba[4*i : 4*i+4 : 4*i+4]
		p[0], p[1], p[2], p[3] = v, v, v, 255
	}
}
