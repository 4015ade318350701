package radiograph

import (
	"encoding/binary"
	"strconv"
)

// orient reads the EXIF orientation of a JPEG into the header and turns rows
// and columns with it. Values 5 to 8 swap width and height.
func (h *Header) orient(b []byte) {
	o, ok := exifOrientation(b)
	if !ok {
		h.warn(OrientUnread, "")
	}
	if o <= 1 {
		return
	}
	h.Orientation = o
	if o >= 5 {
		h.Rows, h.Columns = h.Columns, h.Rows
	}
	h.warn(Turned, "orientation "+strconv.Itoa(o))
}

// exifOrientation returns tag 0x0112 of IFD 0 in the first APP1 Exif segment:
// 1 to 8, or 1 when there is none. It reports false for a segment that cannot
// be read. Source: CIPA DC-008 (Exif 2.3), 4.6.4 and 4.5.
func exifOrientation(b []byte) (int, bool) {
	for pos := 2; pos+4 <= len(b) && b[pos] == 0xFF; {
		m := b[pos+1]
		if m == 0xFF {
			pos++
			continue
		}
		n := int(binary.BigEndian.Uint16(b[pos+2:]))
		if m == 0xDA || m == 0xD9 || n < 2 || pos+2+n > len(b) {
			return 1, true
		}
		seg := b[pos+4 : pos+2+n]
		if m == 0xE1 && len(seg) > 6 && string(seg[:6]) == "Exif\x00\x00" {
			return tiffOrientation(seg[6:])
		}
		pos += 2 + n
	}
	return 1, true
}

// tiffOrientation looks through the first directory of a TIFF block.
func tiffOrientation(t []byte) (int, bool) {
	if len(t) < 8 {
		return 1, false
	}
	order := binary.ByteOrder(binary.LittleEndian)
	if string(t[:2]) == "MM" {
		order = binary.BigEndian
	} else if string(t[:2]) != "II" {
		return 1, false
	}
	at := order.Uint32(t[4:])
	if int64(at)+2 > int64(len(t)) {
		return 1, false
	}
	n := int(order.Uint16(t[at:]))
	for e := t[at+2:]; n > 0; n-- {
		if len(e) < 12 {
			return 1, false
		}
		if order.Uint16(e) == 0x0112 {
			v := int(order.Uint16(e[8:]))
			if order.Uint16(e[2:]) != 3 || order.Uint32(e[4:]) != 1 || v < 1 || v > 8 {
				return 1, false
			}
			return v, true
		}
		e = e[12:]
	}
	return 1, true
}

// turn brings the picture upright: o is the EXIF orientation, which says
// where row 0 and column 0 of the stored picture lie. Source: CIPA DC-008,
// 4.6.4, tag Orientation.
func (im *Image) turn(o int) {
	if o <= 1 || o > 8 {
		return
	}
	w, h := im.Width, im.Height
	nw, nh := w, h
	if o >= 5 {
		nw, nh = h, w
	}
	out := make([]uint16, len(im.Pix))
	for y := range nh {
		for x := range nw {
			sx, sy := x, y
			if o >= 5 {
				sx, sy = y, x
			}
			if o == 2 || o == 3 || o == 7 || o == 8 {
				sx = w - 1 - sx
			}
			if o == 3 || o == 4 || o == 6 || o == 7 {
				sy = h - 1 - sy
			}
			out[y*nw+x] = im.Pix[sy*w+sx]
		}
	}
	im.Pix, im.Width, im.Height = out, nw, nh
}
