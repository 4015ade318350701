package radiograph

import (
	"fmt"
	"math"
	"strings"
)

// display fills what is said about light and dark.
func (f *dicom) display(h *Header) {
	f.rescale(h)
	f.windows(h)
	h.Modify = f.sequenceTable(h, tagModality, "modality table", false)
	h.VOI = f.sequenceTable(h, tagVOI, "table of light and dark", true)
	if e := f.elements[0x00280120]; len(e.value) >= 2 {
		v := f.signed(h, f.order().Uint16(e.value))
		h.Padding = &v
	}
	h.Shutter = f.shutter(h)
}

func (f *dicom) signed(h *Header, v uint16) int32 {
	if h.Signed {
		return int32(int16(v))
	}
	return int32(v)
}

// rescale reads slope and intercept; a slope of 0 or one that cannot be read
// is left out, with its intercept.
func (f *dicom) rescale(h *Header) {
	read := func(t tag) (*float64, bool) {
		e, ok := f.elements[t]
		if !ok || cleanText(e.value) == "" {
			return nil, true
		}
		v, _, ok := decimals(e.value)
		if !ok || len(v) != 1 || !(math.Abs(v[0]) < 1e9) {
			return nil, false
		}
		return &v[0], true
	}
	slope, ok1 := read(0x00281053)
	intercept, ok2 := read(0x00281052)
	if !ok1 || !ok2 || slope != nil && !(math.Abs(*slope) > 1e-9) {
		h.warn(ValueIgnored, "the rescale slope and intercept")
		return
	}
	h.Slope, h.Intercept = slope, intercept
}

const maxWindows = 32

// windows reads centre, width and explanation; a width under 1 (0 where the
// function is not LINEAR) is no window. Source: DICOM PS3.3, C.11.2.1.2.
func (f *dicom) windows(h *Header) {
	centre, width := f.elements[0x00281050], f.elements[0x00281051]
	if cleanText(centre.value) == "" && cleanText(width.value) == "" {
		return
	}
	c, _, ok1 := decimals(centre.value)
	w, _, ok2 := decimals(width.value)
	if !ok1 || !ok2 || len(c) != len(w) || len(c) > maxWindows {
		h.warn(WindowIgnored, "“"+cleanText(centre.value)+" / "+cleanText(width.value)+"”")
		return
	}
	shape := Linear
	switch f.code(0x00281056) {
	case "SIGMOID":
		shape = Sigmoid
	case "LINEAR_EXACT":
		shape = LinearExact
	}
	names := strings.Split(f.text(0x00281055), `\`)
	for i := range c {
		win := Window{Centre: c[i], Width: w[i], Shape: shape}
		if i < len(names) {
			win.Explanation = strings.TrimSpace(names[i])
		}
		if !win.sane() {
			h.warn(WindowIgnored, fmt.Sprintf("of width %g", w[i]))
			continue
		}
		h.Windows = append(h.Windows, win)
	}
}

// sane reports whether the window can be used.
func (w Window) sane() bool {
	if !(math.Abs(w.Centre) <= 1e9) || !(w.Width <= 1e9) {
		return false
	}
	if w.Shape == Linear || w.Shape == "" {
		return w.Width >= 1
	}
	return w.Width > 0
}

// sequenceTable reads the table in the first item of a LUT sequence.
func (f *dicom) sequenceTable(h *Header, t tag, name string, monotone bool) *Table {
	e, ok := f.elements[t]
	if !ok || len(e.value) == 0 {
		return nil
	}
	item := f.firstItem(e.value)
	tab := f.table(h, item[0x00283002].value, item[0x00283006].value)
	if tab == nil || monotone && !tab.monotone() {
		h.warn(TableIgnored, name)
		return nil
	}
	return tab
}

// firstItem reads the elements of the first item of a sequence.
func (f *dicom) firstItem(b []byte) map[tag]element {
	out := map[tag]element{}
	w := newWalker(b, 0, f.at)
	e, err := w.head()
	if err != nil || e.tag != tagItem {
		return out
	}
	if e.length != undefined && int64(e.length) <= int64(len(b)-w.pos) {
		w.b = b[:w.pos+int(e.length)]
	}
	for w.more() {
		e, err := w.next()
		if err != nil || e.tag == tagItemEnd {
			break
		}
		out[e.tag] = e
	}
	return out
}

// table reads a descriptor (entries, first value, bits) and its data, packed
// by 16 or, where the length says so, by 8 bits. It returns nil when they do
// not fit each other. Source: DICOM PS3.3, C.11.1.1 and C.11.2.1.1.
func (f *dicom) table(h *Header, descriptor, data []byte) *Table {
	if len(descriptor) < 6 {
		return nil
	}
	n := int(f.order().Uint16(descriptor))
	if n == 0 {
		n = 1 << 16
	}
	t := &Table{First: f.signed(h, f.order().Uint16(descriptor[2:])), Bits: int(f.order().Uint16(descriptor[4:]))}
	if t.Bits < 8 || t.Bits > 16 {
		return nil
	}
	t.Entries = make([]uint16, n)
	switch {
	case len(data) >= 2*n:
		for i := range t.Entries {
			t.Entries[i] = f.order().Uint16(data[2*i:])
		}
	case t.Bits == 8 && len(data) >= n:
		for i := range t.Entries {
			t.Entries[i] = uint16(data[i])
		}
	default:
		return nil
	}
	return t
}

// monotone reports whether the table only rises or only falls, and does so.
func (t *Table) monotone() bool {
	up, down := true, true
	for i := 1; i < len(t.Entries); i++ {
		up = up && t.Entries[i] >= t.Entries[i-1]
		down = down && t.Entries[i] <= t.Entries[i-1]
	}
	n := len(t.Entries)
	return (up || down) && n > 1 && t.Entries[0] != t.Entries[n-1]
}

// at returns the entry for a value, the nearest one outside the table.
func (t *Table) at(v float64) float64 {
	i := math.Round(v) - float64(t.First)
	n := len(t.Entries)
	switch {
	case !(i > 0):
		return float64(t.Entries[0])
	case i >= float64(n):
		return float64(t.Entries[n-1])
	}
	return float64(t.Entries[int(i)])
}

// full is the value that stands for white: all bits of the descriptor, or 12
// bits when a table that says 16 holds no more (a known fault of writers).
func (t *Table) full() float64 {
	most := uint16(0)
	for _, v := range t.Entries {
		most = max(most, v)
	}
	if t.Bits == 16 && most < 1<<12 {
		return 1<<12 - 1
	}
	return float64(uint32(1)<<t.Bits - 1)
}

// shutter reads a rectangular shutter (PS3.3, C.7.6.11): left, top, right,
// bottom, in pixels from 0. It is nil unless it leaves a part of the picture.
func (f *dicom) shutter(h *Header) *[4]int {
	if !strings.Contains(strings.ToUpper(f.text(0x00181600)), "RECTANGULAR") {
		return nil
	}
	var out [4]int
	for i, t := range []tag{0x00181602, 0x00181606, 0x00181604, 0x00181608} { // left, upper, right, lower
		v, _, ok := decimal(string(f.elements[t].value))
		if !ok || !(math.Abs(v) < 1e6) {
			return nil
		}
		out[i] = int(v) - 1
	}
	out[0], out[1] = max(out[0], 0), max(out[1], 0)
	out[2], out[3] = min(out[2], h.Columns-1), min(out[3], h.Rows-1)
	if out[2]-out[0] < 8 || out[3]-out[1] < 8 {
		return nil
	}
	return &out
}
