package radiograph

// luma is the brightness of a colour (ITU-R BT.601, as in JFIF and in
// PS3.3 C.7.6.3.1.2), rounded; equal parts stay what they are.
func luma(r, g, b uint32) uint16 { return uint16((299*r + 587*g + 114*b + 500) / 1000) }

// readPalette fills the three tables of a PALETTE COLOR film.
func (f *dicom) readPalette(h *Header) error {
	if _, ok := f.elements[0x00281221]; ok {
		return &UnsupportedError{What: "palette", Name: "segmented"}
	}
	for i := range h.palette {
		d, v := tag(0x00281101+i), tag(0x00281201+i)
		t := f.table(h, f.elements[d].value, f.elements[v].value)
		if t == nil {
			return &InvalidError{Fault: BadValue, What: "the length of the colour table " + v.String(), Got: int64(len(f.elements[v].value))}
		}
		h.palette[i] = *t
	}
	return nil
}

// throughPalette replaces palette indices by brightness.
func (im *Image) throughPalette() {
	h := &im.Header
	var lut [1 << 16]uint16
	for v := range lut {
		x := float64(int32(v) + im.Offset)
		lut[v] = luma(uint32(h.palette[0].at(x)), uint32(h.palette[1].at(x)), uint32(h.palette[2].at(x)))
	}
	for i, v := range im.Pix {
		im.Pix[i] = lut[v]
	}
	im.Offset = 0
	h.BitsStored = h.palette[0].Bits
}
