package radiograph

import (
	"bytes"
	"encoding/binary"
)

// cleanJPEG copies a JPEG picture without the segments that are no part of
// it, and with what is up as the only thing a camera has said. Everything
// after the end mark goes.
func cleanJPEG(file []byte, gone *names) ([]byte, error) {
	up := minimalExif(exifOrientation(file))
	out := make([]byte, 0, len(file)+len(up))
	out = append(append(out, 0xFF, 0xD8), up...)
	for s := (&jpegStream{b: file, pos: 2}); ; {
		mark, body, err := s.segment()
		if err != nil {
			return nil, err
		}
		if mark == 0xD9 {
			out = append(out, 0xFF, 0xD9)
			if len(file) > s.pos {
				gone.add("TrailingData")
			} else if len(*gone) == 0 && !bytes.Equal(out, file) {
				gone.add("StrayData")
			}
			return out, nil
		}
		if body == nil { // stray marks without a segment
			continue
		}
		seg := file[s.pos-len(body)-4 : s.pos]
		kept, err := cleanSegment(seg, up, gone)
		if err != nil {
			return nil, err
		}
		out = append(out, kept...)
		if mark == 0xDA {
			end := nextMark(file, s.pos)
			out = append(out, file[s.pos:end]...)
			s.pos = end
		}
	}
}

// cleanSegment returns what is kept of a segment: all, nothing, or its start.
func cleanSegment(seg, up []byte, gone *names) ([]byte, error) {
	mark, body := seg[1], seg[4:]
	switch {
	case bytes.Equal(seg, up):
		return nil, nil // it is written at the start
	case noPicture(mark, body):
		gone.add(segmentName(mark, body))
		return nil, nil
	case mark == 0xE0:
		return trimSegment(seg, 14, "Thumbnail", gone), nil
	case mark == 0xEE:
		return trimSegment(seg, 12, "APP14", gone), nil
	case mark < 0xC0 || mark >= 0xF0:
		return nil, &UnsupportedError{What: "jpeg", Name: "JPEG with an unknown part"}
	}
	return seg, nil
}

// trimSegment keeps the first n bytes of a segment's body. Of JFIF that is
// all but the thumbnail, whose size is then 0 × 0 (JFIF 1.02).
func trimSegment(seg []byte, n int, name string, gone *names) []byte {
	if len(seg) <= 4+n {
		return seg
	}
	gone.add(name)
	out := bytes.Clone(seg[:4+n])
	binary.BigEndian.PutUint16(out[2:], uint16(2+n))
	if seg[1] == 0xE0 {
		out[16], out[17] = 0, 0
	}
	return out
}

func segmentName(mark byte, body []byte) string {
	switch {
	case mark == 0xFE:
		return "Comment"
	case mark == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00")):
		return "EXIF"
	case mark == 0xE1:
		return "XMP"
	case mark == 0xE0:
		return "Thumbnail"
	case mark == 0xED:
		return "IPTC"
	}
	return "APP" + string([]byte{'0' + (mark&15)/10, '0' + (mark&15)%10})
}

// minimalExif returns an APP1 segment that holds the orientation only, or
// nothing for an upright picture. One that could not be read is written as 0,
// which no reader can read either, so that the doubt is kept. Source: CIPA
// DC-008 (Exif 2.3), 4.5 and 4.6.4.
func minimalExif(orientation int, ok bool) []byte {
	if !ok {
		orientation = 0
	} else if orientation == 1 {
		return nil
	}
	seg := []byte("\xFF\xE1\x00\x22Exif\x00\x00MM\x00\x2A\x00\x00\x00\x08" + // one directory at 8
		"\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00") // of one SHORT
	seg[29] = byte(orientation)
	return seg
}

// cleanPNG copies a PNG picture with the chunks that say how it looks, byte
// for byte with their checks. Source: PNG (ISO/IEC 15948), 5 and 11.
func cleanPNG(file []byte, gone *names) ([]byte, error) {
	out := make([]byte, 0, len(file))
	out = append(out, file[:8]...)
	for pos := 8; ; {
		if len(file)-pos < 12 {
			return nil, cutPixels()
		}
		n := binary.BigEndian.Uint32(file[pos:])
		if int64(n) > int64(len(file)-pos-12) {
			return nil, cutPixels()
		}
		chunk := file[pos : pos+12+int(n)]
		pos += len(chunk)
		kind := string(chunk[4:8])
		switch kind {
		case "IHDR", "PLTE", "IDAT", "tRNS", "gAMA", "cHRM", "sRGB", "iCCP", "cICP", "sBIT", "pHYs":
			out = append(out, chunk...)
		case "IEND":
			if n > 0 {
				return nil, &InvalidError{Fault: BadCode, What: "PNG: end mark"}
			}
			if len(file) > pos {
				gone.add("TrailingData")
			}
			return append(out, chunk...), nil
		default:
			if kind[0]&0x20 == 0 { // critical: the picture cannot be read without it
				return nil, &UnsupportedError{What: "picture", Name: "PNG with an unknown part"}
			}
			gone.add(chunkName(kind))
		}
	}
}

func chunkName(kind string) string {
	switch kind {
	case "tEXt", "zTXt", "iTXt", "eXIf", "tIME", "sPLT", "hIST", "bKGD", "acTL", "fcTL", "fdAT":
		return kind
	}
	return "Private"
}
