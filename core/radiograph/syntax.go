package radiograph

import "encoding/binary"

// A syntax says how a data set is written and how its picture is packed.
type syntax struct {
	uid      string
	name     string
	implicit bool
	big      bool
	deflated bool
	codec    codec
	lossy    bool // by its nature
}

type codec int

const (
	native codec = iota
	codecRLE
	codecJPEG // DCT, lossless and JPEG-LS alike: the stream says which
	codecJ2K  // JPEG 2000, by a library that the caller brings
	codecNone // known and not read here
)

const (
	implicitLE = "1.2.840.10008.1.2"
	explicitLE = "1.2.840.10008.1.2.1"
	explicitBE = "1.2.840.10008.1.2.2"
)

// syntaxes lists the transfer syntaxes of PS3.6 table A-1 that films come in.
var syntaxes = []syntax{
	{uid: implicitLE, name: "uncompressed, implicit VR", implicit: true},
	{uid: explicitLE, name: "uncompressed"},
	{uid: explicitBE, name: "uncompressed, big endian", big: true},
	{uid: "1.2.840.10008.1.2.1.99", name: "deflated", deflated: true},
	{uid: "1.2.840.10008.1.2.5", name: "RLE", codec: codecRLE},
	{uid: "1.2.840.10008.1.2.4.50", name: "JPEG baseline", codec: codecJPEG, lossy: true},
	{uid: "1.2.840.10008.1.2.4.51", name: "JPEG extended", codec: codecJPEG, lossy: true},
	{uid: "1.2.840.10008.1.2.4.57", name: "JPEG lossless", codec: codecJPEG},
	{uid: "1.2.840.10008.1.2.4.70", name: "JPEG lossless, first order", codec: codecJPEG},
	{uid: "1.2.840.10008.1.2.4.80", name: "JPEG-LS lossless", codec: codecJPEG},
	{uid: "1.2.840.10008.1.2.4.81", name: "JPEG-LS near lossless", codec: codecJPEG, lossy: true},
	{uid: "1.2.840.10008.1.2.4.53", name: "JPEG spectral selection, retired", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.55", name: "JPEG progressive, retired", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.90", name: "JPEG 2000 lossless", codec: codecJ2K},
	{uid: "1.2.840.10008.1.2.4.91", name: "JPEG 2000", codec: codecJ2K},
	{uid: "1.2.840.10008.1.2.4.92", name: "JPEG 2000 multi-component lossless", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.93", name: "JPEG 2000 multi-component", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.201", name: "high-throughput JPEG 2000 lossless", codec: codecJ2K},
	{uid: "1.2.840.10008.1.2.4.202", name: "high-throughput JPEG 2000 lossless RPCL", codec: codecJ2K},
	{uid: "1.2.840.10008.1.2.4.203", name: "high-throughput JPEG 2000", codec: codecJ2K},
	{uid: "1.2.840.10008.1.2.4.100", name: "MPEG-2 video", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.101", name: "MPEG-2 video", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.102", name: "MPEG-4 video", codec: codecNone},
	{uid: "1.2.840.10008.1.2.4.103", name: "MPEG-4 video", codec: codecNone},
	{uid: "1.2.840.10008.1.2.8.1", name: "deflated frames", codec: codecNone},
}

// syntaxOf returns what is known about a UID. An unknown one is read as
// explicit little endian, as every later syntax is, and its picture refused.
func syntaxOf(uid string) syntax {
	for _, s := range syntaxes {
		if s.uid == uid {
			return s
		}
	}
	return syntax{uid: uid, codec: codecNone}
}

// guessSyntax returns how a data set without a preamble is written, from its
// first element: a low group, a VR or a believable length.
func guessSyntax(b []byte) (syntax, bool) {
	if len(b) < 8 {
		return syntax{}, false
	}
	le, be := binary.LittleEndian.Uint16(b), binary.BigEndian.Uint16(b)
	vr := knownVR(string(b[4:6]))
	switch {
	case (le == 2 || le == 8) && vr:
		return syntaxOf(explicitLE), true
	case (be == 2 || be == 8) && vr:
		return syntaxOf(explicitBE), true
	case le == 2 || le == 8:
		n := binary.LittleEndian.Uint32(b[4:])
		return syntaxOf(implicitLE), int64(n) <= int64(len(b)-8) && n <= 1<<16
	}
	return syntax{}, false
}

// asWritten returns s, or what the first element of the data set shows the
// file to be when it contradicts s.
func asWritten(s syntax, b []byte) (syntax, bool) {
	if len(b) < 8 {
		return s, true
	}
	order := binary.ByteOrder(binary.LittleEndian)
	if s.big {
		order = binary.BigEndian
	}
	low := order.Uint16(b) <= 0x0040
	if vr := knownVR(string(b[4:6])); low && vr == !s.implicit {
		return s, true
	}
	g, ok := guessSyntax(b)
	if !ok || g.implicit == s.implicit && g.big == s.big {
		return s, true
	}
	s.implicit, s.big = g.implicit, g.big
	return s, false
}

// knownVR reports whether two letters are a value representation of PS3.5
// table 6.2-1.
func knownVR(s string) bool {
	const all = "AE AS AT CS DA DS DT FL FD IS LO LT OB OD OF OL OV OW PN SH SL SQ SS ST SV TM UC UI UL UN UR US UT UV "
	for i := 0; i+2 < len(all); i += 3 {
		if all[i:i+2] == s {
			return true
		}
	}
	return false
}

// longVR reports whether a VR is followed by two reserved bytes and a length
// of four (PS3.5, 7.1.2).
func longVR(s string) bool {
	switch s {
	case "OB", "OD", "OF", "OL", "OV", "OW", "SQ", "SV", "UC", "UN", "UR", "UT", "UV":
		return true
	}
	return false
}
