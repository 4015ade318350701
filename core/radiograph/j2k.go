package radiograph

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// Samples is a picture as a JPEG 2000 library decoded it, one pixel after
// another with its components together: a byte a sample up to 8 bits, else
// two, low byte first.
type Samples struct {
	Width, Height, Components int
	Bits                      int
	Data                      []byte
}

// Bounds of a codestream. A film of 64 million samples in tiles of 64 × 64 has
// 15,625 tiles; in code-blocks of 32 × 32, the least that writers use, it has
// 62,500. More only asks the library for memory.
const (
	maxTiles  = 16_384
	maxBlocks = 1 << 20
)

// A codestream is what the main header and the tile-parts of JPEG 2000 say.
// Source: ISO/IEC 15444-1 (ITU-T T.800), annex A.
type codestream struct {
	b          []byte // from SOC on
	width      int
	height     int
	components int
	bits       int
	signed     bool
	tiles      int
	lossy      bool // wavelets that round: 9-7
	mixed      bool // a component transform makes it RGB
	endless    bool // the end mark is missing
}

const (
	markSOC = 0xFF4F
	markSIZ = 0xFF51
	markCOD = 0xFF52
	markQCD = 0xFF5C
	markSOT = 0xFF90
	markEOC = 0xFFD9
)

var jp2Signature = []byte("\x00\x00\x00\x0CjP  \r\n\x87\n")

// startsJ2K reports whether a piece begins a JPEG 2000 picture.
func startsJ2K(b []byte) bool {
	return bytes.HasPrefix(b, []byte{0xFF, 0x4F, 0xFF, 0x51}) || bytes.HasPrefix(b, jp2Signature)
}

// insideJP2 returns the codestream inside the boxes of a JP2 file, which DICOM
// does not allow and some writers leave on (T.800, annex I.4).
func insideJP2(b []byte) []byte {
	for pos := 0; bytes.HasPrefix(b, jp2Signature) && len(b)-pos >= 8; {
		n, head := uint64(binary.BigEndian.Uint32(b[pos:])), 8
		if n == 1 && len(b)-pos >= 16 {
			n, head = binary.BigEndian.Uint64(b[pos+8:]), 16
		}
		if n == 0 || n > uint64(len(b)-pos) {
			n = uint64(len(b) - pos)
		}
		if string(b[pos+4:pos+8]) == "jp2c" && int(n) > head {
			return b[pos+head : pos+int(n)]
		}
		pos += max(int(n), 8)
	}
	return b
}

func badJ2K(what string) error { return &InvalidError{Fault: BadCode, What: "JPEG 2000: " + what} }

// parseJ2K reads a codestream as far as to know that it is whole and what it
// will ask of a decoder; no sample is decoded.
func parseJ2K(b []byte) (*codestream, error) {
	b = insideJP2(b)
	if !bytes.HasPrefix(b, []byte{0xFF, 0x4F, 0xFF, 0x51}) {
		return nil, badJ2K("no start mark")
	}
	c := &codestream{b: b}
	pos, cod, qcd := 2, false, false
	for {
		if len(b)-pos < 4 {
			return nil, &InvalidError{Fault: CutPixels}
		}
		mark, n := int(binary.BigEndian.Uint16(b[pos:])), int(binary.BigEndian.Uint16(b[pos+2:]))
		if mark == markSOT {
			break
		}
		if mark < 0xFF00 || n < 2 {
			return nil, badJ2K("a segment that cannot be")
		}
		if n > len(b)-pos-2 {
			return nil, &InvalidError{Fault: CutPixels}
		}
		if err := c.segment(mark, b[pos+4:pos+2+n]); err != nil {
			return nil, err
		}
		cod, qcd = cod || mark == markCOD, qcd || mark == markQCD
		pos += 2 + n
	}
	if !cod || !qcd {
		return nil, badJ2K("no coding style or no quantisation")
	}
	return c, c.parts(pos)
}

func (c *codestream) segment(mark int, s []byte) error {
	switch mark {
	case markSIZ:
		if c.width != 0 {
			return badJ2K("two sizes")
		}
		return c.size(s)
	case markCOD:
		return c.coding(s)
	}
	return nil
}

// size reads SIZ (T.800, A.5.1). It takes only what the decoder can show: no
// offset of the picture, and components that are all alike.
func (c *codestream) size(s []byte) error {
	if len(s) < 39 {
		return badJ2K("a size that is cut")
	}
	at := func(i int) int64 { return int64(binary.BigEndian.Uint32(s[i:])) }
	w, h, tw, th := at(2), at(6), at(18), at(22)
	c.components = int(binary.BigEndian.Uint16(s[34:]))
	switch {
	case w < 1 || h < 1 || w > MaxSamples || h > MaxSamples || w*h > MaxSamples:
		return &LimitError{What: "samples", Got: min(w, 1<<31) * min(h, 1<<31), Max: MaxSamples}
	case tw < 1 || th < 1:
		return badJ2K("tiles of no size")
	case at(10) != 0 || at(14) != 0 || at(26) != 0 || at(30) != 0:
		return &UnsupportedError{What: "jpeg", Name: "JPEG 2000 that begins beside its origin"}
	case len(s) != 36+3*c.components || c.components != 1 && c.components != 3:
		return badJ2K(fmt.Sprintf("%d components", c.components))
	}
	tiles := ((w + tw - 1) / tw) * ((h + th - 1) / th)
	if tiles > maxTiles {
		return badJ2K(fmt.Sprintf("%d tiles", tiles))
	}
	c.width, c.height, c.tiles = int(w), int(h), int(tiles)
	c.bits, c.signed = int(s[36]&0x7F)+1, s[36]&0x80 != 0
	for i := range c.components {
		if p := s[36+3*i:]; p[0] != s[36] || p[1] != 1 || p[2] != 1 {
			return &UnsupportedError{What: "jpeg", Name: "JPEG 2000 with components that differ"}
		}
	}
	if c.bits < 2 || c.bits > 16 || c.components == 3 && (c.bits > 8 || c.signed) {
		return &UnsupportedError{What: "bits", Name: fmt.Sprintf("%d bits a sample in %d components", c.bits, c.components)}
	}
	return nil
}

// coding reads COD (T.800, A.6.1) and bounds how many pieces the decoder has
// to keep: code-blocks, and precincts at each of the resolutions.
func (c *codestream) coding(s []byte) error {
	if len(s) < 10 {
		return badJ2K("a coding style that is cut")
	}
	levels, xcb, ycb := int(s[5]), int(s[6])+2, int(s[7])+2
	own := s[0]&1 != 0 // precincts of its own size
	if c.width == 0 || levels > 32 || xcb > 10 || ycb > 10 || xcb+ycb > 12 || own && len(s) < 11+levels {
		return badJ2K("a coding style that cannot be")
	}
	c.lossy, c.mixed = s[9] == 0, s[4] != 0
	n := c.width * c.height * c.components >> (xcb + ycb)
	for r := 0; own && r <= levels; r++ {
		down := levels - r
		size := s[10+r]
		n += (c.width>>down>>(size&15) + 1) * (c.height>>down>>(size>>4) + 1) * c.components
	}
	if n > maxBlocks {
		return badJ2K(fmt.Sprintf("%d blocks of code", n))
	}
	return nil
}

// parts walks the tile-parts (T.800, A.4.2) and refuses a codestream that ends
// early or lacks a tile: what the library would make of it is part of a film.
// Where the lengths do not lead from part to part it must end with its mark,
// and the library judges.
func (c *codestream) parts(pos int) error {
	seen := make([]bool, c.tiles)
	tiles := 0
	marked := bytes.HasSuffix(bytes.TrimRight(c.b, "\x00"), []byte{0xFF, 0xD9})
	for len(c.b)-pos >= 12 && binary.BigEndian.Uint16(c.b[pos:]) == markSOT {
		tile, n := int(binary.BigEndian.Uint16(c.b[pos+4:])), int64(binary.BigEndian.Uint32(c.b[pos+6:]))
		if tile >= c.tiles {
			return badJ2K(fmt.Sprintf("tile %d of %d", tile+1, c.tiles))
		}
		if !seen[tile] {
			seen[tile] = true
			tiles++
		}
		if n == 0 { // to the end
			n = int64(len(bytes.TrimRight(c.b, "\x00"))-pos) - 2
			if !marked {
				return &InvalidError{Fault: CutPixels}
			}
		}
		if n > int64(len(c.b)-pos) {
			return &InvalidError{Fault: CutPixels, Got: int64(len(c.b)), Need: int64(pos) + n}
		}
		if n < 14 && n != 12 {
			return badJ2K("a tile of no length")
		}
		pos += int(n)
	}
	rest := bytes.TrimRight(c.b[pos:], "\x00")
	ended := len(rest) >= 2 && binary.BigEndian.Uint16(rest) == markEOC
	switch c.endless = len(rest) == 0; {
	case !ended && !c.endless && !marked:
		return &InvalidError{Fault: CutPixels}
	case (ended || c.endless) && tiles < c.tiles:
		return &InvalidError{Fault: CutPixels, Got: int64(tiles), Need: int64(c.tiles)}
	}
	return nil
}

// forLibrary returns the bytes to decode. Signed samples are declared
// unsigned: the decoder then adds half the range, which is what a plane holds
// (T.800, G.1), and no library has to carry a sign. A missing end mark is put
// back.
func (c *codestream) forLibrary() []byte {
	b := c.b
	if c.signed || c.endless {
		b = bytes.Clone(b)
	}
	if c.endless {
		b = append(bytes.TrimRight(b, "\x00"), 0xFF, 0xD9)
	}
	if c.signed {
		b[42] &^= 0x80 // SOC, SIZ, length, 36 bytes: the first component
	}
	return b
}
