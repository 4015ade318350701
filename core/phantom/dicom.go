package phantom

import (
	"encoding/binary"
	"fmt"

	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// Tags says what the header of a DICOM file tells about size. The pixel
// spacing at the detector is always told, since a detector knows it.
type Tags struct {
	Distances bool     // SID and SOD
	Factor    bool     // SID/SOD as (0018,1114)
	Spacing   units.MM // a Pixel Spacing (0028,0030) of this, rows and columns; 0 tells none
}

// DICOM returns the film as a Part 10 file, explicit little endian, not
// compressed, with honest tags and no name, number or date. Source: DICOM
// PS3.10, 7.1; PS3.3, C.8.11.
func (f *Film) DICOM(tell Tags) []byte {
	uid := fmt.Sprintf("2.25.%d%010d", 7000000000+f.Setup.Seed%1000000000, f.hash()%10000000000)
	const class, plain = "1.2.840.10008.5.1.4.1.1.1.1", "1.2.840.10008.1.2.1"
	var m writer
	m.put(0x00020001, "OB", []byte{0, 1})
	m.put(0x00020002, "UI", []byte(class))
	m.put(0x00020003, "UI", []byte(uid))
	m.put(0x00020010, "UI", []byte(plain))
	m.put(0x00020012, "UI", []byte("2.25.7000000000"))
	var w writer
	w.b = append(make([]byte, 128), "DICM"...)
	w.put(0x00020000, "UL", binary.LittleEndian.AppendUint32(nil, uint32(len(m.b))))
	w.b = append(w.b, m.b...)
	w.text(0x00080005, "CS", "ISO_IR 192")
	w.text(0x00080008, "CS", `DERIVED\PRIMARY`)
	w.put(0x00080016, "UI", []byte(class))
	w.put(0x00080018, "UI", []byte(uid))
	w.text(0x00080060, "CS", "DX")
	w.text(0x00080068, "CS", "FOR PRESENTATION")
	w.text(0x0008103E, "LO", "PHANTOM, drawn by formula")
	f.size(&w, tell)
	f.pixels(&w, tell)
	return w.b
}

// size writes what is told about size, side and view.
func (f *Film) size(w *writer, tell Tags) {
	s := f.Setup
	w.text(0x00180015, "CS", "FEMUR")
	if tell.Distances {
		w.text(0x00181110, "DS", mm(s.SID))
		w.text(0x00181111, "DS", mm(s.SOD))
	}
	if tell.Factor {
		w.text(0x00181114, "DS", mm(s.SID/s.SOD))
	}
	w.text(0x00181164, "DS", mm(s.Row)+`\`+mm(s.Col))
	view, side := "AP", "R"
	if s.View == anatomy.Lateral {
		view = "LL"
	}
	if s.Side == anatomy.Left {
		side = "L"
	}
	w.text(0x00185101, "CS", view)
	w.text(0x00200062, "CS", side)
}

func (f *Film) pixels(w *writer, tell Tags) {
	w.short(0x00280002, 1)
	kind, shape := "MONOCHROME2", "IDENTITY"
	if f.Setup.Dark {
		kind, shape = "MONOCHROME1", "INVERSE"
	}
	w.text(0x00280004, "CS", kind)
	w.short(0x00280010, f.Height)
	w.short(0x00280011, f.Width)
	if tell.Spacing > 0 {
		w.text(0x00280030, "DS", mm(tell.Spacing)+`\`+mm(tell.Spacing))
	}
	w.short(0x00280100, 16)
	w.short(0x00280101, f.Setup.Bits)
	w.short(0x00280102, f.Setup.Bits-1)
	w.short(0x00280103, 0)
	w.text(0x00280301, "CS", "NO")
	lo, hi := f.window()
	w.text(0x00281050, "DS", fmt.Sprint((lo+hi)/2))
	w.text(0x00281051, "DS", fmt.Sprint(max(hi-lo, 1)))
	w.text(0x00282110, "CS", "00")
	w.text(0x20500020, "CS", shape)
	pix := make([]byte, 0, 2*len(f.Pix))
	for _, v := range f.Pix {
		pix = binary.LittleEndian.AppendUint16(pix, v)
	}
	w.put(0x7FE00010, "OW", pix)
}

// mm writes a decimal string of at most 16 characters.
func mm(v units.MM) string { return units.Trim(float64(v), 8) }

// hash mixes every level of the film (FNV-1a, 64 bits, over 16-bit words).
func (f *Film) hash() uint64 {
	h := uint64(14695981039346656037)
	for _, v := range f.Pix {
		h = (h ^ uint64(v)) * 1099511628211
	}
	return h
}

// A writer gathers the elements of a file.
type writer struct{ b []byte }

// put appends one element, padded to an even length: UIDs and bytes with zero,
// text with a blank. Source: DICOM PS3.5, 7.1.2.
func (w *writer) put(tag uint32, vr string, v []byte) {
	if len(v)%2 == 1 {
		pad := byte(' ')
		if vr == "UI" || vr == "OB" {
			pad = 0
		}
		v = append(v[:len(v):len(v)], pad)
	}
	w.b = binary.LittleEndian.AppendUint16(w.b, uint16(tag>>16))
	w.b = binary.LittleEndian.AppendUint16(w.b, uint16(tag))
	w.b = append(w.b, vr...)
	if vr == "OB" || vr == "OW" {
		w.b = append(w.b, 0, 0)
		w.b = binary.LittleEndian.AppendUint32(w.b, uint32(len(v)))
	} else {
		w.b = binary.LittleEndian.AppendUint16(w.b, uint16(len(v)))
	}
	w.b = append(w.b, v...)
}

func (w *writer) text(tag uint32, vr, v string) { w.put(tag, vr, []byte(v)) }

func (w *writer) short(tag uint32, v int) {
	w.put(tag, "US", binary.LittleEndian.AppendUint16(nil, uint16(v)))
}
