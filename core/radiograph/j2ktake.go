package radiograph

import (
	"errors"
	"fmt"
)

// openJ2K decodes a frame of JPEG 2000 through the library that the caller
// brings. What may reach the library, and what of its answer is believed, is
// decided here.
func (f *dicom) openJ2K(im *Image, data []byte, o Options) error {
	h := &im.Header
	if o.JPEG2000 == nil {
		return &UnsupportedError{What: "syntax", Name: f.at.name, UID: f.at.uid}
	}
	c, err := parseJ2K(data)
	if err != nil {
		return err
	}
	if c.width != h.Columns || c.height != h.Rows || c.components != h.Samples {
		return &InvalidError{Fault: Sizes, What: fmt.Sprintf("%d × %d in %d", h.Columns, h.Rows, h.Samples), Got: int64(c.width), Need: int64(h.Columns)}
	}
	if c.endless {
		h.warn(NoEndMark, "")
	}
	o.Progress(0.05)
	s, err := o.JPEG2000(c.forLibrary())
	if err != nil {
		var coded interface{ Code() string }
		if errors.As(err, &coded) {
			return err
		}
		return badJ2K(fmt.Sprintf("%.80s", err))
	}
	o.Progress(0.9)
	if yes := true; c.lossy && (h.Lossy == nil || !*h.Lossy) {
		h.Lossy = &yes
		h.warn(LossyFilm, "")
	}
	return im.takeJ2K(c, s)
}

// takeJ2K makes the decoded samples the grey plane, or refuses an answer that
// is not the picture the codestream declared.
func (im *Image) takeJ2K(c *codestream, s Samples) error {
	n := c.width * c.height
	wide := (c.bits + 7) / 8
	if s.Width != c.width || s.Height != c.height || s.Components != c.components || s.Bits != c.bits || len(s.Data) != n*wide*c.components {
		return &InvalidError{Fault: Sizes, What: fmt.Sprintf("%d × %d in %d bits", c.width, c.height, c.bits), Got: int64(s.Width), Need: int64(c.width)}
	}
	im.Pix = make([]uint16, n)
	if c.components == 3 {
		bright := !c.mixed && im.Header.Photometric != "RGB" // YBR as it was stored
		for i := range im.Pix {
			if p := s.Data[3*i : 3*i+3]; bright {
				im.Pix[i] = uint16(p[0])
			} else {
				im.Pix[i] = luma(uint32(p[0]), uint32(p[1]), uint32(p[2]))
			}
		}
		return im.within(c.bits)
	}
	for i := range im.Pix {
		if wide == 1 {
			im.Pix[i] = uint16(s.Data[i])
		} else {
			im.Pix[i] = uint16(s.Data[2*i]) | uint16(s.Data[2*i+1])<<8
		}
	}
	if err := im.within(c.bits); err != nil {
		return err
	}
	im.agree(c)
	return nil
}

// within refuses samples over the precision: they were not in the codestream.
func (im *Image) within(bits int) error {
	for _, v := range im.Pix {
		if v>>bits != 0 {
			return badJ2K("samples of more than its bits")
		}
	}
	return nil
}

// agree settles sign and depth where header and codestream differ, and says
// so. The codestream is followed, as it is what was decoded (DICOM PS3.5,
// 8.2.4); only when the other sign makes the picture less than half as rough
// the header is right, and the codestream was written by a program that did
// not know of signs. Depth is the header's as long as every sample keeps to
// it. Samples come in as offset binary when the codestream is signed.
func (im *Image) agree(c *codestream) {
	h := &im.Header
	signed, half := c.signed, uint16(1)<<(c.bits-1)
	if signed != h.Signed {
		if 2*im.rough(half) < im.rough(0) {
			signed = h.Signed
			for i := range im.Pix {
				im.Pix[i] ^= half
			}
		}
		h.warn(Disagree, "whether there are values below zero")
	}
	least, most := im.Pix[0], im.Pix[0]
	for _, v := range im.Pix {
		least, most = min(least, v), max(most, v)
	}
	bits, down := h.BitsStored, uint16(0)
	if signed {
		down = half - half>>max(c.bits-bits, 0) // offset binary of the header's depth
	}
	if c.bits < bits || least < down || (most-down)>>bits != 0 {
		if c.bits > bits {
			h.warn(Disagree, "how deep the grey values are")
		}
		bits, down = c.bits, 0
	}
	for i := range im.Pix {
		im.Pix[i] -= down
	}
	h.BitsStored, h.HighBit = bits, bits-1
	h.sign(signed)
	if signed {
		im.Offset = -(1 << (bits - 1))
	}
}

// rough sums the steps between neighbours, of samples with a bit turned over.
func (im *Image) rough(turn uint16) (sum uint64) {
	for y := range im.Height {
		row := im.Pix[y*im.Width:][:im.Width]
		for i := 1; i < len(row); i++ {
			a, b := row[i-1]^turn, row[i]^turn
			sum += uint64(max(a, b) - min(a, b))
		}
	}
	return sum
}

// sign reads the values that follow the sign of the samples once more.
func (h *Header) sign(signed bool) {
	if h.Signed == signed {
		return
	}
	h.Signed = signed
	again := func(v *int32) {
		if *v = int32(uint16(*v)); signed {
			*v = int32(int16(*v))
		}
	}
	if h.Padding != nil {
		again(h.Padding)
	}
	for _, t := range []*Table{h.Modify, h.VOI} {
		if t != nil {
			again(&t.First)
		}
	}
}
