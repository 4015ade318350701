package radiograph

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// planes is what a decoder hands back: one plane, or three of one size.
// bright says that the first of three is brightness already.
type planes struct {
	width, height int
	bits          int // precision of the samples, as the stream says
	pix           [][]uint16
	bright        bool
}

func openDICOM(b []byte, o Options) (*Image, error) {
	f, err := parseDICOM(b)
	if err != nil {
		return nil, err
	}
	h, err := f.header()
	if err != nil {
		return nil, err
	}
	if o.Frame < 0 || o.Frame >= h.Frames {
		return nil, &InvalidError{Fault: NoFrame, Got: int64(o.Frame) + 1, Need: int64(h.Frames)}
	}
	im := &Image{Frame: o.Frame, Width: h.Columns, Height: h.Rows}
	im.Header = h
	if f.pixels.length == undefined {
		err = f.openPacked(im, o)
	} else {
		err = f.openPlain(im, o)
	}
	if err != nil {
		return nil, err
	}
	if h.Photometric == "PALETTE COLOR" {
		im.throughPalette()
	}
	o.Progress(1)
	return im, nil
}

// openPlain reads a frame that is not compressed.
func (f *dicom) openPlain(im *Image, o Options) error {
	h := &im.Header
	if f.at.codec != native {
		return &InvalidError{Fault: BadCode, What: "no compressed picture is in it, though the header says " + f.at.name}
	}
	sub := h.Samples * 2 // samples of two pixels
	if h.Photometric == "YBR_FULL_422" || h.Photometric == "YBR_PARTIAL_422" {
		sub = 4
	}
	size := (int64(h.Rows)*int64(h.Columns)*int64(sub) + 1) / 2 * int64(h.BitsAllocated/8)
	have := int64(len(f.pixels.value))
	if need := size * int64(h.Frames); have < need {
		if f.pixels.short {
			return &InvalidError{Fault: CutPixels, Got: have, Need: need}
		}
		what := fmt.Sprintf("%d × %d × %d frames, %d bytes", h.Columns, h.Rows, h.Frames, need)
		return &InvalidError{Fault: Sizes, What: what, Got: have, Need: need}
	} else if have > need+1 {
		h.warn(Trailing, fmt.Sprintf("%d bytes more than the picture needs", have-need))
	}
	raw := f.pixels.value[int64(o.Frame)*size:][:size]
	if h.BitsAllocated == 8 && f.at.big && (f.pixels.vr == "OW" || f.pixels.vr == "") {
		raw = swapPairs(f.pixels.value, int64(o.Frame)*size, size)
	}
	im.Pix = make([]uint16, h.Rows*h.Columns)
	if h.Samples == 3 {
		f.plainColour(im, raw)
		return nil
	}
	f.plainGrey(im, raw)
	return nil
}

// swapPairs copies bytes [at, at+n) of words that were written big endian:
// 8-bit samples in OW lie in 16-bit words (PS3.5, 8.1.1 and annex A.3).
func swapPairs(b []byte, at, n int64) []byte {
	out := make([]byte, n)
	for i := range out {
		j := (at + int64(i)) ^ 1
		if j >= int64(len(b)) {
			j = at + int64(i)
		}
		out[i] = b[j]
	}
	return out
}

func (f *dicom) plainGrey(im *Image, raw []byte) {
	switch {
	case im.Header.BitsAllocated == 8:
		for i := range im.Pix {
			im.Pix[i] = uint16(raw[i])
		}
	case f.at.big:
		for i := range im.Pix {
			im.Pix[i] = binary.BigEndian.Uint16(raw[2*i:])
		}
	default:
		littleWords(im.Pix, raw)
	}
	im.settle(im.Header.HighBit)
}

// littleWords fills pix from words of 16 bits, the low byte first: four at a
// time, which the compiler makes one load and one store of.
func littleWords(pix []uint16, raw []byte) {
	for len(pix) >= 4 && len(raw) >= 8 {
		x := binary.LittleEndian.Uint64(raw)
		pix[0], pix[1], pix[2], pix[3] = uint16(x), uint16(x>>16), uint16(x>>32), uint16(x>>48)
		pix, raw = pix[4:], raw[8:]
	}
	for i := range pix {
		pix[i] = binary.LittleEndian.Uint16(raw[2*i:])
	}
}

// plainColour makes one grey plane of colour samples: brightness of RGB, or
// the brightness that a YBR film holds already.
func (f *dicom) plainColour(im *Image, raw []byte) {
	h := &im.Header
	n := len(im.Pix)
	sample := func(i int) uint32 {
		if h.BitsAllocated == 8 {
			return uint32(raw[i])
		}
		return uint32(f.order().Uint16(raw[2*i:]))
	}
	switch {
	case h.Photometric == "YBR_FULL_422" || h.Photometric == "YBR_PARTIAL_422":
		for i := range im.Pix {
			im.Pix[i] = uint16(sample(i/2*4 + i%2))
		}
	case h.Photometric != "RGB" && h.Planar:
		for i := range im.Pix {
			im.Pix[i] = uint16(sample(i))
		}
	case h.Photometric != "RGB":
		for i := range im.Pix {
			im.Pix[i] = uint16(sample(3 * i))
		}
	case h.Planar:
		for i := range im.Pix {
			im.Pix[i] = luma(sample(i), sample(n+i), sample(2*n+i))
		}
	default:
		for i := range im.Pix {
			im.Pix[i] = luma(sample(3*i), sample(3*i+1), sample(3*i+2))
		}
	}
}

// settle masks the samples to the bits that count and makes signed ones
// unsigned with an offset, keeping their order.
func (im *Image) settle(highBit int) {
	h := &im.Header
	shift := highBit + 1 - h.BitsStored
	mask := uint16(1<<h.BitsStored - 1)
	flip := uint16(0)
	if h.Signed {
		flip = 1 << (h.BitsStored - 1) // two's complement to offset binary
		im.Offset = -int32(flip)
	}
	if shift == 0 && mask == 0xFFFF && flip == 0 {
		return
	}
	pix := im.Pix
	if shift&15 == 0 {
		for i, v := range pix {
			pix[i] = v&mask ^ flip
		}
		return
	}
	for i, v := range pix {
		pix[i] = v>>(shift&15)&mask ^ flip
	}
}

// openPacked decodes a frame from its fragments.
func (f *dicom) openPacked(im *Image, o Options) error {
	h := &im.Header
	if f.at.codec == codecNone {
		return &UnsupportedError{What: "syntax", Name: f.at.name, UID: f.at.uid}
	}
	if f.at.codec == native {
		return &InvalidError{Fault: BadCode, What: "the picture is compressed, though the header says " + f.at.name}
	}
	data, err := f.frameData(h, o.Frame)
	if err != nil {
		return err
	}
	if f.at.codec == codecJ2K {
		return f.openJ2K(im, data, o)
	}
	var p *planes
	if f.at.codec == codecRLE {
		p, err = decodeRLE(data, h, o.Progress)
	} else {
		var left int
		p, left, err = decodeJPEG(data, want{h.Columns, h.Rows, h.Samples, h.Photometric == "RGB"}, o.Progress)
		if left > 1 {
			h.warn(Trailing, fmt.Sprintf("%d bytes of compressed data that no sample used", left))
		}
	}
	if err != nil {
		return err
	}
	return im.take(p)
}

// take makes the decoded planes the grey plane of the image.
func (im *Image) take(p *planes) error {
	h := &im.Header
	if p.bits > h.BitsAllocated {
		return &InvalidError{Fault: Sizes, What: fmt.Sprintf("%d bits a sample", h.BitsAllocated)}
	}
	im.Pix = p.pix[0]
	if len(p.pix) == 3 {
		if !p.bright {
			g, b := p.pix[1], p.pix[2]
			for i, r := range im.Pix {
				im.Pix[i] = luma(uint32(r), uint32(g[i]), uint32(b[i]))
			}
		}
		return nil
	}
	high := h.HighBit
	if p.bits <= h.BitsStored {
		high = h.BitsStored - 1 // the stream holds the samples without the unused bits
	}
	im.settle(high)
	return nil
}

// A fragment is one item of an encapsulated picture; at is its distance from
// the first, for the offset table.
type fragment struct {
	at   uint32
	data []byte
}

// fragments reads the items of an encapsulated picture: the offset table and
// then the pieces (PS3.5, A.4). A missing end mark is noted, a cut piece is
// refused.
func (f *dicom) fragments(h *Header) (table []byte, frags []fragment, err error) {
	w := newWalker(f.pixels.value, 0, f.at)
	first, start := true, 0
	for w.more() {
		at := w.pos
		e, err := w.head()
		if err != nil || e.tag == tagItem && int64(e.length) > int64(len(w.b)-w.pos) {
			return nil, nil, &InvalidError{Fault: CutPixels}
		}
		if e.tag == tagSeqEnd {
			if rest := bytes.Trim(w.b[w.pos:], "\x00"); len(rest) > 0 && rest[0] != 0xFC {
				h.warn(Trailing, fmt.Sprintf("something of %d bytes", len(rest)))
			}
			return table, frags, nil
		}
		if e.tag != tagItem {
			return nil, nil, &InvalidError{Fault: BadCode, What: "its pieces do not follow each other"}
		}
		data := w.b[w.pos : w.pos+int(e.length)]
		w.pos += int(e.length)
		if first {
			table, first, start = data, false, w.pos
			continue
		}
		frags = append(frags, fragment{uint32(at - start), data})
	}
	h.warn(NoEndMark, "")
	return table, frags, nil
}

// frameData returns the compressed bytes of one frame: by the offset table,
// else one piece a frame, else all pieces for the only frame, else parted
// where a JPEG or JPEG 2000 stream starts.
func (f *dicom) frameData(h *Header, frame int) ([]byte, error) {
	table, frags, err := f.fragments(h)
	if err != nil {
		return nil, err
	}
	if len(frags) == 0 {
		return nil, &InvalidError{Fault: NoPixels}
	}
	n := h.Frames
	starts := f.starts(table, frags, n)
	if starts == nil && f.at.codec != codecRLE {
		for i, fr := range frags {
			if bytes.HasPrefix(fr.data, []byte{0xFF, 0xD8}) || startsJ2K(fr.data) {
				starts = append(starts, i)
			}
		}
	}
	if len(starts) != n || starts[0] != 0 {
		return nil, &InvalidError{Fault: BadFrames, Got: int64(len(frags)), Need: int64(n)}
	}
	end := len(frags)
	if frame+1 < n {
		end = starts[frame+1]
	}
	return join(frags[starts[frame]:end]), nil
}

// starts returns the first piece of each frame, or nil when neither the
// offset table nor the count says.
func (f *dicom) starts(table []byte, frags []fragment, n int) []int {
	out := make([]int, 0, n)
	if n == 1 {
		return append(out, 0)
	}
	if len(table) == 4*n {
		i := 0
		for k := range n {
			at := f.order().Uint32(table[4*k:])
			for i < len(frags) && frags[i].at < at {
				i++
			}
			if i == len(frags) || frags[i].at != at || k > 0 && i == out[k-1] {
				out = out[:0]
				break
			}
			out = append(out, i)
		}
	}
	if len(out) == n {
		return out
	}
	if len(frags) != n {
		return nil
	}
	out = out[:0]
	for i := range frags {
		out = append(out, i)
	}
	return out
}

func join(frags []fragment) []byte {
	if len(frags) == 1 {
		return frags[0].data
	}
	n := 0
	for _, f := range frags {
		n += len(f.data)
	}
	out := make([]byte, 0, n)
	for _, f := range frags {
		out = append(out, f.data...)
	}
	return out
}
