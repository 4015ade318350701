package radiograph

import (
	"encoding/binary"
	"fmt"
)

// want is what the DICOM header promises about a compressed stream; the
// stream's own size must be the same before any memory is asked for.
type want struct {
	width, height, samples int
	rgb                    bool // the header says RGB
}

// A component is one colour of a JPEG frame.
type component struct {
	id    byte
	h, v  int // sampling factors
	quant byte
	dc    byte // tables of the running scan
	ac    byte
	done  bool
	blocks
}

// jpegStream reads the markers of ITU-T T.81 and T.87. Frames of SOF0, SOF1
// (DCT, 8 or 12 bits), SOF3 (lossless) and SOF55 (JPEG-LS) are decoded.
type jpegStream struct {
	b        []byte
	pos      int
	want     want
	progress func(float64)

	sof     byte
	bits    int
	comps   []component
	dc, ac  [4]*huffman
	quant   [4]*[64]int
	restart int // MCUs between restart marks, 0 for none
	adobe   int // transform, −1 without the segment
	jfif    bool
	preset  [5]int // JPEG-LS: MAXVAL, T1, T2, T3, RESET; 0 for the default
	left    int    // bytes of compressed data that no sample used
	out     *planes
}

func badCode(what string) error { return &InvalidError{Fault: BadCode, What: "JPEG: " + what} }

func cutPixels() error { return &InvalidError{Fault: CutPixels} }

// stopped says why decoding ended at line y of n: the data ran dry, or holds
// a code that cannot be.
func stopped(dry bool, y, n int, what string) error {
	if dry {
		return &InvalidError{Fault: CutPixels, Got: int64(y), Need: int64(n)}
	}
	return badCode(what)
}

// decodeJPEG decodes one frame. Source: ITU-T T.81 (1992), T.87 (1998).
func decodeJPEG(b []byte, w want, progress func(float64)) (*planes, int, error) {
	s := &jpegStream{b: b, want: w, progress: progress, adobe: -1}
	if len(b) < 4 || b[0] != 0xFF || b[1] != 0xD8 {
		return nil, 0, badCode("no start mark")
	}
	s.pos = 2
	for {
		m, seg, err := s.segment()
		if err != nil {
			return nil, 0, err
		}
		if m == 0xD9 {
			return nil, 0, cutPixels()
		}
		if err := s.handle(m, seg); err != nil {
			return nil, 0, err
		}
		if m == 0xDA && s.complete() {
			s.cropDCT()
			return s.out, s.left, nil
		}
	}
}

// segment returns the next marker and the bytes of its segment.
func (s *jpegStream) segment() (byte, []byte, error) {
	for s.pos < len(s.b) && s.b[s.pos] != 0xFF {
		s.pos++
	}
	for s.pos < len(s.b) && s.b[s.pos] == 0xFF {
		s.pos++
	}
	if s.pos >= len(s.b) {
		return 0, nil, cutPixels()
	}
	m := s.b[s.pos]
	s.pos++
	if m == 0xD9 || m == 0x00 || m == 0x01 || m >= 0xD0 && m <= 0xD8 {
		return m, nil, nil
	}
	if len(s.b)-s.pos < 2 {
		return 0, nil, cutPixels()
	}
	n := int(binary.BigEndian.Uint16(s.b[s.pos:]))
	if n < 2 {
		return 0, nil, badCode("segment length")
	}
	if n > len(s.b)-s.pos {
		return 0, nil, cutPixels()
	}
	seg := s.b[s.pos+2 : s.pos+n]
	s.pos += n
	return m, seg, nil
}

func (s *jpegStream) handle(m byte, seg []byte) error {
	switch m {
	case 0xC0, 0xC1, 0xC3, 0xF7:
		return s.frame(m, seg)
	case 0xC4:
		return s.huffmanTables(seg)
	case 0xDB:
		return s.quantTables(seg)
	case 0xDD:
		if len(seg) < 2 {
			return badCode("restart interval")
		}
		s.restart = int(binary.BigEndian.Uint16(seg))
	case 0xDA:
		return s.scan(seg)
	case 0xE0:
		s.jfif = s.jfif || len(seg) >= 5 && string(seg[:5]) == "JFIF\x00"
	case 0xEE:
		if len(seg) >= 12 && string(seg[:5]) == "Adobe" {
			s.adobe = int(seg[11])
		}
	case 0xF8:
		return s.lsParameters(seg)
	case 0xDC:
		return &UnsupportedError{What: "jpeg", Name: "JPEG with its height at the end"}
	case 0xC2, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF:
		return &UnsupportedError{What: "jpeg", Name: rareJPEG(m)}
	}
	return nil
}

// rareJPEG names a process that is not read (T.81, table B.1).
func rareJPEG(m byte) string {
	switch {
	case m == 0xC2:
		return "progressive JPEG inside DICOM"
	case m >= 0xC9:
		return "arithmetic-coded JPEG"
	}
	return "hierarchical JPEG"
}

// frame reads a frame header (T.81, B.2.2) and checks it against the DICOM
// header before memory is asked for.
func (s *jpegStream) frame(m byte, seg []byte) error {
	if s.comps != nil {
		return badCode("two frame headers")
	}
	if len(seg) < 6 || len(seg) < 6+3*int(seg[5]) {
		return badCode("frame header")
	}
	s.sof, s.bits = m, int(seg[0])
	height, width := int(binary.BigEndian.Uint16(seg[1:])), int(binary.BigEndian.Uint16(seg[3:]))
	n := int(seg[5])
	if width != s.want.width || height != s.want.height || n != s.want.samples {
		return &InvalidError{Fault: Sizes, What: fmt.Sprintf("%d × %d with %d samples a pixel", s.want.width, s.want.height, s.want.samples)}
	}
	switch {
	case width == 0 || height == 0 || n != 1 && n != 3:
		return badCode("frame size")
	case m == 0xC0 && s.bits != 8, m == 0xC1 && s.bits != 8 && s.bits != 12, s.bits < 2, s.bits > 16:
		return badCode(fmt.Sprintf("precision %d", s.bits))
	}
	for i := range n {
		c := seg[6+3*i:]
		k := component{id: c[0], h: int(c[1] >> 4), v: int(c[1] & 15), quant: c[2]}
		if k.h < 1 || k.h > 4 || k.v < 1 || k.v > 4 || k.quant > 3 {
			return badCode("sampling")
		}
		s.comps = append(s.comps, k)
	}
	return s.allocate()
}

// tightest is how many samples one byte can make at most, by process.
var tightest = map[byte]int64{0xC0: 512, 0xC1: 512, 0xC3: 8, 0xF7: 1 << 20}

// allocate makes the planes, unless the stream is too short to fill them.
func (s *jpegStream) allocate() error {
	w, h := s.want.width, s.want.height
	if int64(w)*int64(h) > tightest[s.sof]*int64(len(s.b)) {
		return cutPixels()
	}
	s.out = &planes{width: w, height: h, bits: s.bits, pix: make([][]uint16, len(s.comps)), bright: !s.want.rgb}
	if s.sof == 0xC0 || s.sof == 0xC1 {
		return s.allocateDCT()
	}
	for i := range s.comps {
		if s.comps[i].h != s.comps[0].h || s.comps[i].v != s.comps[0].v {
			return &UnsupportedError{What: "jpeg", Name: "lossless JPEG with reduced colour"}
		}
		s.out.pix[i] = make([]uint16, w*h)
	}
	return nil
}

// scan reads a scan header (T.81, B.2.3; T.87, C.2.3) and decodes the scan.
func (s *jpegStream) scan(seg []byte) error {
	if s.comps == nil {
		return badCode("a scan before its frame")
	}
	if len(seg) < 1 || int(seg[0]) < 1 || int(seg[0]) > len(s.comps) || len(seg) < 4+2*int(seg[0]) {
		return badCode("scan header")
	}
	n := int(seg[0])
	in := make([]int, n)
	for i := range n {
		id, t := seg[1+2*i], seg[2+2*i]
		k := s.find(id)
		if k < 0 || s.comps[k].done {
			return badCode("component of a scan")
		}
		s.comps[k].done = true
		s.comps[k].dc, s.comps[k].ac = t>>4, t&15
		in[i] = k
	}
	rest := seg[1+2*n:]
	switch s.sof {
	case 0xC3:
		return s.losslessScan(in, int(rest[0]), int(rest[2]&15))
	case 0xF7:
		return s.lsScan(in, int(rest[0]), int(rest[1]), int(rest[2]&15))
	}
	return s.dctScan(in)
}

func (s *jpegStream) find(id byte) int {
	for i, c := range s.comps {
		if c.id == id {
			return i
		}
	}
	return -1
}

func (s *jpegStream) complete() bool {
	for _, c := range s.comps {
		if !c.done {
			return false
		}
	}
	return len(s.comps) > 0
}

// brightFirst reports whether the first of three components is brightness.
// Source: the Adobe and JFIF segments, then the component letters, as common
// decoders do; then the DICOM header.
func (s *jpegStream) brightFirst() bool {
	switch {
	case s.adobe >= 0:
		return s.adobe != 0
	case s.jfif:
		return true
	case s.comps[0].id == 'R' && s.comps[1].id == 'G' && s.comps[2].id == 'B':
		return false
	}
	return !s.want.rgb
}
