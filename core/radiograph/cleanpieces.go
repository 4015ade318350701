package radiograph

import (
	"bytes"
	"encoding/binary"
)

// pieces walks the items of the encapsulated picture, as dicom.fragments does,
// and plans the comments in compressed streams. The offset table and the
// samples are left as they are.
func (s *scrubber) pieces(w *walker) error {
	var m marks
	for first := true; w.more(); first = false {
		e, err := w.head()
		switch {
		case err != nil, e.tag == tagItem && int64(e.length) > int64(len(w.b)-w.pos):
			return &InvalidError{Fault: CutPixels}
		case e.tag == tagSeqEnd:
			return m.whole()
		case e.tag != tagItem:
			return &InvalidError{Fault: BadCode, What: "its pieces do not follow each other"}
		}
		from := w.pos
		w.pos += int(e.length)
		if !first && s.packed {
			if err := s.comments(&m, from, w.pos); err != nil {
				return err
			}
		}
	}
	return m.whole()
}

// marks is where in a JPEG or JPEG 2000 stream a piece ended.
type marks struct {
	state  int
	left   int  // bytes of a segment that runs on into the next piece
	hidden bool // the segment is to be blanked
}

const (
	noStream = iota
	between  // segments
	inScan
	inTile // JPEG 2000: nothing more is looked at
)

func (m *marks) whole() error {
	if m.left > 0 {
		return cutPixels()
	}
	return nil
}

// comments plans the segments of one piece that are no part of the picture:
// comments and applications' own, except what says how colours are stored.
func (s *scrubber) comments(m *marks, from, to int) error {
	b := s.b[:to]
	if start := b[from:]; m.left == 0 && (bytes.HasPrefix(start, []byte{0xFF, 0xD8}) || bytes.HasPrefix(start, []byte{0xFF, 0x4F})) {
		m.state = between
		from += 2
	}
	if m.left > 0 {
		from = s.segmentBody(m, from, to)
	}
	for from < to {
		switch m.state {
		case between:
			next, err := s.segmentHead(m, from, to)
			if err != nil {
				return err
			}
			from = next
		case inScan:
			from = nextMark(b, from)
			if from < to {
				m.state = between
			}
		default:
			return nil
		}
	}
	return nil
}

// segmentHead reads a marker and its length, plans stray bytes before it, and
// returns where its segment ends in this piece.
func (s *scrubber) segmentHead(m *marks, from, to int) (int, error) {
	at := bytes.IndexByte(s.b[from:to], 0xFF)
	if at < 0 {
		at = to - from
	}
	s.zero(from, from+at, "Comment")
	from += at
	for from+1 < to && s.b[from+1] == 0xFF {
		from++
	}
	if to-from < 2 {
		return to, m.parted(from, to)
	}
	switch k := s.b[from+1]; {
	case k == 0xD9:
		s.zero(from+2, to, "TrailingData")
		m.state = noStream
		return to, nil
	case k == 0x90:
		m.state = inTile
		return to, nil
	case k == 0 || k == 1 || k >= 0xD0 && k <= 0xD8:
		return from + 2, nil
	}
	if to-from < 4 {
		return to, m.parted(from, to)
	}
	n := int(binary.BigEndian.Uint16(s.b[from+2:]))
	if n < 2 {
		return to, badCode("segment length")
	}
	m.left, m.hidden = n-2, noPicture(s.b[from+1], s.b[from+4:to])
	if s.b[from+1] == 0xDA {
		m.state = inScan
	}
	return s.segmentBody(m, from+4, to), nil
}

// parted refuses a marker that goes over the border of two pieces: what it
// starts could be a comment. A filling byte at the end of a piece is none.
func (m *marks) parted(from, to int) error {
	if from < to {
		return badCode("a segment in two pieces")
	}
	return nil
}

// segmentBody plans what is in this piece of the running segment.
func (s *scrubber) segmentBody(m *marks, from, to int) int {
	end := min(from+m.left, to)
	if m.hidden {
		s.zero(from, end, "Comment")
	}
	m.left -= end - from
	return end
}

// nextMark returns where the next marker after the data of a scan starts.
// JPEG stuffs a 0 after each FF, JPEG-LS a byte under 0x80.
func nextMark(b []byte, from int) int {
	for {
		at := bytes.IndexByte(b[from:], 0xFF)
		if at < 0 || from+at+1 >= len(b) {
			return len(b)
		}
		from += at
		if k := b[from+1]; k >= 0x80 && k != 0xFF && (k < 0xD0 || k > 0xD7) {
			return from
		}
		from++
	}
}

// noPicture reports whether a segment is no part of the picture: COM of JPEG
// and JPEG 2000, and APP1 to APP15 but for colour (ICC, SPIFF, Adobe).
func noPicture(mark byte, seg []byte) bool {
	switch {
	case mark == 0xFE, mark == 0x64:
		return true
	case mark == 0xE0:
		return !bytes.HasPrefix(seg, []byte("JFIF\x00"))
	case mark == 0xE2:
		return !bytes.HasPrefix(seg, []byte("ICC_PROFILE\x00"))
	case mark == 0xE8:
		return !bytes.HasPrefix(seg, []byte("SPIFF\x00"))
	case mark == 0xEE:
		return !bytes.HasPrefix(seg, []byte("Adobe"))
	}
	return mark >= 0xE0 && mark <= 0xEF
}
